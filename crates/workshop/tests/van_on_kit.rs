//! What was computed of kits on a van serves every enquiry that says the same of it.

#![allow(clippy::unwrap_used)] // a test helper may fail the test

mod common;

use std::sync::Arc;

use workshop::answer::KnownVan;
use workshop::catalogue::Catalogue;
use workshop::enquiry::{Delivery, Enquiry, HeightReading, WishKind};
use workshop::facts::FactIs;
use workshop::load_list::LoadState;
use workshop::shortlist::{Shortlist, shortlist};
use workshop::van_on_kit::KitsOnVan;

use common::{demo, demo_files, enquiry};

/// Enquiries of the demo.
fn enquiries(catalogue: &Catalogue) -> Vec<Enquiry> {
    let files = demo_files();
    let files = files.iter().filter(|file| file.path.starts_with("enquiries/"));
    files.map(|file| catalogue.read_enquiry(file).unwrap()).collect()
}

fn listed(catalogue: &Catalogue, enquiry: &Enquiry, kits: &Arc<KitsOnVan>) -> Shortlist {
    let known = KnownVan::of(catalogue, enquiry).unwrap().with_kits(Arc::clone(kits));
    shortlist(&known, &enquiry.wish).unwrap()
}

/// The same van, something else wished, known or arranged.
fn asked_otherwise(catalogue: &Catalogue, enquiry: &Enquiry) -> Vec<Enquiry> {
    let with_fact = |fact: &str, answer: &str| {
        let mut other = enquiry.clone();
        other.facts.retain(|known| known.fact != fact);
        other.facts.push(FactIs { fact: fact.to_owned(), is: vec![answer.to_owned()] });
        other
    };
    let facts = catalogue.facts.iter();
    let mut others: Vec<Enquiry> = facts
        .flat_map(|fact| {
            fact.answers.iter().map(|answer| with_fact(&fact.id, &answer.id)).collect::<Vec<_>>()
        })
        .collect();
    let mut higher = enquiry.clone();
    higher.aim.drop_against_today_mm -= 15.0;
    let mut laden = enquiry.clone();
    laden.wish.state = LoadState::FullyLaden;
    laden.wish.kind = WishKind::Comfort;
    let posted = Enquiry { delivery: Delivery::Posted, id: "other".into(), ..enquiry.clone() };
    others.extend([higher, laden, posted]);
    others
}

#[test]
fn law_kits_kept_from_another_enquiry_about_the_same_van_answer_as_if_computed_anew() {
    let catalogue = demo();
    for name in ["unknown-strut-mount", "air-makes-it-legal"] {
        let first = enquiry(&catalogue, name);
        let kept = Arc::<KitsOnVan>::default();
        let answer = listed(&catalogue, &first, &kept);
        let mut differ = 0;
        for other in asked_otherwise(&catalogue, &first) {
            assert_eq!(first.said_of_the_van(), other.said_of_the_van(), "{name}");
            let anew = listed(&catalogue, &other, &Arc::default());
            assert!(listed(&catalogue, &other, &kept) == anew, "{name}: {:?} {:?}", other.facts, other.wish);
            differ += usize::from(anew != answer);
        }
        assert!(differ > 3, "{name}: what is asked otherwise is answered otherwise");
        assert!(
            listed(&catalogue, &first, &kept) == answer,
            "{name}: and the first answer stays what it was"
        );
    }
}

type Change = fn(&mut Enquiry);

#[test]
fn law_whatever_moves_the_van_is_said_of_it() {
    let catalogue = demo();
    let first = enquiry(&catalogue, "camper-low-at-the-back");
    let otherwise: [(&str, Change); 7] = [
        ("grade", |e| e.grade.push('x')),
        ("fitted kit", |e| e.fitted_kit = Some("ostrivo-flat-25".into())),
        ("an item", |e| e.items[0].item.mass_kg += 1.0),
        ("the driver", |e| e.aboard[1].driver_kg += 1.0),
        ("scales", |e| e.weighed.clear()),
        ("heights", |e| {
            let was = e.as_found.clone();
            let state = LoadState::DayToDay;
            e.as_found = was.map_or(Some(HeightReading { state, arch_height_mm: [400.0; 4] }), |_| None);
        }),
        ("a collar", |e| e.fitted_collars_mm[2] = Some(12.0)),
    ];
    for (what, change) in otherwise {
        let mut other = first.clone();
        change(&mut other);
        assert_ne!(first.said_of_the_van(), other.said_of_the_van(), "{what}");
    }
}

#[test]
fn law_a_kit_is_out_by_its_verdict_as_it_is_by_the_list() {
    let catalogue = demo();
    let (mut in_list, mut out_of_list) = (0, Vec::new());
    for enquiry in enquiries(&catalogue) {
        let Ok(known) = KnownVan::of(&catalogue, &enquiry) else { continue };
        let listed = shortlist(&known, &enquiry.wish).unwrap();
        let ids = listed.options.iter().map(|option| (&option.kit, None));
        for (id, because) in ids.chain(listed.out.iter().map(|out| (&out.kit, Some(&out.because)))) {
            let kit = catalogue.offer(&enquiry.vehicle, id).or_else(|| catalogue.kit(id).cloned()).unwrap();
            assert_eq!(known.verdict(&kit).out.as_ref(), because, "{}: {id}", enquiry.id);
            let said = known.why_verdict(&kit).answer.en;
            assert_eq!(said == "out", because.is_some(), "{}: {id} is {said}", enquiry.id);
            match because {
                None => in_list += 1,
                Some(because) => out_of_list.push(because.rule.clone()),
            }
        }
    }
    assert!(in_list > 100, "{in_list}");
    for rule in ["sold-for", "fitted"] {
        assert!(out_of_list.iter().any(|out| out == rule), "{rule} puts nothing out");
    }
}

#[test]
fn law_what_to_ask_next_moves_as_many_kits_as_it_says() {
    let catalogue = demo();
    let mut asked = 0;
    for enquiry in enquiries(&catalogue) {
        let Ok(known) = KnownVan::of(&catalogue, &enquiry) else { continue };
        let Some(next) = shortlist(&known, &enquiry.wish).unwrap().ask_next else { continue };
        let kits = Arc::<KitsOnVan>::default();
        let facts = known.facts();
        let answered: Vec<Vec<bool>> = facts
            .possible(&next.fact)
            .iter()
            .map(|answer| {
                let mut other = enquiry.clone();
                other.facts.retain(|known| known.fact != next.fact);
                other.facts.push(FactIs { fact: next.fact.clone(), is: vec![(*answer).to_owned()] });
                let known = KnownVan::of(&catalogue, &other).unwrap().with_kits(Arc::clone(&kits));
                let kits = catalogue.kits.iter().filter(|kit| !known.is_fitted(kit));
                kits.map(|kit| known.verdict(kit).out.is_some()).collect()
            })
            .collect();
        let moves = |kit: &usize| answered.iter().any(|out| out[*kit] != answered[0][*kit]);
        let moved = (0..answered[0].len()).filter(moves).count();
        assert_eq!(next.kits_in_or_out, moved, "{}: {}", enquiry.id, next.fact);
        asked += 1;
    }
    assert!(asked > 3, "{asked}");
}
