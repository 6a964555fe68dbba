//! Words of jobs and their papers.

macro_rules! job {
    ([$next:ident $($then:ident)*] $($before:tt)*) => {
        $next! {
            [$($then)*] $($before)*
            part: "Part", "Teil";
            aimed_at: "aimed at", "Ziel";
            rests_between: "rests between", "ruht zwischen";
            datum: "collars are measured", "Versteller messen";
            usable: "usable", "nutzbar";
            thread_pitch: "one turn", "eine Umdrehung";
            arch_per_turn: "both collars one turn move the arch by", "beide Versteller eine Umdrehung bewegen den Radlauf um";
            further_settings: "What else is set, and what to know", "Was noch eingestellt wird und zu wissen ist";
            open_sheet: "Open the set-up sheet", "Einstellblatt öffnen";
            turned: "Turned", "Gedreht";
            left: "left as it was", "so gelassen";
            expected_then: "Expected then", "Dann erwartet";
            read_next: "Read next", "Danach gelesen";
            what_came: "What came of it", "Was daraus wurde";
            not_read_yet: "not read yet", "noch nicht gelesen";
            within_range: "within the range", "im Bereich";
            beyond_range: "beyond the range", "außerhalb des Bereichs";
            booked: "booked", "gebucht";
            on_the_ramp: "on the ramp", "auf der Bühne";
            waiting_for_parts: "waiting for parts", "wartet auf Teile";
            older: "Older jobs", "Ältere Aufträge";
            to_be_done: "What is to be done", "Was zu tun ist";
            part_there: "there", "da";
            part_missing: "missing", "fehlt";
            set_up_sheet: "Set-up sheet", "Einstellblatt";
            revision: "Revision", "Ausgabe";
            no_sheet: "No set-up sheet was issued.", "Es wurde kein Einstellblatt ausgegeben.";
            corner: "Corner", "Ecke";
            stands_from_datum: "From the datum", "Vom Bezug";
            reads_on_ramp: "To be read", "Abzulesen";
            from_datum: "From the datum, mm", "Vom Bezug, mm";
            turns: "Turns from delivered, up positive", "Umdrehungen ab Lieferung, hinauf positiv";
            to_be_read: "To be read, mm", "Abzulesen, mm";
            readings: "Readings", "Ablesungen";
            start: "Start work", "Arbeit beginnen";
            let_wait: "Let it wait for parts", "Auf Teile warten lassen";
            parts_arrived: "Parts arrived", "Teile sind da";
            cancel_job: "Cancel the job", "Auftrag absagen";
            move_job: "Move to another time", "Auf eine andere Zeit legen";
            all_arrived: "All parts arrived", "Alle Teile sind da";
            expected_on: "expected", "erwartet";
            come_sooner: "Would come sooner", "Käme früher";
            come_sooner_hint: "Is rung as soon as a ramp comes free", "Wird angerufen, sobald eine Bühne frei wird";
            further_deeds: "Move, wait, cancel", "Verlegen, warten, absagen";
            day_from: "From day", "Ab Tag";
            day_until: "Until day", "Bis Tag";
            show_jobs: "Show", "Zeigen";
            stage_as_found: "As found, before any work", "Im Anlieferzustand, vor der Arbeit";
            stage_after_fitting: "After fitting", "Nach dem Einbau";
            stage_after_correction: "After a correction", "Nach einer Korrektur";
            stage_re_check: "At the re-check", "Bei der Nachkontrolle";
        }
    };
}
