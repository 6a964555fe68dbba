//! The chain behind a check: its inputs, its steps with their numbers, its equation and source.

use mechanics::handling::Handling;

use crate::answer::{FitmentAnswer, KnownVan};
use crate::assembly::CannotStand;
use crate::checks::Check;
use crate::checks::alignment::{ALIGNED_IN, Angle, shift_deg, worse_wheel};
use crate::checks::lamps::AIMED_IN;
use crate::facts::{Language, Words};
use crate::fitment::Solved;
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::units::{m_from_mm, mm_from_m};
use crate::why::Why;
use crate::wording::why_check::{CheckEquation, CheckInput, CheckStep};
use crate::wording::{Axle, Said, check_figure, check_named, evidence, finding, load_state};

/// Checks whose chain can be asked for.
pub const CHECKS_WITH_A_CHAIN: [&str; 8] = [
    "lamp_aim_before_setting",
    "lamp_aim_after_setting",
    "ground_clearance",
    "camber",
    "toe",
    "caster",
    "roll_gradient",
    "static_stability_factor",
];

/// Inputs, steps and equation of one check.
struct Chain {
    inputs: Vec<CheckInput>,
    steps: Vec<CheckStep>,
    equation: CheckEquation,
}

impl KnownVan<'_> {
    /// The chain behind a check of an axle (where it is of one), in a load state or in the one where it came out worst:
    /// with a kit set for the aim, or as the van stands today. Nothing where this van has no such check.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn why_check(
        &self,
        kit: Option<&Kit>,
        name: &str,
        axle: Axle,
        state: Option<LoadState>,
    ) -> Result<Option<Why>, CannotStand> {
        let (answer, solved): (FitmentAnswer, Vec<Solved>) = match kit {
            Some(kit) => {
                let fitment = self.set_up_fitment(kit)?;
                let belief = self.belief_with(&fitment);
                let solved = self.solved_on(&fitment, &belief)?;
                (self.described(&fitment, &belief, &solved), solved)
            }
            None => (self.today(), LoadState::ALL.map(|state| self.solved_today(state).clone()).to_vec()),
        };
        let wanted = |check: &&Check| {
            check.check == name
                && check.axle.is_none_or(|of| of == axle)
                && (state.is_none() || check.state == state)
        };
        let worst = answer.checks.iter().filter(wanted).min_by(|a, b| {
            let margin = |check: &Check| check.margin().unwrap_or(f64::INFINITY);
            b.finding.cmp(&a.finding).then(margin(a).total_cmp(&margin(b)))
        });
        let Some(check) = worst else { return Ok(None) };
        let chain = check.state.and_then(|state| self.chain(check, &solved, state));
        let Some(Chain { inputs, steps, equation }) = chain else { return Ok(None) };
        let id = kit.map(|kit| kit.id.as_str());
        let said = |said: &dyn Said| Words::of(|language| said.words(language));
        let mut inputs: Vec<Words> = inputs.iter().map(|input| said(input)).collect();
        let causes = check.figure.iter().flat_map(|figure| &figure.widened_by);
        inputs.extend(causes.map(|cause| Words::of(|l| crate::wording::why::cause_input(l, cause))));
        let mut steps: Vec<Words> = steps.iter().map(|step| said(step)).collect();
        steps.extend(check.limit.as_ref().map(|limit| {
            Words::of(|l| {
                format!("{}: {}", finding(l, check.finding), crate::wording::limit(l, limit, check.unit))
            })
        }));
        Ok(Some(Why {
            asked: Words::of(|language| asked(language, check, id)),
            value: check.figure.clone(),
            answer: Words::of(|language| answered(language, check)),
            inputs,
            steps,
            equations: vec![said(&equation)],
        }))
    }

    fn chain(&self, check: &Check, solved: &[Solved], state: LoadState) -> Option<Chain> {
        let here = &solved[state as usize];
        match check.check {
            "lamp_aim_before_setting" => self.lamp_chain(self.solved_today(AIMED_IN), here, "before"),
            "lamp_aim_after_setting" => self.lamp_chain(&solved[AIMED_IN as usize], here, "after"),
            "ground_clearance" => self.clearance_chain(here, state),
            "roll_gradient" => roll_chain(here),
            "static_stability_factor" => Some(stability_chain(here)),
            name => self.alignment_chain(here, Angle::of_check(name)?, check.axle?),
        }
    }

    fn lamp_chain(&self, aimed: &Solved, here: &Solved, when: &'static str) -> Option<Chain> {
        let lamp = self.van.sheet.body.lamp.as_ref()?;
        let [was, is] = [aimed, here].map(|solved| solved.band.middle.body.pitch_rad);
        let moved_percent = crate::checks::aim_change_percent(was - is);
        let aim_percent = lamp.initial_aim_percent;
        Some(Chain {
            inputs: vec![CheckInput::LampMark(aim_percent)],
            steps: vec![
                CheckStep::Pitch {
                    before: when == "before",
                    was_deg: was.to_degrees(),
                    is_deg: is.to_degrees(),
                },
                CheckStep::BeamTurns { nose_up_deg: (was - is).to_degrees(), percent: moved_percent },
                CheckStep::Aim([aim_percent, moved_percent, aim_percent + moved_percent]),
            ],
            equation: CheckEquation::LampAim,
        })
    }

    fn clearance_chain(&self, here: &Solved, state: LoadState) -> Option<Chain> {
        let body = &here.band.middle.body;
        let points = self.van.sheet.body.underbody.iter();
        let height_mm = |solved: &Solved, at_mm: [f64; 3]| {
            mm_from_m(solved.band.middle.body.height_of_m(at_mm.map(m_from_mm)))
        };
        let lowest = points.min_by(|a, b| height_mm(here, a.at_mm).total_cmp(&height_mm(here, b.at_mm)))?;
        Some(Chain {
            inputs: vec![CheckInput::Point { name: lowest.name.clone(), at_mm: lowest.at_mm }],
            steps: vec![
                CheckStep::Body {
                    heave_mm: mm_from_m(body.heave_m),
                    pitch_deg: body.pitch_rad.to_degrees(),
                    roll_deg: body.roll_rad.to_degrees(),
                },
                CheckStep::PointHeight([
                    height_mm(here, lowest.at_mm),
                    height_mm(self.solved_today(state), lowest.at_mm),
                ]),
            ],
            equation: CheckEquation::Height,
        })
    }

    fn alignment_chain(&self, here: &Solved, angle: Angle, axle: Axle) -> Option<Chain> {
        let axle = axle as usize;
        let (target, curve) = angle.target_and_curve(&self.van, axle);
        let (target, curve) = (target?, curve?);
        let as_new = self.solved_as_new(ALIGNED_IN);
        let corner = worse_wheel(here, as_new, angle, curve, axle);
        let [new, now] = [as_new, here].map(|solved| {
            let rest = &solved.band.middle;
            let against_body_deg = curve.at_both(rest.axle_travel(corner)).value.to_degrees();
            [mm_from_m(rest.travel_m[corner]), against_body_deg, angle.by_body_deg(&rest.body, corner)]
        });
        let moved_deg = shift_deg(here, as_new, angle, curve, corner);
        Some(Chain {
            inputs: vec![CheckInput::Target {
                from_deg: target.from_deg,
                to_deg: target.to_deg,
                adjusts_deg: target.adjusts_deg,
            }],
            steps: vec![
                CheckStep::AnglesAsNew { corner, of: new },
                CheckStep::AnglesNow { corner, of: now },
                CheckStep::AngleMoved([target.middle_deg(), moved_deg, target.middle_deg() + moved_deg]),
            ],
            equation: CheckEquation::Alignment,
        })
    }
}

