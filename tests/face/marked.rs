//! Every sentence of the program in other letters: whatever then still stands in plain ones on a
//! page, a sheet, a board or in a finding was written by an author, or stands where no department
//! could say it in its own words.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::course::{BOOKS, THINGS};
use drillwright::findings::{self, Sources};
use drillwright::quantity::find;
use drillwright::stock;
use drillwright::theme::WORDS;
use drillwright::wire::{field_key, sentence, thing_key};
use drillwright::workshop::read_folder;
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

/// All sentences of the program as a department's own, those that tell a field among them.
pub(super) fn words() -> String {
    let plain = stock::words();
    let fields = BOOKS.all().flat_map(|book| {
        let entries = book.entries.iter().filter(|entry| !entry.key.is_empty());
        let entries =
            entries.map(|entry| (field_key(book.name, entry.key), sentence(entry.help)));
        std::iter::once((thing_key(book.name), sentence(book.about))).chain(entries)
    });
    // Two tables of one name say the same.
    let fields: BTreeMap<String, String> = fields.collect();
    let fields =
        fields.into_iter().filter(|(_, said)| !said.is_empty()).map(|(key, said)| {
            format!("{key}: {}\n", serde_json::to_string(&marked(&said)).unwrap())
        });
    let fields: String = fields.collect();
    let lines = plain.keys().filter(|key| *key != "page.lang").map(|key| {
        let said = serde_json::to_string(&marked(&plain.get(key))).unwrap();
        format!("{key}: {said}\n")
    });
    "lang: x-wide\n".replace("x-wide", "mul") + &lines.collect::<String>() + &fields
}

pub(super) fn example() -> Sources {
    let mut sources = crate::pages::sources();
    sources.insert(WORDS.to_owned(), words());
    sources
}

/// Whether a text has a word in wide letters.
pub(super) fn wide(text: &str) -> bool {
    text.chars().any(|letter| ('\u{ff21}'..='\u{ff5a}').contains(&letter))
}

/// Runs of plain letters of a text, each as long as it goes.
fn runs(text: &str) -> Vec<String> {
    let run = Regex::new(r"[A-Za-z][A-Za-z' ’-]*[A-Za-z]").unwrap();
    // A sketch for a board is set with as many blanks as it takes.
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    run.find_iter(text).map(|found| plain(found.as_str())).collect()
}

/// What authors wrote: this module's, and those of the trade library.
struct Written {
    /// Every text in one line each.
    whole: String,
    /// Beginnings and ends of the pieces between blanks, figures and signs.
    edges: BTreeSet<String>,
}

impl Written {
    fn of(sources: &Sources) -> Self {
        // What says one thing in one system of units and another in the other.
        let either = Regex::new(r"\{([^{}|]*)\|[^{}|]*\}").unwrap();
        let trade = stock::trade();
        let mut out = Self { whole: String::new(), edges: BTreeSet::new() };
        for (file, text) in
            sources.iter().chain(&trade).filter(|(file, _)| *file != WORDS)
        {
            let text = either.replace_all(text, "$1").replace("''", "'");
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            // The keys of a table are printed without their hyphens.
            let spaced = if trade.contains_key(file) {
                text.replace('-', " ")
            } else {
                String::new()
            };
            for run in runs(&text).into_iter().chain(runs(&spaced)) {
                let words: Vec<&str> = run.split(' ').collect();
                for at in 0..=words.len() {
                    out.edges.insert(words[..at].join(" "));
                    out.edges.insert(words[at..].join(" "));
                }
            }
            out.whole.push_str(&text);
            out.whole.push('\n');
        }
        // Keys, words of lists and examples are typed as they stand, in whatever language a
        // department speaks.
        for typed in keys() {
            out.whole.push_str(&typed);
            out.whole.push('\n');
            out.edges.insert(typed);
        }
        out
    }

    /// Whether a run is an author's: as it stands, or put together of few pieces that authors wrote,
    /// as a rank and a name are.
    fn has(&self, run: &str) -> bool {
        let words: Vec<&str> = run.split(' ').collect();
        self.whole.contains(run) || self.pieces(&words, 3)
    }

    fn pieces(&self, words: &[&str], most: usize) -> bool {
        let own = |piece: &[&str]| {
            let text = piece.join(" ");
            let unit = piece.len() == 1 && (find(&text).is_some() || text.len() == 1);
            let inside = piece.len() > 3 && self.whole.contains(&text);
            unit || inside || self.edges.contains(&text)
        };
        words.is_empty()
            || most > 0
                && (1..=words.len())
                    .any(|at| own(&words[..at]) && self.pieces(&words[at..], most - 1))
    }
}

