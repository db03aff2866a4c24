//! How a department writes its figures, as files say it. The choices themselves belong to
//! quantities, which know no files.

use crate::quantity::{Comma, System};
use crate::wire::{Book, Entry, Kind, Layout, Value, Wire, WordList};

// kPa and bar are two systems and no preference of a page: one module never mixes them.
static UNITS: WordList = WordList { name: "System", words: &["us", "si", "si-bar"] };

impl Wire for System {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Word(&UNITS);

    fn take(value: Value) -> Option<Self> {
        match String::take(value)?.as_str() {
            "us" => Some(Self::Us),
            "si" => Some(Self::Si),
            "si-bar" => Some(Self::SiBar),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        let word = match self {
            Self::Us => "us",
            Self::Si => "si",
            Self::SiBar => "si-bar",
        };
        Value::Text(word.to_owned())
    }
}

static COMMAS: WordList = WordList { name: "Comma", words: &["decimal", "thousands"] };

/// That nobody says what a comma means has no word: it is left out.
impl Wire for Comma {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Word(&COMMAS);

    fn take(value: Value) -> Option<Self> {
        let Value::Text(text) = value else { return Some(Self::Unfixed) };
        match text.as_str() {
            "decimal" => Some(Self::Decimal),
            "thousands" => Some(Self::Thousands),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        match self {
            Self::Unfixed => Value::Nothing,
            Self::Decimal => Value::Text("decimal".to_owned()),
            Self::Thousands => Value::Text("thousands".to_owned()),
        }
    }
}

/// Help of these choices.
pub(super) const BOOKS: &[Book] = &[
    Book {
        name: "System",
        about: "The units that figures are shown in.",
        entries: &[
            Entry {
                key: "us",
                help: "US customary units: gallons, psi, feet.",
                eg: None,
            },
            Entry {
                key: "si",
                help: "Metric units: litres, metres, pressures in kPa.",
                eg: None,
            },
            Entry {
                key: "si-bar",
                help: "Metric units: litres, metres, pressures in bar.",
                eg: None,
            },
        ],
    },
    Book {
        name: "Comma",
        about: "What a comma before three digits means.",
        entries: &[
            Entry { key: "decimal", help: "1,234 is one and a bit.", eg: None },
            Entry { key: "thousands", help: "1,234 is more than a thousand.", eg: None },
        ],
    },
];
