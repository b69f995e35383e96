//! The trainer's page: a few castings side by side, moving, in one file that works offline.

use quantity::{Temperature, Units};
use serde::Serialize;
use study::{Film, Outcome};

use super::parts::{dark_screen, figure, list, made_from, paragraph, table};
use super::safe;
use super::still::{LEFT_OUT, verdict_sign, watched};
use crate::plot::{self, Error, Style, span};
use crate::tables::{heat_in_j, ledger_lines};
use crate::words::{
    NOT_COMPARED, capitalised, casting, duration, each_once, length, printable, temperature, verdict_sentence,
    with_error,
};

const STYLE: &str = include_str!("trainer.css");
/// On a dark screen.
const DARK: &str = ":root { color-scheme: dark; --ink: #f0f0f0; --paper: #14171a; --faint: #b8b8b8; --rule: #777;\n  \
                    --line0: #56b4e9; --line1: #e69f00; --line2: #35c79a; --line3: #f0a6cf; }\n";
const SCRIPT: &str = include_str!("trainer.js");
/// Steps of the colour scale; a byte for each place of a map.
const STEPS: f64 = 255.0;
/// Colours handed to the script.
const COLOURS: usize = 256;
/// A bead glows for so long on a map, s.
const AFTER_ARC_S: f64 = 10.0;
/// Most points of a curve.
const CURVE: usize = 1500;

/// One casting of the page.
#[derive(Clone, Copy, Debug)]
pub struct Die<'a> {
    /// Short name.
    pub name: &'a str,
    /// The answer.
    pub outcome: &'a Outcome,
    /// Its maps over time.
    pub film: &'a Film,
}

/// The page as one HTML file with one script, its own.
///
/// # Errors
/// [`Error`] when a picture cannot be drawn, which no outcome causes.
pub fn page(dies: &[Die], units: Units) -> Result<String, Error> {
    let scale = scale(dies);
    let sizes = Sizes::of(dies);
    let articles = dies.iter().enumerate().map(|(number, die)| article(number, die, (scale, &sizes), units));
    let articles = articles.collect::<Result<String, Error>>()?;
    let curves: Vec<(&str, &Outcome)> = dies.iter().map(|die| (die.name, die.outcome)).collect();
    let probe = dies.iter().find_map(|die| watched(die.outcome)).map_or("ring_coldest", |(probe, _)| probe);
    let comparison = plot::comparison(&curves, probe, &Style { units, ..Style::default() })?;
    let still = figure(&comparison, "The watched place of each after the first flame goes off");
    let first = dies.iter().map(|die| die.outcome.title.as_str()).next().unwrap_or_default();
    let body = format!(
        "<header>\n<h1>Where the heat goes, side by side</h1>\n{}</header>\n<div class=\"strip\">\n{}{}</div>\n\
         <p id=\"said\" class=\"unseen\" aria-live=\"polite\"></p>\n<div class=\"dies of{}\">\n{articles}</div>\n\
         <section>\n<h2>The watched place of each over time</h2>\n<div class=\"still\">{still}</div>\n\
         <div id=\"chart\" class=\"live\" hidden></div>\n{}{KEYS}</section>\n\
         <section>\n<h2>In numbers</h2>\n{}</section>\n<section>\n<h2>What the model leaves out</h2>\n{}</section>\n\
         <section>\n<h2>Cautions</h2>\n{}</section>\n<footer>\n{}{}</footer>\n",
        lead(dies, units),
        controls(),
        legend(scale, dies, units),
        dies.len(),
        paragraph(
            "All castings share one scale of colours, one scale of lengths and one clock. The maps come from one grid and are \
             good to a kelvin or two; the clocks and the table are the computed answer."
        ),
        numbers(dies, units),
        list(&LEFT_OUT),
        list(&cautions(dies)),
        paragraph(NOT_COMPARED),
        dies.iter().map(|die| paragraph(&format!("{}: {}", die.name, made_from(die.outcome)))).collect::<String>(),
    );
    let data = safe::data(&data(dies, scale, units));
    Ok(shell(first, &body, &data))
}

