//! From a fault to its paragraph: what the lessons say they teach, and who is sent there.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use drillwright::course::{Course, Mark, QuestionKind, RunSheet, answering, reread};
use drillwright::practice::PracticeKit;
use drillwright::publish::drawing::{Left, volumes};
use drillwright::publish::{Shared, page, plan};
use drillwright::quantity::Fraction;
use drillwright::scoring::{Kit, score};
use drillwright::stock;

use crate::scoring::sheets::honest;

const SEED: &str = "ladder onion gravel pencil otter velvet";

fn example() -> Course {
    static READ: LazyLock<Course> = LazyLock::new(crate::pages::example);
    READ.clone()
}

fn made(course: &Course, path: &str) -> String {
    let words = stock::words();
    let shared = Shared::new(course, &words, SEED).unwrap();
    let plan = plan(course).into_iter().find(|plan| plan.path == path).unwrap();
    page(&shared, &plan).unwrap()
}

/// A page with its entities as letters.
fn bare(page: &str) -> String {
    let letters = [
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&#x2F;", "/"),
        ("&lt;", "<"),
        ("&amp;", "&"),
    ];
    let text = page.to_owned();
    letters.iter().fold(text, |text, (entity, letter)| text.replace(entity, letter))
}

#[test]
fn every_lesson_has_what_an_instructor_needs() {
    let course = example();
    for (at, lesson) in course.lessons.iter().enumerate() {
        let id = &lesson.id;
        let page = made(&course, &format!("crew/lesson-{id}.html"));
        assert_eq!(
            page.matches("<figure class=\"drawn\">").count(),
            lesson.drawings.len()
        );
        assert!(!lesson.drawings.is_empty() && !lesson.examples.is_empty(), "{id}");
        assert!(lesson.checks.len() >= 2, "{id}");
        let told = bare(&page);
        for check in &lesson.checks {
            // Folded in the page, and once more at the end for paper.
            assert_eq!(told.matches(&check.answer).count(), 2, "{id}: {}", check.answer);
        }
        let folded = "<details><summary>Answer and reason</summary>";
        assert_eq!(page.matches(folded).count(), lesson.checks.len(), "{id}");
        assert!(
            page.contains(&format!("<span class=\"place\">{}.1</span>", at + 1)),
            "{id}"
        );
        for word in ["Condition", "Performance", "Standard"] {
            let count = page.matches(&format!("<dt>{word}</dt>")).count();
            assert_eq!(count, lesson.objectives.len(), "{id}");
        }
        assert!(lesson.text.contains("# Where publishers disagree"), "{id}");
        assert!(!lesson.local.is_empty(), "{id}");
        // A lesson that travels alone has its drawings and leads nowhere.
        let sent = made(&course, &format!("crew/send-{id}.html"));
        assert_eq!(
            sent.matches("<figure class=\"drawn\">").count(),
            lesson.drawings.len()
        );
        assert!(!sent.contains("href=\"glossary"), "{id}");
        let minutes = lesson.minutes.number().decimal().unwrap().parse::<u32>().unwrap();
        assert!((15..=25).contains(&minutes), "{id}: {minutes}");
    }
}

#[test]
fn whoever_misses_a_step_is_sent_to_its_heading() {
    let course = example();
    let words = stock::words();
    let drill = course.drill("flush").unwrap();
    let kit = Kit::of(&course, drill, &course.rigs["engine-7"], &words).unwrap();
    let clean = honest(&kit, "operator", "crosslay-1");
    let told = |sheet: &RunSheet| score(&kit, sheet).next.join(" ");
    assert!(!told(&clean).contains("Read again"), "{}", told(&clean));
    let mut missed = clean;
    missed.marks.insert("bottle".to_owned(), Mark::NotDone);
    let text = told(&missed);
    assert!(text.contains("Read again, by lesson and heading: 6.4 The flush."), "{text}");
    // The number is the one that stands in the lesson.
    let lesson = made(&course, "crew/lesson-clearing.html");
    assert!(lesson.contains("<span class=\"place\">6.4</span> The flush</h2>"));
}

