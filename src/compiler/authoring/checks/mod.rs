//! What no single sheet can tell: names that lead nowhere, values that do not fit each other.
//!
//! Every check is a small function over [`Checked`]; [`RULES`] lists them. References are
//! looked up in the trees and not in the course, so that one fault of a sheet does not
//! bring a dozen faults of those that point to it.
//!
//! To add one: a function in the file of its topic, its name in [`RULES`], its code in the
//! register, and a folder in `tests/wrong`.

mod basis;
mod cautions;
mod chain;
mod dated;
mod drawn;
mod drill;
mod feeds;
mod figures;
mod foam;
mod given;
mod hose;
mod index;
mod lenient;
mod lesson;
mod limits;
mod listing;
mod means;
mod module;
mod named;
mod names;
mod narrated;
mod product;
mod question;
mod rig;
mod roster;
mod run;
mod run_faults;
mod shown;
mod softened;
mod softer;
mod sense;
mod sorts;
mod tanks;
mod sourced;
mod spot;
mod teaches;
mod units;
mod values;
mod weak;

pub(super) use means::feeds_of;
pub(super) use run::Handed;

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use index::Names;
use spot::Spot;

use super::flat::Flat;
use super::tree::Trees;
use crate::course::{Course, RunSheet};
use crate::findings::{self, Code, Finding, Place, Sources};
use crate::words::Words;

/// A course with the texts it was read from, and what has been found so far.
pub(super) struct Checked<'c> {
    course: &'c Course,
    runs: &'c [(Flat, RunSheet)],
    trees: &'c Trees,
    sources: &'c Sources,
    /// Beginnings of names of figures whose card could not be read.
    unread: &'c [String],
    others: &'c BTreeSet<String>,
    /// Whether a file that is named was not there: then an unnamed one is no second fault.
    missing_file: bool,
    /// Whether something must be mended already.
    broken: bool,
    /// Files in which something must be mended already: what they would have said nobody knows.
    torn: BTreeSet<String>,
    found: RefCell<Vec<Finding>>,
    /// What was told when the files were read.
    before: Vec<Finding>,
    /// Names by their sort, each sort listed when it is first asked for.
    names: RefCell<BTreeMap<String, Option<Rc<Names>>>>,
    /// Files by folder and by the name their sheet gives itself.
    sheets: RefCell<BTreeMap<String, Rc<BTreeMap<String, String>>>>,
}

/// The checks of a module.
const RULES: &[fn(&Checked<'_>)] = &[
    // Names before all else: later checks ask whether one that
    // leads nowhere has been told.
    names::doubles,
    names::module,
    names::drills,
    names::rigs,
    names::questions,
    // Figures before what rests on them.
    figures::check,
    rig::check,
    product::check,
    cautions::check,
    drill::check,
    limits::check,
    weak::check,
    lenient::check,
    softened::check,
    softer::check,
    sorts::check,
    dated::check,
    chain::check,
    feeds::check,
    foam::check,
    means::check,
    listing::check,
    shown::check,
    sourced::check,
    question::check,
    lesson::check,
    teaches::check,
    named::check,
    named::old,
    units::check,
    // Behind all that may say why nothing can be drawn.
    drawn::check,
    narrated::check,
    run::of_module,
    roster::check,
    module::check,
];

/// What a module was read from.
#[derive(Clone, Copy)]
pub(super) struct Texts<'t> {
    /// Every file as a tree, its named figures filled.
    pub(super) trees: &'t Trees,
    /// Every file as it is written.
    pub(super) sources: &'t Sources,
    /// What can be named.
    pub(super) names: &'t super::named::Names,
}

/// Checks a module; `others` names the files that are no text, `runs` its own run sheets.
pub(super) fn run(
    course: &Course,
    runs: &[(Flat, RunSheet)],
    texts: Texts<'_>,
    others: &BTreeSet<String>,
    found: &mut Vec<Finding>,
) {
    let missing_file = found.iter().any(|finding| finding.code == Code::MissingFile);
    let checked = Checked {
        course,
        runs,
        trees: texts.trees,
        sources: texts.sources,
        unread: &texts.names.unread,
        others,
        missing_file,
        broken: findings::blocks(found),
        torn: torn(found),
        before: found.clone(),
        found: RefCell::default(),
        names: RefCell::default(),
        sheets: RefCell::default(),
    };
    for rule in RULES {
        rule(&checked);
    }
    found.extend(checked.found.into_inner());
}

