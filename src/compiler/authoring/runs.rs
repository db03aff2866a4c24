//! Run sheets that are given to `score`, apart from those of the module.
use std::collections::BTreeMap;
use std::rc::Rc;

use super::bounded::{MOST_FAULTY, given_up};
use super::checks::{self, Handed};
use super::flat::{Flat, flats, is_table};
use super::kept::{broken, carried};
use super::table::Rows;
use super::unread::beside_stand_ins;
use crate::course::{Course, Kept, RunFile, RunSheet};
use crate::findings::{self, Code, Finding, Place, Sources};
use crate::practice::live::{Live, LiveKit, Taps, differences};
use crate::quantity::Day;
use crate::scoring::{
    Fault, ForReading, Instead, Kit, Kits, KnownForms, Run, act_seen, faults,
    form_misread, no_officers, place_in_chain,
};
use crate::wire::{Desk, Item, Node, Shape, read, revision};
use crate::words::Words;

/// A run that can be scored.
#[derive(Debug, Clone)]
pub struct Given {
    /// What the evaluator saw.
    pub sheet: RunSheet,
    /// What it is scored by.
    pub kit: Rc<Kit>,
    /// Whether the kit came with the run and nobody else knows it.
    pub carried: bool,
    /// What speaks against it beside its own faults.
    pub apart: Vec<Fault>,
    /// The sheet as its form has it, where the two contradict each other.
    pub drawn: Option<RunSheet>,
    /// Why its verdict is for reading only.
    pub reading: Option<ForReading>,
    /// Whether it names a form, and no forms file is at hand.
    pub form_not_here: bool,
    /// Other revisions that it may have been made for.
    pub beside: Vec<Rc<Kit>>,
    /// Which of the drills of its chain it is.
    pub place: usize,
}

impl Given {
    /// Whether its head cannot be read whole.
    pub const fn is_unread(&self) -> bool {
        matches!(self.reading, Some(ForReading::Unread { .. }))
    }

    /// As it is scored.
    pub fn run(&self) -> Run<'_> {
        let (kit, sheet, apart) = (&*self.kit, &self.sheet, self.apart.as_slice());
        let drawn = self.drawn.as_ref();
        let beside = self.beside.as_slice();
        let (reading, form_not_here) = (self.reading, self.form_not_here);
        let place = self.place;
        Run { kit, sheet, apart, reading, drawn, form_not_here, beside, place }
    }
}

/// The kit by which a run is told, why it is for reading only, and other revisions that it may have
/// been made for.
type ToldBy = (Rc<Kit>, Option<ForReading>, Vec<Rc<Kit>>);

/// Reads files of run sheets, one after the other.
#[derive(Debug)]
pub struct RunReader<'c> {
    course: &'c Course,
    words: &'c Words,
    kits: Kits<'c>,
    /// ISO date; a run on a later day is a fault. None where nobody knows the date.
    today: Option<Day>,
    /// The file and the content of every run so far, by what it is known by.
    seen: BTreeMap<[String; 4], (String, Option<String>)>,
    /// Numbered sheets that are known; none where nobody looked for them.
    forms: Option<KnownForms>,
}

impl<'c> RunReader<'c> {
    /// A reader for runs of a course.
    pub fn new(course: &'c Course, words: &'c Words, today: Option<Day>) -> Self {
        let seen = BTreeMap::new();
        let kits = Kits::new(course, words);
        Self { course, words, kits, today, seen, forms: None }
    }

    /// With the numbered sheets that runs can name.
    #[must_use]
    pub fn with_forms(self, forms: KnownForms) -> Self {
        Self { forms: Some(forms), ..self }
    }

