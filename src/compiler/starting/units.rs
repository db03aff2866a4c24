//! Figures that are answered in the units of the other system: converted they would stand on a card
//! as if somebody had read them off a plate.

use crate::findings::{Code, Finding, Place};
use crate::quantity::{Comma, Quantity, System};
use crate::wire::{Desk, Node, Shape};

/// A point before exactly three digits, as in `2.900 L`: a department that writes a decimal comma means
/// thousands by it, and a reader of points takes it for three.
fn apart(text: &str) -> bool {
    let Some((whole, rest)) = text.trim().split_once('.') else { return false };
    let digits =
        |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let end = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
    let unit = rest.get(end..).is_some_and(|unit| unit.starts_with(' '));
    // Less than one is written with a nought, and a nought sets no thousands apart.
    digits(whole) && whole.len() <= 3 && !whole.starts_with('0') && end == 3 && unit
}

/// Notes each of them, with what it would be.
pub(super) fn check(desk: &Desk, file: &str, node: &Node, system: System) {
    match &node.shape {
        Shape::Map(fields) => {
            for (_, value) in fields {
                check(desk, file, value, system);
            }
        }
        Shape::List(items) => {
            for item in items {
                check(desk, file, item, system);
            }
        }
        Shape::Text(text) => {
            // Before it is read, because it can be read: as a
            // little less than three liters.
            if desk.comma.get() == Comma::Decimal && apart(text) {
                let place =
                    Place { file: file.to_owned(), start: node.start, end: node.end };
                // The reader itself asked about some of them.
                let asked = |finding: &Finding| {
                    let here = finding.place.as_ref() == Some(&place);
                    here && finding.code == Code::CommaUnclear
                };
                if desk.findings.borrow().iter().any(asked) {
                    return;
                }
                let finding =
                    Finding::at(Code::CommaUnclear, place).with("found", text.clone());
                let plain = text.replacen('.', "", 1);
                desk.note(
                    finding
                        .with("plain", plain)
                        .with("example", "0.5 %")
                        .with("field", ""),
                );
                return;
            }
            let read = Quantity::read_with(text, desk.comma.get()).ok();
            let other = read.filter(|own| system.instead_of(own.unit()).is_some());
            if let Some(other) = other {
                let place =
                    Place { file: file.to_owned(), start: node.start, end: node.end };
                let own = match system {
                    System::Us => "us",
                    System::Si => "si",
                    System::SiBar => "si-bar",
                };
                let finding =
                    Finding::at(Code::OtherUnits, place).with("found", text.clone());
                let example = system.example(&other).to_string();
                desk.note(finding.with("example", example).with("units", own));
            }
        }
        Shape::Nothing => {}
    }
}
