//! Glossary, cautions and concentrates.

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Side};
use crate::course::FoamClass;
use crate::formulas::{Formula, SourceRef};
use crate::quantity::{Quantity, System};

#[derive(Serialize)]
struct ListView {
    about: String,
    entries: Vec<Entry>,
}

#[derive(Serialize)]
struct Entry {
    id: String,
    name: String,
    lines: Vec<String>,
}

/// Lists whose entries name sources in short.
const CITING: [&str; 2] = ["figures", "cautions"];

/// The page that has every source in full.
pub(super) fn sources_link(desk: &Desk<'_>) -> (String, String) {
    ("sources.html".to_owned(), desk.label("sources.title"))
}

fn page(
    desk: &Desk<'_>,
    key: &str,
    kind: &'static str,
    entries: Vec<Entry>,
) -> Result<String, PublishFault> {
    let head = Head {
        title: desk.label(key),
        kicker: desk.label("reference"),
        side: Side::Crew,
        cautions: Vec::new(),
        unverified: false,
        kind,
        next: if CITING.contains(&kind) { vec![sources_link(desk)] } else { Vec::new() },
        ..Head::default()
    };
    // words: page.{glossary|concentrates|cautions|figures}-about
    let view = ListView { about: desk.label(&format!("{key}-about")), entries };
    desk.render("list.html", &head, &view)
}

/// `glossary.html`.
pub(super) fn glossary(desk: &Desk<'_>) -> Result<String, PublishFault> {
    let words = desk.words;
    let entries = desk.terms().values().map(|term| Entry {
        id: term.id.clone(),
        name: term.term.clone(),
        lines: std::iter::once(term.meaning.clone())
            .chain((!term.also.is_empty()).then(|| {
                words.say("page.also-called", &[("names", &term.also.join(", "))])
            }))
            .collect(),
    });
    let mut entries: Vec<Entry> = entries.collect();
    // By what is printed and not by id: a reader looks for the word.
    entries.sort_by_key(|entry| entry.name.to_lowercase());
    page(desk, "glossary", "glossary", entries)
}

/// A key of a table: a quantity as the module writes it, or a word without its hyphens.
fn told_key(key: &str) -> String {
    match Quantity::read(key) {
        Ok(value) => value.printed(),
        Err(_) => key.replace('-', " "),
    }
}

/// `figures.html`: figures on which publishers differ, and the tables.
pub(super) fn figures(desk: &Desk<'_>) -> Result<String, PublishFault> {
    let library = desk.library();
    let words = desk.words;
    let cited = |value: &Quantity, source: &SourceRef| {
        (value.printed(), desk.wording().noted(source))
    };
    let line = |key: &str, (value, source): &(String, String)| {
        // words: page.{figure-local|figure-used|figure-other|allowed-one|allowed}
        words.say(&format!("page.{key}"), &[("value", value), ("source", source)])
    };
    // What holds only in the other units is no figure of this module.
    let system = desk.module().units;
    let holds = move |only: Option<System>| system.has(only);
    let constants = library.constants().iter().filter(|own| holds(own.only));
    let constants = constants.filter(|own| stays(desk, &own.id));
    let constants = constants.map(|constant| {
        let key = if constant.local { "figure-local" } else { "figure-used" };
        let mut lines = vec![line(key, &cited(&constant.value, &constant.source))];
        let others = constant.others.iter();
        lines.extend(
            others.map(|other| line("figure-other", &cited(&other.value, &other.source))),
        );
        Entry { id: constant.id.clone(), name: constant.label.clone(), lines }
    });
    let tables = library
        .tables()
        .iter()
        .filter(|own| holds(own.only) && stays(desk, &own.id))
        .map(|table| {
            let mut lines = Vec::new();
            for row in &table.rows {
                let keys = row.keys.iter().map(|key| told_key(key)).collect::<Vec<_>>();
                let keys = keys.join(", ");
                let (value, source) = cited(&row.value, &row.source);
                let blanks =
                    [("keys", keys.as_str()), ("value", &value), ("source", &source)];
                lines.push(words.say("page.figure-row", &blanks));
                let others = row.others.iter();
                lines.extend(others.map(|other| {
                    line("figure-other", &cited(&other.value, &other.source))
                }));
            }
            // Two tables may share a title and differ in their units.
            let unit = table.rows.first().map_or("", |row| row.value.unit().symbol);
            let name = match unit {
                "" => table.title.clone(),
                unit => format!("{} ({unit})", table.title),
            };
            Entry { id: format!("table-{}", table.id), name, lines }
        });
    page(desk, "figures", "figures", constants.chain(tables).collect())
}

