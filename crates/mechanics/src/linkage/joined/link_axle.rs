//! Rigid axle on links: two lower trailing links, one upper link and a lateral (Panhard) rod.
//!
//! Four links of fixed length leave a rigid axle two of its six freedoms, which the two wheel heights take up: six
//! equations for its translation and rotation (J. C. Dixon, Suspension Geometry and Computation, ch. on rigid axles,
//! from memory). The lateral rod makes left and right differ.

use nalgebra::{Matrix6, RowVector6};

use super::beam::RigidPose;
use super::{BeamHangers, JoinedWheel};
use crate::geometry::newton::root;
use crate::geometry::vector::{Vector, add, cross, norm, rotate, scale, sub, unit};
use crate::linkage::bar::Bar;
use crate::linkage::hardpoints::{HardpointError, Point, WheelHardpoints, check_apart, check_points};
use crate::linkage::pose::distance;
use crate::linkage::reach::LockReason;

/// The points of a link-located axle in the design position: pairs by their left one, single links where they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinkAxleHardpoints {
    /// Left lower link, body end.
    pub lower_link_body_m: Point,
    /// Left lower link, axle end.
    pub lower_link_axle_m: Point,
    /// Upper link, body end; one link, not mirrored.
    pub upper_link_body_m: Point,
    /// Upper link, axle end.
    pub upper_link_axle_m: Point,
    /// Lateral rod, body end; one rod, not mirrored.
    pub lateral_rod_body_m: Point,
    /// Lateral rod, axle end.
    pub lateral_rod_axle_m: Point,
    /// Left lower spring seat, on the axle.
    pub spring_seat_lower_m: Point,
    /// Left upper spring seat, fixed in the body.
    pub spring_seat_upper_m: Point,
    /// The left wheel, carried by the axle.
    pub wheel: WheelHardpoints,
    /// Left damper and bar.
    pub hangers: BeamHangers,
}

/// A rigid axle on links. The arm angle of its tables is the turn of the lower link in side view.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkAxle {
    hardpoints: LinkAxleHardpoints,
    links: [Link; 4],
    bar: Option<Bar>,
}

/// A rod of fixed length between body and axle, in the design position.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Link {
    body: Point,
    axle: Point,
    length_m: f64,
}

/// Translation of the axle's middle (m) and rotation vector (rad).
type Displacement = [f64; 6];

/// Where the links' lines hold the axle less surely than this (smallest singular value of the six conditions, its
/// rotation over one metre), a millimetre of link moves it by centimetres.
const LEAST_HOLD: f64 = 0.01;

impl LinkAxle {
    /// Checks the hardpoints and that the links locate the axle.
    ///
    /// # Errors
    /// When points are missing or coincide, or the links leave the axle free.
    pub fn new(hardpoints: LinkAxleHardpoints) -> Result<Self, HardpointError> {
        hardpoints.wheel.check()?;
        let bar = hardpoints.hangers.check()?;
        let (lower, upper) = (
            ("spring_seat_lower", hardpoints.spring_seat_lower_m),
            ("spring_seat_upper", hardpoints.spring_seat_upper_m),
        );
        check_points(&[lower, upper])?;
        check_apart(lower, upper)?;
        let mirrored = |[x, y, z]: Point| [x, -y, z];
        let (body, axle) = (hardpoints.lower_link_body_m, hardpoints.lower_link_axle_m);
        let links = [
            Link::new(("lower_link_body", body), ("lower_link_axle", axle))?,
            Link::new(("lower_link_body", mirrored(body)), ("lower_link_axle", mirrored(axle)))?,
            Link::new(
                ("upper_link_body", hardpoints.upper_link_body_m),
                ("upper_link_axle", hardpoints.upper_link_axle_m),
            )?,
            Link::new(
                ("lateral_rod_body", hardpoints.lateral_rod_body_m),
                ("lateral_rod_axle", hardpoints.lateral_rod_axle_m),
            )?,
        ];
        let link_axle = Self { hardpoints, links, bar };
        if link_axle.hold() < LEAST_HOLD {
            return Err(HardpointError::LinksDoNotLocate);
        }
        link_axle.wheels(0.0, 0.0).map_err(HardpointError::LocksAtDesign)?;
        Ok(link_axle)
    }

    /// The points it was built from.
    pub fn hardpoints(&self) -> &LinkAxleHardpoints {
        &self.hardpoints
    }

    /// Left and right wheel at a travel of each.
    pub(super) fn wheels(&self, left_m: f64, right_m: f64) -> Result<[JoinedWheel; 2], LockReason> {
        let pose = self.pose(self.displacement(left_m, right_m).ok_or(LockReason::LinksCannotSpan)?);
        Ok([self.wheel(&pose)?, self.wheel(&pose.mirrored())?])
    }

    /// Displacement at two wheel travels: found from design directly, or in more and more steps on the way there.
    fn displacement(&self, left_m: f64, right_m: f64) -> Option<Displacement> {
        const MOST_STEPS: u32 = 16;
        let in_steps = |steps: u32| {
            (1..=steps).try_fold([0.0; 6], |from, step| {
                let share = f64::from(step) / f64::from(steps);
                self.displacement_near(from, share * left_m, share * right_m)
            })
        };
        std::iter::successors(Some(1), |steps| Some(4 * steps))
            .take_while(|&steps| steps <= MOST_STEPS)
            .find_map(in_steps)
    }

