//! Linkages against reference cases solved elsewhere, and laws every linkage keeps.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

#[path = "common/corner.rs"]
mod corner;
#[path = "common/points.rs"]
mod points;
#[path = "common/strut.rs"]
mod reference_strut;

use corner::*;
use mechanics::linkage::*;
use proptest::prelude::*;
use reference_strut::reference_points;

fn strut(points: StrutHardpoints) -> Linkage {
    Linkage::Strut(Box::new(Strut::new(points).unwrap()))
}

/// Rear arm of the reference case: pivot point and wheel centre, axis by sweep and rise.
fn reference_arm(sweep_deg: f64, rise_deg: f64) -> Linkage {
    let pivot_m = [-2.950, 0.450, 0.360];
    let (sin_sweep, cos_sweep) = sweep_deg.to_radians().sin_cos();
    let (sin_rise, cos_rise) = rise_deg.to_radians().sin_cos();
    let axis = [sin_sweep * cos_rise, cos_sweep * cos_rise, sin_rise];
    let points = SemiTrailingHardpoints {
        pivot_inner_m: pivot_m,
        pivot_outer_m: [0, 1, 2].map(|k| pivot_m[k] + 0.3 * axis[k]),
        spring_seat_lower_m: [-3.250, 0.600, 0.320],
        spring_seat_upper_m: [-3.230, 0.590, 0.640],
        damper_lower_m: [-3.500, 0.650, 0.290],
        damper_upper_m: [-3.420, 0.600, 0.790],
        wheel: WheelHardpoints {
            wheel_centre_m: [-3.450, 0.850, 0.335],
            design_camber_rad: 0.0,
            design_toe_rad: 0.0,
            tyre_radius_m: 0.335,
        },
        bar: Some(BarHardpoints {
            bar_axis_m: [-3.150, 0.0, 0.420],
            bar_arm_end_m: [-3.350, 0.680, 0.430],
            link_lower_m: [-3.360, 0.700, 0.310],
            drop_link_length_m: None,
        }),
        driveshaft_inner_m: None,
    };
    Linkage::SemiTrailingArm(Box::new(SemiTrailingArm::new(points).unwrap()))
}

fn transverse_arm(spring_ratio: MeasuredRatio) -> Linkage {
    let measures = TapeMeasureAxle {
        wheel_centre_m: [-3.2, 0.85, 0.33],
        tyre_radius_m: 0.33,
        arm: Some(ArmMeasure { length_m: 0.380, angle_at_design_rad: 0.0, kind: ArmKind::Transverse }),
        spring_ratio,
        damper_ratio: MeasuredRatio::Constant(0.9),
        spring_length_at_design_m: 0.30,
        damper_length_at_design_m: 0.45,
    };
    Linkage::TapeMeasure(Box::new(TapeMeasure::new(measures).unwrap()))
}

fn linkages() -> Vec<Linkage> {
    let table = vec![(-0.08, 0.62), (-0.03, 0.66), (0.0, 0.69), (0.05, 0.74), (0.09, 0.75)];
    let on_arm = MeasuredRatio::SpringOnArm { distance_from_pivot_m: 0.28, lean_from_perpendicular_rad: 0.3 };
    let mut with_spring_beside_strut = reference_points();
    with_spring_beside_strut.spring_seat_lower_m = [-0.02, 0.70, 0.56];
    with_spring_beside_strut.spring_seat_upper_m = [-0.04, 0.66, 0.87];
    with_spring_beside_strut.damper_lower_m = Some([-0.006, 0.738, 0.42]);
    vec![
        strut(reference_points()),
        strut(with_spring_beside_strut),
        reference_arm(12.0, 3.0),
        reference_arm(0.0, 0.0),
        reference_arm(90.0, 0.0),
        transverse_arm(MeasuredRatio::Table(table)),
        transverse_arm(on_arm),
    ]
}

