//! Where a file stopped being YAML: which mistake it was and where it was made, as far as the lines
//! show it. The reader stops where it can go on no further, which is often far behind: a quotation
//! mark that nobody closed swallows everything up to the next one.

use crate::findings::{Code, Finding, Place};

/// A mistake that its line shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Slip {
    Tab,
    OpenQuote,
    Apostrophe,
    BehindQuote,
    FirstSign,
    OpenBracket,
    Colon,
    NoBlank,
    NoColon,
    Dash,
    ListOnLine,
    Indent,
}

impl Slip {
    const fn key(self) -> &'static str {
        match self {
            Self::Tab => "tab",
            Self::OpenQuote => "open-quote",
            Self::Apostrophe => "apostrophe",
            Self::BehindQuote => "behind-quote",
            Self::FirstSign => "first-sign",
            Self::OpenBracket => "open-bracket",
            Self::Colon => "colon",
            Self::NoBlank => "no-blank",
            Self::NoColon => "no-colon",
            Self::Dash => "dash",
            Self::ListOnLine => "list-on-line",
            Self::Indent => "indent",
        }
    }
}

/// Letters of a line that is proposed anew: one that is longer than this was written by a machine,
/// and nobody would type it in.
const MOST_OF_A_LINE: usize = 400;

/// What is told of a slip: its place in the text, and the line as it should be.
struct Told {
    slip: Slip,
    start: usize,
    end: usize,
    mend: String,
}

/// The finding of a file that the reader gave up at a place for a reason of its own.
pub(super) fn unreadable(
    file: &str,
    text: &str,
    at: (usize, usize),
    reason: &str,
) -> Finding {
    let place =
        |(start, end): (usize, usize)| Place { file: file.to_owned(), start, end };
    // The reader's own words are the last resort: they are about its grammar, and an author
    // thinks in lines.
    let Some(told) = found(text, at.0) else {
        let finding = Finding::at(Code::NotYaml, place(at)).with("found", reason);
        return finding.with("says", "⟨yaml-fault.other⟩").with("write", "");
    };
    let said = |part: &str| {
        // words: yaml-fault.{Slip}.{says|write}
        format!("⟨yaml-fault.{}.{part}⟩", told.slip.key())
    };
    let short = told.mend.len() <= MOST_OF_A_LINE;
    Finding::at(Code::NotYaml, place((told.start, told.end)))
        .with("says", said("says"))
        .with("write", if short { said("write") } else { String::new() })
        .with("mend", if short { told.mend } else { String::new() })
}

/// A line: where it begins, and its text.
#[derive(Clone, Copy)]
struct Row<'t> {
    start: usize,
    text: &'t str,
}

impl<'t> Row<'t> {
    /// Its text without the blanks before it, and where that begins.
    fn inner(self) -> (usize, &'t str) {
        let inner = self.text.trim_start_matches(' ');
        (self.start + self.text.len() - inner.len(), inner)
    }

    /// What stands before its value, and the value with its place: behind dashes and a name.
    fn value(self) -> (&'t str, usize, &'t str) {
        let (mut at, mut rest) = self.inner();
        // As many as there are: a list in a list may stand on one line.
        while let Some(after) = rest.strip_prefix("- ") {
            at += rest.len() - after.len();
            rest = after;
        }
        if let Some((name, after)) = rest.split_once(": ")
            && is_name(name)
        {
            at += rest.len() - after.len();
            rest = after;
        }
        let value = rest.trim_start();
        at += rest.len() - value.len();
        let before = self.text.get(..at - self.start).unwrap_or_default();
        (before, at, value.trim_end())
    }

    fn told(self, slip: Slip, at: usize, mend: String) -> Told {
        let end = self.start + self.text.trim_end().len();
        Told { slip, start: at, end: end.max(at), mend }
    }
}

fn is_name(text: &str) -> bool {
    let sign = |c: char| c.is_alphanumeric() || "-_.".contains(c);
    !text.is_empty() && text.chars().all(sign)
}

/// A text as one quoted value.
fn quoted(value: &str) -> String {
    if value.contains('"') {
        // In single marks where it has double ones itself: inside those nothing is an
        // escape but the mark, so that whatever was written is meant.
        format!("'{}'", value.replace('\'', "''"))
    } else {
        format!("\"{value}\"")
    }
}

fn found(text: &str, at: usize) -> Option<Told> {
    let mut rows = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        rows.push(Row { start, text: line.trim_end_matches(['\n', '\r']) });
        start += line.len();
    }
    // The reader may give up at the end of a line that has begun the mistake on the next.
    let last = rows.iter().rposition(|row| row.start <= at)?;
    let (before, row) = (rows.get(..=last)?, *rows.get(last)?);
    let behind = rows.get(last + 1);
    let tabbed = before.iter().chain(behind).find_map(|row| tab(*row));
    tabbed
        .or_else(|| quotes(text, before))
        .or_else(|| sign_or_list(row))
        .or_else(|| brackets(before))
        .or_else(|| names(row))
        .or_else(|| {
            let above = before.iter().rev().skip(1);
            // A comment belongs to nobody.
            let says = |row: &&Row<'_>| {
                !row.text.trim().is_empty() && !row.text.trim_start().starts_with('#')
            };
            let mut above = above.filter(says);
            indented(row, *above.next()?)
        })
}

