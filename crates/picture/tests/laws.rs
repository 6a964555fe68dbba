//! What must hold of every drawing: it is XML, it carries no style and no script, its geometry is that of the figures.

#![allow(clippy::unwrap_used, clippy::panic)] // test helpers outside #[test] functions

mod common;

use common::*;
use picture::{
    AxleView, BenchPlot, CollarCorner, CollarPicture, CollarTask, Frame, HeightStrip, LoadPlan, PlacedItem,
    SideView, StripMark, TravelStrip, WhereToLook,
};
use proptest::prelude::*;
use workshop::answer::KnownVan;
use workshop::facts::{Language, Spot, Words};
use workshop::figure::{Evidence, Figure};
use workshop::kit::Kit;
use workshop::load_list::LoadState;
use workshop::shortlist::shortlist;
use workshop::units::Units;
use workshop::wording::{Axle, Side};

const LANGUAGES: [Language; 2] = [Language::English, Language::German];

fn frame(language: Language) -> Frame<'static> {
    Frame { language, units: Units::Metric, name: "drawn" }
}

/// Reads a drawing as XML and holds it to what every drawing keeps.
fn assert_sound(svg: &str) {
    let document = roxmltree::Document::parse(svg).unwrap_or_else(|e| panic!("{e}: {svg}"));
    let root = document.root_element();
    assert_eq!(root.tag_name().name(), "svg");
    assert!(matches!(root.attribute("role"), Some("img" | "group")));
    for node in document.descendants().filter(roxmltree::Node::is_element) {
        let name = node.tag_name().name();
        assert!(!["script", "style", "foreignObject", "image", "use"].contains(&name), "{name}");
        for attribute in node.attributes() {
            assert!(
                attribute.name() != "style" && !attribute.name().starts_with("on"),
                "{}",
                attribute.name()
            );
            let is_number = !attribute.value().contains("NaN") && !attribute.value().contains("inf");
            assert!(is_number || ["class", "href"].contains(&attribute.name()), "{attribute:?}");
        }
    }
    for said in ["title", "desc"] {
        let found = root.children().find(|node| node.tag_name().name() == said).unwrap();
        assert!(found.text().is_some_and(|text| text.len() > 8), "{said}");
    }
    // what it is labelled by is in it
    for name in root.attribute("aria-labelledby").unwrap().split(' ') {
        assert!(document.descendants().any(|node| node.attribute("id") == Some(name)), "{name}");
    }
}

fn is_drawn(svg: &str) -> bool {
    !svg.contains("This cannot be drawn") && !svg.contains("Das lässt sich nicht zeichnen")
}

/// Every drawing of a van today and on a kit.
fn drawings(known: &KnownVan, kit: Option<&Kit>, state: LoadState, language: Language) -> Vec<String> {
    let now = known.stands_today(state);
    let stance = kit.and_then(|kit| known.stands_on_kit(kit, state).ok());
    let on_kit = kit.zip(stance.as_ref()).map(|(kit, stance)| (kit.name.as_str(), stance));
    let frame = frame(language);
    let sides =
        [Side::Left, Side::Right].map(|side| picture::side(&SideView::of(known, side, &now, on_kit), &frame));
    let axles =
        [Axle::Front, Axle::Rear].map(|axle| picture::axle(&AxleView::of(known, axle, &now, on_kit), &frame));
    let plan = LoadPlan::of(known, stance.as_ref().unwrap_or(&now));
    sides.into_iter().chain(axles).chain([picture::load_plan(&plan, &frame)]).collect()
}

#[test]
fn law_every_drawing_of_every_demo_enquiry_kit_and_state_is_sound() {
    let catalogue = demo();
    for enquiry in enquiries(&catalogue) {
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let kits = catalogue.kits_for(&enquiry.vehicle).map(Some);
        for (k, kit) in std::iter::once(None).chain(kits).enumerate() {
            for state in LoadState::ALL {
                let language = LANGUAGES[k % 2];
                for svg in drawings(&known, kit, state, language) {
                    assert_sound(&svg);
                    assert!(!svg.contains("NaN"));
                    assert!(is_drawn(&svg), "{} {kit:?} {state:?}", enquiry.id);
                }
            }
        }
    }
}