#[test]
fn val_strut_over_travel_against_four_independent_solutions() {
    // Recomputed elsewhere by four methods (nonlinear equations in the knuckle pose, closed form, quaternion Newton
    // with automatic derivatives, a fourth separate Newton); printed to 1e-6 mm and deg.
    let linkage = strut(reference_points());
    let table = rows(include_str!("reference/strut_linkage_case.csv"));
    assert_eq!(table.len(), 17);
    for row in table {
        let pose = linkage.pose(row[0] * MM).unwrap();
        let at = |what: &str| format!("{what} at {} mm", row[0]);
        for k in 0..3 {
            assert_near(pose.wheel_centre_m[k] / MM, row[1 + k], 1e-6, &at("wheel centre"));
        }
        assert_near(deg(pose.camber_rad), row[4], 1e-6, &at("camber"));
        assert_near(deg(pose.toe_rad), row[5], 1e-6, &at("toe"));
        assert_near(deg(pose.caster_rad), row[6], 1e-6, &at("caster"));
        assert_near(deg(pose.kingpin_inclination_rad), row[7], 1e-6, &at("kingpin inclination"));
        assert_near(pose.half_track_change_m.unwrap() / MM, row[9], 1e-6, &at("half-track change"));
        assert_near(pose.damper_length_m / MM, row[10], 1e-6, &at("strut length"));
        assert_near(pose.damper_motion_ratio, row[11], 1e-6, &at("motion ratio"));
        assert_near(pose.roll_centre_height_m.unwrap() / MM, row[12], 1e-6, &at("roll centre"));
    }
}

#[test]
fn val_strut_toe_rate_against_reference() {
    // Same source; d(toe)/dz read here off the slope of the tabulated toe.
    let table = strut(reference_points()).table(0.1, 0.1).unwrap();
    let toe = table.toe_rad.unwrap();
    for row in rows(include_str!("reference/strut_linkage_case.csv")) {
        assert_near(toe.at(row[0] * MM).slope.to_degrees(), row[13], 1e-6, "toe rate, deg/m");
    }
}

#[test]
fn val_strut_scrub_radius_and_trail_at_design() {
    // Recomputed elsewhere: in the level of the contact point 26.3030 and 19.9940 mm; in the ground plane of the
    // drawing, 0.012946 mm lower, 26.3004 and 19.9948 mm.
    let pose = strut(reference_points()).pose(0.0).unwrap();
    let (scrub_mm, trail_mm) = (pose.scrub_radius_m.unwrap() / MM, pose.mechanical_trail_m.unwrap() / MM);
    assert_near(scrub_mm, 26.3030, 5e-5, "scrub radius");
    assert_near(trail_mm, 19.9940, 5e-5, "trail");
    let lower_mm = 0.012946;
    let inboard = pose.kingpin_inclination_rad.unwrap().tan();
    let rearward = pose.caster_rad.unwrap().tan();
    assert_near(scrub_mm - inboard * lower_mm, 26.3004, 5e-5, "scrub radius on the drawing's ground");
    assert_near(trail_mm + rearward * lower_mm, 19.9948, 5e-5, "trail on the drawing's ground");
}

#[test]
fn val_strut_with_moved_rack() {
    // Recomputed elsewhere by two methods; rack 20 mm out and in, wheel centre at design height.
    let straight = Strut::new(reference_points()).unwrap();
    for (rack_m, toe_deg, camber_deg) in [(0.020, 8.563397, -0.916439), (-0.020, -8.342984, 0.168123)] {
        let steered = Linkage::Strut(Box::new(straight.steered(rack_m).unwrap()));
        let pose = steered.pose(0.0).unwrap();
        assert_near(deg(pose.toe_rad), toe_deg, 1e-6, "toe");
        assert_near(deg(pose.camber_rad), camber_deg, 1e-6, "camber");
    }
}

