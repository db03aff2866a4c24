//! A constant that a department chose otherwise: every example, chart and page goes by it, and what
//! was looked up is told beside it and nowhere else.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use drillwright::authoring::{Options, read};
use drillwright::course::Course;
use drillwright::findings::{Code, Grade, Sources};
use drillwright::formulas::Constant;
use drillwright::publish::{Shared, page, plan};
use drillwright::stock;
use drillwright::workshop::read_folder;

use crate::metric::visible;

/// What each is changed to: a value within the bounds of whatever takes it.
const CHOSEN: &[(&str, &str)] = &[
    ("nozzle-constant", "30.5 gpm"),
    ("nozzle-constant-metric", "0.0671 L/min"),
    ("reaction-solid-constant", "1.63 lbf"),
    ("reaction-solid-constant-metric", "0.00162 N"),
    ("reaction-fog-constant", "0.0533 lbf"),
    ("reaction-fog-constant-metric", "0.0241 N"),
    ("elevation-constant", "0.5 psi"),
    ("elevation-constant-metric", "10.1 kPa"),
    ("storey-pressure", "6 psi"),
    ("eductor-share", "71 %"),
    ("compressed-air-percent", "0.41 %"),
    ("steam-ratio", "1651"),
    ("flush-volumes", "4"),
];

fn sources(folder: &str) -> Sources {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut texts = read_folder(&content).unwrap().0.texts;
    // What was kept is of the figures of its day.
    texts.retain(|file, _| !file.starts_with("runs/") && !file.starts_with("revisions/"));
    texts
}

fn course(sources: &Sources) -> Course {
    let (course, found) = read(sources, &BTreeSet::new(), Options::default());
    let told = found.iter().filter(|one| one.code.grade() != Grade::Note);
    let told: Vec<_> = told.filter(|one| one.code != Code::ConstantUncited).collect();
    assert!(told.is_empty(), "{told:#?}");
    course.unwrap()
}

/// The texts of all pages, by page.
fn texts(course: &Course) -> BTreeMap<String, Vec<String>> {
    let words = stock::words();
    let shared = Shared::new(course, &words, "4F7K-2M9Q").unwrap();
    let mut texts = BTreeMap::new();
    for one in &plan(course) {
        texts.insert(one.path.clone(), visible(&page(&shared, one).unwrap()));
    }
    texts
}

/// Whether a text has a figure, and not as a part of a longer one.
fn has(text: &str, figure: &str) -> bool {
    let text = text.replace('\u{a0}', " ");
    text.match_indices(figure).any(|(at, _)| {
        let before = text.get(..at).unwrap();
        let after = text.get(at + figure.len()..).unwrap();
        !before.ends_with(|c: char| c.is_ascii_digit() || ".,".contains(c))
            && !after.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '/')
    })
}

#[test]
fn a_chosen_constant_reaches_every_page() {
    for folder in ["content", "tests/metric/content"] {
        let mut sources = sources(folder);
        let plain = course(&sources);
        let system = plain.module.units;
        let own = plain.library.constants().iter().filter(|one| system.has(one.only));
        let own: Vec<_> = own.collect();
        let choice = |constant: &&Constant| {
            let id = &constant.id;
            let (_, value) = CHOSEN.iter().find(|(own, _)| own == id).unwrap();
            format!(
                "- constant: {id}\n  value: {value}\n  source: memory\n  status: from-memory\n"
            )
        };
        let choices: String = own.iter().map(choice).collect();
        sources.insert("constants.yaml".to_owned(), choices);
        let course = course(&sources);
        let texts = texts(&course);
        let mut wrong = Vec::new();
        for constant in own {
            let old = constant.value.printed().replace('\u{a0}', " ");
            let chosen =
                course.library.constants().iter().find(|one| one.id == constant.id);
            let beside = chosen.unwrap().looked_up().unwrap();
            assert_eq!(beside.replace('\u{a0}', " "), old);
            let (figures, others): (Vec<_>, Vec<_>) =
                texts.iter().partition(|(name, _)| name.ends_with("figures.html"));
            let told = |line: &String| has(line, &old) && line.contains("elsewhere");
            let listed = figures.iter().any(|(_, lines)| lines.iter().any(told));
            // What no page takes is not listed either.
            let taken = !["storey-pressure-metric"].contains(&constant.id.as_str());
            assert!(listed || !taken, "{} is not told beside", constant.id);
            // Examples of fields are of no module.
            let others =
                others.into_iter().filter(|(name, _)| !name.ends_with("fields.html"));
            for (name, lines) in others {
                let left = lines.iter().filter(|line| stays(constant, name, line, &old));
                wrong.extend(left.map(|line| format!("{} {name}: {line}", constant.id)));
            }
        }
        assert!(wrong.is_empty(), "{folder}:\n{}", wrong.join("\n"));
    }
}

/// Whether a line still goes by the value that was not chosen.
fn stays(constant: &Constant, page: &str, line: &str, old: &str) -> bool {
    // A question gives what it is worked with itself, and a lesson may tell of one eductor.
    if ["/practice-", "/key-", "/paper-"].iter().any(|own| page.contains(own)) {
        return false;
    }
    // What was looked up stands beside, and so does what a publisher prints in his source's note.
    if ["was looked up", "(looked up): ", "(computed): "]
        .iter()
        .any(|own| line.contains(own))
    {
        return false;
    }
    match constant.id.as_str() {
        // Three is a number of many things, and 5 psi a step and a bound too.
        "flush-volumes" => has(line, "3 volumes"),
        "storey-pressure" => has(line, old) && line.contains("store"),
        "eductor-share" => has(line, old) && !page.contains("pressure-and-pickup"),
        // No formula takes these: a third of a percent is a preset like others.
        "compressed-air-percent" | "steam-ratio" => false,
        _ => has(line, old),
    }
}

/// The value that the trade looked up, written down once more: no other stands beside it as looked up.
#[test]
fn a_constant_that_is_confirmed_has_nothing_beside_it() {
    let mut sources = sources("content");
    let plain = course(&sources);
    let constants = plain.library.constants().iter();
    let own: Vec<_> = constants.filter(|one| plain.module.units.has(one.only)).collect();
    let lines = own.iter().map(|one| {
        format!(
            "- constant: {}\n  value: {}\n  source: memory\n  status: from-memory\n",
            one.id, one.value
        )
    });
    sources.insert("constants.yaml".to_owned(), lines.collect());
    let confirmed = course(&sources);
    for one in confirmed.library.constants() {
        assert_eq!(one.looked_up(), None, "{}", one.id);
        assert!(!one.local, "{}", one.id);
    }
    let nozzle = |course: &Course| {
        let one =
            course.library.constants().iter().find(|one| one.id == "nozzle-constant");
        one.unwrap().source.clone()
    };
    assert_ne!(nozzle(&confirmed), nozzle(&plain), "nothing was read of it");
}
