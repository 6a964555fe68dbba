//! The `archgap` program: reads files, calls the workshop's pure functions, prints tables or JSON.

mod commands;
mod data;
mod tables;

use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};

use commands::predict::Extent;
use data::{DataSource, Trouble};
use mechanics::linkage::TravelMode;
use mechanics::ride::RoadClass;
use workshop::facts::{Language, Words};
use workshop::ride::{Against, HumpQuestion, HumpShape, RideQuestion};
use workshop::wording::Said;

/// Answers allocate a great deal in little pieces: a tenth of their time (docs/benchmarks.md).
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// Answers how every kit in the catalogue would sit on one customer's van.
///
/// Exit codes: 0 answered; 1 faults in the files, all listed; 2 wrong usage or a name that does not exist; 3 the input
/// is sound but no answer is possible; 5 the workshop's memory refused or failed. With --json errors are JSON too.
#[derive(Parser)]
#[command(name = "archgap", version, max_term_width = 100)]
struct Arguments {
    /// Folder with vehicles/, kits/, enquiries/, load-items.toml and tolerances.toml; the demo workshop if absent.
    #[arg(long, global = true, value_name = "DIR")]
    data: Option<std::path::PathBuf>,
    /// Print JSON with the same field names as everywhere.
    #[arg(long, global = true)]
    json: bool,
    /// Language of everything that is printed for people.
    #[arg(long, global = true, value_enum, default_value_t = Tongue::En)]
    language: Tongue,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
enum Command {
    /// How the van sits today and how it would sit with kits, at each corner in each load state.
    Predict {
        /// Enquiry file, or the name of one of the data folder's enquiries.
        enquiry: String,
        /// Only this kit, in full.
        #[arg(long, value_name = "ID")]
        kit: Option<String>,
        /// Every kit in every load state, instead of a first screen; with --kit every check of it.
        #[arg(long)]
        all: bool,
    },
    /// Every kit of the catalogue: out, with the rule that put it out, or in, ranked by the wishes.
    Shortlist {
        /// Enquiry file, or the name of one of the data folder's enquiries.
        enquiry: String,
        /// Sort by this instead of the enquiry's own wish.
        #[arg(long, value_enum)]
        by: Option<By>,
    },
    /// What changes if kit B is chosen instead of kit A.
    Compare {
        /// Enquiry file, or the name of one of the data folder's enquiries.
        enquiry: String,
        /// Kit A.
        a: String,
        /// Kit B.
        b: String,
    },
    /// The chain behind a figure, verdict, price or time: inputs with their evidence, steps, equations and sources.
    Why {
        /// Enquiry file, or the name of one of the data folder's enquiries.
        enquiry: String,
        /// Figure by its name in JSON, such as arch_height_mm or captive_in_hand_mm; a check, such as ground_clearance
        /// or camber; of a kit also its verdict, price or time. A wrong name lists them all.
        figure: String,
        /// Kit; the van as it stands today if absent.
        #[arg(long, value_name = "ID")]
        kit: Option<String>,
        /// front_left, front_right, rear_left or rear_right; front_left if absent. Figures of an axle take its axle.
        #[arg(long)]
        corner: Option<String>,
        /// as_fitted_out, day_to_day, fully_laden or on_the_ramp; that of the wish if absent.
        #[arg(long)]
        state: Option<String>,
        /// Rim of the workshop's list, for checks of wheels; with --tyre. The enquiry's own if absent.
        #[arg(long, value_name = "ID", requires = "tyre")]
        rim: Option<String>,
        /// Tyre of the workshop's list; with --rim.
        #[arg(long, value_name = "ID", requires = "rim")]
        tyre: Option<String>,
    },
    /// Every rim and tyre of the workshop's list: what fits and carries first, and why the others do not.
    Wheels {
        /// Enquiry file, or the name of one of the data folder's enquiries.
        enquiry: String,
        /// On this kit; as the van stands today if absent.
        #[arg(long, value_name = "ID")]
        kit: Option<String>,
    },
    /// How the van rides, today and on kits: comfort, travel used, bottoming, a hump; what may be promised of it.
    Ride {
        /// Enquiry file, or the name of one of the data folder's enquiries.
        enquiry: String,
        /// This kit, or several; every kit sold for the van if absent.
        #[arg(long, value_name = "ID")]
        kit: Vec<String>,
        /// Class of the road (ISO 8608), from a, smooth, to h.
        #[arg(long, value_enum, default_value_t = Road::B)]
        road: Road,
        /// Speed on it, km/h.
        #[arg(long, default_value_t = 80.0, value_parser = speed_km_per_h)]
        speed: f64,
        /// What comfort is held against.
        #[arg(long, value_enum, default_value_t = Yardstick::AsNewOriginal)]
        against: Yardstick,
        /// Shape of the hump.
        #[arg(long, value_enum, default_value_t = HumpForm::Round)]
        hump: HumpForm,
        /// Length of the hump along the road, m.
        #[arg(long, default_value_t = 3.7, value_parser = hump_length_m)]
        hump_length: f64,
        /// Height of the hump, mm.
        #[arg(long, default_value_t = 100.0, value_parser = positive_mm)]
        hump_height: f64,
        /// Speed over the hump, km/h.
        #[arg(long, default_value_t = 30.0, value_parser = speed_km_per_h)]
        hump_speed: f64,
    },
    /// Collar positions that reach the aim, and the heights to read on the ramp.
    SetUp {
        /// Enquiry file, or the name of one of the data folder's enquiries.
        enquiry: String,
        /// Kit to set up.
        #[arg(long, value_name = "ID")]
        kit: String,
    },
    /// From heights read on the ramp: which collar, which way, how many turns, or leave it.
    Correct {
        /// Ramp record file, or the name of one in the data folder's ramp/.
        record: String,
    },
    /// Rate and free length of a spring from lengths and loads read on the bench.
    SpringBench {
        /// Bench reading file.
        file: String,
    },
    /// Motion ratios from wheel travel and spring length read on the jack.
    Jacking {
        /// Jacking record file.
        file: String,
    },
    /// Camber, toe, motion ratios and the rest over wheel travel.
    Kinematics {
        /// Vehicle sheet file, or the identifier of one of the data folder's vehicle sheets.
        vehicle: String,
        /// Which axle.
        #[arg(long, value_enum)]
        axle: Axle,
        /// How the two wheels move against each other.
        #[arg(long, value_enum, default_value_t = Mode::Heave)]
        mode: Mode,
        /// Travel to either side of design height, mm.
        #[arg(long, default_value_t = 100.0, value_parser = positive_mm)]
        travel_mm: f64,
        /// Step, mm.
        #[arg(long, default_value_t = 10.0, value_parser = positive_mm)]
        step_mm: f64,
    },
    /// Reads a data folder and lists all its faults.
    Check {
        /// The folder.
        dir: std::path::PathBuf,
    },
    /// An export back into the workshop's memory, or kits from a table into a data folder: all of it or nothing.
    Import {
        /// Folder of an export; or a CSV or XLSX table with --into, one kit a row, columns headed by the paths of a kit
        /// file's fields.
        from: std::path::PathBuf,
        /// Data folder that kits of a table go into.
        #[arg(long, value_name = "DIR")]
        into: Option<std::path::PathBuf>,
        /// PostgreSQL database, instead of a file in the folder.
        #[arg(long, value_name = "URL", env = "ARCHGAP_DATABASE", hide_env_values = true)]
        database: Option<String>,
        /// Write it; without it only what would change is shown.
        #[arg(long)]
        apply: bool,
    },
    /// JSON Schema of a kind of document.
    Schema {
        /// vehicle, kit, load-items, tolerances, wheels, enquiry, ramp-record, spring-bench or jacking.
        kind: String,
    },
    /// The demo workshop's first enquiry, answered.
    Demo,
    /// The workshop in the browser. --data is its folder, with its memory in archgap.db; workshop/ if absent.
    Serve {
        /// PostgreSQL database, instead of a file in the folder.
        #[arg(long, value_name = "URL", env = "ARCHGAP_DATABASE", hide_env_values = true)]
        database: Option<String>,
        /// Address to listen on; only this machine reaches the default.
        #[arg(long, value_name = "ADDR", default_value = "127.0.0.1:8420")]
        listen: std::net::SocketAddr,
        /// Address in the browser, where something before this server adds HTTPS.
        #[arg(long, value_name = "URL")]
        public_url: Option<String>,
        /// An invented workshop with three years behind it, in a folder of its own that is thrown away.
        #[arg(long, conflicts_with_all = ["database", "data"])]
        demo: bool,
    },
    /// A proven backup of the workshop's memory, while the server may run.
    Backup {
        /// New folder for it; one in backups/ of the workshop's folder if absent.
        into: Option<std::path::PathBuf>,
        /// PostgreSQL database, instead of a file in the folder.
        #[arg(long, value_name = "URL", env = "ARCHGAP_DATABASE", hide_env_values = true)]
        database: Option<String>,
    },
    /// Takes a backup or an export back in place of the workshop's memory; without --apply it is only proven.
    Restore {
        /// Folder of the backup or export.
        from: std::path::PathBuf,
        /// PostgreSQL database, instead of a file in the folder.
        #[arg(long, value_name = "URL", env = "ARCHGAP_DATABASE", hide_env_values = true)]
        database: Option<String>,
        /// Do it; what stands there now is kept aside.
        #[arg(long)]
        apply: bool,
    },
    /// The whole memory of the workshop as plain files: JSON lines, tables, documents.
    Export {
        /// New folder for it.
        into: std::path::PathBuf,
        /// PostgreSQL database, instead of a file in the folder.
        #[arg(long, value_name = "URL", env = "ARCHGAP_DATABASE", hide_env_values = true)]
        database: Option<String>,
    },
    /// What is wrong with the workshop's memory, why it matters and what mends it; exit code 1 where anything is.
    Doctor {
        /// Folder of backups; backups/ of the workshop's folder if absent.
        #[arg(long, value_name = "DIR")]
        backups: Option<std::path::PathBuf>,
        /// PostgreSQL database, instead of a file in the folder.
        #[arg(long, value_name = "URL", env = "ARCHGAP_DATABASE", hide_env_values = true)]
        database: Option<String>,
        /// First derive searches, lists and the diary anew.
        #[arg(long)]
        reindex: bool,
    },
}

#[derive(Clone, Copy, ValueEnum)]
enum Tongue {
    En,
    De,
}

impl Tongue {
    fn language(self) -> Language {
        match self {
            Self::En => Language::English,
            Self::De => Language::German,
        }
    }
}

#[derive(Clone, Copy, ValueEnum)]
enum By {
    Drop,
    Level,
    Travel,
    #[value(name = "load_reserve")]
    LoadReserve,
    Clearance,
    Comfort,
}

#[derive(Clone, Copy, ValueEnum)]
enum Road {
    A,
    B,
    C,
    D,
    E,
    F,
    G,
    H,
}

#[derive(Clone, Copy, ValueEnum)]
enum Yardstick {
    /// New original parts.
    AsNewOriginal,
    /// The van as it was found, its dampers worn.
    AsFound,
}

/// Shapes of published humps.
#[derive(Clone, Copy, ValueEnum)]
enum HumpForm {
    /// Segment of a circle.
    Round,
    /// One wave of a cosine.
    Sinusoidal,
    /// Level top between ramps of 1 in 12.
    FlatTop,
}

/// How the two wheels of an axle move.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum Mode {
    /// Both alike.
    Heave,
    /// The right one as much down as the left one goes up.
    Roll,
    /// The right one stands still.
    SingleWheel,
}

