//! Writes `validation/RESULTS.md`.

use std::error::Error;

use validation::results::Results;

fn main() -> Result<(), Box<dyn Error>> {
    let results = Results::compute()?;
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/RESULTS.md");
    std::fs::write(path, results.markdown())?;
    Ok(())
}
