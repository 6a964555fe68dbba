//! Lengths and angles over the travel of the two wheels of an axle, of several vans side by side.

use crate::curve::{Local2, Splines};
use crate::lanes::Lanes;
use crate::linkage::{AxleTravel, OverTravel};

/// A quantity of one corner: a tabulated one times a factor, and a constant.
#[derive(Debug, Clone, Copy)]
pub(super) struct Along<'a> {
    pub(super) curve: &'a OverTravel,
    pub(super) factor: f64,
    pub(super) plus: f64,
}

impl Along<'_> {
    pub(super) fn at(&self, travel: AxleTravel) -> Local2 {
        self.curve.at_both(travel).times(self.factor).plus(self.plus)
    }

    /// The value alone.
    pub(super) fn value_at(&self, travel: AxleTravel) -> f64 {
        self.curve.value_at_both(travel) * self.factor + self.plus
    }

    /// The quantity times a factor, and a constant.
    #[inline(always)]
    pub(super) fn times_plus(mut self, factor: f64, plus: f64) -> Self {
        self.factor *= factor;
        self.plus = factor * self.plus + plus;
        self
    }
}

/// The same quantity of `N` vans; nothing where a van has none.
pub(super) struct Quantity<'a, const N: usize> {
    curves: Curves<'a, N>,
    factor: Lanes<N>,
    plus: Lanes<N>,
}

