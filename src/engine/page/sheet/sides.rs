//! How a drill's sheet is spread over its sides.
//!
//! Two sides of one leaf are what an officer holds on a clipboard, and fifteen steps and eight
//! numbers are what they hold without being squeezed. What is more goes on a second leaf.

use super::drawn::table_rows;
use super::leaf::{Leaf, Written};
use super::{back, front};
use crate::page::Node;
use crate::scoring::Kit;

/// Steps that fit on the back together with all that is decided there, because a box for a
/// gloved hand is eight millimetres high.
const MOST_STEPS: usize = 15;

/// Numbers that fit on the front, readings and measured values, because each wants a line that
/// can be written on.
const MOST_NUMBERS: usize = 8;

/// Numbers that stay on the front where the steps ask for a third side anyway: five criticals and
/// what must be done then have their room, whatever is struck out on a line.
const MOST_BESIDE_LONG_STEPS: usize = 6;

fn long_front(kit: &Kit) -> bool {
    let drill = kit.drill();
    let most = if long_back(kit) { MOST_BESIDE_LONG_STEPS } else { MOST_NUMBERS };
    drill.readings.len() + drill.measures.len() > most
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
    let drill = kit.drill();
    let numbers = drill.readings.len() + drill.measures.len() + rows;
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
    let parts = [
        (if long_front(kit) { 2 } else { 0 }, front::numbers(leaf)),
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
