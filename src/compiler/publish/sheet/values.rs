//! Readings of the day and measured values: what is expected on this rig, and the band.

use std::collections::BTreeSet;

use super::view::{Field, MeasureLine, Tick};
use crate::course::{
    Bind, Course, Drill, Edge, Expect, Feed, How, Measure, RunSheet, foam_outlets,
};
use crate::quantity::Quantity;
use crate::scoring::{Decision, Kit, NoValue, Readings, Verdict, expectation};
use crate::words::Words;

/// Where a sheet of values is drawn up.
#[derive(Clone, Copy)]
pub(super) struct Bench<'b> {
    pub(super) course: &'b Course,
    pub(super) words: &'b Words,
    pub(super) kit: &'b Kit,
}

/// Readings of the day as fields.
pub(super) fn readings(
    words: &Words,
    drill: &Drill,
    run: Option<&RunSheet>,
) -> Vec<Field> {
    let field = |reading: &crate::course::Reading| {
        let blanks = [("label", reading.label.as_str()), ("unit", reading.unit.as_str())];
        let value = run.map(|run| {
            run.readings.get(&reading.id).map_or_else(String::new, Quantity::printed)
        });
        Field {
            label: words.say("sheet.reading", &blanks),
            value,
            private: run.is_some(),
            width: 3,
        }
    };
    drill.readings.iter().map(field).collect()
}

impl Bench<'_> {
    /// One measured value.
    pub(super) fn measure(
        self,
        measure: &Measure,
        run: Option<(&RunSheet, &Verdict)>,
    ) -> MeasureLine {
        let (expected, band, open) = self.wanted(measure, run.map(|(run, _)| run));
        let words = self.words;
        // words: sheet.how.{how_key()}
        let mut how = words.get(&format!("sheet.how.{}", how_key(measure.how)));
        if let Some(feed) = &measure.measured {
            how = words
                .say("sheet.worked", &[("how", &how), ("formula", &self.title(feed))]);
        }
        if measure.critical {
            how = words.say("sheet.decides", &[("how", &how)]);
        }
        let step = self.kit.drill().steps.iter().position(|step| step.id == measure.step);
        if let Some(step) = step {
            let number = (step + 1).to_string();
            how = words.say("sheet.of-step", &[("how", &how), ("step", &number)]);
        }
        let line = run.and_then(|(_, verdict)| verdict.about(&measure.id).next());
        let seen = line.map(|line| line.decision);
        let outside = matches!(seen, Some(Decision::Costs | Decision::Fails));
        let instrument = words.say(
            "sheet.instrument",
            &[("step", &measure.resolution.printed()), ("source", &measure.source)],
        );
        MeasureLine {
            label: measure.label.clone(),
            how,
            expected,
            open,
            band,
            instrument,
            unit: measure.unit.clone(),
            value: line.map(|line| line.seen.clone()),
            boxes: vec![
                Tick::new(words.get("sheet.inside"), seen == Some(Decision::Kept)),
                Tick::new(words.get("sheet.outside"), outside),
            ],
        }
    }

    /// Expected values, bands, and whether the value waits for the day's readings.
    fn wanted(
        self,
        measure: &Measure,
        run: Option<&RunSheet>,
    ) -> (Vec<String>, Vec<String>, bool) {
        let rig = self.kit.rig();
        let outlets: Vec<_> = match run {
            Some(run) => rig.outlet(&run.outlet).into_iter().collect(),
            None => foam_outlets(rig).collect(),
        };
        let none = Readings::new();
        let day = run.map_or(&none, |run| &run.readings);
        let mut found: Vec<(String, String, String)> = Vec::new();
        for outlet in outlets {
            match expectation(self.kit, measure, &outlet.id, day) {
                Ok(value) => found.push((outlet.title.clone(), value.text, value.band)),
                Err(NoValue::Reading(_)) => {
                    let edges = self.edges(measure);
                    return (vec![self.waits(measure)], vec![edges], true);
                }
                Err(NoValue::Formula(says)) => {
                    found.push((outlet.title.clone(), says, String::new()));
                }
                Err(NoValue::Figure(_) | NoValue::Unit) => {
                    let says = self.words.get("sheet.not-known");
                    found.push((outlet.title.clone(), says, String::new()));
                }
            }
        }
        let alike: BTreeSet<_> =
            found.iter().map(|(_, value, band)| (value, band)).collect();
        if alike.len() <= 1 {
            let one = found.into_iter().next();
            return one.map_or_else(
                || (Vec::new(), vec![self.edges(measure)], true),
                |(_, value, band)| (vec![value], vec![band], false),
            );
        }
        let line = |outlet: &str, value: &str| {
            self.words.say("sheet.at-outlet", &[("outlet", outlet), ("value", value)])
        };
        let expected = found.iter().map(|(outlet, value, _)| line(outlet, value));
        let bands = found.iter().map(|(outlet, _, band)| line(outlet, band));
        (expected.collect(), bands.collect(), false)
    }

    /// How the expected value follows from the day's readings.
    fn waits(self, measure: &Measure) -> String {
        let title = match &measure.expect {
            Expect::Formula(feed) => self.title(feed),
            Expect::Bound(bind) => return self.reading(bind),
        };
        self.words.say("sheet.from-readings", &[("formula", &title)])
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
        let formula = self.course.library.formula(&feed.formula);
        formula.map_or_else(|| feed.formula.clone(), |formula| formula.title.clone())
    }

    /// The tolerance in words, where there is no expected value yet.
    fn edges(self, measure: &Measure) -> String {
        let side = |edge: &Edge, key: &str| {
            let say = |kind: &str, value: &str| {
                // words: sheet.edge.{below|above}.{open|none|absolute|relative}
                self.words.say(&format!("sheet.edge.{key}.{kind}"), &[("value", value)])
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
        self.words.say("sheet.edges", &[("below", &below), ("above", &above)])
    }
}

const fn how_key(how: How) -> &'static str {
    match how {
        How::Set => "set",
        How::Shown => "shown",
        How::FromTotals => "from-totals",
    }
}
