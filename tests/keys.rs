//! Keys and wrong choices of all questions of both examples, US and metric, over many seeds.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::course::{Course, Draw, PercentBasis, QuestionKind, QuestionSet};
use drillwright::formulas::SlipKind;
use drillwright::quantity::{Comma, Fraction, System};
use drillwright::quiz::{
    Item, ItemKey, Kit, Order, Outcome, Prepared, PreparedSet, Purpose, Ticket, Variant,
};
use drillwright::stock;

use crate::engine::example;
use crate::metric::course as metric;

/// Seeds for each question; the slow profile of every day tries fewer.
const SEEDS: u32 = if cfg!(debug_assertions) { 60 } else { 1000 };

fn each(mut look: impl FnMut(&Course, &drillwright::course::Question, &Variant)) {
    let words = stock::words();
    for course in [example(), metric()] {
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
            // Typed as it is printed it is right where the paper prints it so, whichever basis
            // gave it; where it is told as the slip it is another printed figure.
            if let (QuestionKind::Number { .. }, Some(wrong)) = (&question.kind, told) {
                let marked = variant.mark(&wrong.text, Comma::Unfixed, &words);
                assert_eq!(marked.outcome, Outcome::Wrong, "{} {key:?}", question.id);
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

/// Every question of a set comes up on its papers, and no paper of a set is easier to guess or
/// shorter of marks than another, whatever the seed; sets without a blueprint too.
#[test]
fn every_question_comes_up_and_papers_weigh_alike() {
    let words = stock::words();
    let mut asked = 0;
    for course in [example(), metric()] {
        for set in &course.sets {
            let prepared = PreparedSet::of(set, Kit::of(&course, &words)).unwrap();
            let (mut seen, mut marks) = (BTreeSet::new(), BTreeSet::new());
            let none = BTreeMap::new();
            for seed in 0..if cfg!(debug_assertions) { 15_u32 } else { 125 } {
                let seed = format!("weighed {seed}");
                let order = Order {
                    copies: 8,
                    seed: &seed,
                    attempt: 1,
                    practice_sheets: 0,
                    ease: &none,
                };
                let batch = prepared.batch(order).unwrap();
                assert!(batch.guess_gap <= Fraction::new(1, 50).unwrap(), "{}", set.id);
                for sheet in &batch.sheets {
                    assert_eq!(sheet.paper.items.len(), set.on_a_paper(), "{}", set.id);
                    marks.insert(sheet.paper.marks);
                    seen.extend(
                        sheet.paper.items.iter().map(|item| item.question.clone()),
                    );
                }
            }
            asked += seen.len();
            assert_eq!(marks.len(), 1, "{}: {marks:?}", set.id);
            assert_eq!(seen.len(), set.questions.len(), "{}", set.id);
        }
    }
    assert!(asked > 40, "{asked}");
}

/// On paper nobody can ask whose percent it is: a question that is worked by one basis and is of
/// no rig says which, and one of a rig does not say it twice.
#[test]
fn a_question_names_its_basis_or_is_of_a_rig() {
    let words = stock::words();
    let says = |text: &str, basis: &str| {
        text.contains(&words.get(&format!("quiz.basis.{basis}")))
    };
    let mut named = BTreeMap::new();
    each(|course, question, variant| {
        let (QuestionKind::Number { ask, .. }
        | QuestionKind::Choice { ask, .. }
        | QuestionKind::Verdict { ask }) = &question.kind
        else {
            return;
        };
        let only = course.bases.iter().find_map(|asked| asked.only(&ask.feed.formula));
        let drawn = |(_, draw): &(String, Draw)| matches!(draw, Draw::FoamLineOf(_));
        let rig = question.rig.is_some() || question.draws.iter().any(drawn);
        let text = &variant.item().text;
        let told = (says(text, "solution"), says(text, "water"));
        let wanted = match (rig, only) {
            (false, Some(PercentBasis::Solution)) => (true, false),
            (false, Some(PercentBasis::Water)) => (false, true),
            _ => (false, false),
        };
        // A question may name it besides where its formula is of neither.
        if question.basis.is_none() || only.is_some() {
            assert_eq!(told, wanted, "{}: {text}", question.id);
        }
        *named.entry(told).or_insert(0) += 1;
    });
    assert!(named.len() > 1, "{named:?}");
}
