//! Faults of data files in both languages. Readers form them in English; the German of each sentence stands beside it
//! here. Names of fields and what a file says stay as they are in every language.

use crate::document::Fault;
use crate::facts::Language;

/// English and German of what is found and allowed. `{}` stands for something that stays as it is, `{~}` for a sentence of
/// this table. The first that matches counts, so that what is special stands first.
const SENTENCES: &[(&str, &str)] = &[
    // what may stand behind others
    ("{~} (did you mean {}?)", "{~} (vielleicht {}?)"),
    ("{~}, without quotes and with a decimal point", "{~}, ohne Anführungszeichen und mit Dezimalpunkt"),
    // single values
    ("a number from {} to {}", "eine Zahl von {} bis {}"),
    ("a whole number from {} to {}", "eine ganze Zahl von {} bis {}"),
    ("true or false, without quotes", "true oder false, ohne Anführungszeichen"),
    (
        "one line of text in quotes, 1 to {} characters",
        "eine Zeile Text in Anführungszeichen, 1 bis {} Zeichen",
    ),
    (
        "lower-case letters, digits and hyphens in quotes, at most {}",
        "Kleinbuchstaben, Ziffern und Bindestriche in Anführungszeichen, höchstens {}",
    ),
    (
        "an identifier in quotes, or two with + between them, each at most {}",
        "eine Kennung in Anführungszeichen, oder zwei mit + dazwischen, jede höchstens {}",
    ),
    ("a date as yyyy-mm-dd", "ein Datum als jjjj-mm-tt"),
    ("exactly one of {}", "genau eines von {}"),
    ("one of {}", "eines von {}"),
    ("none of them", "keines davon"),
    // lists and tables
    ("a list [...] of {} or more, each {~}", "eine Liste [...] aus {} oder mehr, jedes {~}"),
    ("a list [...] of {} to {}, each {~}", "eine Liste [...] aus {} bis {}, jedes {~}"),
    ("a list [...] of {}, each {~}", "eine Liste [...] aus {}, jedes {~}"),
    ("a list of {} or more pairs {}", "eine Liste aus {} oder mehr Paaren {}"),
    (
        "a list of {} or more tables, each under its own line {}",
        "eine Liste aus {} oder mehr Tabellen, jede unter einer eigenen Zeile {}",
    ),
    (
        "a list of tables, each under its own line {}",
        "eine Liste von Tabellen, jede unter einer eigenen Zeile {}",
    ),
    ("a list of {}", "eine Liste aus {}"),
    ("a pair {}", "ein Paar {}"),
    ("more than the {} kg of the row before", "mehr als die {} kg der Zeile davor"),
    ("more than the {} of the row before", "mehr als die {} der Zeile davor"),
    ("a table [front], a table [rear], or both", "eine Tabelle [front], eine Tabelle [rear] oder beide"),
    ("a table [front.damper] beside it", "eine Tabelle [front.damper] daneben"),
    ("a table", "eine Tabelle"),
    ("a name of one line that is not blank", "ein Name aus einer Zeile, der nicht leer ist"),
    ("the name {}", "der Name {}"),
    ("no fields", "keine Felder"),
    ("an unknown field", "ein unbekanntes Feld"),
    // what was found
    ("nothing: this kit has no collar there", "nichts: dieser Satz hat dort keinen Versteller"),
    ("nothing", "nichts"),
    ("what is not TOML {}", "was kein TOML ist {}"),
    ("TOML, numbers with a decimal point", "TOML, Zahlen mit Dezimalpunkt"),
    // several documents
    ("{}, which {} has too", "{}, was auch {} hat"),
    ("an identifier of its own", "eine eigene Kennung"),
    // tables of kits
    ("an empty table", "eine leere Tabelle"),
    ("a first row with column heads", "eine erste Zeile mit Spaltenköpfen"),
    ("a table with one line for each kit", "eine Tabelle mit einer Zeile für jeden Satz"),
    ("no kit", "kein Satz"),
    ("at least one row below the heads", "mindestens eine Zeile unter den Köpfen"),
    ("at most the {} columns of the head", "höchstens die {} Spalten des Kopfs"),
    ("the path of a kit's field", "der Pfad eines Felds von Sätzen"),
    ("the column a second time", "die Spalte ein zweites Mal"),
    ("each column once", "jede Spalte einmal"),
    ("a field that is a table elsewhere", "ein Feld, das anderswo eine Tabelle ist"),
    (
        "a column that is not also the start of another column's path",
        "eine Spalte, die nicht auch der Anfang des Pfads einer anderen ist",
    ),
    // files
    ("at most {} files", "höchstens {} Dateien"),
    ("each document once", "jedes Dokument einmal"),
    ("a name of no document", "ein Name keines Dokuments"),
    (
        "a name of the catalogue, such as {} or {}, or a table of kits (.csv, .xlsx)",
        "ein Name des Katalogs wie {} oder {}, oder eine Tabelle von Sätzen (.csv, .xlsx)",
    ),
    ("a packed file", "eine gepackte Datei"),
    (
        "text; save a workbook as .xlsx and keep that ending",
        "Text; eine Arbeitsmappe als .xlsx speichern und diese Endung behalten",
    ),
    ("bytes that are no text", "Bytes, die kein Text sind"),
    ("text in UTF-8, UTF-16 or Windows-1252", "Text in UTF-8, UTF-16 oder Windows-1252"),
    ("a control sign", "ein Steuerzeichen"),
    ("printable text", "druckbarer Text"),
    ("at most {} bytes unpacked", "höchstens {} Bytes ausgepackt"),
    ("at most {} bytes", "höchstens {} Bytes"),
    ("at most {} rows and {} columns", "höchstens {} Zeilen und {} Spalten"),
    ("{} rows and {} columns", "{} Zeilen und {} Spalten"),
    ("what is not a workbook", "was keine Arbeitsmappe ist"),
    (
        "a workbook as spreadsheets save it (.xlsx)",
        "eine Arbeitsmappe, wie Tabellenprogramme sie speichern (.xlsx)",
    ),
    ("a workbook that unpacks to more", "eine Arbeitsmappe, die ausgepackt größer ist"),
    ("a formula", "eine Formel"),
    (
        "its value: copy the cells and insert them as values",
        "ihr Wert: Zellen kopieren und als Werte einfügen",
    ),
    ("a date or time", "ein Datum oder eine Uhrzeit"),
    ("a number or text; format the cell so", "eine Zahl oder Text; die Zelle so formatieren"),
    ("an error of the spreadsheet", "ein Fehler des Tabellenprogramms"),
    ("a number or text", "eine Zahl oder Text"),
    // vehicle sheets
    ("an anti-roll bar beside a twist beam", "ein Stabilisator neben einer Verbundlenkerachse"),
    (
        "its rate added to torsional_rate_nm_per_deg of the beam it lies in",
        "seine Rate in torsional_rate_nm_per_deg der Achse, in der er liegt",
    ),
    (
        "a rear wheel centre within 30 mm of x = {} mm",
        "eine hintere Radmitte, die höchstens 30 mm neben x = {} mm liegt",
    ),
    ("a rear wheel centre at x = {} mm", "eine hintere Radmitte bei x = {} mm"),
    ("less than the open length, {} mm", "weniger als die offene Länge, {} mm"),
    ("rising forces within the height of the stop", "steigende Kräfte innerhalb der Höhe des Puffers"),
    ("at least {} (inch)", "mindestens {} (inch)"),
    ("from_deg at most to_deg", "from_deg höchstens to_deg"),
    ("from {} to {} degrees", "von {} bis {} Grad"),
    // parts
    ("heights, areas and pressures that agree", "Höhen, Flächen und Drücke, die zueinander passen"),
    ("forces that rise with speed", "Kräfte, die mit der Geschwindigkeit steigen"),
    ("at most the {} clicks there are", "höchstens die {} Klicks, die es gibt"),
    ("one end of the adjustment", "ein Ende der Verstellung"),
    ("both softest and hardest, or neither", "softest und hardest, oder keines von beiden"),
    ("neither front nor rear parts", "weder vordere noch hintere Teile"),
    ("a strut mount at the rear", "eine Federbeinaufnahme hinten"),
    ("one in [front] alone", "eine in [front] allein"),
    ("a strut mount without a strut", "eine Federbeinaufnahme ohne Federbein"),
    ("{} to {} mm from the datum", "{} bis {} mm vom Bezug"),
    ("the position of this kit's collar", "die Stellung des Verstellers dieses Satzes"),
    ("a trimmed original stop beside a new stop", "ein gekürzter Serienpuffer neben einem neuen Puffer"),
    ("only one of the two", "nur eines von beiden"),
    ("from {} kg to {} kg", "von {} kg bis {} kg"),
    ("from_kg below to_kg", "from_kg unter to_kg"),
    ("a helper spring beside torsion bars", "eine Beifeder neben Drehstäben"),
    ("torsion bars alone", "Drehstäbe allein"),
    (
        "a drop without a rate beside a helper or collar",
        "eine Tieferlegung ohne Rate neben Beifeder oder Versteller",
    ),
    ("rate and free length", "Rate und freie Länge"),
    ("a torsional rate beside a length", "eine Drehrate neben einer Länge"),
    ("stated = \"torsion_bars\", which has no length", "stated = \"torsion_bars\", das keine Länge hat"),
    ("a free length above every other length", "eine freie Länge über jeder anderen Länge"),
    ("less than the free length, {} mm", "weniger als die freie Länge, {} mm"),
    ("lowest below highest, delivered between them", "lowest unter highest, delivered dazwischen"),
    ("lowest {}, delivered {}, highest {} mm", "lowest {}, delivered {}, highest {} mm"),
    ("loads that do not fall with length", "Lasten, die nicht mit der Länge fallen"),
    ("less load at more length", "weniger Last bei mehr Länge"),
    ("a tyre of the rim's {} inch", "ein Reifen mit den {} inch der Felge"),
    ("a tyre of {} inch", "ein Reifen mit {} inch"),
    // prices, times, rules
    ("three capital letters, such as {}", "drei Großbuchstaben wie {}"),
    (
        "an amount below {} with at most {} decimals, as {}",
        "ein Betrag unter {} mit höchstens {} Nachkommastellen wie {}",
    ),
    (
        "a percentage from 0 to 100 with at most {} decimals, as {}",
        "ein Prozentsatz von 0 bis 100 mit höchstens {} Nachkommastellen wie {}",
    ),
    ("least {}, likely {}, most {} min", "mindestens {}, üblich {}, höchstens {} min"),
    (
        "least_minutes at most likely, likely at most most_minutes",
        "least_minutes höchstens likely, likely höchstens most_minutes",
    ),
    ("a workshop whose facts include {}", "eine Werkstatt, deren Tatsachen {} enthalten"),
    (
        "a comparison with a fact that nobody asks for",
        "ein Vergleich mit einer Tatsache, nach der niemand fragt",
    ),
    ("no bound", "keine Grenze"),
    ("at_least, at_most, or both", "at_least, at_most oder beide"),
    ("at most {}, or nothing can meet it", "höchstens {}, sonst kann nichts es erfüllen"),
    // laws of parts
    ("{} must be positive, found {}", "{} muss größer als null sein, gefunden {}"),
    (
        "{} must have at least two points, each longer or more compressed one carrying more load",
        "{} muss mindestens zwei Punkte haben, jeder längere oder stärker zusammengedrückte mit mehr Last",
    ),
    (
        "{} must have at least two points, all finite, none at the same place as another",
        "{} muss mindestens zwei Punkte haben, alle endlich, keiner am Ort eines anderen",
    ),
    ("{} must be from {} to {}, found {}", "{} muss von {} bis {} sein, gefunden {}"),
    ("{} must be below {}", "{} muss unter {} liegen"),
    // wishes, loads, wheels
    ("no trailer, as the vehicle sheet has no {}", "kein Anhänger, denn das Fahrzeugblatt hat kein {}"),
    ("a load on the tow ball", "eine Last auf der Kupplung"),
    ("a tyre beside wheels of the list", "ein Reifen neben Rädern der Liste"),
    ("collars without a kit", "Versteller ohne Satz"),
    ("a kit in fitted_kit", "ein Satz in fitted_kit"),
    (
        "the wished drop in mm, as the wish is by drop",
        "die gewünschte Tieferlegung in mm, denn gewünscht ist nach Höhe",
    ),
    ("a spring that does not shorten as the wheel rises", "eine Feder, die beim Einfedern nicht kürzer wird"),
    ("falling lengths", "fallende Längen"),
    // sidewall markings
    ("a section width from {} to {} mm, as in {}", "eine Querschnittsbreite von {} bis {} mm wie in {}"),
    (
        "/ between section width and aspect ratio, as in {}",
        "/ zwischen Querschnittsbreite und Höhenverhältnis wie in {}",
    ),
    ("an aspect ratio from {} to {}, as in {}", "ein Höhenverhältnis von {} bis {} wie in {}"),
    (
        "R for a radial tyre after the aspect ratio, as in {}",
        "R für Radialreifen nach dem Höhenverhältnis wie in {}",
    ),
    (
        "a rim diameter from {} to {} inch, whole or half, as in {}",
        "ein Felgendurchmesser von {} bis {} inch, ganz oder halb, wie in {}",
    ),
    ("a load index from {} to {}, as in {}", "eine Tragfähigkeitskennzahl von {} bis {} wie in {}"),
    (
        "a speed symbol out of {} after the load index, as in {}",
        "ein Geschwindigkeitssymbol aus {} nach der Tragfähigkeit wie in {}",
    ),
    (
        "a load index and speed symbol, then XL and M+S where they apply",
        "Tragfähigkeit und Geschwindigkeitssymbol, dann XL und M+S, wo sie gelten",
    ),
    // the least special last
    ("text {}", "Text {}"),
    ("date {}", "Datum {}"),
    ("{} a second time", "{} ein zweites Mal"),
    ("{} again", "{} noch einmal"),
    ("{} cells", "{} Zellen"),
    ("{} bytes", "{} Bytes"),
    ("{} files", "{} Dateien"),
    ("{} and {}", "{} und {}"),
];

