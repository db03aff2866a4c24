//! Which cases of assessment science are run: every case of the list is, or is left out for a
//! written reason; and the share of right answers to a question, on answers from elsewhere.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::quantity::Fraction;
use drillwright::quiz::{Answered, Outcome, PaperResult, RESULTS_FORMAT, Results, ease};
use serde::Deserialize;
use serde_json::Value;

use super::read;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct List {
    #[serde(rename = "about")]
    _about: String,
    cases: Vec<Listed>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Listed {
    id: String,
    topic: String,
    statistic: String,
}

fn checks() -> Value {
    read::yaml("tests/reference/assessment-checks.json")
}

fn entries<'c>(checks: &'c Value, list: &str) -> Vec<&'c Value> {
    checks[list].as_array().unwrap().iter().collect()
}

/// Faults of what is run and what is left out, held against the list.
fn faults(list: &List, checks: &Value) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut known = BTreeMap::new();
    for case in &list.cases {
        if known.insert(case.id.as_str(), case).is_some() {
            wrong.push(format!("{} stands twice in the list", case.id));
        }
    }
    let mut met = BTreeSet::new();
    for place in ["cases", "left_out"] {
        for entry in entries(checks, place) {
            let text = |field: &str| entry[field].as_str().unwrap_or_default();
            let id = text("id");
            if !met.insert(id) {
                wrong.push(format!("{id} stands twice among run and left out"));
            }
            match known.get(id) {
                Some(case) if case.topic == text("topic") => {}
                _ => wrong.push(format!("{id} is not in the list under this topic")),
            }
            let run = place == "cases";
            if run && known.get(id).is_some_and(|c| c.statistic != text("statistic")) {
                wrong.push(format!("{id} is run as another statistic"));
            }
            if !run && text("reason").split_whitespace().count() < 4 {
                wrong.push(format!("{id} is left out without a reason"));
            }
        }
    }
    let open = known.keys().filter(|id| !met.contains(*id));
    wrong.extend(open.map(|id| format!("{id} is neither run nor left out")));
    wrong
}

#[test]
fn every_case_of_the_list_is_run_or_left_out_for_a_reason() {
    let list: List = read::yaml("tests/reference/assessment-list.json");
    assert!(list.cases.len() >= 156, "the list has lost cases: {}", list.cases.len());
    let checks = checks();
    assert_eq!(faults(&list, &checks), Vec::<String>::new());
    // What is run may not shrink to a few in favor of reasons.
    assert!(entries(&checks, "cases").len() >= 61);
}

#[test]
fn a_case_that_is_passed_over_is_noticed() {
    let list: List = read::yaml("tests/reference/assessment-list.json");
    let broken = |change: &dyn Fn(&mut Value)| {
        let mut checks = checks();
        change(&mut checks);
        faults(&list, &checks)
    };
    let without = |place: &'static str| {
        broken(&move |checks: &mut Value| {
            checks[place].as_array_mut().unwrap().pop();
        })
    };
    for place in ["cases", "left_out"] {
        let wrong = without(place);
        assert!(wrong.len() == 1 && wrong[0].contains("neither run"), "{wrong:?}");
    }
    let silent = broken(&|checks| checks["left_out"][1]["reason"] = "".into());
    assert!(silent.len() == 1 && silent[0].contains("without a reason"), "{silent:?}");
    let other = broken(&|checks| checks["cases"][0]["topic"] = "unit".into());
    assert!(other.len() == 1 && other[0].contains("not in the list"), "{other:?}");
    let twice = broken(&|checks| {
        let case = checks["cases"][0].clone();
        checks["left_out"].as_array_mut().unwrap().push(case);
    });
    assert!(twice.iter().any(|fault| fault.contains("stands twice")), "{twice:?}");
}

/// The paper of a person whose right and wrong answers are written as 1 and 0.
fn paper(person: usize, answers: &str) -> PaperResult {
    let answer = |(at, mark): (usize, char)| {
        let outcome = match mark {
            '1' => Outcome::Right,
            '0' => Outcome::Wrong,
            other => panic!("an answer is neither right nor wrong: {other}"),
        };
        Answered {
            number: at + 1,
            question: format!("question-{at:02}"),
            topic: "topic".into(),
            written: mark.to_string(),
            right: "1".into(),
            marks: u32::from(outcome == Outcome::Right),
            outcome,
            slip: None,
            says: None,
        }
    };
    let answers: Vec<Answered> = answers.chars().enumerate().map(answer).collect();
    PaperResult {
        person: format!("person-{person}"),
        code: "one-paper".into(),
        set: "set".into(),
        title: "Set".into(),
        attempt: 1,
        marks: answers.iter().map(|answer| answer.marks).sum(),
        of: u32::try_from(answers.len()).unwrap(),
        reached: None,
        pass_mark: None,
        answers,
    }
}

#[test]
fn shares_of_right_answers_agree_with_the_reference() {
    let checks = checks();
    let mut compared = 0;
    for case in entries(&checks, "cases").iter().filter(|case| case["topic"] == "item_p")
    {
        let data = &checks["datasets"][case["input"]["dataset"].as_str().unwrap()];
        let rows = data["rows"].as_array().unwrap().iter().enumerate();
        let papers: Vec<PaperResult> =
            rows.map(|(at, row)| paper(at, row.as_str().unwrap())).collect();
        assert_eq!(u64::try_from(papers.len()).ok(), case["input"]["n"].as_u64());
        let about = String::new();
        let input = about.clone();
        let results = Results { format: RESULTS_FORMAT, about, input, papers };
        let found: Vec<Fraction> = ease([&results].into_iter()).into_values().collect();
        let wanted: Vec<Fraction> = case["expected"]
            .as_array()
            .unwrap()
            .iter()
            .map(|share| Fraction::read(&share.to_string()).unwrap())
            .collect();
        assert_eq!(found, wanted, "{}", case["id"]);
        compared += found.len();
    }
    assert_eq!(compared, 30, "shares of thirty questions");
}
