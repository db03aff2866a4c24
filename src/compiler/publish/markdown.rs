//! A lesson's CommonMark → HTML: raw HTML shown as text, links checked, headings one level
//! down, our own link schemes.

use pulldown_cmark::{
    CowStr, Event, HeadingLevel, LinkType, Options, Parser, Tag, TagEnd, html,
};

use std::collections::BTreeSet;
use std::ops::Range;

use crate::authoring::{heading_id, numbered};

/// What a link of our own leads to.
pub(super) trait Links {
    /// Address and title of `scheme:id`; nothing when there is none.
    fn link(&self, scheme: &str, id: &str) -> Option<(String, String)>;
    /// HTML in place of a paragraph that holds only `[Title](figure:ID)`,
    /// `[Title](question:ID)` or `[Title](drawing:ID)`.
    fn figure(&self, scheme: &str, id: &str, title: &str) -> Option<String>;
    /// Where a page loads a picture of the module from; nothing when it cannot be shown, and
    /// its words remain.
    fn picture(&self, file: &str) -> Option<String>;
    /// What a table's scroll box is called.
    fn table_name(&self) -> String;
    /// The first term of the glossary that a text names and that is not among those linked already.
    fn term(&self, text: &str, linked: &BTreeSet<String>) -> Option<Named>;
    /// What stands before the headings of the first rank: number of the lesson, so that one of them
    /// can be asked for over the radio and on paper; nothing where they have none.
    fn number(&self) -> Option<usize>;
}

/// A term in a text.
pub(super) struct Named {
    /// Its id.
    pub(super) id: String,
    /// Where it stands.
    pub(super) range: Range<usize>,
    /// Address in the glossary, and what it means.
    pub(super) link: (String, String),
}

/// A text with a link at the first place of each term: whoever meets a word can look it up there, and
/// is not stopped by it again.
fn linked<'e>(
    text: &CowStr<'e>,
    links: &dyn Links,
    done: &mut BTreeSet<String>,
) -> Vec<Event<'e>> {
    let mut out = Vec::new();
    let mut rest = text.to_string();
    while let Some(Named { id, range, link: (address, title) }) = links.term(&rest, done)
    {
        let part = |range: Range<usize>| {
            CowStr::from(rest.get(range).unwrap_or_default().to_owned())
        };
        out.push(Event::Text(part(0..range.start)));
        out.push(Event::Start(Tag::Link {
            link_type: LinkType::Inline,
            dest_url: CowStr::from(address),
            title: CowStr::from(title),
            id: CowStr::from(""),
        }));
        out.push(Event::Text(part(range.clone())));
        out.push(Event::End(TagEnd::Link));
        let after = rest.get(range.end..).unwrap_or_default().to_owned();
        done.insert(id);
        rest = after;
    }
    out.push(Event::Text(CowStr::from(rest)));
    out
}

