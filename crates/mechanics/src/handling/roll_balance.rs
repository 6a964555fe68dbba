//! Roll and lateral load transfer in a steady turn, over plain numbers.

use crate::GRAVITY_M_PER_S2;
use crate::statics::{CORNERS, FRONT, axle_of, side_of};

/// An axle with the part of the body that it carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AxleInRoll {
    /// Sprung mass that the axle carries, kg.
    pub sprung_mass_kg: f64,
    /// Unsprung mass, kg.
    pub unsprung_mass_kg: f64,
    /// Height of the unsprung mass above the ground, m.
    pub unsprung_height_m: f64,
    /// Distance between the contact points, m.
    pub track_m: f64,
    /// Height of the roll centre above the ground, m.
    pub roll_centre_height_m: f64,
    /// Springs and bar on rigid wheels, N m per rad of the body over the axle.
    pub suspension_nm_per_rad: f64,
    /// Tyres, N m per rad of the axle over the ground; infinite for rigid wheels.
    pub tyres_nm_per_rad: f64,
}

/// A body that rolls about the line through the roll centres of its axles, which roll on their tyres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RollModel {
    /// Height of the centre of gravity of the sprung mass above the ground, m.
    pub sprung_cg_height_m: f64,
    /// Front and rear axle.
    pub axles: [AxleInRoll; 2],
    /// Gravity that acts on what has moved sideways, m/s²; 0 leaves its moment out, as shorter formulas do.
    pub gravity_m_per_s2: f64,
}

/// Why roll and load transfer are not known.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoRollBalance {
    /// The roll centre needs hardpoints.
    #[error("the roll centre of the {} axle is not known", if *axle == FRONT { "front" } else { "rear" })]
    RollCentreUnknown {
        /// `FRONT` or `REAR` of the statics.
        axle: usize,
    },
    /// The weight tips the body further than springs, bars and tyres hold it.
    #[error("springs, bars and tyres do not hold the body upright")]
    NotHeld,
    /// A number that is not finite came in or arose.
    #[error("the roll cannot be computed: a quantity is not a finite number")]
    NotFinite,
}

/// Load that goes from the inner to the outer wheel of an axle, N per m/s² of lateral acceleration, by the way it goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadTransfer {
    /// Through springs and bars, by the roll of the body.
    pub elastic_n_per_m_per_s2: f64,
    /// Through the linkage, by the side force at the roll centre.
    pub geometric_n_per_m_per_s2: f64,
    /// By the unsprung mass.
    pub unsprung_n_per_m_per_s2: f64,
}

impl LoadTransfer {
    /// Sum of the three ways, N per m/s².
    pub fn total_n_per_m_per_s2(&self) -> f64 {
        self.elastic_n_per_m_per_s2 + self.geometric_n_per_m_per_s2 + self.unsprung_n_per_m_per_s2
    }
}

/// Roll and load transfer in a steady turn, to first order in lateral acceleration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RollBalance {
    /// Sprung mass, kg.
    pub sprung_mass_kg: f64,
    /// Height of its centre of gravity above the ground, m.
    pub sprung_cg_height_m: f64,
    /// Centre of gravity above the inclined roll axis below it, m.
    pub roll_arm_m: f64,
    /// Roll of the body over the ground per lateral acceleration, rad per m/s².
    pub roll_gradient_rad_per_m_per_s2: f64,
    /// Load transfer of the front and the rear axle.
    pub transfer: [LoadTransfer; 2],
}

/// The wheel that leaves the ground first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstLift {
    /// The corner; a left wheel lifts in a left turn.
    pub corner: usize,
    /// Lateral acceleration at which it would, the transfer growing in proportion, m/s². The tyres may slide before.
    pub lateral_acceleration_m_per_s2: f64,
}

