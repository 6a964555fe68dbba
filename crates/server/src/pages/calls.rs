//! Whom to ring today, why, and what to say.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::tz::TimeZone;
use serde::Deserialize;
use store::records::{CallBack, CallBackReason, Customer, Job, Quote, Van};
use store::{By, Id, Stored};
use workshop::facts::Language;
use workshop::price::Currency;
use workshop::wording::{ring_about_quote, ring_parts_there, ring_ramp_free, ring_recheck, ring_retorque};

use super::diary::{diary_if_any, local, moment, zone_of};
use super::form::Posted;
use super::quotes::{begin_of, coming_day, customers_language, days_on, today};
use super::words::PageWords;
use super::{Frame, amiss, page, to};
use crate::api::quotes::code_of;
use crate::app::App;
use crate::caller::Writer;
use crate::extract::At;
use crate::problem::Handled;

/// Time of a short visit: tightening again, reading heights, minutes.
const SHORT_VISIT: u32 = 30;

/// Reasons by their names in the address.
const REASONS: [&str; 6] = ["quote", "parts", "retorque", "recheck", "sooner", "asked"];

pub(super) fn reason_name(reason: &CallBackReason) -> &'static str {
    match reason {
        CallBackReason::UnansweredQuote { .. } => REASONS[0],
        CallBackReason::PartsArrived { .. } => REASONS[1],
        CallBackReason::RetorqueDue { .. } => REASONS[2],
        CallBackReason::RecheckDue { .. } => REASONS[3],
        CallBackReason::WaitingForCancellation { .. } => REASONS[4],
        CallBackReason::Asked => REASONS[5],
    }
}

pub(super) fn reason_words(w: &PageWords, name: &str) -> &'static str {
    let words = [w.call_quote, w.call_parts, w.call_retorque, w.call_recheck, w.call_sooner, w.call_asked];
    REASONS.iter().position(|reason| *reason == name).map_or(w.call_asked, |n| words[n])
}

/// One call.
struct CallRow {
    id: Id,
    version: i64,
    customer: String,
    phone: Option<String>,
    reason: &'static str,
    /// Where the record is that it is about.
    href: String,
    say: String,
    /// Language of what is said.
    said_in: &'static str,
    notes: String,
    due: String,
    fault: String,
    outcome: String,
    again_on: String,
}

#[derive(Template)]
#[template(path = "calls.html")]
struct CallsPage {
    f: Frame,
    /// Name in the address, words, how many, whether it is shown.
    reasons: Vec<(&'static str, &'static str, usize, bool)>,
    shown: String,
    rows: Vec<CallRow>,
    more: usize,
    fault: String,
    /// Call that the fault is about.
    faulty: String,
}

#[derive(Deserialize, Default)]
pub(crate) struct Asked {
    #[serde(default)]
    reason: String,
}

/// `GET /calls?reason=`
pub(crate) async fn list(State(app): State<App>, f: Frame, Query(asked): Query<Asked>) -> Handled<Response> {
    listed(&app, f, &asked.reason, None).await
}

/// A call that was refused, with what was typed.
struct Refused<'a> {
    id: &'a Id,
    status: StatusCode,
    fault: String,
    posted: &'a Posted,
}

/// Calls that are due, the latest first: who could be rung yesterday is still thinking of it.
pub(super) async fn calls_due(app: &App) -> Handled<Vec<Stored<CallBack>>> {
    let mut due = app.store.call_backs(app.now_ms()).await?;
    due.reverse();
    Ok(due)
}

async fn listed(app: &App, f: Frame, reason: &str, refused: Option<Refused<'_>>) -> Handled<Response> {
    const ON_A_PAGE: usize = 30;
    let zone = zone_of(&diary_if_any(app).await?)?;
    let due = calls_due(app).await?;
    let count = |name: &str| due.iter().filter(|call| reason_name(&call.body.reason) == name).count();
    let all = std::iter::once(("", f.w.all_calls, due.len(), reason.is_empty()));
    let each = REASONS.map(|name| (name, reason_words(f.w, name), count(name), name == reason));
    let reasons = all.chain(each.into_iter().filter(|(_, _, count, shown)| *count > 0 || *shown)).collect();
    let wanted = |call: &Stored<CallBack>| reason.is_empty() || reason_name(&call.body.reason) == reason;
    let mut wanted: Vec<_> = due.into_iter().filter(wanted).collect();
    let more = wanted.len().saturating_sub(ON_A_PAGE);
    wanted.truncate(ON_A_PAGE);
    let (status, fault, faulty) = match &refused {
        Some(refused) => (refused.status, refused.fault.clone(), refused.id.to_string()),
        None => (StatusCode::OK, String::new(), String::new()),
    };
    let next_week = days_on(today(app, &zone), 7).to_string();
    let mut rows = Vec::new();
    for call in wanted {
        let mut row = row(app, &f, &zone, call).await?;
        row.again_on.clone_from(&next_week);
        if let Some(refused) = refused.as_ref().filter(|refused| *refused.id == row.id) {
            row.fault.clone_from(&refused.fault);
            refused.posted.get("outcome").clone_into(&mut row.outcome);
            let typed = refused.posted.get("again_on");
            if !typed.is_empty() {
                typed.clone_into(&mut row.again_on);
            }
        }
        rows.push(row);
    }
    let shown = reason.to_owned();
    Ok(page(status, &CallsPage { f, reasons, shown, rows, more, fault, faulty }))
}

