//! Every sentence of the program in other letters: whatever then still stands in plain ones on a
//! page, a sheet, a board or in a finding was written by an author, or stands where no department
//! could say it in its own words.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::findings::Sources;
use drillwright::stock;
use regex_lite::Regex;

use super::{course, pages};
use crate::metric::visible;

/// A sentence in wide letters, its blanks as they are.
pub(super) fn marked(sentence: &str) -> String {
    let mut blank = false;
    let wide = |letter: char| match letter {
        '{' => {
            blank = true;
            letter
        }
        '}' => {
            blank = false;
            letter
        }
        'a'..='z' | 'A'..='Z' if !blank => {
            char::from_u32(u32::from(letter) - 0x21 + 0xff01).unwrap()
        }
        other => other,
    };
    sentence.chars().map(wide).collect()
}

/// All sentences of the program as a department's own.
pub(super) fn words() -> String {
    let plain = stock::words();
    let lines = plain.keys().filter(|key| *key != "page.lang").map(|key| {
        let said = serde_json::to_string(&marked(&plain.get(key))).unwrap();
        format!("{key}: {said}\n")
    });
    "lang: x-wide\n".replace("x-wide", "mul") + &lines.collect::<String>()
}

fn example() -> Sources {
    let mut sources = crate::pages::sources();
    sources.insert("theme/words.yaml".to_owned(), words());
    sources
}

/// Runs of plain letters of a text, each as long as it goes.
fn runs(text: &str) -> Vec<String> {
    let run = Regex::new(r"[A-Za-z][A-Za-z' ’-]*[A-Za-z]").unwrap();
    run.find_iter(text).map(|found| found.as_str().to_owned()).collect()
}

/// All that an author wrote, in one line each, for looking up what stands on a page.
fn written(sources: &Sources) -> String {
    let trade = stock::trade();
    let all = sources.iter().chain(&trade).filter(|(file, _)| *file != "theme/words.yaml");
    let mut out = String::new();
    for (_, text) in all {
        out.push_str(&text.split_whitespace().collect::<Vec<_>>().join(" "));
        out.push('\n');
    }
    out
}

#[test]
fn nothing_on_a_page_is_said_in_other_words_than_the_departments() {
    let sources = example();
    let course = course(&sources);
    let written = written(&sources);
    let mut leaks: BTreeMap<String, (usize, BTreeSet<String>)> = BTreeMap::new();
    for (path, text) in pages(&course) {
        for line in visible(&text) {
            for run in runs(&line) {
                if !written.contains(&run) {
                    let leak = leaks.entry(run).or_default();
                    leak.0 += 1;
                    leak.1.insert(path.clone());
                }
            }
        }
    }
    let mut all: Vec<_> = leaks.iter().collect();
    all.sort_by_key(|(_, (count, _))| std::cmp::Reverse(*count));
    let told: Vec<String> = all
        .iter()
        .map(|(run, (count, paths))| {
            format!("{count} {run:?} {}", paths.iter().next().unwrap())
        })
        .collect();
    assert!(told.is_empty(), "{} \n{}", told.len(), told.join("\n"));
}
