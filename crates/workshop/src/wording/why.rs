//! The chain behind a figure, a verdict, a price, a time.

use super::{
    Adjuster, Axle, Because, Said, corner, evidence, fixed, load_state, signed, source, span, travel_end,
    whole,
};
use crate::facts::{Language, Words};
use crate::fitting::Would;
use crate::load_list::{LoadItem, LoadState};
use crate::price::{Line, Quantity, Quote};
use crate::ramp_time::{Operation, RampTime};
use crate::rules::{Component, Effect};
use crate::sit::TravelEnd;
use crate::vehicle_sheet::RunningOrder;

/// Running order as an input.
pub(crate) fn running_order_input(language: Language, order: &RunningOrder) -> String {
    let (front, rear) = (whole(order.front_axle_kg), whole(order.rear_axle_kg));
    language.pick(
        format!("running order {front} + {rear} kg (maker's figure: 90 % fuel, driver of 75 kg)"),
        format!("fahrbereit {front} + {rear} kg (Herstellerangabe: 90 % Kraftstoff, Fahrer mit 75 kg)"),
    )
}

/// A listed item as an input.
pub(crate) fn item_input(language: Language, item: &LoadItem) -> String {
    let (name, kg, spread) = (&item.name, whole(item.mass_kg), whole(item.plus_minus_kg));
    let (behind, from) = (whole(item.place.behind_front_axle_mm), evidence(language, item.evidence));
    language.pick(
        format!("{name}: {kg} ± {spread} kg, {behind} mm behind the front axle ({from})"),
        format!("{name}: {kg} ± {spread} kg, {behind} mm hinter der Vorderachse ({from})"),
    )
}

/// Where a spring's rate and length come from.
#[derive(Debug, Clone, Copy)]
pub(crate) enum SpringFrom {
    /// Original.
    Sheet,
    /// The kit's maker.
    Maker,
    /// Assumed.
    Assumed,
}

/// A spring as an input.
#[derive(Debug, Clone, Copy)]
pub(crate) enum SpringInput {
    /// Coil spring.
    Coil { free_length_mm: f64, rate_n_per_mm: f64 },
    /// Main leaves.
    Leaves { free_camber_mm: f64, rate_n_per_mm: f64 },
    /// Torsion bar.
    TorsionBar { untwisted_below_design_deg: f64, rate_nm_per_deg: f64 },
}

/// A spring as an input.
pub(crate) fn spring_input(language: Language, i: usize, spring: SpringInput, from: SpringFrom) -> String {
    let place = corner(language, i);
    let one = |value| fixed(language, value, 1);
    let is_coil = matches!(spring, SpringInput::Coil { .. });
    let from = match from {
        SpringFrom::Sheet if is_coil => language.pick(
            "original, free length computed from the sheet's arch height",
            "Serie, ungespannte Länge aus der Radlaufhöhe des Datenblatts berechnet",
        ),
        SpringFrom::Sheet => language.pick(
            "original, computed from the sheet's arch height",
            "Serie, aus der Radlaufhöhe des Datenblatts berechnet",
        ),
        SpringFrom::Maker => language.pick("maker's figure", "Herstellerangabe"),
        SpringFrom::Assumed => language.pick(
            "assumed: only a drop is published",
            "angenommen: veröffentlicht ist nur eine Tieferlegung",
        ),
    };
    match spring {
        SpringInput::Coil { free_length_mm, rate_n_per_mm } => {
            let (length, rate) = (one(free_length_mm), one(rate_n_per_mm));
            language.pick(
                format!("{place} spring: free length {length} mm, {rate} N/mm at rest ({from})"),
                format!("Feder {place}: ungespannt {length} mm, im Stand {rate} N/mm ({from})"),
            )
        }
        SpringInput::Leaves { free_camber_mm, rate_n_per_mm } => {
            let (camber, rate) = (one(free_camber_mm), one(rate_n_per_mm));
            language.pick(
                format!("{place} leaf spring: free camber {camber} mm, {rate} N/mm at rest ({from})"),
                format!("Blattfeder {place}: Sprengung frei {camber} mm, im Stand {rate} N/mm ({from})"),
            )
        }
        SpringInput::TorsionBar { untwisted_below_design_deg, rate_nm_per_deg } => {
            let (angle, rate) = (one(untwisted_below_design_deg), one(rate_nm_per_deg));
            language.pick(
                format!("{place} torsion bar: {rate} N m per degree, free of twist with the arm {angle}° below design ({from})"),
                format!("Drehstab {place}: {rate} N m je Grad, verdrehungsfrei mit dem Lenker {angle}° unter Konstruktionslage ({from})"),
            )
        }
    }
}

