//! Narrated runs: the narration, behind it the drill's ordinary sheet to mark, and apart from both the
//! key. Officers' pages alone: whoever is evaluated has no use for what an evaluator practices.

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::html::html;
use super::kind::{PageKind, PagePlan, staff};
use super::sheet::page::{self, fits, missing, unprintable};
use crate::course::{Course, Due, Heard, Narrated, RunSheet};
use crate::page::sheet;
use crate::page::verdict;
use crate::quantity::minutes_seconds;
use crate::scoring::{Entry, entries, keyed};

#[derive(Serialize)]
struct NarrationView {
    before: String,
    /// What the head of the sheet is filled in with.
    facts: Vec<(String, String)>,
    /// Time and text of each paragraph.
    told: Vec<(String, String)>,
}

#[derive(Serialize)]
struct KeyView {
    rows: Vec<Row>,
    verdict_html: String,
}

#[derive(Serialize)]
struct Row {
    sort: String,
    label: String,
    mark: String,
    /// Time and reason, from each paragraph on which it rests.
    reasons: Vec<(String, String)>,
}

fn file(id: &str) -> String {
    format!("narrated-{id}.html")
}

fn sheet_file(id: &str) -> String {
    format!("narrated-{id}-sheet.html")
}

fn key_file(id: &str) -> String {
    format!("narrated-{id}-key.html")
}

/// Narration, sheet and key of each.
pub(super) fn plans(course: &Course) -> Vec<PagePlan> {
    let three = |one: &Narrated| {
        let id = || one.id.clone();
        [
            staff(&format!("narrated-{}", one.id), PageKind::Narrated(id())),
            staff(&format!("narrated-{}-sheet", one.id), PageKind::NarratedSheet(id())),
            staff(&format!("narrated-{}-key", one.id), PageKind::NarratedKey(id())),
        ]
    };
    course.narrated.iter().flat_map(three).collect()
}

/// Pages and titles of the narrations.
pub(super) fn links(shared: &Shared<'_>) -> Vec<(String, String)> {
    let all = shared.course.narrated.iter();
    let link = |one: &Narrated| {
        let title = shared.words.say("page.narrated.of", &[("title", &one.title)]);
        (file(&one.id), title)
    };
    all.map(link).collect()
}

fn narrated<'c>(desk: &Desk<'c>, id: &str) -> Result<&'c Narrated, PublishFault> {
    desk.sees(&[("narrated", id)]).course.narrated(id).ok_or_else(|| missing(id))
}

/// The narration leads to its sheet, the sheet to the key, and the key back.
fn onward(desk: &Desk<'_>, first: (String, &str)) -> Vec<(String, String)> {
    // words: page.narrated.{to-sheet|to-key|to-narration}
    let first = (first.0, desk.label(&format!("narrated.{}", first.1)));
    let guide = desk.sees(&[("all", "guide")]).course.guide.as_ref();
    let guide = guide.map(|_| ("evaluator.html".to_owned(), desk.label("guide.title")));
    std::iter::once(first).chain(guide).collect()
}

fn head(desk: &Desk<'_>, one: &Narrated, key: bool) -> Head {
    let drill = desk.drill(&one.key.drill);
    let next = if key {
        (file(&one.id), "to-narration")
    } else {
        (sheet_file(&one.id), "to-sheet")
    };
    Head {
        title: one.title.clone(),
        kicker: desk.label(if key { "narrated.key" } else { "narrated.kicker" }),
        side: Side::Staff,
        cautions: drill.map(|drill| drill.cautions.clone()).unwrap_or_default(),
        kind: if key { "narrated-key" } else { "narrated" },
        next: onward(desk, next),
        ..Head::default()
    }
}

/// `staff/narrated-ID.html`.
pub(super) fn page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let one = narrated(desk, id)?;
    let key = &one.key;
    let drill = desk.drill(&key.drill).ok_or_else(|| missing(&key.drill))?;
    let rig = desk.rig(&key.rig).ok_or_else(|| missing(&key.rig))?;
    let view = NarrationView {
        before: one.before.clone(),
        facts: facts(desk, key, [&drill.title, &rig.title]),
        told: one.narration.iter().map(|one| (clock(one), one.says.clone())).collect(),
    };
    desk.render("narrated.html", &head(desk, one, false), &view)
}

