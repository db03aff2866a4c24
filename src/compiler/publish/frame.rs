//! What every page carries, and the one way to make a page.

use std::collections::BTreeMap;

use serde::Serialize;
use tera::{Context, Tera};

use super::base64::base64;
use super::fault::PublishFault;
use super::graded::Graded;
use super::kits::SheetKits;
use super::parts::{Parts, hash_of};
use crate::course::{Caution, Course, Paper, Question, Signal, by_gravity};
use crate::page::Wording;
use crate::quantity::Writing;
use crate::theme::{Theme, from_the_right};
use crate::words::Words;

/// A sheet with ten warnings is read by nobody; three of its task are read. The findings hold
/// authors to the same number.
const MOST_CAUTIONS: usize = 3;

/// What all pages of one run share.
#[derive(Debug)]
pub struct Shared<'c> {
    /// The course.
    pub(super) course: &'c Course,
    /// All words.
    pub(super) words: &'c Words,
    /// Seed of the graded papers; printed on keys only.
    pub(super) seed: &'c str,
    /// Pictures of the module by name.
    pictures: Option<&'c BTreeMap<String, Vec<u8>>>,
    /// Whether the binder stands beside the pages, to be led to.
    pub(super) binder: bool,
    pub(super) templates: Tera,
    pub(super) labels: BTreeMap<String, String>,
    pub(super) parts: Parts,
    pub(super) kits: SheetKits,
    pub(super) graded: Graded,
    /// By name, because each is looked for on every sheet that has it.
    pub(super) questions: BTreeMap<&'c str, &'c Question>,
}

/// Which folder a page belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Side {
    /// For everybody.
    Crew,
    /// For officers.
    Staff,
    /// For officers too, and never published: papers, their keys, what was drawn.
    Keys,
}

/// A caution as printed.
#[derive(Debug, Clone, Serialize)]
pub(super) struct CautionView {
    signal: String,
    class: &'static str,
    headline: String,
    hazard: String,
    control: String,
    source: String,
}

/// Which of the five a page is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Here {
    Lesson,
    Walk,
    Card,
    Sheet,
}

/// One of the five places of a drill's way.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Stop {
    pub(super) name: String,
    /// Where it is; empty when the module has none.
    pub(super) file: String,
    /// Behind, here, next or ahead.
    pub(super) class: &'static str,
}

/// What a page says about itself.
#[derive(Debug, Clone)]
pub(super) struct Head {
    pub(super) title: String,
    /// What stands before the title in heavy letters: number and short name of a drill.
    pub(super) lead: String,
    /// What kind of page it is; with the title it names the document.
    pub(super) kicker: String,
    /// Code of the form, as it is asked for over the radio: CARD 3.
    pub(super) form: String,
    /// Where the page lies on the way through its drill; nothing for all other pages.
    pub(super) trail: Vec<Stop>,
    /// Pages that come after this one, the first of them the one to go to.
    pub(super) next: Vec<(String, String)>,
    /// Folder, for the links of the page.
    pub(super) side: Side,
    pub(super) cautions: Vec<String>,
    /// Printed when a rig on it was not checked against plate and manual.
    pub(super) unverified: bool,
    /// `data-kind` of the body.
    pub(super) kind: &'static str,
}

impl Default for Head {
    fn default() -> Self {
        Self {
            title: String::new(),
            lead: String::new(),
            kicker: String::new(),
            form: String::new(),
            trail: Vec::new(),
            next: Vec::new(),
            side: Side::Crew,
            cautions: Vec::new(),
            unverified: false,
            kind: "",
        }
    }
}

#[derive(Serialize)]
struct Frame<'f> {
    /// Whether the page is written from the right.
    rtl: bool,
    title: &'f str,
    lead: &'f str,
    document: String,
    form: String,
    trail: &'f [Stop],
    next: Vec<(String, String)>,
    kicker: &'f str,
    kind: &'f str,
    side: &'static str,
    /// The index that the page leads back to.
    home: &'static str,
    paper: &'static str,
    department: &'f str,
    module: &'f str,
    edition: String,
    review: String,
    cautions: Vec<CautionView>,
    folded: &'f str,
    fixed: String,
    invented: String,
    unverified: String,
    draft: String,
    logo: String,
    logo_shows: &'f str,
    footer: &'f str,
    w: &'f BTreeMap<String, String>,
}

