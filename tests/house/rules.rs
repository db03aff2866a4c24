//! Each of the rules by which runs are scored has a test that names it by its number, and stands by its
//! number beside the code that does it.

use std::collections::BTreeSet;
use std::fmt::Write;

use super::rust_files;

/// Rules of version 2.
const RULES: std::ops::RangeInclusive<u32> = 1..=41;

/// The numbers at the beginning of a text: `07 a`, `29 and 30`, `37 to 39`, `3, undone`.
fn numbers(words: &str) -> Vec<u32> {
    let mut found: Vec<u32> = Vec::new();
    let mut to = false;
    for word in words.split(|c: char| !c.is_ascii_alphanumeric()) {
        if let Ok(number) = word.parse::<u32>() {
            let first = found.last().filter(|_| to).map_or(number, |last| last + 1);
            found.extend(first..=number);
            to = false;
        } else if word == "to" {
            to = true;
        } else if !(word.is_empty() || word == "and" || word.len() == 1) {
            break;
        }
    }
    found
}

/// Every number that follows one of some words, wherever it stands in a text.
fn named(text: &str, words: &[&str]) -> BTreeSet<u32> {
    let after = words.iter().flat_map(|word| text.split(word).skip(1));
    after.flat_map(numbers).collect()
}

#[test]
fn every_rule_has_a_test_and_stands_beside_its_code() {
    let in_tests: BTreeSet<u32> = rust_files("tests")
        .iter()
        .flat_map(|(_, text)| named(text, &["fn rule_", "fn rules_"]))
        .collect();
    let in_code: BTreeSet<u32> = rust_files("src")
        .iter()
        .flat_map(|(_, text)| named(text, &["ule ", "ules "]))
        .collect();
    let lacks = |known: &BTreeSet<u32>| -> Vec<u32> {
        RULES.filter(|rule| !known.contains(rule)).collect()
    };
    assert_eq!(lacks(&in_tests), [] as [u32; 0], "no test names these rules");
    assert_eq!(lacks(&in_code), [] as [u32; 0], "no code names these rules");
    let beyond = |known: &BTreeSet<u32>| -> Vec<u32> {
        known.iter().copied().filter(|rule| !RULES.contains(rule)).collect()
    };
    assert_eq!(beyond(&in_tests), [] as [u32; 0], "there are no such rules");
}

/// The comments of a file: rules are named beside the code, and not by a sentence of it.
fn comments(text: &str) -> String {
    let lines = text.lines().filter_map(|line| line.split_once("//"));
    lines.map(|(_, comment)| comment.trim_start_matches(['/', '!'])).collect()
}

/// The functions of a file that name rules by their numbers, each with them.
fn named_tests(text: &str) -> Vec<(&str, Vec<u32>)> {
    let begins = ["fn rule_", "fn rules_"];
    let mut found = Vec::new();
    for line in text.lines().map(str::trim_start) {
        let Some(begin) = begins.iter().find(|begin| line.starts_with(**begin)) else {
            continue;
        };
        let name = line.trim_start_matches("fn ").split('(').next().unwrap_or_default();
        found.push((name, numbers(line.strip_prefix(*begin).unwrap_or_default())));
    }
    found
}

/// One table of all rules: the tests that hold each, and the files of the code where its number stands.
/// A rule that loses its last test or its place fails; `cargo house table -- --nocapture` prints it.
#[test]
fn the_table_of_the_rules_is_whole() {
    let (tests, src) = (rust_files("tests"), rust_files("src"));
    let mut table = String::new();
    for rule in RULES {
        let held: Vec<String> = tests
            .iter()
            .flat_map(|(path, text)| {
                let of = named_tests(text).into_iter();
                let of = of.filter(|(_, numbers)| numbers.contains(&rule));
                of.map(|(name, _)| format!("  {}: {name}\n", path.display()))
            })
            .collect();
        let places: Vec<String> = src
            .iter()
            .filter(|(_, text)| {
                named(&comments(text), &["ule ", "ules "]).contains(&rule)
            })
            .map(|(path, _)| format!("  {}\n", path.display()))
            .collect();
        assert!(!held.is_empty(), "rule {rule} has no test");
        assert!(!places.is_empty(), "rule {rule} stands nowhere in the code");
        writeln!(table, "rule {rule}").unwrap();
        table.extend(places.into_iter().chain(held));
    }
    println!("{table}");
}

#[test]
fn numbers_are_read_as_they_are_written() {
    assert_eq!(numbers("07_g_a_sentence"), [7]);
    assert_eq!(numbers("29_and_30_a_retest"), [29, 30]);
    assert_eq!(numbers("37_to_39_what"), [37, 38, 39]);
    assert_eq!(numbers("3, undone, and 4"), [3]);
    assert_eq!(numbers("that decide 4"), [] as [u32; 0]);
}
