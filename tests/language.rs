//! The language of formulas: what a line may say, what is wrong with it and where, and what
//! happens when a sound line has no answer.

use std::collections::BTreeMap;

use drillwright::formulas::{
    Answer, Fault, Formula, Given, GivenKind, Input, Inputs, Library, Part, Row,
    SourceRef, Status, System, Table, TableKey, TableRule, WorkFault, WorkLine,
};
use drillwright::quantity::{Direction, Quantity};

fn q(text: &str) -> Quantity {
    Quantity::read(text).unwrap()
}

fn number(name: &str, unit: &str, least: &str, most: &str) -> Given {
    let kind = GivenKind::Number {
        unit: unit.into(),
        unit_si: unit.into(),
        least: q(least),
        most: q(most),
        default: None,
    };
    Given { name: name.into(), label: name.into(), means: None, kind, default_si: None }
}

fn source() -> SourceRef {
    SourceRef { source: "definition".into(), status: Status::CommonPractice, note: None }
}

/// A formula of one line over givens of every kind.
fn formula(id: &str, line: &str, shown: &str) -> Formula {
    let name = line.split(" =").next().unwrap().to_owned();
    let kind = GivenKind::Choice { words: vec!["attack".into(), "supply".into()] };
    let columns = vec![number("each", "gpm", "1 gpm", "1000 gpm")];
    Formula {
        id: id.into(),
        title: id.into(),
        family: "trial".into(),
        basis: None,
        only: None,
        instead: None,
        givens: vec![
            number("foam", "gal", "0 gal", "1000 gal"),
            number("flow", "gpm", "0 gpm", "5000 gpm"),
            number("percent", "%", "0 %", "100 %"),
            number("foam-time", "min", "0 min", "600 min"),
            number("warmth", "degF", "-40 degF", "300 degF"),
            number("plain", "", "0", "1000000"),
            Given {
                name: "hose".into(),
                label: "hose".into(),
                means: None,
                kind,
                default_si: None,
            },
            Given {
                name: "lines".into(),
                label: "lines".into(),
                means: None,
                kind: GivenKind::List { columns },
                default_si: None,
            },
        ],
        work: vec![WorkLine {
            text: line.into(),
            label: name.clone(),
            shown: q(shown),
            shown_si: q(shown),
            signed: false,
        }],
        work_si: Vec::new(),
        answers: vec![Answer {
            name: name.clone(),
            label: name,
            shown: q(shown),
            shown_si: q(shown),
            round: Direction::Near,
            clock: false,
            sense: Vec::new(),
            endless: None,
        }],
        verdicts: Vec::new(),
        slips: Vec::new(),
        range: "trial".into(),
        sources: vec![source()],
        library_only: false,
        officers_only: false,
        example: Vec::new(),
    }
}

fn table() -> Table {
    let row = |keys: [&str; 2], value: &str| Row {
        others: Vec::new(),
        keys: keys.map(str::to_owned).to_vec(),
        value: q(value),
        source: source(),
    };
    Table {
        id: "loss".into(),
        title: "loss".into(),
        keys: vec![
            TableKey::Choice { name: "hose".into() },
            TableKey::Number { name: "flow".into(), unit: "gpm".into() },
        ],
        rule: TableRule::Between,
        only: None,
        rows: vec![
            row(["attack", "100 gpm"], "10 psi"),
            row(["attack", "200 gpm"], "30 psi"),
        ],
    }
}

fn library(formulas: Vec<Formula>) -> (Library, Vec<Fault>) {
    Library::new(formulas, vec![table()], Vec::new())
}

/// Fault of a line and the text it points at.
fn fault(line: &str, shown: &str) -> Option<(String, String)> {
    let (_, faults) = library(vec![formula("trial", line, shown)]);
    let fault = faults.iter().find(|fault| fault.part == Part::Work(0))?;
    Some((
        format!("{:?}", fault.kind),
        line.get(fault.start..fault.end).unwrap_or_default().to_owned(),
    ))
}

