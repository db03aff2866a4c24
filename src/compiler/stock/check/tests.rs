use super::super::read::read;

/// What is wrong with a words file by itself.
fn wrong(text: &str) -> String {
    read(text).err().unwrap_or_default().join("\n")
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
}
