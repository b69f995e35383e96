//! What a line that is not TOML was probably meant to say.
//!
//! A guess is only ever offered after the parser has taken it: see [`crate::syntax`].

use crate::keys::{self, Kind};

/// Every sign that people type for a quote.
const QUOTES: [char; 10] = ['"', '\'', '`', '“', '”', '„', '‘', '’', '«', '»'];
const BRACKETS: [char; 7] = ['[', ']', '(', ')', '{', '}', ':'];

const EQUALS: &str = "= stands between a key and its value";
const BLANKS: &str = "a key has no blanks";
const IN_QUOTES: &str = "a text or a number with its unit goes in quotes";
const CLOSED: &str = "close the quotes on the same line, with the plain quotes that opened them";
const PLAIN: &str = "a plain number has no quotes";
const POINT: &str = "decimals follow a point";
const NOTE: &str = "a note begins with #";
const ENDS: &str = "nothing follows a value";
const SECTION: &str = "a section stands in brackets";
const LIST: &str = "a list stands in [ ], its values parted by commas";
const PAIRED: &str = "every [ needs its ], every { its }";
const MISSING: &str = "a value is missing; for example";

/// A line put right, and why.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Mend {
    pub(crate) line: String,
    pub(crate) why: Vec<String>,
}

impl Mend {
    fn because(&mut self, why: &str) {
        if !self.why.iter().any(|known| known == why) {
            self.why.push(why.to_owned());
        }
    }
}

/// What a line in the table of some path was probably meant to say.
pub(crate) fn mend(line: &str, table: &str) -> Option<Mend> {
    let mut mend = Mend::default();
    let (body, note) = parted(line, &mut mend);
    let body = body.trim();
    let meant = match body {
        "" => String::new(),
        _ if is_header(body) => header(body, table, &mut mend)?,
        _ if body.starts_with(['[', '{']) => element(body, &mut mend)?,
        _ => pair(body, table, &mut mend)?,
    };
    let note = note.map(|note| format!("# {}", note.trim())).unwrap_or_default();
    mend.line = [meant, note].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ");
    Some(mend)
}

/// What a line says, and the note behind it.
fn parted<'a>(line: &'a str, mend: &mut Mend) -> (&'a str, Option<&'a str>) {
    let mut within: Option<char> = None;
    for (at, letter) in line.char_indices() {
        let after_blank = line[..at].trim_end().len() < at || at == 0;
        match within {
            Some(open) if letter == open => within = None,
            Some(_) => {}
            None if letter == '"' || letter == '\'' => within = Some(letter),
            None if letter == '#' => return (&line[..at], Some(&line[at + 1..])),
            None if after_blank && (line[at..].starts_with("//") || line[at..].starts_with("; ")) => {
                mend.because(NOTE);
                return (&line[..at], Some(line[at..].trim_start_matches(['/', ';'])));
            }
            None => {}
        }
    }
    (line, None)
}

/// An element of a list on a line of its own, with the comma behind it.
fn element(body: &str, mend: &mut Mend) -> Option<String> {
    let bare = body.trim_end_matches([',', ';']).trim_end();
    let comma = if bare.len() < body.len() { "," } else { "" };
    group(bare, mend).map(|group| group + comma)
}

/// Whether it is one name, perhaps in brackets of any sort.
fn is_header(body: &str) -> bool {
    is_name(body.trim_matches(BRACKETS).trim())
}

fn is_name(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|letter| letter.is_ascii_alphanumeric() || "_-.".contains(letter))
}

fn header(body: &str, table: &str, mend: &mut Mend) -> Option<String> {
    let name = body.trim_matches(BRACKETS).trim();
    let kind = keys::key(name).map(|key| key.kind);
    let is_table = body.starts_with('[') || matches!(kind, Some(Kind::Table | Kind::Tables | Kind::TimeOrTable(_)));
    if !is_table {
        return example(name, table, mend);
    }
    mend.because(SECTION);
    let double = body.starts_with("[[") || kind == Some(Kind::Tables);
    Some(if double { format!("[[{name}]]") } else { format!("[{name}]") })
}

