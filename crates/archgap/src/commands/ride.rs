//! `archgap ride ENQUIRY.toml [--kit ID ...] [--road CLASS] [--speed KM/H] [--against YARDSTICK] [--hump SHAPE ...]`

use server::answers::kits;
use workshop::answer::KnownVan;
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::load_list::LoadState;
use workshop::ride::{
    AxleRide, FitmentRide, HumpAxle, HumpCrossing, HumpQuestion, KitRide, KitRideOutcome, ModeRide,
    RIDDEN_STATES, RideAnswer, RideFigures, RideMode, RideQuestion,
};
use workshop::wording::{self, fixed};

use super::{capitalised, json_of};
use crate::data::{DataSource, Trouble};
use crate::tables::{folded, wide_table};

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    kit_ids: &[String],
    (question, hump): (RideQuestion, HumpQuestion),
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    if hump.hump().is_none() {
        return Err(Trouble::Usage(
            "the hump has no shape: its height must be small against its length, and a flat top needs room for two ramps of 1 in 12"
                .into(),
        ));
    }
    let catalogue = source.catalogue()?;
    let enquiry = source.enquiry(&catalogue, named)?;
    let named: Vec<&str> = kit_ids.iter().map(String::as_str).collect();
    let chosen = kits(&catalogue, &enquiry, &named)?;
    let answer =
        KnownVan::of(&catalogue, &enquiry)?.ride_answer(&chosen.iter().collect::<Vec<_>>(), question, hump);
    if json { json_of(&answer) } else { Ok(shown(&answer, &question, language)) }
}

fn shown(answer: &RideAnswer, question: &RideQuestion, language: Language) -> String {
    let mut text = format!("{}\n{}\n\n", folded(&answer.question, 0), answer.vehicle);
    let on = wording::road(language, question);
    let yardstick = wording::against(language, question.against);
    text += &folded(
        &language.pick(
            format!("Ride {on}; comfort held against {yardstick}."),
            format!("Fahrverhalten {on}; Komfort verglichen mit: {yardstick}."),
        ),
        0,
    );
    text += "\n";
    for state in RIDDEN_STATES {
        text += &in_state(answer, state, language);
    }
    text += language.pick(
        "\nFront and rear axle: one standard deviation, chance per kilometre of touching the stop and of twice the static load\n",
        "\nVorder- und Hinterachse: eine Standardabweichung, Wahrscheinlichkeit je Kilometer für Pufferberührung und doppelte Last\n",
    );
    for state in RIDDEN_STATES {
        text += &wheels_in_state(answer, state, language);
    }
    text += &crossings(answer, language);
    for kit in &answer.kits {
        text += &said(kit, language);
    }
    text + &format!("\n{}\n", folded(wording::ride_legend(language), 0))
}

/// Today, then every kit that rides.
fn riding(answer: &RideAnswer, language: Language) -> Vec<(String, &FitmentRide)> {
    let today = (language.pick("today", "heute").to_owned(), &answer.today);
    let kits = answer.kits.iter().filter_map(|kit| match &kit.outcome {
        KitRideOutcome::Rides(ride) => Some((kit.kit.clone(), ride)),
        KitRideOutcome::CannotBeComputed(_) => None,
    });
    std::iter::once(today).chain(kits).collect()
}

/// How the body moves in a load state, every fitment a row.
fn in_state(answer: &RideAnswer, state: LoadState, language: Language) -> String {
    let header = language.pick(
        ["", "driver m/s²", "change %", "heave Hz", "damped", "pitch Hz", "damped", "roll Hz"],
        ["", "Fahrer m/s²", "Änderung %", "Heben Hz", "gedämpft", "Nicken Hz", "gedämpft", "Wanken Hz"],
    );
    let row = |ride: &RideFigures| {
        let of = |wanted: RideMode, figure: fn(&ModeRide) -> &Figure| {
            let mode = ride.modes.iter().find(|mode| mode.mode == wanted);
            mode.map_or_else(|| "-".to_owned(), |mode| spread(figure(mode), 2, language))
        };
        let frequency = |wanted| of(wanted, |mode| &mode.frequency_hz);
        let damped = |wanted| of(wanted, |mode| &mode.damping_ratio);
        let change = ride.comfort.as_ref();
        vec![
            spread(&ride.seats[0].weighted_acceleration_m_per_s2, 2, language),
            change.map_or_else(
                || "-".to_owned(),
                |comfort| spread(&comfort.comfort_change_percent, 0, language),
            ),
            frequency(RideMode::Heave),
            damped(RideMode::Heave),
            frequency(RideMode::Pitch),
            damped(RideMode::Pitch),
            frequency(RideMode::Roll),
        ]
    };
    state_table(answer, state, &header, &row, language)
}