impl RollModel {
    /// Solves the moments of the body about its roll axis and of each axle about the ground.
    ///
    /// With φ the roll of the body and ψ that of an axle on its tyres, m_i the part of the sprung mass m over axle i, h_i
    /// its roll centre, μ_i, z_i its unsprung mass and height, S_i = m_i h_i + μ_i z_i, h₁ the roll arm:
    ///
    /// * body: Σ K_i (φ - ψ_i) = m h₁ (a + g φ),
    /// * axle: K_t,i ψ_i = K_i (φ - ψ_i) + S_i (a + g ψ_i) = ΔF_i t_i.
    ///
    /// On rigid wheels ψ = 0 and φ = m h₁ a / (ΣK - m g h₁): Gillespie, Fundamentals of Vehicle Dynamics, ch. 6; Milliken
    /// and Milliken, Race Car Vehicle Dynamics, ch. 18.
    ///
    /// # Errors
    /// [`NoRollBalance::NotHeld`] when the weight tips the body over, [`NoRollBalance::NotFinite`] on absurd numbers.
    pub fn balance(&self) -> Result<RollBalance, NoRollBalance> {
        let g = self.gravity_m_per_s2;
        let sprung_mass_kg: f64 = self.axles.iter().map(|axle| axle.sprung_mass_kg).sum();
        let roll_arm_m = self.sprung_cg_height_m - self.roll_axis_height_m();
        let body_moment_kgm = sprung_mass_kg * roll_arm_m;
        let (mut held, mut turned) = (-g * body_moment_kgm, body_moment_kgm);
        for axle in &self.axles {
            let on_tyres = axle.on_tyres_nm_per_rad(g);
            if on_tyres <= 0.0 {
                return Err(NoRollBalance::NotHeld);
            }
            let yielding = axle.suspension_nm_per_rad / on_tyres;
            held += axle.suspension_nm_per_rad * (1.0 - yielding);
            turned += yielding * axle.moment_kgm();
        }
        if held <= 0.0 {
            return Err(NoRollBalance::NotHeld);
        }
        let roll_gradient_rad_per_m_per_s2 = turned / held;
        let balance = RollBalance {
            sprung_mass_kg,
            sprung_cg_height_m: self.sprung_cg_height_m,
            roll_arm_m,
            roll_gradient_rad_per_m_per_s2,
            transfer: self.axles.map(|axle| axle.transfer(roll_gradient_rad_per_m_per_s2, g)),
        };
        let finite = roll_gradient_rad_per_m_per_s2.is_finite()
            && balance.transfer.iter().all(|transfer| transfer.total_n_per_m_per_s2().is_finite());
        if finite { Ok(balance) } else { Err(NoRollBalance::NotFinite) }
    }

    /// Height of the line through the roll centres below the sprung centre of gravity: the axles carry the sprung mass in
    /// the same shares.
    fn roll_axis_height_m(&self) -> f64 {
        let [front, rear] = &self.axles;
        let mass_kg = front.sprung_mass_kg + rear.sprung_mass_kg;
        let moment = front.sprung_mass_kg * front.roll_centre_height_m
            + rear.sprung_mass_kg * rear.roll_centre_height_m;
        moment / mass_kg
    }
}

impl AxleInRoll {
    /// First moment about the ground of what acts on the axle beside springs and bar.
    fn moment_kgm(&self) -> f64 {
        self.sprung_mass_kg * self.roll_centre_height_m + self.unsprung_mass_kg * self.unsprung_height_m
    }

    /// Moment that holds the axle between body and ground, per roll of the axle.
    fn on_tyres_nm_per_rad(&self, gravity: f64) -> f64 {
        self.suspension_nm_per_rad + self.tyres_nm_per_rad - gravity * self.moment_kgm()
    }

    /// Load transfer per unit of lateral acceleration with the body rolled by `roll`.
    fn transfer(&self, roll: f64, gravity: f64) -> LoadTransfer {
        let axle_roll =
            (self.suspension_nm_per_rad * roll + self.moment_kgm()) / self.on_tyres_nm_per_rad(gravity);
        let sideways = (1.0 + gravity * axle_roll) / self.track_m;
        LoadTransfer {
            elastic_n_per_m_per_s2: self.suspension_nm_per_rad * (roll - axle_roll) / self.track_m,
            geometric_n_per_m_per_s2: self.sprung_mass_kg * self.roll_centre_height_m * sideways,
            unsprung_n_per_m_per_s2: self.unsprung_mass_kg * self.unsprung_height_m * sideways,
        }
    }
}

impl RollBalance {
    /// Roll gradient in the unit of the trade, degrees per g.
    pub fn roll_gradient_deg_per_g(&self) -> f64 {
        (self.roll_gradient_rad_per_m_per_s2 * GRAVITY_M_PER_S2).to_degrees()
    }

    /// Share of the front axle in the load transfer of both: more of it makes the van understeer more.
    pub fn front_share(&self) -> f64 {
        let [front, rear] = self.transfer.map(|transfer| transfer.total_n_per_m_per_s2());
        front / (front + rear)
    }

    /// Wheel loads, N, at a lateral acceleration (positive to the left), from those at rest.
    pub fn wheel_loads_n(
        &self,
        at_rest_n: [f64; CORNERS],
        lateral_acceleration_m_per_s2: f64,
    ) -> [f64; CORNERS] {
        std::array::from_fn(|i| {
            let transfer_n = self.transfer[axle_of(i)].total_n_per_m_per_s2() * lateral_acceleration_m_per_s2;
            at_rest_n[i] - side_of(i) * transfer_n
        })
    }

    /// The wheel that leaves the ground first, in a turn to either side; `None` when none would.
    pub fn first_lift(&self, at_rest_n: [f64; CORNERS]) -> Option<FirstLift> {
        let lift = |corner: usize| {
            let transfer = self.transfer[axle_of(corner)].total_n_per_m_per_s2();
            (transfer > 0.0)
                .then(|| FirstLift { corner, lateral_acceleration_m_per_s2: at_rest_n[corner] / transfer })
        };
        (0..CORNERS)
            .filter_map(lift)
            .min_by(|a, b| a.lateral_acceleration_m_per_s2.total_cmp(&b.lateral_acceleration_m_per_s2))
    }
}
