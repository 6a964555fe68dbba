//! Every sentence has its two forms, and the two are not the same.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

use workshop::answer::Weight;
use workshop::belief::Origin;
use workshop::enquiry::WishKind;
use workshop::facts::{Language, Words};
use workshop::figure::{Evidence, Figure};
use workshop::fitting::RuleSays;
use workshop::kit::{CountedFrom, KitFamily};
use workshop::load_list::LoadState;
use workshop::price::{Currency, NoQuote};
use workshop::rules::RuleFigure;
use workshop::sit::TravelEnd;
use workshop::wording::*;

fn figure(value: f64) -> Figure {
    Figure {
        value,
        low: value - 2.0,
        high: value + 2.0,
        evidence: Evidence::Computed,
        widened_by: Vec::new(),
    }
}

fn rule() -> RuleSays {
    RuleSays {
        rule: "a-rule".into(),
        reason: Words { en: "It is too long.".into(), de: "Er ist zu lang.".into() },
        source: "maker's instruction; common practice, no source".into(),
        because: becauses(),
    }
}

fn becauses() -> Vec<Because> {
    let bounds = [(Some(1.0), Some(2.0)), (Some(1.0), None), (None, Some(2.0)), (None, None)];
    let of_figures = RuleFigure::CHOICES.iter().flat_map(|(_, figure)| {
        bounds.map(|(at_least, at_most)| {
            let (state, value) = (LoadState::FullyLaden, -0.2);
            Because::Figure(MetFigure { figure: *figure, state, value, at_least, at_most })
        })
    });
    let mount = |en: &str, de: &str| Words { en: en.into(), de: de.into() };
    let others = [
        Because::SoldFor { vehicles: vec!["sorvel".into()] },
        Because::Stops { stop: Box::new(Meaning::CoilsTouch { axle: Axle::Front }) },
        Because::StrutMount {
            made_for: mount("a tube", "ein Rohr"),
            on_the_van: mount("a flange", "ein Flansch"),
        },
    ];
    of_figures.chain(others).collect()
}

fn meanings() -> Vec<Meaning> {
    let (axle, adjuster, state) = (Axle::Rear, Adjuster::AdjustingBolt, LoadState::DayToDay);
    let outside = OutsideAxleBand { axle, state, load_kg: 1200.0, from_kg: 800.0, to_kg: 1100.0 };
    let mut all = vec![
        Meaning::SpringNotCaptive { axle, loose_mm: 3.0 },
        Meaning::BarelyCaptive { axle, in_hand_mm: figure(1.0) },
        Meaning::CoilsTouch { axle },
        Meaning::StopsEngaged { axle, states: LoadState::ALL.to_vec() },
        Meaning::BeyondTravel { axle },
        Meaning::LittleTravelToMetal { axle, state, left_mm: figure(30.0) },
        Meaning::DropOnly { axle, reference_kg: 1000.0, plus_minus_kg: 0.0 },
        Meaning::DropOnly { axle, reference_kg: 1000.0, plus_minus_kg: 90.0 },
        Meaning::OutsideAxleBand(outside),
        Meaning::OutByRule { rule: rule() },
        Meaning::WeightsDoNotFit { state, apart_kg: vec![20.0, -30.0] },
        Meaning::HeightsDoNotFit { apart_mm: vec![20.0, -30.0, 0.0, 1.0] },
        Meaning::DeeperDependsOnTube { axle, up_to_mm: 12.0 },
        Meaning::CollarsUnmeasured { axle, adjuster },
        Meaning::SetAnew,
        Meaning::SettlesBelowTheAim { lost_mm: 1.5 },
        Meaning::AirPressureBeyond { axle, state, pressure_bar: 0.4, limit_bar: 0.5 },
        Meaning::AirPressureBeyond { axle, state, pressure_bar: 7.4, limit_bar: 7.0 },
        Meaning::MissesAim { axle, miss_mm: figure(4.0) },
        Meaning::NotAdjustable { axle, arch_height_mm: figure(412.0) },
    ];
    for plate in [Plate::GrossMass, Plate::FrontAxle, Plate::RearAxle] {
        all.push(Meaning::OverPlate { state, plate, left_kg: figure(-40.0) });
        all.push(Meaning::CloseToPlate { state, plate, left_kg: figure(1.0) });
    }
    for end in [CollarEnd::Lowest, CollarEnd::Highest] {
        all.push(Meaning::CollarsAtEnd { axle, adjuster, end });
    }
    for why in [KeptHigher::Captive { least_mm: 5.0 }, KeptHigher::TravelToMetal { least_mm: 50.0 }] {
        all.push(Meaning::CollarsKeptHigher { axle: Axle::Front, adjuster, why });
        all.push(Meaning::CollarsEndTooLow { axle: Axle::Front, adjuster, why });
        all.push(Meaning::TurningUpGainsNone { axle: Axle::Front, adjuster, why });
    }
    all
}

