//! What the schedule asks of the person with the torch, in plain numbers: for a card.

use heat::{Case, Flame, Interval, Schedule, Shape};

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

/// The schedule as an instruction.
#[derive(Clone, Debug, PartialEq)]
pub struct Instruction {
    /// The patch to heat; none without a torch.
    pub patch: Option<HeatedPatch>,
    /// Length and width of the groove, m; none without a ring.
    pub groove_m: Option<[f64; 2]>,
    /// Middle of the groove from that of the patch along x and y, m; none without both.
    pub groove_from_patch_m: Option<[f64; 2]>,
    /// First heating; none for spans by the clock.
    pub first: Option<FlameOff>,
    /// Each reheat; none where there is none.
    pub reheat: Option<FlameOff>,
    /// The interval; none for spans by the clock.
    pub come_back: Option<ComeBack>,
    /// From flame off to the first arc, s.
    pub first_arc_s: Option<f64>,
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
        groove_from_patch_m: groove.zip(patch).map(|(groove, patch)| {
            let (groove, patch) = (groove.centre(), patch.centre());
            [groove[0] - patch[0], groove[1] - patch[1]]
        }),
        first,
        reheat,
        come_back,
        first_arc_s: case.passes.as_ref().map(|passes| passes.first_after_s),
        places: case.probes.iter().map(|probe| probe.name.clone()).collect(),
    }
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
