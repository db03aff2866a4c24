//! A rig card: what the plate says, and figures per foam line from the formula library.

use std::collections::BTreeMap;

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Side};
use crate::course::{
    FoamSide, Outlet, PercentBasis, ProportionerKind, Rig, foam_outlets, rig_figures,
};
use crate::formulas::{Input, Inputs};
use crate::quantity::Quantity;

/// Flush volumes on the card; the local rule decides, and the card says so.
const VOLUMES: &str = "3";

#[derive(Serialize)]
struct RigView {
    about: String,
    checked: String,
    facts: Vec<(String, String)>,
    tanks: Vec<(String, String, String, String, String)>,
    outlets: Vec<OutletView>,
    returns: Vec<(String, String)>,
    lines: Vec<LineView>,
    plain: String,
}

#[derive(Serialize)]
struct OutletView {
    title: String,
    foam: String,
    hose: String,
    length: String,
    nozzle: String,
    flow: String,
    pressure: String,
    pump: String,
}

#[derive(Serialize)]
struct LineView {
    title: String,
    rows: Vec<RowView>,
    flush: String,
}

#[derive(Serialize)]
struct RowView {
    percent: String,
    concentrate: String,
    share: String,
    largest: String,
    foam_time: String,
    water_time: String,
    plain_time: String,
    first: String,
    call: String,
}

/// `rig-ID.html`.
pub(super) fn page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let missing = || PublishFault::Missing(id.to_owned());
    let rig = desk.rig(id).ok_or_else(missing)?;
    let card = Card { desk, rig };
    let checked = match &rig.checked {
        Some(check) => {
            let blanks = [("by", check.by.as_str()), ("on", check.on.as_str())];
            desk.words.say("page.checked", &blanks)
        }
        None => desk.label("not-checked"),
    };
    let view = RigView {
        about: rig.about.clone(),
        checked,
        facts: card.facts(),
        tanks: card.tanks(),
        outlets: rig.outlets.iter().map(|outlet| card.outlet(outlet)).collect(),
        returns: rig
            .returns
            .iter()
            .map(|path| {
                let side = match path.side {
                    FoamSide::BeforeInjection => "side-before",
                    FoamSide::AfterInjection => "side-after",
                };
                (path.title.clone(), desk.label(side))
            })
            .collect(),
        plain: plain_head(desk, rig),
        lines: foam_outlets(rig).map(|outlet| card.line(outlet)).collect(),
    };
    let head = Head {
        title: rig.title.clone(),
        kicker: desk.label("rig-card"),
        side: Side::Crew,
        cautions: ["run-out", "charged-line", "slug-flow"].map(str::to_owned).to_vec(),
        unverified: !rig.verified(),
        kind: "rig",
    };
    desk.render("rig.html", &head, &view)
}

/// Head of the column with a plain line flowing beside.
fn plain_head(desk: &Desk<'_>, rig: &Rig) -> String {
    let plain = rig.outlets.iter().find(|outlet| !outlet.foam);
    plain.map_or_else(
        || desk.label("no-plain-line"),
        |outlet| {
            let blanks =
                [("line", outlet.title.as_str()), ("flow", &outlet.flow.printed())];
            desk.words.say("page.water-with-plain", &blanks)
        },
    )
}

struct Card<'c> {
    desk: &'c Desk<'c>,
    rig: &'c Rig,
}

