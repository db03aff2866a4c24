//! Where figures, rules and cautions come from: everything names a source that can be looked up, or
//! one that says why it cannot, and no page prints the name of one raw.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::course::{CitedBy, Course, Drill};
use drillwright::findings::{Code, Finding, Sources};
use drillwright::formulas::{Formula, Source, SourceKind, named_in};
use drillwright::{authoring, wire};
use regex_lite::Regex;

use crate::metric::visible;
use crate::pages;

/// What a text of a drill may rest on that is no source of the list: what is read, said or done in the
/// run itself, and the rest of a text that names one.
const OF_THE_RUN: &[&str] = &[
    "the order given",
    "arithmetic on the figures read",
    "log book, foam in tenths",
    "the label of the concentrate, for the fuel ordered",
    "else common practice",
    "lids and lenses from memory",
    "reporting a larger difference is the act",
    "the meter stands before every foam outlet",
    "it goes into the rig's log",
];

fn read(sources: &Sources) -> (Course, Vec<Finding>) {
    let (course, found) =
        authoring::read(sources, &BTreeSet::new(), authoring::Options::default());
    (course.unwrap(), found)
}

/// What of the example says in a text where it comes from, with the text as it is printed.
fn texts(course: &Course) -> Vec<(CitedBy, &str)> {
    let mut all: Vec<(CitedBy, &str)> = Vec::new();
    for (id, caution) in &course.cautions {
        all.push((CitedBy::Caution(id.clone()), &caution.source));
    }
    for act in &course.unsafe_acts {
        all.push((CitedBy::UnsafeAct(act.id.clone()), &act.source));
    }
    for drill in &course.drills {
        let of = |id: &String| (drill.id.clone(), id.clone());
        for critical in &drill.criticals {
            let (drill, id) = of(&critical.id);
            all.push((CitedBy::Critical(drill, id), &critical.source));
        }
        for measure in &drill.measures {
            let (drill, id) = of(&measure.id);
            all.push((CitedBy::Measure(drill, id), &measure.source));
        }
        if let Some(time) = &drill.time {
            all.push((CitedBy::Time(drill.id.clone()), &time.source));
        }
    }
    all
}

#[test]
fn every_source_that_is_named_is_in_the_list() {
    let course = pages::example();
    let known: BTreeSet<&str> =
        course.references.iter().map(|source| source.id.as_str()).collect();
    assert_eq!(known.len(), course.references.len(), "one name twice");
    assert_eq!(known, course.sources.keys().map(String::as_str).collect());
    let library = &course.library;
    let formulas = library.formulas().flat_map(Formula::rests_on);
    let constants = library.constants().iter().flat_map(|constant| {
        let others = constant.others.iter().map(|other| &other.source);
        std::iter::once(&constant.source).chain(others)
    });
    let rows = library.tables().iter().flat_map(|table| &table.rows);
    let rows = rows.flat_map(|row| {
        let others = row.others.iter().map(|other| &other.source);
        std::iter::once(&row.source).chain(others)
    });
    let named: Vec<&str> =
        formulas.chain(constants).chain(rows).map(|one| one.source.as_str()).collect();
    assert!(named.len() > 200, "{}", named.len());
    for name in named.into_iter().chain(course.cited.iter().map(|one| &*one.source)) {
        assert!(known.contains(name), "{name} is in no list");
    }
}

#[test]
fn every_source_can_be_looked_up_or_says_that_it_cannot() {
    let (course, found) = read(&pages::sources());
    let about = |found: &&Finding| {
        [Code::SourceUntraced, Code::SourceUnlisted].contains(&found.code)
    };
    assert!(!found.iter().any(|found| about(&found)), "{found:#?}");
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for source in &course.references {
        assert!(source.founded(), "{source:?}");
        *kinds.entry(source.kind.word()).or_default() += 1;
        // What nobody traced has no issuer to ask; one who had it would be a document.
        if source.kind == SourceKind::Secondary {
            assert_eq!(source.issuer, None, "{source:?}");
            assert!(course.sources[&source.id].ends_with(", secondary text"));
        }
    }
    for kind in ["document", "own", "secondary", "computed", "practice", "memory"] {
        assert!(kinds.contains_key(kind), "no {kind}: {kinds:?}");
    }
}

#[test]
fn every_caution_critical_and_measure_names_its_source_or_says_that_there_is_none() {
    let course = pages::example();
    let shorts: Vec<&String> = course.sources.values().collect();
    let all = texts(&course);
    assert!(all.len() > 90, "{}", all.len());
    for (by, text) in &all {
        for part in text.split("; ") {
            let named = shorts.iter().any(|short| {
                part == short.as_str() || part.starts_with(&format!("{short}, "))
            });
            // A blank after the last semicolon of a text of both units.
            assert!(named || OF_THE_RUN.contains(&part), "{by:?}: {part:?} of {text:?}");
        }
        let rests = course.cited.iter().filter(|cited| cited.by == *by).count();
        let run = text.split("; ").all(|part| OF_THE_RUN.contains(&part));
        assert_eq!(rests == 0, run, "{by:?}: {text:?}");
    }
    for rule in OF_THE_RUN {
        assert!(all.iter().any(|(_, text)| text.contains(rule)), "{rule} is nowhere");
    }
}

