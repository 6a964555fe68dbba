//! Rest position: Newton's method on the stationarity of energy in seven unknowns.

use nalgebra::SVector;

use super::body_pose::{HeightRow, dot};
use super::corner::EnergySlopes;
use super::stiffness::{Eliminated, Stiffness, add_to_axle};
use super::{BodyPose, CORNERS, FRONT, FittedBar, FourCorners, REAR, axle_of};
use crate::GRAVITY_M_PER_S2;
use crate::curve::Local2;
use crate::linkage::{AxleTravel, Point};

/// Unknowns: heave, pitch, roll, travel of the four wheels.
pub(super) type State = SVector<f64, 7>;

/// A van at rest on level ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// Pose of the body.
    pub body: BodyPose,
    /// Bump travel of each wheel from design height, m.
    pub travel_m: [f64; CORNERS],
    /// Height of each wheel centre above the ground, m.
    pub wheel_centre_height_m: [f64; CORNERS],
    /// Load of each tyre on the ground, N.
    pub wheel_load_n: [f64; CORNERS],
    /// Wheel centre to arch lip, vertical, m.
    pub arch_height_m: [f64; CORNERS],
    /// Newton steps taken.
    pub steps: usize,
}

/// Why no rest position was found.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoRest {
    /// The search ended with forces still out of balance: no spring carries the van within its travel.
    #[error(
        "the van finds no rest: {force_n:.0} N remain out of balance after {steps} steps, at corner travels {travel_m:.3?} m"
    )]
    NotBalanced {
        /// Largest force (or moment over one metre) left, N.
        force_n: f64,
        /// Steps taken.
        steps: usize,
        /// Wheel travels reached, m.
        travel_m: [f64; CORNERS],
    },
    /// A number that is not finite came in or arose.
    #[error("the van cannot be computed: a quantity is not a finite number")]
    NotFinite,
}

/// Forces are balanced to this, N (and N m over one metre). A gram at a corner is 0.01 N.
const FORCE_TOLERANCE_N: f64 = 1e-7;
const MOST_STEPS: usize = 200;
/// Longest single step of a travel, m, and of an angle, rad; keeps the search inside the tables.
const LONGEST_STEP: f64 = 0.05;

impl FourCorners {
    /// Rest on level ground, searched from design height.
    ///
    /// # Errors
    /// [`NoRest`] when the search does not end in balance.
    pub fn rest(&self) -> Result<Rest, NoRest> {
        self.rest_from(BodyPose::default(), [0.0; CORNERS])
    }

    /// Rest on level ground, searched from a given pose and wheel travels.
    ///
    /// # Errors
    /// [`NoRest`] when the search does not end in balance.
    pub fn rest_from(&self, body: BodyPose, travel_m: [f64; CORNERS]) -> Result<Rest, NoRest> {
        let mut state = to_state(body, travel_m);
        let (mut gradient, mut stiffness) = self.gradient_and_stiffness(&state);
        for steps in 0..MOST_STEPS {
            if !gradient.iter().all(|g| g.is_finite()) {
                return Err(NoRest::NotFinite);
            }
            if gradient.amax() < FORCE_TOLERANCE_N {
                return self.finished(&state, steps);
            }
            let step = newton_step(&gradient, &stiffness);
            (state, gradient, stiffness) = self.search_along(&state, &gradient, &step);
        }
        // a balance limited by rounding (stiff stops) is still a balance
        if gradient.amax() < 1e3 * FORCE_TOLERANCE_N {
            return self.finished(&state, MOST_STEPS);
        }
        let (_, travel_m) = from_state(&state);
        Err(NoRest::NotBalanced { force_n: gradient.amax(), steps: MOST_STEPS, travel_m })
    }

    /// Goes along a step until the energy stops falling. Where it clearly rises at the end of the step (a stop has
    /// closed), the place where it turns is found by bisection, so the search cannot jump to and fro across a kink.
    fn search_along(&self, state: &State, gradient: &State, step: &State) -> (State, State, Stiffness) {
        let step = step * (LONGEST_STEP / step.amax()).min(1.0);
        let flat = 0.1 * gradient.dot(&step).abs();
        let at = |share: f64| {
            let trial = state + step * share;
            let (trial_gradient, trial_stiffness) = self.gradient_and_stiffness(&trial);
            (trial, trial_gradient, trial_stiffness)
        };
        let mut found = at(1.0);
        if found.1.dot(&step) <= flat {
            return found;
        }
        let (mut falling, mut rising) = (0.0, 1.0);
        for _ in 0..30 {
            let share = 0.5 * (falling + rising);
            found = at(share);
            let slope = found.1.dot(&step);
            if slope > flat {
                rising = share;
            } else if slope < -flat {
                falling = share;
            } else {
                break;
            }
        }
        found
    }

