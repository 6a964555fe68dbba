//! Whether a rim goes on the hub: bolts and their circle, centre bore, seat, thread.

use super::super::checked::{unknown, words};
use super::super::{Area, Check, Finding};
use super::{Pair, at_least, between, held, makers_figure, stated};
use crate::figure::{Evidence, Figure};
use crate::wheel_sheet::HubFixing;
use crate::wheels::{Fixing, FixingKind};

/// Bores, circles and threads that differ by less are the same, mm (drawing tolerance; common practice, no source).
const SAME_MM: f64 = 0.1;

pub(super) fn checks(pair: &Pair) -> Vec<Check> {
    let mut checks = vec![bolts(pair), bolt_circle(pair), centre_bore(pair)];
    match &pair.sheet.fixing {
        None => checks.push(unknown(
            "wheel_fixing",
            Area::Wheels,
            words(
                "look at the original fixing: bolt or nut, form of the seat, thread, length",
                "Originalbefestigung ansehen: Schraube oder Mutter, Form des Sitzes, Gewinde, Länge",
            ),
        )),
        Some(hub) => {
            let fixing = fixing_used(pair, hub);
            checks.extend([seat(pair, hub), thread(hub, &fixing), engagement(pair, hub, &fixing)]);
        }
    }
    checks
}

fn bolts(pair: &Pair) -> Check {
    const CHECK: &str = "wheel_bolts";
    let Some(hub) = pair.sheet.bolts else {
        return unknown(
            CHECK,
            Area::Wheels,
            words("count the bolts of a wheel", "Schrauben eines Rades zählen"),
        );
    };
    let said = words(
        format!("the rim has {} holes, the hub {hub}", pair.rim.bolts),
        format!("die Felge hat {} Löcher, die Nabe {hub}", pair.rim.bolts),
    );
    stated(CHECK, if pair.rim.bolts == hub { Finding::Holds } else { Finding::DoNot }, said)
}

fn bolt_circle(pair: &Pair) -> Check {
    const CHECK: &str = "bolt_circle";
    let rim_mm = pair.rim.bolt_circle_mm;
    let Some(hub_mm) = pair.sheet.bolt_circle_mm else {
        let said = words(
            format!("bolt circle of the hub not known: measure it; the rim's is {rim_mm} mm"),
            format!("Lochkreis der Nabe nicht bekannt: messen; der der Felge hat {rim_mm} mm"),
        );
        return unknown(CHECK, Area::Wheels, said);
    };
    let figure = Figure::exact(rim_mm, Evidence::MakersFigure);
    let said = words(
        format!("bolt circle of the rim {rim_mm} mm, of the hub {hub_mm} mm"),
        format!("Lochkreis der Felge {rim_mm} mm, der Nabe {hub_mm} mm"),
    );
    let limit = between([hub_mm - SAME_MM, hub_mm + SAME_MM], makers_figure());
    held(CHECK, Area::Wheels, (figure, "mm"), limit, said)
}

fn centre_bore(pair: &Pair) -> Check {
    const CHECK: &str = "centre_bore";
    let rim_mm = pair.rim.centre_bore_mm;
    let Some(hub_mm) = pair.sheet.centre_bore_mm else {
        let said = words(
            format!("spigot of the hub not known: measure it; the rim's bore is {rim_mm} mm"),
            format!(
                "Zentrierung der Nabe nicht bekannt: messen; die Mittenbohrung der Felge hat {rim_mm} mm"
            ),
        );
        return unknown(CHECK, Area::Wheels, said);
    };
    let figure = Figure::exact(rim_mm, Evidence::MakersFigure);
    let said = words(
        format!("centre bore of the rim {rim_mm} mm, spigot of the hub {hub_mm} mm"),
        format!("Mittenbohrung der Felge {rim_mm} mm, Zentrierung der Nabe {hub_mm} mm"),
    );
    let limit = at_least(hub_mm - SAME_MM, makers_figure());
    let mut check = held(CHECK, Area::Wheels, (figure, "mm"), limit, said);
    if rim_mm > hub_mm + SAME_MM {
        check.finding = Finding::LookAtIt;
        check.words.en += ": only with the centring ring of the rim's maker";
        check.words.de += ": nur mit dem Zentrierring des Felgenherstellers";
    }
    check
}

/// Bolts or nuts that hold the rim: its own, or the van's.
fn fixing_used(pair: &Pair, hub: &HubFixing) -> Fixing {
    let HubFixing { kind, thread_mm, thread_pitch_mm, length_mm, .. } = *hub;
    pair.rim.fixing.unwrap_or(Fixing { kind, thread_mm, thread_pitch_mm, length_mm })
}

