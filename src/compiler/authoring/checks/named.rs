//! Figures that texts name, and numbers typed by hand that a card had once and has no more.

use std::collections::{BTreeMap, BTreeSet};

use super::super::library::within;
use super::super::named::is_filled;
use super::{Checked, nearest};
use crate::course::{FIGURE_NAMES, Named, names_in};
use crate::findings::{Code, Finding, Place};
use crate::quantity::{Dimension, NamedUnit, Quantity, named_units};
use crate::wire::{Node, Shape};

/// Every name that nothing stands under. What could be filled is filled by now.
pub(super) fn check(checked: &Checked<'_>) {
    let known = named(checked);
    for file in checked.trees.files() {
        // The library names no rig, what is kept was filled in its day, and a run says what a
        // person saw, in whatever letters.
        let own = ["trade/", "revisions/", "runs/"];
        let Some(node) = checked.trees.get(file) else { continue };
        if !own.iter().any(|own| file.starts_with(own)) {
            open(checked, (file, node), &known);
        }
    }
    for lesson in &checked.course.lessons {
        let place = Place { file: lesson.file.clone(), start: 0, end: lesson.text.len() };
        for found in names_in(&lesson.text) {
            if known.get(found.name).is_none() {
                let place = within(place.clone(), found.start + 1, found.end - 1);
                unknown(checked, found.name, place, &known);
            }
        }
    }
}

/// The dictionary of the module as it was read.
fn named(checked: &Checked<'_>) -> Named {
    let mut named = Named::default();
    let course = checked.course;
    course.rigs.values().for_each(|rig| named.rig(rig));
    course.concentrates.values().for_each(|product| named.product(product));
    course.local.iter().for_each(|topic| named.local(topic));
    named
}

fn open(checked: &Checked<'_>, (file, node): (&str, &Node), known: &Named) {
    match &node.shape {
        Shape::List(items) => {
            for item in items {
                open(checked, (file, item), known);
            }
        }
        Shape::Map(fields) => {
            for (_, value) in fields {
                open(checked, (file, value), known);
            }
        }
        Shape::Text(text) => {
            for found in names_in(text) {
                if is_short(found.name) && file.starts_with("questions/") {
                    continue;
                }
                let place = place(checked, (file, node), found.name);
                unknown(checked, found.name, place, known);
            }
        }
        Shape::Nothing => {}
    }
}

/// Whether a name is that of a figure of the rig that a question is about, `rig.water`: it is
/// filled and told where the question is drawn.
pub(super) fn is_short(name: &str) -> bool {
    let short = name.strip_prefix("rig.");
    short.is_some_and(|name| FIGURE_NAMES.contains(&name) || !name.contains('.'))
}

/// Where the name stands in its file; a folded text is longer there than what it says.
fn place(checked: &Checked<'_>, (file, node): (&str, &Node), name: &str) -> Place {
    let whole = Place { file: file.to_owned(), start: node.start, end: node.end };
    let written = checked.sources.get(file);
    let written = written.and_then(|source| source.get(node.start..node.end));
    match written.and_then(|written| written.find(name)) {
        Some(at) => within(whole, at, at + name.len()),
        None => whole,
    }
}

/// Whether the file that a name is of has a fault of its own, or cannot be read: that is told there,
/// and nobody knows what the name would have said.
fn untold(checked: &Checked<'_>, name: &str) -> bool {
    let file = |sort: &str, folder: &str| {
        let (own, _) = name.strip_prefix(sort)?.split_once('.')?;
        Some(format!("{folder}/{own}.yaml"))
    };
    let files = [file("rig.", "rigs"), file("product.", "concentrates")];
    checked.unread.iter().any(|begins| name.starts_with(begins.as_str()))
        || files
            .iter()
            .flatten()
            .any(|file| checked.unread(file) || doubled(checked, file))
}

/// Whether two things of a file have one name: then one of them lost its own.
fn doubled(checked: &Checked<'_>, file: &str) -> bool {
    let of_file = |one: &Finding| one.place.as_ref().is_some_and(|at| at.file == file);
    let found = checked.found.borrow();
    found.iter().any(|one| one.code == Code::DuplicateId && of_file(one))
}

fn unknown(checked: &Checked<'_>, name: &str, place: Place, known: &Named) {
    if untold(checked, name) {
        return;
    }
    // A slip in the last part is looked for on the same card first.
    let card = name.rsplit_once('.').map_or(name, |(card, _)| card);
    let near = |begins: &str| -> Vec<String> {
        let names = known.names().filter(|known| known.starts_with(begins));
        names.map(str::to_owned).collect()
    };
    let mut few = near(&format!("{card}."));
    // Elsewhere only a name each part of which may be a slip: a tank that is not there is no other
    // tank, though both are called nearly alike as a whole.
    if few.is_empty() {
        few =
            known.names().filter(|known| alike(name, known)).map(str::to_owned).collect();
    }
    let finding = Finding::at(Code::UnknownFigure, place).with("name", name);
    checked.note(finding.with("nearest", nearest(name, &few)));
}