fn euro() -> Currency {
    Currency { code: "EUR".into(), minor_digits: 2 }
}

fn misses() -> Vec<Miss> {
    vec![
        Miss::Drop { off_mm: 9.0 },
        Miss::Drop { off_mm: -9.0 },
        Miss::Level { level_mm: 9.0 },
        Miss::Level { level_mm: -9.0 },
        Miss::Travel { left_mm: 20.0 },
        Miss::LoadReserve { left_kg: 20.0 },
        Miss::GroundClearance { left_mm: 90.0 },
        Miss::GroundClearanceNotKnown,
        Miss::Budget { over_minor: 123_456, currency: euro() },
    ]
}

fn changes() -> Vec<Change> {
    let name = Words { en: "drop link".into(), de: "Koppelstange".into() };
    let mut all = vec![
        Change::SameHeight,
        Change::Certainty { from_plus_minus_mm: 2.0, to_plus_minus_mm: 5.0 },
        Change::Certainty { from_plus_minus_mm: 5.0, to_plus_minus_mm: 2.0 },
        Change::Level { from_mm: -3.0, to_mm: 3.0 },
        Change::Level { from_mm: 3.0, to_mm: -3.0 },
        Change::NeedsPart { name: name.clone() },
        Change::DoesWithoutPart { name: name.clone() },
        Change::Warns { reason: name },
    ];
    for sign in [-1.0, 1.0] {
        all.push(Change::Height { lower_mm: 7.0 * sign });
        all.push(Change::Travel { more_mm: 7.0 * sign });
        all.push(Change::Time { longer_minutes: 7.0 * sign });
    }
    for more_minor in [-100, 0, 100] {
        all.push(Change::Cost { more_minor, currency: euro() });
    }
    all
}

fn causes() -> Vec<Cause> {
    let mut all = vec![Cause::CentreOfGravityHeight, Cause::MassOf("Bett".into())];
    all.extend((0..4).map(Cause::ArchLip));
    for axle in [Axle::Front, Axle::Rear] {
        all.extend([
            Cause::UnlistedMass(axle),
            Cause::LooseThings(axle),
            Cause::MotionRatio(axle),
            Cause::TyreRate(axle),
            Cause::TyreRadius(axle),
            Cause::BushRate(axle),
            Cause::AntiRollBar(axle),
            Cause::BushClamp(axle),
        ]);
        for origin in [Origin::Fitted, Origin::Kit, Origin::AsNew] {
            let of = Springs { axle, origin };
            all.extend([
                Cause::StopStiffness(of),
                Cause::StopHeight(of),
                Cause::GasForce(of),
                Cause::DamperLength(of),
                Cause::Settling(of),
                Cause::UnpublishedRate(of),
                Cause::PublishedDrop(of),
                Cause::ReferenceLoad(of),
                Cause::Sag(of),
                Cause::SpringRate(of),
                Cause::FreeLength(of),
                Cause::CollarPosition(of, Adjuster::Collar),
                Cause::CollarPosition(of, Adjuster::AdjustingBolt),
                Cause::AddedLeafTouch(of),
                Cause::BlockHeight(of),
                Cause::AddedLeafRate(of),
                Cause::AirPressure(of),
            ]);
        }
    }
    all
}

