//! What ride does not know exactly beyond what statics does not, and how everything that is unknown reaches it.

use std::sync::Arc;

use mechanics::GRAVITY_M_PER_S2;
use mechanics::ride::RideDeviation;
use mechanics::statics::{FRONT, Parameter, REAR, axle_of};
use nalgebra::DVector;

use crate::assembly::PreparedVan;
use crate::belief::{Belief, Origin, Part, Unknown};
use crate::damping::Damping;
use crate::figure::{Evidence, NINE_IN_TEN_SD};
use crate::fitment::{Fitment, Solved};
use crate::load_list::LoadState;
use crate::tolerances::Tolerances;
use crate::units::share_from_percent;
use crate::wording::{Axle, Cause, Remedy, Springs};

/// An input of the ride computation that may be off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Input {
    Travel(usize),
    AxleLoad(usize),
    SpringRate(usize),
    StopStiffness(usize),
    StopHeight(usize),
    TyreRate(usize),
    Damping(usize),
    Friction(usize),
    Inertia,
}

impl Input {
    /// All of them.
    pub(super) fn all() -> impl Iterator<Item = Self> {
        let of_axles = [
            Self::Travel,
            Self::AxleLoad,
            Self::SpringRate,
            Self::StopStiffness,
            Self::StopHeight,
            Self::TyreRate,
            Self::Damping,
            Self::Friction,
        ];
        of_axles
            .into_iter()
            .flat_map(|of: fn(usize) -> Self| [of(FRONT), of(REAR)])
            .chain(std::iter::once(Self::Inertia))
    }

    /// A van that is further off by an amount of this input, in its SI unit or as a share.
    pub(super) fn off_by(self, amount: f64, expected: &RideDeviation) -> RideDeviation {
        let mut off = *expected;
        match self {
            Self::Travel(axle) => off.travel_m[axle] += amount,
            Self::AxleLoad(axle) => off.axle_load_kg[axle] += amount,
            Self::SpringRate(axle) => off.spring_rate[axle] += amount,
            Self::StopStiffness(axle) => off.stop_stiffness[axle] += amount,
            Self::StopHeight(axle) => off.stop_height_m[axle] += amount,
            Self::TyreRate(axle) => off.tyre_rate[axle] += amount,
            Self::Damping(axle) => off.damping[axle] += amount,
            Self::Friction(axle) => off.friction[axle] += amount,
            Self::Inertia => off.inertia += amount,
        }
        off
    }

    /// How this input answers to every unknown of a belief.
    pub(super) fn row(
        self,
        belief: &Belief,
        fitment: &Fitment,
        solved: &Solved,
        state: LoadState,
    ) -> DVector<f64> {
        let response = |k: usize, quantity: &dyn Fn(usize) -> f64, axle: usize| {
            if k < solved.responses.len() { quantity(2 * axle) + quantity(2 * axle + 1) } else { 0.0 }
        };
        DVector::from_fn(belief.unknowns.len(), |k, _| {
            let unknown = &belief.unknowns[k];
            if !unknown.counts(&fitment.origins, state) {
                return 0.0;
            }
            match self {
                Self::Travel(axle) => 0.5 * response(k, &|i| solved.responses[k].travel_m[i], axle),
                Self::AxleLoad(axle) => {
                    response(k, &|i| solved.responses[k].wheel_load_n[i], axle) / GRAVITY_M_PER_S2
                }
                _ => self.own_share(unknown, fitment),
            }
        })
    }

    /// How an input that is a part's own answers to one unknown.
    fn own_share(self, unknown: &Unknown, fitment: &Fitment) -> f64 {
        let of_axle = |axle: usize, share: &dyn Fn(Parameter) -> f64| -> f64 {
            let effects = unknown.effects.iter();
            let on_axle = effects.filter(|(parameter, _)| parameter.corner().map(axle_of) == Some(axle));
            // both corners of an axle count half each
            on_axle.map(|&(parameter, amount)| 0.5 * amount * share(parameter)).sum()
        };
        let said = |is: bool| f64::from(u8::from(is));
        match self {
            Self::Travel(_) | Self::AxleLoad(_) => 0.0,
            Self::SpringRate(axle) => of_axle(axle, &|parameter| match parameter {
                Parameter::SpringRate(_) | Parameter::SpringRateAtLoad(..) => 1.0,
                // the wheel rate has the motion ratio squared
                Parameter::SpringTravel(_) => 2.0,
                _ => 0.0,
            }),
            Self::StopStiffness(axle) => {
                of_axle(axle, &|parameter| said(matches!(parameter, Parameter::StopStiffness(_))))
            }
            Self::StopHeight(axle) => {
                of_axle(axle, &|parameter| said(matches!(parameter, Parameter::StopHeight(_))))
            }
            Self::TyreRate(axle) => {
                of_axle(axle, &|parameter| said(matches!(parameter, Parameter::TyreRate(_))))
            }
            Self::Damping(axle) => match &unknown.cause {
                Cause::DampingForce(of) => {
                    let concerned = match of.origin {
                        Origin::AsNew => fitment.parts[axle].damping.is_original(),
                        _ => true,
                    };
                    said(of.axle == Axle::of(axle) && concerned)
                }
                Cause::DamperWear(of) => -said(*of == Axle::of(axle)),
                _ => 0.0,
            },
            Self::Friction(axle) => said(unknown.cause == Cause::DryFriction(Axle::of(axle))),
            Self::Inertia => said(unknown.cause == Cause::Inertia),
        }
    }
}

