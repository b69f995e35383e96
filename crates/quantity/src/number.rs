//! The number at the front of a quantity.

use crate::error::{Problem, clip};
use std::ops::Range;

/// A problem and the bytes it concerns.
pub(crate) type Fault = (Problem, Range<usize>);

/// A number as typed; the sign is apart because it governs a whole compound.
pub(crate) struct Number {
    pub(crate) magnitude: f64,
    pub(crate) negative: bool,
    pub(crate) end: usize,
}

const MINUS: [char; 3] = ['-', '\u{2212}', '\u{2013}'];
const VULGAR: [(char, f64); 9] = [
    ('½', 1.0 / 2.0),
    ('¼', 1.0 / 4.0),
    ('¾', 3.0 / 4.0),
    ('⅛', 1.0 / 8.0),
    ('⅜', 3.0 / 8.0),
    ('⅝', 5.0 / 8.0),
    ('⅞', 7.0 / 8.0),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
];

/// Whether a number may begin with this character.
pub(crate) fn begins_number(character: char) -> bool {
    character.is_ascii_digit() || vulgar(character).is_some()
}

fn vulgar(character: char) -> Option<f64> {
    let known = VULGAR.iter().find(|(sign, _)| *sign == character);
    known.map(|(_, value)| *value)
}

/// Reads the number that begins at byte `start` of `text`.
pub(crate) fn scan(text: &str, start: usize) -> Result<Number, Fault> {
    let (negative, first) = sign(text, start);
    let run_end = end_while(text, first, |c| c.is_ascii_digit() || ".,_".contains(c));
    let run = &text[first..run_end];
    refuse_separators(text, first, run_end)?;
    let (magnitude, end) = if run.is_empty() {
        without_digits(text, start, first)?
    } else {
        let end = exponent_end(text, run_end);
        let plain = parse(text, first, end)?;
        let whole = end == run_end && !run.contains('.');
        let mixed = if whole { with_fraction(text, plain, end) } else { None };
        mixed.unwrap_or((plain, end))
    };
    refuse_second_number(text, first, end)?;
    if !magnitude.is_finite() {
        return Err((Problem::NotFinite { text: clip(text) }, start..end));
    }
    Ok(Number { magnitude, negative, end })
}

fn sign(text: &str, start: usize) -> (bool, usize) {
    let Some(first) = text[start..].chars().next() else {
        return (false, start);
    };
    let negative = MINUS.contains(&first);
    if negative || first == '+' {
        let after = start + first.len_utf8();
        (negative, skip_spaces(text, after))
    } else {
        (false, start)
    }
}

fn end_while(text: &str, start: usize, accept: impl Fn(char) -> bool) -> usize {
    let rest = &text[start..];
    start + rest.find(|c| !accept(c)).unwrap_or(rest.len())
}

fn skip_spaces(text: &str, start: usize) -> usize {
    end_while(text, start, char::is_whitespace)
}

fn digits_end(text: &str, start: usize) -> usize {
    end_while(text, start, |c| c.is_ascii_digit())
}

fn parse(text: &str, start: usize, end: usize) -> Result<f64, Fault> {
    let not_a_number = |_| (Problem::NotANumber { text: clip(text) }, start..end);
    text[start..end].parse().map_err(not_a_number)
}

fn exponent_end(text: &str, run_end: usize) -> usize {
    let Some(after) = text[run_end..].strip_prefix(['e', 'E']) else {
        return run_end;
    };
    let digits = run_end + 1 + usize::from(after.starts_with(['-', '+']));
    let end = digits_end(text, digits);
    if end > digits { end } else { run_end }
}

/// A fraction sign alone, or the reason why nothing else is a number.
fn without_digits(text: &str, start: usize, at: usize) -> Result<(f64, usize), Fault> {
    let rest = &text[at..];
    if let Some(first) = rest.chars().next()
        && let Some(value) = vulgar(first)
    {
        return Ok((value, at + first.len_utf8()));
    }
    let end = end_while(text, at, char::is_alphabetic);
    let word = text[at..end].to_lowercase();
    let text = clip(text);
    if rest.starts_with('∞') || ["nan", "inf", "infinity"].contains(&word.as_str()) {
        return Err((Problem::NotFinite { text }, start..end.max(start)));
    }
    Err((Problem::NotANumber { text }, start..end))
}

