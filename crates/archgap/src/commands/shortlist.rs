//! `archgap shortlist ENQUIRY.toml` and `archgap compare ENQUIRY.toml A B`

use server::answers::{one_of, shortlisted};
use workshop::answer::KnownVan;
use workshop::catalogue::Catalogue;
use workshop::checks::{Check, grouped};
use workshop::enquiry::{Wish, WishKind};
use workshop::facts::{Language, Words};
use workshop::figure::Figure;
use workshop::fitting::{AskNext, Verdict};
use workshop::kit::KitFamily;
use workshop::shortlist::{KitOption, OutKit, Shortlist, compared, part_name};
use workshop::wording::{self, Said, do_not_hold, load_state, ranged, says, whole};

use super::json_of;
use crate::By;
use crate::data::{DataSource, Trouble};
use crate::tables::{folded, wide_table};

/// Combinations that are listed.
const MOST_TOGETHER: usize = 5;

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    by: Option<By>,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let (listed, wish) = listed(source, &catalogue, named, by)?;
    if json { json_of(&listed) } else { Ok(shown(&catalogue, &listed, &wish, language)) }
}

/// `archgap compare`: what changes if B is chosen instead of A.
pub(crate) fn compare(
    source: &DataSource,
    named: &str,
    [a, b]: [&str; 2],
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let catalogue = source.catalogue()?;
    let (listed, _) = listed(source, &catalogue, named, None)?;
    let found = |id: &str| {
        listed.options.iter().find(|option| option.kit == id).ok_or_else(|| {
            let out = listed.out.iter().find(|out| out.kit == id);
            let found = Words::of(|language| {
                out.map_or_else(
                    || format!("\"{id}\""),
                    |out| {
                        let reason = out.because.reason.in_language(language);
                        language.pick(
                            format!("\"{id}\", which is out: {reason}"),
                            format!("\"{id}\", der ausscheidet: {reason}"),
                        )
                    },
                )
            });
            let single = listed.options.iter().filter(|option| option.family != KitFamily::Combination);
            let ids: Vec<&str> = single.map(|option| option.kit.as_str()).collect();
            Trouble::WrongName { field: "compare".to_owned(), found, allowed: one_of(&ids) }
        })
    };
    let comparison = compared(&catalogue, found(a)?, found(b)?);
    if json {
        return json_of(&comparison);
    }
    let changes = comparison.changes.iter();
    let lines: Vec<String> =
        changes.map(|change| folded(&format!("  {}", change.words(language)), 4)).collect();
    Ok(format!("{b} {} {a}:\n{}", language.pick("instead of", "statt"), lines.join("\n")))
}

fn listed(
    source: &DataSource,
    catalogue: &Catalogue,
    named: &str,
    by: Option<By>,
) -> Result<(Shortlist, Wish), Trouble> {
    let enquiry = source.enquiry(catalogue, named)?;
    let by = by.map(|by| match by {
        By::Drop => WishKind::Drop,
        By::Level => WishKind::Level,
        By::Travel => WishKind::Travel,
        By::LoadReserve => WishKind::LoadReserve,
        By::Clearance => WishKind::Clearance,
        By::Comfort => WishKind::Comfort,
    });
    Ok(shortlisted(&KnownVan::of(catalogue, &enquiry)?, by)?)
}

fn shown(catalogue: &Catalogue, listed: &Shortlist, wish: &Wish, language: Language) -> String {
    let mut text = String::new();
    let whatever = language.pick("STOP, whatever is fitted", "HALT, gleich was verbaut wird");
    for stop in &listed.stops_today {
        text += &line(0, &format!("{whatever}: {}", stop.words(language)));
    }
    if !listed.do_not_today.is_empty() {
        let today = language.pick("does not hold today", "hält schon heute nicht");
        text += &line(0, &format!("{today}: {}", do_not_hold(language, &listed.do_not_today)));
    }
    let (together, single): (Vec<&KitOption>, Vec<&KitOption>) =
        listed.options.iter().partition(|option| option.family == KitFamily::Combination);
    let total = total_head(listed, language);
    text += &format!("{}\n{}\n", head(wish, language), options(&single, wish, &total, language));
    if !together.is_empty() {
        let count = together.len();
        let best = &together[..count.min(MOST_TOGETHER)];
        let head = language.pick(
            format!("Springs with dampers of another kit, the best of {count}:"),
            format!("Federn mit Dämpfern eines anderen Satzes, die besten von {count}:"),
        );
        text += &format!("{head}\n{}\n", options(best, wish, &total, language));
    }
    text += &best(listed, &single, language);
    if let Some(asked) = &listed.ask_next {
        text += &line(2, &ask_next(asked, language));
    }
    text += language.pick("\nTo be read out:\n", "\nZum Vorlesen:\n");
    for option in single.iter().take(3).chain(together.iter().take(1)) {
        text += &line(2, &format!("{}: {}", option.kit, option.spoken.in_language(language)));
        text += &rules(catalogue, &option.verdict, language);
    }
    text + &outs(listed, language)
}