/// HTML of a text.
#[expect(clippy::too_many_lines, reason = "one arm for each event that is not passed on")]
pub(super) fn render(text: &str, links: &dyn Links) -> String {
    // All of them before any is passed on: what a paragraph becomes hangs on what stands
    // two events further.
    let events: Vec<Event<'_>> = Parser::new_ext(text, Options::ENABLE_TABLES).collect();
    let mut out: Vec<Event<'_>> = Vec::with_capacity(events.len());
    let mut at = 0;
    let mut ids = BTreeSet::new();
    let mut count = 0;
    let (mut in_heading, mut in_link, mut terms) = (false, 0_usize, BTreeSet::new());
    let (mut open_link, mut open_picture) = (Vec::new(), Vec::new());
    while let Some(event) = events.get(at) {
        // Before anything else: a paragraph that is one link to a figure becomes the figure.
        if let Some((figure, length)) = figure(&events, at, links) {
            out.push(Event::Html(CowStr::from(figure)));
            at += length;
            continue;
        }
        at += 1;
        match event {
            Event::Start(Tag::Heading { .. }) => in_heading = true,
            Event::End(TagEnd::Heading(_)) => in_heading = false,
            Event::Start(Tag::Link { .. } | Tag::Image { .. }) => in_link += 1,
            Event::End(TagEnd::Link | TagEnd::Image) => {
                in_link = in_link.saturating_sub(1);
            }
            _ => {}
        }
        match event {
            Event::Text(text) if !in_heading && in_link == 0 => {
                out.extend(linked(text, links, &mut terms));
            }
            Event::Html(raw) | Event::InlineHtml(raw) => {
                // Raw HTML is shown as it stands and never passed on: a lesson may come from
                // anybody.
                out.push(Event::Text(raw.clone()));
            }
            Event::Start(Tag::Heading { level, .. }) => {
                let id = heading_id(events.get(at..).unwrap_or_default(), &mut ids);
                // The page's title is its one heading of the first rank.
                let number = level_number(down(*level));
                let mut open = format!("<h{number} id=\"{id}\">");
                if let (HeadingLevel::H1, Some(lesson)) = (level, links.number()) {
                    count += 1;
                    let place = numbered(lesson, count);
                    open.push_str(&format!("<span class=\"place\">{place}</span> "));
                }
                out.push(Event::Html(CowStr::from(open)));
            }
            Event::End(TagEnd::Heading(level)) => {
                let number = level_number(down(*level));
                out.push(Event::Html(CowStr::from(format!("</h{number}>\n"))));
            }
            Event::Start(Tag::Table(_)) => {
                let name = links.table_name();
                // A wide table scrolls in a frame of its own, reachable by keyboard; else
                // the whole page would slide under the thumb.
                let open = format!(
                    "<div class=\"wide\" tabindex=\"0\" role=\"group\" aria-label=\"{name}\">"
                );
                out.push(Event::Html(CowStr::from(open)));
                out.push(event.clone());
            }
            Event::End(TagEnd::Table) => {
                out.push(event.clone());
                out.push(Event::Html(CowStr::from("</div>\n")));
            }
            Event::Start(Tag::Link { link_type, dest_url, title, id }) => {
                // Only schemes that are known get through, because a lesson is written by
                // anybody and opened on the rig's own tablet.
                let found = target(dest_url, *link_type, links);
                // A link that leads nowhere keeps its words; its end must then be left out too.
                open_link.push(found.is_some());
                if let Some((address, own_title)) = found {
                    out.push(Event::Start(Tag::Link {
                        link_type: LinkType::Inline,
                        dest_url: CowStr::from(address),
                        title: if own_title.is_empty() {
                            title.clone()
                        } else {
                            own_title.into()
                        },
                        id: id.clone(),
                    }));
                }
            }
            Event::End(TagEnd::Link) => {
                if open_link.pop() == Some(true) {
                    out.push(event.clone());
                }
            }
            Event::Start(Tag::Image { dest_url, title, id, .. }) => {
                let shown = links.picture(dest_url);
                open_picture.push(shown.is_some());
                if let Some(address) = shown {
                    out.push(Event::Start(Tag::Image {
                        link_type: LinkType::Inline,
                        dest_url: CowStr::from(address),
                        title: title.clone(),
                        id: id.clone(),
                    }));
                }
            }
            Event::End(TagEnd::Image) => {
                if open_picture.pop() == Some(true) {
                    out.push(event.clone());
                }
            }
            other => out.push(other.clone()),
        }
    }
    let mut text = String::new();
    html::push_html(&mut text, out.into_iter());
    styled(&text)
}

/// The writer puts a column's alignment into a style, which the page's policy forbids.
fn styled(html: &str) -> String {
    // The pages' policy allows no style in an element.
    html.replace(" style=\"text-align: right\"", " class=\"right\"")
        .replace(" style=\"text-align: center\"", " class=\"center\"")
        .replace(" style=\"text-align: left\"", "")
}

