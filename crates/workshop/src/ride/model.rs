//! A fitment at rest as the mechanics of ride takes it.

use mechanics::ride::{RideParts, VanAtRest};
use mechanics::statics::{CORNERS, FRONT, PointMass, REAR, axle_of, side_of};

use crate::answer::KnownVan;
use crate::assembly::SpringKnowledge;
use crate::fitment::{Fitment, Solved};
use crate::load_list::LoadState;

/// Radius of gyration of the sprung mass in roll, per track: light vans lie near it (common practice, no source).
const ROLL_RADIUS_PER_TRACK: f64 = 0.42;

/// The van about its rest; `None` where a spring is known by its drop alone, where an axle stands at an end of its
/// travel, or where the masses make no body.
pub(super) fn at_rest(
    known: &KnownVan,
    fitment: &Fitment,
    solved: &Solved,
    state: LoadState,
) -> Option<VanAtRest> {
    let drop_only =
        |axle: usize| matches!(fitment.parts[axle].spring_knowledge, SpringKnowledge::DropOnly { .. });
    if drop_only(FRONT) || drop_only(REAR) {
        return None;
    }
    let [pitch_inertia_kg_m2, roll_inertia_kg_m2] = inertia_kg_m2(known, solved, state);
    if pitch_inertia_kg_m2 <= 0.0 || roll_inertia_kg_m2 <= 0.0 {
        return None;
    }
    let parts = RideParts {
        damper_along_rod: [FRONT, REAR]
            .map(|axle| known.van.damping_curve(axle, &fitment.parts[axle].damping)),
        pitch_inertia_kg_m2,
        roll_inertia_kg_m2,
    };
    VanAtRest::of(&solved.van, &solved.rest, &solved.limits, &parts)
}

/// Where driver and front passenger sit, in body axes: the passenger is taken across from the driver.
pub(super) fn seats_m(known: &KnownVan) -> [[f64; 3]; 2] {
    let [x, y, z] = known.van.sheet.running_order.driver_place.point_m();
    [[x, y, z], [x, -y, z]]
}

/// Moments of inertia of the sprung mass in pitch and roll about its centre of gravity.
///
/// The van in running order as its sheet states, everything else as masses at their places. Where the sheet states
/// nothing, pitch takes the axle loads at the axles, which is a dynamic index of 1 (three published parameter sets of the
/// package commonroad-vehicle-models 3.0.2 have 0.92 to 1.10), and roll a usual radius.
fn inertia_kg_m2(known: &KnownVan, solved: &Solved, state: LoadState) -> [f64; 2] {
    let masses = known.carried(state).masses;
    let (bare, aboard) = masses.split_at(2);
    let cg = solved.van.sprung.centre_of_gravity_m;
    let about = |mass_kg: f64, at_m: [f64; 3]| {
        let [x, y, z] = [at_m[0] - cg[0], at_m[1] - cg[1], at_m[2] - cg[2]];
        [mass_kg * (x * x + z * z), mass_kg * (y * y + z * z)]
    };
    let sum = |masses: &[PointMass]| {
        masses
            .iter()
            .map(|mass| about(mass.mass_kg, mass.at_m))
            .fold([0.0; 2], |a, b| [a[0] + b[0], a[1] + b[1]])
    };
    let unsprung: Vec<PointMass> = (0..CORNERS)
        .map(|i| {
            let [x, y, z] = known.van.table(axle_of(i)).wheel_centre_design_m;
            PointMass { mass_kg: -solved.van.corners[i].unsprung_mass_kg, at_m: [x, side_of(i) * y, z] }
        })
        .collect();
    let bare_kg: f64 = bare.iter().map(|mass| mass.mass_kg).sum();
    let unsprung_kg: f64 = unsprung.iter().map(|mass| mass.mass_kg).sum();
    let bare_at_m = std::array::from_fn(|axis| {
        bare.iter().map(|mass| mass.mass_kg * mass.at_m[axis]).sum::<f64>() / bare_kg
    });
    let ([bare_pitch, bare_roll], off_axis) = (sum(bare), about(bare_kg, bare_at_m));
    let (aboard, unsprung) = (sum(aboard), sum(&unsprung));
    match known.van.sheet.running_order.inertia_kg_m2 {
        Some(stated) => [
            stated.pitch_kg_m2 + off_axis[0] + aboard[0] + unsprung[0],
            stated.roll_kg_m2 + off_axis[1] + aboard[1] + unsprung[1],
        ],
        None => {
            let track_m = [FRONT, REAR].map(|axle| 2.0 * known.van.table(axle).wheel_centre_design_m[1]);
            let radius_m = ROLL_RADIUS_PER_TRACK * 0.5 * (track_m[FRONT] + track_m[REAR]);
            let own_roll = (bare_kg + unsprung_kg) * radius_m * radius_m;
            [bare_pitch + aboard[0] + unsprung[0], own_roll + bare_roll + aboard[1]]
        }
    }
}
