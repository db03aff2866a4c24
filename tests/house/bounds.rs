//! Numbers that are a bound, and the reason beside each.

use std::collections::BTreeSet;

use super::{of_tests, rust_files};

/// Words that a reason has and a bare name has not.
const REASONS: [&str; 15] = [
    ": ",
    "because",
    "too short",
    "so that",
    "would",
    "than",
    "cannot",
    "nobody",
    "without",
    "beyond",
    "by definition",
    "enough",
    "as in",
    "since",
    "until",
];

/// Calls that cut, fill up or hold to a number.
const CALLS: [&str; 12] = [
    ".take(",
    ".truncate(",
    ".chunks(",
    ".windows(",
    ".min(",
    ".max(",
    ".clamp(",
    ".nth(",
    ".skip(",
    ".repeat(",
    ".range(",
    ".split_at(",
];

/// A line of code with its texts emptied, and what is said beside it.
fn parted(line: &str) -> (String, &str) {
    let mut code = String::new();
    let mut rest = line;
    loop {
        let quote = rest.find('"').unwrap_or(rest.len());
        if let Some(at) = rest.find("//").filter(|at| *at < quote) {
            let (before, said) = rest.split_at(at);
            code.push_str(before);
            return (code, said.trim_start_matches('/').trim());
        }
        code.push_str(rest.split_at(quote).0);
        let Some(text) = rest.get(quote + 1..) else { return (code, "") };
        code.push_str("\"\"");
        let mut escaped = false;
        let end = text.find(|c| {
            let ends = c == '"' && !escaped;
            escaped = c == '\\' && !escaped;
            ends
        });
        rest = end.map_or("", |end| text.split_at(end + 1).1);
    }
}

/// The number that stands at the start of a text, where it is more than one: zero and one say
/// none, any and the next, and need no reason.
fn bound_at(text: &str) -> bool {
    let text = text.trim_start().trim_start_matches('-');
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '_').unwrap_or(text.len());
    let digits: String =
        text.split_at(end).0.chars().filter(char::is_ascii_digit).collect();
    // `2.0` and `2usize` are numbers, the index of `a.0` is none and never begins a text.
    digits.parse::<u128>().is_ok_and(|number| number > 1)
}

/// What makes a line hold a bound: a number with a name, a comparison with a number, a range
/// that something must lie in, or a call that cuts at a number.
fn what(code: &str) -> Option<String> {
    let named = || {
        let (head, value) = code.split_once(" = ")?;
        let (name, kind) = head.split_once("const ")?.1.split_once(": ")?;
        let upper = name
            .chars()
            .all(|c| c.is_ascii_uppercase() || c == '_' || c.is_ascii_digit());
        let inner = kind.trim_start_matches(['[', '&', '(']);
        let number = [
            "u8", "u16", "u32", "u64", "u128", "usize", "i8", "i16", "i32", "i64",
            "i128", "f64", "Duration", "Fraction",
        ]
        .iter()
        .any(|known| inner.split(|c: char| !c.is_alphanumeric()).next() == Some(known));
        let told = value.contains(|c: char| c.is_ascii_digit()) || value.ends_with('[');
        (upper && number && told).then(|| name.to_owned())
    };
    let compared = || {
        let spaced = [" < ", " > ", " <= ", " >= ", " == ", " != "];
        let found = spaced.iter().any(|sign| {
            code.match_indices(sign)
                .any(|(at, _)| bound_at(code.split_at(at + sign.len()).1))
        });
        found.then(|| "a comparison".to_owned())
    };
    let within = || {
        let (range, _) = code.split_once(").contains(")?;
        let (_, range) = range.rsplit_once('(')?;
        let (from, to) = range.split_once("..")?;
        let held = bound_at(from) || bound_at(to.trim_start_matches('='));
        held.then(|| "a range".to_owned())
    };
    // `most 3 TooMany` in the table of a thing.
    let of_table = || {
        let held = [", most ", ", least "].iter().find_map(|word| {
            let (_, given) = code.split_once(word)?;
            bound_at(given).then(|| word.trim_matches([',', ' ']).to_owned())
        });
        held.filter(|_| code.contains(" = may ") || code.contains(" = need "))
    };
    let cut = || {
        let held = |call: &&&str| {
            code.match_indices(**call).any(|(at, _)| {
                let given = code.split_at(at + call.len()).1;
                bound_at(given)
                    || given
                        .split_once("..")
                        .is_some_and(|(_, to)| bound_at(to.trim_start_matches('=')))
            })
        };
        Some(CALLS.iter().find(held)?.trim_matches(['.', '(']).to_owned())
    };
    named().or_else(compared).or_else(within).or_else(of_table).or_else(cut)
}

