//! Customers and their vans.

use serde::{Deserialize, Serialize};

use super::{Id, Kind, Record, within};
use crate::error::Result;
use crate::index::Index;

/// A customer.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Customer {
    /// Name as written on papers.
    pub name: String,
    /// Telephone numbers as given.
    pub phones: Vec<String>,
    /// Electronic mail address.
    pub email: Option<String>,
    /// Postal address, lines as written.
    pub address: Vec<String>,
    /// Language of papers, `en` or `de`.
    pub language: Option<String>,
    /// What the workshop notes.
    pub notes: String,
}

impl Record for Customer {
    const KIND: Kind = Kind::Customer;

    fn index(&self, index: &mut Index) {
        index.name(&self.name);
        self.phones.iter().for_each(|phone| index.phone(phone));
        self.email.iter().for_each(|email| index.name(email));
    }
}

/// A van and everything measured on it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Van {
    /// Whose it is.
    pub customer: Id,
    /// Number plate as written.
    pub plate: String,
    /// Vehicle sheet, where it is known.
    pub vehicle: Option<String>,
    /// Grade of the vehicle sheet.
    pub grade: Option<String>,
    /// Vehicle identification number.
    pub vin: Option<String>,
    /// Year of first registration.
    pub year: Option<i32>,
    /// What the workshop calls it.
    pub description: String,
    /// Corner or axle weights as weighed.
    pub weighings: Vec<Weighing>,
    /// Height of each wheel-arch lip over where the vehicle sheet has it, mm; measured once and kept.
    pub lip_offset_mm: Option<[f64; 4]>,
    /// Arch heights as found, each time they were read.
    pub as_found: Vec<AsFound>,
    /// Kit that is fitted now.
    pub fitted_kit: Option<String>,
    /// What the workshop notes.
    pub notes: String,
}

/// One weighing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Weighing {
    /// When, ms.
    pub at_ms: i64,
    /// Load state it was in.
    pub load_state: String,
    /// Corner weights, kg.
    pub corner_kg: Option<[f64; 4]>,
    /// Axle weights front and rear, kg.
    pub axle_kg: Option<[f64; 2]>,
    /// Scales, weighbridge, who read them.
    pub source: String,
}

/// Arch heights read before any work.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AsFound {
    /// When, ms.
    pub at_ms: i64,
    /// Arch heights, mm.
    pub arch_mm: [f64; 4],
    /// How the van was settled.
    pub settled: super::Settled,
}

impl Record for Van {
    const KIND: Kind = Kind::Van;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Customer, &self.customer);
        index.plate(&self.plate);
        [&self.vehicle, &self.grade, &self.vin, &self.fitted_kit]
            .into_iter()
            .flatten()
            .for_each(|text| index.van(text));
        index.van(&self.description);
    }

    fn check(&self) -> Result<()> {
        for weighing in &self.weighings {
            weighing.corner_kg.iter().flatten().try_for_each(|&kg| within("corner_kg", kg, 0.0, 5_000.0))?;
            weighing.axle_kg.iter().flatten().try_for_each(|&kg| within("axle_kg", kg, 0.0, 10_000.0))?;
        }
        self.lip_offset_mm.iter().flatten().try_for_each(|&mm| within("lip_offset_mm", mm, -200.0, 200.0))?;
        self.as_found
            .iter()
            .flat_map(|found| &found.arch_mm)
            .try_for_each(|&mm| within("arch_mm", mm, 100.0, 1_000.0))
    }
}
