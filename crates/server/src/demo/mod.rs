//! The demo's past: about three years of invented customers, vans, enquiries and jobs in every state, imperfect as
//! real ones are. Dates count back from today; the same seed and day make the same past.

mod open;
mod people;
mod plan;
mod truth;

use std::cmp::Reverse;
use std::collections::BinaryHeap;
use std::sync::Arc;

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use rayon::prelude::*;
use store::records::{Diary, Job, JobState, Role, Setting, User};
use store::{By, DocumentChange, Id, Store, Stored};
use workshop::answer::KnownVan;
use workshop::catalogue::{Catalogue, DataFile};
use workshop::enquiry::Enquiry;
use workshop::load_list::LoadState;

use crate::answers::{enquiry, kit_for, shortlisted};
use crate::app::App;
use crate::problem::{Handled, Problem};
use crate::{secrets, sign_in};
use plan::{HOUR_MS, Plan, Question};
use truth::OnPaper;

const DAY_MS: i64 = 24 * 60 * 60 * 1000;
/// How far the demo's past reaches back.
const BACK_MS: i64 = 3 * 365 * DAY_MS;
/// Enquiries in it: about one a week.
const ENQUIRIES: usize = 150;
/// Anything; another makes another past.
const SEED: u64 = 20_260_214;

/// How to sign in to the demo.
#[derive(Debug, Clone)]
pub struct DemoSignIn {
    /// Name.
    pub name: String,
    /// Passphrase, made anew each time.
    pub passphrase: String,
}

/// Makes documents the first revision of a store that has none.
///
/// # Errors
/// Where the store refuses.
pub async fn first_revision(store: &Store, by: &By, files: &[DataFile]) -> Result<(), Problem> {
    if store.catalogue_revision().await? > 0 {
        return Ok(());
    }
    let of_catalogue = |file: &&DataFile| {
        !["enquiries/", "ramp/", "bench/", "jacking/"].iter().any(|folder| file.path.starts_with(folder))
    };
    let changes: Vec<DocumentChange> = files
        .iter()
        .filter(of_catalogue)
        .map(|file| DocumentChange { path: file.path.clone(), text: Some(file.text.clone()) })
        .collect();
    if !changes.is_empty() {
        store.revise_catalogue(by, 0, &changes).await?;
    }
    Ok(())
}

/// Fills an empty store with the demo's catalogue, people and past.
///
/// # Errors
/// Where the store refuses, or the documents have faults.
pub async fn fill(app: &App, files: &[DataFile]) -> Result<DemoSignIn, Problem> {
    let now_ms = app.now_ms();
    let begin_ms = now_ms - BACK_MS;
    let by = By::new("demo", "office", begin_ms);
    let owner = add_people(app, &by).await?;
    first_revision(&app.store, &by, files).await?;
    let all = files.to_vec();
    let questions = app.compute(move || questions(&all)).await??;
    play(&app.store, &questions, begin_ms, now_ms).await?;
    open::of_the_last_days(&app.store, &questions, now_ms).await?;
    one_in_every_state(&app.store, now_ms).await?;
    Ok(owner)
}

async fn add_people(app: &App, by: &By) -> Handled<DemoSignIn> {
    let passphrase = format!("{}-{}", secrets::code()?, secrets::code()?);
    let people = [
        ("demo", "Demo owner", Role::Owner),
        ("office", "Demo office", Role::Office),
        ("bay", "Demo fitter", Role::Fitter),
    ];
    for (id, name, role) in people {
        let id: Id = id.parse()?;
        let user =
            User { name: name.into(), role, language: None, units: None, decimal_sign: None, active: true };
        app.store.add_user(by, &id, &user).await?;
        sign_in::give_passphrase(app, by, &id, passphrase.clone()).await?;
    }
    let workshop = serde_json::json!({"name": "Demo workshop", "country": "DE"});
    app.store.add_as(by, &"workshop".parse()?, &Setting { value: workshop }).await?;
    let day = vec![[8 * 60, 12 * 60], [13 * 60, 17 * 60]];
    let week = [day.clone(), day.clone(), day.clone(), day.clone(), day, vec![], vec![]];
    let ramps = vec!["Ramp by the door".to_owned(), "Ramp at the back".to_owned()];
    let diary = Diary { zone: "Europe/Berlin".into(), ramps, week, closed: vec![], step_minutes: 15 };
    app.store.add_as(by, &"diary".parse()?, &diary).await?;
    Ok(DemoSignIn { name: "demo".into(), passphrase })
}

/// The demo's enquiries, each answered once; past enquiries repeat them.
fn questions(files: &[DataFile]) -> Handled<Vec<Arc<Question>>> {
    let catalogue = Catalogue::read(files).map_err(crate::answers::Unanswered::from)?;
    let documents = files.par_iter().filter(|file| file.path.starts_with("enquiries/"));
    let answered = documents.filter_map(|file| {
        let asked = enquiry(&catalogue, &file.text).ok()?;
        let known = KnownVan::of(&catalogue, &asked).ok()?;
        let (listed, _) = shortlisted(&known, None).ok()?;
        let sound = listed.options.iter().filter(|option| option.quote.is_some() && !option.stopped);
        let best = sound.clone().find(|option| Some(&option.kit) == listed.best_value.as_ref());
        let chosen = best.or_else(|| sound.clone().next()).map(|option| option.kit.clone());
        let set_up = chosen.as_deref().and_then(|id| {
            let kit = kit_for(&catalogue, &asked.vehicle, id).ok()?;
            serde_json::to_value(known.set_up(&kit).ok()?).ok()
        });
        Some(Arc::new(Question {
            vehicle: asked.vehicle.clone(),
            grade: asked.grade.clone(),
            question: asked.question.clone(),
            document: file.text.clone(),
            shortlist: serde_json::to_value(&listed).ok()?,
            kit: chosen,
            set_up,
            paper: on_paper(&catalogue, &asked)?,
        }))
    });
    Ok(answered.collect())
}

