//! Words of what is read and set: on the ramp and on the bench.

macro_rules! ramp {
    ([$next:ident $($then:ident)*] $($before:tt)*) => {
        $next! {
            [$($then)*] $($before)*
            reading_n: "Reading", "Messung";
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
            where_collars: "Where do the collars stand now?", "Wo stehen die Versteller jetzt?";
            where_collars_hint: "From the datum of the set-up sheet, up the thread positive; not asked for heights as found. What is known stands in the boxes already. Leave a box empty where it is not known: then no turn is named, for it could be the wrong one.", "Vom Bezug des Einstellblatts, das Gewinde hinauf positiv; bei Höhen im Anlieferzustand nicht gefragt. Bekanntes steht schon in den Feldern. Ein Feld leer lassen, wo es nicht bekannt ist: Dann wird keine Drehung genannt, denn sie könnte falsch sein.";
            collars_given_in: "What is typed here counts as", "Was hier eingetragen wird, sind";
            in_inches: "inches from the datum", "Zoll ab Bezug";
            in_mm: "mm from the datum", "mm ab Bezug";
            in_turns: "turns from delivered", "Umdrehungen ab Lieferung";
            sheet_sets: "the sheet sets", "laut Blatt";
            turns_not_told: "This sheet does not say the thread's pitch: give millimetres from the datum.", "Dieses Blatt nennt die Steigung nicht: Geben Sie Millimeter ab Bezug an.";
            collars_stood: "Collars as they stood, from the datum", "Versteller, wie sie standen, ab Bezug";
            turned_so: "Turned so: keep it", "So gedreht: behalten";
            left_so: "Left so: keep it", "So gelassen: behalten";
            correction_kept: "This correction is kept. Settle the van again and read the heights: the next reading shows what came of it.", "Diese Korrektur ist behalten. Den Wagen wieder setzen lassen und die Höhen ablesen: Die nächste Ablesung zeigt, was daraus wurde.";
            ramp_heights_hint: "Wheel centre to arch lip, straight up, on level ground. The van is seen from above: the front is on top, its left on the left.", "Radmitte bis Radlaufkante, senkrecht, auf ebenem Boden. Der Wagen von oben: vorn ist oben, seine linke Seite links.";
            expected: "expected", "erwartet";
            last_read: "last read", "zuletzt";
            when_read: "When is this?", "Wann ist das?";
            bushes: "Were rubber bushes clamped anew at ride height?", "Wurden Gummilager auf Fahrhöhe neu geklemmt?";
            load_listed: "Is in it what the set-up sheet expects, and nothing else?", "Ist darin, was das Einstellblatt erwartet, und sonst nichts?";
            yes: "Yes", "Ja";
            no: "No", "Nein";
            keep_heights: "Keep the heights", "Höhen behalten";
            reading_kept: "Kept; a later reading is added beside it.", "Behalten; eine spätere Ablesung kommt daneben.";
            look_first: "Look at this first", "Zuerst ansehen";
            no_correction_yet: "Heights as found are kept for the van; a correction is made from heights after fitting.", "Höhen im Anlieferzustand werden beim Wagen behalten; korrigiert wird nach Höhen nach dem Einbau.";
        }
    };
}
