//! What a quantity measures.

/// Exponents of length, mass, time, temperature step, conductivity, sound level, money.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Dimension(pub [i8; 7]);

impl Dimension {
    /// A bare number.
    pub const NONE: Self = Self([0; 7]);
    /// Length.
    pub const LENGTH: Self = Self([1, 0, 0, 0, 0, 0, 0]);
    /// Area.
    pub const AREA: Self = Self([2, 0, 0, 0, 0, 0, 0]);
    /// Volume.
    pub const VOLUME: Self = Self([3, 0, 0, 0, 0, 0, 0]);
    /// Mass.
    pub const MASS: Self = Self([0, 1, 0, 0, 0, 0, 0]);
    /// Time.
    pub const TIME: Self = Self([0, 0, 1, 0, 0, 0, 0]);
    /// Volume by time.
    pub const FLOW: Self = Self([3, 0, -1, 0, 0, 0, 0]);
    /// Force by area.
    pub const PRESSURE: Self = Self([-1, 1, -2, 0, 0, 0, 0]);
    /// Force.
    pub const FORCE: Self = Self([1, 1, -2, 0, 0, 0, 0]);
    /// Mass by volume.
    pub const DENSITY: Self = Self([-3, 1, 0, 0, 0, 0, 0]);
    /// Flow by area.
    pub const RATE: Self = Self([1, 0, -1, 0, 0, 0, 0]);
    /// Energy.
    pub const ENERGY: Self = Self([2, 1, -2, 0, 0, 0, 0]);
    /// Energy by mass.
    pub const HEAT: Self = Self([2, 0, -2, 0, 0, 0, 0]);
    /// Energy by time.
    pub const POWER: Self = Self([2, 1, -3, 0, 0, 0, 0]);
    /// Temperature step.
    pub const TEMPERATURE: Self = Self([0, 0, 0, 1, 0, 0, 0]);
    /// Conductivity of a liquid.
    pub const CONDUCTIVITY: Self = Self([0, 0, 0, 0, 1, 0, 0]);
    /// Pressure lost by the square of a flow and by length: a friction coefficient of hose. It
    /// is no pressure: 15.5 of the US one are 24.5 of the metric one, for flow and length
    /// change their units too.
    pub const FRICTION: Self = Self([-8, 1, 0, 0, 0, 0, 0]);
    /// Sound level.
    pub const SOUND: Self = Self([0, 0, 0, 0, 0, 1, 0]);

    /// Product; nothing when an exponent grows beyond reason.
    pub fn times(self, other: Self) -> Option<Self> {
        self.combine(other, i8::checked_add)
    }

    /// Quotient.
    pub fn over(self, other: Self) -> Option<Self> {
        self.combine(other, i8::checked_sub)
    }

    fn combine(self, other: Self, op: fn(i8, i8) -> Option<i8>) -> Option<Self> {
        let mut out = [0_i8; 7];
        for (slot, (a, b)) in out.iter_mut().zip(self.0.into_iter().zip(other.0)) {
            // Nothing in the trade goes beyond the fifth power (a pipe's bore in its loss);
            // sixteen leaves room for steps on the way and cannot run over the i8.
            *slot = op(a, b).filter(|exponent| exponent.abs() <= 16)?;
        }
        Some(Self(out))
    }

    /// Raised to a whole power.
    pub fn power(self, power: i8) -> Option<Self> {
        let mut out = [0_i8; 7];
        for (slot, exponent) in out.iter_mut().zip(self.0) {
            // The bound of `combine`, so that a power and the product it stands for agree.
            *slot =
                exponent.checked_mul(power).filter(|exponent| exponent.abs() <= 16)?;
        }
        Some(Self(out))
    }

    /// Square root; every exponent must be even.
    pub fn root(self) -> Option<Self> {
        let mut out = [0_i8; 7];
        for (slot, exponent) in out.iter_mut().zip(self.0) {
            if exponent % 2 != 0 {
                return None;
            }
            *slot = exponent >> 1;
        }
        Some(Self(out))
    }

    /// Key of its name in the words file, such as `flow`; `other` when it has none.
    pub fn name(self) -> &'static str {
        const NAMES: &[(Dimension, &str)] = &[
            (Dimension::NONE, "number"),
            (Dimension::LENGTH, "length"),
            (Dimension::AREA, "area"),
            (Dimension::VOLUME, "volume"),
            (Dimension::MASS, "mass"),
            (Dimension::TIME, "time"),
            (Dimension::FLOW, "flow"),
            (Dimension::PRESSURE, "pressure"),
            (Dimension::FORCE, "force"),
            (Dimension::DENSITY, "density"),
            (Dimension::RATE, "application rate"),
            (Dimension::ENERGY, "energy"),
            (Dimension::HEAT, "heat by mass"),
            (Dimension::POWER, "power"),
            (Dimension::TEMPERATURE, "temperature"),
            (Dimension::CONDUCTIVITY, "conductivity"),
            (Dimension::SOUND, "sound level"),
            (Dimension::FRICTION, "friction coefficient"),
        ];
        NAMES
            .iter()
            .find(|(known, _)| *known == self)
            .map_or("something else", |(_, name)| name)
    }

    /// Its name as whoever prints it says it.
    pub fn told(self) -> String {
        // words: wire.dimension.{*}
        format!("⟨wire.dimension.{}⟩", self.name().replace(' ', "-"))
    }

    /// The same with an article.
    pub fn one(self) -> String {
        // words: wire.one.{*}
        format!("⟨wire.one.{}⟩", self.name().replace(' ', "-"))
    }
}

/// What kind of number stands before a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Counted: containers, lines.
    Whole,
    /// A bare number with a point.
    Plain,
    /// Like over like.
    Ratio,
    /// A percent.
    Share,
    /// Has a dimension.
    Amount,
    /// A temperature on a scale.
    Reading,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flow_times_time_is_a_volume() {
        assert_eq!(Dimension::FLOW.times(Dimension::TIME), Some(Dimension::VOLUME));
        assert_eq!(Dimension::AREA.root(), Some(Dimension::LENGTH));
        assert_eq!(Dimension::VOLUME.root(), None);
        assert_eq!(Dimension([15, 0, 0, 0, 0, 0, 0]).times(Dimension::VOLUME), None);
    }
}
