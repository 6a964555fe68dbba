//! One job from the as-found heights to the corrected collars: the truth makes the van and is read by tape and
//! scales, the program sees only the documents that a workshop would write.

use std::fmt::Write as _;

use anyhow::{Result, anyhow};
use nalgebra::Vector3;
use workshop::answer::KnownVan;
use workshop::catalogue::{Catalogue, DataFile};
use workshop::correction::{Correction, CorrectionOutcome, Turning};
use workshop::facts::Language;
use workshop::figure::Figure;
use workshop::load_list::LoadState;
use workshop::set_up::SetUp;
use workshop::wording::Said;

use crate::chance::Chance;
use crate::hidden::{Hidden, things_in_the_load_bay};
use crate::sheet::{Collar, Item, Kit, Sheets, demo_folder};
use crate::tally::Tally;
use crate::truth::{Fit, Mass, Rest, TrueVan, running_order};

/// Names of the corners in files.
const CORNERS: [&str; 4] = ["front_left", "front_right", "rear_left", "rear_right"];
/// Names of the corners in the program's sentences.
const CORNER_WORDS: [&str; 4] = ["front left", "front right", "rear left", "rear right"];

/// What kind of job it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kind {
    /// Collars on all four corners, else at the rear only.
    pub four_collars: bool,
    /// Axles were on scales.
    pub weighed: bool,
    /// An item is forgotten or a quarter off.
    pub wrong_list: bool,
    /// The customer wants every corner straight, collars unequal.
    pub unequal: bool,
    /// The height is wanted as the van stands on the ramp, else day to day.
    pub aim_on_ramp: bool,
    /// What is wrong with the job.
    pub fault: Option<Fault>,
}

/// A planted fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fault {
    /// Readings written in this order.
    Swapped([usize; 4], &'static str),
    /// A collar is 10 mm off what is recorded.
    Collar(usize, f64),
    /// A spring is 30 % soft.
    SoftSpring(usize),
}

impl Fault {
    /// Name in the report.
    pub fn name(self) -> &'static str {
        match self {
            Self::Swapped(_, name) => name,
            Self::Collar(..) => "one collar 10 mm off what is recorded",
            Self::SoftSpring(_) => "one spring 30 % soft",
        }
    }

    /// Whether a sentence of the program names it.
    fn is_named_by(self, words: &str) -> bool {
        match self {
            Self::Swapped(order, _) => {
                let pair = if order == [1, 0, 2, 3] {
                    "front left and front right may"
                } else if order == [0, 1, 3, 2] {
                    "rear left and rear right may"
                } else {
                    "front and rear may"
                };
                words.contains(pair)
            }
            Self::Collar(i, _) => words.contains(&format!("{} collar", CORNER_WORDS[i])),
            Self::SoftSpring(i) => words.contains(&format!("{} spring", CORNER_WORDS[i])),
        }
    }
}

/// The truth at one setting: middle of the friction band and mean of two settled readings, mm.
#[derive(Debug, Clone, Copy)]
pub struct Setting {
    /// Middle of the band.
    pub middle_mm: [f64; 4],
    /// Two readings, each after a settling of its own.
    pub readings_mm: [[f64; 4]; 2],
    /// What each corner should read for the aim.
    pub asked_mm: [f64; 4],
}

impl Setting {
    /// Mean of the two readings.
    pub fn read_mm(&self) -> [f64; 4] {
        std::array::from_fn(|i| 0.5 * (self.readings_mm[0][i] + self.readings_mm[1][i]))
    }
}

/// What the correction came to.
#[derive(Debug, Clone, PartialEq)]
pub enum Came {
    /// Collars to turn.
    Turn,
    /// Left as it is.
    LeaveIt,
    /// Kept but not corrected from.
    Refused,
    /// Does not fit, with what it may be.
    DoesNotFit(Vec<String>),
}

/// A figure of the program beside the truth, mm.
#[derive(Debug, Clone, Copy)]
pub struct Told {
    /// The truth.
    pub truth_mm: f64,
    /// Best value, low and high end.
    pub told_mm: [f64; 3],
}

impl Told {
    fn of(figure: &Figure, truth_mm: f64) -> Self {
        Self { truth_mm, told_mm: [figure.value, figure.low, figure.high] }
    }

