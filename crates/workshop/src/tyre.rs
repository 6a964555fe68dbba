//! What follows from a tyre's size and service description: geometry, pressure, rate, speed.

use crate::tyre_marking::TyreMarking;

const MM_PER_INCH: f64 = 25.4;

/// Rolling circumference of a radial tyre per design diameter (ETRTO, from memory).
const ROLLING_PER_DIAMETER: f64 = 3.05;

/// Exponent of load over pressure, C tyres: L = Lmax (P/Pmax)^0.8 (ETRTO Standards Manual).
const LOAD_EXPONENT: f64 = 0.8;

/// How far the empirical rate may be off, per cent.
pub const EMPIRICAL_RATE_WITHIN_PERCENT: f64 = 15.0;

/// Growth of the section width per growth of the rim width: 5 mm for half an inch (ETRTO, from memory).
const SECTION_PER_RIM_WIDTH: f64 = 0.4;

impl TyreMarking {
    /// Design outer diameter, mm: 25.4 · rim + 2 · width · aspect / 100 (ISO 4000-1).
    pub fn outer_diameter_mm(&self) -> f64 {
        MM_PER_INCH * self.rim_diameter_inch + 2.0 * self.section_height_mm()
    }

    /// Section height, mm (ISO 4000-1).
    pub fn section_height_mm(&self) -> f64 {
        f64::from(self.width_mm) * f64::from(self.aspect_percent) / 100.0
    }

    /// Rolling circumference, mm: 3.05 times the design diameter.
    pub fn rolling_circumference_mm(&self) -> f64 {
        ROLLING_PER_DIAMETER * self.outer_diameter_mm()
    }

    /// Width of the measuring rim, inch, to the nearest half: a share of the section width by aspect ratio (ISO 4000-1,
    /// ETRTO; from memory).
    pub fn measuring_rim_inch(&self) -> f64 {
        let share = match self.aspect_percent {
            75.. => 0.70,
            60.. => 0.75,
            50.. => 0.80,
            45.. => 0.85,
            _ => 0.90,
        };
        (2.0 * share * f64::from(self.width_mm) / MM_PER_INCH).round() / 2.0
    }

    /// Section width on a rim, mm.
    pub fn section_width_mm(&self, rim_width_inch: f64) -> f64 {
        let wider_inch = rim_width_inch - self.measuring_rim_inch();
        f64::from(self.width_mm) + SECTION_PER_RIM_WIDTH * MM_PER_INCH * wider_inch
    }

    /// Vertical rate at a pressure, N/mm, within ± 15 %: Kz (kg/mm) = 0.00028 P √((1.03 - 0.004 AR) SN OD) + 3.45, P in
    /// kPa, lengths in mm (T. B. Rhyne, *Tire Science and Technology* 33, 2005; from memory). Fitted to passenger tyres.
    pub fn empirical_rate_n_per_mm(&self, pressure_bar: f64) -> f64 {
        let share = (1.03 - 0.004 * f64::from(self.aspect_percent)).max(0.0);
        let kpa = 100.0 * pressure_bar;
        let kg_per_mm =
            0.00028 * kpa * (share * f64::from(self.width_mm) * self.outer_diameter_mm()).sqrt() + 3.45;
        kg_per_mm * mechanics::GRAVITY_M_PER_S2
    }
}

/// Pressure that carries a load, in the unit of `most_pressure`: P = Pmax (L/Lmax)^(1/0.8), not below `least_pressure`
/// (ETRTO Standards Manual). Above `most_load_kg` it is more than the tyre bears.
pub fn pressure_for_load(load_kg: f64, most_load_kg: f64, most_pressure: f64, least_pressure: f64) -> f64 {
    let share = (load_kg / most_load_kg).max(0.0);
    (most_pressure * share.powf(1.0 / LOAD_EXPONENT)).max(least_pressure)
}

/// Pressure that carries a load by the maker's table of pressure (bar) and load (kg), both rising: straight between its
/// rows, its first pressure below them; `None` above its last load.
pub fn pressure_by_table_bar(load_kg: f64, load_over_pressure: &[[f64; 2]]) -> Option<f64> {
    let [first_bar, first_kg] = *load_over_pressure.first()?;
    if load_kg <= first_kg {
        return Some(first_bar);
    }
    load_over_pressure.windows(2).find(|rows| load_kg <= rows[1][1]).map(|rows| {
        let [[less_bar, less_kg], [more_bar, more_kg]] = [rows[0], rows[1]];
        less_bar + (load_kg - less_kg) / (more_kg - less_kg) * (more_bar - less_bar)
    })
}

/// Most by which a speedometer may show above the true speed, km/h: 0 ≤ V1 - V2 ≤ 0.1 V2 + 4 (UN R39, 5.3).
pub fn speedometer_lead_allowed_km_per_h(true_km_per_h: f64) -> f64 {
    0.1 * true_km_per_h + 4.0
}