#[test]
fn what_teaches_changes_no_letters() {
    let course = example();
    let words = stock::words();
    let mut without = course.clone();
    without.teaches.clear();
    for drill in &course.drills {
        for rig in course.rigs.values() {
            let with = Kit::of(&course, drill, rig, &words).unwrap();
            let none = Kit::of(&without, drill, rig, &words).unwrap();
            assert_eq!(with.drill_revision(), none.drill_revision());
            assert_eq!(with.rig_revision(), none.rig_revision());
            assert!(!with.data().reread.is_empty() && none.data().reread.is_empty());
        }
    }
}

#[test]
fn a_heading_that_is_gone_teaches_nothing() {
    let mut course = example();
    let taught = reread(&course.teaches, "flush");
    assert!(taught.iter().any(|one| one.part == "bottle"));
    for one in course.teaches.iter_mut() {
        one.number.clear();
    }
    assert!(reread(&course.teaches, "flush").is_empty());
    let sets = course.sets.iter().flat_map(|set| &set.questions);
    assert_eq!(
        sets.filter(|one| answering(&course.teaches, one).next().is_some()).count(),
        0
    );
}

#[test]
fn every_question_has_its_paragraph_and_sends_nobody_out_of_a_file() {
    let course = example();
    let words = stock::words();
    for set in &course.sets {
        let kit = PracticeKit::of(&course, set, &words);
        for question in &set.questions {
            let found = kit.reread.get(&question.id);
            assert!(found.is_some_and(|found| !found.is_empty()), "{}", question.id);
        }
        let alone = kit.clone().alone();
        assert!(
            alone
                .reread
                .values()
                .flatten()
                .all(|(said, to)| !said.is_empty() && to.is_empty())
        );
        let key = made(&course, &format!("keys/key-{}.html", set.id));
        assert!(key.contains("Read again, by lesson and heading:"), "{}", set.id);
    }
}

#[test]
fn questions_are_enough_for_every_objective_and_differ() {
    let course = example();
    let all: Vec<_> = course.sets.iter().flat_map(|set| &set.questions).collect();
    assert!(all.len() >= 80, "{}", all.len());
    for id in course.objectives.keys() {
        let count = all.iter().filter(|question| question.objective == *id).count();
        assert!(count >= 3, "{id}: {count}");
    }
    // What is asked of which formula.
    let pairs: BTreeSet<(String, String)> = all
        .iter()
        .filter_map(|question| {
            let (QuestionKind::Number { ask, .. }
            | QuestionKind::Choice { ask, .. }
            | QuestionKind::Verdict { ask }) = &question.kind
            else {
                return None;
            };
            let family = course.library.formula(&ask.feed.formula)?.family.clone();
            let unknown = format!("{} {:?}", ask.feed.formula, ask.feed.answer);
            Some((family, unknown))
        })
        .collect();
    assert!(pairs.len() >= 50, "{}", pairs.len());
    // Each drill is put in order by one of them.
    let ordered: BTreeSet<&String> = all
        .iter()
        .filter_map(|question| match &question.kind {
            QuestionKind::Order { drill, .. } => Some(drill),
            _ => None,
        })
        .collect();
    let asked = ["percent-change", "startup", "flush", "purge", "refill"];
    assert!(ordered.len() >= 12, "{ordered:?}");
    assert!(asked.iter().all(|id| ordered.iter().any(|one| one == id)));
}

#[test]
fn holes_are_shown_where_something_is_taught_nowhere() {
    let mut course = example();
    let page = made(&course, "staff/coverage.html");
    assert!(!page.contains("are taught nowhere"), "a drill of the example has a hole");
    for one in course.teaches.iter_mut() {
        for of in &mut one.drills {
            of.parts.retain(|part| part != "bottle");
        }
    }
    let page = made(&course, "staff/coverage.html");
    assert!(page.contains("3 Flush: 1 of its parts are taught nowhere."), "{page}");
    // Both flushes have a bottle.
    assert_eq!(page.matches("are taught nowhere").count(), 2);
}