fn outs(listed: &Shortlist, language: Language) -> String {
    if listed.out.is_empty() {
        return String::new();
    }
    let mut text = language.pick("\nOut:\n", "\nScheiden aus:\n").to_owned();
    let (together, single): (Vec<&OutKit>, Vec<&OutKit>) =
        listed.out.iter().partition(|out| out.kit.contains('+'));
    for out in single {
        let words = format!("{}: {}{}", out.kit, says(language, &out.because), further(out, language));
        text += &line(2, &words);
    }
    if !together.is_empty() {
        let count = together.len();
        text += &language.pick(
            format!("  and {count} of springs with dampers of another kit\n"),
            format!("  und {count} aus Federn mit Dämpfern eines anderen Satzes\n"),
        );
    }
    text
}

/// How many further rules put a kit out.
fn further(out: &OutKit, language: Language) -> String {
    match out.also.len() {
        0 => String::new(),
        count => language.pick(
            format!(" And {}.", wording::counted(count, "further rule", "further rules")),
            format!(" Und {}.", wording::counted(count, "weitere Regel", "weitere Regeln")),
        ),
    }
}

/// A folded line, indented.
fn line(indent: usize, words: &str) -> String {
    format!("{}\n", folded(&format!("{}{words}", " ".repeat(indent)), indent + 2))
}

fn head(wish: &Wish, language: Language) -> String {
    let mm = wish.drop_against_today_mm.map_or_else(|| "-".to_owned(), whole);
    let state = load_state(language, wish.state);
    match wish.kind {
        WishKind::Drop => language.pick(
            format!("Kits by a drop of {mm} mm against today, {state}:"),
            format!("Sätze nach einer Tieferlegung von {mm} mm gegenüber heute, {state}:"),
        ),
        WishKind::Level => language.pick(
            format!("Kits by a level load floor, {state}:"),
            format!("Sätze nach waagerechtem Ladeboden, {state}:"),
        ),
        WishKind::Travel => language.pick(
            format!("Kits by bump travel left before metal, fully laden, {state}:"),
            format!("Sätze nach Einfederweg bis Metall, voll beladen, {state}:"),
        ),
        WishKind::LoadReserve => language
            .pick("Kits by load left to the plates, fully laden:", "Sätze nach Lastreserve, voll beladen:")
            .to_owned(),
        WishKind::Clearance => language
            .pick("Kits by ground clearance, fully laden:", "Sätze nach Bodenfreiheit, voll beladen:")
            .to_owned(),
        WishKind::Comfort => language.pick(
            format!("Kits by comfort against new original parts, {state}:"),
            format!("Sätze nach Komfort gegenüber neuen Serienteilen, {state}:"),
        ),
    }
}

/// A column of the shortlist.
type Column<'a> = (&'a str, Box<dyn Fn(&KitOption) -> String + 'a>);

fn options(options: &[&KitOption], wish: &Wish, total_head: &str, language: Language) -> String {
    let dash = |figure: &Option<Figure>| figure.as_ref().map_or_else(|| "-".to_owned(), ranged);
    let (reserve, clearance) = (wish.counts(WishKind::LoadReserve), wish.counts(WishKind::Clearance));
    let columns: [(bool, Column); 10] = [
        (true, (language.pick("drop mm", "tiefer mm"), Box::new(|o| ranged(&o.drop_against_today_mm)))),
        (true, (language.pick("level mm", "Niveau mm"), Box::new(|o| ranged(&o.level_mm)))),
        (
            true,
            (
                language.pick("metal laden", "Metall voll"),
                Box::new(|o| ranged(&o.least_bump_travel_to_metal_mm)),
            ),
        ),
        (reserve, (language.pick("reserve kg", "Reserve kg"), Box::new(|o| dash(&o.load_reserve_kg)))),
        (clearance, (language.pick("ground mm", "Boden mm"), Box::new(|o| dash(&o.ground_clearance_mm)))),
        (true, (language.pick("shakes %", "rüttelt %"), Box::new(shakes))),
        (true, (language.pick("ramp min", "Bühne min"), Box::new(time))),
        (true, (total_head, Box::new(|o| total(o, language)))),
        (true, (language.pick("do not", "nicht so"), Box::new(do_not_count))),
        (true, ("", Box::new(|o| mark(o, language).to_owned()))),
    ];
    let columns: Vec<Column> =
        columns.into_iter().filter_map(|(shown, column)| shown.then_some(column)).collect();
    let kit = language.pick("kit", "Satz");
    let header: Vec<&str> = [kit].into_iter().chain(columns.iter().map(|(head, _)| *head)).collect();
    let rows = options.iter().enumerate().map(|(k, option)| {
        let kit = format!("{}. {}", k + 1, option.kit.replace('+', "\n     + "));
        [kit].into_iter().chain(columns.iter().map(|(_, of)| of(option))).collect()
    });
    wide_table(&header, rows)
}

