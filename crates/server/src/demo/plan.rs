//! One invented enquiry and what became of it, step by step.

use std::sync::Arc;

use mechanics::statics::{FRONT, REAR, axle_of};
use rand::RngExt;
use rand::rngs::StdRng;
use serde_json::{Value, json};
use store::records::{
    Alignment, AlignmentPlace, Answer, AnswerAbout, CallBack, Enquiry, EnquiryState, Handover, HeightsStage,
    Job, PartNeed, PartReturn, Quote, RampRecord, RampTime, ReturnCause, Settled, Van,
};
use store::{By, Id, Kind, NewJob, NewQuote, Store, Stored};
use workshop::facts::Language;

use super::people;
use super::truth::{HiddenVan, OnPaper};
use crate::api::quotes::option_of;
use crate::as_issued::{SheetCollar, sheet_collars};
use crate::problem::{Handled, Problem};

pub(super) const HOUR_MS: i64 = 60 * 60 * 1000;
const DAY_MS: i64 = 24 * HOUR_MS;

/// A question of the demo with its answers.
pub(super) struct Question {
    pub(super) vehicle: String,
    pub(super) grade: String,
    pub(super) question: String,
    pub(super) document: String,
    pub(super) shortlist: Value,
    pub(super) kit: Option<String>,
    pub(super) set_up: Option<Value>,
    pub(super) paper: OnPaper,
}

/// How far a plan is, and what it needs to go on.
enum Stage {
    Asks,
    Quoting(Asked),
    Deciding(Asked, Stored<Quote>),
    Booking(Asked, Stored<Quote>),
    Waiting(Asked, Stored<Job>),
    Starting(Asked, Stored<Job>),
    Fitting(Asked, Stored<Job>),
    Ringing(Id),
}

/// Who asked about what.
#[derive(Clone)]
pub(super) struct Asked {
    pub(super) customer: Id,
    van: Id,
    enquiry: Id,
    answer: Id,
}

pub(super) struct Plan {
    question: Arc<Question>,
    random: StdRng,
    stage: Option<Stage>,
}

impl Plan {
    pub(super) fn new(question: Arc<Question>, random: StdRng) -> Self {
        Self { question, random, stage: Some(Stage::Asks) }
    }

    /// Does the next step; when the one after it is due, where there is one.
    pub(super) async fn step(&mut self, store: &Store, at_ms: i64) -> Handled<Option<i64>> {
        let by = By::new("office", "counter", at_ms);
        let Some(stage) = self.stage.take() else { return Ok(None) };
        let next = match stage {
            Stage::Asks => Some((self.ask(store, &by).await?, self.hours(1..30))),
            Stage::Quoting(asked) => self.quote(store, &by, asked).await?,
            Stage::Deciding(asked, quote) => self.decide(store, &by, asked, quote).await?,
            Stage::Booking(asked, quote) => self.book(store, &by, asked, &quote).await?,
            Stage::Waiting(asked, job) => self.parts_come(store, &by, asked, job).await?,
            Stage::Starting(asked, job) => self.start(store, asked, job, at_ms).await?,
            Stage::Fitting(asked, job) => self.fit(store, &asked, &job, at_ms).await?,
            Stage::Ringing(customer) => {
                ring(store, &by, &customer).await?;
                None
            }
        };
        Ok(next.map(|(stage, wait_ms)| {
            self.stage = Some(stage);
            at_ms + wait_ms
        }))
    }

    fn hours(&mut self, range: std::ops::Range<i64>) -> i64 {
        self.random.random_range(range) * HOUR_MS
    }

    async fn ask(&mut self, store: &Store, by: &By) -> Handled<Stage> {
        let enquiry = self.ring_up(store, by, self.question.document.clone()).await?;
        self.answer_to(store, by, enquiry).await.map(Stage::Quoting)
    }

    /// Somebody new asks about a van; how much is known of it stands in the document.
    pub(super) async fn ring_up(
        &mut self,
        store: &Store,
        by: &By,
        document: String,
    ) -> Handled<Stored<Enquiry>> {
        let customer = store.add(by, &people::customer(&mut self.random)).await?;
        let van = Van {
            customer: customer.id.clone(),
            plate: people::plate(&mut self.random),
            vehicle: Some(self.question.vehicle.clone()),
            grade: Some(self.question.grade.clone()),
            vin: None,
            year: Some(self.random.random_range(2004..2025)),
            description: ["camper", "courier van", "day van", "builder's van"]
                [self.random.random_range(0..4)]
            .into(),
            weighings: vec![],
            lip_offset_mm: None,
            as_found: vec![],
            fitted_kit: None,
            notes: String::new(),
        };
        let van = store.add(by, &van).await?;
        let enquiry = Enquiry {
            customer: Some(customer.id.clone()),
            van: Some(van.id.clone()),
            caller: customer.body.name.clone(),
            phone: customer.body.phones.first().cloned(),
            question: self.question.question.clone(),
            document,
            state: EnquiryState::Open,
        };
        Ok(store.add(by, &enquiry).await?)
    }

