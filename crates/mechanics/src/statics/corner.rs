//! One corner: the wheel force its parts give over travel.

use std::sync::Arc;

use crate::curve::Local;
use crate::elements::{BumpStop, Damper, Friction, RubberBush, SpringStack, StackForce, Tyre};
use crate::linkage::{CornerTable, Point};

/// What a bump stop is squeezed by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StopPlace {
    /// It sits on the damper rod: squeezed by the shortening of the damper.
    Damper,
    /// It sits inside the spring: squeezed by the approach of the spring seats.
    Spring,
    /// It sits under the chassis rail and meets the arm or axle: squeezed by `ratio` metres per metre of wheel travel.
    Wheel {
        /// Stop compression per wheel travel, dimensionless, positive.
        ratio: f64,
    },
}

/// A bump stop in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedStop {
    /// The stop.
    pub stop: BumpStop,
    /// What squeezes it.
    pub place: StopPlace,
    /// Where the whole, untrimmed stop is first touched: damper length or seat distance, m, or wheel travel, m.
    pub whole_contact_m: f64,
}

/// One corner in body axes. The table describes a left corner; `side` mirrors it.
///
/// Shifts are measured from the design position of the parts: a collar screwed up by 10 mm is
/// `seat_shift_m = 0.010` and takes away `0.010 * table.seat_shift_ratio` of the space for the spring.
#[derive(Debug, Clone)]
pub struct Corner {
    /// Kinematics over travel.
    pub table: Arc<CornerTable>,
    /// +1 left, -1 right.
    pub side: f64,
    /// Springs between the seats.
    pub spring: SpringStack,
    /// Rise of the spring seat (collar), up the thread positive, m.
    pub seat_shift_m: f64,
    /// Space taken by spacers, pads or a taller top mount, positive compresses the spring, m.
    pub seat_packing_m: f64,
    /// Factor on the spring's travel from design height: 1, or a measured deviation of the motion ratio.
    pub spring_travel_factor: f64,
    /// Rise of the damper body in its carrier (screwed body, clamp insertion), m; shortens damper and spring space.
    pub body_shift_m: f64,
    /// Damper lengths and gas.
    pub damper: Damper,
    /// Bump stop, where there is one.
    pub stop: Option<FittedStop>,
    /// Rubber bushes of the arm.
    pub bush: Option<RubberBush>,
    /// Dry friction.
    pub friction: Friction,
    /// Vertical force added at the wheel, N, positive lifts the body: friction at one end of its band.
    pub wheel_force_n: f64,
    /// Tyre.
    pub tyre: Tyre,
    /// Unsprung mass of the corner, kg.
    pub unsprung_mass_kg: f64,
    /// Wheel-arch lip above the wheel centre, body axes, left corner, m.
    pub lip_m: Point,
}

/// Vertical forces of one corner's parts at the wheel, N, positive lift the body.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CornerForces {
    /// Springs.
    pub spring_n: f64,
    /// Bump stop.
    pub stop_n: f64,
    /// Gas in the damper.
    pub gas_n: f64,
    /// Rubber bushes.
    pub bush_n: f64,
    /// Sum, with any added wheel force.
    pub total_n: f64,
    /// Growth of the sum with bump travel, N/m: the wheel rate, without the anti-roll bar.
    pub rate_n_per_m: f64,
}

impl Corner {
    /// Wheel centre in body axes with its first and second derivatives over travel, mirrored to this side.
    pub(super) fn wheel_centre(&self, travel_m: f64) -> [Point; 3] {
        let (x, y) = (self.table.wheel_centre_x_m.at(travel_m), self.table.wheel_centre_y_m.at(travel_m));
        [
            [x.value, self.side * y.value, self.table.wheel_centre_design_m[2] + travel_m],
            [x.slope, self.side * y.slope, 1.0],
            [x.curvature, self.side * y.curvature, 0.0],
        ]
    }

    /// Wheel-arch lip in body axes on this side.
    pub(super) fn lip(&self) -> Point {
        [self.lip_m[0], self.side * self.lip_m[1], self.lip_m[2]]
    }

