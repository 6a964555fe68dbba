//! The boxes of the load page: what stands in the enquiry, and how a change is written into it.

use workshop::document::Range;
use workshop::enquiry::{Enquiry, SCALE_KG, ScaleReading};
use workshop::enquiry_text::{EnquiryText, ItemText};
use workshop::load_list::{ABOVE_MM, BEHIND_MM, LEFT_MM, LoadState, MASS_EVIDENCE, MASS_KG, SPREAD_KG};
use workshop::typed::{Asked, read_typed_in};
use workshop::wording::{Manner, Said};

use super::super::CORNERS;
use super::super::form::Posted;
use super::super::words::PageWords;
use super::questions::Values;

/// Numbers of an item: field, what is asked, what is allowed.
pub(super) const NUMBERS: [(&str, Asked, Range); 5] = [
    ("mass_kg", Asked::MassKg, MASS_KG),
    ("plus_minus_kg", Asked::MassKg, SPREAD_KG),
    ("behind_front_axle_mm", Asked::LengthMm, BEHIND_MM),
    ("left_of_centre_mm", Asked::LengthMm, LEFT_MM),
    ("above_ground_mm", Asked::LengthMm, ABOVE_MM),
];
/// Numbers that may stay out of an item of one's own.
const OPTIONAL: [&str; 2] = ["plus_minus_kg", "left_of_centre_mm"];
/// What a ticked box sends.
pub(super) const YES: &str = "yes";
/// Axles as documents name them.
pub(super) const AXLES: [&str; 2] = ["front", "rear"];

/// Name of a box of an item.
pub(super) fn item_box(place: usize, field: &str) -> String {
    format!("item-{place}-{field}")
}

/// Name of a box of a reading.
pub(super) fn scale_box(state: &str, wheels: &str) -> String {
    format!("weigh-{state}-{wheels}_kg")
}

/// What the enquiry says, box by box.
pub(super) fn values_of(text: &EnquiryText, enquiry: &Enquiry, manner: Manner) -> Values {
    let mut values = Values::new();
    for (place, carried) in enquiry.items.iter().take(text.item_count()).enumerate() {
        let item = &carried.item;
        let numbers = [
            item.mass_kg,
            item.plus_minus_kg,
            item.place.behind_front_axle_mm,
            item.place.left_of_centre_mm,
            item.place.above_ground_mm,
        ];
        for ((field, asked, _), number) in NUMBERS.into_iter().zip(numbers) {
            values.insert(item_box(place, field), manner.boxed(number, asked));
        }
        for (name, state) in LoadState::CHOICES {
            let aboard = if carried.states.contains(&state) { YES } else { "" };
            values.insert(item_box(place, name), aboard.to_owned());
        }
        let evidence = MASS_EVIDENCE.iter().find(|(_, known)| *known == item.evidence);
        values.insert(item_box(place, "evidence"), evidence.map_or("", |(name, _)| name).to_owned());
        values.insert(item_box(place, "remove"), String::new());
    }
    for (state, of) in LoadState::CHOICES {
        let reading = enquiry.weighed.iter().find(|weighing| weighing.state == of);
        let mut put = |wheels: &str, kg: Option<f64>| {
            let shown = kg.map(|kg| manner.boxed(kg, Asked::MassKg)).unwrap_or_default();
            values.insert(scale_box(state, wheels), shown);
        };
        let (axles, corners) = match reading.map(|weighing| weighing.reading) {
            Some(ScaleReading::Axles(kg)) => (kg.map(Some), [None; 4]),
            Some(ScaleReading::Corners(kg)) => ([None; 2], kg.map(Some)),
            None => ([None; 2], [None; 4]),
        };
        AXLES.into_iter().zip(axles).for_each(|(axle, kg)| put(axle, kg));
        CORNERS.into_iter().zip(corners).for_each(|(corner, kg)| put(corner, kg));
    }
    values
}

