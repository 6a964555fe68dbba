//! Quotes: the list, one quote read back, its paper, and what is done with it.

pub(crate) mod draft;
mod read_back;

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use jiff::ToSpan;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use serde::Deserialize;
use store::records::{Answer, Customer, Enquiry, Job, JobState, Quote, QuoteState, Van};
use store::{By, Id, Kind, Stored};
use workshop::facts::Language;
use workshop::price::Currency;

use super::diary::{diary_if_any, local, zone_of};
use super::form::Posted;
use super::words::{PageWords, words};
use super::{Frame, amiss, id_of, page, to};
use crate::api::quotes::code_of;
use crate::app::App;
use crate::caller::{Writer, named_language};
use crate::extract::At;
use crate::problem::Handled;
use crate::secrets::secret;
use read_back::{Changed, ReadBack};
pub(super) use read_back::{LETTERS, Source};

fn state_words(w: &PageWords, state: QuoteState) -> &'static str {
    match state {
        QuoteState::Draft => w.quote_draft,
        QuoteState::Sent => w.quote_sent,
        QuoteState::Accepted => w.quote_accepted,
        QuoteState::Declined => w.quote_declined,
        QuoteState::Superseded => w.quote_superseded,
    }
}

/// Today in the workshop.
pub(super) fn today(app: &App, zone: &TimeZone) -> Date {
    local(zone, app.now_ms()).date()
}

/// The beginning of a day, ms.
pub(super) fn begin_of(zone: &TimeZone, day: Date) -> Option<i64> {
    Some(zone.to_timestamp(day.at(0, 0, 0, 0)).ok()?.as_millisecond())
}

/// A day that is not past, or why not.
pub(super) fn coming_day(typed: &str, today: Date, w: &PageWords) -> Handled<Date> {
    typed.parse::<Date>().ok().filter(|day| *day >= today).ok_or_else(|| amiss(w.day_wrong))
}

/// A day so many days later.
pub(super) fn days_on(day: Date, days: i64) -> Date {
    day.checked_add(days.days()).unwrap_or(day)
}

/// A row of the list.
struct QuoteRow {
    id: Id,
    revision: i64,
    customer: String,
    titles: String,
    totals: String,
    valid_until: String,
    ran_out: bool,
    state: &'static str,
}

#[derive(Template)]
#[template(path = "quotes.html")]
struct QuotesPage {
    f: Frame,
    open: Vec<QuoteRow>,
    settled: Vec<QuoteRow>,
    older: Option<Id>,
}

#[derive(Deserialize)]
pub(crate) struct Asked {
    before: Option<String>,
}

/// `GET /quotes?before=`
pub(crate) async fn list(State(app): State<App>, f: Frame, Query(asked): Query<Asked>) -> Handled<Response> {
    const ON_A_PAGE: u32 = 100;
    let before = asked.before.as_deref().map(id_of).transpose()?;
    let today = today(&app, &zone_of(&diary_if_any(&app).await?)?).to_string();
    let part = app.store.latest::<Quote>(before.as_ref(), ON_A_PAGE).await?;
    let is_open = |kept: &Stored<Quote>| matches!(kept.body.state, QuoteState::Sent | QuoteState::Draft);
    let (mut open, settled): (Vec<_>, Vec<_>) = part.records.into_iter().partition(is_open);
    // soonest to run out first; what ran out already, the latest first
    open.sort_by(|a, b| {
        let (a, b) = (&a.body.valid_until, &b.body.valid_until);
        match (*a < today, *b < today) {
            (true, true) => b.cmp(a),
            (false, false) => a.cmp(b),
            (ran_out, _) => ran_out.cmp(&!ran_out),
        }
    });
    let prices = app.catalogue().await?.catalogue.prices.as_ref().map(|prices| prices.currency.clone());
    let mut shown = [Vec::new(), Vec::new()];
    for (rows, kept) in shown.iter_mut().zip([open, settled]) {
        for quote in kept {
            rows.push(row(&app, &f, quote, &today, prices.as_ref()).await?);
        }
    }
    let [open, settled] = shown;
    Ok(page(StatusCode::OK, &QuotesPage { f, open, settled, older: part.next }))
}

async fn row(
    app: &App,
    f: &Frame,
    kept: Stored<Quote>,
    today: &str,
    prices: Option<&Currency>,
) -> Handled<QuoteRow> {
    let quote = kept.body;
    let customer = app.store.get::<Customer>(&quote.customer).await?.body.name;
    let same = prices.filter(|prices| prices.code == quote.currency);
    let minor_digits = same.map_or(2, |prices| prices.minor_digits);
    let currency = Currency { code: quote.currency.clone(), minor_digits };
    let chosen = |n: usize| quote.taken.is_none_or(|taken| taken == n);
    let options: Vec<_> = quote.options.iter().enumerate().filter(|(n, _)| chosen(*n)).collect();
    let titles: Vec<&str> = options.iter().map(|(_, option)| option.title.as_str()).collect();
    let totals: Vec<String> =
        options.iter().map(|(_, option)| currency.text(option.total_minor, f.language())).collect();
    Ok(QuoteRow {
        id: kept.id,
        revision: quote.revision,
        customer,
        titles: titles.join(" · "),
        totals: totals.join(" · "),
        ran_out: quote.state == QuoteState::Sent && quote.valid_until.as_str() < today,
        state: state_words(f.w, quote.state),
        valid_until: quote.valid_until,
    })
}

