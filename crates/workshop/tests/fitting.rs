//! Fitting rules, shortlist and comparison on the demo workshop with a small set of rules of its own.

#![allow(clippy::unwrap_used, clippy::panic)] // a test helper may fail the test

mod common;

use workshop::answer::KnownVan;
use workshop::catalogue::{Catalogue, DataFile};
use workshop::document::{Fault, read};
use workshop::enquiry::{Delivery, Enquiry, WishKind};
use workshop::facts::{Fact, FactIs, KnownFacts, Language, read_facts};
use workshop::fitting::Fitting;
use workshop::kit::{Kit, KitFamily};
use workshop::load_list::LoadState;
use workshop::near_miss::NearMiss;
use workshop::price::NoQuote;
use workshop::ride::Promise;
use workshop::rule_conflicts::dead_rules;
use workshop::rules::{Rule, RuleWorld, read_rules};
use workshop::shortlist::{KitOption, Shortlist, compared, shortlist};
use workshop::wording::{Because, Meaning, Said, Setting};

use common::demo_files;

const FACTS: &str = r#"
[[facts]]
id = "strut-mount"
question = { en = "How is the strut held?", de = "Wie sitzt das Federbein?" }
where_to_look = { en = "Behind the front wheel.", de = "Hinter dem Vorderrad." }
answers = [
  { id = "slip-in-tube", words = { en = "slipped into a tube", de = "ins Rohr gesteckt" } },
  { id = "bolted-flange", words = { en = "bolted to a flange", de = "am Flansch verschraubt" } },
]

[[facts]]
id = "sensor"
question = { en = "Is there a level sensor?", de = "Gibt es einen Niveausensor?" }
where_to_look = { en = "At the rear axle.", de = "An der Hinterachse." }
answers = [
  { id = "none", words = { en = "none", de = "keiner" } },
  { id = "fitted", words = { en = "fitted", de = "vorhanden" } },
]
"#;

const RULES: &str = r#"
[[rules]]
id = "struts-for-tubes"
when = [
  { of = "strut_mount", is = "differs" },
]
effect = { does = "excludes" }
reason = { en = "These struts slip into a tube.", de = "Diese Federbeine werden ins Rohr gesteckt." }
source = "maker's instruction"

[[rules]]
id = "short-drop-link"
when = [{ of = "figure", figure = "front_drop_against_original_mm", at_least = 35 }]
effect = { does = "adds_part", part = "short-drop-link", quantity = 2 }
reason = { en = "The drop link would twist the bar.", de = "Die Koppelstange würde den Stabilisator verdrehen." }
source = "common practice, no source"

[[rules]]
id = "sensor-reset"
when = [{ of = "fact", fact = "sensor", is = ["fitted"] }]
effect = { does = "adds_caution" }
reason = { en = "Reset the sensor.", de = "Den Sensor neu einstellen." }
source = "maker's instruction"
"#;

fn facts() -> Vec<Fact> {
    read("facts.toml", FACTS, read_facts).unwrap()
}

fn rules(text: &str) -> Result<Vec<Rule>, Vec<Fault>> {
    let facts = facts();
    read("rules.toml", text, |f| read_rules(f, RuleWorld { facts: &facts, ..RuleWorld::default() }))
}

/// The demo's sheets and kits with the rules and facts above, its three first kits' van only.
fn catalogue() -> Catalogue {
    let mut catalogue = Catalogue::read(&demo_files()).unwrap();
    for sheet in &mut catalogue.vehicles {
        sheet.facts.clear();
    }
    catalogue.facts = facts();
    catalogue.rules = rules(RULES).unwrap();
    catalogue.prices = None;
    catalogue
}

fn enquiry(catalogue: &Catalogue, answers: &[(&str, &str)]) -> Enquiry {
    let files = demo_files();
    let file = files.iter().find(|file| file.path == format!("enquiries/{}.toml", common::CAMPER)).unwrap();
    // the demo's own answers belong to the demo's own facts
    let text = file.text.split("\n[[facts]]").next().unwrap().to_owned();
    let mut enquiry = catalogue.read_enquiry(&DataFile { text, ..file.clone() }).unwrap();
    enquiry.facts = answers
        .iter()
        .map(|(fact, answer)| FactIs { fact: (*fact).to_owned(), is: vec![(*answer).to_owned()] })
        .collect();
    enquiry
}

