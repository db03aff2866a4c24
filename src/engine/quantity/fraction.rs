//! Reduced fractions of 128-bit integers.

use std::cmp::Ordering;
use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// A fraction; the denominator is positive and has no factor in common with the numerator.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Fraction {
    numerator: i128,
    denominator: i128,
}

impl Fraction {
    /// Nothing.
    pub const ZERO: Self = Self { numerator: 0, denominator: 1 };
    /// One.
    pub const ONE: Self = Self { numerator: 1, denominator: 1 };

    /// A whole number.
    pub const fn whole(value: i128) -> Self {
        Self { numerator: value, denominator: 1 }
    }

    /// `numerator / denominator`; nothing when the denominator is zero or too large.
    pub fn new(numerator: i128, denominator: i128) -> Option<Self> {
        // The least number of all has no counterpart above zero, and every sign below is turned
        // without a further look.
        if denominator == 0 || numerator == i128::MIN || denominator == i128::MIN {
            return None;
        }
        // Most numbers of a panel are whole, and to divide 128 bits is the dearest thing here.
        if denominator == 1 {
            return Some(Self::whole(numerator));
        }
        let divisor = gcd(numerator.unsigned_abs(), denominator.unsigned_abs());
        let divisor = i128::try_from(divisor).ok()?.max(1) * denominator.signum();
        if divisor == 1 {
            return Some(Self { numerator, denominator });
        }
        Some(Self {
            numerator: numerator.checked_div(divisor)?,
            denominator: denominator.checked_div(divisor)?,
        })
    }

    /// Reads `12`, `-0.50`, `.5`; nothing else. At most 30 digits.
    pub fn read(text: &str) -> Option<Self> {
        let (sign, digits) = match text.strip_prefix(['-', '−']) {
            Some(rest) => (-1, rest),
            None => (1, text),
        };
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let all = |s: &str| s.chars().all(|c| c.is_ascii_digit());
        // "12." is more often a sentence's end than a number, and is asked back.
        let ends_in_point = digits.contains('.') && part.is_empty();
        if (whole.is_empty() && part.is_empty())
            || ends_in_point
            || !all(whole)
            || !all(part)
            // 30 digits are more than any author writes and leave room to multiply within 128
            // bits.
            || whole.len() + part.len() > 30
        {
            return None;
        }
        let scale = 10_i128.checked_pow(u32::try_from(part.len()).ok()?)?;
        let number: i128 = format!("{whole}{part}").parse().ok()?;
        Self::new(sign * number, scale)
    }

    /// Upper part.
    pub const fn numerator(self) -> i128 {
        self.numerator
    }

    /// Lower part, positive.
    pub const fn denominator(self) -> i128 {
        self.denominator
    }

    /// Whether it has no part after the point.
    pub const fn is_whole(self) -> bool {
        self.denominator == 1
    }

    /// Sum, or nothing on overflow.
    pub fn add(self, other: Self) -> Option<Self> {
        // Not over the least common denominator: that would need another division for each
        // sum, and the result is reduced below anyway.
        let left = self.numerator.checked_mul(other.denominator)?;
        let right = other.numerator.checked_mul(self.denominator)?;
        Self::new(
            left.checked_add(right)?,
            self.denominator.checked_mul(other.denominator)?,
        )
    }

    /// Difference, or nothing on overflow.
    pub fn sub(self, other: Self) -> Option<Self> {
        self.add(other.negated())
    }

    /// Product, or nothing on overflow. Reduces crosswise first to stay small.
    pub fn mul(self, other: Self) -> Option<Self> {
        // Reduced before and not after: the products of unreduced parts would overflow first.
        let left = Self::new(self.numerator, other.denominator)?;
        let right = Self::new(other.numerator, self.denominator)?;
        Self::new(
            left.numerator.checked_mul(right.numerator)?,
            left.denominator.checked_mul(right.denominator)?,
        )
    }

    /// Quotient, or nothing on overflow or division by zero.
    pub fn div(self, other: Self) -> Option<Self> {
        // Turned over through `new`, which refuses zero and puts the sign where it belongs.
        self.mul(Self::new(other.denominator, other.numerator)?)
    }

    /// With the other sign.
    #[must_use]
    pub const fn negated(self) -> Self {
        Self { numerator: -self.numerator, denominator: self.denominator }
    }

    /// Without its sign.
    #[must_use]
    pub const fn absolute(self) -> Self {
        Self { numerator: self.numerator.abs(), denominator: self.denominator }
    }

    /// −1, 0 or 1.
    pub const fn signum(self) -> i128 {
        self.numerator.signum()
    }

    /// Largest whole number not above it.
    pub const fn floor(self) -> i128 {
        self.numerator.div_euclid(self.denominator)
    }

    /// The exact decimal, when it has one of at most 18 places.
    pub fn decimal(self) -> Option<String> {
        let places = self.places()?;
        let scale = 10_i128.checked_pow(places)?.checked_div(self.denominator)?;
        let scaled = self.numerator.checked_mul(scale)?;
        // The least number of all is no numerator, see `new`.
        (scaled != i128::MIN).then(|| digits(scaled, places))
    }

    /// Places behind the point of the exact decimal, when it has one of at most 18.
    pub(super) fn places(self) -> Option<u32> {
        // A denominator of twos and fives alone divides a power of ten, and the larger count of the
        // two says which.
        let twos = self.denominator.trailing_zeros();
        let (mut rest, mut fives) = (self.denominator >> twos, 0);
        while rest != 1 {
            // A decimal longer than this is shown by its first digits; an exact one of such a
            // length is no figure that anybody reads.
            if fives == 18 || rest.rem_euclid(5) != 0 {
                return None;
            }
            rest = rest.div_euclid(5);
            fives += 1;
        }
        // As with the fives, because an exact decimal of such a length is no figure that anybody reads.
        Some(twos.max(fives)).filter(|places| *places <= 18)
    }
}

