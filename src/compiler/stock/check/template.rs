//! Words that a template names: `w.name` for pages, `s.label.name` for sheets.

use std::collections::{BTreeMap, BTreeSet};

use super::check::Sheet;

/// What a template writes before the name of a word, and the group that word stands in.
const NAMED: [(&str, &str); 2] = [("w.", "page."), ("s.label.", "sheet.label.")];

/// Words that templates name and nobody has. A template is only looked at when its page is
/// made, so without this a page that no example has could lack a word unnoticed.
pub(crate) fn unnamed(
    sheet: &Sheet,
    templates: &BTreeMap<String, String>,
) -> Vec<String> {
    let mut faults = Vec::new();
    for (start, group) in NAMED {
        let known: BTreeSet<String> = sheet
            .keys()
            .filter_map(|key| Some(key.strip_prefix(group)?.replace(['-', '.'], "_")))
            .collect();
        for (path, text) in templates {
            for name in names(text, start).filter(|name| !known.contains(*name)) {
                faults.push(format!(
                    "{path} names {start}{name}, which {group} does not have"
                ));
            }
        }
    }
    faults
}

/// The names that follow a start which is no end of a longer name.
fn names<'t>(text: &'t str, start: &'t str) -> impl Iterator<Item = &'t str> {
    let letter = |c: char| c.is_ascii_alphanumeric() || c == '_';
    text.match_indices(start).filter_map(move |(at, _)| {
        let (before, rest) = text.split_at_checked(at)?;
        let rest = rest.strip_prefix(start)?;
        let end = rest.find(|c| !letter(c)).unwrap_or(rest.len());
        // `row.w.x` is a field of a row and no word of the page.
        let whole = !before.ends_with(|c| letter(c) || c == '.') && end > 0;
        rest.get(..end).filter(|_| whole)
    })
}
