//! The guide of whoever evaluates: the module's own text, two leaves at most.

use std::collections::BTreeSet;

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Side};
use super::markdown::{Links, Named, render};

#[derive(Serialize)]
struct GuideView {
    body_html: String,
}

/// A text that leads nowhere: it is held in a hand.
struct Plain<'g>(&'g Desk<'g>);

impl Links for Plain<'_> {
    fn link(&self, _: &str, _: &str) -> Option<(String, String)> {
        None
    }

    fn figure(&self, _: &str, _: &str, _: &str) -> Option<String> {
        None
    }

    fn picture(&self, _: &str) -> Option<String> {
        None
    }

    fn table_name(&self) -> String {
        self.0.label("table")
    }

    fn term(&self, _: &str, _: &BTreeSet<String>) -> Option<Named> {
        None
    }

    fn number(&self) -> Option<usize> {
        None
    }
}

/// `staff/evaluator.html`.
pub(super) fn page(desk: &Desk<'_>) -> Result<String, PublishFault> {
    let text = desk.sees(&[("all", "guide")]).course.guide.as_deref();
    let text = text.ok_or_else(|| PublishFault::Missing("evaluator.md".to_owned()))?;
    let view = GuideView { body_html: render(text, &Plain(desk)) };
    let head = Head {
        title: desk.label("guide.title"),
        kicker: desk.label("guide.kicker"),
        side: Side::Staff,
        kind: "guide",
        next: super::narrated::links(desk.sees(&[("narrated-titles", "")])),
        ..Head::default()
    };
    desk.render("guide.html", &head, &view)
}
