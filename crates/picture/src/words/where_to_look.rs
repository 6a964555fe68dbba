//! Where on a van to look.

use workshop::facts::{Language, Spot};

/// What is drawn, in a line.
pub(crate) fn title(language: Language, van: &str) -> String {
    language.pick(format!("Where to look on {van}"), format!("Wo am Wagen nachzusehen ist: {van}"))
}

/// What is drawn, in words.
pub(crate) fn description(language: Language, spots: &[Spot]) -> String {
    let said: Vec<&str> = spots.iter().map(|at| spot(language, *at)).collect();
    let said = said.join("; ");
    language.pick(
        format!("The van from its right side, ringed: {said}."),
        format!("Der Wagen von rechts, eingekreist: {said}."),
    )
}

/// A place.
pub(crate) fn spot(language: Language, spot: Spot) -> &'static str {
    let (en, de) = match spot {
        Spot::BehindFrontWheel => (
            "behind the front wheel, at the foot of the strut; steering at full lock",
            "hinter dem Vorderrad, am Fuß des Federbeins; Lenkung voll eingeschlagen",
        ),
        Spot::FrontSpring => {
            ("under the front spring, in the wheel arch", "unter der Vorderfeder, im Radhaus")
        }
        Spot::FrontDropLink => (
            "from the end of the anti-roll bar to the strut, in front",
            "vom Ende des Stabilisators zum Federbein, vorn",
        ),
        Spot::WheelHubs => ("behind both hubs, from below", "hinter beiden Radnaben, von unten"),
        Spot::OverRearAxle => ("above the rear axle, from below", "über der Hinterachse, von unten"),
        Spot::AxleArms => ("at the arms of both axles", "an den Lenkern beider Achsen"),
        Spot::LookingAhead => {
            ("behind the windscreen and behind the grille", "hinter der Frontscheibe und hinter dem Grill")
        }
        Spot::TyreWall => ("on the wall of the tyre", "auf der Seitenwand des Reifens"),
        Spot::WheelStamp => {
            ("stamped into the rim, inside a spoke", "in die Felge geprägt, innen an einer Speiche")
        }
        Spot::Arches => (
            "from the centre of the wheel straight up to the lip of the arch",
            "von der Radmitte senkrecht hinauf zur Kante des Radlaufs",
        ),
        Spot::DoorPillar => (
            "plate or label at the pillar of the front door",
            "Schild oder Aufkleber an der Säule der Vordertür",
        ),
        Spot::LoadSpace => ("what is built into the load space", "was im Laderaum eingebaut ist"),
        Spot::SpringsAndDampers => (
            "colour, stamp and label of springs and dampers",
            "Farbe, Prägung und Aufkleber von Federn und Dämpfern",
        ),
    };
    language.pick(en, de)
}
