//! Times of the engine: `cargo bench`.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use heat::{Accuracy, Grids, Method, Schedule, solve, solve_by};

fn yardsticks(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("yardstick");
    group.sample_size(10);
    for number in [1, 2, 3] {
        let case = benches::yardstick(number);
        group.bench_function(format!("y{number} nested, default accuracy"), |bencher| {
            bencher.iter(|| solve(black_box(&case), &Accuracy::default(), &|_| true));
        });
        let one_grid = Accuracy { grids: Grids::MiddleOnly, ..Accuracy::default() };
        group.bench_function(format!("y{number} one grid"), |bencher| {
            bencher.iter(|| solve(black_box(&case), &one_grid, &|_| true));
        });
    }
    group.finish();
}

/// Setting up and one step: the difference between one and eleven steps is the cost of ten.
fn steps(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("steps of yardstick 1 on one grid of 32 thousand cells");
    group.sample_size(10);
    for count in [1, 11] {
        let mut case = benches::yardstick(1);
        case.output_s.clear();
        case.schedule = Schedule::Spans { on: vec![[0.0, f64::from(count)]], end_s: f64::from(count) };
        let accuracy = Accuracy { cells_across: 20, grids: Grids::MiddleOnly, ..Accuracy::default() };
        let method = Method { equal_steps_s: Some(1.0), ..Method::default() };
        group.bench_function(format!("set up and {count} steps of 1 s"), |bencher| {
            bencher.iter(|| solve_by(method, black_box(&case), &accuracy, &|_| true));
        });
    }
    group.finish();
}

criterion_group!(engine, yardsticks, steps);
criterion_main!(engine);
