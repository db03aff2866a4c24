//! Instants as a page reads them, and the time between them.
//!
//! A device's clock can be set in the middle of a run; the page's steady clock cannot, but it
//! begins anew when the page is loaded again. So the run has a time of its own that only
//! grows: by the steady clock within one loading, by the device's clock across two.

use serde::{Deserialize, Serialize};

use crate::quantity::{Day, Moment};

/// So far may the two clocks part within one loading before it is said, in milliseconds: a
/// clock that is set by the network moves by less, one that a person sets by more.
const PART: i64 = 5_000;
/// Milliseconds of a day, 24 hours by definition: no leap second is counted.
const DAY: i64 = 86_400_000;
/// No run lasts longer than a year; what a faulty clock says beyond is cut off.
const YEAR: i64 = 366 * DAY;

/// One reading of the page's clocks.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct At {
    /// Which loading of the page, by chance.
    #[serde(default)]
    pub boot: String,
    /// Milliseconds of the steady clock since that loading.
    #[serde(default)]
    pub steady: i64,
    /// Milliseconds since 1970 on the device's clock.
    #[serde(default)]
    pub wall: i64,
    /// Minutes by which local time lies behind universal time.
    #[serde(default)]
    pub zone: i64,
}

/// The time of a run so far.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Span {
    /// The last entry.
    pub last: Option<At>,
    /// Milliseconds since the first entry; never falls.
    pub now: i64,
    /// How often the page was loaded again.
    pub loads: u32,
    /// Whether the device's clock was set within a loading.
    pub clock_set: bool,
}

impl Span {
    /// Goes on to an instant.
    pub fn on_to(&mut self, at: &At) {
        if let Some(last) = &self.last {
            let wall = at.wall.saturating_sub(last.wall);
            let steady = at.steady.saturating_sub(last.steady);
            let passed = if at.boot == last.boot {
                self.clock_set |= wall.saturating_sub(steady).saturating_abs() > PART;
                steady
            } else {
                self.loads = self.loads.saturating_add(1);
                wall
            };
            // Time never runs backward, and a clock that jumps by centuries makes no run
            // of that length.
            self.now = self.now.saturating_add(passed.clamp(0, YEAR));
        }
        self.last = Some(at.clone());
    }
}

impl At {
    /// Local date and time to the minute: `2026-11-14 10:20`.
    pub fn minute(&self) -> String {
        let local = self.local();
        let minute = local.rem_euclid(DAY).div_euclid(60_000);
        Moment::of(Day::since_1970(local.div_euclid(DAY)), minute).to_string()
    }

    /// The same to the second.
    pub fn second(&self) -> String {
        let second = self.local().div_euclid(1000).rem_euclid(60);
        format!("{}:{second:02}", self.minute())
    }

    /// Milliseconds since 1970 on a clock that shows local time.
    fn local(&self) -> i64 {
        // A day each way holds every zone of the earth; years of four digits, whatever a
        // faulty clock says, because a run beyond them could not be written down nor sorted.
        let zone = self.zone.clamp(-1440, 1440).saturating_mul(60_000);
        self.wall.saturating_sub(zone).clamp(0, 2_900_000 * DAY)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(boot: &str, steady: i64, wall: i64) -> At {
        At { boot: boot.into(), steady, wall, zone: 0 }
    }

    #[test]
    fn local_time_is_what_the_device_shows() {
        assert_eq!(at("", 0, 0).minute(), "1970-01-01 00:00");
        let mut local = at("", 0, 20_782 * DAY + 52_265_000);
        local.zone = -60;
        assert_eq!(local.second(), "2026-11-25 15:31:05");
        assert_eq!(at("", 0, i64::MAX).minute(), "9909-12-07 00:00");
    }

    #[test]
    fn a_device_clock_that_is_set_changes_no_duration() {
        let mut span = Span::default();
        span.on_to(&at("a", 1_000, 50_000));
        span.on_to(&at("a", 4_000, 50_000 - DAY));
        assert_eq!((span.now, span.clock_set, span.loads), (3_000, true, 0));
        span.on_to(&at("b", 10, 50_000 - DAY + 2_000));
        assert_eq!((span.now, span.loads), (5_000, 1));
        span.on_to(&at("c", 10, -2 * DAY));
        assert_eq!(span.now, 5_000, "time never runs backward");
    }
}
