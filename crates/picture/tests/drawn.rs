//! One of each drawing as it is written.

#![allow(clippy::unwrap_used)] // test helpers outside #[test] functions

mod common;

use common::*;
use picture::{AxleView, BenchPlot, CollarPicture, Frame, HeightStrip, LoadPlan, SideView, TravelStrip};
use workshop::answer::KnownVan;
use workshop::document::read;
use workshop::facts::Language;
use workshop::load_list::LoadState;
use workshop::measuring::{BenchReading, bench_result};
use workshop::shortlist::shortlist;
use workshop::units::Units;
use workshop::wording::{Axle, Side};

fn frame(name: &str) -> Frame<'_> {
    Frame { language: Language::English, units: Units::Metric, name }
}

#[test]
fn law_one_of_each_is_drawn_as_before() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back");
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let kit = catalogue.kits_for(&enquiry.vehicle).find(|kit| kit.id == "tessavar-four-collars").unwrap();
    let state = LoadState::DayToDay;
    let (now, then) = (known.stands_today(state), known.stands_on_kit(kit, state).unwrap());
    let on_kit = Some((kit.name.as_str(), &then));
    let shown = [
        ("side", picture::side(&SideView::of(&known, Side::Right, &now, on_kit), &frame("side"))),
        ("axle", picture::axle(&AxleView::of(&known, Axle::Front, &now, on_kit), &frame("axle"))),
        ("load_plan", picture::load_plan(&LoadPlan::of(&known, &now), &frame("plan"))),
    ];
    for (name, svg) in shown {
        insta::assert_snapshot!(name, svg);
    }
    let listed = shortlist(&known, &enquiry.wish).unwrap();
    let strip = HeightStrip::of(&known, &enquiry.wish, &listed, |kit| format!("/kits/{kit}"));
    insta::assert_snapshot!("height_strip", picture::height_strip(&strip, &frame("strip")));
    let travel = TravelStrip { rows: known.travel_left_today() };
    insta::assert_snapshot!("travel_strip", picture::travel_strip(&travel, &frame("travel")));
    let record = catalogue.read_ramp_record(&file("ramp/camper-after-fitting.toml")).unwrap();
    let correction = known.correct(kit, &record).unwrap();
    insta::assert_snapshot!("collars", picture::collars(&CollarPicture::of(&correction), &frame("collars")));
    let bench = file("bench/four-collars-rear-spring.toml");
    let reading = read(&bench.path, &bench.text, BenchReading::read).unwrap();
    let plot = BenchPlot::of(&reading, &bench_result(&reading));
    insta::assert_snapshot!("spring_bench", picture::spring_bench(&plot, &frame("bench")));
}
