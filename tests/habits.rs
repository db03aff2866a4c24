//! The terminal answers a department in the units and with the decimal sign of its own module.

use std::fs;
use std::path::Path;

use drillwright::course::{Course, THINGS};
use drillwright::findings::{Code, Sources};
use regex_lite::Regex;
use serde_json::Value;
use tempfile::TempDir;

use crate::metric::{self, us_units};
use crate::program::{ends_with, program};

/// A folder with these files in `content`.
fn folder(sources: &Sources) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (file, text) in sources {
        let path = folder.path().join("content").join(file);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

/// The metric module, with a decimal comma where it is wanted.
fn module(comma: bool) -> Sources {
    let mut sources = metric::sources();
    if comma {
        let head = sources.get_mut("module.yaml").unwrap();
        *head = head.replacen("units: si", "comma: decimal\nunits: si", 1);
        assert!(head.contains("comma: decimal"));
    }
    sources
}

fn said(folder: &Path, exit: i32, arguments: &[&str]) -> String {
    let output = ends_with(exit, program(folder).args(arguments));
    let out = String::from_utf8(output.stdout).unwrap().replace('\u{a0}', " ");
    out + &String::from_utf8(output.stderr).unwrap()
}

/// Figures with a point; where something stands in a source is none.
fn points(text: &str) -> Vec<&str> {
    let figure = Regex::new(r"(^|[^A-Za-z0-9.])[0-9]+\.[0-9]+([^0-9.]|$)").unwrap();
    text.lines().filter(|line| figure.is_match(line)).collect()
}

/// All texts of these keys in what a machine is told.
fn texts(value: &Value, keys: &[&str], out: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                match value {
                    Value::String(text) if keys.contains(&key.as_str()) => {
                        out.push(text.clone());
                    }
                    Value::Array(items) if keys.contains(&key.as_str()) => {
                        let own = items.iter().filter_map(Value::as_str);
                        out.extend(own.map(str::to_owned));
                    }
                    _ => {}
                }
                texts(value, keys, out);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| texts(item, keys, out)),
        _ => {}
    }
}

#[test]
fn what_a_field_is_is_told_in_the_units_of_the_module() {
    let si = folder(&module(false));
    let mut wrong = Vec::new();
    let mut seen = 0;
    for thing in THINGS {
        let name = thing.name.replace(' ', "-");
        for command in ["why", "schema"] {
            let told = said(si.path(), 0, &[command, &name, "--format", "json"]);
            let told: Value = serde_json::from_str(&told).unwrap();
            let mut all = Vec::new();
            let keys = ["example", "examples", "help", "kind", "description"];
            texts(&told, &keys, &mut all);
            seen += all.len();
            // The word of the US units is told where units are chosen.
            let us = all.iter().filter(|text| us_units(text) && !text.starts_with("US "));
            wrong.extend(us.map(|text| format!("{command} {name}: {text}")));
        }
    }
    assert!(seen > 500, "{seen}");
    assert!(wrong.is_empty(), "{}\n{}", wrong.len(), wrong.join("\n"));
    let flow = said(si.path(), 0, &["why", "rig.outlets.flow"]);
    assert!(flow.contains("L/min"), "{flow}");
    // Where no module is, and in a US one, as ever.
    let nowhere = tempfile::tempdir().unwrap();
    assert!(said(nowhere.path(), 0, &["why", "rig.outlets.flow"]).contains("125 gpm"));
}

#[test]
fn a_module_with_faults_keeps_its_units() {
    let mut sources = module(false);
    sources.insert("rigs/pump-2.yaml".to_owned(), "rig: [".to_owned());
    sources.remove("objectives.yaml");
    let broken = folder(&sources);
    let told = said(broken.path(), 0, &["work", "concentrate-flow"]);
    assert!(told.contains("L/min") && !us_units(&told), "{told}");
}