/// A cause of the range as an input.
pub(crate) fn cause_input(language: Language, cause: &crate::figure::Contribution) -> String {
    let (what, share) = (cause.cause.words(language), whole(100.0 * cause.share));
    let (from, remedy) = (evidence(language, cause.evidence), cause.remedy.words(language));
    language.pick(
        format!("{what}: holds {share} % of the range ({from}); {remedy}"),
        format!("{what}: macht {share} % der Spanne aus ({from}); {remedy}"),
    )
}

/// One step of a computation, with its numbers.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Step {
    /// The corner whose balance stands for the others.
    OneWheel(usize),
    /// Load of the wheel and what of it is unsprung, kg.
    WheelStands([f64; 2]),
    /// Length of the spring, mm; its force, N; motion ratio; force at the wheel, N.
    SpringPushes([f64; 4]),
    /// Camber of the main leaves, mm; their force and that of the added leaves, N; motion ratio; force at the wheel, N.
    LeavesPush([f64; 5]),
    /// Twist of the torsion bar, degrees; its torque, N m; force at the wheel, N.
    BarIsTwisted([f64; 3]),
    /// Gauge pressure of the air spring, bar; its force at the wheel, N.
    AirPushes([f64; 2]),
    /// Stop, gas, bushes and the whole suspension, N.
    OthersPush([f64; 4]),
    /// Arch height, the same at design height, bump travel, mm.
    ArchHeight([f64; 3]),
    /// Lowest and highest arch height, mm.
    FrictionBand([f64; 2]),
    /// Unloaded tyre radius and gap, mm.
    ArchGap([f64; 2]),
    /// Wheel centre above the ground and lip above the ground, mm.
    LipHeight([f64; 2]),
    /// Arch height today and drop, mm.
    DropAgainstToday([f64; 2]),
    /// Arch height on new original springs and drop, mm.
    DropAgainstOriginal([f64; 2]),
    /// Mean of the four arches today, then, and drop, mm.
    MeanDrop([f64; 3]),
    /// Travel to first touch, mm.
    FirstTouch(f64),
    /// Travel to twice the load, mm.
    TwiceLoad(f64),
    /// Travel to metal, mm, and what ends it.
    ToMetal(f64, TravelEnd),
    /// The corner that has least of it.
    LeastCorner(usize),
    /// Rebound travel, mm, and what ends it.
    Rebound(f64, TravelEnd),
    /// Full rebound below rest and compression left there, mm.
    Captive([f64; 2]),
    /// Room between the coils at metal, mm.
    CoilBind(f64),
    /// Rear less front and the same with the load floor horizontal, mm.
    Level([f64; 2]),
    /// Left, right and left less right, mm.
    Lean([f64; 3]),
    /// Pitch, degrees.
    Pitch(f64),
    /// Left and right wheel, sum, kg.
    AxleLoad([f64; 3]),
    /// Front and rear axle, sum, kg.
    Gross([f64; 3]),
    /// Load of each wheel, kg.
    StandsOn([f64; 4]),
    /// Front and rear axle behind the front axle line, mm, and their loads, kg.
    MomentsAlong([f64; 2], [f64; 2]),
    /// Each wheel left of the centre plane, mm, and its load, kg.
    MomentsAcross([f64; 4], [f64; 4]),
    /// Plate, load, what is left, kg.
    Margin([f64; 3]),
    /// Where a collar or adjusting bolt stands against delivery, mm.
    Collar(Adjuster, f64),
}

