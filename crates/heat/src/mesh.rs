//! The conservative finite-difference mesh: cell volumes and the conductances between neighbours.
//!
//! Nodes sit on the grid lines, faces halfway between, so a node lies on every surface of the metal. All that
//! the solver sees are volumes and conductances; it does not know what shape the body has.

use crate::kernels::dot;

/// Geometry of one grid.
#[derive(Clone, Debug)]
pub struct Mesh {
    /// Nodes along x, y, z.
    pub count: [usize; 3],
    /// Node places along each direction, m.
    pub nodes: [Vec<f64>; 3],
    /// Cell volume of each node, m3; x runs fastest, then y, then z.
    pub volume: Vec<f64>,
    /// Face area over distance to the next node along x, y, z, m; 0 at the last.
    pub conductance: [Vec<f64>; 3],
}

impl Mesh {
    /// The mesh of a box with nodes on the given lines.
    pub fn of_box(nodes: [Vec<f64>; 3]) -> Mesh {
        let count = [nodes[0].len(), nodes[1].len(), nodes[2].len()];
        let widths = [widths(&nodes[0]), widths(&nodes[1]), widths(&nodes[2])];
        let inverse = [inverse_gaps(&nodes[0]), inverse_gaps(&nodes[1]), inverse_gaps(&nodes[2])];
        let mut mesh = Mesh { count, nodes, volume: Vec::new(), conductance: Default::default() };
        for (k, z) in widths[2].iter().enumerate() {
            for (j, y) in widths[1].iter().enumerate() {
                for (i, x) in widths[0].iter().enumerate() {
                    mesh.volume.push(x * y * z);
                    mesh.conductance[0].push(inverse[0][i] * (y * z));
                    mesh.conductance[1].push(inverse[1][j] * (x * z));
                    mesh.conductance[2].push(inverse[2][k] * (x * y));
                }
            }
        }
        mesh
    }

    /// Number of nodes.
    pub fn len(&self) -> usize {
        self.volume.len()
    }

    /// Number of a node from its place along x, y, z.
    pub fn index(&self, i: usize, j: usize, k: usize) -> usize {
        i + self.count[0] * (j + self.count[1] * k)
    }

    /// Both edges of the cell around node `n` along a direction, m.
    pub fn cell(&self, direction: usize, n: usize) -> [f64; 2] {
        let nodes = &self.nodes[direction];
        let low = if n == 0 { nodes[0] } else { 0.5 * (nodes[n - 1] + nodes[n]) };
        let high = if n + 1 == nodes.len() { nodes[n] } else { 0.5 * (nodes[n] + nodes[n + 1]) };
        [low, high]
    }

    /// Sum of the conductances that meet at each node, m.
    pub fn total_links(&self) -> Vec<f64> {
        let mut total = vec![0.0; self.len()];
        let strides = [1, self.count[0], self.count[0] * self.count[1]];
        for (link, stride) in self.conductance.iter().zip(strides) {
            for (n, &g) in link.iter().enumerate().filter(|(_, g)| **g > 0.0) {
                total[n] += g;
                total[n + stride] += g;
            }
        }
        total
    }

    /// `out = -L' potential`: the net power into each node, W, for a potential in W/m.
    pub fn inflow(&self, potential: &[f64], out: &mut [f64]) {
        self.each_row(potential, |range, outflow| {
            for (out, flow) in out[range].iter_mut().zip(outflow) {
                *out = -flow;
            }
        });
    }

    /// `out = diagonal * x + L' x`; returns the sum of `x * out`.
    pub fn operator(&self, diagonal: &[f64], x: &[f64], out: &mut [f64]) -> f64 {
        let mut sum = 0.0;
        self.each_row(x, |range, outflow| {
            let (d, x, out) = (&diagonal[range.clone()], &x[range.clone()], &mut out[range]);
            for (((out, flow), d), x) in out.iter_mut().zip(outflow).zip(d).zip(x) {
                *out = d * x + flow;
            }
            sum += dot(x, out);
        });
        sum
    }

    /// Calls `take` with every row's range and its `L' x`.
    fn each_row(&self, x: &[f64], mut take: impl FnMut(std::ops::Range<usize>, &[f64])) {
        let [nx, ny, nz] = self.count;
        let mut row = vec![0.0; nx];
        for k in 0..nz {
            for j in 0..ny {
                self.outflow_row(x, (j, k), &mut row);
                let start = nx * (j + ny * k);
                take(start..start + nx, &row);
            }
        }
    }

