//! Rest position: Newton's method on the stationarity of energy, several vans side by side.

use super::equilibrium::{Derivatives, Figures, Vans, state_of};
use super::stiffness::{State, Stiffness};
use super::{BodyPose, CORNERS, FourCorners, Rest, Sample};
use crate::lanes::Lanes;

/// Why no rest position was found.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoRest {
    /// The search ended with forces still out of balance: no spring carries the van within its travel.
    #[error(
        "the van finds no rest: {force_n:.0} N remain out of balance after {steps} steps, at corner travels {travel_m:.3?} m"
    )]
    NotBalanced {
        /// Largest force (or moment over its lever, one metre or more) left, N.
        force_n: f64,
        /// Steps taken.
        steps: usize,
        /// Wheel travels reached, m.
        travel_m: [f64; CORNERS],
    },
    /// A number that is not finite came in or arose.
    #[error("the van cannot be computed: a quantity is not a finite number")]
    NotFinite,
}

/// Forces are balanced to this, N, and moments over the lever of the tyres, or over one metre where that is longer, or
/// would be by the quadratic convergence of the last steps. A gram at a corner is 0.01 N.
const FORCE_TOLERANCE_N: f64 = 1e-7;
const MOST_STEPS: usize = 200;
/// Steps that are tried without care at first: of places that are known roughly two or three find the rest.
const STRAIGHT_STEPS: usize = 8;
/// What quadratic convergence leaves after a step below which the step need not be confirmed, m and rad, after a step no
/// longer than this and so much shorter than the one before: across a kink of a part (a leaf that joins) a step of a
/// micrometre leaves less than a newton at most.
const LEFT_OVER: f64 = 1e-13;
const LONGEST_LAST_STEP: f64 = 1e-6;
const LEAST_CONTRACTION: f64 = 0.01;
/// Longest single step of a travel, m, and of an angle, rad; keeps the search inside the tables.
const LONGEST_STEP: f64 = 0.05;
/// Halvings of a step on which the energy turns.
const MOST_HALVINGS: usize = 30;
/// Vans whose rests are found side by side: as many as fill a vector of most machines.
const SIDE_BY_SIDE: usize = 4;

impl FourCorners {
    /// Rest on level ground, searched from design height.
    ///
    /// # Errors
    /// [`NoRest`] when the search does not end in balance.
    pub fn rest(&self) -> Result<Rest, NoRest> {
        self.rest_from(BodyPose::default(), [0.0; CORNERS])
    }

    /// Rest on level ground, searched from a given pose and wheel travels.
    ///
    /// # Errors
    /// [`NoRest`] when the search does not end in balance.
    pub fn rest_from(&self, body: BodyPose, travel_m: [f64; CORNERS]) -> Result<Rest, NoRest> {
        let mut rest = [Err(NoRest::NotFinite)];
        search(&mut Vans::of([self]), None, [&(body, travel_m)], &mut rest);
        rest[0]
    }

    /// Rests of several vans, each searched from its own pose and wheel travels: the same as one by one, and several times
    /// as fast.
    pub fn rests_from(vans: &[Self], places: &[(BodyPose, [f64; CORNERS])]) -> Vec<Result<Rest, NoRest>> {
        if let ([van], [(body, travel_m)]) = (vans, places) {
            return vec![van.rest_from(*body, *travel_m)];
        }
        in_groups(vans.len().min(places.len()), |group, rests| {
            search(&mut Vans::of(group.map(|i| &vans[i])), None, group.map(|i| &places[i]), rests);
        })
    }

