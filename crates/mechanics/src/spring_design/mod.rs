//! From the dimensions of a spring to its rate: round-wire helical springs here, leaf springs in [`leaf`].

pub mod leaf;

/// Spring rate of a helical compression spring, N/m: R = G d⁴ / (8 D³ n), EN 13906-1:2013 clause 9.
///
/// `shear_modulus_pa` in Pa, wire and mean coil diameter in m, `active_coils` dimensionless; all positive.
pub fn rate_n_per_m(
    shear_modulus_pa: f64,
    wire_diameter_m: f64,
    coil_diameter_m: f64,
    active_coils: f64,
) -> f64 {
    shear_modulus_pa * wire_diameter_m.powi(4) / (8.0 * coil_diameter_m.powi(3) * active_coils)
}

/// Undamped natural frequency of a mass on a linear spring that it compresses by `static_deflection_m`, Hz:
/// f = √(g/δ) / 2π (T. D. Gillespie, Fundamentals of Vehicle Dynamics, ch. 5).
pub fn frequency_from_static_deflection_hz(static_deflection_m: f64) -> f64 {
    (crate::GRAVITY_M_PER_S2 / static_deflection_m).sqrt() / std::f64::consts::TAU
}