#[test]
fn law_every_strip_travel_and_set_up_of_the_demo_is_sound() {
    let catalogue = demo();
    for enquiry in enquiries(&catalogue) {
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let listed = shortlist(&known, &enquiry.wish).unwrap();
        let strip = HeightStrip::of(&known, &enquiry.wish, &listed, |kit| format!("/kits/{kit}"));
        assert_eq!(
            strip.marks.len() + strip.out_without_height.len(),
            listed.options.len() + listed.out.len()
        );
        let travel = TravelStrip { rows: known.travel_left_today() };
        assert_eq!(travel.rows.len(), 8);
        for language in LANGUAGES {
            let frame = frame(language);
            for svg in [picture::height_strip(&strip, &frame), picture::travel_strip(&travel, &frame)] {
                assert_sound(&svg);
                assert!(is_drawn(&svg));
            }
            for table in [strip.table(language), travel.table(language)] {
                assert!(!table.rows.is_empty() && table.rows.iter().all(|row| row.len() == table.head.len()));
            }
        }
        assert_marks_apart(&strip);
        let collared = catalogue.kits_for(&enquiry.vehicle).find(|kit| kit.has_collars());
        if let Some(set_up) = collared.and_then(|kit| known.set_up(kit).ok()) {
            let svg = picture::collars(&CollarPicture::of_set_up(&set_up), &frame(Language::German));
            assert_sound(&svg);
            assert!(is_drawn(&svg));
        }
    }
}

/// Marks come in the order of their figures, and none touches another or its words.
fn assert_marks_apart(strip: &HeightStrip) {
    let svg = picture::height_strip(strip, &frame(Language::English));
    let document = roxmltree::Document::parse(&svg).unwrap();
    let marks: Vec<[f64; 4]> = document
        .descendants()
        .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "a")))
        .map(|link| {
            let touch = link.children().find(|node| node.attribute("class") == Some("pict-touch")).unwrap();
            ["x", "y", "width", "height"].map(|name| touch.attribute(name).unwrap().parse().unwrap())
        })
        .collect();
    assert_eq!(marks.len(), strip.marks.len());
    assert!(strip.marks.windows(2).all(|pair| pair[0].drop_mm.value <= pair[1].drop_mm.value));
    for (k, a) in marks.iter().enumerate() {
        for b in &marks[k + 1..] {
            let apart = a[0] + a[2] <= b[0] || b[0] + b[2] <= a[0] || (a[1] - b[1]).abs() >= a[3] - 1e-9;
            assert!(apart, "{a:?} {b:?}");
        }
    }
}

/// Length of every upright line of a class, drawing units, left to right.
fn upright(svg: &str, class: &str) -> Vec<f64> {
    let document = roxmltree::Document::parse(svg).unwrap();
    let number = |node: &roxmltree::Node, name: &str| node.attribute(name).unwrap().parse::<f64>().unwrap();
    let mut lines: Vec<(f64, f64)> = document
        .descendants()
        .filter(|node| node.attribute("class") == Some(class))
        .map(|line| (number(&line, "x1"), number(&line, "y1") - number(&line, "y2")))
        .collect();
    lines.sort_by(|a, b| a.0.total_cmp(&b.0));
    lines.into_iter().map(|(_, length)| length).collect()
}

#[test]
fn law_the_drawn_arch_gap_is_the_figure() {
    let catalogue = demo();
    for name in
        ["camper-low-at-the-back", "lower-for-the-garage", "forest-tracks-lift", "leaning-with-roof-tent"]
    {
        let enquiry = enquiry(&catalogue, name);
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let kit = catalogue.kits_for(&enquiry.vehicle).next().unwrap();
        for state in LoadState::ALL {
            let (now, then) = (known.stands_today(state), known.stands_on_kit(kit, state).unwrap());
            let on_kit = Some((kit.name.as_str(), &then));
            let gap = |corner: usize| then.sit.corners[corner].arch_gap_mm.value;
            // seen from the left the nose is on the left, from the right on the right
            for (side, corners) in [(Side::Left, [0, 2]), (Side::Right, [3, 1])] {
                let svg = picture::side(&SideView::of(&known, side, &now, on_kit), &frame(Language::English));
                let drawn = upright(&svg, "pict-gap pict-on-van");
                // drawn to a hundredth of a millimetre at either end
                for (drawn, corner) in drawn.iter().zip(corners) {
                    assert!((drawn - gap(corner)).abs() < 0.011, "{name} {corner}: {drawn} {}", gap(corner));
                }
                let enlarged = upright(&svg, "pict-gap");
                for ((enlarged, drawn), corner) in enlarged.iter().zip(&drawn).zip(corners) {
                    let scale = enlarged / drawn;
                    let quarters = (4.0 * scale).round() / 4.0;
                    assert!((enlarged - quarters * gap(corner)).abs() < 0.011 * quarters.max(2.0), "{scale}");
                }
            }
            // the front axle from in front: its right is on the left
            for (axle, corners) in [(Axle::Front, [1, 0]), (Axle::Rear, [2, 3])] {
                let svg = picture::axle(&AxleView::of(&known, axle, &now, on_kit), &frame(Language::English));
                for (drawn, corner) in upright(&svg, "pict-gap").iter().zip(corners) {
                    assert!((drawn - gap(corner)).abs() < 0.011, "{name} {corner}");
                }
            }
        }
    }
}

