//! How a person reads figures. Sentences are formed and kept metric, in the numbers of their language; here they become
//! what the person who reads them has chosen, and a number in a box what that person would type.
//!
//! Only what stands with its unit is a measure: the number before the unit, those joined to it (`28 and 30 kg`,
//! `35 to 43 mm`, `39 ± 4 mm`), and its range behind it (`39 mm (35 to 43)`). All else keeps its value. A figure is
//! never rounded coarser than the metric one was.

use super::{fixed, shortly};
use crate::facts::Language;
use crate::typed::{Asked, Typed};
use crate::units::{OtherUnit, Units};

/// Sign between a whole number and its decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecimalSign {
    /// `12.5`
    Point,
    /// `12,5`
    Comma,
}

impl DecimalSign {
    /// Names in forms and records.
    pub const CHOICES: [(&'static str, Self); 2] = [("point", Self::Point), ("comma", Self::Comma)];

    /// That of a language.
    pub fn of(language: Language) -> Self {
        language.pick(Self::Point, Self::Comma)
    }

    fn sign(self) -> char {
        if self == Self::Point { '.' } else { ',' }
    }

    /// The sign between thousands that goes with it.
    fn of_groups(self) -> char {
        if self == Self::Point { ',' } else { '.' }
    }
}

/// Language, units and decimal sign of a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Manner {
    /// Language.
    pub language: Language,
    /// Units.
    pub units: Units,
    /// Decimal sign; that of the language where none was chosen.
    pub decimal: Option<DecimalSign>,
}

impl From<Language> for Manner {
    fn from(language: Language) -> Self {
        Self { language, units: Units::Metric, decimal: None }
    }
}

impl Manner {
    fn decimal_sign(self) -> DecimalSign {
        self.decimal.unwrap_or_else(|| DecimalSign::of(self.language))
    }

    /// A number as short as it can be written, in the unit that is shown instead of the one it is kept in: what stands
    /// in a box.
    pub fn boxed(self, value: f64, asked: Asked) -> String {
        let shown = match self.units.instead_of(asked.unit()) {
            // a digit more than where figures are shown, so that what is opened and saved stays what it was
            Some(unit) => {
                let steps = 10_f64.powi((unit.finer + 1).max(1));
                (value / unit.is * steps).round() / steps
            }
            None => value,
        };
        let shown = shortly(Language::English, shown);
        shown.replace('.', &self.decimal_sign().sign().to_string())
    }

    /// What was understood of a number that was typed otherwise than it is kept, in the units shown and as kept.
    pub fn understood(self, typed: Typed, asked: Asked) -> String {
        let one = |value: f64, units: Units| {
            let number = Self { units, ..self }.boxed(value, asked);
            format!("{number} {}", units.symbol(asked.unit(), self.language)).trim_end().to_owned()
        };
        let words = match self.units.instead_of(asked.unit()) {
            Some(_) => {
                let tenths = (10.0 * typed.value).round() / 10.0;
                format!("{} = {}", one(typed.value, self.units), one(tenths, Units::Metric))
            }
            None => one(typed.value, Units::Metric),
        };
        self.language.pick(format!("Understood: {words}"), format!("Verstanden: {words}"))
    }

    /// A name as it stays for whoever reads in other units: what looks like a measure in it is held together by a
    /// no-break space, and only a number with a plain space before its unit is a measure.
    pub fn kept_name(name: &str) -> String {
        let inches = Self { units: Units::Inches, ..Language::English.into() };
        if inches.sentence(name) == name { name.to_owned() } else { name.replace(' ', "\u{a0}") }
    }

    /// A sentence, or several, as this person reads it.
    pub fn sentence(self, text: &str) -> String {
        self.told(text, false)
    }

    /// The same for a paper: what stands there stays, and what this person reads stands in brackets behind it.
    pub fn sentence_beside(self, text: &str) -> String {
        self.told(text, true)
    }

    fn told(self, text: &str, beside: bool) -> String {
        let numbers = numbers(text, DecimalSign::of(self.language));
        let measures = measures(text, &numbers, self.units);
        let (mut out, mut at) = (String::new(), 0);
        let mut next = 0;
        for measure in &measures {
            out += &self.renumbered(text, &numbers[next..measure.first], at..measure.from);
            out += &self.measure(text, &numbers[measure.first..=measure.last], measure, beside);
            (at, next) = (measure.to, measure.last + 1);
        }
        out += &self.renumbered(text, &numbers[next..], at..text.len());
        out
    }

