//! Formulas and tables as an author writes them.

use std::collections::BTreeMap;

use super::answers::{Answer, Slip, Verdict};
use super::example::ExampleGiven;
use super::means::Means;
use super::sourced::{Constant, Published, SourceRef};
use super::worked::Inputs;
use crate::quantity::{Direction, Quantity, System};
use crate::wire::{Book, Entry, Item, Kind, Layout, Spelled, Value, Way, Wire, WordList};
use crate::{cases, record, words};

/// What a given is when nothing is said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fallback {
    /// A figure of the formula's own.
    Figure(Quantity),
    /// A contested constant.
    Constant {
        /// Its short name.
        name: String,
        /// Its value, once a library knows it.
        value: Option<Quantity>,
    },
}

static FALLBACK: Spelled = Spelled {
    name: "Fallback",
    read: |item: Item<'_>| match item.node.text() {
        // No name begins with a digit, so that its first letter tells the two apart.
        Some(name) if is_name(name) => Some(Value::Text(name.to_owned())),
        _ => item.any_quantity().map(Value::Quantity),
    },
    ways: &[Way::Text("^[a-z]", "constant"), Way::Text("^[0-9.-]", "quantity")],
};

/// Whether a default is the name of a constant and no figure.
fn is_name(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
}

impl Wire for Fallback {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Spelled(&FALLBACK);

    fn take(value: Value) -> Option<Self> {
        match value {
            Value::Quantity(quantity) => Some(Self::Figure(quantity)),
            Value::Text(name) => Some(Self::Constant { name, value: None }),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        match self {
            Self::Figure(quantity) => Value::Quantity(*quantity),
            Self::Constant { name, .. } => Value::Text(name.clone()),
        }
    }
}

impl Fallback {
    /// The quantity, as far as it is known.
    pub const fn value(&self) -> Option<Quantity> {
        match self {
            Self::Figure(quantity) => Some(*quantity),
            Self::Constant { value, .. } => *value,
        }
    }

    /// The constant that it is.
    pub fn constant(&self) -> Option<&str> {
        match self {
            Self::Figure(_) => None,
            Self::Constant { name, .. } => Some(name),
        }
    }
}

cases! {
    /// What a given is.
    GivenKind {
        /// A quantity of the unit's dimension.
        "" Number {
            /// Unit that is shown; in a metric module that of si, where it stands. Nothing between quotation marks for a bare number.
            unit: String = need "unit" as BARE_UNIT, eg "gpm";
            /// Unit shown in metric modules.
            unit_si: String = may "unit-si" as BARE_UNIT, like "unit", eg "L/min";
            /// Least value for which the formula holds.
            least: Quantity = need "least", eg "10 gpm";
            /// Largest such value.
            most: Quantity = need "most", eg "2000 gpm";
            /// Value when none is given, or the constant that it is.
            default: Option<Fallback> = may "default", eg "eductor-share";
        },
        /// One of some words.
        "words" Choice {
            /// The words.
            words: Vec<String> = need "words", eg "[solution, water]";
        },
        /// Rows of columns, 1 to 50 of them.
        "columns" List {
            /// The columns; each is a number.
            columns: Vec<Given> = need "columns";
        },
    }
}

record! {
    /// Something that must be known first.
    Given {
        /// Name in the lines.
        name: String = need "given" as own("given"), eg "flow";
        /// Name in words.
        label: String = need "label", prose, eg "solution flow";
        /// What it stands for, where a figure of the same dimension would give another answer.
        means: Option<Means> = may "means", prose, eg "solution-flow";
        /// What it is.
        kind: GivenKind = flat;
        /// Its default in metric modules, where another figure is the usual one there.
        default_si: Option<Fallback> = may "default-si", eg "20 m";
    }
}

record! {
    /// A line `name = value` and how its result is shown.
    WorkLine {
        /// The line.
        text: String = need "line", eg "foam = percent * flow";
        /// Its name in words.
        label: String = need "label", prose, eg "concentrate flow";
        /// Step and unit of the result; in a metric module those of si, where it stands.
        shown: Quantity = need "shown", eg "0.01 gpm";
        /// The same in metric modules.
        shown_si: Quantity = may "shown-si", like "shown", eg "0.1 L/min";
        /// Whether it may be below zero.
        signed: bool = may "signed", or "no", eg "yes";
    }
}

static ROUNDING: WordList =
    WordList { name: "Direction", words: &["near", "down", "up"] };

/// The directions belong to quantities, which know no files; their help stands here.
const ROUNDINGS: Book = Book {
    name: "Direction",
    about: "Which way an answer is rounded.",
    entries: &[
        Entry { key: "near", help: "To the nearest step.", eg: None },
        Entry { key: "down", help: "Down: where more would be unsafe.", eg: None },
        Entry { key: "up", help: "Up: where less would be unsafe.", eg: None },
    ],
};

impl Wire for Direction {
    const LAYOUT: Layout = Layout::One;
    const KIND: Kind = Kind::Word(&ROUNDING);

