//! `archgap predict ENQUIRY.toml [--kit ID]`

use workshop::answer::{Answer, FitmentAnswer, KitAnswer, KitOutcome, KnownVan, Remark, StateWeight};
use workshop::calibration::AsFoundAxle;
use workshop::catalogue::Catalogue;
use workshop::figure::Figure;
use workshop::kit::Kit;
use workshop::set_up::CollarSetting;
use workshop::sit::{CornerSit, Sit};

use super::json_of;
use crate::data::{DataSource, Trouble};
use crate::tables::{fixed, folded, optional_ranged, ranged, table};

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    kit: Option<&str>,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let enquiry = source.enquiry(&catalogue, named)?;
    let chosen: Vec<Kit> = match kit {
        None => catalogue.kits_for(&enquiry.vehicle).cloned().collect(),
        Some(id) => vec![kit_for(&catalogue, &enquiry.vehicle, id)?],
    };
    let answer = KnownVan::of(&catalogue, &enquiry)?.answer(&chosen.iter().collect::<Vec<_>>())?;
    if json { json_of(&answer) } else { Ok(shown(&answer, kit.is_some())) }
}

/// A kit sold for a vehicle sheet, or two together as `springs+dampers`.
pub(crate) fn kit_for(catalogue: &Catalogue, vehicle: &str, id: &str) -> Result<Kit, Trouble> {
    catalogue.offer(vehicle, id).ok_or_else(|| {
        let ids: Vec<&str> = catalogue.kits_for(vehicle).map(|kit| kit.id.as_str()).collect();
        let ids = ids.join(", ");
        Trouble::NotFound(format!(
            "kit: found \"{id}\", allowed for this van one of {ids}, or springs and dampers of them as springs+dampers"
        ))
    })
}

fn shown(answer: &Answer, in_full: bool) -> String {
    let mut text = format!("{}\n{}\n\n", folded(&answer.question, 0), answer.vehicle);
    text += &weight(answer);
    text += &as_found(&answer.as_found);
    text += &format!("\nTODAY\n{}", fitment_in_full(&answer.today));
    for kit in &answer.kits {
        text += &format!("\n{} — {} ({}, {})\n", kit.kit, kit.name, kit.maker, kit.family.words());
        text += &collars(&kit.collars);
        text += &match &kit.outcome {
            KitOutcome::CannotBeComputed(why) => format!("  cannot be computed: {why}\n"),
            KitOutcome::Sits(fitment) if in_full => fitment_in_full(fitment),
            KitOutcome::Sits(fitment) => fitment_in_short(fitment),
        };
    }
    text += &legend(answer.kits.iter().find_map(kit_sit).unwrap_or(&answer.today.states[0]));
    text
}

/// Where the collars are for these figures, one line an axle.
fn collars(settings: &[CollarSetting]) -> String {
    let at = |left: &str| {
        let setting = settings.iter().find(|setting| setting.corner == left)?;
        let axle = left.split(' ').next()?;
        Some(format!("{axle} {} mm", fixed(setting.position_mm, 1)))
    };
    let places: Vec<String> = ["front left", "rear left"].iter().filter_map(|left| at(left)).collect();
    if places.is_empty() {
        return String::new();
    }
    let words = format!("  collars set for the aim: {} from the datum (archgap set-up)", places.join(", "));
    format!("{}\n", folded(&words, 4))
}

fn kit_sit(kit: &KitAnswer) -> Option<&Sit> {
    match &kit.outcome {
        KitOutcome::Sits(fitment) => fitment.states.first(),
        KitOutcome::CannotBeComputed(_) => None,
    }
}

