//! Examining a store: what is wrong, why it matters, what mends it.

use std::collections::BTreeSet;
use std::path::Path;

use serde::{Deserialize, Serialize};
use sqlx::AnyConnection;

use crate::backup::newest_backup;
use crate::database::Store;
use crate::deeds::files::read_file;
use crate::error::{Error, Result};
use crate::exchange::derive_all;
use crate::index::Index;
use crate::packed::Packed;
use crate::records::Kind;
use crate::scratch::{clear, home_of};

/// Something that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Finding {
    /// How bad.
    pub severity: Severity,
    /// What is wrong.
    pub what: Said,
    /// Why it matters.
    pub why: Said,
    /// The command that mends it, or what else does.
    pub mend: Said,
}

/// A sentence in both languages.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Said {
    /// In English.
    pub en: String,
    /// In German.
    pub de: String,
}

impl Said {
    fn of([en, de]: [impl Into<String>; 2]) -> Self {
        Self { en: en.into(), de: de.into() }
    }

    fn command(command: impl Into<String>) -> Self {
        let command = command.into();
        Self { en: command.clone(), de: command }
    }
}

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// May become a loss.
    Risk,
    /// Something is lost or wrong.
    Damage,
}

const RESTORE: &str = "archgap restore FOLDER --apply";
const REINDEX: &str = "archgap doctor --reindex";
const HOUR_MS: i64 = 60 * 60 * 1000;
/// Conventional limit: a night's backup may fail once before anyone is told.
const BACKUP_MAY_BE_OLD_MS: i64 = 36 * HOUR_MS;
/// The first release with the repair of a write-ahead-log fault (sqlite.org, release history).
const OLDEST_SQLITE: [u32; 3] = [3, 51, 3];

impl Finding {
    fn damage(what: [impl Into<String>; 2], why: [&str; 2], mend: &str) -> Self {
        let mend = Said::command(mend);
        Self { severity: Severity::Damage, what: Said::of(what), why: Said::of(why), mend }
    }

    fn risk(what: [impl Into<String>; 2], why: [&str; 2], mend: &str) -> Self {
        let mend = Said::command(mend);
        Self { severity: Severity::Risk, what: Said::of(what), why: Said::of(why), mend }
    }
}

impl Store {
    /// Everything that is not as it should be; an empty list is good health. `backups` is the folder of backups. Copies
    /// that work left unfinished are cleared away.
    ///
    /// # Errors
    /// [`Error::Database`] where the store cannot even be read.
    pub async fn doctor(&self, backups: &Path, at_ms: i64) -> Result<Vec<Finding>> {
        self.file.iter().for_each(|file| clear(home_of(file)));
        clear(backups);
        let mut findings = self.examine().await?;
        findings.extend(self.examine_file_rights());
        findings.extend(examine_backups(backups, at_ms));
        Ok(findings)
    }

    /// What is wrong inside the store.
    pub(crate) async fn examine(&self) -> Result<Vec<Finding>> {
        let mut findings = Vec::new();
        let mut snapshot = self.snapshot().await?;
        if self.is_sqlite() {
            examine_sqlite(&mut snapshot, &mut findings).await?;
        }
        examine_history(&mut snapshot, &mut findings).await?;
        for kind in Kind::ALL {
            examine_kind(&mut snapshot, *kind, &mut findings).await?;
        }
        examine_bookings(&mut snapshot, &mut findings).await?;
        examine_files(&mut snapshot, &mut findings).await?;
        snapshot.rollback().await?;
        Ok(findings)
    }

    /// Derives search terms, links, bookings and states of all records anew.
    ///
    /// # Errors
    /// [`Error::Damaged`] where a record cannot be read; [`Error::RampTaken`] where two jobs hold one ramp.
    pub async fn reindex(&self) -> Result<()> {
        let mut transaction = self.write().await?;
        derive_all(&mut transaction).await?;
        Ok(transaction.commit().await?)
    }

    #[cfg(unix)]
    fn examine_file_rights(&self) -> Option<Finding> {
        use std::os::unix::fs::PermissionsExt;
        let file = self.file.as_deref()?;
        let mode = std::fs::metadata(file).ok()?.permissions().mode();
        (mode & 0o077 != 0).then(|| {
            Finding::risk(
                [
                    format!("others on this machine can read {}", file.display()),
                    format!("andere auf diesem Rechner können {} lesen", file.display()),
                ],
                [
                    "it holds names, telephone numbers and hashes of passwords",
                    "darin stehen Namen, Telefonnummern und Prüfwerte von Passwörtern",
                ],
                &format!("chmod 600 {}", file.display()),
            )
        })
    }

