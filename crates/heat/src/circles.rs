//! A torch moved in circles, as its mean over the ring that it sweeps.

/// Rings of even flux that stand for the mean.
const RINGS: usize = 48;

/// Circles of constant speed around the middle of a patch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circles {
    /// Radius of the circle that the middle of the spot goes, m, above 0.
    pub path_radius: f64,
    /// Radius of the spot of even flux, m, above 0.
    pub spot_radius: f64,
}

impl Circles {
    /// Radius of all that is swept, m.
    pub fn reach(&self) -> f64 {
        self.path_radius + self.spot_radius
    }

    /// Discs of even strength whose sum is the mean over a circle, outermost first: radius (m) and strength over that of an
    /// even patch of a radius with the same power; inner discs may take away again.
    ///
    /// Equation: a point at distance `d` from the middle is under the spot for the share
    /// `arccos((R² + d² - r²) / (2 R d)) / pi` of the time, all of it where `d + R < r`, none where `|d - R| > r`.
    /// Symbols: `R` radius of the path, `r` of the spot, m. The shares are made steps of 48 rings, scaled to the same power.
    /// Source: definition.
    pub(crate) fn discs(&self, patch_radius: f64) -> Vec<(f64, f64)> {
        let inner = (self.path_radius - self.spot_radius).max(0.0);
        let edge = |n: usize| inner + (self.reach() - inner) * n as f64 / RINGS as f64;
        let share = |n: usize| self.share(0.5 * (edge(n) + edge(n + 1)));
        let area = |n: usize| edge(n + 1) * edge(n + 1) - edge(n) * edge(n);
        // What lies within the inner edge is always under the spot, or never.
        let middle = if self.spot_radius > self.path_radius { 1.0 } else { 0.0 };
        let whole: f64 = (0..RINGS).map(|n| share(n) * area(n)).sum::<f64>() + middle * inner * inner;
        let scale = patch_radius * patch_radius / whole;
        let strength = |n: usize| if n < RINGS { scale * share(n) } else { 0.0 };
        let discs = (0..RINGS).rev().map(|n| (edge(n + 1), strength(n) - strength(n + 1)));
        let last = (inner, scale * middle - strength(0));
        discs.chain((inner > 0.0).then_some(last)).collect()
    }

    fn share(&self, distance: f64) -> f64 {
        let (path, spot) = (self.path_radius, self.spot_radius);
        if distance + path <= spot {
            return 1.0;
        }
        let cosine = (path * path + distance * distance - spot * spot) / (2.0 * path * distance);
        cosine.clamp(-1.0, 1.0).acos() / std::f64::consts::PI
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Strength at a distance from the middle.
    fn at(discs: &[(f64, f64)], distance: f64) -> f64 {
        discs.iter().filter(|(radius, _)| distance < *radius).map(|(_, strength)| strength).sum()
    }

    #[test]
    fn the_discs_carry_the_power_of_the_even_patch() {
        for (path_radius, spot_radius) in [(0.06, 0.03), (0.03, 0.03), (0.02, 0.05)] {
            let discs = Circles { path_radius, spot_radius }.discs(0.1);
            let power: f64 = discs.iter().map(|(radius, strength)| strength * radius * radius).sum();
            assert!((power / 0.01 - 1.0).abs() < 1e-12, "{power}");
        }
    }

    #[test]
    fn the_middle_stays_cold_inside_wide_circles_and_hot_inside_narrow_ones() {
        let wide = Circles { path_radius: 0.06, spot_radius: 0.03 }.discs(0.09);
        assert!(at(&wide, 0.02).abs() < 1e-12 && at(&wide, 0.06) > at(&wide, 0.085) && at(&wide, 0.085) > 0.0);
        let narrow = Circles { path_radius: 0.02, spot_radius: 0.05 }.discs(0.07);
        assert!(at(&narrow, 0.01) > at(&narrow, 0.05));
        // On the path the spot covers 2 asin(r / 2R) of a half turn.
        let share = 2.0 * (0.03_f64 / 0.12).asin() / std::f64::consts::PI;
        let scale = at(&wide, 0.06 + 1e-9) / share;
        let other = Circles { path_radius: 0.06, spot_radius: 0.03 }.share(0.08) * scale;
        assert!((at(&wide, 0.08) / other - 1.0).abs() < 0.03);
    }
}
