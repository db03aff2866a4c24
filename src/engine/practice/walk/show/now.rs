//! The situation: what runs, what is open, what the gauges read, in words and as the rig's drawing.

use super::super::look::Look;
use super::super::stands::{FoamIs, Part, Stands};
use super::super::state::{Phase, Walk};
use super::parts::phrase;
use crate::course::{Bind, Expect, Line, Meaning, Measure, Pump, Reading, Totals};
use crate::practice::view::Node;
use crate::scoring::expectation;

/// A row: what, and how it stands.
fn row((name, value): (String, String)) -> Node {
    Node::new("div").holding([Node::text("dt", name), Node::text("dd", value)])
}

fn rows(all: Vec<(String, String)>) -> Node {
    Node::new("dl").class("rows").holding(all.into_iter().map(row))
}

/// The situation.
pub(super) fn now(look: &Look<'_>, walk: &Walk) -> Vec<Node> {
    let opened = look.opened;
    let stands = Stands::of(look, walk);
    let mut all = lines(look, walk);
    all.extend(runs(look, &stands));
    let mut nodes = vec![Node::text("h3", phrase(opened, "situation", &[])), rows(all)];
    let read = gauges(look, walk, &stands);
    // Where a value is asked, what it rests on stands beside it already: twice is too long for a phone.
    if !read.is_empty() && walk.phase != Phase::Value {
        nodes.push(Node::text("h3", phrase(opened, "gauges", &[])));
        nodes.push(rows(read));
    }
    nodes.extend(drawing(look, walk, &stands));
    let done = walk.done.iter().filter_map(|id| look.step(id));
    let done: Vec<Node> =
        done.map(|step| Node::text("li", step.action.clone())).collect();
    if !done.is_empty() {
        let count = done.len().to_string();
        let head = Node::text("summary", phrase(opened, "so-far", &[("count", &count)]));
        let list = Node::new("ol").holding(done);
        nodes.push(Node::new("details").with("id", "so-far").holding([head, list]));
    }
    nodes
}

/// Rig and outlets.
fn lines(look: &Look<'_>, walk: &Walk) -> Vec<(String, String)> {
    let opened = look.opened;
    let mut all = Vec::new();
    let rig = look.kit.rig();
    if !rig.is_nowhere() {
        all.push((phrase(opened, "rig", &[]), rig.title.clone()));
    }
    let Some(day) = look.day(walk) else { return all };
    for id in std::iter::once(&day.outlet).chain(&day.further) {
        if let Some(outlet) = rig.outlet(id) {
            let blanks = [("line", outlet.title.as_str()), ("nozzle", &outlet.nozzle)];
            all.push((phrase(opened, "line", &[]), phrase(opened, "line-is", &blanks)));
        }
    }
    all
}

/// What runs and what is open.
fn runs(look: &Look<'_>, stands: &Stands) -> Vec<(String, String)> {
    let opened = look.opened;
    let mut all = Vec::new();
    let mut put = |name: String, value: Option<String>| {
        all.extend(value.map(|value| (name, value)));
    };
    put(phrase(opened, "pump", &[]), part(look, stands.pump, pump));
    put(phrase(opened, "water", &[]), part(look, stands.line, line));
    let foam = stands.foam.map(|foam| match foam {
        FoamIs::Off => phrase(opened, "foam-off", &[]),
        FoamIs::Unconfirmed => phrase(opened, "foam-unconfirmed", &[]),
        FoamIs::On => phrase(opened, "foam-on", &[]),
        FoamIs::Lost => phrase(opened, "foam-lost", &[]),
    });
    put(phrase(opened, "foam", &[]), foam.filter(|_| look.kit.rig().foams()));
    let air = stands.air.map(|on| {
        if on { phrase(opened, "air-on", &[]) } else { phrase(opened, "air-off", &[]) }
    });
    put(phrase(opened, "air", &[]), air);
    put(phrase(opened, "totals", &[]), part(look, stands.totals, totals));
    let shut = stands.tank_shut.then(|| phrase(opened, "tank-shut", &[]));
    put(phrase(opened, "tank", &[]), shut);
    all
}