impl From<Mode> for TravelMode {
    fn from(mode: Mode) -> Self {
        match mode {
            Mode::Heave => Self::Heave,
            Mode::Roll => Self::Roll,
            Mode::SingleWheel => Self::SingleWheel,
        }
    }
}

#[derive(Clone, Copy, ValueEnum)]
enum Axle {
    Front,
    Rear,
}

fn positive_mm(text: &str) -> Result<f64, String> {
    within(text, 0.1, 300.0, "a number of millimetres from 0.1 to 300")
}

fn within(text: &str, from: f64, to: f64, allowed: &str) -> Result<f64, String> {
    let value: f64 = text.parse().map_err(|_| format!("allowed is {allowed}"))?;
    if (from..=to).contains(&value) { Ok(value) } else { Err(format!("allowed is {allowed}")) }
}

fn speed_km_per_h(text: &str) -> Result<f64, String> {
    within(text, 5.0, 200.0, "a speed from 5 to 200 km/h")
}

fn hump_length_m(text: &str) -> Result<f64, String> {
    within(text, 0.3, 30.0, "a length from 0.3 to 30 m")
}

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(asked) if asked.use_stderr() && std::env::args().any(|argument| argument == "--json") => {
            let usage = Trouble::Usage(asked.to_string().trim_end().to_owned());
            return tell(&usage, Language::English, true);
        }
        Err(asked) => asked.exit(),
    };
    if let Some(code) = remember(&arguments) {
        return code;
    }
    match run(&arguments) {
        Ok(output) => print(&output),
        Err(trouble) => tell(&trouble, arguments.language.language(), arguments.json),
    }
}

