//! Double wishbones against a solution of the same points elsewhere, and the laws they keep.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

#[path = "common/corner.rs"]
mod corner;
#[path = "common/points.rs"]
mod points;

use corner::*;
use mechanics::linkage::*;
use points::points;
use proptest::prelude::*;

const ON_LOWER_ARM: WishbonePart = WishbonePart::Arm(WishboneArm::Lower);
const ON_UPPER_ARM: WishbonePart = WishbonePart::Arm(WishboneArm::Upper);

/// Points of the reference case, invented: a front axle of 1.7 m track, coil spring and damper on the lower arm.
fn reference_points() -> DoubleWishboneHardpoints {
    let point = points(include_str!("reference/double_wishbone_hardpoints.csv"));
    DoubleWishboneHardpoints {
        lower_inner_front_m: point("lower_inner_front"),
        lower_inner_rear_m: point("lower_inner_rear"),
        lower_ball_joint_m: point("lower_ball_joint"),
        upper_inner_front_m: point("upper_inner_front"),
        upper_inner_rear_m: point("upper_inner_rear"),
        upper_ball_joint_m: point("upper_ball_joint"),
        tie_rod_inner_m: point("tie_rod_inner"),
        tie_rod_outer_m: point("tie_rod_outer"),
        spring: WishboneSpring::Coil {
            seat_lower_m: point("spring_seat_on_lower_arm"),
            seat_lower_on: ON_LOWER_ARM,
            seat_upper_m: point("spring_seat_above_lower_arm"),
        },
        damper_lower_m: point("damper_lower"),
        damper_lower_on: ON_LOWER_ARM,
        damper_upper_m: point("damper_upper"),
        wheel: WheelHardpoints {
            wheel_centre_m: point("wheel_centre"),
            design_camber_rad: (-0.4f64).to_radians(),
            design_toe_rad: 0.1f64.to_radians(),
            tyre_radius_m: 0.340,
        },
        bar: Some(BarHardpoints {
            bar_axis_m: [-0.260, 0.0, 0.330],
            bar_arm_end_m: [-0.060, 0.600, 0.345],
            link_lower_m: [-0.055, 0.615, 0.250],
            drop_link_length_m: None,
        }),
        driveshaft_inner_m: Some([-0.005, 0.190, 0.345]),
    }
}

/// The reference with its coil spring on the upper arm and its damper on the knuckle.
fn spring_above() -> DoubleWishboneHardpoints {
    let point = points(include_str!("reference/double_wishbone_hardpoints.csv"));
    DoubleWishboneHardpoints {
        spring: WishboneSpring::Coil {
            seat_lower_m: point("spring_seat_on_upper_arm"),
            seat_lower_on: ON_UPPER_ARM,
            seat_upper_m: point("spring_seat_above_upper_arm"),
        },
        damper_lower_on: WishbonePart::Knuckle,
        ..reference_points()
    }
}

fn torsion_bar(arm: WishboneArm) -> DoubleWishboneHardpoints {
    DoubleWishboneHardpoints { spring: WishboneSpring::TorsionBar { arm }, ..reference_points() }
}

fn wishbones(points: DoubleWishboneHardpoints) -> Linkage {
    Linkage::DoubleWishbone(Box::new(DoubleWishbone::new(points).unwrap()))
}

fn linkages() -> Vec<Linkage> {
    let arms = [torsion_bar(WishboneArm::Lower), torsion_bar(WishboneArm::Upper)];
    [reference_points(), spring_above()].into_iter().chain(arms).map(wishbones).collect()
}

/// Wishbones that move in the front view only: arms turning about lines along x, (y, z) in m.
fn planar(
    lower: [[f64; 2]; 2],
    upper: [[f64; 2]; 2],
    tie_rod: [[f64; 2]; 2],
    wheel_centre: [f64; 2],
) -> Linkage {
    let at = |x: f64, [y, z]: [f64; 2]| [x, y, z];
    wishbones(DoubleWishboneHardpoints {
        lower_inner_front_m: at(0.15, lower[0]),
        lower_inner_rear_m: at(-0.2, lower[0]),
        lower_ball_joint_m: at(0.0, lower[1]),
        upper_inner_front_m: at(0.1, upper[0]),
        upper_inner_rear_m: at(-0.15, upper[0]),
        upper_ball_joint_m: at(0.0, upper[1]),
        tie_rod_inner_m: at(-0.12, tie_rod[0]),
        tie_rod_outer_m: at(-0.12, tie_rod[1]),
        wheel: WheelHardpoints {
            wheel_centre_m: at(0.0, wheel_centre),
            design_camber_rad: 0.0,
            design_toe_rad: 0.0,
            tyre_radius_m: wheel_centre[1],
        },
        bar: None,
        spring: WishboneSpring::TorsionBar { arm: WishboneArm::Lower },
        ..reference_points()
    })
}