/// The answer in two lines: what had left the metal when the shortest hold was over, and the longest hold beside it.
fn lead(dies: &[Die], units: Units) -> String {
    let hold = |die: &Die| held(die.outcome).0.filter(|hold| *hold > 0.0 && watched(die.outcome).is_some());
    let mut all: Vec<(&Die, f64)> = dies.iter().filter_map(|die| Some((die, hold(die)?))).collect();
    all.sort_by(|a, b| a.1.total_cmp(&b.1));
    let (Some((short, hold_s)), Some((long, longest_s))) = (all.first(), all.last()) else { return String::new() };
    let Some(gone) = gone(short, *hold_s) else { return String::new() };
    let factor = short.outcome.casting.mass_kg / long.outcome.casting.mass_kg;
    let less = if factor >= 1.5 { format!("It has {factor:.0} times less metal to fill.") } else { String::new() };
    let line = |die: &Die, hold_s: f64, more: &str| {
        let limit = watched(die.outcome).map_or_else(String::new, |(_, limit_c)| temperature(limit_c, units));
        let words = format!("above {limit} for {} after the flame. {more}", duration(hold_s));
        format!("<p class=\"lead\"><strong>{}:</strong> {}</p>\n", safe::text(die.name), safe::text(words.trim()))
    };
    let second = if longest_s > hold_s { line(long, *longest_s, &less) } else { String::new() };
    line(short, *hold_s, &gone) + &second
}

/// What had left the metal of a casting when its hold was over; none where nothing was put in by then.
fn gone(die: &Die, hold_s: f64) -> Option<String> {
    let over_s = die.outcome.heats.first()?.end_s + hold_s;
    let ledgers = die.film.ledgers();
    let (_, booked) = ledgers.iter().min_by(|a, b| (a.0 - over_s).abs().total_cmp(&(b.0 - over_s).abs()))?;
    let left = 100.0 * (1.0 - booked.stored_j / heat_in_j(booked));
    let rest = match left {
        few if few < 50.0 => ": the rest has spread from the patch into the colder metal around it",
        _ => "",
    };
    left.is_finite().then(|| format!("By then {left:.0} % of the heat has left the metal{rest}."))
}

fn shell(title: &str, body: &str, data: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
         script-src '{}'\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{}</title>\n<style>\n{STYLE}{}</style>\n</head>\n<body>\n{body}\
         <script type=\"application/json\" id=\"data\">{data}</script>\n<script>{SCRIPT}</script>\n</body>\n</html>\n",
        safe::digest(SCRIPT),
        safe::text(&format!("Side by side: {title}")),
        dark_screen(DARK),
    )
}

/// Each caution once.
fn cautions<'a>(dies: &[Die<'a>]) -> Vec<&'a String> {
    let all = dies.iter().flat_map(|die| &die.outcome.cautions);
    // Figures of one casting would be taken for those of another.
    each_once(all.filter(|caution| !caution.contains("in figures")))
}

/// Hidden until the script works them.
fn controls() -> &'static str {
    "<section id=\"controls\" class=\"live\" hidden aria-label=\"Time\">\n\
     <button id=\"play\" type=\"button\" aria-pressed=\"false\">Play</button>\n\
     <button id=\"back\" type=\"button\" aria-label=\"One step back\">\u{2039} step</button>\n\
     <button id=\"next\" type=\"button\" aria-label=\"One step on\">step \u{203a}</button>\n\
     <label class=\"long\">Time <input id=\"time\" type=\"range\" min=\"0\" max=\"1\" step=\"1\" value=\"0\"></label>\n\
     <output id=\"clock\" for=\"time\"></output>\n\
     <label>Clock counts from <select id=\"align\"><option value=\"on\">the first flame on</option>\
     <option value=\"off\">the first flame off</option></select></label>\n\
     <label>Speed <select id=\"speed\"><option value=\"15\">15 times</option><option value=\"60\" selected>60 times</option>\
     <option value=\"240\">240 times</option></select></label>\n</section>\n"
}

