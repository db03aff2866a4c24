//! The lines of rig cards: what is wrong in `trade/cards.yaml` is found at its place.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use drillwright::findings::{Code, Finding, Sources};
use drillwright::{authoring, stock};

const CARDS: &str = "trade/cards.yaml";

/// The module without any fault of `tests/wrong`, with one text of the cards replaced.
fn with(replace: &str, by: &str) -> (Vec<Finding>, String) {
    let base = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/wrong/base");
    let mut sources: Sources = stock::trade();
    let mut pictures = BTreeSet::new();
    for entry in walkdir::WalkDir::new(&base) {
        let entry = entry.unwrap();
        let name = entry.path().strip_prefix(&base).unwrap().to_str().unwrap().to_owned();
        if name.starts_with("pictures/") {
            pictures.insert(name);
        } else if entry.file_type().is_file() {
            sources.insert(name, fs::read_to_string(entry.path()).unwrap());
        }
    }
    let text = sources[CARDS].clone();
    assert!(text.contains(replace), "cards.yaml has no {replace}");
    let text = text.replacen(replace, by, 1);
    sources.insert(CARDS.to_owned(), text.clone());
    let options = authoring::Options { draft: false };
    (authoring::read(&sources, &pictures, options).1, text)
}

#[test]
fn the_cards_of_the_trade_have_no_fault() {
    let (found, _) = with("lines:", "lines:");
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn a_fault_of_a_card_is_found_at_its_place() {
    for (replace, by, code, marked) in [
        ("formula: rig-share", "formula: share", Code::UnknownId, "share"),
        ("rated: rig.rated-flow,", "rated: rig.rated,", Code::UnknownFigure, "rig.rated"),
        ("card.flush-volumes", "card.volumes", Code::UnknownFigure, "card.volumes"),
        ("answer: time", "answer: foam", Code::UnknownAnswer, "foam"),
        ("foam-mark: rig.foam-mark", "mark: rig.foam-mark", Code::UnknownGiven, "mark"),
        ("needs: card.plain-flow", "needs: rig.plain", Code::UnknownFigure, "rig.plain"),
        ("  for: outlet\n", "  for: outlets\n", Code::UnknownWord, "outlets"),
        ("card: left\n", "card: left\n  basis: water\n", Code::UnknownField, "basis"),
        ("[run-out,", "[run-outs,", Code::UnknownId, "run-outs"),
        ("  label: Of capacity\n", "", Code::MissingField, "card"),
        ("label: Of capacity", "labels: Of capacity", Code::UnknownField, "labels"),
        ("volumes: card.flush-volumes", "volumes: 30", Code::DrawOutsideFormula, "30"),
        ("volumes: card.flush-volumes", "volumes: 3 gal", Code::WrongDimension, "3 gal"),
    ] {
        let (found, text) = with(replace, by);
        let at = |finding: &Finding| {
            let place = finding.place.clone().unwrap();
            assert_eq!(place.file, CARDS, "{by}: {finding:?}");
            (finding.code, text.get(place.start..place.end).unwrap().to_owned())
        };
        let found: Vec<(Code, String)> = found.iter().map(at).collect();
        assert!(found.contains(&(code, marked.to_owned())), "{by}: {found:?}");
    }
}

#[test]
fn hostile_cards_are_told_and_never_panic() {
    for text in ["", "[]", "lines: x", "lines: [[]]", "lines:\n- card: {a: b}", "\u{0}"] {
        let mut sources = stock::trade();
        sources.insert(CARDS.to_owned(), text.to_owned());
        let options = authoring::Options { draft: false };
        let (_, found) = authoring::read(&sources, &BTreeSet::new(), options);
        assert!(!found.is_empty());
    }
}
