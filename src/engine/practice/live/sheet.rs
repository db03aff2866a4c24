//! The state of a run → run sheets, and what they still lack.

use std::collections::BTreeMap;

use super::clock::At;
use super::kit::Live;
use super::state::{DECLARED, State};
use super::taken::{stop, time};
use crate::course::{
    Critical, CriticalMark, Evaluator, Holders, Mark, Measure, Mode, OrderSeen, RunSheet,
    RunUse, Settled, Step, Void, VoidCause,
};
use crate::quantity::{Kind, Moment, Quantity};
use crate::scoring::{
    self, Kit, RULES, Standing, Verdict, flows, score, short_revision, stands,
};

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

/// Drills of a run that were run: of a chain those with a mark, else the one drill.
pub fn sheets<'l>(live: &'l Live, state: &State) -> Vec<Part<'l>> {
    let part = |kit: &'l Kit| {
        let sheet = sheet(live, state, kit);
        let verdict = score(kit, &sheet);
        Part { kit, sheet, verdict }
    };
    run_kits(live, state).map(part).collect()
}

fn run_kits<'l>(live: &'l Live, state: &State) -> impl Iterator<Item = &'l Kit> {
    let touched = |kit: &&Kit| {
        let part = state.parts.get(&kit.drill().id);
        let marked = part.is_some_and(|part| {
            !(part.marks.is_empty() && part.criticals.is_empty() && part.acts.is_empty())
        });
        marked || live.data().drills.len() == 1
    };
    let mut kits: Vec<&Kit> =
        live.kits(state.text("rig")).iter().filter(touched).collect();
    if kits.is_empty() {
        kits.extend(state.kit(live));
    }
    kits.into_iter()
}

pub(super) fn mode(text: &str) -> Option<Mode> {
    let all = [Mode::WalkThrough, Mode::PlainWater, Mode::TrainingFoam, Mode::Agent];
    all.into_iter().find(|mode| mode.key() == text)
}

/// Steps of the candidate that can be seen on this rig in this mode.
pub(super) fn open_steps<'l>(
    live: &'l Live,
    state: &State,
    drill: &str,
) -> impl Iterator<Item = &'l Step> {
    let kit = live.kit(state.text("rig"), drill);
    let mode = mode(state.text("mode"));
    own_steps(kit, state).filter(move |step| {
        let known = kit.zip(mode);
        known.is_some_and(|(kit, mode)| {
            stands(kit, mode, step.condition()) == Standing::Stands
        })
    })
}

/// Steps of the candidate.
pub(super) fn own_steps<'l>(
    kit: Option<&'l Kit>,
    state: &State,
) -> impl Iterator<Item = &'l Step> + use<'l> {
    let role = state.text("role").to_owned();
    let steps = kit.map_or(&[][..], |kit| kit.drill().steps.as_slice());
    steps.iter().filter(move |step| step.role == role)
}

/// Criticals of the candidate.
pub(super) fn own_criticals<'l>(
    kit: &'l Kit,
    state: &State,
) -> impl Iterator<Item = &'l Critical> + use<'l> {
    let role = state.text("role").to_owned();
    kit.drill().criticals.iter().filter(move |critical| critical.role == role)
}

/// Things of drills: the drill's id and the thing's.
pub type OfDrills = Vec<(String, String)>;

/// Steps and criticals that have no mark and should have one. After a
/// stop nobody is asked for the rest.
pub fn untouched(live: &Live, state: &State) -> (OfDrills, OfDrills) {
    let (mut steps, mut criticals) = (Vec::new(), Vec::new());
    if state.stopped {
        return (steps, criticals);
    }
    let chosen = mode(state.text("mode"));
    for kit in run_kits(live, state) {
        let drill = &kit.drill().id;
        let Some(part) = state.parts.get(drill) else { continue };
        for step in open_steps(live, state, drill) {
            if !part.marks.contains_key(&step.id) {
                steps.push((drill.clone(), step.id.clone()));
            }
        }
        for critical in own_criticals(kit, state) {
            let stands = chosen.is_some_and(|mode| {
                stands(kit, mode, critical.condition()) == Standing::Stands
            });
            if stands && !part.criticals.contains_key(&critical.id) {
                criticals.push((drill.clone(), critical.id.clone()));
            }
        }
    }
    (steps, criticals)
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
        "outlet" => outlet(live, state).is_none(),
        "use" => use_(state).is_none(),
        "mode" => mode(state.text("mode")).is_none(),
        "attempt" => attempt(state).is_none(),
        "performed-at" => performed(state).is_none(),
        "rig" => live.kits(state.text("rig")).is_empty(),
        "run" => !is_id(state.text("run")),
        other => state.text(other).is_empty(),
    };
    wanted.filter(lacks).collect()
}

