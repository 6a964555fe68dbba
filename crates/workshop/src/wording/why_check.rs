//! The chain behind a check.

use super::why_quantity::Quantity;
use super::{Said, corner, fixed, signed, whole};
use crate::facts::{Language, Words};

/// What goes into a check, with its evidence.
#[derive(Debug, Clone)]
pub(crate) enum CheckInput {
    /// A number by name.
    Number(Quantity),
    /// What the check itself says.
    AsSaid(Words),
    /// Aim marked on the lamp, per cent.
    LampMark(f64),
    /// A point of the body at design height.
    Point {
        /// Name.
        name: String,
        /// Forward, to the left, up, mm.
        at_mm: [f64; 3],
    },
    /// The point that a check is named after, at design height.
    PointOf {
        /// Check.
        check: &'static str,
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
            Self::Number(number) => number.words(language),
            Self::AsSaid(words) => words.in_language(language).to_owned(),
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
            Self::PointOf { check, at_mm } => {
                let name = super::check_named(language, check).to_owned();
                Self::Point { name, at_mm: *at_mm }.words(language)
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
    /// A number by name.
    Number(Quantity),
    /// Nothing is held against a limit.
    OnlyTold,
    /// Nothing was computed.
    NothingComputed,
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
            Self::Number(number) => number.words(language),
            Self::OnlyTold => language
                .pick("no limit is known: it is told, not held against one", "ein Grenzwert ist nicht bekannt: es wird nur gesagt")
                .to_owned(),
            Self::NothingComputed => language
                .pick(
                    "nothing is computed: what this asks for is to be looked at, compared or measured on the van",
                    "es wird nichts gerechnet: was hier gefragt ist, wird am Wagen angesehen, verglichen oder gemessen",
                )
                .to_owned(),
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
    /// Arch heights as found.
    AsFound,
    /// Number against number.
    Compared,
    /// Nothing computed.
    ByEye,
    /// Load on the tow ball.
    BallLoad,
    /// Damper stroke.
    Stroke,
    /// Angles over travel.
    SweptAngle,
    /// Pitch of a beam axle.
    AxlePitch,
    /// Change of height.
    HeightChange,
    /// Lower droop.
    LowerDroop,
    /// Ramp angles.
    RampAngle,
    /// Roll stiffness.
    RollStiffness,
    /// Roll centre.
    RollCentre,
    /// Two on an axle.
    TwoCarry,
    /// Pressure by formula.
    PressureForLoad,
    /// Pressure by table.
    PressureByTable,
    /// Thread engagement.
    Engagement,
    /// Room around a tyre.
    Room,
    /// Scrub radius.
    ScrubRadius,
    /// True speed.
    TrueSpeed,
    /// Gearing.
    Circumference,
    /// Body height.
    HalfDiameter,
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
            Self::AsFound => language.pick(
                "belief about load and sag before the readings, updated by them: linear-Gaussian update, linearised anew about the improved middle (Bell and Cathey, IEEE Trans. Automatic Control 38, 1993); heights alone do not tell load and sag apart, scales do",
                "Annahme über Last und Ermüdung vor den Messwerten, durch sie berichtigt: linear-gaußsche Aktualisierung, um den berichtigten Mittelwert neu linearisiert (Bell und Cathey, IEEE Trans. Automatic Control 38, 1993); Höhen allein trennen Last und Ermüdung nicht, Waagen schon",
            ),
            Self::Compared => language.pick(
                "the one is held against the other",
                "das eine wird am anderen gemessen",
            ),
            Self::ByEye => language.pick(
                "no equation: makers' instructions and the eye decide",
                "keine Gleichung: Herstellerangaben und Augenschein entscheiden",
            ),
            Self::BallLoad => language.pick(
                "load on the ball = sum of what hangs on it; range = root of the sum of squares of its parts",
                "Stützlast = Summe dessen, was daran hängt; Spanne = Wurzel aus der Summe der Quadrate",
            ),
            Self::Stroke => language.pick(
                "stroke used in per cent = 100 (open - at rest) / (open - closed) (geometry)",
                "genutzter Hub in Prozent = 100 (ausgezogen - im Stand) / (ausgezogen - eingeschoben) (Geometrie)",
            ),
            Self::SweptAngle => language.pick(
                "the angle over wheel travel by the linkage, taken at both ends of the travel (geometry)",
                "der Winkel über dem Radweg nach der Kinematik, an beiden Enden des Wegs (Geometrie)",
            ),
            Self::AxlePitch => language.pick(
                "pitch of the axle = its lean over travel now less that on new original parts (geometry)",
                "Verdrehung der Achse = Neigung über dem Radweg jetzt minus mit neuen Originalteilen (Geometrie)",
            ),
            Self::HeightChange => language.pick(
                "change = arch height now less on new original parts, day to day",
                "Änderung = Radlaufhöhe jetzt minus mit neuen Originalteilen, im Alltag",
            ),
            Self::LowerDroop => language.pick(
                "lower by the lowest wheel travel on new original parts less that now",
                "tiefer um den untersten Radweg mit neuen Originalteilen minus den jetzigen",
            ),
            Self::RampAngle => language.pick(
                "slope of the tangent from a point at x ahead of the wheel centre and z above the ground to a tyre of radius r: asin(r/d) - atan((r - z)/x), d from wheel centre to point (geometry); breakover is the sum for both axles",
                "Neigung der Tangente von einem Punkt x vor der Radmitte und z über dem Boden an einen Reifen mit Halbmesser r: asin(r/d) - atan((r - z)/x), d von Radmitte zu Punkt (Geometrie); der Rampenwinkel ist die Summe beider Achsen",
            ),
            Self::RollStiffness => language.pick(
                "K = T²/4 (U_ll - 2 U_lr + U_rr) of the energy of springs and bar, at one ratio ½ k T², on rigid wheels (Gillespie, Fundamentals of Vehicle Dynamics, ch. 6)",
                "K = T²/4 (U_ll - 2 U_lr + U_rr) aus der Energie von Federn und Stabilisator, bei fester Übersetzung ½ k T², auf starren Rädern (Gillespie, Fundamentals of Vehicle Dynamics, Kap. 6)",
            ),
            Self::RollCentre => language.pick(
                "h = y dy/dz of the contact point, one wheel going up as the other goes down, mean of both wheels (Reimpell, Stoll and Betzler, ch. 3)",
                "h = y dy/dz des Aufstandspunkts, ein Rad hoch, das andere herunter, Mittel beider Räder (Reimpell, Stoll und Betzler, Kap. 3)",
            ),
            Self::TwoCarry => language.pick(
                "an axle on single wheels carries twice what one tyre or rim carries (ISO 4000-1, UN R30 and R54)",
                "eine einzeln bereifte Achse trägt das Doppelte eines Reifens oder einer Felge (ISO 4000-1, UN R30 und R54)",
            ),
            Self::PressureForLoad => language.pick(
                "P = Pmax (L / Lmax)^(1/0.8), not below the least pressure (ETRTO Standards Manual)",
                "P = Pmax (L / Lmax)^(1/0,8), nicht unter dem Mindestdruck (ETRTO Standards Manual)",
            ),
            Self::PressureByTable => language.pick(
                "straight between the rows of the tyre maker's table",
                "gerade zwischen den Zeilen der Tabelle des Reifenherstellers",
            ),
            Self::Engagement => language.pick(
                "bolts: thread beyond the seat less seat depth and spacer; studs: stud less seat depth and spacer; at most what the other thread is long (geometry)",
                "Schrauben: Gewinde ab dem Sitz minus Sitztiefe und Distanzscheibe; Bolzen: Bolzen minus Sitztiefe und Distanzscheibe; höchstens so lang wie das andere Gewinde (Geometrie)",
            ),
            Self::Room => language.pick(
                "room left = room around the original tyre less how much further this one reaches; edges = spacer - offset ± half the section width (geometry); section width grows by 0.4 of the rim width (ETRTO, from memory)",
                "Freigang = Freigang am Originalreifen minus was dieser weiter reicht; Kanten = Distanzscheibe - Einpresstiefe ± halbe Querschnittsbreite (Geometrie); die Querschnittsbreite wächst um 0,4 der Felgenbreite (ETRTO, aus dem Gedächtnis)",
            ),
            Self::ScrubRadius => language.pick(
                "change = wheel centre further out, less half the change of diameter times the tangent of the kingpin inclination (geometry)",
                "Änderung = Radmitte weiter außen minus halbe Änderung des Durchmessers mal Tangens der Spreizung (Geometrie)",
            ),
            Self::TrueSpeed => language.pick(
                "true speed = shown speed × ratio / (1 + lead); diameter = 25.4 × rim + 2 × width × aspect (ISO 4000-1)",
                "wahre Geschwindigkeit = Anzeige × Verhältnis / (1 + Voreilung); Durchmesser = 25,4 × Felge + 2 × Breite × Querschnitt (ISO 4000-1)",
            ),
            Self::Circumference => language.pick(
                "change = ratio of the rolling circumferences less one, each 3.05 × the outer diameter (ETRTO, from memory)",
                "Änderung = Verhältnis der Abrollumfänge minus eins, je 3,05 × Außendurchmesser (ETRTO, aus dem Gedächtnis)",
            ),
            Self::HalfDiameter => language.pick(
                "half the change of the outer diameter (geometry)",
                "halbe Änderung des Außendurchmessers (Geometrie)",
            ),
        };
        words.to_owned()
    }
}
