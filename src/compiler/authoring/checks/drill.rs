//! A drill against itself and the rigs it is run on.

use std::collections::{BTreeMap, BTreeSet};

use super::values::above;
use super::{Checked, Spot};
use crate::course::{
    AgentUse, Drill, Edge, Foam, FoamSide, Line, Meaning, Measure, Mode, Physical,
};
use crate::findings::{Code, Finding};
use crate::scoring::runs_on;

pub(super) fn check(checked: &Checked<'_>) {
    for drill in &checked.course.drills {
        let spot = checked.sheet("drills", &drill.id);
        short(checked, drill, &spot);
        placed(checked, drill, &spot);
        slow_work(checked, drill, &spot);
        runoff(checked, drill, &spot);
        permitted(checked, drill, &spot);
        recirculation(checked, drill, &spot);
        circle(checked, &spot);
        for measure in &drill.measures {
            let spot = spot.at("measures").entry("measure", &measure.id);
            fine(checked, measure, &spot.at("tolerance"));
        }
    }
}

/// Letters of a short name, because a key of the officers' index, at its narrowest, has room for no
/// more in two lines.
const SHORT: usize = 18;

/// The short name fits where the title does not.
fn short(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let Some(short) = &drill.short else { return };
    let found = short.chars().count();
    if found > SHORT {
        let finding = Finding::at(Code::ShortTooLong, spot.at("short").place());
        let finding = finding.with("short", short.clone());
        checked.note(finding.with("found", found.to_string()));
    }
}

/// Flushing, bleeding, filling and climbing are never done against a watch.
fn slow_work(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let work = match physical(drill) {
        Physical::Flush => "flushing",
        Physical::Purge => "bleeding a line",
        Physical::Refill => "filling a concentrate tank",
        Physical::Climb => "climbing and lifting",
        Physical::Other => return,
    };
    if drill.time.is_some() {
        let finding = Finding::at(Code::TimeOnSlowWork, spot.at("time").key());
        checked.note(finding.with("work", work));
    }
}

/// The kind of work, by how the rig stands before and after it where its author calls it other work: a
/// word takes no watch off a line that is flushed or bled, or off a tank that is filled.
fn physical(drill: &Drill) -> Physical {
    let (before, after) = (&drill.starts_with, &drill.leaves);
    let filled = Some(Meaning::FoamAdded);
    let drained = after.line == Some(Line::Drained)
        && matches!(before.line, Some(Line::Charged | Line::Flowing));
    if drill.physical != Physical::Other {
        drill.physical
    } else if drill.readings.iter().any(|one| one.is == filled)
        || drill.measures.iter().any(|one| one.is == filled)
    {
        Physical::Refill
    // A line that stood under pressure and is drained afterwards was bled on the way.
    } else if drained {
        Physical::Purge
    } else if before.foam == Some(Foam::On) && after.foam == Some(Foam::Off) {
        Physical::Flush
    } else {
        Physical::Other
    }
}

/// Foam on the ground needs a place for the water.
fn runoff(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    if drill.runoff.is_some() {
        return;
    }
    let foams = |mode: &Mode| matches!(mode, Mode::TrainingFoam | Mode::Agent);
    if drill.agent == AgentUse::TrainingFoam {
        checked.note(Finding::at(Code::NoRunoffPlan, spot.at("agent").place()));
    } else if drill.modes.iter().any(foams) {
        checked.note(Finding::at(Code::NoRunoffPlan, spot.at("modes").key()));
    }
}

/// A drill that no rig is one for has no sheet, and nobody would be told. While something cannot be
/// read nothing is said: it may be what the drill is for.
fn placed(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let rigs = &checked.course.rigs;
    // A rig of a name that leads nowhere is told where it is named.
    let rigs_named = spot.at("for").at("rigs").items();
    let unknown =
        rigs_named.iter().any(|rig| checked.told_at(Code::UnknownId, &rig.place()));
    if !checked.broken && !unknown && !rigs.values().any(|rig| runs_on(rig, drill)) {
        let place = match drill.rigs {
            Some(_) => spot.at("for").key(),
            None => spot.at("drill").place(),
        };
        let finding = Finding::at(Code::DrillOnNoRig, place);
        checked.note(finding.with("name", drill.title.clone()));
    }
}

