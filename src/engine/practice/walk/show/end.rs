//! What a walk came to: the order with its reasons, what was skipped, late or broken, and what is read
//! again. It is scored as any run sheet is; a walk-through meets nothing, and that is said.

use super::super::here::{shown, steps};
use super::super::look::Look;
use super::super::state::Walk;
use super::parts::{head, phrase};
use crate::course::Mark;
use crate::practice::view::{Node, does};
use crate::scoring::{
    Decision, Line, Outcome, Rule, Verdict, held_against, read_again, score,
};

/// The view, and what is said of it.
pub(super) fn end(look: &Look<'_>, walk: &Walk) -> (Vec<Node>, String) {
    let opened = look.opened;
    let sheet = look.sheet(walk);
    let verdict = score(&look.kit, &sheet);
    let outcome = match verdict.outcome {
        Outcome::NotMet => phrase(opened, "outcome-not-met", &[]),
        Outcome::WalkedThrough => phrase(opened, "outcome-walked", &[]),
        _ => phrase(opened, "outcome-open", &[]),
    };
    let counts = {
        let marks = sheet.marks.values();
        let done = marks.filter(|mark| **mark == Mark::Done).count().to_string();
        let of = sheet.marks.len().to_string();
        phrase(opened, "count", &[("done", &done), ("of", &of)])
    };
    let mut nodes = vec![
        head(phrase(opened, "over", &[])),
        Node::text("p", outcome.clone()).class("result"),
        Node::text("p", counts.clone()),
        Node::text("p", phrase(opened, "no-result", &[])),
    ];
    let lines = lines(look, walk, &verdict);
    nodes.extend(against(look, walk, &lines));
    nodes.extend(again(look, &lines));
    nodes.push(Node::text("h3", phrase(opened, "order", &[])));
    nodes.push(order(look, walk));
    nodes.extend(rules(look));
    nodes.push(Node::new("p").class("buttons").holding([
        Node::button(next(look, walk), does("another")).with("id", "another"),
    ]));
    let says = format!("{outcome} {counts}");
    (vec![Node::new("div").class("over").holding(nodes)], says)
}

/// The next walk by its line.
fn next(look: &Look<'_>, walk: &Walk) -> String {
    let next = Walk { number: walk.number.saturating_add(1), ..walk.clone() };
    let line = look.day(&next).and_then(|day| look.kit.rig().outlet(&day.outlet));
    match line {
        Some(line) => phrase(look.opened, "another-line", &[("line", &line.title)]),
        None => phrase(look.opened, "another", &[]),
    }
}

/// Whether a line is one that a walk has something to say of: what the mode cannot show is no fault.
fn tells(line: &Line) -> bool {
    line.rule != Rule::Result
        && matches!(
            line.decision,
            Decision::Fails
                | Decision::Costs
                | Decision::Unseen
                | Decision::Open
                | Decision::Refused
        )
}

/// Lines of which something is told: those of the verdict, and what was said and not accepted. A verdict
/// is silent about a value that its mode cannot show, and the page has judged it all the same.
fn lines(look: &Look<'_>, walk: &Walk, verdict: &Verdict) -> Vec<Line> {
    let mut found = Vec::new();
    for line in verdict.each().cloned() {
        if tells(&line) {
            found.push(line);
        } else if line.rule == Rule::Measure
            && let Some(sentence) = outside(look, walk, &line.subject)
        {
            found.push(Line { decision: Decision::Costs, sentence, ..line });
        }
    }
    for limit in look.past(walk).limits {
        let known =
            |line: &Line| line.rule == limit.rule && line.subject == limit.subject;
        if !found.iter().any(known) {
            found.push(limit);
        }
    }
    found
}

/// What is said of a value that was not accepted.
fn outside(look: &Look<'_>, walk: &Walk, measure: &str) -> Option<String> {
    let day = look.day(walk)?;
    let value = walk.values.get(measure)?;
    let measure = look.kit.drill().measures.iter().find(|one| one.id == measure)?;
    let of_day = (day.outlet.as_str(), &day.readings);
    let (expected, inside) = held_against(&look.kit, measure, of_day, value).ok()?;
    let printed = value.printed();
    let blanks = [
        ("label", measure.label.as_str()),
        ("value", printed.as_str()),
        ("right", &expected.text),
        ("band", &expected.band),
    ];
    (!inside).then(|| phrase(look.opened, "was-outside", &blanks))
}

