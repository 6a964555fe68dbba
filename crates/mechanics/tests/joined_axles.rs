//! Axles whose wheels are joined: checks against solutions found another way, and laws.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

#[path = "common/axles.rs"]
mod axles;

use axles::*;
use mechanics::linkage::*;
use proptest::prelude::*;

const MM: f64 = 1e-3;
/// What tables promise, m and rad.
const TABLE: f64 = 1e-6;

fn assert_near(actual: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((actual - expected).abs() <= tolerance, "{what}: {actual} is not {expected} within {tolerance}");
}

fn tables(axle: &JoinedAxle) -> [CornerTable; 2] {
    axle.tables(0.1, 0.1).unwrap()
}

/// The corner with its wheel and the other one at travels of their own.
fn pose(table: &CornerTable, own_m: f64, other_m: f64) -> CornerPose {
    table.pose_in(AxleTravel { own_m, other_m }, TravelMode::Roll)
}

fn rows(text: &str) -> Vec<Vec<f64>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let number = |field: &str| field.parse::<f64>().unwrap();
    reader.records().map(|record| record.unwrap().iter().map(number).collect()).collect()
}

/// Holds both tables of an axle against rows of left and right travel and eleven quantities of each wheel, mm and deg;
/// what a corner does not have is not a number.
fn hold_against(axle: &JoinedAxle, text: &str) {
    let tables = tables(axle);
    let rows = rows(text);
    assert_eq!(rows.len(), 18);
    for row in rows {
        let travels = [(row[0] * MM, row[1] * MM), (row[1] * MM, row[0] * MM)];
        for (side, (table, (own_m, other_m))) in tables.iter().zip(travels).enumerate() {
            let expected = &row[2 + 11 * side..13 + 11 * side];
            let at = pose(table, own_m, other_m);
            let lengths_m = [
                (0, Some(at.wheel_centre_m[0])),
                (1, Some(at.wheel_centre_m[1])),
                (5, Some(at.spring_length_m)),
                (6, Some(at.damper_length_m)),
                (10, at.roll_centre_height_m),
            ];
            let angles_rad = [
                (2, at.camber_rad),
                (3, at.toe_rad),
                (4, at.caster_rad),
                (7, at.arm_angle_rad),
                (8, at.bar_angle_rad),
                (9, at.drop_link_angle_rad),
            ];
            let lengths = lengths_m.map(|(column, got)| (column, got, expected[column] * MM));
            let angles = angles_rad.map(|(column, got)| (column, got, expected[column].to_radians()));
            for (column, got, expected) in lengths.into_iter().chain(angles) {
                let what = format!("column {column}, side {side}, travels {} and {} mm", row[0], row[1]);
                assert_eq!(got.is_none(), expected.is_nan(), "{what}");
                if let Some(got) = got {
                    assert_near(got, expected, TABLE, &what);
                }
            }
        }
    }
}

// --- outside sources ---------------------------------------------------------------------------------------------

#[test]
fn val_twist_beam_over_both_travels() {
    // Recomputed with a general-purpose root finder (scipy): each arm a free rotation about its bush, six unknowns;
    // conditions are one common shear centre, both wheel heights, and as much turn of one arm as of the other against
    // the beam. Roll centres there by differences of the contact points.
    hold_against(&twist_beam(twist_beam_points()), include_str!("reference/twist_beam_case.csv"));
}

#[test]
fn val_link_axle_over_both_travels() {
    // Recomputed with a general-purpose root finder (scipy): translation and three Euler angles of the axle.
    hold_against(&link_axle(link_points()), include_str!("reference/link_axle_case.csv"));
}

#[test]
fn val_leaf_axle_over_both_travels() {
    // Recomputed with a general-purpose root finder and quadrature (scipy): the slope of the leaf integrated along it,
    // its tilt found by bisection so that the shackle keeps its length, the axle turned by Euler angles. Bar arms and
    // drop links by bisection.
    let plain = leaf_axle(leaf_points(), LeafFittings::default());
    hold_against(&plain, include_str!("reference/leaf_axle_case.csv"));
    let fittings = LeafFittings { block_m: 0.025, wedge_rad: 2f64.to_radians(), shackle_longer_m: 0.015 };
    hold_against(&leaf_axle(leaf_points(), fittings), include_str!("reference/leaf_axle_fitted_case.csv"));
}

