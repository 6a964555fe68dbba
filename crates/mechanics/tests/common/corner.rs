//! Reading, comparing and differentiating for the tests of linkages.

use mechanics::linkage::*;
use proptest::prelude::*;

pub(crate) const MM: f64 = 1e-3;

pub(crate) fn deg(rad: Option<f64>) -> f64 {
    rad.unwrap().to_degrees()
}

pub(crate) fn assert_near(actual: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((actual - expected).abs() <= tolerance, "{what}: {actual} is not {expected} within {tolerance}");
}

/// Rows of numbers of a reference table.
pub(crate) fn rows(text: &str) -> Vec<Vec<f64>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader
        .records()
        .map(|record| record.unwrap().iter().map(|field| field.parse().unwrap()).collect())
        .collect()
}

/// Fourth-order central differences of `f` at 0: first and second derivative.
pub(crate) fn differences(f: impl Fn(f64) -> f64, step: f64) -> (f64, f64) {
    let [a, b, c, d, e] = [-2.0, -1.0, 0.0, 1.0, 2.0].map(|k| f(k * step));
    (
        (a - 8.0 * b + 8.0 * d - e) / (12.0 * step),
        (-a + 16.0 * b - 30.0 * c + 16.0 * d - e) / (12.0 * step * step),
    )
}

/// All quantities of a pose, unknown ones left out.
pub(crate) fn quantities(pose: &CornerPose) -> Vec<f64> {
    let [x, y, z] = pose.wheel_centre_m;
    let always = [x, y, z, pose.spring_length_m, pose.damper_length_m];
    let sometimes = [
        pose.arm_angle_rad,
        pose.bar_angle_rad,
        pose.drop_link_angle_rad,
        pose.driveshaft_angle_rad,
        pose.camber_rad,
        pose.toe_rad,
        pose.caster_rad,
        pose.kingpin_inclination_rad,
        pose.scrub_radius_m,
        pose.mechanical_trail_m,
        pose.half_track_change_m,
        pose.roll_centre_height_m,
    ];
    always.into_iter().chain(sometimes.into_iter().flatten()).collect()
}

/// Largest difference between table and linkage at travels between the knots: lengths and angles, ratios, and
/// ratio slopes.
pub(crate) fn table_errors(linkage: &Linkage, table: &CornerTable) -> (f64, f64, f64) {
    let (lowest_m, highest_m) = table.travel_range_m;
    let mut errors = (0.0f64, 0.0f64, 0.0f64);
    for k in 0..=1711 {
        let travel_m = (lowest_m + (highest_m - lowest_m) * f64::from(k) / 1711.0).min(highest_m);
        let (solved, read) = (linkage.pose(travel_m).unwrap(), table.pose_at(travel_m));
        for (a, b) in quantities(&solved).into_iter().zip(quantities(&read)) {
            errors.0 = errors.0.max((a - b).abs());
        }
        let ratio = (solved.spring_motion_ratio - read.spring_motion_ratio).abs();
        let damper = (solved.damper_motion_ratio - read.damper_motion_ratio).abs();
        errors.1 = errors.1.max(ratio).max(damper);
        let slope = (solved.spring_motion_ratio_slope_per_m - read.spring_motion_ratio_slope_per_m).abs();
        errors.2 = errors.2.max(slope);
    }
    errors
}

/// Poses over the whole reach are numbers and keep every length the linkage holds.
pub(crate) fn check_everywhere(linkage: &Linkage) -> Result<(), TestCaseError> {
    let reach = linkage.reach();
    for k in 0..=40 {
        let share = f64::from(k) / 40.0;
        let travel_m = reach.rebound.travel_m + share * (reach.bump.travel_m - reach.rebound.travel_m);
        if let Ok(pose) = linkage.pose(travel_m) {
            prop_assert!(quantities(&pose).iter().all(|q| q.is_finite()));
            prop_assert!(pose.spring_motion_ratio.is_finite() && pose.damper_motion_ratio.is_finite());
            prop_assert!(pose.spring_motion_ratio_slope_per_m.is_finite());
        }
    }
    if let Ok(table) = linkage.table(0.12, 0.12) {
        prop_assert!(quantities(&table.pose_at(0.0123)).iter().all(|q| q.is_finite()));
    }
    Ok(())
}
