//! A corner tabulated over wheel travel.

use super::Linkage;
use super::axle_travel::{AxleTravel, OverTravel, TravelMode};
use super::hardpoints::Point;
use super::pose::{CornerPose, Motion};
use super::reach::{LinkageLocks, Reach, ReachEnd};
use crate::curve::{Local, Resampling, Samples, Spline};

/// Distance between tabulated travels, m: leaves the splines within 1e-6 m and 1e-6 rad of the linkage.
const KNOT_SPACING_M: f64 = 1e-3;
/// What the last coefficients of a quantity's series may be, m and rad, for few samples to stand for all travel.
const RESOLVED: f64 = 1e-10;
/// Room left before a lock, m. At the lock itself the wheel stands still while the arm turns, and no curve over
/// wheel travel is smooth.
pub(super) const LOCK_MARGIN_M: f64 = 0.010;

/// One corner over wheel travel (m): every quantity a smooth curve over the travel of its own wheel, or a smooth surface
/// over that of both wheels where the axle joins them.
///
/// Outside the tabulated travel the curves continue straight. The height of the wheel centre is its design height
/// plus the travel, by definition. Angles are in rad, lengths in m, signs as in [`CornerPose`].
#[derive(Debug, Clone, PartialEq)]
pub struct CornerTable {
    /// Travel actually tabulated: what was asked for, clipped to 10 mm before a lock; (lowest, highest), m.
    pub travel_range_m: (f64, f64),
    /// How far the linkage itself can travel, and what ends each side.
    pub reach: Reach,
    /// Wheel centre in the design position.
    pub wheel_centre_design_m: Point,
    /// Inner driveshaft joint, where there is one.
    pub driveshaft_inner_m: Option<Point>,
    /// How much the space between the spring seats shortens per metre that the seat on the carrier moves up along
    /// its own axis.
    pub seat_shift_ratio: f64,
    /// Wheel centre, x.
    pub wheel_centre_x_m: OverTravel,
    /// Wheel centre, y.
    pub wheel_centre_y_m: OverTravel,
    /// Spring length between its seats.
    pub spring_length_m: OverTravel,
    /// The same at design height.
    pub spring_length_design_m: f64,
    /// Damper length.
    pub damper_length_m: OverTravel,
    /// Turn of the lower or trailing arm.
    pub arm_angle_rad: Option<OverTravel>,
    /// Turn of the bar arm.
    pub bar_angle_rad: Option<OverTravel>,
    /// Angle between drop link and bar arm.
    pub drop_link_angle_rad: Option<OverTravel>,
    /// Camber.
    pub camber_rad: Option<OverTravel>,
    /// Toe.
    pub toe_rad: Option<OverTravel>,
    /// Caster.
    pub caster_rad: Option<OverTravel>,
    /// Kingpin inclination.
    pub kingpin_inclination_rad: Option<OverTravel>,
    /// Scrub radius.
    pub scrub_radius_m: Option<OverTravel>,
    /// Mechanical trail.
    pub mechanical_trail_m: Option<OverTravel>,
    /// Half-track change.
    pub half_track_change_m: Option<OverTravel>,
    /// Roll-centre height above the contact point.
    pub roll_centre_height_m: Option<OverTravel>,
}

impl CornerTable {
    pub(super) fn of(linkage: &Linkage, rebound_m: f64, bump_m: f64) -> Result<Self, LinkageLocks> {
        let reach = linkage.reach();
        let lowest_m = (reach.rebound.travel_m + margin_m(reach.rebound)).max(-rebound_m.abs());
        let highest_m = (reach.bump.travel_m - margin_m(reach.bump)).min(bump_m.abs());
        let span_m = highest_m - lowest_m;
        if span_m <= KNOT_SPACING_M {
            let nearer = if highest_m < bump_m.abs() { reach.bump } else { reach.rebound };
            return Err(LinkageLocks { travel_m: nearer.travel_m, reason: nearer.reason });
        }
        let spans = (span_m / KNOT_SPACING_M).ceil();
        let solved = Solved::over(linkage, (lowest_m, highest_m), spans as usize)?;
        let always = |quantity: fn(&Motion) -> Local| solved.spline(quantity);
        let sometimes = |quantity: fn(&Motion) -> Option<Local>| {
            let known = solved.samples.iter().all(|motion| quantity(motion).is_some());
            known.then(|| solved.spline(|motion| quantity(motion).unwrap_or_default()))
        };
        Ok(Self {
            travel_range_m: (lowest_m, highest_m),
            reach,
            wheel_centre_design_m: linkage.wheel_centre_design_m(),
            driveshaft_inner_m: linkage.driveshaft_inner_m(),
            seat_shift_ratio: linkage.seat_shift_ratio(),
            wheel_centre_x_m: always(|m| m.wheel_centre_x_m),
            wheel_centre_y_m: always(|m| m.wheel_centre_y_m),
            spring_length_design_m: always(|m| m.spring_length_m).at(0.0).value,
            spring_length_m: always(|m| m.spring_length_m),
            damper_length_m: always(|m| m.damper_length_m),
            arm_angle_rad: sometimes(|m| m.arm_angle_rad),
            bar_angle_rad: sometimes(|m| m.bar_angle_rad),
            drop_link_angle_rad: sometimes(|m| m.drop_link_angle_rad),
            camber_rad: sometimes(|m| m.camber_rad),
            toe_rad: sometimes(|m| m.toe_rad),
            caster_rad: sometimes(|m| m.caster_rad),
            kingpin_inclination_rad: sometimes(|m| m.kingpin_inclination_rad),
            scrub_radius_m: sometimes(|m| m.scrub_radius_m),
            mechanical_trail_m: sometimes(|m| m.mechanical_trail_m),
            half_track_change_m: sometimes(|m| m.half_track_change_m),
            roll_centre_height_m: sometimes(|m| m.roll_centre_height_m),
        })
    }

