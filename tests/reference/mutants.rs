//! Every formula changed in one place, a sign or a number at a time: at least one case of the reference
//! must notice. What no case notices stands in a list, so that whoever adds a formula sees it grow.

#![expect(
    clippy::string_slice,
    reason = "lines of formulas are cut where a sign was found"
)]

use std::collections::BTreeSet;

use drillwright::formulas::{Formula, Library, Reach, System};
use drillwright::stock;

use super::cases::{Mapping, Reference, reference};
use super::read;

/// A line of a formula, changed in one place: each sign turned around, each number half as large
/// again.
fn changed(line: &str) -> Vec<String> {
    // What stands before the sign of equality is a name.
    let Some((name, text)) = line.split_once(" = ") else { return Vec::new() };
    let mut found = Vec::new();
    for (sign, other) in [(" + ", " - "), (" - ", " + "), (" * ", " / "), (" / ", " * ")]
    {
        for (at, _) in text.match_indices(sign) {
            let (before, after) = (&text[..at], &text[at + sign.len()..]);
            found.push(format!("{name} = {before}{other}{after}"));
        }
    }
    let word = |c: char| c.is_ascii_alphanumeric() || "-_.^".contains(c);
    let mut at = 0;
    while let Some(begin) =
        text[at..].find(|c: char| c.is_ascii_digit()).map(|by| at + by)
    {
        let rest = &text[begin..];
        let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.'));
        let end = begin + end.unwrap_or(rest.len());
        at = end;
        // A digit inside a name or a power of a unit is no number of the formula.
        if text[..begin].ends_with(word) || text[end..].starts_with('-') {
            continue;
        }
        let number: f64 = text[begin..end].parse().unwrap();
        // Half of nothing is nothing: a bound of zero becomes one.
        #[expect(clippy::float_arithmetic, reason = "any other number will do")]
        let other = if number > 0.0 { number * 1.5 } else { 1.0 };
        found.push(format!("{name} = {}{other}{}", &text[..begin], &text[end..]));
    }
    found
}

/// The cases that a formula has a part in, with what they reach.
fn cases_of<'r>(
    all: &Library,
    reference: &'r Reference,
    id: &str,
) -> (Vec<&'r super::cases::Pair>, Reach) {
    let reaches = |formula: &str| {
        all.reach([formula]).formulas.iter().any(|formula| formula.id == id)
    };
    let asked =
        |mapping: &Mapping| mapping.kind.is_none().then(|| mapping.formula.clone());
    let pairs: Vec<_> = reference
        .pairs
        .iter()
        .filter(|(_, mapping)| asked(mapping).flatten().is_some_and(|id| reaches(&id)))
        .collect();
    let asked: BTreeSet<String> =
        pairs.iter().filter_map(|(_, mapping)| mapping.formula.clone()).collect();
    let reach = all.reach(asked.iter().map(String::as_str));
    (pairs, reach)
}

/// What is in the list cannot be noticed by any case, for these reasons:
///
/// - `* 1` turned into `/ 1` is the same for all givens (bands, droplets, heat, litres).
/// - `else 300 %` and `else 150 %` take the place of a percent where the unit gives more
///   concentrate than the nozzles flow: a limit above every percent that can be set.
/// - `min(…, 1.5)` bounds the part for the way of a lift: the way is 10 inches at the least, at
///   which the part is 1 by itself.
#[test]
fn a_changed_formula_is_noticed() {
    let (all, reference, words) = (read::library(), reference(), stock::words());
    let (mut told, mut noticed, mut survivors) = (0, 0, Vec::new());
    let formulas: Vec<Formula> = all.formulas().cloned().collect();
    for formula in &formulas {
        let (pairs, reach) = cases_of(&all, &reference, &formula.id);
        // A case that always differs would notice everything.
        let unchanged = reach.clone().library(&words);
        for (case, mapping) in &pairs {
            let wrong = reference.by_formula(&unchanged, case, mapping);
            assert!(wrong.is_empty(), "{}: {wrong:?}", case.id);
        }
        let works = |system: System| {
            let mut of =
                pairs.iter().map(|(_, mapping)| mapping.system.unwrap_or(System::Us));
            of.any(|one| one == system)
        };
        for (si, lines) in [(false, &formula.work), (true, &formula.work_si)] {
            // A metric line of its own is held by the test of both systems where no case is metric.
            if si && !works(System::Si) {
                continue;
            }
            for (at, line) in lines.iter().enumerate() {
                for text in changed(&line.text) {
                    told += 1;
                    let mut other = reach.clone();
                    for known in
                        other.formulas.iter_mut().filter(|one| one.id == formula.id)
                    {
                        let lines = if si { &mut known.work_si } else { &mut known.work };
                        lines[at].text.clone_from(&text);
                    }
                    let library = other.library(&words);
                    let seen = pairs.iter().any(|(case, mapping)| {
                        !reference.by_formula(&library, case, mapping).is_empty()
                    });
                    if seen {
                        noticed += 1;
                    } else {
                        survivors.push(format!("{}: {text}", formula.id));
                    }
                }
            }
        }
    }
    println!("{noticed} of {told} changes are noticed");
    assert!(told > 200, "{told} changes: the formulas have gone missing");
    // Safety hangs on these sums: whoever adds a formula adds the cases that hold each of its signs.
    assert!(
        100 * noticed >= 98 * told,
        "only {noticed} of {told}:\n{}",
        survivors.join("\n")
    );
    let list = survivors.join("\n");
    insta::assert_snapshot!("changes_that_no_case_notices", list);
}
