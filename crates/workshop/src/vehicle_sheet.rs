//! Vehicle sheet: what is known of one van class.
//!
//! Points are in body axes in millimetres: x forward from the front axle line, y left from the centre plane, z up
//! from the ground of the design drawing. Axle points are those of the left side.

use mechanics::elements::ElementFault;

use crate::alignment_sheet::AlignmentSheet;
use crate::body_sheet::BodySheet;
use crate::damping::DampingSheet;
use crate::document::{Fields, Order, Range, range};
use crate::facts::{Fact, FactIs};
use crate::linkage_sheet::{LinkageSheet, POINT_MM};
use crate::load_list::Place;
use crate::spring_sheet::{AddedLeafSheet, SpringLaw};
use crate::wheel_sheet::WheelSheet;

/// What is known of one van class.
#[derive(Debug, Clone, PartialEq)]
pub struct VehicleSheet {
    /// Identifier that enquiries and kits refer to.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Years of build.
    pub built: String,
    /// Distance between the axle lines, mm.
    pub wheelbase_mm: f64,
    /// Overall length, mm.
    pub length_mm: f64,
    /// Rear minus front arch height when the load floor is horizontal, mm.
    pub level_floor_difference_mm: f64,
    /// Mass in running order.
    pub running_order: RunningOrder,
    /// Weight variants, each with its plated limits and original springs.
    pub grades: Vec<Grade>,
    /// Front axle.
    pub front: AxleSheet,
    /// Rear axle.
    pub rear: AxleSheet,
    /// Body: lamps, underbody, tow ball.
    pub body: BodySheet,
    /// What its hubs, arches and plate ask of wheels.
    pub wheels: WheelSheet,
    /// Facts of the class; more than one answer where its vans differ.
    pub facts: Vec<FactIs>,
}

/// The van as it left the maker: fuel tank 90 % full and a driver of 75 kg
/// (Regulation (EU) No 1230/2012 Art. 2(4), taken over by (EU) 2021/535 Annex XIII).
#[derive(Debug, Clone, PartialEq)]
pub struct RunningOrder {
    /// Front axle load, kg.
    pub front_axle_kg: f64,
    /// Rear axle load, kg.
    pub rear_axle_kg: f64,
    /// Height of the whole van's centre of gravity above the design ground, mm.
    pub centre_of_gravity_height_mm: f64,
    /// Number of seats, driver included.
    pub seats: i64,
    /// Where the driver sits.
    pub driver_place: Place,
    /// Capacity of the fuel tank, litres.
    pub fuel_tank_l: f64,
    /// Density of the fuel, kg per litre.
    pub fuel_density_kg_per_l: f64,
    /// Where the tank is.
    pub fuel_place: Place,
    /// Moment of inertia of the whole van about its lateral and its longitudinal axis, kg m²; estimated where absent.
    pub inertia_kg_m2: Option<InertiaSheet>,
}

/// Moments of inertia of the whole van in running order about its centre of gravity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InertiaSheet {
    /// About the lateral axis, kg m².
    pub pitch_kg_m2: f64,
    /// About the longitudinal axis, kg m².
    pub roll_kg_m2: f64,
}

/// Driver's mass in running order, kg: Regulation (EU) No 1230/2012 Art. 2(4).
pub const DRIVER_KG: f64 = 75.0;
/// Fuel in running order, per cent of the tank: same article.
pub const RUNNING_ORDER_FUEL_PERCENT: f64 = 90.0;

/// A weight variant with its statutory plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Grade {
    /// Identifier.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Permitted gross mass, kg.
    pub plated_gross_kg: f64,
    /// Permitted front axle load, kg.
    pub plated_front_axle_kg: f64,
    /// Permitted rear axle load, kg.
    pub plated_rear_axle_kg: f64,
    /// Original front spring.
    pub front_spring: OriginalSpring,
    /// Original rear spring.
    pub rear_spring: OriginalSpring,
}

/// An original spring and how the van sits on it when new.
#[derive(Debug, Clone, PartialEq)]
pub struct OriginalSpring {
    /// Load over compression.
    pub law: SpringLaw,
    /// Length with all coils touching, mm.
    pub solid_length_mm: Option<f64>,
    /// Arch height on new springs in running order, mm: it fixes the free length.
    pub arch_height_mm: f64,
    /// Leaves that join the main ones on the way.
    pub added_leaves: Vec<AddedLeafSheet>,
    /// Friction between the leaves, half the width of the hysteresis, per cent of the load.
    pub interleaf_friction_percent: f64,
}

