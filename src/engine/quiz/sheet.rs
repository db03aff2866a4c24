//! Sheets of questions: graded papers from a seed, practice sheets from a public number.

use std::collections::{BTreeMap, BTreeSet};

use super::DRAW_VERSION;
use super::deal::{Card, Shares, deal, share_of};
use super::fault::QuestionFault;
use super::guess::guess;
use super::kit::Kit;
use super::paper::{Item, Key, Paper, Purpose};
use super::question::Prepared;
use super::variant::{Ticket, Variant};
use crate::course::QuestionSet;
use crate::fingerprint::{revision, short_code};
use crate::quantity::Fraction;

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
    pub(super) set: &'k QuestionSet,
    pub(super) questions: Vec<Prepared<'k>>,
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
    // Thirteen letters of five bits hold the 64.
    short_code(&bytes, 13)
}

/// The form code of a graded paper: a one-way hash, from which nobody gets the seed back.
///
/// What is printed is a part of it: a paper of the same seed made after the module was changed
/// has another code, and is not marked with the answers of this one.
pub fn form_code(set: &str, seed: &str, attempt: u32, items: &[Item]) -> String {
    // Items are texts and whole numbers, which always have a canonical form.
    let printed = revision(&items).unwrap_or_default();
    let attempt = attempt.to_string();
    short_code(&super::key(&["form", DRAW_VERSION, set, seed, &attempt, &printed]), 8)
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
        // A practice sheet hangs on the wall with its answers; its number is all it is drawn
        // from.
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
            // No graded question has the numbers that everybody could practise.
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
        Ok(self.assemble(ticket, variants))
    }

    /// The sheet of these variants, in their order.
    pub(super) fn assemble(&self, ticket: Ticket<'_>, variants: Vec<Variant>) -> Sheet {
        let marks = variants.iter().map(|variant| variant.item.marks).sum();
        let items: Vec<Item> =
            variants.iter().map(|variant| variant.item.clone()).collect();
        let code = form_code(&self.set.id, ticket.seed, ticket.attempt, &items);
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
            items,
        };
        let key = Key {
            purpose: ticket.purpose,
            set: self.set.id.clone(),
            title: self.set.title.clone(),
            code,
            seed: Some(ticket.seed.to_owned()),
            attempt: ticket.attempt,
            copy: None,
            draw_version: DRAW_VERSION,
            marks,
            items: variants.iter().map(|variant| variant.key.clone()).collect(),
        };
        Sheet { paper, key, variants }
    }

    /// What is dealt, with the share of right answers that earlier papers had.
    pub(super) fn cards(&self, ease: &BTreeMap<String, Fraction>) -> Vec<Card<'_>> {
        let questions = self.questions.iter();
        questions
            .map(|prepared| (prepared, prepared.question))
            .map(|(prepared, question)| Card {
                id: &question.id,
                topic: &question.topic,
                marks: question.marks,
                share: share_of(self.set, question),
                ease: ease.get(&question.id).copied(),
                guess: guess(question, prepared.kit),
            })
            .collect()
    }

    /// How the cards are shared out.
    pub(super) fn shares(&self) -> Shares {
        Shares::of(self.set)
    }

    /// Places of the questions of a graded paper, in the author's order.
    fn chosen(&self, ticket: Ticket<'_>) -> Vec<usize> {
        let cards = self.cards(&BTreeMap::new());
        let chance =
            |deal: u32| ticket.chance(&self.set.id, &["deal", &deal.to_string()]);
        let dealt = deal(&cards, &self.shares(), 1, &chance);
        let mut chosen = dealt.papers.into_iter().next().unwrap_or_default();
        // In the author's order, so that a paper reads like its set.
        chosen.sort_unstable();
        chosen
    }
}

/// Numbers that are on other sheets already, by question.
#[derive(Debug, Clone, Default)]
pub(super) struct Taken {
    places: BTreeMap<String, BTreeSet<Vec<u32>>>,
}

impl Taken {
    pub(super) fn add(&mut self, variants: &[Variant]) {
        for variant in variants {
            let places = self.places.entry(variant.item.question.clone()).or_default();
            places.insert(variant.places.clone());
        }
    }

    /// Numbers of one question.
    pub(super) fn of(&self, question: &str) -> BTreeSet<Vec<u32>> {
        self.places.get(question).cloned().unwrap_or_default()
    }
}
