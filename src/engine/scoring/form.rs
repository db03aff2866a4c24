//! Forms of numbered sheets, as they are kept for scoring, and what a run that names one is held
//! to (rules 30 and 41).
//!
//! The form code hashes what was drawn, with the seed: a file in which a number was changed is
//! not what its code says, and is not read.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::expected::Readings;
use super::fault::Fault;
use super::kit::Kit;
use super::parts::one_evaluation;
use super::say;
use super::verdict::{Decision, Line, Rule};
use crate::course::{Condition, DrawnPlan, Mode, RunSheet};
use crate::fingerprint::{check_code, revision, short_code};
use crate::quantity::Quantity;
use crate::quiz::{DRAW_VERSION, key};
use crate::words::Words;

/// Raised when the fields of the file change their meaning.
pub const DRAWN_FORMAT: u32 = 1;

/// The numbered sheets of one drill on one rig. The file holds the seed, so it stays with the
/// officers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct DrawnForms {
    /// [`DRAWN_FORMAT`].
    pub format: u32,
    /// What the file is, in a sentence.
    pub about: String,
    /// What all of them were drawn from.
    pub seed: String,
    /// Version of the drawing rules.
    pub draw_version: String,
    /// The sheets.
    pub sheets: Vec<DrawnSheet>,
}

/// What was drawn for one sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct DrawnSheet {
    /// Form code, as on the sheet.
    pub code: String,
    /// Number of the sheet, from 1.
    pub number: u32,
    /// Drill.
    pub drill: String,
    /// Its revision.
    pub drill_revision: String,
    /// Rig.
    pub rig: String,
    /// Its revision.
    pub rig_revision: String,
    /// Outlet, where it was drawn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outlet: Option<String>,
    /// Readings that were drawn.
    pub readings: Readings,
    /// The order to be refused.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused: Option<Quantity>,
}

impl DrawnSheet {
    pub(super) fn new(
        kit: &Kit,
        seed: &str,
        (number, outlet): (u32, Option<String>),
        readings: Readings,
        refused: Option<Quantity>,
    ) -> Self {
        let mut sheet = Self {
            code: String::new(),
            number,
            drill: kit.drill().id.clone(),
            drill_revision: kit.drill_revision().to_owned(),
            rig: kit.rig().id.clone(),
            rig_revision: kit.rig_revision().to_owned(),
            outlet,
            readings,
            refused,
        };
        sheet.code = sheet.code_of(seed, DRAW_VERSION);
        sheet
    }

    /// A one-way hash of the seed and all that is printed: nobody gets the seed back from it.
    fn code_of(&self, seed: &str, version: &str) -> String {
        // Texts, whole numbers and quantities always have a canonical form.
        let plain = Self { code: String::new(), ..self.clone() };
        let printed = revision(&plain).unwrap_or_default();
        short_code(&key(&["sheet form", version, seed, &printed]), 8)
    }
}

impl DrawnForms {
    /// Sheets as they are kept.
    pub fn of(words: &Words, seed: &str, sheets: Vec<DrawnSheet>) -> Self {
        Self {
            format: DRAWN_FORMAT,
            about: words.get("scoring.form.about"),
            seed: seed.to_owned(),
            draw_version: DRAW_VERSION.to_owned(),
            sheets,
        }
    }

    /// Whether it is a file of this program in which nothing was changed.
    pub fn is_sound(&self) -> bool {
        let code = |sheet: &DrawnSheet| sheet.code_of(&self.seed, &self.draw_version);
        self.format == DRAWN_FORMAT
            && self.sheets.iter().all(|sheet| sheet.code == code(sheet))
    }
}

/// Forms that are known when runs are scored, by their code.
#[derive(Debug, Clone, Default)]
pub struct KnownForms(BTreeMap<String, DrawnSheet>);

impl KnownForms {
    /// All sheets of some files. Equal codes are equal sheets.
    pub fn of(files: &[DrawnForms]) -> Self {
        let all = files.iter().flat_map(|file| &file.sheets);
        Self(all.map(|sheet| (sheet.code.clone(), sheet.clone())).collect())
    }

