//! Dates and times as meter files write them.
//!
//! In: text. Out: a moment, or a local date and time that still wants its zone. Knows `2024-03-10T02:15:00-05:00`,
//! `2024-03-10 02:15`, `2024/03/10 2:15`, `03/10/2024 2:15 AM`, `10.03.2024 02:15`, and seconds since 1970.

use jiff::civil::{Date, DateTime, Time};

/// A moment as written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stamp {
    /// Seconds since 1970 UTC.
    Unix(i64),
    /// A local time.
    Civil(DateTime),
}

/// Order of day and month in a date with slashes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateOrder {
    MonthFirst,
    DayFirst,
}

pub(crate) fn stamp(text: &str, order: DateOrder) -> Option<Stamp> {
    let text = text.trim();
    // Digits alone are seconds since 1970; eight of them are a date written together, which nothing else says.
    if text.len() > 8 && text.bytes().all(|byte| byte.is_ascii_digit()) {
        return text.parse().ok().map(Stamp::Unix);
    }
    let (date, rest) = match text.split_once(['T', ' ']) {
        Some((date, rest)) => (date, rest.trim()),
        None => (text, ""),
    };
    let date = date_of(date, order)?;
    let (time, offset_s) = time_of(rest)?;
    // 24:00 is midnight at the end of the day.
    let (date, time) = match time {
        Some(time) => (date, time),
        None => (date.tomorrow().ok()?, Time::midnight()),
    };
    let civil = date.to_datetime(time);
    Some(match offset_s {
        Some(offset_s) => {
            let since = civil.duration_since(DateTime::constant(1970, 1, 1, 0, 0, 0, 0));
            Stamp::Unix(since.as_secs() - offset_s)
        }
        None => Stamp::Civil(civil),
    })
}

fn date_of(text: &str, order: DateOrder) -> Option<Date> {
    let separator = text.chars().find(|c| matches!(c, '-' | '/' | '.'))?;
    let mut parts = text.split(separator);
    let (first, second, third) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() {
        return None;
    }
    let number = |text: &str| text.parse::<i16>().ok().filter(|number| *number >= 0);
    let small = |text: &str| number(text).and_then(|number| i8::try_from(number).ok());
    let (year, month, day) = if first.len() == 4 {
        (number(first)?, small(second)?, small(third)?)
    } else {
        let day_first = separator == '.' || order == DateOrder::DayFirst;
        let (month, day) = if day_first {
            (second, first)
        } else {
            (first, second)
        };
        let year = number(third)?;
        let year = if third.len() == 2 { 2000 + year } else { year };
        (year, small(month)?, small(day)?)
    };
    Date::new(year, month, day).ok()
}

/// Time of day (none for 24:00) and offset from UTC in seconds.
#[allow(clippy::option_option, reason = "unreadable, 24:00, or a time")]
fn time_of(text: &str) -> Option<(Option<Time>, Option<i64>)> {
    if text.is_empty() {
        return Some((Some(Time::midnight()), None));
    }
    let upper = text.to_ascii_uppercase();
    let (clock, offset_s) = split_offset(upper.trim())?;
    let (clock, half) = match clock.strip_suffix('M') {
        Some(before) => (before.trim_end_matches(['A', 'P']).trim(), before.chars().last()),
        None => (clock, None),
    };
    let mut parts = clock.split(':');
    let mut next = || parts.next().map(str::trim);
    let hour: i8 = next()?.parse().ok()?;
    let minute: i8 = next().unwrap_or("0").parse().ok()?;
    let second = next().unwrap_or("0");
    let second: i8 = second.split('.').next()?.parse().ok()?;
    if parts.next().is_some() {
        return None;
    }
    let hour = match half {
        None => hour,
        Some('A') if (1..=12).contains(&hour) => hour % 12,
        Some('P') if (1..=12).contains(&hour) => hour % 12 + 12,
        Some(_) => return None,
    };
    if (hour, minute, second) == (24, 0, 0) {
        return Some((None, offset_s));
    }
    Some((Some(Time::new(hour, minute, second, 0).ok()?), offset_s))
}

fn split_offset(text: &str) -> Option<(&str, Option<i64>)> {
    if let Some(clock) = text.strip_suffix('Z') {
        return Some((clock.trim(), Some(0)));
    }
    let Some(at) = text.rfind(['+', '-']) else {
        return Some((text, None));
    };
    let (clock, offset) = (text[..at].trim(), &text[at..]);
    let digits: String = offset[1..].chars().filter(char::is_ascii_digit).collect();
    let (hours, minutes) = match digits.len() {
        2 => (digits.as_str(), "0"),
        4 => digits.split_at(2),
        _ => return None,
    };
    let seconds = hours.parse::<i64>().ok()? * 3600 + minutes.parse::<i64>().ok()? * 60;
    let sign = if offset.starts_with('-') { -1 } else { 1 };
    (seconds <= 86_400).then_some((clock, Some(sign * seconds)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unix(text: &str) -> Option<i64> {
        match stamp(text, DateOrder::MonthFirst) {
            Some(Stamp::Unix(unix_s)) => Some(unix_s),
            _ => None,
        }
    }

    fn civil(text: &str, order: DateOrder) -> Option<String> {
        match stamp(text, order) {
            Some(Stamp::Civil(civil)) => Some(civil.to_string()),
            _ => None,
        }
    }

    #[test]
    fn moments_with_an_offset() {
        // Independent: jiff's own reader.
        for text in [
            "2015-11-22T00:00:00-06:00",
            "2024-03-10T02:15:00+05:30",
            "2024-03-10T02:15:00Z",
        ] {
            let theirs: jiff::Timestamp = text.parse().unwrap();
            assert_eq!(unix(text), Some(theirs.as_second()), "{text}");
        }
        assert_eq!(unix("1330578000"), Some(1_330_578_000));
        assert_eq!(unix("2024-03-10 02:15:00.000 -0500"), Some(1_710_054_900));
    }

    #[test]
    fn local_times_as_people_write_them() {
        let us = |text| civil(text, DateOrder::MonthFirst);
        assert_eq!(us("3/10/2024 2:15 PM").as_deref(), Some("2024-03-10T14:15:00"));
        assert_eq!(us("03/10/24 12:00 AM").as_deref(), Some("2024-03-10T00:00:00"));
        assert_eq!(us("2024-03-10 02:15").as_deref(), Some("2024-03-10T02:15:00"));
        assert_eq!(us("10.03.2024 24:00").as_deref(), Some("2024-03-11T00:00:00"));
        assert_eq!(us("2024/03/10").as_deref(), Some("2024-03-10T00:00:00"));
        assert_eq!(
            civil("10/3/2024 1:05", DateOrder::DayFirst).as_deref(),
            Some("2024-03-10T01:05:00")
        );
    }

    #[test]
    fn what_is_no_time_is_none() {
        for text in [
            "",
            "Total",
            "13/13/2024 1:00",
            "2024-02-30",
            "1/2/3/4",
            "2024-03-10 25:00",
            "2024-03-10 0:15 PM",
            "-1-1-1",
            "2024-03-10T1+999",
        ] {
            assert_eq!(stamp(text, DateOrder::MonthFirst), None, "{text}");
        }
    }
}
