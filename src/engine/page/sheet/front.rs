//! The front of a leaf: who, what is declared, cautions, criticals, unsafe acts, numbers; and local
//! rules.

use super::leaf::Leaf;
use super::parts::{
    block, cautions, cell, column, heading, led, mark, named, no_mark, noted, table, tick,
};
use crate::course::{Condition, Critical, CriticalMark, Decision, Link, Mode};
use crate::page::Node;

/// Who, what is declared, cautions, criticals and unsafe acts.
pub(super) fn who_and_criticals(leaf: Leaf<'_>) -> Vec<Node> {
    let (bench, drill) = (leaf.bench, leaf.kit.drill());
    let mut kids = leaf.head();
    kids.push(leaf.roles());
    let stop = [("word", drill.stop.word.as_str()), ("sign", &drill.stop.sign)];
    kids.push(Node::new("div").class("so-aloud").holding([
        led(&bench.label("task"), drill.task.clone()),
        led(&bench.label("aloud"), bench.say("aloud", &stop)),
    ]));
    // Before everything that is marked: they are read before the start.
    kids.push(cautions(&bench.house.cautions(drill), leaf.first(), bench.words));
    kids.push(criticals(leaf));
    kids.extend(order(leaf));
    kids.push(unsafe_acts(leaf));
    kids
}

/// Readings, measured values, time.
pub(super) fn numbers(leaf: Leaf<'_>) -> Vec<Node> {
    let mut kids: Vec<Node> = leaf.readings().into_iter().collect();
    kids.extend(leaf.refused());
    kids.extend(leaf.measures());
    kids.extend(time(leaf));
    kids.extend(leaf.watch());
    kids
}

impl Leaf<'_> {
    /// Letters of the modes in which a line can be seen; all of the drill's need no letters.
    pub(super) fn letters(self, modes: &[Mode]) -> String {
        let mut own = self.kit.drill().modes.iter();
        // A list of all letters says less than the one word.
        if modes.is_empty() || own.all(|mode| modes.contains(mode)) {
            return self.bench.get("all-modes");
        }
        // words: sheet.mode-letter.{Mode}
        let letter = |mode: &Mode| self.bench.get(&format!("mode-letter.{}", mode.key()));
        modes.iter().map(letter).collect::<Vec<_>>().join(" ")
    }

    /// What a line says when the rig lacks what it needs.
    pub(super) fn lacking(self, condition: Condition<'_>) -> Option<String> {
        let needs = condition.lacks(self.kit.rig())?;
        // words: sheet.needs.{compressor|foam|class-b|eductor|outlet|two-foam-tanks}
        let thing = self.bench.get(&format!("needs.{needs}"));
        Some(self.bench.say("rig-has-none", &[("thing", &thing)]))
    }
}

fn criticals(leaf: Leaf<'_>) -> Node {
    let bench = leaf.bench;
    let head = [
        column("so-what", bench.label("criticals")).with("colspan", "2"),
        column("so-thin", bench.label("modes")),
    ];
    let boxes = CriticalMark::ALL
        .iter()
        // words: sheet.happened.{CriticalMark}
        .map(|(_, mark)| {
            column("so-mark", bench.get(&format!("happened.{}", mark.key())))
        });
    let rows = leaf.kit.drill().criticals.iter().enumerate();
    let rows = rows.map(|(at, one)| critical(leaf, at, one));
    table("so-marks so-criticals", head.into_iter().chain(boxes), rows)
}

fn critical(leaf: Leaf<'_>, at: usize, critical: &Critical) -> Node {
    let lacking = leaf.lacking(critical.condition());
    let set = leaf.run().and_then(|run| run.criticals.get(&critical.id).copied());
    // Nobody marks a critical "not applicable": its written condition strikes its boxes out
    // beforehand (rule 2).
    let box_ = |(_, known): &(&str, CriticalMark)| {
        if lacking.is_none() { mark(set == Some(*known)) } else { no_mark() }
    };
    let mut roles = leaf.kit.drill().roles.iter();
    let role = roles.find(|role| role.id == critical.role);
    let role = role.map_or(&critical.role, |role| &role.title);
    Node::new("tr")
        .holding([
            named(&format!("C{} {}", at + 1, critical.act), role.clone()),
            noted(&critical.reason, lacking.clone()),
            cell("so-thin", leaf.letters(&critical.modes)),
        ])
        .holding(CriticalMark::ALL.iter().map(box_))
}

