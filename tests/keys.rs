//! Keys and wrong choices of all questions of the example, over many seeds.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::course::{Course, QuestionKind, QuestionSet};
use drillwright::formulas::SlipKind;
use drillwright::quantity::{Comma, Fraction, System};
use drillwright::quiz::{
    Item, ItemKey, Kit, Order, Outcome, Prepared, PreparedSet, Purpose, Ticket, Variant,
};
use drillwright::stock;

use crate::engine::example;

/// Seeds for each question; the slow profile of every day tries fewer.
const SEEDS: u32 = if cfg!(debug_assertions) { 60 } else { 1000 };

fn each(mut look: impl FnMut(&Course, &drillwright::course::Question, &Variant)) {
    let (course, words) = (example(), stock::words());
    let kit = Kit::of(&course, &words);
    for question in course.sets.iter().flat_map(|set| &set.questions) {
        let prepared = Prepared::of(question, kit).unwrap();
        for seed in 0..SEEDS {
            let seed = seed.to_string();
            let ticket = Ticket { purpose: Purpose::Graded, seed: &seed, attempt: 1 };
            let variant = prepared.variant(ticket, 1, &BTreeSet::new()).unwrap();
            look(&course, question, &variant);
        }
    }
}

/// The number of a printed text, seconds for a time.
fn bare(text: &str) -> Fraction {
    if let Some((minutes, seconds)) = text.split_once(':') {
        let whole = |text: &str| text.replace(',', "").parse::<i128>().unwrap();
        return Fraction::whole(whole(minutes) * 60 + whole(seconds));
    }
    let number = text.split('\u{a0}').next().unwrap().replace(',', "");
    Fraction::read(&number.replace('−', "-")).unwrap_or_else(|| panic!("{text}"))
}

#[test]
fn the_last_line_of_a_key_is_its_answer() {
    let mut boards = 0;
    each(|_, question, variant| {
        let key: &ItemKey = variant.key();
        let Some(worked) = &key.worked else { return };
        boards += 1;
        let last = worked.lines.last().unwrap();
        match &question.kind {
            QuestionKind::Number { .. } | QuestionKind::Choice { .. } => {
                assert_eq!(
                    last.result, key.answer,
                    "{}: {:?}",
                    question.id, worked.lines
                );
                let told: Vec<&str> =
                    worked.answers.iter().map(|answer| answer.text.as_str()).collect();
                assert_eq!(told, [key.answer.as_str()], "{}", question.id);
            }
            QuestionKind::Verdict { .. } => {
                assert_eq!(worked.verdicts.last(), Some(&key.answer), "{}", question.id);
            }
            _ => {}
        }
    });
    assert!(boards > 500, "{boards}");
}

#[test]
fn wrong_choices_are_plausible() {
    let mut seen = 0;
    each(|course, question, variant| {
        let QuestionKind::Choice { ask, .. } = &question.kind else { return };
        let formula = course.library.formula(&ask.feed.formula).unwrap();
        let key = variant.key();
        let right = bare(&key.answer);
        let times = |value: Fraction, n: i128| value.mul(Fraction::whole(n)).unwrap();
        for wrong in &key.wrong {
            seen += 1;
            let value = bare(&wrong.text);
            let away = times(value.sub(right).unwrap().absolute(), 100);
            assert!(
                away > right,
                "{}: {} beside {}",
                question.id,
                wrong.text,
                key.answer
            );
            let slip = formula.slips.iter().find(|slip| slip.id == wrong.slip).unwrap();
            let decimal = slip.kind == SlipKind::PowerOfTen;
            let near = value <= times(right, 10) && right <= times(value, 10);
            assert!(decimal || near, "{}: {wrong:?} beside {}", question.id, key.answer);
        }
    });
    assert!(seen > 100, "{seen}");
}

/// What the other basis gives is no slip where it is printed as the right answer is; typed, it is
/// then right or at least not told as that slip.
#[test]
fn the_other_basis_is_no_slip_where_it_rounds_to_the_answer() {
    let (mut equal, mut differing) = (0, 0);
    let words = stock::words();
    each(|course, question, variant| {
        let (QuestionKind::Number { ask, .. } | QuestionKind::Choice { ask, .. }) =
            &question.kind
        else {
            return;
        };
        let formula = course.library.formula(&ask.feed.formula).unwrap();
        let key = variant.key();
        let other = formula.slips.iter().filter(|s| s.kind == SlipKind::OtherBasis);
        for slip in other {
            let told = key.wrong.iter().find(|wrong| wrong.slip == slip.id);
            match told {
                Some(wrong) => {
                    differing += 1;
                    assert_ne!(wrong.text, key.answer, "{}", question.id);
                }
                None => equal += 1,
            }
            let marked = variant.mark(&key.answer, Comma::Unfixed, &words);
            if matches!(question.kind, QuestionKind::Number { .. }) {
                assert_eq!(marked.outcome, Outcome::Right, "{} {key:?}", question.id);
            }
        }
    });
    assert!(equal > 0 && differing > 0, "{equal} {differing}");
}

fn count(items: &[Item]) -> BTreeMap<(String, String), usize> {
    let mut counts = BTreeMap::new();
    for item in items {
        let kind = format!("{:?}", item.kind);
        *counts.entry((item.topic.clone(), kind)).or_default() += 1;
    }
    counts
}

/// 200 papers of the set with a blueprint: each has what the blueprint says, and every question
/// comes up.
#[test]
fn papers_keep_to_the_blueprint() {
    let (course, words) = (example(), stock::words());
    let sets = course.sets.iter().filter(|set| !set.blueprint.is_empty());
    let sets: Vec<&QuestionSet> = sets.collect();
    assert!(!sets.is_empty(), "no set of the example has a blueprint");
    for set in sets {
        let prepared = PreparedSet::of(set, Kit::of(&course, &words)).unwrap();
        let mut counts = BTreeSet::new();
        let mut seen = BTreeSet::new();
        let none = BTreeMap::new();
        for seed in 0..25_u32 {
            let seed = format!("paper {seed}");
            let order = Order {
                copies: 8,
                seed: &seed,
                attempt: 1,
                practice_sheets: 0,
                ease: &none,
            };
            let batch = prepared.batch(order).unwrap();
            // A fiftieth of the marks is all that blind ticking may bring more on one paper.
            assert!(
                batch.guess_gap <= Fraction::new(1, 50).unwrap(),
                "{:?}",
                batch.guess_gap
            );
            for sheet in &batch.sheets {
                assert_eq!(sheet.paper.items.len(), set.on_a_paper());
                counts.insert((sheet.paper.marks, count(&sheet.paper.items)));
                seen.extend(sheet.paper.items.iter().map(|item| item.question.clone()));
            }
        }
        assert_eq!(counts.len(), 1, "{counts:#?}");
        assert_eq!(seen.len(), set.questions.len(), "{}", set.id);
        let (_, counts) = counts.into_iter().next().unwrap();
        for share in &set.blueprint {
            let own = counts.iter().filter(|((topic, kind), _)| {
                let named = share.kind.is_none_or(|name| format!("{name:?}") == *kind);
                *topic == share.topic && named
            });
            assert_eq!(own.map(|(_, count)| count).sum::<usize>(), share.questions);
        }
    }
    assert_eq!(course.module.units, System::Us);
}