/// A fault in a language: file, line and field stay, what was found and what is allowed are said.
pub fn fault(language: Language, fault: &Fault) -> Fault {
    if language == Language::English {
        return fault.clone();
    }
    let allowed = if fault.found == "an unknown field" {
        // a list of names, perhaps with advice behind it
        fault.allowed.replace("(did you mean ", "(vielleicht ").replace("no fields", "keine Felder")
    } else {
        german(&fault.allowed)
    };
    Fault { found: german(&fault.found), allowed, ..fault.clone() }
}

/// A fault on one line.
pub fn fault_line(language: Language, of: &Fault) -> String {
    if language == Language::English {
        return of.to_string();
    }
    let Fault { file, line, field, found, allowed, .. } = fault(language, of);
    let field = if field.is_empty() { String::new() } else { format!("{field}: ") };
    format!("{file}:{line}: {field}gefunden {found}, erlaubt {allowed}")
}

/// A sentence of the table in German; anything else as it is.
fn german(sentence: &str) -> String {
    let found = SENTENCES.iter().find_map(|(english, german)| {
        let held = held_by(english, sentence)?;
        Some(filled(german, english, &held))
    });
    found.unwrap_or_else(|| sentence.to_owned())
}

/// What stands in the places of a pattern, where a sentence matches it.
fn held_by<'a>(pattern: &str, sentence: &'a str) -> Option<Vec<&'a str>> {
    let mut pieces = pattern.split("{~}").flat_map(|part| part.split("{}"));
    let mut rest = sentence.strip_prefix(pieces.next()?)?;
    let mut held = Vec::new();
    let mut pieces = pieces.peekable();
    while let Some(piece) = pieces.next() {
        // the last piece is the end, whatever it holds before
        let place = if pieces.peek().is_none() {
            rest.ends_with(piece).then(|| rest.len() - piece.len())
        } else {
            rest.find(piece)
        }?;
        held.push(&rest[..place]);
        rest = &rest[place + piece.len()..];
    }
    rest.is_empty().then_some(held)
}

