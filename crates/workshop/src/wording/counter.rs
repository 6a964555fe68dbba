//! The counter: what is said of a time that is taken, and to a customer who is rung.

use crate::facts::Language;

/// Where a figure of a kept answer comes from, by its name in JSON; the name itself where it is none of ours.
pub fn evidence_named(language: Language, name: &str) -> &str {
    use crate::figure::Evidence as E;
    let evidence = match name {
        "measured" => E::Measured,
        "plate" => E::Plate,
        "makers_figure" => E::MakersFigure,
        "estimated" => E::Estimated,
        "computed" => E::Computed,
        other => return other,
    };
    super::evidence(language, evidence)
}

/// A ramp is held by another job: which one, and from when to when.
pub fn ramp_taken(language: Language, ramp: &str, job: &str, from: &str, until: &str) -> String {
    language.pick(
        format!("{ramp} is held by {job} from {from} until {until}."),
        format!("{ramp} ist belegt durch {job}, von {from} bis {until}."),
    )
}

/// The workshop is closed at a time.
pub fn closed_then(language: Language, at: &str) -> String {
    language.pick(
        format!("The workshop is closed on {at}, or not open for long enough after it."),
        format!("Die Werkstatt ist am {at} geschlossen oder danach nicht lange genug offen."),
    )
}

/// A job would begin before a part is there.
pub fn part_not_there(language: Language, part: &str) -> String {
    language.pick(
        format!("{part} is not there by then, as far as is known."),
        format!("{part} ist bis dahin nicht da, soweit bekannt."),
    )
}

/// The next time at which a ramp is free for a job.
pub fn next_free(language: Language, ramp: &str, from: &str) -> String {
    language.pick(
        format!("The next free time is {from}, {ramp}."),
        format!("Die nächste freie Zeit ist {from}, {ramp}."),
    )
}

/// What is said about a quote without an answer: its options with their totals, and how long it holds or held.
pub fn ring_about_quote(language: Language, options: &[String], valid_until: &str, ran_out: bool) -> String {
    if ran_out {
        return language.pick(
            format!(
                "You had our quote: {}. It held until {valid_until}. Are you still thinking of it? Then we work it out again for today.",
                options.join(" or ")
            ),
            format!(
                "Sie hatten unser Angebot: {}. Es galt bis {valid_until}. Denken Sie noch daran? Dann rechnen wir es für heute neu.",
                options.join(" oder ")
            ),
        );
    }
    language.pick(
        format!(
            "You have our quote: {}. It holds until {valid_until}. Have you made up your mind?",
            options.join(" or ")
        ),
        format!(
            "Sie haben unser Angebot: {}. Es gilt bis {valid_until}. Haben Sie sich entschieden?",
            options.join(" oder ")
        ),
    )
}

/// What is said when all parts of a job are there; the next free time where there is one.
pub fn ring_parts_there(language: Language, job: &str, free: Option<&str>) -> String {
    let first = language.pick(
        format!("All parts for your job are there: {job}."),
        format!("Alle Teile für Ihren Auftrag sind da: {job}."),
    );
    offered(language, first, free)
}

/// What is said when fasteners are to be tightened again.
pub fn ring_retorque(language: Language, job: &str, free: Option<&str>) -> String {
    let first = language.pick(
        format!(
            "After fitting ({job}) the fasteners are to be tightened again, as the maker asks. Until then go easy on it, and stop if you hear or feel anything new."
        ),
        format!(
            "Nach dem Einbau ({job}) sind die Verschraubungen nachzuziehen, wie der Hersteller es verlangt. Bis dahin bitte behutsam fahren und anhalten, wenn etwas Neues zu hören oder zu spüren ist."
        ),
    );
    offered(language, first, free)
}

/// What is said when heights are to be read again.
pub fn ring_recheck(language: Language, job: &str, free: Option<&str>) -> String {
    let first = language.pick(
        format!("The springs have settled by now ({job}): we should read the heights again."),
        format!(
            "Die Federn haben sich inzwischen gesetzt ({job}): Wir sollten die Höhen noch einmal messen."
        ),
    );
    offered(language, first, free)
}

/// What is said to someone who would come sooner, once a ramp came free.
pub fn ring_ramp_free(language: Language, job: &str, booked: &str, free: Option<&str>) -> String {
    let first = language.pick(
        format!("A ramp came free. You are booked for {booked} ({job}) and wanted to come sooner."),
        format!(
            "Eine Bühne ist frei geworden. Sie sind gebucht für {booked} ({job}) und wollten früher kommen."
        ),
    );
    offered(language, first, free)
}

fn offered(language: Language, first: String, free: Option<&str>) -> String {
    let Some(free) = free else { return first };
    let offer = language.pick(
        format!("We could take it on {free}. Would that suit you?"),
        format!("Wir hätten Zeit am {free}. Würde Ihnen das passen?"),
    );
    format!("{first} {offer}")
}