const KEYS: &str = "<p class=\"keys live\" hidden>Keys: space plays and pauses, left and right arrows step, Home and End \
                    jump. Click a map for the curve of a place; with a map in focus the arrows move that place.</p>\n";

/// The one scale of lengths of a page, m.
struct Sizes {
    /// Widest map.
    map: f64,
    /// Longest casting, and the larger of its other two sides.
    casting: [f64; 2],
}

impl Sizes {
    fn of(dies: &[Die]) -> Sizes {
        let largest = |sides: &dyn Fn(&Die) -> f64| dies.iter().map(sides).fold(0.0, f64::max);
        let map = |die: &Die| die.film.maps.first().map_or(0.0, |map| span(&map.x).max(span(&map.y)));
        let size = |die: &Die| die.outcome.casting.size_m;
        Sizes {
            map: largest(&map).max(f64::MIN_POSITIVE),
            casting: [largest(&|die| size(die)[0]), largest(&|die| size(die)[1].max(size(die)[2]))],
        }
    }
}

/// The whole casting from above and from the side, small, to the scale of all others: what a map alone does not show.
fn whole(die: &Die, sizes: &Sizes, units: Units) -> String {
    const GAP: f64 = 0.06;
    let [length, width, depth] = die.outcome.casting.size_m;
    let [longest, highest] = sizes.casting;
    let mm = |metres: f64| format!("{:.0}", 1000.0 * metres);
    let gap = GAP * longest;
    let (wide, high) = (2.0 * longest + gap, highest);
    let box_at = |x: f64, y: f64, w: f64, h: f64, class: &str| {
        format!("<rect class=\"{class}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>", mm(x), mm(y), mm(w), mm(h))
    };
    let patch = die.film.outlines.iter().find(|outline| outline.name == "heated patch");
    let points = |outline: &study::Outline| {
        outline.points.iter().map(|[x, y]| format!("{},{}", mm(*x), mm(*y))).collect::<Vec<_>>().join(" ")
    };
    let heated = patch.map_or_else(String::new, |outline| format!("<polygon points=\"{}\"/>", points(outline)));
    let window = die.film.maps.first().map_or_else(String::new, |map| {
        let (x, y) = (map.x.first().copied().unwrap_or(0.0), map.y.first().copied().unwrap_or(0.0));
        let from_above = box_at(x, y, span(&map.x), span(&map.y), "window");
        from_above + &box_at(longest + gap + x, 0.0, span(&map.x), span(&map.z), "window")
    });
    let label = format!(
        "The whole casting from above and from the side, to one scale with the others: {}",
        casting(die.outcome, units)
    );
    format!(
        "<svg class=\"whole\" viewBox=\"{0} {0} {1} {2}\" role=\"img\" aria-label=\"{3}\">{4}{heated}{5}{window}</svg>\n",
        mm(-0.02 * longest),
        mm(wide + 0.04 * longest),
        mm(high + 0.04 * longest),
        safe::text(&label),
        box_at(0.0, 0.0, length, width, "body"),
        box_at(longest + gap, 0.0, length, depth, "body"),
    )
}

/// A bar of a round length below a map.
fn measure(sizes: &Sizes, units: Units) -> String {
    let (metres, words) = if units == Units::Shop { (0.1016, "4 in") } else { (0.1, "100 mm") };
    let both = if units == Units::Both { " (3.9 in)" } else { "" };
    format!(
        " <span class=\"measure\" style=\"width: {:.2}%\"></span> <span class=\"one-line\">{words}{both}</span>",
        100.0 * metres / sizes.map
    )
}

