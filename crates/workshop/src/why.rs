//! The chain behind what is shown: a figure, a verdict, a price, a time. Inputs with their evidence, steps with their
//! numbers, equations with their sources.

use mechanics::statics::{FRONT, REAR, axle_of};

use crate::answer::KnownVan;
use crate::assembly::{CannotStand, SpringKnowledge};
use crate::facts::{KnownFacts, Language, Words};
use crate::figure::{Evidence, Figure};
use crate::fitment::{Fitment, Solved};
use crate::kit::Kit;
use crate::linkage_sheet::LinkageSheet;
use crate::load_list::LoadState;
use crate::rules::{Condition, Rule};
use crate::shortlist::{KitOption, shortlist};
use crate::sit::Sit;
use crate::standing::Standing;
use crate::units::{bar_from_pa, kg_from_n, mm_from_m};
use crate::wording::why::{self, Equation, FactFrom, SpringFrom, SpringInput, Step};
use crate::wording::{Because, Said, family, with_range};

/// Figures whose chain can be asked for: all that shortlist and prediction show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Arch height of a corner.
    ArchHeight,
    /// Band in which friction lets a corner rest.
    FrictionBand,
    /// Arch gap of a corner.
    ArchGap,
    /// Lip of a corner above the ground.
    LipHeight,
    /// Load of a wheel.
    CornerLoad,
    /// Drop of a corner against today.
    DropAgainstToday,
    /// Drop of a corner against new original springs.
    DropAgainstOriginal,
    /// Mean drop of the four arches against today.
    MeanDrop,
    /// Travel to first touch of the bump stop.
    FreeBumpTravel,
    /// Travel to twice the load at rest.
    BumpTravelToTwiceStatic,
    /// Travel to metal.
    BumpTravelToMetal,
    /// Least travel to metal of the four corners.
    LeastBumpTravelToMetal,
    /// Rebound travel.
    ReboundTravel,
    /// Spring compression left at full rebound.
    CaptiveInHand,
    /// Room between the coils at metal.
    CoilBindMargin,
    /// Level of the van.
    Level,
    /// Lean of a corner's axle.
    Lean,
    /// Pitch of the body.
    BodyPitch,
    /// Load of a corner's axle.
    AxleLoad,
    /// What is left to the plate of a corner's axle.
    AxleMargin,
    /// Gross mass.
    Gross,
    /// What is left to the plated gross mass.
    GrossMargin,
    /// Centre of gravity of the whole van behind the front axle line.
    CentreBehindFrontAxle,
    /// Centre of gravity of the whole van left of its centre plane.
    CentreLeftOfCentre,
    /// Mass in running order.
    RunningOrder,
    /// Payload.
    Payload,
}

/// What a figure belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// A corner, or the axle of a corner.
    Corner,
    /// The van.
    Van,
}

impl Asked {
    /// Names on the command line: those of the JSON fields.
    pub const CHOICES: [(&'static str, Self); 26] = [
        ("arch_height_mm", Self::ArchHeight),
        ("friction_band_mm", Self::FrictionBand),
        ("arch_gap_mm", Self::ArchGap),
        ("lip_height_above_ground_mm", Self::LipHeight),
        ("corner_load_kg", Self::CornerLoad),
        ("drop_against_today_mm", Self::DropAgainstToday),
        ("drop_against_original_mm", Self::DropAgainstOriginal),
        ("mean_drop_against_today_mm", Self::MeanDrop),
        ("free_bump_travel_mm", Self::FreeBumpTravel),
        ("bump_travel_to_twice_static_mm", Self::BumpTravelToTwiceStatic),
        ("bump_travel_to_metal_mm", Self::BumpTravelToMetal),
        ("least_bump_travel_to_metal_mm", Self::LeastBumpTravelToMetal),
        ("rebound_travel_mm", Self::ReboundTravel),
        ("captive_in_hand_mm", Self::CaptiveInHand),
        ("coil_bind_margin_mm", Self::CoilBindMargin),
        ("level_mm", Self::Level),
        ("lean_mm", Self::Lean),
        ("body_pitch_deg", Self::BodyPitch),
        ("axle_load_kg", Self::AxleLoad),
        ("axle_margin_kg", Self::AxleMargin),
        ("gross_kg", Self::Gross),
        ("gross_margin_kg", Self::GrossMargin),
        ("centre_of_gravity_behind_front_axle_mm", Self::CentreBehindFrontAxle),
        ("centre_of_gravity_left_of_centre_mm", Self::CentreLeftOfCentre),
        ("mass_in_running_order_kg", Self::RunningOrder),
        ("payload_kg", Self::Payload),
    ];

    /// Name on the command line.
    pub fn name(self) -> &'static str {
        Self::CHOICES.iter().find(|(_, choice)| *choice == self).map_or("", |(name, _)| name)
    }

