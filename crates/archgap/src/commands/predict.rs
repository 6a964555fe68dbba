//! `archgap predict ENQUIRY.toml [--kit ID] [--all]`

use server::answers::{kits, predicted};
use workshop::answer::{Answer, FitmentAnswer, KitAnswer, KitOutcome, KnownVan, Remark, StateWeight, Weight};
use workshop::checks::{Check, Finding, grouped};
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::kit::Kit;
use workshop::load_list::LoadState;
use workshop::ride::RideQuestion;
use workshop::set_up::CollarSetting;
use workshop::sit::{CornerSit, Sit};
use workshop::wording::{self, Adjuster, counted, fixed, load_state, ranged, same_checks, span, whole};

use super::{capitalised, json_of};
use crate::data::{DataSource, Trouble};
use crate::tables::{folded, optional_ranged, table};

/// How much of a prediction is printed.
#[derive(Clone, Copy)]
pub(crate) enum Extent<'a> {
    /// The first screen.
    Short,
    /// Every kit, in every load state.
    All,
    /// One kit in full.
    Kit {
        /// Which.
        id: &'a str,
        /// Whether the checks that hold are listed too.
        all_checks: bool,
    },
}

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    extent: Extent,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let enquiry = source.enquiry(&catalogue, named)?;
    let kit = match extent {
        Extent::Kit { id, .. } => Some(id),
        Extent::Short | Extent::All => None,
    };
    let chosen = kits(&catalogue, &enquiry, kit.as_slice())?;
    let known = KnownVan::of(&catalogue, &enquiry)?;
    let answer = predicted(&known, kit)?;
    if json {
        return json_of(&answer);
    }
    let mut text = head(&answer, language);
    text += &match extent {
        Extent::Short => first_screen(&known, &answer, &chosen, language),
        Extent::All => everything(&answer, None, language),
        Extent::Kit { all_checks, .. } => everything(&answer, Some(all_checks), language),
    };
    Ok(text)
}

/// The question, the van, its masses against the plates and what the heights as found say.
fn head(answer: &Answer, language: Language) -> String {
    let mut text = format!("{}\n{}\n\n", folded(&answer.question, 0), answer.vehicle);
    text += &weight(answer, language);
    for axle in &answer.as_found {
        text += &format!("{}\n", folded(&wording::as_found(language, axle), 2));
    }
    text
}

fn first_screen(known: &KnownVan, answer: &Answer, kits: &[Kit], language: Language) -> String {
    let mut text = format!("\n{}\n", language.pick("Today", "Heute"));
    let loud: Vec<Remark> =
        answer.today.remarks.iter().filter(|remark| remark.weight != Weight::Note).cloned().collect();
    text += &remarks(&loud, language);
    text += &format!("{}\n", today(&answer.today, language));
    let state = known.enquiry.wish.state;
    let mut out = 0;
    let mut rows = Vec::new();
    // what is fitted and cannot be set stands above, as the van does today
    let nothing_to_set = |kit: &Kit| known.is_fitted(kit) && !kit.has_collars();
    let kits = kits.iter().zip(&answer.kits).filter(|(kit, _)| !nothing_to_set(kit));
    for (kit, answered) in kits {
        match &answered.outcome {
            KitOutcome::Sits(sits) if known.verdict(kit).out.is_none() => {
                rows.push(kit_row(&answered.kit, sits, state));
            }
            _ => out += 1,
        }
    }
    let state = load_state(language, state);
    text += &language.pick(
        format!("\nKits that can be fitted: drop against today and level {state}, travel fully laden\n"),
        format!(
            "\nSätze, die passen: Tieferlegung gegenüber heute und Niveau {state}, Federweg voll beladen\n"
        ),
    );
    let header = language.pick(
        ["kit", "drop mm", "level mm", "least to metal mm", "STOP", "look at it", "notes"],
        ["Satz", "tiefer mm", "Niveau mm", "bis Metall mm", "HALT", "ansehen", "Hinweise"],
    );
    text += &format!("{}\n", table(&header, rows.into_iter()));
    if out > 0 {
        text += &language.pick(
            format!("{} out by a rule: archgap shortlist says which.\n", counted(out, "kit is", "kits are")),
            format!(
                "{} nach einer Regel aus: archgap shortlist sagt welcher.\n",
                counted(out, "Satz scheidet", "Sätze scheiden")
            ),
        );
    }
    text + language.pick(
        "--kit ID for everything about one kit, --all for every kit in every load state.",
        "--kit ID zeigt alles zu einem Satz, --all jeden Satz in jedem Ladezustand.",
    )
}

