//! Times of the triad, of single steps and of the yardsticks: `cargo bench -p benches`.

use std::hint::black_box;
use std::time::Duration;

use benches::boxes::{ACROSS, Body, Metal};
use benches::triad::{Triad, levels};
use criterion::measurement::WallTime;
use criterion::{BenchmarkGroup, Criterion, Throughput, criterion_group, criterion_main};
use heat::{Accuracy, Grids, solve};

fn triad(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("triad a = b + s c");
    for level in levels() {
        let mut triad = Triad::within(&level);
        group.throughput(Throughput::Bytes(triad.bytes() as u64));
        group.bench_function(level.name, |bencher| bencher.iter(|| triad.pass(black_box(3.0))));
    }
    group.finish();
}

fn steps(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("one step of 1 s");
    group.sample_size(10);
    for metal in [Metal::Constant, Metal::Tabled] {
        one_step(&mut group, "revolved", &Body::revolved(metal));
        for across in ACROSS {
            one_step(&mut group, "quarter", &Body::quarter(across, metal));
        }
    }
    group.finish();
}

/// Steps that are timed in one march: the metal must not grow hotter with the number of samples.
const STEPS_AT_ONCE: u64 = 10;

fn one_step(group: &mut BenchmarkGroup<'_, WallTime>, shape: &str, body: &Body) {
    let cells = match body.march(0) {
        Ok(march) => march.cells,
        Err(refusal) => return println!("{shape}, {} across: {refusal}", body.cells_across),
    };
    group.throughput(Throughput::Elements(cells as u64));
    group.bench_function(format!("{shape} of {cells} cells, {}", body.metal.name()), |bencher| {
        bencher.iter_custom(|wanted| {
            let mut seconds = 0.0;
            for from in (0..wanted).step_by(STEPS_AT_ONCE as usize) {
                let steps = (wanted - from).min(STEPS_AT_ONCE) as usize;
                seconds += body.march(steps).map_or(0.0, |march| march.seconds.iter().sum());
            }
            Duration::from_secs_f64(seconds)
        });
    });
}

fn yardsticks(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("yardstick");
    group.sample_size(10);
    for number in [1, 2, 3, 4] {
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

criterion_group!(engine, triad, steps, yardsticks);
criterion_main!(engine);