/// Whether a figure is of use: some formula that takes it has a page, or none takes it and the family
/// whose first two words it bears has one. What no rig of the module has is not printed.
pub(super) fn stays(desk: &Desk<'_>, id: &str) -> bool {
    let names = |text: &str| {
        let mut words = text.split(|c: char| !(c.is_ascii_alphanumeric() || c == '-'));
        words.any(|word| word == id)
    };
    let takes = |formula: &&Formula| {
        let lines = formula.work.iter().chain(&formula.work_si);
        let mut defaults =
            formula.defaults(System::Us).chain(formula.defaults(System::Si));
        lines.map(|line| line.text.as_str()).any(names)
            || defaults.any(|(_, constant)| constant == id)
    };
    let printed = |formula: &Formula| desk.family(&formula.family).is_some();
    let all: Vec<&Formula> = desk.library().formulas().collect();
    // Names begin with what they are about in two words, `hose-loss` or `foam-supply`: one would
    // put all of the pump together, and three would part a formula from its own family.
    let first =
        |name: &str| name.split('-').take(2).map(str::to_owned).collect::<Vec<_>>();
    let of_name = |formula: &&&Formula| first(id) == first(&formula.family);
    let mut takers = all.iter().filter(|formula| takes(formula)).peekable();
    if takers.peek().is_some() {
        takers.any(|formula| printed(formula))
    } else {
        all.iter().find(of_name).is_none_or(|formula| printed(formula))
    }
}

/// `cautions.html`.
pub(super) fn cautions(desk: &Desk<'_>) -> Result<String, PublishFault> {
    let mut known: Vec<_> = desk.cautions().values().collect();
    // The gravest first: whoever reads one of them has read the worst.
    known.sort_by_key(|caution| caution.signal);
    let entries = known.into_iter().map(|caution| {
        let signal = caution.signal.said(desk.words);
        let source = desk.words.say("page.source", &[("source", &caution.source)]);
        Entry {
            id: caution.id.clone(),
            name: format!("{signal}: {}", caution.headline),
            lines: vec![caution.hazard.clone(), caution.control.clone(), source],
        }
    });
    page(desk, "cautions", "cautions", entries.collect())
}

/// `concentrates.html`.
pub(super) fn concentrates(desk: &Desk<'_>) -> Result<String, PublishFault> {
    let entries = desk.concentrates().values().map(|concentrate| {
        let class = match concentrate.class {
            FoamClass::A => "class-a",
            FoamClass::B => "class-b",
        };
        let mut lines = vec![desk.label(class)];
        for allowed in &concentrate.allowed {
            let blanks = [
                ("fuel", allowed.fuel.clone()),
                ("from", allowed.from.printed()),
                ("to", allowed.to.printed()),
            ];
            let blanks: Vec<(&str, &str)> =
                blanks.iter().map(|(k, v)| (*k, v.as_str())).collect();
            let key = if allowed.from == allowed.to { "allowed-one" } else { "allowed" };
            lines.push(desk.words.say(&format!("page.{key}"), &blanks));
        }
        let density = concentrate.density.printed();
        lines.push(desk.words.say("page.density", &[("density", &density)]));
        let containers = concentrate.containers.iter();
        let containers: Vec<String> =
            containers.map(|c| format!("{} {}", c.name, c.holds.printed())).collect();
        let containers = containers.join(", ");
        lines.push(desk.words.say("page.containers", &[("containers", &containers)]));
        lines.push(desk.label(if concentrate.fluorine_free {
            "fluorine-free"
        } else {
            "fluorine"
        }));
        lines.extend(concentrate.label_says.clone());
        Entry { id: concentrate.id.clone(), name: concentrate.title.clone(), lines }
    });
    page(desk, "concentrates", "concentrates", entries.collect())
}