    /// Whether the range holds the truth.
    pub fn holds(&self) -> bool {
        (self.told_mm[1]..=self.told_mm[2]).contains(&self.truth_mm)
    }

    /// Truth less best value, in standard deviations of the range.
    pub fn standardised(&self) -> f64 {
        3.289_707 * (self.truth_mm - self.told_mm[0]) / (self.told_mm[2] - self.told_mm[1])
    }
}

/// A finished job.
#[derive(Debug, Clone)]
pub struct Done {
    /// Kind.
    pub kind: Kind,
    /// Mean arch height of each axle aimed at on the ramp, mm.
    pub aim_mm: [f64; 2],
    /// First setting.
    pub first: Setting,
    /// After the correction.
    pub after: Setting,
    /// The same two settings by the naive rule.
    pub naive: [Setting; 2],
    /// Outcome of the correction.
    pub came: Came,
    /// Truth and interval: on the ramp at first setting; after correction; today in states that were not measured.
    pub intervals: [Vec<Told>; 3],
    /// What the correction asks to be looked at before any collar is turned, in the program's sentences.
    pub doubts: Vec<String>,
    /// Whether the planted fault was named first and at all.
    pub named: [bool; 2],
    /// What held the correction back, in the program's sentences.
    pub limits: Vec<String>,
    /// Whether the program itself expects every corner within a quarter turn of straight; true unless unequal collars
    /// were asked for and the bound on the diagonal load left a lean.
    pub straight_expected: bool,
}

/// A corner that is expected further than this from straight has a lean left to it, mm.
const QUARTER_TURN_MM: f64 = 1.0;

impl Done {
    /// Whether the readings, or a collar by them, are doubted.
    pub fn is_doubted(&self) -> bool {
        matches!(self.came, Came::DoesNotFit(_)) || !self.doubts.is_empty()
    }

    /// Whether nothing held the correction back from the aim.
    pub fn within_reach(&self) -> bool {
        self.limits.is_empty()
    }
}

/// Everything that jobs share.
pub struct Workshop {
    sheets: Sheets,
    catalogue: Catalogue,
    seed: u64,
}

/// An item as listed and as it is.
struct Loaded {
    item: Item,
    listed: bool,
    states: &'static [LoadState],
    true_kg: f64,
    true_at: Vector3<f64>,
}

const ALL_STATES: &[LoadState] = &LoadState::ALL;
const DAILY: &[LoadState] = &[LoadState::DayToDay, LoadState::FullyLaden];
const HOLIDAY: &[LoadState] = &[LoadState::FullyLaden];
const DRIVER_KG: f64 = 75.0;
const RUNNING_ORDER_FUEL: f64 = 90.0;
/// Marks the stream from which loose things are drawn.
const LOOSE_THINGS: u64 = 1 << 32;

impl Workshop {
    /// The demo's sheets for the truth, and the same files for the program.
    ///
    /// # Errors
    /// When the demo data cannot be read.
    pub fn open(seed: u64) -> Result<Self> {
        let mut files = Vec::new();
        for folder in ["vehicles", "kits", ""] {
            let mut paths: Vec<_> = std::fs::read_dir(demo_folder().join(folder))?
                .filter_map(|entry| entry.ok().map(|entry| entry.path()))
                .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
                .collect();
            paths.sort();
            for path in paths {
                let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
                let path_below = if folder.is_empty() { name.into() } else { format!("{folder}/{name}") };
                files.push(DataFile { path: path_below, text: std::fs::read_to_string(&path)? });
            }
        }
        let catalogue = Catalogue::read(&files).map_err(|faults| anyhow!("{faults:?}"))?;
        Ok(Self { sheets: Sheets::read()?, catalogue, seed })
    }

    /// What the program reads.
    pub fn catalogue(&self) -> &Catalogue {
        &self.catalogue
    }

