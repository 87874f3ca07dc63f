//! Quantities from text a person wrote: "50 ft", "3/4 in", "1-1/4 in", "120 degF", "2.5 mm²".
//!
//! Accepts decimals, fractions and mixed numbers, one optional space, any listed spelling of a unit. Refuses NaN,
//! infinities, missing units and units of another kind, and says where and what would be right. Negative values are
//! a number like any other here: whether one makes sense is for the job record to say.

use crate::Kind;
use std::ops::Range;

/// Why a text is not a quantity, and where in the text.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{problem}{}", hint.as_ref().map(|hint| format!("; {hint}")).unwrap_or_default())]
pub struct ParseError {
    /// What is wrong.
    pub problem: ParseProblem,
    /// Byte range of the offending part within the text.
    pub span: Range<usize>,
    /// What to do about it.
    pub hint: Option<String>,
}

/// What is wrong with a text.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseProblem {
    /// Nothing but white space.
    #[error("empty text where a {0} is wanted")]
    Empty(&'static str),
    /// The number cannot be read.
    #[error("`{0}` is not a number")]
    NotANumber(String),
    /// A fraction divides by zero, or the number is too large for any use.
    #[error("`{0}` is not a finite number")]
    NotFinite(String),
    /// A number without a unit.
    #[error("`{0}` has no unit, but a {1} needs one")]
    NoUnit(String, &'static str),
    /// A unit this kind does not have.
    #[error("`{0}` is not a unit of {1}")]
    UnknownUnit(String, &'static str),
    /// A size that is not of the wanted form.
    #[error("`{0}` is not a {1}")]
    NotASize(String, &'static str),
}

/// Reads a quantity of kind `K`.
pub(crate) fn quantity<K: Kind>(text: &str) -> Result<K, ParseError> {
    let start = text.len() - text.trim_start().len();
    let trimmed = text.trim();
    let example = || Some(format!("write it like \"{}\"", K::EXAMPLE));
    if trimmed.is_empty() {
        return Err(ParseError {
            problem: ParseProblem::Empty(K::NAME),
            span: 0..text.len(),
            hint: example(),
        });
    }
    let split = number_end(trimmed);
    let (digits, unit) = (&trimmed[..split], trimmed[split..].trim());
    let whole = start..start + trimmed.len();
    if digits.is_empty() {
        let problem = ParseProblem::NotANumber(clipped(trimmed));
        return Err(ParseError {
            problem,
            span: whole,
            hint: example(),
        });
    }
    let number = parse_number(digits).map_err(|problem| ParseError {
        problem,
        span: start..start + split,
        hint: example(),
    })?;
    let unit_span = (start + trimmed.len() - unit.len())..whole.end;
    let known = K::unit_named(unit).or_else(|| {
        // Spellings differ in case only where no two units of the kind do.
        let mut same = K::UNITS
            .iter()
            .filter(|u| u.symbols.iter().any(|s| s.eq_ignore_ascii_case(unit)));
        same.next().filter(|_| same.next().is_none())
    });
    match known {
        Some(unit) => {
            let base = unit.to_base(number);
            if base.is_finite() {
                Ok(K::from_base(base))
            } else {
                Err(ParseError {
                    problem: ParseProblem::NotFinite(clipped(digits)),
                    span: whole,
                    hint: None,
                })
            }
        }
        None if unit.is_empty() => Err(ParseError {
            problem: ParseProblem::NoUnit(clipped(digits), K::NAME),
            span: whole,
            hint: example(),
        }),
        None => Err(ParseError {
            problem: ParseProblem::UnknownUnit(clipped(unit), K::NAME),
            span: unit_span,
            hint: unit_hint::<K>(unit).or_else(example),
        }),
    }
}

/// A number as the trade writes it: "12", "0.5", "1e3", "3/4", "1-1/4", "1 1/4".
pub fn parse_number(text: &str) -> Result<f64, ParseProblem> {
    let text = text.trim();
    let bad = || ParseProblem::NotANumber(clipped(text));
    let (sign, body) = text.strip_prefix('-').map_or((1.0, text), |rest| (-1.0, rest));
    let value = match body.split_once('/') {
        None => plain(body).ok_or_else(bad)?,
        Some((left, denominator)) => {
            let (whole, numerator) = match left.rsplit_once(['-', ' ']) {
                Some((whole, numerator)) => (plain(whole.trim()).ok_or_else(bad)?, numerator),
                None => (0.0, left),
            };
            let numerator = plain(numerator.trim()).ok_or_else(bad)?;
            let denominator = plain(denominator.trim()).ok_or_else(bad)?;
            if denominator == 0.0 {
                return Err(ParseProblem::NotFinite(clipped(text)));
            }
            whole + numerator / denominator
        }
    };
    if value.is_finite() {
        Ok(sign * value)
    } else {
        Err(ParseProblem::NotFinite(clipped(text)))
    }
}

/// Unsigned digits only, so that "inf", "nan" and "+-5" are not numbers; an exponent may stand at the end.
fn plain(text: &str) -> Option<f64> {
    let digits = text.strip_prefix('+').unwrap_or(text);
    let ok = digits.starts_with(|c: char| c.is_ascii_digit() || c == '.')
        && digits
            .chars()
            .all(|c| c.is_ascii_digit() || matches!(c, '.' | 'e' | 'E' | '-' | '+'));
    ok.then(|| digits.parse().ok()).flatten()
}

/// Where the number ends and the unit begins.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let next_is_digit = |from: usize| bytes.get(from).is_some_and(u8::is_ascii_digit);
        match bytes[at] {
            b'0'..=b'9' | b'.' => at += 1,
            b'-' | b'+' if at == 0 => at += 1,
            // A mixed number's hyphen or space: "1-1/4", "1 1/4"; the slash must follow the next digits.
            b'-' | b' ' if at > 0 && mixed_follows(&bytes[at + 1..]) => at += 1,
            b'/' if next_is_digit(at + 1) && at > 0 && bytes[at - 1].is_ascii_digit() => at += 1,
            b'e' | b'E'
                if at > 0
                    && (next_is_digit(at + 1)
                        || (matches!(bytes.get(at + 1), Some(b'-' | b'+')) && next_is_digit(at + 2))) =>
            {
                at += 2;
            }
            _ => break,
        }
    }
    at
}

fn mixed_follows(rest: &[u8]) -> bool {
    let digits = rest.iter().take_while(|byte| byte.is_ascii_digit()).count();
    digits > 0 && rest.get(digits) == Some(&b'/') && rest.get(digits + 1).is_some_and(u8::is_ascii_digit)
}

fn unit_hint<K: Kind>(unit: &str) -> Option<String> {
    let lower = unit.to_lowercase();
    let symbols = || {
        K::UNITS
            .iter()
            .flat_map(|unit| unit.symbols.iter().copied())
            .filter(|symbol| !symbol.is_empty())
    };
    symbols()
        .map(|symbol| {
            (
                strsim::damerau_levenshtein(&lower, &symbol.to_lowercase()),
                symbol,
            )
        })
        .filter(|(distance, symbol)| *distance <= 1 && symbol.len() > 1)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, symbol)| format!("did you mean `{symbol}`?"))
        .or_else(|| {
            let printed: Vec<&str> = K::UNITS
                .iter()
                .map(crate::Unit::symbol)
                .filter(|s| !s.is_empty())
                .collect();
            Some(format!("units of {}: {}", K::NAME, printed.join(", ")))
        })
}