/// A version of the quotes of an enquiry.
struct VersionRow {
    id: Id,
    revision: i64,
    state: &'static str,
    valid_until: String,
    is_this: bool,
}

impl VersionRow {
    fn of(version: &Stored<Quote>, this: Option<&Id>, w: &PageWords) -> Self {
        Self {
            id: version.id.clone(),
            revision: version.body.revision,
            state: state_words(w, version.body.state),
            valid_until: version.body.valid_until.clone(),
            is_this: this == Some(&version.id),
        }
    }
}

/// What was typed, or is proposed, in the forms of a quote.
#[derive(Default)]
struct Typed {
    ring: String,
    says: String,
    because: String,
}

#[derive(Template)]
#[template(path = "quote.html")]
struct QuotePage {
    f: Frame,
    id: Id,
    version: i64,
    key: String,
    quote: Quote,
    state: &'static str,
    ran_out: bool,
    customer: String,
    phone: Option<String>,
    plate: Option<String>,
    read: ReadBack,
    changes: Vec<Changed>,
    /// Version that the changes are held against.
    earlier: Option<i64>,
    versions: Vec<VersionRow>,
    is_latest: bool,
    job: Option<Id>,
    /// Why it was declined.
    because: String,
    typed: Typed,
    fault: String,
}

impl QuotePage {
    fn language_of_text(&self) -> &'static str {
        code_of(self.read.written_in)
    }

    fn is(&self, state: &str) -> bool {
        format!("{:?}", self.quote.state).eq_ignore_ascii_case(state)
    }
}

/// What stands around a quote: the enquiry, the answer it is from, for whom and for which van it is.
struct Around {
    enquiry: Enquiry,
    answer: Answer,
    customer: Customer,
    plate: Option<String>,
}

async fn around(app: &App, quote: &Quote) -> Handled<Around> {
    let enquiry = app.store.get::<Enquiry>(&quote.enquiry).await?.body;
    let plate = match quote.van.as_ref().or(enquiry.van.as_ref()) {
        Some(van) => Some(app.store.get::<Van>(van).await?.body.plate),
        None => None,
    };
    let answer = app.store.get::<Answer>(&quote.answer).await?.body;
    let customer = app.store.get::<Customer>(&quote.customer).await?.body;
    Ok(Around { enquiry, answer, customer, plate })
}

/// `GET /quotes/{id}`
pub(crate) async fn show(State(app): State<App>, f: Frame, At(id): At) -> Handled<Response> {
    shown(&app, f, &id, StatusCode::OK, String::new(), None).await
}

async fn shown(
    app: &App,
    f: Frame,
    id: &Id,
    status: StatusCode,
    fault: String,
    posted: Option<&Posted>,
) -> Handled<Response> {
    let kept = app.store.get::<Quote>(id).await?;
    let (language, w, quote) = (f.language(), f.w, kept.body);
    let Around { enquiry, answer, customer, plate } = around(app, &quote).await?;
    let source = Source { quote: &quote, result: &answer.result };
    let mut all = app.store.naming::<Quote>(Kind::Enquiry, &quote.enquiry).await?;
    all.sort_by_key(|version| std::cmp::Reverse(version.body.revision));
    let earlier = all.iter().find(|version| Some(&version.id) == quote.supersedes.as_ref());
    let mut changes = Vec::new();
    if let Some(earlier) = earlier {
        let before = app.store.get::<Answer>(&earlier.body.answer).await?.body;
        let before = Source { quote: &earlier.body, result: &before.result };
        changes = source.changes_since(&before, w, language);
    }
    let today = today(app, &zone_of(&diary_if_any(app).await?)?);
    let typed = match posted {
        Some(posted) => Typed {
            ring: posted.get("ring").to_owned(),
            says: posted.get("says").to_owned(),
            because: posted.get("because").to_owned(),
        },
        None => Typed { ring: days_on(today, 7).to_string(), ..Typed::default() },
    };
    let shown = QuotePage {
        version: kept.version,
        key: secret()?,
        state: state_words(w, quote.state),
        ran_out: quote.state == QuoteState::Sent && quote.valid_until < today.to_string(),
        customer: customer.name,
        phone: customer.phones.into_iter().next().or(enquiry.phone),
        plate,
        read: source.read_back(w, language),
        changes,
        earlier: earlier.map(|earlier| earlier.body.revision),
        is_latest: all.first().is_some_and(|latest| latest.id == kept.id),
        versions: all.iter().map(|version| VersionRow::of(version, Some(&kept.id), w)).collect(),
        job: job_of(app, &kept.id).await?.map(|job| job.id),
        because: if quote.state == QuoteState::Declined {
            because(app, &kept.id).await?
        } else {
            String::new()
        },
        typed,
        fault,
        id: kept.id,
        quote,
        f,
    };
    Ok(page(status, &shown))
}

