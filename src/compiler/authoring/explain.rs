//! What is wrong with a line of a formula, in sentences of the words file; and what a field is that
//! is missing.

use crate::findings::{Code, Finding};
use crate::formulas::FaultKind;
use crate::quantity::System;
use crate::wire::{Books, field_key, sentence};
use crate::words::Words;

/// Fields that are missing, each with what it is for and an example in the module's own units, from
/// the one description of its thing.
pub fn missing(found: &mut [Finding], system: System, books: Books, words: &Words) {
    for finding in found {
        if !matches!(finding.code, Code::MissingField | Code::BlankInDraft) {
            continue;
        }
        let blank = |name: &str| {
            let mut blanks = finding.blanks.iter();
            blanks.find(|(key, _)| *key == name).map(|(_, text)| text.clone())
        };
        let Some((table, field)) = blank("of").zip(blank("field")) else { continue };
        let entry = books.of(&table).and_then(|book| book.entry(&field));
        let Some(entry) = entry else { continue };
        // A department's own sentence, where it has one, else that of the table.
        let own = words.find(&field_key(&table, &field)).map(str::to_owned);
        let help = own.unwrap_or_else(|| sentence(entry.help));
        let eg = example(finding, entry.eg, books);
        finding.blanks.push(("help", help));
        if let Some(eg) = eg {
            finding.blanks.push(("eg", system.example_text(&eg).into_owned()));
        }
    }
}

/// What may be written for the field of a finding: its own example, or that of its group or of a list
/// of one of them.
pub(super) fn example(
    finding: &Finding,
    eg: Option<&str>,
    books: Books,
) -> Option<String> {
    let blank = |name: &str| {
        let mut blanks = finding.blanks.iter();
        blanks.find(|(key, _)| *key == name).map(|(_, text)| text.as_str())
    };
    let must = blank("holds").unwrap_or_default();
    let of = |name| blank(name).and_then(|table| group(table, must, books));
    let list = || of("holds-list-of").map(|one| format!("[{one}]"));
    eg.map(str::to_owned).or_else(|| of("holds-of")).or_else(list)
}

/// A group in one line, with what it must have; nothing where one of its fields has no example.
fn group(table: &str, must: &str, books: Books) -> Option<String> {
    let book = books.of(table)?;
    let one = |key: &str| {
        let eg = book.entry(key)?.eg?;
        // Inside braces a comma or a colon would end it.
        let bare = eg.starts_with(['[', '{']) || !eg.contains([',', ':', '#', '"']);
        Some(if bare { format!("{key}: {eg}") } else { format!("{key}: \"{eg}\"") })
    };
    let must = must.split(", ").filter(|key| !key.is_empty());
    let fields: Vec<String> = must.map(one).collect::<Option<_>>()?;
    (!fields.is_empty()).then(|| format!("{{{}}}", fields.join(", ")))
}

/// The finding with its two sentences: what is wrong, and what to write instead.
pub(super) fn explain(finding: Finding, kind: &FaultKind) -> Finding {
    let (key, blanks, nearest) = told(kind);
    // words: formula-fault.{plain(..)|one(..)|two(..)|named(..)}.{says|write}
    let said = |part: &str| format!("⟨formula-fault.{key}.{part}⟩");
    let says = said("says");
    let (mut finding, write) = match nearest {
        Some(name) => (finding.with("name", name), "⟨formula-fault.nearest⟩".to_owned()),
        None => (finding, said("write")),
    };
    // The blanks of both sentences: whoever prints the finding fills them.
    for (blank, value) in blanks {
        finding.blanks.retain(|(known, _)| *known != blank);
        finding = finding.with(blank, value);
    }
    finding.with("says", says).with("write", write)
}

