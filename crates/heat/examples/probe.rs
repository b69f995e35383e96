use heat::*;
use std::time::Instant;
fn main() {
    let still = Surface {
        film_coefficient: 8.0,
        air_c: 20.0,
        emissivity: 0.8,
        surroundings_c: 20.0,
        contact_conductance: 0.0,
        contact_c: 20.0,
    };
    let mut surfaces = [still; 6];
    surfaces[5] = Surface::ADIABATIC;
    let patch = Shape::Disc { centre: [0.5, 0.4], radius: 0.06 };
    let mut probes: Vec<Probe> = [0.0, 20.0, 40.0, 60.0, 80.0, 120.0]
        .iter()
        .map(|r| Probe { name: format!("r{r}"), kind: ProbeKind::Point { at: [0.5 + r * 1e-3, 0.4, 0.0] } })
        .collect();
    for d in [6.0, 25.0] {
        probes.push(Probe { name: format!("d{d}"), kind: ProbeKind::Point { at: [0.5, 0.4, d * 1e-3] } });
    }
    let output_s = vec![60., 150., 300., 310., 330., 360., 420., 600., 1200., 3600., 14400.];
    let case = Case {
        block: Block { size: [1.0, 0.8, 0.4] },
        material: Material::constant(7200.0, 46.0, 500.0).unwrap(),
        start_c: 20.0,
        surfaces,
        torches: vec![Torch { patch, kind: TorchKind::Flux { flux: 2.5e5 } }],
        schedule: Schedule::Spans { on: vec![[0.0, 300.0]], end_s: 14400.0 },
        passes: None,
        probes,
        output_s: output_s.clone(),
    };
    let reference = [
        [176.881, 172.105, 153.775, 92.919, 38.002, 21.305, 146.788, 78.447],
        [226.299, 218.859, 193.318, 122.730, 57.949, 27.554, 195.983, 122.098],
        [256.168, 247.818, 219.710, 145.344, 76.139, 37.299, 225.868, 150.618],
        [188.535, 180.219, 154.165, 113.696, 75.552, 37.846, 185.804, 147.436],
        [142.442, 136.044, 118.387, 94.244, 70.278, 38.752, 141.533, 125.164],
        [106.580, 102.807, 92.469, 78.132, 62.953, 39.107, 106.236, 98.854],
        [73.550, 71.879, 67.189, 60.344, 52.484, 37.816, 73.456, 70.725],
        [43.007, 42.609, 41.456, 39.668, 37.419, 32.340, 43.005, 42.468],
        [26.272, 26.226, 26.091, 25.872, 25.579, 24.820, 26.278, 26.237],
        [21.140, 21.138, 21.131, 21.119, 21.103, 21.059, 21.142, 21.145],
        [20.527, 20.527, 20.527, 20.527, 20.527, 20.525, 20.528, 20.531],
    ];
    let args: Vec<f64> = std::env::args().skip(1).map(|a| a.parse().unwrap()).collect();
    let acc = Accuracy {
        cells_across: args.first().map_or(12, |a| *a as usize),
        step_error_k: *args.get(1).unwrap_or(&0.05),
        grids: Grids::Nested,
    };
    let t = Instant::now();
    let method = Method {
        integrator: match args.get(2).map(|a| *a as usize) {
            Some(1) => Integrator::Rodas4,
            Some(2) => Integrator::Ros2,
            Some(3) => Integrator::Ros2Split,
            _ => Integrator::Rodas3,
        },
        equal_steps_s: None,
    };
    let run = solve_by(method, &case, &acc, &|_| true).unwrap();
    let el = t.elapsed().as_secs_f64();
    println!(
        "{:?} {} {:.3} s  {:.1} ns/cell/iter res {:e}",
        run.stats,
        run.model,
        el,
        el * 1e9 / (run.stats.cells * run.stats.iterations) as f64,
        run.ledger.residual_j() / run.ledger.scale_j()
    );
    for l in &run.ledgers {
        println!("{:?} {:e}", l, l.residual_j() / l.scale_j());
    }
    for (n, t) in output_s.iter().enumerate() {
        print!("{t:6} ");
        for p in 0..8 {
            let c = &run.curves[p];
            let e = c.errors_at(*t);
            print!(" {:+.4}({:.4}/{:.4})", c.at(*t) - reference[n][p], e[0], e[1]);
        }
        println!();
    }
    for l in [150.0, 120.0] {
        let c = run.curves[2].falls_below(l, 300.0, 14400.0).unwrap();
        println!("hold {l}: {:.4} +- {:.4}", c.time_s - 300.0, c.error_s);
    }
}
