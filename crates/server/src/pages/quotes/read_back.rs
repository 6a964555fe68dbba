//! A quote read back: what its kept answer says of each option, in figures with unit, range and evidence.

use serde_json::Value;
use store::records::{Quote, QuoteOption};
use workshop::facts::Language;
use workshop::price::Currency;
use workshop::wording::{evidence_named, fixed, span};

use super::super::words::PageWords;
use crate::api::quotes::code_of;

/// Letters of the options.
pub(crate) const LETTERS: [&str; 3] = ["A", "B", "C"];

const MINUTES_PER_HOUR: f64 = 60.0;

/// A figure with what stands below it: range and evidence.
#[derive(Clone, PartialEq, Eq)]
pub(crate) struct Told {
    pub(crate) value: String,
    pub(crate) beside: String,
}

impl Told {
    fn bare(value: String) -> Self {
        Self { value, beside: String::new() }
    }

    fn nothing() -> Self {
        Self::bare("–".to_owned())
    }
}

/// A figure of every option, side by side.
pub(crate) struct FigureRow {
    pub(crate) label: &'static str,
    pub(crate) cells: Vec<Told>,
}

/// A line of the bill.
pub(crate) struct LineRow {
    pub(crate) text: String,
    pub(crate) quantity: String,
    pub(crate) net: String,
}

/// One option.
pub(crate) struct OptionRead {
    pub(crate) letter: &'static str,
    pub(crate) title: String,
    pub(crate) taken: bool,
    pub(crate) lines: Vec<LineRow>,
    pub(crate) without_tax: String,
    pub(crate) tax: String,
    pub(crate) total: String,
    pub(crate) deposit: String,
    /// Prices' source.
    pub(crate) prices_source: String,
    pub(crate) spoken: String,
    /// Checks that do not hold, warnings and cautions.
    pub(crate) mind: Vec<String>,
    /// The figures of this option alone, for its own sheet.
    pub(crate) figures: Vec<(&'static str, Told)>,
}

/// Everything a quote says.
pub(crate) struct ReadBack {
    pub(crate) options: Vec<OptionRead>,
    pub(crate) rows: Vec<FigureRow>,
    /// Language in which lines and paragraphs are written.
    pub(crate) written_in: Language,
}

/// Something that changed from one version to the next.
pub(crate) struct Changed {
    pub(crate) what: String,
    pub(crate) before: String,
    pub(crate) now: String,
}

/// A quote with the result of the answer it was made from.
#[derive(Clone, Copy)]
pub(crate) struct Source<'a> {
    pub(crate) quote: &'a Quote,
    pub(crate) result: &'a Value,
}

