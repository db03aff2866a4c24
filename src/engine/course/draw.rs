//! Where the drawn values of a question come from.

use crate::findings::Code;
use crate::quantity::Quantity;
use crate::wire::{Book, Item, Kind, Layout, Spelled, Value, Way, Wire, read};
use crate::{cases, record};

record! {
    /// A range with a step, in one unit; drawn as a whole number of steps.
    // In whole steps, so that no drawn value has digits that no panel shows.
    Spread {
        /// Least value.
        from: Quantity = need "from", eg "60 gpm";
        /// Largest value.
        to: Quantity = need "to", eg "250 gpm";
        /// Step.
        step: Quantity = need "step", eg "5 gpm";
    }
}

/// Where a drawn value comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Draw {
    /// Any step of a range.
    Spread(Spread),
    /// One of a list.
    Of(Vec<Quantity>),
    /// One of a list of words, for a choice given of a formula.
    Words(Vec<String>),
    /// One foam line of the rig, with its own hose, length, flow and nozzle: names
    /// `line.flow`, `line.length`, `line.hose` … become drawn values, and `{line}` its title.
    FoamLineOf(String),
}

cases! {
    /// A list of values, or a range of them.
    Pool {
        /// One of a list.
        "of" Of(
            /// The values.
            values: Listed = need "of", eg "[0.5 %, 1 %]"
        ),
        /// Any step of a range.
        "" Spread(
            /// The range.
            spread: Spread = flat
        ),
    }
}

record! {
    /// Drawn values as they are written.
    Drawn {
        /// Those of metric modules, when they are others.
        si: Option<Pool> = may "si", eg "{from: 220 L/min, to: 960 L/min, step: 20 L/min}";
        /// Those of all other modules.
        us: Option<Pool> = flat;
    }
}

/// A list that is drawn from: of quantities, or of words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed(Draw);

static LISTED: Spelled = Spelled {
    name: "Listed",
    read: read_list,
    ways: &[Way::ListOf(&Way::Text(".", "or-each"))],
};

/// Words where nothing else is in it: among quantities a word is a figure that is misspelled.
#[expect(clippy::unnecessary_wraps, reason = "the form of every reader of a spelling")]
fn read_list(item: Item<'_>) -> Option<Value> {
    let items = item.list();
    let word = |item: &Item<'_>| {
        let text = item.node.text().unwrap_or_default();
        text.starts_with(|c: char| c.is_alphabetic())
    };
    let words = items.iter().all(word);
    let one = |item: Item<'_>| {
        if words {
            return item.text().map(Value::Text);
        }
        item.any_quantity().map(Value::Quantity)
    };
    Some(Value::List(items.into_iter().filter_map(one).collect()))
}

impl Wire for Listed {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&LISTED);

    fn take(value: Value) -> Option<Self> {
        let Value::List(items) = value else { return None };
        let words = items.iter().all(|item| matches!(item, Value::Text(_)));
        let items = Value::List(items);
        Some(Self(if words {
            Draw::Words(Wire::take(items)?)
        } else {
            Draw::Of(Wire::take(items)?)
        }))
    }

    fn give(&self) -> Value {
        match &self.0 {
            Draw::Of(values) => values.give_there(),
            Draw::Words(words) => words.give_there(),
            Draw::Spread(_) | Draw::FoamLineOf(_) => Value::Nothing,
        }
    }
}

/// `foam line of RIG`, a range with a step, or `of` a list; `si` holds the metric ones.
static DRAW: Spelled = Spelled {
    name: "Draw",
    read: read_draw,
    ways: &[Way::Text("^foam line of ", "foam-line"), Way::Group(Drawn::table)],
};

const LINE: &str = "foam line of ";

fn read_draw(item: Item<'_>) -> Option<Value> {
    if let Some(text) = item.node.text() {
        if text.starts_with(LINE) {
            return Some(Value::Text(text.to_owned()));
        }
        let wanted = "a range (from, to, step), a list (of), or: foam line of RIG";
        let finding = item.fault(Code::WrongType).with("found", "a text");
        item.desk.note(finding.with("wanted", wanted).with("field", item.name));
        return None;
    }
    let Drawn { si, us } = read(item)?;
    // Values that are the same in both systems, as percents are, stand there once. The
    // other way nothing falls back: a module of gallons never draws liters.
    let drawn = if item.desk.system().is_metric() { si.or(us) } else { us };
    Some(
        match drawn? {
            Pool::Of(Listed(draw)) => draw,
            Pool::Spread(spread) => Draw::Spread(spread),
        }
        .give(),
    )
}

impl Wire for Draw {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&DRAW);

    fn take(value: Value) -> Option<Self> {
        let entries = match value {
            Value::Text(text) => {
                let rig = text.strip_prefix(LINE)?.trim();
                return Some(Self::FoamLineOf(rig.to_owned()));
            }
            Value::Map(entries) => entries,
            _ => return None,
        };
        let mut ends = Vec::new();
        for (key, value) in entries {
            match (key.as_str(), value) {
                ("of", list) => return Listed::take(list).map(|listed| listed.0),
                (_, end) => ends.push(end),
            }
        }
        Spread::take(Value::Group(ends)).map(Self::Spread)
    }

    fn give(&self) -> Value {
        let entry = |key: &str, value| (key.to_owned(), value);
        match self {
            Self::Spread(spread) => Value::Map(vec![
                entry("from", spread.from.give()),
                entry("to", spread.to.give()),
                entry("step", spread.step.give()),
            ]),
            Self::Of(_) | Self::Words(_) => {
                Value::Map(vec![entry("of", Listed(self.clone()).give())])
            }
            Self::FoamLineOf(rig) => Value::Text(format!("{LINE}{rig}")),
        }
    }
}

/// Help of what is drawn.
pub(super) const BOOKS: &[Book] = &[Spread::BOOK, Drawn::BOOK];
