//! One axle from in front or from behind: camber, the room beside the tyre, and the arch gap of both sides.

use mechanics::statics::FRONT;
use workshop::answer::KnownVan;
use workshop::load_list::LoadState;
use workshop::stance::Stance;
use workshop::wording::Axle;

use crate::svg::{Anchor, Canvas, Frame, Path, Point, Said, shortened};
use crate::van::{ShownStance, VanShape};
use crate::words::front as words;

/// What the view of one axle shows: the front axle from in front, the rear axle from behind.
#[derive(Debug, Clone, PartialEq)]
pub struct AxleView {
    /// Which axle.
    pub axle: Axle,
    /// The van.
    pub shape: VanShape,
    /// Load state.
    pub state: LoadState,
    /// As it stands today.
    pub now: ShownStance,
    /// Name of a kit, and how it would stand on it; absent where today alone is drawn.
    pub on_kit: Option<(String, ShownStance)>,
}

impl AxleView {
    /// An axle of a van today, and on a kit of a name where there is one, both in the same load state.
    pub fn of(known: &KnownVan, axle: Axle, now: &Stance, on_kit: Option<(&str, &Stance)>) -> Self {
        Self {
            axle,
            shape: VanShape::of(known),
            state: now.sit.state,
            now: ShownStance::of(now),
            on_kit: on_kit.map(|(name, stance)| (name.to_owned(), ShownStance::of(stance))),
        }
    }

    /// What is drawn in full: the kit where there is one, else today.
    pub(crate) fn shown(&self) -> &ShownStance {
        self.on_kit.as_ref().map_or(&self.now, |(_, standing)| standing)
    }

    pub(crate) fn index(&self) -> usize {
        match self.axle {
            Axle::Front => 0,
            Axle::Rear => 1,
        }
    }
}

/// Size of the text, mm of the van.
const TEXT: f64 = 56.0;
/// Most letters of a kit's name.
const LETTERS: usize = 34;
/// Height up to which the body is drawn, mm.
const WAIST: f64 = 1060.0;
/// Half the width of the drawing, mm.
const HALF: f64 = 1650.0;
/// Room drawn beside a tyre of which it is not known, mm.
const ASSUMED_ROOM_MM: f64 = 30.0;

/// Draws one axle, true to scale.
pub fn axle(view: &AxleView, frame: &Frame) -> String {
    let mut canvas = Canvas::new(*frame, TEXT);
    canvas.tells_figures(view.now.figures().chain(view.shown().figures()));
    let language = frame.language;
    let shown = Seen { view, standing: view.shown() };
    let now = Seen { view, standing: &view.now };
    canvas.define_clip("above-ground", &Path::rect([-HALF, -WAIST - 200.0], [2.0 * HALF, WAIST + 200.0]));
    canvas.path("pict-body", &shown.section());
    if view.on_kit.is_some() {
        canvas.path("pict-before", &now.section());
    }
    canvas.group("pict-wheels", Some("above-ground"));
    for side in [0, 1] {
        shown.wheel(&mut canvas, side);
    }
    canvas.end();
    canvas.line("pict-ground", [-HALF, 0.0], [HALF, 0.0]);
    for side in [0, 1] {
        shown.figures(&mut canvas, side, view.on_kit.as_ref().map(|_| &view.now));
    }
    let [what, state] = words::sign(language, view);
    canvas.text("pict-sign", [0.0, -WAIST + 130.0], Anchor::Middle, &shortened(&what, LETTERS));
    canvas.text("pict-text", [0.0, -WAIST + 215.0], Anchor::Middle, &state);
    shown.track(&mut canvas);
    let said = Said { title: words::title(language, view), description: words::description(language, view) };
    canvas.finish("pict-axle", [-HALF, -WAIST - 60.0, 2.0 * HALF, WAIST + 300.0], &said)
}

struct Seen<'a> {
    view: &'a AxleView,
    standing: &'a ShownStance,
}

