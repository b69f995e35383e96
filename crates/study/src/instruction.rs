//! What the schedule asks of the person with the torch, in plain numbers: for a card.

use heat::{Case, Face, Flame, Interval, Passes, Schedule, Shape, TorchKind};

use crate::{Span, Supply};

/// The heated patch as one would chalk it on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HeatedPatch {
    /// A circle.
    Disc {
        /// Diameter, m.
        diameter_m: f64,
    },
    /// A rectangle.
    Rectangle {
        /// Length along x and width along y, m.
        sides_m: [f64; 2],
    },
}

/// When a flame goes off.
#[derive(Clone, Debug, PartialEq)]
pub enum FlameOff {
    /// After a fixed time.
    After {
        /// s.
        seconds: f64,
    },
    /// When a place reads a temperature.
    WhenReads {
        /// Name of the probe.
        probe: String,
        /// Celsius.
        temperature_c: f64,
        /// At the latest after so long, s.
        at_most_s: f64,
    },
}

/// When the flame comes back.
#[derive(Clone, Debug, PartialEq)]
pub enum ComeBack {
    /// A fixed time after flame off.
    After {
        /// s.
        seconds: f64,
    },
    /// When a place has fallen to a temperature.
    WhenFalls {
        /// Name of the probe.
        probe: String,
        /// Celsius.
        temperature_c: f64,
        /// At the latest after so long, s.
        at_most_s: f64,
    },
}

/// What a torch brings, in the number that its user can hold it against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TorchHeat {
    /// A net flux into the metal.
    Flux {
        /// W/m2.
        flux_w_per_m2: f64,
    },
    /// Hot gas.
    Gas {
        /// Celsius.
        gas_c: f64,
    },
}

/// What a schedule was computed for: another torch, start or way of working makes another answer.
#[derive(Clone, Debug, PartialEq)]
pub struct MadeFor {
    /// What feeds the torch, where it is known.
    pub supply: Option<Supply>,
    /// What each torch brings.
    pub torches: Vec<TorchHeat>,
    /// Whether a torch heats another face than the worked one.
    pub other_face: bool,
    /// Whether a torch is moved in circles.
    pub circles: bool,
    /// The casting as work begins, Celsius.
    pub start_c: f64,
    /// Air at the worked face, Celsius.
    pub air_c: f64,
    /// Depth down to which the ring is judged, m: that of the groove unless stated; none without a ring.
    pub depth_m: Option<f64>,
    /// The welding; none without passes.
    pub work: Option<Work>,
}

/// How the beads follow each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Work {
    /// From flame off to the first arc, s.
    pub first_after_s: f64,
    /// Net power of the arc, W: lowest and highest of all beads.
    pub power_w: Span,
    /// Arc time, s.
    pub arc_s: Span,
    /// From the end of an arc to the next, s.
    pub pause_s: Span,
}

/// The schedule as an instruction.
#[derive(Clone, Debug, PartialEq)]
pub struct Instruction {
    /// The patch to heat; none without a torch.
    pub patch: Option<HeatedPatch>,
    /// Length and width of the groove, m; none without a ring.
    pub groove_m: Option<[f64; 2]>,
    /// Whether the groove is round.
    pub groove_round: bool,
    /// Middle of the patch from the corner `x_min`, `y_min`, m; none without a torch on the worked face.
    pub patch_middle_m: Option<[f64; 2]>,
    /// Middle of the groove from that of the patch along x and y, m; none without both.
    pub groove_from_patch_m: Option<[f64; 2]>,
    /// First heating; none for spans by the clock.
    pub first: Option<FlameOff>,
    /// Each reheat; none where there is none.
    pub reheat: Option<FlameOff>,
    /// The interval; none for spans by the clock.
    pub come_back: Option<ComeBack>,
    /// What all of it was computed for.
    pub made_for: MadeFor,
    /// Names that a log may use as its place.
    pub places: Vec<String>,
}

/// The instruction of a case.
pub fn instruction(case: &Case, question: &crate::Question) -> Instruction {
    let flame = |flame: &Flame| match *flame {
        Flame::For { seconds } => FlameOff::After { seconds },
        Flame::Until { probe, temperature_c, at_most_s } => {
            FlameOff::WhenReads { probe: name(case, probe), temperature_c, at_most_s }
        }
    };
    let (first, reheat, come_back) = match &case.schedule {
        Schedule::Spans { .. } => (None, None, None),
        Schedule::Cycles { heat_up, interval, reheat, reheats, .. } => {
            (Some(flame(heat_up)), (*reheats > 0).then(|| flame(reheat)), Some(wait(case, interval)))
        }
    };
    let patch = case.torches.first().map(|torch| torch.patch);
    let groove = question.ring.map(|(ring, _)| ring.groove);
    let sides = |shape: Shape| shape.extent().map(|[low, high]| high - low);
    Instruction {
        patch: patch.map(heated),
        groove_m: groove.map(sides),
        groove_round: matches!(groove, Some(Shape::Disc { .. })),
        patch_middle_m: case.torches.first().filter(|torch| torch.face == Face::Worked).map(|t| t.patch.centre()),
        groove_from_patch_m: groove.zip(patch).map(|(groove, patch)| {
            let (groove, patch) = (groove.centre(), patch.centre());
            [groove[0] - patch[0], groove[1] - patch[1]]
        }),
        first,
        reheat,
        come_back,
        made_for: made_for(case, question),
        places: case.probes.iter().map(|probe| probe.name.clone()).collect(),
    }
}

fn made_for(case: &Case, question: &crate::Question) -> MadeFor {
    MadeFor {
        supply: question.supply.clone(),
        torches: case.torches.iter().map(|torch| brings(torch.kind)).collect(),
        other_face: case.torches.iter().any(|torch| torch.face != Face::Worked),
        circles: case.torches.iter().any(|torch| torch.circles.is_some()),
        start_c: case.start_c,
        air_c: case.surfaces[Face::Worked as usize].air_c,
        depth_m: question.ring.map(|(ring, _)| ring.depth),
        work: case.passes.as_ref().and_then(work),
    }
}

fn brings(kind: TorchKind) -> TorchHeat {
    match kind {
        TorchKind::Flux { flux } => TorchHeat::Flux { flux_w_per_m2: flux },
        TorchKind::Flame { gas_c, .. } => TorchHeat::Gas { gas_c },
    }
}

fn work(passes: &Passes) -> Option<Work> {
    let over = |of: fn(&heat::Pass) -> f64| crate::touching::span(passes.list.iter().map(of));
    Some(Work {
        first_after_s: passes.first_after_s,
        power_w: over(|pass| pass.power)?,
        arc_s: over(|pass| pass.arc_s)?,
        pause_s: over(|pass| pass.pause_s)?,
    })
}

fn name(case: &Case, probe: usize) -> String {
    case.probes.get(probe).map_or_else(String::new, |probe| probe.name.clone())
}

fn wait(case: &Case, interval: &Interval) -> ComeBack {
    match *interval {
        Interval::Fixed { seconds } => ComeBack::After { seconds },
        Interval::UntilFalls { probe, temperature_c, at_most_s } => {
            ComeBack::WhenFalls { probe: name(case, probe), temperature_c, at_most_s }
        }
    }
}

fn heated(patch: Shape) -> HeatedPatch {
    match patch {
        Shape::Disc { radius, .. } => HeatedPatch::Disc { diameter_m: 2.0 * radius },
        Shape::Rectangle { x, y } => HeatedPatch::Rectangle { sides_m: [x[1] - x[0], y[1] - y[0]] },
    }
}