/// A paragraph that holds only one link of the scheme `figure:`, `question:` or `drawing:`.
fn figure(events: &[Event<'_>], at: usize, links: &dyn Links) -> Option<(String, usize)> {
    let Event::Start(Tag::Paragraph) = events.get(at)? else { return None };
    let Event::Start(Tag::Link { dest_url, .. }) = events.get(at + 1)? else {
        return None;
    };
    let (scheme, id) = dest_url.split_once(':')?;
    if !matches!(scheme, "figure" | "question" | "drawing") {
        return None;
    }
    let mut title = String::new();
    let mut next = at + 2;
    while let Some(Event::Text(text) | Event::Code(text)) = events.get(next) {
        title.push_str(text);
        next += 1;
    }
    let Event::End(TagEnd::Link) = events.get(next)? else { return None };
    let Event::End(TagEnd::Paragraph) = events.get(next + 1)? else { return None };
    Some((links.figure(scheme, id, &title)?, next + 2 - at))
}

/// Address of a link, when its scheme is allowed.
fn target(address: &str, kind: LinkType, links: &dyn Links) -> Option<(String, String)> {
    if matches!(kind, LinkType::Email) {
        return Some((format!("mailto:{address}"), String::new()));
    }
    match address.split_once(':') {
        Some(("http" | "https" | "mailto", _)) => {
            Some((address.to_owned(), String::new()))
        }
        Some((scheme, id)) => links.link(scheme, id),
        None if address.starts_with('#') => Some((address.to_owned(), String::new())),
        None => {
            let id = address.strip_suffix(".md")?.rsplit('/').next()?;
            links.link("lesson", id)
        }
    }
}

fn down(level: HeadingLevel) -> HeadingLevel {
    match level {
        HeadingLevel::H1 => HeadingLevel::H2,
        HeadingLevel::H2 => HeadingLevel::H3,
        HeadingLevel::H3 => HeadingLevel::H4,
        HeadingLevel::H4 => HeadingLevel::H5,
        HeadingLevel::H5 | HeadingLevel::H6 => HeadingLevel::H6,
    }
}

const fn level_number(level: HeadingLevel) -> usize {
    level as usize
}

/// A paragraph of a lesson in plain words, with the heading that it stands under.
pub(super) struct Passage {
    /// Address in the page, and text.
    pub(super) heading: Option<(String, String)>,
    pub(super) text: String,
}

/// The paragraphs and list items of a text; what is a figure by itself is none.
pub(super) fn passages(text: &str) -> Vec<Passage> {
    let events: Vec<Event<'_>> = Parser::new_ext(text, Options::ENABLE_TABLES).collect();
    let mut ids = BTreeSet::new();
    let (mut found, mut heading) = (Vec::new(), None);
    let (mut words, mut in_heading, mut alone) = (String::new(), false, false);
    for (at, event) in events.iter().enumerate() {
        match event {
            Event::Start(Tag::Heading { .. }) => {
                let id = heading_id(events.get(at + 1..).unwrap_or_default(), &mut ids);
                heading = Some((id, String::new()));
                in_heading = true;
            }
            Event::End(TagEnd::Heading(_)) => in_heading = false,
            Event::Text(more) | Event::Code(more) if in_heading => {
                if let Some((_, text)) = &mut heading {
                    text.push_str(more);
                }
            }
            Event::Start(Tag::Link { dest_url, .. }) => {
                alone |= ["figure:", "question:", "drawing:"]
                    .iter()
                    .any(|own| dest_url.starts_with(own));
            }
            Event::Text(more) | Event::Code(more) => words.push_str(more),
            Event::SoftBreak | Event::HardBreak => words.push(' '),
            Event::End(TagEnd::Paragraph | TagEnd::Item | TagEnd::TableCell) => {
                let text = std::mem::take(&mut words);
                if !text.trim().is_empty() && !std::mem::take(&mut alone) {
                    found.push(Passage { heading: heading.clone(), text });
                }
            }
            _ => {}
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    struct None;

    impl Links for None {
        fn picture(&self, file: &str) -> Option<String> {
            crate::course::picture_kind(file).map(|_| format!("./{file}"))
        }
        fn table_name(&self) -> String {
            "Table".to_owned()
        }
        fn number(&self) -> Option<usize> {
            Option::None
        }
        fn term(&self, text: &str, linked: &BTreeSet<String>) -> Option<Named> {
            let at = text.find("bale").filter(|_| !linked.contains("bale"))?;
            let link = ("glossary.html#bale".to_owned(), "handle".to_owned());
            Some(Named { id: "bale".to_owned(), range: at..at + 4, link })
        }
        fn link(&self, scheme: &str, id: &str) -> Option<(String, String)> {
            (scheme == "term")
                .then(|| (format!("glossary.html#{id}"), "meaning".to_owned()))
        }
        fn figure(&self, scheme: &str, id: &str, title: &str) -> Option<String> {
            Some(format!("<{scheme}>{id} {title}</{scheme}>"))
        }
    }

    #[test]
    fn pictures_are_the_modules_own_and_tables_have_no_style() {
        let text =
            "![words](https://x/y.png) ![p](pictures/a.svg)\n\n|a|b|\n|-|-:|\n|1|2|\n";
        let html = render(text, &None);
        assert!(
            html.contains("<p>words <img src=\"./pictures/a.svg\" alt=\"p\""),
            "{html}"
        );
        assert!(!html.contains("style=") && !html.contains("https"), "{html}");
        assert!(html.contains("class=\"right\""), "{html}");
    }

    #[test]
    fn a_term_is_linked_where_it_first_stands_and_in_no_heading_or_link() {
        let html = render("# The bale\n[a bale](term:u), the bale, a bale\n", &None);
        let link = "<a href=\"glossary.html#bale\" title=\"handle\">bale</a>";
        assert!(html.contains(&format!("</a>, the {link}, a bale")), "{html}");
        assert_eq!(html.matches(link).count(), 1, "{html}");
        assert!(html.contains(">The bale</h2>"), "{html}");
    }

    #[test]
    fn only_what_is_allowed_becomes_html() {
        let html = render(
            "# A\n<b>x</b> [y](javascript:z) [t](term:u)\n\n[W](figure:w)\n",
            &None,
        );
        assert_eq!(
            html,
            "<h2 id=\"s-a\">A</h2>\n<p>&lt;b&gt;x&lt;/b&gt; y \
             <a href=\"glossary.html#u\" title=\"meaning\">t</a></p>\n<figure>w W</figure>"
        );
    }
}
