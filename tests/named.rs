//! Figures that texts name in full: filled wherever they stand, found where they lead nowhere,
//! and numbers typed by hand that a card had once.

use std::collections::BTreeSet;
use std::path::Path;

use drillwright::authoring::{Options, read};
use drillwright::course::Course;
use drillwright::findings::{self, Code, Finding, Sources};
use drillwright::publish::{Shared, page, plan};
use drillwright::stock;
use drillwright::workshop::read_folder;
use serde_json::Value;

use crate::program::{ends_with, program};

fn module(folder: &str) -> Sources {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    read_folder(&path).unwrap().0.texts
}

fn base() -> Sources {
    module("tests/wrong/base")
}

fn read_all(sources: &Sources) -> (Course, Vec<Finding>) {
    let others = BTreeSet::from(["pictures/panel.svg".to_owned()]);
    let (course, found) = read(sources, &others, Options::default());
    (course.unwrap(), found)
}

/// With one text put for another that stands there.
fn put(sources: &mut Sources, file: &str, from: &str, to: &str) {
    let text = sources.get_mut(file).unwrap();
    assert!(text.contains(from), "{from} in {file}");
    *text = text.replacen(from, to, 1);
}

fn of(found: &[Finding], code: Code) -> Vec<&Finding> {
    found.iter().filter(|finding| finding.code == code).collect()
}

/// Every kind of text of the small module, with words of it that a name can stand before.
const TEXTS: [(&str, &str); 9] = [
    ("lessons/percent.md", "Mind the "),
    ("cautions.yaml", "The yard drain leads"),
    ("questions/quick.yaml", "The time is a least"),
    ("questions/quick.yaml", "The least time is up"),
    ("drills/flush.yaml", "do: Hold the line"),
    ("terms.yaml", "means: "),
    ("objectives.yaml", "condition: "),
    ("module.yaml", "about: A small"),
    ("local.yaml", "Three volumes through"),
];

/// The module with words put before each of these texts.
fn saying(mut sources: Sources, said: &str) -> Sources {
    for (file, words) in TEXTS {
        let new = match words.split_once(": ") {
            Some((key, rest)) => format!("{key}: At {said}, {rest}"),
            None => format!("At {said}, {words}"),
        };
        put(&mut sources, file, words, &new);
    }
    sources
}

/// The files of findings of one code, each with the text that it marks.
fn marked<'s>(
    sources: &'s Sources,
    found: &[Finding],
    code: Code,
) -> Vec<(String, &'s str)> {
    let place = |one: &&Finding| one.place.clone().unwrap();
    let own = of(found, code);
    let marked = own.iter().map(place).map(|place| {
        let text = sources[&place.file].get(place.start..place.end).unwrap();
        (place.file, text)
    });
    let mut marked: Vec<_> = marked.collect();
    marked.sort_unstable();
    marked
}

/// What must be marked: the same words in each of the texts.
fn in_each(said: &str) -> Vec<(String, &str)> {
    let mut all: Vec<_> =
        TEXTS.iter().map(|(file, _)| ((*file).to_owned(), said)).collect();
    all.sort_unstable();
    all
}

#[test]
fn a_name_is_filled_in_every_text() {
    let mut sources = saying(base(), "{rig.pumper.crosslay.flow}");
    for flow in ["125", "115"] {
        let (course, found) = read_all(&sources);
        assert!(!findings::blocks(&found), "{found:#?}");
        let all = format!("{course:?}");
        let filled = format!("At {flow}\\u{{a0}}gpm, ");
        assert_eq!(all.matches(&filled).count(), TEXTS.len(), "{all}");
        assert!(!all.contains("{rig."));
        // It is the card that is asked, not a copy of it.
        if flow == "125" {
            put(
                &mut sources,
                "rigs/pumper.yaml",
                "\n  flow: 125 gpm",
                "\n  flow: 115 gpm",
            );
        }
    }
}

#[test]
fn a_name_that_leads_nowhere_is_found_where_it_stands() {
    for name in [
        "rig.pumper.crosslay.flwo",
        "rig.pumper.nobody.flow",
        "rig.engine-99.water.usable",
        "product.meadow-a.densty",
        "product.meadow.density",
        "local.no-such-topic",
        // It is there, but nobody has decided it.
        "local.foam-order",
    ] {
        let sources = saying(base(), &format!("{{{name}}}"));
        let (_, found) = read_all(&sources);
        assert_eq!(marked(&sources, &found, Code::UnknownFigure), in_each(name));
        assert!(of(&found, Code::UnknownBlank).is_empty(), "{name}");
    }
}

