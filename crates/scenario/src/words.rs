//! Matching what people type against what is known.

/// Lower case without spaces, dashes, dots and underscores.
pub(crate) fn plain(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// The known word that is the same but for case, spaces, dashes and underscores.
pub(crate) fn canonical(written: &str, known: &[&'static str]) -> Option<&'static str> {
    let written = plain(written);
    known.iter().copied().find(|word| plain(word) == written)
}

/// The known word that was probably meant.
pub(crate) fn nearest<'a>(written: &str, known: &[&'a str]) -> Option<&'a str> {
    let written: String = plain(written).chars().take(60).collect();
    let distance = |word: &str| strsim::damerau_levenshtein(&written, &plain(word));
    let best = known.iter().copied().min_by_key(|word| distance(word))?;
    let allowed = (plain(best).chars().count().max(written.chars().count()) / 3).clamp(1, 4);
    (distance(best) <= allowed && !written.is_empty()).then_some(best)
}

/// Words joined by commas; in quotes where one of them has a comma itself.
pub(crate) fn list(words: &[&str]) -> String {
    if words.iter().any(|word| word.contains(',')) {
        return format!("\"{}\"", words.join("\", \""));
    }
    words.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_with_commas_are_listed_in_quotes() {
        assert_eq!(list(&["a, b", "c"]), "\"a, b\", \"c\"");
        assert_eq!(list(&["a", "c"]), "a, c");
    }

    #[test]
    fn slips_are_matched_and_strangers_are_not() {
        let known = ["length", "width", "depth"];
        assert_eq!(nearest("lenght", &known), Some("length"));
        assert_eq!(nearest("Widht", &known), Some("width"));
        assert_eq!(nearest("colour", &known), None);
        assert_eq!(nearest("", &known), None);
        assert_eq!(canonical("As-Cast", &["as cast"]), Some("as cast"));
    }
}
