//! Every rim and tyre of the workshop's list on a van: what fits and carries first, and why the others do not.

use mechanics::statics::{FRONT, REAR};

use crate::answer::KnownVan;
use crate::assembly::CannotStand;
use crate::checks::{Check, Finding, wheel_checks};
use crate::facts::Words;
use crate::kit::Kit;
use crate::tyre_marking::LoadIndex;
use crate::wording::check_says::tyres;

/// Rims and tyres on a van.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct WheelList {
    /// Identifier of the enquiry.
    pub enquiry: String,
    /// Van class and grade.
    pub vehicle: String,
    /// Kit that it stands on; as it stands today where absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kit: Option<String>,
    /// Least load index that carries the plated front and rear axle load on single wheels; absent beyond the table.
    pub needed_load_index: [Option<u16>; 2],
    /// Rim diameters in which no tyre of the list carries the plate.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_carried: Vec<NotCarried>,
    /// Rims with tyres of their diameter.
    pub pairs: Vec<WheelPair>,
}

/// A rim diameter in which no tyre carries the plate.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct NotCarried {
    /// Nominal diameter, inch.
    pub rim_diameter_inch: f64,
    /// Highest load index of the list in that diameter.
    pub highest_load_index: u16,
    /// The same in a sentence.
    pub words: Words,
}

/// A rim and tyre on the van.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct WheelPair {
    /// Identifier of the rim.
    pub rim: String,
    /// Name of the rim, its maker first.
    pub rim_name: String,
    /// Identifier of the tyre.
    pub tyre: String,
    /// Name of the tyre, its maker first.
    pub tyre_name: String,
    /// What stands on the sidewall.
    pub marking: String,
    /// The worst finding.
    pub finding: Finding,
    /// The check that decided it; absent where all hold.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub deciding: Option<Check>,
    /// All checks.
    pub checks: Vec<Check>,
}

impl KnownVan<'_> {
    /// Every rim and tyre of the list, with a kit set for the aim or as the van stands today.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn wheel_list(&self, kit: Option<&Kit>) -> Result<WheelList, CannotStand> {
        let on = kit.map(|kit| self.on_kit(kit)).transpose()?;
        let standing = self.standing(on.as_deref());
        let offer = &self.catalogue.wheels;
        let mut pairs: Vec<WheelPair> = offer
            .pairs()
            .map(|(rim, tyre)| {
                let checks = wheel_checks(&standing, rim, tyre);
                let finding = checks.iter().map(|check| check.finding).max().unwrap_or(Finding::LookAtIt);
                let deciding = (finding != Finding::Holds)
                    .then(|| checks.iter().find(|check| check.finding == finding).cloned())
                    .flatten();
                WheelPair {
                    rim: rim.id.clone(),
                    rim_name: rim.full_name(),
                    tyre: tyre.id.clone(),
                    tyre_name: tyre.full_name(),
                    marking: tyre.marking.to_string(),
                    finding,
                    deciding,
                    checks,
                }
            })
            .collect();
        let open =
            |pair: &WheelPair, finding| pair.checks.iter().filter(|check| check.finding == finding).count();
        pairs.sort_by_key(|pair| (pair.finding, open(pair, Finding::DoNot), open(pair, Finding::LookAtIt)));
        let grade = self.van.grade;
        let plated_kg = [grade.plated_front_axle_kg, grade.plated_rear_axle_kg];
        Ok(WheelList {
            enquiry: self.enquiry.id.clone(),
            vehicle: format!("{}, {}", self.van.sheet.name, grade.name),
            kit: kit.map(|kit| kit.id.clone()),
            needed_load_index: [FRONT, REAR]
                .map(|axle| LoadIndex::least_for(0.5 * plated_kg[axle]).map(LoadIndex::index)),
            not_carried: self.not_carried(plated_kg[FRONT].max(plated_kg[REAR])),
            pairs,
        })
    }

    /// Rim diameters in which no tyre of the list carries half an axle load.
    fn not_carried(&self, axle_kg: f64) -> Vec<NotCarried> {
        let tyres = &self.catalogue.wheels.tyres;
        let mut diameters: Vec<f64> = tyres.iter().map(|tyre| tyre.marking.rim_diameter_inch).collect();
        diameters.sort_by(f64::total_cmp);
        diameters.dedup();
        let needed = LoadIndex::least_for(0.5 * axle_kg).map(LoadIndex::index);
        diameters
            .into_iter()
            .filter_map(|inch| {
                let of_diameter =
                    tyres.iter().filter(|tyre| (tyre.marking.rim_diameter_inch - inch).abs() < 0.25);
                let highest = of_diameter.map(|tyre| tyre.service.single).max()?;
                let index = highest.index();
                (2.0 * highest.load_kg() < axle_kg).then(|| NotCarried {
                    rim_diameter_inch: inch,
                    highest_load_index: index,
                    words: Words::of(|language| {
                        tyres::size_not_carried(language, inch, axle_kg, needed, index)
                    }),
                })
            })
            .collect()
    }
}
