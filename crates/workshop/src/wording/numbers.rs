//! Numbers as they are read: decimal comma in German, no minus before zero.

use crate::facts::Language;
use crate::figure::Figure;

/// A number with a fixed count of decimals.
pub fn fixed(language: Language, value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| c == '0' || c == '.') => digits.to_owned(),
        _ => text,
    };
    language.pick(text.clone(), text.replace('.', ","))
}

/// A whole number, the same in every language.
pub fn whole(value: f64) -> String {
    fixed(Language::English, value, 0)
}

/// A number with its sign, also where it is positive.
pub fn signed(language: Language, value: f64, decimals: usize) -> String {
    let text = fixed(language, value, decimals);
    let is_zero = text.chars().all(|c| "0.,".contains(c));
    if is_zero || text.starts_with('-') { text } else { format!("+{text}") }
}

/// A figure with half the width of its range: `39 ± 4`.
pub fn ranged(figure: &Figure) -> String {
    if figure.half_width() > 0.0 {
        format!("{} ± {}", whole(figure.value), whole(figure.half_width()))
    } else {
        whole(figure.value)
    }
}

/// From one number to another: `35 to 43`.
pub fn span(language: Language, low: f64, high: f64, decimals: usize) -> String {
    let to = language.pick("to", "bis");
    format!("{} {to} {}", fixed(language, low, decimals), fixed(language, high, decimals))
}

/// A figure with the ends of its range: `39 mm (35 to 43)`.
pub fn with_range(language: Language, figure: &Figure, unit: &str, decimals: usize) -> String {
    let value = fixed(language, figure.value, decimals);
    format!("{value} {unit} ({})", span(language, figure.low, figure.high, decimals))
}

/// Things counted, with the word for one or for several.
pub fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}
