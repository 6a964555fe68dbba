//! Papers of a job: set-up sheets, what was read on the ramp, corrections, the handover.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use mechanics::statics::axle_of;
use serde::Serialize;
use serde_json::json;
use store::records::{
    Answer, AnswerAbout, Correction, Enquiry, Handover, Job, Quote, RampRecord, SetUpSheet,
};
use store::{Id, Stored};
use workshop::answer::KnownVan;
use workshop::belief::CORNER_WORDS;
use workshop::facts::Language;
use workshop::wording::corner;

use super::computed::{Computed, PROGRAM_VERSION};
use crate::answers::{self, Unanswered, kit_for};
use crate::app::App;
use crate::caller::Writer;
use crate::extract::{At, Body, Saw, made, record};
use crate::problem::{Handled, Problem};
use crate::wire::{self, Kept};

/// Issues a set-up sheet of a job from an answer about a set-up; it supersedes the one before.
#[utoipa::path(post, path = "/api/v1/set-up-sheets", tag = "set-up-sheets", request_body = wire::NewSheet,
    responses((status = 201, body = Kept<wire::SetUpSheet>)))]
pub(crate) async fn issue_sheet(
    State(app): State<App>,
    Writer(by): Writer,
    Body(new): Body<wire::NewSheet>,
) -> Handled<Response> {
    let job: Id = new
        .job
        .parse()
        .map_err(|_| Problem::invalid("/job", ("an id of a job", "die Kennung eines Auftrags")))?;
    let answer: Id = new
        .answer
        .parse()
        .map_err(|_| Problem::invalid("/answer", ("an id of an answer", "die Kennung einer Antwort")))?;
    let answer = app.store.get::<Answer>(&answer).await.map_err(Problem::of_body)?;
    if answer.body.about != AnswerAbout::SetUp {
        return Err(Problem::invalid(
            "/answer",
            ("an answer about a set-up", "eine Antwort über eine Einstellung"),
        ));
    }
    let sheet =
        app.store.issue_sheet(&by, &job, &answer.id, &answer.body.result).await.map_err(Problem::of_body)?;
    Ok(made("set-up-sheets", &sheet))
}

/// Keeps what was read on the ramp, beside all earlier readings.
#[utoipa::path(post, path = "/api/v1/ramp-records", tag = "ramp-records", request_body = wire::RampRecord,
    responses((status = 201, body = Kept<wire::RampRecord>)))]
pub(crate) async fn record_heights(
    State(app): State<App>,
    Writer(by): Writer,
    Body(new): Body<wire::RampRecord>,
) -> Handled<Response> {
    let new: RampRecord = record(&new)?;
    Ok(made("ramp-records", &app.store.record_heights(&by, &new).await.map_err(Problem::of_body)?))
}

/// A correction as computed, and what it was computed from.
pub(crate) struct Corrected {
    reading: Stored<RampRecord>,
    enquiry: Id,
    document: String,
    pub(crate) computed: Computed,
}

/// Which collar, which way, how many turns, or leave it; nothing is kept.
#[utoipa::path(get, path = "/api/v1/ramp-records/{id}/correction", tag = "ramp-records", params(("id" = String, Path, max_length = 120)),
    responses((status = 200, body = Value)))]
pub(crate) async fn correction(State(app): State<App>, At(id): At) -> Handled<Computed> {
    Ok(corrected(&app, &id, Clone::clone).await?.computed)
}

/// Computes a correction and keeps it, with its answer.
#[utoipa::path(post, path = "/api/v1/ramp-records/{id}/corrections", tag = "ramp-records", params(("id" = String, Path, max_length = 120)),
    responses((status = 201, body = Kept<wire::Correction>)))]
pub(crate) async fn correct(State(app): State<App>, At(id): At, writer: Writer) -> Handled<Response> {
    Ok(made("corrections", &kept_correction(&app, &id, &writer).await?))
}

