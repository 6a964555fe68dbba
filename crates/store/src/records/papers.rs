//! What is written in the bay: set-up sheets, ramp records, corrections, alignment, handovers.

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{Id, Kind, Record, within};
use crate::error::Result;
use crate::index::Index;

/// A set-up sheet as issued; it never changes, the next revision supersedes it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SetUpSheet {
    /// The job.
    pub job: Id,
    /// The answer it prints.
    pub answer: Id,
    /// Counts the sheets of one job from 1.
    pub revision: i64,
    /// The sheet before.
    pub supersedes: Option<Id>,
    /// Everything printed on it, JSON.
    pub content: Value,
}

impl Record for SetUpSheet {
    const KIND: Kind = Kind::SetUpSheet;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Job, &self.job);
        index.link(Kind::Answer, &self.answer);
        index.link_if(Kind::SetUpSheet, self.supersedes.as_ref());
    }
}

/// How a van was brought to rest before it was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Settled {
    /// Rolled both ways and bounced.
    RolledAndBounced,
    /// Bounced on turn plates.
    OnTurnPlates,
    /// Only let down off the lift.
    OnlyLowered,
}

/// When in a job heights were read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HeightsStage {
    /// As found, before any work.
    AsFound,
    /// After the kit was fitted.
    AfterFitting,
    /// After a correction.
    AfterCorrection,
    /// At the re-check some weeks later.
    ReCheck,
}

/// What was read on the ramp. Readings are added, never overwritten.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RampRecord {
    /// The job.
    pub job: Id,
    /// Set-up sheet that was worked from.
    pub sheet: Option<Id>,
    /// When in the job.
    pub stage: HeightsStage,
    /// Kit that is fitted.
    pub kit: Option<String>,
    /// How the van was settled.
    pub settled: Settled,
    /// Whether rubber bushes were clamped anew at ride height.
    pub bushes_reclamped: bool,
    /// Whether the van carries what the enquiry lists.
    pub load_as_listed: bool,
    /// Whether the springs had been driven for some weeks.
    pub springs_settled: bool,
    /// Collar positions from the datum, mm.
    pub collar_mm: [Option<f64>; 4],
    /// Arch heights, each read after a settling of its own, mm.
    pub readings_mm: Vec<[f64; 4]>,
    /// Rise of the four floor spots above a common level, mm.
    pub floor_rise_mm: [f64; 4],
    /// Corner weights, kg.
    pub corner_kg: Option<[f64; 4]>,
    /// What the fitter notes.
    pub notes: String,
}

impl Record for RampRecord {
    const KIND: Kind = Kind::RampRecord;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Job, &self.job);
        index.link_if(Kind::SetUpSheet, self.sheet.as_ref());
    }

    fn check(&self) -> Result<()> {
        self.readings_mm.iter().flatten().try_for_each(|&mm| within("readings_mm", mm, 100.0, 1_000.0))?;
        self.collar_mm.iter().try_for_each(|&mm| within("collar_mm", mm, -500.0, 500.0))?;
        self.floor_rise_mm.iter().try_for_each(|&mm| within("floor_rise_mm", mm, -200.0, 200.0))?;
        self.corner_kg.iter().flatten().try_for_each(|&kg| within("corner_kg", kg, 0.0, 5_000.0))
    }
}

/// A correction as computed from a ramp record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Correction {
    /// The job.
    pub job: Id,
    /// The reading it was computed from.
    pub ramp_record: Id,
    /// The answer that holds inputs and result.
    pub answer: Id,
    /// What is to be turned, as shown, JSON.
    pub content: Value,
}

impl Record for Correction {
    const KIND: Kind = Kind::Correction;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Job, &self.job);
        index.link(Kind::RampRecord, &self.ramp_record);
        index.link(Kind::Answer, &self.answer);
    }
}

/// A wheel alignment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Alignment {
    /// The job.
    pub job: Id,
    /// Where it is done.
    pub place: AlignmentPlace,
    /// When the van was sent out, ms.
    pub sent_ms: Option<i64>,
    /// When it was done, ms.
    pub done_ms: Option<i64>,
    /// Angles as measured against their targets, JSON.
    pub measured: Value,
    /// Printout of the alignment bench, a photo.
    pub printout: Option<Id>,
}

/// Where an alignment is done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AlignmentPlace {
    /// In the workshop.
    InHouse,
    /// Elsewhere.
    SentOut {
        /// To whom.
        to: String,
    },
}

impl Record for Alignment {
    const KIND: Kind = Kind::Alignment;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Job, &self.job);
        index.link_if(Kind::Photo, self.printout.as_ref());
    }
}

/// A handover as signed; it never changes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Handover {
    /// The job.
    pub job: Id,
    /// Everything on the sheet, JSON.
    pub content: Value,
    /// Who signed.
    pub signed_by: String,
    /// The signature, a photo.
    pub signature: Option<Id>,
    /// When fasteners are tightened again, ms.
    pub retorque_due_ms: Option<i64>,
    /// When heights are read again, ms.
    pub recheck_due_ms: Option<i64>,
}

impl Record for Handover {
    const KIND: Kind = Kind::Handover;

    fn index(&self, index: &mut Index) {
        index.link(Kind::Job, &self.job);
        index.link_if(Kind::Photo, self.signature.as_ref());
    }
}
