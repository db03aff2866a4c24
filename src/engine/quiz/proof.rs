//! What a question's draws are worth: usable variants counted, faults named.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::choose::Dropped;
use super::draw::Drawn;
use super::fault::{AcceptedSlip, QuestionFault, Unusable};
use super::question::{Prepared, slip_names};
use super::text::summary;
use crate::course::QuestionKind;

/// Usable variants that a question with drawn values must have: with fewer, a class that
/// practises twice meets the same numbers and answers from memory.
pub const FEWEST_VARIANTS: usize = 24;

/// Draws that are looked at when a question is new: a fault in one of twenty draws is missed
/// by chance once in twenty-five times, and `inspect --thorough` looks at all.
pub const SAMPLE: usize = 64;

/// Largest grid that is looked at as a whole: a few minutes of a laptop for a module. Beyond it
/// as many draws are looked at, so that a thorough look ends.
pub const LARGEST_GRID: u64 = 50_000;

/// How much of a question's grid is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Depth {
    /// [`SAMPLE`] draws; more only when these leave a doubt about the count.
    Sampled,
    /// The whole grid up to [`LARGEST_GRID`], else as many draws of it.
    Thorough,
}

/// What was found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Proof {
    /// Draws there are, conditions aside; 1 when nothing is drawn.
    pub grid: u64,
    /// Draws looked at.
    pub seen: usize,
    /// Usable ones among them.
    pub usable: usize,
    /// Whether every draw was looked at.
    pub whole: bool,
    /// Faults. A proof with any is not kept.
    #[serde(skip)]
    pub faults: Vec<QuestionFault>,
}

impl Proof {
    /// Usable variants: counted when the whole grid was looked at, else estimated from the
    /// share that is usable, rounded down.
    pub fn variants(&self) -> u64 {
        let usable = u64::try_from(self.usable).unwrap_or(u64::MAX);
        let seen = u64::try_from(self.seen).unwrap_or(u64::MAX).max(1);
        if self.whole {
            return usable;
        }
        // Multiplied before it is divided, in twice the width: dividing first would lose up
        // to a whole sample's worth of variants.
        let share = u128::from(self.grid) * u128::from(usable);
        u64::try_from(share.div_euclid(u128::from(seen))).unwrap_or(u64::MAX)
    }
}

/// What the draws looked at had to say.
#[derive(Debug, Default)]
struct Tally {
    seen: usize,
    satisfied: usize,
    worked: usize,
    usable: usize,
    unworkable: Option<QuestionFault>,
    accepted: BTreeMap<String, AcceptedSlip>,
    told_apart: BTreeSet<String>,
    /// How often a slip gives exactly the right value, and in how many variants each set.
    coincidences: BTreeMap<Vec<String>, usize>,
    /// How often two slips print the same.
    collisions: BTreeMap<(String, String), usize>,
    /// Other faults, which do not depend on the numbers.
    other: Vec<QuestionFault>,
}