async fn row(app: &App, f: &Frame, zone: &TimeZone, call: Stored<CallBack>) -> Handled<CallRow> {
    let customer = app.store.get::<Customer>(&call.body.customer).await?.body;
    let language = customers_language(&customer, f);
    let (href, say) = said(app, zone, &call.body, language).await?;
    let reason = reason_name(&call.body.reason);
    Ok(CallRow {
        reason: reason_words(f.w, reason),
        due: local(zone, call.body.due_ms).date().to_string(),
        id: call.id,
        version: call.version,
        customer: customer.name,
        phone: customer.phones.into_iter().next(),
        href,
        say,
        said_in: code_of(language),
        notes: call.body.notes,
        fault: String::new(),
        outcome: String::new(),
        again_on: String::new(),
    })
}

/// Where a call leads, and what is said in it.
async fn said(app: &App, zone: &TimeZone, call: &CallBack, language: Language) -> Handled<(String, String)> {
    let job = match &call.reason {
        CallBackReason::Asked => return Ok((String::new(), String::new())),
        CallBackReason::UnansweredQuote { quote } => {
            let body = app.store.get::<Quote>(quote).await?.body;
            let read = app.catalogue().await?;
            let prices = read.catalogue.prices.as_ref().filter(|p| p.currency.code == body.currency);
            let minor_digits = prices.map_or(2, |prices| prices.currency.minor_digits);
            let currency = Currency { code: body.currency, minor_digits };
            let options = body.options.iter();
            let options = options
                .map(|option| format!("{}, {}", option.title, currency.text(option.total_minor, language)));
            let ran_out = body.valid_until < today(app, zone).to_string();
            let options: Vec<String> = options.collect();
            let say = ring_about_quote(language, &options, &body.valid_until, ran_out);
            return Ok((format!("/quotes/{quote}"), say));
        }
        CallBackReason::PartsArrived { job }
        | CallBackReason::RetorqueDue { job }
        | CallBackReason::RecheckDue { job }
        | CallBackReason::WaitingForCancellation { job } => job,
    };
    let body = app.store.get::<Job>(job).await?.body;
    let plate = app.store.get::<Van>(&body.van).await?.body.plate;
    let name = format!("{plate}, {}", body.title);
    let whole_job = body.booking.as_ref().map_or(4 * 60, |held| held.minutes_nine_in_ten);
    let minutes = match call.reason {
        CallBackReason::RetorqueDue { .. } | CallBackReason::RecheckDue { .. } => SHORT_VISIT,
        _ => whole_job,
    };
    let free = app.store.first_free(minutes, app.now_ms(), None, false).await.ok();
    // nobody comes sooner by a later time
    let sooner = |from_ms: i64| body.booking.as_ref().is_none_or(|held| from_ms < held.from_ms);
    let free = free.filter(|free| {
        !matches!(call.reason, CallBackReason::WaitingForCancellation { .. }) || sooner(free.from_ms)
    });
    let free = free.map(|free| moment(zone, free.from_ms, language));
    let free = free.as_deref();
    let booked = body.booking.as_ref().map(|held| moment(zone, held.from_ms, language)).unwrap_or_default();
    let say = match call.reason {
        CallBackReason::RetorqueDue { .. } => ring_retorque(language, &name, free),
        CallBackReason::RecheckDue { .. } => ring_recheck(language, &name, free),
        CallBackReason::WaitingForCancellation { .. } => ring_ramp_free(language, &name, &booked, free),
        _ => ring_parts_there(language, &name, free),
    };
    Ok((format!("/jobs/{job}"), say))
}

/// `POST /calls/{id}/done`: the call was made; what came of it.
pub(crate) async fn done(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let made = made(&app, &id, &by, &posted, f.w).await;
    told(&app, f, &id, made, &posted).await
}

async fn made(app: &App, id: &Id, by: &By, posted: &Posted, w: &PageWords) -> Handled<()> {
    let outcome = posted.get("outcome");
    if outcome.is_empty() {
        return Err(amiss(w.outcome_missing));
    }
    app.store.call_made(by, id, posted.saw(), outcome).await?;
    Ok(())
}

/// `POST /calls/{id}/later`: nobody answered, or another day was wished.
pub(crate) async fn later(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let moved = moved(&app, &id, &by, &posted, f.w).await;
    told(&app, f, &id, moved, &posted).await
}

async fn moved(app: &App, id: &Id, by: &By, posted: &Posted, w: &PageWords) -> Handled<()> {
    let zone = zone_of(&diary_if_any(app).await?)?;
    let day = coming_day(posted.get("again_on"), days_on(today(app, &zone), 1), w)?;
    let due_ms = begin_of(&zone, day).ok_or_else(|| amiss(w.day_wrong))?;
    let call = CallBack { due_ms, ..app.store.get::<CallBack>(id).await?.body };
    app.store.change(by, id, posted.saw(), &call).await?;
    Ok(())
}

/// Goes on to the list; refused, what was typed stays.
async fn told(app: &App, f: Frame, id: &Id, done: Handled<()>, posted: &Posted) -> Handled<Response> {
    let (language, reason) = (f.language(), posted.get("reason"));
    match done {
        Ok(()) if REASONS.contains(&reason) => Ok(to(&format!("/calls?reason={reason}"))),
        Ok(()) => Ok(to("/calls")),
        Err(problem) => {
            let fault = problem.detail(language).to_owned();
            let refused = Refused { id, status: problem.status(), fault, posted };
            listed(app, f, reason, Some(refused)).await
        }
    }
}