impl Said for Step {
    fn words(&self, language: Language) -> String {
        let mm = |value: f64| fixed(language, value, 1);
        match *self {
            Self::OneWheel(i) => {
                let place = corner(language, i);
                language.pick(
                    format!("the balance of one wheel, {place}; the other three likewise"),
                    format!("das Gleichgewicht eines Rads, {place}; die anderen drei ebenso"),
                )
            }
            Self::WheelStands([load, unsprung]) => {
                let (load, unsprung) = (mm(load), mm(unsprung));
                language.pick(
                    format!("the wheel stands on the ground with {load} kg, {unsprung} kg of it unsprung"),
                    format!("das Rad steht mit {load} kg auf dem Boden, davon {unsprung} kg ungefedert"),
                )
            }
            Self::SpringPushes([length, force, ratio, at_wheel]) => {
                let (length, force) = (mm(length), whole(force));
                let (ratio, at_wheel) = (fixed(language, ratio, 4), whole(at_wheel));
                language.pick(
                    format!(
                        "the spring is {length} mm long and pushes with {force} N; times the motion ratio {ratio} that is {at_wheel} N at the wheel"
                    ),
                    format!(
                        "die Feder ist {length} mm lang und drückt mit {force} N; mal Federübersetzung {ratio} sind das {at_wheel} N am Rad"
                    ),
                )
            }
            Self::LeavesPush([camber, main, added, ratio, at_wheel]) => {
                let (camber, ratio) = (mm(camber), fixed(language, ratio, 4));
                let [main, added, at_wheel] = [main, added, at_wheel].map(whole);
                language.pick(
                    format!(
                        "the main leaves have {camber} mm of camber and carry {main} N, added leaves {added} N; times the motion ratio {ratio}, and with what the other wheel's travel does to it, that is {at_wheel} N at the wheel"
                    ),
                    format!(
                        "die Hauptlagen haben {camber} mm Sprengung und tragen {main} N, Zusatzlagen {added} N; mal Federübersetzung {ratio}, und mit dem Anteil des anderen Rads, sind das {at_wheel} N am Rad"
                    ),
                )
            }
            Self::BarIsTwisted([twist, torque, at_wheel]) => {
                let twist = mm(twist);
                let [torque, at_wheel] = [torque, at_wheel].map(whole);
                language.pick(
                    format!(
                        "the torsion bar is twisted by {twist}° and holds {torque} N m; that is {at_wheel} N at the wheel"
                    ),
                    format!(
                        "der Drehstab ist um {twist}° verdreht und hält {torque} N m; das sind {at_wheel} N am Rad"
                    ),
                )
            }
            Self::AirPushes([bar, at_wheel]) => {
                let (bar, at_wheel) = (fixed(language, bar, 1), whole(at_wheel));
                language.pick(
                    format!("the air spring has {bar} bar and adds {at_wheel} N at the wheel"),
                    format!("die Luftfeder hat {bar} bar und gibt {at_wheel} N am Rad dazu"),
                )
            }
            Self::OthersPush(forces) => {
                let [stop, gas, bushes, all] = forces.map(whole);
                language.pick(
                    format!(
                        "bump stop {stop} N, gas {gas} N, bushes {bushes} N; with the anti-roll bar the suspension carries {all} N"
                    ),
                    format!(
                        "Anschlagpuffer {stop} N, Gas {gas} N, Gummilager {bushes} N; mit dem Stabilisator trägt die Federung {all} N"
                    ),
                )
            }
            Self::ArchHeight(heights) => {
                let [arch, design, travel] = heights.map(mm);
                language.pick(
                    format!(
                        "arch height {arch} mm: {design} mm at design height less {travel} mm of bump travel, the tilt of the body included"
                    ),
                    format!(
                        "Radlaufhöhe {arch} mm: {design} mm in Konstruktionslage weniger {travel} mm Einfederweg, mit der Neigung des Aufbaus"
                    ),
                )
            }
            Self::FrictionBand([lowest, highest]) => {
                let band = span(language, lowest, highest, 1);
                language.pick(
                    format!("dry friction lets the van rest anywhere from {band} mm; the middle is shown"),
                    format!("trockene Reibung lässt den Wagen irgendwo von {band} mm stehen; gezeigt wird die Mitte"),
                )
            }
            Self::ArchGap(lengths) => {
                let [radius, gap] = lengths.map(mm);
                language.pick(
                    format!("less the unloaded tyre radius of {radius} mm the gap is {gap} mm"),
                    format!("abzüglich des unbelasteten Reifenhalbmessers von {radius} mm bleibt ein Spalt von {gap} mm"),
                )
            }
            Self::LipHeight(lengths) => {
                let [centre, lip] = lengths.map(mm);
                language.pick(
                    format!("the wheel centre stands {centre} mm above the ground, the lip {lip} mm"),
                    format!("die Radmitte steht {centre} mm über dem Boden, die Radlaufkante {lip} mm"),
                )
            }
            Self::DropAgainstToday(lengths) => {
                let [today, drop] = lengths.map(mm);
                language.pick(
                    format!("today, in the same load state, {today} mm: the drop is {drop} mm"),
                    format!("heute, im selben Ladezustand, {today} mm: die Tieferlegung ist {drop} mm"),
                )
            }
            Self::DropAgainstOriginal(lengths) => {
                let [new, drop] = lengths.map(mm);
                language.pick(
                    format!("on new original springs, in the same load state, {new} mm: the drop is {drop} mm"),
                    format!("auf neuen Serienfedern, im selben Ladezustand, {new} mm: die Tieferlegung ist {drop} mm"),
                )
            }
            Self::MeanDrop(lengths) => {
                let [today, then, drop] = lengths.map(mm);
                language.pick(
                    format!("mean of the four arches {today} mm today and {then} mm then: the drop is {drop} mm"),
                    format!("Mittel der vier Radläufe heute {today} mm und dann {then} mm: die Tieferlegung ist {drop} mm"),
                )
            }
            Self::FirstTouch(travel) => {
                let travel = mm(travel);
                language.pick(
                    format!("the stop is first touched {travel} mm of wheel travel above rest"),
                    format!("der Anschlagpuffer wird {travel} mm Radweg über dem Stand zuerst berührt"),
                )
            }
            Self::TwiceLoad(travel) => {
                let travel = mm(travel);
                language.pick(
                    format!("the suspension carries twice its load at rest {travel} mm above rest"),
                    format!("die doppelte Last des Stands trägt die Federung {travel} mm über dem Stand"),
                )
            }
            Self::ToMetal(travel, end) => {
                let (travel, end) = (mm(travel), travel_end(language, end));
                language.pick(
                    format!(
                        "the first thing that cannot yield ends the travel {travel} mm above rest: {end}"
                    ),
                    format!("was zuerst nicht nachgibt, beendet den Weg {travel} mm über dem Stand: {end}"),
                )
            }
            Self::LeastCorner(i) => {
                let place = corner(language, i);
                language.pick(
                    format!("of the four corners {place} has least"),
                    format!("von den vier Ecken hat {place} am wenigsten"),
                )
            }
            Self::Rebound(travel, end) => {
                let (travel, end) = (mm(travel), travel_end(language, end));
                language.pick(
                    format!("full rebound is {travel} mm below rest: {end}"),
                    format!("ganz ausgefedert ist das Rad {travel} mm unter dem Stand: {end}"),
                )
            }
            Self::Captive(lengths) => {
                let [rebound, left] = lengths.map(mm);
                language.pick(
                    format!(
                        "full rebound is {rebound} mm below rest; there the spring is still {left} mm shorter than free"
                    ),
                    format!(
                        "ganz ausgefedert ist das Rad {rebound} mm unter dem Stand; dort ist die Feder noch {left} mm kürzer als ungespannt"
                    ),
                )
            }
            Self::CoilBind(room) => {
                let room = mm(room);
                language.pick(
                    format!("where metal ends the travel {room} mm are left between the coils"),
                    format!("wo Metall den Weg beendet, bleiben zwischen den Windungen {room} mm"),
                )
            }
            Self::Level([difference, floor]) => {
                let (difference, floor) = (mm(difference), whole(floor));
                language.pick(
                    format!(
                        "rear less front {difference} mm, less {floor} mm with the load floor horizontal"
                    ),
                    format!("hinten minus vorn {difference} mm, minus {floor} mm bei waagerechtem Ladeboden"),
                )
            }
            Self::Lean(lengths) => {
                let [left, right, lean] = lengths.map(mm);
                language.pick(
                    format!("left {left} mm less right {right} mm: {lean} mm"),
                    format!("links {left} mm minus rechts {right} mm: {lean} mm"),
                )
            }
            Self::Pitch(degrees) => {
                let degrees = signed(language, degrees, 2);
                language.pick(
                    format!(
                        "on its four tyres the body rests at {degrees}° to the ground, nose-down positive"
                    ),
                    format!(
                        "auf seinen vier Reifen ruht der Aufbau mit {degrees}° zum Boden, Bug tief positiv"
                    ),
                )
            }
            Self::AxleLoad(loads) => {
                let [left, right, sum] = loads.map(mm);
                language.pick(
                    format!("left wheel {left} kg and right wheel {right} kg: {sum} kg"),
                    format!("linkes Rad {left} kg und rechtes Rad {right} kg: {sum} kg"),
                )
            }
            Self::Gross(loads) => {
                let [front, rear, sum] = loads.map(mm);
                language.pick(
                    format!("front axle {front} kg and rear axle {rear} kg: {sum} kg"),
                    format!("Vorderachse {front} kg und Hinterachse {rear} kg: {sum} kg"),
                )
            }
            Self::StandsOn(loads) => {
                let loads = loads.map(mm);
                let each: Vec<String> =
                    (0..4).map(|i| format!("{} {} kg", corner(language, i), loads[i])).collect();
                let each = each.join(", ");
                language.pick(
                    format!("the wheels stand on the ground with: {each}"),
                    format!("die Räder stehen auf dem Boden mit: {each}"),
                )
            }
            Self::MomentsAlong(places, loads) => {
                let centre = moments(&places, &loads);
                let [[front_mm, rear_mm], [front, rear]] = [places, loads].map(|two| two.map(mm));
                let centre = mm(centre);
                language.pick(
                    format!("front axle {front} kg at {front_mm} mm and rear axle {rear} kg at {rear_mm} mm, over their sum: {centre} mm"),
                    format!("Vorderachse {front} kg bei {front_mm} mm und Hinterachse {rear} kg bei {rear_mm} mm, durch ihre Summe: {centre} mm"),
                )
            }
            Self::MomentsAcross(places, loads) => {
                let centre = mm(moments(&places, &loads));
                let each: Vec<String> =
                    (0..4).map(|i| format!("{} kg × {} mm", mm(loads[i]), mm(places[i]))).collect();
                let each = each.join(" + ");
                language.pick(
                    format!("({each}), left positive, over the sum of the loads: {centre} mm"),
                    format!("({each}), links positiv, durch die Summe der Lasten: {centre} mm"),
                )
            }
            Self::Margin(loads) => {
                let [plate, load, left] = loads.map(whole);
                language.pick(
                    format!("{plate} kg on the plate less {load} kg: {left} kg are left"),
                    format!("{plate} kg nach Typschild minus {load} kg: {left} kg bleiben"),
                )
            }
            Self::Collar(adjuster, turned) => {
                let (the_one, turned) = (adjuster.the_one(language), signed(language, turned, 2));
                language.pick(
                    format!("{the_one} stands {turned} mm from where it was delivered, up positive"),
                    format!("{the_one} steht {turned} mm gegenüber der Lieferung, hoch positiv"),
                )
            }
        }
    }
}

