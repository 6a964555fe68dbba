//! Wheels and tyres that a workshop can offer.

use crate::document::{Fields, Order, Range, range};
use crate::tyre::{EMPIRICAL_RATE_WITHIN_PERCENT, pressure_by_table_bar, pressure_for_load};
use crate::tyre_marking::{LoadIndex, Service, SpeedSymbol, TyreKind, TyreMarking};
use crate::vehicle_sheet::TyreSheet;

/// Rims and tyres of a workshop.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WheelOffer {
    /// Rims.
    pub rims: Vec<Rim>,
    /// Tyres.
    pub tyres: Vec<Tyre>,
}

/// Form of the seat between rim and bolt or nut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Seat {
    /// Cone, 60°.
    Cone,
    /// Ball.
    Ball,
    /// Flat, with a washer.
    Flat,
}

/// What holds a wheel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FixingKind {
    /// A bolt through the rim into the hub.
    Bolt,
    /// A nut on a stud of the hub.
    Nut,
}

impl Seat {
    /// Names in files.
    pub const CHOICES: [(&'static str, Self); 3] =
        [("cone", Self::Cone), ("ball", Self::Ball), ("flat", Self::Flat)];
}

impl FixingKind {
    /// Names in files.
    pub const CHOICES: [(&'static str, Self); 2] = [("bolt", Self::Bolt), ("nut", Self::Nut)];
}

/// Bolts or nuts that come with a rim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fixing {
    /// Bolt or nut.
    pub kind: FixingKind,
    /// Nominal diameter of the thread, mm.
    pub thread_mm: f64,
    /// Its pitch, mm.
    pub thread_pitch_mm: f64,
    /// Thread of the bolt beyond its seat, or in the nut, mm.
    pub length_mm: f64,
}

/// A rim.
#[derive(Debug, Clone, PartialEq)]
pub struct Rim {
    /// Identifier.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Maker.
    pub maker: String,
    /// Nominal diameter, inch.
    pub diameter_inch: f64,
    /// Width between the flanges, inch.
    pub width_inch: f64,
    /// Mounting face outboard of the rim's centre (ET), mm.
    pub offset_mm: f64,
    /// Bore in the middle, mm.
    pub centre_bore_mm: f64,
    /// Circle of the bolts, mm.
    pub bolt_circle_mm: f64,
    /// How many bolts.
    pub bolts: i64,
    /// Form of the seat.
    pub seat: Seat,
    /// Distance from the mounting face to the seat's narrow end, mm: what a bolt or stud goes through before thread meets
    /// thread.
    pub seat_depth_mm: f64,
    /// Bolts or nuts that come with it; the van's own where absent.
    pub fixing: Option<Fixing>,
    /// Load that one rim carries, kg.
    pub load_rating_kg: f64,
    /// Spacer that it is sold with, mm.
    pub spacer_mm: f64,
}

/// A tyre.
#[derive(Debug, Clone, PartialEq)]
pub struct Tyre {
    /// Identifier.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Maker.
    pub maker: String,
    /// What stands on its sidewall.
    pub marking: TyreMarking,
    /// What it carries, and how fast.
    pub service: Service,
    /// Pressure at which it carries its load index, bar.
    pub reference_pressure_bar: f64,
    /// Pressure below which it is not run, bar.
    pub least_pressure_bar: f64,
    /// The maker's own table of pressure (bar) and load (kg).
    pub load_over_pressure: Option<Vec<[f64; 2]>>,
    /// Radius without load as the maker gives it, mm.
    pub unloaded_radius_mm: Option<f64>,
    /// Vertical rate at working pressure as the maker gives it, N/mm.
    pub rate_n_per_mm: Option<f64>,
    /// Narrowest and widest rim as the maker gives them, inch.
    pub rim_width_inch: Option<[f64; 2]>,
}

/// Rim and tyre that a customer chose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WheelChoice {
    /// Identifier of the rim.
    pub rim: String,
    /// Identifier of the tyre.
    pub tyre: String,
}

/// Rim widths, inch.
pub(crate) const RIM_WIDTH: Range = range(3.0, 14.0);
/// Offsets, mm.
pub(crate) const OFFSET: Range = range(-100.0, 150.0);
/// Bores, mm.
pub(crate) const BORE: Range = range(30.0, 200.0);
/// Bolt circles, mm.
pub(crate) const BOLT_CIRCLE: Range = range(80.0, 300.0);
/// Threads, mm.
pub(crate) const THREAD: Range = range(8.0, 24.0);
/// Pitches, mm.
pub(crate) const PITCH: Range = range(0.75, 3.0);
/// Lengths of bolts, studs and nuts, mm.
pub(crate) const FIXING_LENGTH: Range = range(5.0, 120.0);

/// Pressure below which no tyre is run where its maker gives none, bar (common practice for vans, no source).
const LEAST_PRESSURE_BAR: f64 = 2.0;

/// Reads the rims and tyres of a workshop.
pub fn read_wheels(f: &mut Fields) -> WheelOffer {
    let offer = WheelOffer {
        rims: f.list("rims", "Rims that the workshop offers", Rim::read),
        tyres: f.list("tyres", "Tyres that the workshop offers", Tyre::read),
    };
    refuse_twins(f, "rims", offer.rims.iter().map(|rim| rim.id.as_str()));
    refuse_twins(f, "tyres", offer.tyres.iter().map(|tyre| tyre.id.as_str()));
    offer
}

fn refuse_twins<'a>(f: &mut Fields, list: &str, ids: impl Iterator<Item = &'a str>) {
    let mut seen = Vec::new();
    for (k, id) in ids.enumerate() {
        if f.is_sound() && seen.contains(&id) {
            f.fault_at(&format!("{list}[{k}].id"), &format!("\"{id}\" again"), "an identifier of its own");
        }
        seen.push(id);
    }
}

impl WheelOffer {
    /// Rim by identifier.
    pub fn rim(&self, id: &str) -> Option<&Rim> {
        self.rims.iter().find(|rim| rim.id == id)
    }

