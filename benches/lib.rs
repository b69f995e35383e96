//! Cases that are timed: the yardsticks, read from their own files.

use heat::Case;

const YARDSTICKS: [&str; 3] = [
    include_str!("../validation/yardsticks/y1.toml"),
    include_str!("../validation/yardsticks/y2.toml"),
    include_str!("../validation/yardsticks/y3.toml"),
];

/// The case of yardstick 1, 2 or 3.
///
/// # Panics
/// When the number is none of these or the file does not read, which its own tests rule out.
pub fn yardstick(number: usize) -> Case {
    match scenario::read(YARDSTICKS[number - 1], "yardstick", &[]) {
        Ok(scenario) => scenario.case,
        Err(problems) => panic!("{}", problems.render(false)),
    }
}
