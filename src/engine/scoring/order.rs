//! Order between steps: what comes before what, and which steps are out of place.
//!
//! One step done too early breaks many pairs at once, so pairs are never counted against
//! anybody. What counts is how few steps would have to be taken out for the rest to be in
//! order.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Serialize, Serializer};

use super::cover::independent;
use crate::course::OrderRule;
use crate::quantity::{Direction, Fraction, Number, show};

/// What must come before what, over chains of rules and over steps that were not done.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Precedence {
    /// By step, everything that must come after it.
    after: BTreeMap<String, BTreeSet<String>>,
}

impl Precedence {
    /// The transitive closure of some rules.
    pub fn of(rules: &[OrderRule]) -> Self {
        let mut direct: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for rule in rules {
            direct.entry(&rule.first).or_default().insert(&rule.then);
        }
        let reach = |start: &str| {
            let mut found = BTreeSet::new();
            let mut waiting = vec![start];
            while let Some(step) = waiting.pop() {
                for next in direct.get(step).into_iter().flatten() {
                    if found.insert((*next).to_owned()) {
                        waiting.push(next);
                    }
                }
            }
            found
        };
        Self {
            after: direct.keys().map(|step| ((*step).to_owned(), reach(step))).collect(),
        }
    }

    /// Whether `first` must come before `then`.
    pub fn before(&self, first: &str, then: &str) -> bool {
        self.after.get(first).is_some_and(|after| after.contains(then))
    }

    /// The steps that are not in a longest in-order part of what was done.
    ///
    /// `cost` is what a step would lose by being out of place: of all ways to leave steps
    /// out, the one that costs least is taken, and of those the one that leaves out fewest.
    /// Of two steps that changed places it is the one done too early.
    pub fn out_of_place(
        &self,
        done: &[String],
        cost: impl Fn(&str) -> u64,
    ) -> Vec<String> {
        let mut sorted: Vec<(usize, &String)> = done.iter().enumerate().collect();
        // By name and not by place: which of several equal ways out is found then hangs on
        // the drill alone, and two evaluators who wrote unrelated steps in another order
        // get the same line.
        sorted.sort_by_key(|(_, step)| *step);
        let count = u64::try_from(sorted.len()).unwrap_or(0);
        // One number for two wishes: a cost outweighs any count of steps, and among equal
        // costs each step kept is one more.
        let weights: Vec<u64> =
            sorted.iter().map(|(_, step)| cost(step) * (count + 1) + 1).collect();
        let edges = sorted.iter().map(|(at, step)| {
            let too_early = |(_, (later, other)): &(usize, &(usize, &String))| {
                at < later && self.before(other, step)
            };
            sorted.iter().enumerate().filter(too_early).map(|(index, _)| index).collect()
        });
        // Steps in the wrong order are joined by an edge, and what stays is a set without one.
        // Wrong pairs are a partial order of their own, so the best such set is found exactly,
        // by a flow, and no step is called late by a rule of thumb.
        let kept = independent(&weights, &edges.collect::<Vec<Vec<usize>>>());
        let mut out: Vec<(usize, &String)> = sorted
            .into_iter()
            .zip(kept)
            .filter_map(|(step, kept)| (!kept).then_some(step))
            .collect();
        out.sort_unstable();
        out.into_iter().map(|(_, step)| step.clone()).collect()
    }
}

/// Figures about an order, for information only.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OrderStatistics {
    /// Rules broken, as written: first, then.
    pub direct: Vec<(String, String)>,
    /// Pairs in the wrong order, over all chains of rules.
    pub transitive: usize,
    /// Pairs for which the rules say an order.
    pub comparable: usize,
    /// Kendall's tau over the comparable pairs: right less wrong, divided by all. None
    /// where nothing can be compared.
    #[serde(serialize_with = "four_places")]
    pub tau: Option<Fraction>,
    /// Length of the longest in-order part.
    pub longest: usize,
}

/// Figures about the steps done, in the order in which they were done.
pub fn order_statistics(rules: &[OrderRule], done: &[String]) -> OrderStatistics {
    let precedence = Precedence::of(rules);
    let place: BTreeMap<&str, usize> =
        done.iter().enumerate().map(|(at, step)| (step.as_str(), at)).collect();
    let (mut right, mut wrong) = (0_usize, 0_usize);
    for (first, at) in &place {
        for (then, later) in &place {
            // A rule in a circle is a finding of the module; here it would count a step
            // against itself.
            if precedence.before(first, then) && first != then {
                if at < later { right += 1 } else { wrong += 1 }
            }
        }
    }
    let broken = |rule: &&OrderRule| {
        let at = |step: &str| place.get(step).copied();
        at(&rule.first).zip(at(&rule.then)).is_some_and(|(first, then)| first > then)
    };
    // Without costs: this figure is about the order alone, the lines above are about the
    // points.
    let out = precedence.out_of_place(done, |_| 0);
    let whole = |count: usize| i128::try_from(count).unwrap_or(0);
    OrderStatistics {
        direct: rules
            .iter()
            .filter(broken)
            .map(|rule| (rule.first.clone(), rule.then.clone()))
            .collect(),
        transitive: wrong,
        comparable: right + wrong,
        tau: Fraction::new(whole(right) - whole(wrong), whole(right + wrong)),
        longest: done.len() - out.len(),
    }
}

