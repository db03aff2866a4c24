//! What can be wrong with a run sheet as such: it names what is not there, contradicts
//! itself, or was made for another revision. A sheet with a fault has no result until the
//! fault is mended; scoring never guesses and never changes the sheet.

use std::collections::BTreeSet;

use super::card::card;
use super::contradictions::contradictions;
use super::criticals::told;
use super::dates::too_early;
use super::discharge::discharged;
use super::evidence::Evidence;
use super::kit::{Kit, RULES, short_revision};
use super::kits::names;
use super::names_told::told_of;
use super::outlets::{outlet_faults, unfit};
use super::posts::{crew, offices};
use super::retest::granted;
use super::say;
use super::sheet_values::{time_faults, value_faults, watch_faults};
use super::stands::{Standing, stands};
use crate::course::{CriticalMark, How, Mark, Mode, OrderSeen, RunSheet, Whose};
use crate::quantity::Moment;
use crate::words::{Words, nearest};

/// A fault of a run sheet: `scoring.fault.<key>` in the words file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where it is: a field, what stands under it, and in a list the place of the entry
    /// from 0. Whoever knows the file puts the place to it.
    pub path: Vec<String>,
    /// Key.
    pub key: &'static str,
    /// Values of the sentences' blanks.
    pub blanks: Vec<(&'static str, String)>,
    /// Whether it is a question that leaves the run incomplete; else the run is refused.
    pub asks: bool,
}

impl Fault {
    /// Whether it speaks of a reading of the day.
    pub(super) fn of_reading(&self) -> bool {
        self.path.first().is_some_and(|first| first == "readings")
    }

    pub(super) fn at(path: &[&str], key: &'static str) -> Self {
        let path = path.iter().map(|part| (*part).to_owned()).collect();
        Self { path, key, blanks: Vec::new(), asks: false }
    }

    /// Something that contradicts itself or is missing: both entries stay, and the run is
    /// incomplete until the question is answered (rule 7).
    pub(crate) fn asks(path: &[&str], key: &'static str) -> Self {
        Self { asks: true, ..Self::at(path, key) }
    }

    pub(crate) fn with(mut self, blank: &'static str, value: impl Into<String>) -> Self {
        self.blanks.push((blank, value.into()));
        self
    }

    /// The field of the run sheet, such as `marks.air-off`; of a list the list.
    pub fn field(&self) -> String {
        let list = self.path.first().is_some_and(|first| LISTS.contains(&first.as_str()));
        self.path
            .get(..if list { 1 } else { self.path.len() })
            .unwrap_or_default()
            .join(".")
    }

    /// The value of a blank; nothing where the fault has no such blank.
    pub fn blank(&self, name: &str) -> &str {
        let found = self.blanks.iter().find(|(blank, _)| *blank == name);
        found.map_or("", |(_, value)| value.as_str())
    }

    fn say(&self, words: &Words, part: &str) -> String {
        let field = self.field();
        let mut blanks: Vec<(&str, &str)> = vec![("field", &field)];
        blanks.extend(self.blanks.iter().map(|(name, value)| (*name, value.as_str())));
        // words: scoring.fault.{Fault::at(_, ..)|Fault::asks(_, ..)|*}.{says|write}
        words.say(&format!("scoring.fault.{}.{part}", self.key), &blanks)
    }

    /// What is wrong, in a sentence.
    pub fn says(&self, words: &Words) -> String {
        self.say(words, "says")
    }

    /// What to write instead; may be empty.
    pub fn write(&self, words: &Words) -> String {
        let nothing_near =
            |(name, value): &(&str, String)| *name == "nearest" && value.is_empty();
        if self.blanks.iter().any(nothing_near) {
            return String::new();
        }
        self.say(words, "write")
    }
}

/// Fields that are lists of names.
const LISTS: &[&str] =
    &["order-seen", "undone", "unsafe-acts", "reported", "took-away", "further-outlets"];

