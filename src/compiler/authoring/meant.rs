//! What somebody most likely meant who wrote a figure, a date or a list that cannot be read: the
//! line as it should be, with their own number in it, or else an example of that very field.
//!
//! Nothing is read by this: a guess is shown to its author, who writes it or does not.

use crate::findings::{Code, Finding};
use crate::quantity::{Comma, Day, Fraction, Kind, Quantity, System, Writing, find};
use crate::wire::Books;

/// Findings about a value get what to write instead of it.
pub(super) fn mend(found: &mut [Finding], system: System, books: Books) {
    // Examples are read here, and read with a point; what is told of them gets the sign of the module
    // afterwards, with everything else.
    let _points = Writing::of(Comma::Thousands);
    for finding in found {
        let blank = |name: &str| {
            let mut blanks = finding.blanks.iter();
            blanks.find(|(key, _)| *key == name).map(|(_, text)| text.clone())
        };
        let Some((table, line)) = blank("table").zip(blank("line")) else { continue };
        let entry = books.of(&table).and_then(|book| book.entry(&line));
        let eg = entry.and_then(|entry| entry.eg);
        let eg = super::explain::example(finding, eg, books);
        let eg = eg.map(|eg| system.example_text(&eg).into_owned());
        let text = blank("found").unwrap_or_default();
        let mend = match finding.code {
            Code::BadDate => date(&text),
            Code::WrongType => listed(finding, eg),
            Code::NotANumber | Code::NoUnit | Code::UnknownUnit => {
                // An example that is a group shows another way of writing it; what its kind is
                // written like is shown by the reader itself.
                let figure_like = |eg: &String| Quantity::read(first_of(eg)).is_ok();
                let own = eg.filter(figure_like);
                // A field that takes whatever its formula asks for knows no unit of its own, and what
                // was written has one.
                let point = Quantity::read(&text.replace(',', ".")).ok();
                match (own, point) {
                    (None, Some(value)) if text.contains(',') => {
                        Some(Mend::Exactly(value.to_string()))
                    }
                    (own, _) => {
                        own.or_else(|| blank("example")).map(|eg| figure(&text, &eg))
                    }
                }
            }
            // A coefficient that was written as a pressure keeps its number already.
            Code::WrongDimension if keeps(&text, blank("example")) => None,
            Code::WrongDimension => eg.map(Mend::Such),
            _ => None,
        };
        let blanks = match mend {
            Some(Mend::Exactly(text)) => vec![("meant", text)],
            Some(Mend::Either(one, other)) => vec![("one", one), ("other", other)],
            Some(Mend::Such(text)) => vec![("such", text)],
            None => continue,
        };
        finding.blanks.extend(blanks);
    }
}

/// What is proposed.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Mend {
    /// This, and nothing else can have been meant.
    Exactly(String),
    /// One of two: nobody but the author knows which.
    Either(String, String),
    /// Something like this.
    Such(String),
}

/// Whether the number that was written stands in what is proposed already.
fn keeps(found: &str, example: Option<String>) -> bool {
    let number = |text: &str| Some(Quantity::read(text).ok()?.number());
    example.is_some_and(|example| number(found) == number(&example))
}

/// A figure: its author's number, in the unit that was written or that the field has.
fn figure(text: &str, eg: &str) -> Mend {
    let eg = first_of(eg);
    let such = || Mend::Such(eg.to_owned());
    let Ok(example) = Quantity::read(eg) else { return such() };
    let text = plain(text);
    if let Some(meant) = watch(&text, &example).or_else(|| lengths(&text, &example)) {
        return Mend::Exactly(meant);
    }
    let numbers = numbers(&text);
    let [number] = numbers.as_slice() else { return such() };
    let named = text.split_whitespace().find_map(|word| unit_in(word, &example));
    // "8 gal/min each" names a unit of two words, "gallons per minute" one of three.
    let whole = text.trim_start_matches(|c: char| !c.is_alphabetic()).trim();
    let named = unit_in(whole, &example).or(named);
    // A pressure where a coefficient belongs is no slip of the sign alone.
    let other =
        |word: &str| find(word).is_some_and(|unit| unit.dimension != example.dimension());
    if named.is_none() && text.split_whitespace().any(other) {
        return such();
    }
    let meant = Quantity::new(*number, named.unwrap_or(example.unit()));
    // Twenty times what is usual, without a unit: most likely it is of another one.
    if named.is_none() && far(*number, &example) {
        return such();
    }
    let share = example.unit().kind == Kind::Share && !text.contains('%');
    match of_one(*number, &example).filter(|_| share) {
        // Where whole tens of percent are usual, such as of a pass mark, nobody means a part of one.
        Some(hundred) if at_least(&example, 20) => Mend::Exactly(hundred.to_string()),
        // No foam is mixed at less than a tenth of a percent: 0.03 is most likely three of a hundred.
        Some(hundred) if hundred.number() <= example.number() || tiny(*number) => {
            Mend::Either(hundred.to_string(), meant.to_string())
        }
        _ => Mend::Exactly(meant.to_string()),
    }
}

