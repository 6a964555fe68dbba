//! The one place where meaning becomes words: every sentence that people hear or read, its English and German form side
//! by side.
//!
//! Answers hold what is meant, with its values; words are formed at the end, for the language that is asked for. What
//! programs read has both: the meaning under its `kind`, and `words` in both languages beside it.

mod adjuster;
mod bench;
mod cannot;
mod causes;
pub(crate) mod check_says;
mod checks;
mod compare;
mod correction;
mod counter;
mod fault;
mod manner;
mod names;
mod numbers;
mod prediction;
mod remarks;
mod ride;
mod rule;
mod rule_figure;
mod set_up;
mod shortlist;
mod typed;
pub(crate) mod why;
pub(crate) mod why_check;
pub(crate) mod why_quantity;
pub(crate) mod why_ride;

pub use adjuster::Adjuster;
pub use bench::BenchSays;
pub use cannot::{Doing, Obstacle, lock_reason};
pub use causes::{Cause, Remedy, Springs};
pub use checks::{
    CHECK_NAMES, area, check_figure, check_named, do_not_hold, finding, limit, same_checks, who_decides,
};
pub(crate) use checks::{
    alignment, beam_turned, roll_centre, roll_gradient, roll_stiffness, stability, stronger_bar,
    transfer_share,
};
pub use compare::Change;
pub use correction::{Doubt, Exchange, Learned, Refusal, Suspicion, misfit};
pub use counter::{
    closed_then, evidence_named, next_free, part_not_there, ramp_taken, ring_about_quote, ring_parts_there,
    ring_ramp_free, ring_recheck, ring_retorque,
};
pub use fault::{fault, fault_line};
pub use manner::{DecimalSign, Manner};
pub use names::{
    axle, axle_named, corner, corner_named, evidence, family, load_state, plated, source, travel_end, weight,
    wish,
};
pub use numbers::{counted, fixed, ranged, signed, span, whole, with_range};
pub use prediction::{as_found, body, legend, level_and_pitch, running_order, unexplained, weighed, widened};
pub use remarks::{Axle, CollarEnd, KeptHigher, Meaning, OutsideAxleBand, Plate};
pub use ride::{
    against, comfort, comfort_told, damping_setting, hump, reactions, ride_in_short, ride_legend, ride_mode,
    road,
};
pub use rule::{Because, says};
pub(crate) use rule_figure::BesideLimit;
pub use rule_figure::{MetFigure, rule_figure};
pub use set_up::{
    LeanSays, Setting, Side, aim, lean, misses_aim, misses_now_and_then, settling, turns, unequal,
};
pub use shortlist::{Miss, NotPriced, fitted_stays, spoken};
pub use typed::{TypedFault, shortly, understood};

use serde::Serialize;

use crate::facts::{Language, Words};

/// Something that can be put into words.
pub trait Said {
    /// Its words in a language.
    fn words(&self, language: Language) -> String;
}

impl Language {
    /// One of two forms.
    pub fn pick<T>(self, english: T, german: T) -> T {
        match self {
            Self::English => english,
            Self::German => german,
        }
    }
}

impl Words {
    /// A text formed in both languages.
    pub fn of(form: impl Fn(Language) -> String) -> Self {
        Self { en: form(Language::English), de: form(Language::German) }
    }
}

/// A meaning with its words beside it, as programs read it.
#[derive(Serialize)]
struct Spelt<'a, T> {
    #[serde(flatten)]
    meaning: &'a T,
    words: Words,
}

impl<'a, T: Said> Spelt<'a, T> {
    fn of(meaning: &'a T) -> Self {
        Self { meaning, words: Words::of(|language| meaning.words(language)) }
    }
}

/// Serialises a meaning and its words.
pub(crate) fn spelt<T, S>(meaning: &T, serializer: S) -> Result<S::Ok, S::Error>
where
    T: Said + Serialize,
    S: serde::Serializer,
{
    Spelt::of(meaning).serialize(serializer)
}

/// Serialises the words alone, in both languages.
pub(crate) fn in_words<S: serde::Serializer>(meaning: &impl Said, serializer: S) -> Result<S::Ok, S::Error> {
    Words::of(|language| meaning.words(language)).serialize(serializer)
}

/// Serialises a list of meanings, each with its words.
pub(crate) fn all_spelt<T, S>(meanings: &[T], serializer: S) -> Result<S::Ok, S::Error>
where
    T: Said + Serialize,
    S: serde::Serializer,
{
    serializer.collect_seq(meanings.iter().map(Spelt::of))
}
