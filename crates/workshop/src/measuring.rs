//! Measuring help: a spring on the bench, a wheel on the jack.

use mechanics::spring_design::rate_n_per_m;
use statrs::distribution::{ContinuousCDF, StudentsT};

use crate::document::{Fields, Order, Range, range};
use crate::figure::{Evidence, Figure};
use crate::wording::{BenchSays, all_spelt};

/// Length of a spring on the bench.
pub const SPRING_LENGTH_MM: Range = range(30.0, 900.0);
/// Its load.
pub const SPRING_LOAD_N: Range = range(1.0, 60_000.0);
/// Two readings give a line but not how far it can be trusted.
pub const FEWEST_READINGS: usize = 3;

/// Length and load pairs of one spring, with its wire where known.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchReading {
    /// Name of the spring.
    pub spring: String,
    /// Pairs of length (mm) and load (N).
    pub load_over_length: Vec<[f64; 2]>,
    /// Wire and coils.
    pub wire: Option<Wire>,
}

/// Wire and coils of a spring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wire {
    /// Wire diameter, mm.
    pub wire_diameter_mm: f64,
    /// Mean coil diameter, mm.
    pub coil_diameter_mm: f64,
    /// Active coils.
    pub active_coils: f64,
    /// Shear modulus, MPa: 78 500 for hot-rolled bar, 79 500 oil-tempered, 81 500 patented cold-drawn wire
    /// (EN 13906-1).
    pub shear_modulus_mpa: f64,
}

/// What a bench reading says.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct BenchResult {
    /// Name of the spring.
    pub spring: String,
    /// Rate from the straight line through the readings, N/mm.
    pub rate_n_per_mm: Figure,
    /// Length at which that line meets zero load, mm.
    pub free_length_mm: Figure,
    /// Largest distance of a reading from the line, N.
    pub largest_residual_n: f64,
    /// Whether the readings bend away from a straight line by more than they scatter: a progressive spring.
    pub progressive: bool,
    /// Rate by the wire formula, N/mm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wire_rate_n_per_mm: Option<f64>,
    /// Reading against wire formula, per cent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub against_wire_percent: Option<f64>,
    /// What to make of it.
    #[serde(serialize_with = "all_spelt")]
    pub says: Vec<BenchSays>,
}

impl BenchReading {
    /// Reads a bench reading.
    pub fn read(f: &mut Fields) -> Self {
        let columns = [("length_mm", SPRING_LENGTH_MM), ("load_n", SPRING_LOAD_N)];
        Self {
            spring: f.text("spring", "Name of the spring"),
            load_over_length: f.pairs(
                "load_over_length",
                columns,
                FEWEST_READINGS,
                Order::Rising,
                "Length and load, at least three",
            ),
            wire: f.optional_table("wire", "Wire and coils", |f| Wire {
                wire_diameter_mm: f.number("wire_diameter_mm", range(1.0, 40.0), "Wire diameter"),
                coil_diameter_mm: f.number("coil_diameter_mm", range(10.0, 400.0), "Mean coil diameter"),
                active_coils: f.number("active_coils", range(1.0, 40.0), "Active coils"),
                shear_modulus_mpa: f.number_or(
                    "shear_modulus_mpa",
                    range(50_000.0, 90_000.0),
                    78_500.0,
                    "Shear modulus, 78500 for hot-rolled bar",
                ),
            }),
        }
    }
}

/// Straight line through the readings, with its uncertainty from their scatter: Student's t with n - 2 degrees of
/// freedom (D. C. Montgomery and G. C. Runger, Applied Statistics and Probability for Engineers, ch. 11).
pub fn bench_result(reading: &BenchReading) -> BenchResult {
    let line = Line::through(&reading.load_over_length);
    let rate = -line.slope;
    let free_length_mm = line.zero();
    let largest_residual_n =
        line.residuals(&reading.load_over_length).fold(0.0, |most: f64, r| most.max(r.abs()));
    let bend = line.bend(&reading.load_over_length);
    let wire_rate = reading.wire.map(|wire| {
        rate_n_per_m(
            wire.shear_modulus_mpa * 1e6,
            wire.wire_diameter_mm * 1e-3,
            wire.coil_diameter_mm * 1e-3,
            wire.active_coils,
        ) * 1e-3
    });
    let against_wire_percent = wire_rate.map(|wire| 100.0 * (rate / wire - 1.0));
    let mut says = Vec::new();
    if bend {
        says.push(BenchSays::ReadingsBend);
    }
    if let Some(percent) = against_wire_percent {
        says.push(if percent.abs() <= WIRE_AGREES_PERCENT {
            BenchSays::AgreesWithWire { within_percent: WIRE_AGREES_PERCENT }
        } else {
            BenchSays::DiffersFromWire { by_percent: percent }
        });
    }
    BenchResult {
        spring: reading.spring.clone(),
        rate_n_per_mm: line.measured(rate, line.slope_sd),
        free_length_mm: line.measured(free_length_mm, line.zero_sd),
        largest_residual_n,
        progressive: bend,
        wire_rate_n_per_mm: wire_rate,
        against_wire_percent,
        says,
    }
}