/// A whole number of units of 10^−places as decimal text with a plain minus.
pub(super) fn digits(number: i128, places: u32) -> String {
    let sign = if number < 0 { "-" } else { "" };
    let text = number.unsigned_abs().to_string();
    let places = usize::try_from(places).unwrap_or(0);
    if places == 0 {
        return format!("{sign}{text}");
    }
    let padded = format!("{text:0>width$}", width = places + 1);
    let (whole, part) = padded.split_at(padded.len() - places);
    format!("{sign}{whole}.{part}")
}

impl PartialOrd for Fraction {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Fraction {
    fn cmp(&self, other: &Self) -> Ordering {
        compare(*self, *other)
    }
}

/// Compares without multiplying: whole parts first, then the remainders turned over.
fn compare(a: Fraction, b: Fraction) -> Ordering {
    let (a_whole, b_whole) = (a.floor(), b.floor());
    if a_whole != b_whole {
        return a_whole.cmp(&b_whole);
    }
    let rest = |f: Fraction| f.numerator.rem_euclid(f.denominator);
    let (a_rest, b_rest) = (rest(a), rest(b));
    match (a_rest, b_rest) {
        (0, 0) => Ordering::Equal,
        (0, _) => Ordering::Less,
        (_, 0) => Ordering::Greater,
        // Turned over, the smaller fraction is the larger; the parts shrink as in a search for
        // the greatest common divisor, so this ends.
        _ => compare(
            Fraction { numerator: b.denominator, denominator: b_rest },
            Fraction { numerator: a.denominator, denominator: a_rest },
        ),
    }
}

impl fmt::Display for Fraction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.decimal() {
            Some(text) => f.write_str(&text),
            None => write!(f, "{}/{}", self.numerator, self.denominator),
        }
    }
}

/// As a text: `5` or `631/2`.
impl Serialize for Fraction {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.denominator == 1 {
            return serializer.collect_str(&self.numerator);
        }
        serializer.collect_str(&format_args!("{}/{}", self.numerator, self.denominator))
    }
}

impl<'de> Deserialize<'de> for Fraction {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        let (upper, lower) = text.split_once('/').unwrap_or((&text, "1"));
        let read = upper.parse().ok().zip(lower.parse().ok());
        read.and_then(|(upper, lower)| Self::new(upper, lower))
            .ok_or_else(|| de::Error::custom(format!("{text} is no fraction")))
    }
}

fn gcd(a: u128, b: u128) -> u128 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        // The machine divides 64 bits itself, many times as fast as 128.
        if let (Ok(a), Ok(b)) = (u64::try_from(a), u64::try_from(b)) {
            return u128::from(narrow_gcd(a, b));
        }
        (a, b) = (b, a % b);
    }
    a
}

const fn narrow_gcd(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_and_prints_decimals() {
        assert_eq!(Fraction::read("0.10").unwrap().to_string(), "0.1");
        assert_eq!(Fraction::read("-.5").unwrap().to_string(), "-0.5");
        assert_eq!(Fraction::read("5.").map(|f| f.to_string()), None);
        assert_eq!(Fraction::read("1,5"), None);
        assert_eq!(Fraction::new(1, 3).unwrap().to_string(), "1/3");
        assert_eq!(Fraction::new(3, -6).unwrap(), Fraction::new(-1, 2).unwrap());
    }

    /// Step by step, as decimals were made once: a place more until nothing is left behind the point.
    fn by_steps(value: Fraction) -> Option<String> {
        let (mut places, mut scaled) = (0_u32, value);
        while !scaled.is_whole() {
            places += 1;
            if places > 18 {
                return None;
            }
            scaled = scaled.mul(Fraction::whole(10))?;
        }
        Some(digits(scaled.numerator, places))
    }

    #[test]
    fn decimals_are_what_a_place_after_the_other_gives() {
        let powers = (0..22).flat_map(|power| [2_i128.pow(power), 5_i128.pow(power)]);
        let tens = (0..22).map(|power| 10_i128.pow(power));
        let odd = [3, 6, 7, 12, 15, 35, 1 << 62, 3 << 62, i128::MAX];
        let large = [i128::MAX, i128::MAX - 1, i128::MIN + 1, 1 << 126];
        for denominator in powers.chain(tens).chain(odd) {
            for numerator in (-30..30).chain(large) {
                let value = Fraction::new(numerator, denominator).unwrap();
                assert_eq!(value.decimal(), by_steps(value), "{numerator}/{denominator}");
            }
        }
    }

    #[test]
    fn divisors_of_wide_numbers_are_found() {
        assert_eq!(gcd(1 << 100, 1 << 90), 1 << 90);
        assert_eq!(gcd(3 << 70, 9), 3);
        assert_eq!((gcd(0, 12), gcd(12, 0), gcd(0, 0)), (12, 12, 0));
        let wide = Fraction::new(i128::MAX, 7).unwrap();
        assert_eq!(wide.div(wide), Some(Fraction::ONE));
    }

    #[test]
    fn compares_large_neighbours() {
        let big = i128::MAX - 1;
        let a = Fraction::new(big, big - 2).unwrap();
        let b = Fraction::new(big - 1, big - 2).unwrap();
        assert!(a > b && b > Fraction::ONE);
        assert!(Fraction::new(-1, 3).unwrap() < Fraction::new(-1, 4).unwrap());
    }
}
