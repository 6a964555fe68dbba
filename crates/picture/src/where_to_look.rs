//! Where on a van to look or measure: its side, to scale, with the places ringed.

use mechanics::statics::{FRONT, REAR};
use workshop::answer::KnownVan;
use workshop::facts::Spot;
use workshop::stance::Stance;
use workshop::wording::Side;

use crate::body::SeenFromSide;
use crate::svg::{Anchor, Canvas, Frame, Path, Point, Said, wrapped};
use crate::van::{ShownStance, VanShape};
use crate::words::where_to_look as words;

/// What the drawing shows.
#[derive(Debug, Clone, PartialEq)]
pub struct WhereToLook {
    /// The side towards whoever looks.
    pub seen_from: Side,
    /// The van.
    pub shape: VanShape,
    /// As it stands today.
    pub standing: ShownStance,
    /// Places, numbered in this order where there are several.
    pub spots: Vec<Spot>,
}

impl WhereToLook {
    /// Places on a van as it stands today.
    pub fn of(known: &KnownVan, now: &Stance, spots: Vec<Spot>) -> Self {
        Self { seen_from: Side::Right, shape: VanShape::of(known), standing: ShownStance::of(now), spots }
    }
}

/// What is drawn at a place.
enum Mark {
    /// Look here.
    Ring(Point, f64),
    /// Measure from here to there.
    Measure(Point, Point),
}

/// Size of the text, mm of the van: the drawing stands in a narrow column.
const TEXT: f64 = 190.0;
/// Most letters of a line below the van.
const LETTERS: usize = 46;
/// Room around the van, mm.
const AROUND: f64 = 160.0;
/// Radius of the disc behind a number.
const DISC: f64 = 130.0;

/// Draws the van with the places ringed, and what each of them is.
pub fn where_to_look(view: &WhereToLook, frame: &Frame) -> String {
    let mut canvas = Canvas::new(*frame, TEXT);
    let side = match view.seen_from {
        Side::Left => 0,
        Side::Right => 1,
    };
    let seen = SeenFromSide { shape: &view.shape, standing: &view.standing, side };
    let shape = &view.shape;
    canvas.path("pict-body", &seen.outline());
    canvas.path("pict-glass", &seen.window());
    canvas.path("pict-seam", &seen.seams());
    for axle in [FRONT, REAR] {
        canvas.circle("pict-rubber", seen.wheel(axle), shape.tyre_radius_mm[axle]);
        canvas.circle("pict-rim", seen.wheel(axle), shape.rim_radius_mm[axle]);
        canvas.circle("pict-centre", seen.wheel(axle), 20.0);
    }
    let ends = [shape.front_end_mm + AROUND, shape.rear_end_mm - AROUND].map(|x| seen.across(x));
    let (left, right) = (ends[0].min(ends[1]), ends[0].max(ends[1]));
    canvas.line("pict-ground", [left, 0.0], [right, 0.0]);
    let several = view.spots.len() > 1;
    let mut taken: Vec<Point> = Vec::new();
    for (n, spot) in view.spots.iter().enumerate() {
        for mark in marks(&seen, *spot) {
            drawn(&mut canvas, &mark);
            if several {
                let beside = free(&mark, &taken, &seen, (left, right));
                canvas.line("pict-leader", edge(&mark, beside), beside);
                number(&mut canvas, n + 1, beside);
                taken.push(beside);
            }
        }
    }
    let lines = view.spots.iter().enumerate().flat_map(|(n, spot)| {
        let said = words::spot(frame.language, *spot);
        wrapped(&if several { format!("{}  {said}", n + 1) } else { said.to_owned() }, LETTERS)
    });
    let mut below = 0.0;
    for line in lines {
        below += 1.35 * TEXT;
        canvas.text("pict-text", [left + 30.0, below], Anchor::Start, &line);
    }
    let said = Said {
        title: words::title(frame.language, &shape.name),
        description: words::description(frame.language, &view.spots),
    };
    let top = -shape.roof_mm - AROUND;
    canvas.finish("pict-look", [left, top, right - left, below + 0.6 * TEXT - top], &said)
}

