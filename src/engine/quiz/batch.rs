//! Several papers of one set for people who sit beside each other.

use std::collections::{BTreeMap, BTreeSet};

use super::deal::deal;
use super::fault::QuestionFault;
use super::paper::Purpose;
use super::question::Prepared;
use super::sheet::{BadQuestion, PreparedSet, Sheet, Taken};
use super::variant::{Ticket, Variant};
use crate::quantity::Fraction;

/// What papers are made from.
#[derive(Debug, Clone, Copy)]
pub struct Order<'o> {
    /// How many.
    pub copies: u32,
    /// The seed of all of them; the number of the copy is a further part of each key.
    pub seed: &'o str,
    /// From 1; a retest draws other numbers.
    pub attempt: u32,
    /// Practice sheets that anybody can read; their numbers are not drawn again.
    pub practice_sheets: u32,
    /// Share of right answers of each question so far.
    pub ease: &'o BTreeMap<String, Fraction>,
}

/// A drawn value that two neighbours have in common because the draws leave no other.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Beside {
    /// Question.
    pub question: String,
    /// Name of the drawn value.
    pub name: String,
    /// The first of the two copies, from 1.
    pub copy: u32,
}

/// Papers of equal weight with different numbers.
#[derive(Debug, Clone)]
pub struct Batch {
    /// The papers by copy.
    pub sheets: Vec<Sheet>,
    /// How far the easiest and the hardest paper are apart in their mean share of right
    /// answers; none without past results.
    pub gap: Option<Fraction>,
    /// How far the papers are apart in the share of their marks that blind ticking brings on
    /// average.
    pub guess_gap: Fraction,
    /// Questions of the set whose difficulty past results tell.
    pub known: usize,
    /// Questions of the set.
    pub questions: usize,
    /// Values that neighbours share.
    pub beside: Vec<Beside>,
}

/// The seed part of one copy: the seed and the number of the copy, as two parts of the key.
pub fn copy_seed(seed: &str, copy: u32) -> String {
    format!("{seed}\u{1f}{copy}")
}

impl PreparedSet<'_> {
    /// Makes the papers. No two of them, no practice sheet and no paper of an earlier attempt
    /// have the same numbers in a question.
    pub fn batch(&self, order: Order<'_>) -> Result<Batch, BadQuestion> {
        let mut taken = Taken::default();
        for sheet in 1..=order.practice_sheets {
            taken.add(&self.practice(sheet)?.variants);
        }
        let cards = self.cards(order.ease);
        let ticket =
            Ticket { purpose: Purpose::Graded, seed: order.seed, attempt: order.attempt };
        let papers = usize::try_from(order.copies).unwrap_or(1);
        let chance =
            |deal: u32| ticket.chance(&self.set.id, &["deal", &deal.to_string()]);
        let dealt = deal(&cards, &self.shares(), papers, &chance);
        // Every question is drawn for every copy, dealt there or not: so the numbers of a copy
        // depend on its seed and attempt alone, not on results that came in since.
        let mut columns = Vec::new();
        for prepared in &self.questions {
            let column = column(prepared, order, taken.of(&prepared.question.id));
            let id = || prepared.question.id.clone();
            columns.push(column.map_err(|fault| BadQuestion { question: id(), fault })?);
        }
        let mut sheets = Vec::new();
        for (copy, mut places) in (1..=order.copies).zip(dealt.papers.iter().cloned()) {
            // In the author's order, as on every sheet of the set.
            places.sort_unstable();
            let at = usize::try_from(copy - 1).unwrap_or_default();
            let found = places.iter().filter_map(|place| columns.get(*place)?.get(at));
            let variants = (1..).zip(found).map(|(number, variant)| {
                let mut variant = variant.clone();
                (variant.item.number, variant.key.number) = (number, number);
                variant
            });
            let seed = copy_seed(order.seed, copy);
            let mut sheet =
                self.assemble(Ticket { seed: &seed, ..ticket }, variants.collect());
            sheet.key.seed = Some(order.seed.to_owned());
            sheet.key.copy = Some(copy);
            sheets.push(sheet);
        }
        let beside = self.beside(&sheets);
        let known = cards.iter().filter(|card| card.ease.is_some()).count();
        let (gap, guess_gap) = (dealt.gap, dealt.guess_gap);
        Ok(Batch { sheets, gap, guess_gap, known, questions: cards.len(), beside })
    }

    fn beside(&self, sheets: &[Sheet]) -> Vec<Beside> {
        let mut found = Vec::new();
        for ((copy, one), other) in (1..).zip(sheets).zip(sheets.iter().skip(1)) {
            for variant in &one.variants {
                let id = &variant.item.question;
                let twin = other.variants.iter().find(|twin| twin.item.question == *id);
                let prepared = self.questions.iter().find(|p| p.question.id == *id);
                let (Some(twin), Some(prepared)) = (twin, prepared) else { continue };
                let draws = &prepared.draws;
                let one = draws.drawn(&variant.places);
                for name in draws.in_common(&one, &draws.drawn(&twin.places)) {
                    let (question, name) = (id.clone(), name.to_owned());
                    found.push(Beside { question, name, copy });
                }
            }
        }
        found
    }
}

/// One question on every copy.
fn column(
    prepared: &Prepared<'_>,
    order: Order<'_>,
    mut taken: BTreeSet<Vec<u32>>,
) -> Result<Vec<Variant>, QuestionFault> {
    let mut last = Vec::new();
    for attempt in 1..=order.attempt {
        last.clear();
        for copy in 1..=order.copies {
            let seed = copy_seed(order.seed, copy);
            let ticket = Ticket { purpose: Purpose::Graded, seed: &seed, attempt };
            let neighbour: Option<&Variant> = last.last();
            let neighbour = neighbour.map(|variant| variant.places.as_slice());
            let variant = prepared.variant_beside(ticket, 1, &taken, neighbour)?;
            taken.insert(variant.places.clone());
            last.push(variant);
        }
    }
    Ok(last)
}
