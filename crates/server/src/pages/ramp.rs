//! The form for heights read on the ramp, and where the collars stand then.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use serde_json::Value;
use store::records::{Correction, HeightsStage, Job, RampRecord, SetUpSheet, Settled, Van};
use store::{Id, Kind, Stored};
use workshop::document::{Range, range};
use workshop::typed::{Asked, read_typed_in};
use workshop::wording::{Said, fixed};

use super::form::Posted;
use super::jobs::{last_sheet, stage_words};
use super::{CORNERS, Frame, page, to};
use crate::app::App;
use crate::as_issued::{SheetCollar, corrected_mm, figure, of_corner, sheet_collars, turning};
use crate::caller::{Caller, Writer};
use crate::extract::At;
use crate::problem::Handled;
use crate::secrets::secret;

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

/// Names of the boxes of collars, in corner order.
const COLLARS: [&str; 4] =
    ["collar-front_left", "collar-front_right", "collar-rear_left", "collar-rear_right"];
/// A collar may stand where it should not, so more is read than its thread is meant for, mm beyond either end.
const BEYOND_THREAD_MM: f64 = 15.0;
/// Positions of a collar whose range the sheet does not tell.
const COLLAR_MM: Range = range(-300.0, 300.0);
const TURNS: Range = range(-100.0, 100.0);

/// A box for one corner.
struct CornerBox {
    name: &'static str,
    label: &'static str,
    beside: String,
    value: String,
    /// What stood in the box when the page was made.
    was: String,
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
    /// Readings there are: typing for one of them is not for the next.
    version: String,
    plate: String,
    boxes: Vec<CornerBox>,
    /// Where the collars stand; none where the sheet sets none.
    collars: Vec<CornerBox>,
    in_turns: bool,
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
    /// Kept from the last reading.
    correction: Option<Value>,
}

async fn seen(app: &App, id: &Id) -> Handled<Seen> {
    let job = app.store.get::<Job>(id).await?;
    let plate = app.store.get::<Van>(&job.body.van).await?.body.plate;
    let sheet = last_sheet(app, &job.id).await?;
    let last = app.store.naming::<RampRecord>(Kind::Job, &job.id).await?.pop();
    let correction = match &last {
        Some(last) => app.store.naming::<Correction>(Kind::RampRecord, &last.id).await?.pop(),
        None => None,
    };
    Ok(Seen { job, plate, sheet, last, correction: correction.map(|kept| kept.body.content) })
}

impl Seen {
    fn content(&self) -> &Value {
        self.sheet.as_ref().map_or(&Value::Null, |sheet| &sheet.body.content)
    }

    /// The last reading with the kit in, worked from the sheet that holds now.
    fn fitted(&self) -> Option<&RampRecord> {
        let last = self.last.as_ref().map(|last| &last.body)?;
        let same = last.sheet.as_ref() == self.sheet.as_ref().map(|sheet| &sheet.id);
        (same && last.stage != HeightsStage::AsFound).then_some(last)
    }

    /// Where the collars are known to stand, mm: as the sheet sets them until they were read, then as a correction that
    /// was kept put them. Whether anybody turned them after a reading without one, nobody has told.
    fn known_mm(&self) -> [Option<f64>; 4] {
        match (self.fitted(), &self.correction) {
            (None, _) => sheet_collars(self.content()).map(|collar| Some(collar?.position_mm)),
            (Some(_), Some(correction)) if turning(correction).is_some() => corrected_mm(correction),
            (Some(_), _) => [None; 4],
        }
    }

    /// What is told beside a collar's box.
    fn beside_collar(&self, corner: usize, collar: &SheetCollar, f: &Frame) -> String {
        let mm = |value: f64| format!("{} mm", fixed(f.language(), value, 1));
        let read = self.fitted().and_then(|last| last.collar_mm[corner]);
        [
            Some(format!("{} {}", f.w.sheet_sets, mm(collar.position_mm))),
            read.map(|read| format!("{} {}", f.w.last_read, mm(read))),
        ]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" · ")
    }
}

