//! The figures of one corner of a fitment in a load state.

use std::cell::OnceCell;

use mechanics::statics::{BumpEnd, Parameter, ReboundEnd, RestBand, axle_of};
use nalgebra::DVector;

use super::shared::{EndSlope, OfCorner};
use super::{CornerSit, CornerTravel, Sitting, Stretch, TravelEnd};
use crate::belief::CORNER_WORDS;
use crate::calibration::load_kg;
use crate::figure::Figure;
use crate::fitment::Solved;
use crate::standing::Standing;
use crate::units::{kg_from_n, m_from_mm, mm_from_m};

/// One corner of a fitment in a load state.
pub struct CornerSitting<'a> {
    sitting: Sitting<'a>,
    /// Which corner.
    i: usize,
    /// How its arch height answers to every unknown, m.
    arch_row: DVector<f64>,
    /// How its wheel travel answers to every unknown, m.
    travel_row: OnceCell<DVector<f64>>,
}

impl<'a> CornerSitting<'a> {
    pub(super) fn of(sitting: Sitting<'a>, i: usize) -> Self {
        let arch_row = sitting.solved.row(|r| r.arch_height_m[i]);
        Self { sitting, i, arch_row, travel_row: OnceCell::new() }
    }

    /// How its arch height answers to every unknown, m.
    pub(super) fn arch_row(&self) -> &DVector<f64> {
        &self.arch_row
    }

    pub(super) fn sit(&self, band: &RestBand) -> CornerSit {
        let Sitting { standing, solved, .. } = self.sitting;
        let (i, rest) = (self.i, self.sitting.rest());
        let lip_m = rest.arch_height_m[i] + rest.wheel_centre_height_m[i];
        let lip_row = &self.arch_row + solved.row(|r| r.wheel_centre_height_m[i]);
        let radius_m = m_from_mm(standing.known.van.tyres[axle_of(i)].unloaded_radius_mm);
        CornerSit {
            corner: CORNER_WORDS[i],
            arch_height_mm: self.stretched_mm(rest.arch_height_m[i], &self.arch_row),
            lowest_rest_mm: mm_from_m(band.lowest_arch_height_m[i]),
            highest_rest_mm: mm_from_m(band.highest_arch_height_m[i]),
            arch_gap_mm: self.stretched_mm(rest.arch_height_m[i] - radius_m, &self.arch_gap_row()),
            lip_height_above_ground_mm: self.stretched_mm(lip_m, &lip_row),
            corner_load_kg: self
                .sitting
                .figure(kg_from_n(rest.wheel_load_n[i]), &solved.row(|r| load_kg(r, i))),
            drop_against_today_mm: self.sitting.today().map(|today| self.drop_from_mm(today)),
            drop_against_original_mm: self.drop_from_mm(self.sitting.as_new()),
            travel: self.travel(),
        }
    }

    fn travel(&self) -> CornerTravel {
        let limits = &self.sitting.solved.limits[self.i];
        CornerTravel {
            free_bump_travel_mm: self.free_bump_travel_mm(),
            bump_travel_to_twice_static_mm: self.bump_travel_to_twice_static_mm(),
            bump_travel_to_metal_mm: self.bump_travel_to_metal_mm(),
            bump_ends_at: match limits.bump_end {
                BumpEnd::StopSolid => TravelEnd::BumpStopSolid,
                BumpEnd::DamperClosed => TravelEnd::DamperClosed,
                BumpEnd::CoilBind => TravelEnd::CoilBind,
                BumpEnd::Linkage => TravelEnd::EndOfLinkage,
            },
            rebound_travel_mm: self.rebound_travel_mm(),
            rebound_ends_at: match limits.rebound_end {
                ReboundEnd::DamperOpen => TravelEnd::DamperOpen,
                ReboundEnd::Linkage => TravelEnd::EndOfLinkage,
            },
            captive_in_hand_mm: self.captive_in_hand_mm(),
            coil_bind_margin_mm: self.sitting.coil_bind_margin_m(self.i).map(mm_from_m),
        }
    }

    fn drop_from_mm(&self, other: &Solved) -> Figure {
        let i = self.i;
        let drop_m = other.rest.arch_height_m[i] - self.sitting.rest().arch_height_m[i];
        let row = self.sitting.standing.belief.padded(&other.row(|r| r.arch_height_m[i])) - &self.arch_row;
        self.stretch().flipped().of(self.sitting.figure_mm(drop_m, &row))
    }

    /// To first touch of the bump stop; negative where it is engaged at rest, mm. Absent without a stop.
    pub fn free_bump_travel_mm(&self) -> Option<Figure> {
        let free_m = self.sitting.free_bump_m(self.i)?;
        Some(self.stretched_mm(free_m, &self.end_row(-1.0, |end| end.free_bump)))
    }

