//! Names of things.

use super::remarks::{Axle, Plate};
use crate::answer::Weight;
use crate::belief::CORNER_WORDS;
use crate::enquiry::WishKind;
use crate::facts::Language;
use crate::figure::Evidence;
use crate::kit::KitFamily;
use crate::load_list::LoadState;
use crate::sit::TravelEnd;

/// A load state.
pub fn load_state(language: Language, state: LoadState) -> &'static str {
    match state {
        LoadState::AsFittedOut => language.pick("as fitted out", "wie ausgebaut"),
        LoadState::DayToDay => language.pick("day to day", "im Alltag"),
        LoadState::FullyLaden => language.pick("fully laden", "voll beladen"),
        LoadState::OnTheRamp => language.pick("on the ramp", "auf der Bühne"),
    }
}

/// Where a figure comes from.
pub fn evidence(language: Language, evidence: Evidence) -> &'static str {
    match evidence {
        Evidence::Measured => language.pick("measured", "gemessen"),
        Evidence::Plate => language.pick("plate", "Typschild"),
        Evidence::MakersFigure => language.pick("maker's figure", "Herstellerangabe"),
        Evidence::Estimated => language.pick("estimated", "geschätzt"),
        Evidence::Computed => language.pick("computed", "berechnet"),
    }
}

/// How strongly a remark speaks.
pub fn weight(language: Language, weight: Weight) -> &'static str {
    match weight {
        Weight::Stop => language.pick("STOP", "HALT"),
        Weight::LookAtIt => language.pick("look at it", "ansehen"),
        Weight::Note => language.pick("note", "Hinweis"),
    }
}

/// What kind of kit it is.
pub fn family(language: Language, family: KitFamily) -> &'static str {
    match family {
        KitFamily::FixedSprings => language.pick("fixed springs", "feste Federn"),
        KitFamily::AdjustableRear => language.pick("adjustable rear", "hinten verstellbar"),
        KitFamily::AdjustableStruts => language.pick("adjustable struts", "verstellbare Federbeine"),
        KitFamily::Dampers => language.pick("dampers", "Dämpfer"),
        KitFamily::Lift => language.pick("lift", "Höherlegung"),
        KitFamily::AdjustableDamping => {
            language.pick("adjustable struts and damping", "verstellbare Federbeine mit Dämpferverstellung")
        }
        KitFamily::ExtraLow => language.pick("extra low", "besonders tief"),
        KitFamily::Blocks => language.pick("lowering blocks", "Klötze"),
        KitFamily::LeafWork => language.pick("work on the leaf springs", "Arbeit an den Blattfedern"),
        KitFamily::TorsionBars => language.pick("torsion bars", "Drehstäbe"),
        KitFamily::AuxiliaryAir => language.pick("auxiliary air", "Zusatzluftfedern"),
        KitFamily::Combination => {
            language.pick("springs and dampers of two kits", "Federn und Dämpfer aus zwei Sätzen")
        }
    }
}

/// Where an axle is.
pub fn axle(language: Language, axle: Axle) -> &'static str {
    match axle {
        Axle::Front => language.pick("front", "vorn"),
        Axle::Rear => language.pick("rear", "hinten"),
    }
}

/// The same by its name in answers.
pub fn axle_named(language: Language, name: &str) -> &'static str {
    axle(language, Axle::named(name))
}

/// A corner, from 0 to 3.
pub fn corner(language: Language, corner: usize) -> &'static str {
    const GERMAN: [&str; 4] = ["vorn links", "vorn rechts", "hinten links", "hinten rechts"];
    let corner = corner.min(3);
    language.pick(CORNER_WORDS[corner], GERMAN[corner])
}

/// The same by its name in answers.
pub fn corner_named(language: Language, name: &str) -> &'static str {
    corner(language, CORNER_WORDS.iter().position(|corner| *corner == name).unwrap_or(0))
}

/// What the plate limits.
pub fn plated(language: Language, plate: Plate) -> &'static str {
    match plate {
        Plate::GrossMass => language.pick("plated gross mass", "zulässige Gesamtmasse"),
        Plate::FrontAxle => language.pick("plated front axle load", "zulässige Achslast vorn"),
        Plate::RearAxle => language.pick("plated rear axle load", "zulässige Achslast hinten"),
    }
}

/// What ends the travel of a wheel.
pub fn travel_end(language: Language, end: TravelEnd) -> &'static str {
    match end {
        TravelEnd::BumpStopSolid => language.pick("bump stop solid", "Puffer auf Block"),
        TravelEnd::DamperClosed => language.pick("damper closed", "Dämpfer zu"),
        TravelEnd::CoilBind => language.pick("coil bind", "Feder auf Block"),
        TravelEnd::DamperOpen => language.pick("damper open", "Dämpfer offen"),
        TravelEnd::EndOfLinkage => language.pick("end of the linkage", "Ende der Lenkerbahn"),
    }
}

/// What a shortlist is sorted by, in a word.
pub fn wish(language: Language, wish: WishKind) -> &'static str {
    match wish {
        WishKind::Drop => language.pick("drop", "Tieferlegung"),
        WishKind::Level => language.pick("level", "Niveau"),
        WishKind::Travel => language.pick("travel", "Federweg"),
        WishKind::LoadReserve => language.pick("load reserve", "Lastreserve"),
        WishKind::Clearance => language.pick("ground clearance", "Bodenfreiheit"),
        WishKind::Comfort => language.pick("comfort", "Komfort"),
    }
}

/// Standing phrases of sources in data files, which are written in one language; longer ones first.
const SOURCE_PHRASES: [[&str; 2]; 13] = [
    ["common practice, no source for what is on the market", "gängige Praxis, ohne Quelle für den Markt"],
    ["overwrite with your own ramp records", "mit eigenen Aufzeichnungen zu überschreiben"],
    ["common practice, no source", "gängige Praxis, ohne Quelle"],
    ["elsewhere as local law says", "anderswo nach örtlichem Recht"],
    ["testing practice for spring changes", "Prüfpraxis bei Federtausch"],
    ["maker's instruction", "Herstelleranweisung"],
    ["maker's fitting list", "Verwendungsliste des Herstellers"],
    ["UN Regulation No.", "UN-Regelung Nr."],
    ["Regulation (EU)", "Verordnung (EU)"],
    ["load index", "Tragfähigkeitskennzahl"],
    ["from memory", "aus dem Gedächtnis"],
    ["Annex", "Anhang"],
    ["(2) and (3)", "(2) und (3)"],
];

/// A source as it is cited: in German the standing phrases are put into German, names of standards stay.
pub fn source(language: Language, source: &str) -> String {
    match language {
        Language::English => source.to_owned(),
        Language::German => {
            let computed = if source == "computed" { "berechnet" } else { source };
            SOURCE_PHRASES.iter().fold(computed.to_owned(), |text, [en, de]| text.replace(en, de))
        }
    }
}
