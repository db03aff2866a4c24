//! What takes the force out of a drill although each part of it may be written so: a sum that decides
//! nothing, a reading that nobody repeats, criticals that nothing but a word holds, values that are
//! held against the same figure every day.

use super::{Checked, Spot};
use crate::course::{
    Bind, Does, Drill, Expect, Foam, How, Link, Meaning, Measure, Mode, Physical, Rig,
    Role, Whose,
};
use crate::findings::{Code, Finding};
use crate::quantity::{Dimension, Kind, Quantity, find};
use crate::scoring::runs_on;

/// A role with fewer steps is short enough for its evaluator to weigh by eye. Common practice of ours.
const SEVERAL: usize = 4;

pub(super) fn check(checked: &Checked<'_>) {
    for drill in &checked.course.drills {
        let spot = checked.sheet("drills", &drill.id);
        second_reader(checked, drill, &spot);
        met_never(checked, drill, &spot);
        supply(checked, drill, &spot);
        report(checked, drill, &spot);
        nowhere(checked, drill, &spot);
        for role in drill.roles.iter().filter(|role| role.scored) {
            few_weigh(checked, (drill, role), &spot);
            free_alone(checked, (drill, role), &spot);
            elsewhere(checked, (drill, role), &spot);
        }
        for measure in &drill.measures {
            let own = spot.at("measures").entry("measure", &measure.id);
            outcome(checked, (drill, measure), &own);
            constant(checked, (drill, measure), &own);
        }
        for critical in &drill.criticals {
            let own = spot.at("criticals").entry("critical", &critical.id);
            cannot(checked, drill, &critical.links, &own);
        }
    }
}

/// Whether the candidate works out a percent from the counters.
fn sums(measure: &Measure) -> bool {
    find(&measure.unit).is_some_and(|unit| unit.kind == Kind::Share)
        && measure.how == How::FromTotals
        && measure.whose == Whose::Act
        && measure.measured.is_none()
}

/// What was written from counters, or poured, is read by a second person (rules 26 and 27): a role
/// that is there in every run beside the candidate, and does more than speak.
fn second_reader(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let wanted = drill.physical == Physical::Refill || drill.measures.iter().any(sums);
    let works = |role: &&Role| !role.scripted && role.only_at.is_none();
    let roles = spot.at("roles");
    // One that cannot be read is told as that.
    let read = roles.items().len() == drill.roles.len();
    // One works and one reads it back: without a second pair of eyes nothing is read twice.
    if wanted && read && drill.roles.iter().filter(works).count() < 2 {
        checked.note(Finding::at(Code::NoSecondReader, roles.key()));
    }
}

/// A drill says in which mode it can be met (rule 23); where nothing is said those are meant in which
/// foam flows.
fn met_never(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let foams = |mode: &Mode| matches!(mode, Mode::TrainingFoam | Mode::Agent);
    let met = drill.modes.iter().any(|mode| foams(mode) || drill.met_in.contains(mode));
    if met || drill.modes.is_empty() {
        return;
    }
    // A drill that stands on plain water and has its steps for foam is not at its end yet: a
    // department begins so, before foam is permitted.
    let waits = drill.steps.iter().filter(|step| drill.awaits_foam(&step.condition()));
    let finding = match waits.count() {
        0 => Finding::at(Code::MetNever, spot.at("modes").key()),
        count => Finding::at(Code::MetLater, spot.at("modes").key())
            .with("count", count.to_string()),
    };
    checked.note(finding);
}

/// Where the pressure at the intake and the flow of a supply are read, water comes from outside: a step
/// says when tank to pump is shut, or a supply that is too small is held against nothing (rule 17).
fn supply(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let intake = Some(Meaning::IntakePressure);
    let intake = drill.measures.iter().any(|one| one.is == intake)
        || drill.readings.iter().any(|one| one.is == intake);
    let read = drill.readings.iter().any(|one| one.is == Some(Meaning::Supply));
    let told = drill.steps.iter().any(|step| step.is == Some(Does::ShutsTank));
    let whole = spot.at("steps").items().len() == drill.steps.len();
    if intake && read && !told && whole {
        checked.note(Finding::at(Code::SupplyUntold, spot.at("steps").key()));
    }
}

