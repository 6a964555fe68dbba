//! The one place where the trade's units become SI and back, and the units that a person chose to read.

use crate::facts::Language;

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

/// Units of what a person is shown; documents, JSON and the command line stay as they are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Units {
    /// Millimetres, kilograms and what goes with them, as documents have them.
    #[default]
    Metric,
    /// Inches, pounds and what goes with them.
    Inches,
}

/// The international inch, the pound and standard gravity are exact: NIST Special Publication 811 (2008), appendix B.8.
const MM_PER_INCH: f64 = 25.4;
const KG_PER_POUND: f64 = 0.453_592_37;
const STANDARD_GRAVITY_M_PER_S2: f64 = 9.806_65;
const N_PER_POUND_FORCE: f64 = KG_PER_POUND * STANDARD_GRAVITY_M_PER_S2;
const M_PER_FOOT: f64 = 0.3048;
const KM_PER_MILE: f64 = 1.609_344;

/// What is shown instead of a metric unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OtherUnit {
    /// Symbol or word of the metric unit.
    pub metric: &'static str,
    english: &'static str,
    german: &'static str,
    /// How many of the metric unit one of this is.
    pub is: f64,
    /// Decimals that a figure has more, so that its last digit counts steps of about the same size.
    pub finer: i32,
}

const fn other(metric: &'static str, [english, german]: [&'static str; 2], is: f64, finer: i32) -> OtherUnit {
    OtherUnit { metric, english, german, is, finer }
}

/// Longer names before those that they begin with.
const OTHER_UNITS: [OtherUnit; 12] = [
    other("millimetres", ["inches", "Zoll"], MM_PER_INCH, 2),
    other("millimetre", ["inches", "Zoll"], MM_PER_INCH, 2),
    other("Millimeter", ["inches", "Zoll"], MM_PER_INCH, 2),
    other("N/mm", ["lbf/in", "lbf/in"], N_PER_POUND_FORCE / MM_PER_INCH, -1),
    other("Nm/°", ["lbf ft/°", "lbf ft/°"], N_PER_POUND_FORCE * M_PER_FOOT, 0),
    other("km/h", ["mph", "mph"], KM_PER_MILE, 0),
    other("bar", ["psi", "psi"], 1e-5 * N_PER_POUND_FORCE / (1e-6 * MM_PER_INCH * MM_PER_INCH), -1),
    other("mm", ["in", "Zoll"], MM_PER_INCH, 2),
    other("kg", ["lb", "lb"], KG_PER_POUND, 0),
    other("Nm", ["lbf ft", "lbf ft"], N_PER_POUND_FORCE * M_PER_FOOT, 0),
    other("N", ["lbf", "lbf"], N_PER_POUND_FORCE, 0),
    other("m", ["ft", "ft"], M_PER_FOOT, 0),
];

impl OtherUnit {
    /// Symbol or word of this unit.
    pub fn symbol(&self, language: Language) -> &'static str {
        language.pick(self.english, self.german)
    }
}

impl Units {
    /// What is shown instead of a metric unit; none where that is shown itself.
    pub fn instead_of(self, metric: &str) -> Option<&'static OtherUnit> {
        self.all().iter().find(|unit| unit.metric == metric)
    }

    /// Every unit that is shown instead of another.
    pub fn all(self) -> &'static [OtherUnit] {
        match self {
            Self::Metric => &[],
            Self::Inches => &OTHER_UNITS,
        }
    }

    /// A metric figure in the unit that is shown.
    pub fn shown(self, value: f64, metric: &str) -> f64 {
        self.instead_of(metric).map_or(value, |unit| value / unit.is)
    }

    /// Symbol of the unit that is shown instead of a metric one.
    pub fn symbol(self, metric: &str, language: Language) -> &str {
        self.instead_of(metric).map_or(metric, |unit| unit.symbol(language))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST Special Publication 811 (2008), appendix B.8, to the digits printed there: inch 2.54 E-02 m, pound
    /// 4.535 924 E-01 kg, pound-force 4.448 222 N, pound-force per inch 1.751 268 E+02 N/m, foot pound-force
    /// 1.355 818 N m, psi 6.894 757 E+03 Pa, mile per hour 1.609 344 km/h, foot 3.048 E-01 m.
    #[test]
    fn val_other_units_are_those_of_the_published_table() {
        let published = [
            ("mm", 25.4),
            ("kg", 0.453_592_4),
            ("N", 4.448_222),
            ("N/mm", 0.175_126_8),
            ("Nm", 1.355_818),
            ("bar", 0.068_947_57),
            ("km/h", 1.609_344),
            ("m", 0.304_8),
        ];
        for (metric, is) in published {
            let shown = Units::Inches.shown(is, metric);
            assert!((shown - 1.0).abs() < 5e-7, "{metric}: {shown}");
            assert!((Units::Metric.shown(is, metric) - is).abs() < 1e-12);
        }
    }

    #[test]
    fn law_the_last_digit_of_a_figure_counts_steps_of_about_the_same_size() {
        for unit in &OTHER_UNITS {
            let step = unit.is * 10_f64.powi(-unit.finer);
            assert!((0.2..=5.0).contains(&step), "{}: {step}", unit.metric);
        }
    }
}
