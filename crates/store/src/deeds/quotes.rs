//! Quotes: drafted, sent, answered.

use serde::{Deserialize, Serialize};

use super::answers::enquiry_of;
use crate::by::By;
use crate::database::Store;
use crate::error::{Error, Result};
use crate::records::{
    CallBack, CallBackReason, Enquiry, EnquiryState, Id, Kind, Quote, QuoteOption, QuoteState, Stored,
};
use crate::work::{Work, begin};

use super::call_backs::no_need_to_ring;
use super::papers::ids_naming;

/// A quote to be drafted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NewQuote {
    /// Who gets it.
    pub customer: Id,
    /// For which van.
    pub van: Option<Id>,
    /// The answer it is made from.
    pub answer: Id,
    /// One to three options side by side.
    pub options: Vec<QuoteOption>,
    /// Last day it holds, ISO date.
    pub valid_until: String,
    /// The paragraph to read out on the telephone.
    pub read_aloud: String,
    /// Three letters of the currency.
    pub currency: String,
}

impl NewQuote {
    fn into_quote(self, enquiry: Id, revision: i64, supersedes: Option<Id>) -> Quote {
        Quote {
            customer: self.customer,
            van: self.van,
            enquiry,
            answer: self.answer,
            revision,
            supersedes,
            options: self.options,
            valid_until: self.valid_until,
            read_aloud: self.read_aloud,
            currency: self.currency,
            state: QuoteState::Draft,
            taken: None,
        }
    }
}

impl Store {
    /// Drafts a quote: the next revision of its enquiry.
    ///
    /// # Errors
    /// [`Error::NotFound`]; [`Error::Invalid`].
    pub async fn draft_quote(&self, by: &By, new: &NewQuote) -> Result<Stored<Quote>> {
        let mut work = begin!(self, by, "draft quote", new);
        let enquiry = enquiry_of(&mut work, &new.answer).await?;
        let latest = latest_of(&mut work, &enquiry).await?;
        let revision = latest.as_ref().map_or(0, |quote| quote.body.revision) + 1;
        let quote = new.clone().into_quote(enquiry, revision, latest.map(|quote| quote.id));
        let stored = work.add(&quote).await?;
        work.done(stored).await
    }

    /// Changes a quote that was not sent yet.
    ///
    /// # Errors
    /// [`Error::WrongState`] once it was sent: draft the next revision; [`Error::Conflict`];
    /// [`Error::Invalid`] for an answer to another enquiry.
    pub async fn change_quote(&self, by: &By, id: &Id, saw: i64, new: &NewQuote) -> Result<Stored<Quote>> {
        let deed = "change quote";
        let mut work = begin!(self, by, deed, (id, saw, new));
        let before = work.get_seen::<Quote>(id, saw).await?;
        must_be(deed, &before, QuoteState::Draft)?;
        if enquiry_of(&mut work, &new.answer).await? != before.body.enquiry {
            return Err(Error::invalid("answer", new.answer.as_str(), "an answer to the same enquiry"));
        }
        let Quote { enquiry, revision, supersedes, .. } = before.body;
        let stored = work.change(id, saw, &new.clone().into_quote(enquiry, revision, supersedes)).await?;
        work.done(stored).await
    }

    /// Sends a quote: it is frozen, its enquiry is quoted, earlier ones are superseded, and the customer is to be rung from
    /// `ring_ms` on.
    ///
    /// # Errors
    /// [`Error::WrongState`]; [`Error::Conflict`].
    pub async fn send_quote(&self, by: &By, id: &Id, saw: i64, ring_ms: i64) -> Result<Stored<Quote>> {
        let deed = "send quote";
        let mut work = begin!(self, by, deed, (id, saw, ring_ms));
        let mut quote = work.get_seen::<Quote>(id, saw).await?;
        must_be(deed, &quote, QuoteState::Draft)?;
        supersede_earlier(&mut work, &quote).await?;
        quote.body.state = QuoteState::Sent;
        let stored = work.change(id, saw, &quote.body).await?;
        set_enquiry(&mut work, &quote.body.enquiry, EnquiryState::Quoted).await?;
        let reason = CallBackReason::UnansweredQuote { quote: id.clone() };
        work.add(&CallBack::due(&quote.body.customer, reason, ring_ms)).await?;
        work.done(stored).await
    }

    /// The customer takes an option of a quote that was sent, or none; with none the enquiry is closed.
    ///
    /// # Errors
    /// [`Error::WrongState`]; [`Error::Conflict`]; [`Error::Invalid`] for an option there is not.
    pub async fn answer_quote(
        &self,
        by: &By,
        id: &Id,
        saw: i64,
        taken: Option<usize>,
    ) -> Result<Stored<Quote>> {
        let deed = "answer quote";
        let mut work = begin!(self, by, deed, (id, saw, taken));
        let mut quote = work.get_seen::<Quote>(id, saw).await?;
        must_be(deed, &quote, QuoteState::Sent)?;
        quote.body.state = if taken.is_some() { QuoteState::Accepted } else { QuoteState::Declined };
        quote.body.taken = taken;
        let stored = work.change(id, saw, &quote.body).await?;
        if taken.is_none() {
            set_enquiry(&mut work, &quote.body.enquiry, EnquiryState::Closed).await?;
        }
        stop_ringing(&mut work, id, "answered").await?;
        work.done(stored).await
    }

