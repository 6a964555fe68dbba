//! Jobs: booked, moved, begun, waiting, cancelled.

use serde::{Deserialize, Serialize};

use crate::by::By;
use crate::database::Store;
use crate::diary::{booking, diary_id, no_diary};
use crate::error::{Error, Result};
use crate::records::{
    CallBack, CallBackReason, Diary, EnquiryState, Id, Job, JobState, Kind, PartNeed, PartSupply, Quote,
    Stored,
};
use crate::work::{Work, begin};

use super::call_backs::ring_those_who_wait;
use super::papers::ids_naming;
use super::quotes::{set_enquiry, state_by_quotes};

/// A job to be booked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NewJob {
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
    /// Parts it needs.
    pub parts: Vec<PartNeed>,
    /// Ramp.
    pub ramp: String,
    /// From, ms.
    pub from_ms: i64,
    /// Working time in nine of ten cases, minutes.
    pub minutes_nine_in_ten: u32,
}

const MS_PER_DAY: f64 = 86_400_000.0;

impl Store {
    /// Books a job: holds a ramp for its nine-in-ten time, closing hours left out. The enquiry that its quote belongs to
    /// is closed.
    ///
    /// # Errors
    /// [`Error::RampTaken`]; [`Error::Closed`]; [`Error::NoDiary`]; [`Error::PartNotThere`] where a part has not
    /// arrived, is not in stock, and is not expected by then; [`Error::Invalid`] for a ramp that is not in the diary.
    pub async fn book_job(&self, by: &By, new: &NewJob) -> Result<Stored<Job>> {
        let mut work = begin!(self, by, "book job", new);
        let mut parts = new.parts.clone();
        for need in &mut parts {
            expect_part(&mut work, need, new.from_ms).await?;
        }
        let diary = work.get::<Diary>(&diary_id()?).await.map_err(no_diary)?.body;
        let job = Job {
            customer: new.customer.clone(),
            van: new.van.clone(),
            quote: new.quote.clone(),
            title: new.title.clone(),
            operations: new.operations.clone(),
            state: JobState::Booked,
            booking: Some(booking(&diary, &new.ramp, new.from_ms, new.minutes_nine_in_ten)?),
            parts,
            because: String::new(),
        };
        let stored = work.add(&job).await?;
        if let Some(quote) = &new.quote {
            let enquiry = work.get::<Quote>(quote).await?.body.enquiry;
            set_enquiry(&mut work, &enquiry, EnquiryState::Closed).await?;
        }
        work.done(stored).await
    }

    /// Moves a booked job, or books one again that waited for parts.
    ///
    /// # Errors
    /// Those of [`Store::book_job`]; [`Error::Conflict`]; [`Error::WrongState`] once work has begun.
    pub async fn move_job(
        &self,
        by: &By,
        id: &Id,
        saw: i64,
        ramp: &str,
        from_ms: i64,
        minutes_nine_in_ten: u32,
    ) -> Result<Stored<Job>> {
        let deed = "move job";
        let mut work = begin!(self, by, deed, (id, saw, ramp, from_ms, minutes_nine_in_ten));
        let mut job = work.get_seen::<Job>(id, saw).await?;
        job.must_be(deed, &[JobState::Booked, JobState::WaitingForParts])?;
        for need in &mut job.body.parts {
            expect_part(&mut work, need, from_ms).await?;
        }
        let diary = work.get::<Diary>(&diary_id()?).await.map_err(no_diary)?.body;
        job.body.state = JobState::Booked;
        job.body.because.clear();
        job.body.booking = Some(booking(&diary, ramp, from_ms, minutes_nine_in_ten)?);
        let stored = work.change(id, saw, &job.body).await?;
        work.done(stored).await
    }

    /// Changes title, operations and parts of a job that is not over.
    ///
    /// # Errors
    /// [`Error::Conflict`]; [`Error::WrongState`].
    pub async fn change_job(
        &self,
        by: &By,
        id: &Id,
        saw: i64,
        title: &str,
        operations: &[String],
        parts: &[PartNeed],
    ) -> Result<Stored<Job>> {
        let deed = "change job";
        let mut work = begin!(self, by, deed, (id, saw, title, operations, parts));
        let mut job = work.get_seen::<Job>(id, saw).await?;
        job.must_be(deed, &[JobState::Booked, JobState::OnTheRamp, JobState::WaitingForParts])?;
        title.clone_into(&mut job.body.title);
        operations.clone_into(&mut job.body.operations);
        parts.clone_into(&mut job.body.parts);
        let stored = work.change(id, saw, &job.body).await?;
        work.done(stored).await
    }

    /// Begins work.
    ///
    /// # Errors
    /// [`Error::Conflict`]; [`Error::WrongState`].
    pub async fn start_job(&self, by: &By, id: &Id, saw: i64) -> Result<Stored<Job>> {
        let deed = "start job";
        let mut work = begin!(self, by, deed, (id, saw));
        let mut job = work.get_seen::<Job>(id, saw).await?;
        job.must_be(deed, &[JobState::Booked])?;
        job.body.state = JobState::OnTheRamp;
        let stored = work.change(id, saw, &job.body).await?;
        work.done(stored).await
    }

