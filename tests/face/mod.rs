//! A department's own face: its words in every place, its numbers, its colors and its logo.

mod comma;
mod invented;
mod look;
mod marked;
mod scripts;
mod terminal;

use std::collections::{BTreeMap, BTreeSet};

use drillwright::authoring::{self, Options};
use drillwright::course::Course;
use drillwright::findings::{Finding, Sources};
use drillwright::publish::{Shared, page, plan};

/// A module with nothing to mend.
fn course(sources: &Sources) -> Course {
    let (course, found) = read(sources);
    let course = course.unwrap_or_else(|| panic!("{found:#?}"));
    assert!(!drillwright::findings::blocks(&found), "{found:#?}");
    course
}

fn read(sources: &Sources) -> (Option<Course>, Vec<Finding>) {
    authoring::read(sources, &BTreeSet::new(), Options::default())
}

/// All pages of a module as it speaks itself.
fn pages(course: &Course) -> BTreeMap<String, String> {
    let words = course.face.words.clone();
    let shared = Shared::new(course, &words, "4F7K-2M9Q").unwrap();
    let made = plan(course);
    made.iter().map(|plan| (plan.path.clone(), page(&shared, plan).unwrap())).collect()
}