/// Where the line through both points of `a` meets that of `b`.
fn intersection(a: [[f64; 2]; 2], b: [[f64; 2]; 2]) -> [f64; 2] {
    let along = |line: [[f64; 2]; 2]| [line[1][0] - line[0][0], line[1][1] - line[0][1]];
    let turn = |u: [f64; 2], v: [f64; 2]| u[0] * v[1] - u[1] * v[0];
    let (u, v) = (along(a), along(b));
    let share = turn(along([a[0], b[0]]), v) / turn(u, v);
    [a[0][0] + share * u[0], a[0][1] + share * u[1]]
}

/// Planar wishbones whose tie rod points at the instant centre, so that the wheel does not steer at design; with the
/// instant centre.
fn planar_unsteered(lower: [[f64; 2]; 2], upper: [[f64; 2]; 2]) -> (Linkage, [f64; 2]) {
    let centre = intersection(lower, upper);
    let outer = [0.765, 0.300];
    let share = 0.370 / (outer[0] - centre[0]).abs();
    let inner = [0, 1].map(|k| outer[k] + share * (centre[k] - outer[k]));
    (planar(lower, upper, [inner, outer], [0.850, 0.340]), centre)
}

#[test]
fn val_over_travel_against_a_general_purpose_root_finder() {
    // Recomputed with a general-purpose root finder (scipy fsolve on six constraint equations in the pose of the
    // knuckle: four link lengths of the arms, tie rod, height); slopes by five-point differences at 1 mm, whose
    // truncation stays below 1e-8. Printed to 1e-8 mm and deg.
    let (linkage, above) = (wishbones(reference_points()), wishbones(spring_above()));
    let table = rows(include_str!("reference/double_wishbone_case.csv"));
    assert_eq!(table.len(), 17);
    for row in table {
        let pose = linkage.pose(row[0] * MM).unwrap();
        let pose_above = above.pose(row[0] * MM).unwrap();
        let at = |what: &str| format!("{what} at {} mm", row[0]);
        for k in 0..3 {
            assert_near(pose.wheel_centre_m[k] / MM, row[1 + k], 1e-6, &at("wheel centre"));
        }
        assert_near(deg(pose.camber_rad), row[4], 1e-6, &at("camber"));
        assert_near(deg(pose.toe_rad), row[5], 1e-6, &at("toe"));
        assert_near(deg(pose.caster_rad), row[6], 1e-6, &at("caster"));
        assert_near(deg(pose.kingpin_inclination_rad), row[7], 1e-6, &at("kingpin inclination"));
        assert_near(pose.scrub_radius_m.unwrap() / MM, row[8], 1e-6, &at("scrub radius"));
        assert_near(pose.mechanical_trail_m.unwrap() / MM, row[9], 1e-6, &at("trail"));
        assert_near(pose.half_track_change_m.unwrap() / MM, row[10], 1e-6, &at("half-track change"));
        assert_near(pose.roll_centre_height_m.unwrap() / MM, row[11], 1e-5, &at("roll centre"));
        assert_near(deg(pose.arm_angle_rad), row[12], 1e-6, &at("lower arm"));
        assert_near(pose.spring_length_m / MM, row[14], 1e-6, &at("coil on lower arm"));
        assert_near(pose_above.spring_length_m / MM, row[15], 1e-6, &at("coil on upper arm"));
        assert_near(pose.damper_length_m / MM, row[16], 1e-6, &at("damper on lower arm"));
        assert_near(pose_above.damper_length_m / MM, row[17], 1e-6, &at("damper on knuckle"));
        assert_near(pose.spring_motion_ratio, row[18], 2e-8, &at("ratio, coil on lower arm"));
        assert_near(pose_above.spring_motion_ratio, row[19], 2e-8, &at("ratio, coil on upper arm"));
        assert_near(pose.damper_motion_ratio, row[20], 2e-8, &at("ratio, damper on lower arm"));
        assert_near(pose_above.damper_motion_ratio, row[21], 2e-8, &at("ratio, damper on knuckle"));
    }
}