#[test]
fn a_comma_is_read_and_written_where_the_department_writes_one() {
    let comma = folder(&module(true));
    let at = comma.path();
    let work = |values: &[&str]| {
        let all: Vec<&str> = ["work"].into_iter().chain(values.iter().copied()).collect();
        said(at, 0, &all)
    };
    let told = work(&["concentrate-flow", "flow=360L/min", "percent=0,5%"]);
    assert!(told.contains("1,80 L/min"), "{told}");
    let told = work(&["concentrate-flow", "flow=1 200 L/min", "percent=0.5 %"]);
    assert!(told.contains("6,00 L/min"), "a point is read too: {told}");
    let told = work(&["concentrate-flow"]);
    assert!(
        told.contains("0,05 % to 10 %") && told.contains("\"percent=0,5 %\""),
        "{told}"
    );
    // In a row too, where a comma parts the values.
    let row = [
        "flush-time",
        "sections=45,5 mm, 60 m; 38 mm,40 m",
        "flow=480 L/min",
        "volumes=3",
    ];
    assert!(work(&row).contains("bore 45,5 mm, length 60 m"));
    // Nothing of it has a point but where something stands in a source.
    let library = said(at, 0, &["work", "--list"]);
    let names = library.lines().filter(|line| line.starts_with("  "));
    let mut count = 0;
    let mut refused = Vec::new();
    // Each is a start of the program, twice: one in five keeps the day short, of every family.
    for name in names.filter_map(|line| line.split_whitespace().next()).step_by(5) {
        let told = work(&[name]);
        let (own, _) = told.split_once("\nSources").unwrap_or((&told, ""));
        assert!(points(own).is_empty(), "{name}: {:?}", points(own));
        count += 1;
        // What it proposes can be typed, and has an answer.
        let line = told.lines().rfind(|line| line.contains("drillwright work"));
        let given: Vec<&str> = line
            .into_iter()
            .flat_map(|line| line.split('"'))
            .filter(|part| part.contains('='))
            .collect();
        let all: Vec<&str> = ["work", name].into_iter().chain(given).collect();
        let output = program(at).args(&all).output().unwrap();
        if !output.status.success() {
            refused.push(format!("{all:?}: {}", String::from_utf8_lossy(&output.stderr)));
        }
    }
    assert!(count > 12, "{count}");
    assert!(refused.is_empty(), "{refused:#?}");
    // What is counted is not made a thousandth of it.
    let told = said(at, 0, &["inspect"]);
    let four = Regex::new("[0-9],[0-9]{3} ").unwrap();
    assert!(!four.is_match(&told) && told.contains('\u{202f}'), "{told}");
    // A thousand that could be one is asked about, in words of that module.
    let told =
        said(at, 1, &["work", "concentrate-flow", "flow=1,000 L/min", "percent=1 %"]);
    assert!(!told.contains("one point"), "{told}");
    let told = said(at, 0, &["why", "rig.proportioner.classes.from"]);
    assert!(told.contains("0,1 %"), "{told}");
}

#[test]
fn a_list_in_brackets_may_have_decimal_commas() {
    let written = |presets: &str, comma| {
        let mut sources = module(comma);
        let rig = sources.get_mut("rigs/pump-2.yaml").unwrap();
        assert!(rig.contains("presets: [0.3 %, 0.5 %, 1 %]"));
        *rig =
            rig.replace("presets: [0.3 %, 0.5 %, 1 %]", &format!("presets: {presets}"));
        metric::course_of(&sources)
    };
    let presets = |course: &Option<Course>| {
        serde_json::to_value(&course.as_ref().unwrap().rigs["pump-2"]).unwrap()
    };
    let (point, _) = written("[0.3 %, 0.5 %, 1 %]", true);
    for list in ["[0,3 %, 0,5 %, 1 %]", "[0,3%, 0,5%, 1%]", "[ 0,3 %,0,5 %,1 % ]"] {
        let (course, found) = written(list, true);
        assert!(presets(&course) == presets(&point), "{list}: {found:?}");
    }
    // Who has not said that a comma is a decimal sign, and who writes a blank behind it, is asked.
    for (list, comma) in [("[0,3 %, 1 %]", false), ("[0, 3 %, 1 %]", true)] {
        let mut sources = module(comma);
        let rig = sources.get_mut("rigs/pump-2.yaml").unwrap();
        *rig = rig.replace("presets: [0.3 %, 0.5 %, 1 %]", &format!("presets: {list}"));
        let (_, found) = drillwright::authoring::read(
            &sources,
            &std::collections::BTreeSet::new(),
            drillwright::authoring::Options::default(),
        );
        assert!(found.iter().any(|one| one.code == Code::NoUnit), "{list}");
    }
}

