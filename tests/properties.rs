//! Properties of numbers over random inputs.

use proptest::prelude::*;

use drillwright::quantity::{Direction, Fraction, Number, Quantity, show};

proptest! {
    #[test]
    fn a_quantity_reads_back_what_it_prints(whole in 0_i64..1_000_000, part in 0_u32..1000) {
        let text = format!("{whole}.{part:03} gpm");
        let quantity = Quantity::read(&text).unwrap();
        prop_assert_eq!(Quantity::read(&quantity.to_string()).unwrap(), quantity);
    }

    /// Tenths half up, against whole-number arithmetic: the tie that binary floats lose.
    #[test]
    fn products_round_as_on_paper(percent in 1_i128..1000, flow in 1_i128..2000, time in 1_i128..600) {
        // percent in thousandths, time in tenths of a minute: the product in 1/1,000,000.
        let exact = percent * flow * time;
        let value = Fraction::new(exact, 1_000_000).unwrap();
        let tenth = Fraction::new(1, 10).unwrap();
        let shown = show(Number::Exact(value), tenth, Direction::Near).unwrap();
        let tenths = (exact * 2 + 100_000).div_euclid(200_000);
        prop_assert_eq!(shown.value, Fraction::new(tenths, 10).unwrap());
        prop_assert_eq!(shown.exact, exact % 100_000 == 0);
    }

    #[test]
    fn down_never_promises_more_and_up_never_less(top in 0_i128..1_000_000, bottom in 1_i128..997) {
        let value = Fraction::new(top, bottom).unwrap();
        let one = Fraction::ONE;
        let down = show(Number::Exact(value), one, Direction::Down).unwrap().value;
        let up = show(Number::Exact(value), one, Direction::Up).unwrap().value;
        prop_assert!(down <= value && value <= up);
        prop_assert!(up.sub(down).unwrap() <= one);
    }
}
