//! The filled sheet as it is printed and signed.

use super::super::sheet::Part;
use super::super::state::State;
use super::super::turn::Desk;
use super::field::label;
use super::step::{CRITICAL_MARKS, MARKS, place};
use crate::practice::view::Node;
use crate::scoring::{Line, Rule};

pub(super) fn sheet(desk: &Desk<'_>, part: &Part<'_>) -> Node {
    let mut kids = vec![
        Node::text("h2", desk.say("paper", &[("drill", &part.verdict.drill_title)])),
        Node::text("p", desk.get("unsigned")),
        declared(desk, part),
        criticals(desk, part),
        steps(desk, part),
    ];
    kids.extend(values(desk, part));
    kids.push(
        Node::text("p", part.verdict.outcome_text.clone()).with("class", "outcome"),
    );
    kids.push(Node::text("p", part.verdict.reason.clone()));
    kids.extend(part.verdict.next.iter().map(|next| Node::text("p", next.clone())));
    kids.push(said(desk, desk.state));
    kids.push(signatures(desk));
    Node::new("section").with("class", "paper").holding(kids)
}

fn fact(label: String, value: String) -> Node {
    Node::new("div").with("class", "so-field").holding([
        Node::text("span", label).with("class", "so-label"),
        Node::text("span", value).with("class", "so-line"),
    ])
}

fn declared(desk: &Desk<'_>, part: &Part<'_>) -> Node {
    let (sheet, verdict) = (&part.sheet, &part.verdict);
    let name = |id: &str| desk.live.name(id).to_owned();
    let crew =
        sheet.crew.iter().map(|(role, person)| format!("{role}: {}", name(person)));
    let crew: Vec<String> = crew.collect();
    let outlet = part.kit.rig().outlet(&sheet.outlet);
    let outlet =
        outlet.map_or_else(|| sheet.outlet.clone(), |outlet| outlet.title.clone());
    let time = sheet.time.as_ref().map(|time| time.taken.printed());
    let stop =
        sheet.stop.as_ref().map(|stop| format!("{}: {}", name(&stop.by), stop.why));
    let facts = [
        ("candidate", name(&sheet.candidate)),
        ("run", sheet.id.clone()),
        ("attempt", sheet.attempt.to_string()),
        ("use", verdict.use_text.clone()),
        ("mode", verdict.mode_text.clone()),
        ("rig", verdict.rig_title.clone()),
        ("outlet", outlet),
        ("role", sheet.role.clone()),
        ("crew", crew.join(", ")),
        ("evaluator", name(&sheet.evaluator.person)),
        ("qualification", sheet.evaluator.qualification.clone()),
        ("relation", sheet.evaluator.relation.clone()),
        ("safety-officer", name(&sheet.safety_officer)),
        ("stop-word", sheet.stop_word.clone()),
        ("weather", sheet.weather.clone()),
        ("light", sheet.light.clone()),
        ("performed-at", sheet.performed_at.clone()),
        ("entered-at", sheet.entered_at.clone().unwrap_or_default()),
        ("revision", verdict.drill_revision_text.clone()),
        (
            "rig-revision",
            crate::scoring::short_revision(&verdict.rig_revision).to_owned(),
        ),
        ("taken", time.unwrap_or_default()),
        ("stop.by", stop.unwrap_or_default()),
    ];
    let shown = facts.into_iter().filter(|(_, value)| !value.is_empty());
    let shown = shown.map(|(field, value)| fact(label(desk, field), value));
    Node::new("div").with("class", "so-fields so-four").holding(shown)
}

fn table(head: Vec<String>, rows: Vec<Node>) -> Node {
    let head = head.into_iter().map(|text| Node::text("th", text).with("scope", "col"));
    Node::new("table").with("class", "so-marks").holding([
        Node::new("thead").holding([Node::new("tr").holding(head)]),
        Node::new("tbody").holding(rows),
    ])
}

fn crossed(on: bool) -> Node {
    let cross = if on { "×" } else { "" };
    let box_ = Node::text("span", cross).with("class", "so-box");
    Node::new("td").with("class", "so-mark").holding([box_])
}

fn act(text: String) -> Node {
    Node::text("td", text).with("class", "so-act")
}

fn criticals(desk: &Desk<'_>, part: &Part<'_>) -> Node {
    let mut head = vec![desk.get("criticals")];
    head.extend(
        CRITICAL_MARKS.iter().map(|(_, key)| desk.get(&format!("critical-mark.{key}"))),
    );
    let rows = super::super::sheet::own_criticals(part.kit, desk.state).map(|critical| {
        let mark = part.sheet.criticals.get(&critical.id);
        let boxes = CRITICAL_MARKS.iter().map(|(known, _)| crossed(mark == Some(known)));
        Node::new("tr").holding([act(critical.act.clone())]).holding(boxes)
    });
    table(head, rows.collect())
}

fn steps(desk: &Desk<'_>, part: &Part<'_>) -> Node {
    let sheet = &part.sheet;
    let mut head = vec![desk.get("steps")];
    head.extend(MARKS.iter().map(|(_, key)| desk.get(&format!("mark.{key}"))));
    head.extend(
        ["not-applicable", "out-of-order"].map(|key| desk.get(&format!("mark.{key}"))),
    );
    let rows = super::super::sheet::own_steps(Some(part.kit), desk.state).map(|step| {
        let mark = sheet.marks.get(&step.id);
        let boxes = MARKS.iter().map(|(known, _)| crossed(mark == Some(known)));
        let none = crossed(mark == Some(&crate::course::Mark::NotApplicable));
        let order = crossed(sheet.out_of_order.contains(&step.id));
        let text = format!("{}. {}", place(part.kit, &step.id), step.action);
        Node::new("tr").holding([act(text)]).holding(boxes).holding([none, order])
    });
    table(head, rows.collect())
}

fn values(desk: &Desk<'_>, part: &Part<'_>) -> Option<Node> {
    let wanted =
        |line: &&Line| matches!(line.rule, Rule::Measure | Rule::Reading | Rule::Time);
    let row = |line: &Line| {
        let cells = [&line.label, &line.expected, &line.seen];
        Node::new("tr").holding(cells.map(|text| act(text.clone())))
    };
    let rows: Vec<Node> = part.verdict.lines.iter().filter(wanted).map(row).collect();
    let head = ["values", "expected", "written"];
    let head = head.map(|key| desk.get(&format!("column.{key}"))).to_vec();
    (!rows.is_empty()).then(|| table(head, rows))
}

fn said(desk: &Desk<'_>, state: &State) -> Node {
    let fields = ["notes", "remediation", "words", "void"];
    let said = fields.into_iter().filter(|field| !state.text(field).is_empty());
    let said = said.map(|field| fact(label(desk, field), state.text(field).to_owned()));
    Node::new("div").with("class", "so-fields").holding(said)
}

fn signatures(desk: &Desk<'_>) -> Node {
    let who = ["sign.candidate", "sign.evaluator", "sign.safety-officer"];
    let who = who.map(|key| fact(desk.get(key), String::new()));
    Node::new("div").with("class", "so-fields so-four so-sign").holding(who)
}
