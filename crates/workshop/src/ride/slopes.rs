//! Quantities of a ride and how they answer to everything that is not known.

use mechanics::ride::RideDeviation;
use nalgebra::DVector;

use super::unknowns::Input;
use crate::belief::Belief;
use crate::figure::Figure;

/// What is not known of a fitment in a load state.
pub(super) struct Unknowing<'a> {
    /// All unknowns.
    pub(super) belief: &'a Belief,
    /// Each input of ride, how it answers to them, and its standard deviation where it has one.
    pub(super) inputs: Vec<(Input, DVector<f64>, f64)>,
}

impl<'a> Unknowing<'a> {
    pub(super) fn of(belief: &'a Belief, row: impl Fn(Input) -> DVector<f64>) -> Self {
        let inputs = Input::all()
            .map(|input| {
                let row = row(input);
                let sd = belief.variance_along(&row).sqrt();
                (input, row, sd)
            })
            .filter(|(_, _, sd)| *sd > 0.0)
            .collect();
        Self { belief, inputs }
    }
}

/// Quantities as expected, and their slopes by every unknown.
#[derive(Debug, Clone)]
pub(super) struct Slopes {
    pub(super) values: Vec<f64>,
    rows: Vec<DVector<f64>>,
}

impl Slopes {
    /// Quantities as expected and with every input off by its standard deviation. `None` where they cannot be computed.
    pub(super) fn of(
        unknown: &Unknowing,
        expected: &RideDeviation,
        quantities: impl Fn(&[RideDeviation]) -> Option<Vec<Vec<f64>>>,
    ) -> Option<Self> {
        let off = unknown.inputs.iter().map(|(input, _, sd)| input.off_by(*sd, expected));
        let deviations: Vec<RideDeviation> = std::iter::once(*expected).chain(off).collect();
        let mut each = quantities(&deviations)?.into_iter();
        let values = each.next()?;
        let mut rows = vec![DVector::zeros(unknown.belief.unknowns.len()); values.len()];
        for ((_, row, sd), off) in unknown.inputs.iter().zip(each) {
            for k in 0..values.len() {
                let slope = (off[k] - values[k]) / sd;
                if slope.is_finite() {
                    rows[k].axpy(slope, row, 1.0);
                }
            }
        }
        Some(Self { values, rows })
    }

    /// The same over a belief that has the unknowns of a kit behind those of the van.
    pub(super) fn among(&self, van_unknowns: usize, kit_unknowns: usize, all: usize) -> Self {
        let placed = |row: &DVector<f64>| {
            DVector::from_fn(all, |i, _| match i {
                i if i < van_unknowns => row[i],
                i if i < van_unknowns + kit_unknowns => 0.0,
                i => row.get(i - kit_unknowns).copied().unwrap_or(0.0),
            })
        };
        Self { values: self.values.clone(), rows: self.rows.iter().map(placed).collect() }
    }

    /// A figure that rises with a quantity.
    pub(super) fn figure(&self, k: usize, belief: &Belief, of: impl Fn(f64) -> f64) -> Figure {
        shaped(belief.figure(self.values[k], &self.rows[k]), of)
    }

    /// A figure that rises with the difference of a quantity from that of other slopes.
    pub(super) fn difference(
        &self,
        other: &Self,
        k: usize,
        belief: &Belief,
        of: impl Fn(f64) -> f64,
    ) -> Figure {
        let row = &self.rows[k] - &other.rows[k];
        shaped(belief.figure(self.values[k] - other.values[k], &row), of)
    }
}

/// A figure of which another one, rising with it, is asked.
fn shaped(mut figure: Figure, of: impl Fn(f64) -> f64) -> Figure {
    let half_width = figure.half_width();
    (figure.value, figure.low, figure.high) = (of(figure.value), of(figure.low), of(figure.high));
    let stretch = if half_width > 0.0 { figure.half_width() / half_width } else { 1.0 };
    for contribution in &mut figure.widened_by {
        contribution.half_width_without *= stretch;
    }
    figure
}