/// A key that has no value.
fn example(name: &str, table: &str, mend: &mut Mend) -> Option<String> {
    let path = if table.is_empty() { name.to_owned() } else { format!("{table}.{name}") };
    let key = keys::key(&path)?;
    mend.because(MISSING);
    Some(format!("{name} = {}", key.example))
}

fn pair(body: &str, table: &str, mend: &mut Mend) -> Option<String> {
    let (key, rest) = key_and_rest(body, mend)?;
    if rest.is_empty() {
        return example(&key, table, mend);
    }
    Some(format!("{key} = {}", value(rest, mend)?))
}

/// The key of a pair, and what stands behind its `=` or what was typed in its place.
fn key_and_rest<'a>(body: &'a str, mend: &mut Mend) -> Option<(String, &'a str)> {
    let open = body.trim_start_matches(QUOTES);
    let from = body.len() - open.len();
    let name = |letter: char| letter.is_alphanumeric() || QUOTES.contains(&letter) || "_-. \t".contains(letter);
    let sign = open.find(|letter: char| !name(letter)).unwrap_or(open.len());
    let (before, behind) = match open[sign..].chars().next() {
        Some(':' | '=') => (&open[..sign], &open[sign..]),
        // Without a sign between them the key is the first word.
        _ => open.split_at(open.find(|letter: char| letter.is_whitespace() || letter == '"').unwrap_or(open.len())),
    };
    let rest = behind.trim_start_matches([':', '=', ' ', '\t']);
    let rest = if behind.trim_start().starts_with("=>") { rest.trim_start_matches('>').trim_start() } else { rest };
    if behind[..behind.len() - rest.len()].trim() != "=" {
        mend.because(EQUALS);
    }
    let words: Vec<&str> = before.trim().trim_matches(QUOTES).split_whitespace().collect();
    if words.len() > 1 {
        mend.because(BLANKS);
    }
    if from > 0 {
        mend.because(CLOSED);
    }
    let key = words.join("_");
    is_name(&key).then_some((key, rest))
}

fn value(text: &str, mend: &mut Mend) -> Option<String> {
    let whole = text.trim();
    let text = whole.trim_end_matches([',', ';']).trim_end();
    if text.len() < whole.len() {
        mend.because(ENDS);
    }
    let end = end_of_value(text);
    let more = text[end..].trim();
    if let Some((key, _)) = more.split_once('=').filter(|(key, _)| is_name(key.trim())) {
        mend.because(&format!("each key on a line of its own: `{}` goes on the next one", key.trim()));
        return value(&text[..end], mend);
    }
    match text.chars().next()? {
        '[' | '{' | '(' => group(text, mend),
        _ if more.starts_with(',') || more.starts_with(';') => {
            mend.because(LIST);
            Some(format!(
                "[{}]",
                elements(text).iter().filter_map(|item| scalar(item, mend)).collect::<Vec<_>>().join(", ")
            ))
        }
        _ => scalar(text, mend),
    }
}

/// Where a value in quotes or brackets ends that begins a text; its whole length where it never does.
fn end_of_value(text: &str) -> usize {
    let mut depth = 0usize;
    let mut quoted = false;
    for (at, letter) in text.char_indices() {
        match letter {
            '"' => quoted = !quoted,
            '[' | '{' | '(' if !quoted => depth += 1,
            ']' | '}' | ')' if !quoted => depth = depth.saturating_sub(1),
            _ => continue,
        }
        if depth == 0 && !quoted {
            return at + letter.len_utf8();
        }
    }
    text.len()
}

/// A list, or a table in braces.
fn group(text: &str, mend: &mut Mend) -> Option<String> {
    let end = end_of_value(text);
    let closed = text[..end].ends_with([']', '}', ')']);
    let inner = text[1..if closed { end - 1 } else { end }].trim();
    let inner = inner.trim_end_matches(|letter: char| letter == ',' || letter == ';' || letter.is_whitespace());
    if !closed {
        mend.because(PAIRED);
    }
    let is_table = text.starts_with('{') || text.starts_with('(') && inner.contains(['=', ':']);
    if text.starts_with('(') {
        mend.because(PAIRED);
    }
    let parts = elements(inner);
    if is_table {
        let pairs: Option<Vec<String>> = parts.iter().map(|part| pair(part.trim(), "", mend)).collect();
        return Some(format!("{{ {} }}", pairs?.join(", ")));
    }
    if parts.len() > 1 && inner.matches(',').count() + 1 < parts.len() {
        mend.because(LIST);
    }
    let values: Option<Vec<String>> = parts.iter().map(|part| value(part, mend)).collect();
    Some(format!("[{}]", values?.join(", ")))
}