/// One axle of a vehicle sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct AxleSheet {
    /// How the wheel is guided.
    pub linkage: LinkageSheet,
    /// Wheel-arch lip above the wheel centre, at design height.
    pub arch_lip_mm: [f64; 3],
    /// Mass of wheels, hubs and half the arms of the axle, kg.
    pub unsprung_mass_kg: f64,
    /// Standard tyre.
    pub tyre: TyreSheet,
    /// Original damper or strut.
    pub damper: DamperSheet,
    /// Original bump stop.
    pub stop: Option<StopSheet>,
    /// Torsional rate of the arm's rubber bushes, N m per degree, one side.
    pub bush_rate_nm_per_deg: Option<f64>,
    /// Anti-roll bar.
    pub bar: Option<BarSheet>,
    /// Rate of a rubber mount in series with the spring, N/mm.
    pub spring_mount_rate_n_per_mm: Option<f64>,
    /// How much deeper a slip-in strut can go into its tube before it meets a stop, mm; absent where it cannot.
    pub spare_insertion_mm: Option<f64>,
    /// Wheel alignment that the maker asks for.
    pub alignment: AlignmentSheet,
    /// Greatest angle of the driveshaft, degrees.
    pub driveshaft_angle_most_deg: Option<f64>,
    /// Least angle between drop link and bar arm, degrees; as much is kept from the stretched position.
    pub drop_link_angle_least_deg: Option<f64>,
    /// Change of a driven beam axle's pitch that its propeller shaft bears, degrees.
    pub axle_pitch_spare_deg: Option<f64>,
}

/// A tyre on its wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct TyreSheet {
    /// Marking on the sidewall.
    pub size: String,
    /// Radius without load, mm.
    pub unloaded_radius_mm: f64,
    /// Vertical rate at working pressure, N/mm.
    pub rate_n_per_mm: f64,
    /// How far the rate may be off, per cent, where it is known less well or better than the workshop's tolerances say.
    pub rate_within_percent: Option<f64>,
}

/// A damper or strut insert.
#[derive(Debug, Clone, PartialEq)]
pub struct DamperSheet {
    /// Length with the rod out, between the points whose distance the linkage gives, mm.
    pub open_length_mm: f64,
    /// Length with the rod in, mm.
    pub closed_length_mm: f64,
    /// Gas force with the rod out, N.
    pub gas_force_n: f64,
    /// Growth of the gas force as the rod goes in, N/mm.
    pub gas_rate_n_per_mm: f64,
    /// Dry friction along the damper, N.
    pub friction_n: f64,
    /// Friction added per newton of side force on a strut.
    pub friction_per_side_force: f64,
    /// Force over rod speed, at the setting it is sold at.
    pub damping: Option<DampingSheet>,
}

/// What squeezes a stop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StopPosition {
    /// On the damper rod.
    Damper,
    /// Inside the spring.
    Spring,
    /// Under the body, met by the arm or axle.
    Wheel,
}

/// A bump stop and where it is first touched.
#[derive(Debug, Clone, PartialEq)]
pub struct StopSheet {
    /// What squeezes it.
    pub position: StopPosition,
    /// Height of the whole stop, mm.
    pub height_mm: f64,
    /// Damper length, seat distance or wheel travel at which the whole stop is first touched, mm.
    pub contact_mm: f64,
    /// Stop compression per wheel travel (position `wheel` only).
    pub wheel_ratio: f64,
    /// Distance between the left and the right stop (position `wheel` on an axle beam), mm; that of the wheels where
    /// absent.
    pub base_mm: Option<f64>,
    /// Pairs of compression (mm) and force (N).
    pub force_over_compression: Vec<[f64; 2]>,
}

/// An anti-roll bar.
#[derive(Debug, Clone, PartialEq)]
pub struct BarSheet {
    /// Torsional rate between the arm ends, or roll rate at the axle without bar geometry, N m per degree.
    pub rate_nm_per_deg: f64,
    /// Geometry of bar and links.
    pub links: Option<BarLinksSheet>,
}

/// Geometry of a bar and its drop links.
#[derive(Debug, Clone, PartialEq)]
pub struct BarLinksSheet {
    /// A point of the bar's transverse axis.
    pub bar_axis_mm: [f64; 3],
    /// End of the bar's arm.
    pub bar_arm_end_mm: [f64; 3],
    /// Where the drop link holds on the strut, knuckle or arm.
    pub link_lower_mm: [f64; 3],
}

const AXLE_KG: Range = range(200.0, 5000.0);

