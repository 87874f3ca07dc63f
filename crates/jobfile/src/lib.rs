//! The TOML job record: reading with every problem at its place, writing, the starter text and the JSON Schema.
//!
//! In: the bytes of a record. Out: a [`job::Job`], or [`Unusable`], which holds all problems at once, each with line,
//! column and what to do. [`read`] goes in steps: size, UTF-8, TOML, version of the form, names and types against the
//! form, and last what [`job::validate`] says. The form is the JSON Schema of the record's types ([`schema`]); no field
//! is listed here by hand, so a new field of the types is known everywhere. [`write()`] and [`starter`] go the other way.
//!
//! Opens no files, and knows no engine and no rule. A hostile record costs bounded time and never a panic.
//!
//! ```
//! let job = jobfile::read("house.job.toml", b"schema = 1\n[site]\nelevation = \"750 ft\"\n")?;
//! assert_eq!(jobfile::read("copy", jobfile::write(&job).as_bytes())?, job);
//! let unusable = jobfile::read("house.job.toml", b"schema = 1\n[site]\nelevaton = \"750 ft\"\n").unwrap_err();
//! assert_eq!(
//!     unusable.problems[0].plain(),
//!     "house.job.toml:3:1: `elevaton` is no field of `site`; did you mean `elevation`?"
//! );
//! # Ok::<(), jobfile::Unusable>(())
//! ```

mod convert;
mod faults;
mod file_text;
mod form;
mod locate;
mod printing;
mod reading;
mod schema;
mod starter;
mod syntax;
mod text_kinds;
mod unusable;
mod version;
mod words;

pub use printing::write;
pub use reading::{SIZE_MAX, read, read_with};
pub use schema::schema;
pub use starter::starter;
pub use unusable::{LocatedProblem, SHOWN_MAX, Unusable};
