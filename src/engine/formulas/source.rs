//! The list of sources: where figures, rules and cautions come from, in full once and in short
//! wherever one is named.

use std::collections::BTreeMap;

use crate::wire::Book;
use crate::words::Words;
use crate::{record, words};

words! {
    /// What kind of source it is, and so how a reader can check it.
    SourceKind {
        /// A document that anybody can look up.
        "document" Document,
        /// An order, card or plan of the department itself, in its own files.
        "own" Own,
        /// A text about the matter that names no issuer, or whose issuer nobody traced.
        "secondary" Secondary,
        /// Computed by a named library.
        "computed" Computed,
        /// Follows from what the quantities are.
        "definition" Definition,
        /// Common practice of the trade, without one authority.
        "practice" Practice,
        /// From memory, not looked up.
        "memory" Memory,
    }
}

record! {
    /// An entry of the list of sources. A document can be looked up when it has an issuer and a title,
    /// and a number, date, section or address; anything else says what kind of source it is.
    Source {
        /// Short name, as formulas, tables and constants call it; a caution or a critical may too.
        id: String = need "source", eg "handbook-4";
        /// Title, or what it is.
        title: String = need "title", prose, eg "Engine company handbook";
        /// What kind it is; left out, a document.
        kind: SourceKind = may "kind", or "document", prose, eg "practice";
        /// Who issued it.
        issuer: Option<String> = may "issuer", prose, eg "State fire academy";
        /// The number under which its issuer has it.
        number: Option<String> = may "number", prose, eg "H-4";
        /// Date or edition, as it is known.
        date: Option<String> = may "date", prose, eg "2012, revised 2013";
        /// Chapter, section or page.
        section: Option<String> = may "section", prose, eg "chapter 4";
        /// Where it can be read free of charge.
        address: Option<String> = may "address", prose, eg "handbook.example/4";
        /// What of it was read, where not the whole.
        read: Option<String> = may "read", prose, eg "an excerpt";
        /// What it is called in the short form; left out, issuer and number, else issuer and title.
        short: Option<String> = may "short", prose, eg "Academy handbook";
    }
}

/// What a text of a caution, a critical, a measure or a limit says about where it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Citation {
    /// As it is printed.
    pub text: String,
    /// Sources of the list that it names, by id.
    pub named: Vec<String>,
}

/// One part of such a text: what may be a short name, and what follows it.
fn parted(part: &str) -> (&str, Option<&str>) {
    match part.split_once(',') {
        Some((head, rest)) => (head.trim(), Some(rest.trim())),
        None => (part.trim(), None),
    }
}

/// The parts of a text that may each begin with the short name of a source.
pub fn named_in(text: &str) -> impl Iterator<Item = &str> {
    text.split(';').map(|part| parted(part).0)
}

impl Source {
    /// The short form: issuer and number or title, date, section. The one place where it is made.
    pub fn short(&self, words: &Words) -> String {
        // Everybody of the house knows whose its own papers are.
        let issuer = self.issuer.as_ref().filter(|_| self.kind != SourceKind::Own);
        let mut out = match (&self.short, issuer, &self.number) {
            (Some(short), ..) => short.clone(),
            (None, Some(issuer), Some(number)) => format!("{issuer} {number}"),
            (None, Some(issuer), None) => format!("{issuer}, {}", self.title),
            (None, None, _) => self.title.clone(),
        };
        // A number may hold the section, and a title the date: twice they would read as two.
        for part in [&self.date, &self.section].into_iter().flatten() {
            if !out.contains(part.as_str()) {
                out = format!("{out}, {part}");
            }
        }
        // A reader who takes it for the issuer's own word would look for it in vain.
        if self.kind == SourceKind::Secondary {
            out = format!("{out}, {}", words.get("page.sources.secondary-short"));
        }
        out
    }

    /// Whether a reader can look it up, or is told that nobody can.
    pub const fn founded(&self) -> bool {
        let found = self.number.is_some()
            || self.date.is_some()
            || self.section.is_some()
            || self.address.is_some();
        match self.kind {
            SourceKind::Document => self.issuer.is_some() && found,
            // An order of the house is asked for by its title, and may have no date yet.
            SourceKind::Own => self.issuer.is_some(),
            SourceKind::Secondary
            | SourceKind::Computed
            | SourceKind::Definition
            | SourceKind::Practice
            | SourceKind::Memory => true,
        }
    }
}

/// A text with the sources that it names told in short: `handbook-4, page 12; else common practice`.
/// A text that names none stays as it is; one that is a short form itself counts as naming its source.
pub fn cite(text: &str, shorts: &BTreeMap<String, String>) -> Citation {
    let mut named = Vec::new();
    let mut by_name = false;
    let parts = text.split(';').map(|part| {
        let (head, rest) = parted(part);
        if let Some(short) = shorts.get(head) {
            by_name = true;
            named.push(head.to_owned());
            return rest.map_or_else(|| short.clone(), |rest| format!("{short}, {rest}"));
        }
        let is = |(_, short): &(&String, &String)| short.as_str() == part.trim();
        named.extend(shorts.iter().find(is).map(|(id, _)| id.clone()));
        part.trim().to_owned()
    });
    let parts: Vec<String> = parts.collect();
    Citation { text: if by_name { parts.join("; ") } else { text.to_owned() }, named }
}

