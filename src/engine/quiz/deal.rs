//! Which questions stand on which paper: as many of each topic and of each weight on all of
//! them, and as hard as each other where past results say how hard a question is.

use std::collections::{BTreeMap, BTreeSet};

use super::chance::Chance;
use crate::course::{Question, QuestionSet};
use crate::quantity::Fraction;

/// Deals that are tried before the best of them is taken. Each is cheap, and more than this
/// hardly ever brings the papers nearer to each other.
const MOST_DEALS: u32 = 50;

/// A question as far as dealing it out goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Card<'q> {
    pub(super) id: &'q str,
    pub(super) topic: &'q str,
    pub(super) marks: u32,
    /// Which line of the set's blueprint takes it, from 0.
    pub(super) share: Option<usize>,
    /// Share of right answers so far, where there are enough of them.
    pub(super) ease: Option<Fraction>,
    /// Share of its marks that blind ticking brings on average.
    pub(super) guess: Fraction,
}

/// How many questions of what a paper takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Shares {
    /// So many, of each topic in proportion.
    Wanted(usize),
    /// So many of each line of a blueprint.
    Lines(Vec<usize>),
}

impl Shares {
    /// Of a set.
    pub(super) fn of(set: &QuestionSet) -> Self {
        if set.blueprint.is_empty() {
            return Self::Wanted(set.on_a_paper());
        }
        Self::Lines(set.blueprint.iter().map(|share| share.questions).collect())
    }
}

/// The first line of a set's blueprint that takes a question.
pub(super) fn share_of(set: &QuestionSet, question: &Question) -> Option<usize> {
    set.blueprint.iter().position(|share| share.takes(question))
}

/// Questions of a set that stand on no graded paper, whatever the seed: their topic, line or
/// weight gets no place.
pub fn never_drawn<'s>(set: &'s QuestionSet) -> Vec<&'s str> {
    let card = |question: &'s Question| Card {
        id: &question.id,
        topic: &question.topic,
        marks: question.marks,
        share: share_of(set, question),
        ease: None,
        guess: Fraction::ZERO,
    };
    let cards: Vec<Card<'_>> = set.questions.iter().map(card).collect();
    let blocks = blocks(&cards, &Shares::of(set));
    let drawn: BTreeSet<usize> = blocks.into_iter().flatten().collect();
    let cards = cards.iter().enumerate().filter(|(at, _)| !drawn.contains(at));
    cards.map(|(_, card)| card.id).collect()
}

/// Questions dealt out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Deal {
    /// Places of the cards on each paper, in the order in which they were dealt.
    pub(super) papers: Vec<Vec<usize>>,
    /// How far the easiest and the hardest paper are apart in their mean share of right
    /// answers; none without past results.
    pub(super) gap: Option<Fraction>,
    /// How far the papers are apart in the share of their marks that blind ticking brings.
    pub(super) guess_gap: Fraction,
    /// Which deal it is, from 1.
    pub(super) number: u32,
}

