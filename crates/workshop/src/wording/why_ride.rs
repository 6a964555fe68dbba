//! The chain behind a figure of ride.

use mechanics::elements::DamperCurve;
use mechanics::ride::{Mode, ModeKind};

use super::{Axle, Said, axle, fixed, road, whole};
use crate::damping::Damping;
use crate::facts::Language;
use crate::ride::RideQuestion;

/// The road as an input.
pub(crate) fn road_input(language: Language, question: &RideQuestion) -> String {
    let on = road(language, question);
    language.pick(
        format!("{on}: a stated road, not a measured one"),
        format!("{on}: eine angenommene Straße, keine gemessene"),
    )
}

/// Rod speed at which a damper is told, m/s: one of those that makers state.
const TOLD_AT_M_PER_S: f64 = 0.3;

/// A damper as an input.
pub(crate) fn damper_input(language: Language, of: usize, damping: &Damping, curve: &DamperCurve) -> String {
    let place = axle(language, Axle::of(of));
    let bump = whole(curve.at_speed(TOLD_AT_M_PER_S).0);
    let rebound = whole(-curve.at_speed(-TOLD_AT_M_PER_S).0);
    let speed = fixed(language, TOLD_AT_M_PER_S, 1);
    let from = if damping.is_stated() {
        language.pick("maker's figure", "Herstellerangabe")
    } else {
        language.pick(
            "no curve is known: what dampers of this class do, common practice, no source",
            "keine Kennlinie bekannt: was Dämpfer dieser Klasse leisten, gängige Praxis, ohne Quelle",
        )
    };
    language.pick(
        format!("{place} damper: {bump} N in bump, {rebound} N in rebound at {speed} m/s ({from})"),
        format!("Dämpfer {place}: {bump} N ein, {rebound} N aus bei {speed} m/s ({from})"),
    )
}

/// The body that rides.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BodyInRide {
    pub(crate) sprung_kg: f64,
    pub(crate) behind_front_axle_mm: f64,
    pub(crate) pitch_inertia_kg_m2: f64,
    pub(crate) roll_inertia_kg_m2: f64,
    pub(crate) wheelbase_mm: f64,
}

impl Said for BodyInRide {
    fn words(&self, language: Language) -> String {
        let (kg, behind) = (whole(self.sprung_kg), whole(self.behind_front_axle_mm));
        let (pitch, roll) = (whole(self.pitch_inertia_kg_m2), whole(self.roll_inertia_kg_m2));
        let wheelbase = whole(self.wheelbase_mm);
        language.pick(
            format!(
                "sprung mass {kg} kg, its centre of gravity {behind} mm behind the front axle of {wheelbase} mm wheelbase; moments of inertia {pitch} kg m² in pitch, {roll} kg m² in roll"
            ),
            format!(
                "gefederte Masse {kg} kg, Schwerpunkt {behind} mm hinter der Vorderachse bei {wheelbase} mm Radstand; Trägheitsmomente {pitch} kg m² beim Nicken, {roll} kg m² beim Wanken"
            ),
        )
    }
}

/// An axle in the movement it makes on the road.
#[derive(Debug, Clone, Copy)]
pub(crate) struct AxleInRide {
    pub(crate) axle: usize,
    pub(crate) spring_n_per_mm: f64,
    pub(crate) damper_n_s_per_m: f64,
    pub(crate) friction_n_s_per_m: f64,
    pub(crate) tyre_n_per_mm: f64,
    pub(crate) lower_mm: f64,
    pub(crate) travel_mm: f64,
    pub(crate) speed_m_per_s: f64,
    pub(crate) stop_touched_mm: Option<f64>,
    pub(crate) twice_static_mm: f64,
}

impl Said for AxleInRide {
    fn words(&self, language: Language) -> String {
        let place = axle(language, Axle::of(self.axle));
        let one = |value| fixed(language, value, 1);
        let (spring, tyre) = (one(self.spring_n_per_mm), whole(self.tyre_n_per_mm));
        let (damper, friction) = (whole(self.damper_n_s_per_m), whole(self.friction_n_s_per_m));
        let (lower, travel) = (one(self.lower_mm), one(self.travel_mm));
        let (speed, twice) = (fixed(language, self.speed_m_per_s, 2), whole(self.twice_static_mm));
        let stop = match self.stop_touched_mm {
            None => language.pick("no stop", "kein Puffer").to_owned(),
            Some(mm) if mm > 0.0 => {
                let mm = whole(mm);
                language.pick(format!("stop touched after {mm} mm"), format!("Puffer nach {mm} mm berührt"))
            }
            Some(_) => language.pick("stop engaged at rest", "Puffer schon im Stand berührt").to_owned(),
        };
        language.pick(
            format!(
                "{place}, in the movement it sees ({travel} mm, {speed} m/s, one standard deviation): springs and stops {spring} N/mm at the wheel, damper {damper} and friction {friction} N s/m, tyre {tyre} N/mm; it rides {lower} mm lower than it stands; {stop}, twice the static load after {twice} mm"
            ),
            format!(
                "{place}, in der Bewegung auf der Straße ({travel} mm, {speed} m/s, eine Standardabweichung): Federn und Puffer {spring} N/mm am Rad, Dämpfer {damper} und Reibung {friction} N s/m, Reifen {tyre} N/mm; fährt {lower} mm tiefer als im Stand; {stop}, doppelte Last nach {twice} mm"
            ),
        )
    }
}

