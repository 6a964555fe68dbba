//! Whether a rim goes on the hub: bolts and their circle, centre bore, seat, thread.

use super::super::{Area, Check, Finding};
use super::{Pair, at_least, between};
use crate::facts::Words;
use crate::figure::{Evidence, Figure};
use crate::wheel_sheet::HubFixing;
use crate::wheels::{Fixing, FixingKind};
use crate::wording::check_says::hub::{self as says, Engaged, Thread};
use crate::wording::check_says::makers_figure;

/// Bores, circles and threads that differ by less are the same, mm (drawing tolerance; common practice, no source).
const SAME_MM: f64 = 0.1;

pub(super) fn checks(pair: &Pair) -> Vec<Check> {
    let mut checks = vec![bolts(pair), bolt_circle(pair), centre_bore(pair)];
    match &pair.sheet.fixing {
        None => checks.push(Check::unknown("wheel_fixing", Area::Wheels, says::fixing_not_known())),
        Some(hub) => {
            let fixing = fixing_used(pair, hub);
            checks.extend([seat(pair, hub), thread(hub, &fixing), engagement(pair, hub, &fixing)]);
        }
    }
    checks
}

fn bolts(pair: &Pair) -> Check {
    const CHECK: &str = "wheel_bolts";
    let (rim, Some(hub)) = (pair.rim.bolts, pair.sheet.bolts) else {
        return Check::unknown(CHECK, Area::Wheels, says::bolts_not_known());
    };
    let finding = if rim == hub { Finding::Holds } else { Finding::DoNot };
    Check::stated(CHECK, Area::Wheels, finding, Words::of(|language| says::bolts(language, rim, hub)))
}

fn bolt_circle(pair: &Pair) -> Check {
    const CHECK: &str = "bolt_circle";
    let (rim_mm, hub_mm) = (pair.rim.bolt_circle_mm, pair.sheet.bolt_circle_mm);
    let said = Words::of(|language| says::bolt_circle(language, rim_mm, hub_mm));
    let Some(hub_mm) = hub_mm else { return Check::unknown(CHECK, Area::Wheels, said) };
    let figure = Figure::exact(rim_mm, Evidence::MakersFigure);
    let limit = between([hub_mm - SAME_MM, hub_mm + SAME_MM], makers_figure());
    Check::held(CHECK, Area::Wheels, (figure, "mm"), limit, said)
}

fn centre_bore(pair: &Pair) -> Check {
    const CHECK: &str = "centre_bore";
    let (rim_mm, hub_mm) = (pair.rim.centre_bore_mm, pair.sheet.centre_bore_mm);
    let with_ring = hub_mm.is_some_and(|hub_mm| rim_mm > hub_mm + SAME_MM);
    let said = Words::of(|language| says::centre_bore(language, rim_mm, hub_mm, with_ring));
    let Some(hub_mm) = hub_mm else { return Check::unknown(CHECK, Area::Wheels, said) };
    let figure = Figure::exact(rim_mm, Evidence::MakersFigure);
    let limit = at_least(hub_mm - SAME_MM, makers_figure());
    let check = Check::held(CHECK, Area::Wheels, (figure, "mm"), limit, said);
    Check { finding: if with_ring { Finding::LookAtIt } else { check.finding }, ..check }
}

/// Bolts or nuts that hold the rim: its own, or the van's.
fn fixing_used(pair: &Pair, hub: &HubFixing) -> Fixing {
    let HubFixing { kind, thread_mm, thread_pitch_mm, length_mm, .. } = *hub;
    pair.rim.fixing.unwrap_or(Fixing { kind, thread_mm, thread_pitch_mm, length_mm })
}

fn seat(pair: &Pair, hub: &HubFixing) -> Check {
    let (rim, original) = (pair.rim.seat, hub.seat);
    let come_with = pair.rim.fixing.is_some();
    let finding = match (rim == original, come_with) {
        (true, _) => Finding::Holds,
        (false, true) => Finding::LookAtIt,
        (false, false) => Finding::DoNot,
    };
    let said = Words::of(|language| says::seat(language, rim, original, hub.kind, come_with));
    Check::stated("wheel_seat", Area::Wheels, finding, said)
}

fn thread(hub: &HubFixing, fixing: &Fixing) -> Check {
    let same = hub.kind == fixing.kind
        && (hub.thread_mm - fixing.thread_mm).abs() < SAME_MM
        && (hub.thread_pitch_mm - fixing.thread_pitch_mm).abs() < SAME_MM;
    let of_rim =
        Thread { kind: fixing.kind, diameter_mm: fixing.thread_mm, pitch_mm: fixing.thread_pitch_mm };
    let of_hub = Thread { kind: hub.kind, diameter_mm: hub.thread_mm, pitch_mm: hub.thread_pitch_mm };
    let finding = if same { Finding::Holds } else { Finding::DoNot };
    Check::stated(
        "wheel_thread",
        Area::Wheels,
        finding,
        Words::of(|language| says::thread(language, &of_rim, &of_hub)),
    )
}

/// Turns of thread that hold: what of bolt or stud is left beyond seat and spacer.
fn engagement(pair: &Pair, hub: &HubFixing, fixing: &Fixing) -> Check {
    const CHECK: &str = "thread_engagement";
    let spacer_mm = pair.rim.spacer_mm;
    let through_mm = pair.rim.seat_depth_mm + spacer_mm;
    let (reach_mm, most_mm) = match fixing.kind {
        FixingKind::Bolt => (fixing.length_mm - through_mm, hub.hub_thread_mm),
        FixingKind::Nut => (hub.hub_thread_mm - through_mm, fixing.length_mm),
    };
    let engaged_mm = reach_mm.min(most_mm);
    let figure = Figure::exact(engaged_mm, Evidence::Computed);
    let said = |engaged| Words::of(|language| says::engagement(language, engaged_mm, spacer_mm, engaged));
    let Some(least_mm) = hub.least_engagement_mm else {
        let check = Check::unknown(CHECK, Area::Wheels, said(Engaged::LeastNotKnown));
        return Check { figure: Some(figure), unit: "mm", ..check };
    };
    let limit = at_least(least_mm, makers_figure());
    let check = Check::held(CHECK, Area::Wheels, (figure, "mm"), limit, said(Engaged::Enough));
    if check.finding == Finding::Holds && fixing.kind == FixingKind::Bolt && reach_mm > most_mm + SAME_MM {
        let words = said(Engaged::ReachesThrough(reach_mm - most_mm));
        return Check { finding: Finding::LookAtIt, words, ..check };
    }
    check
}
