//! The form by which another workshop sends back the heights of a kit that was sold by post.

use std::collections::BTreeMap;

use askama::Template;
use axum::Form;
use axum::extract::{FromRequest, Path, State};
use axum::http::{Request, StatusCode};
use axum::response::Response;
use store::records::{PostalHeights, PostalSale, Settled};
use store::{By, Kind, Stored};
use workshop::document::{Range, range};
use workshop::typed::{Asked, read_typed_in};
use workshop::units::Units;
use workshop::wording::{Manner, Said, shortly};

use super::jobs::kit_name;
use super::{CORNERS, Frame, page, refusal};
use crate::app::App;
use crate::caller::{INCHES, METRIC};
use crate::problem::{Handled, Problem};
use crate::secrets::{self, digest};
use crate::sign_in::Tries;

/// Times a form is taken: a workshop reads again after a correction, and nobody fills the memory.
const MOST_SENDINGS: usize = 20;
const LONGEST_NAME: usize = 200;
const LONGEST_NOTES: usize = 4000;
/// Heights that an arch can have, mm, and places that a collar can have, mm.
const HEIGHT_MM: Range = range(100.0, 1000.0);
const COLLAR_MM: Range = range(-500.0, 500.0);

/// What was typed, by the names of the fields.
type Typed = BTreeMap<String, String>;

/// One field.
struct Cell {
    id: String,
    label: &'static str,
    value: String,
    fault: String,
    understood: String,
}

/// The four corners of one reading.
struct Row {
    title: &'static str,
    hint: &'static str,
    cells: Vec<Cell>,
}

#[derive(Template)]
#[template(path = "postal.html")]
struct PostalPage {
    f: Frame,
    kit: String,
    /// Value, words, and whether it is chosen.
    units: [(&'static str, &'static str, bool); 2],
    rows: Vec<Row>,
    workshop: Cell,
    settled: String,
    settled_fault: String,
    notes: Cell,
    key: String,
    fault: String,
}

