//! How far things are from what they are stated to be.
//!
//! Each tolerance is a normal distribution; the number is the half-width within which the true value lies nine times
//! out of ten. The file of a workshop says beside each where it comes from.

use crate::document::{Fields, Range, range};

macro_rules! tolerances {
    ($($(#[doc = $doc:literal])+ $field:ident = $default:literal in $range:expr;)+) => {
        /// Half-widths within which the truth lies nine times out of ten; `sag_expected_mm` alone is a middle.
        #[derive(Debug, Clone, PartialEq)]
        pub struct Tolerances { $($(#[doc = $doc])+ pub $field: f64,)+ }

        impl Tolerances {
            /// Reads a workshop's tolerances; what is not given keeps its default.
            pub fn read(f: &mut Fields) -> Self {
                Self { $($field: f.number_or(stringify!($field), $range, $default, concat!($($doc),+).trim()),)+ }
            }
        }

        impl Default for Tolerances {
            fn default() -> Self { Self { $($field: $default,)+ } }
        }
    };
}

const PERCENT: Range = range(0.0, 60.0);
const MM: Range = range(0.0, 100.0);

tolerances! {
    /// Rate of both springs of an axle together, per cent of the stated rate.
    spring_rate_pair_percent = 4.0 in PERCENT;
    /// Rate of one spring against its pair, per cent.
    spring_rate_each_percent = 1.5 in PERCENT;
    /// Free length of one spring.
    free_length_mm = 2.5 in MM;
    /// How much shorter used original springs are expected to be than new ones.
    sag_expected_mm = 4.0 in MM;
    /// Spread of that loss.
    sag_mm = 6.0 in MM;
    /// Rate of a kit spring of which only a drop is published, per cent of the original rate.
    unknown_rate_percent = 30.0 in PERCENT;
    /// How much stiffer a spring of which only a drop is published is expected to be than the original, per cent.
    unknown_rate_expected_percent = 15.0 in PERCENT;
    /// A published drop against what the springs really do at the maker's own reference load.
    maker_drop_mm = 6.0 in MM;
    /// Stiffness of a bump stop, per cent.
    stop_stiffness_percent = 15.0 in PERCENT;
    /// Height of a bump stop.
    stop_height_mm = 1.5 in MM;
    /// Gas force of a damper.
    gas_force_n = 40.0 in range(0.0, 1000.0);
    /// Rate of rubber bushes, per cent.
    bush_rate_percent = 25.0 in PERCENT;
    /// Wheel travel at which bushes were clamped.
    bush_clamp_mm = 12.0 in MM;
    /// Wheel travel at which bushes are clamped anew, against the ride height aimed at.
    bush_reclamp_mm = 4.0 in MM;
    /// Loss of free length expected of new springs in their first weeks.
    settling_expected_mm = 1.5 in MM;
    /// Spread of that loss.
    settling_mm = 1.5 in MM;
    /// Wheel-arch lip of one corner against the sheet.
    arch_lip_mm = 3.0 in MM;
    /// One reading of an arch height.
    arch_reading_mm = 1.5 in MM;
    /// One collar against where it is said to be.
    collar_position_mm = 0.5 in MM;
    /// Spring travel per wheel travel of both corners of an axle (hardpoints), per cent.
    motion_ratio_percent = 1.5 in PERCENT;
    /// Rate of a tyre, per cent.
    tyre_rate_percent = 12.0 in PERCENT;
    /// Radius of an unloaded tyre.
    tyre_radius_mm = 4.0 in MM;
    /// Rate of an anti-roll bar, per cent.
    bar_rate_percent = 10.0 in PERCENT;
    /// Open and closed length of a damper.
    damper_length_mm = 2.0 in MM;
    /// Pressure of an auxiliary air spring as set and read, bar.
    air_pressure_bar = 0.2 in range(0.0, 5.0);
    /// Rate of added leaves, per cent.
    added_leaf_rate_percent = 8.0 in PERCENT;
    /// Camber of the main leaves at which an added leaf is touched.
    added_leaf_touch_mm = 5.0 in MM;
    /// Height of a block between axle and leaves.
    block_height_mm = 1.0 in MM;
    /// Mass nobody listed that is always aboard, the van's own against its sheet included, at each corner of the van.
    unlisted_corner_kg = 25.0 in range(0.0, 1000.0);
    /// Loose things nobody listed that are aboard in one load state and not in another, at each corner of the van.
    unlisted_loose_corner_kg = 5.0 in range(0.0, 1000.0);
    /// Height of the centre of gravity of van and load.
    centre_of_gravity_height_mm = 60.0 in range(0.0, 500.0);
    /// Damper force at every speed against the maker's curve, per cent.
    damping_stated_percent = 15.0 in PERCENT;
    /// Damper force at every speed against what dampers of its class give, where no curve is known, per cent.
    damping_of_class_percent = 40.0 in PERCENT;
    /// Share of their force that used dampers are expected to have lost, per cent.
    damping_worn_expected_percent = 25.0 in PERCENT;
    /// Spread of that loss, per cent of the new force.
    damping_worn_percent = 25.0 in PERCENT;
    /// Dry friction of suspension, per cent.
    friction_percent = 40.0 in PERCENT;
    /// Moments of inertia where the sheet states them, per cent.
    inertia_stated_percent = 5.0 in PERCENT;
    /// Moments of inertia where they are estimated, per cent.
    inertia_estimated_percent = 15.0 in PERCENT;
    /// One axle on a weighbridge.
    weighbridge_axle_kg = 10.0 in range(0.0, 200.0);
    /// One wheel on a corner scale.
    corner_scale_kg = 5.0 in range(0.0, 200.0);
}
