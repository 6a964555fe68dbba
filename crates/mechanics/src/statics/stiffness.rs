//! Second derivatives of the energy, in the form in which a van has them: each wheel is tied to the body and to the other
//! wheel of its axle, never to a wheel of the other axle.

use super::equilibrium::State;
use super::{CORNERS, FRONT, REAR, axle_of};

/// A symmetric matrix of seven rows in blocks.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Stiffness {
    /// Heave, pitch, roll: entries on and above the diagonal.
    pub(super) body: [[f64; 3]; 3],
    /// Between each wheel's travel and heave, pitch, roll.
    pub(super) coupling: [[f64; 3]; CORNERS],
    /// Travel of the wheels of each axle: left twice, left and right, right twice.
    pub(super) axles: [[f64; 3]; 2],
}

/// The matrix with the wheels eliminated axle by axle (Schur complement), ready to be solved with.
#[derive(Debug, Clone, Copy)]
pub(super) struct Eliminated {
    coupling: [[f64; 3]; CORNERS],
    /// Inverse of each axle's block.
    inverse: [[f64; 3]; 2],
    /// What is left of the body's block as L D Lᵀ: D, and below the diagonal of L (1,0), (2,0), (2,1).
    pivots: [f64; 3],
    lower: [f64; 3],
    positive: bool,
}

impl Stiffness {
    /// The matrix with every diagonal entry raised.
    #[must_use]
    pub(super) fn raised(mut self, by: f64) -> Self {
        for k in 0..3 {
            self.body[k][k] += by;
        }
        for axle in &mut self.axles {
            axle[0] += by;
            axle[2] += by;
        }
        self
    }

    /// Largest entry on the diagonal.
    pub(super) fn largest(&self) -> f64 {
        let body = (0..3).map(|k| self.body[k][k].abs());
        let wheels = self.axles.iter().flat_map(|axle| [axle[0].abs(), axle[2].abs()]);
        body.chain(wheels).fold(0.0, f64::max)
    }

    /// `None` where the matrix is singular or not finite.
    pub(super) fn eliminated(&self) -> Option<Eliminated> {
        let mut left = self.body;
        let mut inverse = [[0.0; 3]; 2];
        let mut positive = true;
        for axle in [FRONT, REAR] {
            let [a, b, d] = self.axles[axle];
            let determinant = a * d - b * b;
            positive &= a > 0.0 && determinant > 0.0;
            let per_determinant = 1.0 / determinant;
            inverse[axle] = [d * per_determinant, -b * per_determinant, a * per_determinant];
            let (l, r) = (&self.coupling[2 * axle], &self.coupling[2 * axle + 1]);
            for row in 0..3 {
                let [by_left, by_right] = times(&inverse[axle], [l[row], r[row]]);
                for column in row..3 {
                    left[row][column] -= by_left * l[column] + by_right * r[column];
                }
            }
        }
        let first = left[0][0];
        let (l10, l20) = (left[0][1] / first, left[0][2] / first);
        let second = left[1][1] - l10 * left[0][1];
        let l21 = (left[1][2] - l10 * left[0][2]) / second;
        let third = left[2][2] - l20 * left[0][2] - l21 * l21 * second;
        let pivots = [first, second, third];
        let regular = pivots.iter().all(|pivot| pivot.is_finite() && *pivot != 0.0);
        positive &= pivots.iter().all(|pivot| *pivot > 0.0);
        let lower = [l10, l20, l21];
        regular.then_some(Eliminated { coupling: self.coupling, inverse, pivots, lower, positive })
    }
}

impl Eliminated {
    /// Whether the energy rises whichever way the van is moved.
    pub(super) fn is_positive(&self) -> bool {
        self.positive
    }

    /// Solution for a right-hand side.
    pub(super) fn solved(&self, right: &State) -> State {
        let mut body = [right[0], right[1], right[2]];
        let mut wheels = [0.0; CORNERS];
        for axle in [FRONT, REAR] {
            let (l, r) = (2 * axle, 2 * axle + 1);
            [wheels[l], wheels[r]] = times(&self.inverse[axle], [right[3 + l], right[3 + r]]);
            for k in 0..3 {
                body[k] -= wheels[l] * self.coupling[l][k] + wheels[r] * self.coupling[r][k];
            }
        }
        let [l10, l20, l21] = self.lower;
        body[1] -= l10 * body[0];
        body[2] -= l20 * body[0] + l21 * body[1];
        for k in 0..3 {
            body[k] /= self.pivots[k];
        }
        body[1] -= l21 * body[2];
        body[0] -= l10 * body[1] + l20 * body[2];
        let by_body = self.coupling.map(|c| c[0] * body[0] + c[1] * body[1] + c[2] * body[2]);
        for axle in [FRONT, REAR] {
            let (l, r) = (2 * axle, 2 * axle + 1);
            let [left, right] = times(&self.inverse[axle], [by_body[l], by_body[r]]);
            wheels[l] -= left;
            wheels[r] -= right;
        }
        State::from([body[0], body[1], body[2], wheels[0], wheels[1], wheels[2], wheels[3]])
    }
}

/// Product of a symmetric matrix of two rows and a vector.
fn times([a, b, d]: &[f64; 3], [x, y]: [f64; 2]) -> [f64; 2] {
    [a * x + b * y, b * x + d * y]
}

/// Adds second derivatives by the travel of a wheel and of the other one of its axle.
pub(super) fn add_to_axle(stiffness: &mut Stiffness, corner: usize, [own, both, other]: [f64; 3]) {
    let block = &mut stiffness.axles[axle_of(corner)];
    let [left, right] = if corner.is_multiple_of(2) { [own, other] } else { [other, own] };
    block[0] += left;
    block[1] += both;
    block[2] += right;
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::SMatrix;
    use proptest::prelude::*;

    fn whole(stiffness: &Stiffness) -> SMatrix<f64, 7, 7> {
        let mut whole = SMatrix::<f64, 7, 7>::zeros();
        for row in 0..3 {
            for column in row..3 {
                whole[(row, column)] = stiffness.body[row][column];
            }
            for wheel in 0..CORNERS {
                whole[(row, 3 + wheel)] = stiffness.coupling[wheel][row];
            }
        }
        for (axle, [a, b, d]) in stiffness.axles.into_iter().enumerate() {
            let left = 3 + 2 * axle;
            whole[(left, left)] = a;
            whole[(left, left + 1)] = b;
            whole[(left + 1, left + 1)] = d;
        }
        whole.fill_lower_triangle_with_upper_triangle();
        whole
    }

    proptest! {
        #[test]
        fn law_elimination_by_axles_solves_the_whole_matrix(
            entries in proptest::array::uniform32(-1.0f64..1.0),
            raise in 0.0f64..8.0,
        ) {
            let block = |k: usize| [entries[k], entries[k + 1], entries[k + 2]];
            let stiffness = Stiffness {
                body: [block(0), block(3), block(6)],
                coupling: [block(9), block(12), block(15), block(18)],
                axles: [block(21), block(24)],
            }
            .raised(raise);
            let whole = whole(&stiffness);
            let eliminated = stiffness.eliminated();
            let stable = eliminated.is_some_and(|e| e.is_positive());
            prop_assert_eq!(stable, whole.cholesky().is_some());
            if let Some(eliminated) = eliminated.filter(|_| stable) {
                let right = State::from(std::array::from_fn(|k| entries[k + 5]));
                let solved = eliminated.solved(&right);
                let miss = (whole * solved - right).amax();
                prop_assert!(miss <= 1e-9 * solved.amax().max(1.0), "{} apart", miss);
            }
        }
    }
}
