//! The van from the side, with both arch gaps close up.

use mechanics::statics::{FRONT, REAR};
use workshop::answer::KnownVan;
use workshop::figure::Figure;
use workshop::load_list::LoadState;
use workshop::stance::Stance;
use workshop::units::Units;
use workshop::wording::Side;

use crate::body::SeenFromSide;
use crate::svg::{Anchor, Canvas, Frame, Path, Point, Said, shortened};
use crate::van::{ShownStance, VanShape};
use crate::words::side as words;

/// What the side view shows.
#[derive(Debug, Clone, PartialEq)]
pub struct SideView {
    /// The side towards whoever looks.
    pub seen_from: Side,
    /// The van.
    pub shape: VanShape,
    /// Load state.
    pub state: LoadState,
    /// As it stands today.
    pub now: ShownStance,
    /// Name of a kit, and how it would stand on it; absent where today alone is drawn.
    pub on_kit: Option<(String, ShownStance)>,
    /// Arch height of front and rear axle that was asked for in this load state, mm.
    pub wanted_arch_height_mm: Option<[f64; 2]>,
}

impl SideView {
    /// A van today, and on a kit of a name where there is one, both in the same load state.
    pub fn of(known: &KnownVan, seen_from: Side, now: &Stance, on_kit: Option<(&str, &Stance)>) -> Self {
        let state = now.sit.state;
        Self {
            seen_from,
            shape: VanShape::of(known),
            state,
            now: ShownStance::of(now),
            on_kit: on_kit.map(|(name, stance)| (name.to_owned(), ShownStance::of(stance))),
            wanted_arch_height_mm: (known.enquiry.aim.state == state).then(|| known.aimed_arch_height_mm()),
        }
    }

    /// What is drawn in full: the kit where there is one, else today.
    pub(crate) fn shown(&self) -> &ShownStance {
        self.on_kit.as_ref().map_or(&self.now, |(_, standing)| standing)
    }

    /// Arch gap that was asked for, mm.
    pub(crate) fn wanted_gap_mm(&self, axle: usize) -> Option<f64> {
        self.wanted_arch_height_mm.map(|wanted| wanted[axle] - self.shape.tyre_radius_mm[axle])
    }
}

/// Size of the text, mm of the van.
const TEXT: f64 = 100.0;
/// Most letters of a kit's name on the side of the van.
const LETTERS: usize = 30;
/// Radius of a close-up.
const CLOSE_UP: f64 = 565.0;
/// Half the height of what a close-up shows at least, and what it shows beyond the gap, mm.
const SHOWN_AT_LEAST_MM: f64 = 150.0;
const SHOWN_BEYOND_MM: f64 = 110.0;
/// Height of the drawing below the ground.
const BELOW: f64 = 2.0 * CLOSE_UP + 590.0;

/// Draws the van from the side: true to scale, its two arch gaps enlarged below it.
pub fn side(view: &SideView, frame: &Frame) -> String {
    let mut canvas = Canvas::new(*frame, TEXT);
    canvas.tells_figures(view.now.figures().chain(view.shown().figures()));
    let drawing = Drawing::of(view);
    let (left, right) = drawing.ends();
    drawing.behind(&mut canvas);
    if view.on_kit.is_some() {
        canvas.path("pict-before", &drawing.now.outline());
    }
    drawing.body(&mut canvas);
    drawing.wheels(&mut canvas);
    for axle in [FRONT, REAR] {
        drawing.gap_on_the_van(&mut canvas, axle);
    }
    drawing.wish(&mut canvas);
    canvas.line("pict-ground", [left, 0.0], [right, 0.0]);
    drawing.clearance(&mut canvas);
    drawing.panel(&mut canvas);
    for axle in [FRONT, REAR] {
        drawing.close_up(&mut canvas, axle);
    }
    drawing.legend(&mut canvas);
    let top = -view.shape.roof_mm - 190.0;
    let said = Said {
        title: words::title(frame.language, view),
        description: words::description(frame.language, view),
    };
    canvas.finish("pict-side", [left, top, right - left, BELOW - top], &said)
}

struct Drawing<'a> {
    view: &'a SideView,
    now: SeenFromSide<'a>,
    shown: SeenFromSide<'a>,
}

