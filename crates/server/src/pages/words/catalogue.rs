//! Words of the catalogue: kits, rules, documents, files that are read in.

macro_rules! catalogue {
    ([$next:ident $($then:ident)*] $($before:tt)*) => {
        $next! {
            [$($then)*] $($before)*
            find_kit: "Find a kit by name, maker or van", "Satz nach Name, Hersteller oder Wagen suchen";
            no_kit_found: "No kit like this.", "Kein solcher Satz.";
            maker: "Maker", "Hersteller";
            fits: "Fits", "Passt für";
            further_documents: "Further documents", "Weitere Dokumente";
            catalogue_revision: "Revision", "Stand";
            rules: "Fitting rules", "Einbauregeln";
            rule: "Rule", "Regel";
            reason: "Reason", "Grund";
            source: "Source", "Quelle";
            change_rules: "Change the rules", "Regeln ändern";
            import: "Import a file", "Datei einlesen";
            answers_again: "Answers given before, computed anew:", "Früher gegebene Antworten, neu gerechnet:";
            no_answer_changes: "No past answer changes.", "Keine frühere Antwort ändert sich.";
            nothing_saved_yet: "Nothing is saved yet.", "Noch ist nichts gespeichert.";
            what_it_does: "What the change does", "Was die Änderung bewirkt";
            save_revision: "Save as a new revision", "Als neuen Stand speichern";
            plain_figures: "Figures", "Werte";
            look_at_effect: "Look at the effect", "Wirkung ansehen";
            as_text: "As text", "Als Text";
            as_text_label: "The whole document", "Das ganze Dokument";
            document_changed: "Someone changed this meanwhile. Your text is kept below; look at what stands now and change again.", "Das wurde inzwischen geändert. Ihr Text steht unten; ansehen, was jetzt gilt, und noch einmal ändern.";
            stands_now: "What stands now", "Was jetzt gilt";
            stands: "stands", "gilt";
            history: "History", "Verlauf";
            history_hint: "An earlier text is taken back as a new revision, after a look at its effect.", "Ein früherer Text kommt als neuer Stand zurück, nach einem Blick auf seine Wirkung.";
            take_back: "Take back to this", "Dahin zurück";
            path_hint: "Its place in the data folder, such as kits/low.toml or rules.toml; or a table of kits, such as kits.csv", "Ihr Platz im Datenordner, etwa kits/low.toml oder rules.toml; oder eine Tabelle von Sätzen, etwa kits.csv";
            preview_differs: "What would be saved is not what you looked at, or the catalogue changed since. Look at it again below; nothing was saved.", "Gespeichert würde nicht, was Sie angesehen haben, oder der Katalog wurde inzwischen geändert. Unten noch einmal ansehen; gespeichert wurde nichts.";
            files: "Files", "Dateien";
            files_hint: "One or several: documents of the catalogue (.toml) and tables of kits (.csv, .xlsx). All of them are taken, or none.", "Eine oder mehrere: Dokumente des Katalogs (.toml) und Tabellen von Sätzen (.csv, .xlsx). Alle werden eingelesen oder keine.";
            or_paste: "Or paste one file", "Oder eine Datei einfügen";
            nothing_sent: "Choose a file, or paste one with its name.", "Eine Datei wählen, oder eine mit ihrem Namen einfügen.";
            nothing_new: "Nothing changes: everything in it stands in the catalogue already.", "Nichts ändert sich: Alles darin steht schon im Katalog.";
            row_or_line: "Line or row", "Zeile";
            content: "Content", "Inhalt";
            content_hint: "Paste the whole file.", "Die ganze Datei einfügen.";
            files_are_metric: "Files are metric for everybody: the unit of a figure stands at the end of its name or column head (rate_n_per_mm, free_length_mm).", "Dateien sind für alle metrisch: Die Einheit eines Werts steht am Ende seines Namens oder Spaltenkopfs (rate_n_per_mm, free_length_mm).";
            text_is_metric: "The text is the document itself and metric for everybody: the unit of a figure stands at the end of its name (free_length_mm). In the boxes above figures are in your units.", "Der Text ist das Dokument selbst und für alle metrisch: Die Einheit eines Werts steht am Ende seines Namens (free_length_mm). In den Feldern oben stehen die Werte in Ihren Einheiten.";
            file: "File", "Datei";
            field: "Field", "Feld";
            found: "Found", "Gefunden";
            allowed: "Allowed", "Erlaubt";
            nothing_imported: "Nothing was imported", "Nichts wurde eingelesen";
            added: "New", "Neu";
            changed: "Changed", "Geändert";
            unchanged: "Unchanged", "Unverändert";
            import_all: "Import all of it", "Alles einlesen";
        }
    };
}
