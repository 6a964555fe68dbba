//! Kit: parts sold together, and what they replace on a van.

use crate::air_helper::AirHelperSheet;
use crate::damping::DampingSheet;
use crate::document::{Fields, Range, range};
use crate::facts::{Fact, STRUT_MOUNT, Words};
use crate::spring_sheet::{AddedLeafSheet, SpringLaw};
use crate::vehicle_sheet::{DamperSheet, StopSheet};

/// A kit of the catalogue.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// Identifier.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Maker.
    pub maker: String,
    /// What kind of kit it is.
    pub family: KitFamily,
    /// What it is, for the customer.
    pub about: Option<Words>,
    /// Vehicle sheets it is sold for.
    pub fits: Vec<String>,
    /// Front parts.
    pub front: Option<KitAxle>,
    /// Rear parts.
    pub rear: Option<KitAxle>,
    /// How it comes to the customer.
    pub offer: Offer,
}

/// How a kit comes to the customer.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Offer {
    /// As one kit of the catalogue.
    #[default]
    Kit,
    /// As two kits of the catalogue together, springs and dampers.
    Together([KitPart; 2]),
    /// It is on the van already; its collars are set anew.
    SetAnew,
}

/// A kit of the catalogue as part of an offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KitPart {
    /// Identifier.
    pub id: String,
    /// Its own family.
    pub family: KitFamily,
}

/// What kits may refer to.
#[derive(Debug, Clone, Copy, Default)]
pub struct KitWorld<'a> {
    /// Identifiers of the vehicle sheets; not checked where there are none.
    pub vehicles: &'a [String],
    /// Facts of the workshop.
    pub facts: &'a [Fact],
}

/// Kinds of kit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum KitFamily {
    /// Springs of one height.
    FixedSprings,
    /// Fixed front springs, height-adjustable rear.
    AdjustableRear,
    /// Height-adjustable struts all round.
    AdjustableStruts,
    /// Dampers only, at original length.
    Dampers,
    /// Springs or struts that raise the van.
    Lift,
    /// Height-adjustable struts with adjustable damping.
    AdjustableDamping,
    /// A kit for standing very low.
    ExtraLow,
    /// Blocks between axle and leaf springs.
    Blocks,
    /// Leaves re-arched, added or exchanged, shackles.
    LeafWork,
    /// Torsion bars turned, or exchanged.
    TorsionBars,
    /// Auxiliary air springs.
    AuxiliaryAir,
    /// Springs and dampers of two kits.
    Combination,
}