fn seat(pair: &Pair, hub: &HubFixing) -> Check {
    let [rim, original] = [pair.rim.seat.words(), hub.seat.words()];
    let [fixing_en, fixing_de] = hub.kind.words();
    let same = pair.rim.seat == hub.seat;
    let (finding, en, de) = match (same, pair.rim.fixing.is_some()) {
        (true, _) => (
            Finding::Holds,
            format!("seat of the rim: {}, as the original", rim[0]),
            format!("Sitz der Felge: {}, wie original", rim[1]),
        ),
        (false, true) => (
            Finding::LookAtIt,
            format!(
                "seat of the rim: {}, original {}: only with the {fixing_en} that come with the rim, never the original ones, spare wheel included",
                rim[0], original[0]
            ),
            format!(
                "Sitz der Felge: {}, original {}: nur mit den {fixing_de} der Felge, nie mit den originalen, auch am Reserverad",
                rim[1], original[1]
            ),
        ),
        (false, false) => (
            Finding::DoNot,
            format!(
                "seat of the rim: {}, of the original {fixing_en}: {}; none come with the rim",
                rim[0], original[0]
            ),
            format!(
                "Sitz der Felge: {}, der originalen {fixing_de}: {}; zur Felge gehören keine",
                rim[1], original[1]
            ),
        ),
    };
    stated("wheel_seat", finding, words(en, de))
}

fn thread(hub: &HubFixing, fixing: &Fixing) -> Check {
    let same = hub.kind == fixing.kind
        && (hub.thread_mm - fixing.thread_mm).abs() < SAME_MM
        && (hub.thread_pitch_mm - fixing.thread_pitch_mm).abs() < SAME_MM;
    let of = |kind: FixingKind, thread_mm: f64, pitch_mm: f64| {
        kind.words().map(|kind| format!("{kind} M{thread_mm} x {pitch_mm}"))
    };
    let [rim_en, rim_de] = of(fixing.kind, fixing.thread_mm, fixing.thread_pitch_mm);
    let [hub_en, hub_de] = of(hub.kind, hub.thread_mm, hub.thread_pitch_mm);
    let said = words(
        format!("the rim is held by {rim_en}, the hub is made for {hub_en}"),
        format!("die Felge wird von {rim_de} gehalten, die Nabe ist für {hub_de} gemacht"),
    );
    let finding = if same { Finding::Holds } else { Finding::DoNot };
    stated("wheel_thread", finding, said)
}

/// Turns of thread that hold: what of bolt or stud is left beyond seat and spacer.
fn engagement(pair: &Pair, hub: &HubFixing, fixing: &Fixing) -> Check {
    const CHECK: &str = "thread_engagement";
    let through_mm = pair.rim.seat_depth_mm + pair.rim.spacer_mm;
    let (reach_mm, most_mm) = match fixing.kind {
        FixingKind::Bolt => (fixing.length_mm - through_mm, hub.hub_thread_mm),
        FixingKind::Nut => (hub.hub_thread_mm - through_mm, fixing.length_mm),
    };
    let engaged_mm = reach_mm.min(most_mm);
    let figure = Figure::exact(engaged_mm, Evidence::Computed);
    let spacer_mm = pair.rim.spacer_mm;
    let mut said = words(
        format!("{engaged_mm:.1} mm of thread hold, spacer {spacer_mm:.0} mm"),
        format!("{engaged_mm:.1} mm Gewinde tragen, Distanzscheibe {spacer_mm:.0} mm"),
    );
    let Some(least_mm) = hub.least_engagement_mm else {
        said.en += "; the least that must hold is not known: look in the maker's instructions";
        said.de += "; das Mindestmaß ist nicht bekannt: in der Herstelleranleitung nachsehen";
        return Check { figure: Some(figure), unit: "mm", ..unknown(CHECK, Area::Wheels, said) };
    };
    let mut check = held(CHECK, Area::Wheels, (figure, "mm"), at_least(least_mm, makers_figure()), said);
    if check.finding == Finding::Holds && fixing.kind == FixingKind::Bolt && reach_mm > most_mm + SAME_MM {
        let beyond_mm = reach_mm - most_mm;
        check.finding = Finding::LookAtIt;
        check.words.en +=
            &format!("; the bolt reaches {beyond_mm:.1} mm beyond the hub's thread: look what is behind it");
        check.words.de += &format!(
            "; die Schraube ragt {beyond_mm:.1} mm über das Nabengewinde hinaus: nachsehen, was dahinter liegt"
        );
    }
    check
}
