//! The records: one plain structure per kind, kept as JSON. Times are milliseconds since 1970-01-01 UTC, dates are
//! ISO 8601 text, money is whole minor units, corners are front left, front right, rear left, rear right.

mod answers;
mod catalogue;
mod customers;
mod diary;
mod jobs;
mod papers;
mod parts;
mod people;
mod photos;
mod postal;
mod quotes;
mod reminders;

use std::fmt;
use std::str::FromStr;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

pub use answers::{Answer, AnswerAbout, Enquiry, EnquiryState};
pub use catalogue::CatalogueRevision;
pub use customers::{AsFound, Customer, Van, Weighing};
pub use diary::Diary;
pub use jobs::{Booking, Job, JobState, PartNeed, RampTime};
pub use papers::{
    Alignment, AlignmentPlace, Correction, Handover, HeightsStage, RampRecord, SetUpSheet, Settled,
};
pub use parts::{PartReturn, PartSupply, ReturnCause};
pub use people::{Device, Role, Setting, User};
pub use photos::Photo;
pub use postal::{PostalHeights, PostalSale};
pub use quotes::{Quote, QuoteLine, QuoteOption, QuoteState};
pub use reminders::{CallBack, CallBackReason};

use crate::error::{Error, Result};
use crate::index::Index;

/// What a kind of record must be able to do. Implemented for the structures of this module only.
pub trait Record: sealed::Sealed + Serialize + DeserializeOwned + Clone + PartialEq + Send + Sync + 'static {
    /// Which kind it is.
    const KIND: Kind;

    /// What the database searches and guards.
    #[doc(hidden)]
    fn index(&self, index: &mut Index);

    /// Refuses values that make no sense.
    ///
    /// # Errors
    /// [`Error::Invalid`] with the field.
    fn check(&self) -> Result<()> {
        Ok(())
    }
}

/// Records that may be added, changed and removed freely; the others change through deeds of their own.
pub trait Editable: Record {}

mod sealed {
    pub trait Sealed {}
}

macro_rules! kinds {
    ($($variant:ident $name:literal, $editable:ident;)*) => {
        /// Kinds of records.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum Kind {
            $(#[doc = concat!("A [`", stringify!($variant), "`].")] $variant,)*
        }

        impl Kind {
            /// All kinds; a kind stands after those it names.
            pub const ALL: &[Self] = &[$(Self::$variant),*];

            /// Name in the database, in files and in words.
            pub fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }

            /// What is derived from a body of this kind.
            pub(crate) fn index_of(self, body: &str) -> Result<Index> {
                let mut index = Index::default();
                match self { $(Self::$variant => read_body::<$variant>(body)?.index(&mut index),)* }
                Ok(index)
            }
        }

        $(impl sealed::Sealed for $variant {} kinds!(@$editable $variant);)*
    };
    (@editable $variant:ident) => { impl Editable for $variant {} };
    (@by_deed $variant:ident) => {};
}

kinds! {
    Setting "setting", editable;
    Diary "diary", editable;
    User "user", by_deed;
    Device "device", editable;
    CatalogueRevision "catalogue_revision", by_deed;
    PartSupply "part_supply", editable;
    Customer "customer", editable;
    Van "van", editable;
    Enquiry "enquiry", editable;
    Answer "answer", by_deed;
    Quote "quote", by_deed;
    Job "job", by_deed;
    SetUpSheet "set_up_sheet", by_deed;
    RampRecord "ramp_record", by_deed;
    Correction "correction", by_deed;
    Alignment "alignment", editable;
    Handover "handover", by_deed;
    RampTime "ramp_time", editable;
    PartReturn "part_return", editable;
    PostalSale "postal_sale", editable;
    PostalHeights "postal_heights", by_deed;
    Photo "photo", by_deed;
    CallBack "call_back", editable;
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Kind {
    type Err = Error;

    fn from_str(name: &str) -> Result<Self> {
        let found = Self::ALL.iter().find(|kind| kind.name() == name);
        found.copied().ok_or_else(|| Error::invalid("kind", name, "a kind of record"))
    }
}

/// Name of a record: a UUID of version 7, or for settings, users, documents and parts a name of their own.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Id(String);

const LONGEST_ID: usize = 120;

impl Id {
    /// A new id; ids made later sort later.
    pub fn at(at_ms: i64) -> Self {
        let at_ms = u64::try_from(at_ms).unwrap_or(0);
        let nanos = u32::try_from(at_ms % 1000).unwrap_or(0) * 1_000_000;
        let time = uuid::Timestamp::from_unix(uuid::NoContext, at_ms / 1000, nanos);
        Self(uuid::Uuid::new_v7(time).to_string())
    }

    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for Id {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        let fits = |c: char| c.is_ascii_alphanumeric() || "-_.+/@".contains(c);
        if text.is_empty() || text.len() > LONGEST_ID || !text.chars().all(fits) {
            let short: String = text.chars().take(LONGEST_ID).collect();
            return Err(Error::invalid("id", short, "1 to 120 of a-z A-Z 0-9 - _ . + / @"));
        }
        Ok(Self(text.to_owned()))
    }
}

impl TryFrom<String> for Id {
    type Error = Error;

    fn try_from(text: String) -> Result<Self> {
        text.parse()
    }
}

impl From<Id> for String {
    fn from(id: Id) -> Self {
        id.0
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A record as stored.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Stored<T> {
    /// Its id.
    pub id: Id,
    /// Counts its changes from 1; a write names the version it saw.
    pub version: i64,
    /// When it was last changed, ms.
    pub updated_ms: i64,
    /// The record.
    pub body: T,
}

/// A body as kept. Refuses one that would not come back the same: a number that is not finite is not JSON.
pub(crate) fn write_body<T: Record>(record: &T) -> Result<String> {
    record.check()?;
    let body = to_json(record)?;
    if body.len() > LONGEST_BODY {
        return Err(Error::invalid(
            T::KIND.name(),
            format!("{} bytes", body.len()),
            format!("at most {LONGEST_BODY} bytes; files belong beside records"),
        ));
    }
    match serde_json::from_str::<T>(&body) {
        Ok(back) if back == *record => Ok(body),
        _ => Err(Error::invalid(T::KIND.name(), "a number that is not finite", "made of finite numbers")),
    }
}

const LONGEST_BODY: usize = 8 << 20;

pub(crate) fn read_body<T: Record>(body: &str) -> Result<T> {
    serde_json::from_str(body).map_err(|e| Error::Damaged(format!("{}: {e}", T::KIND)))
}

/// Any value as JSON text.
pub(crate) fn to_json(value: &impl Serialize) -> Result<String> {
    serde_json::to_string(value).map_err(|e| Error::invalid("value", e.to_string(), "what JSON can hold"))
}

/// Refuses a number outside a range; a missing one is no fault.
pub(crate) fn within(field: &str, value: impl Into<Option<f64>>, low: f64, high: f64) -> Result<()> {
    match value.into() {
        Some(value) if !(low..=high).contains(&value) => {
            Err(Error::invalid(field, value.to_string(), format!("{low} to {high}")))
        }
        _ => Ok(()),
    }
}
