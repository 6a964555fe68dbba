//! How a vehicle sheet describes the guidance of a wheel: hardpoints, or what a tape measure tells.
//!
//! Points are those of the left side in body axes, mm, at design height.

use mechanics::linkage::{WishboneArm, WishbonePart};

use crate::document::{Fields, Order, Range, range};

/// Where a point of a van may lie, mm.
pub(crate) const POINT_MM: Range = range(-8000.0, 4000.0);

/// How a wheel is guided.
#[derive(Debug, Clone, PartialEq)]
pub enum LinkageSheet {
    /// Strut with lower arm and tie rod.
    Strut(StrutSheet),
    /// Semi-trailing (or trailing, or swing) arm.
    SemiTrailingArm(SemiTrailingArmSheet),
    /// Double wishbones with tie rod.
    DoubleWishbone(DoubleWishboneSheet),
    /// Rigid axle on leaf springs.
    LeafAxle(LeafAxleSheet),
    /// Twist beam on coil springs.
    TwistBeam(TwistBeamSheet),
    /// Rigid axle on links and coil springs.
    LinkAxle(LinkAxleSheet),
    /// No hardpoints: ratios and lengths taken with a tape measure and a jack.
    TapeMeasure(TapeMeasureSheet),
}

/// Wheel at design height.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelSheet {
    /// Wheel centre.
    pub wheel_centre_mm: [f64; 3],
    /// Camber at design height, top in negative, degrees.
    pub camber_deg: f64,
    /// Toe at design height, toe-in positive, degrees.
    pub toe_deg: f64,
}

/// Hardpoints of a strut.
#[derive(Debug, Clone, PartialEq)]
pub struct StrutSheet {
    /// Wheel.
    pub wheel: WheelSheet,
    /// Front inner pivot of the lower arm.
    pub arm_inner_front_mm: [f64; 3],
    /// Rear inner pivot of the lower arm.
    pub arm_inner_rear_mm: [f64; 3],
    /// Ball joint at the outer end of the lower arm.
    pub lower_ball_joint_mm: [f64; 3],
    /// Centre of the strut's top mount.
    pub strut_top_mm: [f64; 3],
    /// A point of the strut's axis near the knuckle.
    pub strut_axis_point_mm: [f64; 3],
    /// Lower spring seat.
    pub spring_seat_lower_mm: [f64; 3],
    /// Upper spring seat.
    pub spring_seat_upper_mm: [f64; 3],
    /// Inner joint of the tie rod.
    pub tie_rod_inner_mm: [f64; 3],
    /// Outer joint of the tie rod.
    pub tie_rod_outer_mm: [f64; 3],
    /// Inner driveshaft joint.
    pub driveshaft_inner_mm: Option<[f64; 3]>,
}

/// Hardpoints of a semi-trailing arm.
#[derive(Debug, Clone, PartialEq)]
pub struct SemiTrailingArmSheet {
    /// Wheel.
    pub wheel: WheelSheet,
    /// Inner pivot.
    pub pivot_inner_mm: [f64; 3],
    /// Outer pivot.
    pub pivot_outer_mm: [f64; 3],
    /// Spring seat on the arm.
    pub spring_seat_lower_mm: [f64; 3],
    /// Spring seat on the body.
    pub spring_seat_upper_mm: [f64; 3],
    /// Damper eye on the arm.
    pub damper_lower_mm: [f64; 3],
    /// Damper eye on the body.
    pub damper_upper_mm: [f64; 3],
    /// Inner driveshaft joint.
    pub driveshaft_inner_mm: Option<[f64; 3]>,
}

/// What a tape measure and a jack tell of an axle.
#[derive(Debug, Clone, PartialEq)]
pub struct TapeMeasureSheet {
    /// Wheel centre at design height.
    pub wheel_centre_mm: [f64; 3],
    /// Arm from its pivot to the wheel centre, where measured.
    pub arm: Option<ArmSheet>,
    /// Spring travel per wheel travel.
    pub spring_ratio: RatioSheet,
    /// Damper travel per wheel travel.
    pub damper_ratio: RatioSheet,
    /// Distance between the spring seats at design height, mm.
    pub spring_length_at_design_mm: f64,
    /// Damper length, eye to eye, at design height, mm.
    pub damper_length_at_design_mm: f64,
}

