//! What instruments show: an infrared gun set wrong, and a contact probe that lags.

use heat::{Curve, STEFAN_BOLTZMANN, ZERO_CELSIUS_K};

/// What an infrared gun shows, Celsius.
///
/// Equation: `shown^4 = (true / set) (T^4 - surroundings^4) + surroundings^4`, temperatures in kelvin.
/// Symbols: `true` emissivity of the surface, `set` emissivity at which the gun is set, `T` the surface, `surroundings`
/// what it reflects, all Celsius at the border.
/// Valid for a grey surface seen at all wavelengths (the total-radiation form); a gun that looks at 8 to 14 um weighs the
/// hot surface less steeply, and bright metal has an emissivity of its own there, often lower.
/// Source: Stefan and Boltzmann's law (R1, `computed`).
pub fn gun_shows_c(surface_c: f64, surroundings_c: f64, [emissivity, set]: [f64; 2]) -> f64 {
    let radiance = |celsius: f64| STEFAN_BOLTZMANN * (celsius + ZERO_CELSIUS_K).powi(4);
    let background = radiance(surroundings_c);
    let seen = emissivity / set * (radiance(surface_c) - background) + background;
    (seen.max(0.0) / STEFAN_BOLTZMANN).powf(0.25) - ZERO_CELSIUS_K
}

/// What a contact probe shows some time after it touched, Celsius.
///
/// Equation: `d shown / dt = (surface - shown) / lag`, solved exactly over short straight pieces of the surface's curve.
/// Symbols: `lag` time constant, s; `start_c` the probe before it touches; `after_s` since it touched.
/// Valid for a probe of first order that takes no noticeable heat from the metal; one that stands a little off, or cools
/// the spot, reads lower for good.
/// Source: elementary.
pub fn probe_shows_c(surface: &Curve, touched_s: f64, (lag_s, start_c): (f64, f64), after_s: f64) -> f64 {
    const PIECES: usize = 200;
    let width = after_s / PIECES as f64;
    let fade = (-width / lag_s).exp();
    (0..PIECES).fold(start_c, |shown, n| {
        let [a, b] = [n, n + 1].map(|n| surface.at(touched_s + width * n as f64));
        let slope = (b - a) / width;
        // Once it has settled a first-order probe follows a straight line by the lag.
        if width > 0.0 { b - slope * lag_s + (shown - (a - slope * lag_s)) * fade } else { shown }
    })
}

#[cfg(test)]
mod tests {
    use heat::Sample;

    use super::*;

    fn straight(from_c: f64, rate: f64) -> Curve {
        let mut curve = Curve::default();
        for n in 0..=10 {
            let time_s = 10.0 * f64::from(n);
            curve.push(Sample {
                time_s,
                value_c: from_c + rate * time_s,
                rate_before: rate,
                rate_after: rate,
                grid_k: 0.0,
                time_k: 0.0,
                clock_s: 0.0,
            });
        }
        curve
    }

    #[test]
    fn a_gun_set_right_shows_the_surface_and_one_set_high_shows_less() {
        for celsius in [20.0, 100.0, 149.0, 260.0] {
            assert!((gun_shows_c(celsius, 20.0, [0.8, 0.8]) - celsius).abs() < 1e-9);
        }
        // Bright chrome, 149 C, gun at 0.95, by hand: (0.15/0.95 (422.15^4 - 293.15^4) + 293.15^4)^0.25 = 326.11 K.
        let fourth = |kelvin: f64| kelvin * kelvin * kelvin * kelvin;
        let by_hand: f64 = 0.15 / 0.95 * (fourth(422.15) - fourth(293.15)) + fourth(293.15);
        let shown = gun_shows_c(149.0, 20.0, [0.15, 0.95]);
        assert!((fourth(shown + 273.15) / by_hand - 1.0).abs() < 1e-9 && shown > 40.0 && shown < 65.0, "{shown}");
        assert!(gun_shows_c(149.0, 20.0, [0.8, 0.95]) < 149.0 && gun_shows_c(149.0, 20.0, [0.95, 0.8]) > 149.0);
    }

    #[test]
    fn a_probe_on_steady_metal_closes_its_gap_by_e_each_lag() {
        let shown = probe_shows_c(&straight(150.0, 0.0), 5.0, (4.0, 20.0), 12.0);
        assert!((shown - (150.0 - 130.0 * (-3.0_f64).exp())).abs() < 1e-9, "{shown}");
        assert_eq!(probe_shows_c(&straight(150.0, 0.0), 5.0, (4.0, 20.0), 0.0), 20.0);
    }

    #[test]
    fn a_probe_on_falling_metal_ends_up_behind_by_its_lag() {
        let shown = probe_shows_c(&straight(200.0, -0.5), 0.0, (3.0, 20.0), 60.0);
        let behind = 200.0 - 0.5 * 60.0 + 0.5 * 3.0;
        assert!((shown - behind).abs() < 1e-3, "{shown} {behind}");
    }
}
