//! Practice sheets, graded papers and keys.

use serde::Serialize;

use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::worked;
use crate::quiz::{Forms, ItemKey, ItemKind, Kit, Paper, PreparedSet, Sheet};

/// Practice sheets printed for each set.
pub const PRACTICE_SHEETS: u32 = 2;

#[derive(Serialize)]
pub(super) struct PaperView {
    title: String,
    about: String,
    rules: Vec<String>,
    code: String,
    marks: String,
    named: bool,
    items: Vec<ItemView>,
    keys: Vec<KeyView>,
}

#[derive(Serialize)]
struct ItemView {
    number: usize,
    text: String,
    marks: String,
    unit: String,
    options: Vec<(String, String)>,
    order: bool,
}

#[derive(Serialize)]
struct KeyView {
    number: usize,
    answer: String,
    letter: String,
    band: String,
    because: String,
    remark: String,
    worked_html: String,
    wrong: Vec<(String, String, String)>,
    order: Vec<(String, String, String)>,
    marks: String,
}

#[derive(Serialize)]
struct KeyPageView {
    seed: String,
    code: String,
    copy: String,
    attempt: String,
    version: String,
    marks: String,
    keys: Vec<KeyView>,
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
        None => prepared.graded(shared.seed, 1, PRACTICE_SHEETS),
    }
    .map_err(|fault| bad(&fault))
}

fn items(shared: &Shared<'_>, paper: &Paper) -> Vec<ItemView> {
    let item = |item: &crate::quiz::Item| ItemView {
        number: item.number,
        text: item.text.clone(),
        marks: marks(shared, item.marks),
        unit: item.unit.clone().unwrap_or_default(),
        options: item
            .options
            .iter()
            .map(|o| (o.letter.clone(), o.text.clone()))
            .collect(),
        order: item.kind == ItemKind::Order,
    };
    paper.items.iter().map(item).collect()
}

pub(super) fn marks(shared: &Shared<'_>, marks: u32) -> String {
    let key = if marks == 1 { "page.mark-one" } else { "page.marks" };
    shared.words.say(key, &[("marks", &marks.to_string())])
}

fn key(shared: &Shared<'_>, key: &ItemKey) -> Result<KeyView, PublishFault> {
    let band = match (&key.least, &key.most) {
        (Some(least), Some(most)) => {
            shared.words.say("page.accepted", &[("least", least), ("most", most)])
        }
        (Some(least), None) => {
            shared.words.say("page.accepted-from", &[("least", least)])
        }
        (None, Some(most)) => shared.words.say("page.accepted-to", &[("most", most)]),
        (None, None) => String::new(),
    };
    let worked_html = match &key.worked {
        Some(worked) => worked::html(shared, &worked.title, worked)?,
        None => String::new(),
    };
    Ok(KeyView {
        number: key.number,
        answer: key.answer.clone(),
        letter: key.letter.clone().unwrap_or_default(),
        band,
        because: key.because.clone().unwrap_or_default(),
        remark: key.remark.clone().unwrap_or_default(),
        worked_html,
        wrong: key
            .wrong
            .iter()
            .map(|w| {
                (w.letter.clone().unwrap_or_default(), w.text.clone(), w.says.clone())
            })
            .collect(),
        order: key
            .order
            .iter()
            .map(|o| (o.first.clone(), o.then.clone(), o.because.clone()))
            .collect(),
        marks: marks(shared, key.marks),
    })
}

fn keys(shared: &Shared<'_>, sheet: &Sheet) -> Result<Vec<KeyView>, PublishFault> {
    sheet.key.items.iter().map(|item| key(shared, item)).collect()
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
        code: String::new(),
        marks: marks(shared, sheet.paper.marks),
        named: false,
        items: items(shared, &sheet.paper),
        keys: keys(shared, &sheet)?,
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
        items: items(shared, &sheet.paper),
        keys: Vec::new(),
    }
}

/// A graded paper, without its key.
pub(super) fn paper_of(
    shared: &Shared<'_>,
    sheet: &Sheet,
) -> Result<String, PublishFault> {
    let head = head(shared, sheet, "graded-paper", "paper");
    shared.render("paper.html", &head, &paper_view(shared, sheet))
}

/// The head of an officers' page about one sheet.
pub(super) fn head(
    shared: &Shared<'_>,
    sheet: &Sheet,
    kicker: &str,
    kind: &'static str,
) -> Head {
    Head {
        title: sheet.paper.title.clone(),
        kicker: shared.label(kicker),
        side: Side::Staff,
        cautions: sheet.paper.cautions.clone(),
        unverified: false,
        kind,
    }
}

/// The key of a sheet; the only kind of page with the seed.
pub(super) fn key_of(shared: &Shared<'_>, sheet: &Sheet) -> Result<String, PublishFault> {
    let view = KeyPageView {
        seed: sheet.key.seed.clone().unwrap_or_default(),
        code: sheet.key.code.clone(),
        copy: sheet.key.copy.map(|copy| copy.to_string()).unwrap_or_default(),
        attempt: sheet.key.attempt.to_string(),
        version: sheet.key.draw_version.to_owned(),
        marks: marks(shared, sheet.key.marks),
        keys: keys(shared, sheet)?,
    };
    shared.render("key.html", &head(shared, sheet, "key", "key"), &view)
}

/// `paper-SET.html`: the graded paper, without its key.
pub(super) fn paper(shared: &Shared<'_>, set: &str) -> Result<String, PublishFault> {
    paper_of(shared, &sheets(shared, set, None)?)
}

/// `key-SET.html`: its key.
pub(super) fn key_page(shared: &Shared<'_>, set: &str) -> Result<String, PublishFault> {
    key_of(shared, &sheets(shared, set, None)?)
}

/// What `mark` needs of the graded papers of the site.
pub fn site_forms(shared: &Shared<'_>) -> Result<Forms, PublishFault> {
    let sets = shared.course.sets.iter();
    let sheets: Result<Vec<Sheet>, PublishFault> =
        sets.map(|set| sheets(shared, &set.id, None)).collect();
    Ok(Forms::of(shared.course, shared.words, &sheets?))
}
