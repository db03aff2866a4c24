//! How likely a paper is passed by ticking blindly.

use super::kit::Kit;
use super::paper::{Item, ItemKind};
use super::question::verdicts;
use crate::course::{Question, QuestionKind};
use crate::quantity::Fraction;

/// The chance of reaching `cut` marks by guessing: of each question its marks and how many
/// answers there are to guess from (none for a number that is typed). Nothing when the fractions
/// grow beyond what can be counted.
pub fn chance_by_guessing(
    questions: &[(u32, Option<u32>)],
    cut: u32,
) -> Option<Fraction> {
    let mut chances = vec![Fraction::ONE];
    for (marks, answers) in questions {
        // A number that is written down cannot be guessed by ticking.
        let Some(answers) = answers else { continue };
        let right = Fraction::new(1, i128::from(*answers))?;
        let wrong = Fraction::ONE.sub(right)?;
        let up = usize::try_from(*marks).ok()?;
        // The chance of each sum of marks, question by question and exactly: papers are short.
        let mut next = vec![Fraction::ZERO; chances.len() + up];
        for (at, chance) in chances.iter().enumerate() {
            for (at, share) in [(at, wrong), (at + up, right)] {
                let slot = next.get_mut(at)?;
                *slot = slot.add(chance.mul(share)?)?;
            }
        }
        chances = next;
    }
    let from = usize::try_from(cut).ok()?;
    let reached = chances.into_iter().skip(from);
    reached.into_iter().try_fold(Fraction::ZERO, Fraction::add)
}

/// Marks and answers to guess from of a printed question. An order is counted as if one order
/// alone were right.
pub fn guesses(item: &Item) -> (u32, Option<u32>) {
    let options = u32::try_from(item.options.len()).unwrap_or(u32::MAX);
    let answers = match item.kind {
        ItemKind::Number => None,
        ItemKind::Order => {
            Some((1..=options).fold(1, |all: u32, next| all.saturating_mul(next)))
        }
        _ => Some(options.max(1)),
    };
    (item.marks, answers)
}

/// The share of its marks that blind ticking brings a question on average; nothing of a number
/// that is written down.
pub(super) fn guess(question: &Question, kit: Kit<'_>) -> Fraction {
    let answers = match &question.kind {
        QuestionKind::Number { .. } => return Fraction::ZERO,
        QuestionKind::Choice { choices, .. } => *choices,
        QuestionKind::Judge { options, .. } => options.len(),
        QuestionKind::Verdict { ask } => verdicts(ask, kit).len(),
        QuestionKind::Order { steps, .. } => {
            (1..=steps.len()).fold(1, |all: usize, next| all.saturating_mul(next))
        }
    };
    let answers = i128::try_from(answers).unwrap_or(i128::MAX);
    Fraction::new(1, answers).unwrap_or(Fraction::ONE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_of_the_reference() {
        let text = include_str!("../../../tests/reference/assessment-checks.json");
        let file: serde_json::Value = serde_json::from_str(text).unwrap();
        let cases = file["cases"].as_array().unwrap().iter();
        let mut seen = 0;
        for case in cases.filter(|case| case["topic"] == "guess_pass") {
            seen += 1;
            let whole = |name: &str| case["input"][name].as_u64().unwrap();
            let options = u32::try_from(whole("options")).unwrap();
            let questions =
                vec![(1, Some(options)); usize::try_from(whole("items")).unwrap()];
            let cut = u32::try_from(whole("cut")).unwrap();
            let found = chance_by_guessing(&questions, cut).unwrap();
            // The reference is a binary float: compared to nine figures.
            let scale = Fraction::whole(10_i128.pow(20));
            let found = found.mul(scale).unwrap().floor();
            let wanted = format!("{:.20}", case["expected"].as_f64().unwrap());
            let wanted = Fraction::read(&wanted).unwrap().mul(scale).unwrap().floor();
            let away = (found - wanted).abs();
            assert!(
                away * 1_000_000_000 <= wanted,
                "{}: {found} for {wanted}",
                case["id"]
            );
        }
        assert!(seen > 3, "no reference case for guessing");
    }

    #[test]
    fn numbers_cannot_be_guessed() {
        assert_eq!(chance_by_guessing(&[(1, None), (2, None)], 1), Some(Fraction::ZERO));
        let mixed = chance_by_guessing(&[(2, Some(4)), (1, Some(2)), (1, None)], 2);
        assert_eq!(mixed, Fraction::new(1, 4));
    }
}
