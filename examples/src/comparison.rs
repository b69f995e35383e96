//! Cooling curves of several checks in one picture, counted from flame off.

use std::fmt::Write;

use warmhold::Outcome;

const SIZE: [f64; 2] = [900.0, 560.0];
const LEFT: f64 = 70.0;
const TOP: f64 = 80.0;
const BOTTOM: f64 = 500.0;
/// Height of a line of text.
const LINE: f64 = 20.0;
/// Width that a letter may take: the picture may be shown in any font.
const LETTER: f64 = 8.6;
/// Colours of Okabe and Ito, which stay apart for the colour-blind, and near-black.
const COLOURS: [&str; 5] = ["#0072b2", "#d55e00", "#009e73", "#cc79a7", "#202020"];
/// The colour of the minimum.
const MINIMUM: usize = 4;

/// One curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its name, beside its end.
    pub name: String,
    /// Seconds since flame off and temperature, Celsius, in order of time.
    pub points: Vec<[f64; 2]>,
    /// Which colour, 0 to 3; lines that belong together share one.
    pub colour: usize,
    /// Dashed or solid.
    pub dashed: bool,
}

impl Line {
    /// A probe of an outcome from its first flame-off on; no points where there is neither.
    #[must_use]
    pub fn after_flame(outcome: &Outcome, probe: &str, name: String, (colour, dashed): (usize, bool)) -> Line {
        let off_s = outcome.heats.first().map_or(f64::INFINITY, |heat| heat.end_s);
        let curve = outcome.curves.get(probe);
        let pairs = curve.into_iter().flat_map(|c| c.time_s.iter().zip(&c.temperature_c));
        let points = pairs.filter(|(time_s, _)| **time_s >= off_s).map(|(t, c)| [t - off_s, *c]).collect();
        Line { name, points, colour, dashed }
    }

    fn colour(&self) -> &'static str {
        COLOURS[self.colour % COLOURS.len()]
    }

    fn dashes(&self) -> &'static str {
        if self.dashed { " stroke-dasharray=\"8 5\"" } else { "" }
    }
}

/// The picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// What it shows, one line.
    pub title: String,
    /// What is drawn, one line.
    pub subtitle: String,
    /// The curves.
    pub lines: Vec<Line>,
    /// Line of the minimum, Celsius.
    pub minimum_c: f64,
    /// Ends of the time axis, s after flame off.
    pub until_s: f64,
    /// Ends of the temperature axis, Celsius.
    pub celsius: [f64; 2],
}

impl Comparison {
    /// The picture as SVG.
    #[must_use]
    pub fn svg(&self) -> String {
        let [width, height] = SIZE;
        let mut text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
             viewBox=\"0 0 {width} {height}\" font-family=\"DejaVu Sans, sans-serif\" font-size=\"13\" fill=\"#202020\">\n\
             <rect width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>\n\
             <text x=\"16\" y=\"32\" font-size=\"17\">{}</text>\n<text x=\"16\" y=\"56\">{}</text>\n",
            escaped(&self.title),
            escaped(&self.subtitle)
        );
        // Writing to a string cannot fail.
        let _ = self.axes(&mut text).and_then(|()| self.curves(&mut text));
        text + "</svg>\n"
    }

    fn right(&self) -> f64 {
        let letters = self.lines.iter().map(|line| line.name.chars().count()).max().unwrap_or(0);
        SIZE[0] - LETTER * letters as f64 - 56.0
    }

    fn x(&self, seconds: f64) -> f64 {
        LEFT + (self.right() - LEFT) * seconds / self.until_s
    }

    fn y(&self, celsius: f64) -> f64 {
        let [low, high] = self.celsius;
        BOTTOM - (BOTTOM - TOP) * (celsius - low) / (high - low)
    }

    fn axes(&self, text: &mut String) -> std::fmt::Result {
        let right = self.right();
        for seconds in ticks(0.0, self.until_s, &[10.0, 30.0, 60.0, 120.0, 300.0]) {
            let x = self.x(seconds);
            writeln!(text, "<path d=\"M{x:.1} {TOP}V{BOTTOM}\" stroke=\"#dddddd\"/>")?;
            writeln!(
                text,
                "<text x=\"{x:.1}\" y=\"{}\" text-anchor=\"middle\">{}</text>",
                BOTTOM + 20.0,
                clock(seconds)
            )?;
        }
        for celsius in ticks(self.celsius[0], self.celsius[1], &[5.0, 10.0, 20.0, 25.0, 50.0]) {
            let y = self.y(celsius);
            writeln!(text, "<path d=\"M{LEFT} {y:.1}H{right:.1}\" stroke=\"#dddddd\"/>")?;
            writeln!(text, "<text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{celsius} C</text>", LEFT - 8.0, y + 4.5)?;
        }
        let middle = 0.5 * (LEFT + right);
        writeln!(
            text,
            "<text x=\"{middle:.1}\" y=\"{}\" text-anchor=\"middle\">time after flame off, min:s</text>",
            BOTTOM + 44.0
        )
    }

    fn curves(&self, text: &mut String) -> std::fmt::Result {
        let minimum = Line {
            name: format!("minimum {:.0} C", self.minimum_c),
            points: vec![[0.0, self.minimum_c], [self.until_s, self.minimum_c]],
            colour: MINIMUM,
            dashed: false,
        };
        let lines: Vec<&Line> = self.lines.iter().chain([&minimum]).collect();
        let heights = self.label_heights(&lines);
        lines.iter().zip(heights).try_for_each(|(line, height)| self.curve(text, line, height))
    }

    fn curve(&self, text: &mut String, line: &Line, height: f64) -> std::fmt::Result {
        let inside =
            line.points.iter().filter(|[t, c]| *t <= self.until_s && (self.celsius[0]..=self.celsius[1]).contains(c));
        let points: Vec<String> = inside.map(|[t, c]| format!("{:.1},{:.1}", self.x(*t), self.y(*c))).collect();
        let (stroke, dashes, right) = (line.colour(), line.dashes(), self.right());
        let look = format!("fill=\"none\" stroke=\"{stroke}\" stroke-width=\"2.2\"{dashes}");
        writeln!(text, "<polyline points=\"{}\" {look}/>", points.join(" "))?;
        writeln!(text, "<path d=\"M{:.1} {height:.1}h30\" {look}/>", right + 8.0)?;
        let name = escaped(&line.name);
        writeln!(text, "<text x=\"{:.1}\" y=\"{:.1}\">{name}</text>", right + 44.0, height + 4.5)
    }

    /// Labels stand as near to the ends of their lines as the others let them, in the same order.
    fn label_heights(&self, lines: &[&Line]) -> Vec<f64> {
        let end =
            |line: &Line| line.points.iter().rfind(|[t, _]| *t <= self.until_s).map_or(BOTTOM, |[_, c]| self.y(*c));
        let wanted: Vec<f64> = lines.iter().map(|line| end(line)).collect();
        let mut order: Vec<usize> = (0..wanted.len()).collect();
        order.sort_by(|&a, &b| wanted[a].total_cmp(&wanted[b]));
        let mut heights = wanted.clone();
        let mut least = TOP;
        for &index in &order {
            heights[index] = wanted[index].max(least);
            least = heights[index] + LINE;
        }
        let mut greatest = BOTTOM;
        for &index in order.iter().rev() {
            heights[index] = heights[index].min(greatest);
            greatest = heights[index] - LINE;
        }
        heights
    }
}

