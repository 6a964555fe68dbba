//! Struts, semi-trailing arms and springs on arms.

use std::error::Error;

use mechanics::linkage::{
    ArmKind, ArmMeasure, CornerPose, DoubleWishbone, DoubleWishboneHardpoints, Linkage, MeasuredRatio,
    OverTravel, Point, SemiTrailingArm, SemiTrailingHardpoints, Strut, StrutHardpoints, TapeMeasure,
    TapeMeasureAxle, WheelHardpoints, WishboneArm, WishbonePart, WishboneSpring,
};

use crate::Check;
use crate::check::{Case, Computed, known, or_failing};

const MM: f64 = 1e-3;

const STRUT_POINTS: &str = include_str!("../../mechanics/tests/reference/strut_linkage_hardpoints.csv");
const STRUT_TABLE: &str = include_str!("../../mechanics/tests/reference/strut_linkage_case.csv");
const WISHBONE_POINTS: &str = include_str!("../../mechanics/tests/reference/double_wishbone_hardpoints.csv");
const WISHBONE_TABLE: &str = include_str!("../../mechanics/tests/reference/double_wishbone_case.csv");
const ARM_TABLE: &str = include_str!("../../mechanics/tests/reference/semi_trailing_arm_case.csv");
const SWEEP_POINTS: &str = include_str!("../../mechanics/tests/reference/w1_inputs.json");
const SWEEPS: &str = include_str!("../../mechanics/tests/reference/w1_expected.json");

const STRUT: Case = Case {
    id: "K1, strut with lower arm and tie rod",
    source: "independent solutions of the constraint equations with general-purpose libraries (scipy, CasADi), by \
             four ways that agree",
    mark: "recomputed",
};

/// Checks of the linkages.
pub fn checks() -> Vec<Check> {
    or_failing(computed())
}

fn computed() -> Computed {
    let parts = [
        strut_selected()?,
        strut_table()?,
        strut_with_moved_rack()?,
        planar_strut()?,
        semi_trailing_arm()?,
        semi_trailing_table()?,
        pure_trailing_arm()?,
        double_wishbones()?,
        spring_on_arm()?,
        strut_motion_ratio()?,
        sweeps()?,
    ];
    Ok(parts.into_iter().flatten().collect())
}

fn degrees(angle_rad: Option<f64>) -> Result<f64, &'static str> {
    known(angle_rad).map(f64::to_degrees)
}

/// Largest difference met so far; a figure that is not a number stays.
#[derive(Default)]
pub(crate) struct Largest(pub(crate) f64);

impl Largest {
    pub(crate) fn meet(&mut self, got: f64, expected: f64) {
        let difference = (got - expected).abs();
        if difference.is_nan() || difference > self.0 {
            self.0 = difference;
        }
    }
}

pub(crate) fn rows(table: &str) -> Result<Vec<Vec<f64>>, Box<dyn Error>> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    reader.records().map(|record| Ok(record?.iter().map(str::parse).collect::<Result<_, _>>()?)).collect()
}

/// A point of a table in mm, m.
fn point(table: &str, name: &str) -> Result<Point, Box<dyn Error>> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let records = reader.records().collect::<Result<Vec<_>, _>>()?;
    let record = records.iter().find(|record| &record[0] == name).ok_or("a hardpoint is missing")?;
    Ok([record[1].parse::<f64>()? * MM, record[2].parse::<f64>()? * MM, record[3].parse::<f64>()? * MM])
}

fn strut_points() -> Result<StrutHardpoints, Box<dyn Error>> {
    let point = |name: &str| point(STRUT_POINTS, name);
    Ok(StrutHardpoints {
        arm_inner_front_m: point("arm_inner_front")?,
        arm_inner_rear_m: point("arm_inner_rear")?,
        lower_ball_joint_m: point("lower_ball_joint")?,
        strut_top_m: point("strut_top")?,
        strut_axis_point_m: point("strut_lower_bracket")?,
        spring_seat_lower_m: point("strut_lower_bracket")?,
        spring_seat_upper_m: point("strut_top")?,
        damper_lower_m: None,
        tie_rod_inner_m: point("tie_rod_inner")?,
        tie_rod_outer_m: point("tie_rod_outer")?,
        wheel: WheelHardpoints {
            wheel_centre_m: point("wheel_centre")?,
            design_camber_rad: (-0.5f64).to_radians(),
            design_toe_rad: 0.1f64.to_radians(),
            tyre_radius_m: 0.340,
        },
        bar: None,
        driveshaft_inner_m: None,
    })
}

