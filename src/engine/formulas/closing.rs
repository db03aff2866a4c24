//! The last line of a board: from the result of a line to the answer as it is printed, rounded,
//! in another unit, as minutes and seconds. Without it a reader could not see how 10.526 min
//! became 10:31.

use super::adding::Sum;
use super::answers::Answer;
use super::bind::Bound;
use super::library::Library;
use super::print::show_in;
use super::printed::Printed;
use super::worked::{BoardLine, WorkedAnswer};
use crate::quantity::{Direction, Quantity, decimal_mark};

/// An answer beside the line it is read from.
pub(super) struct Closing<'c> {
    pub(super) library: &'c Library,
    pub(super) answer: &'c Answer,
    pub(super) worked: &'c WorkedAnswer,
    /// Name of its line in words, and what is printed of it.
    pub(super) label: &'c str,
    pub(super) result: &'c Printed,
    /// Step and unit in which the answer is printed.
    pub(super) shown: Quantity,
}

impl Closing<'_> {
    /// The line; where nothing is left to be done, it says the result once more.
    pub(super) fn line(&self) -> BoardLine {
        let answer = self.worked;
        let line = |words: String, numbers: String, relation| BoardLine {
            label: self.answer.label.clone(),
            words,
            numbers,
            relation,
            result: answer.text.clone(),
        };
        if self.result.text == answer.text {
            return line(self.label.to_owned(), self.result.text.clone(), "=");
        }
        let way = self.direction();
        let step = self.shown.printed();
        // The words of a line that rounds, wherever one stands on a board.
        let rounded = |of: &str| {
            let key = match way {
                Direction::Down => "down",
                Direction::Up => "up",
                Direction::Near => "near",
            };
            // words: board.{down|up|near}
            self.library.phrase(key, &[("of", of), ("step", &step)])
        };
        let words = if self.answer.clock {
            self.library.phrase("in-clock", &[("of", &rounded(self.label))])
        } else {
            rounded(self.label)
        };
        let again = show_in(self.result.says, &self.shown, way);
        let own = answer
            .number
            .and_then(|number| show_in(number, &self.shown, self.answer.round));
        // Whether whoever goes on with the figure as printed comes to
        // the same answer: the sign says it.
        let same = again.zip(own).is_some_and(|(again, own)| again.value == own.value);
        let sum = if self.answer.clock { parted(&self.result.text) } else { None };
        let numbers = rounded(sum.as_deref().unwrap_or(&self.result.text));
        line(words, numbers, if same { "=" } else { "≈" })
    }

    /// A value that stands on a step is no decimal of the line's unit, such as the twenty seconds
    /// of 3.333 min; the nearest step is meant then.
    fn direction(&self) -> Direction {
        let step = |way| Some(show_in(self.worked.number?, &self.shown, way)?.value);
        if step(Direction::Up) == step(Direction::Down) {
            Direction::Near
        } else {
            self.answer.round
        }
    }
}

/// Printed decimal minutes as minutes and the seconds of the rest: what a reader of 10.53 min takes
/// for 10:53 is 10 min + 0.53 × 60 s. Nothing where there is no rest, or another unit.
fn parted(printed: &str) -> Option<String> {
    let digits = printed.strip_suffix("\u{a0}min")?;
    let (whole, rest) = digits.split_once(decimal_mark())?;
    let digit = |c: char| c.is_ascii_digit();
    // Below zero the seconds would have to be taken away, and not added.
    if !whole.starts_with(digit) || !rest.contains(|c| ('1'..='9').contains(&c)) {
        return None;
    }
    let seconds = format!("0{}{rest} × 60\u{a0}s", decimal_mark());
    Some(if whole == "0" { seconds } else { format!("{whole}\u{a0}min + {seconds}") })
}

impl Sum<'_> {
    /// Lines that make minutes and seconds of the answers of a clock, but for the one that is
    /// asked for: it stands last.
    pub(super) fn closing(
        self,
        bound: &Bound,
        answers: &[WorkedAnswer],
    ) -> Vec<BoardLine> {
        let asked = self.asked.map(|(at, _)| at);
        let clocks = self.formula.answers.iter().enumerate();
        let clocks = clocks.filter(|(at, own)| own.clock && Some(*at) != asked);
        let line = |(at, own): (usize, &Answer)| {
            let metric = self.system.is_metric();
            let shown = if metric { own.shown_si } else { own.shown };
            Some(self.of(bound, at, shown, answers.get(at)?)?.line())
        };
        clocks.filter_map(line).collect()
    }

    /// The line of the answer that is asked for, unless the board ends with it already.
    pub(super) fn last(
        self,
        bound: &Bound,
        lines: &[BoardLine],
        (at, shown): (usize, Quantity),
        worked: &WorkedAnswer,
    ) -> Option<BoardLine> {
        let closing = self.of(bound, at, shown, worked)?;
        let there = lines.last().is_some_and(|line| {
            line.result == worked.text && line.label == closing.label
        });
        (!there).then(|| closing.line())
    }

    fn of<'c>(
        self,
        bound: &'c Bound,
        at: usize,
        shown: Quantity,
        worked: &'c WorkedAnswer,
    ) -> Option<Closing<'c>>
    where
        Self: 'c,
    {
        let slot = *self.program.answers.get(at)?;
        // "Does not end" is no figure that a line could make.
        worked.number?;
        Some(Closing {
            library: self.library,
            answer: self.formula.answers.get(at)?,
            worked,
            label: self.labels.get(slot)?,
            result: bound.printed.get(slot)?.as_ref()?,
            shown,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::parted;

    #[test]
    fn minutes_are_parted() {
        let said = |text: &str| parted(&text.replace(' ', "\u{a0}"));
        let sum = said("10.526 min").map(|sum| sum.replace('\u{a0}', " "));
        assert_eq!(sum.as_deref(), Some("10 min + 0.526 × 60 s"));
        assert_eq!(said("0.5 min").as_deref(), Some("0.5 × 60\u{a0}s"));
        assert!(said("1,204.5 min").is_some());
        for whole in ["12 min", "2.00 min", "44.8 s", "−0.5 min"] {
            assert_eq!(said(whole), None, "{whole}");
        }
    }
}