/// Unknowns of the van that only ride feels: inertia, friction, and the force of its original dampers, which the van
/// as it is and new original parts share.
pub(super) fn of_the_van(van: &PreparedVan, tolerances: &Tolerances) -> Vec<Unknown> {
    let unknown = |cause, percent: f64, evidence, remedy| Unknown {
        cause,
        part: Part::Van,
        states: None,
        effects: Vec::new(),
        mean: 0.0,
        sd: share_from_percent(percent) / NINE_IN_TEN_SD,
        evidence,
        remedy,
    };
    let (inertia_percent, evidence) = match van.sheet.running_order.inertia_kg_m2 {
        Some(_) => (tolerances.inertia_stated_percent, Evidence::MakersFigure),
        None => (tolerances.inertia_estimated_percent, Evidence::Estimated),
    };
    let mut unknowns = vec![unknown(Cause::Inertia, inertia_percent, evidence, Remedy::WeighAndPlace)];
    let originals = van.original_parts();
    for axle in [FRONT, REAR] {
        let of = Springs { axle: Axle::of(axle), origin: Origin::AsNew };
        let (percent, evidence) = force_tolerance(&originals[axle].damping, tolerances);
        unknowns.push(unknown(Cause::DampingForce(of), percent, evidence, Remedy::DamperCurve));
        let friction = Cause::DryFriction(Axle::of(axle));
        unknowns.push(unknown(
            friction,
            tolerances.friction_percent,
            Evidence::Estimated,
            Remedy::PartOnTheBench,
        ));
    }
    unknowns
}

/// Unknown force of dampers other than the original ones, of one origin.
pub(super) fn of_other_dampers(fitment: &Fitment, origin: Origin, tolerances: &Tolerances) -> Vec<Unknown> {
    [FRONT, REAR]
        .into_iter()
        .filter(|&axle| fitment.origins[axle].damper == origin && !fitment.parts[axle].damping.is_original())
        .map(|axle| {
            let (percent, evidence) = force_tolerance(&fitment.parts[axle].damping, tolerances);
            Unknown {
                cause: Cause::DampingForce(Springs { axle: Axle::of(axle), origin }),
                part: Part::Damper(axle, origin),
                states: None,
                effects: Vec::new(),
                mean: 0.0,
                sd: share_from_percent(percent) / NINE_IN_TEN_SD,
                evidence,
                remedy: Remedy::DamperCurve,
            }
        })
        .collect()
}

/// Force that the dampers on the van today have lost, as a share of the new one.
pub(super) fn wear(tolerances: &Tolerances) -> Vec<Unknown> {
    [FRONT, REAR]
        .into_iter()
        .map(|axle| Unknown {
            cause: Cause::DamperWear(Axle::of(axle)),
            part: Part::Damper(axle, Origin::Fitted),
            states: None,
            effects: Vec::new(),
            mean: share_from_percent(tolerances.damping_worn_expected_percent),
            sd: share_from_percent(tolerances.damping_worn_percent) / NINE_IN_TEN_SD,
            evidence: Evidence::Estimated,
            remedy: Remedy::DamperCurve,
        })
        .collect()
}

/// Share of their force that the dampers of an axle are expected to have lost.
pub(super) fn expected_wear(unknowns: &[Arc<Unknown>], axle: usize) -> f64 {
    let wear = Cause::DamperWear(Axle::of(axle));
    unknowns.iter().filter(|unknown| unknown.cause == wear).map(|unknown| unknown.mean).sum()
}

fn force_tolerance(damping: &Damping, tolerances: &Tolerances) -> (f64, Evidence) {
    if damping.is_stated() {
        (tolerances.damping_stated_percent, Evidence::MakersFigure)
    } else {
        (tolerances.damping_of_class_percent, Evidence::Estimated)
    }
}