    /// Closes an enquiry that nobody goes on with: given up, or a matter that is done. Nobody is rung about its quotes
    /// any more.
    ///
    /// # Errors
    /// [`Error::Conflict`]; [`Error::NotFound`].
    pub async fn close_enquiry(&self, by: &By, id: &Id, saw: i64) -> Result<Stored<Enquiry>> {
        let mut work = begin!(self, by, "close enquiry", (id, saw));
        let enquiry = work.get_seen::<Enquiry>(id, saw).await?.body;
        let stored = work.change(id, saw, &Enquiry { state: EnquiryState::Closed, ..enquiry }).await?;
        for quote in ids_naming(&mut work, Kind::Quote, Kind::Enquiry, id).await? {
            stop_ringing(&mut work, &quote, "closed").await?;
        }
        work.done(stored).await
    }

    /// Opens a closed enquiry again, as far as its quotes had brought it.
    ///
    /// # Errors
    /// [`Error::Conflict`]; [`Error::NotFound`].
    pub async fn open_enquiry(&self, by: &By, id: &Id, saw: i64) -> Result<Stored<Enquiry>> {
        let mut work = begin!(self, by, "open enquiry", (id, saw));
        let enquiry = work.get_seen::<Enquiry>(id, saw).await?.body;
        let state = match state_by_quotes(&mut work, id).await? {
            EnquiryState::Closed => EnquiryState::Open,
            state => state,
        };
        let stored = work.change(id, saw, &Enquiry { state, ..enquiry }).await?;
        work.done(stored).await
    }
}

/// How far its quotes have brought an enquiry; closed where all of them were declined.
pub(super) async fn state_by_quotes(work: &mut Work, enquiry: &Id) -> Result<EnquiryState> {
    let mut found = EnquiryState::Closed;
    let quotes = ids_naming(work, Kind::Quote, Kind::Enquiry, enquiry).await?;
    for quote in &quotes {
        match work.get::<Quote>(quote).await?.body.state {
            QuoteState::Sent | QuoteState::Accepted => return Ok(EnquiryState::Quoted),
            QuoteState::Draft => found = EnquiryState::Open,
            QuoteState::Declined | QuoteState::Superseded => {}
        }
    }
    Ok(if quotes.is_empty() { EnquiryState::Open } else { found })
}

/// Brings an enquiry into a state, where it is in another.
pub(super) async fn set_enquiry(work: &mut Work, id: &Id, state: EnquiryState) -> Result<()> {
    let mut enquiry = work.get::<Enquiry>(id).await?;
    if enquiry.body.state != state {
        enquiry.body.state = state;
        work.change(id, enquiry.version, &enquiry.body).await?;
    }
    Ok(())
}

async fn supersede_earlier(work: &mut Work, quote: &Stored<Quote>) -> Result<()> {
    for id in ids_naming(work, Kind::Quote, Kind::Enquiry, &quote.body.enquiry).await? {
        let mut earlier = work.get::<Quote>(&id).await?;
        let open = matches!(earlier.body.state, QuoteState::Draft | QuoteState::Sent);
        if earlier.body.revision < quote.body.revision && open {
            earlier.body.state = QuoteState::Superseded;
            work.change(&id, earlier.version, &earlier.body).await?;
            stop_ringing(work, &id, "superseded").await?;
        }
    }
    Ok(())
}

async fn stop_ringing(work: &mut Work, quote: &Id, outcome: &str) -> Result<()> {
    let about = CallBackReason::UnansweredQuote { quote: quote.clone() };
    no_need_to_ring(work, |reason| *reason == about, outcome).await
}

async fn latest_of(work: &mut Work, enquiry: &Id) -> Result<Option<Stored<Quote>>> {
    let mut latest: Option<Stored<Quote>> = None;
    for id in ids_naming(work, Kind::Quote, Kind::Enquiry, enquiry).await? {
        let quote = work.get::<Quote>(&id).await?;
        if latest.as_ref().is_none_or(|latest| latest.body.revision < quote.body.revision) {
            latest = Some(quote);
        }
    }
    Ok(latest)
}

fn must_be(deed: &'static str, quote: &Stored<Quote>, state: QuoteState) -> Result<()> {
    if quote.body.state == state {
        return Ok(());
    }
    let state = format!("{:?}", quote.body.state).to_lowercase();
    Err(Error::WrongState { deed, kind: Kind::Quote, id: quote.id.clone(), state })
}