/// A measured arm.
#[derive(Debug, Clone, PartialEq)]
pub struct ArmSheet {
    /// Pivot to wheel centre, mm.
    pub length_mm: f64,
    /// Fall of the arm from pivot to wheel centre at design height, degrees below the horizontal.
    pub angle_deg: f64,
    /// Whether it trails behind its pivot (or reaches across).
    pub trailing: bool,
}

/// A measured motion ratio.
#[derive(Debug, Clone, PartialEq)]
pub enum RatioSheet {
    /// The same over all travel.
    Constant(f64),
    /// Pairs of wheel travel (mm, bump positive) and ratio.
    Table(Vec<[f64; 2]>),
    /// Spring on the measured arm: distance from the pivot (mm) and lean from the perpendicular to the arm (degrees).
    OnArm {
        /// Distance from the arm's pivot, mm.
        distance_from_pivot_mm: f64,
        /// Lean from the perpendicular, degrees.
        lean_deg: f64,
    },
}

/// Hardpoints of double wishbones.
#[derive(Debug, Clone, PartialEq)]
pub struct DoubleWishboneSheet {
    /// Wheel.
    pub wheel: WheelSheet,
    /// Front inner pivot of the lower arm.
    pub lower_inner_front_mm: [f64; 3],
    /// Rear inner pivot of the lower arm.
    pub lower_inner_rear_mm: [f64; 3],
    /// Ball joint of the lower arm.
    pub lower_ball_joint_mm: [f64; 3],
    /// Front inner pivot of the upper arm.
    pub upper_inner_front_mm: [f64; 3],
    /// Rear inner pivot of the upper arm.
    pub upper_inner_rear_mm: [f64; 3],
    /// Ball joint of the upper arm.
    pub upper_ball_joint_mm: [f64; 3],
    /// Inner joint of the tie rod.
    pub tie_rod_inner_mm: [f64; 3],
    /// Outer joint of the tie rod.
    pub tie_rod_outer_mm: [f64; 3],
    /// Spring.
    pub spring: WishboneSpringSheet,
    /// Lower damper joint.
    pub damper_lower_mm: [f64; 3],
    /// The part that carries it.
    pub damper_lower_on: WishbonePart,
    /// Damper eye on the body.
    pub damper_upper_mm: [f64; 3],
    /// Inner driveshaft joint.
    pub driveshaft_inner_mm: Option<[f64; 3]>,
}

/// Spring of double wishbones.
#[derive(Debug, Clone, PartialEq)]
pub enum WishboneSpringSheet {
    /// Coil spring.
    Coil {
        /// Lower seat.
        seat_lower_mm: [f64; 3],
        /// The part that carries it.
        seat_lower_on: WishbonePart,
        /// Upper seat, on the body.
        seat_upper_mm: [f64; 3],
    },
    /// Torsion bar along the inner axis of an arm.
    TorsionBar {
        /// The arm.
        arm: WishboneArm,
        /// Length of the anchor's arm from the bar to its adjusting bolt, mm.
        anchor_arm_mm: f64,
    },
}

/// Hardpoints of a rigid axle on leaf springs, left side. All points of the leaf lie in one plane along the van.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafAxleSheet {
    /// Wheel.
    pub wheel: WheelSheet,
    /// Front eye of the main leaf, on the body.
    pub front_eye_mm: [f64; 3],
    /// Middle of the main leaf, where it is clamped to the axle.
    pub seat_mm: [f64; 3],
    /// Rear eye of the main leaf.
    pub rear_eye_mm: [f64; 3],
    /// Upper end of the shackle, on the body.
    pub shackle_pivot_mm: [f64; 3],
    /// Damper eye on the axle.
    pub damper_lower_mm: [f64; 3],
    /// Damper eye on the body.
    pub damper_upper_mm: [f64; 3],
}

