//! What nobody calls goes: names of the code, classes of the style, templates of the theme.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use super::{code, of_tests, root, rust_files};

/// Functions that only tests call, and why the program keeps them.
const FOR_TESTS: [(&str, &str); 2] = [
    (
        "board_adds_up",
        "a board is held against its own text by every test that makes one",
    ),
    ("of_rule", "tests look at what one rule said of a run"),
];

/// Functions that are called from outside Rust, or from the build.
const FROM_OUTSIDE: [(&str, &str); 2] =
    [("alloc", "a page asks for room by it"), ("main", "where the program begins")];

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '_').filter(|word| !word.is_empty())
}

/// Names that are given to functions, constants and types, each with its file. A function of
/// a trait's implementation is the trait's, which knows who calls it.
fn given(path: &str, code: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut of_trait = None;
    for line in code.lines() {
        let indent = line.len() - line.trim_start().len();
        let head = line.trim();
        if (head.starts_with("impl") || head.starts_with("unsafe impl"))
            && head.contains(" for ")
        {
            of_trait = Some(indent);
        } else if of_trait.is_some_and(|at| indent <= at) && head.starts_with('}') {
            of_trait = None;
        }
        if !head.starts_with(|c: char| c.is_ascii_alphabetic()) {
            continue;
        }
        let mut words = words(head).peekable();
        while let Some(word) = words.next() {
            match word {
                "pub" | "crate" | "super" | "in" | "unsafe" | "extern" | "C" => {}
                "const" if words.peek() == Some(&"fn") => {}
                "fn" | "const" | "static" | "struct" | "enum" | "trait" | "type" => {
                    if of_trait.is_none()
                        && let Some(name) = words.next()
                    {
                        found.push((name.to_owned(), path.to_owned()));
                    }
                    break;
                }
                _ => break,
            }
        }
    }
    found
}

/// Names that stand once in all of the code: where they are given.
fn alone(files: &[(String, String)]) -> Vec<(String, String)> {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for (_, code) in files {
        for word in words(code) {
            *seen.entry(word).or_default() += 1;
        }
    }
    let all = files.iter().flat_map(|(path, code)| given(path, code));
    all.filter(|(name, _)| name != "_" && seen.get(name.as_str()) == Some(&1)).collect()
}

#[test]
fn what_nobody_calls_goes() {
    let all = rust_files("src");
    let tests: BTreeSet<String> =
        all.iter().flat_map(|(_, text)| of_tests(text)).collect();
    let files: Vec<(String, String)> = all
        .into_iter()
        .filter(|(path, _)| !tests.contains(path.file_stem().unwrap().to_str().unwrap()))
        .map(|(path, text)| (path.display().to_string(), code(&text)))
        .collect();
    let excused: BTreeSet<&str> =
        FOR_TESTS.iter().chain(&FROM_OUTSIDE).map(|(name, _)| *name).collect();
    let found = alone(&files);
    let left: Vec<_> =
        found.iter().filter(|(name, _)| !excused.contains(name.as_str())).collect();
    assert!(left.is_empty(), "nobody calls {left:#?}");
    // An excuse that nobody needs any more goes too.
    for (name, why) in FOR_TESTS {
        assert!(found.iter().any(|(alone, _)| alone == name), "{name}: {why}");
    }
}

#[test]
fn names_that_stand_alone_are_seen() {
    let file = |text: &str| ("a.rs".to_owned(), text.to_owned());
    let told = |text: &str| -> Vec<String> {
        alone(&[file(text)]).into_iter().map(|(name, _)| name).collect()
    };
    assert_eq!(told("pub(super) const fn a() {}\nfn b() { a() }"), ["b"]);
    assert_eq!(told("pub struct Kept;\nconst MOST: u8 = 1;"), ["Kept", "MOST"]);
    assert_eq!(told("impl Show for X {\n    fn show() {}\n}\nfn x() {}"), ["x"]);
    assert!(
        told("fn a() {\n    let told = format!(\"{MOST}\");\n}\nconst MOST: u8 = 1; a")
            .is_empty()
    );
}

fn theme(ending: &str) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = fs::read_dir(root().join("themes/plain"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|own| own == ending))
        // A compiled engine is made of the code, which is looked at itself.
        .filter(|path| {
            let name = path.file_name().and_then(|name| name.to_str());
            !name.is_some_and(|name| name.starts_with("engine"))
        })
        .map(|path| {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            (name, fs::read_to_string(path).unwrap())
        })
        .collect();
    found.sort();
    found
}

/// The classes that a style sheet names, comments and what stands in braces left out.
fn classes(style: &str) -> BTreeSet<String> {
    let mut rest = style;
    let mut plain = String::new();
    while let Some((before, after)) = rest.split_once("/*") {
        plain.push_str(before);
        rest = after.split_once("*/").map_or("", |(_, behind)| behind);
    }
    plain.push_str(rest);
    let mut found = BTreeSet::new();
    // What stands before a brace is a selector, or the head of a group of them.
    for part in plain.split('{') {
        let selector = part.rsplit(['}', ';']).next().unwrap_or_default();
        for name in selector.split('.').skip(1) {
            let end = |c: char| !c.is_ascii_alphanumeric() && c != '-' && c != '_';
            let name = name.split(end).next().unwrap_or_default();
            if name.starts_with(|c: char| c.is_ascii_alphabetic()) {
                found.insert(name.to_owned());
            }
        }
    }
    found
}

#[test]
fn every_class_of_the_style_is_given_to_something() {
    let mut said = String::new();
    for (_, text) in rust_files("src") {
        said.push_str(&code(&text));
    }
    for (_, text) in theme("html").into_iter().chain(theme("js")) {
        said.push_str(&text);
    }
    let whole = |c: char| !c.is_ascii_alphanumeric() && c != '-' && c != '_';
    let said: BTreeSet<&str> = said.split(whole).collect();
    let mut looked_at = 0;
    for (file, style) in theme("css") {
        for class in classes(&style) {
            looked_at += 1;
            assert!(
                said.contains(class.as_str()),
                "{file}: nothing has the class {class}"
            );
        }
    }
    assert!(looked_at > 200, "{looked_at} classes");
    let style =
        "/* .no */ .a, p.b:not(.c) { x: url(d.e) } @media (w > 1.5em) { .f { y: .5 } }";
    assert_eq!(classes(style), ["a", "b", "c", "f"].map(str::to_owned).into());
}

#[test]
fn every_template_is_asked_for() {
    let mut said = String::new();
    for (_, text) in rust_files("src/compiler") {
        said.push_str(&code(&text));
    }
    let templates = theme("html");
    for (_, text) in &templates {
        said.push_str(text);
    }
    for (file, _) in &templates {
        let name = file.trim_end_matches(".html");
        let asked = said.contains(&format!("\"{name}\""))
            || said.contains(&format!("\"{file}\""));
        assert!(asked, "nothing asks for the template {file}");
    }
}