    /// Runs job `number`; `None` where no reachable aim was found.
    ///
    /// # Errors
    /// When the truth finds no rest, or the program refuses a sound document or cannot compute.
    pub fn job(&self, number: u64, faulty: bool) -> Result<Option<Done>> {
        let mut chance = Chance::of(self.seed, number);
        let kind = Kind::drawn(&mut chance, faulty);
        let grade = &self.sheets.vehicle.grades[usize::from(chance.one_in(2.5))];
        let mut van = TrueVan::nominal(&self.sheets, grade)?;
        let kit = &self.sheets.kits[usize::from(!kind.four_collars)];
        let box_drop_mm = box_drops_mm(&van, kit)?;
        van.hidden = Hidden::drawn(&mut chance, &self.sheets.vehicle);
        if let Some(Fault::SoftSpring(i)) = kind.fault {
            van.hidden.kit.spring_rate[i] *= 0.7;
        }
        let loaded = self.loaded(&mut chance, kind.wrong_list);
        let fuel_percent = [RUNNING_ORDER_FUEL, 10.0 * (2.0 + chance.index(8) as f64)];
        let fuel_off = [chance.uniform(5.0), chance.uniform(8.0)];
        // a stream of its own: what else is drawn does not hang on it
        let mut aside = Chance::of(self.seed ^ LOOSE_THINGS, number);
        let loose = LoadState::ALL.map(|state| {
            let most = if state == LoadState::AsFittedOut { 0 } else { 2 };
            things_in_the_load_bay(&mut aside, most)
        });
        let bench = Bench { workshop: self, van, kit, kind, loaded, loose, fuel_percent, fuel_off };
        bench.run(&mut chance, box_drop_mm)
    }

    /// Runs jobs, and one with a planted fault for every four without.
    ///
    /// # Errors
    /// As for [`Self::job`].
    pub fn tally(&self, jobs: u64) -> Result<Tally> {
        let mut tally = Tally::default();
        for number in 0..jobs {
            match self.job(number, false)? {
                Some(done) => tally.sound.push(done),
                None => tally.without_aim += 1,
            }
        }
        for number in jobs..jobs + jobs / 4 {
            tally.faulty.extend(self.job(number, true)?);
        }
        Ok(tally)
    }

    fn loaded(&self, chance: &mut Chance, wrong: bool) -> Vec<Loaded> {
        let mut loaded = Vec::new();
        for item in &self.sheets.items {
            let (states, one_in) = match item.id.as_str() {
                "front-passenger" | "weekend-bags" => (DAILY, 2.0),
                "rear-passengers" | "holiday-luggage" | "bike-rack" => (HOLIDAY, 2.0),
                _ => (ALL_STATES, 2.2),
            };
            if chance.one_in(one_in) {
                let off = Vector3::from_fn(|_, _| chance.uniform(0.06));
                loaded.push(Loaded {
                    true_kg: (item.mass_kg + chance.uniform(1.1 * item.plus_minus_kg)).max(0.0),
                    true_at: item.place.point_m() + off,
                    item: item.clone(),
                    listed: true,
                    states,
                });
            }
        }
        let heavy: Vec<usize> = (0..loaded.len())
            .filter(|&k| loaded[k].states == ALL_STATES && loaded[k].item.mass_kg > 20.0)
            .collect();
        if wrong && !heavy.is_empty() {
            let k = heavy[chance.index(heavy.len())];
            match chance.index(3) {
                0 => loaded[k].listed = false,
                1 => loaded[k].true_kg *= 1.25,
                _ => loaded[k].true_kg *= 0.75,
            }
        }
        loaded
    }
}

impl Kind {
    fn drawn(chance: &mut Chance, faulty: bool) -> Self {
        let four_collars = !chance.one_in(4.0);
        let unequal = four_collars && chance.one_in(2.5);
        let mut kind = Self {
            four_collars,
            weighed: !chance.one_in(3.0),
            wrong_list: chance.one_in(5.0),
            unequal,
            aim_on_ramp: unequal || chance.one_in(2.0),
            fault: None,
        };
        if faulty {
            let corner = if four_collars { chance.index(4) } else { 2 + chance.index(2) };
            kind.fault = Some(match chance.index(5) {
                0 => Fault::Swapped([1, 0, 2, 3], "front left and right readings exchanged"),
                1 => Fault::Swapped([0, 1, 3, 2], "rear left and right readings exchanged"),
                2 => Fault::Swapped([2, 3, 0, 1], "front and rear readings exchanged"),
                3 => Fault::Collar(corner, if chance.one_in(2.0) { 0.01 } else { -0.01 }),
                _ => Fault::SoftSpring(corner),
            });
        }
        kind
    }
}