/// Everything that is wrong with a run sheet for a kit, in the order of the sheet's fields.
///
/// The one list: what a file is refused for, what a live page will not save, and what a
/// verdict is withheld for. What needs more than the kit is looked for by those who have
/// it: unknown persons, chains, dates to come.
pub fn faults(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let on_lines = kit.for_run(sheet);
    let kit = on_lines.as_ref();
    let mut found = head(kit, sheet);
    found.extend(unfit(kit, sheet));
    found.extend(head_alone(sheet));
    found.extend(crew(kit, sheet));
    found.extend(offices(sheet));
    found.extend(marks(kit, sheet));
    found.extend(order(kit, sheet));
    found.extend(told_of(kit, sheet));
    found.extend(contradictions(kit, sheet));
    found.extend(criticals(kit, sheet));
    found.extend(unsafe_acts(kit, sheet));
    found.extend(value_faults(kit, sheet));
    found.extend(card(Evidence { kit, sheet }));
    found.extend(time_faults(sheet));
    found.extend(watch_faults(kit, sheet));
    found
}

/// The faults that a sheet has whatever it is scored by: what can be told of a run whose
/// drill or rig nobody has.
pub fn faults_alone(sheet: &RunSheet) -> Vec<Fault> {
    let mut found = head_alone(sheet);
    found.extend(offices(sheet));
    found.extend(time_faults(sheet));
    found
}

/// A name that the drill, the rig or the common list does not have.
pub(super) fn unknown<'n>(
    path: &[&str],
    key: &'static str,
    name: &str,
    known: impl Iterator<Item = &'n str>,
) -> Fault {
    let near = nearest(name, known).unwrap_or_default();
    Fault::at(path, key).with("name", name).with("nearest", near)
}

fn revision(field: &str, given: Option<&String>, hash: &str) -> Option<Fault> {
    let given = given?.trim();
    (!names(given, hash)).then(|| {
        Fault::at(&[field], "other-revision")
            .with("given", given)
            .with("have", short_revision(hash))
    })
}

fn head(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let (drill, rig) = (kit.drill(), kit.rig());
    let mut found = Vec::new();
    if sheet.drill != drill.id {
        let fault = Fault::at(&["drill"], "other-drill");
        found.push(fault.with("given", &sheet.drill).with("have", &drill.id));
    }
    let (given, hash) = (sheet.drill_revision.as_ref(), kit.drill_revision());
    found.extend(revision("drill-revision", given, hash));
    if sheet.rig != rig.id {
        let fault = Fault::at(&["rig"], "other-rig");
        found.push(fault.with("given", &sheet.rig).with("have", &rig.id));
    }
    let (given, hash) = (sheet.rig_revision.as_ref(), kit.rig_revision());
    found.extend(revision("rig-revision", given, hash));
    // Another version of the rules may give another verdict, so neither the sheet's nor the
    // kit's is passed over.
    for rules in [sheet.rules, Some(kit.standard().rules)].into_iter().flatten() {
        if rules != RULES {
            let fault = Fault::at(&["rules"], "other-rules");
            found.push(
                fault.with("given", rules.to_string()).with("have", RULES.to_string()),
            );
        }
    }
    found.extend(outlet_faults(kit, sheet));
    found.extend(discharged(kit, sheet));
    found.extend(too_early(kit, sheet));
    // Rule 30. Whoever grants one more try is named with the reason.
    if sheet.attempt > drill.attempts.most && !granted(sheet) {
        let fault = Fault::at(&["attempt"], "attempt-beyond");
        let fault = fault.with("given", sheet.attempt.to_string());
        found.push(fault.with("most", drill.attempts.most.to_string()));
    }
    if !drill.condition().shown_in(sheet.mode) {
        // words: scoring.mode.{Mode}
        let mode = kit.words().say(&format!("scoring.mode.{}", sheet.mode.key()), &[]);
        found.push(Fault::at(&["mode"], "mode-not-allowed").with("name", mode));
    }
    found
}

