//! How far a van moves about its rest on a random road: standard deviations by summing spectra.

use super::nodes::Nodes;
use super::response::{AxleRates, LinearVan, OPPOSED, PARALLEL};
use super::{BodyPoint, Car, ComplexLanes, Lanes};

/// Variances of a movement of both wheels of an axle, as their mean and half of left less right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleSpread<const N: usize> {
    /// Variance of the mean of both wheels.
    pub parallel: Lanes<N>,
    /// Variance of half of left less right.
    pub opposed: Lanes<N>,
    /// Covariance of the two: 0 with the centre of gravity on the centre plane.
    pub cross: Lanes<N>,
}

impl<const N: usize> AxleSpread<N> {
    const ZERO: Self = Self { parallel: Lanes([0.0; N]), opposed: Lanes([0.0; N]), cross: Lanes([0.0; N]) };

    /// Variance of a part at `(1 - e) own + e other`, with e the share of the other wheel's movement: mean of both
    /// sides.
    pub fn variance_at_share(&self, other_share: f64) -> Lanes<N> {
        self.parallel + self.opposed * (1.0 - 2.0 * other_share).powi(2)
    }

    fn lane(&self, lane: usize) -> AxleSpread<1> {
        AxleSpread {
            parallel: self.parallel.lane(lane),
            opposed: self.opposed.lane(lane),
            cross: self.cross.lane(lane),
        }
    }

    /// Standard deviation at the left and the right wheel.
    pub fn rms(&self) -> [Lanes<N>; 2] {
        [2.0, -2.0].map(|sign| (self.parallel + self.opposed + self.cross * sign).map(f64::sqrt))
    }
}

/// Standard deviations of what a van does on a random road, about its rest.
#[derive(Debug, Clone, PartialEq)]
pub struct RideSpread<const N: usize> {
    /// Weighted vertical acceleration at each place asked for, root mean square, m/s².
    pub seat_m_per_s2: Vec<Lanes<N>>,
    /// Travel of front and rear axle, m².
    pub travel_m2: [AxleSpread<N>; 2],
    /// Speed of travel, (m/s)².
    pub travel_speed_m2_per_s2: [AxleSpread<N>; 2],
    /// Tyre load about that at rest, N².
    pub tyre_load_n2: [AxleSpread<N>; 2],
}

impl<const N: usize> RideSpread<N> {
    /// One of the cases.
    pub fn lane(&self, lane: usize) -> RideSpread<1> {
        let axles = |both: &[AxleSpread<N>; 2]| [both[0].lane(lane), both[1].lane(lane)];
        RideSpread {
            seat_m_per_s2: self.seat_m_per_s2.iter().map(|seat| seat.lane(lane)).collect(),
            travel_m2: axles(&self.travel_m2),
            travel_speed_m2_per_s2: axles(&self.travel_speed_m2_per_s2),
            tyre_load_n2: axles(&self.tyre_load_n2),
        }
    }

    /// Standard deviation of the travel of each wheel, m.
    pub fn travel_rms_m(&self) -> [Lanes<N>; 4] {
        corners(&self.travel_m2)
    }

    /// Standard deviation of the speed of travel of each wheel, m/s.
    pub fn travel_speed_rms_m_per_s(&self) -> [Lanes<N>; 4] {
        corners(&self.travel_speed_m2_per_s2)
    }

    /// Standard deviation of the load of each tyre, N.
    pub fn tyre_load_rms_n(&self) -> [Lanes<N>; 4] {
        corners(&self.tyre_load_n2)
    }
}

fn corners<const N: usize>(axles: &[AxleSpread<N>; 2]) -> [Lanes<N>; 4] {
    let [[front_left, front_right], [rear_left, rear_right]] = [axles[0].rms(), axles[1].rms()];
    [front_left, front_right, rear_left, rear_right]
}

/// Sums the spectra of `N` vans over the nodes of one road and speed; all of the wheelbase the nodes were made for.
///
/// Runs in the widest vectors the machine has.
pub fn ride_spread<const N: usize>(
    car: &Car<N>,
    axles: &[AxleRates<N>; 2],
    seats: &[BodyPoint<N>],
    nodes: &Nodes,
) -> RideSpread<N>
where
    Lanes<N>: SideBySide<N>,
{
    Lanes::<N>::summed(car, axles, seats, nodes)
}

/// A number of vans side by side whose sums are compiled within this crate, at its level of optimisation, and for several
/// sets of vector instructions.
pub trait SideBySide<const N: usize> {
    /// As [`ride_spread`].
    fn summed(
        car: &Car<N>,
        axles: &[AxleRates<N>; 2],
        seats: &[BodyPoint<N>],
        nodes: &Nodes,
    ) -> RideSpread<N>;
}

