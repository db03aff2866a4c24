//! The state of a run → run sheets, and what they still lack.

use std::collections::BTreeMap;

use super::asked::{mode, numbers, run_kits};
use super::clock::At;
use super::filled::{
    as_manual, crew, criticals, granted, left_out, marks, others, settled, taken_away,
    told, values, void,
};
use super::kit::Live;
use super::last::LOCAL;
use super::seen::Told;
use super::state::{DECLARED, FORM, State};
use super::taken::{stop, time};
use crate::course::{
    Evaluator, Mark, Mode, OrderSeen, PairSeen, Remediation, RunSheet, RunUse,
};
use crate::practice::number::{NoNumber, number};
use crate::quantity::{Day, Moment};
use crate::scoring::{
    self, Kit, RULES, Run, Verdict, fuels, has_repeats, score_all, short_revision,
    takes_outlet, tanks,
};
use crate::wire::is_name;

/// One drill of a finished run.
#[derive(Debug)]
pub struct Part<'l> {
    /// What it is scored with.
    pub kit: &'l Kit,
    /// What the evaluator saw.
    pub sheet: RunSheet,
    /// The verdict.
    pub verdict: Verdict,
}

/// Drills of a run that were run: of a chain those with a mark, else the one drill. They are scored
/// together, because the drills of one chain can contradict each other.
pub fn sheets<'l>(live: &'l Live, state: &State) -> Vec<Part<'l>> {
    let sheets: Vec<(&Kit, RunSheet)> =
        run_kits(live, state).map(|kit| (kit, sheet(live, state, kit))).collect();
    let runs: Vec<Run<'_>> =
        sheets.iter().map(|(kit, sheet)| Run::of(kit, sheet)).collect();
    let verdicts = score_all(&runs);
    let part = |((kit, sheet), verdict)| Part { kit, sheet, verdict };
    sheets.into_iter().zip(verdicts).map(part).collect()
}

/// Fields that must be declared before the start and are not.
pub(super) fn missing(live: &Live, state: &State) -> Vec<&'static str> {
    // Whether it was entered later decides whether its time is wanted, and is never missing.
    let wanted = DECLARED.iter().copied().filter(|field| match *field {
        "later" => false,
        "performed-at" => state.later(),
        _ => true,
    });
    let lacks = |field: &&'static str| match *field {
        // A drill that is done on no line has no outlet to name.
        "outlet" => on_a_line(live, state) && outlet(live, state).is_none(),
        "use" => use_(state).is_none(),
        "mode" => mode(state.text("mode")).is_none(),
        "attempt" => attempt(state).is_none(),
        "performed-at" => performed(state).is_none(),
        "rig" => live.kits(state.text("rig")).is_empty(),
        "run" => !is_name(state.text("run")),
        // What no calendar has says nothing of a qualification (rule 28).
        "qualified-on" => Day::read(state.text("qualified-on")).is_none(),
        other => state.text(other).is_empty(),
    };
    // A percent is held against the label for one fuel, where it has several.
    let kits = live.kits(state.text("rig"));
    let by_fuel = kits.iter().any(|kit| !fuels(kit).is_empty()).then_some("fuel");
    let by_tank = kits.iter().any(|kit| !tanks(kit).is_empty()).then_some("draws-from");
    wanted.chain(by_fuel).chain(by_tank).filter(lacks).collect()
}

/// Whether any of the drills is done on a line of the rig.
pub(super) fn on_a_line(live: &Live, state: &State) -> bool {
    let kits = live.kits(state.text("rig"));
    kits.is_empty() || kits.iter().map(Kit::drill).any(takes_outlet)
}

fn outlet<'s>(live: &Live, state: &'s State) -> Option<&'s str> {
    let kit = live.kits(state.text("rig")).first()?;
    let outlet = state.text("outlet");
    kit.rig().outlet(outlet).map(|_| outlet)
}

fn attempt(state: &State) -> Option<u32> {
    state.text("attempt").parse().ok().filter(|attempt| *attempt > 0)
}

fn use_(state: &State) -> Option<RunUse> {
    let known = RunUse::ALL.iter().find(|(word, _)| *word == state.text("use"));
    known.map(|(_, use_)| *use_)
}

