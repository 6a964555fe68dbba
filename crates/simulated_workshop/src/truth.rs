//! The van as it really is: energies of all its parts, and where their sum is least.

use anyhow::{Result, anyhow};
use argmin::core::{CostFunction, Executor, Gradient, Hessian, State};
use argmin::solver::trustregion::{Steihaug, TrustRegion};
use nalgebra::{SMatrix, SVector, Vector3};

use crate::chance::Chance;
use crate::guide::{Curves, Guide};
use crate::hidden::{Hidden, PartErrors};
use crate::laws::{BrokenLine, helper};
use crate::sheet::{
    Bar, BarLinks, Damper, Grade, Kit, KitAxle, OriginalSpring, Sheets, Stop, StopPosition, Vehicle, metres,
};

type Point = Vector3<f64>;

/// Standard acceleration of free fall, m/s².
pub const GRAVITY_M_PER_S2: f64 = 9.806_65;
const HALF_TURN_DEG: f64 = 180.0;

/// A mass (kg) at a point (m).
pub type Mass = (f64, Point);

/// What is fitted.
#[derive(Debug, Clone, Copy)]
pub enum Fit<'a> {
    /// Original parts.
    Original,
    /// A kit.
    Kit {
        /// The kit.
        kit: &'a Kit,
        /// Collars where the fitter believes them, mm from the datum.
        collar_mm: [Option<f64>; 4],
        /// Travel at which the bushes were clamped anew, m; `None` while they are loose.
        clamped_m: Option<[f64; 4]>,
    },
}

/// A van of one grade with everything that is hidden about it.
#[derive(Debug, Clone)]
pub struct TrueVan<'a> {
    /// Sheets.
    pub sheets: &'a Sheets,
    /// Grade.
    pub grade: &'a Grade,
    /// Free lengths of faultless new original springs, m.
    pub original_free_m: [f64; 2],
    /// Deviations.
    pub hidden: Hidden,
}

/// A van at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// Wheel centre to lip, m.
    pub arch_m: [f64; 4],
    /// Wheel travel, m.
    pub travel_m: [f64; 4],
    /// Wheel loads, N.
    pub load_n: [f64; 4],
}

impl Rest {
    /// Arch heights, mm.
    pub fn arch_mm(&self) -> [f64; 4] {
        self.arch_m.map(|m| 1e3 * m)
    }

    /// Axle loads, kg.
    pub fn axle_kg(&self) -> [f64; 2] {
        [0, 2].map(|i| (self.load_n[i] + self.load_n[i + 1]) / GRAVITY_M_PER_S2)
    }
}

struct Corner {
    side: f64,
    curves: Curves,
    spring: BrokenLine,
    free_m: f64,
    stop: BrokenLine,
    stop_position: StopPosition,
    stop_contact_m: f64,
    stop_ratio: f64,
    gas_n: f64,
    gas_n_per_m: f64,
    damper_open_m: f64,
    bush_nm_per_rad: f64,
    clamped_rad: f64,
    tyre_radius_m: f64,
    tyre_n_per_m: f64,
    unsprung_kg: f64,
    lip: Point,
    friction_n: f64,
    friction_per_load: f64,
}

/// A van with parts and loads, ready to be set down.
pub struct Assembled {
    corners: [Corner; 4],
    bar_nm_per_rad: [f64; 2],
    sprung_kg: f64,
    centre: Point,
}

type Q = SVector<f64, 7>;

impl<'a> TrueVan<'a> {
    /// The van of the sheet without any deviation; free lengths follow from the sheet's arch heights.
    ///
    /// # Errors
    /// When the sheet's van finds no rest.
    pub fn nominal(sheets: &'a Sheets, grade: &'a Grade) -> Result<Self> {
        let mut van = Self { sheets, grade, original_free_m: [0.45, 0.3], hidden: Hidden::default() };
        let wanted = [&grade.front_spring, &grade.rear_spring].map(|s| 1e-3 * s.arch_height_mm);
        let masses = running_order(&sheets.vehicle);
        let arch = |van: &Self| -> Result<[f64; 2]> {
            let rest = van.assembled(Fit::Original, &masses)?.middle()?;
            Ok([rest.arch_m[0], rest.arch_m[2]])
        };
        for _ in 0..8 {
            let now = arch(&van)?;
            let miss = nalgebra::Vector2::new(wanted[0] - now[0], wanted[1] - now[1]);
            if miss.amax() < 1e-7 {
                return Ok(van);
            }
            let mut slopes = nalgebra::Matrix2::zeros();
            for axle in 0..2 {
                let mut longer = van.clone();
                longer.original_free_m[axle] += 1e-3;
                let then = arch(&longer)?;
                slopes.set_column(
                    axle,
                    &nalgebra::Vector2::new((then[0] - now[0]) / 1e-3, (then[1] - now[1]) / 1e-3),
                );
            }
            let change = slopes.lu().solve(&miss).ok_or_else(|| anyhow!("springs that do nothing"))?;
            for axle in 0..2 {
                van.original_free_m[axle] += change[axle].clamp(-0.05, 0.05);
            }
        }
        Err(anyhow!("no free length of the original springs gives the sheet's arch heights"))
    }

