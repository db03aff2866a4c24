//! Days of the calendar and minutes of a day, as files have them: `2026-11-14 10:20`.
//!
//! Compared as days and not as text, so that `2026-9-30` is before `2026-10-01`. What day it
//! is nobody here knows; a clock's reading is handed in.

use std::fmt;

/// A day of the Gregorian calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    // In this order, so that comparing the fields compares the days.
    year: i64,
    month: i64,
    of_month: i64,
}

/// A minute of a day, in the local time of whoever wrote it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Moment {
    day: Day,
    minute: i64,
}

/// Years of four digits: what `year-month-day` can hold.
const LAST_YEAR: i64 = 9999;
/// Minutes of a day: 24 hours by definition; local time that jumps is as it was written.
const MINUTES: i64 = 1440;

impl Day {
    /// `2026-11-02`, with both zeros; nothing for a day that no calendar has.
    pub fn read(text: &str) -> Option<Self> {
        Self::loose(text).filter(|day| day.to_string() == text)
    }

    /// The same day so many years on; 29 February then stands before every day of March.
    #[must_use]
    pub const fn years_on(self, years: i64) -> Self {
        Self { year: self.year.saturating_add(years), ..self }
    }

    /// The same where zeros may be left out, `2026-9-5`, as people type.
    fn loose(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let year = digits(parts.next()?, 4)?;
        let (month, day) = (digits(parts.next()?, 2)?, digits(parts.next()?, 2)?);
        // Months by the Gregorian calendar; the year 0 is one of it (ISO 8601), and
        // its leap rule needs no exception there: the years stay evenly spaced.
        let known = parts.next().is_none()
            && (0..=LAST_YEAR).contains(&year)
            && (1..=12).contains(&month)
            && (1..=length(year, month)).contains(&day);
        known.then_some(Self { year, month, of_month: day })
    }

    /// The day so many days after 1 January 1970, counted in years that begin with March, so
    /// that the leap day is the last of its year. What a faulty clock says beyond the years of
    /// four digits is cut off.
    pub fn since_1970(days: i64) -> Self {
        // From 1 March of the year 0 to 1 January 1970; the last is 31 December 9999:
        // beyond it a day cannot be written in four digits.
        let days = days.clamp(-719_468 + 306, 2_932_896) + 719_468;
        // 400 years have 97 leap days, 146,097 days.
        let (era, of_era) = (days.div_euclid(146_097), days.rem_euclid(146_097));
        // Every fourth year but the hundredth, and the four-hundredth again.
        let leaps = of_era.div_euclid(1460) - of_era.div_euclid(36_524)
            + of_era.div_euclid(146_096);
        let year = (of_era - leaps).div_euclid(365);
        let of_year = of_era - (365 * year + year.div_euclid(4) - year.div_euclid(100));
        // From March on five months have 153 days, over and over.
        let from_march = (5 * of_year + 2).div_euclid(153);
        let day = of_year - (153 * from_march + 2).div_euclid(5) + 1;
        // March is 0 here: ten months on it is January of the next year, which begins with
        // March in this count and is therefore one too low.
        let month = if from_march < 10 { from_march + 3 } else { from_march - 9 };
        Self { year: year + era * 400 + i64::from(month <= 2), month, of_month: day }
    }
}

impl Day {
    /// Days from 1 January 1970 to this one: the other way of [`since_1970`](Self::since_1970).
    pub const fn number(self) -> i64 {
        // Years that begin with March, so that the leap day is the last of its year.
        let (year, month) = if self.month > 2 {
            (self.year, self.month - 3)
        } else {
            (self.year - 1, self.month + 9)
        };
        let (era, of_era) = (year.div_euclid(400), year.rem_euclid(400));
        let of_year = (153 * month + 2).div_euclid(5) + self.of_month - 1;
        let days = 365 * of_era + of_era.div_euclid(4) - of_era.div_euclid(100) + of_year;
        // Days of 400 years; days from 1 March of the year 0 to 1 January 1970.
        era * 146_097 + days - 719_468
    }
}

