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
pub trait Record:
    sealed::Sealed + Serialize + DeserializeOwned + Clone + PartialEq + Send + Sync + 'static
{
    /// Which kind it is.
    const KIND: Kind;

    /// Whether every body comes back the same by its type alone: no number in it can be other than finite.
    #[doc(hidden)]
    const ALWAYS_COMES_BACK: bool = false;

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
                match self { $(Self::$variant => Ok(Index::of(&read_body::<$variant>(body)?)),)* }
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
    if T::ALWAYS_COMES_BACK {
        return Ok(body);
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::Value;

    use super::*;

    fn number() -> impl Strategy<Value = f64> {
        any::<f64>().prop_filter("finite", |x| x.is_finite())
    }

    fn json() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            any::<i64>().prop_map(Value::from),
            number().prop_map(Value::from),
            any::<String>().prop_map(Value::from),
        ];
        leaf.prop_recursive(4, 40, 5, |inner| {
            prop_oneof![
                proptest::collection::vec(inner.clone(), 0..5).prop_map(Value::from),
                proptest::collection::btree_map(any::<String>(), inner, 0..5)
                    .prop_map(|map| Value::from(serde_json::Map::from_iter(map))),
            ]
        })
    }

    fn ident() -> impl Strategy<Value = Id> {
        "[a-zA-Z0-9._+/@-]{1,120}".prop_map(|text| text.parse().unwrap())
    }

    /// It comes back the same, and is written the same again.
    fn comes_back<T: Record + fmt::Debug>(record: &T) -> std::result::Result<(), TestCaseError> {
        let body = write_body(record).unwrap();
        let back: T = read_body(&body).unwrap();
        prop_assert_eq!(&back, record);
        prop_assert_eq!(write_body(&back).unwrap(), body.clone());
        T::KIND.index_of(&body).unwrap();
        Ok(())
    }

    proptest! {
        #[test]
        fn law_answers_come_back_to_the_last_digit(
            enquiry in ident(), again in proptest::option::of(ident()), inputs in json(), result in json(),
            text: String, revision: i64, version in ".{1,20}",
        ) {
            comes_back(&Answer {
                enquiry,
                about: AnswerAbout::SetUp,
                enquiry_document: text,
                inputs,
                catalogue_revision: revision,
                program_version: version,
                result,
                again_of: again,
            })?;
        }

        #[test]
        fn law_vans_come_back(
            customer in ident(), plate: String, vehicle: Option<String>, year: Option<i32>, notes: String,
            kg in proptest::option::of(proptest::array::uniform4(0.0..5000.0)),
            axle_kg in proptest::option::of(proptest::array::uniform2(0.0..10_000.0)),
            lips in proptest::option::of(proptest::array::uniform4(-200.0..200.0)),
            found in proptest::collection::vec(proptest::array::uniform4(100.0..1000.0), 0..3),
        ) {
            let weighing = Weighing { at_ms: 0, load_state: notes.clone(), corner_kg: kg, axle_kg, source: plate.clone() };
            let as_found = found.into_iter().map(|arch_mm| AsFound { at_ms: 1, arch_mm, settled: Settled::OnlyLowered });
            comes_back(&Van {
                customer,
                plate,
                vehicle: vehicle.clone(),
                grade: vehicle.clone(),
                vin: None,
                year,
                description: notes.clone(),
                weighings: vec![weighing],
                lip_offset_mm: lips,
                as_found: as_found.collect(),
                fitted_kit: vehicle,
                notes,
            })?;
        }

        #[test]
        fn law_ramp_records_come_back(
            job in ident(), sheet in proptest::option::of(ident()), kit: Option<String>, notes: String, flags: [bool; 3],
            collar in proptest::array::uniform4(proptest::option::of(-500.0..500.0)),
            readings in proptest::collection::vec(proptest::array::uniform4(100.0..1000.0), 0..4),
            floor in proptest::array::uniform4(-200.0..200.0),
        ) {
            comes_back(&RampRecord {
                job,
                sheet,
                stage: HeightsStage::ReCheck,
                kit,
                settled: Settled::OnTurnPlates,
                bushes_reclamped: flags[0],
                load_as_listed: flags[1],
                springs_settled: flags[2],
                collar_mm: collar,
                readings_mm: readings,
                floor_rise_mm: floor,
                corner_kg: None,
                notes,
            })?;
        }

        #[test]
        fn law_money_is_exact(minor: i64, tax: i64, quantity in number(), text: String) {
            let option = QuoteOption {
                title: text.clone(),
                kit: text.clone(),
                lines: vec![QuoteLine { text: text.clone(), quantity, net_minor: minor }],
                total_minor: minor,
                tax_minor: tax,
                ramp_minutes_nine_in_ten: 1,
            };
            let id: Id = "x".parse().unwrap();
            comes_back(&Quote {
                customer: id.clone(),
                van: None,
                enquiry: id.clone(),
                answer: id,
                revision: 1,
                supersedes: None,
                options: vec![option],
                valid_until: "2026-11-30".into(),
                read_aloud: text.clone(),
                currency: text,
                state: QuoteState::Draft,
                taken: Some(0),
            })?;
        }

        #[test]
        fn law_any_text_is_an_id_or_refused(text: String) {
            match text.parse::<Id>() {
                Ok(id) => prop_assert_eq!(id.as_str(), text),
                Err(e) => prop_assert_eq!(e.code(), "invalid"),
            }
        }

        #[test]
        fn law_any_body_is_read_or_refused(text: String, value in json()) {
            for kind in Kind::ALL {
                for body in [&text, &value.to_string()] {
                    if let Err(e) = kind.index_of(body) {
                        prop_assert_eq!(e.code(), "damaged");
                    }
                }
            }
        }
    }

    #[test]
    fn law_a_number_that_json_cannot_hold_is_refused() {
        let supply = PartSupply {
            in_stock: 1.0,
            lead_days_nine_in_ten: Some(f64::NAN),
            supplier: String::new(),
            notes: String::new(),
        };
        assert!(matches!(write_body(&supply), Err(Error::Invalid { .. })));
        let line = |quantity| QuoteLine { text: String::new(), quantity, net_minor: 0 };
        assert_eq!(
            serde_json::to_string(&line(f64::INFINITY)).unwrap(),
            r#"{"text":"","quantity":null,"net_minor":0}"#
        );
    }

    #[test]
    fn law_ids_made_later_sort_later_and_kinds_keep_their_names() {
        assert!(Id::at(1_774_000_000_000) < Id::at(1_774_000_000_001));
        assert!(Id::at(-5).as_str().starts_with("00000000-0000-7"));
        for kind in Kind::ALL {
            assert_eq!(kind.name().parse::<Kind>().unwrap(), *kind);
            assert_eq!(serde_json::to_string(kind).unwrap(), format!("\"{}\"", kind.name()));
        }
    }
}