/// `2026-11-14 10:20`, from a field that may also hold a T between date and time.
fn performed(state: &State) -> Option<String> {
    Moment::read(state.text("performed-at")).map(|moment| moment.to_string())
}

/// Fields whose text is no number: label, text and why.
fn unreadable(live: &Live, state: &State) -> Vec<(String, String, NoNumber)> {
    let mut found = Vec::new();
    let mut look = |field: &str, unit: &str, label: String| {
        let text = state.text(field);
        if let (false, Err(why)) = (text.is_empty(), number(text, unit, live.comma())) {
            found.push((label, text.to_owned(), why));
        }
    };
    for kit in state.kits(live) {
        for (field, unit, label) in numbers(kit, state) {
            look(&field, &unit, label);
        }
        for field in ["taken", "held"] {
            let name = format!("{}/{field}", kit.drill().id);
            // words: live.field.{taken|held}
            look(&name, "s", live.words().get(&format!("live.field.{field}")));
        }
    }
    found
}

/// What is wrong with a sheet, in sentences.
#[derive(Debug, Default)]
pub(super) struct Faults {
    /// What must be mended before it can be saved.
    pub(super) refusing: Vec<String>,
    /// What is left open: the sheet can be saved, and its result is incomplete.
    pub(super) asking: Vec<String>,
}

/// What is wrong with the sheets of a run.
pub(super) fn faults(live: &Live, state: &State) -> Faults {
    let words = live.words();
    let unreadable = unreadable(live, state).into_iter();
    let unreadable = unreadable.map(|(label, text, why)| {
        let key = match why {
            NoNumber::None => "live.no-number",
            NoNumber::TwoReadings => "live.two-readings",
        };
        words.say(key, &[("label", &label), ("text", &text)])
    });
    let mut all = Faults { refusing: unreadable.collect(), asking: Vec::new() };
    for kit in run_kits(live, state) {
        let sheet = sheet(live, state, kit);
        let form = scoring::form_misread(&sheet);
        for fault in scoring::faults(kit, &sheet).into_iter().chain(form) {
            let list = if fault.asks { &mut all.asking } else { &mut all.refusing };
            list.push(fault.says(words));
        }
    }
    all.refusing.dedup();
    all.asking.dedup();
    all
}

/// A run on paper was when its paper says; one with the page was when it began.
fn when(state: &State) -> String {
    let on_paper = performed(state).filter(|_| state.later());
    on_paper.or_else(|| state.began.as_ref().map(At::minute)).unwrap_or_default()
}

/// What the evaluator saw of one drill.
pub(super) fn sheet(live: &Live, state: &State, kit: &Kit) -> RunSheet {
    let drill = kit.drill();
    let empty = super::seen::Part::default();
    let part = state.parts.get(&drill.id).unwrap_or(&empty);
    let text = |field: &str| state.text(field).to_owned();
    let may = |field: &str| Some(text(field)).filter(|text| !text.is_empty());
    let later = state.later();
    let (readings, measures) = values(kit, state, live.comma());
    let order_seen = order(kit, part);
    RunSheet {
        id: text("run"),
        chain: live.data().chain.then(|| live.data().id.clone()),
        drill: drill.id.clone(),
        drill_revision: Some(short_revision(kit.drill_revision()).to_owned()),
        rig: kit.rig().id.clone(),
        rig_revision: Some(short_revision(kit.rig_revision()).to_owned()),
        // By the rules of the engine that asked, not of the program that reads it later (rule 39).
        rules: Some(RULES),
        // What was drawn stays with the officers' files: score reads it there by this code.
        form: may(&format!("{FORM}{}", drill.id)),
        outlet: if takes_outlet(drill) { text("outlet") } else { String::new() },
        // What the drill does once is not asked of a second line.
        further: if has_repeats(drill) { state.further() } else { Vec::new() },
        tank: may("draws-from"),
        fuel: may("fuel"),
        completes: may("completes"),
        // Never taken for an evaluation by default: practice counts for nothing.
        use_: use_(state).unwrap_or(RunUse::Practice),
        // The mode that can show least, so that nothing is met by an empty field.
        mode: mode(state.text("mode")).unwrap_or(Mode::WalkThrough),
        weather: text("weather"),
        light: text("light"),
        performed_at: when(state),
        entered_at: state.saved.as_ref().filter(|_| later).map(At::minute),
        attempt: attempt(state).unwrap_or(1),
        candidate: text("candidate"),
        role: text("role"),
        crew: crew(live, state, kit),
        evaluator: evaluator(state),
        safety_officer: text("safety-officer"),
        stop_word: text("stop-word"),
        marks: marks(kit, state, part),
        pairs: pairs(part, &order_seen),
        order_seen,
        begun: part.begun.clone(),
        undone: part.undone.iter().cloned().collect(),
        left_out: left_out(kit, state, part),
        cues: part.cues.clone(),
        happened: told(kit, state, part),
        settled: settled(kit, state),
        others_acts: others(kit, state),
        took_away: taken_away(kit, state),
        reported: part.reported.iter().cloned().collect(),
        granted: granted(state),
        criticals: criticals(kit, state, part),
        unsafe_acts: part.acts.iter().cloned().collect(),
        readings,
        measures,
        as_manual: as_manual(kit, state),
        time: time(kit, (state, live.comma()), &part.watch),
        stop: stop(live, state, kit),
        void: void(state),
        remediation: remediation(state),
        words: may("words"),
        notes: notes(live, state),
    }
}

