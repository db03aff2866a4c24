//! Who and what is declared before the start, and what is written after the end.

use std::collections::BTreeMap;

use super::leaf::{Bench, Leaf, Written};
use super::parts::{block, fours, heading, line, private, row, tick};
use crate::course::{
    Allowed, Due, Evaluator, Holders, Mode, OrderSeen, Remediation, RunSheet, RunUse,
    StopCause, foam_outlets,
};
use crate::page::Node;
use crate::scoring::{Outcome, fuels, has_repeats, takes_outlet, tanks};

/// The people of a run, as far as they are known.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Who<'w> {
    pub(super) run: Option<&'w str>,
    attempt: Option<u32>,
    pub(super) candidate: Option<&'w str>,
    role: &'w str,
    crew: Option<&'w BTreeMap<String, Holders>>,
    evaluator: Option<&'w Evaluator>,
    safety_officer: Option<&'w str>,
}

impl<'w> Who<'w> {
    pub(super) fn of(run: &'w RunSheet) -> Self {
        Self {
            run: Some(&run.id),
            attempt: Some(run.attempt),
            candidate: Some(&run.candidate),
            role: &run.role,
            crew: Some(&run.crew),
            evaluator: Some(&run.evaluator),
            safety_officer: Some(&run.safety_officer),
        }
    }

    pub(super) fn due(due: &'w Due) -> Self {
        Self {
            run: due.run.as_deref(),
            attempt: due.attempt,
            candidate: Some(&due.candidate),
            role: &due.role,
            crew: Some(&due.crew),
            evaluator: due.evaluator.as_ref(),
            safety_officer: due.safety_officer.as_deref(),
        }
    }

    /// Whoever has a role.
    fn in_role(self, role: &str) -> Vec<&'w str> {
        let own = self.candidate.filter(|_| role == self.role);
        let others = self.crew.and_then(|crew| crew.get(role));
        let others = others.into_iter().flat_map(|holders| &holders.0);
        own.into_iter().chain(others.map(String::as_str)).collect()
    }
}

/// What was learned, by whom it was given and when.
fn remedy(given: &Remediation) -> String {
    let all = [Some(&given.what), given.by.as_ref(), given.on.as_ref()];
    all.into_iter().flatten().map(String::as_str).collect::<Vec<_>>().join(", ")
}

impl Bench<'_> {
    fn field(self, key: &str) -> String {
        // words: sheet.field.{bench.field(..)|*}
        self.get(&format!("field.{key}"))
    }

    /// A label in bold before its boxes.
    fn bold(self, key: &str) -> Node {
        Node::text("b", format!("{} ", self.label(key)))
    }

    pub(super) fn outcome(self, known: Outcome) -> String {
        // words: sheet.outcome.{Outcome}
        self.get(&format!("outcome.{}", known.key()))
    }

    /// Lines for signatures stay empty: a typed name is none.
    fn signatures(self) -> Node {
        let keys = ["candidate-signs", "evaluator-signs", "safety-signs"];
        row(keys.map(|key| line(self.field(key), 2, ""))).class("so-fields so-sign")
    }
}

impl<'l> Leaf<'l> {
    pub(super) fn who(self) -> Who<'l> {
        match self.written {
            Written::Nothing | Written::Drawn(_) => Who::default(),
            Written::Names(due) => Who::due(due),
            Written::Run(run, _) => Who::of(run),
        }
    }
}

