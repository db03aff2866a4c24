//! Cases of our own, worked by hand from the meaning of a formula, as by-hand-checks.yaml writes
//! them: givens and answers bear the names of the formula.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::formulas::System;
use serde::Deserialize;

use super::read;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Checks {
    cases: Vec<ByHand>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct ByHand {
    pub(super) id: String,
    pub(super) formula: String,
    pub(super) system: Option<System>,
    is: String,
    pub(super) givens: BTreeMap<String, String>,
    #[serde(default)]
    pub(super) lists: BTreeMap<String, Vec<BTreeMap<String, String>>>,
    pub(super) answers: BTreeMap<String, String>,
    #[serde(default)]
    pub(super) says: Vec<String>,
    #[serde(default)]
    pub(super) does_not_say: Vec<String>,
    pub(super) within: Option<f64>,
    pub(super) source: String,
    working: String,
}

/// The cases of the file; each says what it is and shows its working.
pub(super) fn cases() -> Vec<ByHand> {
    let Checks { cases } = read::yaml("tests/reference/by-hand-checks.yaml");
    let mut ids = BTreeSet::new();
    for case in &cases {
        assert!(ids.insert(&case.id), "{} stands twice", case.id);
        for text in [&case.is, &case.working, &case.source] {
            assert!(!text.trim().is_empty(), "{} leaves a sentence out", case.id);
        }
        let verdicts = case.says.len() + case.does_not_say.len();
        assert!(case.answers.len() + verdicts > 0, "{} expects nothing", case.id);
    }
    cases
}

/// A verdict that must not stand is only a check while the formula has it.
#[test]
fn verdicts_of_the_cases_stand_in_their_formulas() {
    let library = read::library();
    for case in cases() {
        let formula = library.formula(&case.formula).unwrap();
        for says in case.says.iter().chain(&case.does_not_say) {
            assert!(
                formula.verdicts.iter().any(|verdict| verdict.says == *says),
                "{}: {} does not say: {says}",
                case.id,
                case.formula
            );
        }
    }
}
