//! Whatever is in the files: everything sound is read, everything else is told by file and line, nothing panics.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod common;

use common::*;
use proptest::prelude::*;
use proptest::sample::{Index, select};
use proptest::strategy::Union;
use workshop::answer::{KitOutcome, KnownVan};
use workshop::assembly::{CannotStand, PreparedVan};
use workshop::catalogue::{Catalogue, DataFile, Kind};
use workshop::facts::Language;
use workshop::wording::Said;

fn says_why(why: &CannotStand) {
    assert!([Language::English, Language::German].iter().all(|&l| why.words(l).len() > 20), "{why:?}");
}

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

fn spoilt_demo_file(edits: impl Strategy<Value = Vec<Edit>>) -> impl Strategy<Value = DataFile> {
    (select(demo_files()), edits)
        .prop_map(|(file, edits)| DataFile { text: edited(&file.text, &edits), ..file })
}

/// Enquiries of a folder whose answer a file of it can change: itself, those for the van it describes or a van its kit is
/// sold for; all where it is of another kind. What no change reaches is the demo's own answer.
fn enquiries_reached(catalogue: &Catalogue, changed: &DataFile, files: &[DataFile]) -> Vec<DataFile> {
    let stem =
        changed.path.rsplit('/').next().and_then(|name| name.strip_suffix(".toml")).unwrap_or_default();
    let is_for = |enquiry: &DataFile, reaches: &dyn Fn(&str) -> bool| {
        catalogue.read_enquiry(enquiry).map_or(true, |enquiry| reaches(&enquiry.vehicle))
    };
    let is_reached = |enquiry: &&DataFile| match Kind::of_path(&changed.path) {
        Some(Kind::Enquiry) => enquiry.path == changed.path,
        Some(Kind::Vehicle) => is_for(enquiry, &|vehicle| vehicle == stem),
        Some(Kind::Kit) => catalogue
            .kit(stem)
            .is_none_or(|kit| is_for(enquiry, &|vehicle| kit.fits.iter().any(|fits| fits == vehicle))),
        _ => true,
    };
    let enquiries = files.iter().filter(|file| Kind::of_path(&file.path) == Some(Kind::Enquiry));
    enquiries.filter(is_reached).cloned().collect()
}

/// Everything the program does with one of the enquiries that a changed file reaches.
fn assert_one_answers_or_says_why(
    catalogue: &Catalogue,
    changed: &DataFile,
    files: &[DataFile],
    which: Index,
) {
    let reached = enquiries_reached(catalogue, changed, files);
    if !reached.is_empty() {
        assert_answers_or_says_why(catalogue, std::slice::from_ref(which.get(&reached)), files);
    }
}

/// Every enquiry, on a catalogue that is sound, gives faults, a finite answer, or says why the van cannot stand.
fn assert_answers_or_says_why(catalogue: &Catalogue, enquiries: &[DataFile], files: &[DataFile]) {
    for file in enquiries {
        match catalogue.read_enquiry(file) {
            Err(faults) => {
                assert!(!faults.is_empty());
                assert_well_formed(&faults, files);
            }
            Ok(enquiry) => match answer(catalogue, &enquiry) {
                Ok(answer) => {
                    assert_finite(&answer);
                    for kit in &answer.kits {
                        if let KitOutcome::CannotBeComputed(why) = &kit.outcome {
                            assert!(!why.en.is_empty() && !why.de.is_empty(), "{} without a reason", kit.kit);
                        }
                    }
                }
                Err(why) => says_why(&why),
            },
        }
    }
}

/// The same for set-ups and corrections.
fn assert_sets_up_and_corrects_or_says_why(catalogue: &Catalogue, files: &[DataFile]) {
    let Ok(enquiry) = catalogue.read_enquiry(&demo_file(&format!("enquiries/{CAMPER}.toml"))) else { return };
    let Ok(van) = KnownVan::of(catalogue, &enquiry) else { return };
    for kit in catalogue.kits_for(&enquiry.vehicle) {
        van.set_up(kit).map_or_else(|why| says_why(&why), |set_up| assert_finite(&set_up));
    }
    for file in files.iter().filter(|file| Kind::of_path(&file.path) == Some(Kind::RampRecord)) {
        if let Ok(record) = catalogue.read_ramp_record(file)
            && let Some(kit) = catalogue.kit(&record.kit)
        {
            van.correct(kit, &record)
                .map_or_else(|why| says_why(&why), |correction| assert_finite(&correction));
        }
    }
}

#[test]
fn law_every_demo_file_is_sound() {
    assert_eq!(faults_of(&demo_files()), []);
    let catalogue = demo();
    for sheet in &catalogue.vehicles {
        for grade in &sheet.grades {
            assert_eq!(PreparedVan::new(sheet, grade, None).err(), None, "{} {}", sheet.id, grade.id);
        }
    }
    for name in ENQUIRIES {
        let answer = answer(&catalogue, &enquiry(&catalogue, name)).unwrap();
        assert_finite(&answer);
        for kit in &answer.kits {
            assert!(matches!(kit.outcome, KitOutcome::Sits(_)), "{name}: {:?}", kit.outcome);
        }
    }
}

