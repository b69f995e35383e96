//! From a unit as typed to a unit of the tables.

use crate::tables::kinds;
use crate::unit::{Kind, Unit};

/// Words people type for one factor of a unit, and the word the tables use.
const WORDS: &[(&[&str], &str)] = &[
    (&["hr", "hrs", "hour", "hours"], "h"),
    (&["mins", "minute", "minutes"], "min"),
    (&["sec", "secs", "second", "seconds"], "s"),
    (&["inch", "inches"], "in"),
    (&["foot", "feet"], "ft"),
    (&["metre", "metres", "meter", "meters"], "m"),
    (&["micron", "microns"], "um"),
    (&["lbs", "lbm", "pound", "pounds"], "lb"),
    (&["liter", "liters", "litre", "litres"], "L"),
    (&["degf", "fahrenheit"], "F"),
    (&["degc", "celsius", "centigrade"], "C"),
    (&["degk", "kelvin"], "K"),
    (&["sqft"], "ft2"),
    (&["sqin"], "in2"),
    (&["cuft"], "ft3"),
    (&["btus"], "Btu"),
    (&["watt", "watts"], "W"),
    (&["kilowatt", "kilowatts"], "kW"),
    (&["joule", "joules"], "J"),
];

/// A spelling without its accidents: separators, order of factors, word forms.
///
/// `Btu/(hr·ft²·°F)` and `BTU/ft^2/h/degF` differ in nothing but case afterwards.
pub(crate) fn key(text: &str) -> String {
    let plain = plain_characters(text);
    match plain.split_once('/') {
        Some((top, bottom)) => format!("{}/{}", factors(top, false), factors(bottom, true)),
        None => factors(&plain, false),
    }
}

fn plain_characters(text: &str) -> String {
    let text = text.replace("**", "").replace("''", "\"");
    let mut plain = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            'µ' | 'μ' => plain.push('u'),
            '^' => {}
            '"' | '″' | '”' | '“' => plain.push_str(" in "),
            '\'' | '′' | '’' | '‘' => plain.push_str(" ft "),
            other => plain.push(other),
        }
    }
    plain
}

fn is_separator(character: char) -> bool {
    character.is_whitespace() || "./·⋅•∙×*-()[]°º˚".contains(character)
}

fn factors(text: &str, below_the_line: bool) -> String {
    let mut found: Vec<String> = Vec::new();
    let mut power = "";
    for word in text.split(is_separator).filter(|word| !word.is_empty()) {
        match word.to_ascii_lowercase().as_str() {
            "sq" | "square" => power = "2",
            "cu" | "cubic" => power = "3",
            "deg" | "degree" | "degrees" => {}
            lower => {
                found.push(table_word(word, lower, below_the_line) + power);
                power = "";
            }
        }
    }
    found.sort_by_key(|factor| factor.to_ascii_lowercase());
    found.join(".")
}

fn table_word(word: &str, lower: &str, below_the_line: bool) -> String {
    let known = WORDS.iter().find(|(typed, _)| typed.contains(&lower));
    let word = known.map_or(word, |(_, table)| table);
    // Per degree Celsius and per kelvin are the same.
    if below_the_line && word.eq_ignore_ascii_case("c") {
        return "K".to_owned();
    }
    word.to_owned()
}

/// The unit of `kind` that `text` spells, letter case first taken as written, then ignored.
pub(crate) fn find(kind: &Kind, text: &str) -> Option<&'static Unit> {
    let typed = key(text);
    if kind.ambiguous.iter().any(|(spelling, _)| *spelling == typed) {
        return None;
    }
    matching(kind, |spelling| key(spelling) == typed)
        .or_else(|| matching(kind, |spelling| same_but_for_case(&key(spelling), &typed)))
}

fn matching(kind: &Kind, same: impl Fn(&str) -> bool) -> Option<&'static Unit> {
    kind.units.iter().find(|unit| same(unit.spelling) || unit.also.iter().any(|spelling| same(spelling)))
}

/// `mW` must not pass for `MW`: the two prefixes lie a factor 10^9 apart.
fn same_but_for_case(spelling: &str, typed: &str) -> bool {
    let mega_lost = spelling.starts_with('M') && !typed.starts_with('M');
    !mega_lost && spelling.eq_ignore_ascii_case(typed)
}

