//! A rim on the hub.

use super::plain;
use crate::facts::{Language, Words};
use crate::wheels::{FixingKind, Seat};
use crate::wording::fixed;

/// Form of a seat.
fn seat_form(language: Language, seat: Seat) -> &'static str {
    match seat {
        Seat::Cone => language.pick("cone", "Kegel"),
        Seat::Ball => language.pick("ball", "Kugel"),
        Seat::Flat => language.pick("flat", "Flach"),
    }
}

/// What holds a wheel, several of them.
fn fixings(language: Language, kind: FixingKind) -> &'static str {
    match kind {
        FixingKind::Bolt => language.pick("bolts", "Schrauben"),
        FixingKind::Nut => language.pick("nuts", "Muttern"),
    }
}

/// The original fixing is not known.
pub(crate) fn fixing_not_known() -> Words {
    plain(
        "look at the original fixing: bolt or nut, form of the seat, thread, length",
        "Originalbefestigung ansehen: Schraube oder Mutter, Form des Sitzes, Gewinde, Länge",
    )
}

/// How many bolts the hub has is not known.
pub(crate) fn bolts_not_known() -> Words {
    plain("count the bolts of a wheel", "Schrauben eines Rades zählen")
}

/// Holes of the rim and of the hub.
pub(crate) fn bolts(language: Language, rim: i64, hub: i64) -> String {
    language.pick(
        format!("the rim has {rim} holes, the hub {hub}"),
        format!("die Felge hat {rim} Löcher, die Nabe {hub}"),
    )
}

/// Bolt circle of the rim, and of the hub where it is known, mm.
pub(crate) fn bolt_circle(language: Language, rim_mm: f64, hub_mm: Option<f64>) -> String {
    let rim = fixed(language, rim_mm, 1);
    match hub_mm.map(|mm| fixed(language, mm, 1)) {
        None => language.pick(
            format!("bolt circle of the hub not known: measure it; the rim's is {rim} mm"),
            format!("Lochkreis der Nabe nicht bekannt: messen; der der Felge hat {rim} mm"),
        ),
        Some(hub) => language.pick(
            format!("bolt circle of the rim {rim} mm, of the hub {hub} mm"),
            format!("Lochkreis der Felge {rim} mm, der Nabe {hub} mm"),
        ),
    }
}

/// Bore of the rim, and spigot of the hub where it is known, mm; whether a ring must centre it.
pub(crate) fn centre_bore(language: Language, rim_mm: f64, hub_mm: Option<f64>, with_ring: bool) -> String {
    let rim = fixed(language, rim_mm, 1);
    let Some(hub) = hub_mm.map(|mm| fixed(language, mm, 1)) else {
        return language.pick(
            format!("spigot of the hub not known: measure it; the rim's bore is {rim} mm"),
            format!("Zentrierung der Nabe nicht bekannt: messen; die Mittenbohrung der Felge hat {rim} mm"),
        );
    };
    let ring = language.pick(
        ": only with the centring ring of the rim's maker",
        ": nur mit dem Zentrierring des Felgenherstellers",
    );
    let ring = if with_ring { ring } else { "" };
    language.pick(
        format!("centre bore of the rim {rim} mm, spigot of the hub {hub} mm{ring}"),
        format!("Mittenbohrung der Felge {rim} mm, Zentrierung der Nabe {hub} mm{ring}"),
    )
}

/// Seats of the rim and of the original fixing; whether fixings come with the rim.
pub(crate) fn seat(
    language: Language,
    rim: Seat,
    original: Seat,
    kind: FixingKind,
    come_with: bool,
) -> String {
    let [of_rim, of_original] = [rim, original].map(|seat| seat_form(language, seat));
    let fixings = fixings(language, kind);
    match (rim == original, come_with) {
        (true, _) => language.pick(
            format!("seat of the rim: {of_rim}, as the original"),
            format!("Sitz der Felge: {of_rim}, wie original"),
        ),
        (false, true) => language.pick(
            format!("seat of the rim: {of_rim}, original {of_original}: only with the {fixings} that come with the rim, never the original ones, spare wheel included"),
            format!("Sitz der Felge: {of_rim}, original {of_original}: nur mit den {fixings} der Felge, nie mit den originalen, auch am Reserverad"),
        ),
        (false, false) => language.pick(
            format!("seat of the rim: {of_rim}, of the original {fixings}: {of_original}; none come with the rim"),
            format!("Sitz der Felge: {of_rim}, der originalen {fixings}: {of_original}; zur Felge gehören keine"),
        ),
    }
}

/// A thread: what has it, diameter and pitch, mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Thread {
    /// Bolts or nuts.
    pub(crate) kind: FixingKind,
    /// Nominal diameter.
    pub(crate) diameter_mm: f64,
    /// Pitch.
    pub(crate) pitch_mm: f64,
}

/// Threads of the rim's fixing and of the hub.
pub(crate) fn thread(language: Language, of_rim: &Thread, of_hub: &Thread) -> String {
    let [rim, hub] = [of_rim, of_hub].map(|thread| {
        let trimmed = |mm: f64| language.pick(format!("{mm}"), format!("{mm}").replace('.', ","));
        let [diameter, pitch] = [thread.diameter_mm, thread.pitch_mm].map(trimmed);
        format!("{} M{diameter} x {pitch}", fixings(language, thread.kind))
    });
    language.pick(
        format!("the rim is held by {rim}, the hub is made for {hub}"),
        format!("die Felge wird von {rim} gehalten, die Nabe ist für {hub} gemacht"),
    )
}

/// What is said of the thread that holds, beside its length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Engaged {
    /// Nothing.
    Enough,
    /// What must hold is not known.
    LeastNotKnown,
    /// The bolt reaches through, mm.
    ReachesThrough(f64),
}

/// Thread that holds, and the spacer, mm.
pub(crate) fn engagement(language: Language, engaged_mm: f64, spacer_mm: f64, engaged: Engaged) -> String {
    let (holds, spacer) = (fixed(language, engaged_mm, 1), fixed(language, spacer_mm, 0));
    let more = match engaged {
        Engaged::Enough => String::new(),
        Engaged::LeastNotKnown => language
            .pick(
                "; the least that must hold is not known: look in the maker's instructions",
                "; das Mindestmaß ist nicht bekannt: in der Herstelleranleitung nachsehen",
            )
            .to_owned(),
        Engaged::ReachesThrough(by_mm) => {
            let by = fixed(language, by_mm, 1);
            language.pick(
                format!("; the bolt reaches {by} mm beyond the hub's thread: look what is behind it"),
                format!(
                    "; die Schraube ragt {by} mm über das Nabengewinde hinaus: nachsehen, was dahinter liegt"
                ),
            )
        }
    };
    language.pick(
        format!("{holds} mm of thread hold, spacer {spacer} mm{more}"),
        format!("{holds} mm Gewinde tragen, Distanzscheibe {spacer} mm{more}"),
    )
}
