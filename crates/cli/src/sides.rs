//! Splits `2.4 m x 1.5 m x 0.6 m` into its sides.

/// The sides of a size; a unit that stands only at the end counts for all of them.
///
/// # Errors
/// What to write, such as `example`, when the number of sides is another.
pub(crate) fn split<const N: usize>(text: &str, example: &str) -> Result<[String; N], String> {
    let marked = text.replace(['×', '*'], "x").replace(" by ", " x ").replace('X', "x");
    let sides: Vec<String> = marked.split('x').map(|side| side.trim().to_owned()).collect();
    let found = sides.len();
    let shared = sides.last().map(|last| unit(last).to_owned()).unwrap_or_default();
    let whole = sides.into_iter().map(|side| with_unit(side, &shared)).collect::<Vec<_>>();
    whole.try_into().map_err(|_| format!("{N} sides are due and {found} found: write it like \"{example}\""))
}

/// What follows the number.
fn unit(side: &str) -> &str {
    side.trim_start_matches(|letter: char| letter.is_ascii_digit() || " .,/-+".contains(letter))
}

fn with_unit(side: String, shared: &str) -> String {
    match unit(&side).is_empty() && !side.is_empty() {
        true => format!("{side} {shared}").trim_end().to_owned(),
        false => side,
    }
}

#[cfg(test)]
mod tests {
    const EXAMPLE: &str = "2.4 m x 1.5 m x 0.6 m";

    fn split<const N: usize>(text: &str) -> Result<[String; N], String> {
        super::split(text, EXAMPLE)
    }

    #[test]
    fn sides_are_split_at_any_usual_sign() {
        let expected = ["2.4 m", "1.5 m", "0.6 m"].map(str::to_owned);
        for text in ["2.4 m x 1.5 m x 0.6 m", "2.4 m×1.5 m × 0.6 m", "2.4 m by 1.5 m by 0.6 m", "2.4 m*1.5 m*0.6 m"] {
            assert_eq!(split::<3>(text).unwrap(), expected, "{text}");
        }
    }

    #[test]
    fn a_unit_at_the_end_counts_for_all_sides() {
        assert_eq!(split::<3>("48 x 32 x 15 1/2 in").unwrap(), ["48 in", "32 in", "15 1/2 in"].map(str::to_owned));
        assert_eq!(split::<2>("5 ft 2 in x 3").unwrap(), ["5 ft 2 in", "3"].map(str::to_owned));
    }

    #[test]
    fn another_number_of_sides_is_refused() {
        assert!(split::<3>("2.4 m x 1.5 m").unwrap_err().contains("3 sides are due and 2 found"));
        assert!(split::<2>("").is_err());
    }
}
