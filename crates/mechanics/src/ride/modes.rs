//! How a van swings when left alone: its modes about rest.

use std::f64::consts::PI;

use nalgebra::{Complex, DMatrix, SMatrix, SVector};

use super::response::{AxleRates, OPPOSED, PARALLEL};
use super::{Car, RideFault};

/// Coordinates: heave, pitch, roll, mean height of the front and of the rear wheels, half of left less right of each.
const COORDINATES: usize = 7;
type Square = SMatrix<f64, COORDINATES, COORDINATES>;
type ComplexSquare = SMatrix<Complex<f64>, COORDINATES, COORDINATES>;

/// What moves most in a mode.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ModeKind {
    /// The body up and down, with its node far off.
    Heave,
    /// The body nodding, with its node near.
    Pitch,
    /// The body leaning.
    Roll,
    /// Front wheels hopping together.
    FrontHop,
    /// Rear wheels hopping together.
    RearHop,
    /// Front wheels hopping in turn.
    FrontTramp,
    /// Rear wheels hopping in turn.
    RearTramp,
}

impl ModeKind {
    /// In the order of the coordinates.
    const BY_COORDINATE: [Self; COORDINATES] = [
        Self::Heave,
        Self::Pitch,
        Self::Roll,
        Self::FrontHop,
        Self::RearHop,
        Self::FrontTramp,
        Self::RearTramp,
    ];
}

/// One way in which the van swings, or creeps back, after a push.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mode {
    /// Real part, 1/s, and imaginary part, rad/s and not negative, of its eigenvalue.
    pub eigenvalue: (f64, f64),
    /// The coordinate with the greatest share of the kinetic energy.
    pub kind: ModeKind,
    /// Share of the kinetic energy of each kind of movement, in the order of [`ModeKind`].
    pub energy_shares: [f64; COORDINATES],
    /// For heave and pitch: where on the body's length it only turns, m ahead of the centre of gravity.
    pub node_x_m: Option<f64>,
    /// Coordinates times the roots of their masses.
    shape: [Complex<f64>; COORDINATES],
}

impl Mode {
    /// |λ|/2π, Hz: what the frequency would be without damping of this mode; for a mode that creeps, its rate.
    pub fn frequency_hz(&self) -> f64 {
        self.magnitude() / (2.0 * PI)
    }

    /// -Re λ / |λ|: 1 for a mode that creeps back without swinging.
    pub fn damping_ratio(&self) -> f64 {
        -self.eigenvalue.0 / self.magnitude()
    }

    /// Whether it swings; if not, it is one of two that creep back.
    pub fn swings(&self) -> bool {
        self.eigenvalue.1 > 0.0
    }

    fn magnitude(&self) -> f64 {
        self.eigenvalue.0.hypot(self.eigenvalue.1)
    }
}

/// All modes of a van, slowest first: seven that swing, or two that creep in place of one that is overdamped.
///
/// With the centre of gravity on the centre plane, heave and pitch do not mix with roll and are solved apart.
///
/// # Errors
/// When masses or inertias are not positive, or anything is not finite.
pub fn modes(car: &Car<1>, axles: &[AxleRates<1>; 2]) -> Result<Vec<Mode>, RideFault> {
    let system = System::of(car, axles)?;
    let mut modes = if system.is_symmetric() {
        let mut modes = system.modes_among(&[0, 1, 3, 4])?;
        modes.extend(system.modes_among(&[2, 5, 6])?);
        modes
    } else {
        system.modes_among(&[0, 1, 2, 3, 4, 5, 6])?
    };
    modes.sort_by(|a, b| a.magnitude().total_cmp(&b.magnitude()));
    Ok(modes)
}

/// Modes of a van that differs a little from one whose modes are known; the shapes are kept.
///
/// Each eigenvalue is the root of `λ² yᵀy + λ yᵀCy + yᵀKy` nearest to the known one: the Rayleigh functional of a symmetric
/// quadratic eigenvalue problem, whose error is of second order in that of the shape y (P. Lancaster, Lambda-Matrices and
/// Vibrating Systems, ch. 4).
///
/// # Errors
/// As [`modes`].
pub fn modes_nearby(known: &[Mode], car: &Car<1>, axles: &[AxleRates<1>; 2]) -> Result<Vec<Mode>, RideFault> {
    let system = System::of(car, axles)?;
    Ok(known.iter().map(|mode| system.moved(mode)).collect())
}

