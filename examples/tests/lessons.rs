//! The number of each lesson against a closed form or a published relation, and its page and picture against what its
//! program gives today.
//!
//! A closed form knows no losses, so the same scenario is checked again with adiabatic faces: that must agree. With
//! losses the hold must be shorter, but not by much (N1, N4, `computed`).

use std::path::{Path, PathBuf};

use lessons::{Lesson, fall, read};
use warmhold::exact::{Disc, Heating, Metal, STEFAN_BOLTZMANN, soak};
use warmhold::heat::{Material, Surface};
use warmhold::{Outcome, Verdict, study};

#[expect(dead_code, reason = "main is for the program")]
#[path = "../04_an_interval_that_falls_short/main.rs"]
mod an_interval_that_falls_short;
#[expect(dead_code, reason = "main is for the program")]
#[path = "../05_an_interval_that_holds/main.rs"]
mod an_interval_that_holds;
#[expect(dead_code, reason = "main is for the program")]
#[path = "../08_over_a_cell_and_over_a_rib/main.rs"]
mod over_a_cell_and_over_a_rib;
#[expect(dead_code, reason = "main is for the program")]
#[path = "../01_patch_on_a_big_die/main.rs"]
mod patch_on_a_big_die;
#[expect(dead_code, reason = "main is for the program")]
#[path = "../03_same_patch_on_a_40_mm_plate/main.rs"]
mod same_patch_on_a_40_mm_plate;
#[expect(dead_code, reason = "main is for the program")]
#[path = "../02_same_patch_on_a_small_block/main.rs"]
mod same_patch_on_a_small_block;
#[expect(dead_code, reason = "main is for the program")]
#[path = "../07_warm_the_whole_die_first/main.rs"]
mod warm_the_whole_die_first;
#[expect(dead_code, reason = "main is for the program")]
#[path = "../06_wider_instead_of_longer/main.rs"]
mod wider_instead_of_longer;

/// The patch, flame and iron of lessons 1 to 3: yardstick Y1.
const PATCH: Disc = Disc { radius: 0.060 };
const FLAME: Heating = Heating { flux: 250e3, duration: 300.0 };
const START_C: f64 = 20.0;
/// Where lessons 1 to 3 watch.
const SPOT: &str = "40_mm_from_centre";

fn yardstick_iron() -> Metal {
    Metal::new(46.0, 7200.0, 500.0)
}

fn folder(lesson: &Lesson) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(lesson.name)
}

/// Page and pictures are what the program would write.
fn is_current(lesson: &Lesson) {
    let name = lesson.name;
    for (path, today) in lesson.files(&folder(lesson)).unwrap() {
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        let stale = format!("{} is stale: cargo run --release --example {name} -- examples/{name}", path.display());
        assert!(committed == today, "{stale}, then look at the difference");
    }
    let page = std::fs::read_to_string(folder(lesson).join("README.md")).unwrap();
    assert!(page.starts_with("builds-on: "), "{name}");
    for heading in ["## What this cannot tell you", "## Try next"] {
        assert!(page.contains(heading), "{name}: {heading}");
    }
    for (file, _) in &lesson.pictures {
        assert!(page.contains(&format!("]({file})")), "{name} does not show {file}");
    }
}

/// The page's prose says these words.
fn says(lesson: &Lesson, words: &str) {
    let page = std::fs::read_to_string(folder(lesson).join("README.md")).unwrap();
    let page: Vec<&str> = page.split_whitespace().collect();
    assert!(page.join(" ").contains(words), "{} no longer says: {words}", lesson.name);
}

/// The page's prose says these words, and the run agrees with the rounded number in them.
fn quotes(lesson: &Lesson, words: &str, (rounded, half_digit): (f64, f64), (value, error): (f64, f64)) {
    says(lesson, words);
    let allowed = half_digit + error;
    assert!((value - rounded).abs() <= allowed, "{}, \"{words}\": {value}, not {rounded} ± {allowed}", lesson.name);
}

/// A probe at a time on its drawn curve, Celsius; no error bar is known there, so the quotes are to whole kelvins.
fn at(outcome: &Outcome, probe: &str, time_s: f64) -> (f64, f64) {
    let curve = &outcome.curves[probe];
    let after = curve.time_s.partition_point(|time| *time < time_s - 1e-6);
    (curve.temperature_c[after], 0.0)
}

/// The scenario without losses.
fn lossless(text: &str, changes: &[&str]) -> Outcome {
    let mut scenario = read(text, changes).unwrap();
    scenario.case.surfaces = [Surface::ADIABATIC; 6];
    study::check(&scenario.case, &scenario.question, &|_| true).unwrap()
}