    /// Parts and loads put together.
    ///
    /// # Errors
    /// When a linkage does not reach its travel.
    pub fn assembled(&self, fit: Fit, masses: &[Mass]) -> Result<Assembled> {
        let vehicle = &self.sheets.vehicle;
        let corners: Vec<Corner> = (0..4).map(|i| self.corner(i, fit)).collect::<Result<_>>()?;
        let corners: [Corner; 4] = corners.try_into().map_err(|_| anyhow!("a van has four corners"))?;
        let carried: Vec<Mass> = masses.iter().chain(&self.hidden.masses).copied().collect();
        let unsprung = (0..4).map(|i| {
            let axle_x = if i < 2 {
                vehicle.front.linkage.wheel_centre_mm
            } else {
                vehicle.rear.linkage.wheel_centre_mm
            };
            let at = metres(axle_x);
            (-corners[i].unsprung_kg, Point::new(at.x, corners[i].side * at.y, at.z))
        });
        let all: Vec<Mass> = carried.into_iter().chain(unsprung).collect();
        let sprung_kg: f64 = all.iter().map(|m| m.0).sum();
        let mut centre = all.iter().map(|m| m.1 * m.0).sum::<Point>() / sprung_kg;
        centre.z += self.hidden.centre_of_gravity_m;
        let bar = |bar: &Bar, factor: f64| factor * per_rad(bar.rate_nm_per_deg);
        let bars = [&vehicle.front.bar, &vehicle.rear.bar];
        Ok(Assembled {
            bar_nm_per_rad: [0, 1].map(|axle| bar(bars[axle], self.hidden.bar_rate[axle])),
            corners,
            sprung_kg,
            centre,
        })
    }

    fn corner(&self, i: usize, fit: Fit) -> Result<Corner> {
        let vehicle = &self.sheets.vehicle;
        let hidden = &self.hidden;
        let axle = i / 2;
        let errors = &hidden.hardpoint_m[i];
        let front = axle == 0;
        let (guide, links): (Guide, &BarLinks) = if front {
            (Guide::strut(&vehicle.front.linkage, errors), &vehicle.front.bar.links)
        } else {
            (Guide::arm(&vehicle.rear.linkage, errors), &vehicle.rear.bar.links)
        };
        macro_rules! of_axle {
            ($($field:tt)+) => { if front { &vehicle.front.$($field)+ } else { &vehicle.rear.$($field)+ } };
        }
        let mount = of_axle!(spring_mount_rate_n_per_mm).map(|rate| BrokenLine::straight(1e3 * rate));
        let tyre = of_axle!(tyre);
        let original = if front { &self.grade.front_spring } else { &self.grade.rear_spring };
        let kit_axle = match fit {
            Fit::Original => None,
            Fit::Kit { kit, .. } => Some(if front { &kit.front } else { &kit.rear }),
        };
        let parts = if kit_axle.is_some() { &hidden.kit } else { &hidden.original };
        let mut seat_rise_m = 0.0;
        if let (Some(collar), Fit::Kit { collar_mm, .. }) = (kit_axle.and_then(|k| k.collar.as_ref()), fit) {
            let read_mm = collar_mm[i].unwrap_or(collar.delivered_mm);
            seat_rise_m = 1e-3 * (collar.seat_at_zero_mm + read_mm) + hidden.collar_m[i];
        }
        let (spring, free_m) = match kit_axle {
            None => original_spring(original, self.original_free_m[axle]),
            Some(kit) => kit_spring(kit),
        };
        let spring = spring.times(parts.spring_rate[i]);
        let spring = mount.map_or(spring.clone(), |mount| spring.in_series_with(&mount));
        let damper: &Damper = kit_axle.and_then(|k| k.damper.as_ref()).unwrap_or(of_axle!(damper));
        let damper_parts =
            if kit_axle.is_some_and(|k| k.damper.is_some()) { &hidden.kit } else { &hidden.original };
        let stop = self.stop(axle, kit_axle, of_axle!(stop));
        let curves = guide.curves(seat_rise_m, links)?;
        let bush_nm_per_rad = of_axle!(bush_rate_nm_per_deg).map_or(0.0, per_rad) * hidden.bush_rate[axle];
        let clamped_m = match fit {
            Fit::Original => Some(hidden.original_clamp_m[axle]),
            Fit::Kit { clamped_m, .. } => clamped_m.map(|c| c[i]),
        };
        let tyre_radius_m = 1e-3 * tyre.unloaded_radius_mm + hidden.tyre_radius_m[i];
        let side = if i.is_multiple_of(2) { 1.0 } else { -1.0 };
        let lip = metres(*of_axle!(arch_lip_mm));
        Ok(Corner {
            side,
            spring,
            free_m: free_m + parts.free_length_m[i],
            stop_position: stop.position,
            stop_contact_m: stop.contact_m,
            stop_ratio: stop.ratio,
            stop: stop.law,
            gas_n: damper.gas_force_n + damper_parts.gas_n[axle],
            gas_n_per_m: 1e3 * damper.gas_rate_n_per_mm,
            damper_open_m: 1e-3 * damper.open_length_mm,
            bush_nm_per_rad: if clamped_m.is_some() { bush_nm_per_rad } else { 0.0 },
            clamped_rad: curves.twist_rad.at(clamped_m.unwrap_or(0.0)),
            tyre_radius_m,
            tyre_n_per_m: 1e3 * tyre.rate_n_per_mm * hidden.tyre_rate[i],
            unsprung_kg: 0.5 * of_axle!(unsprung_mass_kg),
            lip: Point::new(lip.x, side * lip.y, lip.z + hidden.lip_m[i]),
            friction_n: hidden.friction[axle] * damper.friction_n,
            friction_per_load: hidden.friction[axle]
                * damper.friction_per_side_force
                * guide.side_force_per_load(tyre_radius_m),
            curves,
        })
    }