#[test]
fn val_roll_centre_of_a_twist_beam_by_drawing() {
    // Reimpell, Stoll and Betzler, The Automotive Chassis, ch. 3.4.3, from memory: the line from the bush through the
    // shear centre meets the transverse plane of the wheels in a pole; the line from the contact point to the pole cuts
    // the centre plane in the roll centre.
    let mut points = twist_beam_points();
    points.wheel.design_camber_rad = 0.0;
    points.wheel.design_toe_rad = 0.0;
    let [bush, centre] = [points.bush_m, points.wheel.wheel_centre_m];
    let [shear_x, shear_z] = points.shear_centre_m;
    let along = (centre[0] - bush[0]) / (shear_x - bush[0]);
    let pole = [bush[1] - along * bush[1], bush[2] + along * (shear_z - bush[2])];
    // the contact point lies at the level zero
    let height_m = pole[1] * centre[1] / (centre[1] - pole[0]);
    for table in tables(&twist_beam(points)) {
        assert_near(table.pose_at(0.0).roll_centre_height_m.unwrap(), height_m, 1e-8, "roll centre");
    }
}

// --- exact geometry ----------------------------------------------------------------------------------------------

#[test]
fn law_axles_at_design_stand_at_design() {
    for axle in axles() {
        for table in tables(&axle) {
            let pose = table.pose_at(0.0);
            for (got, design) in pose.wheel_centre_m.iter().zip(table.wheel_centre_design_m) {
                assert_near(*got, design, 1e-9, "wheel centre");
            }
            assert_near(pose.camber_rad.unwrap(), (-0.5f64).to_radians(), 1e-9, "camber");
            assert_near(pose.toe_rad.unwrap(), 0.1f64.to_radians(), 1e-9, "toe");
            assert_near(pose.caster_rad.unwrap(), 0.0, 1e-9, "caster");
            let angles = [pose.arm_angle_rad, pose.bar_angle_rad];
            assert!(angles.iter().flatten().all(|angle| angle.abs() < 1e-9), "{pose:?}");
        }
    }
}

fn axles() -> [JoinedAxle; 3] {
    [
        leaf_axle(leaf_points(), LeafFittings::default()),
        twist_beam(twist_beam_points()),
        link_axle(link_points()),
    ]
}

#[test]
fn law_twist_beam_in_heave_turns_about_the_bush_line() {
    let mut points = twist_beam_points();
    points.wheel.design_camber_rad = 0.0;
    points.wheel.design_toe_rad = 0.0;
    let table = &tables(&twist_beam(points))[0];
    let turned = |[x, y, z]: Point, angle_rad: f64| {
        let [bx, _, bz] = points.bush_m;
        let (sin, cos) = angle_rad.sin_cos();
        [bx + (x - bx) * cos + (z - bz) * sin, y, bz + (z - bz) * cos - (x - bx) * sin]
    };
    let apart = |a: Point, b: Point| (0..3).map(|k| (a[k] - b[k]).powi(2)).sum::<f64>().sqrt();
    for angle_rad in [-0.18, -0.07, 0.05, 0.2] {
        let centre = turned(points.wheel.wheel_centre_m, angle_rad);
        let at = table.pose_at(centre[2] - points.wheel.wheel_centre_m[2]);
        assert_near(at.wheel_centre_m[0], centre[0], 1e-9, "x");
        assert_near(at.wheel_centre_m[1], centre[1], 1e-9, "y");
        assert_near(at.arm_angle_rad.unwrap(), angle_rad, 1e-9, "turn of the arm");
        assert_near(at.camber_rad.unwrap(), 0.0, 1e-9, "camber");
        assert_near(at.toe_rad.unwrap(), 0.0, 1e-9, "toe");
        assert_near(at.caster_rad.unwrap(), -angle_rad, 1e-9, "lean of the hub");
        let spring_m = apart(turned(points.spring_seat_lower_m, angle_rad), points.spring_seat_upper_m);
        assert_near(at.spring_length_m, spring_m, 1e-9, "spring");
    }
}

