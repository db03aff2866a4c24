//! What people type in answer to a question, judged.

use std::collections::BTreeSet;

use super::fixture::{self, Department, q};
use super::*;
use crate::course::{Draw, Edge, QuestionKind, Tolerance};
use crate::quantity::Comma;

fn ticket(seed: &str) -> Ticket<'_> {
    Ticket { purpose: Purpose::Graded, seed, attempt: 1 }
}

#[test]
fn typed_answers_are_read_and_slips_named() {
    let words = Department::new().words;
    let department = Department::new();
    let mut question = fixture::number();
    question.draws = vec![
        ("percent".into(), Draw::Of(vec![q("3 %")])),
        ("flow".into(), Draw::Of(vec![q("95 gpm")])),
    ];
    let prepared = Prepared::of(&question, department.kit()).unwrap();
    let variant = prepared.variant(ticket("x"), 1, &BTreeSet::new()).unwrap();
    let mark = |text: &str| variant.mark(text, Comma::Unfixed, &words);
    for right in
        ["2.85", "2,85 gpm", " 2.85 GPM", "10.788 L/min", "171 gph", "2.8557", "2.8443"]
    {
        assert_eq!(mark(right).outcome, Outcome::Right, "{right}");
    }
    for (wrong, slip) in [
        ("28.5", "point"),
        ("2.77 gpm", "other-basis"),
        ("92.15", "water"),
        ("285", "no-hundredth"),
        ("0.0285", "point-moved"),
    ] {
        let marked = mark(wrong);
        assert_eq!(marked.outcome, Outcome::Wrong);
        assert_eq!(marked.slip.unwrap().slip, slip, "{wrong}");
    }
    assert!(mark("7").slip.is_none());
    for odd in ["2.85 gal", "2.85 %", "two", "2.85 gpn", "1.2.3", "2,85,3", "abc", "gpm"]
    {
        let marked = mark(odd);
        assert_eq!(marked.outcome, Outcome::Unreadable, "{odd}: {marked:?}");
        assert!(marked.because.is_some());
    }
    for blank in [" ", "", "-", "–", "---", "/"] {
        assert_eq!(mark(blank).outcome, Outcome::Blank, "{blank}");
    }
    let thousands = variant.mark("1,234", Comma::Thousands, &words);
    assert_eq!(thousands.outcome, Outcome::Wrong);
}

#[test]
fn times_are_read_in_every_spelling() {
    let department = Department::new();
    let mut question = fixture::clock();
    // 9.999 gal at 0.95 gpm last 631.5 s, shown as 10:31.
    question.draws = vec![
        ("percent".into(), Draw::Of(vec![q("1 %")])),
        ("flow".into(), Draw::Of(vec![q("95 gpm")])),
        ("stock".into(), Draw::Of(vec![q("9.999 gal")])),
    ];
    let prepared = Prepared::of(&question, department.kit()).unwrap();
    let variant = prepared.variant(ticket("x"), 1, &BTreeSet::new()).unwrap();
    assert_eq!(
        (variant.key.answer.as_str(), variant.item.unit.as_deref()),
        ("10:31", Some("min:s"))
    );
    assert_eq!(
        (variant.key.least.as_deref(), variant.key.most.as_deref()),
        (Some("10:29"), Some("10:31"))
    );
    let mark = |text: &str| variant.mark(text, Comma::Unfixed, &department.words);
    for right in
        ["10:31", "10 min 31 s", "10min31s", "10.5 min", "10,5 min", "631 s", "0.1752 h"]
    {
        assert_eq!(mark(right).outcome, Outcome::Right, "{right}");
    }
    let slip = mark("10.31 min");
    assert_eq!(
        (slip.outcome, slip.slip.unwrap().slip.as_str()),
        (Outcome::Wrong, CLOCK_AS_DECIMAL)
    );
    assert_eq!(mark("10:32").outcome, Outcome::Wrong);
    for odd in ["10.31", "10:3", "10:61", "10 gal", "10 min 31 gal"] {
        assert_eq!(mark(odd).outcome, Outcome::Unreadable, "{odd}");
    }
}

