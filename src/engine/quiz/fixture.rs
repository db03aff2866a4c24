//! A small invented department for the tests of this room.

use std::collections::BTreeMap;

use super::kit::Kit;
use crate::course::{
    Ask, Bind, Draw, Drill, Edge, Feed, OptionText, Question, QuestionKind, QuestionSet,
    Rig, Spread, Tolerance,
};
use crate::formulas::{
    Answer, Formula, Given, GivenKind, Library, Slip, SlipKind, SourceRef, Status,
    System, Verdict, WorkLine,
};
use crate::quantity::{Direction, Quantity};
use crate::words::Words;

pub(super) fn q(text: &str) -> Quantity {
    Quantity::read(text).unwrap()
}

fn source() -> SourceRef {
    SourceRef { source: "test".into(), status: Status::CommonPractice, note: None }
}

fn given(name: &str, unit: &str, least: &str, most: &str) -> Given {
    let kind = GivenKind::Number {
        unit: unit.into(),
        unit_si: unit.into(),
        least: q(least),
        most: q(most),
        default: None,
    };
    Given { name: name.into(), label: name.into(), means: None, kind, default_si: None }
}

fn slip(id: &str, kind: SlipKind, line: &str) -> Slip {
    Slip {
        id: id.into(),
        kind,
        only: None,
        lines: vec![line.into()],
        lines_si: Vec::new(),
        says: format!("This is {id}."),
        says_si: None,
    }
}

fn formula(id: &str, line: &str, shown: &str, round: Direction, clock: bool) -> Formula {
    let name = line.split(" =").next().unwrap().to_owned();
    let step = q(shown);
    Formula {
        id: id.into(),
        title: id.into(),
        family: "proportioning".into(),
        basis: Some("percent of solution".into()),
        only: None,
        instead: None,
        givens: Vec::new(),
        work: vec![WorkLine {
            text: line.into(),
            label: name.clone(),
            shown: step,
            shown_si: step,
            signed: false,
        }],
        work_si: Vec::new(),
        answers: vec![Answer {
            name: name.clone(),
            label: name,
            shown: step,
            shown_si: step,
            round,
            clock,
            sense: Vec::new(),
            endless: None,
        }],
        verdicts: Vec::new(),
        slips: Vec::new(),
        range: "test".into(),
        sources: vec![source()],
        library_only: false,
        officers_only: false,
        example: Vec::new(),
    }
}

pub(super) fn library() -> Library {
    use SlipKind::{Method, OtherBasis, PowerOfTen};
    let mut flow = formula(
        "concentrate-flow",
        "foam = percent * flow",
        "0.01 gpm",
        Direction::Near,
        false,
    );
    flow.givens = vec![
        given("percent", "%", "0.1 %", "6 %"),
        given("flow", "gpm", "10 gpm", "2000 gpm"),
    ];
    flow.slips = vec![
        slip("other-basis", OtherBasis, "foam = flow * percent / (100 % + percent)"),
        slip("point", PowerOfTen, "foam = percent * flow * 10"),
        slip("water", Method, "foam = flow - percent * flow"),
        slip("no-hundredth", PowerOfTen, "foam = flow * (percent as %)"),
        slip("a-tenth", PowerOfTen, "foam = percent * flow / 10"),
        slip("half", Method, "foam = percent * flow / 2"),
    ];
    let mut time = formula(
        "endurance",
        "time = stock / (percent * flow)",
        "1 s",
        Direction::Down,
        true,
    );
    time.givens = vec![
        given("stock", "gal", "1 gal", "100 gal"),
        given("percent", "%", "0.1 %", "6 %"),
        given("flow", "gpm", "10 gpm", "2000 gpm"),
    ];
    time.slips = vec![
        slip("ten", PowerOfTen, "time = stock / (percent * flow) / 10"),
        slip("half", Method, "time = stock / (percent * flow) / 2"),
        slip("no-percent", Method, "time = stock / flow"),
    ];
    let mut held =
        formula("held", "demand = percent * flow", "0.01 gpm", Direction::Near, false);
    held.givens = flow.givens.clone();
    held.verdicts =
        [("demand <= 3 gpm", "The unit holds it."), ("demand > 3 gpm", "It does not.")]
            .map(|(when, says)| Verdict {
                when: when.into(),
                says: says.into(),
                refuses: false,
                figure: None,
                shown: None,
                shown_si: None,
            })
            .into();
    let mut pails =
        formula("pails", "pails = up(stock / 5 gal, 1)", "1", Direction::Up, false);
    pails.givens = vec![given("stock", "gal", "1 gal", "100 gal")];
    pails.slips = vec![slip("rounded-down", Method, "pails = down(stock / 5 gal, 1)")];
    let (library, faults) =
        Library::new(vec![flow, time, held, pails], Vec::new(), Vec::new());
    assert_eq!(faults, []);
    library
}

pub(super) fn rigs() -> BTreeMap<String, Rig> {
    let outlet = |id: &str, foam: &str, flow: &str| {
        serde_json::json!({
            "outlet": id, "title": format!("Line {id}"), "foam": foam, "hose": "1.75 in",
            "service-test": "300 psi", "length": "200 ft",
            "nozzle": "fog, 100 psi", "flow": flow, "pressure": "100 psi",
        })
    };
    let rig = serde_json::json!({
        "rig": "engine-1", "title": "Engine 1", "about": "invented",
        "proportioner": {
            "type": "direct-injection", "rating": {"flow": "3 gpm", "at": "250 psi"},
            "basis": "solution", "classes": {},
        },
        "tanks": [
            {"tank": "water", "title": "Water", "nominal": "750 gal", "usable": "720 gal"},
        ],
        "outlets": [
            outlet("one", "yes", "95 gpm"), outlet("two", "yes", "125 gpm"),
            outlet("plain", "no", "250 gpm"),
        ],
        "resolution": {
            "percent": "0.1 %", "foam-total": "0.1 gal", "water-total": "1 gal",
            "pressure": "5 psi", "flow": "5 gpm",
        },
    });
    let rig: Rig = serde_json::from_value(rig).unwrap();
    BTreeMap::from([(rig.id.clone(), rig)])
}

