//! What was read on the ramp, which collar is turned then, and the correction that is kept.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use picture::{CollarPicture, CollarTask, collars};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use store::records::{Correction, HeightsStage, Job, RampRecord, Role, Van};
use store::{Id, Kind};
use workshop::facts::{Language, Words};
use workshop::wording::{Said, fixed};

use super::form::Posted;
use super::jobs::stage_words;
use super::{Frame, page, to};
use crate::api::papers::{corrected, kept_correction};
use crate::app::App;
use crate::as_issued::{picture_of_correction, turning};
use crate::caller::{Caller, Writer};
use crate::extract::At;
use crate::problem::Handled;
use crate::secrets::secret;

/// A correction in pictures and words.
#[derive(Serialize, Deserialize, Default)]
struct Told {
    drawing: String,
    doubts: Vec<String>,
    cautions: Vec<String>,
    /// Whether collars are turned, and whether they are left; neither where nothing follows from the readings.
    turns: bool,
    leaves: bool,
}

#[derive(Template)]
#[template(path = "ramp_record.html")]
struct RecordPage {
    f: Frame,
    id: Id,
    job: Id,
    plate: String,
    stage: &'static str,
    /// The four corners of each reading.
    readings: Vec<Vec<(&'static str, String)>>,
    collars: Vec<(&'static str, String)>,
    told: Told,
    fault: String,
    before_work: bool,
    /// Whether the correction is kept already.
    kept: bool,
    may_work: bool,
    key: String,
}

/// `GET /ramp-records/{id}`: what was read, and the correction from it.
pub(crate) async fn show(State(app): State<App>, caller: Caller, f: Frame, At(id): At) -> Handled<Response> {
    let record = app.store.get::<RampRecord>(&id).await?;
    let job = app.store.get::<Job>(&record.body.job).await?.body;
    let plate = app.store.get::<Van>(&job.van).await?.body.plate;
    let (w, language) = (f.w, f.language());
    let before_work = record.body.stage == HeightsStage::AsFound;
    let kept = app.store.naming::<Correction>(Kind::RampRecord, &record.id).await?.pop();
    let (told, fault) = match &kept {
        Some(kept) => (told_of_kept(&kept.body.content, language), String::new()),
        None if before_work => (Told::default(), String::new()),
        None => match corrected(&app, &record.id, move |found| told(found, language)).await {
            Ok(found) => (serde_json::from_value(found.computed.result).unwrap_or_default(), String::new()),
            Err(problem) => (Told::default(), problem.detail(language).to_owned()),
        },
    };
    let labels = [w.front_left, w.front_right, w.rear_left, w.rear_right];
    let mm = |mm: f64| format!("{} mm", fixed(language, mm, 1));
    let four = |read: &[f64; 4]| labels.into_iter().zip(read.map(mm)).collect();
    let stood = labels.into_iter().zip(record.body.collar_mm);
    let shown = RecordPage {
        id: record.id,
        job: record.body.job,
        plate,
        stage: stage_words(w, record.body.stage),
        readings: record.body.readings_mm.iter().map(four).collect(),
        collars: stood.filter_map(|(corner, at)| Some((corner, mm(at?)))).collect(),
        told,
        fault,
        before_work,
        kept: kept.is_some(),
        may_work: caller.role != Role::Reader,
        key: secret()?,
        f,
    };
    Ok(page(StatusCode::OK, &shown))
}

fn told(correction: &workshop::correction::Correction, language: Language) -> Told {
    let picture = CollarPicture::of(correction);
    let words = |words: &Words| language.pick(&words.en, &words.de).clone();
    Told {
        turns: picture.task == CollarTask::Turn,
        leaves: picture.task == CollarTask::LeaveIt,
        drawing: collars(
            &picture,
            &picture::Frame { language, units: workshop::units::Units::Metric, name: "correction" },
        ),
        doubts: correction.doubts.iter().map(|doubt| doubt.words(language)).collect(),
        cautions: correction.cautions.iter().map(words).collect(),
    }
}

fn told_of_kept(content: &Value, language: Language) -> Told {
    let code = language.pick("en", "de");
    let list = |name: &str, words: fn(&Value) -> &Value| {
        let entries = content[name].as_array().map_or(&[][..], Vec::as_slice);
        entries.iter().filter_map(|entry| Some(words(entry)[code].as_str()?.to_owned())).collect()
    };
    let frame = picture::Frame { language, units: workshop::units::Units::Metric, name: "correction" };
    let task = turning(content).map(|(task, _)| task);
    Told {
        turns: task == Some(CollarTask::Turn),
        leaves: task == Some(CollarTask::LeaveIt),
        drawing: picture_of_correction(content).map(|drawn| collars(&drawn, &frame)).unwrap_or_default(),
        doubts: list("doubts", |entry| &entry["words"]),
        cautions: list("cautions", |entry| entry),
    }
}

/// `POST /ramp-records/{id}/correction`: done as it is told, and kept; once for each reading.
pub(crate) async fn keep(
    State(app): State<App>,
    caller: Caller,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let kept = app.store.naming::<Correction>(Kind::RampRecord, &id).await?;
    if kept.is_empty() {
        kept_correction(&app, &id, &Writer(posted.surely_keyed(by, &caller)?)).await?;
    }
    Ok(to(&format!("/ramp-records/{id}")))
}