    fn stop(&self, axle: usize, kit: Option<&KitAxle>, original: &Stop) -> FittedStop {
        let whole = |stop: &Stop, parts: &PartErrors| {
            let law = BrokenLine::through(stop.force_over_compression.iter().map(|r| [1e-3 * r[0], r[1]]));
            let higher_m = parts.stop_height_m[axle];
            let outward = if stop.position == StopPosition::Damper { 1.0 } else { -1.0 / stop.wheel_ratio };
            FittedStop {
                law: law.times(parts.stop_stiffness[axle]),
                position: stop.position,
                contact_m: 1e-3 * stop.contact_mm + outward * higher_m,
                ratio: stop.wheel_ratio,
            }
        };
        let Some(kit) = kit else { return whole(original, &self.hidden.original) };
        if let Some(stop) = &kit.stop {
            return whole(stop, &self.hidden.kit);
        }
        let kept = whole(original, &self.hidden.original);
        let Some(left_mm) = kit.stop_trimmed_to_mm else { return kept };
        // the cut has an error of its own; it takes the place of the original's
        let left_m = 1e-3 * left_mm + self.hidden.kit.stop_height_m[axle];
        let cut_m = 1e-3 * original.height_mm - left_m;
        let outward = if kept.position == StopPosition::Damper { 1.0 } else { -1.0 / kept.ratio };
        FittedStop {
            law: kept.law.shortened(left_m / (1e-3 * original.height_mm)),
            contact_m: 1e-3 * original.contact_mm - outward * cut_m,
            ..kept
        }
    }
}

struct FittedStop {
    law: BrokenLine,
    position: StopPosition,
    contact_m: f64,
    ratio: f64,
}

fn per_rad(nm_per_deg: f64) -> f64 {
    nm_per_deg * HALF_TURN_DEG / std::f64::consts::PI
}

/// An original spring: its law and its free length.
fn original_spring(spring: &OriginalSpring, free_m: f64) -> (BrokenLine, f64) {
    let law = match (&spring.load_over_length, spring.rate_n_per_mm) {
        (Some(rows), _) => {
            // the longest two rows point to where the load vanishes
            let [(l1, f1), (l0, f0)] = [1, 2].map(|k| {
                let row = rows[rows.len() - k];
                (row[0], row[1])
            });
            let zero_mm = l1 + f1 * (l1 - l0) / (f0 - f1);
            BrokenLine::through(rows.iter().rev().map(|row| [1e-3 * (zero_mm - row[0]), row[1]]))
        }
        (None, rate) => BrokenLine::straight(1e3 * rate.unwrap_or(1.0)),
    };
    (law, free_m)
}

