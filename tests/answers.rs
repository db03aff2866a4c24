//! Silly answers on papers: what people write, mistype and copy, in both unit systems and with
//! every meaning of a comma. What must come out was decided by hand. Nothing that a candidate
//! wrote ends the marking; practice asks again or says what was expected.

use drillwright::authoring::mark_answers;
use drillwright::course::{Course, QuestionSet};
use drillwright::findings::{self, Code};
use drillwright::quantity::{Comma, System};
use drillwright::quiz::{Forms, Kit, Outcome, PreparedSet};
use drillwright::stock;
use drillwright::words::Words;
use serde_json::{Value, json};

use crate::engine::example;

/// A question with one value for everything that is drawn.
fn question(id: &str, kind: &str, formula: &str, with: &[(&str, &str)]) -> Value {
    let draw: Vec<Value> =
        with.iter().map(|(name, value)| json!({ "name": name, "of": value })).collect();
    let draws: serde_json::Map<String, Value> = draw
        .iter()
        .map(|draw| {
            let name = draw["name"].as_str().unwrap().to_owned();
            (name, json!({ "of": [draw["of"]] }))
        })
        .collect();
    let binds: serde_json::Map<String, Value> = with
        .iter()
        .map(|(name, _)| ((*name).to_owned(), json!(format!("draw.{name}"))))
        .collect();
    let text: Vec<String> = with.iter().map(|(name, _)| format!("{{{name}}}")).collect();
    json!({
        "question": id, "topic": "papers", "objective": "basis", "kind": kind,
        "text": text.join(" "), "draw": draws, "marks": 1,
        "ask": { "formula": formula, "with": binds },
    })
}

fn number(id: &str, formula: &str, with: &[(&str, &str)], tolerance: Value) -> Value {
    let mut made = question(id, "number", formula, with);
    made["tolerance"] = tolerance;
    made
}

/// Numbers of the questions on the paper, from 1.
const GPM: usize = 1;
const TIME: usize = 2;
const PERCENT: usize = 3;
const THOUSAND: usize = 4;
const PAILS: usize = 5;
const CHOICE: usize = 6;
const ORDER: usize = 7;
const COUNT: usize = 7;

fn set(system: System) -> QuestionSet {
    let (flow, volume) = match system {
        System::Us => ("gpm", "gal"),
        System::Si | System::SiBar => ("L/min", "L"),
    };
    let q = |number: &str, unit: &str| format!("{number} {unit}");
    let flow95 = q("95", flow);
    let exact = |unit: &str| json!({ "below": q("0", unit), "above": q("0", unit) });
    let mut gpm = number(
        "flow",
        "concentrate-flow",
        &[("percent", "3 %"), ("flow", &flow95)],
        exact(flow),
    );
    gpm["ask"]["unit"] = json!(flow);
    gpm["ask"]["step"] = json!(q("0.01", flow));
    let mut choice = question(
        "choice",
        "choice",
        "concentrate-flow",
        &[("percent", "3 %"), ("flow", &flow95)],
    );
    choice["choices"] = json!(3);
    let items = vec![
        gpm,
        number(
            "time",
            "foam-endurance",
            &[("foam", &q("10", volume)), ("percent", "1 %"), ("flow", &flow95)],
            exact("s"),
        ),
        number("percent", "true-percent", &[("setting", "1 %")], exact("%")),
        number(
            "thousand",
            "largest-flow",
            &[("rated", &q("5", flow)), ("percent", "0.5 %")],
            exact(flow),
        ),
        number(
            "pails",
            "containers",
            &[("volume", &q("16", volume)), ("size", &q("5", volume))],
            json!({ "below": "0", "above": "0" }),
        ),
        choice,
        json!({
            "question": "order", "topic": "papers", "objective": "flush", "kind": "order",
            "text": "Order?", "drill": "flush", "marks": 1,
            "steps": ["air-off", "foam-off", "totals-a"],
        }),
    ];
    serde_json::from_value(json!({
        "set": "silly", "title": "Silly", "about": "About.", "calculator": "yes",
        "cautions": ["run-out"], "questions": items,
    }))
    .unwrap()
}

/// A paper that was handed out, and what marks it.
struct Desk {
    words: Words,
    forms: [Forms; 1],
    code: String,
}

fn desk(course: &mut Course, system: System, comma: Comma) -> Desk {
    course.module.units = system;
    course.module.comma = comma;
    let (words, set) = (stock::words(), set(system));
    let prepared = PreparedSet::of(&set, Kit::of(course, &words)).unwrap();
    let sheet = prepared.graded("silly", 1, 0).unwrap();
    let forms = [Forms::of(course, &words, std::slice::from_ref(&sheet))];
    Desk { code: sheet.paper.code, forms, words }
}