impl KitFamily {
    /// Names in files.
    pub const CHOICES: [(&'static str, Self); 12] = [
        ("fixed_springs", Self::FixedSprings),
        ("adjustable_rear", Self::AdjustableRear),
        ("adjustable_struts", Self::AdjustableStruts),
        ("dampers", Self::Dampers),
        ("lift", Self::Lift),
        ("adjustable_damping", Self::AdjustableDamping),
        ("extra_low", Self::ExtraLow),
        ("blocks", Self::Blocks),
        ("leaf_work", Self::LeafWork),
        ("torsion_bars", Self::TorsionBars),
        ("auxiliary_air", Self::AuxiliaryAir),
        ("combination", Self::Combination),
    ];

    /// Names of what can be sold as one kit: all but the combination.
    pub const SOLD: &[(&'static str, Self)] = Self::CHOICES.split_at(11).0;
}

/// What a kit brings to one axle; what it does not bring stays as it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct KitAxle {
    /// Axle loads the maker sells it for, kg: from, to.
    pub axle_load_kg: Option<[f64; 2]>,
    /// Springs.
    pub spring: Option<KitSpring>,
    /// Helper spring in series.
    pub helper: Option<HelperSheet>,
    /// Collar that sets the height.
    pub collar: Option<CollarSheet>,
    /// Damper or strut.
    pub damper: Option<DamperSheet>,
    /// Remaining height of the original bump stop after trimming, mm.
    pub stop_trimmed_to_mm: Option<f64>,
    /// Bump stop that replaces the original.
    pub stop: Option<StopSheet>,
    /// Spacers, pads or a taller top mount, positive compresses the spring, mm.
    pub seat_packing_mm: f64,
    /// Damping that can be set.
    pub clicks: Option<ClickSheet>,
    /// What it does to the original leaf springs.
    pub leaf_work: Option<LeafWorkSheet>,
    /// Auxiliary air spring.
    pub air: Option<AirHelperSheet>,
    /// Mount that the front strut is made for, an answer of the fact [`STRUT_MOUNT`]; absent where it is no strut or
    /// the maker states none.
    pub strut_mount: Option<String>,
    /// How much deeper than usual the maker allows the strut in its tube, mm; absent where he does not.
    pub extra_insertion_mm: Option<f64>,
}

/// A kit's main spring.
#[derive(Debug, Clone, PartialEq)]
pub enum KitSpring {
    /// Rate and length are known.
    Known {
        /// Load over compression.
        law: SpringLaw,
        /// Length without load, mm.
        free_length_mm: f64,
        /// Length with all coils touching, mm.
        solid_length_mm: Option<f64>,
    },
    /// Torsion bars of another rate.
    TorsionBars {
        /// Torsional rate, N m per degree.
        rate_nm_per_deg: f64,
        /// How far the arm lies below its design position where the bar is free of twist, its adjusting bolt where the
        /// original one stood, degrees.
        untwisted_below_design_deg: f64,
    },
    /// The maker publishes a drop and nothing else.
    DropOnly {
        /// Published drop against original springs, mm, positive downwards.
        maker_drop_mm: f64,
        /// Axle load at which it is meant, kg; where it is not stated it may be anywhere in the axle load band.
        reference_axle_load_kg: Option<f64>,
    },
}

/// A helper spring.
#[derive(Debug, Clone, PartialEq)]
pub struct HelperSheet {
    /// Rate, N/mm.
    pub rate_n_per_mm: f64,
    /// Length without load, mm.
    pub free_length_mm: f64,
    /// Length with its coils touching, mm.
    pub solid_length_mm: f64,
}

/// What a kit does to the original leaf springs.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafWorkSheet {
    /// Block between axle and leaf, mm, positive lowers the van.
    pub block_mm: f64,
    /// Tilt of the axle against the leaf by a wedge, front up positive, degrees.
    pub wedge_deg: f64,
    /// Shackle longer than the original by this, mm.
    pub shackle_longer_mm: f64,
    /// Free camber of the whole pack above that of a new original one, mm.
    pub re_arched_mm: f64,
    /// Leaves put in.
    pub added_leaves: Vec<AddedLeafSheet>,
}

/// The threaded spring seat and its datum.
#[derive(Debug, Clone, PartialEq)]
pub struct CollarSheet {
    /// Which face to which face the position is measured, unloaded on the bench.
    pub datum: String,
    /// Lowest usable position, mm from the datum, up the thread positive.
    pub lowest_mm: f64,
    /// Highest usable position, mm.
    pub highest_mm: f64,
    /// Position as delivered, mm.
    pub delivered_mm: f64,
    /// Thread pitch, mm per turn.
    pub thread_pitch_mm: f64,
    /// Height of the spring seat above the original seat with the collar at position 0, mm.
    pub seat_at_zero_mm: f64,
    /// Whether the collar has a lock ring.
    pub lock_ring: bool,
}

/// Adjustable damping.
#[derive(Debug, Clone, PartialEq)]
pub struct ClickSheet {
    /// Number of clicks from end to end.
    pub count: i64,
    /// The end from which clicks are counted.
    pub counted_from: CountedFrom,
    /// Clicks the maker recommends to begin with.
    pub start_at: i64,
    /// Force over rod speed at the soft and at the hard end.
    pub ends: Option<[DampingSheet; 2]>,
}

/// The end from which damping clicks are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub enum CountedFrom {
    /// Fully hard.
    #[serde(rename = "fully_hard")]
    Hard,
    /// Fully soft.
    #[serde(rename = "fully_soft")]
    Soft,
}

impl ClickSheet {
    fn read(f: &mut Fields) -> Self {
        let clicks = Self {
            count: f.integer("count", 1..=60, "Number of clicks from end to end"),
            counted_from: f.choice(
                "counted_from",
                &[("fully_hard", CountedFrom::Hard), ("fully_soft", CountedFrom::Soft)],
                "The end from which clicks are counted",
            ),
            start_at: f.integer("start_at", 0..=60, "Clicks the maker recommends to begin with"),
            ends: Self::read_ends(f),
        };
        if f.is_sound() && clicks.start_at > clicks.count {
            let allowed = format!("at most the {} clicks there are", clicks.count);
            f.fault_at("start_at", &clicks.start_at.to_string(), &allowed);
        }
        clicks
    }