#[test]
fn cards_are_where_figures_come_from_and_name_none() {
    for (file, words) in [
        ("rigs/pumper.yaml", "One foam line"),
        ("concentrates/meadow-a.yaml", "title: Class"),
    ] {
        let mut sources = base();
        put(&mut sources, file, words, &format!("{words}{{product.meadow-a.nobody}} "));
        let (_, found) = read_all(&sources);
        assert_eq!(of(&found, Code::UnknownFigure).len(), 1, "{file}: {found:#?}");
    }
}

#[test]
fn a_fault_of_a_card_is_told_once_and_there() {
    let mut sources = base();
    put(&mut sources, "lessons/percent.md", "Mind", "{rig.pumper.crosslay.flow} Mind");
    put(&mut sources, "cautions.yaml", "The yard", "{rig.pumper.least-flow} the yard");
    put(&mut sources, "rigs/pumper.yaml", "\n  flow: 125 gpm", "\n  flow: 125 gmp");
    let (_, found) = read(&sources, &BTreeSet::new(), Options::default());
    assert!(of(&found, Code::UnknownFigure).is_empty(), "{found:#?}");
    assert_eq!(of(&found, Code::UnknownUnit).len(), 1, "{found:#?}");
}

#[test]
fn a_question_keeps_its_own_short_names() {
    let mut sources = base();
    let file = "questions/quick.yaml";
    put(&mut sources, file, "The crosslay flows", "Of {rig.water} the crosslay flows");
    let (course, found) = read_all(&sources);
    assert!(of(&found, Code::UnknownFigure).is_empty(), "{found:#?}");
    assert!(course.sets[0].questions[0].text.contains("{rig.water}"));
}

#[test]
fn a_value_may_be_a_name() {
    for value in ["rig.pumper.crosslay.flow", "\"{rig.pumper.crosslay.flow}\""] {
        let mut sources = base();
        put(&mut sources, "module.yaml", "flow: 125 gpm", &format!("flow: {value}"));
        let plain = format!("{:?}", read_all(&base()).0.lessons);
        let (course, found) = read_all(&sources);
        assert!(of(&found, Code::UnknownFigure).is_empty(), "{found:#?}");
        assert_eq!(format!("{:?}", course.lessons), plain, "{value}");
    }
}

#[test]
fn a_local_rule_is_no_markup_of_a_lesson() {
    let mut sources = base();
    let rule = "Three volumes through every outlet that saw foam.";
    put(
        &mut sources,
        "local.yaml",
        rule,
        "\"<b>[3](x)</b> *volumes* {rig.pumper.water}\"",
    );
    let lesson = "lessons/percent.md";
    put(&mut sources, lesson, "Mind the", "Our rule: {local.volumes} Mind the");
    let (course, _) = read_all(&sources);
    let words = stock::words();
    let shared = Shared::new(&course, &words, "4F7K-2M9Q").unwrap();
    let plans = plan(&course);
    let plan = plans.iter().find(|plan| plan.path == "crew/lesson-percent.html").unwrap();
    let page = page(&shared, plan).unwrap();
    let said = "Our rule: &lt;b&gt;[3](x)&lt;/b&gt; *volumes* 720\u{a0}gal";
    assert!(page.contains(said), "{page}");
}

#[test]
fn no_page_of_the_example_has_an_open_name() {
    let (course, found) = read_all(&module("content"));
    assert!(of(&found, Code::UnknownFigure).is_empty(), "{found:#?}");
    let named =
        module("content").iter().filter(|(_, text)| text.contains("{rig.")).count();
    assert!(named >= 3);
    for lesson in &course.lessons {
        assert!(!lesson.text.contains("{rig.") && !lesson.text.contains("{product."));
    }
    let keep_up = course.lessons.iter().find(|lesson| lesson.id == "keep-up").unwrap();
    assert!(
        keep_up.text.contains("rated\n5\u{a0}gpm at 250\u{a0}psi"),
        "{}",
        keep_up.text
    );
}

