//! From the guidance that a vehicle sheet describes to the suspension that the mechanics computes.

use mechanics::linkage::{
    ArmKind, ArmMeasure, AxleSuspension, BarHardpoints, BeamHangers, DoubleWishbone,
    DoubleWishboneHardpoints, HardpointError, JoinedAxle, LeafAxle, LeafAxleHardpoints, LeafFittings,
    LinkAxle, LinkAxleHardpoints, Linkage, MeasuredRatio, SemiTrailingArm, SemiTrailingHardpoints, Strut,
    StrutHardpoints, TapeMeasure, TapeMeasureAxle, TwistBeam, TwistBeamHardpoints, WheelHardpoints,
    WishboneSpring,
};

use crate::linkage_sheet::{
    DoubleWishboneSheet, LeafAxleSheet, LinkAxleSheet, LinkageSheet, RatioSheet, SemiTrailingArmSheet,
    StrutSheet, TapeMeasureSheet, TwistBeamSheet, WheelSheet, WishboneSpringSheet,
};
use crate::units::{m_from_mm, point_m_from_mm};
use crate::vehicle_sheet::AxleSheet;

/// The suspension of an axle, with parts between axle, leaf and body other than the original ones, on wheels that stand
/// `outboard_m` further out than the original ones.
///
/// Such a wheel is a hardpoint moved along its spin axis: its centre takes another path, so track, scrub radius, roll
/// centre and motion ratios follow. Motion ratios that a tape measure gave stay those of the original wheel.
///
/// # Errors
/// When its hardpoints or measures make no suspension.
pub fn suspension(
    sheet: &AxleSheet,
    fittings: LeafFittings,
    outboard_m: f64,
) -> Result<AxleSuspension, HardpointError> {
    let bar = sheet.bar.as_ref().and_then(|bar| bar.links.as_ref()).map(|links| BarHardpoints {
        bar_axis_m: point_m_from_mm(links.bar_axis_mm),
        bar_arm_end_m: point_m_from_mm(links.bar_arm_end_mm),
        link_lower_m: point_m_from_mm(links.link_lower_mm),
        drop_link_length_m: None,
    });
    let on = StandsOn { tyre_radius_m: m_from_mm(sheet.tyre.unloaded_radius_mm), outboard_m };
    Ok(match &sheet.linkage {
        LinkageSheet::Strut(strut) => {
            let hardpoints = strut_hardpoints(strut, bar, on);
            AxleSuspension::Independent(Linkage::Strut(Box::new(Strut::new(hardpoints)?)))
        }
        LinkageSheet::SemiTrailingArm(arm) => {
            let arm = SemiTrailingArm::new(semi_trailing_hardpoints(arm, bar, on))?;
            AxleSuspension::Independent(Linkage::SemiTrailingArm(Box::new(arm)))
        }
        LinkageSheet::DoubleWishbone(wishbones) => {
            let wishbones = DoubleWishbone::new(double_wishbone_hardpoints(wishbones, bar, on))?;
            AxleSuspension::Independent(Linkage::DoubleWishbone(Box::new(wishbones)))
        }
        LinkageSheet::TapeMeasure(measures) => {
            let axle = TapeMeasure::new(tape_measures(measures, on))?;
            AxleSuspension::Independent(Linkage::TapeMeasure(Box::new(axle)))
        }
        LinkageSheet::LeafAxle(leaves) => {
            let axle = LeafAxle::new(leaf_axle_hardpoints(leaves, bar, on), fittings)?;
            AxleSuspension::Joined(JoinedAxle::Leaves(Box::new(axle)))
        }
        LinkageSheet::TwistBeam(beam) => {
            let axle = TwistBeam::new(twist_beam_hardpoints(beam, bar, on))?;
            AxleSuspension::Joined(JoinedAxle::TwistBeam(Box::new(axle)))
        }
        LinkageSheet::LinkAxle(links) => {
            let axle = LinkAxle::new(link_axle_hardpoints(links, bar, on))?;
            AxleSuspension::Joined(JoinedAxle::Links(Box::new(axle)))
        }
    })
}