fn listed(answers: &[(&str, &str)]) -> Shortlist {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, answers);
    shortlist(&KnownVan::of(&catalogue, &enquiry).unwrap(), &enquiry.wish).unwrap()
}

const STRUTS: &str = "tessavar-four-collars";
const SPRINGS: &str = "keltrop-line-30";

#[test]
fn law_a_kit_is_out_by_one_rule_with_its_reason_and_source() {
    let listed = listed(&[("strut-mount", "bolted-flange"), ("sensor", "none")]);
    let out = listed.out.iter().find(|out| out.kit == STRUTS).unwrap();
    assert_eq!(out.because.rule, "struts-for-tubes");
    assert_eq!(out.because.source, "maker's instruction");
    assert!(!out.because.reason.de.is_empty());
    assert!(listed.options.iter().any(|option| option.kit == SPRINGS), "springs alone do not care");
}

#[test]
fn law_what_is_not_known_keeps_a_kit_in_and_says_what_it_depends_on() {
    let listed = listed(&[("sensor", "none")]);
    let option = listed.options.iter().find(|option| option.kit == STRUTS).unwrap();
    assert_eq!(option.verdict.depends_on[0].fact, "strut-mount");
    assert!(option.spoken.en.contains("How is the strut held?"), "{:?}", option.spoken);
}

#[test]
fn law_the_question_that_moves_kits_in_or_out_is_asked_first_and_none_when_all_is_known() {
    let asked = listed(&[]).ask_next.unwrap();
    assert_eq!(asked.fact, "strut-mount");
    assert!(asked.kits_in_or_out >= 1);
    assert_eq!(listed(&[("strut-mount", "slip-in-tube")]).ask_next.unwrap().fact, "sensor");
    assert_eq!(listed(&[("strut-mount", "slip-in-tube"), ("sensor", "none")]).ask_next, None);
}

#[test]
fn law_struts_for_another_mount_are_three_valued() {
    let catalogue = catalogue();
    let kit = catalogue.kit(STRUTS).unwrap();
    assert_eq!(kit.strut_mount(), Some("slip-in-tube"));
    let grade = &catalogue.vehicles[0].grades[0];
    let wished = LoadState::DayToDay;
    let verdict = |kit: &Kit, answers: &[(&str, &str)]| {
        let enquiry = enquiry(&catalogue, answers);
        let known = KnownFacts::of(&catalogue.facts, &[], &enquiry.facts);
        Fitting { kit, vehicle: "sorvel", grade, on_van: None, wished }.verdict(&catalogue.rules, &known)
    };
    let differs = verdict(kit, &[("strut-mount", "bolted-flange")]).out.unwrap();
    assert_eq!(
        differs.because.iter().map(|met| met.words(Language::English)).collect::<Vec<_>>(),
        ["its struts are made for: slipped into a tube; on the van: bolted to a flange"]
    );
    let same = verdict(kit, &[("strut-mount", "slip-in-tube")]);
    assert!(same.out.is_none() && same.depends_on.iter().all(|waits| waits.fact != "strut-mount"));
    let unknown = verdict(kit, &[]);
    assert!(unknown.out.is_none());
    assert!(unknown.depends_on.iter().any(|waits| waits.fact == "strut-mount"));
    // a kit without struts does not care, whatever is known
    let springs = verdict(catalogue.kit(SPRINGS).unwrap(), &[]);
    assert!(springs.out.is_none() && springs.depends_on.iter().all(|waits| waits.fact != "strut-mount"));
}

#[test]
fn law_a_rule_may_name_kits_and_only_known_ones() {
    let rule = RULES.replace(
        "{ of = \"strut_mount\", is = \"differs\" }",
        "{ of = \"kit\", is = [\"ostrivo-steady\", \"tessavar-four-collars\"] }",
    );
    let kits = ["ostrivo-steady", STRUTS].map(str::to_owned);
    let facts = facts();
    let read_with = |kits: &[String]| {
        read("rules.toml", &rule, |f| {
            read_rules(f, RuleWorld { facts: &facts, kits, ..RuleWorld::default() })
        })
    };
    let rules = read_with(&kits).unwrap();
    let catalogue = catalogue();
    let known = KnownFacts::of(&facts, &[], &[]);
    for kit in catalogue.kits_for("sorvel") {
        let grade = &catalogue.vehicles[0].grades[0];
        let fitting = Fitting { kit, vehicle: "sorvel", grade, on_van: None, wished: LoadState::DayToDay };
        assert_eq!(fitting.verdict(&rules, &known).out.is_some(), kits.contains(&kit.id), "{}", kit.id);
    }
    let faults = read_with(&kits[1..]).unwrap_err();
    assert_eq!((faults.len(), faults[0].field.as_str()), (1, "rules[0].when[0].is[0]"), "{faults:?}");
}

