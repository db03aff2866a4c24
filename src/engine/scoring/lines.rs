//! A drill on the outlets of one run: what repeats stands in its kit once for each of them.
//!
//! Everything that scores, asks, prints or shows a run reads steps, values and links from its kit.
//! So what repeats is written out there, once, and no rule has to know that it does. What an outlet
//! has for itself is known by its name (`least-time@crosslay-3`); the first outlet keeps the plain
//! names, so that a run of one outlet reads as it always did.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::kit::Kit;
use crate::course::{
    Bind, Critical, Drill, Expect, Feed, Line, Link, Meaning, Measure, OrderRule, Outlet,
    Reading, Rig, Step, at_outlet,
};
use crate::words::Words;

impl Kit {
    /// The kit for one line, see [`Kit::on_lines`].
    pub fn on_line(&self, outlet: &str) -> Cow<'_, Self> {
        self.on_lines(outlet, &[])
    }

    /// The outlets of a run that the rig has, the first first, each once; none where it has not even
    /// that one. A drill of which nothing repeats is of one.
    pub fn lines(&self, outlet: &str, further: &[String]) -> Vec<&Outlet> {
        let Some(first) = self.rig().outlet(outlet) else { return Vec::new() };
        let mut seen = BTreeSet::from([outlet]);
        let mut all = vec![first];
        for id in further.iter().filter(|_| has_repeats(self.drill())) {
            all.extend(self.rig().outlet(id).filter(|line| seen.insert(&line.id)));
        }
        all
    }

    /// The kit for the outlets of a run. Where none of them takes air it is worked as on a rig
    /// without a compressor, so that whoever opens air there is asked, and nobody is held to air
    /// that cannot be; what repeats stands in it for each outlet. Its revisions stay those of drill
    /// and card.
    pub fn on_lines(&self, outlet: &str, further: &[String]) -> Cow<'_, Self> {
        // A kit that was written out for its run stays as it is.
        if !self.further().is_empty() {
            return Cow::Borrowed(self);
        }
        let lines = self.lines(outlet, further);
        let Some((first, further)) = lines.split_first() else {
            return Cow::Borrowed(self);
        };
        let without_air = lines.iter().all(|line| !line.air);
        let mut kit = if self.rig().compressor.is_some() && without_air {
            Cow::Owned(self.without_air())
        } else {
            Cow::Borrowed(self)
        };
        if !further.is_empty() {
            // What needs air is done on no line without it.
            let plain = Rig { compressor: None, ..self.rig().clone() };
            let drill = self.drill();
            let repeating = Repeating { drill, first, further, plain: &plain };
            let drill = repeating.drill(self.words());
            let further = further.iter().map(|line| line.id.clone()).collect();
            kit.to_mut().written_out(drill, further);
        }
        kit
    }
}

/// Whether anything of a drill is done, read or added up outlet by outlet.
pub fn has_repeats(drill: &Drill) -> bool {
    drill.steps.iter().any(|one| one.each.is_some())
        || drill.readings.iter().any(|one| one.each.is_some())
        || drill.measures.iter().any(|one| one.each.is_some() || one.together)
}

/// What is read or set on a line that flows.
const OF_A_LINE: &[Meaning] = &[
    Meaning::Flow,
    Meaning::FoamFlow,
    Meaning::PumpPressure,
    Meaning::AirPressure,
    Meaning::PercentOrdered,
    Meaning::PercentSet,
    Meaning::MinutesTold,
];

/// Whether a drill is done on a line: one stands under pressure or flows, its air or foam is worked,
/// or a value of the drill rests on it. Of any other drill nobody asks which outlet was used.
pub fn takes_outlet(drill: &Drill) -> bool {
    let line = [drill.starts_with.line, drill.leaves.line];
    let fed = line.iter().any(|line| matches!(line, Some(Line::Charged | Line::Flowing)));
    let of_a_line = |is: Option<Meaning>| is.is_some_and(|is| OF_A_LINE.contains(&is));
    let measured = |one: &Measure| {
        let feeds = match &one.expect {
            Expect::Bound(bind) => return of_a_line(one.is) || of_outlet(bind),
            Expect::Formula(feed) => [Some(feed), one.measured.as_ref()],
        };
        let mut feeds = feeds.into_iter().flatten();
        of_a_line(one.is) || feeds.any(|feed| feed.with.values().any(of_outlet))
    };
    fed || has_repeats(drill)
        || drill.steps.iter().any(|step| step.is.is_some())
        || drill.readings.iter().any(|one| of_a_line(one.is))
        || drill.measures.iter().any(measured)
        || drill.drawn.as_ref().is_some_and(|plan| plan.outlet.is_some())
}

