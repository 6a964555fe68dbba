//! Furnishings: what usually stands in vans of a kind, so that one answer on the telephone stands for a whole load list.

use crate::document::Fields;
use crate::facts::Words;
use crate::load_list::{CarriedItem, ListedItem, read_carried_item};

/// What usually stands in vans of a kind. Its masses are as wide as such vans differ; the load list refines them.
#[derive(Debug, Clone, PartialEq)]
pub struct Furnishing {
    /// Identifier that enquiries refer to.
    pub id: String,
    /// What the customer calls it.
    pub name: Words,
    /// Vehicle sheets it is for; every one where empty.
    pub vehicles: Vec<String>,
    /// What it puts into the van.
    pub items: Vec<CarriedItem>,
}

impl Furnishing {
    /// Whether it is for a vehicle sheet.
    pub fn is_for(&self, vehicle: &str) -> bool {
        self.vehicles.is_empty() || self.vehicles.iter().any(|id| id == vehicle)
    }
}

/// What furnishings refer to.
#[derive(Debug, Clone, Copy, Default)]
pub struct FurnishingWorld<'a> {
    /// The workshop's load items.
    pub listed: &'a [ListedItem],
    /// Identifiers of vehicle sheets.
    pub vehicles: &'a [String],
}

/// Reads the workshop's furnishings.
pub fn read_furnishings(f: &mut Fields, world: FurnishingWorld) -> Vec<Furnishing> {
    f.list("furnishings", "What usually stands in vans of a kind", |f| {
        let furnishing = Furnishing {
            id: f.id("id", "Identifier that enquiries refer to"),
            name: f.table("name", "What the customer calls it", Words::read),
            vehicles: f.id_list("vehicles", 0..=200, "Vehicle sheets it is for; every one where empty"),
            items: f.list("items", "What it puts into the van", |f| read_carried_item(f, world.listed)),
        };
        for (k, id) in furnishing.vehicles.iter().enumerate() {
            if f.is_sound() && !f.is_describing() && !world.vehicles.contains(id) {
                let allowed = format!("one of {}", world.vehicles.join(", "));
                f.fault_at(&format!("vehicles[{k}]"), &format!("\"{id}\""), &allowed);
            }
        }
        furnishing
    })
}