fn head_alone(sheet: &RunSheet) -> Vec<Fault> {
    let mut found = Vec::new();
    if sheet.attempt == 0 {
        found.push(Fault::at(&["attempt"], "attempt-zero"));
    }
    if sheet.void.as_ref().is_some_and(|void| void.why.trim().is_empty()) {
        found.push(Fault::at(&["void"], "void-without-reason"));
    }
    // Rule 7 h: nothing is void before it began.
    let void_at = sheet.void.as_ref().and_then(|void| void.at.as_ref());
    let moments =
        void_at.and_then(|at| Moment::read(at)).zip(Moment::read(&sheet.performed_at));
    if let Some((at, _)) = void_at.zip(moments.filter(|(at, began)| at < began)) {
        let fault = Fault::at(&["void", "at"], "void-before-start");
        found.push(fault.with("at", at).with("performed", &sheet.performed_at));
    }
    if let Some(entered) = sheet.entered_at.as_ref().filter(|_| sheet.entered_early()) {
        let fault = Fault::at(&["entered-at"], "entered-before");
        found.push(fault.with("entered", entered).with("performed", &sheet.performed_at));
    }
    found
}

fn marks(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let steps = &kit.drill().steps;
    let evidence = Evidence { kit, sheet };
    let fault = |(id, mark): (&String, &Mark)| {
        let path = ["marks", id.as_str()];
        let Some(step) = steps.iter().find(|step| step.id == *id) else {
            let known = steps.iter().map(|step| step.id.as_str());
            return Some(unknown(&path, "unknown-step", id, known));
        };
        let shown = stands(kit, sheet.mode, step.condition());
        let performed = matches!(mark, Mark::Done | Mark::Prompted);
        let blank = |fault: Fault| fault.with("name", say::short(&step.action));
        match shown {
            // Rule 7 d. In a walk-through a mark means that the step was named and pointed at.
            Standing::NotInMode if performed && sheet.mode != Mode::WalkThrough => {
                return Some(blank(Fault::asks(&path, "step-mode-cannot-show")));
            }
            Standing::NotOnRig if performed => {
                return Some(blank(Fault::asks(&path, "step-rig-cannot-show")));
            }
            Standing::Stands => {}
            _ => return None,
        }
        // Rule 7 f.
        if performed
            && let Some(cue) = &step.cue
            && evidence.cue_standing(cue) == Standing::NotInMode
            && stands_cue(kit, sheet, cue)
        {
            return Some(blank(Fault::asks(&path, "answered-without-cue")));
        }
        // Rule 14: by hand a step is left out only with a reason, and then it has no other mark.
        let (reason, out) = (sheet.left_out.get(id), *mark == Mark::NotApplicable);
        if out && reason.is_none_or(|why| why.trim().is_empty()) {
            return Some(blank(Fault::asks(&path, "left-out-untold")));
        } else if !out && reason.is_some() {
            return Some(blank(Fault::asks(&path, "left-out-marked")));
        }
        // Rule 7 e: what was not done has no value; what the machine did shows without it.
        let measured = kit.drill().measures.iter().find(|measure| {
            measure.step == *id
                && (measure.how != How::Shown || measure.whose == Whose::Act)
                && sheet.measures.contains_key(&measure.id)
        });
        if *mark == Mark::NotDone
            && !evidence.badly(step)
            && let Some(measure) = measured
        {
            let fault = blank(Fault::asks(&path, "measured-not-done"));
            return Some(fault.with("value", &measure.label));
        }
        None
    };
    sheet.marks.iter().filter_map(fault).collect()
}

/// Whether rig and mode have a cue.
fn stands_cue(kit: &Kit, sheet: &RunSheet, id: &str) -> bool {
    let cue = kit.drill().cues.iter().find(|cue| cue.id == id);
    cue.is_some_and(|cue| stands(kit, sheet.mode, cue.condition()) == Standing::Stands)
}