    /// What it belongs to.
    pub fn place(self) -> Place {
        match self {
            Self::MeanDrop
            | Self::LeastBumpTravelToMetal
            | Self::Level
            | Self::BodyPitch
            | Self::Gross
            | Self::GrossMargin
            | Self::CentreBehindFrontAxle
            | Self::CentreLeftOfCentre
            | Self::RunningOrder
            | Self::Payload => Place::Van,
            _ => Place::Corner,
        }
    }

    /// Whether it is of the van class alone, whatever is fitted or carried.
    fn is_of_the_sheet(self) -> bool {
        matches!(self, Self::RunningOrder | Self::Payload)
    }
}

/// The chain behind something that is shown.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Why {
    /// What was asked for.
    pub asked: Words,
    /// The figure; absent where it cannot be given, and where no figure was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<Figure>,
    /// The answer in words.
    pub answer: Words,
    /// What goes in, each with its evidence.
    pub inputs: Vec<Words>,
    /// What is done with it, each with its numbers.
    pub steps: Vec<Words>,
    /// Equations with their sources.
    pub equations: Vec<Words>,
}

/// Something that is said, in both languages.
fn words(said: &impl Said) -> Words {
    Words::of(|language| said.words(language))
}

impl KnownVan<'_> {
    /// The chain behind a figure of a corner (0 to 3) in a load state: with a kit set for the aim, or as it stands today.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn why(
        &self,
        kit: Option<&Kit>,
        asked: Asked,
        corner: usize,
        state: LoadState,
    ) -> Result<Why, CannotStand> {
        let on = kit.map(|kit| self.on_kit(kit)).transpose()?;
        let sitting = self.standing(on.as_deref()).sitting(state);
        let Standing { fitment, belief, .. } = sitting.standing;
        let (solved, sit) = (sitting.solved, &Sit::of(&sitting));
        let corner = if asked == Asked::LeastBumpTravelToMetal { least_corner(sit) } else { corner };
        let [ahead, left] = self.centre_of_gravity_mm(solved, belief);
        let value = match asked {
            Asked::CentreBehindFrontAxle => Some(ahead.negated()),
            Asked::CentreLeftOfCentre => Some(left),
            _ => self.asked_figure(sit, asked, corner),
        };
        let place = (asked.place() == Place::Corner).then_some(corner);
        let id = kit.map(|kit| kit.id.as_str());
        Ok(Why {
            asked: Words::of(|language| why::asked_figure(language, place, asked.name(), state, id)),
            answer: Words::of(|language| figure_words(language, value.as_ref(), asked.name())),
            inputs: self.inputs(fitment, solved, asked, corner, state, value.as_ref()),
            value,
            steps: self.steps(fitment, solved, sit, corner, asked).iter().map(words).collect(),
            equations: equations(asked).iter().map(words).collect(),
        })
    }

    pub(crate) fn inputs(
        &self,
        fitment: &Fitment,
        solved: &Solved,
        asked: Asked,
        corner: usize,
        state: LoadState,
        value: Option<&Figure>,
    ) -> Vec<Words> {
        let order = &self.van.sheet.running_order;
        let mut inputs = vec![Words::of(|language| why::running_order_input(language, order))];
        if asked.is_of_the_sheet() {
            return inputs;
        }
        for carried in self.enquiry.items.iter().filter(|item| item.states.contains(&state)) {
            inputs.push(Words::of(|language| why::item_input(language, &carried.item)));
        }
        inputs.push(self.spring_input(fitment, solved, corner));
        let causes = value.iter().flat_map(|figure| &figure.widened_by);
        inputs.extend(causes.map(|cause| Words::of(|language| why::cause_input(language, cause))));
        inputs
    }

    pub(crate) fn asked_figure(&self, sit: &Sit, asked: Asked, i: usize) -> Option<Figure> {
        let (corner, axle) = (&sit.corners[i], axle_of(i));
        let weight = || self.state_weight(sit.state, sit.axle_load_kg.clone());
        let order = &self.van.sheet.running_order;
        let running_kg = order.front_axle_kg + order.rear_axle_kg;
        let figure = match asked {
            Asked::ArchHeight => &corner.arch_height_mm,
            Asked::ArchGap => &corner.arch_gap_mm,
            Asked::LipHeight => &corner.lip_height_above_ground_mm,
            Asked::CornerLoad => &corner.corner_load_kg,
            Asked::DropAgainstToday => corner.drop_against_today_mm.as_ref()?,
            Asked::DropAgainstOriginal => &corner.drop_against_original_mm,
            Asked::MeanDrop => sit.mean_drop_against_today_mm.as_ref()?,
            Asked::FreeBumpTravel => corner.travel.free_bump_travel_mm.as_ref()?,
            Asked::BumpTravelToTwiceStatic => corner.travel.bump_travel_to_twice_static_mm.as_ref()?,
            Asked::BumpTravelToMetal | Asked::LeastBumpTravelToMetal => {
                &corner.travel.bump_travel_to_metal_mm
            }
            Asked::ReboundTravel => &corner.travel.rebound_travel_mm,
            Asked::CaptiveInHand => corner.travel.captive_in_hand_mm.as_ref()?,
            Asked::Level => &sit.level_mm,
            Asked::Lean => &sit.lean_mm[axle],
            Asked::BodyPitch => &sit.body_pitch_deg,
            Asked::AxleLoad => &sit.axle_load_kg[axle],
            Asked::CoilBindMargin => {
                return corner
                    .travel
                    .coil_bind_margin_mm
                    .map(|margin| Figure::exact(margin, Evidence::Computed));
            }
            Asked::FrictionBand => {
                let band = Figure {
                    low: corner.lowest_rest_mm,
                    high: corner.highest_rest_mm,
                    ..corner.arch_height_mm.clone()
                };
                return Some(band);
            }
            Asked::AxleMargin => return Some(weight().axle_margin_kg[axle].clone()),
            Asked::Gross => return Some(weight().gross_kg),
            Asked::GrossMargin => return Some(weight().gross_margin_kg),
            // of the rest with its belief, not of a sit
            Asked::CentreBehindFrontAxle | Asked::CentreLeftOfCentre => return None,
            Asked::RunningOrder => return Some(Figure::exact(running_kg, Evidence::MakersFigure)),
            Asked::Payload => {
                let payload_kg = self.van.grade.plated_gross_kg - running_kg;
                return Some(Figure::exact(payload_kg, Evidence::Computed));
            }
        };
        Some(figure.clone())
    }

    pub(crate) fn steps(
        &self,
        fitment: &Fitment,
        solved: &Solved,
        sit: &Sit,
        i: usize,
        asked: Asked,
    ) -> Vec<Step> {
        let by_moments = matches!(asked, Asked::CentreBehindFrontAxle | Asked::CentreLeftOfCentre);
        let of_van = asked.place() == Place::Van && !asked.is_of_the_sheet() && !by_moments;
        let mut steps: Vec<Step> = of_van.then_some(Step::OneWheel(i)).into_iter().collect();
        steps.extend(match asked {
            Asked::RunningOrder
            | Asked::Payload
            | Asked::CentreBehindFrontAxle
            | Asked::CentreLeftOfCentre => Vec::new(),
            Asked::AxleLoad | Asked::AxleMargin | Asked::Gross | Asked::GrossMargin | Asked::CornerLoad => {
                vec![Step::WheelStands([
                    kg_from_n(solved.band.middle.wheel_load_n[i]),
                    solved.van.corners[i].unsprung_mass_kg,
                ])]
            }
            _ => self.balance_steps(solved, i),
        });
        steps.extend(self.own_steps(solved, sit, i, asked));
        if fitment.collars[axle_of(i)] && !asked.is_of_the_sheet() {
            let adjuster = fitment.adjusters[axle_of(i)];
            steps.push(Step::Collar(adjuster, mm_from_m(fitment.collar_turned_m[i])));
        }
        steps
    }

    /// Steps of the asked figure alone.
    fn own_steps(&self, solved: &Solved, sit: &Sit, i: usize, asked: Asked) -> Vec<Step> {
        let (rest, limits, axle) = (&solved.band.middle, &solved.limits[i], axle_of(i));
        let (state, travel) = (sit.state, &sit.corners[i].travel);
        let arch_mm = rest.arch_height_m.map(mm_from_m);
        let load_kg = rest.wheel_load_n.map(kg_from_n);
        let order = &self.van.sheet.running_order;
        let grade = self.van.grade;
        let against = |other: &Solved| {
            let other_mm = mm_from_m(other.band.middle.arch_height_m[i]);
            [other_mm, other_mm - arch_mm[i]]
        };
        let axle_kg = [FRONT, REAR].map(|axle| load_kg[2 * axle] + load_kg[2 * axle + 1]);
        let gross_kg = axle_kg[0] + axle_kg[1];
        let to_metal = Step::ToMetal(mm_from_m(limits.to_metal_m), travel.bump_ends_at);
        match asked {
            Asked::ArchHeight | Asked::CornerLoad => Vec::new(),
            Asked::FrictionBand => {
                let corner = &sit.corners[i];
                vec![Step::FrictionBand([corner.lowest_rest_mm, corner.highest_rest_mm])]
            }
            Asked::ArchGap => {
                let radius_mm = self.van.tyres[axle].unloaded_radius_mm;
                vec![Step::ArchGap([radius_mm, arch_mm[i] - radius_mm])]
            }
            Asked::LipHeight => {
                let centre_mm = mm_from_m(rest.wheel_centre_height_m[i]);
                vec![Step::LipHeight([centre_mm, centre_mm + arch_mm[i]])]
            }
            Asked::DropAgainstToday => vec![Step::DropAgainstToday(against(self.solved_today(state)))],
            Asked::DropAgainstOriginal => vec![Step::DropAgainstOriginal(against(self.solved_as_new(state)))],
            Asked::MeanDrop => {
                let mean_mm = |arch_m: &[f64; 4]| mm_from_m(arch_m.iter().sum::<f64>() / 4.0);
                let today_mm = mean_mm(&self.solved_today(state).band.middle.arch_height_m);
                let then_mm = mean_mm(&rest.arch_height_m);
                vec![Step::MeanDrop([today_mm, then_mm, today_mm - then_mm])]
            }
            Asked::FreeBumpTravel => {
                limits.free_bump_m.map(|m| Step::FirstTouch(mm_from_m(m))).into_iter().collect()
            }
            Asked::BumpTravelToTwiceStatic => {
                limits.to_twice_static_m.map(|m| Step::TwiceLoad(mm_from_m(m))).into_iter().collect()
            }
            Asked::BumpTravelToMetal => vec![to_metal],
            Asked::LeastBumpTravelToMetal => vec![Step::LeastCorner(i), to_metal],
            Asked::ReboundTravel => {
                vec![Step::Rebound(mm_from_m(limits.rebound_m), travel.rebound_ends_at)]
            }
            Asked::CaptiveInHand => {
                vec![Step::Captive([mm_from_m(limits.rebound_m), mm_from_m(limits.captive_in_hand_m)])]
            }
            Asked::CoilBindMargin => {
                let room = travel.coil_bind_margin_mm.map(Step::CoilBind);
                [Some(to_metal), room].into_iter().flatten().collect()
            }
            Asked::Level => {
                let difference_mm = 0.5 * (arch_mm[2] + arch_mm[3] - arch_mm[0] - arch_mm[1]);
                vec![Step::Level([difference_mm, self.van.sheet.level_floor_difference_mm])]
            }
            Asked::Lean => {
                let (left, right) = (arch_mm[2 * axle], arch_mm[2 * axle + 1]);
                vec![Step::Lean([left, right, left - right])]
            }
            Asked::BodyPitch => vec![Step::Pitch(rest.body.pitch_rad.to_degrees())],
            Asked::AxleLoad => vec![axle_load(&load_kg, axle)],
            Asked::AxleMargin => {
                let plate_kg = [grade.plated_front_axle_kg, grade.plated_rear_axle_kg][axle];
                let margin = Step::Margin([plate_kg, axle_kg[axle], plate_kg - axle_kg[axle]]);
                vec![axle_load(&load_kg, axle), margin]
            }
            Asked::Gross => vec![Step::Gross([axle_kg[0], axle_kg[1], gross_kg])],
            Asked::GrossMargin => {
                let margin =
                    Step::Margin([grade.plated_gross_kg, gross_kg, grade.plated_gross_kg - gross_kg]);
                vec![Step::Gross([axle_kg[0], axle_kg[1], gross_kg]), margin]
            }
            Asked::CentreBehindFrontAxle => {
                let behind_mm = self.wheel_places_mm().map(|[ahead_mm, _]| -ahead_mm);
                vec![Step::StandsOn(load_kg), Step::MomentsAlong([behind_mm[0], behind_mm[2]], axle_kg)]
            }
            Asked::CentreLeftOfCentre => {
                let left_mm = self.wheel_places_mm().map(|[_, left_mm]| left_mm);
                vec![Step::StandsOn(load_kg), Step::MomentsAcross(left_mm, load_kg)]
            }
            Asked::RunningOrder | Asked::Payload => {
                let running_kg = order.front_axle_kg + order.rear_axle_kg;
                let sum = Step::Gross([order.front_axle_kg, order.rear_axle_kg, running_kg]);
                let plate_kg = grade.plated_gross_kg;
                let margin = Step::Margin([plate_kg, running_kg, plate_kg - running_kg]);
                if asked == Asked::Payload { vec![sum, margin] } else { vec![sum] }
            }
        }
    }

    /// The chain behind a verdict: every rule that spoke of a kit, with the facts and figures that met it, what it
    /// did, and the rules that wait for a fact.
    pub fn why_verdict(&self, kit: &Kit) -> Why {
        let (catalogue, enquiry) = (self.catalogue, self.enquiry);
        let kit = &self.offered(kit);
        let known = self.facts();
        let on = kit.fits.contains(&enquiry.vehicle).then(|| self.on_kit(kit).ok()).flatten();
        let checks = on.as_deref().map(|on| self.checks_on(on));
        let fitting = self.fitting(kit, self.on_van(on.as_deref(), checks.as_deref()));
        let verdict = fitting.verdict(&catalogue.rules, &known);
        let deciding = verdict.out.as_ref().map(|out| out.rule.as_str());
        let mut steps = Vec::new();
        if let Some(out) = verdict.out.as_ref().filter(|out| catalogue.rules.iter().all(|r| r.id != out.rule))
        {
            steps.push(Words::of(|language| why::not_by_rule(language, out)));
        }
        for rule in &catalogue.rules {
            if let Ok(Some(met)) = fitting.rule_holds(rule, &known) {
                let conditions = self.conditions(rule, kit, &known, met);
                let decides = deciding == Some(rule.id.as_str());
                let line = Words::of(|language| why::rule_spoke(language, rule, decides, &conditions));
                if decides { steps.insert(0, line) } else { steps.push(line) }
            }
        }
        steps.extend(verdict.depends_on.iter().map(|waits| {
            Words::of(|language| {
                why::rule_waits(language, &waits.rule, &waits.fact, waits.would, &waits.reason)
            })
        }));
        let inputs = catalogue.facts.iter().map(|fact| self.fact_words(&fact.id, &known)).collect();
        Why {
            asked: Words::of(|language| format!("{}, {}", kit.id, language.pick("verdict", "Urteil"))),
            value: None,
            answer: Words::of(|language| {
                why::verdict(language, verdict.out.is_some(), verdict.depends_on.len())
            }),
            inputs,
            steps,
            equations: vec![words(&Equation::Verdict)],
        }
    }

    /// Conditions of a rule that spoke, each with what met it.
    fn conditions(&self, rule: &Rule, kit: &Kit, known: &KnownFacts, met: Vec<Because>) -> Vec<Words> {
        let mut met = met.into_iter();
        rule.when
            .iter()
            .filter_map(|condition| {
                Some(match condition {
                    Condition::Fact(asked) => self.fact_words(&asked.fact, known),
                    Condition::Kit(_) => Words::of(|language| why::of_kit(language, &kit.id)),
                    Condition::Vehicle(_) => {
                        Words::of(|language| why::of_vehicle(language, &self.enquiry.vehicle))
                    }
                    Condition::Family(_) => {
                        Words::of(|language| why::of_family(language, family(language, kit.family)))
                    }
                    Condition::Brings(parts) => Words::of(|language| why::of_parts(language, parts)),
                    Condition::StrutMount(_) => {
                        let met = met.next()?;
                        Words::of(|language| met.words(language))
                    }
                    Condition::Figure(_) | Condition::Check(_) => {
                        let met = met.next()?;
                        Words::of(|language| why::of_figure(language, &met))
                    }
                })
            })
            .collect()
    }

    /// A fact with its possible answers and where they come from.
    pub(crate) fn fact_words(&self, id: &str, known: &KnownFacts) -> Words {
        let Some(fact) = self.catalogue.facts.iter().find(|fact| fact.id == id) else {
            return Words { en: id.to_owned(), de: id.to_owned() };
        };
        let possible = known.possible(id);
        let of_it = |answer: &&crate::facts::FactAnswer| possible.contains(&answer.id.as_str());
        let answers: Vec<&Words> = fact.answers.iter().filter(of_it).map(|answer| &answer.words).collect();
        let from = if self.enquiry.facts.iter().any(|is| is.fact == id) {
            FactFrom::Enquiry
        } else if self.van.sheet.facts.iter().any(|is| is.fact == id) {
            FactFrom::Sheet
        } else {
            FactFrom::Nowhere
        };
        Words::of(|language| why::fact(language, &fact.question, &answers, from))
    }

    /// The chain behind the price of a kit; nothing where it is out.
    ///
    /// # Errors
    /// When the van cannot be computed.
    pub fn why_price(&self, kit: &Kit) -> Result<Option<Why>, CannotStand> {
        let Some(option) = self.option(kit)? else { return Ok(None) };
        let Some(quote) = &option.quote else {
            return Ok(Some(without_a_number(&option, ["price", "Preis"], Equation::Price)));
        };
        let mut steps: Vec<Words> =
            quote.lines.iter().map(|line| Words::of(|l| why::quote_line(l, quote, line))).collect();
        steps.extend((0..3).map(|k| Words::of(|language| why::quote_sums(language, quote)[k].clone())));
        Ok(Some(Why {
            asked: Words::of(|language| format!("{}, {}", kit.id, language.pick("price", "Preis"))),
            value: None,
            answer: Words::of(|language| quote.currency.text(quote.total_minor, language)),
            inputs: vec![Words::of(|language| why::prices_from(language, quote))],
            steps,
            equations: vec![words(&Equation::Price)],
        }))
    }

    /// The chain behind the time on the ramp of a kit; nothing where it is out.
    ///
    /// # Errors
    /// When the van cannot be computed.
    pub fn why_time(&self, kit: &Kit) -> Result<Option<Why>, CannotStand> {
        let Some(option) = self.option(kit)? else { return Ok(None) };
        let Some(time) = &option.ramp_time else {
            return Ok(Some(without_a_number(&option, ["time", "Zeit"], Equation::Time)));
        };
        let inputs = time.operations.iter().filter_map(|done| {
            let operation = self.catalogue.operations.operation(&done.operation)?;
            Some(Words::of(|language| why::operation(language, operation, done.times)))
        });
        let asked_by = option.verdict.operations.iter().map(|added| {
            Words::of(|language| {
                format!(
                    "{} → {}: {}",
                    added.says.rule,
                    added.operation,
                    added.says.reason.in_language(language)
                )
            })
        });
        let sums = (0..2).map(|k| Words::of(|language| why::time_sum(language, time)[k].clone()));
        Ok(Some(Why {
            asked: Words::of(|language| format!("{}, {}", kit.id, language.pick("time", "Zeit"))),
            value: None,
            answer: Words::of(|language| why::time_sum(language, time)[1].clone()),
            inputs: inputs.collect(),
            steps: asked_by.chain(sums).collect(),
            equations: vec![words(&Equation::Time)],
        }))
    }

    fn option(&self, kit: &Kit) -> Result<Option<KitOption>, CannotStand> {
        let listed = shortlist(self, &self.enquiry.wish)?;
        Ok(listed.options.into_iter().find(|option| option.kit == kit.id))
    }
}

