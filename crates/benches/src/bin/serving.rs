//! How many requests a server answers, and what it needs meanwhile: `serving [JOBS] [USERS] [SECONDS] [DATABASE]`.
//!
//! A store is filled with jobs, a server over it listens on this machine, and so many users, each with a connection of
//! their own, ask for shortlists without a pause, then post ramp readings. Memory, the write-ahead log and open files
//! are told before and after; all of it is in one process, users included. Shortlists are asked for twice over: of four
//! enquiries whose answers are still known, and of enquiries about vans no two of which are laden alike, each computed anew.
//! Before them a single user opens pages, as after each answer on the telephone: of such enquiries, and of enquiries that
//! differ but say the same of their van.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, bail, ensure};
use serde_json::{Value, json};
use server::{App, Reach, demo, machine_clock, new_set_up_code};
use store::records::{Customer, Diary, Enquiry, EnquiryState, Van};
use store::{By, Id, NewJob, Store};
use tokio::io::{AsyncBufReadExt, AsyncReadExt, AsyncWriteExt, BufReader};
use tokio::net::{TcpListener, TcpStream};
use workshop::catalogue::DataFile;

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/demo");
/// Enquiries whose answers are known after the first, asked about in turn.
const KNOWN: usize = 4;
/// Enquiries alike, of each; together more than the server keeps answers.
const ALIKE: usize = 60;
const MINUTE_MS: i64 = 60_000;
/// Monday 5 January 2026, 07:00 UTC, when the workshop opens.
const OPENS_MS: i64 = 1_767_596_400_000;

/// As in the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

#[tokio::main]
async fn main() -> Result<()> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number = |n: usize, usual: usize| words.get(n).map_or(Ok(usual), |word| word.parse());
    let (jobs, users, seconds) = (number(0, 10_000)?, number(1, 20)?, number(2, 20)?);
    let folder = std::env::temp_dir().join(format!("archgap-serving-{}", std::process::id()));
    std::fs::create_dir(&folder)?;
    let url = words.get(3).cloned().unwrap_or_else(|| folder.join("archgap.db").display().to_string());
    let measured = measure(&url, jobs, users, Duration::from_secs(seconds as u64)).await;
    std::fs::remove_dir_all(&folder)?;
    measured
}

async fn measure(url: &str, jobs: usize, users: usize, length: Duration) -> Result<()> {
    let store = Store::open(url).await?;
    let begun = Instant::now();
    let filled = fill(&store, jobs).await?;
    println!("{jobs} jobs in {:.0} s", begun.elapsed().as_secs_f64());
    let app = App::new(store.clone(), Reach::default(), machine_clock());
    let code =
        new_set_up_code(&app).await.map_err(|e| anyhow::anyhow!("{e}"))?.context("an owner is there")?;
    let listener = TcpListener::bind("127.0.0.1:0").await?;
    let address = listener.local_addr()?.to_string();
    let serving = tokio::spawn(server::serve(app, listener, std::future::pending()));
    let owner = json!({"code": code, "workshop": "Larchway", "country": "DE", "name": "owner", "shown_name": "Orla",
        "passphrase": "herring bicycle quarter moon"});
    let mut first = Connection::open(&address).await?;
    first.ask("POST", "/api/v1/set-up", Some(&owner)).await?;
    let cookie = first.cookie.clone();

    println!(
        "{:<24} {:>9} {:>10} {:>9} {:>9} {:>9} {:>9}",
        "", "requests", "per second", "median ms", "p90 ms", "p99 ms", "most ms"
    );
    let shortlists = |user: usize, n: usize| {
        let id = &filled.enquiries[(user + n) % filled.enquiries.len()];
        ("GET", format!("/api/v1/enquiries/{id}/shortlist"), None)
    };
    let of_their_own = AtomicUsize::new(0);
    let next = |of: &'_ [Id]| of[of_their_own.fetch_add(1, Ordering::Relaxed) % of.len()].clone();
    let anew = |_: usize, _: usize| {
        ("GET", format!("/api/v1/enquiries/{}/shortlist", next(&filled.differently_laden)), None)
    };
    let readings = |user: usize, n: usize| {
        let job = &filled.jobs[(user * 7919 + n) % filled.jobs.len()];
        ("POST", "/api/v1/ramp-records".to_owned(), Some(reading(job, n)))
    };
    let page = |_: usize, _: usize| ("GET", format!("/enquiries/{}", next(&filled.differently_laden)), None);
    let page_of_same_van = |_: usize, _: usize| ("GET", format!("/enquiries/{}", next(&filled.alike)), None);
    let kinds: [(&str, &Request, usize); 5] = [
        ("page, one user", &page, 1),
        ("page, van as before", &page_of_same_van, 1),
        ("shortlist, known", &shortlists, users),
        ("shortlist, anew", &anew, users),
        ("ramp reading", &readings, users),
    ];
    for (name, request, users) in kinds {
        needs(url);
        let times = under_load(&address, &cookie, users, length, request).await?;
        show(name, times, length);
        needs(url);
    }
    serving.abort();
    store.close().await;
    Ok(())
}

