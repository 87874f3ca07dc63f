//! How problems with the form are put into words: what stands there, what is wanted, what to write.
//!
//! In: a value and what the form wants. Out: message and fix. Every wording is made from the form's own names,
//! descriptions and examples.

use crate::convert::nearest;
use crate::form::{Choice, Field, Shape, form};
use toml::de::DeValue;
use trace::RecordPath;

/// The beginning of a text, as quoted in messages.
pub(crate) fn clipped(text: &str) -> String {
    const LONGEST: usize = 60;
    if text.chars().count() <= LONGEST {
        text.to_owned()
    } else {
        text.chars().take(LONGEST).chain(['…']).collect()
    }
}

/// A value of a file, in words.
pub(crate) fn found(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => format!("the text `{}`", clipped(text)),
        DeValue::Integer(number) => format!("the number `{}`", clipped(number.as_str())),
        DeValue::Float(number) => format!("the number `{}`", clipped(number.as_str())),
        DeValue::Boolean(on) => format!("`{on}`"),
        DeValue::Datetime(date) => format!("the date `{date}`"),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

/// The name at the end of a place, without the number of an item.
pub(crate) fn last(at: &RecordPath) -> &str {
    let end = at.0.rsplit('.').next().unwrap_or_default();
    end.split('[').next().unwrap_or_default()
}

/// A place without the numbers of items.
fn kind_of_place(at: &RecordPath) -> String {
    let parts = at.0.split('[').enumerate();
    parts
        .map(|(index, part)| {
            if index == 0 {
                part
            } else {
                part.split_once(']').map_or("", |(_, rest)| rest)
            }
        })
        .collect()
}

/// A place, with items counted from 1.
fn spoken(at: &RecordPath) -> String {
    let item = at.0.strip_suffix(']').and_then(|path| path.rsplit_once('['));
    match item.and_then(|(list, index)| Some((list, index.parse::<usize>().ok()?))) {
        Some((list, index)) => format!("item {} of `{list}`", index + 1),
        None => format!("`{at}`"),
    }
}

/// A field that must be there is not.
pub(crate) fn missing(field: &Field, at: &RecordPath) -> (String, String) {
    let name = &field.name;
    let example = example_of(field);
    (
        format!("{} has no `{name}`, which must be given", spoken(at)),
        format!(
            "add `{name} = {example}` with the right value ({})",
            inside(&field.description)
        ),
    )
}

/// A field that the form does not have here.
pub(crate) fn unknown(fields: &[Field], name: &str, near: Option<&str>, at: &RecordPath) -> (String, String) {
    let message = match at.0.as_str() {
        "" => format!("`{}` is no part of the record", clipped(name)),
        _ => format!("`{}` is no field of `{}`", clipped(name), kind_of_place(at)),
    };
    if let Some(near) = near {
        return (message, format!("did you mean `{near}`?"));
    }
    let mut elsewhere = Vec::new();
    places_of(name, form(), "", &mut elsewhere);
    let fix = if elsewhere.is_empty() {
        format!(
            "take it out; known here: {}",
            listed(fields.iter().map(|field| field.name.as_str()))
        )
    } else {
        format!("it belongs in {}", listed(elsewhere.iter().map(String::as_str)))
    };
    (message, fix)
}

/// Where in the form a field of this name stands.
fn places_of(name: &str, fields: &[Field], at: &str, places: &mut Vec<String>) {
    for field in fields {
        if field.name == name && !at.is_empty() {
            places.push(at.to_owned());
        }
        let mut shape = &field.shape;
        while let Shape::List(item) = shape {
            shape = item;
        }
        if let Shape::Table(below) = shape {
            let at = if at.is_empty() {
                field.name.clone()
            } else {
                format!("{at}.{}", field.name)
            };
            places_of(name, below, &at, places);
        }
    }
}

/// A text that is none of the choices.
pub(crate) fn not_a_choice(text: &str, choices: &[Choice], at: &RecordPath) -> (String, String) {
    (
        format!("`{}` is no `{}` that this form knows", clipped(text), last(at)),
        one_of(text, choices),
    )
}

/// A name in a table whose names are choices.
pub(crate) fn not_a_name(name: &str, choices: &[Choice], at: &RecordPath) -> (String, String) {
    let table =
        at.0.strip_suffix(name)
            .map_or("", |table| table.trim_end_matches('.'));
    let table = kind_of_place(&RecordPath::from(table));
    (
        format!("`{}` is none of the names that `{table}` can hold", clipped(name)),
        one_of(name, choices),
    )
}

fn one_of(text: &str, choices: &[Choice]) -> String {
    match nearest(text, choices.iter().map(|choice| choice.text.as_str())) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!(
            "write one of {}",
            listed(choices.iter().map(|choice| choice.text.as_str()))
        ),
    }
}