/// A chain that ends before its number.
fn without_a_number(option: &KitOption, [english, german]: [&str; 2], equation: Equation) -> Why {
    Why {
        asked: Words::of(|language| format!("{}, {}", option.kit, language.pick(english, german))),
        value: None,
        answer: Words::of(not_available),
        inputs: Vec::new(),
        steps: option.not_priced.iter().map(words).collect(),
        equations: vec![words(&equation)],
    }
}

fn not_available(language: Language) -> String {
    language.pick("not available", "nicht bekannt").to_owned()
}

pub(crate) fn figure_words(language: Language, value: Option<&Figure>, name: &str) -> String {
    let unit = crate::document::unit_of(name);
    value.map_or_else(
        || not_available(language),
        |figure| {
            let from = crate::wording::evidence(language, figure.evidence);
            let decimals = if ["mm", "kg", "N", "%"].contains(&unit) { 1 } else { 2 };
            format!("{}, {from}", with_range(language, figure, unit, decimals))
        },
    )
}

fn axle_load(load_kg: &[f64; 4], axle: usize) -> Step {
    let (left, right) = (load_kg[2 * axle], load_kg[2 * axle + 1]);
    Step::AxleLoad([left, right, left + right])
}

fn least_corner(sit: &Sit) -> usize {
    let to_metal = |i: usize| sit.corners[i].travel.bump_travel_to_metal_mm.value;
    (0..4).min_by(|&a, &b| to_metal(a).total_cmp(&to_metal(b))).unwrap_or(0)
}

