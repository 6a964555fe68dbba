//! The chain behind a check.

use super::{Said, corner, fixed, signed, whole};
use crate::facts::Language;

/// What goes into a check, with its evidence.
#[derive(Debug, Clone)]
pub(crate) enum CheckInput {
    /// Aim marked on the lamp, per cent.
    LampMark(f64),
    /// A point of the body at design height.
    Point {
        /// Name.
        name: String,
        /// Forward, to the left, up, mm.
        at_mm: [f64; 3],
    },
    /// What the maker allows, degrees.
    Target {
        /// Least.
        from_deg: f64,
        /// Greatest.
        to_deg: f64,
        /// Reach of the adjusters.
        adjusts_deg: f64,
    },
    /// Sprung mass.
    SprungMass {
        /// Mass, kg.
        kg: f64,
        /// Height of its centre of gravity, mm.
        height_mm: f64,
    },
    /// Roll stiffness front and rear, N m per degree.
    RollStiffness {
        /// Springs and bars on rigid wheels.
        springs: [f64; 2],
        /// Tyres.
        tyres: [f64; 2],
    },
    /// Mean track and height of the centre of gravity, mm.
    TrackAndHeight([f64; 2]),
}

impl Said for CheckInput {
    fn words(&self, language: Language) -> String {
        let two = |value: f64| fixed(language, value, 2);
        let computed = language.pick("computed", "berechnet");
        match self {
            Self::LampMark(percent) => {
                let aim = two(*percent);
                language.pick(
                    format!("aim marked on the lamp {aim} % (vehicle sheet, maker's figure)"),
                    format!("Einstellung laut Scheinwerfer {aim} % (Datenblatt, Herstellerangabe)"),
                )
            }
            Self::Point { name, at_mm } => {
                let [x, y, z] = [-at_mm[0], at_mm[1], at_mm[2]].map(whole);
                language.pick(
                    format!("{name}: {x} mm behind the front axle, {y} mm to the left, {z} mm above the ground at design height (vehicle sheet)"),
                    format!("{name}: {x} mm hinter der Vorderachse, {y} mm links, {z} mm über dem Boden in Konstruktionslage (Datenblatt)"),
                )
            }
            Self::Target { from_deg, to_deg, adjusts_deg } => {
                let [from, most, reach] = [*from_deg, *to_deg, *adjusts_deg].map(two);
                language.pick(
                    format!("allowed {from}° to {most}°, adjusters reach {reach}° to either side (vehicle sheet, maker's figure)"),
                    format!("erlaubt {from}° bis {most}°, Einsteller reichen {reach}° nach beiden Seiten (Datenblatt, Herstellerangabe)"),
                )
            }
            Self::SprungMass { kg, height_mm } => {
                let (kg, height) = (whole(*kg), whole(*height_mm));
                language.pick(
                    format!(
                        "sprung mass {kg} kg, its centre of gravity {height} mm above the ground ({computed})"
                    ),
                    format!(
                        "gefederte Masse {kg} kg, ihr Schwerpunkt {height} mm über dem Boden ({computed})"
                    ),
                )
            }
            Self::RollStiffness { springs, tyres } => {
                let ([front, rear], [tyres_front, tyres_rear]) = (springs.map(whole), tyres.map(whole));
                language.pick(
                    format!("roll stiffness front {front} and rear {rear} Nm/° with bars on rigid wheels, tyres {tyres_front} and {tyres_rear} Nm/° ({computed})"),
                    format!("Wanksteifigkeit vorn {front} und hinten {rear} Nm/° mit Stabilisatoren auf starren Rädern, Reifen {tyres_front} und {tyres_rear} Nm/° ({computed})"),
                )
            }
            Self::TrackAndHeight(lengths_mm) => {
                let [track, height] = lengths_mm.map(whole);
                language.pick(
                    format!("track {track} mm, mean of both axles; centre of gravity {height} mm above the ground ({computed})"),
                    format!("Spurweite {track} mm, Mittel beider Achsen; Schwerpunkt {height} mm über dem Boden ({computed})"),
                )
            }
        }
    }
}

