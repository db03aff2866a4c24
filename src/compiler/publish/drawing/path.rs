//! A flow path while it is drawn: a trunk that grows downward, with texts on either side.

use super::canvas::{Anchor, Canvas};
use super::widths::Face;
use crate::course::{Proportioner, ProportionerKind, Rig};
use crate::publish::card::Card;
use crate::words::Words;

/// Middle of the trunk: left of it is room for lanes and names, right of it for names alone, so
/// that it stands left of the middle.
pub(super) const TRUNK: i64 = 150;
/// Where texts begin to the right of the trunk and end to the left of it, so that branches and
/// signs stand between them.
pub(super) const RIGHT: i64 = 194;
pub(super) const LEFT: i64 = 136;
/// From the middle of a lane to the texts beside it: half a pipe, and so that they do not touch.
pub(super) const LANE: i64 = 8;
/// Right edge of all that is drawn, so that half a stroke stays inside the sheet.
pub(super) const EDGE: i64 = 334;

/// The drawing while it grows downward.
pub(super) struct Path<'p> {
    pub(super) canvas: Canvas,
    pub(super) card: Card<'p>,
    pub(super) feed: Feed,
    /// Below the last sign on the trunk, below the last branch, and below the texts of a side.
    pub(super) clear: i64,
    pub(super) last: i64,
    pub(super) right: i64,
    pub(super) left: i64,
    /// Foot of the water tank, to which the ways back lead.
    pub(super) foot: i64,
    /// What was drawn, in words.
    pub(super) told: Vec<String>,
    /// Ways back that were drawn, of all.
    pub(super) lane: usize,
}

/// The proportioner of a rig.
pub(super) const fn unit(rig: &Rig) -> Option<&Proportioner> {
    rig.proportioner.as_ref()
}

/// Where foam begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Feed {
    /// At a point of the trunk behind the pump.
    Trunk,
    /// Around the pump: all behind the loop's end, the pump too.
    Around,
    /// In the hose.
    Hose,
    /// Nowhere.
    None,
}

impl Feed {
    pub(super) fn of(rig: &Rig) -> Self {
        match unit(rig).map(|unit| unit.kind) {
            Some(
                ProportionerKind::DirectInjection | ProportionerKind::BalancedPressure,
            ) => Self::Trunk,
            Some(ProportionerKind::AroundThePump) => Self::Around,
            Some(ProportionerKind::InLineEductor) => Self::Hose,
            // Without a unit a rig may still carry eductors:
            // then foam begins in the hose.
            None if rig.eductors.is_empty() => Self::None,
            None => Self::Hose,
        }
    }

    /// Whether foam stands in the trunk.
    pub(super) const fn fills_trunk(self) -> bool {
        matches!(self, Self::Trunk | Self::Around)
    }
}

impl<'p> Path<'p> {
    /// A sheet with nothing on it.
    pub(super) fn of(card: Card<'p>) -> Self {
        Self {
            canvas: Canvas::default(),
            card,
            feed: Feed::of(card.rig),
            clear: 0,
            last: 0,
            right: 0,
            left: 0,
            foot: 0,
            told: Vec::new(),
            lane: 0,
        }
    }

    pub(super) fn words(&self) -> &'p Words {
        self.card.desk.words
    }

    /// Tells what was drawn.
    pub(super) fn tell(&mut self, text: String) {
        self.told.push(text);
    }

    /// A sign on the trunk with its words to the right; gives back where it stands.
    pub(super) fn sign(
        &mut self,
        radius: i64,
        (name, notes): (String, Vec<String>),
    ) -> i64 {
        let names = Face::Name.lines(&name, EDGE - RIGHT);
        let notes = Face::Note.all(&notes, EDGE - RIGHT);
        let y =
            (self.clear + radius + 12).max(self.last + radius + 12).max(self.right + 14);
        let first = if notes.is_empty() { y + 4 } else { y - 1 };
        self.canvas
            .path("line dashed", &format!("M{} {y}H{}", TRUNK + radius + 2, RIGHT - 5));
        let next = self.canvas.lines(Face::Name, Anchor::Start, [RIGHT, first], &names);
        let next = self.canvas.lines(Face::Note, Anchor::Start, [RIGHT, next], &notes);
        self.right = next - 9;
        self.clear = y + radius;
        // A sign reaches as far to the left as the texts there.
        self.left = self.left.max(self.clear + 2);
        self.tell(name);
        y
    }

    /// The sign of a pump on the trunk.
    pub(super) fn pump_at(&mut self, y: i64) {
        self.canvas.circle("open", [TRUNK, y, 16]);
        let d = format!("M{TRUNK} {}L{} {}H{}Z", y + 13, TRUNK - 11, y - 7, TRUNK + 11);
        self.canvas.path("solid", &d);
    }

    /// Width for a text to the left, beside the lanes that pass there: those of all ways back
    /// that leave here or later.
    pub(super) fn beside_lanes(&self) -> i64 {
        let passing = self.lane < self.card.rig.returns.len();
        LEFT - if passing { self.lane_at(self.lane) + LANE } else { 2 }
    }

    /// Middle of a lane, by the order in which the ways back leave the trunk.
    pub(super) fn lane_at(&self, index: usize) -> i64 {
        let count = i64::try_from(self.card.rig.returns.len()).unwrap_or(1);
        let index = i64::try_from(index).unwrap_or(0);
        11 + (count - 1 - index).max(0) * self.lane_step()
    }

    /// Two lanes stand free; more stand closer, so that room is left for their names.
    pub(super) fn lane_step(&self) -> i64 {
        match self.card.rig.returns.len() {
            0..=2 => 21,
            3..=4 => 16,
            // However many there are, none comes near the trunk: it stands 25 beyond the last lane,
            // and names need the room between. Closer than that they cannot be told apart, and
            // their letters at the ends say which is which.
            many => 100_i64.div_euclid(i64::try_from(many).unwrap_or(100)).min(14),
        }
    }
}