fn strut() -> Result<Linkage, Box<dyn Error>> {
    Ok(Linkage::Strut(Box::new(Strut::new(strut_points()?)?)))
}

fn strut_selected() -> Computed {
    let linkage = strut()?;
    let pose = |travel_mm: f64| linkage.pose(travel_mm * MM);
    let (rebound, design, middle, bump) = (pose(-80.0)?, pose(0.0)?, pose(40.0)?, pose(80.0)?);
    let case = &STRUT;
    let millimetres = |length_m: Option<f64>| known(length_m).map(|m| m / MM);
    Ok(vec![
        case.check("camber at -80 mm", "deg", 1.409025, degrees(rebound.camber_rad)?, 1e-6),
        case.check("toe-in at -80 mm", "deg", 0.197827, degrees(rebound.toe_rad)?, 1e-6),
        case.check("caster at design", "deg", 3.814075, degrees(design.caster_rad)?, 1e-6),
        case.check(
            "kingpin inclination at design",
            "deg",
            11.717435,
            degrees(design.kingpin_inclination_rad)?,
            1e-6,
        ),
        case.check(
            "roll centre over the contact point at design",
            "mm",
            105.7819,
            millimetres(design.roll_centre_height_m)?,
            1e-3,
        ),
        case.check(
            "scrub radius at design, level of the contact point",
            "mm",
            26.3030,
            millimetres(design.scrub_radius_m)?,
            1e-3,
        ),
        case.check(
            "mechanical trail at design, same level",
            "mm",
            19.9940,
            millimetres(design.mechanical_trail_m)?,
            1e-3,
        ),
        case.check("camber at +40 mm", "deg", -1.108811, degrees(middle.camber_rad)?, 1e-6),
        case.check("camber at +80 mm", "deg", -1.424175, degrees(bump.camber_rad)?, 1e-6),
        case.check("toe-in at +80 mm", "deg", -0.214078, degrees(bump.toe_rad)?, 1e-6),
        case.check(
            "half-track change at +80 mm",
            "mm",
            -0.346925,
            millimetres(bump.half_track_change_m)?,
            1e-5,
        ),
        case.check("strut motion ratio at +80 mm", "-", 1.002357, bump.damper_motion_ratio, 1e-6),
    ])
}

fn strut_table() -> Computed {
    let linkage = strut()?;
    let toe_over_travel = linkage.table(0.1, 0.1)?.toe_rad.ok_or("toe is not known")?;
    let (mut length, mut angle, mut ratio, mut roll_centre, mut toe_rate): (
        Largest,
        Largest,
        Largest,
        Largest,
        Largest,
    ) = Default::default();
    let rows = rows(STRUT_TABLE)?;
    for row in &rows {
        let pose = linkage.pose(row[0] * MM)?;
        for k in 0..3 {
            length.meet(pose.wheel_centre_m[k] / MM, row[1 + k]);
        }
        angle.meet(degrees(pose.camber_rad)?, row[4]);
        angle.meet(degrees(pose.toe_rad)?, row[5]);
        angle.meet(degrees(pose.caster_rad)?, row[6]);
        angle.meet(degrees(pose.kingpin_inclination_rad)?, row[7]);
        length.meet(known(pose.half_track_change_m)? / MM, row[9]);
        length.meet(pose.damper_length_m / MM, row[10]);
        ratio.meet(pose.damper_motion_ratio, row[11]);
        roll_centre.meet(known(pose.roll_centre_height_m)? / MM, row[12]);
        toe_rate.meet(toe_over_travel.at(row[0] * MM).slope.to_degrees(), row[13]);
    }
    let all = |what: &str| format!("{what}, all {} rows from -80 to +80 mm, largest difference", rows.len());
    Ok(vec![
        STRUT.check(all("wheel centre, half-track change, strut length"), "mm", 0.0, length.0, 1e-6),
        STRUT.check(all("camber, toe, caster, kingpin inclination"), "deg", 0.0, angle.0, 1e-6),
        STRUT.check(all("strut motion ratio"), "-", 0.0, ratio.0, 1e-6),
        STRUT.check(all("roll centre height"), "mm", 0.0, roll_centre.0, 1e-6),
        STRUT.check(all("toe per travel"), "deg/m", 0.0, toe_rate.0, 1e-6),
    ])
}