    /// The runs of a file, and what is wrong with those that are not among them.
    ///
    /// A file holds one run or a list of them; YAML, or JSON, which is YAML too, or a table
    /// with a row for each run. A fault of one run leaves the others as they are.
    pub fn read(&mut self, text: &str, file: &str) -> (Vec<Given>, Vec<Finding>) {
        let flats = match flats(file, text) {
            Ok(flats) => flats,
            Err(finding) => return (Vec::new(), vec![finding]),
        };
        let (mut runs, mut all, mut faulty) = (Vec::new(), Vec::new(), 0);
        // All rows of a table stand in one text.
        let sources = Sources::from([(file.to_owned(), text.to_owned())]);
        let rows = is_table(file).then(|| Rows::of(file, text));
        // Each is let go once it is read: of a county's year the trees take more than the runs.
        for flat in flats {
            let mut found = Vec::new();
            let given = self.one(&flat, &sources, &mut found);
            let run = flat.node().and_then(|node| node.child("run")?.text());
            for finding in &mut found {
                let cell = rows
                    .as_ref()
                    .and_then(|rows| rows.place(finding, run.unwrap_or_default()));
                finding.cell = cell.map(Box::new);
            }
            // What scoring itself refuses or asks about never comes out as met, and an act that
            // was seen is told all the same.
            let decides = |given: &Given| {
                !given.apart.is_empty() || !faults(&given.kit, &given.sheet).is_empty()
            };
            // Of two sheets of one evaluator neither counts, and both are shown (rule 34).
            let again = found.iter().any(|one| one.code == Code::DuplicateId);
            let blocked = findings::blocks(&found);
            let told = |given: &Given| {
                act_seen(&given.run())
                    || ((again || decides(given)) && !given.is_unread())
            };
            // Asked of faulty sheets alone: it takes as long as scoring.
            if !blocked || given.as_ref().is_some_and(told) {
                runs.extend(given);
            }
            all.extend(found);
            faulty += usize::from(blocked);
            if faulty > MOST_FAULTY {
                // Told first: what stands behind is not read and not scored.
                let place = Place { file: file.to_owned(), start: 0, end: 0 };
                all.push(given_up("faulty", place));
                break;
            }
        }
        super::explain::missing(
            &mut all,
            self.course.module.units,
            crate::course::BOOKS,
            &self.course.face.words,
        );
        findings::sort(&mut all);
        // What stands once in the file and belongs to several runs is one fault.
        all.dedup();
        (runs, all)
    }

    fn one(
        &mut self,
        flat: &Flat,
        sources: &Sources,
        found: &mut Vec<Finding>,
    ) -> Option<Given> {
        let node = flat.node()?;
        let (mut sheet, unread) = self.sheet_of(flat, node, found)?;
        leave_to_others(&mut sheet, self.course);
        let brought = Self::brought(flat, node, found);
        if self.known(flat, &sheet, found) {
            return None;
        }
        let kit = self.kits.of(&sheet, &brought);
        let (apart, drawn) = match &kit {
            Ok(kit) => self.beside_its_own(node, kit, (&mut sheet, &brought)),
            Err(_) => (Vec::new(), None),
        };
        // What is wrong with the stand-ins is nobody's fault.
        if unread.is_none() {
            let handed =
                Handed { flat, sheet: &sheet, kit: kit.as_deref(), apart: &apart };
            checks::run_sheet(self.course, self.words, &handed, sources, found);
        }
        let reading = unread.or_else(|| self.kits.reading(&sheet, &brought));
        let (kit, reading, beside) = self.told_by(&sheet, kit.ok(), reading)?;
        let torn = matches!(reading, Some(ForReading::Unread { .. }));
        if torn {
            only_scored(&kit, &mut sheet);
        }
        let came = !torn && brought != Kept::default();
        // What the department has or keeps itself counts first: only a kit it does not
        // know makes a verdict for reading alone (rule 38).
        let carried = came && self.kits.of(&sheet, &Kept::default()).is_err();
        // A code that cannot be one is told as that.
        let form_not_here = !torn
            && self.forms.is_none()
            && sheet.form.is_some()
            && form_misread(&sheet).is_none();
        let place = place_in_chain(&sheet, self.course);
        Some(Given {
            sheet,
            kit,
            carried,
            apart,
            drawn,
            reading,
            form_not_here,
            beside,
            place,
        })
    }

