//! Minutes left, foam line by foam line: water above foam on one scale, the first end named.
//!
//! Every time on it is an answer of the card's own formulas, printed as the card prints it; a
//! bar is as long as the printed time. Nothing is taken from anything here: the call is the
//! card's answer too.

use super::canvas::{Anchor, Canvas, Drawing, Filled, WIDTH};
use super::path::unit;
use super::widths::{Face, LEADING};
use crate::course::{Outlet, foam_outlets};
use crate::formulas::WorkedAnswer;
use crate::publish::card::{Card, Preset};
use crate::quantity::Fraction;
use crate::words::Words;
use std::cmp::Ordering;

/// Left end of the bars and length of the scale: behind it is room for "144:48 water".
const LEFT: i64 = 4;
const LONG: i64 = 232;
/// Height of a bar, and from one to the next: so that a bar has room for the largest text beside it.
const BAR: i64 = 17;
const STEP: i64 = 22;

/// What the card says of one line.
struct Line<'l> {
    outlet: &'l Outlet,
    water: Option<Time>,
    foam: Option<Time>,
    /// Which of them ends first.
    first: Ordering,
    left: Option<Time>,
    call: Option<Time>,
    with_plain: Option<Time>,
    call_with_plain: Option<Time>,
}

/// A time as it is printed, and in whole seconds.
#[derive(Clone)]
struct Time {
    text: String,
    seconds: i64,
}

/// The percent that a drawing shows where one is enough: the middle preset of the class of foam
/// that is in the first foam tank, by which the card works.
pub(in crate::publish) fn usual_preset(card: Card<'_>) -> Option<Preset> {
    let classes = &unit(card.rig)?.classes;
    let held = card.rig.foam_tanks().next().and_then(|tank| tank.concentrate.as_ref());
    let class = held.and_then(|id| card.desk.concentrate(id)).map(|held| held.class);
    let of = class.and_then(|class| classes.get_key_value(&class));
    let (class, range) = of.or_else(|| classes.iter().next())?;
    let middle = range.presets.len().saturating_sub(1).div_euclid(2);
    let percent = *range.presets.get(middle)?;
    let tank = card.tanks_of(*class).into_iter().next().flatten();
    Some(Preset { class: *class, percent, tank })
}

/// The bars of all foam lines at a percent; nothing on a rig without foam lines.
pub(in crate::publish) fn minutes_bars(
    card: Card<'_>,
    preset: Preset,
) -> Option<Drawing> {
    let words = card.desk.words;
    let lines: Vec<Line<'_>> =
        foam_outlets(card.rig).map(|outlet| Line::of(card, outlet, preset)).collect();
    if lines.is_empty() {
        return None;
    }
    // By the longest first end and not by the fullest tank: with an hour of foam on it
    // the minutes of water would be too short to be read.
    let longest = lines.iter().filter_map(|line| line.left.as_ref()).map(|t| t.seconds);
    let scale = Scale::to(longest.max().unwrap_or(0));
    let mut canvas = Canvas::default();
    let mut y = 0;
    for line in &lines {
        y = line.draw(&mut canvas, card, &scale, y);
    }
    let y = scale.axis(&mut canvas, words, y);
    let told: Vec<String> = lines.iter().map(|line| line.said(card)).collect();
    let printed = card.preset(preset);
    let blanks = [
        ("rig", card.rig.title.as_str()),
        ("percent", &printed),
        ("lines", &told.join(" ")),
    ];
    let sentence = words.say("drawing.minutes.says", &blanks);
    Some(canvas.finish(y, sentence, caption(card, &lines)))
}

/// How it is read: only marks that are on it.
fn caption(card: Card<'_>, lines: &[Line<'_>]) -> String {
    let words = card.desk.words;
    let mut told = vec![words.get("drawing.minutes.caption")];
    if let Some(way) =
        card.rig.withdrawal.filter(|_| lines.iter().any(|line| line.flag().is_some()))
    {
        told.push(words.say("drawing.minutes.flag", &[("time", &way.printed())]));
    }
    if let Some(plain) =
        card.plain().filter(|_| lines.iter().any(|line| line.with_plain.is_some()))
    {
        told.push(words.say("drawing.minutes.bar", &[("line", &plain.title)]));
    }
    told.push(words.get("drawing.minutes.again"));
    told.join(" ")
}

impl Time {
    fn of(answer: &WorkedAnswer) -> Option<Self> {
        // Down to a whole second, so that no bar is longer than its time.
        let seconds = Fraction::read(&answer.value)?.floor();
        Some(Self { text: answer.text.clone(), seconds: i64::try_from(seconds).ok()? })
    }
}

