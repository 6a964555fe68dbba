//! The enquiry: what was asked and answered on the telephone, and what follows from it.

mod drawn;
mod explained;
mod load_boxes;
pub(crate) mod loads;
mod options;
mod questions;

use std::sync::Arc;

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use store::records::{Customer, Enquiry, EnquiryState, Job, Quote, Van};
use store::{By, EnquiryStage, Error, Id, Kind, Stored};
use workshop::answer::KnownVan;
use workshop::enquiry_text::EnquiryText;
use workshop::load_list::LoadState;
use workshop::wording::Manner;

use super::enquiries::stage_name;
use super::form::Posted;
use super::next_step::{Step, of_enquiry};
use super::words::PageWords;
use super::{Frame, id_of, page, to};
use crate::answers::Unanswered;
use crate::app::{App, ReadCatalogue};
use crate::caller::{Caller, Writer};
use crate::extract::At;
use crate::problem::{Handled, Problem, Quoted};
use crate::secrets::secret;
use crate::shortlists::{Listed, Question};
use drawn::{Drawn, drawn};
pub(crate) use explained::{compare, why_page};
use options::Answered;
use questions::{Asking, Questions, Values, answer, settle, values_of, vans};

#[derive(Template)]
#[template(path = "enquiry.html")]
struct EnquiryPage {
    f: Frame,
    id: Id,
    version: i64,
    enquiry: Enquiry,
    state: &'static str,
    /// The van by its name.
    van: String,
    is_closed: bool,
    /// Where it goes on: to be booked, or the job it became.
    onward: Option<Step>,
    questions: Questions,
    answered: Option<Answered>,
    drawn: Option<Drawn>,
    /// Why there is no answer.
    fault: String,
    /// What was not saved, and why.
    not_saved: Vec<(String, String)>,
    /// What is looked at, behind the question mark.
    looked: String,
}

/// What is looked at.
#[derive(Deserialize, Default)]
pub(crate) struct Looked {
    /// Kit that is drawn; the first of the list where absent.
    kit: Option<String>,
    /// Load state that is drawn; that of the wish where absent.
    state: Option<String>,
}

impl Looked {
    /// The same as it stands in an address, with its question mark.
    fn query(&self) -> String {
        let part = |name: &str, value: &Option<String>| {
            let value = value.as_deref().filter(|value| !value.is_empty())?;
            Some(format!("{name}={}", percent(value)))
        };
        let parts: Vec<String> =
            [part("kit", &self.kit), part("state", &self.state)].into_iter().flatten().collect();
        if parts.is_empty() { String::new() } else { format!("?{}", parts.join("&")) }
    }
}

/// Text as it stands in an address.
fn percent(text: &str) -> String {
    let kept = |b: u8| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.' | b'~');
    text.bytes().map(|b| if kept(b) { char::from(b).to_string() } else { format!("%{b:02X}") }).collect()
}

/// What a page is made from.
struct Seen {
    f: Frame,
    kept: Stored<Enquiry>,
    read: Arc<ReadCatalogue>,
    text: EnquiryText,
}

async fn seen(app: &App, f: Frame, id: &Id) -> Handled<Seen> {
    let kept = app.store.get::<Enquiry>(id).await?;
    let read = app.catalogue().await?;
    let text = EnquiryText::read(&kept.body.document)
        .map_err(|fault| Problem::new(StatusCode::CONFLICT, "enquiry_not_toml", Quoted(fault)))?;
    Ok(Seen { f, kept, read, text })
}

/// Writes a document where it was changed. Someone may have written in the same moment: then the enquiry as it stands
/// now.
async fn written(app: &App, by: &By, seen: Seen, document: String) -> Handled<Result<(), Seen>> {
    let Stored { id, version, body, .. } = seen.kept;
    if document == body.document {
        return Ok(Ok(()));
    }
    match app.store.change(by, &id, version, &Enquiry { document, ..body }).await {
        Ok(_) => Ok(Ok(())),
        Err(Error::Conflict(_)) => Ok(Err(self::seen(app, seen.f, &id).await?)),
        Err(e) => Err(e.into()),
    }
}

/// `GET /enquiries/{id}`: questions and answers as of now.
pub(crate) async fn show(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Query(looked): Query<Looked>,
) -> Handled<Response> {
    let seen = seen(&app, f, &id).await?;
    shown(&app, seen, looked, &Values::new(), &Values::new(), StatusCode::OK).await
}

