//! The material list as a file of comma-separated values: item, quantity, unit, basis.
//!
//! In: the lines of `takeoff`. Out: bytes. Counts nothing; the quoting is the `csv` crate's.

use quantity::UnitSystem;
use takeoff::{MaterialLine, Quantity};

/// The list with a head line; lengths in the unit of `units`.
pub(crate) fn csv(lines: &[MaterialLine], units: UnitSystem) -> Result<Vec<u8>, csv::Error> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(["item", "quantity", "unit", "basis"])?;
    for line in lines {
        writer.write_record(row(line, units))?;
    }
    writer.into_inner().map_err(|error| error.into_error().into())
}

fn row(line: &MaterialLine, units: UnitSystem) -> [String; 4] {
    let (number, unit) = match line.quantity {
        Quantity::Count(count) => (count.to_string(), "piece"),
        Quantity::Length(length) => {
            let shown = length.show(units);
            // A spreadsheet wants no grouping and no noise in the last digits.
            let hundredths = (shown.value() * 100.0).round() / 100.0;
            (hundredths.to_string(), shown.unit())
        }
        Quantity::NotCounted => (String::new(), "not counted"),
    };
    let basis = match &line.source {
        Some(source) => format!("{} [{source}]", line.basis),
        None => line.basis.clone(),
    };
    [line.item.clone(), number, unit.to_owned(), basis]
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Length;
    use trace::{Source, SourceStatus};

    fn line(item: &str, quantity: Quantity, basis: &str) -> MaterialLine {
        MaterialLine {
            item: item.to_owned(),
            quantity,
            basis: basis.to_owned(),
            source: None,
        }
    }

    #[test]
    fn what_is_written_reads_back_as_the_lines() {
        let mut lines = vec![
            line(
                "cable, 6 AWG",
                Quantity::Length(Length::from_feet(1195.0)),
                "circuit \"W1\", twice",
            ),
            line("breaker", Quantity::Count(2), "one\ntwo"),
            line("pipe", Quantity::NotCounted, "not marked"),
        ];
        lines[0].source = Some(Source {
            document: "field practice".to_owned(),
            edition: None,
            place: None,
            status: SourceStatus::CommonPractice,
        });
        for units in [UnitSystem::Us, UnitSystem::Si] {
            let bytes = csv(&lines, units).expect("a file");
            let mut reader = csv::Reader::from_reader(bytes.as_slice());
            assert_eq!(
                reader.headers().expect("a head"),
                vec!["item", "quantity", "unit", "basis"]
            );
            let rows: Vec<_> = reader.records().map(|row| row.expect("a row")).collect();
            assert_eq!(rows.len(), lines.len());
            for (row, line) in rows.iter().zip(&lines) {
                assert_eq!(&row[0], line.item);
                assert!(row[3].starts_with(&line.basis));
                match line.quantity {
                    Quantity::Count(count) => assert_eq!(row[1].parse::<u32>().ok(), Some(count)),
                    Quantity::Length(length) => {
                        let read: Length = format!("{} {}", &row[1], &row[2]).parse().expect("a length");
                        assert!((read.as_feet() - length.as_feet()).abs() < 0.02, "{row:?}");
                    }
                    Quantity::NotCounted => assert_eq!((&row[1], &row[2]), ("", "not counted")),
                }
            }
            assert!(rows[0][3].ends_with("[field practice (common practice, no source)]"));
        }
    }
}
