//! The kit that a run is scored by: today's, or that of the revision it was made for.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::fault::Fault;
use super::kit::{Kit, KitData, at_nozzle, short_revision, standard};
use super::reading::ForReading;
use crate::course::{Course, Kept, Rig, RunSheet, Standard, reread};
use crate::fingerprint::NotCanonical;
use crate::wire::revision;
use crate::words::Words;

/// Why there is no kit for a run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoKit {
    /// Neither the module nor what is kept has such a drill.
    Drill,
    /// Nor such a rig.
    Rig,
    /// The drill is there, and not in the revision that the run names.
    DrillRevision(OtherRevision),
    /// The rig is there, and not in the revision that the run names.
    RigRevision(OtherRevision),
    /// A fault of ours.
    Unwritable(NotCanonical),
}

/// A revision that is not at hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherRevision {
    /// As the run names it.
    pub given: String,
    /// Today's, in words: number and date, or the day the card was checked; first letters.
    pub have: String,
    /// First letters of the revisions that are kept.
    pub kept: Vec<String>,
}

/// Whether what a run names is the beginning of a hash.
pub(super) fn names(given: &str, hash: &str) -> bool {
    let given = given.trim();
    // Four signs of sixteen kinds tell 65,536 apart. With fewer, two of a department's own
    // kept revisions would begin alike before long, and the run would be scored by
    // whichever comes first.
    given.len() >= 4 && hash.starts_with(&given.to_ascii_lowercase())
}

/// The kits of a course, each put together once.
#[derive(Debug)]
pub struct Kits<'c> {
    course: &'c Course,
    words: &'c Words,
    /// By drill and rig, and by their hashes.
    today: RefCell<BTreeMap<(String, String), Rc<Kit>>>,
    earlier: RefCell<BTreeMap<(String, String), Rc<Kit>>>,
}

impl<'c> Kits<'c> {
    /// No kit is made yet.
    pub fn new(course: &'c Course, words: &'c Words) -> Self {
        Self { course, words, today: RefCell::default(), earlier: RefCell::default() }
    }

    /// The kit for a run. `carried` is what the run brings along; it counts after what the
    /// course has and keeps.
    pub fn of(&self, run: &RunSheet, carried: &Kept) -> Result<Rc<Kit>, Vec<NoKit>> {
        let today = self.today(&run.drill, &run.rig).map_err(|fault| vec![fault])?;
        let wants = |given: Option<&String>, have: Option<&str>| {
            given.filter(|given| !have.is_some_and(|have| names(given, have))).cloned()
        };
        let drill = self.course.drill(&run.drill);
        let (drill_now, rig_now) = match &today {
            Some(kit) => (Some(kit.drill_revision()), Some(kit.rig_revision())),
            None => (None, None),
        };
        let other_drill = wants(run.drill_revision.as_ref(), drill_now);
        let other_rig = wants(run.rig_revision.as_ref(), rig_now);
        if let (Some(kit), None, None) = (&today, &other_drill, &other_rig) {
            return Ok(Rc::clone(kit));
        }
        let mut lacks = Vec::new();
        let standard = match &other_drill {
            Some(given) => self.earlier_drill(run, given, carried).map_err(|no| {
                lacks.push(no);
            }),
            None => drill
                .map(|drill| (drill_now.map(str::to_owned), standard(self.course, drill)))
                .ok_or_else(|| lacks.push(NoKit::Drill)),
        };
        let rig = match &other_rig {
            Some(given) => self.earlier_rig(run, given, carried).map_err(|no| {
                lacks.push(no);
            }),
            None => self
                .course
                .rigs
                .get(&run.rig)
                .map(|rig| (rig_now.map(str::to_owned), rig.clone()))
                .ok_or_else(|| lacks.push(NoKit::Rig)),
        };
        match (standard, rig) {
            (Ok(standard), Ok(rig)) => self.earlier(standard, rig),
            _ => Err(lacks),
        }
    }

