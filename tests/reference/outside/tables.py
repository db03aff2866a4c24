#!/usr/bin/env python3
"""Values from general libraries that the trade library is compared with.

    tables.py write      writes the tables beside this file
    tables.py compare    works them out again and compares with what is written

A table names the library behind it. The comparison is by number, with a tolerance for the
last bits that differ between machines; the Rust tests read the same tables.
"""

import importlib
import json
import sys
from importlib.metadata import version
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

import book  # noqa: E402

FAMILIES = ["units", "proportioning", "endurance", "refill", "hydraulics", "eductor", "flush",
            "compressed_air_foam", "class_b", "heat", "accuracy", "safety", "scoring"]
LIBRARIES = ["fluids", "iapws", "numpy", "pint", "scipy"]
# The same double arithmetic on another machine, and iterations that stop a step apart.
LAST_BITS = 1e-8


def made(family):
    """The tables of a family."""
    module = importlib.import_module(f"families.{family}")
    tables, book.TABLES = book.TABLES, []
    return {
        "made_with": {name: version(name) for name in LIBRARIES},
        **({"formulas": tables} if tables else {}), **getattr(module, "OTHERS", {}),
    }


def text(tables):
    """JSON with one row on a line, so that a change can be read."""
    out = []
    def flat(value):
        return json.dumps(value, ensure_ascii=False)
    def table(entry, indent):
        head = [f'{indent}  "{k}": {flat(v)},' for k, v in entry.items() if k != "rows"]
        rows = ",\n".join(f"{indent}    {flat(row)}" for row in entry["rows"])
        return "\n".join([indent + "{", *head, f'{indent}  "rows": [', rows,
                          f"{indent}  ]", indent + "}"])
    for key, value in tables.items():
        if key == "made_with":
            out.append(f'  "{key}": {flat(value)}')
        elif key == "formulas":
            out.append(f'  "{key}": [\n' + ",\n".join(table(t, "    ") for t in value) + "\n  ]")
        else:
            out.append(f'  "{key}": ' + table(value, "  ").lstrip())
    return "{\n" + ",\n".join(out) + "\n}\n"


def differences(old, new, place=""):
    """Places at which two tables differ by more than the last bits."""
    if isinstance(old, dict) and isinstance(new, dict) and old.keys() == new.keys():
        for key in old:
            yield from differences(old[key], new[key], f"{place}.{key}")
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for at, pair in enumerate(zip(old, new)):
            yield from differences(*pair, f"{place}[{at}]")
    elif isinstance(old, (int, float)) and isinstance(new, (int, float)):
        if abs(old - new) > LAST_BITS * max(abs(old), abs(new), 1e-9):
            yield f"{place}: {old} is written, {new} comes out"
    elif old != new:
        yield f"{place}: {old} is written, {new} comes out"


def check_comparison():
    """The comparison itself speaks up, and keeps quiet over the last bits."""
    old = {"a": [1.0, "x"], "b": 2}
    assert list(differences(old, {"a": [1.0 + 1e-12, "x"], "b": 2})) == []
    for new in ({"a": [1.00001, "x"], "b": 2}, {"a": [1.0, "y"], "b": 2}, {"a": [1.0], "b": 2},
                {"a": [1.0, "x"]}):
        assert list(differences(old, new)), new


def main(what):
    check_comparison()
    wrong, rows = [], 0
    for family in FAMILIES:
        path, tables = HERE / "tables" / f"{family.replace('_', '-')}.json", made(family)
        rows += sum(len(t["rows"]) for t in tables.get("formulas", []))
        if what == "write":
            path.parent.mkdir(exist_ok=True)
            path.write_text(text(tables), encoding="utf-8")
        else:
            old = json.loads(path.read_text(encoding="utf-8"))
            wrong += [f"{path.name} {line}" for line in differences(old, tables)]
    print(f"{rows} rows of formulas, made with",
          ", ".join(f"{name} {version(name)}" for name in LIBRARIES))
    print("\n".join(wrong[:40]))
    return 1 if wrong else 0


if __name__ == "__main__":
    if sys.argv[1:] not in (["write"], ["compare"]):
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
