//! From a value to a place on the sheet, and round marks on an axis.

use crate::quantity::Fraction;

/// One axis: its ends and its length on the sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    pub(super) from: Fraction,
    pub(super) to: Fraction,
    length: i64,
    step: Fraction,
}

impl Scale {
    /// From one value to a greater one.
    pub(super) fn between(from: Fraction, to: Fraction, length: i64) -> Option<Self> {
        let span = to.sub(from).filter(|span| span.signum() > 0)?;
        Some(Self { from, to, length, step: round_step(span)? })
    }

    /// From 0 to a mark that is not below the value.
    pub(super) fn above(value: Fraction, length: i64) -> Option<Self> {
        let step = round_step(value)?;
        // Upward to a whole step: turned round, the floor is a ceiling.
        let steps = -value.div(step)?.negated().floor();
        let to = step.mul(Fraction::whole(steps))?;
        Some(Self { from: Fraction::ZERO, to, length, step })
    }

    /// The marks between the ends.
    pub(super) fn ticks(&self) -> Vec<Fraction> {
        let first = self.from.div(self.step).map_or(0, |steps| -steps.negated().floor());
        // By its step an axis has ten marks at most; twenty end the
        // loop should that ever be wrong.
        let marks = (first..first + 20)
            .filter_map(|index| self.step.mul(Fraction::whole(index)))
            .take_while(|at| *at <= self.to);
        marks.collect()
    }

    /// The place of a value in tenths of a step, as decimal text; `down` for the axis that
    /// runs up the sheet.
    pub(super) fn place(
        &self,
        value: Fraction,
        start: i64,
        down: bool,
    ) -> Option<String> {
        let tenths = self.tenths(value, start, down)?;
        Fraction::new(tenths, 10)?.decimal()
    }

    /// The place in whole steps, for a text.
    pub(super) fn near(&self, value: Fraction, start: i64, down: bool) -> Option<i64> {
        let tenths = self.tenths(value, start, down)?;
        i64::try_from((tenths + 5).div_euclid(10)).ok()
    }

    fn tenths(&self, value: Fraction, start: i64, down: bool) -> Option<i128> {
        // Off the axis there is no place; moved to its edge a value
        // would be read as that of the edge.
        if value < self.from || value > self.to {
            return None;
        }
        let span = self.to.sub(self.from)?;
        let part = value.sub(self.from)?.div(span)?;
        let part = if down { Fraction::ONE.sub(part)? } else { part };
        let tenths = part.mul(Fraction::whole(i128::from(self.length) * 10))?;
        Some(tenths.add(Fraction::new(1, 2)?)?.floor() + i128::from(start) * 10)
    }
}

/// 1, 2 or 5 times a power of ten, so that 4 to 10 marks cover the span.
fn round_step(span: Fraction) -> Option<Fraction> {
    let mut step = Fraction::ONE;
    let ten = Fraction::whole(10);
    let most = Fraction::whole(7);
    while span.div(step)? > most {
        step = step.mul(ten)?;
    }
    while span.div(step)? <= Fraction::new(7, 10)? {
        step = step.div(ten)?;
    }
    // Now the step is too great by up to ten times: the smallest that still gives few marks.
    let finer = [Fraction::new(1, 5)?, Fraction::new(1, 2)?];
    for part in finer {
        let candidate = step.mul(part)?;
        if span.div(candidate)? <= most {
            return Some(candidate);
        }
    }
    Some(step)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Fraction {
        Fraction::read(text).unwrap()
    }

    #[test]
    fn marks_are_round_and_few() {
        let cases = [
            ("0", "600", "0 100 200 300 400 500 600"),
            ("0.1", "1", "0.2 0.4 0.6 0.8 1"),
            ("0", "3", "0 0.5 1 1.5 2 2.5 3"),
            ("20", "500", "100 200 300 400 500"),
        ];
        for (from, to, marks) in cases {
            let scale = Scale::between(read(from), read(to), 300).unwrap();
            let found: Vec<String> =
                scale.ticks().iter().map(ToString::to_string).collect();
            assert_eq!(found.join(" "), marks);
        }
    }

    #[test]
    fn the_top_is_a_mark_not_below_the_value() {
        let scale = Scale::above(read("44.8"), 190).unwrap();
        assert_eq!(scale.to, read("50"));
        assert_eq!(scale.place(read("50"), 16, true).unwrap(), "16");
        assert_eq!(scale.place(read("0"), 16, true).unwrap(), "206");
        assert_eq!(scale.near(read("0.1"), 16, true), Some(206));
        assert_eq!(scale.place(read("51"), 16, true), None);
    }
}
