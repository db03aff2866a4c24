//! The state of a live run: what its log comes to.

use std::collections::BTreeMap;

use super::clock::{At, Span};
use super::kit::Live;
use super::seen::Part;
use crate::scoring::Kit;

/// Where a run stands.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Phase {
    /// Use, mode, people and weather are being declared.
    #[default]
    Declare,
    /// It is run.
    Run,
    /// Somebody stopped it.
    Stopped,
    /// The sheet is looked through before it is saved.
    Review,
    /// It is saved.
    Done,
}

/// A run.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct State {
    /// Where it stands.
    pub phase: Phase,
    /// Its time.
    pub span: Span,
    /// Everything written, by field; what belongs to a drill stands under `DRILL/field`.
    pub texts: BTreeMap<String, String>,
    /// The drill that is shown.
    pub drill: String,
    /// What was seen, by drill.
    pub parts: BTreeMap<String, Part>,
    /// When the run began.
    pub began: Option<At>,
    /// The time of the run at which it began, in milliseconds.
    pub began_at: i64,
    /// When it was saved.
    pub saved: Option<At>,
    /// Whether it was stopped.
    pub stopped: bool,
    /// In which drill of a chain.
    pub stopped_in: String,
}

/// Fields that are declared before the start.
pub(super) const DECLARED: &[&str] = &[
    "run",
    "rig",
    "outlet",
    "use",
    "mode",
    "role",
    "candidate",
    "attempt",
    "evaluator",
    "qualification",
    "qualified-on",
    "relation",
    "safety-officer",
    "weather",
    "light",
    "stop-word",
    "later",
    "performed-at",
];

/// What is said after the run.
pub(super) const AFTER: &[&str] =
    &["remediation", "remediation-by", "remediation-on", "words", "notes"];

/// Fields that may be declared before the start; of these only the fuel can be missing, where the
/// percent hangs on it, and the tank, where the rig has several of the foam.
pub(super) const MAY_DECLARE: &[&str] =
    &["fuel", "draws-from", "completes", "granted.by", "granted.why"];

/// Before the name of a drill, the field of the form code of its numbered sheet: each drill of a
/// chain has sheets of its own.
pub(super) const FORM: &str = "form.";

/// Before the name of an outlet, the field that says whether the drill is done on it too.
pub(super) const FURTHER: &str = "further.";

/// What is asked about a void run.
pub(super) const VOID: [&str; 4] =
    ["void.cause", "void.why", "void.agreed-by", "void.produced-acts"];

/// What is asked after a stop.
pub(super) const STOP: &[&str] = &["stop.by", "stop.why", "stop.cause"];

impl State {
    /// Nothing is declared yet but what there is no choice about.
    pub fn new(live: &Live) -> Self {
        let mut state = Self::default();
        let mut set = |field: &str, text: Option<&str>| {
            if let Some(text) = text {
                state.texts.insert(field.to_owned(), text.to_owned());
            }
        };
        let mut rigs = live.rigs();
        let only = rigs.next().filter(|_| rigs.next().is_none());
        // What there is no choice about is no question to somebody in gloves.
        set("rig", only.map(|rig| rig.id.as_str()));
        if let [role] = live.scored().as_slice() {
            set("role", Some(role.id.as_str()));
        }
        let first = live.data().drills.first().map(|standard| &standard.drill);
        set("stop-word", first.map(|drill| drill.stop.word.as_str()));
        // The first is the common case; a wrong number is found when earlier runs are
        // shown (rule 29).
        set("attempt", Some("1"));
        state
    }

    /// What stands in a field.
    pub fn text(&self, field: &str) -> &str {
        // A space that the keyboard of a phone left behind is no answer.
        self.texts.get(field).map_or("", |text| text.trim())
    }

    /// What was seen of the drill that is shown.
    pub fn part(&self) -> Option<&Part> {
        self.parts.get(&self.drill)
    }

    /// The kit of the drill that is shown.
    pub fn kit<'l>(&self, live: &'l Live) -> Option<&'l Kit> {
        self.kits(live).find(|kit| kit.drill().id == self.drill)
    }

    /// The kits of its rig for its outlets, drill by drill.
    pub fn kits<'l>(&self, live: &'l Live) -> impl Iterator<Item = &'l Kit> {
        live.kits_on(self.text("rig"), (self.text("outlet"), &self.further()))
    }

    /// Outlets beside the first that the drill is done on.
    pub fn further(&self) -> Vec<String> {
        // An outlet that was chosen and let go leaves an empty text.
        let chosen = self.texts.iter().filter(|(_, text)| !text.is_empty());
        let further = chosen.filter_map(|(field, _)| field.strip_prefix(FURTHER));
        further.map(str::to_owned).collect()
    }

    /// Whether the run was on paper and is typed in.
    pub fn later(&self) -> bool {
        self.text("later") == "yes"
    }
}