fn strut_with_moved_rack() -> Computed {
    let case = Case {
        id: "K2, the same strut steered",
        source: "the same independent solutions, by two ways",
        mark: "recomputed",
    };
    let straight = Strut::new(strut_points()?)?;
    let steered = |rack_mm: f64| -> Result<CornerPose, Box<dyn Error>> {
        Ok(Linkage::Strut(Box::new(straight.steered(rack_mm * MM)?)).pose(0.0)?)
    };
    let (out, inward) = (steered(20.0)?, steered(-20.0)?);
    Ok(vec![
        case.check("toe-in, rack 20 mm outboard", "deg", 8.563397, degrees(out.toe_rad)?, 1e-5),
        case.check("camber, rack 20 mm outboard", "deg", -0.916439, degrees(out.camber_rad)?, 1e-5),
        case.check("toe-in, rack 20 mm inboard", "deg", -8.342984, degrees(inward.toe_rad)?, 1e-5),
        case.check("camber, rack 20 mm inboard", "deg", 0.168123, degrees(inward.camber_rad)?, 1e-5),
    ])
}

/// Front-view points of the planar strut, (y, z) mm.
const PIVOT: [f64; 2] = [400.0, 247.0];
const BALL_JOINT: [f64; 2] = [790.0, 225.0];
const STRUT_TOP: [f64; 2] = [650.0, 900.0];
const STRUT_LOWER: [f64; 2] = [735.0, 430.0];

/// Where the line of the arm meets the perpendicular to the strut at its top, (y, z) mm.
fn instant_centre() -> [f64; 2] {
    let arm = [BALL_JOINT[0] - PIVOT[0], BALL_JOINT[1] - PIVOT[1]];
    let strut = [STRUT_TOP[0] - STRUT_LOWER[0], STRUT_TOP[1] - STRUT_LOWER[1]];
    let to_top = [STRUT_TOP[0] - PIVOT[0], STRUT_TOP[1] - PIVOT[1]];
    let along = (to_top[0] * strut[0] + to_top[1] * strut[1]) / (arm[0] * strut[0] + arm[1] * strut[1]);
    [PIVOT[0] + along * arm[0], PIVOT[1] + along * arm[1]]
}

fn planar_strut() -> Computed {
    let case = Case {
        id: "K3, strut in the front view",
        source: "Reimpell's construction: line of the arm with the perpendicular to the strut at its top, then through \
                 the contact point to the centre plane; planar differences give the same",
        mark: "recomputed",
    };
    // the tie rod lies in the view too and points at the instant centre, so that the wheel does not steer
    let centre = instant_centre();
    let tie_rod_outer = [760.0, 300.0];
    let share = 0.12;
    let tie_rod_inner = [0, 1].map(|k| tie_rod_outer[k] + share * (centre[k] - tie_rod_outer[k]));
    let at = |x_mm: f64, [y, z]: [f64; 2]| [x_mm * MM, y * MM, z * MM];
    let linkage = Linkage::Strut(Box::new(Strut::new(StrutHardpoints {
        arm_inner_front_m: at(100.0, PIVOT),
        arm_inner_rear_m: at(-100.0, PIVOT),
        lower_ball_joint_m: at(0.0, BALL_JOINT),
        strut_top_m: at(0.0, STRUT_TOP),
        strut_axis_point_m: at(0.0, STRUT_LOWER),
        spring_seat_lower_m: at(0.0, STRUT_LOWER),
        spring_seat_upper_m: at(0.0, STRUT_TOP),
        damper_lower_m: None,
        tie_rod_inner_m: at(-100.0, tie_rod_inner),
        tie_rod_outer_m: at(-100.0, tie_rod_outer),
        wheel: WheelHardpoints {
            wheel_centre_m: at(0.0, [863.0, 340.0]),
            design_camber_rad: 0.0,
            design_toe_rad: 0.0,
            tyre_radius_m: 0.340,
        },
        bar: None,
        driveshaft_inner_m: None,
    })?));
    let roll_centre_m = known(linkage.pose(0.0)?.roll_centre_height_m)?;
    let camber = linkage.table(0.02, 0.02)?.camber_rad.ok_or("camber is not known")?;
    let gain_deg_per_mm = -camber.at(0.0).slope.to_degrees() * MM;
    Ok(vec![
        case.check("roll centre height", "mm", 111.70402, roll_centre_m / MM, 1e-4),
        case.check("camber per mm of bump, top inboard", "deg/mm", 0.01894277, gain_deg_per_mm, 1e-7),
    ])
}

