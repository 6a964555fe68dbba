//! What is done with the inputs of a figure, step by step, with its numbers.

use crate::facts::Language;
use crate::sit::TravelEnd;
use crate::wording::{Adjuster, Said, corner, fixed, signed, span, travel_end, whole};

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

/// Where loads act together: Σ load × place / Σ load.
fn moments(places: &[f64], loads: &[f64]) -> f64 {
    let moment: f64 = places.iter().zip(loads).map(|(place, load)| place * load).sum();
    moment / loads.iter().sum::<f64>()
}