/// What was decided for this run where no local rule decides yet, and what the evaluator noted.
fn notes(live: &Live, state: &State) -> Option<String> {
    let decided = live.data().house.topics.iter().filter_map(|topic| {
        let text = state.text(&format!("{LOCAL}{}", topic.id));
        let blanks = [("topic", topic.title.as_str()), ("text", text)];
        (!text.is_empty()).then(|| live.words().say("live.decided", &blanks))
    });
    let noted = Some(state.text("notes").to_owned()).filter(|text| !text.is_empty());
    let all: Vec<String> = decided.chain(noted).collect();
    (!all.is_empty()).then(|| all.join(" "))
}

/// What was learned since; a day that no calendar has is none.
fn remediation(state: &State) -> Option<Remediation> {
    let said = |field: &str| Some(state.text(field)).filter(|text| !text.is_empty());
    let own = |text: &str| text.to_owned();
    Some(Remediation {
        what: said("remediation")?.to_owned(),
        by: said("remediation-by").map(own),
        on: said("remediation-on").filter(|on| Day::read(on).is_some()).map(own),
    })
}

/// A declared order answers the pairs.
fn pairs(part: &super::seen::Part, order: &OrderSeen) -> BTreeMap<String, PairSeen> {
    match order {
        OrderSeen::NotWatched => part.pairs.clone(),
        OrderSeen::AsPrinted | OrderSeen::Listed(_) => BTreeMap::new(),
    }
}

fn evaluator(state: &State) -> Evaluator {
    let text = |field: &str| state.text(field).to_owned();
    Evaluator {
        person: text("evaluator"),
        qualification: text("qualification"),
        qualified_on: Some(text("qualified-on")).filter(|day| !day.is_empty()),
        relation: text("relation"),
    }
}

/// The order that was confirmed; without a word nobody watched it.
fn order(kit: &Kit, part: &super::seen::Part) -> OrderSeen {
    // As long as the place of a step is not told, nobody knows the order.
    if part.told == Told::AsRecorded && part.unplaced.is_empty() {
        let printed = kit.drill().steps.iter().map(|step| &step.id);
        let printed = printed.filter(|id| part.recorded.contains(id));
        return match part.recorded.as_slice() {
            [] => OrderSeen::NotWatched,
            all if printed.eq(all) => OrderSeen::AsPrinted,
            all => OrderSeen::Listed(all.to_vec()),
        };
    }
    let listed = part.order.iter().filter(|id| done(part.marks.get(*id)));
    let listed: Vec<String> = listed.cloned().collect();
    match (part.told == Told::AsPrinted, listed.is_empty()) {
        (true, _) => OrderSeen::AsPrinted,
        (false, true) => OrderSeen::NotWatched,
        (false, false) => OrderSeen::Listed(listed),
    }
}

const fn done(mark: Option<&Mark>) -> bool {
    matches!(mark, Some(Mark::Done | Mark::Prompted))
}