/// What stands for no word: codes of forms, letters of revisions and of choices.
fn is_code(run: &str) -> bool {
    let code = r"^([A-Z]{1,4}(-[A-Z]{1,4})+|[A-Z]{2}|[a-f]{2,6}|[A-Z]( [A-Z])+)$";
    let code = Regex::new(code).unwrap();
    code.is_match(run)
}

fn is_for_browsers(line: &str) -> bool {
    ["default-src", "width=device", "light dark"]
        .iter()
        .any(|begin| line.starts_with(begin))
}

/// Texts by where they stand, held against what authors wrote.
pub(super) fn leaks(
    sources: &Sources,
    texts: impl Iterator<Item = (String, Vec<String>)>,
) -> Vec<String> {
    let written = Written::of(sources);
    let mut found: BTreeMap<String, (usize, String)> = BTreeMap::new();
    for (place, lines) in texts {
        for line in lines.iter().filter(|line| !is_for_browsers(line)) {
            for run in runs(line).into_iter().filter(|run| !is_code(run)) {
                if !written.has(&run) {
                    let first = || (0, format!("{place}: {line:.80}"));
                    let leak = found.entry(run).or_insert_with(first);
                    leak.0 += 1;
                }
            }
        }
    }
    let told = found.into_iter();
    told.map(|(run, (count, place))| format!("{run:?}: {count} times, first in {place}"))
        .collect()
}

#[test]
fn nothing_on_a_page_is_said_in_other_words_than_the_departments() {
    let sources = example();
    let course = course(&sources);
    let pages = pages(&course).into_iter().map(|(path, text)| (path, visible(&text)));
    let leaks = leaks(&sources, pages);
    assert!(leaks.is_empty(), "{}\n{}", leaks.len(), leaks.join("\n"));
}

/// Files with one fault each, of every kind that the tests know, told in the department's words: what
/// is said of a fault is theirs too, with the fields and the kinds of things that it names.
#[test]
fn nothing_in_a_finding_is_said_in_other_words() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/wrong");
    let read = |folder: &Path| -> Sources {
        let (folder, _) = read_folder(folder).unwrap();
        folder.texts
    };
    let (base, said) = (read(&folder.join("base")), words());
    let mut told = Vec::new();
    let mut all = Sources::new();
    for entry in fs::read_dir(&folder).unwrap() {
        let at = entry.unwrap().path();
        // A faulty words file is told in the plain words.
        if !at.is_dir() || at.ends_with("base") || at.join("theme/words.yaml").exists() {
            continue;
        }
        let own = read(&at);
        let mut sources = base.clone();
        sources.extend(own.clone());
        sources.insert(WORDS.to_owned(), said.clone());
        let (course, found) = super::read(&sources);
        let own_words = course.map_or_else(
            || drillwright::authoring::words(&sources),
            |course| course.face.words,
        );
        let name = at.file_name().unwrap().to_string_lossy().into_owned();
        for finding in &found {
            let printed = findings::printed(finding, &sources, &own_words);
            // What must be written as the file has it stands in plain letters: `usable: 720 gal`.
            told.push((name.clone(), vec![printed.says.clone()]));
        }
        for (file, text) in own {
            all.insert(format!("{name}/{file}"), text);
        }
    }
    all.extend(base);
    assert!(told.len() > 200, "{}", told.len());
    let leaks = leaks(&all, told.into_iter());
    // Keys of files and words of their lists are no words of a language.
    let known = keys();
    let leaks: Vec<&String> =
        leaks.iter().filter(|leak| !is_known(leak, &known)).collect();
    assert!(leaks.is_empty(), "{}\n{leaks:#?}", leaks.len());
}

/// Keys, and words of lists, as files have them.
pub(super) fn keys() -> BTreeSet<String> {
    let books = BOOKS.all().flat_map(|book| book.entries.iter().map(|entry| entry.key));
    let mut keys: BTreeSet<String> = books.map(str::to_owned).collect();
    for book in BOOKS.all() {
        keys.extend(book.entries.iter().filter_map(|entry| entry.eg).flat_map(runs));
    }
    // So are the names of files.
    keys.extend(THINGS.iter().flat_map(|thing| runs(thing.file)));
    keys
}

pub(super) fn is_known(leak: &str, known: &BTreeSet<String>) -> bool {
    let run = leak.split('"').nth(1).unwrap_or_default();
    run.split(' ')
        .all(|word| known.contains(word) || known.contains(&word.replace(' ', "-")))
}
