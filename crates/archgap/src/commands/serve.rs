//! `archgap serve`: the workshop in the browser, or the demo's.

use std::net::SocketAddr;
use std::path::PathBuf;

use anyhow::Context;
use server::{App, Reach, demo, machine_clock, new_set_up_code, told_to_stop};
use store::{By, Durability, Store};
use tokio::net::TcpListener;
use workshop::facts::Language;
use workshop::wording::Said;

use super::memory::{DATABASE, Place, make_private, now_ms};
use crate::data::DataSource;

/// What `serve` is told.
pub(crate) struct Serving {
    pub(crate) place: Place,
    pub(crate) listen: SocketAddr,
    pub(crate) public_url: Option<String>,
    pub(crate) demo: bool,
    pub(crate) language: Language,
}

/// Serves until told to stop.
pub(crate) async fn serve(serving: Serving) -> anyhow::Result<()> {
    let (listen, language) = (serving.listen, serving.language);
    let listener = TcpListener::bind(listen).await.with_context(|| {
        language.pick(
            format!("{listen} cannot be listened on"),
            format!("auf {listen} ist kein Lauschen möglich"),
        )
    })?;
    let mut stop = told_to_stop();
    let reach = Reach { public_url: serving.public_url.clone(), demo: serving.demo };
    let throw_away = serving.demo.then(ThrowAway::new).transpose()?;
    let app = match &throw_away {
        Some(folder) => tokio::select! {
            app = the_demo(folder, reach, language) => app?,
            () = &mut stop => return Ok(()),
        },
        None => workshop(&serving.place, reach, language).await?,
    };
    let address = listener.local_addr()?;
    if !address.ip().is_loopback() {
        let caution = language.pick(
            format!("Caution: {address} can be reached by others, and nothing is encrypted yet: passphrases and customers' data can be read on the way. Use this only behind something that adds HTTPS, and name its address with --public-url."),
            format!("Vorsicht: {address} ist für andere erreichbar, und noch ist nichts verschlüsselt: Kennwörter und Kundendaten sind unterwegs lesbar. Nur hinter etwas benutzen, das HTTPS hinzufügt, und dessen Adresse mit --public-url nennen."),
        );
        eprintln!("{caution}");
    }
    println!("{}", serving.public_url.unwrap_or_else(|| format!("http://{address}/")));
    Ok(server::serve(app, listener, stop).await?)
}

/// Makes the demo's workshop and says how to sign in.
async fn the_demo(folder: &ThrowAway, reach: Reach, language: Language) -> anyhow::Result<App> {
    eprintln!(
        "{}",
        language.pick(
            "Making three years of an invented workshop ...",
            "Drei Jahre einer erfundenen Werkstatt entstehen ..."
        )
    );
    // thrown away in any case, so that nothing need survive a power cut
    let url = folder.0.join(DATABASE).display().to_string();
    let app = App::new(Store::open_with(&url, Durability::LostOnPowerCut).await?, reach, machine_clock());
    let files = DataSource::Demo.files().map_err(|trouble| anyhow::anyhow!(trouble.words(language)))?;
    let owner = demo::fill(&app, &files).await.map_err(|problem| refused(&problem, language))?;
    let (name, passphrase) = (owner.name, owner.passphrase);
    let told = language.pick(
        format!("Demo, gone when this stops. Sign in as {name} (or office, bay) with {passphrase}"),
        format!("Vorführung, weg sobald dies endet. Anmelden als {name} (oder office, bay) mit {passphrase}"),
    );
    eprintln!("{told}");
    Ok(app)
}

fn refused(problem: &server::Problem, language: Language) -> anyhow::Error {
    anyhow::anyhow!(problem.detail(language).to_owned())
}

/// A new folder of its own, so that the demo can never touch a real workshop; it goes when this is dropped.
struct ThrowAway(PathBuf);

impl ThrowAway {
    fn new() -> anyhow::Result<Self> {
        let folder = std::env::temp_dir().join(format!("archgap-demo-{}-{}", std::process::id(), now_ms()));
        make_private(&folder)?;
        Ok(Self(folder))
    }
}

impl Drop for ThrowAway {
    fn drop(&mut self) {
        if let Err(why) = std::fs::remove_dir_all(&self.0) {
            eprintln!("{} was left behind: {why}", self.0.display());
        }
    }
}

/// A real workshop: its memory is made where there is none; documents in its folder become the first revision.
async fn workshop(place: &Place, reach: Reach, language: Language) -> anyhow::Result<App> {
    let folder = place.folder();
    place.make_folder()?;
    let store = Store::open(&place.url()).await?;
    if folder.join("vehicles").is_dir() && store.catalogue_revision().await? == 0 {
        let source = DataSource::of(Some(&folder));
        let files = source.files().map_err(|trouble| anyhow::anyhow!(trouble.words(language)))?;
        source.catalogue().map_err(|trouble| anyhow::anyhow!(trouble.words(language)))?;
        let by = By::new("(server)", "console", now_ms());
        demo::first_revision(&store, &by, &files).await.map_err(|problem| refused(&problem, language))?;
        let folder = folder.display();
        let told = language.pick(
            format!("The documents in {folder} are now revision 1 of the catalogue."),
            format!("Die Unterlagen in {folder} sind nun Stand 1 des Katalogs."),
        );
        eprintln!("{told}");
    }
    let app = App::new(store, reach, machine_clock());
    if let Some(code) = new_set_up_code(&app).await.map_err(|problem| refused(&problem, language))? {
        let told = language.pick(
            format!("This workshop has no owner yet. Set-up code, for 30 minutes and one use: {code}"),
            format!("Diese Werkstatt hat noch keinen Inhaber. Einrichtungscode, 30 Minuten und einmal gültig: {code}"),
        );
        eprintln!("{told}");
    }
    Ok(app)
}
