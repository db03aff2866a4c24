//! The sign-off sheet: blank, with the names of who is due, filled; of a drill and of a chain.
//!
//! A side is a table whose head and foot repeat on every leaf: the head says which revision of
//! what it is, the foot carries the cautions and the sentence that local procedures decide. A
//! leaf has a front (who, criticals, numbers) and a back (steps, stop, verdict, signatures); a
//! filled one has a third side with every reason of its verdict.
//!
//! Expected values come from `scoring`, so that a sheet and a verdict can never differ.

mod house;
mod parts;
mod leaf;
mod who;
mod measures;
mod drawn;
mod front;
mod sides;
mod back;
mod chain;

pub use chain::{ChainHead, blank_chain};
pub use house::House;
pub use leaf::{Bench, ScoredRun};

use self::leaf::{Leaf, Written};
use self::sides::filled_count;
use super::node::Node;
use super::verdict;
use crate::course::{Due, foam_outlets};
use crate::scoring::{
    Crew, DrawnSheet, Joint, Kit, Verdict, crew, has_repeats, jointly, one_candidate,
};

/// A blank sheet of a drill on a rig, with the names of who is due where somebody is.
pub fn blank(bench: Bench<'_>, kit: &Kit, due: Option<&Due>) -> Vec<Node> {
    let written = due.map_or(Written::Nothing, Written::Names);
    // What repeats has a row for each line that foams; those that were not used stay empty.
    let mut foam = foam_outlets(kit.rig()).map(|outlet| outlet.id.clone());
    let first = foam.next().filter(|_| has_repeats(kit.drill()));
    let on_lines = first.map(|first| kit.on_lines(&first, &foam.collect::<Vec<_>>()));
    let kit = on_lines.as_deref().unwrap_or(kit);
    let all = sides::count(kit, written);
    sides::of(Leaf { bench, kit, written, before: 0, all })
}

/// A numbered sheet: what was drawn for it stands there, and every figure that follows from it.
pub fn numbered(bench: Bench<'_>, kit: &Kit, sheet: &DrawnSheet) -> Vec<Node> {
    let on_line = kit.on_line(sheet.outlet.as_deref().unwrap_or_default());
    let (kit, written) = (on_line.as_ref(), Written::Drawn(sheet));
    let all = sides::count(kit, written);
    sides::of(Leaf { bench, kit, written, before: 0, all })
}

/// Several sheets in one document to print: each begins on a leaf of its own, whatever side the
/// one before it ends on.
pub fn one_after_the_other(sheets: impl Iterator<Item = Vec<Node>>) -> Vec<Node> {
    let mut all: Vec<Node> = Vec::new();
    for mut sheet in sheets {
        if let Some(first) = sheet.first_mut().filter(|_| !all.is_empty()) {
            first.with.insert("class", "so-side so-leaf".into());
        }
        all.extend(sheet);
    }
    all
}

/// The filled sheets of a run, unsigned: one for each candidate and each drill, after the head
/// leaf of its chain.
pub fn filled(
    bench: Bench<'_>,
    chain: Option<ChainHead<'_>>,
    runs: &[ScoredRun<'_>],
) -> Vec<Node> {
    let mut before = usize::from(chain.is_some());
    let all =
        runs.iter().map(|run| filled_count(&run.on_lines())).sum::<usize>() + before;
    let mut sides = Vec::new();
    sides.extend(chain.and_then(|head| chain::filled_head(bench, head, runs, all)));
    for run in runs {
        let written = Written::Run(run.sheet, run.verdict);
        let on_lines = run.on_lines();
        let kit = on_lines.as_ref();
        let leaf = Leaf { bench, kit, written, before, all };
        // The others of the same drill: their results make the crew's, and those of who watched the
        // same candidate make one.
        let drill = |other: &&ScoredRun<'_>| other.sheet.drill == run.sheet.drill;
        let of_drill: Vec<_> =
            runs.iter().filter(drill).map(|other| (other.sheet, other.verdict)).collect();
        let mut watched = of_drill.clone();
        watched.retain(|(other, _)| one_candidate(other, run.sheet));
        let others =
            Beside { joint: jointly(&watched, bench.words), crew: crew(kit, &of_drill) };
        sides.extend(sides::of(leaf));
        sides.push(reasons(leaf, run.verdict, &others));
        before += filled_count(kit);
    }
    sides
}

/// What the other sheets of a run make of one.
struct Beside {
    joint: Option<Joint>,
    crew: Option<Crew>,
}

/// The last side of a filled sheet: the verdict with every reason.
fn reasons(leaf: Leaf<'_>, of: &Verdict, beside: &Beside) -> Node {
    let words = leaf.bench.words;
    let mut kids = vec![parts::heading(leaf.bench.label("verdict"))];
    kids.extend(verdict::result(of, words));
    kids.extend(verdict::against(of, words));
    // Before the crew's: one evaluator's verdict alone is no result where another one differs.
    let joint = beside.joint.as_ref().map(|joint| verdict::of_joint(joint, words));
    kids.extend(joint.into_iter().flatten());
    let crew = beside.crew.iter();
    kids.extend(crew.flat_map(|crew| verdict::of_crew(crew, words)));
    kids.extend(verdict::follows(of, words));
    kids.extend(verdict::others(of, words));
    let said = Node::new("div").with("data-private", "").holding(kids);
    leaf.side(sides::count(leaf.kit, leaf.written), [said])
}