#[test]
fn val_torsion_bars_turn_with_their_arms() {
    // Arm angles of the same solution; the levers are distances in plan view from the lines of the inner pivots.
    for (arm, column, inner_mm, ball_joint_mm) in [
        (WishboneArm::Lower, 12, [[160.0, 395.0], [-190.0, 405.0]], [8.0, 772.0]),
        (WishboneArm::Upper, 13, [[95.0, 398.0], [-145.0, 402.0]], [-22.0, 735.0]),
    ] {
        let [[x0, y0], [x1, y1]]: [[f64; 2]; 2] = inner_mm;
        let area: f64 = (x1 - x0) * (ball_joint_mm[1] - y0) - (y1 - y0) * (ball_joint_mm[0] - x0);
        let lever_m = area.abs() / (x1 - x0).hypot(y1 - y0) * MM;
        let corner = DoubleWishbone::new(torsion_bar(arm)).unwrap();
        assert_near(corner.torsion_bar_lever_m().unwrap(), lever_m, 1e-12, "lever");
        let linkage = wishbones(torsion_bar(arm));
        let design_m = linkage.pose(0.0).unwrap().spring_length_m;
        for row in rows(include_str!("reference/double_wishbone_case.csv")) {
            let shorter_m = design_m - linkage.pose(row[0] * MM).unwrap().spring_length_m;
            assert_near((shorter_m / lever_m).to_degrees(), row[column], 1e-6, "turn of the bar");
        }
    }
    assert_eq!(DoubleWishbone::new(reference_points()).unwrap().torsion_bar_lever_m(), None);
}

#[test]
fn val_with_moved_rack() {
    // Same root finder; rack 20 mm out and in, wheel centre at design height.
    let straight = DoubleWishbone::new(reference_points()).unwrap();
    for (rack_m, toe_deg, camber_deg) in
        [(0.020, 8.920516134, -1.101503725), (-0.020, -8.639593829, 0.443473346)]
    {
        let steered = Linkage::DoubleWishbone(Box::new(straight.steered(rack_m).unwrap()));
        let pose = steered.pose(0.0).unwrap();
        assert_near(deg(pose.toe_rad), toe_deg, 1e-6, "toe");
        assert_near(deg(pose.camber_rad), camber_deg, 1e-6, "camber");
    }
}

#[test]
fn val_planar_wishbones_against_the_drawn_construction() {
    // Recomputed elsewhere: the lines of the arms meet at y -2038.997032, z 410.949413 mm; the line from there to the
    // contact point crosses the centre plane 120.909436 mm high; the camber gain is one turn about the instant
    // centre, 0.01983241204 deg/mm (construction in Reimpell, Stoll and Betzler, ch. 3.4).
    let (linkage, centre) =
        planar_unsteered([[0.395, 0.256], [0.772, 0.232]], [[0.400, 0.542], [0.735, 0.560]]);
    assert_near(centre[0] / MM, -2038.997032, 1e-6, "instant centre, y");
    assert_near(centre[1] / MM, 410.949413, 1e-6, "instant centre, z");
    let pose = linkage.pose(0.0).unwrap();
    assert_near(pose.roll_centre_height_m.unwrap() / MM, 120.909436, 1e-6, "roll centre");
    let camber = linkage.table(0.02, 0.02).unwrap().camber_rad.unwrap().at(0.0);
    assert_near(-camber.slope.to_degrees() * MM, 0.01983241204, 1e-9, "camber gain, deg/mm");
}

#[test]
fn law_equal_parallel_wishbones_keep_camber_and_toe() {
    let lower = [[0.400, 0.250], [0.770, 0.230]];
    let moved = |by: [f64; 2]| lower.map(|[y, z]| [y + by[0], z + by[1]]);
    let linkage = planar(lower, moved([-0.03, 0.32]), moved([-0.005, 0.07]), [0.850, 0.340]);
    for k in -10..=10 {
        let pose = linkage.pose(f64::from(k) * 0.01).unwrap();
        assert_near(deg(pose.camber_rad), 0.0, 1e-11, "camber");
        assert_near(deg(pose.toe_rad), 0.0, 1e-11, "toe");
    }
}

