//! The readings of a job in turn: what was read, what was done from it, and what came of that.

use jiff::tz::TimeZone;
use serde_json::Value;
use store::records::{Correction, HeightsStage, RampRecord};
use store::{Id, Kind, Stored};
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::wording::{corner, fixed, signed, with_range};

use super::diary::moment;
use super::jobs::stage_words;
use super::words::PageWords;
use crate::app::App;
use crate::as_issued::{figure, of_corner, picture_of_correction, turning};
use crate::problem::Handled;

/// One reading.
pub(super) struct Reading {
    pub(super) id: Id,
    pub(super) stage: &'static str,
    pub(super) when: String,
    /// Arch heights, the mean where there are several, in corner order.
    pub(super) heights: Vec<(&'static str, String)>,
    /// The correction that was kept from it.
    pub(super) correction: Option<Followed>,
}

/// A correction and what the next reading showed.
pub(super) struct Followed {
    pub(super) leaves: bool,
    pub(super) rows: Vec<FollowedRow>,
}

/// The same at one corner, in words.
pub(super) struct FollowedRow {
    pub(super) corner: &'static str,
    pub(super) turned: String,
    pub(super) expected: String,
    /// What was read next; nothing yet where no reading follows.
    pub(super) read: String,
    pub(super) came: String,
}

/// All readings of a job, oldest first.
pub(super) async fn readings(
    app: &App,
    job: &Id,
    zone: &TimeZone,
    w: &PageWords,
    language: Language,
) -> Handled<Vec<Reading>> {
    let records = app.store.naming::<RampRecord>(Kind::Job, job).await?;
    let corrections = app.store.naming::<Correction>(Kind::Job, job).await?;
    let reading = |(at, record): (usize, &Stored<RampRecord>)| {
        let kept = corrections.iter().rfind(|kept| kept.body.ramp_record == record.id);
        let next = records[at + 1..].iter().find(|next| next.body.stage != HeightsStage::AsFound);
        let next = next.and_then(|next| mean_mm(&next.body));
        let mm = |mm: f64| format!("{} mm", fixed(language, mm, 1));
        let heights = mean_mm(&record.body)
            .map(|heights| std::array::from_fn(|n| (corner(language, n), mm(heights[n]))));
        Reading {
            id: record.id.clone(),
            stage: stage_words(w, record.body.stage),
            when: moment(zone, record.updated_ms, language),
            heights: heights.map(|heights: [_; 4]| heights.into()).unwrap_or_default(),
            correction: kept.and_then(|kept| followed(&kept.body.content, next, w, language)),
        }
    };
    Ok(records.iter().enumerate().map(reading).collect())
}

fn mean_mm(record: &RampRecord) -> Option<[f64; 4]> {
    let readings = &record.readings_mm;
    let mean = |n: usize| readings.iter().map(|read| read[n]).sum::<f64>() / readings.len() as f64;
    (!readings.is_empty()).then(|| std::array::from_fn(mean))
}

fn followed(content: &Value, next: Option<[f64; 4]>, w: &PageWords, language: Language) -> Option<Followed> {
    let (_, turning) = turning(content)?;
    let drawn = picture_of_correction(content)?;
    let row = |n: usize| {
        let expected = figure(&of_corner(turning, "corners", n)["expected_arch_height_mm"]);
        let read = next.map(|next| next[n]);
        FollowedRow {
            corner: corner(language, n),
            turned: drawn.corners[n].turn.map(|turn| turned(language, &turn)).unwrap_or_default(),
            expected: expected
                .as_ref()
                .map(|figure| with_range(language, figure, "mm", 0))
                .unwrap_or_default(),
            read: read.map(|read| format!("{} mm", fixed(language, read, 1))).unwrap_or_default(),
            came: expected
                .zip(read)
                .map(|(expected, read)| came_of(&expected, read, w, language))
                .unwrap_or_default(),
        }
    };
    let leaves = drawn.task == picture::CollarTask::LeaveIt;
    Some(Followed { leaves, rows: (0..4).map(row).collect() })
}

fn turned(language: Language, turn: &picture::Turn) -> String {
    let (words, at) = (picture::turn_words(language, turn), fixed(language, turn.position_mm, 1));
    format!("{words} → {at} mm")
}

/// Within the range that was told, or by how much beyond it.
fn came_of(expected: &Figure, read: f64, w: &PageWords, language: Language) -> String {
    let beyond = if read < expected.low { read - expected.low } else { (read - expected.high).max(0.0) };
    if beyond == 0.0 {
        w.within_range.to_owned()
    } else {
        format!("{} mm {}", signed(language, beyond, 1), w.beyond_range)
    }
}
