//! Room around a tyre.

use crate::facts::Language;
use crate::wording::{Axle, axle, fixed, signed, whole};

/// A rim that is smaller than the original one, inch.
pub(crate) fn over_the_brakes(language: Language, rim_inch: f64, original_inch: f64) -> String {
    let [rim, original] = [rim_inch, original_inch].map(|inch| fixed(language, inch, 0));
    language.pick(
        format!("the rim is {rim} inch, the original {original}: try it over the brakes without a tyre"),
        format!(
            "die Felge hat {rim} Zoll, die originale {original}: ohne Reifen über der Bremse anprobieren"
        ),
    )
}

/// The original wheel is not known.
pub(crate) fn original_not_known(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!("{place}: size, rim width or offset of the original wheel not known: read them off it, and measure the room inboard, outboard and at lock"),
        format!("{place}: Größe, Felgenbreite oder Einpresstiefe des Originalrads nicht bekannt: ablesen und Freigang innen, außen und bei vollem Einschlag messen"),
    )
}

/// Nothing has grown.
pub(crate) fn within_original(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!("{place}: the wheel lies within the outline of the original one"),
        format!("{place}: das Rad bleibt innerhalb des Umrisses vom Originalrad"),
    )
}

/// Where the travel stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum When {
    /// At rest.
    Rest,
    /// At full bump.
    FullBump,
    /// At design height: there is no camber over travel.
    Design,
}

fn when(language: Language, when: When) -> &'static str {
    match when {
        When::Rest => language.pick("at rest", "in Ruhe"),
        When::FullBump => language.pick("at full bump", "voll eingefedert"),
        When::Design => language.pick("at design height", "in Konstruktionslage"),
    }
}

/// A side of the tyre and its room to what is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Beside {
    /// Towards the middle of the van.
    Inboard,
    /// Towards the arch lip.
    Outboard,
}

/// Room beside the tyre, mm.
pub(crate) fn beside(language: Language, of: Axle, side: Beside, at: When, left_mm: f64) -> String {
    let (place, left, at_words) = (axle(language, of), whole(left_mm), when(language, at));
    let look = if at == When::Design {
        language.pick(
            "; the sheet gives no camber over travel: look at it in full bump",
            "; das Datenblatt kennt keinen Sturz über dem Federweg: voll eingefedert ansehen",
        )
    } else {
        ""
    };
    match side {
        Beside::Inboard => language.pick(
            format!("{place}: room inboard of the tyre {at_words}: {left} mm{look}"),
            format!("{place}: Freigang innen am Reifen {at_words}: {left} mm{look}"),
        ),
        Beside::Outboard => language.pick(
            format!("{place}: room from the tyre to the arch lip {at_words}: {left} mm{look}"),
            format!("{place}: Freigang vom Reifen zur Radlaufkante {at_words}: {left} mm{look}"),
        ),
    }
}

/// Room beside the tyre that nobody measured; how much further the edge stands, mm.
pub(crate) fn beside_not_known(language: Language, of: Axle, side: Beside, further_mm: f64) -> String {
    let (place, further) = (axle(language, of), signed(language, further_mm, 0));
    match side {
        Beside::Inboard => language.pick(
            format!("{place}: inner edge {further} mm towards strut and wheel house; measure the free width inboard of the original tyre"),
            format!("{place}: Innenkante {further} mm zu Federbein und Radhaus hin; freie Breite innen am Originalreifen messen"),
        ),
        Beside::Outboard => language.pick(
            format!("{place}: outer edge {further} mm towards the arch; measure from the original tyre's outer edge to the plane of the arch lip"),
            format!("{place}: Außenkante {further} mm zum Radlauf hin; von der Außenkante des Originalreifens bis zur Ebene der Radlaufkante messen"),
        ),
    }
}

/// Room to the strut, which moves and steers with the wheel, mm.
pub(crate) fn to_strut(language: Language, of: Axle, left_mm: f64) -> String {
    let (place, left) = (axle(language, of), whole(left_mm));
    language.pick(
        format!("{place}: room between tyre and strut, the same over all travel and lock: {left} mm"),
        format!(
            "{place}: Freigang zwischen Reifen und Federbein, über Federweg und Einschlag gleich: {left} mm"
        ),
    )
}

fn up_to(language: Language, strut: bool) -> &'static str {
    if strut {
        language.pick("the spring seat of the strut", "zum Federteller des Federbeins")
    } else {
        language.pick("the wheel house at full bump", "zum Radhaus, voll eingefedert")
    }
}

/// Room above the crown, mm.
pub(crate) fn above(language: Language, of: Axle, strut: bool, left_mm: f64) -> String {
    let (place, to, left) = (axle(language, of), up_to(language, strut), whole(left_mm));
    language.pick(
        format!("{place}: least room from the tyre's crown to {to}: {left} mm"),
        format!("{place}: kleinster Freigang von der Lauffläche bis {to}: {left} mm"),
    )
}

