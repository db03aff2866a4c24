//! What comes of a tap: a step is done, or would have hurt somebody, or waits for words and a value.

use super::event::Event;
use super::here::shown;
use super::look::Look;
use super::offer::{Act, offered};
use super::state::{Harm, Phase, Walk};
use crate::course::{Link, Measure, Step};
use crate::practice::number::{NoNumber, number};
use crate::scoring::{Broken, Line, expectation, faults, held_against};

/// A sentence of a walk.
fn say(look: &Look<'_>, key: &str, blanks: &[(&str, &str)]) -> String {
    // words: walk.{say(_, ..)}
    look.opened.words().say(&format!("walk.{key}"), blanks)
}

/// Takes an event that means something in the phase of the walk; any other does nothing.
pub(super) fn take(look: &Look<'_>, walk: &mut Walk, event: &Event) {
    match (walk.phase, event) {
        (Phase::Choose, Event::Act { step }) => choose(look, walk, step),
        (Phase::Choose, Event::Ignore { cue }) => ignore(look, walk, cue),
        (Phase::Choose, Event::End) => end(look, walk),
        (Phase::Words, Event::Say { step }) => say_words(look, walk, step),
        (Phase::Words, Event::Aloud) => walk.phase = Phase::Aloud,
        (Phase::Aloud, Event::Whole) => heard(look, walk),
        (Phase::Aloud, Event::Missed) => {
            help(walk);
            heard(look, walk);
        }
        (Phase::Silent, Event::CallAgain) => {
            walk.notes = vec![say(look, "answered", &[])];
            next_value(look, walk);
        }
        (Phase::Silent, Event::Take) => unanswered(look, walk),
        (Phase::Value, Event::Value { text }) => typed(look, walk, text),
        (Phase::Value, Event::GiveUp) => give_up(look, walk),
        (Phase::Harm, Event::On) => {
            walk.phase = Phase::Choose;
            walk.harm = Harm::default();
            walk.notes.insert(0, say(look, "safe-again", &[]));
            go_on(look, walk, false);
        }
        _ => {}
    }
}

/// What happens by itself before the next question: what others do, and a cue.
pub(super) fn go_on(look: &Look<'_>, walk: &mut Walk, last: bool) -> bool {
    others(look, walk);
    let cue = look.cue(walk, last).map(|cue| (cue.id.clone(), cue.says.clone()));
    let Some((id, says)) = cue else { return false };
    walk.cues.push(id.clone());
    walk.notes.push(look.cue_said(walk, (&id, &says)));
    true
}

/// Steps of others are done when all that comes before them was, and the step before them in the drill.
fn others(look: &Look<'_>, walk: &mut Walk) {
    let steps = &look.kit.drill().steps;
    let mut again = true;
    while again {
        again = false;
        let mut before: Option<&Step> = None;
        for step in steps.iter().filter(|step| shown(&look.kit, step)) {
            let given = step.cue.as_ref().is_none_or(|cue| walk.cues.contains(cue));
            let follows = before.is_none_or(|before| walk.is_done(&before.id));
            let other = step.role != walk.role && !walk.is_done(&step.id);
            if other && given && follows && look.is_due(walk, step) {
                let roles = look.kit.drill().roles.iter();
                let role = roles.clone().find(|role| role.id == step.role);
                let role = role.map_or(step.role.as_str(), |role| role.title.as_str());
                let blanks = [("role", role), ("act", step.action.as_str())];
                walk.notes.push(say(look, "other", &blanks));
                walk.done.push(step.id.clone());
                again = true;
            }
            before = Some(step);
        }
    }
}

/// A step was chosen, among those that stood there.
fn choose(look: &Look<'_>, walk: &mut Walk, id: &str) {
    let stood = offered(look, walk).acts.contains(&Act::Step(id.to_owned()));
    let Some(step) = look.step(id).filter(|_| stood) else { return };
    walk.notes.clear();
    if let Some((first, because)) = look.impossible(walk, step) {
        let blanks = [
            ("act", step.action.as_str()),
            ("first", &first.action),
            ("because", because),
        ];
        walk.notes.push(say(look, "cannot", &blanks));
        return;
    }
    let broken = look.breaks(walk, step, &look.broken(walk));
    if !broken.is_empty() {
        harm(look, walk, (step.action.clone(), step.id.clone()), broken);
        return;
    }
    id.clone_into(&mut walk.step);
    if step.radio.is_some() {
        walk.phase = Phase::Words;
    } else {
        next_value(look, walk);
    }
}

