//! The steered wheel against rotations written out by hand, and the laws of a wheel that stands further out.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

use mechanics::linkage::*;
use proptest::prelude::*;

const LOWER: [f64; 3] = [0.0, 0.75, 0.20];
const UPPER: [f64; 3] = [0.0, 0.75, 0.60];

/// Wishbones with an upright kingpin at y = 0.75 and level arms of one length: the wheel keeps its camber at every travel,
/// and the rack turns it about an upright line.
fn upright() -> DoubleWishboneHardpoints {
    DoubleWishboneHardpoints {
        lower_inner_front_m: [0.1, 0.40, 0.20],
        lower_inner_rear_m: [-0.1, 0.40, 0.20],
        lower_ball_joint_m: LOWER,
        upper_inner_front_m: [0.1, 0.40, 0.60],
        upper_inner_rear_m: [-0.1, 0.40, 0.60],
        upper_ball_joint_m: UPPER,
        tie_rod_inner_m: [-0.12, 0.40, 0.30],
        tie_rod_outer_m: [-0.12, 0.75, 0.30],
        spring: WishboneSpring::Coil {
            seat_lower_m: [0.0, 0.60, 0.20],
            seat_lower_on: WishbonePart::Arm(WishboneArm::Lower),
            seat_upper_m: [0.0, 0.55, 0.60],
        },
        damper_lower_m: [0.0, 0.60, 0.22],
        damper_lower_on: WishbonePart::Arm(WishboneArm::Lower),
        damper_upper_m: [0.0, 0.50, 0.75],
        wheel: WheelHardpoints {
            wheel_centre_m: [0.0, 0.83, 0.34],
            design_camber_rad: 0.0,
            design_toe_rad: 0.0,
            tyre_radius_m: 0.34,
        },
        bar: None,
        driveshaft_inner_m: None,
    }
}

fn linkage(points: DoubleWishboneHardpoints) -> Linkage {
    Linkage::DoubleWishbone(Box::new(DoubleWishbone::new(points).unwrap()))
}

/// Rack travel that turns an upright kingpin by δ: the outer joint goes on its circle of 0.12 m, the rod of 0.35 m keeps its
/// length, both seen from above.
fn rack_by_hand_m(turned_out_rad: f64) -> f64 {
    // the arm points back, so that the wheel turns out as its end goes inboard
    let (sin, cos) = turned_out_rad.sin_cos();
    let outer = [-0.12 * cos, 0.75 - 0.12 * sin];
    let back_m = outer[0] + 0.12;
    outer[1] - (0.35_f64.powi(2) - back_m.powi(2)).sqrt() - 0.40
}

#[test]
fn val_an_upright_kingpin_turns_the_wheel_about_itself() {
    // By hand: plan view, a circle about (0, 0.75), a rod of fixed length.
    let corner = linkage(upright());
    for angle_deg in [10.0, 25.0, 38.0_f64] {
        let angle_rad = angle_deg.to_radians();
        let rack_m = corner.rack_travel_turning_out_m(angle_rad).unwrap();
        assert!((rack_m - rack_by_hand_m(angle_rad)).abs() < 1e-9, "{angle_deg}°: {rack_m}");
        let stance = corner.steered(rack_m).unwrap().unwrap().pose(0.0).unwrap().wheel_stance().unwrap();
        let (sin, cos) = angle_rad.sin_cos();
        let expected = [-0.08 * sin, 0.75 + 0.08 * cos, 0.34];
        for axis in 0..3 {
            assert!((stance.centre_m[axis] - expected[axis]).abs() < 1e-9, "{stance:?}");
            assert!((stance.spin_axis[axis] - [-sin, cos, 0.0][axis]).abs() < 1e-9, "{stance:?}");
        }
    }
}

#[test]
fn val_room_at_lock_by_hand() {
    // By hand: 38° turned out, the rear inner edge of the tyre against a wall along the van. Reach inboard of the original:
    // -(0.75 + 0.08 cos) + 0.11 cos + 0.34 sin; 20 mm wider and 8 mm taller on a spacer of 15 mm, inner edge 5 mm further
    // out: 0.105 cos + 0.348 sin instead.
    let corner = linkage(upright());
    let angle_rad = 38.0_f64.to_radians();
    let rack_m = corner.rack_travel_turning_out_m(angle_rad).unwrap();
    let stance = corner.steered(rack_m).unwrap().unwrap().pose(0.0).unwrap().wheel_stance().unwrap();
    let original = TyreEnvelope { radius_m: 0.34, inner_m: -0.11, outer_m: 0.11 };
    let chosen = TyreEnvelope { radius_m: 0.348, inner_m: -0.105, outer_m: 0.135 };
    let (sin, cos) = angle_rad.sin_cos();
    let inboard = [0.0, -1.0, 0.0];
    let of_original = -(0.75 + 0.08 * cos) + 0.11 * cos + 0.34 * sin;
    assert!((original.reach_m(&stance, inboard) - of_original).abs() < 1e-9);
    let nearer_m = chosen.reach_m(&stance, inboard) - original.reach_m(&stance, inboard);
    assert!((nearer_m - (0.008 * sin - 0.005 * cos)).abs() < 1e-9);
    // the worst wall stands outboard, where the tyre has grown by 25 mm and 8 mm
    let nearer = chosen.nearer_than(&stance, &original, &stance);
    assert!((nearer.by_m - 0.025_f64.hypot(0.008)).abs() < 1e-9, "{nearer:?}");
}