type Request<'a> = dyn Fn(usize, usize) -> (&'static str, String, Option<Value>) + 'a;

fn reading(job: &Id, n: usize) -> Value {
    let mm = 430 + n % 20;
    json!({"job": job, "sheet": null, "stage": "after_fitting", "kit": null, "settled": "rolled_and_bounced",
        "bushes_reclamped": true, "load_as_listed": true, "springs_settled": false,
        "collar_mm": [null, null, null, null], "readings_mm": [[mm, mm, mm, mm]],
        "floor_rise_mm": [0, 0, 0, 0], "corner_kg": null, "notes": ""})
}

/// All users ask again and again; how long each request took, s.
async fn under_load(
    address: &str,
    cookie: &str,
    users: usize,
    length: Duration,
    request: &Request<'_>,
) -> Result<Vec<f64>> {
    let end = Instant::now() + length;
    let user = async |user: usize| -> Result<Vec<f64>> {
        let mut connection = Connection::open(address).await?;
        cookie.clone_into(&mut connection.cookie);
        let mut times = Vec::new();
        while Instant::now() < end {
            let (method, path, body) = request(user, times.len());
            let begun = Instant::now();
            connection.ask(method, &path, body.as_ref()).await?;
            times.push(begun.elapsed().as_secs_f64());
        }
        Ok(times)
    };
    let all = join_all((0..users).map(user)).await;
    Ok(all.into_iter().collect::<Result<Vec<_>>>()?.concat())
}

/// Runs futures side by side.
async fn join_all<T>(futures: impl Iterator<Item = impl Future<Output = T>>) -> Vec<T> {
    let mut waiting: Vec<_> = futures.map(|future| (Box::pin(future), None)).collect();
    std::future::poll_fn(|context| {
        for (future, done) in waiting.iter_mut().filter(|(_, done)| done.is_none()) {
            if let std::task::Poll::Ready(value) = future.as_mut().poll(context) {
                *done = Some(value);
            }
        }
        if waiting.iter().all(|(_, done)| done.is_some()) {
            std::task::Poll::Ready(())
        } else {
            std::task::Poll::Pending
        }
    })
    .await;
    waiting.into_iter().filter_map(|(_, done)| done).collect()
}

fn show(name: &str, mut times: Vec<f64>, length: Duration) {
    times.sort_by(f64::total_cmp);
    let at = |share: f64| 1e3 * times[((times.len() as f64 * share) as usize).min(times.len() - 1)];
    let per_second = times.len() as f64 / length.as_secs_f64();
    println!(
        "{name:<24} {:>9} {per_second:>10.1} {:>9.1} {:>9.1} {:>9.1} {:>9.1}",
        times.len(),
        at(0.5),
        at(0.9),
        at(0.99),
        at(1.0)
    );
}

/// What the process holds now.
fn needs(url: &str) {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let resident =
        status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap_or("unknown").trim().to_owned();
    let files = std::fs::read_dir("/proc/self/fd").map_or(0, Iterator::count);
    let log = std::fs::metadata(PathBuf::from(format!("{url}-wal"))).map_or(0, |log| log.len());
    println!("  resident {resident}, {files} files open, write-ahead log {:.1} MB", log as f64 * 1e-6);
}

#[derive(Default)]
struct Filled {
    enquiries: Vec<Id>,
    /// The same in turn, each with a remark of its own, so that no two documents are the same.
    alike: Vec<Id>,
    /// All of the demo in turn, each with a load of its own.
    differently_laden: Vec<Id>,
    jobs: Vec<Id>,
}

async fn fill(store: &Store, jobs: usize) -> Result<Filled> {
    let by = By::new("bench", "bench", OPENS_MS - 24 * 60 * MINUTE_MS);
    let files = documents(Path::new(DATA), "")?;
    demo::first_revision(store, &by, &files).await.map_err(|e| anyhow::anyhow!("{e}"))?;
    let day = vec![[8 * 60, 16 * 60]];
    let week = std::array::from_fn(|_| day.clone());
    let ramps = vec!["left".to_owned(), "right".to_owned()];
    let diary =
        Diary { zone: "Europe/Berlin".into(), ramps: ramps.clone(), week, closed: vec![], step_minutes: 15 };
    store.add_as(&by, &"diary".parse()?, &diary).await?;
    let mut filled = Filled::default();
    let mut asked = Vec::new();
    for file in files.into_iter().filter(|file| file.path.starts_with("enquiries/")) {
        let enquiry = Enquiry {
            customer: None,
            van: None,
            caller: String::new(),
            phone: None,
            question: file.path,
            document: file.text,
            state: EnquiryState::Open,
        };
        if filled.enquiries.len() < KNOWN {
            filled.enquiries.push(store.add(&by, &enquiry).await?.id);
        }
        asked.push(enquiry);
    }
    let with = |enquiry: &Enquiry, more: String| Enquiry {
        document: enquiry.document.clone() + &more,
        ..enquiry.clone()
    };
    for n in 0..ALIKE {
        for enquiry in &asked[..KNOWN] {
            filled.alike.push(store.add(&by, &with(enquiry, format!("\n# {n}\n"))).await?.id);
        }
        for enquiry in &asked {
            filled.differently_laden.push(store.add(&by, &with(enquiry, load(n))).await?.id);
        }
    }
    for n in 0..jobs {
        filled.jobs.push(add_job(store, &by, n, &ramps).await?);
    }
    Ok(filled)
}

