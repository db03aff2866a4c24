//! What a replaced sentence owes to the one in whose place it stands.

use std::collections::BTreeSet;

// The build holds the plain sentences against the same reader of blanks; where the tests of that
// are built, it is there already.
#[cfg(not(test))]
#[path = "../stock/check/sheet.rs"]
mod sheet;
#[cfg(test)]
use crate::stock::check::sheet;

/// Sentences that stand on every page and sheet: that local procedures, the manufacturer's manual
/// and the officer in charge decide, what an invented, unchecked or unfinished page says of itself,
/// what a reader is told before a run, and what a verdict is not.
const SAFETY: &[&str] = &[
    "page.fixed",
    "sheet.fixed",
    "live.deference",
    "cli.mark.certifies",
    "cli.work.caution",
    "quiz.about-results",
    "sheet.aloud",
    "live.aloud",
    "live.unverified",
    "sheet.unverified",
    "sheet.draft",
    "sheet.short.unverified",
    "sheet.short.draft",
    "page.invented-short",
    "page.unverified",
    "page.unverified-short",
    "page.draft",
    "page.draft-short",
    "page.cautions",
    "page.criticals-about",
    "page.stop-about",
    "page.hazard",
    "live.criticals",
    "sheet.label.criticals",
    "walk.no-result",
    "walk.would.hose-test",
    "walk.would.line-lost",
    "walk.would.unit",
    "walk.would.label",
    "walk.would.slip",
    "walk.would.minutes",
    "walk.would.intake",
    "walk.would.air",
];

/// Words by which a sentence says that something is not so. Only a sentence in the language of the plain
/// one is held against them.
const DENIES: &[&str] = &[
    "no", "not", "never", "none", "nobody", "nothing", "neither", "nor", "without",
    "cannot",
];

/// Words by which a sentence makes a result of what is none, or passes what fails.
const PASSES: &[&str] =
    &["pass", "passes", "passed", "certifies", "certified", "meets", "met"];

/// The four signal words, gravest first: whoever reads one must not take it for another.
pub(super) const SIGNALS: [&str; 4] =
    ["signal.danger", "signal.warning", "signal.caution", "signal.notice"];

/// What is wrong with a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Wrong {
    /// It says nothing.
    Empty,
    /// A sentence of safety that says next to nothing.
    Safety,
    /// A blank that is opened and not closed, or the like.
    Broken,
    /// Other blanks than those that the program fills.
    Blanks(String),
    /// A sentence of safety in the words of the plain one, and the other way round.
    Turned,
}

/// Whether a key is a sentence of safety.
pub(super) fn is_safety(key: &str) -> bool {
    SAFETY.contains(&key) || SIGNALS.contains(&key)
}

/// Holds a sentence against the plain one of its key.
pub(super) fn wrong(key: &str, plain: &str, own: &str) -> Option<Wrong> {
    let letters = |text: &str| text.chars().filter(|c| c.is_alphanumeric()).count();
    let (plain_letters, own_letters) = (letters(plain), letters(own));
    if is_safety(key) {
        // A fifth of the letters: a script that writes a word with one sign still needs more, and
        // "see SOP" does not say who decides.
        if own_letters == 0 || own_letters * 5 < plain_letters {
            return Some(Wrong::Safety);
        }
    }
    // What the plain one has no letter of, such as a sign between two values, may be another sign.
    if (own_letters == 0 && plain_letters > 0)
        || (own.trim().is_empty() && !plain.trim().is_empty())
    {
        return Some(Wrong::Empty);
    }
    let set = |found: Vec<String>| found.into_iter().collect::<BTreeSet<String>>();
    let Ok(found) = sheet::blanks(own).map(set) else { return Some(Wrong::Broken) };
    let wanted = sheet::blanks(plain).map(set).unwrap_or_default();
    if found == wanted {
        return (is_safety(key) && turned(plain, own)).then_some(Wrong::Turned);
    }
    let list = |all: &BTreeSet<String>| {
        all.iter().map(|name| format!("{{{name}}}")).collect::<Vec<_>>().join(" ")
    };
    Some(Wrong::Blanks(list(&found)))
}

