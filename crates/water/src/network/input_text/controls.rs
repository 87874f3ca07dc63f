//! What simple controls and the status list have done by time 0.
//!
//! In: lines of CONTROLS, tank levels, the clock at the start. Out: statuses by link. Start at [`at_time_zero`].
//! Controls on a junction's pressure act only after a first solution; they are listed as left aside.

use super::sections::{InputTextError, LeftAside, Line, Sections};
use std::collections::BTreeMap;

/// What a status line or control says of a link.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Status {
    Open,
    Closed,
    Setting(f64),
}

impl Status {
    pub(super) fn of(line: &Line<'_>, word: &str) -> Result<Self, InputTextError> {
        match word.to_ascii_uppercase().as_str() {
            "OPEN" | "ACTIVE" => Ok(Self::Open),
            "CLOSED" => Ok(Self::Closed),
            _ => Ok(Self::Setting(line.to_number(word, "the status")?)),
        }
    }
}

/// Statuses by link name, the status list first, then the controls that hold at time 0. `level` gives the level of a
/// tank, or nothing for a junction.
pub(super) fn at_time_zero(
    sections: &Sections<'_>,
    level: impl Fn(&str) -> Option<f64>,
    left_aside: &mut Vec<LeftAside>,
) -> Result<BTreeMap<String, Status>, InputTextError> {
    let mut found = BTreeMap::new();
    for line in sections.lines("STATUS") {
        let name = line.word(0, "STATUS", "link")?;
        let status = Status::of(line, line.word(1, "STATUS", "status")?)?;
        found.insert(name.to_owned(), status);
    }
    let clock_s = start_clock_s(sections);
    for line in sections.lines("CONTROLS") {
        // LINK name status IF NODE name ABOVE|BELOW value, or AT TIME|CLOCKTIME value [AM|PM].
        let name = line.word(1, "CONTROLS", "link")?;
        let status = Status::of(line, line.word(2, "CONTROLS", "status")?)?;
        let holds = if line.is(3, "IF") {
            let node = line.word(5, "CONTROLS", "node")?;
            let value = line.number(7, "CONTROLS", "level")?;
            match level(node) {
                Some(level) if line.is(6, "BELOW") => level <= value,
                Some(level) => level >= value,
                None => {
                    left_aside.push(LeftAside {
                        line: line.number,
                        what: format!("control on the pressure at `{node}`"),
                    });
                    false
                }
            }
        } else {
            let word = line.word(5, "CONTROLS", "time")?;
            let time_s = time_s(word, line.words.get(6).copied());
            let now_s = if line.is(4, "CLOCKTIME") { clock_s } else { 0.0 };
            time_s.is_some_and(|time_s| (time_s - now_s).abs() < 0.5)
        };
        if holds {
            found.insert(name.to_owned(), status);
        }
    }
    Ok(found)
}

fn start_clock_s(sections: &Sections<'_>) -> f64 {
    let line = sections
        .lines("TIMES")
        .iter()
        .find(|line| line.is(0, "START") && line.is(1, "CLOCKTIME"));
    line.and_then(|line| time_s(line.words.get(2)?, line.words.get(3).copied()))
        .unwrap_or(0.0)
}

/// A time as hours, h:mm, or h:mm:ss, with AM, PM or a unit behind it.
pub(super) fn time_s(word: &str, unit: Option<&str>) -> Option<f64> {
    let mut time_s = 0.0;
    let mut part_s = 3600.0;
    for part in word.split(':') {
        time_s += part.parse::<f64>().ok()? * part_s;
        part_s /= 60.0;
    }
    let unit = unit.unwrap_or("HOURS").to_ascii_uppercase();
    match unit.as_str() {
        "AM" if time_s >= 12.0 * 3600.0 => time_s -= 12.0 * 3600.0,
        "PM" if time_s < 12.0 * 3600.0 => time_s += 12.0 * 3600.0,
        _ if unit.starts_with("SEC") => time_s /= 3600.0,
        _ if unit.starts_with("MIN") => time_s /= 60.0,
        _ if unit.starts_with("DAY") => time_s *= 24.0,
        _ => {}
    }
    Some(time_s)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_in_all_their_forms() {
        for (word, unit, expected) in [
            ("0", None, 0.0),
            ("1.5", None, 5400.0),
            ("1:30", None, 5400.0),
            ("0:00:30", None, 30.0),
            ("12", Some("AM"), 0.0),
            ("12:15", Some("am"), 900.0),
            ("3", Some("PM"), 54_000.0),
            ("90", Some("SEC"), 90.0),
            ("2", Some("days"), 172_800.0),
        ] {
            assert_eq!(time_s(word, unit), Some(expected), "{word} {unit:?}");
        }
        assert_eq!(time_s("soon", None), None);
    }
}
