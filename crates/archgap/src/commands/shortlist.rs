//! `archgap shortlist ENQUIRY.toml` and `archgap compare ENQUIRY.toml A B`

use workshop::answer::KnownVan;
use workshop::enquiry::{Wish, WishKind};
use workshop::facts::Language;
use workshop::fitting::{RuleSays, Verdict};
use workshop::kit::KitFamily;
use workshop::shortlist::{KitOption, OutKit, Shortlist, compared, shortlist};

use super::json_of;
use crate::By;
use crate::data::{DataSource, Trouble};
use crate::tables::{fixed, folded, ranged, table};

pub(crate) fn run(
    source: &DataSource,
    named: &str,
    by: Option<By>,
    language: Language,
    json: bool,
) -> Result<String, Trouble> {
    let (listed, wish) = listed(source, named, by)?;
    if json { json_of(&listed) } else { Ok(shown(&listed, &wish, language)) }
}

/// `archgap compare`: what changes if B is chosen instead of A.
pub(crate) fn compare(
    source: &DataSource,
    named: &str,
    a: &str,
    b: &str,
    json: bool,
) -> Result<String, Trouble> {
    let (listed, _) = listed(source, named, None)?;
    let found = |id: &str| {
        listed.options.iter().find(|option| option.kit == id).ok_or_else(|| {
            let out = listed.out.iter().find(|out| out.kit == id);
            let found = out.map_or_else(
                || format!("\"{id}\""),
                |out| format!("\"{id}\", which is out: {}", out.because.reason.en),
            );
            let single = listed.options.iter().filter(|option| option.family != KitFamily::Combination);
            let ids: Vec<&str> = single.map(|option| option.kit.as_str()).collect();
            Trouble::NotFound(format!("compare: found {found}, allowed one of {}", ids.join(", ")))
        })
    };
    let words = compared(found(a)?, found(b)?);
    if json {
        return json_of(&words);
    }
    Ok(format!(
        "{b} instead of {a}:\n{}",
        words.iter().map(|w| folded(&format!("  {w}"), 4)).collect::<Vec<_>>().join("\n")
    ))
}

fn listed(source: &DataSource, named: &str, by: Option<By>) -> Result<(Shortlist, Wish), Trouble> {
    let catalogue = source.catalogue()?;
    let enquiry = source.enquiry(&catalogue, named)?;
    let mut wish = enquiry.wish;
    match by {
        Some(By::Drop) => wish.kind = WishKind::Drop,
        Some(By::Level) => wish.kind = WishKind::Level,
        Some(By::Travel) => wish.kind = WishKind::Travel,
        None => {}
    }
    Ok((shortlist(&KnownVan::of(&catalogue, &enquiry)?, &wish)?, wish))
}

