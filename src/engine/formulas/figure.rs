//! The figure of one answer alone: no board, no slips, nothing printed.

use super::library::Library;
use super::worked::{Inputs, WorkFault};
use crate::quantity::{Number, System};

/// How the unit of a share is written.
const SHARE: &str = "%";

/// A figure, or why there is none, and whether it is a share.
type Figure = (Result<Number, WorkFault>, bool);

impl Library {
    /// The figure of an answer, by name or the principal one: the same that [`Library::work`] prints.
    /// Nothing where no answer has that name.
    pub fn figure(
        &self,
        id: &str,
        name: Option<&str>,
        (inputs, system): (&Inputs, System),
    ) -> Result<Option<Figure>, WorkFault> {
        let numbers = self.evaluate(id, inputs, system)?;
        let answers = self.formula(id).into_iter().flat_map(|own| &own.answers);
        let mut pairs = answers.zip(numbers);
        let asked = pairs.find(|(own, _)| name.is_none_or(|name| own.name == name));
        Ok(asked.map(|(own, number)| {
            let says = own.endless.as_ref().map_or("", |endless| endless.says.as_str());
            let none = || WorkFault::endless(&own.label, says);
            let shown = if system.is_metric() { own.shown_si } else { own.shown };
            // Of a clock the unit is written as minutes and seconds; without an end there is none.
            let share = !own.clock && number.is_some() && shown.unit().symbol == SHARE;
            (number.ok_or_else(none), share)
        }))
    }
}