    fn read_ends(f: &mut Fields) -> Option<[DampingSheet; 2]> {
        let softest = f.optional_table("softest", "Force over rod speed, fully soft", DampingSheet::read);
        let hardest = f.optional_table("hardest", "Force over rod speed, fully hard", DampingSheet::read);
        if softest.is_some() != hardest.is_some() {
            f.fault_at("softest", "one end of the adjustment", "both softest and hardest, or neither");
        }
        softest.zip(hardest).map(|(softest, hardest)| [softest, hardest])
    }
}

const CORNERS: [&str; 4] = ["front_left", "front_right", "rear_left", "rear_right"];

/// Reads where the collars of a kit are, in corner order, mm from the datum.
pub(crate) fn read_collar_positions(f: &mut Fields, name: &str, doc: &str) -> [Option<f64>; 4] {
    let positions = f.optional_table(name, doc, |f| {
        CORNERS.map(|corner| {
            let doc = "From the datum, up the thread positive";
            f.optional_number(&format!("{corner}_mm"), range(-300.0, 300.0), doc)
        })
    });
    positions.unwrap_or([None; 4])
}

const LENGTH_MM: Range = range(20.0, 900.0);

impl Kit {
    /// Reads a kit.
    pub fn read(f: &mut Fields, world: KitWorld) -> Self {
        let kit = Self {
            id: f.id("id", "Identifier"),
            name: f.text("name", "Name for people"),
            maker: f.text("maker", "Maker"),
            family: f.choice("family", KitFamily::SOLD, "What kind of kit it is"),
            about: f.optional_table("about", "What it is, for the customer", Words::read),
            fits: f.id_list("fits", 1..=50, "Vehicle sheets it is sold for"),
            front: f.optional_table("front", "Parts for the front axle", KitAxle::read),
            rear: f.optional_table("rear", "Parts for the rear axle", KitAxle::read),
            offer: Offer::Kit,
        };
        if !f.is_sound() {
            return kit;
        }
        for (k, id) in kit.fits.iter().enumerate() {
            if !world.vehicles.is_empty() && !world.vehicles.contains(id) {
                let allowed = format!("one of {}", world.vehicles.join(", "));
                f.fault_at(&format!("fits[{k}]"), &format!("\"{id}\""), &allowed);
            }
        }
        kit.check_strut_mount(f, world.facts);
        if kit.front.is_none() && kit.rear.is_none() {
            f.fault_at("", "neither front nor rear parts", "a table [front], a table [rear], or both");
        }
        kit
    }

    fn check_strut_mount(&self, f: &mut Fields, facts: &[Fact]) {
        if self.rear.as_ref().is_some_and(|axle| axle.strut_mount.is_some()) {
            f.fault_at("rear.strut_mount", "a strut mount at the rear", "one in [front] alone");
        }
        let Some(KitAxle { strut_mount: Some(mount), damper, .. }) = &self.front else { return };
        if damper.is_none() {
            f.fault_at(
                "front.strut_mount",
                "a strut mount without a strut",
                "a table [front.damper] beside it",
            );
        }
        let Some(fact) = facts.iter().find(|fact| fact.id == STRUT_MOUNT) else { return };
        if !fact.answers.iter().any(|answer| answer.id == *mount) {
            let ids: Vec<&str> = fact.answers.iter().map(|answer| answer.id.as_str()).collect();
            f.fault_at("front.strut_mount", &format!("\"{mount}\""), &format!("one of {}", ids.join(", ")));
        }
    }

    /// Checks collar positions read from a document against the collars there are; `all` where none may be left out.
    pub(crate) fn check_collar_positions(
        &self,
        f: &mut Fields,
        name: &str,
        positions: &[Option<f64>; 4],
        all: bool,
    ) {
        for (i, position) in positions.iter().enumerate() {
            let collar = self.axle(i / 2).and_then(|axle| axle.collar.as_ref());
            let field = format!("{name}.{}_mm", CORNERS[i]);
            match (collar, position) {
                (Some(collar), Some(mm)) if !(collar.lowest_mm..=collar.highest_mm).contains(mm) => {
                    let allowed = format!("{} to {} mm from the datum", collar.lowest_mm, collar.highest_mm);
                    f.fault_at(&field, &format!("{mm}"), &allowed);
                }
                (Some(_), None) if all => f.fault_at(&field, "nothing", "the position of this kit's collar"),
                (None, Some(mm)) => {
                    f.fault_at(&field, &format!("{mm}"), "nothing: this kit has no collar there");
                }
                _ => {}
            }
        }
    }

