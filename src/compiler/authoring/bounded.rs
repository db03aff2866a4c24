//! How YAML is read, and how much of it: no file takes the memory or the time of a small laptop.

use serde_yaml::budget::BudgetBreach as Breach;
use serde_yaml::{DuplicateKeyPolicy, Error, NonFiniteFloatPolicy, Options};

use crate::findings::{Code, Finding, Place};

/// Values of one file, lists and groups counted. The runs of a county's year in one file are under
/// this; more would take more memory than a small laptop has to spare.
const MOST_VALUES: usize = 2_000_000;
/// Values that are repeated by a name. A file of ten lines can repeat its parts a million times;
/// nobody who writes a drill does so more than now and then.
const MOST_REPEATED: usize = 100_000;

/// Names of one group: more than a county has people or questions in one file, so what has more is no
/// file of ours, and each name would cost a finding.
pub(super) const MOST_NAMES: usize = 10_000;
/// Runs of one file, and rows of a table of answers: what a county writes in a year. Whoever has
/// more splits the file.
pub(super) const MOST_RUNS: usize = 20_000;
/// Candidates of one run, and drills of one chain: each is a sheet of its own that carries all the
/// others along, and no crew and no evening has so many.
pub(super) const MOST_TOGETHER: usize = 50;
/// Runs of one file that have something to fix. Behind so many the file is another than was meant,
/// and each costs as much as a good one.
pub(super) const MOST_FAULTY: usize = 200;

/// More of a file than is read: a finding at the first that is too much.
pub(super) fn given_up(what: &'static str, place: Place) -> Finding {
    // words: too-much.{given_up(..)}
    Finding::at(Code::TooMuch, place).with("says", format!("⟨too-much.{what}⟩"))
}

/// The options of the reader.
pub(super) fn reading() -> Options {
    let mut options = Options::default();
    options.strict_booleans = true;
    options.duplicate_keys = DuplicateKeyPolicy::PassThrough;
    // The first letters of a revision may look like a number beyond all numbers, such as
    // 5434e359; the spelling of the file is taken all the same.
    options.non_finite_float_policy = NonFiniteFloatPolicy::PassThrough;
    if let Some(budget) = &mut options.budget {
        budget.max_nodes = MOST_VALUES;
        // Each value begins, and each list or group ends as well, with a name before most.
        budget.max_events = 4 * MOST_VALUES;
    }
    options.alias_limits.max_total_replayed_events = MOST_REPEATED;
    options
}

/// What a file has more of than is read, where that is why it was given up.
pub(super) fn too_much(error: &Error) -> Option<&'static str> {
    match error {
        Error::AliasError { error, .. } | Error::WithSnippet { error, .. } => {
            too_much(error)
        }
        Error::AliasReplayLimitExceeded { .. }
        | Error::AliasReplayStackDepthExceeded { .. }
        | Error::AliasExpansionLimitExceeded { .. } => Some("repeated"),
        Error::Budget { breach, .. } => Some(match breach {
            Breach::Depth { .. } => "nested",
            Breach::Aliases { .. }
            | Breach::Anchors { .. }
            | Breach::RecordedAnchorEvents { .. }
            | Breach::RecordedAnchorBytes { .. }
            | Breach::AliasAnchorRatio { .. }
            | Breach::MergeKeys { .. } => "repeated",
            _ => "values",
        }),
        _ => None,
    }
}
