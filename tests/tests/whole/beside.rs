//! What works beside the torch: heaters on any face, covers, thermostats, and work on the floor of a pocket.

use warmhold::exact::{Circling, Metal};
use warmhold::heat::{
    Accuracy, Case, Circles, Cover, Face, FilmTable, Heater, Hollows, MOST_BESIDE, Model, ProbeKind, Ring, Run,
    Schedule, Shape, Surface, Thermostat, Torch, When, solve,
};
use whole::{
    alone, apart, casting, disc, film, flame, flux, march, nested, point, probe, readings, rectangle, still_air,
};

const SIZE: [f64; 3] = [0.4, 0.3, 0.1];

/// Two minutes of flame and two without, on a block in still air.
fn heated() -> Case {
    let mut case = casting(SIZE, 240.0);
    case.surfaces = [still_air(); 6];
    case.torches = vec![flux(disc(0.2, 0.15, 0.05), 1.5e5)];
    case.schedule = Schedule::Spans { on: vec![[0.0, 120.0]], end_s: 240.0 };
    case.probes = vec![point([0.2, 0.15, 0.0]), point([0.24, 0.17, 0.0]), point([0.2, 0.15, 0.03])];
    case
}

fn differ(a: &Run, b: &Run) -> f64 {
    [30.0, 119.0, 150.0, 240.0].map(|t| apart(&readings(a, t), &readings(b, t))).into_iter().fold(0.0, f64::max)
}

/// The torch of a case as a heater at the same times.
fn beside(case: &Case) -> Case {
    let torch = case.torches[0];
    let when = When::Times(vec![[0.0, 120.0]]);
    let schedule = Schedule::Spans { on: Vec::new(), end_s: 240.0 };
    Case { torches: Vec::new(), heaters: vec![Heater::new(torch, when)], schedule, ..case.clone() }
}

#[test]
fn a_heater_at_the_torchs_times_heats_as_the_torch() {
    for torch in [flux(disc(0.2, 0.15, 0.05), 1.5e5), flame(disc(0.2, 0.15, 0.05), 100.0)] {
        let torch = Case { torches: vec![torch], ..heated() };
        let (torch, heater) = (march(&torch, &nested(6, 0.2)), march(&beside(&torch), &nested(6, 0.2)));
        let off = differ(&torch, &heater);
        assert!(off < 0.02, "{off} K");
        assert!((heater.ledger.heaters_j / torch.ledger.torch_j - 1.0).abs() < 1e-4);
        assert!(heater.ledger.torch_j == 0.0 && torch.ledger.heaters_j == 0.0);
        assert!(heater.ledger.residual_j().abs() < 1e-9 * heater.ledger.scale_j());
    }
}

#[test]
fn every_face_takes_what_a_heater_gives_it() {
    let faces = [Face::XMin, Face::XMax, Face::YMin, Face::YMax, Face::Worked, Face::Back];
    let pocket = Hollows { boxes: vec![[[0.1, 0.3], [0.1, 0.2], [0.05, 0.08]]], ..Hollows::default() };
    for hollows in [Hollows::default(), pocket] {
        for face in faces {
            let mut case = casting(SIZE, 60.0);
            case.hollows = hollows.clone();
            let patch = rectangle([0.13, 0.05], [0.04, 0.03]);
            let torch = Torch { face, ..flux(patch, 1e5) };
            case.heaters = vec![Heater::new(torch, When::Times(vec![[5.0, 35.0]]))];
            let run = march(&case, &alone(6, 0.2));
            let expected = 1e5 * patch.area() * 30.0;
            assert!((run.ledger.heaters_j / expected - 1.0).abs() < 1e-9, "{face:?}: {}", run.ledger.heaters_j);
            assert!((run.ledger.stored_j / expected - 1.0).abs() < 1e-9, "{face:?}");
        }
    }
}

#[test]
fn heat_from_the_back_is_heat_from_the_face_upside_down() {
    let face = heated();
    let mut back = face.clone();
    back.torches[0].face = Face::Back;
    for probe in &mut back.probes {
        if let ProbeKind::Point { at } = &mut probe.kind {
            at[2] = SIZE[2] - at[2];
        }
    }
    let (face, back) = (march(&face, &nested(6, 0.2)), march(&back, &nested(6, 0.2)));
    let (off, bar) = (differ(&face, &back), face.curves[0].error_at(119.0) + back.curves[0].error_at(119.0));
    assert!(off <= bar.max(0.05), "{off} K against {bar} K");
}