/// The fraction after a whole number: `1/4`, `2 1/2`, `2-1/2`, `2½`.
fn with_fraction(text: &str, whole: f64, end: usize) -> Option<(f64, usize)> {
    if text[end..].starts_with('/') {
        let (denominator, end) = whole_number(text, end + 1)?;
        return Some((whole / denominator, end));
    }
    let next = if text[end..].starts_with('-') { end + 1 } else { skip_spaces(text, end) };
    let first = text[next..].chars().next()?;
    if let Some(value) = vulgar(first) {
        return Some((whole + value, next + first.len_utf8()));
    }
    let (numerator, slash) = whole_number(text, next)?;
    let after = text[slash..].strip_prefix('/')?;
    let (denominator, end) = whole_number(text, text.len() - after.len())?;
    (numerator < denominator).then_some((whole + numerator / denominator, end))
}

fn whole_number(text: &str, start: usize) -> Option<(f64, usize)> {
    let end = digits_end(text, start);
    text[start..end].parse().ok().map(|value| (value, end))
}

/// Commas, underscores, several points, or a group of three digits after a space.
fn refuse_separators(text: &str, start: usize, end: usize) -> Result<(), Fault> {
    let run = &text[start..end];
    let marks: Vec<char> = run.chars().filter(|c| !c.is_ascii_digit()).collect();
    if marks.is_empty() || marks == ['.'] {
        return Ok(());
    }
    let tail = &text[end..];
    let rewrites = without_separators(run, &marks)
        .iter()
        .map(|number| clip(&format!("{}{number}{tail}", &text[..start])))
        .collect();
    let text = clip(text);
    Err((Problem::Separator { text, rewrites }, start..end))
}

/// The readings of a number with separators, each without them.
fn without_separators(run: &str, marks: &[char]) -> Vec<String> {
    let digits: String = run.chars().filter(char::is_ascii_digit).collect();
    let Some((last, earlier)) = marks.split_last() else {
        return vec![digits];
    };
    let decimals = run.rsplit(*last).next().map_or(0, str::len);
    let point = digits.len() - decimals;
    let decimal = format!("{}.{}", &digits[..point], &digits[point..]);
    if *last == '_' || earlier.contains(last) || decimals == 0 {
        vec![digits]
    } else if decimals == 3 && earlier.is_empty() {
        vec![digits, decimal]
    } else {
        vec![decimal]
    }
}

/// `1 500 kg`, `350-400 F` and `400 ± 10 F` are not one number.
fn refuse_second_number(text: &str, start: usize, end: usize) -> Result<(), Fault> {
    let next = skip_spaces(text, end);
    let rest = &text[next..];
    let text_shown = clip(text);
    if rest.starts_with(':') {
        return Err((Problem::Clock { text: text_shown }, start..text.trim_end().len()));
    }
    let is_sign = |c| MINUS.contains(&c) || "+±/".contains(c);
    let unsigned = rest.trim_start_matches(is_sign).trim_start();
    if !unsigned.starts_with(begins_number) {
        return Ok(());
    }
    let group_end = digits_end(text, next);
    let grouped = group_end == next + 3 && end - start <= 3 && next > end;
    let span = start..text.len() - unsigned.trim_start_matches(begins_number).len();
    let problem = if grouped {
        let joined = format!("{}{}", &text[..end], &text[next..]);
        Problem::Separator { text: text_shown, rewrites: vec![clip(&joined)] }
    } else {
        Problem::TwoNumbers { text: text_shown }
    };
    Err((problem, span))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str) -> f64 {
        let number = scan(text, 0).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
        assert_eq!(number.end, text.len(), "{text}");
        if number.negative { -number.magnitude } else { number.magnitude }
    }

    #[test]
    fn fractions_are_read_as_a_rule_shows_them() {
        assert_eq!(value("1/4"), 0.25);
        assert_eq!(value("2 1/2"), 2.5);
        assert_eq!(value("2-1/2"), 2.5);
        assert_eq!(value("2½"), 2.5);
        assert_eq!(value("⅜"), 0.375);
    }

    #[test]
    fn signs_and_exponents_are_read() {
        assert_eq!(value("\u{2212}40"), -40.0);
        assert_eq!(value("+2.5e5"), 2.5e5);
        assert_eq!(value("1E-3"), 1e-3);
        assert_eq!(value(".5"), 0.5);
    }

    #[test]
    fn separators_are_rewritten_in_every_reading() {
        let rewrites = |run: &str| {
            let marks: Vec<char> = run.chars().filter(|c| !c.is_ascii_digit()).collect();
            without_separators(run, &marks)
        };
        assert_eq!(rewrites("1,5"), ["1.5"]);
        assert_eq!(rewrites("1,500"), ["1500", "1.500"]);
        assert_eq!(rewrites("1.234,5"), ["1234.5"]);
        assert_eq!(rewrites("1,234.567"), ["1234.567"]);
        assert_eq!(rewrites("1,234,567"), ["1234567"]);
        assert_eq!(rewrites("1_500"), ["1500"]);
    }
}
