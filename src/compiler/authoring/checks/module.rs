//! The module as a whole: is everything used, and everything answered?

use std::collections::BTreeSet;

use super::Checked;
use crate::authoring::pace::{of_lesson, of_module};
use crate::authoring::pictures::pictures;
use crate::course::has;
use crate::findings::{Code, Finding, Place};
use crate::quantity::{Quantity, find};
use crate::theme;

/// Files that every module may have and that no other file names.
const BY_NAME: &[&str] = &[
    "module.yaml",
    "local.yaml",
    "cautions.yaml",
    "objectives.yaml",
    "terms.yaml",
    "teaches.yaml",
    "leaves.yaml",
    "evaluator.md",
    "people.yaml",
    "roster.yaml",
    "sources.yaml",
    "constants.yaml",
    "families.yaml",
];

/// What the register says where nothing is decided: the page prints a box to fill in.
const OPEN: &str = "not decided yet";

/// Folders whose files are all read; those of schema/ by an editor.
const WHOLE: &[&str] =
    &["trade/", "formulas/", "tables/", "runs/", "revisions/", "schema/"];

pub(super) fn check(checked: &Checked<'_>) {
    pass_mark(checked);
    minutes(checked);
    objectives(checked);
    topics(checked);
    if !checked.missing_file {
        files(checked);
    }
}

/// Stated and reckoned minutes of a lesson may differ by so many: a class that asks takes as much
/// longer. Common practice of ours.
const LESSON_OFF: i128 = 5;

/// The same of a whole module, in minutes: a break.
const MODULE_OFF: i128 = 30;

/// Minutes and hours against what is reckoned at the pace that the module states; without a pace
/// nobody said how it is reckoned.
fn minutes(checked: &Checked<'_>) {
    let module = &checked.course.module;
    let Some(pace) = module.pace.as_ref().filter(|pace| pace.words > 0) else { return };
    let whole = |stated: &Quantity| Some(stated.in_unit(find("min")?)?.number().floor());
    let head = checked.file("module.yaml");
    for lesson in &checked.course.lessons {
        // A lesson whose file is not there takes no minutes, and that is told where it is named.
        if !checked.sources.contains_key(&lesson.file) {
            continue;
        }
        let both = whole(&lesson.minutes).zip(of_lesson(pace, lesson));
        let Some((stated, reckoned)) = both else { continue };
        if (stated - reckoned).abs() > LESSON_OFF {
            let spot = head.at("lessons").entry("lesson", &lesson.id).at("minutes");
            let finding = Finding::at(Code::LessonMinutes, spot.place());
            let finding = finding.with("stated", lesson.minutes.printed());
            checked.note(finding.with("reckoned", reckoned.to_string()));
        }
    }
    let both = whole(&module.hours).zip(of_module(pace, checked.course));
    let Some((stated, reckoned)) = both else { return };
    if (stated - reckoned).abs() > MODULE_OFF {
        let finding = Finding::at(Code::ModuleHours, head.at("hours").place());
        let finding = finding.with("stated", module.hours.printed());
        checked.note(finding.with("reckoned", reckoned.to_string()));
    }
}

fn pass_mark(checked: &Checked<'_>) {
    let mark = checked.course.module.pass_mark.as_ref();
    if mark.is_some_and(|mark| mark.source.is_empty()) {
        let place = checked.file("module.yaml").at("pass-mark").key();
        checked.note(Finding::at(Code::PassMarkWithoutSource, place));
    }
}

/// Each objective is taught or assessed somewhere.
fn objectives(checked: &Checked<'_>) {
    let lessons = checked.file("module.yaml").at("lessons").items();
    let mut used: BTreeSet<String> = BTreeSet::new();
    for sheet in lessons.into_iter().chain(checked.folder("drills/")) {
        used.extend(sheet.at("objectives").texts());
    }
    for set in checked.folder("questions/") {
        used.extend(set.at("questions").ids("objective"));
    }
    let named = ["drills", "sets"].into_iter().zip(["drills", "questions"]);
    let unread = named.into_iter().any(|(list, folder)| {
        let ids = checked.file("module.yaml").at(list).texts();
        ids.iter().any(|id| checked.unread(&format!("{folder}/{id}.yaml")))
    });
    if unread {
        return;
    }
    for objective in checked.file("objectives.yaml").items() {
        let spot = objective.at("objective");
        if let Some(id) = spot.text().filter(|id| !used.contains(*id)) {
            let finding = Finding::at(Code::ObjectiveUnused, spot.place());
            checked.note(finding.with("id", id));
        }
    }
}

