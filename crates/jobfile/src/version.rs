//! The version of the form that a record is written in.
//!
//! In: the head of the record. Out: whether this program reads it. Version 1 is the only one so far. A later version
//! gets, here, one function that rewrites the tree of the version before it, called before the tree is compared with
//! the form; `tests/samples` keeps a record of every version, which must still open.

use crate::faults::Faults;
use crate::words::found;
use job::SCHEMA_VERSION;
use toml::de::{DeTable, DeValue};
use trace::RecordPath;

/// Whether the rest of the record can be read; what is wrong with the version is added to `faults`.
pub(crate) fn readable(root: &DeTable<'_>, faults: &mut Faults) -> bool {
    let at = RecordPath::from("schema");
    let Some(value) = root.get("schema") else {
        faults.add(&(0..0), &RecordPath::root(), || {
            (
                "the record does not say which version of the form it is written in".into(),
                format!("write `schema = {SCHEMA_VERSION}` on its first line"),
            )
        });
        return true;
    };
    let number = match value.get_ref() {
        DeValue::Integer(number) => i128::from_str_radix(number.as_str(), number.radix()).ok(),
        _ => None,
    };
    let fix = format!("write `schema = {SCHEMA_VERSION}`");
    match number {
        Some(number) if number == i128::from(SCHEMA_VERSION) => true,
        Some(number) if number > i128::from(SCHEMA_VERSION) => {
            faults.add(&value.span(), &at, || {
                (
                    format!(
                        "the record is written in version `{number}` of the form, by a newer program; this one reads up to {SCHEMA_VERSION}"
                    ),
                    "open it with a program at least as new as the one that wrote it".into(),
                )
            });
            false
        }
        Some(number) => {
            faults.add(&value.span(), &at, || {
                (format!("`{number}` is no version of the form"), fix)
            });
            true
        }
        None => {
            let found = found(value.get_ref());
            faults.add(&value.span(), &at, || {
                (
                    format!("the version of the form is {found}, not a whole number"),
                    fix,
                )
            });
            true
        }
    }
}
