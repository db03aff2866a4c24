//! What stands in two places: six lines and more of code that are the same.

use std::collections::BTreeMap;
use std::path::PathBuf;

use super::{code, of_tests, rust_files};

/// Lines that make a double. Five can be the shape of the language; six that are equal by
/// accident were not found in this house.
const LINES: usize = 6;

/// Longest double that may stand: the arguments of two commands with the head of what runs them.
const LONGEST: usize = 24;

/// How many may stand, all of them inside one crate: heads of functions with their arguments,
/// which a macro would only hide. Each command has such a head, so that eight of them alone can
/// make 28 pairs; before the house was rebuilt there were 123.
const STANDING: usize = 40;

/// The lines of a file that say something, and how many letters each has.
fn lines(text: &str) -> Vec<(usize, String)> {
    let told = code(text);
    let mut found = Vec::new();
    let mut own = text.lines().map(str::trim).enumerate();
    for line in told.lines().map(str::trim).filter(|line| !line.is_empty()) {
        // Lines of the code stand in the text in the same order.
        let Some((at, _)) = own.find(|(_, text)| *text == line) else { break };
        // What a file brings in says nothing twice: each file must.
        let brought = line.starts_with("use ") || line.starts_with("pub use ");
        if !brought {
            found.push((at + 1, line.to_owned()));
        }
    }
    found
}

/// Ends of blocks and lists of names are no piece of code.
fn speaks(part: &[(usize, String)]) -> bool {
    let says = |line: &String| {
        line.chars().filter(char::is_ascii_alphanumeric).count() > 5
            && !line.ends_with("},")
    };
    let names =
        |line: &String| line.chars().all(|c| c.is_alphanumeric() || " ,_:".contains(c));
    let lines = || part.iter().map(|(_, line)| line);
    lines().filter(|line| says(line)).count() >= 4 && !lines().all(names)
}

/// Where the same lines stand, each pair of places once and as long as it goes.
fn doubles(files: &[(PathBuf, String)]) -> Vec<(usize, String, String)> {
    let files: Vec<(String, Vec<(usize, String)>)> = files
        .iter()
        .map(|(path, text)| (path.display().to_string(), lines(text)))
        .collect();
    let mut places: BTreeMap<Vec<&str>, Vec<(usize, usize)>> = BTreeMap::new();
    for (file, (_, lines)) in files.iter().enumerate() {
        for (at, part) in lines.windows(LINES).enumerate() {
            if speaks(part) {
                let key = part.iter().map(|(_, line)| line.as_str()).collect();
                places.entry(key).or_default().push((file, at));
            }
        }
    }
    let mut pairs = std::collections::BTreeSet::new();
    for same in places.values() {
        for (n, one) in same.iter().enumerate() {
            pairs.extend(same[n + 1..].iter().map(|other| (*one, *other)));
        }
    }
    let begins = pairs.iter().filter(|((a, at), (b, other))| {
        let before = at.checked_sub(1).zip(other.checked_sub(1));
        !before.is_some_and(|(at, other)| pairs.contains(&((*a, at), (*b, other))))
    });
    let told = |((a, at), (b, other)): &((usize, usize), (usize, usize))| {
        let lines_of = files[*a].1.len();
        let goes = |n: &usize| pairs.contains(&((*a, at + n), (*b, other + n)));
        let length = (0..lines_of).take_while(goes).count() + LINES - 1;
        let place = |file: usize, at: usize| {
            let (path, lines) = &files[file];
            format!("{path}:{}", lines[at].0)
        };
        (length, place(*a, *at), place(*b, *other))
    };
    begins.map(told).collect()
}

#[test]
fn nothing_stands_in_two_places() {
    let all = rust_files("src");
    let tests: Vec<String> = all.iter().flat_map(|(_, text)| of_tests(text)).collect();
    let own = |path: &PathBuf| path.file_stem().unwrap().to_str().unwrap().to_owned();
    let files: Vec<_> =
        all.into_iter().filter(|(path, _)| !tests.contains(&own(path))).collect();
    let found = doubles(&files);
    let of_crate = |place: &str| place.split('/').nth(1).unwrap().to_owned();
    for (lines, a, b) in &found {
        println!("{lines} lines: {a} {b}");
        assert_eq!(
            of_crate(a),
            of_crate(b),
            "{lines} lines stand in two crates: {a} {b}"
        );
    }
    assert!(found.len() <= STANDING, "{} doubles: {found:#?}", found.len());
    let longest = found.iter().max().map_or(0, |(lines, ..)| *lines);
    assert!(longest <= LONGEST, "{longest} lines stand in two places: {found:#?}");
}

#[test]
fn doubles_are_seen() {
    let part = "let first = one(a);\nlet second = two(first);\nif second > first {\n\
                third(second, first);\n}\nlet fourth = done(a, b);\n";
    let file = |name: &str, text: String| (PathBuf::from(name), text);
    let once = file("a.rs", format!("fn a() {{\n{part}}}\n"));
    let twice = file("b.rs", format!("fn b() {{\nfirst();\n// why\n{part}}}\n"));
    let found = doubles(&[once.clone(), twice]);
    assert_eq!(found, [(7, "a.rs:2".to_owned(), "b.rs:4".to_owned())]);
    let apart =
        file("b.rs", format!("fn b() {{\n{}}}\n", part.replace("third", "fifth")));
    assert!(doubles(&[once, apart]).is_empty());
}
