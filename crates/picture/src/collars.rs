//! Which collar to turn, which way and how far, seen from above.

use mechanics::statics::side_of;
use workshop::answer::Remark;
use workshop::belief::CORNER_WORDS;
use workshop::correction::{Correction, CorrectionOutcome, Turning};
use workshop::facts::{Language, Words};
use workshop::figure::Figure;
use workshop::set_up::SetUp;
use workshop::wording::{Adjuster, Manner, Meaning, Said as Spoken};

use crate::svg::{Anchor, Canvas, Frame, Path, Point, Said, wrapped};
use crate::words::collars as words;

/// What the picture of collars shows.
#[derive(Debug, Clone, PartialEq)]
pub struct CollarPicture {
    /// Kit.
    pub kit: String,
    /// What is to be done.
    pub task: CollarTask,
    /// Front left, front right, rear left, rear right.
    pub corners: [CollarCorner; 4],
}

/// What is to be done.
#[derive(Debug, Clone, PartialEq)]
pub enum CollarTask {
    /// Set the collars of a new kit on the bench; turns count from where they were delivered.
    Set,
    /// Set what is fitted already; turns count from where the collars are.
    SetAnew,
    /// Turn collars.
    Turn,
    /// Another turn is not worth making.
    LeaveIt,
    /// No collar is turned from these readings, and why.
    TurnNothing(Vec<Words>),
}

/// One corner.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CollarCorner {
    /// What is turned there and how; absent where nothing can be.
    pub turn: Option<Turn>,
    /// Arch height as read, mm.
    pub read_mm: Option<f64>,
    /// Arch height to be read afterwards, mm.
    pub expected_mm: Option<Figure>,
    /// Read less expected where the readings do not fit, mm.
    pub off_mm: Option<f64>,
}

/// How one collar is turned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// Collar, or bolt of a torsion bar.
    pub adjuster: Adjuster,
    /// Turns, up positive.
    pub turns: f64,
    /// Position from the datum afterwards, mm.
    pub position_mm: f64,
}

/// How one collar is turned, in words: how far and which way.
pub fn turn_words(language: Language, turn: &Turn) -> String {
    let turns = words::turns(language, turn.turns);
    if turn.turns.abs() < NO_TURN {
        return turns;
    }
    format!("{turns} {}", words::way(language, turn))
}

fn corner_index(name: &str) -> usize {
    CORNER_WORDS.iter().position(|corner| *corner == name).unwrap_or(0)
}

impl CollarPicture {
    /// Of the answer to a ramp record.
    pub fn of(correction: &Correction) -> Self {
        let spoken = |said: &dyn Spoken| Words::of(|language| said.words(language));
        let (task, corners) = match &correction.outcome {
            CorrectionOutcome::Turn(turning) => (CollarTask::Turn, turned(turning)),
            CorrectionOutcome::LeaveIt(turning) => (CollarTask::LeaveIt, turned(turning)),
            CorrectionOutcome::NotCorrectedFrom(refusals) => {
                let reasons = refusals.iter().map(|refusal| spoken(refusal)).collect();
                (CollarTask::TurnNothing(reasons), Default::default())
            }
            CorrectionOutcome::DoesNotFit(misfit) => {
                let corners = misfit.read_less_expected_mm;
                let corner = |off_mm| CollarCorner { off_mm: Some(off_mm), ..CollarCorner::default() };
                let reasons = misfit.may_be.iter().map(|suspicion| spoken(suspicion)).collect();
                (CollarTask::TurnNothing(reasons), corners.map(corner))
            }
        };
        Self { kit: correction.kit.clone(), task, corners }
    }

    /// Of a first set-up on the bench, and what to read on the ramp.
    pub fn of_set_up(set_up: &SetUp) -> Self {
        let mut corners: [CollarCorner; 4] = Default::default();
        for collar in &set_up.collars {
            corners[corner_index(collar.corner)].turn = Some(Turn {
                adjuster: collar.adjuster,
                turns: collar.turns_from_delivered,
                position_mm: collar.position_mm,
            });
        }
        for reading in &set_up.on_the_ramp {
            corners[corner_index(reading.corner)].expected_mm = Some(reading.arch_height_mm.clone());
        }
        let anew = |remark: &Remark| matches!(remark.meaning, Meaning::SetAnew);
        let task = if set_up.limits.iter().any(anew) { CollarTask::SetAnew } else { CollarTask::Set };
        Self { kit: set_up.kit.clone(), task, corners }
    }
}

