//! How a drill is marked.

use super::drill::MODES;
use super::feed::{bind, feed};
use crate::course::{
    Attempts, Critical, Edge, Expect, Feed, How, Measure, Mode, OrderRule, Reading,
    TimeStandard, Tolerance,
};
use crate::findings::{Code, Finding};
use crate::quantity::Dimension;
use crate::wire::Fields;
use crate::wire::Item;
use crate::wire::Shape;

/// Role, act and reason are what a critical is; without one of them nothing compiles, not
/// even a draft.
pub(super) fn critical(item: Item<'_>, modes: &[Mode]) -> Option<Critical> {
    let fields = item.fields()?;
    let id = fields.need("critical").and_then(|item| item.id());
    let must = |name: &'static str| {
        let found = fields.may(name);
        let empty = found.is_some_and(|item| match &item.node.shape {
            Shape::Text(text) => text.trim().is_empty(),
            shape => *shape == Shape::Nothing,
        });
        if found.is_none() || empty {
            let critical = id.clone().unwrap_or_default();
            let place = fields.value("critical");
            let finding =
                Finding::at(Code::CriticalIncomplete, place).with("field", name);
            fields.note(finding.with("id", critical));
            return None;
        }
        found
    };
    let role = must("role").and_then(|item| item.id());
    let act = must("act").and_then(|item| item.text());
    let reason = must("reason").and_then(|item| item.text());
    let source = fields.need_text("source");
    let own = fields.may("modes").map(|item| words(item, MODES));
    let needs = fields.may("needs").and_then(|item| item.id());
    fields.finish();
    Some(Critical {
        id: id?,
        role: role?,
        act: act?,
        reason: reason?,
        source: source?,
        modes: own.unwrap_or_else(|| modes.to_vec()),
        needs,
    })
}

pub(super) fn words<T: Copy>(item: Item<'_>, known: &[(&str, T)]) -> Vec<T> {
    item.list().into_iter().filter_map(|item| item.word(known)).collect()
}

pub(super) fn order_rule(item: Item<'_>) -> Option<OrderRule> {
    let fields = item.fields()?;
    let id = |name| fields.need(name).and_then(|item: Item<'_>| item.id());
    let (first, then) = (id("first"), id("then"));
    let because = fields.need_text("because");
    let critical = fields.may("critical").and_then(|item| item.yes_no()).unwrap_or(false);
    fields.finish();
    Some(OrderRule { first: first?, then: then?, because: because?, critical })
}

pub(super) fn reading(item: Item<'_>) -> Option<Reading> {
    let fields = item.fields()?;
    let id = fields.need("reading").and_then(|item| item.id());
    let label = fields.need_text("label");
    let unit = fields.need("unit").and_then(unit);
    let bound = |name| fields.need(name).and_then(|item: Item<'_>| item.any_quantity());
    let (least, most) = (bound("least"), bound("most"));
    fields.finish();
    Some(Reading { id: id?, label: label?, unit: unit?, least: least?, most: most? })
}

/// A unit symbol alone.
pub(super) fn unit(item: Item<'_>) -> Option<String> {
    let text = item.text()?;
    if crate::quantity::find(&text).is_some() {
        return Some(text);
    }
    let near = crate::quantity::nearest(&text).map_or("gpm", |unit| unit.symbol);
    let finding = item.fault(Code::UnknownUnit).with("unit", text).with("nearest", near);
    item.desk.note(finding);
    None
}

const HOW: &[(&str, How)] =
    &[("set", How::Set), ("shown", How::Shown), ("from-totals", How::FromTotals)];

pub(super) fn measure(item: Item<'_>) -> Option<Measure> {
    let fields = item.fields()?;
    let id = fields.need("measure").and_then(|item| item.id());
    let label = fields.need_text("label");
    let how = fields.need("how").and_then(|item| item.word(HOW));
    let step = fields.need("step").and_then(|item| item.id());
    let expect = fields.need("expect").and_then(expect);
    let measured = fields.may("measured").and_then(whole_feed);
    let unit = fields.need("unit").and_then(unit);
    let tolerance = fields.need("tolerance").and_then(tolerance);
    let resolution = fields.need("resolution").and_then(|item| item.any_quantity());
    let source = fields.need_text("source");
    let critical = fields.may("critical").and_then(|item| item.yes_no()).unwrap_or(false);
    fields.finish();
    Some(Measure {
        id: id?,
        label: label?,
        how: how?,
        step: step?,
        expect: expect?,
        measured,
        unit: unit?,
        tolerance: tolerance?,
        resolution: resolution?,
        source: source?,
        critical,
    })
}

fn whole_feed(item: Item<'_>) -> Option<Feed> {
    let fields = item.fields()?;
    let feed = feed(&fields);
    fields.finish();
    feed
}

fn expect(item: Item<'_>) -> Option<Expect> {
    let fields = item.fields()?;
    if let Some(value) = fields.may("value") {
        fields.finish();
        return bind(value).map(Expect::Bound);
    }
    let feed = feed(&fields);
    fields.finish();
    feed.map(Expect::Formula)
}

/// `0.1 %`, `10 % of expected`, `any`.
pub(super) fn tolerance(item: Item<'_>) -> Option<Tolerance> {
    let fields = item.fields()?;
    let edge = |name| fields.need(name).and_then(edge);
    let (below, above) = (edge("below"), edge("above"));
    fields.finish();
    Some(Tolerance { below: below?, above: above? })
}

fn edge(item: Item<'_>) -> Option<Edge> {
    let text = item.text()?;
    if text == "any" {
        return Some(Edge::Open);
    }
    if let Some(share) = text.strip_suffix("of expected") {
        let node = crate::wire::Node {
            shape: Shape::Text(share.trim().to_owned()),
            ..item.node.clone()
        };
        return Item { node: &node, ..item }.percent().map(Edge::Relative);
    }
    item.any_quantity().map(Edge::Absolute)
}

pub(super) fn time(item: Item<'_>) -> Option<TimeStandard> {
    let fields = item.fields()?;
    let seconds = |name| {
        let found: Option<Item<'_>> = fields.need(name);
        found.and_then(|item| item.quantity(Dimension::TIME, "60 s"))
    };
    let (within, resolution) = (seconds("within"), seconds("resolution"));
    let starts_at = fields.need_text("starts-at");
    let stops_at = fields.need_text("stops-at");
    let watch = fields.need_text("watch");
    let source = match fields.may("source") {
        Some(item) => item.text(),
        None => {
            fields.note(Finding::at(Code::TimeWithoutSource, fields.head()));
            None
        }
    };
    let holds = fields.may("holds").map(|item| item.texts()).unwrap_or_default();
    fields.finish();
    Some(TimeStandard {
        within: within?,
        starts_at: starts_at?,
        stops_at: stops_at?,
        watch: watch?,
        resolution: resolution?,
        source: source?,
        holds,
    })
}

pub(super) fn attempts(fields: &Fields<'_>) -> Option<Attempts> {
    let fields = fields.need("attempts")?.fields()?;
    let most = fields.need("most").and_then(|item| item.whole());
    let text = |name| fields.need_text(name);
    let (remediation, retest, appeal) =
        (text("remediation"), text("retest"), text("appeal"));
    fields.finish();
    Some(Attempts {
        most: most?,
        remediation: remediation?,
        retest: retest?,
        appeal: appeal?,
    })
}
