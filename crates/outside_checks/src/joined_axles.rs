//! Axles whose wheels are joined.

use std::collections::HashMap;
use std::error::Error;
use std::sync::Arc;

use mechanics::elements::{AntiRollBar, Spring, SpringStack, Tyre};
use mechanics::linkage::{
    AxleTravel, BarHardpoints, BeamHangers, JoinedAxle, LeafAxle, LeafAxleHardpoints, LeafFittings, LinkAxle,
    LinkAxleHardpoints, Point, TravelMode, TwistBeam, TwistBeamHardpoints, WheelHardpoints,
};
use mechanics::statics::{FittedBar, FourCorners, Parameter, REAR, Sensitivities};

use crate::Check;
use crate::check::{Case, Computed, known, or_failing};
use crate::linkage::{Largest, rows};
use crate::statics::linear_van;

const MM: f64 = 1e-3;

const POINTS: &str = include_str!("../../mechanics/tests/reference/joined_axles_hardpoints.csv");
const TWIST_BEAM: &str = include_str!("../../mechanics/tests/reference/twist_beam_case.csv");
const LINK_AXLE: &str = include_str!("../../mechanics/tests/reference/link_axle_case.csv");
const LEAF_AXLE: &str = include_str!("../../mechanics/tests/reference/leaf_axle_case.csv");
const FITTED_LEAF_AXLE: &str = include_str!("../../mechanics/tests/reference/leaf_axle_fitted_case.csv");

/// Checks of joined axles.
pub fn checks() -> Vec<Check> {
    or_failing(computed())
}

fn computed() -> Computed {
    let parts = [
        twist_beam_table()?,
        twist_beam_roll_centre()?,
        link_table()?,
        leaf_tables()?,
        leaf_roll_rate()?,
        twist_beam_roll_rate()?,
    ];
    Ok(parts.into_iter().flatten().collect())
}

/// Points of one axle by their names, m.
struct Points(HashMap<String, Point>);

impl Points {
    fn of(axle: &str) -> Result<Self, Box<dyn Error>> {
        let mut points = HashMap::new();
        for record in csv::Reader::from_reader(POINTS.as_bytes()).records() {
            let record = record?;
            if &record[0] == axle {
                let number = |k: usize| record[k].parse::<f64>().map(|mm| mm * MM);
                points.insert(record[1].to_string(), [number(2)?, number(3)?, number(4)?]);
            }
        }
        Ok(Self(points))
    }

    fn at(&self, name: &str) -> Result<Point, &'static str> {
        self.0.get(name).copied().ok_or("a hardpoint is missing")
    }

    fn wheel(&self) -> Result<WheelHardpoints, &'static str> {
        let wheel_centre_m = self.at("wheel_centre")?;
        Ok(WheelHardpoints {
            wheel_centre_m,
            design_camber_rad: (-0.5f64).to_radians(),
            design_toe_rad: 0.1f64.to_radians(),
            tyre_radius_m: wheel_centre_m[2],
        })
    }

    fn hangers(&self) -> Result<BeamHangers, &'static str> {
        let bar = match self.at("bar_axis") {
            Ok(bar_axis_m) => Some(BarHardpoints {
                bar_axis_m,
                bar_arm_end_m: self.at("bar_arm_end")?,
                link_lower_m: self.at("link_lower")?,
                drop_link_length_m: None,
            }),
            Err(_) => None,
        };
        Ok(BeamHangers {
            damper_lower_m: self.at("damper_lower")?,
            damper_upper_m: self.at("damper_upper")?,
            bar,
        })
    }
}

fn twist_beam_points() -> Result<TwistBeamHardpoints, Box<dyn Error>> {
    let points = Points::of("twist_beam")?;
    let [shear_x_m, _, shear_z_m] = points.at("shear_centre")?;
    Ok(TwistBeamHardpoints {
        bush_m: points.at("bush")?,
        shear_centre_m: [shear_x_m, shear_z_m],
        spring_seat_lower_m: points.at("spring_seat_lower")?,
        spring_seat_upper_m: points.at("spring_seat_upper")?,
        wheel: points.wheel()?,
        hangers: points.hangers()?,
    })
}