/// Ride frequency of one end of the van by itself, Hz: its sprung mass per wheel on wheel rate and tyre in series, undamped.
/// It leaves out the other axle and the unsprung mass; what the whole van does is in [`modes`].
pub fn single_axle_frequency_hz(
    sprung_mass_per_wheel_kg: f64,
    wheel_rate_n_per_m: f64,
    tyre_rate_n_per_m: f64,
) -> f64 {
    let ride_rate = 1.0 / (1.0 / wheel_rate_n_per_m + 1.0 / tyre_rate_n_per_m);
    (ride_rate / sprung_mass_per_wheel_kg).sqrt() / (2.0 * PI)
}

/// Damping ratio of one end of the van by itself, on a wheel that stands still: `c / (2 √(k m))`. It is above the one of
/// the whole van, where the tyre yields.
pub fn single_axle_damping_ratio(
    sprung_mass_per_wheel_kg: f64,
    wheel_rate_n_per_m: f64,
    damping_n_s_per_m: f64,
) -> f64 {
    damping_n_s_per_m / (2.0 * (wheel_rate_n_per_m * sprung_mass_per_wheel_kg).sqrt())
}

/// Stiffness and damping over mass, symmetric: with q = M^{-1/2} y, `y″ + C y′ + K y = 0`.
struct System {
    stiffness: Square,
    damping: Square,
    root_mass: SVector<f64, COORDINATES>,
}

impl System {
    fn of(car: &Car<1>, axles: &[AxleRates<1>; 2]) -> Result<Self, RideFault> {
        let unsprung = car.unsprung_mass_kg.map(|mass| 2.0 * mass.0[0]);
        let masses = SVector::from([
            car.sprung_mass_kg.0[0],
            car.pitch_inertia_kg_m2.0[0],
            car.roll_inertia_kg_m2.0[0],
            unsprung[0],
            unsprung[1],
            unsprung[0],
            unsprung[1],
        ]);
        if let Some(&found) = masses.iter().find(|mass| !(**mass > 0.0 && mass.is_finite())) {
            return Err(RideFault::NotPositive { quantity: "mass or inertia", found });
        }
        let (mut stiffness, mut damping) = (Square::zeros(), Square::zeros());
        stiffness[(1, 1)] -= car.tipping_nm_per_rad[0].0[0];
        stiffness[(2, 2)] -= car.tipping_nm_per_rad[1].0[0];
        for axle in 0..2 {
            for mode in [PARALLEL, OPPOSED] {
                let wheel = 3 + 2 * mode + axle;
                let travel = travel_of(car, axle, mode, wheel);
                let square = travel * travel.transpose() * 2.0;
                stiffness += square * axles[axle].stiffness_n_per_m[mode].0[0];
                damping += square * axles[axle].damping_n_s_per_m[mode].0[0];
                stiffness[(wheel, wheel)] += 2.0 * car.tyre_rate_n_per_m[axle].0[0];
            }
        }
        let root_mass = masses.map(f64::sqrt);
        let over_mass =
            |matrix: Square| Square::from_fn(|i, j| matrix[(i, j)] / (root_mass[i] * root_mass[j]));
        let system = Self { stiffness: over_mass(stiffness), damping: over_mass(damping), root_mass };
        let numbers = system.stiffness.iter().chain(system.damping.iter());
        match numbers.copied().find(|number| !number.is_finite()) {
            Some(found) => Err(RideFault::NotPositive { quantity: "stiffness and damping", found }),
            None => Ok(system),
        }
    }

    /// Nothing mixes heave, pitch and the parallel wheels with roll and the opposed ones.
    fn is_symmetric(&self) -> bool {
        [0, 1, 3, 4]
            .iter()
            .all(|&i| [2, 5, 6].iter().all(|&j| self.stiffness[(i, j)] == 0.0 && self.damping[(i, j)] == 0.0))
    }

