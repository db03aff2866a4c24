//! Days of the engine against the calendar of a library.

use chrono::{Datelike, Duration, NaiveDate};
use drillwright::quantity::{Day, Moment};

#[test]
fn days_are_those_of_the_calendar_library() {
    let first = NaiveDate::from_ymd_opt(1970, 1, 1).unwrap();
    // Four hundred years hold every sort of year and every turn of a century.
    for days in -50_000..100_000 {
        let known = first + Duration::days(days);
        let day = Day::since_1970(days);
        assert_eq!(day.to_string(), known.to_string());
        assert_eq!(Day::read(&known.to_string()), Some(day));
    }
}

#[test]
fn a_day_is_read_where_the_library_knows_it_and_nowhere_else() {
    for year in [1, 4, 100, 400, 1900, 2000, 2024, 2026, 2100, 9999] {
        for (month, day) in (0..14).flat_map(|m| (0..33).map(move |d| (m, d))) {
            let text = format!("{year:04}-{month:02}-{day:02}");
            let known = NaiveDate::from_ymd_opt(year, month, day);
            assert_eq!(Day::read(&text).is_some(), known.is_some(), "{text}");
            if let Some(known) = known {
                assert_eq!(known.year(), year);
                let noon = Moment::of(Day::read(&text).unwrap(), 720);
                assert_eq!(noon.to_string(), format!("{known} 12:00"));
            }
        }
    }
}