/// What the box would say: drop of each axle of the sheet's van in running order, collars as delivered, rounded to 5 mm.
fn box_drops_mm(van: &TrueVan, kit: &Kit) -> Result<[f64; 2]> {
    let masses = running_order(&van.sheets.vehicle);
    let original = van.assembled(Fit::Original, &masses)?.middle()?.arch_mm();
    let loose = Fit::Kit { kit, collar_mm: [None; 4], clamped_m: None };
    let delivered = van.assembled(loose, &masses)?.middle()?.arch_mm();
    Ok([0, 2].map(|i| 5.0 * ((original[i] - delivered[i]) / 5.0).round()))
}

/// One arch height by tape: reading error and whole millimetres.
fn read_mm(rest: &Rest, chance: &mut Chance) -> [f64; 4] {
    rest.arch_mm().map(|mm| (mm + chance.triangular(2.0)).round())
}

struct Bench<'a> {
    workshop: &'a Workshop,
    van: TrueVan<'a>,
    kit: &'a Kit,
    kind: Kind,
    loaded: Vec<Loaded>,
    /// What nobody listed and is aboard in one load state alone.
    loose: [Vec<Mass>; 4],
    fuel_percent: [f64; 2],
    fuel_off: [f64; 2],
}

type Collars = [Option<f64>; 4];