/// A value of another type than wanted. `written` is what the file says there.
pub(crate) fn wrong_type(
    shape: &Shape,
    value: &DeValue<'_>,
    written: Option<&str>,
    at: &RecordPath,
) -> (String, String) {
    let written = written.unwrap_or_default();
    // An item has no name of its own.
    let item = at.0.ends_with(']');
    let subject = if item {
        spoken(at)
    } else {
        format!("`{}`", last(at))
    };
    let with = |example: &str| {
        if item {
            format!("`{example}`")
        } else {
            format!("`{} = {example}`", last(at))
        }
    };
    let wanted = match shape {
        Shape::Table(_) | Shape::Map { .. } => "a table".to_owned(),
        Shape::List(_) => "a list".to_owned(),
        Shape::Choice(_) => "one of a few words".to_owned(),
        Shape::Kind { description, .. } => inside(description),
        Shape::Text | Shape::Anything => "text".to_owned(),
        Shape::Whole { .. } => "a whole number".to_owned(),
        Shape::Number => "a number".to_owned(),
        Shape::Switch => "true or false".to_owned(),
    };
    let fix = match (shape, value) {
        (Shape::List(_), DeValue::Table(_)) if written.starts_with('[') => {
            format!(
                "write [[{}]] with double brackets; each begins one item",
                kind_of_place(at)
            )
        }
        (Shape::Table(_), DeValue::Array(_)) if written.starts_with("[[") => {
            format!("write [{}] once, with single brackets", kind_of_place(at))
        }
        (Shape::List(_), DeValue::Table(_)) => format!("put it in brackets: {}", with("[{ … }]")),
        (Shape::List(_), _) => format!("put it in brackets: {}", with(&format!("[{}]", clipped(written)))),
        (Shape::Table(fields), _) => {
            format!(
                "write a table with {}",
                listed(fields.iter().map(|field| field.name.as_str()))
            )
        }
        (Shape::Map { keys: Some(keys), .. }, _) => {
            format!(
                "write a table with any of {}",
                listed(keys.iter().map(|choice| choice.text.as_str()))
            )
        }
        (Shape::Map { .. }, _) => format!("write a table: {}", with(&written_example(shape))),
        (Shape::Choice(choices), _) => {
            format!(
                "write one of {} in double quotes",
                listed(choices.iter().map(|choice| choice.text.as_str()))
            )
        }
        (Shape::Kind { example, .. }, _) => {
            format!(
                "write it in double quotes, such as {}",
                with(&format!("\"{example}\""))
            )
        }
        (
            Shape::Text,
            DeValue::Integer(_) | DeValue::Float(_) | DeValue::Boolean(_) | DeValue::Datetime(_),
        ) => {
            format!(
                "write it in double quotes: {}",
                with(&format!("\"{}\"", clipped(written)))
            )
        }
        (Shape::Text | Shape::Anything, _) => "write one text in double quotes".to_owned(),
        (Shape::Whole { .. } | Shape::Number, DeValue::String(_)) => {
            "write the number without quotes".to_owned()
        }
        (Shape::Whole { .. }, _) => format!("write a whole number, such as {}", with("1")),
        (Shape::Number, _) => format!("write a number, such as {}", with("1.5")),
        (Shape::Switch, _) => "write true or false, without quotes".to_owned(),
    };
    (
        format!("{subject} is {}, but must be {wanted}", found(value)),
        fix,
    )
}

/// A description as it stands inside a sentence.
fn inside(description: &str) -> String {
    let mut letters = description.trim_end_matches('.').chars();
    let first = letters
        .next()
        .map(|first| first.to_lowercase().to_string())
        .unwrap_or_default();
    first + letters.as_str()
}

/// An example for a field, as a file writes it.
pub(crate) fn example_of(field: &Field) -> String {
    field
        .example
        .clone()
        .unwrap_or_else(|| written_example(&field.shape))
}

/// An example for a shape, as a file writes it.
pub(crate) fn written_example(shape: &Shape) -> String {
    match shape {
        Shape::Table(fields) => {
            let fields = fields
                .iter()
                .map(|field| format!("{} = {}", field.name, example_of(field)));
            format!("{{ {} }}", fields.collect::<Vec<_>>().join(", "))
        }
        Shape::Map { keys, value } => {
            let first = keys.as_ref().and_then(|keys| keys.first());
            let key = first.map_or("\"…\"", |choice| choice.text.as_str());
            format!("{{ {key} = {} }}", written_example(value))
        }
        Shape::List(item) => format!("[{}]", written_example(item)),
        Shape::Choice(choices) => format!(
            "\"{}\"",
            choices
                .first()
                .map(|choice| choice.text.as_str())
                .unwrap_or_default()
        ),
        Shape::Kind { example, .. } => format!("\"{example}\""),
        Shape::Text | Shape::Anything => "\"…\"".to_owned(),
        Shape::Whole { .. } => "1".to_owned(),
        Shape::Number => "1.5".to_owned(),
        Shape::Switch => "true".to_owned(),
    }
}

/// Names in backticks, at most a dozen and a half.
fn listed<'a>(names: impl Iterator<Item = &'a str>) -> String {
    const LISTED_MAX: usize = 18;
    let mut names: Vec<String> = names.map(|name| format!("`{name}`")).collect();
    if names.len() > LISTED_MAX {
        names.truncate(LISTED_MAX);
        names.push("…".to_owned());
    }
    names.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_spoken_from_one() {
        let at = RecordPath::from("sources[0].elements[1]");
        assert_eq!(spoken(&at), "item 2 of `sources[0].elements`");
        assert_eq!(kind_of_place(&at), "sources.elements");
        assert_eq!(last(&at), "elements");
        assert_eq!(spoken(&RecordPath::from("site")), "`site`");
        assert_eq!(last(&RecordPath::from("piping.pipes[3].length")), "length");
    }
}
