//! A joined axle tabulated over the travel of both wheels.

use super::{JoinedAxle, JoinedWheel};
use crate::curve::{Local2, Surface};
use crate::geometry::angles;
use crate::linkage::axle_travel::OverTravel;
use crate::linkage::pose::contact_point;
use crate::linkage::reach::{LinkageLocks, Reach};
use crate::linkage::table::CornerTable;

/// Chebyshev points along each travel: leaves the surfaces within 1e-6 m and 1e-6 rad of the axle.
const POINTS: usize = 18;
/// Where the axle locks within the square of travels that was asked for, the square is shrunk by this share.
const SHRINK: f64 = 0.9;
const LEAST_TRAVEL_M: f64 = 0.005;

/// A wheel sampled over the square of travels: `samples[j][k]` with this wheel at point j and the other one at point k.
struct Sampled {
    low_m: f64,
    high_m: f64,
    samples: Vec<Vec<JoinedWheel>>,
}

pub(super) fn tabulated(
    axle: &JoinedAxle,
    rebound_m: f64,
    bump_m: f64,
) -> Result<[CornerTable; 2], LinkageLocks> {
    let reach = axle.reach();
    let (mut low_m, mut high_m) =
        (reach.rebound.travel_m.max(-rebound_m.abs()), reach.bump.travel_m.min(bump_m.abs()));
    loop {
        match sampled(axle, low_m, high_m) {
            Ok([left, right]) => return Ok([left.table(axle, reach), right.table(axle, reach)]),
            Err(locks) if high_m - low_m < LEAST_TRAVEL_M => return Err(locks),
            Err(_) => (low_m, high_m) = (SHRINK * low_m, SHRINK * high_m),
        }
    }
}

fn sampled(axle: &JoinedAxle, low_m: f64, high_m: f64) -> Result<[Sampled; 2], LinkageLocks> {
    let nodes = Surface::nodes(low_m, high_m, POINTS);
    let mut left: Vec<Vec<JoinedWheel>> = Vec::with_capacity(POINTS);
    // the right wheel counts its own travel first, so its samples are filled column by column
    let mut right: Vec<Vec<JoinedWheel>> = (0..POINTS).map(|_| Vec::with_capacity(POINTS)).collect();
    for &left_m in &nodes {
        let mut row = Vec::with_capacity(POINTS);
        for (k, &right_m) in nodes.iter().enumerate() {
            let locks = |reason| LinkageLocks { travel_m: left_m, reason };
            let [at_left, at_right] = axle.wheels(left_m, right_m).map_err(locks)?;
            row.push(at_left);
            right[k].push(at_right);
        }
        left.push(row);
    }
    Ok([left, right].map(|samples| Sampled { low_m, high_m, samples }))
}

impl Sampled {
    fn surface(&self, quantity: impl Fn(&JoinedWheel) -> f64) -> Surface {
        let values: Vec<Vec<f64>> =
            self.samples.iter().map(|row| row.iter().map(&quantity).collect()).collect();
        Surface::through(self.low_m, self.high_m, &values)
    }

    fn always(&self, quantity: impl Fn(&JoinedWheel) -> f64) -> OverTravel {
        OverTravel::Both(self.surface(quantity))
    }

    /// A quantity that every sample has, or none.
    fn sometimes(&self, quantity: impl Fn(&JoinedWheel) -> Option<f64>) -> Option<OverTravel> {
        let known = self.samples.iter().flatten().all(|wheel| quantity(wheel).is_some());
        known.then(|| self.always(|wheel| quantity(wheel).unwrap_or_default()))
    }

    fn table(&self, axle: &JoinedAxle, reach: Reach) -> CornerTable {
        let wheel = axle.wheel();
        let contact = |at: &JoinedWheel| contact_point(at.wheel_centre, at.spin_axis, wheel.tyre_radius_m);
        let design_spin = angles::spin_axis(wheel.design_camber_rad, wheel.design_toe_rad);
        let design_contact = contact_point(wheel.wheel_centre_m, design_spin, wheel.tyre_radius_m);
        CornerTable {
            travel_range_m: (self.low_m, self.high_m),
            reach,
            wheel_centre_design_m: wheel.wheel_centre_m,
            driveshaft_inner_m: None,
            seat_shift_ratio: 1.0,
            wheel_centre_x_m: self.always(|at| at.wheel_centre[0]),
            wheel_centre_y_m: self.always(|at| at.wheel_centre[1]),
            spring_length_m: self.always(|at| at.spring_length_m),
            damper_length_m: self.always(|at| at.damper_length_m),
            arm_angle_rad: self.sometimes(|at| at.arm_angle_rad),
            bar_angle_rad: self.sometimes(|at| at.bar_angle_rad),
            drop_link_angle_rad: self.sometimes(|at| at.drop_link_angle_rad),
            camber_rad: Some(self.always(|at| angles::camber(at.spin_axis))),
            toe_rad: Some(self.always(|at| angles::toe(at.spin_axis))),
            caster_rad: Some(self.always(|at| angles::caster(at.upright))),
            kingpin_inclination_rad: None,
            scrub_radius_m: None,
            mechanical_trail_m: None,
            half_track_change_m: Some(self.always(|at| contact(at)[1] - design_contact[1])),
            roll_centre_height_m: Some(OverTravel::Both(self.roll_centre_height(&contact))),
        }
    }

    /// Height above the contact point at which the centre plane is met by the normal to the contact point's path, this
    /// wheel going up and the other one as much down (Reimpell, Stoll and Betzler, The Automotive Chassis, ch. 3.4).
    fn roll_centre_height(&self, contact: &impl Fn(&JoinedWheel) -> [f64; 3]) -> Surface {
        let (y, z) = (self.surface(|at| contact(at)[1]), self.surface(|at| contact(at)[2]));
        let in_roll = |local: &Local2| local.first[0] - local.first[1];
        let nodes = Surface::nodes(self.low_m, self.high_m, POINTS);
        let height_m = |own_m: f64, other_m: f64| {
            let (y, z) = (y.at(own_m, other_m), z.at(own_m, other_m));
            y.value * in_roll(&y) / in_roll(&z)
        };
        let values: Vec<Vec<f64>> =
            nodes.iter().map(|&own| nodes.iter().map(|&other| height_m(own, other)).collect()).collect();
        Surface::through(self.low_m, self.high_m, &values)
    }
}
