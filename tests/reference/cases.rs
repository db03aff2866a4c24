//! Each case worked by our formula and compared within the tolerance of the case.

use std::collections::BTreeMap;
use std::fs;

use drillwright::formulas::{Input, Inputs, Library, System, Worked};
use drillwright::quantity::{self, Fraction, Kind, Number, Quantity};
use serde::Deserialize;

use super::by_hand::{self, ByHand};
use super::{kinds, read};

#[derive(Deserialize)]
struct Checks {
    checks: Vec<Case>,
}

/// One case.
#[derive(Debug, Clone, Deserialize)]
pub(super) struct Case {
    pub(super) id: String,
    formula_id: String,
    pub(super) inputs: BTreeMap<String, Amount>,
    pub(super) expected: BTreeMap<String, Amount>,
    pub(super) tolerance: BTreeMap<String, f64>,
    source: String,
    source_status: String,
    #[serde(default)]
    slips: Vec<Wrong>,
}

/// A wrong answer that learners reach.
#[derive(Debug, Clone, Deserialize)]
struct Wrong {
    slip: String,
    value: f64,
    unit: String,
}

#[derive(Debug, Clone, Deserialize)]
pub(super) struct Amount {
    pub(super) value: f64,
    pub(super) unit: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Mappings {
    units: BTreeMap<String, String>,
    mappings: Vec<Mapping>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Mapping {
    case: String,
    #[serde(default)]
    cases: Vec<String>,
    pub(super) formula: Option<String>,
    pub(super) kind: Option<String>,
    pub(super) system: Option<System>,
    #[serde(default)]
    givens: BTreeMap<String, String>,
    #[serde(default)]
    lists: BTreeMap<String, Vec<BTreeMap<String, String>>>,
    #[serde(default)]
    answers: BTreeMap<String, String>,
}

/// A case with what answers it.
pub(super) type Pair = (Case, Mapping);

/// The cases with what answers them.
pub(super) struct Reference {
    units: BTreeMap<String, String>,
    pub(super) pairs: Vec<Pair>,
}

/// Reads cases and mapping; a case without an entry ends the test.
pub(super) fn reference() -> Reference {
    let checks: Checks = read::yaml("tests/reference/trade-checks.yaml");
    let Mappings { units, mappings } = read::yaml("tests/reference/mapping.yaml");
    let find = |case: &Case| {
        let fits = |mapping: &&Mapping| {
            mapping.case == case.formula_id
                && (mapping.cases.is_empty() || mapping.cases.contains(&case.id))
        };
        mappings.iter().find(fits).cloned()
    };
    let mut pairs = Vec::new();
    let mut open = Vec::new();
    for case in checks.checks {
        match find(&case) {
            Some(mapping) => pairs.push((case, mapping)),
            None => open.push(case.id),
        }
    }
    assert!(open.is_empty(), "cases that mapping.yaml does not name: {open:?}");
    pairs.extend(by_hand::cases().into_iter().map(worked_by_hand));
    Reference { units, pairs }
}

/// The status of the cases that we worked ourselves.
const BY_HAND: &str = "worked-by-hand";

/// A case of our own: it bears the names of the formula, so it is its own mapping.
fn worked_by_hand(own: ByHand) -> Pair {
    let amount = |text: &String| {
        let (value, unit) = text.split_once(' ').unwrap_or((text, "1"));
        Amount { value: value.parse().unwrap(), unit: unit.to_owned() }
    };
    let mut expected: BTreeMap<_, _> =
        own.answers.iter().map(|(name, text)| (name.clone(), amount(text))).collect();
    let mut answers: BTreeMap<_, _> =
        own.answers.keys().map(|name| (name.clone(), name.clone())).collect();
    let said = own.says.iter().map(|says| (says, "1"));
    for (says, value) in said.chain(own.does_not_say.iter().map(|says| (says, "0"))) {
        expected.insert(says.clone(), amount(&value.to_owned()));
        answers.insert(says.clone(), format!("verdict {says}"));
    }
    // Exact but for the digits to which a quotient is written out.
    let tolerance = BTreeMap::from([("rel".to_owned(), own.within.unwrap_or(1e-9))]);
    let case = Case {
        id: own.id.clone(),
        formula_id: own.formula.clone(),
        inputs: BTreeMap::new(),
        expected,
        tolerance,
        source: own.source,
        source_status: BY_HAND.to_owned(),
        slips: Vec::new(),
    };
    let mapping = Mapping {
        case: own.id,
        cases: Vec::new(),
        formula: Some(own.formula),
        kind: None,
        system: own.system,
        givens: own.givens,
        lists: own.lists,
        answers,
    };
    (case, mapping)
}

impl Reference {
    pub(super) fn unit<'u>(&'u self, unit: &'u str) -> &'u str {
        self.units.get(unit).map_or(unit, String::as_str)
    }

    pub(super) fn quantity(&self, amount: &Amount) -> Quantity {
        let text = format!("{} {}", amount.value, self.unit(&amount.unit));
        Quantity::read(&text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
    }

    /// An input, a quantity or a word; nothing for an input that this case does not have.
    fn input(&self, case: &Case, text: &str) -> Option<Input> {
        if let Some((name, unit)) = text.split_once(" as ") {
            let value = case.inputs.get(name)?.value;
            let written = match unit {
                "%" => {
                    let bare = Fraction::read(&value.to_string()).unwrap();
                    format!("{} %", bare.mul(Fraction::whole(100)).unwrap())
                }
                unit => format!("{value} {unit}"),
            };
            return Some(Input::Number(Quantity::read(&written).unwrap()));
        }
        if let Some(amount) = case.inputs.get(text) {
            return Some(Input::Number(self.quantity(amount)));
        }
        match Quantity::read(text) {
            Ok(quantity) => Some(Input::Number(quantity)),
            Err(_) if text.chars().all(|c| c.is_ascii_lowercase() || c == '-') => {
                Some(Input::Word(text.to_owned()))
            }
            Err(_) => None,
        }
    }

    pub(super) fn inputs(&self, case: &Case, mapping: &Mapping) -> Inputs {
        let mut inputs = Inputs::new();
        for (given, text) in &mapping.givens {
            let input = self.input(case, text);
            inputs.insert(
                given.clone(),
                input.unwrap_or_else(|| panic!("{given}: {text}")),
            );
        }
        for (list, rows) in &mapping.lists {
            let row = |row: &BTreeMap<String, String>| {
                let cell =
                    |(column, text): (&String, &String)| match self.input(case, text) {
                        Some(Input::Number(quantity)) => Some((column.clone(), quantity)),
                        _ => None,
                    };
                row.iter().map(cell).collect::<Option<BTreeMap<_, _>>>()
            };
            inputs
                .insert(list.clone(), Input::Rows(rows.iter().filter_map(row).collect()));
        }
        inputs
    }

    /// Our value in the unit of the case.
    fn ours(&self, worked: &Worked, how: &str, expected: &Amount) -> f64 {
        if let Some(words) = how.strip_prefix("verdict ") {
            return f64::from(u8::from(
                worked.verdicts.iter().any(|v| v.contains(words)),
            ));
        }
        let (printed, name) = match how.strip_prefix("printed ") {
            Some(name) => (true, name),
            None => (false, how.strip_prefix("bare ").unwrap_or(how)),
        };
        let answer =
            worked.answer(Some(name)).unwrap_or_else(|| panic!("no answer {name}"));
        if printed {
            return bare(&answer.value);
        }
        if how.starts_with("bare ") {
            return answer.number.unwrap().float();
        }
        in_unit(answer.number.unwrap(), self.unit(&expected.unit))
    }

    pub(super) fn by_formula(
        &self,
        library: &Library,
        case: &Case,
        mapping: &Mapping,
    ) -> Vec<String> {
        let formula = mapping.formula.as_deref().unwrap();
        let inputs = self.inputs(case, mapping);
        let worked = library.work(formula, &inputs, mapping.system.unwrap_or(System::Us));
        let worked = match worked {
            Ok(worked) => worked,
            Err(fault) => return vec![format!("{formula}: {fault:?}")],
        };
        let one = |(name, expected): (&String, &Amount)| {
            let Some(how) = mapping.answers.get(name) else {
                return Some(format!("{name} is not mapped"));
            };
            let ours = self.ours(&worked, how, expected);
            let off = off(ours, expected.value, &case.tolerance);
            off.then(|| format!("{formula}, {how}: {ours} and not {}", expected.value))
        };
        case.expected.iter().filter_map(one).collect()
    }
}

/// A printed number: with a minus of print, and signs between its thousands.
pub(super) fn bare(printed: &str) -> f64 {
    let plain = printed.replace('−', "-").replace(',', "");
    plain.parse().unwrap_or_else(|_| panic!("{printed} is no number"))
}

/// A number of base units in a unit.
pub(super) fn in_unit(number: Number, symbol: &str) -> f64 {
    let unit = quantity::find(symbol).unwrap_or_else(|| panic!("no unit {symbol}"));
    let zero = if unit.kind == Kind::Reading { unit.zero() } else { Fraction::ZERO };
    let value = number.sub(Number::Exact(zero)).unwrap();
    value.div(Number::Exact(unit.factor())).unwrap().float()
}

#[expect(
    clippy::float_arithmetic,
    reason = "tolerances of the cases are decimal numbers"
)]
pub(super) fn off(ours: f64, expected: f64, tolerance: &BTreeMap<String, f64>) -> bool {
    let allowed = match (tolerance.get("abs"), tolerance.get("rel")) {
        (Some(abs), _) => *abs,
        (_, Some(rel)) => rel * expected.abs(),
        _ => panic!("a case without a tolerance"),
    };
    (ours - expected).abs() > allowed
}

#[test]
fn formulas_agree_with_the_reference() {
    let (library, reference) = (read::library(), reference());
    let (mut failed, mut agreed) = (0, 0);
    let mut statuses: BTreeMap<&str, usize> = BTreeMap::new();
    for (case, mapping) in &reference.pairs {
        let Case { id, source, source_status, .. } = case;
        let status = source_status.split(':').next().unwrap_or_default();
        *statuses.entry(status).or_default() += 1;
        let wrong = match &mapping.kind {
            Some(kind) => kinds::faults(&reference, case, kind),
            None => reference.by_formula(&library, case, mapping),
        };
        if wrong.is_empty() {
            agreed += 1;
            continue;
        }
        failed += 1;
        println!("{id}: {}\n    source: {source} ({source_status})", wrong.join("; "));
    }
    println!("{agreed} cases agree, {failed} differ; by status: {statuses:?}");
    assert_eq!(failed, 0);
    assert!(agreed >= 247 + 101, "cases have gone missing: {agreed}");
}

/// The number before some words of the README.
fn told(readme: &str, words: &str) -> usize {
    let (before, _) =
        readme.split_once(words).unwrap_or_else(|| panic!("README.md: {words}?"));
    let number = before.trim_end().rsplit([' ', '(']).next().unwrap();
    number.parse().unwrap_or_else(|_| panic!("README.md: {number} {words}"))
}

/// The README counts the cases by how well they are founded: never more than there are, and
/// not so many fewer that it should be counted again.
#[test]
fn the_readme_counts_the_cases() {
    let reference = reference();
    let of = |status: &str| {
        let has = |case: &Case| case.source_status.starts_with(status);
        reference.pairs.iter().filter(|(case, _)| has(case)).count()
    };
    let readme = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md"));
    let readme = readme.unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    for (there, words) in [
        // Those that we worked ourselves are neither published nor computed by others.
        (reference.pairs.len() - of(BY_HAND), "published and computed check values"),
        (of("looked-up"), "looked up"),
        (of("computed-with"), "computed with named libraries"),
        (of("common-practice"), "common practice"),
        (of("from-memory"), "from memory"),
    ] {
        let told = told(&readme, words);
        assert!(told <= there, "README.md says {told} {words}, there are {there}");
        assert!(10 * there <= 11 * told + 100, "README.md: {there} {words} by now");
    }
}

#[test]
fn a_wrong_value_is_noticed() {
    let exact = BTreeMap::from([("abs".to_owned(), 1e-6)]);
    let loose = BTreeMap::from([("rel".to_owned(), 0.01)]);
    assert!(off(2.86, 2.85, &exact) && !off(2.85, 2.85, &exact));
    assert!(off(102.0, 100.0, &loose) && !off(100.5, 100.0, &loose));
}

/// How many of the wrong answers of the cases come out of our slips; the others are named.
#[test]
fn slips_reach_the_wrong_answers_of_the_reference() {
    let (library, reference) = (read::library(), reference());
    let (mut met, mut open) = (0, 0);
    for (case, mapping) in &reference.pairs {
        let Mapping { formula: Some(formula), .. } = mapping else {
            continue;
        };
        let inputs = reference.inputs(case, mapping);
        let system = mapping.system.unwrap_or(System::Us);
        let Ok(worked) = library.work(formula, &inputs, system) else { continue };
        for wrong in &case.slips {
            let near = BTreeMap::from([("rel".to_owned(), 0.005)]);
            let symbol = reference.unit(&wrong.unit);
            let mut values = worked.slips.iter().flat_map(|slip| &slip.answers);
            let fits = |unit| {
                values.any(|a| !off(in_unit(a.number.unwrap(), unit), wrong.value, &near))
            };
            if quantity::find(symbol).map(|unit| unit.symbol).is_some_and(fits) {
                met += 1;
            } else {
                open += 1;
                println!(
                    "{} {formula}: {} ({} {symbol})",
                    case.id, wrong.slip, wrong.value
                );
            }
        }
    }
    println!("{met} wrong answers are met by a slip, {open} are not");
    assert!(met > 3 * open, "too few of the known mistakes have a slip");
}
