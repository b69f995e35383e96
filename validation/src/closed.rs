//! Checks that a closed form answers: crate `exact`.

use exact::{Disc, Heating, Metal, half_space, soak};

use crate::reference::Tolerance::{Absolute, Share};
use crate::reference::{Finding, Group};

/// Start and air, Celsius.
const START_C: f64 = 20.0;
/// The torch of Y1.
const TORCH: Heating = Heating { flux: 250e3, duration: 300.0 };
/// The disc of Y1.
const DISC: Disc = Disc { radius: 0.060 };

/// Y1's metal.
fn iron() -> Metal {
    Metal::new(46.0, 7200.0, 500.0)
}

/// The metal of N2, N3 and N5.
pub(crate) fn reference_iron() -> Metal {
    Metal::new(46.0, 7150.0, 510.0)
}

/// Distances along the face and depths of P3, m.
pub(crate) const P3_PLACES: [(&str, f64, f64); 8] = [
    ("r0", 0.0, 0.0),
    ("r20", 0.02, 0.0),
    ("r40", 0.04, 0.0),
    ("r60", 0.06, 0.0),
    ("r80", 0.08, 0.0),
    ("r120", 0.12, 0.0),
    ("d6", 0.0, 0.006),
    ("d25", 0.0, 0.025),
];

/// P3: time from torch-on in s, then Celsius at [`P3_PLACES`].
pub(crate) const P3: [(f64, [f64; 8]); 9] = [
    (60.0, [178.2164, 173.3665, 154.7896, 93.4769, 38.1932, 21.3205, 147.7997, 78.8322]),
    (150.0, [229.0305, 221.421, 195.3781, 124.0004, 58.5733, 27.696, 198.2203, 123.2575]),
    (300.0, [260.2742, 251.6881, 222.8971, 147.4884, 77.4013, 37.7488, 229.3569, 152.6954]),
    (310.0, [192.2511, 183.7151, 157.0399, 115.7324, 76.842, 38.317, 189.1132, 149.5443]),
    (330.0, [145.5385, 138.9684, 120.8504, 96.1049, 71.5588, 39.2632, 144.3651, 127.162]),
    (360.0, [109.0469, 105.1629, 94.5235, 79.7764, 64.1708, 39.6619, 108.5315, 100.5966]),
    (420.0, [75.3206, 73.5928, 68.7443, 61.6707, 53.5501, 38.4008, 75.1277, 72.0773]),
    (600.0, [43.9835, 43.5682, 42.3661, 40.501, 38.1549, 32.8599, 43.9422, 43.2776]),
    (1200.0, [26.6653, 26.6167, 26.4729, 26.2402, 25.9286, 25.1217, 26.6608, 26.5868]),
];

/// P4 and P4b: probe, limit in Celsius, seconds after torch-off, allowed deviation in s.
pub(crate) const P4: [(&str, &str, f64, f64, f64); 4] = [
    ("P4", "r40", 150.0, 12.6772, 0.02),
    ("P4", "r40", 120.0, 30.7026, 0.02),
    ("P4b", "r0", 50.0, 240.216, 0.1),
    ("P4b", "r0", 43.0, 312.305, 0.1),
];

/// All of them.
pub fn all() -> Vec<Finding> {
    [disc(), disc_off(), holds(), soaks(), finite_soaks(), powers(), half_spaces(), bar()].concat()
}

/// P1 and P2.
fn disc() -> Vec<Finding> {
    let p1 = Group::computed("P1", "K", Absolute(1e-4), "exact");
    let p2 = Group::computed("P2", "K", Absolute(1e-3), "exact");
    let axis = |z: f64| DISC.axis_rise(iron(), TORCH.flux, z, TORCH.duration);
    let steady = |r: f64| DISC.steady_rise(iron(), TORCH.flux, r, 0.0);
    vec![
        p1.finding("rise at the centre after 300 s", 240.274_16, axis(0.0)),
        p1.finding("rise 6 mm under the centre after 300 s", 209.356_911, axis(0.006)),
        p2.finding("steady rise at the centre", 326.086_957, steady(0.0)),
        p2.finding("steady rise at the rim", 207.593_404, steady(0.06)),
        p2.finding("steady mean rise", 276.791_205, DISC.steady_mean_rise(iron(), TORCH.flux)),
    ]
}

/// P3.
fn disc_off() -> Vec<Finding> {
    let group = Group::computed("P3", "C", Absolute(0.01), "exact");
    let place = |(at_s, expected): (f64, [f64; 8])| {
        P3_PLACES.into_iter().zip(expected).map(move |((name, r, z), expected)| {
            let got = START_C + DISC.rise_after(iron(), TORCH, r, z, at_s);
            group.finding(format!("{name} at {at_s} s"), expected, got)
        })
    };
    P3.into_iter().flat_map(place).collect()
}

/// P4 and P4b.
fn holds() -> Vec<Finding> {
    let hold = |(key, probe, limit_c, expected, allowed): (&'static str, &str, f64, f64, f64)| {
        let group = Group::computed(key, "s", Absolute(allowed), "exact");
        let radius = if probe == "r40" { 0.04 } else { 0.0 };
        let got = DISC.hold(iron(), TORCH, radius, 0.0, limit_c - START_C).unwrap_or(f64::NAN);
        group.finding(format!("{probe} below {limit_c} C after torch-off"), expected, got)
    };
    P4.into_iter().map(hold).collect()
}