type Blanks = Vec<(&'static str, String)>;

/// The key, its blanks, and the nearest name where there is one.
fn told(kind: &FaultKind) -> (&'static str, Blanks, Option<&str>) {
    let plain = |key| (key, Vec::new(), None);
    let one = |key, name, value: &str| (key, vec![(name, value.to_owned())], None);
    let two = |key, a: &str, b: &str| {
        (key, vec![("found", a.to_owned()), ("wanted", b.to_owned())], None)
    };
    match kind {
        FaultKind::TooLong => plain("too-long"),
        FaultKind::TooDeep => plain("too-deep"),
        FaultKind::BadNumber => plain("bad-number"),
        FaultKind::StrayCharacter(c) => one("stray-character", "found", &c.to_string()),
        FaultKind::Expected(what) => one("expected", "wanted", what),
        FaultKind::NoName => plain("no-name"),
        FaultKind::MixedAndOr => plain("mixed-and-or"),
        FaultKind::UnknownUnit(name, near) => {
            named("unknown-unit", name, near.as_deref())
        }
        FaultKind::UnknownName(name, near) => {
            named("unknown-name", name, near.as_deref())
        }
        FaultKind::UnknownCall(name, near) => {
            named("unknown-call", name, near.as_deref())
        }
        FaultKind::Unlike(a, b) => two("unlike", a, b),
        FaultKind::ShareWithPlain => plain("share-with-plain"),
        FaultKind::BadPower(what) => one("bad-power", "found", what),
        FaultKind::DependsOnUnit(what) => one("depends-on-unit", "found", what),
        FaultKind::WrongUnit(unit, what) => two("wrong-unit", unit, what),
        FaultKind::NoRoot(what) => one("no-root", "found", what),
        FaultKind::BadStep => plain("bad-step"),
        FaultKind::NotANumber => plain("not-a-number"),
        FaultKind::NotACondition => plain("not-a-condition"),
        FaultKind::UnknownWord(word, words) => two("unknown-word", word, words),
        FaultKind::Reading => plain("reading"),
        FaultKind::HundredTwice => plain("hundred-twice"),
        FaultKind::MissingGiven(name) => one("missing-given", "found", name),
        FaultKind::WrongCount(name) => one("wrong-count", "found", name),
        FaultKind::Circle(names) => one("circle", "found", names),
        FaultKind::TwiceNamed(name) => one("twice-named", "found", name),
        FaultKind::NoLine(name) => one("no-line", "found", name),
        FaultKind::ShownWrong(unit, what) => two("shown-wrong", unit, what),
        FaultKind::NoStep(step) => one("no-step", "found", step),
        FaultKind::NoRange(given) => one("no-range", "found", given),
        FaultKind::OtherSystem(name) => one("other-system", "found", name),
        FaultKind::NoSource => plain("no-source"),
    }
}

fn named<'k>(
    key: &'static str,
    name: &str,
    nearest: Option<&'k str>,
) -> (&'static str, Blanks, Option<&'k str>) {
    (key, vec![("found", name.to_owned())], nearest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::{self, Sources};
    use crate::stock;

    #[test]
    fn every_fault_has_its_two_sentences() {
        let words = stock::words();
        let keys: Vec<&str> = words
            .keys()
            .filter_map(|key| key.strip_prefix("formula-fault.")?.strip_suffix(".says"))
            .collect();
        assert!(keys.len() > 25, "{keys:?}");
        for key in keys {
            assert!(words.find(&format!("formula-fault.{key}.write")).is_some(), "{key}");
        }
        for kind in [
            FaultKind::TooLong,
            FaultKind::StrayCharacter('$'),
            FaultKind::Unlike("flow".into(), "time".into()),
            FaultKind::UnknownName("flo".into(), Some("flow".into())),
        ] {
            let told = explain(Finding::whole(Code::BadFormula), &kind);
            let printed = findings::printed(&told, &Sources::new(), &words);
            for text in [printed.says, printed.write] {
                assert!(!text.is_empty() && !text.contains(['{', '⟨']), "{text}");
            }
        }
    }
}
