//! The flow path of a rig: where the water goes, and where foam is in it.
//!
//! One layout for phone, page and paper: a trunk that grows downward from the tank through the
//! pump, outlets to the right, ways back to the tank to the left. What leaves the trunk below
//! the injection carries foam. The later a way back leaves, the farther out its lane, so that
//! none crosses another.

use super::branch::Joint;
use super::canvas::{Drawing, Filled};
use super::feed::boxed;
use super::path::{Feed, Path, TRUNK, unit};
use crate::course::{FoamSide, Meter, MeterCounts, Outlet, PercentBasis, ReturnPath};
use crate::publish::card::Card;

/// The flow path of a rig.
pub(in crate::publish) fn flow_path(card: Card<'_>) -> Drawing {
    let mut path = Path::of(card);
    path.water_tank();
    let plain_below = match path.feed {
        Feed::Trunk => {
            path.pump();
            path.branches(FoamSide::BeforeInjection);
            path.meter(Meter::BeforeInjection);
            path.check_valve();
            false
        }
        Feed::Around => {
            path.around();
            true
        }
        Feed::Hose | Feed::None => {
            path.pump();
            path.meter(Meter::BeforeInjection);
            true
        }
    };
    let from = if path.feed == Feed::Trunk { path.injection() } else { path.last };
    path.meter(Meter::AfterInjection);
    if plain_below {
        path.branches(FoamSide::BeforeInjection);
    }
    path.branches(FoamSide::AfterInjection);
    path.trunk(from);
    let words = card.desk.words;
    let blanks = [("rig", card.rig.title.as_str()), ("parts", &path.told.join(", "))];
    let sentence = words.say("drawing.flow.says", &blanks);
    let caption = words.get(match path.feed {
        Feed::Trunk => "drawing.flow.caption-trunk",
        Feed::Around => "drawing.flow.caption-around",
        Feed::Hose => "drawing.flow.caption-hose",
        Feed::None => "drawing.flow.caption-plain",
    });
    let high = path.right.max(path.left).max(path.last + 12).max(path.clear + 18) + 2;
    path.canvas.finish(high, sentence, caption)
}

impl Path<'_> {
    fn water_tank(&mut self) {
        let Some(tank) = self.card.rig.water_tank() else {
            // Without a tank the trunk comes in from above: what feeds it is not on the card.
            self.foot = 8;
            (self.clear, self.right, self.left) = (18, 18, 18);
            return;
        };
        let usable =
            [("usable", tank.usable.printed()), ("nominal", tank.nominal.printed())];
        let usable: Vec<(&str, &str)> =
            usable.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let note = self.words().say("drawing.flow.usable-of", &usable);
        let foot =
            boxed(&mut self.canvas, (&tank.title, &[note]), [1, 2, 209], Filled::Water);
        self.foot = foot;
        (self.clear, self.right, self.left) = (foot, 2, foot);
        if self.feed != Feed::Around {
            self.right = foot;
        }
        self.tell(tank.title.clone());
    }

    fn pump(&mut self) {
        let name = self.words().get("drawing.flow.pump");
        let y = self.sign(16, (name, Vec::new()));
        self.pump_at(y);
    }

    /// The meter, where the card says that it stands. One that each outlet has of its own is
    /// drawn there.
    fn meter(&mut self, place: Meter) {
        let Some(unit) = unit(self.card.rig).filter(|unit| unit.meter == place) else {
            return;
        };
        if unit.meter_counts == MeterCounts::EachOutlet {
            return;
        }
        let words = self.words();
        let note = match unit.basis {
            PercentBasis::Water => Some(words.get("drawing.flow.of-water")),
            PercentBasis::Solution => Some(words.get("drawing.flow.of-solution")),
            PercentBasis::NotKnown => None,
        };
        let name = words.get("drawing.flow.meter");
        let y = self.sign(12, (name, note.into_iter().collect()));
        self.canvas.circle("open", [TRUNK, y, 12]);
        self.canvas
            .path("frame", &format!("M{} {}L{} {}", TRUNK - 5, y + 6, TRUNK + 5, y - 6));
    }

    fn check_valve(&mut self) {
        if !self.card.rig.check_valve {
            return;
        }
        let name = self.words().get("drawing.flow.check-valve");
        let y = self.sign(11, (name, Vec::new()));
        self.canvas.rect("bg", [TRUNK - 12, y - 10, 24, 20]);
        let d = format!("M{} {}H{}L{TRUNK} {}Z", TRUNK - 10, y - 9, TRUNK + 10, y + 8);
        self.canvas.path("frame", &d);
        self.canvas
            .path("frame heavy", &format!("M{} {}H{}", TRUNK - 11, y + 9, TRUNK + 11));
    }

    /// Outlets and ways back of one side of the injection, each side of the sheet downward for
    /// itself.
    fn branches(&mut self, side: FoamSide) {
        let foam = side == FoamSide::AfterInjection;
        let rig = self.card.rig;
        let outlets: Vec<&Outlet> =
            rig.outlets.iter().filter(|outlet| outlet.foam == foam).collect();
        let returns: Vec<&ReturnPath> =
            rig.returns.iter().filter(|path| path.side == side).collect();
        for outlet in outlets {
            // An eductor puts the foam into the hose: up to the outlet it is
            // water, even where the line foams.
            self.outlet(outlet, Joint { foam: foam && self.feed.fills_trunk() });
        }
        for path in returns {
            self.way_back(path, Joint { foam });
        }
    }

    /// The trunk from the tank to the last branch, with foam in it from where it comes in.
    fn trunk(&mut self, foam_from: i64) {
        let end = self.last.max(self.clear + 6);
        let wall = format!("M{TRUNK} {}V{}", self.foot, end + 6);
        let bore = format!("M{TRUNK} {}V{}", self.foot, end + 4);
        self.canvas.open_pipe(&wall, &bore, Filled::Water);
        if self.feed.fills_trunk() && foam_from < end {
            self.canvas.mark("dots", &format!("M{TRUNK} {}V{end}", foam_from + 3));
        }
    }
}
