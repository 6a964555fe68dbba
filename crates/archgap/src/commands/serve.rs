//! `archgap serve`, and the commands that keep the workshop's memory: `backup`, `restore`, `export`, `doctor`.

use std::net::SocketAddr;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use server::{App, Reach, demo, machine_clock, new_set_up_code, told_to_stop};
use store::{By, Durability, Store};
use tokio::net::TcpListener;

use crate::data::DataSource;

/// File of the workshop's memory in its folder.
const DATABASE: &str = "archgap.db";
/// Folder of backups in the workshop's folder, where no other is named.
const BACKUPS: &str = "backups";

/// Where the memory is.
pub(crate) struct Place {
    /// The workshop's folder.
    pub(crate) folder: Option<PathBuf>,
    /// URL of a PostgreSQL database, instead of a file in the folder.
    pub(crate) database: Option<String>,
}

impl Place {
    fn folder(&self) -> PathBuf {
        self.folder.clone().unwrap_or_else(|| PathBuf::from("workshop"))
    }

    fn url(&self) -> String {
        self.database.clone().unwrap_or_else(|| self.folder().join(DATABASE).display().to_string())
    }

    /// The memory that is there already; a mistyped folder does not make a new one.
    async fn open(&self) -> anyhow::Result<Store> {
        if self.database.is_none() && !self.folder().join(DATABASE).is_file() {
            bail!("{} holds no {DATABASE}; name the workshop's folder with --data", self.folder().display());
        }
        Ok(Store::open(&self.url()).await?)
    }
}

/// What `serve` is told.
pub(crate) struct Serving {
    pub(crate) place: Place,
    pub(crate) listen: SocketAddr,
    pub(crate) public_url: Option<String>,
    pub(crate) demo: bool,
}

fn now_ms() -> i64 {
    machine_clock()()
}

/// Serves until told to stop.
pub(crate) async fn serve(serving: Serving) -> anyhow::Result<()> {
    let listener = TcpListener::bind(serving.listen)
        .await
        .with_context(|| format!("{} cannot be listened on", serving.listen))?;
    let reach = Reach { public_url: serving.public_url.clone(), demo: serving.demo };
    let throw_away = serving.demo.then(throw_away_folder).transpose()?;
    let app = match &throw_away {
        Some(folder) => {
            // thrown away in any case, so that nothing need survive a power cut
            let url = folder.join(DATABASE).display().to_string();
            App::new(Store::open_with(&url, Durability::LostOnPowerCut).await?, reach, machine_clock())
        }
        None => workshop(&serving.place, reach).await?,
    };
    let address = listener.local_addr()?;
    if serving.demo {
        eprintln!("Making three years of an invented workshop ...");
        let files = DataSource::Demo.files().map_err(|trouble| anyhow::anyhow!(trouble.to_string()))?;
        let owner = demo::fill(&app, &files).await.map_err(|problem| refused(&problem))?;
        eprintln!(
            "Demo, gone when this stops. Sign in as {} (or office, bay) with {}",
            owner.name, owner.passphrase
        );
    } else if let Some(code) = new_set_up_code(&app).await.map_err(|problem| refused(&problem))? {
        eprintln!("This workshop has no owner yet. Set-up code, for 30 minutes and one use: {code}");
    }
    if !address.ip().is_loopback() {
        eprintln!(
            "Caution: {address} can be reached by others, and nothing is encrypted yet: passphrases and customers' data can be read on the way. Use this only behind something that adds HTTPS, and name its address with --public-url."
        );
    }
    println!("{}", serving.public_url.unwrap_or_else(|| format!("http://{address}/")));
    let served = server::serve(app, listener, told_to_stop()).await;
    if let Some(folder) = throw_away {
        std::fs::remove_dir_all(&folder).with_context(|| format!("{} was left behind", folder.display()))?;
    }
    Ok(served?)
}

fn refused(problem: &server::Problem) -> anyhow::Error {
    anyhow::anyhow!(problem.to_string())
}

/// A new folder of its own, so that the demo can never touch a real workshop.
fn throw_away_folder() -> anyhow::Result<PathBuf> {
    let folder = std::env::temp_dir().join(format!("archgap-demo-{}-{}", std::process::id(), now_ms()));
    make_private(&folder)?;
    Ok(folder)
}

fn make_private(folder: &Path) -> anyhow::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder).with_context(|| format!("{} cannot be made", folder.display()))
}

