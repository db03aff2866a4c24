//! The order of the steps, as the evaluator confirms it: as printed, tapped, or not watched; and
//! then the pairs on which a critical hangs.

use super::super::asked::open_steps;
use super::super::desk::Desk;
use super::super::seen::Told;
use super::super::sheet::sheet;
use super::parts::pressed;
use super::steps::{group, place};
use crate::course::{Mark, PairSeen, Step};
use crate::practice::view::{Node, does, doing, valued};
use crate::scoring::{Kit, pairs};

/// The order, and what is asked where nobody watched it.
pub(super) fn order(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let Some(part) = desk.state.part() else { return Vec::new() };
    let listed = !part.order.is_empty();
    let (printed, was_recorded) =
        (part.told == Told::AsPrinted, part.told == Told::AsRecorded);
    let one = |event: &str, text: String, down: bool| {
        pressed(text, does(event), down).with("id", event.to_owned())
    };
    // What nobody has told counts as not watched, and the button says so.
    let not_watched = !printed && !was_recorded && !listed;
    let recorded = one("as-recorded", desk.get("as-recorded"), was_recorded);
    // What was typed in from paper was not recorded as it happened.
    let recorded = Some(recorded).filter(|_| !desk.state.later());
    let ways = [
        Some(one("as-printed", desk.get("as-printed"), printed)),
        recorded,
        Some(one("not-watched", desk.get("not-watched"), not_watched)),
    ];
    let head = Node::text("h3", desk.get("order")).with("id", "order");
    let ways = Node::new("div")
        .with("class", "buttons")
        .with("role", "group")
        .with("aria-labelledby", "order")
        .holding(ways.into_iter().flatten());
    let button = |step: &Step| {
        let at = part.order.iter().position(|known| *known == step.id);
        let at_place = at.map_or_else(String::new, |at| format!("({}) ", at + 1));
        let number = place(kit, &step.id);
        let text = format!("{at_place}{number}. {}", step.action);
        let act = doing("order", &[("step", valued(&step.id))]);
        let button = pressed(text, act, at.is_some());
        Node::new("li").holding([button.with("id", format!("o-{}", step.id))])
    };
    // What was not done has no place in the order.
    let done = |step: &&Step| {
        matches!(part.marks.get(&step.id), Some(Mark::Done | Mark::Prompted))
    };
    let steps =
        open_steps(desk.live, desk.state, &kit.drill().id).filter(done).map(button);
    let list = Node::new("ul").with("class", "rows acts").holding(steps);
    let details = Node::new("details").holding([
        Node::text("summary", desk.get("order-listed")),
        Node::text("p", desk.get("order-about")),
        list,
    ]);
    // An order that somebody tapped lies open: it is an answer, and answers are seen.
    let details = if listed { details.with("open", "open") } else { details };
    let mut nodes = vec![head, ways, details];
    nodes.extend(asked(desk, kit));
    nodes
}

/// "A before B: seen, the other way round, not seen?"
fn asked(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let open = pairs(kit, &sheet(desk.live, desk.state, kit));
    if open.is_empty() {
        return Vec::new();
    }
    vec![
        Node::text("p", desk.get("pairs")),
        Node::new("ul")
            .with("class", "rows")
            .holding(open.iter().map(|pair| pair_row(desk, kit, pair))),
    ]
}

/// Which of two steps came first.
pub(super) fn pair_row(desk: &Desk<'_>, kit: &Kit, [first, then]: &[String; 2]) -> Node {
    let said = |id: &str| {
        let step = kit.drill().steps.iter().find(|step| step.id == id);
        let action = step.map_or("", |step| step.action.as_str());
        format!("{}. {action}", place(kit, id))
    };
    let pair = format!("{first} > {then}");
    let told = desk.state.part().and_then(|part| part.pairs.get(&pair)).copied();
    let name = format!("pair-{first}-{then}");
    let blanks = [("first", said(first)), ("then", said(then))];
    let blanks = blanks.each_ref().map(|(name, text)| (*name, text.as_str()));
    let button = |(_, seen): &(&str, PairSeen)| {
        let act = doing("pair", &[("pair", valued(&pair)), ("seen", valued(&seen))]);
        // words: live.pair.{PairSeen}
        let text = desk.get(&format!("pair.{}", seen.key()));
        pressed(text, act, told == Some(*seen)).with("id", id(&pair, *seen))
    };
    Node::new("li").with("class", super::steps::row_class(told.is_some())).holding([
        Node::text("p", desk.say("pair-asked", &blanks)).with("id", name.clone()),
        group(&name).holding(PairSeen::ALL.iter().map(button)),
    ])
}

/// The id of an answer's button.
pub(super) fn id(pair: &str, seen: PairSeen) -> String {
    format!("p-{}-{}", pair.replace(" > ", "-"), seen.key())
}