/// A fraction to four places, ties away from zero.
pub fn printed_tau(tau: Fraction) -> String {
    // Four places, more than any two steps of a drill make a difference in: it is shown and
    // never compared, so that nothing hangs on how it is rounded.
    let step = Fraction::new(1, 10_000).unwrap_or(Fraction::ONE);
    show(Number::Exact(tau), step, Direction::Near)
        .map(|shown| shown.text)
        .unwrap_or_default()
}

#[expect(clippy::ref_option, reason = "the derived code calls it so")]
fn four_places<S: Serializer>(
    tau: &Option<Fraction>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    tau.map(printed_tau).serialize(serializer)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rules(pairs: &[(&str, &str)]) -> Vec<OrderRule> {
        pairs
            .iter()
            .map(|(first, then)| OrderRule {
                first: (*first).into(),
                then: (*then).into(),
                because: String::new(),
                cannot: false,
            })
            .collect()
    }

    fn steps(text: &str) -> Vec<String> {
        text.split(' ').map(str::to_owned).collect()
    }

    #[test]
    fn one_early_step_is_one_step_out_of_place() {
        let chain = rules(&[("a", "b"), ("b", "c"), ("c", "d")]);
        let precedence = Precedence::of(&chain);
        assert_eq!(precedence.out_of_place(&steps("d a b c"), |_| 1), ["d"]);
        assert_eq!(precedence.out_of_place(&steps("b c d a"), |_| 1), ["a"]);
        // A swap of neighbours: the one done too early.
        assert_eq!(precedence.out_of_place(&steps("a c b d"), |_| 1), ["c"]);
        assert_eq!(precedence.out_of_place(&steps("d c b a"), |_| 1), ["d", "c", "b"]);
        // A missing step carries the order on, and is not itself out of place.
        assert_eq!(precedence.out_of_place(&steps("c a"), |_| 1), ["c"]);
    }

    #[test]
    fn steps_without_a_rule_between_them_are_free() {
        let precedence = Precedence::of(&rules(&[("a", "c"), ("b", "c")]));
        assert!(precedence.out_of_place(&steps("b x a c y"), |_| 1).is_empty());
    }

    #[test]
    fn what_costs_nothing_is_left_out_first() {
        let precedence = Precedence::of(&rules(&[("a", "b"), ("a", "c")]));
        let free = |step: &str| u64::from(step != "b" && step != "c");
        assert_eq!(precedence.out_of_place(&steps("b c a"), free), ["b", "c"]);
        assert_eq!(precedence.out_of_place(&steps("b c a"), |_| 1), ["a"]);
    }

    /// Against trying every set of steps, on all orders of six steps.
    #[test]
    fn nothing_cheaper_can_be_left_out() {
        let graph = rules(&[("a", "c"), ("b", "c"), ("b", "d"), ("c", "e"), ("d", "f")]);
        let precedence = Precedence::of(&graph);
        let cost = |step: &str| u64::from(step != "c");
        let mut orders = vec![Vec::<String>::new()];
        for step in ["a", "b", "c", "d", "e", "f"] {
            orders = orders
                .into_iter()
                .flat_map(|order| {
                    (0..=order.len()).map(move |at| {
                        let mut longer = order.clone();
                        longer.insert(at, step.to_owned());
                        longer
                    })
                })
                .collect();
        }
        for order in orders {
            let out = precedence.out_of_place(&order, cost);
            let mine: u64 = out.iter().map(|step| cost(step) * 10 + 1).sum();
            let best = (0_u32..64)
                .filter_map(|set| {
                    let kept: Vec<&String> = order
                        .iter()
                        .enumerate()
                        .filter(|(at, _)| set >> at & 1 == 1)
                        .map(|(_, step)| step)
                        .collect();
                    let wrong = kept.iter().enumerate().any(|(at, step)| {
                        kept[at..].iter().any(|later| precedence.before(later, step))
                    });
                    let left = order.iter().filter(|step| !kept.contains(step));
                    (!wrong).then(|| left.map(|step| cost(step) * 10 + 1).sum::<u64>())
                })
                .min();
            assert_eq!(Some(mine), best, "{order:?} leaves out {out:?}");
            let rest: Vec<String> =
                order.iter().filter(|step| !out.contains(step)).cloned().collect();
            assert_eq!(order_statistics(&graph, &rest).transitive, 0);
        }
    }
}
