//! What holds for papers of one batch and for the forms that are kept of them.

use std::collections::{BTreeMap, BTreeSet};

use super::fixture::{self, Department};
use super::*;
use crate::course::{Draw, Edge, QuestionKind, Tolerance};
use crate::quantity::Comma;

#[test]
fn papers_for_neighbours_share_no_drawn_value() {
    let department = Department::new();
    let set = fixture::set(properties::all(), None);
    let prepared = PreparedSet::of(&set, department.kit()).unwrap();
    let none = BTreeMap::new();
    let mut codes = BTreeSet::new();
    for seed in 0..20_u32 {
        let seed = seed.to_string();
        let order =
            Order { copies: 8, seed: &seed, attempt: 1, practice_sheets: 2, ease: &none };
        let batch = prepared.batch(order).unwrap();
        assert_eq!(batch.beside, []);
        assert_eq!((batch.sheets.len(), batch.gap), (8, None));
        let retest = prepared.batch(Order { attempt: 2, ..order }).unwrap();
        let mut texts = BTreeSet::new();
        for sheet in batch.sheets.iter().chain(&retest.sheets) {
            assert_eq!(sheet.paper.marks, batch.sheets[0].paper.marks);
            assert!(codes.insert(sheet.paper.code.clone()), "{}", sheet.paper.code);
            for item in &sheet.paper.items {
                let drawn = !matches!(item.kind, ItemKind::Judge | ItemKind::Order);
                let new = texts.insert((item.question.clone(), item.text.clone()));
                assert!(new || !drawn, "{} stands on two papers", item.text);
            }
        }
        for (one, other) in batch.sheets.iter().zip(batch.sheets.iter().skip(1)) {
            for (key, twin) in one.key.items.iter().zip(&other.key.items) {
                for value in &key.drawn {
                    let shared = twin.drawn.iter().any(|there| there.text == value.text);
                    assert!(!shared, "{value:?} stands on two neighbours");
                }
            }
        }
        // The papers of fewer copies are the first of these.
        let two = prepared.batch(Order { copies: 2, ..order }).unwrap();
        assert_eq!(two.sheets[1].paper.items, batch.sheets[1].paper.items);
    }
}

#[test]
fn what_neighbours_must_share_is_told() {
    let department = Department::new();
    let mut question = fixture::number();
    question.conditions = vec!["percent < 0.6 %".into()];
    let set = fixture::set(vec![question], None);
    let prepared = PreparedSet::of(&set, department.kit()).unwrap();
    let none = BTreeMap::new();
    let order =
        Order { copies: 3, seed: "x", attempt: 1, practice_sheets: 0, ease: &none };
    let found = prepared.batch(order).unwrap().beside;
    let told: Vec<(&str, u32)> =
        found.iter().map(|beside| (beside.name.as_str(), beside.copy)).collect();
    assert_eq!(told, [("percent", 1), ("percent", 2)]);
    let many = prepared.batch(Order { copies: 60, ..order }).unwrap_err();
    assert_eq!(many.fault, QuestionFault::NoDraw);
}

#[test]
fn a_kept_form_marks_as_the_variant_does() {
    let department = Department::new();
    let set = fixture::set(properties::all(), None);
    let prepared = PreparedSet::of(&set, department.kit()).unwrap();
    let words = &department.words;
    for seed in 0..40_u32 {
        let sheet = prepared.graded(&seed.to_string(), 1, 0).unwrap();
        let kept = serde_json::to_string(&Form::of(&sheet)).unwrap();
        let form: Form = serde_json::from_str(&kept).unwrap();
        assert_eq!(form, Form::of(&sheet));
        for (variant, item) in sheet.variants.iter().zip(&form.items) {
            let key = variant.key();
            let wrong = key.wrong.iter().map(|wrong| &wrong.text);
            let letters = key.wrong.iter().filter_map(|wrong| wrong.letter.as_ref());
            let right = key.letter.as_ref().unwrap_or(&key.answer);
            for written in wrong.chain(letters).chain([right, &" ".into(), &"?".into()]) {
                let marked = item.mark(written, Comma::Unfixed, words);
                assert_eq!(marked, variant.mark(written, Comma::Unfixed, words));
            }
            let marked = item.mark(right, Comma::Unfixed, words);
            assert_eq!(marked.outcome, Outcome::Right, "{right}");
        }
    }
}

#[test]
fn more_digits_than_were_asked_for_are_right() {
    let department = Department::new();
    let mut question = fixture::number();
    question.draws = vec![
        ("percent".into(), Draw::Of(vec![fixture::q("0.3 %")])),
        ("flow".into(), Draw::Of(vec![fixture::q("96 gpm")])),
    ];
    let zero = Edge::Absolute(fixture::q("0 gpm"));
    if let QuestionKind::Number { tolerance, .. } = &mut question.kind {
        *tolerance = Tolerance { below: zero.clone(), above: zero };
    }
    let prepared = Prepared::of(&question, department.kit()).unwrap();
    let ticket = Ticket { purpose: Purpose::Graded, seed: "x", attempt: 1 };
    let variant = prepared.variant(ticket, 1, &BTreeSet::new()).unwrap();
    // 0.288 gpm, printed 0.29 gpm: what rounds to that is right, edges and all.
    let key = variant.key();
    assert_eq!(key.answer, "0.29\u{a0}gpm");
    assert_eq!(
        (key.least.as_deref(), key.most.as_deref()),
        (Some("0.285\u{a0}gpm"), Some("0.295\u{a0}gpm"))
    );
    for (written, outcome) in [
        ("0.29", Outcome::Right),
        ("0.288", Outcome::Right),
        ("0.285", Outcome::Right),
        ("0.295", Outcome::Right),
        ("0.2849", Outcome::Wrong),
        ("0.2951", Outcome::Wrong),
        ("0.28", Outcome::Wrong),
    ] {
        let marked = variant.mark(written, Comma::Unfixed, &department.words);
        assert_eq!(marked.outcome, outcome, "{written}");
    }
}