    fn displacement_near(&self, from: Displacement, left_m: f64, right_m: f64) -> Option<Displacement> {
        const WITHIN_M: f64 = 1e-12;
        let [left, right] = self.wheel_centres();
        root(from, WITHIN_M, |&displacement| {
            let pose = self.pose(displacement);
            let [a, b, c, d] = self.links.map(|link| link.stretch_m(&pose));
            let rise_m = |centre: Point| pose.placed(centre)[2] - centre[2];
            Some([a, b, c, d, rise_m(left) - left_m, rise_m(right) - right_m])
        })
    }

    /// Left and right wheel centre at design.
    fn wheel_centres(&self) -> [Point; 2] {
        let [x, y, z] = self.hardpoints.wheel.wheel_centre_m;
        [[x, y, z], [x, -y, z]]
    }

    /// Middle between the wheel centres at design.
    fn middle(&self) -> Point {
        let [x, _, z] = self.hardpoints.wheel.wheel_centre_m;
        [x, 0.0, z]
    }

    fn pose(&self, [x, y, z, u, v, w]: Displacement) -> RigidPose {
        let rotation = [u, v, w];
        let angle_rad = norm(rotation);
        let axis = if angle_rad > 0.0 { scale(rotation, 1.0 / angle_rad) } else { rotation };
        let axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        RigidPose {
            axes: axes.map(|design| rotate(design, axis, angle_rad)),
            from: self.middle(),
            to: add(self.middle(), [x, y, z]),
        }
    }

    /// Smallest singular value of the six conditions on the displacement at design.
    fn hold(&self) -> f64 {
        let along = |direction: Vector<f64>, point: Point| {
            let moment = cross(sub(point, self.middle()), direction);
            RowVector6::from_iterator(direction.into_iter().chain(moment))
        };
        let [a, b, c, d] = self.links.map(|link| along(unit(sub(link.axle, link.body)), link.axle));
        let [left, right] = self.wheel_centres().map(|centre| along([0.0, 0.0, 1.0], centre));
        Matrix6::from_rows(&[a, b, c, d, left, right]).singular_values().min()
    }

    /// The wheel on the left end of the axle; the right one is that of the mirrored axle.
    fn wheel(&self, pose: &RigidPose) -> Result<JoinedWheel, LockReason> {
        let points = &self.hardpoints;
        let spring_m = distance(points.spring_seat_upper_m, pose.placed(points.spring_seat_lower_m));
        let wheel = JoinedWheel::on_beam(pose, &points.wheel, &points.hangers, self.bar.as_ref(), spring_m)?;
        let [lower, ..] = &self.links;
        Ok(JoinedWheel { arm_angle_rad: Some(lower.turn_in_side_view(pose)), ..wheel })
    }
}

impl Link {
    fn new(body: (&'static str, Point), axle: (&'static str, Point)) -> Result<Self, HardpointError> {
        check_points(&[body, axle])?;
        check_apart(body, axle)?;
        Ok(Self { body: body.1, axle: axle.1, length_m: norm(sub(axle.1, body.1)) })
    }

    /// How much longer the link would have to be.
    fn stretch_m(&self, pose: &RigidPose) -> f64 {
        distance(self.body, pose.placed(self.axle)) - self.length_m
    }

    /// Turn of the link in side view from design, positive where its axle end rises, rad.
    fn turn_in_side_view(&self, pose: &RigidPose) -> f64 {
        let [x, _, z] = sub(self.axle, self.body);
        let [x_now, _, z_now] = sub(pose.placed(self.axle), self.body);
        let rising = if x < 0.0 { -1.0 } else { 1.0 };
        (rising * (x * z_now - z * x_now)).atan2(x * x_now + z * z_now)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_links_keep_their_lengths_and_the_axle_its_shape() {
        let axle = LinkAxle::new(LinkAxleHardpoints {
            lower_link_body_m: [-2.45, 0.42, 0.30],
            lower_link_axle_m: [-3.08, 0.50, 0.26],
            upper_link_body_m: [-2.60, 0.05, 0.52],
            upper_link_axle_m: [-3.02, 0.03, 0.50],
            lateral_rod_body_m: [-3.20, 0.48, 0.42],
            lateral_rod_axle_m: [-3.21, -0.50, 0.38],
            spring_seat_lower_m: [-3.10, 0.52, 0.40],
            spring_seat_upper_m: [-3.08, 0.50, 0.66],
            wheel: WheelHardpoints {
                wheel_centre_m: [-3.10, 0.82, 0.33],
                design_camber_rad: 0.0,
                design_toe_rad: 0.0,
                tyre_radius_m: 0.33,
            },
            hangers: BeamHangers {
                damper_lower_m: [-3.22, 0.55, 0.28],
                damper_upper_m: [-3.15, 0.45, 0.72],
                bar: None,
            },
        })
        .unwrap();
        for (left_m, right_m) in [(0.09, 0.09), (0.08, -0.08), (-0.07, 0.0), (-0.1, 0.03)] {
            let pose = axle.pose(axle.displacement(left_m, right_m).unwrap());
            for link in axle.links {
                assert!(link.stretch_m(&pose).abs() < 1e-12);
            }
            let [left, right] = axle.wheel_centres().map(|centre| pose.placed(centre));
            assert!((norm(sub(left, right)) - 2.0 * 0.82).abs() < 1e-12);
            let design_m = axle.hardpoints.wheel.wheel_centre_m[2];
            assert!((left[2] - design_m - left_m).abs() < 1e-12);
            assert!((right[2] - design_m - right_m).abs() < 1e-12);
        }
    }
}
