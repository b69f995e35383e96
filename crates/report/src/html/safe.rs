//! Text of others made harmless: in HTML, and as data of a script.

use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::words::printable;

/// Text for an element or a quoted attribute: no markup, no control codes, no marks that turn the direction of writing.
pub(super) fn text(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in printable(text).chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            _ => safe.push(letter),
        }
    }
    safe
}

/// The same for text of several lines, which keeps them.
pub(super) fn lines(many: &str) -> String {
    many.lines().map(text).collect::<Vec<_>>().join("\n")
}

/// JSON that cannot end the script element it stands in.
pub(super) fn data(value: &impl Serialize) -> String {
    // Numbers and texts with string keys only: JSON can hold all of it.
    let json = serde_json::to_string(value).unwrap_or_else(|_| "null".to_owned());
    let mut safe = String::with_capacity(json.len());
    for letter in json.chars() {
        match letter {
            '<' | '>' | '&' | '\'' | '\u{2028}' | '\u{2029}' => safe.push_str(&format!("\\u{:04x}", u32::from(letter))),
            _ => safe.push(letter),
        }
    }
    safe
}

/// Bytes as base64 (RFC 4648).
pub(crate) fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let word = (0..3).fold(0u32, |word, n| word << 8 | u32::from(three.get(n).copied().unwrap_or(0)));
        for place in 0..4 {
            let letter = LETTERS[(word >> (18 - 6 * place) & 63) as usize];
            text.push(if place <= three.len() { char::from(letter) } else { '=' });
        }
    }
    text
}

/// What a page names to allow one script and no other.
pub(super) fn digest(script: &str) -> String {
    format!("sha256-{}", base64(&Sha256::digest(script.as_bytes())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn markup_and_control_codes_come_out_as_letters_or_not_at_all() {
        let hostile = "</p><script>alert('1')</script>\u{1b}[2J\u{202e}\" onload=\"x";
        let safe = text(hostile);
        assert!(!safe.contains(['<', '>', '"', '\'', '\u{1b}', '\u{202e}']), "{safe}");
        assert!(safe.contains("&lt;script&gt;alert(&#39;1&#39;)"), "{safe}");
    }

    #[test]
    fn data_cannot_end_its_script_and_reads_back() {
        let hostile = "</script><!--\u{2028}&'\"\\";
        let safe = data(&hostile);
        assert!(!safe.contains(['<', '>', '&', '\'', '\u{2028}']), "{safe}");
        assert_eq!(serde_json::from_str::<String>(&safe).unwrap(), hostile);
    }

    #[test]
    fn base64_of_the_examples_of_its_standard() {
        let pairs =
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg=="), ("fooba", "Zm9vYmE=")];
        for (plain, coded) in pairs {
            assert_eq!(base64(plain.as_bytes()), coded, "{plain}");
        }
    }

    #[test]
    fn lines_are_kept_and_each_is_harmless() {
        assert_eq!(lines("a <b>\r\n\u{7}c"), "a &lt;b&gt;\nc");
    }
}
