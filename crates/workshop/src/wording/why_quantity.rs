//! Numbers that go into a check, or come out on the way, by name.

use super::{Said, fixed};
use crate::document::unit_of;
use crate::facts::Language;

/// Where a number comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NumberFrom {
    /// Vehicle sheet.
    Sheet,
    /// Maker of rim or tyre.
    WheelMaker,
    /// Statutory plate.
    Plate,
    /// Measured.
    Measured,
    /// Common practice.
    Practice,
    /// Computed.
    Computed,
}

/// A number by name.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Quantity {
    /// What it is, in English and German.
    pub(crate) what: [&'static str; 2],
    /// Its value.
    pub(crate) value: f64,
    /// Its unit, as names of fields end in it; `count` for whole numbers, nothing for a ratio.
    pub(crate) unit: &'static str,
    /// Where it comes from.
    pub(crate) from: NumberFrom,
}

impl Said for Quantity {
    fn words(&self, language: Language) -> String {
        let [english, german] = self.what;
        let decimals = match self.unit {
            "kg" | "nm_per_deg" | "count" => 0,
            "deg" | "deg_per_g" | "percent" => 2,
            "" => 3,
            _ => 1,
        };
        let symbol = match self.unit {
            "inch" => language.pick("inch", "Zoll"),
            "count" => "",
            unit => unit_of(unit),
        };
        let apart = if symbol.is_empty() || symbol.starts_with('°') { "" } else { " " };
        let from = match self.from {
            NumberFrom::Sheet => language.pick("vehicle sheet", "Datenblatt"),
            NumberFrom::WheelMaker => {
                language.pick("maker's figure of rim or tyre", "Herstellerangabe zu Felge oder Reifen")
            }
            NumberFrom::Plate => language.pick("statutory plate", "Typschild"),
            NumberFrom::Measured => language.pick("measured", "gemessen"),
            NumberFrom::Practice => language.pick("common practice, no source", "Praxis, ohne Quelle"),
            NumberFrom::Computed => language.pick("computed", "berechnet"),
        };
        let number = fixed(language, self.value, decimals);
        format!("{}: {number}{apart}{symbol} ({from})", language.pick(english, german))
    }
}

/// Names of numbers, English and German.
pub(crate) mod name {
    macro_rules! names {
        ($($name:ident = $english:literal, $german:literal;)+) => {
            $(pub(crate) const $name: [&str; 2] = [$english, $german];)+
        };
    }

