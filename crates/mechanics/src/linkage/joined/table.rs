//! A joined axle tabulated over the travel of both wheels.

use super::{JoinedAxle, JoinedWheel};
use crate::curve::{Local2, Surface};
use crate::geometry::angles;
use crate::linkage::axle_travel::OverTravel;
use crate::linkage::pose::contact_point;
use crate::linkage::reach::{LinkageLocks, Reach};
use crate::linkage::table::{CornerTable, LOCK_MARGIN_M};

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
    let mut locks = LinkageLocks { travel_m: reach.rebound.travel_m, reason: reach.rebound.reason };
    while high_m - low_m >= LEAST_TRAVEL_M {
        match room_around(axle, low_m, high_m).and_then(|()| sampled(axle, low_m, high_m)) {
            Ok([left, right]) => return Ok([left.table(axle, reach), right.table(axle, reach)]),
            Err(nearer) => (locks, low_m, high_m) = (nearer, SHRINK * low_m, SHRINK * high_m),
        }
    }
    Err(locks)
}

/// Beyond each corner of the square of travels there is room left before a lock.
fn room_around(axle: &JoinedAxle, low_m: f64, high_m: f64) -> Result<(), LinkageLocks> {
    let ends = [low_m - LOCK_MARGIN_M, high_m + LOCK_MARGIN_M];
    for left_m in ends {
        for right_m in ends {
            axle.wheels(left_m, right_m).map_err(|reason| LinkageLocks { travel_m: left_m, reason })?;
        }
    }
    Ok(())
}

