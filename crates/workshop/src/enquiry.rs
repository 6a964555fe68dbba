//! Enquiry: whose van, what it carries, how it stands, what is wished.

use crate::assembly::OtherWheels;
use crate::catalogue::Catalogue;
use crate::document::{Fields, Range, range};
use crate::facts::FactIs;
use crate::kit::read_collar_positions;
use crate::load_list::{CarriedItem, LoadState, Trailer, read_carried_item};
use crate::units::m_from_mm;
use crate::vehicle_sheet::{DRIVER_KG, RUNNING_ORDER_FUEL_PERCENT, TyreSheet};
use crate::wheels::WheelChoice;

/// One customer's question.
#[derive(Debug, Clone, PartialEq)]
pub struct Enquiry {
    /// Identifier.
    pub id: String,
    /// The question in words.
    pub question: String,
    /// Vehicle sheet.
    pub vehicle: String,
    /// Grade of the vehicle sheet.
    pub grade: String,
    /// Kit that is fitted now; original parts where absent.
    pub fitted_kit: Option<String>,
    /// Where its collars are, from the datum, mm; `None` where there is none or nobody has measured it.
    pub fitted_collars_mm: [Option<f64>; 4],
    /// Tyre other than the standard one; that of `wheels` where they are chosen.
    pub tyre: Option<TyreSheet>,
    /// Rim and tyre of the workshop's list.
    pub wheels: Option<WheelChoice>,
    /// What usually stands in such a van, by name.
    pub furnishing: Option<String>,
    /// What the van carries, a furnishing's items and the nose load of a trailer among it.
    pub items: Vec<CarriedItem>,
    /// A trailer by its load on the tow ball.
    pub trailer: Option<Trailer>,
    /// Driver and fuel in each load state.
    pub aboard: [Aboard; 4],
    /// What scales said.
    pub weighed: Vec<Weighing>,
    /// Arch heights as found, before anything is changed.
    pub as_found: Option<HeightReading>,
    /// What the customer wishes.
    pub wish: Wish,
    /// What a height-adjustable kit is set to.
    pub aim: Aim,
    /// What is known of the van beyond its vehicle sheet.
    pub facts: Vec<FactIs>,
    /// How the parts come to the customer.
    pub delivery: Delivery,
    /// Last day on which prices hold, `yyyy-mm-dd`; empty where it is not settled.
    pub valid_until: String,
    /// Paid so far, in minor units of the price list's currency.
    pub paid_minor: i64,
}

/// How the parts come to the customer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Delivery {
    /// Fitted on the ramp.
    #[default]
    Fitted,
    /// Sent by post.
    Posted,
    /// Sold over the counter.
    Collected,
}

/// What the collars are set for: a mean drop against today and a level, in one load state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Load state in which it is meant.
    pub state: LoadState,
    /// Mean drop of the four arches against today, mm.
    pub drop_against_today_mm: f64,
    /// Level, tail-up positive, mm.
    pub level_mm: f64,
}

/// Driver and fuel of a load state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aboard {
    /// Mass on the driver's seat, kg.
    pub driver_kg: f64,
    /// Fuel, per cent of the tank.
    pub fuel_percent: f64,
}

/// What scales said in a load state.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighing {
    /// What was in the van.
    pub state: LoadState,
    /// The readings.
    pub reading: ScaleReading,
}

/// Readings of a weighbridge or of corner scales.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ScaleReading {
    /// Front and rear axle, kg.
    Axles([f64; 2]),
    /// Front left, front right, rear left, rear right, kg.
    Corners([f64; 4]),
}

/// Four arch heights in a load state.
#[derive(Debug, Clone, PartialEq)]
pub struct HeightReading {
    /// What was in the van.
    pub state: LoadState,
    /// Front left, front right, rear left, rear right, mm.
    pub arch_height_mm: [f64; 4],
}

