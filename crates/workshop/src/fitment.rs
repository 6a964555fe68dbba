//! A fitment: parts on a van, solved in one load state.

use std::sync::Arc;

use mechanics::statics::{
    BodyPose, FRONT, FourCorners, Parameter, REAR, Response, Rest, Sensitivities, TravelLimits, axle_of,
};
use nalgebra::{DMatrix, DVector};

use crate::assembly::{AxleParts, CannotStand, PreparedVan};
use crate::belief::{AxleOrigin, Belief, Collars, Origin, Unknown, part_unknowns};
use crate::figure::Figure;
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::loads::Carried;
use crate::tolerances::Tolerances;
use crate::units::{m_from_mm, mm_from_m};
use crate::wording::{Adjuster, Doing};

/// How an auxiliary air spring was filled before its line was shut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirFill {
    /// Gauge pressure, Pa.
    pub gauge_pressure_pa: f64,
    /// Height at which it had that pressure, m.
    pub height_m: f64,
}

/// Parts on a van and where they come from.
#[derive(Debug, Clone)]
pub struct Fitment {
    /// Parts of each axle.
    pub parts: [AxleParts; 2],
    /// Their origins.
    pub origins: [AxleOrigin; 2],
    /// Axles that have collars, or adjusting bolts.
    pub collars: [bool; 2],
    /// What is turned where an axle has them.
    pub adjusters: [Adjuster; 2],
    /// How far each collar is screwed up from where it was delivered, m, in corner order.
    pub collar_turned_m: [f64; 4],
    /// Half the width of the range in which the fitted collars of each axle may be, both alike, m; 0 where they were
    /// measured or set.
    pub collars_within_m: [f64; 2],
    /// How much deeper than usual the struts of each axle sit in their tubes, m.
    pub insertion_m: [f64; 2],
    /// Pressure to which the air spring of each corner is filled, and its height when it was.
    pub air_filled: [Option<AirFill>; 4],
    /// Axles of which a kit had the bolts through the rubber bushes opened: new springs, collars or torsion bars turned,
    /// work on leaves.
    pub bushes_opened: [bool; 2],
    /// Wheel travel at which the rubber bushes of each corner are clamped, m.
    pub bushes_clamped_at_m: [f64; 4],
}

impl Fitment {
    /// New original parts.
    pub fn as_new(van: &PreparedVan) -> Self {
        Self {
            parts: van.original_parts(),
            origins: [AxleOrigin::all(Origin::AsNew); 2],
            collars: [false; 2],
            adjusters: [FRONT, REAR].map(|axle| van.adjuster(axle)),
            collar_turned_m: [0.0; 4],
            collars_within_m: [0.0; 2],
            insertion_m: [0.0; 2],
            air_filled: [None; 4],
            bushes_opened: [false; 2],
            bushes_clamped_at_m: [0.0; 4],
        }
    }

    /// What is on the van today: original parts, or a kit that was fitted before, its collars where they were measured,
    /// mm from the datum. Collars that nobody measured may be anywhere in their range, left and right alike.
    ///
    /// # Errors
    /// When the fitted kit's parts contradict the van's.
    pub fn fitted(
        van: &PreparedVan,
        kit: Option<&Kit>,
        collars_mm: [Option<f64>; 4],
        tolerances: &Tolerances,
    ) -> Result<Self, CannotStand> {
        let originals = van.original_parts();
        let (parts, collars) = match kit {
            None => (originals, [false; 2]),
            Some(kit) => (van.with_kit(&originals, kit, tolerances)?, collars_of(kit)),
        };
        let origins = [AxleOrigin::all(Origin::Fitted); 2];
        let mut fitment = Self { parts, origins, collars, ..Self::as_new(van) };
        for i in 0..4 {
            let sheet = kit.and_then(|kit| kit.axle(axle_of(i))).and_then(|parts| parts.collar.as_ref());
            let Some(collar) = sheet else { continue };
            let middle_mm = 0.5 * (collar.lowest_mm + collar.highest_mm);
            let position_mm = collars_mm[i].unwrap_or(middle_mm);
            fitment.collar_turned_m[i] = m_from_mm(position_mm - collar.delivered_mm);
            if collars_mm[i].is_none() {
                let within_mm = 0.5 * (collar.highest_mm - collar.lowest_mm);
                fitment.collars_within_m[axle_of(i)] = m_from_mm(within_mm);
            }
        }
        Ok(fitment)
    }

    /// Axles whose height can be set after the parts are in: by collars or by air.
    pub fn adjustable(&self) -> [bool; 2] {
        [FRONT, REAR].map(|axle| self.collars[axle] || self.parts[axle].air.is_some())
    }

