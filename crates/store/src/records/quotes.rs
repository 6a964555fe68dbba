//! Quotes.

use serde::{Deserialize, Serialize};

use super::{Id, Kind, Record};
use crate::error::{Error, Result};
use crate::index::Index;

/// A quote. Once sent it is frozen; a change is a new revision that supersedes it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Quote {
    /// Who gets it.
    pub customer: Id,
    /// For which van.
    pub van: Option<Id>,
    /// The enquiry it belongs to.
    pub enquiry: Id,
    /// The answer it was made from.
    pub answer: Id,
    /// Counts the quotes of one enquiry from 1.
    pub revision: i64,
    /// The revision before.
    pub supersedes: Option<Id>,
    /// One to three options side by side.
    pub options: Vec<QuoteOption>,
    /// Last day it holds, ISO date.
    pub valid_until: String,
    /// The paragraph to read out on the telephone.
    pub read_aloud: String,
    /// Three letters of the currency.
    pub currency: String,
    /// How far it is.
    pub state: QuoteState,
    /// Which option was taken, counted from 0.
    pub taken: Option<usize>,
}

/// One option of a quote.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct QuoteOption {
    /// Name in the customer's words.
    pub title: String,
    /// The kit, or `springs+dampers` of two.
    pub kit: String,
    /// What is sold.
    pub lines: Vec<QuoteLine>,
    /// Sum with tax, minor units.
    pub total_minor: i64,
    /// Of that tax, minor units.
    pub tax_minor: i64,
    /// Ramp time in nine of ten cases, minutes.
    pub ramp_minutes_nine_in_ten: u32,
}

/// One line of an option.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct QuoteLine {
    /// What it is.
    pub text: String,
    /// How many.
    pub quantity: f64,
    /// Price of all of them before tax, minor units.
    pub net_minor: i64,
}

/// How far a quote is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum QuoteState {
    /// Being written.
    Draft,
    /// With the customer; frozen.
    Sent,
    /// Taken.
    Accepted,
    /// Not taken.
    Declined,
    /// Replaced by the next revision.
    Superseded,
}

impl QuoteState {
    /// Name in the database and in files.
    pub fn name(self) -> &'static str {
        match self {
            Self::Draft => "draft",
            Self::Sent => "sent",
            Self::Accepted => "accepted",
            Self::Declined => "declined",
            Self::Superseded => "superseded",
        }
    }
}

impl Record for Quote {
    const KIND: Kind = Kind::Quote;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Customer, &self.customer);
        index.link_if(Kind::Van, self.van.as_ref());
        index.link(Kind::Enquiry, &self.enquiry);
        index.link(Kind::Answer, &self.answer);
        index.link_if(Kind::Quote, self.supersedes.as_ref());
        index.state(self.state.name());
    }

    fn check(&self) -> Result<()> {
        if !(1..=3).contains(&self.options.len()) {
            return Err(Error::invalid("options", self.options.len().to_string(), "one to three options"));
        }
        if self.taken.is_some_and(|taken| taken >= self.options.len()) {
            return Err(Error::invalid("taken", format!("{:?}", self.taken), "one of the options"));
        }
        super::diary::iso_date("valid_until", &self.valid_until).map(|_| ())
    }
}
