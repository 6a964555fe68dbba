//! Drafting a quote: kits of the shortlist side by side, for a customer; and the next version on today's data.

use std::collections::BTreeSet;

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use serde_json::Value;
use store::records::{Customer, Enquiry, Quote, Van};
use store::{By, Id, Kind, Stored};
use workshop::catalogue::Catalogue;
use workshop::enquiry_text::EnquiryText;
use workshop::facts::Language;

use super::super::diary::{diary_if_any, zone_of};
use super::super::form::Posted;
use super::super::words::PageWords;
use super::super::{Frame, amiss, page, to};
use super::read_back::{Told, currency_of, figure};
use super::{LETTERS, VersionRow, coming_day, customers_language, days_on, today};
use crate::api::computed::{Asked, anew, answer_to};
use crate::api::quotes::{code_of, new_quote};
use crate::app::App;
use crate::caller::{Caller, Writer, further, named_language};
use crate::extract::At;
use crate::problem::{Handled, Problem, Quoted};
use crate::secrets::secret;

/// How long a quote holds where nothing else is said, days.
const HOLDS_DAYS: i64 = 30;
/// Names of the boxes of the options.
const BOXES: [&str; 3] = ["kit-a", "kit-b", "kit-c"];

/// A kit that can be quoted.
struct Offer {
    kit: String,
    words: String,
    name: String,
    /// Drop, level, arch gap front and rear, in the load state of the wish.
    figures: Vec<Told>,
}

/// What was typed or is proposed.
#[derive(Default)]
struct Typed {
    kits: [String; 3],
    valid_until: String,
    name: String,
    phone: String,
    plate: String,
    language: String,
    key: String,
}

/// An option's box.
struct OptionBox<'a> {
    name: &'static str,
    letter: &'static str,
    chosen: &'a str,
}

#[derive(Template)]
#[template(path = "new_quote.html")]
struct NewQuotePage {
    f: Frame,
    id: Id,
    caller: String,
    /// Name of a customer who is known.
    customer: Option<String>,
    van_known: bool,
    offers: Vec<Offer>,
    /// Questions that stand between further kits and their price: the fact, and the question.
    to_ask: Vec<(String, String)>,
    /// Quotes that the enquiry has already.
    versions: Vec<VersionRow>,
    typed: Typed,
    fault: String,
}

impl NewQuotePage {
    fn boxes(&self) -> Vec<OptionBox<'_>> {
        let boxes = BOXES.into_iter().zip(LETTERS).zip(&self.typed.kits);
        boxes.map(|((name, letter), chosen)| OptionBox { name, letter, chosen }).collect()
    }
}

/// `GET /enquiries/{id}/quote`
pub(crate) async fn form(State(app): State<App>, f: Frame, At(id): At) -> Handled<Response> {
    formed(&app, f, &id, None).await
}

async fn formed(app: &App, f: Frame, id: &Id, refused: Option<(&Posted, &Problem)>) -> Handled<Response> {
    let kept = app.store.get::<Enquiry>(id).await?;
    let answer = answer_to(app, &kept.id, Asked::Shortlist { by: None }, None).await?;
    let offers = offers(&answer.result, &f);
    let customer = match &kept.body.customer {
        Some(customer) => Some(app.store.get::<Customer>(customer).await?.body),
        None => None,
    };
    let zone = zone_of(&diary_if_any(app).await?)?;
    let language = customer.as_ref().map_or(f.language(), |customer| customers_language(customer, &f));
    let typed = match refused {
        Some((posted, _)) => typed_in(posted)?,
        None => Typed {
            kits: std::array::from_fn(|n| {
                offers.get(n).filter(|_| n < 2).map(|offer| offer.kit.clone()).unwrap_or_default()
            }),
            valid_until: days_on(today(app, &zone), HOLDS_DAYS).to_string(),
            name: kept.body.caller.clone(),
            phone: kept.body.phone.clone().unwrap_or_default(),
            language: code_of(language).to_owned(),
            key: secret()?,
            ..Typed::default()
        },
    };
    let (status, fault) = match refused {
        Some((_, problem)) => (problem.status(), problem.detail(f.language()).to_owned()),
        None => (StatusCode::OK, String::new()),
    };
    let quotes = app.store.naming::<Quote>(Kind::Enquiry, &kept.id).await?;
    let read = app.catalogue().await?;
    let shown = NewQuotePage {
        to_ask: to_ask(&answer.result, &read.catalogue, f.language()),
        versions: quotes.iter().rev().map(|quote| VersionRow::of(quote, None, f.w)).collect(),
        id: kept.id,
        caller: kept.body.caller,
        customer: customer.map(|customer| customer.name),
        van_known: kept.body.van.is_some(),
        offers,
        typed,
        fault,
        f,
    };
    Ok(page(status, &shown))
}

