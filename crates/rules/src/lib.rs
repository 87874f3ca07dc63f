//! The rule book: facts in, findings with edition and working out.
//!
//! In: facts about one subject (a circuit, a fixture, the service), each with kind, value and origin, and the editions
//! in force. Out: a [`trace::Finding`] for every rule that applies: met, not met, or unknown with the facts that are
//! missing and how to get them. Start at [`RuleBook::embedded`], [`RuleBook::facts`] and [`RuleBook::assess`].
//!
//! Rules are data (`data/rules`): a formula over facts, checked for kinds when it is loaded, with its texts, its basis
//! by edition, its limits, and cases that are tried at loading. A new rule, edition or local amendment needs no Rust.
//! Knows no engine, no job and no table; computes nothing that an engine should; never says that anything is allowed.

mod assess;
mod book;
mod editions;
mod embedded;
mod explain;
mod fact_set;
mod file;
mod formula;
mod in_force;
mod kind;
mod load;
mod problem;
mod rule;
mod template;
mod vocabulary;

pub use book::RuleBook;
pub use editions::{Edition, EditionError, Editions};
pub use explain::{ExplainedBasis, ExplainedEdition, ExplainedFact, Explanation};
pub use fact_set::{Driver, Fact, FactError, FactSet};
pub use formula::FormulaProblem;
pub use kind::{FactValue, NumberKind, Value, ValueKind};
pub use problem::{RuleFileProblem, RuleProblem};
pub use rule::{Amendment, Basis, Rule};
pub use vocabulary::{Area, FactDefinition, Scope, Vocabulary};
