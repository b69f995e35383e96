//! What a step of [`Ros2`](heat::Integrator::Ros2) moves and computes, counted by reading the engine's loops.
//!
//! Every pass over the cells counts the whole arrays that it reads and writes, 8 bytes a cell each. Not counted: what
//! a fused pass finds in the first or second level of cache (rows that were just written, the neighbours in a
//! stencil), the surface nodes, and the lines' own coefficients. Additions and multiplications count one each;
//! comparisons, conversions and look-ups in the property tables none. Divisions are counted apart.
//!
//! With `i` iterations of each of the two systems the sums are, for constant properties,
//! `328 + 2 (8 + 144 i)` bytes and `79 + 2 (42 i - 1)` operations; tables add 22 operations and a division.

/// Systems solved in a step.
pub const STAGES: usize = 2;

/// How often a pass happens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Times {
    /// Once a step.
    Step,
    /// Once for each system.
    System,
    /// At every iteration of a system.
    Iteration,
    /// At every iteration of a system but its first.
    LaterIteration,
}

/// One pass over all cells.
#[derive(Clone, Copy, Debug)]
struct Pass {
    times: Times,
    /// Arrays read and written.
    arrays: usize,
    /// Additions and multiplications, with constant properties.
    operations: usize,
    /// More of them with property tables.
    table_operations: usize,
    table_divisions: usize,
}

const fn pass(times: Times, reads: usize, writes: usize, operations: usize) -> Pass {
    Pass { times, arrays: reads + writes, operations, table_operations: 0, table_divisions: 0 }
}

const PASSES: [Pass; 25] = [
    // The matrix.
    pass(Times::Step, 1, 0, 2), // span of the enthalpy
    pass(Times::Step, 1, 1, 2), // diagonal
    pass(Times::Step, 1, 0, 2), // span of the diffusivity
    pass(Times::Step, 1, 0, 1), // sum of the diagonal
    pass(Times::Step, 1, 1, 5), // links added up, and the diagonal
    // The first system's right-hand side and its solution as enthalpy.
    pass(Times::Step, 1, 1, 0), // power
    pass(Times::Step, 1, 1, 0), // kept for the second
    pass(Times::Step, 2, 1, 2), // potential to enthalpy
    // The second's.
    pass(Times::Step, 2, 1, 2),                                 // place of the stage
    Pass { table_operations: 8, ..pass(Times::Step, 1, 1, 1) }, // its potential
    pass(Times::Step, 2, 1, 25),                                // outflow of 19, coupled with the first stage
    pass(Times::Step, 2, 1, 1),                                 // paired with the first
    pass(Times::Step, 3, 1, 3),                                 // potential to enthalpy
    // The new state.
    pass(Times::Step, 2, 0, 7),                                                      // error
    pass(Times::Step, 3, 1, 4),                                                      // new enthalpy
    Pass { table_operations: 14, table_divisions: 1, ..pass(Times::Step, 1, 2, 1) }, // potential and diffusivity
    pass(Times::Step, 1, 1, 19),                                                     // outflow
    pass(Times::Step, 1, 0, 2),                                                      // span of the enthalpy
    // Each system.
    pass(Times::System, 0, 1, 0),         // start from zero
    pass(Times::System, 1, 0, 1),         // what is left, added up
    pass(Times::Iteration, 3, 2, 17),     // line solves of 5 each way, and a product: there, and back along z
    pass(Times::System, 1, 1, 0),         // first direction: a copy
    pass(Times::LaterIteration, 2, 1, 2), // later ones
    pass(Times::Iteration, 2, 1, 17),     // the matrix times the direction, and a product
    pass(Times::Iteration, 5, 2, 6),      // solution, residual, and its largest
];

/// What a step moves and computes for each cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Count {
    /// Bytes.
    pub bytes: f64,
    /// Additions and multiplications.
    pub operations: f64,
    /// Divisions.
    pub divisions: f64,
}

/// The count for so many iterations of each system.
pub fn count(iterations: f64, tables: bool) -> Count {
    let mut sum = Count { bytes: 0.0, operations: 0.0, divisions: 0.0 };
    for pass in PASSES {
        let systems = STAGES as f64;
        let times = match pass.times {
            Times::Step => 1.0,
            Times::System => systems,
            Times::Iteration => systems * iterations,
            Times::LaterIteration => systems * (iterations - 1.0),
        };
        let more = if tables { [pass.table_operations, pass.table_divisions] } else { [0, 0] };
        sum.bytes += times * 8.0 * pass.arrays as f64;
        sum.operations += times * (pass.operations + more[0]) as f64;
        sum.divisions += times * more[1] as f64;
    }
    sum
}

/// Arrays over all cells that the step works in, each of 8 bytes a cell.
pub const ARRAYS: usize = 12;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_those_of_the_formulas() {
        for i in [1.0, 2.5, 7.0] {
            let (constant, tables) = (count(i, false), count(i, true));
            assert_eq!(constant.bytes, 328.0 + 2.0 * (8.0 + 144.0 * i));
            assert_eq!(constant.operations, 79.0 + 2.0 * (42.0 * i - 1.0));
            assert_eq!((tables.operations - constant.operations, tables.divisions), (22.0, 1.0));
            assert_eq!((tables.bytes, constant.divisions), (constant.bytes, 0.0));
        }
    }
}