    #[cfg(not(unix))]
    fn examine_file_rights(&self) -> Option<Finding> {
        None
    }
}

fn examine_backups(backups: &Path, at_ms: i64) -> Option<Finding> {
    let what = match newest_backup(backups) {
        Some(made_ms) if at_ms - made_ms <= BACKUP_MAY_BE_OLD_MS => return None,
        Some(made_ms) => {
            let hours = (at_ms - made_ms) / HOUR_MS;
            [
                format!("the newest proven backup is {hours} hours old"),
                format!("die neueste geprüfte Sicherung ist {hours} Stunden alt"),
            ]
        }
        None => [
            format!("there is no proven backup in {}", backups.display()),
            format!("in {} liegt keine geprüfte Sicherung", backups.display()),
        ],
    };
    let why = [
        "what was written since would be lost with this disk",
        "was seither geschrieben wurde, ginge mit dieser Platte verloren",
    ];
    Some(Finding::risk(what, why, "archgap backup"))
}

async fn examine_sqlite(connection: &mut AnyConnection, findings: &mut Vec<Finding>) -> Result<()> {
    let faults: Vec<(String,)> =
        sqlx::query_as("PRAGMA integrity_check(5)").fetch_all(&mut *connection).await?;
    for (fault,) in faults.into_iter().filter(|(fault,)| fault != "ok") {
        findings.push(Finding::damage(
            [format!("the file is damaged: {fault}"), format!("die Datei ist beschädigt: {fault}")],
            ["records may be lost", "es können Einträge verloren sein"],
            RESTORE,
        ));
    }
    let (version,): (String,) = sqlx::query_as("SELECT sqlite_version()").fetch_one(&mut *connection).await?;
    let numbers: Vec<u32> = version.split('.').filter_map(|number| number.parse().ok()).collect();
    if *numbers < OLDEST_SQLITE[..] {
        findings.push(Finding {
            severity: Severity::Risk,
            what: Said::command(format!("SQLite {version}")),
            why: Said::of([
                "before 3.51.3 a rare race could damage the write-ahead log",
                "vor 3.51.3 konnte das Protokoll der Schreibvorgänge in seltenen Fällen beschädigt werden",
            ]),
            mend: Said::of([
                "install the program as released; it brings its own SQLite",
                "das Programm so einrichten, wie es herausgegeben wurde; es bringt sein SQLite mit",
            ]),
        });
    }
    for (pragma, wanted) in [("synchronous", 2), ("foreign_keys", 1)] {
        let sql = sqlx::AssertSqlSafe(format!("PRAGMA {pragma}"));
        let (found,): (i64,) = sqlx::query_as(sql).fetch_one(&mut *connection).await?;
        if found != wanted {
            findings.push(Finding {
                severity: Severity::Risk,
                what: Said::of([
                    format!("{pragma} is {found}, not {wanted}"),
                    format!("{pragma} ist {found}, nicht {wanted}"),
                ]),
                why: Said::of([
                    "a power cut could lose what was acknowledged, or a record name what is not there",
                    "ein Stromausfall könnte Bestätigtes verlieren, oder ein Eintrag etwas nennen, das fehlt",
                ]),
                mend: Said::of([
                    "start the server again as released",
                    "den Server so starten, wie er herausgegeben wurde",
                ]),
            });
        }
    }
    Ok(())
}

async fn count(connection: &mut AnyConnection, sql: &'static str) -> Result<i64> {
    let (count,): (i64,) = sqlx::query_as(sql).fetch_one(connection).await?;
    Ok(count)
}

/// Pairs of bodies that differ, of those that a statement selects because their columns do: another release of the
/// library that packs may pack the same text otherwise.
async fn differing(connection: &mut AnyConnection, sql: &'static str) -> Result<i64> {
    type Body = Option<Packed>;
    let pairs: Vec<(Body, Body)> = sqlx::query_as(sql).fetch_all(connection).await?;
    let text = |body: Body| body.map(Packed::text).transpose().ok();
    let differ = |(a, b)| text(a).zip(text(b)).is_none_or(|(a, b)| a != b);
    Ok(pairs.into_iter().map(|pair| i64::from(differ(pair))).sum())
}

