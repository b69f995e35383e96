//! Every key of the scenario format, once: the reader, the messages and the JSON schema are all driven by it.

use crate::arc::PROCESSES;
use crate::habits::PRESETS;
use crate::measure::Measure;
use crate::measure::Measure::{
    Conductivity, Density, Duration, FilmCoefficient, Fraction, HeatFlux, Length, Power, SpecificHeat, Speed,
    Temperature, TemperatureDifference, Volume,
};

/// The numbers accepted for a key, ends included unless said otherwise; SI and Celsius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Lowest.
    pub low: f64,
    /// Highest.
    pub high: f64,
    /// Whether the lowest itself is refused, as zero is for a length.
    pub open: bool,
}

/// What kind of value a key takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A table with the keys below it.
    Table,
    /// A list of tables, each with the keys below `#`.
    Tables,
    /// A text with number and unit.
    Quantity(Measure, Limits),
    /// Any number of quantities.
    Quantities(Measure, Limits),
    /// This many coordinates, each a length, or `middle` where a face has one.
    Coordinates(usize, bool),
    /// A list of pairs of times.
    Spans,
    /// Low and high end, each as a quantity or as per cent off the nominal value.
    Range(Measure, Limits),
    /// Low and high end as plain numbers from 0 to 1, or per cent off the nominal value.
    ShareRange,
    /// A plain number.
    Number(Limits),
    /// A whole number.
    Count(Limits),
    /// A whole number, or these words.
    CountOrWords(Limits, &'static str),
    /// Any text.
    Text,
    /// The name of a probe.
    Probe,
    /// `true` or `false`.
    Flag,
    /// One of these words; case, spaces, dashes and underscores are ignored.
    Choice(&'static [&'static str]),
    /// A gas rate: mass or volume in a time.
    GasRate,
    /// A time, or a table with the keys below it.
    TimeOrTable(Limits),
}

/// One key of the format.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    /// Dotted path; `*` stands for any name and `#` for an element of a list.
    pub path: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// Whether it must be there whenever its table is. What depends on other keys is said in the doc.
    pub required: bool,
    /// What it is, in one line.
    pub doc: &'static str,
    /// A value as it may be written, in TOML.
    pub example: &'static str,
}

/// Names of the six faces, in their fixed order.
pub(crate) const FACES: [&str; 6] = ["x_min", "x_max", "y_min", "y_max", "worked", "back"];

/// Probes that exist by themselves whenever there is a window.
pub(crate) const RESERVED: [&str; 5] = ["ring_coldest", "ring_mean", "ring_hottest", "patch_hottest", "patch_centre"];

const fn limits(low: f64, high: f64) -> Limits {
    Limits { low, high, open: false }
}

const fn above(low: f64, high: f64) -> Limits {
    Limits { low, high, open: true }
}

const BLOCK: Limits = limits(0.005, 50.0);
const SIZE: Limits = above(0.0, 50.0);
const DEPTH: Limits = limits(0.0, 50.0);
const METAL_C: Limits = limits(-60.0, 1600.0);
const GAS_C: Limits = limits(100.0, 3500.0);
const LONG_S: f64 = 30.0 * 24.0 * 3600.0;
const TIME: Limits = above(0.0, LONG_S);
const WAIT: Limits = limits(0.0, LONG_S);
const FILM: Limits = limits(0.0, 20_000.0);
const FLAME_FILM: Limits = above(0.0, 20_000.0);
const FLUX: Limits = above(0.0, 20e6);
const ARC: Limits = above(0.0, 200e3);
/// Up to what an induction coil gives, W/m2 (EL1, `practice`).
const HEATER: Limits = above(0.0, 1e6);
const CONTENTS: Limits = above(0.0, 1000.0);
const KELVINS: Limits = limits(0.0, 500.0);
const SHARE: Limits = above(0.0, 1.0);
const UNIT: Limits = limits(0.0, 1.0);
const HEAVY: Limits = limits(500.0, 25_000.0);
const CONDUCTS: Limits = limits(0.05, 1000.0);
const INSULATES: Limits = limits(0.005, 50.0);
const STORES: Limits = limits(50.0, 20_000.0);

/// Conditions of a surface, as in the table of emissivities.
pub(crate) const CONDITIONS: &[&str] =
    &["as cast", "rusted", "ground", "tinted", "bright chrome", "sooted", "fire design steel"];
/// Fuel gases.
pub(crate) const GASES: &[&str] = &["acetylene", "propane", "propylene", "methane"];
/// What the gas burns with.
const OXIDANTS: &[&str] = &["air", "oxygen"];
/// What a casting stands on.
pub(crate) const SUPPORTS: &[&str] = &["steel", "timber", "floor"];
/// Ways in which air takes heat from a face.
const CONVECTIONS: &[&str] = &["natural"];
/// Ways in which the worked face may point.
const POINTS: &[&str] = &["up", "sideways", "down"];
const DRAFT: Limits = limits(0.0, 20.0);
const ALTITUDE: Limits = limits(0.0, 6000.0);
const TORCH_FACES: &[&str] = &["worked", "back"];
const WHEN: &[&str] = &["with flame", "in intervals", "after work", "always"];
const STRENGTH: Limits = above(0.0, 10.0);
const CIRCLE: Limits = limits(0.05, 60.0);
const BAND: Limits = above(0.0, 200.0);
const AREAS: &[&str] = &["patch", "ring"];
/// Where the width of the ring may come from.
pub(crate) const RING_RULES: &[&str] = &["ISO 13916", "thickness"];
/// In place of a number of reheats.
pub(crate) const UNTIL_LAID: &str = "until all beads are laid";
/// Orders in which the beads of a layer are laid.
pub(crate) const ORDERS: &[&str] = &["in turn", "staggered", "farthest"];
const VOLTS: Limits = above(0.0, 100.0);
const AMPS: Limits = above(0.0, 2000.0);
const TRAVEL: Limits = above(0.0, 0.1);
const MODELS: &[&str] = &["smallest", "block", "axisymmetric"];

