//! Which questions stand on which paper: as many of each topic and of each weight on all of
//! them, and as hard as each other where past results say how hard a question is.

use std::collections::BTreeMap;

use super::chance::Chance;
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
    /// Share of right answers so far, where there are enough of them.
    pub(super) ease: Option<Fraction>,
}

/// Questions dealt out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Deal {
    /// Places of the cards on each paper, in the order in which they were dealt.
    pub(super) papers: Vec<Vec<usize>>,
    /// How far the easiest and the hardest paper are apart in their mean share of right
    /// answers; none without past results.
    pub(super) gap: Option<Fraction>,
    /// Which deal it is, from 1.
    pub(super) number: u32,
}

/// Deals cards to papers, `wanted` to each.
///
/// Within each topic and weight the cards are put in order from the easiest, cut into as many
/// blocks as a paper takes of them, and each block is dealt by a shuffle of the papers. When the
/// papers are more than one fiftieth apart, the next deal is tried, with the chance of its
/// number.
pub(super) fn deal(
    cards: &[Card<'_>],
    wanted: usize,
    papers: usize,
    chance: &dyn Fn(u32) -> Chance,
) -> Deal {
    let blocks = blocks(cards, wanted);
    let mut best: Option<Deal> = None;
    for number in 1..=MOST_DEALS {
        let dealt = once(&blocks, papers, &mut chance(number));
        let gap = gap(cards, &dealt);
        // Two in a hundred: the results of a few classes say nothing finer.
        let enough = gap.is_none_or(|gap| Some(gap) <= Fraction::new(1, 50));
        // Of equal deals the first stays, so that the number of the deal is settled.
        if best.as_ref().is_none_or(|best| gap < best.gap) {
            best = Some(Deal { papers: dealt, gap, number });
        }
        if enough {
            break;
        }
    }
    best.unwrap_or(Deal { papers: vec![Vec::new(); papers], gap: None, number: 1 })
}

/// The cards cut into blocks; every paper takes one card of each.
fn blocks(cards: &[Card<'_>], wanted: usize) -> Vec<Vec<usize>> {
    let common = mean(cards.iter().filter_map(|card| card.ease));
    let mut groups: BTreeMap<(&str, u32), Vec<usize>> = BTreeMap::new();
    for (at, card) in cards.iter().enumerate() {
        groups.entry((card.topic, card.marks)).or_default().push(at);
    }
    let mut topics: BTreeMap<&str, usize> = BTreeMap::new();
    for card in cards {
        *topics.entry(card.topic).or_default() += 1;
    }
    let topics = shares(&topics, wanted);
    let mut blocks = Vec::new();
    for (topic, share) in topics {
        let weights: BTreeMap<u32, usize> = groups
            .iter()
            .filter(|((of, _), _)| *of == topic)
            .map(|((_, marks), places)| (*marks, places.len()))
            .collect();
        for (marks, share) in shares(&weights, share) {
            let mut places = groups.remove(&(topic, marks)).unwrap_or_default();
            let order = |at: &usize| {
                let card = cards.get(*at);
                let ease = card.and_then(|card| card.ease).or(common);
                // Of equal ease by id, so that the order of the file changes no paper.
                (std::cmp::Reverse(ease), card.map(|card| card.id))
            };
            places.sort_by_key(order);
            // Blocks of neighbours in ease: one card of each block on a paper, so the papers
            // are alike.
            let edge = |part: usize| (part * places.len()).div_euclid(share.max(1));
            let cut = |part| places.get(edge(part)..edge(part + 1)).unwrap_or_default();
            blocks.extend((0..share).map(|part| cut(part).to_vec()));
        }
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
fn shares<K: Ord + Copy>(
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
    use std::collections::BTreeSet;

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
            let found = deal(&cards, rows.len().div_euclid(papers), papers, &chance);
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
                ease: (at % 2 == 0).then(|| Fraction::new(at as i128, 20).unwrap()),
            })
            .collect();
        let chance = |number: u32| Chance::of(&["test", &number.to_string()]);
        let found = deal(&cards, 9, 8, &chance);
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
        assert_eq!(found, deal(&cards, 9, 8, &chance));
    }
}