/// A wrong answer of a metric question is explained in metric words.
#[test]
fn slips_of_a_question_are_told_in_its_units() {
    use drillwright::formulas::System;
    let (library, _) = drillwright::authoring::library_in(&Sources::new(), System::Si);
    let with = |system| {
        let mut told = Vec::new();
        for formula in library.formulas().filter(|formula| formula.holds_in(system)) {
            for slip in formula.slips.iter().filter(|slip| slip.made_in(system)) {
                told.push(slip.feedback(system).to_owned());
            }
        }
        told
    };
    let us: Vec<String> = with(System::Si).into_iter().filter(|t| us_units(t)).collect();
    assert!(us.is_empty(), "{us:#?}");
}

#[test]
fn compare_tells_the_newer_module_in_its_own_numbers() {
    let old = module(true);
    let mut new = module(true);
    let rig = new.get_mut("rigs/pump-2.yaml").unwrap();
    *rig = rig.replace("length: 3 m", "length: 3.5 m");
    let us = folder(&crate::mistakes::folder("us"));
    let (old, new) = (folder(&old), folder(&new));
    let path = |dir: &TempDir| dir.path().join("content").display().to_string();
    let told = said(us.path(), 0, &["compare", &path(&old), &path(&new)]);
    assert!(told.contains("3,5"), "{told}");
    assert!(points(&told).is_empty(), "{told}");
}

/// Answers of an invented service, with a figure that the braces tear.
const ANSWERS: &str = "department: Heron Lake Fire Service
units: si
paper: a4
decimal: comma
rigs:
  - name: Pump 9
    proportioner: direct-injection
    rated-flow: 18,9 L/min
    rated-pressure: 1700 kPa
    basis: solution
    least-percent: 0,1 %
    largest-percent: 1 %
    percent-step: 0,1 %
    foam-tank: {plate: 120 L, usable: 112 L, mark: 22,5 L}
    product: Foam A
    water-tank: {plate: 3000 L, usable: 2900 L}
    lines:
      - name: First line
        foam: yes
        hose: 45 mm
        length: 60 m
        nozzle: fog, 475 L/min at 700 kPa
        flow: 475 L/min
        pressure: 700 kPa
        service-test: 2070 kPa
    gauge-step: 50 kPa
    compressor: {air: \"3,4 m3/min\", pressure: 850 kPa}
products:
  - name: Foam A
    class: A
    fuel: wood
    from: 0,1 %
    to: 1 %
    density: 1,02 kg/L
    container: can
    holds: 25 L
    fluorine-free: yes
";

/// A figure that YAML tore in two is marked as a whole, and what is proposed for it means what was
/// meant, wherever it stands.
#[test]
fn a_figure_torn_by_a_comma_is_told_as_one() {
    let list = "presets: [0.3 %, 0.5 %, 1 %]";
    for (comma, is, marked, write) in [
        (false, "presets: [0,3 %, 0,5 %, 1 %]", ["0,3 %", "0,5 %"], ["0.3 %", "0.5 %"]),
        (true, "presets: {a: 0,3 %, b: 0,5 %}", ["", ""], ["", ""]),
    ] {
        let mut sources = module(comma);
        let rig = sources.get_mut("rigs/pump-2.yaml").unwrap();
        assert!(rig.contains(list));
        *rig = rig.replace(list, is);
        let (_, found) = metric::course_of(&sources);
        let torn: Vec<_> = found.iter().filter(|one| one.code == Code::NoUnit).collect();
        if marked[0].is_empty() {
            // A map is no list, and is told as that.
            assert!(torn.is_empty() && !found.is_empty(), "{found:?}");
            continue;
        }
        assert_eq!(torn.len(), 2, "{found:#?}");
        for ((one, marked), write) in torn.iter().zip(marked).zip(write) {
            let place = one.place.as_ref().unwrap();
            let text = sources[&place.file].get(place.start..place.end).unwrap();
            assert_eq!(text, marked);
            let meant = one.blanks.iter().find(|(name, _)| *name == "meant");
            assert_eq!(meant.map(|(_, text)| text.as_str()), Some(write), "{one:?}");
        }
    }
    // In a map of answers the other half is no field besides.
    let words = drillwright::stock::words();
    let asked = drillwright::starting::module_answers("a.yaml", ANSWERS, &words);
    let own: Vec<_> = asked.found.iter().filter(|one| one.code == Code::NoUnit).collect();
    assert_eq!(own.len(), 1, "{:#?}", asked.found);
    assert!(own[0].blanks.contains(&("meant", "\"22,5 L\"".to_owned())), "{:?}", own[0]);
    assert!(
        !asked.found.iter().any(|one| one.code == Code::UnknownField),
        "{:#?}",
        asked.found
    );
}
