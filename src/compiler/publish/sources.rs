//! `sources.html`: every source on which something of the module rests, in full, and what does. Everywhere else a source stands in
//! short, as [`Source::short`] makes it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::lists::stays;
use crate::course::{CitedBy, drill_name};
use crate::formulas::{Published, Source, SourceKind, SourceRef};

#[derive(Serialize)]
struct SourcesView {
    about: String,
    groups: Vec<Group>,
}

/// Sources of one kind.
#[derive(Serialize)]
struct Group {
    kind: String,
    entries: Vec<Entry>,
}

#[derive(Serialize)]
struct Entry {
    id: String,
    short: String,
    lines: Vec<String>,
    rests: Vec<Rest>,
}

/// What rests on a source: in words, and the page that has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(super) struct Rest {
    name: String,
    file: String,
}

/// What rests on each source, by its id, in the order of the course.
type Rests<'c> = BTreeMap<&'c str, Vec<Rest>>;

/// What rests on nothing that can be looked up.
#[derive(Serialize)]
pub(super) struct Unfounded {
    kind: String,
    rests: Vec<Rest>,
}

/// What of the module is called common practice, and what came from memory.
pub(super) fn unfounded(desk: &Desk<'_>) -> Vec<Unfounded> {
    let (shared, rests) = resting(desk);
    let sort = |kind: SourceKind| {
        let of_kind = shared.course.references.iter().filter(|own| own.kind == kind);
        let found = of_kind.filter_map(|source| rests.get(source.id.as_str())).flatten();
        let mut all: Vec<Rest> = Vec::new();
        for rest in found {
            // What names two sources of one kind is one thing.
            if !all.contains(rest) {
                all.push(rest.clone());
            }
        }
        // words: page.sources.kind.{SourceKind}
        let kind = desk.label(&format!("sources.kind.{}", kind.key()));
        Unfounded { kind, rests: all }
    };
    let sorts = [SourceKind::Practice, SourceKind::Memory].map(sort);
    sorts.into_iter().filter(|sort| !sort.rests.is_empty()).collect()
}

fn resting<'c>(desk: &Desk<'c>) -> (&'c Shared<'c>, Rests<'c>) {
    let all = ["references", "sources", "library", "drills", "cautions", "unsafe-acts"];
    let shared = desk.sees(&all.map(|all| ("all", all)));
    let mut rests = Rests::new();
    of_texts(shared, &mut rests);
    of_library(desk, shared, &mut rests);
    (shared, rests)
}

/// `sources.html`.
pub(super) fn page(desk: &Desk<'_>) -> Result<String, PublishFault> {
    let (shared, mut rests) = resting(desk);
    let mut group = |kind: &SourceKind| {
        let of_kind = shared.course.references.iter().filter(|own| own.kind == *kind);
        // A page without foam names no source about foam: what nothing rests on is left out.
        let entries: Vec<Entry> = of_kind
            .filter_map(|source| Some((source, rests.remove(source.id.as_str())?)))
            .map(|(source, rests)| entry(shared, source, rests))
            .collect();
        // words: page.sources.kind.{SourceKind}
        let kind = desk.label(&format!("sources.kind.{}", kind.key()));
        (!entries.is_empty()).then_some(Group { kind, entries })
    };
    let view = SourcesView {
        about: desk.label("sources.about"),
        groups: SourceKind::ALL.iter().filter_map(|(_, kind)| group(kind)).collect(),
    };
    let head = Head {
        title: desk.label("sources.title"),
        kicker: desk.label("reference"),
        side: Side::Crew,
        kind: "sources",
        ..Head::default()
    };
    desk.render("sources.html", &head, &view)
}

fn entry(shared: &Shared<'_>, source: &Source, rests: Vec<Rest>) -> Entry {
    let words = shared.words;
    let short = shared.course.sources.get(&source.id);
    let short = short.cloned().unwrap_or_else(|| source.short(words));
    let whole = match &source.issuer {
        Some(issuer) => {
            let blanks = [("issuer", issuer.as_str()), ("title", &source.title)];
            words.say("page.sources.issued", &blanks)
        }
        None => source.title.clone(),
    };
    let mut lines = Vec::new();
    // The short form of what has no issuer is its title as often as not.
    if whole != short {
        lines.push(format!("{}.", whole.trim_end_matches('.')));
    }
    let told = |key: &str, blank: &str, value: &Option<String>| {
        // What its title says already is not said again.
        let value = value.as_ref().filter(|value| !whole.contains(value.as_str()))?;
        // words: page.sources.{told(..)}
        Some(words.say(&format!("page.sources.{key}"), &[(blank, value)]))
    };
    lines.extend(told("number", "number", &source.number));
    lines.extend(told("date", "date", &source.date));
    lines.extend(told("section", "section", &source.section));
    lines.extend(told("read", "read", &source.read));
    lines.extend(told("address", "address", &source.address));
    Entry { id: source.id.clone(), short, lines, rests }
}

