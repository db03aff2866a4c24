//! Findings as text for a person and as data for a machine.

use serde::{Deserialize, Serialize};

use super::{Cell, Code, Finding, Grade, Place, Sources};
use crate::words::Words;

/// A finding with its sentences and its place in lines and columns.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Printed {
    /// How much it matters.
    pub grade: Grade,
    /// The name for `why`.
    pub code: String,
    /// The file, or nothing for the whole module.
    pub file: Option<String>,
    /// Line, counted from 1.
    pub line: Option<usize>,
    /// Column in characters, counted from 1.
    pub column: Option<usize>,
    /// The line, of a long one what stands around the column.
    pub excerpt: Option<String>,
    /// How many characters of the line stand before the excerpt.
    #[serde(default, skip_serializing_if = "is_none")]
    pub cut: usize,
    /// The cell of a table of runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cell: Option<Cell>,
    /// How many characters of the line are meant.
    pub marked: usize,
    /// What was found.
    pub says: String,
    /// What to write instead; may be empty.
    pub write: String,
}

/// The finding's sentences, and its line in the sources.
pub fn printed(finding: &Finding, sources: &Sources, words: &Words) -> Printed {
    let code = finding.code.name();
    let raw: Vec<(&str, &str)> =
        finding.blanks.iter().map(|(name, value)| (*name, value.as_str())).collect();
    // Twice, since a sentence that is a blank here may have blanks that name sentences themselves.
    let once: Vec<(&str, String)> =
        raw.iter().map(|(name, value)| (*name, words.told(value, &raw))).collect();
    let once: Vec<(&str, &str)> =
        once.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let told: Vec<(&str, String)> =
        raw.iter().map(|(name, value)| (*name, words.told(value, &once))).collect();
    let blanks: Vec<(&str, &str)> =
        told.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let spot = finding.place.as_ref().and_then(|place| spot(place, sources));
    Printed {
        grade: finding.code.grade(),
        code: code.to_owned(),
        file: finding.place.as_ref().map(|place| place.file.clone()),
        line: spot.as_ref().map(|spot| spot.line),
        column: spot.as_ref().map(|spot| spot.column),
        excerpt: spot.as_ref().map(|spot| spot.excerpt.clone()),
        cut: spot.as_ref().map_or(0, |spot| spot.cut),
        cell: finding.cell.as_deref().cloned(),
        marked: spot.map_or(0, |spot| spot.marked),
        says: says(code, &blanks, words),
        write: if blanks.contains(&("nearest", "")) {
            // Nothing known is near; an empty advice would be none.
            String::new()
        } else if let Some(mend) = missing(finding, &blanks, words) {
            mend
        } else if let Some(mend) = meant(&blanks, words) {
            mend
        } else {
            // words: finding.{codes!}.write by any room
            words.say(&format!("finding.{code}.write"), &blanks)
        },
    }
}

/// What was found; of a field that is missing also what it is, where its description says so.
fn says(code: &str, blanks: &[(&str, &str)], words: &Words) -> String {
    // words: finding.{codes!}.says by any room
    let says = words.say(&format!("finding.{code}.says"), blanks);
    let help = blanks.iter().find(|(key, _)| *key == "help");
    help.map_or(says.clone(), |(_, help)| {
        words.say("findings.missing.help", &[("says", &says), ("help", help)])
    })
}

/// What to write for a field that is missing, where its description says how: an example of it, or
/// what a group of that name must have.
fn missing(finding: &Finding, blanks: &[(&str, &str)], words: &Words) -> Option<String> {
    if !matches!(finding.code, Code::MissingField | Code::BlankInDraft) {
        return None;
    }
    let has =
        |name: &str| blanks.iter().any(|(key, text)| *key == name && !text.is_empty());
    // words: findings.missing.{eg|holds} by any room
    let key = ["eg", "holds"].into_iter().find(|key| has(key))?;
    Some(words.say(&format!("findings.missing.{key}"), blanks))
}

