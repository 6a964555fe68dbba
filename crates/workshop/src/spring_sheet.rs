//! How a spring's load is stated in vehicle sheets and kits.

use mechanics::elements::{ElementFault, Spring};

use crate::document::{Fields, Order, range};
use crate::units::{m_from_mm, n_per_m_from_n_per_mm};

/// Load of a spring: one rate, or measured lengths and loads with the free length they were taken from.
#[derive(Debug, Clone, PartialEq)]
pub enum SpringLaw {
    /// Constant rate, N/mm.
    Rate(f64),
    /// Pairs of length (mm) and load (N), falling in length.
    LoadOverLength(Vec<[f64; 2]>),
}

impl SpringLaw {
    /// Reads the law from the fields beside it.
    pub fn read(f: &mut Fields) -> Self {
        f.exactly_one_of(&["rate_n_per_mm", "load_over_length"]);
        let rate = f.optional_number("rate_n_per_mm", range(1.0, 500.0), "Spring rate of a linear spring");
        let columns = [("length_mm", range(30.0, 900.0)), ("load_n", range(1.0, 60_000.0))];
        let pairs = f.optional_pairs(
            "load_over_length",
            columns,
            2,
            Order::Rising,
            "Length and load of a progressive spring; the shorter, the more load",
        );
        match (rate, pairs) {
            (_, Some(pairs)) => {
                if !pairs.windows(2).all(|rows| rows[1][1] < rows[0][1]) {
                    f.fault_at(
                        "load_over_length",
                        "loads that do not fall with length",
                        "less load at more length",
                    );
                }
                Self::LoadOverLength(pairs)
            }
            (rate, None) => Self::Rate(rate.unwrap_or(1.0)),
        }
    }

    /// The spring of this law with a free length, mm.
    ///
    /// # Errors
    /// When the lengths contradict each other.
    pub fn coil_spring(
        &self,
        free_length_mm: f64,
        solid_length_mm: Option<f64>,
    ) -> Result<Spring, ElementFault> {
        let solid_length_m = solid_length_mm.map(m_from_mm);
        match self {
            Self::Rate(rate_n_per_mm) => Spring::linear(
                n_per_m_from_n_per_mm(*rate_n_per_mm),
                m_from_mm(free_length_mm),
                solid_length_m,
            ),
            Self::LoadOverLength(pairs) => {
                let pairs_m: Vec<(f64, f64)> = pairs.iter().map(|row| (m_from_mm(row[0]), row[1])).collect();
                Spring::measured(&pairs_m, m_from_mm(free_length_mm), solid_length_m)
            }
        }
    }

    /// A free length that lets the law be built before the true one is known, mm: for pairs, where the first two
    /// longest rows point to zero load.
    pub fn nominal_free_length_mm(&self, length_mm: f64, load_n: f64) -> f64 {
        match self {
            Self::Rate(rate_n_per_mm) => length_mm + load_n / rate_n_per_mm,
            Self::LoadOverLength(pairs) => {
                let [longest, next] = [pairs[pairs.len() - 1], pairs[pairs.len() - 2]];
                longest[0] + longest[1] * (longest[0] - next[0]) / (next[1] - longest[1])
            }
        }
    }
}