    /// Modes in which only the coordinates of `among` move.
    fn modes_among(&self, among: &[usize]) -> Result<Vec<Mode>, RideFault> {
        let count = among.len();
        let state = DMatrix::from_fn(2 * count, 2 * count, |i, j| match (i < count, j < count) {
            (true, _) => f64::from(j == i + count),
            (false, true) => -self.stiffness[(among[i - count], among[j])],
            (false, false) => -self.damping[(among[i - count], among[j - count])],
        });
        let schur = state.try_schur(f64::EPSILON, 10_000).ok_or(RideFault::NoModes)?;
        let rounding = 1e-9;
        let values = schur.complex_eigenvalues();
        let modes = values.iter().filter(|value| value.im >= -rounding * value.norm()).map(|value| {
            let im = if value.im > rounding * value.norm() { value.im } else { 0.0 };
            self.mode(Complex::new(value.re, im), among)
        });
        Ok(modes.collect())
    }

    fn mode(&self, value: Complex<f64>, among: &[usize]) -> Mode {
        let shape = self.shape(value, among);
        let energy: [f64; COORDINATES] = shape.map(|part| part.norm_sqr());
        let total: f64 = energy.iter().sum();
        let energy_shares = energy.map(|part| part / total);
        let most = (0..COORDINATES).max_by(|&a, &b| energy[a].total_cmp(&energy[b])).unwrap_or(0);
        let kind = ModeKind::BY_COORDINATE[most];
        let node = || {
            let (heave, pitch) = (shape[0] / self.root_mass[0], shape[1] / self.root_mass[1]);
            Some((heave / pitch).re).filter(|x| x.is_finite())
        };
        let node_x_m = matches!(kind, ModeKind::Heave | ModeKind::Pitch).then(node).flatten();
        Mode { eigenvalue: (value.re, value.im), kind, energy_shares, node_x_m, shape }
    }

    /// A mode with its shape kept.
    fn moved(&self, mode: &Mode) -> Mode {
        let y = &mode.shape;
        let nought = Complex::new(0.0, 0.0);
        let (mut inertia, mut damping, mut stiffness) = (nought, nought, nought);
        for i in 0..COORDINATES {
            let square = y[i] * y[i];
            inertia += square;
            damping += square * self.damping[(i, i)];
            stiffness += square * self.stiffness[(i, i)];
            // both matrices are symmetric
            for j in 0..i {
                let twice = y[i] * y[j] * 2.0;
                damping += twice * self.damping[(j, i)];
                stiffness += twice * self.stiffness[(j, i)];
            }
        }
        let middle = -damping / (inertia * 2.0);
        let half = (middle * middle - stiffness / inertia).sqrt();
        let known = Complex::new(mode.eigenvalue.0, mode.eigenvalue.1);
        let (a, b) = (middle + half, middle - half);
        let nearest = if (a - known).norm() <= (b - known).norm() { a } else { b };
        Mode { eigenvalue: (nearest.re, nearest.im.max(0.0)), ..*mode }
    }

    /// What solves `(λ² + λ C + K) y = 0`, of unit length.
    fn shape(&self, value: Complex<f64>, among: &[usize]) -> [Complex<f64>; COORDINATES] {
        let mut dynamic = ComplexSquare::zeros();
        for (i, &a) in among.iter().enumerate() {
            for (j, &b) in among.iter().enumerate() {
                dynamic[(i, j)] = value * self.damping[(a, b)] + self.stiffness[(a, b)];
            }
            dynamic[(i, i)] += value * value;
        }
        let direction = null_direction(dynamic, among.len());
        let mut shape = [Complex::new(0.0, 0.0); COORDINATES];
        for (k, &coordinate) in among.iter().enumerate() {
            shape[coordinate] = direction[k];
        }
        shape
    }
}