/// What the list of sources says of the cautions and the criticals of the project.
#[test]
fn what_was_looked_up_stands_beside_what_rests_on_it() {
    let course = pages::example();
    let caution = |id: &str| course.cautions[id].source.as_str();
    for (id, told) in [
        ("heat-stress", "NIOSH, page on heat-related illness"),
        (
            "concentrate-eyes",
            "ANSI/ISEA Z358.1, 2009 and 2014; lids and lenses from memory",
        ),
        ("climbing", "NIOSH F2010-25, 2 June 2011; NIOSH F2007-27, 1 July 2009"),
        ("moving-parts", "29 CFR 1910.147, (d)(3) to (6)"),
        ("fluorine", "NIOSH Science Blog, 9 November 2021"),
        ("stored-air", "common practice"),
        ("yard-drain", "Drain plan of the training yard (invented)"),
    ] {
        assert_eq!(caution(id), told, "{id}");
    }
    assert!(caution("charged-line").starts_with("NFPA 1962, 2018 extract, "));
    assert!(caution("runoff").contains("1996; BLM FA IM-2009-027, expired 2010"));
    let inspection = course.drill("inspection").unwrap();
    assert_eq!(inspection.criticals[0].source, "29 CFR 1910.147, (d)(3) to (6)");
}

/// Names of the list that no sentence could have by chance.
fn names(course: &Course) -> Vec<&str> {
    let ids = course.references.iter().map(|source| source.id.as_str());
    ids.filter(|id| id.contains('-')).collect()
}

/// The names that stand in a text as they are.
fn raw<'n>(text: &str, names: &[&'n str]) -> Vec<&'n str> {
    let word = Regex::new(r"[A-Za-z0-9-]+").unwrap();
    let words: BTreeSet<&str> =
        word.find_iter(text).map(|found| found.as_str()).collect();
    names.iter().copied().filter(|name| words.contains(name)).collect()
}

#[test]
fn no_page_prints_the_name_of_a_source_raw() {
    for course in [pages::example(), crate::metric::course()] {
        let names = names(&course);
        assert!(names.len() > 30, "{names:?}");
        assert_eq!(
            raw("by trade-practice, not my-trade-practice", &names),
            ["trade-practice"]
        );
        let pages = pages::pages(&course);
        for (path, text) in &pages {
            for line in visible(text) {
                assert_eq!(raw(&line, &names), [""; 0], "{path}: {line}");
            }
        }
        for (by, text) in texts(&course) {
            assert_eq!(raw(text, &names), [""; 0], "{by:?}: {text}");
        }
    }
}

fn entry<'p>(page: &'p str, id: &str) -> &'p str {
    let (_, rest) = page.split_once(&format!("<div id=\"{id}\">")).unwrap();
    rest.split_once("</div>").unwrap().0
}

/// Whether a formula stands on a page for crews.
fn is_shown(course: &Course, formula: &Formula) -> bool {
    let family = course.families.iter().any(|family| family.id == formula.family);
    family && !formula.officers_only && formula.holds_in(course.module.units)
}

#[test]
fn one_page_has_every_source_of_the_module_in_full() {
    let course = pages::example();
    let pages = pages::pages(&course);
    let page = &pages["crew/sources.html"];
    let figures = visible(&pages["crew/figures.html"]).join("\n");
    let formulas = course.library.formulas().filter(|own| is_shown(&course, own));
    let named = formulas.flat_map(Formula::rests_on).map(|named| &named.source);
    let named: BTreeSet<&String> =
        named.chain(course.cited.iter().map(|cited| &cited.source)).collect();
    let mut left_out = 0;
    for source in &course.references {
        let short = &course.sources[&source.id];
        if !page.contains(&format!("<div id=\"{}\">", source.id)) {
            // Nothing rests on it: no text, no formula, and no figure that is shown.
            assert!(!named.contains(&source.id), "{} is left out", source.id);
            assert!(!figures.contains(short), "{} is left out", source.id);
            left_out += 1;
            continue;
        }
        let own = visible(entry(page, &source.id)).join("\n");
        let Source { title, issuer, number, date, section, address, read, .. } = source;
        let told = [issuer, number, date, section, address, read].into_iter().flatten();
        for part in told.chain([title, short]) {
            assert!(own.contains(part.as_str()), "{}: {part} is not in {own}", source.id);
        }
    }
    assert!(left_out < 6, "{left_out} sources of the list are of no use to the example");
    for from in ["index", "figures", "cautions", "family-hydraulics"] {
        let text = &pages[&format!("crew/{from}.html")];
        assert!(text.contains("href=\"sources.html\""), "no way from {from}");
    }
}

