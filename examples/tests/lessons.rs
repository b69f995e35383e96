//! The number of each lesson against a closed form or a published relation, and its page and picture against what its
//! program gives today.
//!
//! A closed form knows no losses, so the same scenario is checked again with adiabatic faces: that must agree. With
//! losses the hold must be shorter, but not by much (N1, N4, `computed`).

use std::path::Path;

use lessons::{Lesson, fall, read};
use warmhold::exact::{Disc, Heating, Metal, STEFAN_BOLTZMANN, soak};
use warmhold::heat::Surface;
use warmhold::{Outcome, Verdict, study};

#[expect(dead_code, reason = "main is for the program")]
#[path = "../04_an_interval_that_falls_short/main.rs"]
mod an_interval_that_falls_short;
#[expect(dead_code, reason = "main is for the program")]
#[path = "../05_an_interval_that_holds/main.rs"]
mod an_interval_that_holds;
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

fn yardstick_iron() -> Metal {
    Metal::new(46.0, 7200.0, 500.0)
}

/// Page and pictures are what the program gives.
fn is_current(lesson: &Lesson) {
    let name = lesson.name;
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    let committed = |file: &str| std::fs::read_to_string(folder.join(file)).unwrap_or_default();
    for (file, picture) in &lesson.pictures {
        assert!(
            committed(file) == *picture,
            "{file} of {name} is not what its program draws: look at the difference, then \
             cargo run --release --example {name} -- examples/{name}"
        );
    }
    let page = committed("README.md");
    assert!(page.contains(&lesson.words), "the page of {name} does not say:\n{}", lesson.words);
    assert!(page.starts_with("builds-on: "), "{name}");
    for heading in ["## What this cannot tell you", "## Try next"] {
        assert!(page.contains(heading), "{name}: {heading}");
    }
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
    agrees(fall(&without, "r40", 150.0).unwrap(), 12.677, 0.02);
    agrees(fall(&without, "r40", 120.0).unwrap(), 30.703, 0.02);
    is_somewhat_shorter(fall(&lesson.outcomes[0], "r40", 150.0).unwrap().0, 12.677, 0.15);
}

#[test]
fn a_small_block_levels_out_where_its_heat_puts_it() {
    let lesson = same_patch_on_a_small_block::lesson().unwrap();
    is_current(&lesson);
    // Balance (as P30, `computed`): energy over heat capacity of the whole block. Ten minutes after the flame nothing
    // is left of the patch: its slowest wave, exp(-4 π² α t / L²) over the 180 mm, is below 0.05 K.
    let torch_j = FLAME.flux * PATCH.area() * FLAME.duration;
    let without = lossless(same_patch_on_a_small_block::SCENARIO, &[]);
    for probe in ["centre", "r40", "back_60"] {
        ends_at(&without, probe, level_c(torch_j), 0.05);
    }
    let outcome = &lesson.outcomes[0];
    for probe in ["centre", "back_60"] {
        ends_at(
            outcome,
            probe,
            level_c(outcome.ledger.stored_j) + middle_of_a_face_k(level_c(outcome.ledger.stored_j)),
            0.1,
        );
    }
    assert!(fall(outcome, "r40", 150.0).unwrap().0 > 40.0 * 12.677);
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
    let rise = |time: f64| -> f64 {
        let image =
            |n: i32| PATCH.rise_after(yardstick_iron(), FLAME, 0.040, 0.080 * f64::from(n), FLAME.duration + time);
        image(0) + 2.0 * (1..40).map(image).sum::<f64>()
    };
    let closed_s = falls_below(150.0 - START_C, rise);
    let without = fall(&lossless(same_patch_on_a_40_mm_plate::SCENARIO, &[]), "r40", 150.0).unwrap();
    agrees(without, closed_s, 0.05);
    // Two hot faces lose, and the iron between them is thin: more than on the big die.
    is_somewhat_shorter(fall(&lesson.outcomes[0], "r40", 150.0).unwrap().0, closed_s, 0.2);
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

/// The ring's hold lies under the closed form of the same patch on a half space, and losses do not take more of it
/// than a tenth (N4, `computed`).
fn is_bounded_by_the_half_space(outcome: &Outcome) {
    let half_space = outcome.half_space.as_ref().unwrap();
    assert!(half_space.upper_limit, "{}", half_space.meaning);
    is_somewhat_shorter(outcome.hold_s.unwrap(), half_space.hold_s.unwrap(), 0.10);
}

#[test]
fn two_beads_in_150_s_fall_short() {
    let lesson = an_interval_that_falls_short::lesson().unwrap();
    is_current(&lesson);
    let outcome = &lesson.outcomes[0];
    assert_eq!((outcome.verdict, outcome.beads_per_heat), (Verdict::FallsShort, Some(1)));
    is_bounded_by_the_half_space(outcome);
    // The second bead starts 100 s after flame off, and the ring holds 57.5 s.
    agrees((outcome.hold_s.unwrap(), outcome.error.hold_s.unwrap()), 57.5, 0.5);
}

#[test]
fn the_better_plan_holds_even_at_its_worst_end() {
    let lesson = an_interval_that_holds::lesson().unwrap();
    is_current(&lesson);
    let outcome = &lesson.outcomes[0];
    let worst = outcome.worst_end.unwrap();
    assert_eq!((outcome.verdict, worst.beads_per_heat), (Verdict::Holds, Some(2)));
    assert!(worst.margin_k > 5.0, "{} K", worst.margin_k);
    is_bounded_by_the_half_space(outcome);
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
}
