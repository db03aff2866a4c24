//! The result of scoring: an outcome, and a line with a reason for everything that was
//! looked at. All strings are ready to print.

use std::sync::Arc;

use serde::{Serialize, Serializer};

use super::order::OrderStatistics;

/// What came out of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// The drill's standard was met on this date.
    Met,
    /// Met as far as the mode could show it; a critical could not be shown.
    MetInPart,
    /// The standard was not met.
    NotMet,
    /// Said and pointed at in a walk-through, where nothing can be met.
    WalkedThrough,
    /// The run was stopped.
    Stopped,
    /// Something that decides was not seen, contradicts itself or was not written down.
    Incomplete,
    /// It may not be counted as it is: the sheet is wrong, or the run was not one.
    Refused,
    /// Equipment, weather, a real call or a fault of the evaluator: no attempt is used.
    Void,
}

impl Outcome {
    /// All of them in the order of their boxes.
    pub const ALL: &'static [Self] = &[
        Self::Met,
        Self::MetInPart,
        Self::NotMet,
        Self::WalkedThrough,
        Self::Stopped,
        Self::Incomplete,
        Self::Refused,
        Self::Void,
    ];

    /// Its name in data and in the words file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::MetInPart => "met-in-part",
            Self::NotMet => "not-met",
            Self::WalkedThrough => "walked-through",
            Self::Stopped => "stopped",
            Self::Incomplete => "incomplete",
            Self::Refused => "refused",
            Self::Void => "void",
        }
    }
}

/// The rule that a line speaks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rule {
    /// The result itself; always the first line, with the reason.
    Result,
    /// A fault of the run sheet.
    Sheet,
    /// Why the run is void.
    Void,
    /// Who stopped it and why.
    Stop,
    /// An act that is unsafe in every drill.
    UnsafeAct,
    /// A critical of the drill.
    Critical,
    /// A limit that stands in every drill.
    Limit,
    /// A critical or unsafe act of somebody else; it does not decide here.
    OfOthers,
    /// The time standard.
    Time,
    /// A step.
    Step,
    /// A measured value.
    Measure,
    /// Order between steps.
    Order,
    /// A reading of the day.
    Reading,
    /// The attempt.
    Attempt,
    /// Practice or evaluation.
    Use,
}

impl Rule {
    /// Whether it speaks of an act or a limit: what was seen of these decides before all else.
    /// A measured value fails a run only where it is what the drill is about, and then it is
    /// as critical as an act (rule 21).
    pub const fn is_act(self) -> bool {
        matches!(
            self,
            Self::UnsafeAct | Self::Critical | Self::Limit | Self::Stop | Self::Measure
        )
    }

    /// Its name in data and in the words file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Result => "result",
            Self::Sheet => "sheet",
            Self::Void => "void",
            Self::Stop => "stop",
            Self::UnsafeAct => "unsafe-act",
            Self::Critical => "critical",
            Self::Limit => "limit",
            Self::OfOthers => "of-others",
            Self::Time => "time",
            Self::Step => "step",
            Self::Measure => "measure",
            Self::Order => "order",
            Self::Reading => "reading",
            Self::Attempt => "attempt",
            Self::Use => "use",
        }
    }
}

/// What a line means for the result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Decision {
    /// As it should be.
    Kept,
    /// Costs points.
    Costs,
    /// Fails the run, whatever the points.
    Fails,
    /// Decides and is open: the run is incomplete.
    Unseen,
    /// Was not seen: its points are open, and the run is incomplete only if they decide.
    Open,
    /// The sheet must be mended before there is a result.
    Refused,
    /// Decides, and the mode cannot show it: met in part at best.
    InPart,
    /// The mode cannot show it; it is left out of the points.
    NotShown,
    /// Does not apply here and is left out of the points.
    LeftOut,
    /// Kept for the record; decides nothing.
    Noted,
}

impl Decision {
    /// Whether it speaks against the run: it costs points, or more.
    pub const fn against(self) -> bool {
        !matches!(self, Self::Kept | Self::NotShown | Self::LeftOut | Self::Noted)
    }

    /// Its name in data and in the words file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Kept => "kept",
            Self::Costs => "costs",
            Self::Fails => "fails",
            Self::Unseen => "unseen",
            Self::Open => "open",
            Self::Refused => "refused",
            Self::InPart => "in-part",
            Self::NotShown => "not-shown",
            Self::LeftOut => "left-out",
            Self::Noted => "noted",
        }
    }
}

