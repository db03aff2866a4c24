"""What a department would write for itself: the same pages and draws by PyYAML, markdown-it-py and Jinja2.

`plain.py CONTENT OUT`. It reads the module and the trade library, draws the numbers of each practice sheet
and paper, works the formulas in floats and writes one file for each page that the program makes. It checks
nothing, proves nothing and keeps nothing of an earlier run: whatever it leaves out it is quicker by, so
that the figure beside it is never flattered.
"""

import hashlib
import json
import random
import re
import sys
from pathlib import Path

import yaml
from jinja2 import DictLoader, Environment
from markdown_it import MarkdownIt

TRADE = Path(__file__).resolve().parent.parent / "content" / "trade"
FACTORS = {
    "%": 0.01, "gal": 231.0, "gpm": 231.0 / 60, "L/min": 61.0237441 / 60, "L": 61.0237441, "mL": 0.0610237441,
    "floz": 1.8046875, "qt": 57.75, "min": 60.0, "s": 1.0, "h": 3600.0, "ft": 12.0, "in": 1.0, "m": 39.3700787,
    "mm": 0.0393700787, "psi": 1.0, "kPa": 0.145037738, "bar": 14.5037738, "lb": 1.0, "kg": 2.20462262,
    "lb/gal": 1 / 231.0, "ft2": 144.0, "m2": 1550.0031, "gpm/ft2": 231.0 / 60 / 144, "ft3": 1728.0,
    "scfm": 1728.0 / 60, "lbf": 1.0, "psi/(100 gpm)^2/100 ft": 1 / (385.0**2 * 1200),
}
UNIT = "|".join(sorted(map(re.escape, FACTORS), key=len, reverse=True))
QUANTITY = re.compile(rf"(?<![\w.-])(\d[\d,]*(?:\.\d+)?)\s+({UNIT})(?![\w/])|(?<![\w.-])(\d+(?:\.\d+)?)%")
NAME = re.compile(r"[A-Za-z][A-Za-z0-9]*(?:-[A-Za-z0-9]+)*")
WORDS = {"if", "then", "else", "and", "or", "is", "min", "max", "abs", "sqrt", "ln", "exp", "down", "up", "near"}


def read(path):
    return yaml.load(path.read_text(), Loader=yaml.CSafeLoader)


def number(text):
    """A value as it stands in a file, as a float in base units."""
    text = str(text)
    found = QUANTITY.match(text)
    if found and found[0]:
        return float((found[1] or found[3]).replace(",", "")) * FACTORS[found[2] or "%"]
    # A unit that is not in the table stands for itself.
    found = re.match(r"-?\d[\d,]*(?:\.\d+)?", text)
    return float(found[0].replace(",", "")) if found else None


def python_of(line):
    """A line of a formula as an expression of Python; names with hyphens get underscores."""
    line = re.sub(r"\{([^|}]*)\|[^}]*\}", r"\1", line)
    line = QUANTITY.sub(lambda found: repr(number(found[0])), line)
    line = re.sub(rf"\(([\w -]+) as ({UNIT})\)", lambda found: f"({found[1]} / {FACTORS[found[2]]!r})", line)
    line = re.sub(r"if (.*) then (.*) else (.*)", r"((\2) if (\1) else (\3))", line)
    line = re.sub(r"sum over ([\w-]+) of \((.*)\)", r"sum((\2) for row in \1)", line)
    line = re.sub(r"count of ([\w-]+)", r"len(\1)", line).replace("^", "**")
    return NAME.sub(lambda found: found[0].replace("-", "_"), line)


class Library:
    def __init__(self, content):
        self.formulas, self.families = {}, read(TRADE / "families.yaml")
        for folder in (TRADE / "formulas", content / "formulas"):
            for path in sorted(folder.glob("*.yaml")):
                for formula in read(path):
                    self.formulas[formula["formula"]] = formula
        self.lines = {}
        for name, formula in self.formulas.items():
            lines = [line["line"].split(" = ", 1) for line in formula["work"]]
            slips = [[line.split(" = ", 1) for line in slip.get("lines", [])] for slip in formula.get("slips", [])]
            self.lines[name] = ([self.line(*line) for line in lines], [[self.line(*l) for l in s] for s in slips])

    @staticmethod
    def line(name, value):
        text = python_of(value)
        try:
            return name.replace("-", "_"), compile(text, name, "eval"), text
        except SyntaxError:
            return name.replace("-", "_"), None, text

    def work(self, name, givens):
        """Board and answer, and what each slip gives."""
        lines, slips = self.lines.get(name, ([], []))
        known = {key.replace("-", "_"): value for key, value in givens.items()}
        scope = {"__builtins__": {}, "min": min, "max": max, "sum": sum, "len": len, "abs": abs}
        board = []

        def run(lines, values):
            value = None
            for target, code, text in lines:
                try:
                    value = eval(code, scope, values) if code else None
                except (ArithmeticError, NameError, TypeError):
                    value = None
                values[target] = value
                yield target, text, value

        board = list(run(lines, known))
        wrong = []
        for slip in slips:
            for _, _, value in run(slip, dict(known)):
                pass
            wrong.append(value)
        return board, wrong


