//! Answers: computed on the spot, or computed and kept; computed anew and held against what was said.

use axum::body::Bytes;
use axum::extract::State;
use axum::http::header::CONTENT_TYPE;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use mechanics::ride::RoadClass;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use store::records::{Answer, AnswerAbout, Enquiry};
use store::{Difference, Id, Stored, difference};
use utoipa::{IntoParams, ToSchema};
use workshop::answer::KnownVan;
use workshop::enquiry::WishKind;
use workshop::ride::{Against, HumpQuestion, RideQuestion};

use crate::answers::{self, Unanswered, kit_for, one_of, predicted};
use crate::app::App;
use crate::caller::Writer;
use crate::extract::{Ask, At, Body, made, shown};
use crate::problem::{Handled, Problem};
use crate::why::{Question, why};
use crate::wire::{self, Kept};

/// Version of this program, kept with every answer.
pub(crate) const PROGRAM_VERSION: &str = env!("CARGO_PKG_VERSION");

/// What can be asked and kept.
#[derive(Debug, Clone, Serialize, Deserialize, ToSchema)]
#[serde(tag = "about", rename_all = "snake_case", deny_unknown_fields)]
pub(crate) enum Asked {
    /// Every kit out or in.
    Shortlist {
        /// `drop`, `level`, `travel`, `load_reserve` or `clearance`; the enquiry's own wish where absent.
        by: Option<String>,
    },
    /// How the van sits on a kit, or on every kit.
    Prediction {
        /// Kit; every kit sold for the van where absent.
        kit: Option<String>,
    },
    /// Where collars are set.
    SetUp {
        /// Kit.
        kit: String,
    },
}

/// A result and what it was made from.
pub(crate) struct Computed {
    pub(crate) result: Value,
    pub(crate) revision: i64,
}

impl IntoResponse for Computed {
    /// The same JSON as the command line prints; where it comes from stands in the head.
    fn into_response(self) -> Response {
        (source(self.revision), axum::Json(self.result)).into_response()
    }
}

const JSON: &str = "application/json";

/// What an answer was made from, for the head of a reply.
fn source(revision: i64) -> [(&'static str, String); 2] {
    [("catalogue-revision", revision.to_string()), ("program-version", PROGRAM_VERSION.to_owned())]
}

/// Puts a question about an enquiry document to the latest catalogue.
pub(crate) async fn computed<T: Serialize + 'static>(
    app: &App,
    document: &str,
    ask: impl FnOnce(&KnownVan) -> Result<T, Unanswered> + Send + 'static,
) -> Handled<Computed> {
    let read = app.catalogue().await?;
    let work = move |known: &KnownVan| Ok(serde_json::to_value(ask(known)?));
    let result = app.of_the_van(&read, document, work).await?.map_err(|e| Problem::internal(&e))?;
    Ok(Computed { result, revision: read.revision })
}

/// Answers a question about an enquiry document.
pub(crate) async fn answer(app: &App, document: String, asked: Asked) -> Handled<Computed> {
    match asked {
        Asked::Shortlist { by } => {
            let (json, revision) = shortlist_json(app, &document, by.as_deref()).await?;
            let result = serde_json::from_slice(&json).map_err(|e| Problem::internal(&e))?;
            Ok(Computed { result, revision })
        }
        Asked::Prediction { kit } => {
            computed(app, &document, move |known| predicted(known, kit.as_deref())).await
        }
        Asked::SetUp { kit } => {
            computed(app, &document, move |known| {
                let kit = kit_for(known.catalogue, &known.enquiry.vehicle, &kit)?;
                Ok(known.set_up(&kit)?)
            })
            .await
        }
    }
}

/// A shortlist as JSON, and the revision of the catalogue it was made from.
async fn shortlist_json(app: &App, document: &str, by: Option<&str>) -> Handled<(Bytes, i64)> {
    let by = by.map(wish).transpose()?;
    let read = app.catalogue().await?;
    let listed = app.shortlist(&read, document, by).await?;
    Ok((app.shortlist_json(&listed).await?, read.revision))
}

