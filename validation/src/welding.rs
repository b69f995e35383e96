//! What an arc brings, and how long its bead takes from 800 to 500 C.

use exact::Weld;

use crate::Error;
use crate::chain::read;
use crate::reference::Tolerance::Share;
use crate::reference::{Finding, Group};

/// P26: plate in Celsius, seconds, transition thickness in mm, for 1 kJ/mm.
const P26: [[f64; 3]; 5] = [
    [20.0, 5.2885, 14.659],
    [100.0, 6.6429, 15.659],
    [150.0, 7.8462, 16.432],
    [204.0, 9.659, 17.455],
    [260.0, 12.5, 18.832],
];

/// All of them.
///
/// # Errors
/// When a scenario has problems.
pub fn all() -> Result<Vec<Finding>, Error> {
    Ok([cooling(), arcs()?].concat())
}

/// P26.
fn cooling() -> Vec<Finding> {
    let [seconds, millimetres] = ["s", "mm"].map(|unit| Group::computed("P26", unit, Share(5e-4), "exact"));
    let row = |[plate_c, expected_s, expected_mm]: [f64; 3]| {
        let weld = Weld { heat_input: 1e6, plate_c };
        [
            seconds.finding(
                format!("800 to 500 C, thick plate at {plate_c} C, 1 kJ/mm"),
                expected_s,
                weld.thick_plate(1.0),
            ),
            millimetres.finding(
                format!("transition thickness, plate at {plate_c} C, 1 kJ/mm"),
                expected_mm,
                1e3 * weld.transition_thickness(),
            ),
        ]
    };
    P26.into_iter().flat_map(row).collect()
}

/// AR3.
fn arcs() -> Result<Vec<Finding>, Error> {
    let group = Group::computed("AR3", "W", Share(1e-6), "scenario");
    Ok(vec![
        group.finding("MMA, 24 V, 120 A", 2304.0, power("MMA", 24)?),
        group.finding("TIG, 12 V, 120 A", 864.0, power("TIG", 12)?),
    ])
}

/// Net power of an arc of 120 A as the scenario reads it, W.
fn power(process: &str, volts: u32) -> Result<f64, Error> {
    let text = format!(
        "casting = {{ length = \"1 m\", width = \"0.8 m\", depth = \"0.4 m\", metal = \"grey iron 250\", start = \"20 C\" }}
shop = {{ air = \"20 C\" }}
faces = {{ film_coefficient = \"8 W/m2K\", emissivity = 0.8 }}
patch = {{ disc = {{ radius = \"60 mm\" }} }}
groove = {{ length = \"60 mm\", width = \"20 mm\", depth = \"6 mm\" }}
torch = {{ flux = {{ flux = \"200 kW/m2\" }} }}
schedule.cycles = {{ heat_up = {{ for = \"60 s\" }}, interval = \"5 min\", reheat = {{ for = \"60 s\" }}, reheats = 0 }}
passes = {{ per_heat = 1, first_after = \"20 s\", arc_time = \"20 s\", pause = \"60 s\", arc = {{ process = \"{process}\", volts = {volts}, amps = 120 }} }}
"
    );
    let case = read(&text)?.case;
    Ok(case.passes.and_then(|passes| passes.list.first().map(|pass| pass.power)).unwrap_or(f64::NAN))
}