#[test]
fn law_every_family_of_the_demo_can_be_posted_and_one_without_a_tier_is_found() {
    let mut catalogue = Catalogue::read(&demo_files()).unwrap();
    assert_eq!(catalogue.families_not_posted(), []);
    let prices = catalogue.prices.as_mut().unwrap();
    prices.carriage.retain(|tier| !tier.families.is_empty() || tier.up_to_kg < 17.5);
    let found = catalogue.families_not_posted();
    // the heaviest of the springs with a collar weigh 17.5 kg, those that raise 17 kg
    assert!(found.contains(&(KitFamily::AdjustableRear, NoQuote::TooHeavyToPost(17.5))), "{found:?}");
    assert!(found.iter().all(|(family, _)| *family != KitFamily::AdjustableStruts), "{found:?}");
    catalogue.prices.as_mut().unwrap().carriage.clear();
    assert_eq!(catalogue.families_not_posted(), [], "a workshop that posts nothing");
}

/// The demo's own rules on one of its enquiries.
fn demo_listed(name: &str, change: impl FnOnce(&mut Catalogue, &mut Enquiry)) -> Shortlist {
    let mut catalogue = Catalogue::read(&demo_files()).unwrap();
    let files = demo_files();
    let file = files.iter().find(|file| file.path == format!("enquiries/{name}.toml")).unwrap();
    let mut enquiry = catalogue.read_enquiry(file).unwrap();
    change(&mut catalogue, &mut enquiry);
    shortlist(&KnownVan::of(&catalogue, &enquiry).unwrap(), &enquiry.wish).unwrap()
}

fn is_option<'a>(listed: &'a Shortlist, id: &str) -> Option<&'a KitOption> {
    listed.options.iter().find(|option| option.kit == id)
}

#[test]
fn law_an_axle_load_outside_the_makers_band_puts_a_kit_out_by_a_rule_and_by_how_much() {
    // rear axle day to day on the springs that are fitted; other springs pitch the van and move a kilogram or two
    let (load_kg, pitch_kg) = (1211.0, 3.0);
    let with_band = |from_kg: f64, to_kg: f64| {
        demo_listed(common::CAMPER, |catalogue, _| {
            let kit = catalogue.kits.iter_mut().find(|kit| kit.id == SPRINGS).unwrap();
            kit.front.as_mut().unwrap().axle_load_kg = None;
            kit.rear.as_mut().unwrap().axle_load_kg = Some([from_kg, to_kg]);
        })
    };
    for (from_kg, to_kg, rule) in [
        (700.0, load_kg - 40.0, "rear-load-over-kit-band"),
        (load_kg + 40.0, 2000.0, "rear-load-under-kit-band"),
    ] {
        let listed = with_band(from_kg, to_kg);
        let out = listed.out.iter().find(|out| out.kit == SPRINGS).unwrap();
        assert_eq!((out.because.rule.as_str(), out.because.source.as_str()), (rule, "maker's instruction"));
        let miss = out.near_misses.iter().find(|miss| miss.rule.as_deref() == Some(rule)).unwrap();
        assert!(miss.decided && (miss.by - 39.0).abs() < pitch_kg && miss.unit == "kg", "{miss:?}");
        assert_eq!(miss.state, Some(LoadState::DayToDay));
    }
    // within by little: in, and told; within by much: in, and nothing to tell
    let close = with_band(700.0, load_kg + 10.0);
    let option = is_option(&close, SPRINGS).unwrap();
    let miss = option.near_misses.iter().find(|miss| miss.unit == "kg").unwrap();
    assert!(!miss.decided && (miss.by - 11.0).abs() < pitch_kg, "{miss:?}");
    let wide = with_band(700.0, 2000.0);
    assert!(is_option(&wide, SPRINGS).unwrap().near_misses.iter().all(|miss| miss.unit != "kg"));
}

