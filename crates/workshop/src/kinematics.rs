//! Kinematics of an axle over travel, in the trade's units.

use std::sync::Arc;

use mechanics::linkage::{
    AxleSuspension, AxleTravel, CornerPose, CornerTable, Linkage, LinkageLocks, TravelMode,
};

use crate::facts::Words;
use crate::units::{m_from_mm, mm_from_m};
use crate::wording::lock_reason;

/// One row of a kinematics table, of the left wheel; what needs hardpoints is absent on a tape-measured axle.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct KinematicsRow {
    /// Wheel travel from design height, bump positive, mm.
    pub travel_mm: f64,
    /// Travel of the right wheel, mm.
    pub other_travel_mm: f64,
    /// Steer of the whole axle by the travel of its wheels, to the left positive: half of right less left toe, degrees.
    pub axle_steer_deg: Option<f64>,
    /// Camber, top out positive, degrees.
    pub camber_deg: Option<f64>,
    /// Toe, toe-in positive, degrees.
    pub toe_deg: Option<f64>,
    /// Caster, top back positive, degrees.
    pub caster_deg: Option<f64>,
    /// Kingpin inclination, top in positive, degrees.
    pub kingpin_inclination_deg: Option<f64>,
    /// Scrub radius at the contact point, mm.
    pub scrub_radius_mm: Option<f64>,
    /// Outward movement of the contact point, mm.
    pub half_track_change_mm: Option<f64>,
    /// Height of the roll centre above the ground, mm.
    pub roll_centre_height_mm: Option<f64>,
    /// Distance between the spring seats, mm.
    pub spring_length_mm: f64,
    /// Spring travel per wheel travel.
    pub spring_motion_ratio: f64,
    /// Its change per millimetre of wheel travel.
    pub spring_motion_ratio_slope_per_mm: f64,
    /// Damper length, mm.
    pub damper_length_mm: f64,
    /// Damper travel per wheel travel.
    pub damper_motion_ratio: f64,
    /// Its change per millimetre of wheel travel.
    pub damper_motion_ratio_slope_per_mm: f64,
    /// Angle between drop link and bar arm, degrees.
    pub drop_link_angle_deg: Option<f64>,
    /// Driveshaft against the horizontal transverse axis, degrees.
    pub driveshaft_angle_deg: Option<f64>,
}

/// Kinematics of an axle with the ends of its reach, both wheels together.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Kinematics {
    /// Rows over travel.
    pub rows: Vec<KinematicsRow>,
    /// Lowest travel the linkage reaches, mm, and what ends it.
    pub rebound_reach_mm: f64,
    /// What ends it.
    pub rebound_reach_ends: Words,
    /// Highest travel the linkage reaches, mm.
    pub bump_reach_mm: f64,
    /// What ends it.
    pub bump_reach_ends: Words,
}

/// Kinematics from `-travel_mm` to `travel_mm` of the left wheel in steps of `step_mm` (both positive), within reach.
///
/// # Errors
/// When a joined axle locks so close to design height that it cannot be tabulated.
pub fn kinematics(
    suspension: &AxleSuspension,
    mode: TravelMode,
    travel_mm: f64,
    step_mm: f64,
) -> Result<Kinematics, LinkageLocks> {
    let steps = (travel_mm / step_mm).floor().clamp(0.0, 1000.0) as i32;
    let poses = Poses::of(suspension, m_from_mm(travel_mm))?;
    let rows = (-steps..=steps).filter_map(|k| {
        let travel = mode.travel(m_from_mm(f64::from(k) * step_mm));
        poses.at(travel, mode).map(|[left, right]| row(&left, &right))
    });
    let reach = suspension.reach();
    Ok(Kinematics {
        rows: rows.collect(),
        rebound_reach_mm: mm_from_m(reach.rebound.travel_m),
        rebound_reach_ends: Words::of(|language| lock_reason(language, reach.rebound.reason)),
        bump_reach_mm: mm_from_m(reach.bump.travel_m),
        bump_reach_ends: Words::of(|language| lock_reason(language, reach.bump.reason)),
    })
}

/// Where poses come from: an independent linkage is solved, a joined axle is read off its surfaces.
enum Poses<'a> {
    Solved(&'a Linkage),
    Tabulated([Arc<CornerTable>; 2]),
}

impl<'a> Poses<'a> {
    fn of(suspension: &'a AxleSuspension, travel_m: f64) -> Result<Self, LinkageLocks> {
        Ok(match suspension {
            AxleSuspension::Independent(linkage) => Self::Solved(linkage),
            AxleSuspension::Joined(_) => Self::Tabulated(suspension.tables(travel_m, travel_m)?),
        })
    }

    /// Left and right wheel, each seen as a left one; `None` beyond the reach.
    fn at(&self, travel: AxleTravel, mode: TravelMode) -> Option<[CornerPose; 2]> {
        match self {
            Self::Solved(linkage) => {
                Some([linkage.pose(travel.own_m).ok()?, linkage.pose(travel.other_m).ok()?])
            }
            Self::Tabulated([left, right]) => {
                let (low_m, high_m) = left.travel_range_m;
                let within = |m: f64| (low_m - ROUNDING_M..=high_m + ROUNDING_M).contains(&m);
                let mirrored = AxleTravel { own_m: travel.other_m, other_m: travel.own_m };
                (within(travel.own_m) && within(travel.other_m))
                    .then(|| [left.pose_in(travel, mode), right.pose_in(mirrored, mode)])
            }
        }
    }
}

/// A travel at the very end of the table may be beyond it by rounding, m.
const ROUNDING_M: f64 = 1e-9;

fn row(pose: &CornerPose, other: &CornerPose) -> KinematicsRow {
    let deg = |rad: Option<f64>| rad.map(f64::to_degrees);
    let mm = |m: Option<f64>| m.map(mm_from_m);
    KinematicsRow {
        travel_mm: mm_from_m(pose.travel_m),
        other_travel_mm: mm_from_m(other.travel_m),
        axle_steer_deg: pose
            .toe_rad
            .zip(other.toe_rad)
            .map(|(left, right)| (0.5 * (right - left)).to_degrees()),
        camber_deg: deg(pose.camber_rad),
        toe_deg: deg(pose.toe_rad),
        caster_deg: deg(pose.caster_rad),
        kingpin_inclination_deg: deg(pose.kingpin_inclination_rad),
        scrub_radius_mm: mm(pose.scrub_radius_m),
        half_track_change_mm: mm(pose.half_track_change_m),
        roll_centre_height_mm: mm(pose.roll_centre_height_m),
        spring_length_mm: mm_from_m(pose.spring_length_m),
        spring_motion_ratio: pose.spring_motion_ratio,
        spring_motion_ratio_slope_per_mm: pose.spring_motion_ratio_slope_per_m * 1e-3,
        damper_length_mm: mm_from_m(pose.damper_length_m),
        damper_motion_ratio: pose.damper_motion_ratio,
        damper_motion_ratio_slope_per_mm: pose.damper_motion_ratio_slope_per_m * 1e-3,
        drop_link_angle_deg: deg(pose.drop_link_angle_rad),
        driveshaft_angle_deg: deg(pose.driveshaft_angle_rad),
    }
}