#[test]
fn law_twist_beam_with_its_shear_centre_on_the_bush_line_is_two_trailing_arms() {
    let mut points = twist_beam_points();
    points.shear_centre_m = [points.bush_m[0], points.bush_m[2]];
    let mut pivot_outer_m = points.bush_m;
    pivot_outer_m[1] += 0.1;
    let arm = Linkage::SemiTrailingArm(Box::new(
        SemiTrailingArm::new(SemiTrailingHardpoints {
            pivot_inner_m: points.bush_m,
            pivot_outer_m,
            spring_seat_lower_m: points.spring_seat_lower_m,
            spring_seat_upper_m: points.spring_seat_upper_m,
            damper_lower_m: points.hangers.damper_lower_m,
            damper_upper_m: points.hangers.damper_upper_m,
            wheel: points.wheel,
            bar: None,
            driveshaft_inner_m: None,
        })
        .unwrap(),
    ));
    for table in tables(&twist_beam(points)) {
        for (own_m, other_m) in [(0.08, 0.08), (0.08, -0.08), (-0.06, 0.03), (0.0, 0.09)] {
            let (joined, alone) = (pose(&table, own_m, other_m), arm.pose(own_m).unwrap());
            assert_near(joined.wheel_centre_m[0], alone.wheel_centre_m[0], 1e-9, "x");
            assert_near(joined.wheel_centre_m[1], alone.wheel_centre_m[1], 1e-9, "y");
            assert_near(joined.spring_length_m, alone.spring_length_m, 1e-9, "spring");
            assert_near(joined.damper_length_m, alone.damper_length_m, 1e-9, "damper");
            assert_near(joined.camber_rad.unwrap(), alone.camber_rad.unwrap(), 1e-9, "camber");
            assert_near(joined.toe_rad.unwrap(), alone.toe_rad.unwrap(), 1e-9, "toe");
            assert_near(joined.arm_angle_rad.unwrap(), alone.arm_angle_rad.unwrap(), 1e-9, "arm angle");
            assert_near(joined.spring_motion_ratio, alone.spring_motion_ratio, 1e-8, "motion ratio");
        }
    }
}

/// Half the length of the flat leaf, m.
const HALF_LEAF_M: f64 = 0.65;

/// Leaves of a base of 1.12 m under a track of 1.72 m.
fn flat_leaves() -> LeafAxleHardpoints {
    flat_leaf_points([-3.10, 0.86, 0.34], 0.56, HALF_LEAF_M)
}

#[test]
fn law_flat_leaf_leads_the_axle_along_a_circle_of_three_quarters_of_its_half() {
    // The middle comes forward by c² / (2 × ¾ a) to leading order; the next one is of the size c⁴ / a³.
    let table = &tables(&leaf_axle(flat_leaves(), LeafFittings::default()))[0];
    for travel_m in [-0.06f64, -0.03, 0.03, 0.06] {
        let forward_m = table.pose_at(travel_m).wheel_centre_m[0] - table.wheel_centre_design_m[0];
        let circle_m = travel_m.powi(2) / (2.0 * 0.75 * HALF_LEAF_M);
        assert_near(forward_m, circle_m, travel_m.powi(4) / HALF_LEAF_M.powi(3), "forward");
        assert!(circle_m > 5.0 * travel_m.powi(4) / HALF_LEAF_M.powi(3));
    }
}

#[test]
fn law_flat_leaf_shortens_its_camber_by_its_travel_and_rolls_about_its_seats() {
    let points = flat_leaves();
    for table in tables(&leaf_axle(points, LeafFittings::default())) {
        let heave = table.pose_at(0.0);
        assert_near(heave.spring_motion_ratio, 1.0, 1e-8, "ratio in heave");
        let roll = pose(&table, 0.0, 0.0);
        let share = points.seat_m[1] / points.wheel.wheel_centre_m[1];
        assert_near(roll.spring_motion_ratio, share, 1e-8, "ratio in roll: spring base over track");
        let seat_m = points.seat_m[2] - points.wheel.wheel_centre_m[2] + points.wheel.tyre_radius_m;
        assert_near(roll.roll_centre_height_m.unwrap(), seat_m, 1e-8, "roll centre");
    }
}