impl Bench<'_> {
    fn run(&self, chance: &mut Chance, box_drop_mm: [f64; 2]) -> Result<Option<Done>> {
        let original = self.van.assembled(Fit::Original, &self.masses(LoadState::OnTheRamp))?;
        let as_found = original.settled(chance)?;
        let found_mm = read_mm(&as_found, chance);
        let scales_kg = as_found.axle_kg().map(|kg| 10.0 * ((kg + chance.uniform(6.0)) / 10.0).round());
        for _ in 0..10 {
            let (drop_mm, level_mm) = (35.0 + 25.0 * chance.share(), chance.uniform(12.0));
            let text = self.enquiry(found_mm, scales_kg, [drop_mm.round(), level_mm.round()]);
            let file = DataFile { path: "enquiries/job.toml".into(), text };
            let enquiry =
                self.workshop.catalogue.read_enquiry(&file).map_err(|faults| anyhow!("{faults:?}"))?;
            let known = KnownVan::of(&self.workshop.catalogue, &enquiry).map_err(|e| anyhow!("{e}"))?;
            let kit = self.workshop.catalogue.kit(&self.kit.id).ok_or_else(|| anyhow!("no such kit"))?;
            let sheet = known.set_up(kit).map_err(|e| anyhow!("{e}"))?;
            if self.reachable(&sheet) {
                return self.fitted(chance, &known, kit, &sheet, found_mm, box_drop_mm).map(Some);
            }
        }
        Ok(None)
    }

    fn collar(&self, i: usize) -> Option<&Collar> {
        if i < 2 { self.kit.front.collar.as_ref() } else { self.kit.rear.collar.as_ref() }
    }

    /// Within the thread with room for a correction, and nothing else held the collars back.
    fn reachable(&self, sheet: &SetUp) -> bool {
        let in_thread = sheet.collars.iter().all(|collar| {
            collar.position_mm > collar.range_mm[0] + 5.0 && collar.position_mm < collar.range_mm[1] - 5.0
        });
        in_thread && sheet.limits.is_empty()
    }

    fn fitted(
        &self,
        chance: &mut Chance,
        known: &KnownVan,
        kit: &workshop::kit::Kit,
        sheet: &SetUp,
        found_mm: [f64; 4],
        box_drop_mm: [f64; 2],
    ) -> Result<Done> {
        let collars =
            self.set(|i| sheet.collars.iter().find(|c| c.corner == CORNER_WORDS[i]).map(|c| c.position_mm));
        let clamped_m = self.clamped_m(collars)?;
        let aim_mm = self.aim_on_ramp_mm(sheet);
        let predicted = |i: usize| &sheet.on_the_ramp[i].arch_height_mm;
        let mut first = self.setting(chance, collars, clamped_m)?;
        first.asked_mm = self.asked_mm(aim_mm, &first, std::array::from_fn(|i| predicted(i).value));

        let correction =
            known.correct(kit, &self.ramp_record(collars, &first)?).map_err(|e| anyhow!("{e}"))?;
        let (came, turning) = came_of(&correction);
        let turned = self.set(|i| {
            let new = turning.and_then(|t| t.collars.iter().find(|c| c.corner == CORNER_WORDS[i]));
            new.map(|c| c.new_position_mm).or(collars[i])
        });
        let mut after = self.setting(chance, turned, clamped_m)?;
        let expected: [f64; 4] = std::array::from_fn(|i| {
            turning.map_or(predicted(i).value, |t| t.corners[i].expected_arch_height_mm.value)
        });
        after.asked_mm = self.asked_mm(aim_mm, &after, expected);

        let doubts: Vec<String> =
            correction.doubts.iter().map(|doubt| doubt.words(Language::English)).collect();
        let said = if let Came::DoesNotFit(may_be) = &came { may_be } else { &doubts };
        let named = self.kind.fault.map_or([false; 2], |fault| {
            [
                said.first().is_some_and(|first| fault.is_named_by(first)),
                said.iter().any(|words| fault.is_named_by(words)),
            ]
        });
        let on_ramp = (0..4).map(|i| Told::of(predicted(i), first.middle_mm[i])).collect();
        let corrected = turning.map_or(Vec::new(), |t| {
            (0..4).map(|i| Told::of(&t.corners[i].expected_arch_height_mm, after.middle_mm[i])).collect()
        });
        Ok(Done {
            kind: self.kind,
            aim_mm,
            naive: self.naive(chance, found_mm, aim_mm, box_drop_mm)?,
            intervals: [on_ramp, corrected, self.today(known)?],
            limits: turning
                .map_or(Vec::new(), |t| t.remarks.iter().map(|r| r.words(Language::English)).collect()),
            straight_expected: !self.kind.unequal
                || (0..4).all(|i| (expected[i] - aim_mm[i / 2]).abs() <= QUARTER_TURN_MM),
            first,
            after,
            came,
            doubts,
            named,
        })
    }

    /// Truth and interval of the van as it came, in the states in which nobody measured it.
    fn today(&self, known: &KnownVan) -> Result<Vec<Told>> {
        let today = known.today();
        let mut told = Vec::new();
        for state in [LoadState::DayToDay, LoadState::FullyLaden] {
            let truth = self.van.assembled(Fit::Original, &self.masses(state))?.middle()?.arch_mm();
            let sit = &today.states[state as usize];
            for i in 0..4 {
                told.push(Told::of(&sit.corners[i].arch_height_mm, truth[i]));
            }
        }
        Ok(told)
    }

    fn set(&self, position_mm: impl Fn(usize) -> Option<f64>) -> Collars {
        std::array::from_fn(|i| self.collar(i).and_then(|_| position_mm(i)))
    }

    /// What is to be read on the ramp for the aim, mean of each axle. A rear collar serves the level, so there only the
    /// difference of the two counts, and the sheet's miss of the rear is one of level: see [`Self::asked_mm`].
    fn aim_on_ramp_mm(&self, sheet: &SetUp) -> [f64; 2] {
        if sheet.aim_state == LoadState::OnTheRamp {
            return sheet.aim_arch_height_mm;
        }
        [0, 1].map(|axle| {
            let read = |i: usize| sheet.on_the_ramp[i].arch_height_mm.value;
            let miss_mm = if self.kind.four_collars || axle == 1 { sheet.miss_mm[axle].value } else { 0.0 };
            0.5 * (read(2 * axle) + read(2 * axle + 1)) - miss_mm
        })
    }

    /// What each corner is to read: straight where that was asked, else with the lean the program expects there. A
    /// rear collar serves the level: the rear is to stand off the front by what the aims differ.
    fn asked_mm(&self, aim_mm: [f64; 2], setting: &Setting, expected_mm: [f64; 4]) -> [f64; 4] {
        let front_mm = 0.5 * (setting.middle_mm[0] + setting.middle_mm[1]);
        let aims = if self.kind.four_collars { aim_mm } else { [front_mm, front_mm + aim_mm[1] - aim_mm[0]] };
        std::array::from_fn(|i| {
            let other = i ^ 1;
            let lean = if self.kind.unequal { 0.0 } else { 0.5 * (expected_mm[i] - expected_mm[other]) };
            aims[i / 2] + lean
        })
    }

    /// Bushes loosened, the van settled, bushes clamped: near where it rests without them.
    fn clamped_m(&self, collars: Collars) -> Result<[f64; 4]> {
        let loose = Fit::Kit { kit: self.kit, collar_mm: self.truly(collars), clamped_m: None };
        let rest = self.van.assembled(loose, &self.masses(LoadState::OnTheRamp))?.middle()?;
        Ok(std::array::from_fn(|i| rest.travel_m[i] + self.van.hidden.reclamp_m[i / 2]))
    }

    fn truly(&self, mut collars: Collars) -> Collars {
        if let Some(Fault::Collar(i, off_m)) = self.kind.fault {
            collars[i] = collars[i].map(|mm| mm + 1e3 * off_m);
        }
        collars
    }

    fn setting(&self, chance: &mut Chance, collars: Collars, clamped_m: [f64; 4]) -> Result<Setting> {
        let fit = Fit::Kit { kit: self.kit, collar_mm: self.truly(collars), clamped_m: Some(clamped_m) };
        let van = self.van.assembled(fit, &self.masses(LoadState::OnTheRamp))?;
        let readings_mm = [read_mm(&van.settled(chance)?, chance), read_mm(&van.settled(chance)?, chance)];
        Ok(Setting { middle_mm: van.middle()?.arch_mm(), readings_mm, asked_mm: [0.0; 4] })
    }

    /// Collar millimetres taken for arch millimetres: first from the drop on the box, then from the readings.
    fn naive(
        &self,
        chance: &mut Chance,
        found_mm: [f64; 4],
        aim_mm: [f64; 2],
        box_drop_mm: [f64; 2],
    ) -> Result<[Setting; 2]> {
        let mean = |v: &[f64; 4], axle: usize| 0.5 * (v[2 * axle] + v[2 * axle + 1]);
        // without collars in front the front stands where the box says, and the rear is set off it
        let level_mm = aim_mm[1] - aim_mm[0];
        let wished_mm = if self.kind.four_collars {
            aim_mm
        } else {
            let front_mm = mean(&found_mm, 0) - box_drop_mm[0];
            [front_mm, front_mm + level_mm]
        };
        let nearest = |i: usize, mm: f64| {
            self.collar(i).map(|c| {
                let quarter_mm = 0.25 * c.thread_pitch_mm;
                let turned = ((mm - c.delivered_mm) / quarter_mm).round() * quarter_mm;
                (c.delivered_mm + turned).clamp(c.lowest_mm, c.highest_mm)
            })
        };
        let collars = self.set(|i| {
            let axle = i / 2;
            let boxed_mm = mean(&found_mm, axle) - box_drop_mm[axle];
            nearest(i, self.collar(i)?.delivered_mm + wished_mm[axle] - boxed_mm)
        });
        let clamped_m = self.clamped_m(collars)?;
        let mut first = self.setting(chance, collars, clamped_m)?;
        first.asked_mm = self.asked_mm(aim_mm, &first, first.read_mm());
        let first_read_mm = first.read_mm();
        let turned = self.set(|i| {
            let axle = i / 2;
            let aim = if self.kind.four_collars { aim_mm[axle] } else { mean(&first_read_mm, 0) + level_mm };
            let read = if self.kind.unequal { first_read_mm[i] } else { mean(&first_read_mm, axle) };
            nearest(i, collars[i]? + aim - read)
        });
        let mut after = self.setting(chance, turned, clamped_m)?;
        after.asked_mm = self.asked_mm(aim_mm, &after, after.read_mm());
        Ok([first, after])
    }

    /// All masses really aboard in a load state.
    fn masses(&self, state: LoadState) -> Vec<Mass> {
        let vehicle = &self.workshop.sheets.vehicle;
        let order = &vehicle.running_order;
        let mut masses = running_order(vehicle);
        let ramp = usize::from(state == LoadState::OnTheRamp);
        let fuel_kg = |percent: f64| 0.01 * percent * order.fuel_tank_l * order.fuel_density_kg_per_l;
        let fuel = self.fuel_percent[ramp] + self.fuel_off[ramp];
        masses.push((fuel_kg(fuel - RUNNING_ORDER_FUEL), order.fuel_place.point_m()));
        if state == LoadState::OnTheRamp {
            masses.push((-DRIVER_KG, order.driver_place.point_m()));
        }
        let aboard = self.loaded.iter().filter(|loaded| loaded.states.contains(&state));
        masses.extend(aboard.map(|loaded| (loaded.true_kg, loaded.true_at)));
        masses.extend(&self.loose[state as usize]);
        masses
    }

    fn enquiry(&self, found_mm: [f64; 4], scales_kg: [f64; 2], [drop_mm, level_mm]: [f64; 2]) -> String {
        let mut text = format!(
            "id = \"job\"\nquestion = \"A simulated job\"\nvehicle = \"{}\"\ngrade = \"{}\"\n",
            self.workshop.sheets.vehicle.id, self.van.grade.id
        );
        for loaded in self.loaded.iter().filter(|loaded| loaded.listed) {
            let states: Vec<&str> = LoadState::CHOICES
                .iter()
                .filter(|(_, state)| loaded.states.contains(state))
                .map(|(name, _)| *name)
                .collect();
            let _ = writeln!(text, "[[items]]\nitem = \"{}\"\nin = {states:?}", loaded.item.id);
        }
        let _ = writeln!(text, "[on_the_ramp]\ndriver_kg = 0\nfuel_percent = {:.1}", self.fuel_percent[1]);
        if self.kind.weighed {
            let [front, rear] = scales_kg;
            let _ = writeln!(
                text,
                "[[weighed]]\nstate = \"on_the_ramp\"\naxles = {{ front_kg = {front:.1}, rear_kg = {rear:.1} }}"
            );
        }
        let _ = writeln!(text, "[as_found]\nstate = \"on_the_ramp\"\n{}", heights(found_mm));
        let state = if self.kind.aim_on_ramp { "on_the_ramp" } else { "day_to_day" };
        let _ = writeln!(
            text,
            "[aim]\nstate = \"{state}\"\ndrop_against_today_mm = {drop_mm:.1}\nlevel_mm = {level_mm:.1}"
        );
        text
    }

    fn ramp_record(&self, collars: Collars, setting: &Setting) -> Result<workshop::ramp_record::RampRecord> {
        let mut text = format!(
            "enquiry = \"job\"\nkit = \"{}\"\nsettled = \"rolled_and_bounced\"\nbushes_reclamped = true\nload_as_listed = true\nunequal_asked = {}\n[collars]\n",
            self.kit.id, self.kind.unequal
        );
        for (i, collar) in collars.iter().enumerate() {
            if let Some(mm) = collar {
                let _ = writeln!(text, "{}_mm = {mm:.4}", CORNERS[i]);
            }
        }
        let order = if let Some(Fault::Swapped(order, _)) = self.kind.fault { order } else { [0, 1, 2, 3] };
        for reading_mm in setting.readings_mm {
            let _ = writeln!(text, "[[readings]]\n{}", heights(order.map(|i| reading_mm[i])));
        }
        let file = DataFile { path: "ramp/job.toml".into(), text };
        self.workshop.catalogue.read_ramp_record(&file).map_err(|faults| anyhow!("{faults:?}"))
    }
}

fn heights(mm: [f64; 4]) -> String {
    let lines: Vec<String> = (0..4).map(|i| format!("{}_mm = {:.3}", CORNERS[i], mm[i])).collect();
    lines.join("\n")
}

fn came_of(correction: &Correction) -> (Came, Option<&Turning>) {
    match &correction.outcome {
        CorrectionOutcome::NotCorrectedFrom(_) => (Came::Refused, None),
        CorrectionOutcome::DoesNotFit(misfit) => {
            (Came::DoesNotFit(misfit.may_be.iter().map(|said| said.words(Language::English)).collect()), None)
        }
        CorrectionOutcome::Turn(turning) => (Came::Turn, Some(turning)),
        CorrectionOutcome::LeaveIt(turning) => (Came::LeaveIt, Some(turning)),
    }
}
