//! What stands between a file and a thing: values in the order of a table.

use crate::quantity::Quantity;

/// What a field says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Value {
    /// It is not there.
    Nothing,
    /// A text, a name, a date, a word, a unit.
    Text(String),
    /// A whole number.
    Whole(u32),
    /// A quantity.
    Quantity(Quantity),
    /// A list.
    List(Vec<Self>),
    /// A map with the author's keys.
    Map(Vec<(String, Self)>),
    /// A map whose order the author has chosen. It is written as a list of maps of one entry,
    /// because the fields of JSON have no order.
    Pairs(Vec<(String, Self)>),
    /// A group: one value for each field of its table, in its order.
    Group(Vec<Self>),
    /// One of several groups: the word that chose it, and its fields.
    Case(&'static str, Vec<Self>),
}

/// The fields of a group, one after the other.
#[derive(Debug)]
pub struct Taken(std::vec::IntoIter<Value>);

impl Taken {
    /// Those of a group.
    pub fn of(fields: Vec<Value>) -> Self {
        Self(fields.into_iter())
    }

    /// The next one; behind the last there is nothing.
    #[inline(never)]
    #[expect(clippy::should_implement_trait, reason = "it has no end")]
    pub fn next(&mut self) -> Value {
        self.0.next().unwrap_or(Value::Nothing)
    }
}
