"""A table of outside values: givens as a person writes them, and what a library makes of them."""

import random
from decimal import Decimal

import pint

ureg = pint.UnitRegistry()
Q = ureg.Quantity
# Friction coefficients: pressure lost by the square of a flow in hundreds, and hundreds of length.
# An acre of 43,560 feet squared; the library's own one is of survey feet.
ureg.define("field_acre = 43560 * foot**2")
ureg.define("us_hose = 1e-6 * psi / (gallon / minute)**2 / foot")
ureg.define("kpa_hose = 1e-6 * kilopascal / (liter / minute)**2 / meter")
ureg.define("bar_hose = 1e-6 * bar / (liter / minute)**2 / meter")

# Our symbols in the words of the units library, where it does not know them itself.
UNITS = {
    "in": "inch", "ft": "foot", "yd": "yard",
    "in2": "inch**2", "ft2": "foot**2", "mm2": "mm**2", "m2": "m**2",
    "in3": "inch**3", "ft3": "foot**3", "gal": "gallon", "impgal": "imperial_gallon",
    "qt": "quart", "floz": "fluid_ounce", "m3": "m**3",
    "gpm": "gallon/minute", "gph": "gallon/hour", "impgpm": "imperial_gallon/minute",
    "acre": "field_acre", "ft3/min": "foot**3/minute", "m3/h": "m**3/hour", "scfm": "foot**3/minute", "m3/min": "m**3/minute",
    "L/min": "liter/minute", "L/s": "liter/second",
    "lb": "pound", "oz": "ounce", "lbf": "pound_force", "inHg": "inch_Hg",
    "lb/gal": "pound/gallon", "lb/ft3": "pound/foot**3", "kg/m3": "kg/m**3",
    "gpm/ft2": "gallon/minute/foot**2", "L/min/m2": "liter/minute/m**2",
    "Btu": "Btu_it", "Btu/lb": "Btu_it/pound", "Fdeg": "delta_degF", "Cdeg": "delta_degC",
    "mS/cm": "millisiemens/cm", "uS/cm": "microsiemens/cm",
    "psi/(100 gpm)^2/100 ft": "us_hose", "kPa/(100 L/min)^2/100 m": "kpa_hose",
    "bar/(100 L/min)^2/100 m": "bar_hose",
    "%": "percent", "": "dimensionless", "dBA": "dimensionless",
}

EXACT = 1e-9
TABLES = []


def unit(symbol):
    """The unit of the library that one of our symbols stands for."""
    return ureg.Unit(UNITS.get(symbol, symbol))


def read(text):
    """`95 gpm` as a quantity of the library."""
    number, _, symbol = text.partition(" ")
    return Q(float(number), unit(symbol))


def written(value, symbol, digits=3):
    """A value to three figures with its unit, as a person writes it."""
    short = Decimal(f"{value:.{digits - 1}e}")
    return f"{short.normalize():f} {symbol}".strip()


def drawn(chance, span):
    """One value of a span: words to choose from, or a unit, the least and the largest value."""
    if isinstance(span, list):
        return chance.choice(span)
    symbol, least, most = span
    if least > 0:
        return written(least * (most / least) ** chance.random(), symbol)
    return written(least + (most - least) * chance.random(), symbol)


def number(value, symbol):
    """The bare number of a value in one of our units, to twelve figures."""
    if isinstance(value, pint.Quantity):
        value = value.to(unit(symbol)).magnitude
    return float(f"{float(value):.11e}")


def given(text):
    """What the worker of a table gets: a quantity, a word, or rows of quantities."""
    if isinstance(text, list):
        return [{name: read(cell) for name, cell in row.items()} for row in text]
    return read(text) if text[:1] in "-.0123456789" else text


def answer(symbol, tolerance=EXACT, why=None):
    """Unit of an answer, the largest relative deviation that is borne, and its reason."""
    assert why or tolerance <= 1e-6, "a deviation needs its reason"
    return {"unit": symbol, "tolerance": tolerance, **({"why": why} if why else {})}


def table(formula, by, work, answers, us=None, si=None, rows=8):
    """Adds one table a system. `work` gets the givens by name and returns answers by name, or
    nothing where the formula has none; spans are those of `drawn`, or functions of a chance."""
    for system, spans in (("us", us), ("si", si)):
        if spans is None:
            continue
        chance = random.Random(f"{formula} {by} {system}")
        entry = {"formula": formula, "system": system, "by": by, "answers": answers, "rows": []}
        for _ in range(100 * rows):
            texts = {
                name: span(chance) if callable(span) else drawn(chance, span)
                for name, span in spans.items()
            }
            found = work(**{name.replace("-", "_"): given(text) for name, text in texts.items()})
            if found is None:
                continue
            expect = {name: number(found[name], answers[name]["unit"]) for name in answers}
            entry["rows"].append({"given": texts, "expect": expect})
            if len(entry["rows"]) == rows:
                break
        assert len(entry["rows"]) == rows, f"{formula} {system}: too few rows"
        TABLES.append(entry)


def rows_of(least, most, **columns):
    """Rows of a list, a random number of them between two bounds."""
    def draw(chance):
        count = chance.randint(least, most)
        return [{n: drawn(chance, span) for n, span in columns.items()} for _ in range(count)]
    return draw
