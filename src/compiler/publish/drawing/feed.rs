//! How concentrate gets into the water: every kind of proportioner has a drawing of its own,
//! which shows what its definition says and no more.

use super::canvas::{Anchor, Canvas, Filled};
use super::path::{EDGE, Feed, LEFT, Path, RIGHT, TRUNK, unit};
use super::widths::{Face, LEADING};
use crate::course::{Eductor, Outlet, ProportionerKind, Tank};
use crate::quantity::Quantity;

/// A tank as a filled box with its name and notes on a plain ground; gives back its foot.
pub(super) fn boxed(
    canvas: &mut Canvas,
    (title, notes): (&str, &[String]),
    [x, y, wide]: [i64; 3],
    filled: Filled,
) -> i64 {
    let names = Face::Name.lines(title, wide - 16);
    let notes = Face::Note.all(notes, wide - 16);
    let count = i64::try_from(names.len() + notes.len()).unwrap_or(1);
    let high = count * (LEADING + 2) + 14;
    canvas.rect("open", [x, y, wide, high]);
    canvas.fill(filled, [x + 2, y + 2, wide - 4, high - 4]);
    let mut at = y + 19;
    for (face, lines) in [(Face::Name, names), (Face::Note, notes)] {
        for line in lines {
            canvas.on_ground(face, Anchor::Start, [x + 8, at], &[line]);
            at += LEADING + 2;
        }
    }
    y + high
}

/// Height of the same box.
fn boxed_high(title: &str, notes: &[String], wide: i64) -> i64 {
    let lines =
        Face::Name.lines(title, wide - 16).len() + Face::Note.all(notes, wide - 16).len();
    i64::try_from(lines).unwrap_or(1) * (LEADING + 2) + 14
}

