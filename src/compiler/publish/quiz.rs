//! Practice sheets, graded papers and keys.

use std::sync::Arc;

use serde::Serialize;

use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::html::html;
use crate::course::{Teaches, answering};
use crate::page::{Node, question};
use crate::quiz::{Forms, Item, ItemKey, Kit, Paper, PreparedSet, Sheet};

/// Practice sheets printed for each set: one to work together, one alone. Who wants more
/// practises in the page, where the numbers never end.
pub const PRACTICE_SHEETS: u32 = 2;

#[derive(Serialize)]
pub(super) struct PaperView {
    title: String,
    about: String,
    rules: Vec<String>,
    code: String,
    marks: String,
    named: bool,
    items_html: String,
    keys_html: String,
}

#[derive(Serialize)]
struct KeyPageView {
    seed: String,
    code: String,
    copy: String,
    attempt: String,
    version: String,
    marks: String,
    keys_html: String,
}

/// The graded sheet of a set.
fn graded(shared: &Shared<'_>, set: &str) -> Result<Arc<Sheet>, PublishFault> {
    shared.graded.sheet(set, || sheets(shared, set, None))
}

fn sheets(
    shared: &Shared<'_>,
    set: &str,
    practice: Option<u32>,
) -> Result<Sheet, PublishFault> {
    let found = shared.course.sets.iter().find(|other| other.id == set);
    let found = found.ok_or_else(|| PublishFault::Missing(set.to_owned()))?;
    let kit = Kit::of(shared.course, shared.words);
    let bad = |fault: &crate::quiz::BadQuestion| {
        PublishFault::Question(format!("{}: {:?}", fault.question, fault.fault))
    };
    let prepared = PreparedSet::of(found, kit).map_err(|faults| {
        faults.first().map_or(PublishFault::Question(set.to_owned()), bad)
    })?;
    match practice {
        Some(number) => prepared.practice(number),
        // Apart from the practice sheets of the same site: nobody is graded on numbers that
        // hang on the wall.
        None => prepared.graded(shared.seed, 1, PRACTICE_SHEETS),
    }
    .map_err(|fault| bad(&fault))
}

fn items(shared: &Shared<'_>, paper: &Paper) -> String {
    let item = |item: &Item| {
        question::on_paper(item, &marks(shared, item.marks), shared.wording())
    };
    let nodes: Vec<Node> = paper.items.iter().map(item).collect();
    html(&nodes)
}

pub(super) fn marks(shared: &Shared<'_>, marks: u32) -> String {
    let key = if marks == 1 { "page.mark-one" } else { "page.marks" };
    shared.words.say(key, &[("marks", &marks.to_string())])
}

/// Items and their keys stand in the same order.
fn keys(shared: &Shared<'_>, sheet: &Sheet) -> String {
    let both = sheet.paper.items.iter().zip(&sheet.key.items);
    let key = |(item, key): (&Item, &ItemKey)| {
        let node =
            question::in_key((item, key), &marks(shared, key.marks), shared.wording());
        node.holding(reread(shared, &item.question))
    };
    let nodes: Vec<Node> = both.map(key).collect();
    html(&nodes)
}

/// Where the paragraph stands that answers a question, by lesson and heading number, because a key is
/// paper.
fn reread(shared: &Shared<'_>, id: &str) -> Option<Node> {
    let question = shared.questions.get(id)?;
    let said: Vec<String> =
        answering(&shared.course.teaches, question).map(Teaches::said).collect();
    let blanks = [("text", said.join("; "))];
    let blanks: Vec<(&str, &str)> =
        blanks.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let line = || Node::text("p", shared.words.say("page.reread", &blanks));
    (!said.is_empty()).then(line)
}

fn rules(shared: &Shared<'_>, paper: &Paper) -> Vec<String> {
    let calculator = if paper.calculator { "calculator-yes" } else { "calculator-no" };
    vec![shared.label(calculator), shared.label("write-the-unit")]
}