/// One reason.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Line {
    /// Rule.
    pub rule: Rule,
    /// Rule in words.
    pub rule_text: String,
    /// Id of the step, critical, measure … it speaks of.
    pub subject: String,
    /// That thing in words.
    pub label: String,
    /// What the sheet says.
    pub seen: String,
    /// What was wanted.
    pub expected: String,
    /// Points it brings, or takes away. They add up to [`Verdict::earned`].
    pub points: i64,
    /// Points that could be had here. They add up to [`Verdict::possible`].
    pub of: i64,
    /// Points that what was not seen could still bring.
    pub open: i64,
    /// Its share of the percent, in tenths of a percent. They add up to the percent that is
    /// printed; nothing where no percent is stated.
    pub share_tenths: Option<i64>,
    /// The same as printed: `12.5`, `−3.1`; empty on a line without points.
    pub share: String,
    /// What it means for the result.
    pub decision: Decision,
    /// The same in words.
    pub decision_text: String,
    /// A plain sentence.
    pub sentence: String,
    /// How an expected or measured value was worked out, line by line.
    pub working: Vec<String>,
}

/// The verdict on one run of one drill by one candidate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[expect(clippy::struct_excessive_bools, reason = "each is told by itself to a machine")]
pub struct Verdict {
    /// Run id.
    pub run: String,
    /// SHA-256 of the run sheet's canonical JSON: which sheet this is the verdict on.
    pub sheet: String,
    /// Drill id.
    pub drill: String,
    /// Its title.
    pub drill_title: String,
    /// Its revision in words: number, date, first letters of the hash.
    pub drill_revision_text: String,
    /// Revision hash of the drill.
    pub drill_revision: String,
    /// Rig id.
    pub rig: String,
    /// Its title.
    pub rig_title: String,
    /// Revision hash of the rig.
    pub rig_revision: String,
    /// Version of the rules.
    pub rules: u32,
    /// Candidate's id.
    pub candidate: String,
    /// Role the candidate was scored in.
    pub role: String,
    /// ISO date of the run.
    pub on: String,
    /// Outcome.
    pub outcome: Outcome,
    /// Outcome in words.
    pub outcome_text: String,
    /// The reason in one sentence; the same as on the first line.
    pub reason: String,
    /// Practice or evaluation, in words.
    pub use_text: String,
    /// Mode in words.
    pub mode_text: String,
    /// Whether the result counts: false for practice, and for what is refused.
    pub counts: bool,
    /// Whether it is for reading only: by a kit that the department did not issue, or by today's
    /// drill for a run that names no revision.
    pub for_reading: bool,
    /// Whether it uses up an attempt.
    pub uses_attempt: bool,
    /// Points had.
    pub earned: i64,
    /// Points that could be had.
    pub possible: i64,
    /// Percent in tenths, rounded down; none where nothing may be concluded from points.
    pub percent_tenths: Option<i64>,
    /// The same as printed.
    pub percent: Option<String>,
    /// Pass mark as printed.
    pub cut: Option<String>,
    /// Whose rule the pass mark is.
    pub cut_source: Option<String>,
    /// Reasons, the deciding one first. Runs that say the same of a thing share the line.
    #[serde(serialize_with = "each")]
    pub lines: Vec<Arc<Line>>,
    /// What was not seen, as sentences.
    pub not_seen: Vec<String>,
    /// What the mode could not show, as sentences.
    pub not_shown: Vec<String>,
    /// Figures about the order, when it was written down. For information only.
    pub order: Option<OrderStatistics>,
    /// What follows: remediation, retest, appeal, safe state.
    pub next: Vec<String>,
}

fn each<S: Serializer>(lines: &[Arc<Line>], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(lines.iter().map(AsRef::as_ref))
}

impl Verdict {
    /// Every line.
    pub fn each(&self) -> impl Iterator<Item = &Line> + Clone {
        self.lines.iter().map(AsRef::as_ref)
    }

    /// Lines of one rule.
    pub fn of_rule(&self, rule: Rule) -> impl Iterator<Item = &Line> {
        self.each().filter(move |line| line.rule == rule)
    }

    /// Lines about one thing.
    pub fn about<'v>(&'v self, subject: &'v str) -> impl Iterator<Item = &'v Line> {
        self.each().filter(move |line| line.subject == subject)
    }
}
