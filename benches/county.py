"""Makes a county of the example: `county.py FOLDER COPIES`, a module of the same files under other names.

One copy is a tenth of a tenth: COPIES 5 gives 104 drills, 1,010 questions, 50 lessons and 10 rigs, COPIES 50
ten times as much of each. The first copy is the example as it stands, so that its runs, revisions and
people still belong to something.
"""

import re
import shutil
import sys
from pathlib import Path

EXAMPLE = Path(__file__).resolve().parent.parent / "content"

# Drills and questions for each five copies of lessons and rigs: what makes 1,000 and 10,000 of 500 and 100.
DRILLS, SETS = 8, 10


def named(copy):
    """What stands behind a name in a copy."""
    return "" if copy == 0 else f"-c{copy}"


def numbered(text, pattern, copy, count=1):
    """The text with the titles behind a pattern numbered, inside their quotation marks where they have any."""
    def of(found):
        quoted = re.fullmatch(r"([\"'])(.*)\1", found[2])
        return f"{found[1]}{quoted[1]}{quoted[2]} ({copy}){quoted[1]}" if quoted else f"{found[1]}{found[2]} ({copy})"
    return re.sub(pattern, of, text, count=count)


def fields(text, names, copy, names_of="title"):
    """The text with the titles that may stand only once in a module numbered."""
    if copy == 0:
        return text
    for name in names:
        text = re.sub(rf"(?m)^({name}: )(\S+)$", rf"\g<1>\g<2>{named(copy)}", text, count=1)
    return numbered(text, rf"(?m)^({names_of}: )(.*)$", copy)


def rigs_of(text, copy, number):
    """The text with the rigs of a copy in place of those of the example."""
    at = copy % number
    text = re.sub(r"\b(engine-7|tender-3)\b(?!-card)", rf"\g<1>{named(at)}", text)
    if at:
        text = text.replace("Engine 7", f"Engine {700 + at}").replace("Tender 3", f"Tender {300 + at}")
    return text


def drill(text, name, copy, number):
    text = fields(text, ["drill"], copy)
    if copy:
        text = re.sub(r"(?m)^short: (.{1,14}).*$", rf"short: \g<1> {copy}", text, count=1)
    if "\nfor:\n" not in text:
        # Purge needs the compressor that Engine 7 has; what stands for every rig stands for one of each here,
        # because a drill of a county is for the rigs of its station.
        rigs = "[engine-7]" if name == "purge" else "[engine-7, tender-3]"
        text = re.sub(r"(?m)^modes:", f"for:\n  rigs: {rigs}\nmodes:", text, count=1)
    return rigs_of(text, copy, number)


def renamed(text, pattern, copy):
    """Names behind `pattern`, of the copy."""
    return re.sub(pattern, rf"\g<0>{named(copy)}", text)


