//! What is physically there, as plain SI numbers.

use crate::beside::{Cover, Heater, Thermostat};
use crate::work::Passes;
use crate::{Circles, FilmTable, Hollows, Material, STEFAN_BOLTZMANN, Shape, ZERO_CELSIUS_K};

/// Emissivity of the outside of a blanket (`practice`).
const CLOTH_EMISSIVITY: f64 = 0.9;

/// A rectangular block of metal; the worked face is its top, `z = 0`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Lengths along x, y and depth z, m.
    pub size: [f64; 3],
}

/// The six faces in their fixed order; `as usize` is the index everywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// x = 0.
    XMin,
    /// x = length.
    XMax,
    /// y = 0.
    YMin,
    /// y = width.
    YMax,
    /// z = 0, where the torch works.
    Worked,
    /// z = depth.
    Back,
}

/// What one face exchanges with its surroundings, at all times, also under the flame.
///
/// `q = (film + contact) (T - T_air) + emissivity sigma (T^4 - T_surroundings^4)`, q in W/m2 leaving the metal,
/// T in kelvin in the second term. All zero is an adiabatic face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surface {
    /// Film coefficient to the air, W/m2K, at least 0.
    pub film_coefficient: f64,
    /// Film coefficient over surface temperature, in place of `film_coefficient`.
    pub film_table: Option<FilmTable>,
    /// Air temperature, Celsius.
    pub air_c: f64,
    /// Emissivity, 0 to 1.
    pub emissivity: f64,
    /// Temperature of the surroundings that the face sees, Celsius.
    pub surroundings_c: f64,
    /// Conductance into what the casting stands on, W/m2K, at least 0; booked apart from convection.
    pub contact_conductance: f64,
    /// Temperature of what the casting stands on, Celsius.
    pub contact_c: f64,
}

impl Surface {
    /// A face that exchanges nothing.
    pub const ADIABATIC: Surface = Surface {
        film_coefficient: 0.0,
        film_table: None,
        air_c: 20.0,
        emissivity: 0.0,
        surroundings_c: 20.0,
        contact_conductance: 0.0,
        contact_c: 20.0,
    };

    /// Whether it exchanges nothing at all.
    pub fn exchanges_nothing(&self) -> bool {
        let films = self.film_coefficient == 0.0 && self.film_table.is_none();
        films && self.emissivity == 0.0 && self.contact_conductance == 0.0
    }

    /// Film coefficient at a surface temperature in Celsius, W/m2K: that of the table, where there is one.
    pub fn film_at(&self, surface_c: f64) -> f64 {
        self.film_table.map_or(self.film_coefficient, |table| table.at(surface_c))
    }
}

impl Surface {
    /// The same under a blanket that lets pass 1 W/m2K over its resistance in m2K/W. What crosses it leaves its outside by
    /// the film and by radiation to the shop: `h = 1 / (resistance + 1/(film + 4 e sigma T_air^3))`, `e` emissivity of the
    /// cloth, `T_air` in kelvin. The blanket's own heat is left out.
    #[must_use]
    pub fn under_blanket(self, resistance: f64) -> Surface {
        let kelvin = self.air_c + ZERO_CELSIUS_K;
        let radiating = 4.0 * CLOTH_EMISSIVITY * STEFAN_BOLTZMANN * kelvin * kelvin * kelvin;
        let outside = |film: f64| 1.0 / (resistance + 1.0 / (film + radiating));
        Surface {
            film_coefficient: outside(self.film_coefficient),
            film_table: self.film_table.map(|table| FilmTable { coefficients: table.coefficients.map(outside) }),
            emissivity: 0.0,
            ..self
        }
    }
}

/// How a torch brings its heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TorchKind {
    /// A fixed net flux into the metal, W/m2, whatever the surface temperature.
    Flux {
        /// Net flux into the metal, W/m2.
        flux: f64,
    },
    /// Hot gas: `q = film_coefficient (gas - T)`, W/m2.
    Flame {
        /// Film coefficient of the flame, W/m2K.
        film_coefficient: f64,
        /// Gas temperature, Celsius.
        gas_c: f64,
    },
}

