//! All sheets of a folder → one course.

use std::collections::{BTreeMap, BTreeSet};

use super::checks;
use super::cited::{references, settle, shorts};
use super::flat::{Flat, ends, flats};
use super::headings::placed;
use super::kept::kept;
use super::library::{build, with_trade};
use super::named::{fill, fill_lessons};
use super::runs::{leave_to_others, old_marks, run_sheet};
use super::spoken::face;
use super::tree::Trees;
use crate::course::{
    Cards, Caution, Concentrate, Course, Drill, Face, Family, Head, Kept, Leaf, Lesson,
    LocalTopic, Narrated, Objective, Person, QuestionSet, Rig, Teaches, Term, Topic,
};
use crate::findings::{self, Code, Finding, Place, Sources};
use crate::formulas::{Library, Source};
use crate::quantity::Writing;
use crate::wire::{Desk, Item, Wire, read as read_thing};

/// How a module is read.
#[derive(Debug, Clone, Copy, Default)]
pub struct Options {
    /// Prints an unfinished module with a watermark and blanks.
    pub draft: bool,
}

/// Reads a module. `others` names the files that are no text, such as pictures.
///
/// The course is there whenever it could be put together; whether it may be published is
/// told by [`findings::blocks`].
pub fn read(
    sources: &Sources,
    others: &BTreeSet<String>,
    options: Options,
) -> (Option<Course>, Vec<Finding>) {
    let sources = with_trade(sources);
    let mut found = Vec::new();
    let trees = Trees::read(&sources, &mut found);
    let system = trees.system();
    let units = Some(system);
    let desk = Desk { draft: options.draft, units, ..Desk::default() };
    // First, because every sentence from here on is told in its words.
    let face = face(&desk, &trees, &sources);
    let words = face.words.clone();
    let (trees, names) = fill(trees.told_in(system), system);
    let _numbers = Writing::of(trees.comma());
    let runs = runs(&sources, &mut found);
    let mut sheets = Vec::new();
    let mut course = course(&desk, &trees, &sources, face).map(|mut course| {
        let read = |flat: &Flat| {
            let read =
                flat.node().and_then(|node| run_sheet(desk.item(&flat.file, node)));
            old_marks(flat, &mut desk.findings.borrow_mut());
            read
        };
        let all = runs.into_iter();
        sheets.extend(all.filter_map(|flat| read(&flat).map(|sheet| (flat, sheet))));
        for (_, sheet) in &mut sheets {
            leave_to_others(sheet, &course);
        }
        // What marks a narrated run was nobody's run; it is told by the checks.
        let own = sheets.iter().map(|(_, sheet)| sheet);
        course.runs =
            own.filter(|sheet| course.narrated_of(sheet).is_none()).cloned().collect();
        course.kept = kept(&sources, &mut found);
        super::by_rig::choose(&mut course);
        settle(&mut course);
        course
    });
    found.extend(desk.findings.into_inner());
    if let Some(course) = &course {
        let texts = checks::Texts { trees: &trees, sources: &sources, names: &names };
        checks::run(course, &sheets, texts, others, &mut found);
    }
    if let Some(course) = &mut course {
        // Behind the checks: their places are bytes of the lesson as it was written.
        fill_lessons(course, &names.named);
    }
    let course = course.map(|mut course| {
        super::equipment::leave_out(&mut course);
        course
    });
    super::decimals::torn(&mut found, &sources, trees.comma());
    super::meant::mend(&mut found, system, crate::course::BOOKS);
    super::explain::missing(&mut found, system, crate::course::BOOKS, &words);
    super::decimals::decimals(&mut found, trees.comma());
    findings::sort(&mut found);
    (course, found)
}

/// Run sheets of the folder, each laid out for itself.
fn runs(sources: &Sources, found: &mut Vec<Finding>) -> Vec<Flat> {
    let files = sources.iter().filter(|(file, _)| file.starts_with("runs/"));
    let known = |file: &str| ["yaml", "json", "csv"].iter().any(|end| ends(file, end));
    let mut out = Vec::new();
    for (file, text) in files.filter(|(file, _)| known(file)) {
        match flats(file, text) {
            Ok(flats) => out.extend(flats),
            // What is no YAML has been told when the trees were read.
            Err(_) if ends(file, "yaml") => {}
            Err(finding) => found.push(finding),
        }
    }
    out
}

struct Folder<'f> {
    desk: &'f Desk,
    trees: &'f Trees,
    sources: &'f Sources,
}

