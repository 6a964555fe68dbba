//! What is to be done next about a job or an enquiry.

use store::records::{Correction, HeightsStage, Job, JobState, RampRecord};
use store::{EnquiryStage, Id, Kind, Stored};

use super::jobs::last_sheet;
use super::words::PageWords;
use crate::app::App;
use crate::as_issued::turning;
use crate::problem::Handled;

/// A step in words, and the page it is done on.
pub(super) struct Step {
    pub(super) words: String,
    pub(super) href: String,
}

fn step(words: &str, href: String) -> Step {
    Step { words: words.to_owned(), href }
}

/// The next step of a job.
pub(super) async fn of_job(app: &App, job: &Stored<Job>, w: &PageWords) -> Handled<Step> {
    let at_job = format!("/jobs/{}", job.id);
    Ok(match job.body.state {
        JobState::Booked => step(w.step_start, at_job),
        JobState::WaitingForParts => step(w.step_parts, at_job),
        JobState::OnTheRamp => on_the_ramp(app, &job.id, w).await?,
        JobState::HandedOver => step(w.handed_over, at_job),
        JobState::Cancelled => step(w.cancelled, at_job),
    })
}

async fn on_the_ramp(app: &App, job: &Id, w: &PageWords) -> Handled<Step> {
    let (at_job, read) = (format!("/jobs/{job}"), format!("/jobs/{job}/ramp"));
    let Some(last) = app.store.naming::<RampRecord>(Kind::Job, job).await?.pop() else {
        return Ok(step(w.step_read_found, read));
    };
    if last.body.stage == HeightsStage::AsFound {
        let has_sheet = last_sheet(app, job).await?.is_some();
        return Ok(step(w.step_fit, if has_sheet { format!("{at_job}/set-up-sheet") } else { read }));
    }
    let kept = app.store.naming::<Correction>(Kind::RampRecord, &last.id).await?.pop();
    let turns = kept.as_ref().and_then(|kept| turning(&kept.body.content)).map(|(task, _)| task);
    Ok(match turns {
        None => step(w.step_correct, format!("/ramp-records/{}", last.id)),
        Some(picture::CollarTask::Turn) => step(w.step_read_again, read),
        Some(_) => step(w.step_hand_over, at_job),
    })
}

/// The next step of an enquiry; none where it is over, or went on as a job.
pub(super) async fn of_enquiry(app: &App, enquiry: &Id, w: &PageWords) -> Handled<Option<Step>> {
    let at_enquiry = format!("/enquiries/{enquiry}");
    Ok(match app.store.enquiry_stage(enquiry).await? {
        EnquiryStage::Open => Some(step(w.step_answer, at_enquiry)),
        EnquiryStage::Answered => Some(step(w.step_decide, at_enquiry)),
        EnquiryStage::Accepted => Some(step(w.step_book, format!("{at_enquiry}/book"))),
        EnquiryStage::Closed => None,
    })
}