fn sampled(axle: &JoinedAxle, low_m: f64, high_m: f64) -> Result<[Sampled; 2], LinkageLocks> {
    let nodes = Surface::nodes(low_m, high_m);
    let mut left: Vec<Vec<JoinedWheel>> = Vec::with_capacity(Surface::POINTS);
    // the right wheel counts its own travel first, so its samples are filled column by column
    let mut right: Vec<Vec<JoinedWheel>> =
        (0..Surface::POINTS).map(|_| Vec::with_capacity(Surface::POINTS)).collect();
    for &left_m in &nodes {
        let mut row = Vec::with_capacity(Surface::POINTS);
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
            spring_length_design_m: self.always(|at| at.spring_length_m).at(0.0).value,
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
        let nodes = Surface::nodes(self.low_m, self.high_m);
        let height_m = |own_m: f64, other_m: f64| {
            let (y, z) = (y.at(own_m, other_m), z.at(own_m, other_m));
            y.value * in_roll(&y) / in_roll(&z)
        };
        let values: Vec<Vec<f64>> =
            nodes.iter().map(|&own| nodes.iter().map(|&other| height_m(own, other)).collect()).collect();
        Surface::through(self.low_m, self.high_m, &values)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{
        BeamHangers, LeafAxle, LeafAxleHardpoints, LeafFittings, LinkAxle, LinkAxleHardpoints, TwistBeam,
        TwistBeamHardpoints,
    };
    use super::*;
    use crate::linkage::AxleTravel;
    use crate::linkage::hardpoints::{BarHardpoints, WheelHardpoints};
    use proptest::prelude::*;

    const WHEEL: WheelHardpoints = WheelHardpoints {
        wheel_centre_m: [-3.10, 0.84, 0.33],
        design_camber_rad: -0.015,
        design_toe_rad: 0.002,
        tyre_radius_m: 0.33,
    };
    const HANGERS: BeamHangers = BeamHangers {
        damper_lower_m: [-3.20, 0.55, 0.28],
        damper_upper_m: [-3.08, 0.45, 0.74],
        bar: Some(BarHardpoints {
            bar_axis_m: [-3.36, 0.0, 0.40],
            bar_arm_end_m: [-3.08, 0.60, 0.39],
            link_lower_m: [-3.07, 0.61, 0.22],
            drop_link_length_m: None,
        }),
    };

    fn axles() -> [JoinedAxle; 3] {
        let leaves = LeafAxleHardpoints {
            front_eye_m: [-2.50, 0.56, 0.44],
            seat_m: [-3.10, 0.56, 0.38],
            rear_eye_m: [-3.75, 0.56, 0.46],
            shackle_pivot_m: [-3.71, 0.56, 0.58],
            wheel: WHEEL,
            hangers: HANGERS,
        };
        let beam = TwistBeamHardpoints {
            bush_m: [-2.62, 0.58, 0.37],
            shear_centre_m: [-2.80, 0.41],
            spring_seat_lower_m: [-3.06, 0.52, 0.27],
            spring_seat_upper_m: [-3.03, 0.50, 0.60],
            wheel: WHEEL,
            hangers: BeamHangers { bar: None, ..HANGERS },
        };
        let links = LinkAxleHardpoints {
            lower_link_body_m: [-2.45, 0.42, 0.30],
            lower_link_axle_m: [-3.08, 0.50, 0.26],
            upper_link_body_m: [-2.60, 0.05, 0.53],
            upper_link_axle_m: [-3.02, 0.03, 0.50],
            lateral_rod_body_m: [-3.20, 0.48, 0.43],
            lateral_rod_axle_m: [-3.21, -0.50, 0.38],
            spring_seat_lower_m: [-3.10, 0.52, 0.40],
            spring_seat_upper_m: [-3.08, 0.50, 0.66],
            wheel: WHEEL,
            hangers: HANGERS,
        };
        let fittings = LeafFittings { block_m: 0.02, wedge_rad: 0.03, shackle_longer_m: 0.01 };
        [
            JoinedAxle::Leaves(Box::new(LeafAxle::new(leaves, fittings).unwrap())),
            JoinedAxle::TwistBeam(Box::new(TwistBeam::new(beam).unwrap())),
            JoinedAxle::Links(Box::new(LinkAxle::new(links).unwrap())),
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(16))]

        #[test]
        fn law_tables_are_the_axle_within_a_micrometre(
            pairs in prop::collection::vec((-0.1..=0.1f64, -0.1..=0.1f64), 12),
        ) {
            for axle in axles() {
                let tables = axle.tables(0.1, 0.1).unwrap();
                for table in &tables {
                    prop_assert_eq!(table.travel_range_m, (-0.1, 0.1));
                }
                for &(left_m, right_m) in &pairs {
                    let direct = axle.wheels(left_m, right_m).unwrap();
                    let travels = [(left_m, right_m), (right_m, left_m)];
                    for ((table, at), (own_m, other_m)) in tables.iter().zip(&direct).zip(travels) {
                        let travel = AxleTravel { own_m, other_m };
                        let read = |curve: &OverTravel| curve.at_both(travel).value;
                        let known = |curve: &Option<OverTravel>| curve.as_ref().map(read);
                        let pairs = [
                            (Some(read(&table.wheel_centre_x_m)), Some(at.wheel_centre[0])),
                            (Some(read(&table.wheel_centre_y_m)), Some(at.wheel_centre[1])),
                            (Some(table.wheel_centre_design_m[2] + own_m), Some(at.wheel_centre[2])),
                            (Some(read(&table.spring_length_m)), Some(at.spring_length_m)),
                            (Some(read(&table.damper_length_m)), Some(at.damper_length_m)),
                            (known(&table.arm_angle_rad), at.arm_angle_rad),
                            (known(&table.bar_angle_rad), at.bar_angle_rad),
                            (known(&table.drop_link_angle_rad), at.drop_link_angle_rad),
                            (known(&table.camber_rad), Some(angles::camber(at.spin_axis))),
                            (known(&table.toe_rad), Some(angles::toe(at.spin_axis))),
                            (known(&table.caster_rad), Some(angles::caster(at.upright))),
                        ];
                        for (k, (tabulated, solved)) in pairs.into_iter().enumerate() {
                            prop_assert_eq!(tabulated.is_some(), solved.is_some());
                            let difference = tabulated.unwrap_or(0.0) - solved.unwrap_or(0.0);
                            prop_assert!(difference.abs() < 1e-6, "{k}: {difference}");
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn law_a_table_of_no_travel_is_refused() {
        for axle in axles() {
            assert!(axle.tables(0.0, 0.0).is_err() && axle.tables(0.001, 0.001).is_err());
        }
    }
}
