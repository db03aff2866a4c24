//! What is filled in on a live sheet, as the parts of a run sheet.

use std::collections::BTreeMap;

use super::asked::{asked_steps, holders, numbers, own_criticals};
use super::kit::Live;
use super::seen::Part;
use super::state::State;
use crate::course::{
    Critical, CriticalMark, Granted, Holders, Mark, Measure, Settled, Step, Void,
    VoidCause,
};
use crate::practice::number::number;
use crate::quantity::{Comma, Quantity};
use crate::scoring::Kit;

/// Everybody who holds a role beside the candidate.
pub(super) fn crew(live: &Live, state: &State, kit: &Kit) -> BTreeMap<String, Holders> {
    let named = kit.drill().roles.iter().filter_map(|role| {
        let fields = holders(live, state, role).into_iter();
        let people = fields.map(|field| state.text(&field).to_owned());
        let people: Vec<String> = people.filter(|person| !person.is_empty()).collect();
        (!people.is_empty()).then(|| (role.id.clone(), Holders(people)))
    });
    named.collect()
}

/// What stands in a field of the drill.
fn of<'s>(kit: &Kit, state: &'s State, kind: &str, id: &str) -> &'s str {
    state.text(&format!("{}/{kind}.{id}", kit.drill().id))
}

/// Criticals of the other roles of the drill.
pub(super) fn others_criticals<'k>(
    kit: &'k Kit,
    state: &State,
) -> impl Iterator<Item = &'k Critical> + use<'k> {
    let role = state.text("role").to_owned();
    kit.drill().criticals.iter().filter(move |critical| critical.role != role)
}

/// Whose an unsafe act of somebody else was.
pub(super) fn whose<'s>(kit: &Kit, state: &'s State, act: &str) -> Option<&'s str> {
    Some(of(kit, state, "others", act)).filter(|who| !who.is_empty())
}

/// Unsafe acts of others, and whose they were.
pub(super) fn others(kit: &Kit, state: &State) -> BTreeMap<String, String> {
    let acts = kit.standard().unsafe_acts.iter();
    let told = acts.filter_map(|act| {
        whose(kit, state, &act.id).map(|who| (act.id.clone(), who.to_owned()))
    });
    told.collect()
}

/// Whether an act of somebody else is told at all.
pub(super) fn of_others(kit: &Kit, state: &State) -> bool {
    let mut others = others_criticals(kit, state);
    let critical = others.any(|one| of(kit, state, "of-role", &one.id) == "yes");
    critical || !self::others(kit, state).is_empty()
}

/// Steps that such an act took away.
pub(super) fn taken_away(kit: &Kit, state: &State) -> Vec<String> {
    let steps = kit.drill().steps.iter().filter(|_| of_others(kit, state));
    let taken = steps.filter(|step| of(kit, state, "taken", &step.id) == "yes");
    taken.map(|step| step.id.clone()).collect()
}

/// Steps that were left out by hand, each with its reason. What was done is not left out.
pub(super) fn left_out(
    kit: &Kit,
    state: &State,
    part: &Part,
) -> BTreeMap<String, String> {
    let done = |step: &&Step| {
        matches!(part.marks.get(&step.id), Some(Mark::Done | Mark::Prompted))
    };
    let steps = asked_steps(Some(kit), state).filter(|step| !done(step));
    let reason = |step: &Step| {
        let why = of(kit, state, "left-out", &step.id);
        (!why.is_empty()).then(|| (step.id.clone(), why.to_owned()))
    };
    steps.filter_map(reason).collect()
}

/// What was answered of values that no card gives.
pub(super) fn as_manual(kit: &Kit, state: &State) -> BTreeMap<String, bool> {
    let answer = |measure: &Measure| match of(kit, state, "manual", &measure.id) {
        "yes" => Some((measure.id.clone(), true)),
        "no" => Some((measure.id.clone(), false)),
        _ => None,
    };
    kit.drill().measures.iter().filter_map(answer).collect()
}

/// Who granted a try that a rule would refuse.
pub(super) fn granted(state: &State) -> Option<Granted> {
    let text = |field: &str| state.text(field).to_owned();
    let (by, why) = (text("granted.by"), text("granted.why"));
    (!by.is_empty()).then_some(Granted { by, why })
}

/// Marks, with "not applicable" where the rig lacks what a step needs, or somebody says why it was
/// left out.
pub(super) fn marks(kit: &Kit, state: &State, part: &Part) -> BTreeMap<String, Mark> {
    let mut marks = part.marks.clone();
    let lacks = |step: &&Step| step.condition().lacks(kit.rig()).is_some();
    for step in asked_steps(Some(kit), state).filter(lacks) {
        // By the written condition alone; by hand nobody can say that it does not apply
        // (rules 2 and 14).
        marks.insert(step.id.clone(), Mark::NotApplicable);
    }
    for step in left_out(kit, state, part).into_keys() {
        marks.insert(step, Mark::NotApplicable);
    }
    marks
}

