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
    no_answer: "No answer is possible", "Keine Antwort möglich";
    your_answer: "Your answer", "Ihre Antwort";
    link_ends: "This page was made for you alone. Prices and dates are in your quote.", "Diese Seite wurde nur für Sie gemacht. Preise und Termine stehen in Ihrem Angebot.";
    back: "To the first page", "Zur ersten Seite";
}

/// The words in a language.
pub(crate) fn words(language: Language) -> &'static PageWords {
    match language {
        Language::English => &ENGLISH,
        Language::German => &GERMAN,
    }
}
