//! Writes a page of drawings of the demo workshop: `cargo run --release -p picture --example demo_pictures FOLDER`.

use std::error::Error;
use std::path::{Path, PathBuf};

use picture::{AxleView, BenchPlot, CollarPicture, Frame, HeightStrip, LoadPlan, SideView, TravelStrip};
use workshop::answer::KnownVan;
use workshop::catalogue::{Catalogue, DataFile};
use workshop::document::read;
use workshop::facts::Language;
use workshop::load_list::LoadState;
use workshop::measuring::{BenchReading, bench_result};
use workshop::ramp_record::{RampRecord, Settled};
use workshop::shortlist::shortlist;
use workshop::units::Units;
use workshop::wording::{Axle, Side};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = PathBuf::from(std::env::args().nth(1).ok_or("which folder?")?);
    std::fs::create_dir_all(&folder)?;
    let files = demo_files()?;
    let catalogue = Catalogue::read(&files).map_err(|faults| format!("{faults:?}"))?;
    for (language, code) in [(Language::English, "en"), (Language::German, "de")] {
        for (name, drawing) in drawings(&catalogue, &files, language)? {
            let page = format!(
                "<!doctype html><html lang=\"{code}\"><meta charset=\"utf-8\"><title>{name}</title><style>:root {{ color-scheme: light dark; }} body {{ margin: 1rem; font-family: sans-serif; }} {}</style>{drawing}</html>",
                picture::STYLE
            );
            std::fs::write(folder.join(format!("{name}-{code}.html")), page)?;
        }
    }
    Ok(())
}

fn drawings(
    catalogue: &Catalogue,
    files: &[DataFile],
    language: Language,
) -> Result<Vec<(String, String)>, Box<dyn Error>> {
    let frame = |name| Frame { language, units: Units::Metric, name };
    let mut drawings = Vec::new();
    for (enquiry, kit) in [
        ("camper-low-at-the-back", "tessavar-four-collars"),
        ("lower-for-the-garage", "hasterby-low-deck-leaf-40"),
        ("forest-tracks-lift", ""),
    ] {
        let path = format!("enquiries/{enquiry}.toml");
        let file = files.iter().find(|file| file.path == path).ok_or("no such enquiry")?;
        let enquiry = catalogue.read_enquiry(file).map_err(|faults| format!("{faults:?}"))?;
        let known = KnownVan::of(catalogue, &enquiry).map_err(|why| format!("{why:?}"))?;
        let state = LoadState::DayToDay;
        let now = known.stands_today(state);
        let kit =
            catalogue.kits_for(&enquiry.vehicle).find(|candidate| candidate.id == kit || kit.is_empty());
        let kit = kit.ok_or("no such kit")?;
        let then = known.stands_on_kit(kit, state).map_err(|why| format!("{why:?}"))?;
        let view = SideView::of(&known, Side::Right, &now, Some((&kit.name, &then)));
        let axle = if enquiry.id == "forest-tracks-lift" { Axle::Rear } else { Axle::Front };
        let axle_view = AxleView::of(&known, axle, &now, Some((&kit.name, &then)));
        drawings.push((format!("axle-{}", enquiry.id), picture::axle(&axle_view, &frame("axle"))));
        let alone = SideView::of(&known, Side::Left, &known.stands_today(LoadState::FullyLaden), None);
        drawings.push((format!("today-{}", enquiry.id), picture::side(&alone, &frame("today"))));
        let plan = LoadPlan::of(&known, &known.stands_today(LoadState::FullyLaden));
        drawings.push((format!("load-plan-{}", enquiry.id), picture::load_plan(&plan, &frame("plan"))));
        let listed = shortlist(&known, &enquiry.wish).map_err(|why| format!("{why:?}"))?;
        let strip = HeightStrip::of(&known, &enquiry.wish, &listed, |kit| format!("/kits/{kit}"));
        drawings.push((format!("strip-{}", enquiry.id), picture::height_strip(&strip, &frame("strip"))));
        let set_up = known.set_up(kit).map_err(|why| format!("{why:?}"))?;
        let collars = CollarPicture::of_set_up(&set_up);
        drawings.push((format!("set-up-{}", enquiry.id), picture::collars(&collars, &frame("collars"))));
        let travel = TravelStrip { rows: known.travel_left_on_kit(kit).map_err(|why| format!("{why:?}"))? };
        drawings.push((format!("travel-{}", enquiry.id), picture::travel_strip(&travel, &frame("travel"))));
        drawings.push((format!("side-{}", enquiry.id), picture::side(&view, &frame("side"))));
    }
    for file in files.iter().filter(|file| file.path.starts_with("ramp/")) {
        let record = catalogue.read_ramp_record(file).map_err(|faults| format!("{faults:?}"))?;
        let path = format!("enquiries/{}.toml", record.enquiry);
        let enquiry = files.iter().find(|file| file.path == path).ok_or("no such enquiry")?;
        let enquiry = catalogue.read_enquiry(enquiry).map_err(|faults| format!("{faults:?}"))?;
        let known = KnownVan::of(catalogue, &enquiry).map_err(|why| format!("{why:?}"))?;
        let kit = catalogue.offer(&enquiry.vehicle, &record.kit).ok_or("no such kit")?;
        let correction = known.correct(&kit, &record).map_err(|why| format!("{why:?}"))?;
        let collars = picture::collars(&CollarPicture::of(&correction), &frame("collars"));
        drawings.push((format!("correction-{}", record.enquiry), collars));
        let hasty = RampRecord { settled: Settled::OnlyLowered, bushes_reclamped: false, ..record.clone() };
        let mut odd = record.clone();
        odd.readings_mm.iter_mut().for_each(|reading| reading[1] += 30.0);
        for (name, record) in [("hasty", hasty), ("odd", odd)] {
            let correction = known.correct(&kit, &record).map_err(|why| format!("{why:?}"))?;
            let collars = picture::collars(&CollarPicture::of(&correction), &frame("collars"));
            drawings.push((format!("correction-{name}-{}", record.enquiry), collars));
        }
    }
    for file in files.iter().filter(|file| file.path.starts_with("bench/")) {
        let reading =
            read(&file.path, &file.text, BenchReading::read).map_err(|faults| format!("{faults:?}"))?;
        let plot = BenchPlot::of(&reading, &bench_result(&reading));
        drawings.push(("bench".to_owned(), picture::spring_bench(&plot, &frame("bench"))));
    }
    Ok(drawings)
}

fn demo_files() -> Result<Vec<DataFile>, Box<dyn Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let mut files = Vec::new();
    for subfolder in ["", "vehicles", "kits", "enquiries", "ramp", "bench"] {
        for entry in std::fs::read_dir(root.join(subfolder))? {
            let entry = entry?;
            if entry.path().is_file() {
                let name = entry.file_name().to_string_lossy().into_owned();
                let path = if subfolder.is_empty() { name } else { format!("{subfolder}/{name}") };
                files.push(DataFile { path, text: std::fs::read_to_string(entry.path())? });
            }
        }
    }
    files.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(files)
}
