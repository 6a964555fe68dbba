//! Checks: names, findings, and the sentences that hold numbers.

use super::{axle, corner, fixed, load_state, signed, span, whole};
use crate::checks::{Area, Check, Finding, Limit, grouped};
use crate::document::unit_of;
use crate::facts::Language;
use crate::figure::Figure;
use crate::load_list::LoadState;

/// Every check by its name in answers and rules, with its words in English and German.
pub const CHECK_NAMES: [(&str, [&str; 2]); 64] = [
    ("gross_mass", ["gross mass", "Gesamtmasse"]),
    ("front_axle_load", ["front axle load", "Achslast vorn"]),
    ("rear_axle_load", ["rear axle load", "Achslast hinten"]),
    ("tow_ball_load", ["load on the tow ball", "Stützlast"]),
    ("bump_travel_to_metal", ["bump travel to metal", "Einfederweg bis Metall"]),
    ("stop_trim", ["bump stops to be trimmed", "Kürzen der Anschlagpuffer"]),
    ("captive", ["captive spring", "Federspannung, ausgefedert"]),
    ("coil_bind", ["coil bind", "Feder auf Block"]),
    ("damper_stroke", ["damper stroke", "Dämpferhub"]),
    ("driveshaft_angle", ["driveshaft angle", "Beugewinkel der Antriebswelle"]),
    ("drop_link_angle", ["drop link angle", "Winkel der Koppelstange"]),
    ("axle_pitch", ["pitch of the axle", "Verdrehung der Achse"]),
    ("camber", ["camber", "Sturz"]),
    ("toe", ["toe", "Spur"]),
    ("caster", ["caster", "Nachlauf"]),
    ("lamp_aim", ["lamp aim", "Scheinwerfereinstellung"]),
    ("lamp_aim_before_setting", ["lamp aim until it is set", "Scheinwerfer bis zur Einstellung"]),
    ("lamp_aim_after_setting", ["lamp aim once set", "Scheinwerfer nach der Einstellung"]),
    ("lamp_height", ["lamp height", "Höhe der Scheinwerfer"]),
    ("load_sensing_brake_valve", ["load-sensing brake valve", "lastabhängiger Bremsdruckregler"]),
    ("height_sensor", ["height sensor", "Höhensensor"]),
    ("driver_assistance", ["driver assistance", "Fahrassistenz"]),
    ("hoses_and_leads", ["hoses and leads", "Schläuche und Leitungen"]),
    ("ground_clearance", ["ground clearance", "Bodenfreiheit"]),
    ("approach_angle", ["approach angle", "Böschungswinkel vorn"]),
    ("departure_angle", ["departure angle", "Böschungswinkel hinten"]),
    ("breakover_angle", ["breakover angle", "Rampenwinkel"]),
    ("tow_ball_height", ["tow ball height", "Höhe der Kupplungskugel"]),
    ("lift_arm_clearance", ["room for the lift arms", "Platz für die Hebebühnenarme"]),
    ("front_roll_stiffness", ["front roll stiffness", "Wanksteifigkeit vorn"]),
    ("rear_roll_stiffness", ["rear roll stiffness", "Wanksteifigkeit hinten"]),
    ("front_roll_centre_height", ["front roll centre", "Wankzentrum vorn"]),
    ("rear_roll_centre_height", ["rear roll centre", "Wankzentrum hinten"]),
    ("track", ["track", "Spurweite"]),
    ("static_stability_factor", ["static stability factor", "statischer Kippfaktor"]),
    ("roll_gradient", ["roll gradient", "Wankgradient"]),
    (
        "front_bar_uprated",
        ["roll gradient with a stronger front bar", "Wankgradient mit stärkerem Stabilisator vorn"],
    ),
    (
        "rear_bar_uprated",
        ["roll gradient with a stronger rear bar", "Wankgradient mit stärkerem Stabilisator hinten"],
    ),
    ("front_transfer_share", ["front share of the load transfer", "Anteil vorn an der Radlastverlagerung"]),
    ("tyre_load_index", ["load index of the tyres", "Tragfähigkeit der Reifen"]),
    ("tyre_load", ["load of the tyres", "Last der Reifen"]),
    ("tyre_pressure", ["tyre pressure", "Reifendruck"]),
    ("tyre_speed_symbol", ["speed symbol of the tyres", "Geschwindigkeitssymbol der Reifen"]),
    ("rim_load_rating", ["load rating of the rims", "Radlast der Felgen"]),
    ("rim_width_for_tyre", ["rim width for the tyre", "Felgenbreite zum Reifen"]),
    ("rim_width_for_van", ["rim width for the van", "Felgenbreite zum Wagen"]),
    ("bolt_circle", ["bolt circle", "Lochkreis"]),
    ("centre_bore", ["centre bore", "Mittenloch"]),
    ("thread_engagement", ["thread engagement", "Einschraubtiefe"]),
    ("wheel_bolts", ["number of wheel fixings", "Zahl der Radbefestigungen"]),
    ("wheel_fixing", ["kind of wheel fixing", "Art der Radbefestigung"]),
    ("wheel_seat", ["seat of the wheel fixing", "Sitz der Radbefestigung"]),
    ("wheel_thread", ["thread of the wheel fixing", "Gewinde der Radbefestigung"]),
    ("brake_clearance", ["room over the brake", "Platz über der Bremse"]),
    ("crown_clearance", ["room above the tyre", "Platz über dem Reifen"]),
    ("inboard_clearance", ["room inboard of the tyre", "Platz innen am Reifen"]),
    ("outboard_clearance", ["room outboard of the tyre", "Platz außen am Reifen"]),
    ("steering_lock_clearance", ["room at full lock", "Platz bei vollem Einschlag"]),
    ("tyre_clearance", ["room around the tyre", "Platz um den Reifen"]),
    ("track_change", ["change of track", "Änderung der Spurweite"]),
    ("scrub_radius_change", ["change of scrub radius", "Änderung des Lenkrollradius"]),
    ("speedometer", ["speedometer reading", "Tachoanzeige"]),
    ("gearing_change", ["change of gearing", "Änderung der Übersetzung"]),
    ("body_height_change", ["change of body height by the tyre", "Änderung der Aufbauhöhe durch den Reifen"]),
];

