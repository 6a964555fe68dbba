//! How a van stands on its parts in one load state: its figures, and what a true drawing of it needs beside them.

use mechanics::statics::{FRONT, REAR, Response, side_of};

use crate::answer::KnownVan;
use crate::assembly::CannotStand;
use crate::belief::Belief;
use crate::body_sheet::BodyPoint;
use crate::checks::alignment::camber_deg;
use crate::figure::Figure;
use crate::fitment::Solved;
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::sit::{Sit, Sitting};
use crate::standing::Standing;
use crate::units::{kg_from_n, m_from_mm, mm_from_m};
use crate::wording::Axle;

/// A van at rest in one load state.
#[derive(Debug, Clone)]
pub struct Stance {
    /// How it sits.
    pub sit: Sit,
    /// Its rest.
    pub solved: Solved,
    /// Camber of each wheel against the ground, degrees; absent where the sheet has no hardpoints.
    pub camber_deg: [Option<Figure>; 4],
    /// Lowest of the low points of the sheet, and its height above the ground, mm.
    pub lowest: Option<(BodyPoint, Figure)>,
    /// Gross mass, kg.
    pub gross_kg: Figure,
    /// Centre of gravity of the whole van, seen from above: ahead of the front axle line and left of the centre plane, mm.
    pub centre_of_gravity_mm: [Figure; 2],
}

/// Travel of the wheel of an axle that has least of it left before metal.
#[derive(Debug, Clone, PartialEq)]
pub struct TravelLeft {
    /// Axle.
    pub axle: Axle,
    /// Load state.
    pub state: LoadState,
    /// Bump travel to first touch of the stop, negative where it is engaged at rest, mm; absent where there is no stop.
    pub to_stop_mm: Option<Figure>,
    /// Bump travel to metal, mm.
    pub to_metal_mm: Figure,
    /// Rebound travel, mm.
    pub rebound_mm: Figure,
}

impl KnownVan<'_> {
    /// How the van stands today.
    pub fn stands_today(&self, state: LoadState) -> Stance {
        self.stance(&self.standing_today().sitting(state))
    }

    /// How the van would stand on a kit of the catalogue, its collars set for the aim of the enquiry.
    ///
    /// # Errors
    /// When it finds no rest.
    pub fn stands_on_kit(&self, kit: &Kit, state: LoadState) -> Result<Stance, CannotStand> {
        let on = self.on_kit(&self.offered(kit))?;
        Ok(self.stance(&self.standing_on_kit(&on).sitting(state)))
    }

    /// Mean drop of the four arches against today with a kit set for the aim, mm; absent where the van finds no rest.
    pub fn mean_drop_on_kit_mm(&self, kit: &Kit, state: LoadState) -> Option<Figure> {
        let on = self.on_kit(&self.offered(kit)).ok()?;
        self.standing_on_kit(&on).sitting(state).mean_drop_against_today_mm()
    }

    /// Travel that is left in every load state with a kit set for the aim, axle by axle.
    ///
    /// # Errors
    /// When it finds no rest.
    pub fn travel_left_on_kit(&self, kit: &Kit) -> Result<Vec<TravelLeft>, CannotStand> {
        let on = self.on_kit(&self.offered(kit))?;
        Ok(travel_left(&self.standing_on_kit(&on)))
    }

    /// Travel that is left in every load state as the van stands today, axle by axle.
    pub fn travel_left_today(&self) -> Vec<TravelLeft> {
        travel_left(&self.standing_today())
    }

    /// Mean arch height of front and rear axle that the aim of the enquiry asks for, in its load state, mm.
    pub fn aimed_arch_height_mm(&self) -> [f64; 2] {
        self.aimed_arch_m(&self.enquiry.aim).map(mm_from_m)
    }

    fn stance(&self, sitting: &Sitting) -> Stance {
        let (solved, belief) = (sitting.solved, sitting.standing.belief);
        let height = |point: &BodyPoint| solved.height_figure_mm(belief, point.at_mm.map(m_from_mm));
        let points = self.van.sheet.body.underbody.iter().map(|point| (point.clone(), height(point)));
        Stance {
            camber_deg: std::array::from_fn(|i| camber_deg(self, solved, belief, i)),
            lowest: points.min_by(|a, b| a.1.value.total_cmp(&b.1.value)),
            gross_kg: sitting.gross_kg().clone(),
            centre_of_gravity_mm: self.centre_of_gravity_mm(solved, belief),
            sit: Sit::of(sitting),
            solved: solved.clone(),
        }
    }

    /// Where each wheel stands, seen from above: ahead of the front axle line and left of the centre plane, mm.
    pub(crate) fn wheel_places_mm(&self) -> [[f64; 2]; 4] {
        std::array::from_fn(|i| {
            let [x_m, y_m, _] = self.van.table(i / 2).wheel_centre_design_m;
            [mm_from_m(x_m), side_of(i) * mm_from_m(y_m)]
        })
    }

    /// By moments of the wheel loads about the wheels: x = Σ F x / Σ F, dx = Σ (x_i - x) dF_i / Σ F.
    pub(crate) fn centre_of_gravity_mm(&self, solved: &Solved, belief: &Belief) -> [Figure; 2] {
        let load_kg = solved.rest.wheel_load_n.map(kg_from_n);
        let total_kg: f64 = load_kg.iter().sum();
        let wheels_mm = self.wheel_places_mm();
        [0, 1].map(|axis| {
            let middle = (0..4).map(|i| load_kg[i] * wheels_mm[i][axis]).sum::<f64>() / total_kg;
            let slope = |r: &Response| {
                let moment = |i: usize| kg_from_n(r.wheel_load_n[i]) * (wheels_mm[i][axis] - middle);
                (0..4).map(moment).sum::<f64>() / total_kg
            };
            belief.figure(middle, &solved.row(slope))
        })
    }
}

fn travel_left(standing: &Standing) -> Vec<TravelLeft> {
    let left = |(axle, state): (usize, LoadState)| {
        let sitting = standing.sitting(state);
        let to_metal_m = |sitting: &Sitting, i: usize| Some(sitting.to_metal_m(i));
        let corner = sitting.least_corner([2 * axle, 2 * axle + 1], to_metal_m)?;
        Some(TravelLeft {
            axle: Axle::of(axle),
            state,
            to_stop_mm: corner.free_bump_travel_mm(),
            to_metal_mm: corner.bump_travel_to_metal_mm(),
            rebound_mm: corner.rebound_travel_mm(),
        })
    };
    [FRONT, REAR]
        .into_iter()
        .flat_map(|axle| LoadState::ALL.map(|state| (axle, state)))
        .filter_map(left)
        .collect()
}
