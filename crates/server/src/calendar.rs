//! The diary as a calendar that other programs subscribe to (RFC 5545).

use axum::extract::{Path, State};
use axum::http::Request;
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use jiff::Timestamp;
use store::records::{Job, JobState, Van};
use store::{SecretPurpose, Stored};

use crate::app::App;
use crate::problem::{Handled, Problem};
use crate::secrets::digest;
use crate::sign_in::Tries;

const DAY_MS: i64 = 24 * 60 * 60 * 1000;
/// How far back and ahead a calendar shows.
const BACK_MS: i64 = 90 * DAY_MS;
const AHEAD_MS: i64 = 400 * DAY_MS;
/// Longest line, octets (RFC 5545, section 3.1).
const LONGEST_LINE: usize = 75;

/// `GET /calendar/{token}.ics`. Wrong addresses are counted like wrong passphrases.
pub(crate) async fn feed(
    State(app): State<App>,
    Path(feed): Path<String>,
    request: Request<axum::body::Body>,
) -> Handled<Response> {
    let address = crate::guard::address(request.extensions());
    let tries = Tries::allowed(&app, "(calendar)", &address).await?;
    let secret = feed.strip_suffix(".ics").unwrap_or_default();
    let now = app.now_ms();
    if app.store.use_secret(&digest(secret), SecretPurpose::CalendarFeed, now).await?.is_none() {
        tries.failed().await?;
        return Err(Problem::not_found((
            "there is no calendar at this address",
            "unter dieser Adresse ist kein Kalender",
        )));
    }
    let mut text = String::from("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Archgap//Diary//EN\r\n");
    for job in app.store.calendar(now - BACK_MS, now + AHEAD_MS).await? {
        let plate = app.store.get::<Van>(&job.body.van).await.map(|van| van.body.plate).unwrap_or_default();
        text += &event(&job, &plate);
    }
    text += "END:VCALENDAR\r\n";
    Ok(([(CONTENT_TYPE, "text/calendar; charset=utf-8")], text).into_response())
}

/// One job: its id stays the same for ever, its version counts changes.
fn event(job: &Stored<Job>, plate: &str) -> String {
    let Some(booking) = &job.body.booking else { return String::new() };
    let status = if job.body.state == JobState::Cancelled { "CANCELLED" } else { "CONFIRMED" };
    let lines = [
        "BEGIN:VEVENT".to_owned(),
        format!("UID:{}@archgap", job.id),
        format!("SEQUENCE:{}", job.version - 1),
        format!("DTSTAMP:{}", utc(job.updated_ms)),
        format!("DTSTART:{}", utc(booking.from_ms)),
        format!("DTEND:{}", utc(booking.to_ms)),
        format!("SUMMARY:{}", escaped(&format!("{} · {plate}", job.body.title))),
        format!("LOCATION:{}", escaped(&booking.ramp)),
        format!("STATUS:{status}"),
        "END:VEVENT".to_owned(),
    ];
    lines.iter().map(|line| folded(line)).collect()
}

fn utc(ms: i64) -> String {
    let time = Timestamp::from_millisecond(ms).unwrap_or(Timestamp::UNIX_EPOCH);
    time.strftime("%Y%m%dT%H%M%SZ").to_string()
}

/// RFC 5545, section 3.3.11. Control signs are left out.
fn escaped(text: &str) -> String {
    let signs = text.chars().filter(|c| !c.is_control() || *c == '\n').map(|c| match c {
        '\n' => "\\n".to_owned(),
        ';' | ',' | '\\' => format!("\\{c}"),
        other => other.to_string(),
    });
    signs.collect()
}

/// A line cut into pieces of at most 75 octets, never within a sign.
fn folded(line: &str) -> String {
    let (mut text, mut octets) = (String::new(), 0);
    for sign in line.chars() {
        if octets + sign.len_utf8() > LONGEST_LINE {
            text += "\r\n ";
            octets = 1;
        }
        text.push(sign);
        octets += sign.len_utf8();
    }
    text + "\r\n"
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// RFC 5545, section 3.3.11.
    #[test]
    fn val_text_is_escaped() {
        assert_eq!(escaped("a;b,c\\d\ne"), "a\\;b\\,c\\\\d\\ne");
    }

    proptest! {
        /// RFC 5545, section 3.1: unfolding takes out CRLF and one space.
        #[test]
        fn law_folding_keeps_the_line_and_stays_short(line in "[a-zäöü€🚐;,]{0,200}") {
            let text = folded(&line);
            prop_assert!(text.split("\r\n").all(|piece| piece.len() <= 75));
            prop_assert_eq!(text.replace("\r\n ", ""), format!("{line}\r\n"));
        }
    }
}
