"""The table of ratios: `ratios.py PROGRAM SCRATCH` measures whole processes, each figure a ratio in one run.

    python3 -m venv .target/benches
    .target/benches/bin/pip install --only-binary :all: -r benches/requirements.txt
    .target/benches/bin/python benches/ratios.py .target/release/drillwright /tmp/ratios

Two times are told of each process: by the clock, and of its processors (user and system), because a machine
that does something else meanwhile makes the first one longer and hardly the second. Memory is the most that
the process held. Nothing is judged here; the goals stand beside the figures in DEVELOPERS.md.
"""

import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

BENCHES = Path(__file__).resolve().parent
EXAMPLE = BENCHES.parent / "content"
SEED = "example salmon flute compass tundra marble velcro orchid"
TODAY = "2026-11-27"


class Measured:
    """One whole process."""

    def __init__(self, *command, good=(0,)):
        began = time.monotonic()
        process = subprocess.Popen([str(part) for part in command], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        said = process.stderr.read().decode()
        _, status, used = os.wait4(process.pid, 0)
        self.clock = time.monotonic() - began
        self.busy = used.ru_utime + used.ru_stime
        self.memory = used.ru_maxrss / 1024
        if os.waitstatus_to_exitcode(status) not in good:
            sys.exit(f"{command}: {said[-500:]}")

    def __str__(self):
        return f"{self.clock:.2f} s by the clock, {self.busy:.2f} s of its processors, {self.memory:.0f} MB"


def row(figure, one, other=None, times=1):
    """Tells a figure; of two processes the ratio of the first to `times` the second."""
    if other is None:
        print(f"| {figure} | | {one} |")
        return
    clock, busy = one.clock / (times * other.clock), one.busy / (times * other.busy)
    print(f"| {figure} | {clock:.3f} by the clock, {busy:.3f} of processors | {one}; against {other} |")


def changed(path, pattern, text):
    """Changes the first place of a file, as an author does; its time is later than that of what was made."""
    said = path.read_text()
    new = re.sub(pattern, text, said, count=1, flags=re.M)
    assert new != said, f"{path} has no {pattern}"
    path.write_text(new)


def county(program, scratch, python):
    made = {}
    for name, copies in (("tenth", 5), ("whole", 50)):
        content, site = scratch / name, scratch / f"{name}-site"
        subprocess.run([python, BENCHES / "county.py", content, str(copies)], check=True)
        shutil.rmtree(site, ignore_errors=True)
        compile = [program, "compile", "--content", content, "--out", site, "--seed", SEED]
        cold = Measured(*compile)
        # The revisions that were kept belong to the sources now; what is written in the same second as the
        # program would be made again.
        again = Measured(*compile)
        plain = Measured(python, BENCHES / "plain.py", content, scratch / f"{name}-plain")
        copied = Measured("cp", "-r", site, scratch / f"{name}-copied")
        made[name] = cold
        row(f"{name}: cold against the plain script", cold, plain)
        row(f"{name}: unchanged against cold", again, cold)
        row(f"{name}: cold against cp -r of the site", cold, copied)
        for left in (f"{name}-copied", f"{name}-plain"):
            shutil.rmtree(scratch / left)
    row("the whole against ten tenths", made["whole"], made["tenth"], 10)


def example(program, scratch):
    content, site = scratch / "example", scratch / "example-site"
    for folder in (content, site):
        shutil.rmtree(folder, ignore_errors=True)
    shutil.copytree(EXAMPLE, content, ignore=shutil.ignore_patterns("trade"))
    compile = [program, "compile", "--content", content, "--out", site, "--seed", SEED]
    row("example: cold", Measured(*compile))
    row("example: unchanged", Measured(*compile))
    changed(content / "drills" / "flush.yaml", "^  weight: 1$", "  weight: 2")
    row("example: one drill changed", Measured(*compile))
    changed(content / "rigs" / "engine-7.yaml", "usable: 720 gal", "usable: 710 gal")
    row("example: one figure of a rig changed", Measured(*compile))


def rows(program, scratch, python):
    site = scratch / "example-site"
    for many in (2000, 20000):
        subprocess.run([python, BENCHES / "rows.py", site, scratch / str(many), str(many)], check=True)
    for kind in ("csv", "yaml", "json"):
        few, all = (
            Measured(program, "score", scratch / many / f"runs.{kind}", "--content", scratch / "20000" / "content",
                     "--today", TODAY, good=(0, 1))
            for many in ("2000", "20000")
        )
        row(f"score of 20,000 runs in {kind.upper()} against ten times 2,000", all, few, 10)
    few, all = (
        Measured(program, "mark", scratch / many / "answers.csv", "--site", site, "--results", scratch / f"{many}-results",
                 good=(0, 1))
        for many in ("2000", "20000")
    )
    row("mark of 20,000 rows against ten times 2,000", all, few, 10)


def main(program, scratch):
    scratch.mkdir(parents=True, exist_ok=True)
    print("| figure | ratio | processes |\n| --- | --- | --- |")
    county(program, scratch, sys.executable)
    example(program, scratch)
    row("work", Measured(program, "work", "concentrate-flow", "flow=95 gpm", "percent=0.5 %"))
    rows(program, scratch, sys.executable)


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve())