async fn shown(
    app: &App,
    seen: Seen,
    looked: Looked,
    typed: &Values,
    faults: &Values,
    status: StatusCode,
) -> Handled<Response> {
    let Seen { f, kept, read, text } = seen;
    let (language, w, manner) = (f.language(), f.w, f.reads);
    let (worked, query) = (worked(app, &read, &kept, &looked, manner).await, looked.query());
    let values = values_of(&text, &read.catalogue, manner);
    let asking = Asking { catalogue: &read.catalogue, language, manner, w, kept: &values, typed, faults };
    let ask_next = worked.as_ref().ok().and_then(|worked| worked.listed.list.ask_next.as_ref());
    let questions = asking.questions(ask_next);
    let not_saved =
        questions.faulty().map(|faulty| (faulty.name.clone(), format!("{}: {}", faulty.label, faulty.fault)));
    let not_saved = not_saved.collect();
    let vehicle = text.text(&["vehicle"]).unwrap_or_default();
    let own: Vec<&str> = read.catalogue.kits_for(vehicle).map(|kit| kit.id.as_str()).collect();
    let (answered, drawn, fault) = match worked {
        Ok(Worked { listed, drawn }) => {
            let kit = drawn.kit.as_ref().map(|(kit, _)| kit.as_str());
            (
                Some(Answered::of(&listed.list, kit, &own, &read.catalogue.facts, w, language)),
                Some(drawn),
                String::new(),
            )
        }
        Err(problem) => (None, None, problem.detail(language).to_owned()),
    };
    let (stage, onward) = onward(app, &kept.id, w).await?;
    let van = vans(&read.catalogue).into_iter().find(|(value, _)| values.get("van") == Some(value));
    let shown = EnquiryPage {
        van: van.map(|(_, name)| name).unwrap_or_default(),
        is_closed: stage == EnquiryStage::Closed,
        f,
        id: kept.id,
        version: kept.version,
        state: stage_name(w, stage),
        onward,
        enquiry: kept.body,
        questions,
        answered,
        drawn,
        fault,
        not_saved,
        looked: query,
    };
    Ok(page(status, &shown))
}

/// The stage of an enquiry, and where it goes on.
async fn onward(app: &App, id: &Id, w: &PageWords) -> Handled<(EnquiryStage, Option<Step>)> {
    let stage = app.store.enquiry_stage(id).await?;
    let step = match stage {
        EnquiryStage::Accepted => of_enquiry(app, id, w).await?,
        EnquiryStage::Closed => job_of_enquiry(app, id, w).await?,
        EnquiryStage::Open | EnquiryStage::Answered => None,
    };
    Ok((stage, step))
}

/// The way to the job that was booked last from one of the quotes of an enquiry, cancelled or not.
async fn job_of_enquiry(app: &App, id: &Id, w: &PageWords) -> Handled<Option<Step>> {
    for quote in app.store.naming::<Quote>(Kind::Enquiry, id).await?.into_iter().rev() {
        if let Some(job) = app.store.naming::<Job>(Kind::Quote, &quote.id).await?.pop() {
            let words = format!("{}: {}", w.to_job, job.body.title);
            return Ok(Some(Step { words, href: format!("/jobs/{}", job.id) }));
        }
    }
    Ok(None)
}

/// What is computed for the page.
struct Worked {
    listed: Arc<Listed>,
    drawn: Drawn,
}

async fn worked(
    app: &App,
    read: &Arc<ReadCatalogue>,
    kept: &Stored<Enquiry>,
    looked: &Looked,
    manner: Manner,
) -> Handled<Worked> {
    let (document, id, kit) = (&kept.body.document, kept.id.clone(), looked.kit.clone());
    let (shortlists, question) = (Arc::clone(&app.shortlists), Question::of(read, document, None));
    let state = looked.state.clone().unwrap_or_default();
    let work = move |known: &KnownVan| {
        let listed = shortlists.of(&question, || Listed::of(known, None))?;
        let named = LoadState::CHOICES.iter().find(|(name, _)| *name == state);
        let state = named.map_or(known.enquiry.wish.state, |(_, state)| *state);
        let first = || listed.list.options.first().map(|option| option.kit.clone());
        let kit = kit.filter(|kit| !kit.is_empty()).or_else(first);
        let drawn = drawn(known, &listed.list, kit.as_deref(), state, &id, manner);
        Ok::<_, Unanswered>(Worked { listed, drawn })
    };
    app.of_the_van(read, document, work).await
}

/// `POST /enquiries/{id}`: answers, each written where it was changed; what others answered meanwhile stays.
pub(crate) async fn answered(
    State(app): State<App>,
    f: Frame,
    At(id): At,
    Query(looked): Query<Looked>,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let mut seen = seen(&app, f, &id).await?;
    let mut faults = Values::new();
    let manner = seen.f.boxes_of(&posted);
    seen.f.reads = manner;
    let current = values_of(&seen.text, &seen.read.catalogue, manner);
    let mut changed = seen.text.clone();
    for change in posted.changed() {
        let stands = current.get(change.name).map_or("", String::as_str);
        let fault = if stands != change.was && stands != change.now {
            Err(format!("{} {stands}. {}", seen.f.w.others_answered, seen.f.w.answer_again))
        } else {
            answer(&mut changed, change.name, change.now, manner)
        };
        if let Err(fault) = fault {
            faults.insert(change.name.to_owned(), fault);
        }
    }
    if let Err(missing) = settle(&mut changed, seen.f.w) {
        for (name, fault) in missing {
            faults.entry(name).or_insert(fault);
        }
    }
    if faults.is_empty() {
        let document = changed.to_string();
        match written(&app, &by, seen, document.clone()).await? {
            // an answer that was sent twice is there already
            Err(anew) if anew.kept.body.document != document => seen = anew,
            _ => return Ok(to(&format!("/enquiries/{id}{}", looked.query()))),
        }
        faults.insert("van".to_owned(), seen.f.w.answer_again.to_owned());
    }
    let typed = posted.changed().map(|change| (change.name.to_owned(), change.now.to_owned())).collect();
    shown(&app, seen, looked, &typed, &faults, StatusCode::UNPROCESSABLE_ENTITY).await
}

