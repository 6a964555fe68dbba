//! Frequencies at which spectra are summed, with the road and the weighting folded in.

use std::f64::consts::PI;

use super::RideFault;
use super::road::RandomRoad;
use super::weighting::Weighting;

/// Frequencies and how much each counts in an integral over frequency.
#[derive(Debug, Clone, PartialEq)]
pub struct Frequencies {
    /// Frequency and share, both Hz, rising.
    points: Vec<(f64, f64)>,
}

impl Frequencies {
    /// What ride is summed over: 0.25 to 80 Hz, 120 Gauss points.
    ///
    /// # Errors
    /// Never for this band.
    pub fn usual() -> Result<Self, RideFault> {
        Self::gauss_legendre(0.25, 80.0, 120)
    }

    /// Gauss-Legendre points in the logarithm of frequency: exact for polynomials in ln f of degree 2 `count` - 1.
    ///
    /// # Errors
    /// When the band is empty or reaches to zero, or `count` is 0.
    pub fn gauss_legendre(from_hz: f64, to_hz: f64, count: usize) -> Result<Self, RideFault> {
        checked_band(from_hz, to_hz, count, 1)?;
        let (middle, half) = (0.5 * (to_hz * from_hz).ln(), 0.5 * (to_hz / from_hz).ln());
        let points = legendre_points(count)
            .into_iter()
            .map(|(x, weight)| {
                let frequency_hz = (middle + half * x).exp();
                (frequency_hz, weight * half * frequency_hz)
            })
            .collect();
        Ok(Self { points })
    }

    /// The trapezoidal rule over frequencies that rise by equal factors.
    ///
    /// # Errors
    /// When the band is empty or reaches to zero, or `count` is below 2.
    pub fn logarithmic_trapezoid(from_hz: f64, to_hz: f64, count: usize) -> Result<Self, RideFault> {
        checked_band(from_hz, to_hz, count, 2)?;
        let last = count - 1;
        let at = |i: usize| from_hz * (to_hz / from_hz).powf(i as f64 / last as f64);
        let share = |i: usize| 0.5 * (at((i + 1).min(last)) - at(i.saturating_sub(1)));
        Ok(Self { points: (0..count).map(|i| (at(i), share(i))).collect() })
    }

    /// Frequency and share of each point, Hz.
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }
}

fn checked_band(from_hz: f64, to_hz: f64, count: usize, least_count: usize) -> Result<(), RideFault> {
    let band_is_right = from_hz > 0.0 && to_hz > from_hz && to_hz.is_finite();
    if band_is_right && count >= least_count {
        Ok(())
    } else {
        Err(RideFault::Frequencies { from_hz, to_hz, count })
    }
}

/// Zeros of the Legendre polynomial of degree `count` and their weights, by Newton's method on the three-term recurrence
/// (Abramowitz and Stegun, Handbook of Mathematical Functions, 25.4.29).
fn legendre_points(count: usize) -> Vec<(f64, f64)> {
    let degree = count as f64;
    let value_and_slope = |x: f64| {
        let (mut before, mut value) = (0.0, 1.0);
        for k in 0..count {
            let k = k as f64;
            (before, value) = (value, ((2.0 * k + 1.0) * x * value - k * before) / (k + 1.0));
        }
        (value, degree * (before - x * value) / (1.0 - x * x))
    };
    (0..count)
        .rev()
        .map(|i| {
            let mut x = (PI * (i as f64 + 0.75) / (degree + 0.5)).cos();
            // quadratic from a start good to a few digits
            for _ in 0..4 {
                let (value, slope) = value_and_slope(x);
                x -= value / slope;
            }
            let (_, slope) = value_and_slope(x);
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// A van on a random road at a speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoadRun {
    /// The road.
    pub road: RandomRoad,
    /// Speed, m/s.
    pub speed_m_per_s: f64,
    /// Distance by which the rear wheels follow in the tracks of the front ones, m.
    pub wheelbase_m: f64,
    /// Distance of both tracks, for their coherence, m.
    pub track_m: f64,
}

/// One frequency, ready for the sum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Node {
    pub(super) turn: Turn,
    /// Standard deviations that belong to this node, m: of the mean height of both tracks, of half their difference.
    pub(super) amplitude_m: [f64; 2],
    /// Square of weighting times ω²: makes weighted acceleration of movement.
    pub(super) acceleration: f64,
}

/// Turn of phases at one frequency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Turn {
    pub(super) omega_rad_per_s: f64,
    /// Of the rear wheels behind the front ones: e^{-iω L/v}.
    pub(super) delay_re: f64,
    pub(super) delay_im: f64,
}

impl Turn {
    pub(super) fn at(frequency_hz: f64, delay_s: f64) -> Self {
        let omega_rad_per_s = 2.0 * PI * frequency_hz;
        let (sin, cos) = (omega_rad_per_s * delay_s).sin_cos();
        Self { omega_rad_per_s, delay_re: cos, delay_im: -sin }
    }
}

/// Frequencies with the road, the delay of the rear wheels and the weighting: made once per speed, shared by all vans of
/// one wheelbase.
#[derive(Debug, Clone, PartialEq)]
pub struct Nodes {
    pub(super) nodes: Vec<Node>,
    run: RoadRun,
}

impl Nodes {
    /// Folds everything that no kit changes into one list.
    ///
    /// # Errors
    /// When speed, wheelbase or track are not positive and finite.
    pub fn new(frequencies: &Frequencies, run: RoadRun, weighting: &Weighting) -> Result<Self, RideFault> {
        for (quantity, value) in
            [("speed", run.speed_m_per_s), ("wheelbase", run.wheelbase_m), ("track", run.track_m)]
        {
            if !(value > 0.0 && value.is_finite()) {
                return Err(RideFault::NotPositive { quantity, found: value });
            }
        }
        let node = |&(frequency_hz, share_hz): &(f64, f64)| {
            let turn = Turn::at(frequency_hz, run.wheelbase_m / run.speed_m_per_s);
            let height_m2 = share_hz * run.road.height_density_m2_per_hz(frequency_hz, run.speed_m_per_s);
            let coherence = run.road.coherence(frequency_hz / run.speed_m_per_s, run.track_m);
            Node {
                turn,
                amplitude_m: [1.0, -1.0].map(|sign| (0.5 * height_m2 * (1.0 + sign * coherence)).sqrt()),
                acceleration: weighting.squared_at(frequency_hz) * turn.omega_rad_per_s.powi(4),
            }
        };
        Ok(Self { nodes: frequencies.points().iter().map(node).collect(), run })
    }

    /// Road, speed and distances they were made for.
    pub fn run(&self) -> &RoadRun {
        &self.run
    }
}