/// Deals cards to papers.
///
/// Within each line of the blueprint, or each topic, and each weight the cards are put in order
/// from the easiest, cut into as many blocks as a paper takes of them, and each block is dealt by
/// a shuffle of the papers. When the papers are more than one fiftieth apart, in what was right
/// before or in what is guessed, the next deal is tried, with the chance of its number.
pub(super) fn deal(
    cards: &[Card<'_>],
    shares: &Shares,
    papers: usize,
    chance: &dyn Fn(u32) -> Chance,
) -> Deal {
    let blocks = blocks(cards, shares);
    // The best and not the last: most deals of a small set are never even, and the number
    // of tries must not decide how uneven a paper is.
    let mut best: Option<Deal> = None;
    for number in 1..=MOST_DEALS {
        let dealt = once(&blocks, papers, &mut chance(number));
        let (gap, guess_gap) = (gap(cards, &dealt), guess_gap(cards, &dealt));
        let deal = Deal { papers: dealt, gap, guess_gap, number };
        // Two in a hundred: the results of a few classes say nothing finer.
        let enough = Some(deal.apart()) <= Fraction::new(1, 50);
        // Of equal deals the first stays, so that the number of the deal is settled.
        if best.as_ref().is_none_or(|best| deal.apart() < best.apart()) {
            best = Some(deal);
        }
        // Stopping early keeps papers of a large set the same when the limit of deals is
        // raised.
        if enough {
            break;
        }
    }
    best.unwrap_or(Deal {
        papers: vec![Vec::new(); papers],
        gap: None,
        guess_gap: Fraction::ZERO,
        number: 1,
    })
}

impl Deal {
    /// The larger of both distances.
    fn apart(&self) -> Fraction {
        // The worse of the two: a paper that is even in what was right before and uneven in
        // what is guessed is still another paper.
        self.gap.map_or(self.guess_gap, |gap| gap.max(self.guess_gap))
    }
}

/// The cards cut into blocks; every paper takes one card of each.
fn blocks(cards: &[Card<'_>], shares: &Shares) -> Vec<Vec<usize>> {
    let all = || cards.iter().enumerate();
    match shares {
        Shares::Wanted(wanted) => {
            let mut topics: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
            for (at, card) in all() {
                topics.entry(card.topic).or_default().push(at);
            }
            let counts = topics.iter().map(|(topic, places)| (*topic, places.len()));
            let shares = in_proportion(&counts.collect(), *wanted);
            let cut = |(topic, share): (&str, usize)| {
                by_weight(cards, topics.get(topic).map_or(&[], Vec::as_slice), share)
            };
            shares.into_iter().flat_map(cut).collect()
        }
        Shares::Lines(lines) => {
            let cut = |(line, share): (usize, &usize)| {
                let own = all().filter(|(_, card)| card.share == Some(line));
                let places: Vec<usize> = own.map(|(at, _)| at).collect();
                by_weight(cards, &places, (*share).min(places.len()))
            };
            lines.iter().enumerate().flat_map(cut).collect()
        }
    }
}

/// Cards of one topic or line cut into blocks, each weight by itself.
fn by_weight(cards: &[Card<'_>], places: &[usize], share: usize) -> Vec<Vec<usize>> {
    let common = mean(cards.iter().filter_map(|card| card.ease));
    let mut groups: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for at in places {
        let marks = cards.get(*at).map_or(0, |card| card.marks);
        groups.entry(marks).or_default().push(*at);
    }
    let counts = groups.iter().map(|(marks, places)| (*marks, places.len()));
    let mut blocks = Vec::new();
    for (marks, share) in in_proportion(&counts.collect(), share) {
        let mut places = groups.remove(&marks).unwrap_or_default();
        let order = |at: &usize| {
            let card = cards.get(*at);
            let ease = card.and_then(|card| card.ease).or(common);
            let guess = card.map(|card| card.guess);
            // Of equal ease by what is guessed, then by id, so that the order of the file
            // changes no paper.
            (std::cmp::Reverse(ease), guess, card.map(|card| card.id))
        };
        places.sort_by_key(order);
        // Blocks of neighbours in ease: one card of each block on a paper, so the papers
        // are alike.
        let edge = |part: usize| (part * places.len()).div_euclid(share.max(1));
        let cut = |part| places.get(edge(part)..edge(part + 1)).unwrap_or_default();
        blocks.extend((0..share).map(|part| cut(part).to_vec()));
    }
    blocks
}

fn once(blocks: &[Vec<usize>], papers: usize, chance: &mut Chance) -> Vec<Vec<usize>> {
    let mut dealt = vec![Vec::new(); papers];
    for block in blocks {
        let mut block = block.clone();
        if block.len() > papers {
            chance.shuffle(&mut block);
        }
        let mut order: Vec<usize> = (0..papers).collect();
        chance.shuffle(&mut order);
        // A block with fewer cards than papers goes round: each card is as often on a paper.
        for (paper, card) in order.into_iter().zip(block.iter().cycle()) {
            if let Some(paper) = dealt.get_mut(paper) {
                paper.push(*card);
            }
        }
    }
    dealt
}

fn gap(cards: &[Card<'_>], papers: &[Vec<usize>]) -> Option<Fraction> {
    let common = mean(cards.iter().filter_map(|card| card.ease))?;
    let ease = |at: &usize| cards.get(*at).and_then(|card| card.ease).unwrap_or(common);
    let means: Option<Vec<Fraction>> =
        papers.iter().map(|paper| mean(paper.iter().map(ease))).collect();
    let means = means?;
    means.iter().max()?.sub(*means.iter().min()?)
}

/// How far the papers are apart in the share of their marks that blind ticking brings.
fn guess_gap(cards: &[Card<'_>], papers: &[Vec<usize>]) -> Fraction {
    let of_paper = |paper: &Vec<usize>| {
        let (mut reached, mut marks) = (Fraction::ZERO, 0);
        for card in paper.iter().filter_map(|at| cards.get(*at)) {
            let own = card.guess.mul(Fraction::whole(i128::from(card.marks)))?;
            (reached, marks) = (reached.add(own)?, marks + i128::from(card.marks));
        }
        reached.div(Fraction::whole(marks.max(1)))
    };
    let shares: Option<Vec<Fraction>> = papers.iter().map(of_paper).collect();
    let shares = shares.unwrap_or_default();
    let ends = shares.iter().max().zip(shares.iter().min());
    ends.and_then(|(most, least)| most.sub(*least)).unwrap_or(Fraction::ZERO)
}

fn mean(values: impl Iterator<Item = Fraction>) -> Option<Fraction> {
    let (mut sum, mut count) = (Fraction::ZERO, 0);
    for value in values {
        sum = sum.add(value)?;
        count += 1;
    }
    sum.div(Fraction::whole(count))
}

/// How many of each kind make `wanted` altogether: in proportion to the counts, the largest
/// remainders first, then in the order of the kinds.
fn in_proportion<K: Ord + Copy>(
    counts: &BTreeMap<K, usize>,
    wanted: usize,
) -> BTreeMap<K, usize> {
    let all: usize = counts.values().sum();
    let wanted = wanted.min(all);
    let all = all.max(1);
    let mut out = BTreeMap::new();
    let mut rests: Vec<(usize, K)> = Vec::new();
    for (kind, count) in counts {
        out.insert(*kind, (count * wanted).div_euclid(all));
        rests.push(((count * wanted).rem_euclid(all), *kind));
    }
    // Largest remainders first, as seats are given out; equal ones by name.
    rests.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let given: usize = out.values().sum();
    for (_, kind) in rests.into_iter().take(wanted.saturating_sub(given)) {
        *out.entry(kind).or_default() += 1;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_of_the_reference() {
        let text = include_str!("../../../tests/reference/assessment-checks.json");
        let file: serde_json::Value = serde_json::from_str(text).unwrap();
        let cases = file["cases"].as_array().unwrap().iter();
        let mut seen = 0;
        for case in cases.filter(|case| case["topic"] == "parallel_forms") {
            seen += 1;
            let set = case["input"]["dataset"].as_str().unwrap();
            let rows = file["datasets"][set]["rows"].as_array().unwrap();
            let cards: Vec<Card<'_>> = rows
                .iter()
                .map(|row| Card {
                    id: row["id"].as_str().unwrap(),
                    topic: row["topic"].as_str().unwrap(),
                    marks: 1,
                    share: None,
                    guess: Fraction::ZERO,
                    ease: Fraction::read(&row["p"].to_string()),
                })
                .collect();
            let papers =
                usize::try_from(case["input"]["forms"].as_u64().unwrap()).unwrap();
            let parts = case["input"]["seed_parts"].as_array().unwrap();
            let chance = |number: u32| {
                let number = number.to_string();
                let mut parts: Vec<&str> =
                    parts.iter().map(|part| part.as_str().unwrap()).collect();
                parts.push(&number);
                Chance::of(&parts)
            };
            let wanted = Shares::Wanted(rows.len().div_euclid(papers));
            let found = deal(&cards, &wanted, papers, &chance);
            let ids: Vec<Vec<&str>> = found
                .papers
                .iter()
                .map(|paper| paper.iter().map(|at| cards[*at].id).collect())
                .collect();
            let wanted = &case["expected"];
            assert_eq!(serde_json::json!(ids), wanted["ids"], "{}", case["library"]);
            assert_eq!(serde_json::json!(found.number), wanted["attempt"]);
            let wanted = format!("{:.9}", wanted["max_gap"].as_f64().unwrap());
            let away = found.gap.unwrap().sub(Fraction::read(&wanted).unwrap()).unwrap();
            assert!(away.absolute() < Fraction::new(1, 100_000_000).unwrap());
        }
        assert!(seen > 1, "no reference case for forms");
    }

    #[test]
    fn every_paper_has_the_same_topics_and_weights() {
        let names: Vec<String> = (0..19).map(|at| format!("q{at:02}")).collect();
        let cards: Vec<Card<'_>> = names
            .iter()
            .enumerate()
            .map(|(at, id)| Card {
                id,
                topic: ["flush", "order", "stock"][at % 3],
                marks: if at % 4 == 0 { 2 } else { 1 },
                share: None,
                guess: Fraction::ZERO,
                ease: (at % 2 == 0).then(|| Fraction::new(at as i128, 20).unwrap()),
            })
            .collect();
        let chance = |number: u32| Chance::of(&["test", &number.to_string()]);
        let found = deal(&cards, &Shares::Wanted(9), 8, &chance);
        let mut kinds = BTreeSet::new();
        let mut uses = vec![0; cards.len()];
        for paper in &found.papers {
            assert_eq!(paper.len(), 9);
            assert_eq!(paper.iter().collect::<BTreeSet<_>>().len(), 9, "twice on one");
            let mut kind: Vec<_> =
                paper.iter().map(|at| (cards[*at].topic, cards[*at].marks)).collect();
            kind.sort_unstable();
            kinds.insert(kind);
            for at in paper {
                uses[*at] += 1;
            }
        }
        assert_eq!(kinds.len(), 1, "{kinds:?}");
        // A kind with many cards and a small share is not used up by eight papers.
        assert!(uses.iter().filter(|count| **count > 0).count() >= 12, "{uses:?}");
        assert_eq!(found, deal(&cards, &Shares::Wanted(9), 8, &chance));
    }

    /// 200 papers by a blueprint: the same counts of every line on each, and neither guessing nor
    /// what was right before tells them apart by more than is said.
    #[test]
    fn papers_of_a_blueprint_are_alike() {
        let names: Vec<String> = (0..30).map(|at| format!("q{at:02}")).collect();
        let cards: Vec<Card<'_>> = names
            .iter()
            .enumerate()
            .map(|(at, id)| Card {
                id,
                topic: "any",
                marks: 1,
                share: Some(at % 3),
                ease: Fraction::new(40 + (at as i128 * 7) % 50, 100),
                guess: match at % 3 {
                    0 => Fraction::ZERO,
                    _ => Fraction::new(1, 2 + (at as i128) % 3).unwrap(),
                },
            })
            .collect();
        let lines = vec![4, 3, 3];
        let chance = |number: u32| Chance::of(&["blueprint", &number.to_string()]);
        let found = deal(&cards, &Shares::Lines(lines.clone()), 200, &chance);
        let mut seen = BTreeSet::new();
        for paper in &found.papers {
            let of =
                |line| paper.iter().filter(|at| cards[**at].share == Some(line)).count();
            assert_eq!((0..3).map(of).collect::<Vec<_>>(), lines);
            assert_eq!(paper.iter().collect::<BTreeSet<_>>().len(), 10, "twice on one");
            seen.extend(paper.iter().copied());
        }
        assert_eq!(seen.len(), cards.len(), "each question comes up");
        // Blocks of a line hold cards alike in ease; a tenth is what is left between papers.
        let tenth = Fraction::new(1, 10).unwrap();
        assert!(found.gap.unwrap() <= tenth, "{:?}", found.gap);
        assert!(found.guess_gap <= tenth, "{:?}", found.guess_gap);
    }
}
