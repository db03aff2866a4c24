//! The trade library with the module's own formulas and constants, and where their lines
//! stand.

use std::collections::BTreeMap;

use super::decode::Desk;
use super::sheets;
use super::tree::Trees;
use crate::findings::{Code, Finding, Place, Sources};
use crate::formulas::{
    Constant, Fault, FaultKind, Formula, GivenKind, Library, Part, Table,
};

/// The library of a module; of the trade alone when the sources are empty.
pub fn library(sources: &Sources) -> (Library, Vec<Finding>) {
    let sources = with_trade(sources);
    let mut findings = Vec::new();
    let trees = Trees::read(&sources, &mut findings);
    let desk = Desk::default();
    let library = build(&desk, &trees);
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

struct Home {
    file: String,
    index: usize,
}

pub(super) fn build(desk: &Desk, trees: &Trees) -> Library {
    let mut formulas: Vec<Formula> = Vec::new();
    let mut homes: BTreeMap<String, Home> = BTreeMap::new();
    let mut tables: Vec<Table> = Vec::new();
    let mut constants: Vec<Constant> = Vec::new();
    let in_folder = |folder: &'static str| {
        trees.files().filter(move |file| file.starts_with(folder)).map(str::to_owned)
    };
    for file in in_folder("trade/formulas/").chain(in_folder("formulas/")) {
        let Some(node) = trees.get(&file) else { continue };
        for (index, formula) in sheets::formulas(desk.item(&file, node)) {
            let place = index.to_string();
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
            && let Some(table) = sheets::table(desk.item(&file, node))
        {
            // A department's table of the same name takes the trade's place.
            tables.retain(|other| other.id != table.id);
            tables.push(table);
        }
    }
    if let Some(node) = trees.get("trade/constants.yaml") {
        constants = sheets::constants(desk.item("trade/constants.yaml", node));
    }
    override_constants(desk, trees, &mut constants);
    for formula in &mut formulas {
        let home = homes.get(&formula.id).map(|home| (home.file.as_str(), home.index));
        stand_in(desk, trees, home, formula, &constants);
    }
    let (library, faults) = Library::new(formulas, tables, constants);
    for fault in faults {
        desk.note(finding(&fault, &homes, trees));
    }
    library
}

/// Gives each given that has a constant for its default the value of that constant.
fn stand_in(
    desk: &Desk,
    trees: &Trees,
    home: Option<(&str, usize)>,
    formula: &mut Formula,
    constants: &[Constant],
) {
    for (at, given) in formula.givens.iter_mut().enumerate() {
        let Some(id) = &given.constant else { continue };
        let found = constants.iter().find(|constant| constant.id == *id);
        match (found, &mut given.kind, home) {
            (Some(constant), GivenKind::Number { default, .. }, _) => {
                *default = Some(constant.value);
            }
            (None, _, Some((file, index))) => {
                let (index, at) = (index.to_string(), at.to_string());
                let place = trees.place(file, &[&index, "givens", &at, "default"]);
                let near =
                    crate::words::nearest(id, constants.iter().map(|c| c.id.as_str()));
                let finding =
                    Finding::at(Code::UnknownId, place).with("kind", "constant");
                let finding = finding.with("id", id.clone());
                desk.note(finding.with("nearest", near.unwrap_or_default()));
            }
            _ => {}
        }
    }
}

/// The department's choice among contested values.
fn override_constants(desk: &Desk, trees: &Trees, constants: &mut [Constant]) {
    if let Some(node) = trees.get("constants.yaml") {
        let own = sheets::overrides(desk.item("constants.yaml", node));
        for (index, (id, value, source)) in own.into_iter().enumerate() {
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
            let known = constant.value == value
                || constant.others.iter().any(|(v, _)| *v == value);
            if !known {
                let place = trees.place("constants.yaml", &[&at, "value"]);
                let finding = Finding::at(Code::ConstantUncited, place);
                let finding = finding.with("found", value.to_string());
                desk.note(finding.with("id", id));
            }
            constant.value = value;
            constant.source = source;
            constant.local = true;
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
        Part::Answer(at) => {
            a = at.to_string();
            vec![&index, "answers", &a, "answer"]
        }
        Part::Verdict(at) => {
            a = at.to_string();
            vec![&index, "verdicts", &a, "when"]
        }
        Part::Slip(at, line) => {
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

/// What is wrong with a line and what to write, as blanks of the finding.
#[expect(clippy::too_many_lines, reason = "one arm for each kind of fault")]
pub(super) fn explain(finding: Finding, kind: &FaultKind) -> Finding {
    let near = |name: &Option<String>, otherwise: &str| match name {
        Some(name) => format!("Write: {name}"),
        None => otherwise.to_owned(),
    };
    let (says, write) = match kind {
        FaultKind::TooLong => ("A line has at most 400 letters.".into(), "Cut it in two lines.".into()),
        FaultKind::TooDeep => (
            "This is nested too deeply.".into(),
            "Give the inner part a line of its own.".into(),
        ),
        FaultKind::BadNumber => ("This is no number.".into(), "Write digits and one point.".into()),
        FaultKind::StrayCharacter(c) => (
            format!("The sign \"{c}\" is not part of the formula language."),
            "Use + - * / ^ ( ) and words.".into(),
        ),
        FaultKind::Expected(what) => {
            (format!("Here {what} is expected."), format!("Write {what} here."))
        }
        FaultKind::NoName => (
            "A line gives a name to a value.".into(),
            "Write: name = value".into(),
        ),
        FaultKind::MixedAndOr => (
            "Nobody can tell which of \"and\" and \"or\" comes first.".into(),
            "Put one of them in parentheses.".into(),
        ),
        FaultKind::UnknownUnit(unit, nearest) => (
            format!("There is no unit \"{unit}\"."),
            near(nearest, "Write a unit the tool knows, such as gpm."),
        ),
        FaultKind::UnknownName(name, nearest) => (
            format!("No given, line or constant is called \"{name}\"."),
            near(nearest, "Write a name that stands above; a minus has blanks around it."),
        ),
        FaultKind::UnknownCall(name, nearest) => (
            format!("No function, table, list or formula is called \"{name}\"."),
            near(nearest, "Write the name of one that exists."),
        ),
        FaultKind::Unlike(a, b) => (
            format!("{} and {b} cannot be added or compared.", upper(a)),
            "Multiply or divide first, so that both sides measure the same.".into(),
        ),
        FaultKind::ShareWithPlain => (
            "A percent and a bare number cannot be added or compared.".into(),
            "Write 100 % instead of 1, or take its number with: as %".into(),
        ),
        FaultKind::BadPower(what) => (
            format!("{} takes only the powers 2 to 5, written as a number.", upper(what)),
            "Take its number first, such as: (flow as gpm) ^ 1.85".into(),
        ),
        FaultKind::DependsOnUnit(what) => (
            format!("The result would depend on the unit of {what}."),
            "Take its number first, such as: ln(flow as gpm)".into(),
        ),
        FaultKind::WrongUnit(unit, what) => (
            format!("{unit} does not measure {what}."),
            "Write a unit that does.".into(),
        ),
        FaultKind::NoRoot(what) => (
            format!("There is no square root of {what}."),
            "Take its number first, such as: sqrt(pressure as psi)".into(),
        ),
        FaultKind::BadStep => (
            "The step measures something else than the value.".into(),
            "Write a step such as: 50 ft".into(),
        ),
        FaultKind::NotANumber => ("A number is wanted here.".into(), String::new()),
        FaultKind::NotACondition => (
            "A condition is wanted here.".into(),
            "Write a comparison, such as: flow <= 100 gpm".into(),
        ),
        FaultKind::UnknownWord(word, words) => {
            (format!("\"{word}\" is not one of its words."), format!("Write one of: {words}"))
        }
        FaultKind::Reading => (
            "A temperature on a scale can only be compared, or changed by steps.".into(),
            "Take a difference of two readings, or use absolute(...)".into(),
        ),
        FaultKind::HundredTwice => (
            "A percent is already a part of one hundred; with another hundred the result is a hundredfold wrong.".into(),
            "Take the hundred out.".into(),
        ),
        FaultKind::MissingGiven(name) => (
            format!("The formula that is called needs \"{name}\"."),
            format!("Write: {name} = and its value"),
        ),
        FaultKind::WrongCount(name) => (
            format!("\"{name}\" takes another number of values."),
            "Look at another line that uses it.".into(),
        ),
        FaultKind::Circle(names) => (
            format!("This formula calls {names}, and one of them leads back here or too deep."),
            "Take one of the calls out.".into(),
        ),
        FaultKind::TwiceNamed(name) => (
            format!("The name \"{name}\" is already taken."),
            "Give this line another name.".into(),
        ),
        FaultKind::NoLine(name) => (
            format!("No line or given is called \"{name}\"."),
            "Write the name of one that is.".into(),
        ),
        FaultKind::ShownWrong(unit, what) => (
            format!("The line is {what}, and {unit} does not measure that."),
            "Write another unit under shown.".into(),
        ),
        FaultKind::NoSource => ("A formula names its source.".into(), String::new()),
    };
    finding.with("says", says).with("write", write)
}

fn upper(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or(String::new(), |first| first.to_uppercase().chain(chars).collect())
}

/// Titles of the sources that formulas, tables and constants name, by id.
pub fn source_titles(sources: &Sources) -> BTreeMap<String, String> {
    let sources = with_trade(sources);
    let trees = Trees::read(&sources, &mut Vec::new());
    let desk = Desk::default();
    let files = ["trade/sources.yaml", "sources.yaml"];
    let nodes = files.iter().filter_map(|file| Some((*file, trees.get(file)?)));
    nodes.flat_map(|(file, node)| sheets::sources(desk.item(file, node))).collect()
}
