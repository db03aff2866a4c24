//! Short spellings that an author writes where a group of fields would be tiresome:
//! `rig.outlet.flow`, `10 % of expected`.

use std::collections::BTreeMap;

use crate::findings::{Code, Finding};
use crate::quantity::{Dimension, Kind as NumberKind, Quantity};
use crate::record;
use crate::wire::{Book, Item, Kind, Layout, Shape, Spelled, Value, Way, Wire, value};

/// Where a given of a formula gets its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Bind {
    /// Written by the author.
    Value(Quantity),
    /// A choice word of the formula, such as `solution`.
    Word(String),
    /// A figure of the rig in use: `rig.outlet.flow`, see [`super::Figures`].
    Rig(String),
    /// A reading of the day or a drawn value, by name.
    Named(String),
    /// Rows of a list given: column name to value, row after row.
    Rows(Vec<BTreeMap<String, Self>>),
}

/// A quantity, a word, `rig.NAME`, `day.NAME`, `draw.NAME`, or rows of them.
static BIND: Spelled = Spelled {
    name: "Bind",
    read: read_bind,
    ways: &[
        Way::Text("^rig\\.", "rig"),
        Way::Text("^day\\.", "day"),
        Way::Text("^draw\\.", "draw"),
        Way::Text(".", "quantity-or-word"),
        Way::ListOf(&Way::MapOf(&Way::Again)),
    ],
};

fn read_bind(item: Item<'_>) -> Option<Value> {
    if let Shape::List(_) = item.node.shape {
        let row = |row: Item<'_>| value(row, Layout::Map, Bind::KIND);
        return Some(Value::List(item.list().into_iter().map(row).collect()));
    }
    let text = item.text()?;
    let named = ["rig.", "day.", "draw."].iter().any(|name| text.starts_with(name));
    // A figure is told from a word by how it begins: a misspelled one is then refused
    // with its place, and not taken for a choice word that no formula has.
    let figure = text.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.');
    if named || !figure {
        return Some(Value::Text(text));
    }
    item.any_quantity().map(Value::Quantity)
}

impl Bind {
    /// Whether it is, or holds, a figure of the rig.
    pub(super) fn of_card(&self) -> bool {
        match self {
            Self::Rig(_) => true,
            Self::Rows(rows) => rows.iter().any(|row| row.values().any(Self::of_card)),
            Self::Value(_) | Self::Word(_) | Self::Named(_) => false,
        }
    }

    fn of_text(text: String) -> Self {
        if let Some(name) = text.strip_prefix("rig.") {
            return Self::Rig(name.to_owned());
        }
        let named =
            ["day.", "draw.", "card."].iter().find_map(|of| text.strip_prefix(of));
        if let Some(name) = named {
            return Self::Named(name.to_owned());
        }
        // What is neither name nor figure is a choice word: misspelled figures were
        // refused when the file was read.
        Quantity::read(&text).map_or(Self::Word(text), Self::Value)
    }
}

impl Wire for Bind {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&BIND);

    fn take(value: Value) -> Option<Self> {
        match value {
            Value::Quantity(quantity) => Some(Self::Value(quantity)),
            Value::Text(text) => Some(Self::of_text(text)),
            Value::List(_) => Vec::take(value).map(Self::Rows),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        match self {
            Self::Value(quantity) => Value::Quantity(*quantity),
            Self::Word(word) => Value::Text(word.clone()),
            Self::Rig(name) => Value::Text(format!("rig.{name}")),
            // A reading and a drawn value are both found by their name alone.
            Self::Named(name) => Value::Text(format!("day.{name}")),
            Self::Rows(rows) => rows.give_there(),
        }
    }
}

/// One side of a tolerance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Edge {
    /// So much in the unit of the value (a percent value: in points).
    Absolute(Quantity),
    /// A share of the expected value.
    Relative(Quantity),
    /// Any amount on this side is allowed.
    Open,
}