fn shown(listed: &Shortlist, wish: &Wish, language: Language) -> String {
    let wished = match wish.kind {
        WishKind::Drop => format!("a drop of {} mm against today", fixed(wish.drop_against_today_mm, 0)),
        WishKind::Level => "a level load floor".to_owned(),
        WishKind::Travel => "bump travel left before metal, fully laden".to_owned(),
    };
    let row = |(k, option): (usize, &KitOption)| {
        vec![
            format!("{}. {}", k + 1, option.kit.replace('+', "\n     + ")),
            ranged(&option.drop_against_today_mm),
            ranged(&option.level_mm),
            ranged(&option.least_bump_travel_to_metal_mm),
            time(option),
            total(option, language),
            mark(option),
        ]
    };
    let (together, single): (Vec<&KitOption>, Vec<&KitOption>) =
        listed.options.iter().partition(|option| option.family == KitFamily::Combination);
    let header = ["kit", "drop mm", "level mm", "metal laden", "ramp min", &total_head(listed), ""];
    let mut text: String = listed
        .stops_today
        .iter()
        .map(|words| format!("{}\n", folded(&format!("STOP, whatever is fitted: {words}"), 2)))
        .collect();
    text += &format!(
        "Kits by {wished}, {}:\n{}\n",
        wish.state.name(),
        table(&header, single.iter().copied().enumerate().map(row))
    );
    if !together.is_empty() {
        let best = together.iter().copied().take(MOST_TOGETHER).enumerate().map(row);
        let head = format!("Springs with dampers of another kit, the best of {}:", together.len());
        text += &format!("{head}\n{}\n", table(&header, best));
    }
    for option in single.iter().filter(|option| !option.misses.is_empty()) {
        text += &format!(
            "{}\n",
            folded(&format!("  {} misses a wish: {}", option.kit, option.misses.join("; ")), 4)
        );
    }
    for option in &single {
        let notes = option.near_misses.iter().filter(|miss| !miss.decided).map(|miss| miss.words.clone());
        let stays = option.stays.iter().filter(|_| option.family == KitFamily::Dampers);
        let stays = stays.map(|words| words.in_language(language).to_owned());
        let anew = option.about.iter().filter(|_| option.to_buy.is_empty());
        let anew = anew.map(|words| words.in_language(language).to_owned());
        for words in notes.chain(stays).chain(anew) {
            text += &format!("{}\n", folded(&format!("  {}: {words}", option.kit), 4));
        }
    }
    for best in &listed.best_for {
        text += &format!("  best for {}: {}\n", best.wish, best.kit);
    }
    if let Some(kit) = &listed.best_value {
        text += &format!("  best value within the wishes: {kit}\n");
    }
    if let Some(asked) = &listed.ask_next {
        let words = format!(
            "  Ask next: {} Look: {} It decides {} kits and changes parts or work of {}.",
            asked.question.in_language(language),
            asked.where_to_look.in_language(language),
            asked.kits_in_or_out,
            asked.kits_otherwise
        );
        text += &format!("{}\n", folded(&words, 4));
    }
    text += "\nTo be read out:\n";
    for option in single.iter().take(3).chain(together.iter().take(1)) {
        text += &format!("{}\n", folded(&format!("  {}: {}", option.kit, option.spoken), 4));
        text += &rules(&option.verdict, language);
    }
    if !listed.out.is_empty() {
        text += "\nOut:\n";
    }
    let (together, single): (Vec<&OutKit>, Vec<&OutKit>) =
        listed.out.iter().partition(|out| out.kit.contains('+'));
    for out in single {
        text += &format!(
            "{}\n",
            folded(&format!("  {}: {}{}", out.kit, says(&out.because, language), further(out)), 4)
        );
    }
    if !together.is_empty() {
        text += &format!("  and {} of springs with dampers of another kit\n", together.len());
    }
    text
}

/// How many further rules put a kit out.
fn further(out: &OutKit) -> String {
    if out.also.is_empty() { String::new() } else { format!(" And by {} more.", out.also.len()) }
}

/// Combinations that are listed.
const MOST_TOGETHER: usize = 5;

/// Typical time and the one that nine jobs in ten keep.
fn time(option: &KitOption) -> String {
    option.ramp_time.as_ref().map_or_else(
        || "-".to_owned(),
        |time| format!("{}-{}", fixed(time.typical_minutes, 0), fixed(time.nine_in_ten_minutes, 0)),
    )
}

/// Total without its currency, which stands in the head.
fn total(option: &KitOption, language: Language) -> String {
    option.quote.as_ref().map_or_else(
        || "-".to_owned(),
        |quote| {
            let text = quote.currency.text(quote.total_minor, language);
            text.replace(&quote.currency.code, "").trim().to_owned()
        },
    )
}

fn total_head(listed: &Shortlist) -> String {
    let code = listed.options.iter().find_map(|option| Some(&option.quote.as_ref()?.currency.code));
    code.map_or_else(|| "total".to_owned(), |code| format!("total {code}"))
}

fn mark(option: &KitOption) -> String {
    let mark = if option.stopped {
        "STOP"
    } else if option.unbeaten {
        "unbeaten"
    } else {
        ""
    };
    mark.to_owned()
}

/// A rule's reason with what met it and its source.
fn says(rule: &RuleSays, language: Language) -> String {
    let because =
        if rule.because.is_empty() { String::new() } else { format!(" ({})", rule.because.join("; ")) };
    format!("{}{because} [{}]", rule.reason.in_language(language), rule.source)
}

fn rules(verdict: &Verdict, language: Language) -> String {
    let mut lines = Vec::new();
    for warning in &verdict.warnings {
        lines.push(format!("look at it: {}", says(warning, language)));
    }
    for part in &verdict.parts {
        lines.push(format!("also needed: {} × {}: {}", part.quantity, part.part, says(&part.says, language)));
    }
    for inspection in &verdict.inspections {
        lines.push(format!("inspect: {}", says(inspection, language)));
    }
    for step in &verdict.steps {
        lines.push(format!("step: {}", says(step, language)));
    }
    for caution in &verdict.cautions {
        lines.push(format!("caution: {}", says(caution, language)));
    }
    for waits in &verdict.depends_on {
        lines.push(format!("depends on {}: {}", waits.fact, waits.reason.in_language(language)));
    }
    lines.iter().map(|line| format!("{}\n", folded(&format!("    {line}"), 6))).collect()
}
