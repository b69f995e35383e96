//! Conductivity and specific heat of a metal over temperature, as SVG.

use std::fmt::Write;

use warmhold::scenario::Preset;

const WIDTH: f64 = 640.0;
const PANEL: f64 = 220.0;
const LEFT: f64 = 70.0;
const RIGHT: f64 = 34.0;
const TOP: f64 = 50.0;
/// Ticks of an axis.
const TICKS: usize = 4;

/// What the parts are drawn in.
#[derive(Clone, Copy)]
struct Colours {
    ground: &'static str,
    ink: &'static str,
    grid: &'static str,
    curve: &'static str,
}

/// As the other pictures of each theme.
const LIGHT: Colours = Colours { ground: "#FFFFFF", ink: "#202020", grid: "#DDDDDD", curve: "#0072B2" };
const DARK: Colours = Colours { ground: "#14171A", ink: "#F0F0F0", grid: "#383D42", curve: "#56B4E9" };

/// One panel: a property with its range over temperature.
struct Panel {
    title: String,
    top: f64,
    points: Vec<[f64; 2]>,
    range: Option<[f64; 2]>,
    last_c: f64,
    largest: f64,
}

/// The picture.
pub(crate) fn svg(preset: &Preset, dark: bool) -> String {
    let colours = if dark { DARK } else { LIGHT };
    let Colours { ground, ink, .. } = colours;
    let material = preset.material();
    let points = |value: fn(&warmhold::heat::Row) -> f64| -> Vec<[f64; 2]> {
        material.rows().iter().map(|row| [row.temperature_c, value(row)]).collect()
    };
    let panels = [
        panel("conductivity, W/mK", TOP, points(|row| row.conductivity), Some(preset.conductivity_range)),
        panel("specific heat, J/kgK", TOP + PANEL + 60.0, points(|row| row.specific_heat), preset.specific_heat_range),
    ];
    let height = TOP + 2.0 * PANEL + 120.0;
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height}\" font-family=\"sans-serif\" font-size=\"13\" fill=\"{ink}\">\n\
         <rect width=\"{WIDTH}\" height=\"{height}\" fill=\"{ground}\"/>\n\
         <text x=\"{LEFT}\" y=\"20\" font-size=\"15\">{}, with the range that a verdict allows for</text>\n",
        escaped(preset.name())
    );
    panels.iter().for_each(|panel| panel.draw(&mut text, colours));
    text + "</svg>\n"
}

fn panel(title: &str, top: f64, points: Vec<[f64; 2]>, range: Option<[f64; 2]>) -> Panel {
    let high = range.map_or(1.0, |range| range[1]);
    let last_c = step(points.iter().map(|point| point[0]).fold(0.0, f64::max)) * TICKS as f64;
    let largest = step(points.iter().map(|point| point[1] * high).fold(0.0, f64::max)) * TICKS as f64;
    Panel { title: title.to_owned(), top, points, range, last_c, largest }
}

/// A round step, so that the ticks reach the largest value.
fn step(largest: f64) -> f64 {
    let raw = largest / TICKS as f64;
    let power = 10f64.powf(raw.max(f64::MIN_POSITIVE).log10().floor());
    let round = [1.0, 2.0, 2.5, 5.0, 10.0].map(|factor| factor * power);
    round.into_iter().find(|step| *step >= raw * (1.0 - 1e-9)).unwrap_or(round[4])
}

impl Panel {
    fn x(&self, celsius: f64) -> f64 {
        LEFT + (WIDTH - LEFT - RIGHT) * celsius / self.last_c
    }

    fn y(&self, value: f64) -> f64 {
        self.top + PANEL * (1.0 - value / self.largest)
    }

    fn path(&self, factor: f64) -> Vec<String> {
        self.points.iter().map(|[t, value]| format!("{:.1},{:.1}", self.x(*t), self.y(value * factor))).collect()
    }

    fn draw(&self, text: &mut String, Colours { grid, curve, .. }: Colours) {
        self.axes(text, grid);
        // Writing to a string cannot fail.
        if let Some([low, high]) = self.range {
            let back = self.path(low).into_iter().rev();
            let outline: Vec<String> = self.path(high).into_iter().chain(back).collect();
            let _ =
                writeln!(text, "<polygon points=\"{}\" fill=\"{curve}\" fill-opacity=\"0.25\"/>", outline.join(" "));
        }
        let line = self.path(1.0).join(" ");
        let _ = writeln!(text, "<polyline points=\"{line}\" fill=\"none\" stroke=\"{curve}\" stroke-width=\"2\"/>");
    }

    fn axes(&self, text: &mut String, grid: &str) {
        let (right, bottom) = (WIDTH - RIGHT, self.top + PANEL);
        let _ = writeln!(text, "<text x=\"{LEFT}\" y=\"{}\">{}</text>", self.top - 8.0, self.title);
        for tick in 0..=TICKS {
            let share = tick as f64 / TICKS as f64;
            let (value, celsius) = (share * self.largest, share * self.last_c);
            let (x, y) = (self.x(celsius), self.y(value));
            let unit = if tick == TICKS { " C" } else { "" };
            let _ = writeln!(
                text,
                "<path d=\"M{LEFT} {y:.1}H{right}\" stroke=\"{grid}\"/>\n\
                 <text x=\"{}\" y=\"{:.1}\" text-anchor=\"end\">{value}</text>\n\
                 <text x=\"{x:.1}\" y=\"{}\" text-anchor=\"middle\">{celsius}{unit}</text>",
                LEFT - 8.0,
                y + 4.0,
                bottom + 18.0
            );
        }
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;
    use warmhold::scenario::presets;

    #[test]
    fn ticks_are_round_and_reach_the_largest_value() {
        assert_eq!([step(54.3), step(700.0), step(1048.0), step(8.0)], [20.0, 200.0, 500.0, 2.0]);
    }

    #[test]
    fn every_metal_can_be_drawn_inside_its_panels() {
        for preset in presets() {
            let picture = svg(preset, false);
            assert_eq!(picture.matches("<polyline").count(), 2);
            assert!(!picture.contains("NaN") && !picture.contains("=\"-"), "{}", preset.name());
        }
    }
}
