//! The answer on the page: every kit in or out, in words.

use workshop::facts::{Fact, Language};
use workshop::near_miss::NearMiss;
use workshop::shortlist::{KitOption, OutKit, Shortlist};
use workshop::wording::{NotPriced, Said, do_not_hold, family, ranged, says, whole};

use super::super::words::PageWords;

/// The answer in words.
pub(crate) struct Answered {
    /// What must be stopped for whatever is fitted.
    pub(crate) stops: Vec<String>,
    /// Checks that do not hold today.
    pub(crate) not_today: String,
    pub(crate) options: Vec<OptionRow>,
    /// Kits for this van that are out, those nearest to being in first.
    pub(crate) out: Vec<OutRow>,
    /// Kits for other vans.
    pub(crate) for_others: Vec<OutRow>,
}

/// A figure with the name that its chain is asked for by.
pub(crate) struct FigureCell {
    pub(crate) figure: &'static str,
    /// Head of its column.
    pub(crate) head: &'static str,
    pub(crate) words: String,
}

/// One kit that is in, in words.
pub(crate) struct OptionRow {
    pub(crate) kit: String,
    pub(crate) name: String,
    pub(crate) family: &'static str,
    pub(crate) figures: Vec<FigureCell>,
    pub(crate) remark: &'static str,
    pub(crate) spoken: String,
    /// Limits that it misses or nearly does, and why it has no price.
    pub(crate) remarks: Vec<String>,
    /// Checks that do not hold with it.
    pub(crate) do_not: Vec<String>,
    /// Whether it is the one that is drawn.
    pub(crate) chosen: bool,
}

/// One kit that is out, in words.
pub(crate) struct OutRow {
    pub(crate) kit: String,
    pub(crate) name: String,
    pub(crate) because: String,
    pub(crate) remarks: Vec<String>,
}

/// Kits on the page; the rest is a question away.
const MOST_OPTIONS: usize = 12;

impl Answered {
    /// The answer, with the kit that is drawn marked; `own` are the kits sold for this van.
    pub(crate) fn of(
        listed: &Shortlist,
        chosen: Option<&str>,
        own: &[&str],
        facts: &[Fact],
        w: &PageWords,
        language: Language,
    ) -> Self {
        let row =
            |option: &KitOption| option_row(option, chosen == Some(option.kit.as_str()), facts, w, language);
        let out = listed.out.iter().filter(|out| !out.kit.contains('+'));
        let (mut out, for_others): (Vec<&OutKit>, Vec<&OutKit>) =
            out.partition(|out| own.contains(&out.kit.as_str()));
        out.sort_by_key(|out| out.near_misses.is_empty());
        Self {
            stops: listed.stops_today.iter().map(|stop| stop.words(language)).collect(),
            not_today: match listed.do_not_today.is_empty() {
                true => String::new(),
                false => do_not_hold(language, &listed.do_not_today),
            },
            options: listed.options.iter().take(MOST_OPTIONS).map(row).collect(),
            out: out.into_iter().map(|out| out_row(out, w, language)).collect(),
            for_others: for_others.into_iter().map(|out| out_row(out, w, language)).collect(),
        }
    }
}

/// Why a kit has no price; where a fact is not known, as the question that tells.
fn not_priced(why: &NotPriced, facts: &[Fact], w: &PageWords, language: Language) -> String {
    let (NotPriced::WorkDependsOn { fact } | NotPriced::PartsDependOn { fact }) = why else {
        return why.words(language);
    };
    let asked = facts.iter().find(|known| known.id == *fact);
    asked.map_or_else(
        || why.words(language),
        |fact| format!("{} {}", w.price_needs, fact.question.in_language(language)),
    )
}

fn option_row(
    option: &KitOption,
    chosen: bool,
    facts: &[Fact],
    w: &PageWords,
    language: Language,
) -> OptionRow {
    let minutes = option
        .ramp_time
        .as_ref()
        .map(|time| format!("{}-{}", whole(time.typical_minutes), whole(time.nine_in_ten_minutes)));
    let total = option.quote.as_ref().map(|quote| {
        let total = quote.currency.number(quote.total_minor.unsigned_abs(), language);
        format!("{total} {}", quote.currency.sign())
    });
    let cell = |figure, head, words| FigureCell { figure, head, words };
    OptionRow {
        kit: option.kit.clone(),
        name: option.name.clone(),
        family: family(language, option.family),
        figures: vec![
            cell("mean_drop_against_today_mm", w.drop, ranged(&option.drop_against_today_mm)),
            cell("level_mm", w.level, ranged(&option.level_mm)),
            cell("least_bump_travel_to_metal_mm", w.travel, ranged(&option.least_bump_travel_to_metal_mm)),
            cell("time", w.minutes, minutes.unwrap_or_else(|| "-".into())),
            cell("price", w.total, total.unwrap_or_else(|| "-".into())),
        ],
        remark: match (option.stopped, option.unbeaten) {
            (true, _) => w.stop,
            (false, true) => w.unbeaten,
            (false, false) => "",
        },
        spoken: option.spoken.in_language(language).to_owned(),
        remarks: beside_limits(&option.near_misses, w, language)
            .chain(option.not_priced.iter().map(|why| not_priced(why, facts, w, language)))
            .collect(),
        do_not: option.do_not.iter().map(|check| check.words.in_language(language).to_owned()).collect(),
        chosen,
    }
}

/// Figures beside the limits that decided, or nearly did.
fn beside_limits<'a>(
    misses: &'a [NearMiss],
    w: &'a PageWords,
    language: Language,
) -> impl Iterator<Item = String> + 'a {
    misses.iter().map(move |miss| {
        let how = if miss.decided { w.misses } else { w.nearly };
        format!("{how} {}", miss.words.in_language(language))
    })
}

fn out_row(out: &OutKit, w: &PageWords, language: Language) -> OutRow {
    OutRow {
        kit: out.kit.clone(),
        name: out.name.clone(),
        because: says(language, &out.because),
        remarks: beside_limits(&out.near_misses, w, language).collect(),
    }
}
