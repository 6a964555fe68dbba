#![allow(clippy::unwrap_used, clippy::panic)]
//! Axles whose wheels are joined: laws, and checks against solutions found another way.

use mechanics::linkage::*;

fn leaf_points() -> LeafAxleHardpoints {
    LeafAxleHardpoints {
        front_eye_m: [-2.45, 0.56, 0.46],
        seat_m: [-3.10, 0.56, 0.40],
        rear_eye_m: [-3.80, 0.56, 0.47],
        shackle_pivot_m: [-3.84, 0.56, 0.58],
        wheel: WheelHardpoints {
            wheel_centre_m: [-3.10, 0.86, 0.34],
            design_camber_rad: 0.0,
            design_toe_rad: 0.0,
            tyre_radius_m: 0.34,
        },
        hangers: BeamHangers {
            damper_lower_m: [-3.20, 0.50, 0.30],
            damper_upper_m: [-3.00, 0.40, 0.75],
            bar: None,
        },
    }
}

fn leaf_axle(fittings: LeafFittings) -> JoinedAxle {
    JoinedAxle::Leaves(Box::new(LeafAxle::new(leaf_points(), fittings).unwrap()))
}

#[test]
fn law_leaf_axle_at_design_stands_at_design() {
    let [left, right] = leaf_axle(LeafFittings::default()).tables(0.15, 0.15).unwrap();
    for table in [left, right] {
        let pose = table.pose_at(0.0);
        for k in 0..3 {
            assert!((pose.wheel_centre_m[k] - leaf_points().wheel.wheel_centre_m[k]).abs() < 1e-9);
        }
        assert!(pose.camber_rad.unwrap().abs() < 1e-9 && pose.toe_rad.unwrap().abs() < 1e-9);
        assert!(pose.spring_motion_ratio > 0.9 && pose.spring_motion_ratio < 1.1, "{pose:?}");
    }
}