/// Links that are all parallel, level and of one length.
fn parallel_link_points() -> LinkAxleHardpoints {
    let mut points = link_points();
    let behind = |[x, y, z]: Point| [x - 0.6, y, z];
    points.lower_link_axle_m = behind(points.lower_link_body_m);
    points.upper_link_axle_m = behind(points.upper_link_body_m);
    points.wheel.design_camber_rad = 0.0;
    points.wheel.design_toe_rad = 0.0;
    points.hangers.bar = None;
    points
}

#[test]
fn law_lateral_rod_leads_an_axle_on_parallel_links_along_its_circle() {
    // Parallel links of one length leave the axle translations alone: both lengths give the path exactly.
    let points = parallel_link_points();
    let rod: Point = std::array::from_fn(|k| points.lateral_rod_axle_m[k] - points.lateral_rod_body_m[k]);
    let square = |v: Point| v.iter().map(|c| c * c).sum::<f64>();
    let [left, right] = tables(&link_axle(points));
    for travel_m in [-0.09, -0.04, 0.05, 0.1] {
        let (here, there) = (left.pose_at(travel_m), right.pose_at(travel_m));
        let design = points.wheel.wheel_centre_m;
        let moved: Point = std::array::from_fn(|k| here.wheel_centre_m[k] - design[k]);
        let [x, y, z] = moved;
        // the right wheel counts y the other way
        assert_near(there.wheel_centre_m[1] - design[1], -y, 1e-9, "right wheel");
        assert_near(square([-0.6 + x, y, z]), 0.36, 1e-9, "links");
        assert_near(square(std::array::from_fn(|k| rod[k] + moved[k])), square(rod), 1e-9, "rod");
        assert!(y.abs() > 1e-4, "{y}");
        for angle in [here.camber_rad, here.toe_rad, here.caster_rad] {
            assert_near(angle.unwrap(), 0.0, 1e-9, "no rotation");
        }
        // side view of the link
        assert_near(here.arm_angle_rad.unwrap(), z.atan2(0.6 - x), 1e-9, "turn of the lower link");
    }
}

#[test]
fn law_roll_centre_of_an_axle_on_level_links_is_where_the_rod_cuts_the_centre_plane() {
    let points = parallel_link_points();
    let [body, axle] = [points.lateral_rod_body_m, points.lateral_rod_axle_m];
    let height_m = body[2] + (axle[2] - body[2]) * body[1] / (body[1] - axle[1]);
    for table in tables(&link_axle(points)) {
        assert_near(table.pose_at(0.0).roll_centre_height_m.unwrap(), height_m, 1e-8, "roll centre");
    }
}

// --- laws --------------------------------------------------------------------------------------------------------

/// Curves that every joined axle has.
fn curves(table: &CornerTable) -> Vec<&OverTravel> {
    let always =
        [&table.wheel_centre_x_m, &table.wheel_centre_y_m, &table.spring_length_m, &table.damper_length_m];
    let sometimes = [
        &table.camber_rad,
        &table.toe_rad,
        &table.caster_rad,
        &table.arm_angle_rad,
        &table.bar_angle_rad,
        &table.drop_link_angle_rad,
        &table.half_track_change_m,
        &table.roll_centre_height_m,
    ];
    always.into_iter().chain(sometimes.into_iter().flatten()).collect()
}

fn assert_alike(one: &CornerTable, other: &CornerTable, travels: &[(f64, f64)]) {
    let (one, other) = (curves(one), curves(other));
    assert_eq!(one.len(), other.len());
    for (k, (a, b)) in one.into_iter().zip(other).enumerate() {
        for &(own_m, other_m) in travels {
            let travel = AxleTravel { own_m, other_m };
            assert_near(a.at_both(travel).value, b.at_both(travel).value, 1e-9, &format!("curve {k}"));
        }
    }
}

