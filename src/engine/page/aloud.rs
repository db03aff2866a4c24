//! A board as it is read aloud. Programs that read pages pass over √, ² and the bar of a size, and
//! say "in" for inches; so each line has its text in words beside the printed one.

use crate::formulas::{BoardLine, unit_name};
use crate::quantity::{Fraction, Kind, Quantity, UNITS, Unit};
use crate::words::Words;

/// Signs that a line read aloud may hold beside letters and digits: every reader of pages says
/// them, or makes the pause that they stand for.
pub const SIGNS: &str = " .,;:()=+×/'-";

/// A line of a board in words.
pub fn line(line: &BoardLine, words: &Words) -> String {
    let about = || format!("= {}", words.get("aloud.about"));
    let relation = if line.relation == "=" { "=".to_owned() } else { about() };
    format!(
        "{} = {} = {} {relation} {}",
        spoken(&line.label, true, words),
        spoken(&line.words, true, words),
        spoken(&line.numbers, true, words),
        // A result is said as it is printed; only in a sum is a percent a hundredth.
        spoken(&line.result, false, words)
    )
}

/// A text of a board; a percent in a `sum` is what it is worked with, a hundredth.
pub fn spoken(text: &str, sum: bool, words: &Words) -> String {
    // words: aloud.{say(..)}
    let say = |key: &str| words.get(&format!("aloud.{key}"));
    let mut out = String::with_capacity(text.len() * 2);
    let mut rest = text;
    while let Some(sign) = rest.chars().next() {
        let after = rest.get(sign.len_utf8()..).unwrap_or_default();
        if sign == '\u{a0}'
            && let Some((unit, behind)) = unit_at(after)
        {
            put_unit(&mut out, unit, sum, words);
            rest = behind;
            continue;
        }
        rest = after;
        match sign {
            '\u{a0}' | '\u{202f}' => out.push(' '),
            '÷' => out.push_str(&say("divided-by")),
            '−' if rest.starts_with(' ') => out.push_str(&say("minus")),
            // A minus between two things is said as one; before a number it belongs to it.
            '−' => out.push_str(&format!("{} ", say("minus"))),
            '²' => out.push_str(&format!(" {}", say("squared"))),
            '³' => out.push_str(&format!(" {}", say("cubed"))),
            '√' => out.push_str(&format!("{} ", say("root"))),
            '^' => out.push_str(&format!(" {} ", say("power"))),
            '≈' => out.push_str(&say("about")),
            '≤' => out.push_str(&say("at-most")),
            '≥' => out.push_str(&say("at-least")),
            '<' => out.push_str(&say("below")),
            '>' => out.push_str(&say("above")),
            '%' => out.push_str(&say("percent")),
            '–' | '—' => out.push('-'),
            '·' => out.push(';'),
            '°' => out.push_str(&format!("{} ", say("degrees"))),
            '’' => out.push('\''),
            // The size of what stands between two bars.
            '|' if rest.contains('|') => out.push_str(&format!("{} (", say("size"))),
            '|' => out.push(')'),
            sign => out.push(sign),
        }
    }
    out
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

fn put_unit(out: &mut String, unit: &'static Unit, sum: bool, words: &Words) {
    if unit.kind == Kind::Share {
        if !sum {
            out.push_str(&format!(" {}", words.get("aloud.percent")));
            return;
        }
        // What is divided by a percent is divided by the whole of it.
        let number = out.rfind([' ', '(']).map_or(0, |at| at + 1);
        let divides = out.get(..number).is_some_and(|ahead| {
            ahead.trim_end().ends_with(&words.get("aloud.divided-by"))
        });
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
        out.push_str(&name(unit, words));
    }
}

/// How a unit is said in full: what is printed with a sign says its sign in words.
fn name(unit: &'static Unit, words: &Words) -> String {
    let letter = |c: char| match c {
        '(' | ')' | '^' => ' ',
        c => c,
    };
    unit_name(unit, words).chars().map(letter).collect()
}
