//! Figures in what is told of a fault, with the sign that the department has before its decimals.
//!
//! Whoever finds a fault writes a figure as the program writes its files, with a point; a finding
//! is a sentence for its author, who writes `0,5 %` and is answered so.

use crate::findings::{Code, Finding, Sources};
use crate::quantity::{Comma, Quantity, Writing, figure_written};

/// Blanks that are names of the program's own and no words of a sentence.
const NAMES: [&str; 5] = ["table", "line", "of", "holds-of", "holds-list-of"];

/// Findings of a module as it writes its figures.
pub(super) fn decimals(found: &mut [Finding], comma: Comma) {
    if comma != Comma::Decimal {
        return;
    }
    let _numbers = Writing::of(comma);
    for finding in found {
        // What is asked about is how it was typed: written out anew it would be one of the two.
        let typed = finding.code == Code::CommaUnclear;
        let kept = |name: &str| NAMES.contains(&name) || typed && name == "found";
        for (_, text) in finding.blanks.iter_mut().filter(|(name, _)| !kept(name)) {
            *text = line_written(text);
        }
        // A number without its unit is no chapter and no version here: it is the figure itself.
        let bare = |name: &str| finding.code == Code::NoUnit && name == "found";
        for (_, text) in finding.blanks.iter_mut().filter(|(name, _)| bare(name)) {
            *text = text.replace('.', ",");
        }
    }
}

/// A figure, or a line of a sheet with one behind its name, as it is typed into a file.
fn line_written(text: &str) -> String {
    let named = text.split_once(": ").filter(|(name, _)| {
        name.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-')
    });
    let Some((name, value)) = named else { return figure_written(text).into_owned() };
    let group = value.strip_prefix('{').and_then(|value| value.strip_suffix('}'));
    let Some(group) = group else { return format!("{name}: {}", figure_written(value)) };
    let parts: Vec<String> = group.split(", ").map(in_group).collect();
    format!("{name}: {{{}}}", parts.join(", "))
}

/// The same inside braces, where a comma ends a value unless it stands in quotation marks.
fn in_group(part: &str) -> String {
    let Some((name, value)) = part.split_once(": ") else { return part.to_owned() };
    let listed = format!("[{value}]");
    let written = figure_written(&listed);
    format!("{name}: {}", written.trim_start_matches('[').trim_end_matches(']'))
}

/// A figure that YAML tore in two inside brackets or braces, `{mark: 22,5 L}`: it is marked as a
/// whole, told with the sign that can stand there, and what the second half was taken for is not
/// told besides.
pub fn torn(found: &mut Vec<Finding>, sources: &Sources, comma: Comma) {
    let mut whole = Vec::new();
    for finding in found.iter_mut().filter(|finding| finding.code == Code::NoUnit) {
        let Some(place) = &mut finding.place else { continue };
        let Some(text) = sources.get(&place.file) else { continue };
        let (number, rest) = (text.get(place.start..place.end), text.get(place.end..));
        let Some((number, rest)) = number.zip(rest) else { continue };
        let digits = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
        let Some(part) = rest.strip_prefix(',').filter(|part| digits(part)) else {
            continue;
        };
        let end = part.find([',', ']', '}', '\n', '#']).unwrap_or(part.len());
        let part = part.get(..end).unwrap_or(part).trim_end();
        let point = format!("{number}.{part}");
        if Quantity::read(&point).is_err() {
            continue;
        }
        // A comma ends a value there unless it stands in quotation marks.
        let meant = match comma {
            Comma::Decimal => format!("\"{number},{part}\""),
            Comma::Unfixed | Comma::Thousands => point,
        };
        place.end += 1 + part.len();
        whole.push(place.clone());
        finding.blanks.retain(|(name, _)| *name != "found");
        finding.blanks.push(("found", format!("{number},{part}")));
        finding.blanks.push(("meant", meant));
    }
    let inside = |finding: &Finding| {
        finding.place.as_ref().is_some_and(|place| {
            let other = |whole: &&crate::findings::Place| {
                whole.file == place.file
                    && whole.start < place.start
                    && place.end <= whole.end
            };
            whole.iter().any(|whole| other(&whole))
        })
    };
    found.retain(|finding| !inside(finding));
}
