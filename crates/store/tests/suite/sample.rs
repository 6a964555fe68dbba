//! A small invented workshop with at least one record of every kind.

use serde_json::json;
use store::records::*;
use store::{By, DocumentChange, Id, Kind, NewJob, NewQuote, NewSecret, SecretPurpose, Store, Stored};

pub(crate) const T0: i64 = 1_774_000_000_000; // Friday 20 March 2026, 09:46:40 UTC
pub(crate) const MINUTE: i64 = 60_000;
pub(crate) const DAY: i64 = 24 * 60 * MINUTE;
/// Monday 23 March 2026, 08:00 in Berlin.
pub(crate) const MONDAY: i64 = 1_774_249_200_000;

pub(crate) fn by(minutes: i64) -> By {
    By::new("ada", "office", T0 + minutes * MINUTE)
}

pub(crate) fn id(name: &str) -> Id {
    name.parse().unwrap()
}

pub(crate) fn digest(n: u64) -> String {
    format!("{n:064x}")
}

pub(crate) fn customer(name: &str) -> Customer {
    Customer { name: name.into(), phones: vec!["+49 (0) 171 555 0123".into()], ..Customer::default() }
}

pub(crate) fn van(customer: &Id, text: &str) -> Van {
    Van {
        customer: customer.clone(),
        plate: "WD·QX 417".into(),
        vehicle: Some("wendor".into()),
        grade: Some("light".into()),
        vin: None,
        year: Some(2019),
        description: text.into(),
        weighings: vec![Weighing {
            at_ms: T0,
            load_state: "on the ramp".into(),
            corner_kg: Some([512.5, 498.0, 430.25, 441.1]),
            axle_kg: None,
            source: text.into(),
        }],
        lip_offset_mm: Some([0.0, -3.5, 1.0, 0.1]),
        as_found: vec![],
        fitted_kit: None,
        notes: text.into(),
    }
}

pub(crate) fn diary() -> Diary {
    let day = vec![[8 * 60, 12 * 60], [13 * 60, 17 * 60]];
    Diary {
        zone: "Europe/Berlin".into(),
        ramps: vec!["left".into(), "right".into()],
        week: [day.clone(), day.clone(), day.clone(), day.clone(), day, vec![], vec![]],
        closed: vec!["2026-05-01".into()],
        step_minutes: 15,
    }
}

pub(crate) fn enquiry(customer: &Id, van: &Id, text: &str) -> Enquiry {
    Enquiry {
        customer: Some(customer.clone()),
        van: Some(van.clone()),
        caller: text.into(),
        phone: Some("0171 555 0123".into()),
        question: text.into(),
        document: format!("id = \"{}\"\n", text.len()),
        state: EnquiryState::Open,
    }
}

pub(crate) fn answer(enquiry: &Id, text: &str) -> Answer {
    Answer {
        enquiry: enquiry.clone(),
        about: AnswerAbout::Shortlist,
        enquiry_document: text.into(),
        inputs: json!({ "load_state": text }),
        catalogue_revision: 1,
        program_version: "0.1.0".into(),
        result: json!({ "kits": [{ "name": text, "front_arch_mm": [0.1 + 0.2, 1e-300, -0.0] }] }),
        again_of: None,
    }
}

pub(crate) fn new_quote(customer: &Id, answer: &Id, text: &str) -> NewQuote {
    let option = |title: &str, total_minor| QuoteOption {
        title: title.into(),
        kit: text.into(),
        lines: vec![QuoteLine { text: text.into(), quantity: 1.5, net_minor: total_minor }],
        total_minor,
        tax_minor: 1_900,
        ramp_minutes_nine_in_ten: 300,
    };
    NewQuote {
        customer: customer.clone(),
        van: None,
        answer: answer.clone(),
        options: vec![option("soft", 119_000), option(text, i64::MAX)],
        valid_until: "2026-04-30".into(),
        read_aloud: text.into(),
        currency: "EUR".into(),
    }
}