impl<'a> Drawing<'a> {
    fn of(view: &'a SideView) -> Self {
        let side = match view.seen_from {
            Side::Left => 0,
            Side::Right => 1,
        };
        let seen = |standing| SeenFromSide { shape: &view.shape, standing, side };
        Self { view, now: seen(&view.now), shown: seen(view.shown()) }
    }

    fn ends(&self) -> (f64, f64) {
        let shape = &self.view.shape;
        let ends = [shape.front_end_mm + 160.0, shape.rear_end_mm - 190.0].map(|x| self.shown.across(x));
        (ends[0].min(ends[1]), ends[0].max(ends[1]))
    }

    /// Whether a close-up is the left one.
    fn is_left(&self, axle: usize) -> bool {
        let other = FRONT + REAR - axle;
        self.shown.wheel(axle)[0] < self.shown.wheel(other)[0]
    }

    /// Centre and scale of a close-up, below its wheel, and the middle of what it shows, mm.
    fn lens(&self, axle: usize) -> Lens {
        let (left, right) = self.ends();
        let within = (left + CLOSE_UP + 20.0)..=(right - CLOSE_UP - 20.0);
        // a short wheelbase moves them apart, so that the figures have room between them
        let wheels = [FRONT, REAR].map(|axle| self.shown.wheel(axle)[0]);
        let short = 0.5 * (2.0 * (BLOCK + CLOSE_UP) - (wheels[FRONT] - wheels[REAR]).abs()).max(0.0);
        let apart = if self.is_left(axle) { -short } else { short };
        let below_wheel = (wheels[axle] + apart).max(*within.start()).min(*within.end());
        let centre = [below_wheel, CLOSE_UP + 310.0];
        let radius = self.view.shape.tyre_radius_mm[axle];
        let [hub_x, hub_y] = self.shown.wheel(axle);
        let tyre_top = hub_y - radius;
        let wanted = self.view.wanted_arch_height_mm.map(|wanted| hub_y - wanted[axle]);
        let shown = || [self.shown.lip(axle)[1], self.now.lip(axle)[1]].into_iter().chain(wanted);
        let (highest, lowest) = (shown().fold(tyre_top, f64::min), shown().fold(tyre_top, f64::max));
        let half = (0.5 * (lowest - highest) + SHOWN_BEYOND_MM).max(SHOWN_AT_LEAST_MM);
        // a scale that can be named: four times, or less by quarters where the gap is large
        let scale = (4.0 * CLOSE_UP / half).floor() / 4.0;
        Lens { centre, scale, middle: [hub_x, 0.5 * (lowest + highest)] }
    }

    /// What leads to the close-ups.
    fn behind(&self, canvas: &mut Canvas) {
        for axle in [FRONT, REAR] {
            let lens = self.lens(axle);
            let top = lens.centre[1] - CLOSE_UP;
            canvas.line("pict-thin", [lens.centre[0], top - 95.0], [lens.centre[0], top]);
        }
    }

    fn body(&self, canvas: &mut Canvas) {
        canvas.path("pict-body", &self.shown.outline());
        canvas.path("pict-glass", &self.shown.window());
        canvas.path("pict-seam", &self.shown.seams());
        if let Some([x, _, z]) = self.view.shape.lamp_mm {
            let [cx, cy] = self.shown.at(x, z);
            canvas.ellipse("pict-glass", [cx, cy], [78.0, 46.0]);
        }
        if let Some([x, _, z]) = self.view.shape.tow_ball_mm {
            let ball = self.shown.at(x, z);
            let hitch = self.shown.at(x + 160.0, z - 60.0);
            canvas.line("pict-outline", ball, [ball[0], hitch[1]]);
            canvas.line("pict-outline", [ball[0], hitch[1]], hitch);
            canvas.circle("pict-rubber", ball, 25.0);
        }
    }

    fn wheels(&self, canvas: &mut Canvas) {
        for axle in [FRONT, REAR] {
            let (hub, shape) = (self.shown.wheel(axle), &self.view.shape);
            canvas.path("pict-rubber", &flattened(hub, shape.tyre_radius_mm[axle]));
            canvas.circle("pict-rim", hub, shape.rim_radius_mm[axle]);
            canvas.circle("pict-seam", hub, 0.80 * shape.rim_radius_mm[axle]);
            for k in 0..5 {
                let turned = 0.4 + std::f64::consts::TAU * f64::from(k) / 5.0;
                let reach = 0.34 * shape.rim_radius_mm[axle];
                canvas.circle(
                    "pict-seam",
                    [hub[0] + reach * turned.cos(), hub[1] + reach * turned.sin()],
                    11.0,
                );
            }
            canvas.circle("pict-centre", hub, 20.0);
        }
    }