/// What wheels, stops and tyres do in a load state.
fn wheels_in_state(answer: &RideAnswer, state: LoadState, language: Language) -> String {
    let header = language.pick(
        ["", "travel ± mm", "", "tyre load ± %", "", "stop/km", "", "2 loads/km", ""],
        ["", "Federweg ± mm", "", "Radlast ± %", "", "Puffer/km", "", "2 Lasten/km", ""],
    );
    let row = |ride: &RideFigures| {
        let [front, rear] = &ride.axles;
        let chance = |figure: Option<&Figure>| {
            figure.map_or_else(|| "-".to_owned(), |figure| percent(figure, language))
        };
        let stop = |axle: &AxleRide| chance(axle.stop_touched_per_km_percent.as_ref());
        let twice = |axle: &AxleRide| chance(Some(&axle.twice_static_per_km_percent));
        vec![
            spread(&front.travel_spread_mm, 1, language),
            spread(&rear.travel_spread_mm, 1, language),
            spread(&front.tyre_load_spread_percent, 1, language),
            spread(&rear.tyre_load_spread_percent, 1, language),
            stop(front),
            stop(rear),
            twice(front),
            twice(rear),
        ]
    };
    state_table(answer, state, &header, &row, language)
}

fn state_table(
    answer: &RideAnswer,
    state: LoadState,
    header: &[&str],
    row: &dyn Fn(&RideFigures) -> Vec<String>,
    language: Language,
) -> String {
    let rows: Vec<Vec<String>> = riding(answer, language)
        .into_iter()
        .filter_map(|(name, ride)| {
            let found = ride.states.iter().find(|ride| ride.state == state)?;
            Some([name].into_iter().chain(row(found)).collect())
        })
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    format!(
        "\n{}\n{}\n",
        capitalised(wording::load_state(language, state)),
        wide_table(header, rows.into_iter())
    )
}

/// A figure with half the width of its range, as it is printed.
fn spread(figure: &Figure, decimals: usize, language: Language) -> String {
    let (value, half) =
        (fixed(language, figure.value, decimals), fixed(language, figure.half_width(), decimals));
    format!("{value} ± {half}")
}

/// A chance; what is next to nothing is said to be so.
fn percent(figure: &Figure, language: Language) -> String {
    if figure.value < 0.1 {
        format!("<{} %", fixed(language, 0.1, 1))
    } else {
        format!("{} %", fixed(language, figure.value, 0))
    }
}

fn crossings(answer: &RideAnswer, language: Language) -> String {
    let laden = |ride: &'_ FitmentRide| {
        ride.hump.iter().find(|crossing| crossing.state == LoadState::FullyLaden).cloned()
    };
    let rows: Vec<Vec<String>> = riding(answer, language)
        .into_iter()
        .filter_map(|(name, ride)| Some(hump_row(name, &laden(ride)?, language)))
        .collect();
    if rows.is_empty() {
        return String::new();
    }
    let header = language.pick(
        ["", "peak m/s²", "dose m/s^1.75", "to stop mm", "", "to metal mm", "", "wheel kN", ""],
        ["", "Spitze m/s²", "Dosis m/s^1,75", "bis Puffer mm", "", "bis Metall mm", "", "Rad kN", ""],
    );
    let laden = capitalised(wording::load_state(language, LoadState::FullyLaden));
    let over = wording::hump(language, &answer.hump);
    format!("\n{}\n{}\n", folded(&format!("{laden} {over}"), 0), wide_table(&header, rows.into_iter()))
}

fn hump_row(name: String, crossing: &HumpCrossing, language: Language) -> Vec<String> {
    let pm = |figure: &Figure, decimals: usize| spread(figure, decimals, language);
    let [front, rear] = &crossing.axles;
    let stop =
        |axle: &HumpAxle| axle.clearance_to_stop_mm.as_ref().map_or_else(|| "-".to_owned(), |mm| pm(mm, 0));
    let force = |axle: &HumpAxle| fixed(language, 1e-3 * axle.force_at_wheel_n.value, 1);
    vec![
        name,
        pm(&crossing.peak_acceleration_m_per_s2, 1),
        pm(&crossing.vibration_dose_m_per_s175, 1),
        stop(front),
        stop(rear),
        pm(&front.clearance_to_metal_mm, 0),
        pm(&rear.clearance_to_metal_mm, 0),
        force(front),
        force(rear),
    ]
}

/// What may be said of a kit in a sentence.
fn said(kit: &KitRide, language: Language) -> String {
    let mut text = format!("\n{} ({})\n", kit.name, kit.kit);
    let ride = match &kit.outcome {
        KitRideOutcome::CannotBeComputed(why) => {
            return text + &format!("{}\n", folded(&format!("  {}", why.in_language(language)), 4));
        }
        KitRideOutcome::Rides(ride) => ride,
    };
    if ride.states.is_empty() {
        let words = language.pick(
            "  Only a drop is published, or an axle stands at an end of its travel: nothing is said of its ride.",
            "  Es ist nur eine Tieferlegung veröffentlicht, oder eine Achse steht am Ende ihres Federwegs: über das Fahrverhalten wird nichts gesagt.",
        );
        return text + &format!("{}\n", folded(words, 4));
    }
    for state in &ride.states {
        let Some(comfort) = &state.comfort else { continue };
        let acceleration = state.seats[0].weighted_acceleration_m_per_s2.value;
        let words = format!(
            "  {}: {}; {} ({}).",
            capitalised(wording::load_state(language, state.state)),
            wording::comfort(language, comfort),
            wording::reactions(language, acceleration),
            language.pick("on public transport, ISO 2631-1 annex C", "im Nahverkehr, ISO 2631-1 Anhang C"),
        );
        text += &format!("{}\n", folded(&words, 4));
    }
    if let Some(setting) = &ride.damping {
        text += &format!("{}\n", folded(&format!("  {}", wording::damping_setting(language, setting)), 4));
    }
    text
}