impl<'l> Line<'l> {
    fn of(card: Card<'_>, outlet: &'l Outlet, preset: Preset) -> Self {
        let answer = |id: &str| {
            let (line, worked) = card.figure(id, outlet, Some(preset))?;
            worked.answer(line.feed.answer.as_deref()).cloned()
        };
        let time = |id: &str| answer(id).as_ref().and_then(Time::of);
        // Before rounding, because two ends of one second may still be a first and a second.
        let number = |id: &str| answer(id).and_then(|answer| answer.number);
        let first = number("water-lasts")
            .zip(number("foam-lasts"))
            .map_or(Ordering::Equal, |(water, foam)| water.compare(foam));
        Self {
            outlet,
            water: time("water-lasts"),
            foam: time("foam-lasts"),
            first,
            left: time("left"),
            call: time("call-out"),
            with_plain: time("left-with-plain"),
            call_with_plain: time("call-with-plain"),
        }
    }

    /// The call, where there is time for one.
    fn flag(&self) -> Option<&Time> {
        self.call.as_ref().filter(|call| call.seconds > 0)
    }

    fn title(&self, words: &Words) -> String {
        let blanks =
            [("line", self.outlet.title.as_str()), ("flow", &self.outlet.flow.printed())];
        words.say("drawing.minutes.line", &blanks)
    }

    fn first(&self, words: &Words) -> String {
        words.get(match self.first {
            _ if self.left.is_none() => "drawing.minutes.not-known",
            Ordering::Less => "drawing.minutes.water-first",
            Ordering::Greater => "drawing.minutes.foam-first",
            Ordering::Equal => "drawing.minutes.both",
        })
    }

    /// Calls and the plain line in words; nothing where the card has none of them.
    fn told(&self, card: Card<'_>) -> String {
        let words = card.desk.words;
        let call = |call: &Time| {
            if call.seconds > 0 {
                words.say("drawing.minutes.call", &[("time", &call.text)])
            } else {
                words.get("drawing.minutes.no-time")
            }
        };
        let mut parts: Vec<String> = self.call.iter().map(call).collect();
        if let Some((plain, left)) = card.plain().zip(self.with_plain.as_ref()) {
            let blanks = [("line", plain.title.as_str()), ("time", &left.text)];
            let with = words.say("drawing.minutes.with-plain", &blanks);
            let late = self.call_with_plain.as_ref().map(call);
            parts.push(std::iter::once(with).chain(late).collect::<Vec<_>>().join(", "));
        }
        parts.join("; ")
    }

    fn said(&self, card: Card<'_>) -> String {
        let words = card.desk.words;
        let title = self.title(words);
        let (Some(water), Some(foam)) = (&self.water, &self.foam) else {
            let blanks = [("line", title.as_str()), ("first", &self.first(words))];
            return words.say("drawing.minutes.one-not-known", &blanks);
        };
        let told = self.told(card);
        let blanks = [
            ("line", title.as_str()),
            ("water", &water.text),
            ("foam", &foam.text),
            ("first", &self.first(words)),
        ];
        let said = words.say("drawing.minutes.one", &blanks);
        if told.is_empty() {
            return said;
        }
        words.say("drawing.minutes.one-more", &[("said", &said), ("more", &told)])
    }

    /// The row from its top; gives back the top of the next.
    fn draw(&self, canvas: &mut Canvas, card: Card<'_>, scale: &Scale, top: i64) -> i64 {
        let words = card.desk.words;
        let title = Face::Head.lines(&self.title(words), WIDTH - LEFT);
        let first = self.first(words);
        let last = title.last().map_or(0, |line| Face::Head.width(line));
        let after = canvas.lines(Face::Head, Anchor::Start, [LEFT, top + 13], &title);
        // Beside the title where there is room, else on a line of its own.
        let beside = LEFT + last + 12 + Face::Note.width(&first) <= WIDTH;
        let at = if beside { after - LEADING } else { after };
        canvas.text(Face::Note, Anchor::End, [WIDTH, at], &first);
        let y = at + 13;
        let (Some(water), Some(foam)) = (&self.water, &self.foam) else { return y };
        scale.bar(canvas, Filled::Water, (water, &words.get("drawing.minutes.water")), y);
        scale.bar(
            canvas,
            Filled::Foam,
            (foam, &words.get("drawing.minutes.foam")),
            y + STEP,
        );
        // On the tank that ends first, because by it the call is made.
        let ends = if self.first == Ordering::Greater { y + STEP } else { y };
        if let Some(plain) = &self.with_plain {
            let x = scale.place(plain.seconds);
            canvas.path("frame heavy", &format!("M{x} {}V{}", ends - 4, ends + BAR + 4));
        }
        if let Some(flag) = self.flag() {
            let x = scale.place(flag.seconds);
            canvas.path("pen", &format!("M{x} {}V{}", ends - 6, ends + BAR + 5));
            canvas.path(
                "penf",
                &format!("M{x} {}L{} {}L{x} {}Z", ends - 7, x + 10, ends - 2, ends + 3),
            );
        }
        let told = Face::Note.lines(&self.told(card), WIDTH - LEFT);
        let foot = y + STEP + BAR + 14;
        // Nearer to its own bars than to the next title, and no higher than that takes: on paper
        // six lines stand on one side.
        canvas.lines(Face::Note, Anchor::Start, [LEFT, foot], &told) - 4
    }
}

