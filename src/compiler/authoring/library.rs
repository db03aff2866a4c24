//! The trade library with the module's own formulas and constants, and where their lines
//! stand.

use std::collections::BTreeMap;

use super::cited::{references, shorts};
use super::explain::explain;
use super::tree::Trees;
use crate::findings::{Code, Finding, Place, Sources};
use crate::formulas::{
    Constant, ConstantChoice, Fault, Formula, Library, Part, Published, Source, System,
    Table,
};
use crate::quantity::Quantity;
use crate::theme::WORDS;
use crate::wire::{Desk, read};
use crate::words::Words;

/// The library of a module in its own units; of the trade alone, and in US units, when the
/// sources are empty.
pub fn library(sources: &Sources) -> (Library, Vec<Finding>) {
    let mut findings = Vec::new();
    let trees = Trees::read(&of_library(sources), &mut findings);
    let system = trees.system();
    told(trees, system, findings)
}

/// The same told in these units, whatever those of the module are.
pub fn library_in(sources: &Sources, system: System) -> (Library, Vec<Finding>) {
    let mut findings = Vec::new();
    let trees = Trees::read(&of_library(sources), &mut findings);
    told(trees, system, findings)
}

fn told(
    trees: Trees,
    system: System,
    mut findings: Vec<Finding>,
) -> (Library, Vec<Finding>) {
    let trees = trees.told_in(system);
    let desk = Desk { units: Some(system), ..Desk::default() };
    let words = crate::theme::spoken(trees.get(WORDS), crate::course::BOOKS);
    let library = build(&desk, &trees, &words);
    findings.extend(desk.findings.into_inner());
    crate::findings::sort(&mut findings);
    (library, findings)
}

/// The sources with the built-in trade library where the module has none of its own.
pub(super) fn with_trade(sources: &Sources) -> Sources {
    let mut all = sources.clone();
    if !all.keys().any(|file| file.starts_with("trade/")) {
        all.extend(crate::stock::trade());
    }
    all
}

/// What a library is made of: to read the drills and lessons of a module as well takes longer than to
/// work a formula.
fn of_library(sources: &Sources) -> Sources {
    const FOLDERS: [&str; 4] =
        ["trade/formulas/", "trade/tables/", "formulas/", "tables/"];
    let files = ["trade/constants.yaml", "constants.yaml", "module.yaml", WORDS];
    let mut all = with_trade(sources);
    all.retain(|file, _| {
        FOLDERS.iter().any(|folder| file.starts_with(folder))
            || files.contains(&file.as_str())
    });
    all
}

struct Home {
    file: String,
    index: usize,
}

pub(super) fn build(desk: &Desk, trees: &Trees, words: &Words) -> Library {
    let mut formulas: Vec<Formula> = Vec::new();
    let mut homes: BTreeMap<String, Home> = BTreeMap::new();
    let mut tables: Vec<Table> = Vec::new();
    let mut constants: Vec<Constant> = Vec::new();
    let in_folder = |folder: &'static str| {
        trees.files().filter(move |file| file.starts_with(folder)).map(str::to_owned)
    };
    for file in in_folder("trade/formulas/").chain(in_folder("formulas/")) {
        let Some(node) = trees.get(&file) else { continue };
        let all = desk.item(&file, node).list().into_iter().enumerate();
        let read = |(index, item)| Some((index, read::<Formula>(item)?));
        for (index, formula) in all.filter_map(read) {
            let place = index.to_string();
            // Never in the place of the first: drills and cards that call the trade's
            // formula by this name mean the trade's.
            if let Some(other) = homes.get(&formula.id) {
                let place = trees.place(&file, &[&place, "formula"]);
                let finding =
                    Finding::at(Code::DuplicateId, place).with("kind", "formulas");
                let finding = finding.with("id", formula.id.clone());
                desk.note(finding.with("other", other.file.clone()));
                continue;
            }
            homes.insert(formula.id.clone(), Home { file: file.clone(), index });
            formulas.push(formula);
        }
    }
    for file in in_folder("trade/tables/").chain(in_folder("tables/")) {
        if let Some(node) = trees.get(&file)
            && let Some(table) = read::<Table>(desk.item(&file, node))
        {
            // A department's table of the same name takes the trade's place.
            tables.retain(|other| other.id != table.id);
            tables.push(table);
        }
    }
    if let Some(node) = trees.get("trade/constants.yaml") {
        constants = read(desk.item("trade/constants.yaml", node)).unwrap_or_default();
    }
    override_constants(desk, trees, &mut constants);
    for formula in &formulas {
        if let Some(home) = homes.get(&formula.id) {
            unknown_defaults(desk, trees, home, formula, &constants);
        }
    }
    let (library, faults) = Library::new(formulas, tables, constants);
    for fault in faults {
        desk.note(finding(&fault, &homes, trees));
    }
    library.speaking(words)
}

