//! The documents of a workshop, read together and checked against each other.

use crate::document::{Fault, read, schema};
use crate::enquiry::Enquiry;
use crate::facts::{Fact, read_facts};
use crate::furnishing::{Furnishing, FurnishingWorld, read_furnishings};
use crate::kit::{Kit, KitWorld};
use crate::load_list::{ListedItem, read_listed_items};
use crate::measuring::{BenchReading, JackingReading};
use crate::premises::Premises;
use crate::price::{PriceList, read_prices};
use crate::ramp_record::RampRecord;
use crate::ramp_time::{Operations, read_operations};
use crate::rules::{Rule, RuleWorld, read_rules};
use crate::tolerances::Tolerances;
use crate::vehicle_sheet::VehicleSheet;
use crate::wheels::{WheelOffer, read_wheels};

/// Everything a workshop's data folder holds but the enquiries.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Catalogue {
    /// Vehicle sheets.
    pub vehicles: Vec<VehicleSheet>,
    /// Kits, in the order of their files.
    pub kits: Vec<Kit>,
    /// Things that vans carry.
    pub load_items: Vec<ListedItem>,
    /// What usually stands in vans of a kind.
    pub furnishings: Vec<Furnishing>,
    /// How far things are from what they are stated to be.
    pub tolerances: Tolerances,
    /// What can be known of a van.
    pub facts: Vec<Fact>,
    /// Fitting rules.
    pub rules: Vec<Rule>,
    /// Labour operations.
    pub operations: Operations,
    /// The workshop's premises.
    pub premises: Premises,
    /// Wheels and tyres.
    pub wheels: WheelOffer,
    /// Prices, where the workshop keeps them.
    pub prices: Option<PriceList>,
}

/// A file of a data folder.
#[derive(Debug, Clone, PartialEq)]
pub struct DataFile {
    /// Path below the data folder, with forward slashes.
    pub path: String,
    /// Its text.
    pub text: String,
}

/// Kinds of document, by the folder (or file) they are kept in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// `vehicles/*.toml`
    Vehicle,
    /// `kits/*.toml`
    Kit,
    /// `load-items.toml`
    LoadItems,
    /// `furnishings.toml`
    Furnishings,
    /// `tolerances.toml`
    Tolerances,
    /// `facts.toml`
    Facts,
    /// `rules.toml`
    Rules,
    /// `operations.toml`
    Operations,
    /// `prices.toml`
    Prices,
    /// `premises.toml`
    Premises,
    /// `wheels.toml`
    Wheels,
    /// `enquiries/*.toml`
    Enquiry,
    /// `ramp/*.toml`
    RampRecord,
    /// `bench/*.toml`
    SpringBench,
    /// `jacking/*.toml`
    Jacking,
}