async fn examine_history(connection: &mut AnyConnection, findings: &mut Vec<Finding>) -> Result<()> {
    let missing = count(connection, "SELECT COALESCE(MAX(seq), 0) - COUNT(*) FROM history").await?;
    if missing != 0 {
        findings.push(Finding::damage(
            [
                format!("{missing} entries of the history are missing"),
                format!("{missing} Einträge des Verlaufs fehlen"),
            ],
            ["the history must be complete to be believed", "nur einem vollständigen Verlauf ist zu trauen"],
            RESTORE,
        ));
    }
    let unexplained = differing(
        connection,
        "SELECT h.after_body, CASE WHEN r.gone = 0 THEN r.body ELSE CASE WHEN h.seq IS NULL THEN 'gone' END END FROM records r LEFT JOIN history h ON h.kind = r.kind AND h.id = r.id AND h.version = r.version
         WHERE h.seq IS NULL OR (r.gone = 0 AND (h.after_body IS NULL OR h.after_body <> r.body))
            OR (r.gone = 1 AND h.after_body IS NOT NULL)",
    )
    .await?;
    let lost = count(
        connection,
        "SELECT COUNT(*) FROM history h LEFT JOIN records r ON r.kind = h.kind AND r.id = h.id
         WHERE h.version > 0 AND (r.id IS NULL OR r.version < h.version)",
    )
    .await?;
    let broken = differing(
        connection,
        "SELECT h.after_body, n.before_body FROM history h JOIN history n ON n.kind = h.kind AND n.id = h.id AND n.version = h.version + 1
         WHERE h.version > 0 AND COALESCE(h.after_body, '') <> COALESCE(n.before_body, '')",
    )
    .await?;
    for (number, what) in [
        (
            unexplained,
            [
                "records are not what their last change made them",
                "Einträge sind nicht, wozu ihre letzte Änderung sie machte",
            ],
        ),
        (
            lost,
            [
                "changes are of records that are missing or older",
                "Änderungen gehören zu Einträgen, die fehlen oder älter sind",
            ],
        ),
        (
            broken,
            [
                "changes do not begin where the change before ended",
                "Änderungen beginnen nicht dort, wo die vorige endete",
            ],
        ),
    ] {
        if number != 0 {
            findings.push(Finding::damage(
                what.map(|what| format!("{number} {what}")),
                [
                    "something other than this program wrote to the database, or a write was lost",
                    "etwas anderes als dieses Programm schrieb in die Datenbank, oder es ging etwas verloren",
                ],
                RESTORE,
            ));
        }
    }
    Ok(())
}

async fn examine_kind(connection: &mut AnyConnection, kind: Kind, findings: &mut Vec<Finding>) -> Result<()> {
    let rows: Vec<(String, Packed)> =
        sqlx::query_as("SELECT id, body FROM records WHERE kind = $1 AND gone = 0 ORDER BY id")
            .bind(kind.name())
            .fetch_all(&mut *connection)
            .await?;
    let mut derived = Derived::default();
    for (id, body) in rows {
        match body.text().and_then(|body| kind.index_of(&body)) {
            Ok(index) => derived.collect(&id, index),
            Err(e) => findings.push(Finding::damage(
                [format!("{kind} {id} cannot be read: {e}"), format!("{kind} {id} ist nicht lesbar: {e}")],
                ["it can be neither shown nor changed", "es lässt sich weder zeigen noch ändern"],
                RESTORE,
            )),
        }
    }
    let stored_links: Vec<(String, String, String)> =
        sqlx::query_as("SELECT id, to_kind, to_id FROM links WHERE kind = $1")
            .bind(kind.name())
            .fetch_all(&mut *connection)
            .await?;
    let stored_terms: Vec<(String, String, String)> =
        sqlx::query_as("SELECT id, class, term FROM search_terms WHERE kind = $1")
            .bind(kind.name())
            .fetch_all(&mut *connection)
            .await?;
    let stored_states: Vec<StateRow> =
        sqlx::query_as("SELECT id, state, begins_ms, ends_ms FROM states WHERE kind = $1")
            .bind(kind.name())
            .fetch_all(&mut *connection)
            .await?;
    let mut stored_held: Vec<(String, String, i64, i64)> = Vec::new();
    if kind == Kind::Job {
        stored_held =
            sqlx::query_as("SELECT job, ramp, from_ms, to_ms FROM bookings").fetch_all(connection).await?;
    }
    let stored = Derived {
        links: stored_links.into_iter().collect(),
        terms: stored_terms.into_iter().collect(),
        held: stored_held.into_iter().collect(),
        states: stored_states.into_iter().collect(),
    };
    if derived != stored {
        findings.push(Finding::damage(
            [
                format!("what is derived from records of kind {kind} does not agree with them"),
                format!("was aus Einträgen der Art {kind} abgeleitet ist, stimmt nicht mit ihnen überein"),
            ],
            [
                "searches, lists and the diary may miss some",
                "in Suche, Listen und Kalender können welche fehlen",
            ],
            REINDEX,
        ));
    }
    Ok(())
}