/// Hardpoints of a twist beam, left side.
#[derive(Debug, Clone, PartialEq)]
pub struct TwistBeamSheet {
    /// Wheel.
    pub wheel: WheelSheet,
    /// Centre of the arm's bush on the body.
    pub bush_mm: [f64; 3],
    /// Shear centre of the cross-beam in the centre plane, fore and aft.
    pub shear_centre_x_mm: f64,
    /// Its height.
    pub shear_centre_z_mm: f64,
    /// Rate of the cross-beam, a bar inside it included, between the turns of its two arms, N m per degree.
    pub torsional_rate_nm_per_deg: f64,
    /// Spring seat on the arm.
    pub spring_seat_lower_mm: [f64; 3],
    /// Spring seat on the body.
    pub spring_seat_upper_mm: [f64; 3],
    /// Damper eye on the arm.
    pub damper_lower_mm: [f64; 3],
    /// Damper eye on the body.
    pub damper_upper_mm: [f64; 3],
}

/// Hardpoints of a rigid axle on two lower links, one upper link and a lateral rod.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkAxleSheet {
    /// Lower link on the body, left side.
    pub lower_link_body_mm: [f64; 3],
    /// Lower link on the axle, left side.
    pub lower_link_axle_mm: [f64; 3],
    /// The one upper link on the body.
    pub upper_link_body_mm: [f64; 3],
    /// The one upper link on the axle.
    pub upper_link_axle_mm: [f64; 3],
    /// Lateral rod on the body.
    pub lateral_rod_body_mm: [f64; 3],
    /// Lateral rod on the axle.
    pub lateral_rod_axle_mm: [f64; 3],
    /// Spring seat on the axle, left side.
    pub spring_seat_lower_mm: [f64; 3],
    /// Spring seat on the body, left side.
    pub spring_seat_upper_mm: [f64; 3],
    /// Damper eye on the axle, left side.
    pub damper_lower_mm: [f64; 3],
    /// Damper eye on the body, left side.
    pub damper_upper_mm: [f64; 3],
    /// Wheel.
    pub wheel: WheelSheet,
}

impl LinkageSheet {
    /// Reads a linkage.
    pub fn read(f: &mut Fields) -> Self {
        f.variant(
            "kind",
            "How the wheel is guided",
            &[
                ("strut", &|f| Self::Strut(StrutSheet::read(f))),
                ("semi_trailing_arm", &|f| Self::SemiTrailingArm(SemiTrailingArmSheet::read(f))),
                ("double_wishbone", &|f| Self::DoubleWishbone(DoubleWishboneSheet::read(f))),
                ("leaf_axle", &|f| Self::LeafAxle(LeafAxleSheet::read(f))),
                ("twist_beam", &|f| Self::TwistBeam(TwistBeamSheet::read(f))),
                ("link_axle", &|f| Self::LinkAxle(LinkAxleSheet::read(f))),
                ("tape_measure", &|f| Self::TapeMeasure(TapeMeasureSheet::read(f))),
            ],
        )
    }

    /// The arm on whose axis a torsion bar lies, and the length of its anchor's arm, mm.
    pub fn torsion_bar(&self) -> Option<(WishboneArm, f64)> {
        match self {
            Self::DoubleWishbone(DoubleWishboneSheet {
                spring: WishboneSpringSheet::TorsionBar { arm, anchor_arm_mm },
                ..
            }) => Some((*arm, *anchor_arm_mm)),
            _ => None,
        }
    }

    /// Whether the spring cannot leave its place at full rebound: leaves hang in their eyes, torsion bars in their arm.
    pub fn holds_its_spring(&self) -> bool {
        matches!(self, Self::LeafAxle(_)) || self.torsion_bar().is_some()
    }

    /// Whether one beam carries both wheels.
    pub fn is_joined(&self) -> bool {
        matches!(self, Self::LeafAxle(_) | Self::TwistBeam(_) | Self::LinkAxle(_))
    }

    /// Wheel centre at design height, left side, mm.
    pub fn wheel_centre_mm(&self) -> [f64; 3] {
        match self {
            Self::Strut(sheet) => sheet.wheel.wheel_centre_mm,
            Self::SemiTrailingArm(sheet) => sheet.wheel.wheel_centre_mm,
            Self::DoubleWishbone(sheet) => sheet.wheel.wheel_centre_mm,
            Self::LeafAxle(sheet) => sheet.wheel.wheel_centre_mm,
            Self::TwistBeam(sheet) => sheet.wheel.wheel_centre_mm,
            Self::LinkAxle(sheet) => sheet.wheel.wheel_centre_mm,
            Self::TapeMeasure(sheet) => sheet.wheel_centre_mm,
        }
    }
}