/// Computes a correction and keeps it, with its answer.
pub(crate) async fn kept_correction(app: &App, id: &Id, writer: &Writer) -> Handled<Stored<Correction>> {
    let Corrected { reading, enquiry, document, computed } = corrected(app, id, Clone::clone).await?;
    let answer = Answer {
        enquiry,
        about: AnswerAbout::Correction,
        enquiry_document: document,
        inputs: json!({"about": "correction", "ramp_record": reading.body}),
        catalogue_revision: computed.revision,
        program_version: PROGRAM_VERSION.to_owned(),
        result: computed.result.clone(),
        again_of: None,
    };
    let answer = app.store.give_answer(&writer.further("answer"), &answer).await?;
    let (job, content) = (reading.body.job, computed.result);
    let correction = Correction { job, ramp_record: id.clone(), answer: answer.id, content };
    Ok(app.store.record_correction(&writer.0, &correction).await?)
}

/// A correction, told as it is wanted.
pub(crate) async fn corrected<T: Serialize + 'static>(
    app: &App,
    id: &Id,
    told: impl FnOnce(&workshop::correction::Correction) -> T + Send + 'static,
) -> Handled<Corrected> {
    let reading = app.store.get::<RampRecord>(id).await?;
    let (enquiry, of_sheet) = enquiry_of(app, &reading.body).await?;
    let document = app.store.get::<Enquiry>(&enquiry).await?.body.document;
    let kit = reading.body.kit.clone().or(of_sheet).ok_or_else(|| {
        Problem::invalid("/kit", ("the record names no kit", "die Ablesung nennt keinen Satz"))
    })?;
    if reading.body.readings_mm.is_empty() {
        return Err(Problem::invalid(
            "/readings_mm",
            ("the record holds no readings", "die Ablesung enthält keine Werte"),
        ));
    }
    collars_known(app, &document, &kit, &reading.body).await?;
    let of_the_trade = as_the_trade_reads(&reading.body, enquiry.as_str(), &kit);
    let computed = of_a_record(app, document.clone(), kit, of_the_trade, told).await?;
    Ok(Corrected { reading, enquiry, document, computed })
}

/// The correction from a ramp record, told as it is wanted. It looks at the kit as it stands and sets none, so the van
/// takes no place among those whose kits are kept.
async fn of_a_record<T: Serialize + 'static>(
    app: &App,
    document: String,
    kit: String,
    record: workshop::ramp_record::RampRecord,
    told: impl FnOnce(&workshop::correction::Correction) -> T + Send + 'static,
) -> Handled<Computed> {
    let read = app.catalogue().await?;
    let revision = read.revision;
    let work = move || {
        let enquiry = answers::enquiry(&read.catalogue, &document)?;
        let kit = kit_for(&read.catalogue, &enquiry.vehicle, &kit)?;
        let correction = KnownVan::of(&read.catalogue, &enquiry)?.correct(&kit, &record)?;
        Ok::<_, Unanswered>(serde_json::to_value(told(&correction)))
    };
    let result = app.compute(work).await?.map_err(Problem::from)?.map_err(|e| Problem::internal(&e))?;
    Ok(Computed { result, revision })
}

/// Turns are named from where the collars are: one whose place is not known would be taken as delivered.
async fn collars_known(app: &App, document: &str, kit: &str, reading: &RampRecord) -> Handled<()> {
    let read = app.catalogue().await?;
    let vehicle = answers::enquiry(&read.catalogue, document)?.vehicle;
    let kit = kit_for(&read.catalogue, &vehicle, kit)?;
    let has_collar = |corner: &usize| kit.axle(axle_of(*corner)).is_some_and(|parts| parts.collar.is_some());
    let missing: Vec<usize> =
        (0..4).filter(has_collar).filter(|corner| reading.collar_mm[*corner].is_none()).collect();
    if missing.is_empty() {
        return Ok(());
    }
    let named = |language| missing.iter().map(|at| corner(language, *at)).collect::<Vec<_>>().join(", ");
    let words = (
        format!(
            "where the collars stand is not known ({}): measure them from the datum and read the heights again, so that the right turns are named",
            named(Language::English)
        ),
        format!(
            "wo die Versteller stehen, ist nicht bekannt ({}): vom Bezug messen und die Höhen noch einmal ablesen, damit die richtigen Drehungen genannt werden",
            named(Language::German)
        ),
    );
    Err(Problem::new(StatusCode::UNPROCESSABLE_ENTITY, "collars_not_known", words)
        .with("corners", json!(missing.iter().map(|at| CORNER_WORDS[*at]).collect::<Vec<_>>())))
}

