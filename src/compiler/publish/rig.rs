//! A rig card: what the plate says, and figures per foam line from the formula library.

use serde::Serialize;

use super::card::{Card, PUMP_PRESSURE, Preset};
use super::desk::Desk;
use super::drawing::{Drawing, flow_path, minutes_bars, tanks, usual_preset};
use super::fault::PublishFault;
use super::frame::{Head, Side};
use super::known::placed;
use super::laminate::PaperView;
use crate::course::{
    CardFor, Eductor, FoamSide, Outlet, ProportionerKind, Reckoning, foam_outlets,
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
    foams: bool,
    paper: PaperView,
    eductor_heads: Vec<String>,
    eductors: Vec<EductorView>,
}

#[derive(Serialize)]
struct EductorView {
    title: String,
    on: String,
    from: String,
    settings: String,
    pick_up: String,
    worked: Vec<String>,
    told: Vec<String>,
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
    /// Flow and nozzle.
    about: String,
    /// What the pump is set to; empty where nobody can work it out.
    set: String,
    rows: Vec<RowView>,
    told: Vec<String>,
}

#[derive(Serialize)]
struct RowView {
    percent: String,
    values: Vec<String>,
    told: Vec<String>,
}

/// A figure, or a dash where the thing is not there.
fn there(figure: Option<&Quantity>) -> String {
    figure.map_or_else(|| super::card::DASH.to_owned(), Quantity::printed)
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
        // A place without figures: "not checked" would ask for what nobody can do.
        None if rig.verified() => desk.label("nothing-to-check"),
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
        minutes: usual_preset(card).and_then(|preset| minutes_bars(card, preset)),
        tank_drawing: tanks(card),
        foams: rig.foams(),
        paper: card.on_paper(&card.presets()),
        eductor_heads: card.lines(CardFor::Eductor).map(|line| card.head(line)).collect(),
        eductors: rig.eductors.iter().map(|one| card.eductor_view(one)).collect(),
    };
    // A caution of what the rig does not have would teach to pass cautions over.
    let of_rig = |id: &&String| {
        let needs = desk.caution(id).and_then(|caution| caution.needs.as_ref());
        needs.is_none_or(|needs| crate::course::has(rig, needs))
    };
    let head = Head {
        title: rig.title.clone(),
        kicker: desk.label("rig-card"),
        form: desk.words.say("page.form.rig", &[("rig", &desk.code(id))]),
        side: Side::Crew,
        cautions: desk.cards().cautions.iter().filter(of_rig).cloned().collect(),
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
        // A rig that makes no foam has no row that speaks of it.
        let Some(unit) = &self.rig.proportioner else { return Vec::new() };
        let kind = match unit.kind {
            ProportionerKind::DirectInjection => "kind-direct",
            ProportionerKind::AroundThePump => "kind-around",
            ProportionerKind::BalancedPressure => "kind-balanced",
            ProportionerKind::InLineEductor => "kind-eductor",
        };
        let basis = match self.rig.basis() {
            Some(Reckoning::Solution) => "basis-solution",
            Some(Reckoning::Water) => "basis-water",
            Some(Reckoning::AtNozzle) => "basis-nozzle",
            Some(Reckoning::NotKnown) | None => "not-known",
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
            // Told as well: nobody should have to conclude from
            // a gap that there is no air.
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
            hose: there(outlet.hose.as_ref()),
            length: there(outlet.length.as_ref()),
            nozzle: outlet.nozzle.clone(),
            flow: outlet.flow.printed(),
            worked: lines.map(|line| self.value(line, outlet, None)).collect(),
        }
    }

    /// An eductor with the line that it is on: whether that layout draws foam at all is said by the
    /// formula, not left to whoever reads two columns against each other.
    fn eductor_view(self, eductor: &Eductor) -> EductorView {
        let on = eductor.outlet.as_ref().and_then(|id| self.rig.outlet(id));
        let tank = |id: &String| self.rig.tanks.iter().find(|tank| tank.id == *id);
        let from = eductor.tank.as_ref().and_then(tank);
        let settings: Vec<String> =
            eductor.settings.iter().map(Quantity::printed).collect();
        let blanks =
            [("flow", eductor.flow.printed()), ("inlet", eductor.inlet.printed())];
        let blanks: Vec<(&str, &str)> =
            blanks.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let columns = self.lines(CardFor::Eductor);
        let layouts = |placed: &Eductor| -> Vec<String> {
            self.lines(CardFor::Layout).map(|line| self.layout(line, placed)).collect()
        };
        // One that has no place of its own is told of on each line that it may be put into.
        let told = if on.is_some() {
            layouts(eductor)
        } else {
            let may = |outlet: &&Outlet| {
                self.eductors_on(outlet).iter().any(|one| one.id == eductor.id)
            };
            let each = foam_outlets(self.rig).filter(may).flat_map(|outlet| {
                layouts(&placed(eductor, outlet)).into_iter().map(|told| {
                    let blanks = [("line", outlet.title.as_str()), ("told", &told)];
                    self.desk.words.say("page.layout-on", &blanks)
                })
            });
            each.collect()
        };
        EductorView {
            title: self.desk.words.say("page.eductor-of", &blanks),
            on: on.map_or_else(|| self.desk.label("any-line"), |on| on.title.clone()),
            from: from.map_or_else(
                || self.desk.label("from-containers"),
                |tank| tank.title.clone(),
            ),
            settings: if settings.is_empty() {
                self.desk.label("not-known")
            } else {
                settings.join(", ")
            },
            pick_up: eductor
                .pick_up
                .as_ref()
                .map_or_else(|| self.desk.label("not-known"), Quantity::printed),
            worked: columns.map(|line| self.eductor(line, eductor)).collect(),
            told,
        }
    }

    /// All presets of the panel, class by class, and tank by tank where they are not alike.
    fn presets(self) -> Vec<Preset> {
        let each = self.rig.classes().flat_map(|(class, range)| {
            self.tanks_of(class).into_iter().flat_map(move |tank| {
                let all = range.presets.iter();
                all.map(move |&percent| Preset { class, percent, tank })
            })
        });
        each.collect()
    }

    fn line(self, outlet: &Outlet) -> LineView {
        let told =
            self.lines(CardFor::Line).map(|line| self.sentence(line, outlet, None));
        // Only a figure is something to set; a dash and a sentence are not.
        let pressure = self
            .lines(CardFor::Outlet)
            .find(|line| line.id == PUMP_PRESSURE)
            .map(|line| self.value(line, outlet, None))
            .filter(|value| value.starts_with(|c: char| c.is_ascii_digit()));
        let blanks = [("flow", outlet.flow.printed()), ("nozzle", outlet.nozzle.clone())];
        let blanks: Vec<(&str, &str)> =
            blanks.iter().map(|(k, v)| (*k, v.as_str())).collect();
        LineView {
            about: self.desk.words.say("page.line-about", &blanks),
            set: pressure
                .map(|value| {
                    self.desk.words.say("page.set-pump", &[("pressure", &value)])
                })
                .unwrap_or_default(),
            title: outlet.title.clone(),
            rows: self
                .presets()
                .into_iter()
                .map(|preset| self.row(outlet, preset))
                .collect(),
            told: told.collect(),
        }
    }

    fn row(self, outlet: &Outlet, preset: Preset) -> RowView {
        let value = |line| self.value(line, outlet, Some(preset));
        RowView {
            percent: self.preset(preset),
            values: self.lines(CardFor::Preset).map(value).collect(),
            told: self
                .lines(CardFor::Row)
                .map(|line| self.meant(line, outlet, preset))
                .filter(|told| !told.is_empty())
                .chain(self.unheld(outlet, preset))
                .collect(),
        }
    }
}