    /// First and second derivatives of the energy by the seven unknowns.
    pub(super) fn gradient_and_stiffness(&self, state: &State) -> (State, Stiffness) {
        let (body, travel_m) = from_state(state);
        let row = body.height_row();
        let (mut gradient, mut stiffness) = (State::zeros(), Stiffness::default());

        // gravity on the sprung mass: m g × height of its centre of gravity
        let weight_n = self.sprung.mass_kg * GRAVITY_M_PER_S2;
        let cg = self.sprung.centre_of_gravity_m;
        gradient[0] += weight_n;
        gradient[1] += weight_n * dot(row.r_pitch, cg);
        gradient[2] += weight_n * dot(row.r_roll, cg);
        add_turned(&mut stiffness, &row, weight_n, cg);

        for (i, corner) in self.corners.iter().enumerate() {
            let travel = axle_travel(&travel_m, i);
            let centre = corner.wheel_centre(travel);
            let p = centre.at_m;
            let height_m = body.heave_m + dot(row.r, p);
            let tyre = corner.tyre.at_deflection(corner.tyre.unloaded_radius_m - height_m);
            let net_n = corner.unsprung_mass_kg * GRAVITY_M_PER_S2 - tyre.force_n;
            let by_body = [1.0, dot(row.r_pitch, p), dot(row.r_roll, p)];
            for a in 0..3 {
                gradient[a] += net_n * by_body[a];
                for b in a..3 {
                    stiffness.body[a][b] += tyre.rate_n_per_m * by_body[a] * by_body[b];
                }
            }
            add_turned(&mut stiffness, &row, net_n, p);
            let by_travel = centre.first.map(|dp| dot(row.r, dp));
            for (wheel, (slope, dp)) in
                [i, other_of(i)].into_iter().zip(by_travel.into_iter().zip(centre.first))
            {
                let coupling = &mut stiffness.coupling[wheel];
                let tyre_rate = tyre.rate_n_per_m * slope;
                coupling[0] += tyre_rate;
                coupling[1] += tyre_rate * by_body[1] + net_n * dot(row.r_pitch, dp);
                coupling[2] += tyre_rate * by_body[2] + net_n * dot(row.r_roll, dp);
            }
            let [own, other] = by_travel;
            let products = [own * own, own * other, other * other];
            let mut slopes = corner.energy_slopes(travel);
            for k in 0..2 {
                slopes.first[k] += net_n * by_travel[k];
            }
            for k in 0..3 {
                slopes.second[k] += tyre.rate_n_per_m * products[k] + net_n * dot(row.r, centre.second[k]);
            }
            add_pair(i, &slopes, &mut gradient, &mut stiffness);
        }
        for axle in [FRONT, REAR] {
            add_pair(2 * axle, &self.bar_slopes(axle, &travel_m), &mut gradient, &mut stiffness);
        }
        (gradient, stiffness)
    }

    /// Energy slopes of the bar of an axle by the travel of its left and right wheel; zero where there is none.
    pub(crate) fn bar_slopes(&self, axle: usize, travel_m: &[f64; CORNERS]) -> EnergySlopes {
        let mut slopes = EnergySlopes::default();
        if let Some((rate_nm_per_rad, twist)) = self.bar_twist(axle, travel_m) {
            slopes.add(rate_nm_per_rad * twist.value, rate_nm_per_rad, &twist);
        }
        slopes
    }

    /// Rate of the bar of an axle and its twist over the travel of the left and the right wheel.
    fn bar_twist(&self, axle: usize, travel_m: &[f64; CORNERS]) -> Option<(f64, Local2)> {
        let (left, right) = (2 * axle, 2 * axle + 1);
        match self.bars[axle]? {
            FittedBar::AtTheAxle { bar, track_m } => {
                let value = (travel_m[left] - travel_m[right]) / track_m;
                let first = [1.0 / track_m, -1.0 / track_m];
                Some((bar.rate_nm_per_rad, Local2 { value, first, second: [0.0; 3] }))
            }
            FittedBar::ThroughLinks(bar) => {
                let arm = |corner: usize| {
                    let angle = self.corners[corner].table.bar_angle_rad.as_ref()?;
                    Some(angle.at_both(axle_travel(travel_m, corner)))
                };
                let (l, r) = (arm(left)?, arm(right)?);
                // the right corner counts its own wheel first
                let twist = Local2 {
                    value: l.value - r.value,
                    first: [l.first[0] - r.first[1], l.first[1] - r.first[0]],
                    second: [l.second[0] - r.second[2], l.second[1] - r.second[1], l.second[2] - r.second[0]],
                };
                Some((bar.rate_nm_per_rad, twist))
            }
        }
    }