/// One step of a check, with its numbers.
#[derive(Debug, Clone, Copy)]
pub(crate) enum CheckStep {
    /// Pitch when the lamp was aimed and now, nose-down positive.
    Pitch {
        /// Whether it was aimed today, before the kit.
        before: bool,
        /// When it was aimed, degrees.
        was_deg: f64,
        /// Now, degrees.
        is_deg: f64,
    },
    /// How far the beam turns.
    BeamTurns {
        /// Rise of the nose, degrees.
        nose_up_deg: f64,
        /// The same as a slope, per cent.
        percent: f64,
    },
    /// Marked aim, what it moves by, aim, per cent.
    Aim([f64; 3]),
    /// Pose of the body against design height.
    Body {
        /// Heave, mm.
        heave_mm: f64,
        /// Pitch, degrees.
        pitch_deg: f64,
        /// Roll, degrees.
        roll_deg: f64,
    },
    /// Height of the point now and today, mm.
    PointHeight([f64; 2]),
    /// Travel from design height, mm, angle against the body and by the body, degrees, on new original springs.
    AnglesAsNew {
        /// Wheel.
        corner: usize,
        /// The three.
        of: [f64; 3],
    },
    /// The same now.
    AnglesNow {
        /// Wheel.
        corner: usize,
        /// The three.
        of: [f64; 3],
    },
    /// Middle of the target, what the angle moves by, angle, degrees.
    AngleMoved([f64; 3]),
    /// Centre of gravity above the roll axis, mm.
    RollArm(f64),
    /// Roll gradient, degrees per g.
    RollGradient(f64),
    /// Static stability factor and tilt angle, degrees.
    Stability([f64; 2]),
}

impl Said for CheckStep {
    fn words(&self, language: Language) -> String {
        let two = |value: f64| fixed(language, value, 2);
        let plus = |value: f64| signed(language, value, 2);
        match *self {
            Self::Pitch { before, was_deg, is_deg } => {
                let (was, is) = (two(was_deg), two(is_deg));
                let aimed = if before {
                    language.pick("today, day to day", "heute im Alltag")
                } else {
                    language.pick("when it is set, day to day", "bei der Einstellung im Alltag")
                };
                language.pick(
                    format!("pitch of the body, nose-down positive: {was}° {aimed}, then {is}°"),
                    format!("Nickwinkel des Aufbaus, Bug tief positiv: {was}° {aimed}, dann {is}°"),
                )
            }
            Self::BeamTurns { nose_up_deg, percent } => {
                let (deg, percent) = (plus(nose_up_deg), plus(percent));
                language.pick(
                    format!("the nose rises by {deg}°, the beam by the tangent of it: {percent} %"),
                    format!("der Bug steigt um {deg}°, der Strahl um dessen Tangens: {percent} %"),
                )
            }
            Self::Aim([marked, moved, aim]) => {
                let (marked, moved, aim) = (two(marked), plus(moved), two(aim));
                language.pick(
                    format!("marked {marked} %, moved by {moved} %: {aim} %"),
                    format!("laut Scheinwerfer {marked} %, verschoben um {moved} %: {aim} %"),
                )
            }
            Self::Body { heave_mm, pitch_deg, roll_deg } => {
                let heave = signed(language, heave_mm, 1);
                let (pitch, roll) = (two(pitch_deg), two(roll_deg));
                language.pick(
                    format!("the body stands {heave} mm against design height at the front axle, pitch {pitch}° nose-down, roll {roll}° left side up"),
                    format!("der Aufbau steht an der Vorderachse {heave} mm gegen die Konstruktionslage, Nickwinkel {pitch}° Bug tief, Wankwinkel {roll}° linke Seite hoch"),
                )
            }
            Self::PointHeight([now, today]) => {
                let [now, today] = [now, today].map(|mm| fixed(language, mm, 1));
                language.pick(
                    format!("so the point is {now} mm above the ground; today {today} mm"),
                    format!("damit liegt der Punkt {now} mm über dem Boden; heute {today} mm"),
                )
            }
            Self::AnglesAsNew { corner: wheel, of } => {
                let place = corner(language, wheel);
                let angles = angles(language, of);
                language.pick(
                    format!("{place}, aligned on new original springs as fitted out: {angles}"),
                    format!("{place}, vermessen auf neuen Serienfedern wie ausgebaut: {angles}"),
                )
            }
            Self::AnglesNow { corner: wheel, of } => {
                let place = corner(language, wheel);
                let angles = angles(language, of);
                language.pick(format!("{place}, now: {angles}"), format!("{place}, jetzt: {angles}"))
            }
            Self::AngleMoved([middle, moved, angle]) => {
                let (middle, moved, angle) = (two(middle), plus(moved), two(angle));
                language.pick(
                    format!("aligned to the middle of the target, {middle}°, moved by {moved}°: {angle}°"),
                    format!(
                        "auf die Mitte der Vorgabe vermessen, {middle}°, verändert um {moved}°: {angle}°"
                    ),
                )
            }
            Self::RollArm(mm) => {
                let mm = whole(mm);
                language.pick(
                    format!("the centre of gravity lies {mm} mm above the roll axis"),
                    format!("der Schwerpunkt liegt {mm} mm über der Wankachse"),
                )
            }
            Self::RollGradient(deg_per_g) => {
                let gradient = two(deg_per_g);
                language.pick(
                    format!("moments of the body about the roll axis and of both axles about the ground give {gradient}°/g"),
                    format!("die Momente des Aufbaus um die Wankachse und beider Achsen um den Boden ergeben {gradient}°/g"),
                )
            }
            Self::Stability([factor, tilts_deg]) => {
                let (factor, tilts) = (fixed(language, factor, 3), fixed(language, tilts_deg, 1));
                language.pick(
                    format!("half the track over the height: {factor}; a rigid van tips on a side slope of {tilts}°"),
                    format!("halbe Spurweite durch Höhe: {factor}; ein starrer Wagen kippt bei {tilts}° Seitenneigung"),
                )
            }
        }
    }
}

