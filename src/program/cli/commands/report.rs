//! Findings and counts as a person reads them.

use std::path::Path;

use serde::{Deserialize, Serialize};

use super::layout::columns;
use crate::authoring::Proven;
use crate::cli::terminal::Terminal;
use crate::course::Course;
use crate::findings::{Grade, Printed};
use crate::quantity::{decimal_mark, thousands_mark};
use crate::quiz::{Depth, LARGEST_GRID, SAMPLE};

/// What a module holds.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Held {
    pub(super) title: String,
    pub(super) department: String,
    pub(super) lessons: usize,
    pub(super) drills: usize,
    pub(super) questions: usize,
    pub(super) variants: u64,
}

impl Held {
    pub(super) fn of(course: &Course, proven: &Proven) -> Self {
        Self {
            title: course.module.title.clone(),
            department: course.module.department.clone(),
            lessons: course.lessons.len(),
            drills: course.drills.len(),
            questions: proven.questions,
            variants: proven.variants,
        }
    }

    /// Title and counts; `more` are further lines of a number with the name of one and of many.
    pub(super) fn text(
        &self,
        more: &[(usize, [&str; 2])],
        terminal: &Terminal,
    ) -> String {
        let words = &terminal.words;
        let blanks =
            [("department", self.department.as_str()), ("title", self.title.as_str())];
        let mut out = terminal.strong(&words.say("cli.made", &blanks));
        out.push('\n');
        let variants = usize::try_from(self.variants).unwrap_or(usize::MAX);
        let counts = [
            (self.lessons, ["cli.one-lesson", "cli.lessons"]),
            (self.drills, ["cli.one-drill", "cli.drills"]),
            (self.questions, ["cli.one-question", "cli.questions"]),
            (variants, ["cli.one-variant", "cli.variants"]),
        ];
        let rows: Vec<Vec<String>> = counts
            .iter()
            .chain(more)
            .map(|(count, [one, many])| {
                let name = if *count == 1 { one } else { many };
                vec![grouped(*count), words.get(name)]
            })
            .collect();
        let widest = rows
            .iter()
            .filter_map(|row| row.first())
            .map(|cell| cell.chars().count())
            .max();
        let rows = rows.into_iter().map(|mut row| {
            if let Some(count) = row.first_mut() {
                // words: cli.proofs.{variants|of|looked-at|question|set}
                *count = format!("{count:>0$}", widest.unwrap_or_default());
            }
            row
        });
        out.push_str(&columns(&rows.collect::<Vec<_>>(), "  "));
        out
    }
}

/// What was proven of the questions now, and how.
pub(super) fn proof_line(proven: &Proven, depth: Depth, terminal: &Terminal) -> String {
    let words = &terminal.words;
    let kept = proven.questions.saturating_sub(proven.new);
    let counts = [proven.new, kept, SAMPLE].map(|count| count.to_string());
    let [new, kept, sample] = counts.each_ref().map(String::as_str);
    let largest = usize::try_from(LARGEST_GRID).map(grouped).unwrap_or_default();
    let blanks =
        [("new", new), ("kept", kept), ("sample", sample), ("largest", &largest)];
    let key = match depth {
        _ if proven.new == 0 => "cli.proofs.all-kept",
        Depth::Sampled => "cli.proofs.sampled",
        Depth::Thorough => "cli.proofs.thorough",
    };
    words.say(key, &blanks)
}

/// Usable variants of each question and how many draws were looked at.
pub(super) fn proof_table(proven: &Proven, terminal: &Terminal) -> String {
    let words = &terminal.words;
    let head = ["variants", "of", "looked-at", "question", "set"];
    let head = head.map(|key| words.get(&format!("cli.proofs.{key}"))).to_vec();
    let number = |count: u64| grouped(usize::try_from(count).unwrap_or(usize::MAX));
    let rows = proven.each.iter().map(|one| {
        let seen = grouped(one.seen);
        let seen = if one.whole { words.get("cli.proofs.all") } else { seen };
        let (question, set) = (one.question.clone(), one.set.clone());
        vec![number(one.variants), number(one.grid), seen, question, set]
    });
    let mut rows: Vec<Vec<String>> = std::iter::once(head).chain(rows).collect();
    for column in 0..3 {
        let cells = || rows.iter().filter_map(|row| row.get(column));
        let widest = cells().map(|cell| cell.chars().count()).max().unwrap_or_default();
        for cell in rows.iter_mut().filter_map(|row| row.get_mut(column)) {
            *cell = format!("{cell:>widest$}");
        }
    }
    columns(&rows, "  ")
}

/// Digits with the sign of the module before every third from the right: a comma would make four of
/// four thousand to who writes decimals with it.
fn grouped(count: usize) -> String {
    let digits = count.to_string();
    let mark = thousands_mark(decimal_mark());
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(mark);
        }
        out.push(digit);
    }
    out
}

/// Every finding and how many there are of each grade. Files are named as a person in the
/// folder of the program finds them.
pub(super) fn findings(found: &[Printed], content: &Path, terminal: &Terminal) -> String {
    let words = &terminal.words;
    if found.is_empty() {
        return words.get("cli.nothing-to-report");
    }
    let mut out = String::new();
    for finding in found {
        let mut finding = finding.clone();
        if let Some(file) = &mut finding.file {
            *file = content.join(&*file).display().to_string();
        }
        out.push_str(&terminal.finding(&finding));
        out.push('\n');
    }
    let count = |grade| found.iter().filter(|f| f.grade == grade).count().to_string();
    let counts = [Grade::MustFix, Grade::LookAgain, Grade::Note].map(count);
    let [must, look, notes] = counts.each_ref().map(String::as_str);
    let blanks = [("must", must), ("look", look), ("notes", notes)];
    out.push_str(&words.say("cli.counts", &blanks));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Comma, Writing};

    #[test]
    fn thousands_are_set_apart() {
        assert_eq!(grouped(7), "7");
        assert_eq!(grouped(12_345), "12,345");
        assert_eq!(grouped(123_456), "123,456");
        let _comma = Writing::of(Comma::Decimal);
        assert_eq!(grouped(4691), "4\u{202f}691");
    }
}