/// A check by its name in answers.
pub fn check_named(language: Language, name: &'static str) -> &'static str {
    let named = CHECK_NAMES.iter().find(|(check, _)| *check == name);
    named.map_or(name, |(_, [english, german])| language.pick(english, german))
}

/// How a check came out.
pub fn finding(language: Language, finding: Finding) -> &'static str {
    match finding {
        Finding::Holds => language.pick("holds", "hält"),
        Finding::LookAtIt => language.pick("look at it", "ansehen"),
        Finding::DoNot => language.pick("do not", "nicht so"),
    }
}

/// What a check is about.
pub fn area(language: Language, area: Area) -> &'static str {
    match area {
        Area::Travel => language.pick("travel", "Federweg"),
        Area::Carry => language.pick("loads", "Lasten"),
        Area::Wheels => language.pick("wheels", "Räder"),
        Area::Speedometer => language.pick("speedometer", "Tacho"),
        Area::Alignment => language.pick("alignment", "Vermessung"),
        Area::Lamps => language.pick("lamps", "Licht"),
        Area::Brakes => language.pick("brakes", "Bremsen"),
        Area::Ground => language.pick("ground", "Boden"),
        Area::Handling => language.pick("handling", "Fahrverhalten"),
    }
}

/// Who decides in the end.
pub fn who_decides(language: Language) -> &'static str {
    language.pick(
        "Local code, the makers and licensed practice decide.",
        "Es entscheiden örtliche Vorschriften, die Hersteller und der Fachbetrieb.",
    )
}

/// Digits after the point in which a figure of a unit is read.
fn decimals(unit: &str) -> usize {
    match unit {
        "mm" | "kg" | "nm_per_deg" => 0,
        "" => 3,
        "deg" | "deg_per_g" | "percent" => 2,
        _ => 1,
    }
}

