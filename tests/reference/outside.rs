//! Our formulas, units and scores against values that general libraries gave.
//!
//! `outside/tables.py` writes the tables and names the libraries in them. Each answer has the
//! largest deviation that is borne; where a rule of the trade deviates, the reason stands with
//! it. The largest deviation of each family is printed.

#![expect(clippy::float_arithmetic, reason = "tables hold the floats of other libraries")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::course::OrderRule;
use drillwright::formulas::{Input, Inputs, Library, System};
use drillwright::quantity::{self, Number, Quantity};
use drillwright::scoring::order_statistics;
use serde::Deserialize;

use super::cases::in_unit;
use super::read;

#[derive(Deserialize)]
struct File {
    made_with: BTreeMap<String, String>,
    #[serde(default)]
    formulas: Vec<Table>,
    units: Option<Rows<UnitRow>>,
    scales: Option<Rows<ScaleRow>>,
    orders: Option<Rows<OrderRow>>,
}

#[derive(Deserialize)]
struct Rows<T> {
    by: String,
    rows: Vec<T>,
}

#[derive(Deserialize)]
struct Table {
    formula: String,
    system: System,
    by: String,
    answers: BTreeMap<String, Column>,
    rows: Vec<Row>,
}

#[derive(Deserialize)]
struct Column {
    unit: String,
    tolerance: f64,
    why: Option<String>,
}

#[derive(Deserialize)]
struct Row {
    given: BTreeMap<String, Value>,
    expect: BTreeMap<String, f64>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Value {
    One(String),
    Rows(Vec<BTreeMap<String, String>>),
}

#[derive(Deserialize)]
struct UnitRow {
    unit: String,
    factor: f64,
}

#[derive(Deserialize)]
#[expect(non_snake_case, reason = "the names are the units")]
struct ScaleRow {
    degF: f64,
    degC: f64,
}

#[derive(Deserialize)]
struct OrderRow {
    order: String,
    rules: Vec<String>,
    longest: usize,
    tau: Option<f64>,
}

fn files() -> Vec<(String, File)> {
    let folder =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/outside/tables");
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).collect();
    names.sort();
    let read = |path: std::path::PathBuf| {
        let family = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let file: File =
            serde_json::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
        assert!(file.made_with.len() > 3, "{family} does not say what made it");
        (family, file)
    };
    names.into_iter().map(read).collect()
}

fn one<T>(find: impl Fn(File) -> Option<Rows<T>>) -> Rows<T> {
    files().into_iter().find_map(|(_, file)| find(file)).unwrap()
}

fn inputs(row: &Row) -> Inputs {
    let quantity = |text: &String| Quantity::read(text);
    let input = |value: &Value| match value {
        Value::One(text) => {
            quantity(text).map_or_else(|_| Input::Word(text.clone()), Input::Number)
        }
        Value::Rows(rows) => {
            let row = |row: &BTreeMap<String, String>| {
                let cell = |(name, text): (&String, &String)| {
                    (name.clone(), quantity(text).unwrap())
                };
                row.iter().map(cell).collect()
            };
            Input::Rows(rows.iter().map(row).collect())
        }
    };
    row.given.iter().map(|(name, value)| (name.clone(), input(value))).collect()
}

fn deviation(ours: f64, outside: f64) -> f64 {
    let size = ours.abs().max(outside.abs());
    if size < 1e-9 { 0.0 } else { (ours - outside).abs() / size }
}

/// Whether an outside value lies beyond what makes sense of our answer.
fn beyond(library: &Library, table: &Table, row: &Row) -> bool {
    let formula = library.formula(&table.formula).unwrap();
    formula.answers.iter().any(|answer| {
        let Some(outside) = row.expect.get(&answer.name) else { return false };
        let unit = &table.answers[&answer.name].unit;
        let limit = |limit: Quantity| in_unit(limit.base(), unit);
        answer.sense.iter().any(|sense| {
            sense.least.is_some_and(|least| *outside < limit(least))
                || sense.most.is_some_and(|most| *outside > limit(most))
        })
    })
}

