//! Auxiliary air spring of a kit.

use mechanics::elements::{AirCharge, AirSpring, AirSpringLimits, ElementFault, FittedAirSpring};

use crate::document::{Fields, Order, Range, range};
use crate::units::{m_from_mm, m2_from_cm2, m3_from_l, pa_from_bar};

/// An auxiliary air spring as its maker describes it, in its brackets on the vehicles that the kit fits.
#[derive(Debug, Clone, PartialEq)]
pub struct AirHelperSheet {
    /// Pairs of height (mm) and effective area (cm²).
    pub area_over_height: Vec<[f64; 2]>,
    /// Height at which the volume is stated, mm.
    pub volume_at_height_mm: f64,
    /// Gas volume there, with lines and fittings, litres.
    pub volume_l: f64,
    /// Least height the maker allows, mm.
    pub least_height_mm: f64,
    /// Greatest height, mm.
    pub greatest_height_mm: f64,
    /// Least gauge pressure, so that the bellows is not pinched, bar.
    pub least_pressure_bar: f64,
    /// Greatest gauge pressure, bar.
    pub greatest_pressure_bar: f64,
    /// Height in its brackets with the suspension at design height, mm.
    pub height_at_design_mm: f64,
    /// Growth of its height per growth of the main spring's length.
    pub height_per_spring_length: f64,
}

const HEIGHT_MM: Range = range(20.0, 600.0);
const PRESSURE_BAR: Range = range(0.0, 16.0);
/// Gas that has time to take the temperature of its surroundings: a van standing.
const STANDING_POLYTROPIC_EXPONENT: f64 = 1.0;

impl AirHelperSheet {
    /// Reads an auxiliary air spring.
    pub fn read(f: &mut Fields) -> Self {
        let columns = [("height_mm", HEIGHT_MM), ("area_cm2", range(5.0, 800.0))];
        let sheet = Self {
            area_over_height: f.pairs(
                "area_over_height",
                columns,
                2,
                Order::Any,
                "Height and effective area: force per gauge pressure",
            ),
            volume_at_height_mm: f.number(
                "volume_at_height_mm",
                HEIGHT_MM,
                "Height at which the volume is stated",
            ),
            volume_l: f.number("volume_l", range(0.05, 30.0), "Gas volume there, with lines and fittings"),
            least_height_mm: f.number("least_height_mm", HEIGHT_MM, "Least height"),
            greatest_height_mm: f.number("greatest_height_mm", HEIGHT_MM, "Greatest height"),
            least_pressure_bar: f.number(
                "least_pressure_bar",
                PRESSURE_BAR,
                "Least gauge pressure, so that the bellows is not pinched",
            ),
            greatest_pressure_bar: f.number("greatest_pressure_bar", PRESSURE_BAR, "Greatest gauge pressure"),
            height_at_design_mm: f.number(
                "height_at_design_mm",
                HEIGHT_MM,
                "Height in its brackets with the suspension at design height",
            ),
            height_per_spring_length: f.number_or(
                "height_per_spring_length",
                range(0.1, 3.0),
                1.0,
                "Growth of its height per growth of the main spring's length",
            ),
        };
        if f.is_sound()
            && let Err(fault) = sheet.fitted()
        {
            f.fault_at("area_over_height", &fault.to_string(), "heights, areas and pressures that agree");
        }
        sheet
    }

    /// The air spring in its place, open at its least pressure.
    ///
    /// # Errors
    /// When its figures contradict each other.
    pub fn fitted(&self) -> Result<FittedAirSpring, ElementFault> {
        let areas: Vec<(f64, f64)> =
            self.area_over_height.iter().map(|row| (m_from_mm(row[0]), m2_from_cm2(row[1]))).collect();
        let limits = AirSpringLimits {
            least_height_m: m_from_mm(self.least_height_mm),
            greatest_height_m: m_from_mm(self.greatest_height_mm),
            least_pressure_pa: pa_from_bar(self.least_pressure_bar),
            greatest_pressure_pa: pa_from_bar(self.greatest_pressure_bar),
        };
        let volume = (m_from_mm(self.volume_at_height_mm), m3_from_l(self.volume_l));
        Ok(FittedAirSpring {
            spring: AirSpring::measured(&areas, volume, STANDING_POLYTROPIC_EXPONENT, limits)?,
            height_at_design_m: m_from_mm(self.height_at_design_mm),
            height_per_spring_length: self.height_per_spring_length,
            charge: AirCharge::Open(limits.least_pressure_pa),
        })
    }
}
