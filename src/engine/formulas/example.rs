//! The figures that a formula or a curve is shown with.

use std::collections::BTreeMap;

use super::worked::Input;
use crate::quantity::Quantity;
use crate::quantity::System;
use crate::record;
use crate::wire::{
    Book, Item, Kind, Layout, Shape, Spelled, Value, Way, Wire, read, value,
};

record! {
    /// A value that is another one in metric modules, or that a rig gives.
    Figure {
        /// The value; in a metric module that of si, where it stands.
        us: Quantity = need "value", eg "125 gpm";
        /// The value in metric modules; the same when it is left out.
        si: Quantity = may "si", like "value", eg "475 L/min";
        /// The rig's figure that takes its place where a rig has it.
        figure: Option<String> = may "rig", eg "outlet.flow";
    }
}

/// A [`Figure`] that is written as one quantity where it is nothing but that.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FigureShown(pub Figure);

static FIGURE_SHOWN: Spelled = Spelled {
    name: "FigureShown",
    read: read_figure,
    ways: &[Way::Text("^[0-9.-]", "quantity"), Way::Group(Figure::table)],
};

fn read_figure(item: Item<'_>) -> Option<Value> {
    if !matches!(item.node.shape, Shape::Map(_)) {
        return item.any_quantity().map(Value::Quantity);
    }
    read(item).map(|figure| FigureShown(figure).give())
}

impl Wire for FigureShown {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&FIGURE_SHOWN);

    fn take(value: Value) -> Option<Self> {
        let entries = match value {
            Value::Quantity(us) => {
                return Some(Self(Figure { us, si: us, figure: None }));
            }
            Value::Map(entries) => entries,
            _ => return None,
        };
        let (mut us, mut si, mut figure) = (None, None, None);
        for (key, value) in entries {
            match (key.as_str(), value) {
                ("value", Value::Quantity(quantity)) => us = Some(quantity),
                ("si", Value::Quantity(quantity)) => si = Some(quantity),
                ("rig", Value::Text(name)) => figure = Some(name),
                _ => return None,
            }
        }
        Some(Self(Figure { us: us?, si: si.or(us)?, figure }))
    }

    fn give(&self) -> Value {
        let Figure { us, si, figure } = &self.0;
        // In the shortest spelling, or one value would have two canonical forms.
        if us == si && figure.is_none() {
            return Value::Quantity(*us);
        }
        let mut entries = vec![("value".to_owned(), Value::Quantity(*us))];
        if us != si {
            entries.push(("si".to_owned(), Value::Quantity(*si)));
        }
        let named =
            figure.iter().map(|name| ("rig".to_owned(), Value::Text(name.clone())));
        entries.extend(named);
        Value::Map(entries)
    }
}

/// What a given is in an example.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ExampleGiven {
    /// A quantity.
    Number(Figure),
    /// A choice word of the formula.
    Word(String),
    /// Rows of a list given: column name to value, row after row.
    Rows(Vec<BTreeMap<String, Figure>>),
}

static EXAMPLE_GIVEN: Spelled = Spelled {
    name: "ExampleGiven",
    read: read_given,
    ways: &[
        Way::Text(".", "quantity-or-word"),
        Way::Group(Figure::table),
        Way::ListOf(&Way::MapOf(&Way::As(&FIGURE_SHOWN))),
    ],
};

fn read_given(item: Item<'_>) -> Option<Value> {
    match item.node.shape {
        Shape::List(_) => {
            let rows = item.list().into_iter().map(read_row);
            rows.collect::<Option<_>>().map(Value::List)
        }
        Shape::Map(_) => read_figure(item),
        _ => {
            let text = item.text()?;
            let figure =
                text.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.');
            // What begins like a figure is told as a bad figure,
            // and not taken for a word.
            if !figure && Quantity::read(&text).is_err() {
                return Some(Value::Text(text));
            }
            read_figure(item)
        }
    }
}

/// One row; none when one of its values cannot be read, for a row without it is another one.
fn read_row(row: Item<'_>) -> Option<Value> {
    let written = match &row.node.shape {
        Shape::Map(columns) => columns.len(),
        _ => 0,
    };
    match value(row, Layout::Map, FigureShown::KIND) {
        Value::Map(columns) if columns.len() == written => Some(Value::Map(columns)),
        _ => None,
    }
}

type Row = BTreeMap<String, FigureShown>;

impl Wire for ExampleGiven {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&EXAMPLE_GIVEN);

    fn take(value: Value) -> Option<Self> {
        match value {
            Value::Text(word) => Some(Self::Word(word)),
            Value::List(rows) => {
                let row = |row| {
                    let row = Row::take(row)?.into_iter();
                    Some(row.map(|(column, shown)| (column, shown.0)).collect())
                };
                rows.into_iter().map(row).collect::<Option<_>>().map(Self::Rows)
            }
            value => FigureShown::take(value).map(|shown| Self::Number(shown.0)),
        }
    }

    fn give(&self) -> Value {
        match self {
            Self::Number(figure) => FigureShown(figure.clone()).give(),
            Self::Word(word) => Value::Text(word.clone()),
            Self::Rows(rows) => {
                let cell = |(column, figure): (&String, &Figure)| {
                    (column.clone(), FigureShown(figure.clone()).give())
                };
                let row = |row: &BTreeMap<String, Figure>| {
                    Value::Map(row.iter().map(cell).collect())
                };
                Value::List(rows.iter().map(row).collect())
            }
        }
    }
}

impl Figure {
    /// The value in a module of these units.
    pub const fn plain(&self, system: System) -> Quantity {
        match system {
            System::Us => self.us,
            System::Si | System::SiBar => self.si,
        }
    }

    /// The rig's figure where it has one, else the value.
    pub fn on(&self, system: System, figures: &BTreeMap<String, Quantity>) -> Quantity {
        let own = self.figure.as_ref().and_then(|name| figures.get(name));
        own.copied().unwrap_or_else(|| self.plain(system))
    }
}

impl ExampleGiven {
    /// What the formula gets, with a rig's figures where there are some.
    pub fn input(&self, system: System, figures: &BTreeMap<String, Quantity>) -> Input {
        match self {
            Self::Number(figure) => Input::Number(figure.on(system, figures)),
            Self::Word(word) => Input::Word(word.clone()),
            Self::Rows(rows) => {
                let cell = |(column, figure): (&String, &Figure)| {
                    (column.clone(), figure.plain(system))
                };
                Input::Rows(
                    rows.iter().map(|row| row.iter().map(cell).collect()).collect(),
                )
            }
        }
    }

    /// The rig's figure that may take its place.
    pub fn figure(&self) -> Option<&String> {
        match self {
            Self::Number(figure) => figure.figure.as_ref(),
            _ => None,
        }
    }
}

/// Help of the values of an example.
pub(super) const BOOKS: &[Book] = &[Figure::BOOK];
