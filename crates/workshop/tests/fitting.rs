//! Fitting rules, shortlist and comparison on the demo workshop with a small set of rules of its own.

#![allow(clippy::unwrap_used, clippy::panic)] // a test helper may fail the test

mod common;

use workshop::answer::KnownVan;
use workshop::catalogue::{Catalogue, DataFile};
use workshop::document::{Fault, read};
use workshop::enquiry::{Enquiry, WishKind};
use workshop::facts::{Fact, FactIs, KnownFacts, read_facts};
use workshop::fitting::Fitting;
use workshop::kit::Kit;
use workshop::load_list::LoadState;
use workshop::rule_conflicts::dead_rules;
use workshop::rules::{Rule, RuleWorld, read_rules};
use workshop::shortlist::{Shortlist, compared, shortlist};

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
    assert!(option.spoken.contains("How is the strut held?"), "{}", option.spoken);
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
        Fitting { kit, vehicle: "sorvel", grade, sits: None, wished }.verdict(&catalogue.rules, &known)
    };
    let differs = verdict(kit, &[("strut-mount", "bolted-flange")]).out.unwrap();
    assert_eq!(
        differs.because,
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
        let fitting = Fitting { kit, vehicle: "sorvel", grade, sits: None, wished: LoadState::DayToDay };
        assert_eq!(fitting.verdict(&rules, &known).out.is_some(), kits.contains(&kit.id), "{}", kit.id);
    }
    let faults = read_with(&kits[1..]).unwrap_err();
    assert_eq!((faults.len(), faults[0].field.as_str()), (1, "rules[0].when[0].is[0]"), "{faults:?}");
}

#[test]
fn law_a_figure_rule_says_the_figure_that_met_it() {
    let listed = listed(&[("strut-mount", "slip-in-tube"), ("sensor", "none")]);
    let struts = listed.options.iter().find(|option| option.kit == STRUTS).unwrap();
    assert_eq!(
        (struts.verdict.parts[0].part.as_str(), struts.verdict.parts[0].quantity),
        ("short-drop-link", 2)
    );
    let because = &struts.verdict.parts[0].says.because[0];
    assert!(
        because.contains("front drop against original is") && because.contains("from 35 mm"),
        "{because}"
    );
    let dampers = listed.options.iter().find(|option| option.kit == "ostrivo-steady").unwrap();
    assert!(dampers.verdict.parts.is_empty());
}

#[test]
fn law_no_unbeaten_kit_is_beaten_in_every_wish() {
    let listed = listed(&[("strut-mount", "slip-in-tube"), ("sensor", "none")]);
    assert!(listed.options.iter().any(|option| option.unbeaten));
    let catalogue = catalogue();
    let wish = enquiry(&catalogue, &[]).wish;
    let of = |option: &workshop::shortlist::KitOption| {
        [
            (option.drop_against_today_mm.value - wish.drop_against_today_mm).abs(),
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
    for kind in [WishKind::Drop, WishKind::Level, WishKind::Travel] {
        let mut wish = enquiry.wish;
        wish.kind = kind;
        let listed = shortlist(&known, &wish).unwrap();
        let inside: Vec<_> = listed.options.iter().filter(|o| o.within_wishes).collect();
        let measure = |option: &workshop::shortlist::KitOption| match kind {
            WishKind::Drop => (option.drop_against_today_mm.value - wish.drop_against_today_mm).abs(),
            WishKind::Level => option.level_mm.value.abs(),
            WishKind::Travel => -option.least_bump_travel_to_metal_mm.value,
        };
        assert!(inside.windows(2).all(|pair| measure(pair[0]) <= measure(pair[1])), "{kind:?}");
    }
}

#[test]
fn law_comparing_a_kit_with_itself_finds_nothing_and_both_ways_are_opposite() {
    let listed = listed(&[("strut-mount", "slip-in-tube"), ("sensor", "none")]);
    let of = |id: &str| listed.options.iter().find(|option| option.kit == id).unwrap();
    assert_eq!(compared(of(STRUTS), of(STRUTS)), ["It stands at the same height."]);
    let there = compared(of(SPRINGS), of(STRUTS));
    let back = compared(of(STRUTS), of(SPRINGS));
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
            Fitting { kit, vehicle: &enquiry.vehicle, grade, sits: None, wished: LoadState::DayToDay };
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
    let bad = RULES.replace("bolted-flange", "welded").replace("at_least = 35", "");
    let faults = rules(&bad).unwrap_err();
    assert_eq!(faults.len(), 2, "{faults:?}");
    assert!(faults[0].allowed.contains("slip-in-tube, bolted-flange"), "{}", faults[0]);
    assert!(faults[1].allowed.contains("at_least, at_most"), "{}", faults[1]);
}
