//! What an author can write that takes the force out of a standard without a fault of its own:
//! links that nothing can show, limits that nothing is beyond, posts that only seem to speak.

use super::{Checked, Spot};
use crate::course::{
    Bind, Critical, Drill, Edge, Expect, How, Link, Meaning, Measure, Mode, Rig, Whose,
};
use crate::findings::{Code, Finding};
use crate::quantity::Fraction;
use crate::scoring::{nine_tenths, runs_on};

pub(super) fn check(checked: &Checked<'_>) {
    for drill in &checked.course.drills {
        let spot = checked.sheet("drills", &drill.id);
        roles(checked, drill, &spot);
        for critical in &drill.criticals {
            let own = spot.at("criticals").entry("critical", &critical.id);
            links(checked, (drill, critical), &own);
        }
        for measure in &drill.measures {
            let own = spot.at("measures").entry("measure", &measure.id);
            limit(checked, (drill, measure), &own);
            gauge(checked, (drill, measure), &own);
            repeats(checked, (drill, measure), &own);
        }
    }
}

/// Rule 26: a role that is marked as spoken and does more stays somebody else's. A role with a
/// result of its own has an act that can fail it, or the result says less than it seems to.
fn roles(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    for role in &drill.roles {
        let own = spot.at("roles").entry("role", &role.id);
        let of = |code, place| Finding::at(code, place).with("role", role.title.clone());
        // Both are told in one walk, because a role that is both has two faults and one
        // line to mend.
        if role.scripted && !role.only_speaks(drill) {
            checked.note(of(Code::ScriptedWorks, own.at("scripted").key()));
        }
        let critical = drill.criticals.iter().any(|one| one.role == role.id);
        // A critical that is itself told as faulty may be the one that is missed here.
        let told = spot.at("criticals").items().iter().any(|one| {
            let whose = one.at("role").text().map(str::trim);
            one.at("reason").node().is_none()
                || !drill.roles.iter().any(|role| whose == Some(role.id.as_str()))
        });
        if role.scored && !critical && !told {
            checked.note(of(Code::RoleUncritical, own.at("scored").key()));
        }
    }
}

/// A critical of which, on a rig that has it, no link can show anything in any mode that shows
/// foam or is said to meet the drill.
fn links(checked: &Checked<'_>, (drill, critical): (&Drill, &Critical), spot: &Spot<'_>) {
    let empty =
        |link: &&Link| matches!(link, Link::Order { then, .. } if then.is_empty());
    for (at, _) in critical.links.iter().enumerate().filter(|(_, link)| empty(link)) {
        let own = spot.at("links").at(at.to_string());
        let finding = Finding::at(Code::LinkUnshown, own.at("order").place());
        checked.note(finding.with("rig", "any").with("critical", critical.id.clone()));
    }
    // What waits for foam is told once, of the drill.
    let own = critical.condition();
    if drill.awaits_foam(&own) && !drill.does(&own) {
        return;
    }
    // Rig by rig: a critical that one rig can show and another cannot leaves the crew of
    // the other without it.
    let rigs = checked.course.rigs.values().filter(|rig| runs_on(rig, drill));
    for rig in rigs.filter(|rig| critical.condition().lacks(rig).is_none()) {
        // A walk-through shows that somebody knows the order and nothing else, so that it
        // proves no link.
        let mut modes = critical.modes.iter().filter(|mode| **mode != Mode::WalkThrough);
        let shown = modes.any(|mode| {
            critical.links.iter().any(|link| shows(drill, link, (rig, *mode)))
        });
        // One without any link is told as that.
        if !shown && !critical.links.is_empty() {
            let finding = Finding::at(Code::LinkUnshown, spot.at("links").key());
            let finding = finding.with("rig", rig.title.clone());
            checked.note(finding.with("critical", critical.id.clone()));
            return;
        }
    }
}

/// Whether a link can show anything on a rig in a mode.
fn shows(drill: &Drill, link: &Link, (rig, mode): (&Rig, Mode)) -> bool {
    let step = |id: &String| {
        let step = drill.steps.iter().find(|step| step.id == *id);
        step.is_some_and(|step| {
            let condition = step.condition();
            condition.lacks(rig).is_none() && condition.shown_in(mode)
        })
    };
    match link {
        Link::Order { first, then } => step(first) && then.iter().any(step),
        Link::Answer { cue, step: answer } => {
            let cue = drill.cues.iter().find(|one| one.id == *cue);
            let given = cue.is_some_and(|cue| {
                let condition = cue.condition();
                condition.lacks(rig).is_none() && condition.shown_in(mode)
            });
            given && step(answer)
        }
        Link::Hold { step: held } => step(held),
        Link::Limit { measure, .. } => {
            let measure = drill.measures.iter().find(|one| one.id == *measure);
            measure.is_some_and(|measure| step(&measure.step))
        }
        Link::Free { .. } => true,
    }
}