    /// Tyre by identifier.
    pub fn tyre(&self, id: &str) -> Option<&Tyre> {
        self.tyres.iter().find(|tyre| tyre.id == id)
    }

    /// Rim and tyre of a choice.
    pub fn chosen(&self, choice: &WheelChoice) -> Option<(&Rim, &Tyre)> {
        Some((self.rim(&choice.rim)?, self.tyre(&choice.tyre)?))
    }

    /// Every tyre on every rim of its diameter.
    pub fn pairs(&self) -> impl Iterator<Item = (&Rim, &Tyre)> {
        self.rims
            .iter()
            .flat_map(|rim| self.tyres.iter().map(move |tyre| (rim, tyre)))
            .filter(|(rim, tyre)| rim.takes(tyre))
    }
}

impl WheelChoice {
    /// Reads a choice; faults of what it names are found by [`WheelChoice::check`].
    pub fn read(f: &mut Fields) -> Self {
        Self {
            rim: f.id("rim", "Rim of the workshop's list"),
            tyre: f.id("tyre", "Tyre of the workshop's list"),
        }
    }

    /// Whether rim and tyre exist and belong together; `field` is where the choice stands.
    pub fn check(&self, f: &mut Fields, field: &str, offer: &WheelOffer) {
        let one_of = |ids: Vec<&str>| format!("one of {}", ids.join(", "));
        let (rim, tyre) = (offer.rim(&self.rim), offer.tyre(&self.tyre));
        if rim.is_none() {
            let ids = offer.rims.iter().map(|rim| rim.id.as_str()).collect();
            f.fault_at(&format!("{field}.rim"), &format!("\"{}\"", self.rim), &one_of(ids));
        }
        if tyre.is_none() {
            let ids = offer.tyres.iter().map(|tyre| tyre.id.as_str()).collect();
            f.fault_at(&format!("{field}.tyre"), &format!("\"{}\"", self.tyre), &one_of(ids));
        }
        if let (Some(rim), Some(tyre)) = (rim, tyre)
            && !rim.takes(tyre)
        {
            let found = format!("a tyre of {} inch", tyre.marking.rim_diameter_inch);
            let allowed = format!("a tyre of the rim's {} inch", rim.diameter_inch);
            f.fault_at(&format!("{field}.tyre"), &found, &allowed);
        }
    }
}

impl Rim {
    /// Maker and name.
    pub fn full_name(&self) -> String {
        format!("{} {}", self.maker, self.name)
    }