/// Direction of unit length that the leading `count` rows and columns of a singular matrix turn to nothing.
///
/// Gauss's elimination with complete pivoting: what is left for the last pivot is rounding, so its column is free and the
/// others follow from it (Golub and Van Loan, Matrix Computations, 3rd ed., 3.4.8).
fn null_direction(mut matrix: ComplexSquare, count: usize) -> [Complex<f64>; COORDINATES] {
    let mut columns: [usize; COORDINATES] = std::array::from_fn(|k| k);
    for k in 0..count - 1 {
        let places = (k..count).flat_map(|j| (k..count).map(move |i| (i, j)));
        let size = |place: &(usize, usize)| matrix[*place].norm_sqr();
        let Some((row, column)) = places.max_by(|a, b| size(a).total_cmp(&size(b))) else { break };
        matrix.swap_rows(k, row);
        matrix.swap_columns(k, column);
        columns.swap(k, column);
        if matrix[(k, k)].norm_sqr() == 0.0 {
            continue;
        }
        let over_pivot = matrix[(k, k)].inv();
        for i in k + 1..count {
            let factor = matrix[(i, k)] * over_pivot;
            for j in k + 1..count {
                let above = matrix[(k, j)];
                matrix[(i, j)] -= factor * above;
            }
        }
    }
    let mut direction = [Complex::new(0.0, 0.0); COORDINATES];
    direction[columns[count - 1]] = Complex::new(1.0, 0.0);
    for k in (0..count - 1).rev() {
        let known: Complex<f64> = (k + 1..count).map(|j| matrix[(k, j)] * direction[columns[j]]).sum();
        if matrix[(k, k)].norm_sqr() > 0.0 {
            direction[columns[k]] = -known * matrix[(k, k)].inv();
        }
    }
    let length = direction.iter().map(|part| part.norm_sqr()).sum::<f64>().sqrt();
    direction.map(|part| part / length)
}

/// Travel of one mode of an axle per coordinate.
fn travel_of(car: &Car<1>, axle: usize, mode: usize, wheel: usize) -> SVector<f64, COORDINATES> {
    let [left, right] = [car.wheel_y_m[2 * axle].0[0], car.wheel_y_m[2 * axle + 1].0[0]];
    let mut travel = SVector::zeros();
    travel[wheel] = 1.0;
    if mode == PARALLEL {
        travel[0] = -1.0;
        travel[1] = car.wheel_x_m[axle].0[0];
        travel[2] = -0.5 * (left + right);
    } else {
        travel[2] = -0.5 * (left - right);
    }
    travel
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Rows of random numbers, the last of them made from the others.
        #[test]
        fn law_the_null_direction_of_a_singular_matrix_is_turned_to_nothing(
            numbers in prop::collection::vec(-1.0..1.0f64, 2 * COORDINATES * COORDINATES),
            dependent in 1..3usize,
            count in 3..=COORDINATES,
            scale in -6.0..6.0f64,
        ) {
            let number = |k: usize| Complex::new(numbers[2 * k], numbers[2 * k + 1]) * 10f64.powf(scale);
            let mut matrix = ComplexSquare::from_fn(|i, j| number(i * COORDINATES + j));
            for last in count - dependent..count {
                for j in 0..count {
                    matrix[(last, j)] =
                        (0..count - dependent).map(|i| matrix[(i, j)] * numbers[COORDINATES * last + i]).sum();
                }
            }
            let direction = null_direction(matrix, count);
            let length: f64 = direction.iter().map(|part| part.norm_sqr()).sum();
            prop_assert!((length - 1.0).abs() < 1e-12, "{length}");
            for i in 0..count {
                let turned: Complex<f64> = (0..count).map(|j| matrix[(i, j)] * direction[j]).sum();
                let size: f64 = (0..count).map(|j| matrix[(i, j)].norm()).sum();
                prop_assert!(turned.norm() <= 1e-9 * size, "row {i}: {turned} of {size}");
            }
        }
    }

    #[test]
    fn law_the_null_direction_of_nothing_is_a_direction() {
        let direction = null_direction(ComplexSquare::zeros(), 4);
        let length: f64 = direction.iter().map(|part| part.norm_sqr()).sum();
        assert!((length - 1.0).abs() < 1e-12, "{direction:?}");
    }
}
