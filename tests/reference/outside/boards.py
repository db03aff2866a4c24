#!/usr/bin/env python3
"""Reads printed boards back and works every line again, from the printed text alone.

    boards.py FILE      a JSON list of boards, as the tests write it

Of each board it checks, in exact fractions:
  given    a converted value is what was written, to half of its last digit
  line     the numbers, worked again with their units, give the printed result: exactly
           behind "=", and to half of the last printed digit behind "≈"
  answer   some line's printed result, rounded in the answer's direction, is the answer

It knows no formula and shares no code with the program. First it checks itself on lines that
are wrong.
"""

import json
import re
import sys
from collections import Counter
from decimal import Decimal, getcontext
from fractions import Fraction as F

getcontext().prec = 60
NBSP = "\u00a0"

# Factors to metre, kilogram, second, kelvin, siemens by definition, with their dimensions.
INCH, POUND, GRAVITY = F("0.0254"), F("0.45359237"), F("9.80665")
GALLON, IMPERIAL, FOOT = 231 * INCH**3, F("0.00454609"), 12 * INCH
PSI, BTU = POUND * GRAVITY / INCH**2, F("1055.05585262")
LENGTH, AREA, VOLUME, TIME, MASS = (1, 0, 0), (2, 0, 0), (3, 0, 0), (0, 0, 1), (0, 1, 0)
FLOW, PRESSURE, DENSITY, SPEED = (3, 0, -1), (-1, 1, -2), (-3, 1, 0), (1, 0, -1)
ENERGY, HEAT, POWER, FORCE, NONE = (2, 1, -2), (2, 0, -2), (2, 1, -3), (1, 1, -2), (0, 0, 0)
UNITS = {
    "": (1, NONE), "%": (F(1, 100), NONE),
    "in": (INCH, LENGTH), "ft": (FOOT, LENGTH), "yd": (3 * FOOT, LENGTH),
    "mm": (F(1, 1000), LENGTH), "cm": (F(1, 100), LENGTH), "m": (1, LENGTH),
    "in²": (INCH**2, AREA), "ft²": (FOOT**2, AREA), "mm²": (F(1, 10**6), AREA), "m²": (1, AREA),
    "acre": (43560 * FOOT**2, AREA), "in³": (INCH**3, VOLUME), "ft³": (FOOT**3, VOLUME), "m³": (1, VOLUME),
    "gal": (GALLON, VOLUME), "imp gal": (IMPERIAL, VOLUME), "qt": (GALLON / 4, VOLUME),
    "fl oz": (GALLON / 128, VOLUME), "L": (F(1, 1000), VOLUME), "mL": (F(1, 10**6), VOLUME),
    "s": (1, TIME), "min": (60, TIME), "h": (3600, TIME),
    "gpm": (GALLON / 60, FLOW), "gph": (GALLON / 3600, FLOW), "impgpm": (IMPERIAL / 60, FLOW),
    "L/min": (F(1, 60000), FLOW), "L/s": (F(1, 1000), FLOW), "m³/h": (F(1, 3600), FLOW),
    "scfm": (FOOT**3 / 60, FLOW), "ft³/min": (FOOT**3 / 60, FLOW), "m³/min": (F(1, 60), FLOW),
    "lb": (POUND, MASS), "oz": (POUND / 16, MASS), "kg": (1, MASS), "g": (F(1, 1000), MASS),
    "lbf": (POUND * GRAVITY, FORCE), "N": (1, FORCE),
    "psi": (PSI, PRESSURE), "kPa": (1000, PRESSURE), "bar": (10**5, PRESSURE),
    "MPa": (10**6, PRESSURE), "inHg": (F("25.4") * F("133.322387415"), PRESSURE),
    "lb/gal": (POUND / GALLON, DENSITY), "lb/ft³": (POUND / FOOT**3, DENSITY),
    "kg/L": (1000, DENSITY), "kg/m³": (1, DENSITY), "mg/L": (F(1, 1000), DENSITY),
    "gpm/ft²": (GALLON / 60 / FOOT**2, SPEED), "L/min/m²": (F(1, 60000), SPEED),
    "J": (1, ENERGY), "kJ": (1000, ENERGY), "MJ": (10**6, ENERGY), "Btu": (BTU, ENERGY),
    "Btu/lb": (BTU / POUND, HEAT), "kJ/kg": (1000, HEAT), "kW": (1000, POWER),
    "MW": (10**6, POWER), "°F": (F(5, 9), "warm"), "°C": (1, "warm"),
    "psi/(100 gpm)²/100 ft": (PSI / (100 * GALLON / 60)**2 / (100 * FOOT), (-8, 1, 0)),
    "kPa/(100 L/min)²/100 m": (1000 / F(1, 600)**2 / 100, (-8, 1, 0)),
    "bar/(100 L/min)²/100 m": (10**5 / F(1, 600)**2 / 100, (-8, 1, 0)),
    "mS/cm": (F(1, 10), "conducts"), "uS/cm": (F(1, 10**4), "conducts"), "dBA": (1, "loud"),
}
# Where the two scales of temperature read nothing.
ZEROS = {"°F": F("459.67"), "°C": F("273.15")}
ASCII = {"ft2": "ft²", "in2": "in²", "m2": "m²", "mm2": "mm²", "ft3": "ft³", "in3": "in³",
         "m3": "m³", "m3/h": "m³/h", "m3/min": "m³/min", "ft3/min": "ft³/min", "lb/ft3": "lb/ft³", "kg/m3": "kg/m³",
         "psi/(100 gpm)^2/100 ft": "psi/(100 gpm)²/100 ft",
         "kPa/(100 L/min)^2/100 m": "kPa/(100 L/min)²/100 m",
         "bar/(100 L/min)^2/100 m": "bar/(100 L/min)²/100 m",
         "gpm/ft2": "gpm/ft²", "L/min/m2": "L/min/m²", "floz": "fl oz",
         "impgal": "imp gal", "degF": "°F", "degC": "°C", "Fdeg": "°F", "Cdeg": "°C"}