    /// The gap where it is, to scale, with its range over the edge of the arch.
    fn gap_on_the_van(&self, canvas: &mut Canvas, axle: usize) {
        let gap = &self.view.shown().arches[self.shown.corner(axle)].gap_mm;
        let band = self.shown.arch_band(axle, [gap.low - gap.value, gap.high - gap.value]);
        canvas.path("pict-band", &band);
        let [x, lip] = self.shown.lip(axle);
        let tyre_top = self.shown.wheel(axle)[1] - self.view.shape.tyre_radius_mm[axle];
        canvas.line("pict-gap pict-on-van", [x, tyre_top], [x, lip]);
        let lens = self.lens(axle);
        canvas.circle("pict-thin", lens.middle, CLOSE_UP / lens.scale);
    }

    /// The body as it would stand at the wish: seen only while somebody slides it.
    fn wish(&self, canvas: &mut Canvas) {
        let Some(wanted) = self.view.wanted_arch_height_mm else { return };
        let lower = [FRONT, REAR].map(|axle| {
            let [hub, lip] = [self.now.wheel(axle)[1], self.now.lip(axle)[1]];
            hub - lip - wanted[axle]
        });
        let [front, rear] = [FRONT, REAR].map(|axle| self.now.wheel(axle)[0]);
        let at = |x: f64| lower[FRONT] + (lower[REAR] - lower[FRONT]) * (x - front) / (rear - front);
        canvas.moving("pict-moves pict-while-sliding", [0.0, 1.0]);
        canvas.path("pict-wish", &self.now.outline().mapped(|[x, y]| [x, y + at(x)]));
        canvas.end();
    }

    fn clearance(&self, canvas: &mut Canvas) {
        let Some((name, [x, _, z], height)) = &self.view.shown().lowest else { return };
        let at = self.shown.at(*x, *z)[0];
        canvas.line("pict-dimension", [at, 0.0], [at, -height.value]);
        tick(canvas, [at, 0.0]);
        canvas.line("pict-dimension", [at - 110.0, -height.value], [at + 110.0, -height.value]);
        let (left, right) = self.ends();
        let words = words::clearance(canvas.language(), name, height);
        canvas.text("pict-text", [0.5 * (left + right), 165.0], Anchor::Middle, &words);
        canvas.line("pict-thin", [at, 14.0], [at, 75.0]);
    }

    /// On the side of the load space: what is drawn, and the level as a spirit level shows it.
    fn panel(&self, canvas: &mut Canvas) {
        let language = canvas.language();
        let (shape, standing) = (&self.view.shape, self.view.shown());
        let from = self.shown.across(self.shown.cab_end());
        let to = self.shown.across(shape.rear_end_mm + 60.0);
        let middle = 0.5 * (from + to);
        let height = |share: f64| -share * shape.roof_mm;
        let [what, state] = words::sign(language, self.view);
        canvas.text("pict-sign", [middle, height(0.825)], Anchor::Middle, &shortened(&what, LETTERS));
        canvas.text("pict-text", [middle, height(0.755)], Anchor::Middle, &state);
        let vial = Vial { middle: [middle, height(0.645)], towards_tail: (to - from).signum() };
        let before = self.view.on_kit.as_ref().map(|_| &self.view.now.level_mm);
        vial.draw(canvas, &standing.level_mm, before);
        canvas.text(
            "pict-text",
            [middle, height(0.55)],
            Anchor::Middle,
            &words::level(language, &standing.level_mm),
        );
        let pitch = words::pitch(language, &standing.body_pitch_deg);
        canvas.text("pict-small", [middle, height(0.49)], Anchor::Middle, &pitch);
    }

    fn close_up(&self, canvas: &mut Canvas, axle: usize) {
        let lens = self.lens(axle);
        let clip = if axle == FRONT { "front" } else { "rear" };
        canvas.define_clip(clip, &Path::circle(lens.centre, CLOSE_UP));
        canvas.group("pict-close-up", Some(clip));
        canvas.circle("pict-air", lens.centre, CLOSE_UP);
        self.seen_close(canvas, axle, &lens);
        canvas.end();
        canvas.circle("pict-lens", lens.centre, CLOSE_UP);
        self.beside(canvas, axle, &lens);
    }

