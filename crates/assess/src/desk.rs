//! The one door to the outside: what an assessment needs and must not fetch for itself.

use job::{ElectricalEdition, PlumbingEdition};

/// What lies on the desk of whoever runs the assessment.
pub trait Desk {
    /// Today's date, printed on papers.
    fn today(&self) -> jiff::civil::Date;

    /// Electrical code edition adopted where the work is done, if the desk knows it; the record's own entry wins.
    fn electrical_edition(&self) -> Option<ElectricalEdition> {
        None
    }

    /// Plumbing code edition adopted where the work is done, if the desk knows it; the record's own entry wins.
    fn plumbing_edition(&self) -> Option<PlumbingEdition> {
        None
    }
}

/// A desk with nothing on it but a date: tests, and the command line.
#[derive(Debug, Clone, Copy)]
pub struct DatedDesk {
    /// The date.
    pub today: jiff::civil::Date,
    /// Electrical edition asked for, overriding the record's.
    pub electrical: Option<ElectricalEdition>,
}

impl Desk for DatedDesk {
    fn today(&self) -> jiff::civil::Date {
        self.today
    }

    fn electrical_edition(&self) -> Option<ElectricalEdition> {
        self.electrical
    }
}