const OPEN: &str = "any";
const SHARE: &str = "of expected";

/// `0.1 %`, `10 % of expected`, `any`.
static EDGE: Spelled = Spelled {
    name: "Edge",
    read: read_edge,
    ways: &[
        Way::Text("^any$", "any"),
        Way::Text("%\\s*of expected$", "of-expected"),
        Way::Text("^[0-9.-]", "such"),
    ],
};

fn read_edge(item: Item<'_>) -> Option<Value> {
    let text = item.text()?;
    if text == OPEN {
        return Some(Value::Text(text));
    }
    // Asked before a bare figure: 10 % alone is ten points of a percent value, and a
    // tenth of the value only with these words.
    let Some(share) = text.strip_suffix(SHARE) else {
        return item.any_quantity().map(Value::Quantity);
    };
    let shape = Shape::Text(share.trim().to_owned());
    let node = crate::wire::Node { shape, ..item.node.clone() };
    let share = Item { node: &node, ..item }.percent()?;
    Some(Value::Text(format!("{share} {SHARE}")))
}

impl Wire for Edge {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&EDGE);

    fn take(value: Value) -> Option<Self> {
        let text = match value {
            Value::Quantity(quantity) => return Some(Self::Absolute(quantity)),
            Value::Text(text) => text,
            _ => return None,
        };
        if text == OPEN {
            return Some(Self::Open);
        }
        let share = Quantity::read(text.strip_suffix(SHARE)?.trim()).ok()?;
        (share.unit().kind == NumberKind::Share).then_some(Self::Relative(share))
    }

    fn give(&self) -> Value {
        match self {
            Self::Absolute(quantity) => Value::Quantity(*quantity),
            Self::Relative(share) => Value::Text(format!("{share} {SHARE}")),
            Self::Open => Value::Text(OPEN.to_owned()),
        }
    }
}

/// What the watch showed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimeTaken {
    /// From start event to stop event.
    pub taken: Quantity,
    /// Time held for delays that are not the candidate's; part of `taken`.
    pub held: Option<Quantity>,
}

record! {
    /// What the watch showed, as it is written.
    Watch {
        /// The time taken.
        taken: Option<Quantity> = may "taken" as WATCH, eg "55 s";
        /// What the watch showed at the start event.
        start: Option<Quantity> = may "start" as WATCH, eg "0 s";
        /// What it showed at the stop event.
        stop: Option<Quantity> = may "stop" as WATCH, eg "55 s";
        /// Time held for delays that are not the candidate's.
        held: Option<Quantity> = may "held" as WATCH, eg "5 s";
    }
}

/// The time taken, or what the watch showed at the start and at the stop.
static TIME_TAKEN: Spelled =
    Spelled { name: "TimeTaken", read: read_time, ways: &[Way::Group(Watch::table)] };

fn read_time(item: Item<'_>) -> Option<Value> {
    let fields = item.fields()?;
    let seconds = |item: Item<'_>| item.quantity(Dimension::TIME, "55 s");
    let held = fields.may("held").and_then(seconds);
    // One of the two is enough: who wrote only the start is asked for
    // the stop, and not for a time taken.
    if !fields.has("start") && !fields.has("stop") {
        let taken = fields.need("taken").and_then(seconds);
        fields.finish();
        return Some(TimeTaken { taken: taken?, held }.give());
    }
    let start = fields.need("start").and_then(seconds);
    let stop = fields.need("stop").and_then(seconds);
    fields.finish();
    let (start, stop) = start.zip(stop)?;
    // A watch cannot run backwards; below zero it would keep within every limit.
    if stop.base().compare(start.base()).is_lt() {
        let finding = Finding::at(Code::StopBeforeStart, fields.value("stop"));
        let finding = finding.with("start", start.printed());
        fields.note(finding.with("stop", stop.printed()));
        return None;
    }
    // The two may be written in different units, one in minutes and one in seconds.
    let from = start.in_unit(stop.unit())?.number();
    let taken = Quantity::new(stop.number().sub(from)?, stop.unit());
    Some(TimeTaken { taken, held }.give())
}

