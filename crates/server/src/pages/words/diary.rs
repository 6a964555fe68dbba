//! Words of the day: diary, calls, bookings, what is searched for.

macro_rules! diary {
    ([$next:ident $($then:ident)*] $($before:tt)*) => {
        $next! {
            [$($then)*] $($before)*
            on_ramps_today: "On the ramps", "Auf den Bühnen";
            ramps_free: "Nothing is booked for today.", "Für heute ist nichts gebucht.";
            no_diary: "There are no ramps and opening hours yet. The owner sets them; until then no job can be booked.", "Es gibt noch keine Bühnen und Öffnungszeiten. Der Inhaber legt sie fest; bis dahin kann kein Auftrag gebucht werden.";
            calls_due: "To ring", "Anzurufen";
            open_enquiries: "Open enquiries", "Offene Anfragen";
            no_open_enquiries: "Every enquiry is answered, every order booked.", "Jede Anfrage ist beantwortet, jeder Auftrag hat seinen Termin.";
            more: "more", "weitere";
            enquiry: "Enquiry", "Anfrage";
            begin_enquiry: "Begin an enquiry", "Anfrage beginnen";
            step_start: "Start the work", "Arbeit beginnen";
            step_parts: "Waits for parts", "Wartet auf Teile";
            step_read_found: "Read the heights as found", "Höhen im Anlieferzustand ablesen";
            step_fit: "Fit by the set-up sheet, then read", "Nach dem Einstellblatt einbauen, dann ablesen";
            step_correct: "See which collar is turned", "Sehen, welcher Versteller gedreht wird";
            step_read_again: "Read the heights again", "Höhen nochmals ablesen";
            step_hand_over: "Hand the van over", "Wagen übergeben";
            step_answer: "Answer and quote", "Antworten und anbieten";
            step_book: "Taken: book the job", "Angenommen: Termin buchen";
            step_decide: "Answered: ring for the decision", "Beantwortet: wegen der Entscheidung anrufen";
            search_hint: "Number plate, name, telephone or van", "Kennzeichen, Name, Telefon oder Wagen";
            found_nothing: "Nothing found.", "Nichts gefunden.";
            day_before: "Day before", "Tag davor";
            day_after: "Day after", "Tag danach";
            show_day: "Show", "Zeigen";
            first_free: "First free two hours:", "Die ersten freien zwei Stunden:";
            day_hint: "Each job is as long as it takes in nine of ten cases; the tick within it is its typical end. Hatched: a part is missing. Gaps: closed.", "Jeder Auftrag ist so lang, wie er in neun von zehn Fällen dauert; der Strich darin ist das übliche Ende. Schraffiert: Ein Teil fehlt. Lücken: geschlossen.";
            until_typical: "Until, typically", "Bis, üblich";
            until: "Until, nine in ten", "Bis, neun von zehn";
            plate_missing: "The number plate is missing: a job is booked for a van.", "Das Kennzeichen fehlt: Gebucht wird für einen Wagen.";
            booking: "Book a time", "Termin buchen";
            no_accepted_quote: "The customer has not taken an option yet: a time is booked from an accepted quote.", "Der Kunde hat noch keine Möglichkeit genommen: Gebucht wird aus einem angenommenen Angebot.";
            booked_already: "This quote is booked already.", "Dieses Angebot ist schon gebucht.";
            free_times: "Free times", "Freie Zeiten";
            free_times_hint: "As long as it takes in nine of ten cases, within opening hours, and not before the parts are there.", "So lang, wie es in neun von zehn Fällen dauert, innerhalb der Öffnungszeiten und nicht, bevor die Teile da sind.";
            another_time: "Another time", "Eine andere Zeit";
            no_free_time: "No ramp is free within the next 400 days.", "In den nächsten 400 Tagen ist keine Bühne frei.";
            in_stock: "in stock", "vorrätig";
            there_by: "there by", "da bis";
            not_known_when: "not known when", "unbekannt wann";
            parts_by: "All parts there by the evening of", "Alle Teile da bis zum Abend des";
            parts_by_hint: "Nobody has said when some of the parts come. A day is needed before a time can be offered.", "Von manchen Teilen ist nicht bekannt, wann sie kommen. Ein Tag wird gebraucht, bevor sich eine Zeit anbieten lässt.";
            not_before: "Not before", "Nicht vor";
            show_times: "Show free times", "Freie Zeiten zeigen";
            time_missing: "Choose a time, or give another.", "Wählen Sie eine Zeit oder geben Sie eine andere an.";
            no_calls: "Nobody is to be rung today.", "Heute ist niemand anzurufen.";
            why_rung: "Why", "Warum";
            due_since: "due since", "fällig seit";
            no_phone: "no telephone number", "keine Telefonnummer";
            call_quote: "Quote unanswered", "Angebot ohne Antwort";
            call_parts: "Parts arrived", "Teile sind da";
            call_retorque: "Tighten again", "Nachziehen";
            call_recheck: "Read heights again", "Nachkontrolle";
            call_sooner: "A ramp came free", "Bühne frei geworden";
            call_asked: "Asked to be rung", "Bat um Rückruf";
            call_done: "Done", "Erledigt";
            call_outcome: "What came of it", "Was dabei herauskam";
            ask_again: "Ask again", "Nochmals fragen";
            ask_again_on: "Ask again on", "Nochmals fragen am";
            outcome_missing: "Say what came of it.", "Sagen Sie, was dabei herauskam.";
            all_calls: "All", "Alle";
        }
    };
}
