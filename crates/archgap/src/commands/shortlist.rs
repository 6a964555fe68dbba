//! `archgap shortlist ENQUIRY.toml`

use workshop::answer::KnownVan;
use workshop::enquiry::{Wish, WishKind};
use workshop::kit::Kit;
use workshop::shortlist::{Listed, shortlist};

use super::json_of;
use crate::By;
use crate::data::{DataSource, Trouble};
use crate::tables::{fixed, table};

pub(crate) fn run(source: &DataSource, named: &str, by: Option<By>, json: bool) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let enquiry = source.enquiry(&catalogue, named)?;
    let kits: Vec<&Kit> = catalogue.kits_for(&enquiry.vehicle).collect();
    let answer = KnownVan::of(&catalogue, &enquiry)?.answer(&kits)?;
    let mut wish = enquiry.wish;
    match by {
        Some(By::Drop) => wish.kind = WishKind::Drop,
        Some(By::Level) => wish.kind = WishKind::Level,
        Some(By::Travel) => wish.kind = WishKind::Travel,
        None => {}
    }
    let listed = shortlist(&answer, &wish);
    if json { json_of(&listed) } else { Ok(shown(&listed, &wish)) }
}

fn shown(listed: &[Listed], wish: &Wish) -> String {
    let wished = match wish.kind {
        WishKind::Drop => format!("a drop of {} mm against today", fixed(wish.drop_against_today_mm, 0)),
        WishKind::Level => "a level load floor".to_owned(),
        WishKind::Travel => "bump travel left before metal".to_owned(),
    };
    let rows = listed.iter().enumerate().map(|(k, kit)| {
        let stop = if kit.stopped { "STOP, see predict --kit" } else { "" };
        vec![format!("{}. {}", k + 1, kit.kit), kit.name.clone(), kit.measure.clone(), stop.to_owned()]
    });
    let header = ["kit", "name", "figure and range", "remark"];
    format!("Kits by {wished}, {}:\n{}", wish.state.name(), table(&header, rows))
}