fn article(number: usize, die: &Die, (scale, sizes): ([f64; 2], &Sizes), units: Units) -> Result<String, Error> {
    let outcome = die.outcome;
    let sign = match outcome.verdict {
        study::Verdict::NotAsked => String::new(),
        _ => format!(" <strong>{}</strong>", verdict_sign(outcome).0),
    };
    let off_s = outcome.heats.first().map_or(outcome.ran_until_s, |heat| heat.end_s);
    let still = match die.film.picture(off_s, "as the first flame goes off") {
        None => String::new(),
        Some(picture) => {
            let style = Style { units, width: 640, height: 800, ..Style::default() };
            let map = plot::picture_on(&picture, outcome, scale, &style)?;
            figure(&map, &format!("{}: worked face and section as the first flame goes off", die.name))
        }
    };
    let name = safe::text(die.name);
    let canvas = |kind: &str, caption: &str| {
        format!(
            "<figure>\n<canvas class=\"{kind}\" width=\"10\" height=\"10\" tabindex=\"0\" role=\"img\" \
             aria-label=\"{name}, {caption}\"></canvas>\n<figcaption>{caption}{}</figcaption>\n</figure>\n",
            if kind == "face" { measure(sizes, units) } else { String::new() }
        )
    };
    let depth_m = die.film.maps.first().map_or(0.0, |map| span(&map.z));
    let section = format!("section under the patch, {} down", length(depth_m, units));
    Ok(format!(
        "<article data-die=\"{number}\">\n<div class=\"head\"><h2>{name}</h2>\n{}</div>\n<p class=\"what\">{}{sign}</p>\n\
         <p class=\"state\">{}</p>\n<div class=\"maps\">\n<div class=\"live\" hidden>{}</div>\n<div>\n\
         <div class=\"live\" hidden>{}<p class=\"picked\"></p></div>\n{}</div>\n</div>\n\
         <div class=\"still\">\n{still}</div>\n</article>\n",
        whole(die, sizes, units),
        safe::text(&capitalised(&casting(outcome, units))),
        safe::text(&hold_words(outcome, units)),
        canvas("face", "worked face "),
        canvas("section", &section),
        bars(outcome),
    ))
}

fn hold_words(outcome: &Outcome, units: Units) -> String {
    let Some((probe, limit_c)) = watched(outcome) else { return "No minimum is asked for.".to_owned() };
    let minimum = temperature(limit_c, units);
    match held(outcome) {
        (None, _) => format!("{} above {minimum} to the end of the run.", place(probe)),
        (Some(0.0), _) => format!("{} never above {minimum}.", place(probe)),
        (Some(hold), error_s) => {
            format!("{} above {minimum} for {} after the first flame.", place(probe), with_error(hold, error_s))
        }
    }
}

/// How long the watched place stays above after the first flame, s, and the error bar of that.
fn held(outcome: &Outcome) -> (Option<f64>, Option<f64>) {
    match outcome.crossings.first().filter(|_| outcome.window.is_none()) {
        Some(first) => (first.after_off_s, first.error_s),
        None => (outcome.hold_s, outcome.error.hold_s),
    }
}

/// The probe of a clock in words.
fn place(probe: &str) -> String {
    match probe {
        "ring_coldest" => "Coldest of the ring".to_owned(),
        "patch_centre" => "Middle of the patch".to_owned(),
        other => printable(other).replace('_', " "),
    }
}

/// The ledger as bars of its share of the heat put in.
fn bars(outcome: &Outcome) -> String {
    let lines = ledger_lines(&outcome.ledger);
    let bar = |line: &crate::tables::LedgerLine| {
        let share = 100.0 * line.share.unwrap_or(0.0);
        format!(
            "<li><span class=\"name\">{}</span><span class=\"share\">{share:.1} %</span><span class=\"track\">\
             <span class=\"bar\" style=\"width: {:.1}%\"></span></span></li>\n",
            line.what,
            share.clamp(0.0, 100.0)
        )
    };
    let out: String = lines.iter().filter(|line| !line.comes_in).map(bar).collect();
    let put_in = heat_in_j(&outcome.ledger) / 1e6;
    format!(
        "<p class=\"put-in\">Of {put_in:.1} MJ put in by the end of the run:</p>\n<ul class=\"ledger\">\n{out}</ul>\n"
    )
}