/// Rule 21: what a drill is about is critical. In totals that is the sum, in a change of the percent,
/// which begins and ends with foam on, the percent that is set.
fn outcome(checked: &Checked<'_>, (drill, measure): (&Drill, &Measure), spot: &Spot<'_>) {
    let stays =
        drill.starts_with.foam == Some(Foam::On) && drill.leaves.foam == Some(Foam::On);
    let change = stays && measure.is == Some(Meaning::PercentSet);
    let about = sums(measure) || change;
    if about && !measure.critical {
        let finding = Finding::at(Code::OutcomeUncritical, spot.at("measure").place());
        checked.note(finding.with("name", measure.label.clone()));
    }
}

/// In a refill it is the report.
fn report(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let produced = drill.steps.iter().any(|step| step.produces);
    let value = drill.measures.iter().any(|measure| measure.critical);
    let whole = spot.at("steps").items().len() == drill.steps.len();
    // Where nothing at all is produced that is told.
    if drill.physical == Physical::Refill && !produced && value && whole {
        let finding = Finding::at(Code::OutcomeUncritical, spot.at("steps").key());
        checked.note(finding.with("name", drill.title.clone()));
    }
}

/// A mark that a step or two reach is no mark of the drill.
fn few_weigh(checked: &Checked<'_>, (drill, role): (&Drill, &Role), spot: &Spot<'_>) {
    let own = || drill.steps.iter().filter(|step| step.role == role.id);
    let (all, weigh) = (own().count(), own().filter(|step| step.weight > 0).count());
    if all >= SEVERAL && weigh > 0 && weigh * 2 < all {
        let finding = Finding::at(Code::FewWeigh, spot.at("steps").key());
        let finding = finding.with("role", role.title.clone());
        checked
            .note(finding.with("count", weigh.to_string()).with("all", all.to_string()));
    }
}

/// A free link rests on the evaluator's word alone. Where all of a role do, no mark of any step is ever
/// held against it (rules 3 and 4).
fn free_alone(checked: &Checked<'_>, (drill, role): (&Drill, &Role), spot: &Spot<'_>) {
    let mut links = drill
        .criticals
        .iter()
        .filter(|critical| critical.role == role.id)
        .flat_map(|critical| &critical.links)
        .peekable();
    let criticals = spot.at("criticals");
    let whole = criticals.items().len() == drill.criticals.len();
    let some = links.peek().is_some();
    if some && whole && links.all(|link| matches!(link, Link::Free { .. })) {
        let finding = Finding::at(Code::LinksFree, criticals.key());
        checked.note(finding.with("role", role.title.clone()));
    }
}

/// A role of which no critical stands on a rig gets a result there that points alone make.
fn elsewhere(checked: &Checked<'_>, (drill, role): (&Drill, &Role), spot: &Spot<'_>) {
    let own = || drill.criticals.iter().filter(|critical| critical.role == role.id);
    let mut rigs = checked.course.rigs.values().filter(|rig| runs_on(rig, drill));
    let bare = rigs.find(|rig| own().all(|one| one.condition().lacks(rig).is_some()));
    // One without any critical is told as that.
    if let Some((rig, _)) = bare.zip(own().next()) {
        let finding = Finding::at(Code::CriticalsElsewhere, spot.at("criticals").key());
        let finding = finding.with("role", role.title.clone());
        checked.note(finding.with("rig", rig.title.clone()));
    }
}

/// What needs a part that none of the rigs has for which a drill names itself: it stands on no sheet. A
/// drill that names kinds may be for a rig that is still to come.
fn nowhere(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let named = drill.rigs.as_ref().map_or(&[][..], |of| of.rigs.as_slice());
    let rigs: Vec<&Rig> =
        named.iter().filter_map(|id| checked.course.rigs.get(id)).collect();
    // A part that cannot be read is told on the card.
    let torn = named.iter().any(|id| checked.torn.contains(&format!("rigs/{id}.yaml")));
    if rigs.is_empty() || rigs.len() != named.len() || torn {
        return;
    }
    let steps = drill.steps.iter().map(|one| ("steps", "step", &one.id, one.condition()));
    let criticals = drill.criticals.iter();
    let criticals =
        criticals.map(|one| ("criticals", "critical", &one.id, one.condition()));
    let cues = drill.cues.iter().map(|one| ("cues", "cue", &one.id, one.condition()));
    for (list, key, id, condition) in steps.chain(criticals).chain(cues) {
        if rigs.iter().all(|rig| condition.lacks(rig).is_some()) {
            let own = spot.at(list).entry(key, id).at("needs");
            let finding = Finding::at(Code::NeedsNowhere, own.place());
            checked.note(finding.with("name", id.clone()));
        }
    }
}