/// The parts of a list between its commas or semicolons, or between two texts in quotes without any; a comma between two
/// digits is one of decimals.
fn elements(inner: &str) -> Vec<String> {
    // With a quote too many or too few none of them tells where a text ends.
    let in_pairs = inner.matches('"').count().is_multiple_of(2);
    let signs: Vec<char> = inner.chars().filter(|letter| in_pairs || *letter != '"').collect();
    let (mut parts, mut depth, mut quoted) = (vec![String::new()], 0i32, false);
    for (at, &letter) in signs.iter().enumerate() {
        let digit = |at: Option<usize>| at.and_then(|at| signs.get(at)).is_some_and(char::is_ascii_digit);
        let decimal = letter == ',' && digit(at.checked_sub(1)) && digit(Some(at + 1));
        let parts_here = depth == 0 && !quoted && (letter == ';' || letter == ',' && !decimal);
        if letter == '"' {
            let last = parts.last().map_or("", String::as_str).trim();
            if depth == 0 && !quoted && last.ends_with('"') {
                parts.push(String::new());
            }
            quoted = !quoted;
        }
        depth += i32::from(!quoted && "[{(".contains(letter)) - i32::from(!quoted && "]})".contains(letter));
        match parts.last_mut() {
            Some(last) if !parts_here => last.push(letter),
            _ => parts.push(String::new()),
        }
    }
    parts.retain(|part| !part.trim().is_empty());
    parts
}

/// One value: a plain number, true or false, or a text in quotes.
fn scalar(text: &str, mend: &mut Mend) -> Option<String> {
    let text = text.trim();
    if in_a_pair(text, '"') || in_a_pair(text, '\'') {
        return Some(text.to_owned());
    }
    let bare = text.trim_matches(QUOTES).replace('"', "");
    let bare = bare.split_whitespace().collect::<Vec<_>>().join(" ");
    let last_is_digit = bare.ends_with(|letter: char| letter.is_ascii_digit());
    let mark = text.ends_with('"') && (text.ends_with("\"\"") || !text.starts_with(QUOTES));
    let bare = if last_is_digit && mark { format!("{bare} in") } else { bare };
    let bare = with_a_point(&bare, mend);
    if bare.is_empty() || bare.contains('=') {
        return None;
    }
    if ["true", "false"].contains(&bare.to_lowercase().as_str()) {
        mend.because("true and false stand without quotes, in small letters");
        return Some(bare.to_lowercase());
    }
    if let Some(number) = bare.parse::<f64>().ok().filter(|number| number.is_finite()) {
        if text.contains(QUOTES) {
            mend.because(PLAIN);
        }
        let plain = if bare.contains(['e', 'E']) { bare } else { format!("{number}") };
        if text != plain && mend.why.is_empty() {
            mend.because("a number begins with its digits");
        }
        return Some(plain);
    }
    mend.because(if text.starts_with(QUOTES) { CLOSED } else { IN_QUOTES });
    Some(format!("\"{}\"", bare.replace('\\', "\\\\")))
}

/// Whether one pair of a sign stands around a text, and nowhere in it.
fn in_a_pair(text: &str, sign: char) -> bool {
    text.strip_prefix(sign).and_then(|text| text.strip_suffix(sign)).is_some_and(|text| !text.contains(sign))
}