#[test]
fn faults_name_what_is_wrong_and_where() {
    let deep = format!("x = {}1{}", "(".repeat(40), ")".repeat(40));
    let long = format!("x = {}1", "1 + ".repeat(200));
    for (line, shown, kind, place) in [
        (
            "x = foam + foam-time",
            "1 gal",
            "Unlike(\"⟨wire.one.volume⟩\", \"⟨wire.one.time⟩\")",
            "foam + foam-time",
        ),
        ("x = percent - 1", "1 %", "ShareWithPlain", "percent - 1"),
        ("x = ln(flow)", "1", "DependsOnUnit(\"⟨wire.one.flow⟩\")", "ln(flow)"),
        ("x = 95 gpn", "1 gpm", "UnknownUnit(\"gpn\", Some(\"gpm\"))", "gpn"),
        ("x = flow ^ 1.85", "1 gpm", "BadPower(\"⟨wire.one.flow⟩\")", "flow ^ 1.85"),
        ("x = flow ^ 6", "1 gpm", "BadPower(\"⟨wire.one.flow⟩\")", "flow ^ 6"),
        (
            "x = flow as gal",
            "1",
            "WrongUnit(\"gal\", \"⟨wire.one.flow⟩\")",
            "flow as gal",
        ),
        ("x = flwo * 2", "1 gpm", "UnknownName(\"flwo\", Some(\"flow\"))", "flwo"),
        ("x = sqrt(foam)", "1 gal", "NoRoot(\"⟨wire.one.volume⟩\")", "sqrt(foam)"),
        ("x = down(flow, 5 gal)", "1 gpm", "BadStep", "down(flow, 5 gal)"),
        ("x = min(flow)", "1 gpm", "WrongCount(\"min\")", "min(flow)"),
        (
            "x = mim(flow, flow)",
            "1 gpm",
            "UnknownCall(\"mim\", Some(\"min\"))",
            "mim(flow, flow)",
        ),
        ("x = warmth * 2", "1 degF", "Reading", "warmth * 2"),
        ("x = warmth + warmth", "1 degF", "Reading", "warmth + warmth"),
        ("x = percent * 100", "1 %", "HundredTwice", "percent * 100"),
        ("x = percent / 100 * flow", "1 gpm", "HundredTwice", "percent / 100"),
        ("x = flow < 5 gpm", "1 gpm", "NotANumber", "flow < 5 gpm"),
        ("x = if flow then 1 else 2", "1", "NotACondition", "flow"),
        ("x = if hose is atack then 1 else 2", "1", "UnknownWord", "hose is atack"),
        (
            "x = sum over line of (each)",
            "1 gpm",
            "UnknownCall(\"line\"",
            "sum over line of (each)",
        ),
        ("x = flow", "1 gal", "ShownWrong(\"gal\", \"⟨wire.one.flow⟩\")", "x"),
        ("flow = 2 * foam", "1 gal", "TwiceNamed(\"flow\")", "flow"),
        ("x = 1 # 2", "1", "StrayCharacter('#')", "#"),
        ("x = 1.2.3", "1", "BadNumber", "1"),
        (deep.as_str(), "1", "TooDeep", "("),
        (long.as_str(), "1", "TooLong", long.as_str()),
    ] {
        let found = fault(line, shown);
        let (found, spot) = found.unwrap_or_else(|| panic!("{line}: no fault"));
        assert!(found.starts_with(kind), "{line}: {found}");
        assert_eq!(spot, place, "{line}");
    }
}

#[test]
fn sound_lines_have_no_fault() {
    for (line, shown) in [
        ("x = percent * flow", "0.01 gpm"),
        ("x = 100 % - percent", "0.1 %"),
        ("x = (flow / 100 gpm) ^ 2", "0.01"),
        ("x = 29.7 gpm * (plain ^ 2) * sqrt(plain)", "1 gpm"),
        ("x = (212 degF - warmth) as Fdeg", "1"),
        ("x = absolute(warmth)", "1 Fdeg"),
        ("x = if hose is attack and flow > 5 gpm then flow else 2 * flow", "1 gpm"),
        ("x = (sum over lines of (each)) / (count of lines)", "1 gpm"),
        ("x = loss(hose, flow)", "1 psi"),
    ] {
        assert_eq!(fault(line, shown), None, "{line}");
    }
}