#[test]
fn volumes_are_drawn_for_any_figures() {
    let words = stock::words();
    for (share, text) in
        [("0", "0 %"), ("0.368", "36.8 %"), ("1", "100 %"), ("7", "700 %")]
    {
        let left = Left {
            volumes: "3".to_owned(),
            water: "99,999 gal".to_owned(),
            share: Fraction::read(share).unwrap(),
            share_text: text.to_owned(),
        };
        let name = "A rear outlet with a very long name that has to be broken";
        let drawing = volumes(&words, name, &[left.clone(), left]);
        crate::drawings::sound(&drawing.svg_html, text);
    }
}

/// What a lesson says under a heading, the heading included, in small letters.
fn said_under(lesson: &str, heading: &str) -> String {
    let path = format!("{}/content/lessons/{lesson}.md", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap();
    let begins = format!("# {heading}\n");
    let (_, under) =
        text.split_once(&begins).unwrap_or_else(|| panic!("{lesson}: {heading}"));
    let own = under.split_once("\n# ").map_or(under, |(own, _)| own);
    format!("{heading}\n{own}").to_lowercase()
}

/// The beginnings of the words of a sentence that name a thing or an act: so that "valves" is "valve".
fn beginnings(text: &str) -> BTreeSet<String> {
    const SAY_NOTHING: &[&str] = &[
        "with", "that", "from", "into", "this", "have", "only", "whoever", "without",
        "then", "them", "they", "over", "what", "when", "once", "said",
    ];
    let text = text.to_lowercase();
    let words = text.split(|letter: char| !letter.is_ascii_alphabetic());
    let words = words.filter(|word| word.len() >= 4 && !SAY_NOTHING.contains(word));
    words.map(|word| word.chars().take(5).collect()).collect()
}

/// A name in a list sends a reader somewhere; whether it is taught there, only its text can tell. Under one of
/// the headings at least stands a sixth of the words of each act that somebody is sent there for, and never
/// none: less was always a paragraph that speaks of something else. It is a net with wide meshes, and
/// whoever writes a paragraph reads it all the same.
#[test]
fn a_paragraph_speaks_of_what_it_is_named_for() {
    let course = example();
    let mut wanted: Vec<(String, String, String)> = Vec::new();
    for drill in &course.drills {
        let steps = drill.steps.iter().map(|step| (&step.id, &step.action));
        let criticals = drill.criticals.iter().map(|one| (&one.id, &one.act));
        let all = steps.chain(criticals);
        wanted.extend(all.map(|(id, text)| (drill.id.clone(), id.clone(), text.clone())));
    }
    for act in &course.unsafe_acts {
        let drill = course.drills[0].id.clone();
        wanted.push((drill, format!("act.{}", act.id), act.act.clone()));
    }
    let mut found = 0;
    for (drill, part, text) in wanted {
        let own = beginnings(&text);
        let teaches = reread(&course.teaches, &drill);
        let headings = teaches.iter().find(|one| one.part == part);
        let headings = headings.unwrap_or_else(|| panic!("{drill}: {part}"));
        let told =
            course.teaches.iter().filter(|one| headings.headings.contains(&one.said()));
        let common = told.map(|one| {
            let under = beginnings(&said_under(&one.lesson, &one.heading));
            own.intersection(&under).count()
        });
        let most = common.max().unwrap_or_default();
        assert!(
            most > 0 && most * 6 >= own.len(),
            "{drill}, {part}: {text} Taught under {:?} with {most} of {own:?}",
            headings.headings
        );
        found += 1;
    }
    assert!(found > 150, "{found}");
}

/// What an instructor has to plan with: no lesson is longer than people listen, and none is a note.
#[test]
fn every_lesson_takes_fifteen_to_twenty_five_minutes() {
    let course = example();
    for lesson in &course.lessons {
        let leaf = bare(&made(&course, &format!("staff/leaf-{}.html", lesson.id)));
        let (_, after) = leaf.split_once("reckoned ").unwrap();
        let digits = |letter: char| !letter.is_ascii_digit();
        let minutes: u32 = after.split(digits).next().unwrap().parse().unwrap();
        assert!((15..=25).contains(&minutes), "{}: {minutes}", lesson.id);
    }
}
