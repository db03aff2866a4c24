//! Air on a line without confirmed foam, in every drill (rule 18 f).
//!
//! A drill says of its steps what they do to the air. Their orders decide also where its author
//! wrote no critical for them; where he did, the critical is asked about, and told once.

use super::evidence::Evidence;
use super::links::{Shows, one, told};
use super::say;
use super::stands::flows;
use super::verdict::{Decision, Line, Rule};
use crate::course::{Air, Condition, Does, DrillState, Link, Step};

/// The line on the air, where the drill has steps that work it and no critical of the candidate
/// covers them.
pub(super) fn air(evidence: Evidence<'_>) -> Option<Line> {
    let kit = evidence.kit;
    // Nothing can be opened where nothing runs, or where there is no air.
    if kit.rig().compressor.is_none() || !flows(evidence.sheet.mode) {
        return None;
    }
    let links: Vec<Link> =
        links(evidence).into_iter().filter(|link| !covered(evidence, link)).collect();
    let shows: Vec<Shows> = links.iter().flat_map(|link| one(evidence, link)).collect();
    let words = kit.words();
    // The gravest first: seen, open, not shown.
    let find = |wanted: fn(&Shows) -> bool| shows.iter().find(|shows| wanted(shows));
    let broken = find(Shows::speaks_for);
    let open = find(Shows::is_open);
    let silent = links.is_empty() && untold(evidence);
    let (decision, key, because) = match (broken, open) {
        (Some(broken), _) => (Decision::Fails, "limit-air", told(words, broken)),
        (None, Some(open)) => (Decision::Unseen, "limit-air-open", told(words, open)),
        (None, None) if silent || shows.contains(&Shows::NotShown) => {
            (Decision::InPart, "limit-not-shown", None)
        }
        (None, None) => return None,
    };
    let label = words.get("scoring.limit.air");
    let because = because.unwrap_or_default();
    let blanks = [("because", because.as_str()), ("what", label.as_str())];
    let line = say::line(words, Rule::Limit, "air", &label).saw(because.clone(), "");
    // words: scoring.line.{limit-air|limit-air-open|limit-not-shown}
    Some(line.means(words, decision, key, &blanks))
}

/// What the steps say by themselves: foam is confirmed before the air opens, the air is shut
/// before the foam, and on a cue that is answered by shutting the air it is shut.
fn links(evidence: Evidence<'_>) -> Vec<Link> {
    let steps = &evidence.kit.drill().steps;
    let before = |at: usize, does: Does| {
        let earlier = steps.iter().take(at);
        earlier.rev().find(|step| step.is == Some(does)).map(|step| step.id.clone())
    };
    let mut found = Vec::new();
    for (at, step) in steps.iter().enumerate() {
        let own = step.role == evidence.sheet.role;
        let first = match step.is.filter(|_| own) {
            Some(Does::OpensAir) => before(at, Does::ConfirmsFoam),
            Some(Does::ShutsFoam) => before(at, Does::ShutsAir),
            Some(Does::ShutsAir) => {
                found.extend(answer(step));
                None
            }
            Some(Does::ConfirmsFoam | Does::ShutsTank) | None => None,
        };
        found.extend(
            first.map(|first| Link::Order { first, then: vec![step.id.clone()] }),
        );
    }
    found
}

/// Whether a drill says that it works the air, and none of its steps says what it does to air or
/// foam, nor any critical rests on the air: then nothing of the sheet could show
/// that the rule was broken.
fn untold(evidence: Evidence<'_>) -> bool {
    let drill = evidence.kit.drill();
    let on = |state: &DrillState| state.air == Some(Air::OnIfFitted);
    let works = |condition: Condition<'_>| condition.needs == Some("compressor");
    let role = &evidence.sheet.role;
    let mut steps = drill.steps.iter().filter(|step| works(step.condition())).peekable();
    // Whoever has such a step works it; where only the states tell, whoever begins the drill.
    let worked = match steps.peek() {
        Some(_) => steps.any(|step| step.role == *role),
        None => {
            on(&drill.starts_with) != on(&drill.leaves)
                && drill.steps.first().is_some_and(|step| step.role == *role)
        }
    };
    let told = drill
        .steps
        .iter()
        .any(|step| step.is.is_some_and(|does| does != Does::ShutsTank));
    let mut criticals = drill.criticals.iter();
    worked && !told && !criticals.any(|critical| works(critical.condition()))
}

fn answer(step: &Step) -> Option<Link> {
    let cue = step.cue.clone()?;
    Some(Link::Answer { cue, step: step.id.clone() })
}

/// Whether a critical of the candidate rests on the same; it is asked about there.
fn covered(evidence: Evidence<'_>, link: &Link) -> bool {
    let own = evidence.kit.drill().criticals.iter();
    // What does not stand on this rig asks nobody.
    let rig = evidence.kit.rig();
    let mut own = own.filter(|critical| {
        critical.role == evidence.sheet.role && critical.condition().lacks(rig).is_none()
    });
    own.any(|critical| critical.links.iter().any(|known| same(known, link)))
}

fn same(known: &Link, link: &Link) -> bool {
    match (known, link) {
        (Link::Order { first, then }, Link::Order { first: one, then: other }) => {
            first == one && other.iter().all(|step| then.contains(step))
        }
        _ => known == link,
    }
}
