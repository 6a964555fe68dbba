//! The demo's vehicle sheets, kits and load items, read here anew: nothing of the program's own reading is used.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use nalgebra::Vector3;
use serde::Deserialize;

/// A point in millimetres, body axes.
pub type PointMm = [f64; 3];

/// A point in metres.
pub fn metres(point: PointMm) -> Vector3<f64> {
    Vector3::from(point) * 1e-3
}

/// Vehicle sheet.
#[derive(Debug, Clone, Deserialize)]
pub struct Vehicle {
    /// Identifier.
    pub id: String,
    /// Distance between the axle lines, mm.
    pub wheelbase_mm: f64,
    /// Rear minus front arch height with a level floor, mm.
    pub level_floor_difference_mm: f64,
    /// Masses in running order.
    pub running_order: RunningOrder,
    /// Weight variants.
    pub grades: Vec<Grade>,
    /// Front axle.
    pub front: Axle<StrutPoints>,
    /// Rear axle.
    pub rear: Axle<ArmPoints>,
}

/// Masses in running order.
#[derive(Debug, Clone, Deserialize)]
pub struct RunningOrder {
    /// Front axle, kg.
    pub front_axle_kg: f64,
    /// Rear axle, kg.
    pub rear_axle_kg: f64,
    /// Height of the centre of gravity, mm.
    pub centre_of_gravity_height_mm: f64,
    /// Driver's seat.
    pub driver_place: Place,
    /// Tank, l.
    pub fuel_tank_l: f64,
    /// Fuel, kg/l.
    pub fuel_density_kg_per_l: f64,
    /// Where the tank is.
    pub fuel_place: Place,
}

/// A place, mm.
#[derive(Debug, Clone, Copy, Deserialize)]
pub struct Place {
    /// Behind the front axle line.
    pub behind_front_axle_mm: f64,
    /// Left of the centre plane.
    #[serde(default)]
    pub left_of_centre_mm: f64,
    /// Above the ground.
    pub above_ground_mm: f64,
}

impl Place {
    /// The place in body axes, m.
    pub fn point_m(&self) -> Vector3<f64> {
        metres([-self.behind_front_axle_mm, self.left_of_centre_mm, self.above_ground_mm])
    }
}

/// A weight variant.
#[derive(Debug, Clone, Deserialize)]
pub struct Grade {
    /// Identifier.
    pub id: String,
    /// Original front spring.
    pub front_spring: OriginalSpring,
    /// Original rear spring.
    pub rear_spring: OriginalSpring,
}

/// An original spring.
#[derive(Debug, Clone, Deserialize)]
pub struct OriginalSpring {
    /// Rate of a linear one, N/mm.
    pub rate_n_per_mm: Option<f64>,
    /// Length (mm) and load (N) of a progressive one.
    pub load_over_length: Option<Vec<[f64; 2]>>,
    /// Arch height when new, running order, mm.
    pub arch_height_mm: f64,
}

/// One axle.
#[derive(Debug, Clone, Deserialize)]
pub struct Axle<L> {
    /// Arch lip, left side.
    pub arch_lip_mm: PointMm,
    /// Both wheels, hubs, half the arms, kg.
    pub unsprung_mass_kg: f64,
    /// Rubber in series with the spring, N/mm.
    pub spring_mount_rate_n_per_mm: Option<f64>,
    /// Bushes of one arm, N m per degree.
    pub bush_rate_nm_per_deg: Option<f64>,
    /// Hardpoints.
    pub linkage: L,
    /// Tyre.
    pub tyre: Tyre,
    /// Damper.
    pub damper: Damper,
    /// Bump stop.
    pub stop: Stop,
    /// Anti-roll bar.
    pub bar: Bar,
}

/// Hardpoints of a strut, left side.
#[derive(Debug, Clone, Deserialize)]
#[expect(missing_docs, reason = "the names are those of the sheet")]
pub struct StrutPoints {
    pub wheel_centre_mm: PointMm,
    pub arm_inner_front_mm: PointMm,
    pub arm_inner_rear_mm: PointMm,
    pub lower_ball_joint_mm: PointMm,
    pub strut_top_mm: PointMm,
    pub strut_axis_point_mm: PointMm,
    pub spring_seat_lower_mm: PointMm,
    pub spring_seat_upper_mm: PointMm,
    pub tie_rod_inner_mm: PointMm,
    pub tie_rod_outer_mm: PointMm,
}

/// Hardpoints of a semi-trailing arm, left side.
#[derive(Debug, Clone, Deserialize)]
#[expect(missing_docs, reason = "the names are those of the sheet")]
pub struct ArmPoints {
    pub wheel_centre_mm: PointMm,
    pub pivot_inner_mm: PointMm,
    pub pivot_outer_mm: PointMm,
    pub spring_seat_lower_mm: PointMm,
    pub spring_seat_upper_mm: PointMm,
    pub damper_lower_mm: PointMm,
    pub damper_upper_mm: PointMm,
}

/// Tyre.
#[derive(Debug, Clone, Deserialize)]
pub struct Tyre {
    /// Unloaded radius, mm.
    pub unloaded_radius_mm: f64,
    /// Rate, N/mm.
    pub rate_n_per_mm: f64,
}