/// Rate and wire formula are taken to agree within this: modulus 4 %, wire diameter to the fourth power 4 %,
/// coils 5 % (common practice, no source).
const WIRE_AGREES_PERCENT: f64 = 8.0;

/// Least-squares line y = intercept + slope x with the standard deviations its scatter implies.
struct Line {
    slope: f64,
    intercept: f64,
    slope_sd: f64,
    zero_sd: f64,
    freedom: f64,
}

impl Line {
    fn through(points: &[[f64; 2]]) -> Self {
        let n = points.len() as f64;
        let mean = |axis: usize| points.iter().map(|p| p[axis]).sum::<f64>() / n;
        let (x_mean, y_mean) = (mean(0), mean(1));
        let s_xx: f64 = points.iter().map(|p| (p[0] - x_mean).powi(2)).sum();
        let s_xy: f64 = points.iter().map(|p| (p[0] - x_mean) * (p[1] - y_mean)).sum();
        let slope = s_xy / s_xx;
        let intercept = y_mean - slope * x_mean;
        let squares: f64 = points.iter().map(|p| (p[1] - intercept - slope * p[0]).powi(2)).sum();
        let freedom = n - 2.0;
        let scatter = (squares / freedom).sqrt();
        let slope_sd = scatter / s_xx.sqrt();
        // the line's zero x0 = x_mean - y_mean / slope, to first order in slope and mean height
        let arm = y_mean / slope;
        let zero_sd = (scatter / slope.abs()) * (1.0 / n + arm.powi(2) / s_xx).sqrt();
        Self { slope, intercept, slope_sd, zero_sd, freedom }
    }

    fn zero(&self) -> f64 {
        -self.intercept / self.slope
    }

    fn residuals(&self, points: &[[f64; 2]]) -> impl Iterator<Item = f64> {
        points.iter().map(|p| p[1] - self.intercept - self.slope * p[0])
    }

    /// Whether the ends lie on one side of the line and the middle on the other, by more than the middle scatters.
    fn bend(&self, points: &[[f64; 2]]) -> bool {
        let r: Vec<f64> = self.residuals(points).collect();
        let load_range = points.iter().map(|p| p[1]).fold(0.0, f64::max);
        let (first, last, middle) = (r[0], r[r.len() - 1], r[r.len() / 2]);
        first > 0.0 && last > 0.0 && middle < 0.0 && (first + last - 2.0 * middle) > 0.02 * load_range
    }

    /// A measured figure whose range holds the truth nine times out of ten.
    fn measured(&self, value: f64, sd: f64) -> Figure {
        let quantile = StudentsT::new(0.0, 1.0, self.freedom).map_or(f64::NAN, |t| t.inverse_cdf(0.95));
        let half = quantile * sd;
        Figure {
            value,
            low: value - half,
            high: value + half,
            evidence: Evidence::Measured,
            widened_by: Vec::new(),
        }
    }
}

/// Wheel jacked, spring measured.
#[derive(Debug, Clone, PartialEq)]
pub struct JackingReading {
    /// Axle or corner in words.
    pub what: String,
    /// Pairs of wheel travel (mm, up positive, from design height) and spring length (mm).
    pub spring_over_travel: Vec<[f64; 2]>,
}

/// One row of a motion-ratio table.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct RatioRow {
    /// Wheel travel at the middle of the step, mm.
    pub travel_mm: f64,
    /// Spring travel per wheel travel.
    pub ratio: f64,
    /// Half-width nine times out of ten, from the error of both lengths.
    pub ratio_plus_minus: f64,
}

/// Motion ratios from jacking.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct JackingResult {
    /// Axle or corner in words.
    pub what: String,
    /// One row per step.
    pub rows: Vec<RatioRow>,
    /// The table as it goes into a tape-measured vehicle sheet.
    pub for_the_sheet: String,
}

/// One length read with a tape in place: nine times out of ten within this, mm (common practice, no source).
const TAPE_MM: f64 = 0.7;

impl JackingReading {
    /// Reads a jacking record.
    pub fn read(f: &mut Fields) -> Self {
        let reading = Self {
            what: f.text("what", "Axle or corner in words"),
            spring_over_travel: f.pairs(
                "spring_over_travel",
                [("travel_mm", range(-250.0, 250.0)), ("spring_length_mm", SPRING_LENGTH_MM)],
                3,
                Order::Rising,
                "Wheel travel from design height and spring length, at least three",
            ),
        };
        let falls = reading.spring_over_travel.windows(2).all(|pair| pair[1][1] < pair[0][1]);
        if f.is_sound() && !falls {
            f.fault_at(
                "spring_over_travel",
                "a spring that does not shorten as the wheel rises",
                "falling lengths",
            );
        }
        reading
    }
}