/// Commands about the workshop's memory; none where the command is another.
fn remember(arguments: &Arguments) -> Option<ExitCode> {
    use commands::memory::{self, Place};
    use commands::serve::{self, Serving};
    let (json, language) = (arguments.json, arguments.language.language());
    let place =
        |database: &Option<String>| Place { folder: arguments.data.clone(), database: database.clone() };
    let command = arguments.command.as_ref()?;
    let work = async {
        let done = match command {
            Command::Serve { database, listen, public_url, demo } => {
                let (place, listen) = (place(database), *listen);
                let serving =
                    Serving { place, listen, public_url: public_url.clone(), demo: *demo, language };
                serve::serve(serving).await.map(|()| None)
            }
            Command::Backup { into, database } => {
                memory::backup(&place(database), into.clone(), language, json).await.map(Some)
            }
            Command::Restore { from, database, apply } => {
                memory::restore(&place(database), from, *apply, language, json).await.map(Some)
            }
            Command::Export { into, database } => {
                memory::export(&place(database), into, language, json).await.map(Some)
            }
            Command::Import { from, into: None, database, apply } if from.is_dir() => {
                memory::import(&place(database), from, *apply, language, json).await.map(Some)
            }
            Command::Doctor { backups, database, reindex } => {
                match memory::doctor(&place(database), backups.clone(), *reindex, language, json).await {
                    Ok((said, well)) => {
                        let printed = print(&said);
                        return Some(if well { printed } else { ExitCode::FAILURE });
                    }
                    Err(why) => Err(why),
                }
            }
            _ => return None,
        };
        Some(match done {
            Ok(said) => said.map_or(ExitCode::SUCCESS, |said| print(&said)),
            Err(why) => storage_failed(&why, language),
        })
    };
    let runtime = match tokio::runtime::Runtime::new() {
        Ok(runtime) => runtime,
        Err(why) => return Some(storage_failed(&why.into(), language)),
    };
    let code = runtime.block_on(work);
    // what is still being computed for nobody is not waited for
    runtime.shutdown_background();
    code
}