fn today(today: &FitmentAnswer, language: Language) -> String {
    let pair = |sit: &Sit, axle: usize| {
        let [left, right] = [2 * axle, 2 * axle + 1].map(|i| &sit.corners[i].arch_height_mm);
        format!("{} {} ± {}", whole(left.value), whole(right.value), whole(left.half_width()))
    };
    let rows = today.states.iter().map(|sit| {
        vec![
            load_state(language, sit.state).to_owned(),
            pair(sit, 0),
            pair(sit, 1),
            ranged(&sit.level_mm),
            format!("{} {}", whole(sit.lean_mm[0].value), whole(sit.lean_mm[1].value)),
            ranged(sit.least_bump_travel_to_metal_mm()),
        ]
    });
    let header = language.pick(
        ["load state", "front arches mm", "rear arches mm", "level mm", "lean mm", "least to metal mm"],
        ["Ladezustand", "Radläufe vorn mm", "hinten mm", "Niveau mm", "Schiefstand mm", "bis Metall mm"],
    );
    table(&header, rows)
}

fn kit_row(kit: &str, sits: &FitmentAnswer, state: LoadState) -> Vec<String> {
    let (sit, laden) = (&sits.states[state as usize], &sits.states[LoadState::FullyLaden as usize]);
    let count = |weight: Weight| match sits.remarks.iter().filter(|r| r.weight == weight).count() {
        0 => "-".to_owned(),
        count => count.to_string(),
    };
    vec![
        kit.to_owned(),
        sit.mean_drop_against_today_mm.as_ref().map_or_else(|| "-".to_owned(), ranged),
        ranged(&sit.level_mm),
        ranged(laden.least_bump_travel_to_metal_mm()),
        count(Weight::Stop),
        count(Weight::LookAtIt),
        count(Weight::Note),
    ]
}

/// Every kit; one kit in full, with its checks, where `all_checks` says how many of them.
fn everything(answer: &Answer, all_checks: Option<bool>, language: Language) -> String {
    let today = language.pick("TODAY", "HEUTE");
    let mut text = format!("\n{}\n", folded(wording::level_and_pitch(language), 0));
    text += &format!("\n{today}\n{}", fitment_in_full(&answer.today, language));
    for kit in &answer.kits {
        let family = wording::family(language, kit.family);
        text += &format!("\n{} — {} ({}, {family})\n", kit.kit, kit.name, kit.maker);
        text += &collars(&kit.collars, language);
        text += &match &kit.outcome {
            KitOutcome::CannotBeComputed(why) => {
                let why = why.in_language(language);
                format!("  {}: {why}\n", language.pick("cannot be computed", "nicht berechenbar"))
            }
            KitOutcome::Sits(fitment) => match all_checks {
                Some(all) => fitment_in_full(fitment, language) + &checks(&fitment.checks, all, language),
                None => fitment_in_short(fitment, language),
            },
        };
    }
    let sit = answer.kits.iter().find_map(kit_sit).unwrap_or(&answer.today.states[0]);
    let weakest = sit.corners[0].arch_height_mm.weakest_evidence();
    text + &format!("\n{}\n", folded(&wording::legend(language, weakest), 0))
}

/// Where the collars are for these figures, one line an axle.
fn collars(settings: &[CollarSetting], language: Language) -> String {
    let at = |left: &str| {
        let setting = settings.iter().find(|setting| setting.corner == left)?;
        let axle = wording::axle_named(language, left.split(' ').next()?);
        Some(format!("{axle} {} mm", fixed(language, setting.position_mm, 1)))
    };
    let turned = Adjuster::all(settings.iter().map(|setting| setting.adjuster), language);
    let places: Vec<String> = ["front left", "rear left"].iter().filter_map(|left| at(left)).collect();
    if places.is_empty() {
        return String::new();
    }
    let places = places.join(language.pick(", ", "; "));
    let words = language.pick(
        format!("  {turned} set for the aim: {places} from the datum (archgap set-up)"),
        format!("  {turned} auf das Ziel gestellt: {places} ab Bezugsfläche (archgap set-up)"),
    );
    format!("{}\n", folded(&words, 4))
}

