//! A small drawing for the card: heated patch, ring, groove, and where to touch, with two dimensions.

use study::{HeatedPatch, Instruction, Outcome, Touching};

use super::plain::length;

/// Width and height of the drawing, and the margin that dimensions take below and to the right.
const SIZE: f64 = 300.0;
const MARGIN: f64 = 46.0;
/// A touch so near to a middle line lies on it, m.
const ON_LINE_M: f64 = 0.5e-3;

/// What is drawn, from the middle of the groove, m; x to the right, y upwards.
struct Sketch<'a> {
    patch: &'a HeatedPatch,
    patch_middle: [f64; 2],
    groove: [f64; 2],
    groove_round: bool,
    ring_m: f64,
    touch: [f64; 2],
    /// Edges of the casting: x low, x high, y low, y high.
    edges: Option<[f64; 4]>,
}

/// The drawing and its caption; none where there is nothing to draw.
pub(super) fn sketch(outcome: &Outcome, instruction: &Instruction, touching: Option<&Touching>) -> Option<String> {
    let [x, y] = instruction.groove_from_patch_m?;
    let from_patch = touching?.touch.from_patch_centre_m;
    let [length_m, width_m, _] = outcome.casting.size_m;
    let sketch = Sketch {
        patch: instruction.patch.as_ref()?,
        patch_middle: [-x, -y],
        groove: instruction.groove_m?,
        groove_round: instruction.groove_round,
        ring_m: outcome.ring.as_ref().map_or(0.0, |ring| ring.width_m),
        touch: [from_patch[0] - x, from_patch[1] - y],
        edges: instruction.patch_middle_m.map(|[px, py]| {
            let groove = [px + x, py + y];
            [-groove[0], length_m - groove[0], -groove[1], width_m - groove[1]]
        }),
    };
    Some(format!("<figure>{}<figcaption>{}</figcaption></figure>\n", sketch.svg(), caption(instruction)))
}

/// What the lines mean, and where the patch lies on the casting.
fn caption(instruction: &Instruction) -> String {
    let place = instruction.patch_middle_m.map_or_else(String::new, |[x, y]| {
        format!(
            " Middle of the heated patch: {} from the left end and {} from the lower side of the casting as drawn.",
            length(x),
            length(y)
        )
    });
    format!("<b>Cross: touch here.</b> Dashed: heat this. Thin line: ring. Black: groove.{place}")
}

