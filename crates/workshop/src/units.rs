//! The one place where the trade's units become SI and back.

/// Millimetres to metres.
pub fn m_from_mm(mm: f64) -> f64 {
    mm * 1e-3
}

/// Metres to millimetres.
pub fn mm_from_m(m: f64) -> f64 {
    m * 1e3
}

/// A point in millimetres to metres.
pub fn point_m_from_mm(point_mm: [f64; 3]) -> [f64; 3] {
    point_mm.map(m_from_mm)
}

/// Newton per millimetre to newton per metre.
pub fn n_per_m_from_n_per_mm(n_per_mm: f64) -> f64 {
    n_per_mm * 1e3
}

/// Newton metre per degree to newton metre per radian.
pub fn nm_per_rad_from_nm_per_deg(nm_per_deg: f64) -> f64 {
    nm_per_deg.to_degrees()
}

/// Newton to the mass it weighs, kg.
pub fn kg_from_n(n: f64) -> f64 {
    n / mechanics::GRAVITY_M_PER_S2
}

/// Mass to its weight, N.
pub fn n_from_kg(kg: f64) -> f64 {
    kg * mechanics::GRAVITY_M_PER_S2
}

/// Square centimetres to square metres.
pub fn m2_from_cm2(cm2: f64) -> f64 {
    cm2 * 1e-4
}

/// Litres to cubic metres.
pub fn m3_from_l(l: f64) -> f64 {
    l * 1e-3
}

/// Bar to pascal.
pub fn pa_from_bar(bar: f64) -> f64 {
    bar * 1e5
}

/// Pascal to bar.
pub fn bar_from_pa(pa: f64) -> f64 {
    pa * 1e-5
}

/// Metres per second from kilometres per hour.
pub fn m_per_s_from_km_per_h(km_per_h: f64) -> f64 {
    km_per_h / 3.6
}

/// Per cent to a share.
pub fn share_from_percent(percent: f64) -> f64 {
    percent * 1e-2
}