fn roll_chain(here: &Solved) -> Option<Chain> {
    let handling = Handling::of(&here.van, &here.band.middle);
    let balance = handling.balance.as_ref().ok()?;
    let stiffness = handling.roll_stiffness;
    let per_deg = stiffness.map(|axle| axle.on_rigid_wheels_nm_per_rad().to_radians());
    let tyres = stiffness.map(|axle| axle.tyres_nm_per_rad.to_radians());
    Some(Chain {
        inputs: vec![
            CheckInput::SprungMass {
                kg: balance.sprung_mass_kg,
                height_mm: mm_from_m(balance.sprung_cg_height_m),
            },
            CheckInput::RollStiffness { springs: per_deg, tyres },
        ],
        steps: vec![
            CheckStep::RollArm(mm_from_m(balance.roll_arm_m)),
            CheckStep::RollGradient(balance.roll_gradient_deg_per_g()),
        ],
        equation: CheckEquation::Roll,
    })
}

fn stability_chain(here: &Solved) -> Chain {
    let stability = Handling::of(&here.van, &here.band.middle).stability;
    let lengths_mm = [stability.track_m, stability.centre_of_gravity_height_m].map(mm_from_m);
    Chain {
        inputs: vec![CheckInput::TrackAndHeight(lengths_mm)],
        steps: vec![CheckStep::Stability([stability.factor(), stability.tilt_angle_rad().to_degrees()])],
        equation: CheckEquation::Stability,
    }
}

fn asked(language: Language, check: &Check, kit: Option<&str>) -> String {
    let axle = check.axle.map_or("", |axle| crate::wording::axle(language, axle));
    let state = check.state.map_or("", |state| load_state(language, state));
    let kit = kit.unwrap_or(language.pick("today", "heute"));
    format!("{} {axle}, {state}, {kit}", check_named(language, check.check)).replace(" ,", ",")
}

fn answered(language: Language, check: &Check) -> String {
    check.figure.as_ref().map_or_else(
        || check.words.in_language(language).to_owned(),
        |figure| {
            let from = evidence(language, figure.evidence);
            format!("{}, {from}", check_figure(language, figure, check.unit))
        },
    )
}
