//! Problems found in a scenario, each with its place, and how they are shown.

use std::fmt;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

/// Most problems shown at once; the rest are counted.
const SHOWN: usize = 60;

/// How bad a problem is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The scenario cannot be computed.
    Error,
    /// It can be computed, but may not mean what it says.
    Warning,
}

/// Where something stands: bytes of one of [`Problems::sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Index into [`Problems::sources`]: 0 is the file, the overrides follow.
    pub source: usize,
    /// First byte.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
}

impl Place {
    /// Bytes `range` of the source numbered `source`.
    pub fn new(source: usize, range: Range<usize>) -> Self {
        Place { source, start: range.start, end: range.end }
    }
}

/// A place with a word on what is wrong there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// Where.
    pub place: Place,
    /// What, in a few words; may be empty.
    pub label: String,
}

/// One problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// How bad it is.
    pub severity: Severity,
    /// Stable code, such as `E004`; see [`crate::explain`].
    pub code: &'static str,
    /// What is wrong, in one sentence.
    pub message: String,
    /// Where: the primary place first, then the places it conflicts with.
    pub spans: Vec<Span>,
    /// What would be accepted.
    pub help: Option<String>,
}

impl Diagnostic {
    pub(crate) fn error(code: &'static str, message: impl Into<String>) -> Self {
        Diagnostic { severity: Severity::Error, code, message: message.into(), spans: Vec::new(), help: None }
    }

    pub(crate) fn warning(code: &'static str, message: impl Into<String>) -> Self {
        Diagnostic { severity: Severity::Warning, ..Diagnostic::error(code, message) }
    }

    /// Adds a place; the first one added is the primary one.
    pub(crate) fn at(mut self, place: Place, label: impl Into<String>) -> Self {
        self.spans.push(Span { place, label: label.into() });
        self
    }

    pub(crate) fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    fn order(&self) -> (Option<Place>, Severity, &'static str) {
        (self.spans.first().map(|span| span.place), self.severity, self.code)
    }
}

/// A text that places point into.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// File name, or `--set` for an override.
    pub name: String,
    /// The text.
    pub text: String,
}

/// Every problem of a scenario, sorted by place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problems {
    /// The problems.
    pub list: Vec<Diagnostic>,
    /// The file and the overrides.
    pub sources: Vec<Source>,
}

impl Problems {
    pub(crate) fn new(mut list: Vec<Diagnostic>, sources: Vec<Source>) -> Self {
        list.sort_by_key(Diagnostic::order);
        list.dedup();
        Problems { list, sources }
    }

    /// Line and column of a place, both from 1; columns count characters.
    pub fn line_and_column(&self, place: Place) -> (usize, usize) {
        let text = self.sources.get(place.source).map_or("", |source| source.text.as_str());
        let start = whole(text, place.start);
        let before = &text[..start];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
    }

    /// All problems as text with the lines they stand in; control characters of the user's text are replaced.
    pub fn render(&self, colour: bool) -> String {
        let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
        let texts: Vec<String> = self.sources.iter().map(|source| clean(&source.text)).collect();
        let mut shown: Vec<String> =
            self.list.iter().take(SHOWN).map(|problem| renderer.render(&[self.group(problem, &texts)])).collect();
        if self.list.len() > SHOWN {
            shown.push(format!("... and {} more", self.list.len() - SHOWN));
        }
        shown.push(self.count());
        shown.join("\n\n") + "\n"
    }

    /// The problem in one line, for lists without the source: `line 3: message (help)`.
    pub fn one_line(&self, problem: &Diagnostic) -> String {
        let place = problem.spans.first().map(|span| self.place_in_words(span.place));
        let help = problem.help.as_ref().map(|help| format!(" ({help})"));
        format!("{}{}{}", place.unwrap_or_default(), problem.message, help.unwrap_or_default())
    }

    fn place_in_words(&self, place: Place) -> String {
        match place.source {
            0 => format!("line {}: ", self.line_and_column(place).0),
            _ => format!("in --set {}: ", quote(&self.sources[place.source].text)),
        }
    }

