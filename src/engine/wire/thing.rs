//! How the plain types of a thing become values and come back.
//!
//! What stands in many fields is never written into each of them by the compiler, and goes by plain
//! loops: a page fetches all of it over a radio network.

use std::collections::BTreeMap;

use super::table::{Kind, Layout, YES_NO};
use super::value::Value;
use crate::quantity::Quantity;
use crate::words::Words;

/// What can stand in a field: its kind, and the way between it and a [`Value`].
pub trait Wire: Sized {
    /// How many values it is.
    const LAYOUT: Layout;
    /// What each of them is; a table may be more exact.
    const KIND: Kind;

    /// The thing itself. Nothing, when a part is missing without which it is none; entries of
    /// a list for which that holds are left out, and the fault has been told.
    fn take(value: Value) -> Option<Self>;

    /// Its value; an empty list is nothing.
    fn give(&self) -> Value;

    /// Its value where it is known to be there: an empty list is an empty list.
    fn give_there(&self) -> Value {
        self.give()
    }
}

impl Wire for String {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Text;

    #[inline(never)]
    fn take(value: Value) -> Option<Self> {
        match value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        Value::Text(self.clone())
    }
}

impl Wire for bool {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Word(&YES_NO);

    #[inline(never)]
    fn take(value: Value) -> Option<Self> {
        match value {
            // The reader lets no other word through than these two.
            Value::Text(text) => Some(text == "yes"),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        Value::Text(if *self { "yes" } else { "no" }.to_owned())
    }
}

impl Wire for u32 {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Whole;

    fn take(value: Value) -> Option<Self> {
        match value {
            Value::Whole(number) => Some(number),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        Value::Whole(*self)
    }
}

impl Wire for usize {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Whole;

    fn take(value: Value) -> Option<Self> {
        u32::take(value).and_then(|number| Self::try_from(number).ok())
    }

    fn give(&self) -> Value {
        u32::try_from(*self).map_or(Value::Nothing, Value::Whole)
    }
}

impl Wire for Quantity {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Figure;

    #[inline(never)]
    fn take(value: Value) -> Option<Self> {
        match value {
            Value::Quantity(quantity) => Some(quantity),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        Value::Quantity(*self)
    }
}

impl<T: Wire> Wire for Option<T> {
    const LAYOUT: Layout = T::LAYOUT;
    const KIND: Kind = T::KIND;

    #[inline(never)]
    fn take(value: Value) -> Option<Self> {
        Some(if matches!(value, Value::Nothing) { None } else { T::take(value) })
    }

    fn give(&self) -> Value {
        // An empty list that is there is another answer than none at all.
        self.as_ref().map_or(Value::Nothing, Wire::give_there)
    }
}

impl<T: Wire> Wire for Box<T> {
    const LAYOUT: Layout = T::LAYOUT;
    const KIND: Kind = T::KIND;

    fn take(value: Value) -> Option<Self> {
        T::take(value).map(Self::new)
    }

    fn give(&self) -> Value {
        (**self).give()
    }
}

impl<T: Wire> Wire for Vec<T> {
    const LAYOUT: Layout = Layout::List;
    const KIND: Kind = T::KIND;

    #[inline(never)]
    fn take(value: Value) -> Option<Self> {
        let items = match value {
            Value::List(items) => items,
            Value::Nothing => Vec::new(),
            _ => return None,
        };
        let mut taken = Self::with_capacity(items.len());
        for item in items {
            // One that cannot be made is left out, and not the list
            // with it: its fault has been told.
            if let Some(item) = T::take(item) {
                taken.push(item);
            }
        }
        Some(taken)
    }

    fn give(&self) -> Value {
        if self.is_empty() { Value::Nothing } else { self.give_there() }
    }

    #[inline(never)]
    fn give_there(&self) -> Value {
        Value::List(self.iter().map(Wire::give).collect())
    }
}

fn entries(value: Value) -> Option<Vec<(String, Value)>> {
    match value {
        Value::Map(entries) => Some(entries),
        Value::Nothing => Some(Vec::new()),
        _ => None,
    }
}

/// What can be the key of a map.
pub trait MapKey: Ord + Sized {
    /// A map of the author's keys, or of the words of a list.
    const LAYOUT: Layout;

    /// The key of that text.
    fn of_text(text: String) -> Option<Self>;

    /// As it is written.
    fn text(&self) -> String;
}

impl MapKey for String {
    const LAYOUT: Layout = Layout::Map;

    fn of_text(text: String) -> Option<Self> {
        Some(text)
    }

    fn text(&self) -> String {
        self.clone()
    }
}

impl<K: MapKey, T: Wire> Wire for BTreeMap<K, T> {
    const LAYOUT: Layout = K::LAYOUT;
    const KIND: Kind = T::KIND;

    #[inline(never)]
    fn take(value: Value) -> Option<Self> {
        let mut taken = Self::new();
        for (key, value) in entries(value)? {
            if let (Some(key), Some(value)) = (K::of_text(key), T::take(value)) {
                taken.insert(key, value);
            }
        }
        Some(taken)
    }

    fn give(&self) -> Value {
        if self.is_empty() { Value::Nothing } else { self.give_there() }
    }

    #[inline(never)]
    fn give_there(&self) -> Value {
        Value::Map(self.iter().map(|(key, value)| (key.text(), value.give())).collect())
    }
}

/// A map that keeps the author's order.
impl<T: Wire> Wire for Vec<(String, T)> {
    const LAYOUT: Layout = Layout::Map;
    const KIND: Kind = T::KIND;

    #[inline(never)]
    fn take(value: Value) -> Option<Self> {
        let entries = match value {
            Value::Pairs(entries) => entries,
            other => entries(other)?,
        };
        let mut taken = Self::with_capacity(entries.len());
        for (key, value) in entries {
            if let Some(value) = T::take(value) {
                taken.push((key, value));
            }
        }
        Some(taken)
    }

    fn give(&self) -> Value {
        if self.is_empty() { Value::Nothing } else { self.give_there() }
    }

    fn give_there(&self) -> Value {
        let entry = |(key, value): &(String, T)| (key.clone(), value.give());
        Value::Pairs(self.iter().map(entry).collect())
    }
}

impl Wire for Words {
    const LAYOUT: Layout = Layout::Map;
    const KIND: Kind = Kind::Text;

    #[inline(never)]
    fn take(value: Value) -> Option<Self> {
        BTreeMap::take(value).map(Self::new)
    }

    fn give(&self) -> Value {
        let entry = |key: &str| (key.to_owned(), Value::Text(self.get(key)));
        Value::Map(self.keys().map(entry).collect())
    }
}
