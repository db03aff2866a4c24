//! Figures that are answered in the units of the other system: converted they would stand on a card
//! as if somebody had read them off a plate.

use crate::findings::{Code, Finding, Place};
use crate::quantity::{Quantity, System};
use crate::wire::{Desk, Node, Shape};

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
