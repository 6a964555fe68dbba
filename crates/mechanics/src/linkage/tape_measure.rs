//! A corner known only by tape measure and jack.
//!
//! Gives spring and damper length over travel from measured motion ratios or from the place of the spring on the arm.
//! What needs hardpoints (camber, toe, roll centre) stays unknown.

use super::hardpoints::{HardpointError, Point, check_length, check_points};
use super::pose::Motion;
use super::reach::{LinkageLocks, LockReason, Reach, ReachEnd, SEARCHED_TRAVEL_M};
use crate::curve::{Local, MonotoneCurve};
use crate::geometry::Scalar;

/// Which way the arm that carries the wheel points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ArmKind {
    /// Rearward from its pivot: the wheel centre swings with it in side view.
    Trailing,
    /// Outboard from its pivot: the wheel rises as the arm end does; its sideways path is not known.
    Transverse,
}

/// The arm that carries the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArmMeasure {
    /// From the pivot to the wheel centre (trailing) or the ball joint (transverse), m.
    pub length_m: f64,
    /// Rise of that line from level at design, positive with the arm end above the pivot, rad; within ±1.4.
    pub angle_at_design_rad: f64,
    /// Which way it points.
    pub kind: ArmKind,
}

/// How the spring or damper follows the wheel.
#[derive(Debug, Clone, PartialEq)]
pub enum MeasuredRatio {
    /// The same motion ratio (shortening per wheel travel) at every travel, above 0 and up to 5.
    Constant(f64),
    /// Motion ratios measured at 2 to 8 travels: (travel in m, ratio).
    Table(Vec<(f64, f64)>),
    /// Its lower end stands on the arm, its upper end in the body above.
    SpringOnArm {
        /// From the arm's pivot to the lower end, along the arm, m.
        distance_from_pivot_m: f64,
        /// Lean of the spring at design from the perpendicular to the arm, positive with its top towards the pivot,
        /// rad; within ±1.4.
        lean_from_perpendicular_rad: f64,
    },
}

/// What the tape measure gave for one axle's left corner.
#[derive(Debug, Clone, PartialEq)]
pub struct TapeMeasureAxle {
    /// Wheel centre at design.
    pub wheel_centre_m: Point,
    /// Radius from the wheel centre to the ground, m.
    pub tyre_radius_m: f64,
    /// The arm, where it was measured.
    pub arm: Option<ArmMeasure>,
    /// How the spring follows the wheel.
    pub spring_ratio: MeasuredRatio,
    /// How the damper follows the wheel.
    pub damper_ratio: MeasuredRatio,
    /// Spring length at design, m.
    pub spring_length_at_design_m: f64,
    /// Damper length at design, m.
    pub damper_length_at_design_m: f64,
}

/// A tape-measured corner, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct TapeMeasure {
    measures: TapeMeasureAxle,
    spring: Follower,
    damper: Follower,
    reach: Reach,
}

/// Length of a spring or damper over travel.
#[derive(Debug, Clone, PartialEq)]
enum Follower {
    Constant {
        design_m: f64,
        ratio: f64,
    },
    Measured {
        design_m: f64,
        ratio: MonotoneCurve,
        travels_m: Vec<f64>,
    },
    /// Planar, seen along the arm's axis with the arm along the first direction at design: the lower end at
    /// (`foot_m`, 0), the upper end fixed in the body.
    OnArm {
        foot_m: f64,
        upper_m: [f64; 2],
    },
}

impl TapeMeasure {
    /// Checks the measures.
    ///
    /// # Errors
    /// When a length, angle or ratio is missing or absurd, or a spring stands on an arm that is not given.
    pub fn new(measures: TapeMeasureAxle) -> Result<Self, HardpointError> {
        check_points(&[("wheel_centre", measures.wheel_centre_m)])?;
        check_length("tyre_radius", measures.tyre_radius_m)?;
        check_length("spring_length_at_design", measures.spring_length_at_design_m)?;
        check_length("damper_length_at_design", measures.damper_length_at_design_m)?;
        if let Some(arm) = measures.arm {
            check_length("arm length", arm.length_m)?;
            check_angle("arm angle", arm.angle_at_design_rad)?;
        }
        let has_arm = measures.arm.is_some();
        let spring_m = measures.spring_length_at_design_m;
        let spring = Follower::new("spring", &measures.spring_ratio, spring_m, has_arm)?;
        let damper_m = measures.damper_length_at_design_m;
        let damper = Follower::new("damper", &measures.damper_ratio, damper_m, has_arm)?;
        let reach = measures.arm.as_ref().map_or(Reach::SEARCHED, arm_reach);
        Ok(Self { measures, spring, damper, reach })
    }

    /// The measures it was built from.
    pub fn measures(&self) -> &TapeMeasureAxle {
        &self.measures
    }

    /// How far it can travel, and what ends each side.
    pub fn reach(&self) -> Reach {
        self.reach
    }