    fn group<'a>(&'a self, problem: &'a Diagnostic, texts: &'a [String]) -> Group<'a> {
        let level = match problem.severity {
            Severity::Error => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let mut group = Group::with_title(level.primary_title(clean(&problem.message)).id(problem.code));
        for (number, text) in texts.iter().enumerate() {
            if let Some(snippet) = self.snippet(problem, number, text) {
                group = group.element(snippet);
            }
        }
        match &problem.help {
            Some(help) => group.element(Level::HELP.message(clean(help))),
            None => group,
        }
    }

    /// The part of a problem that lies in source `number`, if any.
    fn snippet<'a>(
        &'a self,
        problem: &'a Diagnostic,
        number: usize,
        text: &'a str,
    ) -> Option<Snippet<'a, annotate_snippets::Annotation<'a>>> {
        let here = |(at, span): (usize, &'a Span)| (span.place.source == number).then_some((at, span));
        let mut spans = problem.spans.iter().enumerate().filter_map(here).peekable();
        spans.peek()?;
        let annotations = spans.map(|(at, span)| {
            let kind = if at == 0 { AnnotationKind::Primary } else { AnnotationKind::Context };
            let start = whole(text, span.place.start);
            let end = whole(text, span.place.end).max(start);
            kind.span(start..end).label(clean(&span.label))
        });
        let name = clean(&self.sources[number].name);
        Some(Snippet::source(text).path(name).annotations(annotations.collect::<Vec<_>>()))
    }

    fn count(&self) -> String {
        let errors = self.list.iter().filter(|problem| problem.severity == Severity::Error).count();
        let plural = |n: usize, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
        let name = self.sources.first().map(|source| clean(&source.name)).unwrap_or_default();
        match self.list.len() - errors {
            0 => format!("{} in {name}", plural(errors, "error")),
            warnings => format!("{} and {} in {name}", plural(errors, "error"), plural(warnings, "warning")),
        }
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.render(false))
    }
}

impl std::error::Error for Problems {}

/// The nearest start of a character at or before a byte.
fn whole(text: &str, byte: usize) -> usize {
    let byte = byte.min(text.len());
    (0..=byte).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

/// The text with control and direction-changing characters replaced by harmless ones of as many bytes, so that
/// places stay where they are.
pub(crate) fn clean(text: &str) -> String {
    let mut letters = text.chars().peekable();
    let mut out = String::with_capacity(text.len());
    while let Some(letter) = letters.next() {
        out.push(match letter {
            '\n' | '\t' => letter,
            '\r' if letters.peek() == Some(&'\n') => ' ',
            _ if letter.is_control() => {
                if letter.len_utf8() == 1 {
                    '?'
                } else {
                    '\u{b7}'
                }
            }
            '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}' => '\u{fffd}',
            _ => letter,
        });
    }
    out
}

/// A short form of the user's text for use inside a sentence.
pub(crate) fn quote(text: &str) -> String {
    let line: String = clean(text).chars().map(|c| if c == '\n' || c == '\t' { ' ' } else { c }).collect();
    let mut short: String = line.chars().take(60).collect();
    if line.chars().nth(60).is_some() {
        short.push_str("...");
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problems(text: &str, place: std::ops::Range<usize>) -> Problems {
        let list = vec![Diagnostic::error("E001", "bad \u{1b}[31m thing").at(Place::new(0, place), "here")];
        Problems::new(list, vec![Source { name: "a\u{7}.toml".into(), text: text.into() }])
    }

    #[test]
    fn control_characters_never_reach_the_terminal() {
        let text = "a = 1\u{1b}[2J\u{9b}31m\u{202e}\r\nb = 2";
        let shown = problems(text, 4..5).render(false);
        assert!(shown.chars().all(|c| c == '\n' || !c.is_control()), "{shown:?}");
        assert!(!shown.contains('\u{202e}') && shown.contains("a?.toml:1:5"), "{shown}");
        assert_eq!(clean(text).len(), text.len());
    }

    #[test]
    fn any_place_of_any_text_can_be_shown() {
        for text in ["", "\n", "\u{e9}\u{e9}", "a\r\nb", "\n\n\n"] {
            for start in 0..8 {
                for end in start..9 {
                    assert!(problems(text, start..end).render(false).contains("E001"));
                }
            }
        }
    }

    #[test]
    fn lines_and_columns_count_from_one_in_characters() {
        let problems = problems("\u{e9}\n\u{e9}\u{e9}x", 0..1);
        assert_eq!(problems.line_and_column(Place::new(0, 7..8)), (2, 3));
    }
}