/// No mode discharges what nobody permits to be discharged for training (rule 25).
fn permitted(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let foams = |mode: &Mode| matches!(mode, Mode::TrainingFoam | Mode::Agent);
    if !drill.modes.iter().any(foams) {
        return;
    }
    let class = drill.class();
    for rig in checked.course.rigs.values().filter(|rig| runs_on(rig, drill)) {
        if let Some(eductor) = rig.containers_not_for_training(class) {
            let finding =
                Finding::at(Code::ContainersNotPermitted, spot.at("modes").key());
            let finding = finding.with("rig", rig.title.clone());
            checked.note(finding.with("eductor", eductor));
        }
        let Some((tank, agent)) = rig.not_for_training(class) else { continue };
        // A concentrate that is not there is told where the tank names it, and one that cannot be
        // read where it cannot.
        let unread = checked.torn.contains(checked.sheet("concentrates", agent).file());
        if !unread && rig.agents.iter().any(|one| one.id == agent) {
            let finding = Finding::at(Code::FoamNotPermitted, spot.at("modes").key());
            let finding = finding.with("rig", rig.title.clone()).with("agent", agent);
            checked.note(finding.with("tank", tank.title.clone()));
        }
    }
}

/// The path water goes round by must lie before the injection on every rig that has it.
fn recirculation(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let Some(path) = &drill.recirculates else { return };
    let spot = spot.at("recirculates");
    let rigs = checked.course.rigs.values();
    let paths = || rigs.clone().flat_map(|rig| rig.returns.iter().map(move |p| (rig, p)));
    // Rigs share the names of their paths; a name twice would stand for a doubled id.
    let known: BTreeSet<String> = paths().map(|(_, path)| path.id.clone()).collect();
    let known: Vec<String> = known.into_iter().collect();
    if known.is_empty() {
        return;
    }
    checked.among("return path", &known, &spot);
    for (rig, found) in paths() {
        if found.id == *path && found.side == FoamSide::AfterInjection {
            let finding = Finding::at(Code::RecirculatesFoam, spot.place());
            let finding = finding.with("path", found.title.clone());
            checked.note(finding.with("rig", rig.title.clone()));
        }
    }
}

/// Rules that, with those before them, no run can keep; and those against the sequence in which the
/// drill itself prints and teaches its steps, which break for whoever does as it is printed.
fn circle(checked: &Checked<'_>, drill: &Spot<'_>) {
    let mut rules: Vec<(Spot<'_>, Spot<'_>)> = Vec::new();
    for critical in drill.at("criticals").items() {
        for link in critical.at("links").items() {
            let then = link.at("then").items();
            rules.extend(then.into_iter().map(|then| (link.at("order"), then)));
        }
    }
    let order = drill.at("order").items();
    rules.extend(order.iter().map(|rule| (rule.at("first"), rule.at("then"))));
    let steps = drill.at("steps").ids("step");
    let at = |id: &str| steps.iter().position(|step| step == id);
    let mut after: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (first, then) in &rules {
        let Some((before, later)) = first.text().zip(then.text()) else { continue };
        // What closes a circle is told as that alone: some rule of it is
        // always against the sequence. It is left out below, or every
        // rule behind it would close one too.
        if reaches(&after, later, before) {
            let finding = Finding::at(Code::OrderCircle, then.place());
            checked.note(finding.with("first", before).with("then", later));
        } else {
            if at(before).zip(at(later)).is_some_and(|(before, later)| before > later) {
                let finding = Finding::at(Code::OrderBackwards, then.place());
                checked.note(finding.with("first", before).with("then", later));
            }
            after.entry(before.to_owned()).or_default().insert(later.to_owned());
        }
    }
}

fn reaches(after: &BTreeMap<String, BTreeSet<String>>, from: &str, to: &str) -> bool {
    let mut waiting = vec![from];
    let mut seen = BTreeSet::new();
    while let Some(step) = waiting.pop() {
        if step == to {
            return true;
        }
        if seen.insert(step) {
            waiting.extend(after.get(step).into_iter().flatten().map(String::as_str));
        }
    }
    false
}

/// Nobody can read a deviation that the instrument does not show. No deviation at all is
/// allowed: it means that the very value must be shown.
fn fine(checked: &Checked<'_>, measure: &Measure, spot: &Spot<'_>) {
    for (edge, key) in
        [(&measure.tolerance.below, "below"), (&measure.tolerance.above, "above")]
    {
        if let Edge::Absolute(value) = edge
            && value.base().sign().is_gt()
            && above(&measure.resolution, value)
        {
            let finding = Finding::at(Code::ToleranceTooFine, spot.at(key).place());
            let finding = finding.with("tolerance", value.printed());
            checked.note(finding.with("resolution", measure.resolution.printed()));
        }
    }
}