    fn take(value: Value) -> Option<Self> {
        match String::take(value)?.as_str() {
            "near" => Some(Self::Near),
            "down" => Some(Self::Down),
            "up" => Some(Self::Up),
            _ => None,
        }
    }

    fn give(&self) -> Value {
        let word = match self {
            Self::Near => "near",
            Self::Down => "down",
            Self::Up => "up",
        };
        Value::Text(word.to_owned())
    }
}

record! {
    /// One formula.
    Formula {
        /// Short name.
        id: String = need "formula" as own("formula"), eg "concentrate-flow";
        /// Name as it is printed.
        title: String = need "title", prose, eg "Concentrate flow";
        /// Family, whose page it stands on.
        family: String = need "family", prose, eg "proportioning";
        /// What a percent in it is a percent of, in words; left out where there is none.
        basis: Option<String> = may "basis", prose, eg "percent of solution";
        /// Whether it is in the library only, never on a drill sheet.
        library_only: bool = may "library-only", or "no", eg "yes";
        /// Whether it is on no page for crews: at a pump panel its figure would read as a permission.
        officers_only: bool = may "officers-only", or "no", prose, eg "yes";
        /// The units of the modules that it holds for; left out where it holds for both.
        only: Option<System> = may "only", eg "us";
        /// What a module in the other units uses in its place.
        instead: Option<String> = may "instead", prose, eg "Take the metric coefficient.";
        /// Givens.
        givens: Vec<Given> = need "givens";
        /// Work.
        work: Vec<WorkLine> = need "work";
        /// Metric work, where the handbook's constants differ.
        work_si: Vec<WorkLine> = may "work-si";
        /// Answers, the first the principal one.
        answers: Vec<Answer> = need "answers";
        /// Verdicts.
        verdicts: Vec<Verdict> = may "verdicts";
        /// Slips.
        slips: Vec<Slip> = need "slips", prose;
        /// For what it holds, and what happens outside.
        range: String = need "range", prose, eg "Between 40 gpm and 2000 gpm.";
        /// Sources.
        sources: Vec<SourceRef> = need "sources", prose;
        /// Figures to show it with.
        example: Vec<(String, ExampleGiven)> = may "example", prose, eg "{percent: 0.5 %}";
    }
}

impl Formula {
    /// The givens of the example, with a rig's figures where there are some.
    pub fn example(
        &self,
        system: System,
        figures: &BTreeMap<String, Quantity>,
    ) -> Inputs {
        let given = |(name, given): &(String, ExampleGiven)| {
            (name.clone(), given.input(system, figures))
        };
        self.example.iter().map(given).collect()
    }

    /// All that it rests on: its sources, and those of the limits of its answers.
    pub fn rests_on(&self) -> impl Iterator<Item = &SourceRef> {
        // A limit refuses a figure as a range does, so it owes its source as well.
        let limits = self.answers.iter().flat_map(|answer| &answer.sense);
        self.sources.iter().chain(limits.map(|limit| &limit.source))
    }

