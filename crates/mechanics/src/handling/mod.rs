//! How a van at rest answers a turn: roll, load transfer between the wheels, stability.
//!
//! Steady cornering on level ground, to first order in lateral acceleration. What the van brings (roll stiffness, roll
//! centres, tracks, heights) is read off its rest position; [`RollModel`] is the balance over plain numbers. Lateral
//! acceleration is positive to the left, in a left turn: the body then rolls to the right (roll positive) and load goes
//! from the left wheels to the right ones.

mod roll_balance;
mod roll_centre;
mod roll_stiffness;
mod stability;

pub use roll_balance::{AxleInRoll, FirstLift, LoadTransfer, NoRollBalance, RollBalance, RollModel};
pub use roll_stiffness::RollStiffness;
pub use stability::{RoadAcceleration, StaticStability};

use crate::GRAVITY_M_PER_S2;
use crate::statics::{CORNERS, FRONT, FourCorners, NoRest, Parameter, REAR, Rest};

/// Roll, load transfer and stability of a van at its rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Handling {
    /// Distance between the contact points of each axle, m; between the wheel centres where camber is not known.
    pub track_m: [f64; 2],
    /// Roll stiffness of each axle.
    pub roll_stiffness: [RollStiffness; 2],
    /// Roll-centre height of each axle above the ground, m; `None` where the linkage is known by tape measure only.
    pub roll_centre_height_m: [Option<f64>; 2],
    /// Static stability factor of the whole van.
    pub stability: StaticStability,
    /// Roll and load transfer, or why they are not known.
    pub balance: Result<RollBalance, NoRollBalance>,
    /// The wheel that would leave the ground first.
    pub first_lift: Option<FirstLift>,
}

impl Handling {
    /// Figures of `van` at its rest position.
    pub fn of(van: &FourCorners, rest: &Rest) -> Self {
        let axles = [FRONT, REAR];
        let track_m = axles.map(|axle| roll_centre::track_m(van, rest, axle));
        let roll_stiffness = axles.map(|axle| RollStiffness::of(van, rest, axle, track_m[axle]));
        let roll_centre_height_m = axles.map(|axle| roll_centre::height_m(van, rest, axle));
        let sprung_cg_height_m = rest.body.height_of_m(van.sprung.centre_of_gravity_m);
        let in_roll = |axle: usize| {
            let unsprung = Unsprung::of(van, rest, axle);
            let load_n = rest.wheel_load_n[2 * axle] + rest.wheel_load_n[2 * axle + 1];
            let stiffness = roll_stiffness[axle];
            Ok(AxleInRoll {
                sprung_mass_kg: load_n / GRAVITY_M_PER_S2 - unsprung.mass_kg,
                unsprung_mass_kg: unsprung.mass_kg,
                unsprung_height_m: unsprung.height_m,
                track_m: track_m[axle],
                roll_centre_height_m: roll_centre_height_m[axle]
                    .ok_or(NoRollBalance::RollCentreUnknown { axle })?,
                suspension_nm_per_rad: stiffness.on_rigid_wheels_nm_per_rad(),
                tyres_nm_per_rad: stiffness.tyres_nm_per_rad,
            })
        };
        let model = || {
            let axles = [in_roll(FRONT)?, in_roll(REAR)?];
            RollModel { sprung_cg_height_m, axles, gravity_m_per_s2: GRAVITY_M_PER_S2 }.balance()
        };
        let balance = model();
        Self {
            track_m,
            roll_stiffness,
            roll_centre_height_m,
            stability: StaticStability {
                track_m: 0.5 * (track_m[FRONT] + track_m[REAR]),
                centre_of_gravity_height_m: whole_cg_height_m(van, rest, sprung_cg_height_m),
            },
            balance,
            first_lift: balance.ok().and_then(|balance| balance.first_lift(rest.wheel_load_n)),
        }
    }

    /// The same figures with the bar (or the beam's torsion) of an axle `factor` times as stiff, at the rest that the van
    /// then finds: with unequal loads left and right a bar holds the body too.
    ///
    /// # Errors
    /// [`NoRest`] when the changed van finds no rest.
    pub fn with_bar_rate_factor(
        van: &FourCorners,
        rest: &Rest,
        axle: usize,
        factor: f64,
    ) -> Result<Self, NoRest> {
        let changed = van.with(Parameter::BarRate(axle), factor - 1.0);
        let rest = changed.rest_from(rest.body, rest.travel_m)?;
        Ok(Self::of(&changed, &rest))
    }
}

/// Unsprung mass of an axle; its centre of gravity is taken at the wheel centres.
struct Unsprung {
    mass_kg: f64,
    height_m: f64,
}

impl Unsprung {
    fn of(van: &FourCorners, rest: &Rest, axle: usize) -> Self {
        let (left, right) = (2 * axle, 2 * axle + 1);
        Self {
            mass_kg: van.corners[left].unsprung_mass_kg + van.corners[right].unsprung_mass_kg,
            height_m: 0.5 * (rest.wheel_centre_height_m[left] + rest.wheel_centre_height_m[right]),
        }
    }
}

/// Height of the centre of gravity of sprung and unsprung masses together, m.
fn whole_cg_height_m(van: &FourCorners, rest: &Rest, sprung_cg_height_m: f64) -> f64 {
    let (mut mass_kg, mut moment_kgm) = (van.sprung.mass_kg, van.sprung.mass_kg * sprung_cg_height_m);
    for i in 0..CORNERS {
        mass_kg += van.corners[i].unsprung_mass_kg;
        moment_kgm += van.corners[i].unsprung_mass_kg * rest.wheel_centre_height_m[i];
    }
    moment_kgm / mass_kg
}