/// Whether something is bound to a figure of the outlet in use.
fn of_outlet(bind: &Bind) -> bool {
    match bind {
        Bind::Rig(name) => {
            let plain = name.strip_prefix("rig.").unwrap_or(name);
            plain.starts_with("outlet.") || plain.starts_with("eductor.")
        }
        Bind::Rows(rows) => rows.iter().any(|row| row.values().any(of_outlet)),
        Bind::Value(_) | Bind::Word(_) | Bind::Named(_) => false,
    }
}

/// What is expected of one measured value on a further outlet.
pub(super) fn expected_on(drill: &Drill, expect: &Expect, outlet: &str) -> Expect {
    let read = Names(drill.readings.iter().filter(|one| one.each.is_some()));
    read.expect(expect, outlet)
}

/// Names of the readings that repeat.
struct Names<I>(I);

impl<'d, I: Iterator<Item = &'d Reading> + Clone> Names<I> {
    fn expect(&self, expect: &Expect, outlet: &str) -> Expect {
        match expect {
            Expect::Bound(bind) => Expect::Bound(self.bind(bind, outlet)),
            Expect::Formula(feed) => Expect::Formula(self.feed(feed, outlet)),
        }
    }

    fn feed(&self, feed: &Feed, outlet: &str) -> Feed {
        Feed { with: self.row(&feed.with, outlet), ..feed.clone() }
    }

    fn row(&self, of: &BTreeMap<String, Bind>, outlet: &str) -> BTreeMap<String, Bind> {
        of.iter().map(|(name, bind)| (name.clone(), self.bind(bind, outlet))).collect()
    }

    /// A figure of the rig becomes that of the outlet, a reading that repeats the one taken there.
    fn bind(&self, bind: &Bind, outlet: &str) -> Bind {
        match bind {
            Bind::Rig(name) => {
                let plain = name.strip_prefix("rig.").unwrap_or(name);
                Bind::Rig(at_outlet(plain, outlet))
            }
            Bind::Named(name) if self.0.clone().any(|one| one.id == *name) => {
                Bind::Named(at_outlet(name, outlet))
            }
            Bind::Rows(rows) => {
                Bind::Rows(rows.iter().map(|row| self.row(row, outlet)).collect())
            }
            Bind::Named(_) | Bind::Value(_) | Bind::Word(_) => bind.clone(),
        }
    }
}

/// A drill with the outlets of a run.
struct Repeating<'d> {
    drill: &'d Drill,
    first: &'d Outlet,
    further: &'d [&'d Outlet],
    /// The rig as a line without air has it.
    plain: &'d Rig,
}

impl<'d> Repeating<'d> {
    /// The drill with everything that repeats written out, each outlet behind the one before it.
    fn drill(&self, words: &Words) -> Drill {
        let drill = self.drill;
        let steps = spread(&drill.steps, |step| self.step(step, words));
        let readings = spread(&drill.readings, |one| self.reading(one, words));
        let measures = spread(&drill.measures, |one| self.measure(one, words));
        let criticals = drill.criticals.iter().map(|critical| Critical {
            links: spread(&critical.links, |link| self.link(link)),
            ..critical.clone()
        });
        let criticals = criticals.collect();
        let order = spread(&drill.order, |rule| self.order(rule));
        Drill { steps, criticals, order, readings, measures, ..drill.clone() }
    }