impl WheelSheet {
    fn read(f: &mut Fields) -> Self {
        Self {
            wheel_centre_mm: wheel_centre(f),
            camber_deg: f.number_or("camber_deg", range(-5.0, 5.0), 0.0, "Camber at design height"),
            toe_deg: f.number_or("toe_deg", range(-3.0, 3.0), 0.0, "Toe-in at design height"),
        }
    }
}

fn wheel_centre(f: &mut Fields) -> [f64; 3] {
    f.point3("wheel_centre_mm", POINT_MM, "Wheel centre at design height, left side")
}

impl StrutSheet {
    fn read(f: &mut Fields) -> Self {
        let mut point = |name, doc| f.point3(name, POINT_MM, doc);
        let arm_inner_front_mm = point("arm_inner_front_mm", "Front inner pivot of the lower arm");
        let arm_inner_rear_mm = point("arm_inner_rear_mm", "Rear inner pivot of the lower arm");
        let lower_ball_joint_mm =
            point("lower_ball_joint_mm", "Ball joint at the outer end of the lower arm");
        let strut_top_mm = point("strut_top_mm", "Centre of the strut's top mount");
        let strut_axis_point_mm =
            point("strut_axis_point_mm", "A point of the strut's axis near the knuckle");
        let spring_seat_lower_mm = point("spring_seat_lower_mm", "Lower spring seat");
        let spring_seat_upper_mm = point("spring_seat_upper_mm", "Upper spring seat");
        let tie_rod_inner_mm = point("tie_rod_inner_mm", "Inner joint of the tie rod");
        let tie_rod_outer_mm = point("tie_rod_outer_mm", "Outer joint of the tie rod");
        Self {
            wheel: WheelSheet::read(f),
            arm_inner_front_mm,
            arm_inner_rear_mm,
            lower_ball_joint_mm,
            strut_top_mm,
            strut_axis_point_mm,
            spring_seat_lower_mm,
            spring_seat_upper_mm,
            tie_rod_inner_mm,
            tie_rod_outer_mm,
            driveshaft_inner_mm: driveshaft(f),
        }
    }
}

fn driveshaft(f: &mut Fields) -> Option<[f64; 3]> {
    f.optional_point3("driveshaft_inner_mm", POINT_MM, "Inner driveshaft joint, on a driven axle")
}

impl SemiTrailingArmSheet {
    fn read(f: &mut Fields) -> Self {
        let mut point = |name, doc| f.point3(name, POINT_MM, doc);
        let pivot_inner_mm = point("pivot_inner_mm", "Inner pivot of the arm");
        let pivot_outer_mm = point("pivot_outer_mm", "Outer pivot of the arm");
        let spring_seat_lower_mm = point("spring_seat_lower_mm", "Spring seat on the arm");
        let spring_seat_upper_mm = point("spring_seat_upper_mm", "Spring seat on the body");
        let damper_lower_mm = point("damper_lower_mm", "Damper eye on the arm");
        let damper_upper_mm = point("damper_upper_mm", "Damper eye on the body");
        Self {
            wheel: WheelSheet::read(f),
            pivot_inner_mm,
            pivot_outer_mm,
            spring_seat_lower_mm,
            spring_seat_upper_mm,
            damper_lower_mm,
            damper_upper_mm,
            driveshaft_inner_mm: driveshaft(f),
        }
    }
}

impl TapeMeasureSheet {
    fn read(f: &mut Fields) -> Self {
        let sheet = Self {
            wheel_centre_mm: wheel_centre(f),
            arm: f.optional_table("arm", "Arm from its pivot to the wheel centre", ArmSheet::read),
            spring_ratio: f.table("spring_ratio", "Spring travel per wheel travel", RatioSheet::read),
            damper_ratio: f.table("damper_ratio", "Damper travel per wheel travel", RatioSheet::read),
            spring_length_at_design_mm: f.number(
                "spring_length_at_design_mm",
                range(50.0, 900.0),
                "Distance between the spring seats at design height",
            ),
            damper_length_at_design_mm: f.number(
                "damper_length_at_design_mm",
                range(100.0, 1200.0),
                "Damper length at design height",
            ),
        };
        for (field, ratio) in [("spring_ratio", &sheet.spring_ratio), ("damper_ratio", &sheet.damper_ratio)] {
            if matches!(ratio, RatioSheet::OnArm { .. }) && sheet.arm.is_none() && f.is_sound() {
                f.fault_at(
                    field,
                    "a spring or damper placed on the arm, but no arm",
                    "a table [arm] beside it",
                );
            }
        }
        sheet
    }
}