def main(folder, copies):
    whole = copies
    drills, sets = copies * DRILLS // 5, copies * SETS // 5
    shutil.rmtree(folder, ignore_errors=True)
    left_out = shutil.ignore_patterns("trade", "revisions")
    shutil.copytree(EXAMPLE, folder, ignore=left_out)
    shutil.copytree(EXAMPLE / "revisions", folder / "revisions")

    def each(part, many, make):
        for path in sorted((EXAMPLE / part).iterdir()):
            text = path.read_text()
            for copy in range(many):
                (folder / part / f"{path.stem}{named(copy)}{path.suffix}").write_text(make(text, path.stem, copy))

    each("rigs", whole, lambda text, _, copy: rigs_of(text, copy, whole))
    each("drills", drills, lambda text, name, copy: drill(text, name, copy, whole))

    names = sorted(path.stem for path in (EXAMPLE / "drills").iterdir())
    any_drill = "|".join(sorted(names, key=len, reverse=True))

    def lesson(text, _, copy):
        text = re.sub(r"\]\(([a-z-]+)\.md", rf"](\g<1>{named(copy)}.md", text)
        text = re.sub(rf"drill:({any_drill})\b", rf"drill:\g<1>{named(copy)}", text)
        return rigs_of(text, copy, whole)

    each("lessons", whole, lesson)

    def questions(text, _, copy):
        text = fields(text, ["set"], copy)
        text = renamed(text, r"(?m)^- question: \S+", copy)
        text = re.sub(rf"(?m)^(  drill: )({any_drill})$", rf"\g<1>\g<2>{named(copy % drills)}", text)
        return rigs_of(text, copy, whole)

    each("questions", sets, questions)

    def entries(text, copy, many):
        """Lessons of the module's head."""
        text = renamed(text, r"(?m)^- lesson: \S+", copy)
        text = re.sub(r"(?m)^(  file: lessons/\S+)\.md$", rf"\g<1>{named(copy)}.md", text)
        if copy:
            text = numbered(text, r"(?m)^(  title: )(.*)$", copy, 0)
            # Pages to be sent are made where they are asked for; a county asks for those of one station.
            text = text.replace("  send: yes\n", "")
        return rigs_of(text, copy, many)

    head = (EXAMPLE / "module.yaml").read_text()
    before, rest = head.split("\nlessons:\n", 1)
    body, rest = rest.split("\ndrills:\n", 1)
    listed, rest = rest.split("\nchains:\n", 1)
    chains, rest = rest.split("\nsets: [", 1)
    sets_of, rest = rest.split("]\nrigs: [engine-7, tender-3]\n", 1)
    order = [line[2:] for line in listed.splitlines()]
    text = before + "\nlessons:\n"
    text += "".join(entries(body, copy, whole) + "\n" for copy in range(whole))
    text += "drills:\n" + "".join(f"- {name}{named(copy)}\n" for copy in range(drills) for name in order)
    text += "chains:\n" + chains + "\nsets:\n"
    text += "".join(f"- {name}{named(copy)}\n" for copy in range(sets) for name in sets_of.split(", "))
    text += "rigs:\n" + "".join(f"- {name}{named(copy)}\n" for copy in range(whole) for name in ("engine-7", "tender-3"))
    (folder / "module.yaml").write_text(text + rest)

    leaves = (EXAMPLE / "leaves.yaml").read_text()
    many = [renamed(leaves, r"(?m)^- leaf: \S+", copy) for copy in range(whole)]
    (folder / "leaves.yaml").write_text("".join(rigs_of(text, copy, whole) for copy, text in enumerate(many)))

    teaches = (EXAMPLE / "teaches.yaml").read_text()
    # What one paragraph teaches stands in one entry; so each copy of a lesson names the drills and questions of
    # all copies that are learned from it.
    made = []
    for copy in range(whole):
        text = renamed(teaches, r"(?m)^- lesson: \S+", copy)
        if copy:
            # What every drill is held to is taught once, whoever else tells it too.
            text = re.sub(r"(?m)^  (limits|acts|slips): .*\n", "", text)
        entry = []
        for part in re.split(r"(?m)^(?=- lesson: )", text):
            found = re.search(r"(?ms)^  drills:\n((?:  - .*?\n|    .*?\n)+)", part)
            if found:
                block = "".join(
                    re.sub(r"(?m)^  - drill: (\S+)", rf"  - drill: \g<1>{named(other)}", found[1])
                    for other in range(copy, drills, whole)
                )
                part = part[: found.start(1)] + block + part[found.end(1) :]
            found = re.search(r"(?m)^  questions: \[([^\]]*)\]", part)
            if found:
                every = [
                    name.strip() + named(other) for other in range(copy, sets, whole) for name in found[1].split(",")
                ]
                part = part[: found.start(1)] + ", ".join(every) + part[found.end(1) :]
            entry.append(part)
        made.append("".join(entry))
    (folder / "teaches.yaml").write_text("".join(made))


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
