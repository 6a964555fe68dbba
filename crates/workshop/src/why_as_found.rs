//! The chain behind what arch heights as found tell: sag, and load that nobody listed.

use crate::answer::KnownVan;
use crate::assembly::{AXLE_NAMES, CannotStand};
use crate::calibration::{AsFoundAxle, explained};
use crate::facts::Words;
use crate::figure::Figure;
use crate::why::{Why, figure_words};
use crate::wording::why::{asked_as_found, cause_input, item_input, running_order_input};
use crate::wording::why_check::{CheckEquation, CheckStep};
use crate::wording::why_quantity::{NumberFrom, Quantity, name};
use crate::wording::{Axle, Said};

/// What arch heights as found tell of an axle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AskedAsFound {
    /// Loss of free length of its springs.
    Sag,
    /// Load that nobody listed.
    UnlistedLoad,
}

impl AskedAsFound {
    /// Names on the command line: those of the JSON fields.
    pub const CHOICES: [(&'static str, Self); 2] =
        [("sag_mm", Self::Sag), ("unlisted_load_kg", Self::UnlistedLoad)];

    fn name(self) -> &'static str {
        Self::CHOICES.iter().find(|(_, choice)| *choice == self).map_or("", |(name, _)| name)
    }

    fn figure(self, axle: &AsFoundAxle) -> &Figure {
        match self {
            Self::Sag => &axle.sag_mm,
            Self::UnlistedLoad => &axle.unlisted_load_kg,
        }
    }
}

impl KnownVan<'_> {
    /// The chain behind what the arch heights as found tell of an axle; nothing where there are none.
    ///
    /// # Errors
    /// When the van finds no rest.
    pub fn why_as_found(&self, asked: AskedAsFound, axle: Axle) -> Result<Option<Why>, CannotStand> {
        let axles = explained(&self.van, self.enquiry, &self.prior, &self.belief)?;
        let found = axles.iter().find(|found| found.axle == AXLE_NAMES[axle as usize]);
        let (Some(found), Some(heights)) = (found, &self.enquiry.as_found) else { return Ok(None) };
        let figure = asked.figure(found);
        let order = &self.van.sheet.running_order;
        let mut inputs = vec![Words::of(|language| running_order_input(language, order))];
        let aboard = self.enquiry.items.iter().filter(|item| item.states.contains(&heights.state));
        inputs.extend(aboard.map(|carried| Words::of(|language| item_input(language, &carried.item))));
        inputs.extend(figure.widened_by.iter().map(|cause| Words::of(|l| cause_input(l, cause))));
        let number = |what, value, unit, from| {
            let step = CheckStep::Number(Quantity { what, value, unit, from });
            Words::of(|language| step.words(language))
        };
        let computed = NumberFrom::Computed;
        inputs.push(number(name::FOUND_ARCH, found.found_arch_height_mm, "mm", NumberFrom::Measured));
        let steps = vec![
            number(name::EXPECTED_ARCH, found.expected_as_new_arch_height_mm, "mm", computed),
            number(name::ARCH_DIFFERENCE, found.difference_mm, "mm", computed),
            number(name::LOAD_ALONE, found.load_alone_kg, "kg", computed),
            number(name::SAG_ALONE, found.sag_alone_mm, "mm", computed),
        ];
        Ok(Some(Why {
            asked: Words::of(|language| asked_as_found(language, axle, asked.name(), heights.state)),
            answer: Words::of(|language| figure_words(language, Some(figure), asked.name())),
            value: Some(figure.clone()),
            inputs,
            steps,
            equations: vec![Words::of(|language| CheckEquation::AsFound.words(language))],
        }))
    }
}
