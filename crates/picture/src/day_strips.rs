//! One day of the diary: a strip for each ramp along the clock.

use crate::svg::{Anchor, Canvas, Frame, Path, Said, shortened};
use crate::words::day_strips as words;

/// A day.
#[derive(Debug, Clone, PartialEq)]
pub struct DayStrips {
    /// From and to, minutes after local midnight.
    pub span_minutes: [f64; 2],
    /// Ramps, top to bottom.
    pub ramps: Vec<RampStrip>,
}

/// A ramp on that day.
#[derive(Debug, Clone, PartialEq)]
pub struct RampStrip {
    /// Its name.
    pub name: String,
    /// Opening hours, minutes after local midnight.
    pub open_minutes: Vec<[f64; 2]>,
    /// Jobs on it.
    pub jobs: Vec<DayJob>,
}

/// A job on a ramp, as long as it takes in nine of ten cases.
#[derive(Debug, Clone, PartialEq)]
pub struct DayJob {
    /// From, minutes after local midnight.
    pub from_minute: f64,
    /// To, minutes after local midnight.
    pub to_minute: f64,
    /// To when it takes typically, minutes after local midnight; absent where that is not known.
    pub typical_minute: Option<f64>,
    /// What is written on it.
    pub label: String,
    /// Where it leads.
    pub href: String,
    /// Whether a part it needs is not there yet: drawn hatched.
    pub lacks_parts: bool,
}

const TEXT: f64 = 22.0;
const WIDTH: f64 = 1320.0;
const LEFT: f64 = 266.0;
const TOP: f64 = 46.0;
const PITCH: f64 = 112.0;
const DEEP: f64 = 84.0;
/// Width of a letter.
const LETTER: f64 = 0.56 * TEXT;

/// Draws a day; hours in which the workshop is closed leave a gap in the strip.
pub fn day_strips(day: &DayStrips, frame: &Frame) -> String {
    let mut canvas = Canvas::new(*frame, TEXT);
    let [from, to] = day.span_minutes;
    let x =
        |minute: f64| LEFT + (WIDTH - LEFT - 44.0) * (minute.clamp(from, to) - from) / (to - from).max(1.0);
    let bottom = TOP + PITCH * day.ramps.len() as f64;
    let mut hour = (from / 60.0).ceil() * 60.0;
    while hour <= to {
        canvas.line("pict-thin", [x(hour), TOP - 8.0], [x(hour), bottom]);
        canvas.text("pict-small", [x(hour), TOP - 16.0], Anchor::Middle, &words::clock(hour));
        hour += 60.0;
    }
    for (n, ramp) in day.ramps.iter().enumerate() {
        let top = TOP + PITCH * n as f64;
        canvas.text("pict-head", [10.0, top + 0.6 * DEEP], Anchor::Start, &shortened(&ramp.name, 17));
        for [opens, closes] in &ramp.open_minutes {
            canvas.rect("pict-open", [x(*opens), top], [x(*closes) - x(*opens), DEEP], 0.0);
        }
        for job in &ramp.jobs {
            let typical = job.typical_minute.map(x);
            draw_job(&mut canvas, job, [x(job.from_minute), x(job.to_minute)], typical, top);
        }
    }
    let said = Said {
        title: words::title(frame.language).into(),
        description: words::description(frame.language, day),
    };
    canvas.finish_with_links("pict-day", [0.0, 0.0, WIDTH, bottom], &said)
}

fn draw_job(canvas: &mut Canvas, job: &DayJob, [left, right]: [f64; 2], typical: Option<f64>, top: f64) {
    let [corner, size] = [[left, top + 6.0], [right - left, DEEP - 12.0]];
    canvas.tells([job.from_minute, job.to_minute, job.typical_minute.unwrap_or(job.to_minute)]);
    canvas.link(&job.href, &job.label);
    canvas.rect("pict-tag", corner, size, 4.0);
    if job.lacks_parts {
        canvas.hatched("pict-edge", &Path::rect(corner, size));
    }
    if let Some(typical) = typical.filter(|typical| left < *typical && *typical < right) {
        // behind the words, from the lower edge of the bar
        canvas.line("pict-edge", [typical, corner[1] + 0.7 * size[1]], [typical, corner[1] + size[1]]);
    }
    let letters = ((size[0] - 16.0) / LETTER).max(1.0) as usize;
    let hours = format!("{}–{}", words::clock(job.from_minute), words::clock(job.to_minute));
    canvas.text("pict-haloed-text", [left + 8.0, top + 36.0], Anchor::Start, &shortened(&job.label, letters));
    canvas.text("pict-small", [left + 8.0, top + 64.0], Anchor::Start, &shortened(&hours, letters));
    canvas.end();
}

#[cfg(test)]
mod tests {
    use workshop::facts::Language;
    use workshop::units::Units;

    use super::*;

    fn drawn(job: DayJob) -> String {
        let ramp = RampStrip { name: "left".into(), open_minutes: vec![[480.0, 720.0]], jobs: vec![job] };
        let day = DayStrips { span_minutes: [420.0, 1080.0], ramps: vec![ramp] };
        day_strips(&day, &Frame { language: Language::English, units: Units::Metric, name: "day" })
    }

    fn job(label: &str) -> DayJob {
        let (from_minute, to_minute) = (480.0, 600.0);
        DayJob {
            from_minute,
            to_minute,
            label: label.into(),
            href: "/jobs/j".into(),
            lacks_parts: false,
            typical_minute: None,
        }
    }

    #[test]
    fn law_words_of_a_job_are_escaped_and_lead_to_it() {
        let svg = drawn(job("<script>"));
        assert!(!svg.contains("<script>") && svg.contains("href=\"/jobs/j\""), "{svg}");
        assert!(svg.contains("08:00–10:00"), "{svg}");
    }

    #[test]
    fn law_missing_parts_are_hatched_and_told() {
        let svg = drawn(DayJob { lacks_parts: true, ..job("QX1") });
        assert!(svg.contains("url(#day-hatch)") && svg.contains("(parts missing)"), "{svg}");
        assert!(!drawn(job("QX1")).contains("url(#day-hatch)"));
    }

    #[test]
    fn law_the_typical_end_is_a_tick_within_the_bar_and_told() {
        let ticks = |svg: &str| svg.matches("class=\"pict-edge\"").count();
        let plain = drawn(job("QX1"));
        let svg = drawn(DayJob { typical_minute: Some(555.0), ..job("QX1") });
        assert_eq!(ticks(&svg), ticks(&plain) + 1);
        assert!(svg.contains("(typically 09:15)") && !plain.contains("typically"), "{svg}");
        // an end beyond the bar, on another day perhaps, has no place in it
        assert_eq!(ticks(&drawn(DayJob { typical_minute: Some(700.0), ..job("QX1") })), ticks(&plain));
    }

    #[test]
    fn law_a_time_that_is_no_number_is_not_drawn() {
        assert!(drawn(DayJob { to_minute: f64::NAN, ..job("QX1") }).contains("cannot be drawn"));
    }
}