impl Wire for TimeTaken {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&TIME_TAKEN);

    fn take(value: Value) -> Option<Self> {
        let Value::Map(entries) = value else { return None };
        let named = |name: &str| {
            entries.iter().find_map(|(key, value)| match value {
                Value::Quantity(quantity) if key == name => Some(*quantity),
                _ => None,
            })
        };
        Some(Self { taken: named("taken")?, held: named("held") })
    }

    fn give(&self) -> Value {
        let taken = ("taken".to_owned(), Value::Quantity(self.taken));
        let held = self.held.map(|held| ("held".to_owned(), Value::Quantity(held)));
        Value::Map(std::iter::once(taken).chain(held).collect())
    }
}

/// Who holds a role: one name, or a list of them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Holders(pub Vec<String>);

static HOLDERS: Spelled = Spelled {
    name: "Holders",
    read: |item| match item.node.shape {
        Shape::List(_) => {
            Some(Value::List(item.ids().into_iter().map(Value::Text).collect()))
        }
        _ => item.id().map(Value::Text),
    },
    ways: &[Way::Text("^[a-z]", "person"), Way::ListOf(&Way::Again)],
};

impl Wire for Holders {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&HOLDERS);

    fn take(value: Value) -> Option<Self> {
        match value {
            Value::Text(one) => Some(Self(vec![one])),
            Value::List(_) => Vec::take(value).map(Self),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        match self.0.as_slice() {
            [one] => Value::Text(one.clone()),
            several => Value::List(several.iter().cloned().map(Value::Text).collect()),
        }
    }
}

/// In which order the steps were done. What is left out was not watched: silence is no
/// evidence.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum OrderSeen {
    /// Nobody watched the whole order.
    #[default]
    NotWatched,
    /// As the sheet has it.
    AsPrinted,
    /// Steps as they were done.
    Listed(Vec<String>),
}

const NOT_WATCHED: &str = "not watched";
const AS_PRINTED: &str = "as printed";

static ORDER_SEEN: Spelled = Spelled {
    name: "OrderSeen",
    read: |item| match &item.node.shape {
        Shape::List(_) => {
            Some(Value::List(item.ids().into_iter().map(Value::Text).collect()))
        }
        _ => {
            let words = [NOT_WATCHED, AS_PRINTED];
            item.word(&words.map(|word| (word, word)))
                .map(|word| Value::Text(word.into()))
        }
    },
    ways: &[
        Way::Text("^(not watched|as printed)$", "order"),
        Way::ListOf(&Way::Text("^[a-z]", "step")),
    ],
};

impl Wire for OrderSeen {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&ORDER_SEEN);

    fn take(value: Value) -> Option<Self> {
        match value {
            Value::Text(text) if text == AS_PRINTED => Some(Self::AsPrinted),
            Value::Text(text) if text == NOT_WATCHED => Some(Self::NotWatched),
            Value::List(_) => Vec::take(value).map(Self::Listed),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        match self {
            Self::NotWatched => Value::Text(NOT_WATCHED.to_owned()),
            Self::AsPrinted => Value::Text(AS_PRINTED.to_owned()),
            Self::Listed(steps) => {
                Value::List(steps.iter().cloned().map(Value::Text).collect())
            }
        }
    }
}

/// What a run sheet carries without being read here: its kit is proven and opened where kits
/// are, its log tells people how the sheet came about.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Carried;

static CARRIED: Spelled =
    Spelled { name: "Carried", read: |_| Some(Value::Nothing), ways: &[Way::Anything] };

impl Wire for Carried {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&CARRIED);

    fn take(_: Value) -> Option<Self> {
        Some(Self)
    }

    fn give(&self) -> Value {
        Value::Nothing
    }
}

/// Help of what these spellings hold.
pub(super) const BOOKS: &[Book] = &[Watch::BOOK];