impl<'a> Source<'a> {
    fn found(&self, kit: &str) -> &'a Value {
        let options = self.result["options"].as_array().map(Vec::as_slice).unwrap_or_default();
        options.iter().find(|option| option["kit"] == kit).unwrap_or(&Value::Null)
    }

    /// Money of the quote.
    fn currency(&self) -> Currency {
        let first = self.quote.options.first().map_or(&Value::Null, |option| self.found(&option.kit));
        Currency { code: self.quote.currency.clone(), ..currency_of(first) }
    }

    /// The language a quote was drafted in: that of the paragraph it holds.
    pub(crate) fn written_in(&self) -> Language {
        let german = self.quote.options.iter().filter_map(|option| {
            self.found(&option.kit)["spoken"]["de"].as_str().filter(|spoken| !spoken.is_empty())
        });
        let is_german = german.clone().any(|spoken| self.quote.read_aloud.contains(spoken));
        if is_german { Language::German } else { Language::English }
    }

    /// Label and figure of every line of the comparison, for one option.
    fn figures(&self, option: &QuoteOption, w: &PageWords, language: Language) -> Vec<(&'static str, Told)> {
        let found = self.found(&option.kit);
        let currency = self.currency();
        let hours = |minutes: Option<f64>| match minutes {
            Some(minutes) => format!("{} {}", fixed(language, minutes / MINUTES_PER_HOUR, 1), w.hours_unit),
            None => "–".to_owned(),
        };
        let time = &found["ramp_time"];
        let of_time = |minutes: Option<f64>| Told {
            value: hours(minutes),
            beside: time["evidence"].as_str().map_or("", |name| evidence_named(language, name)).to_owned(),
        };
        let charged = found["quote"]["lines"].as_array().map(Vec::as_slice).unwrap_or_default();
        let charged = charged.iter().find_map(|line| line["quantity"]["minutes"].as_f64());
        let mut figures: Vec<(&'static str, Told)> = vec![
            (w.lower_than_today, figure(&found["drop_against_today_mm"], "mm", language)),
            (w.level_tail_up, figure(&found["level_mm"], "mm", language)),
            (w.arch_gap_front, figure(&found["arch_gap_mm"][0], "mm", language)),
            (w.arch_gap_rear, figure(&found["arch_gap_mm"][1], "mm", language)),
            (w.travel_to_metal, figure(&found["least_bump_travel_to_metal_mm"], "mm", language)),
        ];
        figures.push((w.load_reserve, figure(&found["load_reserve_kg"], "kg", language)));
        figures.push((w.ground_clearance, figure(&found["ground_clearance_mm"], "mm", language)));
        figures.push((w.ramp_typical, of_time(time["typical_minutes"].as_f64())));
        figures.push((w.ramp_nine, of_time(Some(f64::from(option.ramp_minutes_nine_in_ten)))));
        figures.push((
            w.labour_charged,
            Told::bare(match charged {
                Some(minutes) => {
                    format!("{} {}", fixed(language, minutes / MINUTES_PER_HOUR, 2), w.hours_unit)
                }
                None => "–".to_owned(),
            }),
        ));
        figures.push((w.total, Told::bare(currency.text(option.total_minor, language))));
        figures
    }

    /// Everything the quote says, with labels in a language.
    pub(crate) fn read_back(&self, w: &PageWords, language: Language) -> ReadBack {
        let written_in = self.written_in();
        let currency = self.currency();
        let money = |minor: i64| currency.text(minor, language);
        let mut options = Vec::new();
        for (n, option) in self.quote.options.iter().enumerate() {
            let found = self.found(&option.kit);
            let text = |value: &Value| value[code_of(written_in)].as_str().unwrap_or_default().to_owned();
            let list = |value: &'a Value, part: &'static str| {
                let all = value.as_array().map(Vec::as_slice).unwrap_or_default();
                all.iter().map(move |one| text(&one[part])).filter(|words| !words.is_empty())
            };
            let verdict = &found["verdict"];
            let mut mind: Vec<String> = list(&found["do_not"], "words").collect();
            mind.extend(list(&verdict["warnings"], "reason"));
            mind.extend(list(&verdict["cautions"], "reason"));
            let lines = option.lines.iter().map(|line| LineRow {
                text: line.text.clone(),
                quantity: quantity(line.quantity, language),
                net: money(line.net_minor),
            });
            options.push(OptionRead {
                letter: LETTERS[n.min(2)],
                title: option.title.clone(),
                taken: self.quote.taken == Some(n),
                lines: lines.collect(),
                without_tax: money(option.total_minor - option.tax_minor),
                tax: money(option.tax_minor),
                total: money(option.total_minor),
                deposit: found["quote"]["deposit_minor"].as_i64().map(&money).unwrap_or_default(),
                prices_source: found["quote"]["prices_source"].as_str().unwrap_or_default().to_owned(),
                spoken: text(&found["spoken"]),
                mind,
                figures: self.figures(option, w, language),
            });
        }
        ReadBack { rows: rows(&options), options, written_in }
    }

    /// What is otherwise in this version than in an earlier one.
    pub(crate) fn changes_since(&self, earlier: &Self, w: &PageWords, language: Language) -> Vec<Changed> {
        let mut changes = Vec::new();
        let mut note = |what: String, before: &str, now: &str| {
            if before != now {
                changes.push(Changed { what, before: before.to_owned(), now: now.to_owned() });
            }
        };
        for option in &self.quote.options {
            let now = self.figures(option, w, language);
            let same = |other: &&QuoteOption| other.kit == option.kit;
            match earlier.quote.options.iter().find(same) {
                Some(before) => {
                    let before = earlier.figures(before, w, language);
                    for ((label, now), (_, before)) in now.iter().zip(&before) {
                        note(format!("{}: {label}", option.title), &whole_of(before), &whole_of(now));
                    }
                }
                None => note(option.title.clone(), "–", &total_of(&now)),
            }
        }
        for gone in &earlier.quote.options {
            if self.quote.options.iter().all(|option| option.kit != gone.kit) {
                note(gone.title.clone(), &total_of(&earlier.figures(gone, w, language)), "–");
            }
        }
        note(w.valid_until.to_owned(), &earlier.quote.valid_until, &self.quote.valid_until);
        changes
    }
}

/// Money of an option of an answer.
pub(crate) fn currency_of(option: &Value) -> Currency {
    let currency = &option["quote"]["currency"];
    let digits = currency["minor_digits"].as_u64().and_then(|digits| u8::try_from(digits).ok());
    Currency {
        code: currency["code"].as_str().unwrap_or_default().to_owned(),
        minor_digits: digits.unwrap_or(2),
    }
}

/// Rows of which at least one option has a figure.
fn rows(options: &[OptionRead]) -> Vec<FigureRow> {
    let count = options.first().map_or(0, |option| option.figures.len());
    let row = |n: usize| FigureRow {
        label: options[0].figures[n].0,
        cells: options.iter().map(|option| option.figures[n].1.clone()).collect(),
    };
    let told = |row: &FigureRow| row.cells.iter().any(|cell| *cell != Told::nothing());
    (0..count).map(row).filter(told).collect()
}

fn whole_of(told: &Told) -> String {
    if told.beside.is_empty() { told.value.clone() } else { format!("{} ({})", told.value, told.beside) }
}

fn total_of(figures: &[(&'static str, Told)]) -> String {
    figures.last().map(|(_, told)| told.value.clone()).unwrap_or_default()
}

/// A figure of an answer; a dash where it tells none.
pub(super) fn figure(found: &Value, unit: &str, language: Language) -> Told {
    let [value, low, high] = ["value", "low", "high"].map(|part| found[part].as_f64());
    let Some(((value, low), high)) = value.zip(low).zip(high) else { return Told::nothing() };
    let from = found["evidence"].as_str().map_or("", |name| evidence_named(language, name));
    let range = if high > low { format!("{} {unit}, ", span(language, low, high, 0)) } else { String::new() };
    Told { value: format!("{} {unit}", fixed(language, value, 0)), beside: format!("{range}{from}") }
}

/// A quantity of pieces or hours, without needless decimals.
fn quantity(value: f64, language: Language) -> String {
    let decimals = if value.fract() == 0.0 { 0 } else { 2 };
    fixed(language, value, decimals)
}
