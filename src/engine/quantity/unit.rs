//! The units a module may be written in, with exact factors.
//!
//! Base: inch, pound, second, Fahrenheit step. A gallon is 231 cubic inches, an inch
//! 25.4 mm, a pound 0.453 592 37 kg, standard gravity 9.806 65 m/s² (all exact by
//! definition); a Btu is the international table one, 1055.055 852 62 J.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use super::dimension::{Dimension, Kind};
use super::fraction::Fraction;

/// One unit.
#[derive(Debug, PartialEq, Eq)]
pub struct Unit {
    /// As it is written after a number.
    pub symbol: &'static str,
    /// As it is said, for a listing.
    pub name: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Amount, share or reading.
    pub kind: Kind,
    /// Factors whose product is [`Unit::factor`].
    pub factors: &'static [(i128, i128)],
    /// Zero of a temperature scale as a fraction.
    pub scale_zero: (i128, i128),
}

impl Unit {
    /// What is measured in it, with an article, as whoever prints it says it.
    pub fn measures(&self) -> String {
        match self.kind {
            Kind::Share => "⟨wire.one.percent⟩".to_owned(),
            _ => self.dimension.one(),
        }
    }

    /// Base units in one of this unit.
    pub fn factor(&self) -> Fraction {
        self.factors.iter().fold(Fraction::ONE, |product, (n, d)| {
            Fraction::new(*n, *d).and_then(|f| product.mul(f)).unwrap_or(product)
        })
    }

    /// Where zero of a temperature scale stands, in base steps above absolute zero.
    pub fn zero(&self) -> Fraction {
        Fraction::new(self.scale_zero.0, self.scale_zero.1).unwrap_or(Fraction::ZERO)
    }
}

// All factors are whole fractions of the base units, so that a quantity that is exact stays
// exact through every conversion.
/// An inch is 25.4 mm by definition, so a metre is 1000 / 25.4 inches.
const M: (i128, i128) = (5000, 127);
const MM: (i128, i128) = (5, 127);
/// A litre is by definition a cube of 100 mm: (1000 / 254)³ cubic inches, shortened.
const L: (i128, i128) = (125_000_000, 2_048_383);
/// A pound is 0.453 592 37 kg by definition.
const KG: (i128, i128) = (100_000_000, 45_359_237);
/// Standard gravity is by definition 9.806 65 m/s²; here without the metre, which `M` brings.
const G: (i128, i128) = (980_665, 2540);
/// The conventional millimetre of mercury, in pascals: 13.5951 g/cm³ times standard gravity.
const MERCURY: (i128, i128) = (133_322_387_415, 1_000_000_000);
const THOUSAND: (i128, i128) = (1000, 1);
const PER_M: (i128, i128) = (127, 5000);
const PER_L: (i128, i128) = (2_048_383, 125_000_000);
/// By (100 gpm)² and 100 ft: a gallon is by definition 231 cubic inches, so 100 gpm are 23,100
/// in 60 seconds, and 100 ft are 1200 inches.
const PER_HOSE: [(i128, i128); 3] = [(60, 23_100), (60, 23_100), (1, 1200)];
/// By (100 L/min)² and 100 m: 60 s over 100, squared, is 9/25. The British thermal unit is that
/// of the international table, by definition 1055.055 852 62 J.
const PER_METRIC_HOSE: [(i128, i128); 4] = [PER_L, PER_L, (9, 25), (127, 500_000)];
const BTU: (i128, i128) = (105_505_585_262, 100_000_000);
const PER_MIN: (i128, i128) = (1, 60);

macro_rules! units {
    ($($symbol:literal $name:literal $dimension:ident [$($factor:expr),*];)*) => {
        &[$(Unit {
            symbol: $symbol,
            name: $name,
            dimension: Dimension::$dimension,
            kind: Kind::Amount,
            factors: &[$($factor),*],
            scale_zero: (0, 1),
        },)*
        Unit {
            symbol: "%",
            name: "percent",
            dimension: Dimension::NONE,
            kind: Kind::Share,
            factors: &[(1, 100)],
            scale_zero: (0, 1),
        },
        Unit {
            symbol: "",
            name: "number",
            dimension: Dimension::NONE,
            kind: Kind::Plain,
            factors: &[],
            scale_zero: (0, 1),
        },
        Unit {
            symbol: "degF",
            name: "degrees Fahrenheit on the scale",
            dimension: Dimension::TEMPERATURE,
            kind: Kind::Reading,
            factors: &[],
            scale_zero: (45_967, 100),
        },
        Unit {
            symbol: "degC",
            name: "degrees Celsius on the scale",
            dimension: Dimension::TEMPERATURE,
            kind: Kind::Reading,
            factors: &[(9, 5)],
            scale_zero: (49_167, 100),
        }]
    };
}

