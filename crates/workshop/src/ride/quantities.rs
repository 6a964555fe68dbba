//! What is computed of a ride: logarithms, since all of it is positive and spreads in ratio.

use mechanics::ride::{
    AxleLaw, BodyPoint, Car, Lanes, LinearisedRide, Mode, ModeKind, Movement, RideDeviation, TravelMovement,
    linearised_at, linearised_ride, modes, modes_nearby, single_axle_frequency_hz,
};
use mechanics::statics::{FRONT, REAR};
use nalgebra::{Matrix4, Vector4};

use super::figures::{Ride, RideMode};

/// A quantity of a ride.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Quantity {
    /// Undamped natural frequency of a mode, Hz.
    Frequency(RideMode),
    /// Its damping ratio.
    Damping(RideMode),
    /// Weighted acceleration at a seat, m/s².
    Seat(usize),
    /// Natural frequency of an axle alone, Hz.
    AxleFrequency(usize),
    /// Standard deviation of wheel travel, m.
    Travel(usize),
    /// Standard deviation of tyre load, as a share of the load at rest.
    TyreLoad(usize),
    /// Touches of the bump stop per kilometre.
    StopTouched(usize),
    /// Passes of twice the static load per kilometre.
    TwiceStatic(usize),
}

impl Quantity {
    /// All quantities, in the order in which they are computed.
    const ALL: [Self; 22] = [
        Self::Frequency(RideMode::Heave),
        Self::Frequency(RideMode::Pitch),
        Self::Frequency(RideMode::Roll),
        Self::Frequency(RideMode::FrontHop),
        Self::Frequency(RideMode::RearHop),
        Self::Damping(RideMode::Heave),
        Self::Damping(RideMode::Pitch),
        Self::Damping(RideMode::Roll),
        Self::Damping(RideMode::FrontHop),
        Self::Damping(RideMode::RearHop),
        Self::Seat(0),
        Self::Seat(1),
        Self::AxleFrequency(FRONT),
        Self::AxleFrequency(REAR),
        Self::Travel(FRONT),
        Self::Travel(REAR),
        Self::TyreLoad(FRONT),
        Self::TyreLoad(REAR),
        Self::StopTouched(FRONT),
        Self::StopTouched(REAR),
        Self::TwiceStatic(FRONT),
        Self::TwiceStatic(REAR),
    ];

    /// Its place among all.
    pub(super) fn index(self) -> usize {
        Self::ALL.iter().position(|&quantity| quantity == self).unwrap_or_default()
    }
}

/// Unknowns of a movement; as many vans are computed side by side.
const UNKNOWNS: usize = 4;
const LANES: usize = UNKNOWNS;
/// Change of the logarithm of a movement from which the slopes by it are taken.
const STEP: f64 = 1e-3;

/// Logarithms of all quantities for each deviation: for the first as they are, for the others to first order in the movement
/// by which they differ from it. Not finite where a quantity does not exist. `None` where a van does not settle into a
/// movement.
///
/// A deviation p changes the quantities q(u, p) and the movement d(u, p) that follows from an assumed movement u. Both are
/// seen at the movement of the first; u follows from d(u, p) = 0 (implicit function theorem), so
/// q ≈ q(u, p) - ∂q/∂u (∂d/∂u)⁻¹ d(u, p).
pub(super) fn quantities(ride: &Ride, deviations: &[RideDeviation]) -> Option<Vec<Vec<f64>>> {
    let (first, others) = deviations.split_first()?;
    let settled = Settled::at(ride, first)?;
    let mut each = vec![settled.values(ride)];
    if others.is_empty() {
        return Some(each);
    }
    let here = Vector4::from(settled.linearised.further);
    let moved: [Movement; LANES] =
        std::array::from_fn(|k| std::array::from_fn(|i| if i == k { STEP } else { 0.0 }));
    let moved = settled.others(ride, &moved, [&settled.van; LANES])?;
    let by_movement = Matrix4::from_columns(&moved.each_ref().map(|seen| (seen.further - here) / STEP));
    let per_further = -by_movement.try_inverse()?;
    for batch in others.chunks(LANES) {
        let vans: Vec<Varied> = batch.iter().map(|deviation| ride.van.varied(deviation)).collect();
        // lanes that are left over repeat the last van
        let last = vans.len().checked_sub(1)?;
        let vans: [&Varied; LANES] = std::array::from_fn(|lane| &vans[lane.min(last)]);
        for seen in settled.others(ride, &[[0.0; UNKNOWNS]; LANES], vans)?.into_iter().take(batch.len()) {
            let steps = per_further * (seen.further - here) / STEP;
            let mut found = seen.values;
            for (k, value) in found.iter_mut().enumerate() {
                *value += (0..UNKNOWNS).map(|u| (moved[u].values[k] - each[0][k]) * steps[u]).sum::<f64>();
            }
            each.push(found);
        }
    }
    Some(each)
}

/// A van and the laws of its axles.
type Varied = (Car<1>, [AxleLaw; 2]);

/// A van in the movement it makes.
pub(super) struct Settled {
    pub(super) van: Varied,
    pub(super) linearised: LinearisedRide,
    pub(super) modes: Vec<Mode>,
}

