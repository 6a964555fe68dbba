//! The trade: from vehicle sheets, kits and an enquiry to a true answer.
//!
//! Pure functions over plain data: no files, no clock, no database. Documents come in as text and leave as values or
//! as a list of all their faults ([`document`]); trade units become SI in one place ([`units`]); the mechanics come
//! from the crate `mechanics`.

pub mod air_helper;
pub mod air_setting;
pub mod alignment_sheet;
pub mod answer;
pub mod assembly;
pub mod at_lock;
pub mod belief;
pub mod body_sheet;
pub mod calibration;
pub mod catalogue;
pub mod checks;
pub mod combination;
pub mod correction;
pub mod damping;
pub mod document;
pub mod enquiry;
pub mod enquiry_text;
pub mod facts;
pub mod figure;
pub mod fitment;
pub mod fitting;
pub mod furnishing;
pub mod kinematics;
pub mod kit;
pub mod kit_table;
pub mod linkage_sheet;
pub mod load_list;
pub mod loads;
pub mod measuring;
pub mod near_miss;
pub mod plain_figures;
pub mod premises;
pub mod price;
pub mod ramp_record;
pub mod ramp_time;
mod remarks;
pub mod ride;
pub mod rule_conflicts;
pub mod rules;
pub mod set_up;
pub mod shortlist;
pub mod sit;
pub mod spring_sheet;
pub mod stance;
pub mod standing;
pub mod suspension;
pub mod table_file;
mod tabulated;
pub mod tolerances;
pub mod typed;
pub mod tyre;
pub mod tyre_marking;
pub mod units;
pub mod van_on_kit;
pub mod vehicle_sheet;
mod verdict;
pub mod wheel_list;
pub mod wheel_sheet;
pub mod wheels;
pub mod why;
pub mod why_as_found;
pub mod why_check;
pub mod wording;
