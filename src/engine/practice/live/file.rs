//! The file of a run: JSON that `drillwright score` reads, with the kit it was scored by and
//! the log of every tap.

use serde::Serialize;
use serde_json::Value;

use super::event::Event;
use super::kit::Live;
use super::log::Log;
use super::sheet::{Part, sheets};
use super::state::State;
use crate::fingerprint::canonical;
use crate::scoring::written;

/// Name and text of the file.
pub fn file(live: &Live, log: &Log, state: &State) -> (String, String) {
    let told = told(live, log);
    let one = |part: &Part<'_>| {
        written(&part.sheet, Some(part.kit.data()), &told).unwrap_or_default()
    };
    let mut runs: Vec<Value> = sheets(live, state).iter().map(one).collect();
    let whole = match runs.as_slice() {
        [_] => runs.pop().unwrap_or_default(),
        _ => Value::Array(runs),
    };
    let run = Some(state.text("run")).filter(|run| !run.is_empty()).unwrap_or("run");
    // Sheets of one run that are handed over side by side have different names.
    let role = Some(state.text("role")).filter(|_| live.scored().len() > 1);
    let drill = live.data().id.as_str();
    let of = [Some(run), Some(drill), role, Some(state.text("evaluator"))];
    let of: Vec<&str> = of.into_iter().flatten().collect();
    let name = format!("{}.json", of.join("-"));
    (name, canonical(&whole).unwrap_or_default())
}

fn value(thing: &impl Serialize) -> Value {
    serde_json::to_value(thing).unwrap_or_default()
}

/// The log in words: when, what, and what was taken back. A tap is no time of the candidate.
pub(super) fn told(live: &Live, log: &Log) -> Vec<String> {
    let words = live.words();
    let mut lines = Vec::new();
    for (entry, holds) in log.entries.iter().zip(log.holds()) {
        let key = if holds || entry.event == Event::Undo { "line" } else { "taken-back" };
        let what = what(live, &entry.event);
        let blanks = [("at", entry.at.second()), ("what", what)];
        let blanks: Vec<(&str, &str)> =
            blanks.iter().map(|(k, v)| (*k, v.as_str())).collect();
        // words: live.log.{line|taken-back|clock-set|loaded-again}
        lines.push(words.say(&format!("live.log.{key}"), &blanks));
    }
    let state = log.replay(live);
    let of_clock =
        [("clock-set", state.span.clock_set), ("loaded-again", state.span.loads > 0)];
    let notes = of_clock.into_iter().filter(|(_, said)| *said);
    lines.extend(notes.map(|(key, _)| words.get(&format!("live.log.{key}"))));
    lines
}

/// An event in the words of its data: its name, and what it is about.
fn what(live: &Live, event: &Event) -> String {
    let words = live.words();
    let Value::Object(mut fields) = value(event) else { return String::new() };
    let name = fields.remove("do").unwrap_or_default();
    let name = name.as_str().unwrap_or_default().to_owned();
    let about = ["drill", "field", "step", "critical", "act", "mark", "why", "text"];
    let texts = about.iter().filter_map(|key| fields.get(*key).and_then(Value::as_str));
    let texts: Vec<&str> = texts.filter(|text| !text.is_empty()).collect();
    let texts = texts.join(", ");
    // words: live.log.do.{write|begin|turn|mark|out-of-order|critical|unsafe|order|start|finish|hold|release|stop|no-stop|end|back|rest|rest-criticals|undo|save}
    words.say(&format!("live.log.do.{name}"), &[("what", &texts)])
}