/// A fall agrees with its expected time, within its own error bar and a tolerance.
fn agrees((time_s, error_s): (f64, f64), expected_s: f64, tolerance_s: f64) {
    let allowed_s = error_s + tolerance_s;
    assert!((time_s - expected_s).abs() <= allowed_s, "{time_s} s, expected {expected_s} ± {allowed_s} s");
}

/// Losses shorten a hold, by less than a share.
fn is_somewhat_shorter(hold_s: f64, lossless_s: f64, share: f64) {
    assert!(hold_s < lossless_s && hold_s > (1.0 - share) * lossless_s, "{hold_s} s, {lossless_s} s without losses");
}

#[test]
fn a_patch_on_a_big_die_holds_seconds_as_the_half_space_does() {
    let lesson = patch_on_a_big_die::lesson().unwrap();
    is_current(&lesson);
    // P4, `computed` by two methods: 12.677 s and 30.703 s, tolerance 0.02 s.
    let without = lossless(patch_on_a_big_die::SCENARIO, &[]);
    agrees(fall(&without, SPOT, 150.0).unwrap(), 12.677, 0.02);
    agrees(fall(&without, SPOT, 120.0).unwrap(), 30.703, 0.02);
    let outcome = &lesson.outcomes[0];
    let hold_s = fall(outcome, SPOT, 150.0).unwrap().0;
    is_somewhat_shorter(hold_s, 12.677, 0.15);
    says(&lesson, "Five minutes in, less than twelve seconds out");
    assert!(hold_s < 12.0);
    quotes(&lesson, "The centre reaches 256 C", (256.0, 0.5), at(outcome, "centre", 300.0));
    quotes(&lesson, "110 C only 40 mm down", (110.0, 0.5), at(outcome, "40_mm_deep", 300.0));
    says(&lesson, "After two minutes nothing on the face is above 80 C");
    assert!(at(outcome, "centre", 420.0).0 < 80.0);
    let stored = 100.0 * outcome.ledger.stored_j / outcome.ledger.torch_j;
    quotes(&lesson, "finds 97 % of them in the metal", (97.0, 0.5), (stored, 0.0));
}

#[test]
fn a_small_block_levels_out_where_its_heat_puts_it() {
    let lesson = same_patch_on_a_small_block::lesson().unwrap();
    is_current(&lesson);
    // Balance (as P30, `computed`): energy over heat capacity of the whole block. Ten minutes after the flame nothing
    // is left of the patch: its slowest wave, exp(-4 π² α t / L²) over the 180 mm, is below 0.05 K.
    let torch_j = FLAME.flux * PATCH.area() * FLAME.duration;
    let without = lossless(same_patch_on_a_small_block::SCENARIO, &[]);
    for probe in ["centre", SPOT, "back"] {
        ends_at(&without, probe, level_c(torch_j), 0.05);
    }
    let outcome = &lesson.outcomes[0];
    for probe in ["centre", "back"] {
        ends_at(
            outcome,
            probe,
            level_c(outcome.ledger.stored_j) + middle_of_a_face_k(level_c(outcome.ledger.stored_j)),
            0.1,
        );
    }
    quotes(&lesson, "Nearly nine minutes", (540.0, 15.0), fall(outcome, SPOT, 150.0).unwrap());
    let larger = ["length=200", "width=160", "depth=80"].map(|side| format!("casting.{side} mm"));
    let back = "probes.back.from_patch_centre=[\"0 mm\", \"0 mm\", \"80 mm\"]";
    let changes = [larger[0].as_str(), &larger[1], &larger[2], back];
    let larger = lessons::check(same_patch_on_a_small_block::SCENARIO, &changes).unwrap();
    quotes(&lesson, "holds half a minute", (30.0, 2.0), fall(&larger, SPOT, 150.0).unwrap());
}

const BLOCK_M: [f64; 3] = [0.18, 0.14, 0.06];

/// Temperature of the small block with its heat spread evenly.
fn level_c(energy_j: f64) -> f64 {
    START_C + energy_j / (BLOCK_M.iter().product::<f64>() * 7200.0 * 500.0)
}

/// How much the middle of the largest face is warmer than the mean of a block that loses the same flux q everywhere.
///
/// A wall of half thickness b that cools evenly is warmer than its mean by q b / 6k in the middle and colder by
/// q b / 3k on its faces; the three directions add.
fn middle_of_a_face_k(level_c: f64) -> f64 {
    let kelvin = |celsius: f64| celsius + 273.15;
    let radiated = 0.8 * STEFAN_BOLTZMANN * (kelvin(level_c).powi(4) - kelvin(START_C).powi(4));
    let flux = 8.0 * (level_c - START_C) + radiated;
    flux / 46.0 * (BLOCK_M[0] / 12.0 + BLOCK_M[1] / 12.0 - BLOCK_M[2] / 6.0)
}