/// A load of its own for an enquiry.
fn load(n: usize) -> String {
    let kg = 5.0 + 0.1 * n as f64;
    format!(
        "\n[[items]]\nname = \"Box {n}\"\nmass_kg = {kg:.1}\nplus_minus_kg = 1\nbehind_front_axle_mm = 2000\nabove_ground_mm = 800\nin = [\"day_to_day\"]\n"
    )
}

async fn add_job(store: &Store, by: &By, n: usize, ramps: &[String]) -> Result<Id> {
    // both ramps, six jobs of an hour a day
    let (ramp, hour, day) = (n % 2, n / 2 % 6, n / 12);
    let from_ms = OPENS_MS + ((day * 24 + hour + 1) as i64) * 60 * MINUTE_MS;
    let customer = Customer {
        name: format!("Customer {n}"),
        phones: vec![format!("01632 960{:03}", n % 1000)],
        ..Customer::default()
    };
    let customer = store.add(by, &customer).await?.id;
    let van = Van {
        customer: customer.clone(),
        plate: format!("QX{n:05}"),
        vehicle: None,
        grade: None,
        vin: None,
        year: None,
        description: "camper".into(),
        weighings: vec![],
        lip_offset_mm: None,
        as_found: vec![],
        fitted_kit: None,
        notes: String::new(),
    };
    let van = store.add(by, &van).await?.id;
    let job = NewJob {
        customer,
        van,
        quote: None,
        title: "four collars".into(),
        operations: vec![],
        parts: vec![],
        ramp: ramps[ramp].clone(),
        from_ms,
        minutes_nine_in_ten: 60,
    };
    Ok(store.book_job(by, &job).await?.id)
}

/// All documents of a folder, sorted by path.
fn documents(folder: &Path, within: &str) -> Result<Vec<DataFile>> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let path = format!("{within}{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            files.extend(documents(&entry.path(), &format!("{path}/"))?);
        } else if path.ends_with(".toml") {
            files.push(DataFile { path, text: std::fs::read_to_string(entry.path())? });
        }
    }
    files.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(files)
}

/// Every request has a key of its own.
static KEYS: AtomicUsize = AtomicUsize::new(0);

/// A connection that stays open, as a browser's does.
struct Connection {
    stream: BufReader<TcpStream>,
    host: String,
    cookie: String,
}

impl Connection {
    async fn open(address: &str) -> Result<Self> {
        let stream = TcpStream::connect(address).await?;
        stream.set_nodelay(true)?;
        Ok(Self { stream: BufReader::new(stream), host: address.to_owned(), cookie: String::new() })
    }

    /// Asks and reads the whole reply; anything but success is an error.
    async fn ask(&mut self, method: &str, path: &str, body: Option<&Value>) -> Result<()> {
        let body = body.map(Value::to_string).unwrap_or_default();
        let request = format!(
            "{method} {path} HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nCookie: {1}\r\nContent-Type: application/json\r\nIdempotency-Key: {3}\r\nContent-Length: {2}\r\n\r\n{body}",
            self.host,
            self.cookie,
            body.len(),
            KEYS.fetch_add(1, Ordering::Relaxed)
        );
        self.stream.get_mut().write_all(request.as_bytes()).await?;
        let mut line = String::new();
        self.stream.read_line(&mut line).await?;
        let status = line.split(' ').nth(1).unwrap_or_default().to_owned();
        let mut length = None;
        loop {
            line.clear();
            ensure!(self.stream.read_line(&mut line).await? > 0, "the server hung up");
            let Some((name, value)) = line.trim_end().split_once(": ") else { break };
            match name.to_ascii_lowercase().as_str() {
                "content-length" => length = Some(value.parse::<usize>()?),
                "set-cookie" => self.cookie = value.split(';').next().unwrap_or_default().to_owned(),
                _ => {}
            }
        }
        let mut reply = vec![0; length.context("a reply without length")?];
        self.stream.read_exact(&mut reply).await?;
        if !status.starts_with('2') {
            bail!("{method} {path}: {status} {}", String::from_utf8_lossy(&reply));
        }
        Ok(())
    }
}
