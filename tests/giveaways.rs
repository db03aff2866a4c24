//! Over ten thousand seeds, nothing on a paper of the example tells which answer is right.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::course::{Course, Question, QuestionKind};
use drillwright::quiz::{Item, ItemKey, Kit, Prepared, Purpose, Ticket};
use drillwright::stock;

use crate::pages::example;

const SEEDS: u32 = 10_000;

/// What is looked for on each paper of one question.
#[derive(Debug, Default)]
struct Seen {
    papers: u32,
    positions: BTreeMap<usize, u32>,
    longest: u32,
    shortest: u32,
    fewest_digits: u32,
    most_digits: u32,
    ranks: BTreeMap<usize, u32>,
}

fn questions(course: &Course) -> Vec<&Question> {
    let all = course.sets.iter().flat_map(|set| &set.questions);
    all.filter(|question| {
        matches!(
            question.kind,
            QuestionKind::Choice { .. }
                | QuestionKind::Judge { .. }
                | QuestionKind::Verdict { .. }
        )
    })
    .collect()
}

/// Papers of every question, in turn, up to ten thousand altogether.
fn looked(course: &Course, mut look: impl FnMut(&Question, &Item, &ItemKey)) {
    let words = stock::words();
    let kit = Kit::of(course, &words);
    let prepared: Vec<(&Question, Prepared<'_>)> = questions(course)
        .into_iter()
        .map(|question| (question, Prepared::of(question, kit).unwrap()))
        .collect();
    for (seed, (question, prepared)) in (0..SEEDS).zip(prepared.iter().cycle()) {
        let seed = seed.to_string();
        let ticket = Ticket { purpose: Purpose::Graded, seed: &seed, attempt: 1 };
        let variant = prepared.variant(ticket, 1, &BTreeSet::new()).unwrap();
        look(question, variant.item(), variant.key());
    }
}

/// Digits between the zeros at either end.
fn digits(text: &str) -> usize {
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    digits.trim_matches('0').len()
}

/// Whether the right one alone has the most, or the fewest.
fn alone(values: &[usize], right: usize) -> (bool, bool) {
    let others = || values.iter().enumerate().filter(|(at, _)| *at != right);
    let mine = values[right];
    (others().all(|(_, other)| *other < mine), others().all(|(_, other)| *other > mine))
}

fn seen(course: &Course) -> BTreeMap<String, Seen> {
    let mut all: BTreeMap<String, Seen> = BTreeMap::new();
    looked(course, |question, item, key| {
        let seen = all.entry(question.id.clone()).or_default();
        let letter = key.letter.as_ref().unwrap();
        let right = item.options.iter().position(|option| option.letter == *letter);
        let right = right.unwrap();
        let lengths: Vec<usize> =
            item.options.iter().map(|option| option.text.chars().count()).collect();
        let (longest, shortest) = alone(&lengths, right);
        seen.papers += 1;
        *seen.positions.entry(right).or_default() += 1;
        seen.longest += u32::from(longest);
        seen.shortest += u32::from(shortest);
        if matches!(question.kind, QuestionKind::Choice { .. }) {
            let texts: Vec<&str> =
                item.options.iter().map(|option| option.text.as_str()).collect();
            let counts: Vec<usize> = texts.iter().map(|text| digits(text)).collect();
            let (most, fewest) = alone(&counts, right);
            seen.most_digits += u32::from(most);
            seen.fewest_digits += u32::from(fewest);
            let value = |text: &str| -> f64 {
                let number: String =
                    text.chars().filter(|c| c.is_ascii_digit() || *c == '.').collect();
                let number = text.split_once(':').map_or(number, |(minutes, rest)| {
                    format!("{minutes}{}", rest.split('\u{a0}').next().unwrap())
                });
                number.parse().unwrap()
            };
            let mine = value(texts[right]);
            let rank = texts.iter().filter(|text| value(text) < mine).count();
            *seen.ranks.entry(rank).or_default() += 1;
            // One unit and one number of decimals for all of them.
            let format = |text: &&str| {
                let (number, unit) = text.split_once('\u{a0}').unwrap_or((text, ""));
                let places = number.split_once('.').map_or(0, |(_, part)| part.len());
                (places, number.contains(':'), unit.to_owned())
            };
            let formats: BTreeSet<_> = texts.iter().map(format).collect();
            assert_eq!(formats.len(), 1, "{}: {texts:?}", question.id);
        }
    });
    all
}

#[test]
fn no_place_length_or_digit_gives_the_key_away() {
    let course = example();
    let all = seen(&course);
    assert_eq!(all.values().map(|seen| seen.papers).sum::<u32>(), SEEDS);
    let mut faults = Vec::new();
    for (id, seen) in &all {
        let options = u32::try_from(seen.positions.len()).unwrap();
        for count in seen.positions.values() {
            // Five standard deviations of an even share.
            let away = (count * options).abs_diff(seen.papers);
            if u64::from(away).pow(2) > 25 * u64::from(seen.papers * options) {
                faults.push(format!("{id}: places {:?}", seen.positions));
            }
        }
        // A choice with a mark that is right more often than not would be ticked by the mark.
        let marks = [seen.longest, seen.shortest, seen.most_digits, seen.fewest_digits];
        let ranks = seen.ranks.values().copied();
        let is_choice = !seen.ranks.is_empty();
        let told = marks.into_iter().any(|count| count * 2 > seen.papers);
        if is_choice
            && (told || ranks.into_iter().any(|rank| rank * 10 > seen.papers * 7))
        {
            faults.push(format!("{id}: {seen:?}"));
        }
    }
    // The sentences of a judgement stay the same, so they are looked at together.
    let judged = questions(&course);
    let judged = judged.iter().filter(|q| matches!(q.kind, QuestionKind::Judge { .. }));
    let judged: Vec<&Seen> = judged.map(|question| &all[&question.id]).collect();
    let count = |of: fn(&Seen) -> u32| judged.iter().filter(|seen| of(seen) > 0).count();
    let (longest, shortest) = (count(|seen| seen.longest), count(|seen| seen.shortest));
    if longest.max(shortest) * 2 > judged.len() {
        faults
            .push(format!("{longest} longest, {shortest} shortest of {}", judged.len()));
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