/// The link axle seen in a mirror: what is not paired changes side.
fn mirrored(points: LinkAxleHardpoints) -> LinkAxleHardpoints {
    let mirror = |[x, y, z]: Point| [x, -y, z];
    LinkAxleHardpoints {
        upper_link_body_m: mirror(points.upper_link_body_m),
        upper_link_axle_m: mirror(points.upper_link_axle_m),
        lateral_rod_body_m: mirror(points.lateral_rod_body_m),
        lateral_rod_axle_m: mirror(points.lateral_rod_axle_m),
        ..points
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn law_left_and_right_of_a_symmetric_axle_are_each_other(
        travels in prop::collection::vec((-0.1..=0.1f64, -0.1..=0.1f64), 12),
    ) {
        let [leaves, beam, links] = axles();
        for axle in [leaves, beam] {
            let [left, right] = tables(&axle);
            assert_alike(&left, &right, &travels);
        }
        let [left, right] = tables(&links);
        let [seen_left, seen_right] = tables(&link_axle(mirrored(link_points())));
        assert_alike(&left, &seen_right, &travels);
        assert_alike(&right, &seen_left, &travels);
    }

    #[test]
    fn law_slopes_are_the_differences_of_values(travels in prop::collection::vec((-0.09..=0.09f64, -0.09..=0.09f64), 12)) {
        // Central differences over 40 µm: rounding 1e-14 / 4e-5, truncation h²/6 of third derivatives below 1e4 /m².
        let step_m = 2e-5;
        for axle in axles() {
            for table in tables(&axle) {
                let curves = curves(&table);
                let each = curves.iter().enumerate().flat_map(|curve| travels.iter().map(move |at| (curve, at)));
                for ((k, curve), (own_m, other_m)) in each {
                    let at = |own: f64, other: f64| {
                        curve.at_both(AxleTravel { own_m: own_m + own, other_m: other_m + other })
                    };
                    let slopes = at(0.0, 0.0);
                    let by_own = (at(step_m, 0.0).value - at(-step_m, 0.0).value) / (2.0 * step_m);
                    let by_other = (at(0.0, step_m).value - at(0.0, -step_m).value) / (2.0 * step_m);
                    assert_near(slopes.first[0], by_own, 1e-6, &format!("by its own wheel, curve {k}"));
                    assert_near(slopes.first[1], by_other, 1e-6, &format!("by the other wheel, curve {k}"));
                }
            }
        }
    }
}

/// A coordinate that may be anything.
fn any_coordinate() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -4.0..=4.0f64,
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(1e300), Just(-1e12), Just(0.0)],
    ]
}

