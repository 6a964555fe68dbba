//! The ranges that exact sensitivities give, held against a seeded Monte Carlo through the full solve.

#![allow(clippy::unwrap_used, clippy::panic)] // a test helper may fail the test

use nalgebra::{DMatrix, DVector};
use rand::SeedableRng;
use rand::rngs::StdRng;
use rand_distr::{Distribution, StandardNormal};
use workshop::answer::KnownVan;
use workshop::belief::Belief;
use workshop::catalogue::{Catalogue, DataFile};
use workshop::figure::Figure;
use workshop::fitment::Fitment;
use workshop::load_list::LoadState;
use workshop::sit::Sit;

/// Samples drawn; the share inside a 90 % range then scatters by √(0.9·0.1/12000) = 0.27 %.
const SAMPLES: usize = 12_000;
/// Four standard deviations of that scatter, and two and a half per cent for the curvature the first order leaves out
/// where a stop is first touched within the range: there the range is too wide.
const COVERAGE_TOLERANCE: f64 = 0.036;

fn demo_files() -> Vec<DataFile> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let mut files = Vec::new();
    for folder in ["", "vehicles", "kits", "enquiries", "ramp"] {
        for entry in std::fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|e| e == "toml") {
                let name = path.file_name().unwrap().to_string_lossy().into_owned();
                let shown = if folder.is_empty() { name } else { format!("{folder}/{name}") };
                files.push(DataFile { path: shown, text: std::fs::read_to_string(&path).unwrap() });
            }
        }
    }
    files
}

/// Draws from the belief by the symmetric square root of its covariance.
struct Draws {
    root: DMatrix<f64>,
    belief: Belief,
    random: StdRng,
}

impl Draws {
    fn of(belief: &Belief, seed: u64) -> Self {
        // the unknowns differ in unit by many powers of ten: scale to correlations before the decomposition
        let covariance = belief.covariance();
        let sd = covariance.diagonal().map(|v| v.max(0.0).sqrt());
        let scaled = DMatrix::from_fn(sd.len(), sd.len(), |i, j| {
            let scale = sd[i] * sd[j];
            if scale > 0.0 { covariance[(i, j)] / scale } else { 0.0 }
        });
        let eigen = scaled.symmetric_eigen();
        let roots = DMatrix::from_diagonal(&eigen.eigenvalues.map(|e| e.max(0.0).sqrt()));
        let root = DMatrix::from_diagonal(&sd) * &eigen.eigenvectors * roots;
        Self { root, belief: belief.clone(), random: StdRng::seed_from_u64(seed) }
    }

    fn next(&mut self) -> Belief {
        let n = self.belief.mean.len();
        let z = DVector::from_fn(n, |_, _| StandardNormal.sample(&mut self.random));
        self.belief.with_mean(&self.belief.mean + &self.root * z)
    }
}

/// Share of the sampled truths that lie within the figure's range.
fn share_within(figure: &Figure, truths: &[f64]) -> f64 {
    truths.iter().filter(|t| (figure.low..=figure.high).contains(t)).count() as f64 / truths.len() as f64
}

fn check_ranges(enquiry_name: &str, kit: &str, state: LoadState, seed: u64) {
    let files = demo_files();
    let catalogue = Catalogue::read(&files).unwrap();
    let file = files.iter().find(|f| f.path == format!("enquiries/{enquiry_name}.toml")).unwrap();
    let enquiry = catalogue.read_enquiry(file).unwrap();
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kit(kit).unwrap();
    let fitment: Fitment = known.fitted.with_kit(&known.van, kit, &catalogue.tolerances).unwrap();
    let fitment = known.reclamped(fitment).unwrap();
    let belief = known.belief_with(&fitment);
    let answer = known.sits_on(&fitment).unwrap();
    let sit: &Sit = answer.states.iter().find(|sit| sit.state == state).unwrap();

    let carried = known.carried(state);
    let mut draws = Draws::of(&belief, seed);
    let mut arch = vec![Vec::new(); 4];
    let (mut level, mut rear_load, mut free_bump, mut captive) = (vec![], vec![], vec![], vec![]);
    for _ in 0..SAMPLES {
        let truth = draws.next();
        let van = fitment.van(&known.van, &carried, &truth, state);
        let rest = van.rest().unwrap();
        for (heights, height_m) in arch.iter_mut().zip(rest.arch_height_m) {
            heights.push(1e3 * height_m);
        }
        let a = rest.arch_height_m;
        let difference_mm = 500.0 * (a[2] + a[3] - a[0] - a[1]);
        level.push(difference_mm - known.van.sheet.level_floor_difference_mm);
        rear_load.push((rest.wheel_load_n[2] + rest.wheel_load_n[3]) / mechanics::GRAVITY_M_PER_S2);
        let limits = van.travel_limits(&rest, 2);
        free_bump.push(1e3 * limits.free_bump_m.unwrap());
        captive.push(1e3 * limits.captive_in_hand_m);
    }
    let mut worst = Vec::new();
    let mut hold = |what: &str, figure: &Figure, truths: &[f64]| {
        let share = share_within(figure, truths);
        if (share - 0.9).abs() > COVERAGE_TOLERANCE {
            worst.push(format!(
                "{what}: {:.1} % within {:.1} to {:.1}",
                100.0 * share,
                figure.low,
                figure.high
            ));
        }
    };
    for i in 0..4 {
        hold(sit.corners[i].corner, &sit.corners[i].arch_height_mm, &arch[i]);
    }
    hold("level", &sit.level_mm, &level);
    hold("rear axle load", &sit.axle_load_kg[1], &rear_load);
    let travel = &sit.corners[2].travel;
    hold("free bump travel", travel.free_bump_travel_mm.as_ref().unwrap(), &free_bump);
    if let Some(figure) = &travel.captive_in_hand_mm {
        hold("captive in hand", figure, &captive);
    }
    assert!(worst.is_empty(), "{enquiry_name}, {}: {worst:#?}", kit.id);
}