/// Whatever is shown and names a source stands under it, with a way to its page.
#[test]
fn what_rests_on_a_source_stands_under_it() {
    let course = pages::example();
    let pages = pages::pages(&course);
    let page = &pages["crew/sources.html"];
    for cited in &course.cited {
        let own = entry(page, &cited.source);
        let there = match &cited.by {
            CitedBy::Caution(id) => format!("href=\"cautions.html#{id}\""),
            CitedBy::Critical(drill, _) | CitedBy::Measure(drill, _) => {
                format!("href=\"drill-{drill}.html\"")
            }
            CitedBy::UnsafeAct(id) => {
                let act = course.unsafe_acts.iter().find(|act| act.id == *id).unwrap();
                format!("Unsafe act: {}", act.act.trim_end_matches('.'))
            }
            other => panic!("{other:?} in the example"),
        };
        assert!(own.contains(&there), "{cited:?}: {own}");
    }
    for formula in course.library.formulas() {
        let link = format!("href=\"family-{}.html#{}\"", formula.family, formula.id);
        if is_shown(&course, formula) {
            for named in formula.rests_on() {
                let own = entry(page, &named.source);
                assert!(own.contains(&link), "{} under {}", formula.id, named.source);
            }
        } else {
            assert!(!page.contains(&link), "{} is on no page for crews", formula.id);
        }
    }
}

/// The example with one text put in the place of another.
fn changed(file: &str, old: &str, new: &str) -> Sources {
    let mut sources = pages::sources();
    let text = sources.get_mut(file).unwrap();
    assert_eq!(text.matches(old).count(), 1, "{old}");
    *text = text.replace(old, new);
    sources
}

#[test]
fn to_name_a_source_changes_no_revision() {
    let revisions = |course: &Course| -> Vec<String> {
        course.drills.iter().map(|drill: &Drill| wire::revision(drill).unwrap()).collect()
    };
    let example = pages::example();
    let file = "drills/inspection.yaml";
    let old = "cfr-1910-147, (d)(3) to (6)";
    let (other, found) = read(&changed(file, old, "niosh-f2010-25; as the order says"));
    assert!(found.iter().all(|found| found.code == Code::RigUnchecked), "{found:#?}");
    let told = &other.drill("inspection").unwrap().criticals[0].source;
    assert_eq!(told, "NIOSH F2010-25, 2 June 2011; as the order says");
    assert_eq!(revisions(&example), revisions(&other));
}

#[test]
fn a_source_of_the_module_takes_the_place_of_the_trades() {
    let mut sources = pages::sources();
    let list = sources.get_mut("sources.yaml").unwrap();
    list.push_str("- source: niosh-heat\n  title: Our own page on heat\n  kind: own\n");
    let (course, found) = read(&sources);
    // The trade's entry has its issuer; the one that counts has none.
    let untraced: Vec<&Finding> =
        found.iter().filter(|found| found.code == Code::SourceUntraced).collect();
    assert_eq!(untraced.len(), 1, "{found:#?}");
    assert_eq!(untraced[0].place.as_ref().unwrap().file, "sources.yaml");
    assert_eq!(course.cautions["heat-stress"].source, "Our own page on heat");
    let same = course.references.iter().filter(|source| source.id == "niosh-heat");
    assert_eq!(same.count(), 1);
}

#[test]
fn a_source_that_is_written_without_quotation_marks_is_a_text() {
    let mut sources = pages::sources();
    let list = sources.get_mut("sources.yaml").unwrap();
    list.push_str(
        "- source: plain\n  title: 2012\n  issuer: 7\n  number: 1.10\n  date: 2013-05-01\n",
    );
    let (course, found) = read(&sources);
    assert!(found.iter().all(|found| found.code == Code::RigUnchecked), "{found:#?}");
    assert_eq!(course.sources["plain"], "7 1.10, 2013-05-01");
}

#[test]
fn a_source_twice_in_one_list_is_found() {
    let mut sources = pages::sources();
    let list = sources.get_mut("sources.yaml").unwrap();
    list.push_str("- source: yard-plan\n  title: Another plan\n  kind: practice\n");
    let (_, found) = read(&sources);
    let double: Vec<Code> = found.iter().map(|found| found.code).collect();
    assert!(double.contains(&Code::DuplicateId), "{found:#?}");
}

#[test]
fn hostile_texts_are_told_as_they_are() {
    for text in ["", ";;;", ",", "; ,;", "a\u{0}b;", "–,–;–", &"x;".repeat(9_000)] {
        let names: Vec<&str> = named_in(text).collect();
        assert!(names.len() <= text.len() + 1, "{text:?}");
        // A text with signs that YAML has for itself is written between quotation marks.
        if text.contains('\u{0}') || text.is_empty() {
            continue;
        }
        let old = "source: cfr-1910-147, (d)(3) to (6)";
        let sources =
            changed("drills/inspection.yaml", old, &format!("source: '{text}'"));
        let (course, _) = read(&sources);
        assert_eq!(course.drill("inspection").unwrap().criticals[0].source, text);
    }
}
