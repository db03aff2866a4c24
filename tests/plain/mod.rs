//! A department that carries water alone: an engine, a trailer, a portable pump with one line, a
//! monitor without hose. It needs no invented foam system, and no page of it speaks of foam.

use std::collections::BTreeSet;
use std::path::Path;

use drillwright::authoring::{Options, ProofWay, Proofs, RunReader, read};
use drillwright::course::{Course, RunSheet};
use drillwright::findings::{Code, Finding, Sources};
use drillwright::practice::live::LiveKit;
use drillwright::publish::{Shared, page, plan};
use drillwright::quiz::{Depth, KeptProofs};
use drillwright::scoring::{Kit, Outcome, faults, score, short_revision};
use drillwright::stock;
use drillwright::workshop::read_folder;

use crate::metric::visible;

fn sources() -> Sources {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/plain/content");
    let (folder, found) = read_folder(&content).unwrap();
    assert!(found.is_empty() && folder.others.is_empty(), "{found:?}");
    folder.texts
}

fn course_of(sources: &Sources) -> (Option<Course>, Vec<Finding>) {
    read(sources, &BTreeSet::new(), Options::default())
}

/// With one text of one file put for another.
fn changed(file: &str, from: &str, to: &str) -> (Option<Course>, Vec<Finding>) {
    let mut sources = sources();
    let text = sources.get_mut(file).unwrap();
    assert!(text.contains(from), "{from} in {file}");
    *text = text.replacen(from, to, 1);
    course_of(&sources)
}

fn pages(course: &Course) -> Vec<(String, String)> {
    let words = stock::words();
    let shared = Shared::new(course, &words, "4F7K-2M9Q").unwrap();
    let plans = plan(course);
    plans.iter().map(|plan| (plan.path.clone(), page(&shared, plan).unwrap())).collect()
}

#[test]
fn it_has_nothing_to_mend() {
    let sources = sources();
    let (course, found) = course_of(&sources);
    assert!(found.is_empty(), "{found:#?}");
    let course = course.unwrap();
    assert_eq!(course.rigs.len(), 4);
    let (kept, words) = (KeptProofs::default(), stock::words());
    let way = ProofWay { depth: Depth::Sampled, kept: &kept, words: &words };
    let proven = Proofs::of(&course, &sources, &found, way).in_order();
    assert!(proven.findings.is_empty(), "{:#?}", proven.findings);
}

/// No page, no sheet and no card of it speaks of foam, of concentrate or of a percent of anything
/// but points.
#[test]
fn no_page_speaks_of_foam() {
    let course = course_of(&sources()).0.unwrap();
    let foam = regex_lite::Regex::new(
        r"(?i)\b(foam\w*|concentrate\w*|proportioner\w*|proportioning|eductor\w*|compressor|injection|solution)\b",
    )
    .unwrap();
    // What holds for everybody says so in one sentence, with foam or without: acts that are unsafe in
    // every drill, a hazard of every stream, the range of a sum that air in the hose would spoil.
    let for_all = [
        "Worked without the gear",
        "The stream and the foam conduct",
        "Foam and water conduct electricity",
        "wet foam that bridges a gap",
        "Not valid for compressed-air foam in the hose",
        "Stored air in a compressed-air foam line kicks harder",
        "concentrate spilled",
        "Trade magazine series, Basic Foam Operations",
    ];
    let mut told = Vec::new();
    let pages = pages(&course);
    for (path, page) in &pages {
        for line in visible(page) {
            if foam.is_match(&line) && !for_all.iter().any(|said| line.contains(said)) {
                told.push(format!("{path}: {}", line.trim()));
            }
        }
    }
    told.sort();
    told.dedup();
    assert!(told.is_empty(), "{} lines:\n{}", told.len(), told.join("\n"));
    for family in ["proportioning", "eductor", "compressed-air-foam", "class-b"] {
        assert!(!pages.iter().any(|(path, _)| path.contains(family)), "{family}");
    }
    for rig in ["engine-2", "portable-4", "trailer-1"] {
        assert!(
            pages.iter().any(|(path, _)| path.contains(&format!("rig-{rig}"))),
            "{rig}"
        );
        let blank = pages.iter().filter(|(path, _)| path.contains(rig)).count();
        assert!(blank > 1, "{rig} has no sheet");
    }
}

/// What is asked of a drill is worked out on the line of a portable pump as on any other, and a
/// monitor without hose has no friction to ask for.
#[test]
fn a_monitor_without_hose_has_a_card() {
    let course = course_of(&sources()).0.unwrap();
    let pages = pages(&course);
    let (_, card) =
        pages.iter().find(|(path, _)| path.ends_with("rig-engine-2.html")).unwrap();
    assert!(card.contains("Deck monitor"), "{card}");
    // Hose that is laid has its length and its test; a monitor has neither.
    for field in ["  length: 100 ft\n", "  service-test: 300 psi\n"] {
        let (_, found) = changed("rigs/portable-4.yaml", field, "");
        assert!(found.iter().any(|one| one.code == Code::FigureNotStated), "{field}");
    }
}