/// A value of a step that repeats and is asked for once: the second line would be held to nothing.
fn repeats(checked: &Checked<'_>, (drill, measure): (&Drill, &Measure), spot: &Spot<'_>) {
    let mut steps = drill.steps.iter();
    let step = steps.find(|step| step.id == measure.step);
    let of_step = step.is_some_and(|step| step.each.is_some());
    let repeats = drill.steps.iter().any(|step| step.each.is_some());
    let (code, at) = match (measure.each.is_some(), measure.together) {
        (true, true) => (Code::RepeatsBoth, "together"),
        (false, false) if of_step => (Code::RepeatsApart, "step"),
        (true, false) if !of_step => (Code::RepeatsAlone, "each"),
        (false, true) if !repeats => (Code::RepeatsAlone, "together"),
        (false, false) if repeats && of_outlet(measure) => (Code::OutletOnce, "measure"),
        _ => return,
    };
    let finding = Finding::at(code, spot.at(at).place());
    checked.note(finding.with("name", measure.label.clone()));
}

/// Whether what is expected of a value rests on figures of the outlet in use.
fn of_outlet(measure: &Measure) -> bool {
    fn rests(bind: &Bind) -> bool {
        match bind {
            Bind::Rig(name) => name.starts_with("outlet."),
            Bind::Rows(rows) => rows.iter().flat_map(|row| row.values()).any(rests),
            Bind::Value(_) | Bind::Word(_) | Bind::Named(_) => false,
        }
    }
    match &measure.expect {
        Expect::Bound(bind) => rests(bind),
        Expect::Formula(feed) => feed.with.values().any(rests),
    }
}

/// A limit, or an outcome, that no value is beyond; and what is set or said, written as the rig's.
fn limit(checked: &Checked<'_>, (drill, measure): (&Drill, &Measure), spot: &Spot<'_>) {
    let of = |code, place| Finding::at(code, place).with("name", measure.label.clone());
    let said = measure.how == How::Set
        || matches!(measure.is, Some(Meaning::PercentSet | Meaning::MinutesTold));
    if said && measure.whose == Whose::Machine {
        checked.note(of(Code::ActOfRig, spot.at("whose").place()));
    }
    // Whether each critical that rests on it asks for the report alone.
    let links = drill.criticals.iter().flat_map(|critical| &critical.links);
    let asked: Vec<bool> = links
        .filter_map(|link| match link {
            Link::Limit { measure: id, unreported } if *id == measure.id => {
                Some(*unreported)
            }
            _ => None,
        })
        .collect();
    let linked = !asked.is_empty();
    // What the machine did breaks nothing; that nobody reported it may.
    let machine = measure.whose == Whose::Machine && !asked.contains(&true);
    let edges = measure.limit.as_ref().filter(|_| linked).unwrap_or(&measure.tolerance);
    let never = never(&edges.below, true) && never(&edges.above, false);
    // What is set or said has a band on one side at least, or no mark of it is ever lost.
    let band = &measure.tolerance;
    let idle = self::never(&band.below, true) && self::never(&band.above, false);
    let idle = idle && measure.whose == Whose::Act;
    if idle || ((linked || measure.critical) && (never || machine)) {
        let key = if !idle && linked && measure.limit.is_some() {
            "limit"
        } else {
            "tolerance"
        };
        checked.note(of(Code::LimitNever, spot.at(key).key()));
    }
}

/// Rule 18 a: a pressure above nine tenths of the hose test is told by a value beyond it. Where no value
/// can be written that is, because the gauge ends before, such a run is refused and never not met.
fn gauge(checked: &Checked<'_>, (drill, measure): (&Drill, &Measure), spot: &Spot<'_>) {
    let pressure = measure.is == Some(Meaning::PumpPressure);
    let Some(most) = measure.most.as_ref().filter(|_| pressure) else { return };
    let most_shown = most.base().settled();
    let rigs = checked.course.rigs.values().filter(|rig| runs_on(rig, drill));
    let tests =
        rigs.flat_map(|rig| &rig.outlets).filter_map(|one| one.service_test.as_ref());
    let beyond = tests
        .filter_map(nine_tenths)
        .any(|limit| most_shown.is_some_and(|most| most <= limit));
    if beyond {
        let finding = Finding::at(Code::LimitNever, spot.at("most").place());
        checked.note(finding.with("name", measure.label.clone()));
    }
}

/// Whether no value is beyond an edge. What cannot be below nothing is not below all of it.
fn never(edge: &Edge, below: bool) -> bool {
    match edge {
        Edge::Open => true,
        Edge::Relative(share) => {
            let share = share.number().mul(share.unit().factor());
            below && share.is_some_and(|share| share >= Fraction::ONE)
        }
        Edge::Absolute(_) => false,
    }
}
