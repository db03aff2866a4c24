//! Files of a room that use each other in a circle: neither can be read, tried or moved alone.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use super::{code, rust_files};

/// Circles that stand, by the folder all their files are in, and why.
const STANDING: [(&str, &str); 5] = [
    (
        "src/compiler/authoring/checks",
        "each check asks the one list of names, and the list is walked by the checks",
    ),
    (
        "src/engine/formulas",
        "a call is checked as a formula is, and a formula holds calls",
    ),
    ("src/engine/formulas", "a program calls programs: it is worked by what works it"),
    ("src/engine/formulas", "a worked example is given what a formula is given"),
    (
        "src/engine/scoring",
        "faults, criticals and measures each rest on what the others were seen to be",
    ),
];

type Module = Vec<String>;

/// What one file says of others.
#[derive(Default)]
struct File {
    /// Names brought in: each with its path, and whether it is only passed on.
    uses: BTreeMap<String, (Module, bool)>,
    /// Paths written out in the code.
    paths: Vec<Module>,
    /// Single names in the code.
    names: BTreeSet<String>,
}

/// Names and punctuation, without strings, characters and what follows `//`.
fn tokens(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    for line in code.lines() {
        let mut rest = line;
        while let Some(first) = rest.chars().next() {
            if rest.starts_with("//") {
                break;
            }
            let word = |c: char| c.is_alphanumeric() || c == '_';
            let end = if word(first) {
                rest.find(|c| !word(c)).unwrap_or(rest.len())
            } else if first == '"' {
                // A string that goes on in the next line ends with it: no path is missed, since
                // its words stand apart from `::`.
                let inner = rest.strip_prefix('"').unwrap().replace("\\\\", "__");
                let inner = inner.replace("\\\"", "__");
                rest.len().min(inner.find('"').map_or(rest.len(), |at| at + 2))
            } else if rest.starts_with("::") {
                2
            } else {
                first.len_utf8()
            };
            let (token, after) = rest.split_at(end);
            if first != '"' && !first.is_whitespace() {
                found.push(token.to_owned());
            }
            rest = after;
        }
    }
    found
}

