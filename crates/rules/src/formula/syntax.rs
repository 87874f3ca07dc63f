//! A formula as written: its parts and where they stand in the text.
//!
//! Nothing here knows whether names exist or kinds agree; see `check`.

use std::ops::Range;

/// A part of a formula, with its byte range in the text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Expression {
    pub(crate) part: Part,
    pub(crate) span: Range<usize>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Part {
    /// `80 psi`, `1.25`; the text as written, sign included.
    Number(String),
    /// `"outdoor"`.
    Text(String),
    /// `true`, `false`.
    Flag(bool),
    /// `circuit.load_current`, `limit.highest`.
    Name(String),
    /// `… is known`, `… is not known`.
    Known {
        name: String,
        wanted: bool,
    },
    /// `… is one of ("a", "b")`.
    OneOf {
        value: Box<Expression>,
        choices: Vec<Expression>,
    },
    Not(Box<Expression>),
    Negative(Box<Expression>),
    Arithmetic(Operation, Box<Expression>, Box<Expression>),
    Compare(Comparison, Box<Expression>, Box<Expression>),
    /// All of them, joined by `and`.
    All(Vec<Expression>),
    /// Any of them, joined by `or`.
    Any(Vec<Expression>),
    Call(Function, Vec<Expression>),
    If {
        condition: Box<Expression>,
        then: Box<Expression>,
        otherwise: Box<Expression>,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Operation {
    Add,
    Subtract,
    Multiply,
    Divide,
}

impl Operation {
    pub(crate) fn sign(self) -> &'static str {
        match self {
            Self::Add => "+",
            Self::Subtract => "−",
            Self::Multiply => "×",
            Self::Divide => "÷",
        }
    }

    pub(crate) fn binds_tightly(self) -> bool {
        matches!(self, Self::Multiply | Self::Divide)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Comparison {
    Less,
    AtMost,
    Greater,
    AtLeast,
    Equal,
    Different,
}

impl Comparison {
    pub(crate) fn sign(self) -> &'static str {
        match self {
            Self::Less => "<",
            Self::AtMost => "≤",
            Self::Greater => ">",
            Self::AtLeast => "≥",
            Self::Equal => "=",
            Self::Different => "≠",
        }
    }

    /// The comparison that holds when this one does not.
    pub(crate) fn opposite(self) -> Self {
        match self {
            Self::Less => Self::AtLeast,
            Self::AtMost => Self::Greater,
            Self::Greater => Self::AtMost,
            Self::AtLeast => Self::Less,
            Self::Equal => Self::Different,
            Self::Different => Self::Equal,
        }
    }

    /// True when it asks which of two numbers is larger.
    pub(crate) fn orders(self) -> bool {
        !matches!(self, Self::Equal | Self::Different)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Function {
    /// The smallest.
    Min,
    /// The largest.
    Max,
    /// Without sign.
    Abs,
    /// `round_up(value, step)`: up to the next multiple of the step.
    RoundUp,
}

impl Function {
    pub(crate) const ALL: [Self; 4] = [Self::Min, Self::Max, Self::Abs, Self::RoundUp];

    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Min => "min",
            Self::Max => "max",
            Self::Abs => "abs",
            Self::RoundUp => "round_up",
        }
    }

    /// How many values it takes: least and most.
    pub(crate) fn takes(self) -> (usize, usize) {
        match self {
            Self::Min | Self::Max => (2, usize::MAX),
            Self::Abs => (1, 1),
            Self::RoundUp => (2, 2),
        }
    }
}