fn kit_sit(kit: &KitAnswer) -> Option<&Sit> {
    match &kit.outcome {
        KitOutcome::Sits(fitment) => fitment.states.first(),
        KitOutcome::CannotBeComputed(_) => None,
    }
}

fn weight(answer: &Answer, language: Language) -> String {
    let order = &answer.weight;
    let row = |state: &StateWeight| {
        vec![
            load_state(language, state.state).to_owned(),
            ranged(&state.gross_kg),
            ranged(&state.gross_margin_kg),
            ranged(&state.axle_load_kg[0]),
            ranged(&state.axle_margin_kg[0]),
            ranged(&state.axle_load_kg[1]),
            ranged(&state.axle_margin_kg[1]),
        ]
    };
    let header = language.pick(
        ["load state", "gross kg", "left to plate", "front axle kg", "left", "rear axle kg", "left"],
        ["Ladezustand", "gesamt kg", "bis zulässig", "Achse vorn kg", "frei", "Achse hinten kg", "frei"],
    );
    let mut text = format!("{}\n", wording::running_order(language, order));
    text += &format!("{}\n", table(&header, order.states.iter().map(row)));
    for weighed in &order.weighed {
        text += &format!("{}\n", folded(&wording::weighed(language, weighed), 2));
    }
    text
}

fn fitment_in_full(fitment: &FitmentAnswer, language: Language) -> String {
    let mut text = remarks(&fitment.remarks, language);
    for sit in fitment.states.iter() {
        let state = capitalised(load_state(language, sit.state));
        text += &format!("\n{}\n", folded(&format!("{state}: {}", wording::body(language, sit)), 2));
        text += &format!("{}\n{}\n", heights(sit, language), travels(sit, language));
    }
    if !fitment.ride.is_empty() {
        let question = RideQuestion::default();
        let on = wording::road(language, &question);
        text +=
            &format!("\n{}\n", folded(&language.pick(format!("  Ride {on}"), format!("  Fahrt {on}")), 4));
    }
    for ride in &fitment.ride {
        text += &format!("{}\n", folded(&format!("  {}", wording::ride_in_short(language, ride)), 4));
    }
    if let Some(sit) = fitment.states.first() {
        let state = load_state(language, sit.state);
        for i in [0, 2] {
            let corner = wording::corner(language, i);
            let what = language
                .pick(format!("{corner} arch height {state}"), format!("Radlaufhöhe {corner}, {state}"));
            let words = wording::widened(language, &what, &sit.corners[i].arch_height_mm);
            text += &format!("{}\n", folded(&words, 2));
        }
    }
    text
}

fn dash(figure: Option<&Figure>, shown: impl Fn(&Figure) -> String) -> String {
    figure.map_or_else(|| "-".to_owned(), shown)
}

fn heights(sit: &Sit, language: Language) -> String {
    let rows = sit.corners.iter().enumerate().map(|(i, corner)| {
        vec![
            wording::corner(language, i).to_owned(),
            ranged(&corner.arch_height_mm),
            span(language, corner.lowest_rest_mm, corner.highest_rest_mm, 0),
            ranged(&corner.arch_gap_mm),
            ranged(&corner.lip_height_above_ground_mm),
            ranged(&corner.corner_load_kg),
            dash(corner.drop_against_today_mm.as_ref(), ranged),
            ranged(&corner.drop_against_original_mm),
        ]
    });
    let header = language.pick(
        [
            "corner",
            "arch height mm",
            "friction band",
            "arch gap mm",
            "lip over ground",
            "load kg",
            "drop to today",
            "drop to new",
        ],
        [
            "Ecke",
            "Radlauf mm",
            "Reibung mm",
            "Spalt mm",
            "über Boden",
            "Last kg",
            "tiefer als heute",
            "tiefer als neu",
        ],
    );
    table(&header, rows)
}

