//! What stands behind a price and a time.

use crate::facts::Language;
use crate::price::{Line, Quantity, Quote};
use crate::ramp_time::{Operation, RampTime};
use crate::wording::{fixed, source, whole};

/// A line of a quote.
pub(crate) fn quote_line(language: Language, quote: &Quote, line: &Line) -> String {
    let unit = quote.currency.text(line.unit_price_minor, language);
    let times = match line.quantity {
        Quantity::Pieces(count) => format!("{count} × {unit}"),
        Quantity::Minutes(minutes) => {
            format!("{minutes} min × {unit}{}", language.pick(" an hour", " je Stunde"))
        }
    };
    let amount = quote.currency.text(line.amount_minor, language);
    format!("{}: {times} = {amount} ({})", line.name.in_language(language), line.source.words(language))
}

/// Sums of a quote: lines, tax, total, deposit and rest.
pub(crate) fn quote_sums(language: Language, quote: &Quote) -> [String; 3] {
    let amount = |minor: i64| quote.currency.text(minor, language);
    let percent =
        language.pick(quote.tax_percent.to_string(), quote.tax_percent.to_string().replace('.', ","));
    let (sum, tax, total) =
        (amount(quote.without_tax_minor), amount(quote.tax_minor), amount(quote.total_minor));
    let (deposit, rest) = (amount(quote.deposit_minor), amount(quote.rest_minor));
    let name = quote.tax_name.in_language(language);
    [
        language.pick(format!("sum of the lines {sum}"), format!("Summe der Zeilen {sum}")),
        language.pick(
            format!("{name}, {percent} % of {sum}: {tax}; total {total}"),
            format!("{name}, {percent} % von {sum}: {tax}; Summe {total}"),
        ),
        language.pick(format!("deposit {deposit}, rest {rest}"), format!("Anzahlung {deposit}, Rest {rest}")),
    ]
}

/// Where the prices come from and how long they hold.
pub(crate) fn prices_from(language: Language, quote: &Quote) -> String {
    let from = &quote.prices_source;
    let words = language.pick(format!("price list: {from}"), format!("Preisliste: {from}"));
    match quote.valid_until.as_str() {
        "" => words,
        day => format!("{words}; {} {day}", language.pick("valid until", "gültig bis")),
    }
}

/// An operation with its three points.
pub(crate) fn operation(language: Language, operation: &Operation, times: u32) -> String {
    let name = operation.name.in_language(language);
    let [least, likely, most] =
        [operation.least_minutes, operation.likely_minutes, operation.most_minutes].map(whole);
    let mean = fixed(language, f64::from(times) * operation.mean_minutes(), 1);
    let from = source(language, &operation.source);
    language.pick(
        format!("{times} × {name}: least {least}, likely {likely}, most {most} min; mean {mean} min [{from}]"),
        format!(
            "{times} × {name}: mindestens {least}, wahrscheinlich {likely}, höchstens {most} min; Mittel {mean} min [{from}]"
        ),
    )
}

/// Sum of the operations.
pub(crate) fn time_sum(language: Language, time: &RampTime) -> [String; 2] {
    let [mean, sd, typical, most] =
        [time.mean_minutes, time.sd_minutes, time.typical_minutes, time.nine_in_ten_minutes]
            .map(|minutes| fixed(language, minutes, 1));
    [
        language.pick(
            format!("sum of the means {mean} min, standard deviation {sd} min"),
            format!("Summe der Mittel {mean} min, Standardabweichung {sd} min"),
        ),
        language.pick(
            format!("half of such jobs take no longer than {typical} min, nine in ten no longer than {most} min"),
            format!("die Hälfte solcher Aufträge dauert höchstens {typical} min, neun von zehn höchstens {most} min"),
        ),
    ]
}