    /// `L' x` of one row. At the first and last row or plane the neighbour is the row itself with no link, which
    /// keeps branches out of the inner loops.
    fn outflow_row(&self, x: &[f64], (j, k): (usize, usize), out: &mut [f64]) {
        let [nx, ny, nz] = self.count;
        let plane = nx * ny;
        let start = nx * (j + ny * k);
        let row = |from: usize| from..from + nx;
        let (left, right) = (if j > 0 { start - nx } else { start }, if j + 1 < ny { start + nx } else { start });
        let (over, under) = (if k > 0 { start - plane } else { start }, if k + 1 < nz { start + plane } else { start });
        // At a first row `left` is the row itself: its link leads to the next row, but the difference is nothing.
        let [gx, gy, gz] = &self.conductance;
        let own = &x[row(start)];
        cross_flow(own, (&x[row(left)], &gy[row(left)]), (&x[row(right)], &gy[row(start)]), out, false);
        cross_flow(own, (&x[row(over)], &gz[row(over)]), (&x[row(under)], &gz[row(start)]), out, true);
        let (gx, inner) = (&gx[row(start)][..nx - 1], nx - 1);
        for (((out, g), here), next) in out[..inner].iter_mut().zip(gx).zip(&own[..inner]).zip(&own[1..]) {
            *out += g * (here - next);
        }
        for (((out, g), here), last) in out[1..].iter_mut().zip(gx).zip(&own[1..]).zip(&own[..inner]) {
            *out += g * (here - last);
        }
    }
}

/// Flow from a row to its two neighbours across one direction, each given with its links.
#[inline]
fn cross_flow(own: &[f64], low: (&[f64], &[f64]), high: (&[f64], &[f64]), out: &mut [f64], add: bool) {
    let count = out.len();
    let (own, low_x, low_g) = (&own[..count], &low.0[..count], &low.1[..count]);
    let (high_x, high_g) = (&high.0[..count], &high.1[..count]);
    for i in 0..count {
        let flow = low_g[i] * (own[i] - low_x[i]) + high_g[i] * (own[i] - high_x[i]);
        out[i] = if add { out[i] + flow } else { flow };
    }
}

/// Cell widths around the nodes of one direction, m.
pub fn widths(nodes: &[f64]) -> Vec<f64> {
    let last = nodes.len() - 1;
    (0..=last).map(|n| 0.5 * (nodes[(n + 1).min(last)] - nodes[n.saturating_sub(1)])).collect()
}

/// One over the distance to the next node, 1/m; 0 at the last.
pub fn inverse_gaps(nodes: &[f64]) -> Vec<f64> {
    let mut gaps: Vec<f64> = nodes.windows(2).map(|w| 1.0 / (w[1] - w[0])).collect();
    gaps.push(0.0);
    gaps
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mesh() -> Mesh {
        Mesh::of_box([vec![0.0, 0.1, 0.3, 0.4], vec![0.0, 0.2, 0.5], vec![0.0, 0.01, 0.03, 0.07, 0.2]])
    }

    #[test]
    fn cells_fill_the_box() {
        let total: f64 = mesh().volume.iter().sum();
        assert!((total - 0.4 * 0.5 * 0.2).abs() < 1e-15);
    }

    #[test]
    fn inflow_of_any_field_sums_to_nothing() {
        let mesh = mesh();
        let field: Vec<f64> = (0..mesh.len()).map(|n| ((n * 7919) % 101) as f64).collect();
        let mut out = vec![0.0; mesh.len()];
        mesh.inflow(&field, &mut out);
        let total: f64 = out.iter().sum();
        let size: f64 = out.iter().map(|v| v.abs()).sum();
        assert!(total.abs() < 1e-13 * size && size > 0.0);
    }

    #[test]
    fn inflow_of_a_linear_field_vanishes_inside() {
        let mesh = mesh();
        let mut field = vec![0.0; mesh.len()];
        for k in 0..5 {
            for j in 0..3 {
                for i in 0..4 {
                    let at = [mesh.nodes[0][i], mesh.nodes[1][j], mesh.nodes[2][k]];
                    field[mesh.index(i, j, k)] = 3.0 * at[0] - 2.0 * at[1] + 5.0 * at[2];
                }
            }
        }
        let mut out = vec![0.0; mesh.len()];
        mesh.inflow(&field, &mut out);
        assert!(out[mesh.index(1, 1, 2)].abs() < 1e-14);
    }
}
