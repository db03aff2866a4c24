//! A decimal comma inside of braces or brackets, where a comma parts values: `{from: 0,1 %}` is read as
//! a nought and a field called `1 %`, and both would be told as faults of their own.

use std::ops::Range;

use crate::wire::{Node, Shape};

/// The first figure that a comma of a list cut in two, by its bytes.
pub(super) fn figure(text: &str, node: &Node) -> Option<Range<usize>> {
    match &node.shape {
        Shape::Map(fields) => {
            let pairs = fields.iter().zip(fields.iter().skip(1));
            let cut =
                |((_, value), (key, none)): (&(_, Node), &(crate::wire::Key, Node))| {
                    let own = none.shape == Shape::Nothing;
                    joined(text, value, key.start..key.end).filter(|_| own)
                };
            let mut cuts = pairs.map(cut);
            let here = cuts.find_map(|cut| cut);
            here.or_else(|| fields.iter().find_map(|(_, value)| figure(text, value)))
        }
        Shape::List(items) => {
            let pairs = items.iter().zip(items.iter().skip(1));
            let mut cuts =
                pairs.map(|(value, next)| joined(text, value, next.start..next.end));
            let here = cuts.find_map(|cut| cut);
            here.or_else(|| items.iter().find_map(|item| figure(text, item)))
        }
        Shape::Text(_) | Shape::Nothing => None,
    }
}

/// Digits, a comma, and right behind it digits with a unit: nobody writes two values so.
fn joined(text: &str, value: &Node, next: Range<usize>) -> Option<Range<usize>> {
    let digits =
        |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let before = text.get(value.start..value.end)?;
    let after = text.get(next.clone())?;
    let (number, unit) = after.trim_end().split_once(' ')?;
    let cut = digits(before)
        && digits(number)
        && !unit.is_empty()
        && text.get(value.end..next.start) == Some(",");
    cut.then(|| value.start..next.start + after.trim_end().len())
}

#[cfg(test)]
mod tests {
    use crate::authoring::Trees;
    use crate::findings::Code;

    #[test]
    fn a_figure_in_two_parts_is_told_as_one() {
        for (text, found) in [
            ("a: {from: 0,1 %, to: 1 %}", "0,1 %"),
            ("a: {from: 1 %, to: 10,5 L/min}", "10,5 L/min"),
            ("a: [0,3 %, 1 %]", "0,3 %"),
            ("a:\n- {b: [2 %, 1,02 kg/L]}", "1,02 kg/L"),
        ] {
            let fault = Trees::one("x.yaml", text).unwrap_err();
            assert_eq!(fault.code, Code::CommaParts, "{text}");
            let place = fault.place.unwrap();
            assert_eq!(text.get(place.start..place.end), Some(found));
        }
    }

    #[test]
    fn lists_of_values_are_none() {
        for text in [
            "a: [1,2,3]",
            "a: [1, 2 %]",
            "a: {b: 1, c: 2 %}",
            "a: [3 %,6 %]",
            "a: {b: \"0,1 %\", c: 1}",
            "a: 0,1 %",
            "a: [one,2 two]",
        ] {
            assert!(Trees::one("x.yaml", text).is_ok(), "{text}");
        }
    }
}
