//! Words of quotes, on the page and on paper.

macro_rules! quote {
    ([$next:ident $($then:ident)*] $($before:tt)*) => {
        $next! {
            [$($then)*] $($before)*
            your_answer: "Your answer", "Ihre Antwort";
            link_ends: "This page was made for you alone. Prices and dates are in your quote.", "Diese Seite wurde nur für Sie gemacht. Preise und Termine stehen in Ihrem Angebot.";
            draft_quote_hint: "Two or three kits side by side. Kits that are stopped or have no price are not offered.", "Zwei oder drei Sätze nebeneinander. Sätze, die ausscheiden, angehalten sind oder keinen Preis haben, stehen nicht zur Wahl.";
            option: "Option", "Möglichkeit";
            option_none: "None", "Keine";
            options_missing: "Choose at least one kit.", "Wählen Sie mindestens einen Satz.";
            options_twice: "The same kit stands there twice; choose another or none.", "Derselbe Satz steht zweimal da; wählen Sie einen anderen oder keinen.";
            ask_for_price: "For a price of further kits, ask:", "Für den Preis weiterer Sätze ist zu fragen:";
            ask_for_first_price: "Ask first:", "Zuerst ist zu fragen:";
            nothing_to_quote: "No kit of the shortlist has a price yet.", "Noch hat kein Satz der Auswahlliste einen Preis.";
            who_gets_it: "Who gets it", "Wer es bekommt";
            customer_name_missing: "The name of the customer is missing.", "Der Name des Kunden fehlt.";
            customers_language: "Language of the paper", "Sprache des Papiers";
            english: "English", "Englisch";
            german: "German", "Deutsch";
            plate_hint: "May stay empty until a time is booked", "Darf leer bleiben, bis ein Termin gebucht wird";
            valid_until: "Holds until", "Gilt bis";
            quote_draft: "draft", "Entwurf";
            quote_sent: "with the customer", "beim Kunden";
            quote_accepted: "accepted", "angenommen";
            quote_declined: "declined", "abgelehnt";
            quote_superseded: "replaced by a later version", "durch eine spätere Fassung ersetzt";
            ran_out: "ran out", "abgelaufen";
            no_quotes: "No quotes.", "Keine Angebote.";
            quotes_open: "Open: soonest to run out first", "Offen: was zuerst abläuft, zuerst";
            quotes_settled: "Settled", "Erledigt";
            older_quotes: "Older quotes", "Ältere Angebote";
            version: "Version", "Fassung";
            versions: "Versions", "Fassungen";
            changed_since_version: "What changed since version", "Was sich geändert hat seit Fassung";
            before: "Before", "Vorher";
            now: "Now", "Jetzt";
            compare_hint: "Held side by side in the load state of the wish. Beside each figure: the range that holds in nine of ten cases, and where the figure comes from.", "Nebeneinander im Ladezustand des Wunsches. Unter jeder Zahl: der Bereich, der in neun von zehn Fällen gilt, und woher die Zahl kommt.";
            side_by_side: "What is offered", "Was angeboten wird";
            lower_than_today: "Lower than today (minus: higher)", "Tiefer als heute (Minus: höher)";
            lower: "lower", "tiefer";
            higher: "higher", "höher";
            what_it_costs: "What it costs", "Was es kostet";
            arch_gap_front: "Arch gap, front", "Radlaufspalt vorn";
            arch_gap_rear: "Arch gap, rear", "Radlaufspalt hinten";
            level_tail_up: "Level, tail up positive", "Niveau, Heck hoch positiv";
            travel_to_metal: "Travel to metal, fully laden", "Weg bis Metall, voll beladen";
            load_reserve: "Left to the plates, fully laden", "Bis zu den Achslasten, voll beladen";
            ground_clearance: "Ground clearance, fully laden", "Bodenfreiheit, voll beladen";
            ramp_typical: "On the ramp, typically", "Auf der Bühne, üblich";
            ramp_nine: "On the ramp, nine in ten", "Auf der Bühne, neun von zehn";
            labour_charged: "Labour charged", "Berechnete Arbeit";
            without_tax: "Without tax", "Ohne Steuer";
            tax: "Tax", "Steuer";
            deposit: "Of that in advance", "Davon im Voraus";
            hours_unit: "h", "h";
            prices_from: "Prices:", "Preise:";
            given: "Given to the customer", "Dem Kunden gegeben";
            given_hint: "It is frozen then; a change is a new version.", "Danach steht es fest; eine Änderung ist eine neue Fassung.";
            ring_on: "If no answer comes, ring on", "Ohne Antwort anrufen am";
            customers_answer: "What does the customer say?", "Was sagt der Kunde?";
            takes_option: "Takes option", "Nimmt Möglichkeit";
            declines: "Declines", "Lehnt ab";
            decline_because: "Why, if declined", "Warum, wenn abgelehnt";
            answer_missing: "Choose what the customer says.", "Wählen Sie, was der Kunde sagt.";
            keep_answer: "Keep the answer", "Antwort festhalten";
            taken: "taken", "genommen";
            draft_anew: "Draft anew on today's data", "Mit heutigen Daten neu entwerfen";
            anew_hint: "Makes the next version from the enquiry, prices and catalogue of today, and shows what changed. This one stays as it is until the next is given.", "Macht die nächste Fassung aus Anfrage, Preisen und Katalog von heute und zeigt, was sich geändert hat. Diese bleibt, bis die nächste gegeben ist.";
            none_still_in: "None of its kits can be quoted today; see the enquiry.", "Keiner seiner Sätze lässt sich heute anbieten; siehe die Anfrage.";
            paper: "Paper to print", "Papier zum Drucken";
            paper_cautions: "A kit changes neither plated limits nor the ratings of tyres and wheels. After any change of height: wheel alignment, aim of the lamps, calibration of driver assistance, and a load-sensing brake valve or levelling sensor where there is one. Insurers and approval authorities may have to be told.", "Ein Satz ändert weder die Lasten des Typschilds noch die Tragfähigkeit von Reifen und Rädern. Nach jeder Höhenänderung: Achsvermessung, Scheinwerfereinstellung, Kalibrierung der Assistenzsysteme und, wo vorhanden, lastabhängiger Bremsdruckregler oder Niveausensor. Versicherung und Zulassungsbehörde müssen es unter Umständen erfahren.";
            who_decides: "The makers' instructions, local code and licensed practice decide.", "Anleitungen der Hersteller, örtliches Recht und zugelassene Fachleute entscheiden.";
            mind: "To be minded", "Zu beachten";
        }
    };
}
