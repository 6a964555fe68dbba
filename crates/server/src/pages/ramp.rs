//! Heights read on the ramp, and which collar is turned then.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use picture::{CollarPicture, collars};
use serde_json::Value;
use store::records::{HeightsStage, Job, RampRecord, SetUpSheet, Settled, Van};
use store::{Id, Kind, Stored};
use workshop::belief::CORNER_WORDS;
use workshop::document::{Range, range};
use workshop::typed::{Asked, read_typed};
use workshop::wording::{Said, fixed};

use super::form::Posted;
use super::jobs::{last_sheet, stage_words};
use super::{CORNERS, Frame, id_of, or_refusal, page, to};
use crate::api::papers::corrected;
use crate::app::App;
use crate::caller::{Caller, Writer};
use crate::problem::{Handled, Problem};
use crate::secrets::{digest, secret};

const HEIGHT_MM: Range = range(100.0, 1000.0);
const STAGES: [(&str, HeightsStage); 4] = [
    ("as_found", HeightsStage::AsFound),
    ("after_fitting", HeightsStage::AfterFitting),
    ("after_correction", HeightsStage::AfterCorrection),
    ("re_check", HeightsStage::ReCheck),
];
const SETTLED: [(&str, Settled); 3] = [
    ("rolled_and_bounced", Settled::RolledAndBounced),
    ("on_turn_plates", Settled::OnTurnPlates),
    ("only_lowered", Settled::OnlyLowered),
];

/// A box for one arch.
struct HeightBox {
    name: &'static str,
    label: &'static str,
    beside: String,
    value: String,
    fault: String,
}

/// A question with one answer of few.
struct Choice {
    name: &'static str,
    label: &'static str,
    fault: &'static str,
    /// Value, words, whether it is chosen.
    answers: Vec<(&'static str, &'static str, bool)>,
}

#[derive(Template)]
#[template(path = "ramp.html")]
struct RampPage {
    f: Frame,
    job: Id,
    plate: String,
    boxes: Vec<HeightBox>,
    choices: Vec<Choice>,
    notes: String,
    key: String,
    faults: Vec<(String, String)>,
}

/// What the form is made from.
struct Seen {
    job: Stored<Job>,
    plate: String,
    sheet: Option<Stored<SetUpSheet>>,
    last: Option<Stored<RampRecord>>,
}

async fn seen(app: &App, id: &str) -> Handled<Seen> {
    let job = app.store.get::<Job>(&id_of(id)?).await?;
    let plate = app.store.get::<Van>(&job.body.van).await?.body.plate;
    let sheet = last_sheet(app, &job.id).await?;
    let last = app.store.naming::<RampRecord>(Kind::Job, &job.id).await?.pop();
    Ok(Seen { job, plate, sheet, last })
}

/// `GET /jobs/{id}/ramp`
pub(crate) async fn form(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Path(id): Path<String>,
) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    let made = async {
        let (seen, key) = (seen(&app, &id).await?, secret()?);
        Ok(page(StatusCode::OK, &shown(f, seen, &Posted::default(), key, BTreeMap::new())))
    };
    or_refusal(made.await, language)
}