/// The answers of one person, alone on a sheet of answers.
fn marked(desk: &Desk, answers: &[(usize, &str)]) -> (Vec<(Outcome, String)>, Vec<Code>) {
    let cell = |number: usize| {
        let found = answers.iter().find(|(at, _)| *at == number);
        found.map_or(String::new(), |(_, text)| text.replace('"', "\"\""))
    };
    let cells: Vec<String> =
        (1..=COUNT).map(|number| format!("\"{}\"", cell(number))).collect();
    let head: Vec<String> = (1..=COUNT).map(|number| number.to_string()).collect();
    let (head, cells) = (head.join(","), cells.join(","));
    let csv = format!("person,form,{head}\nalder,{},{cells}\n", desk.code);
    let found = mark_answers("a.csv", &csv, &desk.forms, &desk.words);
    let codes = found.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(found.papers.is_empty(), findings::blocks(&found.findings), "{csv}");
    let answers = found.papers.first().map(|paper| paper.answers.clone());
    let told = answers.unwrap_or_default().into_iter();
    let told = told.map(|answer| (answer.outcome, answer.says.unwrap_or_default()));
    (told.collect(), codes)
}

/// `right`, `blank`, `ask` (the officer must look), or `wrong` with a part of what is told.
type Row = (usize, &'static str, [&'static str; 3]);

const fn row(at: usize, text: &'static str, says: &'static str) -> Row {
    (at, text, [says, says, says])
}

/// `FLOW` and `GAL` stand for the units of the module; the three columns are where nobody says
/// what a comma means, where it is the decimal sign, and where it sets thousands apart.
const ROWS: &[Row] = &[
    row(GPM, "2.85", "right"),
    row(GPM, "2.85 FLOW", "right"),
    row(GPM, "2,85 FLOW", "right"),
    row(GPM, "2.85FLOW", "right"),
    row(GPM, " 2.85 ", "right"),
    row(GPM, "+2.85", "right"),
    row(GPM, "02.85", "right"),
    row(GPM, "57/20", "right"),
    row(GPM, "2.85.", "wrong is not a number"),
    row(GPM, "½", "wrong"),
    row(GPM, "2½ FLOW", "wrong"),
    row(GPM, "1/2", "wrong"),
    row(GPM, "5'6\"", "wrong is not"),
    row(GPM, "2.85 / 1", "wrong is not a number"),
    row(GPM, "NaN", "wrong is not a number"),
    row(GPM, "2.85\u{200b}", "right"),
    row(GPM, "٢.٨٥", "wrong is not a number"),
    row(GPM, "= 2.85 FLOW", "right"),
    row(GPM, "２．８５", "right"),
    row(GPM, "2 17/20", "right"),
    row(GPM, "2.85e0", "right"),
    row(GPM, "2.85 GAL", "wrong measures something else"),
    row(GPM, "2.85 psi", "wrong measures something else"),
    row(GPM, "2.85 %", "wrong measures something else"),
    row(GPM, "2:51", "wrong measures something else"),
    row(GPM, "FLOW", "wrong is not a number. A number in"),
    row(GPM, "abc", "wrong is not a number"),
    row(GPM, "∞", "wrong is not a number"),
    row(GPM, "?", "wrong is not a number"),
    row(GPM, "1e9", "wrong"),
    row(GPM, "1e99", "wrong is not a number"),
    row(GPM, "-0", "wrong"),
    row(GPM, "0", "wrong"),
    row(GPM, "-2.85", "wrong"),
    row(GPM, "28.5", "wrong decimal point slipped"),
    row(GPM, "0.0285", "wrong decimal point is in the wrong place"),
    row(GPM, "2.85 or 2.9", "wrong is not a number"),
    row(GPM, "2.85 2.9", "wrong is not a number"),
    row(GPM, "2.85 - 2.9", "wrong is not a number"),
    row(GPM, "2.85 FLOW about", "wrong is not a unit"),
    row(GPM, "2.85 furlongs", "wrong is not a unit"),
    row(GPM, "2.8.5", "wrong is not a number"),
    row(GPM, "99999999999999999999999999999999999999999", "wrong is not a number"),
    (GPM, "2,850", ["ask", "ask", "wrong"]),
    (GPM, "2.850", ["right", "ask", "right"]),
    row(GPM, "", "blank"),
    row(GPM, "-", "blank"),
    row(GPM, " — ", "blank"),
    row(TIME, "10:31", "right"),
    row(TIME, "10:31 min", "right"),
    row(TIME, "010:31", "right"),
    row(TIME, "10 m 31 s", "right"),
    row(TIME, "10'31\"", "wrong"),
    row(TIME, "10:31:00", "wrong"),
    row(TIME, ":31", "wrong is not a time"),
    row(TIME, "-10:31", "wrong"),
    row(TIME, "10.31 s", "wrong"),
    row(TIME, "631", "wrong is a time without a unit"),
    row(TIME, "0:10:31", "right"),
    row(TIME, "10 min 31 s", "right"),
    row(TIME, "10 min 31 sec.", "right"),
    row(TIME, "631 s", "right"),
    row(TIME, "10:75", "wrong is not a time"),
    row(TIME, "10:3", "wrong is not a time"),
    row(TIME, "10:31 GAL", "wrong measures something else"),
    row(TIME, "10.31", "wrong is a time without a unit"),
    row(TIME, "10", "wrong is a time without a unit"),
    row(TIME, "10.31 min", "wrong with a point between them"),
    row(TIME, "10 GAL", "wrong measures something else"),
    row(TIME, "abc", "wrong Minutes and seconds were asked for, written as 10:31"),
    row(TIME, "10 min 75 s", "wrong is not a time"),
    row(PERCENT, "0.99", "right"),
    row(PERCENT, "0.99 %", "right"),
    row(PERCENT, "0,99 %", "right"),
    row(PERCENT, "0.1 %", "wrong"),
    row(PERCENT, "0,1 %", "wrong"),
    row(PERCENT, "99/100", "right"),
    row(PERCENT, "0.99%%", "wrong is not a unit"),
    row(PERCENT, "0,99 percent", "right"),
    row(PERCENT, "0.0099", "wrong decimal point is in the wrong place"),
    row(PERCENT, "99 %", "wrong decimal point is in the wrong place"),
    row(PERCENT, "0.99 FLOW", "wrong measures something else"),
    (THOUSAND, "1,000", ["ask", "ask", "right"]),
    (THOUSAND, "1.000", ["wrong decimal point", "ask", "wrong decimal point"]),
    row(THOUSAND, "1 000", "right"),
    row(THOUSAND, "1\u{202f}000 FLOW", "right"),
    row(THOUSAND, "1'000", "right"),
    row(THOUSAND, "1000.0", "right"),
    row(THOUSAND, "1e3", "right"),
    row(THOUSAND, "1 00 0", "wrong is not a number"),
    row(THOUSAND, "1", "wrong decimal point is in the wrong place"),
    (THOUSAND, "1,234", ["wrong two ways", "wrong", "wrong"]),
    row(PAILS, "4", "right"),
    row(PAILS, "4 pails", "right"),
    row(PAILS, "four", "wrong is not a number. A number was asked for"),
    row(PAILS, "4 %", "wrong measures something else"),
    row(PAILS, "3 1/2", "wrong"),
    row(PAILS, "8/2", "right"),
    row(PAILS, "1/0", "wrong is not a number"),
    row(CHOICE, "abc", "wrong is more than one answer"),
    row(CHOICE, "A B", "wrong is more than one answer"),
    row(CHOICE, "Z", "note is no letter of this question"),
    row(CHOICE, "?", "note is no letter of this question"),
    row(CHOICE, "-", "blank"),
    row(ORDER, "abd", "note is no letter of this question"),
    row(ORDER, "AAB", "wrong Step A stands twice"),
    row(ORDER, "A B", "wrong leaves steps out"),
    row(ORDER, "xyz", "note is no letter of this question"),
];

