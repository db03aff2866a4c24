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

pub(crate) fn course() -> Course {
    course_of(&sources()).0.unwrap()
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
        // What can be written in a file, for the day on which a foam unit comes: it leaves the
        // fields of one out, and says in the others what they are with foam and without.
        if path == "staff/fields.html" {
            for of_foam in ["concentrates/ID.yaml", "proportioner", "eductors", "presets"]
            {
                assert!(!page.contains(&format!("<code>{of_foam}")), "{of_foam}");
            }
            assert!(page.contains("No rig of this module carries foam"));
            continue;
        }
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

/// The ladder as a department without any rig has it: no tower, no pump, nothing that foams.
fn without_any_rig() -> Sources {
    let mut sources = sources();
    sources.retain(|file, _| {
        !["rigs/", "lessons/", "questions/"].iter().any(|of| file.starts_with(of))
            && file != "drills/charge.yaml"
    });
    let head = sources.get_mut("module.yaml").unwrap();
    let (start, rest) = head.split_once("lessons:\n").unwrap();
    let rest = rest.split_once("drills: [charge, ladder]\n").unwrap().1;
    let rest = rest.replace("sets: [quick]", "sets: []");
    let rest = rest.replace("rigs: [engine-2, portable-4, tower, trailer-1]", "rigs: []");
    *head = format!("{start}lessons: []\ndrills: [ladder]\n{rest}");
    let drill = sources.get_mut("drills/ladder.yaml").unwrap();
    *drill = drill.replace("  rigs: [tower]\n", "  without-rig: yes\n");
    *drill = drill.replace("at the tower", "at the wall");
    let objectives = sources.get_mut("objectives.yaml").unwrap();
    let (_, climb) = objectives.split_once("- objective: climb").unwrap();
    *objectives = format!("- objective: climb{climb}");
    sources
}

/// Knots, first aid, a ladder at a wall: a drill without any rig is compiled, printed, scored and
/// shown live, and nobody is asked for a rig, a card or an outlet.
#[test]
fn a_drill_without_any_rig_is_ordinary() {
    let sources = without_any_rig();
    let (course, found) = course_of(&sources);
    assert!(found.is_empty(), "{found:#?}");
    let course = course.unwrap();
    let words = stock::words();
    let pages: std::collections::BTreeMap<_, _> = pages(&course).into_iter().collect();
    assert!(!pages.keys().any(|path| path.contains("/rig-")), "{:?}", pages.keys());
    // No page of equipment that nobody has.
    for family in ["hydraulics", "proportioning", "eductor", "flush"] {
        assert!(!pages.keys().any(|path| path.contains(family)), "{family}");
    }
    for sheet in ["crew/sheet-ladder-no-rig.html", "staff/sheet-ladder-no-rig.html"] {
        let shown = visible(&pages[sheet]).join("\n");
        for word in ["Outlet", "card checked", "no-rig", "Without a rig", "UNVERIFIED"] {
            assert!(!shown.contains(word), "{sheet}: {word}\n{shown}");
        }
        assert!(shown.contains("SHEET 1"), "{shown}");
    }
    let crew = pages.iter().filter(|(path, _)| path.starts_with("crew/"));
    for (path, page) in crew {
        assert!(!page.contains("rig-no-rig"), "{path}");
    }
    let drill = course.drill("ladder").unwrap();
    let [rig] = course.rigs.values().collect::<Vec<_>>()[..] else { panic!() };
    let kit = Kit::of(&course, drill, rig, &words).unwrap();
    // Its letters are what every department without a rig has.
    assert_eq!(short_revision(kit.rig_revision()), "528eb7a5");
    let text = format!(
        "run: run-1\ndrill: ladder\ndrill-revision: {}\nrig: no-rig\nrig-revision: {}\nrules: 2\n\
         use: evaluation\nmode: hands-on-dry\nweather: dry\nlight: day\n\
         performed-at: 2026-11-20 10:00\nattempt: 1\ncandidate: r-alder\nrole: climber\n\
         crew: {{ foot: b-birch }}\nevaluator:\n  person: c-cedar\n  qualification: course\n  \
         qualified-on: 2025-03-01\n  relation: other station\nsafety-officer: d-doe\n\
         stop-word: STOP STOP STOP\nmarks: {{ footed: done, climb: done, down: done }}\n\
         order-seen: as printed\ncriticals: {{ unfooted: no }}\n",
        short_revision(kit.drill_revision()),
        short_revision(kit.rig_revision()),
    );
    let mut reader = RunReader::new(&course, &words, None);
    let (runs, found) = reader.read(&text, "run.yaml");
    let [run] = runs.as_slice() else { panic!("{found:?}") };
    let verdict = score(&run.kit, &run.sheet);
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    // The live sheet has nothing to choose, and begins with what is left to declare.
    let live = LiveKit::of_drill(&course, drill, &words);
    let at = serde_json::json!({ "boot": "a", "steady": 0, "wall": 1, "zone": 0 });
    let open = serde_json::json!({ "ask": "open", "live": live });
    let mut tab = crate::engine::Tab::open(&open, &serde_json::json!({}));
    let view = tab.hand_in(&at, false).to_string();
    assert!(!view.contains("\"f-rig\"") && !view.contains("\"f-outlet\""), "{view}");
    assert!(view.contains("\"f-candidate\""), "{view}");
}

/// Beside rigs it is printed for none of them, and what needs a rig is printed for nothing else.
#[test]
fn beside_rigs_a_drill_without_one_is_printed_once() {
    let (course, found) =
        changed("drills/ladder.yaml", "  rigs: [tower]\n", "  without-rig: yes\n");
    assert!(found.is_empty(), "{found:#?}");
    let course = course.unwrap();
    let pages = pages(&course);
    let sheets = pages.iter().filter(|(path, _)| path.contains("sheet-"));
    let sheets: Vec<&str> = sheets.map(|(path, _)| path.as_str()).collect();
    let own = |part: &str| sheets.iter().filter(|path| path.contains(part)).count();
    assert_eq!((own("ladder-"), own("ladder-no-rig")), (2, 2), "{sheets:?}");
    assert_eq!(own("charge-no-rig"), 0, "{sheets:?}");
    assert!(!pages.iter().any(|(path, _)| path.contains("rig-no-rig")));
    // The index leads to no card that is not there.
    let (_, index) = pages.iter().find(|(path, _)| path == "crew/index.html").unwrap();
    assert!(!index.contains("rig-no-rig") && index.contains("rig-engine-2"));
    // A line needs an outlet, which what is done without a rig has not.
    let (_, found) =
        changed("drills/charge.yaml", "modes:", "for:\n  without-rig: yes\nmodes:");
    let codes: Vec<Code> = found.iter().map(|one| one.code).collect();
    assert_eq!(codes, [Code::DrillOnNoRig], "{found:#?}");
    // And one that names rigs too is for nothing.
    let both = "  without-rig: yes\n  rigs: [tower]\n";
    let (_, found) = changed("drills/ladder.yaml", "  rigs: [tower]\n", both);
    let codes: Vec<Code> = found.iter().map(|one| one.code).collect();
    assert_eq!(codes, [Code::DrillOnNoRig], "{found:#?}");
}
