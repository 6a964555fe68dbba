//! Set-up sheets and corrections as they were issued: collars, turns and heights, read back from what is kept.

use picture::{CollarCorner, CollarPicture, CollarTask, Turn};
use serde_json::Value;
use workshop::belief::CORNER_WORDS;
use workshop::figure::{Evidence, Figure};
use workshop::wording::Adjuster;

/// A collar as a set-up sheet sets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SheetCollar {
    /// From the datum, mm.
    pub(crate) position_mm: f64,
    /// From where it was delivered, up positive.
    turns: f64,
    /// Thread pitch, mm per turn; a sheet of an older program has none.
    pitch_mm: Option<f64>,
    /// Usable positions, mm; likewise.
    pub(crate) range_mm: Option<[f64; 2]>,
}

impl SheetCollar {
    /// Where it stands after so many turns from where it was delivered, mm.
    pub(crate) fn after_turns_mm(&self, turns: f64) -> Option<f64> {
        Some(self.position_mm + (turns - self.turns) * self.pitch_mm?)
    }
}

/// The entry of a corner in a list of a kept paper.
pub(crate) fn of_corner<'a>(content: &'a Value, list: &str, corner: usize) -> &'a Value {
    let entries = content[list].as_array();
    let found = entries.and_then(|all| all.iter().find(|entry| entry["corner"] == CORNER_WORDS[corner]));
    found.unwrap_or(&Value::Null)
}

/// Collars of a set-up sheet, in corner order; none where the sheet sets none.
pub(crate) fn sheet_collars(content: &Value) -> [Option<SheetCollar>; 4] {
    std::array::from_fn(|corner| {
        let collar = of_corner(content, "collars", corner);
        let end = |n: usize| collar["range_mm"][n].as_f64();
        Some(SheetCollar {
            position_mm: collar["position_mm"].as_f64()?,
            turns: collar["turns_from_delivered"].as_f64().unwrap_or(0.0),
            pitch_mm: collar["thread_pitch_mm"].as_f64(),
            range_mm: end(0).zip(end(1)).map(|(low, high)| [low, high]),
        })
    })
}

/// What is turned and what is read then, of a correction that turns collars or leaves them.
pub(crate) fn turning(content: &Value) -> Option<(CollarTask, &Value)> {
    [("turn", CollarTask::Turn), ("leave_it", CollarTask::LeaveIt)]
        .into_iter()
        .find_map(|(name, task)| content.get(name).map(|turning| (task, turning)))
}

/// Where the collars stand after a correction, mm from the datum.
pub(crate) fn corrected_mm(content: &Value) -> [Option<f64>; 4] {
    let turning = turning(content).map_or(&Value::Null, |(_, turning)| turning);
    std::array::from_fn(|corner| of_corner(turning, "collars", corner)["new_position_mm"].as_f64())
}

/// A figure with its range.
pub(crate) fn figure(kept: &Value) -> Option<Figure> {
    let part = |name: &str| kept[name].as_f64();
    let (value, low, high) = (part("value")?, part("low")?, part("high")?);
    Some(Figure { value, low, high, evidence: Evidence::Computed, widened_by: Vec::new() })
}

fn turn(collar: &Value, turns: &str, position: &str) -> Option<Turn> {
    let adjuster =
        if collar["adjuster"] == "adjusting_bolt" { Adjuster::AdjustingBolt } else { Adjuster::Collar };
    Some(Turn { adjuster, turns: collar[turns].as_f64()?, position_mm: collar[position].as_f64()? })
}

/// The picture of a set-up sheet.
pub(crate) fn picture_of_sheet(content: &Value) -> CollarPicture {
    let corners = std::array::from_fn(|k| CollarCorner {
        turn: turn(of_corner(content, "collars", k), "turns_from_delivered", "position_mm"),
        expected_mm: figure(&of_corner(content, "on_the_ramp", k)["arch_height_mm"]),
        ..CollarCorner::default()
    });
    let limits = content["limits"].as_array().map_or(&[][..], Vec::as_slice);
    let anew = limits.iter().any(|limit| limit["kind"] == "set_anew");
    let kit = content["kit"].as_str().unwrap_or_default().to_owned();
    CollarPicture { kit, task: if anew { CollarTask::SetAnew } else { CollarTask::Set }, corners }
}

/// The picture of a correction that was kept; none of one that turns nothing.
pub(crate) fn picture_of_correction(content: &Value) -> Option<CollarPicture> {
    let (task, turning) = turning(content)?;
    let corners = std::array::from_fn(|k| CollarCorner {
        turn: turn(of_corner(turning, "collars", k), "turns", "new_position_mm"),
        read_mm: of_corner(turning, "corners", k)["read_arch_height_mm"].as_f64(),
        expected_mm: figure(&of_corner(turning, "corners", k)["expected_arch_height_mm"]),
        off_mm: None,
    });
    Some(CollarPicture { kit: content["kit"].as_str().unwrap_or_default().to_owned(), task, corners })
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn regress_collars_stand_where_the_sheet_sets_them_not_as_delivered() {
        let content = json!({ "collars": [{ "corner": CORNER_WORDS[2], "position_mm": 12.5,
            "turns_from_delivered": -1.5, "thread_pitch_mm": 2.0, "range_mm": [0.0, 40.0] }] });
        let collars = sheet_collars(&content);
        assert_eq!(collars.map(|collar| collar.map(|c| c.position_mm)), [None, None, Some(12.5), None]);
        // delivered at 15.5 mm, so one turn up from there is 17.5 mm
        assert_eq!(collars[2].and_then(|collar| collar.after_turns_mm(1.0)), Some(17.5));
        assert_eq!(sheet_collars(&Value::Null), [None; 4]);
    }

    #[test]
    fn law_a_kept_correction_is_drawn_as_it_was_told_and_one_that_turns_nothing_is_not() {
        let corner = CORNER_WORDS[0];
        let content = json!({ "kit": "k", "turn": {
            "collars": [{ "corner": corner, "adjuster": "collar", "turns": 1.5, "new_position_mm": 20.0 }],
            "corners": [{ "corner": corner, "read_arch_height_mm": 400.0,
                "expected_arch_height_mm": { "value": 403.0, "low": 401.0, "high": 405.0 } }] } });
        let drawn = picture_of_correction(&content).unwrap_or_else(|| panic!("nothing drawn"));
        assert_eq!(drawn.task, CollarTask::Turn);
        assert_eq!(drawn.corners[0].turn.map(|turn| (turn.turns, turn.position_mm)), Some((1.5, 20.0)));
        assert_eq!(drawn.corners[0].expected_mm.as_ref().map(|figure| figure.high), Some(405.0));
        assert_eq!(drawn.corners[1], CollarCorner::default());
        assert_eq!(corrected_mm(&content), [Some(20.0), None, None, None]);
        assert_eq!(picture_of_correction(&json!({ "kit": "k", "does_not_fit": {} })), None);
    }
}