fn turned(turning: &Turning) -> [CollarCorner; 4] {
    let mut corners: [CollarCorner; 4] = Default::default();
    for collar in &turning.collars {
        let (adjuster, turns, position_mm) = (collar.adjuster, collar.turns, collar.new_position_mm);
        corners[corner_index(collar.corner)].turn = Some(Turn { adjuster, turns, position_mm });
    }
    for corner in &turning.corners {
        let at = &mut corners[corner_index(corner.corner)];
        at.read_mm = Some(corner.read_arch_height_mm);
        at.expected_mm = Some(corner.expected_arch_height_mm.clone());
    }
    corners
}

const TEXT: f64 = 27.0;
const WIDTH: f64 = 1500.0;
/// Most letters of a line below the van.
const LETTERS: usize = 96;
/// Height of the nose, of both axles and of the tail in the drawing.
const NOSE: f64 = 92.0;
const AXLES: [f64; 2] = [285.0, 655.0];
const TAIL: f64 = 830.0;
/// Half the width of the van, and from where figures stand beside it.
const HALF: f64 = 158.0;
const BESIDE: f64 = 318.0;
/// Turns smaller than this are none.
const NO_TURN: f64 = 0.01;

/// Draws the van from above, nose up, with what is to be turned at each corner.
pub fn collars(picture: &CollarPicture, frame: &Frame) -> String {
    let mut canvas = Canvas::new(*frame, TEXT);
    let corners = || picture.corners.iter();
    canvas.tells_figures(corners().filter_map(|corner| corner.expected_mm.as_ref()));
    canvas.tells(corners().flat_map(|corner| [corner.read_mm, corner.off_mm].into_iter().flatten()));
    canvas.tells(corners().filter_map(|corner| corner.turn).flat_map(|turn| [turn.turns, turn.position_mm]));
    let language = frame.language;
    van(&mut canvas);
    for side in [-1.0, 1.0] {
        pennant(&mut canvas, side);
    }
    for (k, corner) in picture.corners.iter().enumerate() {
        at_corner(&mut canvas, k, corner, &picture.task, frame.manner());
    }
    let middle = 0.5 * (AXLES[0] + AXLES[1]);
    let lines = words::to_be_done(language, picture);
    for (k, line) in lines.iter().enumerate() {
        let y = middle - 22.0 * (lines.len() as f64 - 1.0) + 46.0 * k as f64;
        canvas.text("pict-sign", [0.0, y], Anchor::Middle, line);
    }
    let reasons = words::reasons(language, &picture.task);
    let reasons: Vec<String> = reasons.iter().flat_map(|reason| wrapped(reason, LETTERS)).collect();
    for (k, reason) in reasons.iter().enumerate() {
        canvas.text("pict-text", [-0.5 * WIDTH + 30.0, TAIL + 62.0 + 40.0 * k as f64], Anchor::Start, reason);
    }
    let below = if reasons.is_empty() { 30.0 } else { 62.0 + 40.0 * reasons.len() as f64 };
    let said =
        Said { title: words::title(language, picture), description: words::description(language, picture) };
    canvas.finish("pict-collars", [-0.5 * WIDTH, 0.0, WIDTH, TAIL + below], &said)
}