/// A ladder at a tower is a drill as any other: no pump, no outlet, and nobody asks which line.
#[test]
fn a_drill_without_a_pump_has_sheets_and_results() {
    let course = course_of(&sources()).0.unwrap();
    let words = stock::words();
    let pages = pages(&course);
    let names: Vec<&str> = pages.iter().map(|(path, _)| path.as_str()).collect();
    // A line is charged on no tower, and no ladder stands on a pump.
    assert!(!names.iter().any(|path| path.contains("charge-tower")), "{names:?}");
    assert!(!names.iter().any(|path| path.contains("ladder-engine-2")), "{names:?}");
    let sheet = pages.iter().find(|(path, _)| path.contains("ladder-tower")).unwrap();
    let shown = visible(&sheet.1).join("\n");
    assert!(!shown.contains("Outlet") && !shown.contains("Pump pressure"), "{shown}");
    let drill = course.drill("ladder").unwrap();
    let kit = Kit::of(&course, drill, &course.rigs["tower"], &words).unwrap();
    let run = |marks: &str, order: &str| {
        let text = format!(
            "run: run-1\ndrill: ladder\ndrill-revision: {}\nrig: tower\nrig-revision: {}\nrules: 2\n\
             use: evaluation\nmode: hands-on-dry\nweather: dry\nlight: day\n\
             performed-at: 2026-11-20 10:00\nattempt: 1\ncandidate: r-alder\nrole: climber\n\
             crew: {{ foot: b-birch }}\nevaluator:\n  person: c-cedar\n  qualification: course\n  \
             qualified-on: 2025-03-01\n  relation: other station\nsafety-officer: d-doe\n\
             stop-word: STOP STOP STOP\nmarks: {{ {marks} }}\norder-seen: {order}\n\
             criticals: {{ unfooted: no }}\n",
            short_revision(kit.drill_revision()),
            short_revision(kit.rig_revision()),
        );
        let mut reader = RunReader::new(&course, &words, None);
        let (runs, _) = reader.read(&text, "run.yaml");
        let [run] = runs.as_slice() else { panic!("{text}") };
        score(&run.kit, &run.sheet)
    };
    let met = run("footed: done, climb: done, down: done", "as printed");
    assert_eq!(met.outcome, Outcome::Met, "{}", met.reason);
    let unfooted = run("footed: not done, climb: done, down: done", "as printed");
    assert_eq!(unfooted.outcome, Outcome::NotMet, "{}", unfooted.reason);
    let late = run("footed: done, climb: done, down: done", "[climb, footed, down]");
    assert_eq!(late.outcome, Outcome::Incomplete, "{}", late.reason);
    let stayed = run("footed: done, climb: not done, down: not done", "as printed");
    assert_eq!(stayed.outcome, Outcome::NotMet, "{}", stayed.reason);
    // The live sheet asks for no outlet either.
    let live = LiveKit::of_drill(&course, drill, &words);
    assert_eq!(live.rigs.len(), 1);
}

/// On a line that is charged, a run that names no outlet is never met.
#[test]
fn a_run_on_a_line_names_its_outlet() {
    let course = course_of(&sources()).0.unwrap();
    let drill = course.drill("charge").unwrap();
    let words = stock::words();
    let kit = Kit::of(&course, drill, &course.rigs["portable-4"], &words).unwrap();
    let mut sheet = crate::scoring::sheets::blank_run(&kit, "operator");
    assert!(sheet.outlet.is_empty());
    let keys =
        |sheet: &RunSheet| faults(&kit, sheet).iter().map(|f| f.key).collect::<Vec<_>>();
    assert!(keys(&sheet).contains(&"outlet-missing"));
    sheet.outlet = "discharge".into();
    assert!(!keys(&sheet).contains(&"outlet-missing"));
}

/// A drill that foams is printed for no rig that cannot, and one that names a family's formula
/// brings the page of it.
#[test]
fn what_is_asked_for_is_printed() {
    let (course, found) = changed(
        "questions/quick.yaml",
        "    formula: friction-loss\n    with:\n      coefficient: 15.5 psi/(100 gpm)^2/100 ft\n      flow: draw.flow\n      length: draw.length\n    unit: psi\n    step: 1 psi\n  tolerance:\n    below: 1 psi\n    above: 1 psi\n",
        "    formula: eductor-pump-pressure\n    answer: pressure\n    with:\n      inlet: 200 psi\n      coefficient: 15.5 psi/(100 gpm)^2/100 ft\n      flow: draw.flow\n      length: draw.length\n    unit: psi\n    step: 1 psi\n  tolerance:\n    below: 1 psi\n    above: 1 psi\n",
    );
    let course = course.unwrap_or_else(|| panic!("{found:#?}"));
    let families: Vec<&str> =
        course.families.iter().map(|family| family.id.as_str()).collect();
    assert!(families.contains(&"eductor"), "{families:?}");
    assert!(!families.contains(&"compressed-air-foam"), "{families:?}");
}