/// Exit code 5: the memory refused or failed; nothing was changed.
fn storage_failed(why: &anyhow::Error, language: Language) -> ExitCode {
    match why.downcast_ref::<store::Error>().filter(|_| language == Language::German) {
        Some(refused) => eprintln!("{}", server::store_words::in_german(refused)),
        None => eprintln!("{why:#}"),
    }
    ExitCode::from(5)
}

/// Says why there is no answer.
fn tell(trouble: &Trouble, language: Language, json: bool) -> ExitCode {
    if json {
        eprintln!("{}", trouble.json());
    } else {
        eprintln!("{}", trouble.words(language));
    }
    ExitCode::from(trouble.exit_code())
}

/// Prints the answer; a reader who stops early (a pager, `head`) is no fault.
fn print(output: &str) -> ExitCode {
    use std::io::Write;
    match writeln!(std::io::stdout(), "{}", output.trim_end()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            eprintln!("cannot print the answer: {error}");
            ExitCode::FAILURE
        }
        _ => ExitCode::SUCCESS,
    }
}

/// What is to be imported is neither the folder of an export nor a table with a folder to go into.
fn no_folder_named(from: &std::path::Path) -> Trouble {
    let allowed = Words {
        en: "the folder of an export, or a table of kits with --into DIR".to_owned(),
        de: "der Ordner eines Exports, oder eine Tabelle von Kits mit --into DIR".to_owned(),
    };
    Trouble::wrong_name("import", &from.display().to_string(), allowed)
}

