//! Jobs and the time they took.

use serde::{Deserialize, Serialize};

use super::{Id, Kind, Record, within};
use crate::error::{Error, Result};
use crate::index::{Held, Index};

/// A job on the ramp.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Job {
    /// Whose van.
    pub customer: Id,
    /// Which van.
    pub van: Id,
    /// Quote it comes from.
    pub quote: Option<Id>,
    /// What is done, in a few words.
    pub title: String,
    /// Operations of the price list.
    pub operations: Vec<String>,
    /// How far it is.
    pub state: JobState,
    /// Where and when; none while it waits for parts.
    pub booking: Option<Booking>,
    /// Parts it needs.
    pub parts: Vec<PartNeed>,
    /// Why it waits or was cancelled.
    pub because: String,
}

/// How far a job is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum JobState {
    /// Has a ramp and a time.
    Booked,
    /// Work has begun.
    OnTheRamp,
    /// Holds no ramp until its parts are there.
    WaitingForParts,
    /// Done and signed.
    HandedOver,
    /// Will not be done.
    Cancelled,
}

impl JobState {
    /// The state in words.
    pub fn name(self) -> &'static str {
        match self {
            Self::Booked => "booked",
            Self::OnTheRamp => "on the ramp",
            Self::WaitingForParts => "waiting for parts",
            Self::HandedOver => "handed over",
            Self::Cancelled => "cancelled",
        }
    }
}

/// A ramp held for a job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Booking {
    /// Ramp.
    pub ramp: String,
    /// From, ms.
    pub from_ms: i64,
    /// To, ms: the end of the nine-in-ten time, closing hours left out.
    pub to_ms: i64,
    /// Working time in nine of ten cases, minutes.
    pub minutes_nine_in_ten: u32,
}

/// A part a job needs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartNeed {
    /// Part, as in the catalogue.
    pub part: String,
    /// How many.
    pub quantity: f64,
    /// When it should be there, ms.
    pub expected_ms: Option<i64>,
    /// When it came, ms.
    pub arrived_ms: Option<i64>,
}

impl Record for Job {
    const KIND: Kind = Kind::Job;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Customer, &self.customer);
        index.link(Kind::Van, &self.van);
        index.link_if(Kind::Quote, self.quote.as_ref());
        index.van(&self.title);
        match &self.booking {
            Some(booking) => index.state_from_to(self.state.name(), [booking.from_ms, booking.to_ms]),
            None => index.state(self.state.name()),
        }
        if matches!(self.state, JobState::Booked | JobState::OnTheRamp) {
            index.held = self.booking.as_ref().map(|booking| Held {
                ramp: booking.ramp.clone(),
                from_ms: booking.from_ms,
                to_ms: booking.to_ms,
            });
        }
    }

    fn check(&self) -> Result<()> {
        for need in &self.parts {
            within("quantity", need.quantity, 0.0, 10_000.0)?;
        }
        match &self.booking {
            Some(booking) if booking.to_ms <= booking.from_ms => Err(Error::invalid(
                "booking",
                format!("{} to {}", booking.from_ms, booking.to_ms),
                "longer than nothing",
            )),
            _ => Ok(()),
        }
    }
}

/// How long one operation took on one job.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RampTime {
    /// The job.
    pub job: Id,
    /// Operation of the price list.
    pub operation: String,
    /// Time it took, minutes.
    pub minutes: f64,
    /// What held it up.
    pub notes: String,
}

impl Record for RampTime {
    const KIND: Kind = Kind::RampTime;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Job, &self.job);
    }

    fn check(&self) -> Result<()> {
        within("minutes", self.minutes, 0.0, 10_000.0)
    }
}
