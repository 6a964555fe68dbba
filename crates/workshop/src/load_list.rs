//! Load list: what a van carries, where, and in which load states.

use crate::document::{Fields, Range, range};
use crate::figure::Evidence;

/// One named set of loads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LoadState {
    /// Furniture and fixed equipment, driver.
    AsFittedOut,
    /// What is usually carried.
    DayToDay,
    /// Holiday or working load, everybody aboard.
    FullyLaden,
    /// What is really in the van while it is measured.
    OnTheRamp,
}

impl LoadState {
    /// All states in the order they are shown.
    pub const ALL: [Self; 4] = [Self::AsFittedOut, Self::DayToDay, Self::FullyLaden, Self::OnTheRamp];

    /// Names in files.
    pub const CHOICES: [(&'static str, Self); 4] = [
        ("as_fitted_out", Self::AsFittedOut),
        ("day_to_day", Self::DayToDay),
        ("fully_laden", Self::FullyLaden),
        ("on_the_ramp", Self::OnTheRamp),
    ];

    /// Name for people.
    pub fn name(self) -> &'static str {
        match self {
            Self::AsFittedOut => "as fitted out",
            Self::DayToDay => "day to day",
            Self::FullyLaden => "fully laden",
            Self::OnTheRamp => "on the ramp",
        }
    }
}

/// A place in the van as a tape measure gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Behind the front axle line, mm; negative ahead of it.
    pub behind_front_axle_mm: f64,
    /// Left of the centre plane, mm; negative to the right.
    pub left_of_centre_mm: f64,
    /// Above the ground, mm.
    pub above_ground_mm: f64,
}

/// How far behind the front axle line something can be.
pub const BEHIND_MM: Range = range(-2500.0, 9000.0);
/// How far left of the centre plane.
pub const LEFT_MM: Range = range(-1500.0, 1500.0);
/// How far above the ground.
pub const ABOVE_MM: Range = range(0.0, 4000.0);

impl Place {
    /// Reads a place.
    pub fn read(f: &mut Fields) -> Self {
        Self {
            behind_front_axle_mm: f.number("behind_front_axle_mm", BEHIND_MM, "Behind the front axle line"),
            left_of_centre_mm: f.number_or("left_of_centre_mm", LEFT_MM, 0.0, "Left of the centre plane"),
            above_ground_mm: f.number("above_ground_mm", ABOVE_MM, "Above the ground"),
        }
    }

    /// The place in body axes, m.
    pub fn point_m(&self) -> [f64; 3] {
        [-self.behind_front_axle_mm * 1e-3, self.left_of_centre_mm * 1e-3, self.above_ground_mm * 1e-3]
    }
}

/// A thing that can be carried.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadItem {
    /// Name for people.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Nine times out of ten the true mass lies within this of the stated one, kg.
    pub plus_minus_kg: f64,
    /// Where the mass comes from.
    pub evidence: Evidence,
    /// Where it is.
    pub place: Place,
}

/// An item of the workshop's own list, with an identifier.
#[derive(Debug, Clone, PartialEq)]
pub struct ListedItem {
    /// Identifier that enquiries refer to.
    pub id: String,
    /// The item.
    pub item: LoadItem,
}

/// An item carried in some load states.
#[derive(Debug, Clone, PartialEq)]
pub struct CarriedItem {
    /// The item.
    pub item: LoadItem,
    /// States in which it is aboard.
    pub states: Vec<LoadState>,
}

/// A trailer as the van feels it standing: the load of its drawbar on the tow ball. It counts to the axle and gross loads of
/// the van.
#[derive(Debug, Clone, PartialEq)]
pub struct Trailer {
    /// Name for people.
    pub name: String,
    /// Load on the ball, kg.
    pub nose_load_kg: f64,
    /// Nine times out of ten the true load lies within this of the stated one, kg.
    pub plus_minus_kg: f64,
    /// Where the load comes from.
    pub evidence: Evidence,
    /// States in which it is coupled.
    pub states: Vec<LoadState>,
}

impl Trailer {
    /// Reads a trailer.
    pub fn read(f: &mut Fields) -> Self {
        let name = f.text("name", "Name for people");
        let nose_load_kg = f.number("nose_load_kg", range(1.0, 500.0), "Load on the tow ball");
        let evidence = read_mass_evidence(f).unwrap_or(Evidence::Estimated);
        Self {
            name,
            nose_load_kg,
            plus_minus_kg: read_spread(f, nose_load_kg, evidence),
            evidence,
            states: f.choice_list("in", &LoadState::CHOICES, 1..=4, "Load states in which it is coupled"),
        }
    }

    /// Its load as something carried at the place of the ball.
    pub fn on_the_ball(&self, place: Place) -> CarriedItem {
        let item = LoadItem {
            name: self.name.clone(),
            mass_kg: self.nose_load_kg,
            plus_minus_kg: self.plus_minus_kg,
            evidence: self.evidence,
            place,
        };
        CarriedItem { item, states: self.states.clone() }
    }
}

