//! The joined axles of the reference tables. All points invented.

use std::collections::HashMap;

use mechanics::linkage::*;

/// Points of one axle by their names, m.
struct Points(HashMap<String, Point>);

impl Points {
    fn of(axle: &str) -> Self {
        let text = include_str!("../reference/joined_axles_hardpoints.csv");
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let records = reader.records().map(Result::unwrap).filter(|record| &record[0] == axle);
        let point = |record: &csv::StringRecord| [2, 3, 4].map(|k| record[k].parse::<f64>().unwrap() * 1e-3);
        Self(records.map(|record| (record[1].to_string(), point(&record))).collect())
    }

    fn at(&self, name: &str) -> Point {
        self.0[name]
    }

    /// The wheel touches the ground of the drawing.
    fn wheel(&self) -> WheelHardpoints {
        WheelHardpoints {
            wheel_centre_m: self.at("wheel_centre"),
            design_camber_rad: (-0.5f64).to_radians(),
            design_toe_rad: 0.1f64.to_radians(),
            tyre_radius_m: self.at("wheel_centre")[2],
        }
    }

    fn hangers(&self) -> BeamHangers {
        BeamHangers {
            damper_lower_m: self.at("damper_lower"),
            damper_upper_m: self.at("damper_upper"),
            bar: self.0.contains_key("bar_axis").then(|| BarHardpoints {
                bar_axis_m: self.at("bar_axis"),
                bar_arm_end_m: self.at("bar_arm_end"),
                link_lower_m: self.at("link_lower"),
                drop_link_length_m: None,
            }),
        }
    }
}

pub(crate) fn leaf_points() -> LeafAxleHardpoints {
    let points = Points::of("leaves");
    LeafAxleHardpoints {
        front_eye_m: points.at("front_eye"),
        seat_m: points.at("seat"),
        rear_eye_m: points.at("rear_eye"),
        shackle_pivot_m: points.at("shackle_pivot"),
        wheel: points.wheel(),
        hangers: points.hangers(),
    }
}

pub(crate) fn twist_beam_points() -> TwistBeamHardpoints {
    let points = Points::of("twist_beam");
    let [x_m, _, z_m] = points.at("shear_centre");
    TwistBeamHardpoints {
        bush_m: points.at("bush"),
        shear_centre_m: [x_m, z_m],
        spring_seat_lower_m: points.at("spring_seat_lower"),
        spring_seat_upper_m: points.at("spring_seat_upper"),
        wheel: points.wheel(),
        hangers: points.hangers(),
    }
}

pub(crate) fn link_points() -> LinkAxleHardpoints {
    let points = Points::of("links");
    LinkAxleHardpoints {
        lower_link_body_m: points.at("lower_link_body"),
        lower_link_axle_m: points.at("lower_link_axle"),
        upper_link_body_m: points.at("upper_link_body"),
        upper_link_axle_m: points.at("upper_link_axle"),
        lateral_rod_body_m: points.at("lateral_rod_body"),
        lateral_rod_axle_m: points.at("lateral_rod_axle"),
        spring_seat_lower_m: points.at("spring_seat_lower"),
        spring_seat_upper_m: points.at("spring_seat_upper"),
        wheel: points.wheel(),
        hangers: points.hangers(),
    }
}

pub(crate) fn leaf_axle(points: LeafAxleHardpoints, fittings: LeafFittings) -> JoinedAxle {
    JoinedAxle::Leaves(Box::new(LeafAxle::new(points, fittings).unwrap()))
}

pub(crate) fn twist_beam(points: TwistBeamHardpoints) -> JoinedAxle {
    JoinedAxle::TwistBeam(Box::new(TwistBeam::new(points).unwrap()))
}

pub(crate) fn link_axle(points: LinkAxleHardpoints) -> JoinedAxle {
    JoinedAxle::Links(Box::new(LinkAxle::new(points).unwrap()))
}

/// Leaves flat at design, halves alike, shackles upright, the axle at the height of its seats.
pub(crate) fn flat_leaf_points(
    wheel_centre_m: Point,
    half_base_m: f64,
    half_leaf_m: f64,
) -> LeafAxleHardpoints {
    let [x, _, z] = wheel_centre_m;
    LeafAxleHardpoints {
        front_eye_m: [x + half_leaf_m, half_base_m, z],
        seat_m: [x, half_base_m, z],
        rear_eye_m: [x - half_leaf_m, half_base_m, z],
        shackle_pivot_m: [x - half_leaf_m, half_base_m, z + 0.12],
        wheel: WheelHardpoints {
            wheel_centre_m,
            design_camber_rad: 0.0,
            design_toe_rad: 0.0,
            tyre_radius_m: z,
        },
        hangers: BeamHangers {
            damper_lower_m: [x - 0.10, half_base_m, z],
            damper_upper_m: [x, half_base_m - 0.10, z + 0.45],
            bar: None,
        },
    }
}
