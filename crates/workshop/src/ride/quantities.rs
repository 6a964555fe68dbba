//! What is computed of a ride: logarithms, since all of it is positive and spreads in ratio.

use mechanics::ride::{
    AxleLaw, BodyPoint, Car, Lanes, LinearisedRide, Mode, ModeKind, RideDeviation, TravelMovement,
    linearised_ride, modes, modes_nearby, single_axle_frequency_hz,
};
use mechanics::statics::{FRONT, REAR};

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

/// Vans that are computed side by side.
const LANES: usize = 4;

/// Logarithms of all quantities for each deviation; not finite where a quantity does not exist. `None` where a van does
/// not settle into a movement.
pub(super) fn quantities(ride: &Ride, deviations: &[RideDeviation]) -> Option<Vec<Vec<f64>>> {
    let mut each = Vec::with_capacity(deviations.len());
    let mut start: Option<LinearisedRide> = None;
    let mut known_modes: Option<Vec<Mode>> = None;
    for batch in deviations.chunks(LANES) {
        let vans: Vec<(Car<1>, [AxleLaw; 2])> =
            batch.iter().map(|deviation| ride.van.varied(deviation)).collect();
        // lanes that are left over repeat the last van
        let last = vans.len().checked_sub(1)?;
        let laws: [[&AxleLaw; 2]; LANES] =
            std::array::from_fn(|lane| [&vans[lane.min(last)].1[FRONT], &vans[lane.min(last)].1[REAR]]);
        let car = Car::side_by_side(std::array::from_fn(|lane| vans[lane.min(last)].0));
        let seats = ride.seats.map(|seat: BodyPoint<1>| BodyPoint {
            x_m: Lanes::splat(seat.x_m.0[0]),
            y_m: Lanes::splat(seat.y_m.0[0]),
        });
        let starts = [start.as_ref(); LANES];
        let linearised = linearised_ride(&car, &laws, &seats, ride.nodes, &starts);
        let mut rides = Vec::with_capacity(vans.len());
        for (van, linearised) in vans.iter().zip(linearised) {
            let linearised = linearised.ok()?;
            // deviations move the modes a little
            let modes = match &known_modes {
                Some(known) => modes_nearby(known, &van.0, &linearised.rates),
                None => modes(&van.0, &linearised.rates),
            };
            let modes = modes.ok()?;
            each.push(values(ride, van, &linearised, &modes));
            known_modes.get_or_insert(modes);
            rides.push(linearised);
        }
        start = start.or_else(|| rides.into_iter().next());
    }
    Some(each)
}

/// A ride at the expected values, as it is computed on the way to the quantities.
pub(super) struct Expected {
    pub(super) car: Car<1>,
    pub(super) laws: [AxleLaw; 2],
    pub(super) linearised: LinearisedRide,
    pub(super) modes: Vec<Mode>,
}

impl Expected {
    pub(super) fn of(ride: &Ride) -> Option<Self> {
        let worn = RideDeviation { damping: ride.worn.map(|worn| -worn), ..RideDeviation::default() };
        let (car, laws) = ride.van.varied(&worn);
        let [linearised] =
            linearised_ride(&car, &[[&laws[FRONT], &laws[REAR]]], &ride.seats, ride.nodes, &[None]);
        let linearised = linearised.ok()?;
        let modes = modes(&car, &linearised.rates).ok()?;
        Some(Self { car, laws, linearised, modes })
    }
}

fn values(
    ride: &Ride,
    (car, laws): &(Car<1>, [AxleLaw; 2]),
    linearised: &LinearisedRide,
    modes: &[Mode],
) -> Vec<f64> {
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
