//! The strut of the reference case: the one geometry that the tests of linkages and of statics share.

use mechanics::linkage::*;

use crate::points::points;

/// Strut hardpoints of the reference case, invented. The spring stands on the strut itself.
pub(crate) fn reference_points() -> StrutHardpoints {
    let point = points(include_str!("../reference/strut_linkage_hardpoints.csv"));
    StrutHardpoints {
        arm_inner_front_m: point("arm_inner_front"),
        arm_inner_rear_m: point("arm_inner_rear"),
        lower_ball_joint_m: point("lower_ball_joint"),
        strut_top_m: point("strut_top"),
        strut_axis_point_m: point("strut_lower_bracket"),
        spring_seat_lower_m: point("strut_lower_bracket"),
        spring_seat_upper_m: point("strut_top"),
        damper_lower_m: None,
        tie_rod_inner_m: point("tie_rod_inner"),
        tie_rod_outer_m: point("tie_rod_outer"),
        wheel: WheelHardpoints {
            wheel_centre_m: point("wheel_centre"),
            design_camber_rad: (-0.5f64).to_radians(),
            design_toe_rad: 0.1f64.to_radians(),
            tyre_radius_m: 0.340,
        },
        bar: Some(BarHardpoints {
            bar_axis_m: [-0.230, 0.0, 0.300],
            bar_arm_end_m: [-0.030, 0.640, 0.290],
            link_lower_m: [-0.020, 0.700, 0.540],
            drop_link_length_m: None,
        }),
        driveshaft_inner_m: Some([-0.010, 0.180, 0.360]),
    }
}
