//! What is in the van in a load state, and what scales and plates say to it.

use mechanics::statics::{AxleLoads, PointMass};

use crate::enquiry::{Aboard, Enquiry};
use crate::load_list::LoadState;
use crate::units::{m_from_mm, share_from_percent};
use crate::vehicle_sheet::{DRIVER_KG, RUNNING_ORDER_FUEL_PERCENT, VehicleSheet};

/// All masses of a van, itself included.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Carried {
    /// The masses; some may be negative (a driver who is not aboard).
    pub masses: Vec<PointMass>,
}

impl Carried {
    /// The van in running order: 90 % fuel, a driver of 75 kg.
    pub fn running_order(sheet: &VehicleSheet) -> Self {
        Self::axle_loads(sheet, [sheet.running_order.front_axle_kg, sheet.running_order.rear_axle_kg])
    }

    /// A van of given axle loads, on its centre plane, at the height of running order.
    pub fn axle_loads(sheet: &VehicleSheet, axle_kg: [f64; 2]) -> Self {
        let height_m = m_from_mm(sheet.running_order.centre_of_gravity_height_mm);
        let front_x_m = m_from_mm(sheet.front.linkage.wheel_centre_mm()[0]);
        let rear_x_m = m_from_mm(sheet.rear.linkage.wheel_centre_mm()[0]);
        let at = |mass_kg, x| PointMass { mass_kg, at_m: [x, 0.0, height_m] };
        Self { masses: vec![at(axle_kg[0], front_x_m), at(axle_kg[1], rear_x_m)] }
    }

    /// The van of an enquiry in a load state: running order, driver and fuel as stated, listed items.
    pub fn of(sheet: &VehicleSheet, enquiry: &Enquiry, state: LoadState) -> Self {
        let mut carried = Self::running_order(sheet);
        let order = &sheet.running_order;
        let aboard: Aboard = enquiry.aboard[state as usize];
        let fuel_kg =
            |percent: f64| order.fuel_tank_l * order.fuel_density_kg_per_l * share_from_percent(percent);
        let mut add = |mass_kg: f64, at_m| carried.masses.push(PointMass { mass_kg, at_m });
        add(aboard.driver_kg - DRIVER_KG, order.driver_place.point_m());
        add(fuel_kg(aboard.fuel_percent) - fuel_kg(RUNNING_ORDER_FUEL_PERCENT), order.fuel_place.point_m());
        for carried_item in enquiry.items.iter().filter(|item| item.states.contains(&state)) {
            add(carried_item.item.mass_kg, carried_item.item.place.point_m());
        }
        carried
    }

    /// Axle loads on level ground at design height, kg.
    pub fn axle_loads_kg(&self, wheelbase_mm: f64) -> AxleLoads {
        AxleLoads::of(&self.masses, m_from_mm(wheelbase_mm))
    }

    /// Sum of all masses, kg.
    pub fn total_kg(&self) -> f64 {
        self.masses.iter().map(|mass| mass.mass_kg).sum()
    }
}
