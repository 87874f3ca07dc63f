//! Reads a formula's text into its parts. Start at [`parse`].
//!
//! ```text
//! formula    = "if" formula "then" formula "else" formula | any
//! any        = all { "or" all }            all = negation { "and" negation }
//! negation   = "not" negation | comparison
//! comparison = sum [ ( "<" "<=" ">" ">=" "=" "!=" ) sum
//!                  | "is" [ "not" ] "known" | "is" "one" "of" "(" text { "," text } ")" ]
//! sum        = product { ( "+" | "-" ) product }
//! product    = signed { ( "*" | "/" ) signed }      signed = "-" signed | value
//! value      = number [ unit ] | text | "true" | "false" | name | function "(" formula { "," formula } ")"
//!            | "(" formula ")"
//! name       = word "." word               unit = any unit spelling of crate `quantity`
//! ```
//! Also read: `≤ ≥ ≠ × ÷ −`. There is no loop, no definition and no call into anything else; length and nesting are
//! bounded, so that every later step ends. Knows no fact and no kind.

mod tokens;

use super::syntax::{Comparison, Expression, Function, Operation, Part};
use std::ops::Range;
use tokens::{keyword, number, quoted, space, symbol, word};
use winnow::LocatingSlice;
use winnow::combinator::{alt, cut_err, delimited, eof, fail, not, opt, peek, preceded, repeat, separated};
use winnow::error::{StrContext, StrContextValue};
use winnow::prelude::*;
use winnow::stream::{Location, Stateful};
use winnow::token::literal;

/// Longest formula, in bytes; the longest of the book's own is a third of this.
const LENGTH_MAX: usize = 1000;
/// Deepest nesting of parentheses, `not`, signs and `if`.
const DEPTH_MAX: usize = 24;

/// Words that cannot begin a name.
const KEYWORDS: [&str; 12] = [
    "and", "or", "not", "if", "then", "else", "is", "known", "one", "of", "true", "false",
];

/// A text that is not a formula: where, and what is wanted there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Unreadable {
    pub(crate) span: Range<usize>,
    pub(crate) wanted: String,
}

/// Nesting so far; kept beside the text while reading.
#[derive(Debug, Default)]
struct Depth(usize);

type Text<'t> = Stateful<LocatingSlice<&'t str>, Depth>;

/// Reads a formula.
///
/// # Errors
/// Where the text stops being one, and what is wanted there.
pub(crate) fn parse(text: &str) -> Result<Expression, Unreadable> {
    if text.len() > LENGTH_MAX {
        return Err(Unreadable {
            span: LENGTH_MAX.min(text.len())..text.len(),
            wanted: format!("a formula of at most {LENGTH_MAX} characters; split the rule in two"),
        });
    }
    let stream = Stateful {
        input: LocatingSlice::new(text),
        state: Depth::default(),
    };
    let end = eof.context(wanted("the end, an operator, `and` or `or`"));
    (preceded(space, expression), end)
        .map(|(whole, _)| whole)
        .parse(stream)
        .map_err(|error| {
            let at = error.offset().min(text.len());
            let next = text.get(at..).and_then(|rest| rest.chars().next());
            let wanted = error
                .inner()
                .context()
                .find_map(|context| match context {
                    StrContext::Expected(StrContextValue::Description(words)) => Some(*words),
                    _ => None,
                })
                .unwrap_or("a value: a number with its unit, a fact, a text in quotes or a parenthesis");
            Unreadable {
                span: at..at + next.map_or(0, char::len_utf8),
                wanted: wanted.to_owned(),
            }
        })
}

fn wanted(words: &'static str) -> StrContext {
    StrContext::Expected(StrContextValue::Description(words))
}

fn expression(input: &mut Text<'_>) -> ModalResult<Expression> {
    nested(input, |input| alt((conditional, any_of)).parse_next(input))
}

/// Goes one level deeper, unless that is too deep.
fn nested<'t>(
    input: &mut Text<'t>,
    inside: impl FnOnce(&mut Text<'t>) -> ModalResult<Expression>,
) -> ModalResult<Expression> {
    if input.state.0 >= DEPTH_MAX {
        return cut_err(fail.context(wanted("less nesting; split the rule in two"))).parse_next(input);
    }
    input.state.0 += 1;
    let result = inside(input);
    input.state.0 -= 1;
    result
}

