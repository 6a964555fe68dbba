//! What a vehicle sheet knows of hubs, original wheels and the room around them. All of it is optional: a check that
//! misses something says what to look at.

use crate::document::{Fields, Range, range};
use crate::tyre_marking::SpeedSymbol;
use crate::wheels::{BOLT_CIRCLE, BORE, FIXING_LENGTH, FixingKind, OFFSET, PITCH, RIM_WIDTH, Seat, THREAD};
use crate::wording::Axle;

/// Hubs, original wheels and the room around them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WheelSheet {
    /// How many bolts or studs.
    pub bolts: Option<i64>,
    /// Their circle, mm.
    pub bolt_circle_mm: Option<f64>,
    /// Diameter of the hub's spigot, mm.
    pub centre_bore_mm: Option<f64>,
    /// Original bolts or nuts.
    pub fixing: Option<HubFixing>,
    /// Width of the original rim, inch.
    pub rim_width_inch: Option<f64>,
    /// Offset of the original rim, mm.
    pub offset_mm: Option<f64>,
    /// Narrowest and widest rim that the van's maker allows, inch.
    pub allowed_rim_width_inch: Option<[f64; 2]>,
    /// Top speed, km/h: the registration's, or that of the speed symbol the plate asks for.
    pub top_speed_km_per_h: Option<f64>,
    /// By how much the speedometer shows above the true speed on original tyres, per cent.
    pub speedometer_lead_percent: Option<f64>,
    /// Axle whose turning the speedometer shows, where that is not the driven one.
    pub speed_sensed_at: Option<Axle>,
    /// How far the inner front wheel turns at full lock, read on turn plates, degrees.
    pub lock_inside_deg: Option<f64>,
    /// Room around the original front and rear tyre.
    pub room: [TyreRoom; 2],
}

/// How the hub holds wheels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HubFixing {
    /// Bolt or nut.
    pub kind: FixingKind,
    /// Form of the original seat.
    pub seat: Seat,
    /// Nominal diameter of the thread, mm.
    pub thread_mm: f64,
    /// Its pitch, mm.
    pub thread_pitch_mm: f64,
    /// Thread of the original bolt beyond its seat, or in the original nut, mm.
    pub length_mm: f64,
    /// Depth of the hub's thread, or length of the stud beyond the mounting face, mm.
    pub hub_thread_mm: f64,
    /// Thread that must hold, mm.
    pub least_engagement_mm: Option<f64>,
}

/// Free room around an original tyre, at design height, mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TyreRoom {
    /// From its inner edge to strut, spring seat or wheel house.
    pub inboard_mm: Option<f64>,
    /// From its outer edge to the plane of the arch lip.
    pub outboard_mm: Option<f64>,
    /// From its crown up to the spring seat of a strut, else to the wheel house.
    pub above_mm: Option<f64>,
    /// To the nearest part at full steering lock.
    pub at_lock_mm: Option<f64>,
}

const ROOM: Range = range(-50.0, 400.0);

impl WheelSheet {
    /// Reads what is known.
    pub fn read(f: &mut Fields) -> Self {
        let symbol =
            f.optional_choice("speed_symbol", &SpeedSymbol::CHOICES, "Speed symbol that the plate asks for");
        let top_speed_km_per_h = f.optional_number("top_speed_km_per_h", range(60.0, 300.0), "Top speed");
        Self {
            bolts: f.optional_integer("bolts", 3..=12, "How many bolts or studs"),
            bolt_circle_mm: f.optional_number("bolt_circle_mm", BOLT_CIRCLE, "Circle of the bolts"),
            centre_bore_mm: f.optional_number("centre_bore_mm", BORE, "Diameter of the hub's spigot"),
            fixing: f.optional_table("fixing", "How the hub holds wheels", HubFixing::read),
            rim_width_inch: f.optional_number("rim_width_inch", RIM_WIDTH, "Width of the original rim"),
            offset_mm: f.optional_number("offset_mm", OFFSET, "Offset (ET) of the original rim"),
            allowed_rim_width_inch: f.optional_table(
                "allowed_rim_width",
                "Rims that the maker allows",
                |f| {
                    let least = f.number("least_inch", RIM_WIDTH, "Narrowest rim");
                    let most = f.number("most_inch", RIM_WIDTH, "Widest rim");
                    if f.is_sound() && least > most {
                        f.fault_at("most_inch", &format!("{most}"), &format!("at least {least} (inch)"));
                    }
                    [least, most]
                },
            ),
            top_speed_km_per_h: top_speed_km_per_h
                .or(symbol.map(|symbol| f64::from(symbol.top_speed_km_per_h))),
            speedometer_lead_percent: f.optional_number(
                "speedometer_lead_percent",
                range(0.0, 20.0),
                "By how much the speedometer shows above the true speed on original tyres",
            ),
            speed_sensed_at: f.optional_choice(
                "speed_sensed_at",
                &Axle::CHOICES,
                "Axle whose turning the speedometer shows; the driven one where absent",
            ),
            lock_inside_deg: f.optional_number(
                "lock_inside_deg",
                range(10.0, 60.0),
                "How far the inner front wheel turns at full lock, read on turn plates",
            ),
            room: ["front_room", "rear_room"].map(|axle| {
                let doc = "Free room around the original tyre at design height";
                f.optional_table(axle, doc, TyreRoom::read).unwrap_or_default()
            }),
        }
    }
}

impl HubFixing {
    fn read(f: &mut Fields) -> Self {
        Self {
            kind: f.choice("kind", &FixingKind::CHOICES, "Bolt or nut"),
            seat: f.choice("seat", &Seat::CHOICES, "Form of the original seat"),
            thread_mm: f.number("thread_mm", THREAD, "Nominal diameter of the thread"),
            thread_pitch_mm: f.number("thread_pitch_mm", PITCH, "Pitch of the thread"),
            length_mm: f.number(
                "length_mm",
                FIXING_LENGTH,
                "Thread of the original bolt beyond its seat, or in the original nut",
            ),
            hub_thread_mm: f.number(
                "hub_thread_mm",
                FIXING_LENGTH,
                "Depth of the hub's thread, or length of the stud beyond the mounting face",
            ),
            least_engagement_mm: f.optional_number(
                "least_engagement_mm",
                range(3.0, 40.0),
                "Thread that must hold",
            ),
        }
    }
}

impl TyreRoom {
    fn read(f: &mut Fields) -> Self {
        Self {
            inboard_mm: f.optional_number(
                "inboard_mm",
                ROOM,
                "From the inner edge to strut, spring seat or wheel house",
            ),
            outboard_mm: f.optional_number(
                "outboard_mm",
                ROOM,
                "From the outer edge to the plane of the arch lip",
            ),
            above_mm: f.optional_number(
                "above_mm",
                ROOM,
                "From the crown up to the spring seat of a strut, else to the wheel house",
            ),
            at_lock_mm: f.optional_number(
                "at_lock_mm",
                ROOM,
                "To the nearest part at full steering lock, the lesser of both locks",
            ),
        }
    }
}
