//! What speaks against itself, one question at a time: a critical that is marked no while the
//! sheet shows that it happened (rule 8).

use serde_json::json;

use super::super::asked::run_kits;
use super::super::desk::Desk;
use super::super::sheet::sheet;
use super::field::{buttons, choice, id, line_as, officers};
use crate::course::CriticalMark;
use crate::practice::view::Node;
use crate::scoring::{Kit, Question, questions};

/// The first question that is open, and below it those that are settled, which can still be
/// changed.
pub(super) fn contradictions(desk: &Desk<'_>) -> Vec<Node> {
    let all = run_kits(desk.live, desk.state).flat_map(|kit| {
        let found = questions(kit, &sheet(desk.live, desk.state, kit));
        found.into_iter().map(move |question| (kit, question))
    });
    let all: Vec<(&Kit, Question)> = all.collect();
    // One at a time: a list of questions is answered with one look.
    let open: Vec<&(&Kit, Question)> =
        all.iter().filter(|(_, question)| !question.settled).collect();
    let mut nodes = Vec::new();
    if let Some((kit, question)) = open.first() {
        let count = open.len().to_string();
        nodes.push(asked(desk, kit, question, &count));
    }
    let settled = all
        .iter()
        .filter(|(kit, question)| question.settled && kit.drill().id == desk.state.drill);
    nodes.extend(settled.map(|(kit, question)| {
        Node::new("div").with("class", "note").holding([
            Node::text("p", question.text.clone()),
            Node::new("div").with("class", "fields").holding(why(desk, kit, question)),
        ])
    }));
    nodes
}

fn asked(desk: &Desk<'_>, kit: &Kit, question: &Question, count: &str) -> Node {
    let drill = kit.drill();
    let head = Node::text("p", desk.say("contradiction", &[("count", count)]));
    let box_ = Node::new("div").with("class", "note").with("id", "question");
    let text = Node::text("p", question.text.clone()).with("id", "question-text");
    let box_ = box_.holding([head, text]);
    // A tap is about the drill that is shown.
    if drill.id != desk.state.drill {
        let turn = desk.say("contradiction-turn", &[("drill", &drill.title)]);
        let act = json!({ "do": "turn", "drill": drill.id });
        return box_.holding([Node::button(turn, act).with("id", "question-turn")]);
    }
    let critical = &question.critical;
    let yes =
        json!({ "do": "critical", "critical": critical, "mark": CriticalMark::Yes });
    let mut keys =
        vec![Node::button(desk.get("answer-yes"), yes).with("id", "answer-yes")];
    if let Some(at) = place(&drill.id, question) {
        let look = json!({ "do": "look", "at": at });
        keys.push(Node::button(desk.get("answer-slip"), look).with("id", "answer-slip"));
    }
    let stands = field(&drill.id, critical, "stands");
    let chosen = desk.state.text(&stands) == "yes";
    let no = json!({ "do": "write", "field": stands, "text": "yes" });
    let no = Node::button(desk.get("answer-no"), no)
        .with("id", format!("{}-yes", id(&stands)))
        .with("aria-pressed", if chosen { "true" } else { "false" });
    keys.push(no);
    let keys = Node::new("div")
        .with("class", "buttons")
        .with("role", "group")
        .with("aria-labelledby", "question-text")
        .holding(keys);
    let fields = chosen.then(|| {
        Node::new("div").with("class", "fields").holding(why(desk, kit, question))
    });
    box_.holding([keys]).holding(fields)
}

/// Why it did not happen, and which second officer saw it so.
fn why(desk: &Desk<'_>, kit: &Kit, question: &Question) -> Vec<Node> {
    let drill = &kit.drill().id;
    let of = |name: &str| field(drill, &question.critical, name);
    let officer = desk.get("settled-officer");
    let mut nodes = vec![
        line_as(desk, &of("why"), desk.get("settled-why")),
        choice(desk, &of("officer"), officer, officers(desk)),
    ];
    if question.settled {
        // words: live.answer.{no|yes}
        let options = ["yes", "no"];
        let options =
            options.map(|one| (one.to_owned(), desk.get(&format!("answer.{one}"))));
        let label = desk.get("settled-stands");
        nodes.push(buttons(desk, &of("stands"), label, &options));
    }
    nodes
}

fn field(drill: &str, critical: &str, name: &str) -> String {
    format!("{drill}/settled.{critical}.{name}")
}

/// The id of the element whose mark or value speaks for the act.
fn place(drill: &str, question: &Question) -> Option<String> {
    let step = question.steps.first().map(|step| format!("m-{step}-done"));
    let measure = question.measure.as_ref();
    step.or_else(|| measure.map(|one| id(&format!("{drill}/measure.{one}"))))
}