/// What the shortlist is sorted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WishKind {
    /// Closest to a drop against today.
    Drop,
    /// Load floor closest to level.
    Level,
    /// Most bump travel left.
    Travel,
    /// Most load left to the plates.
    LoadReserve,
    /// Most ground clearance.
    Clearance,
    /// Least shaking of the driver, as far as a difference to new original parts can be promised.
    Comfort,
}

/// A wish.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wish {
    /// What it is about.
    pub kind: WishKind,
    /// Load state in which it is meant.
    pub state: LoadState,
    /// Wished drop against today, mm, mean of the four arches; absent where none is wished.
    pub drop_against_today_mm: Option<f64>,
    /// How far from it is still within the wish, mm.
    pub drop_within_mm: f64,
    /// How far from level is still within the wish, mm, where level is wished.
    pub level_within_mm: Option<f64>,
    /// Bump travel to metal wished for when fully laden, mm.
    pub travel_at_least_mm: Option<f64>,
    /// Load reserve wished for when fully laden, the least of both axles and gross, kg.
    pub load_reserve_at_least_kg: Option<f64>,
    /// Ground clearance wished for when fully laden, mm.
    pub ground_clearance_at_least_mm: Option<f64>,
    /// By how much more than new original parts it may shake the driver, per cent; negative: it must shake less.
    pub comfort_change_at_most_percent: Option<f64>,
    /// Most that it may cost, tax included, in minor units of the price list's currency.
    pub budget_minor: Option<i64>,
}

impl Default for Wish {
    fn default() -> Self {
        Self {
            kind: WishKind::Level,
            state: LoadState::DayToDay,
            drop_against_today_mm: None,
            drop_within_mm: USUAL_DROP_WITHIN_MM,
            level_within_mm: None,
            travel_at_least_mm: None,
            load_reserve_at_least_kg: None,
            ground_clearance_at_least_mm: None,
            comfort_change_at_most_percent: None,
            budget_minor: None,
        }
    }
}

/// A drop within this of the wished one serves the wish, mm, where nobody says otherwise.
const USUAL_DROP_WITHIN_MM: f64 = 8.0;