impl<'c> Shared<'c> {
    /// Reads the templates once.
    pub fn new(
        course: &'c Course,
        words: &'c Words,
        seed: &'c str,
    ) -> Result<Self, PublishFault> {
        let mut templates = Tera::new();
        templates
            .add_raw_templates(Theme::of(course).templates())
            .map_err(|fault| PublishFault::Template(fault.to_string()))?;
        let labels = words.keys().filter_map(|key| {
            // In a template a hyphen is a minus.
            let name = key.strip_prefix("page.")?.replace(['-', '.'], "_");
            Some((name, words.get(key)))
        });
        let labels = labels.collect();
        let (parts, kits) = (Parts::default(), SheetKits::default());
        let (pictures, binder) = (None, false);
        let all = course.sets.iter().flat_map(|set| &set.questions);
        let questions = all.map(|question| (question.id.as_str(), question)).collect();
        Ok(Self {
            course,
            words,
            seed,
            pictures,
            binder,
            templates,
            labels,
            parts,
            kits,
            graded: Graded::default(),
            questions,
        })
    }

    /// The same where the binder is made too.
    #[must_use]
    pub fn with_binder(self, binder: bool) -> Self {
        Self { binder, ..self }
    }

    /// The same with the module's pictures, by name. Without them the words of each picture
    /// stand in its place.
    #[must_use]
    pub fn showing(self, pictures: &'c BTreeMap<String, Vec<u8>>) -> Self {
        Self { pictures: Some(pictures), ..self }
    }

    /// Whether an unfinished module is printed.
    pub const fn is_draft(&self) -> bool {
        self.course.draft
    }