/// An equation with its source.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Equation {
    /// Rest.
    Rest,
    /// Spring force at the wheel.
    SpringAtWheel,
    /// Range.
    Range,
    /// Arch height.
    ArchHeight,
    /// Tyre.
    Tyre,
    /// Ends of travel.
    Travel,
    /// Captive.
    Captive,
    /// Level.
    Level,
    /// Lean.
    Lean,
    /// Pitch.
    Pitch,
    /// Moments of wheel loads.
    Moments,
    /// Margin to the plate.
    Margin,
    /// How verdicts come about.
    Verdict,
    /// How prices come about.
    Price,
    /// How times come about.
    Time,
}

impl Said for Equation {
    fn words(&self, language: Language) -> String {
        let words = match self {
            Self::Rest => language.pick(
                "rest: the energy of springs, stops, bushes, bars, tyres, gas and gravity is stationary (virtual work; J. C. Dixon, Suspension Geometry and Computation, ch. 8)",
                "Ruhelage: die Energie von Federn, Puffern, Gummilagern, Stabilisatoren, Reifen, Gas und Schwere ist stationär (virtuelle Arbeit; J. C. Dixon, Suspension Geometry and Computation, Kap. 8)",
            ),
            Self::SpringAtWheel => language.pick(
                "spring force at the wheel = load × motion ratio, -dL/dz from the 3D linkage",
                "Federkraft am Rad = Last × Federübersetzung, -dL/dz aus der räumlichen Kinematik",
            ),
            Self::Range => language.pick(
                "range = 1.645 × √(rᵀ P r), r the exact response of the rest to each unknown, P their covariance",
                "Spanne = 1,645 × √(rᵀ P r), r die exakte Antwort der Ruhelage auf jede Unbekannte, P deren Kovarianz",
            ),
            Self::ArchHeight => language.pick(
                "arch height = height of the lip less height of the wheel centre",
                "Radlaufhöhe = Höhe der Radlaufkante minus Höhe der Radmitte",
            ),
            Self::Tyre => language.pick("tyre: N = k δ", "Reifen: N = k δ"),
            Self::Travel => language.pick(
                "travel ends where stop, damper, coils or linkage end; a trimmed stop is rebuilt from its remaining height",
                "der Weg endet, wo Puffer, Dämpfer, Windungen oder Lenker enden; ein gekürzter Puffer wird aus seiner Resthöhe neu aufgebaut",
            ),
            Self::Captive => language.pick(
                "captive in hand = free length of the spring stack less the space at full rebound",
                "Restspannung = ungespannte Länge des Federpakets minus Raum bei voller Ausfederung",
            ),
            Self::Level => language.pick(
                "level = (rear less front arch height) less the same with the load floor horizontal",
                "Niveau = (Radlaufhöhe hinten minus vorn) minus dasselbe bei waagerechtem Ladeboden",
            ),
            Self::Lean => language.pick(
                "lean = left less right arch height of an axle",
                "Schiefstand = Radlaufhöhe links minus rechts einer Achse",
            ),
            Self::Pitch => language.pick(
                "body pitch = angle of the body's x axis to the ground, nose-down positive (ISO 8855)",
                "Nickwinkel = Winkel der x-Achse des Aufbaus zum Boden, Bug tief positiv (ISO 8855)",
            ),
            Self::Moments => language.pick(
                "centre of gravity = Σ wheel load × place of the wheel / Σ wheel load, on level ground (balance of moments; measured so in ISO 10392)",
                "Schwerpunkt = Σ Radlast × Ort des Rads / Σ Radlast, auf ebenem Boden (Momentengleichgewicht; so gemessen in ISO 10392)",
            ),
            Self::Margin => language.pick(
                "left to the plate = plated limit less load; the plate is exact",
                "bis zulässig = Grenze des Typschilds minus Last; das Typschild gilt genau",
            ),
            Self::Verdict => language.pick(
                "a rule speaks where all its conditions hold; the first that excludes decides; a fact with several possible answers leaves the kit in and says what it depends on",
                "eine Regel gilt, wenn alle ihre Bedingungen zutreffen; die erste ausschließende entscheidet; eine Tatsache mit mehreren möglichen Antworten lässt den Satz drin und nennt, woran es hängt",
            ),
            Self::Price => language.pick(
                "lines exact; labour, tax (on the sum of all lines) and deposit are each rounded once",
                "Zeilen genau; Arbeit, Steuer (auf die Summe aller Zeilen) und Anzahlung je einmal gerundet",
            ),
            Self::Time => language.pick(
                "each operation by three points: mean (least + 4 likely + most) / 6, beta distribution (PERT, Malcolm et al., Operations Research 7, 1959); the sum by seeded sampling",
                "jeder Arbeitsgang aus drei Punkten: Mittel (mindestens + 4 wahrscheinlich + höchstens) / 6, Betaverteilung (PERT, Malcolm et al., Operations Research 7, 1959); die Summe durch Ziehen mit festem Startwert",
            ),
        };
        words.to_owned()
    }
}

