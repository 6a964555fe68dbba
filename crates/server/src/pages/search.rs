//! Whoever and whatever is found by a plate, a name, a telephone number or a van, each with what to do next.

use std::collections::BTreeSet;

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use store::records::{Customer, Enquiry, Job, JobState, Van};
use store::{Id, Kind, Stored};

use super::next_step::{Step, of_enquiry, of_job};
use super::words::PageWords;
use super::{Frame, page};
use crate::app::App;
use crate::problem::{Handled, Problem};

const MOST_FOUND: usize = 50;
const LONGEST: usize = 200;

/// Somebody or something found, and what is to be done about it.
struct Hit {
    what: &'static str,
    title: String,
    detail: String,
    phones: Vec<String>,
    steps: Vec<NamedStep>,
    /// Where an enquiry about it begins.
    begin: String,
}

/// A step and what it belongs to.
struct NamedStep {
    of: String,
    step: Step,
}

#[derive(Template)]
#[template(path = "search.html")]
struct SearchPage {
    f: Frame,
    q: String,
    hits: Vec<Hit>,
}

#[derive(Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    q: String,
}

/// `GET /search?q=`
pub(crate) async fn found(State(app): State<App>, f: Frame, Query(asked): Query<Asked>) -> Handled<Response> {
    let q = asked.q.trim().to_owned();
    if q.chars().count() > LONGEST || q.contains('\0') {
        return Err(Problem::invalid("q", ("at most 200 letters", "höchstens 200 Buchstaben")));
    }
    let found = if q.is_empty() { Vec::new() } else { app.store.search(&q, MOST_FOUND).await? };
    let mut hits = Hits { app: &app, w: f.w, told: BTreeSet::new(), hits: Vec::new() };
    for hit in found {
        match hit.kind {
            Kind::Enquiry => hits.enquiry(app.store.get::<Enquiry>(&hit.id).await?).await?,
            Kind::Job => {
                let van = app.store.get::<Job>(&hit.id).await?.body.van;
                hits.van(app.store.get::<Van>(&van).await?).await?;
            }
            Kind::Van => hits.van(app.store.get::<Van>(&hit.id).await?).await?,
            Kind::Customer => hits.customer(app.store.get::<Customer>(&hit.id).await?).await?,
            _ => {}
        }
    }
    let hits = hits.hits;
    Ok(page(StatusCode::OK, &SearchPage { f, q, hits }))
}

/// Hits as they are gathered, each once.
struct Hits<'a> {
    app: &'a App,
    w: &'static PageWords,
    told: BTreeSet<String>,
    hits: Vec<Hit>,
}

impl Hits<'_> {
    /// Whether it is told for the first time.
    fn is_new(&mut self, id: &Id) -> bool {
        self.told.insert(id.to_string())
    }

    /// The customer's vans, or the customer alone who has none.
    async fn customer(&mut self, customer: Stored<Customer>) -> Handled<()> {
        let vans = self.app.store.naming::<Van>(Kind::Customer, &customer.id).await?;
        let alone = vans.is_empty();
        for van in vans {
            self.van(van).await?;
        }
        if !alone || !self.is_new(&customer.id) {
            return Ok(());
        }
        let mut steps = Vec::new();
        for enquiry in self.app.store.naming::<Enquiry>(Kind::Customer, &customer.id).await? {
            steps.extend(self.open(enquiry).await?);
        }
        self.hits.push(Hit {
            what: self.w.customer,
            title: customer.body.name,
            detail: String::new(),
            phones: customer.body.phones,
            steps,
            begin: format!("/enquiries/new?customer={}", customer.id),
        });
        Ok(())
    }

    async fn van(&mut self, van: Stored<Van>) -> Handled<()> {
        if !self.is_new(&van.id) {
            return Ok(());
        }
        let (store, mut steps) = (&self.app.store, Vec::new());
        let mut jobs = store.naming::<Job>(Kind::Van, &van.id).await?;
        jobs.reverse();
        let is_over =
            |job: &Stored<Job>| matches!(job.body.state, JobState::HandedOver | JobState::Cancelled);
        // of what is over the last one tells enough
        let last_over = jobs.iter().position(is_over);
        for (n, job) in jobs.iter().enumerate() {
            if !is_over(job) || last_over == Some(n) {
                steps.push(NamedStep {
                    of: job.body.title.clone(),
                    step: of_job(self.app, job, self.w).await?,
                });
            }
        }
        for enquiry in store.naming::<Enquiry>(Kind::Van, &van.id).await? {
            steps.extend(self.open(enquiry).await?);
        }
        let owner = store.get::<Customer>(&van.body.customer).await?;
        self.hits.push(Hit {
            what: self.w.van,
            title: [van.body.plate, van.body.description]
                .into_iter()
                .filter(|text| !text.is_empty())
                .collect::<Vec<_>>()
                .join(" · "),
            detail: owner.body.name,
            phones: owner.body.phones,
            steps,
            begin: format!("/enquiries/new?customer={}&van={}", owner.id, van.id),
        });
        Ok(())
    }

    async fn enquiry(&mut self, enquiry: Stored<Enquiry>) -> Handled<()> {
        if let Some(van) = &enquiry.body.van {
            return self.van(self.app.store.get::<Van>(van).await?).await;
        }
        if self.is_new(&enquiry.id) {
            let step = of_enquiry(self.app, &enquiry.id, self.w).await?;
            let over = Step { words: self.w.closed.to_owned(), href: format!("/enquiries/{}", enquiry.id) };
            self.hits.push(Hit {
                what: self.w.enquiry,
                title: enquiry.body.caller,
                detail: String::new(),
                phones: enquiry.body.phone.into_iter().collect(),
                steps: vec![NamedStep { of: enquiry.body.question, step: step.unwrap_or(over) }],
                begin: String::new(),
            });
        }
        Ok(())
    }

    /// An enquiry that is not over.
    async fn open(&mut self, enquiry: Stored<Enquiry>) -> Handled<Option<NamedStep>> {
        let is_new = self.is_new(&enquiry.id);
        let step = of_enquiry(self.app, &enquiry.id, self.w).await?.filter(|_| is_new);
        Ok(step.map(|step| NamedStep { of: enquiry.body.question, step }))
    }
}