fn twist_beam(points: TwistBeamHardpoints) -> Result<JoinedAxle, Box<dyn Error>> {
    Ok(JoinedAxle::TwistBeam(Box::new(TwistBeam::new(points)?)))
}

fn link_axle() -> Result<JoinedAxle, Box<dyn Error>> {
    let points = Points::of("links")?;
    Ok(JoinedAxle::Links(Box::new(LinkAxle::new(LinkAxleHardpoints {
        lower_link_body_m: points.at("lower_link_body")?,
        lower_link_axle_m: points.at("lower_link_axle")?,
        upper_link_body_m: points.at("upper_link_body")?,
        upper_link_axle_m: points.at("upper_link_axle")?,
        lateral_rod_body_m: points.at("lateral_rod_body")?,
        lateral_rod_axle_m: points.at("lateral_rod_axle")?,
        spring_seat_lower_m: points.at("spring_seat_lower")?,
        spring_seat_upper_m: points.at("spring_seat_upper")?,
        wheel: points.wheel()?,
        hangers: points.hangers()?,
    })?)))
}

fn leaf_axle(fittings: LeafFittings) -> Result<JoinedAxle, Box<dyn Error>> {
    let points = Points::of("leaves")?;
    let points = LeafAxleHardpoints {
        front_eye_m: points.at("front_eye")?,
        seat_m: points.at("seat")?,
        rear_eye_m: points.at("rear_eye")?,
        shackle_pivot_m: points.at("shackle_pivot")?,
        wheel: points.wheel()?,
        hangers: points.hangers()?,
    };
    Ok(JoinedAxle::Leaves(Box::new(LeafAxle::new(points, fittings)?)))
}

/// Largest differences of both wheels from rows of left and right travel and eleven quantities of each.
fn against(case: &Case, name: &str, axle: &JoinedAxle, table: &str) -> Computed {
    let tables = axle.tables(0.1, 0.1)?;
    let (mut length, mut angle, mut roll_centre): (Largest, Largest, Largest) = Default::default();
    let rows = rows(table)?;
    for row in &rows {
        let travels = [(row[0] * MM, row[1] * MM), (row[1] * MM, row[0] * MM)];
        for (side, (table, (own_m, other_m))) in tables.iter().zip(travels).enumerate() {
            let expected = &row[2 + 11 * side..13 + 11 * side];
            let pose = table.pose_in(AxleTravel { own_m, other_m }, TravelMode::Roll);
            length.meet(pose.wheel_centre_m[0] / MM, expected[0]);
            length.meet(pose.wheel_centre_m[1] / MM, expected[1]);
            length.meet(pose.spring_length_m / MM, expected[5]);
            length.meet(pose.damper_length_m / MM, expected[6]);
            roll_centre.meet(known(pose.roll_centre_height_m)? / MM, expected[10]);
            let always = [(pose.camber_rad, 2), (pose.toe_rad, 3), (pose.caster_rad, 4)];
            // what an axle does not have is not a number in the table
            let sometimes = [(pose.arm_angle_rad, 7), (pose.bar_angle_rad, 8), (pose.drop_link_angle_rad, 9)];
            let present = sometimes.into_iter().filter(|&(_, column)| !expected[column].is_nan());
            for (got_rad, column) in always.into_iter().chain(present) {
                angle.meet(known(got_rad)?.to_degrees(), expected[column]);
            }
        }
    }
    let all = |what: &str| {
        format!("{name}: {what}, both wheels, {} pairs of travels, largest difference", rows.len())
    };
    Ok(vec![
        case.check(all("path of the wheel centre, spring and damper length"), "mm", 0.0, length.0, 1e-3),
        case.check(all("camber, toe, caster, arm and bar angles"), "deg", 0.0, angle.0, 5e-5),
        case.check(all("roll centre height"), "mm", 0.0, roll_centre.0, 1e-3),
    ])
}

fn twist_beam_table() -> Computed {
    let case = Case {
        id: "J1, twist beam",
        source: "each arm a free rotation about its bush; common shear centre, wheel heights and equal turns against \
                 the beam by a general-purpose root finder (scipy)",
        mark: "recomputed",
    };
    against(&case, "twist beam", &twist_beam(twist_beam_points()?)?, TWIST_BEAM)
}