impl TorchKind {
    /// The same turned up or down by a factor.
    #[must_use]
    pub fn scaled(self, factor: f64) -> TorchKind {
        match self {
            TorchKind::Flux { flux } => TorchKind::Flux { flux: flux * factor },
            TorchKind::Flame { film_coefficient, gas_c } => {
                TorchKind::Flame { film_coefficient: film_coefficient * factor, gas_c }
            }
        }
    }

    /// Net flux onto metal of a temperature in Celsius, W/m2.
    pub fn net_flux(self, metal_c: f64) -> f64 {
        match self {
            TorchKind::Flux { flux } => flux,
            TorchKind::Flame { film_coefficient, gas_c } => film_coefficient * (gas_c - metal_c),
        }
    }
}

/// A torch moved in circles over a patch of a face, as its mean over the patch; or an electric heater there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Torch {
    /// The heated patch: in x and y on the worked face and the back, along the two edges in their order x, y, z on a side.
    pub patch: Shape,
    /// Flux or hot gas.
    pub kind: TorchKind,
    /// The face; the worked one means the floor that the patch lies on, where a pocket is open above it.
    pub face: Face,
    /// What turns it down by temperature, if anything.
    pub thermostat: Option<Thermostat>,
    /// The circles it is moved in, whose mean then stands in place of even heat over the patch, a disc; its power is that
    /// of even heat.
    pub circles: Option<Circles>,
}

impl Torch {
    /// A torch on the worked face.
    pub fn new(patch: Shape, kind: TorchKind) -> Torch {
        Torch { patch, kind, face: Face::Worked, thermostat: None, circles: None }
    }
}

/// When a flame goes off again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Flame {
    /// After a fixed time.
    For {
        /// Flame time, s.
        seconds: f64,
    },
    /// When a probe first reads a temperature, or after `at_most_s` at the latest.
    Until {
        /// Index into [`Case::probes`].
        probe: usize,
        /// Target, Celsius.
        temperature_c: f64,
        /// The longest the flame stays on, s.
        at_most_s: f64,
    },
}

/// From flame off to the next flame on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Interval {
    /// A fixed time.
    Fixed {
        /// Interval, s.
        seconds: f64,
    },
    /// "Come back when this place has fallen to ...", or after `at_most_s` at the latest.
    UntilFalls {
        /// Index into [`Case::probes`].
        probe: usize,
        /// The temperature at which the welder comes back, Celsius.
        temperature_c: f64,
        /// The longest interval, s.
        at_most_s: f64,
    },
}

/// When the flame burns and how long the case runs.
#[derive(Clone, Debug, PartialEq)]
pub enum Schedule {
    /// Fixed times; spans in order, not overlapping, within `0..end_s`.
    Spans {
        /// `[on, off]` pairs, s.
        on: Vec<[f64; 2]>,
        /// End of the run, s.
        end_s: f64,
    },
    /// A first heating, then `reheats` times an interval and a reheat, a last interval, and a cool-down.
    Cycles {
        /// The first heating.
        heat_up: Flame,
        /// Flame off to flame on.
        interval: Interval,
        /// Each reheat.
        reheat: Flame,
        /// Number of reheats.
        reheats: usize,
        /// How long the run goes on after the last interval, s.
        after_s: f64,
    },
}

/// What a probe reads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProbeKind {
    /// Temperature at a point `x, y, z`, m.
    Point {
        /// Place, m.
        at: [f64; 3],
    },
    /// Area mean over the exact patch on the worked face.
    PatchMean(Shape),
    /// Coldest point of the exact patch on the worked face, its rim included.
    PatchColdest(Shape),
    /// Hottest point of the exact patch on the worked face, its rim included.
    PatchHottest(Shape),
    /// Coldest point of the ring.
    RingColdest(Ring),
    /// Hottest point of the ring.
    RingHottest(Ring),
    /// Mean over the ring's points on the worked face.
    RingMean(Ring),
}

/// The parent metal around a groove: from the groove's edge outwards by `width`, from the face down to `depth`.
///
/// Parts that lie beyond the casting are cut off. The groove itself, which the arc remelts, is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ring {
    /// Outline of the groove on the worked face.
    pub groove: Shape,
    /// Width outwards from the groove's edge, m.
    pub width: f64,
    /// Depth below the worked face, m; 0 for the face alone.
    pub depth: f64,
}

