//! What a run is scored with, and the revisions that run sheets name.

use std::collections::BTreeSet;

use crate::course::{
    Asked, Course, Drill, Expect, Feed, Figures, MINUTES_LEFT, Meaning, Reckoning,
    Reread, Rig, Standard, WhichFoam, at_outlet, formula_for, reread, rig_figures,
};
use crate::fingerprint::NotCanonical;
use crate::formulas::{Library, Reach};
use crate::record;
use crate::wire::revision;
use crate::words::Words;

/// Version of the rules by which runs are scored. It is raised whenever the same sheet
/// would get another verdict.
pub const RULES: u32 = 2;

/// Sections of the words file that a verdict is written with.
const WORDS: &[&str] = &["scoring.", "formula.", "board.", "unit."];

record! {
    /// A kit as data: everything that decides a verdict, and nothing else. No place in a file, no person.
    KitData {
        /// What a candidate is held to.
        standard: Standard = flat;
        /// The rig.
        rig: Rig = need "rig";
        /// Formulas that are worked on rigs alone whose flows are those of the nozzles. They stand beside the revision, whose letters were frozen without them.
        nozzle: Option<Reach> = may "at-nozzle", prose;
        /// Headings of lessons by what of the drill they teach, for whoever has to read again. They stand beside the revision: a lesson that is written anew changes no letters.
        reread: Vec<Reread> = may "reread", prose;
        /// The sentences; a run file leaves them out, because whoever scores it says its own.
        words: Words = may "words", prose;
    }
}

impl KitData {
    /// A kit's data from what the candidate is held to, a rig, and the words for the verdict.
    pub fn put_together(
        (standard, nozzle): (Standard, Option<Reach>),
        rig: Rig,
        words: &Words,
    ) -> Self {
        let reread = Vec::new();
        Self { standard, rig, nozzle, reread, words: words.under(WORDS) }
    }

    /// The same with the headings that teach it.
    #[must_use]
    pub fn taught_by(self, reread: Vec<Reread>) -> Self {
        Self { reread, ..self }
    }
}

/// What drills ask for on rigs whose percent is of the water and whose flows are those of the
/// nozzles; nothing where none of the rigs is one. The names are pinned by each drill's revision,
/// and the formulas are of the library that every department has alike.
pub fn at_nozzle<'s, 'r>(
    library: &Library,
    standards: impl IntoIterator<Item = &'s Standard>,
    mut rigs: impl Iterator<Item = &'r Rig>,
) -> Option<Reach> {
    if !rigs.any(|rig| rig.basis() == Some(Reckoning::AtNozzle)) {
        return None;
    }
    let asked = standards.into_iter().flat_map(|standard| &standard.bases);
    let reach = library.reach(asked.filter_map(Asked::nozzle));
    (!reach.formulas.is_empty()).then_some(reach)
}

/// All that a candidate is held to in a drill as the course has it today.
pub fn standard(course: &Course, drill: &Drill) -> Standard {
    let named = formulas(drill);
    let bases = course.bases.iter().filter(|asked| named.contains(asked.id.as_str()));
    let bases: Vec<_> = bases.cloned().collect();
    // Both formulas of what is left to the rig: which of them is worked is not known before.
    let chosen = bases.iter().flat_map(|asked| [&asked.solution, &asked.water]);
    let reached = named.iter().copied().chain(chosen.map(String::as_str));
    Standard {
        rules: RULES,
        drill: drill.clone(),
        pass_mark: course.module.pass_mark.clone(),
        unsafe_acts: course.unsafe_acts.clone(),
        system: course.module.units,
        reach: course.library.reach(reached),
        bases: bases.clone(),
    }
}

/// A kit ready to score many runs.
#[derive(Debug, Clone)]
pub struct Kit {
    data: KitData,
    library: Library,
    drill_revision: String,
    rig_revision: String,
    further: Vec<String>,
    tank: Option<String>,
    /// Whether the compressor of the rig was taken off, because no line of the run takes air.
    line_without_air: bool,
}

impl Kit {
    /// The kit of one drill of a course on one of its rigs.
    pub fn of(
        course: &Course,
        drill: &Drill,
        rig: &Rig,
        words: &Words,
    ) -> Result<Self, NotCanonical> {
        let standard = standard(course, drill);
        // Those of every rig, because the kit is taken to the others as it is.
        let rigs = course.rigs.values().chain([rig]);
        let nozzle = at_nozzle(&course.library, [&standard], rigs);
        let data = KitData::put_together((standard, nozzle), rig.clone(), words);
        Self::new(data.taught_by(reread(&course.teaches, &drill.id)))
    }

    /// The same drill on another rig: what rests on the drill alone is not made again.
    pub fn on(&self, rig: &Rig) -> Result<Self, NotCanonical> {
        let data = KitData { rig: rig.clone(), ..self.data.clone() };
        Ok(Self { data, rig_revision: revision(rig)?, ..self.clone() })
    }