fn wish(named: &str) -> Handled<WishKind> {
    Ok(choice("by", named, &WishKind::CHOICES)?)
}

fn choice<T: Copy>(field: &str, named: &str, choices: &[(&str, T)]) -> Result<T, Unanswered> {
    choices.iter().find(|(name, _)| *name == named).map(|(_, choice)| *choice).ok_or_else(|| {
        let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
        Unanswered::wrong_name(field, named, one_of(&names))
    })
}

async fn document_of(app: &App, id: &Id) -> Handled<String> {
    Ok(app.store.get::<Enquiry>(id).await?.body.document)
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct ShortlistBy {
    /// `drop`, `level`, `travel`, `load_reserve` or `clearance`; the enquiry's own wish where absent.
    by: Option<String>,
}

/// Every kit out, with the rule that put it out, or in, ranked by the wish.
#[utoipa::path(get, path = "/api/v1/enquiries/{id}/shortlist", tag = "answers", params(("id" = String, Path, max_length = 120), ShortlistBy),
    responses((status = 200, body = Value)))]
pub(crate) async fn shortlist(
    State(app): State<App>,
    At(id): At,
    Ask(asked): Ask<ShortlistBy>,
) -> Handled<Response> {
    let (json, revision) = shortlist_json(&app, &document_of(&app, &id).await?, asked.by.as_deref()).await?;
    Ok((source(revision), [(CONTENT_TYPE, JSON)], json).into_response())
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct OfKit {
    /// Kit; every kit sold for the van where absent.
    kit: Option<String>,
}

/// How the van sits today and on kits, at each corner in each load state.
#[utoipa::path(get, path = "/api/v1/enquiries/{id}/prediction", tag = "answers", params(("id" = String, Path, max_length = 120), OfKit),
    responses((status = 200, body = Value)))]
pub(crate) async fn prediction(
    State(app): State<App>,
    At(id): At,
    Ask(asked): Ask<OfKit>,
) -> Handled<Computed> {
    answer(&app, document_of(&app, &id).await?, Asked::Prediction { kit: asked.kit }).await
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct SetUpOf {
    /// Kit.
    kit: String,
}

/// Collar positions that reach the aim, and the heights to read on the ramp.
#[utoipa::path(get, path = "/api/v1/enquiries/{id}/set-up", tag = "answers", params(("id" = String, Path, max_length = 120), SetUpOf),
    responses((status = 200, body = Value)))]
pub(crate) async fn set_up(
    State(app): State<App>,
    At(id): At,
    Ask(asked): Ask<SetUpOf>,
) -> Handled<Computed> {
    answer(&app, document_of(&app, &id).await?, Asked::SetUp { kit: asked.kit }).await
}

/// Every rim and tyre of the workshop's list on the van.
#[utoipa::path(get, path = "/api/v1/enquiries/{id}/wheels", tag = "answers", params(("id" = String, Path, max_length = 120), OfKit),
    responses((status = 200, body = Value)))]
pub(crate) async fn wheels(State(app): State<App>, At(id): At, Ask(asked): Ask<OfKit>) -> Handled<Computed> {
    computed(&app, &document_of(&app, &id).await?, move |known| {
        let kit = asked.kit.map(|id| kit_for(known.catalogue, &known.enquiry.vehicle, &id)).transpose()?;
        Ok(known.wheel_list(kit.as_ref())?)
    })
    .await
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct RideOf {
    /// Kits, with commas between; every kit sold for the van where absent.
    kits: Option<String>,
    /// Class of the road (ISO 8608), `a` to `h`; `b` where absent.
    road: Option<String>,
    /// Speed on it, 5 to 200 km/h; 80 where absent.
    speed_km_per_h: Option<f64>,
    /// `as_new_original` or `as_found`.
    against: Option<String>,
}

/// How the van rides, today and on kits.
#[utoipa::path(get, path = "/api/v1/enquiries/{id}/ride", tag = "answers", params(("id" = String, Path, max_length = 120), RideOf),
    responses((status = 200, body = Value)))]