    /// Tyre, arch, range, gap and what was before, within the circle.
    fn seen_close(&self, canvas: &mut Canvas, axle: usize, lens: &Lens) {
        let (shape, standing) = (&self.view.shape, self.view.shown());
        let gap = &standing.arches[self.shown.corner(axle)].gap_mm;
        let hub = self.shown.wheel(axle);
        let near = |path: Path| path.mapped(|at| lens.seen(at));
        canvas.circle("pict-rubber", lens.seen(hub), lens.scale * shape.tyre_radius_mm[axle]);
        canvas.circle("pict-rim", lens.seen(hub), lens.scale * shape.rim_radius_mm[axle]);
        canvas.path("pict-body-fill", &near(self.shown.above_arch(axle, 900.0)));
        let band = [gap.low - gap.value, gap.high - gap.value];
        canvas.path("pict-band", &near(self.shown.arch_band(axle, band)));
        canvas.hatched("pict-band-hatch", &near(self.shown.arch_band(axle, band)));
        canvas.path("pict-edge", &near(self.shown.arch_edge(axle, 0.0)));
        if self.view.on_kit.is_some() {
            canvas.path("pict-before", &near(self.now.arch_edge(axle, 0.0)));
        }
        let [x, lip] = lens.seen(self.shown.lip(axle));
        let tyre_top = lens.seen([hub[0], hub[1] - shape.tyre_radius_mm[axle]]);
        canvas.line("pict-gap", tyre_top, [x, lip]);
        tick(canvas, tyre_top);
        tick(canvas, [x, lip]);
        if let Some(wanted) = self.view.wanted_arch_height_mm {
            let at = lens.seen([hub[0], hub[1] - wanted[axle]]);
            canvas.moving("pict-moves", [0.0, lens.scale]);
            canvas.path("pict-aim", &Path::diamond([at[0] - 150.0, at[1]], 34.0));
            canvas.line("pict-aim-line", [at[0] - 116.0, at[1]], [at[0] - 30.0, at[1]]);
            canvas.end();
        }
    }

    /// The figures beside the circle, towards the middle of the drawing.
    fn beside(&self, canvas: &mut Canvas, axle: usize, lens: &Lens) {
        let language = canvas.language();
        let corner = self.shown.corner(axle);
        let gap = &self.view.shown().arches[corner].gap_mm;
        let [cx, cy] = lens.centre;
        canvas.text("pict-head", [cx, cy - 0.66 * CLOSE_UP], Anchor::Middle, &words::place(language, corner));
        let (start, towards) = if self.is_left(axle) {
            (cx + CLOSE_UP + 80.0, 1.0)
        } else {
            (cx - CLOSE_UP - BLOCK + 20.0, -1.0)
        };
        let [x, lip] = lens.seen(self.shown.lip(axle));
        let tyre_top = self.shown.wheel(axle)[1] - self.view.shape.tyre_radius_mm[axle];
        let middle = 0.5 * (lip + lens.seen([x, tyre_top])[1]);
        canvas.line("pict-leader", [x + 16.0 * towards, middle], [cx + towards * (CLOSE_UP + 50.0), middle]);
        canvas.text("pict-small", [start, cy - 300.0], Anchor::Start, words::arch_gap(language));
        // the word for inches is longer than that for millimetres
        let long =
            if canvas.frame().units == Units::Metric { "pict-figure" } else { "pict-figure pict-long" };
        canvas.text(long, [start, cy - 80.0], Anchor::Start, &words::gap(language, gap));
        let sample = |line: f64| [start, cy + 100.0 + 150.0 * line];
        let say = |canvas: &mut Canvas, line: f64, text: &str| {
            let [x, y] = sample(line);
            canvas.text("pict-text", [x + 175.0, y], Anchor::Start, text);
        };
        let [x, y] = sample(0.0);
        canvas.hatched("pict-band-hatch", &Path::rect([x, y - 66.0], [135.0, 64.0]));
        say(canvas, 0.0, &words::range(language, gap));
        if self.view.on_kit.is_some() {
            let [x, y] = sample(1.0);
            canvas.line("pict-before", [x, y - 32.0], [x + 140.0, y - 32.0]);
            say(canvas, 1.0, &words::today(language, &self.view.now.arches[corner].gap_mm));
        }
        if let Some(wanted) = self.view.wanted_gap_mm(axle) {
            let line = if self.view.on_kit.is_some() { 2.0 } else { 1.0 };
            let [x, y] = sample(line);
            canvas.path("pict-aim", &Path::diamond([x + 68.0, y - 32.0], 34.0));
            canvas.group("pict-told", None);
            say(canvas, line, &words::wanted(language, wanted));
            canvas.end();
        }
    }