#[test]
fn law_every_demo_enquiry_is_answered_or_refused() {
    let files = demo_files();
    let is_enquiry = |file: &&DataFile| Kind::of_path(&file.path) == Some(Kind::Enquiry);
    let enquiries: Vec<DataFile> = files.iter().filter(is_enquiry).cloned().collect();
    assert!(enquiries.len() > ENQUIRIES.len());
    assert_answers_or_says_why(&demo(), &enquiries, &files);
}

proptest! {
    #![proptest_config(cases(120))]

    #[test]
    fn law_a_document_of_the_schema_is_read_or_faulted(
        file in Union::new(Kind::CHOICES.map(|(_, kind)| documents(kind)))
    ) {
        let files = folder_with(file);
        assert_well_formed(&faults_of(&files), &files);
    }
}

proptest! {
    #![proptest_config(cases(120))]

    #[test]
    fn law_a_spoilt_file_is_read_or_faulted(file in spoilt_demo_file(wild_edits())) {
        let files = folder_with(file);
        assert_well_formed(&faults_of(&files), &files);
    }
}

// One enquiry in each case, drawn among those that the file reaches: an answer with every kit takes a second, and another
// file says more than another enquiry on the same one.
proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn law_a_spoilt_folder_is_answered_or_refused(
        file in spoilt_demo_file(wild_edits()),
        which in any::<Index>(),
    ) {
        let files = folder_with(file.clone());
        match Catalogue::read(&files) {
            Ok(catalogue) => assert_one_answers_or_says_why(&catalogue, &file, &files, which),
            Err(faults) => {
                prop_assert!(!faults.is_empty());
                assert_well_formed(&faults, &files);
            }
        }
    }

    #[test]
    fn law_other_figures_are_answered_or_refused(
        file in spoilt_demo_file(mild_edits()),
        which in any::<Index>(),
    ) {
        let files = folder_with(file.clone());
        if let Ok(catalogue) = Catalogue::read(&files) {
            assert_one_answers_or_says_why(&catalogue, &file, &files, which);
        }
    }

    #[test]
    fn law_any_tolerances_are_answered_or_refused(
        file in documents(Kind::Tolerances),
        which in any::<Index>(),
    ) {
        let files = folder_with(file.clone());
        let catalogue = Catalogue::read(&files).unwrap();
        assert_one_answers_or_says_why(&catalogue, &file, &files, which);
    }
}

proptest! {
    #![proptest_config(cases(6))]

    #[test]
    fn law_other_figures_are_set_up_and_corrected_or_refused(file in spoilt_demo_file(mild_edits())) {
        let files = folder_with(file);
        if let Ok(catalogue) = Catalogue::read(&files) {
            assert_sets_up_and_corrects_or_says_why(&catalogue, &files);
        }
    }

    /// Values at the ends of their ranges, in any combination.
    #[test]
    fn law_any_enquiry_is_answered_or_refused(file in documents(Kind::Enquiry)) {
        let catalogue = demo();
        let enquiries = std::slice::from_ref(&file);
        assert_answers_or_says_why(&catalogue, enquiries, enquiries);
    }

    #[test]
    fn law_any_kit_is_answered_or_refused(file in documents(Kind::Kit)) {
        let files = [demo_file("vehicles/sorvel.toml"), demo_file("load-items.toml"), file];
        if let Ok(catalogue) = Catalogue::read(&files) {
            let enquiries = ENQUIRIES.map(|name| demo_file(&format!("enquiries/{name}.toml")));
            assert_answers_or_says_why(&catalogue, &enquiries, &enquiries);
        }
    }
}

/// Replaces lines of a demo file and gives the lines, counted from 1, beside the field each fault should name.
fn with_lines_replaced(path: &str, replacements: &[(&str, &str)]) -> (DataFile, Vec<usize>) {
    let file = demo_file(path);
    let mut lines: Vec<String> = file.text.lines().map(str::to_owned).collect();
    let replaced = replacements
        .iter()
        .map(|(old, new)| {
            let k =
                lines.iter().position(|line| line == old).unwrap_or_else(|| panic!("{path}: no line {old}"));
            lines[k] = (*new).to_owned();
            k + 1
        })
        .collect();
    (DataFile { path: path.to_owned(), text: lines.join("\n") }, replaced)
}