/// A new key: what was typed may be corrected, and then is another quote.
fn typed_in(posted: &Posted) -> Handled<Typed> {
    let own = |name: &str| posted.get(name).to_owned();
    Ok(Typed {
        kits: BOXES.map(own),
        valid_until: own("valid_until"),
        name: own("name"),
        phone: own("phone"),
        plate: own("plate"),
        language: own("language"),
        key: secret()?,
    })
}

/// Kits that are in, have a price and are not stopped, best first.
fn offers(result: &Value, f: &Frame) -> Vec<Offer> {
    let options = result["options"].as_array().map(Vec::as_slice).unwrap_or_default();
    let sound = |option: &&Value| !option["quote"].is_null() && option["stopped"] != Value::Bool(true);
    let offer = |option: &Value| {
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let drop = option["drop_against_today_mm"]["value"].as_f64().unwrap_or(0.0);
        let total = option["quote"]["total_minor"].as_i64().unwrap_or(0);
        let total = currency_of(option).text(total, f.language());
        let way = if drop < 0.0 { f.w.higher } else { f.w.lower };
        let words = format!("{}: {:.0} mm {way}, {total}", text(&option["name"]), drop.abs());
        let figures = ["drop_against_today_mm", "level_mm"].map(|name| &option[name]);
        let gaps = [0, 1].map(|axle| &option["arch_gap_mm"][axle]);
        let figures = figures.into_iter().chain(gaps).map(|found| figure(found, "mm", f.language()));
        Offer { kit: text(&option["kit"]), words, name: text(&option["name"]), figures: figures.collect() }
    };
    options.iter().filter(sound).map(offer).collect()
}

/// Facts that work or parts of a kit without a price depend on, each once.
fn to_ask(result: &Value, catalogue: &Catalogue, language: Language) -> Vec<(String, String)> {
    let options = result["options"].as_array().map(Vec::as_slice).unwrap_or_default();
    let reasons = options.iter().filter_map(|option| option["not_priced"].as_array()).flatten();
    let waited: BTreeSet<&str> = reasons.filter_map(|reason| reason["fact"].as_str()).collect();
    let asked = catalogue.facts.iter().filter(|fact| waited.contains(fact.id.as_str()));
    asked.map(|fact| (fact.id.clone(), fact.question.in_language(language).to_owned())).collect()
}

/// `POST /enquiries/{id}/quote`: the answer of today is kept, and the quote drafted from it.
pub(crate) async fn draft(
    State(app): State<App>,
    caller: Caller,
    f: Frame,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    match drafted(&app, &id, &posted.keyed(by, &caller), &posted, &f).await {
        Ok(quote) => Ok(to(&format!("/quotes/{}", quote.id))),
        Err(problem) => formed(&app, f, &id, Some((&posted, &problem))).await,
    }
}

async fn drafted(app: &App, id: &Id, by: &By, posted: &Posted, f: &Frame) -> Handled<Stored<Quote>> {
    let w = f.w;
    let kits: Vec<String> =
        BOXES.iter().map(|name| posted.get(name).to_owned()).filter(|kit| !kit.is_empty()).collect();
    if kits.is_empty() {
        return Err(amiss(w.options_missing));
    }
    if (1..kits.len()).any(|n| kits[..n].contains(&kits[n])) {
        return Err(amiss(w.options_twice));
    }
    let zone = zone_of(&diary_if_any(app).await?)?;
    let valid_until = coming_day(posted.get("valid_until"), today(app, &zone), w)?.to_string();
    let enquiry = app.store.get::<Enquiry>(id).await?;
    let answer = answer_to(app, &enquiry.id, Asked::Shortlist { by: None }, None).await?;
    if let Some(kit) = kits.iter().find(|kit| !offers(&answer.result, f).iter().any(|o| o.kit == **kit)) {
        let words = (
            format!("{kit} cannot be quoted: it is out, stopped, or has no price"),
            format!("{kit} lässt sich nicht anbieten: ausgeschieden, angehalten oder ohne Preis"),
        );
        return Err(Problem::invalid("kits", words));
    }
    let (customer, van) = known(app, by, &enquiry, posted, w).await?;
    let language = customers_language(&app.store.get::<Customer>(&customer).await?.body, f);
    let answer = app.store.give_answer(&further(by, "answer"), &answer).await?;
    let new = new_quote(&answer, (customer, van), &kits, valid_until, language)?;
    Ok(app.store.draft_quote(by, &new).await?)
}