impl WishKind {
    /// Names in files and on the command line.
    pub const CHOICES: [(&'static str, Self); 6] = [
        ("drop", Self::Drop),
        ("level", Self::Level),
        ("travel", Self::Travel),
        ("load_reserve", Self::LoadReserve),
        ("clearance", Self::Clearance),
        ("comfort", Self::Comfort),
    ];
}

impl Wish {
    /// Whether a kit is judged by a wish: level and travel always, the others where they are stated.
    pub fn counts(&self, kind: WishKind) -> bool {
        self.kind == kind
            || match kind {
                WishKind::Level | WishKind::Travel => true,
                WishKind::Drop => self.drop_against_today_mm.is_some(),
                WishKind::LoadReserve => self.load_reserve_at_least_kg.is_some(),
                WishKind::Clearance => self.ground_clearance_at_least_mm.is_some(),
                WishKind::Comfort => self.comfort_change_at_most_percent.is_some(),
            }
    }
}

const CORNER_NAMES: [&str; 4] = ["front_left", "front_right", "rear_left", "rear_right"];

impl Enquiry {
    /// Reads an enquiry against a catalogue.
    pub fn read(f: &mut Fields, catalogue: &Catalogue) -> Self {
        let wish =
            f.optional_table("wish", "What the shortlist is sorted by", Wish::read).unwrap_or_default();
        let mut enquiry = Self {
            id: f.id("id", "Identifier"),
            question: f.text("question", "The question in words"),
            vehicle: f.id("vehicle", "Vehicle sheet"),
            grade: f.id("grade", "Grade of the vehicle sheet"),
            fitted_kit: f.optional_kit_id(
                "fitted_kit",
                "Kit that is fitted now, or `springs+dampers` of two; original parts where absent",
            ),
            fitted_collars_mm: read_collar_positions(
                f,
                "fitted_collars",
                "Collar positions of the fitted kit from the datum",
            ),
            tyre: f.optional_table("tyre", "Tyre other than the standard one", TyreSheet::read),
            wheels: f.optional_table("wheels", "Rim and tyre of the workshop's list", WheelChoice::read),
            furnishing: f.optional_id("furnishing", "What usually stands in such a van, by name"),
            items: f.list("items", "What the van carries", |f| read_carried_item(f, &catalogue.load_items)),
            trailer: f.optional_table("trailer", "A trailer by its load on the tow ball", Trailer::read),
            aboard: read_aboard(f),
            weighed: f.list("weighed", "What scales said", Weighing::read),
            as_found: f.optional_table("as_found", "Arch heights before anything is changed", |f| {
                HeightReading {
                    state: read_state(f, "What was in the van while it was measured"),
                    arch_height_mm: read_heights(f),
                }
            }),
            wish,
            aim: Aim::read(f, wish),
            delivery: f
                .optional_choice(
                    "delivery",
                    &[
                        ("fitted", Delivery::Fitted),
                        ("posted", Delivery::Posted),
                        ("collected", Delivery::Collected),
                    ],
                    "How the parts come to the customer",
                )
                .unwrap_or_default(),
            valid_until: f.optional_date("valid_until", "Last day on which prices hold").unwrap_or_default(),
            paid_minor: f.integer_or("paid_minor", 0..=1_000_000_000, 0, "Paid so far, in minor units"),
            facts: f.list("facts", "What is known of this van", |f| FactIs::read(f, &catalogue.facts)),
        };
        if let Some(trailer) = &enquiry.trailer {
            let sheet = catalogue.vehicle(&enquiry.vehicle);
            match sheet.map(|sheet| &sheet.body.tow_ball) {
                Some(Some(ball)) => enquiry.items.push(trailer.on_the_ball(ball.place())),
                Some(None) => {
                    let allowed = "no trailer, as the vehicle sheet has no [body.tow_ball]";
                    f.fault_at("trailer", "a load on the tow ball", allowed);
                }
                None => {}
            }
        }
        if let Some(id) = &enquiry.furnishing {
            match catalogue.furnishings.iter().find(|known| known.id == *id && known.is_for(&enquiry.vehicle))
            {
                Some(furnishing) => enquiry.items.extend(furnishing.items.iter().cloned()),
                None => {
                    let known = catalogue.furnishings.iter().filter(|known| known.is_for(&enquiry.vehicle));
                    let ids: Vec<&str> = known.map(|known| known.id.as_str()).collect();
                    f.fault_at("furnishing", &format!("\"{id}\""), &format!("one of {}", ids.join(", ")));
                }
            }
        }
        // whatever else is at fault, a name that is given can be looked up
        if !f.is_describing() && !enquiry.vehicle.is_empty() {
            enquiry.check_references(f, catalogue);
        }
        if let Some(choice) = &enquiry.wheels {
            if enquiry.tyre.is_some() {
                f.fault_at("tyre", "a tyre beside wheels of the list", "one of tyre, wheels");
            }
            choice.check(f, "wheels", &catalogue.wheels);
            enquiry.tyre = enquiry.chosen_tyre(catalogue);
        }
        enquiry
    }

    /// The chosen tyre, its rate taken at the pressure for the mean plated wheel load.
    fn chosen_tyre(&self, catalogue: &Catalogue) -> Option<TyreSheet> {
        let grade = catalogue.vehicle(&self.vehicle)?.grade(&self.grade)?;
        let (_, tyre) = catalogue.wheels.chosen(self.wheels.as_ref()?)?;
        Some(tyre.sheet(0.25 * (grade.plated_front_axle_kg + grade.plated_rear_axle_kg)))
    }

    /// Wheels other than the original ones. How far outboard a chosen rim stands is known where the sheet knows the offset
    /// of the original rim; a tyre alone stands on the original rim.
    pub fn other_wheels(&self, catalogue: &Catalogue) -> Option<OtherWheels> {
        let chosen = || {
            let (rim, _) = catalogue.wheels.chosen(self.wheels.as_ref()?)?;
            let original_mm = catalogue.vehicle(&self.vehicle)?.wheels.offset_mm?;
            Some(rim.outboard_mm(original_mm))
        };
        let outboard_m = m_from_mm(chosen().unwrap_or(0.0));
        self.tyre.clone().map(|tyre| OtherWheels { tyre, outboard_m })
    }