#[test]
fn law_how_it_stands_is_how_the_answer_says_it_sits() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back");
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let today = known.today();
    for sit in today.states.iter() {
        let stance = known.stands_today(sit.state);
        for (drawn, told) in stance.sit.corners.iter().zip(&sit.corners) {
            assert_eq!(
                (&drawn.arch_gap_mm, &drawn.arch_height_mm),
                (&told.arch_gap_mm, &told.arch_height_mm)
            );
        }
    }
    let kit = catalogue.kits_for(&enquiry.vehicle).find(|kit| kit.has_collars()).unwrap();
    let workshop::answer::KitOutcome::Sits(answer) = known.kit(kit).outcome else { panic!("it sits") };
    for sit in answer.states.iter() {
        let stance = known.stands_on_kit(kit, sit.state).unwrap();
        assert_eq!(&stance.sit, sit);
        // the camber of the picture is that of the check
        let check = answer.checks.iter().find(|check| {
            check.check == "camber" && check.state == Some(sit.state) && check.axle == Some(Axle::Front)
        });
        if let Some(figure) = check.and_then(|check| check.figure.as_ref()) {
            let drawn = [0, 1].map(|corner| stance.camber_deg[corner].as_ref().unwrap().value);
            assert!(
                drawn.iter().any(|camber| (camber - figure.value).abs() < 1e-9),
                "{drawn:?} {}",
                figure.value
            );
        }
        // and the height of the lowest point that of its check
        let check = answer
            .checks
            .iter()
            .find(|check| check.check == "ground_clearance" && check.state == Some(sit.state))
            .unwrap();
        assert_eq!(check.figure.as_ref(), stance.lowest.as_ref().map(|(_, height)| height));
    }
}

#[test]
fn law_the_centre_of_gravity_balances_the_masses() {
    // on its wheels the van balances where its masses do: moments of the listed masses, of which nothing of the rest is used
    let catalogue = demo();
    for enquiry in enquiries(&catalogue)
        .iter()
        .filter(|enquiry| enquiry.weighed.is_empty() && enquiry.as_found.is_none())
    {
        let known = KnownVan::of(&catalogue, enquiry).unwrap();
        let state = LoadState::DayToDay;
        let carried = known.carried(state);
        let total: f64 = carried.masses.iter().map(|mass| mass.mass_kg).sum();
        let by_masses = [0, 1]
            .map(|axis| carried.masses.iter().map(|m| 1e3 * m.mass_kg * m.at_m[axis]).sum::<f64>() / total);
        let drawn = known.stands_today(state).centre_of_gravity_mm;
        // the body's pitch shifts what stands high, and wheels wander with travel: some millimetres
        for (drawn, expected) in drawn.iter().zip(by_masses) {
            assert!((drawn.value - expected).abs() < 25.0, "{}: {} {expected}", enquiry.id, drawn.value);
        }
    }
}

fn figure(value: f64, half: f64) -> Figure {
    Figure { low: value - half, high: value + half, ..Figure::exact(value, Evidence::Computed) }
}

fn strip_of(marks: Vec<StripMark>) -> HeightStrip {
    HeightStrip {
        state: LoadState::DayToDay,
        today_arch_height_mm: 440.0,
        wanted_drop_mm: Some([40.0, 8.0]),
        marks,
        out_without_height: Vec::new(),
    }
}

