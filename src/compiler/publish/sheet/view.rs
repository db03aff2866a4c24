//! What a sheet shows, as plain data for the template.

use std::collections::BTreeMap;

use serde::Serialize;

/// A label with a ruled line, or with what is written on it.
#[derive(Debug, Clone, Serialize)]
pub struct Field {
    /// Label.
    pub label: String,
    /// What stands on the line; none for a blank.
    pub value: Option<String>,
    /// Whether it names or describes a person.
    pub private: bool,
    /// Width in sixths of the sheet.
    pub width: u8,
}

/// A box with its label.
#[derive(Debug, Clone, Serialize)]
pub struct Tick {
    /// Label.
    pub label: String,
    /// Whether it is crossed.
    pub on: bool,
    /// Whether it is printed at all; where it cannot apply stands a dash.
    pub open: bool,
}

impl Tick {
    pub(super) fn new(label: impl Into<String>, on: bool) -> Self {
        Self { label: label.into(), on, open: true }
    }
}

/// Somebody on the drill ground.
#[derive(Debug, Clone, Serialize)]
pub struct RoleLine {
    /// Title of the role.
    pub title: String,
    /// Whether the role has a result of its own.
    pub scored: bool,
    /// Name; none for a blank.
    pub name: Option<String>,
}

/// A caution in full.
#[derive(Debug, Clone, Serialize)]
pub struct CautionLine {
    /// Id.
    pub id: String,
    /// Signal word.
    pub signal: String,
    /// Headline.
    pub headline: String,
    /// Hazard.
    pub hazard: String,
    /// Control.
    pub control: String,
}

/// A marked line: a critical or a step.
#[derive(Debug, Clone, Serialize)]
pub struct Row {
    /// Number of a step; empty for a critical.
    pub number: String,
    /// The act.
    pub act: String,
    /// What the evaluator sees, or the critical's reason.
    pub note: String,
    /// What must be said, or a condition; may be empty.
    pub extra: String,
    /// Weight of a step; whose act a critical is.
    pub weight: String,
    /// Letters of the modes that can show it.
    pub modes: String,
    /// Mark boxes.
    pub boxes: Vec<Tick>,
}

/// A measured value.
#[derive(Debug, Clone, Serialize)]
pub struct MeasureLine {
    /// Label.
    pub label: String,
    /// How it is come by, and whether it decides.
    pub how: String,
    /// What is expected, line by line; a line for each outlet where they differ.
    pub expected: Vec<String>,
    /// Whether the expected value must be worked out on the day and written in.
    pub open: bool,
    /// Accepted band.
    pub band: Vec<String>,
    /// What the instrument can show, and whose tolerance it is.
    pub instrument: String,
    /// Unit.
    pub unit: String,
    /// Value; none for a blank.
    pub value: Option<String>,
    /// Inside or outside the band.
    pub boxes: Vec<Tick>,
}

/// A topic that a local rule decides.
#[derive(Debug, Clone, Serialize)]
pub struct LocalLine {
    /// Title.
    pub title: String,
    /// The rule; none where it is not decided yet.
    pub decision: Option<String>,
    /// The question that is open.
    pub asks: String,
}

/// One reason of a verdict.
#[derive(Debug, Clone, Serialize)]
pub struct Reason {
    /// Rule it speaks for.
    pub rule: String,
    /// A sentence.
    pub sentence: String,
    /// Points had of points possible; empty where there are none.
    pub points: String,
    /// What it means for the result.
    pub decision: String,
    /// Whether it decides against the run.
    pub heavy: bool,
}

/// The verdict of a filled sheet.
#[derive(Debug, Clone, Serialize)]
pub struct VerdictView {
    /// Outcome in words.
    pub outcome: String,
    /// Reason in a sentence.
    pub reason: String,
    /// Points, percent and pass mark.
    pub points: String,
    /// Reasons line by line.
    pub reasons: Vec<Reason>,
    /// What follows.
    pub next: Vec<String>,
}

/// A sign-off sheet.
#[derive(Debug, Clone, Serialize)]
pub struct SheetView {
    /// Whether it is the sheet of a run, which names people.
    pub filled: bool,
    /// Labels by name, from `sheet.label`.
    pub label: BTreeMap<String, String>,
    /// Title of the drill.
    pub title: String,
    /// Department and module.
    pub house: String,
    /// Drill revision, rig and rig-card revision.
    pub revisions: Vec<String>,
    /// Page lines, such as "page 1 of 2", one for each side.
    pub pages: Vec<String>,
    /// Whether this is the first sheet of its document.
    pub first: bool,
    /// INVENTED RIG, UNVERIFIED, DRAFT.
    pub notices: Vec<String>,
    /// The same in a word or two, for the foot.
    pub short_notices: Vec<String>,
    /// Candidate, run and time.
    pub head: Vec<Field>,
    /// Practice or evaluation.
    pub uses: Vec<Tick>,
    /// Modes.
    pub modes: Vec<Tick>,
    /// Roles.
    pub roles: Vec<RoleLine>,
    /// Evaluator, safety officer, watch.
    pub staff: Vec<Field>,
    /// What the candidate is told to do.
    pub task: String,
    /// What is read aloud about stopping.
    pub aloud: String,
    /// Cautions.
    pub cautions: Vec<CautionLine>,
    /// Sentence that stands on every sheet.
    pub fixed: String,
    /// Criticals.
    pub criticals: Vec<Row>,
    /// Order rules that decide, in words.
    pub order: Vec<String>,
    /// Steps.
    pub steps: Vec<Row>,
    /// Labels of the mark boxes of criticals.
    pub critical_marks: Vec<String>,
    /// Labels of the mark boxes of steps, with "out of order".
    pub step_marks: Vec<String>,
    /// The confirmed order of the steps.
    pub order_seen: Field,
    /// Run and candidate once more, for the other side of the leaf.
    pub again: Field,
    /// Readings of the day.
    pub readings: Vec<Field>,
    /// Measured values.
    pub measures: Vec<MeasureLine>,
    /// Time standard in words; empty where no time is judged.
    pub time: String,
    /// Time taken and held; empty without a standard.
    pub watch: Vec<Field>,
    /// Acts that are unsafe in every drill.
    pub unsafe_acts: Vec<Tick>,
    /// Who stopped and why.
    pub stop: Vec<Field>,
    /// Causes of a stop.
    pub causes: Vec<Tick>,
    /// Safe state, in order.
    pub safe: Vec<Tick>,
    /// Outcomes.
    pub outcomes: Vec<Tick>,
    /// The pass mark, or that it is not decided.
    pub pass_mark: String,
    /// Why a run is void, notes, remediation, candidate's words.
    pub after: Vec<Field>,
    /// Names, signatures and dates.
    pub signatures: Vec<Field>,
    /// Attempts, retest, appeal.
    pub attempts: Vec<String>,
    /// Local rules.
    pub local: Vec<LocalLine>,
    /// Verdict of a filled sheet.
    pub verdict: Option<VerdictView>,
    /// The crew's result, apart from the candidate's; empty where nobody else was scored.
    pub crew: Vec<String>,
}