fn inputs() -> Inputs {
    let numbers = [
        ("foam", "0 gal"),
        ("flow", "150 gpm"),
        ("percent", "0.5 %"),
        ("foam-time", "10 min"),
        ("warmth", "62 degF"),
        ("plain", "1000000"),
    ];
    let rows = [("each", "95 gpm"), ("each", "125 gpm")]
        .map(|(name, text)| BTreeMap::from([(name.to_owned(), q(text))]));
    let mut inputs: Inputs =
        numbers.map(|(name, text)| (name.to_owned(), Input::Number(q(text)))).into();
    inputs.insert("hose".into(), Input::Word("attack".into()));
    inputs.insert("lines".into(), Input::Rows(rows.to_vec()));
    inputs
}

fn work(line: &str, shown: &str, inputs: &Inputs) -> Result<String, WorkFault> {
    let (library, faults) = library(vec![formula("trial", line, shown)]);
    assert_eq!(faults, Vec::new(), "{line}");
    let worked = library.work("trial", inputs, System::Us)?;
    Ok(worked.answers.first().unwrap().text.replace('\u{a0}', " "))
}

#[test]
fn lines_have_the_values_of_the_language() {
    for (line, shown, value) in [
        ("x = percent * flow", "0.01 gpm", "0.75 gpm"),
        ("x = loss(hose, flow)", "0.1 psi", "20.0 psi"),
        ("x = sum over lines of (each)", "1 gpm", "220 gpm"),
        ("x = least over lines of (each)", "1 gpm", "95 gpm"),
        ("x = most over lines of (each)", "1 gpm", "125 gpm"),
        ("x = count of lines", "1", "2"),
        ("x = up(flow, 40 gpm)", "1 gpm", "160 gpm"),
        ("x = down(flow, 40 gpm)", "1 gpm", "120 gpm"),
        ("x = near(flow, 100 gpm)", "1 gpm", "200 gpm"),
        ("x = (212 degF - warmth) as Fdeg", "1", "150"),
        ("x = warmth + 10 Fdeg", "1 degF", "72 °F"),
        ("x = -2 ^ 2 + 8", "1", "4"),
        ("x = 2 * 3 - 4 / 2", "1", "4"),
        ("x = if hose is supply or flow >= 150 gpm then 1 else 2", "1", "1"),
        ("x = if hose is supply and flow >= 150 gpm then 1 else 2", "1", "2"),
    ] {
        assert_eq!(work(line, shown, &inputs()).unwrap(), value, "{line}");
    }
}

#[test]
fn a_line_without_an_answer_says_why() {
    for (line, shown, key) in [
        ("x = flow / (foam as gal)", "1 gpm", "divided-by-zero"),
        ("x = 100 gpm - flow", "1 gpm", "negative"),
        ("x = sqrt(1 - plain)", "1", "root-of-negative"),
        ("x = plain ^ 64", "1", "overflow"),
        ("x = loss(hose, 2 * flow)", "1 psi", "missing-row"),
    ] {
        let line =
            if key == "divided-by-zero" { "x = flow / (foam as gal)" } else { line };
        let shown = if key == "divided-by-zero" { "1 gpm" } else { shown };
        assert_eq!(work(line, shown, &inputs()).unwrap_err().key, key, "{line}");
    }
}

#[test]
fn bad_inputs_say_why() {
    let with = |name: &str, input: Option<Input>| {
        let mut inputs = inputs();
        match input {
            Some(input) => inputs.insert(name.to_owned(), input),
            None => inputs.remove(name),
        };
        work("x = flow + sum over lines of (each)", "1 gpm", &inputs).unwrap_err().key
    };
    let number = |text: &str| Some(Input::Number(q(text)));
    assert_eq!(with("flow", number("150 gal")), "wrong-dimension");
    assert_eq!(with("flow", number("9000 gpm")), "out-of-range");
    assert_eq!(with("percent", number("0.5")), "wrong-dimension");
    assert_eq!(with("flow", None), "missing-given");
    assert_eq!(with("flwo", number("1 gpm")), "unknown-given");
    assert_eq!(with("hose", Some(Input::Word("other".into()))), "wants-word");
    assert_eq!(with("lines", Some(Input::Rows(Vec::new()))), "empty-list");
}