pub(crate) async fn ride(State(app): State<App>, At(id): At, Ask(asked): Ask<RideOf>) -> Handled<Computed> {
    const ROADS: [&str; 8] = ["a", "b", "c", "d", "e", "f", "g", "h"];
    let usual = RideQuestion::default();
    let roads: Vec<(&str, RoadClass)> = ROADS.into_iter().zip(RoadClass::ALL).collect();
    let road = asked.road.map_or(Ok(usual.road), |road| choice("road", &road, &roads))?;
    let speed_km_per_h = asked.speed_km_per_h.unwrap_or(usual.speed_km_per_h);
    if !(5.0..=200.0).contains(&speed_km_per_h) {
        return Err(Problem::invalid("speed_km_per_h", ("5 to 200 km/h", "5 bis 200 km/h")));
    }
    let against =
        asked.against.map_or(Ok(usual.against), |against| choice("against", &against, &Against::CHOICES))?;
    let question = RideQuestion { road, speed_km_per_h, against };
    computed(&app, &document_of(&app, &id).await?, move |known| {
        let named = asked.kits.unwrap_or_default();
        let named: Vec<&str> = named.split(',').map(str::trim).filter(|id| !id.is_empty()).collect();
        let kits = answers::kits(known.catalogue, known.enquiry, &named)?;
        let kits: Vec<_> = kits.iter().collect();
        Ok(known.ride_answer(&kits, question, HumpQuestion::default()))
    })
    .await
}

#[derive(Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub(crate) struct WhyOf {
    /// Figure by its name in JSON, a check, or of a kit `verdict`, `price` or `time`.
    figure: String,
    /// Kit; the van as it stands today where absent.
    kit: Option<String>,
    /// Corner, such as `front_left`.
    corner: Option<String>,
    /// Load state; that of the wish where absent.
    state: Option<String>,
    /// Rim of the workshop's list, with a tyre.
    rim: Option<String>,
    /// Tyre of the workshop's list, with a rim.
    tyre: Option<String>,
}

/// The chain behind a figure, a check, a verdict, a price or a time.
#[utoipa::path(get, path = "/api/v1/enquiries/{id}/why", tag = "answers", params(("id" = String, Path, max_length = 120), WhyOf),
    responses((status = 200, body = Value)))]
pub(crate) async fn why_of(State(app): State<App>, At(id): At, Ask(asked): Ask<WhyOf>) -> Handled<Computed> {
    computed(&app, &document_of(&app, &id).await?, move |known| {
        let question = Question {
            kit: asked.kit.as_deref(),
            figure: &asked.figure,
            corner: asked.corner.as_deref(),
            state: asked.state.as_deref(),
            rim: asked.rim.as_deref(),
            tyre: asked.tyre.as_deref(),
        };
        why(known, &question)
    })
    .await
}

impl Asked {
    fn about(&self) -> AnswerAbout {
        match self {
            Self::Shortlist { .. } => AnswerAbout::Shortlist,
            Self::Prediction { .. } => AnswerAbout::Prediction,
            Self::SetUp { .. } => AnswerAbout::SetUp,
        }
    }
}

/// Computes an answer to an enquiry as it stands and makes it ready to be kept.
pub(crate) async fn answer_to(
    app: &App,
    enquiry: &Id,
    asked: Asked,
    again_of: Option<Id>,
) -> Handled<Answer> {
    let document = document_of(app, enquiry).await?;
    let inputs = serde_json::to_value(&asked).map_err(|e| Problem::internal(&e))?;
    let about = asked.about();
    let Computed { result, revision } = answer(app, document.clone(), asked).await?;
    Ok(Answer {
        enquiry: enquiry.clone(),
        about,
        enquiry_document: document,
        inputs,
        catalogue_revision: revision,
        program_version: PROGRAM_VERSION.to_owned(),
        result,
        again_of,
    })
}

/// Gives an answer: computes it and keeps it with everything it was made from.
#[utoipa::path(post, path = "/api/v1/enquiries/{id}/answers", tag = "answers", params(("id" = String, Path, max_length = 120)),
    request_body = Asked, responses((status = 201, body = Kept<wire::Answer>)))]
