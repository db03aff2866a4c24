//! What no single sheet can tell: names that lead nowhere, values that do not fit each other.
//!
//! Every check is a small function over [`Checked`]; [`RULES`] lists them. References are
//! looked up in the trees and not in the course, so that one fault of a sheet does not
//! bring a dozen faults of those that point to it.
//!
//! To add one: a function in the file of its topic, its name in [`RULES`], its code in the
//! register, and a folder in `tests/wrong`.

mod chain;
mod drill;
mod feeds;
mod lesson;
mod module;
mod names;
mod question;
mod rig;
mod roster;
mod run;
mod run_marks;
mod shown;
mod spot;
mod values;

pub(super) use run::Handed;

use std::cell::RefCell;
use std::collections::BTreeSet;

use spot::Spot;

use super::flat::Flat;
use super::tree::Trees;
use crate::course::{Course, RunSheet};
use crate::findings::{self, Code, Finding, Sources};
use crate::words::Words;

/// A course with the texts it was read from, and what has been found so far.
pub(super) struct Checked<'c> {
    course: &'c Course,
    runs: &'c [(Flat, RunSheet)],
    trees: &'c Trees,
    sources: &'c Sources,
    others: &'c BTreeSet<String>,
    /// Whether a file that is named was not there: then an unnamed one is no second fault.
    missing_file: bool,
    /// Whether something must be mended already.
    broken: bool,
    found: RefCell<Vec<Finding>>,
}

/// The checks of a module.
const RULES: &[fn(&Checked<'_>)] = &[
    names::doubles,
    names::module,
    names::drills,
    names::rigs,
    names::questions,
    rig::check,
    drill::check,
    chain::check,
    feeds::check,
    shown::check,
    shown::sources,
    question::check,
    lesson::check,
    run::of_module,
    roster::check,
    module::check,
];

/// Checks a module; `others` names the files that are no text, `runs` its own run sheets.
pub(super) fn run(
    course: &Course,
    runs: &[(Flat, RunSheet)],
    (trees, sources): (&Trees, &Sources),
    others: &BTreeSet<String>,
    found: &mut Vec<Finding>,
) {
    let missing_file = found.iter().any(|finding| finding.code == Code::MissingFile);
    let checked = Checked {
        course,
        runs,
        trees,
        sources,
        others,
        missing_file,
        broken: findings::blocks(found),
        found: RefCell::default(),
    };
    for rule in RULES {
        rule(&checked);
    }
    found.extend(checked.found.into_inner());
}

/// Checks a run sheet that does not belong to the module.
pub(super) fn run_sheet(
    course: &Course,
    words: &Words,
    handed: &Handed<'_>,
    sources: &Sources,
    found: &mut Vec<Finding>,
) {
    let checked = Checked {
        course,
        runs: &[],
        trees: &handed.flat.trees,
        sources,
        others: &BTreeSet::new(),
        missing_file: false,
        broken: findings::blocks(found),
        found: RefCell::default(),
    };
    if checked.broken {
        // What has to be mended first may be the reason for what would be found next.
        run::given(&checked, handed, None);
    } else {
        run::given(&checked, handed, Some(words));
    }
    found.extend(checked.found.into_inner());
}

impl<'c> Checked<'c> {
    fn note(&self, finding: Finding) {
        self.found.borrow_mut().push(finding);
    }

    /// The top of a file.
    fn file(&self, file: impl Into<String>) -> Spot<'c> {
        Spot::of(self.trees, file.into())
    }

    /// The sheet of a thing: the file of its name, or the one that says it is it.
    fn sheet(&self, folder: &str, id: &str) -> Spot<'c> {
        let named = self.file(format!("{folder}/{id}.yaml"));
        let key = match folder {
            "questions" => "set",
            other => other.trim_end_matches('s'),
        };
        let says = |spot: &Spot<'_>| spot.at(key).text() == Some(id);
        if says(&named) {
            return named;
        }
        let sheets = self.folder(&format!("{folder}/"));
        sheets.into_iter().find(says).unwrap_or(named)
    }

    /// Files of a folder that are sheets.
    fn folder(&self, folder: &str) -> Vec<Spot<'c>> {
        let files = self.trees.files().filter(|file| file.starts_with(folder));
        files.map(|file| self.file(file)).collect()
    }

    /// Whether a file is there but could not be read: then nobody knows what it holds.
    fn unread(&self, file: &str) -> bool {
        self.sources.contains_key(file) && self.trees.get(file).is_none()
    }

    /// Names of one kind that the module has; nothing when a file that holds them is unreadable.
    fn known(&self, kind: &str) -> Option<Vec<String>> {
        let listed = |file: &str, key: &str| {
            (!self.unread(file)).then(|| self.file(file).ids(key))
        };
        let head = self.file("module.yaml");
        Some(match kind {
            "objective" => listed("objectives.yaml", "objective")?,
            "topic" => listed("local.yaml", "topic")?,
            "term" => listed("terms.yaml", "term")?,
            "person" => listed("people.yaml", "person")?,
            "source" => {
                let mut all = listed("trade/sources.yaml", "source")?;
                all.extend(listed("sources.yaml", "source")?);
                all.sort();
                all.dedup();
                all
            }
            "caution" => {
                let mut all = listed("trade/cautions.yaml", "caution")?;
                all.extend(listed("cautions.yaml", "caution")?);
                // A caution of the module's own takes the trade's place.
                all.sort();
                all.dedup();
                all
            }
            "drill" => head.at("drills").texts(),
            "rig" => head.at("rigs").texts(),
            "concentrate" => head.at("concentrates").texts(),
            "lesson" => head.at("lessons").ids("lesson"),
            _ => return None,
        })
    }

    /// A value that must be the name of something of the module.
    fn refer(&self, kind: &str, spot: &Spot<'c>) {
        if let Some(known) = self.known(kind) {
            self.among(kind, &known, spot);
        }
    }

    /// Every entry of a list must be.
    fn refer_all(&self, kind: &str, list: &Spot<'c>) {
        for spot in list.items() {
            self.refer(kind, &spot);
        }
    }

    /// A value that must be one of some names.
    fn among(&self, kind: &str, known: &[String], spot: &Spot<'c>) {
        if let Some(id) = spot.text() {
            self.named(kind, known, id, Finding::at(Code::UnknownId, spot.place()));
        }
    }

    /// Notes the finding when the name is not known.
    fn named(&self, kind: &str, known: &[String], id: &str, finding: Finding) {
        // A name with a capital letter or an underscore is a fault of its own.
        // In a list with one name twice, the missing one may be what the double stands for.
        let unique: BTreeSet<&String> = known.iter().collect();
        if unique.len() < known.len() {
            return;
        }
        let plain = |name: &str| name.to_lowercase().replace(['_', ' '], "-");
        if known.iter().any(|name| plain(name) == plain(id)) {
            return;
        }
        let near = nearest(id, known);
        self.note(finding.with("kind", kind).with("id", id).with("nearest", near));
    }
}

/// The nearest name, or the choice there is.
fn nearest(typed: &str, known: &[String]) -> String {
    crate::words::nearest(typed, known.iter().map(String::as_str)).unwrap_or_else(|| {
        let few: Vec<&str> = known.iter().take(12).map(String::as_str).collect();
        few.join(", or ")
    })
}
