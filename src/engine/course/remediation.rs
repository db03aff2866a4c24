//! What was learned or practiced after a run that did not meet the standard.

use crate::record;
use crate::wire::{Book, Item, Kind, Layout, Shape, Spelled, Value, Way, Wire, read};

/// Remediation given or ordered. Without its day nobody can say that it lies between two runs,
/// and then it opens no retest (rule 30).
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Remediation {
    /// What was learned or practiced.
    pub what: String,
    /// Who gave it.
    pub by: Option<String>,
    /// ISO date on which it was given.
    pub on: Option<String>,
}

impl Remediation {
    /// Something without who and when.
    pub fn told(what: impl Into<String>) -> Self {
        Self { what: what.into(), by: None, on: None }
    }
}

record! {
    /// Remediation as it is written with who gave it and when.
    Remedy {
        /// What was learned or practiced.
        what: String = need "what", eg "The lesson on percent, and one walk-through.";
        /// Who gave it.
        by: Option<String> = may "by" as refers("person"), eg "rowan";
        /// Day on which it was given; it lies between the two runs.
        on: Option<String> = may "on" as DAY, eg "2026-11-16";
    }
}

static REMEDIATION: Spelled = Spelled {
    name: "Remediation",
    read: read_remediation,
    ways: &[Way::Text("\\S", "ordered"), Way::Group(Remedy::table)],
};

fn read_remediation(item: Item<'_>) -> Option<Value> {
    let told = match item.node.shape {
        Shape::Map(_) => {
            let Remedy { what, by, on } = read(item)?;
            Remediation { what, by, on }
        }
        _ => Remediation::told(item.text()?),
    };
    Some(told.give())
}

impl Wire for Remediation {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&REMEDIATION);

    fn take(value: Value) -> Option<Self> {
        let entries = match value {
            Value::Text(what) => return Some(Self::told(what)),
            Value::Map(entries) => entries,
            _ => return None,
        };
        let named = |name: &str| {
            entries.iter().find_map(|(key, value)| match value {
                Value::Text(text) if key == name => Some(text.clone()),
                _ => None,
            })
        };
        Some(Self { what: named("what")?, by: named("by"), on: named("on") })
    }

    fn give(&self) -> Value {
        let text = |text: &String| Value::Text(text.clone());
        // Without a person and a day it is what was ordered; it stays the
        // sentence that it was written as.
        if self.by.is_none() && self.on.is_none() {
            return text(&self.what);
        }
        let all = [
            ("what", Some(&self.what)),
            ("by", self.by.as_ref()),
            ("on", self.on.as_ref()),
        ];
        let there = all.into_iter().filter_map(|(key, said)| Some((key, said?)));
        Value::Map(there.map(|(key, said)| (key.to_owned(), text(said))).collect())
    }
}

/// Help of what it holds.
pub(super) const BOOKS: &[Book] = &[Remedy::BOOK];
