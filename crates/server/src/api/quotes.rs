//! Quotes: drafted from an answer, sent, answered; and the link by which a customer reads the answer.

use axum::extract::{Path, State};
use axum::http::{HeaderMap, Request, StatusCode};
use axum::response::Response;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use store::records::{Answer, AnswerAbout, Customer, PostalSale, QuoteLine, QuoteOption};
use store::{By, Id, NewQuote, NewSecret, SecretPurpose, Stored};
use utoipa::ToSchema;
use workshop::facts::Language;

use crate::app::App;
use crate::caller::{Caller, Writer, asked_language, named_language};
use crate::extract::{At, Body, Saw, changed, made, record};
use crate::problem::{Handled, Problem};
use crate::secrets;
use crate::sign_in::Tries;
use crate::wire::{self, Kept};

const DAY_MS: i64 = 24 * 60 * 60 * 1000;
/// How long a customer's link opens.
const LINK_MS: i64 = 60 * DAY_MS;
/// A kit is sent, fitted, driven and read again.
const POSTAL_LINK_MS: i64 = 182 * DAY_MS;

/// Drafts a quote from a shortlist that was given: lines, tax and time are those of the answer, words those of the
/// customer's language, or of the writer's where the customer has none.
#[utoipa::path(post, path = "/api/v1/quotes", tag = "quotes", request_body = wire::NewQuote,
    responses((status = 201, body = Kept<wire::Quote>)))]
pub(crate) async fn draft(
    State(app): State<App>,
    caller: Caller,
    headers: HeaderMap,
    Writer(by): Writer,
    Body(asked): Body<wire::NewQuote>,
) -> Handled<Response> {
    let answer: Id = record(&asked.answer)
        .map_err(|_| Problem::invalid("/answer", ("an id of an answer", "die Kennung einer Antwort")))?;
    let answer = app.store.get::<Answer>(&answer).await.map_err(Problem::of_body)?;
    let customer: Id = asked
        .customer
        .parse()
        .map_err(|_| Problem::invalid("/customer", ("an id of a customer", "die Kennung eines Kunden")))?;
    let van = asked
        .van
        .as_deref()
        .map(str::parse)
        .transpose()
        .map_err(|_| Problem::invalid("/van", ("an id of a van", "die Kennung eines Wagens")))?;
    let writers = caller.language.as_deref().map_or_else(|| asked_language(&headers), named_language);
    let named = app.store.get::<Customer>(&customer).await.map_err(Problem::of_body)?.body.language;
    let language = named.as_deref().map_or(writers, named_language);
    let new = new_quote(&answer, (customer, van), &asked.kits, asked.valid_until, language)?;
    Ok(made("quotes", &app.store.draft_quote(&by, &new).await.map_err(Problem::of_body)?))
}

/// A quote of kits of a shortlist, for a customer and a van, in the customer's language.
pub(crate) fn new_quote(
    answer: &Stored<Answer>,
    (customer, van): (Id, Option<Id>),
    kits: &[String],
    valid_until: String,
    language: Language,
) -> Handled<NewQuote> {
    if answer.body.about != AnswerAbout::Shortlist {
        return Err(Problem::invalid(
            "/answer",
            ("a quote is made from a shortlist", "ein Angebot entsteht aus einer Auswahlliste"),
        ));
    }
    let options: Vec<(QuoteOption, &Value)> =
        kits.iter().map(|kit| option_of(&answer.body.result, kit, language)).collect::<Handled<_>>()?;
    let read_aloud: Vec<&str> =
        options.iter().filter_map(|(_, found)| found["spoken"][code_of(language)].as_str()).collect();
    let currency = options
        .first()
        .and_then(|(_, found)| found["quote"]["currency"]["code"].as_str())
        .unwrap_or_default();
    Ok(NewQuote {
        customer,
        van,
        answer: answer.id.clone(),
        valid_until,
        read_aloud: read_aloud.join("\n\n"),
        currency: currency.to_owned(),
        options: options.iter().map(|(option, _)| option.clone()).collect(),
    })
}