/// A pattern with its places filled; they come in the same order in both languages.
fn filled(german_pattern: &str, english_pattern: &str, held: &[&str]) -> String {
    let mut text = String::new();
    let mut rest = german_pattern;
    for (n, held) in held.iter().enumerate() {
        let Some(place) = rest.find('{') else { break };
        let is_sentence = english_pattern
            .match_indices('{')
            .nth(n)
            .is_some_and(|(at, _)| english_pattern[at..].starts_with("{~}"));
        text.push_str(&rest[..place]);
        text.push_str(&if is_sentence { german(held) } else { (*held).to_owned() });
        rest = rest[place..].split_once('}').map_or("", |(_, rest)| rest);
    }
    text + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_both_languages_have_the_same_places_in_the_same_order() {
        let places = |pattern: &str| -> Vec<String> {
            pattern
                .split('{')
                .skip(1)
                .filter_map(|part| part.split_once('}'))
                .map(|(p, _)| p.to_owned())
                .collect()
        };
        for &(english, german) in SENTENCES {
            assert_eq!(places(english), places(german), "{english}");
            let first = SENTENCES.iter().find(|(pattern, _)| held_by(pattern, english).is_some());
            assert_eq!(first.map(|(pattern, _)| *pattern), Some(english), "an earlier sentence takes it");
        }
    }

    #[test]
    fn law_sentences_within_sentences_are_german_too() {
        let english = "a list [...] of 1 or more, each one of \"a\", \"b\" (did you mean a?)";
        assert_eq!(
            german(english),
            "eine Liste [...] aus 1 oder mehr, jedes eines von \"a\", \"b\" (vielleicht a?)"
        );
        assert_eq!(german("a number from 1 to 500 (N/mm)"), "eine Zahl von 1 bis 500 (N/mm)");
        assert_eq!(german("-3"), "-3");
    }
}