    /// A kit from its data.
    pub fn new(data: KitData) -> Result<Self, NotCanonical> {
        let drill_revision = data.standard.revision()?;
        let rig_revision = revision(&data.rig)?;
        Ok(Self::revised(data, drill_revision, rig_revision))
    }

    /// A kit whose revisions are known.
    pub(super) fn revised(
        data: KitData,
        drill_revision: String,
        rig_revision: String,
    ) -> Self {
        // A formula that has a fault is left out; the line that needs it then says so.
        let library = match &data.nozzle {
            Some(nozzle) => data.standard.reach.with(nozzle).library(&data.words),
            None => data.standard.reach.library(&data.words),
        };
        let (further, tank, line_without_air) = (Vec::new(), None, false);
        Self {
            data,
            library,
            drill_revision,
            rig_revision,
            further,
            tank,
            line_without_air,
        }
    }

    /// The same without a compressor.
    pub(crate) fn without_air(&self) -> Self {
        let mut kit = self.clone();
        kit.line_without_air = kit.data.rig.compressor.take().is_some();
        kit
    }

    /// Whether it is the line of a run that takes no air, and not the rig that gives none.
    pub(super) const fn is_line_without_air(&self) -> bool {
        self.line_without_air
    }

    /// Takes the drill as it stands on these outlets of a run, beside the first.
    pub(super) fn written_out(&mut self, drill: Drill, further: Vec<String>) {
        self.data.standard.drill = drill;
        self.further = further;
    }

    /// Takes the tank from which a run drew.
    pub(super) fn draws_from(&mut self, tank: &str) {
        self.tank = Some(tank.to_owned());
    }

    /// The tank from which a run drew, where its sheet names one.
    pub(super) fn tank(&self) -> Option<&str> {
        self.tank.as_deref()
    }

    /// Which foam of the rig is meant: the tank that the sheet names, else the class of the drill.
    pub(super) fn foam(&self) -> WhichFoam<'_> {
        let class = WhichFoam::of(self.drill().class());
        self.tank.as_deref().map_or(class, WhichFoam::Tank)
    }

    /// Takes the card for one that nobody checked.
    pub(super) fn uncheck(&mut self) {
        self.data.rig.checked = None;
    }

    /// Outlets of the run beside the first, where anything repeats on them.
    pub(super) fn further(&self) -> &[String] {
        &self.further
    }

    /// Everything it holds, to be kept or sent.
    pub const fn data(&self) -> &KitData {
        &self.data
    }

    /// What a candidate is held to.
    pub const fn standard(&self) -> &Standard {
        &self.data.standard
    }

    /// The drill.
    pub const fn drill(&self) -> &Drill {
        &self.data.standard.drill
    }

    /// The rig.
    pub const fn rig(&self) -> &Rig {
        &self.data.rig
    }

    /// The sentences.
    pub const fn words(&self) -> &Words {
        &self.data.words
    }

    /// 64 hexadecimal digits over all that the candidate is held to, without the rig.
    pub fn drill_revision(&self) -> &str {
        &self.drill_revision
    }

    /// 64 hexadecimal digits over the rig.
    pub fn rig_revision(&self) -> &str {
        &self.rig_revision
    }

    /// The formulas that its measured values can reach.
    pub const fn library(&self) -> &Library {
        &self.library
    }

    /// The formula of a feed on this rig.
    pub fn formula<'k>(&'k self, feed: &'k Feed) -> &'k str {
        formula_for(&self.data.standard.bases, &feed.formula, self.data.rig.basis())
    }

    /// Figures of the rig with those of an outlet; those of a further one under its name.
    pub(super) fn figures(&self, outlet: &str) -> Figures {
        let of = |outlet: &str| {
            rig_figures(&self.data.rig, self.data.rig.outlet(outlet), self.foam())
        };
        let mut figures = of(outlet);
        for further in &self.further {
            let own = of(further).into_iter();
            figures.extend(own.map(|(name, value)| (at_outlet(&name, further), value)));
        }
        figures
    }
}

/// The first letters of a revision hash, as printed on a sheet and written on a run sheet.
pub fn short_revision(hash: &str) -> &str {
    hash.get(..8).unwrap_or(hash)
}

/// Formulas that a drill's measured values name, and those that its limits need.
fn formulas(drill: &Drill) -> BTreeSet<&str> {
    let expected = drill.measures.iter().filter_map(|measure| match &measure.expect {
        Expect::Formula(feed) => Some(feed),
        Expect::Bound(_) => None,
    });
    let worked = drill.measures.iter().filter_map(|measure| measure.measured.as_ref());
    // What a rule of every drill is worked by, whatever its author feeds (rule 18 d).
    let mut measures = drill.measures.iter();
    let told = measures.any(|one| one.is == Some(Meaning::MinutesTold));
    let left = told.then_some(MINUTES_LEFT);
    let named = expected.chain(worked).map(|feed| feed.formula.as_str());
    named.chain(left).collect()
}