fn arm(sweep_deg: f64, rise_deg: f64) -> Result<Linkage, Box<dyn Error>> {
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
        bar: None,
        driveshaft_inner_m: None,
    };
    Ok(Linkage::SemiTrailingArm(Box::new(SemiTrailingArm::new(points)?)))
}

const ARM: Case = Case {
    id: "K4, semi-trailing arm",
    source: "Rodrigues rotation with a general-purpose library (scipy) and the hinge of a multibody library (MuJoCo), \
             which agree to 1e-9",
    mark: "recomputed",
};

fn semi_trailing_arm() -> Computed {
    let linkage = arm(20.0, 3.0)?;
    let pose = linkage.pose(52.936567 * MM)?;
    let table = linkage.table(0.05, 0.05)?;
    let slope_at_design = |curve: Option<OverTravel>| {
        curve.map(|curve| curve.at(0.0).slope).ok_or("an angle of the arm is not known")
    };
    let arm_slope = slope_at_design(table.arm_angle_rad)?;
    let linear_camber_deg = 5.0 * slope_at_design(table.camber_rad)? / arm_slope;
    let linear_toe_deg = 5.0 * slope_at_design(table.toe_rad)? / arm_slope;
    Ok(vec![
        ARM.check(
            "arm angle at 52.936567 mm, sweep 20, rise 3 deg",
            "deg",
            5.0,
            degrees(pose.arm_angle_rad)?,
            1e-6,
        ),
        ARM.check("camber there", "deg", -1.716555, degrees(pose.camber_rad)?, 1e-6),
        ARM.check("toe-in there", "deg", -0.191553, degrees(pose.toe_rad)?, 1e-6),
        ARM.check("camber, slope at design times 5 deg", "deg", -1.707757, linear_camber_deg, 1e-6),
        ARM.check("toe-in, slope at design times 5 deg", "deg", -0.261680, linear_toe_deg, 1e-6),
    ])
}

fn semi_trailing_table() -> Computed {
    let (mut turn, mut path, mut wheel): (Largest, Largest, Largest) = Default::default();
    let rows = rows(ARM_TABLE)?;
    for row in &rows {
        let pose = arm(row[0], row[1])?.pose(row[2] * MM)?;
        turn.meet(degrees(pose.arm_angle_rad)?, row[3]);
        path.meet((pose.wheel_centre_m[0] + 3.450) / MM, row[4]);
        path.meet((pose.wheel_centre_m[1] - 0.850) / MM, row[5]);
        wheel.meet(degrees(pose.camber_rad)?, row[6]);
        wheel.meet(degrees(pose.toe_rad)?, row[7]);
    }
    let all = |what: &str| format!("{what}, all {} rows, largest difference", rows.len());
    Ok(vec![
        ARM.check(all("arm angle"), "deg", 0.0, turn.0, 1e-6),
        ARM.check(all("path of the wheel centre"), "mm", 0.0, path.0, 1e-6),
        ARM.check(all("camber and toe"), "deg", 0.0, wheel.0, 1e-6),
    ])
}