/// Share of its mass by which an item's mass is taken to be uncertain when nobody says, per cent.
fn default_spread_percent(evidence: Evidence) -> f64 {
    match evidence {
        Evidence::Measured => 1.0,
        Evidence::Plate | Evidence::MakersFigure => 5.0,
        _ => 20.0,
    }
}

/// Mass of one item.
pub const MASS_KG: Range = range(0.1, 4000.0);
/// How uncertain a mass can be.
pub const SPREAD_KG: Range = range(0.0, 2000.0);

/// Evidence of a mass, by its names in files.
pub const MASS_EVIDENCE: [(&str, Evidence); 4] = [
    ("measured", Evidence::Measured),
    ("plate", Evidence::Plate),
    ("makers_figure", Evidence::MakersFigure),
    ("estimated", Evidence::Estimated),
];

fn read_mass_evidence(f: &mut Fields) -> Option<Evidence> {
    f.optional_choice("evidence", &MASS_EVIDENCE, "Where the mass comes from")
}

/// Reads the workshop's list of load items.
pub fn read_listed_items(f: &mut Fields) -> Vec<ListedItem> {
    f.list("items", "Things that vans carry", |f| {
        let id = f.id("id", "Identifier that enquiries refer to");
        ListedItem { id, item: read_item(f, None) }
    })
}

/// Reads one line of an enquiry's load list: an item of the workshop's list by `item`, or all of its own fields.
/// Fields given beside `item` replace those of the list.
pub fn read_carried_item(f: &mut Fields, listed: &[ListedItem]) -> CarriedItem {
    let id = f.optional_id("item", "Identifier of an item of the workshop's list");
    let known = id.as_ref().and_then(|id| listed.iter().find(|candidate| &candidate.id == id));
    if let (Some(id), None) = (&id, known) {
        let allowed: Vec<&str> = listed.iter().map(|candidate| candidate.id.as_str()).collect();
        f.fault_at("item", &format!("\"{id}\""), &format!("one of {}", allowed.join(", ")));
    }
    let fallback = known.map(|candidate| &candidate.item);
    let item = if id.is_some() && known.is_none() { placeholder() } else { read_item(f, fallback) };
    let states = f.choice_list("in", &LoadState::CHOICES, 1..=4, "Load states in which it is aboard");
    CarriedItem { item, states }
}

fn placeholder() -> LoadItem {
    let place = Place { behind_front_axle_mm: 0.0, left_of_centre_mm: 0.0, above_ground_mm: 0.0 };
    LoadItem { name: String::new(), mass_kg: 0.0, plus_minus_kg: 0.0, evidence: Evidence::Estimated, place }
}

fn read_item(f: &mut Fields, known: Option<&LoadItem>) -> LoadItem {
    let Some(known) = known else {
        let name = f.text("name", "Name for people");
        let mass_kg = f.number("mass_kg", MASS_KG, "Mass");
        let evidence = read_mass_evidence(f).unwrap_or(Evidence::Estimated);
        let spread_kg = read_spread(f, mass_kg, evidence);
        return LoadItem { name, mass_kg, plus_minus_kg: spread_kg, evidence, place: Place::read(f) };
    };
    let name = f.optional_text("name", "Name for people").unwrap_or_else(|| known.name.clone());
    let own_mass = f.optional_number("mass_kg", MASS_KG, "Mass");
    let evidence = read_mass_evidence(f).unwrap_or(known.evidence);
    let mass_kg = own_mass.unwrap_or(known.mass_kg);
    let plus_minus_kg = if own_mass.is_some() || f.has("plus_minus_kg") {
        read_spread(f, mass_kg, evidence)
    } else {
        known.plus_minus_kg
    };
    let place = Place {
        behind_front_axle_mm: f.number_or(
            "behind_front_axle_mm",
            BEHIND_MM,
            known.place.behind_front_axle_mm,
            "Behind the front axle line",
        ),
        left_of_centre_mm: f.number_or(
            "left_of_centre_mm",
            LEFT_MM,
            known.place.left_of_centre_mm,
            "Left of the centre plane",
        ),
        above_ground_mm: f.number_or(
            "above_ground_mm",
            ABOVE_MM,
            known.place.above_ground_mm,
            "Above the ground",
        ),
    };
    LoadItem { name, mass_kg, plus_minus_kg, evidence, place }
}

fn read_spread(f: &mut Fields, mass_kg: f64, evidence: Evidence) -> f64 {
    let default_kg = mass_kg * default_spread_percent(evidence) / 100.0;
    f.number_or(
        "plus_minus_kg",
        SPREAD_KG,
        default_kg,
        "Nine times out of ten the true mass lies within this of the stated one",
    )
}
