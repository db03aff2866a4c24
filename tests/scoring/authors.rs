//! Author files that would weaken the standard, over the example district: each is told where it
//! stands.

use std::collections::BTreeSet;
use std::path::Path;

use drillwright::authoring::{Options, RunReader, kept_file, read};
use drillwright::course::Course;
use drillwright::findings::{self, Code, Finding, Sources};
use drillwright::quantity::Day;
use drillwright::scoring::{Outcome, Run, all_of, kept_files, score_all, withdrawal};
use drillwright::stock;
use drillwright::workshop::read_folder;

fn sources() -> Sources {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let (folder, _) = read_folder(&content).unwrap();
    let mut texts = folder.texts;
    // As if nothing had been printed or run yet: a changed drill is another revision.
    texts.retain(|file, _| !file.starts_with("revisions/") && !file.starts_with("runs/"));
    texts
}

fn course_of(sources: &Sources) -> (Option<Course>, Vec<Finding>) {
    read(sources, &BTreeSet::new(), Options::default())
}

/// What is found of a code when texts are put for others in one file.
fn told(file: &str, changes: &[(&str, &str)], code: Code) -> Vec<Finding> {
    let mut sources = sources();
    let text = sources.get_mut(file).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from} in {file}");
        *text = text.replace(from, to);
    }
    let (_, found) = course_of(&sources);
    let broken: Vec<_> = found.iter().filter(|one| one.code == Code::NotYaml).collect();
    assert!(broken.is_empty(), "{broken:?}");
    found.into_iter().filter(|one| one.code == code).collect()
}

#[test]
fn the_district_has_nothing_that_weakens_its_standards() {
    let (_, found) = course_of(&sources());
    let weak = [
        Code::ValueUnsaid,
        Code::ReadingUnsaid,
        Code::AirUntold,
        Code::ScriptedWorks,
        Code::RoleUncritical,
        Code::LinkUnshown,
        Code::LimitNever,
        Code::ActOfRig,
        Code::LimitWide,
        Code::StepUnshown,
        Code::NothingProduced,
        Code::RevisionUndated,
    ];
    let told: Vec<_> = found.iter().filter(|one| weak.contains(&one.code)).collect();
    assert!(told.is_empty(), "{told:#?}");
}

#[test]
fn a_drill_that_works_the_air_says_which_step_does() {
    let startup = "drills/startup.yaml";
    let flush = "drills/flush.yaml";
    let cases: [(&str, &[(&str, &str)]); 3] = [
        (startup, &[("  is: opens-air\n", "")]),
        (startup, &[("  is: confirms-foam\n", "")]),
        (flush, &[("  is: shuts-air\n", ""), ("  is: shuts-foam\n", "")]),
    ];
    for (file, changes) in cases {
        let found = told(file, changes, Code::AirUntold);
        assert!(!found.is_empty(), "{file} {changes:?}");
    }
}

/// The sources with what compile would keep of them.
fn printed(sources: &Sources) -> Sources {
    let (course, _) = course_of(sources);
    let course = course.unwrap();
    let mut all = sources.clone();
    for drill in &course.drills {
        let files = kept_files(&course, drill).unwrap();
        all.extend(
            files.into_iter().map(|(name, text)| (format!("revisions/{name}"), text)),
        );
    }
    all
}

fn undated(sources: &Sources) -> Vec<String> {
    let (_, found) = course_of(sources);
    let found = found.into_iter().filter(|one| one.code == Code::RevisionUndated);
    found.filter_map(|one| one.place).map(|place| place.file).collect()
}

fn put(sources: &mut Sources, file: &str, from: &str, to: &str) {
    let text = sources.get_mut(file).unwrap();
    assert!(text.contains(from), "{from} in {file}");
    *text = text.replacen(from, to, 1);
}

#[test]
fn rule_37_other_content_has_another_day() {
    let mut all = printed(&sources());
    assert_eq!(undated(&all), [] as [&str; 0]);
    put(&mut all, "drills/flush.yaml", "  weight: 3\n", "  weight: 1\n");
    put(&mut all, "rigs/engine-7.yaml", "service-test: 300 psi", "service-test: 320 psi");
    assert_eq!(undated(&all), ["drills/flush.yaml", "rigs/engine-7.yaml"]);
    // A later day is another one; a card that had none gets its first.
    let flush = all["drills/flush.yaml"].clone();
    let at = flush.find("\nrevised-on: ").unwrap() + "\nrevised-on: ".len();
    let own = format!("revised-on: {}", flush.get(at..at + 10).unwrap());
    put(&mut all, "drills/flush.yaml", &own, "revised-on: 2026-12-24");
    let rig = "rig: engine-7\n";
    put(&mut all, "rigs/engine-7.yaml", rig, "rig: engine-7\nrevised-on: 2026-12-24\n");
    assert_eq!(undated(&all), [] as [&str; 0]);
}

