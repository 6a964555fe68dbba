//! The van from above: what it carries where, what stands on each wheel, and its centre of gravity.

use mechanics::statics::{FRONT, REAR, side_of};
use workshop::answer::KnownVan;
use workshop::figure::Figure;
use workshop::load_list::LoadState;
use workshop::stance::Stance;

use crate::svg::{Anchor, Canvas, Frame, Path, Point, Said, shortened};
use crate::van::VanShape;
use crate::words::load_plan as words;

/// What the load plan shows.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadPlan {
    /// The van.
    pub shape: VanShape,
    /// Load state.
    pub state: LoadState,
    /// What is aboard.
    pub items: Vec<PlacedItem>,
    /// Load of each wheel on the ground, kg.
    pub corner_load_kg: [Figure; 4],
    /// Load of each axle on the ground, kg.
    pub axle_load_kg: [Figure; 2],
    /// Plated front and rear axle load, kg.
    pub plated_axle_kg: [f64; 2],
    /// Gross mass, kg.
    pub gross_kg: Figure,
    /// Plated gross mass, kg.
    pub plated_gross_kg: f64,
    /// Centre of gravity ahead of the front axle line and left of the centre plane, mm.
    pub centre_of_gravity_mm: [Figure; 2],
}

/// Something carried.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedItem {
    /// Name for people.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Nine times out of ten the true mass lies within this of it, kg.
    pub plus_minus_kg: f64,
    /// Ahead of the front axle line and left of the centre plane, mm.
    pub at_mm: [f64; 2],
}

impl LoadPlan {
    /// Of a van in the load state of a stance.
    pub fn of(known: &KnownVan, stance: &Stance) -> Self {
        let (sit, grade) = (&stance.sit, known.van.grade);
        let aboard = known.enquiry.items.iter().filter(|carried| carried.states.contains(&sit.state));
        let items = aboard.map(|carried| {
            let item = &carried.item;
            PlacedItem {
                name: item.name.clone(),
                mass_kg: item.mass_kg,
                plus_minus_kg: item.plus_minus_kg,
                at_mm: [-item.place.behind_front_axle_mm, item.place.left_of_centre_mm],
            }
        });
        Self {
            shape: VanShape::of(known),
            state: sit.state,
            items: items.collect(),
            corner_load_kg: std::array::from_fn(|i| sit.corners[i].corner_load_kg.clone()),
            axle_load_kg: sit.axle_load_kg.clone(),
            plated_axle_kg: [grade.plated_front_axle_kg, grade.plated_rear_axle_kg],
            gross_kg: stance.gross_kg.clone(),
            plated_gross_kg: grade.plated_gross_kg,
            centre_of_gravity_mm: stance.centre_of_gravity_mm.clone(),
        }
    }
}

/// Size of the text, mm of the van.
const TEXT: f64 = 104.0;
/// Radius of the disc of one kilogram, mm; discs grow with the root of the mass, so their area is the mass.
const RADIUS_OF_ONE_KG: f64 = 21.0;
/// Half the breadth of the drawing left of the centre plane, where the list begins, and where it ends.
const LEFT: f64 = 2150.0;
const LIST: f64 = 2080.0;
const RIGHT: f64 = 4750.0;
/// Most letters of a name in the list.
const LETTERS: usize = 37;

/// Draws the van from above, nose up, left on the left.
pub fn load_plan(plan: &LoadPlan, frame: &Frame) -> String {
    let mut canvas = Canvas::new(*frame, TEXT);
    canvas.tells_figures(
        plan.corner_load_kg.iter().chain(&plan.axle_load_kg).chain(&plan.centre_of_gravity_mm),
    );
    canvas.tells(plan.plated_axle_kg.into_iter().chain([plan.plated_gross_kg]));
    canvas.tells(plan.items.iter().flat_map(|item| [item.mass_kg, item.plus_minus_kg]));
    let language = frame.language;
    let shape = &plan.shape;
    body(&mut canvas, shape);
    corners(&mut canvas, plan);
    items(&mut canvas, plan);
    centre_of_gravity(&mut canvas, plan);
    list(&mut canvas, plan);
    let top = -shape.front_end_mm - 330.0;
    canvas.text("pict-small", [0.0, -shape.front_end_mm - 90.0], Anchor::Middle, words::nose(language));
    let bottom = (-shape.rear_end_mm + 150.0).max(top + 340.0 + list_height(plan));
    let said = Said { title: words::title(language, plan), description: words::description(language, plan) };
    canvas.finish("pict-load-plan", [-LEFT, top, LEFT + RIGHT, bottom - top], &said)
}

