//! A board as it is read aloud. Programs that read pages pass over √, ² and the bar of a size, and
//! say "in" for inches; so each line has its text in words beside the printed one.

use crate::formulas::BoardLine;
use crate::quantity::{Fraction, Kind, Quantity, UNITS, Unit};

/// Signs that a line read aloud may hold beside letters and digits: every reader of pages says
/// them, or makes the pause that they stand for.
pub const SIGNS: &str = " .,;:()=+×/'-";

/// A line of a board in words.
pub fn line(line: &BoardLine) -> String {
    let relation = if line.relation == "=" { "=" } else { "= about" };
    format!(
        "{} = {} = {} {relation} {}",
        spoken(&line.label, true),
        spoken(&line.words, true),
        spoken(&line.numbers, true),
        spoken(&line.result, false)
    )
}

/// A text of a board; a percent in a `sum` is what it is worked with, a hundredth.
pub fn spoken(text: &str, sum: bool) -> String {
    let mut out = String::with_capacity(text.len() * 2);
    let mut rest = text;
    while let Some(sign) = rest.chars().next() {
        let after = rest.get(sign.len_utf8()..).unwrap_or_default();
        if sign == '\u{a0}'
            && let Some((unit, behind)) = unit_at(after)
        {
            put_unit(&mut out, unit, sum);
            rest = behind;
            continue;
        }
        rest = after;
        match sign {
            '\u{a0}' | '\u{202f}' => out.push(' '),
            '÷' => out.push_str("divided by"),
            '−' => minus(&mut out, rest),
            '²' => out.push_str(" squared"),
            '³' => out.push_str(" cubed"),
            '√' => out.push_str("square root of "),
            '^' => out.push_str(" to the power of "),
            '≈' => out.push_str("about"),
            '≤' => out.push_str("at most"),
            '≥' => out.push_str("at least"),
            '<' => out.push_str("below"),
            '>' => out.push_str("above"),
            '%' => out.push_str("percent"),
            '–' | '—' => out.push('-'),
            '·' => out.push(';'),
            '°' => out.push_str("degrees "),
            '’' => out.push('\''),
            // The size of what stands between two bars.
            '|' if rest.contains('|') => out.push_str("size of ("),
            '|' => out.push(')'),
            sign => out.push(sign),
        }
    }
    out
}

/// A minus between two things is said as one; before a number it belongs to it.
fn minus(out: &mut String, rest: &str) {
    let word = if rest.starts_with(' ') { "minus" } else { "minus " };
    out.push_str(word);
}

/// The unit at the beginning of a text, and what stands behind it: the longest that fits.
fn unit_at(text: &str) -> Option<(&'static Unit, &str)> {
    let fits = UNITS.iter().filter(|unit| unit.kind != Kind::Plain).filter_map(|unit| {
        let printed = printed(unit);
        let behind = text.strip_prefix(printed.as_str())?;
        // "m" is not the beginning of "min".
        let ends =
            !behind.starts_with(|c: char| c.is_alphanumeric() || "²³/".contains(c));
        ends.then_some((printed.len(), unit, behind))
    });
    let (_, unit, behind) = fits.max_by_key(|(length, ..)| *length)?;
    Some((unit, behind))
}

fn printed(unit: &'static Unit) -> String {
    Quantity::new(Fraction::ONE, unit).unit_printed()
}

fn put_unit(out: &mut String, unit: &'static Unit, sum: bool) {
    if unit.kind == Kind::Share {
        if !sum {
            out.push_str(" percent");
            return;
        }
        // What is divided by a percent is divided by the whole of it.
        let number = out.rfind([' ', '(']).map_or(0, |at| at + 1);
        let divides =
            out.get(..number).is_some_and(|ahead| ahead.ends_with("divided by "));
        if divides {
            out.insert(number, '(');
            out.push_str(" / 100)");
        } else {
            out.push_str(" / 100");
        }
        return;
    }
    out.push(' ');
    let printed = printed(unit);
    // gpm and psi are said as they stand; one letter, or one that means something else, is not.
    let plain = printed.chars().all(|c| c.is_ascii_alphabetic());
    if plain && printed.len() > 1 && printed != "in" {
        out.push_str(&printed);
    } else {
        out.push_str(&name(unit));
    }
}

/// How a unit is said in full: what is printed with a sign says its sign in words.
fn name(unit: &'static Unit) -> String {
    let letter = |c: char| match c {
        '(' | ')' | '^' => ' ',
        c => c,
    };
    unit.name.chars().map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_and_units_are_said() {
        let n = '\u{a0}';
        for (text, sum, says) in [
            (format!("0.5{n}% × 125{n}gpm"), true, "0.5 / 100 × 125 gpm"),
            (format!("3{n}gpm ÷ 0.5{n}%"), true, "3 gpm divided by (0.5 / 100)"),
            (format!("0.625{n}gpm"), false, "0.625 gpm"),
            (format!("2.91{n}%"), false, "2.91 percent"),
            (
                format!("(1.75{n}in)² − 2{n}in"),
                true,
                "(1.75 inches) squared minus 2 inches",
            ),
            (
                format!("√(50) × −3{n}ft²"),
                true,
                "square root of (50) × minus 3 square feet",
            ),
            ("|2 − 5|^2".to_owned(), true, "size of (2 minus 5) to the power of 2"),
            (format!("10{n}min ≈ 5{n}m"), true, "10 min about 5 metres"),
            (format!("68{n}°F"), false, "68 degrees Fahrenheit on the scale"),
        ] {
            assert_eq!(spoken(&text, sum), says);
        }
    }
}