    /// Mount of the wheel carrier that the kit's struts are made for, an answer of [`STRUT_MOUNT`].
    pub fn strut_mount(&self) -> Option<&str> {
        self.front.as_ref()?.strut_mount.as_deref()
    }

    /// Parts for an axle, [`mechanics::statics::FRONT`] or [`mechanics::statics::REAR`].
    pub fn axle(&self, axle: usize) -> Option<&KitAxle> {
        if axle == mechanics::statics::FRONT { self.front.as_ref() } else { self.rear.as_ref() }
    }
}

impl KitAxle {
    fn read(f: &mut Fields) -> Self {
        let axle = Self {
            axle_load_kg: f.optional_table("axle_load", "Axle loads the maker sells it for", |f| {
                let bound = range(100.0, 5000.0);
                [
                    f.number("from_kg", bound, "Least axle load"),
                    f.number("to_kg", bound, "Greatest axle load"),
                ]
            }),
            spring: f.optional_table("spring", "Main spring", KitSpring::read),
            helper: f.optional_table(
                "helper",
                "Helper spring in series with the main spring",
                HelperSheet::read,
            ),
            collar: f.optional_table("collar", "Threaded spring seat", CollarSheet::read),
            damper: f.optional_table("damper", "Damper or strut", DamperSheet::read),
            stop_trimmed_to_mm: f.optional_number(
                "stop_trimmed_to_mm",
                range(5.0, 250.0),
                "Remaining height of the original bump stop",
            ),
            stop: f.optional_table("stop", "Bump stop that replaces the original", StopSheet::read),
            seat_packing_mm: f.number_or(
                "seat_packing_mm",
                range(-100.0, 150.0),
                0.0,
                "Spacers, pads or a taller top mount, positive compresses the spring",
            ),
            clicks: f.optional_table("clicks", "Damping that can be set", ClickSheet::read),
            leaf_work: f.optional_table(
                "leaf_work",
                "What it does to the original leaf springs",
                LeafWorkSheet::read,
            ),
            air: f.optional_table("air", "Auxiliary air spring beside the main spring", AirHelperSheet::read),
            strut_mount: f.optional_id(
                "strut_mount",
                "Mount that the front strut is made for, an answer of the fact strut-mount",
            ),
            extra_insertion_mm: f.optional_number(
                "extra_insertion_mm",
                range(0.5, 60.0),
                "How much deeper than usual the maker allows the strut in its tube",
            ),
        };
        if !f.is_sound() {
            return axle;
        }
        if axle.stop.is_some() && axle.stop_trimmed_to_mm.is_some() {
            f.fault_at(
                "stop_trimmed_to_mm",
                "a trimmed original stop beside a new stop",
                "only one of the two",
            );
        }
        if let Some([from_kg, to_kg]) = axle.axle_load_kg
            && from_kg >= to_kg
        {
            f.fault_at("axle_load", &format!("from {from_kg} kg to {to_kg} kg"), "from_kg below to_kg");
        }
        if matches!(axle.spring, Some(KitSpring::TorsionBars { .. })) && axle.helper.is_some() {
            f.fault_at("helper", "a helper spring beside torsion bars", "torsion bars alone");
        }
        let drop_only = matches!(axle.spring, Some(KitSpring::DropOnly { .. }));
        if drop_only && (axle.helper.is_some() || axle.collar.is_some()) {
            f.fault_at("spring", "a drop without a rate beside a helper or collar", "rate and free length");
        }
        axle
    }
}