fn shown(
    f: Frame,
    seen: Seen,
    typed: &Posted,
    key: String,
    faults: BTreeMap<&'static str, String>,
) -> RampPage {
    let (w, language) = (f.w, f.language());
    let labels = [w.front_left, w.front_right, w.rear_left, w.rear_right];
    let content = seen.sheet.as_ref().map_or(&Value::Null, |sheet| &sheet.body.content);
    let last = seen.last.as_ref().and_then(|last| last.body.readings_mm.last());
    let boxes = (0..4).map(|n| {
        let entries = content["on_the_ramp"].as_array().map_or(&[][..], Vec::as_slice);
        let read = entries.iter().find(|entry| entry["corner"] == CORNER_WORDS[n]);
        let part = |name: &str| Some(fixed(language, read?["arch_height_mm"][name].as_f64()?, 0));
        let expected = part("low").zip(part("high"));
        let expected = expected.map(|(low, high)| format!("{} {low}–{high} mm", w.expected));
        let last = last.map(|read| format!("{} {} mm", w.last_read, fixed(language, read[n], 1)));
        HeightBox {
            name: CORNERS[n],
            label: labels[n],
            beside: [expected, last].into_iter().flatten().collect::<Vec<_>>().join(" · "),
            value: typed.get(CORNERS[n]).to_owned(),
            fault: faults.get(CORNERS[n]).cloned().unwrap_or_default(),
        }
    });
    let yes_no = || vec![("yes", w.yes), ("no", w.no)];
    let settled = vec![
        ("rolled_and_bounced", w.rolled_and_bounced),
        ("on_turn_plates", w.on_turn_plates),
        ("only_lowered", w.only_lowered),
    ];
    let stages = STAGES.map(|(name, stage)| (name, stage_words(w, stage))).to_vec();
    let asked = [
        ("stage", w.when_read, stages),
        ("settled", w.settled, settled),
        ("bushes", w.bushes, yes_no()),
        ("load", w.load_listed, yes_no()),
    ];
    let choices = asked.map(|(name, label, answers)| Choice {
        name,
        label,
        fault: if faults.contains_key(name) { w.choose_one } else { "" },
        answers: answers.into_iter().map(|(value, words)| (value, words, typed.get(name) == value)).collect(),
    });
    RampPage {
        boxes: boxes.collect(),
        choices: choices.into(),
        job: seen.job.id,
        plate: seen.plate,
        notes: typed.get("notes").to_owned(),
        key,
        faults: faults.into_iter().map(|(name, fault)| (name.to_owned(), fault)).collect(),
        f,
    }
}

/// `POST /jobs/{id}/ramp`: kept beside all earlier readings, once for each form.
pub(crate) async fn keep(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Path(id): Path<String>,
    Writer(by): Writer,
    posted: Posted,
) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    let made = async {
        let seen = seen(&app, &id).await?;
        let key = posted.get("key").to_owned();
        match record_of(&seen, &posted, &f) {
            Ok(record) => {
                if key.is_empty() {
                    let words = (
                        "the form came without its key; open it again",
                        "das Formular kam ohne seinen Schlüssel; öffnen Sie es neu",
                    );
                    return Err(Problem::new(StatusCode::BAD_REQUEST, "form_without_key", words));
                }
                let by = by.with_key(&digest(&format!("{}\n{key}", caller.user)));
                let kept = app.store.record_heights(&by, &record).await?;
                Ok(to(&format!("/ramp-records/{}", kept.id)))
            }
            Err(faults) => Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &shown(f, seen, &posted, key, faults))),
        }
    };
    or_refusal(made.await, language)
}

fn record_of(seen: &Seen, posted: &Posted, f: &Frame) -> Result<RampRecord, BTreeMap<&'static str, String>> {
    let mut faults = BTreeMap::new();
    let heights = CORNERS.map(|name| {
        let typed = posted.get(name);
        let read = if typed.is_empty() {
            Err(f.w.height_missing.to_owned())
        } else {
            read_typed(typed, Asked::LengthMm, HEIGHT_MM).map_err(|fault| fault.words(f.language()))
        };
        read.map_or_else(
            |fault| {
                faults.insert(name, fault);
                0.0
            },
            |typed| typed.value,
        )
    });
    let stage = STAGES.iter().find(|(name, _)| *name == posted.get("stage"));
    let settled = SETTLED.iter().find(|(name, _)| *name == posted.get("settled"));
    let [bushes, load] = ["bushes", "load"].map(|name| match posted.get(name) {
        "yes" => Some(true),
        "no" => Some(false),
        _ => None,
    });
    let missing = [
        ("stage", stage.is_none()),
        ("settled", settled.is_none()),
        ("bushes", bushes.is_none()),
        ("load", load.is_none()),
    ];
    for (name, _) in missing.into_iter().filter(|(_, missing)| *missing) {
        faults.insert(name, f.w.choose_one.to_owned());
    }
    let answers = stage.zip(settled).zip(bushes.zip(load)).filter(|_| faults.is_empty());
    let (((_, stage), (_, settled)), (bushes_reclamped, load_as_listed)) = answers.ok_or(faults)?;
    let of_sheet = seen.sheet.as_ref().and_then(|sheet| sheet.body.content["kit"].as_str());
    let before = *stage == HeightsStage::AsFound;
    let set_mm = seen.sheet.as_ref().map_or([None; 4], |sheet| collars_set_mm(&sheet.body.content));
    Ok(RampRecord {
        job: seen.job.id.clone(),
        sheet: seen.sheet.as_ref().map(|sheet| sheet.id.clone()),
        stage: *stage,
        kit: of_sheet.filter(|_| !before).map(str::to_owned),
        settled: *settled,
        bushes_reclamped,
        load_as_listed,
        springs_settled: *stage == HeightsStage::ReCheck,
        // later on they stand where a correction put them, which nobody has told here
        collar_mm: if *stage == HeightsStage::AfterFitting { set_mm } else { [None; 4] },
        readings_mm: vec![heights],
        floor_rise_mm: [0.0; 4],
        corner_kg: None,
        notes: posted.get("notes").to_owned(),
    })
}

