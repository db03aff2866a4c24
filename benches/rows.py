"""Runs and answers by the thousand: `rows.py SITE OUT MANY` writes runs.csv, runs.yaml, runs.json, answers.csv
and a copy of the example's module with the people in it.

The runs are those of the example's own table, one after the other under another run, another person, another
number of the attempt and on another day, so that none repeats one before it. The answers are to the first paper
of the site.
"""

import csv
import datetime
import json
import re
import shutil
import sys
from pathlib import Path

CONTENT = Path(__file__).resolve().parent.parent / "content"


def runs(many):
    with open(CONTENT / "runs" / "totals-2026-11-23.csv", newline="") as file:
        table = csv.DictReader(file)
        rows, head = list(table), table.fieldnames
    made = []
    for number in range(many):
        row = dict(rows[number % len(rows)])
        person, attempt = divmod(number, 3)
        day = datetime.date(2026, 11, 12) + datetime.timedelta(days=2 * attempt)
        row["run"] = f"bench-{number:05}"
        row["candidate"], row["attempt"] = f"person-{person:05}", str(attempt + 1)
        row["performed-at"] = f"{day} {6 + person // 60 % 12:02}:{person % 60:02}"
        row["entered-at"] = f"{day} 20:00"
        row["notes"] = ""
        made.append(row)
    return head, made


def nested(row):
    """A row as the group that it is in YAML and JSON."""
    out = {}
    for key, value in row.items():
        if value == "":
            continue
        if key in ("order-seen",):
            value = value.split()
        if key.startswith("crew."):
            value = [value]
        *way, last = key.split(".")
        into = out
        for part in way:
            into = into.setdefault(part, {})
        into[last] = value
    return out


def main(site, out, many):
    out.mkdir(parents=True, exist_ok=True)
    head, rows = runs(many)
    with open(out / "runs.csv", "w", newline="") as file:
        table = csv.DictWriter(file, head)
        table.writeheader()
        table.writerows(rows)
    groups = [nested(row) for row in rows]
    (out / "runs.json").write_text(json.dumps(groups, separators=(",", ":")))
    # Written as people write it: a file of JSON would be YAML too.
    lines = []

    def write(value, indent):
        for key, inner in value.items():
            if isinstance(inner, dict):
                lines.append(f"{indent}{key}:")
                write(inner, indent + "  ")
            elif isinstance(inner, list):
                lines.append(f"{indent}{key}: [{', '.join(inner)}]")
            else:
                plain = inner if re.fullmatch(r"[A-Za-z][\w ,-]*", inner) else json.dumps(inner)
                lines.append(f"{indent}{key}: {plain}")

    for group in groups:
        start = len(lines)
        write(group, "  ")
        lines[start] = "- " + lines[start][2:]
    (out / "runs.yaml").write_text("\n".join(lines) + "\n")

    forms = json.loads((site / "keys" / "papers-forms.json").read_text())["forms"]
    form = forms[0]
    people = [f"person-{number:05}" for number in range(many)]
    shutil.rmtree(out / "content", ignore_errors=True)
    shutil.copytree(CONTENT, out / "content", ignore=shutil.ignore_patterns("trade"))
    with open(out / "content" / "people.yaml", "a") as file:
        for person in people[: many // 3 + 1]:
            file.write(f"- person: {person}\n  name: {person} (invented)\n  rank: Firefighter\n  officer: no\n")
    with open(out / "answers.csv", "w", newline="") as file:
        table = csv.writer(file)
        items = form["items"]
        table.writerow(["person", "form", *range(1, len(items) + 1)])
        for number in range(many):
            table.writerow([people[number], form["code"], *("1" for _ in items)])


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]))