/// Whether each part of a name may be a slip of the same part of another.
fn alike(name: &str, known: &str) -> bool {
    let (mine, other) = (name.split('.'), known.split('.'));
    mine.clone().count() == other.clone().count()
        && mine.zip(other).all(|(mine, other)| {
            crate::words::nearest(mine, std::iter::once(other)).is_some()
        })
}

/// What a card said and no card says now.
struct Old {
    name: String,
    was: Quantity,
    /// What stands under the name today.
    now: Option<String>,
}

/// Numbers beside a unit, in running text, that are what a kept revision of a card had.
pub(super) fn old(checked: &Checked<'_>) {
    let today = named(checked);
    let mut then = Vec::new();
    for rig in checked.course.kept.rigs.values() {
        let mut kept = Named::default();
        kept.rig(rig);
        rig.agents.iter().for_each(|product| kept.product(product));
        let figures = kept.figures().filter(|(name, _)| !untold(checked, name));
        then.extend(figures.map(|(name, was)| (name.to_owned(), was)));
    }
    // By what they measure: a county has thousands of figures, kept and of today.
    let mut has: BTreeMap<Dimension, Vec<Quantity>> = BTreeMap::new();
    for (_, now) in today.figures() {
        let alike = has.entry(now.dimension()).or_default();
        // Many cards say the same few figures.
        if !alike.iter().any(|known| same(known, &now)) {
            alike.push(now);
        }
    }
    let has = |value: &Quantity| {
        let alike = has.get(&value.dimension());
        alike.is_some_and(|alike| alike.iter().any(|now| same(now, value)))
    };
    let mut old: Vec<Old> = Vec::new();
    for (name, was) in then {
        if !has(&was) && !old.iter().any(|old| same(&old.was, &was)) {
            let now = today.get(&name).map(str::to_owned);
            old.push(Old { name, was, now });
        }
    }
    if old.is_empty() {
        return;
    }
    let lessons: BTreeSet<&String> =
        checked.course.lessons.iter().map(|lesson| &lesson.file).collect();
    for (file, text) in checked.sources {
        let lesson = lessons.contains(&file);
        let tree = checked.trees.get(file).filter(|_| is_filled(file));
        match tree {
            Some(node) => texts(node, &mut |start, end| {
                typed(checked, (file, text), (start, end), (&old, &today));
            }),
            None if lesson => {
                typed(checked, (file, text), (0, text.len()), (&old, &today));
            }
            None => {}
        }
    }
}

/// Running texts of a file. A value by itself is a bound or a draw that its author chose.
fn texts(node: &Node, tell: &mut dyn FnMut(usize, usize)) {
    match &node.shape {
        Shape::List(items) => items.iter().for_each(|item| texts(item, tell)),
        Shape::Map(fields) => fields.iter().for_each(|(_, value)| texts(value, tell)),
        Shape::Text(text) if Quantity::read(text).is_err() => tell(node.start, node.end),
        Shape::Text(_) | Shape::Nothing => {}
    }
}

fn typed(
    checked: &Checked<'_>,
    (file, text): (&String, &String),
    (start, end): (usize, usize),
    (old, today): (&[Old], &Named),
) {
    let Some(written) = text.get(start..end) else { return };
    for found in &named_units(written) {
        let Some((value, ends)) = said(written, found) else { continue };
        let Some(old) = old.iter().find(|old| same(&old.was, &value)) else { continue };
        let place = Place { file: file.clone(), start, end };
        let place = within(place, found.start, ends);
        let typed = written.get(found.start..ends).unwrap_or_default();
        let finding = Finding::at(Code::OldFigure, place);
        let nothing = || "⟨compare.nothing⟩".to_owned();
        let now = old.now.clone().unwrap_or_else(nothing);
        let names: Vec<String> = today.names().map(str::to_owned).collect();
        let write = match old.now {
            Some(_) => old.name.clone(),
            None => nearest(&old.name, &names),
        };
        let finding = finding.with("found", typed).with("write", write);
        checked.note(finding.with("figure", old.name.clone()).with("now", now));
    }
}

/// A number with its unit, and where both end: "130 gallons a minute" is a flow and no volume.
fn said(text: &str, found: &NamedUnit) -> Option<(Quantity, usize)> {
    let value = found.quantity?;
    let rest = text.get(found.end..).unwrap_or_default();
    let rate = [" per minute", " a minute", " each minute", " in a minute"];
    let Some(rate) = rate.into_iter().find(|rate| rest.starts_with(rate)) else {
        return Some((value, found.end));
    };
    let whole = format!("{} {}/min", value.number(), value.unit().symbol);
    Some((Quantity::read(&whole).ok()?, found.end + rate.len()))
}

/// The same amount, in whatever unit it is written.
fn same(a: &Quantity, b: &Quantity) -> bool {
    a.dimension() == b.dimension()
        && b.in_unit(a.unit()).is_some_and(|b| b.number() == a.number())
}