    /// A cell whose numbers are in a unit that its head names, or such a head.
    pub fn cell(self, text: &str, metric: &str) -> String {
        self.told_in(text, metric, false)
    }

    /// The same for a paper.
    pub fn cell_beside(self, text: &str, metric: &str) -> String {
        self.told_in(text, metric, true)
    }

    fn told_in(self, text: &str, metric: &str, beside: bool) -> String {
        let Some(unit) = self.units.instead_of(metric) else { return self.told(text, beside) };
        if let Some(at) = symbol_at(text, metric) {
            let (before, after) = (&text[..at], &text[at + metric.len()..]);
            let symbol = unit.symbol(self.language);
            let shown = if beside { format!("{metric} ({symbol})") } else { symbol.to_owned() };
            return format!("{before}{shown}{after}");
        }
        let numbers = numbers(text, DecimalSign::of(self.language));
        let (Some(first), Some(last)) = (numbers.first(), numbers.last()) else { return text.to_owned() };
        let all = Measure { first: 0, last: numbers.len() - 1, from: first.from, to: last.to, unit };
        let measure = self.measure(text, &numbers, &all, beside);
        format!("{}{measure}{}", &text[..first.from], &text[last.to..])
    }

    /// Text with its numbers in this person's decimal sign.
    fn renumbered(self, text: &str, numbers: &[Number], span: std::ops::Range<usize>) -> String {
        let (mut out, mut at) = (String::new(), span.start);
        for number in numbers {
            out += &text[at..number.from];
            out += &self.signs_of(&text[number.from..number.to]);
            at = number.to;
        }
        out + &text[at..span.end]
    }

    fn signs_of(self, number: &str) -> String {
        let (was, is) = (DecimalSign::of(self.language), self.decimal_sign());
        let sign = |c: char| match c {
            c if c == was.sign() => is.sign(),
            c if c == was.of_groups() => is.of_groups(),
            c => c,
        };
        number.chars().map(sign).collect()
    }

    fn measure(self, text: &str, numbers: &[Number], measure: &Measure, beside: bool) -> String {
        let (mut out, mut at) = (String::new(), measure.from);
        let symbol = measure.unit.symbol(self.language);
        for number in numbers {
            out += &text[at..number.from];
            out += &self.in_unit(number, measure.unit);
            at = number.to;
            if unit_after(text, at, measure.unit) {
                out += &format!(" {symbol}");
                at += 1 + measure.unit.metric.len();
            }
        }
        out += &text[at..measure.to];
        if !beside {
            return out;
        }
        let metric = self.renumbered(text, numbers, measure.from..measure.to);
        let [open, close] = if out.contains('(') { ['[', ']'] } else { ['(', ')'] };
        format!("{metric} {open}{out}{close}")
    }