#[derive(Template)]
#[template(path = "postal_thanks.html")]
struct Thanks {
    f: Frame,
    heights: Vec<(&'static str, String)>,
}

/// `GET /postal/{code}`
pub(crate) async fn form(
    State(app): State<App>,
    Path(code): Path<String>,
    request: Request<axum::body::Body>,
) -> Response {
    let f = Frame::of(&app, request.headers(), None);
    let address = crate::guard::address(request.extensions());
    let found = match sale_of(&app, &address, &code).await {
        Ok(sale) => secrets::secret().map(|key| (sale, key)),
        Err(problem) => Err(problem),
    };
    match found {
        Ok((sale, key)) => {
            let typed = Typed::from([("key".to_owned(), key)]);
            page(StatusCode::OK, &shown(f, &sale, &typed, &BTreeMap::new(), String::new()))
        }
        Err(problem) => refusal(&problem, f.language()),
    }
}

/// `POST /postal/{code}`
pub(crate) async fn send(
    State(app): State<App>,
    Path(code): Path<String>,
    request: Request<axum::body::Body>,
) -> Response {
    let f = Frame::of(&app, request.headers(), None);
    let language = f.language();
    let address = crate::guard::address(request.extensions());
    let sale = match sale_of(&app, &address, &code).await {
        Ok(sale) => sale,
        Err(problem) => return refusal(&problem, language),
    };
    let typed = match <Form<Typed> as FromRequest<App>>::from_request(request, &app).await {
        Ok(Form(typed)) => typed,
        Err(rejected) => {
            let words = ("the form could not be read", "das Formular konnte nicht gelesen werden");
            return refusal(&Problem::new(rejected.status(), "refused", words), language);
        }
    };
    match heights_of(&sale, &typed, &f) {
        Ok(heights) => match receive(&app, &address, &code, &typed, &heights).await {
            Ok(kept) => page(StatusCode::OK, &thanks(f, &typed, &kept.body)),
            Err(problem) => {
                let words = problem.detail(language).to_owned();
                page(problem.status(), &shown(f, &sale, &typed, &BTreeMap::new(), words))
            }
        },
        Err(faults) => {
            let words = f.w.see_below.to_owned();
            page(StatusCode::UNPROCESSABLE_ENTITY, &shown(f, &sale, &typed, &faults, words))
        }
    }
}

/// The sale a link belongs to, its kit by name. Wrong links are counted like wrong passphrases.
async fn sale_of(app: &App, address: &str, code: &str) -> Handled<Stored<PostalSale>> {
    let tries = Tries::allowed(app, "(postal)", address).await?;
    match app.store.sale_of_code(&digest(code), app.now_ms()).await {
        Ok(mut sale) => {
            if let Ok(read) = app.catalogue().await {
                sale.body.kit = kit_name(&read.catalogue, &sale.body.kit);
            }
            Ok(sale)
        }
        Err(store::Error::Invalid { .. } | store::Error::NotFound { .. }) => {
            tries.failed().await?;
            Err(Problem::not_found((
                "there is no form at this address; the link is wrong or has ended",
                "unter dieser Adresse ist kein Formular; der Link ist falsch oder abgelaufen",
            )))
        }
        Err(e) => Err(e.into()),
    }
}

/// Keeps what came, once for each form that was filled in.
async fn receive(
    app: &App,
    address: &str,
    code: &str,
    typed: &Typed,
    heights: &PostalHeights,
) -> Handled<Stored<PostalHeights>> {
    let key = typed.get("key").filter(|key| !key.is_empty() && key.len() <= 200).ok_or_else(|| {
        let words = (
            "the form came without its key; open the link again",
            "das Formular kam ohne seinen Schlüssel; öffnen Sie den Link noch einmal",
        );
        Problem::new(StatusCode::BAD_REQUEST, "idempotency_key_missing", words)
    })?;
    let code = digest(code);
    let key = digest(&format!("{code}\n{key}"));
    let _held = app.hold_key(&key).ok_or_else(Problem::still_running)?;
    let _in_line = app.in_line(&format!("(postal) {}", heights.sale)).await;
    let by = By::new("(postal)", address, app.now_ms()).with_key(&key);
    let before = app.store.naming::<PostalHeights>(Kind::PostalSale, &heights.sale).await?;
    let is_known = before.iter().any(|kept| kept.body == *heights);
    if before.len() >= MOST_SENDINGS && !is_known {
        let words = (
            "this form was sent often enough; please ring the workshop that sold the kit",
            "dieses Formular wurde oft genug gesandt; bitte rufen Sie die Werkstatt an, die den Satz verkauft hat",
        );
        return Err(Problem::new(StatusCode::TOO_MANY_REQUESTS, "sent_often", words));
    }
    match app.store.receive_postal_heights(&by, &code, heights).await {
        Err(store::Error::KeyUsedOtherwise { .. }) => {
            let words = (
                "this form was sent before with other values; open the link again to send more",
                "dieses Formular wurde schon mit anderen Werten gesandt; öffnen Sie den Link noch einmal für weitere",
            );
            Err(Problem::new(StatusCode::UNPROCESSABLE_ENTITY, "key_used_otherwise", words))
        }
        other => Ok(other?),
    }
}

fn text<'a>(typed: &'a Typed, name: &str) -> &'a str {
    typed.get(name).map_or("", |text| text.trim())
}

/// How the numbers of a form are read: in the units that it says they were measured in.
fn manner_of(f: &Frame, typed: &Typed) -> Manner {
    f.boxes_in(text(typed, "units"))
}

/// A length as people write it; none where nothing was written.
fn length(typed: &Typed, name: &str, range: Range, manner: Manner) -> Result<Option<f64>, String> {
    let written = text(typed, name);
    if written.is_empty() {
        return Ok(None);
    }
    let read = read_typed_in(written, Asked::LengthMm, range, manner.units);
    read.map(|read| Some(read.value)).map_err(|fault| manner.sentence(&fault.words(manner.language)))
}

/// Faults by the names of their fields.
type Faults = BTreeMap<String, String>;

