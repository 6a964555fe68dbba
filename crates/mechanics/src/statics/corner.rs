//! One corner: the wheel force its parts give over travel.

use std::sync::Arc;

use super::coordinate::{Along, EnergySlopes};
use super::side_by_side::Corners;
use crate::curve::Local2;
use crate::elements::{
    AddedLeaf, BumpStop, Damper, FittedAirSpring, ForceAndRate, Friction, RubberBush, SpringStack,
    StackForce, Tyre,
};
use crate::lanes::Lanes;
use crate::linkage::{AxleTravel, CornerTable, OverTravel, Point, TravelMode};

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
        /// Share of the travel of the other wheel in that at the stop: nothing on independent suspension,
        /// ½ (1 - stop base / track) on an axle beam.
        other_share: f64,
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
    /// Leaves that join the main ones on the way.
    pub added_leaves: Vec<AddedLeaf>,
    /// Auxiliary air spring.
    pub air: Option<FittedAirSpring>,
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

/// Vertical forces of one corner's parts, N, positive lift the body, with both wheels of the axle moving together.
///
/// On independent suspension that is the force at the wheel. On a beam the part's force is shared between both wheels;
/// [`super::FourCorners::suspension_force_n`] gives the force at each.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CornerForces {
    /// Springs, added leaves and air spring.
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

/// Wheel centre in body axes with its derivatives by the travel of this wheel and of the other one.
pub(crate) struct WheelCentre {
    pub(crate) at_m: Point,
    pub(super) first: [Point; 2],
}

/// What squeezes a bump stop: a length, the travel of this wheel and of the other, m per metre, and a constant.
#[derive(Clone, Copy)]
pub(super) struct Squeeze<'a> {
    pub(super) by_length: Option<Along<'a>>,
    pub(super) by_travel: [f64; 2],
    pub(super) plus_m: f64,
}

impl Corner {
    /// Wheel centre over travel, mirrored to this side. Its height is the design height plus its own travel.
    pub(crate) fn wheel_centre(&self, travel: AxleTravel) -> WheelCentre {
        let (x, y) = (self.wheel_centre_x().at(travel), self.wheel_centre_y().at(travel));
        let z_m = self.table.wheel_centre_design_m[2] + travel.own_m;
        WheelCentre {
            at_m: [x.value, y.value, z_m],
            first: [[x.first[0], y.first[0], 1.0], [x.first[1], y.first[1], 0.0]],
        }
    }

