//! How far two colors stand apart, by the formula of the web content accessibility guidelines, in
//! the numbers of the house: the same on every machine, to the last of twelve digits.

use std::cmp::Ordering;

use crate::quantity::{Direction, Fraction, Number, show};

/// A color by its three shares of 255.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Color([u8; 3]);

/// 4.5 : 1, the least at which ordinary text counts as readable (from memory, WCAG 2, 1.4.3).
const LEAST: (i128, i128) = (9, 2);

impl Color {
    /// Reads `#4b2a6b` or `#432`.
    pub(super) fn read(text: &str) -> Option<Self> {
        let digits = text.trim().strip_prefix('#')?;
        let wide: String = match digits.len() {
            3 => digits.chars().flat_map(|digit| [digit, digit]).collect(),
            6 => digits.to_owned(),
            _ => return None,
        };
        if !wide.chars().all(|digit| digit.is_ascii_hexdigit()) {
            return None;
        }
        let part = |from: usize| u8::from_str_radix(wide.get(from..from + 2)?, 16).ok();
        Some(Self([part(0)?, part(2)?, part(4)?]))
    }

    /// As style sheets write it.
    pub(super) fn written(self) -> String {
        let [red, green, blue] = self.0;
        format!("#{red:02x}{green:02x}{blue:02x}")
    }

    /// A part of the way to another color, in twentieths.
    fn toward(self, other: Self, twentieths: u16) -> Self {
        let mixed = |one: u8, two: u8| {
            let sum = u16::from(one) * (20 - twentieths) + u16::from(two) * twentieths;
            u8::try_from(sum.div_euclid(20)).unwrap_or(u8::MAX)
        };
        let mut out = self.0;
        for (part, theirs) in out.iter_mut().zip(other.0) {
            *part = mixed(*part, theirs);
        }
        Self(out)
    }

    /// Relative luminance: 0 of black, 1 of white.
    fn luminance(self) -> Option<Number> {
        // Red, green and blue as the eye weighs them (from memory, WCAG 2).
        let weights = [(2126, 10_000), (7152, 10_000), (722, 10_000)];
        let mut sum = Number::ZERO;
        for (part, (above, below)) in self.0.into_iter().zip(weights) {
            let weight = Number::Exact(Fraction::new(above, below)?);
            sum = sum.add(linear(part)?.mul(weight).ok()?).ok()?;
        }
        Some(sum)
    }

    /// The ratio of two colors, the brighter one above.
    pub(super) fn ratio(self, other: Self) -> Option<Number> {
        // The light that a screen throws back even where it is
        // black (from memory, WCAG 2).
        let glare = Number::Exact(Fraction::new(5, 100)?);
        let [one, two] = [self.luminance()?, other.luminance()?];
        let (more, less) =
            if one.compare(two) == Ordering::Less { (two, one) } else { (one, two) };
        more.add(glare).ok()?.div(less.add(glare).ok()?).ok()
    }

    /// Whether text of this color can be read on all of these grounds.
    pub(super) fn reads_on(self, grounds: &[Self]) -> bool {
        let Some(least) = Fraction::new(LEAST.0, LEAST.1).map(Number::Exact) else {
            return false;
        };
        let far = |ground: &Self| {
            self.ratio(*ground)
                .is_some_and(|ratio| ratio.compare(least) != Ordering::Less)
        };
        grounds.iter().all(far)
    }

    /// The nearest color on the way to another one that can be read on all of these grounds.
    // In twentieths: finer steps nobody sees, and coarser ones
    // leave the color that was chosen.
    pub(super) fn readable(self, toward: Self, grounds: &[Self]) -> Option<Self> {
        let mixed = (0..=20).map(|twentieths| self.toward(toward, twentieths));
        mixed.into_iter().find(|color| color.reads_on(grounds))
    }
}

/// Share of light of one of the three parts.
fn linear(part: u8) -> Option<Number> {
    let exact = |above, below| Some(Number::Exact(Fraction::new(above, below)?));
    let share = exact(i128::from(part), 255)?;
    // So near to black the curve of screens is a line (from memory, WCAG 2).
    if share.compare(exact(4045, 100_000)?) != Ordering::Greater {
        return share.div(exact(1292, 100)?).ok();
    }
    let base = share.add(exact(55, 1000)?).ok()?.div(exact(1055, 1000)?).ok()?;
    base.pow(exact(24, 10)?).ok()
}

/// A ratio to two places, downward: 4.499 is not told as 4.50.
pub(super) fn told(ratio: Number) -> String {
    let hundredth = Fraction::new(1, 100);
    let shown = hundredth.and_then(|step| show(ratio, step, Direction::Down));
    shown.map(|shown| shown.text).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn color(text: &str) -> Color {
        Color::read(text).unwrap()
    }

    /// Values worked by hand from the published formula.
    #[test]
    fn ratios_are_those_of_the_formula() {
        let ratio = |a: &str, b: &str| told(color(a).ratio(color(b)).unwrap());
        assert_eq!(ratio("#000", "#fff"), "21.00");
        assert_eq!(ratio("#fff", "#000000"), "21.00");
        assert_eq!(ratio("#777777", "#ffffff"), "4.47");
        assert_eq!(ratio("#767676", "#ffffff"), "4.54");
        assert_eq!(ratio("#f00", "#fff"), "3.99");
        assert_eq!(ratio("#123456", "#123456"), "1.00");
    }

    #[test]
    fn one_step_decides() {
        let white = [color("#fff")];
        assert!(color("#767676").reads_on(&white));
        assert!(!color("#777777").reads_on(&white));
        let mended = color("#ff6600").readable(color("#000"), &white).unwrap();
        assert!(mended.reads_on(&white));
        assert_eq!(
            color("#767676").readable(color("#000"), &white),
            Some(color("#767676"))
        );
    }

    #[test]
    fn what_is_no_color() {
        for text in
            ["", "#", "#12", "#12345g", "red", "#1234567", "#é12", "#ééé", "123456"]
        {
            assert_eq!(Color::read(text), None, "{text}");
        }
        assert_eq!(color("#AbC").written(), "#aabbcc");
    }
}
