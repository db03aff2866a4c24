//! Sheets of narrated runs: taken out before anything is scored as a run, and held against their keys.

use crate::authoring::Given;
use crate::cli::commands::layout::wrapped;
use crate::cli::terminal::Terminal;
use crate::course::{Course, Kept};
use crate::scoring::{BesideKey, Kits, alone, beside_key};
use crate::words::Words;

/// Sheets of narrated runs, and those of runs. One whose head cannot be read whole may be anybody's, so
/// it stays among the runs and what it tells is told.
pub(super) fn apart(given: Vec<Given>, course: &Course) -> (Vec<Given>, Vec<Given>) {
    given
        .into_iter()
        .partition(|one| !one.is_unread() && course.narrated_of(&one.sheet).is_some())
}

pub(super) fn beside_keys(
    practiced: &[Given],
    course: &Course,
    words: &Words,
) -> Vec<BesideKey> {
    let kits = Kits::new(course, words);
    let all = practiced.iter().filter_map(|one| {
        let narrated = course.narrated_of(&one.sheet)?;
        let key = kits.of(&narrated.key, &Kept::default()).ok()?;
        let verdict = alone(&one.run())?;
        beside_key(narrated, (&key, words), (&one.sheet, &verdict))
    });
    all.collect()
}

/// What differs, and why the key has it otherwise.
pub(super) fn told(beside: &BesideKey, terminal: &Terminal) -> String {
    let words = &terminal.words;
    let blanks = [
        ("run", beside.joint.run.as_str()),
        ("title", &beside.title),
        ("who", &beside.evaluator),
        ("own", &beside.own),
        ("key", &beside.key),
    ];
    let same = beside.joint.differences.is_empty() && beside.marks.is_empty();
    let end = if same { "narrated-same" } else { "narrated-differs" };
    let mut out =
        format!("{}\n", terminal.strong(&words.say("cli.score.narrated", &blanks)));
    // words: cli.score.{narrated-same|narrated-differs}
    out.push_str(&wrapped(&words.say(&format!("cli.score.{end}"), &blanks), ""));
    for difference in beside.joint.differences.iter().chain(&beside.marks) {
        out.push_str(&wrapped(difference, "  "));
    }
    if !same {
        out.push_str(&wrapped(&words.get("cli.score.narrated-end"), ""));
    }
    out.push('\n');
    out
}