/// Motion ratio of each step: shortening of the spring over rise of the wheel, taken at the middle of the step.
pub fn jacking_result(reading: &JackingReading) -> JackingResult {
    let rows: Vec<RatioRow> = reading
        .spring_over_travel
        .windows(2)
        .map(|pair| {
            let (rise_mm, shortening_mm) = (pair[1][0] - pair[0][0], pair[0][1] - pair[1][1]);
            let ratio = shortening_mm / rise_mm;
            let error_mm = TAPE_MM * 2f64.sqrt();
            RatioRow {
                travel_mm: 0.5 * (pair[0][0] + pair[1][0]),
                ratio,
                ratio_plus_minus: error_mm / rise_mm * (1.0 + ratio * ratio).sqrt(),
            }
        })
        .collect();
    let pairs: Vec<String> =
        rows.iter().map(|row| format!("[{:.1}, {:.4}]", row.travel_mm, row.ratio)).collect();
    let for_the_sheet = format!("spring_ratio = {{ measured = \"table\", rows = [{}] }}", pairs.join(", "));
    JackingResult { what: reading.what.clone(), rows, for_the_sheet }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_bench_pairs_of_a_straight_spring_give_its_rate_and_length() {
        let pairs = (0..5).map(|k| 200.0 + 20.0 * f64::from(k)).map(|l| [l, 42.0 * (330.0 - l)]).collect();
        let reading = BenchReading { spring: "s".into(), load_over_length: pairs, wire: None };
        let result = bench_result(&reading);
        assert!((result.rate_n_per_mm.value - 42.0).abs() < 1e-9);
        assert!((result.free_length_mm.value - 330.0).abs() < 1e-9);
        assert!(result.rate_n_per_mm.half_width() < 1e-6 && !result.progressive);
    }

    #[test]
    fn val_bench_regression_against_the_anscombe_set() {
        // F. J. Anscombe, Graphs in Statistical Analysis, The American Statistician 27 (1973), set I, from memory:
        // slope 0.5001 with standard error 0.1179, residual standard error 1.237, n = 11.
        let x = [10.0, 8.0, 13.0, 9.0, 11.0, 14.0, 6.0, 4.0, 12.0, 7.0, 5.0];
        let y = [8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68];
        let points: Vec<[f64; 2]> = x.iter().zip(y).map(|(&x, y)| [x, y]).collect();
        let line = Line::through(&points);
        assert!((line.slope - 0.5001).abs() < 5e-5);
        assert!((line.slope_sd - 0.1179).abs() < 5e-5);
    }

    #[test]
    fn law_progressive_readings_are_recognised() {
        let pairs =
            [[200.0, 9000.0], [230.0, 5600.0], [260.0, 3200.0], [290.0, 1400.0], [320.0, 200.0]].to_vec();
        let reading = BenchReading { spring: "s".into(), load_over_length: pairs, wire: None };
        assert!(bench_result(&reading).progressive);
    }

    #[test]
    fn val_wire_formula_of_a_van_size_coil() {
        // Wire 14 mm, coil 130 mm, 6.5 coils, G = 78 500 MPa: 26.3966 N/mm by EN 13906-1 clause 9 (recomputed).
        let wire = Wire {
            wire_diameter_mm: 14.0,
            coil_diameter_mm: 130.0,
            active_coils: 6.5,
            shear_modulus_mpa: 78_500.0,
        };
        let pairs = [[200.0, 26.0 * 150.0], [250.0, 26.0 * 100.0], [300.0, 26.0 * 50.0]].to_vec();
        let reading = BenchReading { spring: "s".into(), load_over_length: pairs, wire: Some(wire) };
        let result = bench_result(&reading);
        assert!((result.wire_rate_n_per_mm.unwrap() - 26.3966).abs() < 1e-3);
        assert!((result.against_wire_percent.unwrap() + 1.502).abs() < 1e-2);
    }

    #[test]
    fn law_jacking_a_constant_ratio_gives_it_in_every_step() {
        let pairs = (-3..=3).map(|k| f64::from(k) * 25.0).map(|z| [z, 240.0 - 0.66 * z]).collect();
        let result = jacking_result(&JackingReading { what: "rear".into(), spring_over_travel: pairs });
        assert_eq!(result.rows.len(), 6);
        assert!(result.rows.iter().all(|row| (row.ratio - 0.66).abs() < 1e-12));
    }
}
