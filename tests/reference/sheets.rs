//! What every sheet of the trade library owes: sources, slips, and two systems that agree.

use std::collections::BTreeSet;

use drillwright::formulas::{Formula, SlipKind};

use super::read;

/// What a formula owes: a source of the list, three slips or more, one sentence each, at most
/// one of the decimal point; and where it proportions, its basis and the slip of the other.
fn owed(formula: &Formula, known: &BTreeSet<&str>) -> Vec<String> {
    let mut out = Vec::new();
    let mut owes = |is: bool, what: &str| {
        if is {
            out.push(format!("{} {what}", formula.id));
        }
    };
    let kind = |kind| formula.slips.iter().filter(move |slip| slip.kind == kind).count();
    owes(formula.slips.len() < 3, "has fewer than three slips");
    // A point too far left, one too far right, and a hundred that was left out.
    owes(kind(SlipKind::PowerOfTen) > 3, "has four slips of the decimal point");
    for slip in &formula.slips {
        let whole = slip.says.ends_with('.') && !slip.says.contains(". ");
        owes(!whole, &format!("has no single sentence: {}", slip.says));
    }
    owes(formula.sources.is_empty(), "has no source");
    for source in &formula.sources {
        let listed = known.contains(source.source.as_str());
        owes(!listed, &format!("has a source that is not listed: {}", source.source));
    }
    if formula.family == "proportioning" {
        owes(kind(SlipKind::OtherBasis) == 0, "lacks the slip of the other basis");
        owes(formula.basis.is_none(), "does not say its basis");
    }
    out
}

#[test]
fn every_formula_has_slips_and_listed_sources() {
    let (library, sources) = (read::library(), read::sources());
    let known: BTreeSet<&str> = sources.iter().map(|s| s.source.as_str()).collect();
    for formula in library.formulas() {
        assert_eq!(owed(formula, &known), Vec::<String>::new());
    }
    let rows = library.tables().iter().flat_map(|t| t.rows.iter().map(|row| &row.source));
    let others = library
        .constants()
        .iter()
        .flat_map(|c| c.others.iter().map(|other| &other.source));
    for source in rows.chain(others).chain(library.constants().iter().map(|c| &c.source))
    {
        assert!(known.contains(source.source.as_str()), "{}", source.source);
    }
}

#[test]
fn a_formula_that_owes_something_is_noticed() {
    let (library, sources) = (read::library(), read::sources());
    let known: BTreeSet<&str> = sources.iter().map(|s| s.source.as_str()).collect();
    let sound = library.formula("concentrate-flow").unwrap();
    let broken = |change: fn(&mut Formula)| {
        let mut formula = sound.clone();
        change(&mut formula);
        owed(&formula, &known)
    };
    let faulty: [fn(&mut Formula); 6] = [
        |formula| formula.sources.clear(),
        |formula| formula.sources[0].source = "hearsay".into(),
        |formula| formula.slips.retain(|slip| slip.kind != SlipKind::OtherBasis),
        |formula| formula.basis = None,
        |formula| formula.slips.truncate(2),
        |formula| formula.slips[0].says.push_str(" And more."),
    ];
    for change in faulty {
        assert!(!broken(change).is_empty());
    }
    assert_eq!(broken(|_| ()), Vec::<String>::new());
}

#[test]
fn every_line_of_the_library_checks() {
    assert!(read::library().formulas().count() > 80);
}
