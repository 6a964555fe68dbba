//! What a vehicle sheet knows of the body that clearances, lamps and couplings are checked by. All of it is optional; a
//! check that misses something says what to measure.
//!
//! Points are in body axes, mm, at design height.

use crate::document::{Fields, Range, range};
use crate::linkage_sheet::POINT_MM;
use crate::load_list::{CarriedItem, Place};
use crate::units::mm_from_m;

/// Body of a van class.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BodySheet {
    /// Dipped-beam lamp.
    pub lamp: Option<LampSheet>,
    /// Tow ball.
    pub tow_ball: Option<TowBallSheet>,
    /// Low points under the body, both overhangs among them.
    pub underbody: Vec<BodyPoint>,
    /// Points that the workshop's lift takes hold of.
    pub lifting_points: Vec<BodyPoint>,
}

/// A named point of the body.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyPoint {
    /// Name for people.
    pub name: String,
    /// Where it is.
    pub at_mm: [f64; 3],
}

/// A dipped-beam lamp.
#[derive(Debug, Clone, PartialEq)]
pub struct LampSheet {
    /// Centre of the lamp, left side.
    pub centre_mm: [f64; 3],
    /// Initial downward aim marked on the lamp, negative, per cent.
    pub initial_aim_percent: f64,
    /// Whose limits apply.
    pub rules: LampRules,
    /// What levels it against the load.
    pub levelling: Levelling,
}

/// Whose limits apply to the aim of lamps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LampRules {
    /// UN Regulation No 48.
    UnR48,
    /// Periodic inspection in Great Britain.
    GbInspection,
}

/// What levels lamps against the load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Levelling {
    /// Nothing.
    Nothing,
    /// A wheel on the dashboard.
    ByHand,
    /// Sensors on the axles.
    Automatic,
}

/// A tow ball.
#[derive(Debug, Clone, PartialEq)]
pub struct TowBallSheet {
    /// Centre of the ball.
    pub centre_mm: [f64; 3],
    /// Greatest load on it, kg.
    pub greatest_load_kg: f64,
}

impl TowBallSheet {
    /// Where what hangs on it counts.
    pub fn place(&self) -> Place {
        let [x_mm, y_mm, z_mm] = self.centre_mm;
        Place { behind_front_axle_mm: -x_mm, left_of_centre_mm: y_mm, above_ground_mm: z_mm }
    }

    /// Whether a load lies within a distance of the ball, seen from above, mm.
    pub fn carries(&self, carried: &CarriedItem, within_mm: f64) -> bool {
        let [x_m, y_m, _] = carried.item.place.point_m();
        (mm_from_m(x_m) - self.centre_mm[0]).hypot(mm_from_m(y_m) - self.centre_mm[1]) <= within_mm
    }
}

const AIM_PERCENT: Range = range(-5.0, 0.0);

impl BodySheet {
    /// Reads the body of a vehicle sheet.
    pub fn read(f: &mut Fields) -> Self {
        Self {
            lamp: f.optional_table("lamp", "Dipped-beam lamp", LampSheet::read),
            tow_ball: f.optional_table("tow_ball", "Tow ball", |f| TowBallSheet {
                centre_mm: f.point3("centre_mm", POINT_MM, "Centre of the ball"),
                greatest_load_kg: f.number("greatest_load_kg", range(10.0, 500.0), "Greatest load on it"),
            }),
            underbody: f.list("underbody", "Low points under the body, both overhangs too", BodyPoint::read),
            lifting_points: f.list("lifting_points", "Where the workshop's lift takes hold", BodyPoint::read),
        }
    }
}

impl BodyPoint {
    fn read(f: &mut Fields) -> Self {
        Self {
            name: f.text("name", "Name for people"),
            at_mm: f.point3("at_mm", POINT_MM, "Where it is at design height"),
        }
    }
}

impl LampSheet {
    fn read(f: &mut Fields) -> Self {
        Self {
            centre_mm: f.point3("centre_mm", POINT_MM, "Centre of the lamp, left side"),
            initial_aim_percent: f.number(
                "initial_aim_percent",
                AIM_PERCENT,
                "Initial aim marked on the lamp, downward negative",
            ),
            rules: f.choice(
                "rules",
                &[("un_r48", LampRules::UnR48), ("gb_inspection", LampRules::GbInspection)],
                "Whose limits apply",
            ),
            levelling: f.choice(
                "levelling",
                &[
                    ("nothing", Levelling::Nothing),
                    ("by_hand", Levelling::ByHand),
                    ("automatic", Levelling::Automatic),
                ],
                "What levels the lamp against the load",
            ),
        }
    }
}