/// A number with its unit as it is read.
fn with_unit(language: Language, value: f64, unit: &str) -> String {
    let number = fixed(language, value, decimals(unit));
    let symbol = unit_of(unit);
    let apart = if symbol.starts_with('°') { "" } else { " " };
    format!("{number}{apart}{symbol}").trim_end().to_owned()
}

/// A figure of a check with the ends of its range, where it has one.
pub fn check_figure(language: Language, figure: &Figure, unit: &str) -> String {
    let value = with_unit(language, figure.value, unit);
    if figure.half_width() > 0.0 {
        format!("{value} ({})", span(language, figure.low, figure.high, decimals(unit)))
    } else {
        value
    }
}

/// A limit with its source.
pub fn limit(language: Language, limit: &Limit, unit: &str) -> String {
    let of = |value| with_unit(language, value, unit);
    let bounds = match (limit.at_least, limit.at_most) {
        (Some(least), Some(most)) => {
            let least = fixed(language, least, decimals(unit));
            language
                .pick(format!("allowed {least} to {}", of(most)), format!("erlaubt {least} bis {}", of(most)))
        }
        (Some(least), None) => format!("{} {}", language.pick("at least", "mindestens"), of(least)),
        (None, Some(most)) => format!("{} {}", language.pick("at most", "höchstens"), of(most)),
        (None, None) => String::new(),
    };
    format!("{bounds} [{}]", limit.source.in_language(language)).trim_start().to_owned()
}

/// Checks that say the same in several load states, as one line: finding, sentence, figures, limit, source.
pub fn same_checks(language: Language, same: &[&Check]) -> String {
    let worst = same.iter().min_by(|a, b| {
        let margin = |check: &Check| check.margin().unwrap_or(f64::INFINITY);
        margin(a).total_cmp(&margin(b))
    });
    let Some(worst) = worst else { return String::new() };
    let figure = |check: &Check| {
        let state = check.state.map_or("", |state| load_state(language, state));
        let figure = check.figure.as_ref().map(|figure| check_figure(language, figure, check.unit));
        format!("{state} {}", figure.unwrap_or_default()).trim().to_owned()
    };
    let mut parts = vec![worst.words.in_language(language).trim_end_matches('.').to_owned()];
    match &worst.limit {
        Some(held) => {
            parts.push(format!("{}, {}", figure(worst), limit(language, held, worst.unit)));
            let others: Vec<LoadState> = same
                .iter()
                .filter_map(|check| check.state)
                .filter(|state| Some(*state) != worst.state)
                .collect();
            if !others.is_empty() {
                parts.push(format!("{} {}", language.pick("likewise", "ebenso"), states(language, &others)));
            }
        }
        None if worst.figure.is_some() => {
            parts.push(same.iter().map(|check| figure(check)).collect::<Vec<String>>().join(", "));
        }
        None => {}
    }
    let (finding, area) = (finding(language, worst.finding), area(language, worst.area));
    format!("{finding} ({area}): {}", parts.join("; "))
}

fn states(language: Language, states: &[LoadState]) -> String {
    let names: Vec<&str> = states.iter().map(|&state| load_state(language, state)).collect();
    names.join(", ")
}

/// What a check is of: its name, its axle, its load states.
fn check_of(language: Language, same: &[&Check]) -> String {
    let Some(first) = same.first() else { return String::new() };
    let name = check_named(language, first.check);
    let axle = first.axle.map_or_else(String::new, |place| format!(" {}", axle(language, place)));
    let of: Vec<LoadState> = same.iter().filter_map(|check| check.state).collect();
    let of = match of.len() {
        0 => String::new(),
        count if count == LoadState::ALL.len() => {
            language.pick(" (in every load state)", " (in jedem Ladezustand)").to_owned()
        }
        _ => format!(" ({})", states(language, &of)),
    };
    format!("{name}{axle}{of}")
}

