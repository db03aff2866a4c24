//! `module.yaml` and the register of local procedures.

use super::lesson::lesson;
use crate::course::{Chain, Decision, Lesson, LocalTopic, Module, Paper, PassMark};
use crate::quantity::{Comma, Dimension, System};
use crate::wire::Fields;
use crate::wire::Item;

/// What `module.yaml` says, with the names of the sheets it calls.
#[derive(Debug)]
pub(in crate::authoring) struct Head {
    pub(in crate::authoring) module: Module,
    pub(in crate::authoring) lessons: Vec<Lesson>,
    pub(in crate::authoring) drills: Vec<String>,
    pub(in crate::authoring) chains: Vec<Chain>,
    pub(in crate::authoring) sets: Vec<String>,
    pub(in crate::authoring) rigs: Vec<String>,
    pub(in crate::authoring) concentrates: Vec<String>,
}

const UNITS: &[(&str, System)] = &[("us", System::Us), ("si", System::Si)];
const PAPERS: &[(&str, Paper)] = &[("letter", Paper::Letter), ("a4", Paper::A4)];
const COMMAS: &[(&str, Comma)] =
    &[("decimal", Comma::Decimal), ("thousands", Comma::Thousands)];
const NOT_DECIDED: &str = "not decided yet";

/// The head of the module.
pub(in crate::authoring) fn module(item: Item<'_>) -> Option<Head> {
    let fields = item.fields()?;
    let id = fields.need("module").and_then(|item| item.id());
    let title = fields.need_text("title");
    let department = fields.need_text("department");
    let invented = fields.may_text("invented");
    let about = fields.need_text("about");
    let audience = fields.need_text("audience");
    let hours =
        fields.need("hours").and_then(|item| item.quantity(Dimension::TIME, "6 h"));
    let prerequisites =
        fields.may("prerequisites").map(|item| item.texts()).unwrap_or_default();
    let units = fields.need("units").and_then(|item| item.word(UNITS));
    let paper = fields.need("paper").and_then(|item| item.word(PAPERS));
    let comma =
        fields.may("comma").and_then(|item| item.word(COMMAS)).unwrap_or_default();
    let pass_mark = fields.need("pass-mark").and_then(pass_mark);
    let review_by = fields.need("review-by").and_then(|item| item.date());
    let edition = fields.need_text("edition");
    let list =
        |name| fields.need(name).map(|item: Item<'_>| item.list()).unwrap_or_default();
    let lessons = list("lessons").into_iter().filter_map(lesson).collect();
    let ids =
        |name| fields.need(name).map(|item: Item<'_>| item.ids()).unwrap_or_default();
    let (drills, sets) = (ids("drills"), ids("sets"));
    let (rigs, concentrates) = (ids("rigs"), ids("concentrates"));
    let chains = fields.may("chains").map(|item| item.list()).unwrap_or_default();
    let chains = chains.into_iter().filter_map(chain).collect();
    fields.finish();
    let module = Module {
        id: id?,
        title: title?,
        department: department?,
        invented,
        about: about?,
        audience: audience?,
        hours: hours?,
        prerequisites,
        units: units?,
        paper: paper?,
        comma,
        pass_mark,
        review_by: review_by?,
        edition: edition?,
    };
    Some(Head { module, lessons, drills, chains, sets, rigs, concentrates })
}

fn pass_mark(item: Item<'_>) -> Option<PassMark> {
    if item.node.text() == Some(NOT_DECIDED) {
        return None;
    }
    let fields = item.fields()?;
    let value = fields.need("value").and_then(|item| item.percent());
    let source = fields.may_text("source").unwrap_or_default();
    fields.finish();
    Some(PassMark { value: value?, source })
}

fn chain(item: Item<'_>) -> Option<Chain> {
    let fields = item.fields()?;
    let id = fields.need("chain").and_then(|item| item.id());
    let (title, about) = (fields.need_text("title"), fields.need_text("about"));
    let drills = fields.need("drills").map(|item| item.ids()).unwrap_or_default();
    fields.finish();
    Some(Chain { id: id?, title: title?, about: about?, drills })
}

/// `topics.yaml` of the trade library: what a local rule must decide.
pub(in crate::authoring) fn topics(item: Item<'_>) -> Vec<LocalTopic> {
    let topic = |item: Item<'_>| {
        let fields = item.fields()?;
        let id = fields.need("topic").and_then(|item| item.id());
        let (title, asks) = (fields.need_text("title"), fields.need_text("asks"));
        fields.finish();
        let decision = Decision::NotDecidedYet;
        Some(LocalTopic { id: id?, title: title?, asks: asks?, decision })
    };
    item.list().into_iter().filter_map(topic).collect()
}

/// `local.yaml`: answers to the trade's topics, and topics of the department's own.
pub(in crate::authoring) fn local(
    item: Item<'_>,
    known: &[LocalTopic],
) -> Vec<LocalTopic> {
    item.list().into_iter().filter_map(|item| entry(item, known)).collect()
}

fn entry(item: Item<'_>, known: &[LocalTopic]) -> Option<LocalTopic> {
    let fields = item.fields()?;
    let id = fields.need("topic").and_then(|item| item.id());
    let known = known.iter().find(|topic| id.as_ref().is_some_and(|id| topic.id == *id));
    let own = |name| match known {
        Some(_) => fields.may_text(name),
        None => fields.need_text(name),
    };
    let title = own("title").or_else(|| known.map(|topic| topic.title.clone()));
    let asks = own("asks").or_else(|| known.map(|topic| topic.asks.clone()));
    let decision = decision(&fields);
    fields.finish();
    Some(LocalTopic { id: id?, title: title?, asks: asks?, decision: decision? })
}

fn decision(fields: &Fields<'_>) -> Option<Decision> {
    let rule = fields.need("decision").and_then(|item| item.text());
    if rule.as_deref() == Some(NOT_DECIDED) {
        return Some(Decision::NotDecidedYet);
    }
    let by = fields.need_text("by");
    let on = fields.need("on").and_then(|item| item.date());
    Some(Decision::Decided { rule: rule?, by: by?, on: on? })
}
