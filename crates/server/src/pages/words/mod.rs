//! Words of the pages, in both languages side by side: a file for each room, and one list of them all.

use workshop::facts::Language;

#[macro_use]
mod everywhere;
#[macro_use]
mod enquiry;
#[macro_use]
mod loads;
#[macro_use]
mod catalogue;
#[macro_use]
mod quote;
#[macro_use]
mod diary;
#[macro_use]
mod job;
#[macro_use]
mod ramp;
#[macro_use]
mod postal;
#[macro_use]
mod people;

/// What all rooms have handed on becomes one list.
macro_rules! words {
    ([] $($name:ident: $en:literal, $de:literal;)*) => {
        /// Every word of the pages in one language.
        pub(crate) struct PageWords { $(pub(crate) $name: &'static str,)* }

        const ENGLISH: PageWords = PageWords { $($name: $en,)* };
        const GERMAN: PageWords = PageWords { $($name: $de,)* };
    };
}

// each room takes the words of those before it and hands them on with its own
everywhere! { [enquiry loads catalogue quote diary job ramp postal people words] }

/// The words in a language.
pub(crate) fn words(language: Language) -> &'static PageWords {
    match language {
        Language::English => &ENGLISH,
        Language::German => &GERMAN,
    }
}
