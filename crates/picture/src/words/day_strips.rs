//! The day along the clock.

use workshop::facts::Language;

use crate::day_strips::DayStrips;

/// A time of day.
pub(crate) fn clock(minute: f64) -> String {
    let minute = minute.round();
    format!("{:02}:{:02}", (minute / 60.0).floor(), minute % 60.0)
}

/// What is drawn, in a line.
pub(crate) fn title(language: Language) -> &'static str {
    language.pick("The ramps along the clock", "Die Bühnen entlang der Uhr")
}

/// What is drawn, in words.
pub(crate) fn description(language: Language, day: &DayStrips) -> String {
    let ramps = day.ramps.iter().map(|ramp| {
        let jobs = ramp.jobs.iter().map(|job| {
            let lacks = if job.lacks_parts { lacks_parts(language) } else { "" };
            let typical = job.typical_minute.map_or_else(String::new, |minute| typically(language, minute));
            format!("{}–{} {typical}{} {lacks}", clock(job.from_minute), clock(job.to_minute), job.label)
        });
        let jobs: Vec<String> = jobs.collect();
        let jobs = if jobs.is_empty() { language.pick("free", "frei").to_owned() } else { jobs.join("; ") };
        format!("{}: {jobs}.", ramp.name)
    });
    ramps.collect::<Vec<_>>().join(" ")
}

/// When a job is done typically, before its end in nine of ten cases.
fn typically(language: Language, minute: f64) -> String {
    let at = clock(minute);
    language.pick(format!("(typically {at}) "), format!("(üblich {at}) "))
}

/// Of a job whose parts are not all there.
pub(crate) fn lacks_parts(language: Language) -> &'static str {
    language.pick("(parts missing)", "(Teile fehlen)")
}
