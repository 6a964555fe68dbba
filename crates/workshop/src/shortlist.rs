//! Kits sorted openly by one wish.

use mechanics::statics::REAR;

use crate::answer::{Answer, KitAnswer, KitOutcome, Weight};
use crate::enquiry::{Wish, WishKind};
use crate::sit::Sit;

/// A kit with how far it is from the wish.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Listed {
    /// Identifier.
    pub kit: String,
    /// Name.
    pub name: String,
    /// What the wish is measured by, in words.
    pub measure: String,
    /// Distance from the wish, smaller is better; absent where the kit cannot be computed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub distance_mm: Option<f64>,
    /// Whether something must be stopped for.
    pub stopped: bool,
}

/// Sorts the kits of an answer by a wish: those without a stop first, then by distance from the wish.
pub fn shortlist(answer: &Answer, wish: &Wish) -> Vec<Listed> {
    let own_stops = stops_today(answer);
    let mut listed: Vec<Listed> = answer.kits.iter().map(|kit| listed(kit, wish, &own_stops)).collect();
    listed.sort_by(|a, b| {
        let distance = |l: &Listed| l.distance_mm.unwrap_or(f64::INFINITY);
        (a.stopped, distance(a)).partial_cmp(&(b.stopped, distance(b))).unwrap_or(std::cmp::Ordering::Equal)
    });
    listed
}

/// Stops that hold today already (an overloaded axle) do not tell kits apart.
fn stops_today(answer: &Answer) -> Vec<&str> {
    answer.today.remarks.iter().filter(|r| r.weight == Weight::Stop).map(|r| r.words.as_str()).collect()
}

fn listed(kit: &KitAnswer, wish: &Wish, stops_today: &[&str]) -> Listed {
    let (measure, distance_mm, stopped) = match &kit.outcome {
        KitOutcome::CannotBeComputed(why) => (why.clone(), None, true),
        KitOutcome::Sits(fitment) => {
            let own_stop = |words: &str| !stops_today.iter().any(|today| same_limit(today, words));
            let stopped = fitment.remarks.iter().any(|r| r.weight == Weight::Stop && own_stop(&r.words));
            let sit = fitment.states.iter().find(|sit| sit.state == wish.state);
            let (measure, distance_mm) = sit.map_or((String::new(), None), |sit| measured(sit, wish));
            (measure, distance_mm, stopped)
        }
    };
    Listed { kit: kit.kit.clone(), name: kit.name.clone(), measure, distance_mm, stopped }
}

/// Whether two limit sentences speak of the same limit: they agree up to the figures.
fn same_limit(a: &str, b: &str) -> bool {
    let head = |words: &str| words.split(" by ").next().unwrap_or(words).to_owned();
    head(a) == head(b)
}

fn measured(sit: &Sit, wish: &Wish) -> (String, Option<f64>) {
    match wish.kind {
        WishKind::Drop => match &sit.mean_drop_against_today_mm {
            Some(drop) => {
                (format!("drop {}", drop.words("mm")), Some((drop.value - wish.drop_against_today_mm).abs()))
            }
            None => (String::new(), None),
        },
        WishKind::Level => (format!("level {}", sit.level_mm.words("mm")), Some(sit.level_mm.value.abs())),
        WishKind::Travel => {
            let travel = |i: usize| &sit.corners[i].travel.bump_travel_to_metal_mm;
            let least = (0..4).map(travel).min_by(|a, b| a.value.total_cmp(&b.value)).unwrap_or(travel(REAR));
            (format!("least bump travel to metal {}", least.words("mm")), Some(-least.value))
        }
    }
}