/// P5 and N2.
fn soaks() -> Vec<Finding> {
    let p5 = Group::computed("P5", "1", Share(1e-4), "exact");
    let n2 = Group::computed("N2", "s", Share(5e-3), "exact");
    let shares = [
        (129.0 / 184.0, "129/184", 0.0706),
        (129.0 / 240.0, "129/240", 0.187_731),
        (49.0 / 104.0, "49/104", 0.271_891),
    ];
    let mut found: Vec<Finding> = shares
        .map(|(share, words, expected)| {
            p5.finding(format!("F at theta {words}"), expected, soak::fourier_number(share))
        })
        .into();
    let rows = [
        (204.0, 20.0, [20.1, 56.0, 125.9, 223.9, 503.7]),
        (260.0, 20.0, [53.6, 148.8, 334.8, 595.3, 1339.4]),
        (204.0, 100.0, [77.6, 215.5, 484.9, 862.1, 1939.8]),
    ];
    for (peak_c, body_c, holds) in rows {
        for (radius, expected) in [0.06, 0.1, 0.15, 0.2, 0.3].into_iter().zip(holds) {
            let got = Disc { radius }.longest_centre_hold(reference_iron(), (149.0 - body_c) / (peak_c - body_c));
            let words = format!("centre {peak_c} to 149 C, body {body_c} C, a {:.0} mm", 1e3 * radius);
            found.push(n2.finding(words, expected, got));
        }
    }
    found
}

/// N3.
fn finite_soaks() -> Vec<Finding> {
    let hold = Group::computed("N3", "s", Share(5e-3), "exact");
    let flux = Group::computed("N3", "kW/m2", Share(5e-3), "exact");
    let disc = Disc { radius: 0.15 };
    let rows = [(120.0, 193.26, 15.44), (1200.0, 83.48, 61.27), (3600.0, 70.06, 82.68)];
    let row = |(duration, flux_kw, hold_s): (f64, f64, f64)| {
        let torch = Heating { flux: disc.flux_for_centre_rise(reference_iron(), 184.0, duration), duration };
        let got = disc.hold(reference_iron(), torch, 0.0, 0.0, 129.0).unwrap_or(f64::NAN);
        let words = format!("a 150 mm, centre 20 to 204 C in {duration} s");
        [
            flux.finding(format!("{words}: flux"), flux_kw, torch.flux / 1e3),
            hold.finding(format!("{words}: hold to 149 C"), hold_s, got),
        ]
    };
    rows.into_iter().flat_map(row).collect()
}

/// N5.
fn powers() -> Vec<Finding> {
    let group = Group::computed("N5", "W", Share(1e-3), "exact");
    vec![
        group.finding("isothermal disc, 184 K", 2031.36, DISC.isothermal_power(iron(), 184.0)),
        group.finding("uniform flux, mean 184 K", 1879.57, DISC.uniform_flux_power(iron(), 184.0)),
    ]
}

/// P7, P8, P9 and P29.
fn half_spaces() -> Vec<Finding> {
    let steel = Metal { conductivity: 45.0, diffusivity: 1.4e-5 };
    let slab = Metal { conductivity: 45.0, diffusivity: 1.6e-5 };
    let soil = Metal { conductivity: 0.5, diffusivity: 0.138e-6 };
    let step_c = 35.0 + 215.0 * half_space::surface_step(steel, 0.025, 30.0);
    let flux_c = 35.0 + half_space::surface_flux(steel, 3.2e5, 0.025, 30.0);
    let slab_s = half_space::step_time(slab, (255.0 - 550.0) / (50.0 - 550.0), 0.08);
    let frost_m = half_space::step_depth(soil, (0.0 - 20.0) / (-15.0 - 20.0), 60.0 * 86_400.0);
    let at_depth = Absolute(0.1);
    vec![
        Group::computed("P7", "C", at_depth, "exact").finding(
            "25 mm after 30 s, face stepped to 250 C",
            118.499,
            step_c,
        ),
        Group::computed("P8", "C", at_depth, "exact").finding("25 mm after 30 s of 320 kW/m2", 79.3142, flux_c),
        Group::computed("P9", "s", Share(5e-3), "exact").finding(
            "255 C at 80 mm, face stepped 550 to 50 C",
            688.837,
            slab_s,
        ),
        Group::computed("P29", "m", Share(5e-3), "exact").finding("depth of 0 C after 60 days", 0.676_96, frost_m),
    ]
}

/// P12. The program has no boundary temperature that varies with time, so only the expected value itself is
/// confirmed, by a series of its own.
fn bar() -> Vec<Finding> {
    let group = Group::computed("P12", "C", Absolute(0.1), "series here");
    vec![group.finding("NAFEMS T3: 80 mm at 32 s", 36.6031, driven_bar(0.08, 32.0))]
}

/// Temperature (Celsius) in a bar held at 0 at one end and `100 sin(pi t/40)` at the other, from 0.
///
/// Equation: `T = g x/L + sum of (2/n pi)(-1)^n sin(n pi x/L) I`, `I` the convolution of `g'` with `exp(-b t)`,
/// `b = alpha (n pi/L)^2`. Symbols: `g` end temperature C, `L` length m, `alpha` diffusivity m2/s.
/// Valid for constant properties. Source: Carslaw and Jaeger, Duhamel's theorem (`memory`).
fn driven_bar(x: f64, time: f64) -> f64 {
    let (length, alpha) = (0.1, 35.0 / (7200.0 * 440.5));
    let pulse = std::f64::consts::PI / 40.0;
    let term = |n: i32| {
        let wave = f64::from(n) * std::f64::consts::PI;
        let decay = alpha * (wave / length).powi(2);
        let driven = decay * (pulse * time).cos() + pulse * (pulse * time).sin() - decay * (-decay * time).exp();
        let convolution = 100.0 * pulse * driven / (decay * decay + pulse * pulse);
        2.0 / wave * f64::from(1 - 2 * (n % 2)) * (wave * x / length).sin() * convolution
    };
    100.0 * (pulse * time).sin() * x / length + (1..200).map(term).sum::<f64>()
}
