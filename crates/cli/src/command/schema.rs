//! `schema`: JSON schemas.

use warmhold::{report, scenario, study};

use crate::args::Schema;
use crate::failure::Failure;
use crate::output::print;

/// What `--json` prints; a test holds it against a real outcome.
const OUTCOME: &str = include_str!("../outcome.schema.json");

/// Prints a schema.
pub(crate) fn run(of: Schema) -> Result<u8, Failure> {
    match of {
        Schema::Scenario => print(&format!("{:#}\n", scenario::schema())),
        Schema::Outcome => print(OUTCOME),
        Schema::Rules => print(&report::json_of(&study::schema_of::<study::rules::Table>())),
        Schema::Spread => print(&report::json_of(&study::schema_of::<study::spread::Spread>())),
        Schema::Cool => print(&report::json_of(&study::schema_of::<study::cool::Cool>())),
        Schema::Explain => print(&report::json_of(&study::schema_of::<study::explain::Explanation>())),
        Schema::Plan => print(&report::json_of(&study::schema_of::<study::plan::Plan>())),
    }
}
