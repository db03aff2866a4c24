//! How a department writes its figures, as files say it. The choices themselves belong to
//! quantities, which know no files.

use crate::quantity::System;
use crate::wire::{Book, Entry, Kind, Layout, Value, Wire, WordList};

static UNITS: WordList = WordList { name: "System", words: &["us", "si"] };

impl Wire for System {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Word(&UNITS);

    fn take(value: Value) -> Option<Self> {
        match String::take(value)?.as_str() {
            "us" => Some(Self::Us),
            "si" => Some(Self::Si),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        let word = match self {
            Self::Us => "us",
            Self::Si => "si",
        };
        Value::Text(word.to_owned())
    }
}

/// Help of these choices.
pub(super) const BOOKS: &[Book] = &[Book {
    name: "System",
    about: "The units that figures are shown in.",
    entries: &[
        Entry { key: "us", help: "US customary units: gallons, psi, feet.", eg: None },
        Entry { key: "si", help: "Metric units: litres, kilopascals, metres.", eg: None },
    ],
}];
