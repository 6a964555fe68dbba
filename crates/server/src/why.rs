//! The chain behind a figure, a check, or of a kit its `verdict`, `price` or `time`.

use workshop::answer::KnownVan;
use workshop::catalogue::Catalogue;
use workshop::facts::Words;
use workshop::kit::Kit;
use workshop::load_list::LoadState;
use workshop::ride::AskedRide;
use workshop::wheels::{Rim, Tyre};
use workshop::why::{Asked, Place, Why};
use workshop::why_as_found::AskedAsFound;
use workshop::why_check::CheckAsked;
use workshop::wording::{Axle, CHECK_NAMES};

use crate::answers::{self, Unanswered, kit_for};

/// Corners by name, in corner order.
const CORNERS: [(&str, usize); 4] =
    [("front_left", 0), ("front_right", 1), ("rear_left", 2), ("rear_right", 3)];

/// What can be asked of a kit as a whole.
const OF_A_KIT: [&str; 3] = ["verdict", "price", "time"];

/// What is asked.
pub struct Question<'a> {
    /// Kit; the van as it stands today if absent.
    pub kit: Option<&'a str>,
    /// Figure by its name in JSON, a check, or `verdict`, `price`, `time`.
    pub figure: &'a str,
    /// Corner, such as `front_left`.
    pub corner: Option<&'a str>,
    /// Load state; that of the wish if absent.
    pub state: Option<&'a str>,
    /// Rim of the workshop's list; with a tyre.
    pub rim: Option<&'a str>,
    /// Tyre of the workshop's list; with a rim.
    pub tyre: Option<&'a str>,
}

/// Figures of JSON that repeat another.
const REPEATED: [(&str, Asked); 4] = [
    ("left_mm", Asked::BumpTravelToMetal),
    ("in_hand_mm", Asked::CaptiveInHand),
    ("lowest_rest_mm", Asked::FrictionBand),
    ("highest_rest_mm", Asked::FrictionBand),
];

/// What a remark says is left to a plate: of the axle of a corner, or of the gross mass where none is given.
fn left_to_plate(question: &Question) -> Asked {
    if question.corner.is_some() { Asked::AxleMargin } else { Asked::GrossMargin }
}

/// The chain behind what is asked.
///
/// # Errors
/// [`Unanswered`].
pub fn why(known: &KnownVan, question: &Question) -> Result<Why, Unanswered> {
    let catalogue = known.catalogue;
    if is_a_check(question.figure) {
        of_a_check(known, catalogue, question)
    } else if OF_A_KIT.contains(&question.figure) {
        of_a_kit(known, catalogue, question)
    } else if let Some(asked) = of_name(&AskedAsFound::CHOICES, question.figure) {
        as_found(known, question, asked)
    } else if let Some(asked) = of_name(&AskedRide::CHOICES, question.figure) {
        of_a_ride(known, catalogue, question, asked)
    } else {
        of_a_figure(known, catalogue, question)
    }
}

/// Whether the figure is that of a corner and none was named: the front left one is told then.
pub fn default_corner(question: &Question) -> bool {
    let of_a_corner =
        |(name, asked): &(&str, Asked)| *name == question.figure && asked.place() == Place::Corner;
    let of_an_axle = of_name(&AskedRide::CHOICES, question.figure).is_some_and(AskedRide::is_of_an_axle);
    question.corner.is_none() && (of_an_axle || Asked::CHOICES.iter().any(of_a_corner))
}

fn is_a_check(name: &str) -> bool {
    CHECK_NAMES.iter().any(|(check, _)| *check == name)
}

fn of_name<T: Copy>(choices: &[(&str, T)], name: &str) -> Option<T> {
    choices.iter().find(|(choice, _)| *choice == name).map(|(_, choice)| *choice)
}

/// What the arch heights as found tell of the axle of a corner, the front where none is given.
fn as_found(known: &KnownVan, question: &Question, asked: AskedAsFound) -> Result<Why, Unanswered> {
    let axle = Axle::of(corner_of(question)? / 2);
    known.why_as_found(asked, axle)?.ok_or_else(|| {
        let allowed = Words {
            en: "a figure that this enquiry has, as it gives no arch heights as found".to_owned(),
            de: "eine Größe dieser Anfrage; sie nennt keine Radlaufhöhen im Anlieferzustand".to_owned(),
        };
        Unanswered::wrong_name("figure", question.figure, allowed)
    })
}

/// The chain behind a figure of ride, in the load state of the wish where none is given.
fn of_a_ride(
    known: &KnownVan,
    catalogue: &Catalogue,
    question: &Question,
    asked: AskedRide,
) -> Result<Why, Unanswered> {
    let kit = question.kit.map(|id| kit_for(catalogue, &known.enquiry.vehicle, id)).transpose()?;
    let state = match question.state {
        Some(name) => one_of(name, "state", &LoadState::CHOICES, &[])?,
        None => known.enquiry.wish.state,
    };
    Ok(known.why_ride(kit.as_ref(), asked, corner_of(question)?, state)?)
}

fn corner_of(question: &Question) -> Result<usize, Unanswered> {
    question.corner.map_or(Ok(0), |name| one_of(name, "corner", &CORNERS, &[]))
}

