//! Dates as files have them. Whoever counts days asks elsewhere; here it is only said whether
//! a text is a day of the calendar.

/// Whether it is an ISO date that exists: `2026-11-02`.
pub(super) fn is_day(text: &str) -> bool {
    text.len() == 10 && date(text)
}

/// Whether it is a date with hours and minutes: `2026-11-14 10:20`. A leading zero may be left
/// out, as people write it on a sheet.
pub(super) fn is_moment(text: &str) -> bool {
    let Some((day, time)) = text.split_once(' ') else { return false };
    let Some((hour, minute)) = time.trim().split_once(':') else { return false };
    date(day)
        && number(hour, 2).is_some_and(|hour| hour < 24)
        && number(minute, 2).is_some_and(|minute| minute < 60)
}

fn date(text: &str) -> bool {
    let mut parts = text.split('-');
    let (Some(year), Some(month), Some(day), None) =
        (parts.next(), parts.next(), parts.next(), parts.next())
    else {
        return false;
    };
    let parts = (number(year, 4), number(month, 2), number(day, 2));
    let (Some(year), Some(month), Some(day)) = parts else { return false };
    (1..=days(year, month)).contains(&day)
}

/// Days of a month; none for a month that does not exist.
fn days(year: u32, month: u32) -> u32 {
    // The calendar of Gregory: every fourth year, of the full hundreds every fourth.
    let leap =
        year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        1..=12 => 31,
        _ => 0,
    }
}

/// A number of so many digits at most, and of nothing else.
fn number(text: &str, most: usize) -> Option<u32> {
    let digits = !text.is_empty() && text.len() <= most;
    (digits && text.bytes().all(|byte| byte.is_ascii_digit()))
        .then(|| text.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_those_of_the_calendar() {
        for day in ["2026-11-02", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert!(is_day(day), "{day}");
        }
        for day in [
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-04-31",
            "2026-1-02",
            "26-11-002",
            "2026-11-02 ",
            "2026-11",
            "2026-11-0a",
            "",
            "+026-11-02",
        ] {
            assert!(!is_day(day), "{day}");
        }
    }

    #[test]
    fn moments_have_hours_and_minutes() {
        for moment in ["2026-11-14 10:20", "2026-11-14 0:05", "2026-1-4 23:59"] {
            assert!(is_moment(moment), "{moment}");
        }
        for moment in
            ["2026-11-14", "2026-11-14 24:00", "2026-11-14 10:60", "2026-11-31 1:00"]
        {
            assert!(!is_moment(moment), "{moment}");
        }
    }
}
