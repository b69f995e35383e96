//! The two properties that conduction needs.

/// A solid of constant properties.
///
/// Every solution of this crate takes the properties as uniform and independent of temperature.
/// Grey iron changes its conductivity by some tenth between 20 and 400 °C: pick values at the
/// middle of the range, and read the result as that exact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metal {
    /// Thermal conductivity, W/(m K). Positive.
    pub conductivity: f64,
    /// Thermal diffusivity, m²/s. Positive.
    pub diffusivity: f64,
}

impl Metal {
    /// A metal from `conductivity` in W/(m K), `density` in kg/m³ and `heat_capacity` in J/(kg K).
    #[must_use]
    pub fn new(conductivity: f64, density: f64, heat_capacity: f64) -> Self {
        let diffusivity = conductivity / (density * heat_capacity);
        Self { conductivity, diffusivity }
    }

    /// Diffusion length `√(α t)` in metres after `time` seconds; zero for a time of zero or less.
    #[must_use]
    pub fn diffusion_length(&self, time: f64) -> f64 {
        if time <= 0.0 { 0.0 } else { (self.diffusivity * time).sqrt() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn diffusivity_is_conductivity_over_volumetric_heat_capacity() {
        let iron = Metal::new(46.0, 7200.0, 500.0);
        approx::assert_relative_eq!(iron.diffusivity, 1.2778e-5, max_relative = 1e-4);
    }

    #[test]
    fn nothing_diffuses_before_the_start() {
        assert_eq!(Metal::new(46.0, 7200.0, 500.0).diffusion_length(-5.0), 0.0);
    }
}