impl VehicleSheet {
    /// Grade by identifier.
    pub fn grade(&self, id: &str) -> Option<&Grade> {
        self.grades.iter().find(|grade| grade.id == id)
    }

    /// Reads a vehicle sheet; `facts` are those of the workshop's list.
    pub fn read(f: &mut Fields, facts: &[Fact]) -> Self {
        let sheet = Self {
            id: f.id("id", "Identifier that enquiries and kits refer to"),
            name: f.text("name", "Name for people"),
            built: f.text("built", "Years of build"),
            wheelbase_mm: f.number("wheelbase_mm", range(1500.0, 6000.0), "Distance between the axle lines"),
            length_mm: f.number("length_mm", range(2500.0, 9000.0), "Overall length"),
            level_floor_difference_mm: f.number(
                "level_floor_difference_mm",
                range(-300.0, 300.0),
                "Rear minus front arch height when the load floor is horizontal",
            ),
            running_order: f.table(
                "running_order",
                "Van with 90 % fuel and a driver of 75 kg",
                RunningOrder::read,
            ),
            grades: f.non_empty_list("grades", "Weight variants with their statutory plates", Grade::read),
            front: f.table("front", "Front axle", AxleSheet::read),
            rear: f.table("rear", "Rear axle", AxleSheet::read),
            body: f.optional_table("body", "Lamps, underbody, tow ball", BodySheet::read).unwrap_or_default(),
            wheels: f
                .optional_table("wheels", "What hubs, arches and plate ask of wheels", WheelSheet::read)
                .unwrap_or_default(),
            facts: f.list("facts", "Facts of the class", |f| FactIs::read(f, facts)),
        };
        sheet.check_wheelbase(f);
        sheet.check_torsion_bars(f);
        for (name, axle) in [("front", &sheet.front), ("rear", &sheet.rear)] {
            if matches!(axle.linkage, LinkageSheet::TwistBeam(_)) && axle.bar.is_some() && f.is_sound() {
                let allowed = "its rate added to torsional_rate_nm_per_deg of the beam it lies in";
                f.fault_at(&format!("{name}.bar"), "an anti-roll bar beside a twist beam", allowed);
            }
        }
        sheet
    }

    /// A torsional rate goes with a torsion bar, and no other does.
    fn check_torsion_bars(&self, f: &mut Fields) {
        for (k, grade) in self.grades.iter().enumerate() {
            let axles =
                [("front", &self.front, &grade.front_spring), ("rear", &self.rear, &grade.rear_spring)];
            for (name, axle, spring) in axles {
                let (bar, rate) =
                    (axle.linkage.torsion_bar().is_some(), matches!(spring.law, SpringLaw::Torsion(_)));
                if f.is_sound() && bar != rate {
                    let (found, allowed) = if bar {
                        ("a torsion bar without its rate", "torsion_rate_nm_per_deg")
                    } else {
                        (
                            "a torsional rate",
                            "a rate in N/mm, pairs of length and load, or leaves: there is no torsion bar",
                        )
                    };
                    f.fault_at(&format!("grades[{k}].{name}_spring"), found, allowed);
                }
            }
        }
    }

    fn check_wheelbase(&self, f: &mut Fields) {
        let rear_x_mm = self.rear.linkage.wheel_centre_mm()[0];
        if f.is_sound() && (rear_x_mm + self.wheelbase_mm).abs() > 30.0 {
            let allowed = format!("a rear wheel centre within 30 mm of x = {} mm", -self.wheelbase_mm);
            f.fault_at("rear.linkage", &format!("a rear wheel centre at x = {rear_x_mm} mm"), &allowed);
        }
    }
}

impl RunningOrder {
    fn read(f: &mut Fields) -> Self {
        Self {
            front_axle_kg: f.number("front_axle_kg", AXLE_KG, "Front axle load in running order"),
            rear_axle_kg: f.number("rear_axle_kg", AXLE_KG, "Rear axle load in running order"),
            centre_of_gravity_height_mm: f.number(
                "centre_of_gravity_height_mm",
                range(300.0, 1800.0),
                "Height of the whole van's centre of gravity above the design ground",
            ),
            seats: f.integer("seats", 1..=20, "Number of seats, driver included"),
            driver_place: f.table("driver_place", "Where the driver sits", Place::read),
            fuel_tank_l: f.number("fuel_tank_l", range(0.0, 300.0), "Capacity of the fuel tank"),
            fuel_density_kg_per_l: f.number_or(
                "fuel_density_kg_per_l",
                range(0.5, 1.2),
                0.84,
                "Density of the fuel",
            ),
            fuel_place: f.table("fuel_place", "Where the tank is", Place::read),
            inertia_kg_m2: f.optional_table("inertia", "Moments of inertia of the whole van", |f| {
                InertiaSheet {
                    pitch_kg_m2: f.number("pitch_kg_m2", range(200.0, 60_000.0), "About the lateral axis"),
                    roll_kg_m2: f.number("roll_kg_m2", range(50.0, 20_000.0), "About the longitudinal axis"),
                }
            }),
        }
    }
}

