//! Breaking text into lines, whatever its width is measured in.

/// Lines no wider than `width` by `measure`, broken at spaces, and inside a word only where the word is wider.
pub(crate) fn wrap(text: &str, width: f64, measure: impl Fn(&str) -> f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        for piece in pieces(word, width, &measure) {
            append(&mut lines, &piece, width, &measure);
        }
    }
    lines
}

fn append(lines: &mut Vec<String>, piece: &str, width: f64, measure: &impl Fn(&str) -> f64) {
    let last = lines.last().map_or("", String::as_str);
    let joined = if last.is_empty() { piece.to_owned() } else { format!("{last} {piece}") };
    if last.is_empty() || measure(&joined) <= width {
        lines.pop();
        lines.push(joined);
    } else {
        lines.push(piece.to_owned());
    }
}

/// The word itself, or as many parts as its width needs.
fn pieces(word: &str, width: f64, measure: &impl Fn(&str) -> f64) -> Vec<String> {
    if measure(word) <= width {
        return vec![word.to_owned()];
    }
    let mut pieces = vec![String::new()];
    for letter in word.chars() {
        let last = pieces.last().map_or("", String::as_str);
        let longer = format!("{last}{letter}");
        if last.is_empty() || measure(&longer) <= width {
            pieces.pop();
            pieces.push(longer);
        } else {
            pieces.push(letter.to_string());
        }
    }
    pieces
}

/// The text, or its beginning with an ellipsis that fits the width.
pub(crate) fn shorten(text: &str, width: f64, measure: impl Fn(&str) -> f64) -> String {
    if measure(text) <= width {
        return text.to_owned();
    }
    let mut kept: String = text.to_owned();
    while kept.pop().is_some() {
        let shortened = format!("{}…", kept.trim_end());
        if measure(&shortened) <= width {
            return shortened;
        }
    }
    "…".to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letters(text: &str) -> f64 {
        text.chars().count() as f64
    }

    #[test]
    fn no_line_is_wider_than_asked_and_no_letter_is_lost() {
        let text = "a press die of an uncommonlylongwordwithoutanyspace and more";
        let lines = wrap(text, 12.0, letters);
        assert!(lines.iter().all(|line| letters(line) <= 12.0), "{lines:?}");
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
    }

    #[test]
    fn a_shortened_text_fits_and_says_that_it_was_cut() {
        assert_eq!(shorten("ring, coldest", 8.0, letters), "ring, c…");
        assert_eq!(shorten("ring", 8.0, letters), "ring");
    }
}