/// Texts from files can be huge; messages quote their beginning.
pub(crate) fn clipped(text: &str) -> String {
    const LONGEST: usize = 40;
    if text.chars().count() <= LONGEST {
        text.to_owned()
    } else {
        text.chars().take(LONGEST).chain(['…']).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Area, Current, GaugePressure, Length, Power, Ratio, Temperature, VolumeFlow};

    #[test]
    fn the_trade_s_spellings_are_read() {
        let inches = |text: &str| quantity::<Length>(text).unwrap().as_inches();
        assert!((inches("3/4 in") - 0.75).abs() < 1e-12);
        assert!((inches("1-1/4 in") - 1.25).abs() < 1e-12);
        assert!((inches("1 1/4\"") - 1.25).abs() < 1e-12);
        assert!((inches("50ft") - 600.0).abs() < 1e-9);
        assert!((quantity::<VolumeFlow>("0.5 gpm").unwrap().as_gallons_per_minute() - 0.5).abs() < 1e-12);
        assert!((quantity::<Power>("9 kW").unwrap().as_watts() - 9000.0).abs() < 1e-9);
        assert!((quantity::<Temperature>("120 °F").unwrap().as_celsius() - 48.888_888_888_9).abs() < 1e-9);
        assert!((quantity::<Temperature>("120 degF").unwrap().as_fahrenheit() - 120.0).abs() < 1e-9);
        assert!((quantity::<Length>("15 m").unwrap().as_meters() - 15.0).abs() < 1e-12);
        assert!((quantity::<Area>("2.5 mm²").unwrap().as_square_millimeters() - 2.5).abs() < 1e-12);
        assert!((quantity::<GaugePressure>("55 psi").unwrap().as_kilopascals() - 379.211_652).abs() < 1e-3);
        assert!((quantity::<Ratio>("3 %").unwrap().as_fraction() - 0.03).abs() < 1e-12);
        assert!((quantity::<Length>("1e3 mm").unwrap().as_meters() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn nonsense_is_refused_with_a_place_and_a_remedy() {
        let no_unit = quantity::<Length>("50").unwrap_err();
        assert_eq!(no_unit.problem, ParseProblem::NoUnit("50".into(), "length"));
        let wrong = quantity::<Length>("50 psi").unwrap_err();
        assert_eq!(wrong.span, 3..6);
        assert!(wrong.to_string().contains("units of length: m, ft"));
        let near = quantity::<VolumeFlow>("2 gmp").unwrap_err();
        assert!(near.to_string().contains("did you mean `gpm`?"), "{near}");
        for text in [
            "nan ft", "inf A", "-", "/4 in", "1/0 in", "--3 ft", "1e999 ft", "", "  ", "ft",
        ] {
            assert!(quantity::<Length>(text).is_err(), "{text}");
        }
        assert!(quantity::<Current>("40 amperes per hour").is_err());
    }

    #[test]
    fn negative_numbers_are_numbers() {
        assert!((quantity::<Temperature>("-4 °F").unwrap().as_celsius() + 20.0).abs() < 1e-9);
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_answered_without_panic(text in ".{0,40}") {
            let _ = quantity::<Length>(&text);
            let _ = quantity::<Temperature>(&text);
            let _ = parse_number(&text);
        }
    }
}