fn pure_trailing_arm() -> Computed {
    let case = Case { id: "K5, pure trailing arm", source: "symmetry", mark: "recomputed" };
    let linkage = arm(0.0, 0.0)?;
    let mut change = Largest::default();
    for k in -9..=9 {
        let pose = linkage.pose(f64::from(k) * 0.01)?;
        change.meet(degrees(pose.camber_rad)?, 0.0);
        change.meet(degrees(pose.toe_rad)?, 0.0);
    }
    Ok(vec![case.check("camber and toe from -90 to +90 mm, largest difference", "deg", 0.0, change.0, 1e-12)])
}

fn wishbone_points() -> Result<DoubleWishboneHardpoints, Box<dyn Error>> {
    let point = |name: &str| point(WISHBONE_POINTS, name);
    Ok(DoubleWishboneHardpoints {
        lower_inner_front_m: point("lower_inner_front")?,
        lower_inner_rear_m: point("lower_inner_rear")?,
        lower_ball_joint_m: point("lower_ball_joint")?,
        upper_inner_front_m: point("upper_inner_front")?,
        upper_inner_rear_m: point("upper_inner_rear")?,
        upper_ball_joint_m: point("upper_ball_joint")?,
        tie_rod_inner_m: point("tie_rod_inner")?,
        tie_rod_outer_m: point("tie_rod_outer")?,
        spring: WishboneSpring::Coil {
            seat_lower_m: point("spring_seat_on_lower_arm")?,
            seat_lower_on: WishbonePart::Arm(WishboneArm::Lower),
            seat_upper_m: point("spring_seat_above_lower_arm")?,
        },
        damper_lower_m: point("damper_lower")?,
        damper_lower_on: WishbonePart::Arm(WishboneArm::Lower),
        damper_upper_m: point("damper_upper")?,
        wheel: WheelHardpoints {
            wheel_centre_m: point("wheel_centre")?,
            design_camber_rad: (-0.4f64).to_radians(),
            design_toe_rad: 0.1f64.to_radians(),
            tyre_radius_m: 0.340,
        },
        bar: None,
        driveshaft_inner_m: None,
    })
}

fn double_wishbones() -> Computed {
    let case = Case {
        id: "K6, double wishbones with tie rod",
        source: "a general-purpose root finder (scipy fsolve on six constraint equations), slopes by \
                 five-point differences of its solutions",
        mark: "recomputed",
    };
    let points = wishbone_points()?;
    let spring = WishboneSpring::TorsionBar { arm: WishboneArm::Upper };
    let barred = DoubleWishbone::new(DoubleWishboneHardpoints { spring, ..points })?;
    let lever_m = barred.torsion_bar_lever_m().ok_or("the torsion bar has no lever")?;
    let barred = Linkage::DoubleWishbone(Box::new(barred));
    let design_length_m = barred.pose(0.0)?.spring_length_m;
    let linkage = Linkage::DoubleWishbone(Box::new(DoubleWishbone::new(points)?));
    let (mut length, mut angle, mut turn, mut roll_centre, mut ratio): (
        Largest,
        Largest,
        Largest,
        Largest,
        Largest,
    ) = Default::default();
    let rows = rows(WISHBONE_TABLE)?;
    for row in &rows {
        let pose = linkage.pose(row[0] * MM)?;
        for k in 0..3 {
            length.meet(pose.wheel_centre_m[k] / MM, row[1 + k]);
        }
        angle.meet(degrees(pose.camber_rad)?, row[4]);
        angle.meet(degrees(pose.toe_rad)?, row[5]);
        angle.meet(degrees(pose.caster_rad)?, row[6]);
        angle.meet(degrees(pose.kingpin_inclination_rad)?, row[7]);
        length.meet(known(pose.scrub_radius_m)? / MM, row[8]);
        length.meet(known(pose.mechanical_trail_m)? / MM, row[9]);
        length.meet(known(pose.half_track_change_m)? / MM, row[10]);
        roll_centre.meet(known(pose.roll_centre_height_m)? / MM, row[11]);
        turn.meet(degrees(pose.arm_angle_rad)?, row[12]);
        let shorter_m = design_length_m - barred.pose(row[0] * MM)?.spring_length_m;
        turn.meet((shorter_m / lever_m).to_degrees(), row[13]);
        length.meet(pose.spring_length_m / MM, row[14]);
        length.meet(pose.damper_length_m / MM, row[16]);
        ratio.meet(pose.spring_motion_ratio, row[18]);
        ratio.meet(pose.damper_motion_ratio, row[20]);
    }
    let all = |what: &str| format!("{what}, all {} rows from -80 to +80 mm, largest difference", rows.len());
    Ok(vec![
        case.check(
            all("wheel centre, scrub radius, trail, half-track change, spring and damper length"),
            "mm",
            0.0,
            length.0,
            1e-6,
        ),
        case.check(all("camber, toe, caster, kingpin inclination"), "deg", 0.0, angle.0, 1e-6),
        case.check(
            all("turn of the lower arm and of a torsion bar on the upper arm"),
            "deg",
            0.0,
            turn.0,
            1e-6,
        ),
        case.check(all("roll centre height"), "mm", 0.0, roll_centre.0, 1e-5),
        case.check(all("spring and damper motion ratio"), "-", 0.0, ratio.0, 2e-8),
    ])
}