fn is_name(token: &str) -> bool {
    token.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

/// The paths of a tree of imports, each with the name it has from here on.
fn tree(tokens: &mut &[String], before: &Module, found: &mut Vec<(String, Module)>) {
    let mut path = before.clone();
    while let Some((token, rest)) = tokens.split_first() {
        match token.as_str() {
            "{" => {
                *tokens = rest;
                loop {
                    tree(tokens, &path, found);
                    let Some((token, rest)) = tokens.split_first() else { return };
                    *tokens = rest;
                    if token == "}" {
                        return;
                    }
                }
            }
            "," | "}" | ";" => break,
            "as" => {
                let name = rest[0].clone();
                *tokens = &rest[1..];
                found.push((name, path));
                return;
            }
            "self" if !path.is_empty() => *tokens = rest,
            name => {
                if name != "::" {
                    path.push(name.to_owned());
                }
                *tokens = rest;
            }
        }
    }
    if path.len() > before.len() || !before.is_empty() {
        found.push((path.last().cloned().unwrap_or_default(), path));
    }
}

fn read(code: &str) -> File {
    let all = tokens(code);
    let mut file = File::default();
    let mut rest = &all[..];
    let (mut public, mut depth) = (false, 0_usize);
    while let Some((token, after)) = rest.split_first() {
        rest = after;
        match token.as_str() {
            "{" => depth += 1,
            "}" => depth = depth.saturating_sub(1),
            _ => {}
        }
        if token == "use" {
            let mut found = Vec::new();
            tree(&mut rest, &Vec::new(), &mut found);
            // Inside braces `super` means another module, and a name holds there alone.
            if depth == 0 {
                let named = |(name, path)| (name, (path, public));
                file.uses.extend(found.into_iter().map(named));
            } else {
                let paths = found.into_iter().map(|(_, path)| path);
                file.paths.extend(paths.filter(|path| path[0] == "crate"));
            }
        } else if is_name(token) {
            let mut path = vec![token.clone()];
            while rest.len() > 1 && rest[0] == "::" && is_name(&rest[1]) {
                path.push(rest[1].clone());
                rest = &rest[2..];
            }
            if path.len() > 1 {
                file.paths.push(path);
            } else {
                file.names.insert(token.clone());
            }
        }
        // `pub use`, `pub(crate) use`, `pub(super) use`.
        public = match token.as_str() {
            "pub" => true,
            "(" | ")" | "crate" | "super" | "in" => public,
            _ => false,
        };
    }
    file
}

/// The files of one crate by their modules.
struct Crate(BTreeMap<Module, File>);

impl Crate {
    fn is_module(&self, module: &[String]) -> bool {
        module.is_empty()
            || self
                .0
                .keys()
                .any(|known| known.len() >= module.len() && known.starts_with(module))
    }

    /// The module where what a path leads to is written, through every `pub use` on the way.
    fn lead(&self, from: &Module, path: &[String], depth: usize) -> Option<Module> {
        let (first, mut rest) = path.split_first()?;
        let child = |of: &Module, name: &str| {
            let module: Module = of.iter().cloned().chain([name.to_owned()]).collect();
            self.is_module(&module).then_some(module)
        };
        let used = |of: &Module, name: &str, rest: &[String]| {
            let path = &self.0.get(of)?.uses.get(name)?.0;
            let whole: Module = path.iter().chain(rest).cloned().collect();
            (depth < 8).then(|| self.lead(of, &whole, depth + 1)).flatten()
        };
        let mut at = match first.as_str() {
            "crate" => Vec::new(),
            "self" => from.clone(),
            "super" => from[..from.len().checked_sub(1)?].to_vec(),
            name => match child(from, name) {
                Some(module) => module,
                None => return used(from, name, rest),
            },
        };
        while let Some((name, after)) = rest.split_first() {
            rest = after;
            at = if name == "super" {
                at[..at.len().checked_sub(1)?].to_vec()
            } else if let Some(module) = child(&at, name) {
                module
            } else {
                return used(&at, name, rest).or(Some(at));
            };
        }
        None
    }

    /// Which files of its room each file uses.
    fn edges(&self) -> BTreeMap<&Module, BTreeSet<Module>> {
        let edges = self.0.iter().map(|(module, file)| {
            let told = file.uses.iter().filter(|(name, (_, public))| {
                let in_path = || file.paths.iter().any(|path| path[0] == **name);
                !public || file.names.contains(*name) || in_path()
            });
            let paths = told.map(|(_, (path, _))| path).chain(&file.paths);
            let leads = paths.filter_map(|path| self.lead(module, path, 0));
            let own_room =
                leads.filter(|other| other != module && other.first() == module.first());
            (module, own_room.collect())
        });
        edges.collect()
    }
}

/// Every set of files of which each leads to each.
fn circles(files: &[(PathBuf, String)]) -> Vec<Vec<String>> {
    let mut crates: BTreeMap<String, BTreeMap<Module, File>> = BTreeMap::new();
    for (path, text) in files {
        let path = path.with_extension("");
        let mut parts: Module =
            path.iter().map(|part| part.to_str().unwrap().to_owned()).collect();
        if parts.last().is_some_and(|last| last == "mod" || last == "lib") {
            parts.pop();
        }
        let module = parts.split_off(2.min(parts.len()));
        crates.entry(parts.join("/")).or_default().insert(module, read(&code(text)));
    }
    let mut found = Vec::new();
    for (name, files) in crates {
        let this = Crate(files);
        let edges = this.edges();
        let reach = |from: &Module| {
            let mut seen: BTreeSet<Module> = BTreeSet::new();
            let mut open: Vec<Module> = vec![from.clone()];
            while let Some(at) = open.pop() {
                let next = edges.get(&at).into_iter().flatten();
                open.extend(next.filter(|next| seen.insert((*next).clone())).cloned());
            }
            seen
        };
        let reached: BTreeMap<&Module, BTreeSet<Module>> =
            edges.keys().map(|module| (*module, reach(module))).collect();
        let mut told: BTreeSet<Vec<String>> = BTreeSet::new();
        for (module, seen) in &reached {
            let back = |other: &&&Module| {
                seen.contains(**other) && reached[**other].contains(*module)
            };
            let circle: Vec<String> = edges
                .keys()
                .filter(back)
                .map(|module| format!("{name}/{}", module.join("/")))
                .collect();
            if circle.len() > 1 {
                told.insert(circle);
            }
        }
        found.extend(told);
    }
    found
}

#[test]
fn files_go_in_few_circles() {
    let mut found: Vec<String> = Vec::new();
    for circle in circles(&rust_files("src")) {
        let folders = circle.iter().map(|file| file.rsplit_once('/').unwrap().0);
        let folder = folders.min_by_key(|folder| folder.len()).unwrap();
        // A folder's own file stands for the folder.
        let own = circle.iter().find(|file| {
            let inside = format!("{file}/");
            circle.iter().all(|other| other == *file || other.starts_with(&inside))
        });
        println!("{}", circle.join(" "));
        found.push(own.map_or(folder, String::as_str).to_owned());
    }
    let mut standing: Vec<&str> = STANDING.iter().map(|(folder, _)| *folder).collect();
    found.sort();
    standing.sort_unstable();
    assert_eq!(found, standing, "circles of files");
}

#[test]
fn circles_are_seen() {
    let files = |all: &[(&str, &str)]| -> Vec<(PathBuf, String)> {
        all.iter().map(|(path, text)| (path.into(), (*text).to_owned())).collect()
    };
    let room = [
        ("src/x/room/mod.rs", "mod a;\nmod b;\nmod c;\npub use a::{A, f};\n"),
        ("src/x/room/a.rs", "use super::b::B;\npub struct A(B);\n"),
        ("src/x/room/b.rs", "pub struct B;\nfn g() { crate::room::c::h() }\n"),
        ("src/x/room/c.rs", "use super::{A, b};\npub fn h() {}\n"),
    ];
    let circle = ["src/x/room/a", "src/x/room/b", "src/x/room/c"].map(str::to_owned);
    assert_eq!(circles(&files(&room)), [circle.to_vec()]);
    // What stands for tests, in comments or in texts alone, leads nowhere.
    for quiet in [
        "pub struct B;\n#[cfg(test)]\nmod tests {\n    use super::super::c::h;\n}\n",
        "pub struct B;\n// crate::room::c::h\nconst X: &str = \"crate::room::c::h\";\n",
        "pub struct B;\npub use super::c::h;\n",
    ] {
        let mut room = room;
        room[2].1 = quiet;
        assert_eq!(circles(&files(&room)), [[""; 0]; 0], "{quiet}");
    }
    // The same names in another room or another crate are others.
    let mut apart = room;
    apart[3].0 = "src/y/room/c.rs";
    assert_eq!(circles(&files(&apart)), [[""; 0]; 0]);
}
