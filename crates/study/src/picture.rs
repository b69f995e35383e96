//! Temperature maps of the worked face and of the section under the patch, with the outlines to draw over them.

use heat::{Case, Event, Map, MapWindow, Ring, Shape, What};

use crate::{Error, Outcome, Question};

/// The map reaches this much beyond patch and ring, in their half width.
const MARGIN: f64 = 1.25;
/// Points along each side of a map.
const POINTS: usize = 101;
/// Points of an outline.
const OUTLINE: usize = 96;

/// A closed outline on the worked face.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// "heated patch", "ring" or "groove".
    pub name: &'static str,
    /// Points x, y, m; the last joins the first.
    pub points: Vec<[f64; 2]>,
}

/// Worked face and section at one instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// What the instant is, in words.
    pub moment: String,
    /// Temperatures and places.
    pub map: Map,
    /// What is drawn over the face.
    pub outlines: Vec<Outline>,
    /// Depth of the ring, m; 0 without a ring.
    pub ring_depth: f64,
}

/// Maps of a case as the first flame goes off and at the worst judged instant, if there is one.
///
/// They come from one grid, without error bar: good to a kelvin or so, for looking at.
///
/// # Errors
/// [`Error::Heat`] when the engine cannot solve the case.
pub fn pictures(case: &Case, question: &Question, outcome: &Outcome) -> Result<Vec<Picture>, Error> {
    let (Some(torch), Some(first)) = (case.torches.first(), outcome.heats.first()) else { return Ok(Vec::new()) };
    let ring = question.ring.map(|(ring, _)| ring);
    let mut moments = vec![(first.end_s, "as the first flame goes off".to_owned())];
    moments.extend(worst_moment(outcome, first.end_s));
    let window =
        MapWindow { times_s: moments.iter().map(|m| m.0).collect(), ..window(case, (torch.patch, ring), POINTS) };
    let maps = heat::maps(case, &question.accuracy, &window, &switches(case, outcome))?;
    let outlines = outlines(torch.patch, ring);
    let picture = |map: Map| {
        let moment = moments.iter().find(|m| m.0 == map.time_s).map_or_else(String::new, |m| m.1.clone());
        Picture { moment, map, outlines: outlines.clone(), ring_depth: ring.map_or(0.0, |r| r.depth) }
    };
    Ok(maps.into_iter().map(picture).collect())
}

/// The switches of the outcome's run, in order of time.
pub(crate) fn switches(case: &Case, outcome: &Outcome) -> Vec<Event> {
    let event = |time_s: f64, what: What| Event { time_s, what };
    let beads = case.passes.as_ref().map_or(1, |passes| passes.list.len());
    let flames = outcome
        .heats
        .iter()
        .flat_map(|heat| [event(heat.start_s, What::FlameOn), event(heat.end_s, What::FlameOff { reached: true })]);
    let passes = outcome.passes.iter().enumerate().flat_map(|(n, pass)| {
        [event(pass.start_s, What::PassStart(n % beads)), event(pass.end_s, What::PassEnd(n % beads))]
    });
    let mut events: Vec<Event> = flames.chain(passes).collect();
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    events
}

/// The first breach, or else the last pass of the first heat.
fn worst_moment(outcome: &Outcome, after_s: f64) -> Option<(f64, String)> {
    let breach = outcome.first_breach.as_ref().map(|b| (b.time_s, "at the first breach".to_owned()));
    let last = outcome.passes.iter().rfind(|p| p.heat == 1);
    breach.or(last.map(|p| (p.start_s, format!("as pass {} starts", p.number)))).filter(|m| m.0 > after_s)
}

/// The window of a map: patch and ring with a margin, down to what is metal everywhere.
pub(crate) fn window(case: &Case, (patch, ring): (Shape, Option<Ring>), points: usize) -> MapWindow {
    let [length, width, depth] = case.block.size;
    let extent = patch.extent();
    let middle = patch.centre();
    let half = |direction: usize| {
        let patch = 0.5 * (extent[direction][1] - extent[direction][0]);
        let reach = ring.map_or(0.0, |r| {
            let groove = r.groove.extent()[direction];
            (groove[1] - middle[direction]).max(middle[direction] - groove[0]) + r.width
        });
        MARGIN * patch.max(reach)
    };
    let half = half(0).max(half(1));
    let clip = |at: f64, most: f64| [(at - half).max(0.0), (at + half).min(most)];
    let face = [clip(middle[0], length), clip(middle[1], width)];
    // Down to the first hollow anywhere along the section: what lies beyond is not metal everywhere.
    let along = (0..=points).map(|n| face[0][0] + (face[0][1] - face[0][0]) * n as f64 / points as f64);
    let section_y = middle[1].clamp(0.0, width);
    let metal = along.map(|x| case.thickness_under([x, section_y])).fold(depth, f64::min);
    MapWindow { face, section_y, depth: half.min(metal), points, times_s: Vec::new() }
}

pub(crate) fn outlines(patch: Shape, ring: Option<Ring>) -> Vec<Outline> {
    let mut outlines = vec![Outline { name: "heated patch", points: around(&patch, 0.0) }];
    if let Some(ring) = ring {
        outlines.push(Outline { name: "ring", points: around(&ring.groove, ring.width) });
        outlines.push(Outline { name: "groove", points: around(&ring.groove, 0.0) });
    }
    outlines
}

/// The outline of a shape grown by `width`, corners rounded by it.
pub(crate) fn around(shape: &Shape, width: f64) -> Vec<[f64; 2]> {
    let turn = |n: usize| (std::f64::consts::TAU * (n as f64 + 0.5) / OUTLINE as f64).sin_cos();
    let point = |n: usize| {
        let (sin, cos) = turn(n);
        match *shape {
            Shape::Disc { centre, radius } => [centre[0] + (radius + width) * cos, centre[1] + (radius + width) * sin],
            Shape::Rectangle { x, y } => {
                let corner = |[low, high]: [f64; 2], side: f64| if side > 0.0 { high } else { low };
                [corner(x, cos) + width * cos, corner(y, sin) + width * sin]
            }
        }
    };
    (0..OUTLINE).map(point).collect()
}