fn spring_on_arm() -> Computed {
    let case = Case {
        id: "D15, spring on the lower arm",
        source: "Milliken and Milliken, Race Car Vehicle Dynamics, ch. 16: (a/L) cos; the change of the ratio is left \
                 out there",
        mark: "recomputed",
    };
    let measures = TapeMeasureAxle {
        wheel_centre_m: [-3.2, 0.85, 0.33],
        tyre_radius_m: 0.33,
        arm: Some(ArmMeasure { length_m: 0.380, angle_at_design_rad: 0.0, kind: ArmKind::Transverse }),
        spring_ratio: MeasuredRatio::SpringOnArm {
            distance_from_pivot_m: 0.280,
            lean_from_perpendicular_rad: 20f64.to_radians(),
        },
        damper_ratio: MeasuredRatio::Constant(1.0),
        spring_length_at_design_m: 0.30,
        damper_length_at_design_m: 0.45,
    };
    let pose = Linkage::TapeMeasure(Box::new(TapeMeasure::new(measures)?)).pose(0.0)?;
    let ratio = pose.spring_motion_ratio;
    Ok(vec![
        case.check("motion ratio, 280 of 380 mm, lean 20 deg", "-", 0.692405, ratio, 1e-6),
        case.check("its square", "-", 0.479425, ratio * ratio, 1e-6),
        case.check("wheel rate of 60 N/mm", "N/mm", 28.7655, 60.0 * ratio * ratio, 1e-3),
    ])
}

fn strut_motion_ratio() -> Computed {
    let case = Case {
        id: "D16, motion ratio of the strut of K1 at design",
        source: "the same independent solutions",
        mark: "recomputed",
    };
    let ratio = strut()?.pose(0.0)?.damper_motion_ratio;
    let damper_n_s_per_m = 2500.0 * ratio * ratio;
    let damping_ratio = damper_n_s_per_m / (2.0 * (32e3f64 * 630.0).sqrt());
    Ok(vec![
        case.check("motion ratio", "-", 0.944641, ratio, 1e-6),
        case.check("damper of 2500 N s/m at the wheel", "N s/m", 2230.86, damper_n_s_per_m, 0.01),
        case.check("damping ratio with 32 N/mm and 630 kg", "-", 0.248426, damping_ratio, 1e-6),
    ])
}