#[test]
fn val_planar_strut_against_the_drawn_construction() {
    // Reimpell's construction in the front view, recomputed elsewhere: roll centre 111.70402 mm, camber gain
    // 0.01894277 deg/mm. The planar strut is built here with its arm axis along x and its tie rod in the plane of
    // the steering axis's front view, just behind it, lined up with the instant centre so that it does not steer.
    let instant_centre = [-2161.6785, 391.5049];
    let outer = [-100.0, 760.0, 300.0];
    let share = 0.12;
    let inner_y = outer[1] + share * (instant_centre[0] - outer[1]);
    let inner_z = outer[2] + share * (instant_centre[1] - outer[2]);
    let m = |p: [f64; 3]| p.map(|mm| mm * MM);
    let points = StrutHardpoints {
        arm_inner_front_m: m([100.0, 400.0, 247.0]),
        arm_inner_rear_m: m([-100.0, 400.0, 247.0]),
        lower_ball_joint_m: m([0.0, 790.0, 225.0]),
        strut_top_m: m([0.0, 650.0, 900.0]),
        strut_axis_point_m: m([0.0, 735.0, 430.0]),
        spring_seat_lower_m: m([0.0, 735.0, 430.0]),
        spring_seat_upper_m: m([0.0, 650.0, 900.0]),
        tie_rod_outer_m: m(outer),
        tie_rod_inner_m: m([outer[0], inner_y, inner_z]),
        wheel: WheelHardpoints {
            wheel_centre_m: m([0.0, 863.0, 340.0]),
            design_camber_rad: 0.0,
            design_toe_rad: 0.0,
            tyre_radius_m: 0.340,
        },
        damper_lower_m: None,
        bar: None,
        driveshaft_inner_m: None,
    };
    let linkage = strut(points);
    let pose = linkage.pose(0.0).unwrap();
    // The instant centre is printed to 1e-4 mm over a 2.9 m arm.
    assert_near(pose.roll_centre_height_m.unwrap() / MM, 111.70402, 1e-3, "roll centre");
    let camber = linkage.table(0.02, 0.02).unwrap().camber_rad.unwrap().at(0.0);
    assert_near(-camber.slope.to_degrees() * MM, 0.01894277, 1e-7, "camber gain, deg/mm");
}

#[test]
fn val_semi_trailing_arm_against_rotation_elsewhere() {
    // Recomputed elsewhere by a rotation library and by a multibody program's hinge, which agree to 1e-9.
    let table = rows(include_str!("reference/semi_trailing_arm_case.csv"));
    assert_eq!(table.len(), 72);
    for row in table {
        let pose = reference_arm(row[0], row[1]).pose(row[2] * MM).unwrap();
        assert_near(deg(pose.arm_angle_rad), row[3], 1e-8, "arm angle");
        assert_near((pose.wheel_centre_m[0] + 3.450) / MM, row[4], 1e-6, "dx");
        assert_near((pose.wheel_centre_m[1] - 0.850) / MM, row[5], 1e-6, "dy");
        assert_near(deg(pose.camber_rad), row[6], 1e-6, "camber");
        assert_near(deg(pose.toe_rad), row[7], 1e-6, "toe");
    }
}

#[test]
fn val_semi_trailing_arm_turned_five_degrees() {
    // Recomputed elsewhere: sweep 20 deg, rise 3 deg, arm +5 deg.
    let pose = reference_arm(20.0, 3.0).pose(52.936567 * MM).unwrap();
    assert_near(deg(pose.arm_angle_rad), 5.0, 1e-6, "arm angle");
    assert_near(deg(pose.camber_rad), -1.716555, 1e-6, "camber");
    assert_near(deg(pose.toe_rad), -0.191553, 1e-6, "toe");
}

#[test]
fn law_pure_trailing_arm_keeps_camber_and_toe() {
    let linkage = reference_arm(0.0, 0.0);
    for k in -9..=9 {
        let pose = linkage.pose(f64::from(k) * 0.01).unwrap();
        assert_near(deg(pose.camber_rad), 0.0, 1e-12, "camber");
        assert_near(deg(pose.toe_rad), 0.0, 1e-12, "toe");
        assert_near(pose.half_track_change_m.unwrap(), 0.0, 1e-12, "half-track change");
        assert_near(pose.roll_centre_height_m.unwrap(), 0.0, 1e-12, "roll centre on the ground");
    }
}

