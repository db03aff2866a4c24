//! The rules of the house, held against the code itself.

mod bounds;
mod circles;
mod crates;
mod doubles;
mod licenses;
mod rules;
mod unused;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

const MOST_LINES: usize = 400;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every Rust file below a folder of the project, with its text.
fn rust_files(folder: &str) -> Vec<(PathBuf, String)> {
    let walk = walkdir::WalkDir::new(root().join(folder)).sort_by_file_name();
    walk.into_iter()
        .map(|entry| entry.unwrap().into_path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "rs"))
        .map(|path| {
            let text = fs::read_to_string(&path).unwrap();
            (path.strip_prefix(root()).unwrap().to_owned(), text)
        })
        .collect()
}

/// The crates in reading order: a folder of `src`, whose `lib.rs` lists its rooms.
const CRATES: [&str; 3] = ["engine", "compiler", "program"];

/// Each room with its crate, in reading order through the crates.
fn rooms() -> Vec<(&'static str, String)> {
    let name =
        |line: &str| Some(line.strip_prefix("pub mod ")?.strip_suffix(';')?.to_owned());
    CRATES
        .into_iter()
        .flat_map(|of| {
            let lib = fs::read_to_string(root().join("src").join(of).join("lib.rs"));
            let rooms: Vec<String> = lib.unwrap().lines().filter_map(name).collect();
            rooms.into_iter().map(move |room| (of, room))
        })
        .collect()
}

/// The code of a file without comments and without what stands in it for tests alone.
fn code(text: &str) -> String {
    let mut found = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let indent = line.len() - line.trim_start().len();
        match line.trim() {
            "#[cfg(test)]" => skip(&mut lines, indent),
            line if line.starts_with("//") => {}
            _ => found.push(line),
        }
    }
    found.join("\n")
}

/// Leaves out the item that follows, with its other attributes.
fn skip(lines: &mut std::str::Lines<'_>, indent: usize) {
    let mut attribute = false;
    for line in lines.by_ref() {
        attribute |= line.trim().starts_with("#[");
        if attribute {
            attribute = !line.ends_with(']');
        } else if line.ends_with([';', ',', '}']) {
            return;
        } else {
            break;
        }
    }
    let closing = format!("{}}}", " ".repeat(indent));
    let closing = |line: &&str| line.starts_with(&closing);
    lines.by_ref().find(closing);
}

/// The rooms a file imports: every name after `crate::`, in groups too.
fn imports(code: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for rest in code.split("crate::").skip(1) {
        let names: Vec<&str> = match rest.strip_prefix('{') {
            Some(group) => {
                group.split_once('}').map_or(group, |g| g.0).split(',').collect()
            }
            None => vec![rest],
        };
        for name in names {
            let end = |c: char| !c.is_alphanumeric() && c != '_';
            found.insert(name.trim().split(end).next().unwrap().to_owned());
        }
    }
    found
}

/// That a crate uses no crate below it, Rust's compiler holds.
#[test]
fn a_room_imports_only_rooms_above_it() {
    let rooms = rooms();
    assert!(rooms.len() > 10, "the crates list too few rooms");
    let mut looked_at = BTreeSet::new();
    for (path, text) in rust_files("src") {
        let folder = |n| path.components().nth(n).unwrap().as_os_str().to_str().unwrap();
        let (of, room) = (folder(1), folder(2));
        // The browser's crate is a door without rooms.
        if of == "browser" || room.contains('.') {
            continue;
        }
        let own = rooms.iter().position(|(_, name)| name == room);
        let own = own.unwrap_or_else(|| panic!("src/{of}/lib.rs does not list {room}"));
        assert_eq!(rooms[own].0, of, "{room} stands in another crate");
        looked_at.insert(room.to_owned());
        for import in imports(&code(&text)) {
            let Some(other) = rooms.iter().position(|(_, name)| *name == import) else {
                continue;
            };
            let path = path.display();
            assert!(other <= own, "{path} imports {import}, which stands below {room}");
        }
    }
    assert_eq!(looked_at.len(), rooms.len(), "a listed room has no folder");
}

