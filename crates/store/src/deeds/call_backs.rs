//! Whom to ring.

use crate::by::By;
use crate::database::Store;
use crate::error::{Error, Result};
use crate::packed::Packed;
use crate::records::{CallBack, CallBackReason, Id, Job, JobState, Kind, Stored, read_body};
use crate::work::{Work, begin};

impl CallBack {
    /// A call that is due from a time on.
    pub fn due(customer: &Id, reason: CallBackReason, due_ms: i64) -> Self {
        Self {
            customer: customer.clone(),
            reason,
            due_ms,
            notes: String::new(),
            done_ms: None,
            outcome: String::new(),
        }
    }
}

/// Someone who waits for a cancellation is not to be rung before there is one.
const NOT_YET: i64 = i64::MAX;

impl Store {
    /// Calls that are due, longest due first.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn call_backs(&self, at_ms: i64) -> Result<Vec<Stored<CallBack>>> {
        let mut calls = self.all::<CallBack>().await?;
        calls.retain(|call| call.body.done_ms.is_none() && call.body.due_ms <= at_ms);
        calls.sort_by_key(|call| call.body.due_ms);
        Ok(calls)
    }

    /// Notes that a call was made, and what came of it.
    ///
    /// # Errors
    /// [`Error::Conflict`].
    pub async fn call_made(&self, by: &By, id: &Id, saw: i64, outcome: &str) -> Result<Stored<CallBack>> {
        let mut work = begin!(self, by, "call made", (id, saw, outcome));
        let mut call = work.get_seen::<CallBack>(id, saw).await?.body;
        call.done_ms = Some(by.at_ms);
        outcome.clone_into(&mut call.outcome);
        let stored = work.change(id, saw, &call).await?;
        work.done(stored).await
    }

    /// Notes that a customer with a booked job would come sooner.
    ///
    /// # Errors
    /// [`Error::WrongState`] where the job is not booked.
    pub async fn would_come_sooner(&self, by: &By, job: &Id) -> Result<Stored<CallBack>> {
        let deed = "wait for cancellation";
        let mut work = begin!(self, by, deed, job);
        let booked = work.get::<Job>(job).await?;
        booked.must_be(deed, &[JobState::Booked])?;
        let reason = CallBackReason::WaitingForCancellation { job: job.clone() };
        let stored = work.add(&CallBack::due(&booked.body.customer, reason, NOT_YET)).await?;
        work.done(stored).await
    }
}

/// A ramp came free: those who would come sooner are due now.
pub(crate) async fn ring_those_who_wait(work: &mut Work) -> Result<()> {
    for (id, version, mut call) in open_calls(work).await? {
        let CallBackReason::WaitingForCancellation { job } = &call.reason else { continue };
        let still_booked = work.get::<Job>(job).await.is_ok_and(|job| job.body.state == JobState::Booked);
        if call.due_ms == NOT_YET && still_booked {
            call.due_ms = work.by.at_ms;
            work.change(&id, version, &call).await?;
        }
    }
    Ok(())
}

/// Calls that a reason makes needless are done.
pub(crate) async fn no_need_to_ring(
    work: &mut Work,
    needless: impl Fn(&CallBackReason) -> bool,
    outcome: &str,
) -> Result<()> {
    for (id, version, mut call) in open_calls(work).await? {
        if needless(&call.reason) {
            call.done_ms = Some(work.by.at_ms);
            outcome.clone_into(&mut call.outcome);
            work.change(&id, version, &call).await?;
        }
    }
    Ok(())
}

async fn open_calls(work: &mut Work) -> Result<Vec<(Id, i64, CallBack)>> {
    let rows: Vec<(String, i64, Packed)> =
        sqlx::query_as("SELECT id, version, body FROM records WHERE kind = $1 AND gone = 0 ORDER BY id")
            .bind(Kind::CallBack.name())
            .fetch_all(work.connection())
            .await?;
    let mut calls = Vec::new();
    for (id, version, body) in rows {
        let call: CallBack = read_body(&body.text()?)?;
        if call.done_ms.is_none() {
            calls.push((id.parse::<Id>()?, version, call));
        }
    }
    Ok::<_, Error>(calls)
}