    /// Whether a tyre is of its diameter.
    pub fn takes(&self, tyre: &Tyre) -> bool {
        (self.diameter_inch - tyre.marking.rim_diameter_inch).abs() < 0.25
    }

    /// How far outboard of a wheel of the original offset its tyre stands, by offset and spacer, mm.
    pub fn outboard_mm(&self, original_offset_mm: f64) -> f64 {
        original_offset_mm - self.offset_mm + self.spacer_mm
    }

    fn read(f: &mut Fields) -> Self {
        Self {
            id: f.id("id", "Identifier"),
            name: f.text("name", "Name for people"),
            maker: f.text("maker", "Maker"),
            diameter_inch: f.number("diameter_inch", range(10.0, 24.0), "Nominal diameter"),
            width_inch: f.number("width_inch", RIM_WIDTH, "Width between the flanges"),
            offset_mm: f.number("offset_mm", OFFSET, "Mounting face outboard of the rim's centre (ET)"),
            centre_bore_mm: f.number("centre_bore_mm", BORE, "Bore in the middle"),
            bolt_circle_mm: f.number("bolt_circle_mm", BOLT_CIRCLE, "Circle of the bolts"),
            bolts: f.integer("bolts", 3..=12, "How many bolts"),
            seat: f.choice("seat", &Seat::CHOICES, "Form of the seat under bolt or nut"),
            seat_depth_mm: f.number(
                "seat_depth_mm",
                range(0.0, 60.0),
                "From the mounting face to the narrow end of the seat",
            ),
            fixing: f.optional_table("fixing", "Bolts or nuts that come with it", |f| Fixing {
                kind: f.choice("kind", &FixingKind::CHOICES, "Bolt or nut"),
                thread_mm: f.number("thread_mm", THREAD, "Nominal diameter of the thread"),
                thread_pitch_mm: f.number("thread_pitch_mm", PITCH, "Pitch of the thread"),
                length_mm: f.number(
                    "length_mm",
                    FIXING_LENGTH,
                    "Thread beyond the bolt's seat, or in the nut",
                ),
            }),
            load_rating_kg: f.number("load_rating_kg", range(200.0, 3000.0), "Load that one rim carries"),
            spacer_mm: f.number_or("spacer_mm", range(0.0, 80.0), 0.0, "Spacer that it is sold with"),
        }
    }
}

impl Tyre {
    /// Maker and name.
    pub fn full_name(&self) -> String {
        format!("{} {}", self.maker, self.name)
    }

    fn read(f: &mut Fields) -> Self {
        let (marking, service) = read_marking(f);
        let reference_pressure_bar = f.number(
            "reference_pressure_bar",
            range(1.5, 9.0),
            "Pressure at which it carries its load index",
        );
        let tyre = Self {
            id: f.id("id", "Identifier"),
            name: f.text("name", "Name for people"),
            maker: f.text("maker", "Maker"),
            marking,
            service,
            reference_pressure_bar,
            least_pressure_bar: f.number_or(
                "least_pressure_bar",
                range(1.0, 5.0),
                LEAST_PRESSURE_BAR,
                "Pressure below which it is not run",
            ),
            load_over_pressure: f.optional_pairs(
                "load_over_pressure",
                [("pressure_bar", range(1.0, 9.0)), ("load_kg", range(100.0, 3000.0))],
                2,
                Order::Rising,
                "The maker's own table of pressure and load",
            ),
            unloaded_radius_mm: f.optional_number(
                "unloaded_radius_mm",
                range(200.0, 500.0),
                "Radius without load as the maker gives it",
            ),
            rate_n_per_mm: f.optional_number(
                "rate_n_per_mm",
                range(80.0, 1000.0),
                "Vertical rate at working pressure as the maker gives it",
            ),
            rim_width_inch: f.optional_table("rim_width", "Rims that the maker allows", |f| {
                [
                    f.number("least_inch", RIM_WIDTH, "Narrowest rim"),
                    f.number("most_inch", RIM_WIDTH, "Widest rim"),
                ]
            }),
        };
        if f.is_sound() {
            tyre.check(f);
        }
        tyre
    }