fn weight(answer: &Answer) -> String {
    let order = &answer.weight;
    let mut text = format!(
        "Mass in running order {} kg ({}), payload {} kg.\n",
        fixed(order.mass_in_running_order_kg.value, 0),
        order.mass_in_running_order_kg.evidence.words(),
        fixed(order.payload_kg.value, 0)
    );
    let row = |state: &StateWeight| {
        vec![
            state.state.name().to_owned(),
            ranged(&state.gross_kg),
            ranged(&state.gross_margin_kg),
            ranged(&state.axle_load_kg[0]),
            ranged(&state.axle_margin_kg[0]),
            ranged(&state.axle_load_kg[1]),
            ranged(&state.axle_margin_kg[1]),
        ]
    };
    let header = ["load state", "gross kg", "left to plate", "front axle kg", "left", "rear axle kg", "left"];
    text += &table(&header, order.states.iter().map(row));
    text += "\n";
    for weighed in &order.weighed {
        let [front, rear] = weighed.unexplained_axle_kg;
        let words = format!(
            "Weighed {}: front {:.0} kg, rear {:.0} kg; by the load list {:.0} and {:.0} kg. Unexplained mass: front {front:+.0} kg, rear {rear:+.0} kg.",
            weighed.state.name(),
            weighed.weighed_axle_kg[0],
            weighed.weighed_axle_kg[1],
            weighed.listed_axle_kg[0],
            weighed.listed_axle_kg[1],
        );
        text += &format!("{}\n", folded(&words, 2));
    }
    text
}

fn as_found(axles: &[AsFoundAxle]) -> String {
    let mut text = String::new();
    for axle in axles {
        let verdict = if axle.told_apart {
            "weighing has told the two apart"
        } else {
            "heights alone cannot tell the two apart: weigh it"
        };
        let words = format!(
            "As found, {}: arch height {:.0} mm, {:+.0} mm against new original springs under the listed load. Alone it would take {:+.0} kg over the axle, or springs {:.1} mm shorter. Believed now: {} kg not listed and {:.1} ± {:.1} mm of sag; {verdict}.",
            axle.axle,
            axle.found_arch_height_mm,
            axle.difference_mm,
            axle.load_alone_kg,
            axle.sag_alone_mm,
            ranged(&axle.unlisted_load_kg),
            axle.sag_mm.value,
            axle.sag_mm.half_width(),
        );
        text += &format!("{}\n", folded(&words, 2));
    }
    text
}

fn fitment_in_full(fitment: &FitmentAnswer) -> String {
    let mut text = remarks(&fitment.remarks);
    for sit in &fitment.states {
        let words = format!("{}: {}", capitalised(sit.state.name()), body_words(sit));
        text += &format!("\n{}\n", folded(&words, 2));
        text += &heights(sit);
        text += "\n";
        text += &travels(sit);
        text += "\n";
    }
    if let Some(sit) = fitment.states.first() {
        for corner in [&sit.corners[0], &sit.corners[2]] {
            text += &widened(
                &format!("{} arch height {}", corner.corner, sit.state.name()),
                &corner.arch_height_mm,
            );
        }
    }
    text
}

fn body_words(sit: &Sit) -> String {
    let nose = if sit.body_pitch_deg.value < 0.0 { "nose-up" } else { "nose-down" };
    let tail = if sit.level_mm.value < 0.0 { "tail down" } else { "tail up" };
    format!(
        "level {} mm ({tail}), lean front {} mm, rear {} mm, body pitch {} ± {}° {nose}",
        ranged(&sit.level_mm),
        ranged(&sit.lean_mm[0]),
        ranged(&sit.lean_mm[1]),
        fixed(sit.body_pitch_deg.value.abs(), 2),
        fixed(sit.body_pitch_deg.half_width(), 2)
    )
}

fn heights(sit: &Sit) -> String {
    let row = |corner: &CornerSit| {
        vec![
            corner.corner.to_owned(),
            ranged(&corner.arch_height_mm),
            format!("{} to {}", fixed(corner.lowest_rest_mm, 0), fixed(corner.highest_rest_mm, 0)),
            ranged(&corner.arch_gap_mm),
            ranged(&corner.lip_height_above_ground_mm),
            ranged(&corner.corner_load_kg),
            corner.drop_against_today_mm.as_ref().map_or_else(|| "-".to_owned(), ranged),
            ranged(&corner.drop_against_original_mm),
        ]
    };
    let header = [
        "corner",
        "arch height mm",
        "friction band",
        "arch gap mm",
        "lip over ground",
        "load kg",
        "drop to today",
        "drop to new",
    ];
    table(&header, sit.corners.iter().map(row))
}