impl Grade {
    fn read(f: &mut Fields) -> Self {
        Self {
            id: f.id("id", "Identifier"),
            name: f.text("name", "Name for people"),
            plated_gross_kg: f.number("plated_gross_kg", range(800.0, 8000.0), "Permitted gross mass"),
            plated_front_axle_kg: f.number("plated_front_axle_kg", AXLE_KG, "Permitted front axle load"),
            plated_rear_axle_kg: f.number("plated_rear_axle_kg", AXLE_KG, "Permitted rear axle load"),
            front_spring: f.table("front_spring", "Original front spring", OriginalSpring::read),
            rear_spring: f.table("rear_spring", "Original rear spring", OriginalSpring::read),
        }
    }
}

impl OriginalSpring {
    fn read(f: &mut Fields) -> Self {
        Self {
            law: SpringLaw::read(f),
            solid_length_mm: f.optional_number(
                "solid_length_mm",
                range(20.0, 600.0),
                "Length with all coils touching",
            ),
            arch_height_mm: f.number(
                "arch_height_mm",
                range(150.0, 900.0),
                "Arch height on new springs in running order",
            ),
            added_leaves: f.list("added_leaves", "Leaves that join the main ones", AddedLeafSheet::read),
            interleaf_friction_percent: f.number_or(
                "interleaf_friction_percent",
                range(0.0, 40.0),
                0.0,
                "Friction between the leaves, half the width of the hysteresis, of the load",
            ),
        }
    }
}

impl AxleSheet {
    fn read(f: &mut Fields) -> Self {
        Self {
            linkage: f.table("linkage", "How the wheel is guided", LinkageSheet::read),
            arch_lip_mm: f.point3(
                "arch_lip_mm",
                POINT_MM,
                "Wheel-arch lip above the wheel centre, left side",
            ),
            unsprung_mass_kg: f.number(
                "unsprung_mass_kg",
                range(20.0, 600.0),
                "Wheels, hubs and half the arms of the whole axle",
            ),
            tyre: f.table("tyre", "Standard tyre", TyreSheet::read),
            damper: f.table("damper", "Original damper or strut", DamperSheet::read),
            stop: f.optional_table("stop", "Original bump stop", StopSheet::read),
            bush_rate_nm_per_deg: f.optional_number(
                "bush_rate_nm_per_deg",
                range(0.1, 200.0),
                "Torsional rate of the arm's rubber bushes, one side",
            ),
            bar: f.optional_table("bar", "Anti-roll bar", BarSheet::read),
            spring_mount_rate_n_per_mm: f.optional_number(
                "spring_mount_rate_n_per_mm",
                range(50.0, 20_000.0),
                "Rate of a rubber mount in series with the spring",
            ),
            spare_insertion_mm: f.optional_number(
                "spare_insertion_mm",
                range(0.5, 60.0),
                "How much deeper a slip-in strut can go into its tube",
            ),
            alignment: f
                .optional_table("alignment", "Wheel alignment that the maker asks for", AlignmentSheet::read)
                .unwrap_or_default(),
            driveshaft_angle_most_deg: f.optional_number(
                "driveshaft_angle_most_deg",
                range(1.0, 60.0),
                "Greatest angle of the driveshaft",
            ),
            drop_link_angle_least_deg: f.optional_number(
                "drop_link_angle_least_deg",
                range(1.0, 89.0),
                "Least angle between drop link and bar arm",
            ),
            axle_pitch_spare_deg: f.optional_number(
                "axle_pitch_spare_deg",
                range(0.1, 15.0),
                "Change of a driven beam axle's pitch that its propeller shaft bears",
            ),
        }
    }
}

