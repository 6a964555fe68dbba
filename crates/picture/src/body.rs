//! The generic outline of a light van, seen from one side, laid over its true arches.

use mechanics::statics::{FRONT, REAR};

use crate::svg::{Path, Point};
use crate::van::{ShownStance, VanShape};

/// Share of a circle's radius at which the control points of a quarter of it lie.
const QUARTER: f64 = 0.5523;
/// Width of an arch to either side per arch height (own estimate).
const ARCH_WIDTH: f64 = 0.97;

/// A van standing, ready to be drawn from one side: 0 from the left, nose to the left; 1 from the right.
#[derive(Clone, Copy)]
pub(crate) struct SeenFromSide<'a> {
    pub(crate) shape: &'a VanShape,
    pub(crate) standing: &'a ShownStance,
    pub(crate) side: usize,
}

impl SeenFromSide<'_> {
    /// Where a point of the body appears, mm, y from the ground downwards.
    pub(crate) fn at(&self, x: f64, z: f64) -> Point {
        let pitch = self.standing.body.pitch_rad;
        let ahead = x * pitch.cos() + (z - self.shape.wheel_mm[FRONT][2]) * pitch.sin();
        [self.across(ahead), -self.standing.height_mm(self.shape, self.side, [x, z])]
    }

    /// Where something this far ahead of the front axle appears.
    pub(crate) fn across(&self, ahead: f64) -> f64 {
        if self.side == 0 { -ahead } else { ahead }
    }

    pub(crate) fn corner(&self, axle: usize) -> usize {
        2 * axle + self.side
    }

    /// Centre of a wheel; its way along the van with travel is not drawn.
    pub(crate) fn wheel(&self, axle: usize) -> Point {
        let height = self.standing.arches[self.corner(axle)].wheel_centre_height_mm;
        [self.across(self.shape.wheel_mm[axle][0]), -height]
    }

    /// The lip straight above the wheel, where the arch height is read.
    pub(crate) fn lip(&self, axle: usize) -> Point {
        [self.wheel(axle)[0], -self.standing.lip_height_mm(self.corner(axle))]
    }

    /// Half the width of an arch, and the height at which it is widest.
    fn arch(&self, axle: usize) -> (f64, f64) {
        let hub = self.shape.wheel_mm[axle][2];
        (ARCH_WIDTH * (self.shape.lip_mm[axle][2] - hub), hub)
    }

    /// The arch's edge over the wheel as a path from its forward foot to its rearward one, `raised` by so much, and its
    /// points: forward foot, crown, rearward foot.
    fn over_arch(&self, path: Option<Path>, axle: usize, raised: f64, forwards: bool) -> Path {
        let (half, hub) = self.arch(axle);
        let [x, _, crown] = self.shape.lip_mm[axle];
        let rise = crown - hub;
        let up = |[x, y]: Point| [x, y - raised];
        let at = |dx: f64, z: f64| up(self.at(x + if forwards { -dx } else { dx }, z));
        let start = at(half, hub);
        let path = match path {
            Some(path) => path.to(start),
            None => Path::from(start),
        };
        path.curve(at(half, hub + QUARTER * rise), at(QUARTER * half, crown), at(0.0, crown)).curve(
            at(-QUARTER * half, crown),
            at(-half, hub + QUARTER * rise),
            at(-half, hub),
        )
    }

    /// The edge of an arch alone, `raised` by so much.
    pub(crate) fn arch_edge(&self, axle: usize, raised: f64) -> Path {
        self.over_arch(None, axle, raised, false)
    }

    /// What lies between the edge of an arch lowered and raised.
    pub(crate) fn arch_band(&self, axle: usize, [low, high]: [f64; 2]) -> Path {
        let path = self.over_arch(None, axle, high, false);
        self.over_arch(Some(path), axle, low, true).closed()
    }

    /// The body above an arch, out to `far` from the wheel.
    pub(crate) fn above_arch(&self, axle: usize, far: f64) -> Path {
        let (half, hub) = self.arch(axle);
        let [x, _, crown] = self.shape.lip_mm[axle];
        let path = self
            .arch_edge(axle, 0.0)
            .to(self.at(x - half, hub - far))
            .to(self.at(x - far, hub - far))
            .to(self.at(x - far, crown + far))
            .to(self.at(x + far, crown + far))
            .to(self.at(x + far, hub - far));
        path.to(self.at(x + half, hub - far)).closed()
    }

    fn windscreen(&self) -> ([f64; 2], [f64; 2]) {
        let (shape, wheelbase) = (self.shape, self.shape.wheel_mm[FRONT][0] - self.shape.wheel_mm[REAR][0]);
        let foot = [0.055 * wheelbase, 0.575 * shape.roof_mm];
        let head = [-0.235 * wheelbase, 0.975 * shape.roof_mm];
        (foot, head)
    }

    /// Upper end of the windscreen, in body axes.
    pub(crate) fn windscreen_head(&self) -> [f64; 2] {
        self.windscreen().1
    }

    /// Ahead of the front axle line: where the cab ends and the load space begins.
    pub(crate) fn cab_end(&self) -> f64 {
        self.windscreen().1[0] - 560.0
    }

    /// The whole outline.
    pub(crate) fn outline(&self) -> Path {
        let shape = self.shape;
        let (nose, tail, roof, sill) = (shape.front_end_mm, shape.rear_end_mm, shape.roof_mm, shape.sill_mm);
        let [apron_front, apron_rear] = shape.apron_mm;
        let (foot, head) = self.windscreen();
        let at = |x: f64, z: f64| self.at(x, z);
        let feet = [FRONT, REAR].map(|axle| {
            let half = self.arch(axle).0;
            [shape.lip_mm[axle][0] + half, shape.lip_mm[axle][0] - half]
        });
        let path = Path::from(at(nose - 90.0, apron_front)).to(at(feet[FRONT][0], apron_front + 25.0));
        let path = self.over_arch(Some(path), FRONT, 0.0, false);
        let path = path.to(at(feet[FRONT][1], sill)).to(at(feet[REAR][0], sill));
        let path = self.over_arch(Some(path), REAR, 0.0, false);
        path.to(at(feet[REAR][1], apron_rear - 10.0))
            .to(at(tail + 90.0, apron_rear))
            .round(at(tail, apron_rear), at(tail, apron_rear + 90.0))
            .to(at(tail + 10.0, 0.48 * roof))
            .curve(at(tail + 20.0, 0.80 * roof), at(tail + 45.0, 0.985 * roof), at(tail + 210.0, 0.99 * roof))
            .curve(
                at(tail + 0.32 * (head[0] - tail), roof + 8.0),
                at(head[0] - 300.0, roof + 18.0),
                at(head[0], head[1]),
            )
            .curve(
                at(head[0] + 0.30 * (foot[0] - head[0]), head[1] - 0.08 * (head[1] - foot[1])),
                at(foot[0] - 0.26 * (foot[0] - head[0]), foot[1] + 0.34 * (head[1] - foot[1])),
                at(foot[0], foot[1]),
            )
            .curve(
                at(foot[0] + 0.45 * (nose - foot[0]), foot[1] - 0.05 * roof),
                at(nose - 60.0, 0.50 * roof),
                at(nose - 25.0, 0.37 * roof),
            )
            .curve(at(nose, 0.30 * roof), at(nose, 0.24 * roof), at(nose - 5.0, apron_front + 90.0))
            .round(at(nose - 5.0, apron_front), at(nose - 90.0, apron_front))
            .closed()
    }

    /// The cab's side window.
    pub(crate) fn window(&self) -> Path {
        let (foot, head) = self.windscreen();
        let at = |x: f64, z: f64| self.at(x, z);
        let (rear, low, high) = (self.cab_end() + 90.0, foot[1] + 15.0, head[1] - 0.095 * self.shape.roof_mm);
        Path::from(at(rear, low))
            .to(at(foot[0] - 230.0, low))
            .curve(
                at(foot[0] - 330.0, low + 0.45 * (high - low)),
                at(head[0] + 190.0, high - 60.0),
                at(head[0] + 20.0, high),
            )
            .to(at(rear + 60.0, high))
            .round(at(rear, high), at(rear, high - 60.0))
            .closed()
    }

    /// The edge of the door and its handle.
    pub(crate) fn seams(&self) -> Path {
        let (shape, cab) = (self.shape, self.cab_end());
        let at = |x: f64, z: f64| self.at(x, z);
        Path::from(at(cab, shape.sill_mm + 30.0))
            .to(at(cab, 0.93 * shape.roof_mm))
            .on_from(at(cab + 70.0, 0.50 * shape.roof_mm))
            .to(at(cab + 210.0, 0.50 * shape.roof_mm))
    }
}