    /// Outlets beside the first on which a step is done: air is worked on no line without it.
    fn outlets(&self, step: &'d Step) -> impl Iterator<Item = &'d Outlet> {
        let air = step.condition().lacks(self.plain).is_some();
        self.further.iter().copied().filter(move |line| line.air || !air)
    }

    fn step(&self, step: &'d Step, words: &Words) -> Vec<Step> {
        if step.each.is_none() {
            return vec![step.clone()];
        }
        let named = |outlet: &Outlet| named(words, outlet, &step.action);
        let first = Step { action: named(self.first), ..step.clone() };
        let other = |outlet: &Outlet| Step {
            id: at_outlet(&step.id, &outlet.id),
            action: named(outlet),
            ..step.clone()
        };
        std::iter::once(first).chain(self.outlets(step).map(other)).collect()
    }

    fn reading(&self, reading: &Reading, words: &Words) -> Vec<Reading> {
        if reading.each.is_none() {
            return vec![reading.clone()];
        }
        let named = |outlet: &Outlet| named(words, outlet, &reading.label);
        let first = Reading { label: named(self.first), ..reading.clone() };
        let other = |outlet: &&Outlet| Reading {
            id: at_outlet(&reading.id, &outlet.id),
            label: named(outlet),
            ..reading.clone()
        };
        std::iter::once(first).chain(self.further.iter().map(other)).collect()
    }

    fn measure(&self, measure: &Measure, words: &Words) -> Vec<Measure> {
        if measure.each.is_none() {
            return vec![measure.clone()];
        }
        let named = |outlet: &Outlet| named(words, outlet, &measure.label);
        let read = Names(self.drill.readings.iter().filter(|one| one.each.is_some()));
        let first = Measure { label: named(self.first), ..measure.clone() };
        let other = |outlet: &&Outlet| {
            let step = self.on(&measure.step, outlet)?;
            let worked = measure.measured.as_ref();
            Some(Measure {
                id: at_outlet(&measure.id, &outlet.id),
                label: named(outlet),
                step,
                expect: read.expect(&measure.expect, &outlet.id),
                measured: worked.map(|feed| read.feed(feed, &outlet.id)),
                ..measure.clone()
            })
        };
        std::iter::once(first).chain(self.further.iter().filter_map(other)).collect()
    }

    /// The step that stands for another on an outlet: its own where it repeats, else the one step of
    /// them all; nothing where it is not done there.
    fn on(&self, id: &str, outlet: &Outlet) -> Option<String> {
        match self.repeated(id) {
            None => Some(id.to_owned()),
            Some(step) => self
                .outlets(step)
                .any(|one| one.id == outlet.id)
                .then(|| at_outlet(id, &outlet.id)),
        }
    }

    fn repeated(&self, id: &str) -> Option<&'d Step> {
        self.drill.steps.iter().find(|step| step.id == id && step.each.is_some())
    }

    /// A step with all that it became.
    fn all(&self, id: &str) -> Vec<String> {
        let others = self.repeated(id).into_iter().flat_map(|step| self.outlets(step));
        let others = others.map(|outlet| at_outlet(id, &outlet.id));
        std::iter::once(id.to_owned()).chain(others).collect()
    }

    /// Pairs of a step before another. Where both repeat each outlet has its own pair; where one
    /// does it stands before, or after, the other on every outlet.
    fn pairs(&self, first: &str, then: &str) -> Vec<(String, String)> {
        if self.repeated(first).is_some() && self.repeated(then).is_some() {
            let own = |outlet: &&Outlet| {
                Some((self.on(first, outlet)?, self.on(then, outlet)?))
            };
            let others = self.further.iter().filter_map(own);
            return std::iter::once((first.to_owned(), then.to_owned()))
                .chain(others)
                .collect();
        }
        let all = self.all(then);
        let with =
            |first: String| all.iter().map(move |then| (first.clone(), then.clone()));
        self.all(first).into_iter().flat_map(with).collect()
    }

    fn order(&self, rule: &OrderRule) -> Vec<OrderRule> {
        let pair = |(first, then)| OrderRule { first, then, ..rule.clone() };
        self.pairs(&rule.first, &rule.then).into_iter().map(pair).collect()
    }

    fn link(&self, link: &Link) -> Vec<Link> {
        match link {
            Link::Order { first, then } => {
                let pairs = then.iter().flat_map(|then| self.pairs(first, then));
                let mut by_first: BTreeMap<String, Vec<String>> = BTreeMap::new();
                for (first, then) in pairs {
                    by_first.entry(first).or_default().push(then);
                }
                let link = |(first, then)| Link::Order { first, then };
                by_first.into_iter().map(link).collect()
            }
            Link::Answer { cue, step } => {
                let link = |step| Link::Answer { cue: cue.clone(), step };
                self.all(step).into_iter().map(link).collect()
            }
            Link::Hold { step } => {
                self.all(step).into_iter().map(|step| Link::Hold { step }).collect()
            }
            Link::Limit { measure, unreported } => {
                let each = self.drill.measures.iter().find(|one| one.id == *measure);
                let each = each.filter(|one| one.each.is_some());
                let there = |one: &Measure, outlet: &Outlet| {
                    self.on(&one.step, outlet).map(|_| at_outlet(measure, &outlet.id))
                };
                let others = each.into_iter().flat_map(|one| {
                    self.further.iter().filter_map(move |outlet| there(one, outlet))
                });
                let all = std::iter::once(measure.clone()).chain(others);
                all.map(|measure| Link::Limit { measure, unreported: *unreported })
                    .collect()
            }
            Link::Free { .. } => vec![link.clone()],
        }
    }
}

/// What becomes of each of a list.
fn spread<'l, T>(list: &'l [T], each: impl FnMut(&'l T) -> Vec<T>) -> Vec<T> {
    list.iter().flat_map(each).collect()
}

/// What is done on one of several outlets, with its name before it.
fn named(words: &Words, outlet: &Outlet, what: &str) -> String {
    words.say("scoring.on-outlet", &[("outlet", &outlet.title), ("what", what)])
}
