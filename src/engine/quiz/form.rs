//! A graded paper as it is kept for marking: the answers, what is accepted and the slips, so
//! that a paper is marked as it was printed, whatever has become of the module since.

use serde::{Deserialize, Serialize};

use super::batch::copy_seed;
use super::mark::{Marked, Rule};
use super::paper::{DrawnValue, ItemKind, Lettered, Purpose, WrongAnswer};
use super::sheet::Sheet;
use super::variant::{Marking, Variant};
use crate::course::{Course, PassMark};
use crate::fingerprint::hex_hash;
use crate::quantity::Comma;
use crate::words::Words;

/// Raised when the fields of a forms file change their meaning: since the second one it carries a
/// hash of itself.
const FORMS_FORMAT: u32 = 2;

/// Without a hash; papers that were printed with it are still marked by it.
const WITHOUT_HASH: u32 = 1;

/// The papers of one run, as `mark` reads them. It holds answers and the seed, so it stays with
/// the officers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Forms {
    /// Which form of the file.
    pub format: u32,
    /// What the file is, in a sentence.
    pub about: String,
    /// What a comma before three digits means in this module.
    pub comma: Comma,
    /// Percent that a paper must reach, with its source; none while it is not decided.
    pub pass_mark: Option<PassMark>,
    /// The papers.
    pub forms: Vec<Form>,
    /// SHA-256 of all else: what is accepted on a paper is not changed unseen.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub hash: String,
}

/// One paper.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Form {
    /// Form code, as on the paper.
    pub code: String,
    /// Question set.
    pub set: String,
    /// Title of the set.
    pub title: String,
    /// Seed, as on the key.
    pub seed: String,
    /// Which of several papers of the seed.
    pub copy: Option<u32>,
    /// Attempt, from 1.
    pub attempt: u32,
    /// Version of the drawing rules.
    pub draw_version: String,
    /// Marks of all questions.
    pub marks: u32,
    /// Questions in the order of the paper.
    pub items: Vec<FormItem>,
}

/// One question of a paper.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FormItem {
    /// Number on the paper, from 1.
    pub(super) number: usize,
    /// Question id.
    pub(super) question: String,
    /// Topic.
    pub(super) topic: String,
    /// Marks for the right answer.
    pub(super) marks: u32,
    /// How it is answered.
    pub(super) kind: ItemKind,
    /// The right answer as on the key.
    pub(super) answer: String,
    /// Parts of the key of the draws; joined by U+001F, their SHA-256 is the key of the stream.
    pub(super) parts: Vec<String>,
    /// Draws of that stream that were thrown away before this one.
    pub(super) redraws: u32,
    /// The drawn values.
    pub(super) drawn: Vec<DrawnValue>,
    /// Choices or steps as on the paper.
    pub(super) options: Vec<Lettered>,
    /// Known wrong answers.
    pub(super) wrong: Vec<WrongAnswer>,
    /// What an answer is held against.
    pub(super) marking: Marking,
}

impl Forms {
    /// Papers as they are kept.
    pub fn of<'s>(
        course: &Course,
        words: &Words,
        sheets: impl IntoIterator<Item = &'s Sheet>,
    ) -> Self {
        let mut forms = Self {
            format: FORMS_FORMAT,
            about: words.get("quiz.about-forms"),
            comma: course.module.comma,
            pass_mark: course.module.pass_mark.clone(),
            forms: sheets.into_iter().map(Form::of).collect(),
            hash: String::new(),
        };
        forms.hash = forms.hash_of_all_else();
        forms
    }

    /// Whether it is a file of this program in which nothing was changed.
    pub fn is_sound(&self) -> bool {
        match self.format {
            FORMS_FORMAT => self.hash == self.hash_of_all_else(),
            WITHOUT_HASH => self.hash.is_empty(),
            _ => false,
        }
    }

    fn hash_of_all_else(&self) -> String {
        // As it is written, without spaces: whoever only lays the lines out anew changes nothing.
        let all = (self.format, &self.about, self.comma, &self.pass_mark, &self.forms);
        hex_hash(&serde_json::to_vec(&all).unwrap_or_default())
    }
}

impl Form {
    /// A paper as it is kept.
    pub fn of(sheet: &Sheet) -> Self {
        let key = &sheet.key;
        let seed = key.seed.clone().unwrap_or_default();
        let parts = match key.copy {
            Some(copy) => copy_seed(&seed, copy),
            None => seed.clone(),
        };
        let item = |variant: &Variant| FormItem::of(variant, &parts, key.attempt);
        Self {
            code: key.code.clone(),
            set: key.set.clone(),
            title: key.title.clone(),
            copy: key.copy,
            attempt: key.attempt,
            draw_version: key.draw_version.to_owned(),
            marks: key.marks,
            items: sheet.variants.iter().map(item).collect(),
            seed,
        }
    }
}

impl FormItem {
    fn of(variant: &Variant, seed: &str, attempt: u32) -> Self {
        let (item, key) = (&variant.item, &variant.key);
        let attempt = attempt.to_string();
        let ahead = [Purpose::Graded.part(), super::DRAW_VERSION, &item.question];
        // The seed of one of several papers holds its number behind the same sign; written
        // apart, anybody can join the parts again and rebuild the draws.
        let parts = ahead.into_iter().chain(seed.split('\u{1f}')).chain([&*attempt]);
        Self {
            number: item.number,
            question: item.question.clone(),
            topic: item.topic.clone(),
            marks: item.marks,
            kind: item.kind,
            answer: key.answer.clone(),
            parts: parts.map(str::to_owned).collect(),
            redraws: key.redraws,
            drawn: key.drawn.clone(),
            options: item.options.clone(),
            wrong: key.wrong.clone(),
            marking: variant.marking.clone(),
        }
    }

    /// Judges what was written, as the page of the question would.
    pub fn mark(&self, written: &str, comma: Comma, words: &Words) -> Marked {
        let rule = Rule {
            marks: self.marks,
            options: &self.options,
            wrong: &self.wrong,
            marking: &self.marking,
        };
        rule.mark(written, comma, words)
    }
}