impl Seen<'_> {
    /// To the right of the drawing for one of the sides, 0 the left one: from in front the van's left is on the right.
    fn towards(&self, side: usize) -> f64 {
        let from_in_front = self.view.index() == FRONT;
        if (side == 0) == from_in_front { 1.0 } else { -1.0 }
    }

    fn hub(&self, side: usize) -> Point {
        let axle = self.view.index();
        let height = self.standing.arches[2 * axle + side].wheel_centre_height_mm;
        [self.towards(side) * self.view.shape.wheel_mm[axle][1], -height]
    }

    fn radius(&self) -> f64 {
        self.view.shape.tyre_radius_mm[self.view.index()]
    }

    fn half_width(&self) -> f64 {
        0.5 * self.view.shape.tyre_width_mm[self.view.index()]
    }

    /// Distance of the plane of the lips from the centre plane.
    fn lip_across(&self) -> f64 {
        let (shape, axle) = (&self.view.shape, self.view.index());
        let outer = shape.wheel_mm[axle][1] + self.half_width();
        outer + shape.lip_outboard_mm[axle].unwrap_or(ASSUMED_ROOM_MM)
    }

    fn lip(&self, side: usize) -> Point {
        [self.towards(side) * self.lip_across(), -self.standing.lip_height_mm(2 * self.view.index() + side)]
    }

    /// The body cut across at the axle, up to the waist: its lips true, the rest a general shape.
    fn section(&self) -> Path {
        let (left, right) = if self.towards(0) < 0.0 { (0, 1) } else { (1, 0) };
        let (a, b) = (self.lip(left), self.lip(right));
        let slope = (b[1] - a[1]) / (b[0] - a[0]);
        // heights above the line through both lips
        let at = |across: f64, above: f64| [across, a[1] + slope * (across - a[0]) - above];
        let (lip, half) = (self.lip_across(), self.half_width());
        let inner = lip - 2.0 * half - 150.0;
        let mean_lip = -0.5 * (a[1] + b[1]);
        let floor = self.view.shape.sill_mm - mean_lip + 90.0;
        let waist = WAIST - mean_lip;
        Path::from(at(-lip, 0.0))
            .curve(at(-lip - 26.0, 70.0), at(-lip - 30.0, 0.4 * waist), at(-lip - 18.0, waist))
            .to(at(lip + 18.0, waist))
            .curve(at(lip + 30.0, 0.4 * waist), at(lip + 26.0, 70.0), at(lip, 0.0))
            .to(at(lip - 14.0, 8.0))
            .curve(at(lip - 20.0, 70.0), at(lip - 40.0, 92.0), at(lip - 110.0, 96.0))
            .to(at(inner + 40.0, 96.0))
            .round(at(inner, 96.0), at(inner, 40.0))
            .to(at(inner, floor + 60.0))
            .round(at(inner, floor), at(inner - 60.0, floor))
            .to(at(-inner + 60.0, floor))
            .round(at(-inner, floor), at(-inner, floor + 60.0))
            .to(at(-inner, 40.0))
            .round(at(-inner, 96.0), at(-inner - 40.0, 96.0))
            .to(at(-lip + 110.0, 96.0))
            .curve(at(-lip + 40.0, 92.0), at(-lip + 20.0, 70.0), at(-lip + 14.0, 8.0))
            .closed()
    }

    /// Lean of a wheel in the drawing, clockwise positive, rad: positive camber leans the top outwards.
    fn lean_rad(&self, side: usize) -> f64 {
        let camber = &self.standing.camber_deg[2 * self.view.index() + side];
        camber.as_ref().map_or(0.0, |camber| self.towards(side) * camber.value.to_radians())
    }

    fn wheel(&self, canvas: &mut Canvas, side: usize) {
        let ([x, y], radius, half) = (self.hub(side), self.radius(), self.half_width());
        let (sin, cos) = self.lean_rad(side).sin_cos();
        let turned = |[dx, dy]: Point| [x + dx * cos - dy * sin, y + dx * sin + dy * cos];
        let shoulder = 0.28 * half;
        let tread = Path::from([-half + shoulder, -radius])
            .to([half - shoulder, -radius])
            .round([half, -radius], [half, -radius + 1.4 * shoulder])
            .to([half, radius - 1.4 * shoulder])
            .round([half, radius], [half - shoulder, radius])
            .to([-half + shoulder, radius])
            .round([-half, radius], [-half, radius - 1.4 * shoulder])
            .to([-half, -radius + 1.4 * shoulder])
            .round([-half, -radius], [-half + shoulder, -radius])
            .closed();
        canvas.path("pict-rubber", &tread.mapped(turned));
        for share in [-0.45, 0.0, 0.45] {
            let ends = [-0.98 * radius, 0.98 * radius].map(|dy| turned([share * half, dy]));
            canvas.line("pict-tread", ends[0], ends[1]);
        }
        canvas.circle("pict-centre", [x, y], 13.0);
    }

    fn figures(&self, canvas: &mut Canvas, side: usize, before: Option<&ShownStance>) {
        let language = canvas.language();
        let (corner, towards) = (2 * self.view.index() + side, self.towards(side));
        let gap = &self.standing.arches[corner].gap_mm;
        let (lip, hub) = (self.lip(side), self.hub(side));
        let out = lip[0] + towards * 70.0;
        let tyre_top = hub[1] - self.radius();
        canvas.line("pict-thin", [hub[0], tyre_top], [out + towards * 20.0, tyre_top]);
        canvas.line("pict-thin", lip, [out + towards * 20.0, lip[1]]);
        let band = [lip[1] - (gap.high - gap.value), gap.high - gap.low];
        canvas.hatched("pict-band-hatch", &Path::rect([out - 20.0, band[0]], [40.0, band[1]]));
        canvas.line("pict-gap", [out, tyre_top], [out, lip[1]]);
        let anchor = if towards > 0.0 { Anchor::Start } else { Anchor::End };
        let x = out + towards * 50.0;
        let y = 0.5 * (tyre_top + lip[1]);
        canvas.text("pict-head", [x, y - 140.0], anchor, words::place(language, corner));
        canvas.text("pict-figure", [x, y + 15.0], anchor, &words::gap(language, gap));
        canvas.text("pict-text", [x, y + 98.0], anchor, &words::range(language, gap));
        let mut line = y + 175.0;
        if let Some(before) = before {
            let said = words::today(language, before.arches[corner].gap_mm.value);
            canvas.text("pict-small", [x, line], anchor, &said);
            line += 70.0;
        }
        if let Some(room) = self.view.shape.lip_outboard_mm[self.view.index()] {
            let outer = hub[0] + towards * self.half_width();
            let level = hub[1] - 0.35 * self.radius();
            canvas.line("pict-thin", lip, [lip[0], level + 24.0]);
            canvas.line("pict-dimension", [outer, level], [lip[0], level]);
            for (k, text) in words::beside(language, room).iter().enumerate() {
                canvas.text("pict-small", [x, line + 15.0 + 60.0 * k as f64], anchor, text);
            }
        }
        let inner = hub[0] - towards * (self.half_width() + 36.0);
        let anchor = if towards > 0.0 { Anchor::End } else { Anchor::Start };
        let camber = words::camber(language, self.standing.camber_deg[corner].as_ref());
        for (k, text) in camber.iter().enumerate() {
            canvas.text("pict-small", [inner, -28.0 - 66.0 * (camber.len() - 1 - k) as f64], anchor, text);
        }
    }

    fn track(&self, canvas: &mut Canvas) {
        let [a, b] = [self.hub(0)[0], self.hub(1)[0]];
        canvas.line("pict-dimension", [a, 62.0], [b, 62.0]);
        for x in [a, b] {
            canvas.line("pict-dimension", [x - 12.0, 68.0], [x + 12.0, 56.0]);
            canvas.line("pict-thin", [x, 8.0], [x, 78.0]);
        }
        let said = words::hub_to_hub(canvas.language(), (a - b).abs());
        canvas.text("pict-small", [0.0, 140.0], Anchor::Middle, &said);
        let evidence = words::evidence(canvas.language(), self.view);
        canvas.text("pict-small", [0.0, 215.0], Anchor::Middle, &evidence);
    }
}