#[test]
fn law_motion_ratios_and_their_slopes_are_the_derivatives_of_the_lengths() {
    // Five-point differences at 2 mm: truncation and rounding stay below 1e-8 and, twice differentiated, 1e-6.
    for (k, linkage) in linkages().iter().enumerate() {
        for travel_m in [-0.062, -0.011, 0.006, 0.021, 0.063] {
            let pose = linkage.pose(travel_m).unwrap();
            let lengths =
                |get: fn(&CornerPose) -> f64| move |dz: f64| get(&linkage.pose(travel_m + dz).unwrap());
            let (spring_slope, spring_curvature) = differences(lengths(|p| p.spring_length_m), 2e-3);
            let (damper_slope, damper_curvature) = differences(lengths(|p| p.damper_length_m), 2e-3);
            let what = format!("linkage {k} at {travel_m}");
            assert_near(pose.spring_motion_ratio, -spring_slope, 1e-8, &what);
            assert_near(pose.damper_motion_ratio, -damper_slope, 1e-8, &what);
            assert_near(pose.spring_motion_ratio_slope_per_m, -spring_curvature, 1e-6, &what);
            assert_near(pose.damper_motion_ratio_slope_per_m, -damper_curvature, 1e-6, &what);
        }
    }
}

#[test]
fn law_roll_centre_is_where_a_side_force_does_no_work() {
    // Virtual work: with both wheels rising alike, a side force at the contact point is carried by a vertical one,
    // F_z dz = F_y dy, and both pass through the roll centre: h = y dy/dz of the contact point.
    let linkage = wishbones(reference_points());
    let design_camber_rad = (-0.4f64).to_radians();
    let design_toe_rad = 0.1f64.to_radians();
    let contact_y = 0.850 + 0.340 * -design_camber_rad.sin() * design_toe_rad.cos();
    for travel_m in [-0.07, 0.0, 0.05] {
        let pose = |dz: f64| linkage.pose(travel_m + dz).unwrap();
        let (out, _) = differences(|dz| pose(dz).half_track_change_m.unwrap(), 2e-3);
        let (up, _) = differences(|dz| dz - 0.340 * pose(dz).camber_rad.unwrap().cos(), 2e-3);
        let height = (contact_y + pose(0.0).half_track_change_m.unwrap()) * out / up;
        assert_near(pose(0.0).roll_centre_height_m.unwrap(), height, 1e-8, "roll centre");
    }
}

#[test]
fn law_torsion_bar_as_spring_stores_the_energy_of_its_turn() {
    // ½ K θ² over travel against spring force times motion ratio, rate K / lever².
    let (torsional_nm_per_rad, preload_rad) = (4000.0, 0.35);
    let corner = DoubleWishbone::new(torsion_bar(WishboneArm::Lower)).unwrap();
    let lever_m = corner.torsion_bar_lever_m().unwrap();
    let linkage = wishbones(torsion_bar(WishboneArm::Lower));
    let rate_n_per_m = torsional_nm_per_rad / (lever_m * lever_m);
    let free_length_m = linkage.pose(0.0).unwrap().spring_length_m + preload_rad * lever_m;
    for travel_m in [-0.07, 0.0, 0.06] {
        let energy = |dz: f64| {
            let turn_rad = preload_rad + linkage.pose(travel_m + dz).unwrap().arm_angle_rad.unwrap();
            0.5 * torsional_nm_per_rad * turn_rad * turn_rad
        };
        let (wheel_force_n, _) = differences(energy, 2e-3);
        let pose = linkage.pose(travel_m).unwrap();
        let spring_force_n = rate_n_per_m * (free_length_m - pose.spring_length_m);
        assert_near(spring_force_n * pose.spring_motion_ratio, wheel_force_n, 1e-5, "wheel force, N");
    }
}

#[test]
fn law_tables_hold_the_linkage_between_their_knots() {
    for (k, linkage) in linkages().iter().enumerate() {
        for room_m in [0.11, 1.0] {
            let table = linkage.table(room_m, room_m).unwrap();
            let (value, ratio, slope) = table_errors(linkage, &table);
            println!("linkage {k}: {value:.1e} {ratio:.1e} {slope:.1e} {:?}", table.reach);
            assert!(value < 1e-6, "linkage {k} over {:?}: {value:e}", table.travel_range_m);
            assert!(room_m > 0.11 || ratio < 1e-6 && slope < 1e-2, "linkage {k}: {ratio:e} {slope:e}");
        }
    }
}

#[test]
fn law_seat_shift_is_along_the_spring() {
    for linkage in linkages() {
        assert_near(linkage.table(0.05, 0.05).unwrap().seat_shift_ratio, 1.0, 0.0, "seat shift ratio");
    }
}