fn twist_beam_roll_centre() -> Computed {
    let case = Case {
        id: "J2, roll centre of the twist beam of J1 with upright wheels",
        source: "Reimpell, Stoll and Betzler, The Automotive Chassis, ch. 3.4.3: line from the bush through the shear \
                 centre to the plane of the wheels, from there to the contact point",
        mark: "from memory",
    };
    let mut points = twist_beam_points()?;
    (points.wheel.design_camber_rad, points.wheel.design_toe_rad) = (0.0, 0.0);
    let [bush_x, bush_y, bush_z] = points.bush_m;
    let [wheel_x, wheel_y, _] = points.wheel.wheel_centre_m;
    let [shear_x, shear_z] = points.shear_centre_m;
    let along = (wheel_x - bush_x) / (shear_x - bush_x);
    let (pole_y, pole_z) = (bush_y - along * bush_y, bush_z + along * (shear_z - bush_z));
    let expected_mm = pole_z * wheel_y / (wheel_y - pole_y) / MM;
    let [left, _] = twist_beam(points)?.tables(0.1, 0.1)?;
    let got_mm = known(left.pose_at(0.0).roll_centre_height_m)? / MM;
    Ok(vec![case.check("height above the contact point", "mm", expected_mm, got_mm, 1e-5)])
}

fn link_table() -> Computed {
    let case = Case {
        id: "J3, rigid axle on three trailing links and a lateral rod",
        source: "translation and Euler angles of the axle by a general-purpose root finder (scipy)",
        mark: "recomputed",
    };
    against(&case, "link axle", &link_axle()?, LINK_AXLE)
}

fn leaf_tables() -> Computed {
    let case = Case {
        id: "J4, rigid axle on leaves",
        source: "slope of the leaf integrated along it, shackle by bisection, axle by Euler angles with a \
                 general-purpose root finder (scipy)",
        mark: "recomputed",
    };
    let fittings = LeafFittings { block_m: 0.025, wedge_rad: 2f64.to_radians(), shackle_longer_m: 0.015 };
    let plain = against(&case, "plain", &leaf_axle(LeafFittings::default())?, LEAF_AXLE)?;
    let fitted = against(
        &case,
        "block 25 mm, wedge 2 deg, shackle 15 mm longer",
        &leaf_axle(fittings)?,
        FITTED_LEAF_AXLE,
    )?;
    Ok(plain.into_iter().chain(fitted).collect())
}

pub(crate) const TRACK_M: f64 = 1.72;
const WHEEL_CENTRE_M: Point = [-3.45, 0.5 * TRACK_M, 0.33];
const UPRIGHT_WHEEL: WheelHardpoints = WheelHardpoints {
    wheel_centre_m: WHEEL_CENTRE_M,
    design_camber_rad: 0.0,
    design_toe_rad: 0.0,
    tyre_radius_m: WHEEL_CENTRE_M[2],
};

/// The van of D13 with another rear axle, springs of `rate_n_per_m`, at rest at design.
fn van_on(axle: &JoinedAxle, rate_n_per_m: f64) -> Result<FourCorners, Box<dyn Error>> {
    let mut van = linear_van()?;
    for (corner, table) in van.corners[2..].iter_mut().zip(axle.tables(0.1, 0.1)?) {
        let carried_n = 0.5 * van.sprung.mass_kg * 1.65 / 3.45 * mechanics::GRAVITY_M_PER_S2;
        let spring = table.pose_at(0.0);
        let free_m = spring.spring_length_m + carried_n / spring.spring_motion_ratio / rate_n_per_m;
        corner.spring = SpringStack::single(Spring::linear(rate_n_per_m, free_m, None)?);
        corner.table = Arc::new(table);
        let on_ground_n = carried_n + corner.unsprung_mass_kg * mechanics::GRAVITY_M_PER_S2;
        corner.tyre = Tyre::linear(WHEEL_CENTRE_M[2] + on_ground_n / 280e3, 280e3)?;
    }
    van.bars[REAR] = None;
    Ok(van)
}

