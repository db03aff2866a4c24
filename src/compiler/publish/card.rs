//! The worked figures of a rig card, as `content/trade/cards.yaml` lists them.

use super::desk::Desk;
use crate::course::{
    Bind, CardFor, CardLine, Eductor, Feed, Figures, FoamClass, Names, Outlet,
    ProportionerKind, Rig, Tank, WhichFoam, bound, differing_tanks, eductor_figures,
    formula_for, inputs, rig_figures,
};
use crate::formulas::{GivenKind, Input, Inputs, WorkFault, Worked};
use crate::quantity::Quantity;
use crate::words::fill;

/// What stands where there is nothing to work out.
pub(super) const DASH: &str = "–";

/// The line of a card that says what the pump is set to.
pub(super) const PUMP_PRESSURE: &str = "pump-pressure";

/// The card of one rig.
#[derive(Clone, Copy)]
pub(super) struct Card<'c> {
    pub(super) desk: &'c Desk<'c>,
    pub(super) rig: &'c Rig,
}

/// A percent of the panel, with the class of foam that it is for: the tank is of that class too.
#[derive(Clone, Copy)]
pub(super) struct Preset {
    pub(super) class: FoamClass,
    pub(super) percent: Quantity,
    /// Place of the tank on the rig, where the class has several that are not alike.
    pub(super) tank: Option<usize>,
}

/// What one line of the card is worked out with: the outlet, and a preset of the panel.
pub(super) struct At<'c> {
    card: Card<'c>,
    pub(super) figures: Figures,
    percent: Option<Quantity>,
}

impl Names for At<'_> {
    fn number(&self, name: &str) -> Option<Quantity> {
        match name {
            "percent" => self.percent,
            "plain-flow" => self.card.plain().map(|outlet| outlet.flow),
            _ => {
                let mut known = self.card.desk.library().constants().iter();
                known.find(|constant| constant.id == name).map(|known| known.value)
            }
        }
    }

    fn word(&self, _: &str) -> Option<String> {
        None
    }
}

