//! Formulas, tables, constants and the list of sources.

use super::feed::unit;
use crate::formulas::{
    Answer, Constant, Formula, Given, GivenKind, Row, Slip, SlipKind, SourceRef, Status,
    Table, TableKey, TableRule, Verdict, WorkLine,
};
use crate::quantity::{Direction, Quantity};
use crate::wire::Fields;
use crate::wire::Item;

const STATUS: &[(&str, Status)] = &[
    ("looked-up", Status::LookedUp),
    ("computed", Status::Computed),
    ("common-practice", Status::CommonPractice),
    ("from-memory", Status::FromMemory),
];
const ROUND: &[(&str, Direction)] =
    &[("near", Direction::Near), ("down", Direction::Down), ("up", Direction::Up)];
const SLIPS: &[(&str, SlipKind)] = &[
    ("other-basis", SlipKind::OtherBasis),
    ("power-of-ten", SlipKind::PowerOfTen),
    ("method", SlipKind::Method),
];
const RULES: &[(&str, TableRule)] = &[
    ("exact", TableRule::Exact),
    ("step", TableRule::Step),
    ("between", TableRule::Between),
];

/// A file of formulas; each with its index in the file.
pub(in crate::authoring) fn formulas(item: Item<'_>) -> Vec<(usize, Formula)> {
    let all = item.list().into_iter().enumerate();
    all.filter_map(|(index, item)| Some((index, formula(item)?))).collect()
}

