//! A wheel at full lock, the room that a tyre takes there, a wheel further out, a load on the tow ball.

use mechanics::linkage::{
    DoubleWishbone, DoubleWishboneHardpoints, Linkage, TyreEnvelope, WheelHardpoints, WheelStance,
    WishboneArm, WishbonePart, WishboneSpring,
};
use workshop::checks::{ball_on_axles, track_change_mm};

use crate::Check;
use crate::check::{Case, Computed, known, or_failing};

const MM_PER_M: f64 = 1e3;
const LOCK_DEG: f64 = 38.0;

/// Checks of wheels in their places.
pub fn checks() -> Vec<Check> {
    or_failing(computed())
}

fn computed() -> Computed {
    let mut checks = at_lock()?;
    checks.push(beside_a_tube());
    checks.extend(further_out()?);
    checks.extend(on_the_ball());
    Ok(checks)
}

/// Wishbones with an upright kingpin at y = 0.75 m and level arms of one length: the rack turns the wheel about it.
fn upright(camber_deg: f64) -> DoubleWishboneHardpoints {
    DoubleWishboneHardpoints {
        lower_inner_front_m: [0.1, 0.40, 0.20],
        lower_inner_rear_m: [-0.1, 0.40, 0.20],
        lower_ball_joint_m: [0.0, 0.75, 0.20],
        upper_inner_front_m: [0.1, 0.40, 0.60],
        upper_inner_rear_m: [-0.1, 0.40, 0.60],
        upper_ball_joint_m: [0.0, 0.75, 0.60],
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
            design_camber_rad: camber_deg.to_radians(),
            design_toe_rad: 0.0,
            tyre_radius_m: 0.34,
        },
        bar: None,
        driveshaft_inner_m: None,
    }
}

fn linkage(points: DoubleWishboneHardpoints) -> Result<Linkage, mechanics::linkage::HardpointError> {
    Ok(Linkage::DoubleWishbone(Box::new(DoubleWishbone::new(points)?)))
}

/// Original tyre, and one 20 mm wider and 16 mm larger in diameter on a rim 15 mm further out.
const ORIGINAL: TyreEnvelope = TyreEnvelope { radius_m: 0.340, inner_m: -0.110, outer_m: 0.110 };
const CHOSEN: TyreEnvelope = TyreEnvelope { radius_m: 0.348, inner_m: -0.105, outer_m: 0.135 };

fn at_lock() -> Computed {
    let case = Case {
        id: "R1, inner wheel turned by 38° about an upright kingpin",
        source: "plan view: circle of the steering arm, tie rod of fixed length; rims of both tyres turned point by point",
        mark: "recomputed",
    };
    let corner = linkage(upright(0.0))?;
    let rack_m = known(corner.rack_travel_turning_out_m(LOCK_DEG.to_radians()))?;
    let steered = corner.steered(rack_m).ok_or("no tie rod")??;
    let stance = steered.pose(0.0)?.wheel_stance().ok_or("no wheel angles")?;
    let reach_mm = |tyre: &TyreEnvelope, direction| MM_PER_M * tyre.reach_m(&stance, direction);
    let (inboard, behind) = ([0.0, -1.0, 0.0], [-1.0, 0.0, 0.0]);
    let worst = CHOSEN.nearer_than(&stance, &ORIGINAL, &stance);
    let centre_mm = stance.centre_m.map(|m| MM_PER_M * m);
    // the worst direction is found to a tenth of a degree, which moves the reach by less than 1e-3 mm
    Ok(vec![
        case.check("rack travel", "mm", -72.953_684_394, MM_PER_M * rack_m, 1e-6),
        case.check("wheel centre, forward", "mm", -49.252_918_026, centre_mm[0], 1e-6),
        case.check("wheel centre, to the left", "mm", 813.040_860_289, centre_mm[1], 1e-6),
        case.check(
            "original tyre, inmost point from the middle",
            "mm",
            517.034_8,
            -reach_mm(&ORIGINAL, inboard),
            1e-3,
        ),
        case.check("chosen tyre, inmost point", "mm", 516.049_5, -reach_mm(&CHOSEN, inboard), 1e-3),
        case.check("original tyre, hindmost point", "mm", -384.899_3, -reach_mm(&ORIGINAL, behind), 1e-3),
        case.check("chosen tyre, hindmost point", "mm", -406.595_0, -reach_mm(&CHOSEN, behind), 1e-3),
        case.check(
            "nearer to an upright wall, the worst of all",
            "mm",
            26.248_8,
            MM_PER_M * worst.by_m,
            1e-3,
        ),
    ])
}

fn beside_a_tube() -> Check {
    let case =
        Case { id: "R2, tyre and tube", source: "distance of a point from a line", mark: "recomputed" };
    let stance = WheelStance { centre_m: [0.0, 0.8, 0.34], spin_axis: [0.0, 1.0, 0.0] };
    // shoulder at (0.69, 0.68), line z = y + 0.27: 0.28 / √2
    let got_m = ORIGINAL.distance_to_member_m(&stance, [[0.0, 0.5, 0.77], [0.0, 0.75, 1.02]]);
    case.check("shoulder of an upright tyre to a tube at 45°", "mm", 197.989_899, MM_PER_M * got_m, 1e-6)
}

fn further_out() -> Computed {
    let case = Case {
        id: "R3, wheels 16 mm further out",
        source: "projection of offset and radius on the ground; parallel arms keep the camber and lead every point of the wheel alike",
        mark: "recomputed",
    };
    let [drawn, moved] = [0.0, 0.016].map(|outboard_m| {
        let points = upright(-0.9);
        linkage(DoubleWishboneHardpoints { wheel: points.wheel.moved_outboard(outboard_m), ..points })
    });
    let (drawn, moved) = (drawn?.pose(0.0)?, moved?.pose(0.0)?);
    let scrub_mm = MM_PER_M * (known(moved.scrub_radius_m)? - known(drawn.scrub_radius_m)?);
    let ratio = moved.spring_motion_ratio / drawn.spring_motion_ratio;
    Ok(vec![
        case.check(
            "track, camber -0.9° and a radius 6 mm larger",
            "mm",
            32.184_540,
            track_change_mm(16.0, 6.0, (-0.9_f64).to_radians()),
            1e-6,
        ),
        // 16 cos 0.9°, the kingpin being upright
        case.check("scrub radius, camber -0.9°", "mm", 15.998_026, scrub_mm, 1e-6),
        case.check("motion ratio of arms that keep the camber, new over old", "-", 1.0, ratio, 1e-9),
    ])
}

fn on_the_ball() -> Vec<Check> {
    let case = Case {
        id: "R4, 75 kg on a ball 4120 mm behind the front axle, wheelbase 3180 mm",
        source: "moments about the axles",
        mark: "recomputed",
    };
    let axles = ball_on_axles(75.0, [-4.12, 0.0, 0.408], [0.0, -3.18]);
    vec![
        case.check("front axle", "kg", -22.169_811, axles.front_kg, 1e-6),
        case.check("rear axle", "kg", 97.169_811, axles.rear_kg, 1e-6),
    ]
}