    fn check(&self, f: &mut Fields) {
        if let Some([least, most]) = self.rim_width_inch
            && least > most
        {
            f.fault_at("rim_width.most_inch", &format!("{most}"), &format!("at least {least} (inch)"));
        }
        let rows = self.load_over_pressure.as_deref().unwrap_or_default();
        if let Some(k) = rows.windows(2).position(|two| two[1][1] <= two[0][1]) {
            let allowed = format!("more than the {} kg of the row before", rows[k][1]);
            f.fault_at(
                &format!("load_over_pressure[{}]", k + 1),
                &format!("{} kg", rows[k + 1][1]),
                &allowed,
            );
        }
    }

    /// Load that it carries as a single wheel, kg.
    pub fn load_kg(&self) -> f64 {
        self.service.single.load_kg()
    }

    /// Radius without load, mm: the maker's, or half the design diameter.
    pub fn radius_mm(&self) -> f64 {
        self.unloaded_radius_mm.unwrap_or(0.5 * self.marking.outer_diameter_mm())
    }

    /// Pressure that carries a wheel load, bar: by the maker's table, else by the ETRTO formula; `None` where the tyre does
    /// not carry it.
    pub fn pressure_bar(&self, wheel_load_kg: f64) -> Option<f64> {
        if wheel_load_kg > self.load_kg() {
            return None;
        }
        match &self.load_over_pressure {
            Some(table) => {
                pressure_by_table_bar(wheel_load_kg, table).map(|bar| bar.max(self.least_pressure_bar))
            }
            None => Some(pressure_for_load(
                wheel_load_kg,
                self.load_kg(),
                self.reference_pressure_bar,
                self.least_pressure_bar,
            )),
        }
    }

    /// The tyre as the van stands on it; what its maker does not give follows from its size, at the pressure for a wheel
    /// load.
    pub fn sheet(&self, wheel_load_kg: f64) -> TyreSheet {
        let estimated = || {
            let bar = self.pressure_bar(wheel_load_kg).unwrap_or(self.reference_pressure_bar);
            self.marking.empirical_rate_n_per_mm(bar)
        };
        TyreSheet {
            size: self.marking.to_string(),
            unloaded_radius_mm: self.radius_mm(),
            rate_n_per_mm: self.rate_n_per_mm.unwrap_or_else(estimated),
            rate_within_percent: self.rate_n_per_mm.is_none().then_some(EMPIRICAL_RATE_WITHIN_PERCENT),
        }
    }
}

/// A marking with its service description.
fn read_marking(f: &mut Fields) -> (TyreMarking, Service) {
    let doc = "Sidewall marking with load index and speed symbol, as 215/65 R16 C 109/107 T";
    let text = f.text("marking", doc);
    let read = text.parse::<TyreMarking>().map_err(|fault| (fault.found, fault.allowed));
    let with_service = read.and_then(|marking| {
        let missing = || ("a size alone".to_owned(), "load index and speed symbol as well, as in 109/107 T");
        Ok((marking, marking.service.ok_or_else(missing)?))
    });
    with_service.unwrap_or_else(|(found, allowed)| {
        // an absent marking is a fault already
        if !text.is_empty() {
            f.fault_at("marking", &found, allowed);
        }
        harmless_marking()
    })
}

fn harmless_marking() -> (TyreMarking, Service) {
    let (_, speed) = SpeedSymbol::CHOICES[0];
    let service = Service { single: LoadIndex::LEAST, dual: None, speed };
    let marking = TyreMarking {
        width_mm: 195,
        aspect_percent: 75,
        rim_diameter_inch: 16.0,
        kind: TyreKind::Commercial,
        service: Some(service),
        extra_load: false,
        mud_and_snow: false,
    };
    (marking, service)
}