/// A default that names a constant which is not there.
fn unknown_defaults(
    desk: &Desk,
    trees: &Trees,
    home: &Home,
    formula: &Formula,
    constants: &[Constant],
) {
    let both = [("default", System::Us), ("default-si", System::Si)];
    let all = both.into_iter().flat_map(|(key, system)| {
        formula.defaults(system).map(move |(given, id)| (key, given, id))
    });
    for (key, given, id) in all {
        // Without a default of its own a metric module has that of the others.
        let own = given.default_si.is_some();
        if key == "default-si" && !own {
            continue;
        }
        if constants.iter().any(|constant| constant.id == id) {
            continue;
        }
        let at = formula.givens.iter().position(|other| std::ptr::eq(other, given));
        let (index, at) = (home.index.to_string(), at.unwrap_or_default().to_string());
        let place = trees.place(&home.file, &[&index, "givens", &at, key]);
        let near = crate::words::nearest(id, constants.iter().map(|c| c.id.as_str()));
        let finding = Finding::at(Code::UnknownId, place).with("kind", "constant");
        let finding = finding.with("id", id);
        desk.note(finding.with("nearest", near.unwrap_or_default()));
    }
}

/// The department's choice among contested values.
fn override_constants(desk: &Desk, trees: &Trees, constants: &mut [Constant]) {
    if let Some(node) = trees.get("constants.yaml") {
        let own: Option<Vec<_>> = read(desk.item("constants.yaml", node));
        for (index, own) in own.unwrap_or_default().into_iter().enumerate() {
            let ConstantChoice { constant: id, value, source } = own;
            let at = index.to_string();
            let Some(constant) = constants.iter_mut().find(|constant| constant.id == id)
            else {
                let place = trees.place("constants.yaml", &[&at, "constant"]);
                let near =
                    crate::words::nearest(&id, constants.iter().map(|c| c.id.as_str()));
                let finding =
                    Finding::at(Code::UnknownId, place).with("kind", "constant");
                let finding = finding.with("id", id);
                desk.note(finding.with("nearest", near.unwrap_or_default()));
                continue;
            };
            // 10 kPa and 0.1 bar are one figure.
            let same = |own: Quantity| {
                own.dimension() == value.dimension() && own.base() == value.base()
            };
            let known = same(constant.value)
                || constant.others.iter().any(|other| same(other.value));
            if !known {
                let place = trees.place("constants.yaml", &[&at, "value"]);
                let finding = Finding::at(Code::ConstantUncited, place);
                let finding = finding.with("found", value.to_string());
                desk.note(finding.with("id", id));
            }
            // What was looked up stands beside what the department chose, and first.
            let looked_up = Published {
                value: std::mem::replace(&mut constant.value, value),
                source: std::mem::replace(&mut constant.source, source),
            };
            constant.others.retain(|other| !same(other.value));
            // Who confirms what was looked up has chosen nothing otherwise; the value of
            // another publisher would stand there as the one that was looked up.
            constant.local = !same(looked_up.value);
            if constant.local {
                constant.others.insert(0, looked_up);
            }
        }
    }
}

/// A formula's fault at its bytes in the file.
fn finding(fault: &Fault, homes: &BTreeMap<String, Home>, trees: &Trees) -> Finding {
    let Some(home) = homes.get(&fault.formula) else {
        return explain(Finding::whole(Code::BadFormula), &fault.kind);
    };
    let index = home.index.to_string();
    let (a, b);
    let path: Vec<&str> = match fault.part {
        Part::Whole | Part::Outside => vec![&index, "formula"],
        Part::Given(at) => {
            a = at.to_string();
            vec![&index, "givens", &a]
        }
        Part::Work(at) | Part::WorkSi(at) => {
            a = at.to_string();
            let key =
                if matches!(fault.part, Part::Work(_)) { "work" } else { "work-si" };
            vec![&index, key, &a, "line"]
        }
        Part::Answer(at) | Part::Sense(at) | Part::Endless(at) => {
            a = at.to_string();
            vec![&index, "answers", &a, "answer"]
        }
        Part::Verdict(at) | Part::Figure(at) => {
            a = at.to_string();
            vec![&index, "verdicts", &a, "when"]
        }
        Part::Slip(at, line) | Part::SlipSi(at, line) => {
            (a, b) = (at.to_string(), line.to_string());
            vec![&index, "slips", &a, "lines", &b]
        }
    };
    let place = within(trees.place(&home.file, &path), fault.start, fault.end);
    explain(Finding::at(Code::BadFormula, place), &fault.kind)
}

/// Bytes within a scalar, where the scalar is long enough to hold them.
pub(super) fn within(place: Place, start: usize, end: usize) -> Place {
    if end > start && place.start + end <= place.end {
        let (start, end) = (place.start + start, place.start + end);
        return Place { start, end, ..place };
    }
    place
}

/// Short forms of the sources that formulas, tables and constants name, by id.
pub fn short_sources(sources: &Sources, words: &Words) -> BTreeMap<String, String> {
    const LISTS: [&str; 2] = ["trade/sources.yaml", "sources.yaml"];
    let mut lists = with_trade(sources);
    lists.retain(|file, _| LISTS.contains(&file.as_str()));
    let trees = Trees::read(&lists, &mut Vec::new());
    let desk = Desk::default();
    let listed = |file| -> Vec<Source> {
        let node = trees.get(file);
        node.and_then(|node| read(desk.item(file, node))).unwrap_or_default()
    };
    shorts(&references(listed("trade/sources.yaml"), listed("sources.yaml")), words)
}
