//! Words of the load list and the plan.

macro_rules! loads {
    ([$next:ident $($then:ident)*] $($before:tt)*) => {
        $next! {
            [$($then)*] $($before)*
            load_list: "What it carries", "Was er trägt";
            load_list_hint: "Move an item on the plan by hand or with the arrow keys, or type its place. What stands in several load states is ticked in each.", "Auf dem Plan mit der Hand oder den Pfeiltasten schieben oder den Ort eintippen. Was in mehreren Beladungen an Bord ist, wird in jeder angekreuzt.";
            plan: "The van from above", "Der Wagen von oben";
            what_stands_where: "What stands on axles and wheels", "Was auf Achsen und Rädern steht";
            load_kg: "Load, kg", "Last, kg";
            plate_kg: "Plate, kg", "Zulässig, kg";
            left_kg: "Left, kg", "Frei, kg";
            gross: "Gross", "Gesamt";
            evidence: "Evidence", "Herkunft";
            centre_of_gravity: "Centre of gravity", "Schwerpunkt";
            scales_said: "What the scales said", "Was die Waage sagte";
            over_plate: "STOP: over the plate", "HALT: über der Zulassung";
            may_be_over: "may be over: weigh", "kann drüber sein: wiegen";
            mass_kg: "Mass, kg", "Masse, kg";
            plus_minus_kg: "±, kg", "±, kg";
            behind_mm: "Behind front axle, mm", "Hinter Vorderachse, mm";
            left_mm: "Left of centre, mm", "Links der Mitte, mm";
            above_mm: "Above ground, mm", "Über Boden, mm";
            take_out: "Take out", "Streichen";
            new_item: "One more", "Noch etwas";
            own_item: "Not on our list", "Nicht auf unserer Liste";
            or_name: "or named", "oder mit Namen";
            comes_with: "Comes with the furnishing or trailer, aboard", "Gehört zu Ausbau oder Anhänger, an Bord";
            aboard: "aboard", "an Bord";
            aboard_nowhere: "Tick at least one load state.", "Mindestens eine Beladung ankreuzen.";
            item_or_name: "Choose an item of the list or name it.", "Etwas von der Liste wählen oder benennen.";
            item_gone: "This item was taken out meanwhile.", "Das wurde inzwischen gestrichen.";
            scales: "Scales", "Waage";
            scales_hint: "Both axles or all four corners, with what was in the van. Readings narrow every range.", "Beide Achsen oder alle vier Ecken, und was im Wagen war. Gewogenes verengt jeden Bereich.";
            scales_whole: "Enter both axles, or all four corners, not a part of both.", "Beide Achsen oder alle vier Ecken eintragen, nicht einen Teil von beidem.";
            moves_by_keys_inches: "Arrow keys move it by half an inch, with Shift by five", "Pfeiltasten schieben um einen halben Zoll, mit Umschalt um fünf";
            moves_by_keys: "Arrow keys move it by 10 mm, with Shift by 100 mm", "Pfeiltasten schieben um 10 mm, mit Umschalt um 100 mm";
        }
    };
}
