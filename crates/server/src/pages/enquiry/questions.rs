//! The questions on the telephone: what is asked, what was answered, and how an answer is written into the enquiry.

use std::collections::BTreeMap;

use workshop::catalogue::Catalogue;
use workshop::document::{Range, range};
use workshop::enquiry::WishKind;
use workshop::enquiry_text::EnquiryText;
use workshop::facts::{Fact, FactIs, Language, Spot};
use workshop::fitting::AskNext;
use workshop::load_list::LoadState;
use workshop::typed::{Asked, read_typed_in};
use workshop::wording::{Manner, Said, corner, load_state, wish};

use super::super::CORNERS;
use super::super::words::PageWords;

/// A question with its box.
pub(crate) struct Question {
    pub(crate) name: String,
    pub(crate) label: String,
    pub(crate) hint: String,
    /// Number of its place in the drawing beside it; nothing where the drawing shows this place alone, or none.
    pub(crate) mark: String,
    /// Choices of a list; none for a line to type in.
    pub(crate) choices: Vec<Choice>,
    /// Unit behind a line.
    pub(crate) unit: &'static str,
    /// What stands in the box.
    pub(crate) value: String,
    /// What stands in the enquiry.
    pub(crate) was: String,
    pub(crate) fault: String,
    pub(crate) understood: String,
}

/// One choice of a list.
pub(crate) struct Choice {
    pub(crate) value: String,
    pub(crate) words: String,
    pub(crate) chosen: bool,
}

/// All questions of the page, in the order in which they are asked.
pub(crate) struct Questions {
    pub(crate) van: Vec<Question>,
    pub(crate) wish: Vec<Question>,
    /// The unknown that matters most.
    pub(crate) next: Option<Question>,
    pub(crate) facts: Vec<Question>,
    pub(crate) heights: Vec<Question>,
}

impl Questions {
    /// Questions with a fault, for the summary at the top.
    pub(crate) fn faulty(&self) -> impl Iterator<Item = &Question> {
        let groups = [&self.van, &self.wish, &self.facts, &self.heights];
        groups.into_iter().flatten().chain(&self.next).filter(|question| !question.fault.is_empty())
    }
}

/// Values by name of box.
pub(crate) type Values = BTreeMap<String, String>;

const DROP_MM: Range = range(-150.0, 200.0);
const HEIGHT_MM: Range = range(100.0, 1000.0);

/// What the enquiry answers, box by box.
pub(crate) fn values_of(text: &EnquiryText, catalogue: &Catalogue, manner: Manner) -> Values {
    let plain = |path: &[&str]| text.text(path).unwrap_or_default().to_owned();
    let number = |path: &[&str]| {
        text.number(path).map(|value| manner.boxed(value, Asked::LengthMm)).unwrap_or_default()
    };
    let mut values = Values::new();
    values.insert("van".into(), format!("{}/{}", plain(&["vehicle"]), plain(&["grade"])));
    values.insert("furnishing".into(), plain(&["furnishing"]));
    values.insert("fitted_kit".into(), plain(&["fitted_kit"]));
    values.insert("wish_by".into(), plain(&["wish", "by"]));
    values.insert("wish_drop".into(), number(&["wish", "drop_against_today_mm"]));
    values.insert("wish_state".into(), plain(&["wish", "state"]));
    values.insert("found_state".into(), plain(&["as_found", "state"]));
    for corner in CORNERS {
        values.insert(format!("found-{corner}"), number(&["as_found", &format!("{corner}_mm")]));
    }
    for fact in &catalogue.facts {
        values.insert(format!("fact-{}", fact.id), text.fact(&fact.id).unwrap_or_default().to_owned());
    }
    values
}

