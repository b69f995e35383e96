//! What physics demands of every run, on random cases.

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use warmhold::heat::{Case, Integrator, Schedule, Surface, TorchKind};
use whole::lottery::Lottery;
use whole::{alone, apart, casting, flux, iron, march, march_equally, point, readings, rectangle, table_iron};

fn few(cases: u32) -> Config {
    Config { cases, failure_persistence: None, rng_seed: RngSeed::Fixed(20), ..Config::default() }
}

/// Step error asked for where a tight run is compared with a law, K, and what the law may be missed by.
const TIGHT_K: f64 = 0.01;

/// Coldest and hottest of the start and of all that the casting can exchange with.
fn neighbours(case: &Case) -> [f64; 2] {
    let seen = |s: &Surface| {
        let pairs =
            [(s.film_coefficient, s.air_c), (s.emissivity, s.surroundings_c), (s.contact_conductance, s.contact_c)];
        pairs.into_iter().filter(|(strength, _)| *strength > 0.0).map(|(_, t)| t)
    };
    let all = case.surfaces.iter().flat_map(seen).chain([case.start_c]);
    all.fold([f64::MAX, f64::MIN], |[low, high], t| [low.min(t), high.max(t)])
}

/// Rise of the face of an insulated block under a flux all over, from above: half space plus filling up, K.
fn most_rise(case: &Case, flux: f64) -> f64 {
    let Schedule::Spans { on, .. } = &case.schedule else { unreachable!("the lottery draws spans") };
    let seconds = on[0][1] - on[0][0];
    let (k, capacity) = (case.material.conductivity(20.0), case.material.density() * case.material.specific_heat(20.0));
    2.0 * flux * (seconds / (std::f64::consts::PI * k * capacity)).sqrt()
        + flux * seconds / (capacity * case.block.size[2])
}

proptest! {
    #![proptest_config(few(12))]

    #[test]
    fn nothing_is_colder_than_all_around_it_or_hotter_than_its_source_allows(seed: u64) {
        let case = Lottery::new(seed).case();
        let [floor, roof] = neighbours(&case);
        let roof = match case.torches[0].kind {
            TorchKind::Flame { gas_c, .. } => gas_c,
            TorchKind::Flux { flux } if case.material.is_constant() => roof + most_rise(&case, flux),
            TorchKind::Flux { .. } => f64::INFINITY,
        };
        let run = march(&case, &alone(6, TIGHT_K));
        let [low, high] = run.span_c;
        prop_assert!(low >= floor - TIGHT_K, "{} K below {floor}: {case:?}", floor - low);
        prop_assert!(high <= roof + TIGHT_K, "{} K above {roof}: {case:?}", high - roof);
        let samples = run.curves.iter().flat_map(|c| c.samples());
        let under = samples.map(|s| floor - s.value_c).fold(f64::MIN, f64::max);
        println!("span under the floor {:.1e} K, readings {under:.1e} K", floor - low);
    }

    #[test]
    fn a_block_left_alone_stays_between_its_start_and_its_surroundings(seed: u64) {
        let mut lottery = Lottery::new(seed);
        let mut case = casting([lottery.between(0.05, 1.0), 0.2, lottery.between(0.02, 0.5)], 3600.0);
        case.material = if lottery.coin() { iron() } else { table_iron() };
        case.start_c = lottery.between(0.0, 500.0);
        for surface in &mut case.surfaces {
            *surface = Surface {
                film_coefficient: lottery.between(0.0, 500.0),
                film_table: None,
                air_c: lottery.between(0.0, 60.0),
                emissivity: lottery.between(0.0, 1.0),
                surroundings_c: lottery.between(0.0, 60.0),
                contact_conductance: lottery.between(0.0, 500.0),
                contact_c: lottery.between(0.0, 60.0),
            };
        }
        let [low, high] = march(&case, &alone(6, TIGHT_K)).span_c;
        let [floor, roof] = neighbours(&case);
        prop_assert!(low >= floor - TIGHT_K && high <= roof + TIGHT_K, "{low}..{high} in {floor}..{roof}");
    }

    #[test]
    fn a_stronger_torch_leaves_no_place_colder(seed: u64) {
        let case = Lottery::new(seed).case();
        let mut stronger = case.clone();
        match &mut stronger.torches[0].kind {
            TorchKind::Flux { flux } => *flux *= 1.1,
            TorchKind::Flame { film_coefficient, .. } => *film_coefficient *= 1.1,
        }
        let [weak, strong] = [&case, &stronger].map(|c| march_equally(c, 5, Integrator::Rodas4, 4.0));
        for &time_s in &case.output_s {
            for (probe, (w, s)) in readings(&weak, time_s).into_iter().zip(readings(&strong, time_s)).enumerate() {
                prop_assert!(s >= w - TIGHT_K, "probe {probe} at {time_s} s: {w} then {s}: {case:?}");
            }
            prop_assert!(strong.curves[0].at(time_s) > weak.curves[0].at(time_s));
        }
    }

    #[test]
    fn with_constant_properties_and_no_radiation_a_doubled_flux_doubles_the_rise(seed: u64) {
        let mut case = Lottery::new(seed).case();
        case.material = iron();
        case.start_c = 20.0;
        case.surfaces = [whole::film(25.0); 6];
        let patch = case.torches[0].patch;
        let [single, double, both] = [vec![flux(patch, 1e5)], vec![flux(patch, 2e5)], vec![flux(patch, 1e5); 2]]
            .map(|torches| march_equally(&Case { torches, ..case.clone() }, 5, Integrator::Rodas4, 4.0));
        for &time_s in &case.output_s {
            let rise = |run| readings(run, time_s).iter().map(|t| t - 20.0).collect::<Vec<f64>>();
            let twice: Vec<f64> = rise(&single).iter().map(|r| 2.0 * r).collect();
            // Coldest and hottest probes too: doubling does not change which point is which.
            prop_assert!(apart(&twice, &rise(&double)) < 1e-6, "{twice:?} {:?}", rise(&double));
            prop_assert!(apart(&rise(&both), &rise(&double)) < 1e-9);
        }
    }

    #[test]
    fn a_flame_lit_later_gives_the_same_curve_later(seed: u64) {
        let mut lottery = Lottery::new(seed);
        let mut case = lottery.case();
        // Nothing may happen before the flame.
        case.start_c = 20.0;
        let later = later(&case, lottery.between(10.0, 1000.0));
        let runs = [&case, &later.0].map(|c| march(c, &alone(5, 0.2)));
        for &time_s in &case.output_s {
            let off = apart(&readings(&runs[0], time_s), &readings(&runs[1], time_s + later.1));
            prop_assert!(off < 1e-6, "{off} K at {time_s} s: {case:?}");
        }
        // Nothing had happened; what a table of properties rounds is not heat.
        prop_assert!((runs[1].curves[0].at(later.1) - 20.0).abs() < 1e-4);
    }
}

