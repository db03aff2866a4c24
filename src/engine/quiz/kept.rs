//! Proofs that need not be made again: kept by the hash of everything they rest on.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::json;

use super::kit::Kit;
use super::proof::{Depth, Proof};
use crate::course::{Draw, Drill, Question, QuestionKind, Rig};
use crate::fingerprint::revision;

/// Raised when proofs look at other things than before.
const PROOF_VERSION: u32 = 1;

/// Proofs without a fault, by [`question_hash`].
pub type KeptProofs = BTreeMap<String, Proof>;

/// What is hashed.
#[derive(Serialize)]
struct Basis<'b> {
    question: &'b Question,
    formulas: crate::formulas::Reach,
    rigs: Vec<Option<&'b Rig>>,
    drill: Option<&'b Drill>,
    rules: serde_json::Value,
}

/// The hash of all that a question's proof rests on: its own text, the formulas it reaches, its
/// rig or drill, the units, the depth, whether its figures must be round, and the rules of drawing
/// and proving. Nothing when it has no canonical form; then it is proven every time.
pub fn question_hash(
    question: &Question,
    kit: Kit<'_>,
    (depth, round): (Depth, bool),
) -> Option<String> {
    let formula = match &question.kind {
        QuestionKind::Number { ask, .. }
        | QuestionKind::Choice { ask, .. }
        | QuestionKind::Verdict { ask }
        | QuestionKind::Judge { ask: Some(ask), .. } => Some(ask.feed.formula.as_str()),
        _ => None,
    };
    let lines = question.draws.iter().filter_map(|(_, draw)| match draw {
        Draw::FoamLineOf(rig) => Some(rig),
        _ => None,
    });
    let rigs: Vec<Option<&Rig>> =
        question.rig.iter().chain(lines).map(|id| kit.rigs.get(id)).collect();
    let drill: Option<&Drill> = match &question.kind {
        QuestionKind::Order { drill, .. } => {
            kit.drills.iter().find(|known| known.id == *drill)
        }
        _ => None,
    };
    // All that a proof rests on beside the question itself: another program or another rule of
    // drawing proves anew.
    let rules = json!({
        "program": env!("CARGO_PKG_VERSION"),
        "draw": super::DRAW_VERSION,
        "proof": PROOF_VERSION,
        "system": kit.system,
        "depth": depth,
        "round": round,
    });
    let formulas = kit.library.reach(formula);
    revision(&Basis { question, formulas, rigs, drill, rules }).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quiz::fixture::{self, Department, q};

    #[test]
    fn what_a_proof_rests_on_changes_its_hash() {
        let department = Department::new();
        let hash = |question: &Question, depth| {
            question_hash(question, department.kit(), (depth, false)).unwrap()
        };
        let question = fixture::number();
        let first = hash(&question, Depth::Sampled);
        assert_eq!(first, hash(&question, Depth::Sampled));
        assert_ne!(first, hash(&question, Depth::Thorough));
        let mut other = question.clone();
        other.draws[0].1 = Draw::Of(vec![q("0.5 %"), q("1 %")]);
        assert_ne!(first, hash(&other, Depth::Sampled));
        let mut line = question;
        line.draws.push(("line".into(), Draw::FoamLineOf("engine-1".into())));
        let before = hash(&line, Depth::Sampled);
        let mut rigs = fixture::rigs();
        rigs.get_mut("engine-1").unwrap().outlets[0].flow = q("100 gpm");
        let kit = Kit { rigs: &rigs, ..department.kit() };
        assert_ne!(before, question_hash(&line, kit, (Depth::Sampled, false)).unwrap());
    }
}
