//! Drawn numbers of things that are numbered one after the other: the sheets of a drill.
//!
//! All combinations of the draws are put into an order by chance, once, and dealt from the
//! front: so no two have the same numbers, the first twelve stay the same when twenty are asked
//! for, and it is known how many there are.

use std::collections::BTreeMap;

use super::chance::Chance;
use super::draw::{Drawn, Draws, Of, Source};
use super::fault::QuestionFault;
use super::kit::Kit;
use crate::course::{Draw, Rig, WhichFoam};
use crate::quantity::Quantity;

/// Most combinations of the draws of one drill. Each is looked at before a sheet is dealt, and
/// nobody needs more than a few hundred: more are a step that was chosen too small.
pub const LARGEST_SERIES: u64 = 20_000;

/// One combination of drawn values.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Numbers {
    /// Place of each value in its pool, in the author's order.
    pub places: Vec<u32>,
    /// Values by name.
    pub values: BTreeMap<String, Quantity>,
}

/// Draws with their conditions, ready to be dealt.
#[derive(Debug, Clone)]
pub struct Series<'k> {
    draws: Draws<'k>,
}

impl<'k> Series<'k> {
    /// Reads draws and conditions; every fault of them is reported.
    pub fn of(
        draws: &'k [(String, Draw)],
        conditions: &'k [String],
        (rig, foam): (&'k Rig, WhichFoam<'k>),
        kit: Kit<'k>,
    ) -> Result<Self, Vec<QuestionFault>> {
        let source = Source { draws, conditions };
        let draws = Draws::from(
            source,
            Of { rig: Some(rig), outlet: None, foam },
            kit,
            Vec::new(),
        )?;
        if draws.grid() > LARGEST_SERIES {
            let widest = source.draws.last().map(|(name, _)| name.clone());
            return Err(vec![QuestionFault::EndlessDraw(widest.unwrap_or_default())]);
        }
        Ok(Self { draws })
    }

    /// The first numbers of a series. `fits` says which combinations can be used at all; fewer
    /// come back where there are no more.
    ///
    /// The next one has no value in common with the one before it as long as there is such a
    /// one, because two candidates who come one after the other talk to each other.
    pub fn dealt(
        &self,
        parts: &[&str],
        count: usize,
        fits: impl Fn(&Numbers) -> bool,
    ) -> Vec<Numbers> {
        let mut order: Vec<u64> = (0..self.draws.grid()).collect();
        Chance::of(parts).shuffle(&mut order);
        let mut tried: BTreeMap<u64, bool> = BTreeMap::new();
        let mut out: Vec<Numbers> = Vec::new();
        let mut before: Option<Drawn> = None;
        while out.len() < count {
            let mut usable = |index: u64| {
                *tried.entry(index).or_insert_with(|| {
                    let drawn = self.draws.at(index);
                    self.draws.holds(&drawn) && fits(&Numbers::of(drawn))
                })
            };
            let apart = |index: u64| {
                before.as_ref().is_none_or(|before| {
                    self.draws.in_common(&self.draws.at(index), before).is_empty()
                })
            };
            let next = order.iter().copied().find(|at| apart(*at) && usable(*at));
            let next = next.or_else(|| order.iter().copied().find(|at| usable(*at)));
            let Some(next) = next else { break };
            // What was dealt, and what was tried in vain, is not looked at for the next one.
            order.retain(|at| *at != next && tried.get(at) != Some(&false));
            let drawn = self.draws.at(next);
            out.push(Numbers::of(drawn.clone()));
            before = Some(drawn);
        }
        out
    }

    /// How many combinations can be used.
    pub fn usable(&self, fits: impl Fn(&Numbers) -> bool) -> usize {
        let all = (0..self.draws.grid()).filter(|index| {
            let drawn = self.draws.at(*index);
            self.draws.holds(&drawn) && fits(&Numbers::of(drawn))
        });
        all.count()
    }
}

impl Numbers {
    fn of(drawn: Drawn) -> Self {
        Self { places: drawn.places, values: drawn.numbers }
    }
}
