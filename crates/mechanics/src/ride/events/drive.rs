//! Whole drives: over a course with a step that is given, or with one that is halved until the answer stands.

use super::dispatch::Ride;
use super::{
    Course, DrivenVan, EventFault, EventOutcome, Hump, RoadOfWaves, Seeing, SteppedLaw, WeightingFilter,
    WheelHeights, fault::positive,
};
use crate::ride::Lanes;

/// A drive over a course.
#[derive(Debug, Clone, Copy)]
pub struct Driven<'a> {
    /// What is driven over.
    pub course: &'a Course,
    /// Steady speed, m/s.
    pub speed_m_per_s: f64,
    /// Ends of the stretches that are told apart, s, one after the other from the start.
    pub stretch_ends_s: &'a [f64],
}

/// First step that is tried, s.
const FIRST_STEP_S: f64 = 1e-3;
/// Times that a step may be halved: to a sixteenth of a millisecond.
const MOST_HALVINGS: u32 = 5;
/// Peak and dose stand when halving the step moves them by no more than this share.
const SETTLED_SHARE: f64 = 1e-3;
/// Travel, and with it every clearance, stands when halving the step moves it by no more, m.
const SETTLED_TRAVEL_M: f64 = 1e-4;
/// Level road before a hump, m, and time that is waited for the motion to die down after it, s.
const APPROACH_M: f64 = 0.5;
const AFTERWARDS_S: f64 = 1.5;

/// Carries the vans from rest over heights under their wheels by the classical rule of Runge and Kutta, with the step that
/// these stand at; one outcome for each stretch. Nothing is allocated while it goes.
///
/// # Errors
/// When masses, rates or loads are not positive, wheelbases differ, stretches do not follow each other within the road,
/// or the motion runs away.
pub fn drive<L: SteppedLaw<N>, const N: usize>(
    van: &DrivenVan<'_, L, N>,
    road: &WheelHeights,
    stretch_ends_s: &[f64],
    seeing: Seeing,
) -> Result<Vec<EventOutcome<N>>, EventFault> {
    van.checked()?;
    if (van.wheelbase_m()? - road.wheelbase_m).abs() > 1e-6 {
        return Err(EventFault::WheelbasesDiffer);
    }
    let filter = WeightingFilter::wk(road.step_s / seeing as usize as f64)?;
    let mut ends = Vec::with_capacity(stretch_ends_s.len());
    let mut outcomes = Vec::with_capacity(stretch_ends_s.len());
    let mut from = 0;
    for end_s in stretch_ends_s {
        let end = (end_s / road.step_s).round();
        if !(end > from as f64 && end <= road.steps() as f64) {
            return Err(EventFault::Stretches);
        }
        let end = end as usize;
        outcomes.push(EventOutcome::empty((end - from) as f64 * road.step_s, road.step_s, van.seats.len()));
        ends.push(end);
        from = end;
    }
    let ride = Ride { van, road, ends: &ends, filter: &filter, outcomes: &mut outcomes };
    if L::ride(ride, seeing) { Ok(outcomes) } else { Err(EventFault::NotFinite) }
}

/// A drive with a step that is halved from 1 ms until peaks and doses stand within 1e-3 and travels
/// within 0.1 mm in every lane, stretch, seat and wheel; the finer of the last two is the answer.
///
/// # Errors
/// As [`drive`]; and when a step of 1/32 ms does not settle it.
pub fn drive_converged<L: SteppedLaw<N>, const N: usize>(
    van: &DrivenVan<'_, L, N>,
    drive_over: &Driven<'_>,
) -> Result<Vec<EventOutcome<N>>, EventFault> {
    let duration_s = drive_over.stretch_ends_s.last().copied().ok_or(EventFault::Stretches)?;
    let wheelbase_m = van.wheelbase_m()?;
    let with_step = |step_s: f64| {
        let road = drive_over.course.heights(drive_over.speed_m_per_s, wheelbase_m, duration_s, step_s)?;
        drive(van, &road, drive_over.stretch_ends_s, Seeing::EachStep)
    };
    let mut coarse = with_step(FIRST_STEP_S);
    let mut step_s = FIRST_STEP_S;
    for _ in 0..MOST_HALVINGS {
        step_s *= 0.5;
        let fine = with_step(step_s);
        match (&coarse, &fine) {
            // a step too long for a stiff law runs away; a shorter one may not
            (Err(EventFault::NotFinite), _) | (_, Err(EventFault::NotFinite)) => {}
            (Ok(before), Ok(after)) if before.iter().zip(after).all(|(a, b)| settled(a, b)) => return fine,
            (_, Err(_)) | (Err(_), _) => return fine,
            _ => {}
        }
        coarse = fine;
    }
    coarse.and(Err(EventFault::NotSettled { step_s }))
}

/// Crosses one hump from level road, both axles, and waits until the motion has died down; one outcome for all of it.
///
/// # Errors
/// As [`drive_converged`].
pub fn cross_hump<L: SteppedLaw<N>, const N: usize>(
    van: &DrivenVan<'_, L, N>,
    hump: &Hump,
    speed_m_per_s: f64,
) -> Result<EventOutcome<N>, EventFault> {
    let way_m = APPROACH_M + hump.length_m() + van.wheelbase_m()?;
    let end_s = way_m / positive("speed", speed_m_per_s)? + AFTERWARDS_S;
    let course = Course::default().hump(APPROACH_M, hump.clone());
    single(van, &course, speed_m_per_s, end_s)
}

/// Drives over a rough road from its beginning for a time; one outcome for all of it.
///
/// # Errors
/// As [`drive_converged`].
pub fn drive_road<L: SteppedLaw<N>, const N: usize>(
    van: &DrivenVan<'_, L, N>,
    road: &RoadOfWaves,
    speed_m_per_s: f64,
    duration_s: f64,
) -> Result<EventOutcome<N>, EventFault> {
    single(van, &Course::default().rough(0.0, road.clone()), speed_m_per_s, duration_s)
}

fn single<L: SteppedLaw<N>, const N: usize>(
    van: &DrivenVan<'_, L, N>,
    course: &Course,
    speed_m_per_s: f64,
    end_s: f64,
) -> Result<EventOutcome<N>, EventFault> {
    let driven = Driven { course, speed_m_per_s, stretch_ends_s: &[end_s] };
    drive_converged(van, &driven)?.pop().ok_or(EventFault::Stretches)
}

fn settled<const N: usize>(before: &EventOutcome<N>, after: &EventOutcome<N>) -> bool {
    let all = |a: Lanes<N>, b: Lanes<N>, near: &dyn Fn(f64, f64) -> bool| {
        a.0.iter().zip(&b.0).all(|(a, b)| near(*a, *b))
    };
    let same_share = |a: f64, b: f64| (a - b).abs() <= SETTLED_SHARE * b.abs().max(1e-9);
    let same_travel = |a: f64, b: f64| (a - b).abs() <= SETTLED_TRAVEL_M;
    let seats = before.seats.iter().zip(&after.seats).all(|(a, b)| {
        all(a.peak_m_per_s2(), b.peak_m_per_s2(), &same_share)
            && all(a.vibration_dose_m_per_s175, b.vibration_dose_m_per_s175, &same_share)
    });
    let wheels = before.wheels.iter().zip(&after.wheels).all(|(a, b)| {
        all(a.bump_travel_m, b.bump_travel_m, &same_travel)
            && all(a.rebound_travel_m, b.rebound_travel_m, &same_travel)
    });
    seats && wheels
}