    #[inline(always)]
    pub(super) fn wheel_centre_x(&self) -> Along<'_> {
        Along { curve: &self.table.wheel_centre_x_m, factor: 1.0, plus: 0.0 }
    }

    #[inline(always)]
    pub(super) fn wheel_centre_y(&self) -> Along<'_> {
        Along { curve: &self.table.wheel_centre_y_m, factor: self.side, plus: 0.0 }
    }

    /// Whether anything but the bar depends on the travel of the other wheel too.
    pub(super) fn is_joined(&self) -> bool {
        let table = &self.table;
        let lengths = [
            &table.wheel_centre_x_m,
            &table.wheel_centre_y_m,
            &table.spring_length_m,
            &table.damper_length_m,
        ];
        let by_both = |curve: &OverTravel| matches!(curve, OverTravel::Both(_));
        let is_shared = |fitted: &FittedStop| match fitted.place {
            StopPlace::Wheel { other_share, .. } => other_share.abs() > 0.0,
            StopPlace::Damper | StopPlace::Spring => false,
        };
        lengths.into_iter().chain(&table.arm_angle_rad).any(by_both)
            || self.stop.as_ref().is_some_and(is_shared)
    }

    /// Wheel-arch lip in body axes on this side.
    pub(super) fn lip(&self) -> Point {
        [self.lip_m[0], self.side * self.lip_m[1], self.lip_m[2]]
    }

    /// Distance between the spring seats, shifts included.
    #[inline(always)]
    pub(super) fn space_between_seats(&self) -> Along<'_> {
        let design_m = self.table.spring_length_design_m;
        let taken_m =
            self.table.seat_shift_ratio * (self.seat_shift_m + self.body_shift_m) + self.seat_packing_m;
        self.spring_from_design().times_plus(self.spring_travel_factor, design_m - taken_m)
    }

    /// Spring length less that at design height.
    #[inline(always)]
    pub(super) fn spring_from_design(&self) -> Along<'_> {
        let curve = &self.table.spring_length_m;
        Along { curve, factor: 1.0, plus: -self.table.spring_length_design_m }
    }

    /// Height of the auxiliary air spring: it follows the main spring's seats, not the collar.
    #[inline(always)]
    pub(super) fn height_of_air(&self) -> Option<Along<'_>> {
        let air = self.air.as_ref()?;
        Some(self.spring_from_design().times_plus(air.height_per_spring_length, air.height_at_design_m))
    }

    /// The corner with the gas of its air spring shut in where it stands at a travel.
    #[must_use]
    pub fn with_air_shut_at(mut self, travel: AxleTravel, polytropic_exponent: f64) -> Self {
        if let Some((_, height_m)) = self.air_at(travel) {
            self.air = self.air.map(|air| air.shut_at(height_m, polytropic_exponent));
        }
        self
    }

    /// Gauge pressure in the air spring at a travel, Pa, and its height, m.
    pub fn air_at(&self, travel: AxleTravel) -> Option<(f64, f64)> {
        let air = self.air.as_ref()?;
        let height_m = self.height_of_air()?.at(travel).value;
        Some((air.gauge_pressure_pa(height_m), height_m))
    }

    /// Damper length, body shift included.
    #[inline(always)]
    pub(super) fn length_of_damper(&self) -> Along<'_> {
        Along { curve: &self.table.damper_length_m, factor: 1.0, plus: -self.body_shift_m }
    }

    /// Load of the spring stack and of the leaves that have joined it, seats `space_m` apart.
    #[inline]
    pub(super) fn between_seats(&self, space_m: f64) -> ForceAndRate {
        let stack = self.spring.at_space(space_m);
        let mut load = ForceAndRate { force_n: stack.force_n, rate_n_per_m: stack.rate_n_per_m };
        for leaf in self.added_leaves.iter().map(|leaf| leaf.at_camber(space_m)) {
            load.force_n += leaf.force_n;
            load.rate_n_per_m += leaf.rate_n_per_m;
        }
        load
    }

    /// Length of the damper at a travel, m.
    pub fn damper_length_at_m(&self, travel: AxleTravel) -> f64 {
        self.length_of_damper().value_at(travel)
    }

    /// How much the bump stop is squeezed per bump travel of both wheels; `None` without a stop.
    pub fn stop_ratio(&self, travel: AxleTravel) -> Option<f64> {
        let compression = self.stop_compression(self.stop.as_ref()?, travel);
        Some(compression.along(TravelMode::Heave.direction()).slope).filter(|ratio| *ratio > 0.0)
    }

    /// Share of the other wheel's travel in that of the damper.
    pub fn damper_other_share(&self, travel: AxleTravel) -> f64 {
        let [own, other] = self.length_of_damper().at(travel).first;
        other / (own + other)
    }

    /// How much the damper shortens per bump travel of both wheels.
    pub fn damper_motion_ratio(&self, travel: AxleTravel) -> f64 {
        self.length_of_damper().at(travel).along(TravelMode::Heave.direction()).slope.abs()
    }

    /// Load of the spring stack at a travel.
    pub fn spring_at(&self, travel: AxleTravel) -> StackForce {
        self.spring.at_space(self.space_between_seats().value_at(travel))
    }

    /// What squeezes the bump stop; less than nothing where it is not touched.
    #[inline(always)]
    pub(super) fn squeeze(&self, fitted: &FittedStop) -> Squeeze<'_> {
        let trimmed_m = fitted.stop.whole_height_m() - fitted.stop.height_m;
        let left_m = fitted.whole_contact_m - trimmed_m;
        let none = Squeeze { by_length: None, by_travel: [0.0; 2], plus_m: 0.0 };
        match fitted.place {
            StopPlace::Damper => {
                Squeeze { by_length: Some(self.length_of_damper().times_plus(-1.0, left_m)), ..none }
            }
            StopPlace::Spring => {
                Squeeze { by_length: Some(self.space_between_seats().times_plus(-1.0, left_m)), ..none }
            }
            StopPlace::Wheel { ratio, other_share } => Squeeze {
                by_travel: [ratio * (1.0 - other_share), ratio * other_share],
                plus_m: -ratio * fitted.whole_contact_m - trimmed_m,
                ..none
            },
        }
    }

    /// Compression of the bump stop at a travel, m; negative where it is not touched.
    pub(super) fn stop_compression_m(&self, fitted: &FittedStop, travel: AxleTravel) -> f64 {
        let Squeeze { by_length, by_travel: [own, other], plus_m } = self.squeeze(fitted);
        by_length.map_or(0.0, |length| length.value_at(travel))
            + own * travel.own_m
            + other * travel.other_m
            + plus_m
    }

    /// Compression of the bump stop over travel; negative where it is not touched.
    pub(super) fn stop_compression(&self, fitted: &FittedStop, travel: AxleTravel) -> Local2 {
        let squeeze = self.squeeze(fitted);
        let mut compression = squeeze.by_length.map(|length| length.at(travel)).unwrap_or_default();
        let [own, other] = squeeze.by_travel;
        compression.value += own * travel.own_m + other * travel.other_m + squeeze.plus_m;
        compression.first[0] += own;
        compression.first[1] += other;
        compression
    }

    /// Energy slopes of all parts and of any added wheel force.
    pub(crate) fn energy_slopes(&self, travel: AxleTravel) -> EnergySlopes<1> {
        Corners::of([self]).energy_slopes::<true>(lanes_of(travel))
    }

    /// Forces at a travel with both wheels moving together, by virtual work: a force F on a length L gives -F dL/dz.
    pub fn forces_at(&self, travel: AxleTravel) -> CornerForces {
        let parts = Corners::of([self]).energy_slopes_by_part(lanes_of(travel));
        let [spring_n, gas_n, stop_n, bush_n] = parts.map(|part| part.first_n().into_iter().sum());
        CornerForces {
            spring_n,
            stop_n,
            gas_n,
            bush_n,
            total_n: spring_n + gas_n + stop_n + bush_n + self.wheel_force_n,
            rate_n_per_m: parts.iter().map(EnergySlopes::curvature_in_heave_n_per_m).sum(),
        }
    }

    /// Twist of the rubber bushes from where they were clamped, where the arm's angle is known.
    #[inline(always)]
    pub(super) fn twist_of_bushes(&self) -> Option<Along<'_>> {
        let bush = self.bush?;
        let curve = self.table.arm_angle_rad.as_ref()?;
        Some(Along { curve, factor: 1.0, plus: -curve.at(bush.clamped_at_travel_m).value })
    }

    /// Friction referred to the wheel at a travel, N: forces along damper and spring times their motion ratios.
    pub fn friction_at_wheel_n(&self, travel: AxleTravel) -> f64 {
        let suspension_force_n = self.forces_at(travel).total_n;
        let damper = self.length_of_damper().at(travel).along(TravelMode::Heave.direction());
        let space = self.space_between_seats().at(travel);
        let spring_load_n = self.between_seats(space.value).force_n;
        self.friction.along_damper_n(suspension_force_n) * damper.slope.abs()
            + self.friction.along_spring_n(spring_load_n)
                * space.along(TravelMode::Heave.direction()).slope.abs()
    }
}

fn lanes_of(travel: AxleTravel) -> [Lanes<1>; 2] {
    [Lanes([travel.own_m]), Lanes([travel.other_m])]
}