/// A percent that may have been written as a part of one: 0.8 for 80 %.
fn of_one(number: Fraction, example: &Quantity) -> Option<Quantity> {
    let part = number > Fraction::ZERO && number <= Fraction::whole(1);
    let hundred = number.mul(Fraction::whole(100)).filter(|_| part)?;
    Some(Quantity::new(hundred, example.unit()))
}

fn tiny(number: Fraction) -> bool {
    number.mul(Fraction::whole(10)).is_some_and(|ten| ten < Fraction::ONE)
}

fn far(number: Fraction, example: &Quantity) -> bool {
    // A time is as short or as long as it is; a percent is asked about below.
    let often = example.number().mul(Fraction::whole(20));
    example.unit().kind != Kind::Share && often.is_some_and(|often| number > often)
}

fn at_least(quantity: &Quantity, least: i128) -> bool {
    quantity.number() >= Fraction::whole(least)
}

/// The first of a list of examples.
fn first_of(eg: &str) -> &str {
    let inside = eg.trim_start_matches('[').trim_end_matches(']');
    inside.split(", ").next().unwrap_or(inside).trim_matches('"')
}

/// With the signs of type and of a rule written out: ¾, ″, ′ and the marks of feet and inches.
fn plain(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        match letter {
            '¼' => out.push_str(" 1/4"),
            '½' => out.push_str(" 1/2"),
            '¾' => out.push_str(" 3/4"),
            '"' | '″' | '”' => out.push_str(" in"),
            '\'' | '′' | '’' => out.push_str(" ft"),
            '×' => out.push('x'),
            other => out.push(other),
        }
    }
    out
}

/// The numbers of a text, a comma between digits taken for the decimal sign: where it could be
/// anything else another finding asks.
fn numbers(text: &str) -> Vec<Fraction> {
    let digits = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/');
    let mut out: Vec<Fraction> = Vec::new();
    let mut whole = None;
    // The 3 of m3 and the 2 of ft^2 belong to the unit.
    let mut last = ' ';
    let bare: String = text
        .chars()
        .map(|c| {
            let of_unit = c.is_ascii_digit() && (last.is_alphabetic() || last == '^');
            last = if of_unit { 'a' } else { c };
            if of_unit { ' ' } else { c }
        })
        .collect();
    for word in bare.split(|c: char| !digits(c)).filter(|word| !word.is_empty()) {
        let word = word.trim_matches(['.', ',', '/']);
        let read = match word.split_once('/') {
            Some((upper, lower)) => Fraction::read(upper)
                .zip(Fraction::read(lower))
                .and_then(|(upper, lower)| upper.div(lower)),
            None => Fraction::read(&word.replace(',', ".")),
        };
        let Some(read) = read else { continue };
        // 1 3/4 is one number.
        match (whole.take(), word.contains('/')) {
            (Some(before), true) if read < Fraction::whole(1) => {
                out.pop();
                out.extend(read.add(before));
            }
            _ => out.push(read),
        }
        whole = out.last().copied().filter(|_| !word.contains('/'));
    }
    out
}

