//! `archgap kinematics VEHICLE.toml --axle front|rear --mode heave|roll|single-wheel`

use mechanics::linkage::{LeafFittings, TravelMode};
use workshop::assembly::{CannotStand, axle_sheet};
use workshop::document::read;
use workshop::facts::Language;
use workshop::kinematics::{Kinematics, kinematics};
use workshop::suspension::suspension;
use workshop::vehicle_sheet::VehicleSheet;

use workshop::wording::{Axle, Doing, fixed, whole};

use super::json_of;
use crate::data::{DataSource, Trouble};
use crate::tables::{folded, optional, table};

/// How far the wheels of an axle are moved.
pub(crate) struct Over {
    pub(crate) mode: TravelMode,
    pub(crate) travel_mm: f64,
    pub(crate) step_mm: f64,
}

pub(crate) fn run(
    source: &DataSource,
    vehicle: &str,
    axle: usize,
    over: &Over,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let file = source.document(vehicle, "vehicles")?;
    let facts = source.facts()?;
    let sheet = read(&file.path, &file.text, |f| VehicleSheet::read(f, &facts))?;
    let doing = || Doing::BuildingAxle(Axle::of(axle), sheet.id.clone());
    let suspension = suspension(axle_sheet(&sheet, axle), LeafFittings::default(), 0.0)
        .map_err(|why| CannotStand::of(doing(), why))?;
    let result = kinematics(&suspension, over.mode, over.travel_mm, over.step_mm)
        .map_err(|why| CannotStand::of(doing(), why))?;
    if json { json_of(&result) } else { Ok(shown(&result, language)) }
}

fn shown(result: &Kinematics, language: Language) -> String {
    let heads = language.pick(
        [
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
        [
            "links mm",
            "rechts mm",
            "Sturz °",
            "Spur °",
            "Nachlauf °",
            "Spreizung °",
            "Rollradius mm",
            "halbe Spur mm",
            "Wankzentrum mm",
            "Achslenken °",
        ],
    );
    let angles = table(
        &heads,
        result.rows.iter().map(|row| {
            vec![
                fixed(language, row.travel_mm, 0),
                fixed(language, row.other_travel_mm, 0),
                optional(language, row.camber_deg, 3),
                optional(language, row.toe_deg, 3),
                optional(language, row.caster_deg, 3),
                optional(language, row.kingpin_inclination_deg, 2),
                optional(language, row.scrub_radius_mm, 1),
                optional(language, row.half_track_change_mm, 2),
                optional(language, row.roll_centre_height_mm, 1),
                optional(language, row.axle_steer_deg, 3),
            ]
        }),
    );
    let heads = language.pick(
        [
            "left mm",
            "spring mm",
            "spring ratio",
            "its slope /mm",
            "damper mm",
            "damper ratio",
            "drop link °",
            "driveshaft °",
        ],
        [
            "links mm",
            "Feder mm",
            "Übersetzung Feder",
            "Änderung /mm",
            "Dämpfer mm",
            "Übersetzung Dämpfer",
            "Koppelstange °",
            "Antriebswelle °",
        ],
    );
    let lengths = table(
        &heads,
        result.rows.iter().map(|row| {
            vec![
                fixed(language, row.travel_mm, 0),
                fixed(language, row.spring_length_mm, 1),
                fixed(language, row.spring_motion_ratio, 4),
                fixed(language, row.spring_motion_ratio_slope_per_mm, 6),
                fixed(language, row.damper_length_mm, 1),
                fixed(language, row.damper_motion_ratio, 4),
                optional(language, row.drop_link_angle_deg, 1),
                optional(language, row.driveshaft_angle_deg, 1),
            ]
        }),
    );
    let [rebound, bump] = [result.rebound_reach_mm, result.bump_reach_mm].map(whole);
    let [down, up] =
        [&result.rebound_reach_ends, &result.bump_reach_ends].map(|ends| ends.in_language(language));
    let reach = language.pick(
        format!("Reach: {rebound} mm in rebound ({down}), {bump} mm in bump ({up}). Bump travel is positive; all but the axle's steer (left positive) is of the left wheel. A dash: the axle has no such part, or its points are not known."),
        format!("Bereich: {rebound} mm ausgefedert ({down}), {bump} mm eingefedert ({up}). Einfedern ist positiv; alles außer dem Achslenken (nach links positiv) gilt für das linke Rad. Ein Strich: die Achse hat kein solches Teil, oder seine Punkte sind nicht bekannt."),
    );
    format!("{angles}\n{lengths}\n{}", folded(&reach, 2))
}