    /// What the lines mean, below everything.
    fn legend(&self, canvas: &mut Canvas) {
        let (left, right) = self.ends();
        let scales = [FRONT, REAR].map(|axle| self.lens(axle).scale);
        let words = words::legend(canvas.language(), self.view.on_kit.is_some(), scales);
        canvas.text("pict-small", [0.5 * (left + right), BELOW - 150.0], Anchor::Middle, &words);
        let evidence = words::evidence(canvas.language(), self.view);
        canvas.text("pict-small", [0.5 * (left + right), BELOW - 30.0], Anchor::Middle, &evidence);
    }
}

/// Width of the figures beside a close-up, inches with two places too.
const BLOCK: f64 = 1170.0;

/// A circle through which part of the van is seen larger.
struct Lens {
    centre: Point,
    scale: f64,
    /// What lies in its middle.
    middle: Point,
}

impl Lens {
    fn seen(&self, [x, y]: Point) -> Point {
        let [cx, cy] = self.centre;
        [cx + self.scale * (x - self.middle[0]), cy + self.scale * (y - self.middle[1])]
    }
}

/// A spirit level along the van: the bubble runs to the end that stands higher.
struct Vial {
    middle: Point,
    towards_tail: f64,
}

/// Half the length and half the height of the vial, drawing units.
const VIAL: Point = [720.0, 62.0];
/// Drawing units per millimetre of level, and millimetres per mark.
const VIAL_PER_MM: f64 = 12.0;
const VIAL_MARK_MM: f64 = 10.0;
const BUBBLE: Point = [88.0, 40.0];

impl Vial {
    fn across(&self, level_mm: f64) -> f64 {
        let most = VIAL[0] - BUBBLE[0] - 20.0;
        self.middle[0] + self.towards_tail * (VIAL_PER_MM * level_mm).clamp(-most, most)
    }

    fn draw(&self, canvas: &mut Canvas, level: &Figure, before: Option<&Figure>) {
        let [x, y] = self.middle;
        canvas.rect("pict-vial", [x - VIAL[0], y - VIAL[1]], [2.0 * VIAL[0], 2.0 * VIAL[1]], VIAL[1]);
        let ends = [self.across(level.low), self.across(level.high)];
        let (from, to) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
        canvas.hatched(
            "pict-band-hatch",
            &Path::rect([from - 2.0, y - VIAL[1] + 8.0], [to - from + 4.0, 2.0 * VIAL[1] - 16.0]),
        );
        for mark in -4..=4 {
            let at = x + f64::from(mark) * VIAL_MARK_MM * VIAL_PER_MM;
            let (class, long) = if mark == 0 { ("pict-outline", 1.0) } else { ("pict-seam", 0.55) };
            canvas.line(class, [at, y - long * VIAL[1]], [at, y + long * VIAL[1]]);
        }
        if let Some(before) = before {
            canvas.ellipse("pict-before", [self.across(before.value), y], BUBBLE);
        }
        canvas.ellipse("pict-bubble", [self.across(level.value), y], BUBBLE);
    }
}

/// A tyre flattened where it stands.
fn flattened([x, y]: Point, radius: f64) -> Path {
    let height = (-y).min(radius);
    let half = (radius * radius - height * height).max(0.0).sqrt();
    if half < 1.0 {
        return Path::circle([x, y], radius);
    }
    Path::from([x - half, 0.0]).around(radius, [x + half, 0.0]).closed()
}

/// The end of a dimension: a short slanted stroke.
fn tick(canvas: &mut Canvas, [x, y]: Point) {
    canvas.line("pict-dimension", [x - 26.0, y + 14.0], [x + 26.0, y - 14.0]);
}
