//! Practice in the page: one for each question set, with its kit and the printed sheets.

use serde::Serialize;

use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::quiz::PRACTICE_SHEETS;
use crate::course::QuestionSet;
use crate::fingerprint::canonical;
use crate::practice::{FORMAT, PageKit, PracticeKit};

#[derive(Serialize)]
struct PracticeView {
    sheets: Vec<(String, String)>,
    kit_html: String,
}

/// The set of that id.
pub(super) fn set<'c>(
    shared: &Shared<'c>,
    id: &str,
) -> Result<&'c QuestionSet, PublishFault> {
    let found = shared.course.sets.iter().find(|set| set.id == id);
    found.ok_or_else(|| PublishFault::Missing(id.to_owned()))
}

/// A kit as it stands in a page. `<` is written so that no text of the kit can end the
/// element it stands in.
pub(super) fn kit_html(kit: &PageKit) -> Result<String, PublishFault> {
    let text =
        canonical(kit).map_err(|fault| PublishFault::Question(fault.to_string()))?;
    Ok(text.replace('<', "\\u003c"))
}

/// Links to the printed sheets of a set.
pub(super) fn sheet_links(shared: &Shared<'_>, id: &str) -> Vec<(String, String)> {
    let link = |number: u32| {
        let number = number.to_string();
        let says = shared.words.say("page.practice-number", &[("number", &number)]);
        (format!("practice-{id}-{number}.html"), says)
    };
    (1..=PRACTICE_SHEETS).map(link).collect()
}

/// `practice-SET.html`.
pub(super) fn page(shared: &Shared<'_>, id: &str) -> Result<String, PublishFault> {
    let set = set(shared, id)?;
    let kit = PracticeKit::of(shared.course, set, shared.words);
    let kit = PageKit { format: FORMAT, practice: Some(kit), run: None };
    let view =
        PracticeView { sheets: sheet_links(shared, id), kit_html: kit_html(&kit)? };
    let head = Head {
        title: set.title.clone(),
        kicker: shared.label("practice.kicker"),
        side: Side::Crew,
        cautions: set.cautions.clone(),
        unverified: false,
        kind: "practise",
    };
    shared.render("practice.html", &head, &view)
}
