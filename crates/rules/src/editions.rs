//! Editions of codes, and the choice of them for one job.
//!
//! An edition is data: `data/rules/editions.toml` lists them by family. Of each family a job chooses at most one;
//! families that are always in force (guidance, practice, a local ordinance) are not chosen.

/// One edition of a code, or a body of rules that is always in force.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edition {
    /// Name, such as `NEC 2020`.
    pub name: String,
    /// Family, such as `electrical`.
    pub family: String,
    /// The document it is an edition of; none for guidance and practice, whose rules each name their own.
    pub document: Option<String>,
    /// The year or number of the edition.
    pub year: Option<String>,
    /// The edition whose rules hold in this one as well, as long as nothing else is said.
    pub follows: Option<String>,
    /// In force for every job.
    pub always: bool,
}

/// The editions in force for one job.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Editions {
    pub(crate) chosen: Vec<String>,
}

impl Editions {
    /// The chosen editions, in the order given.
    pub fn names(&self) -> &[String] {
        &self.chosen
    }
}

/// Why editions cannot be chosen.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditionError {
    /// The rule book has no such edition.
    #[error("the rule book has no edition `{name}`; it has {known}")]
    Unknown {
        /// The name given.
        name: String,
        /// The names known.
        known: String,
    },
    /// More than one edition that the words may mean.
    #[error("`{name}` may be {fitting}; write the name in full")]
    Several {
        /// The name given.
        name: String,
        /// The names it may be.
        fitting: String,
    },
    /// Editions of two families where two of one are compared.
    #[error("`{first}` and `{second}` are not editions of one code; compare two of one")]
    Families {
        /// The first.
        first: String,
        /// The second.
        second: String,
    },
    /// Two of one family.
    #[error("`{first}` and `{second}` are editions of one family; choose one")]
    Two {
        /// The first.
        first: String,
        /// The second.
        second: String,
    },
}