#[test]
fn law_ranges_hold_nine_in_ten_of_sampled_truths_on_adjustable_struts() {
    check_ranges("camper-low-at-the-back", "tessavar-four-collars", LoadState::DayToDay, 11);
}

#[test]
fn law_ranges_hold_where_stops_are_engaged() {
    check_ranges("camper-low-at-the-back", "keltrop-line-30", LoadState::FullyLaden, 12);
}

#[test]
fn law_ranges_hold_for_an_unweighed_van_on_a_published_drop() {
    check_ranges("day-van-lower", "pellewick-street-35", LoadState::DayToDay, 13);
}

/// One unknown at a time: its share of a range is the difference of full solutions, every end of travel included.
#[test]
fn law_ranges_of_travel_follow_every_unknown_as_full_solutions_do() {
    // central differences over a tenth of a standard deviation; what a curve bends within that, and 1e-9 m of bisection
    const STEP: f64 = 0.05;
    const RELATIVE: f64 = 0.01;
    const ABSOLUTE_MM: f64 = 0.002;
    let files = demo_files();
    let catalogue = Catalogue::read(&files).unwrap();
    let file = files.iter().find(|f| f.path == "enquiries/camper-low-at-the-back.toml").unwrap();
    let enquiry = catalogue.read_enquiry(file).unwrap();
    let mut known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let (state, belief) = (LoadState::FullyLaden, known.belief.clone());
    let carried = known.carried(state);
    let travel_mm = |j: usize, by: f64| {
        let mut mean = belief.mean.clone();
        mean[j] += by;
        let at = belief.with_mean(mean);
        let van = known.fitted.van(&known.van, &carried, &at, state);
        let rest = van.rest().unwrap();
        [0, 2].map(|i| {
            let limits = van.travel_limits(&rest, i);
            let twice_m = van.travel_to_twice_static_m(&rest, limits.to_metal_m, i).unwrap_or(f64::NAN);
            let free_m = limits.free_bump_m.unwrap_or(f64::NAN);
            [twice_m, free_m, limits.to_metal_m, limits.rebound_m, limits.captive_in_hand_m].map(|m| 1e3 * m)
        })
    };
    let names = ["to twice static", "free bump", "to metal", "rebound", "captive"];
    let differences: Vec<[[f64; 5]; 2]> = (0..belief.mean.len())
        .map(|j| {
            let step = STEP * belief.unknowns[j].sd;
            let (up, down) = (travel_mm(j, step), travel_mm(j, -step));
            [0, 1].map(|axle| std::array::from_fn(|k| (up[axle][k] - down[axle][k]) / (2.0 * STEP)))
        })
        .collect();
    let (mut compared, mut worst) = (0, Vec::new());
    for j in 0..belief.mean.len() {
        let mut only = belief.unknowns.clone();
        for (i, unknown) in only.iter_mut().enumerate() {
            std::sync::Arc::make_mut(unknown).sd = if i == j { unknown.sd } else { 0.0 };
        }
        known.belief = Belief::of(only).with_mean(belief.mean.clone());
        let today = known.today();
        for axle in [0, 1] {
            let travel = &today.states[state as usize].corners[2 * axle].travel;
            let figures = [
                travel.bump_travel_to_twice_static_mm.as_ref(),
                travel.free_bump_travel_mm.as_ref(),
                Some(&travel.bump_travel_to_metal_mm),
                Some(&travel.rebound_travel_mm),
                travel.captive_in_hand_mm.as_ref(),
            ];
            for (k, figure) in figures.into_iter().enumerate() {
                let Some(figure) = figure else { continue };
                let told_mm = (figure.high - figure.low) / (2.0 * workshop::figure::NINE_IN_TEN_SD);
                let solved_mm = differences[j][axle][k].abs();
                compared += usize::from(solved_mm > 0.01);
                if (told_mm - solved_mm).abs() > RELATIVE * solved_mm + ABSOLUTE_MM {
                    let cause = &belief.unknowns[j].cause;
                    worst.push(format!("axle {axle} {}, {cause:?}: {told_mm} for {solved_mm}", names[k]));
                }
            }
        }
    }
    assert!(compared > 50, "{compared}");
    assert!(worst.is_empty(), "{worst:#?}");
}