/// The customer and van of an enquiry; where they are not known yet, they are kept as typed and named by the enquiry.
async fn known(
    app: &App,
    by: &By,
    enquiry: &Stored<Enquiry>,
    posted: &Posted,
    w: &PageWords,
) -> Handled<(Id, Option<Id>)> {
    let customer = match &enquiry.body.customer {
        Some(customer) => customer.clone(),
        None => {
            let name = posted.get("name");
            if name.is_empty() {
                return Err(amiss(w.customer_name_missing));
            }
            let phone = Some(posted.get("phone")).filter(|phone| !phone.is_empty());
            let new = Customer {
                name: name.to_owned(),
                phones: phone.map(str::to_owned).into_iter().collect(),
                language: Some(code_of(named_language(posted.get("language"))).to_owned()),
                ..Customer::default()
            };
            app.store.add(&further(by, "customer"), &new).await?.id
        }
    };
    let plate = posted.get("plate");
    let van = match &enquiry.body.van {
        Some(van) => Some(van.clone()),
        None if plate.is_empty() => None,
        None => Some(add_van(app, &further(by, "van"), &customer, enquiry, plate).await?),
    };
    if enquiry.body.customer.is_none() || enquiry.body.van != van {
        let body = Enquiry { customer: Some(customer.clone()), van: van.clone(), ..enquiry.body.clone() };
        app.store.change(&further(by, "enquiry"), &enquiry.id, enquiry.version, &body).await?;
    }
    Ok((customer, van))
}

/// Keeps the van of an enquiry under its number plate.
pub(in super::super) async fn add_van(
    app: &App,
    by: &By,
    customer: &Id,
    enquiry: &Stored<Enquiry>,
    plate: &str,
) -> Handled<Id> {
    let text = EnquiryText::read(&enquiry.body.document)
        .map_err(|fault| Problem::new(StatusCode::CONFLICT, "enquiry_not_toml", Quoted(fault)))?;
    let named = |path: &str| text.text(&[path]).map(str::to_owned);
    let van = Van {
        customer: customer.clone(),
        plate: plate.to_owned(),
        vehicle: named("vehicle"),
        grade: named("grade"),
        vin: None,
        year: None,
        description: String::new(),
        weighings: Vec::new(),
        lip_offset_mm: None,
        as_found: Vec::new(),
        fitted_kit: None,
        notes: String::new(),
    };
    Ok(app.store.add(by, &van).await?.id)
}

/// `POST /quotes/{id}/again`: the next version, from the enquiry, prices and catalogue of today.
pub(crate) async fn again(
    State(app): State<App>,
    caller: Caller,
    f: Frame,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let done = next_version(&app, &id, &posted.keyed(by, &caller), &f).await;
    super::told(&app, f, &id, done, &posted).await
}

async fn next_version(app: &App, id: &Id, by: &By, f: &Frame) -> Handled<Stored<Quote>> {
    let quote = app.store.get::<Quote>(id).await?.body;
    let (_, now) = anew(app, &quote.answer).await?;
    let offers = offers(&now.result, f);
    let kits: Vec<String> = quote
        .options
        .iter()
        .map(|option| option.kit.clone())
        .filter(|kit| offers.iter().any(|offer| offer.kit == *kit))
        .collect();
    if kits.is_empty() {
        return Err(amiss(f.w.none_still_in));
    }
    let zone = zone_of(&diary_if_any(app).await?)?;
    let valid_until = days_on(today(app, &zone), HOLDS_DAYS).to_string();
    let customer = app.store.get::<Customer>(&quote.customer).await?.body;
    let answer = app.store.give_answer(&further(by, "answer"), &now).await?;
    let language = customers_language(&customer, f);
    let new = new_quote(&answer, (quote.customer, quote.van), &kits, valid_until, language)?;
    Ok(app.store.draft_quote(by, &new).await?)
}