#[test]
fn heat_on_a_side_is_heat_on_the_face_of_the_same_block_turned() {
    // The block stood on its end: what was depth is now x.
    let size = [0.3, 0.3, 0.2];
    let mut face = casting(size, 120.0);
    face.heaters = vec![Heater::new(flux(disc(0.15, 0.1, 0.04), 1.5e5), When::Always)];
    face.probes = vec![point([0.15, 0.1, 0.0]), point([0.15, 0.13, 0.02]), point([0.18, 0.1, 0.01])];
    let mut side = casting([0.2, 0.3, 0.3], 120.0);
    let torch = Torch { face: Face::XMin, ..flux(disc(0.15, 0.1, 0.04), 1.5e5) };
    side.heaters = vec![Heater::new(torch, When::Always)];
    side.probes = vec![point([0.0, 0.15, 0.1]), point([0.02, 0.15, 0.13]), point([0.01, 0.18, 0.1])];
    let (face, side) = (march(&face, &nested(8, 0.2)), march(&side, &nested(8, 0.2)));
    let off = apart(&readings(&face, 120.0), &readings(&side, 120.0));
    let bars = face.curves.iter().zip(&side.curves).map(|(a, b)| a.error_at(120.0) + b.error_at(120.0));
    let bar = bars.fold(0.05, f64::max);
    assert!(off <= bar, "{off} K against {bar} K");
}

#[test]
fn a_cover_over_a_whole_face_is_that_face() {
    let tables = FilmTable::of(|t| 4.0 + 0.02 * t);
    let draft = [film(60.0), Surface { film_table: Some(tables), emissivity: 0.3, ..film(0.0) }];
    for surface in draft {
        for face in [Face::Worked, Face::YMax] {
            let mut own = heated();
            own.surfaces[face as usize] = surface;
            let mut covered = heated();
            let whole = Shape::Rectangle { x: [0.0, 0.4], y: [0.0, if face == Face::Worked { 0.3 } else { 0.1 }] };
            covered.covers = vec![Cover { face, area: whole, surface, when: When::Always }];
            let (own, covered) = (march(&own, &nested(6, 0.2)), march(&covered, &nested(6, 0.2)));
            let off = differ(&own, &covered);
            assert!(off < 0.02, "{face:?}: {off} K");
            let losses = |run: &Run| [run.ledger.convection_j, run.ledger.radiation_j];
            let apart = apart(&losses(&own), &losses(&covered)) / own.ledger.scale_j();
            assert!(apart < 1e-4, "{face:?}: {apart}");
            assert!(covered.ledger.residual_j().abs() < 1e-9 * covered.ledger.scale_j());
        }
    }
}

#[test]
fn a_blanket_laid_on_after_work_keeps_warm_from_then_on_only() {
    let bare = heated();
    let mut covered = bare.clone();
    let area = disc(0.2, 0.15, 0.12);
    covered.covers = vec![Cover { face: Face::Worked, area, surface: Surface::ADIABATIC, when: When::AfterWork }];
    let (bare, covered) = (march(&bare, &nested(6, 0.2)), march(&covered, &nested(6, 0.2)));
    let [before, after] = [119.0, 240.0].map(|t| [&bare, &covered].map(|run| run.curves[0].at(t)));
    assert!((before[0] - before[1]).abs() < 1e-9, "{before:?}");
    let bar = bare.curves[0].error_at(240.0);
    assert!(after[1] - after[0] > 0.05 && after[1] - after[0] > bar, "{after:?}, bar {bar}");
    assert!(covered.ledger.convection_j < bare.ledger.convection_j);
}

/// A cover on the floor of a pocket took away what the worked face loses, not what the floor does.
#[test]
fn a_cover_over_a_pocket_changes_the_floor_by_the_floors_own_losses() {
    let mut case = casting(SIZE, 200.0);
    case.start_c = 300.0;
    case.surfaces[Face::Worked as usize] = film(50.0);
    let pocket = [[0.1, 0.3], [0.1, 0.2], [0.0, 0.05]];
    case.hollows = Hollows { boxes: vec![pocket], surface: film(5.0) };
    case.probes = vec![point([0.05, 0.05, 0.0])];
    let lost = |case: &Case| march(case, &alone(6, 0.2)).ledger.convection_j;
    let bare = lost(&case);
    let over = |area: Shape| {
        let cover = Cover { face: Face::Worked, area, surface: Surface::ADIABATIC, when: When::Always };
        lost(&Case { covers: vec![cover], ..case.clone() })
    };
    let whole = Shape::Rectangle { x: [0.0, 0.4], y: [0.0, 0.3] };
    // Film times area: the rim of 0.1 m2 at 50, the floor of 0.02 m2 and walls of 0.03 m2 at 5 W/m2K.
    let (rim, floor, walls) = (50.0 * 0.1, 5.0 * 0.02, 5.0 * 0.03);
    let all = rim + floor + walls;
    for (area, left) in [(rectangle([0.2, 0.15], [0.1, 0.05]), all - floor), (whole, walls)] {
        let share = over(area) / bare;
        assert!((share / (left / all) - 1.0).abs() < 0.06, "{share} for {}", left / all);
    }
}

