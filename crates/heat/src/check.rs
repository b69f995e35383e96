//! Refuses a case that the engine must not march.

use crate::beside::{MOST_BESIDE, Thermostat, When};
use crate::case::{Block, Case, Face, Flame, Interval, ProbeKind, Schedule, Surface, Torch, TorchKind};
use crate::cut::ACROSS;
use crate::error::Error;
use crate::shape::Shape;

impl Case {
    /// Whether every number is finite and in range, and every shape and probe lies on the casting.
    ///
    /// # Errors
    /// [`Error::OutOfRange`], [`Error::OffTheCasting`] or [`Error::NoSuchProbe`] for the first that is not.
    pub fn check(&self) -> Result<(), Error> {
        let Block { size } = self.block;
        size.iter().try_for_each(|&v| positive("casting length", v))?;
        finite("start temperature", self.start_c)?;
        self.surfaces.iter().try_for_each(check_surface)?;
        self.all_torches().try_for_each(|torch| self.check_torch(torch))?;
        self.check_beside()?;
        self.check_hollows()?;
        self.check_passes()?;
        self.check_probes()?;
        self.check_schedule()?;
        self.output_s.iter().try_for_each(|&t| at_least_zero("output time", t))
    }

    fn check_torch(&self, torch: &Torch) -> Result<(), Error> {
        self.on_a_face("torch", (&torch.patch, torch.face))?;
        if let Some(Thermostat { probe, set_c, band_k }) = torch.thermostat {
            self.check_target(probe, set_c, band_k)?;
        }
        if let Some(circles) = torch.circles {
            positive("radius of the torch's circles", circles.path_radius)?;
            positive("radius of the torch's spot", circles.spot_radius)?;
            let radius = torch.patch.half_width();
            let fits = matches!(torch.patch, Shape::Disc { .. }) && circles.reach() <= radius * (1.0 + 1e-9);
            demand("reach of the torch's circles", circles.reach(), fits, "within the patch, a disc")?;
        }
        match torch.kind {
            TorchKind::Flux { flux } => at_least_zero("torch flux", flux),
            TorchKind::Flame { film_coefficient, gas_c } => {
                positive("flame film coefficient", film_coefficient)?;
                finite("gas temperature", gas_c)
            }
        }
    }

    fn check_beside(&self) -> Result<(), Error> {
        let count = self.heaters.len() + self.covers.len();
        demand("number of heaters and covers", count as f64, count <= MOST_BESIDE, "at most 32")?;
        for cover in &self.covers {
            check_surface(&cover.surface)?;
            self.on_a_face("cover", (&cover.area, cover.face))?;
        }
        if self.covers_clash().is_some() {
            return Err(Error::CoversOverlap);
        }
        let times = self.heaters.iter().map(|heater| &heater.when).chain(self.covers.iter().map(|cover| &cover.when));
        let times = times.filter_map(|when| if let When::Times(times) = when { Some(times) } else { None });
        times.into_iter().try_for_each(|times| check_times("time beside the flame", times.as_flattened()))
    }

    fn on_a_face(&self, what: &str, (shape, face): (&Shape, Face)) -> Result<(), Error> {
        on_the_face(what, shape, ACROSS[face as usize / 2].map(|d| self.block.size[d]))
    }

    fn check_hollows(&self) -> Result<(), Error> {
        check_surface(&self.hollows.surface)?;
        for hollow in &self.hollows.boxes {
            for [low, high] in hollow {
                finite("side of a hollow", *low)?;
                positive("length of a hollow", high - low)?;
            }
        }
        if self.hollows.boxes.is_empty() {
            return Ok(());
        }
        let on_top = self.all_torches().filter(|torch| torch.face == Face::Worked);
        let torches = on_top.map(|torch| ("torch", &torch.patch));
        let passes = self.passes.iter().flat_map(|p| &p.list).map(|pass| ("pass", &pass.place));
        let (size, floor) = (self.block.size, self.floor_depth());
        let level = |shape: &Shape| floor < size[2] && self.hollows.floor_is_level(shape, size, floor);
        match torches.chain(passes).find(|(_, shape)| !level(shape)) {
            Some((what, _)) => Err(Error::OverAHollow { what: what.to_owned() }),
            None => Ok(()),
        }
    }

    fn check_passes(&self) -> Result<(), Error> {
        let Some(passes) = &self.passes else { return Ok(()) };
        if passes.list.is_empty() {
            return Err(Error::OutOfRange { what: "number of passes".into(), value: 0.0, must_be: "at least 1" });
        }
        at_least_zero("wait before the first pass", passes.first_after_s)?;
        for pass in &passes.list {
            self.on_a_face("pass", (&pass.place, Face::Worked))?;
            at_least_zero("arc power", pass.power)?;
            positive("arc time", pass.arc_s)?;
            at_least_zero("pause", pass.pause_s)?;
        }
        passes.halts.iter().try_for_each(|halt| at_least_zero("stop after a pass", halt.seconds))?;
        passes.cool_to.iter().try_for_each(|to| self.check_target(to.probe, to.temperature_c, to.at_most_s))
    }

    fn check_probes(&self) -> Result<(), Error> {
        let size = self.block.size;
        for probe in &self.probes {
            let what = format!("probe {}", probe.name);
            match &probe.kind {
                ProbeKind::Point { at } => {
                    let outside = at.iter().zip(size).any(|(&v, l)| !(v >= 0.0 && v <= l * (1.0 + 1e-12)));
                    if outside {
                        return Err(Error::OffTheCasting { what });
                    }
                    if !self.hollows.leave_metal(*at, size) {
                        return Err(Error::InAHollow { what });
                    }
                }
                ProbeKind::PatchMean(shape) | ProbeKind::PatchColdest(shape) | ProbeKind::PatchHottest(shape) => {
                    self.on_a_face(&what, (shape, Face::Worked))?;
                }
                ProbeKind::RingColdest(ring) | ProbeKind::RingHottest(ring) | ProbeKind::RingMean(ring) => {
                    self.on_a_face(&what, (&ring.groove, Face::Worked))?;
                    positive("ring width", ring.width)?;
                    at_least_zero("ring depth", ring.depth)?;
                }
            }
        }
        Ok(())
    }