/// A record, how far it is, when it begins and ends.
type StateRow = (String, String, Option<i64>, Option<i64>);

/// What is derived from the records of a kind.
#[derive(Default, PartialEq)]
struct Derived {
    links: BTreeSet<(String, String, String)>,
    terms: BTreeSet<(String, String, String)>,
    held: BTreeSet<(String, String, i64, i64)>,
    states: BTreeSet<StateRow>,
}

impl Derived {
    fn collect(&mut self, id: &str, index: Index) {
        let id = || id.to_owned();
        let links = index.links.into_iter().map(|(kind, to)| (id(), kind.name().to_owned(), to.to_string()));
        self.links.extend(links);
        self.terms.extend(index.terms.into_iter().map(|(class, term)| (id(), class.name().to_owned(), term)));
        self.held.extend(index.held.map(|h| (id(), h.ramp, h.from_ms, h.to_ms)));
        self.states.extend(index.state.map(|s| (id(), s.state.to_owned(), s.begins_ms, s.ends_ms)));
    }
}

async fn examine_bookings(connection: &mut AnyConnection, findings: &mut Vec<Finding>) -> Result<()> {
    let clashes: Vec<(String, String, String)> = sqlx::query_as(
        "SELECT a.ramp, a.job, b.job FROM bookings a
         JOIN bookings b ON a.ramp = b.ramp AND a.job < b.job AND a.from_ms < b.to_ms AND a.to_ms > b.from_ms
         ORDER BY a.job, b.job",
    )
    .fetch_all(connection)
    .await?;
    for (ramp, one, other) in clashes {
        findings.push(Finding {
            severity: Severity::Damage,
            what: Said::of([
                format!("jobs {one} and {other} hold {ramp} at the same time"),
                format!("die Aufträge {one} und {other} belegen {ramp} zur selben Zeit"),
            ]),
            why: Said::of(["two customers will come at once", "zwei Kunden kommen zugleich"]),
            mend: Said::of(["move one of the jobs in the diary", "einen der Aufträge im Kalender verlegen"]),
        });
    }
    Ok(())
}

async fn examine_files(connection: &mut AnyConnection, findings: &mut Vec<Finding>) -> Result<()> {
    let mut wanted: BTreeSet<String> = BTreeSet::new();
    let photos: Vec<(String, Packed)> =
        sqlx::query_as("SELECT kind, body FROM records WHERE kind = 'photo' OR kind = 'catalogue_revision'")
            .fetch_all(&mut *connection)
            .await?;
    for (kind, body) in photos {
        let body = body.text().unwrap_or_default(); // what cannot be read is told with its kind
        let body: serde_json::Value = serde_json::from_str(&body).unwrap_or_default();
        if kind == Kind::Photo.name() {
            wanted.extend(body["sha256"].as_str().map(str::to_owned));
        } else if let Some(documents) = body["documents"].as_object() {
            wanted.extend(documents.values().filter_map(|digest| digest.as_str().map(str::to_owned)));
        }
    }
    let kept: Vec<(String,)> = sqlx::query_as("SELECT digest FROM files").fetch_all(&mut *connection).await?;
    wanted.extend(kept.into_iter().map(|(digest,)| digest));
    for digest in wanted {
        match read_file(connection, &digest).await {
            Ok(_) => {}
            Err(Error::Damaged(what)) => findings.push(Finding::damage(
                [what.clone(), what],
                [
                    "a photo, or a document an answer was made from, is lost",
                    "ein Bild oder eine Unterlage, aus der eine Antwort entstand, ist verloren",
                ],
                RESTORE,
            )),
            Err(e) => return Err(e),
        }
    }
    Ok(())
}