/// Every unit.
pub const UNITS: &[Unit] = units! {
    "in" "inches" LENGTH [];
    "ft" "feet" LENGTH [(12, 1)];
    "yd" "yards" LENGTH [(36, 1)];
    "mm" "millimetres" LENGTH [MM];
    "cm" "centimetres" LENGTH [MM, (10, 1)];
    "m" "metres" LENGTH [M];
    "in2" "square inches" AREA [];
    "ft2" "square feet" AREA [(144, 1)];
    "mm2" "square millimetres" AREA [MM, MM];
    "m2" "square metres" AREA [M, M];
    "acre" "acres of 43,560 square feet" AREA [(6_272_640, 1)];
    "in3" "cubic inches" VOLUME [];
    "ft3" "cubic feet" VOLUME [(1728, 1)];
    "gal" "US gallons" VOLUME [(231, 1)];
    "impgal" "imperial gallons" VOLUME [L, (454_609, 100_000)];
    "qt" "US quarts" VOLUME [(231, 4)];
    "floz" "US fluid ounces" VOLUME [(231, 128)];
    "L" "litres" VOLUME [L];
    "mL" "millilitres" VOLUME [L, (1, 1000)];
    "m3" "cubic metres" VOLUME [L, THOUSAND];
    "s" "seconds" TIME [];
    "min" "minutes" TIME [(60, 1)];
    "h" "hours" TIME [(3600, 1)];
    "gpm" "US gallons a minute" FLOW [(231, 60)];
    "gph" "US gallons an hour" FLOW [(231, 3600)];
    "impgpm" "imperial gallons a minute" FLOW [L, (454_609, 100_000), PER_MIN];
    "L/min" "litres a minute" FLOW [L, PER_MIN];
    "L/s" "litres a second" FLOW [L];
    "m3/h" "cubic metres an hour" FLOW [L, THOUSAND, (1, 3600)];
    "scfm" "standard cubic feet a minute" FLOW [(1728, 60)];
    "ft3/min" "cubic feet a minute" FLOW [(1728, 60)];
    "m3/min" "cubic metres a minute" FLOW [L, THOUSAND, PER_MIN];
    "lb" "pounds" MASS [];
    "oz" "ounces" MASS [(1, 16)];
    "kg" "kilograms" MASS [KG];
    "g" "grams" MASS [KG, (1, 1000)];
    "lbf" "pounds of force" FORCE [G];
    "N" "newtons" FORCE [KG, M];
    "psi" "pounds per square inch" PRESSURE [G];
    "kPa" "kilopascals" PRESSURE [KG, PER_M, THOUSAND];
    "bar" "bar" PRESSURE [KG, PER_M, (100_000, 1)];
    "inHg" "inches of mercury" PRESSURE [KG, PER_M, MERCURY, (254, 10)];
    "MPa" "megapascals" PRESSURE [KG, PER_M, (1_000_000, 1)];
    "lb/gal" "pounds per US gallon" DENSITY [(1, 231)];
    "lb/ft3" "pounds per cubic foot" DENSITY [(1, 1728)];
    "kg/L" "kilograms per litre" DENSITY [KG, PER_L];
    "kg/m3" "kilograms per cubic metre" DENSITY [KG, PER_L, (1, 1000)];
    "mg/L" "milligrams per litre" DENSITY [KG, PER_L, (1, 1_000_000)];
    "gpm/ft2" "US gallons a minute per square foot" RATE [(231, 60), (1, 144)];
    "L/min/m2" "litres a minute per square metre" RATE [L, PER_MIN, PER_M, PER_M];
    "J" "joules" ENERGY [KG, M, M];
    "kJ" "kilojoules" ENERGY [KG, M, M, THOUSAND];
    "MJ" "megajoules" ENERGY [KG, M, M, THOUSAND, THOUSAND];
    "Btu" "British thermal units" ENERGY [KG, M, M, BTU];
    "Btu/lb" "British thermal units per pound" HEAT [KG, M, M, BTU];
    "kJ/kg" "kilojoules per kilogram" HEAT [M, M, THOUSAND];
    "kW" "kilowatts" POWER [KG, M, M, THOUSAND];
    "MW" "megawatts" POWER [KG, M, M, THOUSAND, THOUSAND];
    "psi/(100 gpm)^2/100 ft" "psi lost at 100 gpm in 100 ft, by the square of the flow" FRICTION
        [G, PER_HOSE[0], PER_HOSE[1], PER_HOSE[2]];
    "kPa/(100 L/min)^2/100 m" "kPa lost at 100 L/min in 100 m, by the square of the flow" FRICTION
        [KG, PER_M, THOUSAND, PER_METRIC_HOSE[0], PER_METRIC_HOSE[1], PER_METRIC_HOSE[2], PER_METRIC_HOSE[3]];
    "bar/(100 L/min)^2/100 m" "bar lost at 100 L/min in 100 m, by the square of the flow" FRICTION
        [KG, PER_M, (100_000, 1), PER_METRIC_HOSE[0], PER_METRIC_HOSE[1], PER_METRIC_HOSE[2], PER_METRIC_HOSE[3]];
    "Fdeg" "Fahrenheit steps" TEMPERATURE [];
    "Cdeg" "Celsius steps" TEMPERATURE [(9, 5)];
    "mS/cm" "millisiemens per centimetre" CONDUCTIVITY [];
    "uS/cm" "microsiemens per centimetre" CONDUCTIVITY [(1, 1000)];
    "dBA" "decibels, A-weighted" SOUND [];
};