    /// Lets a job wait for parts; the ramp is free again.
    ///
    /// # Errors
    /// [`Error::Conflict`]; [`Error::WrongState`].
    pub async fn wait_for_parts(&self, by: &By, id: &Id, saw: i64, because: &str) -> Result<Stored<Job>> {
        let deed = "wait for parts";
        let mut work = begin!(self, by, deed, (id, saw, because));
        let mut job = work.get_seen::<Job>(id, saw).await?;
        job.must_be(deed, &[JobState::Booked, JobState::OnTheRamp])?;
        job.body.state = JobState::WaitingForParts;
        job.body.booking = None;
        because.clone_into(&mut job.body.because);
        let stored = work.change(id, saw, &job.body).await?;
        ring_those_who_wait(&mut work).await?;
        work.done(stored).await
    }

    /// Cancels a job. The ramp is free again; those who wait for a cancellation are to be rung now. Its time stays with
    /// it, for the calendar. Its enquiry stands again where it stood before the booking, unless another job of it goes on.
    ///
    /// # Errors
    /// [`Error::Conflict`]; [`Error::WrongState`] where it is over.
    pub async fn cancel_job(&self, by: &By, id: &Id, saw: i64, because: &str) -> Result<Stored<Job>> {
        let deed = "cancel job";
        let mut work = begin!(self, by, deed, (id, saw, because));
        let mut job = work.get_seen::<Job>(id, saw).await?;
        job.must_be(deed, &[JobState::Booked, JobState::OnTheRamp, JobState::WaitingForParts])?;
        job.body.state = JobState::Cancelled;
        because.clone_into(&mut job.body.because);
        let stored = work.change(id, saw, &job.body).await?;
        if let Some(quote) = &job.body.quote {
            open_again(&mut work, quote).await?;
        }
        ring_those_who_wait(&mut work).await?;
        work.done(stored).await
    }

    /// Notes that parts of a job came. When all are there and the job waited, the customer is to be rung.
    ///
    /// # Errors
    /// [`Error::Conflict`]; [`Error::Invalid`] for a part the job does not need; [`Error::WrongState`].
    pub async fn parts_arrived(&self, by: &By, id: &Id, saw: i64, parts: &[String]) -> Result<Stored<Job>> {
        let deed = "parts arrived";
        let mut work = begin!(self, by, deed, (id, saw, parts));
        let mut job = work.get_seen::<Job>(id, saw).await?;
        job.must_be(deed, &[JobState::Booked, JobState::OnTheRamp, JobState::WaitingForParts])?;
        for part in parts {
            let need = job.body.parts.iter_mut().find(|need| need.part == *part);
            let need = need.ok_or_else(|| Error::invalid("part", part, "a part this job needs"))?;
            need.arrived_ms.get_or_insert(by.at_ms);
        }
        let stored = work.change(id, saw, &job.body).await?;
        let all_there = stored.body.parts.iter().all(|need| need.arrived_ms.is_some());
        if all_there && stored.body.state == JobState::WaitingForParts {
            let reason = CallBackReason::PartsArrived { job: id.clone() };
            work.add(&CallBack::due(&stored.body.customer, reason, by.at_ms)).await?;
        }
        work.done(stored).await
    }
}

impl Stored<Job> {
    pub(crate) fn must_be(&self, deed: &'static str, states: &[JobState]) -> Result<()> {
        if states.contains(&self.body.state) {
            return Ok(());
        }
        let state = self.body.state.name().to_owned();
        Err(Error::WrongState { deed, kind: Kind::Job, id: self.id.clone(), state })
    }
}

/// Opens the enquiry of a quote again where no job of it is booked or done: as far as its quotes had brought it.
async fn open_again(work: &mut Work, quote: &Id) -> Result<()> {
    let enquiry = work.get::<Quote>(quote).await?.body.enquiry;
    for quote in ids_naming(work, Kind::Quote, Kind::Enquiry, &enquiry).await? {
        for job in ids_naming(work, Kind::Job, Kind::Quote, &quote).await? {
            if work.get::<Job>(&job).await?.body.state != JobState::Cancelled {
                return Ok(());
            }
        }
    }
    match state_by_quotes(work, &enquiry).await? {
        EnquiryState::Closed => Ok(()),
        state => set_enquiry(work, &enquiry, state).await,
    }
}

/// Refuses a start before a part is there; where nobody said when it comes, its supply tells.
async fn expect_part(work: &mut Work, need: &mut PartNeed, from_ms: i64) -> Result<()> {
    if need.arrived_ms.is_some() {
        return Ok(());
    }
    if need.expected_ms.is_none() {
        let supply = match need.part.parse::<Id>() {
            Ok(part) => work.get::<PartSupply>(&part).await.ok(),
            Err(_) => None,
        };
        if let Some(supply) = supply {
            if supply.body.in_stock >= need.quantity {
                return Ok(());
            }
            let lead_ms = supply.body.lead_days_nine_in_ten.map(|days| (days * MS_PER_DAY) as i64);
            need.expected_ms = lead_ms.map(|lead| work.by.at_ms + lead);
        }
    }
    match need.expected_ms {
        Some(expected) if expected <= from_ms => Ok(()),
        expected_ms => Err(Error::PartNotThere { part: need.part.clone(), expected_ms }),
    }
}