/// `staff/narrated-ID-sheet.html`: the drill's blank sheet, its head filled in.
pub(super) fn sheet_page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let one = narrated(desk, id)?;
    let key = &one.key;
    let drill = desk.drill(&key.drill).ok_or_else(|| missing(&key.drill))?;
    let rig = desk.rig(&key.rig).filter(|rig| fits(drill, rig));
    let rig = rig.ok_or_else(|| missing(&key.rig))?;
    let kit = desk.kit(drill, rig).map_err(unprintable)?;
    let (house, due) = (desk.house(&[drill]), named(key));
    let shared = desk.sees_frame(&drill.cautions);
    let mut head = page::head(shared, drill.title.clone(), "blank", rig, &drill.cautions);
    head.side = Side::Staff;
    head.form = page::form(desk, drill, rig);
    // Several of one drill lie open at once.
    head.kicker = format!("{}, {}", head.kicker, one.title);
    head.next = onward(desk, (key_file(id), "to-key"));
    page::render(shared, &head, (&house, &[]), |bench| {
        sheet::blank(bench, &kit, Some(&due))
    })
}

/// What is known of the run before it begins, so that the head of the sheet needs no narration.
fn named(key: &RunSheet) -> Due {
    Due {
        drill: key.drill.clone(),
        rig: key.rig.clone(),
        candidate: key.candidate.clone(),
        role: key.role.clone(),
        run: Some(key.id.clone()),
        attempt: Some(key.attempt),
        crew: key.crew.clone(),
        // Whoever marks it writes himself there.
        evaluator: None,
        safety_officer: Some(key.safety_officer.clone()).filter(|who| !who.is_empty()),
    }
}

/// What whoever types the sheet in writes as it stands here: both sheets are of one run only where
/// these are the same.
fn facts(
    desk: &Desk<'_>,
    key: &RunSheet,
    [drill, rig]: [&str; 2],
) -> Vec<(String, String)> {
    // words: sheet.mode.{Mode}
    let mode = desk.words.get(&format!("sheet.mode.{}", key.mode.key()));
    // words: sheet.use.{RunUse}
    let use_ = desk.words.get(&format!("sheet.use.{}", key.use_.key()));
    let outlets = std::iter::once(&key.outlet).chain(&key.further);
    let outlets: Vec<&str> =
        outlets.map(String::as_str).filter(|outlet| !outlet.is_empty()).collect();
    let attempt = key.attempt.to_string();
    let all = [
        ("run", key.id.clone()),
        ("drill", format!("{drill} ({})", key.drill)),
        ("rig", format!("{rig} ({})", key.rig)),
        ("line", outlets.join(", ")),
        ("use", use_),
        ("mode", mode),
        ("day", key.performed_at.clone()),
        ("attempt", attempt),
        ("candidate", key.candidate.clone()),
        ("weather", key.weather.clone()),
        ("light", key.light.clone()),
    ];
    let all = all.into_iter().filter(|(_, text)| !text.is_empty());
    // words: page.narrated.{run|drill|rig|line|use|mode|day|attempt|candidate|weather|light}
    all.map(|(label, text)| (desk.label(&format!("narrated.{label}")), text)).collect()
}

/// The time of a paragraph since the run began.
fn clock(one: &Heard) -> String {
    let seconds = crate::quantity::find("s").and_then(|unit| one.at.in_unit(unit));
    seconds.map_or_else(
        || one.at.printed(),
        |seconds| minutes_seconds(seconds.number().floor()),
    )
}

/// `staff/narrated-ID-key.html`.
pub(super) fn key_page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let one = narrated(desk, id)?;
    let key = &one.key;
    let drill = desk.drill(&key.drill).ok_or_else(|| missing(&key.drill))?;
    let rig = desk.rig(&key.rig).ok_or_else(|| missing(&key.rig))?;
    let kit = desk.kit(drill, rig).map_err(unprintable)?;
    let words = desk.words;
    let of = keyed(&kit, one).ok_or_else(|| missing(id))?;
    // What speaks for the run stands in the table of marks, each line with its reason.
    let mut nodes = verdict::result(&of, words).to_vec();
    nodes.extend(verdict::against(&of, words));
    nodes.extend(verdict::follows(&of, words));
    let row = |entry: Entry| Row {
        reasons: one
            .reasons(&entry.name)
            .map(|(heard, why)| (clock(heard), why.to_owned()))
            .collect(),
        sort: entry.sort,
        label: entry.label,
        mark: entry.mark,
    };
    let view = KeyView {
        rows: entries(&kit, key, words).into_iter().map(row).collect(),
        verdict_html: html(&nodes),
    };
    desk.render("narrated-key.html", &head(desk, one, true), &view)
}
