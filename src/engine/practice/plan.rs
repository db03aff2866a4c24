//! The plan of a session: which questions, in which order.

use super::code::SessionCode;
use super::history::History;
use super::kit::Opened;
use crate::fingerprint::code_values;
use crate::quiz::{Chance, DRAW_VERSION, key};

/// Most questions of one session: each is a letter of its code, which people read out to each
/// other over the phone.
pub(super) const LENGTH: usize = 8;

/// Plans a session from chance that the page hands in. What was missed comes more often, up
/// to twice; no question follows itself while there is another.
pub fn plan(opened: &Opened, history: &History, day: i64, chance: &[u8]) -> SessionCode {
    let text = crate::fingerprint::hex_hash(chance);
    let seed = code_values(&key(&["session", DRAW_VERSION, &text]), 4);
    let ids: Vec<&str> =
        opened.data().questions.iter().map(|question| question.id.as_str()).collect();
    let length = LENGTH.min(ids.len() * 2);
    let mut chance = Chance::of(&["session-plan", DRAW_VERSION, &text]);
    let mut list: Vec<&str> = Vec::new();
    while list.len() < length {
        let weight = |id: &&str| {
            let asked = list.iter().filter(|other| *other == id).count();
            let follows = list.last() == Some(id) && ids.len() > 1;
            let weight = history.question(id, day).weight();
            match asked {
                _ if follows => 0,
                0 => weight,
                // A second time only for what was missed: others would take the place of
                // a question not yet seen.
                1 => weight.saturating_sub(4),
                _ => 0,
            }
        };
        let mut weights: Vec<u32> = ids.iter().map(weight).collect();
        // A set of few steady questions has nothing left that weighs; it is still a
        // session of this length.
        if weights.iter().all(|weight| *weight == 0) {
            let last = list.last().copied();
            let open = |id: &&str| u32::from(Some(*id) != last || ids.len() == 1);
            weights = ids.iter().map(open).collect();
        }
        let Some(id) = choose(&ids, &weights, &mut chance) else { break };
        list.push(id);
    }
    SessionCode::new(opened, &seed, &list)
}

fn choose<'i>(ids: &[&'i str], weights: &[u32], chance: &mut Chance) -> Option<&'i str> {
    let mut at = chance.below(weights.iter().sum());
    for (id, weight) in ids.iter().zip(weights) {
        match at.checked_sub(*weight) {
            None => return Some(id),
            Some(rest) => at = rest,
        }
    }
    None
}