/// Moment with which the rear axle answers a roll, per roll of the body over the axle and over the ground, N m/rad.
fn roll_rates(van: &FourCorners) -> Result<[f64; 2], Box<dyn Error>> {
    let rest = van.rest()?;
    let sensitivities = Sensitivities::at(van, &rest);
    let [left, right] = [1.0, -1.0].map(|y_m| sensitivities.response_to(Parameter::MassAt([-2.0, y_m, 1.0])));
    let moved = left.plus(&right, -1.0);
    let moment_nm = 0.5 * TRACK_M * (moved.wheel_load_n[2] - moved.wheel_load_n[3]);
    let over_axle_rad = (moved.travel_m[2] - moved.travel_m[3]) / TRACK_M;
    Ok([moment_nm / over_axle_rad, -moment_nm / moved.roll_rad])
}

/// Flat leaves of 60 N/mm on a base of 1.00 m, tyres of 280 N/mm on a track of 1.72 m.
pub(crate) fn leaf_van() -> Result<FourCorners, Box<dyn Error>> {
    let [x, _, z] = WHEEL_CENTRE_M;
    let (half_base_m, half_leaf_m) = (0.50, 0.65);
    let axle = LeafAxle::new(
        LeafAxleHardpoints {
            front_eye_m: [x + half_leaf_m, half_base_m, z],
            seat_m: [x, half_base_m, z],
            rear_eye_m: [x - half_leaf_m, half_base_m, z],
            shackle_pivot_m: [x - half_leaf_m, half_base_m, z + 0.12],
            wheel: UPRIGHT_WHEEL,
            hangers: BeamHangers {
                damper_lower_m: [x - 0.10, 0.5, z],
                damper_upper_m: [x, 0.4, z + 0.45],
                bar: None,
            },
        },
        LeafFittings::default(),
    )?;
    van_on(&JoinedAxle::Leaves(Box::new(axle)), 60e3)
}

fn leaf_roll_rate() -> Computed {
    let case = Case {
        id: "D12, roll rate of a leaf-sprung solid axle on its linkage",
        source: "Gillespie, Fundamentals of Vehicle Dynamics, ch. 6: spring base, not track; here from the full balance, \
                 the response to a weight moved from one side to the other",
        mark: "recomputed",
    };
    let [springs, with_tyres] = roll_rates(&leaf_van()?)?;
    Ok(vec![
        case.check("springs 60 N/mm on a base of 1.00 m", "N m/rad", 30_000.0, springs, 0.1),
        case.check("with tyres 280 N/mm on 1.72 m in series", "N m/rad", 27_973.8, with_tyres, 0.1),
    ])
}

pub(crate) const BEAM_ARM_M: f64 = 0.45;

/// A twist beam that twists with its arms alone: its shear centre lies on the bush line.
pub(crate) fn trailing_beam_van() -> Result<FourCorners, Box<dyn Error>> {
    let mut points = twist_beam_points()?;
    points.wheel = UPRIGHT_WHEEL;
    points.bush_m = [WHEEL_CENTRE_M[0] + BEAM_ARM_M, 0.58, 0.37];
    points.shear_centre_m = [points.bush_m[0], points.bush_m[2]];
    van_on(&twist_beam(points)?, 60e3)
}

fn twist_beam_roll_rate() -> Computed {
    let case = Case {
        id: "J5, torsion of a twist beam with its shear centre on the bush line",
        source: "virtual work: the beam twists by the roll times track over arm, K (T / L)²",
        mark: "recomputed",
    };
    let mut van = trailing_beam_van()?;
    let [without, _] = roll_rates(&van)?;
    van.bars[REAR] = Some(FittedBar::ThroughLinks(AntiRollBar { rate_nm_per_rad: 3_000.0 }));
    let [with, _] = roll_rates(&van)?;
    let expected = 3_000.0 * (TRACK_M / BEAM_ARM_M).powi(2);
    Ok(vec![case.check("beam of 3000 N m/rad, arm 450 mm", "N m/rad", expected, with - without, 0.1)])
}
