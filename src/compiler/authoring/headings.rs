//! Headings of a lesson: the words, the number and the address by which its paragraphs are named
//! elsewhere, on a page, over the radio and on paper.

use std::collections::{BTreeMap, BTreeSet};

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};

use crate::course::{Lesson, Teaches};

/// Number of a heading of the first rank: "4.2", the second of lesson 4.
pub(crate) fn numbered(lesson: usize, count: usize) -> String {
    format!("{lesson}.{count}")
}

/// A heading of the first rank.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Headed {
    /// Its words.
    pub(crate) text: String,
    /// Its number in the module.
    pub(crate) number: String,
    /// Page and place in it.
    pub(crate) address: String,
}

/// The headings of the first rank of a lesson, which stands at that place of the module.
pub(crate) fn headings(lesson: &Lesson, at: usize) -> Vec<Headed> {
    let events: Vec<Event<'_>> =
        Parser::new_ext(&lesson.text, Options::ENABLE_TABLES).collect();
    let mut taken = BTreeSet::new();
    let mut found: Vec<Headed> = Vec::new();
    let mut open = false;
    for (place, event) in events.iter().enumerate() {
        match event {
            Event::Start(Tag::Heading { level, .. }) => {
                let rest = events.get(place + 1..).unwrap_or_default();
                let id = heading_id(rest, &mut taken);
                open = *level == HeadingLevel::H1;
                if open {
                    found.push(Headed {
                        text: String::new(),
                        number: numbered(at, found.len() + 1),
                        address: format!("lesson-{}.html#{id}", lesson.id),
                    });
                }
            }
            Event::End(TagEnd::Heading(_)) => open = false,
            Event::Text(more) | Event::Code(more) if open => {
                if let Some(last) = found.last_mut() {
                    last.text.push_str(more);
                }
            }
            _ => {}
        }
    }
    found
}

/// An id made of the heading's words; a second one of the same name gets a number.
pub(crate) fn heading_id(rest: &[Event<'_>], taken: &mut BTreeSet<String>) -> String {
    let mut words = String::new();
    for event in rest {
        match event {
            Event::End(TagEnd::Heading(_)) => break,
            Event::Text(text) | Event::Code(text) => words.push_str(text),
            _ => {}
        }
    }
    let letters = words.to_lowercase();
    let parts: Vec<&str> = letters
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|part| !part.is_empty())
        .collect();
    let base = format!("s-{}", parts.join("-"));
    let mut id = base.clone();
    let mut number = 2;
    // Two headings with one text are two places of the page.
    while !taken.insert(id.clone()) {
        id = format!("{base}-{number}");
        number += 1;
    }
    id
}

/// Gives each paragraph that teaches the number and the address of its heading.
pub(super) fn placed(mut all: Vec<Teaches>, lessons: &[Lesson]) -> Vec<Teaches> {
    let heads = lessons.iter().enumerate().map(|(at, lesson)| {
        // People count from one.
        (lesson.id.as_str(), headings(lesson, at + 1))
    });
    let heads: BTreeMap<&str, Vec<Headed>> = heads.collect();
    for one in &mut all {
        let own = heads.get(one.lesson.as_str()).into_iter().flatten();
        if let Some(head) = own.clone().find(|head| head.text == one.heading) {
            one.number.clone_from(&head.number);
            one.address.clone_from(&head.address);
        }
    }
    all
}