impl Leaf<'_> {
    fn name(self, id: Option<&str>) -> String {
        id.map(|id| self.bench.name(id)).unwrap_or_default()
    }

    fn names(self, ids: &[&str]) -> String {
        ids.iter().map(|id| self.bench.name(id)).collect::<Vec<_>>().join(", ")
    }

    /// Something of the run sheet; nothing on a blank.
    fn of_run(self, read: impl Fn(&RunSheet) -> String) -> String {
        self.run().map(read).unwrap_or_default()
    }

    /// Candidate, run, time; what is declared; who evaluates and who watches.
    pub(super) fn head(self) -> Vec<Node> {
        let mut rows = vec![self.candidate(), self.declared()];
        rows.extend(self.outlets());
        rows.extend(self.fuel());
        rows.extend(self.tank());
        rows.push(self.staff());
        rows
    }

    /// Which outlets the run is of, to be ticked, where anything repeats for each of them.
    fn outlets(self) -> Option<Node> {
        let blank = self.run().is_none() && self.drawn_outlet().is_none();
        let kit = self.kit;
        (blank && has_repeats(kit.drill())).then(|| {
            let ticks = foam_outlets(kit.rig()).map(|outlet| tick(&outlet.title, false));
            let row = Node::new("p").class("so-row");
            row.holding([self.bench.bold("outlets-used")]).holding(ticks)
        })
    }

    fn candidate(self) -> Node {
        let who = self.who();
        let outlet = self.of_run(|run| {
            let all = std::iter::once(&run.outlet).chain(&run.further);
            let title = |id: &String| {
                let outlet = self.kit.rig().outlet(id);
                outlet.map_or_else(|| id.clone(), |outlet| outlet.title.clone())
            };
            all.map(title).collect::<Vec<_>>().join(", ")
        });
        let outlet = self.drawn_outlet().map_or(outlet, |outlet| outlet.title.clone());
        let entered = self.of_run(|run| {
            // Empty boxes of a filled sheet look forgotten; so what goes without saying
            // is said.
            run.entered_at.clone().unwrap_or_else(|| self.bench.get("same-time"))
        });
        let run = who.run.unwrap_or_default();
        let completes = self.run().and_then(|run| run.completes.as_deref());
        let run = completes.map_or_else(
            || run.to_owned(),
            |other| self.bench.say("completing", &[("run", run), ("other", other)]),
        );
        let attempt = who.attempt.map(|attempt| attempt.to_string());
        let field = |key, width, value| line(self.bench.field(key), width, value);
        // Where they are ticked below, or there is none, no line asks for it.
        let asked = takes_outlet(self.kit.drill()) && self.outlets().is_none();
        let line = asked.then(|| field("outlet", 1, outlet));
        let first = [
            private(self.bench.field("candidate"), 2, self.name(who.candidate)),
            field("run", 2, run),
            field("attempt", 1, attempt.unwrap_or_default()),
        ];
        let last = [
            field("performed", 2, self.of_run(|run| run.performed_at.clone())),
            field("entered", 2, entered),
            field("weather", 1, self.of_run(|run| run.weather.clone())),
            field("light", 1, self.of_run(|run| run.light.clone())),
        ];
        row(first.into_iter().chain(line).chain(last))
    }

    fn declared(self) -> Node {
        let bench = self.bench;
        let run = self.run();
        let use_ = |(_, known): &(&str, RunUse)| {
            // words: sheet.use.{RunUse}
            let label = bench.get(&format!("use.{}", known.key()));
            tick(&label, run.is_some_and(|run| run.use_ == *known))
        };
        let mode = |mode: &Mode| {
            let key = mode.key();
            // words: sheet.mode-letter.{Mode}
            let letter = bench.get(&format!("mode-letter.{key}"));
            // words: sheet.mode.{Mode}
            let name = bench.get(&format!("mode.{key}"));
            let label = bench.say("mode-box", &[("letter", &letter), ("mode", &name)]);
            tick(&label, run.is_some_and(|run| run.mode == *mode))
        };
        let front = Node::text("b", format!("{}: ", bench.label("front")));
        Node::new("p")
            .class("so-row so-declared")
            .holding([front, bench.bold("use")])
            .holding(RunUse::ALL.iter().map(use_))
            .holding([bench.bold("mode")])
            .holding(self.kit.drill().modes.iter().map(mode))
    }

    /// The fuel of the order, where the label has other percents for others.
    fn fuel(self) -> Option<Node> {
        let known = fuels(self.kit);
        if known.is_empty() {
            return None;
        }
        let ordered = self.run().and_then(|run| run.fuel.as_deref());
        let one = |entry: &&Allowed| {
            let range = match (entry.from.printed(), entry.to.printed()) {
                (from, to) if from == to => from,
                (from, to) => self.bench.say("span", &[("from", &from), ("to", &to)]),
            };
            let blanks = [("fuel", entry.fuel.as_str()), ("range", range.as_str())];
            let chosen =
                ordered.is_some_and(|fuel| fuel.eq_ignore_ascii_case(&entry.fuel));
            tick(&self.bench.say("fuel-box", &blanks), chosen)
        };
        let boxes = known.iter().map(one);
        let row = Node::new("p").class("so-row").holding([self.bench.bold("fuel")]);
        Some(row.holding(boxes))
    }

    /// The tank that the run draws from, where the rig has several of its foam.
    fn tank(self) -> Option<Node> {
        let known = tanks(self.kit);
        let drawn = self.run().and_then(|run| run.tank.as_deref());
        let boxes = known.iter().map(|tank| tick(&tank.title, drawn == Some(&tank.id)));
        let row = Node::new("p").class("so-row").holding([self.bench.bold("draws-from")]);
        (!known.is_empty()).then(|| row.holding(boxes))
    }

    fn staff(self) -> Node {
        let (bench, who) = (self.bench, self.who());
        let stop = &self.kit.drill().stop.word;
        // The word that was really read aloud, which may be another than the printed one.
        let stop = self.run().map_or(stop, |run| &run.stop_word);
        let time = self.kit.drill().time.as_ref();
        let watch = time.map(|time| {
            let step = time.resolution.printed();
            bench.say("watch", &[("who", time.watch.as_str()), ("step", &step)])
        });
        let watch = watch.unwrap_or_else(|| self.of_run(|_| bench.get("no-watch")));
        let holder = if time.is_some() { "watch-holder" } else { "watch-free" };
        let judge = |read: fn(&Evaluator) -> &String| {
            who.evaluator.map(|judge| read(judge).clone()).unwrap_or_default()
        };
        let person = who.evaluator.map(|judge| judge.person.as_str());
        let private = |key, value| private(bench.field(key), 2, value);
        row([
            private("evaluator", self.name(person)),
            private("qualification", judge(|judge| &judge.qualification)),
            private("relation", judge(|judge| &judge.relation)),
            private("safety-officer", self.name(who.safety_officer)),
            line(bench.field("stop-word"), 2, stop.clone()),
            line(bench.field(holder), 2, watch),
        ])
    }

    pub(super) fn roles(self) -> Node {
        let who = self.who();
        let scored = self.bench.label("scored");
        fours(self.kit.drill().roles.iter().map(|role| {
            let title = if role.scored {
                format!("{} ({scored})", role.title)
            } else {
                role.title.clone()
            };
            private(title, 2, self.names(&who.in_role(&role.id)))
        }))
    }

    /// Who stopped the run and why, the cause, and the safe state in order.
    pub(super) fn stop(self) -> Node {
        let bench = self.bench;
        let stop = self.run().and_then(|run| run.stop.as_ref());
        let by = stop.map(|stop| bench.name(&stop.by));
        let by = by.unwrap_or_else(|| self.of_run(|_| bench.get("nobody")));
        let why = stop.map(|stop| stop.why.clone()).unwrap_or_default();
        let cause = |(_, known): &(&str, StopCause)| {
            // words: sheet.cause.{StopCause}
            let label = bench.get(&format!("cause.{}", known.key()));
            tick(&label, stop.is_some_and(|stop| stop.cause == *known))
        };
        let safe = self.kit.drill().stop.safe_state.iter();
        // Never ticked beforehand, and on no filled sheet: it is looked at after the
        // stop, with the rig in sight.
        let safe = safe.map(|line| tick(line, false));
        block([
            heading(bench.label("stop")),
            row([
                private(bench.field("stopped-by"), 3, by),
                private(bench.field("stopped-why"), 3, why),
            ]),
            Node::new("p")
                .class("so-row")
                .holding([bench.bold("cause")])
                .holding(StopCause::ALL.iter().map(cause)),
            Node::new("p")
                .class("so-row so-safe")
                .holding([bench.bold("safe")])
                .holding(safe),
        ])
    }

    /// What is written after the run, and the lines to sign on.
    pub(super) fn after(self) -> [Node; 2] {
        let text = |key, read: fn(&RunSheet) -> Option<String>| {
            let value = self.of_run(|run| read(run).unwrap_or_default());
            private(self.bench.field(key), 3, value)
        };
        let after = row([
            text("void", |run| run.void.as_ref().map(|void| void.why.clone())),
            text("notes", |run| run.notes.clone()),
            text("remediation", |run| run.remediation.as_ref().map(remedy)),
            text("words", |run| run.words.clone()),
        ]);
        [after, self.bench.signatures()]
    }

    /// The confirmed order, and once more whose back of the leaf it is: a copy of one side
    /// still says so.
    pub(super) fn order_seen(self) -> Node {
        let steps = &self.kit.drill().steps;
        let number = |id: &String| {
            let at = steps.iter().position(|step| step.id == *id);
            at.map_or_else(|| id.clone(), |at| (at + 1).to_string())
        };
        let seen = self.of_run(|run| match &run.order_seen {
            OrderSeen::NotWatched => self.bench.get("order-not-watched"),
            OrderSeen::AsPrinted => self.bench.get("order-as-printed"),
            OrderSeen::Listed(seen) => {
                seen.iter().map(number).collect::<Vec<_>>().join(" ")
            }
        });
        let who = self.who();
        let name = who.candidate.map(|id| self.bench.name(id));
        let again = [who.run.map(str::to_owned), name];
        let again: Vec<String> = again.into_iter().flatten().collect();
        let said = |known: fn(&OrderSeen) -> bool| {
            self.run().is_some_and(|run| known(&run.order_seen))
        };
        let bench = self.bench;
        let boxes = Node::new("p").class("so-row").holding([
            Node::text("b", bench.label("order-seen")),
            tick(&bench.get("order-as-printed"), said(|o| *o == OrderSeen::AsPrinted)),
            tick(
                &bench.get("order-listed"),
                said(|order| matches!(order, OrderSeen::Listed(_))),
            ),
            tick(&bench.get("order-not-watched"), said(|o| *o == OrderSeen::NotWatched)),
        ]);
        let lines = row([
            line(self.bench.field("order-seen"), 4, seen),
            private(self.bench.field("again"), 2, again.join(" · ")),
        ]);
        block([boxes, lines])
    }

    /// Time taken and held; nothing where no time is judged.
    pub(super) fn watch(self) -> Option<Node> {
        self.kit.drill().time.as_ref()?;
        let time = self.run().and_then(|run| run.time.as_ref());
        let taken = time.map(|time| time.taken.printed()).unwrap_or_default();
        let held = time.and_then(|time| time.held.as_ref());
        let held = held.map(crate::quantity::Quantity::printed).unwrap_or_default();
        Some(row([
            line(self.bench.field("taken"), 3, taken),
            line(self.bench.field("held"), 3, held),
        ]))
    }
}