class Module:
    def __init__(self, content):
        self.head = read(content / "module.yaml")
        self.library = Library(content)
        folder = lambda part: [read(path) for path in sorted((content / part).glob("*.yaml"))]
        by = lambda things, key: {thing[key]: thing for thing in things}
        self.drills = by(folder("drills"), "drill")
        self.rigs = by(folder("rigs"), "rig")
        self.sets = by(folder("questions"), "set")
        self.runs = [run for run in folder("runs")]
        self.leaves = read(content / "leaves.yaml")
        self.teaches = read(content / "teaches.yaml")
        self.terms = read(content / "terms.yaml")
        self.local = read(content / "local.yaml")
        self.people = read(content / "people.yaml")
        self.objectives = by(read(content / "objectives.yaml"), "objective")
        self.cautions = by(read(TRADE / "cautions.yaml") + read(content / "cautions.yaml"), "caution")
        self.acts = read(TRADE / "unsafe-acts.yaml")
        self.topics = read(TRADE / "topics.yaml")
        self.sources = read(TRADE / "sources.yaml") + read(content / "sources.yaml")
        self.lessons = self.head["lessons"]
        self.texts = {lesson["lesson"]: (content / lesson["file"]).read_text() for lesson in self.lessons}
        self.guide = (content / "evaluator.md").read_text()
        self.reach = {}

    def draw(self, question, seed):
        """Numbers of a question, its text, its answer and the wrong ones."""
        rng = random.Random(f"{seed}|{question['question']}")
        drawn, shown = {}, {}
        for name, way in question.get("draw", {}).items():
            if isinstance(way, str):
                rig = self.rigs[question["rig"]]
                lines = [outlet for outlet in rig["outlets"] if outlet.get("foam")]
                line = rng.choice(lines)
                shown[name], shown[f"{name}.flow"] = line["title"], line["flow"]
                drawn[name], drawn[f"{name}.flow"] = None, number(line["flow"])
                continue
            if "of" in way:
                text = str(rng.choice(way["of"]))
            elif "from" in way:
                low, high, step = (number(way[key]) for key in ("from", "to", "step"))
                value = low + step * rng.randrange(int((high - low) / step + 1.5)) if step else low
                unit = str(way["from"]).split(" ", 1)[-1]
                text = f"{value / FACTORS.get(unit, 1.0):g} {unit}"
            else:
                text = str(next(iter(way.values())))
            shown[name], drawn[name] = text, number(text)
        text = re.sub(r"\{([\w.-]+)\}", lambda found: str(shown.get(found[1], found[0])), question["text"])
        ask = question.get("ask", {})
        givens = dict(drawn)
        for name, value in ask.get("with", {}).items():
            if isinstance(value, str) and value.startswith("draw."):
                givens[name] = drawn.get(value[5:])
            elif isinstance(value, str):
                givens[name] = number(value)
        board, wrong = self.library.work(ask.get("formula", ""), givens)
        options = [option["says"] for option in question.get("options", [])] or wrong
        steps = list(question.get("steps", []))
        rng.shuffle(options)
        rng.shuffle(steps)
        return {"text": text, "board": board, "options": options, "steps": steps, "question": question}

    def kit(self, drill):
        rigs = [self.rigs[rig] for rig in drill.get("for", {}).get("rigs", self.rigs)]
        formulas = {
            bound["formula"]: self.library.formulas.get(bound["formula"])
            for measure in drill.get("measures", []) for bound in [measure.get("expect", {})]
            if isinstance(bound, dict) and "formula" in bound
        }
        return {"drill": drill, "rigs": rigs, "formulas": formulas, "acts": self.acts, "people": self.people}