/// Writes the answer of one box.
///
/// # Errors
/// What is wrong with it, in words.
pub(crate) fn answer(text: &mut EnquiryText, name: &str, value: &str, manner: Manner) -> Result<(), String> {
    let number = |range: Range| -> Result<Option<f64>, String> {
        if value.is_empty() {
            return Ok(None);
        }
        read_typed_in(value, Asked::LengthMm, range, manner.units)
            .map(|typed| Some(typed.value))
            .map_err(|fault| fault.words(manner.language))
    };
    match name {
        "van" => {
            let (vehicle, grade) = value.split_once('/').unwrap_or((value, ""));
            if text.text(&["vehicle"]) != Some(vehicle) {
                // what is bought for one van class says nothing of another
                [&["fitted_kit"][..], &["fitted_collars"], &["wheels"]]
                    .into_iter()
                    .for_each(|path| text.set(path, None));
            }
            text.set_text(&["vehicle"], vehicle);
            text.set_text(&["grade"], grade);
        }
        "furnishing" => text.set_text(&["furnishing"], value),
        "fitted_kit" => {
            text.set_text(&["fitted_kit"], value);
            text.set(&["fitted_collars"], None);
        }
        "wish_by" => text.set_text(&["wish", "by"], value),
        "wish_state" => text.set_text(&["wish", "state"], value),
        "wish_drop" => text.set_number(&["wish", "drop_against_today_mm"], number(DROP_MM)?),
        "found_state" => text.set_text(&["as_found", "state"], value),
        _ => {
            if let Some(fact) = name.strip_prefix("fact-") {
                text.set_fact(fact, (!value.is_empty()).then_some(value));
            } else if let Some(corner) = name.strip_prefix("found-").filter(|corner| CORNERS.contains(corner))
            {
                text.set_number(&["as_found", &format!("{corner}_mm")], number(HEIGHT_MM)?);
            }
        }
    }
    Ok(())
}

/// What must go together: a wish by drop and its number, four heights and their load state.
///
/// # Errors
/// Boxes and what is missing in them.
pub(crate) fn settle(text: &mut EnquiryText, w: &PageWords) -> Result<(), Vec<(String, String)>> {
    let mut faults = Vec::new();
    let drop = text.number(&["wish", "drop_against_today_mm"]);
    match (text.text(&["wish", "by"]), drop) {
        (None, Some(_)) => text.set_text(&["wish", "by"], "drop"),
        (None, None) if text.text(&["wish", "state"]).is_some() => text.set_text(&["wish", "by"], "level"),
        (Some("drop"), None) => faults.push(("wish_drop".to_owned(), w.drop_missing.to_owned())),
        _ => {}
    }
    let height = |corner: &&str| text.number(&["as_found", &format!("{corner}_mm")]).is_none();
    let missing: Vec<&str> = CORNERS.into_iter().filter(|corner| height(corner)).collect();
    match missing.len() {
        0 if text.text(&["as_found", "state"]).is_none() => {
            text.set_text(&["as_found", "state"], "day_to_day");
        }
        4 => text.set(&["as_found"], None),
        0 => {}
        _ => faults
            .extend(missing.iter().map(|corner| (format!("found-{corner}"), w.heights_missing.to_owned()))),
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// Places of the questions about the van, in the order in which they are asked.
pub(crate) const OF_VAN: [Spot; 3] = [Spot::DoorPillar, Spot::LoadSpace, Spot::SpringsAndDampers];

/// Places that drawings ring.
pub(crate) struct Places {
    /// That of the unknown that matters most.
    pub(crate) next: Option<Spot>,
    /// Those of all other questions, each once.
    pub(crate) further: Vec<Spot>,
}

/// Where to look for what is not known of a van.
pub(crate) fn places(catalogue: &Catalogue, vehicle: &str, ask_next: Option<&str>) -> Places {
    let mut places = Places { next: None, further: Vec::new() };
    for (fact, _) in facts_of(catalogue, vehicle) {
        let Some(spot) = fact.seen_at else { continue };
        if Some(fact.id.as_str()) == ask_next {
            places.next = Some(spot);
        } else if !places.further.contains(&spot) {
            places.further.push(spot);
        }
    }
    places
}

/// Facts that a van class leaves open, each with what is possible.
fn facts_of<'a>(catalogue: &'a Catalogue, vehicle: &str) -> impl Iterator<Item = (&'a Fact, Vec<&'a str>)> {
    let sheet: &[FactIs] = catalogue.vehicle(vehicle).map_or(&[], |sheet| &sheet.facts);
    catalogue.facts.iter().filter_map(move |fact| {
        let stated = sheet.iter().find(|stated| stated.fact == fact.id);
        let all = || fact.answers.iter().map(|answer| answer.id.as_str()).collect();
        let possible: Vec<&str> =
            stated.map_or_else(all, |stated| stated.is.iter().map(String::as_str).collect());
        (possible.len() > 1).then_some((fact, possible))
    })
}

/// What the page is made of.
pub(crate) struct Asking<'a> {
    pub(crate) catalogue: &'a Catalogue,
    pub(crate) language: Language,
    /// How boxes are filled and read.
    pub(crate) manner: Manner,
    pub(crate) w: &'a PageWords,
    /// What stands in the enquiry.
    pub(crate) kept: &'a Values,
    /// What was typed but not taken.
    pub(crate) typed: &'a Values,
    /// What is wrong with it, by box.
    pub(crate) faults: &'a Values,
}