/// Where a set-up sheet sets the collars, from the datum, in corner order.
fn collars_set_mm(content: &Value) -> [Option<f64>; 4] {
    let entries = content["collars"].as_array().map_or(&[][..], Vec::as_slice);
    let of = |corner: &str| entries.iter().find(|entry| entry["corner"] == corner);
    CORNER_WORDS.map(|corner| of(corner)?["position_mm"].as_f64())
}

#[derive(Template)]
#[template(path = "ramp_record.html")]
struct RecordPage {
    f: Frame,
    job: Id,
    stage: &'static str,
    read: Vec<(&'static str, String)>,
    drawing: String,
    doubts: Vec<String>,
    cautions: Vec<String>,
    fault: String,
    before_work: bool,
}

/// `GET /ramp-records/{id}`: what was read, and the correction from it.
pub(crate) async fn show(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Path(id): Path<String>,
) -> Response {
    let f = Frame::of(&app, &headers, Some(&caller));
    let language = f.language();
    or_refusal(record_shown(&app, f, &id).await, language)
}

async fn record_shown(app: &App, f: Frame, id: &str) -> Handled<Response> {
    let kept = app.store.get::<RampRecord>(&id_of(id)?).await?;
    let (w, language) = (f.w, f.language());
    let before_work = kept.body.stage == HeightsStage::AsFound;
    let told = move |correction: &workshop::correction::Correction| {
        let frame = picture::Frame { language, name: "correction" };
        let doubts: Vec<String> = correction.doubts.iter().map(|doubt| doubt.words(language)).collect();
        let cautions: Vec<String> =
            correction.cautions.iter().map(|words| language.pick(&words.en, &words.de).clone()).collect();
        (collars(&CollarPicture::of(correction), &frame), doubts, cautions)
    };
    let content = match &kept.body.sheet {
        Some(sheet) => app.store.get::<SetUpSheet>(sheet).await?.body.content,
        None => Value::Null,
    };
    let unknown = |(set, found): (Option<f64>, Option<f64>)| set.is_some() && found.is_none();
    let (told, fault) = if before_work {
        (Value::Null, String::new())
    } else if collars_set_mm(&content).into_iter().zip(kept.body.collar_mm).any(unknown) {
        // taken as delivered, the turns would be wrong
        (Value::Null, w.collars_unknown.to_owned())
    } else {
        match corrected(app, &kept.id, told).await {
            Ok(found) => (found.computed.result, String::new()),
            Err(problem) => (Value::Null, problem.detail(language).to_owned()),
        }
    };
    let (drawing, doubts, cautions): (String, Vec<String>, Vec<String>) =
        serde_json::from_value(told).unwrap_or_default();
    let labels = [w.front_left, w.front_right, w.rear_left, w.rear_right];
    let read = kept.body.readings_mm.iter().flat_map(|read| labels.into_iter().zip(read));
    let shown = RecordPage {
        job: kept.body.job,
        stage: stage_words(w, kept.body.stage),
        read: read.map(|(corner, mm)| (corner, format!("{} mm", fixed(language, *mm, 1)))).collect(),
        drawing,
        doubts,
        cautions,
        fault,
        before_work,
        f,
    };
    Ok(page(StatusCode::OK, &shown))
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn regress_collars_stand_where_the_sheet_sets_them_not_as_delivered() {
        let content = json!({ "collars": [{ "corner": CORNER_WORDS[2], "position_mm": 12.5 }] });
        assert_eq!(collars_set_mm(&content), [None, None, Some(12.5), None]);
        assert_eq!(collars_set_mm(&Value::Null), [None; 4]);
    }
}
