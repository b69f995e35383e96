//! Plane shapes on the worked face: heated patch, groove, bead.

/// A shape on the worked face, in metres from the corner `x_min, y_min`.
///
/// Parts that lie beyond the casting are cut off; what remains is heated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// A full disc.
    Disc {
        /// Centre, m.
        centre: [f64; 2],
        /// Radius, m.
        radius: f64,
    },
    /// A rectangle with sides along x and y.
    Rectangle {
        /// Extent along x, m, low end first.
        x: [f64; 2],
        /// Extent along y, m, low end first.
        y: [f64; 2],
    },
}

impl Shape {
    /// Smallest rectangle around the shape: x extent, y extent, m.
    pub fn extent(&self) -> [[f64; 2]; 2] {
        match *self {
            Shape::Disc { centre, radius } => centre.map(|c| [c - radius, c + radius]),
            Shape::Rectangle { x, y } => [x, y],
        }
    }

    /// Middle of the shape, m.
    pub fn centre(&self) -> [f64; 2] {
        self.extent().map(|[low, high]| 0.5 * (low + high))
    }

    /// Half of the narrower side, m: the radius of a disc.
    pub fn half_width(&self) -> f64 {
        let [x, y] = self.extent();
        0.5 * (x[1] - x[0]).min(y[1] - y[0])
    }

    /// Area of the whole shape, m2, whether or not it lies on the casting.
    pub fn area(&self) -> f64 {
        match *self {
            Shape::Disc { radius, .. } => std::f64::consts::PI * radius * radius,
            Shape::Rectangle { x, y } => (x[1] - x[0]) * (y[1] - y[0]),
        }
    }

    /// Exact area shared with the axis-parallel rectangle `x` by `y`, m2.
    pub fn overlap(&self, x: [f64; 2], y: [f64; 2]) -> f64 {
        match *self {
            Shape::Disc { centre, radius } => {
                let x = x.map(|v| v - centre[0]);
                let y = y.map(|v| v - centre[1]);
                let quadrant = |x: f64, y: f64| quadrant_area(x, y, radius);
                quadrant(x[1], y[1]) - quadrant(x[0], y[1]) - quadrant(x[1], y[0]) + quadrant(x[0], y[0])
            }
            Shape::Rectangle { x: own_x, y: own_y } => shared(own_x, x) * shared(own_y, y),
        }
    }

    /// Exact area shared with a disc, m2.
    pub fn overlap_with_disc(&self, other: [f64; 2], other_radius: f64) -> f64 {
        match *self {
            Shape::Disc { centre, radius } => {
                lens_area((centre[0] - other[0]).hypot(centre[1] - other[1]), radius, other_radius)
            }
            Shape::Rectangle { x, y } => Shape::Disc { centre: other, radius: other_radius }.overlap(x, y),
        }
    }

    /// Signed distance from a point to the outline, m; negative inside.
    pub fn distance(&self, point: [f64; 2]) -> f64 {
        let [x, y] = point;
        match *self {
            Shape::Disc { centre, radius } => (x - centre[0]).hypot(y - centre[1]) - radius,
            Shape::Rectangle { x: own_x, y: own_y } => {
                let across = (own_x[0] - x).max(x - own_x[1]);
                let along = (own_y[0] - y).max(y - own_y[1]);
                if across > 0.0 && along > 0.0 { across.hypot(along) } else { across.max(along) }
            }
        }
    }

    /// The shape grown by a factor about its own middle.
    pub fn scaled(&self, factor: f64) -> Shape {
        let grown = |[low, high]: [f64; 2]| {
            let (middle, half) = (0.5 * (low + high), 0.5 * (high - low) * factor);
            [middle - half, middle + half]
        };
        match *self {
            Shape::Disc { centre, radius } => Shape::Disc { centre, radius: radius * factor },
            Shape::Rectangle { x, y } => Shape::Rectangle { x: grown(x), y: grown(y) },
        }
    }

    /// The shape moved along x and y, m.
    pub fn moved(&self, [along, across]: [f64; 2]) -> Shape {
        match *self {
            Shape::Disc { centre: [x, y], radius } => Shape::Disc { centre: [x + along, y + across], radius },
            Shape::Rectangle { x, y } => Shape::Rectangle { x: x.map(|v| v + along), y: y.map(|v| v + across) },
        }
    }

