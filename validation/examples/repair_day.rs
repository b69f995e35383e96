//! Makes the reference of yardstick 4 again, on standard output: `repair_day > validation/yardsticks/y4.reference.csv`.
//! A quarter of an hour of processor time.

fn main() -> Result<(), validation::Error> {
    print!("{}", validation::repair_day::table()?);
    Ok(())
}