/// The orders that decide, by the numbers of their steps.
fn order(leaf: Leaf<'_>) -> Option<Node> {
    let drill = leaf.kit.drill();
    let number = |id: &String| {
        let at = drill.steps.iter().position(|step| step.id == *id);
        at.map_or_else(|| id.clone(), |at| (at + 1).to_string())
    };
    let links = drill
        .criticals
        .iter()
        .enumerate()
        .flat_map(|(at, critical)| critical.links.iter().map(move |link| (at, link)));
    let rule = |(at, link): (usize, &Link)| {
        let Link::Order { first, then } = link else { return None };
        let critical = (at + 1).to_string();
        let then = then.iter().map(number).collect::<Vec<_>>().join(", ");
        let first = number(first);
        let blanks =
            [("first", first.as_str()), ("then", &then), ("critical", &critical)];
        Some(leaf.bench.say("order-rule", &blanks))
    };
    let mut rules: Vec<String> = links.filter_map(rule).collect();
    // What the drill is for fails by itself: whoever marks the step knows it beforehand.
    let produces = drill.steps.iter().filter(|step| step.produces);
    let produces: Vec<String> = produces.map(|step| number(&step.id)).collect();
    if !produces.is_empty() {
        let steps = produces.join(", ");
        rules.push(leaf.bench.say("produces", &[("steps", &steps)]));
    }
    let text = rules.join(" ");
    (!rules.is_empty()).then(|| led(&leaf.bench.label("order"), text).class("so-fine"))
}

fn unsafe_acts(leaf: Leaf<'_>) -> Node {
    let seen = |id| leaf.run().is_some_and(|run| run.unsafe_acts.contains(id));
    let acts = leaf.kit.standard().unsafe_acts.iter();
    let acts = acts.map(|act| tick(&act.act, seen(&act.id)));
    let acts = Node::new("div").class("so-unsafe").holding(acts);
    block([heading(leaf.bench.label("unsafe")), acts])
}

/// The time standard in words; nothing where no time is judged.
fn time(leaf: Leaf<'_>) -> Option<Node> {
    let time = leaf.kit.drill().time.as_ref()?;
    let (within, step) = (time.within.printed(), time.resolution.printed());
    let text = leaf.bench.say(
        "time",
        &[
            ("within", within.as_str()),
            ("start", time.starts_at.as_str()),
            ("stop", time.stops_at.as_str()),
            ("step", step.as_str()),
            ("source", time.source.as_str()),
            ("holds", &time.holds.join("; ")),
        ],
    );
    Some(led(&leaf.bench.label("time"), text).class("so-fine"))
}

/// What local rules decide, and a line to write on where nobody has decided yet.
pub(super) fn local(leaf: Leaf<'_>) -> Option<Node> {
    let bench = leaf.bench;
    let topics = bench.house.topics(leaf.kit.drill());
    let line = |topic: &&crate::course::LocalTopic| {
        let title = Node::text("b", format!("{}. ", topic.title));
        let rest = match &topic.decision {
            Decision::Decided { rule, by, on } => {
                let blanks = [("rule", rule.as_str()), ("by", by), ("on", on)];
                vec![Node::text("span", bench.say("decided", &blanks))]
            }
            // Room to write: what nobody decided is decided by the officer of the day,
            // and stays on the sheet.
            Decision::NotDecidedYet => vec![
                Node::new("span").class("so-box so-small"),
                Node::text("span", format!(" {} ", bench.label("undecided"))),
                Node::new("span").class("so-write so-wide"),
            ],
        };
        Node::new("li").holding([title]).holding(rest)
    };
    let head = Node::text("b", bench.label("local")).class("so-head");
    let head = Node::new("li").holding([head]);
    let list = Node::new("ul").class("so-local").holding([head]);
    (!topics.is_empty()).then(|| list.holding(topics.iter().map(line)))
}
