//! A number as it is typed into a field of a run: on a live sheet and in a walk.

use crate::quantity::{Comma, Quantity, TypedFault, Wanted, find, typed};

/// Why the text of a number field says no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NoNumber {
    /// It is none.
    None,
    /// Its sign may set the thousands apart or be the decimal one.
    TwoReadings,
}

/// A number as it was written, with the unit of its field where none was written: read as on a
/// paper or in practice.
pub(super) fn number(text: &str, unit: &str, comma: Comma) -> Result<Quantity, NoNumber> {
    let unit = find(unit).ok_or(NoNumber::None)?;
    match typed(text, Wanted { unit, clock: false }, comma) {
        Ok((number, _)) if number.other.is_some() && !number.settled => {
            Err(NoNumber::TwoReadings)
        }
        Ok((number, unit)) => Ok(Quantity::new(number.value, unit)),
        // What measures something else is told as such when the sheet is judged.
        Err(TypedFault::WrongDimension(_)) => {
            Quantity::read(text).ok().ok_or(NoNumber::None)
        }
        Err(_) => Err(NoNumber::None),
    }
}