const fn must(path: &'static str, kind: Kind, example: &'static str, doc: &'static str) -> Key {
    Key { path, kind, required: true, doc, example }
}

const fn may(path: &'static str, kind: Kind, example: &'static str, doc: &'static str) -> Key {
    Key { path, kind, required: false, doc, example }
}

use Kind::{
    Choice, Coordinates, Count, CountOrWords, Flag, GasRate, Number, Probe, Quantities, Quantity, Range, ShareRange,
    Spans,
};
use Kind::{Table, Tables, Text, TimeOrTable};

/// All keys, parents before children.
pub fn keys() -> &'static [Key] {
    KEYS
}

#[rustfmt::skip]
static KEYS: &[Key] = &[
    may("title", Text, "\"Crack on the punch face\"", "Title of the scenario, for reports."),

    must("casting", Table, "{ length = \"2.4 m\", width = \"1.5 m\", depth = \"0.6 m\", metal = \"grey iron 250\", start = \"20 C\" }", "The casting: a block; the worked face is length by width, depth goes down from it."),
    must("casting.length", Quantity(Length, BLOCK), "\"2.4 m\"", "Length along x."),
    must("casting.width", Quantity(Length, BLOCK), "\"1.5 m\"", "Width along y."),
    must("casting.depth", Quantity(Length, BLOCK), "\"0.6 m\"", "Depth under the worked face."),
    may("casting.metal", Text, "\"grey iron 250\"", "A metal of the list; leave it out and give [metal] for your own."),
    may("casting.ribs", Table, "{ wall = \"50 mm\", thickness = \"40 mm\", pitch = \"300 mm\" }", "A wall on ribs both ways, open at the back, in place of a solid block; depth is the height of the whole."),
    must("casting.ribs.wall", Quantity(Length, SIZE), "\"50 mm\"", "Thickness of the wall under the worked face."),
    must("casting.ribs.thickness", Quantity(Length, SIZE), "\"40 mm\"", "Thickness of a rib."),
    must("casting.ribs.pitch", Quantity(Length, SIZE), "\"300 mm\"", "From rib to rib, middle to middle; adapted so that whole bays fill the casting."),
    may("casting.hollow", Tables, "[{ from = [\"0 m\", \"0 m\", \"0.1 m\"], to = [\"0.4 m\", \"1.5 m\", \"0.6 m\"] }]", "Boxes without metal: steps, pockets, windows."),
    must("casting.hollow.#.from", Coordinates(3, true), "[\"0 m\", \"0 m\", \"0.1 m\"]", "Corner at the lowest x, y and depth."),
    must("casting.hollow.#.to", Coordinates(3, true), "[\"0.4 m\", \"1.5 m\", \"0.6 m\"]", "Corner at the highest x, y and depth."),
    may("casting.inside_film_coefficient", Quantity(FilmCoefficient, FILM), "\"5 W/m2K\"", "Film coefficient inside hollows and between ribs; default: that of all faces. Their surfaces radiate to each other; what leaves by the openings is booked with the emissivity of all faces."),
    may("casting.plated", Flag, "false", "Whether the casting carries hard chrome; default true, which brings the caution on chromium(VI)."),
    may("casting.oil_soaked", Flag, "false", "Whether the casting is soaked with oil, which brings a caution; default true for iron."),
    may("casting.last_temper", Quantity(Temperature, METAL_C), "\"1000 F\"", "Last tempering heat of a hardened casting; a warning says when the metal gets hotter under the flame, or the surface limit lets it."),
    may("casting.worked_face_points", Choice(POINTS), "\"sideways\"", "Which way the worked face points, for convection = \"natural\"; default up. Sideways: the width stands upright, y_max points up and y_min down."),
    must("casting.start", Quantity(Temperature, METAL_C), "\"20 C\"", "Temperature of the whole casting at the start."),

    may("metal", Table, "{ density = \"7200 kg/m3\", conductivity = \"46 W/mK\", specific_heat = \"500 J/kgK\" }", "Your own metal, or only your own ranges for a metal of the list."),
    may("metal.name", Text, "\"shop iron\"", "Name of the metal, for reports."),
    may("metal.density", Quantity(Density, HEAVY), "\"7200 kg/m3\"", "Density."),
    may("metal.conductivity", Quantity(Conductivity, CONDUCTS), "\"46 W/mK\"", "Conductivity, the same at every temperature."),
    may("metal.specific_heat", Quantity(SpecificHeat, STORES), "\"500 J/kgK\"", "Specific heat, the same at every temperature."),
    may("metal.table", Tables, "[{ at = \"20 C\", conductivity = \"49 W/mK\", specific_heat = \"460 J/kgK\" }]", "Conductivity and specific heat over temperature, in place of the two constants; straight lines between the rows."),
    must("metal.table.#.at", Quantity(Temperature, METAL_C), "\"20 C\"", "Temperature of this row; rising from row to row."),
    must("metal.table.#.conductivity", Quantity(Conductivity, CONDUCTS), "\"49 W/mK\"", "Conductivity at this temperature."),
    must("metal.table.#.specific_heat", Quantity(SpecificHeat, STORES), "\"460 J/kgK\"", "Specific heat at this temperature."),
    may("metal.conductivity_range", Range(Conductivity, CONDUCTS), "[\"-12 %\", \"+12 %\"]", "Low and high end of the conductivity against its nominal value."),
    may("metal.specific_heat_range", Range(SpecificHeat, STORES), "[\"-11 %\", \"+4 %\"]", "Low and high end of the specific heat against its nominal value."),

    must("shop", Table, "{ air = \"20 C\" }", "The shop."),
    must("shop.air", Quantity(Temperature, METAL_C), "\"20 C\"", "Air temperature."),
    may("shop.surroundings", Quantity(Temperature, METAL_C), "\"20 C\"", "Temperature of the walls that the casting sees; default: the air."),
    may("shop.draft", Quantity(Speed, DRAFT), "\"0.3 m/s\"", "Air speed along the faces, for convection = \"natural\", which then is mixed (C9); default none. Still shop 0.1 to 0.3 m/s, open door 0.5 to 1.5, fan or hood 1 to 4 (F3, practice)."),
    may("shop.altitude", Quantity(Length, ALTITUDE), "\"1500 m\"", "Altitude above the sea, for convection = \"natural\": thin air takes less; default the sea."),

    must("faces", Table, "{ film_coefficient = \"8 W/m2K\", condition = \"as cast\" }", "What all six faces exchange, unless a face below says otherwise."),
    may("faces.film_coefficient", Quantity(FilmCoefficient, FILM), "\"8 W/m2K\"", "Film coefficient to the air; 8 to 10 W/m2K suits a hot patch in still air."),
    may("faces.film_coefficient_range", Range(FilmCoefficient, FILM), "[\"5 W/m2K\", \"12 W/m2K\"]", "Low and high end of the film coefficient; other faces follow in proportion."),
    may("faces.convection", Choice(CONVECTIONS), "\"natural\"", "Film coefficient of each face by its own temperature, length and the way it points, in place of film_coefficient; brings its range along. The worked face has the length of the heated patch."),
    may("faces.emissivity", Number(UNIT), "0.8", "Emissivity."),
    may("faces.emissivity_range", ShareRange, "[0.64, 0.95]", "Low and high end of the emissivity; other faces follow in proportion."),
    may("faces.condition", Choice(CONDITIONS), "\"as cast\"", "Condition of the surface, in place of emissivity; brings its range along."),
    may("faces.adiabatic", Flag, "true", "Whether the face exchanges nothing at all."),
    may("faces.contact_conductance", Quantity(FilmCoefficient, FILM), "\"150 W/m2K\"", "Conductance into what the face stands on; such a face has no film coefficient and no emissivity unless it names its own."),
    may("faces.contact_range", Range(FilmCoefficient, FILM), "[\"100 W/m2K\", \"300 W/m2K\"]", "Low and high end of the contact conductance."),
    may("faces.contact_temperature", Quantity(Temperature, METAL_C), "\"15 C\"", "Temperature of what the face stands on; default: the air."),
    may("faces.stands_on", Choice(SUPPORTS), "\"timber\"", "What the face stands on, in place of contact_conductance; brings its range along."),
    may("faces.*", Table, "{ adiabatic = true }", "One face, by name: x_min, x_max, y_min, y_max, worked or back."),
    may("faces.*.film_coefficient", Quantity(FilmCoefficient, FILM), "\"10 W/m2K\"", "Film coefficient of this face."),
    may("faces.*.convection", Choice(CONVECTIONS), "\"natural\"", "Film coefficient of this face by its own temperature, in place of film_coefficient."),
    may("faces.*.emissivity", Number(UNIT), "0.35", "Emissivity of this face."),
    may("faces.*.condition", Choice(CONDITIONS), "\"ground\"", "Condition of this face, in place of emissivity."),
    may("faces.*.adiabatic", Flag, "true", "Whether this face exchanges nothing at all."),
    may("faces.*.contact_conductance", Quantity(FilmCoefficient, FILM), "\"150 W/m2K\"", "Conductance into what this face stands on; such a face has no film coefficient and no emissivity unless it names its own."),
    may("faces.*.contact_range", Range(FilmCoefficient, FILM), "[\"100 W/m2K\", \"300 W/m2K\"]", "Low and high end of the contact conductance."),
    may("faces.*.contact_temperature", Quantity(Temperature, METAL_C), "\"15 C\"", "Temperature of what this face stands on; default: the air."),
    may("faces.*.blanket", Table, "{ thickness = \"25 mm\", conductivity = \"0.1 W/mK\" }", "A blanket over this face at all times; not on the worked face, where the torch works."),
    must("faces.*.blanket.thickness", Quantity(Length, SIZE), "\"25 mm\"", "Thickness of the blanket."),
    must("faces.*.blanket.conductivity", Quantity(Conductivity, INSULATES), "\"0.1 W/mK\"", "Conductivity of the blanket; ceramic fibre at 200 C about 0.05 to 0.15 W/mK (practice)."),
    may("faces.*.stands_on", Choice(SUPPORTS), "\"steel\"", "What this face stands on, in place of contact_conductance."),

    may("patch", Table, "{ disc = { diameter = \"300 mm\" } }", "What the torch heats, on the worked face: a disc, a rectangle or a strip. Needed with a torch or a window."),
    may("patch.disc", Table, "{ diameter = \"300 mm\" }", "A round patch: diameter or radius."),
    may("patch.disc.diameter", Quantity(Length, SIZE), "\"300 mm\"", "Diameter."),
    may("patch.disc.radius", Quantity(Length, SIZE), "\"150 mm\"", "Radius, in place of diameter."),
    may("patch.rectangle", Table, "{ length = \"80 mm\", width = \"80 mm\" }", "A rectangular patch."),
    must("patch.rectangle.length", Quantity(Length, SIZE), "\"80 mm\"", "Length along x."),
    must("patch.rectangle.width", Quantity(Length, SIZE), "\"80 mm\"", "Width along y."),
    may("patch.strip", Table, "{ length = \"600 mm\", width = \"120 mm\" }", "A long rectangular patch."),
    must("patch.strip.length", Quantity(Length, SIZE), "\"600 mm\"", "Length along x."),
    must("patch.strip.width", Quantity(Length, SIZE), "\"120 mm\"", "Width along y."),
    may("patch.centre", Coordinates(2, true), "[\"0.5 m\", \"middle\"]", "Centre from the corner x_min, y_min; default: the middle of the face."),

    may("groove", Table, "{ length = \"60 mm\", width = \"20 mm\", depth = \"6 mm\" }", "The groove that is welded; needed with a window."),
    may("groove.length", Quantity(Length, SIZE), "\"60 mm\"", "Length along x."),
    may("groove.width", Quantity(Length, SIZE), "\"20 mm\"", "Width along y."),
    may("groove.disc", Table, "{ diameter = \"40 mm\" }", "A round groove, in place of length and width."),
    may("groove.disc.diameter", Quantity(Length, SIZE), "\"40 mm\"", "Diameter."),
    may("groove.disc.radius", Quantity(Length, SIZE), "\"20 mm\"", "Radius, in place of diameter."),
    must("groove.depth", Quantity(Length, DEPTH), "\"6 mm\"", "Depth below the worked face."),
    may("groove.centre", Coordinates(2, true), "[\"0.5 m\", \"0.4 m\"]", "Centre; default: the centre of the patch."),

    may("ring", Table, "{ width = \"75 mm\" }", "The parent metal around the groove that must be in the window."),
    may("ring.width", Quantity(Length, SIZE), "\"75 mm\"", "Width from the edge of the groove outwards; default 75 mm, as ISO 13916 has it for thick sections (ST1)."),
    may("ring.rule", Choice(RING_RULES), "\"ISO 13916\"", "In place of width, from the thickness t under the groove: ISO 13916 has 4 t, at most 50 mm, up to t = 50 mm, and 75 mm above (ST1); thickness has t, at least 75 mm, as in AWS D1.1 (ST3)."),
    may("ring.depth", Quantity(Length, DEPTH), "\"6 mm\"", "Depth below the worked face; default: the depth of the groove."),

    may("window", Table, "{ minimum = \"300 F\", maximum_interpass = \"500 F\" }", "The temperatures that the procedure asks for; without it there is no verdict."),
    must("window.minimum", Quantity(Temperature, METAL_C), "\"300 F\"", "No pass starts while any of the ring is below it. From the qualified procedure; no default."),
    must("window.maximum_interpass", Quantity(Temperature, METAL_C), "\"500 F\"", "No pass starts while any of the ring is above it. From the qualified procedure; no default."),
    may("window.surface_limit", Quantity(Temperature, METAL_C), "\"570 F\"", "The surface never gets hotter under the flame."),
    may("window.heat_to", Quantity(Temperature, METAL_C), "\"400 F\"", "Target of heating, where the schedule names none."),

    may("torch", Table, "{ flux = { flux = \"250 kW/m2\" } }", "How the torch heats: exactly one of flux, flame, fuel and electric."),
    may("torch.flux", Table, "{ flux = \"250 kW/m2\" }", "A fixed net flux into the metal."),
    must("torch.flux.flux", Quantity(HeatFlux, FLUX), "\"250 kW/m2\"", "Net flux into the metal."),
    may("torch.flux.range", Range(HeatFlux, FLUX), "[\"-30 %\", \"+30 %\"]", "Low and high end of the flux."),
    may("torch.flame", Table, "{ film_coefficient = \"180 W/m2K\", gas = \"1400 C\" }", "Hot gas that gives less as the surface warms."),
    must("torch.flame.film_coefficient", Quantity(FilmCoefficient, FLAME_FILM), "\"180 W/m2K\"", "Film coefficient of the flame; air-fuel 100 to 400 W/m2K, oxy-fuel 300 to 1500 (FX6, practice)."),
    must("torch.flame.gas", Quantity(Temperature, GAS_C), "\"1400 C\"", "Gas temperature; air-fuel 1000 to 1600 C (FX6, practice)."),
    may("torch.flame.range", Range(FilmCoefficient, FLAME_FILM), "[\"-30 %\", \"+30 %\"]", "Low and high end of the film coefficient of the flame."),
    may("torch.fuel", Table, "{ gas = \"propane\", rate = \"2.2 kg/h\" }", "Gas burnt, and the share of its heat that enters the metal."),
    must("torch.fuel.gas", Choice(GASES), "\"propane\"", "Fuel gas; its lower heating value is used."),
    must("torch.fuel.rate", GasRate, "\"2.2 kg/h\"", "Gas burnt in a time, by mass, or by volume at 15 C and 101.325 kPa."),
    may("torch.fuel.share", Quantity(Fraction, SHARE), "\"30 %\"", "Share of the lower heating value that enters the metal; default 30 % (FX5, practice): calibrate it by one timed heat-up."),
    may("torch.fuel.share_range", Range(Fraction, SHARE), "[\"15 %\", \"50 %\"]", "Low and high end of the share, as shares; default 15 to 50 % (FX5, practice)."),
    may("torch.fuel.oxidant", Choice(OXIDANTS), "\"oxygen\"", "What the gas burns with, air or oxygen from cylinders; default air. A neutral flame takes 1.1 volumes of oxygen for one of acetylene and 4 for propane (FU2); for the others it is what burns them whole."),
    may("torch.fuel.cylinders", Count(limits(1.0, 100.0)), "2", "Acetylene cylinders coupled together; default 1. With cylinder_contents, a warning says when they are too few for the rate."),
    may("torch.fuel.cylinder_contents", Quantity(Volume, CONTENTS), "\"8 m3\"", "Acetylene in one full cylinder, at 15 C and 101.325 kPa; a seventh of it may be drawn in an hour (TP3, memory)."),
    may("torch.fuel.cylinders_cold", Flag, "true", "Whether the cylinders are old or cold: then a tenth of the contents in an hour; default false."),
    may("torch.electric", Table, "{ power_density = \"5 W/cm2\" }", "Electric heat: pads or a coil that cover the whole patch."),
    must("torch.electric.power_density", Quantity(HeatFlux, HEATER), "\"5 W/cm2\"", "Power over the area it covers: ceramic pads 3 to 11 W/cm2, an induction coil 10 to 100 W/cm2 (EL1, practice)."),
    may("torch.electric.share", Quantity(Fraction, SHARE), "\"90 %\"", "Share of the power that enters the metal; default 100 %, as under a good blanket."),
    may("torch.electric.share_range", Range(Fraction, SHARE), "[\"80 %\", \"100 %\"]", "Low and high end of the share, as shares."),

    may("torch.electric.thermostat", Table, "{ set = \"400 F\", reads = \"ring_coldest\" }", "Turns the power down as a probe nears a temperature."),
    must("torch.electric.thermostat.set", Quantity(Temperature, METAL_C), "\"400 F\"", "Set temperature: no power from there on."),
    must("torch.electric.thermostat.reads", Probe, "\"ring_coldest\"", "The probe that it reads, as one thermocouple does."),
    may("torch.electric.thermostat.band", Quantity(TemperatureDifference, BAND), "\"10 K\"", "Full power until so far below; default 10 K."),
    may("torch.circles", Table, "{ diameter = \"200 mm\", spot = \"60 mm\", period = \"1 s\" }", "How the torch is moved: the heat is then the mean over the ring that it sweeps, and the surface limit is watched at the peak under the spot."),
    must("torch.circles.diameter", Quantity(Length, SIZE), "\"200 mm\"", "Diameter of the circle that the middle of the flame goes."),
    must("torch.circles.spot", Quantity(Length, SIZE), "\"60 mm\"", "Width of the spot that the flame heats."),
    must("torch.circles.period", Quantity(Duration, CIRCLE), "\"1 s\"", "Time of one circle; 0.5 to 1 s is usual (D10, practice)."),
    may("torch.on", Choice(TORCH_FACES), "\"back\"", "The face that is heated, worked or back; default worked. On the worked face the floor of a pocket counts, where one opens under the patch."),

    may("heater", Tables, "[{ when = \"in intervals\", strength = \"30 %\" }]", "Heat beside the torch: a soft flame kept on while beads are laid, a helper's torch, pads on the back."),
    may("heater.#.on", Choice(&FACES), "\"back\"", "The face it heats; default worked."),
    may("heater.#.disc", Table, "{ diameter = \"300 mm\" }", "A round patch; default, on the torch's face: the torch's patch."),
    may("heater.#.disc.diameter", Quantity(Length, SIZE), "\"300 mm\"", "Diameter."),
    may("heater.#.disc.radius", Quantity(Length, SIZE), "\"150 mm\"", "Radius, in place of the diameter."),
    may("heater.#.rectangle", Table, "{ length = \"300 mm\", width = \"200 mm\" }", "A patch with corners."),
    must("heater.#.rectangle.length", Quantity(Length, SIZE), "\"300 mm\"", "Along the first edge of the face: x, on a side of x y."),
    must("heater.#.rectangle.width", Quantity(Length, SIZE), "\"200 mm\"", "Along the second: y, on a side the depth."),
    may("heater.#.centre", Coordinates(2, true), "[\"1.2 m\", \"middle\"]", "Centre, along the two edges of the face; default: that of the torch, or the middle of the face."),
    may("heater.#.strength", Quantity(Fraction, STRENGTH), "\"30 %\"", "Heat over the area as a share of the torch's."),
    may("heater.#.flux", Quantity(HeatFlux, FLUX), "\"30 kW/m2\"", "Net flux into the metal, in place of strength; ceramic pads give up to 110 kW/m2 (EL1, practice)."),
    may("heater.#.when", Choice(WHEN), "\"in intervals\"", "With the flame, in the intervals between flames, after work (from the last interval's end), or always."),
    may("heater.#.times", Spans, "[[\"0 s\", \"2 h\"]]", "From and to, pair by pair, in place of when."),
    may("heater.#.thermostat", Table, "{ set = \"400 F\", reads = \"ring_coldest\" }", "Turns it down as a probe nears a temperature."),
    must("heater.#.thermostat.set", Quantity(Temperature, METAL_C), "\"400 F\"", "Set temperature: no power from there on."),
    must("heater.#.thermostat.reads", Probe, "\"ring_coldest\"", "The probe that it reads."),
    may("heater.#.thermostat.band", Quantity(TemperatureDifference, BAND), "\"10 K\"", "Full power until so far below; default 10 K."),

    may("cover", Tables, "[{ on = \"back\", blanket = { thickness = \"25 mm\", conductivity = \"0.1 W/mK\" }, when = \"always\" }]", "Blankets and other changes of a face, over an area and for a time."),
    may("cover.#.on", Choice(&FACES), "\"worked\"", "The face; default worked."),
    may("cover.#.disc", Table, "{ diameter = \"600 mm\" }", "A round area; default: the whole face."),
    may("cover.#.disc.diameter", Quantity(Length, SIZE), "\"600 mm\"", "Diameter."),
    may("cover.#.disc.radius", Quantity(Length, SIZE), "\"300 mm\"", "Radius, in place of the diameter."),
    may("cover.#.rectangle", Table, "{ length = \"600 mm\", width = \"600 mm\" }", "An area with corners."),
    must("cover.#.rectangle.length", Quantity(Length, SIZE), "\"600 mm\"", "Along the first edge of the face: x, on a side of x y."),
    must("cover.#.rectangle.width", Quantity(Length, SIZE), "\"600 mm\"", "Along the second: y, on a side the depth."),
    may("cover.#.centre", Coordinates(2, true), "[\"1.2 m\", \"middle\"]", "Centre, along the two edges of the face; default: its middle."),
    may("cover.#.blanket", Table, "{ thickness = \"25 mm\", conductivity = \"0.1 W/mK\" }", "A blanket; its own heat is left out."),
    must("cover.#.blanket.thickness", Quantity(Length, SIZE), "\"25 mm\"", "Thickness."),
    must("cover.#.blanket.conductivity", Quantity(Conductivity, INSULATES), "\"0.1 W/mK\"", "Conductivity."),
    may("cover.#.film_coefficient", Quantity(FilmCoefficient, FILM), "\"25 W/m2K\"", "Film coefficient meanwhile, as when a door opens."),
    may("cover.#.emissivity", Number(UNIT), "0.9", "Emissivity meanwhile."),
    may("cover.#.condition", Choice(CONDITIONS), "\"sooted\"", "Condition of the surface meanwhile, in place of emissivity."),
    may("cover.#.when", Choice(WHEN), "\"after work\"", "With the flame, in the intervals between flames, after work (from the last interval's end), or always."),
    may("cover.#.times", Spans, "[[\"40 min\", \"8 h\"]]", "From and to, pair by pair, in place of when."),

    must("schedule", Table, "{ spans = { on = [[\"0 s\", \"300 s\"]], end = \"1 h\" } }", "When the flame burns: exactly one of spans and cycles."),
    may("schedule.spans", Table, "{ on = [[\"0 s\", \"300 s\"]], end = \"1 h\" }", "Fixed times."),
    must("schedule.spans.on", Spans, "[[\"0 s\", \"300 s\"], [\"6 min\", \"7 min\"]]", "Flame on and off, pair by pair; may be empty."),
    must("schedule.spans.end", Quantity(Duration, TIME), "\"4 h\"", "End of the run."),
    may("schedule.cycles", Table, "{ heat_up = { for = \"15 min\" }, interval = \"150 s\", reheat = { for = \"60 s\" }, reheats = 4 }", "A first heating, then intervals and reheats."),
    must("schedule.cycles.heat_up", Table, "{ until = \"ring_coldest\", reads = \"400 F\", at_most = \"40 min\" }", "The first heating: for a time, or until a probe reads a temperature."),
    may("schedule.cycles.heat_up.for", Quantity(Duration, TIME), "\"15 min\"", "Flame time."),
    may("schedule.cycles.heat_up.until", Probe, "\"ring_coldest\"", "The probe that ends the heating."),
    may("schedule.cycles.heat_up.reads", Quantity(Temperature, METAL_C), "\"400 F\"", "What it then reads; default: window.heat_to."),
    may("schedule.cycles.heat_up.at_most", Quantity(Duration, TIME), "\"40 min\"", "The flame goes off after this long at the latest; needed with until."),
    must("schedule.cycles.interval", TimeOrTable(TIME), "\"150 s\"", "Flame off to flame on: a time, or a table that says at which temperature to come back."),
    must("schedule.cycles.interval.guard", Quantity(TemperatureDifference, KELVINS), "\"10 K\"", "Come back when the coldest of the ring is this far above window.minimum."),
    must("schedule.cycles.interval.at_most", Quantity(Duration, TIME), "\"5 min\"", "The longest interval."),
    may("schedule.cycles.interval.working_time", Quantity(Duration, TIME), "\"2 min\"", "Working time wanted in each interval."),
    must("schedule.cycles.reheat", Table, "{ for = \"60 s\" }", "Each reheat: for a time, or until a probe reads a temperature."),
    may("schedule.cycles.reheat.for", Quantity(Duration, TIME), "\"60 s\"", "Flame time."),
    may("schedule.cycles.reheat.until", Probe, "\"ring_coldest\"", "The probe that ends the reheat."),
    may("schedule.cycles.reheat.reads", Quantity(Temperature, METAL_C), "\"400 F\"", "What it then reads; default: window.heat_to."),
    may("schedule.cycles.reheat.at_most", Quantity(Duration, TIME), "\"10 min\"", "The flame goes off after this long at the latest; needed with until."),
    must("schedule.cycles.reheats", CountOrWords(limits(0.0, 500.0), UNTIL_LAID), "4", "Number of reheats, or \"until all beads are laid\": then the list of beads is laid once, and the run ends with it."),
    may("schedule.cycles.after", Quantity(Duration, WAIT), "\"10 min\"", "How long the run goes on after the last interval; default 0 s."),

    may("passes", Table, "{ per_heat = 2, first_after = \"20 s\", arc_time = \"20 s\", pause = \"60 s\", power = \"2.3 kW\" }", "Weld passes in every interval; only with cycles."),
    may("passes.preset", Choice(PRESETS), "\"plated die\"", "Usual practice for what is not stated below (D7, D13): plated die, or the same with short or long beads. Every value can be overridden, and what was not stated is listed."),
    may("passes.per_heat", Count(limits(1.0, 500.0)), "2", "Passes planned between two flames."),
    may("passes.first_after", Quantity(Duration, WAIT), "\"20 s\"", "Flame off to the first arc."),
    may("passes.arc_time", Quantity(Duration, TIME), "\"20 s\"", "Arc time of a pass."),
    may("passes.travel", Quantity(Speed, TRAVEL), "\"2 mm/s\"", "Speed of the arc along the bead, in place of arc_time."),
    may("passes.pause", TimeOrTable(WAIT), "\"60 s\"", "Arc off to the next arc: peen, brush, look; a time, or a table that says what is done."),
    may("passes.pause.peen", Quantity(Duration, WAIT), "\"20 s\"", "Peening after each bead; 10 to 30 s is usual (D7)."),
    may("passes.pause.brush", Quantity(Duration, WAIT), "\"20 s\"", "Cleaning; with the look 20 to 60 s (D7)."),
    may("passes.pause.inspect", Quantity(Duration, WAIT), "\"20 s\"", "Looking and measuring; with the cleaning 20 to 60 s (D7)."),
    may("passes.power", Quantity(Power, ARC), "\"2.3 kW\"", "Net arc power into the metal: volts times amperes times arc efficiency (AR1)."),
    may("passes.power_range", Range(Power, ARC), "[\"-20 %\", \"+20 %\"]", "Low and high end of the arc power."),
    may("passes.arc", Table, "{ process = \"MMA\", volts = 24, amps = 120 }", "The arc by process, in place of power."),
    may("passes.arc.process", Choice(PROCESSES), "\"MMA\"", "Welding process, by name or number: its arc efficiency is 1.0 for SAW, 0.8 for MMA, MIG, MAG and cored wire, 0.6 for TIG and plasma (EN 1011-1, AR1)."),
    may("passes.arc.volts", Number(VOLTS), "24", "Arc voltage, V."),
    may("passes.arc.amps", Number(AMPS), "120", "Welding current, A; rods of 2.5 mm take 50 to 80 A, 3.2 mm 70 to 115 A, 4 mm 100 to 150 A (D8)."),
    may("passes.arc.efficiency", Quantity(Fraction, SHARE), "\"80 %\"", "Arc efficiency, in place of that of the process."),
    may("passes.wait_until_below_maximum", Quantity(Duration, TIME), "\"10 min\"", "Where the ring is above window.maximum_interpass as a bead is due, wait until its hottest has fallen to it, at most so long; default: start all the same, and be judged."),
    may("passes.fill", Table, "{ bead_length = \"30 mm\", bead_width = \"10 mm\", layers = 6 }", "Beads that fill the groove in layers, in place of beads. The model heats the face: the depth of a layer is not in it."),
    may("passes.fill.bead_length", Quantity(Length, SIZE), "\"30 mm\"", "Longest bead; each row is shared out evenly. 25 to 75 mm is usual (D7)."),
    may("passes.fill.bead_width", Quantity(Length, SIZE), "\"10 mm\"", "Widest bead; the width of the groove is shared out evenly."),
    may("passes.fill.layers", Count(limits(1.0, 100.0)), "6", "Layers; one under and about four cap layers are usual on a plated die (D13)."),
    may("passes.fill.layer_height", Quantity(Length, SIZE), "\"1.5 mm\"", "Height of a layer, in place of layers: as many as fill groove.depth."),
    may("passes.fill.order", Choice(ORDERS), "\"staggered\"", "Order within a layer: in turn (the default); staggered, every second bead first and then those between; or farthest, each as far from the last as can be."),
    may("passes.grind", Table, "{ after_bead = 12, takes = \"5 min\", beads = 1 }", "A stop to grind out a void and weld again: the flame comes back when it is over."),
    must("passes.grind.after_bead", Count(limits(1.0, 500.0)), "12", "Number of the bead after whose pause the grinding begins."),
    must("passes.grind.takes", Quantity(Duration, WAIT), "\"5 min\"", "How long the grinding takes."),
    may("passes.grind.beads", Count(limits(1.0, 500.0)), "1", "Beads that are welded again, the last ones laid; default 1."),
    may("passes.beads", Tables, "[{ centre = [\"1.2 m\", \"0.75 m\"], length = \"40 mm\", width = \"10 mm\" }]", "Beads in their order, and again from the front; default: one bead over the whole groove."),
    must("passes.beads.#.centre", Coordinates(2, true), "[\"1.2 m\", \"0.75 m\"]", "Centre of the bead."),
    must("passes.beads.#.length", Quantity(Length, SIZE), "\"40 mm\"", "Length along x."),
    must("passes.beads.#.width", Quantity(Length, SIZE), "\"10 mm\"", "Width along y."),
    may("passes.beads.#.power", Quantity(Power, ARC), "\"2.3 kW\"", "Net arc power of this bead; default: passes.power."),
    may("passes.beads.#.arc_time", Quantity(Duration, TIME), "\"20 s\"", "Arc time of this bead; default: passes.arc_time, or by passes.travel."),
    may("passes.beads.#.pause", Quantity(Duration, WAIT), "\"60 s\"", "Pause after this bead; default: passes.pause."),

    may("probes", Table, "{ r40 = { from_patch_centre = [\"40 mm\", \"0 mm\", \"0 mm\"] } }", "Places to watch, by a name of your choice."),
    may("probes.*", Table, "{ at = [\"0 m\", \"0 m\", \"0 m\"] }", "One probe: a point, or a mean, coldest or hottest of the patch or ring."),
    may("probes.*.at", Coordinates(3, true), "[\"0 m\", \"0 m\", \"0 m\"]", "A point: x and y from the corner x_min, y_min, and depth."),
    may("probes.*.from_patch_centre", Coordinates(3, false), "[\"40 mm\", \"0 mm\", \"0 mm\"]", "A point: x and y from the centre of the patch, and depth."),
    may("probes.*.mean", Choice(AREAS), "\"patch\"", "The mean over the patch, or over the ring on the worked face."),
    may("probes.*.coldest", Choice(AREAS), "\"ring\"", "The coldest point of the patch or ring."),
    may("probes.*.hottest", Choice(AREAS), "\"patch\"", "The hottest point of the patch or ring."),

    may("watch", Tables, "[{ probe = \"r40\", below = \"150 C\" }]", "Limits to report on: when a probe falls below one after each flame-off."),
    must("watch.#.probe", Probe, "\"r40\"", "Name of the probe."),
    must("watch.#.below", Quantity(Temperature, METAL_C), "\"150 C\"", "The limit."),

    may("output", Table, "{ times = [\"60 s\", \"150 s\", \"1 h\"] }", "Times at which every probe is wanted exactly."),
    may("output.times", Quantities(Duration, WAIT), "[\"60 s\", \"150 s\", \"1 h\"]", "The times."),
    may("output.every", Quantity(Duration, TIME), "\"60 s\"", "A time step, in place of times."),
    may("output.until", Quantity(Duration, TIME), "\"2 h\"", "Where `every` stops; default: the end of spans."),

    may("accuracy", Table, "{ cells_across = 10 }", "How fine to compute."),
    may("accuracy.cells_across", Count(limits(4.0, 48.0)), "10", "Cells across half of the patch on the finest grid; cost grows with its third power; default 10."),
    may("accuracy.step_error", Quantity(TemperatureDifference, above(0.0, 2.0)), "\"1 K\"", "Largest error that one time step may commit by its own estimate; default 1 K."),
    may("accuracy.temperature", Quantity(TemperatureDifference, above(0.0, 20.0)), "\"0.5 K\"", "Error bar to stay within at the judged instants, in place of cells_across: the grid is chosen for it."),
    may("accuracy.hold", Quantity(Duration, TIME), "\"1 s\"", "Error bar of the hold to stay within, in place of cells_across."),
    may("accuracy.model", Choice(MODELS), "\"smallest\"", "Which body is solved: the smallest that is right (the default), the block, or the axisymmetric body of equal face."),
];

