//! The wheel at steering lock, and the room that a tyre takes there.

use super::hardpoints::{HardpointError, Point};
use super::{CornerPose, Linkage};
use crate::geometry::angles;
use crate::geometry::vector::{add, dot, norm, scale, sub};

/// Where a left wheel stands: its centre, and its spin axis as a unit vector pointing outboard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WheelStance {
    /// Wheel centre in body axes.
    pub centre_m: Point,
    /// Spin axis.
    pub spin_axis: Point,
}

impl Linkage {
    /// The same corner with the rack moved outboard by `rack_travel_m` (inboard when negative); `None` where no tie rod is
    /// known.
    ///
    /// # Errors
    /// When the linkage cannot stand there.
    pub fn steered(&self, rack_travel_m: f64) -> Option<Result<Self, HardpointError>> {
        match self {
            Self::Strut(strut) => {
                Some(strut.steered(rack_travel_m).map(|steered| Self::Strut(Box::new(steered))))
            }
            Self::DoubleWishbone(wishbones) => {
                let steered = wishbones.steered(rack_travel_m);
                Some(steered.map(|steered| Self::DoubleWishbone(Box::new(steered))))
            }
            Self::SemiTrailingArm(_) | Self::TapeMeasure(_) => None,
        }
    }

    /// Rack travel, m, that turns this wheel out by `angle_rad` (positive) at design height, as it turns on the inside of
    /// a bend; the opposite travel is that of the other lock. `None` where no tie rod is known or none reaches so far.
    pub fn rack_travel_turning_out_m(&self, angle_rad: f64) -> Option<f64> {
        const STEP_M: f64 = 0.005;
        const FARTHEST_STEPS: usize = 40;
        const HALVINGS: usize = 40;
        let turned_rad = |rack_m: f64| {
            let toe_rad = self.steered(rack_m)?.ok()?.pose(0.0).ok()?.toe_rad?;
            Some(-toe_rad)
        };
        let outwards = (turned_rad(1e-4)? - turned_rad(-1e-4)?).signum();
        let (mut less_m, mut more_m) = (0.0, None);
        for step in 1..=FARTHEST_STEPS {
            let rack_m = outwards * STEP_M * step as f64;
            if turned_rad(rack_m)? >= angle_rad {
                more_m = Some(rack_m);
                break;
            }
            less_m = rack_m;
        }
        let mut more_m = more_m?;
        for _ in 0..HALVINGS {
            let middle_m = 0.5 * (less_m + more_m);
            if turned_rad(middle_m)? < angle_rad { less_m = middle_m } else { more_m = middle_m }
        }
        Some(more_m)
    }
}

impl CornerPose {
    /// Where the wheel stands; `None` where the linkage gives no wheel angles.
    pub fn wheel_stance(&self) -> Option<WheelStance> {
        let spin_axis = angles::spin_axis(self.camber_rad?, self.toe_rad?);
        Some(WheelStance { centre_m: self.wheel_centre_m, spin_axis })
    }
}

/// A tyre as a cylinder with square shoulders, which never leaves out what a real one fills.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TyreEnvelope {
    /// Radius, m.
    pub radius_m: f64,
    /// Inner edge from the wheel centre along the spin axis, outboard positive, m.
    pub inner_m: f64,
    /// Outer edge, likewise.
    pub outer_m: f64,
}

/// How much further one tyre reaches than another, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearer {
    /// By so much it comes nearer to an upright wall, m; negative where it leaves more room everywhere.
    pub by_m: f64,
    /// Horizontal direction towards that wall, from straight ahead, outboard positive, rad.
    pub towards_rad: f64,
}

impl TyreEnvelope {
    /// How far it reaches in a direction (a unit vector), from the origin of the body axes, m: the support function of the
    /// cylinder.
    pub fn reach_m(&self, stance: &WheelStance, direction: Point) -> f64 {
        let along = dot(stance.spin_axis, direction);
        let edge_m = if along > 0.0 { self.outer_m } else { self.inner_m };
        let across = (1.0 - along * along).max(0.0).sqrt();
        dot(stance.centre_m, direction) + edge_m * along + self.radius_m * across
    }

    /// Distance of a point from its surface, m; not above 0 inside.
    pub fn distance_m(&self, stance: &WheelStance, point_m: Point) -> f64 {
        let from_centre = sub(point_m, stance.centre_m);
        let along_m = dot(from_centre, stance.spin_axis);
        let out_m = norm(sub(from_centre, scale(stance.spin_axis, along_m)));
        let beyond_edge_m = (along_m - self.outer_m).max(self.inner_m - along_m);
        let beyond_tread_m = out_m - self.radius_m;
        if beyond_edge_m > 0.0 && beyond_tread_m > 0.0 {
            beyond_edge_m.hypot(beyond_tread_m)
        } else {
            beyond_edge_m.max(beyond_tread_m)
        }
    }

    /// Least distance of a straight member between two points, m; not above 0 where it runs through the tyre.
    ///
    /// The distance from a convex body is convex along a line, so that a section search finds its least.
    pub fn distance_to_member_m(&self, stance: &WheelStance, [from_m, to_m]: [Point; 2]) -> f64 {
        const SECTIONS: usize = 80;
        let at = |share: f64| self.distance_m(stance, add(from_m, scale(sub(to_m, from_m), share)));
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..SECTIONS {
            let third = (high - low) / 3.0;
            if at(low + third) <= at(high - third) { high -= third } else { low += third }
        }
        at(low).min(at(high)).min(at(0.5 * (low + high)))
    }