fn van(canvas: &mut Canvas) {
    for y in AXLES {
        for side in [-1.0, 1.0] {
            canvas.rect("pict-rubber", [side * (HALF + 6.0) - 24.0, y - 62.0], [48.0, 124.0], 16.0);
        }
    }
    let outline = Path::from([-HALF, NOSE + 90.0])
        .curve([-HALF, NOSE + 22.0], [-HALF + 36.0, NOSE], [-0.45 * HALF, NOSE])
        .to([0.45 * HALF, NOSE])
        .curve([HALF - 36.0, NOSE], [HALF, NOSE + 22.0], [HALF, NOSE + 90.0])
        .to([HALF, TAIL - 24.0])
        .round([HALF, TAIL], [HALF - 24.0, TAIL])
        .to([-HALF + 24.0, TAIL])
        .round([-HALF, TAIL], [-HALF, TAIL - 24.0])
        .closed();
    canvas.path("pict-body", &outline);
    let screen = Path::from([-0.8 * HALF, NOSE + 120.0])
        .curve([-0.5 * HALF, NOSE + 100.0], [0.5 * HALF, NOSE + 100.0], [0.8 * HALF, NOSE + 120.0])
        .to([0.72 * HALF, NOSE + 176.0])
        .curve([0.4 * HALF, NOSE + 166.0], [-0.4 * HALF, NOSE + 166.0], [-0.72 * HALF, NOSE + 176.0])
        .closed();
    canvas.path("pict-glass", &screen);
    let word = words::nose(canvas.language());
    canvas.text("pict-head", [0.0, NOSE + 72.0], Anchor::Middle, word);
    canvas.path(
        "pict-centre",
        &Path::from([-20.0, NOSE - 14.0]).through(&[[0.0, NOSE - 48.0], [20.0, NOSE - 14.0]]).closed(),
    );
}

/// LEFT and RIGHT: a word on a flag that points to its side.
fn pennant(canvas: &mut Canvas, side: f64) {
    let at = |x: f64, y: f64| [side * x, y];
    let flag = Path::from(at(330.0, 24.0))
        .through(&[at(540.0, 24.0), at(590.0, 62.0), at(540.0, 100.0), at(330.0, 100.0)])
        .closed();
    canvas.path("pict-flag", &flag);
    let word = if side < 0.0 { words::left(canvas.language()) } else { words::right(canvas.language()) };
    canvas.text("pict-flag-word", [side * 440.0, 75.0], Anchor::Middle, word);
}

fn at_corner(canvas: &mut Canvas, k: usize, corner: &CollarCorner, task: &CollarTask, manner: Manner) {
    let language = canvas.language();
    let side = -side_of(k);
    let anchor = if side < 0.0 { Anchor::End } else { Anchor::Start };
    let (x, y) = (side * BESIDE, AXLES[k / 2]);
    canvas.text("pict-head", [x, y - 92.0], anchor, words::corner(language, k));
    if let Some(turn) = &corner.turn {
        sign(canvas, [side * 247.0, y - 6.0], turn.turns);
        canvas.text("pict-figure", [x, y - 12.0], anchor, &words::turns(language, turn.turns));
        canvas.text("pict-text", [x, y + 32.0], anchor, &words::way(language, turn));
        let position = words::position(language, turn.position_mm);
        canvas.text("pict-small", [x, y + 72.0], anchor, &manner.sentence_beside(&position));
    } else if !matches!(task, CollarTask::TurnNothing(_)) {
        canvas.text("pict-text", [x, y - 38.0], anchor, words::nothing_to_turn(language));
    }
    let first = if corner.turn.is_some() { 116.0 } else { 10.0 };
    // the range of a height leaves no room beside it
    let in_both = words::reading(language, corner).into_iter().flat_map(|line| {
        let other = manner.sentence(&line);
        // the figures alone: what they are of stands in the line before
        let from = other.find(|c: char| c.is_ascii_digit()).unwrap_or(0);
        let other = (other != line).then(|| other[from..].to_owned());
        [Some(line), other].into_iter().flatten()
    });
    for (k, text) in in_both.enumerate() {
        canvas.text("pict-text", [x, y + first + 38.0 * k as f64], anchor, &text);
    }
}

/// Up, down, or two bars: stay.
fn sign(canvas: &mut Canvas, [x, y]: Point, turns: f64) {
    if turns.abs() < NO_TURN {
        for bar in [-26.0, 10.0] {
            canvas.rect("pict-stay", [x - 34.0, y + bar], [68.0, 16.0], 4.0);
        }
        return;
    }
    let up = turns.signum();
    let at = |dx: f64, dy: f64| [x + dx, y - up * dy];
    let arrow = Path::from(at(0.0, 72.0))
        .through(&[
            at(46.0, 18.0),
            at(20.0, 18.0),
            at(20.0, -66.0),
            at(-20.0, -66.0),
            at(-20.0, 18.0),
            at(-46.0, 18.0),
        ])
        .closed();
    canvas.path("pict-arrow", &arrow);
}