/// Name of a language in answers.
pub(crate) fn code_of(language: Language) -> &'static str {
    language.pick("en", "de")
}

/// An option of a shortlist as an option of a quote, to the penny, in a language.
pub(crate) fn option_of<'a>(
    result: &'a Value,
    kit: &str,
    language: Language,
) -> Handled<(QuoteOption, &'a Value)> {
    let options = result["options"].as_array().map(Vec::as_slice).unwrap_or_default();
    let found = options.iter().find(|option| option["kit"] == kit);
    let found = found.ok_or_else(|| {
        Problem::invalid(
            "/kits",
            (
                format!("{kit} is not one of the kits that are in"),
                format!("{kit} gehört nicht zu den Sätzen, die passen"),
            ),
        )
    })?;
    let quote = &found["quote"];
    if quote.is_null() {
        return Err(Problem::invalid(
            "/kits",
            (
                format!("{kit} has no price; the answer says why"),
                format!("{kit} hat keinen Preis; die Antwort sagt, warum"),
            ),
        ));
    }
    let whole = |value: &Value| {
        value.as_i64().ok_or_else(|| Problem::internal(&"an amount in an answer is not whole"))
    };
    let lines = quote["lines"].as_array().map(Vec::as_slice).unwrap_or_default().iter().map(|line| {
        let quantity = &line["quantity"];
        let hours = quantity["minutes"].as_f64().map(|minutes| minutes / 60.0);
        Ok(QuoteLine {
            text: line["name"][code_of(language)].as_str().unwrap_or_default().to_owned(),
            quantity: quantity["pieces"].as_f64().or(hours).unwrap_or(1.0),
            net_minor: whole(&line["amount_minor"])?,
        })
    });
    let minutes = found["ramp_time"]["nine_in_ten_minutes"].as_f64().unwrap_or(0.0).ceil();
    let option = QuoteOption {
        title: found["name"].as_str().unwrap_or(kit).to_owned(),
        kit: kit.to_owned(),
        lines: lines.collect::<Handled<_>>()?,
        total_minor: whole(&quote["total_minor"])?,
        tax_minor: whole(&quote["tax_minor"])?,
        ramp_minutes_nine_in_ten: minutes as u32,
    };
    Ok((option, found))
}

/// When a quote that is sent is asked about.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Sending {
    /// The customer is to be rung from then on, ms.
    ring_ms: i64,
}

/// Sends a quote: it is frozen, and the customer is to be rung if no answer comes.
#[utoipa::path(post, path = "/api/v1/quotes/{id}/send", tag = "quotes", params(("id" = String, Path, max_length = 120)),
    request_body = Sending, responses((status = 200, body = Kept<wire::Quote>)))]
pub(crate) async fn send(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(asked): Body<Sending>,
) -> Handled<Response> {
    Ok(changed(&app.store.send_quote(&by, &id, saw, asked.ring_ms).await?))
}

/// Which option the customer takes.
#[derive(Debug, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Taken {
    /// Counted from 0; none: the quote is declined.
    taken: Option<usize>,
}

/// The customer takes an option, or none.
#[utoipa::path(post, path = "/api/v1/quotes/{id}/answer", tag = "quotes", params(("id" = String, Path, max_length = 120)),
    request_body = Taken, responses((status = 200, body = Kept<wire::Quote>)))]
pub(crate) async fn take(
    State(app): State<App>,
    At(id): At,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(asked): Body<Taken>,
) -> Handled<Response> {
    Ok(changed(&app.store.answer_quote(&by, &id, saw, asked.taken).await?))
}

/// A link that was made; it is shown this once.
#[derive(Serialize, ToSchema)]
pub(crate) struct NewLink {
    /// To end it.
    #[schema(value_type = String)]
    id: Id,
    /// Address on this server.
    path: String,
    /// When it ends, ms.
    ends_ms: i64,
}

/// Makes a link by which a customer reads this one answer, for sixty days.
#[utoipa::path(post, path = "/api/v1/answers/{id}/links", tag = "answers", params(("id" = String, Path, max_length = 120)),
    responses((status = 201, body = NewLink)))]
