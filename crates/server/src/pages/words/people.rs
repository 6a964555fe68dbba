//! Words of those who work here: signing in, who may what, how it is read.

macro_rules! people {
    ([$next:ident $($then:ident)*] $($before:tt)*) => {
        $next! {
            [$($then)*] $($before)*
            sign_in: "Sign in", "Anmelden";
            name_hint: "The name you sign in with", "Der Name, mit dem Sie sich anmelden";
            passphrase: "Passphrase", "Passphrase";
            passphrase_hint: "At least 12 characters; three or four unrelated words are good", "Mindestens 12 Zeichen; drei oder vier Wörter ohne Zusammenhang sind gut";
            set_up: "Set up this workshop", "Diese Werkstatt einrichten";
            set_up_intro: "The server printed a set-up code where it was started. It works once, for 30 minutes.", "Der Server hat dort, wo er gestartet wurde, einen Einrichtungscode ausgegeben. Er gilt einmal, 30 Minuten lang.";
            set_up_code: "Set-up code", "Einrichtungscode";
            workshop: "Name of the workshop", "Name der Werkstatt";
            country: "Country, two letters", "Land, zwei Buchstaben";
            shown_name: "Your name as shown", "Ihr Name, wie er gezeigt wird";
            owner: "Owner", "Inhaber";
            office: "Office", "Büro";
            fitter: "Fitter", "Monteur";
            reader: "Reader", "Leser";
            my_language: "Language of my pages", "Sprache meiner Seiten";
            my_language_hint: "Of pages and messages; papers for customers are in theirs.", "Für Seiten und Meldungen; Papiere für Kunden sind in deren Sprache.";
            my_numbers_hint: "Both comma and point are read, whatever is chosen.", "Gelesen werden Komma und Punkt, was immer gewählt ist.";
            as_the_browser: "As the browser asks", "Wie der Browser wünscht";
            my_units: "Units", "Einheiten";
            my_units_hint: "Of what is shown to you; bare numbers that you type are read in them. Quotes to print and set-up sheets keep millimetres and kilograms and add yours in brackets.", "Für das, was Ihnen gezeigt wird; Zahlen ohne Einheit, die Sie eintippen, gelten in ihnen. Gedruckte Angebote und Einstellblätter behalten Millimeter und Kilogramm und nennen Ihre Einheiten in Klammern dazu.";
            millimetres_and_kilograms: "Millimetres and kilograms", "Millimeter und Kilogramm";
            inches_and_pounds: "Inches and pounds", "Zoll und Pfund";
            my_numbers: "Numbers", "Zahlen";
            as_the_language: "As the language writes them", "Wie die Sprache sie schreibt";
            decimal_point: "Decimal point: 12.5", "Dezimalpunkt: 12.5";
            decimal_comma: "Decimal comma: 12,5", "Dezimalkomma: 12,5";
        }
    };
}
