//! A question in practice, on a paper, in a key and in a lesson.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::course::{Course, Draw, QuestionSet};
use drillwright::practice::{FORMAT, PageKit, PracticeKit};
use drillwright::publish::{PageKind, PagePlan, Shared, page};
use drillwright::quantity::Quantity;
use drillwright::quiz::{Kit, Prepared, Purpose, Ticket};
use drillwright::stock;
use drillwright::words::Words;
use serde_json::json;

use super::{Element, drawn, read};
use crate::engine::{Tab, example};

/// The example with one value for everything that is drawn, so that every draw is the same.
/// Where a line of a rig is drawn there are no two values to choose from; such a question goes.
fn without_chance() -> Course {
    let mut course = example();
    let words = stock::words();
    let whole = course.clone();
    let kit = Kit::of(&whole, &words);
    for set in &mut course.sets {
        let lines = |draw: &Draw| matches!(draw, Draw::FoamLineOf(_));
        set.questions.retain(|one| !one.draws.iter().any(|(_, draw)| lines(draw)));
        for question in &mut set.questions {
            let ticket = Ticket { purpose: Purpose::Practice, seed: "1", attempt: 1 };
            let prepared = Prepared::of(question, kit).unwrap();
            let variant = prepared.variant(ticket, 1, &BTreeSet::new()).unwrap();
            for value in &variant.key().drawn {
                let draw =
                    question.draws.iter_mut().find(|(name, _)| *name == value.name);
                let Some((_, draw)) = draw else { continue };
                *draw = match draw {
                    Draw::Words(_) => Draw::Words(vec![value.text.clone()]),
                    _ => Draw::Of(vec![Quantity::read(&value.text).unwrap()]),
                };
            }
        }
    }
    course
}

/// One text that a careless writer would turn into markup, put where an author writes freely.
const NASTY: &str = "</p><b>a && b</b> \"c\" 'd'\nnext";

fn made(shared: &Shared<'_>, kind: PageKind) -> Element {
    read(&page(shared, &PagePlan { path: String::new(), kind }).unwrap())
}

/// A question in practice: open, and judged.
fn practised(
    course: &Course,
    set: &QuestionSet,
    id: &str,
    words: &Words,
) -> [Element; 2] {
    let kit = PracticeKit::of(course, set, words);
    let kit = PageKit { format: FORMAT, practice: Some(kit), run: None };
    let at = json!({ "wall": 5 });
    let mut tab = Tab::open(&json!({ "ask": "open", "kit": kit }), &at);
    [json!({ "do": "only", "question": id }), json!({ "do": "give-up" })]
        .map(|event| drawn(&tab.tap(&event, &at, &[1])["view"]["nodes"]))
}

/// Choices by their texts: their letters are dealt anew on every paper.
fn choices(options: &[&Element]) -> BTreeSet<String> {
    let text = |option: &&Element| {
        let found = option.all("b")[0].text();
        assert!(found.len() == 1 && found.chars().all(char::is_uppercase), "{found}");
        option.all("span").last().unwrap().text()
    };
    options.iter().map(text).collect()
}

#[test]
fn a_question_and_its_working_are_the_same_everywhere() {
    let mut course = without_chance();
    let words = stock::words();
    for set in &mut course.sets {
        for question in &mut set.questions {
            question.text.push_str(NASTY);
            question.remark = Some(NASTY.to_owned());
        }
    }
    let shared = Shared::new(&course, &words, "4F7K-2M9Q-AAAA").unwrap();
    let (mut boards, mut with_choices, mut asked) = (0, 0, 0);
    for set in &course.sets {
        let sheet = made(&shared, PageKind::Practice(set.id.clone(), 1));
        for (at, question) in set.questions.iter().enumerate() {
            let [open, judged] = practised(&course, set, &question.id, &words);
            let wanted = open.all("p.asked")[0].without("id");
            assert!(wanted.text().contains(NASTY), "{wanted:?}");
            assert_eq!(judged.all("p.asked"), [&wanted]);
            // On paper its marks follow it.
            let item = &sheet.all("ol.questions")[0].kids()[at];
            let on_paper = item.all("p.asked")[0].kids();
            assert_eq!(on_paper[0].text().trim_end(), wanted.text());
            asked += 1;
            let options = open.all("label.choice");
            if !options.is_empty() {
                let boxes = item.all("ul.options")[0].all("li");
                // The wrong ones are dealt anew; the right one is always there.
                let (here, there) = (choices(&options), choices(&boxes));
                assert!(!here.is_disjoint(&there), "{}", question.id);
                with_choices += 1;
            }
            let solved = sheet.all("section.key")[at];
            assert_eq!(solved.all("figure.worked"), judged.all("figure.worked"));
            let text = vec![Element::Text(NASTY.into())];
            let remark = Element::Tag("p".into(), BTreeMap::new(), text);
            for place in [solved, &judged] {
                assert!(place.all("p").contains(&&remark), "{}", question.id);
            }
            boards += solved.all("figure.worked").len();
        }
    }
    assert!(
        asked > 20 && boards > 15 && with_choices > 5,
        "{asked} {boards} {with_choices}"
    );
}

#[test]
fn a_question_in_a_lesson_is_the_one_on_the_first_practice_sheet() {
    let course = without_chance();
    let words = stock::words();
    let shared = Shared::new(&course, &words, "").unwrap();
    let mut seen = 0;
    for lesson in &course.lessons {
        let lesson = made(&shared, PageKind::Lesson(lesson.id.clone()));
        for asked in lesson.all("div.ask") {
            let text = asked.all("p.asked")[0].text();
            for set in &course.sets {
                let sheet = made(&shared, PageKind::Practice(set.id.clone(), 1));
                let on_it = |item: &&Element| item.text().starts_with(&text);
                let items = sheet.all("p.asked");
                let Some(at) = items.iter().position(on_it) else { continue };
                let solved = sheet.all("section.key")[at];
                assert_eq!(asked.all("figure.worked"), solved.all("figure.worked"));
                seen += 1;
            }
        }
    }
    assert!(seen > 0, "no lesson asks anything");
}