/// A cue is passed over that may not be.
fn ignore(look: &Look<'_>, walk: &mut Walk, id: &str) {
    let Some(cue) = look.pressing(walk).filter(|cue| cue.id == id) else { return };
    walk.notes.clear();
    let links = look
        .kit
        .drill()
        .criticals
        .iter()
        .flat_map(|one| one.links.iter().map(move |link| (one, link)));
    let answer = links.filter(|(one, link)| {
        one.role == walk.role && matches!(link, Link::Answer { cue: of, .. } if of == id)
    });
    let (act, because) = match look.ordered(walk, id) {
        Some(order) => {
            let blanks = [("value", order.as_str())];
            (say(look, "accept", &blanks), say(look, "accepted", &blanks))
        }
        None => {
            (say(look, "ignore", &[]), say(look, "passed-over", &[("cue", &cue.says)]))
        }
    };
    let broken = answer.map(|(one, _)| (one.id.clone(), because.clone()));
    let mut broken: Vec<Broken> = broken.collect();
    broken.dedup();
    harm(look, walk, (act, String::new()), broken);
}

/// Tells at once what would have happened. The act was begun and stopped: the walk goes on from the
/// state before it.
fn harm(
    look: &Look<'_>,
    walk: &mut Walk,
    (act, step): (String, String),
    broken: Vec<Broken>,
) {
    for (critical, because) in &broken {
        let blanks = [("act", act.as_str()), ("because", because)];
        let told = say(look, "happened", &blanks);
        if !critical.is_empty() {
            walk.happened.entry(critical.clone()).or_insert(told);
        }
    }
    walk.phase = Phase::Harm;
    walk.step.clear();
    walk.harm = Harm { act, step, broken };
}

/// The step counts as done after help.
fn help(walk: &mut Walk) {
    walk.prompted.insert(walk.step.clone());
}

/// Words of a step of the drill were chosen.
fn say_words(look: &Look<'_>, walk: &mut Walk, chosen: &str) {
    if chosen == walk.step {
        heard(look, walk);
        return;
    }
    let belongs = look.step(chosen).filter(|step| step.radio.is_some());
    let Some(belongs) = belongs else { return };
    walk.notes = vec![say(look, "other-words", &[("act", &belongs.action)])];
    help(walk);
    walk.phase = Phase::Aloud;
}

/// The call was made. To one of them no answer comes.
fn heard(look: &Look<'_>, walk: &mut Walk) {
    walk.notes.clear();
    let silent = look.step(&walk.step).is_some_and(|step| look.is_silent(walk, step));
    if silent {
        walk.silent = true;
        walk.phase = Phase::Silent;
    } else {
        next_value(look, walk);
    }
}

/// No answer came and it is taken for one. What waits for the answer is then done without it.
fn unanswered(look: &Look<'_>, walk: &mut Walk) {
    let Some(step) = look.step(&walk.step) else { return };
    let (id, action, why) = (step.id.clone(), step.action.clone(), step.why.clone());
    let because = say(look, "no-answer-taken", &[("act", &action)]);
    let own = look.kit.drill().criticals.iter().filter(|one| one.role == walk.role);
    let here = own.filter(|one| one.condition().lacks(look.kit.rig()).is_none());
    let first = here.filter(|one| {
        one.links.iter().any(|link| match link {
            Link::Order { first, .. } => *first == id,
            _ => false,
        })
    });
    let broken: Vec<Broken> =
        first.map(|one| (one.id.clone(), because.clone())).collect();
    if broken.is_empty() {
        help(walk);
        walk.notes = vec![because, why];
        next_value(look, walk);
    } else {
        harm(look, walk, (say(look, "take", &[]), id), broken);
    }
}

/// Asks the next value of the step, or has it done.
fn next_value(look: &Look<'_>, walk: &mut Walk) {
    walk.written.clear();
    if look.values(walk, &walk.step).is_empty() {
        finish(look, walk);
    } else {
        walk.phase = Phase::Value;
    }
}

/// The value that is asked.
fn asked<'l>(look: &'l Look<'_>, walk: &Walk) -> Option<&'l Measure> {
    let id = look.values(walk, &walk.step).first().map(|one| one.id.clone())?;
    look.kit.drill().measures.iter().find(|one| one.id == id)
}

