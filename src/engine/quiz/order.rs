//! Steps to be put in order. Any order that the drill's rules allow is right.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::chance::Chance;
use super::fault::QuestionFault;
use crate::course::{Drill, OrderRule, Step};

/// One step must come before another, by a rule or a chain of rules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Before {
    /// Place of the earlier step in [`Steps::steps`].
    pub(super) first: usize,
    /// Place of the later one.
    pub(super) then: usize,
    /// The reasons of the rules between them.
    pub(super) because: String,
}

/// The steps of one question, in the order of the drill.
#[derive(Debug, Clone)]
pub(super) struct Steps<'k> {
    pub(super) steps: Vec<&'k Step>,
    pub(super) rules: Vec<Before>,
}

impl<'k> Steps<'k> {
    /// The named steps and what the drill says about their order.
    pub(super) fn of(drill: &'k Drill, names: &[String]) -> Result<Self, QuestionFault> {
        if let Some(stray) =
            names.iter().find(|name| !drill.steps.iter().any(|step| step.id == **name))
        {
            return Err(QuestionFault::NoStep(stray.clone()));
        }
        let steps: Vec<&Step> =
            drill.steps.iter().filter(|step| names.contains(&step.id)).collect();
        // One step is in order whatever is written: the question would ask nothing.
        if steps.len() < 2 {
            return Err(QuestionFault::FewOptions(steps.len()));
        }
        // What a critical rests on is asked for like any other order.
        let orders = drill.orders();
        let mut rules = Vec::new();
        for (first, step) in steps.iter().enumerate() {
            // A rule may lead over steps that are not asked for; what it then means for these
            // two is told with all its reasons.
            let after = reached(&orders, &step.id);
            for (then, other) in steps.iter().enumerate() {
                if let Some(because) = after.get(other.id.as_str()) {
                    rules.push(Before { first, then, because: because.clone() });
                }
            }
        }
        if rules.is_empty() {
            return Err(QuestionFault::NoOrder);
        }
        Ok(Self { steps, rules })
    }

    /// An order to print that is not already right.
    pub(super) fn shuffled(&self, chance: &mut Chance) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.steps.len()).collect();
        // An order that is right as it stands on the paper would give the answer away. With few
        // rules a try fails half the time, so this many never all fail.
        for _ in 0..64 {
            chance.shuffle(&mut order);
            if !broken(&self.rules, &order).is_empty() {
                break;
            }
        }
        order
    }
}

/// The rules that an order of places breaks. Of a pair that is reversed only because both lie
/// wrong about a third step, the two pairs with that step say it all.
pub(super) fn broken<'r>(rules: &'r [Before], order: &[usize]) -> Vec<&'r Before> {
    let at = |place: usize| order.iter().position(|other| *other == place);
    let all: Vec<&Before> =
        rules.iter().filter(|rule| at(rule.first) > at(rule.then)).collect();
    let between = |rule: &Before| {
        all.iter().any(|one| {
            one.first == rule.first
                && all.iter().any(|two| two.first == one.then && two.then == rule.then)
        })
    };
    all.iter().copied().filter(|rule| !between(rule)).collect()
}

/// Steps that come after one, each with the reasons on the way.
fn reached<'o>(orders: &'o [OrderRule], from: &str) -> BTreeMap<&'o str, String> {
    let mut found: BTreeMap<&str, String> = BTreeMap::new();
    let mut open: Vec<(String, String)> = vec![(from.to_owned(), String::new())];
    while let Some((step, because)) = open.pop() {
        for rule in orders.iter().filter(|rule| rule.first == step) {
            // Rules in a circle are the drill's fault and told there; here they only must not
            // go round for ever.
            if found.contains_key(rule.then.as_str()) {
                continue;
            }
            let so_far = format!("{because} {}", rule.because).trim().to_owned();
            found.insert(&rule.then, so_far.clone());
            open.push((rule.then.clone(), so_far));
        }
    }
    found
}