#[test]
fn calls_bind_by_name_and_never_in_a_circle() {
    let called = formula("twice", "x = 2 * flow", "1 gpm");
    let mut caller = formula("caller", "x = twice(flow = 2 * flow)", "1 gpm");
    let (library, faults) = library(vec![caller.clone(), called]);
    assert_eq!(faults, Vec::new());
    let worked = library.work("caller", &inputs(), System::Us).unwrap();
    assert_eq!(worked.answers.first().unwrap().value, "600");
    caller.id = "a".into();
    let line = caller.work.first_mut().unwrap();
    line.text = "x = b(flow)".into();
    let (_, faults) = Library::new(
        vec![caller, formula("b", "x = a(flow)", "1 gpm")],
        Vec::new(),
        Vec::new(),
    );
    let circles =
        faults.iter().filter(|fault| format!("{:?}", fault.kind).starts_with("Circle"));
    assert_eq!(circles.count(), 2);
}

#[test]
fn a_board_reads_as_it_is_worked() {
    for (line, shown, numbers) in [
        ("x = 2 * (sum over lines of (each))", "1 gpm", "2 × (95 gpm + 125 gpm)"),
        ("x = 2 * sum over lines of (each)", "1 gpm", "2 × (95 gpm + 125 gpm)"),
        ("x = flow ^ 2 / flow", "1 gpm", "(150 gpm)² ÷ 150 gpm"),
        (
            "x = most over lines of (each) - flow / 10",
            "1 gpm",
            "largest of (95 gpm; 125 gpm) − 150 gpm ÷ 10",
        ),
        ("x = flow / half(percent)", "1 gpm", "150 gpm ÷ (0.5 % ÷ 2)"),
        ("x = (flow as L/min) * 1 gpm", "1 gpm", "567.8118 × 1 gpm"),
    ] {
        let half = formula("half", "y = percent / 2", "0.01 %");
        let (library, faults) = library(vec![formula("trial", line, shown), half]);
        assert_eq!(faults, Vec::new(), "{line}");
        let library = library.speaking(&drillwright::stock::words());
        let inputs = inputs();
        let worked = library.work("trial", &inputs, System::Us).unwrap();
        assert_eq!(worked.lines[0].numbers.replace('\u{a0}', " "), numbers, "{line}");
        let adds_up = library.board_adds_up("trial", &inputs, System::Us);
        assert_eq!(adds_up.unwrap(), None, "{line}");
    }
}

#[test]
fn a_line_gets_the_digits_that_the_next_one_needs() {
    let mut formula = formula("trial", "x = percent * flow / 7", "0.1 gpm");
    let next = formula.work[0].clone();
    formula.work.push(WorkLine { text: "y = 1000 * x".into(), ..next });
    formula.answers[0].name = "y".into();
    let (library, faults) = library(vec![formula]);
    assert_eq!(faults, Vec::new());
    let worked = library.work("trial", &inputs(), System::Us).unwrap();
    let line = |at: usize| {
        let line = &worked.lines[at];
        let text = format!("{} {} {}", line.numbers, line.relation, line.result);
        text.replace('\u{a0}', " ")
    };
    assert_eq!(line(0), "0.5 % × 150 gpm ÷ 7 ≈ 0.1071 gpm");
    assert_eq!(line(1), "1000 × 0.1071 gpm ≈ 107.1 gpm");
}

#[test]
fn a_given_in_another_unit_is_converted_and_says_so() {
    let mut inputs = inputs();
    inputs.insert("flow".into(), Input::Number(q("378.5411784 L/min")));
    let (library, _) = library(vec![formula("trial", "x = percent * flow", "0.01 gpm")]);
    let worked = library.work("trial", &inputs, System::Us).unwrap();
    assert_eq!(worked.answers.first().unwrap().value, "0.5");
    let given = worked.givens.iter().find(|given| given.name == "flow").unwrap();
    assert_eq!(given.text.replace('\u{a0}', " "), "100 gpm");
    assert!(given.converted_from.is_some());
}
