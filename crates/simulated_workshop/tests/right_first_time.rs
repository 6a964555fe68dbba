//! Right first time, on a sample small enough for every run. `cargo run --release -p simulated_workshop` does a thousand.

use simulated_workshop::SEED;
use simulated_workshop::job::{Came, Done, Workshop};
use simulated_workshop::tally::{Of, Share, Stage, covered, misses_mm, near, read_misses_mm};

const JOBS: u64 = 160;
type Group = (&'static str, fn(&Done) -> bool);

/// Nine in ten, as promised.
const PROMISED: f64 = 0.9;

/// The promise for ranges is 88 to 92 %; the sample may add two standard deviations of its own.
fn holds_nine_in_ten(share: Share) -> bool {
    (share.share - PROMISED).abs() <= 0.02 + 2.0 * share.sd
}

#[test]
fn val_right_first_time() {
    // Against `simulated_workshop::truth`, an energy model written apart from the program's solver.
    let tally = Workshop::open(SEED).unwrap().tally(JOBS).unwrap();
    println!("{}", tally.tables());
    let jobs = tally.jobs(Done::within_reach);
    let share = |stage, of| near(&jobs, |done| misses_mm(done, stage, of)).share;

    let all = near(&jobs, |done| misses_mm(done, Stage::After, Of::Corners));
    assert!(all.share >= PROMISED, "{all:?}");
    assert!(share(Stage::After, Of::Axles) >= PROMISED);
    let groups: [Group; 6] = [
        ("straight or equal", |d| d.straight_expected),
        ("set equal", |d| d.kind.four_collars && !d.kind.unequal),
        ("straight", |d| d.kind.unequal && d.straight_expected),
        ("level", |d| !d.kind.four_collars),
        ("not weighed", |d| d.straight_expected && !d.kind.weighed),
        ("wrong list", |d| d.straight_expected && d.kind.wrong_list),
    ];
    for (name, pass) in groups {
        let group = tally.jobs(|done| done.within_reach() && pass(done));
        let middle = near(&group, |done| misses_mm(done, Stage::After, Of::Corners));
        let read = near(&group, |done| read_misses_mm(done, Stage::After));
        assert!(middle.share >= PROMISED && read.share >= PROMISED, "{name}: {middle:?}, read {read:?}");
    }
    for kind in 0..3 {
        let share = covered(&jobs, kind);
        assert!(holds_nine_in_ten(share), "ranges {kind}: {share:?}");
    }

    let naive = share(Stage::NaiveAfter, Of::Corners);
    assert!(share(Stage::After, Of::Corners) > naive + 0.2, "the naive rule does as well: {naive}");

    let sound = tally.sound.iter();
    assert!(sound.clone().all(|done| done.came != Came::Refused));
    // one false alarm in a thousand is built in: more than two in 160 jobs would happen once in 1600 such samples
    assert!(sound.filter(|done| matches!(done.came, Came::DoesNotFit(_))).count() <= 2);
    // all but all of these are found over a thousand jobs; here they are a handful each
    let recognised = |name: &str| {
        let planted: Vec<&Done> =
            tally.faulty.iter().filter(|d| d.kind.fault.is_some_and(|f| f.name() == name)).collect();
        let found = planted.iter().filter(|d| matches!(d.came, Came::DoesNotFit(_))).count();
        found as f64 / planted.len() as f64
    };
    assert!(recognised("front and rear readings exchanged") >= 0.7);
    assert!(recognised("one spring 30 % soft") >= 0.7);
}
