//! Profiles of speed humps along the road.

use super::{EventFault, fault::positive};

/// A hump across both tracks. National rules differ, so its shape and size are always given.
#[derive(Debug, Clone, PartialEq)]
pub struct Hump {
    length_m: f64,
    shape: Shape,
}

#[derive(Debug, Clone, PartialEq)]
enum Shape {
    Circular { radius_m: f64, centre_below_m: f64 },
    Sinusoidal { height_m: f64 },
    Points(Vec<(f64, f64)>),
}

/// What a hump must keep where it is the law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HumpRules {
    /// Least and greatest height, m.
    pub height_m: [f64; 2],
    /// Least length along the road, m.
    pub least_length_m: f64,
    /// Highest vertical face, m.
    pub highest_face_m: f64,
}

impl HumpRules {
    /// Highways (Road Humps) Regulations 1999 (SI 1999/1025). Other countries have other rules.
    pub const ENGLAND_AND_WALES_1999: Self =
        Self { height_m: [0.025, 0.100], least_length_m: 0.900, highest_face_m: 0.006 };

    /// Whether a hump keeps them.
    pub fn allow(&self, hump: &Hump) -> bool {
        // a micrometre of rounding
        let near = 1e-6;
        let height_m = hump.greatest_height_m();
        let faces_m = hump.height_m(0.0).max(hump.height_m(hump.length_m));
        height_m >= self.height_m[0] - near
            && height_m <= self.height_m[1] + near
            && hump.length_m >= self.least_length_m - near
            && faces_m <= self.highest_face_m + near
    }
}

impl Hump {
    /// A segment of a circle over a chord: radius `(c²/4 + h²) / 2h` (Watts profile, TRRL LR 597).
    ///
    /// # Errors
    /// When a size is not positive, or the segment is more than half a circle.
    pub fn circular(length_m: f64, height_m: f64) -> Result<Self, EventFault> {
        let (length_m, height_m) = (positive("length", length_m)?, positive("height", height_m)?);
        positive("length less twice the height", length_m - 2.0 * height_m)?;
        let radius_m = (0.25 * length_m * length_m + height_m * height_m) / (2.0 * height_m);
        Ok(Self { length_m, shape: Shape::Circular { radius_m, centre_below_m: radius_m - height_m } })
    }

    /// `h/2 (1 - cos(2π x/L))` (TRL377).
    ///
    /// # Errors
    /// When a size is not positive.
    pub fn sinusoidal(length_m: f64, height_m: f64) -> Result<Self, EventFault> {
        let height_m = positive("height", height_m)?;
        Ok(Self { length_m: positive("length", length_m)?, shape: Shape::Sinusoidal { height_m } })
    }

    /// A level top between two straight ramps (TRL186).
    ///
    /// # Errors
    /// When a size is not positive, or the ramps meet before the top.
    pub fn flat_top(length_m: f64, height_m: f64, ramp_m: f64) -> Result<Self, EventFault> {
        let (height_m, ramp_m) = (positive("height", height_m)?, positive("ramp", ramp_m)?);
        positive("length between the ramps", length_m - 2.0 * ramp_m)?;
        Self::of_points(&[(0.0, 0.0), (ramp_m, height_m), (length_m - ramp_m, height_m), (length_m, 0.0)])
    }

    /// Straight lines through points (distance along the road, height), m; level road before and behind.
    ///
    /// # Errors
    /// When there are fewer than two points, or they do not follow each other along the road.
    pub fn of_points(points: &[(f64, f64)]) -> Result<Self, EventFault> {
        let first = points.first().ok_or(EventFault::Profile)?.0;
        let moved: Vec<(f64, f64)> = points.iter().map(|(x, z)| (x - first, *z)).collect();
        let follow = moved.windows(2).all(|pair| pair[0].0 < pair[1].0);
        if moved.len() < 2 || !follow || moved.iter().any(|(x, z)| !x.is_finite() || !z.is_finite()) {
            return Err(EventFault::Profile);
        }
        Ok(Self { length_m: moved[moved.len() - 1].0, shape: Shape::Points(moved) })
    }

    /// Length along the road, m.
    pub fn length_m(&self) -> f64 {
        self.length_m
    }

    /// Height of its highest point, m.
    pub fn greatest_height_m(&self) -> f64 {
        match &self.shape {
            Shape::Circular { radius_m, centre_below_m } => radius_m - centre_below_m,
            Shape::Sinusoidal { height_m } => *height_m,
            Shape::Points(points) => points.iter().fold(0.0, |most, point| most.max(point.1)),
        }
    }

    /// Height at a distance from its beginning, m; 0 before and behind it.
    pub fn height_m(&self, x_m: f64) -> f64 {
        if !(0.0..=self.length_m).contains(&x_m) {
            return 0.0;
        }
        match &self.shape {
            Shape::Circular { radius_m, centre_below_m } => {
                let from_middle = x_m - 0.5 * self.length_m;
                (radius_m * radius_m - from_middle * from_middle).sqrt() - centre_below_m
            }
            Shape::Sinusoidal { height_m } => {
                0.5 * height_m * (1.0 - (2.0 * std::f64::consts::PI * x_m / self.length_m).cos())
            }
            Shape::Points(points) => {
                let next = points.partition_point(|point| point.0 <= x_m).clamp(1, points.len() - 1);
                let (from, to) = (points[next - 1], points[next]);
                from.1 + (to.1 - from.1) * (x_m - from.0) / (to.0 - from.0)
            }
        }
    }
}