#[test]
fn a_body_of_revolution_has_no_sides() {
    let mut case = heated();
    case.heaters = vec![Heater::new(Torch { face: Face::XMax, ..flux(disc(0.15, 0.05, 0.02), 1e4) }, When::Always)];
    let round = Accuracy { model: Model::Revolved, ..alone(6, 1.0) };
    assert_eq!(solve(&case, &round, &|_| true), Err(warmhold::heat::Error::NoSides));
    case.heaters[0].torch.face = Face::Back;
    assert!(solve(&case, &round, &|_| true).is_ok());
}

#[test]
fn two_covers_on_one_place_are_refused_unless_their_times_keep_them_apart() {
    let cover = |when: When| Cover { face: Face::Worked, area: disc(0.2, 0.15, 0.1), surface: film(1.0), when };
    let with = |covers: Vec<Cover>| Case { covers, ..heated() }.check();
    assert_eq!(with(vec![cover(When::Always), cover(When::AfterWork)]), Err(warmhold::heat::Error::CoversOverlap));
    assert!(with(vec![cover(When::InIntervals), cover(When::AfterWork)]).is_ok());
    let times = |from: f64, to: f64| cover(When::Times(vec![[from, to]]));
    assert!(with(vec![times(0.0, 60.0), times(60.0, 90.0)]).is_ok());
    assert_eq!(with(vec![times(0.0, 60.0), times(59.0, 90.0)]), Err(warmhold::heat::Error::CoversOverlap));
    let beside = Cover { area: disc(0.35, 0.15, 0.05), ..cover(When::Always) };
    assert!(with(vec![cover(When::Always), beside]).is_ok());
}

#[test]
fn a_thermostat_settles_where_its_share_of_power_makes_good_the_losses() {
    // A small block in a strong draft: it comes to rest while its pads are half on.
    let mut case = casting([0.1, 0.1, 0.03], 7200.0);
    case.surfaces = [film(60.0); 6];
    case.probes = vec![point([0.05, 0.05, 0.0])];
    let (set_c, band_k, strength) = (120.0, 20.0, 4e4);
    let pads =
        Torch { thermostat: Some(Thermostat { probe: 0, set_c, band_k }), ..flux(disc(0.05, 0.05, 0.04), strength) };
    case.torches = vec![pads];
    case.schedule = Schedule::Spans { on: vec![[0.0, 7200.0]], end_s: 7200.0 };
    case.output_s = vec![6000.0, 7200.0];
    let run = march(&case, &nested(6, 0.5));
    let read = run.curves[0].at(7200.0);
    assert!((run.curves[0].at(6000.0) - read).abs() < 0.25 * 0.5 && read < set_c && read > set_c - band_k, "{read}");
    let share = (set_c - read) / band_k;
    let full_j = strength * std::f64::consts::PI * 0.04 * 0.04 * 7200.0;
    assert!(run.ledger.torch_j < 0.95 * full_j && run.ledger.torch_j > share * full_j, "{share}");
    let schedule = Schedule::Spans { on: vec![[0.0, 6000.0]], end_s: 6000.0 };
    let late = Case { schedule, output_s: vec![6000.0], ..case };
    let late = march(&late, &nested(6, 0.5));
    let last_w = (run.ledger.torch_j - late.ledger.torch_j) / 1200.0;
    assert!((last_w / (share * full_j / 7200.0) - 1.0).abs() < 0.01, "{last_w} W, share {share}");
    let lost_w = (run.ledger.convection_j - late.ledger.convection_j) / 1200.0;
    assert!((lost_w / last_w - 1.0).abs() < 0.01, "{lost_w} W of {last_w} W");
    println!("{} steps, {} taken back", run.stats.steps, run.stats.rejected);
}

#[test]
fn work_on_the_floor_of_a_pocket_as_wide_as_the_casting_is_work_on_what_is_left() {
    let ring = Ring { groove: rectangle([0.2, 0.15], [0.02, 0.005]), width: 0.03, depth: 0.006 };
    let mut plain = heated();
    plain.probes.push(probe(ProbeKind::RingColdest(ring)));
    plain.probes.push(probe(ProbeKind::PatchHottest(disc(0.2, 0.15, 0.05))));
    let mut sunk = plain.clone();
    sunk.block.size[2] += 0.05;
    let above = [[0.0, 0.4], [0.0, 0.3], [0.0, 0.05]];
    sunk.hollows = Hollows { boxes: vec![above], surface: still_air() };
    for probe in &mut sunk.probes {
        if let ProbeKind::Point { at } = &mut probe.kind {
            at[2] += 0.05;
        }
    }
    assert_eq!((sunk.floor_depth(), sunk.thickness_under_the_patch()), (0.05, SIZE[2] + 0.05 - 0.05));
    let (plain, sunk) = (march(&plain, &nested(6, 0.2)), march(&sunk, &nested(6, 0.2)));
    let off = differ(&plain, &sunk);
    let bars = plain.curves.iter().zip(&sunk.curves).map(|(a, b)| a.error_at(119.0) + b.error_at(119.0));
    let bar = bars.fold(0.05, f64::max);
    assert!(off <= bar, "{off} K against {bar} K");
}

