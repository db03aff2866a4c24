//! What a thing's file may hold, as data: tables of fields, lists of words, groups to choose
//! from. Everything this room does, it does over these.

use super::item::Item;
use super::value::Value;
use crate::findings::Code;
use crate::quantity::Dimension;

/// The fields of a thing, or of a group within one.
#[derive(Debug)]
pub struct Table {
    /// Its name in the house, such as `Tank`; its [`Book`](super::Book) goes by it.
    pub name: &'static str,
    /// Fields in the order in which they are written.
    pub fields: &'static [Field],
}

impl Table {
    /// The field of that key, in this table or in one whose fields stand among its own.
    pub fn field(&self, key: &str) -> Option<&'static Field> {
        self.fields.iter().find_map(|field| match (field.need, field.kind) {
            (Need::Flat, kind) => kind.field(key),
            _ => (field.key == key).then_some(field),
        })
    }
}

impl Kind {
    /// The field of that key, where this is a group or one of several.
    pub fn field(self, key: &str) -> Option<&'static Field> {
        match self {
            Self::Group(table) => table().field(key),
            Self::OneOf(cases) => {
                cases().of.iter().find_map(|case| case.table.field(key))
            }
            _ => None,
        }
    }

    /// The key of the name by which others know such a group.
    pub fn own_key(self) -> Option<&'static str> {
        let Self::Group(table) = self else { return None };
        table().fields.iter().find_map(|field| match (field.need, field.kind) {
            (Need::Flat, kind) => kind.own_key(),
            (_, Self::Own(_)) => Some(field.key),
            _ => None,
        })
    }
}

/// Whether a field may be left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// It must be there.
    Must,
    /// It may be left out.
    May,
    /// It has no key of its own: its fields stand among those of the group around it.
    Flat,
    /// The program's own: it travels in what a table has written, and no author writes it.
    Carried,
}

/// How many values stand under a key.
#[derive(Debug, Clone, Copy)]
pub enum Layout {
    /// One.
    One,
    /// A list of them.
    List,
    /// A map whose keys are the author's.
    Map,
    /// A map whose keys are words of a list.
    MapOf(&'static WordList),
}

/// A closed list of words.
#[derive(Debug)]
pub struct WordList {
    /// Its name in the house, such as `FoamSide`.
    pub name: &'static str,
    /// The words, in the order in which they are told.
    pub words: &'static [&'static str],
}

/// Yes or no: files are YAML 1.2, in which these are words and no booleans.
pub static YES_NO: WordList = WordList { name: "YesNo", words: &["yes", "no"] };