TEMPLATES = {
    "base": """<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>{{ title }}</title>
<link rel="stylesheet" href="plain.css"></head><body data-kind="{{ kind }}"><header><p>{{ head.department }}</p>
<h1>{{ title }}</h1><p>{{ head.invented }}</p></header><section class="cautions">{% for c in cautions %}
<p><strong>{{ c.signal }}</strong> {{ c.headline }}</p><p>{{ c.hazard }} <b>{{ c.control }}</b> {{ c.source }}</p>
{% endfor %}<p>Local procedures, the maker's manual and the officer in charge decide.</p></section>
<main>{% block main %}{% endblock %}</main><footer>{% for c in cautions %}<b>{{ c.signal }}</b> {{ c.headline }}
{% endfor %} {{ head.edition }} {{ head['review-by'] }}</footer></body></html>""",
    "parts": """{% macro tree(v) %}{% if v is mapping %}<dl>{% for k, x in v.items() %}<dt>{{ k }}</dt>
<dd>{{ tree(x) }}</dd>{% endfor %}</dl>{% elif v is string or v is not iterable %}{{ v }}{% else %}<ul>
{% for x in v %}<li>{{ tree(x) }}</li>{% endfor %}</ul>{% endif %}{% endmacro %}""",
    "drill": """{% extends "base" %}{% from "parts" import tree %}{% block main %}<p>{{ d.task }}</p><ol>
{% for s in d.steps %}<li id="step-{{ loop.index }}"><p><b>{{ s.do }}</b> {{ s.weight }}</p><p>{{ s.why }}</p>
{% if s.hazard %}<p>{{ s.hazard }}</p>{% endif %}<p>{{ s.sees }} {{ s.role }}</p></li>{% endfor %}</ol>
<ul>{% for c in d.criticals %}<li><b>{{ c.act }}</b> {{ c.reason }} {{ c.source }}</li>{% endfor %}</ul>
{% for part in ['outcome', 'given', 'measures', 'stop', 'roles', 'starts-with', 'leaves', 'runoff', 'modes', 'order',
'attempts'] %}<section><h2>{{ part }}</h2>{{ tree(d[part]) }}</section>{% endfor %}
<ul>{% for a in acts %}<li>{{ a.act }} {{ a.reason }} {{ a.source }}</li>{% endfor %}</ul>
{% for t in local %}<p>{{ t.topic }}: {{ t.decision }} {{ t.by }} {{ t.on }}</p>{% endfor %}{% endblock %}""",
    "sheet": """{% extends "base" %}{% from "parts" import tree %}{% block main %}<p>{{ revision }}</p>
{% for f in ['Candidate', 'Run', 'Attempt', 'Performed at', 'Entered at', 'Weather', 'Light', 'Evaluator'] %}
<div class="f"><span>{{ f }}</span><span class="line"></span></div>{% endfor %}{{ tree(d.given) }}{{ tree(d.roles) }}
<table>{% for s in d.steps %}<tr><td>{{ loop.index }}</td><td><b>{{ s.do }}</b> {{ s.sees }}</td><td>{{ s.weight }}</td>
{% for b in ['done', 'prompted', 'not done', 'not seen'] %}<td><span class="box"></span>{{ b }}</td>{% endfor %}</tr>
{% endfor %}</table><table>{% for c in d.criticals %}<tr><td>{{ c.act }}</td><td>{{ c.reason }}</td>
{% for b in ['NO', 'YES', 'NOT SEEN'] %}<td><span class="box"></span>{{ b }}</td>{% endfor %}</tr>{% endfor %}
{% for a in acts %}<tr><td>{{ a.act }}</td><td>{{ a.reason }}</td>{% for b in ['NO', 'YES', 'NOT SEEN'] %}
<td><span class="box"></span>{{ b }}</td>{% endfor %}</tr>{% endfor %}</table>{{ tree(d.measures) }}{{ tree(d.order) }}
{{ tree(d.stop) }}{{ tree(d.attempts) }}{{ tree(rig.outlets) }}{% endblock %}""",
    "paper": """{% extends "base" %}{% block main %}{% for q in drawn %}<section class="q"><h2>{{ loop.index }}</h2>
<p>{{ q.text }}</p>{% for o in q.options %}<p><span class="box"></span>{{ o }}</p>{% endfor %}
{% for s in q.steps %}<p><span class="box"></span>{{ s }}</p>{% endfor %}{% if key %}{% for n, t, v in q.board %}
<p>{{ n }} = {{ t }} = {{ v }}</p>{% endfor %}{% for o in q.question.options or [] %}<p>{{ o.says }} {{ o.because }}</p>
{% endfor %}{% endif %}<p>{{ q.question.remark or '' }}</p></section>{% endfor %}{% endblock %}""",
    "html": '{% extends "base" %}{% block main %}{{ html | safe }}{% endblock %}',
    "tree": '{% extends "base" %}{% from "parts" import tree %}{% block main %}{{ tree(value) }}{% endblock %}',
    "kit": """{% extends "base" %}{% block main %}<template id="kit">{{ kit }}</template>{% endblock %}""",
}