/// What a figure is of: place, name, load state and kit.
pub(crate) fn asked_figure(
    language: Language,
    place: Option<usize>,
    name: &str,
    state: LoadState,
    kit: Option<&str>,
) -> String {
    let place = place.map_or_else(String::new, |i| format!("{} ", corner(language, i)));
    let kit = kit.unwrap_or(language.pick("today", "heute"));
    format!("{place}{name}, {}, {kit}", load_state(language, state))
}

/// Where loads act together: Σ load × place / Σ load.
fn moments(places: &[f64], loads: &[f64]) -> f64 {
    let moment: f64 = places.iter().zip(loads).map(|(place, load)| place * load).sum();
    moment / loads.iter().sum::<f64>()
}

/// What arch heights as found tell: of which axle, name, load state.
pub(crate) fn asked_as_found(language: Language, of: Axle, name: &str, state: LoadState) -> String {
    let found = language.pick("as found", "im Anlieferzustand");
    format!("{} {name}, {}, {found}", super::axle(language, of), load_state(language, state))
}

/// Where the answer to a fact comes from.
#[derive(Debug, Clone, Copy)]
pub(crate) enum FactFrom {
    /// The enquiry.
    Enquiry,
    /// The vehicle sheet.
    Sheet,
    /// Nowhere.
    Nowhere,
}

