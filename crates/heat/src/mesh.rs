//! The conservative finite-difference mesh: cell volumes and the conductances between neighbours, as products of
//! three lines.
//!
//! Nodes sit on the grid lines, faces halfway between, so a node lies on every surface of the metal. Nothing but the
//! three lines is stored: whole arrays of conductances would cost more memory traffic than all else in a step.

use crate::cut::Cut;
use crate::hollows::Hollows;
use crate::kernels::dot;
use crate::line::Line;

/// Geometry of one grid.
#[derive(Clone, Debug)]
pub struct Mesh {
    /// Lines along x (or the radius), y and z.
    pub lines: [Line; 3],
    /// Nodes along each.
    pub count: [usize; 3],
    /// Links along x, with a 0 in front: entry `i` leads to node `i` from the one before.
    links_x: Vec<f64>,
    /// Volumes and links node by node, for a body that is not a box.
    pub cut: Option<Cut>,
}

/// One row of cells along x.
#[derive(Clone, Copy, Debug)]
pub struct Row<'a> {
    /// Number of its first node.
    pub start: usize,
    /// Product of its weights along y and z; 1 for a body that is not a box.
    pub weight: f64,
    /// Weights along x; whole volumes for a body that is not a box.
    pub weights: &'a [f64],
    /// Links to the rows at lower y, higher y, lower z, higher z, without the weight along x.
    links: [f64; 4],
    /// First nodes of these rows; the row's own where there is none.
    neighbours: [usize; 4],
}

impl Mesh {
    /// The mesh of three lines.
    pub fn new(lines: [Line; 3]) -> Mesh {
        let count = [lines[0].len(), lines[1].len(), lines[2].len()];
        let links_x = std::iter::once(0.0).chain(lines[0].links.iter().copied()).collect();
        Mesh { lines, count, links_x, cut: None }
    }

    /// The same without the metal of hollows.
    pub fn without(mut self, hollows: &Hollows) -> Mesh {
        if !hollows.boxes.is_empty() {
            self.cut = Some(Cut::new(&self.lines, hollows));
        }
        self
    }

    /// Number of nodes.
    pub fn len(&self) -> usize {
        self.count.iter().product()
    }

    /// Number of nodes that have metal.
    pub fn cells(&self) -> usize {
        match &self.cut {
            Some(cut) => cut.volumes.iter().filter(|volume| **volume > 0.0).count(),
            None => self.len(),
        }
    }

    /// Number of a node from its place along x, y, z.
    pub fn index(&self, i: usize, j: usize, k: usize) -> usize {
        i + self.count[0] * (j + self.count[1] * k)
    }

    /// Volume of a node's cell, m3.
    pub fn volume(&self, node: usize) -> f64 {
        if let Some(cut) = &self.cut {
            return cut.volumes[node];
        }
        let [nx, ny, _] = self.count;
        let [x, y, z] = &self.lines;
        x.weights[node % nx] * y.weights[node / nx % ny] * z.weights[node / (nx * ny)]
    }

    /// Volume of the whole grid, m3.
    pub fn total_volume(&self) -> f64 {
        match &self.cut {
            Some(cut) => crate::kernels::sum(&cut.volumes),
            None => self.lines.iter().map(|line| line.weights.iter().sum::<f64>()).product(),
        }
    }