impl Path<'_> {
    /// What is told in the box of a foam tank.
    fn tank_notes(&self, tank: &Tank) -> Vec<String> {
        let words = self.words();
        let say = |key: &str, volume: &Quantity| {
            // words: drawing.flow.{usable|mark}
            words.say(&format!("drawing.flow.{key}"), &[("volume", &volume.printed())])
        };
        let usable = say("usable", &tank.usable);
        let mark = tank.warning.as_ref().map(|mark| say("mark", mark));
        std::iter::once(usable).chain(mark).collect()
    }

    /// The foam tanks one below the other from a top; gives back the middle of each and the
    /// foot of the last.
    fn foam_tanks(&mut self, x: i64, top: i64) -> (Vec<i64>, i64) {
        let mut y = top;
        let mut middles = Vec::new();
        let rig = self.card.rig;
        for tank in rig.foam_tanks() {
            let notes = self.tank_notes(tank);
            let place = [x, y, EDGE - x];
            let foot = boxed(
                &mut self.canvas,
                (&tank.title, &notes),
                place,
                Filled::Concentrate,
            );
            middles.push((y + foot).div_euclid(2));
            y = foot + 10;
        }
        (middles, y - 10)
    }

    /// Half the height of the first foam tank.
    fn half_tank(&self, x: i64) -> i64 {
        let first = self.card.rig.foam_tanks().next();
        first.map_or(0, |tank| {
            let notes = self.tank_notes(tank);
            boxed_high(&tank.title, &notes, EDGE - x).div_euclid(2)
        })
    }

    /// The words of an injection to the left of a height; gives back their foot.
    fn injection_words(&mut self, [x, y]: [i64; 2]) -> i64 {
        let words = self.words();
        let wide = self.beside_lanes() - (LEFT - x);
        let name = Face::Act.lines(&words.get("drawing.flow.injection"), wide);
        let mut notes = Vec::new();
        if let Some(unit) = unit(self.card.rig) {
            let blanks = [
                ("flow", unit.rating.flow.printed()),
                ("pressure", unit.rating.at.printed()),
            ];
            let blanks: Vec<(&str, &str)> =
                blanks.iter().map(|(name, value)| (*name, value.as_str())).collect();
            notes.push(words.say("drawing.flow.rating", &blanks));
            if unit.kind == ProportionerKind::BalancedPressure {
                notes.push(words.get("drawing.flow.balanced"));
            }
        }
        let notes = Face::Note.all(&notes, wide);
        let next = self.canvas.lines(Face::Act, Anchor::End, [x, y - 2], &name);
        self.canvas.lines(Face::Note, Anchor::End, [x, next], &notes) - LEADING + 5
    }

    /// Told: which tanks feed the injection.
    fn tell_injection(&mut self) {
        let tanks: Vec<&str> =
            self.card.rig.foam_tanks().map(|tank| tank.title.as_str()).collect();
        let words = self.words();
        let told = if tanks.is_empty() {
            words.get("drawing.flow.injects")
        } else {
            let and = words.get("drawing.flow.and");
            words.say("drawing.flow.injects-from", &[("tanks", &tanks.join(&and))])
        };
        self.tell(told);
    }

    /// The point of injection on the trunk; gives back its height.
    pub(super) fn injection(&mut self) -> i64 {
        // Left edge of the tanks, so that the foam pump's sign has room before it.
        const BOX: i64 = 222;
        let balanced = unit(self.card.rig)
            .is_some_and(|unit| unit.kind == ProportionerKind::BalancedPressure);
        let half = self.half_tank(BOX);
        // The line that senses the water pressure joins the trunk above.
        let sense = if balanced { 34 } else { 22 };
        let y = (self.clear + sense)
            .max(self.last + sense)
            .max(self.left + 22)
            .max(self.right + 8 + half)
            .max(self.right + 24);
        let (middles, foot) = self.foam_tanks(BOX, y - half);
        let from = if middles.is_empty() { BOX - 4 } else { BOX };
        self.canvas.pipe(&format!("M{from} {y}H168"), Filled::Concentrate);
        for middle in middles.iter().skip(1) {
            let d = format!("M{BOX} {middle}H213V{y}");
            self.canvas.pipe(&d, Filled::Concentrate);
        }
        self.canvas.path("penf", &format!("M155 {y}L170 {}V{}Z", y - 9, y + 9));
        if balanced {
            // A valve with the water pressure on its other side.
            let d = format!("M180 {0}L202 {1}V{0}L180 {1}Z", y - 8, y + 8);
            self.canvas.rect("bg", [179, y - 8, 24, 16]);
            self.canvas.path("frame", &d);
            let d = format!("M{} {}H191V{y}", TRUNK + 6, y - 24);
            self.canvas.path("frame dashed", &d);
        } else {
            self.canvas.circle("open", [191, y, 9]);
            self.canvas.path("solid", &format!("M184 {y}L196 {}V{}Z", y - 6, y + 6));
        }
        self.left = self.injection_words([LEFT, y]);
        self.right = self.right.max(foot + 2).max(y + 10);
        self.clear = y + 9;
        self.tell_injection();
        y
    }

    /// The loop around the pump: from behind it through an eductor to before it.
    pub(super) fn around(&mut self) {
        // So far from the pump's sign, because both pipes of the loop must stand free of it.
        const LOOP: i64 = 196;
        // Left edge of the tanks, so that eductor and arrow have room before it.
        const BOX: i64 = 236;
        // Texts end here, because the pump's sign reaches farther than the trunk.
        const BESIDE: i64 = LEFT - 8;
        let half = self.half_tank(BOX);
        let y = (self.clear + 66).max(self.right + 8 + half);
        let (join, off) = (y - 38, y + 38);
        let d = format!("M{TRUNK} {off}H{LOOP}V{join}H{TRUNK}");
        self.canvas.pipe(&d, Filled::Water);
        self.canvas.mark("dots", &format!("M{LOOP} {}V{join}H{TRUNK}", y - 10));
        let (middles, foot) = self.foam_tanks(BOX, y - half);
        let from = if middles.is_empty() { BOX - 6 } else { BOX };
        self.canvas.pipe(&format!("M{from} {y}H214"), Filled::Concentrate);
        for middle in middles.iter().skip(1) {
            self.canvas.pipe(&format!("M{BOX} {middle}H226V{y}"), Filled::Concentrate);
        }
        self.canvas.rect("bg", [LOOP - 9, y - 12, 18, 24]);
        let d =
            format!("M{0} {2}L{1} {3}H{0}L{1} {2}Z", LOOP - 8, LOOP + 8, y - 12, y + 12);
        self.canvas.path("frame", &d);
        self.canvas.path("penf", &format!("M204 {y}L216 {}V{}Z", y - 8, y + 8));
        let words = self.words();
        self.left = self.left.max(join - 16);
        let below = self.injection_words([BESIDE, join]);
        let name =
            Face::Name.lines(&words.get("drawing.flow.pump"), self.beside_lanes() - 8);
        let at = (y + 4).max(below + 12);
        let next = self.canvas.lines(Face::Name, Anchor::End, [BESIDE, at], &name);
        self.left = (next - LEADING + 5).max(y + 18);
        self.pump_at(y);
        self.right = self.right.max(foot + 2).max(off + 8);
        self.clear = off + 6;
        self.last = join;
        self.tell(words.get("drawing.flow.pump"));
        self.tell_injection();
    }

    /// An eductor in the hose below the words of its outlet, with what it draws from.
    pub(super) fn eductor(&mut self, outlet: &Outlet, y: i64) {
        // The hose is cut off before the edge, so that it is seen to go on.
        const HOSE: i64 = 328;
        let found = self.card.eductors_on(outlet);
        if found.is_empty() && !(outlet.foam && self.feed == Feed::Hose) {
            return;
        }
        let (x, hose) = (RIGHT - 9, self.right + 12);
        let d = format!("M{x} {}V{hose}H{HOSE}", y + 10);
        self.canvas.pipe(&d, Filled::Water);
        self.canvas.mark("dots", &format!("M244 {hose}H{HOSE}"));
        self.canvas.rect("bg", [217, hose - 8, 24, 16]);
        let d = format!("M216 {0}L242 {1}V{0}L216 {1}Z", hose - 8, hose + 8);
        self.canvas.path("frame", &d);
        // Upward into the throat: what is drawn in must be seen to.
        self.canvas.path("penf", &format!("M229 {}L221 {1}H237Z", hose + 6, hose + 18));
        let pail = hose + 28;
        self.canvas.pipe(&format!("M229 {}V{pail}", hose + 17), Filled::Concentrate);
        let told = found.iter().map(|eductor| self.eductor_told(eductor));
        let mut told: Vec<String> = told.flatten().collect();
        if told.is_empty() {
            told.push(self.words().get("drawing.flow.eductor-open"));
        }
        if !found.is_empty() {
            let d = format!("M219 {pail}H239L236 {0}H222Z", pail + 20);
            self.canvas.path("open", &d);
            self.canvas.fill(Filled::Concentrate, [222, pail + 5, 14, 14]);
        }
        let lines = Face::Note.all(&told, EDGE - 248);
        let next = self.canvas.lines(Face::Note, Anchor::Start, [248, hose + 20], &lines);
        self.right = (next - LEADING + 5).max(pail + 22);
        self.last = self.last.max(y);
        let told = told.join(", ");
        let blanks = [("line", outlet.title.as_str()), ("eductor", &told)];
        self.tell(self.words().say("drawing.flow.eductor-on", &blanks));
    }

    /// Rating, settings and source of an eductor.
    fn eductor_told(&self, eductor: &Eductor) -> Vec<String> {
        let words = self.words();
        let rating =
            [("flow", eductor.flow.printed()), ("pressure", eductor.inlet.printed())];
        let rating: Vec<(&str, &str)> =
            rating.iter().map(|(name, value)| (*name, value.as_str())).collect();
        let mut told = vec![words.say("drawing.flow.eductor", &rating)];
        if !eductor.settings.is_empty() {
            let settings: Vec<String> =
                eductor.settings.iter().map(Quantity::printed).collect();
            told.push(settings.join(", "));
        }
        let tank = eductor.tank.as_ref();
        let tank = tank.and_then(|id| self.card.rig.tanks.iter().find(|t| t.id == *id));
        told.push(match tank {
            Some(tank) => words.say("drawing.flow.from-tank", &[("tank", &tank.title)]),
            None => words.get("drawing.flow.from-containers"),
        });
        told
    }
}