pub(crate) fn new_job(customer: &Id, van: &Id, ramp: &str, from_ms: i64) -> NewJob {
    NewJob {
        customer: customer.clone(),
        van: van.clone(),
        quote: None,
        title: "fit a kit".into(),
        operations: vec!["front springs".into()],
        parts: vec![],
        ramp: ramp.into(),
        from_ms,
        minutes_nine_in_ten: 300,
    }
}

pub(crate) fn ramp_record(job: &Id, stage: HeightsStage, text: &str) -> RampRecord {
    RampRecord {
        job: job.clone(),
        sheet: None,
        stage,
        kit: Some(text.into()),
        settled: Settled::RolledAndBounced,
        bushes_reclamped: true,
        load_as_listed: true,
        springs_settled: false,
        collar_mm: [Some(59.0), None, Some(31.25), Some(-0.5)],
        readings_mm: vec![[383.0, 386.5, 369.0, 374.0], [384.0, 387.0, 370.0, 374.0]],
        floor_rise_mm: [0.0, 1.0, 2.0, 0.0],
        corner_kg: Some([500.0, 510.0, 400.0, 390.5]),
        notes: text.into(),
    }
}

/// What [`fill`] made that tests go on with.
pub(crate) struct Filled {
    pub(crate) customer: Stored<Customer>,
    pub(crate) van: Stored<Van>,
    pub(crate) enquiry: Stored<Enquiry>,
    pub(crate) answer: Stored<Answer>,
    pub(crate) quote: Stored<Quote>,
    pub(crate) job: Stored<Job>,
}

