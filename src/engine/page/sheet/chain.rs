//! Drills run one after the other: a head leaf with results per drill, then a leaf for each.

use super::leaf::{Bench, Leaf, ScoredRun, Written};
use super::parts::{cautions, cell, column, led, mark, named, table};
use super::sides::{self, filled_count};
use crate::course::{Chain, Drill};
use crate::page::Node;
use crate::scoring::{Kit, Outcome};

/// What the head leaf says of a chain.
#[derive(Debug, Clone, Copy)]
pub struct ChainHead<'c> {
    /// Title.
    pub title: &'c str,
    /// What it is for.
    pub about: &'c str,
}

impl<'c> ChainHead<'c> {
    /// The head of a chain of the course.
    pub fn of(chain: &'c Chain) -> Self {
        Self { title: &chain.title, about: &chain.about }
    }
}

/// A blank sheet of a chain; the kits are those of its drills that the rig can do, in order.
/// Nothing for none.
pub fn blank_chain(bench: Bench<'_>, chain: ChainHead<'_>, kits: &[Kit]) -> Vec<Node> {
    let all =
        1 + kits.iter().map(|kit| sides::count(kit, Written::Nothing)).sum::<usize>();
    let written = Written::Nothing;
    let mut before = 1;
    let leaf = |kit| {
        let leaf = Leaf { bench, kit, written, before, all };
        before += sides::count(kit, written);
        leaf
    };
    let leaves: Vec<Leaf<'_>> = kits.iter().map(leaf).collect();
    let Some(first) = leaves.first() else { return Vec::new() };
    let mut sides = vec![head(*first, chain, &leaves)];
    sides.extend(leaves.iter().flat_map(|leaf| sides::of(*leaf)));
    sides
}

/// The head leaf of a chain that was run, with the result of each drill.
pub(super) fn filled_head(
    bench: Bench<'_>,
    chain: ChainHead<'_>,
    runs: &[ScoredRun<'_>],
    all: usize,
) -> Option<Node> {
    let mut before = 1;
    let leaves = runs.iter().map(|run| {
        let written = Written::Run(run.sheet, run.verdict);
        let leaf = Leaf { bench, kit: run.kit, written, before, all };
        before += filled_count(run.kit);
        leaf
    });
    let leaves: Vec<Leaf<'_>> = leaves.collect();
    // Who stopped it, and what was written after it, stands with the drill it belongs to.
    let stopped = runs.iter().position(|run| run.sheet.stop.is_some()).unwrap_or(0);
    Some(head(*leaves.get(stopped)?, chain, &leaves))
}

/// `front` says what is declared, stopped and written for all of them.
fn head(front: Leaf<'_>, chain: ChainHead<'_>, leaves: &[Leaf<'_>]) -> Node {
    let bench = front.bench;
    let drills: Vec<&Drill> = leaves.iter().map(|leaf| leaf.kit.drill()).collect();
    let warned = bench.house.gravest(&drills);
    let stop = &front.kit.drill().stop;
    let stop = [("word", stop.word.as_str()), ("sign", stop.sign.as_str())];
    let aloud = led(&bench.label("aloud"), bench.say("aloud", &stop));
    let mut kids = vec![Node::text("p", chain.about)];
    kids.extend(front.head());
    kids.push(Node::new("div").class("so-aloud").holding([aloud]));
    kids.push(cautions(&warned, true, bench.words));
    kids.push(results(bench, leaves));
    kids.push(front.stop());
    kids.extend(front.after());
    kids.push(Node::text("p", bench.label("seen-not-agreed")).class("so-fine"));
    let page = bench.page(1, front.all);
    let revision = bench.rig_revision(front.kit);
    let top =
        bench.top((chain.title, true), None, (bench.label("chain"), page), revision);
    front.dressed(bench.side(front.kit, top, &warned, kids))
}

/// A row for each drill, and one for the crew, whose result is kept apart.
fn results(bench: Bench<'_>, leaves: &[Leaf<'_>]) -> Node {
    let head = [
        column("so-act", bench.label("results")),
        column("so-thin", bench.label("page")),
    ];
    let outcomes =
        Outcome::ALL.iter().map(|known| column("so-mark", bench.outcome(*known)));
    let head = head.into_iter().chain(outcomes);
    let head = head.chain([Node::text("th", bench.label("initials"))]);
    let row = |leaf: &Leaf<'_>| {
        let outcome = leaf.verdict().map(|verdict| verdict.outcome);
        let boxes = Outcome::ALL.iter().map(|known| mark(outcome == Some(*known)));
        Node::new("tr")
            .holding([
                named(&leaf.kit.drill().title, bench.drill_revision(leaf.kit)),
                cell("so-thin", (leaf.before + 1).to_string()),
            ])
            .holding(boxes)
            .holding([cell("so-value", "")])
    };
    let name = Node::text("b", bench.label("crew-result"));
    let crew = Node::new("tr")
        .holding([Node::new("td").class("so-act").holding([name]), cell("so-thin", "")])
        .holding(Outcome::ALL.iter().map(|_| mark(false)))
        .holding([cell("so-value", "")]);
    table("so-marks", head, leaves.iter().map(row).chain([crew]))
}