    /// How much nearer to an upright wall this tyre at one stance comes than another at its own, the wall standing where
    /// that is most: the greatest difference of both reaches over all horizontal directions.
    pub fn nearer_than(&self, here: &WheelStance, other: &Self, there: &WheelStance) -> Nearer {
        const DIRECTIONS: usize = 120;
        const HALVINGS: usize = 12;
        let by_m = |towards_rad: f64| {
            let (sin, cos) = towards_rad.sin_cos();
            let direction = [cos, sin, 0.0];
            self.reach_m(here, direction) - other.reach_m(there, direction)
        };
        let step_rad = std::f64::consts::TAU / DIRECTIONS as f64;
        let best = |candidates: &mut dyn Iterator<Item = f64>| {
            candidates.map(|towards_rad| Nearer { by_m: by_m(towards_rad), towards_rad }).fold(
                None,
                |most: Option<Nearer>, next| match most {
                    Some(most) if most.by_m >= next.by_m => Some(most),
                    _ => Some(next),
                },
            )
        };
        let first = Nearer { by_m: by_m(0.0), towards_rad: 0.0 };
        let mut most = best(&mut (0..DIRECTIONS).map(|k| k as f64 * step_rad)).unwrap_or(first);
        let mut half_rad = 0.5 * step_rad;
        for _ in 0..HALVINGS {
            let around = [-half_rad, 0.0, half_rad].map(|turn| most.towards_rad + turn);
            most = best(&mut around.into_iter()).unwrap_or(most);
            half_rad *= 0.5;
        }
        most
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const UPRIGHT: WheelStance = WheelStance { centre_m: [0.0, 0.8, 0.34], spin_axis: [0.0, 1.0, 0.0] };
    const TYRE: TyreEnvelope = TyreEnvelope { radius_m: 0.34, inner_m: -0.11, outer_m: 0.11 };

    #[test]
    fn val_distances_of_an_upright_tyre_by_hand() {
        // By hand: 20 mm inboard of the inner edge at hub height; 30 mm ahead of the tread; both edges of a 3-4-5 corner.
        let of = |point| TYRE.distance_m(&UPRIGHT, point);
        assert!((of([0.0, 0.67, 0.34]) - 0.020).abs() < 1e-12);
        assert!((of([0.37, 0.8, 0.34]) - 0.030).abs() < 1e-12);
        assert!((of([0.0, 0.65, 0.34 + 0.34 + 0.030]) - 0.050).abs() < 1e-12);
        assert!(of([0.1, 0.8, 0.3]) < 0.0);
        // a rod at 45°, z = y + 0.27, comes nearest to the shoulder (0.69, 0.68)
        let rod = [[0.0, 0.5, 0.77], [0.0, 0.75, 1.02]];
        let expected = 0.28 / 2.0_f64.sqrt();
        assert!((TYRE.distance_to_member_m(&UPRIGHT, rod) - expected).abs() < 1e-9);
    }

    #[test]
    fn val_a_wider_and_taller_tyre_comes_nearer_by_the_diagonal_of_its_growth() {
        // By hand: in the same stance the reach grows by Δ |cos| + Δr |sin|, at most √(Δ² + Δr²) at atan(Δ/Δr).
        let wider = TyreEnvelope { radius_m: 0.348, inner_m: -0.116, outer_m: 0.11 };
        let nearer = wider.nearer_than(&UPRIGHT, &TYRE, &UPRIGHT);
        assert!((nearer.by_m - 0.010).abs() < 1e-9, "{nearer:?}");
        // inboard (-90°) tilted towards ahead or behind by atan(8/6)
        let from_inboard = (nearer.towards_rad.sin() + 0.6).abs();
        assert!(from_inboard < 1e-3, "{nearer:?}");
    }

    proptest! {
        #[test]
        fn law_no_point_of_the_tyre_is_beyond_its_reach(
            angle in 0.0..std::f64::consts::TAU, tilt in -0.6..0.6f64, toe in -0.7..0.7f64, camber in -0.2..0.2f64,
            around in 0.0..std::f64::consts::TAU, share in 0.0..1.0f64, width in 0.0..1.0f64,
        ) {
            let stance = WheelStance { spin_axis: angles::spin_axis(camber, toe), ..UPRIGHT };
            let direction = [tilt.cos() * angle.cos(), tilt.cos() * angle.sin(), tilt.sin()];
            let down = angles::towards_contact(stance.spin_axis);
            let ahead = crate::geometry::vector::cross(stance.spin_axis, down);
            let out = TYRE.radius_m * share;
            let point = add(
                add(stance.centre_m, scale(stance.spin_axis, TYRE.inner_m + width * (TYRE.outer_m - TYRE.inner_m))),
                add(scale(down, out * around.cos()), scale(ahead, out * around.sin())),
            );
            prop_assert!(dot(point, direction) <= TYRE.reach_m(&stance, direction) + 1e-12);
            prop_assert!(TYRE.distance_m(&stance, point) <= 1e-12);
        }
    }
}