fn ends_at(outcome: &Outcome, probe: &str, expected_c: f64, tolerance_k: f64) {
    let series = &outcome.probes[probe];
    let (end_c, allowed_k) = (series.temperature_c[0], series.error_k[0] + tolerance_k);
    assert!((end_c - expected_c).abs() <= allowed_k, "{probe}: {end_c} C, expected {expected_c} ± {allowed_k}");
}

#[test]
fn a_plate_holds_as_the_sum_of_its_mirror_images_does() {
    let lesson = same_patch_on_a_40_mm_plate::lesson().unwrap();
    is_current(&lesson);
    // The back face mirrors the disc at every multiple of twice the thickness (image sum of P1, `computed`).
    let closed_s = |thickness: f64| {
        let image = |n: i32, time: f64| {
            let depth = 2.0 * thickness * f64::from(n);
            PATCH.rise_after(yardstick_iron(), FLAME, 0.040, depth, FLAME.duration + time)
        };
        let rise = |time: f64| image(0, time) + 2.0 * (1..40).map(|n| image(n, time)).sum::<f64>();
        falls_below(150.0 - START_C, rise)
    };
    for thickness_mm in [40.0, 60.0, 100.0] {
        let changes = same_patch_on_a_40_mm_plate::changes(thickness_mm);
        let without = lossless(same_patch_on_a_40_mm_plate::SCENARIO, &changes.each_ref().map(String::as_str));
        agrees(fall(&without, SPOT, 150.0).unwrap(), closed_s(1e-3 * thickness_mm), 0.05);
    }
    // Two hot faces lose, and the iron between them is thin: more than on the big die.
    let (plate, without_s) = (&lesson.outcomes[2], closed_s(0.040));
    let (hold_s, error_s) = fall(plate, SPOT, 150.0).unwrap();
    is_somewhat_shorter(hold_s, without_s, 0.2);
    quotes(&lesson, "For 40 mm it gives 87.2 s", (87.2, 0.05), (without_s, 0.0));
    let lost = 100.0 * (1.0 - plate.ledger.stored_j / plate.ledger.torch_j);
    quotes(&lesson, "take 14 % of the heat here", (14.0, 0.5), (lost, 0.0));
    let (shorter, error) = (100.0 * (1.0 - hold_s / without_s), 100.0 * error_s / without_s);
    quotes(&lesson, "15 % of the hold", (15.0, 0.5), (shorter, error));
}

/// When a falling curve is at a limit, by halving.
fn falls_below(limit: f64, curve: impl Fn(f64) -> f64) -> f64 {
    let (mut above, mut below) = (1.0, 1000.0);
    for _ in 0..60 {
        let middle = 0.5 * (above + below);
        if curve(middle) > limit { above = middle } else { below = middle }
    }
    above
}

/// The ring's hold lies under the closed form of the same patch on a half space, and losses and a metal that changes
/// with temperature do not take more of it than a share.
fn is_bounded_by_the_half_space(outcome: &Outcome, share: f64) {
    let half_space = outcome.half_space.as_ref().unwrap();
    assert!(half_space.upper_limit, "{}", half_space.meaning);
    is_somewhat_shorter(outcome.hold_s.unwrap(), half_space.hold_s.unwrap(), share);
}

/// Without losses and with a metal that does not change, the ring holds as long as the closed form of the disc does at
/// the place of the ring farthest from its middle: 75 mm beyond the corner of the groove.
fn holds_as_the_half_space_without_losses(text: &str, disc: Disc) {
    let mut scenario = read(text, &[]).unwrap();
    scenario.case.surfaces = [Surface::ADIABATIC; 6];
    scenario.case.material = Material::constant(7200.0, 46.0, 500.0).unwrap();
    scenario.question.ranges.clear();
    let outcome = study::check(&scenario.case, &scenario.question, &|_| true).unwrap();
    let off_s = outcome.heats[0].end_s;
    let peak_k = at(&outcome, "patch_centre", off_s).0 - START_C;
    let flux = disc.flux_for_centre_rise(yardstick_iron(), peak_k, off_s);
    let (farthest, minimum_k) =
        (f64::hypot(0.030, 0.010) + 0.075, scenario.question.window.unwrap().minimum_c - START_C);
    let closed_s = disc.hold(yardstick_iron(), Heating { flux, duration: off_s }, farthest, 0.0, minimum_k);
    // Where the curve is flat the bar is wide: no more than a second of it is taken.
    agrees((outcome.hold_s.unwrap(), outcome.error.hold_s.unwrap().min(1.0)), closed_s.unwrap(), 0.5);
}