    /// The corner with both wheels at one travel, read off the curves.
    pub fn pose_at(&self, travel_m: f64) -> CornerPose {
        self.pose_in(AxleTravel::together(travel_m), TravelMode::Heave)
    }

    /// The corner at a travel of both wheels; ratios and slopes are those of the way the wheels move.
    pub fn pose_in(&self, travel: AxleTravel, mode: TravelMode) -> CornerPose {
        let read = |curve: &OverTravel| curve.at_both(travel).along(mode.direction());
        let known = |curve: &Option<OverTravel>| curve.as_ref().map(read);
        let motion = Motion {
            travel_m: travel.own_m,
            wheel_centre_x_m: read(&self.wheel_centre_x_m),
            wheel_centre_y_m: read(&self.wheel_centre_y_m),
            spring_length_m: read(&self.spring_length_m),
            damper_length_m: read(&self.damper_length_m),
            arm_angle_rad: known(&self.arm_angle_rad),
            bar_angle_rad: known(&self.bar_angle_rad),
            drop_link_angle_rad: known(&self.drop_link_angle_rad),
            camber_rad: known(&self.camber_rad),
            toe_rad: known(&self.toe_rad),
            caster_rad: known(&self.caster_rad),
            kingpin_inclination_rad: known(&self.kingpin_inclination_rad),
            scrub_radius_m: known(&self.scrub_radius_m),
            mechanical_trail_m: known(&self.mechanical_trail_m),
            half_track_change_m: known(&self.half_track_change_m),
            roll_centre_height_m: known(&self.roll_centre_height_m),
        };
        motion.pose(self.wheel_centre_design_m[2], self.driveshaft_inner_m)
    }
}

fn margin_m(end: ReachEnd) -> f64 {
    if end.locks() { LOCK_MARGIN_M } else { 0.0 }
}

/// A linkage solved for its table.
struct Solved {
    first_m: f64,
    spacing_m: f64,
    resampling: Resampling,
    samples: Samples<Motion>,
    /// At every knot, where the samples do not tell what lies between them.
    at_knots: Option<Vec<Motion>>,
}

impl Solved {
    fn over(linkage: &Linkage, (first_m, last_m): (f64, f64), spans: usize) -> Result<Self, LinkageLocks> {
        let spacing_m = (last_m - first_m) / spans as f64;
        let resampling = Resampling::new(first_m, last_m, spans + 1);
        let nodes = resampling.nodes();
        let mut samples = [linkage.motion(nodes[0], None)?; Resampling::SAMPLES];
        for j in 1..Resampling::SAMPLES {
            samples[j] = linkage.motion(nodes[j], Some(&samples[j - 1]))?;
        }
        let values = samples.map(|motion| motion.quantities().map(|known| known.map_or(0.0, |q| q.value)));
        let mut solved = Self { first_m, spacing_m, resampling, samples, at_knots: None };
        // measured ratios bend at their readings
        let analytic = !matches!(linkage, Linkage::TapeMeasure(_));
        if !analytic || !solved.resampling.resolves(&values, RESOLVED) {
            let mut motions = Vec::with_capacity(spans + 1);
            for k in 0..=spans {
                let travel_m = (first_m + spacing_m * k as f64).min(last_m);
                motions.push(linkage.motion(travel_m, motions.last())?);
            }
            solved.at_knots = Some(motions);
        }
        Ok(solved)
    }

    fn spline(&self, quantity: impl Fn(&Motion) -> Local) -> OverTravel {
        let values = match &self.at_knots {
            Some(motions) => motions.iter().map(|motion| quantity(motion).value).collect(),
            None => {
                let samples = self.samples.map(|motion| [quantity(&motion).value]);
                self.resampling.values(&samples).into_iter().map(|[value]| value).collect()
            }
        };
        let slope_at = |end: usize| quantity(&self.samples[end]).slope;
        let (first_slope, last_slope) = (slope_at(0), slope_at(Resampling::SAMPLES - 1));
        OverTravel::Own(Spline::clamped(self.first_m, self.spacing_m, values, first_slope, last_slope))
    }
}
