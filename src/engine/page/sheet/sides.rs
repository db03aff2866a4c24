//! How a drill's sheet is spread over its sides.
//!
//! Two sides of one leaf are what an officer holds on a clipboard, and fifteen steps and eight
//! numbers are what they hold without being squeezed. What is more goes on a second leaf.

use super::leaf::Leaf;
use super::{back, front};
use crate::page::Node;
use crate::scoring::Kit;

/// Steps that fit on the back together with all that is decided there, because a box for a
/// gloved hand is eight millimetres high.
const MOST_STEPS: usize = 15;

/// Numbers that fit on the front, readings and measured values, because each wants a line that
/// can be written on.
const MOST_NUMBERS: usize = 8;

fn long_front(kit: &Kit) -> bool {
    let drill = kit.drill();
    drill.readings.len() + drill.measures.len() > MOST_NUMBERS
}

fn long_back(kit: &Kit) -> bool {
    kit.drill().steps.len() > MOST_STEPS
}

/// How many sides the sheet of a drill has.
pub(super) fn count(kit: &Kit) -> usize {
    if long_front(kit) || long_back(kit) { 3 } else { 2 }
}

/// How many sides a filled sheet has: those of the blank, and one with every reason.
pub(super) fn filled_count(kit: &Kit) -> usize {
    count(kit) + 1
}

/// The sides of a leaf.
pub(super) fn of(leaf: Leaf<'_>) -> Vec<Node> {
    let mut front = front::who_and_criticals(leaf);
    let mut back = back::steps_and_order(leaf);
    let mut third = Vec::new();
    let (numbers, decided) = (front::numbers(leaf), back::decided_and_signed(leaf));
    // What is moved goes whole: half a table on another leaf is filled in by nobody.
    if long_front(leaf.kit) {
        third.extend(numbers);
    } else {
        front.extend(numbers);
    }
    if long_back(leaf.kit) {
        third.extend(decided);
    } else {
        back.extend(decided);
    }
    let mut sides = vec![leaf.side(0, front), leaf.side(1, back)];
    if !third.is_empty() {
        sides.push(leaf.side(2, third));
    }
    sides
}
