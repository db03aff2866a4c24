//! Entries of a run sheet that contradict each other (rule 7): both stay, and the run is
//! incomplete until somebody says which of them holds.

use super::criticals::told;
use super::evidence::{Came, Evidence};
use super::expected::Day;
use super::fault::Fault;
use super::kit::Kit;
use super::order::Precedence;
use super::say;
use super::stands::{Standing, flows, stands};
use crate::course::{
    CriticalMark, How, Mark, Meaning, Measure, Mode, OrderRule, OrderSeen, PairSeen,
    RunSheet,
};
use crate::quantity::{Dimension, find};

/// The name of a step as it is told.
fn name<'k>(kit: &'k Kit, id: &'k str) -> &'k str {
    let step = kit.drill().steps.iter().find(|step| step.id == id);
    step.map_or(id, |step| say::short(&step.action))
}

/// Every such pair of entries that no other question asks about.
pub(super) fn contradictions(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let mut found = impossible(kit, sheet);
    found.extend(pairs(kit, sheet));
    found.extend(circle(kit, sheet));
    found.extend(not_to_be_seen(kit, sheet));
    found.extend(begun(kit, sheet));
    found.extend(sentences(kit, sheet));
    found.extend(cues(kit, sheet));
    found.extend(others(kit, sheet));
    found.extend(taken_away(kit, sheet));
    found.extend(as_manual(kit, sheet));
    found
}

/// A pair that is said both ways round, or otherwise than the order of the sheet.
fn pairs(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let evidence = Evidence { kit, sheet };
    let mut found = Vec::new();
    for (pair, seen) in &sheet.pairs {
        let Some((first, then)) = pair.split_once(" > ") else { continue };
        let way = match seen {
            PairSeen::Seen => Came::InOrder,
            PairSeen::Reversed => Came::Reversed,
            PairSeen::NotSeen => continue,
        };
        let other = match sheet.pairs.get(&format!("{then} > {first}")) {
            Some(PairSeen::Seen) => Some(Came::Reversed),
            Some(PairSeen::Reversed) => Some(Came::InOrder),
            Some(PairSeen::NotSeen) | None => None,
        };
        let places = evidence.place(first).zip(evidence.place(then));
        let listed =
            places.map(
                |(first, then)| {
                    if first < then { Came::InOrder } else { Came::Reversed }
                },
            );
        // A pair of one step with itself comes neither first nor last.
        let against = [other, listed].into_iter().flatten().any(|said| said != way);
        if against || first == then {
            let fault = Fault::asks(&["pairs", pair], "pair-contradicts");
            let fault = fault.with("name", name(kit, first));
            found.push(fault.with("other", name(kit, then)));
        }
    }
    found
}

/// Pairs that lead back to where they began: one of them is wrong, whichever it is.
fn circle(kit: &Kit, sheet: &RunSheet) -> Option<Fault> {
    let way = |(pair, seen): (&String, &PairSeen)| {
        let (first, then) = pair.split_once(" > ")?;
        let (first, then) = (first.to_owned(), then.to_owned());
        match seen {
            PairSeen::Seen => Some((first, then)),
            PairSeen::Reversed => Some((then, first)),
            PairSeen::NotSeen => None,
        }
    };
    let ways: Vec<(String, String)> = sheet.pairs.iter().filter_map(way).collect();
    let rule = |(first, then): &(String, String)| OrderRule {
        first: first.clone(),
        then: then.clone(),
        because: String::new(),
        cannot: false,
    };
    let known = Precedence::of(&ways.iter().map(rule).collect::<Vec<_>>());
    // Two that contradict each other alone are told as a pair.
    let alone = |first: &String, then: &String| {
        ways.iter().any(|(one, other)| one == then && other == first)
    };
    let (first, then) = ways.iter().find(|(first, then)| {
        first != then && known.before(then, first) && !alone(first, then)
    })?;
    let fault = Fault::asks(&["pairs"], "pairs-in-a-circle");
    Some(fault.with("name", name(kit, first)).with("other", name(kit, then)))
}

