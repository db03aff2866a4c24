//! Sheets of questions: graded papers from a seed, practice sheets from a public number.

use std::collections::{BTreeMap, BTreeSet};

use super::DRAW_VERSION;
use super::fault::QuestionFault;
use super::kit::Kit;
use super::paper::{Key, Paper, Purpose};
use super::question::Prepared;
use super::variant::{Ticket, Variant};
use crate::course::{Question, QuestionSet};
use crate::fingerprint::short_code;

/// A question of a set that makes no variant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadQuestion {
    /// The question.
    pub question: String,
    /// Why.
    pub fault: QuestionFault,
}

/// A set with all its questions ready to be drawn.
#[derive(Debug, Clone)]
pub struct PreparedSet<'k> {
    set: &'k QuestionSet,
    questions: Vec<Prepared<'k>>,
}

/// A paper with its key, and the variants that mark it.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// What is handed out.
    pub paper: Paper,
    /// What the officer keeps.
    pub key: Key,
    /// The variants in the order of the paper.
    pub variants: Vec<Variant>,
}

/// A seed of 64 bits as text that can be read out.
pub fn seed_text(bits: u64) -> String {
    let mut bytes = [0_u8; 32];
    for (slot, byte) in bytes.iter_mut().zip(bits.to_be_bytes()) {
        *slot = byte;
    }
    short_code(&bytes, 13)
}

/// The form code of a graded paper: a one-way hash, from which nobody gets the seed back.
pub fn form_code(set: &str, seed: &str, attempt: u32) -> String {
    short_code(&super::key(&["form", DRAW_VERSION, set, seed, &attempt.to_string()]), 8)
}

impl<'k> PreparedSet<'k> {
    /// Prepares every question; the questions at fault are named with all their faults.
    pub fn of(set: &'k QuestionSet, kit: Kit<'k>) -> Result<Self, Vec<BadQuestion>> {
        let (mut questions, mut bad) = (Vec::new(), Vec::new());
        for question in &set.questions {
            match Prepared::of(question, kit) {
                Ok(prepared) => questions.push(prepared),
                Err(faults) => {
                    let named =
                        |fault| BadQuestion { question: question.id.clone(), fault };
                    bad.extend(faults.into_iter().map(named));
                }
            }
        }
        if bad.is_empty() { Ok(Self { set, questions }) } else { Err(bad) }
    }

    /// The practice sheet of a number, from 1. It holds every question of the set.
    pub fn practice(&self, sheet: u32) -> Result<Sheet, BadQuestion> {
        let number = sheet.to_string();
        let ticket = Ticket { purpose: Purpose::Practice, seed: &number, attempt: 1 };
        let all: Vec<usize> = (0..self.questions.len()).collect();
        let mut made = self.sheet(ticket, &all, &Taken::default())?;
        made.paper.sheet = Some(sheet);
        made.paper.code = short_code(
            &super::key(&["practice", DRAW_VERSION, &self.set.id, &number]),
            8,
        );
        made.key.code.clone_from(&made.paper.code);
        made.key.seed = None;
        Ok(made)
    }

    /// The graded paper of a seed. Its numbers are those of none of the practice sheets,
    /// which anybody can read.
    pub fn graded(
        &self,
        seed: &str,
        attempt: u32,
        practice_sheets: u32,
    ) -> Result<Sheet, BadQuestion> {
        let mut taken = Taken::default();
        for sheet in 1..=practice_sheets {
            taken.add(&self.practice(sheet)?.variants);
        }
        let ticket = Ticket { purpose: Purpose::Graded, seed, attempt };
        self.sheet(ticket, &self.chosen(ticket), &taken)
    }

    fn sheet(
        &self,
        ticket: Ticket<'_>,
        chosen: &[usize],
        taken: &Taken,
    ) -> Result<Sheet, BadQuestion> {
        let mut variants = Vec::new();
        let none = BTreeSet::new();
        for (number, prepared) in
            (1..).zip(chosen.iter().filter_map(|at| self.questions.get(*at)))
        {
            let id = &prepared.question.id;
            let avoid = taken.places.get(id).unwrap_or(&none);
            let variant = prepared.variant(ticket, number, avoid);
            variants.push(
                variant.map_err(|fault| BadQuestion { question: id.clone(), fault })?,
            );
        }
        let marks = variants.iter().map(|variant| variant.item.marks).sum();
        let code = form_code(&self.set.id, ticket.seed, ticket.attempt);
        let paper = Paper {
            purpose: ticket.purpose,
            set: self.set.id.clone(),
            title: self.set.title.clone(),
            about: self.set.about.clone(),
            calculator: self.set.calculator,
            cautions: self.set.cautions.clone(),
            code: code.clone(),
            sheet: None,
            marks,
            items: variants.iter().map(|variant| variant.item.clone()).collect(),
        };
        let key = Key {
            purpose: ticket.purpose,
            set: self.set.id.clone(),
            title: self.set.title.clone(),
            code,
            seed: Some(ticket.seed.to_owned()),
            attempt: ticket.attempt,
            draw_version: DRAW_VERSION,
            marks,
            items: variants.iter().map(|variant| variant.key.clone()).collect(),
        };
        Ok(Sheet { paper, key, variants })
    }

    /// Places of the questions of a graded paper, in the author's order.
    fn chosen(&self, ticket: Ticket<'_>) -> Vec<usize> {
        let all = self.questions.len();
        let wanted = self.set.graded.unwrap_or(all).min(all);
        let questions: Vec<&Question> =
            self.questions.iter().map(|prepared| prepared.question).collect();
        let mut chosen = Vec::new();
        for (topic, share) in shares(&questions, wanted) {
            let of_topic = |(_, question): &(usize, &&Question)| question.topic == topic;
            let mut places: Vec<usize> =
                questions.iter().enumerate().filter(of_topic).map(|(at, _)| at).collect();
            ticket.chance(&self.set.id, &["choose", &topic]).shuffle(&mut places);
            chosen.extend(places.into_iter().take(share));
        }
        chosen.sort_unstable();
        chosen
    }
}

/// How many questions of each topic stand on a paper: in proportion to the set, the largest
/// remainders first, then topics in the order of their names.
fn shares(questions: &[&Question], wanted: usize) -> BTreeMap<String, usize> {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for question in questions {
        *counts.entry(question.topic.clone()).or_default() += 1;
    }
    let all = questions.len().max(1);
    let mut out = BTreeMap::new();
    let mut rests: Vec<(usize, String)> = Vec::new();
    for (topic, count) in &counts {
        out.insert(topic.clone(), (count * wanted).div_euclid(all));
        rests.push(((count * wanted).rem_euclid(all), topic.clone()));
    }
    rests.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let given: usize = out.values().sum();
    for (_, topic) in rests.into_iter().take(wanted.saturating_sub(given)) {
        *out.entry(topic).or_default() += 1;
    }
    out
}

/// Numbers that are on other sheets already, by question.
#[derive(Debug, Clone, Default)]
struct Taken {
    places: BTreeMap<String, BTreeSet<Vec<u32>>>,
}

impl Taken {
    fn add(&mut self, variants: &[Variant]) {
        for variant in variants {
            let places = self.places.entry(variant.item.question.clone()).or_default();
            places.insert(variant.places.clone());
        }
    }
}
