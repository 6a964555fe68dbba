//! Bodies as the API promises them. The store keeps the same fields; a test holds the two against each other.

use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;

/// A record as kept.
#[derive(Debug, Clone, Serialize, Deserialize, ToSchema)]
pub(crate) struct Kept<T> {
    /// Its id.
    pub(crate) id: String,
    /// Counts its changes from 1; the ETag.
    pub(crate) version: i64,
    /// When it was last changed, ms since 1970-01-01 UTC.
    pub(crate) updated_ms: i64,
    /// The record.
    pub(crate) body: T,
}

/// A part of a list.
#[derive(Debug, Clone, Serialize, Deserialize, ToSchema)]
pub(crate) struct List<T> {
    /// Records, oldest first.
    pub(crate) records: Vec<Kept<T>>,
    /// Give it as `after` to get the next part; absent at the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) next: Option<String>,
}

/// Declares bodies that are read strictly: a field nobody knows is a fault.
macro_rules! bodies {
    ($($(#[$outer:meta])* $name:ident { $($(#[$inner:meta])* $field:ident: $kind:ty,)* })*) => {$(
        $(#[$outer])*
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
        #[serde(deny_unknown_fields)]
        pub(crate) struct $name { $($(#[$inner])* pub(crate) $field: $kind,)* }
    )*};
}

/// Declares sets of names.
macro_rules! choices {
    ($($(#[$outer:meta])* $name:ident { $($(#[$inner:meta])* $variant:ident,)* })*) => {$(
        $(#[$outer])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
        #[serde(rename_all = "snake_case")]
        pub(crate) enum $name { $($(#[$inner])* $variant,)* }
    )*};
}

choices! {
    /// How far an enquiry is.
    EnquiryState {
        /// Being taken or answered.
        Open,
        /// A quote is with the customer, or taken and not booked yet.
        Quoted,
        /// Nothing more to do: booked, declined, or given up.
        Closed,
    }
    /// How a van was brought to rest before it was read.
    Settled {
        /// Rolled both ways and bounced.
        RolledAndBounced,
        /// Bounced on turn plates.
        OnTurnPlates,
        /// Only let down off the lift.
        OnlyLowered,
    }
    /// When in a job heights were read.
    HeightsStage {
        /// Before any work.
        AsFound,
        /// After the kit was fitted.
        AfterFitting,
        /// After a correction.
        AfterCorrection,
        /// At the re-check some weeks later.
        ReCheck,
    }
    /// How far a quote is.
    QuoteState {
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
    /// How far a job is.
    JobState {
        /// Has a ramp and a time.
        Booked,
        /// Work has begun.
        OnTheRamp,
        /// Holds no ramp until its parts are there.
        WaitingForParts,
        /// Done and signed.
        HandedOver,
        /// Will not be done.
        Cancelled,
    }
    /// Why a part came back.
    ReturnCause {
        /// Not wanted.
        NotWanted,
        /// Does not fit.
        DoesNotFit,
        /// Faulty on arrival.
        FaultyOnArrival,
        /// Failed in use.
        FailedInUse,
        /// Makes a noise.
        Noise,
    }
    /// What a user may do.
    Role {
        /// Everything.
        Owner,
        /// Counter and office.
        Office,
        /// The bay: no prices, no telephone numbers.
        Fitter,
        /// What a fitter sees, reading only.
        Reader,
    }
    /// What an answer tells.
    AnswerAbout {
        /// Kits that are in and out.
        Shortlist,
        /// How one kit would sit.
        Prediction,
        /// Where collars are set.
        SetUp,
        /// Which collar to turn.
        Correction,
    }
}

bodies! {
    /// A customer.
    Customer {
        /// Name as written on papers.
        name: String,
        /// Telephone numbers as given.
        phones: Vec<String>,
        /// Electronic mail address.
        email: Option<String>,
        /// Postal address, lines as written.
        address: Vec<String>,
        /// Language of papers, `en` or `de`.
        language: Option<String>,
        /// What the workshop notes.
        notes: String,
    }
    /// One weighing.
    Weighing {
        /// When, ms.
        at_ms: i64,
        /// Load state it was in.
        load_state: String,
        /// Corner weights, kg.
        corner_kg: Option<[f64; 4]>,
        /// Axle weights front and rear, kg.
        axle_kg: Option<[f64; 2]>,
        /// Scales, weighbridge, who read them.
        source: String,
    }
    /// Arch heights read before any work.
    AsFound {
        /// When, ms.
        at_ms: i64,
        /// Arch heights front left, front right, rear left, rear right, mm.
        arch_mm: [f64; 4],
        /// How the van was settled.
        settled: Settled,
    }
    /// A van and everything measured on it.
    Van {
        /// Whose it is: id of the customer.
        customer: String,
        /// Number plate as written.
        plate: String,
        /// Vehicle sheet, where it is known.
        vehicle: Option<String>,
        /// Grade of the vehicle sheet.
        grade: Option<String>,
        /// Vehicle identification number.
        vin: Option<String>,
        /// Year of first registration.
        year: Option<i32>,
        /// What the workshop calls it.
        description: String,
        /// Corner or axle weights as weighed.
        weighings: Vec<Weighing>,
        /// Height of each wheel-arch lip over where the vehicle sheet has it, mm.
        lip_offset_mm: Option<[f64; 4]>,
        /// Arch heights as found, each time they were read.
        as_found: Vec<AsFound>,
        /// Kit that is fitted now.
        fitted_kit: Option<String>,
        /// What the workshop notes.
        notes: String,
    }
    /// An enquiry.
    Enquiry {
        /// Who asks, where known: id of the customer.
        customer: Option<String>,
        /// Which van, where known.
        van: Option<String>,
        /// Who rang, as far as they said.
        caller: String,
        /// Telephone number as given.
        phone: Option<String>,
        /// The question in the caller's words.
        question: String,
        /// The enquiry document, TOML.
        document: String,
        /// How far it is.
        state: EnquiryState,
    }
    /// An answer as given, with everything it was made from.
    Answer {
        /// Enquiry it answers.
        enquiry: String,
        /// What was computed.
        about: AnswerAbout,
        /// The enquiry document as it stood, TOML.
        enquiry_document: String,
        /// What was asked, JSON.
        inputs: Value,
        /// Revision of the catalogue.
        catalogue_revision: i64,
        /// Version of the program.
        program_version: String,
        /// The result, JSON.
        result: Value,
        /// The answer that this one computes anew.
        again_of: Option<String>,
    }
    /// One line of an option.
    QuoteLine {
        /// What it is.
        text: String,
        /// How many.
        quantity: f64,
        /// Price of all of them before tax, minor units.
        net_minor: i64,
    }
    /// One option of a quote.
    QuoteOption {
        /// Name in the customer's words.
        title: String,
        /// The kit, or `springs+dampers` of two.
        kit: String,
        /// What is sold.
        lines: Vec<QuoteLine>,
        /// Sum with tax, minor units.
        total_minor: i64,
        /// Of that tax, minor units.
        tax_minor: i64,
        /// Ramp time in nine of ten cases, minutes.
        ramp_minutes_nine_in_ten: u32,
    }
    /// A quote. Once sent it is frozen; a change is a new revision.
    Quote {
        /// Who gets it.
        customer: String,
        /// For which van.
        van: Option<String>,
        /// The enquiry it belongs to.
        enquiry: String,
        /// The answer it was made from.
        answer: String,
        /// Counts the quotes of one enquiry from 1.
        revision: i64,
        /// The revision before.
        supersedes: Option<String>,
        /// One to three options side by side.
        options: Vec<QuoteOption>,
        /// Last day it holds, ISO date.
        valid_until: String,
        /// The paragraph to read out on the telephone.
        read_aloud: String,
        /// Three letters of the currency.
        currency: String,
        /// How far it is.
        state: QuoteState,
        /// Which option was taken, counted from 0.
        taken: Option<usize>,
    }
    /// A quote to be drafted from an answer; lines, tax and time come from the answer.
    NewQuote {
        /// Who gets it.
        customer: String,
        /// For which van.
        van: Option<String>,
        /// The shortlist it is made from: id of the answer.
        answer: String,
        /// One to three kits of the answer that are in.
        #[schema(min_items = 1, max_items = 3)]
        kits: Vec<String>,
        /// Last day it holds, ISO date.
        valid_until: String,
    }
    /// A ramp held for a job.
    Booking {
        /// Ramp.
        ramp: String,
        /// From, ms.
        from_ms: i64,
        /// To, ms.
        to_ms: i64,
        /// Working time in nine of ten cases, minutes.
        minutes_nine_in_ten: u32,
    }
    /// A part a job needs.
    PartNeed {
        /// Part, as in the catalogue.
        part: String,
        /// How many.
        quantity: f64,
        /// When it should be there, ms.
        expected_ms: Option<i64>,
        /// When it came, ms.
        arrived_ms: Option<i64>,
    }
    /// A job on the ramp.
    Job {
        /// Whose van.
        customer: String,
        /// Which van.
        van: String,
        /// Quote it comes from.
        quote: Option<String>,
        /// What is done, in a few words.
        title: String,
        /// Operations of the price list.
        operations: Vec<String>,
        /// How far it is.
        state: JobState,
        /// Where and when; none while it waits for parts.
        booking: Option<Booking>,
        /// Parts it needs.
        parts: Vec<PartNeed>,
        /// Why it waits or was cancelled.
        because: String,
    }
    /// A job to be booked.
    NewJob {
        /// Whose van.
        customer: String,
        /// Which van.
        van: String,
        /// Quote it comes from.
        quote: Option<String>,
        /// What is done, in a few words.
        title: String,
        /// Operations of the price list.
        operations: Vec<String>,
        /// Parts it needs.
        parts: Vec<PartNeed>,
        /// Ramp.
        ramp: String,
        /// From, ms.
        from_ms: i64,
        /// Working time in nine of ten cases, minutes.
        minutes_nine_in_ten: u32,
    }
    /// What of a job may be changed freely.
    JobChange {
        /// What is done, in a few words.
        title: String,
        /// Operations of the price list.
        operations: Vec<String>,
        /// Parts it needs.
        parts: Vec<PartNeed>,
    }
    /// Where a job goes.
    JobMove {
        /// Ramp.
        ramp: String,
        /// From, ms.
        from_ms: i64,
        /// Working time in nine of ten cases, minutes.
        minutes_nine_in_ten: u32,
    }
    /// A reason in words.
    Because {
        /// Why.
        because: String,
    }
    /// Parts that came.
    Arrived {
        /// Parts, as the job names them.
        parts: Vec<String>,
    }
    /// Opening hours and ramps.
    Diary {
        /// Time zone, such as `Europe/Berlin`.
        zone: String,
        /// Names of the ramps.
        ramps: Vec<String>,
        /// Opening hours Monday to Sunday: from and to, minutes after local midnight, in order.
        week: [Vec<[u16; 2]>; 7],
        /// Days on which the workshop is closed, ISO dates.
        closed: Vec<String>,
        /// Jobs start on a multiple of this after opening, minutes.
        step_minutes: u16,
    }
    /// A set-up sheet as issued.
    SetUpSheet {
        /// The job.
        job: String,
        /// The answer it prints.
        answer: String,
        /// Counts the sheets of one job from 1.
        revision: i64,
        /// The sheet before.
        supersedes: Option<String>,
        /// Everything printed on it, JSON.
        content: Value,
    }
    /// A set-up sheet to be issued: what an answer about a set-up says, for a job.
    NewSheet {
        /// The job.
        job: String,
        /// An answer about a set-up.
        answer: String,
    }
    /// What was read on the ramp. Readings are added, never overwritten.
    RampRecord {
        /// The job.
        job: String,
        /// Set-up sheet that was worked from.
        sheet: Option<String>,
        /// When in the job.
        stage: HeightsStage,
        /// Kit that is fitted.
        kit: Option<String>,
        /// How the van was settled.
        settled: Settled,
        /// Whether rubber bushes were clamped anew at ride height.
        bushes_reclamped: bool,
        /// Whether the van carries what the enquiry lists.
        load_as_listed: bool,
        /// Whether the springs had been driven for some weeks.
        springs_settled: bool,
        /// Collar positions from the datum, mm.
        collar_mm: [Option<f64>; 4],
        /// Arch heights, each read after a settling of its own, mm.
        readings_mm: Vec<[f64; 4]>,
        /// Rise of the four floor spots above a common level, mm.
        floor_rise_mm: [f64; 4],
        /// Corner weights, kg.
        corner_kg: Option<[f64; 4]>,
        /// What the fitter notes.
        notes: String,
    }
    /// A correction as computed from a ramp record.
    Correction {
        /// The job.
        job: String,
        /// The reading it was computed from.
        ramp_record: String,
        /// The answer that holds inputs and result.
        answer: String,
        /// What is to be turned, JSON.
        content: Value,
    }
    /// A wheel alignment.
    Alignment {
        /// The job.
        job: String,
        /// Where it is done: `"in_house"` or `{"sent_out": {"to": "..."}}`.
        place: Value,
        /// When the van was sent out, ms.
        sent_ms: Option<i64>,
        /// When it was done, ms.
        done_ms: Option<i64>,
        /// Angles as measured against their targets, JSON.
        measured: Value,
        /// Printout of the alignment bench, a photo.
        printout: Option<String>,
    }
    /// A handover as signed.
    Handover {
        /// The job.
        job: String,
        /// Everything on the sheet, JSON.
        content: Value,
        /// Who signed.
        signed_by: String,
        /// The signature, a photo.
        signature: Option<String>,
        /// When fasteners are tightened again, ms.
        retorque_due_ms: Option<i64>,
        /// When heights are read again, ms.
        recheck_due_ms: Option<i64>,
    }
    /// How long one operation took on one job.
    RampTime {
        /// The job.
        job: String,
        /// Operation of the price list.
        operation: String,
        /// Time it took, minutes.
        minutes: f64,
        /// What held it up.
        notes: String,
    }
    /// How a part can be had.
    PartSupply {
        /// On the shelf.
        in_stock: f64,
        /// Days from order to arrival in nine of ten cases.
        lead_days_nine_in_ten: Option<f64>,
        /// Who delivers it.
        supplier: String,
        /// What was said on the telephone.
        notes: String,
    }
    /// A part that came back or failed.
    PartReturn {
        /// Part, as in the catalogue.
        part: String,
        /// Kit it came with.
        kit: Option<String>,
        /// Job it was fitted in.
        job: Option<String>,
        /// Why.
        cause: ReturnCause,
        /// How many.
        quantity: f64,
        /// When it was fitted, ms.
        fitted_ms: Option<i64>,
        /// When it came back or failed, ms.
        at_ms: i64,
        /// Distance driven with it, km.
        driven_km: Option<f64>,
        /// What was seen.
        notes: String,
    }
    /// A kit sold by post.
    PostalSale {
        /// Who bought it.
        customer: String,
        /// For which van.
        van: Option<String>,
        /// The answer that the set-up sheet in the parcel prints.
        answer: Option<String>,
        /// Kit.
        kit: String,
        /// When it was sent, ms.
        sent_ms: Option<i64>,
        /// Tracking number.
        tracking: Option<String>,
        /// What the workshop notes.
        notes: String,
    }
    /// Heights that another workshop sent back by the form of a postal sale.
    PostalHeights {
        /// The sale.
        sale: String,
        /// Who fitted it.
        workshop: String,
        /// Arch heights before, mm.
        before_mm: Option<[f64; 4]>,
        /// Arch heights after, each read after a settling of its own, mm.
        after_mm: Vec<[f64; 4]>,
        /// Collar positions from the datum, mm.
        collar_mm: [Option<f64>; 4],
        /// How the van was settled.
        settled: Settled,
        /// What they write.
        notes: String,
    }
    /// A photo.
    Photo {
        /// Kind of the record it shows.
        about_kind: String,
        /// Record it shows.
        about: String,
        /// What is to be seen.
        caption: String,
        /// SHA-256 of the bytes, in hexadecimal digits.
        sha256: String,
        /// Media type.
        media_type: String,
        /// Size, bytes.
        size_bytes: i64,
    }
    /// A call to make.
    CallBack {
        /// Whom.
        customer: String,
        /// Why: `"asked"`, or one of `unanswered_quote`, `parts_arrived`, `retorque_due`, `recheck_due`,
        /// `waiting_for_cancellation` with what it is about.
        reason: Value,
        /// From when on, ms.
        due_ms: i64,
        /// What is to be said.
        notes: String,
        /// When it was made, ms.
        done_ms: Option<i64>,
        /// What came of it.
        outcome: String,
    }
    /// What came of a call.
    CallMade {
        /// In a few words.
        outcome: String,
    }
    /// A user.
    User {
        /// Name as shown.
        name: String,
        /// What the user may do.
        role: Role,
        /// Language of pages, `en` or `de`.
        language: Option<String>,
        /// Units of what pages show: `inches`; null is millimetres and kilograms.
        units: Option<String>,
        /// Decimal sign of what pages show, `point` or `comma`; null is that of the language.
        decimal_sign: Option<String>,
        /// Whether the user may sign in.
        active: bool,
    }
    /// An enrolled device.
    Device {
        /// Name, such as “bay tablet”.
        name: String,
        /// Where it stays.
        place: String,
        /// Whether it may be used.
        active: bool,
    }
    /// A setting.
    Setting {
        /// Value, JSON; not null.
        value: Value,
    }
}

/// A body as the store keeps it.
///
/// # Errors
/// Where the store knows no such body; a test shows that the fields agree.
pub(crate) fn kept_as<W: Serialize, R: serde::de::DeserializeOwned>(
    wire: &W,
) -> Result<R, serde_path_to_error::Error<serde_json::Error>> {
    serde_path_to_error::deserialize(serde_json::to_value(wire).unwrap_or(Value::Null))
}
