//! One direction of a grid: its nodes, what each cell weighs, and the links between neighbours.
//!
//! A rectilinear grid is the product of three such lines: the volume of a cell is the product of its three weights, and
//! the conductance between neighbours along one direction is that line's link times the other two weights. A body of
//! revolution is the same product with a radial line in place of x and a single node in place of y.

/// Nodes of one direction with their weights and links.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Places of the nodes, m, ascending.
    pub nodes: Vec<f64>,
    /// Weight of each cell: its width, m; the area of its ring on a radial line, m2; 1 for a single node.
    pub weights: Vec<f64>,
    /// Face over distance to the next node: 1/m, 1 (times radians) on a radial line; 0 at the last.
    pub links: Vec<f64>,
}

impl Line {
    /// A straight line.
    pub fn straight(nodes: Vec<f64>) -> Line {
        let last = nodes.len() - 1;
        let weights = (0..=last).map(|n| 0.5 * (nodes[(n + 1).min(last)] - nodes[n.saturating_sub(1)])).collect();
        let links = closed(nodes.windows(2).map(|w| 1.0 / (w[1] - w[0])));
        Line { nodes, weights, links }
    }

    /// A radius from the axis at 0 outwards; the weights are the areas of the full rings.
    pub fn radial(nodes: Vec<f64>) -> Line {
        let edge = |n: usize| if n + 1 < nodes.len() { 0.5 * (nodes[n] + nodes[n + 1]) } else { nodes[n] };
        let disc = |radius: f64| std::f64::consts::PI * radius * radius;
        let inner = |n: usize| if n == 0 { 0.0 } else { disc(edge(n - 1)) };
        let weights = (0..nodes.len()).map(|n| disc(edge(n)) - inner(n)).collect();
        let links = closed((1..nodes.len()).map(|n| std::f64::consts::TAU * edge(n - 1) / (nodes[n] - nodes[n - 1])));
        Line { nodes, weights, links }
    }

    /// A direction in which nothing changes.
    pub fn single() -> Line {
        Line { nodes: vec![0.0], weights: vec![1.0], links: vec![0.0] }
    }

    /// Number of nodes.
    pub fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Both edges of the cell around node `n`, m.
    pub fn cell(&self, n: usize) -> [f64; 2] {
        let nodes = &self.nodes;
        let low = if n == 0 { nodes[0] } else { 0.5 * (nodes[n - 1] + nodes[n]) };
        let high = if n + 1 == nodes.len() { nodes[n] } else { 0.5 * (nodes[n] + nodes[n + 1]) };
        [low, high]
    }

    /// Link to the node before `n`; 0 at the first.
    pub fn before(&self, n: usize) -> f64 {
        if n == 0 { 0.0 } else { self.links[n - 1] }
    }

    /// Least distance of neighbours, m; `None` for a single node.
    pub fn finest_gap(&self) -> Option<f64> {
        self.nodes.windows(2).map(|w| w[1] - w[0]).reduce(f64::min)
    }

    /// Geometric mean of about the smallest and the largest eigenvalue of the second difference, 1/m2; `None` for a
    /// single node.
    pub fn middle_wave(&self) -> Option<f64> {
        let length = self.nodes[self.len() - 1] - self.nodes[0];
        let gap = self.finest_gap()?;
        Some(std::f64::consts::PI / length * 2.0 / gap)
    }
}

/// The links with the closing 0.
fn closed(links: impl Iterator<Item = f64>) -> Vec<f64> {
    links.chain([0.0]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rings_fill_the_disc() {
        let line = Line::radial(vec![0.0, 0.1, 0.25, 0.5]);
        let area: f64 = line.weights.iter().sum();
        assert!((area - std::f64::consts::PI * 0.25).abs() < 1e-15);
    }

    #[test]
    fn radial_links_carry_the_flow_of_a_parabola_exactly() {
        // T = r2: the flow through radius r is 2 pi r * 2 r; halfway between nodes the difference quotient is exact.
        let line = Line::radial(vec![0.0, 0.1, 0.25, 0.5]);
        for n in 0..3 {
            let (a, b) = (line.nodes[n], line.nodes[n + 1]);
            let radius = 0.5 * (a + b);
            let flow = line.links[n] * (b * b - a * a);
            assert!((flow - std::f64::consts::TAU * radius * 2.0 * radius).abs() < 1e-14);
        }
    }

    #[test]
    fn weights_of_a_straight_line_are_its_cells() {
        let line = Line::straight(vec![0.0, 0.1, 0.3, 0.4]);
        for n in 0..4 {
            let [low, high] = line.cell(n);
            assert!((line.weights[n] - (high - low)).abs() < 1e-16);
        }
        assert_eq!((line.before(0), line.links[3]), (0.0, 0.0));
    }
}