/// The largest deviation of each answer of a table, or what went wrong.
fn deviations(library: &Library, table: &Table) -> Result<BTreeMap<String, f64>, String> {
    let mut most = BTreeMap::new();
    for row in &table.rows {
        let worked = match library.work(&table.formula, &inputs(row), table.system) {
            Ok(worked) => worked,
            // What we refuse as beyond sense is beyond it by the outside value too.
            Err(fault)
                if beyond(library, table, row) && fault.key.ends_with("-sense") =>
            {
                continue;
            }
            Err(fault) => return Err(format!("{}: {fault:?}", table.formula)),
        };
        for (name, outside) in &row.expect {
            let answer = worked.answer(Some(name));
            let answer =
                answer.ok_or_else(|| format!("{} has no {name}", table.formula))?;
            let unit = &table.answers[name].unit;
            let away = deviation(in_unit(answer.number.unwrap(), unit), *outside);
            let place = most.entry(name.clone()).or_insert(0.0);
            *place = away.max(*place);
        }
    }
    Ok(most)
}

/// What of a table is not as its columns say.
fn faults(table: &Table, found: &BTreeMap<String, f64>) -> Vec<String> {
    let mut wrong = Vec::new();
    for (name, column) in &table.answers {
        let (away, bound) = (found[name], column.tolerance);
        let told = format!("{} {:?} {name} by {}", table.formula, table.system, table.by);
        if away > bound {
            wrong.push(format!("{told}: {away:.2e} away, {bound:.0e} is borne"));
        }
        if bound > 1e-6 && column.why.is_none() {
            wrong.push(format!("{told}: a deviation without a reason"));
        }
    }
    wrong
}

/// What the tables of all families came to.
#[derive(Default)]
struct Report {
    wrong: Vec<String>,
    rows: usize,
    met: BTreeSet<String>,
    /// By formula, library and answer: what is borne and what was found. A tolerance may be
    /// needed in one of the two systems only.
    used: BTreeMap<[String; 3], (f64, f64)>,
}

impl Report {
    fn table(&mut self, library: &Library, table: &Table) -> Vec<(f64, String)> {
        let found = match deviations(library, table) {
            Ok(found) => found,
            Err(fault) => {
                self.wrong.push(fault);
                return Vec::new();
            }
        };
        self.wrong.extend(faults(table, &found));
        self.met.insert(table.formula.clone());
        self.rows += table.rows.len();
        let mut told = Vec::new();
        for (name, away) in found {
            let column = &table.answers[&name];
            let key = [&table.formula, &table.by, &name].map(String::clone);
            let use_of = self.used.entry(key).or_insert((column.tolerance, 0.0));
            use_of.1 = away.max(use_of.1);
            let why =
                column.why.as_deref().unwrap_or("constants of seven figures, floats");
            told.push((away, format!("{name} of {} ({why})", table.formula)));
        }
        told
    }

    /// A tolerance far above what was found would hide a fault.
    fn too_wide(&mut self) {
        for ([formula, by, name], (bound, away)) in &self.used {
            if *bound > 1e-6 && away * 4.0 < *bound {
                self.wrong.push(format!(
                    "{formula} {name} by {by}: {bound} borne, {away:.1e} found"
                ));
            }
        }
    }
}

#[test]
fn formulas_agree_with_general_libraries() {
    let library = read::library();
    let mut report = Report::default();
    for (family, file) in files() {
        let told = file.formulas.iter().flat_map(|table| report.table(&library, table));
        if let Some((away, told)) = told.max_by(|(a, _), (b, _)| a.total_cmp(b)) {
            println!("{family}: at most {away:.1e} away, {told}");
        }
    }
    report.too_wide();
    let all: BTreeSet<String> = library.formulas().map(|f| f.id.clone()).collect();
    let open: Vec<_> = all.difference(&report.met).cloned().collect();
    println!(
        "{} rows of {} formulas; rules alone: {open:?}",
        report.rows,
        report.met.len()
    );
    assert!(report.wrong.is_empty(), "\n{}", report.wrong.join("\n"));
    assert_eq!(open, RULES_ALONE, "formulas without an outside value");
    assert!(report.rows > 1400, "tables have gone missing");
}