#[test]
fn what_people_write_is_marked_as_decided_by_hand() {
    let mut failed = Vec::new();
    let mut course = example();
    for system in [System::Us, System::Si] {
        let (flow, volume) = match system {
            System::Us => ("gpm", "gal"),
            System::Si | System::SiBar => ("L/min", "L"),
        };
        let commas = [Comma::Unfixed, Comma::Decimal, Comma::Thousands];
        for (at, comma) in commas.into_iter().enumerate() {
            let desk = desk(&mut course, system, comma);
            for (number, text, wanted) in ROWS {
                let text = text.replace("FLOW", flow).replace("GAL", volume);
                let (told, codes) = marked(&desk, &[(*number, &text)]);
                let found = match (told.get(number - 1), codes.as_slice()) {
                    (None, [Code::AnswerUnreadable]) => "ask".to_owned(),
                    (Some((Outcome::Right, _)), []) => "right".to_owned(),
                    (Some((Outcome::Blank, _)), []) => "blank".to_owned(),
                    (Some((Outcome::Wrong, says)), []) => format!("wrong {says}"),
                    (Some((Outcome::Wrong, says)), [Code::AnswerNotOnPaper]) => {
                        format!("note {says}")
                    }
                    other => format!("{other:?}"),
                };
                let wanted = wanted[at];
                let holds = match wanted.split_once(' ') {
                    Some((first, part)) => {
                        found.starts_with(first) && found.contains(part)
                    }
                    None => found.split(' ').next() == Some(wanted),
                };
                if !holds {
                    failed.push(format!("{system:?} {comma:?} {text}: {found}"));
                }
            }
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}

/// Whatever stands in the cells, the row is marked or the officer is asked about one number of
/// two readings; nothing else stops it.
#[test]
fn no_answer_of_a_candidate_stops_the_marking() {
    let desk = desk(&mut example(), System::Us, Comma::Unfixed);
    for (_, text, _) in ROWS {
        let everywhere: Vec<(usize, &str)> =
            (1..=COUNT).map(|number| (number, *text)).collect();
        let (told, codes) = marked(&desk, &everywhere);
        let stops = codes.contains(&Code::AnswerUnreadable);
        assert!(told.len() == COUNT || stops, "{text}: {codes:?}");
        let known =
            |code: &Code| matches!(code, Code::AnswerUnreadable | Code::AnswerNotOnPaper);
        assert!(codes.iter().all(known), "{text}: {codes:?}");
        assert!(told.iter().all(|(outcome, _)| *outcome != Outcome::Unreadable));
    }
}