    /// Whether the very same sheet was read before; another one of that name is told.
    fn known(&mut self, flat: &Flat, sheet: &RunSheet, found: &mut Vec<Finding>) -> bool {
        let key = sheet.known_by();
        let content = revision(sheet).ok();
        match self.seen.get(&key) {
            // The same content is one run, however often it is handed in (rule 34).
            Some((_, before)) if *before == content => return true,
            Some((other, _)) => {
                let place = flat.trees.place(&flat.file, &["run"]);
                let finding = Finding::at(Code::DuplicateId, place);
                let finding = finding.with("kind", "runs").with("id", sheet.id.clone());
                found.push(finding.with("other", other.clone()));
            }
            None => {
                self.seen.insert(key, (flat.file.clone(), content));
            }
        }
        false
    }

    /// What days, kit, log, people and form of a run say against it, and the sheet as its form has it.
    fn beside_its_own(
        &self,
        node: &Node,
        kit: &Kit,
        (sheet, brought): (&mut RunSheet, &Kept),
    ) -> (Vec<Fault>, Option<RunSheet>) {
        let mut apart = Kits::other_than_named(sheet, brought);
        apart.extend(self.kits.dated(kit, sheet, self.today));
        apart.extend(self.replayed(node, kit, sheet));
        apart.extend(no_officers(&self.course.people, sheet));
        let Some(forms) = &self.forms else {
            apart.extend(form_misread(sheet));
            return (apart, None);
        };
        let drawn = forms.as_drawn(kit, sheet);
        forms.fill(kit, sheet);
        apart.extend(forms.faults(kit, sheet));
        (apart, drawn)
    }

    /// The kit by which a run is told, why it is for reading only, and other revisions that it may
    /// have been made for. Nothing but an act is told where nobody has what it was held to.
    fn told_by(
        &self,
        sheet: &RunSheet,
        kit: Option<Rc<Kit>>,
        reading: Option<ForReading>,
    ) -> Option<ToldBy> {
        let named = sheet.drill_revision.is_some() && sheet.rig_revision.is_some();
        let instead = || self.kits.instead(sheet);
        if let Some(kit) = kit {
            let beside = if named { None } else { instead() };
            return Some((kit, reading, beside.map(|it| it.kits).unwrap_or_default()));
        }
        let (mode, use_) = match reading {
            Some(ForReading::Unread { mode, use_, .. }) => (mode, use_),
            _ => (false, false),
        };
        let Instead { kits, are } = instead()?;
        let reading = ForReading::Unread { mode, use_, kit: are };
        Some((Rc::clone(kits.first()?), Some(reading), kits))
    }

    /// The sheet of a run, and what of its head could not be read.
    fn sheet_of(
        &self,
        flat: &Flat,
        node: &Node,
        found: &mut Vec<Finding>,
    ) -> Option<(RunSheet, Option<ForReading>)> {
        let read = |node: &Node| {
            let desk = Desk::default();
            desk.comma.set(self.course.module.comma);
            let sheet = run_sheet(desk.item(&flat.file, node));
            (sheet, desk.findings.into_inner())
        };
        let (sheet, mut said) = read(node);
        old_marks(flat, &mut said);
        found.extend(said);
        if let Some(sheet) = sheet {
            return Some((sheet, None));
        }
        let (sheet, unread) = beside_stand_ins(node, &|node| read(node).0)?;
        Some((sheet, Some(unread)))
    }

    /// The kit that a run carries, with what is wrong with it.
    fn brought(flat: &Flat, node: &Node, found: &mut Vec<Finding>) -> Kept {
        let Some(kit) = node.child("kit") else { return Kept::default() };
        let place = |field: &str| flat.trees.place(&flat.file, &[field]);
        let mut brought = Kept::default();
        match carried(kit) {
            Ok(kept) => brought = kept,
            Err(reason) => found.push(broken(place("kit"), reason)),
        }
        for field in ["drill-revision", "rig-revision"] {
            if node.child(field).is_none() {
                let finding = Finding::at(Code::MissingField, place("kit"));
                found.push(finding.with("field", field));
            }
        }
        brought
    }

