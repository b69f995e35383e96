//! `schema`: JSON schemas.

use warmhold::scenario;

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
        Schema::Pages => print(PAGES),
    }
}
