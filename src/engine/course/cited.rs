//! What rests on a source: everything that names one in its text. Formulas, tables and constants
//! hold the name themselves.

/// Something that names a source of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cited {
    /// The source, by id.
    pub source: String,
    /// What names it.
    pub by: CitedBy,
}

/// What can name a source.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CitedBy {
    /// A caution, by id.
    Caution(String),
    /// An act that is unsafe in every drill, by id.
    UnsafeAct(String),
    /// A critical: drill and id.
    Critical(String, String),
    /// A measured value: drill and id.
    Measure(String, String),
    /// The time standard of a drill.
    Time(String),
    /// The pass mark of the module.
    PassMark,
}