    /// Rests of samples of this van, each searched from its own pose and wheel travels: as those of [`Self::sampled`], and
    /// faster, what they share being looked up once.
    pub fn rests_of(
        &self,
        samples: &[Sample],
        places: &[(BodyPose, [f64; CORNERS])],
    ) -> Vec<Result<Rest, NoRest>> {
        let mut vans = Vans::of([self; SIDE_BY_SIDE]);
        if !vans.are_on_coils() {
            let vans: Vec<Self> = samples.iter().map(|sample| self.sampled(sample)).collect();
            return Self::rests_from(&vans, places);
        }
        in_groups(samples.len().min(places.len()), |group, rests| {
            search(&mut vans, Some(group.map(|i| &samples[i])), group.map(|i| &places[i]), rests);
        })
    }
}

/// Has rests of so many vans searched in groups side by side; the last van fills what is left of the last group.
fn in_groups(
    count: usize,
    mut search: impl FnMut([usize; SIDE_BY_SIDE], &mut [Result<Rest, NoRest>]),
) -> Vec<Result<Rest, NoRest>> {
    let mut rests = vec![Err(NoRest::NotFinite); count];
    for (group, rests) in rests.chunks_mut(SIDE_BY_SIDE).enumerate() {
        let first = group * SIDE_BY_SIDE;
        search(std::array::from_fn(|lane| (first + lane).min(count - 1)), rests);
    }
    rests
}

