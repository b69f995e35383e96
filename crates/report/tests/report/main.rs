//! Layout of every format, on outcomes whose numbers are made up.

mod beads;
mod charts;
mod fields;
mod formats;
mod logs;
mod made_up;
mod maps;
mod pictures;
mod real;
mod sheets;
mod side_by_side;
mod words;