const REMEDIES: [Remedy; 17] = [
    Remedy::WeighInThisState,
    Remedy::MeasureFromDatum,
    Remedy::WeighTheAxles,
    Remedy::MeasureAsFound,
    Remedy::NoteHeights,
    Remedy::JackTheWheel,
    Remedy::LoadedRadius,
    Remedy::UnloadedRadius,
    Remedy::ReclampBushes,
    Remedy::BarDiameter,
    Remedy::WeighIt,
    Remedy::PartOnTheBench,
    Remedy::ReadAtRecheck,
    Remedy::SpringsOnTheBench,
    Remedy::AskReferenceLoad,
    Remedy::MeasureAndWeigh,
    Remedy::MeasureCollar,
];

fn not_priced() -> Vec<NotPriced> {
    let why = [
        NoQuote::UnknownPart("a".into()),
        NoQuote::NoMass("a".into()),
        NoQuote::TooHeavyToPost(31.5),
        NoQuote::OutOfRange("a price"),
    ];
    let mut all = vec![
        NotPriced::WorkDependsOn { fact: "strut-mount".into() },
        NotPriced::PartsDependOn { fact: "strut-mount".into() },
        NotPriced::NoOperation,
        NotPriced::UnknownOperation { operation: "a".into() },
    ];
    all.extend(why.map(|why| NotPriced::NoQuote { why }));
    all
}

fn of_the_ramp() -> Vec<Box<dyn Said>> {
    let axle = Axle::Front;
    let mut all: Vec<Box<dyn Said>> = vec![
        Box::new(Setting::TrimStops { axle, height_mm: 40.0 }),
        Box::new(Setting::InsertDeeper { axle, by_mm: 4.0 }),
        Box::new(Setting::LockRings { axle }),
        Box::new(Setting::HeightByParts { axle }),
        Box::new(LeanSays::Sides { heavier: Side::Left, by_kg: 40.0, leans_to: Side::Right }),
        Box::new(LeanSays::MoveLoad),
        Box::new(LeanSays::LookAtSprings),
        Box::new(Refusal::OnlyLowered),
        Box::new(Refusal::LoadNotAsListed),
        Box::new(Refusal::BushesNotReclamped),
        Box::new(Suspicion::NoSingleCause),
        Box::new(Doubt::CornerWeights { apart_kg: vec![1.0, -30.0, 0.0, 4.0] }),
        Box::new(Doubt::Collar {
            suspicion: Suspicion::Collar { corner: 1, adjuster: Adjuster::Collar, higher_mm: 9.0 },
        }),
        Box::new(Learned::RatesNotIdentifiable),
        Box::new(BenchSays::ReadingsBend),
        Box::new(BenchSays::AgreesWithWire { within_percent: 5.0 }),
        Box::new(BenchSays::DiffersFromWire { by_percent: -12.0 }),
        Box::new(Learned::MostOf { axle, cause: Cause::ArchLip(1), variance_fell_percent: 20.0 }),
    ];
    for counted_from in [CountedFrom::Hard, CountedFrom::Soft] {
        all.push(Box::new(Setting::Clicks { axle, start_at: 4, count: 12, counted_from }));
    }
    for readings in [
        Exchange::FrontLeftAndRight,
        Exchange::RearLeftAndRight,
        Exchange::LeftAndRight,
        Exchange::FrontAndRear,
    ] {
        all.push(Box::new(Suspicion::Exchanged { readings }));
    }
    for sign in [-1.0, 1.0] {
        all.push(Box::new(Suspicion::Reading { corner: 2, too_high_mm: 9.0 * sign }));
        all.push(Box::new(Suspicion::Collar {
            corner: 2,
            adjuster: Adjuster::AdjustingBolt,
            higher_mm: 9.0 * sign,
        }));
        all.push(Box::new(Suspicion::Spring { corner: 2, stiffer_percent: 9.0 * sign }));
    }
    all
}

