//! Reading a record, step by step.

use crate::convert::Conversion;
use crate::faults::Faults;
use crate::unusable::Unusable;
use crate::{locate, syntax, version};
use job::Job;
use serde::Deserialize;
use toml::de::DeTable;
use trace::{Problem, RecordPath};

/// Largest record that is read, in bytes. A house takes some ten thousand.
pub const SIZE_MAX: usize = 1 << 20;

/// Reads a record. `name` is the name of its file, for messages.
///
/// # Errors
/// When the record cannot be used; the error holds every problem that was found, each with its place. Types are
/// checked everywhere, and where only single values are wrong, what the rest of the record says is checked as well.
pub fn read(name: &str, bytes: &[u8]) -> Result<Job, Unusable> {
    read_with(name, bytes, |_| Vec::new())
}

/// As [`read`], with problems besides that only the caller can know of, such as names that the rule book does not have.
///
/// # Errors
/// As [`read`].
pub fn read_with(
    name: &str,
    bytes: &[u8],
    besides: impl FnOnce(&Job) -> Vec<Problem>,
) -> Result<Job, Unusable> {
    let text = match text(name, bytes) {
        Ok(text) => text,
        Err(faults) => return Err(faults.into_unusable()),
    };
    let mut faults = Faults::new(name, text);
    let (root, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        syntax::tell(text, errors, &mut faults);
        return Err(faults.into_unusable());
    }
    let root = root.get_ref();
    if !version::readable(root, &mut faults) {
        return Err(faults.into_unusable());
    }
    let conversion = Conversion::of(root, text, &mut faults);
    let job = match Job::deserialize(conversion.record) {
        Ok(job) => job,
        Err(error) => {
            faults.add(&(0..0), &RecordPath::root(), || {
                (
                    format!("the record does not fit its form: {}", error.message()),
                    "compare it with a fresh starter".into(),
                )
            });
            return Err(faults.into_unusable());
        }
    };
    if !conversion.doubt.everywhere() && !faults.enough() {
        for problem in job::validate(&job).into_iter().chain(besides(&job)) {
            if !conversion.doubt.touches(&problem.at) {
                faults.add(&locate::span(root, &problem.at), &problem.at, || {
                    (problem.message, problem.fix)
                });
            }
        }
    }
    if faults.is_empty() {
        Ok(job)
    } else {
        Err(faults.into_unusable())
    }
}

/// The bytes as text without byte-order mark.
fn text<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, Faults> {
    let refuse = |text: &str, span: std::ops::Range<usize>, message: String, fix: &str| {
        let mut faults = Faults::new(name, text);
        faults.add(&span, &RecordPath::root(), || (message, fix.to_owned()));
        faults
    };
    if bytes.len() > SIZE_MAX {
        let message = format!(
            "the file has `{}` bytes, more than the {SIZE_MAX} that a record may have",
            bytes.len()
        );
        return Err(refuse(
            "",
            0..0,
            message,
            "name the job record; interval data has a file of its own, see `meter.file`",
        ));
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        let message = "the file is UTF-16 text, but a record is UTF-8 text".to_owned();
        return Err(refuse("", 0..0, message, "save it with encoding UTF-8"));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        let byte = bytes.get(at).copied().unwrap_or_default();
        let lossy = String::from_utf8_lossy(bytes);
        let message = format!("byte `0x{byte:02X}` at offset {at} is not UTF-8 text");
        refuse(
            &lossy,
            at..at + '\u{fffd}'.len_utf8(),
            message,
            "save the file with encoding UTF-8",
        )
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return Err(refuse(
            text,
            0..0,
            "the file is empty".to_owned(),
            "start from the text of a new record",
        ));
    }
    Ok(text)
}