impl Kind {
    /// Words on the command line.
    pub const CHOICES: [(&'static str, Self); 15] = [
        ("vehicle", Self::Vehicle),
        ("kit", Self::Kit),
        ("load-items", Self::LoadItems),
        ("furnishings", Self::Furnishings),
        ("tolerances", Self::Tolerances),
        ("facts", Self::Facts),
        ("rules", Self::Rules),
        ("operations", Self::Operations),
        ("prices", Self::Prices),
        ("premises", Self::Premises),
        ("wheels", Self::Wheels),
        ("enquiry", Self::Enquiry),
        ("ramp-record", Self::RampRecord),
        ("spring-bench", Self::SpringBench),
        ("jacking", Self::Jacking),
    ];

    /// Kind of a file by its path below the data folder; `None` for files that are not the workshop's documents.
    pub fn of_path(path: &str) -> Option<Self> {
        let (folder, _) = path.split_once('/').unwrap_or(("", path));
        match (folder, path) {
            (_, "load-items.toml") => Some(Self::LoadItems),
            (_, "furnishings.toml") => Some(Self::Furnishings),
            (_, "tolerances.toml") => Some(Self::Tolerances),
            (_, "facts.toml") => Some(Self::Facts),
            (_, "rules.toml") => Some(Self::Rules),
            (_, "operations.toml") => Some(Self::Operations),
            (_, "prices.toml") => Some(Self::Prices),
            (_, "premises.toml") => Some(Self::Premises),
            (_, "wheels.toml") => Some(Self::Wheels),
            _ if !path.ends_with(".toml") => None,
            ("vehicles", _) => Some(Self::Vehicle),
            ("kits", _) => Some(Self::Kit),
            ("enquiries", _) => Some(Self::Enquiry),
            ("ramp", _) => Some(Self::RampRecord),
            ("bench", _) => Some(Self::SpringBench),
            ("jacking", _) => Some(Self::Jacking),
            _ => None,
        }
    }

    /// JSON Schema of the kind.
    pub fn schema(self) -> serde_json::Value {
        let nothing = Catalogue::default();
        match self {
            Self::Vehicle => schema("vehicle", "Vehicle sheet", |f| VehicleSheet::read(f, &[])),
            Self::Facts => schema("facts", "Facts of a van", read_facts),
            Self::Rules => schema("rules", "Fitting rules", |f| read_rules(f, RuleWorld::default())),
            Self::Operations => schema("operations", "Labour operations", read_operations),
            Self::Prices => schema("prices", "Prices", read_prices),
            Self::Wheels => schema("wheels", "Wheels and tyres", read_wheels),
            Self::Premises => schema("premises", "Premises", Premises::read),
            Self::Kit => schema("kit", "Kit", |f| Kit::read(f, KitWorld::default())),
            Self::LoadItems => schema("load-items", "Load items", read_listed_items),
            Self::Furnishings => {
                schema("furnishings", "Furnishings", |f| read_furnishings(f, FurnishingWorld::default()))
            }
            Self::Tolerances => schema("tolerances", "Tolerances", Tolerances::read),
            Self::Enquiry => schema("enquiry", "Enquiry", |f| Enquiry::read(f, &nothing)),
            Self::SpringBench => schema("spring-bench", "Spring on the bench", BenchReading::read),
            Self::Jacking => schema("jacking", "Wheel on the jack", JackingReading::read),
            Self::RampRecord => schema("ramp-record", "Ramp record", |f| RampRecord::read(f, &nothing)),
        }
    }
}

impl Catalogue {
    /// Reads a data folder. Either everything is sound or nothing is given back.
    ///
    /// # Errors
    /// All faults of all files.
    pub fn read(files: &[DataFile]) -> Result<Self, Vec<Fault>> {
        let mut faults = Vec::new();
        let mut vehicles = Vec::new();
        let mut kits = Vec::new();
        let mut catalogue = Self::default();
        match read_all_facts(files) {
            Ok(facts) => catalogue.facts = facts,
            Err(found) => faults.extend(found),
        }
        for file in of_kind(files, Kind::Operations) {
            let operations = keep(&mut faults, file, read(&file.path, &file.text, read_operations));
            catalogue.operations = Operations::new(operations.map(|(_, list)| list).unwrap_or_default());
        }
        for file in of_kind(files, Kind::Prices) {
            catalogue.prices =
                keep(&mut faults, file, read(&file.path, &file.text, read_prices)).map(|(_, prices)| prices);
        }
        for file in of_kind(files, Kind::Premises) {
            let premises = keep(&mut faults, file, read(&file.path, &file.text, Premises::read));
            catalogue.premises = premises.map(|(_, premises)| premises).unwrap_or_default();
        }
        for file in of_kind(files, Kind::Wheels) {
            let wheels = keep(&mut faults, file, read(&file.path, &file.text, read_wheels));
            catalogue.wheels = wheels.map(|(_, wheels)| wheels).unwrap_or_default();
        }
        for file in of_kind(files, Kind::Vehicle) {
            let sheet = read(&file.path, &file.text, |f| VehicleSheet::read(f, &catalogue.facts));
            vehicles.extend(keep(&mut faults, file, sheet));
        }
        // a faulty sheet may well be the one that kits refer to: its own faults are told, not theirs
        let sound = faults.is_empty();
        let vehicle_ids: Vec<String> =
            vehicles.iter().filter(|_| sound).map(|(_, sheet)| sheet.id.clone()).collect();
        let world = KitWorld { vehicles: &vehicle_ids, facts: &catalogue.facts };
        for file in of_kind(files, Kind::Kit) {
            kits.extend(keep(&mut faults, file, read(&file.path, &file.text, |f| Kit::read(f, world))));
        }
        let sound = faults.is_empty();
        for file in of_kind(files, Kind::Rules) {
            let operations: Vec<String> = catalogue.operations.ids().map(str::to_owned).collect();
            let priced = catalogue.prices.iter().flat_map(|prices| &prices.parts);
            let parts: Vec<String> = priced.map(|part| part.id.clone()).collect();
            let kits: Vec<String> = kits.iter().filter(|_| sound).map(|(_, kit)| kit.id.clone()).collect();
            let world =
                RuleWorld { facts: &catalogue.facts, operations: &operations, parts: &parts, kits: &kits };
            let rules = read(&file.path, &file.text, |f| read_rules(f, world));
            if let Some((_, rules)) = keep(&mut faults, file, rules) {
                catalogue.rules.extend(rules);
            }
        }
        for file in of_kind(files, Kind::LoadItems) {
            if let Some((_, items)) = keep(&mut faults, file, read(&file.path, &file.text, read_listed_items))
            {
                catalogue.load_items.extend(items);
            }
        }
        let sound = faults.is_empty();
        for file in of_kind(files, Kind::Furnishings).filter(|_| sound) {
            let world = FurnishingWorld { listed: &catalogue.load_items, vehicles: &vehicle_ids };
            let furnishings = read(&file.path, &file.text, |f| read_furnishings(f, world));
            if let Some((_, furnishings)) = keep(&mut faults, file, furnishings) {
                catalogue.furnishings.extend(furnishings);
            }
        }
        for file in of_kind(files, Kind::Tolerances) {
            if let Some((_, tolerances)) =
                keep(&mut faults, file, read(&file.path, &file.text, Tolerances::read))
            {
                catalogue.tolerances = tolerances;
            }
        }
        refuse_twins(&mut faults, vehicles.iter().map(|(path, sheet)| (*path, sheet.id.as_str())));
        refuse_twins(&mut faults, kits.iter().map(|(path, kit)| (*path, kit.id.as_str())));
        if !faults.is_empty() {
            return Err(faults);
        }
        catalogue.vehicles = vehicles.into_iter().map(|(_, sheet)| sheet).collect();
        catalogue.kits = kits.into_iter().map(|(_, kit)| kit).collect();
        Ok(catalogue)
    }

