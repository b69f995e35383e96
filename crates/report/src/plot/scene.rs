//! A picture as a list of marks in pixels, before any backend.

use super::theme::Colour;

/// Where a text stands about its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    /// The text begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// How a line is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Dash {
    Solid,
    Dashed,
    Dotted,
    LongDashed,
}

impl Dash {
    /// Drawn and skipped length in line widths; none where the line is whole.
    pub(super) fn lengths(self) -> Option<(f64, f64)> {
        match self {
            Dash::Solid => None,
            Dash::Dashed => Some((4.0, 2.5)),
            Dash::Dotted => Some((1.2, 2.0)),
            Dash::LongDashed => Some((9.0, 3.0)),
        }
    }
}

/// Colour, width and dash of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stroke {
    pub(super) colour: Colour,
    pub(super) width: f64,
    pub(super) dash: Dash,
}

/// Something drawn.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Mark {
    /// A filled box from its upper left to its lower right corner.
    Box { from: (f64, f64), to: (f64, f64), colour: Colour, opacity: f64 },
    /// A line through points.
    Line { points: Vec<(f64, f64)>, stroke: Stroke },
    /// A filled area within an outline.
    Area { outline: Vec<(f64, f64)>, colour: Colour },
    /// A ring around a point.
    Circle { at: (f64, f64), radius: f64, colour: Colour },
    /// One line of text, centred on its point's height.
    Text { at: (f64, f64), text: String, size: f64, anchor: Anchor, colour: Colour },
}

/// The whole picture.
#[derive(Clone, Debug)]
pub(super) struct Scene {
    pub(super) size: (f64, f64),
    pub(super) background: Colour,
    pub(super) marks: Vec<Mark>,
}

impl Scene {
    pub(super) fn new(size: (f64, f64), background: Colour) -> Self {
        Self { size, background, marks: Vec::new() }
    }

    pub(super) fn fill(&mut self, from: (f64, f64), to: (f64, f64), colour: Colour, opacity: f64) {
        self.marks.push(Mark::Box { from, to, colour, opacity });
    }

    pub(super) fn line(&mut self, points: Vec<(f64, f64)>, stroke: Stroke) {
        self.marks.push(Mark::Line { points, stroke });
    }

    /// The sides of a box from its upper left to its lower right corner.
    pub(super) fn sides(&mut self, (left, top): (f64, f64), (right, bottom): (f64, f64), stroke: Stroke) {
        self.line(vec![(left, top), (right, top), (right, bottom), (left, bottom), (left, top)], stroke);
    }

    pub(super) fn area(&mut self, outline: Vec<(f64, f64)>, colour: Colour) {
        self.marks.push(Mark::Area { outline, colour });
    }

    pub(super) fn circle(&mut self, at: (f64, f64), radius: f64, colour: Colour) {
        self.marks.push(Mark::Circle { at, radius, colour });
    }

    pub(super) fn text(&mut self, at: (f64, f64), text: &str, size: f64, anchor: Anchor, colour: Colour) {
        self.marks.push(Mark::Text { at, text: text.to_owned(), size, anchor, colour });
    }
}