    fn in_unit(self, number: &Number, unit: &OtherUnit) -> String {
        let decimals = usize::try_from(number.decimals as i32 + unit.finer).unwrap_or(0);
        let shown = fixed(Language::English, number.value / unit.is, decimals);
        let plus = if number.plus && !shown.starts_with('-') { "+" } else { "" };
        format!("{plus}{}", shown.replace('.', &self.decimal_sign().sign().to_string()))
    }
}

/// A number in a text.
struct Number {
    /// Where it begins, its sign included, and ends.
    from: usize,
    to: usize,
    value: f64,
    decimals: usize,
    /// Whether its sign is written though it is positive.
    plus: bool,
    signed: bool,
}

/// Numbers that stand for themselves: not those of dates, names, standards, sizes or addresses.
fn numbers(text: &str, decimal: DecimalSign) -> Vec<Number> {
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let char_at = |k: usize| chars.get(k).map(|(_, c)| *c);
    let before = |k: usize| k.checked_sub(1).and_then(char_at);
    let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let (mut found, mut k) = (Vec::new(), 0);
    while k < chars.len() {
        if !is_digit(char_at(k)) {
            k += 1;
            continue;
        }
        let mut end = k;
        while is_digit(char_at(end)) || matches!(char_at(end), Some('.' | ',')) && is_digit(char_at(end + 1))
        {
            end += 1;
        }
        let written: String = chars[k..end].iter().map(|(_, c)| *c).collect();
        let sign = before(k).filter(|c| "+-\u{2212}".contains(*c));
        // a hyphen between two words or numbers is no sign
        let signed = sign.is_some() && !before(k - 1).is_some_and(char::is_alphanumeric);
        let first = if signed { k - 1 } else { k };
        let part_of_more = |c: char| c.is_alphanumeric() || ".:/#&_-".contains(c);
        let glued = before(first).is_some_and(part_of_more)
            || char_at(end).is_some_and(|c| c.is_alphanumeric() || c == '_')
            || matches!(char_at(end), Some('/' | ':' | '-'))
                && char_at(end + 1).is_some_and(char::is_alphanumeric);
        if let Some((size, decimals)) = plain(&written, decimal).filter(|_| !glued) {
            let minus = signed && sign != Some('+');
            found.push(Number {
                from: chars[first].0,
                to: chars.get(end).map_or(text.len(), |(at, _)| *at),
                value: if minus { -size } else { size },
                decimals,
                plus: signed && !minus,
                signed,
            });
        }
        k = end;
    }
    found
}

/// Value and count of decimals of digits with at most one decimal sign, thousands parted or not.
fn plain(written: &str, decimal: DecimalSign) -> Option<(f64, usize)> {
    let (whole, part) = written.split_once(decimal.sign()).unwrap_or((written, ""));
    let mut groups = whole.split(decimal.of_groups());
    let first = groups.next()?;
    let rest: Vec<&str> = groups.collect();
    let grouped = rest.is_empty() || (first.len() <= 3 && rest.iter().all(|group| group.len() == 3));
    if !grouped || part.contains(['.', ',']) {
        return None;
    }
    let value = format!("{first}{}.{part}0", rest.concat()).parse().ok()?;
    Some((value, part.len()))
}

/// Numbers that belong together, with their unit.
struct Measure {
    first: usize,
    last: usize,
    from: usize,
    to: usize,
    unit: &'static OtherUnit,
}

/// Words and signs between numbers of one unit.
const JOINED_BY: [&str; 15] = [
    " to ", " bis ", " and ", " und ", " or ", " oder ", " of ", " von ", " auf ", " ± ", " + ", "–", " – ",
    " / ", "-",
];
/// Those between the ends of a range.
const RANGE: [&str; 4] = [" to ", " bis ", "–", " – "];

fn measures(text: &str, numbers: &[Number], units: Units) -> Vec<Measure> {
    let mut found: Vec<Measure> = Vec::new();
    let mut free = 0;
    let mut k = 0;
    while k < numbers.len() {
        let Some(unit) = units.all().iter().find(|unit| unit_after(text, numbers[k].to, unit)) else {
            k += 1;
            continue;
        };
        let mut first = k;
        while first > free && joined(text, &numbers[first - 1], &numbers[first]) {
            first -= 1;
        }
        let end = numbers[k].to + 1 + unit.metric.len();
        let (last, to) = range_behind(text, numbers, k, end);
        found.push(Measure { first, last, from: numbers[first].from, to, unit });
        (free, k) = (last + 1, last + 1);
    }
    found
}

/// Whether a unit stands behind a number, a space between them.
fn unit_after(text: &str, at: usize, unit: &OtherUnit) -> bool {
    let Some(rest) = text[at..].strip_prefix(' ') else { return false };
    rest.strip_prefix(unit.metric).is_some_and(|rest| !rest.starts_with(goes_on))
}

fn goes_on(c: char) -> bool {
    c.is_alphanumeric() || "/°·".contains(c)
}

fn joined(text: &str, one: &Number, other: &Number) -> bool {
    let between = &text[one.to..other.from];
    JOINED_BY.contains(&between) || (one.signed && other.signed && [", ", "; "].contains(&between))
}

/// The last number and the end of what stands behind a figure with its unit: `± 4`, `(± 4)`, `(35 to 43)`.
fn range_behind(text: &str, numbers: &[Number], of: usize, end: usize) -> (usize, usize) {
    let begins = |lead: &str| numbers.get(of + 1).filter(|next| &text[end..next.from] == lead);
    if let Some(next) = begins(" ± ")
        && !text[next.to..].trim_start().starts_with(|c: char| c == '%' || c.is_alphabetic())
    {
        return (of + 1, next.to);
    }
    if begins(" (").or_else(|| begins(" (± ")).is_none() {
        return (of, end);
    }
    let mut last = of + 1;
    while numbers.get(last + 1).is_some_and(|next| RANGE.contains(&&text[numbers[last].to..next.from])) {
        last += 1;
    }
    match text[numbers[last].to..].chars().next() {
        Some(')') => (last, numbers[last].to + 1),
        Some(',' | ';') => (last, numbers[last].to),
        _ => (of, end),
    }
}

/// Where a text names a unit as a word of its own.
fn symbol_at(text: &str, metric: &str) -> Option<usize> {
    text.match_indices(metric).map(|(at, _)| at).find(|at| {
        let (before, after) = (&text[..*at], &text[at + metric.len()..]);
        !before.ends_with(goes_on) && !after.starts_with(goes_on)
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::document::range;
    use crate::typed::read_typed_in;

    fn inches(language: Language) -> Manner {
        Manner { units: Units::Inches, ..language.into() }
    }

    #[test]
    fn law_a_measure_in_a_name_stays_and_other_names_keep_their_spaces() {
        for name in ["Sorvel long, 3050 kg", "Low 40 mm", "Coils 35 N/mm, 30 mm lower"] {
            let kept = Manner::kept_name(name);
            assert_eq!(kept.replace('\u{a0}', " "), name);
            let sentence = format!("{kept} stands 12 mm lower");
            assert_eq!(inches(Language::English).sentence(&sentence), format!("{kept} stands 0.47 in lower"));
        }
        assert_eq!(Manner::kept_name("Low and firm 2"), "Low and firm 2");
    }

    #[test]
    fn law_a_measure_is_converted_with_all_that_is_joined_to_it_and_nothing_else_is() {
        let english = [
            ("It stands 39 mm lower.", "It stands 1.54 in lower."),
            ("39 mm (35 to 43)", "1.54 in (1.38 to 1.69)"),
            ("39 ± 4 mm, 5 % of it", "1.54 ± 0.16 in, 5 % of it"),
            ("wish 40 mm ± 5", "wish 1.57 in ± 0.20"),
            ("level 3 mm (± 4)", "level 0.12 in (± 0.16)"),
            ("4 mm (35 %)", "0.16 in (35 %)"),
            ("front 1200 and 900 kg", "front 2646 and 1984 lb"),
            ("1120 + 865 kg", "2469 + 1907 lb"),
            ("apart -3, +4, 0, 12 kg", "apart -3, +4, 0, 26 lb"),
            ("apart -3, +4, +5, -12 kg", "apart -7, +9, +11, -26 lb"),
            ("load index 103 carries 1,750 kg", "load index 103 carries 3858 lb"),
            ("rate 35.0 N/mm, 120 N, 12 Nm, 3 Nm/°", "rate 200 lbf/in, 27 lbf, 9 lbf ft, 2 lbf ft/°"),
            ("3.4 bar at 100 km/h", "49 psi at 62 mph"),
            ("a hump of 3.7 m by 100 mm", "a hump of 12.1 ft by 3.94 in"),
            ("0.42 m/s² and 120 N/mm² stay", "0.42 m/s² and 120 N/mm² stay"),
            ("ISO 2631-1, 215/65 R16C 109/107, M12 x 1.5", "ISO 2631-1, 215/65 R16C 109/107, M12 x 1.5"),
            ("about 39 millimetres, 1 millimetre", "about 1.54 inches, 0.04 inches"),
            ("4&#39;5 and &#60;3 mm", "4&#39;5 and &#60;0.12 in"),
        ];
        for (metric, shown) in english {
            assert_eq!(inches(Language::English).sentence(metric), shown);
        }
        let german = [
            ("39,5 mm (35,0 bis 43,0), am 26.11.2026", "1,555 Zoll (1,378 bis 1,693), am 26.11.2026"),
            ("Summe 1.234,50 €, 12 kg", "Summe 1.234,50 €, 26 lb"),
        ];
        for (metric, shown) in german {
            assert_eq!(inches(Language::German).sentence(metric), shown);
        }
    }

    #[test]
    fn law_a_paper_keeps_what_it_says_and_tells_the_other_unit_in_brackets() {
        let manner = inches(Language::English);
        assert_eq!(manner.sentence_beside("39 mm lower"), "39 mm (1.54 in) lower");
        assert_eq!(manner.sentence_beside("39 mm (35 to 43)."), "39 mm (35 to 43) [1.54 in (1.38 to 1.69)].");
        assert_eq!(manner.cell_beside("433", "mm"), "433 (17.05)");
        assert_eq!(manner.cell_beside("From the datum, mm", "mm"), "From the datum, mm (in)");
    }

    #[test]
    fn law_a_cell_takes_its_unit_from_its_head() {
        let manner = inches(Language::English);
        assert_eq!(manner.cell("39 ± 4", "mm"), "1.54 ± 0.16");
        assert_eq!(manner.cell("433 (430–436)", "mm"), "17.05 (16.93–17.17)");
        assert_eq!(manner.cell("Drop against today, mm", "mm"), "Drop against today, in");
        assert_eq!(manner.cell("12 minutes", "minutes"), "12 minutes");
        assert_eq!(manner.cell("–", "mm"), "–");
    }

    #[test]
    fn law_the_decimal_sign_changes_numbers_and_leaves_dates_and_standards() {
        let comma = Manner { decimal: Some(DecimalSign::Comma), ..Language::English.into() };
        assert_eq!(
            comma.sentence("12.5 mm, 1,234.50, ISO 8855, 1.2.3"),
            "12,5 mm, 1.234,50, ISO 8855, 1.2.3"
        );
        let point = Manner { decimal: Some(DecimalSign::Point), ..Language::German.into() };
        assert_eq!(point.sentence("12,5 mm am 26.11.2026: 1.234,50 €"), "12.5 mm am 26.11.2026: 1,234.50 €");
    }

    #[test]
    fn law_what_was_understood_is_told_in_both_units() {
        let typed = read_typed_in("19", Asked::LengthMm, range(0.0, 1000.0), Units::Inches).unwrap();
        let told = inches(Language::English).understood(typed, Asked::LengthMm);
        assert_eq!(told, "Understood: 19 in = 482.6 mm");
        let told = Manner::from(Language::German).understood(typed, Asked::LengthMm);
        assert_eq!(told, "Verstanden: 482,6 mm");
    }

    proptest! {
        #[test]
        fn law_what_stands_in_a_box_is_read_back(mm in -9_999.0..9_999.0_f64, german: bool, chosen in 0..3_usize) {
            let language = if german { Language::German } else { Language::English };
            let decimal = [None, Some(DecimalSign::Point), Some(DecimalSign::Comma)][chosen];
            let manner = Manner { decimal, ..inches(language) };
            let shown = manner.boxed(mm, Asked::LengthMm);
            let read = read_typed_in(&shown, Asked::LengthMm, range(-1e4, 1e4), Units::Inches);
            // three decimals of an inch
            prop_assert!((read.unwrap().value - mm).abs() <= 0.5e-3 * 25.4 + 1e-9, "{mm}: {shown}");
        }

        #[test]
        fn law_a_figure_is_the_same_in_both_units_within_the_last_digits_shown(
            value in -5_000.0..5_000.0_f64, decimals in 0..3_usize, unit in 0..12_usize,
        ) {
            let unit = &Units::Inches.all()[unit];
            let metric = format!("{} {}", fixed(Language::English, value, decimals), unit.metric);
            let shown = inches(Language::English).sentence(&metric);
            let number: f64 = shown.split(' ').next().unwrap().parse().unwrap();
            let step = 10_f64.powi(-(decimals as i32 + unit.finer).max(0));
            let off = (number * unit.is - value).abs();
            prop_assert!(off <= 0.5 * step * unit.is + 0.5 * 10_f64.powi(-(decimals as i32)) + 1e-9, "{metric}: {shown}");
        }

        #[test]
        fn law_any_text_is_told_and_a_metric_reader_reads_it_as_it_stands(text in "\\PC{0,40}") {
            prop_assert_eq!(Manner::from(Language::English).sentence(&text), text.clone());
            let manner = inches(Language::German);
            let _ = (manner.sentence_beside(&text), manner.cell(&text, "mm"), manner.cell_beside(&text, "kg"));
        }
    }
}
