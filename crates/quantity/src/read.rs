//! From text to an SI number.

use crate::error::{Error, Problem, clip};
use crate::number::{Fault, Number, begins_number, scan};
use crate::spelling::{find, find_anywhere, nearest, two_meanings};
use crate::unit::{Form, Kind, Unit};
use std::ops::Range;

/// Reads `text` as a quantity of kind `due`; the result is SI (degC for a temperature).
pub(crate) fn read(text: &str, due: &'static Kind) -> Result<f64, Error> {
    let reader = Reader { text, due };
    let refuse = |(problem, span)| Error::new(problem, span, due);
    let si = reader.quantity().map_err(refuse)?;
    reader.checked(si).map_err(refuse)
}

struct Reader<'a> {
    text: &'a str,
    due: &'static Kind,
}

impl Reader<'_> {
    fn shown(&self) -> String {
        clip(self.text)
    }

    fn whole(&self) -> Range<usize> {
        let start = self.text.len() - self.text.trim_start().len();
        start..self.text.trim_end().len().max(start)
    }

    fn quantity(&self) -> Result<f64, Fault> {
        let whole = self.whole();
        if whole.is_empty() {
            let due = self.due.with_article();
            let text = String::new();
            return Err((Problem::Empty { text, due }, whole));
        }
        let number = scan(self.text, whole.start)?;
        let signed = signed(&number, number.magnitude);
        let unit = self.trimmed(number.end..whole.end);
        if unit.is_empty() {
            return self.without_unit(signed, whole);
        }
        match find(self.due, &self.text[unit.clone()]) {
            Some(found) => Ok(found.to_si(signed)),
            None if self.is_compound(&unit) => self.compound(&number, unit),
            None => Err(self.bad_unit(unit)),
        }
    }

    fn trimmed(&self, range: Range<usize>) -> Range<usize> {
        let part = &self.text[range.clone()];
        let start = range.end - part.trim_start().len();
        start..start + part.trim().len()
    }

    fn without_unit(&self, number: f64, span: Range<usize>) -> Result<f64, Fault> {
        let text = self.shown();
        match self.due.bare {
            true if number > 1.0 => Err((Problem::AboveOne { text }, span)),
            true => Ok(number),
            false => Err((Problem::NoUnit { text }, span)),
        }
    }

    fn checked(&self, si: f64) -> Result<f64, Fault> {
        // A hair of slack, since -459.67 F is absolute zero but for rounding.
        const SLACK: f64 = 1e-9;
        let text = self.shown();
        if !si.is_finite() {
            return Err((Problem::NotFinite { text }, self.whole()));
        }
        if si < self.due.lowest - SLACK {
            return Err((Problem::BelowAbsoluteZero { text }, self.whole()));
        }
        Ok(si)
    }

    fn bad_unit(&self, span: Range<usize>) -> Fault {
        let (text, unit) = (self.shown(), &self.text[span.clone()]);
        if let Some(instead) = two_meanings(self.due, unit) {
            let unit = clip(unit);
            return (Problem::AmbiguousUnit { text, unit, instead }, span);
        }
        if let Some((found, _)) = find_anywhere(unit) {
            return self.other_quantity(found);
        }
        let nearest = nearest(self.due, unit);
        let unit = clip(unit);
        (Problem::UnknownUnit { text, unit, nearest }, span)
    }

    fn other_quantity(&self, found: &Kind) -> Fault {
        let problem =
            Problem::OtherQuantity { text: self.shown(), found: found.with_article(), due: self.due.with_article() };
        (problem, self.whole())
    }

    /// The part of a unit before the next number, as in `ft` of `ft 2 in`.
    fn head(&self, range: Range<usize>) -> Range<usize> {
        let part = &self.text[range.clone()];
        let length = part.find(begins_number).unwrap_or(part.len());
        range.start..range.start + length
    }

    /// A time or length followed by another number, unless a unit as it stands (`m2`).
    fn is_compound(&self, unit: &Range<usize>) -> bool {
        let head = self.head(unit.clone());
        let more = head.end < unit.end && find_anywhere(&self.text[unit.clone()]).is_none();
        let first = find_anywhere(bare_unit(&self.text[head]));
        more && first.is_some_and(|(kind, _)| kind.form != Form::Single)
    }

    /// `5 ft 2 1/2 in`: the first number is read, its unit begins at `rest`.
    fn compound(&self, first: &Number, rest: Range<usize>) -> Result<f64, Fault> {
        let head = self.head(rest.clone());
        let mut unit = self.term_unit(head.clone(), None)?;
        let mut sum = unit.to_si(first.magnitude);
        let mut at = head.end;
        while at < rest.end {
            self.refuse_loose_sign(at)?;
            let number = scan(self.text, at)?;
            let head = self.head(number.end..rest.end);
            let smaller = if self.text[head.clone()].trim().is_empty() {
                self.implied_unit(unit, at..number.end)?
            } else {
                self.term_unit(head.clone(), Some(unit))?
            };
            sum += smaller.to_si(number.magnitude);
            (unit, at) = (smaller, head.end);
        }
        Ok(signed(first, sum))
    }

    fn term_unit(&self, span: Range<usize>, larger: Option<&Unit>) -> Result<&'static Unit, Fault> {
        let span = self.trimmed(span);
        let spelling = bare_unit(&self.text[span.clone()]);
        let Some(unit) = find(self.due, spelling) else {
            return Err(self.bad_term(spelling, span, larger.is_some()));
        };
        if larger.is_some_and(|larger| larger.factor <= unit.factor) {
            let text = self.shown();
            return Err((Problem::CompoundOrder { text }, span));
        }
        Ok(unit)
    }

    fn bad_term(&self, spelling: &str, span: Range<usize>, later: bool) -> Fault {
        match find_anywhere(spelling) {
            Some((found, _)) if later => {
                let problem = Problem::MixedCompound {
                    text: self.shown(),
                    first: self.due.with_article(),
                    second: found.with_article(),
                };
                (problem, span)
            }
            _ => self.bad_unit(span),
        }
    }

    /// `1h30` is an hour and thirty minutes; nothing else goes without its unit.
    fn implied_unit(&self, larger: &Unit, span: Range<usize>) -> Result<&'static Unit, Fault> {
        let minute = find(self.due, "min").filter(|_| larger.spelling == "h");
        let text = clip(&self.text[span.clone()]);
        minute.ok_or((Problem::NoUnit { text }, span))
    }

    /// Only the hyphen of a drawing, as in 5'-2", may stand between the terms.
    fn refuse_loose_sign(&self, at: usize) -> Result<(), Fault> {
        let before = self.text[..at].trim_end();
        let Some(unit) = before.strip_suffix('-') else {
            return Ok(());
        };
        let tight = before.len() == at && !unit.ends_with(char::is_whitespace);
        if tight && self.due.form == Form::Compound {
            return Ok(());
        }
        let text = self.shown();
        Err((Problem::TwoNumbers { text }, self.whole()))
    }
}

/// A unit inside a compound without the comma or hyphen that joins it to the next term.
fn bare_unit(text: &str) -> &str {
    text.trim_end_matches([',', '-', ' '])
}

fn signed(number: &Number, magnitude: f64) -> f64 {
    if number.negative { -magnitude } else { magnitude }
}