fn sweep_corners() -> Result<[Linkage; 2], Box<dyn Error>> {
    let inputs: serde_json::Value = serde_json::from_str(SWEEP_POINTS)?;
    let number = |value: &serde_json::Value| value.as_f64().ok_or("a number of the sweep is missing");
    let at = |corner: &str, name: &str| -> Result<Point, &'static str> {
        let point = &inputs[corner][name];
        Ok([number(&point[0])?, number(&point[1])?, number(&point[2])?])
    };
    let wheel = |corner: &str| -> Result<WheelHardpoints, &'static str> {
        let radius_m = number(&inputs[corner]["tyre_radius"])?;
        Ok(WheelHardpoints::from_spin_axis(at(corner, "wheel_centre")?, at(corner, "spin_axis")?, radius_m))
    };
    let (front, rear) = ("strut_front_left", "semi_trailing_rear_left");
    let strut = Strut::new(StrutHardpoints {
        arm_inner_front_m: at(front, "arm_pivot_front")?,
        arm_inner_rear_m: at(front, "arm_pivot_rear")?,
        lower_ball_joint_m: at(front, "ball_joint")?,
        strut_top_m: at(front, "strut_top")?,
        strut_axis_point_m: at(front, "strut_axis_point")?,
        spring_seat_lower_m: at(front, "spring_seat_lower")?,
        spring_seat_upper_m: at(front, "spring_seat_upper")?,
        damper_lower_m: None,
        tie_rod_inner_m: at(front, "tie_rod_inner")?,
        tie_rod_outer_m: at(front, "tie_rod_outer")?,
        wheel: wheel(front)?,
        bar: None,
        driveshaft_inner_m: None,
    })?;
    let arm = SemiTrailingArm::new(SemiTrailingHardpoints {
        pivot_inner_m: at(rear, "pivot_inner")?,
        pivot_outer_m: at(rear, "pivot_outer")?,
        spring_seat_lower_m: at(rear, "spring_seat_lower")?,
        spring_seat_upper_m: at(rear, "spring_seat_upper")?,
        damper_lower_m: at(rear, "damper_lower")?,
        damper_upper_m: at(rear, "damper_upper")?,
        wheel: wheel(rear)?,
        bar: None,
        driveshaft_inner_m: None,
    })?;
    Ok([Linkage::Strut(Box::new(strut)), Linkage::SemiTrailingArm(Box::new(arm))])
}

fn sweeps() -> Computed {
    let case = Case {
        id: "W1, sweeps over 201 positions from -90 to +90 mm",
        source: "independent solutions with general-purpose libraries (general solvers, multibody, automatic and \
                 analytic derivatives), six ways that agree to 5e-12",
        mark: "recomputed",
    };
    let expected: serde_json::Value = serde_json::from_str(SWEEPS)?;
    let mut checks = Vec::new();
    for (linkage, (key, name)) in
        sweep_corners()?.into_iter().zip([("front_left", "strut"), ("rear_left", "semi-trailing arm")])
    {
        let (mut angle, mut length, mut roll_centre, mut ratio): (Largest, Largest, Largest, Largest) =
            Default::default();
        let positions = expected[key].as_array().ok_or("a sweep is missing")?;
        for (k, row) in positions.iter().enumerate() {
            let pose = linkage.pose(-0.090 + 0.0009 * k as f64)?;
            let column = |c: usize| row[c].as_f64().ok_or("a number of the sweep is missing");
            angle.meet(known(pose.camber_rad)?, column(0)?);
            angle.meet(known(pose.toe_rad)?, column(1)?);
            angle.meet(known(pose.caster_rad)?, column(2)?);
            length.meet(known(pose.half_track_change_m)?, column(3)?);
            length.meet(pose.spring_length_m, column(4)?);
            length.meet(pose.damper_length_m, column(5)?);
            roll_centre.meet(known(pose.roll_centre_height_m)?, column(6)?);
            ratio.meet(-pose.spring_motion_ratio, column(7)?);
        }
        let all = |what: &str| format!("{name}: {what}, {} positions, largest difference", positions.len());
        checks.extend([
            case.check(all("camber, toe, caster"), "rad", 0.0, angle.0, 1e-9),
            case.check(all("half-track change, spring and damper length"), "m", 0.0, length.0, 1e-10),
            case.check(all("roll centre height"), "m", 0.0, roll_centre.0, 1e-8),
            case.check(all("spring length per travel"), "-", 0.0, ratio.0, 1e-9),
        ]);
    }
    Ok(checks)
}