/// YAML takes no tab for a blank, and an editor shows them alike.
fn tab(row: Row<'_>) -> Option<Told> {
    let inner = row.text.trim_start();
    let blanks = row.text.strip_suffix(inner)?;
    let tab = blanks.find('\t')?;
    if inner.is_empty() || inner.starts_with('#') {
        return None;
    }
    let mut told = row.told(Slip::Tab, row.start + tab, String::new());
    told.end = row.start + blanks.len();
    Some(told)
}

/// The first quoted text that ends in the middle of a line, or nowhere.
fn quotes(text: &str, rows: &[Row<'_>]) -> Option<Told> {
    let mut passed = 0;
    for row in rows {
        let (before, at, value) = row.value();
        // Lines of a quoted text that began further up.
        if at < passed {
            continue;
        }
        let Some(quote) = value.chars().next().filter(|c| ['"', '\''].contains(c)) else {
            continue;
        };
        let Some(end) = closing(text, at, quote) else {
            let mend = format!("{}{value}{quote}", before.trim_start());
            return Some(row.told(Slip::OpenQuote, at, mend));
        };
        passed = end + 1;
        let behind = text.get(passed..).unwrap_or_default();
        let behind = behind.lines().next().unwrap_or_default().trim();
        let ends = behind.is_empty()
            || ["#", ",", "]", "}", ":"].iter().any(|s| behind.starts_with(s));
        if ends {
            continue;
        }
        let same_line = end < row.start + row.text.len();
        let begin = before.trim_start();
        return Some(if !same_line {
            row.told(Slip::OpenQuote, at, format!("{begin}{value}{quote}"))
        } else if quote == '\'' && text.get(passed..)?.starts_with(char::is_alphanumeric)
        {
            let inner = value.trim_matches('\'');
            row.told(Slip::Apostrophe, at, format!("{begin}{}", quoted(inner)))
        } else {
            row.told(Slip::BehindQuote, at, format!("{begin}{}", quoted(value)))
        });
    }
    None
}

/// Where a quoted text that begins at a place ends.
fn closing(text: &str, at: usize, quote: char) -> Option<usize> {
    let mut signs = text.get(at + 1..)?.char_indices().peekable();
    while let Some((index, sign)) = signs.next() {
        match sign {
            '\\' if quote == '"' => {
                signs.next();
            }
            // Two of them stand for one.
            '\'' if quote == '\''
                && signs.peek().is_some_and(|(_, next)| *next == '\'') =>
            {
                signs.next();
            }
            sign if sign == quote => return Some(at + 1 + index),
            _ => {}
        }
    }
    None
}

/// A value that begins with a sign of YAML, or with a list on the line of its name.
fn sign_or_list(row: Row<'_>) -> Option<Told> {
    let (before, at, value) = row.value();
    let begin = before.trim_start();
    if let Some(item) = value.strip_prefix("- ")
        && begin.ends_with(": ")
    {
        return Some(row.told(Slip::ListOnLine, at, format!("{begin}[{item}]")));
    }
    value
        .starts_with(['@', '`', '%', '*', '&', '!'])
        .then(|| row.told(Slip::FirstSign, at, format!("{begin}{}", quoted(value))))
}

/// Lines above a fault among which a bracket is looked for: a list that is longer than a screen is
/// written with dashes, and a bracket further up belongs to another fault.
const LONGEST_BRACKET: usize = 40;

/// The last line above the fault that opens more brackets than it closes.
fn brackets(rows: &[Row<'_>]) -> Option<Told> {
    rows.iter().rev().take(LONGEST_BRACKET).find_map(|row| {
        let (before, at, value) = row.value();
        let count = |sign: char| value.matches(sign).count();
        let (open, close) = match value.chars().next()? {
            '[' => ('[', ']'),
            '{' => ('{', '}'),
            _ => return None,
        };
        // A text that begins with a bracket and lists nothing is no list.
        let mend = if value.contains(',') {
            format!("{}{value}{close}", before.trim_start())
        } else {
            format!("{}\"{value}\"", before.trim_start())
        };
        (count(open) > count(close)).then(|| row.told(Slip::OpenBracket, at, mend))
    })
}

/// A colon within the text, or a name without a proper colon.
fn names(row: Row<'_>) -> Option<Told> {
    let (before, at, value) = row.value();
    let begin = before.trim_start();
    if begin.ends_with(": ") {
        let colon = value.find(": ").or_else(|| value.strip_suffix(':').map(str::len))?;
        // A line of a formula has an equals sign where other fields have a colon.
        let line = begin.trim_start_matches("- ") == "line: ";
        let mend = match value.split_once(": ").filter(|(name, _)| line && is_name(name))
        {
            Some((name, work)) => format!("{begin}{name} = {work}"),
            None => format!("{begin}{}", quoted(value)),
        };
        return Some(row.told(Slip::Colon, at + colon, mend));
    }
    // Somebody who knows settings of another program sets an equals sign.
    if let Some((name, set)) = value.split_once('=')
        && is_name(name.trim_end())
    {
        let mend = format!("{begin}{}: {}", name.trim_end(), set.trim_start());
        return Some(row.told(Slip::NoColon, at, mend.trim_end().to_owned()));
    }
    let (first, rest) = value.split_once(' ').unwrap_or((value, ""));
    if let Some((name, joined)) = first.split_once(':')
        && is_name(name)
        && !joined.is_empty()
    {
        let mend = format!("{begin}{name}: {joined} {rest}");
        return Some(row.told(Slip::NoBlank, at, mend.trim_end().to_owned()));
    }
    let plain = is_name(first) && !value.contains(':');
    let mend = format!("{begin}{first}: {rest}");
    plain.then(|| row.told(Slip::NoColon, at, mend.trim_end().to_owned()))
}

/// A line that stands further in than the one above allows.
fn indented(row: Row<'_>, above: Row<'_>) -> Option<Told> {
    let ((at, inner), (above_at, above_inner)) = (row.inner(), above.inner());
    if let Some(rest) = above_inner.strip_prefix('-')
        && rest.starts_with(char::is_alphanumeric)
    {
        return Some(above.told(Slip::Dash, above_at, format!("- {rest}")));
    }
    let depth = at - row.start;
    let own = above_at - above.start;
    let under = own + if above_inner.starts_with("- ") { 2 } else { 0 };
    (depth != under && !inner.starts_with("- "))
        .then(|| row.told(Slip::Indent, at, above_inner.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::{Slip, found};

    /// The slip, the line it is told at, and the mend.
    fn told(text: &str, at: &str) -> Option<(Slip, usize, String)> {
        let told = found(text, text.find(at).unwrap())?;
        let ends = text.bytes().take(told.start).filter(|byte| *byte == b'\n');
        let line = ends.count() + 1;
        Some((told.slip, line, told.mend))
    }

    #[test]
    fn each_slip_is_told_where_it_was_made() {
        let cases: &[(&str, &str, Slip, usize, &str)] = &[
            ("a: 1\n\tb: 2\n", "b", Slip::Tab, 2, ""),
            ("a: \"x y\nb: 2\nc: \"on\"\n", "on", Slip::OpenQuote, 1, "a: \"x y\""),
            ("a: 'it\nb: 2\n", "b", Slip::OpenQuote, 1, "a: 'it'"),
            ("a: 'Officer's x'\n", "s x", Slip::Apostrophe, 1, "a: \"Officer's x\""),
            (
                "a: \"Stop\" and wait\n",
                "and",
                Slip::BehindQuote,
                1,
                "a: '\"Stop\" and wait'",
            ),
            ("a: @b\n", "@", Slip::FirstSign, 1, "a: \"@b\""),
            ("- a: *b\n", "*", Slip::FirstSign, 1, "- a: \"*b\""),
            ("a: [b, c\nd: 1\n", "d", Slip::OpenBracket, 1, "a: [b, c]"),
            ("a: b: c\n", ": c", Slip::Colon, 1, "a: \"b: c\""),
            ("- line: b: c\n", ": c", Slip::Colon, 1, "- line: b = c"),
            ("a:b c\n", "a", Slip::NoBlank, 1, "a: b c"),
            ("a b c\nd: 1\n", "a", Slip::NoColon, 1, "a: b c"),
            ("a = b c\nd: 1\n", "a", Slip::NoColon, 1, "a: b c"),
            ("a=b\nd: 1\n", "a", Slip::NoColon, 1, "a: b"),
            ("- a: 1\n  # Why.\n   b: 2\n", ": 2", Slip::Indent, 3, "- a: 1"),
            ("a: 1\nb\n  c: 2\n", "b", Slip::NoColon, 2, "b:"),
            ("-a: 1\n  b: 2\n", ": 2", Slip::Dash, 1, "- a: 1"),
            ("a: - b\n", "- b", Slip::ListOnLine, 1, "a: [b]"),
            ("- a: 1\n   b: 2\n", ": 2", Slip::Indent, 2, "- a: 1"),
        ];
        for (text, at, slip, line, mend) in cases {
            let expected = Some((*slip, *line, (*mend).to_owned()));
            assert_eq!(told(text, at), expected, "{text:?}");
        }
    }

    /// Quoted texts over several lines are whole, and no slip of theirs is told.
    #[test]
    fn a_whole_text_is_passed_over() {
        let text = "a: \"one\n  two\"\nb: 'it''s'\nc: [d]\ne f\n";
        assert_eq!(told(text, "e f").unwrap().0, Slip::NoColon);
    }

    #[test]
    fn any_text_at_any_place_ends_quietly() {
        let text = "é: \"ü\n\t- '…\n  [ä: @\n";
        for at in 0..=text.len() {
            let told = found(text, at);
            if let Some(told) = told {
                assert!(text.get(told.start..told.end).is_some());
            }
        }
    }
}