impl Sketch<'_> {
    fn svg(&self) -> String {
        let view = self.view();
        let parts = [self.casting(&view), self.heated(&view), self.ring(&view), self.dimensions(&view)];
        format!(
            "<svg viewBox=\"0 0 {0} {0}\" role=\"img\" aria-label=\"Where to heat and where to touch\" font-size=\"13\" \
             fill=\"none\" stroke=\"#111\">{1}</svg>",
            SIZE + MARGIN,
            parts.concat()
        )
    }

    /// Half lengths of the patch along x and y.
    fn half_patch(&self) -> [f64; 2] {
        match *self.patch {
            HeatedPatch::Disc { diameter_m } => [0.5 * diameter_m; 2],
            HeatedPatch::Rectangle { sides_m } => sides_m.map(|side| 0.5 * side),
        }
    }

    fn view(&self) -> View {
        let half = self.half_patch();
        let reach = |n: usize| {
            let ring = 0.5 * self.groove[n] + self.ring_m;
            let low = (self.patch_middle[n] - half[n]).min(-ring).min(self.touch[n]);
            let high = (self.patch_middle[n] + half[n]).max(ring).max(self.touch[n]);
            [low, high]
        };
        let (x, y) = (reach(0), reach(1));
        let across = 1.06 * (x[1] - x[0]).max(y[1] - y[0]).max(1e-6);
        View { middle: [0.5 * (x[0] + x[1]), 0.5 * (y[0] + y[1])], scale: SIZE / across }
    }

    /// Edges of the casting that lie within the drawing.
    fn casting(&self, view: &View) -> String {
        let Some([left, right, low, high]) = self.edges else { return String::new() };
        let [[x0, y1], [x1, y0]] = [view.at([left, low]), view.at([right, high])];
        let clip = |number: f64| number.clamp(0.0, SIZE);
        let inside = |number: f64| (0.0..=SIZE).contains(&number);
        let line = |[x0, y0, x1, y1]: [f64; 4]| line([x0, y0, x1, y1], "stroke-width=\"4\"");
        let upright = [x0, x1].into_iter().filter(|x| inside(*x)).map(|x| line([x, clip(y0), x, clip(y1)]));
        let level = [y0, y1].into_iter().filter(|y| inside(*y)).map(|y| line([clip(x0), y, clip(x1), y]));
        upright.chain(level).collect()
    }

    fn heated(&self, view: &View) -> String {
        let half = self.half_patch();
        let dashes = "stroke-width=\"2.5\" stroke-dasharray=\"9 6\"";
        match self.patch {
            HeatedPatch::Disc { .. } => circle(view, self.patch_middle, half[0], dashes),
            HeatedPatch::Rectangle { .. } => rectangle(view, (self.patch_middle, half), 0.0, dashes),
        }
    }

    /// Ring and groove.
    fn ring(&self, view: &View) -> String {
        let half = self.groove.map(|side| 0.5 * side);
        let grown = half.map(|side| side + self.ring_m);
        if self.groove_round {
            return circle(view, [0.0; 2], grown[0], "") + &circle(view, [0.0; 2], half[0], "fill=\"#111\"");
        }
        rectangle(view, ([0.0; 2], grown), self.ring_m, "") + &rectangle(view, ([0.0; 2], half), 0.0, "fill=\"#111\"")
    }

    /// The cross, and how far it is from the middle of the groove.
    fn dimensions(&self, view: &View) -> String {
        let ([x, y], [middle_x, middle_y]) = (view.at(self.touch), view.at([0.0; 2]));
        let arm = 8.0;
        let bold = "stroke-width=\"4\"";
        let mut drawn =
            line([x - arm, y - arm, x + arm, y + arm], bold) + &line([x - arm, y + arm, x + arm, y - arm], bold);
        let thin = "stroke-width=\".8\"";
        let (below, beside) = (SIZE + 12.0, SIZE + 12.0);
        if self.touch[0].abs() > ON_LINE_M {
            drawn += &line([middle_x, middle_y, middle_x, below + 4.0], thin);
            drawn += &line([x, y + arm, x, below + 4.0], thin);
            drawn += &line([middle_x, below, x, below], "stroke-width=\"1.6\"");
            drawn += &label([0.5 * (middle_x + x), below + 17.0], &length(self.touch[0].abs()), false);
        }
        if self.touch[1].abs() > ON_LINE_M {
            drawn += &line([middle_x, middle_y, beside + 4.0, middle_y], thin);
            drawn += &line([x + arm, y, beside + 4.0, y], thin);
            drawn += &line([beside, middle_y, beside, y], "stroke-width=\"1.6\"");
            drawn += &label([beside + 17.0, 0.5 * (middle_y + y)], &length(self.touch[1].abs()), true);
        }
        drawn
    }
}

/// From metres to the drawing.
struct View {
    middle: [f64; 2],
    scale: f64,
}

impl View {
    fn at(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [0.5 * SIZE + (x - self.middle[0]) * self.scale, 0.5 * SIZE - (y - self.middle[1]) * self.scale]
    }
}

fn line([x0, y0, x1, y1]: [f64; 4], style: &str) -> String {
    format!("<path d=\"M{x0:.1} {y0:.1}L{x1:.1} {y1:.1}\" {style}/>")
}

fn circle(view: &View, middle: [f64; 2], radius: f64, style: &str) -> String {
    let [x, y] = view.at(middle);
    format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{:.1}\" {style}/>", radius * view.scale)
}

/// With corners rounded by a radius.
fn rectangle(view: &View, (middle, half): ([f64; 2], [f64; 2]), round: f64, style: &str) -> String {
    let [x, y] = view.at([middle[0] - half[0], middle[1] + half[1]]);
    let [width, height, round] = [2.0 * half[0], 2.0 * half[1], round].map(|metres| metres * view.scale);
    format!("<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{width:.1}\" height=\"{height:.1}\" rx=\"{round:.1}\" {style}/>")
}

/// Text about a point, upright or turned to run upwards, kept within the drawing.
fn label([x, y]: [f64; 2], text: &str, turned: bool) -> String {
    let half = 3.6 * text.chars().count() as f64;
    let kept = |number: f64| number.clamp(half, SIZE + MARGIN - half);
    let ([x, y], angle) = if turned { ([x, kept(y)], -90) } else { ([kept(x), y], 0) };
    format!(
        "<text transform=\"translate({x:.1} {y:.1}) rotate({angle})\" text-anchor=\"middle\" fill=\"#111\" \
         stroke=\"none\">{text}</text>"
    )
}
