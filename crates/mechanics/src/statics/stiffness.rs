//! Second derivatives of the energy, in the form in which a van has them: each wheel is tied to the body and to the other
//! wheel of its axle, never to a wheel of the other axle.

use super::body_pose::dot;
use super::{CORNERS, FRONT, REAR, axle_of};
use crate::lanes::Lanes;

/// Heave, pitch, roll, travel of the four wheels, of `N` vans side by side.
pub(super) type State<const N: usize> = [Lanes<N>; 7];

/// A symmetric matrix of seven rows in blocks.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stiffness<const N: usize> {
    /// Heave, pitch, roll: entries on and above the diagonal.
    pub(super) body: [[Lanes<N>; 3]; 3],
    /// Between each wheel's travel and heave, pitch, roll.
    pub(super) coupling: [[Lanes<N>; 3]; CORNERS],
    /// Travel of the wheels of each axle: left twice, left and right, right twice.
    pub(super) axles: [[Lanes<N>; 3]; 2],
}

/// The matrix with the wheels eliminated axle by axle (Schur complement), ready to be solved with.
#[derive(Debug, Clone, Copy)]
pub(super) struct Eliminated<const N: usize> {
    coupling: [[Lanes<N>; 3]; CORNERS],
    /// Inverse of each axle's block.
    inverse: [[Lanes<N>; 3]; 2],
    /// What is left of the body's block as L D Lᵀ: 1/D, and below the diagonal of L (1,0), (2,0), (2,1).
    per_pivot: [Lanes<N>; 3],
    lower: [Lanes<N>; 3],
    /// What is positive where the whole matrix is.
    minors: [Lanes<N>; 7],
}

impl<const N: usize> Stiffness<N> {
    pub(super) const NOUGHT: Self = Self {
        body: [[Lanes([0.0; N]); 3]; 3],
        coupling: [[Lanes([0.0; N]); 3]; CORNERS],
        axles: [[Lanes([0.0; N]); 3]; 2],
    };

    /// The matrix with every diagonal entry raised.
    #[must_use]
    #[inline(always)]
    pub(super) fn raised(mut self, by: Lanes<N>) -> Self {
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
    #[inline(always)]
    pub(super) fn largest(&self) -> Lanes<N> {
        let body = (0..3).map(|k| self.body[k][k]);
        let wheels = self.axles.iter().flat_map(|axle| [axle[0], axle[2]]);
        body.chain(wheels).fold(Lanes::splat(0.0), |most, entry| entry.map(f64::abs).max(most))
    }

    #[inline(always)]
    pub(super) fn eliminated(&self) -> Eliminated<N> {
        let one = Lanes::splat(1.0);
        let mut left = self.body;
        let mut inverse = [[one; 3]; 2];
        let mut minors = [one; 7];
        for axle in [FRONT, REAR] {
            let [a, b, d] = self.axles[axle];
            let determinant = a * d - b * b;
            (minors[2 * axle], minors[2 * axle + 1]) = (a, determinant);
            let per_determinant = one / determinant;
            inverse[axle] = [d * per_determinant, -b * per_determinant, a * per_determinant];
            let (l, r) = (&self.coupling[2 * axle], &self.coupling[2 * axle + 1]);
            for row in 0..3 {
                let [by_left, by_right] = times(&inverse[axle], [l[row], r[row]]);
                for column in row..3 {
                    left[row][column] = left[row][column] - by_left * l[column] - by_right * r[column];
                }
            }
        }
        let first = left[0][0];
        let per_first = one / first;
        let (l10, l20) = (left[0][1] * per_first, left[0][2] * per_first);
        let second = left[1][1] - l10 * left[0][1];
        let per_second = one / second;
        let l21 = (left[1][2] - l10 * left[0][2]) * per_second;
        let third = left[2][2] - l20 * left[0][2] - l21 * l21 * second;
        [minors[4], minors[5], minors[6]] = [first, second, third];
        Eliminated {
            coupling: self.coupling,
            inverse,
            per_pivot: [per_first, per_second, one / third],
            lower: [l10, l20, l21],
            minors,
        }
    }
}

impl<const N: usize> Eliminated<N> {
    /// Whether the energy rises whichever way the van is moved.
    #[inline(always)]
    pub(super) fn is_positive(&self) -> [bool; N] {
        let [least, sum] = self.least_and_sum();
        std::array::from_fn(|i| least.0[i] > 0.0 && sum.0[i].is_finite())
    }

    /// Whether that is so of every van.
    #[inline(always)]
    pub(super) fn is_positive_everywhere(&self) -> bool {
        let [least, sum] = self.least_and_sum();
        Lanes::splat(0.0).is_less_everywhere(least) && sum.is_less_everywhere(Lanes::splat(f64::INFINITY))
    }