/// What stands above the tests of a file.
fn before_tests(text: &str) -> &str {
    let is_tests = |at: &usize| {
        let mut below = text.split_at(*at).1.lines().skip(1);
        below
            .find(|line| line.starts_with("mod "))
            .is_some_and(|line| line.ends_with('{'))
    };
    let mut marks = text.match_indices("\n#[cfg(test)]").map(|(at, _)| at + 1);
    marks.find(is_tests).map_or(text, |at| text.split_at(at).0)
}

/// Bounds of a file: the line, what it is, and the comment beside it or above the statement it
/// stands in. Numbers that stand together have one comment.
fn bounds(text: &str) -> Vec<(usize, String, String)> {
    let code = before_tests(text);
    let lines: Vec<(String, &str)> = code
        .lines()
        .map(str::trim)
        .map(|line| {
            if line.starts_with("//") {
                (String::new(), line.trim_start_matches(['/', '!']).trim())
            } else {
                parted(line)
            }
        })
        .map(|(code, said)| (code.trim().to_owned(), said))
        .collect();
    // A statement goes on over lines that neither end nor open one.
    let ends = |code: &str| code.ends_with([';', '{', '}']) || code.ends_with("},");
    let mut found = Vec::new();
    for (at, (code, beside)) in lines.iter().enumerate() {
        let Some(name) = what(code) else { continue };
        let mut comment = (*beside).to_owned();
        let mut inside = true;
        for (above, said) in lines[..at].iter().rev() {
            if above.is_empty() && said.is_empty() {
                break;
            }
            if above.is_empty() {
                comment = format!("{said} {comment}");
                inside = false;
            } else if above.starts_with("#[")
                || what(above).is_some()
                || (inside && !ends(above))
            {
                // Attributes, a neighbour under the same comment, the statement's own lines.
                if !inside {
                    break;
                }
            } else {
                break;
            }
        }
        found.push((at + 1, name, comment.trim().to_owned()));
    }
    found
}

fn is_reason(comment: &str) -> bool {
    let small = format!("{} ", comment.to_lowercase());
    comment.split_whitespace().count() > 6
        && REASONS.iter().any(|reason| small.contains(reason))
}

#[test]
fn every_bound_has_its_reason_beside_it() {
    let mut looked_at = 0;
    let mut without = Vec::new();
    let all = rust_files("src");
    let tests: BTreeSet<String> =
        all.iter().flat_map(|(_, text)| of_tests(text)).collect();
    for (path, text) in &all {
        if tests.contains(path.file_stem().unwrap().to_str().unwrap()) {
            continue;
        }
        for (line, name, comment) in bounds(text) {
            looked_at += 1;
            // A format's number says which it is; its comment says when it is raised.
            let format =
                comment.contains("Raised when") || comment.contains("Version of");
            if !format && !is_reason(&comment) {
                without.push(format!("{}:{line} {name}: {comment}", path.display()));
            }
        }
    }
    assert!(
        looked_at > 150,
        "no bound is written in the way this test looks for: {looked_at}"
    );
    assert!(
        without.is_empty(),
        "{} of {looked_at} bounds without a reason: {without:#?}",
        without.len()
    );
}

#[test]
fn bounds_and_their_reasons_are_seen() {
    let text = "/// More than this would\n/// fill the disk of a small machine.\n\
                pub const MOST: u64 = 5;\nconst LESS: usize = 1; // because\nlet x = 1;\n\
                const NAME: &str = \"x\";\n/// The width.\nconst WIDTH: [usize; 2] = [7, 8];";
    let found = bounds(text);
    let told = |at: usize| (found[at].1.as_str(), is_reason(&found[at].2));
    assert_eq!(found.len(), 3);
    assert_eq!(
        (told(0), told(1), told(2)),
        (("MOST", true), ("LESS", true), ("WIDTH", false))
    );
    for (line, seen) in [
        ("if known.len() > 12 {", true),
        ("if known.len() > 1 {", false),
        ("if a.b < LIMIT {", false),
        ("let few = known.iter().take(12);", true),
        ("let few = known.iter().take(1);", false),
        ("(2..=9).contains(&copies)", true),
        ("(0..=1).contains(&copies)", false),
        ("say(\"x > 12\") // more > 12", false),
        ("Vec<u8>", false),
        ("value_parser!(u32).range(1..=9)", true),
        ("let at = |index| index + 12;", false),
    ] {
        assert_eq!(what(&parted(line).0).is_some(), seen, "{line}");
    }
    // A reason belongs to its own statement alone.
    let apart =
        "// More than twelve would not fit beside each other.\nlet x = 1;\nif y > 12 {";
    assert!(!is_reason(&bounds(apart)[0].2));
    let spread = "// More than twelve would not fit beside each other.\nlet few = known\n.iter()\n.take(12);";
    assert!(is_reason(&bounds(spread)[0].2));
}
