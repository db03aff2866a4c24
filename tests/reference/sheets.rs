//! What every sheet of the trade library owes: sources, slips, and two systems that agree.

use std::collections::BTreeSet;

use drillwright::formulas::SlipKind;

use super::read;

#[test]
fn every_formula_has_slips_and_listed_sources() {
    let (library, sources) = (read::library(), read::sources());
    let known: BTreeSet<&str> = sources.iter().map(|s| s.source.as_str()).collect();
    for formula in library.formulas() {
        let id = &formula.id;
        assert!(formula.slips.len() >= 3, "{id} has fewer than three slips");
        assert!(!formula.sources.is_empty(), "{id} has no source");
        let tens = formula.slips.iter().filter(|s| s.kind == SlipKind::PowerOfTen);
        assert!(tens.count() <= 1, "{id} has two slips of the decimal point");
        for slip in &formula.slips {
            let sentences = slip.says.matches(". ").count();
            assert!(slip.says.ends_with('.') && sentences == 0, "{id}: {}", slip.says);
        }
        for source in &formula.sources {
            assert!(known.contains(source.source.as_str()), "{id}: {}", source.source);
        }
        if formula.family == "proportioning" {
            let other = formula.slips.iter().any(|s| s.kind == SlipKind::OtherBasis);
            assert!(other, "{id} lacks the slip of the other basis");
            assert!(formula.basis.is_some(), "{id} does not say its basis");
        }
    }
    let rows = library.tables().iter().flat_map(|t| t.rows.iter().map(|row| &row.source));
    let others = library.constants().iter().flat_map(|c| c.others.iter().map(|(_, s)| s));
    for source in rows.chain(others).chain(library.constants().iter().map(|c| &c.source))
    {
        assert!(known.contains(source.source.as_str()), "{}", source.source);
    }
}

#[test]
fn every_line_of_the_library_checks() {
    assert!(read::library().formulas().count() > 80);
}
