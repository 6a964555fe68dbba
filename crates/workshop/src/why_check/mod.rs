//! The chain behind a check: its inputs, its steps with their numbers, its equation and source.

mod body;
mod loads;
mod wheels;

use mechanics::handling::Handling;

use self::wheels::WheelChain;
use crate::answer::KnownVan;
use crate::assembly::CannotStand;
use crate::checks::alignment::{ALIGNED_IN, Angle, shift_deg, worse_wheel};
use crate::checks::lamps::AIMED_IN;
use crate::checks::{Check, checks, wheel_checks};
use crate::facts::{Language, Words};
use crate::fitment::Solved;
use crate::kit::Kit;
use crate::load_list::LoadState;
use crate::standing::Standing;
use crate::units::mm_from_m;
use crate::wheels::{Rim, Tyre};
use crate::why::Why;
use crate::wording::why::capital;
use crate::wording::why_check::{CheckEquation, CheckInput, CheckStep};
use crate::wording::why_quantity::{NumberFrom, Quantity};
use crate::wording::{Axle, Said, check_figure, check_named, evidence, finding, load_state};

/// A check whose chain is asked for.
#[derive(Debug, Clone, Copy)]
pub struct CheckAsked<'a> {
    /// With this kit set for the aim; as the van stands today where absent.
    pub kit: Option<&'a Kit>,
    /// Name of the check.
    pub name: &'a str,
    /// Axle, where it is of one; that where it came out worst where absent.
    pub axle: Option<Axle>,
    /// Load state; that in which it came out worst where absent.
    pub state: Option<LoadState>,
    /// Rim and tyre; those of the enquiry where absent.
    pub wheels: Option<(&'a Rim, &'a Tyre)>,
}

/// Inputs, steps and equations of one check.
pub(super) struct Chain {
    inputs: Vec<Words>,
    steps: Vec<Words>,
    equations: Vec<Words>,
}

fn said(said: &dyn Said) -> Words {
    Words::of(|language| said.words(language))
}

/// A number by name.
fn quantity(what: [&'static str; 2], value: f64, unit: &'static str, from: NumberFrom) -> Quantity {
    Quantity { what, value, unit, from }
}

impl Chain {
    fn of(inputs: &[CheckInput], steps: &[CheckStep], equation: CheckEquation) -> Self {
        Self {
            inputs: inputs.iter().map(|input| said(input)).collect(),
            steps: steps.iter().map(|step| said(step)).collect(),
            equations: vec![said(&equation)],
        }
    }

    fn of_numbers(
        inputs: impl IntoIterator<Item = Quantity>,
        steps: impl IntoIterator<Item = Quantity>,
        equation: CheckEquation,
    ) -> Self {
        let inputs: Vec<CheckInput> = inputs.into_iter().map(CheckInput::Number).collect();
        let steps: Vec<CheckStep> = steps.into_iter().map(CheckStep::Number).collect();
        Self::of(&inputs, &steps, equation)
    }

    /// The chain with what the check says among its inputs.
    fn with_input(mut self, check: &Check) -> Self {
        self.inputs.insert(0, check.words.clone());
        self
    }

    /// What the check says, where nothing more goes into it or where it waits for something to be looked at.
    fn as_said(check: &Check) -> Self {
        let inputs = [CheckInput::AsSaid(check.words.clone())];
        let equation = if check.figure.is_some() { CheckEquation::Compared } else { CheckEquation::ByEye };
        Self::of(&inputs, &[], equation)
    }
}

/// All that chains look at.
struct OnWheels<'a> {
    standing: Standing<'a>,
    wheels: Option<(&'a Rim, &'a Tyre)>,
}