/// A fact with the answers that are possible.
pub(crate) fn fact(language: Language, question: &Words, answers: &[&Words], from: FactFrom) -> String {
    let question = question.in_language(language);
    let answers: Vec<&str> = answers.iter().map(|words| words.in_language(language)).collect();
    let answers = answers.join(language.pick(" or ", " oder "));
    let from = match from {
        FactFrom::Enquiry => language.pick("said in the enquiry", "laut Anfrage"),
        FactFrom::Sheet => language.pick("vehicle sheet", "Datenblatt"),
        FactFrom::Nowhere => language.pick("not known", "nicht bekannt"),
    };
    format!("{question} {answers} ({from})")
}

/// A condition that the van's class meets.
pub(crate) fn of_vehicle(language: Language, vehicle: &str) -> String {
    format!("{} {vehicle}", language.pick("the van is a", "der Wagen ist ein"))
}

/// A condition that the kit itself meets.
pub(crate) fn of_kit(language: Language, kit: &str) -> String {
    format!("{} {kit}", language.pick("the kit is", "der Satz ist"))
}

/// A condition that the kit's family meets.
pub(crate) fn of_family(language: Language, family: &str) -> String {
    format!("{}: {family}", language.pick("the kit's family", "Art des Satzes"))
}

/// A condition that the kit's parts meet.
pub(crate) fn of_parts(language: Language, parts: &[Component]) -> String {
    let names: Vec<&str> = parts.iter().map(|part| part.words(language)).collect();
    format!("{} {}", language.pick("the kit brings", "der Satz bringt mit:"), names.join(", "))
}