    /// All that is said of the van itself, what it carries, how it was found and what stands on it, as text. Enquiries
    /// of one catalogue that agree in it are about the same van to mechanics, whatever is wished, known beside or paid.
    pub fn said_of_the_van(&self) -> String {
        let Self {
            vehicle,
            grade,
            fitted_kit,
            fitted_collars_mm,
            tyre,
            wheels,
            items,
            aboard,
            weighed,
            as_found,
            // a furnishing and a trailer are among the items
            furnishing: _,
            trailer: _,
            // kits are set for the aim and by the facts one by one
            aim: _,
            facts: _,
            wish: _,
            id: _,
            question: _,
            delivery: _,
            valid_until: _,
            paid_minor: _,
        } = self;
        let (van, parts) = ((vehicle, grade), (fitted_kit, fitted_collars_mm, tyre, wheels));
        format!("{van:?} {parts:?} {:?}", (items, aboard, weighed, as_found))
    }

    fn check_references(&self, f: &mut Fields, catalogue: &Catalogue) {
        let Some(sheet) = catalogue.vehicle(&self.vehicle) else {
            let ids: Vec<&str> = catalogue.vehicles.iter().map(|v| v.id.as_str()).collect();
            f.fault_at("vehicle", &format!("\"{}\"", self.vehicle), &format!("one of {}", ids.join(", ")));
            return;
        };
        if sheet.grade(&self.grade).is_none() {
            let ids: Vec<&str> = sheet.grades.iter().map(|grade| grade.id.as_str()).collect();
            f.fault_at("grade", &format!("\"{}\"", self.grade), &format!("one of {}", ids.join(", ")));
        }
        if let Some(id) = &self.fitted_kit {
            match catalogue.offer(&self.vehicle, id) {
                Some(kit) => kit.check_collar_positions(f, "fitted_collars", &self.fitted_collars_mm, false),
                None => {
                    let ids: Vec<&str> =
                        catalogue.kits_for(&self.vehicle).map(|kit| kit.id.as_str()).collect();
                    f.fault_at("fitted_kit", &format!("\"{id}\""), &format!("one of {}", ids.join(", ")));
                }
            }
        } else if self.fitted_collars_mm != [None; 4] {
            f.fault_at("fitted_collars", "collars without a kit", "a kit in fitted_kit");
        }
    }
}

fn read_state(f: &mut Fields, doc: &str) -> LoadState {
    f.choice("state", &LoadState::CHOICES, doc)
}

fn read_heights(f: &mut Fields) -> [f64; 4] {
    CORNER_NAMES.map(|corner| {
        f.number(&format!("{corner}_mm"), range(100.0, 1000.0), "Wheel centre to wheel-arch lip, vertical")
    })
}

fn read_aboard(f: &mut Fields) -> [Aboard; 4] {
    LoadState::CHOICES.map(|(name, state)| {
        let driver_kg = if state == LoadState::OnTheRamp { 0.0 } else { DRIVER_KG };
        let usual = Aboard { driver_kg, fuel_percent: RUNNING_ORDER_FUEL_PERCENT };
        f.optional_table(name, "Driver and fuel in this load state", |f| Aboard {
            driver_kg: f.number_or(
                "driver_kg",
                range(0.0, 200.0),
                usual.driver_kg,
                "Mass on the driver's seat",
            ),
            fuel_percent: f.number_or(
                "fuel_percent",
                range(0.0, 100.0),
                usual.fuel_percent,
                "Fuel in the tank",
            ),
        })
        .unwrap_or(usual)
    })
}

impl Aim {
    /// Reads the aim; what is not given follows from the wish.
    fn read(f: &mut Fields, wish: Wish) -> Self {
        // who wishes no drop keeps the mean height of today
        let drop_against_today_mm = wish.drop_against_today_mm.unwrap_or(0.0);
        let usual = Self { state: wish.state, drop_against_today_mm, level_mm: 0.0 };
        f.optional_table("aim", "What a height-adjustable kit is set to", |f| Self {
            state: f
                .optional_choice("state", &LoadState::CHOICES, "Load state in which it is meant")
                .unwrap_or(usual.state),
            drop_against_today_mm: f.number_or(
                "drop_against_today_mm",
                range(-150.0, 200.0),
                usual.drop_against_today_mm,
                "Mean drop of the four arches against today",
            ),
            level_mm: f.number_or(
                "level_mm",
                range(-150.0, 150.0),
                usual.level_mm,
                "Level, tail-up positive",
            ),
        })
        .unwrap_or(usual)
    }
}

/// What scales can say of an axle or a wheel.
pub const SCALE_KG: Range = range(50.0, 6000.0);

impl Weighing {
    fn read(f: &mut Fields) -> Self {
        f.exactly_one_of(&["axles", "corners"]);
        let state = read_state(f, "What was in the van on the scales");
        let axles = f.optional_table("axles", "Weighbridge, axle by axle", |f| {
            [f.number("front_kg", SCALE_KG, "Front axle"), f.number("rear_kg", SCALE_KG, "Rear axle")]
        });
        let corners = f.optional_table("corners", "Corner scales", |f| {
            CORNER_NAMES.map(|corner| f.number(&format!("{corner}_kg"), SCALE_KG, "Load on the wheel"))
        });
        let reading = match (axles, corners) {
            (_, Some(corners)) => ScaleReading::Corners(corners),
            (axles, None) => ScaleReading::Axles(axles.unwrap_or([SCALE_KG.min; 2])),
        };
        Self { state, reading }
    }
}

impl Wish {
    fn read(f: &mut Fields) -> Self {
        let kind =
            f.choice("by", &WishKind::CHOICES, "drop, level, travel, load_reserve, clearance or comfort");
        let drop_mm = f.optional_number(
            "drop_against_today_mm",
            range(-150.0, 200.0),
            "Wished drop against today, mean of the four arches; needed where the wish is by drop",
        );
        if kind == WishKind::Drop && drop_mm.is_none() && f.is_sound() && !f.is_describing() {
            f.fault_at("drop_against_today_mm", "nothing", "the wished drop in mm, as the wish is by drop");
        }
        Self {
            kind,
            state: f
                .optional_choice("state", &LoadState::CHOICES, "Load state in which it is meant")
                .unwrap_or(LoadState::DayToDay),
            drop_against_today_mm: drop_mm,
            drop_within_mm: f.number_or(
                "drop_within_mm",
                range(0.0, 100.0),
                USUAL_DROP_WITHIN_MM,
                "How far from it is still within the wish",
            ),
            level_within_mm: f.optional_number(
                "level_within_mm",
                range(0.0, 100.0),
                "How far from level is still within the wish",
            ),
            travel_at_least_mm: f.optional_number(
                "travel_at_least_mm",
                range(0.0, 200.0),
                "Bump travel to metal wished for when fully laden",
            ),
            load_reserve_at_least_kg: f.optional_number(
                "load_reserve_at_least_kg",
                range(0.0, 3000.0),
                "Load reserve wished for when fully laden: the least left of both axles and gross mass",
            ),
            ground_clearance_at_least_mm: f.optional_number(
                "ground_clearance_at_least_mm",
                range(0.0, 500.0),
                "Ground clearance wished for when fully laden",
            ),
            comfort_change_at_most_percent: f.optional_number(
                "comfort_change_at_most_percent",
                range(-90.0, 200.0),
                "By how much more than new original parts it may shake the driver",
            ),
            budget_minor: f.optional_integer(
                "budget_minor",
                1..=1_000_000_000,
                "Most that it may cost, tax included, in minor units of the price list's currency",
            ),
        }
    }
}