/// A real workshop: its memory is made where there is none; documents in its folder become the first revision.
async fn workshop(place: &Place, reach: Reach) -> anyhow::Result<App> {
    let folder = place.folder();
    if place.database.is_none() && !folder.exists() {
        make_private(&folder)?;
    }
    let store = Store::open(&place.url()).await?;
    if folder.join("vehicles").is_dir() && store.catalogue_revision().await? == 0 {
        let source = DataSource::of(Some(&folder));
        let files = source.files().map_err(|trouble| anyhow::anyhow!(trouble.to_string()))?;
        source.catalogue().map_err(|trouble| anyhow::anyhow!(trouble.to_string()))?;
        let by = By::new("(server)", "console", now_ms());
        demo::first_revision(&store, &by, &files).await.map_err(|problem| refused(&problem))?;
        eprintln!("The documents in {} are now revision 1 of the catalogue.", folder.display());
    }
    Ok(App::new(store, reach, machine_clock()))
}

/// Makes a proven backup while the server may run.
pub(crate) async fn backup(place: &Place, into: Option<PathBuf>, json: bool) -> anyhow::Result<()> {
    let store = place.open().await?;
    let at_ms = now_ms();
    let folder = match into {
        Some(folder) => folder,
        None => {
            let backups = place.folder().join(BACKUPS);
            if !backups.exists() {
                make_private(&backups)?;
            }
            backups.join(format!("backup-{at_ms}"))
        }
    };
    let manifest = store.backup(&folder, at_ms).await?;
    store.close().await;
    if json {
        println!("{}", serde_json::to_string_pretty(&manifest)?);
    } else {
        println!(
            "{}: proven, {} records, {} changes",
            folder.display(),
            manifest.counts["records"],
            manifest.counts["history"]
        );
    }
    Ok(())
}

/// Takes a backup or an export back; without `apply` it is only proven.
pub(crate) async fn restore(place: &Place, from: &Path, apply: bool, json: bool) -> anyhow::Result<()> {
    if !apply {
        let manifest = store::verify_backup(from).await?;
        if json {
            println!("{}", serde_json::to_string_pretty(&manifest)?);
        } else {
            println!(
                "{}: sound, {} records, {} changes. It would replace {}. Nothing was done; --apply does it.",
                from.display(),
                manifest.counts["records"],
                manifest.counts["history"],
                shown(&place.url())
            );
        }
        return Ok(());
    }
    let folder = place.folder();
    if place.database.is_none() && !folder.exists() {
        make_private(&folder)?;
    }
    let restored = store::restore(from, &place.url(), now_ms()).await?;
    if json {
        println!("{}", serde_json::to_string_pretty(&restored)?);
        return Ok(());
    }
    println!("Restored: {} records, {} changes.", restored.counts["records"], restored.counts["history"]);
    if let Some(aside) = restored.kept_aside {
        println!("What stood there before is kept as {}.", aside.display());
    }
    Ok(())
}

/// A database URL without its password.
fn shown(url: &str) -> String {
    match (url.split_once("://"), url.rsplit_once('@')) {
        (Some((scheme, _)), Some((_, host))) => format!("{scheme}://...@{host}"),
        _ => url.to_owned(),
    }
}

/// Writes the whole memory as plain files.
pub(crate) async fn export(place: &Place, into: &Path, json: bool) -> anyhow::Result<()> {
    let store = place.open().await?;
    let manifest = store.export(into).await?;
    store.close().await;
    if json {
        println!("{}", serde_json::to_string_pretty(&manifest)?);
    } else {
        println!(
            "{}: {} records, {} changes, {} files",
            into.display(),
            manifest.counts["records"],
            manifest.counts["history"],
            manifest.files.len()
        );
    }
    Ok(())
}

/// Examines the memory; whether it is in good health.
pub(crate) async fn doctor(
    place: &Place,
    backups: Option<PathBuf>,
    reindex: bool,
    json: bool,
) -> anyhow::Result<bool> {
    let store = place.open().await?;
    if reindex {
        store.reindex().await?;
    }
    let backups = backups.unwrap_or_else(|| place.folder().join(BACKUPS));
    let findings = store.doctor(&backups, now_ms()).await?;
    store.close().await;
    if json {
        println!("{}", serde_json::to_string_pretty(&findings)?);
    } else if findings.is_empty() {
        println!("All is well.");
    }
    if !json {
        for finding in &findings {
            println!(
                "{}\n  Why it matters: {}\n  What mends it: {}",
                finding.what, finding.why, finding.mend
            );
        }
    }
    Ok(findings.is_empty())
}
