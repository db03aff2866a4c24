//! The back of a leaf: steps, order, stop, verdict, what follows, signatures.

use super::leaf::Leaf;
use super::parts::{block, cell, column, heading, mark, noted, table, tick};
use crate::course::{Critical, Cue, CueMark, Mark, Step};
use crate::page::{Node, verdict};
use crate::scoring::Outcome;

/// Steps, cues, and in which order the steps were done.
pub(super) fn steps_and_order(leaf: Leaf<'_>) -> Vec<Node> {
    let mut kids = vec![steps(leaf)];
    kids.extend(cues(leaf));
    kids.push(leaf.order_seen());
    kids
}

/// Stop, verdict, what follows, signatures.
pub(super) fn decided_and_signed(leaf: Leaf<'_>) -> Vec<Node> {
    let mut kids = vec![leaf.stop(), decided(leaf)];
    kids.extend(leaf.after());
    kids.push(fine(leaf));
    kids
}

/// Cues of the evaluator, each with the time at which it was given (rule 40). One that this rig
/// cannot have is not printed.
fn cues(leaf: Leaf<'_>) -> Option<Node> {
    let bench = leaf.bench;
    let known = leaf.kit.drill().cues.iter();
    let mut fit = known.filter(|cue| leaf.lacking(cue.condition()).is_none()).peekable();
    // A rig that lacks what every cue needs has no heading over nothing.
    fit.peek()?;
    let row = |cue: &Cue| {
        let given = leaf.run().and_then(|run| run.cues.get(&cue.id));
        let is = |mark: CueMark| given == Some(&mark);
        Node::new("p").class("so-row").holding([
            Node::text("span", cue.says.clone()),
            tick(&bench.get("cue-given"), is(CueMark::Given)),
            Node::new("span").class("so-write"),
            tick(&bench.get("cue-not-given"), is(CueMark::NotGiven)),
        ])
    };
    let rows = Node::new("div").class("so-cues").holding(fit.map(row));
    Some(block([heading(bench.label("cues")), rows]))
}

fn steps(leaf: Leaf<'_>) -> Node {
    let bench = leaf.bench;
    let head = [
        // A column of numbers needs no name.
        cell("so-number", ""),
        column("so-act", bench.label("steps")),
        column("so-note", bench.label("sees")),
        column("so-thin", bench.label("modes")),
        column("so-thin", bench.label("weight")),
    ];
    let boxes = Mark::ALL.iter().map(|(_, mark)| mark.key());
    // words: sheet.mark.{Mark}
    let boxes = boxes.map(|key| column("so-mark", bench.get(&format!("mark.{key}"))));
    let rows = leaf.kit.drill().steps.iter().enumerate().map(|of| step(leaf, of));
    table("so-marks so-steps", head.into_iter().chain(boxes), rows)
}

fn step(leaf: Leaf<'_>, (index, step): (usize, &Step)) -> Node {
    let bench = leaf.bench;
    let lacking = leaf.lacking(step.condition());
    let set = match leaf.run() {
        Some(run) => run.marks.get(&step.id).copied(),
        // Struck out when it is printed: nobody decides that at the panel (rule 2).
        None => lacking.as_ref().map(|_| Mark::NotApplicable),
    };
    let said = step.radio.as_ref().map(|radio| {
        bench.say("said", &[("content", radio.content.join(", ").as_str())])
    });
    let weight = match step.weight {
        0 => bench.get("no-weight"),
        weight => weight.to_string(),
    };
    let boxes = Mark::ALL.iter().map(|(_, known)| mark(set == Some(*known)));
    Node::new("tr")
        .holding([
            number(leaf, index, step),
            cell("so-act", act(leaf, step)),
            noted(&step.sees, lacking.or(said)),
            cell("so-thin", leaf.letters(&step.modes)),
            cell("so-thin", weight),
        ])
        .holding(boxes)
}

/// A step's number, with the marks of the criticals that rest on it (rule 40).
fn number(leaf: Leaf<'_>, index: usize, step: &Step) -> Node {
    let rests = |critical: &Critical| {
        critical.links.iter().any(|link| link.steps().contains(&&step.id))
    };
    let criticals = leaf.kit.drill().criticals.iter().enumerate();
    // Which critical rests on a step stands beside it, because the evaluator sees the
    // step first (rule 40).
    let marks = criticals
        .filter(|(_, critical)| rests(critical))
        .map(|(at, _)| format!(" C{}", at + 1));
    let marks = Node::text("span", marks.collect::<String>()).class("so-sub");
    cell("so-number", (index + 1).to_string()).holding([marks])
}

/// Whose step it is stands there where it is not that of the first who gets a result.
fn act(leaf: Leaf<'_>, step: &Step) -> String {
    let mut roles = leaf.kit.drill().roles.iter();
    let role = roles.clone().find(|role| role.id == step.role);
    // The candidate's own acts need no name before them; those of others are told apart
    // at a glance.
    let first = roles.find(|role| role.scored);
    match role.filter(|role| first.is_some_and(|first| first.id != role.id)) {
        Some(role) => {
            let blanks = [("role", role.title.as_str()), ("act", &step.action)];
            leaf.bench.say("of-role", &blanks)
        }
        None => step.action.clone(),
    }
}

fn decided(leaf: Leaf<'_>) -> Node {
    let bench = leaf.bench;
    let verdict = leaf.verdict();
    let result = verdict.map(|of| {
        let [outcome, ..] = verdict::result(of, bench.words);
        outcome.with("data-private", "")
    });
    let outcome = |known: &Outcome| {
        let on = verdict.is_some_and(|verdict| verdict.outcome == *known);
        tick(&bench.outcome(*known), on)
    };
    let pass_mark = leaf.kit.standard().pass_mark.as_ref();
    let pass_mark = pass_mark.map_or_else(
        || bench.get("no-pass-mark"),
        |mark| {
            let value = mark.value.printed();
            let blanks = [("value", value.as_str()), ("source", mark.source.as_str())];
            bench.say("pass-mark", &blanks)
        },
    );
    let fine = [bench.label("verdict-note"), pass_mark, bench.label("practice-note")];
    Node::new("div")
        .class("so-block so-verdict")
        .holding([heading(bench.label("verdict"))])
        .holding(result)
        .holding([
            Node::new("p").class("so-row").holding(Outcome::ALL.iter().map(outcome)),
            Node::text("p", fine.join(" ")).class("so-fine"),
        ])
}

/// What a signature means, attempts, retest, appeal.
fn fine(leaf: Leaf<'_>) -> Node {
    let attempts = &leaf.kit.drill().attempts;
    let most = attempts.most.to_string();
    let say = |key: &str, text: &str| {
        // words: sheet.attempts.{most|remediation|retest|appeal}
        leaf.bench.say(&format!("attempts.{key}"), &[("text", text)])
    };
    let fine = [
        leaf.bench.label("seen-not-agreed"),
        say("most", &most),
        say("remediation", &attempts.remediation),
        say("retest", &attempts.retest),
        say("appeal", &attempts.appeal),
    ];
    Node::text("p", fine.join(" ")).class("so-fine")
}
