//! Practice in the page: one for each question set, with its kit and the printed sheets.

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::html::html;
use super::quiz::PRACTICE_SHEETS;
use crate::course::{Question, QuestionSet};
use crate::fingerprint::canonical;
use crate::page::question;
use crate::practice::{FORMAT, PageKit, PracticeKit};
use crate::quiz::{Kit, Prepared, Purpose, Ticket};

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

/// A kit as it stands in a page: what HTML would read as markup is written as JSON escapes.
pub(super) fn kit_html(kit: &PageKit) -> Result<String, PublishFault> {
    let text =
        canonical(kit).map_err(|fault| PublishFault::Question(fault.to_string()))?;
    // No text of a kit can end the element that it stands in or begin a letter of HTML.
    Ok(text.replace('<', "\\u003c").replace('&', "\\u0026"))
}

/// Links to the printed sheets of a set.
pub(super) fn sheet_links(shared: &Shared<'_>, id: &str) -> Vec<(String, String)> {
    let link = |number: u32| {
        let number = number.to_string();
        let says = shared.words.say("page.practice-number", &[("number", &number)]);
        (format!("practice-{id}-{number}.html"), says)
    };
    // As many as are planned and no more: a link to a sheet
    // that is not made leads nowhere.
    (1..=PRACTICE_SHEETS).map(link).collect()
}

/// `practice-SET.html`.
pub(super) fn page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let shared = desk.sees(&[("module", ""), ("set", id), ("reach", id)]);
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
        ..Head::default()
    };
    desk.render("practice.html", &head, &view)
}

/// The question of that id, with its set.
pub(super) fn question<'c>(
    shared: &Shared<'c>,
    id: &str,
) -> Option<(&'c QuestionSet, &'c Question)> {
    let mut sets = shared.course.sets.iter();
    sets.find_map(|set| Some((set, set.questions.iter().find(|q| q.id == id)?)))
}

/// Where a question is practised with new numbers.
pub(super) fn address(set: &str, question: &str) -> String {
    format!("practice-{set}.html?question={question}")
}

/// The same in the page itself, where its practice stands in it.
pub(super) fn here(question: &str) -> String {
    format!("?question={question}")
}

/// A question inside a lesson, with the numbers of the first practice sheet; its answer and
/// working stay folded until they are wanted.
pub(super) fn asked_html(
    desk: &Desk<'_>,
    id: &str,
    title: &str,
    alone: bool,
) -> Option<String> {
    let [set, _] = desk.set_of(id)?;
    let shared = desk.sees(&[("set", set), ("reach", set), ("all", "sources")]);
    let (set, found) = question(shared, id)?;
    let kit = Kit::of(shared.course, shared.words);
    // The numbers of the first printed sheet, so that lesson and sheet show one example.
    let ticket = Ticket { purpose: Purpose::Practice, seed: "1", attempt: 1 };
    let prepared = Prepared::of(found, kit).ok()?;
    let variant = prepared.variant(ticket, 1, &std::collections::BTreeSet::new()).ok()?;
    let practise = if alone { here(id) } else { address(&set.id, id) };
    let of = (variant.item(), variant.key());
    Some(html([&question::in_text(title, of, &practise, shared.wording())]))
}