#[test]
fn law_bar_turns_with_the_wheel() {
    let linkage = wishbones(reference_points());
    let angles: Vec<f64> =
        (-8..=8).map(|k| linkage.pose(0.01 * f64::from(k)).unwrap().bar_angle_rad.unwrap()).collect();
    assert!(angles.windows(2).all(|pair| pair[0] < pair[1]));
    assert_near(angles[8], 0.0, 1e-12, "bar angle at design");
}

#[test]
fn law_poses_beyond_the_reach_are_named() {
    // In bump an upper arm of 95 mm comes into line with the ball joints long before the lower arm stands upright; in
    // rebound its end swings the knuckle so fast that the wheel rises again.
    let mut short = reference_points();
    short.upper_inner_front_m[1] = 0.640;
    short.upper_inner_rear_m[1] = 0.640;
    let reach = DoubleWishbone::new(short).unwrap().reach();
    assert_eq!(
        (reach.rebound.reason, reach.bump.reason),
        (LockReason::ArmOverTop, LockReason::UpperArmCannotSpan)
    );
    assert!(reach.rebound.travel_m > -0.15 && reach.bump.travel_m < 0.15);
    for linkage in linkages().into_iter().chain([wishbones(short)]) {
        let reach = linkage.reach();
        assert_eq!(linkage.pose(reach.bump.travel_m + 1e-9).unwrap_err().reason, reach.bump.reason);
        assert_eq!(linkage.pose(reach.rebound.travel_m - 1e-9).unwrap_err().reason, reach.rebound.reason);
        assert!(linkage.pose(reach.bump.travel_m - 1e-4).is_ok());
        assert!(linkage.pose(reach.rebound.travel_m + 1e-4).is_ok());
        assert_eq!(linkage.pose(f64::NAN).unwrap_err().reason, LockReason::BeyondSearch);
    }
    let straight = DoubleWishbone::new(reference_points()).unwrap();
    let refused = straight.steered(0.4).unwrap_err();
    assert_eq!(refused, HardpointError::LocksAtDesign(LockReason::TieRodCannotSpan));
}

#[test]
fn law_wrong_hardpoints_are_named() {
    let refused = |change: fn(&mut DoubleWishboneHardpoints)| {
        let mut points = reference_points();
        change(&mut points);
        DoubleWishbone::new(points).unwrap_err()
    };
    assert_eq!(
        refused(|p| p.upper_ball_joint_m[1] = f64::NAN),
        HardpointError::PointOutOfRange { name: "upper_ball_joint" }
    );
    assert_eq!(
        refused(|p| p.upper_inner_rear_m = p.upper_inner_front_m),
        HardpointError::PointsCoincide { first: "upper_inner_front", second: "upper_inner_rear" }
    );
    assert_eq!(
        refused(|p| std::mem::swap(&mut p.upper_ball_joint_m, &mut p.lower_ball_joint_m)),
        HardpointError::BallJointsUpsideDown
    );
    assert_eq!(refused(|p| p.wheel.wheel_centre_m[1] = -0.85), HardpointError::NotLeftCorner);
    assert_eq!(
        refused(|p| p.tie_rod_outer_m = p.lower_ball_joint_m),
        HardpointError::NoLeverage { rod: "tie rod" }
    );
    assert_eq!(
        refused(|p| p.upper_inner_front_m = p.upper_ball_joint_m),
        HardpointError::NoLeverage { rod: "line of the ball joints" }
    );
    assert_eq!(
        refused(|p| p.lower_ball_joint_m = p.lower_inner_front_m),
        HardpointError::ArmDoesNotLiftWheel
    );
    assert_eq!(
        refused(|p| p.spring = WishboneSpring::Coil {
            seat_lower_m: p.damper_lower_m,
            seat_lower_on: ON_LOWER_ARM,
            seat_upper_m: p.damper_lower_m,
        }),
        HardpointError::PointsCoincide { first: "spring_seat_lower", second: "spring_seat_upper" }
    );
    assert_eq!(
        refused(|p| {
            p.spring = WishboneSpring::TorsionBar { arm: WishboneArm::Upper };
            p.upper_inner_front_m = [0.1, 0.735, 0.4];
            p.upper_inner_rear_m = [-0.1, 0.735, 0.4];
        }),
        HardpointError::Length { name: "torsion_bar_lever" }
    );
}