fn angles(language: Language, [travel_mm, against_body_deg, by_body_deg]: [f64; 3]) -> String {
    let travel = signed(language, travel_mm, 1);
    let (angle, body) = (fixed(language, against_body_deg, 2), signed(language, by_body_deg, 2));
    language.pick(
        format!(
            "{travel} mm of bump travel, {angle}° against the body, {body}° by roll or pitch of the body"
        ),
        format!(
            "{travel} mm Einfederweg, {angle}° gegen den Aufbau, {body}° durch Wanken oder Nicken des Aufbaus"
        ),
    )
}

/// Equation of a check with its source.
#[derive(Debug, Clone, Copy)]
pub(crate) enum CheckEquation {
    /// Aim of lamps.
    LampAim,
    /// Height of a point.
    Height,
    /// Camber, toe, caster.
    Alignment,
    /// Roll gradient.
    Roll,
    /// Static stability.
    Stability,
}

impl Said for CheckEquation {
    fn words(&self, language: Language) -> String {
        let words = match self {
            Self::LampAim => language.pick(
                "aim in per cent moves by 100 tan of the angle by which the nose rises, which is the rise at the front axle less that at the rear over the wheelbase (geometry); up positive",
                "die Einstellung in Prozent verschiebt sich um 100 tan des Winkels, um den der Bug steigt: Anhebung vorn minus hinten durch Radstand (Geometrie); nach oben positiv",
            ),
            Self::Height => language.pick(
                "height of a point = heave - x sin θ + cos θ (y sin φ + z cos φ), pitch θ and roll φ of the body at rest, tyres included (ISO 8855)",
                "Höhe eines Punkts = Hub - x sin θ + cos θ (y sin φ + z cos φ), Nickwinkel θ und Wankwinkel φ des Aufbaus in Ruhe, mit den Reifen (ISO 8855)",
            ),
            Self::Alignment => language.pick(
                "angle against the ground = angle of the linkage at its travel, less roll for the left and plus roll for the right camber, less pitch for caster (ISO 8855; Reimpell, Stoll and Betzler, ch. 3)",
                "Winkel gegen den Boden = Winkel der Kinematik bei ihrem Federweg, beim Sturz links minus und rechts plus Wankwinkel, beim Nachlauf minus Nickwinkel (ISO 8855; Reimpell, Stoll und Betzler, Kap. 3)",
            ),
            Self::Roll => language.pick(
                "Σ K (φ - ψ) = m h₁ (a + g φ), each axle on its tyres; on rigid wheels φ = m h₁ a / (Σ K - m g h₁) (Gillespie, Fundamentals of Vehicle Dynamics, ch. 6)",
                "Σ K (φ - ψ) = m h₁ (a + g φ), jede Achse auf ihren Reifen; auf starren Rädern φ = m h₁ a / (Σ K - m g h₁) (Gillespie, Fundamentals of Vehicle Dynamics, Kap. 6)",
            ),
            Self::Stability => language.pick(
                "static stability factor = T / (2 h), tilt angle = atan of it (NHTSA, rollover resistance rating)",
                "statischer Kippfaktor = T / (2 h), Kippwinkel = atan davon (NHTSA, Einstufung der Kippfestigkeit)",
            ),
        };
        words.to_owned()
    }
}