#[test]
fn val_spring_on_arm_motion_ratio() {
    // Milliken and Milliken, Race Car Vehicle Dynamics, ch. 16 (from memory): (a/L) cos = 0.692405 for a spring at
    // 280 of 380 mm leaning 20 deg; 60 N/mm give 28.7655 N/mm at the wheel.
    for lean_deg in [20.0f64, -20.0] {
        let on_arm = MeasuredRatio::SpringOnArm {
            distance_from_pivot_m: 0.280,
            lean_from_perpendicular_rad: lean_deg.to_radians(),
        };
        let ratio = transverse_arm(on_arm).pose(0.0).unwrap().spring_motion_ratio;
        assert_near(ratio, 0.692405, 1e-6, "motion ratio");
        assert_near(60.0 * ratio * ratio, 28.7655, 1e-3, "wheel rate, N/mm");
    }
}

#[test]
fn val_strut_motion_ratio_at_design() {
    // Recomputed elsewhere: 0.944641, while the cosine of the strut's lean alone is 0.981836; a damper of
    // 2500 N s/m is 2230.86 N s/m at the wheel.
    let ratio = strut(reference_points()).pose(0.0).unwrap().damper_motion_ratio;
    assert_near(ratio, 0.944641, 1e-6, "motion ratio");
    assert_near(2500.0 * ratio * ratio, 2230.86, 0.01, "damper at the wheel");
    let [x, y, z] =
        [0, 1, 2].map(|k| reference_points().strut_top_m[k] - reference_points().strut_axis_point_m[k]);
    assert_near(z / (x * x + y * y + z * z).sqrt(), 0.981836, 1e-6, "cosine of the lean");
}

/// Front and rear corner of the reference sweep, invented.
fn sweep_corners() -> (Linkage, Linkage) {
    let inputs: serde_json::Value = serde_json::from_str(include_str!("reference/w1_inputs.json")).unwrap();
    let at =
        |corner: &str, name: &str| -> Point { [0, 1, 2].map(|k| inputs[corner][name][k].as_f64().unwrap()) };
    let wheel = |corner: &str| {
        let radius_m = inputs[corner]["tyre_radius"].as_f64().unwrap();
        WheelHardpoints::from_spin_axis(at(corner, "wheel_centre"), at(corner, "spin_axis"), radius_m)
    };
    let front = |name: &str| at("strut_front_left", name);
    let rear = |name: &str| at("semi_trailing_rear_left", name);
    let front = StrutHardpoints {
        arm_inner_front_m: front("arm_pivot_front"),
        arm_inner_rear_m: front("arm_pivot_rear"),
        lower_ball_joint_m: front("ball_joint"),
        strut_top_m: front("strut_top"),
        strut_axis_point_m: front("strut_axis_point"),
        spring_seat_lower_m: front("spring_seat_lower"),
        spring_seat_upper_m: front("spring_seat_upper"),
        damper_lower_m: None,
        tie_rod_inner_m: front("tie_rod_inner"),
        tie_rod_outer_m: front("tie_rod_outer"),
        wheel: wheel("strut_front_left"),
        bar: None,
        driveshaft_inner_m: None,
    };
    let rear = SemiTrailingHardpoints {
        pivot_inner_m: rear("pivot_inner"),
        pivot_outer_m: rear("pivot_outer"),
        spring_seat_lower_m: rear("spring_seat_lower"),
        spring_seat_upper_m: rear("spring_seat_upper"),
        damper_lower_m: rear("damper_lower"),
        damper_upper_m: rear("damper_upper"),
        wheel: wheel("semi_trailing_rear_left"),
        bar: None,
        driveshaft_inner_m: None,
    };
    (strut(front), Linkage::SemiTrailingArm(Box::new(SemiTrailingArm::new(rear).unwrap())))
}

/// Columns of the reference sweep: camber, toe, caster, half-track change, spring length, damper length, roll-centre
/// height, d(spring length)/dz.
fn sweep_columns(pose: &CornerPose) -> [f64; 8] {
    [
        pose.camber_rad.unwrap(),
        pose.toe_rad.unwrap(),
        pose.caster_rad.unwrap(),
        pose.half_track_change_m.unwrap(),
        pose.spring_length_m,
        pose.damper_length_m,
        pose.roll_centre_height_m.unwrap(),
        -pose.spring_motion_ratio,
    ]
}

