//! The chains behind checks of a rim and tyre.

use mechanics::statics::FRONT;

use super::{Chain, quantity};
use crate::answer::KnownVan;
use crate::checks::Check;
use crate::fitment::Solved;
use crate::load_list::LoadState;
use crate::tyre::{true_speed_km_per_h, tyre_edges};
use crate::tyre_marking::TyreMarking;
use crate::units::{kg_from_n, mm_from_m};
use crate::wheels::{Rim, Tyre};
use crate::wording::Axle;
use crate::wording::why_check::CheckEquation;
use crate::wording::why_quantity::{NumberFrom, Quantity, name};

const SHEET: NumberFrom = NumberFrom::Sheet;
const MAKER: NumberFrom = NumberFrom::WheelMaker;
const COMPUTED: NumberFrom = NumberFrom::Computed;

/// A rim and tyre on a van.
#[derive(Clone, Copy)]
pub(super) struct WheelChain<'a> {
    pub(super) known: &'a KnownVan<'a>,
    pub(super) solved: &'a [Solved],
    pub(super) rim: &'a Rim,
    pub(super) tyre: &'a Tyre,
}

impl WheelChain<'_> {
    /// Inputs and steps of a check of the pair; nothing where it is no check of wheels.
    pub(super) fn of(&self, check: &Check) -> Option<Chain> {
        let (rim, tyre) = (self.rim, self.tyre);
        let sheet = &self.known.van.sheet.wheels;
        let mm = |what, value: Option<f64>| value.map(|value| quantity(what, value, "mm", SHEET));
        let maker = |what, value, unit| Some(quantity(what, value, unit, MAKER));
        let given = |inputs: Vec<Option<Quantity>>, equation| {
            Some(Chain::of_numbers(inputs.into_iter().flatten(), [], equation))
        };
        match check.check {
            "tyre_load_index" => self.on_plate(check, name::TYRE_CARRIES, tyre.load_kg()),
            "rim_load_rating" => self.on_plate(check, name::RIM_CARRIES, rim.load_rating_kg),
            "tyre_load" => {
                let two = [quantity(name::TWO_CARRY, 2.0 * tyre.load_kg(), "kg", COMPUTED)];
                let one = maker(name::TYRE_CARRIES, tyre.load_kg(), "kg");
                Some(Chain::of_numbers(one, two, CheckEquation::TwoCarry))
            }
            "tyre_pressure" => self.pressure(check),
            "tyre_speed_symbol" => {
                let symbol = f64::from(tyre.service.speed.top_speed_km_per_h);
                let top = sheet.top_speed_km_per_h;
                let top = top.map(|value| quantity(name::TOP_SPEED, value, "km_per_h", SHEET));
                given(vec![maker(name::SYMBOL_SPEED, symbol, "km_per_h"), top], CheckEquation::Compared)
            }
            "rim_width_for_tyre" => {
                let [least, most] = tyre.rim_width_inch.map_or([None; 2], |ends| ends.map(Some));
                let inch = |what, value: Option<f64>| value.map(|value| quantity(what, value, "inch", MAKER));
                let measuring = tyre.marking.measuring_rim_inch();
                given(
                    vec![
                        inch(name::RIM_WIDTH, Some(rim.width_inch)),
                        Some(quantity(name::MEASURING_RIM, measuring, "inch", COMPUTED)),
                        inch(name::LEAST_RIM, least),
                        inch(name::MOST_RIM, most),
                    ],
                    CheckEquation::Compared,
                )
            }
            "rim_width_for_van" => {
                let [least, most] = sheet.allowed_rim_width_inch.map_or([None; 2], |ends| ends.map(Some));
                let inch = |what, value: Option<f64>| value.map(|value| quantity(what, value, "inch", SHEET));
                given(
                    vec![
                        maker(name::RIM_WIDTH, rim.width_inch, "inch"),
                        inch(name::LEAST_RIM, least),
                        inch(name::MOST_RIM, most),
                    ],
                    CheckEquation::Compared,
                )
            }
            "bolt_circle" => given(
                vec![
                    maker(name::RIM_CIRCLE, rim.bolt_circle_mm, "mm"),
                    mm(name::HUB_CIRCLE, sheet.bolt_circle_mm),
                ],
                CheckEquation::Compared,
            ),
            "centre_bore" => given(
                vec![
                    maker(name::RIM_BORE, rim.centre_bore_mm, "mm"),
                    mm(name::HUB_SPIGOT, sheet.centre_bore_mm),
                ],
                CheckEquation::Compared,
            ),
            "wheel_bolts" => {
                let hub = sheet.bolts.map(|bolts| quantity(name::HUB_BOLTS, bolts as f64, "count", SHEET));
                given(vec![maker(name::RIM_HOLES, rim.bolts as f64, "count"), hub], CheckEquation::Compared)
            }
            "thread_engagement" => self.engagement(),
            "brake_clearance" => {
                let original = self.original_marking(FRONT).map(|size| size.rim_diameter_inch);
                let original =
                    original.map(|value| quantity(name::ORIGINAL_RIM_DIAMETER, value, "inch", SHEET));
                let rim = maker(name::RIM_DIAMETER, rim.diameter_inch, "inch");
                given(vec![original, rim], CheckEquation::Compared)
            }
            "inboard_clearance"
            | "outboard_clearance"
            | "crown_clearance"
            | "steering_lock_clearance"
            | "tyre_clearance" => Some(self.room(check)),
            "scrub_radius_change" => Some(self.scrub_radius()),
            "speedometer" => Some(self.speedometer()),
            "gearing_change" => {
                let ratio = self.circumference_ratio();
                let steps = [quantity(name::CIRCUMFERENCE_RATIO, ratio, "", COMPUTED)];
                Some(Chain::of_numbers(self.diameters(FRONT), steps, CheckEquation::Circumference))
            }
            "body_height_change" => {
                Some(Chain::of_numbers(self.diameters(axle_or_front(check)), [], CheckEquation::HalfDiameter))
            }
            _ => None,
        }
    }

    /// Two tyres or rims against the plate.
    fn on_plate(&self, check: &Check, what: [&'static str; 2], one_kg: f64) -> Option<Chain> {
        let plated_kg = check.limit.as_ref()?.at_least?;
        let inputs = [
            quantity(what, one_kg, "kg", MAKER),
            quantity(name::PLATED_AXLE, plated_kg, "kg", NumberFrom::Plate),
        ];
        let two = [quantity(name::TWO_CARRY, 2.0 * one_kg, "kg", COMPUTED)];
        Some(Chain::of_numbers(inputs, two, CheckEquation::TwoCarry))
    }

    fn pressure(&self, check: &Check) -> Option<Chain> {
        let tyre = self.tyre;
        let needed_bar = check.figure.as_ref()?.value;
        let (state, left) = (check.state?, 2 * axle_or_front(check));
        let loads_n = self.solved[state as usize].rest.wheel_load_n;
        let load_kg = kg_from_n(loads_n[left].max(loads_n[left + 1]));
        let inputs = [
            quantity(name::WHEEL_LOAD, load_kg, "kg", COMPUTED),
            quantity(name::TYRE_CARRIES, tyre.load_kg(), "kg", MAKER),
            quantity(name::REFERENCE_PRESSURE, tyre.reference_pressure_bar, "bar", MAKER),
            quantity(name::LEAST_PRESSURE, tyre.least_pressure_bar, "bar", MAKER),
        ];
        let steps = [quantity(name::NEEDED_PRESSURE, needed_bar, "bar", COMPUTED)];
        let equation = if tyre.load_over_pressure.is_some() {
            CheckEquation::PressureByTable
        } else {
            CheckEquation::PressureForLoad
        };
        Some(Chain::of_numbers(inputs, steps, equation))
    }

    fn engagement(&self) -> Option<Chain> {
        let hub = self.known.van.sheet.wheels.fixing?;
        let (length_mm, from) =
            self.rim.fixing.map_or((hub.length_mm, SHEET), |fixing| (fixing.length_mm, MAKER));
        let least = hub.least_engagement_mm.map(|mm| quantity(name::LEAST_ENGAGED, mm, "mm", SHEET));
        let inputs = [
            quantity(name::SEAT_DEPTH, self.rim.seat_depth_mm, "mm", MAKER),
            quantity(name::SPACER, self.rim.spacer_mm, "mm", MAKER),
            quantity(name::FIXING_LENGTH, length_mm, "mm", from),
            quantity(name::HUB_THREAD, hub.hub_thread_mm, "mm", SHEET),
        ];
        Some(Chain::of_numbers(inputs.into_iter().chain(least), [], CheckEquation::Engagement))
    }

    fn original_marking(&self, axle: usize) -> Option<TyreMarking> {
        self.known.van.axle_sheet(axle).tyre.size.parse().ok()
    }

    /// Outer diameters of the original tyre and of this one, mm, as the checks take them.
    fn diameters_mm(&self, axle: usize) -> [f64; 2] {
        match self.original_marking(axle) {
            Some(size) => [size.outer_diameter_mm(), self.tyre.marking.outer_diameter_mm()],
            None => [self.known.van.axle_sheet(axle).tyre.unloaded_radius_mm, self.tyre.radius_mm()]
                .map(|mm| 2.0 * mm),
        }
    }

    fn diameters(&self, axle: usize) -> [Quantity; 2] {
        let [original, this] = self.diameters_mm(axle);
        [
            quantity(name::ORIGINAL_DIAMETER, original, "mm", SHEET),
            quantity(name::DIAMETER, this, "mm", MAKER),
        ]
    }

    fn circumference_ratio(&self) -> f64 {
        let [original, this] = self.diameters_mm(FRONT);
        this / original
    }

    fn speedometer(&self) -> Chain {
        const INDICATED_KM_PER_H: f64 = 100.0;
        let (lead, from) = self
            .known
            .van
            .sheet
            .wheels
            .speedometer_lead_percent
            .map_or((crate::checks::USUAL_LEAD_PERCENT, NumberFrom::Practice), |lead| (lead, SHEET));
        let ratio = self.circumference_ratio();
        let inputs = self.diameters(FRONT).into_iter().chain([
            quantity(name::SPEEDOMETER_LEAD, lead, "percent", from),
            quantity(name::INDICATED, INDICATED_KM_PER_H, "km_per_h", NumberFrom::Practice),
        ]);
        let true_speed = true_speed_km_per_h(INDICATED_KM_PER_H, ratio, lead);
        let steps = [
            quantity(name::CIRCUMFERENCE_RATIO, ratio, "", COMPUTED),
            quantity(name::TRUE_SPEED, true_speed, "km_per_h", COMPUTED),
        ];
        Chain::of_numbers(inputs, steps, CheckEquation::TrueSpeed)
    }

    fn scrub_radius(&self) -> Chain {
        let (rim, sheet) = (self.rim, &self.known.van.sheet.wheels);
        let original = sheet.offset_mm.map(|mm| quantity(name::ORIGINAL_OFFSET, mm, "mm", SHEET));
        let inputs = original
            .into_iter()
            .chain([
                quantity(name::OFFSET, rim.offset_mm, "mm", MAKER),
                quantity(name::SPACER, rim.spacer_mm, "mm", MAKER),
            ])
            .chain(self.diameters(FRONT));
        let further = sheet.offset_mm.map(|original| original - rim.offset_mm + rim.spacer_mm);
        let rest_m = self.solved[LoadState::DayToDay as usize].rest.travel_m[2 * FRONT];
        let scrub_m = self.known.van.table(FRONT).pose_at(rest_m).scrub_radius_m;
        let steps = further
            .map(|mm| quantity(name::MOVED_OUT, mm, "mm", COMPUTED))
            .into_iter()
            .chain(scrub_m.map(|m| quantity(name::SCRUB_BEFORE, mm_from_m(m), "mm", COMPUTED)));
        Chain::of_numbers(inputs, steps, CheckEquation::ScrubRadius)
    }

    /// Room around the original tyre and how far this one reaches further.
    fn room(&self, check: &Check) -> Chain {
        let axle = axle_or_front(check);
        let (rim, sheet) = (self.rim, &self.known.van.sheet.wheels);
        let room = sheet.room[axle];
        let given = |what, value: Option<f64>, unit| value.map(|value| quantity(what, value, unit, SHEET));
        let original = self.original_marking(axle);
        let section_mm = self.tyre.marking.section_width_mm(rim.width_inch);
        let original_section_mm =
            original.zip(sheet.rim_width_inch).map(|(size, inch)| size.section_width_mm(inch));
        let inputs = [
            given(name::ORIGINAL_RIM_WIDTH, sheet.rim_width_inch, "inch"),
            given(name::ORIGINAL_OFFSET, sheet.offset_mm, "mm"),
            Some(quantity(name::RIM_WIDTH, rim.width_inch, "inch", MAKER)),
            Some(quantity(name::OFFSET, rim.offset_mm, "mm", MAKER)),
            Some(quantity(name::SPACER, rim.spacer_mm, "mm", MAKER)),
            given(name::ROOM_INBOARD, room.inboard_mm, "mm"),
            given(name::ROOM_OUTBOARD, room.outboard_mm, "mm"),
            given(name::ROOM_ABOVE, room.above_mm, "mm"),
            given(name::ROOM_AT_LOCK, room.at_lock_mm, "mm"),
        ];
        let mut steps = vec![quantity(name::SECTION, section_mm, "mm", COMPUTED)];
        if let Some((before_mm, offset_mm)) = original_section_mm.zip(sheet.offset_mm) {
            let before = tyre_edges(before_mm, offset_mm, 0.0);
            let after = tyre_edges(section_mm, rim.offset_mm, rim.spacer_mm);
            let [original_mm, this_mm] = self.diameters_mm(axle);
            steps.extend([
                quantity(name::ORIGINAL_SECTION, before_mm, "mm", COMPUTED),
                quantity(name::FURTHER_IN, before.inner_mm - after.inner_mm, "mm", COMPUTED),
                quantity(name::FURTHER_OUT, after.outer_mm - before.outer_mm, "mm", COMPUTED),
                quantity(name::TALLER, 0.5 * (this_mm - original_mm), "mm", COMPUTED),
            ]);
        }
        Chain::of_numbers(inputs.into_iter().flatten(), steps, CheckEquation::Room)
    }
}

fn axle_or_front(check: &Check) -> usize {
    check.axle.map_or(FRONT, |axle: Axle| axle as usize)
}
