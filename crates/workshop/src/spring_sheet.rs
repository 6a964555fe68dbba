//! How a spring's load is stated in vehicle sheets and kits.

use mechanics::elements::{AddedLeaf, ElementFault, Spring};

use crate::document::{Fields, Order, range};
use crate::units::{m_from_mm, mm_from_m, n_per_m_from_n_per_mm, nm_per_rad_from_nm_per_deg};

/// Load of a spring: one rate, a torsion bar, leaves by their dimensions, or measured lengths and loads with the
/// free length they were taken from.
#[derive(Debug, Clone, PartialEq)]
pub enum SpringLaw {
    /// Constant rate, N/mm.
    Rate(f64),
    /// Pairs of length (mm; of leaves the camber) and load (N), falling in length.
    LoadOverLength(Vec<[f64; 2]>),
    /// Torsion bar, N m per degree.
    Torsion(f64),
    /// Dimensions of a pack of leaves.
    Leaves(LeafDimensions),
}

/// A pack of leaves as measured with a tape and a calliper.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafDimensions {
    /// Eye to eye along the main leaf, mm.
    pub length_mm: f64,
    /// Width of the leaves, mm.
    pub width_mm: f64,
    /// Thickness of the leaves besides the main leaf that run from eye to eye, mm.
    pub full_length_thickness_mm: Vec<f64>,
    /// Thickness of the main leaf and the shorter ones, mm.
    pub graduated_thickness_mm: Vec<f64>,
}

/// A leaf that joins in on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct AddedLeafSheet {
    /// Rate, N/mm.
    pub rate_n_per_mm: f64,
    /// Camber of the main leaves at which it is touched, mm.
    pub touched_at_camber_mm: f64,
}

/// Modulus of elasticity of spring steel, Pa: 206 000 MPa for the steels of EN 10089 (EN 13906-1:2013, table of
/// moduli).
const SPRING_STEEL_PA: f64 = 206e9;

impl SpringLaw {
    /// Reads the law from the fields beside it.
    pub fn read(f: &mut Fields) -> Self {
        f.exactly_one_of(&["rate_n_per_mm", "load_over_length", "torsion_rate_nm_per_deg", "leaves"]);
        let rate = f.optional_number("rate_n_per_mm", range(1.0, 500.0), "Spring rate of a linear spring");
        let torsion =
            f.optional_number("torsion_rate_nm_per_deg", range(5.0, 2000.0), "Rate of a torsion bar");
        let leaves = f.optional_table("leaves", "Dimensions of a pack of leaves", LeafDimensions::read);
        let columns = [("length_mm", range(-300.0, 900.0)), ("load_n", range(1.0, 60_000.0))];
        let pairs = f.optional_pairs(
            "load_over_length",
            columns,
            2,
            Order::Rising,
            "Length (of leaves: camber) and load of a progressive spring; the shorter, the more load",
        );
        match (pairs, torsion, leaves) {
            (Some(pairs), _, _) => {
                if !pairs.windows(2).all(|rows| rows[1][1] < rows[0][1]) {
                    f.fault_at(
                        "load_over_length",
                        "loads that do not fall with length",
                        "less load at more length",
                    );
                }
                Self::LoadOverLength(pairs)
            }
            (None, Some(torsion), _) => Self::Torsion(torsion),
            (None, None, Some(leaves)) => Self::Leaves(leaves),
            (None, None, None) => Self::Rate(rate.unwrap_or(1.0)),
        }
    }

    /// The spring of this law with a free length, mm (of leaves: the free camber; of a torsion bar: its stand-in,
    /// [`mechanics::linkage::WishboneSpring::TorsionBar`], on the given lever).
    ///
    /// # Errors
    /// When the lengths contradict each other.
    pub fn spring(
        &self,
        free_length_mm: f64,
        solid_length_mm: Option<f64>,
        torsion_lever_m: f64,
    ) -> Result<Spring, ElementFault> {
        let (free_length_m, solid_length_m) = (m_from_mm(free_length_mm), solid_length_mm.map(m_from_mm));
        match self {
            Self::LoadOverLength(pairs) => {
                let pairs_m: Vec<(f64, f64)> = pairs.iter().map(|row| (m_from_mm(row[0]), row[1])).collect();
                Spring::measured(&pairs_m, free_length_m, solid_length_m)
            }
            _ => Spring::linear(self.rate_n_per_m(torsion_lever_m), free_length_m, solid_length_m),
        }
    }

