//! Rigid axle on semi-elliptic leaf springs.
//!
//! The main leaf of a pack of equal strength bends into an arc of one curvature (J. E. Shigley and C. R. Mischke,
//! Mechanical Engineering Design, leaf springs; the arc is what makes the axle move along a circle of three quarters
//! of the front half's length, SAE Spring Committee, Spring Design Manual, from memory). Its front eye is fixed in the
//! body, its rear eye swings on the shackle, its middle is clamped to the axle. So the curvature alone places the seat,
//! and with the seats of both sides the axle stands: its height and roll from the seats' heights, its steer from their
//! fore-and-aft movement, its pitch from the mean tilt of the clamped middles. Sideways the leaves hold it at the seats.

use super::beam::RigidPose;
use super::{BeamHangers, JoinedWheel};
use crate::geometry::newton::root;
use crate::geometry::vector::circle_angle;
use crate::linkage::bar::Bar;
use crate::linkage::hardpoints::{HardpointError, Point, WheelHardpoints, check_apart, check_points};
use crate::linkage::reach::LockReason;

/// The points of a leaf-sprung axle in the design position, left side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafAxleHardpoints {
    /// Front eye of the main leaf, fixed in the body. All points of the leaf lie in the plane of its seat.
    pub front_eye_m: Point,
    /// Middle of the main leaf, where it is clamped to the axle.
    pub seat_m: Point,
    /// Rear eye of the main leaf.
    pub rear_eye_m: Point,
    /// Upper end of the shackle, fixed in the body.
    pub shackle_pivot_m: Point,
    /// The wheel, carried by the axle.
    pub wheel: WheelHardpoints,
    /// Damper and bar.
    pub hangers: BeamHangers,
}

/// Parts between axle, leaf and body other than those of the design position.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LeafFittings {
    /// Rise of the axle against the leaf by a block, m; positive lowers the van.
    pub block_m: f64,
    /// Tilt of the axle against the leaf by a wedge, front up positive, rad.
    pub wedge_rad: f64,
    /// Shackle longer than at design by this, m.
    pub shackle_longer_m: f64,
}

/// A rigid axle on leaf springs.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafAxle {
    hardpoints: LeafAxleHardpoints,
    fittings: LeafFittings,
    leaf: Leaf,
    bar: Option<Bar>,
}

impl LeafAxle {
    /// Checks the hardpoints and that the axle stands at design height.
    ///
    /// # Errors
    /// When points are missing or coincide, or the leaf cannot span between eye and shackle.
    pub fn new(hardpoints: LeafAxleHardpoints, fittings: LeafFittings) -> Result<Self, HardpointError> {
        hardpoints.wheel.check()?;
        let bar = hardpoints.hangers.check()?;
        let leaf = Leaf::new(&hardpoints, fittings.shackle_longer_m)?;
        let axle = Self { hardpoints, fittings, leaf, bar };
        axle.wheels(0.0, 0.0).map_err(HardpointError::LocksAtDesign)?;
        Ok(axle)
    }

    /// The points it was built from.
    pub fn hardpoints(&self) -> &LeafAxleHardpoints {
        &self.hardpoints
    }

