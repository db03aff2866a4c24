//! What travels inside the program: the trade library, the theme and its words.
//!
//! With these embedded a module compiles on any machine. This room never reads a file at
//! run time and never looks into a formula or a template; it only hands the texts out.

mod library;
mod read_before;

use std::borrow::Cow::Borrowed as B;
use std::collections::BTreeMap;

use crate::findings::Sources;
use crate::fingerprint::hex_hash;
use crate::words::{Entry, Words};
use include_dir::{Dir, include_dir};

pub use library::library;
pub(crate) use read_before::tree;

static TRADE: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../content/trade");
static THEME: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../themes/plain");

/// Keys and sentences of the theme in the order of the keys, listed by the build.
static WORDS: &[Entry] = include!(concat!(env!("OUT_DIR"), "/words.rs"));

/// All words of the theme, keys joined by dots.
///
/// The build read the words file and held it against the code that asks, so nothing is read
/// and nothing can be missing at a start.
pub const fn words() -> Words {
    Words::listed(WORDS)
}

/// The text of one file of the theme, by its name inside the theme's folder.
pub fn theme(name: &str) -> Option<&'static str> {
    THEME.get_file(name)?.contents_utf8()
}

/// One file of the theme as it is, text or not.
pub fn theme_bytes(name: &str) -> Option<&'static [u8]> {
    Some(THEME.get_file(name)?.contents())
}

/// Every text of the theme whose name ends in `ending`, by name in order.
pub fn theme_texts(ending: &str) -> BTreeMap<String, &'static str> {
    texts(&THEME, ending)
}

/// The sheets of the trade library under the names that findings show: `trade/….yaml`.
pub fn trade() -> Sources {
    texts(&TRADE, ".yaml")
        .into_iter()
        .map(|(name, text)| (format!("trade/{name}"), text.to_owned()))
        .collect()
}

/// One hash over all that is embedded: a new theme or trade library makes new pages of the
/// same module. 64 hexadecimal digits.
pub fn fingerprint() -> String {
    let mut all = String::new();
    for (room, dir) in [("trade", &TRADE), ("theme", &THEME)] {
        for (name, bytes) in everything(dir) {
            // Its name beside its bytes: two files that change places are another theme.
            all.push_str(&format!("{}  {room}/{name}\n", hex_hash(bytes)));
        }
    }
    hex_hash(all.as_bytes())
}

fn texts(dir: &'static Dir<'static>, ending: &str) -> BTreeMap<String, &'static str> {
    everything(dir)
        .into_iter()
        .filter(|(name, _)| name.ends_with(ending))
        .filter_map(|(name, bytes)| Some((name, str::from_utf8(bytes).ok()?)))
        .collect()
}

fn everything(dir: &'static Dir<'static>) -> BTreeMap<String, &'static [u8]> {
    let mut found = BTreeMap::new();
    for file in dir.files() {
        // One name on every system, because findings and hashes show it.
        found.insert(file.path().to_string_lossy().replace('\\', "/"), file.contents());
    }
    for inner in dir.dirs() {
        found.extend(everything(inner));
    }
    found
}

#[cfg(test)]
pub(crate) mod check;
#[cfg(test)]
#[path = "check/read.rs"]
mod read;
#[cfg(test)]
#[path = "check/template.rs"]
mod template;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::ALL;

    #[test]
    fn the_list_is_the_words_file() {
        assert_eq!(words().get("findings.must-fix"), "MUST FIX");
        let read = read::read(theme("words.yaml").unwrap()).unwrap();
        let listed = words();
        let listed = listed.keys().map(|key| (key.to_owned(), listed.get(key)));
        assert_eq!(read, listed.collect());
    }

    #[test]
    fn every_code_has_its_sentences_and_no_sentence_lacks_its_code() {
        let words = words();
        for code in ALL {
            let name = code.name();
            for part in ["says", "write", "why"] {
                let key = format!("finding.{name}.{part}");
                assert!(words.find(&key).is_some(), "words.yaml has no {key}");
            }
            let said = words.find(&format!("finding.{name}.says")).unwrap();
            // What is told of a file that is no YAML has sentences of its own.
            let said = match said {
                "{says}" => words.find("yaml-fault.no-colon.says").unwrap(),
                said => said,
            };
            assert!(said.len() > 10, "finding.{name}.says says nothing");
            let why = words.find(&format!("finding.{name}.why")).unwrap();
            assert!(why.len() > 40, "finding.{name}.why explains nothing");
        }
        for key in words.keys().filter_map(|key| key.strip_prefix("finding.")) {
            let name = key.split('.').next().unwrap();
            assert!(
                ALL.iter().any(|code| code.name() == name),
                "no code is called {name}"
            );
        }
    }
}
