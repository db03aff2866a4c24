//! Which pictures a lesson shows.

use pulldown_cmark::{Event, Options, Parser, Tag};

/// Pictures that the text of a lesson shows.
pub fn pictures(text: &str) -> Vec<String> {
    let events = Parser::new_ext(text, Options::ENABLE_TABLES);
    let shown = events.filter_map(|event| match event {
        Event::Start(Tag::Image { dest_url, .. }) => Some(dest_url.into_string()),
        _ => None,
    });
    shown.collect()
}
