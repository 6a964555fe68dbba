//! The parts of several vans side by side, as their rest needs them: only parts that one of them has cost anything.

use super::coordinate::{Along, Coordinate, EnergySlopes, Quantity};
use super::{Corner, FittedBar, FourCorners, Sample};
use crate::GRAVITY_M_PER_S2;
use crate::elements::{ForceLanes, RateLaws, TyreLaws};
use crate::lanes::Lanes;
use crate::linkage::OverTravel;

/// One corner of `N` vans.
pub(super) struct Corners<'a, const N: usize> {
    corners: [&'a Corner; N],
    /// Whether the other wheel of the axle matters to any part.
    pub(super) joined: bool,
    centre_x_m: Quantity<'a, N>,
    centre_y_m: Quantity<'a, N>,
    centre_design_z_m: Lanes<N>,
    pub(super) tyre: TyreLaws<N>,
    pub(super) tyre_radius_m: Lanes<N>,
    pub(super) unsprung_weight_n: Lanes<N>,
    wheel_force_n: Lanes<N>,
    space_m: Quantity<'a, N>,
    springs: Springs<N>,
    has_air: bool,
    gas: Option<Gas<'a, N>>,
    stops: Option<Stops<'a, N>>,
    bushes: Option<Bushes<'a, N>>,
}

/// Where the wheel centres are in body axes.
pub(super) struct WheelCentres<const N: usize> {
    pub(super) x: Coordinate<N>,
    pub(super) y: Coordinate<N>,
    pub(super) z: Lanes<N>,
}

/// Parts whose forces are told apart.
#[derive(Clone, Copy)]
pub(super) enum Part {
    Spring,
    Gas,
    Stop,
    Bush,
}

/// What is summed over the parts.
trait PartSum<const N: usize> {
    /// Adds a part that acts on a coordinate.
    fn add_part<const JOINED: bool>(
        &mut self,
        part: Part,
        force: Lanes<N>,
        rate: Lanes<N>,
        coordinate: &Coordinate<N>,
    );
}

impl<const N: usize> PartSum<N> for EnergySlopes<N> {
    #[inline(always)]
    fn add_part<const JOINED: bool>(
        &mut self,
        _: Part,
        force: Lanes<N>,
        rate: Lanes<N>,
        coordinate: &Coordinate<N>,
    ) {
        self.add::<JOINED>(force, rate, coordinate);
    }
}

impl<const N: usize> PartSum<N> for [EnergySlopes<N>; 4] {
    #[inline(always)]
    fn add_part<const JOINED: bool>(
        &mut self,
        part: Part,
        force: Lanes<N>,
        rate: Lanes<N>,
        coordinate: &Coordinate<N>,
    ) {
        self[part as usize].add::<JOINED>(force, rate, coordinate);
    }
}

enum Springs<const N: usize> {
    /// One coil spring of stated rates between rigid seats.
    Coils {
        free_length_m: Lanes<N>,
        law: RateLaws<N>,
        /// Load over that of the law.
        factor: Lanes<N>,
    },
    Any,
}

struct Gas<'a, const N: usize> {
    length_m: Quantity<'a, N>,
    open_length_m: Lanes<N>,
    force_n: Lanes<N>,
    rate_n_per_m: Lanes<N>,
}

struct Stops<'a, const N: usize> {
    /// What a length squeezes them by.
    by_length_m: Quantity<'a, N>,
    /// What the travel of this wheel and of the other squeezes them by, per metre.
    by_travel: [Lanes<N>; 2],
    plus_m: Lanes<N>,
}

struct Bushes<'a, const N: usize> {
    twist_rad: Quantity<'a, N>,
    rate_nm_per_rad: Lanes<N>,
}

