//! The text of a lesson: links, pictures, and that there is a text.

use std::ops::Range;
use std::rc::Rc;

use pulldown_cmark::{Event, LinkType, Options, Parser, Tag, TagEnd};

use super::index::Names;
use super::{Checked, nearest};
use crate::course::{Lesson, picture_kind};
use crate::findings::{Code, Finding, Place};

pub(super) fn check(checked: &Checked<'_>) {
    for lesson in &checked.course.lessons {
        if checked.sources.contains_key(&lesson.file) {
            text(checked, lesson);
        }
    }
}

fn text(checked: &Checked<'_>, lesson: &Lesson) {
    let mut says = false;
    let mut heading = false;
    // Place of the picture that is open, and whether anything was said in it.
    let mut picture: Option<(Range<usize>, bool)> = None;
    let options = Options::ENABLE_TABLES;
    for (event, range) in Parser::new_ext(&lesson.text, options).into_offset_iter() {
        match event {
            Event::Start(Tag::Heading { .. }) => heading = true,
            Event::End(TagEnd::Heading(_)) => heading = false,
            Event::Text(words) | Event::Code(words) if !words.trim().is_empty() => {
                says |= !heading;
                if let Some((_, said)) = &mut picture {
                    *said = true;
                }
            }
            Event::Start(Tag::Link { link_type, dest_url, .. })
                if link_type != LinkType::Email =>
            {
                link(checked, lesson, &dest_url, range);
            }
            Event::Start(Tag::Image { dest_url, .. }) => {
                says |= !heading;
                picture = Some((range.clone(), false));
                shown(checked, lesson, &dest_url, range);
            }
            Event::End(TagEnd::Image) => {
                if let Some((range, false)) = picture.take() {
                    let place = place(lesson, range);
                    checked.note(Finding::at(Code::PictureWithoutWords, place));
                }
            }
            _ => {}
        }
    }
    if !says {
        let first = lesson.text.lines().next().unwrap_or_default().len();
        checked.note(Finding::at(Code::EmptyLesson, place(lesson, 0..first)));
    }
}

fn place(lesson: &Lesson, range: Range<usize>) -> Place {
    Place { file: lesson.file.clone(), start: range.start, end: range.end }
}

/// The address itself, which stands at the end of the link; the whole link when it is written
/// elsewhere.
fn address(lesson: &Lesson, address: &str, range: Range<usize>) -> Place {
    let whole = lesson.text.get(range.clone()).unwrap_or_default();
    match whole.rfind(address) {
        Some(at) if !address.is_empty() => {
            let start = range.start + at;
            place(lesson, start..start + address.len())
        }
        _ => place(lesson, range),
    }
}

fn shown(checked: &Checked<'_>, lesson: &Lesson, file: &str, range: Range<usize>) {
    let there = checked.others.contains(file);
    // Told first: a file of that name, laid beside, would not be shown either.
    if picture_kind(file).is_none() && (there || file.starts_with("pictures/")) {
        let finding = Finding::at(Code::PictureName, address(lesson, file, range));
        checked.note(finding.with("found", file));
        return;
    }
    if there {
        return;
    }
    let known = checked.others.iter().filter(|file| picture_kind(file).is_some());
    let known: Vec<String> = known.cloned().collect();
    let finding = Finding::at(Code::BrokenPicture, address(lesson, file, range));
    // Where no picture of such a name is there, it has to be put there.
    let near = Some(nearest(file, &known)).filter(|near| !near.is_empty());
    let name = file.rsplit('/').next().unwrap_or(file);
    let near = near.unwrap_or_else(|| format!("pictures/{name}"));
    checked.note(finding.with("found", file).with("nearest", near));
}

/// Schemes of the module's own, and the names that each can have.
fn targets(checked: &Checked<'_>, lesson: &Lesson, scheme: &str) -> Option<Rc<Names>> {
    let (list, key) = match scheme {
        "figure" => ("examples", "example"),
        "drawing" => ("drawings", "drawing"),
        _ => return checked.known(scheme),
    };
    let lessons = checked.file("module.yaml").at("lessons");
    let own = lessons.entry("lesson", &lesson.id).at(list);
    Some(Rc::new(Names::of(own.ids(key))))
}

const SCHEMES: &[&str] =
    &["term", "caution", "drill", "lesson", "figure", "drawing", "question"];

fn link(checked: &Checked<'_>, lesson: &Lesson, to: &str, range: Range<usize>) {
    if to.starts_with('#') {
        return;
    }
    let near = match to.split_once(':') {
        Some(("http" | "https" | "mailto", _)) => return,
        Some((scheme, id)) if SCHEMES.contains(&scheme) => {
            let Some(known) = targets(checked, lesson, scheme) else { return };
            if known.has(id) {
                return;
            }
            // Each of them as it is typed.
            let near = nearest(id, known.listed());
            let near = near.split(", or ").map(|id| format!("{scheme}:{id}"));
            near.collect::<Vec<_>>().join(", or ")
        }
        Some((_, id)) => {
            let with_id = SCHEMES.iter().filter(|scheme| {
                let known = targets(checked, lesson, scheme);
                known.is_some_and(|known| known.has(id))
            });
            let all: Vec<String> =
                with_id.map(|scheme| format!("{scheme}:{id}")).collect();
            if all.is_empty() { SCHEMES.join(":, or ") + ":" } else { all.join(", or ") }
        }
        None => {
            let lessons = checked.course.lessons.iter();
            let files: Vec<String> = lessons
                .filter_map(|lesson| lesson.file.rsplit('/').next())
                .map(str::to_owned)
                .collect();
            // By its last name alone: each author writes the way to it
            // as the folder stands before them.
            let name = to.rsplit('/').next().unwrap_or_default();
            // Nor is a lesson that is there and that the module names by another name: that is
            // told where the name stands.
            let folder = lesson.file.rsplit_once('/').map_or("", |(folder, _)| folder);
            let there = || checked.sources.contains_key(&format!("{folder}/{name}"));
            let unread = checked.missing_file || checked.torn.contains("module.yaml");
            if files.iter().any(|file| file == name) || unread && there() {
                return;
            }
            nearest(name, &files)
        }
    };
    let finding = Finding::at(Code::BrokenLink, address(lesson, to, range));
    checked.note(finding.with("found", to).with("nearest", near));
}