#[test]
fn a_card_that_is_checked_again_is_the_same_card() {
    let all = printed(&sources());
    let mut again = sources();
    let text = again.get_mut("rigs/engine-7.yaml").unwrap();
    let at = text.find("checked:\n").unwrap();
    let day = text.get(at..).unwrap().find("  on: ").unwrap() + at + "  on: ".len();
    text.replace_range(day..day + 10, "2026-11-30");
    let later = printed(&again);
    let kept = |all: &Sources| -> Vec<(String, String)> {
        let files =
            all.iter().filter(|(file, _)| file.starts_with("revisions/rig-engine-7"));
        files.map(|(file, text)| (file.clone(), text.clone())).collect()
    };
    let (before, after) = (kept(&all), kept(&later));
    assert_eq!((before.len(), after.len()), (1, 1));
    // The name has the hash, and the hash is the same; the text says when it was checked.
    assert_eq!(before[0].0, after[0].0);
    assert_ne!(before[0].1, after[0].1);
    for (_, text) in before.iter().chain(&after) {
        assert!(kept_file(text, &stock::words()).is_ok());
    }
    // What was kept first stays as it was kept, and a run by it is one by today's card.
    let mut both = again.clone();
    both.extend(before);
    assert_eq!(undated(&both), [] as [&str; 0]);
    let course = course_of(&both).0.unwrap();
    assert_eq!(all_of(&course).unwrap().rigs.len(), course.rigs.len());
}

#[test]
fn what_withdraws_a_revision_that_nobody_kept_is_told() {
    let mut all = printed(&sources());
    let course = course_of(&all).0.unwrap();
    let hash = all_of(&course).unwrap().drills.keys().next().unwrap().clone();
    let (name, text, _) =
        withdrawal(&course, hash.get(..8).unwrap(), "2026-12-01", "Unsafe.")
            .unwrap()
            .unwrap();
    let broken = |all: &Sources| {
        let (_, found) = course_of(all);
        let found = found.into_iter().filter(|one| one.code == Code::RevisionBroken);
        let words = stock::words();
        let said = found.map(|one| findings::printed(&one, all, &words).says);
        said.collect::<Vec<_>>()
    };
    all.insert(format!("revisions/{name}"), text.clone());
    assert_eq!(broken(&all), [] as [&str; 0]);
    // One figure of the hash is another.
    let last = if hash.ends_with('0') { "1" } else { "0" };
    let other = text.replace(&hash, &format!("{}{last}", hash.get(..63).unwrap()));
    all.insert(format!("revisions/{name}"), other);
    let said = broken(&all);
    let reason = stock::words().get("kept.no-such-revision");
    assert_eq!(said.len(), 1);
    assert!(said[0].contains(&reason), "{said:?}");
}

#[test]
fn rule_39_marks_of_the_older_rules_are_told_as_such() {
    let (course, _) = course_of(&sources());
    let (course, words) = (course.unwrap(), stock::words());
    let old = include_str!("older-rules.yaml");
    let mut reader = RunReader::new(&course, &words, Day::read("2026-12-31"));
    let (given, found) = reader.read(old, "old.yaml");
    let runs: Vec<Run<'_>> =
        given.iter().map(drillwright::authoring::Given::run).collect();
    assert!(score_all(&runs).iter().all(|one| one.outcome != Outcome::Met));
    let sources = Sources::from([("old.yaml".to_owned(), old.to_owned())]);
    let told = found.iter().filter(|one| one.code == Code::OldMark);
    let told: Vec<_> = told.map(|one| findings::printed(one, &sources, &words)).collect();
    assert_eq!(told.len(), 2, "{found:#?}");
    for (one, [word, now]) in told.iter().zip([["kept", "no"], ["missed", "yes"]]) {
        assert!(
            one.says.contains(word) && one.says.contains("not judged"),
            "{}",
            one.says
        );
        assert!(one.write.contains(&format!("\"{now}\"")), "{}", one.write);
        assert!(one.line.is_some());
    }
    assert!(found.iter().all(|one| one.code != Code::UnknownWord), "{found:#?}");
}

