//! What many jobs come to.

use std::fmt::Write as _;

use crate::job::{Came, Done, Setting};

/// Corners and axles are to stand within this of what was asked, mm.
pub const NEAR_MM: f64 = 3.0;

/// Stages of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// As first set by the program.
    First,
    /// After one correction by the program.
    After,
    /// As first set by the naive rule.
    NaiveFirst,
    /// After one correction by the naive rule.
    NaiveAfter,
}

impl Stage {
    const ALL: [(Self, &'static str); 4] = [
        (Self::First, "first setting"),
        (Self::After, "after one correction"),
        (Self::NaiveFirst, "naive rule, first setting"),
        (Self::NaiveAfter, "naive rule, after one correction"),
    ];

    fn of(self, done: &Done) -> &Setting {
        match self {
            Self::First => &done.first,
            Self::After => &done.after,
            Self::NaiveFirst => &done.naive[0],
            Self::NaiveAfter => &done.naive[1],
        }
    }
}

/// Finished jobs, and those for which no reachable aim was found.
#[derive(Debug, Default)]
pub struct Tally {
    /// Jobs without a planted fault.
    pub sound: Vec<Done>,
    /// Jobs with one.
    pub faulty: Vec<Done>,
    /// Jobs left out: no reachable aim in ten draws.
    pub without_aim: usize,
}

/// A share, and the standard deviation of its estimate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// The share, 0 to 1.
    pub share: f64,
    /// Standard deviation of the estimate, by jobs: the corners of one van are not independent.
    pub sd: f64,
    /// Number of things counted.
    pub count: usize,
}

impl Share {
    /// Of hits and counts job by job.
    pub fn of(jobs: impl Iterator<Item = (usize, usize)> + Clone) -> Self {
        let (hits, count) = jobs.clone().fold((0, 0), |sum, job| (sum.0 + job.0, sum.1 + job.1));
        if count == 0 {
            return Self { share: f64::NAN, sd: f64::NAN, count };
        }
        let share = hits as f64 / count as f64;
        let squares: f64 = jobs.map(|(h, n)| (h as f64 - share * n as f64).powi(2)).sum();
        Self { share, sd: squares.sqrt() / count as f64, count }
    }

    fn words(self) -> String {
        if self.count == 0 {
            return "-".into();
        }
        format!("{:.1} ± {:.1} %", 100.0 * self.share, 100.0 * self.sd)
    }
}

/// Which misses are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// Every adjustable corner.
    Corners,
    /// The mean of every adjustable axle.
    Axles,
}

/// Misses of the adjustable corners or axles of a job, mm, at the middle of the friction band.
pub fn misses_mm(done: &Done, stage: Stage, of: Of) -> Vec<f64> {
    let setting = stage.of(done);
    let corner = |i: usize| setting.middle_mm[i] - setting.asked_mm[i];
    let first = if done.kind.four_collars { 0 } else { 2 };
    match of {
        Of::Corners => (first..4).map(corner).collect(),
        Of::Axles => (first / 2..2).map(|axle| 0.5 * (corner(2 * axle) + corner(2 * axle + 1))).collect(),
    }
}

/// Misses of the mean of the two settled readings, mm.
pub fn read_misses_mm(done: &Done, stage: Stage) -> Vec<f64> {
    let setting = stage.of(done);
    let read_mm = setting.read_mm();
    let first = if done.kind.four_collars { 0 } else { 2 };
    (first..4).map(|i| read_mm[i] - setting.asked_mm[i]).collect()
}

/// Share of misses within [`NEAR_MM`].
pub fn near(jobs: &[&Done], misses_mm: impl Fn(&Done) -> Vec<f64>) -> Share {
    let counted: Vec<(usize, usize)> = jobs
        .iter()
        .map(|done| {
            let misses = misses_mm(done);
            (misses.iter().filter(|mm| mm.abs() <= NEAR_MM).count(), misses.len())
        })
        .collect();
    Share::of(counted.iter().copied())
}

/// Share of intervals that hold the truth; `kind` is the index into [`Done::intervals`].
pub fn covered(jobs: &[&Done], kind: usize) -> Share {
    let counted: Vec<(usize, usize)> = jobs
        .iter()
        .map(|done| {
            let intervals = &done.intervals[kind];
            let held = intervals.iter().filter(|told| told.holds()).count();
            (held, intervals.len())
        })
        .collect();
    Share::of(counted.iter().copied())
}

/// Quantile of absolute values.
fn quantile_mm(mut misses: Vec<f64>, share: f64) -> f64 {
    misses.iter_mut().for_each(|mm| *mm = mm.abs());
    misses.sort_by(f64::total_cmp);
    let last = misses.len().saturating_sub(1);
    misses.get((share * last as f64).round() as usize).copied().unwrap_or(f64::NAN)
}