pub(super) fn criticals(
    kit: &Kit,
    state: &State,
    part: &Part,
) -> BTreeMap<String, CriticalMark> {
    let known = |id: &String| own_criticals(kit, state).any(|own| own.id == *id);
    // The role may have been changed after a mark; another role's critical is not on this
    // sheet.
    let own = part.criticals.iter().filter(|(id, _)| known(id));
    let others = others_criticals(kit, state)
        .filter(|one| of(kit, state, "of-role", &one.id) == "yes")
        .map(|one| (one.id.clone(), CriticalMark::Yes));
    own.map(|(id, mark)| (id.clone(), *mark)).chain(others).collect()
}

/// What was seen of criticals and unsafe acts that happened; of what did not happen after all
/// the log alone tells.
pub(super) fn told(kit: &Kit, state: &State, part: &Part) -> BTreeMap<String, String> {
    let drill = kit.drill();
    let criticals = drill.criticals.iter().map(|critical| &critical.id);
    let criticals = criticals
        .filter(|id| happened(part, id) || of(kit, state, "of-role", id) == "yes");
    let acts = kit.standard().unsafe_acts.iter().map(|act| &act.id);
    let acts =
        acts.filter(|id| part.acts.contains(*id) || whose(kit, state, id).is_some());
    let told = |id: &String| {
        let text = state.text(&format!("{}/happened.{id}", drill.id));
        (!text.is_empty()).then(|| (id.clone(), text.to_owned()))
    };
    criticals.chain(acts).filter_map(told).collect()
}

/// Whether a critical is marked as something that happened.
pub(super) fn happened(part: &Part, critical: &str) -> bool {
    let mark = part.criticals.get(critical);
    matches!(mark, Some(CriticalMark::Yes | CriticalMark::Prevented))
}

/// A no that stands against another mark: why, and who saw it so.
pub(super) fn settled(kit: &Kit, state: &State) -> BTreeMap<String, Settled> {
    let drill = kit.drill();
    let one = |critical: &Critical| {
        let field = |name: &str| {
            state.text(&format!("{}/settled.{}.{name}", drill.id, critical.id)).to_owned()
        };
        let (why, officer) = (field("why"), field("officer"));
        let officer = Some(officer).filter(|officer| !officer.is_empty());
        let stands = field("stands") == "yes" && !why.is_empty();
        // Without a reason the question is still open (rule 8).
        stands.then(|| (critical.id.clone(), Settled { why, officer }))
    };
    // A step that was done badly, or readings that disagree, need a sentence alone.
    let steps = drill.steps.iter().map(|step| &step.id);
    let others = steps.chain(drill.measures.iter().map(|measure| &measure.id));
    let said = |id: &String| {
        let why = state.text(&format!("{}/settled.{id}.why", drill.id)).to_owned();
        (!why.is_empty()).then(|| (id.clone(), Settled { why, officer: None }))
    };
    drill.criticals.iter().filter_map(one).chain(others.filter_map(said)).collect()
}

/// Why a run is void, once its cause is chosen.
pub(super) fn void(state: &State) -> Option<Void> {
    let cause = VoidCause::ALL.iter().find(|(word, _)| *word == state.text("void.cause"));
    let agreed = state.text("void.agreed-by").to_owned();
    Some(Void {
        cause: cause.map(|(_, cause)| *cause)?,
        why: state.text("void.why").to_owned(),
        // The end of the run, which the page knows to the minute.
        at: state.saved.as_ref().or(state.began.as_ref()).map(super::clock::At::minute),
        agreed_by: Some(agreed).filter(|officer| !officer.is_empty()),
        produced_acts: state.text("void.produced-acts") == "yes",
    })
}

/// Values by name.
type Values = BTreeMap<String, Quantity>;

/// Readings and measured values, as far as they are numbers.
pub(super) fn values(kit: &Kit, state: &State, comma: Comma) -> (Values, Values) {
    let (mut readings, mut measures) = (Values::new(), Values::new());
    for (field, unit, _) in numbers(kit, state) {
        let Ok(value) = number(state.text(&field), &unit, comma) else { continue };
        let name = field.split_once('/').map_or("", |(_, name)| name);
        if let Some(id) = name.strip_prefix("reading.") {
            readings.insert(id.to_owned(), value);
        } else if let Some(id) = name.strip_prefix("measure.") {
            measures.insert(id.to_owned(), value);
        }
    }
    (readings, measures)
}
