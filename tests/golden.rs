//! Boards of the trade as a person reads them, kept beside as text.

use std::fmt::Write as _;

use drillwright::authoring;
use drillwright::findings::Sources;
use drillwright::formulas::{Input, Inputs, System, Worked};
use drillwright::quantity::Quantity;

fn number(text: &str) -> Input {
    Input::Number(Quantity::read(text).unwrap())
}

fn board(worked: &Worked) -> String {
    let mut out = format!("{}\n", worked.title);
    for given in &worked.givens {
        writeln!(out, "  given  {}: {}", given.label, given.text).unwrap();
    }
    for line in &worked.lines {
        let (words, numbers) = (&line.words, &line.numbers);
        writeln!(out, "  {} = {words}", line.label).unwrap();
        writeln!(out, "      = {numbers} {} {}", line.relation, line.result).unwrap();
    }
    for answer in &worked.answers {
        writeln!(out, "  answer {}: {}", answer.label, answer.text).unwrap();
    }
    for verdict in &worked.verdicts {
        writeln!(out, "  so     {verdict}").unwrap();
    }
    for slip in &worked.slips {
        let answer = slip.answers.first().map_or("", |answer| answer.text.as_str());
        writeln!(out, "  slip   {answer}: {}", slip.says).unwrap();
    }
    out.replace('\u{a0}', " ")
}

#[test]
fn boards_read_as_on_a_board() {
    let (library, findings) = authoring::library(&Sources::new());
    assert!(findings.is_empty(), "{findings:?}");
    let cases: &[(&str, &[(&str, &str)])] = &[
        ("concentrate-flow", &[("percent", "0.5 %"), ("flow", "125 gpm")]),
        ("largest-flow", &[("rated", "3 gpm"), ("percent", "3 %")]),
        ("foam-endurance", &[("foam", "30 gal"), ("percent", "3 %"), ("flow", "95 gpm")]),
        ("percent-from-totals", &[("foam", "4.4 gal"), ("water", "870 gal")]),
    ];
    let mut text = String::new();
    for (formula, givens) in cases {
        let inputs: Inputs = givens
            .iter()
            .map(|(name, value)| ((*name).to_owned(), number(value)))
            .collect();
        let worked = library.work(formula, &inputs, System::Us).unwrap();
        assert_eq!(library.board_adds_up(formula, &inputs, System::Us).unwrap(), None);
        text.push_str(&board(&worked));
        text.push('\n');
    }
    insta::assert_snapshot!(text);
}
