//! The commands that keep the workshop's memory: `backup`, `restore`, `export`, `import` of an export, `doctor`.

use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use serde::Serialize;
use server::machine_clock;
use store::{By, ImportPreview, Manifest, Store};
use workshop::facts::Language;

/// File of the workshop's memory in its folder.
pub(crate) const DATABASE: &str = "archgap.db";
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
    pub(crate) fn folder(&self) -> PathBuf {
        self.folder.clone().unwrap_or_else(|| PathBuf::from("workshop"))
    }

    pub(crate) fn url(&self) -> String {
        self.database.clone().unwrap_or_else(|| self.folder().join(DATABASE).display().to_string())
    }

    /// The memory that is there already; a mistyped folder does not make a new one.
    async fn open(&self, language: Language) -> anyhow::Result<Store> {
        if self.is_missing() {
            let folder = self.folder();
            let folder = folder.display();
            bail!(language.pick(
                format!("{folder} holds no {DATABASE}; name the workshop's folder with --data"),
                format!(
                    "in {folder} liegt kein {DATABASE}; der Ordner der Werkstatt wird mit --data genannt"
                ),
            ));
        }
        Ok(Store::open(&self.url()).await?)
    }

    fn is_missing(&self) -> bool {
        self.database.is_none() && !self.folder().join(DATABASE).is_file()
    }

    /// Makes the workshop's folder where there is none.
    pub(crate) fn make_folder(&self) -> anyhow::Result<()> {
        let folder = self.folder();
        if self.database.is_none() && !folder.exists() { make_private(&folder) } else { Ok(()) }
    }
}

/// Puts into the history what a command did with the memory, so that whoever answers for it sees it among the sign-ins.
async fn note(store: &Store, deed: &str, folder: &Path) -> anyhow::Result<()> {
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    let name: String = name.chars().take(200).collect();
    Ok(store.note(&By::new("(command)", "console", now_ms()), deed, deed, &name).await?)
}

pub(crate) fn now_ms() -> i64 {
    machine_clock()()
}

pub(crate) fn make_private(folder: &Path) -> anyhow::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder).with_context(|| format!("{} cannot be made", folder.display()))
}

/// What is printed: JSON, or words.
fn told(value: &impl Serialize, json: bool, words: impl FnOnce() -> String) -> anyhow::Result<String> {
    if json { Ok(serde_json::to_string_pretty(value)?) } else { Ok(words()) }
}

/// How much there is, in words.
fn size(manifest: &Manifest, language: Language) -> String {
    let (records, changes) = (manifest.counts["records"], manifest.counts["history"]);
    language.pick(
        format!("{records} records, {changes} changes"),
        format!("{records} Einträge, {changes} Änderungen"),
    )
}

/// Makes a proven backup while the server may run.
pub(crate) async fn backup(
    place: &Place,
    into: Option<PathBuf>,
    language: Language,
    json: bool,
) -> anyhow::Result<String> {
    let store = place.open(language).await?;
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
    note(&store, "backup", &folder).await?;
    store.close().await;
    told(&manifest, json, || {
        let (folder, size) = (folder.display(), size(&manifest, language));
        language.pick(format!("{folder}: proven, {size}"), format!("{folder}: geprüft, {size}"))
    })
}

/// Takes a backup or an export back; without `apply` it is only proven.
pub(crate) async fn restore(
    place: &Place,
    from: &Path,
    apply: bool,
    language: Language,
    json: bool,
) -> anyhow::Result<String> {
    if !apply {
        let manifest = store::verify_backup(from).await?;
        return told(&manifest, json, || {
            let (from, size, url) = (from.display(), size(&manifest, language), shown(&place.url()));
            language.pick(
                format!("{from}: sound, {size}. It would replace {url}. Nothing was done; --apply does it."),
                format!(
                    "{from}: in Ordnung, {size}. Es würde {url} ersetzen. Nichts wurde getan; --apply tut es."
                ),
            )
        });
    }
    place.make_folder()?;
    let restored = store::restore(from, &place.url(), now_ms()).await?;
    let store = Store::open(&place.url()).await?;
    note(&store, "restore", from).await?;
    store.close().await;
    told(&restored, json, || {
        let (records, changes) = (restored.counts["records"], restored.counts["history"]);
        let aside = restored.kept_aside.as_deref().map(|aside| aside.display().to_string());
        let aside = aside.map_or_else(String::new, |aside| {
            language.pick(
                format!(" What stood there before is kept as {aside}."),
                format!(" Was vorher da war, ist aufgehoben als {aside}."),
            )
        });
        language.pick(
            format!("Restored: {records} records, {changes} changes.{aside}"),
            format!("Zurückgeholt: {records} Einträge, {changes} Änderungen.{aside}"),
        )
    })
}