    /// The form that a run names.
    pub fn named(&self, sheet: &RunSheet) -> Option<&DrawnSheet> {
        self.0.get(&code(sheet)?)
    }

    /// Writes into a run what was drawn for it and is not written there.
    pub fn fill(&self, kit: &Kit, sheet: &mut RunSheet) {
        let Some(form) = self.named(sheet).filter(|form| fits(form, sheet)) else {
            return;
        };
        if !stands_in(kit, sheet) {
            return;
        }
        for (id, value) in &form.readings {
            sheet.readings.entry(id.clone()).or_insert(*value);
        }
    }

    /// What a run that names a form has against it. None of it is guessed: both are told.
    pub fn faults(&self, kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
        let Some(given) = &sheet.form else { return Vec::new() };
        let of = |fault: Fault| fault.with("form", given.trim());
        // One letter that is wrong is told from a form that nobody has.
        if let Some(fault) = form_misread(sheet) {
            return vec![fault];
        }
        let Some(form) = self.named(sheet) else {
            return vec![of(Fault::at(&["form"], "form-unknown"))];
        };
        if !fits(form, sheet) {
            let fault = of(Fault::at(&["form"], "form-of-other"));
            return vec![fault.with("drill", &form.drill).with("rig", &form.rig)];
        }
        let mut found = Vec::new();
        let own = |hash: &str, of: &str| hash != of;
        if own(&form.drill_revision, kit.drill_revision())
            || own(&form.rig_revision, kit.rig_revision())
        {
            found.push(of(Fault::at(&["form"], "form-revision")));
        }
        if let Some(outlet) = &form.outlet
            && *outlet != sheet.outlet
            // A sheet that names none is asked for it, and contradicts nothing.
            && !sheet.outlet.is_empty()
        {
            let fault = of(Fault::at(&["outlet"], "form-outlet")).with("drawn", outlet);
            found.push(fault.with("found", &sheet.outlet));
        }
        if !stands_in(kit, sheet) {
            return found;
        }
        for (id, drawn) in &form.readings {
            let written = sheet.readings.get(id);
            let other = written.filter(|written| {
                !written.base().compare(drawn.base()).is_eq()
                    || written.unit().kind != drawn.unit().kind
            });
            if let Some(other) = other {
                let fault = of(Fault::at(&["readings", id], "form-reading"))
                    .with("found", other.printed());
                let mut readings = kit.drill().readings.iter();
                let label =
                    readings.find(|one| one.id == *id).map(|one| one.label.as_str());
                let fault = fault.with("drawn", drawn.printed());
                found.push(fault.with("label", label.unwrap_or(id)));
            }
        }
        found
    }
}

impl KnownForms {
    /// The run as its form has it, where the two contradict each other.
    pub fn as_drawn(&self, kit: &Kit, sheet: &RunSheet) -> Option<RunSheet> {
        let mut own = sheet.clone();
        let faults = self.faults(kit, sheet);
        let other = faults.iter().filter(|fault| fault.key == "form-reading");
        for id in other.filter_map(|fault| fault.path.get(1)) {
            own.readings.remove(id);
        }
        self.fill(kit, &mut own);
        (own.readings != sheet.readings).then_some(own)
    }
}

/// A form code with a letter that is wrong or missing: its check letter tells that without the
/// forms, also on a page that has none.
pub fn form_misread(sheet: &RunSheet) -> Option<Fault> {
    let given = sheet.form.as_ref().filter(|_| code(sheet).is_none())?;
    Some(Fault::at(&["form"], "form-misread").with("form", given.trim()))
}

/// What a verdict says of a run that names a form where nobody has its forms file: what was drawn is
/// held against nothing. Where the numbers of the run come from the form, its result rests on them
/// (rules 30 and 41).
pub(super) fn form_not_here(kit: &Kit, sheet: &RunSheet) -> Line {
    let words = kit.words();
    let label = words.get("scoring.rule.sheet");
    let line = say::line(words, Rule::Sheet, "form", &label);
    let form = sheet.form.as_deref().unwrap_or_default().trim();
    let (decision, key) = if stands_in(kit, sheet) {
        (Decision::Unseen, "form-not-here-decides")
    } else {
        (Decision::Noted, "form-not-here")
    };
    // words: scoring.line.{form-not-here|form-not-here-decides}
    line.saw(form, "").means(words, decision, key, &[("form", form)])
}