/// A decimal comma made a point, unless it may be one of thousands.
fn with_a_point(text: &str, mend: &mut Mend) -> String {
    let Some((whole, rest)) = text.split_once(',') else { return text.to_owned() };
    let decimals = rest.bytes().take_while(u8::is_ascii_digit).count();
    let digits = whole.trim_start_matches(['-', '+']);
    let is_number = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
    let thousands = decimals == 3 && digits != "0";
    if !is_number || decimals == 0 || thousands || rest.contains(',') {
        return text.to_owned();
    }
    mend.because(POINT);
    format!("{whole}.{rest}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meant(line: &str) -> String {
        mend(line, "casting").map(|mend| mend.line).unwrap_or_default()
    }

    #[test]
    fn slips_between_a_key_and_its_value_are_put_right() {
        for line in [
            "width: \"75 mm\"",
            "width \"75 mm\"",
            "width := \"75 mm\"",
            "width == \"75 mm\"",
            "width => \"75 mm\"",
            "\"width = \"75 mm\"",
            "width = \"75 mm\",",
            "width = \"75 mm\";",
            "width = \"75 mm\" depth = \"60 mm\"",
        ] {
            assert_eq!(meant(line), "width = \"75 mm\"", "{line}");
        }
        assert_eq!(meant("width ="), "width = \"1.5 m\"");
        assert_eq!(meant("width"), "width = \"1.5 m\"");
        assert_eq!(meant("last temper = \"75 C\""), "last_temper = \"75 C\"");
    }

    #[test]
    fn slips_of_quotes_and_decimals_are_put_right() {
        for line in ["width = 75 mm", "width = \"75 mm", "width = 75 mm\"", "width = \"75\" mm", "width = “75 mm”"]
        {
            assert_eq!(meant(line), "width = \"75 mm\"", "{line}");
        }
        for (line, right) in [
            ("a = 7,5 mm", "a = \"7.5 mm\""),
            ("a = 0,8", "a = 0.8"),
            ("a = 1,200 mm", "a = \"1,200 mm\""),
            ("a = .8", "a = 0.8"),
            ("a = 01", "a = 1"),
            ("a = 1;", "a = 1"),
            ("a = True", "a = true"),
            ("a = 6 1/2\"", "a = \"6 1/2 in\""),
            ("a = \"6 1/2\"\"", "a = \"6 1/2 in\""),
            ("a = -5 C", "a = \"-5 C\""),
            ("a = \"150 C'", "a = \"150 C\""),
        ] {
            assert_eq!(meant(line), right, "{line}");
        }
    }

    #[test]
    fn slips_of_brackets_and_notes_are_put_right() {
        for (line, right) in [
            ("[casting", "[casting]"),
            ("casting]", "[casting]"),
            ("casting:", "[casting]"),
            ("(casting)", "[casting]"),
            ("[[heater]", "[[heater]]"),
            ("heater:", "[[heater]]"),
            ("disc = { diameter: \"120 mm\" }", "disc = { diameter = \"120 mm\" }"),
            ("disc = { diameter = 120 mm", "disc = { diameter = \"120 mm\" }"),
            ("disc = (diameter = 120 mm)", "disc = { diameter = \"120 mm\" }"),
            ("c = [\"0.1 m\" \"0.2 m\"]", "c = [\"0.1 m\", \"0.2 m\"]"),
            ("c = [\"0.1 m\"; \"0.2 m\"]", "c = [\"0.1 m\", \"0.2 m\"]"),
            ("c = [\"0.1 m, \"0.2 m\"]", "c = [\"0.1 m\", \"0.2 m\"]"),
            ("c = \"0.1 m\", \"0.2 m\"", "c = [\"0.1 m\", \"0.2 m\"]"),
            ("c = [0,1 m, 0,2 m", "c = [\"0.1 m\", \"0.2 m\"]"),
            ("// polished", "# polished"),
            ("; polished", "# polished"),
            ("a = 0.8 // polished", "a = 0.8 # polished"),
            ("a = 8 mm # about", "a = \"8 mm\" # about"),
        ] {
            assert_eq!(meant(line), right, "{line}");
        }
    }

    #[test]
    fn no_text_of_any_kind_stops_it() {
        for line in
            ["", "=", ":", "\"", "[", "]", "{", "a = {", "a = [[[", "é = ü\"", "a = \"\\", "a=,", "a = ;;", "\u{0}"]
        {
            let _ = mend(line, "");
        }
    }
}