/// A part in words; nothing of what the drill says nothing of.
fn part<T: Copy>(
    look: &Look<'_>,
    part: Part<T>,
    word: fn(&Look<'_>, T) -> String,
) -> Option<String> {
    match part {
        Part::Unsaid => None,
        Part::Is(is) => Some(word(look, is)),
        Part::Between(from, to) => {
            let (from, to) = (word(look, from), word(look, to));
            let blanks = [("from", from.as_str()), ("to", to.as_str())];
            Some(phrase(look.opened, "between", &blanks))
        }
    }
}

fn pump(look: &Look<'_>, is: Pump) -> String {
    match is {
        Pump::Off => phrase(look.opened, "pump-off", &[]),
        Pump::Engaged => phrase(look.opened, "pump-engaged", &[]),
    }
}

fn line(look: &Look<'_>, is: Line) -> String {
    match is {
        Line::Empty => phrase(look.opened, "line-empty", &[]),
        Line::Charged => phrase(look.opened, "line-charged", &[]),
        Line::Flowing => phrase(look.opened, "line-flowing", &[]),
        Line::Drained => phrase(look.opened, "line-drained", &[]),
    }
}

fn totals(look: &Look<'_>, is: Totals) -> String {
    match is {
        Totals::Fresh => phrase(look.opened, "totals-fresh", &[]),
        Totals::Running => phrase(look.opened, "totals-running", &[]),
        Totals::Recorded => phrase(look.opened, "totals-recorded", &[]),
    }
}

/// Whether a value rests on a reading.
fn rests(measure: &Measure, reading: &Reading) -> bool {
    let named = |bind: &Bind| matches!(bind, Bind::Named(name) if *name == reading.id);
    match &measure.expect {
        Expect::Bound(bind) => named(bind),
        Expect::Formula(feed) => feed.with.values().any(named),
    }
}

/// Readings that can be read by now, and values that were set or said, as they are right.
fn gauges(look: &Look<'_>, walk: &Walk, stands: &Stands) -> Vec<(String, String)> {
    let Some(day) = look.day(walk) else { return Vec::new() };
    let drill = look.kit.drill();
    // What stands on the card of a cue is not known before the cue.
    let known = |measure: &&Measure| {
        let step = look.step(&measure.step);
        let cue = step.and_then(|step| step.cue.as_ref());
        cue.is_none_or(|cue| walk.cues.contains(cue))
    };
    let shows = |reading: &&Reading| match reading.is {
        Some(Meaning::Flow | Meaning::FoamFlow | Meaning::PlainFlow) => stands.flowing(),
        Some(Meaning::PercentOrdered | Meaning::PercentSet) => true,
        _ => drill.measures.iter().filter(known).any(|one| rests(one, reading)),
    };
    let fuel =
        day.fuel.iter().map(|fuel| (phrase(look.opened, "fuel", &[]), fuel.clone()));
    let read = drill.readings.iter().filter(shows).filter_map(|reading| {
        let value = day.readings.get(&reading.id)?;
        Some((reading.label.clone(), value.printed()))
    });
    let said = drill.measures.iter().filter_map(|one| {
        walk.values.get(&one.id)?;
        let right = expectation(&look.kit, one, &day.outlet, &day.readings).ok()?;
        Some((one.label.clone(), right.text))
    });
    fuel.chain(read).chain(said).collect()
}

/// What a value that is asked rests on.
pub(super) fn needed(look: &Look<'_>, walk: &Walk, measure: &Measure) -> Option<Node> {
    let day = look.day(walk)?;
    let drill = look.kit.drill();
    let own = drill.readings.iter().filter(|reading| rests(measure, reading));
    let all = own.filter_map(|reading| {
        Some((reading.label.clone(), day.readings.get(&reading.id)?.printed()))
    });
    let all: Vec<(String, String)> = all.collect();
    (!all.is_empty()).then(|| rows(all))
}

/// The rig's own drawing, which the page holds, as it stands now: foam where it is confirmed, and the
/// outlet in use. Nothing where the drill says nothing of the foam, because a drawing cannot leave that
/// open.
fn drawing(look: &Look<'_>, walk: &Walk, stands: &Stands) -> Option<Node> {
    let rig = look.kit.rig();
    let foam = stands.foam.filter(|_| !rig.outlets.is_empty() && rig.foams())?;
    let day = look.day(walk)?;
    let at = rig.outlets.iter().position(|outlet| outlet.id == day.outlet);
    let (foam, caption) = match foam {
        FoamIs::On => ("on", phrase(look.opened, "way-foam", &[])),
        FoamIs::Off => ("off", phrase(look.opened, "way-shut", &[])),
        FoamIs::Unconfirmed => ("off", phrase(look.opened, "way-unconfirmed", &[])),
        FoamIs::Lost => ("off", phrase(look.opened, "way-lost", &[])),
    };
    let copy = Node::new("div")
        .with("id", format!("way-{}", rig.id))
        .class("way")
        .with("data-copy", format!("drawing-{}", rig.id))
        .with("data-foam", foam)
        .with("data-line", at.map(|at| at.to_string()).unwrap_or_default());
    let own = at.map(|_| phrase(look.opened, "way-outlet", &[])).unwrap_or_default();
    let caption = Node::text("figcaption", format!("{caption} {own}"));
    Some(Node::new("figure").class("drawn").holding([copy, caption]))
}