    /// The shape mirrored about `x = at` (`axis` 0) or `y = at` (`axis` 1).
    pub fn mirrored(&self, axis: usize, at: f64) -> Shape {
        let flip = |[low, high]: [f64; 2]| [2.0 * at - high, 2.0 * at - low];
        match *self {
            Shape::Disc { mut centre, radius } => {
                centre[axis] = 2.0 * at - centre[axis];
                Shape::Disc { centre, radius }
            }
            Shape::Rectangle { x, y } if axis == 0 => Shape::Rectangle { x: flip(x), y },
            Shape::Rectangle { x, y } => Shape::Rectangle { x, y: flip(y) },
        }
    }
}

fn shared(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[1].min(b[1]) - a[0].max(b[0])).max(0.0)
}

/// Area shared by two discs.
fn lens_area(distance: f64, a: f64, b: f64) -> f64 {
    if distance >= a + b {
        return 0.0;
    }
    if distance <= (a - b).abs() {
        return std::f64::consts::PI * a.min(b) * a.min(b);
    }
    let segment = |own: f64, other: f64| {
        let foot = (distance * distance + own * own - other * other) / (2.0 * distance);
        own * own * (foot / own).acos() - foot * (own * own - foot * foot).max(0.0).sqrt()
    };
    segment(a, b) + segment(b, a)
}

/// Signed area of the disc of `radius` about the origin within the rectangle between the origin and `(x, y)`:
/// the sum of two-dimensional cumulative pieces gives any rectangle exactly.
fn quadrant_area(x: f64, y: f64, radius: f64) -> f64 {
    let sign = x.signum() * y.signum();
    let (x, y) = (x.abs().min(radius), y.abs().min(radius));
    if x.hypot(y) <= radius {
        return sign * x * y;
    }
    // Height min(y, sqrt(r2 - s2)) integrated over 0 <= s <= x; the arc meets the height y at s = knee.
    let knee = (radius * radius - y * y).max(0.0).sqrt().min(x);
    sign * (y * knee + arc_integral(x, radius) - arc_integral(knee, radius))
}

/// Integral of sqrt(r2 - s2) from 0 to `s`.
fn arc_integral(s: f64, radius: f64) -> f64 {
    let ratio = (s / radius).clamp(-1.0, 1.0);
    0.5 * (s * (radius * radius - s * s).max(0.0).sqrt() + radius * radius * ratio.asin())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_of_any_grid_share_out_the_whole_disc() {
        let disc = Shape::Disc { centre: [0.31, 0.27], radius: 0.06 };
        let (columns, rows) = (37, 23);
        let edge = |i: usize, n: usize, length: f64| length * (i as f64 / n as f64).powf(1.3);
        let total: f64 = (0..columns)
            .flat_map(|i| (0..rows).map(move |j| (i, j)))
            .map(|(i, j)| {
                let x = [edge(i, columns, 0.6), edge(i + 1, columns, 0.6)];
                let y = [edge(j, rows, 0.5), edge(j + 1, rows, 0.5)];
                disc.overlap(x, y)
            })
            .sum();
        assert!((total - disc.area()).abs() < 1e-15, "{total} {}", disc.area());
    }

    #[test]
    fn half_disc_at_an_edge_keeps_half_its_area() {
        let disc = Shape::Disc { centre: [0.0, 0.3], radius: 0.05 };
        let on_casting = disc.overlap([0.0, 1.0], [0.0, 1.0]);
        assert!((on_casting - 0.5 * disc.area()).abs() < 1e-16);
    }

    #[test]
    fn distance_to_a_rectangle_is_round_at_its_corners() {
        let rectangle = Shape::Rectangle { x: [0.0, 2.0], y: [0.0, 1.0] };
        assert!((rectangle.distance([5.0, 5.0]) - 5.0).abs() < 1e-15);
        assert!((rectangle.distance([1.0, 0.4]) + 0.4).abs() < 1e-15);
    }
}