impl KnownVan<'_> {
    fn spring_input(&self, fitment: &Fitment, solved: &Solved, i: usize) -> Words {
        let corner = &solved.van.corners[i];
        let from = match fitment.parts[axle_of(i)].spring_knowledge {
            SpringKnowledge::Original => SpringFrom::Sheet,
            SpringKnowledge::Stated => SpringFrom::Maker,
            SpringKnowledge::DropOnly { .. } => SpringFrom::Assumed,
        };
        let free_m = corner.spring.main.free_length_m;
        let rate_n_per_m = corner.spring_at(solved.band.middle.axle_travel(i)).main_rate_n_per_m;
        let spring = if let Some(lever_m) = self.van.torsion_lever_m(axle_of(i)) {
            SpringInput::TorsionBar {
                untwisted_below_design_deg: (free_m / lever_m - std::f64::consts::TAU).to_degrees(),
                rate_nm_per_deg: (rate_n_per_m * lever_m * lever_m).to_radians(),
            }
        } else if self.is_on_leaves(i) {
            SpringInput::Leaves { free_camber_mm: mm_from_m(free_m), rate_n_per_mm: rate_n_per_m * 1e-3 }
        } else {
            SpringInput::Coil { free_length_mm: mm_from_m(free_m), rate_n_per_mm: rate_n_per_m * 1e-3 }
        };
        Words::of(|language| why::spring_input(language, i, spring, from))
    }

    fn is_on_leaves(&self, i: usize) -> bool {
        matches!(self.van.axle_sheet(axle_of(i)).linkage, LinkageSheet::LeafAxle(_))
    }

    fn balance_steps(&self, solved: &Solved, i: usize) -> Vec<Step> {
        let (corner, rest) = (&solved.van.corners[i], &solved.band.middle);
        let forces = corner.forces_at(rest.axle_travel(i));
        let space = corner.spring_at(rest.axle_travel(i));
        let ratio = -corner.table.spring_length_m.at(rest.travel_m[i]).slope;
        let design_mm = mm_from_m(corner.lip_m[2] - corner.table.wheel_centre_design_m[2]);
        let air = corner.air.as_ref().zip(corner.air_at(rest.axle_travel(i))).map(|(air, (pa, height_m))| {
            [bar_from_pa(pa), air.at_height(height_m).force_n * air.height_per_spring_length * ratio]
        });
        let at_wheel_n = forces.spring_n - air.map_or(0.0, |[_, air_n]| air_n);
        let spring = if let Some(lever_m) = self.van.torsion_lever_m(axle_of(i)) {
            let twist = (corner.spring.main.free_length_m - space.main_length_m) / lever_m;
            Step::BarIsTwisted([twist.to_degrees(), space.force_n * lever_m, at_wheel_n])
        } else if self.is_on_leaves(i) {
            let added_n: f64 =
                corner.added_leaves.iter().map(|leaf| leaf.at_camber(space.main_length_m).force_n).sum();
            Step::LeavesPush([mm_from_m(space.main_length_m), space.force_n, added_n, ratio, at_wheel_n])
        } else {
            Step::SpringPushes([mm_from_m(space.main_length_m), space.force_n, ratio, at_wheel_n])
        };
        let mut steps =
            vec![Step::WheelStands([kg_from_n(rest.wheel_load_n[i]), corner.unsprung_mass_kg]), spring];
        steps.extend(air.map(Step::AirPushes));
        steps.push(Step::OthersPush([
            forces.stop_n,
            forces.gas_n,
            forces.bush_n,
            solved.van.suspension_force_n(rest, i),
        ]));
        steps.push(Step::ArchHeight([
            mm_from_m(rest.arch_height_m[i]),
            design_mm,
            mm_from_m(rest.travel_m[i]),
        ]));
        steps
    }
}