fn note<'c>(rests: &mut Rests<'c>, source: &'c str, rest: Rest) {
    let all = rests.entry(source).or_default();
    // A table rests on a source with each of its rows.
    if !all.contains(&rest) {
        all.push(rest);
    }
}

/// Cautions, criticals and what else says in words where it comes from.
fn of_texts<'c>(shared: &Shared<'c>, rests: &mut Rests<'c>) {
    for cited in &shared.course.cited {
        if let Some(rest) = of_text(shared, &cited.by) {
            note(rests, &cited.source, rest);
        }
    }
}

/// What names a source; nothing where the module prints no such thing.
fn of_text(shared: &Shared<'_>, by: &CitedBy) -> Option<Rest> {
    let course = shared.course;
    let say = |key: &str, blanks: &[(&str, &str)]| {
        // words: page.sources.{say(..)}
        shared.words.say(&format!("page.sources.{key}"), blanks)
    };
    let short = |id: &str| course.drill(id).map(|drill| drill_name(drill).0);
    let card = |id: &str| format!("drill-{id}.html");
    let (name, file) = match by {
        CitedBy::Caution(id) => {
            let headline = &course.cautions.get(id)?.headline;
            let name = say("caution", &[("name", headline.as_str())]);
            (name, format!("cautions.html#{id}"))
        }
        CitedBy::UnsafeAct(id) => {
            let act = course.unsafe_acts.iter().find(|act| act.id == *id)?;
            // It stands on every drill card and has no page of its own.
            (say("act", &[("name", act.act.trim_end_matches('.'))]), String::new())
        }
        CitedBy::Critical(drill, id) => {
            let all = &course.drill(drill)?.criticals;
            let act = &all.iter().find(|critical| critical.id == *id)?.act;
            let act = act.trim_end_matches('.');
            let name = say("critical", &[("drill", &short(drill)?), ("name", act)]);
            (name, card(drill))
        }
        CitedBy::Measure(drill, id) => {
            let all = &course.drill(drill)?.measures;
            let label = &all.iter().find(|measure| measure.id == *id)?.label;
            let name =
                say("measure", &[("drill", &short(drill)?), ("name", label.as_str())]);
            (name, card(drill))
        }
        CitedBy::Time(drill) => (say("time", &[("drill", &short(drill)?)]), card(drill)),
        CitedBy::PassMark => (say("pass-mark", &[]), "index.html".to_owned()),
    };
    Some(Rest { name, file })
}

/// Formulas, tables and constants of which a page of this module shows the figures.
fn of_library<'c>(desk: &Desk<'c>, shared: &Shared<'c>, rests: &mut Rests<'c>) {
    let library = &shared.course.library;
    let system = desk.module().units;
    let rest = |key: &str, name: &str, file: String| {
        // words: page.sources.{rest(..)}
        let name = shared.words.say(&format!("page.sources.{key}"), &[("name", name)]);
        Rest { name, file }
    };
    for formula in library.formulas() {
        let shown = !formula.officers_only && formula.holds_in(system);
        let Some(family) = desk.family(&formula.family).filter(|_| shown) else {
            continue;
        };
        let file = format!("family-{}.html#{}", family.id, formula.id);
        for source in formula.rests_on() {
            note(rests, &source.source, rest("formula", &formula.title, file.clone()));
        }
    }
    let with_others = |source: &'c SourceRef, others: &'c [Published]| {
        let others = others.iter().map(|other| &other.source);
        std::iter::once(source).chain(others).collect::<Vec<_>>()
    };
    for own in library.constants() {
        if system.has(own.only) && stays(desk, &own.id) {
            let file = format!("figures.html#{}", own.id);
            for source in with_others(&own.source, &own.others) {
                note(rests, &source.source, rest("constant", &own.label, file.clone()));
            }
        }
    }
    for table in library.tables() {
        if system.has(table.only) && stays(desk, &table.id) {
            let file = format!("figures.html#table-{}", table.id);
            for row in &table.rows {
                for source in with_others(&row.source, &row.others) {
                    note(
                        rests,
                        &source.source,
                        rest("table", &table.title, file.clone()),
                    );
                }
            }
        }
    }
}