/// Searches in the widest vectors the machine has; samples, where there are any, in the place of the vans.
fn search<'a, const N: usize>(
    vans: &'a mut Vans<'_, N>,
    samples: Option<[&'a Sample; N]>,
    places: [&'a (BodyPose, [f64; CORNERS]); N],
    rests: &'a mut [Result<Rest, NoRest>],
) {
    pulp::Arch::new().dispatch(Task { vans, samples, places, rests });
}

struct Task<'a, 'v, const N: usize> {
    vans: &'a mut Vans<'v, N>,
    samples: Option<[&'a Sample; N]>,
    places: [&'a (BodyPose, [f64; CORNERS]); N],
    /// One for each van, or for the first of them.
    rests: &'a mut [Result<Rest, NoRest>],
}

impl<const N: usize> pulp::WithSimd for Task<'_, '_, N> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: pulp::Simd>(self, _simd: S) {
        let Self { vans, samples, places, rests } = self;
        if let Some(samples) = samples {
            vans.put(samples);
        }
        let mut search = Search::from(state_of(places));
        search.go_straight(vans);
        while !search.is_over() {
            let Derivatives { gradient, stiffness } = &vans.derivatives_at(&search.at);
            let arrived = search.judge(gradient, stiffness);
            if search.is_over() {
                break;
            }
            if arrived.contains(&true) {
                search.turn(gradient, stiffness, arrived);
            }
            search.go_on();
        }
        search.write(&vans.figures_at(&search.at), rests);
    }
}

/// How far the search for one van is.
#[derive(Clone, Copy, PartialEq)]
enum Progress {
    Underway,
    Balanced,
    NotBalanced { force_n: f64 },
    NotFinite,
}

/// Newton's method, each van at its own step.
///
/// A step is gone until the energy stops falling. Where it clearly rises at the end of the step (a stop has closed), the
/// place where it turns is found by bisection, so the search cannot jump to and fro across a kink.
struct Search<const N: usize> {
    at: State<N>,
    /// Where the step began, and the step.
    from: State<N>,
    step: State<N>,
    /// Share of the step that is tried; shares at which the energy falls and rises.
    share: Lanes<N>,
    falling: Lanes<N>,
    rising: Lanes<N>,
    /// Slope of the energy along the step that counts as none.
    flat: Lanes<N>,
    /// Largest entry of the step as Newton's method asks for it; infinite before the first.
    length: Lanes<N>,
    halvings: [usize; N],
    steps: [usize; N],
    progress: [Progress; N],
}

impl<const N: usize> Search<N> {
    #[inline(always)]
    fn from(start: State<N>) -> Self {
        let nought = Lanes::splat(0.0);
        Self {
            at: start,
            from: [nought; 7],
            step: [nought; 7],
            share: Lanes::splat(1.0),
            falling: nought,
            rising: Lanes::splat(1.0),
            flat: nought,
            length: Lanes::splat(f64::INFINITY),
            halvings: [0; N],
            steps: [0; N],
            progress: [Progress::Underway; N],
        }
    }

    /// Goes Newton's steps as long as nothing in any van asks for care: the same steps as with care, and sooner done.
    #[inline(always)]
    fn go_straight(&mut self, vans: &Vans<'_, N>) {
        let (one, nought) = (Lanes::splat(1.0), Lanes::splat(0.0));
        // 1 for vans on their way, 0 for those that rest
        let mut underway = one;
        for steps in 0..STRAIGHT_STEPS {
            let Derivatives { gradient, stiffness } = &vans.derivatives_at(&self.at);
            let turns = self.flat.if_less(inner(gradient, &self.step) * underway, one, nought);
            let balance = Balance::of(gradient, stiffness);
            let eliminated = stiffness.eliminated();
            let step = eliminated.solved(&downhill(gradient));
            let length = largest(&step);
            let is_clear = turns.is_less_everywhere(one)
                && balance.sum_n.is_less_everywhere(Lanes::splat(f64::INFINITY))
                && eliminated.is_positive_everywhere()
                && length.is_less_everywhere(Lanes::splat(LONGEST_STEP));
            if !is_clear {
                return;
            }
            underway = balance.excess.if_less(nought, nought, underway);
            for k in 0..7 {
                self.from[k] = self.at[k];
                self.step[k] = step[k] * underway;
                self.at[k] += self.step[k];
            }
            self.flat = inner(gradient, &step).map(f64::abs) * 0.1;
            let left = if steps > 0 { left_over(length, length / self.length) } else { one };
            self.length = length;
            for lane in 0..N {
                self.steps[lane] += underway.0[lane] as usize;
            }
            underway = underway * left;
            for lane in 0..N {
                if underway.0[lane] < 1.0 {
                    self.progress[lane] = Progress::Balanced;
                }
            }
            if underway.is_less_everywhere(one) {
                return;
            }
        }
    }

    /// Judges the place that was tried: vans in `true` have gone their step and need another.
    #[inline(always)]
    fn judge(&mut self, gradient: &State<N>, stiffness: &Stiffness<N>) -> [bool; N] {
        let slope = inner(gradient, &self.step);
        let balance = Balance::of(gradient, stiffness);
        let mut arrived = [false; N];
        for lane in 0..N {
            if self.progress[lane] != Progress::Underway {
                continue;
            }
            let (slope, flat) = (slope.0[lane], self.flat.0[lane]);
            let halved = self.halvings[lane];
            if slope > flat && halved < MOST_HALVINGS {
                self.rising.0[lane] = self.share.0[lane];
            } else if slope < -flat && (1..MOST_HALVINGS).contains(&halved) {
                self.falling.0[lane] = self.share.0[lane];
            } else {
                self.progress[lane] = if !balance.sum_n.0[lane].is_finite() {
                    Progress::NotFinite
                } else if balance.excess.0[lane] < 0.0 {
                    Progress::Balanced
                } else if self.steps[lane] < MOST_STEPS {
                    Progress::Underway
                } else {
                    given_up(gradient, stiffness, lane)
                };
                arrived[lane] = self.progress[lane] == Progress::Underway;
                continue;
            }
            self.halvings[lane] += 1;
            self.share.0[lane] = 0.5 * (self.falling.0[lane] + self.rising.0[lane]);
        }
        arrived
    }

    #[inline(always)]
    fn is_over(&self) -> bool {
        self.progress.iter().all(|progress| *progress != Progress::Underway)
    }

    /// Gives the vans that have arrived a new step. One that is sure to end in balance is their last.
    #[inline(always)]
    fn turn(&mut self, gradient: &State<N>, stiffness: &Stiffness<N>, arrived: [bool; N]) {
        let newton = newton_step(gradient, stiffness, arrived);
        let length = largest(&newton);
        let scale = Lanes::splat(LONGEST_STEP) / length.max(Lanes::splat(LONGEST_STEP));
        let mut step = newton;
        for entry in &mut step {
            *entry = *entry * scale;
        }
        let flat = inner(gradient, &step).map(f64::abs) * 0.1;
        let left = left_over(length, length / self.length);
        for lane in 0..N {
            if arrived[lane] {
                let is_last = self.halvings[lane] == 0 && left.0[lane] < 1.0 && self.steps[lane] > 0;
                if is_last {
                    self.progress[lane] = Progress::Balanced;
                }
                self.halvings[lane] = 0;
                self.steps[lane] += 1;
            }
        }
        for k in 0..7 {
            self.from[k] = self.at[k].or_else(arrived, self.from[k]);
            self.step[k] = step[k].or_else(arrived, self.step[k]);
        }
        self.flat = flat.or_else(arrived, self.flat);
        self.length = length.or_else(arrived, self.length);
        self.share = Lanes::splat(1.0).or_else(arrived, self.share);
        self.falling = Lanes::splat(0.0).or_else(arrived, self.falling);
        self.rising = Lanes::splat(1.0).or_else(arrived, self.rising);
    }

    /// Goes to the share of each step; a van that has ended stays where it is.
    #[inline(always)]
    fn go_on(&mut self) {
        for k in 0..7 {
            self.at[k] = self.from[k] + self.step[k] * self.share;
        }
    }

    #[inline(always)]
    fn write(&self, figures: &Figures<N>, rests: &mut [Result<Rest, NoRest>]) {
        let sum = figures.sum();
        let [heave, pitch, roll, travels @ ..] = &self.at;
        for (lane, rest) in rests.iter_mut().enumerate().take(N) {
            let of = |each: &[Lanes<N>; CORNERS]| {
                [each[0].0[lane], each[1].0[lane], each[2].0[lane], each[3].0[lane]]
            };
            let (steps, travel_m) = (self.steps[lane], of(travels));
            *rest = match self.progress[lane] {
                Progress::Balanced if sum.0[lane].is_finite() => Ok(Rest {
                    body: BodyPose {
                        heave_m: heave.0[lane],
                        pitch_rad: pitch.0[lane],
                        roll_rad: roll.0[lane],
                    },
                    travel_m,
                    wheel_centre_height_m: of(&figures.wheel_centre_height_m),
                    wheel_load_n: of(&figures.wheel_load_n),
                    arch_height_m: of(&figures.arch_height_m),
                    steps,
                }),
                Progress::NotBalanced { force_n } => Err(NoRest::NotBalanced { force_n, steps, travel_m }),
                Progress::Balanced | Progress::Underway | Progress::NotFinite => Err(NoRest::NotFinite),
            };
        }
    }
}

/// How near to balance vans are.
struct Balance<const N: usize> {
    /// Sizes of all forces and moments, finite where all are.
    sum_n: Lanes<N>,
    /// Less than nothing where all are within the tolerance.
    excess: Lanes<N>,
}

impl<const N: usize> Balance<N> {
    /// Of a lever a the body is held in turning a² as much as in heave: moments are held against the tolerance times that
    /// lever, or one metre.
    #[inline(always)]
    fn of(gradient: &State<N>, stiffness: &Stiffness<N>) -> Self {
        let [heave, pitch, roll, wheels @ ..] = gradient;
        let (mut largest, mut sum_n) = (heave.map(f64::abs), heave.map(f64::abs));
        for force in wheels {
            let size = force.map(f64::abs);
            sum_n += size;
            largest = size.max(largest);
        }
        let rate = stiffness.body[0][0];
        let mut excess = largest - Lanes::splat(FORCE_TOLERANCE_N);
        for (k, moment) in [(1, pitch), (2, roll)] {
            sum_n += moment.map(f64::abs);
            let allowed = stiffness.body[k][k].max(rate) * (FORCE_TOLERANCE_N * FORCE_TOLERANCE_N);
            excess = (*moment * *moment * rate - allowed).max(excess);
        }
        Self { sum_n, excess }
    }
}

/// Less than 1 where nothing to speak of is left after a step of this length, so much shorter than the one before.
///
/// Newton's steps shrink by their own ratio squared where the second derivatives vary smoothly (P. Deuflhard, Newton
/// Methods for Nonlinear Problems, 2.1): what is left after a step is known before it is gone.
#[inline(always)]
fn left_over<const N: usize>(length: Lanes<N>, contraction: Lanes<N>) -> Lanes<N> {
    let (one, nought) = (Lanes::splat(1.0), Lanes::splat(0.0));
    let left = contraction * contraction * length;
    let contracts = contraction.if_less(Lanes::splat(LEAST_CONTRACTION), nought, one);
    let is_short = length.if_less(Lanes::splat(LONGEST_LAST_STEP), contracts, one);
    left.if_less(Lanes::splat(LEFT_OVER), is_short, one)
}

/// Size of the largest entry.
#[inline(always)]
fn largest<const N: usize>(state: &State<N>) -> Lanes<N> {
    let mut largest = Lanes::splat(0.0);
    for entry in state {
        largest = entry.map(f64::abs).max(largest);
    }
    largest
}

/// Progress of a van after the last step it is given.
fn given_up<const N: usize>(gradient: &State<N>, stiffness: &Stiffness<N>, lane: usize) -> Progress {
    let mut force_n = 0.0;
    for (k, force) in gradient.iter().enumerate() {
        let lever_m = if (1..3).contains(&k) {
            (stiffness.body[k][k].0[lane] / stiffness.body[0][0].0[lane]).max(1.0).sqrt()
        } else {
            1.0
        };
        force_n = f64::max(force_n, force.0[lane].abs() / lever_m);
    }
    // a balance limited by rounding (stiff stops) is still a balance
    if force_n < 1e3 * FORCE_TOLERANCE_N { Progress::Balanced } else { Progress::NotBalanced { force_n } }
}

/// Newton's step; where the energy is not convex (all springs loose) the diagonal is raised until it is. Only the steps
/// of vans `asked` for count.
#[inline(always)]
fn newton_step<const N: usize>(gradient: &State<N>, stiffness: &Stiffness<N>, asked: [bool; N]) -> State<N> {
    let downhill = downhill(gradient);
    let mut eliminated = stiffness.eliminated();
    let mut lift = Lanes::splat(0.0);
    for _ in 0..11 {
        let is_positive = eliminated.is_positive();
        let lacking: [bool; N] = std::array::from_fn(|lane| asked[lane] && !is_positive[lane]);
        if !lacking.contains(&true) {
            return eliminated.solved(&downhill);
        }
        let least = stiffness.largest().max(Lanes::splat(1.0)) * 1e-6;
        lift = (lift * 10.0).max(least).or_else(lacking, lift);
        eliminated = stiffness.raised(lift).eliminated();
    }
    let largest = stiffness.largest().max(Lanes::splat(1.0));
    let (solved, is_positive) = (eliminated.solved(&downhill), eliminated.is_positive());
    std::array::from_fn(|k| solved[k].or_else(is_positive, downhill[k] / largest))
}

/// The way that the energy falls fastest.
#[inline(always)]
fn downhill<const N: usize>(gradient: &State<N>) -> State<N> {
    let mut downhill = *gradient;
    for entry in &mut downhill {
        *entry = -*entry;
    }
    downhill
}

#[inline(always)]
fn inner<const N: usize>(a: &State<N>, b: &State<N>) -> Lanes<N> {
    let mut sum = a[0] * b[0];
    for k in 1..7 {
        sum += a[k] * b[k];
    }
    sum
}
