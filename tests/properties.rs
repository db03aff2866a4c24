//! Properties of numbers over random inputs.

use proptest::prelude::*;

use drillwright::authoring;
use drillwright::findings::Sources;
use drillwright::formulas::{Input, Inputs, System};
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

/// Tenths half away from zero in whole numbers, of a product that counts in 100,000ths; and
/// whether it lies half-way.
fn tenths(product: i128) -> (i128, bool) {
    let down = product.div_euclid(10_000);
    let rest = product.rem_euclid(10_000);
    (down + i128::from(rest >= 5_000), rest == 5_000)
}

/// Every product of a grid of percents in hundredths, flows and times in tenths. Half a tenth
/// is where binary floats go wrong: 4.25 gal is 4.3 on paper.
#[test]
fn every_tie_of_a_grid_prints_as_exact_decimals_do() {
    let (library, _) = authoring::library(&Sources::new());
    let decimal = |number: i128, scale: i128| Fraction::new(number, scale).unwrap();
    let given = |number: Fraction, unit: &str| {
        Input::Number(Quantity::read(&format!("{number} {unit}")).unwrap())
    };
    let (mut products, mut ties) = (0, 0);
    for percent in (5..=500).step_by(5) {
        for flow in (5..=250).step_by(5) {
            for time in (5..105).step_by(5) {
                products += 1;
                let (expected, tie) = tenths(percent * flow * time);
                let value = Number::Exact(decimal(percent * flow * time, 100_000));
                let shown = show(value, decimal(1, 10), Direction::Near).unwrap();
                assert_eq!(shown.value, decimal(expected, 10), "{percent} {flow} {time}");
                if !tie {
                    continue;
                }
                ties += 1;
                let inputs: Inputs = [
                    ("percent", given(decimal(percent, 100), "%")),
                    ("flow", given(decimal(flow, 1), "gpm")),
                    ("time", given(decimal(time, 10), "min")),
                ]
                .map(|(name, input)| (name.to_owned(), input))
                .into();
                let worked =
                    library.work("concentrate-used", &inputs, System::Us).unwrap();
                let printed = Fraction::read(&worked.answers[0].value);
                assert_eq!(printed, Some(decimal(expected, 10)), "{inputs:?}");
            }
        }
    }
    println!("{products} products, {ties} ties");
    assert!(products == 100_000 && ties > 500, "{products} products, {ties} ties");
}