fn conditional(input: &mut Text<'_>) -> ModalResult<Expression> {
    let start = input.current_token_start();
    keyword("if").parse_next(input)?;
    let condition = cut_err(expression).parse_next(input)?;
    cut_err(keyword("then"))
        .context(wanted("`then`"))
        .parse_next(input)?;
    let then = cut_err(expression).parse_next(input)?;
    cut_err(keyword("else"))
        .context(wanted("`else`: an `if` always gives a value"))
        .parse_next(input)?;
    let otherwise = cut_err(expression).parse_next(input)?;
    let span = start..otherwise.span.end;
    let part = Part::If {
        condition: Box::new(condition),
        then: Box::new(then),
        otherwise: Box::new(otherwise),
    };
    Ok(Expression { part, span })
}

fn any_of(input: &mut Text<'_>) -> ModalResult<Expression> {
    joined(input, "or", all_of, Part::Any)
}

fn all_of(input: &mut Text<'_>) -> ModalResult<Expression> {
    joined(input, "and", negation, Part::All)
}

fn joined(
    input: &mut Text<'_>,
    word: &'static str,
    mut item: fn(&mut Text<'_>) -> ModalResult<Expression>,
    join: fn(Vec<Expression>) -> Part,
) -> ModalResult<Expression> {
    let first = item(input)?;
    let mut items = vec![first];
    while opt(keyword(word)).parse_next(input)?.is_some() {
        items.push(cut_err(item.by_ref()).parse_next(input)?);
    }
    Ok(match (items.len(), items.first(), items.last()) {
        (2.., Some(first), Some(last)) => Expression {
            span: first.span.start..last.span.end,
            part: join(items),
        },
        _ => items.remove(0),
    })
}

fn negation(input: &mut Text<'_>) -> ModalResult<Expression> {
    let start = input.current_token_start();
    if opt(keyword("not")).parse_next(input)?.is_none() {
        return comparison(input);
    }
    let inner = nested(input, |input| cut_err(negation).parse_next(input))?;
    Ok(Expression {
        span: start..inner.span.end,
        part: Part::Not(Box::new(inner)),
    })
}

fn comparison(input: &mut Text<'_>) -> ModalResult<Expression> {
    let left = sum(input)?;
    if opt(keyword("is")).parse_next(input)?.is_some() {
        return cut_err(|input: &mut Text<'_>| being(left.clone(), input)).parse_next(input);
    }
    let Some(operator) = opt(comparator).parse_next(input)? else {
        return Ok(left);
    };
    let right = cut_err(sum).parse_next(input)?;
    cut_err(not(peek(comparator)))
        .context(wanted("`and`: a comparison has two sides"))
        .parse_next(input)?;
    Ok(Expression {
        span: left.span.start..right.span.end,
        part: Part::Compare(operator, Box::new(left), Box::new(right)),
    })
}

/// What follows `is`.
fn being(value: Expression, input: &mut Text<'_>) -> ModalResult<Expression> {
    let start = value.span.start;
    if opt(keyword("one")).parse_next(input)?.is_some() {
        keyword("of").context(wanted("`of`")).parse_next(input)?;
        let choices: Vec<Expression> =
            delimited(symbol("("), separated(1.., quoted, symbol(",")), symbol(")"))
                .context(wanted("texts in parentheses: (\"a\", \"b\")"))
                .parse_next(input)?;
        let part = Part::OneOf {
            value: Box::new(value),
            choices,
        };
        return Ok(Expression {
            part,
            span: start..input.previous_token_end(),
        });
    }
    let wanted_known = opt(keyword("not")).parse_next(input)?.is_none();
    keyword("known")
        .context(wanted("`known`, `not known` or `one of (…)`"))
        .parse_next(input)?;
    match value.part {
        Part::Name(name) => Ok(Expression {
            part: Part::Known {
                name,
                wanted: wanted_known,
            },
            span: start..input.previous_token_end(),
        }),
        _ => fail
            .context(wanted("the name of a fact before `is known`"))
            .parse_next(input),
    }
}

fn comparator(input: &mut Text<'_>) -> ModalResult<Comparison> {
    alt((
        alt((symbol("<="), symbol("≤"))).value(Comparison::AtMost),
        alt((symbol(">="), symbol("≥"))).value(Comparison::AtLeast),
        alt((symbol("!="), symbol("≠"))).value(Comparison::Different),
        symbol("<").value(Comparison::Less),
        symbol(">").value(Comparison::Greater),
        symbol("=").value(Comparison::Equal),
    ))
    .parse_next(input)
}

fn sum(input: &mut Text<'_>) -> ModalResult<Expression> {
    let operator = |input: &mut Text<'_>| {
        alt((
            symbol("+").value(Operation::Add),
            alt((symbol("-"), symbol("−"))).value(Operation::Subtract),
        ))
        .parse_next(input)
    };
    chain(input, product, operator)
}

fn product(input: &mut Text<'_>) -> ModalResult<Expression> {
    let operator = |input: &mut Text<'_>| {
        alt((
            alt((symbol("*"), symbol("×"))).value(Operation::Multiply),
            alt((symbol("/"), symbol("÷"))).value(Operation::Divide),
        ))
        .parse_next(input)
    };
    chain(input, signed, operator)
}