/// Rule 7 d for what stands in a list: a step that this mode or this line cannot show is neither
/// in an order nor undone.
fn not_to_be_seen(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    if sheet.mode == Mode::WalkThrough {
        return Vec::new();
    }
    let listed: &[String] = match &sheet.order_seen {
        OrderSeen::Listed(steps) => steps,
        OrderSeen::AsPrinted | OrderSeen::NotWatched => &[],
    };
    let lists = [("order-seen", listed), ("undone", sheet.undone.as_slice())];
    let mut found = Vec::new();
    for (list, ids) in lists {
        for (at, id) in ids.iter().enumerate() {
            let step = kit.drill().steps.iter().find(|step| step.id == *id);
            let Some(step) = step else { continue };
            if stands(kit, sheet.mode, step.condition()) != Standing::Stands {
                let path = [list, &at.to_string()];
                let fault = Fault::asks(&path, "listed-not-to-be-seen");
                found.push(fault.with("name", say::short(&step.action)));
            }
        }
    }
    found
}

/// Rule 7 g: what cannot be done at all before, or without, something else.
fn impossible(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let evidence = Evidence { kit, sheet };
    let mut found = Vec::new();
    for rule in kit.drill().order.iter().filter(|rule| rule.cannot) {
        let steps = evidence.step(&rule.first).zip(evidence.step(&rule.then));
        let Some((first, then)) = steps else { continue };
        let stand =
            [first, then].iter().all(|step| evidence.standing(step) == Standing::Stands);
        let both = (evidence.performed(first), evidence.performed(then));
        let against = match both {
            (Some(false), Some(true)) => true,
            (Some(true), Some(true)) => {
                evidence.came(&first.id, &then.id) == Came::Reversed
            }
            _ => false,
        };
        if stand && against {
            let fault = Fault::asks(&["marks", then.id.as_str()], "cannot-be-otherwise");
            let fault = fault.with("name", say::short(&then.action));
            let fault = fault.with("first", &first.id);
            found.push(fault.with("other", say::short(&first.action)));
        }
    }
    found
}

/// Whether something had begun is asked of a step that was prompted, and of no other.
fn begun(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let prompted = |id: &str| sheet.marks.get(id) == Some(&Mark::Prompted);
    let begun = sheet.begun.iter().filter(|(id, begun)| **begun && !prompted(id));
    let known =
        begun.filter(|(id, _)| kit.drill().steps.iter().any(|step| step.id == **id));
    let fault = |(id, _): (&String, &bool)| {
        Fault::asks(&["begun", id], "begun-not-prompted").with("name", name(kit, id))
    };
    known.map(fault).collect()
}

/// What was seen of an act is told, and the act is not marked as seen.
fn sentences(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let marked = |id: &String| {
        let mark = sheet.criticals.get(id);
        matches!(mark, Some(CriticalMark::Yes | CriticalMark::Prevented))
            || sheet.unsafe_acts.contains(id)
            || sheet.others_acts.contains_key(id)
    };
    let acts = kit.standard().unsafe_acts.iter().map(|act| (&act.id, &act.act));
    let criticals = kit.drill().criticals.iter().map(|one| (&one.id, &one.act));
    let told = criticals.chain(acts).filter(|(id, _)| !told(sheet, id).is_empty());
    let fault = |(id, act): (&String, &String)| {
        Fault::asks(&["happened", id], "told-not-marked").with("name", say::short(act))
    };
    told.filter(|(id, _)| !marked(id)).map(fault).collect()
}

/// Whoever marks that nobody answered has given the cue, or marked what was not to be seen.
fn cues(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let mut found = Vec::new();
    for step in &kit.drill().steps {
        let Some(id) = &step.cue else { continue };
        let cue = kit.drill().cues.iter().find(|cue| cue.id == *id);
        let shown = cue.is_some_and(|cue| {
            [cue.condition(), step.condition()]
                .into_iter()
                .all(|condition| stands(kit, sheet.mode, condition) == Standing::Stands)
        });
        let unanswered = sheet.marks.get(&step.id) == Some(&Mark::NotDone);
        if shown && unanswered && !sheet.cues.contains_key(id) {
            let fault = Fault::asks(&["marks", &step.id], "cue-unsaid");
            found.push(fault.with("name", say::short(&step.action)));
        }
    }
    found
}