/// What a single value is.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// A text.
    Text,
    /// A name of small letters, digits and hyphens.
    Name,
    /// The name by which others know this thing, and of what sort it is.
    Own(&'static str),
    /// The name of another thing of that sort.
    Refers(&'static str),
    /// A day of the calendar.
    Day,
    /// A day with hours and minutes.
    Moment,
    /// A whole number from 0 up.
    Whole,
    /// A word of a list.
    Word(&'static WordList),
    /// A quantity of a dimension, and how one is written.
    Quantity(Dimension, &'static str),
    /// A percent.
    Percent,
    /// A quantity of any dimension.
    Figure,
    /// A unit alone.
    Unit,
    /// A group of fields. A function, so that a group may hold groups of its own kind.
    Group(fn() -> &'static Table),
    /// One of several groups.
    OneOf(fn() -> &'static Cases),
    /// A spelling of its own.
    Spelled(&'static Spelled),
}

/// A spelling of its own, such as `10 % of expected`.
#[derive(Debug)]
pub struct Spelled {
    /// Its name in the house.
    pub name: &'static str,
    /// Reads it as it is written, and notes what is wrong with it. What comes back is written
    /// again as it is, and what [`Wire::take`](super::Wire::take) makes a value of.
    pub read: fn(Item<'_>) -> Option<Value>,
    /// The ways to write it, for a schema and for a reader.
    pub ways: &'static [Way],
}

/// One way to write a [`Spelled`] value.
#[derive(Debug)]
pub enum Way {
    /// A text of this pattern (ECMA 262, as JSON Schema has it), said in words.
    Text(&'static str, &'static str),
    /// A list of values like this one.
    ListOf(&'static Self),
    /// A map of values like this one.
    MapOf(&'static Self),
    /// The same spelling once more, inside.
    Again,
    /// In any way of another spelling.
    As(&'static Spelled),
    /// Whatever there is; it is read elsewhere.
    Anything,
    /// A group of fields.
    Group(fn() -> &'static Table),
}

/// Groups of which one is chosen.
#[derive(Debug)]
pub struct Cases {
    /// Its name in the house.
    pub name: &'static str,
    /// The field whose word chooses. Without one, the first group is chosen whose word is the
    /// key of a field that is there.
    pub by: Option<&'static str>,
    /// The groups; one without a word is chosen when no other is.
    pub of: &'static [Case],
}

/// One of several groups.
#[derive(Debug)]
pub struct Case {
    /// What chooses it; empty for the one that is left.
    pub word: &'static str,
    /// Its fields.
    pub table: &'static Table,
}

/// How many entries a list, or how large a number, and the finding when it is not.
#[derive(Debug, Clone, Copy)]
pub struct Bound {
    /// The bound itself is inside.
    pub at: usize,
    /// What is found otherwise.
    pub code: Code,
}

/// One field.
#[derive(Debug, Clone, Copy)]
pub struct Field {
    /// Key in files; empty for a flat one.
    pub key: &'static str,
    /// Whether it may be left out.
    pub need: Need,
    /// How many values.
    pub layout: Layout,
    /// What each value is.
    pub kind: Kind,
    /// What it is when it is left out. Written or not, that is the same thing.
    pub or: Option<&'static str>,
    /// The field of the same group that it is like when it is left out.
    pub like: Option<&'static str>,
    /// What is found when it is missing or says nothing, told at the name of its group.
    pub lacking: Option<Code>,
    /// At least so many entries.
    pub least: Option<Bound>,
    /// At most so many entries, or so large a number.
    pub most: Option<Bound>,
    /// The text that says that there is none, where that must be said.
    pub nothing: Option<&'static str>,
    /// The format in which it came.
    pub since: u32,
    /// Whether it tells and does not rule: no part of what a candidate is held to.
    pub prose: bool,
}

impl Field {
    /// The table of the group that it is.
    pub(super) fn group(&self) -> Option<&'static Table> {
        let Kind::Group(table) = self.kind else { return None };
        Some(table())
    }

    /// What its group must have, in a row; nothing for what is no group.
    pub(super) fn holds(&self) -> String {
        let Some(table) = self.group() else { return String::new() };
        let must = table.fields.iter().filter(|one| one.must());
        must.map(|one| one.key).collect::<Vec<_>>().join(", ")
    }

    /// A field with nothing special about it.
    pub const fn new(key: &'static str, need: Need, layout: Layout, kind: Kind) -> Self {
        Self {
            key,
            need,
            layout,
            kind,
            or: None,
            like: None,
            lacking: None,
            least: None,
            most: None,
            nothing: None,
            // The first format: a field that came later names its own.
            since: 1,
            prose: false,
        }
    }

    /// Whether a file without it has a fault; a list of one entry at least must be there too.
    pub fn must(&self) -> bool {
        self.need == Need::Must || self.need == Need::May && self.least.is_some()
    }
}

/// Kinds by the names that tables call them by.
///
/// The example of a quantity is told to whoever writes it without its unit, or with a wrong one.
pub mod kind {
    use super::Kind;
    use crate::quantity::Dimension;

    /// A name that is looked for elsewhere.
    pub const NAME: Kind = Kind::Name;
    /// A day.
    pub const DAY: Kind = Kind::Day;
    /// A day with hours and minutes.
    pub const MOMENT: Kind = Kind::Moment;
    /// A percent.
    pub const PERCENT: Kind = Kind::Percent;
    /// A unit.
    pub const UNIT: Kind = Kind::Unit;
    /// A unit, or the empty text for that of a bare number.
    pub const BARE_UNIT: Kind = Kind::Spelled(&super::super::spelled::BARE_UNIT);
    /// A text that is never a blank in a draft: without it what stands beside it means nothing.
    pub const SAID: Kind = Kind::Spelled(&super::super::spelled::SAID);
    /// A file of the folder, by its path. Never a blank in a draft: what stands there is needed.
    pub const FILE: Kind = Kind::Spelled(&super::super::spelled::FILE);
    /// What a tank holds.
    pub const VOLUME: Kind = Kind::Quantity(Dimension::VOLUME, "30 gal");
    /// What a container holds.
    pub const CONTENTS: Kind = Kind::Quantity(Dimension::VOLUME, "5 gal");
    /// Water, solution or concentrate by time.
    pub const FLOW: Kind = Kind::Quantity(Dimension::FLOW, "95 gpm");
    /// Free air by time.
    pub const AIR_FLOW: Kind = Kind::Quantity(Dimension::FLOW, "120 scfm");
    /// A pressure.
    pub const PRESSURE: Kind = Kind::Quantity(Dimension::PRESSURE, "100 psi");
    /// A friction coefficient of hose.
    pub const FRICTION: Kind =
        Kind::Quantity(Dimension::FRICTION, "15.5 psi/(100 gpm)^2/100 ft");
    /// A length of hose.
    pub const LENGTH: Kind = Kind::Quantity(Dimension::LENGTH, "200 ft");
    /// Inside diameter of a hose.
    pub const HOSE: Kind = Kind::Quantity(Dimension::LENGTH, "1.75 in");
    /// Inside diameter of a pipe.
    pub const BORE: Kind = Kind::Quantity(Dimension::LENGTH, "3 in");
    /// A density.
    pub const DENSITY: Kind = Kind::Quantity(Dimension::DENSITY, "8.5 lb/gal");
    /// A weight.
    pub const MASS: Kind = Kind::Quantity(Dimension::MASS, "2.5 lb");
    /// A lesson's time.
    pub const MINUTES: Kind = Kind::Quantity(Dimension::TIME, "45 min");
    /// A module's time.
    pub const HOURS: Kind = Kind::Quantity(Dimension::TIME, "6 h");
    /// What a watch showed.
    pub const WATCH: Kind = Kind::Quantity(Dimension::TIME, "55 s");
    /// A limit of time.
    pub const LIMIT: Kind = Kind::Quantity(Dimension::TIME, "60 s");

    /// The name by which others know this thing.
    pub const fn own(sort: &'static str) -> Kind {
        Kind::Own(sort)
    }

    /// The name of another thing.
    pub const fn refers(sort: &'static str) -> Kind {
        Kind::Refers(sort)
    }
}