/// The unit of that symbol.
pub fn find(symbol: &str) -> Option<&'static Unit> {
    BY_SYMBOL.get(symbol).copied()
}

/// A text is looked for among them word by word, and a module has a hundred thousand words.
static BY_SYMBOL: LazyLock<BTreeMap<&str, &Unit>> =
    LazyLock::new(|| UNITS.iter().map(|unit| (unit.symbol, unit)).collect());

/// The unit of a friction coefficient that was written as a plain pressure.
pub fn friction_of(pressure: &Unit) -> Option<&'static Unit> {
    if pressure.dimension != Dimension::PRESSURE {
        return None;
    }
    let own = UNITS.iter().filter(|unit| unit.dimension == Dimension::FRICTION);
    let of = |unit: &&Unit| {
        unit.symbol
            .strip_prefix(pressure.symbol)
            .is_some_and(|rest| rest.starts_with('/'))
    };
    // Of the pressures without one the metric ones stand nearest to kPa.
    own.clone().find(of).or_else(|| find("kPa/(100 L/min)^2/100 m"))
}

/// The unit a mistyped symbol most likely means.
pub fn nearest(symbol: &str) -> Option<&'static Unit> {
    let small = symbol.to_lowercase();
    // A wrong letter is commoner than a missing one: of two that are as near, the one of the same
    // length.
    let distance = |unit: &&Unit| {
        let known = unit.symbol.to_lowercase();
        let same_length = known.chars().count() == small.chars().count();
        (strsim::damerau_levenshtein(&small, &known), !same_length)
    };
    let best =
        UNITS.iter().filter(|unit| !unit.symbol.is_empty()).min_by_key(distance)?;
    let (apart, _) = distance(&best);
    // A unit has few letters: with more changes than this any unit would be near any slip.
    (apart <= 2 && apart < symbol.chars().count().max(2)).then_some(best)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_are_those_of_the_definitions() {
        let ratio = |a: &str, b: &str| {
            find(a).unwrap().factor().div(find(b).unwrap().factor()).unwrap()
        };
        assert_eq!(ratio("gal", "L").to_string(), "3.785411784");
        assert_eq!(ratio("impgal", "L").to_string(), "4.54609");
        assert_eq!(ratio("lb", "kg").to_string(), "0.45359237");
        assert_eq!(ratio("ft", "m").to_string(), "0.3048");
        assert_eq!(ratio("bar", "kPa").to_string(), "100");
        let psi = crate::quantity::Number::Exact(ratio("psi", "kPa"));
        assert!((psi.float() - 6.894_757_293_168).abs() < 1e-9);
        let btu = crate::quantity::Number::Exact(ratio("Btu/lb", "kJ/kg"));
        assert!((btu.float() - 2.326).abs() < 1e-9, "{}", btu.float());
    }

    #[test]
    fn a_friction_coefficient_is_no_pressure() {
        let of = |symbol: &str| find(symbol).unwrap().factor();
        let ratio =
            of("psi/(100 gpm)^2/100 ft").div(of("kPa/(100 L/min)^2/100 m")).unwrap();
        // Worked by hand: 6.894757 kPa a psi, 3.785412² for the flows, over 0.3048 m a foot.
        let ratio = crate::quantity::Number::Exact(ratio).float();
        assert!((ratio - 1.578_620_581_653).abs() < 1e-9, "{ratio}");
        let bar = of("bar/(100 L/min)^2/100 m").div(of("kPa/(100 L/min)^2/100 m"));
        assert_eq!(bar.unwrap().to_string(), "100");
    }

    #[test]
    fn a_mistyped_unit_finds_its_neighbour() {
        assert_eq!(nearest("gpn").unwrap().symbol, "gpm");
        assert_eq!(nearest("PSI").unwrap().symbol, "psi");
        assert_eq!(nearest("furlong"), None);
    }
}