# Units with blanks in them, and what stands for each while a quantity is looked for.
LONG = {f"fl{NBSP}oz": "fl_oz", f"imp{NBSP}gal": "i_g",
        f"psi/(100{NBSP}gpm)²/100{NBSP}ft": "psi_hose",
        f"kPa/(100{NBSP}L/min)²/100{NBSP}m": "kPa_hose",
        f"bar/(100{NBSP}L/min)²/100{NBSP}m": "bar_hose"}
NUMBER = re.compile(r"\d[\d,]*(?:\.\d+)?")
QUANTITY = re.compile(rf"−?\d[\d,]*(?:\.\d+)?(?:{NBSP}[^ ;,()|]+)?$")


class Wrong(Exception):
    """A text that says no sum, or a sum that is not right."""


class Value:
    """A number of SI units with the powers of its units."""

    def __init__(self, number, powers):
        self.number, self.powers = number, powers

    def same(self, other):
        if self.powers != other.powers:
            raise Wrong(f"{self.powers} beside {other.powers}")

    def __add__(self, other):
        self.same(other)
        return Value(self.number + other.number, self.powers)

    def __sub__(self, other):
        self.same(other)
        return Value(self.number - other.number, self.powers)

    def __mul__(self, other):
        return Value(self.number * other.number, powers(self.powers, other.powers, 1))

    def __truediv__(self, other):
        if other.number == 0:
            raise Wrong("divided by zero")
        return Value(self.number / other.number, powers(self.powers, other.powers, -1))

    def __pow__(self, other):
        if other.powers != ():
            raise Wrong("a power with a unit")
        if other.number.denominator == 1:
            n = int(other.number)
            return Value(self.number**n, tuple((k, p * n) for k, p in self.powers))
        return Value(broken_power(self.plain(), other.number), ())

    def plain(self):
        if self.powers != ():
            raise Wrong(f"{self.powers} where a number stands")
        return self.number


def powers(a, b, sign):
    found = Counter(dict(a))
    for key, power in b:
        found[key] += sign * power
    return tuple(sorted((k, p) for k, p in found.items() if p))


def of_unit(dimension):
    if isinstance(dimension, str):
        return ((dimension, 1),)
    return tuple(sorted((k, p) for k, p in zip("LMT", dimension) if p))


def decimal(number):
    return Decimal(number.numerator) / Decimal(number.denominator)


