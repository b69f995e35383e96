//! What can go wrong in the engine.

/// Why a case could not be solved.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A number of the case is not finite or outside its range.
    #[error("{what} is {value}; it must be {must_be}")]
    OutOfRange {
        /// Which number.
        what: String,
        /// What it is.
        value: f64,
        /// What is accepted.
        must_be: &'static str,
    },
    /// A torch or a pass works where there is no metal.
    #[error("the {what} reaches over the edge of a hollow; all of it needs metal below it at one depth")]
    OverAHollow {
        /// Which one.
        what: String,
    },
    /// The body of revolution was asked for, and something works on one of the four sides.
    #[error("an axisymmetric body has no sides to heat or to cover: leave accuracy.model out, or write \"block\"")]
    NoSides,
    /// Two covers lie on the same place at the same time.
    #[error("two covers lie on the same place at the same time; one surface has one condition")]
    CoversOverlap,
    /// A probe lies where there is no metal.
    #[error("{what} lies inside a hollow of the casting; it needs metal to read")]
    InAHollow {
        /// Which one.
        what: String,
    },
    /// A torch, pass, ring or probe has no part on the casting.
    #[error("{what} does not lie on the casting")]
    OffTheCasting {
        /// Which one.
        what: String,
    },
    /// A material table is unusable.
    #[error("material table: {reason}")]
    Material {
        /// Why.
        reason: &'static str,
    },
    /// The grid that the accuracy asks for is too large to march.
    #[error(
        "this takes a grid of {cells} cells and {megabytes} MB, and {most_megabytes} MB is the most: ask for fewer cells across, or a smaller casting around the patch"
    )]
    TooLarge {
        /// Cells of the finest grid.
        cells: usize,
        /// Memory that all grids together take, MB.
        megabytes: usize,
        /// The most that is accepted, MB.
        most_megabytes: usize,
    },
    /// The state stopped being a number.
    #[error("the temperature stopped being a number at {time_s} s, cell {cell}")]
    NotANumber {
        /// When, s.
        time_s: f64,
        /// Cell index.
        cell: usize,
    },
    /// The steps became so small that the run would not end.
    #[error("steps fell below {step_s} s at {time_s} s")]
    StepTooSmall {
        /// When, s.
        time_s: f64,
        /// Step, s.
        step_s: f64,
    },
    /// A schedule refers to a probe that is not there.
    #[error("probe number {index} does not exist")]
    NoSuchProbe {
        /// The index.
        index: usize,
    },
}
