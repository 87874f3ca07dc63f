//! The one door to the outside: what an assessment needs and must not fetch for itself.

use crate::MeterSummary;
use job::{ElectricalEdition, PlumbingEdition};
use rules::RuleBook;

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

    /// The rule book: the published one, unless the desk has local files on top of it.
    fn rule_book(&self) -> &RuleBook {
        RuleBook::embedded()
    }

    /// Editions of the rule book, by name, that take the place of the record's; of each family one.
    fn editions(&self) -> &[String] {
        &[]
    }

    /// What the meter file that the record names says, if the desk has read it.
    fn meter(&self) -> Option<MeterSummary> {
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

/// Another desk, with what the record's meter file says.
#[derive(Debug, Clone, Copy)]
pub struct MeteredDesk<D> {
    /// The desk as it was.
    pub desk: D,
    /// What the file says, where there is one.
    pub meter: Option<MeterSummary>,
}

impl<D: Desk> Desk for MeteredDesk<D> {
    fn today(&self) -> jiff::civil::Date {
        self.desk.today()
    }

    fn electrical_edition(&self) -> Option<ElectricalEdition> {
        self.desk.electrical_edition()
    }

    fn plumbing_edition(&self) -> Option<PlumbingEdition> {
        self.desk.plumbing_edition()
    }

    fn rule_book(&self) -> &RuleBook {
        self.desk.rule_book()
    }

    fn editions(&self) -> &[String] {
        self.desk.editions()
    }

    fn meter(&self) -> Option<MeterSummary> {
        self.meter
    }
}

impl Desk for DatedDesk {
    fn today(&self) -> jiff::civil::Date {
        self.today
    }

    fn electrical_edition(&self) -> Option<ElectricalEdition> {
        self.electrical
    }
}

/// A desk with a rule book of its own and editions chosen by name, such as one that a local file adds.
#[derive(Debug, Clone)]
pub struct BookDesk<'b> {
    /// The date.
    pub today: jiff::civil::Date,
    /// The rule book.
    pub book: &'b RuleBook,
    /// Editions that take the place of the record's.
    pub editions: Vec<String>,
}

impl Desk for BookDesk<'_> {
    fn today(&self) -> jiff::civil::Date {
        self.today
    }

    fn rule_book(&self) -> &RuleBook {
        self.book
    }

    fn editions(&self) -> &[String] {
        &self.editions
    }
}
