//! Heaters, covers, thermostats and circles: from the file to the case.

use heat::{Circles, Cover, Face, Shape, Thermostat, TorchKind, When};
use scenario::{DEMONSTRATION, Override, Scenario, read};

fn changed(changes: &[&str]) -> Scenario {
    let changes: Vec<Override> = changes.iter().map(|change| Override::parse(change).unwrap()).collect();
    read(DEMONSTRATION, "changed.toml", &changes).unwrap_or_else(|problems| panic!("{problems}"))
}

fn flux(kind: TorchKind) -> f64 {
    let TorchKind::Flux { flux } = kind else { panic!("a flux") };
    flux
}

#[test]
fn a_soft_flame_is_a_share_of_the_torch_over_the_same_patch() {
    let case = changed(&["heater=[{ when = \"in intervals\", strength = \"30 %\" }]"]).case;
    let (own, soft) = (&case.torches[0], &case.heaters[0]);
    assert_eq!((soft.torch.patch, soft.torch.face, soft.when.clone()), (own.patch, Face::Worked, When::InIntervals));
    assert!((flux(soft.torch.kind) / flux(own.kind) - 0.3).abs() < 1e-12);
}

#[test]
fn pads_on_the_back_have_a_place_times_and_a_thermostat_of_their_own() {
    let pads = "heater=[{ on = \"back\", rectangle = { length = \"0.6 m\", width = \"0.4 m\" }, flux = \"40 kW/m2\", \
                times = [[\"0 s\", \"10 min\"]], thermostat = { set = \"200 C\", reads = \"ring_coldest\", band = \"5 K\" } }]";
    let case = changed(&[pads]).case;
    let heater = &case.heaters[0];
    let [x, y] = [0.5 * case.block.size[0], 0.5 * case.block.size[1]];
    let Shape::Rectangle { x: along, y: across } = heater.torch.patch else { panic!("a rectangle") };
    assert!((along[0] - (x - 0.3)).abs() < 1e-9 && (across[1] - (y + 0.2)).abs() < 1e-9);
    assert_eq!((heater.torch.face, flux(heater.torch.kind)), (Face::Back, 40e3));
    assert_eq!(heater.when, When::Times(vec![[0.0, 600.0]]));
    let probe = case.probes.iter().position(|probe| probe.name == "ring_coldest").unwrap();
    assert_eq!(heater.torch.thermostat, Some(Thermostat { probe, set_c: 200.0, band_k: 5.0 }));
}

#[test]
fn a_cover_changes_what_it_names_and_keeps_the_rest_of_its_face() {
    let door = "cover=[{ on = \"worked\", film_coefficient = \"25 W/m2K\", times = [[\"5 min\", \"8 min\"]] }, \
                { on = \"x_min\", blanket = { thickness = \"25 mm\", conductivity = \"0.1 W/mK\" }, when = \"always\" }]";
    let case = changed(&[door]).case;
    let [open, blanket] = &case.covers[..] else { panic!("two covers") };
    let bare = &case.surfaces[Face::Worked as usize];
    assert_eq!((open.surface.film_coefficient, open.surface.emissivity), (25.0, bare.emissivity));
    let Cover { face, area, surface, when } = blanket;
    assert_eq!((*face, when, surface.emissivity), (Face::XMin, &When::Always, 0.0));
    assert_eq!(*area, Shape::Rectangle { x: [0.0, case.block.size[1]], y: [0.0, case.block.size[2]] });
    assert!(surface.film_coefficient < 4.0);
}

#[test]
fn electric_heat_takes_a_thermostat_and_comes_from_the_back() {
    let torch = "torch={ on = \"back\", electric = { power_density = \"5 W/cm2\", thermostat = { set = \"400 F\", reads = \"ring_coldest\" } } }";
    let case = changed(&[torch]).case;
    let own = case.torches[0].thermostat.unwrap();
    assert_eq!((case.torches[0].face, own.band_k), (Face::Back, 10.0));
    assert!((own.set_c - 400.0 / 1.8 + 32.0 / 1.8).abs() < 1e-9);
}

#[test]
fn circles_reach_the_case_and_the_question() {
    let torch = "torch.circles={ diameter = \"200 mm\", spot = \"60 mm\", period = \"0.8 s\" }";
    let scenario = changed(&[torch]);
    assert_eq!(scenario.case.torches[0].circles, Some(Circles { path_radius: 0.1, spot_radius: 0.03 }));
    assert_eq!(scenario.question.circle_s, Some(0.8));
}

#[test]
fn a_patch_in_a_pocket_counts_its_depth_from_the_floor() {
    let pocket = "casting.hollow=[{ from = [\"0.6 m\", \"0.3 m\", \"0 m\"], to = [\"1.8 m\", \"1.2 m\", \"80 mm\"] }]";
    let probe = "probes={ deep = { from_patch_centre = [\"0 mm\", \"0 mm\", \"20 mm\"] } }";
    let case = changed(&[pocket, probe]).case;
    assert_eq!(case.floor_depth(), 0.08);
    let at = |name: &str| case.probes.iter().find(|probe| probe.name == name).map(|probe| probe.kind).unwrap();
    let heat::ProbeKind::Point { at: deep } = at("deep") else { panic!("a point") };
    let heat::ProbeKind::Point { at: centre } = at("patch_centre") else { panic!("a point") };
    assert!((deep[2] - 0.1).abs() < 1e-12 && centre[2] == 0.08);
}