fn travels(sit: &Sit, language: Language) -> String {
    let end = |figure: &Figure, end| format!("{}, {}", ranged(figure), wording::travel_end(language, end));
    let rows = sit.corners.iter().enumerate().map(|(i, corner)| {
        let travel = &corner.travel;
        vec![
            wording::corner(language, i).to_owned(),
            optional_ranged(language, travel.free_bump_travel_mm.as_ref()),
            optional_ranged(language, travel.bump_travel_to_twice_static_mm.as_ref()),
            end(&travel.bump_travel_to_metal_mm, travel.bump_ends_at),
            end(&travel.rebound_travel_mm, travel.rebound_ends_at),
            optional_ranged(language, travel.captive_in_hand_mm.as_ref()),
        ]
    });
    let header = language.pick(
        ["corner", "free bump mm", "to twice load", "bump to metal mm", "rebound mm", "captive in hand mm"],
        ["Ecke", "frei ein mm", "bis doppelte Last", "ein bis Metall mm", "aus mm", "Feder gespannt mm"],
    );
    table(&header, rows)
}

fn fitment_in_short(fitment: &FitmentAnswer, language: Language) -> String {
    let pair = |sit: &Sit, of: &dyn Fn(&CornerSit) -> String| {
        let [left, right, rear_left, rear_right] = [0, 1, 2, 3].map(|i| of(&sit.corners[i]));
        format!("{left} {right}\n{rear_left} {rear_right}")
    };
    let number = |figure: Option<&Figure>| dash(figure, |figure| whole(figure.value));
    let row = |sit: &Sit| {
        let spread = |i: usize| whole(sit.corners[i].arch_height_mm.half_width());
        vec![
            load_state(language, sit.state).to_owned(),
            pair(sit, &|corner| whole(corner.arch_height_mm.value)),
            format!("± {}\n± {}", spread(0), spread(2)),
            pair(sit, &|corner| number(corner.drop_against_today_mm.as_ref())),
            ranged(&sit.level_mm),
            pair(sit, &|corner| number(corner.travel.free_bump_travel_mm.as_ref())),
            pair(sit, &|corner| whole(corner.travel.bump_travel_to_metal_mm.value)),
            pair(sit, &|corner| number(corner.travel.captive_in_hand_mm.as_ref())),
        ]
    };
    let header = language.pick(
        [
            "load state",
            "arch heights mm",
            "range",
            "drop/today mm",
            "level mm",
            "free bump mm",
            "to metal mm",
            "captive mm",
        ],
        [
            "Ladezustand",
            "Radläufe mm",
            "Spanne",
            "tiefer mm",
            "Niveau mm",
            "frei ein mm",
            "bis Metall mm",
            "Feder gespannt mm",
        ],
    );
    let remarks = remarks(&fitment.remarks, language);
    format!("{remarks}{}\n", table(&header, fitment.states.iter().map(row)))
}

fn remarks(remarks: &[Remark], language: Language) -> String {
    remarks.iter().map(|remark| super::remark_line(remark, language)).collect()
}

/// What does not hold, then what is to be looked at; what holds is counted, or listed where all is asked for.
fn checks(checks: &[Check], all: bool, language: Language) -> String {
    let mut text = format!("\n{}\n", language.pick("Checks", "Prüfungen"));
    let told = checks.iter().filter(|check| all || check.finding != Finding::Holds);
    for same in grouped(told, Check::says_the_same) {
        text += &format!("{}\n", folded(&format!("  {}", same_checks(language, &same)), 4));
    }
    let holding = checks.iter().filter(|check| check.finding == Finding::Holds).count();
    if !all && holding > 0 {
        text += &language.pick(
            format!("  {} --all lists them.\n", counted(holding, "more holds;", "more hold;")),
            format!("  {} --all zeigt sie.\n", counted(holding, "weitere hält;", "weitere halten;")),
        );
    }
    text + &format!("  {}\n", wording::who_decides(language))
}
