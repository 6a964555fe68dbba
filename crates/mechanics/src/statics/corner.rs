//! One corner: the wheel force its parts give over travel.

use std::sync::Arc;

use crate::curve::Local2;
use crate::elements::{
    AddedLeaf, BumpStop, Damper, FittedAirSpring, ForceAndRate, Friction, RubberBush, SpringStack,
    StackForce, Tyre,
};
use crate::linkage::{AxleTravel, CornerTable, Point, TravelMode};

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

/// Derivatives of the energy of one corner's parts by the travel of its wheel and of the other one.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct EnergySlopes {
    /// By this wheel, by the other one, N.
    pub(super) first: [f64; 2],
    /// Twice by this wheel, by both, twice by the other, N/m.
    pub(super) second: [f64; 3],
}

impl EnergySlopes {
    /// Adds an energy whose derivatives by a coordinate are `force` and `rate`.
    #[inline]
    pub(super) fn add(&mut self, force: f64, rate: f64, coordinate: &Local2) {
        let [a, b] = coordinate.first;
        let [aa, ab, bb] = coordinate.second;
        self.first[0] += force * a;
        self.first[1] += force * b;
        self.second[0] += rate * a * a + force * aa;
        self.second[1] += rate * a * b + force * ab;
        self.second[2] += rate * b * b + force * bb;
    }

    /// Force on both wheels moving together and its rate.
    fn in_heave(&self) -> ForceAndRate {
        let [aa, ab, bb] = self.second;
        ForceAndRate { force_n: self.first[0] + self.first[1], rate_n_per_m: aa + 2.0 * ab + bb }
    }

    /// Second derivative with the wheels moved in opposition, by the travel of one, N/m.
    pub(crate) fn curvature_in_roll_n_per_m(&self) -> f64 {
        let [aa, ab, bb] = self.second;
        aa - 2.0 * ab + bb
    }
}

/// Parts whose forces are told apart.
#[derive(Clone, Copy)]
enum Part {
    Spring,
    Gas,
    Stop,
    Bush,
}

/// Wheel centre in body axes with its derivatives by the travel of this wheel and of the other one.
pub(crate) struct WheelCentre {
    pub(crate) at_m: Point,
    pub(super) first: [Point; 2],
    pub(super) second: [Point; 3],
}

impl Corner {
    /// Wheel centre over travel, mirrored to this side. Its height is the design height plus its own travel.
    #[inline]
    pub(crate) fn wheel_centre(&self, travel: AxleTravel) -> WheelCentre {
        let (x, y) =
            (self.table.wheel_centre_x_m.at_both(travel), self.table.wheel_centre_y_m.at_both(travel));
        let z_m = self.table.wheel_centre_design_m[2] + travel.own_m;
        let y = y.times(self.side);
        WheelCentre {
            at_m: [x.value, y.value, z_m],
            first: [[x.first[0], y.first[0], 1.0], [x.first[1], y.first[1], 0.0]],
            second: std::array::from_fn(|k| [x.second[k], y.second[k], 0.0]),
        }
    }

    /// Wheel-arch lip in body axes on this side.
    pub(super) fn lip(&self) -> Point {
        [self.lip_m[0], self.side * self.lip_m[1], self.lip_m[2]]
    }

    /// Distance between the spring seats over travel, shifts included.
    #[inline]
    pub(super) fn spring_space(&self, travel: AxleTravel) -> Local2 {
        let design_m = self.table.spring_length_design_m;
        let taken_m =
            self.table.seat_shift_ratio * (self.seat_shift_m + self.body_shift_m) + self.seat_packing_m;
        self.spring_from_design(travel).times(self.spring_travel_factor).plus(design_m - taken_m)
    }

    /// Spring length less that at design height.
    #[inline]
    pub(super) fn spring_from_design(&self, travel: AxleTravel) -> Local2 {
        self.table.spring_length_m.at_both(travel).plus(-self.table.spring_length_design_m)
    }

    /// Height of the auxiliary air spring over travel: it follows the main spring's seats, not the collar.
    pub(super) fn air_height(&self, air: &FittedAirSpring, travel: AxleTravel) -> Local2 {
        let from_design = self.spring_from_design(travel);
        from_design.times(air.height_per_spring_length).plus(air.height_at_design_m)
    }

    /// The corner with the gas of its air spring shut in where it stands at a travel.
    #[must_use]
    pub fn with_air_shut_at(mut self, travel: AxleTravel, polytropic_exponent: f64) -> Self {
        if let Some(air) = &self.air {
            let height_m = self.air_height(air, travel).value;
            self.air = Some(air.shut_at(height_m, polytropic_exponent));
        }
        self
    }

    /// Gauge pressure in the air spring at a travel, Pa, and its height, m.
    pub fn air_at(&self, travel: AxleTravel) -> Option<(f64, f64)> {
        let air = self.air.as_ref()?;
        let height_m = self.air_height(air, travel).value;
        Some((air.gauge_pressure_pa(height_m), height_m))
    }

    /// Damper length over travel, body shift included.
    #[inline]
    pub(super) fn damper_length(&self, travel: AxleTravel) -> Local2 {
        self.table.damper_length_m.at_both(travel).plus(-self.body_shift_m)
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
        self.damper_length(travel).value
    }