/// The unit that a word names, if it measures what is asked for.
fn unit_in(word: &str, example: &Quantity) -> Option<&'static crate::quantity::Unit> {
    // The 3 of m3 is its own.
    let word = word.trim_start_matches(|c: char| c.is_ascii_digit());
    let word = word.trim_matches(['.', ',', ';']);
    let one = Quantity::read(&format!("1 {word}")).ok()?;
    let alike =
        one.dimension() == example.dimension() && one.unit().kind == example.unit().kind;
    (alike && !word.is_empty()).then(|| one.unit())
}

/// Minutes and seconds as a watch shows them.
fn watch(text: &str, example: &Quantity) -> Option<String> {
    let (minutes, seconds) = text.trim().split_once(':')?;
    let second = Quantity::read("1 s").ok()?;
    // Four digits are a week of minutes, and longer than any time of a drill.
    let whole = |text: &str| text.parse::<i128>().ok().filter(|_| text.len() <= 4);
    // A watch goes from 59 to the next minute: beyond it the text is no time.
    let (minutes, seconds) = (whole(minutes)?, whole(seconds).filter(|s| *s < 60)?);
    if example.dimension() != second.dimension() {
        return None;
    }
    // A course of nine and a half hours is no nine and a half minutes: where hours are wanted the
    // colon stands behind them, and a third of an hour has no decimals.
    if example.unit().symbol == "h" {
        let whole = minutes.checked_mul(60)?.checked_add(seconds)?;
        let hours = Fraction::new(whole, 60)?.decimal();
        return Some(hours.map_or(format!("{whole} min"), |hours| format!("{hours} h")));
    }
    Some(if seconds == 0 {
        format!("{minutes} min")
    } else {
        format!("{} s", minutes.checked_mul(60)?.checked_add(seconds)?)
    })
}

/// Lengths of hose that were counted: 2 x 20 m.
fn lengths(text: &str, example: &Quantity) -> Option<String> {
    let (count, each) = text.split_once(['x', '*'])?;
    let count = count.trim().parse::<i128>().ok()?;
    let each = Quantity::read(each.trim()).ok()?;
    let sum = each.number().mul(Fraction::whole(count))?;
    let sum = Quantity::new(sum, each.unit());
    (each.dimension() == example.dimension()).then(|| sum.to_string())
}

/// A date in another order: in the one in which its numbers are a day, or in both.
fn date(text: &str) -> Option<Mend> {
    let parts: Vec<u32> = text
        .split(['.', '/', '-', ' '])
        .filter(|part| !part.is_empty())
        .map(|part| part.parse().ok())
        .collect::<Option<_>>()?;
    let day = |year: u32, month: u32, day: u32| {
        let text = format!("{year:04}-{month:02}-{day:02}");
        Day::read(&text).map(|_| text)
    };
    let [a, b, c] = *parts.as_slice() else { return None };
    // A number of more than two digits cannot be a day or a month: the year stands first.
    if a > 99 {
        return day(a, b, c).map(Mend::Exactly);
    }
    let (year, month_first, day_first) = (c, day(c, a, b), day(c, b, a));
    // A year of two digits could as well be a day: nobody but the author knows.
    if year <= 99 {
        return None;
    }
    match (month_first, day_first) {
        // Nobody who parts the numbers with points writes the month first.
        (_, Some(day)) if text.contains('.') => Some(Mend::Exactly(day)),
        // The third of March and the fourth of it are one text: the author alone knows.
        (Some(one), Some(other)) if one != other => Some(Mend::Either(one, other)),
        (one, other) => one.or(other).map(Mend::Exactly),
    }
}