#[test]
fn imports_are_seen() {
    let text = "use crate::words::Words;\nuse crate::{quiz, course::Drill};\nlet x = crate::cli::y;";
    let expected = ["cli", "course", "quiz", "words"].map(str::to_owned);
    assert_eq!(imports(text), BTreeSet::from(expected));
    assert_eq!(code("a\n// crate::x\n#[cfg(test)]\nmod tests { crate::y }"), "a");
    let tests = "a\n#[cfg(test)]\nmod b;\nc\n    #[cfg(test)]\n    d: E,\nf\n\
                 #[cfg(test)]\n#[expect(\n    x\n)]\nmod t {\n    fn g() {\n    }\n}\nh";
    assert_eq!(code(tests), "a\nc\nf\nh");
}

#[test]
fn the_developers_page_lists_the_rooms_in_order() {
    let page = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let table = page.split("## Rooms of `src/`").nth(1).unwrap();
    let table = table.split("\n## ").next().unwrap();
    let rows = table.lines().filter_map(|line| line.strip_prefix("| "));
    let names = rows.filter_map(|row| row.split(" |").next());
    let listed: Vec<&str> =
        names.filter(|name| !matches!(*name, "room" | "---")).collect();
    let listed: Vec<&str> =
        listed.into_iter().filter(|name| !name.starts_with('*')).collect();
    let rooms = rooms();
    let rooms: Vec<&str> = rooms.iter().map(|(_, room)| room.as_str()).collect();
    assert_eq!(listed, rooms);
}

#[test]
fn every_room_says_what_it_is() {
    for (of, room) in rooms() {
        let file = root().join("src").join(of).join(&room).join("mod.rs");
        let text = fs::read_to_string(&file).unwrap();
        let docs: Vec<&str> =
            text.lines().take_while(|line| line.starts_with("//!")).collect();
        assert!(
            docs.join(" ").len() > 60,
            "src/{of}/{room}/mod.rs does not say what the room is"
        );
    }
}

#[test]
fn no_file_is_too_long() {
    let files = rust_files("src").into_iter().chain(rust_files("tests"));
    for (path, text) in files {
        let lines = text.lines().count();
        assert!(lines <= MOST_LINES, "{} has {lines} lines", path.display());
    }
}

/// The files that a file takes in for its tests alone.
fn of_tests(text: &str) -> Vec<String> {
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    let pairs = lines.windows(2).filter(|pair| pair[0] == "#[cfg(test)]");
    let named = pairs.filter_map(|pair| pair[1].strip_prefix("mod ")?.strip_suffix(';'));
    named.map(str::to_owned).collect()
}

/// What a step, a critical or a drill needs and where it can be seen is asked of its
/// condition, so that no two places answer differently.
#[test]
fn whether_something_stands_is_decided_in_one_place() {
    let mut asked = 0;
    for (path, text) in rust_files("src") {
        let code = code(&text);
        asked += code.matches(".condition()").count();
        let own = path.ends_with("course/condition.rs");
        for look in [".modes.contains(", ".needs.as_deref()", ".needs.is_none()"] {
            assert!(own || !code.contains(look), "{} asks {look} itself", path.display());
        }
    }
    assert!(asked > 10, "conditions are asked {asked} times");
}

#[test]
fn the_top_level_has_the_agreed_names_only() {
    let agreed = [
        "Cargo.toml",
        "Cargo.lock",
        "LICENSE",
        "README.md",
        "DEVELOPERS.md",
        "src",
        "content",
        "themes",
        "tests",
        "site",
        "benches",
        "fuzz",
    ];
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(
            name.starts_with('.') || agreed.contains(&&*name),
            "{name} at the top level"
        );
    }
}