/// Changed boxes with what is wrong with them.
pub(super) struct Writing<'a> {
    pub(super) text: EnquiryText,
    pub(super) faults: Values,
    pub(super) manner: Manner,
    pub(super) w: &'a PageWords,
    /// What stands, box by box.
    pub(super) current: &'a Values,
}

impl Writing<'_> {
    /// Writes every box that was changed, items where they stand now; what others changed meanwhile is asked about.
    pub(super) fn write(&mut self, posted: &Posted) {
        let mut removed = Vec::new();
        for change in posted.changed().filter(|change| change.name.starts_with("item-")) {
            let Some((place_then, field)) = of_item(change.name) else { continue };
            let Some(place) = self.place_now(posted, place_then) else {
                self.fault(change.name, self.w.item_gone.to_owned());
                continue;
            };
            let stands = self.current.get(&item_box(place, field)).map_or("", String::as_str);
            if stands != change.was && stands != change.now {
                let stands = if stands == YES { self.w.aboard } else { stands };
                self.fault(
                    change.name,
                    format!("{} {stands}. {}", self.w.others_answered, self.w.answer_again),
                );
            } else if field == "remove" {
                removed.push(place);
            } else if let Err(fault) = self.put(posted, (place_then, place), field, change.now) {
                self.fault(change.name, fault);
            }
        }
        self.weighings(posted);
        removed.sort_unstable();
        removed.into_iter().rev().for_each(|place| self.text.remove_item(place));
        self.new_item(posted);
    }

    fn fault(&mut self, name: &str, fault: String) {
        self.faults.insert(name.to_owned(), fault);
    }

    /// Where a line of the page stands now; none where it is gone.
    fn place_now(&self, posted: &Posted, place: usize) -> Option<usize> {
        let key = posted.get(&format!("row-{place}"));
        (0..self.text.item_count())
            .find(|now| self.text.item_key(*now).as_deref().map(str::trim) == Some(key))
    }

    fn put(
        &mut self,
        posted: &Posted,
        (then, place): (usize, usize),
        field: &str,
        value: &str,
    ) -> Result<(), String> {
        if let Some((_, asked, range)) = NUMBERS.into_iter().find(|(name, ..)| *name == field) {
            let may_stay_out = OPTIONAL.contains(&field) || self.text.item_is_listed(place);
            let number = number(value, asked, range, may_stay_out, self.manner)?;
            self.text.set_item_number(place, field, number);
        } else if field == "evidence" {
            self.text.set_in_item(place, field, (!value.is_empty()).then(|| value.into()));
        } else if LoadState::CHOICES.iter().any(|(name, _)| *name == field) {
            let states = self.merged_states(posted, (then, place));
            if states.is_empty() {
                return Err(self.w.aboard_nowhere.to_owned());
            }
            self.text.set_item_states(place, &states);
        }
        Ok(())
    }

    /// States as they stand, with those that this page changed.
    fn merged_states(&self, posted: &Posted, (then, place): (usize, usize)) -> Vec<&'static str> {
        let aboard = |name: &&str| {
            let box_then = item_box(then, name);
            let changed = posted.changed().find(|change| change.name == box_then);
            let stands = self.current.get(&item_box(place, name)).map_or("", String::as_str);
            changed.map_or(stands, |change| change.now) == YES
        };
        LoadState::CHOICES.map(|(name, _)| name).into_iter().filter(aboard).collect()
    }

    /// Readings of the scales: both axles or all four corners of a load state.
    fn weighings(&mut self, posted: &Posted) {
        for (state, _) in LoadState::CHOICES {
            let before = self.faults.len();
            let mut changed = false;
            let mut read = |wheels: &'static str| -> Option<f64> {
                let name = scale_box(state, wheels);
                let stands = self.current.get(&name).map_or("", String::as_str);
                let change = posted.changed().find(|change| change.name == name);
                changed |= change.is_some();
                let value = match change {
                    Some(change) if stands != change.was && stands != change.now => {
                        let fault = format!("{} {stands}. {}", self.w.others_answered, self.w.answer_again);
                        self.faults.insert(name, fault);
                        return None;
                    }
                    Some(change) => change.now,
                    None => stands,
                };
                match number(value, Asked::MassKg, SCALE_KG, true, self.manner) {
                    Ok(number) => number,
                    Err(fault) => {
                        self.faults.insert(name, fault);
                        None
                    }
                }
            };
            let (axles, corners) = (AXLES.map(&mut read), CORNERS.map(&mut read));
            if !changed || self.faults.len() > before {
                continue;
            }
            let all = |kg: &[Option<f64>], names: &[&'static str]| -> Vec<(String, f64)> {
                let read = names.iter().zip(kg).filter_map(|(name, kg)| Some((format!("{name}_kg"), (*kg)?)));
                read.collect()
            };
            let (axle_kg, corner_kg) = (all(&axles, &AXLES), all(&corners, &CORNERS));
            let (by, readings) = match (axle_kg.len(), corner_kg.len()) {
                (0, 0) => ("axles", Vec::new()),
                (2, 0) => ("axles", axle_kg),
                (0, 4) => ("corners", corner_kg),
                _ => {
                    let named = AXLES.iter().chain(&CORNERS).map(|wheels| scale_box(state, wheels));
                    let amiss =
                        named.into_iter().find(|name| posted.changed().any(|change| change.name == name));
                    self.fault(&amiss.unwrap_or_default(), self.w.scales_whole.to_owned());
                    continue;
                }
            };
            let readings: Vec<(&str, f64)> = readings.iter().map(|(name, kg)| (name.as_str(), *kg)).collect();
            self.text.set_weighing(state, by, &readings);
        }
    }

    /// A further item, where anything of it was given.
    fn new_item(&mut self, posted: &Posted) {
        let (listed, name) = (posted.get("new-item"), posted.get("new-name"));
        let given = |field: &str| posted.get(&format!("new-{field}"));
        if listed.is_empty() && name.is_empty() && NUMBERS.iter().all(|(field, ..)| given(field).is_empty()) {
            return;
        }
        let mut item = ItemText::default();
        if listed.is_empty() && name.is_empty() {
            self.fault("new-name", self.w.item_or_name.to_owned());
        }
        item.item = (!listed.is_empty()).then(|| listed.to_owned());
        item.name = (!name.is_empty()).then(|| name.to_owned());
        for (field, asked, range) in NUMBERS {
            let may_stay_out = OPTIONAL.contains(&field) || !listed.is_empty();
            match number(given(field), asked, range, may_stay_out, self.manner) {
                Ok(number) => item.numbers.extend(number.map(|number| (field, number))),
                Err(fault) => self.fault(&format!("new-{field}"), fault),
            }
        }
        let states = LoadState::CHOICES.map(|(name, _)| name);
        item.states = states.into_iter().filter(|name| given(name) == YES).map(str::to_owned).collect();
        if item.states.is_empty() {
            self.fault("new-day_to_day", self.w.aboard_nowhere.to_owned());
        }
        self.text.put_item(None, &item);
    }
}

/// The number in a box; none where it may stay empty and is.
fn number(
    value: &str,
    asked: Asked,
    range: Range,
    or_none: bool,
    manner: Manner,
) -> Result<Option<f64>, String> {
    if value.is_empty() && or_none {
        return Ok(None);
    }
    let typed = read_typed_in(value, asked, range, manner.units);
    let typed = typed.map_err(|fault| fault.words(manner.language))?;
    Ok(Some(typed.value))
}

/// Place and field of a box of an item.
fn of_item(name: &str) -> Option<(usize, &str)> {
    let (place, field) = name.strip_prefix("item-")?.split_once('-')?;
    Some((place.parse().ok()?, field))
}
