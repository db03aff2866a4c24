"""Rebuilds the drawn numbers of graded papers from the parts of their seeds.

    paper.py FORMS.json... --content DIR

Own reading of everything that matters: SHA-256 of the parts joined by U+001F (Python's hashlib) is
the key of a ChaCha20 stream (written here after RFC 8439, counter 0, nonce 0), read as words of 32
bits, least byte first. A number below n is a word modulo n; words beyond the last whole multiple of
n are thrown away. One number is drawn for each draw of the question, in the author's order; so many
such rows are passed over as the forms file says were thrown away.

The draws are read from the module's question sheets and rig cards, by their indentation alone.
Exit 1 when a number on a form is another one, or when nothing was compared.
"""

import hashlib
import json
import pathlib
import re
import struct
import sys
from fractions import Fraction

MASK = 0xFFFFFFFF


def block(key, counter):
    """One block of the key stream as sixteen words (RFC 8439, section 2.3, nonce 0)."""
    start = list(struct.unpack("<4I", b"expand 32-byte k"))
    start += struct.unpack("<8I", key)
    start += [counter, 0, 0, 0]
    state = start[:]

    def quarter(a, b, c, d):
        for x, y, z, turn in ((a, b, d, 16), (c, d, b, 12), (a, b, d, 8), (c, d, b, 7)):
            state[x] = (state[x] + state[y]) & MASK
            mixed = state[z] ^ state[x]
            state[z] = ((mixed << turn) | (mixed >> (32 - turn))) & MASK

    for _ in range(10):
        for column in range(4):
            quarter(column, column + 4, column + 8, column + 12)
        for column in range(4):
            quarter(
                column,
                (column + 1) % 4 + 4,
                (column + 2) % 4 + 8,
                (column + 3) % 4 + 12,
            )
    return [(a + b) & MASK for a, b in zip(start, state)]


def words(key):
    counter = 0
    while True:
        yield from block(key, counter)
        counter += 1


def below(stream, limit):
    usable = (1 << 32) - (1 << 32) % limit
    while True:
        word = next(stream)
        if word < usable:
            return word % limit


def parsed(text):
    """"95 gpm" as an exact number and its unit."""
    number, unit = re.fullmatch(r"(-?[\d.]+)\s*(.*)", text).groups()
    return Fraction(number), unit


def printed(number, unit):
    """As on paper: no superfluous zeros, five digits and more set apart, the unit held to them."""
    digits = 0
    while number * 10**digits % 1:
        digits += 1
    text = f"{abs(int(number * 10**digits)):0{digits + 1}d}"
    whole, part = (text[:-digits], text[-digits:]) if digits else (text, "")
    whole = f"{int(whole):,}" if len(whole) > 4 else whole
    unit = unit.replace("ft2", "ft²").replace("m2", "m²").replace("deg", "°")
    unit = unit.replace("^2", "²").replace("(100 ", "(100\u00a0").replace("/100 ", "/100\u00a0")
    text = ("−" if number < 0 else "") + whole + (f".{part}" if part else "")
    return text + (f"\u00a0{unit}" if unit else "")


def unquoted(text):
    return text.strip().strip("\"'")


def listed(text):
    return [unquoted(part) for part in text.strip("[] ").split(",")]


def foam_lines(content, rig):
    """The titles of the foam lines of a rig card, in its order."""
    lines, title = [], None
    for line in (content / "rigs" / f"{rig}.yaml").read_text("utf-8").splitlines():
        if line.startswith("- outlet:"):
            title = None
        elif line.startswith("  title:"):
            title = unquoted(line.split(":", 1)[1])
        elif line.startswith("  foam: yes") and title:
            lines.append(title)
    return lines


def pools(content, sheet):
    """Every draw of a sheet of questions: its values as printed, by question and name."""
    found, question, name, inside = {}, None, None, False
    fields = {}

    def close():
        nonlocal fields
        if name and "from" in fields:
            (least, unit), (most, _), (step, _) = (
                parsed(fields[key]) for key in ("from", "to", "step")
            )
            count = int((most - least) // step) + 1
            values = [printed(least + step * at, unit) for at in range(count)]
            found[question].append((name, values))
        elif name and "of" in fields:
            values = listed(fields["of"])
            if re.match(r"-?[\d.]", values[0]):
                values = [printed(*parsed(value)) for value in values]
            found[question].append((name, values))
        fields = {}

    for line in sheet.read_text("utf-8").splitlines():
        if line.startswith("- question:"):
            close()
            question, name, inside = unquoted(line.split(":", 1)[1]), None, False
            found[question] = []
        elif re.match(r"  \S", line):
            close()
            name, inside = None, line.startswith("  draw:")
        elif inside and re.match(r"    \S", line):
            close()
            name, rest = (part.strip() for part in line.split(":", 1))
            if rest.startswith("foam line of "):
                rig = rest.removeprefix("foam line of ").strip()
                found[question].append((name, foam_lines(content, rig)))
                name = None
        elif inside and re.match(r"      \w+:", line):
            key, rest = (part.strip() for part in line.split(":", 1))
            fields[key] = unquoted(rest)
    close()
    return found


def compare(form, known, wrong):
    """Compares one form; returns how many drawn values were looked at."""
    looked = 0
    for item in form["items"]:
        draws = known[item["question"]]
        key = hashlib.sha256("\x1f".join(item["parts"]).encode()).digest()
        stream = words(key)
        row = []
        for _ in range(item["redraws"] + 1):
            row = [values[below(stream, len(values))] for _, values in draws]
        mine = dict(zip((name for name, _ in draws), row))
        theirs = {value["name"]: value["text"] for value in item["drawn"]}
        if mine != theirs:
            wrong.append(f"{form['code']} {item['question']}: {theirs}, rebuilt {mine}")
        seed = form["seed"]
        copy = [] if form["copy"] is None else [str(form["copy"])]
        parts = ["graded", form["draw_version"], item["question"], seed, *copy]
        if item["parts"] != [*parts, str(form["attempt"])]:
            wrong.append(f"{form['code']} {item['question']}: other parts than it says")
        looked += len(theirs)
    return looked


def main(arguments):
    content = pathlib.Path(arguments[arguments.index("--content") + 1])
    files = arguments[: arguments.index("--content")]
    known = {}
    for sheet in sorted((content / "questions").glob("*.yaml")):
        known |= pools(content, sheet)
    looked, forms, wrong = 0, 0, []
    for file in files:
        for form in json.loads(pathlib.Path(file).read_text("utf-8"))["forms"]:
            looked += compare(form, known, wrong)
            forms += 1
    print(f"{looked} drawn values on {forms} papers rebuilt, {len(wrong)} differ")
    for line in wrong:
        print(line)
    return 1 if wrong or not looked else 0


if __name__ == "__main__":
    # RFC 8439, appendix A.1, test vector 1: the first words of the key of zeros.
    assert block(bytes(32), 0)[:2] == [0xADE0B876, 0x903DF1A0]
    sys.exit(main(sys.argv[1:]))