/// Help of the list of sources.
pub(super) const BOOKS: &[Book] = &[Source::BOOK, SourceKind::BOOK];

#[cfg(test)]
mod tests {
    use super::*;

    fn words() -> Words {
        let secondary = ("page.sources.secondary-short", "secondary text");
        Words::new(BTreeMap::from([(secondary.0.to_owned(), secondary.1.to_owned())]))
    }

    fn source(title: &str) -> Source {
        Source {
            id: "one".to_owned(),
            title: title.to_owned(),
            kind: SourceKind::Document,
            issuer: None,
            number: None,
            date: None,
            section: None,
            address: None,
            read: None,
            short: None,
        }
    }

    #[test]
    fn the_short_form_is_issuer_date_and_section() {
        let plain = source("Hose standard");
        assert_eq!(plain.short(&words()), "Hose standard");
        let issued = Source { issuer: Some("Academy".into()), ..plain };
        assert_eq!(issued.short(&words()), "Academy, Hose standard");
        let numbered = Source { number: Some("1962".into()), ..issued };
        let dated = Source {
            date: Some("2018 extract".into()),
            section: Some("4.8".into()),
            ..numbered
        };
        assert_eq!(dated.short(&words()), "Academy 1962, 2018 extract, 4.8");
        let address = Source {
            address: Some("a.example".into()),
            read: Some("4.8".into()),
            ..dated
        };
        assert_eq!(address.short(&words()), "Academy 1962, 2018 extract, 4.8");
        let short = Source {
            short: Some("Rule 4.8".into()),
            kind: SourceKind::Secondary,
            ..address
        };
        assert_eq!(short.short(&words()), "Rule 4.8, 2018 extract, secondary text");
    }

    #[test]
    fn only_what_can_be_found_or_says_that_it_cannot_is_founded() {
        let title = source("Hose standard");
        let issued = Source { issuer: Some("Academy".into()), ..title.clone() };
        assert!(!title.founded() && !issued.founded());
        let undated = Source { date: Some("2018".into()), ..title.clone() };
        assert!(!undated.founded(), "nobody to ask for it");
        for found in [
            Source { number: Some("4".into()), ..issued.clone() },
            Source { date: Some("2018".into()), ..issued.clone() },
            Source { section: Some("4.8".into()), ..issued.clone() },
            Source { address: Some("a.example".into()), ..issued.clone() },
            Source { kind: SourceKind::Own, ..issued.clone() },
        ] {
            assert!(found.founded(), "{found:?}");
        }
        // What was read of it, and what it is called, lead nobody to it.
        let read =
            Source { read: Some("all".into()), short: Some("it".into()), ..issued };
        assert!(!read.founded());
        assert!(!Source { kind: SourceKind::Own, ..title.clone() }.founded());
        for (_, kind) in SourceKind::ALL {
            let asks = matches!(kind, SourceKind::Document | SourceKind::Own);
            assert_eq!(
                Source { kind: *kind, ..title.clone() }.founded(),
                !asks,
                "{kind:?}"
            );
        }
    }

    fn shorts() -> BTreeMap<String, String> {
        let all = [("hose-rule", "Academy 1962, 4.8"), ("practice", "common practice")];
        all.map(|(id, short)| (id.to_owned(), short.to_owned())).into()
    }

    fn cited(text: &str) -> (String, Vec<String>) {
        let Citation { text, named } = cite(text, &shorts());
        (text, named)
    }

    #[test]
    fn a_name_of_the_list_is_told_in_short() {
        let named = vec!["hose-rule".to_owned()];
        let same = |text: &str, told: &str| {
            assert_eq!(cited(text), (told.to_owned(), named.clone()), "{text}");
        };
        same("hose-rule", "Academy 1962, 4.8");
        same(" hose-rule ", "Academy 1962, 4.8");
        same("hose-rule, page 3, foot", "Academy 1962, 4.8, page 3, foot");
        same("hose-rule; else nothing", "Academy 1962, 4.8; else nothing");
        same("order 4; hose-rule, note", "order 4; Academy 1962, 4.8, note");
        let both = cited("hose-rule; practice");
        assert_eq!(both.0, "Academy 1962, 4.8; common practice");
        assert_eq!(both.1, ["hose-rule", "practice"]);
    }

    #[test]
    fn a_text_that_names_nothing_stays_to_the_letter() {
        for text in [
            "",
            ";",
            " ; , ",
            "order 4 ;section 2",
            "the hose-rule",
            "hose-rules",
            "Hose-Rule",
            "hose-rule (old)",
            "see hose-rule, page 3",
            "fiche d’eau ; 水",
        ] {
            assert_eq!(cited(text), (text.to_owned(), Vec::new()), "{text}");
        }
        // A short form that was written out is the same source.
        let (text, named) = cited("common practice ;  else order 4");
        assert_eq!(text, "common practice ;  else order 4");
        assert_eq!(named, ["practice"]);
    }
}
