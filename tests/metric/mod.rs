//! A metric department at home: a module of its own is compiled, and everything that anybody
//! can read of it is searched for US units.

mod bars;
mod look;
mod rules;
mod said;

pub(crate) use look::{us_units, visible};

use std::collections::BTreeSet;
use std::path::Path;

use drillwright::authoring::{Options, ProofWay, Proofs, read};
use drillwright::course::Course;
use drillwright::findings::{Code, Finding, Grade, Sources};
use drillwright::quiz::{Depth, KeptProofs};
use drillwright::stock;
use drillwright::workshop::read_folder;

/// The files of the metric module, written by hand for its own rigs.
pub(crate) fn sources() -> Sources {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/metric/content");
    let (folder, found) = read_folder(&content).unwrap();
    assert!(found.is_empty() && folder.others.is_empty(), "{found:?}");
    folder.texts
}

pub(crate) fn course_of(sources: &Sources) -> (Option<Course>, Vec<Finding>) {
    read(sources, &BTreeSet::new(), Options::default())
}

pub(crate) fn course() -> Course {
    let (course, found) = course_of(&sources());
    course.unwrap_or_else(|| panic!("{found:#?}"))
}

fn codes(found: &[Finding]) -> Vec<Code> {
    found.iter().map(|finding| finding.code).collect()
}

/// With one text of one file put for another that stands there once.
fn changed(file: &str, from: &str, to: &str) -> Vec<Finding> {
    let mut sources = sources();
    let text = sources.get_mut(file).unwrap();
    assert_eq!(text.matches(from).count(), 1, "{from} in {file}");
    *text = text.replace(from, to);
    course_of(&sources).1
}

#[test]
fn it_has_nothing_to_mend_and_nothing_to_look_at_again() {
    let sources = sources();
    let (course, found) = course_of(&sources);
    // Its runs carry no revisions: they are written for whatever the drills are today.
    let told: Vec<_> =
        found.iter().filter(|one| one.code != Code::RevisionNotNamed).collect();
    assert!(told.is_empty(), "{told:#?}");
    let course = course.unwrap();
    assert_eq!((course.rigs.len(), course.drills.len()), (2, 3));
    assert_eq!(course.sets[0].questions.len(), 10);
    let (kept, words) = (KeptProofs::default(), stock::words());
    let way = ProofWay { depth: Depth::Sampled, kept: &kept, words: &words };
    let proven = Proofs::of(&course, &sources, &found, way).in_order();
    assert!(proven.findings.is_empty(), "{:#?}", proven.findings);
}

#[test]
fn a_us_figure_is_a_finding_wherever_it_stands() {
    let set = "questions/ten-in-metric.yaml";
    for (file, from, to, code) in [
        (set, "to: 950 L/min", "to: 250 gpm", Code::OtherUnits),
        (
            set,
            "How much concentrate goes in each\n",
            "How many gallons go in each\n",
            Code::OtherUnits,
        ),
        (
            set,
            "turned up to six.",
            "turned up, and the tip to 100 psi.",
            Code::OtherUnits,
        ),
        (set, "step: 0.1 L/min", "step: 0.01 gpm", Code::OtherUnits),
        ("rigs/pump-2.yaml", "air: 3.4 m3/min", "air: 120 scfm", Code::OtherUnits),
        (
            "rigs/pump-2.yaml",
            "and an air compressor.",
            "and 30 gallons.",
            Code::UnitsSaid,
        ),
        (
            "concentrates/class-a-yard.yaml",
            "tare: 1.1 kg",
            "tare: 2.5 lb",
            Code::OtherUnits,
        ),
        ("drills/totals.yaml", "least: 5 L", "least: 1 gal", Code::OtherUnits),
        ("local.yaml", "140 kPa. Below", "20 psi. Below", Code::UnitsSaid),
        (
            "lessons/share-and-stock.md",
            "beyond four litres",
            "beyond 1 gallon",
            Code::UnitsSaid,
        ),
        ("module.yaml", "volume: 46 L", "volume: 12 gal", Code::OtherUnits),
        (
            "cautions.yaml",
            "reed bed 200 m below",
            "reed bed 600 feet below",
            Code::UnitsSaid,
        ),
    ] {
        let found = changed(file, from, to);
        assert!(codes(&found).contains(&code), "{to}: {found:#?}");
        let own: Vec<_> = found.iter().filter(|one| one.code == code).collect();
        assert_eq!(own.len(), 1, "{to}: {own:#?}");
        let place = own[0].place.as_ref().unwrap();
        assert_eq!(place.file, file);
        let example = own[0].blanks.iter().find(|(name, _)| *name == "example").unwrap();
        assert!(!us_units(&example.1), "{to}: {}", example.1);
    }
}

#[test]
fn us_questions_do_not_compile_in_a_metric_module() {
    // The US example under another head: every set of it is refused, question by question.
    let mut sources =
        read_folder(Path::new(env!("CARGO_MANIFEST_DIR")).join("content").as_path())
            .unwrap()
            .0
            .texts;
    let head = sources.get_mut("module.yaml").unwrap();
    *head = head.replace("units: us", "units: si");
    let (_, found) = course_of(&sources);
    for set in ["ten-to-know", "without-calculator", "at-the-panel"] {
        let file = format!("questions/{set}.yaml");
        let own = found.iter().filter(|one| one.code == Code::OtherUnits);
        let own = own.filter(|one| one.place.as_ref().is_some_and(|at| at.file == file));
        assert!(own.count() > 20, "{set}");
    }
    assert_eq!(Code::OtherUnits.grade(), Grade::MustFix);
}

#[test]
fn a_metric_figure_is_a_finding_in_a_us_module() {
    let mut sources = sources();
    let head = sources.get_mut("module.yaml").unwrap();
    *head = head.replace("units: si", "units: us");
    let (_, found) = course_of(&sources);
    let own = found.iter().filter(|one| one.code == Code::OtherUnits);
    let files: BTreeSet<_> =
        own.filter_map(|one| Some(one.place.as_ref()?.file.as_str())).collect();
    for file in ["rigs/pump-2.yaml", "questions/ten-in-metric.yaml", "drills/totals.yaml"]
    {
        assert!(files.contains(file), "{file}: {files:?}");
    }
}

#[test]
fn pressures_in_bar_beside_kilopascals_are_told_once() {
    let found = changed("rigs/pump-2.yaml", "pressure: 850 kPa", "pressure: 8.5 bar");
    assert_eq!(codes(&found).iter().filter(|c| **c == Code::PressuresMixed).count(), 1);
    let found =
        changed("lessons/pressure-and-pickup.md", "1 863 kPa where", "18.6 bar where");
    assert_eq!(codes(&found).iter().filter(|c| **c == Code::PressuresMixed).count(), 1);
}