pub(crate) fn equations(asked: Asked) -> Vec<Equation> {
    let own = match asked {
        Asked::RunningOrder => return vec![Equation::Margin],
        Asked::Payload => return vec![Equation::Margin],
        Asked::CornerLoad | Asked::AxleLoad | Asked::Gross => Equation::Tyre,
        Asked::AxleMargin | Asked::GrossMargin => Equation::Margin,
        Asked::CentreBehindFrontAxle | Asked::CentreLeftOfCentre => {
            return vec![Equation::Rest, Equation::Range, Equation::Moments];
        }
        Asked::FreeBumpTravel
        | Asked::BumpTravelToTwiceStatic
        | Asked::BumpTravelToMetal
        | Asked::LeastBumpTravelToMetal
        | Asked::ReboundTravel
        | Asked::CoilBindMargin => Equation::Travel,
        Asked::CaptiveInHand => Equation::Captive,
        Asked::Level => Equation::Level,
        Asked::Lean => Equation::Lean,
        Asked::BodyPitch => Equation::Pitch,
        Asked::ArchHeight
        | Asked::FrictionBand
        | Asked::ArchGap
        | Asked::LipHeight
        | Asked::DropAgainstToday
        | Asked::DropAgainstOriginal
        | Asked::MeanDrop => Equation::ArchHeight,
    };
    vec![Equation::Rest, Equation::SpringAtWheel, Equation::Range, own]
}