impl<'a, const N: usize> Corners<'a, N> {
    #[inline(always)]
    pub(super) fn of(corners: [&'a Corner; N]) -> Self {
        let has = |part: fn(&Corner) -> bool| corners.into_iter().any(part);
        Self {
            corners,
            joined: has(Corner::is_joined),
            centre_x_m: quantity(corners, |c| Some(c.wheel_centre_x())),
            centre_y_m: quantity(corners, |c| Some(c.wheel_centre_y())),
            centre_design_z_m: Lanes::of(corners, |c| c.table.wheel_centre_design_m[2]),
            tyre: TyreLaws::of(corners, |c| c.tyre),
            tyre_radius_m: Lanes::of(corners, |c| c.tyre.unloaded_radius_m),
            unsprung_weight_n: Lanes::of(corners, |c| c.unsprung_mass_kg * GRAVITY_M_PER_S2),
            wheel_force_n: Lanes::of(corners, |c| c.wheel_force_n),
            space_m: quantity(corners, |c| Some(c.space_between_seats())),
            springs: Springs::of(corners),
            has_air: has(|c| c.air.is_some()),
            gas: if has(|c| c.damper.has_gas()) { Some(Gas::of(corners)) } else { None },
            stops: if has(|c| c.stop.is_some()) { Some(Stops::of(corners)) } else { None },
            bushes: if has(|c| c.bush.is_some()) { Some(Bushes::of(corners)) } else { None },
        }
    }

    pub(super) fn are_on_coils(&self) -> bool {
        matches!(self.springs, Springs::Coils { .. })
    }

    /// Puts this corner of samples in the place of corners on coils.
    #[inline(always)]
    pub(super) fn put(&mut self, samples: [&Sample; N], i: usize) {
        if let Springs::Coils { free_length_m, factor, .. } = &mut self.springs {
            let longer_m = Lanes::of(samples, |sample| sample.longer_m[i]);
            *free_length_m = Lanes::of(self.corners, |c| c.spring.main.free_length_m) + longer_m;
            *factor = Lanes::of(samples, |sample| sample.spring_factor[i]);
        }
        let added_n = Lanes::of(samples, |sample| sample.wheel_force_n[i]);
        self.wheel_force_n = Lanes::of(self.corners, |c| c.wheel_force_n) + added_n;
    }

    /// Wheel centres over travel. Their height is the design height plus their own travel.
    #[inline(always)]
    pub(super) fn wheel_centres<const JOINED: bool>(&self, travel: [Lanes<N>; 2]) -> WheelCentres<N> {
        WheelCentres {
            x: self.centre_x_m.at::<JOINED>(travel),
            y: self.centre_y_m.at::<JOINED>(travel),
            z: self.centre_design_z_m + travel[0],
        }
    }

    /// Whether no wheel centre moves forwards or sideways.
    #[inline(always)]
    pub(super) fn centres_stay(&self) -> bool {
        self.centre_x_m.is_constant() && self.centre_y_m.is_constant()
    }

    /// Adds every part that acts. Not told to a closure, which would be compiled without the machine's vectors.
    #[inline(always)]
    fn add_parts<const JOINED: bool>(&self, travel: [Lanes<N>; 2], sum: &mut impl PartSum<N>) {
        // energy falls as the length of what is compressed grows
        let space = self.space_m.at::<JOINED>(travel);
        let load = match &self.springs {
            Springs::Coils { free_length_m, law, factor } => {
                let stated = law.at_compression(*free_length_m - space.value);
                ForceLanes { force_n: *factor * stated.force_n, rate_n_per_m: *factor * stated.rate_n_per_m }
            }
            Springs::Any => self.between_seats(space.value),
        };
        sum.add_part::<JOINED>(Part::Spring, -load.force_n, load.rate_n_per_m, &space);
        if self.has_air {
            let height = quantity(self.corners, Corner::height_of_air).at::<JOINED>(travel);
            let load = self.of_air(height.value);
            sum.add_part::<JOINED>(Part::Spring, -load.force_n, load.rate_n_per_m, &height);
        }
        if let Some(gas) = &self.gas {
            let length = gas.length_m.at::<JOINED>(travel);
            let force_n = gas.force_n + gas.rate_n_per_m * (gas.open_length_m - length.value);
            sum.add_part::<JOINED>(Part::Gas, -force_n, gas.rate_n_per_m, &length);
        }
        if let Some(stops) = &self.stops {
            let compression = stops.compression::<JOINED>(travel);
            if !compression.value.is_less_everywhere(Lanes::splat(f64::MIN_POSITIVE)) {
                let load = self.of_stops(compression.value);
                sum.add_part::<JOINED>(Part::Stop, load.force_n, load.rate_n_per_m, &compression);
            }
        }
        if let Some(bushes) = &self.bushes {
            let twist = bushes.twist_rad.at::<JOINED>(travel);
            let (moment_nm, rate) = (bushes.rate_nm_per_rad * twist.value, bushes.rate_nm_per_rad);
            sum.add_part::<JOINED>(Part::Bush, moment_nm, rate, &twist);
        }
    }

    // looked up van by van: not worth a place within the kernel

    #[inline(never)]
    fn between_seats(&self, space_m: Lanes<N>) -> ForceLanes<N> {
        ForceLanes::of_each(|i| self.corners[i].between_seats(space_m.0[i]))
    }

    #[inline(never)]
    fn of_air(&self, height_m: Lanes<N>) -> ForceLanes<N> {
        let of = |i: usize| self.corners[i].air.as_ref().map(|air| air.at_height(height_m.0[i]));
        ForceLanes::of_each(|i| of(i).unwrap_or_default())
    }

    #[inline(never)]
    fn of_stops(&self, compression_m: Lanes<N>) -> ForceLanes<N> {
        let of = |i: usize| self.corners[i].stop.as_ref().map(|f| f.stop.at_compression(compression_m.0[i]));
        ForceLanes::of_each(|i| of(i).unwrap_or_default())
    }

    /// Energy slopes of all parts and of any added wheel force.
    #[inline(always)]
    pub(super) fn energy_slopes<const JOINED: bool>(&self, travel: [Lanes<N>; 2]) -> EnergySlopes<N> {
        let mut sum = EnergySlopes::NOUGHT;
        sum.first[0] = self.wheel_force_n;
        self.add_parts::<JOINED>(travel, &mut sum);
        sum
    }

    /// Energy slopes of the parts, told apart.
    pub(super) fn energy_slopes_by_part(&self, travel: [Lanes<N>; 2]) -> [EnergySlopes<N>; 4] {
        let mut by_part = [EnergySlopes::NOUGHT; 4];
        self.add_parts::<true>(travel, &mut by_part);
        by_part
    }
}

/// The same quantity of each corner.
#[inline(always)]
fn quantity<'a, const N: usize>(
    corners: [&'a Corner; N],
    along: impl Fn(&'a Corner) -> Option<Along<'a>>,
) -> Quantity<'a, N> {
    let mut quantities = [None; N];
    for i in 0..N {
        quantities[i] = along(corners[i]);
    }
    Quantity::of(quantities)
}

impl<const N: usize> Springs<N> {
    #[inline(always)]
    fn of(corners: [&Corner; N]) -> Self {
        let alone = corners.iter().all(|corner| corner.spring.is_alone() && corner.added_leaves.is_empty());
        match RateLaws::of(corners, |corner| &corner.spring.main) {
            Some(law) if alone => Self::Coils {
                free_length_m: Lanes::of(corners, |c| c.spring.main.free_length_m),
                law,
                factor: Lanes::splat(1.0),
            },
            _ => Self::Any,
        }
    }
}

impl<'a, const N: usize> Gas<'a, N> {
    #[inline(always)]
    fn of(corners: [&'a Corner; N]) -> Self {
        Self {
            length_m: quantity(corners, |c| Some(c.length_of_damper())),
            open_length_m: Lanes::of(corners, |c| c.damper.open_length_m),
            force_n: Lanes::of(corners, |c| c.damper.gas_force_n),
            rate_n_per_m: Lanes::of(corners, |c| c.damper.gas_rate_n_per_m),
        }
    }
}

impl<'a, const N: usize> Bushes<'a, N> {
    #[inline(always)]
    fn of(corners: [&'a Corner; N]) -> Self {
        Self {
            twist_rad: quantity(corners, Corner::twist_of_bushes),
            rate_nm_per_rad: Lanes::of(corners, |c| c.bush.map_or(0.0, |bush| bush.rate_nm_per_rad)),
        }
    }
}

impl<'a, const N: usize> Stops<'a, N> {
    #[inline(always)]
    fn of(corners: [&'a Corner; N]) -> Self {
        let squeeze = |corner: &'a Corner| corner.stop.as_ref().map(|fitted| corner.squeeze(fitted));
        let by_travel =
            |k: usize| Lanes::of(corners, |c| squeeze(c).map_or(0.0, |squeeze| squeeze.by_travel[k]));
        Self {
            by_length_m: quantity(corners, |c| squeeze(c).and_then(|squeeze| squeeze.by_length)),
            by_travel: [by_travel(0), by_travel(1)],
            plus_m: Lanes::of(corners, |c| squeeze(c).map_or(0.0, |squeeze| squeeze.plus_m)),
        }
    }

    #[inline(always)]
    fn compression<const JOINED: bool>(&self, travel: [Lanes<N>; 2]) -> Coordinate<N> {
        let mut compression = self.by_length_m.at::<JOINED>(travel);
        compression.value += self.by_travel[0] * travel[0] + self.plus_m;
        compression.first[0] += self.by_travel[0];
        if JOINED {
            compression.value += self.by_travel[1] * travel[1];
            compression.first[1] += self.by_travel[1];
        }
        compression
    }
}

/// The anti-roll bar of one axle of `N` vans.
pub(super) struct Bars<'a, const N: usize> {
    rate_nm_per_rad: Lanes<N>,
    /// Twist per difference of travels.
    per_difference: Lanes<N>,
    /// Angles of the left and the right arm.
    arms_rad: [Quantity<'a, N>; 2],
}

impl<'a, const N: usize> Bars<'a, N> {
    /// `None` where no van has a bar on the axle.
    #[inline(always)]
    pub(super) fn of(vans: [&'a FourCorners; N], axle: usize) -> Option<Self> {
        let (mut rate, mut per_difference, mut arms) = ([0.0; N], [0.0; N], [[None; N]; 2]);
        for (i, van) in vans.into_iter().enumerate() {
            let angle = |corner: usize| -> Option<&'a OverTravel> {
                van.corners[corner].table.bar_angle_rad.as_ref()
            };
            match (van.bars[axle], angle(2 * axle), angle(2 * axle + 1)) {
                (Some(FittedBar::AtTheAxle { bar, track_m }), ..) => {
                    (rate[i], per_difference[i]) = (bar.rate_nm_per_rad, 1.0 / track_m);
                }
                (Some(FittedBar::ThroughLinks(bar)), Some(left), Some(right)) => {
                    rate[i] = bar.rate_nm_per_rad;
                    arms[0][i] = Some(Along { curve: left, factor: 1.0, plus: 0.0 });
                    arms[1][i] = Some(Along { curve: right, factor: -1.0, plus: 0.0 });
                }
                _ => {}
            }
        }
        if vans.iter().all(|van| van.bars[axle].is_none()) {
            return None;
        }
        Some(Self {
            rate_nm_per_rad: Lanes(rate),
            per_difference: Lanes(per_difference),
            arms_rad: [Quantity::of(arms[0]), Quantity::of(arms[1])],
        })
    }

    /// Energy slopes by the travel of the left and of the right wheel.
    #[inline(always)]
    pub(super) fn energy_slopes(&self, [left_m, right_m]: [Lanes<N>; 2]) -> EnergySlopes<N> {
        let mut twist = Coordinate::NOUGHT;
        twist.value = (left_m - right_m) * self.per_difference;
        twist.first = [self.per_difference, -self.per_difference];
        let [left, right] = &self.arms_rad;
        if !(left.is_constant() && right.is_constant()) {
            twist.add(&left.at::<true>([left_m, right_m]));
            // the right corner counts its own wheel first
            let right = right.at::<true>([right_m, left_m]);
            let ([a, b], [aa, ab, bb]) = (right.first, right.second);
            twist.add(&Coordinate { value: right.value, first: [b, a], second: [bb, ab, aa] });
        }
        let mut slopes = EnergySlopes::NOUGHT;
        slopes.add::<true>(self.rate_nm_per_rad * twist.value, self.rate_nm_per_rad, &twist);
        slopes
    }
}
