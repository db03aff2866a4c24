//! A department that writes a comma before its decimals: nothing that is worked out is printed
//! with a point, and what is printed is read back as what it was.

use drillwright::course::Course;
use drillwright::findings::Sources;
use drillwright::practice::{Engine, PageKit, PracticeKit};
use drillwright::quantity::{Comma, Fraction, Quantity};
use regex_lite::Regex;
use serde_json::json;

use super::{course, pages};
use crate::metric::visible;

/// The metric module with a decimal comma, and with quantities that its author writes so.
fn sources() -> Sources {
    let mut sources = crate::metric::sources();
    let head = sources.get_mut("module.yaml").unwrap();
    *head = head.replacen("units: si", "comma: decimal\nunits: si", 1);
    assert!(head.contains("comma: decimal"));
    let rig = sources.get_mut("rigs/pump-2.yaml").unwrap();
    let typed = rig.matches("3.4 m3/min").count();
    assert_eq!(typed, 1, "the air of the card is written otherwise");
    *rig = rig.replace("3.4 m3/min", "3,4 m3/min");
    sources
}

/// All that the department wrote with a point by hand: whoever writes a sentence chooses its sign.
fn written(sources: &Sources) -> String {
    let either = Regex::new(r"\{([^{}|]*)\|([^{}|]*)(\|[^{}]*)?\}").unwrap();
    let mut out = String::new();
    for text in sources.values() {
        for half in ["$1", "$2"] {
            let text = either.replace_all(text, half);
            out.push_str(&text.split_whitespace().collect::<Vec<_>>().join(" "));
            out.push('\n');
        }
    }
    out
}

/// Numbers with a point in a text that no author wrote.
fn points(line: &str, written: &str) -> Vec<String> {
    let number = Regex::new(r"[0-9]\.[0-9]").unwrap();
    let plain = line.replace(['\u{a0}', '\u{202f}'], " ");
    let plain = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    let ours = |at: usize| {
        let from =
            plain.get(..at).unwrap().char_indices().rev().nth(7).map_or(0, |(at, _)| at);
        let to = plain
            .get(at..)
            .unwrap()
            .char_indices()
            .nth(9)
            .map_or(plain.len(), |(to, _)| at + to);
        !written.contains(plain.get(from..to).unwrap())
    };
    number
        .find_iter(&plain)
        .filter(|found| ours(found.start()))
        .map(|_| plain.clone())
        .collect()
}

fn all() -> (Course, Vec<(String, Vec<String>)>) {
    let course = course(&sources());
    let pages = pages(&course).into_iter().filter(|(path, _)| !path.contains("/send-"));
    let pages = pages.map(|(path, text)| (path, visible(&text))).collect();
    (course, pages)
}

#[test]
fn no_figure_of_a_comma_module_has_a_point_and_each_is_read_back() {
    let (course, pages) = all();
    assert_eq!(course.module.comma, Comma::Decimal);
    let written = written(&sources());
    let quantity =
        Regex::new("−?[0-9][0-9\u{202f}]*(,[0-9]+)?\u{a0}[A-Za-z%°][A-Za-z0-9/²³]*")
            .unwrap();
    // The number of a paragraph is no figure.
    let paragraph = Regex::new(r"^[0-9]{1,2}\.[0-9]{1,2}$").unwrap();
    let numbers = |path: &str, line: &str| {
        path.contains("/lesson-") && paragraph.is_match(line.trim())
    };
    // What a source is called, and where in it something stands, is no figure of the module.
    let sources: Vec<&String> = course.sources.values().collect();
    let cited = |path: &str, line: &str| {
        path.ends_with("/sources.html")
            || ["(looked up)", "(computed)"].iter().any(|status| line.contains(status))
            || sources.iter().any(|short| line.contains(short.as_str()))
    };
    let (mut wrong, mut commas, mut read) = (Vec::new(), 0, 0);
    for (path, lines) in &pages {
        for line in lines {
            let own =
                Some(line).filter(|line| !cited(path, line) && !numbers(path, line));
            wrong.extend(
                own.into_iter()
                    .flat_map(|line| points(line, &written))
                    .map(|text| format!("{path}: {text}")),
            );
            for found in quantity.find_iter(line) {
                let text = found.as_str();
                let Ok(quantity) = Quantity::read_with(text, Comma::Decimal) else {
                    // A word behind a number is no unit, and a number alone is read all the same.
                    let (number, _) = text.split_once('\u{a0}').unwrap();
                    assert!(
                        Quantity::read_with(number, Comma::Decimal).is_ok(),
                        "{path}: {text}"
                    );
                    continue;
                };
                let (number, _) = text.split_once('\u{a0}').unwrap();
                let plain =
                    number.replace('\u{202f}', "").replace(',', ".").replace('−', "-");
                assert_eq!(
                    quantity.number(),
                    Fraction::read(&plain).unwrap(),
                    "{path}: {text}"
                );
                read += 1;
                commas += usize::from(number.contains(','));
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{}\n{}", wrong.len(), wrong.join("\n"));
    assert!(commas > 500 && read > 2000, "{commas} of {read}");
}

/// A page's engine writes and reads the same sign, and its keypads have a key for it.
#[test]
fn the_engine_of_a_page_writes_a_comma_and_takes_one() {
    let course = course(&sources());
    let kit = PracticeKit::of(&course, &course.sets[0], &course.face.words);
    let page =
        PageKit { format: drillwright::practice::FORMAT, practice: Some(kit), run: None };
    let mut engine = Engine::default();
    let mut call = |request: serde_json::Value| {
        let answer = engine.call(request.to_string().as_bytes());
        serde_json::from_slice::<serde_json::Value>(&answer).unwrap()
    };
    call(json!({ "ask": "open", "kit": page }));
    let mut marked = 0;
    for question in &course.sets[0].questions {
        let ask = |key: bool| json!({ "ask": "draw", "question": question.id, "seed": "a", "attempt": 1, "key": key });
        let drawn = call(ask(true));
        let Some(text) = drawn["done"]["key"]["answer"].as_str() else { continue };
        if !text.contains(',') {
            continue;
        }
        let written = json!({
            "ask": "mark", "question": question.id, "seed": "a", "attempt": 1, "written": text,
        });
        let answer = call(written);
        assert_eq!(answer["done"]["outcome"], "right", "{text}: {answer}");
        marked += 1;
    }
    assert!(marked > 0, "no answer of the set has decimals");
    // The sign of one module is not that of the next.
    let us = crate::pages::example();
    let kit = PracticeKit::of(&us, &us.sets[0], &us.face.words);
    let page =
        PageKit { format: drillwright::practice::FORMAT, practice: Some(kit), run: None };
    call(json!({ "ask": "open", "kit": page }));
    let question = &us.sets[0].questions[0].id;
    let drawn = call(
        json!({ "ask": "draw", "question": question, "seed": "a", "attempt": 1, "key": true }),
    );
    let point = Regex::new("[0-9]\\.[0-9]").unwrap();
    let comma = Regex::new("[0-9],[0-9]( |\u{a0}|$)").unwrap();
    let text = drawn.to_string();
    assert!(point.is_match(&text) && !comma.is_match(&text), "{text}");
}
