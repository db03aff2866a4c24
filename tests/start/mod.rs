//! `start`: modules from answers, and one thing more in a module that is there.

mod added;
mod answers;
mod asked;
mod refused;

use std::fs;
use std::path::Path;
use std::process::Output;

use drillwright::authoring::{Options, read};
use drillwright::course::ProportionerKind;
use drillwright::findings::{Code, Grade, Sources};

use crate::program::program;

/// Answers about a rig of each sort, in the units of a system.
pub(super) struct Figures {
    pub(super) units: &'static str,
    flow: &'static str,
    rated: &'static str,
    at: &'static str,
    tank: (&'static str, &'static str),
    foam: (&'static str, &'static str, &'static str),
    hose: (&'static str, &'static str),
    nozzle: &'static str,
    pressure: &'static str,
    gauge: &'static str,
    inlet: &'static str,
    density: &'static str,
    holds: &'static str,
}

pub(super) const SYSTEMS: [Figures; 3] = [
    Figures {
        units: "us",
        flow: "125 gpm",
        rated: "24 gpm",
        at: "200 psi",
        tank: ("750 gal", "720 gal"),
        foam: ("30 gal", "28 gal", "6 gal"),
        hose: ("1.75 in", "200 ft"),
        nozzle: "fog, 125 gpm at 100 psi",
        pressure: "100 psi",
        gauge: "5 psi",
        inlet: "200 psi",
        density: "8.5 lb/gal",
        holds: "5 gal",
    },
    Figures {
        units: "si",
        flow: "475 L/min",
        rated: "90 L/min",
        at: "1400 kPa",
        tank: ("3000 L", "2900 L"),
        foam: ("120 L", "110 L", "20 L"),
        hose: ("45 mm", "60 m"),
        nozzle: "fog, 475 L/min at 700 kPa",
        pressure: "700 kPa",
        gauge: "50 kPa",
        inlet: "1400 kPa",
        density: "1.02 kg/L",
        holds: "20 L",
    },
    Figures {
        units: "si-bar",
        flow: "475 L/min",
        rated: "90 L/min",
        at: "14 bar",
        tank: ("3000 L", "2900 L"),
        foam: ("120 L", "110 L", "20 L"),
        hose: ("45 mm", "60 m"),
        nozzle: "fog, 475 L/min at 7 bar",
        pressure: "7 bar",
        gauge: "0.5 bar",
        inlet: "14 bar",
        density: "1.02 kg/L",
        holds: "20 L",
    },
];

/// Every way of proportioning that the program knows, and none.
pub(super) fn sorts() -> Vec<&'static str> {
    ProportionerKind::ALL.iter().map(|(word, _)| *word).chain(["none"]).collect()
}

impl Figures {
    pub(super) fn head(&self) -> String {
        let paper = if self.units == "us" { "letter" } else { "a4" };
        format!(
            "department: Example Fire District\nunits: {}\npaper: {paper}\nreview-by: 2027-06-30\n",
            self.units
        )
    }

    /// The fields of a rig, without the name.
    pub(super) fn rig(&self, sort: &str, class: &str) -> String {
        let (from, to, step) = percents(class);
        let mut out = format!("proportioner: {sort}\n");
        match sort {
            "none" => {}
            "in-line-eductor" => out.push_str(&format!(
                "eductor-flow: {}\neductor-inlet: {}\nback-pressure: 65 %\nsettings: [{from}, {to}]\neductor-line: Line 1\nproduct: Foam {class}\n",
                self.flow, self.inlet
            )),
            _ => out.push_str(&format!(
                "rated-flow: {}\nrated-pressure: {}\nbasis: solution\nleast-percent: {from}\nlargest-percent: {to}\npercent-step: {step}\nfoam-tank: {{plate: {}, usable: {}, mark: {}}}\nproduct: Foam {class}\n",
                self.rated, self.at, self.foam.0, self.foam.1, self.foam.2
            )),
        }
        let foam = if sort == "none" { "no" } else { "yes" };
        out.push_str(&format!(
            "water-tank: {{plate: {}, usable: {}, mark: none}}\nlines:\n- name: Line 1\n  foam: {foam}\n  hose: {}\n  length: {}\n  service-test: none\n  nozzle: {}\n  flow: {}\n  pressure: {}\ngauge-step: {}\n",
            self.tank.0, self.tank.1, self.hose.0, self.hose.1, self.nozzle, self.flow, self.pressure, self.gauge
        ));
        out
    }

    pub(super) fn product(&self, class: &str) -> String {
        let (from, to, _) = percents(class);
        format!(
            "products:\n- name: Foam {class}\n  class: {class}\n  fuel: what the label names\n  from: {from}\n  to: {to}\n  density: {}\n  container: pail\n  holds: {}\n  fluorine-free: no\n",
            self.density, self.holds
        )
    }

    /// A whole file of answers with one rig.
    pub(super) fn answers(&self, sort: &str, class: &str) -> String {
        let rig = self.rig(sort, class);
        let rig = rig.lines().fold(String::new(), |text, line| text + "  " + line + "\n");
        let product = if sort == "none" { String::new() } else { self.product(class) };
        format!("{}rigs:\n- name: Engine 1\n{rig}{product}", self.head())
    }
}

fn percents(class: &str) -> (&'static str, &'static str, &'static str) {
    if class == "A" { ("0.1 %", "1 %", "0.1 %") } else { ("3 %", "6 %", "3 %") }
}

/// The program in a folder, with what is typed.
pub(super) fn start(folder: &Path, arguments: &[&str]) -> Output {
    program(folder).arg("start").args(arguments).output().unwrap()
}

pub(super) fn said(output: &Output) -> (i32, String, String) {
    let text = |bytes: &Vec<u8>| String::from_utf8(bytes.clone()).unwrap();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

/// Every file below a folder with its text, hidden ones too.
pub(super) fn files(root: &Path) -> Sources {
    let all = walkdir::WalkDir::new(root).into_iter().map(Result::unwrap);
    all.filter(|entry| entry.file_type().is_file())
        .map(|entry| {
            let name =
                entry.path().strip_prefix(root).unwrap().to_str().unwrap().to_owned();
            (name, fs::read_to_string(entry.path()).unwrap())
        })
        .collect()
}

/// What must be fixed in a module.
pub(super) fn must_fix(texts: &Sources) -> Vec<String> {
    let (course, found) =
        read(texts, &std::collections::BTreeSet::new(), Options::default());
    assert!(course.is_some(), "{found:?}");
    found
        .iter()
        // Nor may anything that was brought cite a paper that stayed behind, or speak of a unit
        // that the department does not read.
        .filter(|finding| {
            finding.code.grade() == Grade::MustFix
                || [Code::SourceUnlisted, Code::UnitsSaid].contains(&finding.code)
        })
        .map(|finding| format!("{finding:?}"))
        .collect()
}

/// A module with one rig, begun by the program.
pub(super) fn begun(figures: &Figures, sort: &str, class: &str) -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let answers = figures.answers(sort, class) + "drills: []\n";
    fs::write(dir.path().join("answers.yaml"), answers).unwrap();
    let (exit, _, talk) =
        said(&start(dir.path(), &["content", "--answers", "answers.yaml"]));
    assert_eq!(exit, 0, "{talk}");
    dir
}
