//! Kits formed by the program: springs of one kit with dampers of another, and what is fitted already, set anew.

use crate::catalogue::Catalogue;
use crate::facts::Words;
use crate::kit::{Kit, KitAxle, KitFamily, KitPart, Offer};

impl Kit {
    /// Springs of one kit with the dampers of another as one kit, `springs+dampers`; `None` where they do not make one:
    /// one of them is not springs alone or not dampers alone, both bring the same part to an axle, a front collar would
    /// need a strut of its own, no axle load lies in both makers' bands, or no van has both.
    ///
    /// Whether the springs stay captive on the other dampers and what travel is left is for the mechanics to say.
    pub fn combined(springs: &Kit, dampers: &Kit) -> Option<Kit> {
        if !springs.is_springs_alone() || !dampers.is_dampers_alone() {
            return None;
        }
        let fits: Vec<String> =
            springs.fits.iter().filter(|van| dampers.fits.contains(van)).cloned().collect();
        if fits.is_empty() {
            return None;
        }
        let about = match (&springs.about, &dampers.about) {
            (Some(a), Some(b)) => {
                Some(Words { en: format!("{} {}", a.en, b.en), de: format!("{} {}", a.de, b.de) })
            }
            (a, b) => a.as_ref().or(b.as_ref()).cloned(),
        };
        let makers = [&springs.maker, &dampers.maker];
        let part = |kit: &Kit| KitPart { id: kit.id.clone(), family: kit.family };
        Some(Kit {
            id: format!("{}+{}", springs.id, dampers.id),
            name: format!("{} + {}", springs.name, dampers.name),
            maker: if makers[0] == makers[1] {
                makers[0].clone()
            } else {
                makers.map(String::as_str).join(" + ")
            },
            family: KitFamily::Combination,
            about,
            fits,
            front: both(springs.front.as_ref(), dampers.front.as_ref())?,
            rear: both(springs.rear.as_ref(), dampers.rear.as_ref())?,
            offer: Offer::Together([part(springs), part(dampers)]),
        })
    }

    fn axles(&self) -> impl Iterator<Item = &KitAxle> {
        self.front.iter().chain(&self.rear)
    }

    /// A front collar without a strut sits on a strut that the kit does not bring.
    pub(crate) fn is_springs_alone(&self) -> bool {
        self.offer == Offer::Kit
            && self.axles().any(|axle| axle.spring.is_some() || axle.leaf_work.is_some())
            && self.axles().all(|axle| axle.damper.is_none())
            && self.front.as_ref().is_none_or(|axle| axle.collar.is_none())
    }

    /// Dampers and nothing that would set the height.
    pub(crate) fn is_dampers_alone(&self) -> bool {
        self.offer == Offer::Kit
            && self.axles().any(|axle| axle.damper.is_some())
            && self.axles().all(|axle| {
                axle.spring.is_none()
                    && axle.collar.is_none()
                    && axle.leaf_work.is_none()
                    && axle.air.is_none()
            })
    }

    /// The kit as it is on the van already: nothing of it is bought or changed, its collars are set anew.
    #[must_use]
    pub fn set_anew(&self) -> Kit {
        let collars_alone = |axle: &KitAxle| KitAxle {
            axle_load_kg: axle.axle_load_kg,
            collar: axle.collar.clone(),
            ..KitAxle::default()
        };
        Kit {
            about: Some(Words {
                en: "What is fitted, its collars set anew.".to_owned(),
                de: "Was verbaut ist, neu eingestellt.".to_owned(),
            }),
            front: self.front.as_ref().map(collars_alone),
            rear: self.rear.as_ref().map(collars_alone),
            offer: Offer::SetAnew,
            ..self.clone()
        }
    }

    /// Whether it has a collar on any axle.
    pub fn has_collars(&self) -> bool {
        self.axles().any(|axle| axle.collar.is_some())
    }

    /// Kits of the catalogue that it consists of.
    pub fn consists_of(&self) -> Vec<KitPart> {
        match &self.offer {
            Offer::Together(parts) => parts.to_vec(),
            Offer::Kit | Offer::SetAnew => vec![KitPart { id: self.id.clone(), family: self.family }],
        }
    }

    /// Kits of the catalogue that have to be bought for it.
    pub fn to_buy(&self) -> Vec<KitPart> {
        if self.offer == Offer::SetAnew { Vec::new() } else { self.consists_of() }
    }
}

/// What springs and dampers bring to one axle together.
fn both(springs: Option<&KitAxle>, dampers: Option<&KitAxle>) -> Option<Option<KitAxle>> {
    let (Some(a), Some(b)) = (springs, dampers) else { return Some(springs.or(dampers).cloned()) };
    let both_bring_stops = a.stop.is_some() && (b.stop.is_some() || b.stop_trimmed_to_mm.is_some());
    if both_bring_stops || (a.seat_packing_mm != 0.0 && b.seat_packing_mm != 0.0) {
        return None;
    }
    let stop = a.stop.clone().or_else(|| b.stop.clone());
    // a new stop comes in place of the original one, of which then nothing is trimmed
    let trimmed_mm = a.stop_trimmed_to_mm.or(b.stop_trimmed_to_mm).filter(|_| stop.is_none());
    let axle_load_kg = match (a.axle_load_kg, b.axle_load_kg) {
        (Some(a), Some(b)) => Some([a[0].max(b[0]), a[1].min(b[1])]),
        (a, b) => a.or(b),
    };
    if axle_load_kg.is_some_and(|[from_kg, to_kg]| from_kg >= to_kg) {
        return None;
    }
    Some(Some(KitAxle {
        axle_load_kg,
        stop,
        stop_trimmed_to_mm: trimmed_mm,
        seat_packing_mm: a.seat_packing_mm + b.seat_packing_mm,
        damper: b.damper.clone(),
        clicks: b.clicks.clone(),
        strut_mount: b.strut_mount.clone(),
        extra_insertion_mm: b.extra_insertion_mm,
        ..a.clone()
    }))
}

impl Catalogue {
    /// Springs and dampers that are sold for a van and make a kit together.
    pub fn combinations_for(&self, vehicle_id: &str) -> Vec<Kit> {
        let sold: Vec<&Kit> = self.kits_for(vehicle_id).collect();
        sold.iter()
            .flat_map(|springs| sold.iter().filter_map(|dampers| Kit::combined(springs, dampers)))
            .collect()
    }

    /// A kit sold for a van by its identifier, or two of them together by both, `springs+dampers`.
    pub fn offer(&self, vehicle_id: &str, id: &str) -> Option<Kit> {
        let sold = |id: &str| self.kits_for(vehicle_id).find(|kit| kit.id == id);
        match id.split_once('+') {
            Some((springs, dampers)) => Kit::combined(sold(springs)?, sold(dampers)?),
            None => sold(id).cloned(),
        }
    }
}