/// Seen from above, nose up: x to the right is right of the van.
fn above([ahead, left]: [f64; 2]) -> Point {
    [-left, -ahead]
}

fn half_width(shape: &VanShape) -> f64 {
    shape.lip_mm[FRONT][1].max(shape.lip_mm[REAR][1]) + 55.0
}

fn body(canvas: &mut Canvas, shape: &VanShape) {
    let (half, nose, tail) = (half_width(shape), -shape.front_end_mm, -shape.rear_end_mm);
    for axle in [FRONT, REAR] {
        let [x, y, _] = shape.wheel_mm[axle];
        let (long, wide) = (shape.tyre_radius_mm[axle], 0.5 * shape.tyre_width_mm[axle]);
        for side in [-1.0, 1.0] {
            canvas.rect("pict-rubber", [side * y - wide, -x - long], [2.0 * wide, 2.0 * long], 60.0);
        }
    }
    let outline = Path::from([-half, nose + 420.0])
        .curve([-half, nose + 90.0], [-half + 160.0, nose], [-0.45 * half, nose])
        .to([0.45 * half, nose])
        .curve([half - 160.0, nose], [half, nose + 90.0], [half, nose + 420.0])
        .to([half, tail - 110.0])
        .round([half, tail], [half - 110.0, tail])
        .to([-half + 110.0, tail])
        .round([-half, tail], [-half, tail - 110.0])
        .closed();
    canvas.path("pict-body pict-see-through", &outline);
    let screen = Path::from([-0.80 * half, nose + 700.0])
        .curve([-0.5 * half, nose + 610.0], [0.5 * half, nose + 610.0], [0.80 * half, nose + 700.0])
        .to([0.74 * half, nose + 1010.0])
        .curve([0.4 * half, nose + 960.0], [-0.4 * half, nose + 960.0], [-0.74 * half, nose + 1010.0])
        .closed();
    canvas.path("pict-seam", &screen);
}

fn corners(canvas: &mut Canvas, plan: &LoadPlan) {
    let language = canvas.language();
    for corner in 0..4 {
        let axle = corner / 2;
        let out = -side_of(corner);
        let x = out * (half_width(&plan.shape) + 90.0);
        let y = -plan.shape.wheel_mm[axle][0];
        let anchor = if out < 0.0 { Anchor::End } else { Anchor::Start };
        let load = &plan.corner_load_kg[corner];
        canvas.text("pict-small", [x, y - 130.0], anchor, words::place(language, corner));
        canvas.text("pict-number", [x, y + 25.0], anchor, &words::kg(load.value));
        canvas.text("pict-small", [x, y + 150.0], anchor, &words::range(language, load));
    }
}

fn radius(mass_kg: f64) -> f64 {
    RADIUS_OF_ONE_KG * mass_kg.max(0.0).sqrt()
}

