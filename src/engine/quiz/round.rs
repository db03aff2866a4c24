//! Round figures: what a person works out without a calculator.

use super::draw::Drawn;
use super::fault::QuestionFault;
use super::proof::{Depth, LARGEST_GRID, SAMPLE};
use super::question::{Prepared, Trial};
use super::text::summary;
use crate::course::{Ask, Bind, QuestionKind};
use crate::quantity::{Fraction, Quantity};

/// Digits that a figure of the question may have, zeros at either end aside: what people
/// multiply in their heads with cold hands.
const FIGURE: usize = 2;

/// Digits that the answer may have: a product of two such figures with room to spare. It also
/// comes out even, because rounding without paper is another exercise.
const ANSWER: usize = 3;

impl Prepared<'_> {
    /// The first figure that is not round, over the same draws as a proof of that depth.
    pub fn not_round(&self, depth: Depth) -> Option<QuestionFault> {
        let largest = usize::try_from(LARGEST_GRID).unwrap_or(SAMPLE);
        let size = if depth == Depth::Sampled { SAMPLE } else { largest };
        let mut found: Option<(String, String)> = None;
        let mut count = 0;
        for places in self.draws.sample(&self.question.id, size) {
            let drawn = self.draws.drawn(&places);
            let Ok(trial) = self.attempt(&drawn) else { continue };
            let Some(figure) = self.odd_figure(&drawn, &trial) else { continue };
            count += 1;
            found.get_or_insert_with(|| (figure, summary(&drawn)));
        }
        let (found, drawn) = found?;
        Some(QuestionFault::NotRound { found, drawn, count })
    }

    fn odd_figure(&self, drawn: &Drawn, trial: &Trial) -> Option<String> {
        let ask: Option<&Ask> = match &self.question.kind {
            QuestionKind::Number { ask, .. }
            | QuestionKind::Choice { ask, .. }
            | QuestionKind::Verdict { ask } => Some(ask),
            QuestionKind::Judge { ask, .. } => ask.as_ref(),
            QuestionKind::Order { .. } => None,
        };
        let given = ask.into_iter().flat_map(|ask| ask.feed.with.values());
        let fixed = given.filter_map(|bind| match bind {
            Bind::Value(value) => Some(*value),
            _ => None,
        });
        let odd = |value: &Quantity| !has_digits(value.number(), FIGURE);
        if let Some(value) = drawn.numbers.values().copied().chain(fixed).find(odd) {
            return Some(value.in_text());
        }
        // Of a verdict nothing is written down, so only its figures have to be round.
        let typed = matches!(
            self.question.kind,
            QuestionKind::Number { .. } | QuestionKind::Choice { .. }
        );
        let asked = trial.asked.as_ref().filter(|_| typed)?;
        let even = asked.right.exact == asked.right.shown
            && (asked.format.clock || has_digits(asked.right.bare, ANSWER));
        (!even).then(|| asked.right.text.clone())
    }
}

/// Whether a number is written with so many digits, zeros at either end aside.
fn has_digits(number: Fraction, most: usize) -> bool {
    number.decimal().is_some_and(|text| {
        let digits: String = text.chars().filter(char::is_ascii_digit).collect();
        digits.trim_matches('0').len() <= most
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quiz::fixture::{self, Department, q};

    #[test]
    fn digits_are_counted_between_zeros() {
        for (text, digits) in
            [("0.05", 1), ("1200", 2), ("0.105", 3), ("101", 3), ("0", 0)]
        {
            let number = Fraction::read(text).unwrap();
            assert!(has_digits(number, digits), "{text}");
            assert!(digits == 0 || !has_digits(number, digits - 1), "{text}");
        }
        assert!(!has_digits(Fraction::new(1, 3).unwrap(), 20));
    }

    #[test]
    fn odd_figures_and_uneven_answers_are_named() {
        let department = Department::new();
        let mut question = fixture::number();
        let mut found = |percent: &str, (from, to, step): (&str, &str, &str)| {
            question.draws = vec![
                ("percent".into(), crate::course::Draw::Of(vec![q(percent)])),
                ("flow".into(), fixture::spread(from, to, step)),
            ];
            let prepared = Prepared::of(&question, department.kit()).unwrap();
            prepared.not_round(Depth::Thorough)
        };
        assert_eq!(found("1 %", ("100 gpm", "900 gpm", "20 gpm")), None);
        let fault = found("1 %", ("100 gpm", "900 gpm", "5 gpm")).unwrap();
        assert!(
            matches!(&fault, QuestionFault::NotRound { found, .. } if found == "105\u{a0}gpm"),
            "{fault:?}"
        );
        // 1.1 % of 95 gpm is 1.045 gpm, printed 1.05 gpm: that does not come out even.
        let fault = found("1.1 %", ("95 gpm", "95 gpm", "1 gpm")).unwrap();
        assert!(
            matches!(&fault, QuestionFault::NotRound { found, .. } if found == "1.05\u{a0}gpm"),
            "{fault:?}"
        );
    }
}
