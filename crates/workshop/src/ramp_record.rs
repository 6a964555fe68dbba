//! Ramp record: what was read after fitting, how the van was settled, where the collars are.

use crate::catalogue::Catalogue;
use crate::document::{Fields, Range, range};
use crate::kit::read_collar_positions;

/// How the van was brought to rest before it was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Settled {
    /// Rolled both ways and bounced.
    RolledAndBounced,
    /// Bounced on turn plates.
    OnTurnPlates,
    /// Only let down off the lift: tyres hold the wheels in, friction holds the body up.
    OnlyLowered,
}

/// A ramp record. Arrays are front left, front right, rear left, rear right.
#[derive(Debug, Clone, PartialEq)]
pub struct RampRecord {
    /// Enquiry it belongs to.
    pub enquiry: String,
    /// Kit that was fitted.
    pub kit: String,
    /// How the van was settled.
    pub settled: Settled,
    /// Whether the rubber bushes were clamped anew at ride height.
    pub bushes_reclamped: bool,
    /// Whether the van carries what the enquiry lists for the ramp.
    pub load_as_listed: bool,
    /// Whether the springs had been driven for some weeks before they were read, and so had settled.
    pub springs_settled: bool,
    /// Whether unequal collars left and right were asked for.
    pub unequal_asked: bool,
    /// Collar positions from the datum as they are, mm; `None` where there is no collar.
    pub collar_mm: [Option<f64>; 4],
    /// How much deeper than usual front and rear struts sit in their tubes, mm.
    pub insertion_mm: [f64; 2],
    /// Arch heights, each read after a settling of its own, mm.
    pub readings_mm: Vec<[f64; 4]>,
    /// Whether every one of them was read a second time and found right: they are then used even where they do not fit.
    pub read_twice: bool,
    /// Rise of the four floor spots above a common level, mm.
    pub floor_rise_mm: [f64; 4],
    /// Corner weights, kg.
    pub corner_kg: Option<[f64; 4]>,
}

const CORNERS: [&str; 4] = ["front_left", "front_right", "rear_left", "rear_right"];
const ARCH_MM: Range = range(100.0, 1000.0);

impl RampRecord {
    /// Reads a ramp record against a catalogue.
    pub fn read(f: &mut Fields, catalogue: &Catalogue) -> Self {
        let readings: Vec<([f64; 4], bool)> =
            f.non_empty_list("readings", "Arch heights, each after a settling of its own", |f| {
                let doc = "Wheel centre to arch lip";
                let heights_mm = CORNERS.map(|corner| f.number(&format!("{corner}_mm"), ARCH_MM, doc));
                let doc = "Whether these heights were read a second time and found right; where all were, they are used even if they do not fit";
                (heights_mm, f.flag_or("read_twice", false, doc))
            });
        let record = Self {
            enquiry: f.id("enquiry", "Enquiry it belongs to"),
            kit: f.kit_id("kit", "Kit that was fitted, or `springs+dampers` of two"),
            settled: f.choice(
                "settled",
                &[
                    ("rolled_and_bounced", Settled::RolledAndBounced),
                    ("on_turn_plates", Settled::OnTurnPlates),
                    ("only_lowered", Settled::OnlyLowered),
                ],
                "How the van was brought to rest before it was read",
            ),
            bushes_reclamped: f
                .flag("bushes_reclamped", "Whether the bushes were clamped anew at ride height"),
            load_as_listed: f
                .flag("load_as_listed", "Whether the van carries what the enquiry lists for the ramp"),
            springs_settled: f.flag_or(
                "springs_settled",
                false,
                "Whether the springs had been driven for some weeks and had settled; new springs still lose length",
            ),
            unequal_asked: f.flag_or("unequal_asked", false, "Whether unequal collars were asked for"),
            collar_mm: read_collar_positions(f, "collars", "Collar positions from the datum as they are"),
            insertion_mm: ["front", "rear"].map(|axle| {
                let name = format!("{axle}_insertion_mm");
                f.number_or(
                    &name,
                    range(0.0, 60.0),
                    0.0,
                    "How much deeper than usual the struts sit in their tubes",
                )
            }),
            read_twice: !readings.is_empty() && readings.iter().all(|(_, twice)| *twice),
            readings_mm: readings.into_iter().map(|(heights_mm, _)| heights_mm).collect(),
            floor_rise_mm: f
                .optional_table("floor", "Rise of the four floor spots above a common level", |f| {
                    CORNERS.map(|corner| {
                        f.number(&format!("{corner}_mm"), range(-100.0, 100.0), "By water level or laser")
                    })
                })
                .unwrap_or([0.0; 4]),
            corner_kg: f.optional_table("corner_weights", "Corner scales under the van", |f| {
                CORNERS
                    .map(|corner| f.number(&format!("{corner}_kg"), range(50.0, 3000.0), "Load on the wheel"))
            }),
        };
        if f.is_sound() {
            record.check(f, catalogue);
        }
        record
    }

    fn check(&self, f: &mut Fields, catalogue: &Catalogue) {
        let vehicles = catalogue.vehicles.iter();
        let Some(kit) = vehicles.filter_map(|sheet| catalogue.offer(&sheet.id, &self.kit)).next() else {
            let ids: Vec<&str> = catalogue.kits.iter().map(|kit| kit.id.as_str()).collect();
            f.fault_at("kit", &format!("\"{}\"", self.kit), &format!("one of {}", ids.join(", ")));
            return;
        };
        kit.check_collar_positions(f, "collars", &self.collar_mm, true);
    }
}