    /// How much the bump stop is squeezed per bump travel of both wheels; `None` without a stop.
    pub fn stop_ratio(&self, travel: AxleTravel) -> Option<f64> {
        let compression = self.stop_compression(self.stop.as_ref()?, travel);
        Some(compression.along(TravelMode::Heave.direction()).slope).filter(|ratio| *ratio > 0.0)
    }

    /// Share of the other wheel's travel in that of the damper.
    pub fn damper_other_share(&self, travel: AxleTravel) -> f64 {
        let [own, other] = self.damper_length(travel).first;
        other / (own + other)
    }

    /// How much the damper shortens per bump travel of both wheels.
    pub fn damper_motion_ratio(&self, travel: AxleTravel) -> f64 {
        self.damper_length(travel).along(TravelMode::Heave.direction()).slope.abs()
    }

    /// Load of the spring stack at a travel.
    pub fn spring_at(&self, travel: AxleTravel) -> StackForce {
        self.spring.at_space(self.spring_space(travel).value)
    }

    /// Compression of the bump stop over travel; negative where it is not touched.
    #[inline]
    pub(super) fn stop_compression(&self, fitted: &FittedStop, travel: AxleTravel) -> Local2 {
        let trimmed_m = fitted.stop.whole_height_m() - fitted.stop.height_m;
        let shortening = |length: Local2| length.times(-1.0).plus(fitted.whole_contact_m - trimmed_m);
        match fitted.place {
            StopPlace::Damper => shortening(self.damper_length(travel)),
            StopPlace::Spring => shortening(self.spring_space(travel)),
            StopPlace::Wheel { ratio, other_share } => {
                let first = [ratio * (1.0 - other_share), ratio * other_share];
                let at_stop_m = first[0] * travel.own_m + first[1] * travel.other_m;
                let value = at_stop_m - ratio * fitted.whole_contact_m - trimmed_m;
                Local2 { value, first, second: [0.0; 3] }
            }
        }
    }

    /// Tells `add` the force, rate and coordinate of every part that acts.
    #[inline]
    fn for_each_part(&self, travel: AxleTravel, mut add: impl FnMut(Part, f64, f64, &Local2)) {
        // energy falls as the length of what is compressed grows
        let space = self.spring_space(travel);
        let load = self.between_seats(space.value);
        add(Part::Spring, -load.force_n, load.rate_n_per_m, &space);
        if let Some(air) = &self.air {
            let height = self.air_height(air, travel);
            let load = air.at_height(height.value);
            add(Part::Spring, -load.force_n, load.rate_n_per_m, &height);
        }
        if self.damper.has_gas() {
            let length = self.damper_length(travel);
            let load = self.damper.gas_at_length(length.value);
            add(Part::Gas, -load.force_n, load.rate_n_per_m, &length);
        }
        if let Some(fitted) = &self.stop {
            let compression = self.stop_compression(fitted, travel);
            let load = fitted.stop.at_compression(compression.value);
            add(Part::Stop, load.force_n, load.rate_n_per_m, &compression);
        }
        if let Some((twist, rubber)) = self.bush_twist(travel) {
            let rate = rubber.rate_nm_per_rad;
            add(Part::Bush, rate * twist.value, rate, &twist);
        }
    }

    /// Energy slopes of all parts and of any added wheel force.
    pub(crate) fn energy_slopes(&self, travel: AxleTravel) -> EnergySlopes {
        let mut sum = EnergySlopes { first: [self.wheel_force_n, 0.0], second: [0.0; 3] };
        self.for_each_part(travel, |_, force, rate, coordinate| sum.add(force, rate, coordinate));
        sum
    }

    /// Forces at a travel with both wheels moving together, by virtual work: a force F on a length L gives -F dL/dz.
    pub fn forces_at(&self, travel: AxleTravel) -> CornerForces {
        let mut by_part = [EnergySlopes::default(); 4];
        self.for_each_part(travel, |part, force, rate, coordinate| {
            by_part[part as usize].add(force, rate, coordinate);
        });
        let parts = by_part.map(|part| part.in_heave());
        let [spring_n, gas_n, stop_n, bush_n] = parts.map(|part| part.force_n);
        CornerForces {
            spring_n,
            stop_n,
            gas_n,
            bush_n,
            total_n: spring_n + gas_n + stop_n + bush_n + self.wheel_force_n,
            rate_n_per_m: parts.iter().map(|part| part.rate_n_per_m).sum(),
        }
    }

    /// Twist of the rubber bushes from where they were clamped, where the arm's angle is known.
    pub(super) fn bush_twist(&self, travel: AxleTravel) -> Option<(Local2, RubberBush)> {
        let bush = self.bush?;
        let angle = self.table.arm_angle_rad.as_ref()?;
        let clamped_rad = angle.at(bush.clamped_at_travel_m).value;
        Some((angle.at_both(travel).plus(-clamped_rad), bush))
    }

    /// Friction referred to the wheel at a travel, N: forces along damper and spring times their motion ratios.
    pub fn friction_at_wheel_n(&self, travel: AxleTravel) -> f64 {
        let suspension_force_n = self.forces_at(travel).total_n;
        let damper = self.damper_length(travel).along(TravelMode::Heave.direction());
        let space = self.spring_space(travel);
        let spring_load_n = self.between_seats(space.value).force_n;
        self.friction.along_damper_n(suspension_force_n) * damper.slope.abs()
            + self.friction.along_spring_n(spring_load_n)
                * space.along(TravelMode::Heave.direction()).slope.abs()
    }
}
