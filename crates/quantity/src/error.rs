//! Why a text was refused, where, and what to type instead.

use crate::unit::Kind;
use std::ops::Range;

/// A refused text.
///
/// [`Display`](std::fmt::Display) gives the message and the help in one line; a caller
/// that shows them apart takes [`message`](Error::message) and [`help`](Error::help).
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{problem}: {}", self.help())]
pub struct Error {
    problem: Problem,
    span: Range<usize>,
    due: &'static Kind,
}

/// What is wrong with a text. `text` is what was typed, clipped when long.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Problem {
    /// Nothing but spaces.
    #[error("nothing stands where {due} is due; found \"{text}\"")]
    Empty {
        /// What was typed.
        text: String,
        /// The quantity expected, with its article.
        due: String,
    },
    /// It does not begin with a number.
    #[error("\"{text}\" does not begin with a number")]
    NotANumber {
        /// What was typed.
        text: String,
    },
    /// Infinite, not a number, or too large to hold.
    #[error("\"{text}\" is not a finite number")]
    NotFinite {
        /// What was typed.
        text: String,
    },
    /// Commas, underscores, spaces or several points inside a number.
    #[error("the separator inside the number of \"{text}\" can be read two ways")]
    Separator {
        /// What was typed.
        text: String,
        /// Unmistakable ways to write it.
        rewrites: Vec<String>,
    },
    /// Two numbers where one is due, such as a range.
    #[error("\"{text}\" has two numbers where one is due")]
    TwoNumbers {
        /// What was typed.
        text: String,
    },
    /// A clock reading.
    #[error("\"{text}\" is ambiguous: minutes and seconds, or hours and minutes")]
    Clock {
        /// What was typed.
        text: String,
    },
    /// A number without its unit.
    #[error("\"{text}\" has no unit")]
    NoUnit {
        /// The number that lacks its unit.
        text: String,
    },
    /// A spelling found in no table.
    #[error("\"{unit}\" in \"{text}\" is not a known unit")]
    UnknownUnit {
        /// What was typed.
        text: String,
        /// The unknown unit.
        unit: String,
        /// The nearest accepted spelling, if one is near.
        nearest: Option<&'static str>,
    },
    /// A spelling that means two things.
    #[error("\"{unit}\" in \"{text}\" is ambiguous")]
    AmbiguousUnit {
        /// What was typed.
        text: String,
        /// The ambiguous unit.
        unit: String,
        /// What to write in its place.
        instead: &'static str,
    },
    /// A unit of another quantity.
    #[error("\"{text}\" is {found}; {due} is due here")]
    OtherQuantity {
        /// What was typed.
        text: String,
        /// The quantity found, with its article.
        found: String,
        /// The quantity expected, with its article.
        due: String,
    },
    /// A sum over units of different quantities.
    #[error("\"{text}\" mixes {first} and {second}")]
    MixedCompound {
        /// What was typed.
        text: String,
        /// The first quantity found, with its article.
        first: String,
        /// The quantity that does not belong, with its article.
        second: String,
    },
    /// A sum whose units do not shrink.
    #[error("\"{text}\" does not go from the larger unit to the smaller")]
    CompoundOrder {
        /// What was typed.
        text: String,
    },
    /// Colder than absolute zero.
    #[error("\"{text}\" is below absolute zero")]
    BelowAbsoluteZero {
        /// What was typed.
        text: String,
    },
    /// A bare number above one where a fraction is due.
    #[error("\"{text}\" is more than one, and a fraction is due here")]
    AboveOne {
        /// What was typed.
        text: String,
    },
}

impl Error {
    pub(crate) fn new(problem: Problem, span: Range<usize>, due: &'static Kind) -> Self {
        Self { problem, span, due }
    }

    /// What is wrong, as data.
    #[must_use]
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    /// The bytes of the text that are wrong.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// What is wrong, in one plain sentence without full stop.
    #[must_use]
    pub fn message(&self) -> String {
        self.problem.to_string()
    }

    /// What to type.
    #[must_use]
    pub fn help(&self) -> String {
        match &self.problem {
            Problem::NoUnit { text } => {
                let [one, other] = self.due.common;
                format!("write \"{text} {one}\" or \"{text} {other}\"")
            }
            Problem::UnknownUnit { nearest, .. } => self.unknown_unit_help(*nearest),
            Problem::AmbiguousUnit { instead, .. } => format!("write {instead}"),
            Problem::Separator { rewrites, .. } => format!("write \"{}\"", rewrites.join("\" or \"")),
            Problem::Clock { text } => clock_help(text).unwrap_or_else(|| self.example()),
            Problem::AboveOne { text } => format!("write \"{text} %\" or a number from 0 to 1"),
            Problem::BelowAbsoluteZero { .. } => "write a temperature above -273.15 C (-459.67 F)".to_owned(),
            _ => self.example(),
        }
    }

    fn example(&self) -> String {
        format!("write it like \"{}\"", self.due.example)
    }

    fn unknown_unit_help(&self, nearest: Option<&str>) -> String {
        match nearest {
            Some(nearest) => format!("did you mean \"{nearest}\"?"),
            None => {
                let known: Vec<&str> = self.due.units.iter().map(|unit| unit.spelling).collect();
                format!("{} is written in {}", self.due.name, known.join(", "))
            }
        }
    }
}

fn clock_help(text: &str) -> Option<String> {
    let (left, right) = text.split_once(':')?;
    let numbers = [left, right].map(|side| side.trim().parse::<u32>().ok());
    let [Some(left), Some(right)] = numbers else {
        return None;
    };
    Some(format!("write \"{left} min {right} s\" or \"{left} h {right} min\""))
}

/// Text fit for a message: trimmed, on one line, not too long.
pub(crate) fn clip(text: &str) -> String {
    const LONGEST: usize = 60;
    let text = text.trim();
    let shown = text.chars().take(LONGEST);
    let mut clipped: String = shown.map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(LONGEST).is_some() {
        clipped.push_str("...");
    }
    clipped
}

impl PartialEq for Kind {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}