#[test]
fn law_a_kit_that_is_out_names_every_rule_that_puts_it_out() {
    let listed = demo_listed(common::CAMPER, |catalogue, enquiry| {
        let kit = catalogue.kits.iter_mut().find(|kit| kit.id == STRUTS).unwrap();
        kit.rear.as_mut().unwrap().axle_load_kg = Some([200.0, 300.0]);
        let mount = enquiry.facts.iter_mut().find(|fact| fact.fact == "strut-mount").unwrap();
        mount.is = vec!["bolted-flange".to_owned()];
    });
    let out = listed.out.iter().find(|out| out.kit == STRUTS).unwrap();
    assert_eq!(out.because.rule, "struts-for-another-mount");
    let also: Vec<&str> = out.also.iter().map(|says| says.rule.as_str()).collect();
    assert_eq!(also, ["rear-load-over-kit-band"]);
}

#[test]
fn law_missed_wishes_are_numbers_too() {
    let listed = demo_listed(common::CAMPER, |_, enquiry| {
        enquiry.wish.travel_at_least_mm = Some(60.0);
        enquiry.wish.budget_minor = Some(1);
    });
    for option in &listed.options {
        let missed: Vec<&NearMiss> = option.near_misses.iter().filter(|miss| miss.rule.is_none()).collect();
        assert_eq!(missed.len(), option.misses.len(), "{}", option.kit);
        assert_eq!(option.within_wishes, missed.is_empty() && !option.stopped);
        for miss in missed {
            assert!((miss.by - (miss.value - miss.limit).abs()).abs() < 1e-9 && miss.by > 0.0, "{miss:?}");
        }
        if let Some(quote) = &option.quote {
            let budget = option.near_misses.iter().find(|miss| miss.what == "total price").unwrap();
            assert!((budget.by - (quote.total_minor - 1) as f64).abs() < 0.5, "{}", option.kit);
        }
    }
}

#[test]
fn law_springs_and_dampers_together_bring_what_both_bring_and_cost_what_both_cost() {
    let listed = demo_listed(common::CAMPER, |_, enquiry| enquiry.delivery = Delivery::Collected);
    let id = "pellewick-street-35+ostrivo-steady";
    let option = is_option(&listed, id).unwrap();
    assert_eq!((option.family, option.maker.as_str()), (KitFamily::Combination, "Pellewick + Ostrivo"));
    assert_eq!(option.to_buy, ["pellewick-street-35", "ostrivo-steady"]);
    // by hand: 214.50 + 518.00 and a set of two rear pads, tax of 20 % on the whole
    let quote = option.quote.as_ref().unwrap();
    let extras: i64 = quote.lines.iter().skip(2).map(|line| line.amount_minor).sum();
    assert_eq!(quote.without_tax_minor, 21_450 + 51_800 + extras);
    let of = |id: &str| is_option(&listed, id).unwrap();
    let operations = |id: &str| -> Vec<&str> {
        of(id).verdict.operations.iter().map(|added| added.operation.as_str()).collect()
    };
    for part in ["pellewick-street-35", "ostrivo-steady"] {
        let all = operations(id);
        assert!(operations(part).iter().all(|operation| all.contains(operation)), "{part}");
    }
    assert!(option.verdict.cautions.iter().any(|says| says.rule == "certificates-of-two-kits"));
    // more gas than the original dampers have: higher than the springs alone
    assert!(option.drop_against_today_mm.value < of("pellewick-street-35").drop_against_today_mm.value);
}

