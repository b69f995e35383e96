//! The words of a lesson on its page.

/// The lines between which they stand.
pub const MARKERS: [&str; 2] = ["<!-- printed by the lesson -->", "<!-- end -->"];

/// The page with other words between the markers; none if it lacks them.
pub fn with_words(page: &str, words: &str) -> Option<String> {
    let [start, end] = MARKERS;
    let (before, rest) = page.split_once(start)?;
    let (_old, after) = rest.split_once(end)?;
    Some(format!("{before}{start}\n```text\n{words}\n```\n{end}{after}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PAGE: &str = "# A\n\n<!-- printed by the lesson -->\nold\n<!-- end -->\n\nWhy.\n";

    #[test]
    fn words_replace_what_stood_between_the_markers_and_nothing_else() {
        let page = with_words(PAGE, "new\nwords").unwrap();
        assert_eq!(page, PAGE.replace("old", "```text\nnew\nwords\n```"));
        assert_eq!(with_words(&page, "new\nwords").unwrap(), page, "a second time changes nothing");
    }

    #[test]
    fn a_page_without_markers_is_not_touched() {
        assert_eq!(with_words("# A\n<!-- printed by the lesson -->\n", "new"), None);
        assert_eq!(with_words("# A\n<!-- end -->\n", "new"), None);
    }
}