/// The names that may stand at the end of a path that ends in `*`; empty where any name may.
pub(crate) fn names_at(parent: &str) -> &'static [&'static str] {
    if parent == "faces" { &FACES } else { &[] }
}

/// The key of a concrete path such as `passes.beads.0.power`.
pub(crate) fn key(path: &str) -> Option<&'static Key> {
    KEYS.iter().find(|key| matches(key.path, path))
}

fn matches(pattern: &str, path: &str) -> bool {
    let mut parts = path.split('.');
    let mut parent = "";
    let same = pattern.split('.').all(|want| {
        let have = parts.next();
        let fits = have.is_some_and(|have| fits(parent, want, have));
        parent = want;
        fits
    });
    same && parts.next().is_none()
}

fn fits(parent: &str, want: &str, have: &str) -> bool {
    match want {
        "*" => names_at(parent).is_empty() || names_at(parent).contains(&have),
        "#" => have.bytes().all(|letter| letter.is_ascii_digit()),
        _ => want == have,
    }
}

/// The keys that may stand right below a path.
pub(crate) fn children(path: &str) -> impl Iterator<Item = &'static Key> {
    KEYS.iter().filter(move |key| match key.path.rsplit_once('.') {
        Some((parent, _)) => matches(parent, path),
        None => path.is_empty(),
    })
}