/// Where each place is seen; what lies behind sheet metal is ringed where it lies.
fn marks(seen: &SeenFromSide, spot: Spot) -> Vec<Mark> {
    let shape = seen.shape;
    let towards_tail = (seen.wheel(REAR)[0] - seen.wheel(FRONT)[0]).signum();
    // tyre radii towards the tail and up from a wheel's centre
    let by_wheel = |axle: usize, along: f64, up: f64, radius: f64| {
        let ([x, y], r) = (seen.wheel(axle), shape.tyre_radius_mm[axle]);
        Mark::Ring([x + towards_tail * along * r, y - up * r], radius * r)
    };
    let both = |along: f64, up: f64, radius: f64| {
        [FRONT, REAR]
            .map(|axle| by_wheel(axle, if axle == FRONT { along } else { -along }, up, radius))
            .into()
    };
    let roof = shape.roof_mm;
    match spot {
        Spot::BehindFrontWheel => vec![by_wheel(FRONT, 0.0, 0.25, 0.55)],
        Spot::FrontSpring => vec![by_wheel(FRONT, 0.0, 1.45, 0.5)],
        Spot::FrontDropLink => vec![by_wheel(FRONT, 0.55, 0.75, 0.35)],
        Spot::WheelHubs => both(0.0, 0.0, 0.35),
        Spot::OverRearAxle => vec![by_wheel(REAR, 0.0, 0.9, 0.6)],
        Spot::AxleArms => both(1.1, -0.15, 0.4),
        Spot::LookingAhead => {
            let glass = seen.at(seen.windscreen_head()[0] + 90.0, seen.windscreen_head()[1] - 130.0);
            vec![Mark::Ring(glass, 170.0), Mark::Ring(seen.at(shape.front_end_mm - 60.0, 0.34 * roof), 190.0)]
        }
        Spot::TyreWall => vec![by_wheel(FRONT, 0.0, 0.84, 0.3)],
        Spot::WheelStamp => vec![by_wheel(FRONT, 0.3, -0.3, 0.25)],
        Spot::Arches => [FRONT, REAR].map(|axle| Mark::Measure(seen.wheel(axle), seen.lip(axle))).into(),
        Spot::DoorPillar => vec![Mark::Ring(seen.at(seen.cab_end(), 0.36 * roof), 190.0)],
        Spot::LoadSpace => {
            let middle = 0.5 * (seen.cab_end() + shape.rear_end_mm);
            vec![Mark::Ring(seen.at(middle, 0.62 * roof), 0.26 * roof)]
        }
        Spot::SpringsAndDampers => both(0.0, 1.35, 0.5),
    }
}

fn drawn(canvas: &mut Canvas, mark: &Mark) {
    match *mark {
        Mark::Ring(centre, radius) => canvas.circle("pict-spot", centre, radius),
        Mark::Measure(from, to) => {
            canvas.line("pict-spot", from, to);
            for [x, y] in [from, to] {
                canvas.line("pict-spot", [x - 150.0, y], [x + 150.0, y]);
            }
            canvas.path("pict-spot-end", &Path::diamond(from, 45.0));
        }
    }
}

/// Directions from a mark in which its number may stand, the first that is free: up and right, then round about.
const DIRECTIONS: [f64; 8] = [-0.9, -2.2, -0.2, -2.9, -1.55, 0.5, 2.6, 1.55];

/// A place beside a mark where no other number stands, off the wheels, between both ends of the drawing and above the
/// ground.
fn free(mark: &Mark, taken: &[Point], seen: &SeenFromSide, (left, right): (f64, f64)) -> Point {
    let ([x, y], reach) = match *mark {
        Mark::Ring(centre, radius) => (centre, radius + DISC),
        Mark::Measure(from, to) => ([from[0], 0.5 * (from[1] + to[1])], 150.0 + DISC),
    };
    let at = |angle: &f64, far: f64| [x + far * angle.cos(), y + far * angle.sin()];
    let is_free = |[a, b]: &Point| {
        let within = a - DISC > left && a + DISC < right && b + DISC < 0.0;
        let off_wheels = [FRONT, REAR].into_iter().all(|axle| {
            let [x, y] = seen.wheel(axle);
            (a - x).hypot(b - y) > seen.shape.tyre_radius_mm[axle] + DISC
        });
        within && off_wheels && taken.iter().all(|[c, d]| (a - c).hypot(b - d) > 2.1 * DISC)
    };
    let further = [1.0, 1.5, 2.0, 2.6, 3.3, 4.0]
        .into_iter()
        .flat_map(|far| DIRECTIONS.iter().map(move |angle| (angle, far)));
    let mut places = further.map(|(angle, far)| at(angle, far * reach));
    places.find(is_free).unwrap_or_else(|| at(&DIRECTIONS[0], reach))
}

/// Where the line to a number leaves its mark.
fn edge(mark: &Mark, [a, b]: Point) -> Point {
    match *mark {
        Mark::Ring([x, y], radius) => {
            let away = (a - x).hypot(b - y).max(radius);
            [x + radius * (a - x) / away, y + radius * (b - y) / away]
        }
        Mark::Measure(from, to) => [from[0], 0.5 * (from[1] + to[1])],
    }
}

fn number(canvas: &mut Canvas, number: usize, [x, y]: Point) {
    canvas.circle("pict-spot-disc", [x, y], DISC);
    canvas.text("pict-spot-number", [x, y + 0.36 * TEXT], Anchor::Middle, &number.to_string());
}