impl TyreSheet {
    /// Reads a tyre.
    pub fn read(f: &mut Fields) -> Self {
        Self {
            size: f.text("size", "Marking on the sidewall"),
            unloaded_radius_mm: f.number("unloaded_radius_mm", range(200.0, 500.0), "Radius without load"),
            rate_n_per_mm: f.number(
                "rate_n_per_mm",
                range(80.0, 1000.0),
                "Vertical rate at working pressure",
            ),
            rate_within_percent: f.optional_number(
                "rate_within_percent",
                range(0.5, 50.0),
                "How far the rate may be off, where it is not as the tolerances say",
            ),
        }
    }
}

impl DamperSheet {
    /// Reads a damper.
    pub fn read(f: &mut Fields) -> Self {
        let sheet = Self {
            open_length_mm: f.number("open_length_mm", range(100.0, 1200.0), "Length with the rod out"),
            closed_length_mm: f.number("closed_length_mm", range(50.0, 1000.0), "Length with the rod in"),
            gas_force_n: f.number_or("gas_force_n", range(0.0, 2000.0), 0.0, "Gas force with the rod out"),
            gas_rate_n_per_mm: f.number_or(
                "gas_rate_n_per_mm",
                range(0.0, 10.0),
                0.0,
                "Growth of the gas force as the rod goes in",
            ),
            friction_n: f.number_or("friction_n", range(0.0, 1000.0), 0.0, "Dry friction along the damper"),
            friction_per_side_force: f.number_or(
                "friction_per_side_force",
                range(0.0, 0.5),
                0.0,
                "Friction added per newton of side force on a strut",
            ),
            damping: f.optional_table("damping", "Force over rod speed", DampingSheet::read),
        };
        if sheet.closed_length_mm >= sheet.open_length_mm && f.is_sound() {
            let found = format!("{} mm", sheet.closed_length_mm);
            f.fault_at(
                "closed_length_mm",
                &found,
                &format!("less than the open length, {} mm", sheet.open_length_mm),
            );
        }
        sheet
    }
}

impl StopSheet {
    /// Reads a bump stop.
    pub fn read(f: &mut Fields) -> Self {
        let sheet = Self {
            position: f.choice(
                "position",
                &[("damper", StopPosition::Damper), ("spring", StopPosition::Spring), ("wheel", StopPosition::Wheel)],
                "What squeezes the stop: damper (on its rod), spring (inside it), wheel (under the body)",
            ),
            height_mm: f.number("height_mm", range(5.0, 250.0), "Height of the whole stop"),
            contact_mm: f.number(
                "contact_mm",
                range(-250.0, 1000.0),
                "Damper length, spring seat distance or wheel travel at which the whole stop is first touched",
            ),
            wheel_ratio: f.number_or(
                "wheel_ratio",
                range(0.05, 2.0),
                1.0,
                "Stop compression per wheel travel, position wheel only",
            ),
            base_mm: f.optional_number(
                "base_mm",
                range(200.0, 2500.0),
                "Distance between left and right stop, position wheel on an axle beam",
            ),
            force_over_compression: f.pairs(
                "force_over_compression",
                [("compression_mm", range(0.1, 250.0)), ("force_n", range(1.0, 200_000.0))],
                2,
                Order::Rising,
                "Compression and force, without the unloaded stop",
            ),
        };
        if f.is_sound()
            && let Err(fault) = sheet.bump_stop()
        {
            f.fault_at(
                "force_over_compression",
                &fault.to_string(),
                "rising forces within the height of the stop",
            );
        }
        sheet
    }

    /// The stop as an element.
    ///
    /// # Errors
    /// When its curve does not rise or exceeds its height.
    pub fn bump_stop(&self) -> Result<mechanics::elements::BumpStop, ElementFault> {
        let pairs: Vec<(f64, f64)> =
            self.force_over_compression.iter().map(|row| (row[0] * 1e-3, row[1])).collect();
        mechanics::elements::BumpStop::measured(&pairs, self.height_mm * 1e-3)
    }
}

impl BarSheet {
    fn read(f: &mut Fields) -> Self {
        Self {
            rate_nm_per_deg: f.number(
                "rate_nm_per_deg",
                range(1.0, 5000.0),
                "Torsional rate between the arm ends, or roll rate at the axle without links",
            ),
            links: f.optional_table("links", "Geometry of bar and drop links", |f| BarLinksSheet {
                bar_axis_mm: f.point3("bar_axis_mm", POINT_MM, "A point of the bar's transverse axis"),
                bar_arm_end_mm: f.point3("bar_arm_end_mm", POINT_MM, "End of the bar's arm, left side"),
                link_lower_mm: f.point3("link_lower_mm", POINT_MM, "Where the drop link holds, left side"),
            }),
        }
    }
}