/// Damper.
#[derive(Debug, Clone, Deserialize)]
pub struct Damper {
    /// Length, rod out, mm.
    pub open_length_mm: f64,
    /// Gas force, rod out, N.
    pub gas_force_n: f64,
    /// Its growth, N/mm.
    pub gas_rate_n_per_mm: f64,
    /// Friction, N.
    pub friction_n: f64,
    /// Friction per newton of side force.
    #[serde(default)]
    pub friction_per_side_force: f64,
}

/// What squeezes a stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StopPosition {
    /// The damper.
    Damper,
    /// The wheel.
    Wheel,
}

/// Bump stop.
#[derive(Debug, Clone, Deserialize)]
pub struct Stop {
    /// What squeezes it.
    pub position: StopPosition,
    /// Whole height, mm.
    pub height_mm: f64,
    /// Damper length or wheel travel at first touch, mm.
    pub contact_mm: f64,
    /// Squeeze per wheel travel.
    #[serde(default = "one")]
    pub wheel_ratio: f64,
    /// Compression (mm) and force (N).
    pub force_over_compression: Vec<[f64; 2]>,
}

fn one() -> f64 {
    1.0
}

/// Anti-roll bar.
#[derive(Debug, Clone, Deserialize)]
pub struct Bar {
    /// Between the arm ends, N m per degree.
    pub rate_nm_per_deg: f64,
    /// Points.
    pub links: BarLinks,
}

/// Points of bar and drop link, left side.
#[derive(Debug, Clone, Deserialize)]
#[expect(missing_docs, reason = "the names are those of the sheet")]
pub struct BarLinks {
    pub bar_axis_mm: PointMm,
    pub bar_arm_end_mm: PointMm,
    pub link_lower_mm: PointMm,
}

/// A kit.
#[derive(Debug, Clone, Deserialize)]
pub struct Kit {
    /// Identifier.
    pub id: String,
    /// Front parts.
    pub front: KitAxle,
    /// Rear parts.
    pub rear: KitAxle,
}

/// Kit parts of one axle.
#[derive(Debug, Clone, Deserialize)]
pub struct KitAxle {
    /// Main spring.
    pub spring: KitSpring,
    /// Helper spring.
    pub helper: Option<Helper>,
    /// Collar.
    pub collar: Option<Collar>,
    /// Damper, where the kit brings one.
    pub damper: Option<Damper>,
    /// Stop, where the kit brings one.
    pub stop: Option<Stop>,
    /// Height that is left of the original stop, mm.
    pub stop_trimmed_to_mm: Option<f64>,
}

/// Kit spring.
#[derive(Debug, Clone, Deserialize)]
pub struct KitSpring {
    /// Rate, N/mm.
    pub rate_n_per_mm: f64,
    /// Free length, mm.
    pub free_length_mm: f64,
}

/// Helper spring.
#[derive(Debug, Clone, Deserialize)]
pub struct Helper {
    /// Rate, N/mm.
    pub rate_n_per_mm: f64,
    /// Free length, mm.
    pub free_length_mm: f64,
    /// Solid length, mm.
    pub solid_length_mm: f64,
}

/// Collar.
#[derive(Debug, Clone, Deserialize)]
pub struct Collar {
    /// Lowest position, mm.
    pub lowest_mm: f64,
    /// Highest position, mm.
    pub highest_mm: f64,
    /// As delivered, mm.
    pub delivered_mm: f64,
    /// Thread pitch, mm.
    pub thread_pitch_mm: f64,
    /// Seat above the original seat at position 0, mm.
    pub seat_at_zero_mm: f64,
}

/// A load item of the workshop's list.
#[derive(Debug, Clone, Deserialize)]
pub struct Item {
    /// Identifier.
    pub id: String,
    /// Stated mass, kg.
    pub mass_kg: f64,
    /// Stated half-width, kg.
    pub plus_minus_kg: f64,
    /// Place.
    #[serde(flatten)]
    pub place: Place,
}

#[derive(Deserialize)]
struct Items {
    items: Vec<Item>,
}

/// Folder of the invented workshop's data.
pub fn demo_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo")
}

fn parsed<T: serde::de::DeserializeOwned>(path: &str) -> Result<T> {
    let text = std::fs::read_to_string(demo_folder().join(path)).with_context(|| path.to_owned())?;
    toml::from_str(&text).with_context(|| path.to_owned())
}

/// What the truth takes from the demo data.
#[derive(Debug, Clone)]
pub struct Sheets {
    /// The van.
    pub vehicle: Vehicle,
    /// Kits with collars on four corners, and with collars at the rear.
    pub kits: [Kit; 2],
    /// Load items.
    pub items: Vec<Item>,
}

impl Sheets {
    /// Reads the demo data.
    ///
    /// # Errors
    /// When a file cannot be read.
    pub fn read() -> Result<Self> {
        Ok(Self {
            vehicle: parsed("vehicles/sorvel.toml")?,
            kits: [parsed("kits/tessavar-four-collars.toml")?, parsed("kits/tessavar-rear-collar.toml")?],
            items: parsed::<Items>("load-items.toml")?.items,
        })
    }
}
