//! Answers that make sense: no figure in the givens' ranges comes out as one that nobody could
//! work with, and what is refused says what it means.

use std::collections::BTreeSet;

use drillwright::formulas::{Input, Inputs, Library, System};
use drillwright::quantity::{Fraction, Number, Quantity, find};
use drillwright::{stock, words::Words};

use super::random::{Draws, Written, systems};
use super::read;

fn q(text: &str) -> Quantity {
    Quantity::read(text).unwrap()
}

fn inputs(given: &[(&str, &str)]) -> Inputs {
    let one = |(name, text): &(&str, &str)| ((*name).to_owned(), Input::Number(q(text)));
    given.iter().map(one).collect()
}

fn says(library: &Library, id: &str, given: &[(&str, &str)], words: &Words) -> String {
    let fault = library.work(id, &inputs(given), System::Us).unwrap_err();
    fault.say(words).replace('\u{a0}', " ")
}

/// A printed answer lies within its limits, but for the step it is rounded to; and one that
/// has a least value above nothing is never printed as nothing.
#[test]
fn no_answer_in_range_is_printed_beyond_its_sense() {
    let library = read::library();
    let (mut wrong, mut printed, mut refused) = (BTreeSet::new(), 0, 0);
    for formula in library.formulas() {
        for system in systems(formula) {
            let mut draws = Draws::new(&library, formula, *system, Written::AsShown);
            for _ in 0..100 {
                let inputs = draws.any();
                let Ok(tried) = library.attempt(&formula.id, &inputs, *system) else {
                    refused += 1;
                    continue;
                };
                for (own, number) in formula.answers.iter().zip(tried.answers) {
                    let Some(number) = number else { continue };
                    printed += 1;
                    let metric = *system == System::Si;
                    let shown = if metric { own.shown_si } else { own.shown };
                    let named = (own.name.as_str(), number);
                    let answer =
                        library.print(&formula.id, named, *system, shown).unwrap();
                    let value = Fraction::read(&answer.value).unwrap();
                    let unit = if own.clock { find("s").unwrap() } else { shown.unit() };
                    let step = shown.number();
                    let at = |value: Option<Fraction>| {
                        Quantity::new(value.unwrap(), unit).base()
                    };
                    let off = own.sense.iter().any(|sense| {
                        let above = sense.most.is_some_and(|most| {
                            at(value.sub(step)).compare(most.base()).is_gt()
                        });
                        let below = sense.least.is_some_and(|least| {
                            let none = value == Fraction::ZERO
                                && least.base().compare(Number::ZERO).is_gt();
                            none || at(value.add(step)).compare(least.base()).is_lt()
                        });
                        above || below
                    });
                    if off {
                        wrong.insert(format!(
                            "{} {system:?} {}: {}",
                            formula.id, own.name, answer.text
                        ));
                    }
                }
            }
        }
    }
    println!("{printed} answers printed, {refused} points refused");
    assert!(wrong.is_empty(), "\n{}", wrong.into_iter().collect::<Vec<_>>().join("\n"));
    assert!(printed > 10_000 && refused > 1_000);
}

/// The figures that were once printed.
#[test]
fn what_nobody_could_work_with_is_refused_with_its_limit() {
    let (library, words) = (read::library(), stock::words());
    let hose = "1500 psi/(100 gpm)^2/100 ft";
    let pump = says(
        &library,
        "pump-pressure",
        &[
            ("nozzle", "100 psi"),
            ("coefficient", hose),
            ("flow", "250 gpm"),
            ("length", "1000 ft"),
        ],
        &words,
    );
    assert!(pump.contains("93,850 psi") && pump.contains("600 psi"), "{pump}");
    let fine = "0.02 psi/(100 gpm)^2/100 ft";
    let hose = says(
        &library,
        "eductor-hose",
        &[
            ("inlet", "200 psi"),
            ("nozzle", "100 psi"),
            ("coefficient", fine),
            ("flow", "60 gpm"),
        ],
        &words,
    );
    assert!(hose.contains("2000 ft"), "{hose}");
    let small = [("foam", "60 mL"), ("solution", "100 mL")];
    let foam = says(&library, "expansion-by-volume", &small, &words);
    assert!(foam.contains("0.6") && foam.contains("never smaller"), "{foam}");
    let strong = [("concentrate", "700 mL"), ("total", "100 mL")];
    let standard = says(&library, "standard-solution", &strong, &words);
    assert!(standard.contains("700 %") && standard.contains("12 %"), "{standard}");
}