    /// Left and right wheel at a travel of each. The spring length is the camber of the main leaf: the height of its
    /// eyes above its middle, curvature times half the product of its halves' lengths.
    pub(super) fn wheels(&self, left_m: f64, right_m: f64) -> Result<[JoinedWheel; 2], LockReason> {
        const WITHIN_M: f64 = 1e-12;
        let design_z_m = self.hardpoints.wheel.wheel_centre_m[2];
        let miss = |curvatures: &[f64; 2]| {
            let pose = self.pose(*curvatures).ok()?;
            let centre = self.hardpoints.wheel.wheel_centre_m;
            let heights = [pose.placed(centre)[2], pose.mirrored().placed(centre)[2]];
            Some([heights[0] - design_z_m - left_m, heights[1] - design_z_m - right_m])
        };
        // a curvature of one changes the height by about half the product of the halves
        let scaled = |camber: &[f64; 2]| {
            miss(&camber.map(|c| self.leaf.design_curvature_per_m + c / self.leaf.camber_per_curvature_m2()))
        };
        let changes = root([-left_m, -right_m], WITHIN_M, scaled).ok_or(LockReason::ShackleCannotFollow)?;
        let curvatures =
            changes.map(|c| self.leaf.design_curvature_per_m + c / self.leaf.camber_per_curvature_m2());
        let pose = self.pose(curvatures)?;
        let [left, right] = curvatures.map(|curvature| curvature * self.leaf.camber_per_curvature_m2());
        let wheel = |pose: &RigidPose, camber_m: f64| {
            let points = &self.hardpoints;
            JoinedWheel::on_beam(pose, &points.wheel, &points.hangers, self.bar.as_ref(), camber_m)
        };
        Ok([wheel(&pose, left)?, wheel(&pose.mirrored(), right)?])
    }

    /// The axle on leaves of the given curvatures, left and right.
    fn pose(&self, curvatures: [f64; 2]) -> Result<RigidPose, LockReason> {
        let [left, right] = curvatures.map(|curvature| self.leaf.seat(curvature));
        let (left, right) = (left?, right?);
        let [x_m, y_m, z_m] = self.hardpoints.seat_m;
        // the seats stay as far apart as they are on the axle
        let (ahead, above) = ((left.x_m - right.x_m) / (2.0 * y_m), (left.z_m - right.z_m) / (2.0 * y_m));
        let across_squared = 1.0 - ahead * ahead - above * above;
        if across_squared.is_nan() || across_squared <= 0.0 {
            return Err(LockReason::Indefinite);
        }
        let along = [ahead, across_squared.sqrt(), above];
        let tilt_rad = 0.5 * (left.tilt_rad + right.tilt_rad) - self.leaf.design_tilt_rad;
        Ok(RigidPose::of_beam(
            along,
            tilt_rad + self.fittings.wedge_rad,
            [x_m, 0.0, z_m - self.fittings.block_m],
            [0.5 * (left.x_m + right.x_m), 0.0, 0.5 * (left.z_m + right.z_m)],
        ))
    }
}

/// The main leaf as an arc from eye to eye, in side view.
#[derive(Debug, Clone, PartialEq)]
struct Leaf {
    front_eye: [f64; 2],
    shackle_pivot: [f64; 2],
    shackle_m: f64,
    /// Length along the leaf from the middle to the front eye.
    front_m: f64,
    /// And to the rear eye.
    rear_m: f64,
    design_curvature_per_m: f64,
    design_tilt_rad: f64,
    /// Which of the two ways the shackle swings.
    branch: f64,
}

/// Leaves stand at least this far from the centre plane, m.
const LEAST_HALF_BASE_M: f64 = 0.1;

/// Middle of a leaf.
struct Seat {
    x_m: f64,
    z_m: f64,
    /// Slope of the leaf there, front up positive.
    tilt_rad: f64,
}