impl<'c> Card<'c> {
    /// The lines of one sort that are for this rig.
    pub(super) fn lines(self, each: CardFor) -> impl Iterator<Item = &'c CardLine> {
        let all = self.desk.cards().lines.iter();
        all.filter(move |line| line.each == each)
    }

    /// The formula of a line on this rig.
    fn formula(self, feed: &'c Feed) -> &'c str {
        formula_for(self.desk.bases(), &feed.formula, self.rig.basis())
    }

    fn tank(self, preset: Preset) -> Option<&'c Tank> {
        preset.tank.and_then(|place| self.rig.tanks.get(place))
    }

    /// That nobody knows whether a preset is held at the flow of a line, where that flow lies outside
    /// what was looked up for the percent.
    pub(super) fn unheld(self, outlet: &Outlet, preset: Preset) -> Option<String> {
        let unit = self.rig.proportioner.as_ref()?;
        let own = self.rig.tanks_of(preset.class).into_iter().next();
        let tank = self.tank(preset).or(own);
        let product = tank.and_then(|tank| tank.concentrate.as_deref());
        let held = unit.capacity(&preset.percent, product)?;
        let edge = |edge: Option<Quantity>| {
            edge.map_or_else(|| self.desk.label("not-known"), |edge| edge.printed())
        };
        let blanks = [
            ("percent", preset.percent.printed()),
            ("flow", outlet.flow.printed()),
            ("least", edge(held.least)),
            ("most", edge(held.most)),
        ];
        let blanks: Vec<(&str, &str)> =
            blanks.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let outside = held.is_outside(&outlet.flow);
        outside.then(|| self.desk.words.say("page.not-held", &blanks))
    }

    /// The tanks between which a row of the card has to say whose it is: those of a class, where
    /// they are not alike. One of none where there is nothing to say.
    pub(super) fn tanks_of(self, class: FoamClass) -> Vec<Option<usize>> {
        let names = ["foam", "foam-warning", "foam-dead", "foam-mark"];
        let differ = |name: &&str| !differing_tanks(self.rig, class, name).is_empty();
        if !names.iter().any(differ) {
            return vec![None];
        }
        let own = self.rig.tanks_of(class);
        let places = self.rig.tanks.iter().enumerate();
        let of = |(_, tank): &(usize, &Tank)| own.iter().any(|one| one.id == tank.id);
        places.filter(of).map(|(place, _)| Some(place)).collect()
    }

    /// A preset as it is printed: with its tank or class where there are two.
    pub(super) fn preset(self, preset: Preset) -> String {
        let percent = preset.percent.printed();
        if let Some(tank) = self.tank(preset) {
            let blanks = [("percent", percent.as_str()), ("tank", &tank.title)];
            return self.desk.words.say("page.preset-tank", &blanks);
        }
        // With one class there is nothing to tell apart: a word more would not help, and the panel itself names none.
        if self.rig.classes().count() < 2 {
            return percent;
        }
        let key = match preset.class {
            FoamClass::A => "page.preset-a",
            FoamClass::B => "page.preset-b",
        };
        self.desk.words.say(key, &[("percent", &percent)])
    }

    /// The first line of the rig without foam: it empties the same tank.
    pub(super) fn plain(self) -> Option<&'c Outlet> {
        self.rig.outlets.iter().find(|outlet| !outlet.foam)
    }

    /// Head of a column.
    pub(super) fn head(self, line: &CardLine) -> String {
        let at = self.at(None, None);
        match (&line.instead, line.needs.as_ref().is_some_and(|bind| at.lacks(bind))) {
            (Some(instead), true) => instead.clone(),
            _ => {
                let plain =
                    self.plain().map(|plain| (&plain.title, plain.flow.printed()));
                let (title, flow) = plain.unzip();
                let (title, flow) = (title.cloned(), flow);
                let blanks = [
                    ("line", title.as_deref().unwrap_or_default()),
                    ("plain-flow", flow.as_deref().unwrap_or_default()),
                ];
                fill(&line.label, &blanks)
            }
        }
    }

    /// The answer of a line, or why there is none.
    pub(super) fn value(
        self,
        line: &CardLine,
        outlet: &Outlet,
        preset: Option<Preset>,
    ) -> String {
        if line.id == PUMP_PRESSURE
            && let Some(inlet) = self.inlet(outlet)
        {
            return inlet;
        }
        // What is not drawn has no figures.
        if preset.is_some() && self.draws_none(outlet) {
            return DASH.to_owned();
        }
        self.value_at(line, &self.at(Some(outlet), preset))
    }

    /// The eductors on the line of an outlet: those that are said to be there, and on a rig
    /// that makes foam in the hose those without a place on every foam line without one.
    pub(super) fn eductors_on(self, outlet: &Outlet) -> Vec<&'c Eductor> {
        let all = &self.rig.eductors;
        let on = |eductor: &&Eductor| eductor.outlet.as_ref() == Some(&outlet.id);
        let own: Vec<&'c Eductor> = all.iter().filter(on).collect();
        let kind = self.rig.proportioner.as_ref().map(|unit| unit.kind);
        let in_hose = kind.is_none_or(|kind| kind == ProportionerKind::InLineEductor);
        if own.is_empty() && outlet.foam && in_hose {
            return all.iter().filter(|eductor| eductor.outlet.is_none()).collect();
        }
        own
    }

    /// What the pump is set to for a line that an eductor feeds at the pump: the pressure of its
    /// model, whatever hose and nozzle behind it need. A dash where several models may be meant that
    /// want another one each. Nothing on a line without an eductor.
    pub(super) fn inlet(self, outlet: &Outlet) -> Option<String> {
        let eductors = self.eductors_on(outlet);
        let first = eductors.first()?.inlet;
        let alike = eductors.iter().all(|one| one.inlet.base() == first.base());
        Some(if alike { first.printed() } else { DASH.to_owned() })
    }

    fn value_at(self, line: &CardLine, at: &At<'c>) -> String {
        if line.needs.as_ref().is_some_and(|bind| at.lacks(bind)) {
            return DASH.to_owned();
        }
        self.told(at.worked(&line.feed).as_ref(), line.feed.answer.as_deref())
    }

    /// The columns of an eductor, worked on the line that it is on.
    pub(super) fn eductor(self, line: &CardLine, eductor: &Eductor) -> String {
        self.value_at(line, &self.on(eductor))
    }

    /// A sentence for an eductor, with all that the formula says of its layout.
    pub(super) fn layout(self, line: &CardLine, eductor: &Eductor) -> String {
        self.meant_at(line, &self.on(eductor))
    }

    pub(super) fn on(self, eductor: &Eductor) -> At<'c> {
        At { card: self, figures: eductor_figures(self.rig, eductor), percent: None }
    }

    /// A sentence for a preset, with all that the formula says of the result.
    pub(super) fn meant(
        self,
        line: &CardLine,
        outlet: &Outlet,
        preset: Preset,
    ) -> String {
        // Minutes and calls of a foam that is not drawn would be read as if it were; once is enough.
        if self.draws_none(outlet) {
            let first = self.lines(CardFor::Row).next();
            let said = first.filter(|first| first.id == line.id);
            return said.map_or_else(String::new, |_| self.desk.label("draws-none"));
        }
        self.meant_at(line, &self.at(Some(outlet), Some(preset)))
    }

    fn meant_at(self, line: &CardLine, at: &At<'c>) -> String {
        if line.needs.as_ref().is_some_and(|bind| at.lacks(bind)) {
            return line.instead.clone().unwrap_or_default();
        }
        if line.only.as_ref().is_some_and(|bind| at.lacks(bind)) {
            return String::new();
        }
        let verdicts = match at.worked(&line.feed) {
            Some(Ok(worked)) => self.verdicts(line, at, &worked),
            // No formula could be chosen, because nobody knows the basis of the rig.
            Some(Err(fault)) if fault.key == "unknown-formula" => {
                return self.basis_not_known();
            }
            // What the formula refuses is said in its own words: a blank would read as nothing wrong.
            Some(Err(fault)) => vec![fault.say(self.desk.words)],
            None => Vec::new(),
        };
        let said = std::iter::once(self.sentence_at(line, &line.label, at));
        said.chain(verdicts).collect::<Vec<_>>().join(" ")
    }

    /// A sentence with the answers of its formula and what the formula was fed with.
    pub(super) fn sentence(
        self,
        line: &CardLine,
        outlet: &Outlet,
        preset: Option<Preset>,
    ) -> String {
        self.sentence_at(line, &line.label, &self.at(Some(outlet), preset))
    }

    /// A sentence in few words; nothing where it has none.
    pub(super) fn short(self, line: &CardLine, outlet: &Outlet) -> Option<String> {
        let short = line.short.as_ref()?;
        Some(self.sentence_at(line, short, &self.at(Some(outlet), None)))
    }

    fn sentence_at(self, line: &CardLine, text: &str, at: &At<'c>) -> String {
        let worked = at.worked(&line.feed);
        let formula = self.desk.library().formula(self.formula(&line.feed));
        if formula.is_none() {
            return self.basis_not_known();
        }
        let answers =
            formula.map(|formula| formula.answers.as_slice()).unwrap_or_default();
        let answers = answers.iter().map(|answer| {
            let name = answer.name.as_str();
            let told = || self.told(worked.as_ref(), Some(name));
            let known = line.rests.get(name).is_none_or(|bind| !at.lacks(bind));
            (name, if known { told() } else { self.desk.label("not-known") })
        });
        let fed = line.feed.with.iter().filter_map(|(given, bind)| {
            Some((given.as_str(), bound(bind, &at.figures, at).ok()?.printed()))
        });
        let blanks: Vec<(&str, String)> = answers.chain(fed).collect();
        let blanks: Vec<(&str, &str)> =
            blanks.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let open = line.rests.values().any(|bind| at.lacks(bind));
        let unknown = line.unknown.as_deref().filter(|_| open);
        fill(unknown.unwrap_or(text), &blanks)
    }

    /// In the place of what hangs on a basis that nobody has looked up.
    fn basis_not_known(self) -> String {
        let blanks = [("rig", self.rig.title.as_str())];
        self.desk.words.say("scoring.basis-not-known", &blanks)
    }

    /// A line of the card by its name, worked; nothing where the card lacks a figure for it, or
    /// where the formula has no answer.
    pub(super) fn figure(
        self,
        id: &str,
        outlet: &Outlet,
        preset: Option<Preset>,
    ) -> Option<(&'c CardLine, Worked)> {
        let line = self.desk.cards().lines.iter().find(|line| line.id == id)?;
        let at = self.at(Some(outlet), preset);
        if preset.is_some() && self.draws_none(outlet) {
            return None;
        }
        if line.needs.as_ref().is_some_and(|bind| at.lacks(bind)) {
            return None;
        }
        Some((line, at.worked(&line.feed)?.ok()?))
    }

    pub(super) fn at(self, outlet: Option<&Outlet>, preset: Option<Preset>) -> At<'c> {
        let tank = preset.and_then(|preset| self.tank(preset));
        let of = WhichFoam::of(preset.map(|preset| preset.class));
        // A tank that is named goes before its class: two of one class may differ.
        let foam = tank.map_or(of, |tank| WhichFoam::Tank(&tank.id));
        let figures = rig_figures(self.rig, outlet, foam);
        At { card: self, figures, percent: preset.map(|preset| preset.percent) }
    }

    fn told(
        self,
        worked: Option<&Result<Worked, WorkFault>>,
        answer: Option<&str>,
    ) -> String {
        match worked {
            Some(Ok(worked)) => worked
                .answer(answer)
                .map(|answer| answer.text.clone())
                .unwrap_or_default(),
            // A formula with a fault of its own is told where it stands.
            Some(Err(fault)) if fault.key == "unknown-formula" => DASH.to_owned(),
            Some(Err(_)) | None => self.desk.label("not-known"),
        }
    }
}