/// Each topic of the trade's list has an entry in the register.
fn topics(checked: &Checked<'_>) {
    let Some(answered) = checked.known("answered topic") else { return };
    let mut used: BTreeSet<String> = BTreeSet::new();
    for drill in checked.folder("drills/") {
        used.extend(drill.at("local").texts());
        used.extend(drill.at("steps").ids("local"));
    }
    for lesson in checked.file("module.yaml").at("lessons").items() {
        used.extend(lesson.at("local").texts());
    }
    // A topic whose name is misspelled in the register is answered there.
    let slips = checked.told_before(Code::UnknownId, "local.yaml", "nearest");
    let misspelled = |id: &str| slips.iter().any(|near| near == id);
    let rigs = &checked.course.rigs;
    let mut open: Vec<(&str, &str)> = Vec::new();
    let all = checked.file("trade/topics.yaml").items();
    for topic in &all {
        let Some(id) = topic.at("topic").text() else { continue };
        // A department without foam decides nothing about it.
        let needs = topic.at("needs").text();
        // Nor one without a register, but for what its own drills and lessons lean on.
        let arises = !answered.listed().is_empty()
            && needs.is_none_or(|needs| rigs.values().any(|rig| has(rig, needs)));
        if (arises || used.contains(id)) && !answered.has(id) && !misspelled(id) {
            open.push((id, topic.at("asks").text().unwrap_or_default()));
        }
    }
    if open.is_empty() {
        return;
    }
    // One finding with all of them: a new module has two dozen, and they are mended at once.
    let names: Vec<&str> = open.iter().map(|(id, _)| *id).collect();
    let entry = |(id, asks): &(&str, &str)| {
        format!("# {asks}\n- topic: {id}\n  decision: {OPEN}")
    };
    let block: Vec<String> = open.iter().map(entry).collect();
    let place = checked.trees.place("local.yaml", &[]);
    let finding = Finding::at(Code::TopicUnanswered, place);
    let finding = finding.with("ids", names.join(", "));
    checked.note(finding.with("block", block.join("\n")));
}

/// Files of the folder that nothing leads to.
fn files(checked: &Checked<'_>) {
    let head = checked.file("module.yaml");
    let mut named: BTreeSet<String> = BY_NAME.iter().map(|&name| name.into()).collect();
    for (list, folder) in [
        ("drills", "drills"),
        ("sets", "questions"),
        ("rigs", "rigs"),
        ("concentrates", "concentrates"),
        ("narrated", "narrated"),
    ] {
        let ids = head.at(list).texts();
        // A name that ends as the file does is told, and leads to it.
        let ids = ids.iter().map(|id| id.strip_suffix(".yaml").unwrap_or(id));
        named.extend(ids.map(|id| format!("{folder}/{id}.yaml")));
    }
    let lessons = head.at("lessons").ids("file");
    let texts = lessons.iter().filter_map(|file| checked.sources.get(file));
    named.extend(texts.flat_map(|text| pictures(text)));
    named.extend(lessons);
    named.extend([theme::WORDS, theme::LOOK].map(str::to_owned));
    // By what the sheet says: one with a fault of its own is no file that nobody uses.
    let logo = checked.file(theme::LOOK).at("logo");
    named.extend(logo.text().map(|name| format!("theme/{name}")));
    // A picture whose name is misspelled in a lesson, or whose lesson lost its text, is one
    // fault and not two.
    let found = checked.found.borrow();
    let lost = |finding: &Finding| {
        matches!(finding.code, Code::BrokenPicture | Code::EmptyLesson)
    };
    let pictures = if found.iter().any(lost) { None } else { Some(checked.others) };
    drop(found);
    let hidden = |file: &str| file.split('/').any(|part| part.starts_with('.'));
    let readme = |file: &str| file.rsplit('/').next() == Some("README.md");
    let texts = checked.sources.keys();
    for file in texts.chain(pictures.into_iter().flatten()) {
        let whole = WHOLE.iter().any(|folder| file.starts_with(folder));
        if whole || hidden(file) || readme(file) || named.contains(file) {
            continue;
        }
        let first = checked.sources.get(file).and_then(|text| text.lines().next());
        let end = first.map_or(0, str::len);
        let place = Place { file: file.clone(), start: 0, end };
        checked.note(Finding::at(Code::UnreachableFile, place));
    }
}