/// Discs first, then their numbers, each where it hides no other.
fn items(canvas: &mut Canvas, plan: &LoadPlan) {
    let mut by_mass: Vec<(usize, &PlacedItem)> = plan.items.iter().enumerate().collect();
    by_mass.sort_by(|a, b| b.1.mass_kg.total_cmp(&a.1.mass_kg));
    for (_, item) in &by_mass {
        canvas.circle("pict-disc", above(item.at_mm), radius(item.mass_kg));
    }
    let mut taken: Vec<Point> =
        vec![above([plan.centre_of_gravity_mm[0].value, plan.centre_of_gravity_mm[1].value])];
    for (k, item) in &by_mass {
        let ([x, y], out) = (above(item.at_mm), radius(item.mass_kg) + TAG);
        let steps = [
            [0.0, 0.0],
            [1.0, 0.0],
            [-1.0, 0.0],
            [0.0, -1.0],
            [0.0, 1.0],
            [0.8, 0.8],
            [-0.8, 0.8],
            [0.8, -0.8],
            [-0.8, -0.8],
        ];
        let places = [1.0, 1.8, 2.8]
            .into_iter()
            .flat_map(|far| steps.map(|[dx, dy]| [x + far * dx * out, y + far * dy * out]));
        let free =
            |at: &Point| taken.iter().all(|other| (at[0] - other[0]).hypot(at[1] - other[1]) > 2.1 * TAG);
        let at = places.clone().find(free).unwrap_or([x, y]);
        if (at[0] - x).hypot(at[1] - y) > 1.0 {
            canvas.line("pict-leader", [x, y], at);
            canvas.circle("pict-centre", [x, y], 12.0);
        }
        canvas.circle("pict-tag", at, TAG);
        canvas.text("pict-small pict-strong", [at[0], at[1] + 32.0], Anchor::Middle, &(k + 1).to_string());
        taken.push(at);
    }
}

/// Radius of the circle round a number.
const TAG: f64 = 68.0;

fn centre_of_gravity(canvas: &mut Canvas, plan: &LoadPlan) {
    let [ahead, left] = &plan.centre_of_gravity_mm;
    let [x, y] = above([ahead.value, left.value]);
    canvas.ellipse(
        "pict-band pict-band-edge",
        [x, y],
        [left.half_width().max(8.0), ahead.half_width().max(8.0)],
    );
    let reach = 110.0;
    canvas.line("pict-gap", [x - reach, y], [x + reach, y]);
    canvas.line("pict-gap", [x, y - reach], [x, y + reach]);
    canvas.circle("pict-cross-ring", [x, y], 62.0);
    let edge = -(half_width(&plan.shape) + 90.0);
    canvas.line("pict-leader", [x - reach, y], [edge + 30.0, y]);
    for (k, text) in words::centre_of_gravity(canvas.language(), ahead, left).iter().enumerate() {
        let class = if k == 0 { "pict-text" } else { "pict-small" };
        canvas.text(class, [edge, y + 20.0 + 125.0 * k as f64], Anchor::End, text);
    }
}

const LIMIT_LINE: f64 = 165.0;

fn list_height(plan: &LoadPlan) -> f64 {
    150.0 + line_height(plan) * plan.items.len() as f64 + 250.0 + 3.0 * LIMIT_LINE
}

/// As much room for each item as there is, within what can be read.
fn line_height(plan: &LoadPlan) -> f64 {
    let length = plan.shape.front_end_mm - plan.shape.rear_end_mm;
    let room = length - 250.0 - 3.0 * LIMIT_LINE - 300.0;
    (room / plan.items.len().max(1) as f64).clamp(170.0, 265.0)
}

/// What the numbers are, and what the plate allows.
fn list(canvas: &mut Canvas, plan: &LoadPlan) {
    let language = canvas.language();
    let top = -plan.shape.front_end_mm + 20.0;
    canvas.text("pict-head", [LIST, top], Anchor::Start, &words::aboard(language, plan.state));
    let mut y = top + 190.0;
    for (k, item) in plan.items.iter().enumerate() {
        canvas.circle("pict-tag", [LIST + TAG, y - 34.0], TAG);
        canvas.text("pict-small pict-strong", [LIST + TAG, y - 2.0], Anchor::Middle, &(k + 1).to_string());
        canvas.text("pict-text", [LIST + 200.0, y - 35.0], Anchor::Start, &shortened(&item.name, LETTERS));
        canvas.text("pict-small", [LIST + 200.0, y + 62.0], Anchor::Start, &words::mass(item));
        y += line_height(plan);
    }
    if plan.items.is_empty() {
        canvas.text("pict-text", [LIST, y], Anchor::Start, words::nothing(language));
        y += 200.0;
    }
    y += 110.0;
    canvas.line("pict-thin", [LIST, y - 130.0], [RIGHT - 60.0, y - 130.0]);
    for text in words::limits(language, plan) {
        canvas.text("pict-text", [LIST, y], Anchor::Start, &text);
        y += LIMIT_LINE;
    }
}