impl KitSpring {
    fn read(f: &mut Fields) -> Self {
        f.variant(
            "stated",
            "What the maker states of the spring",
            &[
                ("rate_and_length", &|f| {
                    let law = SpringLaw::read(f);
                    let free_length_mm = f.number("free_length_mm", LENGTH_MM, "Length without load");
                    let solid_length_mm =
                        f.optional_number("solid_length_mm", LENGTH_MM, "Length with all coils touching");
                    if f.is_sound() && matches!(law, SpringLaw::Torsion(_)) {
                        let allowed = "stated = \"torsion_bars\", which has no length";
                        f.fault_at("torsion_rate_nm_per_deg", "a torsional rate beside a length", allowed);
                    }
                    if f.is_sound()
                        && let Err(fault) = law.spring(free_length_mm, solid_length_mm, 1.0)
                    {
                        f.fault_at(
                            "free_length_mm",
                            &fault.to_string(),
                            "a free length above every other length",
                        );
                    }
                    Self::Known { law, free_length_mm, solid_length_mm }
                }),
                ("torsion_bars", &|f| Self::TorsionBars {
                    rate_nm_per_deg: f.number(
                        "rate_nm_per_deg",
                        range(5.0, 2000.0),
                        "Torsional rate of a bar",
                    ),
                    untwisted_below_design_deg: f.number(
                        "untwisted_below_design_deg",
                        range(-20.0, 70.0),
                        "How far the arm lies below its design position where the bar is free of twist",
                    ),
                }),
                ("drop_only", &|f| Self::DropOnly {
                    maker_drop_mm: f.number(
                        "maker_drop_mm",
                        range(-150.0, 200.0),
                        "Published drop against original springs, positive downwards",
                    ),
                    reference_axle_load_kg: f.optional_number(
                        "reference_axle_load_kg",
                        range(100.0, 5000.0),
                        "Axle load at which the drop is meant",
                    ),
                }),
            ],
        )
    }
}

impl LeafWorkSheet {
    fn read(f: &mut Fields) -> Self {
        Self {
            block_mm: f.number_or(
                "block_mm",
                range(-100.0, 120.0),
                0.0,
                "Block between axle and leaf, positive lowers the van",
            ),
            wedge_deg: f.number_or(
                "wedge_deg",
                range(-10.0, 10.0),
                0.0,
                "Tilt of the axle by a wedge, front up positive",
            ),
            shackle_longer_mm: f.number_or(
                "shackle_longer_mm",
                range(-60.0, 100.0),
                0.0,
                "Shackle longer than the original by this",
            ),
            re_arched_mm: f.number_or(
                "re_arched_mm",
                range(-150.0, 150.0),
                0.0,
                "Free camber of the whole pack above that of a new original one",
            ),
            added_leaves: f.list("added_leaves", "Leaves put in", AddedLeafSheet::read),
        }
    }
}

impl HelperSheet {
    fn read(f: &mut Fields) -> Self {
        let helper = Self {
            rate_n_per_mm: f.number("rate_n_per_mm", range(0.1, 100.0), "Rate"),
            free_length_mm: f.number("free_length_mm", LENGTH_MM, "Length without load"),
            solid_length_mm: f.number("solid_length_mm", range(2.0, 300.0), "Length with its coils touching"),
        };
        if helper.solid_length_mm >= helper.free_length_mm && f.is_sound() {
            let allowed = format!("less than the free length, {} mm", helper.free_length_mm);
            f.fault_at("solid_length_mm", &format!("{} mm", helper.solid_length_mm), &allowed);
        }
        helper
    }
}

impl CollarSheet {
    fn read(f: &mut Fields) -> Self {
        const POSITION_MM: Range = range(-300.0, 300.0);
        let collar = Self {
            datum: f.text("datum", "Which face to which face the position is measured"),
            lowest_mm: f.number("lowest_mm", POSITION_MM, "Lowest usable position"),
            highest_mm: f.number("highest_mm", POSITION_MM, "Highest usable position"),
            delivered_mm: f.number("delivered_mm", POSITION_MM, "Position as delivered"),
            thread_pitch_mm: f.number("thread_pitch_mm", range(0.5, 10.0), "Thread pitch"),
            seat_at_zero_mm: f.number(
                "seat_at_zero_mm",
                range(-300.0, 300.0),
                "Height of the seat above the original seat with the collar at position 0",
            ),
            lock_ring: f.flag_or("lock_ring", true, "Whether the collar has a lock ring"),
        };
        let in_order = collar.lowest_mm < collar.highest_mm
            && (collar.lowest_mm..=collar.highest_mm).contains(&collar.delivered_mm);
        if !in_order && f.is_sound() {
            let found = format!(
                "lowest {}, delivered {}, highest {} mm",
                collar.lowest_mm, collar.delivered_mm, collar.highest_mm
            );
            f.fault_at("delivered_mm", &found, "lowest below highest, delivered between them");
        }
        collar
    }
}
