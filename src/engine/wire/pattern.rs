//! Patterns of the plain kinds (ECMA 262, as JSON Schema has it). Each lets through all that
//! the reader takes, and little else.

use crate::quantity::{Dimension, Kind, UNITS, Unit, spellings};

/// A name: as [`Item::id`](super::Item::id) takes it.
pub(super) const NAME: &str = "^\\s*[a-z]([a-z0-9-]*[a-z0-9])?\\s*$";
/// The name of something else: as [`Item::refers`](super::Item::refers) takes it.
pub(super) const REFERENCE: &str =
    "^\\s*[a-z]([a-z0-9-]*[a-z0-9])?(@[a-z]([a-z0-9-]*[a-z0-9])?)?\\s*$";
/// A day: the calendar itself is beyond a pattern.
pub(super) const DAY: &str =
    "^\\s*[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])\\s*$";
/// A day with hours and minutes; leading zeros may be missing.
pub(super) const MOMENT: &str =
    "^\\s*[0-9]{1,4}-[0-9]{1,2}-[0-9]{1,2} \\s*[0-9]{1,2}:[0-9]{1,2}\\s*$";
/// A whole number in quotes.
pub(super) const WHOLE: &str = "^\\s*\\+?[0-9]+\\s*$";

/// A number: decimal, or in fractions of an inch's rule (`1 3/4`).
/// Thousands may be set apart; what a comma means only the module can say.
const NUMBER: &str = "([-−]?([0-9]+([.,][0-9]+)?|\\.[0-9]+|[0-9]{1,3}([ \u{a0}\u{202f}\u{2009}',.][0-9]{3})+([.,][0-9]+)?)|([0-9]+[- ])?[0-9]+/[0-9]+)";

/// A quantity of a dimension, and whether it has a unit in any case.
pub(super) fn quantity(dimension: Dimension) -> (String, bool) {
    let plain = dimension == Dimension::NONE;
    // Among what has no dimension a percent is no plain number.
    let of = |unit: &&'static Unit| {
        unit.dimension == dimension && (!plain || unit.kind == Kind::Plain)
    };
    (figures(UNITS.iter().filter(of)), !plain)
}

/// A percent.
pub(super) fn percent() -> String {
    figures(UNITS.iter().filter(|unit| unit.kind == Kind::Share))
}

/// Any quantity, a plain number too.
pub(super) fn figure() -> String {
    figures(UNITS.iter())
}

/// A unit's symbol alone; other spellings stand only behind a number.
pub(super) fn unit() -> String {
    let named = UNITS.iter().filter(|unit| !unit.symbol.is_empty());
    let symbols: Vec<String> = named.map(|unit| literal(unit.symbol)).collect();
    format!("^\\s*({})\\s*$", symbols.join("|"))
}

fn figures(units: impl Iterator<Item = &'static Unit>) -> String {
    let symbols: Vec<String> = units.flat_map(spellings).map(signs).collect();
    format!("^\\s*{NUMBER}\\s*({})\\s*$", symbols.join("|"))
}

/// A unit with its powers and slashes as anybody writes them: `ft2`, `ft²`, `ft^2`.
fn signs(symbol: &str) -> String {
    let sign = |c: char| match c {
        '2' => "\\^?[2²]".to_owned(),
        '3' => "\\^?[3³]".to_owned(),
        '/' => "[/·*]".to_owned(),
        // What says nothing in a unit of friction coefficients; the 2 brings its own sign.
        '^' => String::new(),
        '(' | ')' => format!("\\{c}?"),
        ' ' => "[ \u{a0}]?".to_owned(),
        other => literal(other.encode_utf8(&mut [0; 4])),
    };
    symbol.chars().map(sign).collect()
}

fn literal(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        // No more than these: where patterns are read as Unicode, a backslash
        // before any other letter is a fault.
        if "\\^$.|?*+()[]{}".contains(c) {
            out.push('\\');
        }
        out.push(c);
    }
    out
}
