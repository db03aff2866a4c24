//! Boards as they are read aloud: one of each family in both unit systems, beside a text that was
//! read by ear. `UPDATE_ALOUD=1` writes it anew.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::formulas::System;
use drillwright::page::aloud::{SIGNS, line, spoken};
use drillwright::stock;

use crate::engine::example;

#[test]
fn boards_of_every_family_are_read_aloud_as_written() {
    let course = example();
    let mut text = String::new();
    let mut families = BTreeSet::new();
    for formula in course.library.formulas() {
        if !families.insert(formula.family.clone()) {
            continue;
        }
        for system in [System::Us, System::Si] {
            let inputs = formula.example(system, &BTreeMap::new());
            let Ok(worked) = course.library.work(&formula.id, &inputs, system) else {
                continue;
            };
            text.push_str(&format!("{} {system:?}: {}\n", formula.family, formula.title));
            for each in &worked.lines {
                text.push_str(&format!("  {}\n", line(each, &stock::words())));
            }
        }
    }
    assert!(families.len() > 8, "{families:?}");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/aloud.txt");
    if std::env::var_os("UPDATE_ALOUD").is_some() {
        fs::write(&path, &text).unwrap();
    }
    assert_eq!(text, fs::read_to_string(&path).unwrap());
}

/// No board of any formula is read with a sign that programs pass over.
#[test]
fn no_board_is_read_with_a_sign_that_is_passed_over() {
    let course = example();
    let (mut lines, mut odd) = (0, BTreeSet::new());
    for formula in course.library.formulas() {
        for system in [System::Us, System::Si] {
            let inputs = formula.example(system, &BTreeMap::new());
            let Ok(worked) = course.library.work(&formula.id, &inputs, system) else {
                continue;
            };
            for each in &worked.lines {
                lines += 1;
                let said = line(each, &stock::words());
                let strange =
                    |c: &char| !(c.is_ascii_alphanumeric() || SIGNS.contains(*c));
                odd.extend(
                    said.chars().filter(strange).map(|c| format!("{c} in {said}")),
                );
                assert!(!said.contains(" in in "), "{said}");
            }
        }
    }
    assert!(lines > 300, "{lines}");
    assert!(odd.is_empty(), "{odd:#?}");
}

#[test]
fn signs_and_units_are_said() {
    let n = '\u{a0}';
    for (text, sum, says) in [
        (format!("0.5{n}% × 125{n}gpm"), true, "0.5 / 100 × 125 gpm"),
        (format!("3{n}gpm ÷ 0.5{n}%"), true, "3 gpm divided by (0.5 / 100)"),
        (format!("0.625{n}gpm"), false, "0.625 gpm"),
        (format!("2.91{n}%"), false, "2.91 percent"),
        (format!("(1.75{n}in)² − 2{n}in"), true, "(1.75 inches) squared minus 2 inches"),
        (format!("√(50) × −3{n}ft²"), true, "square root of (50) × minus 3 square feet"),
        ("|2 − 5|^2".to_owned(), true, "size of (2 minus 5) to the power of 2"),
        (format!("10{n}min ≈ 5{n}m"), true, "10 min about 5 metres"),
        (format!("68{n}°F"), false, "68 degrees Fahrenheit on the scale"),
    ] {
        assert_eq!(spoken(&text, sum, &stock::words()), says);
    }
}