/// The candidate alone holds a role that one person holds; whoever else stands there has his
/// acts mixed with the candidate's.
fn others(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let role = kit.drill().roles.iter().find(|role| role.id == sheet.role);
    let others = sheet.crew.get(&sheet.role).map_or(0, |holders| holders.0.len());
    let most = role.map_or(1, |role| role.wanted(false).max(role.wanted(true)));
    let many = usize::try_from(most).is_ok_and(|most| others + 1 > most);
    let fault = |role: &crate::course::Role| {
        let path = ["crew", sheet.role.as_str()];
        Fault::asks(&path, "role-shared").with("name", &role.title)
    };
    role.filter(|_| many && others > 0).map(fault).into_iter().collect()
}

/// Steps that were taken away name the act that did it, and were not done by the candidate
/// (rule 35).
fn taken_away(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let of_others = kit.drill().criticals.iter().any(|critical| {
        let mark = sheet.criticals.get(&critical.id);
        critical.role != sheet.role
            && matches!(mark, Some(CriticalMark::Yes | CriticalMark::Prevented))
    });
    let by_others = sheet.others_acts.values().any(|who| *who != sheet.candidate);
    let fault =
        |id: &String, key| Fault::asks(&["marks", id], key).with("name", name(kit, id));
    let key = |id: &String| match sheet.marks.get(id) {
        _ if !of_others && !by_others => Some("taken-away-untold"),
        Some(Mark::Done) => Some("taken-away-done"),
        _ => None,
    };
    let known = |id: &&String| kit.drill().steps.iter().any(|step| step.id == **id);
    let taken = sheet.took_away.iter().filter(known);
    taken.filter_map(|id| key(id).map(|key| fault(id, key))).collect()
}

/// A pressure or a time that an instrument shows of what flows.
fn shown(measure: &Measure) -> bool {
    let time = find(&measure.unit).is_some_and(|unit| unit.dimension == Dimension::TIME);
    measure.how == How::Shown && (measure.is == Some(Meaning::PumpPressure) || time)
}

/// "As the manual" is asked of a value that no card gives, and of no other (rule 20).
fn as_manual(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let day = Day::of_sheet(kit, kit.figures(&sheet.outlet), sheet).untold();
    let banded = |id: &String| {
        let measure = kit.drill().measures.iter().find(|measure| measure.id == *id)?;
        day.expected(measure).ok().map(|expected| (measure, expected.band))
    };
    let fault = |id: &String| {
        let (measure, band) = banded(id)?;
        let fault = Fault::asks(&["as-manual", id], "manual-has-band");
        Some(fault.with("label", &measure.label).with("band", band))
    };
    // Nothing that flows does so at no pressure and in no time, whatever the manual says (rule 16).
    let nothing = |id: &String| {
        let value =
            sheet.measures.get(id).filter(|value| value.number().signum() == 0)?;
        let measure = kit.drill().measures.iter().find(|measure| measure.id == *id)?;
        // Without a band nothing else would ask; where there is one the value is held against it.
        let bandless = || day.expected(measure).is_err_and(|no| no.is_bandless());
        let asked = flows(sheet.mode)
            && (sheet.as_manual.get(id) == Some(&true) || (shown(measure) && bandless()));
        let fault = Fault::asks(&["measures", id], "manual-has-nothing");
        asked.then(|| fault.with("label", &measure.label).with("found", value.printed()))
    };
    let shown_values = sheet.measures.keys();
    let found = sheet.as_manual.keys().filter_map(fault);
    found.chain(shown_values.filter_map(nothing)).collect()
}
