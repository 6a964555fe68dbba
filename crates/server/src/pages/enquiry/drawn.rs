//! The pictures on the page: the van as it stands and would stand, the kits by their height, travel that is left.

use picture::{
    AxleView, Frame, HeightStrip, LoadPlan, PlotTable, SideView, TravelStrip, WhereToLook, where_to_look,
};
use store::Id;
use workshop::answer::KnownVan;
use workshop::facts::Spot;
use workshop::load_list::LoadState;
use workshop::shortlist::Shortlist;
use workshop::wording::{Axle, Manner, Said, Side, load_state};

use super::percent;
use super::questions::{OF_VAN, places};

/// What is drawn, as SVG.
pub(crate) struct Drawn {
    pub(crate) side: String,
    pub(crate) axles: Vec<String>,
    pub(crate) strip: String,
    pub(crate) strip_table: PlotTable,
    pub(crate) travel: String,
    pub(crate) travel_table: PlotTable,
    pub(crate) plan: String,
    /// Where to look for the van, the unknown that matters most, all other unknowns, the heights; nothing where there is
    /// nothing to look for.
    pub(crate) look: [String; 4],
    /// Load states to choose from: name in addresses, words, whether it is drawn.
    pub(crate) states: Vec<(&'static str, &'static str, bool)>,
    /// Kit that is looked at and its name; none where today alone is.
    pub(crate) kit: Option<(String, String)>,
    /// Why the van is not drawn on that kit; empty where it is.
    pub(crate) not_on_kit: String,
}

/// Draws a van today and on a kit, in one load state; today alone where it finds no rest on the kit.
pub(crate) fn drawn(
    known: &KnownVan,
    listed: &Shortlist,
    kit: Option<&str>,
    state: LoadState,
    id: &Id,
    manner: Manner,
) -> Drawn {
    let language = manner.language;
    let frame = |name| Frame { language, units: manner.units, name };
    let now = known.stands_today(state);
    let kit = kit.and_then(|kit| known.catalogue.offer(&known.enquiry.vehicle, kit));
    let (then, not_on_kit) = match kit.as_ref().map(|kit| known.stands_on_kit(kit, state)) {
        Some(Ok(then)) => (Some(then), String::new()),
        Some(Err(why)) => (None, why.words(language)),
        None => (None, String::new()),
    };
    let on_kit = kit.as_ref().zip(then.as_ref()).map(|(kit, then)| (kit.name.as_str(), then));
    let strip = HeightStrip::of(known, &known.enquiry.wish, listed, |kit| {
        format!("/enquiries/{id}?kit={}&state={}", percent(kit), named(state))
    });
    let of_kit = kit.as_ref().and_then(|kit| known.travel_left_on_kit(kit).ok());
    let travel = TravelStrip { rows: of_kit.unwrap_or_else(|| known.travel_left_today()) };
    let axle = |(axle, name)| picture::axle(&AxleView::of(known, axle, &now, on_kit), &frame(name));
    let ask_next = listed.ask_next.as_ref().map(|next| next.fact.as_str());
    let places = places(known.catalogue, &known.enquiry.vehicle, ask_next);
    let look = |name, spots: &[Spot]| match spots {
        [] => String::new(),
        spots => where_to_look(&WhereToLook::of(known, &now, spots.to_vec()), &frame(name)),
    };
    Drawn {
        look: [
            look("look-van", &OF_VAN),
            look("look-next", places.next.as_slice()),
            look("look-further", &places.further),
            look("look-arches", &[Spot::Arches]),
        ],
        side: picture::side(&SideView::of(known, Side::Right, &now, on_kit), &frame("side")),
        axles: [(Axle::Front, "front"), (Axle::Rear, "rear")].map(axle).into(),
        strip: picture::height_strip(&strip, &frame("strip")),
        strip_table: strip.table(language),
        travel: picture::travel_strip(&travel, &frame("travel")),
        travel_table: travel.table(language),
        plan: picture::load_plan(&LoadPlan::of(known, then.as_ref().unwrap_or(&now)), &frame("plan")),
        states: LoadState::CHOICES.map(|(name, of)| (name, load_state(language, of), of == state)).into(),
        kit: kit.map(|kit| (kit.id, kit.name)),
        not_on_kit,
    }
}

/// Name of a load state in addresses.
pub(crate) fn named(state: LoadState) -> &'static str {
    LoadState::CHOICES.iter().find(|(_, of)| *of == state).map_or("", |(name, _)| name)
}
