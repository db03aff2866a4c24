//! What a live sheet asks for: steps, criticals, cues and numbers of the candidate's role, and
//! what of them has no mark yet.

use super::kit::Live;
use super::state::State;
use crate::course::{Critical, Cue, CueMark, Link, Meaning, Measure, Mode, Role, Step};
use crate::scoring::{Kit, Standing, flows, stands};

/// The mode of that name.
pub(super) fn mode(text: &str) -> Option<Mode> {
    Mode::ALL.iter().map(|(_, mode)| *mode).find(|mode| mode.key() == text)
}

/// Steps that can be marked on this rig in this mode: what answers a cue, once it is given. A
/// mark that was made before the cue was taken back can still be mended.
pub(super) fn open_steps<'l>(
    live: &'l Live,
    state: &State,
    drill: &str,
) -> impl Iterator<Item = &'l Step> {
    let kit = state.kits(live).find(|kit| kit.drill().id == drill);
    let mode = mode(state.text("mode"));
    let part = state.parts.get(drill);
    let answerable: Vec<&str> = asked_steps(kit, state)
        .filter(|step| {
            let marked = part.is_some_and(|part| part.marks.contains_key(&step.id));
            marked || step.cue.as_ref().is_none_or(|cue| given(state, drill, cue))
        })
        .map(|step| step.id.as_str())
        .collect();
    asked_steps(kit, state).filter(move |step| {
        let known = kit.zip(mode);
        let stands = known.is_some_and(|(kit, mode)| {
            stands(kit, mode, step.condition()) == Standing::Stands
        });
        stands && answerable.contains(&step.id.as_str())
    })
}

/// Whether a cue was given.
fn given(state: &State, drill: &str, cue: &str) -> bool {
    let part = state.parts.get(drill);
    part.is_some_and(|part| part.cues.get(cue) == Some(&CueMark::Given))
}

/// Steps of the candidate, and those of others on which a critical of the candidate hangs:
/// without a mark of theirs it could not be told whether it happened.
pub(super) fn asked_steps<'l>(
    kit: Option<&'l Kit>,
    state: &State,
) -> impl Iterator<Item = &'l Step> + use<'l> {
    let role = state.text("role").to_owned();
    let steps = kit.map_or(&[][..], |kit| kit.drill().steps.as_slice());
    let links = kit.map(|kit| own_criticals(kit, state)).into_iter().flatten();
    let linked: Vec<&str> =
        links.flat_map(|critical| &critical.links).flat_map(steps_of).collect();
    steps
        .iter()
        .filter(move |step| step.role == role || linked.contains(&step.id.as_str()))
}

/// Steps that a link names.
pub(super) fn steps_of(link: &Link) -> Vec<&str> {
    match link {
        Link::Order { first, then } => {
            [first].into_iter().chain(then).map(String::as_str).collect()
        }
        Link::Answer { step, .. } | Link::Hold { step } => vec![step],
        Link::Limit { .. } | Link::Free { .. } => Vec::new(),
    }
}

/// Criticals of the candidate.
pub(super) fn own_criticals<'l>(
    kit: &'l Kit,
    state: &State,
) -> impl Iterator<Item = &'l Critical> + use<'l> {
    let role = state.text("role").to_owned();
    kit.drill().criticals.iter().filter(move |critical| critical.role == role)
}

/// Cues that can be given on this rig in this mode.
pub(super) fn cues<'l>(
    kit: &'l Kit,
    state: &State,
) -> impl Iterator<Item = &'l Cue> + use<'l> {
    let mode = mode(state.text("mode"));
    kit.drill().cues.iter().filter(move |cue| {
        mode.is_some_and(|mode| stands(kit, mode, cue.condition()) == Standing::Stands)
    })
}

/// Whether a critical of the candidate hangs on a step that must stay as it was done.
pub(super) fn must_hold(kit: &Kit, state: &State, id: &str) -> bool {
    let mut links = own_criticals(kit, state).flat_map(|critical| &critical.links);
    links.any(|link| matches!(link, Link::Hold { step } if step == id))
}

/// Values of which it counts whether the candidate reported that they left their band: those
/// of a link, and the pressure at the intake, whose floor stands in every drill (rule 18 e).
pub(super) fn reportable<'k>(kit: &'k Kit, state: &State) -> Vec<&'k str> {
    let drill = kit.drill();
    let linked = own_criticals(kit, state).flat_map(|critical| &critical.links);
    let linked = linked.filter_map(|link| match link {
        Link::Limit { measure, unreported: true } => Some(measure.as_str()),
        _ => None,
    });
    let intake = |is: Option<Meaning>| is == Some(Meaning::IntakePressure);
    let measures = drill.measures.iter().filter(|one| intake(one.is));
    let readings = drill.readings.iter().filter(|one| intake(one.is));
    let common = measures.map(|one| one.id.as_str());
    linked.chain(common).chain(readings.map(|one| one.id.as_str())).collect()
}

/// Fields of the people who hold a role beside the candidate: as many as the rig needs.
pub(super) fn holders(live: &Live, state: &State, role: &Role) -> Vec<String> {
    let kit = live.kits(state.text("rig")).first();
    // Where no rig is chosen yet, as many as any rig could need.
    let air = kit.is_none_or(|kit| kit.rig().compressor.is_some());
    let wanted = role.wanted(air);
    let first = if role.id == state.text("role") { 2 } else { 1 };
    let field = |at: u32| match at {
        1 => format!("crew.{}", role.id),
        at => format!("crew.{}.{at}", role.id),
    };
    (first..=wanted).map(field).collect()
}

/// Things of drills: the drill's id and the thing's.
pub type OfDrills = Vec<(String, String)>;

/// Steps and criticals that have no mark and should have one. After a
/// stop nobody is asked for the rest.
pub fn untouched(live: &Live, state: &State) -> (OfDrills, OfDrills) {
    let (mut steps, mut criticals) = (Vec::new(), Vec::new());
    // What comes after a stop was not there to be seen (rule 7 h).
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

/// Drills of a run that were run: of a chain those with a mark, else the one drill.
pub(super) fn run_kits<'l>(
    live: &'l Live,
    state: &State,
) -> impl Iterator<Item = &'l Kit> {
    let touched = |kit: &&Kit| {
        let part = state.parts.get(&kit.drill().id);
        let marked = part.is_some_and(|part| {
            // A drill of a chain that was never reached has no sheet: it would come out
            // as all not seen.
            !(part.marks.is_empty() && part.criticals.is_empty() && part.acts.is_empty())
        });
        marked || live.data().drills.len() == 1
    };
    let mut kits: Vec<&Kit> = state.kits(live).filter(touched).collect();
    if kits.is_empty() {
        kits.extend(state.kit(live));
    }
    kits.into_iter()
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
    let role = state.text("role").to_owned();
    let own = move |measure: &&Measure| {
        let mut steps = kit.drill().steps.iter();
        let own = steps.any(|step| step.id == measure.step && step.role == role);
        measure.measured.is_none() && own && !walked
    };
    kit.drill().measures.iter().filter(own)
}
