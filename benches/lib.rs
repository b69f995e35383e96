//! What is timed and measured: the yardsticks, boxes of many sizes, the triad, and the traffic of a step.

pub mod boxes;
pub mod page;
pub mod picture;
pub mod traffic;
pub mod triad;

use heat::Case;

const YARDSTICKS: [&str; 4] = [
    include_str!("../validation/yardsticks/y1.toml"),
    include_str!("../validation/yardsticks/y2.toml"),
    include_str!("../validation/yardsticks/y3.toml"),
    include_str!("../validation/yardsticks/y4.toml"),
];

/// The case of yardstick 1, 2, 3 or 4.
///
/// # Panics
/// When the number is none of these or the file does not read, which its own tests rule out.
pub fn yardstick(number: usize) -> Case {
    match scenario::read(YARDSTICKS[number - 1], "yardstick", &[]) {
        Ok(scenario) => scenario.case,
        Err(problems) => panic!("{}", problems.render(false)),
    }
}