#[test]
fn law_only_springs_alone_and_dampers_alone_make_a_combination() {
    let catalogue = Catalogue::read(&demo_files()).unwrap();
    let kit = |id: &str| catalogue.kit(id).unwrap();
    let together = |a: &str, b: &str| Kit::combined(kit(a), kit(b));
    assert!(together(SPRINGS, "ostrivo-steady").is_some());
    assert!(together("ostrivo-steady", SPRINGS).is_none(), "springs come first");
    assert!(together(STRUTS, "ostrivo-steady").is_none(), "struts bring dampers");
    assert!(together(SPRINGS, STRUTS).is_none(), "struts bring springs");
    assert!(together(SPRINGS, "quillmer-even-long").is_none(), "no van has both");
    assert!(together("quillmer-spacer-20", "ostrivo-steady").is_none(), "spacers are no springs");
    let mut loaded = kit("ostrivo-steady").clone();
    loaded.front.as_mut().unwrap().axle_load_kg = Some([1400.0, 1600.0]);
    assert!(Kit::combined(kit(SPRINGS), &loaded).is_none(), "no load is in both bands");
    // dampers so long that the springs hang loose are refused by the mechanics, not by a rule
    let listed = demo_listed(common::CAMPER, |catalogue, _| {
        catalogue.rules.retain(|rule| !rule.id.ends_with("not-captive"));
        let dampers = catalogue.kits.iter_mut().find(|kit| kit.id == "ostrivo-steady").unwrap();
        for axle in [&mut dampers.front, &mut dampers.rear] {
            axle.as_mut().unwrap().damper.as_mut().unwrap().open_length_mm += 60.0;
        }
    });
    let out = listed.out.iter().find(|out| out.kit.ends_with("+ostrivo-steady"));
    assert_eq!(out.unwrap().because.rule, "work-together");
    let because = &out.unwrap().because.because[0];
    let loose = |because: &Because| matches!(because, Because::Stops { stop } if matches!(**stop, Meaning::SpringNotCaptive { .. }));
    assert!(loose(because), "{out:?}");
}

#[test]
fn law_what_is_fitted_is_set_anew_and_not_bought_again() {
    let fitted = |positions: [Option<f64>; 4]| {
        demo_listed(common::CAMPER, |_, enquiry| {
            enquiry.fitted_kit = Some("tessavar-rear-collar".to_owned());
            enquiry.fitted_collars_mm = positions;
            enquiry.as_found = None;
            enquiry.delivery = Delivery::Collected;
        })
    };
    let measured = fitted([None, None, Some(24.0), Some(24.0)]);
    let option = is_option(&measured, "tessavar-rear-collar").unwrap();
    assert!(option.to_buy.is_empty());
    let operations: Vec<&str> = option.verdict.operations.iter().map(|o| o.operation.as_str()).collect();
    assert!(
        operations.contains(&"collar-setting") && !operations.contains(&"rear-springs"),
        "{operations:?}"
    );
    assert!(option.quote.as_ref().unwrap().lines.is_empty(), "nothing is bought, nothing fitted");
    // dampers go with the springs that are fitted
    let dampers = is_option(&measured, "ostrivo-steady").unwrap();
    assert_eq!(
        dampers.stays.as_ref().unwrap().en,
        "Of Rear collar stay: front springs, rear springs, rear collars."
    );
    // and are not bought again with them
    let ids =
        measured.options.iter().map(|option| &option.kit).chain(measured.out.iter().map(|out| &out.kit));
    assert!(ids.clone().any(|id| id.ends_with("+ostrivo-steady")));
    assert!(!ids.clone().any(|id| id == "tessavar-rear-collar+ostrivo-steady"));
    // where nobody measured the collars, today is less certain, and so is every drop against it
    let unmeasured = fitted([None; 4]);
    let width = |listed: &Shortlist| {
        is_option(listed, "pellewick-street-35").map(|o| o.drop_against_today_mm.half_width())
    };
    let (sure, unsure) = (width(&measured), width(&unmeasured));
    assert!(sure.is_some() && unsure > sure.map(|mm| 1.2 * mm), "{sure:?} {unsure:?}");
    // a kit without collars has nothing to set
    let springs =
        demo_listed(common::CAMPER, |_, enquiry| enquiry.fitted_kit = Some("ostrivo-flat-45".to_owned()));
    let out = springs.out.iter().find(|out| out.kit == "ostrivo-flat-45").unwrap();
    assert_eq!(out.because.rule, "fitted");
}