fn semi_trailing_hardpoints(
    sheet: &SemiTrailingArmSheet,
    bar: Option<BarHardpoints>,
    on: StandsOn,
) -> SemiTrailingHardpoints {
    SemiTrailingHardpoints {
        pivot_inner_m: point_m_from_mm(sheet.pivot_inner_mm),
        pivot_outer_m: point_m_from_mm(sheet.pivot_outer_mm),
        spring_seat_lower_m: point_m_from_mm(sheet.spring_seat_lower_mm),
        spring_seat_upper_m: point_m_from_mm(sheet.spring_seat_upper_mm),
        damper_lower_m: point_m_from_mm(sheet.damper_lower_mm),
        damper_upper_m: point_m_from_mm(sheet.damper_upper_mm),
        wheel: wheel(&sheet.wheel, on),
        bar,
        driveshaft_inner_m: sheet.driveshaft_inner_mm.map(point_m_from_mm),
    }
}

fn double_wishbone_hardpoints(
    sheet: &DoubleWishboneSheet,
    bar: Option<BarHardpoints>,
    on: StandsOn,
) -> DoubleWishboneHardpoints {
    DoubleWishboneHardpoints {
        lower_inner_front_m: point_m_from_mm(sheet.lower_inner_front_mm),
        lower_inner_rear_m: point_m_from_mm(sheet.lower_inner_rear_mm),
        lower_ball_joint_m: point_m_from_mm(sheet.lower_ball_joint_mm),
        upper_inner_front_m: point_m_from_mm(sheet.upper_inner_front_mm),
        upper_inner_rear_m: point_m_from_mm(sheet.upper_inner_rear_mm),
        upper_ball_joint_m: point_m_from_mm(sheet.upper_ball_joint_mm),
        tie_rod_inner_m: point_m_from_mm(sheet.tie_rod_inner_mm),
        tie_rod_outer_m: point_m_from_mm(sheet.tie_rod_outer_mm),
        spring: match sheet.spring {
            WishboneSpringSheet::Coil { seat_lower_mm, seat_lower_on, seat_upper_mm } => {
                WishboneSpring::Coil {
                    seat_lower_m: point_m_from_mm(seat_lower_mm),
                    seat_lower_on,
                    seat_upper_m: point_m_from_mm(seat_upper_mm),
                }
            }
            WishboneSpringSheet::TorsionBar { arm, .. } => WishboneSpring::TorsionBar { arm },
        },
        damper_lower_m: point_m_from_mm(sheet.damper_lower_mm),
        damper_lower_on: sheet.damper_lower_on,
        damper_upper_m: point_m_from_mm(sheet.damper_upper_mm),
        wheel: wheel(&sheet.wheel, on),
        bar,
        driveshaft_inner_m: sheet.driveshaft_inner_mm.map(point_m_from_mm),
    }
}

fn leaf_axle_hardpoints(
    sheet: &LeafAxleSheet,
    bar: Option<BarHardpoints>,
    on: StandsOn,
) -> LeafAxleHardpoints {
    LeafAxleHardpoints {
        front_eye_m: point_m_from_mm(sheet.front_eye_mm),
        seat_m: point_m_from_mm(sheet.seat_mm),
        rear_eye_m: point_m_from_mm(sheet.rear_eye_mm),
        shackle_pivot_m: point_m_from_mm(sheet.shackle_pivot_mm),
        wheel: wheel(&sheet.wheel, on),
        hangers: BeamHangers {
            damper_lower_m: point_m_from_mm(sheet.damper_lower_mm),
            damper_upper_m: point_m_from_mm(sheet.damper_upper_mm),
            bar,
        },
    }
}

fn twist_beam_hardpoints(
    sheet: &TwistBeamSheet,
    bar: Option<BarHardpoints>,
    on: StandsOn,
) -> TwistBeamHardpoints {
    TwistBeamHardpoints {
        bush_m: point_m_from_mm(sheet.bush_mm),
        shear_centre_m: [sheet.shear_centre_x_mm, sheet.shear_centre_z_mm].map(m_from_mm),
        spring_seat_lower_m: point_m_from_mm(sheet.spring_seat_lower_mm),
        spring_seat_upper_m: point_m_from_mm(sheet.spring_seat_upper_mm),
        wheel: wheel(&sheet.wheel, on),
        hangers: BeamHangers {
            damper_lower_m: point_m_from_mm(sheet.damper_lower_mm),
            damper_upper_m: point_m_from_mm(sheet.damper_upper_mm),
            bar,
        },
    }
}