#[test]
fn val_sweeps_of_201_positions_against_other_programs() {
    // Recomputed elsewhere by six programs (general solvers, multibody, automatic and analytic Jacobians) which agree
    // to 5e-12; the tolerances are the ones stated with them.
    let expected: serde_json::Value =
        serde_json::from_str(include_str!("reference/w1_expected.json")).unwrap();
    let limit = |name: &str| expected["tolerance"][name].as_f64().unwrap();
    let (angle, length) = (limit("angles_rad"), limit("lengths_m"));
    let tolerances = [angle, angle, angle, length, length, length, limit("rc_height_m"), limit("dspring_dz")];
    let (front, rear) = sweep_corners();
    for (linkage, name) in [(front, "front_left"), (rear, "rear_left")] {
        let positions = expected[name].as_array().unwrap();
        assert_eq!(positions.len(), 201);
        for (k, row) in positions.iter().enumerate() {
            let travel_m = -0.090 + 0.0009 * k as f64;
            let columns = sweep_columns(&linkage.pose(travel_m).unwrap());
            for (c, column) in columns.into_iter().enumerate() {
                let what = format!("{name}, position {k}, column {}", expected["columns"][c]);
                assert_near(column, row[c].as_f64().unwrap(), tolerances[c], &what);
            }
        }
    }
}