/// Coldest and hottest of all maps, Celsius. Instants of an arc are left out where there are others: one bead would take up
/// the whole scale.
fn scale(dies: &[Die]) -> [f64; 2] {
    let [low, high] = ends(dies, true).or_else(|| ends(dies, false)).unwrap_or([0.0, 100.0]);
    [low.floor(), high.ceil().max(low.floor() + 1.0)]
}

fn ends(dies: &[Die], without_arcs: bool) -> Option<[f64; 2]> {
    let maps = dies
        .iter()
        .flat_map(|die| die.film.maps.iter().filter(move |map| !(without_arcs && arc_is_on(die.outcome, map.time_s))));
    let values = maps.flat_map(|map| map.face_c.iter().chain(&map.section_c)).filter(|value| value.is_finite());
    values.fold(None, |ends, &celsius| {
        let [low, high] = ends.unwrap_or([celsius; 2]);
        Some([low.min(celsius), high.max(celsius)])
    })
}

/// Whether an arc burns, or has just burnt.
fn arc_is_on(outcome: &Outcome, time_s: f64) -> bool {
    outcome.passes.iter().any(|pass| time_s > pass.start_s && time_s < pass.end_s + AFTER_ARC_S)
}

fn colour(share: f64) -> String {
    let colour = colorous::INFERNO.eval_continuous(share.clamp(0.0, 1.0));
    format!("#{:02x}{:02x}{:02x}", colour.r, colour.g, colour.b)
}

/// The scale of colours as a drawing, its temperatures as text below it.
fn legend([low, high]: [f64; 2], dies: &[Die], units: Units) -> String {
    const PARTS: usize = 48;
    const MARKS: usize = 5;
    let boxes: String = (0..PARTS)
        .map(|n| {
            let colour = colour((n as f64 + 0.5) / PARTS as f64);
            // A little wider than its place, so that no seam shows.
            format!("<rect x=\"{n}\" y=\"0\" width=\"1.1\" height=\"1\" fill=\"{colour}\"/>")
        })
        .collect();
    let mark = |n: usize| {
        let show = |units| temperature(low + n as f64 / MARKS as f64 * (high - low), units);
        match units {
            Units::Both => format!("<span>{}<br>{}</span>", show(Units::Metric), show(Units::Shop)),
            one => format!("<span>{}</span>", show(one)),
        }
    };
    let marks: String = (0..=MARKS).map(mark).collect();
    let has_arcs = dies.iter().any(|die| !die.outcome.passes.is_empty());
    let has_ring = dies.iter().any(|die| die.film.outlines.iter().any(|outline| outline.name == "ring"));
    format!(
        "<figure class=\"legend\"><svg viewBox=\"0 0 {PARTS} 1\" preserveAspectRatio=\"none\" role=\"img\" \
         aria-label=\"Scale of colours, dark is cold, bright is hot\">{boxes}</svg><div class=\"marks\">{marks}</div>\
         <figcaption>One scale for all maps{}{}. Dashed: heated patch{}.</figcaption></figure>\n",
        if has_arcs { "; right under an arc it is hotter than the scale shows" } else { "" },
        white_line(dies, units).map_or_else(String::new, |what| format!(". White line: {what}")),
        if has_ring { "; dotted: ring" } else { "" },
    )
}

