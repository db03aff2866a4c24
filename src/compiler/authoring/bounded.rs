//! How YAML is read, and how much of it: no file takes the memory or the time of a small laptop.

use serde_yaml::budget::BudgetBreach as Breach;
use serde_yaml::{DuplicateKeyPolicy, Error, NonFiniteFloatPolicy, Options};

/// Values of one file, lists and groups counted. The runs of a county's year in one file are under
/// this; more would take more memory than a small laptop has to spare.
const MOST_VALUES: usize = 2_000_000;
/// Values that are repeated by a name. A file of ten lines can repeat its parts a million times;
/// nobody who writes a drill does so more than now and then.
const MOST_REPEATED: usize = 100_000;

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
