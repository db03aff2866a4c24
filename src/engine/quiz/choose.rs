//! Wrong choices: they are slips, never random numbers.
//!
//! Everything is printed first and compared as printed; what equals the answer or an earlier
//! choice, lies inside the tolerance, is absurd or looks the same at a glance is dropped.

use super::asked::{Band, Printed, SlipAnswer};
use super::chance::Chance;
use crate::quantity::Fraction;

/// Why a slip is no choice here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Dropped {
    /// Printed like the right answer.
    SameAsRight,
    /// Printed like an earlier slip.
    SameAs(String),
    /// Inside the tolerance.
    Accepted,
    /// Zero, below zero, or far from every sensible value.
    Absurd,
    /// Too near to another choice to be told apart at a glance.
    TooClose(String),
    /// Worth telling when it is typed, and no choice to be ticked beside the right answer.
    Implausible,
}

/// Largest ratio of a sensible wrong answer to the right one, either way. A percent taken for
/// a share and a unit mistaken together are off by less; beyond it nobody would tick a choice.
const FAR: i128 = 10_000;

/// Sorts the slips into usable wrong choices and others, in the order of the formula.
pub(super) fn distinct<'s>(
    right: &Printed,
    slips: &'s [SlipAnswer],
    band: Option<&Band>,
    gap: Fraction,
) -> (Vec<&'s SlipAnswer>, Vec<(&'s SlipAnswer, Dropped)>) {
    let (mut kept, mut dropped): (Vec<&SlipAnswer>, Vec<_>) = (Vec::new(), Vec::new());
    for slip in slips {
        let value = &slip.value;
        let close = |other: &Printed| {
            // What cannot be subtracted cannot be told apart either.
            other.bare.sub(value.bare).is_none_or(|away| away.absolute() < gap)
        };
        // As shown and exactly: a value that rounds into the band would be marked right
        // when it is typed from the printed choice.
        let inside = band
            .is_some_and(|band| band.contains(value.shown) || band.contains(value.exact));
        let same = kept.iter().find(|other| other.value.bare == value.bare);
        let near = kept.iter().find(|other| close(&other.value));
        // From what is nobody's mistake to what is only a poor choice: the first reason
        // that holds is told to the author.
        let why = if value.bare == right.bare {
            Some(Dropped::SameAsRight)
        // Before the absurd ones: what the tolerance takes for right is a fault that the author
        // must hear of.
        } else if inside {
            Some(Dropped::Accepted)
        } else if absurd(right.bare, value.bare) {
            Some(Dropped::Absurd)
        } else if let Some(other) = same {
            Some(Dropped::SameAs(other.id.clone()))
        } else if close(right) {
            Some(Dropped::TooClose(String::new()))
        } else {
            near.map(|other| Dropped::TooClose(other.id.clone()))
        };
        match why {
            Some(why) => dropped.push((slip, why)),
            None => kept.push(slip),
        }
    }
    (kept, dropped)
}

fn absurd(right: Fraction, wrong: Fraction) -> bool {
    // A choice of zero or below it is struck out by anybody who cannot work the sum.
    if wrong.signum() == 0 || (right.signum() > 0 && wrong.signum() < 0) {
        return true;
    }
    let ratio = wrong.absolute().div(right.absolute());
    let far = Fraction::whole(FAR);
    ratio.is_none_or(|ratio| {
        // Both ways by multiplying: a ratio that is tiny has no fraction that fits when it
        // is turned over.
        ratio > far || ratio.mul(far).is_none_or(|up| up < Fraction::ONE)
    })
}

/// Whether a wrong value may be offered beside the right one. More than ten times off it is
/// struck out by anybody who has stood at a panel, unless the slip is that of the decimal point,
/// which is made at panels; within one percent it is right for every purpose there.
pub(super) fn plausible(right: &Printed, wrong: &Printed, decimal: bool) -> bool {
    let ten = |large: Fraction, small: Fraction| {
        small.mul(Fraction::whole(10)).is_some_and(|most| large <= most)
    };
    // What a person compares is what is printed.
    let (right, wrong) = (right.bare.absolute(), wrong.bare.absolute());
    let near = right.sub(wrong).and_then(|away| away.mul(Fraction::whole(100)));
    let apart = near.is_none_or(|away| away.absolute() > right);
    apart && (decimal || (ten(wrong, right) && ten(right, wrong)))
}