    /// Answers an enquiry that somebody made with [`Plan::ring_up`].
    pub(super) async fn answer_to(&self, store: &Store, by: &By, enquiry: Stored<Enquiry>) -> Handled<Asked> {
        let inputs = json!({"about": "shortlist", "by": null});
        let answer =
            self.answer(&enquiry.id, AnswerAbout::Shortlist, inputs, self.question.shortlist.clone());
        let answer = store.give_answer(by, &answer).await?.id;
        let (customer, van) = enquiry.body.customer.zip(enquiry.body.van).ok_or_else(unnamed)?;
        Ok(Asked { customer, van, enquiry: enquiry.id, answer })
    }

    fn answer(&self, enquiry: &Id, about: AnswerAbout, inputs: Value, result: Value) -> Answer {
        Answer {
            enquiry: enquiry.clone(),
            about,
            enquiry_document: self.question.document.clone(),
            inputs,
            catalogue_revision: 1,
            program_version: env!("CARGO_PKG_VERSION").into(),
            result,
            again_of: None,
        }
    }

    async fn quote(&mut self, store: &Store, by: &By, asked: Asked) -> Handled<Option<(Stage, i64)>> {
        if self.question.kit.is_none() {
            let enquiry = store.get::<Enquiry>(&asked.enquiry).await?;
            let closed = Enquiry { state: EnquiryState::Closed, ..enquiry.body };
            store.change(by, &enquiry.id, enquiry.version, &closed).await?;
            return Ok(None);
        }
        let quote = self.draft(store, by, &asked).await?;
        let quote = store.send_quote(by, &quote.id, quote.version, by.at_ms + 7 * DAY_MS).await?;
        // one in eight never answers
        if self.random.random_bool(0.125) {
            return Ok(None);
        }
        Ok(Some((Stage::Deciding(asked, quote), self.hours(4..240))))
    }

    /// Drafts the quote of the kit that was chosen.
    pub(super) async fn draft(&self, store: &Store, by: &By, asked: &Asked) -> Handled<Stored<Quote>> {
        let kit = self.question.kit.as_deref().unwrap_or_default();
        let (option, found) = option_of(&self.question.shortlist, kit, Language::English)?;
        let new = NewQuote {
            customer: asked.customer.clone(),
            van: Some(asked.van.clone()),
            answer: asked.answer.clone(),
            valid_until: day_of(by.at_ms + 30 * DAY_MS),
            read_aloud: found["spoken"]["en"].as_str().unwrap_or_default().to_owned(),
            currency: found["quote"]["currency"]["code"].as_str().unwrap_or("EUR").to_owned(),
            options: vec![option],
        };
        Ok(store.draft_quote(by, &new).await?)
    }

    async fn decide(
        &mut self,
        store: &Store,
        by: &By,
        asked: Asked,
        quote: Stored<Quote>,
    ) -> Handled<Option<(Stage, i64)>> {
        let taken = self.random.random_bool(0.75).then_some(0);
        let quote = store.answer_quote(by, &quote.id, quote.version, taken).await?;
        Ok(taken.map(|_| (Stage::Booking(asked, quote), HOUR_MS)))
    }

    async fn book(
        &mut self,
        store: &Store,
        by: &By,
        asked: Asked,
        quote: &Stored<Quote>,
    ) -> Handled<Option<(Stage, i64)>> {
        let option = &quote.body.options[0];
        let minutes = option.ramp_minutes_nine_in_ten.max(60);
        let not_before = by.at_ms + self.hours(24 * 7..24 * 45);
        let slot = store.first_free(minutes, not_before, None, false).await?;
        let part = PartNeed {
            part: option.kit.clone(),
            quantity: 1.0,
            expected_ms: Some(slot.from_ms - DAY_MS),
            arrived_ms: None,
        };
        let new = NewJob {
            customer: asked.customer.clone(),
            van: asked.van.clone(),
            quote: Some(quote.id.clone()),
            title: option.title.clone(),
            operations: vec!["weigh-and-read-before".into(), "lift-and-support".into()],
            parts: vec![part],
            ramp: slot.ramp,
            from_ms: slot.from_ms,
            minutes_nine_in_ten: minutes,
        };
        let job = store.book_job(by, &new).await?;
        let wait = slot.from_ms - by.at_ms;
        if self.random.random_bool(0.06) {
            let later = By::new("office", "counter", by.at_ms + HOUR_MS).because("van sold");
            store.cancel_job(&later, &job.id, job.version, "van sold").await?;
            let enquiry = store.get::<Enquiry>(&quote.body.enquiry).await?;
            store.close_enquiry(&later, &enquiry.id, enquiry.version).await?;
            return Ok(None);
        }
        if self.random.random_bool(0.08) {
            let late = By::new("office", "counter", by.at_ms + 2 * HOUR_MS);
            let job = store.wait_for_parts(&late, &job.id, job.version, "the maker delivers late").await?;
            return Ok(Some((Stage::Waiting(asked, job), wait)));
        }
        Ok(Some((Stage::Starting(asked, job), wait)))
    }

