//! Values of a run sheet by what they are.
//!
//! A value is known by what its drill says that it is, so a drill cannot leave a limit out by
//! forgetting to write it.

use super::evidence::Evidence;
use super::sheet_values::{read_off, value_faults};
use super::stands::flows;
use crate::course::{How, Meaning, Mode};
use crate::quantity::{Fraction, Quantity};

/// A value of a sheet: its place and name, and whether it stands against the candidate. What is
/// measured at the step of another role is that role's (rule 35).
#[derive(Clone)]
pub(super) struct Written {
    pub(super) group: &'static str,
    pub(super) id: String,
    pub(super) value: Quantity,
    pub(super) own: bool,
    /// Whether an instrument shows it; else it is set or said.
    pub(super) shown: bool,
}

/// Values of a sheet by what they are. One that no instrument can have shown was not seen: it
/// is refused with its mend, and decides nothing (rule 16).
pub(super) struct Values<'v> {
    pub(super) evidence: Evidence<'v>,
    wrong: Vec<String>,
}

impl<'v> Values<'v> {
    pub(super) fn of(evidence: Evidence<'v>) -> Self {
        let faults = value_faults(evidence.kit, evidence.sheet).into_iter();
        Self {
            evidence,
            wrong: faults.filter_map(|fault| fault.path.get(1).cloned()).collect(),
        }
    }

    /// Whatever is written with that meaning: measured values first, then readings.
    pub(super) fn all(&self, meaning: Meaning) -> Vec<Written> {
        let Evidence { kit, sheet } = self.evidence;
        let drill = kit.drill();
        let measures = drill.measures.iter().filter(|one| one.is == Some(meaning));
        let readings = drill.readings.iter().filter(|one| one.is == Some(meaning));
        let measured = measures.filter_map(|one| {
            let step = self.evidence.step(&one.step);
            let own = step.is_none_or(|step| step.role == sheet.role);
            let written = sheet.measures.get(&one.id)?;
            // Minutes are never rounded up: a crew that trusts them stays too long.
            let exact = meaning == Meaning::MinutesTold;
            let value = if exact { *written } else { read_off(one, written) };
            let (id, shown) = (one.id.clone(), one.how == How::Shown);
            Some(Written { group: "measures", id, value, own, shown })
        });
        let read = readings.filter_map(|one| self.reading(&one.id));
        measured.chain(read).filter(|one| !self.wrong.contains(&one.id)).collect()
    }

    /// Whether a reading or an intake is written that no instrument can have shown.
    pub(super) fn doubtful(&self) -> bool {
        let drill = self.evidence.kit.drill();
        let intake =
            |one: &&crate::course::Measure| one.is == Some(Meaning::IntakePressure);
        let read = drill.readings.iter().map(|one| &one.id);
        let mut all = read.chain(drill.measures.iter().filter(intake).map(|one| &one.id));
        all.any(|id| self.wrong.contains(id))
    }

    /// The reading of that name, where one is written that can have been read.
    pub(super) fn reading(&self, id: &str) -> Option<Written> {
        let value = self.evidence.sheet.readings.get(id).copied()?;
        let (id, own, shown) = (id.to_owned(), true, true);
        let written = Written { group: "readings", id, value, own, shown };
        Some(written).filter(|one| !self.wrong.contains(&one.id))
    }

    /// The first value as written.
    pub(super) fn written(&self, meaning: Meaning) -> Option<Quantity> {
        self.all(meaning).into_iter().next().map(|one| one.value)
    }

    /// The flow that the proportioner has to serve: of all foam lines where it was read, else of
    /// the line in hand; the largest of several.
    pub(super) fn foam_flow(&self) -> Option<Fraction> {
        let largest = |meaning| {
            let all = self.all(meaning).into_iter();
            all.filter_map(|one| base(&one.value)).max()
        };
        largest(Meaning::FoamFlow).max(largest(Meaning::Flow))
    }
}

impl Written {
    /// Whether it can be what it says: no gauge shows anything where nothing runs, and what was
    /// said in a walk-through was said (rule 24).
    pub(super) fn heard(&self, mode: Mode) -> bool {
        flows(mode) || !self.shown
    }
}

/// Whether foam flows in this mode.
pub(super) const fn foams(mode: Mode) -> bool {
    matches!(mode, Mode::TrainingFoam | Mode::Agent)
}

/// A value in base units.
pub(super) fn base(quantity: &Quantity) -> Option<Fraction> {
    quantity.base().settled()
}