/// The enquiry a reading belongs to, by its sheet or the job's quote; and the sheet's kit.
async fn enquiry_of(app: &App, reading: &RampRecord) -> Handled<(Id, Option<String>)> {
    if let Some(sheet) = &reading.sheet {
        let sheet = app.store.get::<SetUpSheet>(sheet).await?.body;
        let answer = app.store.get::<Answer>(&sheet.answer).await?.body;
        let kit = answer.inputs["kit"].as_str().map(str::to_owned);
        return Ok((answer.enquiry, kit));
    }
    let quote = app.store.get::<Job>(&reading.job).await?.body.quote.ok_or_else(|| {
        Problem::invalid(
            "/sheet",
            ("the record names no set-up sheet and its job no quote, so nobody knows the van's loads", "die Ablesung nennt kein Einstellblatt und ihr Auftrag kein Angebot, so weiß niemand, was der Wagen trägt"),
        )
    })?;
    Ok((app.store.get::<Quote>(&quote).await?.body.enquiry, None))
}

fn as_the_trade_reads(kept: &RampRecord, enquiry: &str, kit: &str) -> workshop::ramp_record::RampRecord {
    use store::records::Settled as Kept;
    use workshop::ramp_record::Settled;
    workshop::ramp_record::RampRecord {
        enquiry: enquiry.to_owned(),
        kit: kit.to_owned(),
        settled: match kept.settled {
            Kept::RolledAndBounced => Settled::RolledAndBounced,
            Kept::OnTurnPlates => Settled::OnTurnPlates,
            Kept::OnlyLowered => Settled::OnlyLowered,
        },
        bushes_reclamped: kept.bushes_reclamped,
        load_as_listed: kept.load_as_listed,
        springs_settled: kept.springs_settled,
        unequal_asked: false,
        collar_mm: kept.collar_mm,
        insertion_mm: [0.0; 2],
        readings_mm: kept.readings_mm.clone(),
        read_twice: false,
        floor_rise_mm: kept.floor_rise_mm,
        corner_kg: kept.corner_kg,
    }
}

/// Hands the van over: the job is done, the ramp free. `If-Match` is the version of the job.
#[utoipa::path(post, path = "/api/v1/handovers", tag = "handovers", request_body = wire::Handover,
    responses((status = 201, body = Kept<wire::Handover>)))]
pub(crate) async fn hand_over(
    State(app): State<App>,
    Saw(saw): Saw,
    Writer(by): Writer,
    Body(new): Body<wire::Handover>,
) -> Handled<Response> {
    let new: Handover = record(&new)?;
    Ok(made("handovers", &app.store.hand_over(&by, saw, &new).await.map_err(Problem::of_body)?))
}

#[cfg(test)]
mod tests {
    use workshop::catalogue::DataFile;

    use super::*;
    use crate::demo::on_disk::{demo_app, demo_file};

    #[tokio::test]
    async fn law_a_correction_takes_no_place_among_the_vans_whose_kits_are_kept() {
        let app = demo_app("correction-takes-no-place").await;
        let read = app.catalogue().await.unwrap();
        let document = demo_file("enquiries/camper-low-at-the-back.toml");
        let text = demo_file("ramp/camper-after-fitting.toml");
        let record = read.catalogue.read_ramp_record(&DataFile { path: "record".to_owned(), text }).unwrap();
        let kit = record.kit.clone();
        let told = of_a_record(&app, document.clone(), kit, record, Clone::clone).await.unwrap();
        assert!(told.result["turn"].is_object() || told.result["turn"].is_array(), "{}", told.result);
        assert_eq!(app.shortlists.vans_kept(), 0);
        app.shortlist(&read, &document, None).await.unwrap();
        assert_eq!(app.shortlists.vans_kept(), 1);
    }
}