fn travels(sit: &Sit) -> String {
    let row = |corner: &CornerSit| {
        let travel = &corner.travel;
        vec![
            corner.corner.to_owned(),
            optional_ranged(travel.free_bump_travel_mm.as_ref()),
            optional_ranged(travel.bump_travel_to_twice_static_mm.as_ref()),
            format!("{}, {}", ranged(&travel.bump_travel_to_metal_mm), travel.bump_ends_at),
            format!("{}, {}", ranged(&travel.rebound_travel_mm), travel.rebound_ends_at),
            optional_ranged(travel.captive_in_hand_mm.as_ref()),
        ]
    };
    let header =
        ["corner", "free bump mm", "to twice load", "bump to metal mm", "rebound mm", "captive in hand mm"];
    table(&header, sit.corners.iter().map(row))
}

fn fitment_in_short(fitment: &FitmentAnswer) -> String {
    let pair = |sit: &Sit, of: &dyn Fn(&CornerSit) -> String| {
        let (left, right) = (of(&sit.corners[0]), of(&sit.corners[1]));
        let (rear_left, rear_right) = (of(&sit.corners[2]), of(&sit.corners[3]));
        format!("{left} {right}\n{rear_left} {rear_right}")
    };
    let row = |sit: &Sit| {
        vec![
            sit.state.name().to_owned(),
            pair(sit, &|corner| fixed(corner.arch_height_mm.value, 0)),
            format!(
                "± {}\n± {}",
                fixed(sit.corners[0].arch_height_mm.half_width(), 0),
                fixed(sit.corners[2].arch_height_mm.half_width(), 0)
            ),
            pair(sit, &|corner| {
                corner.drop_against_today_mm.as_ref().map_or_else(|| "-".to_owned(), |f| fixed(f.value, 0))
            }),
            ranged(&sit.level_mm),
            pair(sit, &|corner| {
                corner
                    .travel
                    .free_bump_travel_mm
                    .as_ref()
                    .map_or_else(|| "-".to_owned(), |f| fixed(f.value, 0))
            }),
            pair(sit, &|corner| fixed(corner.travel.bump_travel_to_metal_mm.value, 0)),
            pair(sit, &|corner| {
                corner
                    .travel
                    .captive_in_hand_mm
                    .as_ref()
                    .map_or_else(|| "n/a".to_owned(), |f| fixed(f.value, 0))
            }),
        ]
    };
    let header = [
        "load state",
        "arch heights mm",
        "range",
        "drop/today mm",
        "level mm",
        "free bump mm",
        "to metal mm",
        "captive mm",
    ];
    format!("{}{}\n", remarks(&fitment.remarks), table(&header, fitment.states.iter().map(row)))
}

fn remarks(remarks: &[Remark]) -> String {
    remarks
        .iter()
        .map(|r| format!("{}\n", folded(&format!("  {}: {}", r.weight.words(), r.words), 4)))
        .collect()
}

fn widened(what: &str, figure: &Figure) -> String {
    let causes: Vec<String> = figure
        .widened_by
        .iter()
        .map(|c| {
            let share = 100.0 * c.share;
            let narrower = fixed(c.half_width_without, 1);
            format!(
                "{} ({share:.0} %, {}; {} and ± {narrower} mm is left)",
                c.cause,
                c.evidence.words(),
                c.remedy
            )
        })
        .collect();
    format!("{}\n", folded(&format!("The range of the {what} comes from: {}.", causes.join("; ")), 2))
}

fn legend(sit: &Sit) -> String {
    let weakest = sit.corners[0].arch_height_mm.weakest_evidence().words();
    let words = format!(
        "Figures are computed (weakest input: {weakest}) with the range in which the truth lies nine times out of ten. Pairs are left and right, front above rear. The friction band is where dry friction lets the van come to rest. Drop is positive downwards. Springs under load, vehicle supports, brakes, lamps and plated limits: the makers' instructions, local codes and licensed practice come first."
    );
    format!("\n{}\n", folded(&words, 0))
}

fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