    /// Distance between the spring seats over travel, shifts included.
    pub(super) fn spring_space(&self, travel_m: f64) -> Local {
        let length = self.table.spring_length_m.at(travel_m);
        let design_m = self.table.spring_length_m.at(0.0).value;
        let taken_m =
            self.table.seat_shift_ratio * (self.seat_shift_m + self.body_shift_m) + self.seat_packing_m;
        Local {
            value: design_m + self.spring_travel_factor * (length.value - design_m) - taken_m,
            slope: self.spring_travel_factor * length.slope,
            curvature: self.spring_travel_factor * length.curvature,
        }
    }

    /// Damper length over travel, body shift included.
    pub(super) fn damper_length(&self, travel_m: f64) -> Local {
        let length = self.table.damper_length_m.at(travel_m);
        Local { value: length.value - self.body_shift_m, ..length }
    }

    /// Load of the spring stack at a travel.
    pub fn spring_at(&self, travel_m: f64) -> StackForce {
        self.spring.at_space(self.spring_space(travel_m).value)
    }

    /// Compression of the bump stop over travel; negative where it is not touched.
    pub(super) fn stop_compression(&self, fitted: &FittedStop, travel_m: f64) -> Local {
        let trimmed_m = fitted.stop.whole_height_m() - fitted.stop.height_m;
        let shortening = |contact_m: f64, length: Local| Local {
            value: contact_m - trimmed_m - length.value,
            slope: -length.slope,
            curvature: -length.curvature,
        };
        match fitted.place {
            StopPlace::Damper => shortening(fitted.whole_contact_m, self.damper_length(travel_m)),
            StopPlace::Spring => shortening(fitted.whole_contact_m, self.spring_space(travel_m)),
            StopPlace::Wheel { ratio } => Local {
                value: ratio * (travel_m - fitted.whole_contact_m) - trimmed_m,
                slope: ratio,
                curvature: 0.0,
            },
        }
    }

    /// Wheel forces at a travel, by virtual work: a force F on a length L gives -F dL/dz at the wheel.
    pub fn forces_at(&self, travel_m: f64) -> CornerForces {
        let space = self.spring_space(travel_m);
        let spring = self.spring.at_space(space.value);
        let mut forces = CornerForces {
            spring_n: -spring.force_n * space.slope,
            rate_n_per_m: spring.rate_n_per_m * space.slope.powi(2) - spring.force_n * space.curvature,
            ..CornerForces::default()
        };
        let damper = self.damper_length(travel_m);
        let gas = self.damper.gas_at_length(damper.value);
        forces.gas_n = -gas.force_n * damper.slope;
        forces.rate_n_per_m += gas.rate_n_per_m * damper.slope.powi(2) - gas.force_n * damper.curvature;
        if let Some(fitted) = &self.stop {
            let compression = self.stop_compression(fitted, travel_m);
            let stop = fitted.stop.at_compression(compression.value);
            forces.stop_n = stop.force_n * compression.slope;
            forces.rate_n_per_m +=
                stop.rate_n_per_m * compression.slope.powi(2) + stop.force_n * compression.curvature;
        }
        if let Some((twist, bush)) = self.bush_twist(travel_m) {
            forces.bush_n = bush.rate_nm_per_rad * twist.value * twist.slope;
            forces.rate_n_per_m +=
                bush.rate_nm_per_rad * (twist.slope.powi(2) + twist.value * twist.curvature);
        }
        forces.total_n = forces.spring_n + forces.gas_n + forces.stop_n + forces.bush_n + self.wheel_force_n;
        forces
    }

    /// Twist of the rubber bushes from where they were clamped, where the arm's angle is known.
    pub(super) fn bush_twist(&self, travel_m: f64) -> Option<(Local, RubberBush)> {
        let bush = self.bush?;
        let angle = self.table.arm_angle_rad.as_ref()?;
        let clamped_rad = angle.at(bush.clamped_at_travel_m).value;
        let local = angle.at(travel_m);
        Some((Local { value: local.value - clamped_rad, ..local }, bush))
    }

    /// Friction referred to the wheel at a travel, N: force along the damper times the damper's motion ratio.
    pub fn friction_at_wheel_n(&self, travel_m: f64) -> f64 {
        let suspension_force_n = self.forces_at(travel_m).total_n;
        self.friction.along_damper_n(suspension_force_n) * self.damper_length(travel_m).slope.abs()
    }
}
