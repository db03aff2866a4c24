//! A drill: what is given, what is done, by whom, and how it leaves the rig.

use serde::{Deserialize, Serialize};

use super::marking::{Attempts, Critical, Measure, OrderRule, Reading, TimeStandard};

macro_rules! states {
    ($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident,)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum $name { $($(#[$variant_doc])* $variant,)* }
    };
}

states! {
    /// The pump.
    Pump {
        /// Not engaged.
        Off,
        /// Engaged and running.
        Engaged,
    }
}
states! {
    /// The hose line.
    Line {
        /// Nothing in it yet.
        Empty,
        /// Shut with pressure in it.
        Charged,
        /// Flowing.
        Flowing,
        /// Proven without pressure and drained.
        Drained,
    }
}
states! {
    /// Compressed air.
    Air {
        /// Off, or not fitted.
        Off,
        /// On where the rig has a compressor.
        OnIfFitted,
    }
}
states! {
    /// Foam injection.
    Foam {
        /// Off.
        Off,
        /// On.
        On,
    }
}
states! {
    /// Totals of the panel.
    Totals {
        /// Set to zero or written down before the start.
        Fresh,
        /// Counting.
        Running,
        /// Written down.
        Recorded,
    }
}
states! {
    /// What the run is done with.
    Mode {
        /// Nothing flows; acts are named and pointed at.
        WalkThrough,
        /// Plain water only.
        PlainWater,
        /// Fluorine-free training foam.
        TrainingFoam,
        /// The agent itself.
        Agent,
    }
}

impl Mode {
    /// As it is written, and the last part of its keys in the words file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::WalkThrough => "walk-through",
            Self::PlainWater => "plain-water",
            Self::TrainingFoam => "training-foam",
            Self::Agent => "agent",
        }
    }
}
states! {
    /// What the drill uses unless the officer declares otherwise.
    AgentUse {
        /// No concentrate is opened.
        PlainWater,
        /// Fluorine-free training foam, with a runoff plan.
        TrainingFoam,
    }
}

states! {
    /// The kind of work, for the rule that some work is never done against a watch.
    Physical {
        /// Flushing.
        Flush,
        /// Bleeding a stored-air line.
        Purge,
        /// Filling a concentrate tank.
        Refill,
        /// Climbing or lifting.
        Climb,
        /// Anything else.
        Other,
    }
}

/// State of the rig before or after a drill. `None` is "any".
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DrillState {
    /// Pump.
    pub pump: Option<Pump>,
    /// Line.
    pub line: Option<Line>,
    /// Air.
    pub air: Option<Air>,
    /// Foam injection.
    pub foam: Option<Foam>,
    /// Totals.
    pub totals: Option<Totals>,
}

/// Somebody on the drill ground.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Role {
    /// Id, such as `operator` or `nozzle`.
    pub id: String,
    /// Title.
    pub title: String,
    /// What the role does in this drill.
    pub does: String,
    /// Whether this role gets a result of its own.
    pub scored: bool,
}

/// What is said on the radio: content is scored, wording is not.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Radio {
    /// An example of the call.
    pub call: String,
    /// An example of the answer.
    pub answer: String,
    /// What must be in it: line, value, unit, read-back …
    pub content: Vec<String>,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// Id.
    pub id: String,
    /// The act, as an order.
    pub action: String,
    /// Why.
    pub why: String,
    /// What can hurt while doing it.
    pub hazard: Option<String>,
    /// Who does it.
    pub role: String,
    /// What the evaluator sees or hears.
    pub sees: String,
    /// Weight 1 to 3; none for a step that is not scored.
    pub weight: u32,
    /// Modes in which it can be observed.
    pub modes: Vec<Mode>,
    /// What the rig must have, else the step is not applicable: `compressor`.
    pub needs: Option<String>,
    /// Radio traffic that belongs to it.
    pub radio: Option<Radio>,
    /// Local topic that decides how it is done.
    pub local: Option<String>,
}

/// How anybody stops the run, and what is done then.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StopPlan {
    /// The word.
    pub word: String,
    /// The hand sign.
    pub sign: String,
    /// Safe state, in order.
    pub safe_state: Vec<String>,
}

/// One drill. Its revision hash is made of all of this and of no rig.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Drill {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// Revision number, from 1.
    pub revision: u32,
    /// ISO date of that revision.
    pub revised_on: String,
    /// What the candidate is told to do, read aloud.
    pub task: String,
    /// What is provided.
    pub given: Vec<String>,
    /// What must be true at the end.
    pub outcome: String,
    /// State before.
    pub starts_with: DrillState,
    /// State after.
    pub leaves: DrillState,
    /// Plain water or training foam.
    pub agent: AgentUse,
    /// Where the runoff goes; required with training foam.
    pub runoff: Option<String>,
    /// What the rig must have for the drill to be run at all: `compressor`.
    pub needs: Option<String>,
    /// Modes in which the drill may be run.
    pub modes: Vec<Mode>,
    /// Roles.
    pub roles: Vec<Role>,
    /// Objectives it assesses.
    pub objectives: Vec<String>,
    /// Cautions, three at most, at least one.
    pub cautions: Vec<String>,
    /// Local topics it depends on.
    pub local: Vec<String>,
    /// Return path it recirculates through (role in the rig: before injection).
    pub recirculates: Option<String>,
    /// Kind of work; only [`Physical::Other`] may have a time standard.
    pub physical: Physical,
    /// Steps in teaching order.
    pub steps: Vec<Step>,
    /// Criticals, at most five.
    pub criticals: Vec<Critical>,
    /// Constraints between steps.
    pub order: Vec<OrderRule>,
    /// Readings of the day that measures are fed from.
    pub readings: Vec<Reading>,
    /// Measured values.
    pub measures: Vec<Measure>,
    /// Time standard, only with a source.
    pub time: Option<TimeStandard>,
    /// How to stop.
    pub stop: StopPlan,
    /// Attempts, retest and appeal.
    pub attempts: Attempts,
}

/// Drills run one after the other on one rig, on one sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Chain {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// What it is for, in a sentence.
    pub about: String,
    /// Drills in order; states must fit.
    pub drills: Vec<String>,
}