impl<'f> Folder<'f> {
    /// A file every module has.
    fn must(&self, file: &'f str) -> Option<Item<'f>> {
        let found = self.may(file);
        if found.is_none() && !self.sources.contains_key(file) {
            self.desk.note(Finding::whole(Code::MissingFile).with("name", file));
        }
        found
    }

    fn may(&self, file: &'f str) -> Option<Item<'f>> {
        self.trees.get(file).map(|node| self.desk.item(file, node))
    }

    fn list<T: Wire>(
        &self,
        file: &'f str,
        id: fn(&T) -> &str,
        kind: &'static str,
    ) -> Vec<T> {
        let all = self.may(file).and_then(read_thing).unwrap_or_default();
        self.doubles(all, id, kind, file)
    }

    /// Leaves out what has an id that stood before, and says so.
    fn doubles<T>(
        &self,
        all: Vec<T>,
        id: fn(&T) -> &str,
        kind: &str,
        file: &str,
    ) -> Vec<T> {
        let mut seen = BTreeSet::new();
        let mut out = Vec::new();
        for thing in all {
            if seen.insert(id(&thing).to_owned()) {
                out.push(thing);
            } else {
                self.double(file, id(&thing), kind);
            }
        }
        out
    }

    /// The second place where an id stands in a flat list.
    fn double(&self, file: &str, id: &str, kind: &str) {
        let mut place = self.trees.place(file, &[]);
        if let Some(node) = self.trees.get(file)
            && let crate::wire::Shape::List(items) = &node.shape
        {
            let is = |item: &&crate::wire::Node| match &item.shape {
                crate::wire::Shape::Map(fields) => {
                    fields.first().is_some_and(|(_, value)| value.text() == Some(id))
                }
                _ => false,
            };
            if let Some((_, value)) = items.iter().filter(is).nth(1).and_then(|item| {
                if let crate::wire::Shape::Map(fields) = &item.shape {
                    fields.first()
                } else {
                    None
                }
            }) {
                place =
                    Place { file: file.to_owned(), start: value.start, end: value.end };
            }
        }
        let finding = Finding::at(Code::DuplicateId, place).with("kind", kind);
        self.desk.note(finding.with("id", id).with("other", file));
    }

    /// Things that have a file each, in the order of the module.
    fn each<T>(
        &self,
        folder: &'static str,
        ids: &[String],
        read: impl Fn(Item<'_>) -> Option<T>,
        id: impl Fn(&T) -> &str,
    ) -> Vec<T> {
        let mut out = Vec::new();
        let mut seen = BTreeSet::new();
        for (index, name) in ids.iter().enumerate() {
            let at = index.to_string();
            let named = || self.trees.place("module.yaml", &[key(folder), &at]);
            let name = super::misnamed::bare(name, named, self.desk);
            let file = format!("{folder}/{name}.yaml");
            if !seen.insert(name) {
                let finding =
                    Finding::at(Code::DuplicateId, named()).with("kind", folder);
                self.desk.note(finding.with("id", name).with("other", "module.yaml"));
                continue;
            }
            let Some(node) = self.trees.get(&file) else {
                if !self.sources.contains_key(&file) {
                    let finding = Finding::at(Code::MissingFile, named());
                    self.desk.note(super::misnamed::file(finding, &file, self.sources));
                }
                continue;
            };
            let Some(thing) = read(self.desk.item(&file, node)) else { continue };
            // Told and read on: other files refer to the thing by the one name or the
            // other.
            if id(&thing) != name {
                let place = self.trees.place(&file, &[first_key(folder)]);
                let finding =
                    Finding::at(Code::IdNotFile, place).with("found", id(&thing));
                self.desk.note(finding.with("nearest", name).with("file", file));
            }
            out.push(thing);
        }
        out
    }
}

/// The list of `module.yaml` that names the files of a folder.
fn key(folder: &str) -> &str {
    if folder == "questions" { "sets" } else { folder }
}

fn first_key(folder: &str) -> &str {
    match folder {
        "questions" => "set",
        other => other.trim_end_matches('s'),
    }
}

fn course(desk: &Desk, trees: &Trees, sources: &Sources, face: Face) -> Option<Course> {
    let folder = Folder { desk, trees, sources };
    let head: Option<Head> = folder.must("module.yaml").and_then(read_thing);
    let local = folder.doubles(local(&folder), |t| &t.id, "topics", "local.yaml");
    let trade = folder.list("trade/cautions.yaml", |c: &Caution| &c.id, "cautions");
    let own = folder.list("cautions.yaml", |c: &Caution| &c.id, "cautions");
    let cautions: BTreeMap<_, _> = trade
        .into_iter()
        // The module's own come last and take the place of the trade's of that name.
        .chain(own)
        .map(|caution| (caution.id.clone(), caution))
        .collect();
    let acts =
        folder.may("trade/unsafe-acts.yaml").and_then(read_thing).unwrap_or_default();
    let objectives = folder.list("objectives.yaml", |o: &Objective| &o.id, "objectives");
    let terms = folder.list("terms.yaml", |t: &Term| &t.id, "terms");
    let people = folder.list("people.yaml", |p: &Person| &p.id, "people");
    let library = build(desk, trees, &face.words);
    let listed = |file| folder.list(file, |s: &Source| &s.id, "sources");
    let references = references(listed("trade/sources.yaml"), listed("sources.yaml"));
    // Only now: what is wrong in the files that need no head has been told by then.
    let head = head?;
    desk.comma.set(head.module.comma);
    let rigs = folder.each("rigs", &head.rigs, read_thing, |rig: &Rig| &rig.id);
    let concentrates = concentrates(&folder, &head.concentrates);
    let read_drill = |item: Item<'_>| read_thing(item).map(Drill::settled);
    let drills = folder.each("drills", &head.drills, read_drill, |drill| &drill.id);
    let sets =
        folder.each("questions", &head.sets, read_thing, |set: &QuestionSet| &set.id);
    let lessons = lessons(&folder, head.lessons);
    Some(Course {
        module: head.module,
        local,
        cautions,
        unsafe_acts: acts,
        objectives: objectives.into_iter().map(|o| (o.id.clone(), o)).collect(),
        terms: terms.into_iter().map(|term| (term.id.clone(), term)).collect(),
        rigs: super::equipment::all_rigs((&drills, &face), rigs, &concentrates),
        concentrates: concentrates.into_iter().map(|c| (c.id.clone(), c)).collect(),
        guide: sources.get("evaluator.md").cloned(),
        leaves: leaves(&folder),
        teaches: taught(&folder, &lessons).into(),
        lessons,
        drills,
        chains: head.chains,
        sets,
        families: families(&folder, &library),
        library,
        sources: shorts(&references, &face.words),
        face,
        references,
        cited: Vec::new(),
        cards: cards(&folder),
        bases: folder.may("trade/bases.yaml").and_then(read_thing).unwrap_or_default(),
        runs: Vec::new(),
        narrated: narrated(&folder, &head.narrated),
        roster: folder.may("roster.yaml").and_then(read_thing).unwrap_or_default(),
        kept: Kept::default(),
        people: people.into_iter().map(|person| (person.id.clone(), person)).collect(),
        draft: desk.draft,
    })
}

/// What teaches what, its headings found in the lessons.
fn taught(folder: &Folder<'_>, lessons: &[Lesson]) -> Vec<Teaches> {
    let all = folder.may("teaches.yaml").and_then(read_thing).unwrap_or_default();
    placed(all, lessons)
}

fn leaves(folder: &Folder<'_>) -> Vec<Leaf> {
    folder.list("leaves.yaml", |leaf: &Leaf| &leaf.lesson, "leaves")
}

fn concentrates(folder: &Folder<'_>, ids: &[String]) -> Vec<Concentrate> {
    folder.each("concentrates", ids, read_thing, |one: &Concentrate| &one.id)
}

fn narrated(folder: &Folder<'_>, ids: &[String]) -> Vec<Narrated> {
    folder.each("narrated", ids, read_thing, |one: &Narrated| &one.id)
}

fn cards(folder: &Folder<'_>) -> Cards {
    let cards = folder.may("trade/cards.yaml").and_then(read_thing);
    cards.unwrap_or(Cards { cautions: Vec::new(), lines: Vec::new() })
}

/// Answers to the trade's topics, and topics of the department's own.
fn local(folder: &Folder<'_>) -> Vec<LocalTopic> {
    let trade: Vec<Topic> =
        folder.may("trade/topics.yaml").and_then(read_thing).unwrap_or_default();
    let items = folder.must("local.yaml").map(|item| item.list()).unwrap_or_default();
    let topics = items.into_iter();
    topics.filter_map(|item| super::topics::topic(item, &trade)).collect()
}

/// The trade's families, the module's own, and those that only a formula names.
fn families(folder: &Folder<'_>, library: &Library) -> Vec<Family> {
    let list = |file| folder.list(file, |f: &Family| &f.id, "families");
    let own = list("families.yaml");
    let mut all = list("trade/families.yaml");
    let known: BTreeSet<&String> = own.iter().map(|family| &family.id).collect();
    // A department's own family of that name takes the place of the trade's.
    all.retain(|family| !known.contains(&family.id));
    all.extend(own);
    let mut known: BTreeSet<String> = all.iter().map(|f| f.id.clone()).collect();
    // A family nobody wrote a page for still has one, or its formulas could be found
    // nowhere.
    for formula in library.formulas() {
        if known.insert(formula.family.clone()) {
            all.push(Family {
                id: formula.family.clone(),
                title: capital(&formula.family.replace('-', " ")),
                about: String::new(),
                needs: None,
                cautions: Vec::new(),
                charts: Vec::new(),
            });
        }
    }
    all
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

/// Puts the text of its file into each lesson.
fn lessons(folder: &Folder<'_>, lessons: Vec<Lesson>) -> Vec<Lesson> {
    let mut out: Vec<Lesson> = Vec::new();
    let mut seen = BTreeSet::new();
    for (index, mut lesson) in lessons.into_iter().enumerate() {
        let at = index.to_string();
        if !seen.insert(lesson.id.clone()) {
            let place = folder.trees.place("module.yaml", &["lessons", &at, "lesson"]);
            let finding = Finding::at(Code::DuplicateId, place).with("kind", "lessons");
            folder.desk.note(finding.with("id", lesson.id).with("other", "module.yaml"));
            continue;
        }
        match folder.sources.get(&lesson.file) {
            Some(text) => lesson.text.clone_from(text),
            None => {
                let place = folder.trees.place("module.yaml", &["lessons", &at, "file"]);
                let finding = Finding::at(Code::MissingFile, place);
                let file = &lesson.file;
                folder.desk.note(super::misnamed::file(finding, file, folder.sources));
            }
        }
        out.push(lesson);
    }
    out
}