impl Prepared<'_> {
    /// Looks at the question's draws.
    pub fn prove(&self, depth: Depth) -> Proof {
        let grid = self.draws.grid();
        let largest = usize::try_from(LARGEST_GRID).unwrap_or(SAMPLE);
        // A sample with few usable draws proves nothing about the count: look at more, and in
        // the end at all.
        let sizes: &[usize] = match depth {
            Depth::Sampled => &[SAMPLE, SAMPLE << 2, SAMPLE << 4, largest],
            Depth::Thorough => &[largest],
        };
        let (mut tally, mut whole) = (Tally::default(), false);
        for size in sizes {
            let sample = self.draws.sample(&self.question.id, *size);
            // Begun anew with each size, because a larger sample is not the smaller one
            // with more behind it: both are spread over the whole grid.
            tally = Tally::default();
            for places in &sample {
                self.look(&self.draws.drawn(places), &mut tally);
            }
            whole = u64::try_from(sample.len()).is_ok_and(|seen| seen >= grid);
            // Enough usable ones were seen, so their number does not depend on how many more
            // there are.
            if whole || tally.usable >= FEWEST_VARIANTS {
                break;
            }
        }
        let usable = tally.usable_beside(&tally.always_coinciding());
        let mut proof =
            Proof { grid, seen: tally.seen, usable, whole, faults: Vec::new() };
        proof.faults = self.faults(tally, &proof);
        proof
    }

    fn look(&self, drawn: &Drawn, tally: &mut Tally) {
        // Counted before anything can send it away: what is usable is told as a share of
        // all that was looked at.
        tally.seen += 1;
        let tried = self.attempt(drawn);
        if matches!(tried, Err(Unusable::Condition)) {
            return;
        }
        tally.satisfied += 1;
        match tried {
            Ok(trial) => {
                tally.worked += 1;
                tally.usable += 1;
                let mut coinciding = trial.coincidences;
                // One key for one set of slips, in whatever order they turned up.
                coinciding.sort_unstable();
                *tally.coincidences.entry(coinciding).or_default() += 1;
                let slips = trial.asked.as_ref().map_or(&[][..], |asked| &asked.slips);
                let kept = trial.kept.iter().filter_map(|at| slips.get(*at));
                tally.told_apart.extend(kept.map(|slip| slip.id.clone()));
                for (slip, why) in trial.dropped {
                    match why {
                        Dropped::SameAs(other) => {
                            *tally.collisions.entry((other, slip)).or_default() += 1;
                        }
                        // It is told apart well enough; it only is no choice here.
                        Dropped::Implausible => {
                            tally.told_apart.insert(slip);
                        }
                        _ => {}
                    }
                }
            }
            Err(Unusable::Unworkable(why)) => match &mut tally.unworkable {
                Some(QuestionFault::Unworkable { count, .. }) => *count += 1,
                _ => {
                    tally.unworkable = Some(QuestionFault::Unworkable {
                        drawn: summary(drawn),
                        why,
                        count: 1,
                    });
                }
            },
            Err(Unusable::AcceptsSlip(slips)) => {
                tally.worked += 1;
                self.note_accepted(drawn, &slips, tally);
            }
            Err(Unusable::Question(fault)) => {
                // The same fault with every draw is told once.
                if !tally.other.contains(&fault) {
                    tally.other.push(*fault);
                }
            }
            Err(_) => tally.worked += 1,
        }
    }

    fn note_accepted(&self, drawn: &Drawn, slips: &[String], tally: &mut Tally) {
        let QuestionKind::Number { ask, .. } = &self.question.kind else { return };
        for id in slips {
            tally.told_apart.insert(id.clone());
            if let Some(known) = tally.accepted.get_mut(id) {
                known.count += 1;
                continue;
            }
            let Ok(asked) = super::asked::work(self.kit, ask, drawn) else { continue };
            let slip = asked.slips.iter().find(|slip| slip.id == *id);
            let accepted = AcceptedSlip {
                slip: id.clone(),
                says: slip.map(|slip| slip.says.clone()).unwrap_or_default(),
                drawn: summary(drawn),
                right: asked.right.text.clone(),
                wrong: slip.map(|slip| slip.value.text.clone()).unwrap_or_default(),
                count: 1,
            };
            tally.accepted.insert(id.clone(), accepted);
        }
    }

    fn faults(&self, tally: Tally, proof: &Proof) -> Vec<QuestionFault> {
        let ask = match &self.question.kind {
            QuestionKind::Number { ask, .. } | QuestionKind::Choice { ask, .. } => {
                Some(ask)
            }
            _ => None,
        };
        let names = ask.map(|ask| slip_names(ask, self.kit)).unwrap_or_default();
        let mut faults = tally.other;
        faults.extend(tally.unworkable);
        // Without a single draw nothing else can be said of the question.
        if tally.satisfied == 0 {
            faults.push(QuestionFault::NoDraw);
            return faults;
        }
        for (slip, accepted) in tally.accepted {
            // Minutes and seconds read as a decimal lie near the answer for few seconds; such
            // draws are thrown away, and only a tolerance that leaves few others is at fault.
            if names.contains_key(&slip) || accepted.count * 2 > tally.worked {
                faults.push(QuestionFault::AcceptsSlip(Box::new(accepted)));
            }
        }
        for (slip, says) in &names {
            if tally.usable > 0 && !tally.told_apart.contains(slip) {
                let collides = tally.collisions.iter().find(|((_, second), count)| {
                    second == slip && **count == tally.usable
                });
                faults.push(match collides {
                    Some(((first, second), _)) => {
                        QuestionFault::SlipsCollide(first.clone(), second.clone())
                    }
                    None => QuestionFault::NeverDistinct {
                        slip: slip.clone(),
                        says: says.clone(),
                    },
                });
            }
        }
        // A question without numbers has one variant, and that is no fault of it.
        let numbers = self.draws.any() || ask.is_some();
        let variants = usize::try_from(proof.variants()).unwrap_or(usize::MAX);
        if numbers && variants < FEWEST_VARIANTS {
            faults.push(QuestionFault::FewVariants {
                usable: variants,
                wanted: FEWEST_VARIANTS,
            });
        }
        faults
    }
}

impl Tally {
    /// Slips that give the right value in every usable draw: they say nothing about a draw.
    fn always_coinciding(&self) -> BTreeSet<String> {
        let mut sets = self.coincidences.keys();
        let first: BTreeSet<String> =
            sets.next().into_iter().flatten().cloned().collect();
        sets.fold(first, |all, set| {
            all.into_iter().filter(|id| set.contains(id)).collect()
        })
    }

    /// Usable draws in which no other slip gives the right value.
    fn usable_beside(&self, always: &BTreeSet<String>) -> usize {
        let fine = |set: &Vec<String>| set.iter().all(|id| always.contains(id));
        self.coincidences
            .iter()
            .filter(|(set, _)| fine(set))
            .map(|(_, count)| count)
            .sum()
    }
}
