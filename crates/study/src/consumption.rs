//! What the torch uses up while it burns, and how much of it the metal gets.

use heat::{Case, Run, Torch, TorchKind};

use crate::HOUR_S;
use crate::outcome::Consumption;

/// Contents of acetylene cylinders over what may be drawn from them in an hour: a seventh (TP3, `memory`).
pub const ACETYLENE_HOURS: f64 = 7.0;
/// The same for older or cold cylinders: a tenth (TP3, `memory`).
pub const COLD_ACETYLENE_HOURS: f64 = 10.0;

const J_PER_KWH: f64 = 3.6e6;

/// What feeds the torch.
#[derive(Clone, Debug, PartialEq)]
pub enum Supply {
    /// A fuel gas.
    Gas(Gas),
    /// Electric current.
    Electricity {
        /// Power while it is switched on and no thermostat turns it down, W.
        power_w: f64,
        /// Share of it that enters the metal.
        share: f64,
    },
}

/// A fuel gas and how fast it is burnt.
#[derive(Clone, Debug, PartialEq)]
pub struct Gas {
    /// Name.
    pub fuel: String,
    /// Burnt in a second, kg/s.
    pub mass_rate: f64,
    /// The same by volume at 15 C and 101.325 kPa, m3/s.
    pub volume_rate: f64,
    /// Lower heating value of what is burnt in a second, W.
    pub power_w: f64,
    /// Volume of oxygen taken from cylinders for one volume of gas; none where the flame burns with air.
    pub oxygen_ratio: Option<f64>,
    /// Contents over what may be drawn in an hour, h; none for a gas that is not kept dissolved.
    pub contents_hours: Option<f64>,
}

impl Supply {
    /// Power released while the torch burns, W.
    pub fn power_w(&self) -> f64 {
        match self {
            Supply::Gas(gas) => gas.power_w,
            Supply::Electricity { power_w, .. } => *power_w,
        }
    }

    /// What the flames of a run used.
    ///
    /// Equation: `used = rate t`, `heat = power t`, `share = torch / heat`. Symbols: `t` flame time s, rate kg/s or m3/s,
    /// power W by the lower heating value, `torch` net heat that the casting got from the torch, J. Valid for a steady
    /// rate; lighting and setting the flame come on top. Source: heating values FU1 (`computed`), oxygen FU2
    /// (`practice`), contents TP3 (`memory`).
    /// Heaters that burn the torch's gas count by their share of its heat.
    pub(crate) fn consumption(&self, case: &Case, run: &Run) -> Consumption {
        let flame_s: f64 = run.heats().iter().map(|[on_s, off_s]| off_s - on_s).sum();
        let own = self.over(flame_s, run.ledger.torch_j);
        let more = 1.0 + beside_s(case, run) / flame_s.max(f64::MIN_POSITIVE);
        let with = |used: Option<f64>| used.map(|used| used * more);
        match self {
            Supply::Electricity { .. } => own,
            Supply::Gas(_) => Consumption {
                fuel_kg: with(own.fuel_kg),
                fuel_m3: with(own.fuel_m3),
                oxygen_m3: with(own.oxygen_m3),
                heat_j: own.heat_j * more,
                ..own
            },
        }
    }

    /// The same turned up or down by a factor, for a patch of so many times the area: gas does not follow the area,
    /// current that covers it does.
    pub(crate) fn turned(&self, strength: f64, area: f64) -> Supply {
        match self {
            Supply::Electricity { power_w, share } => {
                Supply::Electricity { power_w: power_w * strength * area, share: *share }
            }
            Supply::Gas(gas) => Supply::Gas(Gas {
                mass_rate: gas.mass_rate * strength,
                volume_rate: gas.volume_rate * strength,
                power_w: gas.power_w * strength,
                ..gas.clone()
            }),
        }
    }

    fn over(&self, flame_s: f64, torch_j: f64) -> Consumption {
        // A thermostat turns electric heat down: what it took shows in what the metal got.
        let heat_j = match self {
            Supply::Gas(_) => self.power_w() * flame_s,
            Supply::Electricity { share, .. } => torch_j / share,
        };
        let nothing = Consumption {
            fuel: None,
            flame_s,
            fuel_kg: None,
            fuel_m3: None,
            oxygen_m3: None,
            electricity_kwh: None,
            heat_j,
            into_metal_share: (heat_j > 0.0).then(|| torch_j / heat_j),
            cylinder_contents_m3: None,
        };
        match self {
            Supply::Electricity { .. } => Consumption { electricity_kwh: Some(heat_j / J_PER_KWH), ..nothing },
            Supply::Gas(gas) => Consumption {
                fuel: Some(gas.fuel.clone()),
                fuel_kg: Some(gas.mass_rate * flame_s),
                fuel_m3: Some(gas.volume_rate * flame_s),
                oxygen_m3: gas.oxygen_ratio.map(|ratio| ratio * gas.volume_rate * flame_s),
                cylinder_contents_m3: gas.contents_hours.map(|hours| hours * gas.volume_rate * HOUR_S),
                ..nothing
            },
        }
    }
}

/// Time of the torch that would burn what the heaters on its gas have burnt, s.
fn beside_s(case: &Case, run: &Run) -> f64 {
    let strength = |torch: &Torch| match torch.kind {
        TorchKind::Flux { flux } => flux * torch.patch.area(),
        TorchKind::Flame { film_coefficient, .. } => film_coefficient * torch.patch.area(),
    };
    let Some(torch) = case.torches.first().map(strength).filter(|strength| *strength > 0.0) else { return 0.0 };
    let heaters = case.heaters.iter().filter(|heater| heater.shares_supply);
    heaters.map(|heater| strength(&heater.torch) / torch * heater.when.lasted_s(run)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Acetylene, 1 m3/h, oxygen 1.1 to 1.
    fn acetylene() -> Gas {
        Gas {
            fuel: "acetylene".to_owned(),
            mass_rate: 1.1012 / HOUR_S,
            volume_rate: 1.0 / HOUR_S,
            power_w: 53.17e6 / HOUR_S,
            oxygen_ratio: Some(1.1),
            contents_hours: Some(ACETYLENE_HOURS),
        }
    }

    #[test]
    fn half_an_hour_of_flame_uses_half_of_an_hours_gas() {
        let used = Supply::Gas(acetylene()).over(1800.0, 0.3 * 26.585e6);
        let close = |got: Option<f64>, expected: f64| (got.unwrap() / expected - 1.0).abs() < 1e-12;
        assert!(close(used.fuel_m3, 0.5) && close(used.fuel_kg, 0.5506) && close(used.oxygen_m3, 0.55));
        assert!(close(Some(used.heat_j), 26.585e6) && close(used.into_metal_share, 0.3));
        // The contents go with the rate, not with the time.
        assert!(close(used.cylinder_contents_m3, 7.0));
    }

    #[test]
    fn current_is_counted_in_kilowatt_hours_and_no_flame_has_no_share() {
        let heater = Supply::Electricity { power_w: 2000.0, share: 0.8 };
        let used = heater.over(5400.0, 0.8 * 3.0 * 3.6e6).electricity_kwh.unwrap();
        assert!((used - 3.0).abs() < 1e-12, "{used}");
        let off = heater.over(0.0, 0.0);
        assert_eq!((off.electricity_kwh, off.into_metal_share, off.fuel), (Some(0.0), None, None));
    }
}
