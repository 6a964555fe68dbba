//! Newton's method for the few equations that hold a linkage together.

use nalgebra::{DMatrix, DVector};

/// Step of the difference quotients: near the square root of the rounding error for quantities of order one.
const DIFFERENCE: f64 = 1e-7;
const MOST_STEPS: usize = 60;

/// Root of `residual` near `start`; `None` when the search does not reach `tolerance` in every equation.
///
/// The slopes are difference quotients, which costs steps but not accuracy. A step that would make matters worse, or
/// that leads where `residual` has no value, is halved.
pub fn root<const N: usize>(
    start: [f64; N],
    tolerance: f64,
    residual: impl Fn(&[f64; N]) -> Option<[f64; N]>,
) -> Option<[f64; N]> {
    let mut x = start;
    let mut miss = residual(&x)?;
    for _ in 0..MOST_STEPS {
        if !miss.iter().all(|m| m.is_finite()) {
            return None;
        }
        if largest(&miss) <= tolerance {
            return Some(x);
        }
        let mut slopes = DMatrix::zeros(N, N);
        for k in 0..N {
            let mut moved = x;
            moved[k] += DIFFERENCE;
            let there = residual(&moved)?;
            for row in 0..N {
                slopes[(row, k)] = (there[row] - miss[row]) / DIFFERENCE;
            }
        }
        let step = slopes.lu().solve(&-DVector::from_row_slice(&miss))?;
        let mut share = 1.0;
        loop {
            let trial = std::array::from_fn(|k| x[k] + share * step[k]);
            match residual(&trial) {
                Some(next) if largest(&next) < largest(&miss) => {
                    (x, miss) = (trial, next);
                    break;
                }
                _ if share < 1e-6 => return None,
                _ => share *= 0.5,
            }
        }
    }
    None
}

fn largest(miss: &[f64]) -> f64 {
    miss.iter().fold(0.0, |most, m| most.max(m.abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_root_meets_its_equations_or_says_there_is_none() {
        let circle_and_line = |x: &[f64; 2]| Some([x[0] * x[0] + x[1] * x[1] - 25.0, x[0] - 3.0]);
        let found = root([2.0, 1.0], 1e-12, circle_and_line).unwrap();
        assert!((found[0] - 3.0).abs() < 1e-12 && (found[1] - 4.0).abs() < 1e-12);
        let nowhere = |x: &[f64; 1]| Some([x[0] * x[0] + 1.0]);
        assert_eq!(root([0.3], 1e-12, nowhere), None);
    }
}