/// Files with something that must be mended.
fn torn(found: &[Finding]) -> BTreeSet<String> {
    let must = found.iter().filter(|one| findings::blocks(std::slice::from_ref(*one)));
    must.filter_map(|one| Some(one.place.as_ref()?.file.clone())).collect()
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
        unread: &[],
        others: &BTreeSet::new(),
        missing_file: false,
        broken: findings::blocks(found),
        torn: torn(found),
        before: found.clone(),
        found: RefCell::default(),
        names: RefCell::default(),
        sheets: RefCell::default(),
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

    /// Whether the figure at a spot was told to be a slip most likely. What it contradicts, or what
    /// cannot be worked with it, follows from that: its author mends one figure and reads of one.
    fn doubted(&self, spot: &Spot<'_>) -> bool {
        spot.node().is_some() && self.slip_at(&spot.place())
    }

    fn slip_at(&self, place: &Place) -> bool {
        self.told_at(Code::FigureUnusual, place)
    }

    /// The bounds of a slip that was told at a place, which is taken back: what is told there instead
    /// tells them.
    fn taken_up(&self, place: &Place) -> Option<(String, String)> {
        let mut found = self.found.borrow_mut();
        let slip = |one: &Finding| {
            one.code == Code::FigureUnusual && one.place.as_ref() == Some(place)
        };
        let slip = found.iter().position(slip).map(|at| found.swap_remove(at))?;
        let bound = |name: &str| {
            let mut blanks = slip.blanks.iter();
            blanks.find(|(key, _)| *key == name).map(|(_, text)| text.clone())
        };
        bound("least").zip(bound("most"))
    }

    /// A blank of what was told of a file under a code.
    fn told_before(&self, code: Code, file: &str, blank: &str) -> Vec<String> {
        let found = self.found.borrow();
        let of_file = self.before.iter().chain(found.iter()).filter(|one| {
            one.code == code && one.place.as_ref().is_some_and(|at| at.file == file)
        });
        let blanks = of_file.flat_map(|one| &one.blanks);
        blanks.filter(|(key, _)| *key == blank).map(|(_, text)| text.clone()).collect()
    }

    /// Whether a figure of a file was told to be a slip most likely.
    fn slip_in(&self, file: &str) -> bool {
        !self.told_before(Code::FigureUnusual, file, "found").is_empty()
    }

    fn told_at(&self, code: Code, place: &Place) -> bool {
        let there = |one: &Finding| one.code == code && one.place.as_ref() == Some(place);
        self.found.borrow().iter().any(there)
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
        let known = self.sheets.borrow().get(folder).cloned();
        let by_name = known.unwrap_or_else(|| {
            let found = Rc::new(index::by_name(self, folder, key));
            self.sheets.borrow_mut().insert(folder.to_owned(), Rc::clone(&found));
            found
        });
        by_name.get(id).map_or(named, |file| self.file(file.as_str()))
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
    fn known(&self, kind: &str) -> Option<Rc<Names>> {
        if let Some(known) = self.names.borrow().get(kind) {
            return known.clone();
        }
        let known = index::of_sort(self, kind).map(Rc::new);
        self.names.borrow_mut().insert(kind.to_owned(), known.clone());
        known
    }

    /// A value that must be the name of something of the module.
    fn refer(&self, kind: &str, spot: &Spot<'c>) {
        if let Some(known) = self.known(kind) {
            self.listed(kind, &known, spot);
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
        self.listed(kind, &Names::of(known.to_vec()), spot);
    }

    /// The same, where many values are held against one list.
    fn listed(&self, kind: &str, known: &Names, spot: &Spot<'c>) {
        if let Some(id) = spot.text() {
            self.named(kind, known, id, Finding::at(Code::UnknownId, spot.place()));
        }
    }

    /// Notes the finding when the name is not known.
    fn named(&self, kind: &str, known: &Names, id: &str, finding: Finding) {
        // A formula of the module's own that could not be read is not there either, and is told.
        let own = |file: &String| file.starts_with("formulas/");
        if known.accept(id) || kind == "formula" && self.torn.iter().any(own) {
            return;
        }
        let near = nearest(id, known.listed());
        self.note(finding.with("kind", kind).with("id", id).with("nearest", near));
    }
}

/// The nearest name, or the choice there is.
fn nearest(typed: &str, known: &[String]) -> String {
    crate::words::nearest(typed, known.iter().map(String::as_str)).unwrap_or_else(|| {
        // A dozen fit into two lines of a terminal; whoever has more names than that cannot
        // find his own among them anyway.
        let few: Vec<&str> = known.iter().take(12).map(String::as_str).collect();
        few.join(", or ")
    })
}