type Group = (&'static str, fn(&Done) -> bool);

/// Groups of jobs that are reported apart.
const GROUPS: [Group; 9] = [
    ("all with a reachable aim", Done::within_reach),
    ("four collars, set equal", |d| d.within_reach() && d.kind.four_collars && !d.kind.unequal),
    ("four collars, unequal asked", |d| d.within_reach() && d.kind.unequal),
    ("... where the diagonal load allows straight", |d| {
        d.within_reach() && d.kind.unequal && d.straight_expected
    }),
    ("rear collars (level)", |d| d.within_reach() && !d.kind.four_collars),
    ("weighed", |d| d.within_reach() && d.kind.weighed),
    ("not weighed", |d| d.within_reach() && !d.kind.weighed),
    ("wrong load list", |d| d.within_reach() && d.kind.wrong_list),
    ("held back by thread, spring or travel", |d| !d.within_reach()),
];

impl Tally {
    /// Sound jobs that pass.
    pub fn jobs(&self, pass: impl Fn(&Done) -> bool) -> Vec<&Done> {
        self.sound.iter().filter(|done| pass(done)).collect()
    }

    /// Tables in Markdown.
    pub fn tables(&self) -> String {
        let mut text = String::new();
        self.hits(&mut text);
        self.coverage(&mut text);
        self.outcomes(&mut text);
        self.detection(&mut text);
        text
    }

    fn hits(&self, text: &mut String) {
        for (stage, name) in Stage::ALL {
            let _ = writeln!(
                text,
                "\n### {name}\n\n| jobs | n | corners within 3 mm | the same, read twice | axle means within 3 mm | corner miss, half / nine in ten within | axle miss, half / nine in ten within |\n| --- | --- | --- | --- | --- | --- | --- |"
            );
            for (group, pass) in GROUPS {
                let jobs = self.jobs(pass);
                let all = |of| jobs.iter().flat_map(|done| misses_mm(done, stage, of)).collect::<Vec<f64>>();
                let within = |of| near(&jobs, |done| misses_mm(done, stage, of)).words();
                let quantiles =
                    |of| format!("{:.1} / {:.1} mm", quantile_mm(all(of), 0.5), quantile_mm(all(of), 0.9));
                let _ = writeln!(
                    text,
                    "| {group} | {} | {} | {} | {} | {} | {} |",
                    jobs.len(),
                    within(Of::Corners),
                    near(&jobs, |done| read_misses_mm(done, stage)).words(),
                    within(Of::Axles),
                    quantiles(Of::Corners),
                    quantiles(Of::Axles)
                );
            }
        }
    }

    fn coverage(&self, text: &mut String) {
        let _ = writeln!(
            text,
            "\n### Ranges said to hold nine times out of ten\n\n| jobs | on the ramp, first setting | on the ramp, after correction | as it came, loads not measured |\n| --- | --- | --- | --- |"
        );
        for (group, pass) in GROUPS {
            let jobs = self.jobs(pass);
            let [first, after, today] = [0, 1, 2].map(|kind| covered(&jobs, kind).words());
            let _ = writeln!(text, "| {group} | {first} | {after} | {today} |");
        }
    }

    fn outcomes(&self, text: &mut String) {
        let count = |pass: &dyn Fn(&Came) -> bool| self.sound.iter().filter(|done| pass(&done.came)).count();
        let alarms = |pass: fn(&Done) -> bool| {
            let alarmed: Vec<&Done> = self.sound.iter().filter(|done| pass(done)).collect();
            let wrong = alarmed.iter().filter(|done| done.kind.wrong_list).count();
            format!("{}, {wrong} of them with a wrong load list", alarmed.len())
        };
        let unfit = alarms(|done| matches!(done.came, Came::DoesNotFit(_)));
        let doubted = alarms(|done| !done.doubts.is_empty());
        let _ = writeln!(
            text,
            "\n### What the correction came to on {} jobs without a planted fault\n\n| outcome | jobs |\n| --- | --- |\n| turn | {} |\n| leave it | {} |\n| kept, not corrected from | {} |\n| does not fit (false alarm; expected 1 in 1000) | {unfit} |\n| of those turned or left: a collar doubted (false alarm; expected 1 in 300) | {doubted} |\n| no reachable aim in ten draws, left out | {} |",
            self.sound.len(),
            count(&|came| *came == Came::Turn),
            count(&|came| *came == Came::LeaveIt),
            count(&|came| *came == Came::Refused),
            self.without_aim
        );
    }

    fn detection(&self, text: &mut String) {
        let _ = writeln!(
            text,
            "\n### Planted faults\n\n| fault | jobs | doubted | of these: readings do not fit | named first | named at all |\n| --- | --- | --- | --- | --- | --- |"
        );
        let mut names: Vec<&str> =
            self.faulty.iter().filter_map(|d| d.kind.fault.map(|f| f.name())).collect();
        names.sort_unstable();
        names.dedup();
        for name in names {
            let jobs: Vec<&Done> =
                self.faulty.iter().filter(|d| d.kind.fault.is_some_and(|f| f.name() == name)).collect();
            let percent = |pass: &dyn Fn(&Done) -> bool| {
                100.0 * jobs.iter().filter(|done| pass(done)).count() as f64 / jobs.len() as f64
            };
            let _ = writeln!(
                text,
                "| {name} | {} | {:.0} % | {:.0} % | {:.0} % | {:.0} % |",
                jobs.len(),
                percent(&Done::is_doubted),
                percent(&|d| matches!(d.came, Came::DoesNotFit(_))),
                percent(&|d| d.named[0]),
                percent(&|d| d.named[1])
            );
        }
    }
}