impl KnownVan<'_> {
    /// The chain behind a check of an axle (where it is of one), in a load state or in the one where it came out worst:
    /// with a kit set for the aim, or as the van stands today. Nothing where this van has no such check.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn why_check(&self, asked: &CheckAsked) -> Result<Option<Why>, CannotStand> {
        let on = asked.kit.map(|kit| self.on_kit(kit)).transpose()?;
        let standing = self.standing(on.as_deref());
        let mut checks = match on.as_deref() {
            Some(on) => self.checks_on(on).to_vec(),
            None => checks(&standing),
        };
        if let Some((rim, tyre)) = asked.wheels {
            let of_pair = wheel_checks(&standing, rim, tyre);
            // what the enquiry's own wheels say gives way
            checks.retain(|check| of_pair.iter().all(|other| other.check != check.check));
            checks.extend(of_pair);
        }
        let wanted = |check: &&Check| {
            check.check == asked.name
                && (check.axle.is_none() || asked.axle.is_none() || check.axle == asked.axle)
                && (asked.state.is_none() || check.state.is_none() || check.state == asked.state)
        };
        let worst = checks.iter().filter(wanted).min_by(|a, b| {
            let margin = |check: &Check| check.margin().unwrap_or(f64::INFINITY);
            b.finding.cmp(&a.finding).then(margin(a).total_cmp(&margin(b)))
        });
        let Some(check) = worst else { return Ok(None) };
        let chosen = self.enquiry.wheels.as_ref().and_then(|choice| self.catalogue.wheels.chosen(choice));
        let wheels = asked.wheels.or(chosen);
        Ok(Some(self.why_of(check, &OnWheels { standing, wheels }, asked)))
    }

    fn why_of(&self, check: &Check, on: &OnWheels, asked: &CheckAsked) -> Why {
        let Chain { mut inputs, mut steps, equations } =
            self.chain(check, on).unwrap_or_else(|| Chain::as_said(check));
        let causes = check.figure.iter().flat_map(|figure| &figure.widened_by);
        for cause in causes.map(|cause| Words::of(|l| crate::wording::why::cause_input(l, cause))) {
            if !inputs.contains(&cause) {
                inputs.push(cause);
            }
        }
        steps.push(match (&check.limit, &check.figure) {
            (Some(limit), _) => Words::of(|l| {
                format!("{}: {}", finding(l, check.finding), crate::wording::limit(l, limit, check.unit))
            }),
            (None, Some(_)) => said(&CheckStep::OnlyTold),
            (None, None) => said(&CheckStep::NothingComputed),
        });
        let of_pair = asked.wheels.map(|(rim, tyre)| format!("{} + {}", rim.full_name(), tyre.full_name()));
        let fitted = asked.kit.map(|kit| kit.name.clone());
        let fitted = [fitted, of_pair].into_iter().flatten().collect::<Vec<String>>().join(", ");
        Why {
            asked: Words::of(|language| asked_words(language, check, &fitted)),
            value: check.figure.clone(),
            answer: Words::of(|language| answered(language, check)),
            inputs,
            steps,
            equations,
        }
    }

    fn chain(&self, check: &Check, on: &OnWheels) -> Option<Chain> {
        let of_wheels = on.wheels.and_then(|(rim, tyre)| {
            WheelChain { known: self, solved: on.standing.solved, rim, tyre }.of(check)
        });
        if of_wheels.is_some() {
            return of_wheels;
        }
        let state = check.state?;
        let here = on.standing.at(state);
        match check.check {
            "lamp_aim_before_setting" => self.lamp_chain(self.solved_today(AIMED_IN), here, "before"),
            "lamp_aim_after_setting" => self.lamp_chain(on.standing.at(AIMED_IN), here, "after"),
            "ground_clearance" | "lamp_height" | "tow_ball_height" | "lift_arm_clearance" => {
                self.height_chain(check.check, here, state)
            }
            "approach_angle" | "departure_angle" | "breakover_angle" => self.ramp_chain(check.check, here),
            "front_roll_stiffness"
            | "rear_roll_stiffness"
            | "front_roll_centre_height"
            | "rear_roll_centre_height"
            | "front_bar_uprated"
            | "rear_bar_uprated"
            | "roll_gradient"
            | "front_transfer_share" => self.handling_chain(check, here),
            "static_stability_factor" => Some(stability_chain(here)),
            "load_sensing_brake_valve" | "height_sensor" | "driver_assistance" => {
                Some(self.height_change_chain(check, here))
            }
            "hoses_and_leads" => self.droop_chain(check, here),
            "damper_stroke" | "driveshaft_angle" | "drop_link_angle" | "axle_pitch" => {
                self.travel_chain(check, here)
            }
            "tow_ball_load" => self.ball_chain(state),
            name => {
                if let Some(chain) = self.figure_chain(check, on, state) {
                    return Some(chain);
                }
                self.alignment_chain(here, Angle::of_check(name)?, check.axle?)
            }
        }
    }

    fn lamp_chain(&self, aimed: &Solved, here: &Solved, when: &'static str) -> Option<Chain> {
        let lamp = self.van.sheet.body.lamp.as_ref()?;
        let [was, is] = [aimed, here].map(|solved| solved.rest.body.pitch_rad);
        let moved_percent = crate::checks::aim_change_percent(was - is);
        let aim_percent = lamp.initial_aim_percent;
        Some(Chain::of(
            &[CheckInput::LampMark(aim_percent)],
            &[
                CheckStep::Pitch {
                    before: when == "before",
                    was_deg: was.to_degrees(),
                    is_deg: is.to_degrees(),
                },
                CheckStep::BeamTurns { nose_up_deg: (was - is).to_degrees(), percent: moved_percent },
                CheckStep::Aim([aim_percent, moved_percent, aim_percent + moved_percent]),
            ],
            CheckEquation::LampAim,
        ))
    }

    fn alignment_chain(&self, here: &Solved, angle: Angle, axle: Axle) -> Option<Chain> {
        let axle = axle as usize;
        let (target, curve) = angle.target_and_curve(&self.van, axle);
        let (target, curve) = (target?, curve?);
        let as_new = self.solved_as_new(ALIGNED_IN);
        let corner = worse_wheel(here, as_new, angle, curve, axle);
        let [new, now] = [as_new, here].map(|solved| {
            let rest = &solved.rest;
            let against_body_deg = curve.at_both(rest.axle_travel(corner)).value.to_degrees();
            [mm_from_m(rest.travel_m[corner]), against_body_deg, angle.by_body_deg(&rest.body, corner)]
        });
        let moved_deg = shift_deg(here, as_new, angle, curve, corner);
        Some(Chain::of(
            &[CheckInput::Target {
                from_deg: target.from_deg,
                to_deg: target.to_deg,
                adjusts_deg: target.adjusts_deg,
            }],
            &[
                CheckStep::AnglesAsNew { corner, of: new },
                CheckStep::AnglesNow { corner, of: now },
                CheckStep::AngleMoved([target.middle_deg(), moved_deg, target.middle_deg() + moved_deg]),
            ],
            CheckEquation::Alignment,
        ))
    }
}

fn stability_chain(here: &Solved) -> Chain {
    let stability = Handling::of(&here.van, &here.rest).stability;
    let lengths_mm = [stability.track_m, stability.centre_of_gravity_height_m].map(mm_from_m);
    Chain::of(
        &[CheckInput::TrackAndHeight(lengths_mm)],
        &[CheckStep::Stability([stability.factor(), stability.tilt_angle_rad().to_degrees()])],
        CheckEquation::Stability,
    )
}

fn asked_words(language: Language, check: &Check, fitted: &str) -> String {
    let axle = check.axle.map_or("", |axle| crate::wording::axle(language, axle));
    let state = check.state.map_or("", |state| load_state(language, state));
    let fitted = if fitted.is_empty() { language.pick("today", "heute") } else { fitted };
    let of = format!("{} {axle}", capital(check_named(language, check.check)));
    let parts = [of.trim_end(), state, fitted];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<&str>>().join(", ")
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