/// `GET /jobs/{id}/ramp`
pub(crate) async fn form(State(app): State<App>, f: Frame, At(id): At) -> Handled<Response> {
    let (seen, key) = (seen(&app, &id).await?, secret()?);
    Ok(page(StatusCode::OK, &shown(f, seen, &Posted::default(), key, BTreeMap::new())))
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
    let last = seen.last.as_ref().and_then(|last| last.body.readings_mm.last());
    let then = seen.correction.as_ref().and_then(turning).map(|(_, turning)| turning);
    let boxes = (0..4).map(|n| {
        let read = match then {
            Some(then) => &of_corner(then, "corners", n)["expected_arch_height_mm"],
            None => &of_corner(seen.content(), "on_the_ramp", n)["arch_height_mm"],
        };
        let whole = |value: f64| fixed(language, value, 0);
        let expected = figure(read).map(|f| format!("{} {}–{} mm", w.expected, whole(f.low), whole(f.high)));
        let last = last.map(|read| format!("{} {} mm", w.last_read, fixed(language, read[n], 1)));
        CornerBox {
            name: CORNERS[n],
            label: labels[n],
            beside: [expected, last].into_iter().flatten().collect::<Vec<_>>().join(" · "),
            value: typed.get(CORNERS[n]).to_owned(),
            was: String::new(),
            fault: faults.get(CORNERS[n]).cloned().unwrap_or_default(),
        }
    });
    let (known, first_look) = (known_boxes(&seen, &f), typed.is_empty());
    let collars = sheet_collars(seen.content()).into_iter().enumerate().filter_map(|(n, collar)| {
        let (collar, name) = (collar?, COLLARS[n]);
        Some(CornerBox {
            name,
            label: labels[n],
            beside: seen.beside_collar(n, &collar, &f),
            value: if first_look { known[n].clone() } else { typed.get(name).to_owned() },
            was: known[n].clone(),
            fault: faults.get(name).cloned().unwrap_or_default(),
        })
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
        collars: collars.collect(),
        in_turns: typed.get("collars_as") == "turns",
        choices: choices.into(),
        version: seen.last.as_ref().map(|last| last.id.to_string()).unwrap_or_default(),
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
    f: Frame,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let seen = seen(&app, &id).await?;
    let f = Frame { reads: f.boxes_of(&posted), ..f };
    let key = posted.get("key").to_owned();
    match record_of(&seen, &posted, &f) {
        Ok(record) => {
            let by = posted.surely_keyed(by, &caller)?;
            let kept = app.store.record_heights(&by, &record).await?;
            Ok(to(&format!("/ramp-records/{}", kept.id)))
        }
        Err(faults) => Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &shown(f, seen, &posted, key, faults))),
    }
}

fn record_of(seen: &Seen, posted: &Posted, f: &Frame) -> Result<RampRecord, BTreeMap<&'static str, String>> {
    let mut faults = BTreeMap::new();
    let heights = CORNERS.map(|name| {
        let typed = posted.get(name);
        let read = if typed.is_empty() {
            Err(f.w.height_missing.to_owned())
        } else {
            read_typed_in(typed, Asked::LengthMm, HEIGHT_MM, f.reads.units)
                .map_err(|fault| fault.words(f.language()))
        };
        read.map_or_else(
            |fault| {
                faults.insert(name, fault);
                0.0
            },
            |typed| typed.value,
        )
    });
    let collar_mm = collars_of(seen, posted, f, &mut faults);
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
    Ok(RampRecord {
        job: seen.job.id.clone(),
        sheet: seen.sheet.as_ref().map(|sheet| sheet.id.clone()),
        stage: *stage,
        kit: of_sheet.filter(|_| !before).map(str::to_owned),
        settled: *settled,
        bushes_reclamped,
        load_as_listed,
        springs_settled: *stage == HeightsStage::ReCheck,
        collar_mm: if before { [None; 4] } else { collar_mm },
        readings_mm: vec![heights],
        floor_rise_mm: [0.0; 4],
        corner_kg: None,
        notes: posted.get("notes").to_owned(),
    })
}

/// What stands in the boxes of collars before anything is typed.
fn known_boxes(seen: &Seen, f: &Frame) -> [String; 4] {
    seen.known_mm().map(|mm| mm.map(|mm| f.reads.boxed(mm, Asked::LengthMm)).unwrap_or_default())
}

/// Where the collars stand as typed, mm from the datum; an empty box is not known.
fn collars_of(
    seen: &Seen,
    posted: &Posted,
    f: &Frame,
    faults: &mut BTreeMap<&'static str, String>,
) -> [Option<f64>; 4] {
    let (known, known_boxes) = (seen.known_mm(), known_boxes(seen, f));
    let collars = sheet_collars(seen.content());
    std::array::from_fn(|n| {
        let (collar, typed) = (collars[n]?, posted.get(COLLARS[n]));
        if typed.is_empty() {
            return None;
        }
        if typed == known_boxes[n] && posted.get(&format!("was-{}", COLLARS[n])) == typed {
            return known[n];
        }
        let read = collar_read(&collar, typed, posted.get("collars_as") == "turns", f);
        read.map_err(|fault| faults.insert(COLLARS[n], fault)).ok()
    })
}

fn collar_read(collar: &SheetCollar, typed: &str, in_turns: bool, f: &Frame) -> Result<f64, String> {
    let within = collar
        .range_mm
        .map_or(COLLAR_MM, |[low, high]| range(low - BEYOND_THREAD_MM, high + BEYOND_THREAD_MM));
    let read = |text: &str, asked, range| {
        read_typed_in(text, asked, range, f.reads.units)
            .map(|typed| typed.value)
            .map_err(|fault| fault.words(f.language()))
    };
    if !in_turns {
        return read(typed, Asked::LengthMm, within);
    }
    let turns = read(typed, Asked::Number, TURNS)?;
    let at_mm = collar.after_turns_mm(turns).ok_or_else(|| f.w.turns_not_told.to_owned())?;
    // the same words as for millimetres out of range
    read(&format!("{at_mm} mm"), Asked::LengthMm, within)
}