impl Asking<'_> {
    /// All questions, the unknown that matters most on its own.
    pub(crate) fn questions(&self, ask_next: Option<&AskNext>) -> Questions {
        let w = self.w;
        let vehicle =
            self.kept.get("van").and_then(|van| van.split_once('/')).map_or("", |(vehicle, _)| vehicle);
        let mut facts: Vec<Question> =
            self.facts_of(vehicle).map(|(fact, possible)| self.fact(fact, &possible)).collect();
        let at = ask_next
            .and_then(|next| facts.iter().position(|asked| asked.name == format!("fact-{}", next.fact)));
        let next = at.map(|at| facts.remove(at));
        let places = places(self.catalogue, vehicle, ask_next.map(|next| next.fact.as_str()));
        let number = |spot: Option<Spot>, spots: &[Spot]| {
            let at = spot.and_then(|spot| spots.iter().position(|of| *of == spot));
            at.filter(|_| spots.len() > 1).map(|at| (at + 1).to_string()).unwrap_or_default()
        };
        for question in &mut facts {
            let fact = self.catalogue.facts.iter().find(|fact| question.name == format!("fact-{}", fact.id));
            question.mark = number(fact.and_then(|fact| fact.seen_at), &places.further);
        }
        let mut of_van = vec![
            self.list("van", w.which_van, w.which_van_hint, self.vans()),
            self.list("furnishing", w.furnishing, w.furnishing_hint, self.furnishings(vehicle)),
            self.list("fitted_kit", w.fitted_now, "", self.kits(vehicle)),
        ];
        for (question, spot) in of_van.iter_mut().zip(OF_VAN) {
            question.mark = number(Some(spot), &OF_VAN);
        }
        let heights = CORNERS.iter().enumerate().map(|(n, name)| {
            self.line(
                &format!("found-{name}"),
                corner(self.language, n),
                "",
                Some((Asked::LengthMm, HEIGHT_MM)),
            )
        });
        let states = self.states();
        Questions {
            van: of_van,
            wish: vec![
                self.line(
                    "wish_drop",
                    w.how_much_lower,
                    w.how_much_lower_hint,
                    Some((Asked::LengthMm, DROP_MM)),
                ),
                self.list("wish_state", w.meant_when, "", states.clone()),
                self.list("wish_by", w.matters_most, "", self.wishes()),
            ],
            next,
            facts,
            heights: heights.chain([self.list("found_state", w.found_with, "", states)]).collect(),
        }
    }

    /// Facts that the van class leaves open, each with what is possible.
    fn facts_of(&self, vehicle: &str) -> impl Iterator<Item = (&Fact, Vec<&str>)> {
        facts_of(self.catalogue, vehicle)
    }

    fn fact(&self, fact: &Fact, possible: &[&str]) -> Question {
        let answers = fact.answers.iter().filter(|answer| possible.contains(&answer.id.as_str()));
        let words = |text: &workshop::facts::Words| text.in_language(self.language).to_owned();
        let mut choices = vec![(String::new(), self.w.not_known.to_owned())];
        choices.extend(answers.map(|answer| (answer.id.clone(), words(&answer.words))));
        self.list(&format!("fact-{}", fact.id), &words(&fact.question), &words(&fact.where_to_look), choices)
    }

    fn vans(&self) -> Vec<(String, String)> {
        vans(self.catalogue)
    }

    fn furnishings(&self, vehicle: &str) -> Vec<(String, String)> {
        let of_van = self.catalogue.furnishings.iter().filter(|furnishing| furnishing.is_for(vehicle));
        let named = of_van.map(|known| (known.id.clone(), known.name.in_language(self.language).to_owned()));
        [(String::new(), self.w.as_listed.to_owned())].into_iter().chain(named).collect()
    }

    fn kits(&self, vehicle: &str) -> Vec<(String, String)> {
        let kits = self.catalogue.kits_for(vehicle).map(|kit| (kit.id.clone(), kit.name.clone()));
        [(String::new(), self.w.original_parts.to_owned())].into_iter().chain(kits).collect()
    }

    fn states(&self) -> Vec<(String, String)> {
        let named =
            |(name, state): (&str, LoadState)| (name.to_owned(), load_state(self.language, state).to_owned());
        [(String::new(), self.w.not_said.to_owned())]
            .into_iter()
            .chain(LoadState::CHOICES.map(named))
            .collect()
    }

    fn wishes(&self) -> Vec<(String, String)> {
        let named = |(name, kind): (&str, WishKind)| (name.to_owned(), wish(self.language, kind).to_owned());
        [(String::new(), self.w.not_said.to_owned())]
            .into_iter()
            .chain(WishKind::CHOICES.map(named))
            .collect()
    }

    fn list(&self, name: &str, label: &str, hint: &str, choices: Vec<(String, String)>) -> Question {
        let mut question = self.line(name, label, hint, None);
        let chosen = question.value.clone();
        // an answer that the list has not stays in the list, so that it is not lost unseen
        let lost =
            (!choices.iter().any(|(value, _)| *value == chosen)).then(|| (chosen.clone(), chosen.clone()));
        question.choices = choices
            .into_iter()
            .chain(lost)
            .map(|(value, words)| Choice { chosen: value == chosen, value, words })
            .collect();
        question
    }

    fn line(&self, name: &str, label: &str, hint: &str, number: Option<(Asked, Range)>) -> Question {
        let was = self.kept.get(name).cloned().unwrap_or_default();
        let value = self.typed.get(name).cloned().unwrap_or_else(|| was.clone());
        let told = number.and_then(|(asked, range)| {
            let typed = read_typed_in(&value, asked, range, self.manner.units).ok()?;
            typed.converted.then(|| self.manner.understood(typed, asked))
        });
        Question {
            name: name.to_owned(),
            label: label.to_owned(),
            hint: hint.to_owned(),
            mark: String::new(),
            choices: Vec::new(),
            unit: number.map_or("", |(asked, _)| self.manner.units.symbol(asked.unit(), self.language)),
            value,
            was,
            fault: self.faults.get(name).cloned().unwrap_or_default(),
            understood: told.unwrap_or_default(),
        }
    }
}

/// Every grade of every vehicle sheet.
pub(crate) fn vans(catalogue: &Catalogue) -> Vec<(String, String)> {
    let grades =
        catalogue.vehicles.iter().flat_map(|sheet| sheet.grades.iter().map(move |grade| (sheet, grade)));
    grades
        .map(|(sheet, grade)| {
            (format!("{}/{}", sheet.id, grade.id), format!("{}, {}", sheet.name, grade.name))
        })
        .collect()
}