fn run(arguments: &Arguments) -> Result<String, Trouble> {
    let source = DataSource::of(arguments.data.as_deref());
    let json = arguments.json;
    let language = arguments.language.language();
    match arguments.command.as_ref().unwrap_or(&Command::Demo) {
        Command::Predict { enquiry, kit, all } => {
            let extent = match kit {
                Some(id) => Extent::Kit { id, all_checks: *all },
                None if *all => Extent::All,
                None => Extent::Short,
            };
            commands::predict::run(&source, enquiry, extent, language, json)
        }
        Command::Shortlist { enquiry, by } => commands::shortlist::run(&source, enquiry, *by, language, json),
        Command::Compare { enquiry, a, b } => {
            commands::shortlist::compare(&source, enquiry, [a, b], language, json)
        }
        Command::Why { enquiry, figure, kit, corner, state, rim, tyre } => {
            let question = server::why::Question {
                kit: kit.as_deref(),
                figure,
                corner: corner.as_deref(),
                state: state.as_deref(),
                rim: rim.as_deref(),
                tyre: tyre.as_deref(),
            };
            commands::why::run(&source, enquiry, &question, language, json)
        }
        Command::Wheels { enquiry, kit } => {
            commands::wheels::run(&source, enquiry, kit.as_deref(), language, json)
        }
        Command::Ride { enquiry, kit, road, speed, against, hump, hump_length, hump_height, hump_speed } => {
            let question = RideQuestion {
                road: RoadClass::ALL[*road as usize],
                speed_km_per_h: *speed,
                against: match against {
                    Yardstick::AsNewOriginal => Against::AsNewOriginal,
                    Yardstick::AsFound => Against::AsFound,
                },
            };
            let hump = HumpQuestion {
                shape: match hump {
                    HumpForm::Round => HumpShape::Circular,
                    HumpForm::Sinusoidal => HumpShape::Sinusoidal,
                    HumpForm::FlatTop => HumpShape::FlatTop,
                },
                length_m: *hump_length,
                height_mm: *hump_height,
                speed_km_per_h: *hump_speed,
            };
            commands::ride::run(&source, enquiry, kit, (question, hump), language, json)
        }
        Command::SetUp { enquiry, kit } => commands::set_up::run(&source, enquiry, kit, language, json),
        Command::Correct { record } => commands::correct::run(&source, record, language, json),
        Command::SpringBench { file } => commands::measure::spring_bench(&source, file, language, json),
        Command::Jacking { file } => commands::measure::jacking(&source, file, language, json),
        Command::Kinematics { vehicle, axle, mode, travel_mm, step_mm } => {
            let mode = (*mode).into();
            let over = commands::kinematics::Over { mode, travel_mm: *travel_mm, step_mm: *step_mm };
            commands::kinematics::run(&source, vehicle, *axle as usize, &over, language, json)
        }
        Command::Check { dir } => commands::check::run(dir, language, json),
        Command::Import { from, into, apply, .. } => {
            let into = into.as_deref().ok_or_else(|| no_folder_named(from))?;
            commands::import::run(from, into, *apply, language, json)
        }
        Command::Schema { kind } => commands::schema::run(kind),
        // the others are about the workshop's memory and were done before
        _ => commands::demo::run(&source, language, json),
    }
}
