//! Refusals of those who are signed in, kept in the history: each kind once, then at ten times, a hundred times and so
//! on, so that nobody fills the memory by asking.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use axum::http::Method;
use store::By;

use crate::app::App;
use crate::caller::Caller;

const DAY_MS: i64 = 24 * 60 * 60 * 1000;
/// Different refusals that are told apart in a day; the rest are counted together.
const MOST_TOLD_APART: usize = 1000;
const ALL_OTHERS: &str = "(others)";

/// Subject of refusals in the history.
pub(crate) const REFUSAL: &str = "refusal";

/// How often each refusal occurred today.
#[derive(Default)]
pub(crate) struct Refusals(Mutex<Today>);

#[derive(Default)]
struct Today {
    day: i64,
    counts: BTreeMap<String, u64>,
}

impl Refusals {
    /// Counts a refusal; how often it occurred, where that is to be noted.
    fn count(&self, at_ms: i64, what: &str) -> Option<u64> {
        let mut today = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let day = at_ms.div_euclid(DAY_MS);
        if today.day != day {
            *today = Today { day, counts: BTreeMap::new() };
        }
        let is_full = today.counts.len() >= MOST_TOLD_APART && !today.counts.contains_key(what);
        let name = if is_full { ALL_OTHERS } else { what };
        let count = today.counts.entry(name.to_owned()).or_default();
        *count += 1;
        let is_power_of_ten = 10_u64.pow(count.ilog10()) == *count;
        is_power_of_ten.then_some(*count)
    }
}

/// Notes that someone who is signed in was refused.
pub(crate) async fn note_refusal(app: &App, caller: &Caller, method: &Method, route: &str, code: &str) {
    let now = app.now_ms();
    let what = format!("{method} {route}");
    let Some(count) = app.refusals.count(now, &format!("{} {} {what} {code}", caller.user, caller.device))
    else {
        return;
    };
    let by = By::new(caller.user.as_str(), &caller.device, now).because(&format!("{code}, {count} today"));
    if let Err(e) = app.store.note(&by, "refused", REFUSAL, &what).await {
        eprintln!("error: a refusal could not be noted: {e}");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_the_same_refusal_is_noted_at_powers_of_ten_and_anew_each_day() {
        let refusals = Refusals::default();
        let noted: Vec<u64> = (0..1234).filter_map(|_| refusals.count(5, "a")).collect();
        assert_eq!(noted, [1, 10, 100, 1000]);
        assert_eq!(refusals.count(DAY_MS, "a"), Some(1));
    }

    #[test]
    fn law_different_refusals_cannot_be_noted_without_end() {
        let refusals = Refusals::default();
        let noted = (0..100_000).filter_map(|n| refusals.count(5, &n.to_string())).count();
        assert!(noted <= MOST_TOLD_APART + 5, "{noted}");
    }
}