    /// A kit on top of this fitment; what it does not bring stays.
    ///
    /// # Errors
    /// When the kit's parts contradict the van's.
    pub fn with_kit(
        &self,
        van: &PreparedVan,
        kit: &Kit,
        tolerances: &Tolerances,
    ) -> Result<Self, CannotStand> {
        let parts = van.with_kit(&self.parts, kit, tolerances)?;
        let mut fitment = Self { parts, ..self.clone() };
        for axle in [FRONT, REAR] {
            let Some(brought) = kit.axle(axle) else { continue };
            let re_arched = brought.leaf_work.as_ref().is_some_and(|work| work.re_arched_mm.abs() > 0.0);
            if brought.spring.is_some() || re_arched {
                fitment.origins[axle].spring = Origin::Kit;
                fitment.origins[axle].added_leaves = Origin::Kit;
            }
            if let Some(work) = &brought.leaf_work {
                fitment.origins[axle].block = Origin::Kit;
                if !work.added_leaves.is_empty() {
                    fitment.origins[axle].added_leaves = Origin::Kit;
                }
            }
            if brought.air.is_some() {
                fitment.origins[axle].air = Origin::Kit;
            }
            if brought.spring.is_some() || brought.collar.is_some() || brought.leaf_work.is_some() {
                fitment.bushes_opened[axle] = true;
            }
            if brought.spring.is_some() || brought.collar.is_some() {
                fitment.origins[axle].collar = Origin::Kit;
                fitment.collars[axle] = brought.collar.is_some();
                fitment.collars_within_m[axle] = 0.0;
                fitment.collar_turned_m[2 * axle] = 0.0;
                fitment.collar_turned_m[2 * axle + 1] = 0.0;
            }
            if brought.stop.is_some() {
                fitment.origins[axle].stop = Origin::Kit;
            }
            if brought.damper.is_some() {
                fitment.origins[axle].damper = Origin::Kit;
            }
        }
        Ok(fitment)
    }

    /// The same parts with the bushes of every axle whose springs were worked on clamped anew at ride height, as the makers
    /// of rubber-bushed arms ask (common practice, no source): free of twist where the van rests in `state`.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn reclamped(
        mut self,
        van: &PreparedVan,
        carried: &Carried,
        belief: &Belief,
        state: LoadState,
    ) -> Result<Self, CannotStand> {
        let (mut body, mut travel_m) = (BodyPose::default(), [0.0; 4]);
        for _ in 0..3 {
            let rest = self.van(van, carried, belief, state).rest_from(body, travel_m);
            let rest = rest.map_err(|no_rest| CannotStand::of(Doing::ClampingBushes, no_rest))?;
            (body, travel_m) = (rest.body, rest.travel_m);
            for i in 0..4 {
                if self.bushes_opened[axle_of(i)] {
                    self.bushes_clamped_at_m[i] = rest.travel_m[i];
                }
            }
        }
        Ok(self)
    }

    /// Unknowns of its parts of one origin.
    pub fn unknowns(&self, origin: Origin, tolerances: &Tolerances) -> Vec<Unknown> {
        [FRONT, REAR]
            .into_iter()
            .flat_map(|axle| {
                let parts = &self.parts[axle];
                let (adjuster, within_m) = (self.adjusters[axle], self.collars_within_m[axle]);
                let collars = self.collars[axle].then_some(Collars { adjuster, within_m });
                part_unknowns(axle, parts, self.origins[axle], origin, collars, tolerances)
            })
            .collect()
    }

    /// The van with every unknown at its expected value.
    pub fn van(
        &self,
        van: &PreparedVan,
        carried: &Carried,
        belief: &Belief,
        state: LoadState,
    ) -> FourCorners {
        self.van_at(van, carried, &belief.unknowns, &belief.mean, state)
    }

    /// The van with the unknowns at given values.
    pub fn van_at(
        &self,
        van: &PreparedVan,
        carried: &Carried,
        unknowns: &[Arc<Unknown>],
        values: &DVector<f64>,
        state: LoadState,
    ) -> FourCorners {
        let mut assembled = van.assemble(&self.parts, carried);
        for (i, corner) in assembled.corners.iter_mut().enumerate() {
            corner.seat_shift_m += self.collar_turned_m[i];
            corner.body_shift_m -= self.insertion_m[axle_of(i)];
            if let (Some(air), Some(fill)) = (&corner.air, self.air_filled[i]) {
                corner.air = Some(air.filled_at(fill.gauge_pressure_pa, fill.height_m));
            }
            if let Some(bush) = &mut corner.bush {
                bush.clamped_at_travel_m = self.bushes_clamped_at_m[i];
            }
        }
        for (unknown, &mean) in unknowns.iter().zip(values.iter()) {
            if mean != 0.0 && unknown.counts(&self.origins, state) {
                for &(parameter, share) in &unknown.effects {
                    assembled.change(parameter, share * mean);
                }
            }
        }
        assembled
    }

    /// Rest of the van in a load state, with its answer to every unknown of a belief.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn solved(
        &self,
        van: &PreparedVan,
        carried: &Carried,
        belief: &Belief,
        state: LoadState,
    ) -> Result<Solved, CannotStand> {
        self.solved_on_floor(van, carried, belief, state, [0.0; 4])
    }

    /// Rest on a floor whose four spots are `floor_rise_m` above a common level.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn solved_on_floor(
        &self,
        van: &PreparedVan,
        carried: &Carried,
        belief: &Belief,
        state: LoadState,
        floor_rise_m: [f64; 4],
    ) -> Result<Solved, CannotStand> {
        let mut assembled = self.van(van, carried, belief, state);
        // a spot that is higher lifts the wheel exactly as a larger tyre would
        for (corner, rise_m) in assembled.corners.iter_mut().zip(floor_rise_m) {
            corner.tyre.unloaded_radius_m += rise_m;
        }
        let rest = assembled.rest().map_err(|no_rest| CannotStand::of(Doing::FindingRest(state), no_rest))?;
        let sensitivities = Sensitivities::at(&assembled, &rest);
        let responses = belief
            .unknowns
            .iter()
            .map(|unknown| {
                let parts =
                    if unknown.counts(&self.origins, state) { unknown.effects.as_slice() } else { &[] };
                parts.iter().fold(Response::default(), |sum, &(parameter, share)| {
                    sum.plus(&sensitivities.response_to(parameter), share)
                })
            })
            .collect();
        let limits = std::array::from_fn(|i| assembled.travel_limits(&rest, i));
        Ok(Solved { van: assembled, rest, responses, limits })
    }
}