#[test]
fn law_all_faults_of_a_file_are_told_in_one_run() {
    type Case<'a> = (&'a str, &'a [(&'a str, &'a str)]);
    let cases: [Case; 7] = [
        (
            "vehicles/sorvel.toml",
            &[
                ("wheelbase_mm = 3180", "wheelbase_mm = \"3180\""),
                ("seats = 5", "seats = 5.5"),
                ("plated_gross_kg = 3080", "plated_gross_kg = 3080000"),
                ("camber_deg = -0.3", "kamber_deg = -0.3"),
                ("position = \"damper\"", "position = \"dampers\""),
                ("wheel_ratio = 0.7", "wheel_ratio = -0.7"),
            ],
        ),
        (
            "kits/tessavar-rear-collar.toml",
            &[
                ("family = \"adjustable_rear\"", "family = \"adjustable\""),
                ("free_length_mm = 428", "free_length_mm = nan"),
                ("thread_pitch_mm = 2", "thread_pitch_mm = 0"),
                ("lock_ring = true", "lock_ring = \"yes\""),
            ],
        ),
        (
            "load-items.toml",
            &[("mass_kg = 98", "mass_kg = -98"), ("evidence = \"makers_figure\"", "evidence = \"guessed\"")],
        ),
        (
            "furnishings.toml",
            &[("mass_kg = 165", "mass_kg = 0"), ("item = \"front-passenger\"", "item = \"passenger\"")],
        ),
        (
            "enquiries/camper-low-at-the-back.toml",
            &[
                ("item = \"bed-bench\"", "item = \"bed-bank\""),
                ("fuel_percent = 60", "fuel_percent = 600"),
                ("front_left_mm = 433", "front_left_mm = 43.3"),
                ("by = \"drop\"", "by = \"price\""),
            ],
        ),
        (
            "ramp/camper-after-fitting.toml",
            &[
                ("settled = \"rolled_and_bounced\"", "settled = \"rolled\""),
                ("bushes_reclamped = true", "bushes_reclamped = 1"),
                ("rear_left_mm = 369", "rear_left_mm = 36.9"),
            ],
        ),
        (
            "tolerances.toml",
            &[("bush_reclamp_mm = 4.0", "bush_reclamp_mm = -4.0"), ("settling_mm = 1.5", "setling_mm = 1.5")],
        ),
    ];
    for (path, replacements) in cases {
        let (file, mut lines) = with_lines_replaced(path, replacements);
        let files = folder_with(file);
        let faults = faults_of(&files);
        assert_well_formed(&faults, &files);
        let own = faults.iter().filter(|fault| fault.file == path);
        lines.sort_unstable();
        assert_eq!(own.map(|fault| fault.line).collect::<Vec<_>>(), lines, "{faults:#?}");
    }
}

#[test]
fn law_faults_of_all_files_are_told_in_one_run() {
    let (vehicle, _) = with_lines_replaced("vehicles/sorvel.toml", &[("seats = 5", "seats = 0")]);
    let (kit, _) =
        with_lines_replaced("kits/keltrop-line-30.toml", &[("family = \"fixed_springs\"", "famly = 1")]);
    let (items, _) = with_lines_replaced("load-items.toml", &[("mass_kg = 98", "mass_kg = 0")]);
    let broken = DataFile { path: "kits/pellewick-rise-30.toml".into(), text: "id = ".into() };
    let mut files = folder_with(vehicle);
    for file in [kit, items, broken] {
        files.retain(|other| other.path != file.path);
        files.push(file);
    }
    let faults = Catalogue::read(&files).unwrap_err();
    assert_well_formed(&faults, &files);
    for path in [
        "vehicles/sorvel.toml",
        "kits/keltrop-line-30.toml",
        "load-items.toml",
        "kits/pellewick-rise-30.toml",
    ] {
        assert!(faults.iter().any(|fault| fault.file == path), "{path} is not among {faults:#?}");
    }
}

#[test]
fn law_two_documents_of_one_identifier_are_refused() {
    let twin = DataFile { path: "kits/twin.toml".into(), ..demo_file("kits/ostrivo-steady.toml") };
    let faults = Catalogue::read(&folder_with(twin)).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert_eq!((faults[0].file.as_str(), faults[0].field.as_str()), ("kits/twin.toml", "id"));
}

#[test]
fn law_a_furnishing_is_its_items() {
    let catalogue = demo();
    let furnishing = &catalogue.furnishings[1];
    let file = demo_file("enquiries/too-low-wished.toml");
    let named = |text: String| catalogue.read_enquiry(&DataFile { text, path: file.path.clone() });
    let plain = named(file.text.clone()).unwrap();
    let with = named(format!("furnishing = \"{}\"\n{}", furnishing.id, file.text)).unwrap();
    assert_eq!(with.items, [plain.items, furnishing.items.clone()].concat());
    let faults = named(format!("furnishing = \"caravan\"\n{}", file.text)).unwrap_err();
    assert_eq!((faults[0].line, faults[0].field.as_str()), (1, "furnishing"), "{faults:?}");
}

#[test]
fn law_an_enquiry_for_another_catalogue_is_refused() {
    let catalogue = Catalogue::default();
    for name in ENQUIRIES {
        let file = demo_file(&format!("enquiries/{name}.toml"));
        let faults = catalogue.read_enquiry(&file).unwrap_err();
        assert_well_formed(&faults, std::slice::from_ref(&file));
    }
}

#[test]
fn law_a_van_that_cannot_stand_says_why() {
    let mut catalogue = demo();
    for grade in &mut catalogue.vehicles[0].grades {
        grade.rear_spring.arch_height_mm = 150.0;
    }
    let enquiry = enquiry(&catalogue, DAY_VAN);
    let why = KnownVan::of(&catalogue, &enquiry).err().unwrap();
    says_why(&why);
}