/// Letters of a word, small, as it is compared.
pub(super) fn terms(text: &str) -> Vec<String> {
    let lower = text.to_lowercase().replace("n't", " not");
    let parts = lower.split(|c: char| !c.is_alphanumeric());
    parts.filter(|part| !part.is_empty()).map(str::to_owned).collect()
}

/// Whether a sentence keeps the words of the plain one, and denies what that says, says what that
/// denies, or passes what it fails. Of another language nobody can tell that by its words.
fn turned(plain: &str, own: &str) -> bool {
    let (plain, own) = (terms(plain), terms(own));
    let long = |word: &&String| word.chars().count() > 3;
    let kept = plain.iter().filter(long).filter(|word| own.contains(word)).count();
    let same_language = kept * 2 >= plain.iter().filter(long).count();
    let has = |words: &[String], of: &[&str]| {
        words.iter().any(|word| of.contains(&word.as_str()))
    };
    same_language
        && (has(&plain, DENIES) != has(&own, DENIES)
            || (has(&own, PASSES) && !has(&plain, PASSES)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sentence_of_safety_is_not_turned_round() {
        let fixed =
            "Local procedures, the maker's manual and the officer in charge decide.";
        for own in [
            "Local procedures, the maker's manual and the officer in charge never decide.",
            "Local procedures and the maker's manual don't decide; the officer in charge reads on.",
        ] {
            assert_eq!(wrong("page.fixed", fixed, own), Some(Wrong::Turned), "{own}");
        }
        let own = "Our procedures, the maker's manual and the officer in charge decide.";
        assert_eq!(wrong("page.fixed", fixed, own), None);
        let asked = "Did this happen? Any of these fails the run";
        let passes = "Did this happen? Any of these passes the run";
        assert_eq!(wrong("live.criticals", asked, passes), Some(Wrong::Turned));
        let german = "Ist das geschehen? Jedes davon ist nicht bestanden, never met";
        assert_eq!(wrong("live.criticals", asked, german), None, "another language");
    }

    #[test]
    fn a_sentence_owes_its_blanks_and_its_meaning() {
        let plain = "The module needs the file {name}, and it is not there.";
        assert_eq!(wrong("a.b", plain, "Es fehlt {name}."), None);
        assert_eq!(wrong("a.b", plain, "{name} {name}: fehlt"), None);
        assert_eq!(
            wrong("a.b", plain, "Es fehlt {nam}."),
            Some(Wrong::Blanks("{nam}".to_owned()))
        );
        assert_eq!(wrong("a.b", plain, "Es fehlt."), Some(Wrong::Blanks(String::new())));
        assert_eq!(wrong("a.b", plain, "Es fehlt {name"), Some(Wrong::Broken));
        assert_eq!(wrong("a.b", plain, " "), Some(Wrong::Empty));
        assert_eq!(wrong("a.b", plain, "— …"), Some(Wrong::Empty));
        assert_eq!(wrong("a.b", "{a} – {b}", "{a} / {b}"), None);
    }

    #[test]
    fn what_keeps_people_safe_is_translated_and_not_taken_away() {
        let fixed =
            "Local procedures, the maker's manual and the officer in charge decide.";
        for own in ["", "-", "\u{a0}", "\u{200b}", "ok", "See SOP."] {
            assert_eq!(wrong("page.fixed", fixed, own), Some(Wrong::Safety), "{own}");
        }
        for own in [
            "Es entscheiden örtliche Regeln, das Handbuch und wer die Leitung hat.",
            "现场规程、制造商手册和现场指挥官的决定为准。",
        ] {
            assert_eq!(wrong("page.fixed", fixed, own), None, "{own}");
        }
        assert_eq!(wrong("signal.danger", "DANGER", "."), Some(Wrong::Safety));
        assert_eq!(wrong("signal.danger", "DANGER", "危险"), None);
    }
}