    fn check_schedule(&self) -> Result<(), Error> {
        match &self.schedule {
            Schedule::Spans { on, end_s } => {
                positive("end of the run", *end_s)?;
                let times: Vec<f64> = on.iter().flatten().copied().chain([*end_s]).collect();
                check_times("flame time", &times)
            }
            Schedule::Cycles { heat_up, interval, reheat, after_s, .. } => {
                [heat_up, reheat].into_iter().try_for_each(|flame| self.check_flame(flame))?;
                at_least_zero("time after the last interval", *after_s)?;
                match *interval {
                    Interval::Fixed { seconds } => positive("interval", seconds),
                    Interval::UntilFalls { probe, temperature_c, at_most_s } => {
                        self.check_target(probe, temperature_c, at_most_s)
                    }
                }
            }
        }
    }

    fn check_flame(&self, flame: &Flame) -> Result<(), Error> {
        match *flame {
            Flame::For { seconds } => positive("flame time", seconds),
            Flame::Until { probe, temperature_c, at_most_s } => self.check_target(probe, temperature_c, at_most_s),
        }
    }

    fn check_target(&self, probe: usize, temperature_c: f64, at_most_s: f64) -> Result<(), Error> {
        if probe >= self.probes.len() {
            return Err(Error::NoSuchProbe { index: probe });
        }
        finite("target temperature", temperature_c)?;
        positive("longest time", at_most_s)
    }
}

impl Schedule {
    /// The longest that the schedule can take, s.
    pub fn longest_s(&self) -> f64 {
        match self {
            Schedule::Spans { end_s, .. } => *end_s,
            Schedule::Cycles { heat_up, interval, reheat, reheats, after_s } => {
                let wait = match *interval {
                    Interval::Fixed { seconds } => seconds,
                    Interval::UntilFalls { at_most_s, .. } => at_most_s,
                };
                longest_flame(heat_up) + *reheats as f64 * (wait + longest_flame(reheat)) + wait + after_s
            }
        }
    }

    /// The first flame: as it is, or for the time of the first span; none where no flame burns.
    pub fn first_flame(&self) -> Option<Flame> {
        match self {
            Schedule::Cycles { heat_up, .. } => Some(*heat_up),
            Schedule::Spans { on, .. } => on.first().map(|[on_s, off_s]| Flame::For { seconds: off_s - on_s }),
        }
    }

    /// The longest that flames burn in all, s.
    pub fn longest_flame_s(&self) -> f64 {
        match self {
            Schedule::Spans { on, .. } => on.iter().map(|span| span[1] - span[0]).sum(),
            Schedule::Cycles { heat_up, reheat, reheats, .. } => {
                longest_flame(heat_up) + *reheats as f64 * longest_flame(reheat)
            }
        }
    }
}

fn longest_flame(flame: &Flame) -> f64 {
    match *flame {
        Flame::For { seconds } => seconds,
        Flame::Until { at_most_s, .. } => at_most_s,
    }
}

fn check_times(what: &str, times: &[f64]) -> Result<(), Error> {
    times.iter().try_for_each(|&t| at_least_zero(what, t))?;
    let back = times.windows(2).find(|pair| pair[1] < pair[0]);
    back.map_or(Ok(()), |pair| demand(what, pair[1], false, "after the time before it"))
}

fn check_surface(surface: &Surface) -> Result<(), Error> {
    at_least_zero("film coefficient", surface.film_coefficient)?;
    at_least_zero("contact conductance", surface.contact_conductance)?;
    [surface.air_c, surface.surroundings_c, surface.contact_c]
        .iter()
        .try_for_each(|&t| finite("temperature of the surroundings", t))?;
    let table = surface.film_table.iter().flat_map(|table| table.coefficients);
    table.into_iter().try_for_each(|coefficient| at_least_zero("film coefficient of a table", coefficient))?;
    if (0.0..=1.0).contains(&surface.emissivity) {
        return Ok(());
    }
    Err(Error::OutOfRange { what: "emissivity".into(), value: surface.emissivity, must_be: "between 0 and 1" })
}

fn on_the_face(what: &str, shape: &Shape, size: [f64; 2]) -> Result<(), Error> {
    for [low, high] in shape.extent() {
        finite(what, low)?;
        positive(what, high - low)?;
    }
    if shape.overlap([0.0, size[0]], [0.0, size[1]]) > 0.0 {
        return Ok(());
    }
    Err(Error::OffTheCasting { what: what.to_owned() })
}

fn finite(what: &str, value: f64) -> Result<(), Error> {
    demand(what, value, value.is_finite(), "a finite number")
}

fn positive(what: &str, value: f64) -> Result<(), Error> {
    demand(what, value, value.is_finite() && value > 0.0, "finite and above 0")
}

fn at_least_zero(what: &str, value: f64) -> Result<(), Error> {
    demand(what, value, value.is_finite() && value >= 0.0, "finite and at least 0")
}

fn demand(what: &str, value: f64, good: bool, must_be: &'static str) -> Result<(), Error> {
    if good { Ok(()) } else { Err(Error::OutOfRange { what: what.to_owned(), value, must_be }) }
}