/// The last part of a key's path.
pub(crate) fn leaf(key: &Key) -> &'static str {
    key.path.rsplit('.').next().unwrap_or(key.path)
}

/// A path as people count: `heater.0` is the 1st [[heater]]. A table that is there once stays as it is written, in the two
/// signs of `around`.
pub(crate) fn in_words(path: &str, around: [char; 2]) -> String {
    let parts: Vec<&str> = path.split('.').collect();
    let number = |part: &&str| part.parse::<usize>().ok();
    let last = parts.iter().rposition(|part| number(part).is_some());
    let Some((at, index)) = last.and_then(|at| Some((at, number(&parts[at])?))) else {
        return format!("{}{path}{}", around[0], around[1]);
    };
    let element = format!("the {} [[{}]]", ordinal(index + 1), parts[..at].join("."));
    match parts[at + 1..].join(".") {
        below if below.is_empty() => element,
        below => format!("`{below}` of {element}"),
    }
}

/// 1st, 2nd, 3rd, 4th, 11th.
fn ordinal(number: usize) -> String {
    let ending = match (number % 10, number % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{number}{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elements_of_lists_are_counted_from_one() {
        assert_eq!(in_words("casting.hollow.0", ['`', '`']), "the 1st [[casting.hollow]]");
        assert_eq!(in_words("heater.11.thermostat", ['[', ']']), "`thermostat` of the 12th [[heater]]");
        assert_eq!(in_words("metal.table.22", ['`', '`']), "the 23rd [[metal.table]]");
        assert_eq!(in_words("casting", ['[', ']']), "[casting]");
    }

    #[test]
    fn patterns_find_their_paths() {
        assert_eq!(key("passes.beads.12.power").unwrap().path, "passes.beads.#.power");
        assert_eq!(key("probes.r40.at").unwrap().path, "probes.*.at");
        assert_eq!(key("faces.back").unwrap().path, "faces.*");
        assert!(key("faces.front").is_none() && key("casting.lenght").is_none() && key("casting.length.x").is_none());
        assert!(children("faces.back").any(|key| leaf(key) == "adiabatic"));
    }

    #[test]
    fn every_key_is_there_once_after_its_parent_and_explained() {
        for (at, key) in KEYS.iter().enumerate() {
            assert!(KEYS[..at].iter().all(|other| other.path != key.path), "{} twice", key.path);
            assert!(key.doc.ends_with('.') && !key.example.is_empty(), "{}", key.path);
            let parent = key.path.rsplit_once('.').map(|(parent, _)| parent.trim_end_matches(".#"));
            assert!(parent.is_none_or(|parent| KEYS[..at].iter().any(|other| other.path == parent)), "{}", key.path);
        }
    }
}