/// What the white line on the maps is.
fn white_line(dies: &[Die], units: Units) -> Option<String> {
    let limits: Vec<f64> = dies.iter().filter_map(|die| Some(watched(die.outcome)?.1)).collect();
    let low = limits.iter().copied().min_by(f64::total_cmp)?;
    let high = limits.iter().copied().max_by(f64::total_cmp)?;
    let what = if dies.iter().any(|die| die.outcome.window.is_some()) { "the minimum" } else { "the watched limit" };
    Some(if high > low { format!("{what} of each") } else { format!("{what}, {}", temperature(low, units)) })
}

fn numbers(dies: &[Die], units: Units) -> String {
    let row = |die: &Die| {
        let outcome = die.outcome;
        let first = outcome.heats.first().map_or_else(String::new, |heat| duration(heat.end_s - heat.start_s));
        let hold = match held(outcome) {
            _ if watched(outcome).is_none() => String::new(),
            (None, _) => "to the end".to_owned(),
            (Some(hold), error_s) => with_error(hold, error_s),
        };
        let stored = 100.0 * outcome.ledger.stored_j / heat_in_j(&outcome.ledger).max(f64::MIN_POSITIVE);
        vec![
            die.name.to_owned(),
            casting(outcome, units),
            first,
            hold,
            outcome.beads_per_heat.map_or_else(String::new, |beads| beads.to_string()),
            format!("{stored:.0} %"),
            verdict_sentence(outcome, units),
        ]
    };
    let asked = dies.iter().any(|die| die.outcome.window.is_some());
    let above = if asked { "above the minimum for" } else { "above the watched limit for" };
    let header = ["name", "casting", "first heating", above, "beads per heat", "heat kept", "verdict"];
    table("The same numbers as a table", &header, &[0, 1, 6], &dies.iter().map(row).collect::<Vec<_>>())
}