#[test]
fn two_beads_in_150_s_fall_short() {
    let lesson = an_interval_that_falls_short::lesson().unwrap();
    is_current(&lesson);
    let outcome = &lesson.outcomes[0];
    assert_eq!((outcome.verdict, outcome.beads_per_heat), (Verdict::FallsShort, Some(1)));
    is_bounded_by_the_half_space(outcome, 0.15);
    holds_as_the_half_space_without_losses(an_interval_that_falls_short::SCENARIO, Disc { radius: 0.150 });
    let hold = (outcome.hold_s.unwrap(), outcome.error.hold_s.unwrap());
    quotes(&lesson, "58 s after flame off", (58.0, 0.5), hold);
    let error_k = outcome.error.grid_k + outcome.error.time_k;
    let starts = [0, 1, 2, 3].map(|pass| outcome.passes[pass].coldest_c);
    quotes(&lesson, "175 C (347 F): inside", (175.0, 0.5), (starts[0], error_k));
    quotes(&lesson, "133 C (271 F): 16 K short", (133.0, 0.5), (starts[1], error_k));
    says(&lesson, "its two beads start within 2 K of the first two");
    assert!((starts[2] - starts[0]).abs() < 2.0 && (starts[3] - starts[1]).abs() < 2.0);
    let (off_s, reheat) = (outcome.heats[0].end_s, outcome.heats[1]);
    quotes(
        &lesson,
        "what one reheat to 400 F takes | 6 min",
        (6.0, 0.5),
        ((reheat.end_s - reheat.start_s) / 60.0, 0.0),
    );
    let [off_c, bead_c, back_c] =
        [off_s, off_s + 100.0, reheat.start_s].map(|time_s| at(outcome, "ring_coldest", time_s).0);
    quotes(&lesson, "falls by some 70 K in 100 s", (70.0, 5.0), (off_c - bead_c, 0.0));
    quotes(&lesson, "must bring back some 85 K", (85.0, 5.0), (off_c - back_c, 0.0));
}

#[test]
fn the_better_plan_holds_even_at_its_worst_end() {
    let lesson = an_interval_that_holds::lesson().unwrap();
    is_current(&lesson);
    let outcome = &lesson.outcomes[0];
    let worst = outcome.worst_end.unwrap();
    assert_eq!((outcome.verdict, worst.beads_per_heat), (Verdict::Holds, Some(2)));
    assert!(worst.margin_k > 5.0, "{} K", worst.margin_k);
    is_bounded_by_the_half_space(outcome, 0.15);
    holds_as_the_half_space_without_losses(an_interval_that_holds::SCENARIO, Disc { radius: 0.200 });
    let hold = (outcome.hold_s.unwrap(), outcome.error.hold_s.unwrap());
    says(&lesson, "The ring holds two minutes, with a numerical error under a quarter of one");
    agrees(hold, 120.0, 5.0);
    assert!(hold.1 < 15.0, "{} s", hold.1);
    let minutes = [0, 1].map(|n| (outcome.heats[n].end_s - outcome.heats[n].start_s) / 60.0);
    quotes(&lesson, "heat-up takes 23 minutes, each reheat 5", (23.0, 0.5), (minutes[0], 0.0));
    quotes(&lesson, "heat-up takes 23 minutes, each reheat 5", (5.0, 0.5), (minutes[1], 0.0));
    says(&lesson, "Take any of them back and the plan no longer holds for sure");
    assert!(lesson.outcomes[1..].iter().all(|variant| variant.verdict == Verdict::TooCloseToCall));
}

