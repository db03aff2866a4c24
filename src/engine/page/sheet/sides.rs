//! How a drill's sheet is spread over its sides.
//!
//! Two sides of one leaf are what an officer holds on a clipboard, and fifteen steps and eight
//! numbers are what they hold without being squeezed; with fewer steps the local rules go to the back
//! and leave room for eleven numbers. What is more goes on a second leaf.

use std::collections::BTreeSet;

use super::drawn::table_rows;
use super::house::topics;
use super::leaf::{Leaf, Written};
use super::{back, front};
use crate::page::Node;
use crate::scoring::Kit;

/// Steps that fit on the back together with all that is decided there, because a box for a
/// gloved hand is 6.6 millimetres high and most steps are two lines of text.
const MOST_STEPS: usize = 15;

/// Numbers that fit on the front, readings and measured values, because each wants a line that
/// can be written on.
const MOST_NUMBERS: usize = 8;

/// Numbers that stay on the front where the steps ask for a third side anyway: five criticals and
/// what must be done then have their room, whatever is struck out on a line.
const MOST_BESIDE_LONG_STEPS: usize = 6;

/// Steps of a drill on whose back local rules have room: two steps less than the most are as high
/// as four rules in three columns.
const STEPS_WITH_LOCAL: usize = MOST_STEPS - 2;
const LOCAL_ON_BACK: usize = 4;

/// Numbers that fit on the front without the local rules: eight readings, four in a row, and three
/// measured values.
const MOST_WITHOUT_LOCAL: usize = 11;

fn numbers(kit: &Kit) -> usize {
    kit.drill().readings.len() + kit.drill().measures.len()
}

/// Whether the local rules stand on the back, so that all numbers stay on the front: one leaf is
/// worth more than the place of the rules.
fn local_on_back(kit: &Kit) -> bool {
    let drill = kit.drill();
    let local: BTreeSet<&String> = topics(drill).collect();
    drill.steps.len() <= STEPS_WITH_LOCAL
        && local.len() <= LOCAL_ON_BACK
        && drill.measures.len() <= MOST_WITHOUT_LOCAL - MOST_NUMBERS
        && drill.time.is_none()
        && (MOST_NUMBERS + 1..=MOST_WITHOUT_LOCAL).contains(&numbers(kit))
}

fn long_front(kit: &Kit) -> bool {
    let most = if long_back(kit) { MOST_BESIDE_LONG_STEPS } else { MOST_NUMBERS };
    numbers(kit) > most && !local_on_back(kit)
}

fn long_back(kit: &Kit) -> bool {
    kit.drill().steps.len() > MOST_STEPS
}

/// Where the tables of a numbered sheet stand, counted from 0; nothing where it has none. A line
/// of a table takes as much room as a number. They go where there is room: on the front of a
/// short sheet or of one whose numbers went to a third side, on a third side that holds but one of
/// numbers and verdict, else on a side of their own.
fn tables(kit: &Kit, written: Written<'_>) -> Option<usize> {
    let Written::Drawn(sheet) = written else { return None };
    sheet.outlet.as_ref()?;
    let rows = table_rows(kit);
    let numbers = numbers(kit) + rows;
    (rows > 0).then_some(match (long_front(kit), long_back(kit)) {
        (true, true) if rows <= MOST_NUMBERS => 0,
        (true, true) => 3,
        (false, false) if numbers <= MOST_NUMBERS => 0,
        _ => 2,
    })
}

/// How many sides the sheet of a drill has.
pub(super) fn count(kit: &Kit, written: Written<'_>) -> usize {
    let plain = if long_front(kit) || long_back(kit) { 3 } else { 2 };
    tables(kit, written).map_or(plain, |at| plain.max(at + 1))
}

/// How many sides a filled sheet has: those of the blank, and one with every reason.
pub(super) fn filled_count(kit: &Kit) -> usize {
    count(kit, Written::Nothing) + 1
}

/// The sides of a leaf.
pub(super) fn of(leaf: Leaf<'_>) -> Vec<Node> {
    let kit = leaf.kit;
    let mut sides =
        vec![front::who_and_criticals(leaf), back::steps_and_order(leaf), Vec::new()];
    sides.push(Vec::new());
    let numbers = if long_front(kit) { 2 } else { 0 };
    let local = if local_on_back(kit) { 1 } else { numbers };
    let parts = [
        (numbers, front::numbers(leaf)),
        (local, front::local(leaf).into_iter().collect()),
        (tables(kit, leaf.written).unwrap_or(0), leaf.tables().into_iter().collect()),
        (if long_back(kit) { 2 } else { 1 }, back::decided_and_signed(leaf)),
    ];
    // What is moved goes whole: half a table on another leaf is filled in by nobody.
    for (at, part) in parts {
        sides.get_mut(at).into_iter().for_each(|side| side.extend(part.iter().cloned()));
    }
    let filled = sides.into_iter().filter(|side| !side.is_empty());
    filled.enumerate().map(|(at, kids)| leaf.side(at, kids)).collect()
}