/// A figure that met its bounds, with its evidence.
pub(crate) fn of_figure(language: Language, met: &Because) -> String {
    format!("{} ({})", met.words(language), language.pick("computed", "berechnet"))
}

/// What a rule does.
pub(crate) fn does(language: Language, effect: &Effect) -> String {
    match effect {
        Effect::Excludes => language.pick("it puts the kit out", "sie schließt den Satz aus").to_owned(),
        Effect::Warns => language.pick("it warns", "sie warnt").to_owned(),
        Effect::AddsPart { part, quantity } => {
            format!("{} {quantity} × {part}", language.pick("it adds", "sie fügt hinzu:"))
        }
        Effect::Inspects => {
            language.pick("it asks for an inspection", "sie verlangt eine Prüfung").to_owned()
        }
        Effect::AddsOperation { operation } => {
            format!(
                "{} {operation}",
                language.pick("it adds the operation", "sie fügt den Arbeitsgang hinzu:")
            )
        }
        Effect::AddsCaution => language.pick("it adds a caution", "sie fügt eine Warnung hinzu").to_owned(),
        Effect::AddsStep => language
            .pick("it adds a step of the set-up", "sie fügt einen Schritt der Einstellung hinzu")
            .to_owned(),
    }
}

/// A rule that spoke.
pub(crate) fn rule_spoke(
    language: Language,
    rule: &crate::rules::Rule,
    decides: bool,
    conditions: &[Words],
) -> String {
    let head = if decides {
        language.pick("deciding rule", "entscheidende Regel")
    } else {
        language.pick("rule", "Regel")
    };
    let conditions: Vec<&str> = conditions.iter().map(|words| words.in_language(language)).collect();
    let when = if conditions.is_empty() {
        language.pick("always", "immer").to_owned()
    } else {
        conditions.join("; ")
    };
    format!(
        "{head} {}: {when}. {}: {} [{}]",
        rule.id,
        capital(&does(language, &rule.effect)),
        rule.reason.in_language(language),
        source(language, &rule.source)
    )
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A rule that waits for a fact.
pub(crate) fn rule_waits(language: Language, rule: &str, fact: &str, would: Would, reason: &Words) -> String {
    let would = match would {
        Would::PutOut => language.pick("whether the kit is out", "ob der Satz ausscheidet"),
        Would::AddWork => language.pick("work, time and price", "Arbeit, Zeit und Preis"),
        Would::AddParts => language.pick("parts and price", "Teile und Preis"),
        Would::SetLower => language.pick("how low it can be set", "wie tief er sich stellen lässt"),
        Would::Advise => language.pick("advice", "Hinweise"),
    };
    let reason = reason.in_language(language);
    language.pick(
        format!("rule {rule} waits for the answer to {fact}, {would} hang on it: {reason}"),
        format!("Regel {rule} wartet auf die Antwort zu {fact}, daran hängt: {would}. {reason}"),
    )
}

/// The verdict in a sentence.
pub(crate) fn verdict(language: Language, out: bool, waits: usize) -> String {
    match (out, waits) {
        (true, _) => language.pick("out", "scheidet aus").to_owned(),
        (false, 0) => language.pick("in", "passt").to_owned(),
        (false, n) => language.pick(
            format!("in, {n} rules wait for a fact"),
            format!("passt, {n} Regeln warten auf eine Tatsache"),
        ),
    }
}

/// The maker does not sell the kit for the van, or the van finds no rest with it.
pub(crate) fn not_by_rule(language: Language, says: &crate::fitting::RuleSays) -> String {
    format!("{} {}", language.pick("decides:", "entscheidet:"), super::says(language, says))
}

/// A line of a quote.
pub(crate) fn quote_line(language: Language, quote: &Quote, line: &Line) -> String {
    let unit = quote.currency.text(line.unit_price_minor, language);
    let times = match line.quantity {
        Quantity::Pieces(count) => format!("{count} × {unit}"),
        Quantity::Minutes(minutes) => {
            format!("{minutes} min × {unit}{}", language.pick(" an hour", " je Stunde"))
        }
    };
    let amount = quote.currency.text(line.amount_minor, language);
    format!("{}: {times} = {amount} ({})", line.name.in_language(language), line.source.words(language))
}

/// Sums of a quote: lines, tax, total, deposit and rest.
pub(crate) fn quote_sums(language: Language, quote: &Quote) -> [String; 3] {
    let amount = |minor: i64| quote.currency.text(minor, language);
    let percent =
        language.pick(quote.tax_percent.to_string(), quote.tax_percent.to_string().replace('.', ","));
    let (sum, tax, total) =
        (amount(quote.without_tax_minor), amount(quote.tax_minor), amount(quote.total_minor));
    let (deposit, rest) = (amount(quote.deposit_minor), amount(quote.rest_minor));
    let name = quote.tax_name.in_language(language);
    [
        language.pick(format!("sum of the lines {sum}"), format!("Summe der Zeilen {sum}")),
        language.pick(
            format!("{name}, {percent} % of {sum}: {tax}; total {total}"),
            format!("{name}, {percent} % von {sum}: {tax}; Summe {total}"),
        ),
        language.pick(format!("deposit {deposit}, rest {rest}"), format!("Anzahlung {deposit}, Rest {rest}")),
    ]
}

/// Where the prices come from and how long they hold.
pub(crate) fn prices_from(language: Language, quote: &Quote) -> String {
    let from = &quote.prices_source;
    let words = language.pick(format!("price list: {from}"), format!("Preisliste: {from}"));
    match quote.valid_until.as_str() {
        "" => words,
        day => format!("{words}; {} {day}", language.pick("valid until", "gültig bis")),
    }
}

/// An operation with its three points.
pub(crate) fn operation(language: Language, operation: &Operation, times: u32) -> String {
    let name = operation.name.in_language(language);
    let [least, likely, most] =
        [operation.least_minutes, operation.likely_minutes, operation.most_minutes].map(whole);
    let mean = fixed(language, f64::from(times) * operation.mean_minutes(), 1);
    let from = source(language, &operation.source);
    language.pick(
        format!("{times} × {name}: least {least}, likely {likely}, most {most} min; mean {mean} min [{from}]"),
        format!(
            "{times} × {name}: mindestens {least}, wahrscheinlich {likely}, höchstens {most} min; Mittel {mean} min [{from}]"
        ),
    )
}

/// Sum of the operations.
pub(crate) fn time_sum(language: Language, time: &RampTime) -> [String; 2] {
    let [mean, sd, typical, most] =
        [time.mean_minutes, time.sd_minutes, time.typical_minutes, time.nine_in_ten_minutes]
            .map(|minutes| fixed(language, minutes, 1));
    [
        language.pick(
            format!("sum of the means {mean} min, standard deviation {sd} min"),
            format!("Summe der Mittel {mean} min, Standardabweichung {sd} min"),
        ),
        language.pick(
            format!("half of such jobs take no longer than {typical} min, nine in ten no longer than {most} min"),
            format!("die Hälfte solcher Aufträge dauert höchstens {typical} min, neun von zehn höchstens {most} min"),
        ),
    ]
}
