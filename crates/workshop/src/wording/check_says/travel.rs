//! Travel, what ends it, and bump stops to be trimmed.

use crate::facts::Language;
use crate::load_list::LoadState;
use crate::sit::TravelEnd;
use crate::wording::{Axle, axle, load_state, travel_end, whole};

/// Bump travel to metal.
pub(crate) fn to_metal(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(format!("{place}: bump travel to metal"), format!("{place}: Einfederweg bis Metall"))
}

/// Captive springs.
pub(crate) fn captive(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!("{place}: spring compression left at full droop"),
        format!("{place}: Federspannung bei voller Ausfederung"),
    )
}

/// Room between the coils.
pub(crate) fn coil_bind(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!("{place}: room between the coils at metal; with none they end the travel"),
        format!("{place}: Luft zwischen den Windungen am Ende des Einfederns; ohne sie beenden sie den Weg"),
    )
}

/// Stroke of the damper used at rest.
pub(crate) fn damper_stroke(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!("{place}: damper stroke used at rest, from the open end"),
        format!("{place}: Dämpferhub in Ruhe, vom offenen Ende"),
    )
}

/// Steepest driveshaft.
pub(crate) fn driveshaft(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!("{place}: steepest driveshaft between full droop and full bump"),
        format!("{place}: steilste Antriebswelle zwischen Aus- und Einfederung"),
    )
}

/// Drop link near locking.
pub(crate) fn drop_link(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!("{place}: drop link against bar arm, least distance from locking"),
        format!("{place}: Koppelstange zum Stabilisatorarm, kleinster Abstand vom Sperren"),
    )
}

/// Pitch of a beam axle.
pub(crate) fn axle_pitch(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!("{place}: axle pitched against original (driveline angle), front up positive"),
        format!("{place}: Achse gegen Original verdreht (Gelenkwelle), vorn hoch positiv"),
    )
}

/// Whether the bump stops of an axle must be trimmed, and what it gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StopTrim {
    /// Axle.
    pub(crate) axle: Axle,
    /// Stops that are trimmed already, or by the kit.
    pub(crate) stands: Option<StandsTrimmed>,
    /// What comes of it.
    pub(crate) verdict: TrimVerdict,
}

/// A stop that is shorter than the whole one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StandsTrimmed {
    /// Whether the kit asks for it.
    pub(crate) by_kit: bool,
    /// Remaining height, mm.
    pub(crate) height_mm: f64,
    /// Height of the whole stop, mm.
    pub(crate) whole_mm: f64,
}

/// What trimming comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum TrimVerdict {
    /// Free travel is left as it is wanted.
    NotNeeded,
    /// The range of the figure reaches over what is wanted, or hardly anything would be cut.
    Perhaps,
    /// Trimmed to a height it is left.
    To {
        /// Remaining height, mm.
        height_mm: f64,
        /// Travel then.
        then: TravelThen,
    },
    /// It may be trimmed so far and no further, which is not enough.
    NoFurtherThan {
        /// Remaining height, mm.
        height_mm: f64,
        /// Travel then.
        then: TravelThen,
        /// What forbids more.
        held_by: TrimHeldBy,
    },
    /// Trimming gains nothing that may be used.
    Never {
        /// What forbids it.
        held_by: TrimHeldBy,
    },
}

/// Bump travel with the stop trimmed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TravelThen {
    /// Load state that asks for it.
    pub(crate) state: LoadState,
    /// Free bump travel, mm.
    pub(crate) free_mm: f64,
    /// To metal, mm.
    pub(crate) to_metal_mm: f64,
}

/// What forbids trimming any further.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum TrimHeldBy {
    /// Metal would meet before the stop is solid.
    Metal(TravelEnd),
    /// The tyre would meet the arch before the stop is solid.
    TyreInArch,
    /// So little of the stop would remain.
    LeastHeight,
}