/// The job that was booked from a quote and not cancelled.
pub(super) async fn job_of(app: &App, quote: &Id) -> Handled<Option<Stored<Job>>> {
    let jobs = app.store.naming::<Job>(Kind::Quote, quote).await?;
    Ok(jobs.into_iter().find(|job| job.body.state != JobState::Cancelled))
}

/// Why a quote was last changed, as it was said then.
async fn because(app: &App, id: &Id) -> Handled<String> {
    let history = app.store.history_of(Kind::Quote, id).await?;
    Ok(history.into_iter().next_back().map(|entry| entry.why).unwrap_or_default())
}

#[derive(Template)]
#[template(path = "quote_paper.html")]
struct PaperPage {
    f: Frame,
    id: Id,
    quote: Quote,
    workshop: String,
    customer: Customer,
    plate: Option<String>,
    read: ReadBack,
    drafted: String,
}

/// `GET /quotes/{id}/paper`: one sheet per option, in the customer's language.
pub(crate) async fn paper(State(app): State<App>, f: Frame, At(id): At) -> Handled<Response> {
    let kept = app.store.get::<Quote>(&id).await?;
    let Around { answer, customer, plate, .. } = around(&app, &kept.body).await?;
    let zone = zone_of(&diary_if_any(&app).await?)?;
    let source = Source { quote: &kept.body, result: &answer.result };
    let language = source.written_in();
    let workshop = app.store.get::<store::records::Setting>(&"workshop".parse()?).await;
    let name = |kept: Stored<store::records::Setting>| {
        let value = kept.body.value;
        value["name"].as_str().or(value.as_str()).unwrap_or_default().to_owned()
    };
    let read = source.read_back(words(language), language);
    let shown = PaperPage {
        f: Frame { w: words(language), ..f },
        drafted: local(&zone, kept.updated_ms).date().to_string(),
        workshop: workshop.map(name).unwrap_or_default(),
        id: kept.id,
        quote: kept.body,
        customer,
        plate,
        read,
    };
    Ok(page(StatusCode::OK, &shown))
}

/// `POST /quotes/{id}/given`: with the customer now; frozen.
pub(crate) async fn given(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let done = give(&app, &id, &by, &posted, f.w).await;
    told(&app, f, &id, done, &posted).await
}

async fn give(app: &App, id: &Id, by: &By, posted: &Posted, w: &PageWords) -> Handled<Stored<Quote>> {
    let zone = zone_of(&diary_if_any(app).await?)?;
    let day = coming_day(posted.get("ring"), today(app, &zone), w)?;
    let ring_ms = begin_of(&zone, day).ok_or_else(|| amiss(w.day_wrong))?;
    Ok(app.store.send_quote(by, id, posted.saw(), ring_ms).await?)
}

/// `POST /quotes/{id}/answer`: what the customer says.
pub(crate) async fn answered(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let done = take(&app, &id, by, &posted, f.w).await;
    told(&app, f, &id, done, &posted).await
}

async fn take(app: &App, id: &Id, by: By, posted: &Posted, w: &PageWords) -> Handled<Stored<Quote>> {
    let (says, why) = (posted.get("says"), posted.get("because"));
    let taken = match says {
        "declines" if why.is_empty() => return Err(amiss(w.because_missing)),
        "declines" => None,
        says => Some(says.parse::<usize>().map_err(|_| amiss(w.answer_missing))?),
    };
    let by = if taken.is_none() { by.because(why) } else { by };
    Ok(app.store.answer_quote(&by, id, posted.saw(), taken).await?)
}

/// Goes on to the quote; refused, what was typed stays.
async fn told(
    app: &App,
    f: Frame,
    id: &Id,
    done: Handled<Stored<Quote>>,
    posted: &Posted,
) -> Handled<Response> {
    let language = f.language();
    match done {
        Ok(quote) => Ok(to(&format!("/quotes/{}", quote.id))),
        Err(problem) => {
            let fault = problem.detail(language).to_owned();
            shown(app, f, id, problem.status(), fault, Some(posted)).await
        }
    }
}

/// The language in which a customer is written and spoken to.
pub(super) fn customers_language(customer: &Customer, f: &Frame) -> Language {
    customer.language.as_deref().map_or(f.language(), named_language)
}
