//! The real path: a shortlist of the demo camper among 1,000 kits, ride included, and one prediction.

use std::fs::{read_dir, read_to_string};
use std::path::Path;

use anyhow::{Result, anyhow, ensure};
use workshop::answer::KnownVan;
use workshop::catalogue::{Catalogue, DataFile};
use workshop::enquiry::Enquiry;
use workshop::shortlist::shortlist;

use crate::Workload;

const ENQUIRY: &str = "enquiries/camper-low-at-the-back.toml";
/// Kits of the catalogue that are sold for the van.
const KITS: usize = 1000;

/// A workshop and an enquiry.
pub struct Asked {
    catalogue: Catalogue,
    enquiry: Enquiry,
}

impl Asked {
    /// The demo workshop, with copies of the kits that are sold for the camper under identifiers of their own until there are
    /// at least `kits`.
    ///
    /// # Errors
    /// When the demo workshop cannot be read.
    pub fn of_demo(kits: usize) -> Result<Self> {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
        let mut files = Vec::new();
        for folder in ["", "vehicles", "kits"] {
            for entry in read_dir(root.join(folder))? {
                let path = entry?.path();
                if path.extension().is_some_and(|extension| extension == "toml") {
                    files.push(data_file(&root, &path)?);
                }
            }
        }
        let faults = |faults: Vec<workshop::document::Fault>| anyhow!("{} faults in the demo", faults.len());
        let mut catalogue = Catalogue::read(&files).map_err(faults)?;
        let enquiry = catalogue.read_enquiry(&data_file(&root, &root.join(ENQUIRY))?).map_err(faults)?;
        let sold: Vec<_> = catalogue.kits_for(&enquiry.vehicle).cloned().collect();
        ensure!(!sold.is_empty(), "no kit is sold for the camper");
        let copies = (1..kits.div_ceil(sold.len()))
            .flat_map(|copy| sold.iter().map(move |kit| (copy, kit.clone())))
            .map(|(copy, mut kit)| {
                kit.id = format!("{}-{copy}", kit.id);
                kit
            });
        catalogue.kits.extend(copies);
        Ok(Self { catalogue, enquiry })
    }

    /// Every kit out or in, ranked; kits that are in, and kits that are out.
    ///
    /// # Errors
    /// When the van cannot be computed.
    pub fn shortlist(&self) -> Result<[usize; 2]> {
        let known = KnownVan::of(&self.catalogue, &self.enquiry)?;
        let list = shortlist(&known, &self.enquiry.wish)?;
        Ok([list.options.len(), list.out.len()])
    }

    /// The whole answer for one kit.
    ///
    /// # Errors
    /// When the van cannot be computed.
    pub fn predict(&self) -> Result<()> {
        let known = KnownVan::of(&self.catalogue, &self.enquiry)?;
        let kits: Vec<_> = self.catalogue.kits_for(&self.enquiry.vehicle).take(1).collect();
        std::hint::black_box(known.answer(&kits)?);
        Ok(())
    }
}

fn data_file(root: &Path, path: &Path) -> Result<DataFile> {
    let within = path.strip_prefix(root)?.to_string_lossy().replace('\\', "/");
    Ok(DataFile { path: within, text: read_to_string(path)? })
}

/// Shortlist and prediction.
///
/// # Errors
/// When the demo workshop cannot be read.
pub fn workloads() -> Result<[Workload; 2]> {
    let (many, one) = (Asked::of_demo(KITS)?, Asked::of_demo(1)?);
    let list = move || {
        std::hint::black_box(many.shortlist()?);
        Ok(())
    };
    let predict = move || one.predict();
    let work = |name, run| Workload { name, must_reach_s: None, run };
    Ok([
        work("Shortlist of the demo camper, 1,000 kits, with ride", Box::new(list)),
        work("Prediction of one kit on the demo camper", Box::new(predict)),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn law_every_copy_of_a_kit_is_judged() {
        // copies say nothing new: per kit of the demo there are as many answers as copies, and combinations beside
        let [in_demo, out_demo] = Asked::of_demo(1).unwrap().shortlist().unwrap();
        let asked = Asked::of_demo(100).unwrap();
        let sold = asked.catalogue.kits_for(&asked.enquiry.vehicle).count();
        let [options, out] = asked.shortlist().unwrap();
        assert!(sold >= 100 && options + out >= asked.catalogue.kits.len());
        assert!(
            options > in_demo && out > out_demo,
            "{options} in and {out} out, {in_demo} and {out_demo} before"
        );
    }
}