impl Leaf {
    fn new(points: &LeafAxleHardpoints, shackle_longer_m: f64) -> Result<Self, HardpointError> {
        let named = [
            ("front_eye", points.front_eye_m),
            ("seat", points.seat_m),
            ("rear_eye", points.rear_eye_m),
            ("shackle_pivot", points.shackle_pivot_m),
        ];
        check_points(&named)?;
        let [front, seat, rear, pivot] = named;
        check_apart(front, seat)?;
        check_apart(seat, rear)?;
        check_apart(rear, pivot)?;
        if points.seat_m[1] < LEAST_HALF_BASE_M {
            return Err(HardpointError::Length { name: "distance of the leaf from the centre plane" });
        }
        let side = |(_, point): (&str, Point)| [point[0], point[2]];
        let [front, seat, rear, pivot] = [front, seat, rear, pivot].map(side);
        let in_order = front[0] > seat[0] && seat[0] > rear[0];
        if !in_order {
            return Err(HardpointError::LeafOutOfOrder);
        }
        let [to_front, to_rear, between] = [apart(front, seat), apart(seat, rear), apart(front, rear)];
        let (ahead, behind) =
            ([front[0] - seat[0], front[1] - seat[1]], [rear[0] - seat[0], rear[1] - seat[1]]);
        // curvature of the circle through three points, positive with the eyes above the middle
        let curvature_per_m =
            2.0 * (ahead[0] * behind[1] - ahead[1] * behind[0]) / (to_front * to_rear * between);
        let half_turn = |chord_m: f64| (0.5 * curvature_per_m * chord_m).asin();
        let arc_m = |chord_m: f64| chord_m / sinc(half_turn(chord_m));
        let (front_m, rear_m) = (arc_m(to_front), arc_m(to_rear));
        let design_tilt_rad = ahead[1].atan2(ahead[0]) - half_turn(to_front);
        let mut leaf = Self {
            front_eye: front,
            shackle_pivot: pivot,
            shackle_m: apart(rear, pivot),
            front_m,
            rear_m,
            design_curvature_per_m: curvature_per_m,
            design_tilt_rad,
            branch: 1.0,
        };
        let found = leaf.seat(curvature_per_m).map_err(HardpointError::LocksAtDesign)?;
        if apart([found.x_m, found.z_m], seat) > 1e-6 {
            leaf.branch = -1.0;
        }
        leaf.shackle_m += shackle_longer_m;
        Ok(leaf)
    }

    /// Camber of the leaf per curvature: its eyes stand κ a b / 2 above its middle, a and b the lengths of its halves.
    fn camber_per_curvature_m2(&self) -> f64 {
        0.5 * self.front_m * self.rear_m
    }

    /// Where the middle of the leaf is at a curvature: the rear eye lies where the circle of the chord about the front
    /// eye meets that of the shackle about its pivot.
    fn seat(&self, curvature_per_m: f64) -> Result<Seat, LockReason> {
        let to_front = along_arc(curvature_per_m, self.front_m);
        let to_rear = along_arc(curvature_per_m, -self.rear_m);
        let chord = [to_front[0] - to_rear[0], to_front[1] - to_rear[1]];
        let chord_m = chord[0].hypot(chord[1]);
        let eye = [self.front_eye[0] - self.shackle_pivot[0], self.front_eye[1] - self.shackle_pivot[1]];
        let reach = (eye[0] * eye[0] + eye[1] * eye[1] + chord_m * chord_m - self.shackle_m * self.shackle_m)
            / (2.0 * chord_m);
        let (cos, sin) =
            circle_angle(eye[0], eye[1], reach, self.branch).ok_or(LockReason::ShackleCannotFollow)?;
        let tilt_rad = sin.atan2(cos) - chord[1].atan2(chord[0]);
        let (sin, cos) = tilt_rad.sin_cos();
        Ok(Seat {
            x_m: self.front_eye[0] - (to_front[0] * cos - to_front[1] * sin),
            z_m: self.front_eye[1] - (to_front[0] * sin + to_front[1] * cos),
            tilt_rad,
        })
    }
}

/// From the middle of an arc that starts level and forward to the point `length_m` along it; x forward, z up.
fn along_arc(curvature_per_m: f64, length_m: f64) -> [f64; 2] {
    let half_turn = 0.5 * curvature_per_m * length_m;
    let chord_m = length_m * sinc(half_turn);
    [chord_m * half_turn.cos(), chord_m * half_turn.sin()]
}

/// sin x / x.
fn sinc(x: f64) -> f64 {
    if x.abs() < 1e-4 { 1.0 - x * x / 6.0 } else { x.sin() / x }
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}