/// Multiples of the first step that leaves at most eight of them.
fn ticks(low: f64, high: f64, steps: &[f64]) -> Vec<f64> {
    const MOST: f64 = 8.0;
    let step = steps.iter().copied().find(|step| (high - low) / step <= MOST).unwrap_or((high - low) / MOST);
    let first = (low / step).ceil() as i64;
    (first..=(high / step).floor() as i64).map(|n| n as f64 * step).collect()
}

fn clock(seconds: f64) -> String {
    format!("{:.0}:{:02.0}", (seconds / 60.0).floor(), seconds % 60.0)
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn comparison(ends_c: &[f64]) -> Comparison {
        let line = |(colour, end_c): (usize, &f64)| Line {
            name: format!("ends at {end_c} C"),
            points: vec![[0.0, 200.0], [60.0, *end_c]],
            colour,
            dashed: false,
        };
        Comparison {
            title: "a < b".to_owned(),
            subtitle: String::new(),
            lines: ends_c.iter().enumerate().map(line).collect(),
            minimum_c: 149.0,
            until_s: 60.0,
            celsius: [50.0, 200.0],
        }
    }

    #[test]
    fn labels_of_lines_that_end_together_do_not_cover_each_other() {
        let picture = comparison(&[101.0, 100.0, 99.0, 51.0, 50.0]);
        let mut heights = picture.label_heights(&picture.lines.iter().collect::<Vec<_>>());
        heights.sort_by(f64::total_cmp);
        assert!(heights.windows(2).all(|pair| pair[1] - pair[0] >= LINE - 1e-9), "{heights:?}");
        assert!(heights.iter().all(|height| (TOP..=BOTTOM).contains(height)), "{heights:?}");
    }

    #[test]
    fn every_line_is_drawn_and_text_is_escaped() {
        let svg = comparison(&[100.0, 120.0]).svg();
        assert_eq!(svg.matches("<polyline").count(), 3, "two curves and the minimum");
        assert!(svg.contains("a &lt; b") && !svg.contains("NaN"));
    }

    #[test]
    fn ticks_are_multiples_of_a_round_step() {
        assert_eq!(ticks(0.0, 240.0, &[10.0, 30.0, 60.0]), [0.0, 30.0, 60.0, 90.0, 120.0, 150.0, 180.0, 210.0, 240.0]);
        assert_eq!(ticks(60.0, 260.0, &[5.0, 25.0]), [75.0, 100.0, 125.0, 150.0, 175.0, 200.0, 225.0, 250.0]);
        assert_eq!(clock(90.0), "1:30");
    }
}
