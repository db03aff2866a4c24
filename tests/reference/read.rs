//! The sheets of the trade library as the engine's plain data.

use std::fs;
use std::path::Path;

use serde::Deserialize;

use drillwright::formulas::{
    Answer, Constant, Formula, Given, GivenKind, Library, Row, Slip, SlipKind, SourceRef,
    Status, Table, TableKey, TableRule, Verdict, WorkLine,
};
use drillwright::quantity::{Direction, Quantity};

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct FormulaSheet {
    formula: String,
    title: String,
    family: String,
    basis: Option<String>,
    library_only: Option<String>,
    givens: Vec<GivenSheet>,
    work: Vec<LineSheet>,
    work_si: Option<Vec<LineSheet>>,
    answers: Vec<AnswerSheet>,
    verdicts: Option<Vec<VerdictSheet>>,
    slips: Vec<SlipSheet>,
    range: String,
    sources: Vec<SourceSheet>,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct GivenSheet {
    given: String,
    label: String,
    unit: Option<String>,
    unit_si: Option<String>,
    least: Option<String>,
    most: Option<String>,
    default: Option<String>,
    words: Option<Vec<String>>,
    columns: Option<Vec<Self>>,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct LineSheet {
    line: String,
    label: String,
    shown: String,
    shown_si: Option<String>,
    signed: Option<String>,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct AnswerSheet {
    answer: String,
    label: String,
    shown: String,
    shown_si: Option<String>,
    round: Option<Direction>,
    clock: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct VerdictSheet {
    when: String,
    says: String,
    refuses: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SlipSheet {
    slip: String,
    kind: Option<SlipKind>,
    lines: Vec<String>,
    says: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SourceSheet {
    source: String,
    status: Status,
    note: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TableSheet {
    table: String,
    title: String,
    rule: TableRule,
    keys: Vec<KeySheet>,
    rows: Vec<RowSheet>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct KeySheet {
    key: String,
    unit: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RowSheet {
    keys: Vec<String>,
    value: String,
    source: String,
    status: Status,
    note: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ConstantSheet {
    constant: String,
    label: String,
    value: String,
    source: String,
    status: Status,
    note: Option<String>,
    #[serde(default)]
    others: Vec<OtherSheet>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OtherSheet {
    value: String,
    source: String,
    status: Status,
    note: Option<String>,
}

/// A source of the list.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Listed {
    pub(super) source: String,
    #[serde(rename = "title")]
    _title: String,
    #[serde(rename = "address")]
    _address: Option<String>,
}

fn quantity(text: &str) -> Quantity {
    Quantity::read(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

fn given(sheet: GivenSheet) -> Given {
    let kind = if let Some(words) = sheet.words {
        GivenKind::Choice { words }
    } else if let Some(columns) = sheet.columns {
        GivenKind::List { columns: columns.into_iter().map(given).collect() }
    } else {
        let unit = sheet.unit.expect("a unit");
        GivenKind::Number {
            unit_si: sheet.unit_si.unwrap_or_else(|| unit.clone()),
            unit,
            least: quantity(&sheet.least.expect("a least value")),
            most: quantity(&sheet.most.expect("a largest value")),
            default: sheet.default.as_deref().map(quantity),
        }
    };
    Given { name: sheet.given, label: sheet.label, kind }
}

fn line(sheet: LineSheet) -> WorkLine {
    let shown = quantity(&sheet.shown);
    WorkLine {
        text: sheet.line,
        label: sheet.label,
        shown,
        shown_si: sheet.shown_si.as_deref().map_or(shown, quantity),
        signed: sheet.signed.is_some(),
    }
}

fn answer(sheet: AnswerSheet) -> Answer {
    let shown = quantity(&sheet.shown);
    Answer {
        name: sheet.answer,
        label: sheet.label,
        shown,
        shown_si: sheet.shown_si.as_deref().map_or(shown, quantity),
        round: sheet.round.unwrap_or(Direction::Near),
        clock: sheet.clock.is_some(),
    }
}

fn formula(sheet: FormulaSheet) -> Formula {
    let verdict = |sheet: VerdictSheet| Verdict {
        when: sheet.when,
        says: sheet.says,
        refuses: sheet.refuses.is_some(),
    };
    let slip = |sheet: SlipSheet| Slip {
        id: sheet.slip,
        kind: sheet.kind.unwrap_or(SlipKind::Method),
        lines: sheet.lines,
        says: sheet.says,
    };
    let source =
        |s: SourceSheet| SourceRef { source: s.source, status: s.status, note: s.note };
    Formula {
        id: sheet.formula,
        title: sheet.title,
        family: sheet.family,
        basis: sheet.basis,
        givens: sheet.givens.into_iter().map(given).collect(),
        work: sheet.work.into_iter().map(line).collect(),
        work_si: sheet.work_si.unwrap_or_default().into_iter().map(line).collect(),
        answers: sheet.answers.into_iter().map(answer).collect(),
        verdicts: sheet.verdicts.unwrap_or_default().into_iter().map(verdict).collect(),
        slips: sheet.slips.into_iter().map(slip).collect(),
        range: sheet.range,
        sources: sheet.sources.into_iter().map(source).collect(),
        library_only: sheet.library_only.is_some(),
    }
}

fn table(sheet: TableSheet) -> Table {
    let key = |sheet: KeySheet| match sheet.unit {
        Some(unit) => TableKey::Number { name: sheet.key, unit },
        None => TableKey::Choice { name: sheet.key },
    };
    let row = |row: RowSheet| Row {
        keys: row.keys,
        value: quantity(&row.value),
        source: SourceRef { source: row.source, status: row.status, note: row.note },
    };
    Table {
        id: sheet.table,
        title: sheet.title,
        keys: sheet.keys.into_iter().map(key).collect(),
        rule: sheet.rule,
        rows: sheet.rows.into_iter().map(row).collect(),
    }
}

fn constant(sheet: ConstantSheet) -> Constant {
    let other = |other: OtherSheet| {
        let source =
            SourceRef { source: other.source, status: other.status, note: other.note };
        (quantity(&other.value), source)
    };
    Constant {
        id: sheet.constant,
        label: sheet.label,
        value: quantity(&sheet.value),
        source: SourceRef {
            source: sheet.source,
            status: sheet.status,
            note: sheet.note,
        },
        others: sheet.others.into_iter().map(other).collect(),
        local: false,
    }
}

/// A YAML file of the project.
pub(super) fn yaml<T: serde::de::DeserializeOwned>(path: &str) -> T {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let text = fs::read_to_string(&path).unwrap();
    let options = serde_yaml::options! { strict_booleans: true };
    let read = serde_yaml::from_str_with_options(&text, options);
    read.unwrap_or_else(|fault| panic!("{}: {fault}", path.display()))
}

fn files(folder: &str) -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let walk = walkdir::WalkDir::new(path).sort_by_file_name().into_iter();
    let names = walk.map(|entry| entry.unwrap().file_name().to_str().unwrap().to_owned());
    names
        .filter(|name| Path::new(name).extension().is_some_and(|end| end == "yaml"))
        .map(|name| format!("{folder}/{name}"))
        .collect()
}

/// The trade library's parts.
pub(super) struct Parts {
    pub(super) formulas: Vec<Formula>,
    pub(super) tables: Vec<Table>,
    pub(super) constants: Vec<Constant>,
    pub(super) sources: Vec<Listed>,
}

/// Reads the trade library.
pub(super) fn parts() -> Parts {
    let sheets = |file: &String| yaml::<Vec<FormulaSheet>>(file);
    let formulas =
        files("content/trade/formulas").iter().flat_map(sheets).collect::<Vec<_>>();
    let tables = files("content/trade/tables");
    let constants = yaml::<Vec<ConstantSheet>>("content/trade/constants.yaml");
    Parts {
        formulas: formulas.into_iter().map(formula).collect(),
        tables: tables.iter().map(|file| table(yaml(file))).collect(),
        constants: constants.into_iter().map(constant).collect(),
        sources: yaml("content/trade/sources.yaml"),
    }
}

/// The trade library, checked; every fault ends the test.
pub(super) fn library() -> Library {
    let parts = parts();
    let texts = parts.formulas.clone();
    let (library, faults) = Library::new(parts.formulas, parts.tables, parts.constants);
    for fault in &faults {
        let formula = texts.iter().find(|formula| formula.id == fault.formula);
        println!(
            "{fault:?}\n   in {:?}",
            formula.map(|f| f.work.iter().map(|l| &l.text))
        );
    }
    assert!(faults.is_empty(), "{} faults in the trade library", faults.len());
    library
}
