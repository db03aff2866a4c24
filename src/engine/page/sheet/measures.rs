//! Readings of the day and measured values: what is expected on this rig, and the band.

use std::collections::BTreeSet;

use super::leaf::Leaf;
use super::parts::{
    block, cell, column, fours, line, mark, named, private, table, write,
};
use crate::course::{Bind, Edge, Expect, Feed, Measure, Reading, RunSheet, foam_outlets};
use crate::page::Node;
use crate::quantity::Quantity;
use crate::scoring::{Decision, NoValue, Readings, counted, expectation};

/// What a measured value should be.
struct Wanted {
    /// Line by line; a line for each outlet where they differ.
    expected: Vec<String>,
    band: Vec<String>,
    /// Whether it must be worked out on the day and written in.
    open: bool,
}

impl Leaf<'_> {
    /// Readings of the day; nothing where none are taken.
    pub(super) fn readings(self) -> Option<Node> {
        let readings = &self.kit.drill().readings;
        let field = |reading: &Reading| {
            let label = self.reading_label(reading);
            if let Some(drawn) = self.drawn_value(reading) {
                return line(label, 3, drawn.printed());
            }
            let value = self.run().and_then(|run| run.readings.get(&reading.id));
            let value = value.map(Quantity::printed).unwrap_or_default();
            private(label, 3, value)
        };
        let row = fours(readings.iter().map(field));
        let told = counted(self.kit);
        let told = told.into_iter().map(|text| Node::text("p", text).class("so-fine"));
        (!readings.is_empty()).then(|| block([row].into_iter().chain(told)))
    }

    /// Measured values; nothing where none are taken.
    pub(super) fn measures(self) -> Option<Node> {
        let bench = self.bench;
        let measures = &self.kit.drill().measures;
        let labels = ["measures", "expected", "band", "instrument", "written"];
        let labels = labels.map(|key| Node::text("th", bench.label(key)));
        let boxes = ["inside", "outside"].map(|key| column("so-mark", bench.get(key)));
        let rows = measures.iter().map(|one| self.measure(one));
        let head = labels.into_iter().chain(boxes);
        (!measures.is_empty()).then(|| table("so-marks so-values", head, rows))
    }

    fn measure(self, measure: &Measure) -> Node {
        let wanted = self.wanted(measure);
        let line = self.verdict().and_then(|verdict| verdict.about(&measure.id).next());
        let seen = line.map(|line| line.decision);
        // By the verdict and not worked out again: sheet and verdict can never differ.
        let outside = matches!(seen, Some(Decision::Costs | Decision::Fails));
        let step = measure.resolution.printed();
        let instrument = [("step", step.as_str()), ("source", &measure.source)];
        let each = |class: &'static str, text: &String| {
            let span = Node::text("span", text.clone());
            if class.is_empty() { span } else { span.class(class) }
        };
        let class = if wanted.open { "" } else { "so-each" };
        let mut expected = Node::new("td").class("so-note");
        expected = expected.holding(wanted.expected.iter().map(|text| each(class, text)));
        if wanted.open {
            expected = expected.holding([Node::text("span", " ")]);
            expected = expected.holding(write(&measure.unit));
        }
        let band = wanted.band.iter().map(|text| each("so-each", text));
        let value = match line {
            Some(line) if !line.seen.is_empty() => cell("so-value", line.seen.clone()),
            _ => Node::new("td").class("so-value").holding(write(&measure.unit)),
        };
        Node::new("tr").holding([
            named(&measure.label, self.how(measure)),
            expected,
            Node::new("td").class("so-note").holding(band),
            cell("so-sub", self.bench.say("instrument", &instrument)),
            value,
            mark(seen == Some(Decision::Kept)),
            mark(outside),
        ])
    }

    /// How it is come by, whether it decides, and at which step.
    fn how(self, measure: &Measure) -> String {
        let bench = self.bench;
        // words: sheet.how.{How}
        let mut how = bench.get(&format!("how.{}", measure.how.key()));
        if let Some(feed) = &measure.measured {
            let formula = self.title(feed);
            how = bench.say("worked", &[("how", &how), ("formula", &formula)]);
        }
        if measure.critical {
            how = bench.say("decides", &[("how", &how)]);
        }
        let mut steps = self.kit.drill().steps.iter();
        if let Some(step) = steps.position(|step| step.id == measure.step) {
            let number = (step + 1).to_string();
            how = bench.say("of-step", &[("how", &how), ("step", &number)]);
        }
        how
    }

    fn wanted(self, measure: &Measure) -> Wanted {
        let rig = self.kit.rig();
        let run: Option<&RunSheet> = self.run();
        let outlets: Vec<_> = match run {
            Some(run) => rig.outlet(&run.outlet).into_iter().collect(),
            None => match self.drawn_outlet() {
                Some(outlet) => vec![outlet],
                // One that repeats has a row of its own for each of them, or is their sum.
                None if measure.each.is_some() || measure.together => {
                    foam_outlets(rig).take(1).collect()
                }
                None => foam_outlets(rig).collect(),
            },
        };
        let none = Readings::new();
        let drawn = self.numbered().map(|sheet| &sheet.readings);
        let day = run.map(|run| &run.readings).or(drawn).unwrap_or(&none);
        let mut found: Vec<(String, String, String)> = Vec::new();
        for outlet in outlets {
            let title = outlet.title.clone();
            match expectation(self.kit, measure, &outlet.id, day) {
                Ok(value) => found.push((title, value.text, value.band)),
                Err(NoValue::Reading(_)) => {
                    let (expected, band) = (self.waits(measure), self.edges(measure));
                    return Wanted {
                        expected: vec![expected],
                        band: vec![band],
                        open: true,
                    };
                }
                // Rule 20: what card and formula do not give, the manual says.
                Err(NoValue::Formula(_) | NoValue::Figure(_) | NoValue::Unchecked) => {
                    let answers = self.bench.get("as-manual");
                    found.push((title, self.bench.get("manual"), answers));
                }
                Err(NoValue::Unit) => {
                    found.push((title, self.bench.get("not-known"), String::new()));
                }
            }
        }
        let alike: BTreeSet<_> =
            found.iter().map(|(_, value, band)| (value, band)).collect();
        if alike.len() <= 1 {
            let one = found.into_iter().next();
            let open = || Wanted {
                expected: Vec::new(),
                band: vec![self.edges(measure)],
                open: true,
            };
            return one.map_or_else(open, |(_, value, band)| Wanted {
                expected: vec![value],
                band: vec![band],
                open: false,
            });
        }
        let line = |outlet: &str, value: &str| {
            self.bench.say("at-outlet", &[("outlet", outlet), ("value", value)])
        };
        let expected = found.iter().map(|(outlet, value, _)| line(outlet, value));
        let band = found.iter().map(|(outlet, _, band)| line(outlet, band));
        Wanted { expected: expected.collect(), band: band.collect(), open: false }
    }

    /// How the expected value follows from the day's readings.
    fn waits(self, measure: &Measure) -> String {
        let title = match &measure.expect {
            Expect::Formula(feed) => self.title(feed),
            Expect::Bound(bind) => return self.reading(bind),
        };
        self.bench.say("from-readings", &[("formula", &title)])
    }

    /// The reading that is itself the expected value.
    fn reading(self, bind: &Bind) -> String {
        let Bind::Named(name) = bind else { return String::new() };
        let plain = name.strip_prefix("day.").unwrap_or(name);
        let mut readings = self.kit.drill().readings.iter();
        let reading = readings.find(|reading| reading.id == plain);
        reading.map_or_else(|| plain.to_owned(), |reading| reading.label.clone())
    }

    fn title(self, feed: &Feed) -> String {
        let named = self.kit.formula(feed);
        let formula = self.kit.library().formula(named);
        formula.map_or_else(|| named.to_owned(), |formula| formula.title.clone())
    }

    /// The tolerance in words, where there is no expected value yet.
    fn edges(self, measure: &Measure) -> String {
        let side = |edge: &Edge, key: &str| {
            let say = |kind: &str, value: &str| {
                // words: sheet.edge.{below|above}.{open|none|absolute|relative}
                self.bench.say(&format!("edge.{key}.{kind}"), &[("value", value)])
            };
            match edge {
                Edge::Open => say("open", ""),
                Edge::Absolute(size) if size.number().signum() == 0 => say("none", ""),
                Edge::Absolute(size) => say("absolute", &size.printed()),
                Edge::Relative(share) => say("relative", &share.printed()),
            }
        };
        let below = side(&measure.tolerance.below, "below");
        let above = side(&measure.tolerance.above, "above");
        self.bench.say("edges", &[("below", &below), ("above", &above)])
    }
}