    /// To twice the static load, mm; absent where metal comes first.
    fn bump_travel_to_twice_static_mm(&self) -> Option<Figure> {
        let to_m = self.sitting.solved.to_twice_static_m(self.i)?;
        let corner = &self.sitting.solved.van.corners[self.i];
        // travel t at twice the static force from rest t₀: F(t, p) = 2 F(t₀, p), so F' dt = (2 F'₀) dt₀ + (2 ∂F₀ - ∂F) dp
        let rest = self.sitting.rest().axle_travel(self.i);
        let there_m = rest.moved(to_m);
        let (here, there) = (corner.forces_at(rest), corner.forces_at(there_m));
        let (parts_here, parts_there) = (corner.at_travel(rest), corner.at_travel(there_m));
        let per_travel = 2.0 * here.rate_n_per_m / there.rate_n_per_m - 1.0;
        let row = self.with_own(per_travel * self.travel_row(), |parameter| {
            let [here_n, there_n] =
                [&parts_here, &parts_there].map(|parts| parts.force_slope_in_heave(parameter));
            (2.0 * here_n - there_n) / there.rate_n_per_m
        });
        Some(self.sitting.figure_mm(to_m, &row))
    }

    /// To metal, mm.
    pub fn bump_travel_to_metal_mm(&self) -> Figure {
        let to_m = self.sitting.solved.limits[self.i].to_metal_m;
        self.stretched_mm(to_m, &self.end_row(-1.0, |end| end.to_metal))
    }

    /// Rebound travel, mm.
    pub fn rebound_travel_mm(&self) -> Figure {
        let rebound_m = self.sitting.solved.limits[self.i].rebound_m;
        let row = self.end_row(1.0, |end| end.rebound);
        self.stretch().flipped().of(self.sitting.figure_mm(rebound_m, &row))
    }

    /// Spring compression left at full rebound, mm: positive, the spring is captive. Absent where it is not known.
    pub fn captive_in_hand_mm(&self) -> Option<Figure> {
        let in_hand_m = self.sitting.captive_in_hand_m(self.i)?;
        Some(self.sitting.figure_mm(in_hand_m, &self.end_row(0.0, |end| end.captive_in_hand)))
    }

    /// A figure that is stretched as the arch height is.
    fn stretched_mm(&self, value_m: f64, row: &DVector<f64>) -> Figure {
        self.stretch().of(self.sitting.figure_mm(value_m, row))
    }

    fn stretch(&self) -> Stretch {
        let found = || self.sitting.stretch(&self.arch_row, |rest| rest.arch_height_m[self.i]);
        *self.shared().stretch.get_or_init(found)
    }

    fn shared(&self) -> &OfCorner {
        &self.sitting.shared().corners[self.i]
    }

    fn travel_row(&self) -> &DVector<f64> {
        self.travel_row.get_or_init(|| self.sitting.solved.row(|r| r.travel_m[self.i]))
    }

    /// The arch gap also answers to the tyre's own radius.
    pub(super) fn arch_gap_row(&self) -> DVector<f64> {
        let radius = |parameter| if matches!(parameter, Parameter::TyreRadius(_)) { -1.0 } else { 0.0 };
        self.with_own(self.arch_row.clone(), radius)
    }

    /// At a fixed rest an end of travel moves with whatever of this corner is not as stated.
    fn end_row(&self, per_travel: f64, end: fn(&EndSlope) -> f64) -> DVector<f64> {
        let slopes = &self.sitting.standing.shared.end_slopes;
        self.with_own(per_travel * self.travel_row(), |parameter| slopes.by(self.i, parameter, end))
    }

    /// A row, and what is added to it by the corner's own parts, per unit of each parameter.
    fn with_own(&self, mut row: DVector<f64>, slope: impl Fn(Parameter) -> f64) -> DVector<f64> {
        for &(k, parameter, share) in self.shared().own.get_or_init(|| self.own_parts()) {
            row[k] += share * slope(parameter);
        }
        row
    }

    /// What of it each unknown changes by how much, where it counts.
    fn own_parts(&self) -> Vec<(usize, Parameter, f64)> {
        let Standing { fitment, belief, .. } = self.sitting.standing;
        let is_own = |(parameter, _): &&(Parameter, f64)| parameter.corner() == Some(self.i);
        let counting = belief.unknowns.iter().enumerate().filter(|(_, unknown)| {
            unknown.effects.iter().any(|effect| is_own(&effect))
                && unknown.counts(&fitment.origins, self.sitting.state)
        });
        counting
            .flat_map(|(k, unknown)| {
                let own = unknown.effects.iter().filter(is_own);
                own.map(move |&(parameter, share)| (k, parameter, share))
            })
            .collect()
    }
}
