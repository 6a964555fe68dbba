//! One module per command: read, call the workshop, show.

pub(crate) mod check;
pub(crate) mod correct;
pub(crate) mod demo;
pub(crate) mod import;
pub(crate) mod kinematics;
pub(crate) mod measure;
pub(crate) mod predict;
pub(crate) mod schema;
pub(crate) mod set_up;
pub(crate) mod shortlist;
pub(crate) mod why;

use crate::data::Trouble;

/// An answer as JSON.
fn json_of(answer: &impl serde::Serialize) -> Result<String, Trouble> {
    serde_json::to_string_pretty(answer)
        .map_err(|error| Trouble::NotFound(format!("the answer cannot be written as JSON: {error}")))
}
