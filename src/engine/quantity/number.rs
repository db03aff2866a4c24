//! A number that is exact as long as it can be.
#![expect(
    clippy::float_arithmetic,
    reason = "roots, logarithms and overflowing fractions have no exact value"
)]

use std::cmp::Ordering;

use super::fraction::Fraction;

/// Exact, or settled to 12 significant digits where it is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Number {
    /// A fraction.
    Exact(Fraction),
    /// After a root, a logarithm, a broken power or an overflow. Always finite.
    Approx(f64),
}

/// Why an operation has no result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NumberFault {
    /// Division by zero.
    DividedByZero,
    /// Too large for any number here.
    Overflow,
    /// Root or logarithm of a negative number, or a broken power of one.
    Negative,
}

type Result = std::result::Result<Number, NumberFault>;

impl Number {
    /// Nothing.
    pub const ZERO: Self = Self::Exact(Fraction::ZERO);

    /// As a float; the nearest one.
    #[expect(
        clippy::cast_precision_loss,
        reason = "an approximation is what is asked for"
    )]
    pub fn float(self) -> f64 {
        match self {
            Self::Exact(f) => f.numerator() as f64 / f.denominator() as f64,
            Self::Approx(value) => value,
        }
    }

    /// As a fraction: an approximate number through its 12 significant digits.
    pub fn settled(self) -> Option<Fraction> {
        match self {
            Self::Exact(fraction) => Some(fraction),
            Self::Approx(value) => settle(value),
        }
    }

    /// Whether it is known exactly.
    pub const fn is_exact(self) -> bool {
        matches!(self, Self::Exact(_))
    }

    fn approx(value: f64) -> Result {
        // No value here is infinite or no number at all, so that nothing further down has to
        // ask.
        if value.is_finite() {
            Ok(Self::Approx(value))
        } else {
            Err(NumberFault::Overflow)
        }
    }

    /// Sum.
    pub fn add(self, other: Self) -> Result {
        self.with(other, Fraction::add, |a, b| a + b)
    }

    /// Difference.
    pub fn sub(self, other: Self) -> Result {
        self.with(other, Fraction::sub, |a, b| a - b)
    }

    /// Product.
    pub fn mul(self, other: Self) -> Result {
        self.with(other, Fraction::mul, |a, b| a * b)
    }

    /// Quotient.
    pub fn div(self, other: Self) -> Result {
        if other.sign() == Ordering::Equal {
            return Err(NumberFault::DividedByZero);
        }
        self.with(other, Fraction::div, |a, b| a / b)
    }

    fn with(
        self,
        other: Self,
        exact: fn(Fraction, Fraction) -> Option<Fraction>,
        float: fn(f64, f64) -> f64,
    ) -> Result {
        // An overflow of the exact way falls back to the float, which has the size and the
        // first digits right.
        if let (Self::Exact(a), Self::Exact(b)) = (self, other)
            && let Some(result) = exact(a, b)
        {
            return Ok(Self::Exact(result));
        }
        Self::approx(float(self.float(), other.float()))
    }

    /// Raised to a power.
    pub fn pow(self, power: Self) -> Result {
        if let Self::Exact(p) = power
            && p.is_whole()
            // Beyond it an exact power overflows for every base but one, and the loop would
            // only be slow.
            && p.absolute() <= Fraction::whole(64)
        {
            let mut result = Self::Exact(Fraction::ONE);
            for _ in 0..p.absolute().numerator() {
                result = result.mul(self)?;
            }
            let one = Self::Exact(Fraction::ONE);
            return if p.signum() < 0 { one.div(result) } else { Ok(result) };
        }
        match self.sign() {
            Ordering::Less => Err(NumberFault::Negative),
            Ordering::Equal if power.sign() == Ordering::Less => {
                Err(NumberFault::DividedByZero)
            }
            // libm is the same code on every machine; the machine's own function may differ in
            // the last digit.
            _ => Self::approx(libm::pow(self.float(), power.float())),
        }
    }

    /// Square root; exact where numerator and denominator are squares.
    pub fn sqrt(self) -> Result {
        if self.sign() == Ordering::Less {
            return Err(NumberFault::Negative);
        }
        if let Self::Exact(f) = self
            && let (Some(n), Some(d)) =
                (whole_root(f.numerator()), whole_root(f.denominator()))
            && let Some(root) = Fraction::new(n, d)
        {
            return Ok(Self::Exact(root));
        }
        Self::approx(libm::sqrt(self.float()))
    }

    /// Natural logarithm.
    pub fn ln(self) -> Result {
        if self.sign() != Ordering::Greater {
            return Err(NumberFault::Negative);
        }
        Self::approx(libm::log(self.float()))
    }

    /// Exponential.
    pub fn exp(self) -> Result {
        Self::approx(libm::exp(self.float()))
    }

    /// Without its sign.
    #[must_use]
    pub fn absolute(self) -> Self {
        match self {
            Self::Exact(fraction) => Self::Exact(fraction.absolute()),
            Self::Approx(value) => Self::Approx(value.abs()),
        }
    }

    /// Compared with zero.
    pub fn sign(self) -> Ordering {
        self.compare(Self::ZERO)
    }

    /// Compared after settling, so that 0.1 + 0.2 reached through a root equals 0.3.
    pub fn compare(self, other: Self) -> Ordering {
        match (self.settled(), other.settled()) {
            (Some(a), Some(b)) => a.cmp(&b),
            _ => self.float().total_cmp(&other.float()),
        }
    }
}

/// 12 significant digits of a float as a fraction.
fn settle(value: f64) -> Option<Fraction> {
    // Twelve of the some sixteen digits of a float: the last ones are what rounding on the way
    // left behind.
    let text = format!("{value:.11e}");
    let (digits, exponent) = text.split_once('e')?;
    let exponent: i32 = exponent.parse().ok()?;
    let fraction = Fraction::read(digits)?;
    let scale = Fraction::whole(10_i128.checked_pow(exponent.unsigned_abs())?);
    if exponent < 0 { fraction.div(scale) } else { fraction.mul(scale) }
}

fn whole_root(value: i128) -> Option<i128> {
    let root = value.checked_isqrt()?;
    (root.checked_mul(root)? == value).then_some(root)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(text: &str) -> Number {
        Number::Exact(Fraction::read(text).unwrap())
    }

    #[test]
    fn roots_of_squares_stay_exact() {
        assert_eq!(exact("2.25").sqrt().unwrap(), exact("1.5"));
        assert!(!exact("2").sqrt().unwrap().is_exact());
        assert_eq!(exact("-1").sqrt(), Err(NumberFault::Negative));
    }

    #[test]
    fn a_whole_power_of_a_negative_float_is_taken() {
        let square = Number::Approx(-1.5).pow(exact("2")).unwrap();
        assert_eq!(square.compare(exact("2.25")), Ordering::Equal);
        assert_eq!(Number::Approx(-1.5).pow(exact("0.5")), Err(NumberFault::Negative));
    }

    #[test]
    fn settled_floats_compare_as_decimals() {
        let sum = Number::Approx(0.1).add(Number::Approx(0.2)).unwrap();
        assert_eq!(sum.compare(exact("0.3")), Ordering::Equal);
        assert_eq!(exact("1").div(exact("0")), Err(NumberFault::DividedByZero));
        let huge = exact("1000000000000000000000000000");
        assert!(!huge.mul(huge).unwrap().is_exact());
    }
}