/// The code that a run names, in its proper spelling; nothing where it cannot be one.
pub(super) fn code(sheet: &RunSheet) -> Option<String> {
    check_code(sheet.form.as_deref()?.trim())
}

fn fits(form: &DrawnSheet, sheet: &RunSheet) -> bool {
    form.drill == sheet.drill && form.rig == sheet.rig
}

/// Whether what is drawn stands in for the panel in the mode of the run.
fn stands_in(kit: &Kit, sheet: &RunSheet) -> bool {
    let plan: Option<&DrawnPlan> = kit.drill().drawn.as_ref();
    plan.is_some_and(|plan| in_plan(plan, sheet.mode))
}

/// Whether what is drawn stands in for the panel in a mode.
pub(super) fn in_plan(plan: &DrawnPlan, mode: Mode) -> bool {
    Condition { needs: None, modes: &plan.modes }.shown_in(mode)
}

/// What the runs before it say against the numbers of a run: each form is for one run, and a
/// retest has new ones (rule 30). Two evaluators, the roles of a crew and the drills of a chain
/// share a run, and what completes a run goes on with its numbers (rule 13). A practice run uses a
/// form up as well: its candidate has seen the numbers.
pub(super) fn used_before(
    kit: &Kit,
    sheet: &RunSheet,
    (before, whole): (&[&RunSheet], &[&RunSheet]),
) -> Vec<Line> {
    let words = kit.words();
    let goes_on = |other: &RunSheet| {
        sheet.completes.as_ref() == Some(&other.id) && one_evaluation(other, sheet)
    };
    let others = || before.iter().filter(|other| other.id != sheet.id && !goes_on(other));
    let refused = |key: &str, other: &RunSheet| {
        let label = words.get("scoring.rule.attempt");
        let line = say::line(words, Rule::Attempt, "form", &label);
        let form = sheet.form.as_deref().unwrap_or_default();
        let blanks = [("form", form), ("used", other.id.as_str())];
        // words: scoring.line.{form-used|numbers-used}
        vec![line.means(words, Decision::Refused, key, &blanks)]
    };
    let own = code(sheet);
    if let Some(other) = others().find(|other| own.is_some() && code(other) == own) {
        return refused("form-used", other);
    }
    let again = |other: &&&RunSheet| {
        other.candidate == sheet.candidate
            && other.drill == sheet.drill
            && other.rig == sheet.rig
            && same_numbers(kit, other, sheet)
    };
    // Two forms are two sheets with other numbers, even where the run sheet holds few of them.
    let both = |other: &RunSheet| own.is_some() && code(other).is_some();
    // What came to a result, in practice as well, is followed by other numbers. A walk-through, a void
    // run or one that was met in part is not: what follows is no retest (rules 30 and 31).
    let tried = |other: &&&RunSheet| whole.iter().any(|one| std::ptr::eq(*one, **other));
    match others().filter(tried).find(again).filter(|other| !both(other)) {
        Some(other) => refused("numbers-used", other),
        None => Vec::new(),
    }
}

/// Whether all that is drawn in this drill is the same on two sheets.
fn same_numbers(kit: &Kit, one: &RunSheet, other: &RunSheet) -> bool {
    let Some(plan) = &kit.drill().drawn else { return false };
    let alike = |id: &String| {
        let both = one.readings.get(id).zip(other.readings.get(id));
        both.is_some_and(|(one, other)| one.base().compare(other.base()).is_eq())
    };
    // Without a number nothing is known of what was drawn; an outlet alone is no number.
    let drawn = !plan.readings.is_empty() && stands_in(kit, one) && stands_in(kit, other);
    drawn
        && (plan.outlet.is_none() || one.outlet == other.outlet)
        && plan.readings.iter().all(|(id, _)| alike(id))
}