    fn finished(&self, state: &State, steps: usize) -> Result<Rest, NoRest> {
        let rest = self.rest_at(state, steps);
        let finite = rest.arch_height_m.iter().chain(&rest.wheel_load_n).all(|value| value.is_finite());
        if finite { Ok(rest) } else { Err(NoRest::NotFinite) }
    }

    fn rest_at(&self, state: &State, steps: usize) -> Rest {
        let (body, travel_m) = from_state(state);
        let mut rest = Rest {
            body,
            travel_m,
            wheel_centre_height_m: [0.0; CORNERS],
            wheel_load_n: [0.0; CORNERS],
            arch_height_m: [0.0; CORNERS],
            steps,
        };
        let centres_m: [Point; CORNERS] =
            std::array::from_fn(|i| self.corners[i].wheel_centre(axle_travel(&travel_m, i)).at_m);
        let lips_m: [Point; CORNERS] = std::array::from_fn(|i| self.corners[i].lip());
        let (heights_m, lips_m) = (body.heights_of_m(centres_m), body.heights_of_m(lips_m));
        for (i, corner) in self.corners.iter().enumerate() {
            let (height_m, lip_m) = (heights_m[i], lips_m[i]);
            rest.wheel_centre_height_m[i] = height_m;
            rest.wheel_load_n[i] =
                corner.tyre.at_deflection(corner.tyre.unloaded_radius_m - height_m).force_n;
            rest.arch_height_m[i] = lip_m - height_m;
        }
        rest
    }

    /// Vertical force of the suspension on the body at a corner at rest, bar and axle beam included, N.
    pub fn suspension_force_n(&self, rest: &Rest, corner: usize) -> f64 {
        let other = other_of(corner);
        let own = self.corners[corner].energy_slopes(rest.axle_travel(corner)).first[0];
        let through_beam = self.corners[other].energy_slopes(rest.axle_travel(other)).first[1];
        let bar = self.bar_slopes(axle_of(corner), &rest.travel_m).first[corner % 2];
        own + through_beam + bar
    }
}

/// The other corner of the same axle.
pub(super) fn other_of(corner: usize) -> usize {
    corner ^ 1
}

pub(super) fn axle_travel(travel_m: &[f64; CORNERS], corner: usize) -> AxleTravel {
    AxleTravel { own_m: travel_m[corner], other_m: travel_m[other_of(corner)] }
}

/// Adds energy slopes by the travel of a wheel and of the other one of its axle.
fn add_pair(corner: usize, slopes: &EnergySlopes, gradient: &mut State, stiffness: &mut Stiffness) {
    gradient[3 + corner] += slopes.first[0];
    gradient[3 + other_of(corner)] += slopes.first[1];
    add_to_axle(stiffness, corner, slopes.second);
}

/// Adds what a vertical force at a point of the body contributes as the body turns.
fn add_turned(stiffness: &mut Stiffness, row: &HeightRow, force_n: f64, point_m: Point) {
    stiffness.body[1][1] += force_n * dot(row.r_pitch_pitch, point_m);
    stiffness.body[1][2] += force_n * dot(row.r_pitch_roll, point_m);
    stiffness.body[2][2] += force_n * dot(row.r_roll_roll, point_m);
}

/// Newton's step; where the energy is not convex (all springs loose) the diagonal is raised until it is.
fn newton_step(gradient: &State, stiffness: &Stiffness) -> State {
    let largest = stiffness.largest().max(1.0);
    let mut lift = 0.0;
    for _ in 0..12 {
        if let Some(eliminated) = stiffness.raised(lift).eliminated().filter(Eliminated::is_positive) {
            return -eliminated.solved(gradient);
        }
        lift = if lift == 0.0 { 1e-6 * largest } else { 10.0 * lift };
    }
    -gradient / largest
}

fn to_state(body: BodyPose, travel_m: [f64; CORNERS]) -> State {
    State::from([
        body.heave_m,
        body.pitch_rad,
        body.roll_rad,
        travel_m[0],
        travel_m[1],
        travel_m[2],
        travel_m[3],
    ])
}

pub(super) fn from_state(state: &State) -> (BodyPose, [f64; CORNERS]) {
    let body = BodyPose { heave_m: state[0], pitch_rad: state[1], roll_rad: state[2] };
    (body, [state[3], state[4], state[5], state[6]])
}

impl Rest {
    /// Travel of a corner's wheel and of the other wheel of its axle.
    pub fn axle_travel(&self, corner: usize) -> AxleTravel {
        axle_travel(&self.travel_m, corner)
    }

    pub(super) fn state(&self) -> State {
        to_state(self.body, self.travel_m)
    }
}
