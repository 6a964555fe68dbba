//! What is remarked of a fitment: what must be stopped for, what must be looked at, what is worth knowing.

use mechanics::statics::{FRONT, REAR};

use crate::answer::{Remark, Weight};
use crate::assembly::SpringKnowledge;
use crate::checks::COILS_TOUCH_MM;
use crate::figure::Figure;
use crate::load_list::LoadState;
use crate::sit::Sitting;
use crate::standing::Standing;
use crate::units::mm_from_m;
use crate::wording::{Axle, Meaning, Plate};

/// What a fitment must be stopped for.
pub(crate) fn stops(standing: &Standing) -> Vec<Remark> {
    remarks(standing).into_iter().filter(|remark| remark.weight == Weight::Stop).collect()
}

/// What is remarked of a fitment, stops first.
pub(crate) fn remarks(standing: &Standing) -> Vec<Remark> {
    let sittings = LoadState::ALL.map(|state| standing.sitting(state));
    let mut remarks: Vec<Remark> = sittings.iter().flat_map(limit_remarks).collect();
    for axle in [FRONT, REAR] {
        remarks.extend(travel_remarks(&sittings, axle));
    }
    for axle in [FRONT, REAR] {
        if let SpringKnowledge::DropOnly { reference_axle_load_kg, reference_plus_minus_kg, .. } =
            standing.fitment.parts[axle].spring_knowledge
        {
            remarks.push(Remark::note(Meaning::DropOnly {
                axle: Axle::of(axle),
                reference_kg: reference_axle_load_kg,
                plus_minus_kg: reference_plus_minus_kg,
            }));
        }
    }
    remarks.sort_by_key(|remark| remark.weight);
    remarks
}

/// What is left to a plate, kg.
pub(crate) fn left_to(plated_kg: f64, load_kg: &Figure) -> Figure {
    load_kg.clone().negated().plus(plated_kg)
}

fn limit_remarks(sitting: &Sitting) -> Vec<Remark> {
    let (grade, state) = (sitting.standing.known.van.grade, sitting.state);
    let [front_kg, rear_kg] = [FRONT, REAR].map(|axle| sitting.axle_load_kg(axle));
    let plates = [
        (Plate::GrossMass, grade.plated_gross_kg, sitting.gross_kg()),
        (Plate::FrontAxle, grade.plated_front_axle_kg, front_kg),
        (Plate::RearAxle, grade.plated_rear_axle_kg, rear_kg),
    ];
    plates
        .into_iter()
        .filter_map(|(plate, plated_kg, load_kg)| {
            let left_kg = left_to(plated_kg, load_kg);
            if left_kg.value < 0.0 {
                Some(Remark::stop(Meaning::OverPlate { state, plate, left_kg }))
            } else if left_kg.low < 0.0 {
                Some(Remark::look_at_it(Meaning::CloseToPlate { state, plate, left_kg }))
            } else {
                None
            }
        })
        .collect()
}

fn travel_remarks(sittings: &[Sitting], axle: usize) -> Vec<Remark> {
    let mut remarks = Vec::new();
    let (of, corners) = (Axle::of(axle), [2 * axle, 2 * axle + 1]);
    let everywhere = || sittings.iter().flat_map(move |sitting| corners.map(|i| (sitting, i)));
    let least = |length_m: &dyn Fn(&Sitting, usize) -> Option<f64>| {
        let lengths = everywhere().filter_map(|(sitting, i)| Some((length_m(sitting, i)?, sitting, i)));
        lengths.min_by(|a, b| a.0.total_cmp(&b.0))
    };
    let captive = least(&|sitting, i| sitting.captive_in_hand_m(i));
    match captive.and_then(|(_, sitting, i)| sitting.corner(i).captive_in_hand_mm()) {
        Some(in_hand) if in_hand.value < 0.0 => {
            remarks.push(Remark::stop(Meaning::SpringNotCaptive { axle: of, loose_mm: -in_hand.value }));
        }
        Some(in_hand_mm) if in_hand_mm.low < 0.0 => {
            remarks.push(Remark::look_at_it(Meaning::BarelyCaptive { axle: of, in_hand_mm }));
        }
        _ => {}
    }
    if least(&|sitting, i| sitting.coil_bind_margin_m(i))
        .is_some_and(|(margin_m, ..)| mm_from_m(margin_m) <= COILS_TOUCH_MM)
    {
        remarks.push(Remark::look_at_it(Meaning::CoilsTouch { axle: of }));
    }
    let is_engaged = |sitting: &&Sitting| {
        corners.iter().any(|&i| sitting.free_bump_m(i).is_some_and(|free_m| free_m < 0.0))
    };
    let engaged: Vec<LoadState> = sittings.iter().filter(is_engaged).map(|sitting| sitting.state).collect();
    if !engaged.is_empty() {
        remarks.push(Remark::note(Meaning::StopsEngaged { axle: of, states: engaged }));
    }
    let is_beyond = |(sitting, i): (&Sitting, usize)| {
        let limits = &sitting.solved.limits[i];
        limits.rebound_m < 0.0 || limits.to_metal_m < 0.0
    };
    if everywhere().any(is_beyond) {
        remarks.push(Remark::stop(Meaning::BeyondTravel { axle: of }));
    }
    let to_metal = least(&|sitting, i| Some(sitting.to_metal_m(i)));
    if let Some((_, sitting, i)) = to_metal.filter(|(m, ..)| mm_from_m(*m) < LEAST_METAL_TRAVEL_MM) {
        let (state, left_mm) = (sitting.state, sitting.corner(i).bump_travel_to_metal_mm());
        remarks.push(Remark::look_at_it(Meaning::LittleTravelToMetal { axle: of, state, left_mm }));
    }
    remarks
}

/// Bump travel to metal below which a look is asked for, mm (common practice, no source).
const LEAST_METAL_TRAVEL_MM: f64 = 50.0;
