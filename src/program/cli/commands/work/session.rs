//! `work --code`: the questions of a practice session, through the entrance that pages use.

use std::path::Path;

use serde_json::{Value, json};

use crate::cli::commands::layout::wrapped;
use crate::cli::commands::module::Module;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::practice::{Engine, FORMAT, PageKit, PracticeKit};
use crate::publish;

/// Shows the questions of a code, and their answers below them.
pub(super) fn run(content: &Path, code: &str, terminal: &Terminal) -> Result<End, Fault> {
    let words = &terminal.words;
    // As a draft too: the page that showed the code may be one of an unfinished module.
    let module = Module::read(content, true)?;
    let Some(course) = &module.course else {
        terminal.talk(&words.get("cli.work.code-no-module"));
        return Ok(End::ToFix);
    };
    let mut refused = words.get("cli.work.code-no-set");
    let of_lessons = course.lessons.iter().filter_map(|l| publish::lesson_set(course, l));
    // A code tells its set by a hash and not by its name, so each set is asked.
    for set in course.sets.iter().cloned().chain(of_lessons) {
        let kit = PracticeKit::of(course, &set, words);
        let kit = PageKit { format: FORMAT, practice: Some(kit), run: None };
        let mut engine = Engine::default();
        ask(&mut engine, &json!({ "ask": "open", "kit": kit }));
        let listed = ask(&mut engine, &json!({ "ask": "list", "code": code }));
        match listed.get("done") {
            Some(done) if terminal.for_machine() => terminal.json(done),
            Some(done) => terminal.data(&told(done, terminal)),
            None => {
                text(&listed, "fault").clone_into(&mut refused);
                continue;
            }
        }
        return Ok(End::Done);
    }
    terminal.talk(&refused);
    Ok(End::ToFix)
}

fn ask(engine: &mut Engine, request: &Value) -> Value {
    serde_json::from_slice(&engine.call(request.to_string().as_bytes()))
        .unwrap_or_default()
}

fn text<'v>(value: &'v Value, name: &str) -> &'v str {
    value.get(name).and_then(Value::as_str).unwrap_or_default()
}

fn items<'v>(value: &'v Value, name: &str) -> &'v [Value] {
    value.get(name).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

fn told(done: &Value, terminal: &Terminal) -> String {
    let words = &terminal.words;
    let mut out = format!("{}\n", terminal.strong(text(done, "title")));
    if !text(done, "note").is_empty() {
        out.push_str(&wrapped(text(done, "note"), ""));
    }
    let questions = items(done, "questions");
    for (number, question) in (1..).zip(questions) {
        let item = question.get("item").unwrap_or(&Value::Null);
        out.push_str(&format!(
            "\n{number}. {}",
            wrapped(text(item, "text"), "   ").trim()
        ));
        out.push('\n');
        for option in items(item, "options") {
            let line = format!("{}  {}", text(option, "letter"), text(option, "text"));
            out.push_str(&wrapped(&line, "   "));
        }
        let unit = text(item, "unit");
        if !unit.is_empty() {
            let asked = words.say("practice.answer-in", &[("unit", unit)]);
            out.push_str(&wrapped(&asked, "   "));
        }
    }
    out.push_str(&format!(
        "\n{}\n",
        terminal.strong(&words.get("cli.work.code-answers"))
    ));
    for (number, question) in (1..).zip(questions) {
        let key = question.get("key").unwrap_or(&Value::Null);
        let letter = text(key, "letter");
        let answer = format!("{number}. {letter} {}", text(key, "answer"));
        out.push_str(&wrapped(&answer.replace("  ", " "), ""));
        let lines = key.get("worked").map_or(&[][..], |worked| items(worked, "lines"));
        for line in lines {
            let names = ["label", "numbers", "relation", "result"];
            let [label, numbers, relation, result] = names.map(|name| text(line, name));
            let line = format!("{label} = {numbers} {relation} {result}");
            out.push_str(&wrapped(&line, "   "));
        }
        let because = text(key, "because");
        if !because.is_empty() {
            out.push_str(&wrapped(because, "   "));
        }
    }
    out
}
