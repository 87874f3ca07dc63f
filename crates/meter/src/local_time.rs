//! The clock on the wall of the house, for months and hours.
//!
//! In: seconds since 1970 UTC. Out: date and hour as the house sees them. Start at [`LocalTime`]. The rule of a Green
//! Button file is read here; a zone by name comes from the caller, because its rules live outside this crate.

use jiff::civil::{Date, Weekday};
use jiff::tz::TimeZone;

/// How the local time is known.
#[derive(Debug, Clone, PartialEq)]
pub enum LocalTime {
    /// It is not: UTC stands in.
    Utc,
    /// By the offset and clock-change rule of the file.
    Rule(ClockRule),
    /// By a zone that the caller named.
    Zone(TimeZone),
}

/// Offset from UTC, and when the clock changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ClockRule {
    /// Offset of the standard time, seconds east of UTC.
    pub offset_s: i64,
    /// What summer time adds, and from when to when; none without a usable rule.
    pub summer: Option<Summer>,
}

/// Summer time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Summer {
    /// Seconds added.
    pub adds_s: i64,
    /// Begins, by standard time.
    pub from: YearlyMoment,
    /// Ends, by summer time.
    pub to: YearlyMoment,
}

/// A moment that comes every year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct YearlyMoment {
    month: i8,
    day: DayRule,
    second_of_day: i64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum DayRule {
    OfMonth(i8),
    OnOrAfter(i8, Weekday),
    /// First to fifth; −1 is the last.
    Occurrence(i8, Weekday),
}

/// Date and hour at the house.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Local {
    /// Date.
    pub date: Date,
    /// Second of the day, 0 to 86,399.
    pub second_of_day: u32,
}

impl Local {
    /// Hour, 0 to 23.
    pub fn hour(&self) -> usize {
        (self.second_of_day / 3600) as usize
    }
}

impl YearlyMoment {
    /// Reads a rule as the schema packs it into 32 bits.
    ///
    /// Source: NAESB ESPI schema, type `DstRuleType`: seen in bindings generated from the schema. Bits 0 to 11 seconds, 12
    /// to 16 hours, 17 to 19 day of the week (1 Monday to 7 Sunday), 20 to 24 day of the month, 25 to 27 operator, 28 to 31
    /// month; operator 0 the day of the month, 1 the weekday on or after it, 2 to 6 the first to fifth, 7 the last.
    ///
    /// ```
    /// use meter::YearlyMoment;
    /// // The schema's own example: third Friday in March at 1:45.
    /// let bits: u32 = 2700 | 1 << 12 | 5 << 17 | 4 << 25 | 3 << 28;
    /// let moment = YearlyMoment::from_hex(&format!("{bits:08X}")).expect("a rule");
    /// assert_eq!(moment.in_year(2024).map(|at| at.to_string()), Some("2024-03-15T01:45:00".into()));
    /// ```
    pub fn from_hex(text: &str) -> Option<Self> {
        let text = text.trim();
        if text.len() != 8 {
            return None;
        }
        let bits = u32::from_str_radix(text, 16).ok()?;
        let part = |from: u32, count: u32| (bits >> from) & ((1 << count) - 1);
        let small = |from, count| i8::try_from(part(from, count)).ok();
        let (seconds, hours) = (part(0, 12), part(12, 5));
        let (weekday, day, month) = (small(17, 3)?, small(20, 5)?, small(28, 4)?);
        if seconds >= 3600 || hours >= 24 || !(1..=12).contains(&month) {
            return None;
        }
        let weekday = || Weekday::from_monday_one_offset(weekday).ok();
        let day_of_month = || (1..=31).contains(&day).then_some(day);
        let day = match part(25, 3) {
            0 => DayRule::OfMonth(day_of_month()?),
            1 => DayRule::OnOrAfter(day_of_month()?, weekday()?),
            7 => DayRule::Occurrence(-1, weekday()?),
            count => DayRule::Occurrence(i8::try_from(count).ok()? - 1, weekday()?),
        };
        Some(Self {
            month,
            day,
            second_of_day: i64::from(hours * 3600 + seconds),
        })
    }

    /// The moment in a year; none when the year has no such day.
    pub fn in_year(&self, year: i16) -> Option<jiff::civil::DateTime> {
        let date = match self.day {
            DayRule::OfMonth(day) => Date::new(year, self.month, day).ok()?,
            DayRule::OnOrAfter(day, weekday) => {
                let first = Date::new(year, self.month, day).ok()?;
                let ahead = first.weekday().until(weekday);
                first.checked_add(jiff::Span::new().days(i64::from(ahead))).ok()?
            }
            DayRule::Occurrence(count, weekday) => Date::new(year, self.month, 1)
                .ok()?
                .nth_weekday_of_month(count, weekday)
                .ok()?,
        };
        let time = jiff::civil::Time::midnight();
        date.to_datetime(time)
            .checked_add(jiff::SignedDuration::from_secs(self.second_of_day))
            .ok()
    }
}

