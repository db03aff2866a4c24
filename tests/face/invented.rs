//! A department that speaks a language nobody knows: a handful of sentences, shown by its pages,
//! its sheets, its kits and its findings; and the letters of its revisions stay.

use drillwright::findings::{Code, Sources, printed};
use drillwright::scoring::{Kit, short_revision};
use drillwright::stock;

use super::{course, pages, read};

/// Invented, by hand.
const WORDS: &str = "# Norl, spoken by nobody.
lang: qno
page:
  fixed: \"Vel tarno i brel, o mika vo tarnor, o tarnor nal vex sudo.\"
  steps: \"Treki\"
  side-of: \"fol {side} nu {sides}\"
  document: \"{what} · {kind} · {module}\"
signal:
  danger: \"MORTU\"
  warning: \"GRAVU\"
  caution: \"KAVU\"
  notice: \"NOTU\"
sheet.fixed: \"Vel tarno i brel, o mika vo tarnor, o tarnor nal vex sudo.\"
live.deference: \"Vel tarno i brel, o mika vo tarnor, o tarnor nal vex sudo.\"
board:
  near: \"({of}) nal {step}\"
finding:
  unknown-field:
    says: \"Ne solu {field}.\"
    write: \"Skri: {nearest}\"
  missing-field.says: \"Mank {field}.\"
findings:
  place: \"{file}, tir {line}\"
  missing.help: \"{says} Solu: {help}\"
field:
  tank:
    usable: \"Vol vo suku.\"
";

fn norl() -> Sources {
    let mut sources = crate::pages::sources();
    sources.insert("theme/words.yaml".to_owned(), WORDS.to_owned());
    sources
}

#[test]
fn its_pages_speak_it() {
    let own = course(&norl());
    for (path, text) in pages(&own) {
        assert!(text.starts_with("<!DOCTYPE html>\n<html lang=\"qno\">"), "{path}");
        assert!(text.contains("Vel tarno i brel, o mika vo tarnor"), "{path}");
        assert!(!text.contains("the officer in charge decide."), "{path}");
        // Signal words stand by themselves; authors write them in small letters.
        for plain in
            [">DANGER<", ">WARNING<", ">CAUTION<", ">NOTICE<", "DANGER:", "WARNING:"]
        {
            assert!(!text.contains(plain), "{path}: {plain}");
        }
        assert!(
            ["MORTU", "GRAVU", "KAVU", "NOTU"].iter().any(|own| text.contains(own)),
            "{path}"
        );
        if path.contains("/family-endurance") {
            assert!(
                text.contains(") nal ") && !text.contains(") to the nearest"),
                "{path}"
            );
        }
        // What the engine of a page speaks travels in its kit.
        if path.contains("/live-") {
            assert!(text.contains("\"signal.danger\":\"MORTU\""), "{path}");
        }
    }
}

#[test]
fn its_findings_speak_it() {
    let mut sources = norl();
    let rig = sources.get_mut("rigs/engine-7.yaml").unwrap();
    *rig = rig.replacen("usable:", "usabel:", 1);
    let (course, found) = read(&sources);
    // The rig cannot be read, and the words are known all the same.
    let words = course.map(|course| course.face.words);
    let words = words.unwrap_or_else(|| drillwright::authoring::words(&sources));
    let told = |code| {
        let finding = found.iter().find(|one| one.code == code).unwrap();
        drillwright::findings::text(&printed(finding, &sources, &words), &words)
    };
    let said = told(Code::UnknownField);
    assert!(said.contains("rigs/engine-7.yaml, tir "), "{said}");
    assert!(said.contains("  Ne solu usabel.\n  Skri: usable\n"), "{said}");
    let rig = sources.get_mut("rigs/engine-7.yaml").unwrap();
    let line = rig.lines().find(|line| line.contains("usabel:")).unwrap().to_owned();
    *rig = rig.replacen(&format!("{line}\n"), "", 1);
    let (_, found) = read(&sources);
    let missing = found.iter().find(|one| one.code == Code::MissingField).unwrap();
    let said = printed(missing, &sources, &words).says;
    assert_eq!(said, "Mank usable. Solu: Vol vo suku.");
}

/// A department that translates its words has printed sheets before, and they stay valid.
#[test]
fn a_translation_changes_no_revision() {
    let letters = |sources: &Sources| {
        let course = course(sources);
        let words = course.face.words.clone();
        let mut out = Vec::new();
        for drill in &course.drills {
            for rig in course.rigs.values() {
                if let Ok(kit) = Kit::of(&course, drill, rig, &words) {
                    out.push(short_revision(kit.drill_revision()).to_owned());
                    out.push(short_revision(kit.rig_revision()).to_owned());
                }
            }
        }
        out
    };
    let plain = letters(&crate::pages::sources());
    assert!(plain.len() > 20);
    assert_eq!(letters(&norl()), plain);
    // With every sentence in other letters, too.
    let mut all = crate::pages::sources();
    all.insert("theme/words.yaml".to_owned(), super::marked::words());
    assert_eq!(letters(&all), plain);
}

/// Every key of the plain words can be said again as it is, and the module is the same.
#[test]
fn the_plain_words_may_be_written_down_again() {
    let plain = stock::words();
    let lines = plain.keys().filter(|key| !plain.get(key).is_empty()).map(|key| {
        format!("{key}: {}\n", serde_json::to_string(&plain.get(key)).unwrap())
    });
    let mut sources = crate::pages::sources();
    sources.insert("theme/words.yaml".to_owned(), lines.collect());
    assert_eq!(course(&sources).face.words, plain);
}
