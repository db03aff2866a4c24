//! One leaf of a sheet, and the bench at which it is drawn up: head and foot of every side.

use std::borrow::Cow;

use super::house::House;
use super::parts;
use crate::course::{Caution, Due, Person, RunSheet};
use crate::page::Node;
use crate::scoring::{DrawnSheet, Kit, Verdict, short_revision};
use crate::words::Words;

/// Where sheets are drawn up.
#[derive(Debug, Clone, Copy)]
pub struct Bench<'b> {
    /// Whose sheets they are.
    pub house: &'b House,
    /// Everybody who can stand on them.
    pub people: &'b [&'b Person],
    /// The sentences.
    pub words: &'b Words,
}

/// A run with its verdict and the kit that gave it.
#[derive(Debug, Clone, Copy)]
pub struct ScoredRun<'r> {
    /// What it was scored by.
    pub kit: &'r Kit,
    /// What the evaluator saw.
    pub sheet: &'r RunSheet,
    /// Verdict.
    pub verdict: &'r Verdict,
}

impl ScoredRun<'_> {
    /// The kit with what repeats for each outlet of the run.
    pub(super) fn on_lines(&self) -> Cow<'_, Kit> {
        self.kit.for_run(self.sheet)
    }
}

/// What is written on a sheet.
#[derive(Debug, Clone, Copy)]
pub(super) enum Written<'w> {
    Nothing,
    Names(&'w Due),
    Drawn(&'w DrawnSheet),
    Run(&'w RunSheet, &'w Verdict),
}

/// One leaf: the sheet of one drill on one rig.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leaf<'l> {
    pub(super) bench: Bench<'l>,
    pub(super) kit: &'l Kit,
    pub(super) written: Written<'l>,
    /// How many sides of its document stand before it, and how many there are in all.
    pub(super) before: usize,
    pub(super) all: usize,
}