/// A drill of the library with one thing less that decides, each told where it stood.
#[test]
fn what_a_drill_lost_of_the_librarys_is_told() {
    let startup = "drills/startup.yaml";
    let low_mark = "- cue: low-mark\n  says: ";
    let text = &sources()[startup];
    let from = text.find(low_mark).unwrap();
    let rest = text.get(from..).unwrap();
    let cue: String = rest.split_inclusive("\n- cue:").take(1).collect();
    let cue = cue.strip_suffix("- cue:").unwrap().to_owned();
    let cases: [(&str, &[(&str, &str)]); 8] = [
        ("is: opens-air", &[("  is: opens-air\n", "")]),
        ("is: shuts-air", &[("  is: shuts-air\n", "")]),
        (
            "chock > water; chock > circulate",
            &[("  - order: chock\n    then: [water, circulate]\n", "")],
        ),
        (
            "lost-air-off > restore; lost-air-off > air-again",
            &[(
                "    then: [lost-reset, restore, air-again]\n",
                "    then: [lost-reset]\n",
            )],
        ),
        (
            "answers foam-lost: lost-air-off",
            &[("  - cue: foam-lost\n    answered-by: lost-air-off\n", "")],
        ),
        (
            "modes: walk-through, plain-water, training-foam",
            &[("- step: chock\n", "- step: chock\n  modes: [agent]\n")],
        ),
        ("cue: low-mark", &[("  cue: low-mark\n", "")]),
        ("cue: low-mark", &[("  cue: low-mark\n", ""), (&cue, "")]),
    ];
    for (was, changes) in cases {
        let found = told(startup, changes, Code::LibrarySofter);
        let blank = |one: &Finding| {
            one.blanks.iter().any(|(name, value)| *name == "was" && value == was)
        };
        assert!(found.iter().any(blank), "{was}: {found:?}");
        let place = found[0].place.as_ref().unwrap();
        assert!(place.file == startup && place.end > place.start, "{was}");
    }
    // The drills as they are, and one that was renamed, which is still the library's.
    let (_, found) = course_of(&sources());
    assert!(found.iter().all(|one| one.code != Code::LibrarySofter), "{found:?}");
    let mut renamed = sources();
    let text = renamed.remove(startup).unwrap();
    let text = text.replace("drill: startup\n", "drill: bring-up\n");
    renamed.insert("drills/bring-up.yaml".into(), text.replace("  is: opens-air\n", ""));
    for text in renamed.values_mut() {
        *text = text.replace("- startup\n", "- bring-up\n");
    }
    let (_, found) = course_of(&renamed);
    assert!(found.iter().any(|one| one.code == Code::LibrarySofter), "{found:?}");
}

/// A gauge that ends before the hose limit shows nothing beyond it (rule 18 a).
#[test]
fn a_pressure_whose_gauge_ends_before_the_hose_limit_is_told() {
    let startup = "drills/startup.yaml";
    let to = |most: &str| {
        let most = format!("  most: {most}\n");
        told(startup, &[("  most: 600 psi\n", &most)], Code::LimitNever).len()
    };
    assert_eq!((to("250 psi"), to("270 psi"), to("275 psi")), (1, 1, 0));
}

/// Steps, edges and bounds of another sort than their value, each with what to write.
#[test]
fn an_edge_without_its_unit_is_told() {
    let change = "drills/percent-change.yaml";
    let cases = [
        (
            "    below: 10 psi\n    above: 10 psi\n  limit",
            "    below: 66.6\n    above: 10 psi\n  limit",
            Code::NoUnit,
        ),
        ("  limit:\n    below: 10 psi", "  limit:\n    below: 66.6", Code::NoUnit),
        ("  most: 600 psi", "  most: 600", Code::NoUnit),
        ("  resolution: 5 psi", "  resolution: 5", Code::NoUnit),
        ("    below: 0 s", "    below: 2 gal", Code::WrongDimension),
    ];
    for (from, to, code) in cases {
        let found = told(change, &[(from, to)], code);
        assert!(!found.is_empty(), "{to}");
    }
    let found = told(change, &[("    below: 0 s", "    below: 2")], Code::NoUnit);
    let example = found[0].blanks.iter().find(|(name, _)| *name == "example").unwrap();
    assert_eq!(example.1, "2 s");
}

/// Words of a department under which a run that failed, or fails, would be read as met.
#[test]
fn words_that_turn_a_result_round_are_told() {
    let found = |words: &str| {
        let mut sources = sources();
        sources.insert("theme/words.yaml".into(), words.into());
        let (_, found) = course_of(&sources);
        found.iter().filter(|one| one.code == Code::WordSafety).count()
    };
    let outcome = |lines: &str| found(&format!("scoring:\n  outcome:\n{lines}"));
    assert_eq!(outcome("    not-met: Met on {date}\n"), 1);
    assert_eq!(outcome("    not-met: \"Met this drill's standard on {date}\"\n"), 1);
    assert!(outcome("    met: Ran on {date}\n    not-met: Ran on {date}\n") > 0);
    assert_eq!(outcome("    met: Did not meet it on {date}\n"), 1);
    assert_eq!(
        outcome("    met: Erfüllt am {date}\n    not-met: Nicht erfüllt am {date}\n"),
        0
    );
    assert_eq!(
        outcome("    met: Reached on {date}\n    not-met: Not reached on {date}\n"),
        0
    );
    assert_eq!(
        found("scoring:\n  crew:\n    not-met: The crew met its standard on {date}\n"),
        1
    );
    assert_eq!(found("scoring:\n  critical-mark:\n    \"yes\": \"no\"\n"), 1);
    let passes = "live:\n  criticals: Did this happen? Any of these passes the run\n";
    assert_eq!(found(passes), 1);
    let never = "page:\n  fixed: Local procedures, the maker's manual and the officer in charge never decide.\n";
    assert_eq!(found(never), 1);
}