impl ArmSheet {
    fn read(f: &mut Fields) -> Self {
        Self {
            length_mm: f.number("length_mm", range(100.0, 1500.0), "Pivot to wheel centre"),
            angle_deg: f.number(
                "angle_deg",
                range(-45.0, 45.0),
                "Fall of the arm from pivot to wheel centre",
            ),
            trailing: f.choice(
                "lies",
                &[("trailing", true), ("across", false)],
                "Whether the arm trails behind its pivot or reaches across the van",
            ),
        }
    }
}

impl RatioSheet {
    fn read(f: &mut Fields) -> Self {
        const RATIO: Range = range(0.05, 3.0);
        f.variant(
            "measured",
            "How the ratio was taken",
            &[
                ("constant", &|f| Self::Constant(f.number("ratio", RATIO, "The same over all travel"))),
                ("table", &|f| {
                    let columns = [("travel_mm", range(-250.0, 250.0)), ("ratio", RATIO)];
                    Self::Table(f.pairs("rows", columns, 2, Order::Rising, "Wheel travel and ratio"))
                }),
                ("on_arm", &|f| Self::OnArm {
                    distance_from_pivot_mm: f.number(
                        "distance_from_pivot_mm",
                        range(20.0, 1500.0),
                        "Distance of the lower end from the arm's pivot",
                    ),
                    lean_deg: f.number(
                        "lean_deg",
                        range(-80.0, 80.0),
                        "Lean from the perpendicular to the arm",
                    ),
                }),
            ],
        )
    }
}

impl DoubleWishboneSheet {
    fn read(f: &mut Fields) -> Self {
        let mut point = |name, doc| f.point3(name, POINT_MM, doc);
        let lower_inner_front_mm = point("lower_inner_front_mm", "Front inner pivot of the lower arm");
        let lower_inner_rear_mm = point("lower_inner_rear_mm", "Rear inner pivot of the lower arm");
        let lower_ball_joint_mm = point("lower_ball_joint_mm", "Ball joint of the lower arm");
        let upper_inner_front_mm = point("upper_inner_front_mm", "Front inner pivot of the upper arm");
        let upper_inner_rear_mm = point("upper_inner_rear_mm", "Rear inner pivot of the upper arm");
        let upper_ball_joint_mm = point("upper_ball_joint_mm", "Ball joint of the upper arm");
        let tie_rod_inner_mm = point("tie_rod_inner_mm", "Inner joint of the tie rod, or of a rear toe link");
        let tie_rod_outer_mm = point("tie_rod_outer_mm", "Outer joint of the tie rod");
        let damper_lower_mm = point("damper_lower_mm", "Lower damper joint");
        let damper_upper_mm = point("damper_upper_mm", "Damper eye on the body");
        Self {
            wheel: WheelSheet::read(f),
            lower_inner_front_mm,
            lower_inner_rear_mm,
            lower_ball_joint_mm,
            upper_inner_front_mm,
            upper_inner_rear_mm,
            upper_ball_joint_mm,
            tie_rod_inner_mm,
            tie_rod_outer_mm,
            spring: f.table("spring", "Spring", WishboneSpringSheet::read),
            damper_lower_mm,
            damper_lower_on: f.choice(
                "damper_lower_on",
                &WISHBONE_PARTS,
                "The part that carries damper_lower",
            ),
            damper_upper_mm,
            driveshaft_inner_mm: driveshaft(f),
        }
    }
}

const WISHBONE_PARTS: [(&str, WishbonePart); 3] = [
    ("lower_arm", WishbonePart::Arm(WishboneArm::Lower)),
    ("upper_arm", WishbonePart::Arm(WishboneArm::Upper)),
    ("knuckle", WishbonePart::Knuckle),
];

