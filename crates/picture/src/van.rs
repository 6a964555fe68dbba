//! A van as drawings need it: what its sheet states, what stands in for what it does not, and how it stands.

use mechanics::statics::{BodyPose, FRONT, REAR, side_of};
use workshop::answer::KnownVan;
use workshop::figure::Figure;
use workshop::stance::Stance;
use workshop::tyre_marking::TyreMarking;
use workshop::units::{m_from_mm, mm_from_m};
use workshop::vehicle_sheet::VehicleSheet;

/// Outline of a van, mm in body axes: x forward from the front axle line, y left, z up.
///
/// Wheelbase, length, arches, wheels and low points are those of the sheet. How the length is shared between both
/// overhangs, and roof, nose and windows, are proportions of a light van of this length.
#[derive(Debug, Clone, PartialEq)]
pub struct VanShape {
    /// Van class.
    pub name: String,
    /// Front end, ahead of the front axle line.
    pub front_end_mm: f64,
    /// Rear end, negative.
    pub rear_end_mm: f64,
    /// Roof above the ground of the design drawing.
    pub roof_mm: f64,
    /// Lower edge between the axles.
    pub sill_mm: f64,
    /// Lower edge of the front and the rear apron.
    pub apron_mm: [f64; 2],
    /// Left arch lip of each axle.
    pub lip_mm: [[f64; 3]; 2],
    /// Left wheel centre of each axle.
    pub wheel_mm: [[f64; 3]; 2],
    /// Unloaded radius of the tyres of each axle.
    pub tyre_radius_mm: [f64; 2],
    /// Rim radius of each axle.
    pub rim_radius_mm: [f64; 2],
    /// Section width of the tyres of each axle.
    pub tyre_width_mm: [f64; 2],
    /// From the tyre's outer edge to the plane of the arch lip, as measured on the original wheel; absent where it was not,
    /// or where another wheel is fitted.
    pub lip_outboard_mm: [Option<f64>; 2],
    /// Centre of the left lamp, where the sheet states it.
    pub lamp_mm: Option<[f64; 3]>,
    /// Centre of the tow ball, where the sheet states it.
    pub tow_ball_mm: Option<[f64; 3]>,
}

/// One side of one axle.
#[derive(Debug, Clone, PartialEq)]
pub struct Arch {
    /// Wheel centre above the ground, mm.
    pub wheel_centre_height_mm: f64,
    /// Wheel centre to arch lip, mm.
    pub arch_height_mm: Figure,
    /// Arch height less the unloaded tyre radius, mm.
    pub gap_mm: Figure,
}

/// How a van stands, as far as a drawing shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct ShownStance {
    /// Body over level ground.
    pub body: BodyPose,
    /// Front left, front right, rear left, rear right.
    pub arches: [Arch; 4],
    /// Rear less front arch height, less the same with the load floor horizontal; tail-up positive, mm.
    pub level_mm: Figure,
    /// Body against the ground, nose-down positive, degrees.
    pub body_pitch_deg: Figure,
    /// Camber of each wheel, degrees; absent where it is not known.
    pub camber_deg: [Option<Figure>; 4],
    /// Lowest point under the body where points are known: its name, where it is in body axes, its height above the ground,
    /// mm.
    pub lowest: Option<(String, [f64; 3], Figure)>,
}

/// Roof height per length of a light van (own estimate).
const ROOF_PER_LENGTH: f64 = 0.40;
/// Sill height per tyre radius where the sheet has no lifting points (own estimate).
const SILL_PER_RADIUS: f64 = 0.72;
/// Height of front and rear apron where the sheet has no low point there, mm (own estimate).
const USUAL_APRON_MM: [f64; 2] = [225.0, 330.0];
const MM_PER_INCH: f64 = 25.4;

impl VanShape {
    /// Of a van on the wheels it stands on.
    pub fn of(known: &KnownVan) -> Self {
        let sheet = known.van.sheet;
        let axles = [FRONT, REAR];
        let tyre_radius_mm = axles.map(|axle| known.van.tyres[axle].unloaded_radius_mm);
        let marking = axles.map(|axle| known.van.tyres[axle].size.parse::<TyreMarking>().ok());
        let (front_end_mm, rear_end_mm) = ends_mm(sheet);
        let lifting = &sheet.body.lifting_points;
        let sill_mm = if lifting.is_empty() {
            SILL_PER_RADIUS * tyre_radius_mm[FRONT]
        } else {
            lifting.iter().map(|point| point.at_mm[2]).sum::<f64>() / lifting.len() as f64
        };
        let wheel_mm = axles.map(|axle| known.van.table(axle).wheel_centre_design_m.map(mm_from_m));
        let original = axles.map(|axle| {
            known.van.outboard_m.abs() <= 0.0
                && known.van.tyres[axle].size == known.van.axle_sheet(axle).tyre.size
        });
        Self {
            name: format!("{}, {}", sheet.name, known.van.grade.name),
            front_end_mm,
            rear_end_mm,
            roof_mm: ROOF_PER_LENGTH * sheet.length_mm,
            sill_mm,
            apron_mm: axles.map(|axle| apron_mm(sheet, axle)),
            lip_mm: axles.map(|axle| known.van.axle_sheet(axle).arch_lip_mm),
            wheel_mm,
            rim_radius_mm: axles.map(|axle| {
                marking[axle]
                    .map_or(0.6 * tyre_radius_mm[axle], |marked| 0.5 * MM_PER_INCH * marked.rim_diameter_inch)
            }),
            tyre_width_mm: axles.map(|axle| {
                marking[axle].map_or(0.65 * tyre_radius_mm[axle], |marked| f64::from(marked.width_mm))
            }),
            lip_outboard_mm: axles.map(|axle| sheet.wheels.room[axle].outboard_mm.filter(|_| original[axle])),
            tyre_radius_mm,
            lamp_mm: sheet.body.lamp.as_ref().map(|lamp| lamp.centre_mm),
            tow_ball_mm: sheet.body.tow_ball.as_ref().map(|ball| ball.centre_mm),
        }
    }
}