/// What is written of a van; what is in it on the ramp is shared between the axles by its lever.
fn on_paper(catalogue: &Catalogue, asked: &Enquiry) -> Option<OnPaper> {
    let sheet = catalogue.vehicle(&asked.vehicle)?;
    let grade = sheet.grades.iter().find(|grade| grade.id == asked.grade)?;
    let mut listed_kg = [0.0; 2];
    for carried in asked.items.iter().filter(|item| item.states.contains(&LoadState::OnTheRamp)) {
        let rear_share = carried.item.place.behind_front_axle_mm / sheet.wheelbase_mm;
        listed_kg[0] += carried.item.mass_kg * (1.0 - rear_share);
        listed_kg[1] += carried.item.mass_kg * rear_share;
    }
    Some(OnPaper {
        original_mm: [grade.front_spring.arch_height_mm, grade.rear_spring.arch_height_mm],
        plated_kg: [grade.plated_front_axle_kg, grade.plated_rear_axle_kg],
        listed_kg,
    })
}

/// Plays all plans in order of time, up to now.
async fn play(store: &Store, questions: &[Arc<Question>], begin_ms: i64, now_ms: i64) -> Handled<()> {
    if questions.is_empty() {
        return Ok(());
    }
    let mut random = StdRng::seed_from_u64(SEED);
    let mut plans = Vec::new();
    let mut due = BinaryHeap::new();
    for number in 0..ENQUIRIES {
        // working hours of weekdays come out by themselves: the diary keeps to them
        let at_ms = begin_ms
            + (now_ms - begin_ms) * number as i64 / ENQUIRIES as i64
            + random.random_range(0..3 * DAY_MS);
        let question = &questions[random.random_range(0..questions.len())];
        due.push(Reverse((at_ms.min(now_ms), number)));
        plans.push(Plan::new(Arc::clone(question), StdRng::seed_from_u64(SEED + number as u64)));
    }
    while let Some(Reverse((at_ms, number))) = due.pop() {
        if let Some(next_ms) = plans[number].step(store, at_ms).await?
            && next_ms <= now_ms
        {
            due.push(Reverse((next_ms, number)));
        }
    }
    Ok(())
}

/// Today's board shows a van on the ramp and one that waits for parts, whatever the hour.
async fn one_in_every_state(store: &Store, now_ms: i64) -> Handled<()> {
    let by = By::new("demo", "office", now_ms);
    let jobs = store.all::<Job>().await?;
    let stands = |state: JobState| jobs.iter().any(|job| job.body.state == state);
    let mut booked = jobs.iter().filter(|job| job.body.state == JobState::Booked);
    if !stands(JobState::OnTheRamp)
        && let Some(job) = booked.next()
    {
        let job = came_sooner(store, job, now_ms).await?;
        store.start_job(&by, &job.id, job.version).await?;
    }
    if !stands(JobState::WaitingForParts)
        && let Some(job) = booked.next()
    {
        store.wait_for_parts(&by, &job.id, job.version, "bump stops are on their way").await?;
    }
    Ok(())
}

/// A booked job whose parts are there is taken on in the last hours, where a ramp was free then.
async fn came_sooner(store: &Store, job: &Stored<Job>, now_ms: i64) -> Handled<Stored<Job>> {
    let Some(booking) = &job.body.booking else { return Ok(job.clone()) };
    let (by, minutes) = (By::new("demo", "office", now_ms), booking.minutes_nine_in_ten);
    let parts: Vec<String> = job.body.parts.iter().map(|need| need.part.clone()).collect();
    let job = store.parts_arrived(&by, &job.id, job.version, &parts).await?;
    let on_the_hour_ms = now_ms - now_ms % HOUR_MS - 3 * HOUR_MS;
    let slot = store.first_free(minutes, on_the_hour_ms, None, false).await?;
    if slot.from_ms > now_ms {
        return Ok(job);
    }
    Ok(store.move_job(&by, &job.id, job.version, &slot.ramp, slot.from_ms, minutes).await?)
}

/// The demo's documents as they lie on the disk, for tests.
#[cfg(test)]
pub(crate) mod on_disk {
    use std::path::{Path, PathBuf};

    use super::*;
    use crate::app::{Reach, machine_clock};

    fn folder() -> PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo")
    }

    pub(crate) fn demo_file(path: &str) -> String {
        std::fs::read_to_string(folder().join(path)).unwrap()
    }

    pub(crate) fn demo_files() -> Vec<DataFile> {
        let root = folder();
        let mut files = Vec::new();
        for folder in ["", "kits", "vehicles", "enquiries"] {
            for entry in std::fs::read_dir(root.join(folder)).unwrap() {
                let file = entry.unwrap().path();
                if file.extension().is_some_and(|kind| kind == "toml") {
                    let path = file.strip_prefix(&root).unwrap().display().to_string();
                    files.push(DataFile { path, text: std::fs::read_to_string(&file).unwrap() });
                }
            }
        }
        files
    }

    /// Over a store that holds the demo's catalogue and nothing else.
    pub(crate) async fn demo_app(test: &str) -> App {
        let file = std::env::temp_dir().join(format!("{test}-{}.sqlite", std::process::id()));
        drop(std::fs::remove_file(&file));
        let store = Store::open(&file.display().to_string()).await.unwrap();
        first_revision(&store, &By::new("demo", "office", 0), &demo_files()).await.unwrap();
        App::new(store, Reach::default(), machine_clock())
    }
}
