//! Nominal supply systems of dwellings, and the voltage ranges that utilities keep.
//!
//! In: the name of a system. Out: its voltages and how elements connect to it; the range at delivery and at the
//! appliance. Every difference between systems is a column of the file, so that no code asks which system it is.

use crate::absent::Absent;
use crate::table::{Table, embedded};
use quantity::Voltage;
use serde::Deserialize;
use std::sync::LazyLock;
use trace::{Source, SourceStatus};

/// How a two-terminal element is connected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Connection {
    /// Between two lines.
    LineToLine,
    /// Between a line and the neutral.
    LineToNeutral,
}

/// A nominal supply system.
#[derive(Debug, Clone, PartialEq)]
pub struct Supply {
    /// Short name: "120/240 V".
    pub id: String,
    /// In words.
    pub name: String,
    /// Phases, 1 or 3.
    pub phases: u8,
    /// Line conductors of the service.
    pub ungrounded: u8,
    /// Between two lines; none where there is one line.
    pub line_to_line: Option<Voltage>,
    /// Between a line and the neutral.
    pub line_to_neutral: Voltage,
    /// Between a line and ground.
    pub to_ground: Voltage,
    /// How an element is usually connected.
    pub usual_connection: Connection,
    /// What an element connected that way sees.
    pub element_voltage: Voltage,
    /// What a balanced load is divided by, with the root of the number of phases.
    pub load_voltage: Voltage,
    /// The neutral of a circuit with two lines and neutral counts as current-carrying.
    pub neutral_carries: bool,
    /// Frequency in hertz.
    pub frequency_hz: f64,
}

/// The supply system of that name.
///
/// ```
/// use tables::voltage::supply;
/// let supply = supply("120/208 V")?;
/// assert!((supply.element_voltage.as_volts() - 208.0).abs() < 1e-9);
/// # Ok::<(), tables::absent::Absent>(())
/// ```
pub fn supply(id: &str) -> Result<&'static Supply, Absent> {
    supplies()
        .iter()
        .find(|supply| supply.id == id)
        .ok_or_else(|| Absent::Name {
            kind: "supply system",
            name: id.to_owned(),
            known: supplies()
                .iter()
                .map(|supply| supply.id.as_str())
                .collect::<Vec<_>>()
                .join(", "),
        })
}

/// All supply systems, in the order of the file.
pub fn supplies() -> &'static [Supply] {
    &SUPPLIES
}

/// Which of the two ranges of the standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
pub enum VoltageRange {
    /// Usual.
    A,
    /// Short and infrequent.
    B,
}

/// Where a range holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum VoltagePoint {
    /// Where the utility delivers.
    Service,
    /// At the appliance.
    Utilization,
}

/// The limits of a voltage.
#[derive(Debug, Clone, PartialEq)]
pub struct VoltageLimits {
    /// Lowest.
    pub low: Voltage,
    /// Highest.
    pub high: Voltage,
    /// Where they come from.
    pub source: Source,
}

/// The limits of a supply system's voltage for one connection.
pub fn voltage_limits(
    supply: &Supply,
    connection: Connection,
    range: VoltageRange,
    point: VoltagePoint,
) -> Result<VoltageLimits, Absent> {
    let row = RANGES
        .rows
        .iter()
        .find(|row| row.system == supply.id && row.range == range && row.point == point)
        .ok_or_else(|| Absent::Row {
            table: "the table of voltage ranges",
            row: format!("{}, range {range:?}, {point:?}", supply.id),
            fix: "ask the utility for its limits",
        })?;
    let (low, high) = match connection {
        Connection::LineToNeutral => (Some(row.line_to_neutral_low_v), Some(row.line_to_neutral_high_v)),
        Connection::LineToLine => (row.line_to_line_low_v, row.line_to_line_high_v),
    };
    let cell = |volts: Option<f64>| {
        volts.map(Voltage::from_volts).ok_or_else(|| Absent::Cell {
            table: "the table of voltage ranges",
            row: supply.id.clone(),
            column: "line to line".to_owned(),
            fix: "this system has one line; take line to neutral",
        })
    };
    Ok(VoltageLimits {
        low: cell(low)?,
        high: cell(high)?,
        source: Source {
            document: row.standard.clone(),
            edition: None,
            place: Some(format!("{} system, range {range:?}", supply.id)),
            status: row.status,
        },
    })
}