/// What comes of trimming.
pub(crate) fn stop_trim(language: Language, trim: &StopTrim) -> String {
    let place = axle(language, trim.axle);
    let stands = trim.stands.map_or_else(String::new, |stands| stands_trimmed(language, &stands));
    let verdict = match trim.verdict {
        TrimVerdict::NotNeeded => language
            .pick("bump stops need no trimming", "Anschlagpuffer müssen nicht gekürzt werden")
            .to_owned(),
        TrimVerdict::Perhaps => language
            .pick(
                "bump stops may need trimming: measure the free travel on the ramp before anything is cut",
                "Anschlagpuffer müssen vielleicht gekürzt werden: erst den freien Weg auf der Bühne messen",
            )
            .to_owned(),
        TrimVerdict::To { height_mm, then } => {
            let (height, then) = (whole(height_mm), travel_then(language, &then));
            language.pick(
                format!("trim the bump stops to {height} mm where their maker allows it: {then}"),
                format!("Anschlagpuffer auf {height} mm kürzen, wo ihr Hersteller es erlaubt: {then}"),
            )
        }
        TrimVerdict::NoFurtherThan { height_mm, then, held_by } => {
            let (height, then) = (whole(height_mm), travel_then(language, &then));
            let held = trim_held_by(language, held_by);
            language.pick(
                format!("trim the bump stops to {height} mm and no further, {held}: {then}; that is not enough, stand higher or on stiffer springs"),
                format!("Anschlagpuffer auf {height} mm und nicht weiter kürzen, {held}: {then}; das reicht nicht, höher stellen oder steifere Federn"),
            )
        }
        TrimVerdict::Never { held_by } => {
            let held = trim_held_by(language, held_by);
            language.pick(
                format!("do not trim the bump stops, {held}: stand higher or on stiffer springs"),
                format!("Anschlagpuffer nicht kürzen, {held}: höher stellen oder steifere Federn"),
            )
        }
    };
    language.pick(
        format!("{place}: {verdict}{stands}; free bump travel"),
        format!("{place}: {verdict}{stands}; freier Einfederweg"),
    )
}

fn stands_trimmed(language: Language, stands: &StandsTrimmed) -> String {
    let [height, of] = [stands.height_mm, stands.whole_mm].map(whole);
    match (stands.by_kit, language) {
        (true, Language::English) => format!("; the kit's trimming to {height} of {of} mm is counted"),
        (true, Language::German) => {
            format!("; das Kürzen auf {height} von {of} mm nach dem Satz ist eingerechnet")
        }
        (false, Language::English) => format!("; they stand trimmed to {height} of {of} mm"),
        (false, Language::German) => format!("; sie sind schon auf {height} von {of} mm gekürzt"),
    }
}

fn travel_then(language: Language, then: &TravelThen) -> String {
    let state = load_state(language, then.state);
    let [free, metal] = [then.free_mm, then.to_metal_mm].map(whole);
    language.pick(
        format!("{state} it leaves {free} mm free and {metal} mm to metal"),
        format!("{state} bleiben {free} mm frei und {metal} mm bis Metall"),
    )
}

fn trim_held_by(language: Language, held_by: TrimHeldBy) -> String {
    match held_by {
        TrimHeldBy::Metal(end) => {
            let end = travel_end(language, end);
            language.pick(
                format!("metal would meet before they are solid ({end})"),
                format!("sonst schlägt Metall an, ehe sie auf Block sind ({end})"),
            )
        }
        TrimHeldBy::TyreInArch => language
            .pick(
                "the tyre would meet the arch before they are solid",
                "sonst schlägt der Reifen im Radhaus an, ehe sie auf Block sind",
            )
            .to_owned(),
        TrimHeldBy::LeastHeight => language
            .pick("too little of them would remain", "sonst bleibt zu wenig von ihnen übrig")
            .to_owned(),
    }
}

/// No stop is known.
pub(crate) fn stop_not_known(language: Language, of: Axle) -> String {
    let place = axle(language, of);
    language.pick(
        format!(
            "{place}: the sheet has no bump stop: look for one, measure its height and where it is touched"
        ),
        format!(
            "{place}: im Datenblatt fehlt der Anschlagpuffer: danach sehen, Höhe und erste Berührung messen"
        ),
    )
}
