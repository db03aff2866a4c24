//! Exact numbers, dimensions, units, days; reading "95 gpm" and printing it.
//!
//! Numbers are fractions of 128-bit integers as long as a value has an exact one, so that a
//! total of 4.25 gal is shown as 4.3 by the same rule that people use on paper. This room
//! knows no formula, no YAML and no person, and it has no clock.

mod bars;
mod day;
mod dimension;
mod fraction;
mod habit;
mod written;
mod prose;
mod number;
mod marks;
mod numeral;
mod read;
mod said;
mod show;
mod typed;
mod examples;
mod system;
mod unit;
mod spelling;

pub use day::{Day, Moment};
pub use dimension::{Dimension, Kind};
pub use fraction::Fraction;
pub use habit::{Comma, System};
pub use number::{Number, NumberFault};
pub use numeral::{Numeral, numeral, plain};
pub use prose::{figure_written, prose_written};
pub use read::{Quantity, ReadFault};
pub use said::{NamedUnit, named_units};
pub use show::{Direction, Shown, minutes_seconds, show};
pub use spelling::{spelled, spellings};
pub use typed::{TypedFault, Wanted, typed, unit_of};
pub use unit::{UNITS, Unit, find, friction_of, nearest};
pub use written::{Writing, decimal_mark, thousands_mark, written};