pub(crate) async fn give(
    State(app): State<App>,
    At(id): At,
    Writer(by): Writer,
    Body(asked): Body<Asked>,
) -> Handled<Response> {
    let given = answer_to(&app, &id, asked, None).await?;
    Ok(made("answers", &app.store.give_answer(&by, &given).await?))
}

/// Reads an answer as it was given.
#[utoipa::path(get, path = "/api/v1/answers/{id}", tag = "answers", params(("id" = String, Path, max_length = 120)),
    responses((status = 200, body = Kept<wire::Answer>)))]
pub(crate) async fn read(State(app): State<App>, At(id): At, headers: HeaderMap) -> Handled<Response> {
    Ok(shown(&app.store.get::<Answer>(&id).await?, &headers))
}

/// What would be answered now, and every place at which that differs.
#[derive(Serialize, ToSchema)]
pub(crate) struct Again {
    /// Revision of the catalogue then.
    catalogue_revision_before: i64,
    /// Revision of the catalogue now.
    catalogue_revision: i64,
    /// Version of the program then.
    program_version_before: String,
    /// Version of the program now.
    program_version: String,
    /// Whether the enquiry document was changed since.
    document_changed: bool,
    /// The answer that was kept, where it was to be.
    #[schema(value_type = Option<Kept<wire::Answer>>)]
    #[serde(skip_serializing_if = "Option::is_none")]
    answer: Option<Stored<Answer>>,
    /// Every smallest place at which the results differ.
    #[schema(value_type = Vec<Value>)]
    differences: Vec<Difference>,
}

impl Again {
    fn of(before: &Answer, now: &Answer) -> Self {
        Self {
            catalogue_revision_before: before.catalogue_revision,
            catalogue_revision: now.catalogue_revision,
            program_version_before: before.program_version.clone(),
            program_version: now.program_version.clone(),
            document_changed: before.enquiry_document != now.enquiry_document,
            answer: None,
            differences: difference(&before.result, &now.result),
        }
    }
}

/// An answer as it was given, and as it would be given today; nothing is kept.
pub(crate) async fn anew(app: &App, id: &Id) -> Handled<(Stored<Answer>, Answer)> {
    let before = app.store.get::<Answer>(id).await?;
    if before.body.about == AnswerAbout::Correction {
        let words = (
            "a correction is computed anew from its ramp record",
            "eine Korrektur wird aus ihrer Ablesung neu berechnet",
        );
        return Err(Problem::new(StatusCode::CONFLICT, "not_again", words));
    }
    let asked: Asked = crate::extract::read(before.body.inputs.clone())?;
    let now = answer_to(app, &before.body.enquiry, asked, Some(id.clone())).await?;
    Ok((before, now))
}

/// Computes an answer anew, from the enquiry and the catalogue of today, and shows the difference; nothing is kept.
#[utoipa::path(get, path = "/api/v1/answers/{id}/difference", tag = "answers", params(("id" = String, Path, max_length = 120)),
    responses((status = 200, body = Again)))]
pub(crate) async fn difference_now(State(app): State<App>, At(id): At) -> Handled<axum::Json<Again>> {
    let (before, now) = anew(&app, &id).await?;
    Ok(axum::Json(Again::of(&before.body, &now)))
}

/// Computes an answer anew, keeps it as a new answer, and shows the difference.
#[utoipa::path(post, path = "/api/v1/answers/{id}/again", tag = "answers", params(("id" = String, Path, max_length = 120)),
    responses((status = 201, body = Again)))]
pub(crate) async fn again(
    State(app): State<App>,
    At(id): At,
    Writer(by): Writer,
) -> Handled<(StatusCode, axum::Json<Again>)> {
    let (before, now) = anew(&app, &id).await?;
    let kept = app.store.give_answer(&by, &now).await?;
    Ok((StatusCode::CREATED, axum::Json(Again { answer: Some(kept), ..Again::of(&before.body, &now) })))
}