/// The first quantity that has a unit spelled so.
pub(crate) fn find_anywhere(text: &str) -> Option<(&'static Kind, &'static Unit)> {
    kinds().iter().find_map(|kind| find(kind, text).map(|unit| (*kind, unit)))
}

/// What to write in place of a spelling with two meanings.
pub(crate) fn two_meanings(kind: &Kind, text: &str) -> Option<&'static str> {
    let typed = key(text);
    let known = kind.ambiguous.iter();
    known.filter(|(spelling, _)| *spelling == typed).map(|(_, instead)| *instead).next()
}

/// The listed spelling nearest to `text`, if a slip or two of the finger away.
pub(crate) fn nearest(kind: &Kind, text: &str) -> Option<&'static str> {
    let typed: Vec<char> = key(text).to_lowercase().chars().collect();
    if typed.len() > 30 {
        return None;
    }
    let listed = kind.spellings().map(|spelling| (key(spelling), spelling));
    let words = kind.spellings().flat_map(word_forms);
    listed
        .chain(words)
        .map(|(form, spelling)| (distance(&typed, &form.to_lowercase()), spelling))
        .filter(|(distance, _)| *distance <= 2 && *distance < typed.len())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, spelling)| spelling)
}

/// The words of [`WORDS`] that stand for a spelling, such as `inches` for `in`.
fn word_forms(spelling: &'static str) -> impl Iterator<Item = (String, &'static str)> {
    let entries = WORDS.iter().filter(move |(_, table)| *table == spelling);
    entries.flat_map(move |(words, _)| words.iter().map(move |word| ((*word).to_owned(), spelling)))
}

/// Insertions, deletions and substitutions that turn one text into the other.
fn distance(from: &[char], to: &str) -> usize {
    let mut row: Vec<usize> = (0..=from.len()).collect();
    for (line, letter) in to.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = line + 1;
        for (column, typed) in from.iter().enumerate() {
            let substituted = diagonal + usize::from(*typed != letter);
            diagonal = row[column + 1];
            row[column + 1] = substituted.min(diagonal + 1).min(row[column] + 1);
        }
    }
    row[from.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::{FILM_COEFFICIENT, LENGTH, MASS, POWER};

    #[test]
    fn accidents_of_spelling_leave_the_same_key() {
        assert_eq!(key("Btu/(hr·ft²·°F)"), key("Btu/ft^2/h/degF"));
        assert_eq!(key("W/(m2 °C)"), key("W/m**2.K"));
        assert_eq!(key("sq. ft"), key("ft2"));
    }

    #[test]
    fn every_listed_spelling_finds_its_own_unit() {
        for kind in kinds() {
            for unit in kind.units {
                for spelling in std::iter::once(&unit.spelling).chain(unit.also) {
                    let found = find(kind, spelling).expect(spelling);
                    assert_eq!(found.spelling, unit.spelling, "{spelling}");
                }
            }
        }
    }

    #[test]
    fn milliwatt_does_not_pass_for_megawatt() {
        assert_eq!(find(&POWER, "MW").unwrap().spelling, "MW");
        assert!(find(&POWER, "mW").is_none());
        assert_eq!(find(&POWER, "KW").unwrap().spelling, "kW");
    }

    #[test]
    fn a_plain_ton_is_not_guessed() {
        assert!(find(&MASS, "tons").is_none());
        assert!(find(&MASS, "T").is_none());
        assert_eq!(find(&MASS, "t").unwrap().factor, 1000.0);
    }

    #[test]
    fn distance_counts_single_slips() {
        let letters: Vec<char> = "kitten".chars().collect();
        assert_eq!(distance(&letters, "sitting"), 3);
        assert_eq!(distance(&[], "abc"), 3);
        assert_eq!(nearest(&LENGTH, "imch"), Some("in"));
        assert_eq!(nearest(&FILM_COEFFICIENT, "W/n2K"), Some("W/m2K"));
        assert_eq!(nearest(&LENGTH, "furlong"), None);
    }
}
