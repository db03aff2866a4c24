//! The front: who, what is declared, criticals, unsafe acts, numbers.

use super::super::super::sheet::own_criticals;
use super::Paper;
use super::parts::{block, cell, crossed, heading, line, row, table, tick};
use crate::course::{CriticalMark, RunUse};
use crate::practice::view::Node;
use crate::scoring::{Decision, Line, Rule, short_revision};

pub(super) fn nodes(paper: Paper<'_>) -> Vec<Node> {
    let mut nodes = vec![
        top(paper),
        Node::text("p", paper.desk.get("unsigned")),
        head(paper),
        declared(paper),
        staff(paper),
        roles(paper),
        criticals(paper),
        unsafe_acts(paper),
    ];
    nodes.extend(readings(paper));
    nodes.extend(measures(paper));
    nodes.extend(watch(paper));
    nodes
}

fn top(paper: Paper<'_>) -> Node {
    let (kit, verdict) = (paper.part.kit, &paper.part.verdict);
    let rig = kit.rig();
    let never = paper.get("not-checked");
    let of_rig = paper.say(
        "rig-revision",
        &[
            ("rig", &rig.title),
            ("checked", rig.checked.as_ref().map_or(&never, |check| &check.on)),
            ("hash", short_revision(kit.rig_revision())),
        ],
    );
    let title = Node::text("h2", verdict.drill_title.clone()).with("class", "so-title");
    let right = [
        Node::text("b", paper.get("kicker.run")),
        Node::text("span", verdict.drill_revision_text.clone()),
        Node::text("span", of_rig),
    ];
    Node::new("div").with("class", "so-top").holding([
        Node::new("div").holding([title]),
        Node::new("div").with("class", "so-right").holding(right),
    ])
}

fn head(paper: Paper<'_>) -> Node {
    let sheet = &paper.part.sheet;
    let outlet = paper.part.kit.rig().outlet(&sheet.outlet);
    let outlet = outlet.map_or_else(|| sheet.outlet.clone(), |known| known.title.clone());
    let entered = sheet.entered_at.clone().unwrap_or_else(|| paper.get("same-time"));
    paper.fields([
        ("candidate", 2, paper.name(&sheet.candidate)),
        ("run", 2, sheet.id.clone()),
        ("attempt", 1, sheet.attempt.to_string()),
        ("outlet", 1, outlet),
        ("performed", 2, sheet.performed_at.clone()),
        ("entered", 2, entered),
        ("weather", 1, sheet.weather.clone()),
        ("light", 1, sheet.light.clone()),
    ])
}

fn declared(paper: Paper<'_>) -> Node {
    let sheet = &paper.part.sheet;
    let practice = sheet.use_ == RunUse::Practice;
    let uses = [("practice", practice), ("evaluation", !practice)];
    let modes = paper.part.kit.drill().modes.iter();
    let modes = modes.map(|mode| (mode.word(), *mode == sheet.mode));
    let of_use = [paper.bold("use")].into_iter().chain(paper.ticks("use", uses));
    let of_mode = [paper.bold("mode")].into_iter().chain(paper.ticks("mode", modes));
    Node::new("p").with("class", "so-row so-declared").holding(of_use.chain(of_mode))
}

fn staff(paper: Paper<'_>) -> Node {
    let sheet = &paper.part.sheet;
    let judge = &sheet.evaluator;
    let time = paper.part.kit.drill().time.as_ref();
    let (holder, watch) = match time {
        Some(time) => {
            let step = time.resolution.printed();
            let blanks = [("who", time.watch.as_str()), ("step", step.as_str())];
            ("watch-holder", paper.say("watch", &blanks))
        }
        None => ("watch-free", paper.get("no-watch")),
    };
    paper.fields([
        ("evaluator", 2, paper.name(&judge.person)),
        ("qualification", 2, judge.qualification.clone()),
        ("relation", 2, judge.relation.clone()),
        ("safety-officer", 2, paper.name(&sheet.safety_officer)),
        ("stop-word", 2, sheet.stop_word.clone()),
        (holder, 2, watch),
    ])
}