/// The scale of all bars, from nothing to the longest first end.
struct Scale {
    seconds: i64,
    /// Minutes between two marks.
    step: i64,
}

impl Scale {
    /// Rounded up to two minutes; six marks at most, so that they are told apart.
    fn to(longest: i64) -> Self {
        let minutes = -(-longest).div_euclid(120) * 2;
        // A tank that is empty at once would have a scale without length.
        let minutes = minutes.max(2);
        let mut step = 2;
        for wider in [2, 5, 10, 20, 30, 60, 120, 300, 600] {
            step = wider;
            // Seven marks and more would run into each other where the longest has three
            // digits.
            if minutes.div_euclid(step) <= 6 {
                break;
            }
        }
        Self { seconds: minutes * 60, step }
    }

    fn place(&self, seconds: i64) -> i64 {
        let seconds = seconds.clamp(0, self.seconds);
        LEFT + (seconds * LONG + self.seconds.div_euclid(2)).div_euclid(self.seconds)
    }

    /// One bar with its figure; one that is longer than the scale is broken.
    fn bar(
        &self,
        canvas: &mut Canvas,
        filled: Filled,
        (time, of): (&Time, &str),
        y: i64,
    ) {
        let broken = time.seconds > self.seconds;
        let end = if broken { LEFT + LONG - 6 } else { self.place(time.seconds) };
        let field = [LEFT, y, (end - LEFT).max(1), BAR];
        let foot = y + BAR;
        canvas.rect("bg", field);
        canvas.fill(filled, field);
        if broken {
            canvas.path("frame", &format!("M{end} {y}H{LEFT}V{foot}H{end}"));
            for x in [end, end + 5] {
                canvas.path(
                    "frame",
                    &format!(
                        "M{x} {}L{} {}L{} {}L{} {}",
                        y - 2,
                        x - 5,
                        y + 5,
                        x + 2,
                        y + 12,
                        x - 3,
                        foot + 2
                    ),
                );
            }
        } else {
            canvas.rect("frame", field);
        }
        let at = end + if broken { 13 } else { 8 };
        canvas.text(Face::Figure, Anchor::Start, [at, y + 14], &time.text);
        let behind = at + Face::Figure.width(&time.text) + 5;
        canvas.text(Face::Note, Anchor::Start, [behind, y + 14], of);
    }

    /// The axis from its top, with the unit at the last mark; gives back the foot.
    fn axis(&self, canvas: &mut Canvas, words: &Words, top: i64) -> i64 {
        let y = top + 4;
        let mut d = format!("M{LEFT} {y}H{}", LEFT + LONG);
        let last = self.seconds.div_euclid(60 * self.step);
        for mark in 0..=last {
            let minutes = mark * self.step;
            let x = self.place(minutes * 60);
            d.push_str(&format!("M{x} {y}V{}", y + 5));
            let text = minutes.to_string();
            let unit = || words.say("drawing.minutes.axis", &[("minutes", &text)]);
            // The unit stands to the right of its figure, which stays below its mark.
            let half = Face::Note.width(&text).div_euclid(2);
            match mark {
                0 => canvas.text(Face::Note, Anchor::Start, [x, y + 17], &text),
                _ if mark == last => {
                    canvas.text(Face::Note, Anchor::Start, [x - half, y + 17], &unit());
                }
                _ => canvas.text(Face::Note, Anchor::Middle, [x, y + 17], &text),
            }
        }
        canvas.path("line", &d);
        y + 22
    }
}
