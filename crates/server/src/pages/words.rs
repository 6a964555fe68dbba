//! Words of the pages, in both languages side by side.

use workshop::facts::Language;

macro_rules! words {
    ($($(#[$meta:meta])* $name:ident: $en:literal, $de:literal;)*) => {
        /// Every word of the pages in one language.
        pub(crate) struct PageWords { $($(#[$meta])* pub(crate) $name: &'static str,)* }

        const ENGLISH: PageWords = PageWords { $($name: $en,)* };
        const GERMAN: PageWords = PageWords { $($name: $de,)* };
    };
}

words! {
    code_of_language: "en", "de";
    to_content: "To the content", "Zum Inhalt";
    enquiries: "Enquiries", "Anfragen";
    sign_in: "Sign in", "Anmelden";
    sign_out: "Sign out", "Abmelden";
    name: "Name", "Name";
    name_hint: "The name you sign in with", "Der Name, mit dem Sie sich anmelden";
    passphrase: "Passphrase", "Passphrase";
    passphrase_hint: "At least 12 characters; three or four unrelated words are good", "Mindestens 12 Zeichen; drei oder vier Wörter ohne Zusammenhang sind gut";
    set_up: "Set up this workshop", "Diese Werkstatt einrichten";
    set_up_intro: "The server printed a set-up code where it was started. It works once, for 30 minutes.", "Der Server hat dort, wo er gestartet wurde, einen Einrichtungscode ausgegeben. Er gilt einmal, 30 Minuten lang.";
    set_up_code: "Set-up code", "Einrichtungscode";
    workshop: "Name of the workshop", "Name der Werkstatt";
    country: "Country, two letters", "Land, zwei Buchstaben";
    shown_name: "Your name as shown", "Ihr Name, wie er gezeigt wird";
    demo: "Demo: every van, maker, kit and person is invented. It is gone when the server stops.", "Vorführung: Alle Fahrzeuge, Hersteller, Sätze und Personen sind erfunden. Mit dem Server ist alles weg.";
    not_done: "Not done", "Nicht erledigt";
    no_enquiries: "No enquiries yet.", "Noch keine Anfragen.";
    later: "Newer enquiries", "Neuere Anfragen";
    question: "Question", "Frage";
    caller: "Who asks", "Wer fragt";
    state: "State", "Stand";
    open: "open", "offen";
    quoted: "quoted", "angeboten";
    closed: "closed", "erledigt";
    kits_in: "Kits that can be fitted, best first", "Sätze, die passen, die besten zuerst";
    kit: "Kit", "Satz";
    drop: "Drop against today, mm", "Tiefer als heute, mm";
    level: "Level, mm", "Niveau, mm";
    travel: "Travel to metal, fully laden, mm", "Weg bis Metall, voll beladen, mm";
    minutes: "On the ramp, min", "Auf der Bühne, min";
    total: "Total with tax", "Summe mit Steuer";
    remark: "Remark", "Hinweis";
    stop: "STOP", "HALT";
    whatever_is_fitted: "STOP, whatever is fitted", "HALT, gleich was verbaut wird";
    not_today: "Does not hold today", "Hält schon heute nicht";
    unbeaten: "unbeaten", "Spitze";
    read_aloud: "To be read out", "Zum Vorlesen";
    kits_out: "Kits that are out, and why", "Sätze, die ausscheiden, und warum";
    ranges: "Ranges hold in nine of ten cases. Local rules, the makers and licensed practice decide.", "Bereiche gelten in neun von zehn Fällen. Örtliches Recht, Hersteller und zugelassene Fachleute entscheiden.";
    new_enquiry: "New enquiry", "Neue Anfrage";
    begin: "Begin", "Beginnen";
    telephone: "Telephone", "Telefon";
    question_hint: "In the caller's words; may stay empty", "Mit den Worten des Anrufers; darf leer bleiben";
    asked_by_telephone: "Asked by telephone", "Am Telefon gefragt";
    van_missing: "Choose the van first: everything else can wait.", "Zuerst den Wagen wählen: Alles andere kann warten.";
    answer: "Answer", "Antworten";
    the_van: "The van", "Der Wagen";
    the_wish: "The wish", "Der Wunsch";
    which_van: "Which van?", "Welcher Wagen?";
    which_van_hint: "The grade by the limits on the plate", "Die Ausführung nach den Lasten auf dem Typenschild";
    furnishing: "What is built into it?", "Was ist eingebaut?";
    furnishing_hint: "As wide as such vans differ; the load list narrows it", "So weit, wie solche Wagen sich unterscheiden; die Ladeliste grenzt es ein";
    as_listed: "Only what the load list names", "Nur was die Ladeliste nennt";
    fitted_now: "What suspension is fitted now?", "Welches Fahrwerk ist jetzt verbaut?";
    original_parts: "Original parts", "Originalteile";
    how_much_lower: "How much lower?", "Wie viel tiefer?";
    how_much_lower_hint: "Against today; a minus lifts it", "Gegenüber heute; ein Minus hebt an";
    drop_missing: "Enter the wished drop, or let something else matter most.", "Die gewünschte Tieferlegung eintragen oder etwas anderes wichtiger sein lassen.";
    heights_missing: "Read all four arches, or none.", "Alle vier Radläufe messen oder keinen.";
    meant_when: "When should it sit so?", "Wann soll er so stehen?";
    matters_most: "What matters most?", "Was ist am wichtigsten?";
    not_said: "Not said", "Nicht gesagt";
    not_known: "Not known", "Nicht bekannt";
    ask_next: "Ask this next", "Das als Nächstes fragen";
    ask_next_hint: "Of all that is not known, this would change most.", "Von allem Unbekannten würde dies am meisten ändern.";
    further_questions: "Further questions", "Weitere Fragen";
    heights_found: "Arch heights as found", "Radlaufhöhen im Anlieferzustand";
    heights_found_hint: "Wheel centre to arch lip, on level ground", "Radmitte bis Radlaufkante, auf ebenem Boden";
    found_with: "What was in it then?", "Was war dabei geladen?";
    not_saved: "Not saved yet", "Noch nicht gespeichert";
    to_look_at: "to look at", "anzusehen";
    others_answered: "Someone else answered meanwhile:", "Inzwischen hat jemand anderes geantwortet:";
    answer_again: "Answer again to keep yours.", "Nochmals antworten, um Ihre Angabe zu behalten.";
    instead_of: "instead of", "statt";
    instead: "What changes with this one instead of the first", "Was sich mit diesem statt dem ersten ändert";
    changes_if: "What changes with", "Was sich ändert mit";
    nothing_changes: "Nothing that is worth a sentence.", "Nichts, was einen Satz wert wäre.";
    to_enquiry: "Back to the enquiry", "Zurück zur Anfrage";
    goes_in: "What goes in", "Was eingeht";
    done_with_it: "What is done with it", "Was damit geschieht";
    equations: "By these equations", "Nach diesen Gleichungen";
    picture: "How it stands", "Wie er steht";
    load_state: "Load state", "Ladezustand";
    each_axle: "Each axle from in front and behind", "Jede Achse von vorn und hinten";
    by_height: "All kits by height", "Alle Sätze nach Höhe";
    travel_left: "Travel that is left", "Verbleibender Federweg";
    loads: "What it carries, from above", "Was er trägt, von oben";
    as_table: "The same as a table", "Dasselbe als Tabelle";
    misses: "Misses:", "Verfehlt:";
    nearly: "Nearly misses:", "Verfehlt beinahe:";
    does_not_hold: "Does not hold:", "Hält nicht:";
    why_not: "All reasons", "Alle Gründe";
    no_answer: "No answer is possible", "Keine Antwort möglich";
    your_answer: "Your answer", "Ihre Antwort";
    link_ends: "This page was made for you alone. Prices and dates are in your quote.", "Diese Seite wurde nur für Sie gemacht. Preise und Termine stehen in Ihrem Angebot.";
    heights_as_measured: "Heights as measured", "Gemessene Höhen";
    postal_intro: "You fitted this kit for the workshop that sold it. Measure from the wheel centre straight up to the lip of the arch, in millimetres, on level ground. Usual cautions for work on springs hold; the maker's instructions come first.", "Sie haben diesen Satz für die Werkstatt eingebaut, die ihn verkauft hat. Messen Sie von der Radmitte senkrecht hinauf zur Kante des Radlaufs, in Millimetern, auf ebenem Boden. Es gelten die üblichen Vorsichten bei Arbeiten an Federn; die Anleitung des Herstellers geht vor.";
    your_workshop: "Your workshop", "Ihre Werkstatt";
    front_left: "Front left", "Vorne links";
    front_right: "Front right", "Vorne rechts";
    rear_left: "Rear left", "Hinten links";
    rear_right: "Rear right", "Hinten rechts";
    heights_before: "Before any work", "Vor der Arbeit";
    heights_before_hint: "Leave all four empty if they were not measured.", "Lassen Sie alle vier leer, wenn nicht gemessen wurde.";
    heights_after: "After fitting", "Nach dem Einbau";
    heights_after_hint: "All four are needed.", "Alle vier werden gebraucht.";
    heights_again: "After fitting, measured a second time", "Nach dem Einbau, ein zweites Mal gemessen";
    heights_again_hint: "Roll and bounce the van once more before it. Leave empty if measured once.", "Rollen und wippen Sie den Wagen davor noch einmal. Leer lassen, wenn einmal gemessen wurde.";
    collars: "Collars, millimetres from the kit's datum", "Gewinderinge, Millimeter vom Bezug des Satzes";
    collars_hint: "Only where the kit has collars.", "Nur wo der Satz Gewinderinge hat.";
    settled: "How the van was brought to rest", "Wie der Wagen zur Ruhe kam";
    rolled_and_bounced: "Rolled both ways and bounced", "Vor und zurück gerollt und gewippt";
    on_turn_plates: "Bounced on turn plates", "Auf Drehplatten gewippt";
    only_lowered: "Only let down off the lift", "Nur von der Bühne gelassen";
    notes: "What else was seen", "Was sonst auffiel";
    send_heights: "Send the heights", "Höhen senden";
    see_below: "Nothing was sent yet: see what is marked below.", "Es wurde noch nichts gesandt: Sehen Sie, was unten markiert ist.";
    height_wrong: "A height in millimetres, 100 to 1000", "Eine Höhe in Millimetern, 100 bis 1000";
    height_missing: "Missing: a height in millimetres", "Fehlt: eine Höhe in Millimetern";
    collar_wrong: "Millimetres from the datum, -500 to 500", "Millimeter vom Bezug, -500 bis 500";
    name_missing: "Missing: the name of your workshop", "Fehlt: der Name Ihrer Werkstatt";
    text_wrong: "Shorter, please: at most 200 characters for a name, 4000 for notes", "Bitte kürzer: höchstens 200 Zeichen für einen Namen, 4000 für Anmerkungen";
    settled_missing: "Choose one", "Wählen Sie eines";
    heights_arrived: "Thank you, the heights arrived", "Danke, die Höhen sind angekommen";
    heights_arrived_more: "Open the link again to send another reading.", "Öffnen Sie den Link noch einmal, um eine weitere Messung zu senden.";
    spring_bench: "Spring on the bench", "Feder auf dem Prüfstand";
    spring: "Spring", "Feder";
    spring_length: "Length", "Länge";
    spring_load: "Load", "Last";
    spring_rate: "Rate", "Rate";
    free_length: "Free length", "Freie Länge";
    bench_hint: "At least three lengths with their loads, in any order. A compressed spring can kill: cage it, stand aside, follow the maker's instructions.", "Mindestens drei Längen mit ihren Lasten, in beliebiger Reihenfolge. Eine gespannte Feder kann töten: sichern, seitlich stehen, Anleitung des Herstellers befolgen.";
    bench_evidence: "Measured here; the range comes from the scatter of the readings and holds in nine of ten cases. The error of scale and rule is not in it.", "Hier gemessen; der Bereich folgt aus der Streuung der Messwerte und gilt in neun von zehn Fällen. Der Fehler von Waage und Maßstab ist nicht darin.";
    other_of_pair: "Missing: a length and its load belong together", "Fehlt: Eine Länge und ihre Last gehören zusammen";
    length_twice: "This length was read twice; keep one of the two", "Diese Länge wurde zweimal gemessen; eine der beiden behalten";
    load_must_fall: "A longer spring must carry less; read this pair again", "Eine längere Feder muss weniger tragen; dieses Paar nochmals messen";
    three_readings: "At least three lengths with their loads are needed", "Mindestens drei Längen mit ihren Lasten werden gebraucht";
    back: "To the first page", "Zur ersten Seite";
}

/// The words in a language.
pub(crate) fn words(language: Language) -> &'static PageWords {
    match language {
        Language::English => &ENGLISH,
        Language::German => &GERMAN,
    }
}