    /// The bytes of a picture.
    pub(super) fn picture(&self, file: &str) -> Option<&'c [u8]> {
        self.pictures?.get(file).map(Vec::as_slice)
    }

    /// One page: the frame and its own view under `page`.
    pub(super) fn render(
        &self,
        template: &str,
        head: &Head,
        view: &impl Serialize,
    ) -> Result<String, PublishFault> {
        let module = &self.course.module;
        let cautions = self.cautions(&head.cautions);
        let folded = hash_of(&cautions);
        let look = Theme::of(self.course).look();
        let frame = Frame {
            rtl: from_the_right(&self.label("lang")),
            title: &head.title,
            lead: &head.lead,
            document: self.document(head),
            form: match head.form.as_str() {
                "" => head.kicker.to_uppercase(),
                form => form.to_owned(),
            },
            trail: &head.trail,
            next: self.next(head),
            kicker: &head.kicker,
            kind: head.kind,
            side: if head.side == Side::Crew { "crew" } else { "staff" },
            home: home(head.side),
            paper: match module.paper {
                Paper::Letter => "letter",
                Paper::A4 => "a4",
            },
            department: &module.department,
            module: &module.title,
            edition: self.words.say("page.edition", &[("edition", &module.edition)]),
            review: self.words.say("page.review-by", &[("date", &module.review_by)]),
            cautions,
            // Other words are other cautions: whoever folded the old ones reads the new ones.
            folded: folded.get(..12).unwrap_or_default(),
            // On every page, whatever it shows: local procedures, the manual
            // and the officer in charge decide.
            fixed: self.words.get("page.fixed"),
            invented: module.invented.clone().unwrap_or_default(),
            unverified: self.when(head.unverified, "page.unverified"),
            draft: self.when(self.course.draft, "page.draft"),
            logo: Theme::of(self.course).logo().map_or_else(String::new, picture),
            logo_shows: look.map_or("", |look| &look.logo_shows),
            footer: look.map_or("", |look| &look.footer),
            w: &self.labels,
        };
        let mut context = Context::from_serialize(&frame).map_err(template_fault)?;
        context.insert("page", view);
        self.templates.render(template, &context).map_err(template_fault)
    }

    /// Numbers are printed as the module writes them while it stands.
    pub(super) fn writing(&self) -> Writing {
        Writing::of(self.course.module.comma)
    }

    /// What documents speak with.
    pub(super) const fn wording(&self) -> Wording<'c> {
        Wording { words: self.words, sources: &self.course.sources }
    }

    /// Name of the document: what, then kind. The officers' copy of a page says that it is.
    fn document(&self, head: &Head) -> String {
        // Without the number: in the title of a window it says nothing.
        let what = match head.lead.trim_start_matches(|c: char| c.is_ascii_digit()).trim()
        {
            "" => head.title.as_str(),
            short => short,
        };
        let blanks = [
            ("what", what),
            ("kind", head.kicker.as_str()),
            ("module", self.course.module.title.as_str()),
        ];
        let key = match head.side {
            Side::Crew => "page.document",
            Side::Staff | Side::Keys => "page.document-staff",
        };
        self.words.say(key, &blanks)
    }

    /// A page that leads nowhere is a dead end: the index is always there.
    fn next(&self, head: &Head) -> Vec<(String, String)> {
        if head.kind == "index" {
            return Vec::new();
        }
        let all = (home(head.side).to_owned(), self.label("all-pages"));
        head.next.iter().cloned().chain([all]).collect()
    }

    fn when(&self, holds: bool, key: &str) -> String {
        if holds { self.words.get(key) } else { String::new() }
    }

    fn cautions(&self, ids: &[String]) -> Vec<CautionView> {
        let known = &self.course.cautions;
        let mut found: Vec<&Caution> =
            ids.iter().filter_map(|id| known.get(id)).take(MOST_CAUTIONS).collect();
        found = by_gravity(found);
        if found.is_empty() {
            // Indexes and lists have no task of their own, and still no page goes without.
            let general = known.values().filter(|caution| caution.general);
            found.extend(general.take(MOST_CAUTIONS));
            if found.is_empty() {
                found.extend(known.values().next());
            }
            found = by_gravity(found);
            // A page without a task of its own carries the one that holds for the module.
            found.truncate(1);
        }
        found.into_iter().map(|caution| view(caution, self.words)).collect()
    }

    /// A label of the theme.
    pub(super) fn label(&self, key: &str) -> String {
        // words: page.{.label(..)}
        self.words.get(&format!("page.{key}"))
    }
}

#[expect(clippy::needless_pass_by_value, reason = "the shape that map_err hands in")]
fn template_fault(fault: tera::Error) -> PublishFault {
    let mut text = fault.to_string();
    // The place of a fault in a template is told by its causes, not by itself.
    let mut source = std::error::Error::source(&fault);
    while let Some(inner) = source {
        text.push_str(": ");
        text.push_str(&inner.to_string());
        source = inner.source();
    }
    PublishFault::Template(text)
}

/// A picture in the page itself: papers and sheets in folders of their own, and lessons that are
/// sent, have nothing beside them.
fn picture(svg: &str) -> String {
    format!("data:image/svg+xml;base64,{}", base64(svg.as_bytes()))
}

fn view(caution: &Caution, words: &Words) -> CautionView {
    let class = match caution.signal {
        Signal::Danger => "danger",
        Signal::Warning => "warning",
        Signal::Caution => "care",
        Signal::Notice => "notice",
    };
    CautionView {
        signal: caution.signal.said(words),
        class,
        headline: caution.headline.clone(),
        hazard: caution.hazard.clone(),
        control: caution.control.clone(),
        source: caution.source.clone(),
    }
}

/// The index that a page of a folder leads back to; the folder of keys has none of its own.
const fn home(side: Side) -> &'static str {
    match side {
        Side::Crew | Side::Staff => "index.html",
        Side::Keys => "../staff/index.html",
    }
}
