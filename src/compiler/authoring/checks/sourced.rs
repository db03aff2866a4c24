//! Sources: is each one that is named in the list, and can a reader look up what stands there?

use super::index::Names;
use super::{Checked, Spot, nearest};
use crate::findings::{Code, Finding};
use crate::formulas::{Source, named_in};
use crate::wire::is_name;

const LISTS: [&str; 2] = ["trade/sources.yaml", "sources.yaml"];

pub(super) fn check(checked: &Checked<'_>) {
    listed(checked);
    let Some(known) = checked.known("source") else { return };
    for folder in ["trade/formulas/", "formulas/"] {
        for formula in checked.folder(folder).iter().flat_map(Spot::items) {
            cited(checked, &known, &formula.at("sources").items());
            for answer in formula.at("answers").items() {
                cited(checked, &known, &answer.at("sense").items());
            }
        }
    }
    for folder in ["trade/tables/", "tables/"] {
        for table in checked.folder(folder) {
            with_others(checked, &known, &table.at("rows").items());
        }
    }
    for file in ["trade/constants.yaml", "constants.yaml"] {
        with_others(checked, &known, &checked.file(file).items());
    }
    for spot in texts(checked) {
        in_text(checked, &known, &spot);
    }
}

/// Whether a reader can look each source up, or is told that nobody can.
fn listed(checked: &Checked<'_>) {
    for file in LISTS {
        for entry in checked.file(file).items() {
            let id = entry.at("source");
            let is = |source: &&Source| Some(source.id.as_str()) == id.text();
            // The module's own of that name stands in the course, and not the trade's.
            let hidden = file.starts_with("trade/")
                && checked
                    .file("sources.yaml")
                    .ids("source")
                    .iter()
                    .any(|own| Some(own.as_str()) == id.text());
            let found = checked.course.references.iter().find(is);
            if let Some(source) = found.filter(|source| !hidden && !source.founded()) {
                let finding = Finding::at(Code::SourceUntraced, id.place());
                checked.note(finding.with("id", source.id.clone()));
            }
        }
    }
}

fn cited(checked: &Checked<'_>, known: &Names, spots: &[Spot<'_>]) {
    for spot in spots {
        checked.listed("source", known, &spot.at("source"));
    }
}

fn with_others(checked: &Checked<'_>, known: &Names, spots: &[Spot<'_>]) {
    cited(checked, known, spots);
    for spot in spots {
        cited(checked, known, &spot.at("others").items());
    }
}

/// Where a text says where something comes from, in words or by name.
fn texts<'c>(checked: &Checked<'c>) -> Vec<Spot<'c>> {
    let files =
        ["trade/cautions.yaml", "cautions.yaml", "trade/unsafe-acts.yaml"].into_iter();
    let mut all: Vec<Spot<'_>> =
        files.flat_map(|file| checked.file(file).items()).collect();
    for drill in checked.folder("drills/") {
        all.extend(drill.at("criticals").items());
        all.extend(drill.at("measures").items());
        all.push(drill.at("time"));
    }
    all.push(checked.file("module.yaml").at("pass-mark"));
    all.into_iter().map(|spot| spot.at("source")).collect()
}

/// A text may say anything; what reads like a name of the list and is none would be printed raw.
fn in_text(checked: &Checked<'_>, known: &Names, spot: &Spot<'_>) {
    for name in named_in(spot.text().unwrap_or_default()) {
        if !reads_like_a_name(name) || known.has(name) {
            continue;
        }
        let finding = Finding::at(Code::SourceUnlisted, spot.place()).with("id", name);
        checked.note(finding.with("nearest", nearest(name, known.listed())));
    }
}

/// A name with a hyphen in it: plain words such as "local" are not taken for names, and neither is an
/// order's number with its capitals.
fn reads_like_a_name(text: &str) -> bool {
    text.contains('-') && is_name(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_one_word_with_a_hyphen_reads_like_a_name() {
        for name in ["order-4", "nfpa-1962-extract", "a-b"] {
            assert!(reads_like_a_name(name), "{name}");
        }
        for text in
            ["", "local", "4-5", "common practice", "F2010-25", "order-", "état-4"]
        {
            assert!(!reads_like_a_name(text), "{text}");
        }
    }
}
