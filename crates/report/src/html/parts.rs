//! Pieces that pages have in common.

use study::Outcome;

use super::safe;
use crate::plot::turned_dark;

/// Style of report, card and sheet.
const STYLE: &str = include_str!("paper.css");
/// Colours of a page that is read on a screen.
const DARK: &str =
    ":root { color-scheme: dark; --ink: #f0f0f0; --paper: #14171a; --faint: #b8b8b8; --rule: #5a5f64; }\n";

/// What a style sheet adds so that a page is dark on a dark screen, and black on white on paper always.
pub(super) fn dark_screen(colours: &str) -> String {
    format!("@media screen and (prefers-color-scheme: dark) {{\n{colours}{}}}\n", turned_dark())
}

/// A page without scripts: nothing in it can run, load or send. A report follows the screen; card and log sheet stay what
/// they are on paper.
pub(super) fn paper(title: &str, kind: &str, body: &str) -> String {
    let dark = if kind == "report" { dark_screen(DARK) } else { String::new() };
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>\n{STYLE}{dark}</style>\n</head>\n<body class=\"{kind}\">\n{body}</body>\n</html>\n",
        safe::text(title)
    )
}

/// A section with its heading; empty where there is no content.
pub(super) fn section(heading: &str, content: &str) -> String {
    if content.is_empty() {
        return String::new();
    }
    format!("<section>\n<h2>{}</h2>\n{content}</section>\n", safe::text(heading))
}

/// A paragraph.
pub(super) fn paragraph(text: &str) -> String {
    format!("<p>{}</p>\n", safe::text(text))
}

/// Labels with what they say.
pub(super) fn facts(facts: &[(&str, String)]) -> String {
    let rows: String = facts
        .iter()
        .map(|(label, words)| {
            let part = if label.starts_with(' ') { " class=\"part\"" } else { "" };
            format!(
                "<tr><th scope=\"row\"{part}>{}</th><td>{}</td></tr>\n",
                safe::text(label.trim()),
                safe::text(words)
            )
        })
        .collect();
    if rows.is_empty() { rows } else { format!("<table class=\"facts\">\n{rows}</table>\n") }
}

/// A list; empty where there is nothing to list.
pub(super) fn list<T: AsRef<str>>(entries: &[T]) -> String {
    let items: String = entries.iter().map(|entry| format!("<li>{}</li>\n", safe::text(entry.as_ref()))).collect();
    if items.is_empty() { items } else { format!("<ul>\n{items}</ul>\n") }
}

/// A table that scrolls by itself where the window is too narrow; the columns of `words` stand to the left.
pub(super) fn table<H: AsRef<str>>(caption: &str, header: &[H], words: &[usize], rows: &[Vec<String>]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let class = |column: usize| if words.contains(&column) { "" } else { " class=\"number\"" };
    let head =
        |(column, cell): (usize, &H)| format!("<th scope=\"col\"{}>{}</th>", class(column), safe::text(cell.as_ref()));
    let cell = |(column, cell): (usize, &String)| format!("<td{}>{}</td>", class(column), safe::text(cell));
    let header: String = header.iter().enumerate().map(head).collect();
    let row = |row: &Vec<String>| format!("<tr>{}</tr>\n", row.iter().enumerate().map(cell).collect::<String>());
    let rows: String = rows.iter().map(row).collect();
    format!(
        "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"{0}\">\n<table>\n<caption>{0}</caption>\n\
         <thead><tr>{header}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table>\n</div>\n",
        safe::text(caption)
    )
}

/// A drawing with its caption; its texts can be searched.
pub(super) fn figure(svg: &str, caption: &str) -> String {
    let caption = safe::text(caption);
    // The declaration of an SVG file has no place inside a page.
    let drawing = svg.find("<svg").map_or(svg, |start| &svg[start..]);
    let drawing = drawing.replacen("<svg", &format!("<svg role=\"img\" aria-label=\"{caption}\""), 1);
    format!(
        "<figure>\n<div class=\"wide\" tabindex=\"0\">\n{drawing}\n</div>\n<figcaption>{caption}</figcaption>\n</figure>\n"
    )
}

/// Version and digest: what a sheet was made from.
pub(super) fn made_from(outcome: &Outcome) -> String {
    let digest = match outcome.input_sha256.as_str() {
        "" => "a scenario without a file".to_owned(),
        digest => format!("the scenario with SHA-256 {digest}"),
    };
    format!("warmhold {} from {digest}", outcome.version)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_without_scripts_forbids_them_and_its_title_is_text() {
        let page = paper("</title><script>x</script>", "report", "");
        assert!(page.contains("default-src 'none'") && !page.contains("<script"), "{page}");
    }

    #[test]
    fn only_a_report_turns_dark_and_only_on_a_screen() {
        let dark = |kind| paper("t", kind, "").matches("prefers-color-scheme").count();
        assert_eq!([dark("report"), dark("card"), dark("card tight"), dark("log")], [1, 0, 0, 0]);
        assert!(dark_screen("").starts_with("@media screen and "), "a printer is no screen");
        let rules = dark_screen("");
        assert!(rules.contains("figure svg [fill=\"#FFFFFF\"] { fill: #14171A; }"), "{rules}");
    }

    #[test]
    fn empty_lists_tables_and_sections_leave_no_trace() {
        assert_eq!(list::<String>(&[]) + &table("t", &["a"], &[], &[]) + &section("s", "") + &facts(&[]), "");
    }
}