macro_rules! compiled {
    ($($lanes:literal),+) => { $(
        impl SideBySide<$lanes> for Lanes<$lanes> {
            fn summed(
                car: &Car<$lanes>,
                axles: &[AxleRates<$lanes>; 2],
                seats: &[BodyPoint<$lanes>],
                nodes: &Nodes,
            ) -> RideSpread<$lanes> {
                let arch = pulp::Arch::new();
                if matches!(arch, pulp::Arch::Scalar) {
                    summed::<false, $lanes>(car, axles, seats, nodes)
                } else {
                    arch.dispatch(Sum { car, axles, seats, nodes })
                }
            }
        }
    )+ };
}

compiled!(1, 4, 8);

/// The sum, to be compiled once for each width of vectors; every machine with wide ones can multiply and add at once.
struct Sum<'a, const N: usize> {
    car: &'a Car<N>,
    axles: &'a [AxleRates<N>; 2],
    seats: &'a [BodyPoint<N>],
    nodes: &'a Nodes,
}

impl<const N: usize> pulp::WithSimd for Sum<'_, N> {
    type Output = RideSpread<N>;

    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _simd: S) -> RideSpread<N> {
        summed::<true, N>(self.car, self.axles, self.seats, self.nodes)
    }
}

#[inline(always)]
fn summed<const FUSED: bool, const N: usize>(
    car: &Car<N>,
    axles: &[AxleRates<N>; 2],
    seats: &[BodyPoint<N>],
    nodes: &Nodes,
) -> RideSpread<N> {
    let van = LinearVan::of(car, axles);
    let mut seat_m2 = vec![Lanes::splat(0.0); seats.len()];
    let (mut travel, mut speed, mut over_road) =
        ([AxleSpread::ZERO; 2], [AxleSpread::ZERO; 2], [AxleSpread::ZERO; 2]);
    for node in &nodes.nodes {
        let moved = van.moved::<FUSED>(&node.turn, node.amplitude_m);
        let squared = Lanes::splat(node.turn.omega_rad_per_s * node.turn.omega_rad_per_s);
        for axle in 0..2 {
            let parallel = moved.axle::<FUSED, PARALLEL>(axle);
            let opposed = moved.axle::<FUSED, OPPOSED>(axle);
            let part = AxleSpread::of_inputs::<FUSED>(&parallel.travel, &opposed.travel, &AxleSpread::ZERO);
            travel[axle].add(&part);
            speed[axle].add_scaled::<FUSED>(&part, squared);
            over_road[axle] =
                AxleSpread::of_inputs::<FUSED>(&parallel.over_road, &opposed.over_road, &over_road[axle]);
        }
        for (sum, seat) in seat_m2.iter_mut().zip(seats) {
            let rise = |body: &[ComplexLanes<N>; 3]| {
                let pitched = body[1].scaled_plus::<FUSED>(-seat.x_m, body[0]);
                body[2].scaled_plus::<FUSED>(seat.y_m, pitched)
            };
            let opposed = rise(moved.body::<OPPOSED>()).squared_plus::<FUSED>(Lanes::splat(0.0));
            let both = rise(moved.body::<PARALLEL>()).squared_plus::<FUSED>(opposed);
            *sum = both.mul_add::<FUSED>(Lanes::splat(node.acceleration), *sum);
        }
    }
    let load = |axle: usize| over_road[axle].scaled(car.tyre_rate_n_per_m[axle]);
    RideSpread {
        seat_m_per_s2: seat_m2.into_iter().map(|sum| sum.map(f64::sqrt)).collect(),
        travel_m2: travel,
        travel_speed_m2_per_s2: speed,
        tyre_load_n2: [load(0), load(1)],
    }
}

impl<const N: usize> AxleSpread<N> {
    /// What two uncorrelated inputs add to a sum.
    #[inline(always)]
    fn of_inputs<const FUSED: bool>(
        first: &[ComplexLanes<N>; 2],
        second: &[ComplexLanes<N>; 2],
        sum: &Self,
    ) -> Self {
        let squares =
            |mode: usize, sum| first[mode].squared_plus::<FUSED>(second[mode].squared_plus::<FUSED>(sum));
        let cross = second[PARALLEL].in_phase_plus::<FUSED>(second[OPPOSED], sum.cross);
        Self {
            parallel: squares(PARALLEL, sum.parallel),
            opposed: squares(OPPOSED, sum.opposed),
            cross: first[PARALLEL].in_phase_plus::<FUSED>(first[OPPOSED], cross),
        }
    }

    /// Of a movement times a factor.
    #[inline(always)]
    fn scaled(&self, factor: Lanes<N>) -> Self {
        let square = factor * factor;
        Self { parallel: self.parallel * square, opposed: self.opposed * square, cross: self.cross * square }
    }

    #[inline(always)]
    fn add(&mut self, part: &Self) {
        self.parallel += part.parallel;
        self.opposed += part.opposed;
        self.cross += part.cross;
    }

    #[inline(always)]
    fn add_scaled<const FUSED: bool>(&mut self, part: &Self, factor: Lanes<N>) {
        self.parallel = part.parallel.mul_add::<FUSED>(factor, self.parallel);
        self.opposed = part.opposed.mul_add::<FUSED>(factor, self.opposed);
        self.cross = part.cross.mul_add::<FUSED>(factor, self.cross);
    }
}