    names! {
        OPEN_LENGTH = "damper length, open", "Dämpferlänge, ausgezogen";
        CLOSED_LENGTH = "damper length, closed", "Dämpferlänge, eingeschoben";
        LENGTH_AT_REST = "damper length at rest", "Dämpferlänge im Stand";
        STROKE_USED = "stroke used: (open - at rest) / (open - closed)", "Hub genutzt: (ausgezogen - im Stand) / (ausgezogen - eingeschoben)";
        TRAVEL_AT_REST = "wheel travel at rest, from design height", "Radweg im Stand, ab Konstruktionslage";
        TRAVEL_AT_DROOP = "wheel travel at full droop, from design height", "Radweg ganz ausgefedert, ab Konstruktionslage";
        TRAVEL_AT_METAL = "wheel travel at metal, from design height", "Radweg bei Metall, ab Konstruktionslage";
        ANGLE_AT_DROOP = "angle at full droop", "Winkel ganz ausgefedert";
        ANGLE_AT_METAL = "angle at metal", "Winkel bei Metall";
        AXLE_LEAN_NEW = "lean of the axle on new original parts", "Neigung der Achse mit neuen Originalteilen";
        AXLE_LEAN_NOW = "lean of the axle now", "Neigung der Achse jetzt";
        FRONT_ARCH_NEW = "front arch height on new original parts", "Radlaufhöhe vorn mit neuen Originalteilen";
        FRONT_ARCH_NOW = "front arch height now", "Radlaufhöhe vorn jetzt";
        REAR_ARCH_NEW = "rear arch height on new original parts", "Radlaufhöhe hinten mit neuen Originalteilen";
        REAR_ARCH_NOW = "rear arch height now", "Radlaufhöhe hinten jetzt";
        DROOP_NEW = "wheel travel at full droop on new original parts, from design height", "Radweg ganz ausgefedert mit neuen Originalteilen, ab Konstruktionslage";
        FRONT_WHEEL_RADIUS = "front wheel centre above the ground", "Radmitte vorn über dem Boden";
        REAR_WHEEL_RADIUS = "rear wheel centre above the ground", "Radmitte hinten über dem Boden";
        STIFFER_BAR = "rate of the stronger bar, times the present one", "Rate des stärkeren Stabilisators, mal die jetzige";
        FRONT_SHARE = "front share of the load transfer", "Anteil vorn an der Radlastverlagerung";
        BAR_STIFFNESS = "roll stiffness of the bar alone", "Wanksteifigkeit des Stabilisators allein";
        ROLL_CENTRE_TODAY = "roll centre above the ground today", "Wankzentrum über der Fahrbahn heute";
        TRACK_FRONT = "front track at rest", "Spurweite vorn im Stand";
        TRACK_REAR = "rear track at rest", "Spurweite hinten im Stand";
        TYRE_CARRIES = "one tyre carries", "ein Reifen trägt";
        RIM_CARRIES = "one rim carries", "eine Felge trägt";
        TWO_CARRY = "two of them carry", "zwei davon tragen";
        PLATED_AXLE = "plated axle load", "zulässige Achslast";
        WHEEL_LOAD = "load of the heavier wheel", "Last des schwereren Rades";
        REFERENCE_PRESSURE = "pressure for the load index", "Druck zum Tragfähigkeitsindex";
        LEAST_PRESSURE = "pressure below which it is not run", "Druck, unter dem er nicht gefahren wird";
        NEEDED_PRESSURE = "pressure that carries the load", "Druck, der die Last trägt";
        SYMBOL_SPEED = "speed of the speed symbol", "Geschwindigkeit zum Symbol";
        TOP_SPEED = "top speed of the van", "Höchstgeschwindigkeit des Wagens";
        RIM_WIDTH = "width of the rim", "Breite der Felge";
        MEASURING_RIM = "measuring rim of the tyre", "Messfelge des Reifens";
        LEAST_RIM = "narrowest rim allowed", "schmalste erlaubte Felge";
        MOST_RIM = "widest rim allowed", "breiteste erlaubte Felge";
        RIM_CIRCLE = "bolt circle of the rim", "Lochkreis der Felge";
        HUB_CIRCLE = "bolt circle of the hub", "Lochkreis der Nabe";
        RIM_BORE = "centre bore of the rim", "Mittenloch der Felge";
        HUB_SPIGOT = "spigot of the hub", "Zentrierung der Nabe";
        RIM_HOLES = "holes of the rim", "Löcher der Felge";
        HUB_BOLTS = "bolts of the hub", "Schrauben der Nabe";
        SEAT_DEPTH = "mounting face to seat", "Anlagefläche bis Sitz";
        SPACER = "spacer", "Distanzscheibe";
        FIXING_LENGTH = "thread of the bolt beyond its seat, or in the nut", "Gewinde der Schraube ab dem Sitz oder in der Mutter";
        HUB_THREAD = "thread of the hub, or stud beyond the mounting face", "Gewinde der Nabe oder Bolzen über der Anlagefläche";
        LEAST_ENGAGED = "thread that must hold", "Gewinde, das tragen muss";
        ORIGINAL_RIM_DIAMETER = "diameter of the original rim", "Durchmesser der Originalfelge";
        RIM_DIAMETER = "diameter of the rim", "Durchmesser der Felge";
        ORIGINAL_OFFSET = "offset of the original rim", "Einpresstiefe der Originalfelge";
        OFFSET = "offset of the rim", "Einpresstiefe der Felge";
        ORIGINAL_RIM_WIDTH = "width of the original rim", "Breite der Originalfelge";
        ORIGINAL_DIAMETER = "outer diameter of the original tyre", "Außendurchmesser des Originalreifens";
        DIAMETER = "outer diameter of the tyre", "Außendurchmesser des Reifens";
        SECTION = "section width on this rim", "Querschnittsbreite auf dieser Felge";
        ORIGINAL_SECTION = "section width of the original tyre on its rim", "Querschnittsbreite des Originalreifens auf seiner Felge";
        FURTHER_OUT = "outer edge further out", "Außenkante weiter außen";
        FURTHER_IN = "inner edge further in", "Innenkante weiter innen";
        TALLER = "crown higher", "Lauffläche höher";
        ROOM_INBOARD = "room inboard of the original tyre", "Freigang innen am Originalreifen";
        ROOM_OUTBOARD = "room outboard of the original tyre", "Freigang außen am Originalreifen";
        ROOM_ABOVE = "room above the original tyre", "Freigang über dem Originalreifen";
        ROOM_AT_LOCK = "room of the original wheel at full lock", "Freigang des Originalrads bei vollem Einschlag";
        CIRCUMFERENCE_RATIO = "rolling circumference against the original", "Abrollumfang gegen Original";
        SPEEDOMETER_LEAD = "lead of the speedometer on original tyres", "Voreilung des Tachos mit Originalreifen";
        INDICATED = "shown by the speedometer", "Anzeige des Tachos";
        TRUE_SPEED = "true speed then", "wahre Geschwindigkeit dabei";
        SCRUB_BEFORE = "scrub radius at rest, original wheel", "Lenkrollradius im Stand, Originalrad";
        MOVED_OUT = "wheel centre further out", "Radmitte weiter außen";
        FOUND_ARCH = "mean arch height found", "mittlere Radlaufhöhe gefunden";
        EXPECTED_ARCH = "mean arch height expected on new original springs", "mittlere Radlaufhöhe, erwartet mit neuen Serienfedern";
        ARCH_DIFFERENCE = "found less expected", "gefunden minus erwartet";
        LOAD_ALONE = "load that alone would explain it", "Last, die es allein erklären würde";
        SAG_ALONE = "loss of length that alone would explain it", "Längenverlust, der es allein erklären würde";
    }
}