/// A mode on the way.
pub(crate) fn mode_step(language: Language, mode: &Mode) -> String {
    let name = match mode.kind {
        ModeKind::Heave => language.pick("heave", "Heben"),
        ModeKind::Pitch => language.pick("pitch", "Nicken"),
        ModeKind::Roll => language.pick("roll", "Wanken"),
        ModeKind::FrontHop => language.pick("front wheels hopping together", "Räder vorn gemeinsam"),
        ModeKind::RearHop => language.pick("rear wheels hopping together", "Räder hinten gemeinsam"),
        ModeKind::FrontTramp => language.pick("front wheels hopping in turn", "Räder vorn wechselseitig"),
        ModeKind::RearTramp => language.pick("rear wheels hopping in turn", "Räder hinten wechselseitig"),
    };
    let hz = fixed(language, mode.frequency_hz(), 2);
    let ratio = fixed(language, mode.damping_ratio(), 2);
    let node = mode.node_x_m.filter(|x| x.abs() < 50.0).map_or_else(String::new, |x| {
        let mm = whole(1e3 * x.abs());
        let ahead = x >= 0.0;
        language.pick(
            format!(
                ", turning about a point {mm} mm {} the centre of gravity",
                if ahead { "ahead of" } else { "behind" }
            ),
            format!(", Drehpunkt {mm} mm {} dem Schwerpunkt", if ahead { "vor" } else { "hinter" }),
        )
    });
    language.pick(
        format!("{name}: {hz} Hz, {ratio} of critical damping{node}"),
        format!("{name}: {hz} Hz, {ratio} der kritischen Dämpfung{node}"),
    )
}

/// Equations behind figures of ride.
#[derive(Debug, Clone, Copy)]
pub(crate) enum RideEquation {
    /// Statistical linearisation.
    Linearised,
    /// Eigenvalues.
    Modes,
    /// One axle alone.
    AxleAlone,
    /// Road.
    Road,
    /// Weighting.
    Weighting,
    /// Difference of two rides.
    Difference,
    /// Passages of a mark.
    Passages,
    /// Equations of motion.
    Motion,
    /// Step of the simulation.
    Step,
    /// Vibration dose.
    Dose,
}

impl Said for RideEquation {
    fn words(&self, language: Language) -> String {
        let (english, german) = match self {
            Self::Linearised => (
                "rate of springs, stops and dampers in the movement they see: E[F(x) x]/σ² (Roberts and Spanos, Random Vibration and Statistical Linearization, ch. 5), seven degrees of freedom (docs/methods.md, Ride)",
                "Rate von Federn, Puffern und Dämpfern in ihrer Bewegung: E[F(x) x]/σ² (Roberts und Spanos, Random Vibration and Statistical Linearization, Kap. 5), sieben Freiheitsgrade (docs/methods.md, Ride)",
            ),
            Self::Modes => (
                "λ² M + λ C + K: |λ|/2π and -Re λ/|λ| (Gillespie, Fundamentals of Vehicle Dynamics, ch. 5)",
                "λ² M + λ C + K: |λ|/2π und -Re λ/|λ| (Gillespie, Fundamentals of Vehicle Dynamics, Kap. 5)",
            ),
            Self::AxleAlone => (
                "√(k k_t / ((k + k_t) m)) / 2π (Gillespie, Fundamentals of Vehicle Dynamics, ch. 5)",
                "√(k k_t / ((k + k_t) m)) / 2π (Gillespie, Fundamentals of Vehicle Dynamics, Kap. 5)",
            ),
            Self::Road => (
                "Gd(n) = Gd(n₀) (n/n₀)⁻², n₀ = 0.1 cycle/m (ISO 8608); coherence of both tracks exp(-1.5 n t), a model of this program",
                "Gd(n) = Gd(n₀) (n/n₀)⁻², n₀ = 0,1 Perioden/m (ISO 8608); Kohärenz beider Spuren exp(-1,5 n t), eine Annahme dieses Programms",
            ),
            Self::Weighting => (
                "root of ∫ Wk² Ga df over 0.25 to 80 Hz (ISO 2631-1:1997, equations 1 and 9)",
                "Wurzel aus ∫ Wk² Ga df von 0,25 bis 80 Hz (ISO 2631-1:1997, Gleichungen 1 und 9)",
            ),
            Self::Difference => (
                "100 (a/a₀ - 1); its range from the joint distribution of all that is not known, so what both share moves both",
                "100 (a/a₀ - 1); Spanne aus der gemeinsamen Verteilung aller Unbekannten, Gemeinsames bewegt also beide",
            ),
            Self::Passages => (
                "σ_v/(2πσ) exp(-(a - m)²/(2σ²)) per second (Rice 1945), chance 1 - exp(-rate)",
                "σ_v/(2πσ) exp(-(a - m)²/(2σ²)) je Sekunde (Rice 1945), Wahrscheinlichkeit 1 - exp(-Rate)",
            ),
            Self::Motion => (
                "m z̈ = Σ F, I_y θ̈ = -Σ x F, I_x φ̈ = Σ y F, μ z̈_i = T_i - F_i; tyres push and never pull (docs/methods.md, Events)",
                "m z̈ = Σ F, I_y θ̈ = -Σ x F, I_x φ̈ = Σ y F, μ z̈_i = T_i - F_i; Reifen drücken und ziehen nie (docs/methods.md, Events)",
            ),
            Self::Step => (
                "rule of Runge and Kutta, the step halved until peak and dose stand within 1e-3 and travel within 0.1 mm",
                "Regel von Runge und Kutta, der Schritt halbiert, bis Spitze und Dosis auf 1e-3 und Wege auf 0,1 mm stehen",
            ),
            Self::Dose => (
                "(∫ a_w⁴ dt)^¼ (ISO 2631-1:1997, equation 5)",
                "(∫ a_w⁴ dt)^¼ (ISO 2631-1:1997, Gleichung 5)",
            ),
        };
        language.pick(english, german).to_owned()
    }
}