/// Names that are formed by a function of the language alone.
fn names(language: Language) -> Vec<String> {
    let mut all: Vec<&str> = LoadState::ALL.iter().map(|&state| load_state(language, state)).collect();
    all.extend(
        [
            Evidence::Measured,
            Evidence::Plate,
            Evidence::MakersFigure,
            Evidence::Estimated,
            Evidence::Computed,
        ]
        .map(|of| evidence(language, of)),
    );
    all.extend([Weight::Stop, Weight::LookAtIt, Weight::Note].map(|of| weight(language, of)));
    all.extend(KitFamily::CHOICES.iter().map(|(_, of)| family(language, *of)));
    all.extend([Axle::Front, Axle::Rear].map(|of| axle(language, of)));
    all.extend((0..4).map(|i| corner(language, i)));
    all.extend([Plate::GrossMass, Plate::FrontAxle, Plate::RearAxle].map(|of| plated(language, of)));
    all.extend(WishKind::CHOICES.iter().map(|(_, of)| wish(language, *of)));
    all.extend(
        [
            TravelEnd::BumpStopSolid,
            TravelEnd::DamperClosed,
            TravelEnd::CoilBind,
            TravelEnd::DamperOpen,
            TravelEnd::EndOfLinkage,
        ]
        .map(|of| travel_end(language, of)),
    );
    all.push(level_and_pitch(language));
    let mut all: Vec<String> = all.into_iter().map(str::to_owned).collect();
    all.extend([-1.0, 0.0, 1.0].map(|count| turns(language, count)));
    all.extend([
        legend(language, Evidence::Estimated),
        source(language, "common practice, no source"),
        says(language, &rule()),
        with_range(language, &figure(4.0), "mm", 1),
    ]);
    all
}

#[test]
fn law_every_sentence_has_two_forms() {
    let mut all: Vec<Box<dyn Said>> = of_the_ramp();
    all.extend(meanings().into_iter().map(|said| Box::new(said) as Box<dyn Said>));
    all.extend(misses().into_iter().map(|said| Box::new(said) as Box<dyn Said>));
    all.extend(changes().into_iter().map(|said| Box::new(said) as Box<dyn Said>));
    all.extend(causes().into_iter().map(|said| Box::new(said) as Box<dyn Said>));
    all.extend(REMEDIES.map(|said| Box::new(said) as Box<dyn Said>));
    all.extend(becauses().into_iter().map(|said| Box::new(said) as Box<dyn Said>));
    all.extend(not_priced().into_iter().map(|said| Box::new(said) as Box<dyn Said>));
    let forms = |language| all.iter().map(move |said| said.words(language));
    let pairs = forms(Language::English).chain(names(Language::English));
    let german = forms(Language::German).chain(names(Language::German));
    for (english, german) in pairs.zip(german) {
        assert!(!english.trim().is_empty() && !german.trim().is_empty(), "{english:?} {german:?}");
        assert_ne!(english, german);
        for text in [&english, &german] {
            assert!(!text.contains("-0 ") && !text.contains("NaN"), "{text}");
        }
    }
}

/// Two meanings that say the same words could not be told apart by whoever reads them.
#[test]
fn law_no_two_causes_say_the_same() {
    for language in [Language::English, Language::German] {
        let mut words: Vec<String> = causes().iter().map(|cause| cause.words(language)).collect();
        let count = words.len();
        words.sort();
        words.dedup();
        assert_eq!(words.len(), count, "{language:?}");
    }
}

#[test]
fn law_numbers_follow_their_language() {
    use Language::{English, German};
    assert_eq!((fixed(English, -1.25, 1), fixed(German, -1.25, 1)), ("-1.2".into(), "-1,2".into()));
    assert_eq!((fixed(English, -0.04, 1), fixed(German, -0.04, 1)), ("0.0".into(), "0,0".into()));
    assert_eq!((signed(English, 3.0, 0), signed(German, -0.4, 0)), ("+3".into(), "0".into()));
    assert_eq!(span(German, 1.5, 2.25, 2), "1,50 bis 2,25");
}

#[test]
fn law_a_meaning_is_read_by_programs_with_kind_values_and_words() {
    let remark = workshop::answer::Remark::look_at_it(Meaning::CollarsKeptHigher {
        axle: Axle::Rear,
        adjuster: Adjuster::Collar,
        why: KeptHigher::Captive { least_mm: 5.0 },
    });
    let json = serde_json::to_value(&remark).unwrap();
    assert_eq!(json["weight"], "look_at_it");
    assert_eq!(json["kind"], "collars_kept_higher");
    assert_eq!(json["axle"], "rear");
    assert_eq!(json["because"], "captive");
    assert_eq!(json["words"]["de"], remark.words(Language::German));
    for meaning in meanings() {
        let json = serde_json::to_value(workshop::answer::Remark::note(meaning)).unwrap();
        assert!(json["kind"].is_string() && json["words"]["en"].is_string(), "{json}");
    }
}