/// A list that was written as one text.
fn listed(finding: &Finding, eg: Option<String>) -> Option<Mend> {
    let of = |name: &str| {
        finding.blanks.iter().find(|(key, _)| *key == name).map(|(_, text)| text.as_str())
    };
    let text = of("text").map(str::trim).filter(|text| !text.is_empty());
    if of("wanted") != Some("⟨wire.list-value⟩") {
        // A list of one, where one value belongs, is that value; of anything else an example is shown.
        let alone = text.filter(|_| of("found") == Some("⟨wire.list-value⟩"));
        let alone = alone.map(|text| Mend::Exactly(text.to_owned()));
        return alone.or_else(|| eg.map(Mend::Such));
    }
    match text {
        Some(text) => {
            let parts: Vec<&str> = text.split([',', ';']).map(str::trim).collect();
            Some(Mend::Exactly(format!("[{}]", parts.join(", "))))
        }
        None => eg.map(Mend::Such),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn proposed(text: &str, eg: &str) -> String {
        match figure(text, eg) {
            Mend::Exactly(text) => text,
            Mend::Either(one, other) => format!("{one} | {other}"),
            Mend::Such(text) => format!("~{text}"),
        }
    }

    #[test]
    fn the_authors_number_stays() {
        for (text, eg, wanted) in [
            ("125,5 gpm", "95 gpm", "125.5 gpm"),
            ("gpm 125", "95 gpm", "125 gpm"),
            ("about 125 gpm", "95 gpm", "125 gpm"),
            ("125 gallons per minute", "95 gpm", "125 gpm"),
            ("0,4 m3/min", "360 L/min", "0.4 m3/min"),
            ("2,9 m3", "2900 L", "2.9 m3"),
            ("0,38 bar", "38 kPa/(100 L/min)^2/100 m", "~38 kPa/(100 L/min)^2/100 m"),
            ("0,1 gpm/ft^2", "0.1 gpm/ft2", "0.1 gpm/ft2"),
            ("one hundred gpm", "95 gpm", "~95 gpm"),
            ("95-125 gpm", "95 gpm", "~95 gpm"),
            ("half", "1 %", "~1 %"),
            ("125", "95 gpm", "125 gpm"),
            ("1 3/4\"", "1.75 in", "1.75 in"),
            ("1¾ in", "1.75 in", "1.75 in"),
            ("200'", "50 ft", "200 ft"),
            ("2 x 20 m", "60 m", "40 m"),
            ("3 × 50 ft", "200 ft", "150 ft"),
            ("3:00", "2 min", "3 min"),
            ("2:30", "2 min", "150 s"),
            ("9:30", "9 h", "9.5 h"),
            ("9:20", "9 h", "560 min"),
            ("2:75", "2 min", "~2 min"),
            ("3", "2 min", "3 min"),
            ("0.65", "65 %", "65 %"),
            ("0.8", "80 %", "80 %"),
            ("80", "80 %", "80 %"),
            ("0.01", "1 %", "1 % | 0.01 %"),
            ("0.1", "0.1 %", "0.1 %"),
            ("0.5", "[0.3 %, 0.5 %]", "0.5 %"),
            ("0.02", "6 %", "2 % | 0.02 %"),
            ("", "95 gpm", "~95 gpm"),
        ] {
            assert_eq!(proposed(text, eg), wanted, "{text}");
        }
    }

    #[test]
    fn what_is_proposed_can_be_read() {
        for text in ["1,5", "7", "1/2", "3/0", "9/9/9", "1.2.3", ",", "./", "∞ 4", "１２"]
        {
            for eg in ["95 gpm", "0.5 %", "2 min", "1.75 in", "no figure"] {
                match figure(text, eg) {
                    Mend::Exactly(text) => drop(Quantity::read(&text).unwrap()),
                    Mend::Either(one, other) => {
                        assert!(
                            Quantity::read(&one).is_ok()
                                && Quantity::read(&other).is_ok()
                        );
                    }
                    Mend::Such(such) => assert_eq!(such, eg),
                }
            }
        }
    }

    #[test]
    fn a_date_is_what_its_numbers_allow() {
        let said = |text: &str| match date(text)? {
            Mend::Exactly(one) | Mend::Such(one) => Some(one),
            Mend::Either(one, other) => Some(format!("{one} | {other}")),
        };
        for (text, wanted) in [
            ("14.3.2026", "2026-03-14"),
            ("3.12.2026", "2026-12-03"),
            ("03/14/2026", "2026-03-14"),
            ("12/3/2026", "2026-12-03 | 2026-03-12"),
            ("2026/3/14", "2026-03-14"),
            ("4.4.2026", "2026-04-04"),
        ] {
            assert_eq!(said(text).as_deref(), Some(wanted));
        }
        for text in ["2026-13-14", "March 2026", "3.4.26", "", "1.2", "99999999999.1.2"] {
            assert_eq!(said(text), None, "{text}");
        }
    }
}