/// Least true speed at an indicated one, km/h: that of the greatest lead allowed.
pub fn least_true_speed_km_per_h(indicated_km_per_h: f64) -> f64 {
    (indicated_km_per_h - 4.0) / 1.1
}

/// True speed at an indicated one, km/h, where the tyres roll `circumference_ratio` times as far a turn as those that the
/// speedometer was set for, with which it showed `lead_percent` above the true speed.
pub fn true_speed_km_per_h(indicated_km_per_h: f64, circumference_ratio: f64, lead_percent: f64) -> f64 {
    indicated_km_per_h * circumference_ratio / (1.0 + lead_percent / 100.0)
}

/// Edges of a tyre from the hub's mounting face, mm, outboard positive.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct TyreEdges {
    /// Inner edge.
    pub inner_mm: f64,
    /// Outer edge.
    pub outer_mm: f64,
}

/// Where a tyre's edges are: the rim's centre lies `offset_mm` inboard of its mounting face, which a spacer moves outboard.
pub fn tyre_edges(section_width_mm: f64, offset_mm: f64, spacer_mm: f64) -> TyreEdges {
    let centre_mm = spacer_mm - offset_mm;
    TyreEdges { inner_mm: centre_mm - 0.5 * section_width_mm, outer_mm: centre_mm + 0.5 * section_width_mm }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn size(text: &str) -> TyreMarking {
        text.parse().unwrap()
    }

    #[test]
    fn val_measuring_rims() {
        // ETRTO measuring rims, from memory.
        for (text, inch) in [
            ("195/75 R16", 5.5),
            ("225/75 R16", 6.0),
            ("215/65 R16", 6.5),
            ("235/65 R16", 7.0),
            ("225/60 R17", 6.5),
            ("205/55 R16", 6.5),
            ("225/45 R17", 7.5),
            ("255/40 R19", 9.0),
        ] {
            assert!((size(text).measuring_rim_inch() - inch).abs() < 1e-9, "{text}");
        }
        assert!((size("215/65 R16").section_width_mm(6.5) - 215.0).abs() < 1e-9);
        assert!((size("215/65 R16").section_width_mm(7.0) - 220.08).abs() < 1e-9);
    }

    #[test]
    fn law_the_maker_s_table_is_met_at_its_rows() {
        let table = [[2.5, 700.0], [3.5, 850.0], [4.75, 1030.0]];
        for [bar, kg] in table {
            assert_eq!(pressure_by_table_bar(kg, &table), Some(bar));
        }
        assert_eq!(pressure_by_table_bar(775.0, &table), Some(3.0));
        assert_eq!(pressure_by_table_bar(100.0, &table), Some(2.5));
        assert_eq!(pressure_by_table_bar(1031.0, &table), None);
        assert_eq!(pressure_by_table_bar(1.0, &[]), None);
    }

    proptest! {
        #[test]
        fn law_pressure_grows_with_load_and_meets_its_ends(
            load_kg in 300.0..1500.0f64,
            more_kg in 0.0..100.0f64,
            most_bar in 2.0..6.0f64,
        ) {
            let at = |kg: f64| pressure_for_load(kg, 1250.0, most_bar, 1.8);
            prop_assert!(at(load_kg + more_kg) >= at(load_kg));
            prop_assert!((at(1250.0) - most_bar).abs() < 1e-12);
            prop_assert!(at(load_kg) >= 1.8);
        }

        #[test]
        fn law_a_larger_tyre_reads_slow(ratio in 1.0001..1.3f64, lead_percent in 0.0..10.0f64) {
            let before = true_speed_km_per_h(100.0, 1.0, lead_percent);
            prop_assert!(true_speed_km_per_h(100.0, ratio, lead_percent) > before);
        }

        #[test]
        fn law_the_least_true_speed_has_the_greatest_lead(indicated in 20.0..200.0f64) {
            let true_speed = least_true_speed_km_per_h(indicated);
            let lead = indicated - true_speed;
            prop_assert!((lead - speedometer_lead_allowed_km_per_h(true_speed)).abs() < 1e-9);
        }

        #[test]
        fn law_edges_are_a_section_apart_and_move_with_offset_and_spacer(
            width_mm in 150.0..300.0f64,
            offset_mm in -30.0..80.0f64,
            spacer_mm in 0.0..40.0f64,
        ) {
            let edges = tyre_edges(width_mm, offset_mm, spacer_mm);
            prop_assert!((edges.outer_mm - edges.inner_mm - width_mm).abs() < 1e-9);
            // a spacer acts as so much less offset
            let moved = tyre_edges(width_mm, offset_mm - spacer_mm, 0.0);
            prop_assert!((moved.outer_mm - edges.outer_mm).abs() < 1e-9);
            prop_assert!((edges.inner_mm + edges.outer_mm - 2.0 * (spacer_mm - offset_mm)).abs() < 1e-9);
        }
    }
}