/// Which axles of a kit have collars.
pub fn collars_of(kit: &Kit) -> [bool; 2] {
    [FRONT, REAR].map(|axle| kit.axle(axle).is_some_and(|parts| parts.collar.is_some()))
}

/// A fitment at rest.
#[derive(Debug, Clone)]
pub struct Solved {
    /// The van as computed.
    pub van: FourCorners,
    /// Its rest without friction: the middle that a well-settled van approaches.
    pub rest: Rest,
    /// Response of the rest to each unknown of the belief.
    pub responses: Vec<Response>,
    /// Travel limits of each corner.
    pub limits: [TravelLimits; 4],
}

impl Solved {
    /// Bump travel of a corner to twice the static load, m; `None` where metal comes first.
    pub fn to_twice_static_m(&self, corner: usize) -> Option<f64> {
        self.van.travel_to_twice_static_m(&self.rest, self.limits[corner].to_metal_m, corner)
    }

    /// Height of a body-fixed point above the ground, mm.
    pub fn height_figure_mm(&self, belief: &Belief, point_m: [f64; 3]) -> Figure {
        let body = &self.rest.body;
        let [by_heave, by_pitch, by_roll] = body.height_slopes(point_m);
        let row = self.row(|r| 1e3 * (by_heave * r.heave_m + by_pitch * r.pitch_rad + by_roll * r.roll_rad));
        belief.figure(mm_from_m(body.height_of_m(point_m)), &row)
    }

    /// Row of a quantity that is linear in the response.
    pub fn row(&self, quantity: impl Fn(&Response) -> f64) -> DVector<f64> {
        DVector::from_iterator(self.responses.len(), self.responses.iter().map(quantity))
    }

    /// Covariance from friction alone of quantities that are linear in the response, in their unit squared: each
    /// wheel's friction anywhere within its band.
    pub fn friction_covariance(&self, quantities: impl Fn(&Response) -> DVector<f64>) -> DMatrix<f64> {
        let sensitivities = Sensitivities::at(&self.van, &self.rest);
        let size = quantities(&Response::default()).len();
        let mut covariance = DMatrix::zeros(size, size);
        for j in 0..4 {
            let friction_n = self.van.corners[j].friction_at_wheel_n(self.rest.axle_travel(j));
            let lever = quantities(&sensitivities.response_to(Parameter::WheelForce(j))) * friction_n;
            // variance of a uniform quantity on ±F is F²/3
            covariance += &lever * lever.transpose() / 3.0;
        }
        covariance
    }

    /// Noise of four arch heights read once, the van resting anywhere within its friction band, m².
    pub fn height_noise_m2(&self, reading_sd_m: f64) -> DMatrix<f64> {
        let friction_m2 = self.friction_covariance(|r| DVector::from_row_slice(&r.arch_height_m));
        friction_m2 + DMatrix::identity(4, 4) * reading_sd_m.powi(2)
    }
}
