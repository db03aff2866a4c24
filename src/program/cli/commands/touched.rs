//! What a changed figure touches: the pages that are other pages by it, and the texts that name
//! it or hold its old number.
//!
//! Nothing is guessed from what points to what: the module is made once more with the other
//! cards in the place of its own, and its pages are compared byte by byte.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::module::Module;
use crate::authoring::{self, Options};
use crate::course::{Course, Kept, Named, names_in};
use crate::findings::{self, Code, Sources};
use crate::publish::{Shared, page, plan};
use crate::scoring::kept_files;
use crate::wire::{Form, json};
use crate::words::Words;

/// Files whose figures are named in texts and worked on pages.
const CARDS: [&str; 3] = ["rigs/", "concentrates/", "local.yaml"];

/// What the figures of the other side change in a module.
#[derive(Debug, Default, Serialize)]
pub(super) struct Touched {
    /// Pages, by their path in the site.
    pub(super) pages: Vec<String>,
    /// Places in its texts.
    pub(super) texts: Vec<TouchedText>,
}

/// A place in a text.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub(super) struct TouchedText {
    /// File of the module.
    pub(super) file: String,
    /// Line, from 1.
    pub(super) line: usize,
    /// The name or the number that stands there.
    pub(super) found: String,
}

/// The cards of a module as files.
pub(super) fn cards_of(module: &Module) -> Sources {
    let texts = module.folder.texts.iter();
    let cards = texts.filter(|(file, _)| CARDS.iter().any(|card| file.starts_with(card)));
    cards.map(|(file, text)| (file.clone(), text.clone())).collect()
}

/// The cards of what is kept, as files: what a program wrote as JSON is read as YAML.
pub(super) fn cards_kept(kept: &Kept) -> Sources {
    let written = |rig: &crate::course::Rig| {
        let mut rig = rig.clone();
        // They have files of their own.
        rig.agents.clear();
        (format!("rigs/{}.yaml", rig.id), json(&rig, Form::Whole).to_string())
    };
    kept.rigs.values().map(written).collect()
}

/// What the figures of other cards change in a module; nothing where the module cannot be made
/// with them.
pub(super) fn touched(
    module: &Module,
    cards: &Sources,
    words: &Words,
) -> Option<Touched> {
    let course = module.course.as_ref()?;
    let mut texts = module.folder.texts.clone();
    let known: Vec<String> = texts.keys().cloned().collect();
    // A card that only one side has is told as such and has no other pages to compare.
    let both = cards.iter().filter(|(file, _)| known.contains(file));
    texts.extend(both.map(|(file, text)| (file.clone(), text.clone())));
    if texts == module.folder.texts {
        return Some(Touched::default());
    }
    let other = read(module, &texts)?;
    let (now, then) = (pages(course, words)?, pages(&other, words)?);
    // A page that one side does not have differs too.
    let differs = |path: &&String| now.get(*path) != then.get(*path);
    let paths: BTreeSet<&String> = now.keys().chain(then.keys()).collect();
    let pages = paths.into_iter().filter(differs).cloned().collect();
    let mut found = names(module, course, &other);
    found.extend(numbers(module, &other, words));
    Some(Touched { pages, texts: found.into_iter().collect() })
}

fn read(module: &Module, texts: &Sources) -> Option<Course> {
    let others = module.folder.others.keys().cloned().collect();
    let (course, mut found) = authoring::read(texts, &others, Options::default());
    // What is kept does not say once more that a tank has no mark; it was asked in its day.
    found.retain(|one| one.code != Code::FigureNotStated);
    course.filter(|_| !findings::blocks(&found))
}

/// Every page as it is printed; a seed is on no page that is compared.
fn pages(course: &Course, words: &Words) -> Option<BTreeMap<String, String>> {
    let shared = Shared::new(course, words, "").ok()?;
    let made = |plan: &crate::publish::PagePlan| {
        Some((plan.path.clone(), page(&shared, plan).ok()?))
    };
    Some(plan(course).iter().filter_map(made).collect())
}

fn named(course: &Course) -> Named {
    let mut named = Named::default();
    course.rigs.values().for_each(|rig| named.rig(rig));
    course.concentrates.values().for_each(|product| named.product(product));
    course.local.iter().for_each(|topic| named.local(topic));
    named
}

/// Where a figure that is another now is called by its name.
fn names(module: &Module, course: &Course, other: &Course) -> BTreeSet<TouchedText> {
    let (now, then) = (named(course), named(other));
    let mut out = BTreeSet::new();
    for (file, text) in &module.folder.texts {
        for found in names_in(text) {
            if now.get(found.name) != then.get(found.name) {
                let before = text.get(..found.start).unwrap_or_default();
                let line = before.matches('\n').count() + 1;
                let found = format!("{{{}}}", found.name);
                out.insert(TouchedText { file: file.clone(), line, found });
            }
        }
    }
    out
}

/// Where its old number is typed: what would be told if the other cards had been kept.
fn numbers(module: &Module, other: &Course, words: &Words) -> Vec<TouchedText> {
    // Any drill will do, because with each of them the cards of all rigs are kept.
    let Some(kept) = other.drills.first().and_then(|one| kept_files(other, one).ok())
    else {
        return Vec::new();
    };
    let mut texts = module.folder.texts.clone();
    let rigs = kept.into_iter().filter(|(name, _)| name.starts_with("rig-"));
    texts.extend(rigs.map(|(name, text)| (format!("revisions/{name}"), text)));
    let others = module.folder.others.keys().cloned().collect();
    let (_, found) = authoring::read(&texts, &others, Options::default());
    let old = found.iter().filter(|finding| finding.code == Code::OldFigure);
    let told = old.filter_map(|finding| {
        let shown = findings::printed(finding, &texts, words);
        let place = finding.place.as_ref()?;
        let found = texts.get(&place.file)?.get(place.start..place.end)?.to_owned();
        Some(TouchedText { file: shown.file?, line: shown.line?, found })
    });
    told.collect()
}