fn is_id(text: &str) -> bool {
    let letter = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    text.chars().all(letter)
        && text.starts_with(|c: char| c.is_ascii_lowercase())
        && !text.ends_with('-')
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

/// A number as it was written, with the unit of its field where none was written.
pub(super) fn number(text: &str, unit: &str) -> Option<Quantity> {
    let read = Quantity::read(text).ok().filter(|read| read.unit().kind != Kind::Plain);
    read.or_else(|| Quantity::read(&format!("{text} {unit}")).ok())
}

/// Numbers of a drill: field, unit and label.
pub(super) fn numbers(kit: &Kit, state: &State) -> Vec<(String, String, String)> {
    let drill = kit.drill();
    let field = |kind: &str, id: &str| format!("{}/{kind}.{id}", drill.id);
    let mut all = Vec::new();
    for reading in &drill.readings {
        let name = field("reading", &reading.id);
        all.push((name, reading.unit.clone(), reading.label.clone()));
    }
    for measure in own_measures(kit, state) {
        let name = field("measure", &measure.id);
        all.push((name, measure.unit.clone(), measure.label.clone()));
    }
    all
}

/// Measured values that are read and written down; nothing can be measured in a walk-through.
fn own_measures<'l>(kit: &'l Kit, state: &State) -> impl Iterator<Item = &'l Measure> {
    let walked = mode(state.text("mode")).is_some_and(|mode| !flows(mode));
    let steps: Vec<&str> =
        own_steps(Some(kit), state).map(|step| step.id.as_str()).collect();
    let own = move |measure: &&Measure| {
        measure.measured.is_none() && steps.contains(&measure.step.as_str()) && !walked
    };
    kit.drill().measures.iter().filter(own)
}

/// Fields whose text is no number.
fn unreadable(live: &Live, state: &State) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for kit in live.kits(state.text("rig")) {
        for (field, unit, label) in numbers(kit, state) {
            let text = state.text(&field);
            if !text.is_empty() && number(text, &unit).is_none() {
                found.push((label, text.to_owned()));
            }
        }
        for field in ["taken", "held"] {
            let name = format!("{}/{field}", kit.drill().id);
            let text = state.text(&name);
            if !text.is_empty() && number(text, "s").is_none() {
                found.push((
                    // words: live.field.{taken|held}
                    live.words().get(&format!("live.field.{field}")),
                    text.into(),
                ));
            }
        }
    }
    found
}

/// What must be mended before the sheet can be saved, in sentences.
pub(super) fn faults(live: &Live, state: &State) -> Vec<String> {
    let words = live.words();
    let mut all: Vec<String> = unreadable(live, state)
        .into_iter()
        .map(|(label, text)| {
            words.say("live.no-number", &[("label", &label), ("text", &text)])
        })
        .collect();
    for kit in run_kits(live, state) {
        let sheet = sheet(live, state, kit);
        let faults = scoring::faults(kit, &sheet);
        all.extend(faults.iter().map(|fault| fault.says(words)));
    }
    all.dedup();
    all
}

/// What the evaluator saw of one drill.
pub(super) fn sheet(live: &Live, state: &State, kit: &Kit) -> RunSheet {
    let drill = kit.drill();
    let empty = super::state::Part::default();
    let part = state.parts.get(&drill.id).unwrap_or(&empty);
    let text = |field: &str| state.text(field).to_owned();
    let may = |field: &str| Some(text(field)).filter(|text| !text.is_empty());
    let began = state.began.as_ref().map(At::minute).unwrap_or_default();
    let later = state.later();
    let order: Vec<String> =
        part.order.iter().filter(|id| done(part.marks.get(*id))).cloned().collect();
    let ordered = !order.is_empty();
    let (readings, measures) = values(kit, state);
    RunSheet {
        id: text("run"),
        chain: live.data().chain.then(|| live.data().id.clone()),
        drill: drill.id.clone(),
        drill_revision: Some(short_revision(kit.drill_revision()).to_owned()),
        rig: kit.rig().id.clone(),
        rig_revision: Some(short_revision(kit.rig_revision()).to_owned()),
        rules: Some(RULES),
        outlet: text("outlet"),
        use_: use_(state).unwrap_or(RunUse::Practice),
        mode: mode(state.text("mode")).unwrap_or(Mode::WalkThrough),
        weather: text("weather"),
        light: text("light"),
        performed_at: performed(state).filter(|_| later).unwrap_or(began),
        entered_at: state.saved.as_ref().filter(|_| later).map(At::minute),
        attempt: attempt(state).unwrap_or(1),
        candidate: text("candidate"),
        role: text("role"),
        crew: crew(kit, state),
        evaluator: Evaluator {
            person: text("evaluator"),
            qualification: text("qualification"),
            relation: text("relation"),
        },
        safety_officer: text("safety-officer"),
        stop_word: text("stop-word"),
        marks: marks(kit, state, part),
        order_seen: match (part.as_printed, ordered) {
            (true, _) => OrderSeen::AsPrinted,
            (false, true) => OrderSeen::Listed(order),
            (false, false) => OrderSeen::NotWatched,
        },
        pairs: part.pairs.clone(),
        begun: part.begun.clone(),
        undone: part.undone.iter().cloned().collect(),
        left_out: BTreeMap::new(),
        cues: part.cues.clone(),
        happened: told(kit, state),
        settled: settled(kit, state),
        others_acts: BTreeMap::new(),
        reported: part.reported.iter().cloned().collect(),
        granted: None,
        criticals: criticals(kit, state, part),
        unsafe_acts: part.acts.iter().cloned().collect(),
        readings,
        measures,
        time: time(kit, state, &part.watch),
        stop: stop(state),
        void: void(state),
        remediation: may("remediation"),
        words: may("words"),
        notes: may("notes"),
    }
}