    /// The course that they are of.
    pub(super) const fn course(&self) -> &'c Course {
        self.course
    }

    /// The hash of a drill as it is today.
    pub(super) fn hash_of_drill(&self, id: &str) -> Option<String> {
        let known = self.today.borrow();
        let made = known.iter().find(|((drill, _), _)| drill == id);
        let made = made.map(|(_, kit)| kit.drill_revision().to_owned());
        let drill = || self.course.drill(id);
        made.or_else(|| standard(self.course, drill()?).revision().ok())
    }

    /// The hash of a rig as it is today.
    pub(super) fn hash_of_rig(&self, id: &str) -> Option<String> {
        let known = self.today.borrow();
        let made = known.iter().find(|((_, rig), _)| rig == id);
        let made = made.map(|(_, kit)| kit.rig_revision().to_owned());
        let rig = || self.course.rigs.get(id);
        made.or_else(|| revision(rig()?).ok())
    }

    /// Why the verdict on a run would be for reading only. `carried` is the kit in its file.
    pub fn reading(&self, run: &RunSheet, carried: &Kept) -> Option<ForReading> {
        let kept = &self.course.kept;
        let drill = |(hash, of): (&String, &Standard)| {
            kept.drills.contains_key(hash)
                || self.hash_of_drill(&of.drill.id).as_ref() == Some(hash)
        };
        let rig = |(hash, of): (&String, &Rig)| {
            kept.rigs.contains_key(hash)
                || self.hash_of_rig(&of.id).as_ref() == Some(hash)
        };
        // Rule 38: a kit counts only where the department has every part of it, also one that
        // goes along with revisions that are known.
        if !(carried.drills.iter().all(drill) && carried.rigs.iter().all(rig)) {
            return Some(ForReading::UnknownKit);
        }
        // As long as nothing was ever printed, no run can name what was.
        let printed = !kept.drills.is_empty();
        let named = run.drill_revision.is_some() && run.rig_revision.is_some();
        (printed && !named).then_some(ForReading::NotPinned)
    }

    /// The kit that a run carries is another one than the run names: one of the two was put
    /// there afterwards.
    pub fn other_than_named(run: &RunSheet, carried: &Kept) -> Vec<Fault> {
        let fault = |field: &'static str, given: Option<&String>, hash: &String| {
            let given = given?;
            let fault = || Fault::at(&[field], "kit-other").with("given", given);
            (!names(given, hash)).then(|| fault().with("have", short_revision(hash)))
        };
        let given = run.drill_revision.as_ref();
        let drills =
            carried.drills.keys().filter_map(|hash| fault("drill-revision", given, hash));
        let given = run.rig_revision.as_ref();
        let rigs =
            carried.rigs.keys().filter_map(|hash| fault("rig-revision", given, hash));
        drills.chain(rigs).collect()
    }

    /// Today's kit; none when the module lacks the drill or the rig.
    fn today(&self, drill: &str, rig: &str) -> Result<Option<Rc<Kit>>, NoKit> {
        let found = self.course.drill(drill).zip(self.course.rigs.get(rig));
        let Some((drill, rig)) = found else { return Ok(None) };
        let key = (drill.id.clone(), rig.id.clone());
        if let Some(kit) = self.today.borrow().get(&key) {
            return Ok(Some(Rc::clone(kit)));
        }
        let kit = Kit::of(self.course, drill, rig, self.words);
        let kit = Rc::new(kit.map_err(NoKit::Unwritable)?);
        self.today.borrow_mut().insert(key, Rc::clone(&kit));
        Ok(Some(kit))
    }

    pub(super) fn earlier(
        &self,
        (drill_hash, standard): (Option<String>, Standard),
        (rig_hash, rig): (Option<String>, Rig),
    ) -> Result<Rc<Kit>, Vec<NoKit>> {
        let unwritable = |fault| vec![NoKit::Unwritable(fault)];
        let hash = |known: Option<String>, worked: Result<String, NotCanonical>| {
            known.map_or(worked, Ok).map_err(unwritable)
        };
        let key =
            (hash(drill_hash, revision(&standard))?, hash(rig_hash, revision(&rig))?);
        if let Some(kit) = self.earlier.borrow().get(&key) {
            return Ok(Rc::clone(kit));
        }
        let nozzle = at_nozzle(&self.course.library, [&standard], [&rig].into_iter());
        // The department's own lessons, as they are today: a run is read again by who reads now.
        let taught = reread(&self.course.teaches, &standard.drill.id);
        let data = KitData::put_together((standard, nozzle), rig, self.words);
        let data = data.taught_by(taught);
        let kit = Rc::new(Kit::revised(data, key.0.clone(), key.1.clone()));
        self.earlier.borrow_mut().insert(key, Rc::clone(&kit));
        Ok(kit)
    }

    fn earlier_drill(
        &self,
        run: &RunSheet,
        given: &str,
        carried: &Kept,
    ) -> Result<(Option<String>, Standard), NoKit> {
        let all = || self.course.kept.drills.iter().chain(&carried.drills);
        let of_drill = || all().filter(|(_, kept)| kept.drill.id == run.drill);
        if let Some((hash, kept)) = of_drill().find(|(hash, _)| names(given, hash)) {
            return Ok((Some(hash.clone()), kept.clone()));
        }
        let Some(drill) = self.course.drill(&run.drill) else { return Err(NoKit::Drill) };
        let hash = revision(&standard(self.course, drill)).map_err(NoKit::Unwritable)?;
        let number = drill.revision.to_string();
        let blanks = [
            ("number", number.as_str()),
            ("date", drill.revised_on.as_str()),
            ("hash", short_revision(&hash)),
        ];
        Err(NoKit::DrillRevision(OtherRevision {
            given: given.to_owned(),
            have: self.words.say("scoring.revision", &blanks),
            kept: of_drill().map(|(hash, _)| short_revision(hash).to_owned()).collect(),
        }))
    }

    fn earlier_rig(
        &self,
        run: &RunSheet,
        given: &str,
        carried: &Kept,
    ) -> Result<(Option<String>, Rig), NoKit> {
        let all = || self.course.kept.rigs.iter().chain(&carried.rigs);
        let of_rig = || all().filter(|(_, kept)| kept.id == run.rig);
        if let Some((hash, kept)) = of_rig().find(|(hash, _)| names(given, hash)) {
            return Ok((Some(hash.clone()), kept.clone()));
        }
        let Some(rig) = self.course.rigs.get(&run.rig) else { return Err(NoKit::Rig) };
        let hash = revision(rig).map_err(NoKit::Unwritable)?;
        let never = self.words.get("scoring.card-not-checked");
        let checked = rig.checked.as_ref().map_or(&never, |check| &check.on);
        let blanks = [("checked", checked.as_str()), ("hash", short_revision(&hash))];
        Err(NoKit::RigRevision(OtherRevision {
            given: given.to_owned(),
            have: self.words.say("scoring.card", &blanks),
            kept: of_rig().map(|(hash, _)| short_revision(hash).to_owned()).collect(),
        }))
    }
}
