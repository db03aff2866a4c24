//! What speaks against itself, one question at a time: a critical that is marked no while the
//! sheet shows that it happened (rule 8).

use serde_json::json;

use super::super::asked::run_kits;
use super::super::desk::Desk;
use super::super::sheet::sheet;
use super::field::{buttons, choice, id, line_as, officers};
use super::steps::place;
use crate::course::CriticalMark;
use crate::practice::view::{Node, doing, valued};
use crate::scoring::{Kit, Question, questions, settleable};

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
    // Those of another drill can be changed where that one is shown.
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
        let act = doing("turn", &[("drill", valued(&drill.id))]);
        return box_.holding([Node::button(turn, act).with("id", "question-turn")]);
    }
    let critical = &question.critical;
    let yes =
        json!({ "do": "critical", "critical": critical, "mark": CriticalMark::Yes });
    let mut keys =
        vec![Node::button(desk.get("answer-yes"), yes).with("id", "answer-yes")];
    keys.extend(slips(desk, kit, question));
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

/// "The mark was wrong": which of them, where several steps speak for the act.
fn slips(desk: &Desk<'_>, kit: &Kit, question: &Question) -> Vec<Node> {
    let drill = kit.drill();
    let key = |at: String, text: String, number: usize| {
        let name = if number == 0 {
            "answer-slip".to_owned()
        } else {
            format!("answer-slip-{}", number + 1)
        };
        Node::button(text, doing("look", &[("at", valued(&at))])).with("id", name)
    };
    let several = question.steps.len() > 1;
    let of_step = |(number, id): (usize, &String)| {
        let step = drill.steps.iter().find(|step| step.id == *id);
        let what = step.map_or(id.as_str(), |step| step.action.as_str());
        let at = place(kit, id);
        let blanks = [("step", at.as_str()), ("what", what)];
        let text = if several {
            desk.say("answer-slip-of", &blanks)
        } else {
            desk.get("answer-slip")
        };
        key(format!("m-{id}-done"), text, number)
    };
    let steps = question.steps.iter().enumerate().map(of_step);
    let of_measure = question.measure.iter().map(|measure| {
        let at = id(&format!("{}/measure.{measure}", drill.id));
        key(at, desk.get("answer-slip"), 0)
    });
    steps.chain(of_measure).collect()
}

/// What a sentence settles beside the criticals (a step done badly, readings that disagree), and
/// what was settled so.
pub(super) fn sentences(desk: &Desk<'_>) -> Vec<Node> {
    let Some(kit) = desk.state.kit(desk.live) else { return Vec::new() };
    let drill = &kit.drill().id;
    let open = settleable(kit, &sheet(desk.live, desk.state, kit));
    let mut nodes = Vec::new();
    let line =
        |name: &str| line_as(desk, &field(drill, name, "why"), desk.get("settled-said"));
    for (name, text) in &open {
        let fields = Node::new("div").with("class", "fields").holding([line(name)]);
        let text = Node::text("p", text.clone());
        nodes.push(Node::new("div").with("class", "note").holding([text, fields]));
    }
    let said = |name: &&String| {
        !open.iter().any(|(open, _)| open == *name)
            && !desk.state.text(&field(drill, name, "why")).is_empty()
    };
    let steps = kit.drill().steps.iter().map(|step| &step.id);
    let names = steps.chain(kit.drill().measures.iter().map(|measure| &measure.id));
    nodes.extend(
        names
            .filter(said)
            .map(|name| Node::new("div").with("class", "fields").holding([line(name)])),
    );
    nodes
}