/// `POST /enquiries/{id}/close`: nobody goes on with it, and why.
pub(crate) async fn close(
    State(app): State<App>,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    app.store.close_enquiry(&by.because(posted.get("because")), &id, posted.saw()).await?;
    Ok(to(&format!("/enquiries/{id}")))
}

/// `POST /enquiries/{id}/open`: it goes on after all.
pub(crate) async fn open(
    State(app): State<App>,
    At(id): At,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    app.store.open_enquiry(&by, &id, posted.saw()).await?;
    Ok(to(&format!("/enquiries/{id}")))
}

/// What was typed on the page of a new enquiry.
#[derive(Default)]
struct NewEnquiry {
    caller: String,
    phone: String,
    question: String,
    van: String,
    /// Whose van it is, and which, where they are known already.
    customer: String,
    of_van: String,
    /// Made with the page, so that one page begins one enquiry.
    key: String,
}

#[derive(Template)]
#[template(path = "new_enquiry.html")]
struct NewEnquiryPage {
    f: Frame,
    typed: NewEnquiry,
    vans: Vec<(String, String)>,
    fault: String,
}

/// Whose enquiry it will be, where somebody was found first.
#[derive(Deserialize)]
pub(crate) struct About {
    #[serde(default)]
    customer: String,
    #[serde(default)]
    van: String,
}

/// `GET /enquiries/new?customer=&van=`
pub(crate) async fn new(State(app): State<App>, f: Frame, Query(about): Query<About>) -> Handled<Response> {
    let read = app.catalogue().await?;
    let (vans, typed) = (vans(&read.catalogue), of_those_known(&app, &about).await?);
    Ok(page(StatusCode::OK, &NewEnquiryPage { f, typed, vans, fault: String::new() }))
}

async fn of_those_known(app: &App, about: &About) -> Handled<NewEnquiry> {
    let mut typed = NewEnquiry { key: secret()?, ..NewEnquiry::default() };
    if !about.customer.is_empty() {
        let customer = app.store.get::<Customer>(&id_of(&about.customer)?).await?;
        typed.customer = customer.id.to_string();
        typed.caller = customer.body.name;
        typed.phone = customer.body.phones.into_iter().next().unwrap_or_default();
    }
    if !about.van.is_empty() {
        let van = app.store.get::<Van>(&id_of(&about.van)?).await?;
        typed.of_van = van.id.to_string();
        let named = van.body.vehicle.zip(van.body.grade);
        typed.van = named.map(|(vehicle, grade)| format!("{vehicle}/{grade}")).unwrap_or_default();
    }
    Ok(typed)
}

/// `POST /enquiries`: the van alone is enough to begin.
pub(crate) async fn begin(
    State(app): State<App>,
    caller: Caller,
    f: Frame,
    Writer(by): Writer,
    posted: Posted,
) -> Handled<Response> {
    let typed = NewEnquiry {
        caller: posted.get("caller").to_owned(),
        phone: posted.get("phone").to_owned(),
        question: posted.get("question").to_owned(),
        van: posted.get("van").to_owned(),
        customer: posted.get("customer").to_owned(),
        of_van: posted.get("of_van").to_owned(),
        key: posted.get("key").to_owned(),
    };
    let read = app.catalogue().await?;
    let vans = vans(&read.catalogue);
    if !vans.iter().any(|(van, _)| *van == typed.van) {
        let fault = f.w.van_missing.to_owned();
        return Ok(page(StatusCode::UNPROCESSABLE_ENTITY, &NewEnquiryPage { f, typed, vans, fault }));
    }
    let known = |id: &str| (!id.is_empty()).then(|| id_of(id)).transpose();
    let (customer, van) = (known(&typed.customer)?, known(&typed.of_van)?);
    let (vehicle, grade) = typed.van.split_once('/').unwrap_or_default();
    let question = if typed.question.is_empty() { f.w.asked_by_telephone } else { &typed.question };
    let one_line = question.split_whitespace().collect::<Vec<_>>().join(" ");
    let body = Enquiry {
        customer,
        van,
        caller: typed.caller.clone(),
        phone: (!typed.phone.is_empty()).then(|| typed.phone.clone()),
        question: question.to_owned(),
        document: EnquiryText::new("by-telephone", &one_line, vehicle, grade).to_string(),
        state: EnquiryState::Open,
    };
    let kept = app.store.add(&posted.keyed(by, &caller), &body).await?;
    Ok(to(&format!("/enquiries/{}", kept.id)))
}
