//! Lists by state, page by page: no more records are read than are shown.

use sqlx::AssertSqlSafe;

use crate::database::Store;
use crate::error::{Error, Result};
use crate::packed::Packed;
use crate::read::{Page, typed};
use crate::records::{Enquiry, Id, Job, JobState, Kind, Stored, read_body};

/// Whose turn it is with an enquiry: its state, and that of its answers and quotes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EnquiryStage {
    /// The workshop's: no answer was given, or a quote is being drafted.
    Open,
    /// The customer's: an answer or a quote was given and nothing is decided.
    Answered,
    /// The workshop's: a quote was taken and no job is booked.
    Accepted,
    /// Nobody's.
    Closed,
}

impl EnquiryStage {
    /// All stages.
    pub const ALL: [Self; 4] = [Self::Open, Self::Answered, Self::Accepted, Self::Closed];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Answered => "answered",
            Self::Accepted => "accepted",
            Self::Closed => "closed",
        }
    }

    fn named(name: &str) -> Result<Self> {
        let found = Self::ALL.into_iter().find(|stage| stage.name() == name);
        found.ok_or_else(|| Error::Damaged(format!("{name} is no stage of an enquiry")))
    }
}

/// A part of the list of enquiries, newest first.
#[derive(Debug, Clone, PartialEq)]
pub struct EnquiryPage {
    /// Enquiries, each with its stage.
    pub enquiries: Vec<(EnquiryStage, Stored<Enquiry>)>,
    /// Id that the next page goes on from; none at the end.
    pub next: Option<Id>,
}

/// Which jobs are wanted; a job without a time is none of those between two times.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct JobsWanted {
    /// In this state.
    pub state: Option<JobState>,
    /// That begin at this time or later, ms.
    pub from_ms: Option<i64>,
    /// That begin before this time, ms.
    pub until_ms: Option<i64>,
}

/// Ids of enquiries with their stages, from what is derived of them, their answers and quotes.
const STAGED: &str = "SELECT s.id, CASE
    WHEN s.state = 'closed' THEN 'closed'
    WHEN s.state = 'quoted' AND EXISTS (SELECT 1 FROM links l JOIN states q ON q.kind = l.kind AND q.id = l.id
        WHERE l.to_kind = 'enquiry' AND l.to_id = s.id AND l.kind = 'quote' AND q.state = 'accepted')
        AND NOT EXISTS (SELECT 1 FROM links l JOIN states q ON q.kind = l.kind AND q.id = l.id
        WHERE l.to_kind = 'enquiry' AND l.to_id = s.id AND l.kind = 'quote' AND q.state = 'sent') THEN 'accepted'
    WHEN s.state = 'quoted' THEN 'answered'
    WHEN EXISTS (SELECT 1 FROM links l WHERE l.to_kind = 'enquiry' AND l.to_id = s.id AND l.kind = 'answer')
        AND NOT EXISTS (SELECT 1 FROM links l WHERE l.to_kind = 'enquiry' AND l.to_id = s.id AND l.kind = 'quote')
        THEN 'answered'
    ELSE 'open' END AS stage
    FROM states s WHERE s.kind = 'enquiry'";

impl Store {
    /// Enquiries before an id, newest first, of one stage or of all.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn enquiries(
        &self,
        stage: Option<EnquiryStage>,
        before: Option<&Id>,
        limit: u32,
    ) -> Result<EnquiryPage> {
        let sql = format!(
            "SELECT e.stage, r.id, r.version, r.updated_ms, r.body FROM ({STAGED}) e
             JOIN records r ON r.kind = 'enquiry' AND r.id = e.id
             WHERE (e.stage = $1 OR $1 = '') AND (e.id < $2 OR $2 = '') ORDER BY e.id DESC LIMIT $3"
        );
        let rows: Vec<(String, String, i64, i64, Packed)> = sqlx::query_as(AssertSqlSafe(sql))
            .bind(stage.map_or("", EnquiryStage::name))
            .bind(before.map_or("", Id::as_str))
            .bind(i64::from(limit) + 1)
            .fetch_all(&self.reader)
            .await?;
        let more = rows.len() > limit as usize;
        let staged = |(stage, id, version, updated_ms, body): (String, String, i64, i64, Packed)| {
            let body = read_body(&body.text()?)?;
            Ok((EnquiryStage::named(&stage)?, Stored { id: id.parse()?, version, updated_ms, body }))
        };
        let enquiries = rows.into_iter().take(limit as usize).map(staged).collect::<Result<Vec<_>>>()?;
        let next = enquiries.last().filter(|_| more).map(|(_, last)| last.id.clone());
        Ok(EnquiryPage { enquiries, next })
    }

    /// How many enquiries are in each stage, in the order of [`EnquiryStage::ALL`].
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn enquiries_by_stage(&self) -> Result<[u64; 4]> {
        let sql = format!("SELECT e.stage, COUNT(*) FROM ({STAGED}) e GROUP BY e.stage");
        let rows: Vec<(String, i64)> = sqlx::query_as(AssertSqlSafe(sql)).fetch_all(&self.reader).await?;
        let count = |stage: EnquiryStage| {
            let found = rows.iter().find(|(name, _)| name == stage.name());
            found.map_or(0, |(_, count)| count.unsigned_abs())
        };
        Ok(EnquiryStage::ALL.map(count))
    }

    /// The stage of an enquiry.
    ///
    /// # Errors
    /// [`Error::NotFound`].
    pub async fn enquiry_stage(&self, id: &Id) -> Result<EnquiryStage> {
        let sql = format!("{STAGED} AND s.id = $1");
        let row: Option<(String, String)> =
            sqlx::query_as(AssertSqlSafe(sql)).bind(id.as_str()).fetch_optional(&self.reader).await?;
        let missing = || Error::NotFound { kind: Kind::Enquiry, id: id.to_string() };
        EnquiryStage::named(&row.ok_or_else(missing)?.1)
    }

    /// Jobs before an id, newest first; `next` goes on with older ones.
    ///
    /// # Errors
    /// [`Error::Database`].
    pub async fn jobs(&self, wanted: &JobsWanted, before: Option<&Id>, limit: u32) -> Result<Page<Job>> {
        let rows: Vec<(String, i64, i64, Packed)> = sqlx::query_as(
            "SELECT r.id, r.version, r.updated_ms, r.body FROM states s
             JOIN records r ON r.kind = s.kind AND r.id = s.id
             WHERE s.kind = 'job' AND (s.state = $1 OR $1 = '') AND (s.id < $2 OR $2 = '')
             AND ($3 = 0 OR s.begins_ms >= $4) AND ($5 = 0 OR s.begins_ms < $6) ORDER BY s.id DESC LIMIT $7",
        )
        .bind(wanted.state.map_or("", JobState::name))
        .bind(before.map_or("", Id::as_str))
        .bind(i64::from(wanted.from_ms.is_some()))
        .bind(wanted.from_ms.unwrap_or(0))
        .bind(i64::from(wanted.until_ms.is_some()))
        .bind(wanted.until_ms.unwrap_or(0))
        .bind(i64::from(limit) + 1)
        .fetch_all(&self.reader)
        .await?;
        let more = rows.len() > limit as usize;
        let records = rows.into_iter().take(limit as usize).map(typed).collect::<Result<Vec<_>>>()?;
        let next = records.last().filter(|_| more).map(|last: &Stored<Job>| last.id.clone());
        Ok(Page { records, next })
    }
}