const fn done(mark: Option<&Mark>) -> bool {
    matches!(mark, Some(Mark::Done | Mark::Prompted))
}

fn crew(kit: &Kit, state: &State) -> BTreeMap<String, Holders> {
    let named = kit.drill().roles.iter().filter_map(|role| {
        let field = format!("crew.{}", role.id);
        let second = format!("{field}.2");
        let people = [field, second].map(|field| state.text(&field).to_owned());
        let people: Vec<String> =
            people.into_iter().filter(|person| !person.is_empty()).collect();
        (!people.is_empty()).then(|| (role.id.clone(), Holders(people)))
    });
    named.filter(|(role, _)| role != state.text("role")).collect()
}

/// Marks, with "not applicable" where the rig lacks what a step needs.
fn marks(kit: &Kit, state: &State, part: &super::state::Part) -> BTreeMap<String, Mark> {
    let mut marks = part.marks.clone();
    let lacks = |step: &&Step| step.condition().lacks(kit.rig()).is_some();
    for step in own_steps(Some(kit), state).filter(lacks) {
        marks.insert(step.id.clone(), Mark::NotApplicable);
    }
    marks
}

fn criticals(
    kit: &Kit,
    state: &State,
    part: &super::state::Part,
) -> BTreeMap<String, CriticalMark> {
    let known = |id: &String| own_criticals(kit, state).any(|own| own.id == *id);
    let own = part.criticals.iter().filter(|(id, _)| known(id));
    own.map(|(id, mark)| (id.clone(), *mark)).collect()
}

/// What was seen of criticals and unsafe acts that happened.
fn told(kit: &Kit, state: &State) -> BTreeMap<String, String> {
    let drill = kit.drill();
    let criticals = drill.criticals.iter().map(|critical| &critical.id);
    let acts = kit.standard().unsafe_acts.iter().map(|act| &act.id);
    let told = |id: &String| {
        let text = state.text(&format!("{}/happened.{id}", drill.id));
        (!text.is_empty()).then(|| (id.clone(), text.to_owned()))
    };
    criticals.chain(acts).filter_map(told).collect()
}

/// A no that stands against another mark: why, and who saw it so.
fn settled(kit: &Kit, state: &State) -> BTreeMap<String, Settled> {
    let drill = kit.drill();
    let one = |critical: &Critical| {
        let field = |name: &str| {
            state.text(&format!("{}/settled.{}.{name}", drill.id, critical.id)).to_owned()
        };
        let (why, officer) = (field("why"), field("officer"));
        let officer = Some(officer).filter(|officer| !officer.is_empty());
        (!why.is_empty()).then(|| (critical.id.clone(), Settled { why, officer }))
    };
    drill.criticals.iter().filter_map(one).collect()
}

/// Why a run is void, once its cause is chosen.
fn void(state: &State) -> Option<Void> {
    let cause = VoidCause::ALL.iter().find(|(word, _)| *word == state.text("void.cause"));
    let agreed = state.text("void.agreed-by").to_owned();
    Some(Void {
        cause: cause.map(|(_, cause)| *cause)?,
        why: state.text("void.why").to_owned(),
        at: None,
        agreed_by: Some(agreed).filter(|officer| !officer.is_empty()),
        produced_acts: state.text("void.produced-acts") == "yes",
    })
}

type Values = BTreeMap<String, Quantity>;

fn values(kit: &Kit, state: &State) -> (Values, Values) {
    let (mut readings, mut measures) = (Values::new(), Values::new());
    for (field, unit, _) in numbers(kit, state) {
        let Some(value) = number(state.text(&field), &unit) else { continue };
        let name = field.split_once('/').map_or("", |(_, name)| name);
        if let Some(id) = name.strip_prefix("reading.") {
            readings.insert(id.to_owned(), value);
        } else if let Some(id) = name.strip_prefix("measure.") {
            measures.insert(id.to_owned(), value);
        }
    }
    (readings, measures)
}