    /// All rows in order.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> + '_ {
        (0..self.count[2]).flat_map(move |k| (0..self.count[1]).map(move |j| self.row(j, k)))
    }

    fn row(&self, j: usize, k: usize) -> Row<'_> {
        let [nx, ny, nz] = self.count;
        let [_, y, z] = &self.lines;
        let start = nx * (j + ny * k);
        let (wy, wz) = (y.weights[j], z.weights[k]);
        let links = [y.before(j) * wz, y.links[j] * wz, z.before(k) * wy, z.links[k] * wy];
        let at = |there: bool, place: usize| if there { place } else { start };
        let neighbours = [
            at(j > 0, start.wrapping_sub(nx)),
            at(j + 1 < ny, start + nx),
            at(k > 0, start.wrapping_sub(nx * ny)),
            at(k + 1 < nz, start + nx * ny),
        ];
        let (weight, weights) = match &self.cut {
            Some(cut) => (1.0, &cut.volumes[start..start + nx]),
            None => (wy * wz, &self.lines[0].weights[..]),
        };
        Row { start, weight, weights, links, neighbours }
    }

    /// Sum of `values` times cell volumes.
    pub fn integral(&self, values: &[f64]) -> f64 {
        let sum = |row: Row<'_>| row.weight * dot(row.weights, &values[row.start..row.start + row.weights.len()]);
        self.rows().map(sum).sum()
    }

    /// Calls `take` with each row and its sums of links at each node, m.
    pub fn each_row_links(&self, mut take: impl FnMut(Row<'_>, &[f64])) {
        let weights = &self.lines[0].weights;
        let mut sums = vec![0.0; weights.len()];
        for row in self.rows() {
            if let Some(cut) = &self.cut {
                cut.row_links(row.start, &mut sums);
                take(row, &sums);
                continue;
            }
            let across: f64 = row.links.iter().sum();
            let along = self.links_x.windows(2);
            for ((sum, w), pair) in sums.iter_mut().zip(weights).zip(along) {
                *sum = row.weight * (pair[0] + pair[1]) + w * across;
            }
            take(row, &sums);
        }
    }

    /// `out = D x + L' x`, given `total`, the diagonal of the whole matrix `D + L'`; returns the sum of `x * out`.
    ///
    /// Sums of products instead of differences: a third less work than [`Mesh::each_outflow`], and good enough for the
    /// corrections that the solver works on.
    pub fn operator(&self, total: &[f64], x: &[f64], out: &mut [f64]) -> f64 {
        let count = self.count[0];
        if let Some(cut) = &self.cut {
            let rows = out.chunks_exact_mut(count).enumerate();
            return rows.map(|(n, out)| cut.operator(total, x, n * count, out)).sum();
        }
        let weights = &self.lines[0].weights[..count];
        let (before, after) = (&self.links_x[..count], &self.links_x[1..=count]);
        let mut padded = vec![0.0; count + 2];
        let mut sum = 0.0;
        for row in self.rows() {
            let range = row.start..row.start + count;
            let own = &x[range.clone()];
            padded[1..=count].copy_from_slice(own);
            let (last, next) = (&padded[..count], &padded[2..count + 2]);
            let [a, b, c, d] = row.neighbours.map(|start| &x[start..start + count]);
            let [to_a, to_b, to_c, to_d] = row.links;
            let (total, out) = (&total[range.clone()], &mut out[range]);
            for i in 0..count {
                let along = before[i] * last[i] + after[i] * next[i];
                let across = (to_a * a[i] + to_b * b[i]) + (to_c * c[i] + to_d * d[i]);
                out[i] = total[i] * own[i] - (row.weight * along + weights[i] * across);
            }
            sum += dot(own, out);
        }
        sum
    }

    /// Calls `take` with every row and its `L' x`.
    pub fn each_outflow(&self, x: &[f64], mut take: impl FnMut(Row<'_>, &[f64])) {
        let count = self.count[0];
        // The row with its end values repeated, so that the loop along it needs no branches.
        let mut padded = vec![0.0; count + 2];
        let mut out = vec![0.0; count];
        for row in self.rows() {
            if let Some(cut) = &self.cut {
                cut.outflow(x, row.start, &mut out);
                take(row, &out);
                continue;
            }
            let own = &x[row.start..row.start + count];
            padded[1..=count].copy_from_slice(own);
            (padded[0], padded[count + 1]) = (own[0], own[count - 1]);
            let neighbours = row.neighbours.map(|start| &x[start..start + count]);
            self.outflow(row, &padded, neighbours, &mut out);
            take(row, &out);
        }
    }

    fn outflow(&self, row: Row<'_>, padded: &[f64], neighbours: [&[f64]; 4], out: &mut [f64]) {
        let count = out.len();
        let weights = &self.lines[0].weights[..count];
        let (before, after) = (&self.links_x[..count], &self.links_x[1..=count]);
        let (last, own, next) = (&padded[..count], &padded[1..=count], &padded[2..count + 2]);
        let [a, b, c, d] = neighbours.map(|row| &row[..count]);
        let [to_a, to_b, to_c, to_d] = row.links;
        for i in 0..count {
            let here = own[i];
            let along = before[i] * (here - last[i]) + after[i] * (here - next[i]);
            let across = to_a * (here - a[i]) + to_b * (here - b[i]) + to_c * (here - c[i]) + to_d * (here - d[i]);
            out[i] = row.weight * along + weights[i] * across;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mesh() -> Mesh {
        let lines = [vec![0.0, 0.1, 0.3, 0.4], vec![0.0, 0.2, 0.5], vec![0.0, 0.01, 0.03, 0.07, 0.2]];
        Mesh::new(lines.map(Line::straight))
    }

    fn outflow(mesh: &Mesh, field: &[f64]) -> Vec<f64> {
        let mut out = vec![0.0; mesh.len()];
        mesh.each_outflow(field, |row, flow| out[row.start..row.start + flow.len()].copy_from_slice(flow));
        out
    }

    #[test]
    fn cells_fill_the_box() {
        let mesh = mesh();
        let total: f64 = (0..mesh.len()).map(|n| mesh.volume(n)).sum();
        assert!((total - 0.4 * 0.5 * 0.2).abs() < 1e-15 && (total - mesh.total_volume()).abs() < 1e-15);
        assert!((mesh.integral(&vec![2.0; mesh.len()]) - 2.0 * total).abs() < 1e-15);
    }

    #[test]
    fn outflow_of_any_field_sums_to_nothing() {
        let mesh = mesh();
        let field: Vec<f64> = (0..mesh.len()).map(|n| ((n * 7919) % 101) as f64).collect();
        let out = outflow(&mesh, &field);
        let total: f64 = out.iter().sum();
        let size: f64 = out.iter().map(|v| v.abs()).sum();
        assert!(total.abs() < 1e-13 * size && size > 0.0);
    }

    #[test]
    fn outflow_of_a_linear_field_vanishes_inside() {
        let mesh = mesh();
        let mut field = vec![0.0; mesh.len()];
        for k in 0..5 {
            for j in 0..3 {
                for i in 0..4 {
                    let at = [mesh.lines[0].nodes[i], mesh.lines[1].nodes[j], mesh.lines[2].nodes[k]];
                    field[mesh.index(i, j, k)] = 3.0 * at[0] - 2.0 * at[1] + 5.0 * at[2];
                }
            }
        }
        assert!(outflow(&mesh, &field)[mesh.index(1, 1, 2)].abs() < 1e-14);
    }

    #[test]
    fn row_sums_of_links_are_the_operators_own() {
        let mesh = mesh();
        mesh.each_row_links(|row, links| {
            for (i, sum) in links.iter().enumerate() {
                let mut unit = vec![0.0; mesh.len()];
                unit[row.start + i] = 1.0;
                assert!((outflow(&mesh, &unit)[row.start + i] - sum).abs() < 1e-14);
            }
        });
    }
}
