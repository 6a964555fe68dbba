//! The set-up sheet of a job as it was issued, for the tablet on the bench.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use picture::collars;
use serde_json::Value;
use store::Id;
use store::records::{Job, JobState, Role, Van};
use workshop::facts::Language;
use workshop::load_list::LoadState;
use workshop::wording::{corner, fixed, load_state};

use super::jobs::{kit_name, last_sheet};
use super::{Frame, page};
use crate::app::App;
use crate::as_issued::{figure, of_corner, picture_of_sheet};
use crate::caller::Caller;
use crate::extract::At;
use crate::problem::{Handled, Problem};

/// One corner in figures.
struct CornerRow {
    corner: &'static str,
    /// From the datum, and how it is turned.
    collar: Option<(String, String)>,
    /// Arch height and its range.
    to_be_read: Option<(String, String)>,
    /// Between which heights friction lets it rest.
    rests: Option<String>,
}

/// From where the collars of an axle are measured, and what a turn does.
struct CollarNote {
    axle: &'static str,
    datum: String,
    figures: String,
}

#[derive(Template)]
#[template(path = "set_up_sheet.html")]
struct SheetPage {
    f: Frame,
    job: Id,
    plate: String,
    revision: i64,
    kit: String,
    aim: String,
    drawing: String,
    rows: Vec<CornerRow>,
    notes: Vec<CollarNote>,
    /// What is set beside the collars, what holds them back, what an axle misses, how it leans.
    told: Vec<String>,
    cautions: Vec<String>,
    may_work: bool,
}

/// `GET /jobs/{id}/set-up-sheet`
pub(crate) async fn show(State(app): State<App>, caller: Caller, f: Frame, At(id): At) -> Handled<Response> {
    let job = app.store.get::<Job>(&id).await?;
    let plate = app.store.get::<Van>(&job.body.van).await?.body.plate;
    let sheet = last_sheet(&app, &job.id).await?.ok_or_else(|| {
        let words = (
            "no set-up sheet was issued for this job",
            "für diesen Auftrag wurde kein Einstellblatt ausgegeben",
        );
        Problem::not_found(words)
    })?;
    let (content, language) = (&sheet.body.content, f.language());
    let drawn = picture_of_sheet(content);
    let is_open = !matches!(job.body.state, JobState::HandedOver | JobState::Cancelled);
    let shown = SheetPage {
        job: job.id,
        plate,
        revision: sheet.body.revision,
        kit: kit_name(&app.catalogue().await?.catalogue, &drawn.kit),
        aim: aim(content, language),
        rows: (0..4).map(|n| row(content, n, drawn.corners[n].turn, language)).collect(),
        drawing: collars(&drawn, &picture::Frame { language, units: f.reads.units, name: "sheet" }),
        notes: [0, 2].into_iter().filter_map(|n| note(content, n, &f)).collect(),
        told: ["other_settings", "air", "limits", "misses"]
            .into_iter()
            .flat_map(|list| words_of(&content[list], language))
            .chain(words_of(&content["lean"]["explanation"], language))
            .collect(),
        cautions: words_of(&content["cautions"], language),
        may_work: caller.role != Role::Reader && is_open,
        f,
    };
    Ok(page(StatusCode::OK, &shown))
}

fn row(content: &Value, n: usize, turn: Option<picture::Turn>, language: Language) -> CornerRow {
    let reading = of_corner(content, "on_the_ramp", n);
    let whole = |mm: f64| fixed(language, mm, 0);
    let end = |name: &str| reading[name].as_f64().map(whole);
    let read = figure(&reading["arch_height_mm"]);
    CornerRow {
        corner: corner(language, n),
        collar: turn.map(|turn| {
            (format!("{} mm", fixed(language, turn.position_mm, 1)), picture::turn_words(language, &turn))
        }),
        to_be_read: read.map(|read| {
            (format!("{} mm", whole(read.value)), format!("{}–{} mm", whole(read.low), whole(read.high)))
        }),
        rests: end("lowest_rest_mm")
            .zip(end("highest_rest_mm"))
            .map(|(low, high)| format!("{low}–{high} mm")),
    }
}

/// Of the axle whose left corner this is.
fn note(content: &Value, n: usize, f: &Frame) -> Option<CollarNote> {
    let (collar, language) = (of_corner(content, "collars", n), f.language());
    let mm = |value: &Value, decimals| Some(format!("{} mm", fixed(language, value.as_f64()?, decimals)));
    let range = collar["range_mm"][0].as_f64().zip(collar["range_mm"][1].as_f64());
    let range = range.map(|(low, high)| {
        format!("{} {}–{} mm", f.w.usable, fixed(language, low, 0), fixed(language, high, 0))
    });
    let pitch = mm(&collar["thread_pitch_mm"], 2).map(|mm| format!("{} {mm}", f.w.thread_pitch));
    let arch = mm(&collar["arch_mm_per_turn"], 1).map(|mm| format!("{} {mm}", f.w.arch_per_turn));
    Some(CollarNote {
        axle: if n < 2 { language.pick("Front", "Vorn") } else { language.pick("Rear", "Hinten") },
        datum: collar["datum"].as_str()?.to_owned(),
        figures: [range, pitch, arch].into_iter().flatten().collect::<Vec<_>>().join(" · "),
    })
}

/// The load state that is aimed at, and the height of both axles in it.
fn aim(content: &Value, language: Language) -> String {
    let named =
        |state: &str| LoadState::CHOICES.iter().find(|(name, _)| *name == state).map(|(_, state)| *state);
    let state = content["aim_state"].as_str().and_then(named);
    let height = |n: usize| content["aim_arch_height_mm"][n].as_f64().map(|mm| fixed(language, mm, 0));
    let heights = height(0).zip(height(1)).map(|(front, rear)| {
        language
            .pick(format!("front {front} mm, rear {rear} mm"), format!("vorn {front} mm, hinten {rear} mm"))
    });
    let state = state.map(|state| load_state(language, state).to_owned());
    [state, heights].into_iter().flatten().collect::<Vec<_>>().join(": ")
}

/// The words of each entry of a kept list, in a language.
fn words_of(list: &Value, language: Language) -> Vec<String> {
    let code = language.pick("en", "de");
    let entries = list.as_array().map_or(&[][..], Vec::as_slice);
    let words =
        |entry: &Value| entry["words"][code].as_str().or_else(|| entry[code].as_str()).map(str::to_owned);
    entries.iter().filter_map(words).collect()
}