    /// Reads an enquiry against this catalogue.
    ///
    /// # Errors
    /// All faults of the file.
    pub fn read_enquiry(&self, file: &DataFile) -> Result<Enquiry, Vec<Fault>> {
        read(&file.path, &file.text, |f| Enquiry::read(f, self))
    }

    /// All faults of a document that stands outside the catalogue itself: enquiries, records, measurements.
    pub fn faults_of(&self, file: &DataFile) -> Vec<Fault> {
        let faults = |result: Result<(), Vec<Fault>>| result.err().unwrap_or_default();
        match Kind::of_path(&file.path) {
            Some(Kind::Enquiry) => faults(self.read_enquiry(file).map(drop)),
            Some(Kind::RampRecord) => faults(self.read_ramp_record(file).map(drop)),
            Some(Kind::SpringBench) => faults(read(&file.path, &file.text, BenchReading::read).map(drop)),
            Some(Kind::Jacking) => faults(read(&file.path, &file.text, JackingReading::read).map(drop)),
            _ => Vec::new(),
        }
    }

    /// Reads a ramp record against this catalogue.
    ///
    /// # Errors
    /// All faults of the file.
    pub fn read_ramp_record(&self, file: &DataFile) -> Result<RampRecord, Vec<Fault>> {
        read(&file.path, &file.text, |f| RampRecord::read(f, self))
    }

    /// Vehicle sheet by identifier.
    pub fn vehicle(&self, id: &str) -> Option<&VehicleSheet> {
        self.vehicles.iter().find(|sheet| sheet.id == id)
    }

    /// Kit by identifier.
    pub fn kit(&self, id: &str) -> Option<&Kit> {
        self.kits.iter().find(|kit| kit.id == id)
    }

    /// Kits sold for a vehicle sheet.
    pub fn kits_for<'a>(&'a self, vehicle_id: &'a str) -> impl Iterator<Item = &'a Kit> {
        self.kits.iter().filter(move |kit| kit.fits.iter().any(|id| id == vehicle_id))
    }
}

/// Reads the facts of a data folder.
///
/// # Errors
/// All faults of the files that hold them.
pub fn read_all_facts(files: &[DataFile]) -> Result<Vec<Fact>, Vec<Fault>> {
    let (mut facts, mut faults) = (Vec::new(), Vec::new());
    for file in of_kind(files, Kind::Facts) {
        match read(&file.path, &file.text, read_facts) {
            Ok(read) => facts.extend(read),
            Err(found) => faults.extend(found),
        }
    }
    if faults.is_empty() { Ok(facts) } else { Err(faults) }
}

fn of_kind(files: &[DataFile], kind: Kind) -> impl Iterator<Item = &DataFile> {
    files.iter().filter(move |file| Kind::of_path(&file.path) == Some(kind))
}

fn keep<'a, T>(
    faults: &mut Vec<Fault>,
    file: &'a DataFile,
    result: Result<T, Vec<Fault>>,
) -> Option<(&'a str, T)> {
    match result {
        Ok(value) => Some((&file.path, value)),
        Err(found) => {
            faults.extend(found);
            None
        }
    }
}

/// Two documents of one kind may not carry the same identifier.
fn refuse_twins<'a>(faults: &mut Vec<Fault>, documents: impl Iterator<Item = (&'a str, &'a str)>) {
    let mut seen = std::collections::BTreeMap::new();
    for (path, id) in documents {
        if let Some(first) = seen.insert(id, path) {
            let found = format!("\"{id}\", which {first} has too");
            faults.push(Fault::at_line(path, 1, "id", found, "an identifier of its own"));
        }
    }
}