/// Operands joined from the left.
fn chain(
    input: &mut Text<'_>,
    operand: fn(&mut Text<'_>) -> ModalResult<Expression>,
    mut operator: impl FnMut(&mut Text<'_>) -> ModalResult<Operation>,
) -> ModalResult<Expression> {
    let mut left = operand(input)?;
    while let Some(operation) = opt(operator.by_ref()).parse_next(input)? {
        let right = cut_err(operand).parse_next(input)?;
        left = Expression {
            span: left.span.start..right.span.end,
            part: Part::Arithmetic(operation, Box::new(left), Box::new(right)),
        };
    }
    Ok(left)
}

fn signed(input: &mut Text<'_>) -> ModalResult<Expression> {
    let start = input.current_token_start();
    if opt(alt((symbol("-"), symbol("−")))).parse_next(input)?.is_none() {
        return value(input);
    }
    let inner = nested(input, |input| cut_err(signed).parse_next(input))?;
    let span = start..inner.span.end;
    // A sign belongs to the number it stands before: -4 °F is a temperature, the opposite of 4 °F is nothing.
    let part = match inner.part {
        Part::Number(text) if !text.starts_with('-') => Part::Number(format!("-{text}")),
        part => Part::Negative(Box::new(Expression {
            part,
            span: inner.span,
        })),
    };
    Ok(Expression { part, span })
}

fn value(input: &mut Text<'_>) -> ModalResult<Expression> {
    alt((parenthesis, number, quoted, named))
        .context(wanted(
            "a value: a number with its unit, a fact, a text in quotes or a parenthesis",
        ))
        .parse_next(input)
}

fn parenthesis(input: &mut Text<'_>) -> ModalResult<Expression> {
    delimited(
        symbol("("),
        cut_err(expression),
        cut_err(symbol(")")).context(wanted("`)`, an operator, `and` or `or`")),
    )
    .parse_next(input)
}

/// A word: `true`, `false`, a function or a name.
fn named(input: &mut Text<'_>) -> ModalResult<Expression> {
    let start = input.current_token_start();
    let name: &str = (word, repeat::<_, _, (), _, _>(0.., (literal("."), word)))
        .take()
        .verify(|name: &str| !KEYWORDS.contains(&name) || matches!(name, "true" | "false"))
        .parse_next(input)?;
    let span = start..input.previous_token_end();
    space.parse_next(input)?;
    let part = match name {
        "true" => Part::Flag(true),
        "false" => Part::Flag(false),
        _ => match Function::ALL.into_iter().find(|function| function.name() == name) {
            Some(function) => return call(function, start, input),
            None if name.contains('.') => Part::Name(name.to_owned()),
            None => {
                return cut_err(fail.context(wanted(
                    "a fact written `scope.name`, a limit written `limit.name`, or a text in quotes before this",
                )))
                .parse_next(input);
            }
        },
    };
    Ok(Expression { part, span })
}

fn call(function: Function, start: usize, input: &mut Text<'_>) -> ModalResult<Expression> {
    let values: Vec<Expression> = cut_err(delimited(
        symbol("("),
        separated(1.., expression, symbol(",")),
        symbol(")"),
    ))
    .context(wanted("values in parentheses, with commas between"))
    .parse_next(input)?;
    Ok(Expression {
        part: Part::Call(function, values),
        span: start..input.previous_token_end(),
    })
}

#[cfg(test)]
mod tests;