/// What its author most likely meant, where that could be made out of what was written.
fn meant(blanks: &[(&str, &str)], words: &Words) -> Option<String> {
    // words: findings.meant.{meant|one|such} by any room
    let key = ["meant", "one", "such"]
        .into_iter()
        .find(|key| blanks.iter().any(|(name, _)| name == key))?;
    Some(words.say(&format!("findings.meant.{key}"), blanks))
}

/// One finding as a training officer reads it on the terminal.
pub fn text(finding: &Printed, words: &Words) -> String {
    let grade = match finding.grade {
        Grade::MustFix => words.get("findings.must-fix"),
        Grade::LookAgain => words.get("findings.look-again"),
        Grade::Note => words.get("findings.note"),
    };
    let mut out = match (&finding.file, finding.line) {
        (Some(file), Some(line)) => {
            let line = line.to_string();
            let place = words.say("findings.place", &[("file", file), ("line", &line)]);
            format!("{grade}  {place}\n")
        }
        (Some(file), None) => format!("{grade}  {file}\n"),
        (None, _) => format!("{grade}  {}\n", words.get("findings.whole-module")),
    };
    if let (Some(excerpt), Some(column)) = (&finding.excerpt, finding.column) {
        let (line, shift) = (excerpt, finding.cut);
        // At least one sign, where the place is between two letters; never beyond the
        // line, whose end may be marked.
        let marks = finding.marked.clamp(1, line.chars().count().max(2) + 1);
        let blank = " ".repeat(column - 1 - shift);
        out.push_str(&format!("    {line}\n    {blank}{}\n", "~".repeat(marks)));
    }
    if let Some(Cell { row, column, run }) = &finding.cell {
        let row = row.to_string();
        let blanks = [("row", row.as_str()), ("column", column), ("run", run)];
        let key = if run.is_empty() { "cell-of-head" } else { "cell" };
        // words: findings.{cell|cell-of-head}
        let said = words.say(&format!("findings.{key}"), &blanks);
        out.push_str(&format!("  {said}\n"));
    }
    out.push_str(&format!("  {}\n", finding.says));
    if !finding.write.is_empty() {
        // A block to paste keeps its lines.
        out.push_str(&format!("  {}\n", finding.write.replace('\n', "\n  ")));
    }
    let why = words.say("findings.more", &[("code", &finding.code)]);
    out.push_str(&format!("  {why}\n"));
    out
}

/// At most 100 characters of a line around the column; a long paragraph of a lesson would
/// fill the terminal. Returns the piece and how many characters were cut before it.
fn window(line: &str, column: usize) -> (String, usize) {
    // A piece and its arrow then stand on one line of most terminals, so that the arrow points.
    const WIDTH: usize = 100;
    let length = line.chars().count();
    if length <= WIDTH {
        return (line.to_owned(), 0);
    }
    // Some of what stands before the mark stays in sight, or nobody knows where in the
    // line it is.
    let shift = (column - 1).saturating_sub(30).min(length - WIDTH);
    (line.chars().skip(shift).take(WIDTH).collect(), shift)
}

struct Spot {
    line: usize,
    column: usize,
    excerpt: String,
    cut: usize,
    marked: usize,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference over")]
const fn is_none(cut: &usize) -> bool {
    *cut == 0
}

/// Line and column of a place; a mark stops at the end of its first line.
fn spot(place: &Place, sources: &Sources) -> Option<Spot> {
    let source = sources.get(&place.file)?;
    let before = source.get(..place.start)?;
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    let rest = source.get(line_start..)?;
    let excerpt = rest.split('\n').next().unwrap_or_default().trim_end_matches('\r');
    let marked = source.get(place.start..place.end).unwrap_or_default();
    let marked = marked.split(['\n', '\r']).next().unwrap_or_default();
    // In letters, as editors count, not in bytes.
    let column = before.get(line_start..)?.chars().count() + 1;
    // A file on one line would stand in each of its findings whole.
    let (excerpt, cut) = window(excerpt, column);
    Some(Spot {
        line: before.matches('\n').count() + 1,
        column,
        excerpt: excerpt.replace('\t', " "),
        cut,
        marked: marked.chars().count(),
    })
}