#[test]
fn a_torch_half_over_the_edge_of_a_pocket_is_refused() {
    let mut case = Case { probes: Vec::new(), ..heated() };
    case.hollows = Hollows { boxes: vec![[[0.2, 0.3], [0.1, 0.2], [0.0, 0.05]]], ..Hollows::default() };
    assert!(matches!(case.check(), Err(warmhold::heat::Error::OverAHollow { .. })));
    case.torches[0].patch = disc(0.25, 0.15, 0.03);
    assert!(case.check().is_ok());
    // A hole right through has no floor.
    case.hollows.boxes[0][2] = [0.0, 0.1];
    assert!(matches!(case.check(), Err(warmhold::heat::Error::OverAHollow { .. })));
}

/// A spot that circles, walked in stations by heaters that take turns, each for as long as the spot takes to the next.
fn walked(circles: usize, period: f64) -> Case {
    let (path, spot) = (0.04, 0.02);
    let mut case = casting([0.24, 0.24, 0.06], circles as f64 * period);
    let angle = |n: usize| std::f64::consts::TAU * n as f64 / MOST_BESIDE as f64;
    let at = |n: usize| disc(0.12 + path * angle(n).cos(), 0.12 + path * angle(n).sin(), spot);
    let own = period / MOST_BESIDE as f64;
    let times = |n: usize| (0..circles).map(move |circle| [n, n + 1].map(|n| circle as f64 * period + own * n as f64));
    let heater = |n: usize| {
        Heater::new(flux(at(n), 3000.0 / (std::f64::consts::PI * spot * spot)), When::Times(times(n).collect()))
    };
    case.heaters = (0..MOST_BESIDE).map(heater).collect();
    // It gives no heat; the grid takes its fineness from it, where the spot is looked at.
    case.torches = vec![flux(disc(0.12 + path, 0.12, 0.008), 0.0)];
    case.probes = vec![point([0.12 + path, 0.12, 0.0])];
    case
}

#[test]
fn a_resolved_circling_spot_swings_as_the_closed_form_says() {
    let (circles, period) = (5, 2.0);
    let run = march(&walked(circles, period), &nested(6, 1.0));
    let curve = &run.curves[0];
    let last = run.ran_until_s - period;
    let times = (0..400).map(|n| last + period * f64::from(n) / 400.0);
    let readings: Vec<f64> = times.map(|t| curve.at(t)).collect();
    // The metal warms from circle to circle; the mean of the circle around the peak is what it swings about.
    let mean = readings.iter().sum::<f64>() / 400.0;
    let peak = readings.iter().copied().fold(f64::MIN, f64::max);
    let metal = Metal::new(46.0, 7200.0, 500.0);
    let exact = Circling { power: 3000.0, path_radius: 0.04, spot_radius: 0.02, period }.swing(metal);
    println!("{:.1} K resolved, {exact:.1} K", peak - mean);
    // An even spot in stations against a Gaussian one of the same power and mean square radius.
    assert!(((peak - mean) / exact - 1.0).abs() < 0.06, "{} K against {exact} K", peak - mean);
}

#[test]
fn the_mean_of_circles_brings_the_heat_of_an_even_patch() {
    let even = heated();
    let mut circling = even.clone();
    circling.torches[0].circles = Some(Circles { path_radius: 0.03, spot_radius: 0.02 });
    let (even, circling) = (march(&even, &nested(8, 0.2)), march(&circling, &nested(8, 0.2)));
    assert!((circling.ledger.torch_j / even.ledger.torch_j - 1.0).abs() < 1e-9);
    let [middle_even, middle_circling] = [&even, &circling].map(|run| run.curves[0].at(119.0));
    assert!(middle_circling < middle_even - 5.0, "{middle_circling} {middle_even}");
    // Far away and later nobody can tell.
    let [late_even, late_circling] = [&even, &circling].map(|run| run.curves[2].at(240.0));
    assert!((late_circling - late_even).abs() < 1.0, "{late_circling} {late_even}");
}
