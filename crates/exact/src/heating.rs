//! A torch that is on at constant flux and then off.

/// Constant flux for a while, starting at time zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heating {
    /// Net flux into the metal over the patch, W/m².
    pub flux: f64,
    /// How long it lasts, s.
    pub duration: f64,
}

impl Heating {
    /// Rise at `time` after the start, from the rise `per_flux` that unit flux would make.
    ///
    /// Switching off is a second, negative flux that starts at `duration` (superposition).
    pub(crate) fn superpose(self, time: f64, per_flux: impl Fn(f64) -> f64) -> f64 {
        self.flux * (per_flux(time) - per_flux(time - self.duration))
    }

    /// Time after switch-off until the rise falls below `limit`; see [`crate::Disc::hold`].
    pub(crate) fn hold(self, limit: f64, per_flux: impl Fn(f64) -> f64) -> Option<f64> {
        let after_off = |time: f64| self.superpose(self.duration + time, &per_flux);
        let above_for_ever = limit <= 0.0 && after_off(0.0) > limit;
        if above_for_ever {
            return Some(f64::INFINITY);
        }
        crate::root::first_fall_below(limit, 0.01 * self.duration, after_off)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TORCH: Heating = Heating { flux: 2.0, duration: 4.0 };

    #[test]
    fn superposition_is_the_difference_of_two_starts() {
        let root = |t: f64| t.max(0.0).sqrt();
        assert_eq!(TORCH.superpose(1.0, root), 2.0);
        assert_eq!(TORCH.superpose(4.0, root), 4.0);
        assert_eq!(TORCH.superpose(9.0, root), 2.0 * (3.0 - 5f64.sqrt()));
    }

    #[test]
    fn a_limit_at_the_start_temperature_is_never_reached() {
        let root = |t: f64| t.max(0.0).sqrt();
        assert_eq!(TORCH.hold(0.0, root), Some(f64::INFINITY));
        assert_eq!(TORCH.hold(4.0, root), None);
    }
}