#[test]
fn law_turns_of_fitted_collars_count_from_where_they_are() {
    let catalogue = Catalogue::read(&demo_files()).unwrap();
    let mut enquiry = common::enquiry(&catalogue, common::CAMPER);
    enquiry.fitted_kit = Some(STRUTS.to_owned());
    let at_mm = [70.0, 70.0, 36.0, 36.0];
    enquiry.fitted_collars_mm = at_mm.map(Some);
    enquiry.as_found = None;
    enquiry.aim.drop_against_today_mm = 10.0;
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let set_up = known.set_up(catalogue.kit(STRUTS).unwrap()).unwrap();
    assert_eq!(set_up.collars.len(), 4);
    for (collar, at_mm) in set_up.collars.iter().zip(at_mm) {
        let turned_mm = collar.turns_from_delivered * collar.thread_pitch_mm;
        assert!((at_mm + turned_mm - collar.position_mm).abs() < 1e-9, "{collar:?}");
        assert_eq!(collar.way, "down", "{collar:?}");
    }
    // the springs have settled long ago, and nothing is clamped or trimmed
    assert!(set_up.settling_allowance_mm.iter().all(|mm| mm.abs() < 1e-9));
    assert!(set_up.other_settings.iter().all(|setting| matches!(setting, Setting::LockRings { .. })));
}

#[test]
fn law_struts_go_deeper_only_where_the_tube_is_known_to_be_open() {
    let catalogue = Catalogue::read(&demo_files()).unwrap();
    let inserted = |drop_mm: f64, answers: &[&str]| {
        let mut enquiry = common::enquiry(&catalogue, common::DAY_VAN);
        enquiry.aim.drop_against_today_mm = drop_mm;
        enquiry.facts.push(FactIs {
            fact: "strut-tube-stop".to_owned(),
            is: answers.iter().map(|&answer| answer.to_owned()).collect(),
        });
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let set_up = known.set_up(catalogue.kit("hasterby-ground").unwrap()).unwrap();
        let deeper =
            set_up.other_settings.iter().any(|setting| matches!(setting, Setting::InsertDeeper { .. }));
        let depends =
            set_up.limits.iter().any(|limit| matches!(limit.meaning, Meaning::DeeperDependsOnTube { .. }));
        (deeper, depends)
    };
    let drops_mm = [40.0, 55.0, 70.0, 85.0, 100.0];
    let deeper = drops_mm.iter().filter(|&&drop_mm| {
        assert_eq!(inserted(drop_mm, &["has-stop"]), (false, false), "{drop_mm} mm");
        let (deeper, depends) = inserted(drop_mm, &["no-stop"]);
        assert!(!depends, "{drop_mm} mm: nothing depends on what is known");
        let unknown = inserted(drop_mm, &["has-stop", "no-stop"]);
        assert!(!unknown.0 && (unknown.1 || !deeper), "{drop_mm} mm: {unknown:?}");
        deeper
    });
    assert!(deeper.count() > 0, "in an open tube the struts go deeper somewhere");
}

#[test]
fn law_a_figure_rule_says_the_figure_that_met_it() {
    let listed = listed(&[("strut-mount", "slip-in-tube"), ("sensor", "none")]);
    let struts = listed.options.iter().find(|option| option.kit == STRUTS).unwrap();
    assert_eq!(
        (struts.verdict.parts[0].part.as_str(), struts.verdict.parts[0].quantity),
        ("short-drop-link", 2)
    );
    let because = struts.verdict.parts[0].says.because[0].words(Language::English);
    assert!(because.contains("mm lower than original") && because.contains("from 35 mm on"), "{because}");
    let dampers = listed.options.iter().find(|option| option.kit == "ostrivo-steady").unwrap();
    assert!(dampers.verdict.parts.is_empty());
}

#[test]
fn law_no_unbeaten_kit_is_beaten_in_every_wish() {
    let listed = listed(&[("strut-mount", "slip-in-tube"), ("sensor", "none")]);
    assert!(listed.options.iter().any(|option| option.unbeaten));
    let catalogue = catalogue();
    let wish = enquiry(&catalogue, &[]).wish;
    let of = |option: &KitOption| {
        [
            (option.drop_against_today_mm.value - wish.drop_against_today_mm.unwrap()).abs(),
            option.level_mm.value.abs(),
            -option.least_bump_travel_to_metal_mm.value,
        ]
    };
    for a in listed.options.iter().filter(|option| option.unbeaten) {
        for b in &listed.options {
            let clearly_better = of(a).iter().zip(of(b)).all(|(x, y)| y < x - 0.5);
            assert!(!clearly_better, "{} is beaten by {}", a.kit, b.kit);
        }
    }
}