pub(crate) async fn link(
    State(app): State<App>,
    At(id): At,
    Writer(by): Writer,
) -> Handled<(StatusCode, axum::Json<NewLink>)> {
    app.store.get::<Answer>(&id).await?;
    new_link(&app, &by, &id, SecretPurpose::AnswerLink, ("answer", LINK_MS)).await
}

/// Makes a link by which the workshop that fits a kit sold by post sends back what it measured, for half a year.
#[utoipa::path(post, path = "/api/v1/postal-sales/{id}/links", tag = "postal-sales", params(("id" = String, Path, max_length = 120)),
    responses((status = 201, body = NewLink)))]
pub(crate) async fn postal_link(
    State(app): State<App>,
    At(id): At,
    Writer(by): Writer,
) -> Handled<(StatusCode, axum::Json<NewLink>)> {
    app.store.get::<PostalSale>(&id).await?;
    new_link(&app, &by, &id, SecretPurpose::PostalForm, ("postal", POSTAL_LINK_MS)).await
}

/// Keeps a new secret of a record; the page it opens, and for how long.
async fn new_link(
    app: &App,
    by: &By,
    of: &Id,
    purpose: SecretPurpose,
    (page, lasts_ms): (&str, i64),
) -> Handled<(StatusCode, axum::Json<NewLink>)> {
    let secret = secrets::secret()?;
    let ends_ms = app.now_ms() + lasts_ms;
    let new = NewSecret {
        digest: secrets::digest(&secret),
        purpose,
        owner: of.to_string(),
        device: by.device.clone(),
        scope: String::new(),
        idle_ms: None,
        ends_ms: Some(ends_ms),
    };
    let id = app.store.add_secret(by, &new).await?;
    Ok((StatusCode::CREATED, axum::Json(NewLink { id, path: format!("/{page}/{secret}"), ends_ms })))
}

/// What a customer sees of an answer.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub(crate) struct CustomersAnswer {
    /// The question as asked.
    pub(crate) question: String,
    /// Kits that are in, best first.
    pub(crate) options: Vec<CustomersOption>,
}

/// What a customer sees of a kit.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub(crate) struct CustomersOption {
    /// Name.
    pub(crate) name: String,
    /// The paragraph that is read out, in English.
    pub(crate) en: String,
    /// The same in German.
    pub(crate) de: String,
}

/// The answer a link opens. Wrong links are counted like wrong passphrases.
pub(crate) async fn answer_of_link(app: &App, address: &str, code: &str) -> Handled<CustomersAnswer> {
    let tries = Tries::allowed(app, "(link)", address).await?;
    let state = app.store.use_secret(&secrets::digest(code), SecretPurpose::AnswerLink, app.now_ms()).await?;
    let Some(state) = state else {
        tries.failed().await?;
        return Err(Problem::not_found((
            "there is no answer at this address; the link is wrong or has ended",
            "unter dieser Adresse ist keine Antwort; der Link ist falsch oder abgelaufen",
        )));
    };
    let answer = app.store.get::<Answer>(&state.owner.parse()?).await?.body;
    let question = app.store.get::<store::records::Enquiry>(&answer.enquiry).await?.body.question;
    let options = answer.result["options"].as_array().map(Vec::as_slice).unwrap_or_default();
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let options = options.iter().filter(|option| option["stopped"] != Value::Bool(true)).map(|option| {
        CustomersOption {
            name: text(&option["name"]),
            en: text(&option["spoken"]["en"]),
            de: text(&option["spoken"]["de"]),
        }
    });
    Ok(CustomersAnswer { question, options: options.collect() })
}

/// A customer's own answer, by its link.
#[utoipa::path(get, path = "/api/v1/answer-links/{code}", tag = "answers", params(("code" = String, Path)),
    responses((status = 200, body = CustomersAnswer)))]
pub(crate) async fn linked(
    State(app): State<App>,
    Path(code): Path<String>,
    request: Request<axum::body::Body>,
) -> Handled<axum::Json<CustomersAnswer>> {
    let address = crate::guard::address(request.extensions());
    Ok(axum::Json(answer_of_link(&app, &address, &code).await?))
}