enum Curves<'a, const N: usize> {
    /// Factor and constant included.
    Constant(Lanes<N>),
    OfOwnTravel(Splines<'a, N>),
    Any([Option<&'a OverTravel>; N]),
}

impl<'a, const N: usize> Quantity<'a, N> {
    #[inline(always)]
    pub(super) fn of(quantities: [Option<Along<'a>>; N]) -> Self {
        let mut curves = [None; N];
        for i in 0..N {
            curves[i] = quantities[i].map(|along| along.curve);
        }
        let factor = Lanes::of(quantities, |quantity| quantity.map_or(0.0, |along| along.factor));
        let plus = Lanes::of(quantities, |quantity| quantity.map_or(0.0, |along| along.plus));
        let curves = match Curves::of(curves) {
            Curves::Constant(value) => Curves::Constant(value * factor + plus),
            curves => curves,
        };
        Self { curves, factor, plus }
    }

    /// Value and derivatives at a travel of this wheel and of the other one.
    #[inline(always)]
    pub(super) fn at<const JOINED: bool>(&self, travel: [Lanes<N>; 2]) -> Coordinate<N> {
        match &self.curves {
            Curves::Constant(value) => Coordinate { value: *value, ..Coordinate::NOUGHT },
            Curves::OfOwnTravel(splines) => {
                let [value, slope, curvature] = splines.at(travel[0]);
                let (mut first, mut second) = ([Lanes::splat(0.0); 2], [Lanes::splat(0.0); 3]);
                (first[0], second[0]) = (slope, curvature);
                Coordinate { value, first, second }.times_plus::<JOINED>(self.factor, self.plus)
            }
            Curves::Any(curves) => each_at(curves, travel).times_plus::<JOINED>(self.factor, self.plus),
        }
    }

    /// Whether it is the same at every travel.
    #[inline(always)]
    pub(super) fn is_constant(&self) -> bool {
        matches!(self.curves, Curves::Constant(_))
    }
}

impl<'a, const N: usize> Curves<'a, N> {
    #[inline(always)]
    fn of(curves: [Option<&'a OverTravel>; N]) -> Self {
        let (mut constants, mut splines) = ([0.0; N], [None; N]);
        for i in 0..N {
            match curves[i] {
                None => {}
                Some(OverTravel::Own(spline)) => match spline.constant() {
                    Some(constant) => constants[i] = constant,
                    None => splines[i] = Some(spline),
                },
                Some(OverTravel::Both(_)) => return Self::Any(curves),
            }
        }
        let Some(first) = splines[0] else {
            let constant = splines.iter().all(Option::is_none);
            return if constant { Self::Constant(Lanes(constants)) } else { Self::Any(curves) };
        };
        let mut all = [first; N];
        for i in 0..N {
            let Some(spline) = splines[i] else { return Self::Any(curves) };
            all[i] = spline;
        }
        Self::OfOwnTravel(Splines::of(all))
    }
}

/// Curves that are looked up one by one: not worth a place within the kernel.
#[inline(never)]
fn each_at<const N: usize>(
    curves: &[Option<&OverTravel>; N],
    [own_m, other_m]: [Lanes<N>; 2],
) -> Coordinate<N> {
    let mut all = Coordinate::NOUGHT;
    for i in 0..N {
        let travel = AxleTravel { own_m: own_m.0[i], other_m: other_m.0[i] };
        let Local2 { value, first, second } =
            curves[i].map(|curve| curve.at_both(travel)).unwrap_or_default();
        all.value.0[i] = value;
        for k in 0..2 {
            all.first[k].0[i] = first[k];
        }
        for k in 0..3 {
            all.second[k].0[i] = second[k];
        }
    }
    all
}

/// A quantity of `N` vans with its derivatives by the travel of this wheel and of the other one; where the axle is not
/// `JOINED`, those by the other one are nought and left out of the sums.
#[derive(Debug, Clone, Copy)]
pub(super) struct Coordinate<const N: usize> {
    pub(super) value: Lanes<N>,
    pub(super) first: [Lanes<N>; 2],
    pub(super) second: [Lanes<N>; 3],
}

impl<const N: usize> Coordinate<N> {
    pub(super) const NOUGHT: Self =
        Self { value: Lanes([0.0; N]), first: [Lanes([0.0; N]); 2], second: [Lanes([0.0; N]); 3] };

    #[inline(always)]
    fn times_plus<const JOINED: bool>(mut self, factor: Lanes<N>, plus: Lanes<N>) -> Self {
        self.value = self.value * factor + plus;
        self.first[0] = self.first[0] * factor;
        self.second[0] = self.second[0] * factor;
        if JOINED {
            self.first[1] = self.first[1] * factor;
            self.second[1] = self.second[1] * factor;
            self.second[2] = self.second[2] * factor;
        }
        self
    }

    #[inline(always)]
    pub(super) fn add(&mut self, other: &Self) {
        self.value += other.value;
        for k in 0..2 {
            self.first[k] += other.first[k];
        }
        for k in 0..3 {
            self.second[k] += other.second[k];
        }
    }
}

/// Derivatives of an energy by the travel of a wheel and of the other one of its axle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EnergySlopes<const N: usize> {
    /// By this wheel, by the other one, N.
    pub(super) first: [Lanes<N>; 2],
    /// Twice by this wheel, by both, twice by the other, N/m.
    pub(super) second: [Lanes<N>; 3],
}

impl<const N: usize> EnergySlopes<N> {
    pub(super) const NOUGHT: Self = Self { first: [Lanes([0.0; N]); 2], second: [Lanes([0.0; N]); 3] };

    /// Adds an energy whose derivatives by a coordinate are `force` and `rate`.
    #[inline(always)]
    pub(super) fn add<const JOINED: bool>(
        &mut self,
        force: Lanes<N>,
        rate: Lanes<N>,
        coordinate: &Coordinate<N>,
    ) {
        let [a, b] = coordinate.first;
        let [aa, ab, bb] = coordinate.second;
        self.first[0] += force * a;
        self.second[0] += rate * a * a + force * aa;
        if JOINED {
            self.first[1] += force * b;
            self.second[1] += rate * a * b + force * ab;
            self.second[2] += rate * b * b + force * bb;
        }
    }
}

impl EnergySlopes<1> {
    /// By this wheel, by the other one, N.
    pub(super) fn first_n(&self) -> [f64; 2] {
        self.first.map(|slope| slope.0[0])
    }

    /// Second derivative with both wheels moved together, N/m.
    pub(super) fn curvature_in_heave_n_per_m(&self) -> f64 {
        let [aa, ab, bb] = self.second.map(|curvature| curvature.0[0]);
        aa + 2.0 * ab + bb
    }

    /// Second derivative with the wheels moved in opposition, by the travel of one, N/m.
    pub(crate) fn curvature_in_roll_n_per_m(&self) -> f64 {
        let [aa, ab, bb] = self.second.map(|curvature| curvature.0[0]);
        aa - 2.0 * ab + bb
    }
}
