//! Marked papers: for the record, for item analysis, and for the balance of later papers.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::form::{Form, FormItem};
use super::mark::{Doubt, Outcome};
use crate::course::PassMark;
use crate::quantity::Comma;
use crate::quantity::{Fraction, Quantity};
use crate::words::Words;

/// Raised when the fields of a results file change their meaning.
pub const RESULTS_FORMAT: u32 = 1;

/// Answers that a question needs before they say how hard it is: below it one lucky or unlucky
/// person would move its share of right answers by more than a fifth.
const FEWEST_ANSWERS: i128 = 5;

/// Papers marked at one time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Results {
    /// [`RESULTS_FORMAT`].
    pub format: u32,
    /// What the file is, in a sentence.
    pub about: String,
    /// Hash of the sheet of answers it was made from.
    pub input: String,
    /// The papers, in the order of that sheet.
    pub papers: Vec<PaperResult>,
}

/// One marked paper. It says what was reached on this paper; it is no certificate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PaperResult {
    /// The person, as on the sheet of answers.
    pub person: String,
    /// Form code.
    pub code: String,
    /// Question set.
    pub set: String,
    /// Title of the set.
    pub title: String,
    /// Attempt, from 1.
    pub attempt: u32,
    /// Marks reached.
    pub marks: u32,
    /// Marks there are.
    pub of: u32,
    /// Whether the pass mark was reached; none while it is not decided.
    pub reached: Option<bool>,
    /// The pass mark it was held against.
    pub pass_mark: Option<PassMark>,
    /// The questions.
    pub answers: Vec<Answered>,
}

/// One answer judged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answered {
    /// Number on the paper.
    pub number: usize,
    /// Question id.
    pub question: String,
    /// Topic.
    pub topic: String,
    /// What was written.
    pub written: String,
    /// The right answer, as on the key.
    pub right: String,
    /// How it was judged.
    pub outcome: Outcome,
    /// Marks for it.
    pub marks: u32,
    /// Id of the slip behind a wrong answer, where one is known.
    pub slip: Option<String>,
    /// That slip, the rule that an order breaks, or why the answer cannot be read.
    pub says: Option<String>,
}

impl Form {
    /// Marks a paper: one written text for each question, in the order of the paper.
    pub fn result(
        &self,
        person: &str,
        written: &[String],
        (comma, pass_mark): (Comma, Option<&PassMark>),
        words: &Words,
    ) -> PaperResult {
        let answers: Vec<Answered> = self
            .items
            .iter()
            .zip(written)
            .map(|(item, written)| {
                let marked = item.mark(written, comma, words).on_paper();
                let slip = marked.slip.as_ref();
                let says = slip.map(|slip| slip.says.clone()).or(marked.because);
                Answered {
                    number: item.number,
                    question: item.question.clone(),
                    topic: item.topic.clone(),
                    written: written.trim().to_owned(),
                    right: item.answer.clone(),
                    outcome: marked.outcome,
                    marks: marked.marks,
                    slip: slip.map(|slip| slip.slip.clone()).filter(|id| !id.is_empty()),
                    says: says.filter(|says| !says.is_empty()),
                }
            })
            .collect();
        let marks = answers.iter().map(|answer| answer.marks).sum();
        let reached = pass_mark.and_then(|pass| reaches(marks, self.marks, &pass.value));
        PaperResult {
            person: person.to_owned(),
            code: self.code.clone(),
            set: self.set.clone(),
            title: self.title.clone(),
            attempt: self.attempt,
            marks,
            of: self.marks,
            reached,
            pass_mark: pass_mark.cloned(),
            answers,
        }
    }
}

impl Form {
    /// Answers that somebody who typed the paper in should compare with it, by their numbers.
    pub fn doubts(
        &self,
        written: &[String],
        comma: Comma,
        words: &Words,
    ) -> Vec<(usize, Doubt)> {
        let pairs = self.items.iter().zip(written);
        let doubt = |(item, written): (&FormItem, &String)| {
            Some((item.number, item.mark(written, comma, words).doubt?))
        };
        pairs.filter_map(doubt).collect()
    }
}

/// Whether so many marks of so many reach a percent, exactly.
fn reaches(marks: u32, of: u32, percent: &Quantity) -> Option<bool> {
    let share = percent.number().mul(percent.unit().factor())?;
    let needed = share.mul(Fraction::whole(i128::from(of)))?;
    Some(Fraction::whole(i128::from(marks)) >= needed)
}

/// The least whole marks that reach a percent.
pub fn marks_to_reach(of: u32, percent: &Quantity) -> u32 {
    // Counted up by the rule that marks papers, so that the printed number of marks can never
    // differ from it.
    (0..=of).find(|marks| reaches(*marks, of, percent) == Some(true)).unwrap_or(of)
}

/// Share of right answers of each question with enough of them, over all results in their order.
///
/// A paper of one person that was marked again counts as it was marked last. Blanks at the end
/// of a paper were perhaps never reached and do not count.
pub fn ease<'r>(
    results: impl Iterator<Item = &'r Results>,
) -> BTreeMap<String, Fraction> {
    let mut papers: BTreeMap<(&str, &str), &PaperResult> = BTreeMap::new();
    for paper in results.flat_map(|results| &results.papers) {
        // A paper that was marked twice counts once, as it was marked last.
        papers.insert((&paper.code, &paper.person), paper);
    }
    let mut counts: BTreeMap<&str, (i128, i128)> = BTreeMap::new();
    for paper in papers.values() {
        // Blanks at the end were not reached, which says how long the paper was and not how
        // hard they are.
        let blank = |answer: &&Answered| answer.outcome == Outcome::Blank;
        let reached =
            paper.answers.len() - paper.answers.iter().rev().take_while(blank).count();
        for answer in paper.answers.iter().take(reached) {
            let (right, all) = counts.entry(&answer.question).or_default();
            *all += 1;
            *right += i128::from(answer.outcome == Outcome::Right);
        }
    }
    let enough = counts.into_iter().filter(|(_, (_, all))| *all >= FEWEST_ANSWERS);
    enough
        .filter_map(|(id, (right, all))| {
            Some((id.to_owned(), Fraction::new(right, all)?))
        })
        .collect()
}