    /// What the log of a live sheet says against its marks. It is tapped once more by the kit
    /// that the run is scored by; the other drills of a chain are as they are today.
    fn replayed(&self, node: &Node, kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
        let lines = match node.child("log").map(|log| &log.shape) {
            Some(Shape::List(lines)) => Some(lines.len()),
            _ => None,
        };
        let taps = Taps { taps: text(node, "taps"), code: text(node, "log-code"), lines };
        if taps.taps.is_none() && taps.code.is_none() && taps.lines.is_none() {
            return Vec::new();
        }
        let id = sheet.chain.as_ref();
        let chains = &self.course.chains;
        let chain = id.and_then(|id| chains.iter().find(|chain| chain.id == *id));
        let mut data = match chain {
            Some(chain) => LiveKit::of_chain(self.course, chain, self.words),
            None => LiveKit::of_drill(self.course, kit.drill(), self.words),
        };
        for standard in &mut data.drills {
            if standard.drill.id == kit.drill().id {
                standard.clone_from(kit.standard());
            }
        }
        data.rigs = vec![kit.rig().clone()];
        // A kit that cannot be written has no hash, and then there is none for the run either.
        Live::of(data)
            .map_or_else(|_fault| Vec::new(), |live| differences(&live, sheet, taps))
    }
}

/// The one role that is scored, where the sheet's own cannot be read: no other can be meant.
fn only_scored(kit: &Kit, sheet: &mut RunSheet) {
    let mut scored = kit.drill().roles.iter().filter(|role| role.scored);
    if let (Some(only), None) = (scored.next(), scored.next())
        && kit.drill().roles.iter().all(|role| role.id != sheet.role)
    {
        sheet.role.clone_from(&only.id);
    }
}

/// The text of a field.
fn text<'n>(node: &'n Node, field: &str) -> Option<&'n str> {
    node.child(field).and_then(Node::text)
}

/// Marks of rules version 1 on criticals, told as what they are (rule 39): its criticals were rules
/// to be kept, and no word of these stands for one of those.
pub(super) fn old_marks(flat: &Flat, found: &mut [Finding]) {
    let criticals = flat.node().and_then(|node| node.child("criticals"));
    let Some(Shape::Map(marks)) = criticals.map(|node| &node.shape) else { return };
    for (key, mark) in marks {
        let now = match mark.text() {
            Some("kept") => "no",
            Some("missed") => "yes",
            _ => continue,
        };
        let place = flat.trees.place(&flat.file, &["criticals", &key.text]);
        let of = |one: &&mut Finding| {
            one.code == Code::UnknownWord && one.place.as_ref() == Some(&place)
        };
        let Some(told) = found.iter_mut().find(of) else { continue };
        let finding = Finding::at(Code::OldMark, place.clone()).with("now", now);
        let word = mark.text().unwrap_or_default();
        *told = finding.with("found", word).with("critical", key.text.clone());
    }
}

/// The sheet in a run's file.
pub(super) fn run_sheet(item: Item<'_>) -> Option<RunSheet> {
    read(item).map(|file: RunFile| file.sheet)
}

/// The crew of a chain is named once; a drill without one of its roles leaves that to the
/// others.
pub(super) fn leave_to_others(sheet: &mut RunSheet, course: &Course) {
    let Some(id) = &sheet.chain else { return };
    let Some(drill) = course.drill(&sheet.drill) else { return };
    let chain = course.chains.iter().find(|chain| chain.id == *id);
    let others = chain.into_iter().flat_map(|chain| &chain.drills);
    let roles: Vec<&str> = others
        .filter_map(|id| course.drill(id))
        .flat_map(|drill| drill.roles.iter().map(|role| role.id.as_str()))
        .collect();
    let own = |role: &str| drill.roles.iter().any(|known| known.id == role);
    // A chain's sheet is filled in once for all its drills, and each drill has roles of
    // its own.
    sheet.crew.retain(|role, _| own(role) || !roles.contains(&role.as_str()));
}
