//! Whom to ring, and why.

use serde::{Deserialize, Serialize};

use super::{Id, Kind, Record};
use crate::index::Index;

/// A call to make.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CallBack {
    /// Whom.
    pub customer: Id,
    /// Why.
    pub reason: CallBackReason,
    /// From when on, ms.
    pub due_ms: i64,
    /// What is to be said.
    pub notes: String,
    /// When it was made, ms.
    pub done_ms: Option<i64>,
    /// What came of it.
    pub outcome: String,
}

/// Why a customer is rung.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CallBackReason {
    /// A quote has not been answered.
    UnansweredQuote {
        /// The quote.
        quote: Id,
    },
    /// All parts of a job are there.
    PartsArrived {
        /// The job.
        job: Id,
    },
    /// Fasteners are to be tightened again.
    RetorqueDue {
        /// The job.
        job: Id,
    },
    /// Heights are to be read again.
    RecheckDue {
        /// The job.
        job: Id,
    },
    /// Would come sooner if another job is cancelled.
    WaitingForCancellation {
        /// The job that is booked later.
        job: Id,
    },
    /// Asked to be rung.
    Asked,
}

impl Record for CallBack {
    const KIND: Kind = Kind::CallBack;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Customer, &self.customer);
        match &self.reason {
            CallBackReason::UnansweredQuote { quote } => index.link(Kind::Quote, quote),
            CallBackReason::PartsArrived { job }
            | CallBackReason::RetorqueDue { job }
            | CallBackReason::RecheckDue { job }
            | CallBackReason::WaitingForCancellation { job } => index.link(Kind::Job, job),
            CallBackReason::Asked => {}
        }
    }
}