/// `practice-SET-N.html`: questions, and their working on the next leaf.
pub(super) fn practice(
    shared: &Shared<'_>,
    set: &str,
    number: u32,
) -> Result<String, PublishFault> {
    let sheet = sheets(shared, set, Some(number))?;
    let view = PaperView {
        title: sheet.paper.title.clone(),
        about: sheet.paper.about.clone(),
        rules: rules(shared, &sheet.paper),
        // Nobody marks a practice sheet: it has no code, and no line for a name.
        code: String::new(),
        marks: marks(shared, sheet.paper.marks),
        named: false,
        items_html: items(shared, &sheet.paper),
        keys_html: keys(shared, &sheet),
    };
    let head = Head {
        title: sheet.paper.title.clone(),
        kicker: shared
            .words
            .say("page.practice-number", &[("number", &number.to_string())]),
        side: Side::Crew,
        cautions: sheet.paper.cautions,
        unverified: false,
        kind: "practice",
        ..Head::default()
    };
    shared.render("paper.html", &head, &view)
}

/// The view of a graded paper.
pub(super) fn paper_view(shared: &Shared<'_>, sheet: &Sheet) -> PaperView {
    PaperView {
        title: sheet.paper.title.clone(),
        about: sheet.paper.about.clone(),
        rules: rules(shared, &sheet.paper),
        code: sheet.paper.code.clone(),
        marks: marks(shared, sheet.paper.marks),
        named: true,
        items_html: items(shared, &sheet.paper),
        keys_html: String::new(),
    }
}

/// A graded paper, without its key. `side` says whose index it leads back to.
pub(super) fn paper_of(
    shared: &Shared<'_>,
    sheet: &Sheet,
    side: Side,
) -> Result<String, PublishFault> {
    let head = Head { side, ..head(shared, sheet, "graded-paper", "paper") };
    shared.render("paper.html", &head, &paper_view(shared, sheet))
}

/// The head of an officers' page about one sheet.
pub(super) fn head(
    shared: &Shared<'_>,
    sheet: &Sheet,
    kicker: &str,
    kind: &'static str,
) -> Head {
    // words: page.{graded-paper|key|papers}
    let kicker = shared.label(kicker);
    let (name, code) = (kicker.to_uppercase(), sheet.paper.code.as_str());
    Head {
        title: sheet.paper.title.clone(),
        // Sides that were torn apart are told by it: it stands on each.
        form: shared.words.say("page.form-of", &[("kind", &name), ("code", code)]),
        kicker,
        side: Side::Staff,
        cautions: sheet.paper.cautions.clone(),
        unverified: false,
        kind,
        ..Head::default()
    }
}

/// The key of a sheet; the only kind of page with the seed.
pub(super) fn key_of(
    shared: &Shared<'_>,
    sheet: &Sheet,
    side: Side,
) -> Result<String, PublishFault> {
    let view = KeyPageView {
        seed: sheet.key.seed.clone().unwrap_or_default(),
        code: sheet.key.code.clone(),
        copy: sheet.key.copy.map(|copy| copy.to_string()).unwrap_or_default(),
        attempt: sheet.key.attempt.to_string(),
        version: sheet.key.draw_version.to_owned(),
        marks: marks(shared, sheet.key.marks),
        keys_html: keys(shared, sheet),
    };
    let head = Head { side, ..head(shared, sheet, "key", "key") };
    shared.render("key.html", &head, &view)
}

/// `paper-SET.html`: the graded paper, without its key.
pub(super) fn paper(shared: &Shared<'_>, set: &str) -> Result<String, PublishFault> {
    paper_of(shared, graded(shared, set)?.as_ref(), Side::Keys)
}

/// `key-SET.html`: its key.
pub(super) fn key_page(shared: &Shared<'_>, set: &str) -> Result<String, PublishFault> {
    key_of(shared, graded(shared, set)?.as_ref(), Side::Keys)
}

/// What `mark` needs of the graded papers of the site.
pub fn site_forms(shared: &Shared<'_>) -> Result<Forms, PublishFault> {
    let _numbers = shared.writing();
    let sets = shared.course.sets.iter();
    let sheets: Result<Vec<Arc<Sheet>>, PublishFault> =
        sets.map(|set| graded(shared, &set.id)).collect();
    let sheets = sheets?;
    Ok(Forms::of(shared.course, shared.words, sheets.iter().map(Arc::as_ref)))
}