fn roles(paper: Paper<'_>) -> Node {
    let sheet = &paper.part.sheet;
    let one = |role: &crate::course::Role| {
        let person = if role.id == sheet.role {
            Some(&sheet.candidate)
        } else {
            sheet.crew.get(&role.id)
        };
        let name = person.map(|id| paper.name(id)).unwrap_or_default();
        line(role.title.clone(), 2, name)
    };
    row(paper.part.kit.drill().roles.iter().map(one))
}

fn criticals(paper: Paper<'_>) -> Node {
    let head = [("so-act", paper.get("label.criticals")), ("so-note", String::new())];
    let boxes = CriticalMark::ALL
        .iter()
        // words: sheet.mark.{CriticalMark}
        .map(|(_, known)| ("so-mark", paper.get(&format!("mark.{}", known.key()))));
    let rows = own_criticals(paper.part.kit, paper.desk.state).map(|critical| {
        let mark = paper.part.sheet.criticals.get(&critical.id);
        let boxes = CriticalMark::ALL.iter();
        let boxes = boxes.map(|(_, known)| crossed(mark == Some(known)));
        Node::new("tr")
            .holding([
                cell("so-act", critical.act.clone()),
                cell("so-note", critical.reason.clone()),
            ])
            .holding(boxes)
    });
    table("so-marks so-criticals", head.into_iter().chain(boxes), rows)
}

fn unsafe_acts(paper: Paper<'_>) -> Node {
    let acts = paper.part.kit.data().unsafe_acts.iter();
    let seen = &paper.part.sheet.unsafe_acts;
    let acts = acts.map(|act| tick(act.act.clone(), seen.contains(&act.id)));
    block([
        heading(paper.get("label.unsafe")),
        Node::new("div").with("class", "so-unsafe").holding(acts),
    ])
}

fn readings(paper: Paper<'_>) -> Option<Node> {
    let one = |reading: &crate::course::Reading| {
        let blanks = [("label", reading.label.as_str()), ("unit", reading.unit.as_str())];
        let value = paper.part.sheet.readings.get(&reading.id);
        let value = value.map(crate::quantity::Quantity::printed).unwrap_or_default();
        line(paper.say("reading", &blanks), 3, value)
    };
    let readings = &paper.part.kit.drill().readings;
    (!readings.is_empty()).then(|| row(readings.iter().map(one)))
}

fn measures(paper: Paper<'_>) -> Option<Node> {
    let row = |line: &Line| {
        let outside = matches!(line.decision, Decision::Costs | Decision::Fails);
        Node::new("tr").holding([
            cell("so-act", line.label.clone()),
            cell("so-note", line.expected.clone()),
            cell("so-value", line.seen.clone()),
            crossed(line.decision == Decision::Kept),
            crossed(outside),
        ])
    };
    let rows: Vec<Node> = paper.part.verdict.of_rule(Rule::Measure).map(row).collect();
    let head = [
        ("so-act", "label.measures"),
        ("so-note", "label.expected"),
        ("so-value", "label.written"),
        ("so-mark", "inside"),
        ("so-mark", "outside"),
    ];
    let head = head.map(|(class, key)| (class, paper.get(key)));
    (!rows.is_empty()).then(|| table("so-marks", head, rows))
}

fn watch(paper: Paper<'_>) -> Option<Node> {
    paper.part.kit.drill().time.as_ref()?;
    let time = paper.part.sheet.time.as_ref();
    let taken = time.map(|time| time.taken.printed()).unwrap_or_default();
    let held = time.and_then(|time| time.held.as_ref());
    let held = held.map(crate::quantity::Quantity::printed).unwrap_or_default();
    Some(paper.fields([("taken", 3, taken), ("held", 3, held)]))
}