/// The small module with the card as it was kept before: its line flowed 130 gpm.
fn with_kept() -> Sources {
    let mut sources = base();
    let kept = module("tests/wrong/old-figure");
    let kept = kept.into_iter().filter(|(file, _)| file.starts_with("revisions/"));
    sources.extend(kept);
    sources
}

#[test]
fn a_number_that_a_card_had_is_found_in_every_text() {
    assert!(of(&read_all(&with_kept()).1, Code::OldFigure).is_empty());
    for typed in [
        "130 gpm",
        "130-gpm",
        "130\u{a0}gpm",
        "130 gallons per minute",
        "130 gallons a minute",
        "130 gal/min",
    ] {
        let sources = saying(with_kept(), typed);
        let (_, found) = read_all(&sources);
        assert_eq!(marked(&sources, &found, Code::OldFigure), in_each(typed));
    }
}

#[test]
fn a_number_that_some_card_has_is_never_old() {
    let mut sources = with_kept();
    put(&mut sources, "lessons/percent.md", "Mind", "At 130 gpm. Mind");
    assert_eq!(of(&read_all(&sources).1, Code::OldFigure).len(), 1);
    // Another figure of the card is that number now.
    put(&mut sources, "rigs/pumper.yaml", "flow: 5 gpm\n    at", "flow: 130 gpm\n    at");
    assert!(of(&read_all(&sources).1, Code::OldFigure).is_empty());
    // Other numbers, and the number with another unit, are nobody's.
    for typed in ["13 gpm", "1300 gpm", "130 psi", "130 ft", "0.130 gpm", "-"] {
        let mut sources = with_kept();
        put(&mut sources, "lessons/percent.md", "Mind", &format!("At {typed}. Mind"));
        assert!(of(&read_all(&sources).1, Code::OldFigure).is_empty(), "{typed}");
    }
}

/// What `compare` says that changed figures touch, as data.
fn touches(folder: &Path, old: &str, new: &str) -> Value {
    let out =
        ends_with(0, program(folder).args(["compare", old, new, "--format", "json"]));
    let told: Value = serde_json::from_slice(&out.stdout).unwrap();
    told["touches"].clone()
}

#[test]
fn compare_lists_the_pages_and_texts_that_a_changed_figure_touches() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, sources: &Sources| {
        for (file, text) in sources {
            let path = folder.path().join(name).join(file);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, text).unwrap();
        }
        let pictures = folder.path().join(name).join("pictures");
        std::fs::create_dir_all(&pictures).unwrap();
        std::fs::write(pictures.join("panel.svg"), "<svg/>").unwrap();
    };
    let mut new = base();
    let lesson = "lessons/percent.md";
    put(&mut new, lesson, "Mind", "Now {rig.pumper.crosslay.flow}, once 130 gpm. Mind");
    let mut old = new.clone();
    put(&mut old, "rigs/pumper.yaml", "\n  flow: 125 gpm", "\n  flow: 130 gpm");
    write("old", &old);
    write("new", &new);
    let (kept, text) = with_kept()
        .into_iter()
        .find(|(file, _)| file.starts_with("revisions/rig-"))
        .unwrap();
    let kept = kept.strip_prefix("revisions/").unwrap().to_owned();
    std::fs::write(folder.path().join(&kept), text).unwrap();
    for before in ["old", kept.as_str()] {
        let touches = touches(folder.path(), before, "new");
        let texts = touches["texts"].as_array().unwrap();
        let found: Vec<&str> =
            texts.iter().map(|t| t["found"].as_str().unwrap()).collect();
        assert_eq!(found, ["130 gpm", "{rig.pumper.crosslay.flow}"], "{before}");
        assert!(texts.iter().all(|text| text["file"] == lesson && text["line"] == 9));
        let pages: Vec<&str> = touches["pages"]
            .as_array()
            .unwrap()
            .iter()
            .map(|p| p.as_str().unwrap())
            .collect();
        for page in ["crew/rig-pumper.html", "crew/lesson-percent.html"] {
            assert!(pages.contains(&page), "{before}: {pages:?}");
        }
        // A page that shows no figure of the rig is not among them.
        assert!(!pages.contains(&"crew/glossary.html"), "{before}: {pages:?}");
    }
    // A module beside itself touches nothing.
    let same = touches(folder.path(), "new", "new");
    assert!(same["pages"].as_array().unwrap().is_empty(), "{same}");
}
