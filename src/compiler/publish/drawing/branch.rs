//! What leaves the trunk: outlets to the right, ways back to the tank to the left.

use super::super::card::{DASH, PUMP_PRESSURE};
use super::canvas::{Anchor, Filled};
use super::path::{EDGE, LANE, LEFT, Path, RIGHT, TRUNK, unit};
use super::widths::{Face, LEADING};
use crate::course::{Meter, MeterCounts, Outlet, ReturnPath};

/// The closed end of an outlet, by its place on the rig. Ten, because a style names each of them, and
/// no card has more foam lines that stand on one drawing; of any further one words alone tell.
const PLACES: [&str; 10] = [
    "solid o0", "solid o1", "solid o2", "solid o3", "solid o4", "solid o5", "solid o6",
    "solid o7", "solid o8", "solid o9",
];

/// How a branch leaves the trunk.
#[derive(Debug, Clone, Copy)]
pub(super) struct Joint {
    /// Whether foam comes with it.
    pub(super) foam: bool,
}

impl Joint {
    pub(super) const fn filled(self) -> Filled {
        if self.foam { Filled::Foam } else { Filled::Water }
    }
}

impl Path<'_> {
    /// An outlet with its name, its flow, the pressure to set, and what is said of air.
    pub(super) fn outlet(&mut self, outlet: &Outlet, joint: Joint) {
        let wide = EDGE - RIGHT;
        let names = Face::Name.lines(&outlet.title, wide);
        let notes = Face::Note.all(&self.notes(outlet), wide);
        let y = (self.clear + 14).max(self.right + 18);
        self.canvas.pipe(&format!("M{TRUNK} {y}H{}", RIGHT - 11), joint.filled());
        // Its place on the rig, so that a page can show which one is in use.
        let at = self.card.rig.outlets.iter().position(|one| one.id == outlet.id);
        let class = at.and_then(|at| PLACES.get(at)).copied().unwrap_or("solid");
        self.canvas.rect(class, [RIGHT - 12, y - 10, 6, 20]);
        self.outlet_meter(outlet, y);
        let next = self.canvas.lines(Face::Name, Anchor::Start, [RIGHT, y - 1], &names);
        let next = self.canvas.lines(Face::Note, Anchor::Start, [RIGHT, next], &notes);
        self.right = (next - LEADING + 5).max(y + 12);
        self.last = self.last.max(y);
        let key =
            if outlet.foam { "drawing.flow.foam-outlet" } else { "drawing.flow.outlet" };
        self.tell(self.words().say(key, &[("line", &outlet.title)]));
        self.eductor(outlet, y);
    }

    /// Flow and pressure as the card has them. On a line with air the pressure for plain water
    /// is told as such, because it may shut the air out; air has a setting of its own.
    fn notes(&self, outlet: &Outlet) -> Vec<String> {
        let words = self.words();
        let flow = outlet.flow.printed();
        let worked = || {
            let (line, worked) = self.card.figure(PUMP_PRESSURE, outlet, None)?;
            Some(worked.answer(line.feed.answer.as_deref())?.text.clone())
        };
        // Where an eductor is fed at the pump its model says what is set there.
        let inlet = self.card.inlet(outlet);
        let pressure =
            inlet.map_or_else(worked, |inlet| Some(inlet).filter(|at| at != DASH));
        let mut notes = vec![match &pressure {
            Some(pressure) => {
                let blanks = [("flow", flow.as_str()), ("pressure", pressure)];
                if outlet.air {
                    words.say("drawing.flow.at-water", &blanks)
                } else {
                    words.say("drawing.flow.at", &blanks)
                }
            }
            None => flow,
        }];
        if outlet.air {
            notes.push(match &outlet.air_settings {
                Some(set) => {
                    words.say("drawing.flow.air-at", &[("pump", &set.pump.printed())])
                }
                None => words.get("drawing.flow.air-manual"),
            });
        }
        notes
    }

    /// A meter of its own, where the card says that each outlet has one.
    fn outlet_meter(&mut self, outlet: &Outlet, y: i64) {
        let own = |unit: &&crate::course::Proportioner| {
            unit.meter_counts == MeterCounts::EachOutlet
                && matches!(unit.meter, Meter::AfterInjection | Meter::BeforeInjection)
        };
        if outlet.foam && unit(self.card.rig).as_ref().is_some_and(own) {
            self.canvas.circle("open", [TRUNK + 20, y, 8]);
            let x = TRUNK + 20;
            let d = format!("M{} {}L{} {}", x - 3, y + 4, x + 3, y - 4);
            self.canvas.path("frame", &d);
        }
    }

    /// A way back to the tank in its own lane. One that carries foam is shut while foam is on:
    /// foam in the water tank comes out at the next fire.
    pub(super) fn way_back(&mut self, path: &ReturnPath, joint: Joint) {
        let words = self.words();
        let x = self.lane_at(self.lane);
        let wide = LEFT - x - LANE;
        let names = Face::Name.lines(&path.title, wide);
        let (notes, act) = if joint.foam {
            let shut = words.get("drawing.flow.shut");
            ([words.get("drawing.flow.carries-foam")], Face::ActNote.lines(&shut, wide))
        } else {
            ([words.get("drawing.flow.plain-water")], Vec::new())
        };
        let notes = Face::Note.all(&notes, wide);
        let above = i64::try_from(names.len()).unwrap_or(1) * LEADING;
        let y = (self.clear + 14).max(self.left + above + 17);
        self.canvas.pipe(&format!("M{TRUNK} {y}H{x}V{}", self.foot + 8), joint.filled());
        // Narrower where the lanes are close, so that their heads do not touch.
        let half = 9.min(self.lane_step().div_euclid(2));
        let (tip, low) = (self.foot - 1, self.foot + 12);
        let d = format!("M{x} {tip}L{} {low}H{}Z", x - half, x + half);
        self.canvas.path("solid", &d);
        // Crossed out as with a pen: it stays shut while foam is on.
        if joint.foam {
            let at = (x + LEFT).div_euclid(2) - 14;
            let d = format!("M{at} {0}V{1}M{2} {0}V{1}", y - 9, y + 9, at + 6);
            self.canvas.path("pen", &d);
        }
        let first = y - 13 - above + LEADING;
        self.canvas.lines(Face::Name, Anchor::End, [LEFT, first], &names);
        let next = self.canvas.lines(Face::Note, Anchor::End, [LEFT, y + 21], &notes);
        let next = self.canvas.lines(Face::ActNote, Anchor::End, [LEFT, next], &act);
        self.left = next - LEADING + 5;
        self.last = self.last.max(y);
        self.lane += 1;
        let key =
            if joint.foam { "drawing.flow.back-foam" } else { "drawing.flow.back-plain" };
        self.tell(words.say(key, &[("way", &path.title)]));
    }
}