impl WishboneSpringSheet {
    fn read(f: &mut Fields) -> Self {
        f.variant(
            "kind",
            "Kind of spring",
            &[
                ("coil", &|f| Self::Coil {
                    seat_lower_mm: f.point3("seat_lower_mm", POINT_MM, "Lower spring seat"),
                    seat_lower_on: f.choice(
                        "seat_lower_on",
                        &WISHBONE_PARTS,
                        "The part that carries seat_lower",
                    ),
                    seat_upper_mm: f.point3("seat_upper_mm", POINT_MM, "Spring seat on the body"),
                }),
                ("torsion_bar", &|f| Self::TorsionBar {
                    arm: f.choice(
                        "arm",
                        &[("lower", WishboneArm::Lower), ("upper", WishboneArm::Upper)],
                        "The arm on whose inner axis the bar lies",
                    ),
                    anchor_arm_mm: f.number(
                        "anchor_arm_mm",
                        range(20.0, 400.0),
                        "Length of the anchor's arm from the bar to its adjusting bolt",
                    ),
                }),
            ],
        )
    }
}

impl LeafAxleSheet {
    fn read(f: &mut Fields) -> Self {
        let mut point = |name, doc| f.point3(name, POINT_MM, doc);
        let front_eye_mm = point("front_eye_mm", "Front eye of the main leaf, on the body");
        let seat_mm = point("seat_mm", "Middle of the main leaf, where it is clamped to the axle");
        let rear_eye_mm = point("rear_eye_mm", "Rear eye of the main leaf");
        let shackle_pivot_mm = point("shackle_pivot_mm", "Upper end of the shackle, on the body");
        let damper_lower_mm = point("damper_lower_mm", "Damper eye on the axle");
        let damper_upper_mm = point("damper_upper_mm", "Damper eye on the body");
        Self {
            wheel: WheelSheet::read(f),
            front_eye_mm,
            seat_mm,
            rear_eye_mm,
            shackle_pivot_mm,
            damper_lower_mm,
            damper_upper_mm,
        }
    }
}

impl TwistBeamSheet {
    fn read(f: &mut Fields) -> Self {
        let mut point = |name, doc| f.point3(name, POINT_MM, doc);
        let bush_mm = point("bush_mm", "Centre of the arm's bush on the body");
        let spring_seat_lower_mm = point("spring_seat_lower_mm", "Spring seat on the arm");
        let spring_seat_upper_mm = point("spring_seat_upper_mm", "Spring seat on the body");
        let damper_lower_mm = point("damper_lower_mm", "Damper eye on the arm");
        let damper_upper_mm = point("damper_upper_mm", "Damper eye on the body");
        Self {
            wheel: WheelSheet::read(f),
            bush_mm,
            shear_centre_x_mm: f.number(
                "shear_centre_x_mm",
                POINT_MM,
                "Shear centre of the cross-beam in the centre plane, fore and aft",
            ),
            shear_centre_z_mm: f.number("shear_centre_z_mm", POINT_MM, "Its height"),
            torsional_rate_nm_per_deg: f.number(
                "torsional_rate_nm_per_deg",
                range(1.0, 5000.0),
                "Rate of the cross-beam, a bar inside it included, between the turns of its two arms",
            ),
            spring_seat_lower_mm,
            spring_seat_upper_mm,
            damper_lower_mm,
            damper_upper_mm,
        }
    }
}

impl LinkAxleSheet {
    fn read(f: &mut Fields) -> Self {
        let mut point = |name, doc| f.point3(name, POINT_MM, doc);
        Self {
            lower_link_body_mm: point("lower_link_body_mm", "Lower link on the body, left side"),
            lower_link_axle_mm: point("lower_link_axle_mm", "Lower link on the axle, left side"),
            upper_link_body_mm: point("upper_link_body_mm", "The one upper link on the body"),
            upper_link_axle_mm: point("upper_link_axle_mm", "The one upper link on the axle"),
            lateral_rod_body_mm: point("lateral_rod_body_mm", "Lateral rod on the body"),
            lateral_rod_axle_mm: point("lateral_rod_axle_mm", "Lateral rod on the axle"),
            spring_seat_lower_mm: point("spring_seat_lower_mm", "Spring seat on the axle"),
            spring_seat_upper_mm: point("spring_seat_upper_mm", "Spring seat on the body"),
            damper_lower_mm: point("damper_lower_mm", "Damper eye on the axle"),
            damper_upper_mm: point("damper_upper_mm", "Damper eye on the body"),
            wheel: WheelSheet::read(f),
        }
    }
}
