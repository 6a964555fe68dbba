//! `archgap schema KIND`

use workshop::catalogue::Kind;

use super::json_of;
use server::answers::one_of;

use crate::data::Trouble;

pub(crate) fn run(kind: &str) -> Result<String, Trouble> {
    let found = Kind::CHOICES.iter().find(|(name, _)| *name == kind);
    let Some((_, kind)) = found else {
        let names: Vec<&str> = Kind::CHOICES.iter().map(|(name, _)| *name).collect();
        return Err(Trouble::wrong_name("kind", kind, one_of(&names)));
    };
    json_of(&kind.schema())
}
