//! `cool` against closed forms: a disc on massive metal, and when a blanket lies there.

use warmhold::exact::{Disc, Heating, Metal};
use warmhold::scenario::read;
use warmhold::study::cool::{Blanket, Cool, Wishes, cool};

/// Massive metal that loses next to nothing under a disc of 60 mm radius, for five minutes.
const MASSIVE: &str = r#"title = "Massive"
casting = { length = "1.2 m", width = "1.2 m", depth = "0.6 m", start = "20 C" }
metal = { density = "7200 kg/m3", conductivity = "46 W/mK", specific_heat = "500 J/kgK" }
shop = { air = "20 C" }
faces = { film_coefficient = "0.01 W/m2K", emissivity = 0.0 }
patch = { disc = { radius = "60 mm" } }
torch = { flux = { flux = "250 kW/m2" } }
schedule = { spans = { on = [["0 s", "5 min"]], end = "10 min" } }
"#;

/// A warm block that cools for three hours before anyone heats it.
const WAITING: &str = r#"title = "Waiting"
casting = { length = "300 mm", width = "240 mm", depth = "80 mm", start = "180 C" }
metal = { density = "7200 kg/m3", conductivity = "46 W/mK", specific_heat = "500 J/kgK" }
shop = { air = "20 C" }
faces = { film_coefficient = "8 W/m2K", emissivity = 0.8 }
patch = { disc = { radius = "40 mm" } }
torch = { flux = { flux = "60 kW/m2" } }
schedule = { spans = { on = [["3 h", "3.02 h"]], end = "4 h" } }
accuracy = { cells_across = 4 }
"#;

fn cooled(text: &str, contours_c: &[f64]) -> Cool {
    let scenario = read(text, "cooldown.toml", &[]).unwrap_or_else(|problems| panic!("{problems}"));
    let blanket = Blanket { thickness_m: 0.1, conductivity_w_mk: 0.1 };
    let wishes = Wishes { blanket, limit_k_s: None, below_c: vec![60.0], contours_c: contours_c.to_vec() };
    let cool = cool(&scenario.case, &scenario.question, &wishes, &|_| true).expect("the case must march");
    cool.expect("nobody stops it")
}

#[test]
fn the_footprint_and_the_wait_of_a_disc_on_massive_metal_are_those_of_the_closed_form() {
    let contours_c = [80.0, 150.0, 220.0];
    let cool = cooled(MASSIVE, &contours_c);
    let (disc, metal) = (Disc { radius: 0.060 }, Metal::new(46.0, 7200.0, 500.0));
    let torch = Heating { flux: 250e3, duration: 300.0 };
    let exact_c = |radius: f64, time_s: f64| 20.0 + disc.rise_after(metal, torch, radius, 0.0, time_s);
    assert_eq!(
        (cool.from_s, cool.after.as_str(), cool.falls_at.as_str()),
        (300.0, "the last flame", "the hottest of the patch")
    );
    for (print, contour_c) in cool.footprint.iter().zip(contours_c) {
        assert_eq!(print.contour_c, contour_c);
        let radius_at = |time_s: f64, celsius: f64| {
            (0..2000).map(|n| 1e-4 * f64::from(n)).find(|r| exact_c(*r, time_s) < celsius).expect("a radius")
        };
        for (&time_s, &radius_m) in print.time_s.iter().zip(&print.radius_m) {
            // One grid tells temperatures to two kelvin, and places to half a step of the map.
            let [narrow_m, wide_m] = [2.0, -2.0].map(|off_k| radius_at(time_s, contour_c + off_k));
            let within = narrow_m - 1.3e-3..wide_m + 1.3e-3;
            assert!(within.contains(&radius_m), "{contour_c} C at {time_s} s: {radius_m} m, {within:?}");
        }
        let areas = print.covered_m2.iter().zip(&print.radius_m);
        assert!(areas.clone().all(|(area, r)| (area - std::f64::consts::PI * r * r).abs() < 1e-9), "{print:?}");
        let widest_m = print.time_s.iter().map(|time_s| radius_at(*time_s, contour_c)).fold(0.0, f64::max);
        assert!(widest_m > 0.02 && (print.reach_m - widest_m).abs() < cool.footprint_step_m, "{print:?}");
    }
    for wait in cool.bare.waits.iter().filter(|wait| wait.below_c > 45.0) {
        let wanted_s = disc.hold(metal, torch, 0.0, 0.0, wait.below_c - 20.0).expect("a hold");
        let (seconds, bar_s) = (wait.face_s.expect("it cools"), wait.face_error_s.expect("a bar"));
        assert!((seconds - wanted_s).abs() <= bar_s, "{wait:?}: {wanted_s} s");
        assert!(bar_s < 0.1 * wanted_s, "{wait:?}");
    }
    assert!(cool.bare.waits.iter().any(|wait| wait.below_c == 60.0), "{:?}", cool.bare.waits);
}

