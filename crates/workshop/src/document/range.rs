//! Permitted ranges of numbers, and the unit that a name carries.

/// The permitted values of a number, both ends included, in the unit of the field's name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Least permitted value.
    pub min: f64,
    /// Greatest permitted value.
    pub max: f64,
}

/// The range from `min` to `max`, both finite, `min <= max`.
pub const fn range(min: f64, max: f64) -> Range {
    Range { min, max }
}

impl Range {
    /// Whether `value` is permitted; never for NaN.
    pub const fn contains(self, value: f64) -> bool {
        self.min <= value && value <= self.max
    }
}

/// Endings of names and the unit each stands for.
const UNITS: [(&str, &str); 49] = [
    ("bar", "bar"),
    ("c", "°C"),
    ("days", "days"),
    ("deg", "°"),
    ("deg_per_g", "°/g"),
    ("deg_per_mm", "°/mm"),
    ("g", "g"),
    ("hours", "h"),
    ("hz", "Hz"),
    ("inch", "inch"),
    ("j", "J"),
    ("kg", "kg"),
    ("kg_m2", "kg m²"),
    ("kg_per_l", "kg/l"),
    ("km", "km"),
    ("km_per_h", "km/h"),
    ("kn", "kN"),
    ("kpa", "kPa"),
    ("l", "l"),
    ("m", "m"),
    ("m_per_s", "m/s"),
    ("m_per_s175", "m/s^1.75"),
    ("m_per_s2", "m/s²"),
    ("minutes", "min"),
    ("minor", "minor units"),
    ("mm", "mm"),
    ("per_m", "1/m"),
    ("per_mm", "1/mm"),
    ("mm_per_deg", "mm/°"),
    ("mm_per_kg", "mm/kg"),
    ("mm_per_mm", "mm/mm"),
    ("mm_per_s", "mm/s"),
    ("mm_per_turn", "mm/turn"),
    ("months", "months"),
    ("mpa", "MPa"),
    ("n", "N"),
    ("n_per_bar", "N/bar"),
    ("n_per_m", "N/m"),
    ("n_per_mm", "N/mm"),
    ("n_per_mm2", "N/mm²"),
    ("n_s_per_m", "N s/m"),
    ("n_s_per_mm", "N s/mm"),
    ("nm", "Nm"),
    ("nm_per_deg", "Nm/°"),
    ("nm_per_rad", "Nm/rad"),
    ("percent", "%"),
    ("rad", "rad"),
    ("s", "s"),
    ("years", "years"),
];

/// The unit that the end of a field's name stands for (`rate_n_per_mm` gives `N/mm`), empty for a bare name.
/// The longest ending counts.
pub fn unit_of(field_name: &str) -> &'static str {
    UNITS
        .iter()
        .filter(|(ending, _)| {
            field_name.strip_suffix(ending).is_some_and(|stem| stem.is_empty() || stem.ends_with('_'))
        })
        .max_by_key(|(ending, _)| ending.len())
        .map_or("", |(_, unit)| unit)
}