/// A van seen in a movement near to its own.
struct Seen {
    /// Logarithms by which it would move further.
    further: Vector4<f64>,
    values: Vec<f64>,
}

impl Settled {
    /// `None` where it settles into no movement.
    pub(super) fn at(ride: &Ride, deviation: &RideDeviation) -> Option<Self> {
        let van = ride.van.varied(deviation);
        let linearised = linearised_ride(&van.0, van.1.each_ref(), &ride.seats, ride.nodes).ok()?;
        let modes = modes(&van.0, &linearised.rates).ok()?;
        Some(Self { van, linearised, modes })
    }

    /// At the expected values.
    pub(super) fn expected(ride: &Ride) -> Option<Self> {
        Self::at(ride, &ride.expected())
    }

    /// Logarithms of all quantities; not finite where one does not exist.
    pub(super) fn values(&self, ride: &Ride) -> Vec<f64> {
        values(ride, &self.van, &self.linearised, &self.modes)
    }

    /// Vans near to this one, seen in its movement times e to the power of `times`.
    fn others(
        &self,
        ride: &Ride,
        times: &[Movement; LANES],
        vans: [&Varied; LANES],
    ) -> Option<[Seen; LANES]> {
        let car = Car::side_by_side(vans.map(|(car, _)| *car));
        let laws = vans.map(|(_, laws)| laws.each_ref());
        let seats = ride.seats.map(|seat: BodyPoint<1>| BodyPoint {
            x_m: Lanes::splat(seat.x_m.0[0]),
            y_m: Lanes::splat(seat.y_m.0[0]),
        });
        let linearised = linearised_at(&self.linearised, times, &car, &laws, &seats, ride.nodes);
        let mut seen = Vec::with_capacity(LANES);
        for (van, linearised) in vans.into_iter().zip(linearised) {
            let linearised = linearised.ok()?;
            // deviations move the modes a little
            let modes = modes_nearby(&self.modes, &van.0, &linearised.rates).ok()?;
            let further = Vector4::from(linearised.further);
            seen.push(Seen { further, values: values(ride, van, &linearised, &modes) });
        }
        seen.try_into().ok()
    }
}

fn values(ride: &Ride, (car, laws): &Varied, linearised: &LinearisedRide, modes: &[Mode]) -> Vec<f64> {
    let speed_m_per_s = ride.nodes.run().speed_m_per_s;
    let value = |quantity: Quantity| match quantity {
        Quantity::Frequency(mode) => found(modes, mode).map_or(f64::NAN, Mode::frequency_hz),
        Quantity::Damping(mode) => found(modes, mode).map_or(f64::NAN, Mode::damping_ratio),
        Quantity::Seat(seat) => linearised.spread.seat_m_per_s2[seat].0[0],
        Quantity::AxleFrequency(axle) => {
            let [front_m, rear_m] = car.wheel_x_m.map(|x| x.0[0]);
            let share = if axle == FRONT { -rear_m } else { front_m } / (front_m - rear_m);
            single_axle_frequency_hz(
                0.5 * share * car.sprung_mass_kg.0[0],
                linearised.axles[axle].spring_n_per_m,
                car.tyre_rate_n_per_m[axle].0[0],
            )
        }
        Quantity::Travel(axle) => both_wheels(&linearised.spread.travel_rms_m(), axle),
        Quantity::TyreLoad(axle) => {
            let load_n = 0.5 * (ride.wheel_load_n[2 * axle] + ride.wheel_load_n[2 * axle + 1]);
            both_wheels(&linearised.spread.tyre_load_rms_n(), axle) / load_n
        }
        Quantity::StopTouched(axle) => match laws[axle].marks.stop_touched_m {
            Some(touched_m) if touched_m > 0.0 => passages(linearised, axle, touched_m, speed_m_per_s),
            _ => f64::NAN,
        },
        Quantity::TwiceStatic(axle) => {
            passages(linearised, axle, laws[axle].marks.twice_static_m, speed_m_per_s)
        }
    };
    Quantity::ALL.iter().map(|&quantity| value(quantity).ln()).collect()
}

fn passages(linearised: &LinearisedRide, axle: usize, mark_m: f64, speed_m_per_s: f64) -> f64 {
    let movement = TravelMovement::at_springs(&linearised.axles[axle]);
    movement.passages_per_km(mark_m, speed_m_per_s).max(f64::MIN_POSITIVE)
}

/// Root mean square of the left and the right wheel of an axle.
fn both_wheels(rms: &[Lanes<1>; 4], axle: usize) -> f64 {
    let [left, right] = [rms[2 * axle].0[0], rms[2 * axle + 1].0[0]];
    (0.5 * (left * left + right * right)).sqrt()
}

fn found(modes: &[Mode], wanted: RideMode) -> Option<&Mode> {
    let kind = match wanted {
        RideMode::Heave => ModeKind::Heave,
        RideMode::Pitch => ModeKind::Pitch,
        RideMode::Roll => ModeKind::Roll,
        RideMode::FrontHop => ModeKind::FrontHop,
        RideMode::RearHop => ModeKind::RearHop,
    };
    modes.iter().find(|mode| mode.kind == kind)
}