#[test]
fn law_arms_without_a_tie_rod_do_not_steer() {
    let measured = TapeMeasureAxle {
        wheel_centre_m: [0.0, 0.8, 0.34],
        tyre_radius_m: 0.34,
        arm: None,
        spring_ratio: MeasuredRatio::Constant(0.9),
        damper_ratio: MeasuredRatio::Constant(0.9),
        spring_length_at_design_m: 0.3,
        damper_length_at_design_m: 0.5,
    };
    let measured = Linkage::TapeMeasure(Box::new(TapeMeasure::new(measured).unwrap()));
    assert!(measured.steered(0.01).is_none());
    assert_eq!(measured.rack_travel_turning_out_m(0.5), None);
    assert_eq!(measured.pose(0.0).unwrap().wheel_stance(), None);
    // no rack turns a wheel square to the van
    assert_eq!(linkage(upright()).rack_travel_turning_out_m(1.6), None);
}

/// Wishbones whose wheel leans over travel.
fn leaning(camber_deg: f64, outboard_m: f64) -> Linkage {
    let points = upright();
    let wheel = WheelHardpoints { design_camber_rad: camber_deg.to_radians(), ..points.wheel };
    linkage(DoubleWishboneHardpoints {
        upper_inner_front_m: [0.1, 0.48, 0.57],
        upper_inner_rear_m: [-0.1, 0.48, 0.57],
        wheel: wheel.moved_outboard(outboard_m),
        ..points
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn law_a_wheel_further_out_rises_less_or_more_as_it_leans(
        camber_deg in -2.0..2.0f64, outboard_m in -0.03..0.05f64,
    ) {
        // its centre is carried on a lever of the offset along the spin axis, height -sin(camber): at design
        // dz'/dz = 1 - Δ cos γ dγ/dz, and every ratio is divided by that
        let (drawn, moved) = (leaning(camber_deg, 0.0), leaning(camber_deg, outboard_m));
        let (here, there) = (drawn.pose(0.0).unwrap(), moved.pose(0.0).unwrap());
        let table = drawn.table(0.05, 0.05).unwrap();
        let camber = table.camber_rad.as_ref().unwrap().at(0.0);
        let rises = 1.0 - outboard_m * camber.value.cos() * camber.slope;
        prop_assert!((there.spring_motion_ratio - here.spring_motion_ratio / rises).abs() < 1e-6);
        prop_assert!((there.damper_motion_ratio - here.damper_motion_ratio / rises).abs() < 1e-6);
        // the contact point moves out with the wheel: scrub radius and half track alike
        let scrub_m = |pose: &CornerPose| pose.scrub_radius_m.unwrap();
        let level_m = outboard_m * camber.value.cos();
        // a wheel that leans stands on a contact point a little higher or lower, where the kingpin leans too
        prop_assert!((scrub_m(&there) - scrub_m(&here) - level_m).abs() < 1e-3 * outboard_m.abs() + 1e-9);
        prop_assert!((there.camber_rad.unwrap() - here.camber_rad.unwrap()).abs() < 1e-12);
    }

    #[test]
    fn law_the_same_tyre_where_it_was_measured_comes_no_nearer(
        rack_m in -0.06..0.06f64, travel_m in -0.05..0.05f64,
    ) {
        let stance = leaning(-0.5, 0.0).steered(rack_m).unwrap().unwrap().pose(travel_m).unwrap().wheel_stance().unwrap();
        let tyre = TyreEnvelope { radius_m: 0.34, inner_m: -0.11, outer_m: 0.11 };
        prop_assert!(tyre.nearer_than(&stance, &tyre, &stance).by_m.abs() < 1e-12);
        let narrower = TyreEnvelope { inner_m: -0.10, ..tyre };
        prop_assert!(narrower.nearer_than(&stance, &tyre, &stance).by_m < 1e-9);
    }
}