fn order(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let steps = &kit.drill().steps;
    let known = |id: &String| steps.iter().any(|step| step.id == *id);
    let mut found = Vec::new();
    let listed = match &sheet.order_seen {
        OrderSeen::Listed(listed) => listed.as_slice(),
        _ => &[],
    };
    for (field, list) in [("order-seen", listed), ("undone", sheet.undone.as_slice())] {
        let mut seen = BTreeSet::new();
        for (at, id) in list.iter().enumerate() {
            let path = [field, &at.to_string()];
            if !known(id) {
                let known = steps.iter().map(|step| step.id.as_str());
                found.push(unknown(&path, "unknown-step", id, known));
            } else if !seen.insert(id) {
                found.push(Fault::at(&path, "step-twice").with("name", id));
            }
        }
    }
    if !matches!(sheet.order_seen, OrderSeen::Listed(_)) {
        return found;
    }
    let rules = kit.drill().orders();
    let ordered = |id: &String| rules.iter().any(|r| r.first == *id || r.then == *id);
    let mut left_out = Vec::new();
    for step in steps.iter().filter(|step| step.role == sheet.role) {
        let mark = sheet.marks.get(&step.id);
        let done = matches!(mark, Some(Mark::Done | Mark::Prompted));
        match listed.iter().rposition(|id| *id == step.id) {
            Some(at)
                if matches!(mark, Some(Mark::NotDone | Mark::NotApplicable))
                    && !(Evidence { kit, sheet }).badly(step) =>
            {
                let path = ["order-seen", &at.to_string()];
                found.push(Fault::asks(&path, "order-not-done").with("name", &step.id));
            }
            None if done
                && ordered(&step.id)
                && stands(kit, sheet.mode, step.condition()) == Standing::Stands =>
            {
                left_out.push(step.id.as_str());
            }
            _ => {}
        }
    }
    // Steps that one list leaves out are one fault; a name that nobody knows may be one of
    // them, misspelled.
    if !left_out.is_empty() && listed.iter().all(known) {
        let fault = Fault::asks(&["order-seen"], "order-left-out");
        found.push(fault.with("name", left_out.join(", ")));
    }
    found
}

fn criticals(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let criticals = &kit.drill().criticals;
    let fault = |(id, mark): (&String, &CriticalMark)| {
        let path = ["criticals", id.as_str()];
        let Some(critical) = criticals.iter().find(|critical| critical.id == *id) else {
            let known = criticals.iter().map(|critical| critical.id.as_str());
            return Some(unknown(&path, "unknown-critical", id, known));
        };
        let happened = matches!(mark, CriticalMark::Yes | CriticalMark::Prevented);
        let shown = stands(kit, sheet.mode, critical.condition());
        // Rule 7 d: a box that is struck out was marked. What was seen counts all the same.
        let key = match (shown, mark) {
            (Standing::NotOnRig, _) if happened => "critical-cannot-happen",
            (Standing::NotInMode, CriticalMark::No)
                if sheet.mode != Mode::WalkThrough =>
            {
                "critical-mode-cannot-show"
            }
            _ if happened && told(sheet, id).is_empty() => "happened-untold",
            _ => return None,
        };
        let needs = critical.condition().lacks(kit.rig()).unwrap_or_default();
        Some(Fault::asks(&path, key).with("needs", needs))
    };
    sheet.criticals.iter().filter_map(fault).collect()
}

fn unsafe_acts(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let acts = &kit.standard().unsafe_acts;
    let mut found = Vec::new();
    let mut seen = BTreeSet::new();
    for (at, id) in sheet.unsafe_acts.iter().enumerate() {
        let path = ["unsafe-acts", &at.to_string()];
        if !acts.iter().any(|act| act.id == *id) {
            let known = acts.iter().map(|act| act.id.as_str());
            found.push(unknown(&path, "unknown-act", id, known));
        } else if !seen.insert(id) {
            found.push(Fault::at(&path, "act-twice").with("name", id));
        }
    }
    found
}