#[test]
fn law_each_wish_sorts_by_its_own_measure() {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, &[("strut-mount", "slip-in-tube"), ("sensor", "none")]);
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    for (_, kind) in WishKind::CHOICES {
        let mut wish = enquiry.wish;
        wish.kind = kind;
        let listed = shortlist(&known, &wish).unwrap();
        let inside: Vec<_> = listed.options.iter().filter(|o| o.within_wishes).collect();
        let measure = |option: &KitOption| match kind {
            WishKind::Drop => {
                (option.drop_against_today_mm.value - wish.drop_against_today_mm.unwrap()).abs()
            }
            WishKind::Level => option.level_mm.value.abs(),
            WishKind::Travel => -option.least_bump_travel_to_metal_mm.value,
            WishKind::LoadReserve => -option.load_reserve_kg.as_ref().unwrap().value,
            WishKind::Clearance => -option.ground_clearance_mm.as_ref().unwrap().value,
            WishKind::Comfort => option.comfort().map_or(f64::MAX, |change| {
                let promised = change.promise != Promise::NoDifference;
                if promised { change.comfort_change_percent.value } else { 0.0 }
            }),
        };
        assert!(inside.windows(2).all(|pair| measure(pair[0]) <= measure(pair[1])), "{kind:?}");
    }
}

#[test]
fn law_comparing_a_kit_with_itself_finds_nothing_and_both_ways_are_opposite() {
    let listed = listed(&[("strut-mount", "slip-in-tube"), ("sensor", "none")]);
    let of = |id: &str| listed.options.iter().find(|option| option.kit == id).unwrap();
    let catalogue = catalogue();
    let compared = |a: &str, b: &str| -> Vec<String> {
        let changes = compared(&catalogue, of(a), of(b)).changes;
        changes.iter().map(|change| change.words(Language::English)).collect()
    };
    assert_eq!(compared(STRUTS, STRUTS), ["It stands at the same height."]);
    let (there, back) = (compared(SPRINGS, STRUTS), compared(STRUTS, SPRINGS));
    assert!(there[0].ends_with("lower.") && back[0].ends_with("higher."), "{there:?} {back:?}");
    assert!(there.iter().any(|w| w == "It needs short-drop-link as well."));
    assert!(back.iter().any(|w| w == "It does without short-drop-link."));
}

#[test]
fn law_a_fact_answered_never_leaves_a_rule_waiting_for_it() {
    let catalogue = catalogue();
    let enquiry = enquiry(&catalogue, &[]);
    let known = KnownFacts::of(&catalogue.facts, &[], &enquiry.facts);
    for kit in &catalogue.kits {
        let grade = &catalogue.vehicle(&enquiry.vehicle).unwrap().grades[0];
        let fitting =
            Fitting { kit, vehicle: &enquiry.vehicle, grade, on_van: None, wished: LoadState::DayToDay };
        for answer in ["slip-in-tube", "bolted-flange"] {
            let verdict = fitting.verdict(&catalogue.rules, &known.answered("strut-mount", answer));
            assert!(verdict.depends_on.iter().all(|waits| waits.fact != "strut-mount"));
        }
    }
}

#[test]
fn law_rules_that_can_never_speak_are_found() {
    let mut catalogue = catalogue();
    assert_eq!(dead_rules(&catalogue), []);
    let dead = r#"
[[rules]]
id = "never-both"
when = [
  { of = "fact", fact = "sensor", is = ["none"] },
  { of = "fact", fact = "sensor", is = ["fitted"] },
]
effect = { does = "warns" }
reason = { en = "a", de = "a" }
source = "s"

[[rules]]
id = "behind-an-exclusion"
when = [
  { of = "strut_mount", is = "differs" },
  { of = "fact", fact = "sensor", is = ["fitted"] },
]
effect = { does = "warns" }
reason = { en = "a", de = "a" }
source = "s"
"#;
    catalogue.rules.extend(rules(dead).unwrap());
    let found: Vec<String> = dead_rules(&catalogue).into_iter().map(|dead| dead.rule).collect();
    assert_eq!(found, ["never-both", "behind-an-exclusion"]);
}

#[test]
fn law_bad_rules_are_refused_with_what_is_allowed() {
    let bad = RULES.replace("\"fitted\"", "\"welded\"").replace("at_least = 35", "");
    let faults = rules(&bad).unwrap_err();
    assert_eq!(faults.len(), 2, "{faults:?}");
    assert!(faults[0].allowed.contains("at_least, at_most"), "{}", faults[0]);
    assert!(faults[1].allowed.contains("none, fitted"), "{}", faults[1]);
}
