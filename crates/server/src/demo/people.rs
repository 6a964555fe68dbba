//! Invented customers. Telephone numbers are of the range that Ofcom keeps for drama (01632 960000 to 960999).

use rand::RngExt;
use rand::rngs::StdRng;
use store::records::Customer;

const FIRST: [&str; 24] = [
    "Orla", "Tamsin", "Jorik", "Bente", "Mirko", "Sunniva", "Edda", "Ruben", "Linnea", "Casper", "Ottilie",
    "Ivo", "Romy", "Anselm", "Wanda", "Lorcan", "Pia", "Tilman", "Greta", "Marek", "Signe", "Bruno", "Elske",
    "Henrik",
];
const START: [&str; 12] =
    ["Bra", "Quel", "Tor", "Mas", "Hol", "Wen", "Dru", "Fal", "Kess", "Lim", "Nor", "Sarv"];
const END: [&str; 12] =
    ["holt", "mering", "wick", "quist", "larn", "sted", "nagel", "brook", "eby", "dorn", "vane", "moor"];
const STREETS: [&str; 6] =
    ["Kiln Lane", "Larchway", "Old Ropewalk", "Mill Bank", "Heather Row", "Quarry Rise"];

fn one_of<'a>(random: &mut StdRng, all: &[&'a str]) -> &'a str {
    all[random.random_range(0..all.len())]
}

pub(super) fn customer(random: &mut StdRng) -> Customer {
    let name = format!("{} {}{}", one_of(random, &FIRST), one_of(random, &START), one_of(random, &END));
    let phone = format!("01632 960{:03}", random.random_range(0..1000));
    let email = format!("{}@example.com", name.to_lowercase().replace(' ', "."));
    let house = random.random_range(1..120);
    Customer {
        name,
        phones: vec![phone],
        email: random.random_bool(0.7).then_some(email),
        address: vec![format!("{house} {}", one_of(random, &STREETS)), "Nowherby".into()],
        language: Some(if random.random_bool(0.3) { "de" } else { "en" }.into()),
        notes: if random.random_bool(0.1) { "Rings in the evening only.".into() } else { String::new() },
    }
}

/// A plate that no authority gives out.
pub(super) fn plate(random: &mut StdRng) -> String {
    let letters: String = (0..2).map(|_| char::from(b'A' + random.random_range(0..26_u8))).collect();
    format!("QX{:02} {letters}{}", random.random_range(0..100), random.random_range(10..100))
}
