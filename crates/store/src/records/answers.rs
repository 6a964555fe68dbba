//! Enquiries, and the answers given to them.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{Id, Kind, Record};
use crate::error::{Error, Result};
use crate::index::Index;

/// An enquiry.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Enquiry {
    /// Who asks, where known.
    pub customer: Option<Id>,
    /// Which van, where known.
    pub van: Option<Id>,
    /// Who rang, as far as they said.
    pub caller: String,
    /// Telephone number as given.
    pub phone: Option<String>,
    /// The question in the caller's words.
    pub question: String,
    /// The enquiry document, TOML.
    pub document: String,
    /// How far it is.
    pub state: EnquiryState,
}

/// How far an enquiry is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EnquiryState {
    /// Being taken or answered.
    Open,
    /// A quote is with the customer, or taken and not booked yet.
    Quoted,
    /// Nothing more to do: booked, declined, or given up.
    Closed,
}

impl EnquiryState {
    /// Name in the database and in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Quoted => "quoted",
            Self::Closed => "closed",
        }
    }
}

impl Record for Enquiry {
    const KIND: Kind = Kind::Enquiry;

    fn index(&self, index: &mut Index) {
        index.link_if(Kind::Customer, self.customer.as_ref());
        index.link_if(Kind::Van, self.van.as_ref());
        index.name(&self.caller);
        self.phone.iter().for_each(|phone| index.phone(phone));
        index.state(self.state.name());
    }
}

/// An answer as given, with everything it was made from. It never changes; a new computation is a new answer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Answer {
    /// Enquiry it answers.
    pub enquiry: Id,
    /// What was computed.
    pub about: AnswerAbout,
    /// The enquiry document as it stood, TOML.
    pub enquiry_document: String,
    /// Other inputs as they stood (ramp record, options asked for), JSON.
    pub inputs: Value,
    /// Revision of the catalogue.
    pub catalogue_revision: i64,
    /// Version of the program.
    pub program_version: String,
    /// The result, JSON.
    #[serde(with = "whole")]
    pub result: Value,
    /// The answer that this one computes anew.
    pub again_of: Option<Id>,
}

/// What an answer tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AnswerAbout {
    /// Kits that are in and out.
    Shortlist,
    /// How one kit would sit.
    Prediction,
    /// Where collars are set.
    SetUp,
    /// Which collar to turn.
    Correction,
}

impl Record for Answer {
    const KIND: Kind = Kind::Answer;
    const ALWAYS_COMES_BACK: bool = true;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Enquiry, &self.enquiry);
        index.link_if(Kind::Answer, self.again_of.as_ref());
    }

    fn check(&self) -> Result<()> {
        if self.program_version.is_empty() {
            return Err(Error::invalid("program_version", "nothing", "the version that computed the answer"));
        }
        Ok(())
    }
}

/// A large value as one piece of text, which `serde_json` itself writes and reads. It is optimised; this crate is not.
mod whole {
    use serde::{Deserialize, Deserializer, Serialize, Serializer, de, ser};
    use serde_json::Value;
    use serde_json::value::RawValue;

    pub(super) fn serialize<S: Serializer>(value: &Value, serializer: S) -> Result<S::Ok, S::Error> {
        RawValue::from_string(value.to_string()).map_err(ser::Error::custom)?.serialize(serializer)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Value, D::Error> {
        Box::<RawValue>::deserialize(deserializer)?.get().parse().map_err(de::Error::custom)
    }
}