proptest! {
    #[test]
    fn law_marks_never_overlap_whatever_the_kits(
        mut kits in proptest::collection::vec((-80.0..120.0f64, 0.0..30.0f64, "[a-zA-Zß ]{0,60}", any::<bool>()), 0..60)
    ) {
        kits.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mark = |(drop, half, name, out): (f64, f64, String, bool)| StripMark {
            kit: "kit".to_owned(),
            name,
            href: "/kits/a".to_owned(),
            drop_mm: figure(drop, half),
            out_because: out.then(Words::default),
            within_wishes: !out,
        };
        let strip = strip_of(kits.into_iter().map(mark).collect());
        assert_sound(&picture::height_strip(&strip, &frame(Language::English)));
        assert_marks_apart(&strip);
    }

    #[test]
    fn law_hostile_names_and_addresses_are_words(name in "\\PC{0,40}", extra in any::<String>(), id in any::<String>()) {
        let hostile = format!("{name}<script>alert('1')</script>\"'&]]>{extra}\u{0}\u{b}");
        let mark = StripMark {
            kit: hostile.clone(),
            name: hostile.clone(),
            href: format!("javascript:{extra}"),
            drop_mm: figure(20.0, 4.0),
            out_because: Some(Words { en: hostile.clone(), de: hostile.clone() }),
            within_wishes: false,
        };
        let mut strip = strip_of(vec![mark]);
        strip.out_without_height.push(hostile.clone());
        let reason = Words { en: hostile.clone(), de: hostile.clone() };
        let collars = CollarPicture {
            kit: hostile.clone(),
            task: CollarTask::TurnNothing(vec![reason]),
            corners: Default::default(),
        };
        let bench = BenchPlot {
            spring: hostile,
            load_over_length: vec![[100.0, 3000.0], [150.0, 2000.0], [200.0, 1000.0]],
            rate_n_per_mm: figure(20.0, 1.0),
            free_length_mm: figure(250.0, 3.0),
            progressive: true,
        };
        for language in LANGUAGES {
            let frame = Frame { language, units: Units::Metric, name: &id };
            for svg in [
                picture::height_strip(&strip, &frame),
                picture::collars(&collars, &frame),
                picture::spring_bench(&bench, &frame),
            ] {
                assert_sound(&svg);
                assert!(!svg.contains("javascript:") || svg.contains("href=\"#\""));
                assert!(!svg.contains("<script"));
            }
        }
    }

    #[test]
    fn law_a_figure_that_is_no_number_is_never_drawn(which in 0..4usize, bad in prop_oneof![Just(f64::NAN), Just(f64::INFINITY)]) {
        let spoilt = |k: usize, good: f64| if k == which { bad } else { good };
        let bench = BenchPlot {
            spring: "spring".to_owned(),
            load_over_length: vec![[spoilt(0, 100.0), 3000.0], [150.0, spoilt(1, 2000.0)], [200.0, 1000.0]],
            rate_n_per_mm: figure(spoilt(2, 20.0), 1.0),
            free_length_mm: figure(spoilt(3, 250.0), 3.0),
            progressive: false,
        };
        let svg = picture::spring_bench(&bench, &frame(Language::English));
        assert_sound(&svg);
        prop_assert!(!is_drawn(&svg));
    }
}

#[test]
fn law_a_figure_told_in_words_alone_is_a_number_too() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back");
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let stance = known.stands_today(LoadState::DayToDay);
    let frame = frame(Language::English);
    let mut view = SideView::of(&known, Side::Left, &stance, None);
    assert!(is_drawn(&picture::side(&view, &frame)));
    view.now.body_pitch_deg.value = f64::NAN;
    assert!(!is_drawn(&picture::side(&view, &frame)));
    let mut plan = LoadPlan::of(&known, &stance);
    assert!(is_drawn(&picture::load_plan(&plan, &frame)));
    plan.plated_gross_kg = f64::INFINITY;
    assert!(!is_drawn(&picture::load_plan(&plan, &frame)));
    let mut travel = TravelStrip { rows: known.travel_left_today() };
    assert!(is_drawn(&picture::travel_strip(&travel, &frame)));
    travel.rows[0].rebound_mm.low = f64::NAN;
    assert!(!is_drawn(&picture::travel_strip(&travel, &frame)));
}