/// How far two printed choices must be apart: two steps where a value has many of them, one
/// where it has few (16 pails and 15 pails are different answers, 0.95 and 0.96 look alike).
pub(super) fn visual_gap(right: &Printed, step: Fraction) -> Fraction {
    let many =
        // Decimals that differ by one step in their last digit look the same at a glance.
        step.mul(Fraction::whole(20)).is_some_and(|many| right.bare.absolute() >= many);
    // Whole numbers are read digit by digit and are told apart by one; decimals are read as
    // a shape.
    let two = step.mul(Fraction::whole(2)).unwrap_or(step);
    if many && !step.is_whole() { two } else { step }
}

/// So many of the kept slips. How many of them lie below the right answer is drawn first, so
/// that the right answer is not always the middle one.
pub(super) fn pick<'s>(
    right: &Printed,
    kept: &[&'s SlipAnswer],
    wanted: usize,
    chance: &mut Chance,
) -> Vec<&'s SlipAnswer> {
    let (mut below, mut above): (Vec<_>, Vec<_>) =
        kept.iter().copied().partition(|slip| slip.value.bare < right.bare);
    let least = wanted.saturating_sub(above.len());
    let most = wanted.min(below.len());
    // How many wrong choices lie below is drawn: otherwise the answer would be the middle one
    // more often than not.
    let low = least + chance.place(most.saturating_sub(least) + 1);
    chance.shuffle(&mut below);
    chance.shuffle(&mut above);
    below.truncate(low);
    above.truncate(wanted.saturating_sub(low));
    below.into_iter().chain(above).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::course::{Edge, Tolerance};
    use crate::quantity::{Direction, Number, Quantity, show};

    /// Half up to so many significant figures: the printed form of the reference cases.
    fn figures(value: Fraction, figures: i128) -> Fraction {
        let mut step = Fraction::new(1, 1_000_000).unwrap();
        let limit = Fraction::whole(10_i128.pow(u32::try_from(figures).unwrap()));
        loop {
            let shown = show(Number::Exact(value), step, Direction::Near).unwrap();
            if shown.value.div(step).unwrap() < limit {
                return shown.value;
            }
            step = step.mul(Fraction::whole(10)).unwrap();
        }
    }

    fn printed(value: Fraction, n: i128) -> Printed {
        let shown = figures(value, n);
        Printed { text: shown.to_string(), exact: value, shown, bare: shown }
    }

    /// The wrong methods of the reference cases, in their order.
    fn methods(
        flow: Fraction,
        percent: Fraction,
        minutes: Fraction,
    ) -> Vec<(&'static str, Fraction)> {
        let product = flow.mul(percent).unwrap().mul(minutes).unwrap();
        let over = |n: Fraction, d: i128| n.div(Fraction::whole(d)).unwrap();
        let hundred = Fraction::whole(100);
        vec![
            ("key", over(product, 100)),
            (
                "water_not_concentrate",
                over(
                    flow.mul(minutes)
                        .unwrap()
                        .mul(hundred.sub(percent).unwrap())
                        .unwrap(),
                    100,
                ),
            ),
            ("ignored_time", over(flow.mul(percent).unwrap(), 100)),
            ("percent_as_fraction_slip", over(product, 1000)),
            ("percent_not_divided", product),
            ("hours_for_minutes", over(product, 6000)),
            (
                "percent_on_top_of_solution",
                product.div(hundred.add(percent).unwrap()).unwrap(),
            ),
            ("divided_by_percent", flow.mul(minutes).unwrap().div(percent).unwrap()),
        ]
    }

    fn cases(topic: &str) -> Vec<serde_json::Value> {
        let text = include_str!("../../../tests/reference/assessment-checks.json");
        let file: serde_json::Value = serde_json::from_str(text).unwrap();
        let cases = file["cases"].as_array().unwrap().iter();
        let cases: Vec<_> =
            cases.filter(|case| case["topic"] == topic).cloned().collect();
        assert!(!cases.is_empty(), "no reference case for {topic}");
        cases
    }

    fn given(case: &serde_json::Value, name: &str) -> Fraction {
        Fraction::read(case["input"][name].as_str().unwrap()).unwrap()
    }

    fn worked(case: &serde_json::Value) -> (Printed, Vec<SlipAnswer>) {
        let n = i128::from(case["input"]["figures"].as_i64().unwrap());
        let values =
            methods(given(case, "flow"), given(case, "percent"), given(case, "minutes"));
        let mut slips = values.into_iter().map(|(id, value)| SlipAnswer {
            id: id.into(),
            says: String::new(),
            value: printed(value, n),
        });
        let right = slips.next().unwrap().value;
        (right, slips.collect())
    }

    #[test]
    fn collisions_of_the_reference() {
        for case in cases("distractor_collision") {
            let (right, slips) = worked(&case);
            let (kept, dropped) = distinct(&right, &slips, None, Fraction::ZERO);
            let expected = case["expected"]["kept"].as_array().unwrap().iter();
            let expected: Vec<(&str, Fraction)> = expected
                .map(|row| {
                    (
                        row[0].as_str().unwrap(),
                        Fraction::read(row[1].as_str().unwrap()).unwrap(),
                    )
                })
                .collect();
            let mut found = vec![("key", right.bare)];
            found.extend(kept.iter().map(|slip| (slip.id.as_str(), slip.value.bare)));
            // One slip of the fifth case is more than ten thousand times the answer's size
            // away in neither direction, so nothing is absurd here.
            assert_eq!(found, expected, "{}", case["id"]);
            let rows = case["expected"]["dropped_name_value_sameas"].as_array().unwrap();
            for row in rows {
                let same = row[2].as_str().unwrap();
                let why = match same {
                    "key" => Dropped::SameAsRight,
                    other => Dropped::SameAs(other.into()),
                };
                assert!(
                    dropped.iter().any(|(slip, w)| slip.id == row[0].as_str().unwrap() && *w == why),
                    "{}: {row} not in {dropped:?}",
                    case["id"]
                );
            }
            assert_eq!(dropped.len(), rows.len(), "{}", case["id"]);
        }
    }

    #[test]
    fn tolerances_of_the_reference() {
        for case in cases("tolerance_vs_error_path") {
            let (right, slips) = worked(&case);
            let share =
                format!("{} %", case["input"]["tolerance_percent"].as_str().unwrap());
            let edge = Edge::Relative(Quantity::read(&share).unwrap());
            let tolerance = Tolerance { below: edge.clone(), above: edge };
            // The reference compares the printed numbers with each other.
            let right = Printed { exact: right.shown, ..right };
            let band = Band::around(&right, &tolerance, None).unwrap();
            let inside = slips.iter().filter(|slip| {
                band.contains(slip.value.shown) && slip.value.bare != right.bare
            });
            let inside: Vec<&str> = inside.map(|slip| slip.id.as_str()).collect();
            let expected =
                case["expected"]["error_paths_graded_correct"].as_array().unwrap();
            let expected: Vec<&str> =
                expected.iter().map(|id| id.as_str().unwrap()).collect();
            assert_eq!(inside, expected, "{}", case["id"]);
        }
    }

    #[test]
    fn choices_lie_within_ten_times_and_beyond_one_percent() {
        let value = |text: &str| printed(Fraction::read(text).unwrap(), 6);
        let right = value("2.85");
        for (wrong, method, decimal) in [
            ("2.88", true, true),
            ("2.8785", false, false),
            ("2.8215", false, false),
            ("2.85", false, false),
            ("28.5", true, true),
            ("28.51", false, true),
            ("0.285", true, true),
            ("0.284", false, true),
            ("285", false, true),
        ] {
            let found = [false, true].map(|kind| plausible(&right, &value(wrong), kind));
            assert_eq!(found, [method, decimal], "{wrong}");
        }
    }

    #[test]
    fn the_right_answer_is_not_always_in_the_middle() {
        let value = |n: i128| {
            let f = Fraction::whole(n);
            Printed { text: n.to_string(), exact: f, shown: f, bare: f }
        };
        let slips: Vec<SlipAnswer> = [1, 2, 3, 20, 30, 40]
            .map(|n| SlipAnswer {
                id: n.to_string(),
                says: String::new(),
                value: value(n),
            })
            .into();
        let kept: Vec<&SlipAnswer> = slips.iter().collect();
        let mut ranks = [0; 4];
        for seed in 0..4000 {
            let mut chance = Chance::of(&["test", &seed.to_string()]);
            let picked = pick(&value(10), &kept, 3, &mut chance);
            assert_eq!(picked.len(), 3);
            ranks[picked
                .iter()
                .filter(|slip| slip.value.bare < Fraction::whole(10))
                .count()] += 1;
        }
        assert!(ranks.iter().all(|count: &i32| count.abs_diff(1000) < 170), "{ranks:?}");
    }
}
