use std::collections::BTreeMap;

use super::super::read::read;
use super::super::template::unnamed;
use super::sheet::blanks;
use super::*;

/// What is wrong with a words file by itself.
fn wrong(text: &str) -> String {
    read(text).err().unwrap_or_default().join("\n")
}

/// What is wrong between one words file and one source.
fn between(words: &str, source: &str) -> String {
    let sheet = read(words).unwrap();
    let sources =
        BTreeMap::from([("src/engine/scoring/say.rs".to_owned(), source.to_owned())]);
    faults(&sheet, &sources, &[]).join("\n")
}

#[test]
fn a_key_stands_once_and_says_something() {
    assert!(wrong("page:\n  a: one\n  a: two\n").contains("duplicate"));
    assert!(wrong("page:\n  a: one\npage:\n  b: two\n").contains("duplicate"));
    assert!(wrong("page:\n  \"a \": one\n").contains("no key"));
    assert!(wrong("page:\n  a.b: one\n").contains("holds a point"));
    assert!(wrong("page:\n  a: \"\"\n").contains("page.a says nothing"));
    assert!(wrong("page:\n  a-b: one\n  a:\n    b: two\n").contains("one name"));
    assert!(wrong("page: [a, b]\n").len() > 1);
    assert_eq!(wrong("finding:\n  x:\n    write: \"\"\n"), "");
}

#[test]
fn a_blank_is_closed_and_named() {
    for broken in ["{x", "x}", "{}", "{two words}", "{{x}", "{x} and {y"] {
        assert!(
            wrong(&format!("page:\n  a: \"{broken}\"\n")).contains("page.a"),
            "{broken}"
        );
    }
    assert_eq!(wrong("page:\n  a: \"{x} and {{y-z}}\"\n"), "");
    assert_eq!(blanks("{x} and {{y-z}}"), Ok(vec!["x".to_owned(), "y-z".to_owned()]));
}

#[test]
fn a_key_that_is_asked_for_is_there() {
    let words = "page:\n  a: one\n  b-c: two\n";
    assert_eq!(between(words, "words.get(\"page.a\")"), "");
    let said = between(words, "let key = if x {\n\"page.b\"\n} else { \"page.a\" };");
    assert_eq!(said, "src/engine/scoring/say.rs:2 asks for page.b, which is not there");
    let put = "words.get(&format!(\"page.{}\", mode.key()))";
    assert!(between(words, put).contains("no line says from what"));
    let told = |from: &str| between(words, &format!("// words: page.{{{from}}}\n{put}"));
    assert_eq!(told("a|b-c"), "");
    assert!(told("a|c").contains("asks for page.c"));
    assert!(told("Mode").contains("nothing is found"));
    assert_eq!(told("*"), "");
}

#[test]
fn told_words_are_found_where_they_stand() {
    let words = "page:\n  a: one\n  b-c: two\n  d: three\n";
    let put = "words.get(&format!(\"page.{key}\"))";
    for (from, beside, missing) in [
        ("Mode", "written!(Mode: \"a\" A, \"b c\" B);", ""),
        ("Mode", "words! { Mode { \"a\" A, \"e\" E } }", "page.e"),
        ("Mode", "impl Mode { fn key(self) { match self { X => \"f\" } } }", "page.f"),
        ("how()", "fn how() { match x { X => \"a\", Y => \"g\" } }", "page.g"),
        ("LIST", "const LIST: [&str; 2] = [\"a\", \"h\"];", "page.h"),
        ("codes!", "codes! { A \"a\" \"A sentence.\"; B \"i\" \"Another.\"; }", "page.i"),
        ("say(..)", "fn f() { say(\"a\"); say(\"j\"); desk.say(\"k\") }", "page.j"),
        ("say(_, ..)", "fn f() { say(\"x\", if y { \"a\" } else { \"l\" }) }", "page.l"),
    ] {
        let said =
            between(words, &format!("// words: page.{{{from}}}\n{put};\n{beside}"));
        let expected = missing.is_empty();
        assert_eq!(said.is_empty(), expected, "{from}: {said}");
        assert!(said.contains(missing), "{from}: {said}");
        assert!(!said.contains("page.k"), "{from}: {said}");
    }
    let unknown = format!("// words: page.{{say(..)}}\n{put};\nfn f(x) {{ say(x); }}");
    assert!(between(words, &unknown).contains("no line says which"));
}

#[test]
fn every_blank_is_filled() {
    let words = "page:\n  a: \"{x} of {y}\"\n";
    let ask = |blanks: &str| between(words, &format!("words.say(\"page.a\", {blanks})"));
    assert_eq!(ask("&[(\"x\", one), (\"y\", two)]"), "");
    assert!(ask("&[(\"x\", one)]").contains("does not fill {y} of page.a"));
    assert!(between(words, "words.get(\"page.a\")").contains("does not fill {x}"));
    assert_eq!(ask("&blanks);\nlet blanks = [(\"x\", one), (\"y\", two)]"), "");
    assert!(ask("&blanks);\nlet blanks = [(\"x\", one), (\"z\", two)]").contains("{y}"));
}

#[test]
fn unit_tests_and_comments_ask_for_nothing() {
    let words = "page:\n  a: one\n";
    let source = "// \"page.b\"\n/* \"page.c\" */ let c = '\"'; \"page.a\";\n\
                  #[cfg(test)]\nmod tests { \"page.d\" }";
    assert_eq!(between(words, source), "");
}

#[test]
fn a_template_names_words_that_are_there() {
    let sheet = read("page:\n  a-b: one\nsheet:\n  label:\n    c: two\n").unwrap();
    let template = |text: &str| {
        unnamed(&sheet, &BTreeMap::from([("x.html".to_owned(), text.to_owned())])).len()
    };
    assert_eq!(template("{{ w.a_b }} {{ s.label.c }} {{ row.d }}"), 0);
    assert_eq!(template("{{ w.c }} {{ s.label.a_b }}"), 2);
}

#[test]
fn faults_of_rooms_below_are_told_where_those_are_built() {
    let sheet = read("page:\n  a: one\n").unwrap();
    let asks = |path: &str| (path.to_owned(), "words.get(\"page.b\")".to_owned());
    let sources = BTreeMap::from([asks("src/engine/x/y.rs"), asks("src/program/x/y.rs")]);
    assert_eq!(faults(&sheet, &sources, &["src/engine"]).len(), 1);
}
