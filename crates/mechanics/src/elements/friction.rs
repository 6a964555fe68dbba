//! Dry friction that lets a van rest anywhere within a band.

/// Friction of one corner, along its damper or strut and between the leaves of its spring.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Friction {
    /// Friction of seals and joints that is always there, N along the damper.
    pub base_n: f64,
    /// Friction added per newton of side force on the strut's top mount, dimensionless.
    pub per_side_force: f64,
    /// Side force per newton of suspension force at the wheel at rest, dimensionless; zero without a strut.
    pub side_force_ratio: f64,
    /// Friction between leaves per load of the spring, dimensionless: half the width of the hysteresis, zero for a coil.
    pub per_spring_load: f64,
}

impl Friction {
    /// Friction force along the damper at a suspension force at the wheel, N.
    pub fn along_damper_n(&self, suspension_force_n: f64) -> f64 {
        self.base_n + self.per_side_force * self.side_force_ratio.abs() * suspension_force_n.abs()
    }

    /// Friction force along the spring under its load, N (Coulomb).
    pub fn along_spring_n(&self, spring_load_n: f64) -> f64 {
        self.per_spring_load * spring_load_n.abs()
    }
}