fn link_axle_hardpoints(
    sheet: &LinkAxleSheet,
    bar: Option<BarHardpoints>,
    on: StandsOn,
) -> LinkAxleHardpoints {
    LinkAxleHardpoints {
        lower_link_body_m: point_m_from_mm(sheet.lower_link_body_mm),
        lower_link_axle_m: point_m_from_mm(sheet.lower_link_axle_mm),
        upper_link_body_m: point_m_from_mm(sheet.upper_link_body_mm),
        upper_link_axle_m: point_m_from_mm(sheet.upper_link_axle_mm),
        lateral_rod_body_m: point_m_from_mm(sheet.lateral_rod_body_mm),
        lateral_rod_axle_m: point_m_from_mm(sheet.lateral_rod_axle_mm),
        spring_seat_lower_m: point_m_from_mm(sheet.spring_seat_lower_mm),
        spring_seat_upper_m: point_m_from_mm(sheet.spring_seat_upper_mm),
        wheel: wheel(&sheet.wheel, on),
        hangers: BeamHangers {
            damper_lower_m: point_m_from_mm(sheet.damper_lower_mm),
            damper_upper_m: point_m_from_mm(sheet.damper_upper_mm),
            bar,
        },
    }
}

/// Tyre as drawn, and how far outboard of the original wheel.
#[derive(Clone, Copy)]
struct StandsOn {
    tyre_radius_m: f64,
    outboard_m: f64,
}

fn wheel(sheet: &WheelSheet, on: StandsOn) -> WheelHardpoints {
    let drawn = WheelHardpoints {
        wheel_centre_m: point_m_from_mm(sheet.wheel_centre_mm),
        design_camber_rad: sheet.camber_deg.to_radians(),
        design_toe_rad: sheet.toe_deg.to_radians(),
        tyre_radius_m: on.tyre_radius_m,
    };
    drawn.moved_outboard(on.outboard_m)
}

fn strut_hardpoints(sheet: &StrutSheet, bar: Option<BarHardpoints>, on: StandsOn) -> StrutHardpoints {
    StrutHardpoints {
        arm_inner_front_m: point_m_from_mm(sheet.arm_inner_front_mm),
        arm_inner_rear_m: point_m_from_mm(sheet.arm_inner_rear_mm),
        lower_ball_joint_m: point_m_from_mm(sheet.lower_ball_joint_mm),
        strut_top_m: point_m_from_mm(sheet.strut_top_mm),
        strut_axis_point_m: point_m_from_mm(sheet.strut_axis_point_mm),
        spring_seat_lower_m: point_m_from_mm(sheet.spring_seat_lower_mm),
        spring_seat_upper_m: point_m_from_mm(sheet.spring_seat_upper_mm),
        damper_lower_m: None,
        tie_rod_inner_m: point_m_from_mm(sheet.tie_rod_inner_mm),
        tie_rod_outer_m: point_m_from_mm(sheet.tie_rod_outer_mm),
        wheel: wheel(&sheet.wheel, on),
        bar,
        driveshaft_inner_m: sheet.driveshaft_inner_mm.map(point_m_from_mm),
    }
}

fn tape_measures(sheet: &TapeMeasureSheet, on: StandsOn) -> TapeMeasureAxle {
    let [x_m, y_m, z_m] = point_m_from_mm(sheet.wheel_centre_mm);
    let ratio = |ratio: &RatioSheet| match ratio {
        RatioSheet::Constant(value) => MeasuredRatio::Constant(*value),
        RatioSheet::Table(rows) => {
            MeasuredRatio::Table(rows.iter().map(|row| (m_from_mm(row[0]), row[1])).collect())
        }
        RatioSheet::OnArm { distance_from_pivot_mm, lean_deg } => MeasuredRatio::SpringOnArm {
            distance_from_pivot_m: m_from_mm(*distance_from_pivot_mm),
            lean_from_perpendicular_rad: lean_deg.to_radians(),
        },
    };
    TapeMeasureAxle {
        wheel_centre_m: [x_m, y_m + on.outboard_m, z_m],
        tyre_radius_m: on.tyre_radius_m,
        arm: sheet.arm.as_ref().map(|arm| ArmMeasure {
            length_m: m_from_mm(arm.length_mm),
            // the sheet gives the fall of the arm, the linkage wants its rise
            angle_at_design_rad: -arm.angle_deg.to_radians(),
            kind: if arm.trailing { ArmKind::Trailing } else { ArmKind::Transverse },
        }),
        spring_ratio: ratio(&sheet.spring_ratio),
        damper_ratio: ratio(&sheet.damper_ratio),
        spring_length_at_design_m: m_from_mm(sheet.spring_length_at_design_mm),
        damper_length_at_design_m: m_from_mm(sheet.damper_length_at_design_mm),
    }
}