    /// Rate of a spring without a table, N/m; of one with a table that of its two longest rows.
    fn rate_n_per_m(&self, torsion_lever_m: f64) -> f64 {
        match self {
            Self::Rate(rate_n_per_mm) => n_per_m_from_n_per_mm(*rate_n_per_mm),
            Self::LoadOverLength(pairs) => {
                let [longest, next] = longest_rows(pairs);
                n_per_m_from_n_per_mm((next[1] - longest[1]) / (longest[0] - next[0]))
            }
            Self::Torsion(nm_per_deg) => {
                nm_per_rad_from_nm_per_deg(*nm_per_deg) / (torsion_lever_m * torsion_lever_m)
            }
            Self::Leaves(leaves) => leaves.rate_n_per_m(),
        }
    }

    /// A free length that lets the law be built before the true one is known, mm: for pairs, where the first two
    /// longest rows point to zero load.
    pub fn nominal_free_length_mm(&self, length_mm: f64, load_n: f64, torsion_lever_m: f64) -> f64 {
        match self {
            Self::LoadOverLength(pairs) => {
                let [longest, next] = longest_rows(pairs);
                longest[0] + longest[1] * (longest[0] - next[0]) / (next[1] - longest[1])
            }
            _ => length_mm + mm_from_m(load_n / self.rate_n_per_m(torsion_lever_m)),
        }
    }
}

/// The stand-in spring ([`mechanics::linkage::WishboneSpring::TorsionBar`]) on a lever, m, of a torsion bar that is free
/// of twist with its arm a given angle below design, degrees.
///
/// # Errors
/// When rate or lever is not positive.
pub fn torsion_bar_spring(
    rate_nm_per_deg: f64,
    untwisted_below_design_deg: f64,
    lever_m: f64,
) -> Result<Spring, ElementFault> {
    let free_length_m = lever_m * (std::f64::consts::TAU + untwisted_below_design_deg.to_radians());
    Spring::linear(SpringLaw::Torsion(rate_nm_per_deg).rate_n_per_m(lever_m), free_length_m, None)
}

fn longest_rows(pairs: &[[f64; 2]]) -> [[f64; 2]; 2] {
    [pairs[pairs.len() - 1], pairs[pairs.len() - 2]]
}

impl LeafDimensions {
    fn read(f: &mut Fields) -> Self {
        let length_mm = f.number("length_mm", range(300.0, 2500.0), "Eye to eye along the main leaf");
        let width_mm = f.number("width_mm", range(20.0, 150.0), "Width of the leaves");
        let mut thickness = |name, count, doc| f.number_list(name, range(2.0, 40.0), count, doc);
        let full_length_thickness_mm = thickness(
            "full_length_thickness_mm",
            0..=8,
            "Thickness of each further leaf that runs from eye to eye",
        );
        let graduated_thickness_mm = thickness(
            "graduated_thickness_mm",
            1..=12,
            "Thickness of each leaf of the graduated pack, the main leaf first",
        );
        Self { length_mm, width_mm, full_length_thickness_mm, graduated_thickness_mm }
    }

    fn rate_n_per_m(&self) -> f64 {
        let thicknesses = |mm: &[f64]| mm.iter().map(|t| m_from_mm(*t)).collect::<Vec<f64>>();
        mechanics::spring_design::leaf::rate_n_per_m(
            SPRING_STEEL_PA,
            m_from_mm(self.length_mm),
            m_from_mm(self.width_mm),
            &thicknesses(&self.full_length_thickness_mm),
            &thicknesses(&self.graduated_thickness_mm),
        )
    }
}

impl AddedLeafSheet {
    /// Reads an added leaf.
    pub fn read(f: &mut Fields) -> Self {
        Self {
            rate_n_per_mm: f.number("rate_n_per_mm", range(1.0, 300.0), "Rate"),
            touched_at_camber_mm: f.number(
                "touched_at_camber_mm",
                range(-200.0, 300.0),
                "Camber of the main leaves at which it is touched; negative past flat",
            ),
        }
    }

    /// The leaf as the mechanics computes it.
    ///
    /// # Errors
    /// When its rate or camber is out of range.
    pub fn added_leaf(&self) -> Result<AddedLeaf, ElementFault> {
        AddedLeaf::new(n_per_m_from_n_per_mm(self.rate_n_per_mm), m_from_mm(self.touched_at_camber_mm))
    }
}