impl Ring {
    /// From rim to rim at its widest, m: the diameter of a disc around the groove that takes it in.
    pub fn across(&self) -> f64 {
        let groove = match self.groove {
            Shape::Disc { radius, .. } => 2.0 * radius,
            Shape::Rectangle { x, y } => (x[1] - x[0]).hypot(y[1] - y[0]),
        };
        groove + 2.0 * self.width
    }
}

/// A named place to watch.
#[derive(Clone, Debug, PartialEq)]
pub struct Probe {
    /// Name, unique within the case.
    pub name: String,
    /// What it reads.
    pub kind: ProbeKind,
}

/// Everything physical about one casting and one schedule.
#[derive(Clone, Debug, PartialEq)]
pub struct Case {
    /// The casting.
    pub block: Block,
    /// What is missing of it.
    pub hollows: Hollows,
    /// Its metal.
    pub material: Material,
    /// Uniform start temperature, Celsius.
    pub start_c: f64,
    /// What each face exchanges, in the fixed order of [`Face`].
    pub surfaces: [Surface; 6],
    /// Torches; all burn together when the flame is on.
    pub torches: Vec<Torch>,
    /// Heat beside them, each at its own times.
    pub heaters: Vec<Heater>,
    /// Other surfaces over parts of the faces, each at its own times.
    pub covers: Vec<Cover>,
    /// Flame on and off.
    pub schedule: Schedule,
    /// Weld passes in every interval; only with [`Schedule::Cycles`].
    pub passes: Option<Passes>,
    /// Places to watch.
    pub probes: Vec<Probe>,
    /// Times at which every probe is wanted exactly, s, ascending.
    pub output_s: Vec<f64>,
}

impl Case {
    /// All surfaces: the six faces in their order, then the one of the hollows, then the covers'.
    pub fn surfaces_mut(&mut self) -> impl Iterator<Item = &mut Surface> {
        let covers = self.covers.iter_mut().map(|cover| &mut cover.surface);
        self.surfaces.iter_mut().chain([&mut self.hollows.surface]).chain(covers)
    }

    /// The torches of the schedule, then those beside them.
    pub fn all_torches(&self) -> impl Iterator<Item = &Torch> {
        self.torches.iter().chain(self.heaters.iter().map(|heater| &heater.torch))
    }

    /// The same, to change.
    pub fn all_torches_mut(&mut self) -> impl Iterator<Item = &mut Torch> {
        self.torches.iter_mut().chain(self.heaters.iter_mut().map(|heater| &mut heater.torch))
    }

    /// Number of the first cover that lies on one before it at the same time.
    pub fn covers_clash(&self) -> Option<usize> {
        let covers = &self.covers;
        (1..covers.len()).find(|&number| covers[..number].iter().any(|cover| cover.lies_on(&covers[number])))
    }

    /// Depth of the floor that the work lies on, m: that of the pocket that is open above the middle of the first patch on
    /// the worked face, else 0. Grooves, rings, patches and passes lie on it.
    pub fn floor_depth(&self) -> f64 {
        let patch = self.all_torches().find(|torch| torch.face == Face::Worked).map(|torch| torch.patch);
        let pass = || self.passes.iter().flat_map(|passes| &passes.list).map(|pass| pass.place).next();
        patch.or_else(pass).map_or(0.0, |shape| self.hollows.floor_under(shape.centre()))
    }

    /// Mass of the casting, kg.
    pub fn mass(&self) -> f64 {
        let volume = self.block.size.iter().product::<f64>() - self.hollows.volume(self.block.size);
        volume * self.material.density()
    }

    /// Thickness of the metal below the middle of the first patch, or of the face, m.
    pub fn thickness_under_the_patch(&self) -> f64 {
        let [length, width, _] = self.block.size;
        let middle = self.torches.first().map_or([0.5 * length, 0.5 * width], |torch| torch.patch.centre());
        self.thickness_under(middle)
    }

    /// Thickness of the metal below a place of the worked face, or of the floor of a pocket that opens there, m.
    pub fn thickness_under(&self, place: [f64; 2]) -> f64 {
        self.hollows.thickness_under(self.block.size[2], place)
    }
}