impl Moment {
    /// `2026-11-14 10:20`, or with the T that a browser's field puts between; zeros may be
    /// left out.
    pub fn read(text: &str) -> Option<Self> {
        let (day, time) = text.split_once([' ', 'T'])?;
        let (hour, minute) = time.trim().split_once(':')?;
        let (hour, minute) = (digits(hour, 2)?, digits(minute, 2)?);
        // 24:00 is left out: it would be the same moment as 00:00 of another day, and a
        // sheet has one.
        let known = (0..24).contains(&hour) && (0..60).contains(&minute);
        let day = Day::loose(day).filter(|_| known)?;
        Some(Self { day, minute: hour * 60 + minute })
    }

    /// A minute of a day; one beyond its day is cut off.
    pub fn of(day: Day, minute: i64) -> Self {
        Self { day, minute: minute.clamp(0, MINUTES - 1) }
    }

    /// Its day.
    pub const fn day(self) -> Day {
        self.day
    }
}

impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.of_month)
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (hour, minute) = (self.minute.div_euclid(60), self.minute.rem_euclid(60));
        write!(out, "{} {hour:02}:{minute:02}", self.day)
    }
}

/// A number of so many digits at most and nothing else: no sign and no blank, which the reader of
/// numbers would take.
fn digits(text: &str, most: usize) -> Option<i64> {
    let plain =
        (1..=most).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    text.parse().ok().filter(|_| plain)
}

/// Days of a month.
const fn length(year: i64, month: i64) -> i64 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year.rem_euclid(4) == 0
            && (year.rem_euclid(100) != 0 || year.rem_euclid(400) == 0) =>
        {
            29
        }
        2 => 28,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_those_of_the_calendar() {
        for day in ["2026-11-02", "2000-02-29", "0000-01-01", "9999-12-31", "2024-02-29"]
        {
            assert_eq!(Day::read(day).unwrap().to_string(), day);
        }
        for none in [
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "2026-4-1",
            "2026-11-2",
            "26-11-02",
            "10000-01-01",
            "2026-11-02 ",
            "2026-11-02-1",
            "2026-11",
            "+026-11-02",
            "2026-११-02",
            "",
        ] {
            assert_eq!(Day::read(none), None, "{none}");
        }
    }

    #[test]
    fn days_since_1970_are_those_of_a_calendar_library() {
        let known = [
            (-719_162, "0001-01-01"),
            (0, "1970-01-01"),
            (11_016, "2000-02-29"),
            (11_017, "2000-03-01"),
            (20_782, "2026-11-25"),
            (47_540, "2100-02-28"),
            (47_541, "2100-03-01"),
            (2_932_896, "9999-12-31"),
            (i64::MAX, "9999-12-31"),
        ];
        for (days, date) in known {
            assert_eq!(Day::since_1970(days), Day::read(date).unwrap());
        }
        let mut before = Day::since_1970(-700_000);
        for days in -699_999..100_000 {
            let day = Day::since_1970(days);
            assert!(before < day && Day::read(&day.to_string()) == Some(day));
            before = day;
        }
    }

    #[test]
    fn moments_are_compared_as_times_and_not_as_text() {
        let read = |text| Moment::read(text).unwrap();
        assert!(read("2026-9-30 9:05") < read("2026-10-01 10:20"));
        assert!(read("2026-11-14T09:59") < read("2026-11-14 10:00"));
        assert_eq!(read("2026-11-14 9:05").to_string(), "2026-11-14 09:05");
        assert_eq!(read("2026-11-14T10:20").day(), Day::read("2026-11-14").unwrap());
        for none in ["2026-11-14", "2026-11-14 24:00", "2026-11-14 10:60", "x 10:20", ""]
        {
            assert_eq!(Moment::read(none), None, "{none}");
        }
    }
}