    async fn parts_come(
        &mut self,
        store: &Store,
        by: &By,
        asked: Asked,
        job: Stored<Job>,
    ) -> Handled<Option<(Stage, i64)>> {
        let parts: Vec<String> = job.body.parts.iter().map(|need| need.part.clone()).collect();
        let job = store.parts_arrived(by, &job.id, job.version, &parts).await?;
        let slot = store.first_free(240, by.at_ms + 2 * DAY_MS, None, false).await?;
        let job = store.move_job(by, &job.id, job.version, &slot.ramp, slot.from_ms, 240).await?;
        Ok(Some((Stage::Starting(asked, job), slot.from_ms - by.at_ms)))
    }

    async fn start(
        &mut self,
        store: &Store,
        asked: Asked,
        job: Stored<Job>,
        at_ms: i64,
    ) -> Handled<Option<(Stage, i64)>> {
        let bay = By::new("bay", "bay tablet", at_ms);
        let missing: Vec<String> = job
            .body
            .parts
            .iter()
            .filter(|need| need.arrived_ms.is_none())
            .map(|need| need.part.clone())
            .collect();
        let job = if missing.is_empty() {
            job
        } else {
            store.parts_arrived(&bay, &job.id, job.version, &missing).await?
        };
        let job = store.start_job(&bay, &job.id, job.version).await?;
        let minutes = job.body.booking.as_ref().map_or(180, |booking| i64::from(booking.minutes_nine_in_ten));
        // most jobs need less than the time that nine in ten keep
        let took = minutes * self.random.random_range(55..100) / 100;
        Ok(Some((Stage::Fitting(asked, job), took * 60_000)))
    }

    async fn fit(
        &mut self,
        store: &Store,
        asked: &Asked,
        job: &Stored<Job>,
        at_ms: i64,
    ) -> Handled<Option<(Stage, i64)>> {
        // a reading keeps its order by when it was read
        let before = |minutes: i64| By::new("bay", "bay tablet", at_ms - minutes * 60_000);
        let bay = before(30);
        let kit = self.question.kit.clone().unwrap_or_default();
        let drop_mm = self.drop_mm(&kit);
        let van = HiddenVan::draw(&mut self.random, &self.question.paper, &kit, [drop_mm; 2]);
        let sheet = match self.question.set_up.clone() {
            Some(result) => {
                let inputs = json!({"about": "set_up", "kit": kit});
                let answer = self.answer(&asked.enquiry, AnswerAbout::SetUp, inputs, result.clone());
                let answer = store.give_answer(&bay, &answer).await?;
                Some(store.issue_sheet(&bay, &job.id, &answer.id, &result).await?.id)
            }
            None => None,
        };
        let mut record = RampRecord {
            job: job.id.clone(),
            sheet,
            stage: HeightsStage::AsFound,
            kit: None,
            settled: Settled::RolledAndBounced,
            bushes_reclamped: true,
            load_as_listed: self.random.random_bool(0.9),
            springs_settled: false,
            collar_mm: [None; 4],
            readings_mm: vec![van.read_as_found(&mut self.random)],
            floor_rise_mm: [0.0; 4],
            corner_kg: None,
            notes: String::new(),
        };
        store.record_heights(&bay, &record).await?;
        let collars = sheet_collars(self.question.set_up.as_ref().unwrap_or(&Value::Null));
        record.stage = HeightsStage::AfterFitting;
        record.kit = Some(kit.clone());
        record.collar_mm = collars.map(|collar| Some(collar?.position_mm));
        if self.random.random_bool(0.1) {
            record.settled = Settled::OnlyLowered;
            record.notes = "in a hurry, not rolled".into();
        }
        record.readings_mm = (0..2).map(|_| van.read_fitted(&mut self.random, [0.0; 2])).collect();
        store.record_heights(&before(10), &record).await?;
        if self.random.random_bool(0.35) {
            record.stage = HeightsStage::AfterCorrection;
            record.settled = Settled::RolledAndBounced;
            let turned = [self.random.random_range(-4..5), self.random.random_range(-4..5)].map(f64::from);
            let turned = turned_within(collars, turned);
            record.collar_mm = std::array::from_fn(|k| Some(collars[k]?.position_mm + turned[axle_of(k)]));
            record.readings_mm = (0..2).map(|_| van.read_fitted(&mut self.random, turned)).collect();
            store.record_heights(&before(5), &record).await?;
        }
        self.write_times(store, &before(0), job).await?;
        self.hand_over(store, asked, job, at_ms).await?;
        let wait = self.hours(24 * 25..24 * 40);
        Ok(Some((Stage::Ringing(asked.customer.clone()), wait)))
    }

