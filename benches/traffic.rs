//! What a step of [`Ros2`](heat::Integrator::Ros2) moves and computes, counted by reading the engine's loops.
//!
//! Every pass over the cells counts the whole arrays that it reads and writes, 8 bytes a cell each. Not counted: what
//! a fused pass finds in the first or second level of cache (rows that were just written, the neighbours in a
//! stencil), the surface nodes, and the lines' own coefficients. Additions and multiplications count one each;
//! comparisons, conversions and look-ups in the property tables none. Divisions are counted apart.
//!
//! A step takes its systems one of two ways. Where one sweep of line solves stands for the solution of each, it moves 368
//! bytes and takes 108 operations with constant properties; with tables 48 bytes, 26 operations and three divisions more.
//! Where systems are solved, `i` iterations each, it moves `304 + 2 (8 + 144 i)` bytes and takes `75 + 2 (42 i - 1)`
//! operations; with tables 16 bytes, 24 operations and a division more.

/// Systems of a step.
pub const STAGES: usize = 2;

/// One pass over all cells.
#[derive(Clone, Copy, Debug)]
struct Pass {
    /// How often it happens.
    times: usize,
    /// Arrays read and written.
    arrays: usize,
    /// Additions and multiplications, with constant properties.
    operations: usize,
    /// More of these with property tables, and divisions.
    tables: Tables,
}

#[derive(Clone, Copy, Debug)]
struct Tables {
    arrays: usize,
    operations: usize,
    divisions: usize,
}

const fn pass(times: usize, reads: usize, writes: usize, operations: usize) -> Pass {
    Pass { times, arrays: reads + writes, operations, tables: Tables { arrays: 0, operations: 0, divisions: 0 } }
}

const fn with_tables(pass: Pass, arrays: usize, operations: usize, divisions: usize) -> Pass {
    Pass { tables: Tables { arrays, operations, divisions }, ..pass }
}

/// A step whose systems are swept.
const SWEPT: [Pass; 17] = [
    // The matrix.
    pass(1, 1, 1, 2),                       // diagonal
    with_tables(pass(1, 0, 0, 0), 1, 2, 0), // span of the diffusivity
    pass(1, 1, 0, 1),                       // sum of the diagonal
    // Right-hand sides: the first system's, then the second's.
    pass(1, 1, 1, 0),                       // power
    pass(1, 2, 1, 2),                       // place of the stage
    with_tables(pass(1, 1, 1, 1), 0, 8, 0), // its potential
    pass(1, 2, 1, 25),                      // outflow of 19, coupled with the first stage
    // Each system.
    pass(STAGES, 2, 1, 15),                      // line solves of 5 each way: there,
    pass(STAGES, 1, 1, 2),                       // and back along z, with a product
    with_tables(pass(STAGES, 2, 0, 2), 2, 1, 1), // heat held, by tables at each node's own diffusivity
    pass(STAGES, 1, 0, 1),                       // heat asked for
    pass(STAGES, 2, 1, 2),                       // potential to enthalpy
    // The new state.
    pass(1, 2, 0, 7),                        // error
    pass(1, 3, 1, 4),                        // new enthalpy
    pass(1, 1, 0, 2),                        // its span
    with_tables(pass(1, 1, 1, 1), 1, 14, 1), // potential, and diffusivity by tables
    pass(1, 1, 1, 19),                       // outflow
];

/// A step whose systems are solved, without their iterations.
const SOLVED: [Pass; 19] = [
    pass(1, 1, 1, 2),                        // diagonal
    with_tables(pass(1, 0, 0, 0), 1, 2, 0),  // span of the diffusivity
    pass(1, 1, 0, 1),                        // sum of the diagonal
    pass(1, 1, 1, 5),                        // links added up, and the diagonal
    pass(1, 1, 1, 0),                        // the first right-hand side: power
    pass(1, 1, 1, 0),                        // kept for the second
    pass(1, 2, 1, 2),                        // potential to enthalpy
    pass(1, 2, 1, 2),                        // place of the second stage
    with_tables(pass(1, 1, 1, 1), 0, 8, 0),  // its potential
    pass(1, 2, 1, 25),                       // outflow of 19, coupled with the first stage
    pass(1, 2, 1, 1),                        // paired with the first
    pass(1, 3, 1, 3),                        // potential to enthalpy
    pass(1, 2, 0, 7),                        // error
    pass(1, 3, 1, 4),                        // new enthalpy
    pass(1, 1, 0, 2),                        // its span
    with_tables(pass(1, 1, 1, 1), 1, 14, 1), // potential, and diffusivity by tables
    pass(1, 1, 1, 19),                       // outflow
    pass(STAGES, 0, 1, 0),                   // start from zero
    pass(STAGES, 1, 0, 1),                   // what is left, added up
];

/// The first iteration of a system.
const FIRST: [Pass; 4] = [
    pass(1, 3, 2, 17), // line solves of 5 each way, and a product: there, and back along z
    pass(1, 1, 1, 0),  // the direction: a copy
    pass(1, 2, 1, 17), // the matrix times the direction, and a product
    pass(1, 5, 2, 6),  // solution, residual, and its largest
];

/// A later one reads one array more and takes two operations more.
const LATER: [Pass; 1] = [pass(1, 1, 0, 2)];

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

impl Count {
    /// So many times a list of passes.
    fn plus(mut self, times: f64, passes: &[Pass], tables: bool) -> Count {
        for Pass { times: each, arrays, operations, tables: more } in passes {
            let (times, share) = (times * *each as f64, usize::from(tables));
            self.bytes += times * (8 * (arrays + share * more.arrays)) as f64;
            self.operations += times * (operations + share * more.operations) as f64;
            self.divisions += times * (share * more.divisions) as f64;
        }
        self
    }
}

/// The count of a step with so many iterations of each system; one, where a sweep stands for it.
pub fn count(iterations: f64, tables: bool) -> Count {
    let none = Count { bytes: 0.0, operations: 0.0, divisions: 0.0 };
    if iterations <= 1.0 {
        return none.plus(1.0, &SWEPT, tables);
    }
    let systems = STAGES as f64;
    let solved = none.plus(1.0, &SOLVED, tables).plus(systems * iterations, &FIRST, tables);
    solved.plus(systems * (iterations - 1.0), &LATER, tables)
}

/// Arrays over all cells that the step works in, each of 8 bytes a cell.
pub const ARRAYS: usize = 12;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_those_of_the_words_above() {
        let (constant, tables) = (count(1.0, false), count(1.0, true));
        assert_eq!((constant.bytes, constant.operations, constant.divisions), (368.0, 108.0, 0.0));
        assert_eq!((tables.bytes, tables.operations, tables.divisions), (416.0, 134.0, 3.0));
        for i in [2.5, 7.0] {
            let (constant, tables) = (count(i, false), count(i, true));
            assert_eq!(constant.bytes, 304.0 + 2.0 * (8.0 + 144.0 * i));
            assert_eq!(constant.operations, 75.0 + 2.0 * (42.0 * i - 1.0));
            assert_eq!(tables.bytes - constant.bytes, 16.0);
            assert_eq!((tables.operations - constant.operations, tables.divisions), (24.0, 1.0));
        }
    }
}