fn heights_of(sale: &Stored<PostalSale>, typed: &Typed, f: &Frame) -> Result<PostalHeights, Faults> {
    let (w, manner) = (f.w, manner_of(f, typed));
    let mut faults = Faults::new();
    let mut four = |row: &str, range| {
        CORNERS.map(|corner| {
            let name = format!("{row}_{corner}");
            length(typed, &name, range, manner).unwrap_or_else(|fault| {
                faults.insert(name, fault);
                None
            })
        })
    };
    let mut readings: [[Option<f64>; 4]; 3] = ["before", "after", "again"].map(|row| four(row, HEIGHT_MM));
    let collar_mm = four("collar", COLLAR_MM);
    for (row, corners) in ["before", "after", "again"].into_iter().zip(&mut readings) {
        let is_begun = CORNERS.iter().any(|corner| !text(typed, &format!("{row}_{corner}")).is_empty());
        for (corner, read) in CORNERS.iter().zip(corners) {
            if read.is_none() && (row == "after" || is_begun) {
                faults.entry(format!("{row}_{corner}")).or_insert_with(|| w.height_missing.to_owned());
            }
        }
    }
    let settled = match text(typed, "settled") {
        "rolled_and_bounced" => Some(Settled::RolledAndBounced),
        "on_turn_plates" => Some(Settled::OnTurnPlates),
        "only_lowered" => Some(Settled::OnlyLowered),
        _ => None,
    };
    for (name, longest, shortest) in [("workshop", LONGEST_NAME, 1), ("notes", LONGEST_NOTES, 0)] {
        let written = text(typed, name);
        let length = written.chars().count();
        if !(shortest..=longest).contains(&length) || written.contains('\0') {
            let fault = if length == 0 { w.name_missing } else { w.text_wrong };
            faults.insert(name.to_owned(), fault.to_owned());
        }
    }
    let Some(settled) = settled else {
        faults.insert("settled".to_owned(), w.settled_missing.to_owned());
        return Err(faults);
    };
    if !faults.is_empty() {
        return Err(faults);
    }
    let whole = |[a, b, c, d]: [Option<f64>; 4]| Some([a?, b?, c?, d?]);
    let [before, after, again] = readings;
    Ok(PostalHeights {
        sale: sale.id.clone(),
        workshop: text(typed, "workshop").to_owned(),
        before_mm: whole(before),
        after_mm: [after, again].into_iter().filter_map(whole).collect(),
        collar_mm,
        settled,
        notes: text(typed, "notes").to_owned(),
    })
}

fn shown(f: Frame, sale: &Stored<PostalSale>, typed: &Typed, faults: &Faults, fault: String) -> PostalPage {
    let (w, manner) = (f.w, manner_of(&f, typed));
    let is_metric = manner.units == Units::Metric;
    let corners = [w.front_left, w.front_right, w.rear_left, w.rear_right];
    let cell = |id: &str, label| Cell {
        id: id.to_owned(),
        label,
        value: typed.get(id).cloned().unwrap_or_default(),
        fault: faults.get(id).cloned().unwrap_or_default(),
        understood: String::new(),
    };
    let measured = |id: &str, label, range| {
        let read = read_typed_in(text(typed, id), Asked::LengthMm, range, manner.units);
        let told = read.ok().filter(|read| read.converted);
        let understood = told.map(|read| manner.understood(read, Asked::LengthMm)).unwrap_or_default();
        Cell { understood, ..cell(id, label) }
    };
    let row = |name: &str, title, hint, range| Row {
        title,
        hint,
        cells: CORNERS
            .iter()
            .zip(corners)
            .map(|(corner, label)| measured(&format!("{name}_{corner}"), label, range))
            .collect(),
    };
    PostalPage {
        kit: sale.body.kit.clone(),
        units: [(METRIC, w.millimetres, is_metric), (INCHES, w.inches, !is_metric)],
        rows: vec![
            row("before", w.heights_before, w.heights_before_hint, HEIGHT_MM),
            row("after", w.heights_after, w.heights_after_hint, HEIGHT_MM),
            row("again", w.heights_again, w.heights_again_hint, HEIGHT_MM),
            row("collar", w.collars, w.collars_hint, COLLAR_MM),
        ],
        workshop: cell("workshop", w.your_workshop),
        settled: text(typed, "settled").to_owned(),
        settled_fault: faults.get("settled").cloned().unwrap_or_default(),
        notes: cell("notes", w.notes),
        key: typed.get("key").cloned().unwrap_or_default(),
        fault,
        f,
    }
}

fn thanks(f: Frame, typed: &Typed, kept: &PostalHeights) -> Thanks {
    let manner = manner_of(&f, typed);
    let four = |mm: &[f64; 4]| {
        let written = mm.map(|mm| manner.sentence_beside(&format!("{} mm", shortly(manner.language, mm))));
        written.join(" · ")
    };
    let before = kept.before_mm.iter().map(|mm| (f.w.heights_before, four(mm)));
    let after = kept.after_mm.iter().map(|mm| (f.w.heights_after, four(mm)));
    let heights = before.chain(after).collect();
    Thanks { f, heights }
}
