//! Questions put to the workshop's pure functions: a catalogue and an enquiry in, an answer out. The command line
//! and the API ask here, so that both give the same figures.

use workshop::answer::{Answer, KnownVan};
use workshop::assembly::CannotStand;
use workshop::catalogue::{Catalogue, DataFile};
use workshop::document::Fault;
use workshop::enquiry::{Enquiry, Wish, WishKind};
use workshop::facts::{Language, Words};
use workshop::kit::Kit;
use workshop::shortlist::{Shortlist, shortlist};
use workshop::wording::Said;

/// Why there is no answer.
#[derive(Debug)]
pub enum Unanswered {
    /// Documents have faults.
    Faults(Vec<Fault>),
    /// The question names something that does not exist.
    WrongName {
        /// What the name is of.
        field: String,
        /// What was found.
        found: Words,
        /// What is allowed.
        allowed: Words,
    },
    /// The input is sound but the van cannot be computed.
    NoAnswer(CannotStand),
}

impl Unanswered {
    /// A name of something that does not exist.
    pub fn wrong_name(field: &str, found: &str, allowed: Words) -> Self {
        Self::WrongName { field: field.to_owned(), found: Words::of(|_| format!("\"{found}\"")), allowed }
    }
}

impl std::fmt::Display for Unanswered {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Faults(faults) => {
                let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
                write!(f, "{}", lines.join("\n"))
            }
            Self::WrongName { field, found, allowed } => {
                write!(f, "{field}: found {}, allowed {}", found.en, allowed.en)
            }
            Self::NoAnswer(why) => write!(f, "no answer is possible: {}", why.words(Language::English)),
        }
    }
}

impl From<Vec<Fault>> for Unanswered {
    fn from(faults: Vec<Fault>) -> Self {
        Self::Faults(faults)
    }
}

impl From<CannotStand> for Unanswered {
    fn from(why: CannotStand) -> Self {
        Self::NoAnswer(why)
    }
}

/// One of several names.
pub fn one_of(names: &[&str]) -> Words {
    let names = names.join(", ");
    Words { en: format!("one of {names}"), de: format!("eines von {names}") }
}

/// Reads an enquiry document; faults name it as `enquiry`.
///
/// # Errors
/// [`Unanswered::Faults`].
pub fn enquiry(catalogue: &Catalogue, document: &str) -> Result<Enquiry, Unanswered> {
    let file = DataFile { path: "enquiry".to_owned(), text: document.to_owned() };
    Ok(catalogue.read_enquiry(&file)?)
}

/// A kit sold for a vehicle sheet, or two together as `springs+dampers`.
///
/// # Errors
/// [`Unanswered::WrongName`] lists those there are.
pub fn kit_for(catalogue: &Catalogue, vehicle: &str, id: &str) -> Result<Kit, Unanswered> {
    catalogue.offer(vehicle, id).ok_or_else(|| {
        let ids: Vec<&str> = catalogue.kits_for(vehicle).map(|kit| kit.id.as_str()).collect();
        let ids = ids.join(", ");
        let allowed = Words {
            en: format!("for this van one of {ids}, or springs and dampers of them as springs+dampers"),
            de: format!(
                "für diesen Wagen eines von {ids}, oder Federn und Dämpfer davon als springs+dampers"
            ),
        };
        Unanswered::wrong_name("kit", id, allowed)
    })
}

/// Every kit out or in, sorted by the enquiry's own wish or another, and the wish that was used.
///
/// # Errors
/// [`Unanswered`].
pub fn shortlisted(known: &KnownVan, by: Option<WishKind>) -> Result<(Shortlist, Wish), Unanswered> {
    let mut wish = known.enquiry.wish;
    if let Some(kind) = by {
        if kind == WishKind::Drop && wish.drop_against_today_mm.is_none() {
            return Err(no_drop_wished());
        }
        wish.kind = kind;
    }
    Ok((shortlist(known, &wish)?, wish))
}

/// Without a wished drop nothing is close to it or far from it.
fn no_drop_wished() -> Unanswered {
    let names = WishKind::CHOICES.iter().filter(|(_, kind)| *kind != WishKind::Drop);
    let names: Vec<&str> = names.map(|(name, _)| *name).collect();
    let names = names.join(", ");
    let allowed = Words {
        en: format!("one of {names}, as the enquiry wishes no drop (wish.drop_against_today_mm)"),
        de: format!(
            "eines von {names}, da die Anfrage keine Tieferlegung wünscht (wish.drop_against_today_mm)"
        ),
    };
    Unanswered::wrong_name("by", "drop", allowed)
}

/// How the van sits today and on a kit, or on every kit sold for it.
///
/// # Errors
/// [`Unanswered`].
pub fn predicted(known: &KnownVan, kit: Option<&str>) -> Result<Answer, Unanswered> {
    let chosen = kits(known.catalogue, known.enquiry, kit.as_slice())?;
    Ok(known.answer(&chosen.iter().collect::<Vec<_>>())?)
}

/// The kits named, or every kit sold for the van where none is.
///
/// # Errors
/// [`Unanswered::WrongName`].
pub fn kits(catalogue: &Catalogue, enquiry: &Enquiry, named: &[&str]) -> Result<Vec<Kit>, Unanswered> {
    if named.is_empty() {
        return Ok(catalogue.kits_for(&enquiry.vehicle).cloned().collect());
    }
    named.iter().map(|id| kit_for(catalogue, &enquiry.vehicle, id)).collect()
}