fn later(case: &Case, delay_s: f64) -> (Case, f64) {
    let Schedule::Spans { on, end_s } = &case.schedule else { unreachable!("the lottery draws spans") };
    let on = on.iter().map(|span| span.map(|t| t + delay_s)).collect();
    let output_s = case.output_s.iter().map(|t| t + delay_s).collect();
    (Case { schedule: Schedule::Spans { on, end_s: end_s + delay_s }, output_s, ..case.clone() }, delay_s)
}

#[test]
fn a_small_patch_reads_the_same_wherever_it_lies_on_a_huge_face() {
    let at = |[x, y]: [f64; 2]| {
        let mut case = casting([1.6, 1.6, 0.4], 120.0);
        case.torches = vec![flux(rectangle([x, y], [0.03, 0.03]), 2e5)];
        case.schedule = Schedule::Spans { on: vec![[0.0, 60.0]], end_s: 120.0 };
        case.probes = [[0.0; 3], [0.02, 0.0, 0.0], [0.0, 0.045, 0.0], [0.0, 0.0, 0.01]]
            .map(|p| point([x + p[0], y + p[1], p[2]]))
            .to_vec();
        march(&case, &whole::nested(6, 0.2))
    };
    let middle = at([0.8, 0.8]);
    assert_eq!(middle.model, "quarter");
    for place in [[0.8, 0.5], [0.61, 0.93], [0.2, 1.4]] {
        let moved = at(place);
        assert_ne!(moved.model, "quarter");
        for time_s in [30.0, 60.0, 75.0, 120.0] {
            for (a, b) in middle.curves.iter().zip(&moved.curves) {
                let bar = a.error_at(time_s) + b.error_at(time_s);
                let off = (a.at(time_s) - b.at(time_s)).abs();
                assert!(off <= bar, "{off} K, bar {bar} K at {time_s} s, patch at {place:?}");
            }
        }
    }
}