#[test]
fn a_blanket_changes_nothing_before_the_last_flame_is_off() {
    let cool = cooled(WAITING, &[]);
    let at_first_k = cool.blanketed.face_c[0] - cool.bare.face_c[0];
    assert!(at_first_k.abs() < 1.0, "{at_first_k} K before it lies there");
    // The patch falls to 60 C within seconds, by conduction.
    let pairs = cool.bare.waits.iter().zip(&cool.blanketed.waits);
    for (bare, under) in pairs.filter(|(bare, _)| bare.below_c < 45.0) {
        let [bare_s, under_s] = [bare, under].map(|wait| wait.casting_s.expect("it cools"));
        assert!(under_s > 1.1 * bare_s, "{bare:?} {under:?}");
    }
    assert_eq!(cool.blanket_over_m, [0.3, 0.24]);
}

/// The engine refuses two covers on one place.
#[test]
fn a_blanket_takes_the_place_of_what_the_scenario_lays_on_the_worked_face() {
    let lagged = |when: &str| {
        let thin = "blanket = { thickness = \"10 mm\", conductivity = \"0.1 W/mK\" }";
        let corner = "rectangle = { length = \"60 mm\", width = \"60 mm\" }, centre = [\"50 mm\", \"50 mm\"]";
        cooled(&format!("{WAITING}cover = [{{ on = \"worked\", {corner}, {thin}, {when} }}]\n"), &[])
    };
    let plain = cooled(WAITING, &[]);
    for when in ["when = \"always\"", "when = \"after work\"", "times = [[\"1 h\", \"9 h\"]]"] {
        let cool = lagged(when);
        assert!(cool.notes.iter().any(|note| note.contains("comes off when this blanket comes on")), "{when}");
        // The bare way has the scenario's own cover, and is slower for it; under the blanket nothing is left of it.
        let last_s =
            |way: &warmhold::study::cool::Way| way.waits.last().and_then(|wait| wait.casting_s).expect("it cools");
        assert!(last_s(&cool.bare) > last_s(&plain.bare), "{when}");
        if when.contains("after work") {
            let [own, alone] = [&cool, &plain].map(|cool| last_s(&cool.blanketed));
            assert!((own / alone - 1.0).abs() < 2e-3, "{own} s and {alone} s");
        }
    }
}

/// "Below 22 C" was called fit to measure at 20 ± 2 C on a casting that stayed near 10 C.
#[test]
fn a_casting_in_a_cold_or_hot_shop_is_not_called_fit_to_be_measured() {
    for air in ["10 C", "30 C"] {
        let cool = cooled(&WAITING.replace("air = \"20 C\"", &format!("air = \"{air}\"")), &[]);
        assert!(cool.bare.waits.iter().all(|wait| wait.what != "measure"), "{air}");
        assert!(cool.notes.iter().any(|note| note.contains("20 ± 2 C") && note.contains(air)), "{:?}", cool.notes);
    }
    assert!(cooled(WAITING, &[]).bare.waits.iter().any(|wait| wait.what == "measure"));
}

#[test]
fn the_edge_of_the_casting_is_not_the_end_of_the_map() {
    let print = |text: &str| cooled(text, &[21.0]).footprint.remove(0);
    let whole = print(&WAITING.replace("radius = \"40 mm\"", "radius = \"80 mm\""));
    assert!(!whole.beyond_the_map && (whole.area_m2 - 0.3 * 0.24).abs() < 1e-9, "{whole:?}");
    assert!(print(WAITING).beyond_the_map, "there the face goes on beyond the map");
}