pub(super) fn drills() -> Vec<Drill> {
    let step = |id: &str| {
        serde_json::json!({
            "step": id, "do": format!("Do {id}."), "why": "",
            "role": "operator", "sees": "", "weight": 1,
        })
    };
    let rule = |first: &str, then: &str| {
        serde_json::json!({
            "first": first, "then": then, "because": format!("{first} before {then}."),
        })
    };
    let drill = serde_json::json!({
        "drill": "flush", "title": "Flush", "revision": 1, "revised-on": "2026-11-02",
        "task": "", "given": [], "outcome": "", "starts-with": {}, "leaves": {},
        "agent": "plain-water", "modes": [], "roles": [], "objectives": [], "cautions": [],
        "physical": "flush",
        "steps": [step("a"), step("b"), step("c"), step("d"), step("e")],
        "criticals": [],
        "order": [rule("a", "b"), rule("b", "c"), rule("a", "d")],
        "stop": {"word": "", "sign": "", "safe-state": []},
        "attempts": {"most": 2, "remediation": "", "retest": "", "appeal": ""},
    });
    vec![serde_json::from_value(drill).unwrap()]
}

/// The department; tests borrow a kit from it.
#[derive(Debug)]
pub(super) struct Department {
    library: Library,
    rigs: BTreeMap<String, Rig>,
    drills: Vec<Drill>,
    pub(super) words: Words,
}

impl Department {
    pub(super) fn new() -> Self {
        Self {
            library: library(),
            rigs: rigs(),
            drills: drills(),
            words: Words::default(),
        }
    }

    pub(super) fn kit(&self) -> Kit<'_> {
        Kit {
            library: &self.library,
            rigs: &self.rigs,
            drills: &self.drills,
            system: System::Us,
            words: &self.words,
        }
    }
}

pub(super) fn ask(formula: &str, with: &[&str]) -> Ask {
    let bind = |name: &&str| ((*name).to_owned(), Bind::Named((*name).to_owned()));
    let feed = Feed {
        formula: formula.into(),
        answer: None,
        with: with.iter().map(bind).collect(),
    };
    Ask { feed, unit: None, step: None }
}

pub(super) fn spread(from: &str, to: &str, step: &str) -> Draw {
    Draw::Spread(Spread { from: q(from), to: q(to), step: q(step) })
}

pub(super) fn question(id: &str, kind: QuestionKind) -> Question {
    Question {
        id: id.into(),
        topic: "proportioning".into(),
        objective: "figures".into(),
        text: "At {percent}, {flow}?".into(),
        rig: None,
        outlet: None,
        class: None,
        basis: None,
        draws: vec![
            ("percent".into(), Draw::Of(vec![q("0.5 %"), q("1 %"), q("3 %")])),
            ("flow".into(), spread("60 gpm", "250 gpm", "5 gpm")),
        ],
        conditions: Vec::new(),
        kind,
        marks: 1,
        remark: None,
    }
}

pub(super) fn number() -> Question {
    let share = |text: &str| Edge::Relative(q(text));
    let tolerance = Tolerance { below: share("0.2 %"), above: share("0.2 %") };
    let ask = ask("concentrate-flow", &["percent", "flow"]);
    question("typed", QuestionKind::Number { ask, tolerance })
}

pub(super) fn choice() -> Question {
    let ask = ask("concentrate-flow", &["percent", "flow"]);
    question("ticked", QuestionKind::Choice { ask, choices: 4 })
}

pub(super) fn clock() -> Question {
    let tolerance =
        Tolerance { below: Edge::Absolute(q("2 s")), above: Edge::Absolute(q("0 s")) };
    let ask = ask("endurance", &["stock", "percent", "flow"]);
    let mut out = question("minutes", QuestionKind::Number { ask, tolerance });
    out.draws.push(("stock".into(), spread("10 gal", "28 gal", "1 gal")));
    out.text = "{stock} at {percent}, {flow}?".into();
    out
}

pub(super) fn verdict() -> Question {
    let mut out = question(
        "holds",
        QuestionKind::Verdict { ask: ask("held", &["percent", "flow"]) },
    );
    out.topic = "capacity".into();
    out
}

pub(super) fn judge() -> Question {
    let option = |says: &str, right: bool| OptionText {
        says: says.into(),
        right,
        because: "reason".into(),
    };
    let options =
        vec![option("Stop.", true), option("Go on.", false), option("Wait.", false)];
    let mut out = question("lost", QuestionKind::Judge { ask: None, options });
    out.text = "Foam is lost.".into();
    out.draws = Vec::new();
    out.topic = "capacity".into();
    out
}

pub(super) fn order() -> Question {
    let steps = ["a", "c", "d", "e"].map(str::to_owned).into();
    let mut out = question("steps", QuestionKind::Order { drill: "flush".into(), steps });
    out.text = "In which order?".into();
    out.draws = Vec::new();
    out.topic = "flush".into();
    out
}

pub(super) fn set(questions: Vec<Question>, graded: Option<usize>) -> QuestionSet {
    QuestionSet {
        id: "ten".into(),
        title: "Ten".into(),
        about: "About.".into(),
        calculator: true,
        cautions: Vec::new(),
        graded,
        blueprint: Vec::new(),
        questions,
    }
}