#[derive(Debug, Deserialize)]
struct SupplyRow {
    id: String,
    name: String,
    phases: u8,
    ungrounded: u8,
    line_to_line_v: Option<f64>,
    line_to_neutral_v: f64,
    to_ground_v: f64,
    element_v: f64,
    element_connection: Connection,
    load_v: f64,
    neutral_carries: bool,
    frequency_hz: f64,
}

#[derive(Debug, Deserialize)]
struct RangeRow {
    system: String,
    range: VoltageRange,
    point: VoltagePoint,
    line_to_neutral_low_v: f64,
    line_to_neutral_high_v: f64,
    line_to_line_low_v: Option<f64>,
    line_to_line_high_v: Option<f64>,
    standard: String,
    status: SourceStatus,
}

static SUPPLIES: LazyLock<Vec<Supply>> = LazyLock::new(|| {
    let table: Table<SupplyRow> = embedded(
        "supplies",
        include_str!("../../../data/tables/electrical/supplies.csv"),
    );
    table
        .rows
        .into_iter()
        .map(|row| Supply {
            id: row.id,
            name: row.name,
            phases: row.phases,
            ungrounded: row.ungrounded,
            line_to_line: row.line_to_line_v.map(Voltage::from_volts),
            line_to_neutral: Voltage::from_volts(row.line_to_neutral_v),
            to_ground: Voltage::from_volts(row.to_ground_v),
            usual_connection: row.element_connection,
            element_voltage: Voltage::from_volts(row.element_v),
            load_voltage: Voltage::from_volts(row.load_v),
            neutral_carries: row.neutral_carries,
            frequency_hz: row.frequency_hz,
        })
        .collect()
});

static RANGES: LazyLock<Table<RangeRow>> = LazyLock::new(|| {
    embedded(
        "voltage_ranges",
        include_str!("../../../data/tables/electrical/voltage_ranges.csv"),
    )
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn systems_are_consistent_in_themselves() {
        for supply in supplies() {
            let between = match supply.usual_connection {
                Connection::LineToLine => supply.line_to_line,
                Connection::LineToNeutral => Some(supply.line_to_neutral),
            };
            assert_eq!(between, Some(supply.element_voltage), "{}", supply.id);
            // Two legs of 120/240 V are 180° apart; legs of a wye system are 120° apart, which gives the root of three.
            if let Some(line_to_line) = supply.line_to_line {
                let ratio = line_to_line / supply.line_to_neutral;
                assert!(
                    (ratio - 2.0).abs() < 1e-9 || (ratio - 3_f64.sqrt()).abs() < 0.01,
                    "{}",
                    supply.id
                );
            }
        }
        assert!(supply("277/480 V").unwrap_err().to_string().contains("120/208 V"));
    }

    #[test]
    fn ranges_hold_the_nominal_voltage() {
        for supply in supplies() {
            let limits = voltage_limits(
                supply,
                supply.usual_connection,
                VoltageRange::A,
                VoltagePoint::Service,
            )
            .unwrap();
            assert!(
                limits.low < supply.element_voltage && supply.element_voltage < limits.high,
                "{}",
                supply.id
            );
        }
        // Fact sheet, section 11: service range A is ±5 %.
        let split = supply("120/240 V").unwrap();
        let limits = voltage_limits(
            split,
            Connection::LineToLine,
            VoltageRange::A,
            VoltagePoint::Service,
        )
        .unwrap();
        assert!((limits.low.as_volts() / 240.0 - 0.95).abs() < 1e-9);
        assert!((limits.high.as_volts() / 240.0 - 1.05).abs() < 1e-9);
        let single = supply("230 V").unwrap();
        let none = voltage_limits(
            single,
            Connection::LineToLine,
            VoltageRange::A,
            VoltagePoint::Service,
        );
        assert!(matches!(none, Err(Absent::Cell { .. })));
        let none = voltage_limits(
            single,
            Connection::LineToNeutral,
            VoltageRange::B,
            VoltagePoint::Service,
        );
        assert!(matches!(none, Err(Absent::Row { .. })));
    }
}