/// Look-ups of what publishers teach; no library knows them. The cases of the trade do.
const RULES_ALONE: &[&str] =
    &["appliance-loss", "storey-pressure-loss", "storey-pressure-metric"];

#[test]
fn a_wrong_outside_value_is_noticed() {
    let library = read::library();
    for mut table in files().into_iter().flat_map(|(_, file)| file.formulas) {
        let found = deviations(&library, &table).unwrap();
        assert_eq!(faults(&table, &found), Vec::<String>::new());
        // Four times what is borne, and more than nothing.
        let sound = table.rows.iter().position(|row| !beyond(&library, &table, row));
        let Some(sound) = sound else {
            panic!("no row of {} makes sense", table.formula)
        };
        let expect = &mut table.rows[sound].expect;
        let large = expect.iter_mut().find(|(_, outside)| outside.abs() > 1e-6);
        let Some((name, outside)) = large else { continue };
        *outside *= 1.0 + 4.0 * table.answers[name].tolerance.max(1e-9);
        let found = deviations(&library, &table).unwrap();
        assert_eq!(faults(&table, &found).len(), 1, "{}", table.formula);
    }
}

#[test]
fn units_have_the_factors_of_the_units_library() {
    let table = one(|file| file.units);
    let named: BTreeSet<&str> = table.rows.iter().map(|row| row.unit.as_str()).collect();
    let known: BTreeSet<&str> = quantity::UNITS
        .iter()
        .filter(|unit| unit.kind != quantity::Kind::Reading && !unit.symbol.is_empty())
        .map(|unit| unit.symbol)
        .collect();
    assert_eq!(named, known);
    // Both count in their own base units; two units of a dimension have one ratio.
    let (mut compared, mut most) = (0, 0.0_f64);
    for a in &table.rows {
        let ours = quantity::find(&a.unit).unwrap();
        for b in &table.rows {
            let other = quantity::find(&b.unit).unwrap();
            if other.dimension == ours.dimension && a.unit != b.unit {
                let ratio = Number::Exact(ours.factor().div(other.factor()).unwrap());
                let away = deviation(ratio.float(), a.factor / b.factor);
                assert!(away < 1e-10, "{} in {}: {away:.2e}", a.unit, b.unit);
                most = most.max(away);
                compared += 1;
            }
        }
    }
    println!("{compared} ratios of units by {}: at most {most:.1e} away", table.by);
    assert!(compared > 250);
}

#[test]
fn scales_have_the_zeros_of_the_units_library() {
    let table = one(|file| file.scales);
    let celsius = quantity::find("degC").unwrap();
    for row in &table.rows {
        let ours = Quantity::read(&format!("{} degF", row.degF)).unwrap();
        let ours = Number::Exact(ours.in_unit(celsius).unwrap().number()).float();
        assert!(
            (ours - row.degC).abs() < 1e-9,
            "{} degF: {ours}, {}",
            row.degF,
            table.by
        );
    }
}

#[test]
fn orders_have_the_figures_of_the_statistics_library() {
    let table = one(|file| file.orders);
    let mut with_tau = 0;
    for row in &table.rows {
        let rule = |pair: &String| {
            let (first, then) = pair.split_at(1);
            let because = String::new();
            OrderRule { first: first.into(), then: then.into(), because, cannot: false }
        };
        let rules: Vec<OrderRule> = row.rules.iter().map(rule).collect();
        let done: Vec<String> = row.order.chars().map(String::from).collect();
        let ours = order_statistics(&rules, &done);
        assert_eq!(
            ours.longest, row.longest,
            "{} {:?} {}",
            row.order, row.rules, table.by
        );
        if let Some(tau) = row.tau {
            let found = Number::Exact(ours.tau.unwrap()).float();
            assert!((found - tau).abs() < 1e-8, "{}: {found} {tau}", row.order);
            with_tau += 1;
        }
    }
    assert!(table.rows.len() >= 60 && with_tau >= 30);
}
