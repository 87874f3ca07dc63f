//! The words and signs of a formula: numbers with units, texts in quotes, names, keywords, and the space between.
//!
//! In: the text at a place. Out: one token, the space behind it taken too. Knows no order of operations.

use super::{Text, wanted};
use crate::formula::syntax::{Expression, Part};
use crate::kind::leading_unit;
use winnow::combinator::{cut_err, delimited, not, opt};
use winnow::prelude::*;
use winnow::stream::Location;
use winnow::token::{literal, one_of, take_while};

pub(super) fn number(input: &mut Text<'_>) -> ModalResult<Expression> {
    let start = input.current_token_start();
    let digits: &str = (
        take_while(1.., |c: char| c.is_ascii_digit()),
        opt((literal("."), take_while(1.., |c: char| c.is_ascii_digit()))),
    )
        .take()
        .parse_next(input)?;
    let end_of_digits = input.previous_token_end();
    space.parse_next(input)?;
    let rest: &str = &input.input;
    let (text, end) = match leading_unit(rest) {
        Some(unit) => {
            literal(unit).parse_next(input)?;
            (format!("{digits} {unit}"), input.previous_token_end())
        }
        None => (digits.to_owned(), end_of_digits),
    };
    space.parse_next(input)?;
    Ok(Expression {
        part: Part::Number(text),
        span: start..end,
    })
}

pub(super) fn quoted(input: &mut Text<'_>) -> ModalResult<Expression> {
    let start = input.current_token_start();
    let text: &str = delimited(
        literal("\""),
        take_while(0.., |c: char| c != '"' && c != '\n'),
        cut_err(literal("\"")).context(wanted("the closing quote")),
    )
    .parse_next(input)?;
    let span = start..input.previous_token_end();
    let part = Part::Text(text.to_owned());
    space.parse_next(input)?;
    Ok(Expression { part, span })
}

pub(super) fn word<'t>(input: &mut Text<'t>) -> ModalResult<&'t str> {
    (
        one_of('a'..='z'),
        take_while(0.., |c: char| {
            c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_'
        }),
    )
        .take()
        .parse_next(input)
}

pub(super) fn keyword<'t>(word: &'static str) -> impl ModalParser<Text<'t>, (), winnow::error::ContextError> {
    let inside_word = one_of(|c: char| c.is_alphanumeric() || c == '_' || c == '.');
    (literal(word), not(inside_word), space).void()
}

pub(super) fn symbol<'t>(sign: &'static str) -> impl ModalParser<Text<'t>, (), winnow::error::ContextError> {
    (literal(sign), space).void()
}

pub(super) fn space(input: &mut Text<'_>) -> ModalResult<()> {
    take_while(0.., char::is_whitespace).void().parse_next(input)
}