#[test]
fn wider_discs_hold_the_ring_as_published() {
    let lesson = wider_instead_of_longer::lesson().unwrap();
    is_current(&lesson);
    // N2, ring of 100 mm, centre at 260 C after 15 min, `computed`, in whole seconds: so the tolerance is half of one.
    for (radius_mm, hold_s) in [(100.0, 0.0), (125.0, 25.0), (150.0, 59.0), (200.0, 129.0)] {
        let changes = wider_instead_of_longer::changes(radius_mm, 15.0, 0.0);
        let outcome = lossless(wider_instead_of_longer::SCENARIO, &changes.each_ref().map(String::as_str));
        agrees(fall(&outcome, "r100", 149.0).unwrap(), hold_s, 0.5);
    }
    let (once, twice) = lesson.outcomes.split_at(wider_instead_of_longer::RADII_MM.len());
    for (wider, longer) in once[1..].iter().zip(twice) {
        assert!(wider.hold_s > longer.hold_s && wider.ledger.torch_j < longer.ledger.torch_j);
    }
    let (wider, longer) = (&once[2], &twice[1]);
    says(&lesson, "150 mm for 15 minutes holds nearly a minute with less than 8 MJ");
    assert!((50.0..60.0).contains(&wider.hold_s.unwrap()) && wider.ledger.torch_j < 8e6);
    says(&lesson, "125 mm for 30 minutes holds little more than half a minute with more than 10 MJ");
    assert!((30.0..40.0).contains(&longer.hold_s.unwrap()) && longer.ledger.torch_j > 10e6);
    quotes(&lesson, "12 MJ in 15 minutes is 13 kW net", (12.0, 0.5), (once[3].ledger.torch_j / 1e6, 0.0));
}

#[test]
fn a_warm_die_holds_several_times_as_long() {
    let lesson = warm_the_whole_die_first::lesson().unwrap();
    is_current(&lesson);
    let without = [20.0, 100.0].map(|start_c| {
        let changes = warm_the_whole_die_first::changes(start_c, 0.0);
        let outcome = lossless(warm_the_whole_die_first::SCENARIO, &changes.each_ref().map(String::as_str));
        fall(&outcome, "patch_centre", 149.0).unwrap()
    });
    // N3, `computed` to a tenth of a second, for the cold die; for the warm one the closed form of the same disc.
    agrees(without[0], 61.3, 0.05);
    let (iron, disc) = (Metal::new(46.0, 7150.0, 510.0), Disc { radius: 0.150 });
    let flame = Heating { flux: disc.flux_for_centre_rise(iron, 104.0, 1200.0), duration: 1200.0 };
    agrees(without[1], disc.hold(iron, flame, 0.0, 0.0, 49.0).unwrap(), 0.1);
    // N2, `computed`: 3.9 times after an endless soak; a soak of 20 min gives less.
    let endless = soak::fourier_number(49.0 / 104.0) / soak::fourier_number(129.0 / 184.0);
    let [cold_s, warm_s] = [0, 1].map(|n| lesson.outcomes[n].hold_centre_s.unwrap());
    assert!(warm_s > 3.0 * cold_s && warm_s < endless * cold_s, "{} times, {endless} endless", warm_s / cold_s);
    is_somewhat_shorter(cold_s, without[0].0, 0.10);
    is_somewhat_shorter(warm_s, without[1].0, 0.15);
    says(&lesson, "with losses | 58 s | 183 s | 3.1 |");
    for (n, hold_s) in [cold_s, warm_s].into_iter().enumerate() {
        let error_s = lesson.outcomes[n].error.hold_s.unwrap();
        agrees((hold_s, error_s), [58.0, 183.0][n], 0.5);
    }
    let [cold_ring_s, warm_ring_s] = [0, 1].map(|n| lesson.outcomes[n].hold_s.unwrap());
    quotes(&lesson, "holds three times as long", (3.0, 0.25), (warm_s / cold_s, 0.0));
    quotes(&lesson, "the ring almost eight times", (8.0, 0.25), (warm_ring_s / cold_ring_s, 0.0));
}

/// A ribbed die lies between the solid block and the plate, and a rib takes heat that a cell does not; the times stand
/// apart by more than their bars.
#[test]
fn a_ribbed_die_lies_between_block_and_plate() {
    let lesson = over_a_cell_and_over_a_rib::lesson().unwrap();
    is_current(&lesson);
    let holds: Vec<_> = lesson.outcomes.iter().map(|o| fall(o, "80_mm_from_centre", 120.0).unwrap()).collect();
    for pair in holds.windows(2) {
        let [(shorter, a), (longer, b)] = [pair[0], pair[1]];
        assert!(longer - shorter > 3.0 * (a + b), "{holds:?}");
    }
    let [block, rib, cell, plate] = &lesson.outcomes[..] else { panic!("four bodies") };
    assert!(block.casting.mass_kg > rib.casting.mass_kg && cell.casting.mass_kg > plate.casting.mass_kg);
    assert!((rib.casting.mass_kg - cell.casting.mass_kg).abs() < 1e-6 * rib.casting.mass_kg);
    for outcome in &lesson.outcomes {
        let ledger = &outcome.ledger;
        assert!(ledger.residual_j.abs() <= 1e-9 * ledger.torch_j, "{ledger:?}");
    }
}