#[test]
fn law_motion_ratios_and_their_slopes_are_the_derivatives_of_the_lengths() {
    // Five-point differences at 2 mm, away from measured ratios, where the ratio's own curvature jumps: truncation
    // h^4 f^(5)/30 and rounding 1e-16/h stay below 1e-8, h^4 f^(6)/90 and 1e-16/h^2 below 1e-6.
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
fn law_tables_hold_the_linkage_between_their_knots() {
    for (k, linkage) in linkages().iter().enumerate() {
        let table = linkage.table(0.11, 0.11).unwrap();
        let (value, ratio, slope) = table_errors(linkage, &table);
        println!("linkage {k}: {value:.1e} {ratio:.1e} {slope:.1e} {:?}", table.reach);
        assert!(value < 1e-6 && ratio < 1e-6 && slope < 1e-2, "linkage {k}: {value:e} {ratio:e} {slope:e}");
    }
}

#[test]
fn law_tables_hold_the_linkage_over_its_whole_reach() {
    for (k, linkage) in linkages().iter().enumerate() {
        let table = linkage.table(1.0, 1.0).unwrap();
        let (value, ratio, slope) = table_errors(linkage, &table);
        println!("linkage {k}: {value:.1e} {ratio:.1e} {slope:.1e} {:?}", table.travel_range_m);
        assert!(value < 1e-6, "linkage {k}: {value:e}");
    }
}

#[test]
fn law_spring_force_at_the_motion_ratio_balances_the_wheel_without_damper() {
    // Virtual work: F_wheel dz_contact = F_spring (-dL). The contact point rises with the wheel centre, less the
    // radius times the change of cos(camber).
    let mut points = reference_points();
    points.spring_seat_lower_m = [-0.02, 0.70, 0.56];
    points.spring_seat_upper_m = [-0.04, 0.66, 0.87];
    let corner = Strut::new(points).unwrap();
    let linkage = strut(points);
    let wheel_force_n = 6500.0;
    for travel_m in [-0.07, -0.02, 0.0, 0.03, 0.08] {
        let height = |dz: f64| dz - 0.340 * linkage.pose(travel_m + dz).unwrap().camber_rad.unwrap().cos();
        let (contact_rise, _) = differences(height, 2e-3);
        let ratio = linkage.pose(travel_m).unwrap().spring_motion_ratio;
        let spring_force_n = wheel_force_n * contact_rise / ratio;
        let forces = corner.knuckle_forces(travel_m, wheel_force_n, spring_force_n).unwrap();
        assert_near(forces.axial_force_n, 0.0, 1e-3, "axial force");
        let side_n = corner.top_mount_side_force_n(travel_m, wheel_force_n, spring_force_n).unwrap();
        assert!(side_n > 1.0 && side_n < wheel_force_n, "side force {side_n}");
    }
}

#[test]
fn law_spring_towards_the_ball_joint_relieves_the_strut() {
    // Standing the spring so that its line passes farther outboard lowers the side load of the strut: the reason
    // for inclined springs (Reimpell, Stoll and Betzler, ch. 5.4).
    let mut inclined = reference_points();
    inclined.spring_seat_lower_m = [-0.02, 0.760, 0.56];
    let upright =
        Strut::new(reference_points()).unwrap().top_mount_side_force_n(0.0, 6500.0, 6500.0 / 0.944641);
    let inclined = Strut::new(inclined).unwrap().top_mount_side_force_n(0.0, 6500.0, 6500.0 / 0.944641);
    assert!(inclined.unwrap() < 0.8 * upright.unwrap());
}

#[test]
fn law_seat_shift_ratio_is_the_spring_space_lost_per_seat_rise() {
    let mut points = reference_points();
    points.spring_seat_lower_m = [-0.02, 0.70, 0.56];
    points.spring_seat_upper_m = [-0.02, 0.64, 0.87];
    let corner = Strut::new(points).unwrap();
    let along: Vec<f64> = (0..3).map(|k| points.strut_top_m[k] - points.strut_axis_point_m[k]).collect();
    let strut_length = along.iter().map(|c| c * c).sum::<f64>().sqrt();
    let space = |shift: f64| {
        let squared = |k: usize| {
            let seat = points.spring_seat_lower_m[k] + shift * along[k] / strut_length;
            (points.spring_seat_upper_m[k] - seat).powi(2)
        };
        (0..3).map(squared).sum::<f64>().sqrt()
    };
    let (slope, _) = differences(space, 1e-4);
    assert_near(corner.seat_shift_ratio(), -slope, 1e-9, "seat shift ratio");
}

#[test]
fn law_bar_turns_with_the_wheel_and_needs_its_link() {
    let linkage = strut(reference_points());
    let angles: Vec<f64> =
        (-8..=8).map(|k| linkage.pose(0.01 * f64::from(k)).unwrap().bar_angle_rad.unwrap()).collect();
    assert!(angles.windows(2).all(|pair| pair[0] < pair[1]));
    assert_near(angles[8], 0.0, 1e-12, "bar angle at design");

    let mut points = reference_points();
    points.bar.as_mut().unwrap().drop_link_length_m = Some(0.02);
    let refused = Strut::new(points).unwrap_err();
    assert_eq!(refused, HardpointError::LocksAtDesign(LockReason::DropLinkCannotSpan));
}

#[test]
fn law_shorter_drop_link_lifts_the_bar_arm() {
    let mut points = reference_points();
    let plain = strut(points).pose(0.0).unwrap();
    let bar = points.bar.as_mut().unwrap();
    let length_m = (0..3).map(|k| (bar.bar_arm_end_m[k] - bar.link_lower_m[k]).powi(2)).sum::<f64>().sqrt();
    bar.drop_link_length_m = Some(length_m - 0.020);
    let shortened = strut(points).pose(0.0).unwrap();
    assert!(shortened.bar_angle_rad.unwrap() > plain.bar_angle_rad.unwrap() + 0.09);
    assert_near(shortened.spring_length_m, plain.spring_length_m, 1e-12, "spring length");
}

#[test]
fn law_poses_beyond_the_reach_are_named() {
    for linkage in linkages() {
        let reach = linkage.reach();
        assert!(reach.rebound.travel_m < -0.11 && reach.bump.travel_m > 0.11);
        let beyond = linkage.pose(reach.bump.travel_m + 1e-9).unwrap_err();
        assert_eq!(beyond.reason, reach.bump.reason);
        let beyond = linkage.pose(reach.rebound.travel_m - 1e-9).unwrap_err();
        assert_eq!(beyond.reason, reach.rebound.reason);
        assert!(linkage.pose(reach.bump.travel_m - 1e-4).is_ok());
        assert!(linkage.pose(reach.rebound.travel_m + 1e-4).is_ok());
        assert_eq!(linkage.pose(f64::NAN).unwrap_err().reason, LockReason::BeyondSearch);
    }
}

#[test]
fn law_short_arm_ends_over_its_top() {
    // A trailing arm of 200 mm whose wheel centre stands 50 mm below the pivot can rise 250 and fall 150 mm.
    let Linkage::SemiTrailingArm(arm) = reference_arm(0.0, 0.0) else { panic!("a semi-trailing arm") };
    let mut points = *arm.hardpoints();
    points.bar = None;
    points.wheel.wheel_centre_m = [-2.950 - (0.2f64 * 0.2 - 0.05 * 0.05).sqrt(), 0.85, 0.310];
    let reach = SemiTrailingArm::new(points).unwrap().reach();
    assert_near(reach.bump.travel_m, 0.250, 1e-9, "bump");
    assert_near(reach.rebound.travel_m, -0.150, 1e-9, "rebound");
    assert_eq!((reach.bump.reason, reach.rebound.reason), (LockReason::ArmOverTop, LockReason::ArmOverTop));
}

#[test]
fn law_short_tie_rod_locks_the_steered_strut() {
    let straight = Strut::new(reference_points()).unwrap();
    let refused = straight.steered(0.4).unwrap_err();
    assert_eq!(refused, HardpointError::LocksAtDesign(LockReason::TieRodCannotSpan));
}

#[test]
fn law_wrong_hardpoints_are_named() {
    let refused = |change: fn(&mut StrutHardpoints)| {
        let mut points = reference_points();
        change(&mut points);
        Strut::new(points).unwrap_err()
    };
    assert_eq!(
        refused(|p| p.strut_top_m[1] = f64::NAN),
        HardpointError::PointOutOfRange { name: "strut_top" }
    );
    assert_eq!(
        refused(|p| p.arm_inner_rear_m = p.arm_inner_front_m),
        HardpointError::PointsCoincide { first: "arm_inner_front", second: "arm_inner_rear" }
    );
    assert_eq!(refused(|p| p.strut_axis_point_m[2] = 1.5), HardpointError::StrutUpsideDown);
    assert_eq!(
        refused(|p| p.tie_rod_outer_m = p.lower_ball_joint_m),
        HardpointError::NoLeverage { rod: "tie rod" }
    );
    assert_eq!(refused(|p| p.lower_ball_joint_m = p.arm_inner_front_m), HardpointError::ArmDoesNotLiftWheel);
    assert_eq!(refused(|p| p.wheel.tyre_radius_m = 0.0), HardpointError::Length { name: "tyre_radius" });
    assert_eq!(refused(|p| p.wheel.design_toe_rad = f64::NAN), HardpointError::WheelAngle);
}

#[test]
fn law_tape_measure_gives_what_it_knows_and_no_more() {
    let on_arm = MeasuredRatio::SpringOnArm { distance_from_pivot_m: 0.28, lean_from_perpendicular_rad: 0.3 };
    let pose = transverse_arm(on_arm.clone()).pose(0.05).unwrap();
    assert_near(pose.arm_angle_rad.unwrap(), (0.05f64 / 0.38).asin(), 1e-15, "arm angle");
    assert_near(pose.damper_length_m, 0.45 - 0.9 * 0.05, 1e-15, "damper length");
    assert_eq!((pose.camber_rad, pose.toe_rad, pose.roll_centre_height_m), (None, None, None));

    let without_arm = TapeMeasureAxle {
        wheel_centre_m: [-3.2, 0.85, 0.33],
        tyre_radius_m: 0.33,
        arm: None,
        spring_ratio: on_arm,
        damper_ratio: MeasuredRatio::Constant(0.9),
        spring_length_at_design_m: 0.30,
        damper_length_at_design_m: 0.45,
    };
    assert_eq!(TapeMeasure::new(without_arm).unwrap_err(), HardpointError::ArmUnknown { name: "spring" });
}

#[test]
fn law_straight_ratio_table_integrates_to_a_parabola() {
    // Ratio 0.7 + 2 z: L = L0 - 0.7 z - z².
    let table = MeasuredRatio::Table(vec![(-0.05, 0.6), (0.0, 0.7), (0.05, 0.8)]);
    let linkage = transverse_arm(table);
    for travel_m in [-0.09, -0.04, 0.0, 0.02, 0.07] {
        let pose = linkage.pose(travel_m).unwrap();
        assert_near(pose.spring_length_m, 0.30 - 0.7 * travel_m - travel_m * travel_m, 1e-15, "length");
        assert_near(pose.spring_motion_ratio, 0.7 + 2.0 * travel_m, 1e-12, "ratio");
    }
}

/// The points of the reference strut moved by up to `range_m` in each coordinate.
fn moved_strut(moves: &[f64], range_m: f64) -> StrutHardpoints {
    let mut points = reference_points();
    let mut moves = moves.iter().copied().cycle();
    let mut shift = |point: &mut Point| point.iter_mut().for_each(|c| *c += range_m * moves.next().unwrap());
    shift(&mut points.arm_inner_front_m);
    shift(&mut points.arm_inner_rear_m);
    shift(&mut points.lower_ball_joint_m);
    shift(&mut points.strut_top_m);
    shift(&mut points.strut_axis_point_m);
    shift(&mut points.spring_seat_lower_m);
    shift(&mut points.spring_seat_upper_m);
    shift(&mut points.tie_rod_inner_m);
    shift(&mut points.tie_rod_outer_m);
    shift(&mut points.wheel.wheel_centre_m);
    if let Some(bar) = points.bar.as_mut() {
        shift(&mut bar.bar_arm_end_m);
        shift(&mut bar.link_lower_m);
    }
    points
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn law_struts_near_the_reference_work_over_ordinary_travel(
        moves in proptest::collection::vec(-1.0f64..1.0, 36),
        travel_m in -0.08f64..0.08,
    ) {
        let linkage = strut(moved_strut(&moves, 0.010));
        let pose = linkage.pose(travel_m).unwrap();
        prop_assert!((pose.wheel_centre_m[2] - linkage.pose(0.0).unwrap().wheel_centre_m[2] - travel_m).abs() < 1e-12);
        prop_assert!(quantities(&pose).iter().all(|q| q.is_finite()));
        let (value, ..) = table_errors(&linkage, &linkage.table(0.08, 0.08).unwrap());
        prop_assert!(value < 1e-6, "{value:e}");
    }

    #[test]
    fn law_wild_struts_work_or_are_refused(
        moves in proptest::collection::vec(prop_oneof![-1.0f64..1.0, Just(0.0)], 36),
        range_m in prop_oneof![Just(0.1), Just(0.5), Just(3.0), Just(1e6)],
        rack_m in -0.3f64..0.3,
    ) {
        let Ok(corner) = Strut::new(moved_strut(&moves, range_m)) else { return Ok(()) };
        check_everywhere(&Linkage::Strut(Box::new(corner.clone())))?;
        let middle_m = 0.5 * (corner.reach().rebound.travel_m + corner.reach().bump.travel_m);
        if let Ok(side_n) = corner.top_mount_side_force_n(middle_m, 5000.0, 5000.0) {
            prop_assert!(side_n.is_finite());
        }
        if let Ok(steered) = corner.steered(rack_m) {
            check_everywhere(&Linkage::Strut(Box::new(steered)))?;
        }
    }

    #[test]
    fn law_wild_arms_work_or_are_refused(
        coordinates in proptest::collection::vec(prop_oneof![-1.0f64..1.0, Just(0.0), Just(0.5)], 27),
    ) {
        let point = |k: usize| [coordinates[3 * k], coordinates[3 * k + 1], coordinates[3 * k + 2]];
        let points = SemiTrailingHardpoints {
            pivot_inner_m: point(0),
            pivot_outer_m: point(1),
            spring_seat_lower_m: point(2),
            spring_seat_upper_m: point(3),
            damper_lower_m: point(4),
            damper_upper_m: point(5),
            wheel: WheelHardpoints {
                wheel_centre_m: point(6),
                design_camber_rad: 0.3 * coordinates[0],
                design_toe_rad: 0.3 * coordinates[1],
                tyre_radius_m: 0.3,
            },
            bar: Some(BarHardpoints {
                bar_axis_m: point(7),
                bar_arm_end_m: point(8),
                link_lower_m: point(2),
                drop_link_length_m: None,
            }),
            driveshaft_inner_m: Some(point(5)),
        };
        if let Ok(arm) = SemiTrailingArm::new(points) {
            check_everywhere(&Linkage::SemiTrailingArm(Box::new(arm)))?;
        }
    }
}