fn best(listed: &Shortlist, single: &[&KitOption], language: Language) -> String {
    let mut text = String::new();
    let missing = language.pick("misses a wish", "lässt einen Wunsch offen");
    for option in single.iter().filter(|option| !option.misses.is_empty()) {
        let misses: Vec<String> = option.misses.iter().map(|miss| miss.words(language)).collect();
        text += &line(2, &format!("{} {missing}: {}", option.kit, misses.join("; ")));
    }
    let fails = language.pick("does not hold", "hält nicht");
    for option in single.iter().filter(|option| !option.do_not.is_empty()) {
        text += &line(2, &format!("{} {fails}: {}", option.kit, do_not_hold(language, &option.do_not)));
    }
    for option in single {
        let notes = option.near_misses.iter().filter(|miss| !miss.decided).map(|miss| &miss.words);
        let stays = option.stays.iter().filter(|_| option.family == KitFamily::Dampers);
        let anew = option.about.iter().filter(|_| option.to_buy.is_empty());
        for words in notes.chain(stays).chain(anew) {
            text += &line(2, &format!("{}: {}", option.kit, words.in_language(language)));
        }
    }
    for best in &listed.best_for {
        let wish = WishKind::CHOICES.iter().find(|(name, _)| *name == best.wish);
        let wish = wish.map_or(best.wish, |(_, wish)| wording::wish(language, *wish));
        text += &format!("  {} {wish}: {}\n", language.pick("best for", "am besten für"), best.kit);
    }
    if let Some(kit) = &listed.best_value {
        let words =
            language.pick("best value within the wishes", "günstigster Satz, der alle Wünsche erfüllt");
        text += &format!("  {words}: {kit}\n");
    }
    text
}

fn ask_next(asked: &AskNext, language: Language) -> String {
    let (question, look) = (asked.question.in_language(language), asked.where_to_look.in_language(language));
    let (decides, changes) = (asked.kits_in_or_out, asked.kits_otherwise);
    language.pick(
        format!(
            "Ask next: {question} Look: {look} It decides {decides} kits and changes parts or work of {changes}."
        ),
        format!(
            "Als Nächstes fragen: {question} Hinschauen: {look} Das entscheidet über {decides} Sätze und ändert Teile oder Arbeit bei {changes}."
        ),
    )
}

/// Change of comfort against new original parts; a range that holds zero promises nothing.
fn shakes(option: &KitOption) -> String {
    option.comfort().map_or_else(|| "-".to_owned(), |change| ranged(&change.comfort_change_percent))
}

/// Typical time and the one that nine jobs in ten keep.
fn time(option: &KitOption) -> String {
    option.ramp_time.as_ref().map_or_else(
        || "-".to_owned(),
        |time| format!("{}-{}", whole(time.typical_minutes), whole(time.nine_in_ten_minutes)),
    )
}

/// Total without its currency, which stands in the head.
fn total(option: &KitOption, language: Language) -> String {
    option.quote.as_ref().map_or_else(
        || "-".to_owned(),
        |quote| quote.currency.number(quote.total_minor.unsigned_abs(), language),
    )
}

/// How many checks do not hold; one that fails in several load states counts once.
fn do_not_count(option: &KitOption) -> String {
    match grouped(option.do_not.iter(), Check::is_of_the_same).len() {
        0 => "-".to_owned(),
        count => count.to_string(),
    }
}

fn total_head(listed: &Shortlist, language: Language) -> String {
    let total = language.pick("total", "Summe");
    let sign = listed.options.iter().find_map(|option| Some(option.quote.as_ref()?.currency.sign()));
    sign.map_or_else(|| total.to_owned(), |sign| format!("{total} {sign}"))
}

fn mark(option: &KitOption, language: Language) -> &'static str {
    if option.stopped {
        language.pick("STOP", "HALT")
    } else if option.unbeaten {
        language.pick("unbeaten", "Spitze")
    } else {
        ""
    }
}

fn rules(catalogue: &Catalogue, verdict: &Verdict, language: Language) -> String {
    let mut text = String::new();
    let mut add = |english: &'static str, german: &'static str, words: &str| {
        text += &line(4, &format!("{}: {words}", language.pick(english, german)));
    };
    for warning in &verdict.warnings {
        add("look at it", "ansehen", &says(language, warning));
    }
    for part in &verdict.parts {
        let name = part_name(catalogue, &part.part);
        let words =
            format!("{} × {}: {}", part.quantity, name.in_language(language), says(language, &part.says));
        add("also needed", "dazu nötig", &words);
    }
    for inspection in &verdict.inspections {
        add("inspect", "prüfen", &says(language, inspection));
    }
    for step in &verdict.steps {
        add("step", "Schritt", &says(language, step));
    }
    for caution in &verdict.cautions {
        add("caution", "Vorsicht", &says(language, caution));
    }
    for waits in &verdict.depends_on {
        let fact = catalogue.facts.iter().find(|fact| fact.id == waits.fact);
        let question = fact.map_or(waits.fact.as_str(), |fact| fact.question.in_language(language));
        add("depends on", "hängt ab von", &format!("{question} {}", waits.reason.in_language(language)));
    }
    text
}