/// Checks that do not hold, in one line; those of one name and axle together.
pub fn do_not_hold(language: Language, checks: &[Check]) -> String {
    let names: Vec<String> =
        grouped(checks.iter(), Check::is_of_the_same).iter().map(|same| check_of(language, same)).collect();
    names.join(", ")
}

/// An angle of a wheel and what follows; how far it has moved, where that is to be told.
pub(crate) fn alignment(
    language: Language,
    angle: &str,
    wheel: usize,
    moved_deg: Option<f64>,
    advice: &str,
) -> String {
    let place = corner(language, wheel);
    let moved = moved_deg.map_or_else(String::new, |deg| {
        let deg = signed(language, deg, 2);
        language.pick(format!(", moved by {deg}°"), format!(", verändert um {deg}°"))
    });
    format!("{angle} {place}{moved}; {advice}")
}

/// How far a kit turns the beam before it is set anew.
pub(crate) fn beam_turned(language: Language, by_percent: f64, by_deg: f64) -> String {
    let [turned, deg] = [by_percent, by_deg].map(|value| signed(language, value, 2));
    let set = fixed(language, by_percent.abs(), 2);
    let way = if by_percent > 0.0 { language.pick("down", "tiefer") } else { language.pick("up", "höher") };
    language.pick(
        format!("lamp aim until it is set: the beam turned by {turned} % ({deg}°); set it {set} % {way}"),
        format!("Scheinwerfer bis zur Einstellung: um {turned} % ({deg}°) verdreht; {set} % {way} stellen"),
    )
}

/// Roll stiffness of an axle, N m/deg.
pub(crate) fn roll_stiffness(language: Language, axle: &str, bar: f64, today: f64) -> String {
    let [bar, today] = [bar, today].map(whole);
    language.pick(
        format!("{axle} roll stiffness, {bar} Nm/° of it from the bar; today {today} Nm/°"),
        format!("Wanksteifigkeit {axle}, davon {bar} Nm/° vom Stabilisator; heute {today} Nm/°"),
    )
}

/// Roll centre of an axle, mm.
pub(crate) fn roll_centre(language: Language, axle: &str, today_mm: f64) -> String {
    let today = whole(today_mm);
    language.pick(
        format!("{axle} roll centre above the ground, today {today} mm"),
        format!("Wankzentrum {axle} über der Fahrbahn, heute {today} mm"),
    )
}

/// Roll gradient, deg/g.
pub(crate) fn roll_gradient(language: Language, today_deg_per_g: f64) -> String {
    let today = fixed(language, today_deg_per_g, 2);
    language.pick(format!("roll gradient, today {today}°/g"), format!("Wankgradient, heute {today}°/g"))
}

/// Front share of the load transfer, per cent.
pub(crate) fn transfer_share(language: Language, today_percent: f64) -> String {
    let today = fixed(language, today_percent, 1);
    language.pick(
        format!("front share of the load transfer, today {today} %"),
        format!("Anteil der Vorderachse an der Radlastverlagerung, heute {today} %"),
    )
}

/// Static stability factor.
pub(crate) fn stability(language: Language, today: f64, tilts_deg: f64) -> String {
    let (today, tilts) = (fixed(language, today, 3), whole(tilts_deg));
    language.pick(
        format!("static stability factor, half track over height of the centre of gravity; today {today}, tilts at {tilts}°"),
        format!("statischer Kippfaktor, halbe Spurweite durch Schwerpunkthöhe; heute {today}, kippt bei {tilts}°"),
    )
}

/// Roll gradient with a stronger bar; front share of the load transfer with it and without, per cent.
pub(crate) fn stronger_bar(language: Language, axle: &str, share_percent: [f64; 2]) -> String {
    let [with, without] = share_percent.map(|share| fixed(language, share, 1));
    language.pick(
        format!("roll gradient with a {axle} bar a quarter stronger; front share of the transfer {with} instead of {without} %"),
        format!("Wankgradient mit einem um ein Viertel stärkeren Stabilisator {axle}; Anteil vorn {with} statt {without} %"),
    )
}
