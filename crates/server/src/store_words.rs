//! What the store refuses, in German; in English it says so itself.

use store::{Error, Kind};

/// The words of a refusal in German. What a database, a system or damaged bytes say of themselves stays as it is.
pub fn in_german(error: &Error) -> String {
    match error {
        Error::NotFound { kind, id } => format!("{} {id} gibt es nicht", name(*kind)),
        Error::NoSuchDeed(deed) => format!("der Eintrag {deed} steht nicht in der Geschichte"),
        Error::Exists { kind, id } => format!("{} {id} gibt es schon", name(*kind)),
        Error::Conflict(conflict) => format!(
            "{} {} wurde inzwischen geändert: Sie sahen Fassung {}, nun gilt Fassung {}",
            name(conflict.kind),
            conflict.id,
            conflict.saw,
            conflict.stands
        ),
        Error::StillUsed { kind, id, by_kind, by_id } => {
            format!("{} {id} wird noch genannt von {} {by_id}", name(*kind), name(*by_kind))
        }
        Error::KeyUsedOtherwise { .. } => {
            "dieser Schlüssel wurde schon für eine andere Anfrage benutzt".to_owned()
        }
        Error::LaterWork(entries) => {
            let later = entries.iter().map(|entry| format!("{} von {}", entry.id, entry.who));
            let later = later.collect::<Vec<_>>().join("; ");
            format!("das Zurücknehmen überschriebe spätere Arbeit: {later}")
        }
        Error::CannotUndo { deed } => format!("„{deed}“ lässt sich nicht zurücknehmen"),
        Error::RampTaken { ramp, job, .. } => {
            format!("Bühne {ramp} ist in dieser Zeit belegt durch Auftrag {job}")
        }
        Error::Closed { .. } => "die Werkstatt ist zu dieser Zeit geschlossen".to_owned(),
        Error::NoDiary => {
            "der Kalender hat noch keine Bühnen und Öffnungszeiten; legen Sie diese zuerst fest".to_owned()
        }
        Error::PartNotThere { part, .. } => format!("Teil {part} ist zu dieser Zeit nicht da"),
        Error::WrongState { kind, id, .. } => {
            format!("das geht nicht, so wie {} {id} jetzt steht", name(*kind))
        }
        Error::Invalid { field, found, allowed } => {
            format!("{field} muss sein: {}; gefunden: {found}", german_of(allowed))
        }
        Error::Database(e) => format!("die Datenbank versagte: {e}"),
        Error::File { path, source } => format!("{}: {source}", path.display()),
        Error::NewerDatabase { database, made_by, program, program_version } => format!(
            "diese Datenbank hat Schema {database}, angelegt von Fassung {made_by} des Programms; dies ist Fassung {program_version} und kennt Schemas bis {program}. Nehmen Sie das spätere Programm, oder holen Sie eine Sicherung von davor zurück: archgap restore ORDNER --apply"
        ),
        Error::ForeignSchema(version) => format!(
            "die Tabellen von Schema {version} stammen nicht von diesem Programm; holen Sie eine Sicherung zurück: archgap restore ORDNER --apply"
        ),
        Error::Damaged(what) => format!("beschädigt: {what}"),
        Error::Refused { path, why } => format!("{}: {}", path.display(), why_refused(why)),
        Error::ImportDiverges(entry) => format!(
            "hier gibt es Arbeit, die der Import nicht hat: vom Eintrag {entry} der Geschichte an unterscheiden sie sich"
        ),
    }
}