fn of_a_figure(known: &KnownVan, catalogue: &Catalogue, question: &Question) -> Result<Why, Unanswered> {
    let kit = question.kit.map(|id| kit_for(catalogue, &known.enquiry.vehicle, id)).transpose()?;
    let kit = kit.as_ref();
    let checks = CHECK_NAMES.map(|(check, _)| check);
    let as_found = AskedAsFound::CHOICES.map(|(name, _)| name);
    let ride = AskedRide::CHOICES.map(|(name, _)| name);
    let more = [&OF_A_KIT[..], &as_found, &ride, &checks].concat();
    let asked = match of_name(&REPEATED, question.figure) {
        Some(asked) => asked,
        None if question.figure == "left_kg" => left_to_plate(question),
        None => one_of(question.figure, "figure", &Asked::CHOICES, &more)?,
    };
    let corner = corner_of(question)?;
    let state = match question.state {
        Some(name) => one_of(name, "state", &LoadState::CHOICES, &[])?,
        // the shortlist shows it fully laden
        None if asked == Asked::LeastBumpTravelToMetal => LoadState::FullyLaden,
        None => known.enquiry.wish.state,
    };
    Ok(known.why(kit, asked, corner, state)?)
}

/// The chain behind a check; of an axle that of its corner, the worse one where none is given.
fn of_a_check(known: &KnownVan, catalogue: &Catalogue, question: &Question) -> Result<Why, Unanswered> {
    let kit = question.kit.map(|id| kit_for(catalogue, &known.enquiry.vehicle, id)).transpose()?;
    let state = question.state.map(|name| one_of(name, "state", &LoadState::CHOICES, &[])).transpose()?;
    let asked = CheckAsked {
        kit: kit.as_ref(),
        name: question.figure,
        axle: question.corner.map(|_| corner_of(question)).transpose()?.map(|corner| Axle::of(corner / 2)),
        state,
        wheels: wheels(catalogue, question)?,
    };
    let why = known.why_check(&asked)?;
    why.ok_or_else(|| {
        let allowed = Words {
            en: "a check that this van has, in a load state in which it is made (archgap predict --kit --all)".to_owned(),
            de: "eine Prüfung dieses Wagens in einem Ladezustand, in dem sie gemacht wird (archgap predict --kit --all)".to_owned(),
        };
        Unanswered::wrong_name("figure", question.figure, allowed)
    })
}

/// Rim and tyre of the workshop's list; none where the question names neither.
fn wheels<'a>(
    catalogue: &'a Catalogue,
    question: &Question,
) -> Result<Option<(&'a Rim, &'a Tyre)>, Unanswered> {
    let offer = &catalogue.wheels;
    if question.rim.is_none() && question.tyre.is_none() {
        return Ok(None);
    }
    let (rim, tyre) = (question.rim.unwrap_or(""), question.tyre.unwrap_or(""));
    let rims: Vec<(&str, &Rim)> = offer.rims.iter().map(|rim| (rim.id.as_str(), rim)).collect();
    let rim = one_of(rim, "rim", &rims, &[])?;
    let fitting = offer.tyres.iter().filter(|tyre| rim.takes(tyre));
    let tyres: Vec<(&str, &Tyre)> = fitting.map(|tyre| (tyre.id.as_str(), tyre)).collect();
    Ok(Some((rim, one_of(tyre, "tyre", &tyres, &[])?)))
}

fn of_a_kit(known: &KnownVan, catalogue: &Catalogue, question: &Question) -> Result<Why, Unanswered> {
    let what = question.figure;
    let Some(id) = question.kit else {
        return Err(Unanswered::WrongName {
            field: "kit".to_owned(),
            found: Words { en: "nothing".to_owned(), de: "nichts".to_owned() },
            allowed: Words {
                en: format!("--kit ID, as a {what} is that of a kit"),
                de: format!("--kit ID, da {what} zu einem Satz gehört"),
            },
        });
    };
    if what == "verdict" {
        let kit = catalogue.offer(&known.enquiry.vehicle, id).map_or_else(|| any_kit(catalogue, id), Ok)?;
        return Ok(known.why_verdict(&kit));
    }
    let kit = kit_for(catalogue, &known.enquiry.vehicle, id)?;
    let why = if what == "price" { known.why_price(&kit)? } else { known.why_time(&kit)? };
    why.ok_or_else(|| {
        let allowed = Words {
            en: format!("a kit that is in, as this one is out and has no {what}; ask for its verdict"),
            de: format!(
                "ein Satz, der nicht ausscheidet, denn dieser hat kein {what}; nach seinem verdict fragen"
            ),
        };
        Unanswered::wrong_name("kit", id, allowed)
    })
}

/// Any kit of the catalogue: that it is not sold for the van is a verdict too.
fn any_kit(catalogue: &Catalogue, id: &str) -> Result<Kit, Unanswered> {
    catalogue.kit(id).cloned().ok_or_else(|| {
        let ids: Vec<&str> = catalogue.kits.iter().map(|kit| kit.id.as_str()).collect();
        Unanswered::wrong_name("kit", id, answers::one_of(&ids))
    })
}

fn one_of<T: Copy>(found: &str, what: &str, choices: &[(&str, T)], more: &[&str]) -> Result<T, Unanswered> {
    choices.iter().find(|(name, _)| *name == found).map(|(_, choice)| *choice).ok_or_else(|| {
        let names: Vec<&str> = choices.iter().map(|(name, _)| *name).chain(more.iter().copied()).collect();
        Unanswered::wrong_name(what, found, answers::one_of(&names))
    })
}
