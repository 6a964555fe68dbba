//! Papers of a job: set-up sheets, readings, corrections, the handover.

use serde_json::Value;

use super::answers::enquiry_of;
use crate::by::By;
use crate::database::Store;
use crate::error::{Error, Result};
use crate::records::{
    AsFound, CallBack, CallBackReason, Correction, Handover, HeightsStage, Id, Job, JobState, Kind,
    RampRecord, SetUpSheet, Stored, Van,
};
use crate::work::{Work, begin};

impl Store {
    /// Issues a set-up sheet of a job: the next revision, which supersedes the one before.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::WrongState`] where the job is over.
    pub async fn issue_sheet(
        &self,
        by: &By,
        job: &Id,
        answer: &Id,
        content: &Value,
    ) -> Result<Stored<SetUpSheet>> {
        let deed = "issue set-up sheet";
        let mut work = begin!(self, by, deed, (job, answer, content));
        not_over(&mut work, deed, job).await?;
        enquiry_of(&mut work, answer).await?;
        let earlier = ids_naming(&mut work, Kind::SetUpSheet, Kind::Job, job).await?;
        let mut latest: Option<Stored<SetUpSheet>> = None;
        for id in &earlier {
            let sheet = work.get::<SetUpSheet>(id).await?;
            if latest.as_ref().is_none_or(|latest| latest.body.revision < sheet.body.revision) {
                latest = Some(sheet);
            }
        }
        let sheet = SetUpSheet {
            job: job.clone(),
            answer: answer.clone(),
            revision: latest.as_ref().map_or(0, |sheet| sheet.body.revision) + 1,
            supersedes: latest.map(|sheet| sheet.id),
            content: content.clone(),
        };
        let stored = work.add(&sheet).await?;
        work.done(stored).await
    }

    /// Keeps what was read on the ramp, beside all earlier readings. Heights as found are kept with the van too.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::Invalid`] for heights that cannot be.
    pub async fn record_heights(&self, by: &By, record: &RampRecord) -> Result<Stored<RampRecord>> {
        let mut work = begin!(self, by, "record heights", record);
        let stored = work.add(record).await?;
        if record.stage == HeightsStage::AsFound {
            let job = work.get::<Job>(&record.job).await?.body;
            let mut van = work.get::<Van>(&job.van).await?;
            let found = |&arch_mm: &[f64; 4]| AsFound { at_ms: by.at_ms, arch_mm, settled: record.settled };
            van.body.as_found.extend(record.readings_mm.iter().map(found));
            if !record.readings_mm.is_empty() {
                work.change(&van.id, van.version, &van.body).await?;
            }
        }
        work.done(stored).await
    }

    /// Keeps a correction as shown to the fitter.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::Invalid`] where the reading belongs to another job.
    pub async fn record_correction(&self, by: &By, correction: &Correction) -> Result<Stored<Correction>> {
        let mut work = begin!(self, by, "record correction", correction);
        let reading = work.get::<RampRecord>(&correction.ramp_record).await?;
        if reading.body.job != correction.job {
            return Err(Error::invalid("ramp_record", reading.id.as_str(), "a reading of the same job"));
        }
        let stored = work.add(correction).await?;
        work.done(stored).await
    }

    /// Hands the van over: the job is done, the ramp free; re-torque and re-check go on the list of calls.
    ///
    /// # Errors
    /// [`Error::Conflict`] where the job was changed since; [`Error::WrongState`] where it is not on the ramp.
    pub async fn hand_over(&self, by: &By, saw_job: i64, handover: &Handover) -> Result<Stored<Handover>> {
        let deed = "hand over";
        let mut work = begin!(self, by, deed, (saw_job, handover));
        let mut job = work.get_seen::<Job>(&handover.job, saw_job).await?;
        job.must_be(deed, &[JobState::OnTheRamp])?;
        job.body.state = JobState::HandedOver;
        work.change(&job.id, saw_job, &job.body).await?;
        let stored = work.add(handover).await?;
        let due = [
            (handover.retorque_due_ms, CallBackReason::RetorqueDue { job: job.id.clone() }),
            (handover.recheck_due_ms, CallBackReason::RecheckDue { job: job.id.clone() }),
        ];
        for (due_ms, reason) in due {
            if let Some(due_ms) = due_ms {
                work.add(&CallBack::due(&job.body.customer, reason, due_ms)).await?;
            }
        }
        work.done(stored).await
    }
}

async fn not_over(work: &mut Work, deed: &'static str, job: &Id) -> Result<()> {
    let open = [JobState::Booked, JobState::OnTheRamp, JobState::WaitingForParts];
    work.get::<Job>(job).await?.must_be(deed, &open)
}

/// Ids of records of one kind that name a record, in order.
pub(crate) async fn ids_naming(work: &mut Work, kind: Kind, to_kind: Kind, to: &Id) -> Result<Vec<Id>> {
    let rows: Vec<(String,)> = sqlx::query_as(
        "SELECT l.id FROM links l JOIN records r ON r.kind = l.kind AND r.id = l.id
         WHERE l.to_kind = $1 AND l.to_id = $2 AND l.kind = $3 AND r.gone = 0 ORDER BY l.id",
    )
    .bind(to_kind.name())
    .bind(to.as_str())
    .bind(kind.name())
    .fetch_all(work.connection())
    .await?;
    rows.into_iter().map(|(id,)| id.parse()).collect()
}