def main(content, out):
    module = Module(content)
    environment = Environment(loader=DictLoader(TEMPLATES), autoescape=True)
    templates = {name: environment.get_template(name) for name in TEMPLATES}
    for side in ("crew", "staff"):
        (out / side).mkdir(parents=True, exist_ok=True)

    def page(name, template, title, cautions=(), **values):
        known = [module.cautions[caution] for caution in cautions if caution in module.cautions][:3]
        known = known or [next(iter(module.cautions.values()))]
        text = templates[template].render(title=title, kind=template, head=module.head, cautions=known, **values)
        (out / name).write_text(text)

    markdown = MarkdownIt("commonmark").enable("table")
    found = []
    for lesson in module.lessons:
        name = lesson["lesson"]
        html = markdown.render(module.texts[name])
        for example in lesson.get("examples", []):
            board, _ = module.library.work(example["formula"], {k: number(v) for k, v in example["with"].items()})
            html += "".join(f"<p>{line} = {text} = {value}</p>" for line, text, value in board)
        for check in lesson.get("checks", []):
            html += f"<p>{check['asks']}</p><p>{check['answer']} {check['because']}</p>"
        page(f"crew/lesson-{name}.html", "html", lesson["title"], lesson["cautions"], html=html)
        found += [["lesson", lesson["title"], line] for line in module.texts[name].split("\n\n")]
    for leaf in module.leaves:
        page(f"staff/leaf-{leaf['leaf']}.html", "tree", leaf["leaf"], value=leaf)
    for name, drill in module.drills.items():
        local = [topic for topic in module.local if topic["topic"] in drill["local"]]
        given = {"d": drill, "acts": module.acts, "cautions": drill["cautions"]}
        page(f"crew/drill-{name}.html", "drill", drill["title"], local=local, **given)
        page(f"crew/live-{name}.html", "kit", drill["title"], drill["cautions"], kit=json.dumps(module.kit(drill), default=str))
        revision = hashlib.sha256(json.dumps(drill, sort_keys=True, default=str).encode()).hexdigest()
        for rig in drill.get("for", {}).get("rigs", module.rigs):
            for side in ("crew", "staff"):
                at = f"{side}/sheet-{name}-{rig}.html"
                page(at, "sheet", drill["title"], rig=module.rigs[rig], revision=revision, **given)
        found += [["step", drill["title"], f"{step['do']} {step['why']}"] for step in drill["steps"]]
    for name, rig in module.rigs.items():
        page(f"crew/rig-{name}.html", "tree", rig["title"], value=rig)
    for name, questions in module.sets.items():
        listed = questions["questions"]
        formulas = {q["ask"]["formula"] for q in listed if "ask" in q}
        kit = {"set": questions, "formulas": [module.library.formulas.get(f) for f in sorted(formulas)]}
        kit["drills"] = [module.drills.get(q["drill"]) for q in listed if "drill" in q]
        cautions = questions["cautions"]
        page(f"crew/practice-{name}.html", "kit", questions["title"], cautions, kit=json.dumps(kit, default=str))
        for sheet in (1, 2):
            drawn = [module.draw(question, f"practice {sheet}") for question in listed]
            page(f"crew/practice-{name}-{sheet}.html", "paper", questions["title"], cautions, drawn=drawn, key=True)
        drawn = [module.draw(question, "graded") for question in listed]
        page(f"staff/paper-{name}.html", "paper", questions["title"], cautions, drawn=drawn, key=False)
        page(f"staff/key-{name}.html", "paper", questions["title"], cautions, drawn=drawn, key=True)
    for chain in module.head["chains"]:
        for side in ("crew", "staff"):
            page(f"{side}/chain-{chain['chain']}.html", "tree", chain["title"],
                 value=[module.drills[drill] for drill in chain["drills"]])
        kits = [module.kit(module.drills[drill]) for drill in chain["drills"]]
        page(f"crew/live-{chain['chain']}.html", "kit", chain["title"], kit=json.dumps(kits, default=str))
    for family in module.library.families:
        of = [f for f in module.library.formulas.values() if f["family"] == family["family"]]
        page(f"crew/family-{family['family']}.html", "tree", family["title"], value=of)
    index = [[drill["title"] for drill in module.drills.values()], [lesson["title"] for lesson in module.lessons],
             [rig["title"] for rig in module.rigs.values()], [found["title"] for found in module.sets.values()]]
    lists = {"crew/index": index, "staff/index": [index, module.runs], "crew/glossary": module.terms,
             "crew/cautions": list(module.cautions.values()), "crew/sources": module.sources,
             "crew/figures": module.topics, "staff/coverage": module.teaches, "staff/runs": module.runs}
    for name, value in lists.items():
        page(f"{name}.html", "tree", name.split("/")[1], value=value)
    page("staff/evaluator.html", "html", "evaluator", html=markdown.render(module.guide))
    (out / "crew" / "find.js").write_text("globalThis.passages = " + json.dumps(found) + ";\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
