//! `schema`: JSON schemas.

use warmhold::{report, scenario, study};

use crate::args::Schema;
use crate::failure::Failure;
use crate::output::print;

/// What `--json` prints; a test holds it against a real outcome.
const OUTCOME: &str = include_str!("../outcome.schema.json");
/// The same of `fit`, `compare` and `advice`.
const FIT: &str = include_str!("../fit.schema.json");
const COMPARISON: &str = include_str!("../comparison.schema.json");
const ADVICE: &str = include_str!("../advice.schema.json");
/// The same of `report`, `card`, `sheet` and `page`.
const PAGES: &str = include_str!("../pages.schema.json");

/// Prints a schema.
pub(crate) fn run(of: Schema) -> Result<u8, Failure> {
    match of {
        Schema::Scenario => print(&format!("{:#}\n", scenario::schema())),
        Schema::Outcome => print(OUTCOME),
        Schema::Fit => print(FIT),
        Schema::Comparison => print(COMPARISON),
        Schema::Advice => print(ADVICE),
        Schema::Rules => print(&report::json(&study::schema_of::<study::rules::Table>())),
        Schema::Spread => print(&report::json(&study::schema_of::<study::spread::Spread>())),
        Schema::Cool => print(&report::json(&study::schema_of::<study::cool::Cool>())),
        Schema::Explain => print(&report::json(&study::schema_of::<study::explain::Explanation>())),
        Schema::Plan => print(&report::json(&study::schema_of::<study::plan::Plan>())),
        Schema::Pages => print(PAGES),
    }
}