impl Bench<'_> {
    pub(super) fn get(self, key: &str) -> String {
        // words: sheet.{bench.get(..)|self.get(..)|*}
        self.words.get(&format!("sheet.{key}"))
    }

    pub(super) fn label(self, key: &str) -> String {
        // words: sheet.label.{bench.label(..)|*}
        self.get(&format!("label.{key}"))
    }

    pub(super) fn say(self, key: &str, blanks: &[(&str, &str)]) -> String {
        // words: sheet.{bench.say(..)|self.say(..)|*}
        self.words.say(&format!("sheet.{key}"), blanks)
    }

    pub(super) fn name(self, id: &str) -> String {
        // Somebody who left the department keeps the short name on old sheets.
        let person = self.people.iter().find(|person| person.id == id);
        person.map_or_else(
            || id.to_owned(),
            |person| {
                let blanks =
                    [("rank", person.rank.as_str()), ("name", person.name.as_str())];
                self.say("person", &blanks)
            },
        )
    }

    /// What it is, with its code: the number of the drill and the rig's.
    fn coded(self, kit: &Kit) -> String {
        let number = self.house.numbers.get(&kit.drill().id);
        let rig = kit.rig().code();
        match number {
            Some(number) if kit.rig().is_nowhere() => {
                self.say("coded-alone", &[("number", number)])
            }
            Some(number) => self.say("coded", &[("number", number), ("rig", &rig)]),
            // A kit that was stored before sheets had numbers.
            None => self.label("sheet"),
        }
    }

    /// "page 2 of 3".
    pub(super) fn page(self, number: usize, all: usize) -> String {
        let (number, all) = (number.to_string(), all.to_string());
        self.say("page", &[("number", &number), ("all", &all)])
    }

    /// A side: head and foot repeat where it needs more than one leaf.
    pub(super) fn side(
        self,
        kit: &Kit,
        top: Node,
        cautions: &[&Caution],
        kids: impl IntoIterator<Item = Node>,
    ) -> Node {
        let cell = |tag, kids: Vec<Node>| {
            let cell = Node::new("td").holding(kids);
            Node::new(tag).holding([Node::new("tr").holding([cell])])
        };
        let notices = self.notices(kit);
        let notices = (!notices.is_empty())
            .then(|| Node::text("p", notices.join(" · ")).class("so-notice"));
        let mut fixed = self.get("fixed");
        for short in self.short_notices(kit) {
            fixed.push(' ');
            fixed.push_str(&short);
        }
        let fixed = Node::new("p").holding([Node::text("b", fixed)]);
        let foot = Node::new("div")
            .class("so-foot")
            .holding([parts::headlines(cautions, self.words), fixed]);
        Node::new("table").class("so-side").with("role", "presentation").holding([
            cell("thead", notices.into_iter().chain([top]).collect()),
            cell("tbody", kids.into_iter().collect()),
            cell("tfoot", vec![foot]),
        ])
    }

    /// Title on the left, above it whose sheet it is, with its form code; what it is, its page and
    /// its revisions on the right. A line of its own for the code would leave a full front no room.
    pub(super) fn top(
        self,
        (title, first): (&str, bool),
        form: Option<String>,
        sort_and_page: (String, String),
        revisions: impl IntoIterator<Item = String>,
    ) -> Node {
        let house = self.house;
        let blanks = [
            ("department", house.department.as_str()),
            ("module", house.module.as_str()),
            ("date", house.review_by.as_str()),
        ];
        // A document has one heading of the first rank. It is named by its role, because a
        // live page that holds the document has an `h1` of its own.
        let mut title = Node::text("p", title).class("so-title");
        if first {
            title = title.with("role", "heading").with("aria-level", "1");
        }
        let house_line = Node::text("span", self.say("house", &blanks));
        let form = form.map(|form| Node::text("b", format!("{form} · ")));
        let (sort, page) = sort_and_page;
        let revisions = revisions.into_iter().map(|text| Node::text("span", text));
        Node::new("div").class("so-top").holding([
            Node::new("div").holding([
                Node::new("span").class("so-house").holding(form).holding([house_line]),
                title,
            ]),
            Node::new("div")
                .class("so-right")
                .holding([Node::text("b", format!("{sort}, {page}"))])
                .holding(revisions),
        ])
    }

    /// INVENTED RIG, UNVERIFIED, DRAFT.
    fn notices(self, kit: &Kit) -> Vec<String> {
        let mut out: Vec<String> = self.house.invented.iter().cloned().collect();
        out.extend((!kit.rig().verified()).then(|| self.get("unverified")));
        out.extend(self.house.draft.then(|| self.get("draft")));
        out
    }

    /// The same in a word or two, for the foot.
    fn short_notices(self, kit: &Kit) -> Vec<String> {
        let all = [
            (self.house.invented.is_some(), "invented"),
            (!kit.rig().verified(), "unverified"),
            (self.house.draft, "draft"),
        ];
        let said = all.into_iter().filter(|(holds, _)| *holds);
        // words: sheet.short.{invented|unverified|draft}
        said.map(|(_, key)| self.get(&format!("short.{key}"))).collect()
    }

    pub(super) fn drill_revision(self, kit: &Kit) -> String {
        let drill = kit.drill();
        let number = drill.revision.to_string();
        self.say(
            "drill-revision",
            &[
                ("number", &number),
                ("date", &drill.revised_on),
                ("hash", short_revision(kit.drill_revision())),
            ],
        )
    }

    /// The card by which a run is scored; nothing where the drill is done without a rig.
    pub(super) fn rig_revision(self, kit: &Kit) -> Option<String> {
        let rig = kit.rig();
        let never = self.get("not-checked");
        let blanks = [
            ("rig", rig.title.as_str()),
            ("checked", rig.checked.as_ref().map_or(&never, |check| &check.on)),
            ("hash", short_revision(kit.rig_revision())),
        ];
        (!rig.is_nowhere()).then(|| self.say("rig-revision", &blanks))
    }
}

impl<'l> Leaf<'l> {
    pub(super) fn run(self) -> Option<&'l RunSheet> {
        match self.written {
            Written::Run(run, _) => Some(run),
            Written::Nothing | Written::Names(_) | Written::Drawn(_) => None,
        }
    }

    pub(super) fn verdict(self) -> Option<&'l Verdict> {
        match self.written {
            Written::Run(_, verdict) => Some(verdict),
            Written::Nothing | Written::Names(_) | Written::Drawn(_) => None,
        }
    }

    /// Whether it is the first of its document.
    pub(super) const fn first(self) -> bool {
        self.before == 0
    }

    /// One of its sides, counted from 0.
    pub(super) fn side(self, at: usize, kids: impl IntoIterator<Item = Node>) -> Node {
        let bench = self.bench;
        let drill = self.kit.drill();
        let first = self.first() && at == 0;
        let page = bench.page(self.before + at + 1, self.all);
        let sort = bench.coded(self.kit);
        let revisions = [bench.drill_revision(self.kit)];
        let revisions = revisions.into_iter().chain(bench.rig_revision(self.kit));
        let top = bench.top((&drill.title, first), self.form(), (sort, page), revisions);
        self.dressed(bench.side(self.kit, top, &bench.house.cautions(drill), kids))
    }

    /// What is filled in needs no room for a pen in its boxes: so it stays on its side.
    pub(super) fn dressed(self, side: Node) -> Node {
        if self.run().is_some() { side.class("so-side so-filled") } else { side }
    }
}
