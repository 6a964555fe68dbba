//! Words of sales by post.

macro_rules! postal {
    ([$next:ident $($then:ident)*] $($before:tt)*) => {
        $next! {
            [$($then)*] $($before)*
            heights_as_measured: "Heights as measured", "Gemessene Höhen";
            postal_intro: "You fitted this kit for the workshop that sold it. Measure from the wheel centre straight up to the lip of the arch, on level ground. Usual cautions for work on springs hold; the maker's instructions come first.", "Sie haben diesen Satz für die Werkstatt eingebaut, die ihn verkauft hat. Messen Sie von der Radmitte senkrecht hinauf zur Kante des Radlaufs, auf ebenem Boden. Es gelten die üblichen Vorsichten bei Arbeiten an Federn; die Anleitung des Herstellers geht vor.";
            your_workshop: "Your workshop", "Ihre Werkstatt";
            measured_in: "Measured in", "Gemessen in";
            measured_in_hint: "For every figure below that stands without a unit; 17 1/2 in and 44,5 cm are read too.", "Für jede Zahl unten, die ohne Einheit steht; auch 17 1/2 Zoll und 44,5 cm werden gelesen.";
            millimetres: "millimetres", "Millimetern";
            inches: "inches", "Zoll";
            heights_before: "Before any work", "Vor der Arbeit";
            heights_before_hint: "Leave all four empty if they were not measured.", "Lassen Sie alle vier leer, wenn nicht gemessen wurde.";
            heights_after: "After fitting", "Nach dem Einbau";
            heights_after_hint: "All four are needed.", "Alle vier werden gebraucht.";
            heights_again: "After fitting, measured a second time", "Nach dem Einbau, ein zweites Mal gemessen";
            heights_again_hint: "Roll and bounce the van once more before it. Leave empty if measured once.", "Rollen und wippen Sie den Wagen davor noch einmal. Leer lassen, wenn einmal gemessen wurde.";
            collars: "Collars, from the kit's datum", "Gewinderinge, vom Bezug des Satzes";
            collars_hint: "Only where the kit has collars.", "Nur wo der Satz Gewinderinge hat.";
            send_heights: "Send the heights", "Höhen senden";
            see_below: "Nothing was sent yet: see what is marked below.", "Es wurde noch nichts gesandt: Sehen Sie, was unten markiert ist.";
            name_missing: "Missing: the name of your workshop", "Fehlt: der Name Ihrer Werkstatt";
            text_wrong: "Shorter, please: at most 200 characters for a name, 4000 for notes", "Bitte kürzer: höchstens 200 Zeichen für einen Namen, 4000 für Anmerkungen";
            settled_missing: "Choose one", "Wählen Sie eines";
            heights_arrived: "Thank you, the heights arrived", "Danke, die Höhen sind angekommen";
            heights_arrived_more: "Open the link again to send another reading.", "Öffnen Sie den Link noch einmal, um eine weitere Messung zu senden.";
        }
    };
}