fn typed(look: &Look<'_>, walk: &mut Walk, text: &str) {
    text.clone_into(&mut walk.written);
    let (Some(measure), Some(day)) = (asked(look, walk), look.day(walk)) else { return };
    let value = match number(text, &measure.unit, look.opened.data().comma) {
        Ok(value) => value,
        Err(why) => {
            let key = match why {
                NoNumber::None if text.trim().is_empty() => "blank",
                NoNumber::None => "no-number",
                NoNumber::TwoReadings => "two-readings",
            };
            // words: walk.{blank|no-number|two-readings}
            let key = format!("walk.{key}");
            walk.notes = vec![look.opened.words().say(&key, &[("text", text)])];
            return;
        }
    };
    let mut after = walk.clone();
    after.values.insert(measure.id.clone(), value);
    after.done.push(walk.step.clone());
    // What no instrument can show is asked for once more, as on every sheet.
    let speaks = |walk: &Walk| faults(&look.kit, &look.sheet(walk));
    let before = speaks(walk);
    let own = |path: &[String]| path.get(1) == Some(&measure.id);
    let fault = speaks(&after)
        .into_iter()
        .find(|fault| own(&fault.path) && !before.contains(fault));
    if let Some(fault) = fault {
        walk.notes = vec![fault.says(look.opened.words())];
        return;
    }
    let of_day = (day.outlet.as_str(), &day.readings);
    let Ok((expected, inside)) = held_against(&look.kit, measure, of_day, &value) else {
        return;
    };
    let label = measure.label.as_str();
    let (printed, worked) = (value.printed(), expected.working.join("; "));
    let blanks = [
        ("label", label),
        ("value", printed.as_str()),
        ("right", &expected.text),
        ("band", &expected.band),
    ];
    let key = if inside { "inside" } else { "outside" };
    // words: walk.{inside|outside}
    walk.notes = vec![look.opened.words().say(&format!("walk.{key}"), &blanks)];
    if !worked.is_empty() {
        walk.notes.push(say(look, "worked", &[("text", &worked)]));
    }
    let failing = failing(look, walk, &after);
    walk.values.insert(measure.id.clone(), value);
    let act = say(look, "said-value", &[("label", label), ("value", &printed)]);
    if failing.is_empty() {
        next_value(look, walk);
    } else {
        // It was said, and the step is over; what it would have led to is told.
        finish(look, walk);
        harm(look, walk, (act, String::new()), failing);
    }
}

/// What a value goes beyond: limits of criticals, and limits that stand in every drill.
fn failing(look: &Look<'_>, before: &Walk, after: &Walk) -> Vec<Broken> {
    let (known, found) = (look.past(before), look.past(after));
    let own = found.criticals.into_iter().filter(|one| !known.criticals.contains(one));
    let limits = found.limits.iter().filter(|line| !known.limits.contains(line));
    // words: walk.would.{hose-test|line-lost|unit|label|slip|minutes|intake|air}
    let would = |line: &Line| say(look, &format!("would.{}", line.subject), &[]);
    let limits =
        limits.map(|line| (String::new(), format!("{} {}", line.sentence, would(line))));
    own.chain(limits).collect()
}

/// The value is shown, and the step counts as done after help.
fn give_up(look: &Look<'_>, walk: &mut Walk) {
    let (Some(measure), Some(day)) = (asked(look, walk), look.day(walk)) else { return };
    let expected = expectation(&look.kit, measure, &day.outlet, &day.readings);
    let text = expected.map(|expected| expected.text).unwrap_or_default();
    help(walk);
    let blanks = [("label", measure.label.as_str()), ("right", text.as_str())];
    walk.notes = vec![say(look, "shown", &blanks)];
    finish(look, walk);
}

/// The step is done.
fn finish(look: &Look<'_>, walk: &mut Walk) {
    let id = std::mem::take(&mut walk.step);
    walk.written.clear();
    walk.phase = Phase::Choose;
    if let Some(step) = look.step(&id) {
        walk.notes.push(say(look, "done", &[("act", &step.action), ("why", &step.why)]));
    }
    walk.done.push(id);
    go_on(look, walk, false);
}

/// The drill is reported as done: whatever can still come does, and what is still open and may not be is
/// told once.
fn end(look: &Look<'_>, walk: &mut Walk) {
    walk.notes.clear();
    if go_on(look, walk, true) {
        walk.notes.insert(0, say(look, "not-over", &[]));
        return;
    }
    let untold = look.untold(walk);
    if untold.is_empty() {
        walk.phase = Phase::Done;
    } else {
        harm(look, walk, (say(look, "ended", &[]), String::new()), untold);
    }
}