/// Main and helper spring of a kit: law and free length of both together.
fn kit_spring(kit: &KitAxle) -> (BrokenLine, f64) {
    let main = BrokenLine::straight(1e3 * kit.spring.rate_n_per_mm);
    let free_m = 1e-3 * kit.spring.free_length_mm;
    match &kit.helper {
        None => (main, free_m),
        Some(h) => {
            let soft = helper(1e3 * h.rate_n_per_mm, 1e-3 * (h.free_length_mm - h.solid_length_mm));
            (main.in_series_with(&soft), free_m + 1e-3 * h.free_length_mm)
        }
    }
}

/// Masses of the van in running order.
pub fn running_order(vehicle: &Vehicle) -> Vec<Mass> {
    let order = &vehicle.running_order;
    let z = order.centre_of_gravity_height_mm;
    vec![
        (order.front_axle_kg, metres([vehicle.front.linkage.wheel_centre_mm[0], 0.0, z])),
        (order.rear_axle_kg, metres([vehicle.rear.linkage.wheel_centre_mm[0], 0.0, z])),
    ]
}

impl Corner {
    /// Energy of everything between body and wheel but the bar, J.
    fn energy_j(&self, travel_m: f64) -> f64 {
        let damper_m = self.curves.damper_m.at(travel_m);
        let rod_in_m = self.damper_open_m - damper_m;
        let squeeze_m = match self.stop_position {
            StopPosition::Damper => self.stop_contact_m - damper_m,
            StopPosition::Wheel => self.stop_ratio * (travel_m - self.stop_contact_m),
        };
        let mut energy_j = self.spring.energy_j(self.free_m - self.curves.spring_m.at(travel_m))
            + self.stop.energy_j(squeeze_m)
            + rod_in_m * (self.gas_n + 0.5 * self.gas_n_per_m * rod_in_m);
        if self.bush_nm_per_rad > 0.0 {
            let twist_rad = self.curves.twist_rad.at(travel_m) - self.clamped_rad;
            energy_j += 0.5 * self.bush_nm_per_rad * twist_rad * twist_rad;
        }
        energy_j
    }

    fn wheel_centre(&self, travel_m: f64) -> Point {
        let side_m = self.side * self.curves.y.at(travel_m);
        Point::new(self.curves.x.at(travel_m), side_m, self.curves.design_z_m + travel_m)
    }

    /// Energy of the spring (J) that a squeeze of the tyre stores.
    fn tyre_energy_j(&self, centre_height_m: f64) -> f64 {
        let squeeze_m = (self.tyre_radius_m - centre_height_m).max(0.0);
        0.5 * self.tyre_n_per_m * squeeze_m * squeeze_m
    }
}

/// Height of a body point over the ground: heave, then pitch about the transverse and roll about the long axis.
fn height_m(q: &[f64], point: Point) -> f64 {
    let ((sp, cp), (sr, cr)) = (q[1].sin_cos(), q[2].sin_cos());
    q[0] - sp * point.x + cp * (sr * point.y + cr * point.z)
}

impl Assembled {
    /// Energy with a friction force pushing each wheel and body apart, J.
    fn energy_j(&self, q: &[f64], friction_n: &[f64; 4]) -> f64 {
        let mut energy_j = self.sprung_kg * GRAVITY_M_PER_S2 * height_m(q, self.centre);
        for (i, corner) in self.corners.iter().enumerate() {
            let travel_m = q[3 + i];
            let wheel_m = height_m(q, corner.wheel_centre(travel_m));
            energy_j += corner.energy_j(travel_m)
                + corner.tyre_energy_j(wheel_m)
                + corner.unsprung_kg * GRAVITY_M_PER_S2 * wheel_m
                + friction_n[i] * travel_m;
        }
        for axle in 0..2 {
            let turn = |i: usize| self.corners[i].curves.bar_rad.at(q[3 + i]);
            let twist_rad = turn(2 * axle) - turn(2 * axle + 1);
            energy_j += 0.5 * self.bar_nm_per_rad[axle] * twist_rad * twist_rad;
        }
        energy_j
    }

    /// Rest without friction: the middle of the band.
    ///
    /// # Errors
    /// When no rest is found.
    pub fn middle(&self) -> Result<Rest> {
        self.rest(&[0.0; 4])
    }

    /// Rest after a settling: friction of each corner anywhere within its band.
    ///
    /// # Errors
    /// When no rest is found.
    pub fn settled(&self, chance: &mut Chance) -> Result<Rest> {
        let middle = self.middle()?;
        let friction_n = std::array::from_fn(|i| {
            let corner = &self.corners[i];
            let carried_n = middle.load_n[i] - corner.unsprung_kg * GRAVITY_M_PER_S2;
            let along_n = corner.friction_n + corner.friction_per_load * carried_n.max(0.0);
            along_n * corner.curves.damper_m.slope(middle.travel_m[i]).abs() * chance.uniform(1.0)
        });
        self.rest(&friction_n)
    }