impl Card<'_> {
    fn facts(&self) -> Vec<(String, String)> {
        let label = |key: &str| self.desk.label(key);
        let unit = &self.rig.proportioner;
        let kind = match unit.kind {
            ProportionerKind::DirectInjection => "kind-direct",
            ProportionerKind::AroundThePump => "kind-around",
            ProportionerKind::BalancedPressure => "kind-balanced",
            ProportionerKind::InLineEductor => "kind-eductor",
        };
        let basis = match unit.basis {
            PercentBasis::Solution => "basis-solution",
            PercentBasis::Water => "basis-water",
        };
        let rating = [
            ("flow", unit.rating.flow.printed()),
            ("pressure", unit.rating.at.printed()),
        ];
        let rating: Vec<(&str, &str)> =
            rating.iter().map(|(k, v)| (*k, v.as_str())).collect();
        let mut facts = vec![
            (label("proportioner"), label(kind)),
            (label("rating"), self.desk.words.say("page.rating-pair", &rating)),
            (label("basis"), label(basis)),
        ];
        if let Some(least) = &unit.least_flow {
            facts.push((label("least-flow"), least.printed()));
        }
        for (class, range) in &unit.classes {
            let presets: Vec<String> =
                range.presets.iter().map(Quantity::printed).collect();
            let class = format!("{class:?}");
            let blanks = [
                ("from", range.from.printed()),
                ("to", range.to.printed()),
                ("presets", presets.join(", ")),
            ];
            let blanks: Vec<(&str, &str)> =
                blanks.iter().map(|(k, v)| (*k, v.as_str())).collect();
            facts.push((
                self.desk.words.say("page.class-percents", &[("class", &class)]),
                self.desk.words.say("page.percent-range", &blanks),
            ));
        }
        match &self.rig.compressor {
            Some(compressor) => facts.push((
                label("compressor"),
                format!(
                    "{}, {}",
                    compressor.air.printed(),
                    compressor.pressure.printed()
                ),
            )),
            None => facts.push((label("compressor"), label("none"))),
        }
        facts
    }

    fn tanks(&self) -> Vec<(String, String, String, String, String)> {
        let dash = || "–".to_owned();
        let tank = |tank: &crate::course::Tank| {
            let holds = tank.concentrate.as_ref().map_or_else(
                || self.desk.label("water"),
                |id| {
                    self.desk
                        .concentrate(id)
                        .map_or_else(|| id.clone(), |c| c.title.clone())
                },
            );
            let warning = tank.warning.as_ref().map_or_else(dash, Quantity::printed);
            (
                tank.title.clone(),
                holds,
                tank.nominal.printed(),
                tank.usable.printed(),
                warning,
            )
        };
        self.rig.tanks.iter().map(tank).collect()
    }

    /// The answer of a formula, or in words why there is none.
    fn answer(&self, formula: &str, answer: Option<&str>, inputs: &Inputs) -> String {
        let library = self.desk.library();
        match library.work(formula, inputs, self.desk.module().units) {
            Ok(worked) => worked
                .answer(answer)
                .map(|answer| answer.text.clone())
                .unwrap_or_default(),
            Err(fault) if fault.key == "unknown-formula" => "–".to_owned(),
            Err(_) => self.desk.label("not-known"),
        }
    }

    fn outlet(&self, outlet: &Outlet) -> OutletView {
        let mut inputs = Inputs::from([
            ("nozzle".to_owned(), Input::Number(outlet.pressure)),
            ("flow".to_owned(), Input::Number(outlet.flow)),
            ("length".to_owned(), Input::Number(outlet.length)),
            ("service-test".to_owned(), Input::Number(outlet.service_test)),
        ]);
        let pump = match outlet.coefficient {
            Some(coefficient) => {
                inputs.insert("coefficient".to_owned(), Input::Number(coefficient));
                self.answer("pump-pressure-limit", Some("pressure"), &inputs)
            }
            None => "–".to_owned(),
        };
        OutletView {
            title: outlet.title.clone(),
            foam: self.desk.label(if outlet.foam { "yes" } else { "no" }),
            hose: outlet.hose.printed(),
            length: outlet.length.printed(),
            nozzle: outlet.nozzle.clone(),
            flow: outlet.flow.printed(),
            pressure: outlet.pressure.printed(),
            pump,
        }
    }

    fn line(&self, outlet: &Outlet) -> LineView {
        let presets =
            self.rig.proportioner.classes.values().flat_map(|range| &range.presets);
        LineView {
            title: outlet.title.clone(),
            rows: presets.map(|percent| self.row(outlet, *percent)).collect(),
            flush: self.flush(outlet),
        }
    }

    fn row(&self, outlet: &Outlet, percent: Quantity) -> RowView {
        let number = |name: &str, q: Quantity| (name.to_owned(), Input::Number(q));
        let basic =
            Inputs::from([number("percent", percent), number("flow", outlet.flow)]);
        let figures = rig_figures(self.rig, Some(outlet), None);
        let concentrate = match self.rig.proportioner.basis {
            PercentBasis::Water => "concentrate-flow-metered",
            PercentBasis::Solution => "concentrate-flow",
        };
        let rated = self.rig.proportioner.rating.flow;
        let largest = Inputs::from([number("rated", rated), number("percent", percent)]);
        let share = Inputs::from([
            number("rated", rated),
            number("percent", percent),
            number("flow", outlet.flow),
        ]);
        let mut endurance =
            Inputs::from([number("percent", percent), number("foam-flow", outlet.flow)]);
        for name in ["foam", "water"] {
            if let Some(volume) = figures.get(name) {
                endurance.insert(name.to_owned(), Input::Number(*volume));
            }
        }
        let mut call = basic.clone();
        if let Some(mark) = figures.get("foam-warning") {
            call.insert("warning".to_owned(), Input::Number(*mark));
        }
        let library = self.desk.library();
        let first = library
            .work("endurance", &endurance, self.desk.module().units)
            .ok()
            .and_then(|worked| worked.verdicts.first().cloned());
        RowView {
            percent: percent.printed(),
            concentrate: self.answer(concentrate, None, &basic),
            share: self.answer("share-of-capacity", None, &share),
            largest: self.answer("largest-flow", None, &largest),
            foam_time: self.answer("endurance", Some("foam-time"), &endurance),
            water_time: self.answer("endurance", Some("water-time"), &endurance),
            plain_time: self.with_plain(&endurance),
            first: first.unwrap_or_default(),
            call: self.answer("warning-time", None, &call),
        }
    }

    /// How long the water lasts with the first plain line of the rig flowing beside.
    fn with_plain(&self, endurance: &Inputs) -> String {
        let Some(plain) = self.rig.outlets.iter().find(|outlet| !outlet.foam) else {
            return "–".to_owned();
        };
        let mut both = endurance.clone();
        both.insert("plain-flow".to_owned(), Input::Number(plain.flow));
        self.answer("endurance", Some("water-time"), &both)
    }

    fn flush(&self, outlet: &Outlet) -> String {
        let mut rows = vec![BTreeMap::from([
            ("bore".to_owned(), outlet.hose),
            ("length".to_owned(), outlet.length),
        ])];
        if let Some(pipe) = &outlet.pipe {
            rows.push(BTreeMap::from([
                ("bore".to_owned(), pipe.bore),
                ("length".to_owned(), pipe.length),
            ]));
        }
        let Ok(volumes) = Quantity::read(VOLUMES) else { return String::new() };
        let inputs = Inputs::from([
            ("sections".to_owned(), Input::Rows(rows)),
            ("flow".to_owned(), Input::Number(outlet.flow)),
            ("volumes".to_owned(), Input::Number(volumes)),
        ]);
        let answer = |name| self.answer("flush-time", Some(name), &inputs);
        self.desk.words.say(
            "page.flush-line",
            &[
                ("volume", &answer("volume")),
                ("volumes", VOLUMES),
                ("water", &answer("water")),
                ("time", &answer("time")),
                ("flow", &outlet.flow.printed()),
            ],
        )
    }
}
