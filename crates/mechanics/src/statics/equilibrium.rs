//! The energy of several vans side by side: its first and second derivatives in seven unknowns, and what a van does where
//! they are balanced.

use super::body_pose::{HeightRow, dot, dot_across};
use super::coordinate::EnergySlopes;
use super::side_by_side::{Bars, Corners};
use super::stiffness::{State, Stiffness, add_to_axle};
use super::{BodyPose, CORNERS, FRONT, FourCorners, REAR, Sample, axle_of};
use crate::GRAVITY_M_PER_S2;
use crate::lanes::Lanes;
use crate::linkage::AxleTravel;

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

/// `N` vans, whose energies are summed side by side.
#[repr(align(64))]
pub(super) struct Vans<'a, const N: usize> {
    corners: [Corners<'a, N>; CORNERS],
    bars: [Option<Bars<'a, N>>; 2],
    sprung_weight_n: Lanes<N>,
    centre_of_gravity_m: [Lanes<N>; 3],
    /// Arch lips in body axes.
    lips_m: [[Lanes<N>; 3]; CORNERS],
}

impl<'a, const N: usize> Vans<'a, N> {
    #[inline(always)]
    pub(super) fn of(vans: [&'a FourCorners; N]) -> Self {
        let corners = |i: usize| {
            let mut corners = [&vans[0].corners[i]; N];
            for lane in 0..N {
                corners[lane] = &vans[lane].corners[i];
            }
            corners
        };
        let centre = |axis: usize| Lanes::of(vans, |van| van.sprung.centre_of_gravity_m[axis]);
        let lip = |i: usize| {
            let along = |axis: usize| Lanes::of(vans, |van| van.corners[i].lip()[axis]);
            [along(0), along(1), along(2)]
        };
        Self {
            corners: [
                Corners::of(corners(0)),
                Corners::of(corners(1)),
                Corners::of(corners(2)),
                Corners::of(corners(3)),
            ],
            bars: [Bars::of(vans, FRONT), Bars::of(vans, REAR)],
            sprung_weight_n: Lanes::of(vans, |van| van.sprung.mass_kg * GRAVITY_M_PER_S2),
            centre_of_gravity_m: [centre(0), centre(1), centre(2)],
            lips_m: [lip(0), lip(1), lip(2), lip(3)],
        }
    }

    /// Whether each corner of each van stands on one coil spring of stated rates.
    pub(super) fn are_on_coils(&self) -> bool {
        self.corners.iter().all(Corners::are_on_coils)
    }

    /// Puts samples in the place of vans on coils.
    #[inline(always)]
    pub(super) fn put(&mut self, samples: [&Sample; N]) {
        for (i, corner) in self.corners.iter_mut().enumerate() {
            corner.put(samples, i);
        }
        self.sprung_weight_n = Lanes::of(samples, |sample| sample.sprung.mass_kg * GRAVITY_M_PER_S2);
        for axis in 0..3 {
            self.centre_of_gravity_m[axis] =
                Lanes::of(samples, |sample| sample.sprung.centre_of_gravity_m[axis]);
        }
    }

    /// First and second derivatives of the energy by the seven unknowns.
    #[inline(always)]
    pub(super) fn derivatives_at(&self, state: &State<N>) -> Derivatives<N> {
        let row = HeightRow::at(state[1], state[2]);
        let mut sum = Derivatives { gradient: [Lanes::splat(0.0); 7], stiffness: Stiffness::NOUGHT };
        // gravity on the sprung mass: m g × height of its centre of gravity
        let mut upright = UprightForces::of(self.sprung_weight_n, self.centre_of_gravity_m);
        for (i, corner) in self.corners.iter().enumerate() {
            if corner.joined {
                sum.add_corner::<true>(i, corner, state, &row, &mut upright);
            } else {
                sum.add_corner::<false>(i, corner, state, &row, &mut upright);
            }
        }
        sum.add_upright(&row, &upright);
        for (axle, bars) in self.bars.iter().enumerate() {
            if let Some(bars) = bars {
                let (left, right) = (3 + 2 * axle, 4 + 2 * axle);
                let slopes = bars.energy_slopes([state[left], state[right]]);
                sum.gradient[left] += slopes.first[0];
                sum.gradient[right] += slopes.first[1];
                add_to_axle::<true, N>(&mut sum.stiffness, 2 * axle, slopes.second);
            }
        }
        sum
    }

    /// What the vans do at a place of rest.
    #[inline(always)]
    pub(super) fn figures_at(&self, state: &State<N>) -> Figures<N> {
        let row = HeightRow::at(state[1], state[2]);
        let none = [Lanes::splat(0.0); CORNERS];
        let mut figures = Figures { wheel_centre_height_m: none, wheel_load_n: none, arch_height_m: none };
        for (i, corner) in self.corners.iter().enumerate() {
            let centre = corner.wheel_centres::<true>([state[3 + i], state[3 + other_of(i)]]);
            let height_m = state[0] + dot(row.r, [centre.x.value, centre.y.value, centre.z]);
            figures.wheel_centre_height_m[i] = height_m;
            figures.wheel_load_n[i] = corner.tyre.at_deflection(corner.tyre_radius_m - height_m).force_n;
            figures.arch_height_m[i] = state[0] + dot(row.r, self.lips_m[i]) - height_m;
        }
        figures
    }
}

/// What vans do at rest: heights, m, and loads, N, as [`Rest`] has them.
pub(super) struct Figures<const N: usize> {
    pub(super) wheel_centre_height_m: [Lanes<N>; CORNERS],
    pub(super) wheel_load_n: [Lanes<N>; CORNERS],
    pub(super) arch_height_m: [Lanes<N>; CORNERS],
}

impl<const N: usize> Figures<N> {
    /// Finite where all are.
    #[inline(always)]
    pub(super) fn sum(&self) -> Lanes<N> {
        let mut sum = Lanes::splat(0.0);
        for i in 0..CORNERS {
            sum += self.wheel_load_n[i] + self.arch_height_m[i];
        }
        sum
    }
}

/// Vertical forces at points of the body: their sum and that of their products with the points, in body axes.
struct UprightForces<const N: usize> {
    sum_n: Lanes<N>,
    moment_nm: [Lanes<N>; 3],
}

impl<const N: usize> UprightForces<N> {
    #[inline(always)]
    fn of(force_n: Lanes<N>, [x, y, z]: [Lanes<N>; 3]) -> Self {
        Self { sum_n: force_n, moment_nm: [force_n * x, force_n * y, force_n * z] }
    }

    #[inline(always)]
    fn add(&mut self, force_n: Lanes<N>, at_m: [Lanes<N>; 3]) {
        self.sum_n += force_n;
        for k in 0..3 {
            self.moment_nm[k] += force_n * at_m[k];
        }
    }
}

/// First and second derivatives of an energy. At the start of a line of the cache, and with it the frame of the kernel: a
/// register put aside across two lines costs twice.
#[repr(align(64))]
pub(super) struct Derivatives<const N: usize> {
    pub(super) gradient: State<N>,
    pub(super) stiffness: Stiffness<N>,
}

impl<const N: usize> Derivatives<N> {
    /// Adds vertical forces; they turn with the body, which is what tips a van on a high centre of gravity.
    #[inline(always)]
    fn add_upright(&mut self, row: &HeightRow<Lanes<N>>, upright: &UprightForces<N>) {
        let moment_nm = upright.moment_nm;
        self.gradient[0] += upright.sum_n;
        self.gradient[1] += dot(row.r_pitch, moment_nm);
        self.gradient[2] += dot_across(row.r_roll, moment_nm);
        let body = &mut self.stiffness.body;
        body[1][1] += dot(row.r_pitch_pitch, moment_nm);
        body[1][2] += dot_across(row.r_pitch_roll, moment_nm);
        body[2][2] += dot_across(row.r_roll_roll, moment_nm);
    }

    /// Adds wheel, tyre and parts of a corner.
    #[inline(always)]
    fn add_corner<const JOINED: bool>(
        &mut self,
        i: usize,
        corner: &Corners<N>,
        state: &State<N>,
        row: &HeightRow<Lanes<N>>,
        upright: &mut UprightForces<N>,
    ) {
        let travel = [state[3 + i], state[3 + other_of(i)]];
        let centre = corner.wheel_centres::<JOINED>(travel);
        let at_m = [centre.x.value, centre.y.value, centre.z];
        let height_m = state[0] + dot(row.r, at_m);
        let tyre = corner.tyre.at_deflection(corner.tyre_radius_m - height_m);
        let (net_n, rate) = (corner.unsprung_weight_n - tyre.force_n, tyre.rate_n_per_m);
        upright.add(net_n, at_m);
        // rise of the wheel by pitch and by roll
        let [by_pitch, by_roll] = [dot(row.r_pitch, at_m), dot_across(row.r_roll, at_m)];
        let [pitched, rolled] = [rate * by_pitch, rate * by_roll];
        let body = &mut self.stiffness.body;
        body[0][0] += rate;
        body[0][1] += pitched;
        body[0][2] += rolled;
        body[1][1] += pitched * by_pitch;
        body[1][2] += pitched * by_roll;
        body[2][2] += rolled * by_roll;

        // rise of the wheel by its own travel and by that of the other wheel
        let mut slopes = corner.energy_slopes::<JOINED>(travel);
        let stays = !JOINED && corner.centres_stay();
        let rise = |k: usize, up: f64| {
            let [x, y] = [centre.x.first[k], centre.y.first[k]];
            let along = |row: [Lanes<N>; 3]| row[0] * x + row[1] * y + row[2] * up;
            [along(row.r), along(row.r_pitch), row.r_roll[1] * y + row.r_roll[2] * up]
        };
        let [own, pitching, rolling] =
            if stays { [row.r[2], row.r_pitch[2], row.r_roll[2]] } else { rise(0, 1.0) };
        let couple = |coupling: &mut [Lanes<N>; 3], [own, pitching, rolling]: [Lanes<N>; 3]| {
            let own_rate = rate * own;
            coupling[0] += own_rate;
            coupling[1] += own_rate * by_pitch + net_n * pitching;
            coupling[2] += own_rate * by_roll + net_n * rolling;
        };
        couple(&mut self.stiffness.coupling[i], [own, pitching, rolling]);
        slopes.first[0] += net_n * own;
        slopes.second[0] += rate * own * own;
        let bend = |k: usize| net_n * (row.r[0] * centre.x.second[k] + row.r[1] * centre.y.second[k]);
        if !stays {
            slopes.second[0] += bend(0);
        }
        self.gradient[3 + i] += slopes.first[0];
        if JOINED {
            let other = rise(1, 0.0);
            couple(&mut self.stiffness.coupling[other_of(i)], other);
            self.gradient[3 + other_of(i)] += slopes.first[1] + net_n * other[0];
            slopes.second[1] += rate * own * other[0] + bend(1);
            slopes.second[2] += rate * other[0] * other[0] + bend(2);
        }
        add_to_axle::<JOINED, N>(&mut self.stiffness, i, slopes.second);
    }
}

impl FourCorners {
    /// Energy slopes of the bar of an axle by the travel of its left and right wheel; zero where there is none.
    pub(crate) fn bar_slopes(&self, axle: usize, travel_m: &[f64; CORNERS]) -> EnergySlopes<1> {
        let travel = [travel_m[2 * axle], travel_m[2 * axle + 1]].map(|travel_m| Lanes([travel_m]));
        Bars::of([self], axle).map_or(EnergySlopes::NOUGHT, |bars| bars.energy_slopes(travel))
    }

    /// Vertical force of the suspension on the body at a corner at rest, bar and axle beam included, N.
    pub fn suspension_force_n(&self, rest: &Rest, corner: usize) -> f64 {
        let other = other_of(corner);
        let own = self.corners[corner].energy_slopes(rest.axle_travel(corner)).first_n()[0];
        let through_beam = self.corners[other].energy_slopes(rest.axle_travel(other)).first_n()[1];
        let bar = self.bar_slopes(axle_of(corner), &rest.travel_m).first_n()[corner % 2];
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

impl Rest {
    /// Travel of a corner's wheel and of the other wheel of its axle.
    pub fn axle_travel(&self, corner: usize) -> AxleTravel {
        axle_travel(&self.travel_m, corner)
    }

    pub(super) fn state(&self) -> State<1> {
        state_of([&(self.body, self.travel_m)])
    }
}

/// The unknowns of several vans.
#[inline(always)]
pub(super) fn state_of<const N: usize>(places: [&(BodyPose, [f64; CORNERS]); N]) -> State<N> {
    let wheel = |i: usize| Lanes::of(places, |(_, travel_m)| travel_m[i]);
    [
        Lanes::of(places, |(body, _)| body.heave_m),
        Lanes::of(places, |(body, _)| body.pitch_rad),
        Lanes::of(places, |(body, _)| body.roll_rad),
        wheel(0),
        wheel(1),
        wheel(2),
        wheel(3),
    ]
}