/// Why a folder or a file is refused, where it is a sentence of the store; what it found stays as it is.
fn why_refused(why: &str) -> String {
    let whole = match why {
        "its name is not UTF-8" => "der Name ist nicht UTF-8",
        "it is there already; an older store is not overwritten" => {
            "liegt schon da; ein älterer Bestand wird nicht überschrieben"
        }
        "another program has it open; stop the server first" => {
            "ein anderes Programm hat sie offen; halten Sie zuerst den Server an"
        }
        "there is no such folder" => "einen solchen Ordner gibt es nicht",
        "it has no readable manifest.json, which is written last: it was never finished" => {
            "ohne lesbare manifest.json, die zuletzt geschrieben wird: er wurde nie fertig"
        }
        "it is empty" => "er ist leer",
        "it is a backup of a database, not an export: archgap restore takes it back" => {
            "er ist die Sicherung einer Datenbank, kein Export: archgap restore holt sie zurück"
        }
        "its bytes are not those of its name" => "die Bytes gehören nicht zu diesem Namen",
        found => {
            return found
                .replace("it cannot be opened", "lässt sich nicht öffnen")
                .replace("manifest.json is damaged", "manifest.json ist beschädigt")
                .replace(
                    "is damaged: its bytes are not those that were written",
                    "ist beschädigt: die Bytes sind nicht die geschriebenen",
                )
                .replace("cannot be read", "ist nicht lesbar")
                .replace("line ", "Zeile ");
        }
    };
    whole.to_owned()
}

/// What is allowed, where it is a sentence of the store; numbers and signs need no other words.
fn german_of(allowed: &str) -> String {
    let whole = match allowed {
        "one to three options" => "eine bis drei Möglichkeiten",
        "one of the options" => "eine der Möglichkeiten",
        "longer than nothing" => "länger als nichts",
        "a kind of record" => "eine Art von Eintrag",
        "made of finite numbers" => "aus endlichen Zahlen",
        "a value; remove the setting instead" => "ein Wert; nehmen Sie sonst die Einstellung weg",
        "a time zone such as Europe/Berlin" => "eine Zeitzone wie Europe/Berlin",
        "at least one ramp" => "mindestens eine Bühne",
        "1 to 1440 minutes" => "1 bis 1440 Minuten",
        "hours in order that do not overlap, within a day" => {
            "Stunden in Folge, die sich nicht überschneiden, innerhalb eines Tages"
        }
        "a date such as 2026-11-30" => "ein Datum wie 2026-11-30",
        "an answer to the same enquiry" => "eine Antwort auf dieselbe Anfrage",
        "a part this job needs" => "ein Teil, das dieser Auftrag braucht",
        "at least one document that changes" => "mindestens ein Dokument, das sich ändert",
        "a relative path such as kits/low.toml" => "ein Pfad wie kits/low.toml",
        "a reading of the same job" => "eine Ablesung desselben Auftrags",
        "at least one active owner" => "mindestens ein Inhaber, der sich anmelden kann",
        "a session, token or code that has not ended" => {
            "eine Sitzung, ein Token oder ein Code, der noch gilt"
        }
        "the code printed on the form" => "der Code auf dem Formular",
        other => return in_parts(other),
    };
    whole.to_owned()
}

/// Ranges and lists: the words between their values.
fn in_parts(allowed: &str) -> String {
    allowed
        .replace("none of them NUL", "keines davon NUL")
        .replace("characters", "Zeichen")
        .replace(" to ", " bis ")
        .replace(" of ", " von ")
        .replace("one of:", "eines von:")
        .replace("at most", "höchstens")
}

/// Name of a kind of record.
fn name(kind: Kind) -> &'static str {
    match kind {
        Kind::Setting => "Einstellung",
        Kind::Diary => "Kalender",
        Kind::User => "Benutzer",
        Kind::Device => "Gerät",
        Kind::CatalogueRevision => "Katalogstand",
        Kind::PartSupply => "Bestand",
        Kind::Customer => "Kunde",
        Kind::Van => "Wagen",
        Kind::Enquiry => "Anfrage",
        Kind::Answer => "Antwort",
        Kind::Quote => "Angebot",
        Kind::Job => "Auftrag",
        Kind::SetUpSheet => "Einstellblatt",
        Kind::RampRecord => "Ablesung",
        Kind::Correction => "Korrektur",
        Kind::Alignment => "Achsvermessung",
        Kind::Handover => "Übergabe",
        Kind::RampTime => "Bühnenzeit",
        Kind::PartReturn => "Rückläufer",
        Kind::PostalSale => "Postverkauf",
        Kind::PostalHeights => "zurückgesandte Höhen",
        Kind::Photo => "Foto",
        Kind::CallBack => "Rückruf",
    }
}