/// What an author says cannot be otherwise is asked about as a slip of a mark (rule 7 g); as a link of a
/// critical it would never be broken by anything that can happen.
fn cannot(checked: &Checked<'_>, drill: &Drill, links: &[Link], spot: &Spot<'_>) {
    for (at, link) in links.iter().enumerate() {
        let Link::Order { first, then } = link else { continue };
        let same = drill.order.iter().find(|rule| {
            rule.cannot && rule.first == *first && then.contains(&rule.then)
        });
        if let Some(rule) = same {
            let own = spot.at("links").at(at.to_string()).at("order");
            let finding = Finding::at(Code::LinkCannot, own.place());
            let finding = finding.with("first", rule.first.clone());
            checked.note(finding.with("then", rule.then.clone()));
        }
    }
}

/// A value that the day gives is held against the day. One that is held against a figure of the author's
/// where the drill reads that very kind of figure, or against nothing else at all, is the same whatever
/// the rig did.
fn constant(
    checked: &Checked<'_>,
    (drill, measure): (&Drill, &Measure),
    spot: &Spot<'_>,
) {
    // A percent without a reading of the order is told as that, and a formula for lessons as one.
    let ordered = Some(Meaning::PercentOrdered);
    let lesson = matches!(&measure.expect, Expect::Formula(feed)
        if checked.course.library.formula(&feed.formula).is_none_or(|one| one.library_only));
    let unread = measure.is == Some(Meaning::PercentSet)
        && drill.readings.iter().all(|reading| reading.is != ordered);
    if unread || lesson {
        return;
    }
    let (binds, place): (Vec<&Bind>, Spot<'_>) = match &measure.expect {
        Expect::Bound(bind) => (vec![bind], spot.at("expect").at("value")),
        Expect::Formula(feed) => (feed.with.values().collect(), spot.at("expect")),
    };
    let figures = leaves(&binds);
    let written: Vec<&Quantity> = figures
        .iter()
        .filter_map(|bind| match bind {
            Bind::Value(value) => Some(value),
            _ => None,
        })
        .collect();
    let nothing_else = !written.is_empty()
        && figures.iter().all(|bind| matches!(bind, Bind::Value(_) | Bind::Word(_)));
    let bound = matches!(measure.expect, Expect::Bound(_));
    let read = written.iter().find(|value| reads(drill, value));
    let found = match read {
        Some(value) => *value,
        // A figure by itself is a local one, unless the drill reads such a figure.
        None if nothing_else && !bound => match written.first() {
            Some(value) => *value,
            None => return,
        },
        None => return,
    };
    let finding = Finding::at(Code::ExpectedConstant, place.place());
    let finding = finding.with("name", measure.label.clone());
    checked.note(finding.with("found", found.printed()));
}

/// Whether the drill has a reading of the same kind: shares are of one, plain numbers of none.
fn reads(drill: &Drill, value: &Quantity) -> bool {
    let (kind, dimension) = (value.unit().kind, value.dimension());
    let plain = dimension == Dimension::NONE && kind != Kind::Share;
    !plain
        && drill.readings.iter().any(|reading| {
            find(&reading.unit)
                .is_some_and(|unit| unit.dimension == dimension && unit.kind == kind)
        })
}

/// Binds without the rows that hold them.
fn leaves<'b>(binds: &[&'b Bind]) -> Vec<&'b Bind> {
    let mut found = Vec::new();
    let mut waiting: Vec<&Bind> = binds.to_vec();
    while let Some(bind) = waiting.pop() {
        match bind {
            Bind::Rows(rows) => waiting.extend(rows.iter().flat_map(|row| row.values())),
            other => found.push(other),
        }
    }
    found
}
