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
            *text = figure_written(text).into_owned();
        }
    }
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
