//! Pictures of lessons: copied beside the crew's pages, or held in the file of a lesson that is
//! sent.

use std::collections::BTreeMap;

use super::base64::base64;
use super::frame::Shared;
use crate::authoring;
use crate::course::picture_kind;

/// The pictures that lessons show, by path in the site. One that no lesson names stays with the
/// author: nobody would find it in the site, and everybody would carry it.
pub fn pictures<'s>(shared: &Shared<'s>) -> BTreeMap<String, &'s [u8]> {
    let lessons = shared.course.lessons.iter();
    let named = lessons.flat_map(|lesson| authoring::pictures(&lesson.text));
    let there = named.filter_map(|file| {
        picture_kind(&file)?;
        Some((format!("crew/{file}"), shared.picture(&file)?))
    });
    there.collect()
}

/// A picture as an address that holds it whole.
pub(super) fn whole(file: &str, bytes: &[u8]) -> Option<String> {
    Some(format!("data:{};base64,{}", picture_kind(file)?, base64(bytes)))
}