    /// Contested constants that stand in for a given without a value.
    pub fn defaults(&self, system: System) -> impl Iterator<Item = (&Given, &str)> {
        self.givens
            .iter()
            .filter_map(move |given| Some((given, given.default_in(system)?.constant()?)))
    }

    /// Whether it holds in modules of these units.
    pub fn holds_in(&self, system: System) -> bool {
        system.has(self.only)
    }

    /// Gives each default that is a constant its value.
    pub(super) fn stand_in(&mut self, constants: &[Constant]) {
        self.givens.iter_mut().for_each(|given| given.stand_in(constants));
    }

    /// As its author wrote it, without the example: what travels in a kit.
    pub(super) fn bare(&self) -> Self {
        let mut bare = Self { example: Vec::new(), ..self.clone() };
        // Constants travel beside it; a value that stood here
        // too could differ from theirs.
        bare.stand_in(&[]);
        bare
    }
}

impl Given {
    /// What it is in a module of these units when nothing is said.
    pub const fn default_in(&self, system: System) -> Option<&Fallback> {
        match (&self.default_si, &self.kind, system) {
            (Some(metric), _, System::Si | System::SiBar) => Some(metric),
            (_, GivenKind::Number { default, .. }, _) => default.as_ref(),
            _ => None,
        }
    }
}

impl Fallback {
    fn stand_in(&mut self, constants: &[Constant]) {
        if let Self::Constant { name, value } = self {
            let found = constants.iter().find(|constant| constant.id == *name);
            *value = found.map(|constant| constant.value);
        }
    }
}

impl Given {
    fn stand_in(&mut self, constants: &[Constant]) {
        match &mut self.kind {
            GivenKind::Number { default, .. } => {
                // Both, since the units of the module are not known here.
                let both = default.iter_mut().chain(&mut self.default_si);
                both.for_each(|default| default.stand_in(constants));
            }
            GivenKind::List { columns } => {
                for column in columns {
                    column.stand_in(constants);
                }
            }
            GivenKind::Choice { .. } => {}
        }
    }
}

words! {
    /// How a table is read.
    TableRule {
        /// The row must be there.
        "exact" Exact,
        /// The last row not above the value.
        "step" Step,
        /// Linear between two rows.
        "between" Between,
    }
}

cases! {
    /// A key column.
    TableKey {
        /// Words.
        "" Choice {
            /// Name.
            name: String = need "key" as NAME, eg "hose";
        },
        /// Numbers of a unit.
        "unit" Number {
            /// Name.
            name: String = need "key" as NAME, eg "bore";
            /// Unit.
            unit: String = need "unit" as UNIT, eg "in";
        },
    }
}

record! {
    /// One row.
    Row {
        /// Keys in the order of the columns: words or quantities.
        keys: Vec<String> = need "keys", eg "[1.75 in]";
        /// Value.
        value: Quantity = need "value", eg "15.5 psi";
        /// Where it comes from.
        source: SourceRef = flat, prose;
        /// Other published values.
        others: Vec<Published> = may "others", prose;
    }
}

record! {
    /// A cited table.
    Table {
        /// Short name, called like a function.
        id: String = need "table" as own("table"), eg "hose-coefficient";
        /// Name as it is printed.
        title: String = need "title", prose, eg "Hose coefficients";
        /// Key columns, at most one numeric and that one last.
        keys: Vec<TableKey> = need "keys";
        /// How it is read.
        rule: TableRule = need "rule", eg "exact";
        /// The units of the modules that it is for; left out where it is for both.
        only: Option<System> = may "only", eg "us";
        /// Rows.
        rows: Vec<Row> = need "rows";
    }
}

/// Help of formulas and tables.
pub(super) const BOOKS: &[Book] = &[
    Formula::BOOK,
    Given::BOOK,
    WorkLine::BOOK,
    ROUNDINGS,
    Table::BOOK,
    Row::BOOK,
    TableRule::BOOK,
];
