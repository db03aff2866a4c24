"""The schemas of the program, held against the files of the example by another program.

Each file of the module must be accepted by the schema of its thing, and with one field that is not
there, one that is missing, or a word that is none, it must be refused: a schema that accepts all would
pass the first.

    schemas.py PROGRAM CONTENT CHECKER
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

# What stands in which files, by the name of the thing. Lists are files of one thing each.
FILES = {
    "module": ["module.yaml"],
    "rig": ["rigs/*.yaml"],
    "concentrate": ["concentrates/*.yaml"],
    "drill": ["drills/*.yaml"],
    "local-procedure": ["local.yaml"],
    "caution": ["cautions.yaml"],
    "objective": ["objectives.yaml"],
    "term": ["terms.yaml"],
    "question-set": ["questions/*.yaml"],
    "person": ["people.yaml"],
    "due-sheet": ["roster.yaml"],
    "source": ["sources.yaml"],
    "run": ["runs/*.yaml"],
}

# Lines of the example and what no schema may accept in their place.
REFUSED = [
    ("rig", "rigs/engine-7.yaml", "title:", "titel:"),
    ("rig", "rigs/engine-7.yaml", "foam: yes", "foam: perhaps"),
    ("rig", "rigs/engine-7.yaml", "usable: 720 gal", "usable: 720 psi"),
    ("rig", "rigs/engine-7.yaml", "usable: 720 gal", "usable: 720"),
    ("drill", "drills/flush.yaml", "revision:", "revison:"),
    ("drill", "drills/flush.yaml", "role: operator", "role: Pump Operator"),
    ("run", "runs/tv-2026-001.yaml", "use: ", "used: "),
    ("run", "runs/alder-2026-11.yaml", "attempt: ", "atempt: "),
    ("run", "runs/rowan-2026-11.yaml", "mode: ", "mood: "),
    ("module", "module.yaml", "units: us", "units: metric"),
    ("module", "module.yaml", "paper: letter", "paper: legal"),
    ("objective", "objectives.yaml", "condition:", "conditions:"),
]


def accepts(checker: str, schema: Path, files: list[Path]) -> subprocess.CompletedProcess:
    names = [str(file) for file in files]
    return subprocess.run(
        [checker, "--default-filetype", "yaml", "--schemafile", str(schema), *names],
        capture_output=True,
        text=True,
        check=False,
    )


def main(program: str, content: Path, checker: str) -> int:
    faults: list[str] = []
    checked = 0
    with tempfile.TemporaryDirectory() as folder:
        scratch = Path(folder)
        schemas = {}
        for thing in FILES:
            told = subprocess.run([program, "schema", thing], capture_output=True, text=True, check=True)
            json.loads(told.stdout)
            schemas[thing] = scratch / f"{thing}.schema.json"
            schemas[thing].write_text(told.stdout)
        for thing, patterns in FILES.items():
            files = sorted(file for pattern in patterns for file in content.glob(pattern))
            if not files:
                faults.append(f"{thing}: the example has no such file")
                continue
            done = accepts(checker, schemas[thing], files)
            checked += len(files)
            if done.returncode:
                faults.append(f"{thing}: refused\n{done.stdout}{done.stderr}")
        for thing, name, was, wrong in REFUSED:
            text = (content / name).read_text()
            if was not in text:
                faults.append(f"{name} has no {was!r}")
                continue
            file = scratch / "wrong.yaml"
            file.write_text(text.replace(was, wrong, 1))
            if not accepts(checker, schemas[thing], [file]).returncode:
                faults.append(f"{name}: {wrong!r} is accepted")
    for fault in faults:
        print(fault, file=sys.stderr)
    print(f"{checked} files held against their schemas, {len(REFUSED)} slips refused")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], Path(sys.argv[2]), sys.argv[3]))