def broken_power(base, exponent):
    if base < 0:
        raise Wrong("a broken power of a negative number")
    return F((decimal(base).ln() * decimal(exponent)).exp()) if base else F(0)


FUNCTIONS = {
    "√": lambda x: F(decimal(x).sqrt()),
    "ln": lambda x: F(decimal(x).ln()),
    "e^": lambda x: F(decimal(x).exp()),
}


class Reader:
    """Recursive descent over the numbers of a line."""

    def __init__(self, text):
        self.text, self.at = text, 0

    def rest(self):
        return self.text[self.at:]

    def take(self, token):
        if self.rest().startswith(token):
            self.at += len(token)
            return True
        return False

    def must(self, token):
        if not self.take(token):
            raise Wrong(f"no {token!r} before {self.rest()!r}")

    def all(self):
        value = self.sum()
        if self.rest():
            raise Wrong(f"{self.rest()!r} is left over")
        return value

    def sum(self):
        value = self.product()
        while True:
            if self.take(" + "):
                value = value + self.product()
            elif self.take(" − "):
                value = value - self.product()
            else:
                return value

    def product(self):
        value = self.power()
        while True:
            if self.take(" × "):
                value = value * self.power()
            elif self.take(" ÷ "):
                value = value / self.power()
            else:
                return value

    def power(self):
        if self.take("−"):
            value = self.power()
            return Value(-value.number, value.powers)
        value = self.atom()
        for sign, exponent in (("²", 2), ("³", 3)):
            if self.take(sign):
                return value ** Value(F(exponent), ())
        if self.take("^"):
            return value ** self.power()
        return value

    def several(self):
        self.must("(")
        values = [self.sum()]
        while self.take("; "):
            values.append(self.sum())
        self.must(")")
        for value in values:
            value.same(values[0])
        return values

    def atom(self):
        for name, choose in (("smallest of ", min), ("largest of ", max)):
            if self.take(name):
                return choose(self.several(), key=lambda value: value.number)
        for name, function in FUNCTIONS.items():
            if self.take(name + "("):
                inner = self.sum()
                self.must(")")
                # √ takes the root of the unit too; the others want a bare number.
                if name == "√" and all(p % 2 == 0 for _, p in inner.powers):
                    halves = tuple((k, p // 2) for k, p in inner.powers)
                    return Value(function(inner.number), halves)
                return Value(function(inner.plain()), ())
        if self.take("|"):
            inner = self.sum()
            self.must("|")
            return Value(abs(inner.number), inner.powers)
        if self.take("("):
            inner = self.sum()
            self.must(")")
            return self.stepped(inner)
        return self.number()

    def stepped(self, value):
        for words, way in ((" down to a multiple of ", "down"), (" up to a multiple of ", "up"),
                           (" to the nearest ", "near")):
            if self.take(words):
                step = self.number()
                value.same(step)
                return Value(rounded(value.number, step.number, way), value.powers)
        return value

    def number(self):
        found = NUMBER.match(self.rest())
        if not found:
            raise Wrong(f"no number at {self.rest()!r}")
        self.at += found.end()
        number, symbol = F(found.group().replace(",", "")), ""
        if self.take(NBSP):
            long = "|".join(re.escape(symbol) for symbol in LONG)
            name = re.match(rf"({long}|[^ ;,()|{NBSP}]+)", self.rest())
            symbol = name.group().replace(NBSP, " ") if name else "?"
            if symbol not in UNITS:
                raise Wrong(f"no unit {symbol!r}")
            self.at += name.end()
        factor, dimension = UNITS[symbol]
        return Value(number * factor, of_unit(dimension))


def rounded(number, step, way):
    steps = number / step
    floor = steps.numerator // steps.denominator
    if way == "down":
        return floor * step
    if way == "up":
        return -((-steps.numerator) // steps.denominator) * step
    away = abs(steps) + F(1, 2)
    near = away.numerator // away.denominator
    return (near if steps >= 0 else -near) * step


def printed(text):
    """Value, unit factor and step of the last digit of a printed quantity."""
    if ":" in text:
        minutes, seconds = text.split(":")
        whole = F(int(minutes.replace(",", "")) * 60 + int(seconds))
        return Value(whole, of_unit(TIME)), F(1), (text.replace(":", ""), 0)
    value = Reader(text).all()
    number, _, symbol = text.lstrip("−").partition(NBSP)
    places = len(number.partition(".")[2])
    factor = UNITS[symbol.replace(NBSP, " ")][0]
    step = F(1, 10**places)
    return value, factor * step, (number, places)


def check_line(numbers, relation, result, whole_steps):
    """A line, worked again. A result in whole tens may stand for a step of ten; those are
    counted, for the text cannot tell."""
    value = Reader(numbers).all()
    shown, step, (digits, places) = printed(result)
    value.same(shown)
    away = abs(value.number - shown.number)
    if relation == "=":
        if away:
            raise Wrong(f"{float(value.number / step)} and not {float(shown.number / step)}")
        return
    if relation != "≈":
        raise Wrong(f"no relation {relation!r}")
    if away <= step / 2 or away <= abs(shown.number) / 10**11:
        return
    zeros = len(digits.replace(",", "")) - len(digits.replace(",", "").rstrip("0"))
    if places == 0 and zeros and away <= step * 10 ** min(zeros, 2) / 2:
        whole_steps.append(result)
        return
    raise Wrong(f"comes to {float(value.number / step * F(1, 10**places)):.15g}")


def quantity(text):
    """A written quantity at the end of a text; a label may stand before it."""
    for long, short in LONG.items():
        text = text.replace(long, short)
    found = QUANTITY.search(text)
    if not found:
        raise Wrong(f"no quantity in {text!r}")
    text = found.group()
    for long, short in LONG.items():
        text = text.replace(short, long)
    return text


def absolute(text, reading):
    """A quantity; a temperature on a scale counts from absolute zero."""
    value, step, _ = printed(text)
    symbol = text.partition(NBSP)[2]
    if reading and symbol in ZEROS:
        value = Value(value.number + ZEROS[symbol] * UNITS[symbol][0], value.powers)
    return value, step


def check_given(given):
    """Every converted value is what was written."""
    if given["converted_from"] is None:
        return 0
    pairs = zip(re.split(r"; |, ", given["text"]), re.split(r"; |, ", given["converted_from"]),
                strict=True)
    for shown, wrote in pairs:
        shown, step = absolute(quantity(shown), True)
        wrote, _ = absolute(quantity(wrote), True)
        shown.same(wrote)
        if abs(shown.number - wrote.number) > step / 2:
            raise Wrong(f"{given['converted_from']} is not {given['text']}")
    return 1


def check_answer(answer, text, lines, system):
    """Some line's result, rounded as the answer says, is the answer."""
    # What is left out is as its table says: metric like US, to the nearest, no clock.
    shown = answer.get("shown-si", answer["shown"]) if system == "si" else answer["shown"]
    number, _, symbol = shown.partition(" ")
    factor, dimension = UNITS[ASCII.get(symbol, symbol)]
    step, dimension = F(number), of_unit(dimension)
    if answer.get("clock", "no") == "yes":
        minutes, seconds = text.split(":")
        told = F(int(minutes) * 60 + int(seconds))
    else:
        told = Reader(text).all().number / factor
    for line in lines:
        if ":" in line["result"]:
            # The line that makes minutes and seconds of another line's result.
            continue
        value = Reader(line["result"]).all()
        if value.powers != dimension:
            continue
        exact = value.number / factor
        if rounded(exact, step, answer.get("round", "near")) == told:
            return
        # A value on a step has no decimal in the unit of the line, as 20 s in minutes.
        if line["relation"] == "≈" and rounded(exact, step, "near") == told:
            if abs(exact - told) <= abs(told) / 10**6:
                return
    raise Wrong(f"no line gives the answer {text}")


def check_board(board, whole_steps):
    worked, faults = board["worked"], []
    counts = Counter(boards=1)
    def checked(what, text, check):
        try:
            counts[what] += 1
            check()
        except Wrong as wrong:
            faults.append(f"{worked['formula']} {board['system']} {what}: {text}: {wrong}")
    for given in worked["givens"]:
        if given["converted_from"] is not None:
            checked("conversions", given["label"], lambda: check_given(given))
    for line in worked["lines"]:
        text = f"{line['numbers']} {line['relation']} {line['result']}"
        checked("lines", text, lambda: check_line(
            line["numbers"], line["relation"], line["result"], whole_steps))
    for answer, told in zip(board["answers"], worked["answers"], strict=True):
        # An answer that does not come to an end has no number.
        if told.get("value") == "":
            continue
        checked("answers", told["text"], lambda: check_answer(
            answer, told["text"], worked["lines"], board["system"]))
    return counts, faults


def check_self():
    """Right lines pass and wrong ones do not."""
    n = NBSP
    right = [
        (f"0.5{n}% × 95{n}gpm", "=", f"0.475{n}gpm"),
        (f"81.09{n}gal ÷ 95{n}gpm", "≈", f"0.854{n}min"),
        (f"15.5{n}psi × (150{n}gpm ÷ 100{n}gpm)² × (200{n}ft ÷ 100{n}ft)", "=", f"69.75{n}psi"),
        (f"15.5{n}psi/(100{n}gpm)²/100{n}ft × (150{n}gpm)² × 200{n}ft", "=", f"69.75{n}psi"),
        (f"29.7{n}gpm × 1² × √(50)", "≈", f"210.01{n}gpm"),
        ("e^(−3)", "≈", f"4.98{n}%"), ("2 × 3 − 4 ÷ 2", "=", "4"), ("|2 − 5|^2", "=", "9"),
        (f"smallest of (1{n}m; 3{n}ft)", "=", f"91.44{n}cm"), ("10^−2", "=", f"1{n}%"),
        (f"(123{n}ft) down to a multiple of 50{n}ft", "=", f"100{n}ft"),
        (f"1{n}imp{n}gal + 0{n}fl{n}oz", "=", f"4.54609{n}L"), ("12,000 + 1", "=", "12,001"),
        (f"(10.526{n}min) down to a multiple of 1{n}s", "=", "10:31"),
    ]
    wrong = [
        (f"0.5{n}% × 95{n}gpm", "=", f"0.476{n}gpm"), (f"0.5{n}% × 95{n}gpm", "=", f"0.48{n}gpm"),
        (f"81.09{n}gal ÷ 95{n}gpm", "≈", f"0.855{n}min"), (f"2{n}gal + 3{n}min", "=", f"5{n}gal"),
        (f"81.09{n}gal ÷ 95{n}gpm", "≈", f"0.854{n}gal"), ("2 × 3", "≈", "7"), ("1 ÷ 0", "=", "0"),
        (f"5{n}ft²", "=", f"25{n}ft²"), ("2 x 3", "=", "6"), (f"1{n}gpn", "=", f"1{n}gpm"),
        ("e^(−3)", "=", f"4.98{n}%"), ("2 × (3", "=", "6"),
        (f"(10.526{n}min) down to a multiple of 1{n}s", "=", "10:32"),
    ]
    for line in right:
        check_line(*line, [])
    for line in wrong:
        try:
            check_line(*line, [])
        except Wrong:
            continue
        sys.exit(f"a wrong line passes: {line}")
    given = {"text": f"2.559{n}in", "converted_from": f"65{n}mm"}
    check_given(given)
    faulty = {"system": "us", "answers": [{"shown": "1 s", "shown_si": "1 s", "round": "up",
                                           "clock": False}],
              "worked": {"formula": "self", "givens": [given | {"text": f"2.56{n}in"},
                                                       given | {"label": "bore",
                                                                "text": f"2.558{n}in"}],
                         "lines": [{"numbers": f"51.2{n}s", "relation": "=",
                                    "result": f"51.2{n}s"}],
                         "answers": [{"text": f"51{n}s"}]}}
    faulty["worked"]["givens"][0]["label"] = "bore"
    _, faults = check_board(faulty, [])
    assert len(faults) == 2, faults


def main(path):
    check_self()
    with open(path, encoding="utf-8") as file:
        boards = json.load(file)
    total, faults, whole_steps = Counter(), [], []
    for board in boards:
        counts, found = check_board(board, whole_steps)
        total += counts
        faults += found
    formulas = len({board["worked"]["formula"] for board in boards})
    print(", ".join(f"{count} {what}" for what, count in total.items()),
          f"of {formulas} formulas read back; {len(whole_steps)} results in whole tens")
    print("\n".join(faults[:60]))
    if faults:
        print(f"{len(faults)} are not true as printed")
    return 1 if faults or formulas < 90 else 0


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
