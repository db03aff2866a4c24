//! The language in which a department writes its arithmetic, and the working on the board.
//!
//! A formula is data: givens, lines of work, answers, verdicts, slips. It is checked for
//! dimensions when the module is compiled, and computed in exact fractions. No figure of the
//! trade stands in this room's code; they stand in `content/trade`.
//!
//! ```text
//! text ─(lexer, parser)─► tree ─(check)─► typed tree ─(eval)─► value
//!                                             └─(board)─► words, numbers, result
//! ```
//!
//! To add a formula: write it in `content/trade/formulas`; no code changes.

mod lexer;
mod tree;
mod parser;
mod fault;
mod source;
mod sourced;
mod spoken;
mod example;
mod answers;
mod means;
mod data;
mod types;
mod call;
mod check;
mod eval;
mod printed;
mod board;
mod again;
mod inner;
mod compile;
mod owes;
mod library;
mod reach;
mod worked;
mod print;
mod bind;
mod adding;
mod limits;
mod closing;
mod work;
mod figure;

/// The units a result is shown in.
pub use crate::quantity::System;
pub use answers::{Answer, Endless, Sense, Slip, SlipKind, Verdict};
pub use data::{
    Fallback, Formula, Given, GivenKind, Row, Table, TableKey, TableRule, WorkLine,
};
pub use example::{ExampleGiven, Figure, FigureShown};
pub use fault::{Fault, FaultKind, Part};
pub use library::{Condition, Library};
pub use means::Means;
pub use reach::Reach;
pub use source::{Citation, Source, SourceKind, cite, named_in};
pub use sourced::{Constant, ConstantChoice, Published, SourceRef, Status};
pub use spoken::{BOARD_WORDS, unit_name};
pub use worked::{
    BoardLine, Input, Inputs, Tried, UsedConstant, WorkFault, Worked, WorkedAnswer,
    WorkedGiven, WorkedSlip,
};

/// The help of all that formulas, tables, constants and sources hold.
pub const BOOKS: [&[crate::wire::Book]; 9] = [
    data::BOOKS,
    answers::BOOKS,
    GivenKind::BOOKS,
    TableKey::BOOKS,
    example::BOOKS,
    sourced::BOOKS,
    reach::REACH,
    means::MEANS,
    source::BOOKS,
];