    pub(super) fn motion(&self, travel_m: f64) -> Result<Motion, LinkageLocks> {
        self.reach.check(travel_m)?;
        let indefinite = LinkageLocks { travel_m, reason: LockReason::Indefinite };
        let arm_angle = self.measures.arm.map(|arm| arm_angle(&arm, travel_m));
        let [design_x_m, design_y_m, _] = self.measures.wheel_centre_m;
        let wheel_centre_x_m = match (self.measures.arm, arm_angle) {
            (Some(arm), Some(angle)) if arm.kind == ArmKind::Trailing => {
                let reach_back = ((angle + arm.angle_at_design_rad).sin_cos().1
                    - arm.angle_at_design_rad.cos())
                    * arm.length_m;
                -reach_back + design_x_m
            }
            _ => still(design_x_m),
        };
        let motion = Motion {
            travel_m,
            wheel_centre_x_m,
            wheel_centre_y_m: still(design_y_m),
            spring_length_m: self.spring.length(travel_m, arm_angle),
            damper_length_m: self.damper.length(travel_m, arm_angle),
            arm_angle_rad: arm_angle,
            bar_angle_rad: None,
            drop_link_angle_rad: None,
            camber_rad: None,
            toe_rad: None,
            caster_rad: None,
            kingpin_inclination_rad: None,
            scrub_radius_m: None,
            mechanical_trail_m: None,
            half_track_change_m: None,
            roll_centre_height_m: None,
        };
        if motion.is_definite() { Ok(motion) } else { Err(indefinite) }
    }
}

impl Follower {
    fn new(
        name: &'static str,
        ratio: &MeasuredRatio,
        design_m: f64,
        has_arm: bool,
    ) -> Result<Self, HardpointError> {
        const LARGEST_RATIO: f64 = 5.0;
        let plausible = |ratio: f64| ratio > 0.0 && ratio <= LARGEST_RATIO;
        match *ratio {
            MeasuredRatio::Constant(ratio) if plausible(ratio) => Ok(Self::Constant { design_m, ratio }),
            MeasuredRatio::Constant(_) => Err(HardpointError::Ratio { name }),
            MeasuredRatio::Table(ref points) => {
                let in_range = (2..=8).contains(&points.len()) && points.iter().all(|&(_, r)| plausible(r));
                let curve = MonotoneCurve::through(points).filter(|_| in_range);
                let ratio = curve.ok_or(HardpointError::Ratio { name })?;
                Ok(Self::Measured { design_m, ratio, travels_m: points.iter().map(|p| p.0).collect() })
            }
            MeasuredRatio::SpringOnArm { .. } if !has_arm => Err(HardpointError::ArmUnknown { name }),
            MeasuredRatio::SpringOnArm { distance_from_pivot_m, lean_from_perpendicular_rad } => {
                check_length("distance_from_pivot", distance_from_pivot_m)?;
                check_angle("lean_from_perpendicular", lean_from_perpendicular_rad)?;
                let (sin, cos) = lean_from_perpendicular_rad.sin_cos();
                let upper_m = [distance_from_pivot_m - design_m * sin, design_m * cos];
                Ok(Self::OnArm { foot_m: distance_from_pivot_m, upper_m })
            }
        }
    }

    fn length(&self, travel_m: f64, arm_angle: Option<Local>) -> Local {
        match *self {
            Self::Constant { design_m, ratio } => {
                Local { value: design_m - ratio * travel_m, slope: -ratio, curvature: 0.0 }
            }
            Self::Measured { design_m, ref ratio, ref travels_m } => {
                let here = ratio.at(travel_m);
                let shortening_m = integral(ratio, travels_m, travel_m);
                Local { value: design_m - shortening_m, slope: -here.value, curvature: -here.slope }
            }
            Self::OnArm { foot_m, upper_m } => {
                let (sin, cos) = arm_angle.unwrap_or(Local::from(0.0)).sin_cos();
                let (along, across) = (-(cos * foot_m) + upper_m[0], -(sin * foot_m) + upper_m[1]);
                (along * along + across * across).sqrt()
            }
        }
    }
}

/// Integral of the ratio from 0 to `travel_m`: Simpson's rule, exact on each cubic piece.
fn integral(ratio: &MonotoneCurve, travels_m: &[f64], travel_m: f64) -> f64 {
    let (from, to) = (travel_m.min(0.0), travel_m.max(0.0));
    let inner = travels_m.iter().copied().filter(|&t| from < t && t < to);
    let marks: Vec<f64> = std::iter::once(from).chain(inner).chain(std::iter::once(to)).collect();
    let piece = |ends: &[f64]| {
        let (a, b) = (ends[0], ends[1]);
        (b - a) / 6.0 * (ratio.at(a).value + 4.0 * ratio.at(0.5 * (a + b)).value + ratio.at(b).value)
    };
    travel_m.signum() * marks.windows(2).map(piece).sum::<f64>()
}

/// Turn of the arm from design with its derivatives over travel.
fn arm_angle(arm: &ArmMeasure, travel_m: f64) -> Local {
    let travel = Local::variable(travel_m);
    (travel * arm.length_m.recip() + arm.angle_at_design_rad.sin()).asin() - arm.angle_at_design_rad
}

/// Travel between the arm straight down and straight up.
fn arm_reach(arm: &ArmMeasure) -> Reach {
    let height_m = arm.length_m * arm.angle_at_design_rad.sin();
    let end = |upright_m: f64, searched: ReachEnd| {
        let over_top = ReachEnd { travel_m: upright_m, reason: LockReason::ArmOverTop };
        if upright_m.abs() < SEARCHED_TRAVEL_M { over_top } else { searched }
    };
    Reach {
        rebound: end(-arm.length_m - height_m, Reach::SEARCHED.rebound),
        bump: end(arm.length_m - height_m, Reach::SEARCHED.bump),
    }
}

fn check_angle(name: &'static str, angle_rad: f64) -> Result<(), HardpointError> {
    const UPRIGHT_RAD: f64 = 1.4;
    if angle_rad.abs() <= UPRIGHT_RAD { Ok(()) } else { Err(HardpointError::Angle { name }) }
}

fn still(value: f64) -> Local {
    Local { value, slope: 0.0, curvature: 0.0 }
}