fn any_point() -> impl Strategy<Value = Point> {
    prop::array::uniform3(any_coordinate())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever comes in, an axle is refused, or its tables are refused or hold finite numbers.
    #[test]
    fn law_any_points_end_in_an_axle_or_a_named_error(
        p in prop::array::uniform10(any_point()),
        shift_m in prop::array::uniform10(prop::array::uniform3(-0.15..=0.15f64)),
        fitted in prop::array::uniform3(any_coordinate()),
    ) {
        let near = |k: usize, [x, y, z]: Point| [x + shift_m[k][0], y + shift_m[k][1], z + shift_m[k][2]];
        let bar_points = |at: &dyn Fn(usize, Point) -> Point, points: BeamHangers| BeamHangers {
            damper_lower_m: at(8, points.damper_lower_m),
            damper_upper_m: at(9, points.damper_upper_m),
            ..points
        };
        let wild = |k: usize, _: Point| p[k];
        let movers: [&dyn Fn(usize, Point) -> Point; 2] = [&near, &wild];
        for at in movers {
            let leaves = leaf_points();
            let leaves = LeafAxleHardpoints {
                front_eye_m: at(0, leaves.front_eye_m),
                seat_m: at(1, leaves.seat_m),
                rear_eye_m: at(2, leaves.rear_eye_m),
                shackle_pivot_m: at(3, leaves.shackle_pivot_m),
                hangers: bar_points(at, leaves.hangers),
                ..leaves
            };
            let fittings =
                LeafFittings { block_m: fitted[0], wedge_rad: fitted[1], shackle_longer_m: fitted[2] };
            let beam = twist_beam_points();
            let beam = TwistBeamHardpoints {
                bush_m: at(0, beam.bush_m),
                shear_centre_m: [at(1, [beam.shear_centre_m[0], 0.0, 0.0])[0], at(1, [0.0, 0.0, beam.shear_centre_m[1]])[2]],
                spring_seat_lower_m: at(2, beam.spring_seat_lower_m),
                spring_seat_upper_m: at(3, beam.spring_seat_upper_m),
                hangers: bar_points(at, beam.hangers),
                ..beam
            };
            let links = link_points();
            let links = LinkAxleHardpoints {
                lower_link_body_m: at(0, links.lower_link_body_m),
                lower_link_axle_m: at(1, links.lower_link_axle_m),
                upper_link_body_m: at(2, links.upper_link_body_m),
                upper_link_axle_m: at(3, links.upper_link_axle_m),
                lateral_rod_body_m: at(4, links.lateral_rod_body_m),
                lateral_rod_axle_m: at(5, links.lateral_rod_axle_m),
                spring_seat_lower_m: at(6, links.spring_seat_lower_m),
                spring_seat_upper_m: at(7, links.spring_seat_upper_m),
                hangers: bar_points(at, links.hangers),
                ..links
            };
            let built = [
                LeafAxle::new(leaves, LeafFittings::default()).map(|axle| JoinedAxle::Leaves(Box::new(axle))),
                LeafAxle::new(leaves, fittings).map(|axle| JoinedAxle::Leaves(Box::new(axle))),
                TwistBeam::new(beam).map(|axle| JoinedAxle::TwistBeam(Box::new(axle))),
                LinkAxle::new(links).map(|axle| JoinedAxle::Links(Box::new(axle))),
            ];
            for axle in built.into_iter().flatten() {
                let reach = axle.reach();
                prop_assert!(reach.rebound.travel_m <= 0.0 && reach.bump.travel_m >= 0.0);
                for table in axle.tables(0.09, 0.09).into_iter().flatten() {
                    let (low_m, high_m) = table.travel_range_m;
                    for (own_m, other_m) in [(low_m, high_m), (high_m, low_m), (0.3 * low_m, 0.8 * high_m)] {
                        for curve in curves(&table) {
                            let local = curve.at_both(AxleTravel { own_m, other_m });
                            prop_assert!(local.value.is_finite(), "{axle:?}");
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn law_what_is_not_an_axle_is_named() {
    let mut beam = twist_beam_points();
    beam.hangers.bar = leaf_points().hangers.bar;
    assert_eq!(TwistBeam::new(beam), Err(HardpointError::BarBesideTwistBeam));
    let mut ahead = twist_beam_points();
    ahead.bush_m[0] = ahead.wheel.wheel_centre_m[0] - 0.4;
    assert_eq!(TwistBeam::new(ahead), Err(HardpointError::ArmDoesNotLiftWheel));
    let mut links = parallel_link_points();
    // all trailing links at one height leave the axle free to pitch
    links.upper_link_body_m[2] = links.lower_link_body_m[2];
    links.upper_link_axle_m[2] = links.lower_link_axle_m[2];
    assert_eq!(LinkAxle::new(links), Err(HardpointError::LinksDoNotLocate));
    // a rod of 60 mm cannot follow 100 mm of travel
    let mut links = link_points();
    links.lateral_rod_axle_m = links.lateral_rod_body_m;
    links.lateral_rod_axle_m[1] -= 0.06;
    let short = link_axle(links);
    assert_eq!(short.reach().bump.reason, LockReason::LinksCannotSpan);
    let [left, _] = tables(&short);
    assert!(left.travel_range_m.1 < 0.06 && left.travel_range_m.1 > 0.02, "{:?}", left.travel_range_m);
}
