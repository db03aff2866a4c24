//! Which sign a printed number has before its decimals: that of the module whose figures are
//! printed.
//!
//! Whatever enters the house for a module says so with [`Writing`], and all numbers that are printed
//! while it stands are written as the department writes them. It is a habit of a whole page and of
//! nothing less: handed through every call that ends in a printed figure, one forgotten call would
//! print `0.5` beside `0,5`. What is read, hashed, stored or compared never passes through here.

use std::cell::Cell;

use super::habit::Comma;

thread_local! {
    /// Of this thread alone: pages are made side by side, and each says its own.
    static COMMA: Cell<bool> = const { Cell::new(false) };
}

/// Numbers are written as a module writes them until it is dropped; then as before.
#[derive(Debug)]
#[must_use = "numbers are written so only while it stands"]
pub struct Writing {
    before: bool,
}

impl Writing {
    /// As a module writes that means this by a comma.
    pub fn of(comma: Comma) -> Self {
        Self { before: COMMA.replace(comma == Comma::Decimal) }
    }

    /// With a point, whatever the module writes: for what must not change with it.
    pub fn plain() -> Self {
        Self::of(Comma::Unfixed)
    }
}

impl Drop for Writing {
    fn drop(&mut self) {
        COMMA.set(self.before);
    }
}

/// The sign before the decimals.
pub fn decimal_mark() -> char {
    if COMMA.get() { ',' } else { '.' }
}

/// The sign between thousands. A point between them would be the decimal one to half of the
/// readers of a comma, so they stand apart by a narrow blank that does not break.
pub const fn thousands_mark(decimal: char) -> char {
    if decimal == ',' { '\u{202f}' } else { ',' }
}

/// A plain decimal number, `-1234.5`, with the sign of the module.
pub fn written(plain: &str) -> String {
    match decimal_mark() {
        '.' => plain.to_owned(),
        mark => {
            let (whole, part) = plain.split_once('.').unwrap_or((plain, ""));
            join(whole, part, mark)
        }
    }
}

/// Whole part and decimals with a sign between them.
pub(super) fn join(whole: &str, part: &str, mark: char) -> String {
    // 1,250 is more than a thousand to whoever reads it: three decimals of which the last says
    // nothing are not written behind a comma.
    let short = whole.trim_start_matches(['-', '−']);
    let doubtful = mark == ','
        // Thousands are set apart by three: with more or fewer digits nobody would read them so.
        && part.len() == 3
        // More than three before it cannot be the thousands of such a number.
        && (1..=3).contains(&short.len())
        && !short.starts_with('0');
    let part = match part.strip_suffix('0') {
        Some(shorter) if doubtful => shorter,
        _ => part,
    };
    if part.is_empty() { whole.to_owned() } else { format!("{whole}{mark}{part}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Direction, Fraction, Number, Quantity, show};

    fn shown(value: &str, step: &str) -> String {
        let read = |text| Fraction::read(text).unwrap();
        show(Number::Exact(read(value)), read(step), Direction::Near).unwrap().text
    }

    #[test]
    fn numbers_have_the_sign_of_the_module_while_it_is_printed() {
        let texts =
            || [shown("0.5", "0.1"), shown("12345.5", "0.1"), shown("-2.5", "0.01")];
        assert_eq!(texts(), ["0.5", "12,345.5", "−2.50"]);
        {
            let _comma = Writing::of(Comma::Decimal);
            assert_eq!(texts(), ["0,5", "12\u{202f}345,5", "−2,50"]);
            assert_eq!(Quantity::read("0.5 %").unwrap().printed(), "0,5\u{a0}%");
            // What is hashed and stored stays.
            assert_eq!(Quantity::read("0.5 %").unwrap().to_string(), "0.5 %");
            {
                let _point = Writing::of(Comma::Thousands);
                assert_eq!(shown("0.5", "0.1"), "0.5");
            }
            assert_eq!(shown("0.5", "0.1"), "0,5");
        }
        assert_eq!(texts(), ["0.5", "12,345.5", "−2.50"]);
    }

    /// Whatever is printed with a comma is read back as what it was, by the one reader of files and
    /// by the one of typed answers; and nothing of it is a thousand to anybody.
    #[test]
    fn what_is_printed_with_a_comma_is_read_as_it_was() {
        let _comma = Writing::of(Comma::Decimal);
        let steps = ["1", "0.5", "0.1", "0.05", "0.01", "0.001", "0.0001", "5", "100"];
        for step in steps {
            for count in (0_i128..2500).chain([99_999, 123_456, 1_234_567, 25_000_000]) {
                let step = Fraction::read(step).unwrap();
                let value = step.mul(Fraction::whole(count)).unwrap();
                let near = Direction::Near;
                let text =
                    show(Number::Exact(value), step, near).unwrap().with_unit("gpm");
                let read = Quantity::read_with(&text, Comma::Decimal);
                assert_eq!(read.map(|read| read.number()), Ok(value), "{text}");
                let unit = crate::quantity::find("gpm").unwrap();
                let wanted = crate::quantity::Wanted { unit, clock: false };
                let (typed, _) =
                    crate::quantity::typed(&text, wanted, Comma::Decimal).unwrap();
                assert_eq!((typed.value, typed.settled), (value, true), "{text}");
                let printed = Quantity::new(value, unit).printed();
                let read = Quantity::read_with(&printed, Comma::Decimal);
                assert_eq!(read.map(|read| read.number()), Ok(value), "{printed}");
            }
        }
    }
}