fn formula(item: Item<'_>) -> Option<Formula> {
    let fields = item.fields()?;
    let id = fields.need("formula").and_then(|item| item.id());
    let (title, family) = (fields.need_text("title"), fields.need_text("family"));
    let basis = fields.may_text("basis");
    let library_only = yes(&fields, "library-only");
    let need =
        |name| fields.need(name).map(|item: Item<'_>| item.list()).unwrap_or_default();
    let may =
        |name| fields.may(name).map(|item: Item<'_>| item.list()).unwrap_or_default();
    let givens = need("givens").into_iter().filter_map(given).collect();
    let work = need("work").into_iter().filter_map(work_line).collect();
    let work_si = may("work-si").into_iter().filter_map(work_line).collect();
    let answers = need("answers").into_iter().filter_map(answer).collect();
    let verdicts = may("verdicts").into_iter().filter_map(verdict).collect();
    let slips = need("slips").into_iter().filter_map(slip).collect();
    let range = fields.need_text("range");
    let sources = need("sources").into_iter().filter_map(source_item).collect();
    let example = fields.may("example").map(super::example::example);
    fields.finish();
    Some(Formula {
        id: id?,
        title: title?,
        family: family?,
        basis,
        givens,
        work,
        work_si,
        answers,
        verdicts,
        slips,
        range: range?,
        sources,
        library_only,
        example: example.unwrap_or_default(),
    })
}

fn yes(fields: &Fields<'_>, name: &'static str) -> bool {
    fields.may(name).and_then(|item| item.yes_no()).unwrap_or(false)
}

fn given(item: Item<'_>) -> Option<Given> {
    let fields = item.fields()?;
    let name = fields.need("given").and_then(|item| item.id());
    let label = fields.need_text("label");
    let mut constant = None;
    let kind = if let Some(words) = fields.may("words") {
        Some(GivenKind::Choice { words: words.texts() })
    } else if let Some(columns) = fields.may("columns") {
        let columns = columns.list().into_iter().filter_map(given).collect();
        Some(GivenKind::List { columns })
    } else {
        let us = fields.need("unit").and_then(unit_or_none);
        let si = fields.may("unit-si").and_then(unit_or_none).or_else(|| us.clone());
        let number =
            |name| fields.need(name).and_then(|item: Item<'_>| item.any_quantity());
        let (least, most) = (number("least"), number("most"));
        let default = fields.may("default");
        constant = default.and_then(|item| Some(item.node.text()?).filter(is_name));
        let default = default.filter(|_| constant.is_none());
        let default = default.and_then(|item| item.any_quantity());
        (|| {
            Some(GivenKind::Number {
                unit: us?,
                unit_si: si?,
                least: least?,
                most: most?,
                default,
            })
        })()
    };
    fields.finish();
    let constant = constant.map(str::to_owned);
    Some(Given { name: name?, label: label?, kind: kind?, constant })
}

/// Whether a default is the name of a constant and no figure.
fn is_name(text: &&str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
}

/// A unit symbol; the empty text is the unit of a bare number.
fn unit_or_none(item: Item<'_>) -> Option<String> {
    match item.node.text() {
        Some("") => Some(String::new()),
        _ => unit(item),
    }
}

fn shown(fields: &Fields<'_>) -> Option<(Quantity, Quantity)> {
    let us = fields.need("shown").and_then(|item| item.any_quantity());
    let si = fields.may("shown-si").and_then(|item| item.any_quantity());
    let us = us?;
    Some((us, si.unwrap_or(us)))
}

fn work_line(item: Item<'_>) -> Option<WorkLine> {
    let fields = item.fields()?;
    let text = fields.need_text("line");
    let label = fields.need_text("label");
    let shown = shown(&fields);
    let signed = yes(&fields, "signed");
    fields.finish();
    let (shown, shown_si) = shown?;
    Some(WorkLine { text: text?, label: label?, shown, shown_si, signed })
}

fn answer(item: Item<'_>) -> Option<Answer> {
    let fields = item.fields()?;
    let name = fields.need("answer").and_then(|item| item.id());
    let label = fields.need_text("label");
    let shown = shown(&fields);
    let round =
        fields.may("round").map_or(Some(Direction::Near), |item| item.word(ROUND));
    let clock = yes(&fields, "clock");
    fields.finish();
    let (shown, shown_si) = shown?;
    Some(Answer { name: name?, label: label?, shown, shown_si, round: round?, clock })
}

fn verdict(item: Item<'_>) -> Option<Verdict> {
    let fields = item.fields()?;
    let (when, says) = (fields.need_text("when"), fields.need_text("says"));
    let refuses = yes(&fields, "refuses");
    fields.finish();
    Some(Verdict { when: when?, says: says?, refuses })
}

fn slip(item: Item<'_>) -> Option<Slip> {
    let fields = item.fields()?;
    let id = fields.need("slip").and_then(|item| item.id());
    let kind = fields.may("kind").map_or(Some(SlipKind::Method), |item| item.word(SLIPS));
    let lines = fields.need("lines").map(|item| item.texts()).unwrap_or_default();
    let says = fields.need_text("says");
    fields.finish();
    Some(Slip { id: id?, kind: kind?, lines, says: says? })
}

fn source_item(item: Item<'_>) -> Option<SourceRef> {
    let fields = item.fields()?;
    let source = source(&fields);
    fields.finish();
    source
}

fn source(fields: &Fields<'_>) -> Option<SourceRef> {
    let source = fields.need_text("source");
    let status = fields.need("status").and_then(|item| item.word(STATUS));
    let note = fields.may_text("note");
    Some(SourceRef { source: source?, status: status?, note })
}

/// `tables/ID.yaml`.
pub(in crate::authoring) fn table(item: Item<'_>) -> Option<Table> {
    let fields = item.fields()?;
    let id = fields.need("table").and_then(|item| item.id());
    let title = fields.need_text("title");
    let keys = fields.need("keys").map(|item| item.list()).unwrap_or_default();
    let keys = keys.into_iter().filter_map(|item| {
        let fields = item.fields()?;
        let name = fields.need("key").and_then(|item| item.id());
        let unit = fields.may("unit").and_then(unit);
        fields.finish();
        Some(match unit {
            Some(unit) => TableKey::Number { name: name?, unit },
            None => TableKey::Choice { name: name? },
        })
    });
    let keys = keys.collect();
    let rule = fields.need("rule").and_then(|item| item.word(RULES));
    let rows = fields.need("rows").map(|item| item.list()).unwrap_or_default();
    let rows = rows.into_iter().filter_map(|item| {
        let fields = item.fields()?;
        let keys = fields.need("keys").map(|item| item.texts()).unwrap_or_default();
        let value = fields.need("value").and_then(|item| item.any_quantity());
        let (source, others) = (source(&fields), others(&fields));
        fields.finish();
        Some(Row { keys, value: value?, source: source?, others })
    });
    let rows = rows.collect();
    fields.finish();
    Some(Table { id: id?, title: title?, keys, rule: rule?, rows })
}

/// `constants.yaml` of the trade library.
pub(in crate::authoring) fn constants(item: Item<'_>) -> Vec<Constant> {
    item.list().into_iter().filter_map(constant).collect()
}

fn constant(item: Item<'_>) -> Option<Constant> {
    let fields = item.fields()?;
    let id = fields.need("constant").and_then(|item| item.id());
    let label = fields.need_text("label");
    let value = fields.need("value").and_then(|item| item.any_quantity());
    let own = source(&fields);
    let others = others(&fields);
    fields.finish();
    Some(Constant {
        id: id?,
        label: label?,
        value: value?,
        source: own?,
        others,
        local: false,
    })
}

/// Other published values, each with its source.
fn others(fields: &Fields<'_>) -> Vec<(Quantity, SourceRef)> {
    let one = |item: Item<'_>| {
        let fields = item.fields()?;
        let value = fields.need("value").and_then(|item| item.any_quantity());
        let source = source(&fields);
        fields.finish();
        Some((value?, source?))
    };
    let all = fields.may("others").map(|item| item.list()).unwrap_or_default();
    all.into_iter().filter_map(one).collect()
}

/// A module's own `constants.yaml`: value and source by constant.
pub(in crate::authoring) fn overrides(
    item: Item<'_>,
) -> Vec<(String, Quantity, SourceRef)> {
    let one = |item: Item<'_>| {
        let fields = item.fields()?;
        let id = fields.need("constant").and_then(|item| item.id());
        let value = fields.need("value").and_then(|item| item.any_quantity());
        let source = source(&fields);
        fields.finish();
        Some((id?, value?, source?))
    };
    item.list().into_iter().filter_map(one).collect()
}

/// `sources.yaml`: id and title.
pub(in crate::authoring) fn sources(item: Item<'_>) -> Vec<(String, String)> {
    let one = |item: Item<'_>| {
        let fields = item.fields()?;
        let id = fields.need_text("source");
        let title = fields.need_text("title");
        let address = fields.may_text("address");
        fields.finish();
        let title = title?;
        Some((
            id?,
            address.map_or(title.clone(), |address| format!("{title} ({address})")),
        ))
    };
    item.list().into_iter().filter_map(one).collect()
}
