//! `archgap kinematics VEHICLE.toml --axle front|rear --mode heave|roll|single-wheel`

use mechanics::linkage::{LeafFittings, TravelMode};
use workshop::assembly::{CannotStand, axle_sheet};
use workshop::document::read;
use workshop::facts::Language;
use workshop::kinematics::{Kinematics, kinematics};
use workshop::suspension::suspension;
use workshop::vehicle_sheet::VehicleSheet;

use workshop::wording::fixed;

use super::json_of;
use crate::data::{DataSource, Trouble};
use crate::tables::{folded, optional, table};

/// These tables are for those who keep the data, as their field names are.
const ENGLISH: Language = Language::English;

pub(crate) fn run(
    source: &DataSource,
    vehicle: &str,
    axle: usize,
    mode: TravelMode,
    travel_mm: f64,
    step_mm: f64,
    json: bool,
) -> Result<String, Trouble> {
    let file = source.document(vehicle, "vehicles")?;
    let facts = source.facts()?;
    let sheet = read(&file.path, &file.text, |f| VehicleSheet::read(f, &facts))?;
    let cannot =
        |because: String| CannotStand { doing: format!("building the axle of {}", sheet.id), because };
    let suspension = suspension(axle_sheet(&sheet, axle), LeafFittings::default(), 0.0)
        .map_err(|because| cannot(because.to_string()))?;
    let result =
        kinematics(&suspension, mode, travel_mm, step_mm).map_err(|because| cannot(because.to_string()))?;
    if json { json_of(&result) } else { Ok(shown(&result)) }
}

fn shown(result: &Kinematics) -> String {
    let angles = table(
        &[
            "left mm",
            "right mm",
            "camber °",
            "toe °",
            "caster °",
            "kingpin °",
            "scrub mm",
            "half-track mm",
            "roll centre mm",
            "axle steer °",
        ],
        result.rows.iter().map(|row| {
            vec![
                fixed(ENGLISH, row.travel_mm, 0),
                fixed(ENGLISH, row.other_travel_mm, 0),
                optional(ENGLISH, row.camber_deg, 3),
                optional(ENGLISH, row.toe_deg, 3),
                optional(ENGLISH, row.caster_deg, 3),
                optional(ENGLISH, row.kingpin_inclination_deg, 2),
                optional(ENGLISH, row.scrub_radius_mm, 1),
                optional(ENGLISH, row.half_track_change_mm, 2),
                optional(ENGLISH, row.roll_centre_height_mm, 1),
                optional(ENGLISH, row.axle_steer_deg, 3),
            ]
        }),
    );
    let lengths = table(
        &[
            "left mm",
            "spring mm",
            "spring ratio",
            "its slope /mm",
            "damper mm",
            "damper ratio",
            "drop link °",
            "driveshaft °",
        ],
        result.rows.iter().map(|row| {
            vec![
                fixed(ENGLISH, row.travel_mm, 0),
                fixed(ENGLISH, row.spring_length_mm, 1),
                fixed(ENGLISH, row.spring_motion_ratio, 4),
                fixed(ENGLISH, row.spring_motion_ratio_slope_per_mm, 6),
                fixed(ENGLISH, row.damper_length_mm, 1),
                fixed(ENGLISH, row.damper_motion_ratio, 4),
                optional(ENGLISH, row.drop_link_angle_deg, 1),
                optional(ENGLISH, row.driveshaft_angle_deg, 1),
            ]
        }),
    );
    let reach = format!(
        "Reach: {:.0} mm in rebound ({}), {:.0} mm in bump ({}). Bump travel is positive; all but the axle's steer (left positive) is of the left wheel. A dash: the axle has no such part, or its points are not known.",
        result.rebound_reach_mm, result.rebound_reach_ends, result.bump_reach_mm, result.bump_reach_ends
    );
    format!("{angles}\n{lengths}\n{}", folded(&reach, 2))
}