impl ClockRule {
    /// Offset at a moment, seconds east of UTC.
    fn offset_at(&self, unix_s: i64) -> i64 {
        let Some(summer) = self.summer else {
            return self.offset_s;
        };
        let Some(year) = date_of(unix_s + self.offset_s).map(Date::year) else {
            return self.offset_s;
        };
        let (Some(from), Some(to)) = (summer.from.in_year(year), summer.to.in_year(year)) else {
            return self.offset_s;
        };
        let from = seconds_of(from) - self.offset_s;
        let to = seconds_of(to) - self.offset_s - summer.adds_s;
        // South of the equator summer spans the turn of the year.
        let is_summer = if from <= to {
            from <= unix_s && unix_s < to
        } else {
            unix_s < to || from <= unix_s
        };
        self.offset_s + if is_summer { summer.adds_s } else { 0 }
    }
}

/// Days since 1970 of a civil date, times a day.
fn seconds_of(at: jiff::civil::DateTime) -> i64 {
    let since = at.duration_since(jiff::civil::DateTime::constant(1970, 1, 1, 0, 0, 0, 0));
    since.as_secs()
}

fn date_of(local_s: i64) -> Option<Date> {
    let days = i32::try_from(local_s.div_euclid(86_400)).ok()?;
    Date::constant(1970, 1, 1)
        .checked_add(jiff::Span::new().try_days(days).ok()?)
        .ok()
}

impl LocalTime {
    /// What the house calls a moment.
    ///
    /// Moments of this crate lie between 1970 and 2100; for others the first day of 1970 stands in.
    pub fn at(&self, unix_s: i64) -> Local {
        let offset_s = match self {
            Self::Utc => 0,
            Self::Rule(rule) => rule.offset_at(unix_s),
            Self::Zone(zone) => {
                jiff::Timestamp::from_second(unix_s).map_or(0, |at| i64::from(zone.to_offset(at).seconds()))
            }
        };
        let local_s = unix_s + offset_s;
        Local {
            date: date_of(local_s).unwrap_or(Date::constant(1970, 1, 1)),
            second_of_day: u32::try_from(local_s.rem_euclid(86_400)).unwrap_or(0),
        }
    }

    /// How the local time is known, in words.
    pub fn words(&self) -> String {
        match self {
            Self::Utc => "UTC, for want of a local time".to_owned(),
            Self::Rule(rule) => {
                let sign = if rule.offset_s < 0 { '-' } else { '+' };
                let minutes = rule.offset_s.abs() / 60;
                let summer = if rule.summer.is_some() { "with" } else { "without" };
                format!(
                    "UTC{sign}{:02}:{:02} {summer} summer time, from the file",
                    minutes / 60,
                    minutes % 60
                )
            }
            Self::Zone(zone) => zone.iana_name().unwrap_or("zone given").to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn us(offset_h: i64) -> ClockRule {
        ClockRule {
            offset_s: offset_h * 3600,
            summer: Some(Summer {
                adds_s: 3600,
                from: YearlyMoment::from_hex("360E2000").unwrap(),
                to: YearlyMoment::from_hex("B40E2000").unwrap(),
            }),
        }
    }

    #[test]
    fn the_rule_of_the_sample_files_agrees_with_the_zone_database() {
        // Independent: the IANA zone, every half hour of 2011 and 2012.
        let zone = LocalTime::Zone(TimeZone::get("America/Los_Angeles").unwrap());
        let rule = LocalTime::Rule(us(-8));
        for step in 0..2 * 366 * 48 {
            let at = 1_293_840_000 + step * 1800;
            assert_eq!(rule.at(at), zone.at(at), "{at}");
        }
    }

    #[test]
    fn south_of_the_equator_summer_spans_the_new_year() {
        // Independent: the IANA zone. First Sunday of October 2:00 to first Sunday of April 3:00, Sydney.
        let moment = |month: u32, hour: u32| {
            let bits = hour << 12 | 7 << 17 | 2 << 25 | month << 28;
            YearlyMoment::from_hex(&format!("{bits:08X}")).unwrap()
        };
        let rule = LocalTime::Rule(ClockRule {
            offset_s: 36_000,
            summer: Some(Summer {
                adds_s: 3600,
                from: moment(10, 2),
                to: moment(4, 3),
            }),
        });
        let zone = LocalTime::Zone(TimeZone::get("Australia/Sydney").unwrap());
        for step in 0..366 * 48 {
            let at = 1_672_531_200 + step * 1800;
            assert_eq!(rule.at(at), zone.at(at), "{at}");
        }
    }

    #[test]
    fn what_is_no_rule_is_refused() {
        for text in [
            "",
            "B40E",
            "FFFFFFFF",
            "00000000",
            "360E2000 0",
            "zzzzzzzz",
            "36000000",
        ] {
            assert!(YearlyMoment::from_hex(text).is_none(), "{text}");
        }
        assert!(YearlyMoment::from_hex("B60E2000").is_some());
    }
}