/// A database URL without its password.
fn shown(url: &str) -> String {
    match (url.split_once("://"), url.rsplit_once('@')) {
        (Some((scheme, _)), Some((_, host))) => format!("{scheme}://...@{host}"),
        _ => url.to_owned(),
    }
}

/// Writes the whole memory as plain files.
pub(crate) async fn export(
    place: &Place,
    into: &Path,
    language: Language,
    json: bool,
) -> anyhow::Result<String> {
    let store = place.open(language).await?;
    let manifest = store.export(into).await?;
    note(&store, "export", into).await?;
    store.close().await;
    told(&manifest, json, || {
        let (into, size, files) = (into.display(), size(&manifest, language), manifest.files.len());
        language.pick(format!("{into}: {size}, {files} files"), format!("{into}: {size}, {files} Dateien"))
    })
}

/// What an import of an export would do, or did.
#[derive(Serialize)]
struct Import {
    #[serde(flatten)]
    preview: ImportPreview,
    written: bool,
}

/// Takes an export into an empty memory, or into one whose history it continues; without `apply` it is only shown what
/// would change. All of it or nothing.
pub(crate) async fn import(
    place: &Place,
    from: &Path,
    apply: bool,
    language: Language,
    json: bool,
) -> anyhow::Result<String> {
    let preview = if apply {
        place.make_folder()?;
        let store = Store::open(&place.url()).await?;
        let done = store.import(from).await;
        store.close().await;
        done?
    } else if place.is_missing() {
        store::preview_import_into_nothing(from)?
    } else {
        let store = place.open(language).await?;
        let preview = store.preview_import(from).await;
        store.close().await;
        preview?
    };
    let import = Import { preview, written: apply };
    told(&import, json, || words_of_import(&import, language))
}

fn words_of_import(import: &Import, language: Language) -> String {
    let mut lines: Vec<String> = Vec::new();
    for kind in import.preview.kinds.iter().filter(|kind| kind.new + kind.changed > 0) {
        let (name, new, changed) = (kind.kind, kind.new, kind.changed);
        lines.push(language.pick(
            format!("{name}: {new} new, {changed} changed"),
            format!("{name}: {new} neu, {changed} geändert"),
        ));
    }
    lines.push(match (import.preview.diverges_at, import.written, lines.is_empty()) {
        (Some(entry), ..) => language.pick(
            format!("It cannot be taken in: the memory holds work that the export does not, from entry {entry} of the history on."),
            format!("Nicht einzulesen: hier gibt es Arbeit, die der Export nicht hat, ab Eintrag {entry} des Verlaufs."),
        ),
        (None, _, true) => language.pick("Nothing would change.", "Nichts ändert sich.").to_owned(),
        (None, true, false) => language.pick("Written.", "Geschrieben.").to_owned(),
        (None, false, false) => language
            .pick(
                "This is what would change; nothing was written. Add --apply to write it.",
                "Das würde sich ändern; geschrieben wurde nichts. Mit --apply wird es geschrieben.",
            )
            .to_owned(),
    });
    lines.join("\n")
}

/// Examines the memory: what to print, and whether it is in good health.
pub(crate) async fn doctor(
    place: &Place,
    backups: Option<PathBuf>,
    reindex: bool,
    language: Language,
    json: bool,
) -> anyhow::Result<(String, bool)> {
    let store = place.open(language).await?;
    if reindex {
        store.reindex().await?;
    }
    let backups = backups.unwrap_or_else(|| place.folder().join(BACKUPS));
    let findings = store.doctor(&backups, now_ms()).await?;
    store.close().await;
    let words = || {
        if findings.is_empty() {
            return language.pick("All is well.", "Alles in Ordnung.").to_owned();
        }
        let (matters, mends) =
            language.pick(("Why it matters", "What mends it"), ("Warum es zählt", "Was hilft"));
        let said = |said: &store::Said| language.pick(said.en.clone(), said.de.clone());
        let lines = findings.iter().map(|finding| {
            let (what, why, mend) = (said(&finding.what), said(&finding.why), said(&finding.mend));
            format!("{what}\n  {matters}: {why}\n  {mends}: {mend}")
        });
        lines.collect::<Vec<_>>().join("\n")
    };
    Ok((told(&findings, json, words)?, findings.is_empty()))
}
