//! A rig card: what the plate says, and figures per foam line from the formula library.

use serde::Serialize;

use super::card::Card;
use super::desk::Desk;
use super::drawing::{Drawing, flow_path, minutes_bars, tanks, usual_percent};
use super::fault::PublishFault;
use super::frame::{Head, Side};
use crate::course::{
    CardFor, FoamSide, Outlet, PercentBasis, ProportionerKind, foam_outlets,
};
use crate::quantity::Quantity;

#[derive(Serialize)]
struct RigView {
    about: String,
    checked: String,
    facts: Vec<(String, String)>,
    tanks: Vec<[String; 5]>,
    outlet_heads: Vec<String>,
    outlets: Vec<OutletView>,
    returns: Vec<(String, String)>,
    heads: Vec<String>,
    lines: Vec<LineView>,
    flow: Drawing,
    minutes: Option<Drawing>,
    tank_drawing: Drawing,
}

#[derive(Serialize)]
struct OutletView {
    title: String,
    foam: String,
    hose: String,
    length: String,
    nozzle: String,
    flow: String,
    worked: Vec<String>,
}

#[derive(Serialize)]
struct LineView {
    title: String,
    rows: Vec<RowView>,
    told: Vec<String>,
}

#[derive(Serialize)]
struct RowView {
    percent: String,
    values: Vec<String>,
    told: Vec<String>,
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
        facts: card.facts().into_iter().chain(card.plate()).collect(),
        tanks: card.tanks(),
        outlet_heads: card.lines(CardFor::Outlet).map(|line| card.head(line)).collect(),
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
        heads: card.lines(CardFor::Preset).map(|line| card.head(line)).collect(),
        lines: foam_outlets(rig).map(|outlet| card.line(outlet)).collect(),
        flow: flow_path(card),
        minutes: usual_percent(card).and_then(|percent| minutes_bars(card, percent)),
        tank_drawing: tanks(card),
    };
    let head = Head {
        title: rig.title.clone(),
        kicker: desk.label("rig-card"),
        form: desk.words.say("page.form.rig", &[("rig", &desk.code(id))]),
        side: Side::Crew,
        cautions: desk.cards().cautions.clone(),
        unverified: !rig.verified(),
        kind: "rig",
        ..Head::default()
    };
    desk.render("rig.html", &head, &view)
}

impl Card<'_> {
    fn facts(self) -> Vec<(String, String)> {
        // words: page.{label(..)}
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
            PercentBasis::NotKnown => "not-known",
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

    fn tanks(self) -> Vec<[String; 5]> {
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
            [
                tank.title.clone(),
                holds,
                tank.nominal.printed(),
                tank.usable.printed(),
                warning,
            ]
        };
        self.rig.tanks.iter().map(tank).collect()
    }

    fn outlet(self, outlet: &Outlet) -> OutletView {
        let lines = self.lines(CardFor::Outlet);
        OutletView {
            title: outlet.title.clone(),
            foam: self.desk.label(if outlet.foam { "yes" } else { "no" }),
            hose: outlet.hose.printed(),
            length: outlet.length.printed(),
            nozzle: outlet.nozzle.clone(),
            flow: outlet.flow.printed(),
            worked: lines.map(|line| self.value(line, outlet, None)).collect(),
        }
    }

    fn line(self, outlet: &Outlet) -> LineView {
        let presets =
            self.rig.proportioner.classes.values().flat_map(|range| &range.presets);
        let told =
            self.lines(CardFor::Line).map(|line| self.sentence(line, outlet, None));
        LineView {
            title: outlet.title.clone(),
            rows: presets.map(|percent| self.row(outlet, *percent)).collect(),
            told: told.collect(),
        }
    }

    fn row(self, outlet: &Outlet, percent: Quantity) -> RowView {
        let value = |line| self.value(line, outlet, Some(percent));
        RowView {
            percent: percent.printed(),
            values: self.lines(CardFor::Preset).map(value).collect(),
            told: self
                .lines(CardFor::Row)
                .map(|line| self.meant(line, outlet, percent))
                .collect(),
        }
    }
}
