//! The log of a run in words.

use serde_json::Value;

use super::kit::Live;
use super::log::{Event, Log};
use super::state::State;

/// The log in words: when, what, and what was taken back. A tap is no time of the candidate.
pub(super) fn told(live: &Live, log: &Log, state: &State) -> Vec<String> {
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
    let of_clock =
        [("clock-set", state.span.clock_set), ("loaded-again", state.span.loads > 0)];
    let notes = of_clock.into_iter().filter(|(_, said)| *said);
    lines.extend(notes.map(|(key, _)| words.get(&format!("live.log.{key}"))));
    lines
}

/// An event in the words of its data: its name, and what it is about.
pub(super) fn what(live: &Live, event: &Event) -> String {
    let words = live.words();
    let Ok(Value::Object(mut fields)) = serde_json::to_value(event) else {
        return String::new();
    };
    let name = fields.remove("do").unwrap_or_default();
    let name = name.as_str().unwrap_or_default().to_owned();
    let about = [
        "drill", "field", "step", "pair", "cue", "measure", "critical", "act", "mark",
        "seen", "begun", "late", "yes", "why", "text",
    ];
    let text = |value: &Value| match value {
        // As a run's file has it.
        Value::Bool(yes) => Some(if *yes { "yes" } else { "no" }.to_owned()),
        other => other.as_str().map(str::to_owned),
    };
    let texts = about.iter().filter_map(|key| fields.get(*key).and_then(text));
    let texts: Vec<String> = texts.filter(|text| !text.is_empty()).collect();
    let texts = texts.join(", ");
    // words: live.log.do.{write|begin|turn|mark|as-printed|as-recorded|not-watched|first|placed|pair|begun|undone|cue|reported|critical|unsafe|order|start|finish|hold|release|stop|no-stop|end|back|rest|rest-criticals|undo|save}
    words.say(&format!("live.log.do.{name}"), &[("what", &texts)])
}