/// A refusal says what it means at the panel, with its figure, in both systems alike.
#[test]
fn a_refusal_says_what_it_means_at_the_panel() {
    let (library, words) = (read::library(), stock::words());
    // 28 gal at 0.5 % of 442 gpm are 12.67 minutes by hand: 28 / 2.21.
    let ran_out = [
        ("foam", "28 gal"),
        ("before", "0.5 %"),
        ("after", "1 %"),
        ("flow", "442 gpm"),
        ("elapsed", "13 min"),
    ];
    let told = says(&library, "endurance-after-change", &ran_out, &words);
    assert_eq!(told, "Not known: The foam ran out after 12:40, before the change.");
    let metric = library.work("endurance-after-change", &inputs(&ran_out), System::Si);
    assert!(metric.unwrap_err().say(&words).contains("12:40"));
    let downhill = [
        ("nozzle", "50 psi"),
        ("coefficient", "15.5 psi/(100 gpm)^2/100 ft"),
        ("flow", "20 gpm"),
        ("length", "100 ft"),
        ("elevation", "-100 psi"),
    ];
    let told = says(&library, "pump-pressure-full", &downhill, &words);
    assert!(told.contains("Downhill gives more"), "{told}");
    let full = [("full", "28 gal"), ("left", "30 gal"), ("size", "5 gal")];
    assert!(says(&library, "refill", &full, &words).contains("read the level again"));
}

/// Where the supply keeps up the water does not end: no figure, no line of it, on no board.
#[test]
fn water_that_a_supply_keeps_up_with_does_not_end() {
    let library = read::library();
    let given = |supply: &str| {
        inputs(&[
            ("foam", "28 gal"),
            ("water", "720 gal"),
            ("percent", "0.8 %"),
            ("foam-flow", "125 gpm"),
            ("plain-flow", "125 gpm"),
            ("supply", supply),
        ])
    };
    for system in [System::Us, System::Si] {
        let kept = library.work("endurance", &given("250 gpm"), system).unwrap();
        let water = kept.answer(Some("water-time")).unwrap();
        assert_eq!((water.text.as_str(), water.number), ("does not end", None));
        assert!(water.figure().is_err());
        assert!(kept.lines.iter().all(|line| line.label != "time the water lasts"));
        let whole = kept.answer(None).unwrap();
        let foam = kept.answer(Some("foam-time")).unwrap();
        assert_eq!(whole.text, foam.text);
        let short = library.work("endurance", &given("100 gpm"), system).unwrap();
        assert!(short.answer(Some("water-time")).unwrap().number.is_some());
        // A draw that asks for it gets no number either.
        let tried = library.attempt("endurance", &given("250 gpm"), system).unwrap();
        let at = library.formula("endurance").unwrap().answers.iter();
        let at = at.clone().position(|answer| answer.name == "water-time").unwrap();
        assert_eq!(tried.answers[at], None);
    }
}

/// Every limit names where it comes from, and every answer that the ranges let grow beyond
/// ten thousandfold has one.
#[test]
fn answers_that_may_grow_without_bound_have_a_limit() {
    let library = read::library();
    let mut limits = 0;
    for formula in library.formulas() {
        for answer in &formula.answers {
            for sense in &answer.sense {
                assert!(!sense.source.source.is_empty() && sense.says.ends_with('.'));
                limits += 1;
            }
        }
    }
    assert!(limits > 90, "{limits} limits");
}