/// What was skipped, late, broken or not accepted.
fn against(look: &Look<'_>, walk: &Walk, lines: &[Line]) -> Vec<Node> {
    let opened = look.opened;
    // A verdict that says the reason itself is not said after it once more.
    let reason = |line: &Line| {
        let mut criticals = look.kit.drill().criticals.iter();
        let own = criticals.find(|one| one.id == line.subject)?;
        if line.sentence.contains(&own.reason) {
            return None;
        }
        Some(phrase(opened, "why", &[("reason", &own.reason)]))
    };
    let line = |line: &Line| {
        let name = Node::text("b", line.rule_text.clone());
        let told = Node::text("span", format!(" {}", line.sentence));
        Node::new("li").holding([name, told])
    };
    let mut lines: Vec<&Line> = lines.iter().collect();
    // What would have hurt somebody stands first.
    lines.sort_by_key(|line| line.decision != Decision::Fails);
    let mut all: Vec<Node> = Vec::new();
    for one in lines {
        let node = line(one);
        let why = reason(one).filter(|_| one.rule == Rule::Critical);
        all.push(node.holding(why.map(|why| Node::text("p", why).class("soft"))));
    }
    for id in &walk.prompted {
        if let Some(step) = look.step(id).filter(|step| step.weight == 0) {
            let text = phrase(opened, "helped", &[("act", &step.action)]);
            all.push(Node::text("li", text));
        }
    }
    let head = Node::text("h3", phrase(opened, "against", &[]));
    if all.is_empty() {
        return vec![head, Node::text("p", phrase(opened, "nothing-against", &[]))];
    }
    vec![head, Node::new("ul").class("against-list").holding(all)]
}

/// What is read again, as links.
fn again(look: &Look<'_>, lines: &[Line]) -> Vec<Node> {
    let found = read_again(&look.kit, lines.iter());
    if found.is_empty() {
        return Vec::new();
    }
    let heading = |said: &&str| {
        let address = look.opened.data().addresses.get(*said);
        let link = match address {
            Some(address) => {
                Node::text("a", (*said).to_owned()).with("href", address.as_str())
            }
            None => Node::text("span", (*said).to_owned()),
        };
        Node::new("li").holding([link])
    };
    let list = Node::new("ul").class("links").holding(found.iter().map(heading));
    vec![Node::text("h3", phrase(look.opened, "reread", &[])), list]
}

/// The steps in the order of the drill, each with its reason and when it was done.
fn order(look: &Look<'_>, walk: &Walk) -> Node {
    let opened = look.opened;
    let line = |step: &crate::course::Step| {
        let place = walk.done.iter().position(|done| *done == step.id);
        let when = match place {
            Some(_) if walk.prompted.contains(&step.id) => {
                phrase(opened, "was-helped", &[])
            }
            Some(place) => {
                let number = place.saturating_add(1).to_string();
                phrase(opened, "was-done", &[("number", &number)])
            }
            None => phrase(opened, "was-skipped", &[]),
        };
        Node::new("li").holding([
            Node::text("b", step.action.clone()),
            Node::text("span", format!(" {when}")).class("aside"),
            Node::text("p", step.why.clone()).class("soft"),
        ])
    };
    Node::new("ol").class("order-list").holding(steps(&look.kit, walk).map(line))
}

/// Which comes before which, with the reason.
fn rules(look: &Look<'_>) -> Option<Node> {
    let opened = look.opened;
    let all = look.kit.drill().orders().into_iter().filter_map(|rule| {
        let (first, then) = (look.step(&rule.first)?, look.step(&rule.then)?);
        let here = shown(&look.kit, first) && shown(&look.kit, then);
        let blanks = [
            ("first", first.action.as_str()),
            ("then", then.action.as_str()),
            ("because", &rule.because),
        ];
        here.then(|| Node::text("li", phrase(opened, "rule", &blanks)))
    });
    let all: Vec<Node> = all.collect();
    let count = all.len().to_string();
    let head = Node::text("summary", phrase(opened, "rules", &[("count", &count)]));
    let list = Node::new("ul").holding(all);
    let rules = Node::new("details").with("id", "rules").holding([head, list]);
    (count != "0").then_some(rules)
}
