//! The first findings of each file, when there are too many to tell.

use std::collections::BTreeMap;

use super::{Code, Finding, Grade, Place};

/// Findings of one file that are told: whoever has mended so many starts the program again, and
/// thousands from a table of a year would bury the first.
pub const MOST_OF_A_FILE: usize = 50;

/// The findings in their order, of each file no more than are told; for the others one that counts
/// them. What must be fixed goes first, so nothing that must be fixed is left out where nothing that
/// must be is told. What is of no file is told whole.
pub fn first_of_each_file(findings: Vec<Finding>) -> Vec<Finding> {
    let file = |finding: &Finding| finding.place.as_ref().map(|place| place.file.clone());
    let mut told: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    let mut kept: Vec<bool> = findings.iter().map(|one| one.place.is_none()).collect();
    for grade in [Grade::MustFix, Grade::LookAgain, Grade::Note] {
        for (finding, kept) in findings.iter().zip(&mut kept) {
            let Some(file) = file(finding).filter(|_| finding.code.grade() == grade)
            else {
                continue;
            };
            let (told, more) = told.entry(file).or_default();
            *kept = *told < MOST_OF_A_FILE;
            *if *kept { told } else { more } += 1;
        }
    }
    let mut first: Vec<Finding> = findings
        .into_iter()
        .zip(kept)
        .filter_map(|(one, kept)| kept.then_some(one))
        .collect();
    for (file, (_, more)) in told.into_iter().filter(|(_, (_, more))| *more > 0) {
        let place = Place { file, start: 0, end: 0 };
        let finding = Finding::at(Code::MoreFindings, place);
        first.push(finding.with("count", more.to_string()));
    }
    first
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fifty_first_is_counted_and_what_must_be_fixed_is_told() {
        let at = |code, file: &str, start| {
            Finding::at(code, Place { file: file.into(), start, end: start })
        };
        let fifty =
            |code, file| (0..MOST_OF_A_FILE).map(move |start| at(code, file, start));
        let whole: Vec<Finding> = fifty(Code::Empty, "a").collect();
        assert_eq!(
            first_of_each_file(whole.clone()),
            whole,
            "at the bound nothing is left out"
        );
        let mut many: Vec<Finding> =
            fifty(Code::BlankInDraft, "a").chain(whole).collect();
        many.push(at(Code::Empty, "b", 0));
        many.push(Finding::whole(Code::Empty));
        let first = first_of_each_file(many);
        let count = |code, file: &str| {
            let of = |one: &&Finding| {
                one.code == code
                    && one.place.as_ref().is_some_and(|place| place.file == file)
            };
            first.iter().filter(of).count()
        };
        assert_eq!(count(Code::Empty, "a"), 50);
        assert_eq!(count(Code::BlankInDraft, "a"), 0);
        assert_eq!(count(Code::Empty, "b"), 1);
        let last = first.last().unwrap();
        assert_eq!(
            (last.code, last.blanks.as_slice()),
            (Code::MoreFindings, &[("count", "50".to_owned())][..])
        );
        assert_eq!(first.len(), 53);
    }
}
