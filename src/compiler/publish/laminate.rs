//! The figures of a rig card on paper: all lines in one table, because the card is one side that
//! is laminated and kept in the rig. Each figure is the card's own, as the screen prints it; what
//! is equal for all presets, or for all lines, stands once.

use serde::Serialize;

use super::card::{Card, DASH, PUMP_PRESSURE, Preset};
use crate::course::{CardFor, CardLine, Outlet, foam_outlets};

/// So many foam lines stand on one side with the drawings. With more, the figures would be too
/// small for gloves and daylight, and stand on a second side.
const ON_ONE_SIDE: usize = 6;

#[derive(Serialize)]
pub(super) struct PaperView {
    /// Heads of the columns that each preset has.
    heads: Vec<String>,
    /// Head above the gauge levels at which to call; empty where the card cannot say them.
    call: String,
    lines: Vec<PaperLine>,
    plain: Vec<PaperOutlet>,
    /// Sentences that hold for every line.
    told: Vec<String>,
    /// Whether the figures stand on a side of their own.
    apart: bool,
}

#[derive(Serialize)]
struct PaperOutlet {
    title: String,
    /// Hose and its length.
    layout: String,
    nozzle: String,
    flow: String,
    set: String,
}

#[derive(Serialize)]
struct PaperLine {
    outlet: PaperOutlet,
    rows: Vec<PaperRow>,
    /// Rows of the table that the line takes.
    span: usize,
    /// What stands beside the figures, in few words.
    short: Vec<String>,
    /// What stands below them.
    told: Vec<String>,
}

#[derive(Serialize)]
struct PaperRow {
    percent: String,
    values: Vec<String>,
    left: String,
    call: Vec<String>,
}

/// The answers of the call that are read off a gauge.
const GAUGES: [&str; 2] = ["water-level", "foam-level"];

impl Card<'_> {
    pub(super) fn on_paper(self, presets: &[Preset]) -> PaperView {
        let way = self.rig.withdrawal.map(|way| way.printed());
        // What is called by is a gauge of the water tank first of all.
        let call = way.filter(|_| self.rig.water_tank().is_some()).map(|way| {
            self.desk.words.say("page.laminate.call", &[("withdrawal", &way)])
        });
        let outlets: Vec<&Outlet> = foam_outlets(self.rig).collect();
        let mut lines: Vec<PaperLine> = outlets
            .iter()
            .map(|outlet| self.paper_line(outlet, presets, call.is_some()))
            .collect();
        let told = shared(&mut lines);
        let plain = self.rig.outlets.iter().filter(|outlet| !outlet.foam);
        PaperView {
            heads: self.lines(CardFor::Preset).map(|line| self.head(line)).collect(),
            call: call.unwrap_or_default(),
            apart: lines.len() > ON_ONE_SIDE,
            lines,
            plain: plain.map(|outlet| self.paper_outlet(outlet)).collect(),
            told,
        }
    }

    fn paper_outlet(self, outlet: &Outlet) -> PaperOutlet {
        let length = outlet.length.map(|length| length.printed());
        let hose = outlet.hose.map(|hose| hose.printed());
        let layout: Vec<String> = [hose, length].into_iter().flatten().collect();
        PaperOutlet {
            title: outlet.title.clone(),
            layout: layout.join(", "),
            nozzle: outlet.nozzle.clone(),
            flow: outlet.flow.printed(),
            set: self
                .lines(CardFor::Outlet)
                .find(|line| line.id == PUMP_PRESSURE)
                .map_or_else(|| DASH.to_owned(), |line| self.value(line, outlet, None)),
        }
    }

    fn paper_line(self, outlet: &Outlet, presets: &[Preset], call: bool) -> PaperLine {
        let sentences = self.lines(CardFor::Line);
        let (mut short, mut told) = (Vec::new(), Vec::new());
        for line in sentences {
            match self.short(line, outlet) {
                Some(words) => short.push(words),
                None => told.push(self.sentence(line, outlet, None)),
            }
        }
        let notes = presets.iter().flat_map(|&preset| {
            let percent = self.preset(preset);
            let each = move |line| self.notes(line, outlet, preset);
            let notes = self.lines(CardFor::Row).flat_map(each);
            let notes = notes.filter(|note| !note.is_empty());
            let notes = notes.chain(self.unheld(outlet, preset));
            notes.map(move |note| (note, percent.clone()))
        });
        // Equal notes of several presets stand once, with their percents: on
        // one side there is no room for each.
        let mut grouped: Vec<(String, Vec<String>)> = Vec::new();
        for (note, percent) in notes {
            match grouped.iter_mut().find(|(known, _)| *known == note) {
                Some((_, of)) => of.push(percent),
                None => grouped.push((note, vec![percent])),
            }
        }
        told.extend(grouped.into_iter().map(|(note, of)| {
            // What holds at each preset needs no percents.
            if of.len() == presets.len() {
                note
            } else {
                let of = of.join(", ");
                let blanks = [("percents", of.as_str()), ("note", &note)];
                self.desk.words.say("page.laminate.only-at", &blanks)
            }
        }));
        PaperLine {
            outlet: self.paper_outlet(outlet),
            span: presets.len(),
            short,
            rows: presets
                .iter()
                .map(|&preset| self.paper_row(outlet, preset, call))
                .collect(),
            told,
        }
    }

    fn paper_row(self, outlet: &Outlet, preset: Preset, call: bool) -> PaperRow {
        let answer = |id: &str, answer| self.answer(id, answer, (outlet, preset));
        let known =
            |text: Option<String>| text.unwrap_or_else(|| self.desk.label("not-known"));
        let gauges = GAUGES.iter().filter(|_| call);
        PaperRow {
            percent: self.preset(preset),
            values: self
                .lines(CardFor::Preset)
                .map(|line| self.value(line, outlet, Some(preset)))
                .collect(),
            left: known(answer("left", Some("time"))),
            call: gauges.map(|gauge| known(answer("call-out", Some(gauge)))).collect(),
        }
    }

    /// What a row says beyond its figures: the formula's verdicts, or the whole sentence where it
    /// has no figure for a column.
    fn notes(self, line: &CardLine, outlet: &Outlet, preset: Preset) -> Vec<String> {
        // Minutes and call have columns of their own, so only what their
        // formula warns of is still to be told.
        let in_columns = ["left", "call-out"].contains(&line.id.as_str());
        match self.said(line, outlet, preset) {
            Some(said) if in_columns => said,
            _ => vec![self.meant(line, outlet, preset)],
        }
    }
}

/// Takes out what every line says, so that it stands once below them.
fn shared(lines: &mut [PaperLine]) -> Vec<String> {
    let Some((first, rest)) = lines.split_first() else { return Vec::new() };
    let of_all = |told: &&String| rest.iter().all(|line| line.told.contains(told));
    let found: Vec<String> = first.told.iter().filter(of_all).cloned().collect();
    for line in lines {
        line.told.retain(|told| !found.contains(told));
        line.span += usize::from(!line.told.is_empty());
    }
    found
}