/// All that the script needs.
#[derive(Serialize)]
struct Data {
    low_c: f64,
    high_c: f64,
    colours: Vec<String>,
    /// Factor, offset and name of the units that the script shows, two for both.
    units: Vec<(f64, f64, &'static str)>,
    dies: Vec<DieData>,
}

#[derive(Serialize)]
struct DieData {
    name: String,
    /// The place that the clock watches, and below what, Celsius.
    place: String,
    minimum_c: Option<f64>,
    /// What that is: a minimum, or only a limit to watch.
    limit: &'static str,
    /// Places along each side of a map.
    points: usize,
    /// Extent of the face along x and y, of the section along x and down, m.
    face_m: [[f64; 2]; 2],
    depth_m: f64,
    ring_depth_m: f64,
    times_s: Vec<f64>,
    face: String,
    section: String,
    outlines: Vec<(&'static str, Vec<[f64; 2]>)>,
    heats_s: Vec<[f64; 2]>,
    coldest: Vec<[f64; 2]>,
    /// Put in, stored, lost to the air, by radiation, into the support, MJ.
    ledger_mj: Vec<[f64; 5]>,
}

fn data(dies: &[Die], scale: [f64; 2], units: Units) -> Data {
    let unit = |units: Units| {
        let axis = Temperature::from_celsius(100.0).axis(units);
        (axis.number(1.0) - axis.number(0.0), axis.number(0.0), axis.unit())
    };
    Data {
        low_c: scale[0],
        high_c: scale[1],
        colours: (0..COLOURS).map(|n| colour(n as f64 / STEPS)).collect(),
        units: if units == Units::Both { vec![unit(Units::Metric), unit(Units::Shop)] } else { vec![unit(units)] },
        dies: dies.iter().map(|die| die_data(die, scale)).collect(),
    }
}

fn die_data(die: &Die, scale: [f64; 2]) -> DieData {
    let (outcome, film) = (die.outcome, die.film);
    let ends = |places: &[f64]| [places.first().copied().unwrap_or(0.0), places.last().copied().unwrap_or(1.0)];
    let first = film.maps.first();
    let millimetres = |points: &[[f64; 2]]| points.iter().map(|point| point.map(|v| rounded(v, 1e4))).collect();
    DieData {
        name: printable(die.name),
        place: watched(outcome).map_or_else(String::new, |(probe, _)| place(probe)),
        minimum_c: watched(outcome).map(|(_, limit_c)| limit_c),
        limit: if outcome.window.is_some() { "minimum" } else { "watched" },
        points: first.map_or(0, |map| map.x.len()),
        face_m: first.map_or([[0.0, 1.0]; 2], |map| [ends(&map.x), ends(&map.y)]),
        depth_m: first.map_or(1.0, |map| ends(&map.z)[1]),
        ring_depth_m: film.ring_depth,
        times_s: film.maps.iter().map(|map| rounded(map.time_s, 100.0)).collect(),
        face: coded(film.maps.iter().flat_map(|map| &map.face_c), scale),
        section: coded(film.maps.iter().flat_map(|map| &map.section_c), scale),
        outlines: film.outlines.iter().map(|outline| (outline.name, millimetres(&outline.points))).collect(),
        heats_s: outcome.heats.iter().map(|heat| [heat.start_s, heat.end_s].map(|t| rounded(t, 100.0))).collect(),
        coldest: curve(outcome),
        ledger_mj: film.ledgers().iter().map(|(_, ledger)| megajoules(ledger)).collect(),
    }
}

fn megajoules(ledger: &study::LedgerJ) -> [f64; 5] {
    let terms = [heat_in_j(ledger), ledger.stored_j, ledger.convection_j, ledger.radiation_j, ledger.contact_j];
    terms.map(|joules| rounded(joules / 1e6, 1e4))
}

fn rounded(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
}

/// A byte for each value: its share of the scale.
fn coded<'a>(values: impl Iterator<Item = &'a f64>, [low, high]: [f64; 2]) -> String {
    let byte = |&celsius: &f64| (STEPS * (celsius - low) / (high - low)).round().clamp(0.0, STEPS) as u8;
    safe::base64(&values.map(byte).collect::<Vec<u8>>())
}

/// The watched place, or where none is the first curve there is.
fn curve(outcome: &Outcome) -> Vec<[f64; 2]> {
    let watched = watched(outcome).and_then(|(probe, _)| outcome.curves.get(probe));
    let curve = watched.or_else(|| outcome.curves.values().next());
    let Some(curve) = curve else { return Vec::new() };
    let points: Vec<[f64; 2]> =
        curve.time_s.iter().zip(&curve.temperature_c).map(|(&t, &c)| [rounded(t, 100.0), rounded(c, 100.0)]).collect();
    let every = points.len().div_ceil(CURVE).max(1);
    let last = points.len().saturating_sub(1);
    points.into_iter().enumerate().filter(|(n, _)| n % every == 0 || *n == last).map(|(_, point)| point).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plot::contrast;

    /// The colour of a name such as `--line0` in a style sheet.
    fn of(sheet: &str, name: &str) -> (u8, u8, u8) {
        let hex = sheet.split(&format!("{name}: #")).nth(1).unwrap_or_else(|| panic!("{name}"));
        let digits: String = hex.chars().take_while(char::is_ascii_hexdigit).collect();
        let long = if digits.len() == 3 { digits.chars().flat_map(|d| [d, d]).collect() } else { digits };
        let part = |at: usize| u8::from_str_radix(&long[at..at + 2], 16).unwrap();
        (part(0), part(2), part(4))
    }

    #[test]
    fn curves_and_words_of_the_page_stand_out_light_and_dark() {
        for sheet in [STYLE, DARK] {
            let paper = of(sheet, "--paper");
            for (name, least) in [("--ink", 7.0), ("--faint", 4.5), ("--rule", 2.5)] {
                assert!(contrast(of(sheet, name), paper) >= least, "{name}");
            }
            for line in 0..4 {
                assert!(contrast(of(sheet, &format!("--line{line}")), paper) >= 3.0, "{line}");
            }
        }
    }
}