    #[inline(always)]
    fn least_and_sum(&self) -> [Lanes<N>; 2] {
        let (mut least, mut sum) = (self.minors[0], self.minors[0]);
        for minor in &self.minors[1..] {
            least = least.min(*minor);
            sum += *minor;
        }
        [least, sum]
    }

    /// Whether it can be solved with.
    pub(super) fn is_regular(&self) -> [bool; N] {
        let pivots = &self.minors[4..];
        std::array::from_fn(|i| pivots.iter().all(|pivot| pivot.0[i].is_finite() && pivot.0[i].abs() > 0.0))
    }

    /// Solution for a right-hand side.
    #[inline(always)]
    pub(super) fn solved(&self, right: &State<N>) -> State<N> {
        let mut body = [right[0], right[1], right[2]];
        let mut wheels = [Lanes::splat(0.0); CORNERS];
        for axle in [FRONT, REAR] {
            let (l, r) = (2 * axle, 2 * axle + 1);
            [wheels[l], wheels[r]] = times(&self.inverse[axle], [right[3 + l], right[3 + r]]);
            for k in 0..3 {
                body[k] = body[k] - wheels[l] * self.coupling[l][k] - wheels[r] * self.coupling[r][k];
            }
        }
        let [l10, l20, l21] = self.lower;
        body[1] = body[1] - l10 * body[0];
        body[2] = body[2] - l20 * body[0] - l21 * body[1];
        for k in 0..3 {
            body[k] = body[k] * self.per_pivot[k];
        }
        body[1] = body[1] - l21 * body[2];
        body[0] = body[0] - l10 * body[1] - l20 * body[2];
        for axle in [FRONT, REAR] {
            let (l, r) = (2 * axle, 2 * axle + 1);
            let by_body = [dot(self.coupling[l], body), dot(self.coupling[r], body)];
            let [left, right] = times(&self.inverse[axle], by_body);
            wheels[l] = wheels[l] - left;
            wheels[r] = wheels[r] - right;
        }
        [body[0], body[1], body[2], wheels[0], wheels[1], wheels[2], wheels[3]]
    }
}

/// Product of a symmetric matrix of two rows and a vector.
#[inline(always)]
fn times<const N: usize>([a, b, d]: &[Lanes<N>; 3], [x, y]: [Lanes<N>; 2]) -> [Lanes<N>; 2] {
    [*a * x + *b * y, *b * x + *d * y]
}

/// Adds second derivatives by the travel of a wheel and of the other one of its axle.
#[inline(always)]
pub(super) fn add_to_axle<const JOINED: bool, const N: usize>(
    stiffness: &mut Stiffness<N>,
    corner: usize,
    [own, both, other]: [Lanes<N>; 3],
) {
    let block = &mut stiffness.axles[axle_of(corner)];
    let (at_own, at_other) = if corner.is_multiple_of(2) { (0, 2) } else { (2, 0) };
    block[at_own] += own;
    if JOINED {
        block[1] += both;
        block[at_other] += other;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{SMatrix, SVector};
    use proptest::prelude::*;

    fn whole(stiffness: &Stiffness<1>) -> SMatrix<f64, 7, 7> {
        let mut whole = SMatrix::<f64, 7, 7>::zeros();
        for row in 0..3 {
            for column in row..3 {
                whole[(row, column)] = stiffness.body[row][column].0[0];
            }
            for wheel in 0..CORNERS {
                whole[(row, 3 + wheel)] = stiffness.coupling[wheel][row].0[0];
            }
        }
        for (axle, block) in stiffness.axles.into_iter().enumerate() {
            let [a, b, d] = block.map(|entry| entry.0[0]);
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
            let block = |k: usize| [entries[k], entries[k + 1], entries[k + 2]].map(|entry| Lanes([entry]));
            let stiffness = Stiffness {
                body: [block(0), block(3), block(6)],
                coupling: [block(9), block(12), block(15), block(18)],
                axles: [block(21), block(24)],
            }
            .raised(Lanes([raise]));
            let whole = whole(&stiffness);
            let eliminated = stiffness.eliminated();
            let [stable] = eliminated.is_positive();
            prop_assert_eq!(stable, whole.cholesky().is_some());
            if stable {
                let right: [f64; 7] = std::array::from_fn(|k| entries[k + 5]);
                let solved = SVector::from(eliminated.solved(&right.map(|entry| Lanes([entry]))).map(|entry| entry.0[0]));
                let miss = (whole * solved - SVector::from(right)).amax();
                prop_assert!(miss <= 1e-9 * solved.amax().max(1.0), "{} apart", miss);
            }
        }
    }
}