    fn rest(&self, friction_n: &[f64; 4]) -> Result<Rest> {
        let setting = SettingDown { van: self, friction_n };
        let solver = TrustRegion::new(Steihaug::new().with_max_iters(14));
        let solver = solver.with_radius(0.03).and_then(|s| s.with_max_radius(0.1))?;
        let run = Executor::new(setting, solver).configure(|s| s.param(vec![0.0; 7]).max_iters(60)).run()?;
        let found = run.state().get_best_param().ok_or_else(|| anyhow!("nothing found"))?;
        let polished = self.polished(Q::from_column_slice(found), friction_n)?;
        Ok(self.read(polished.as_slice()))
    }

    /// Newton's method to the end, steps halved where the forces would grow.
    fn polished(&self, mut q: Q, friction_n: &[f64; 4]) -> Result<Q> {
        let mut forces = self.slopes(&q, friction_n);
        for _ in 0..40 {
            if forces.amax() < 1e-3 {
                break;
            }
            let Some(step) = self.curvatures(&q, friction_n).lu().solve(&forces) else { break };
            let mut share = 1.0;
            while share > 1e-4 {
                let trial = q - step * share;
                let then = self.slopes(&trial, friction_n);
                if then.amax() < forces.amax() {
                    (q, forces) = (trial, then);
                    break;
                }
                share *= 0.5;
            }
            if share <= 1e-4 {
                break;
            }
        }
        // a newton at a corner moves it by a thirtieth of a millimetre
        if forces.amax() < 1.0 { Ok(q) } else { Err(anyhow!("{:.1} N out of balance", forces.amax())) }
    }

    fn slopes(&self, q: &Q, friction_n: &[f64; 4]) -> Q {
        const STEP: f64 = 2e-6;
        Q::from_fn(|j, _| {
            let at = |by: f64| {
                let mut p = *q;
                p[j] += by;
                self.energy_j(p.as_slice(), friction_n)
            };
            (at(STEP) - at(-STEP)) / (2.0 * STEP)
        })
    }

    fn curvatures(&self, q: &Q, friction_n: &[f64; 4]) -> SMatrix<f64, 7, 7> {
        const STEP: f64 = 2e-5;
        let mut curvatures = SMatrix::<f64, 7, 7>::zeros();
        for j in 0..7 {
            let mut step = Q::zeros();
            step[j] = STEP;
            let column = self.slopes(&(q + step), friction_n) - self.slopes(&(q - step), friction_n);
            curvatures.set_column(j, &(column / (2.0 * STEP)));
        }
        0.5 * (curvatures + curvatures.transpose())
    }

    fn read(&self, q: &[f64]) -> Rest {
        let travel_m = [q[3], q[4], q[5], q[6]];
        let wheel_m: [f64; 4] =
            std::array::from_fn(|i| height_m(q, self.corners[i].wheel_centre(travel_m[i])));
        Rest {
            arch_m: std::array::from_fn(|i| height_m(q, self.corners[i].lip) - wheel_m[i]),
            travel_m,
            load_n: std::array::from_fn(|i| {
                let corner = &self.corners[i];
                corner.tyre_n_per_m * (corner.tyre_radius_m - wheel_m[i]).max(0.0)
            }),
        }
    }
}

/// The van being set down, for the optimiser.
struct SettingDown<'a> {
    van: &'a Assembled,
    friction_n: &'a [f64; 4],
}

impl CostFunction for SettingDown<'_> {
    type Param = Vec<f64>;
    type Output = f64;

    fn cost(&self, q: &Vec<f64>) -> Result<f64> {
        Ok(self.van.energy_j(q, self.friction_n))
    }
}

impl Gradient for SettingDown<'_> {
    type Param = Vec<f64>;
    type Gradient = Vec<f64>;

    fn gradient(&self, q: &Vec<f64>) -> Result<Vec<f64>> {
        Ok(self.van.slopes(&Q::from_column_slice(q), self.friction_n).as_slice().to_vec())
    }
}

impl Hessian for SettingDown<'_> {
    type Param = Vec<f64>;
    type Hessian = Vec<Vec<f64>>;

    fn hessian(&self, q: &Vec<f64>) -> Result<Vec<Vec<f64>>> {
        let curvatures = self.van.curvatures(&Q::from_column_slice(q), self.friction_n);
        Ok(curvatures.row_iter().map(|row| row.iter().copied().collect()).collect())
    }
}
