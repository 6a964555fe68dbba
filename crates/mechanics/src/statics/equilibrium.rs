//! Rest position: Newton's method on the stationarity of energy in seven unknowns.

use nalgebra::{SMatrix, SVector};

use super::body_pose::dot;
use super::{BodyPose, CORNERS, Corner, FittedBar, FourCorners, axle_of};
use crate::GRAVITY_M_PER_S2;
use crate::curve::Local;

/// Unknowns: heave, pitch, roll, travel of the four wheels.
pub(super) type State = SVector<f64, 7>;
pub(super) type Hessian = SMatrix<f64, 7, 7>;

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
        let (mut gradient, mut hessian) = self.gradient_and_hessian(&state);
        for steps in 0..MOST_STEPS {
            if !gradient.iter().all(|g| g.is_finite()) {
                return Err(NoRest::NotFinite);
            }
            if gradient.amax() < FORCE_TOLERANCE_N {
                return self.finished(&state, steps);
            }
            let step = newton_step(&gradient, &hessian);
            (state, gradient, hessian) = self.search_along(&state, &gradient, &step);
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
    fn search_along(&self, state: &State, gradient: &State, step: &State) -> (State, State, Hessian) {
        let step = step * (LONGEST_STEP / step.amax()).min(1.0);
        let flat = 0.1 * gradient.dot(&step).abs();
        let at = |share: f64| {
            let trial = state + step * share;
            let (trial_gradient, trial_hessian) = self.gradient_and_hessian(&trial);
            (trial, trial_gradient, trial_hessian)
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

    /// Gradient and Hessian of the energy with respect to the seven unknowns.
    pub(super) fn gradient_and_hessian(&self, state: &State) -> (State, Hessian) {
        let (body, travel_m) = from_state(state);
        let row = body.height_row();
        let (mut gradient, mut hessian) = (State::zeros(), Hessian::zeros());

        // gravity on the sprung mass: m g × height of its centre of gravity
        let weight_n = self.sprung.mass_kg * GRAVITY_M_PER_S2;
        let cg = self.sprung.centre_of_gravity_m;
        gradient[0] += weight_n;
        gradient[1] += weight_n * dot(row.r_pitch, cg);
        gradient[2] += weight_n * dot(row.r_roll, cg);
        hessian[(1, 1)] += weight_n * dot(row.r_pitch_pitch, cg);
        hessian[(1, 2)] += weight_n * dot(row.r_pitch_roll, cg);
        hessian[(2, 2)] += weight_n * dot(row.r_roll_roll, cg);

        for (i, corner) in self.corners.iter().enumerate() {
            let t = 3 + i;
            let [p, dp, ddp] = corner.wheel_centre(travel_m[i]);
            let height_m = body.heave_m + dot(row.r, p);
            let tyre = corner.tyre.at_deflection(corner.tyre.unloaded_radius_m - height_m);
            let net_n = corner.unsprung_mass_kg * GRAVITY_M_PER_S2 - tyre.force_n;
            let slope = [1.0, dot(row.r_pitch, p), dot(row.r_roll, p), dot(row.r, dp)];
            let at = [0, 1, 2, t];
            for a in 0..4 {
                gradient[at[a]] += net_n * slope[a];
                for b in a..4 {
                    hessian[(at[a], at[b])] += tyre.rate_n_per_m * slope[a] * slope[b];
                }
            }
            hessian[(1, 1)] += net_n * dot(row.r_pitch_pitch, p);
            hessian[(1, 2)] += net_n * dot(row.r_pitch_roll, p);
            hessian[(2, 2)] += net_n * dot(row.r_roll_roll, p);
            hessian[(1, t)] += net_n * dot(row.r_pitch, dp);
            hessian[(2, t)] += net_n * dot(row.r_roll, dp);
            hessian[(t, t)] += net_n * dot(row.r, ddp);

            let forces = corner.forces_at(travel_m[i]);
            gradient[t] += forces.total_n;
            hessian[(t, t)] += forces.rate_n_per_m;
        }
        for (axle, bar) in self.bars.iter().enumerate() {
            if let Some(fitted) = bar {
                self.add_bar(axle, fitted, &travel_m, &mut gradient, &mut hessian);
            }
        }
        hessian.fill_lower_triangle_with_upper_triangle();
        (gradient, hessian)
    }

    fn add_bar(
        &self,
        axle: usize,
        fitted: &FittedBar,
        travel_m: &[f64; CORNERS],
        gradient: &mut State,
        hessian: &mut Hessian,
    ) {
        let (l, r) = (2 * axle, 2 * axle + 1);
        let (rate_nm_per_rad, left, right) = self.bar_twist(fitted, l, travel_m);
        let torque_nm = rate_nm_per_rad * (left.value - right.value);
        gradient[3 + l] += torque_nm * left.slope;
        gradient[3 + r] -= torque_nm * right.slope;
        hessian[(3 + l, 3 + l)] += rate_nm_per_rad * left.slope.powi(2) + torque_nm * left.curvature;
        hessian[(3 + r, 3 + r)] += rate_nm_per_rad * right.slope.powi(2) - torque_nm * right.curvature;
        hessian[(3 + l, 3 + r)] -= rate_nm_per_rad * left.slope * right.slope;
    }

    /// Rate of a bar and the angles of its left and right arm; `left_corner` is 0 or 2.
    pub(super) fn bar_twist(
        &self,
        fitted: &FittedBar,
        left_corner: usize,
        travel_m: &[f64; CORNERS],
    ) -> (f64, Local, Local) {
        let arm = |corner: usize| match fitted {
            FittedBar::ThroughLinks(_) => bar_angle(&self.corners[corner], travel_m[corner]),
            FittedBar::AtTheAxle { track_m, .. } => {
                Local { value: travel_m[corner] / track_m, slope: 1.0 / track_m, curvature: 0.0 }
            }
        };
        let (FittedBar::ThroughLinks(bar) | FittedBar::AtTheAxle { bar, .. }) = fitted;
        (bar.rate_nm_per_rad, arm(left_corner), arm(left_corner + 1))
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
        for (i, corner) in self.corners.iter().enumerate() {
            let height_m = body.height_of_m(corner.wheel_centre(travel_m[i])[0]);
            rest.wheel_centre_height_m[i] = height_m;
            rest.wheel_load_n[i] =
                corner.tyre.at_deflection(corner.tyre.unloaded_radius_m - height_m).force_n;
            rest.arch_height_m[i] = body.height_of_m(corner.lip()) - height_m;
        }
        rest
    }

    /// Vertical force of the suspension on the body at a corner at rest, bar included, N.
    pub fn suspension_force_n(&self, rest: &Rest, corner: usize) -> f64 {
        let mut force_n = self.corners[corner].forces_at(rest.travel_m[corner]).total_n;
        let axle = axle_of(corner);
        if let Some(fitted) = &self.bars[axle] {
            let (rate_nm_per_rad, left, right) = self.bar_twist(fitted, 2 * axle, &rest.travel_m);
            let torque_nm = rate_nm_per_rad * (left.value - right.value);
            force_n += if corner == 2 * axle { torque_nm * left.slope } else { -torque_nm * right.slope };
        }
        force_n
    }
}

fn bar_angle(corner: &Corner, travel_m: f64) -> Local {
    corner.table.bar_angle_rad.as_ref().map_or_else(Local::default, |angle| angle.at(travel_m))
}

/// Newton's step; where the energy is not convex (all springs loose) the diagonal is raised until it is.
fn newton_step(gradient: &State, hessian: &Hessian) -> State {
    let largest = hessian.diagonal().amax().max(1.0);
    let mut lift = 0.0;
    for _ in 0..12 {
        let lifted = hessian + Hessian::identity() * lift;
        if let Some(factor) = lifted.cholesky() {
            return -factor.solve(gradient);
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
    pub(super) fn state(&self) -> State {
        to_state(self.body, self.travel_m)
    }
}