/// The points of the reference moved by up to `range_m` in each coordinate.
fn moved(mut points: DoubleWishboneHardpoints, moves: &[f64], range_m: f64) -> DoubleWishboneHardpoints {
    let mut moves = moves.iter().copied().cycle();
    let mut shift = |point: &mut Point| point.iter_mut().for_each(|c| *c += range_m * moves.next().unwrap());
    shift(&mut points.lower_inner_front_m);
    shift(&mut points.lower_inner_rear_m);
    shift(&mut points.lower_ball_joint_m);
    shift(&mut points.upper_inner_front_m);
    shift(&mut points.upper_inner_rear_m);
    shift(&mut points.upper_ball_joint_m);
    shift(&mut points.tie_rod_inner_m);
    shift(&mut points.tie_rod_outer_m);
    shift(&mut points.damper_lower_m);
    shift(&mut points.damper_upper_m);
    shift(&mut points.wheel.wheel_centre_m);
    if let WishboneSpring::Coil { seat_lower_m, seat_upper_m, .. } = &mut points.spring {
        shift(seat_lower_m);
        shift(seat_upper_m);
    }
    if let Some(bar) = points.bar.as_mut() {
        shift(&mut bar.bar_arm_end_m);
        shift(&mut bar.link_lower_m);
    }
    points
}

fn any_of_four() -> impl Strategy<Value = DoubleWishboneHardpoints> {
    prop_oneof![
        Just(reference_points()),
        Just(spring_above()),
        Just(torsion_bar(WishboneArm::Lower)),
        Just(torsion_bar(WishboneArm::Upper)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn law_wishbones_near_the_reference_work_over_ordinary_travel(
        points in any_of_four(),
        moves in proptest::collection::vec(-1.0f64..1.0, 45),
        travel_m in -0.08f64..0.08,
    ) {
        let points = moved(points, &moves, 0.010);
        let linkage = wishbones(points);
        let pose = linkage.pose(travel_m).unwrap();
        prop_assert!((pose.wheel_centre_m[2] - points.wheel.wheel_centre_m[2] - travel_m).abs() < 1e-12);
        prop_assert!(quantities(&pose).iter().all(|q| q.is_finite()));
        prop_assert!(pose.spring_motion_ratio > 0.0 && pose.spring_length_m > 0.0);
        let (value, ..) = table_errors(&linkage, &linkage.table(0.08, 0.08).unwrap());
        prop_assert!(value < 1e-6, "{value:e}");
    }

    #[test]
    fn law_planar_roll_centre_is_the_drawn_one(
        moves in proptest::collection::vec(-0.02f64..0.02, 8),
    ) {
        let at = |k: usize, y: f64, z: f64| [y + moves[2 * k], z + moves[2 * k + 1]];
        // The upper arm falls inwards and the lower one rises: the lines meet on the far side of the van.
        let (lower, upper) = ([at(0, 0.40, 0.28), at(1, 0.77, 0.23)], [at(2, 0.40, 0.51), at(3, 0.74, 0.56)]);
        let (linkage, centre) = planar_unsteered(lower, upper);
        let drawn_m = centre[1] * 0.850 / (0.850 - centre[0]);
        let height_m = linkage.pose(0.0).unwrap().roll_centre_height_m.unwrap();
        prop_assert!((height_m - drawn_m).abs() < 1e-10, "{height_m} is not {drawn_m}");
    }

    #[test]
    fn law_wild_wishbones_work_or_are_refused(
        points in any_of_four(),
        moves in proptest::collection::vec(prop_oneof![-1.0f64..1.0, Just(0.0)], 45),
        range_m in prop_oneof![Just(0.1), Just(0.5), Just(3.0), Just(1e6)],
        rack_m in -0.3f64..0.3,
    ) {
        let Ok(corner) = DoubleWishbone::new(moved(points, &moves, range_m)) else { return Ok(()) };
        let linkage = Linkage::DoubleWishbone(Box::new(corner.clone()));
        check_everywhere(&linkage)?;
        for end in [corner.reach().rebound, corner.reach().bump] {
            let near_end = linkage.pose(0.999 * end.travel_m);
            prop_assert!(!near_end.is_ok_and(|pose| pose.spring_length_m <= 0.0));
        }
        if let Ok(steered) = corner.steered(rack_m) {
            check_everywhere(&Linkage::DoubleWishbone(Box::new(steered)))?;
        }
    }
}
