//! How the rig stands at a moment of a walk, as far as the drill says it: from the state it starts with,
//! by the acts whose meaning it names, to the state that it leaves. What nothing says is not made up.

use super::look::Look;
use super::state::Walk;
use crate::course::{Air, Does, Foam, Line, Meaning, Pump, Step, Totals};

/// How one part of the rig stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part<T> {
    /// The drill says nothing of it.
    Unsaid,
    /// So.
    Is(T),
    /// The drill brings it from one to the other, and does not say with which act.
    Between(T, T),
}

/// The foam as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FoamIs {
    Off,
    /// Set or switched on, and nobody has confirmed it.
    Unconfirmed,
    On,
    /// It was there and is lost.
    Lost,
}

/// How the rig stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stands {
    pub(super) pump: Part<Pump>,
    pub(super) line: Part<Line>,
    pub(super) totals: Part<Totals>,
    /// Nothing where the drill says nothing of it.
    pub(super) foam: Option<FoamIs>,
    /// Nothing where there is none on this line.
    pub(super) air: Option<bool>,
    /// Whether tank to pump was shut.
    pub(super) tank_shut: bool,
}

impl Stands {
    pub(super) fn of(look: &Look<'_>, walk: &Walk) -> Self {
        let drill = look.kit.drill();
        let (starts, leaves) = (&drill.starts_with, &drill.leaves);
        let begun = !walk.done.is_empty();
        let ended = look.open(walk).is_empty();
        let fed = flows(look, walk);
        let at = |reached: bool| (begun, ended || reached);
        let engaged = fed && leaves.pump == Some(Pump::Engaged);
        let pump = between(starts.pump, leaves.pump, at(engaged));
        let flows = fed && leaves.line == Some(Line::Flowing);
        let line = between(starts.line, leaves.line, at(flows));
        let totals = between(starts.totals, leaves.totals, at(false));
        let mut stands =
            Self { pump, line, totals, foam: None, air: None, tank_shut: false };
        stands.foam = starts.foam.or(leaves.foam).map(|foam| match foam {
            Foam::Off => FoamIs::Off,
            Foam::On => FoamIs::On,
        });
        let air = starts.air.or(leaves.air);
        if look.kit.rig().compressor.is_some() {
            stands.air = air.map(|air| air == Air::OnIfFitted);
        }
        // In the order in which it happened: a cue takes the foam when it comes, and what was done
        // before it does not bring it back.
        for done in &walk.done {
            if let Some(step) = look.step(done) {
                stands.after(look, step);
            }
        }
        stands.lost(look, walk);
        stands
    }

    /// An act that means something for the state.
    fn after(&mut self, look: &Look<'_>, step: &Step) {
        match step.is {
            Some(Does::OpensAir) => self.air = self.air.map(|_| true),
            Some(Does::ShutsAir) => self.air = self.air.map(|_| false),
            Some(Does::ConfirmsFoam) => self.foam = self.foam.map(|_| FoamIs::On),
            Some(Does::ShutsFoam) => self.foam = self.foam.map(|_| FoamIs::Off),
            Some(Does::ShutsTank) => self.tank_shut = true,
            None => {}
        }
        let mut set = look.kit.drill().measures.iter();
        let sets =
            set.any(|one| one.step == step.id && one.is == Some(Meaning::PercentSet));
        if sets && self.foam == Some(FoamIs::Off) {
            self.foam = Some(FoamIs::Unconfirmed);
        }
    }

    /// A cue whose answer brings the foam back has taken it, until that is done.
    fn lost(&mut self, look: &Look<'_>, walk: &Walk) {
        let lost = walk.cues.iter().any(|cue| {
            look.answers(walk, cue).iter().any(|step| {
                step.is == Some(Does::ConfirmsFoam) && !walk.is_done(&step.id)
            })
        });
        if lost && self.foam == Some(FoamIs::On) {
            self.foam = Some(FoamIs::Lost);
        }
    }

    pub(super) fn air_on(&self) -> bool {
        self.air == Some(true)
    }

    pub(super) fn foam_on(&self) -> bool {
        self.foam == Some(FoamIs::On)
    }

    /// Whether something flows through the line: what a meter shows.
    pub(super) fn flowing(&self) -> bool {
        self.line == Part::Is(Line::Flowing)
    }
}

/// Whether a value was read that only a line gives that flows.
fn flows(look: &Look<'_>, walk: &Walk) -> bool {
    look.kit
        .drill()
        .measures
        .iter()
        .any(|one| one.is == Some(Meaning::PumpPressure) && walk.is_done(&one.step))
}

fn between<T: Copy + PartialEq>(
    starts: Option<T>,
    leaves: Option<T>,
    (begun, reached): (bool, bool),
) -> Part<T> {
    match (starts, leaves) {
        (Some(starts), Some(leaves)) if starts != leaves => match (begun, reached) {
            (_, true) => Part::Is(leaves),
            (false, _) => Part::Is(starts),
            (true, false) => Part::Between(starts, leaves),
        },
        (Some(starts), _) => Part::Is(starts),
        (None, Some(leaves)) if reached => Part::Is(leaves),
        (None, _) => Part::Unsaid,
    }
}