#[test]
fn law_the_area_of_a_disc_is_its_mass() {
    let catalogue = demo();
    let enquiry = enquiry(&catalogue, "camper-low-at-the-back");
    let known = KnownVan::of(&catalogue, &enquiry).unwrap();
    let mut plan = LoadPlan::of(&known, &known.stands_today(LoadState::DayToDay));
    let item = |mass_kg: f64| PlacedItem {
        name: "item".to_owned(),
        mass_kg,
        plus_minus_kg: 1.0,
        at_mm: [-1000.0, 0.0],
    };
    plan.items = vec![item(25.0), item(100.0)];
    let svg = picture::load_plan(&plan, &frame(Language::English));
    let document = roxmltree::Document::parse(&svg).unwrap();
    let radii: Vec<f64> = document
        .descendants()
        .filter(|node| node.attribute("class") == Some("pict-disc"))
        .map(|disc| disc.attribute("r").unwrap().parse().unwrap())
        .collect();
    assert_eq!(radii.len(), 2);
    assert!((radii[0] / radii[1] - 2.0).abs() < 1e-9, "four times the mass, twice the radius");
}

#[test]
fn law_left_is_drawn_left_and_up_points_up() {
    let turn = |turns: f64| {
        Some(picture::Turn { adjuster: workshop::wording::Adjuster::Collar, turns, position_mm: 50.0 })
    };
    let corner = |turns: f64| CollarCorner { turn: turn(turns), ..CollarCorner::default() };
    let picture = CollarPicture {
        kit: "kit".to_owned(),
        task: CollarTask::Turn,
        corners: [corner(1.25), corner(-0.5), corner(0.0), corner(2.0)],
    };
    let svg = picture::collars(&picture, &frame(Language::English));
    let document = roxmltree::Document::parse(&svg).unwrap();
    let at = |words: &str| {
        let text = document
            .descendants()
            .find(|node| {
                node.has_tag_name(("http://www.w3.org/2000/svg", "text")) && node.text() == Some(words)
            })
            .unwrap();
        ["x", "y"].map(|name| text.attribute(name).unwrap().parse::<f64>().unwrap())
    };
    assert!(at("LEFT")[0] < 0.0 && at("RIGHT")[0] > 0.0);
    assert!(at("front left")[0] < 0.0 && at("rear right")[0] > 0.0);
    assert!(at("front left")[1] < at("rear left")[1], "the nose is up");
    assert!(at("1¼")[0] < 0.0 && at("½")[0] > 0.0 && at("stays")[0] < 0.0 && at("2")[0] > 0.0);
    assert!(at("turns UP")[0] < 0.0 && at("turn DOWN")[0] > 0.0);
    // an arrow starts at its tip: above its corner's middle where it points up
    let tips: Vec<(f64, f64)> = document
        .descendants()
        .filter(|node| node.attribute("class") == Some("pict-arrow"))
        .map(|arrow| {
            let points: Vec<f64> = arrow
                .attribute("d")
                .unwrap()
                .split(|c: char| c.is_alphabetic() || c == ' ')
                .filter_map(|n| n.parse().ok())
                .collect();
            (points[1], points.iter().skip(1).step_by(2).sum::<f64>() / (points.len() / 2) as f64)
        })
        .collect();
    assert_eq!(tips.len(), 3);
    assert!(tips[0].0 < tips[0].1 && tips[1].0 > tips[1].1 && tips[2].0 < tips[2].1);
}

/// Every place is drawn on every van of the demo, numbered where there are several, and every question about a van has
/// one.
#[test]
fn law_every_place_is_drawn_on_every_van_and_every_question_has_one() {
    let catalogue = demo();
    assert!(catalogue.facts.iter().all(|fact| fact.seen_at.is_some()));
    let spots = Spot::CHOICES.map(|(_, spot)| spot);
    for enquiry in enquiries(&catalogue) {
        let known = KnownVan::of(&catalogue, &enquiry).unwrap();
        let now = known.stands_today(LoadState::DayToDay);
        for language in LANGUAGES {
            let draw = |spots: &[Spot]| {
                picture::where_to_look(&WhereToLook::of(&known, &now, spots.to_vec()), &frame(language))
            };
            let all = draw(&spots);
            assert_sound(&all);
            for n in 1..=spots.len() {
                assert!(all.contains(&format!(">{n}</text>")), "{n}: {all}");
            }
            for spot in spots {
                let one = draw(&[spot]);
                assert_sound(&one);
                assert!(one.contains("pict-spot") && !one.contains("pict-spot-number"), "{one}");
            }
        }
    }
}