/// Both ends of the body: the length of the sheet, what is left beyond its foremost and rearmost known points shared
/// equally.
fn ends_mm(sheet: &VehicleSheet) -> (f64, f64) {
    let known = sheet.body.underbody.iter().map(|point| point.at_mm[0]);
    let known = known.chain(sheet.body.lamp.as_ref().map(|lamp| lamp.centre_mm[0]));
    let rear_axle_mm = -sheet.wheelbase_mm;
    let (foremost, rearmost) =
        known.fold((0.0_f64, rear_axle_mm), |(most, least), x| (most.max(x), least.min(x)));
    let beyond = sheet.length_mm - (foremost - rearmost);
    if foremost > 0.0 && rearmost < rear_axle_mm && beyond >= 0.0 {
        (foremost + 0.5 * beyond, rearmost - 0.5 * beyond)
    } else {
        let overhang = 0.5 * (sheet.length_mm - sheet.wheelbase_mm);
        (overhang, rear_axle_mm - overhang)
    }
}

fn apron_mm(sheet: &VehicleSheet, axle: usize) -> f64 {
    let beyond = |x: f64| if axle == FRONT { x > 300.0 } else { x < -sheet.wheelbase_mm - 300.0 };
    let points = sheet.body.underbody.iter().filter(|point| beyond(point.at_mm[0]));
    points.map(|point| point.at_mm[2]).min_by(f64::total_cmp).unwrap_or(USUAL_APRON_MM[axle])
}

impl ShownStance {
    /// Of a stance.
    pub fn of(stance: &Stance) -> Self {
        let (rest, sit) = (&stance.solved.rest, &stance.sit);
        Self {
            body: rest.body,
            arches: std::array::from_fn(|i| Arch {
                wheel_centre_height_mm: mm_from_m(rest.wheel_centre_height_m[i]),
                arch_height_mm: sit.corners[i].arch_height_mm.clone(),
                gap_mm: sit.corners[i].arch_gap_mm.clone(),
            }),
            level_mm: sit.level_mm.clone(),
            body_pitch_deg: sit.body_pitch_deg.clone(),
            camber_deg: stance.camber_deg.clone(),
            lowest: stance
                .lowest
                .as_ref()
                .map(|(point, height)| (point.name.clone(), point.at_mm, height.clone())),
        }
    }

    /// Every figure.
    pub(crate) fn figures(&self) -> impl Iterator<Item = &Figure> {
        let arches = self.arches.iter().flat_map(|arch| [&arch.arch_height_mm, &arch.gap_mm]);
        let camber = self.camber_deg.iter().flatten();
        let lowest = self.lowest.iter().map(|(_, _, height)| height);
        arches.chain(camber).chain(lowest).chain([&self.level_mm, &self.body_pitch_deg])
    }

    /// Height of an arch lip above the ground, mm.
    pub(crate) fn lip_height_mm(&self, corner: usize) -> f64 {
        self.arches[corner].wheel_centre_height_mm + self.arches[corner].arch_height_mm.value
    }

    /// Height of a body-fixed point above the ground, mm, along a plane through both arch lips of a side: what readings
    /// taught of the lips moves the drawn body with them.
    pub(crate) fn height_mm(&self, shape: &VanShape, side: usize, [x, z]: [f64; 2]) -> f64 {
        let at = |[x, y, z]: [f64; 3]| mm_from_m(self.body.height_of_m([x, y, z].map(m_from_mm)));
        let lip_y = |axle: usize| side_of(side) * shape.lip_mm[axle][1];
        let lip_off = |axle: usize| {
            let [x, _, z] = shape.lip_mm[axle];
            self.lip_height_mm(2 * axle + side) - at([x, lip_y(axle), z])
        };
        let (front, rear) = (shape.lip_mm[FRONT][0], shape.lip_mm[REAR][0]);
        let towards_rear = (front - x) / (front - rear);
        let between = |of: &dyn Fn(usize) -> f64| of(FRONT) + (of(REAR) - of(FRONT)) * towards_rear;
        at([x, between(&lip_y), z]) + between(&lip_off)
    }
}
