//! Kinematics of an axle over travel, in the trade's units.

use mechanics::linkage::{CornerPose, Linkage};

use crate::units::mm_from_m;

/// One row of a kinematics table; what needs hardpoints is absent on a tape-measured axle.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct KinematicsRow {
    /// Wheel travel from design height, bump positive, mm.
    pub travel_mm: f64,
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

/// Kinematics of an axle with the ends of its reach.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Kinematics {
    /// Rows over travel.
    pub rows: Vec<KinematicsRow>,
    /// Lowest travel the linkage reaches, mm, and what ends it.
    pub rebound_reach_mm: f64,
    /// What ends it.
    pub rebound_reach_ends: String,
    /// Highest travel the linkage reaches, mm.
    pub bump_reach_mm: f64,
    /// What ends it.
    pub bump_reach_ends: String,
}

/// Kinematics from `-travel_mm` to `travel_mm` in steps of `step_mm` (both positive), within reach.
pub fn kinematics(linkage: &Linkage, travel_mm: f64, step_mm: f64) -> Kinematics {
    let steps = (travel_mm / step_mm).floor().clamp(0.0, 1000.0) as i32;
    let poses = (-steps..=steps).map(|k| linkage.pose(f64::from(k) * step_mm * 1e-3));
    let reach = linkage.reach();
    Kinematics {
        rows: poses.filter_map(Result::ok).map(|pose| row(&pose)).collect(),
        rebound_reach_mm: mm_from_m(reach.rebound.travel_m),
        rebound_reach_ends: reach.rebound.reason.to_string(),
        bump_reach_mm: mm_from_m(reach.bump.travel_m),
        bump_reach_ends: reach.bump.reason.to_string(),
    }
}

fn row(pose: &CornerPose) -> KinematicsRow {
    let deg = |rad: Option<f64>| rad.map(f64::to_degrees);
    let mm = |m: Option<f64>| m.map(mm_from_m);
    KinematicsRow {
        travel_mm: mm_from_m(pose.travel_m),
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
