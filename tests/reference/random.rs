//! Random inputs for any formula: values of two or three figures over the whole of its
//! ranges, in the unit of a system or in any other unit of the dimension.

use std::collections::BTreeMap;

use drillwright::formulas::{Formula, Given, GivenKind, Input, Inputs, Library, System};
use drillwright::quantity::{self, Fraction, Number, Quantity, Unit};
use drillwright::quiz::Chance;

/// Which units the values are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Written {
    /// In the unit the board shows.
    AsShown,
    /// In any unit of the dimension.
    InAny,
}

/// Where the random inputs of one formula come from.
pub(super) struct Draws<'d> {
    pub(super) library: &'d Library,
    pub(super) formula: &'d Formula,
    pub(super) system: System,
    pub(super) written: Written,
    chance: Chance,
}

impl<'d> Draws<'d> {
    pub(super) fn new(
        library: &'d Library,
        formula: &'d Formula,
        system: System,
        written: Written,
    ) -> Self {
        let chance =
            Chance::of(&["inputs", &formula.id, &format!("{system:?} {written:?}")]);
        Self { library, formula, system, written, chance }
    }

    /// The next inputs for which the formula has an answer; nothing after 2,000 vain tries.
    pub(super) fn sound(&mut self) -> Option<Inputs> {
        (0..2_000).find_map(|_| {
            let inputs = self.any();
            let worked = self.library.evaluate(&self.formula.id, &inputs, self.system);
            worked.is_ok().then_some(inputs)
        })
    }

    /// Inputs within the ranges, each for itself.
    pub(super) fn any(&mut self) -> Inputs {
        let formula = self.formula;
        formula
            .givens
            .iter()
            .map(|given| (given.name.clone(), self.input(given)))
            .collect()
    }

    fn input(&mut self, given: &Given) -> Input {
        match &given.kind {
            GivenKind::Number { .. } => Input::Number(self.quantity(given)),
            GivenKind::Choice { words } => {
                Input::Word(words[self.chance.place(words.len())].clone())
            }
            GivenKind::List { columns } => {
                let rows = 1 + self.chance.place(5);
                let mut row = || {
                    columns.iter().map(|c| (c.name.clone(), self.quantity(c))).collect()
                };
                Input::Rows((0..rows).map(|_| row()).collect::<Vec<BTreeMap<_, _>>>())
            }
        }
    }

    fn quantity(&mut self, given: &Given) -> Quantity {
        let GivenKind::Number { unit, unit_si, least, most, .. } = &given.kind else {
            panic!("{} is no number", given.name)
        };
        let symbol = if self.system.is_metric() { unit_si } else { unit };
        let own = quantity::find(symbol).unwrap();
        let unit = if self.written == Written::InAny { self.other(own) } else { own };
        loop {
            let value = self.value(bare(least, unit), bare(most, unit));
            let quantity = Quantity::new(Fraction::read(&value).unwrap(), unit);
            let base = quantity.base();
            if base.compare(least.base()).is_ge() && base.compare(most.base()).is_le() {
                return quantity;
            }
        }
    }

    /// A unit that measures the same in the same way.
    fn other(&mut self, own: &'static Unit) -> &'static Unit {
        let same =
            |unit: &&Unit| unit.dimension == own.dimension && unit.kind == own.kind;
        let all: Vec<&'static Unit> = quantity::UNITS.iter().filter(same).collect();
        all[self.chance.place(all.len())]
    }

    /// Over a wide range as many small values as large ones.
    #[expect(clippy::float_arithmetic, reason = "random values need not be exact")]
    fn value(&mut self, least: f64, most: f64) -> String {
        let part = f64::from(self.chance.below(1_000_001)) / 1e6;
        let value = if least > 0.0 && most > 20.0 * least {
            least * (most / least).powf(part)
        } else {
            least + (most - least) * part
        };
        // Two figures as often as three; a narrow range needs four.
        let narrow = (most - least).abs() < 0.5 * most.abs();
        let figures = if narrow { 3 } else { 1 + self.chance.place(2) };
        let short: f64 = format!("{value:.figures$e}").parse().unwrap();
        short.to_string()
    }
}

fn bare(quantity: &Quantity, unit: &'static Unit) -> f64 {
    quantity.in_unit(unit).map_or_else(
        || Number::Exact(quantity.number()).float(),
        |quantity| Number::Exact(quantity.number()).float(),
    )
}

/// Systems in which a formula holds.
pub(super) fn systems(formula: &Formula) -> &'static [System] {
    match formula.only {
        Some(System::Us) => &[System::Us],
        Some(System::Si | System::SiBar) => &[System::Si],
        None => &[System::Us, System::Si],
    }
}