impl At<'_> {
    pub(super) fn lacks(&self, bind: &Bind) -> bool {
        bound(bind, &self.figures, self).is_err()
    }

    /// The formula worked; nothing where the rig's card lacks a figure that it is fed with.
    pub(super) fn worked(&self, feed: &Feed) -> Option<Result<Worked, WorkFault>> {
        let desk = self.card.desk;
        let mut given: Inputs = Inputs::new();
        let formula = formula_for(desk.bases(), &feed.formula, self.card.rig.basis());
        let defaults = desk.library().formula(formula);
        // Where the card has no figure for it, a given with a value of
        // its own is left to the formula.
        let defaults = |name: &str| {
            let mut givens = defaults.into_iter().flat_map(|formula| &formula.givens);
            givens.any(|given| {
                let has =
                    matches!(&given.kind, GivenKind::Number { default: Some(_), .. });
                has && given.name == name
            })
        };
        // All but the lists, which are taken row by row.
        let mut plain = Feed { with: std::collections::BTreeMap::new(), ..feed.clone() };
        for (name, bind) in &feed.with {
            // An outlet without piping of its own has one section less.
            if let Bind::Rows(rows) = bind {
                let row = |row: &std::collections::BTreeMap<String, Bind>| {
                    let cell = |(column, bind): (&String, &Bind)| {
                        Some((column.clone(), bound(bind, &self.figures, self).ok()?))
                    };
                    row.iter().map(cell).collect()
                };
                let rows = rows.iter().filter_map(row).collect();
                given.insert(name.clone(), Input::Rows(rows));
            } else if !(self.lacks(bind) && defaults(name)) {
                plain.with.insert(name.clone(), bind.clone());
            }
        }
        given.extend(inputs(&plain, &self.figures, self).ok()?);
        Some(desk.library().work(formula, &given, desk.module().units))
    }
}