    /// What the kit is sold as, from the answer's figure rounded to 5 mm, as boxes are printed.
    fn drop_mm(&self, kit: &str) -> f64 {
        let options = self.question.shortlist["options"].as_array().map(Vec::as_slice).unwrap_or_default();
        let found = options.iter().find(|option| option["kit"] == kit);
        let drop_mm =
            found.and_then(|option| option["drop_against_today_mm"]["value"].as_f64()).unwrap_or(30.0);
        (drop_mm / 5.0).round() * 5.0
    }

    async fn write_times(&mut self, store: &Store, bay: &By, job: &Stored<Job>) -> Handled<()> {
        for operation in &job.body.operations {
            let minutes = f64::from(self.random.random_range(6..22));
            let time =
                RampTime { job: job.id.clone(), operation: operation.clone(), minutes, notes: String::new() };
            store.add(bay, &time).await?;
        }
        Ok(())
    }

    async fn hand_over(
        &mut self,
        store: &Store,
        asked: &Asked,
        job: &Stored<Job>,
        at_ms: i64,
    ) -> Handled<()> {
        let by = By::new("office", "counter", at_ms);
        let alignment = Alignment {
            job: job.id.clone(),
            place: AlignmentPlace::SentOut { to: "Larchway Alignment".into() },
            sent_ms: Some(at_ms),
            done_ms: Some(at_ms + 3 * HOUR_MS),
            measured: json!({}),
            printout: None,
        };
        store.add(&by, &alignment).await?;
        let signed_by = store.get::<store::records::Customer>(&asked.customer).await?.body.name;
        let handover = Handover {
            job: job.id.clone(),
            content: json!({"kit": self.question.kit}),
            signed_by,
            signature: None,
            retorque_due_ms: Some(at_ms + 14 * DAY_MS),
            recheck_due_ms: Some(at_ms + 28 * DAY_MS),
        };
        store.hand_over(&by, job.version, &handover).await?;
        let van = store.get::<Van>(&asked.van).await?;
        let fitted = Van { fitted_kit: self.question.kit.clone(), ..van.body };
        store.change(&by, &van.id, van.version, &fitted).await?;
        if self.random.random_bool(0.04) {
            let came_back = PartReturn {
                part: self.question.kit.clone().unwrap_or_default(),
                kit: self.question.kit.clone(),
                job: Some(job.id.clone()),
                cause: ReturnCause::Noise,
                quantity: 1.0,
                fitted_ms: Some(at_ms),
                at_ms: at_ms + 20 * DAY_MS,
                driven_km: Some(f64::from(self.random.random_range(200..4000))),
                notes: "knocks over cobbles".into(),
            };
            store.add(&by, &came_back).await?;
        }
        Ok(())
    }
}

/// By how much the collars of each axle can be turned of what somebody would turn, mm; nothing where there are none.
fn turned_within(collars: [Option<SheetCollar>; 4], wanted_mm: [f64; 2]) -> [f64; 2] {
    [FRONT, REAR].map(|axle| {
        let of_axle = collars.iter().skip(2 * axle).take(2).flatten();
        let reaches =
            of_axle.filter_map(|collar| Some(collar.range_mm?.map(|end_mm| end_mm - collar.position_mm)));
        let reach = reaches.reduce(|[low, high], [lowest, highest]| [low.max(lowest), high.min(highest)]);
        reach.map_or(0.0, |[low, high]| wanted_mm[axle].max(low).min(high))
    })
}

/// Calls to a customer that are due are made.
async fn ring(store: &Store, by: &By, customer: &Id) -> Handled<()> {
    for call in store.naming::<CallBack>(Kind::Customer, customer).await? {
        if call.body.done_ms.is_none() && call.body.due_ms <= by.at_ms {
            store.call_made(by, &call.id, call.version, "all well").await?;
        }
    }
    Ok(())
}

fn unnamed() -> Problem {
    Problem::not_found(("the enquiry names no van", "die Anfrage nennt keinen Wagen"))
}

fn day_of(ms: i64) -> String {
    let time = jiff::Timestamp::from_millisecond(ms).unwrap_or(jiff::Timestamp::UNIX_EPOCH);
    time.strftime("%Y-%m-%d").to_string()
}