#[test]
fn minutes_with_decimals_are_right_as_far_as_they_go_and_never_above() {
    let department = Department::new();
    let mut question = fixture::clock();
    question.draws = vec![
        ("percent".into(), Draw::Of(vec![q("1 %")])),
        ("flow".into(), Draw::Of(vec![q("95 gpm")])),
        ("stock".into(), Draw::Of(vec![q("9.999 gal")])),
    ];
    // An author who allows no second on either side still asks for a time and not for its writing.
    if let QuestionKind::Number { tolerance, .. } = &mut question.kind {
        let none = || Edge::Absolute(q("0 s"));
        *tolerance = Tolerance { below: none(), above: none() };
    }
    let prepared = Prepared::of(&question, department.kit()).unwrap();
    let variant = prepared.variant(ticket("x"), 1, &BTreeSet::new()).unwrap();
    let mark = |text: &str| variant.mark(text, Comma::Unfixed, &department.words).outcome;
    for right in ["10:31", "10.5 min", "10,5 min", "10.52 min", "10.5 minutes"] {
        assert_eq!(mark(right), Outcome::Right, "{right}");
    }
    for wrong in
        ["10.4 min", "10.6 min", "10.53 min", "10.51 min", "10 min", "630 s", "10:29"]
    {
        assert_eq!(mark(wrong), Outcome::Wrong, "{wrong}");
    }
    // Minutes and seconds copied with a point stay the slip that they are.
    assert_eq!(mark("10.31 min"), Outcome::Wrong);
}

#[test]
fn an_open_side_is_not_open_to_the_other_side_of_zero() {
    let department = Department::new();
    let mut pails = fixture::number();
    pails.text = "{stock}?".into();
    pails.draws = vec![("stock".into(), Draw::Of(vec![q("16 gal")]))];
    let tolerance = Tolerance { below: Edge::Absolute(q("0")), above: Edge::Open };
    pails.kind =
        QuestionKind::Number { ask: fixture::ask("pails", &["stock"]), tolerance };
    let prepared = Prepared::of(&pails, department.kit()).unwrap();
    let variant = prepared.variant(ticket("x"), 1, &BTreeSet::new()).unwrap();
    let mark = |text: &str| variant.mark(text, Comma::Unfixed, &department.words).outcome;
    assert_eq!(mark("4"), Outcome::Right);
    assert_eq!(mark("40"), Outcome::Right);
    for wrong in ["3", "0", "-0", "-4", "-40"] {
        assert_eq!(mark(wrong), Outcome::Wrong, "{wrong}");
    }
}

#[test]
fn a_number_of_two_readings_is_never_judged_by_a_guess() {
    let department = Department::new();
    let mut question = fixture::number();
    question.draws = vec![
        ("percent".into(), Draw::Of(vec![q("3 %")])),
        ("flow".into(), Draw::Of(vec![q("95 gpm")])),
    ];
    let prepared = Prepared::of(&question, department.kit()).unwrap();
    let variant = prepared.variant(ticket("x"), 1, &BTreeSet::new()).unwrap();
    let mark = |text: &str, comma| {
        let marked = variant.mark(text, comma, &department.words);
        (marked.outcome, marked.doubt.is_some())
    };
    // One reading is right: 2.85 gpm.
    assert_eq!(mark("2,850", Comma::Unfixed), (Outcome::Unreadable, true));
    assert_eq!(mark("2,850", Comma::Decimal), (Outcome::Unreadable, true));
    assert_eq!(mark("2,850", Comma::Thousands), (Outcome::Wrong, false));
    assert_eq!(mark("2,853", Comma::Decimal), (Outcome::Right, false));
    // Neither is.
    assert_eq!(mark("1,234", Comma::Unfixed), (Outcome::Wrong, true));
    assert_eq!(mark("1,234", Comma::Decimal), (Outcome::Wrong, false));
}
