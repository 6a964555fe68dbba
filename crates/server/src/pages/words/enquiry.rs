//! Words of enquiries: the questions, the answer, what stands behind it.

macro_rules! enquiry {
    ([$next:ident $($then:ident)*] $($before:tt)*) => {
        $next! {
            [$($then)*] $($before)*
            no_enquiries: "No enquiries yet.", "Noch keine Anfragen.";
            older_enquiries: "Older enquiries", "Ältere Anfragen";
            question: "Question", "Frage";
            caller: "Who asks", "Wer fragt";
            open: "open", "offen";
            answered: "answered, the customer decides", "beantwortet, der Kunde entscheidet";
            accepted: "taken, not booked yet", "angenommen, noch kein Termin";
            last_change: "Last change", "Zuletzt geändert";
            close_enquiry: "Close the enquiry", "Anfrage schließen";
            close_enquiry_hint: "Where nobody goes on with it. It leaves the lists of open work and nobody is rung about its quotes; it can be opened again.", "Wo niemand damit weitermacht. Sie verschwindet aus den offenen Listen und zu ihren Angeboten wird niemand mehr angerufen; sie lässt sich wieder öffnen.";
            open_again: "Open it again", "Wieder öffnen";
            change_load: "Change what it carries", "Beladung ändern";
            price_needs: "No price yet, ask:", "Noch kein Preis, fragen:";
            drop: "Drop against today, mm", "Tiefer als heute, mm";
            level: "Level, mm", "Niveau, mm";
            travel: "Travel to metal, fully laden, mm", "Weg bis Metall, voll beladen, mm";
            minutes: "On the ramp, min", "Auf der Bühne, min";
            remark: "Remark", "Hinweis";
            stop: "STOP", "HALT";
            whatever_is_fitted: "STOP, whatever is fitted", "HALT, gleich was verbaut wird";
            not_today: "Does not hold today", "Hält schon heute nicht";
            unbeaten: "unbeaten", "Spitze";
            not_on_kit: "is not drawn: the picture shows today. The van does not stand on it:", "wird nicht gezeichnet, das Bild zeigt heute. Der Wagen steht nicht darauf:";
            kits_out: "Kits that are out, and why", "Sätze, die ausscheiden, und warum";
            begin: "Begin", "Beginnen";
            question_hint: "In the caller's words; may stay empty", "Mit den Worten des Anrufers; darf leer bleiben";
            asked_by_telephone: "Asked by telephone", "Am Telefon gefragt";
            van_missing: "Choose the van first: everything else can wait.", "Zuerst den Wagen wählen: Alles andere kann warten.";
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
            instead_of: "instead of", "statt";
            instead: "What changes with this one instead of the first", "Was sich mit diesem statt dem ersten ändert";
            changes_if: "What changes with", "Was sich ändert mit";
            goes_in: "What goes in", "Was eingeht";
            done_with_it: "What is done with it", "Was damit geschieht";
            equations: "By these equations", "Nach diesen Gleichungen";
            picture: "How it stands", "Wie er steht";
            each_axle: "Each axle from in front and behind", "Jede Achse von vorn und hinten";
            by_height: "All kits by height", "Alle Sätze nach Höhe";
            travel_left: "Travel that is left", "Verbleibender Federweg";
            misses: "Misses:", "Verfehlt:";
            nearly: "Nearly misses:", "Verfehlt beinahe:";
            does_not_hold: "Does not hold:", "Hält nicht:";
            why_not: "All reasons", "Alle Gründe";
            where_to_look: "Where to look", "Wo nachsehen";
            slide_hint: "Sliding moves the wish alone; every figure is computed when it is let go.", "Schieben bewegt nur den Wunsch; alle Zahlen werden beim Loslassen berechnet.";
            kits_for_others: "Kits for other vans", "Sätze für andere Wagen";
        }
    };
}