/// Room above the crown that nobody measured; how much taller the tyre is, mm.
pub(crate) fn above_not_known(language: Language, of: Axle, strut: bool, taller_mm: f64) -> String {
    let (place, to, taller) = (axle(language, of), up_to(language, strut), fixed(language, taller_mm, 1));
    language.pick(
        format!("{place}: the tyre is {taller} mm taller; measure from the original tyre's crown to {to}"),
        format!("{place}: der Reifen ist {taller} mm höher; von der Lauffläche des Originalreifens bis {to} messen"),
    )
}

/// How much nearer a tyre comes at full lock, and what that is known from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum LockReach {
    /// Through bump and rebound, from steered poses.
    Through(LockPose),
    /// By its growth alone, at design height: the lock angle is not known.
    AngleNotKnown {
        /// By so much, mm.
        nearer_mm: f64,
    },
    /// By its growth alone: the linkage is not known, or does not reach that lock.
    LinkageNotKnown {
        /// By so much, mm.
        nearer_mm: f64,
    },
}

/// The pose in which a tyre comes nearest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LockPose {
    /// Nearer than the original wheel at design height, mm.
    pub(crate) nearer_mm: f64,
    /// So much nearer comes the original wheel itself in that pose, mm.
    pub(crate) original_mm: f64,
    /// Travel from design height, bump positive, mm.
    pub(crate) travel_mm: f64,
    /// On the inside of the bend.
    pub(crate) inside: bool,
    /// Towards the rear of the van, else towards its front.
    pub(crate) behind: bool,
    /// Towards the middle of the van, else outwards.
    pub(crate) inboard: bool,
}

impl LockReach {
    /// By how much it comes nearer, mm.
    pub(crate) fn nearer_mm(&self) -> f64 {
        match *self {
            Self::Through(LockPose { nearer_mm, .. })
            | Self::AngleNotKnown { nearer_mm }
            | Self::LinkageNotKnown { nearer_mm } => nearer_mm,
        }
    }
}

fn reach(language: Language, reach: &LockReach) -> String {
    let nearer = whole(reach.nearer_mm());
    match reach {
        LockReach::Through(pose) => {
            let original = whole(pose.original_mm);
            let travel = whole(pose.travel_mm.abs());
            let way = match (travel.as_str(), pose.travel_mm > 0.0) {
                ("0", _) => language.pick("at design height".to_owned(), "in Konstruktionslage".to_owned()),
                (_, true) => language.pick(
                    format!("{travel} mm up from design height"),
                    format!("{travel} mm über Konstruktionslage eingefedert"),
                ),
                (_, false) => language.pick(
                    format!("{travel} mm down from design height"),
                    format!("{travel} mm unter Konstruktionslage ausgefedert"),
                ),
            };
            let bend = if pose.inside {
                language.pick("inside the bend", "kurveninnen")
            } else {
                language.pick("outside the bend", "kurvenaußen")
            };
            let ends = match (pose.behind, pose.inboard) {
                (true, true) => language.pick("inboard behind the wheel", "innen hinter dem Rad"),
                (true, false) => language.pick("outboard behind the wheel", "außen hinter dem Rad"),
                (false, true) => language.pick("inboard ahead of the wheel", "innen vor dem Rad"),
                (false, false) => language.pick("outboard ahead of the wheel", "außen vor dem Rad"),
            };
            language.pick(
                format!("the tyre comes up to {nearer} mm nearer than the original did at design height, the original itself {original} mm: {bend}, {way}, {ends}"),
                format!("der Reifen kommt bis {nearer} mm näher als das Originalrad in Konstruktionslage, das Originalrad selbst {original} mm: {bend}, {way}, {ends}"),
            )
        }
        LockReach::AngleNotKnown { .. } => language.pick(
            format!("the tyre comes up to {nearer} mm nearer at design height; read on turn plates how far the inner wheel turns, and look at it through bump and rebound"),
            format!("der Reifen kommt in Konstruktionslage bis {nearer} mm näher; auf Drehtellern ablesen, wie weit das innere Rad einschlägt, und über den Federweg ansehen"),
        ),
        LockReach::LinkageNotKnown { .. } => language.pick(
            format!("the tyre comes up to {nearer} mm nearer at design height; without hardpoints it is looked at through bump and rebound"),
            format!("der Reifen kommt in Konstruktionslage bis {nearer} mm näher; ohne Aufhängungspunkte wird es über den Federweg angesehen"),
        ),
    }
}

/// Room at full lock, mm.
pub(crate) fn at_lock(language: Language, left_mm: f64, how: &LockReach) -> String {
    let (left, reach) = (whole(left_mm), reach(language, how));
    language.pick(
        format!("front: least room at full lock {left} mm, wherever the nearest part is; {reach}"),
        format!(
            "vorn: kleinster Freigang bei vollem Einschlag {left} mm, wo immer das nächste Teil ist; {reach}"
        ),
    )
}

/// Room at full lock that nobody measured.
pub(crate) fn at_lock_not_known(language: Language, how: &LockReach) -> String {
    let reach = reach(language, how);
    language.pick(
        format!("front: measure the least gap of the original wheel at full lock, both ways; {reach}"),
        format!("vorn: kleinsten Abstand des Originalrads bei vollem Einschlag messen, beidseitig; {reach}"),
    )
}
