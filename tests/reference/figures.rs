//! The figure of an answer alone is the one that the board prints.

use drillwright::formulas::System;

use super::cases::{Mapping, reference};
use super::read;

#[test]
fn a_figure_without_its_board_is_the_figure_of_the_board() {
    let (library, reference) = (read::library(), reference());
    let (mut held, mut shares, mut refused) = (0, 0, 0);
    for (case, mapping) in &reference.pairs {
        let Mapping { formula: Some(formula), .. } = mapping else { continue };
        let inputs = reference.inputs(case, mapping);
        for system in [System::Us, System::Si, System::SiBar] {
            let worked = match library.work(formula, &inputs, system) {
                Ok(worked) => worked,
                Err(fault) => {
                    let alone = library.figure(formula, None, (&inputs, system));
                    assert_eq!(alone.err(), Some(fault), "{}", case.id);
                    refused += 1;
                    continue;
                }
            };
            let names = worked.answers.iter().map(|answer| Some(answer.name.as_str()));
            for name in names.chain([None]) {
                let answer = worked.answer(name).unwrap();
                let alone = library.figure(formula, name, (&inputs, system));
                let (figure, share) = alone.unwrap().unwrap();
                assert_eq!(figure, answer.figure(), "{}, {name:?}", case.id);
                assert_eq!(share, answer.unit == "%", "{}, {name:?}", case.id);
                held += 1;
                shares += usize::from(share);
            }
            let other = Some("no-answer-of-that-name");
            let none = library.figure(formula, other, (&inputs, system));
            assert_eq!(none, Ok(None), "{}", case.id);
        }
    }
    assert!(held > 1500 && shares > 50 && refused > 0, "{held}, {shares}, {refused}");
}