/// Makes at least one record of every kind, with a text in every place that takes text.
pub(crate) async fn fill(store: &Store, text: &str) -> Filled {
    store.add_as(&by(0), &id("diary"), &diary()).await.unwrap();
    let setting = Setting { value: json!({ "name": text, "vat_percent": 19.0 }) };
    store.add_as(&by(0), &id("workshop"), &setting).await.unwrap();
    let ada = User {
        name: text.into(),
        role: Role::Owner,
        language: Some(text.into()),
        units: Some(text.into()),
        decimal_sign: Some(text.into()),
        active: true,
    };
    store.add_user(&by(0), &id("ada"), &ada).await.unwrap();
    store.set_password(&by(0), &id("ada"), "argon2id made elsewhere").await.unwrap();
    let tablet = Device { name: text.into(), place: text.into(), active: true };
    store.add(&by(0), &tablet).await.unwrap();
    let documents = [
        DocumentChange { path: "kits/low.toml".into(), text: Some(format!("{text}\nx")) },
        DocumentChange { path: "rules.toml".into(), text: Some("rules = []".into()) },
    ];
    let why: String = text.chars().filter(|c| *c != '\0').take(4000).collect();
    store.revise_catalogue(&by(0).because(&why), 0, &documents).await.unwrap();
    let supply = PartSupply {
        in_stock: 1.0,
        lead_days_nine_in_ten: Some(10.5),
        supplier: text.into(),
        notes: text.into(),
    };
    store.add_as(&by(0), &id("drop-link"), &supply).await.unwrap();

    let customer =
        Customer { name: text.into(), address: vec![text.into()], notes: text.into(), ..customer(text) };
    let customer = store.add(&by(1), &customer).await.unwrap();
    let van = store.add(&by(2), &van(&customer.id, text)).await.unwrap();
    let enquiry = store.add(&by(3), &enquiry(&customer.id, &van.id, text)).await.unwrap();
    let answer = store.give_answer(&by(4), &answer(&enquiry.id, text)).await.unwrap();
    let quote = store.draft_quote(&by(5), &new_quote(&customer.id, &answer.id, text)).await.unwrap();
    let quote = store.send_quote(&by(6), &quote.id, quote.version, T0 + 7 * DAY).await.unwrap();
    let quote = store.answer_quote(&by(7), &quote.id, quote.version, Some(0)).await.unwrap();
    let part = PartNeed { part: "drop-link".into(), quantity: 1.0, expected_ms: None, arrived_ms: None };
    let new = NewJob {
        quote: Some(quote.id.clone()),
        title: text.into(),
        operations: vec![text.into()],
        parts: vec![part],
        ..new_job(&customer.id, &van.id, "left", MONDAY)
    };
    let job = store.book_job(&by(8), &new).await.unwrap();
    let job = store.start_job(&by(9), &job.id, job.version).await.unwrap();
    let found = ramp_record(&job.id, HeightsStage::AsFound, text);
    store.record_heights(&by(10), &found).await.unwrap();
    let content = json!({ "collars": [59.0, null], "caution": text });
    let sheet = store.issue_sheet(&by(11), &job.id, &answer.id, &content).await.unwrap();
    let after =
        RampRecord { sheet: Some(sheet.id), ..ramp_record(&job.id, HeightsStage::AfterFitting, text) };
    let reading = store.record_heights(&by(12), &after).await.unwrap();
    let correction = Correction {
        job: job.id.clone(),
        ramp_record: reading.id.clone(),
        answer: answer.id.clone(),
        content: content.clone(),
    };
    store.record_correction(&by(13), &correction).await.unwrap();
    let about = (Kind::RampRecord, &reading.id);
    let photo = store.add_photo(&by(14), about, text, "image/png", b"\x89PNG\0\xff").await.unwrap();
    let alignment = Alignment {
        job: job.id.clone(),
        place: AlignmentPlace::SentOut { to: text.into() },
        sent_ms: Some(T0),
        done_ms: None,
        measured: json!({ "front_left_camber_deg": -0.75 }),
        printout: Some(photo.id.clone()),
    };
    store.add(&by(15), &alignment).await.unwrap();
    let time = RampTime { job: job.id.clone(), operation: text.into(), minutes: 47.5, notes: text.into() };
    store.add(&by(16), &time).await.unwrap();
    let handover = Handover {
        job: job.id.clone(),
        content,
        signed_by: text.into(),
        signature: Some(photo.id),
        retorque_due_ms: Some(T0 + 14 * DAY),
        recheck_due_ms: Some(T0 + 42 * DAY),
    };
    store.hand_over(&by(17), job.version, &handover).await.unwrap();
    let job = store.get::<Job>(&job.id).await.unwrap();
    let back = PartReturn {
        part: text.into(),
        kit: Some(text.into()),
        job: Some(job.id.clone()),
        cause: ReturnCause::Noise,
        quantity: 1.0,
        fitted_ms: Some(T0),
        at_ms: T0 + 30 * DAY,
        driven_km: Some(1234.5),
        notes: text.into(),
    };
    store.add(&by(18), &back).await.unwrap();
    let sale = PostalSale {
        customer: customer.id.clone(),
        van: None,
        answer: Some(answer.id.clone()),
        kit: text.into(),
        sent_ms: None,
        tracking: Some(text.into()),
        notes: text.into(),
    };
    let sale = store.add(&by(19), &sale).await.unwrap();
    let code = NewSecret {
        digest: digest(1),
        purpose: SecretPurpose::PostalForm,
        owner: sale.id.to_string(),
        device: String::new(),
        scope: String::new(),
        idle_ms: None,
        ends_ms: Some(T0 + 365 * DAY),
    };
    store.add_secret(&by(20), &code).await.unwrap();
    let heights = PostalHeights {
        sale: sale.id,
        workshop: text.into(),
        before_mm: None,
        after_mm: vec![[401.0, 402.0, 399.5, 400.0]],
        collar_mm: [None; 4],
        settled: Settled::OnTurnPlates,
        notes: text.into(),
    };
    store.receive_postal_heights(&by(21), &digest(1), &heights).await.unwrap();
    store
        .add(&by(22).with_key("call-1"), &CallBack::due(&customer.id, CallBackReason::Asked, T0 + DAY))
        .await
        .unwrap();
    store
        .sign_in_failed(&by(23), &text.replace('\0', "").chars().take(100).collect::<String>())
        .await
        .unwrap();
    let van = store.get::<Van>(&van.id).await.unwrap();
    let enquiry = store.get::<Enquiry>(&enquiry.id).await.unwrap();
    Filled { customer, van, enquiry, answer, quote, job }
}
