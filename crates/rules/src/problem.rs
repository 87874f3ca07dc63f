//! Why a rule file is refused: file, line, column, reason.
//!
//! A file of rules is written by people and by towns; it is refused whole, with every complaint, rather than applied in
//! part.

use crate::fact_set::FactError;
use crate::formula::FormulaProblem;

/// One thing wrong in a rule file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{file}:{line}:{column}: {problem}")]
pub struct RuleFileProblem {
    /// The file, as it was handed in.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What is wrong.
    pub problem: RuleProblem,
}

/// What may be wrong in a rule file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RuleProblem {
    /// Not TOML, or not of the wanted form.
    #[error("{0}")]
    Form(String),
    /// A formula or a text with values that does not check.
    #[error("`{field}`: {problem}")]
    Formula {
        /// The field.
        field: &'static str,
        /// What is wrong with it.
        problem: FormulaProblem,
    },
    /// A name that is there already.
    #[error("{what} `{name}` is there already")]
    Duplicate {
        /// A rule, a fact, …
        what: &'static str,
        /// The name.
        name: String,
    },
    /// A name that nothing has.
    #[error("no {what} is called `{name}`{}", nearest.as_ref().map(|name| format!("; did you mean `{name}`?")).unwrap_or_default())]
    Unknown {
        /// A rule, an edition, …
        what: &'static str,
        /// The name.
        name: String,
        /// The nearest known name.
        nearest: Option<String>,
    },
    /// A name of the wrong form.
    #[error("`{name}` is not a {what} name; write it like `{example}`")]
    Name {
        /// A fact, a rule, …
        what: &'static str,
        /// The name.
        name: String,
        /// One of the right form.
        example: &'static str,
    },
    /// A text that must not be empty.
    #[error("`{field}` is empty")]
    Empty {
        /// The field.
        field: &'static str,
    },
    /// A severity no rule may have.
    #[error("a rule that is not met asks for stop, change, judge or note, not `{0}`")]
    Severity(&'static str),
    /// A rule without origin.
    #[error("the rule names no basis; say which editions it comes from, or `practice`")]
    NoBasis,
    /// A basis whose document is not known.
    #[error("`{edition}` has no document of its own; give the basis a `document`")]
    NoDocument {
        /// The edition.
        edition: String,
    },
    /// A limit that no formula uses.
    #[error("limit `{0}` is used by no formula")]
    UnusedLimit(String),
    /// An edition that follows itself, by whatever way.
    #[error("`{0}` follows itself; an edition follows an older one")]
    FollowsItself(String),
    /// A rule near live parts, pressure or scalding water without a caution.
    #[error("area `{0}` is near live parts, pressure or scalding water; name the rule's `caution`")]
    NoCaution(String),
    /// A limit whose unit no kind has.
    #[error("`{0}` has no unit the rule book knows")]
    LimitUnit(String),
    /// An amended limit of another kind.
    #[error("limit `{limit}` is a {wanted}; `{given}` is not")]
    LimitKind {
        /// The limit.
        limit: String,
        /// The kind it has.
        wanted: &'static str,
        /// The new value.
        given: String,
    },
    /// An amendment without effect.
    #[error("the amendment changes nothing; give limits, a severity, a basis, or `disabled = true`")]
    AmendsNothing,
    /// A unit that the fact's kind does not have.
    #[error("`{unit}` is not a unit of {kind}")]
    Unit {
        /// The unit.
        unit: String,
        /// The kind.
        kind: &'static str,
    },
    /// A case whose facts cannot be stated.
    #[error("case `{case}`: {error}")]
    CaseFact {
        /// The case.
        case: String,
        /// Why not.
        error: FactError,
    },
    /// A case that comes out otherwise.
    #[error("case `{case}` by {edition}: expected {expected}, came out {found}: {detail}")]
    Case {
        /// The case.
        case: String,
        /// The edition it was tried by.
        edition: String,
        /// What the file says.
        expected: String,
        /// What the rule says.
        found: String,
        /// The working or the missing facts.
        detail: String,
    },
}

/// Line and column, both from 1, of a byte offset.
pub(crate) fn place(text: &str, offset: usize) -> (usize, usize) {
    let mut at = offset.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let before = &text[..at];
    let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
    (
        before.matches('\n').count() + 1,
        before[line_start..].chars().count() + 1,
    )
}
