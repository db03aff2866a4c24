//! Putting a line together: keys of the words file for what run sheets hold.

use super::verdict::{Decision, Line, Rule};
use crate::course::{CriticalMark, Mark};
use crate::words::Words;

/// Key of a step's mark under `scoring.mark`.
pub(super) fn mark(mark: Option<Mark>) -> String {
    mark.map_or_else(|| "none".to_owned(), Mark::key)
}

/// Key of a critical's mark under `scoring.critical-mark`.
pub(super) fn critical(mark: Option<CriticalMark>) -> String {
    mark.map_or_else(|| "none".to_owned(), CriticalMark::key)
}

/// The first sentence of an author's text without its full stop, to be named within
/// another sentence.
pub(super) fn short(text: &str) -> &str {
    let first = text.split_once(". ").map_or(text, |(first, _)| first);
    first.trim().trim_end_matches('.')
}

/// A line about one thing, its points still open.
pub(super) fn line(words: &Words, rule: Rule, subject: &str, label: &str) -> Line {
    Line {
        rule,
        // words: scoring.rule.{Rule}
        rule_text: words.say(&format!("scoring.rule.{}", rule.key()), &[]),
        subject: subject.to_owned(),
        label: label.to_owned(),
        seen: String::new(),
        expected: String::new(),
        points: 0,
        of: 0,
        open: 0,
        share_tenths: None,
        share: String::new(),
        decision: Decision::Noted,
        decision_text: String::new(),
        sentence: String::new(),
        working: Vec::new(),
    }
}

impl Line {
    /// With what the sheet says and what was wanted.
    pub(super) fn saw(
        mut self,
        seen: impl Into<String>,
        expected: impl Into<String>,
    ) -> Self {
        self.seen = seen.into();
        self.expected = expected.into();
        self
    }

    /// With points had and points possible.
    pub(super) fn worth(mut self, points: i64, of: i64) -> Self {
        self.points = points;
        self.of = of;
        self
    }

    /// With points that could still be had.
    pub(super) fn open(mut self, open: i64) -> Self {
        self.open = open;
        self
    }

    /// With its meaning and its sentence: `scoring.line.<key>`.
    pub(super) fn means(
        mut self,
        words: &Words,
        decision: Decision,
        key: &str,
        blanks: &[(&str, &str)],
    ) -> Self {
        let label = short(&self.label).to_owned();
        let (points, of) = (self.points.to_string(), self.of.to_string());
        let mut all = vec![
            ("label", label.as_str()),
            ("seen", self.seen.as_str()),
            ("expected", self.expected.as_str()),
            ("points", points.trim_start_matches('-')),
            ("of", of.as_str()),
        ];
        all.extend_from_slice(blanks);
        // words: scoring.line.{.means(_, _, ..)|*}
        self.sentence = words.say(&format!("scoring.line.{key}"), &all);
        self.decision = decision;
        self.decision_text =
            // words: scoring.decision.{Decision}
            words.say(&format!("scoring.decision.{}", decision.key()), &[]);
        self
    }
}
