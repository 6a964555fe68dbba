//! Numbers as people type them: comma or point, groups, fractions, units; what was understood is told back.

use crate::document::Range;
use crate::units::Units;
use crate::wording::TypedFault;

const LBF: f64 = 4.448_221_615_260_5;
/// In N/mm.
const LBF_PER_IN: f64 = LBF / 25.4;
/// In Nm.
const LBF_FT: f64 = LBF * 0.3048;
/// In bar.
const PSI: f64 = 10.0 * LBF / (25.4 * 25.4);

/// What a box asks for, and so the unit of what is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// A length, kept in mm.
    LengthMm,
    /// A mass, kept in kg.
    MassKg,
    /// A force, kept in N.
    ForceN,
    /// An angle, kept in degrees.
    AngleDeg,
    /// A number without unit.
    Number,
    /// A share, kept in per cent.
    Percent,
    /// The rate of a spring, kept in N/mm.
    RateNPerMm,
    /// The stiffness of a bush or bar, kept in Nm per degree.
    StiffnessNmPerDeg,
    /// A pressure, kept in bar.
    PressureBar,
    /// A speed, kept in km/h.
    SpeedKmPerH,
}

impl Asked {
    /// All there are.
    pub const ALL: [Self; 10] = [
        Self::LengthMm,
        Self::MassKg,
        Self::ForceN,
        Self::AngleDeg,
        Self::Number,
        Self::Percent,
        Self::RateNPerMm,
        Self::StiffnessNmPerDeg,
        Self::PressureBar,
        Self::SpeedKmPerH,
    ];

    /// Units that may be typed, each with what one of it is in the unit that is kept; the first is the one that is kept.
    /// The inch is 25.4 mm, the pound 0.45359237 kg and the mile 1.609344 km exactly; a pound-force is the weight of a
    /// pound at 9.80665 m/s² (NIST Special Publication 811, 2008, appendix B.8).
    pub const fn units(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::LengthMm => {
                &[("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4), ("\"", 25.4), ("Zoll", 25.4)]
            }
            Self::MassKg => {
                &[("kg", 1.0), ("t", 1000.0), ("g", 0.001), ("lb", 0.453_592_37), ("lbs", 0.453_592_37)]
            }
            Self::ForceN => {
                &[("N", 1.0), ("kN", 1000.0), ("daN", 10.0), ("kg", 9.806_65), ("lb", LBF), ("lbf", LBF)]
            }
            Self::AngleDeg => &[("°", 1.0), ("deg", 1.0), ("'", 1.0 / 60.0)],
            Self::Number => &[("", 1.0)],
            Self::Percent => &[("%", 1.0)],
            Self::RateNPerMm => &[
                ("N/mm", 1.0),
                ("N/cm", 0.1),
                ("kg/mm", 9.806_65),
                ("lbf/in", LBF_PER_IN),
                ("lb/in", LBF_PER_IN),
            ],
            Self::StiffnessNmPerDeg => {
                &[("Nm/°", 1.0), ("lbf ft/°", LBF_FT), ("lb ft/°", LBF_FT), ("ft lb/°", LBF_FT)]
            }
            Self::PressureBar => &[("bar", 1.0), ("kPa", 0.01), ("psi", PSI)],
            Self::SpeedKmPerH => &[("km/h", 1.0), ("mph", 1.609_344)],
        }
    }

    /// The unit that is kept.
    pub const fn unit(self) -> &'static str {
        self.units()[0].0
    }
}

/// A number that was understood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typed {
    /// Value in the unit that is kept.
    pub value: f64,
    /// Whether it was typed otherwise than it is kept, so that what was understood should be told back.
    pub converted: bool,
}

/// Reads what was typed into a box whose bare numbers are in the unit that is kept.
///
/// # Errors
/// [`TypedFault`] says what is wrong and what is allowed; a group that could be a decimal part is asked about only where
/// both readings are within the range.
pub fn read_typed(text: &str, asked: Asked, range: Range) -> Result<Typed, TypedFault> {
    read_typed_in(text, asked, range, Units::Metric)
}

/// Reads what was typed into a box whose bare numbers are in the units that are shown beside it.
///
/// # Errors
/// As [`read_typed`].
pub fn read_typed_in(text: &str, asked: Asked, range: Range, units: Units) -> Result<Typed, TypedFault> {
    let plain: String = text.trim().chars().map(plain_sign).collect();
    if plain.is_empty() {
        return Err(TypedFault::Nothing);
    }
    let end = plain.rfind(|c: char| c.is_ascii_digit()).map_or(0, |last| last + 1);
    let (number, unit) = plain.split_at(end);
    let (number, unit) = (number.trim(), unit.trim());
    let found = || text.trim().to_owned();
    let readings = readings(number);
    if readings.is_empty() {
        return Err(TypedFault::NotANumber { found: found() });
    }
    let other = units.instead_of(asked.unit());
    let factor =
        if unit.is_empty() { Some(other.map_or(1.0, |unit| unit.is)) } else { factor_of(asked, unit) };
    let factor = factor.ok_or_else(|| TypedFault::UnknownUnit { found: unit.to_owned(), asked })?;
    // what was converted is written as short as it was meant: 1 1/2 in are 38.1 mm
    let kept = |reading: f64| (reading * factor * 1e9).round() / 1e9;
    let values: Vec<f64> = readings.iter().map(|reading| kept(*reading)).collect();
    let within: Vec<f64> = values.iter().copied().filter(|value| range.contains(*value)).collect();
    match within[..] {
        [value] => {
            let as_kept =
                number.parse() == Ok(value) && (unit == asked.unit() || unit.is_empty() && other.is_none());
            Ok(Typed { value, converted: !as_kept })
        }
        [one, other, ..] => Err(TypedFault::TwoReadings { found: found(), one, other, asked }),
        [] => Err(TypedFault::OutOfRange {
            value: values[0],
            range,
            asked,
            meant: meant(&readings, unit, asked, range),
        }),
    }
}

/// Signs that stand for others: minus signs and dashes, quotation marks for inches, every kind of space.
fn plain_sign(c: char) -> char {
    match c {
        '\u{2212}' | '\u{2013}' | '\u{2014}' => '-',
        '\u{2033}' | '\u{201d}' | '\u{201c}' => '"',
        '\u{2032}' | '\u{2019}' => '\'',
        _ if c.is_whitespace() => ' ',
        _ => c,
    }
}

fn factor_of(asked: Asked, unit: &str) -> Option<f64> {
    // a unit is told by its letters alone: KG, Kg and kg are one
    asked.units().iter().find(|(name, _)| name.eq_ignore_ascii_case(unit)).map(|(_, factor)| *factor)
}

/// A unit that was perhaps meant where the number as typed is out of range.
fn meant(readings: &[f64], unit: &str, asked: Asked, range: Range) -> Option<&'static str> {
    if !unit.is_empty() {
        return None;
    }
    let fits = |factor: f64| readings.iter().any(|reading| range.contains(reading * factor));
    asked.units().iter().find(|(_, factor)| fits(*factor)).map(|(name, _)| *name)
}

/// Every way to read a number: none where it is not one, two where its only separator may stand for thousands.
fn readings(number: &str) -> Vec<f64> {
    let (sign, digits) = match number.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, number.strip_prefix('+').unwrap_or(number).trim_start()),
    };
    let found = fraction(digits).map_or_else(|| decimals(digits), |value| vec![value]);
    found.into_iter().map(|value| sign * value).filter(|value| value.is_finite()).collect()
}

/// `3 1/2` or `1/2`.
fn fraction(digits: &str) -> Option<f64> {
    let (whole, part) = digits.rsplit_once(' ').unwrap_or(("", digits));
    let (above, below) = part.split_once('/')?;
    let natural =
        |text: &str| text.bytes().all(|b| b.is_ascii_digit()).then(|| text.parse::<u32>().ok()).flatten();
    let (above, below) = (natural(above)?, natural(below)?);
    let whole = if whole.is_empty() { 0 } else { natural(whole)? };
    (below > 0).then(|| f64::from(whole) + f64::from(above) / f64::from(below))
}

fn decimals(digits: &str) -> Vec<f64> {
    let only = |allowed: &str| digits.chars().all(|c| c.is_ascii_digit() || allowed.contains(c));
    if !only(".,' ") {
        return Vec::new();
    }
    // the sign that comes last and only once may part decimals; the others part thousands
    let Some(at) = digits.rfind(['.', ',']) else { return grouped(digits).into_iter().collect() };
    let (before, after) = (&digits[..at], &digits[at + 1..]);
    let sign = digits.as_bytes()[at];
    let decimal = || {
        let whole = if before.is_empty() { Some(0.0) } else { grouped(before) }?;
        let is_part = !after.is_empty() && after.bytes().all(|b| b.is_ascii_digit());
        (is_part && !before.as_bytes().contains(&sign))
            .then(|| format!("{whole:.0}.{after}").parse().ok())
            .flatten()
    };
    [decimal(), grouped(digits)].into_iter().flatten().collect()
}

/// Digits, or digits in groups of three by one and the same sign.
fn grouped(digits: &str) -> Option<f64> {
    let signs: Vec<char> = digits.chars().filter(|c| !c.is_ascii_digit()).collect();
    let Some(sign) = signs.first() else { return digits.parse().ok() };
    let mut groups = digits.split(*sign);
    let first = groups.next()?;
    let starts = (1..=3).contains(&first.len()) && !first.starts_with('0');
    let whole = signs.iter().all(|other| other == sign) && starts && groups.all(|group| group.len() == 3);
    whole.then(|| digits.replace(*sign, "").parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::range;
    use crate::facts::Language;
    use proptest::prelude::*;

    const ANY: Range = range(-1e6, 1e6);

    fn value(text: &str, asked: Asked, range: Range) -> Option<f64> {
        read_typed(text, asked, range).ok().map(|typed| typed.value)
    }

    /// NIST Special Publication 811 (2008), appendix B.8: 1 in = 25.4 mm, 1 lb = 0.453 592 37 kg, 1 lbf = 4.448 222 N,
    /// 1 kgf = 9.806 65 N.
    #[test]
    fn val_units_are_those_of_the_published_table() {
        let close = |a: Option<f64>, b: f64| (a.unwrap() - b).abs() <= 5e-7 * b;
        assert!(close(value("1 in", Asked::LengthMm, ANY), 25.4));
        assert!(close(value("1 lb", Asked::MassKg, ANY), 0.453_592_37));
        assert!(close(value("1 lb", Asked::ForceN, ANY), 4.448_222));
        assert!(close(value("1 kg", Asked::ForceN, ANY), 9.806_65));
        // 1 lbf/in = 175.1268 N/m, 1 lbf ft = 1.355 818 N m, 1 psi = 6.894 757 kPa, 1 mi/h = 1.609 344 km/h
        assert!(close(value("1 lbf/in", Asked::RateNPerMm, ANY), 0.175_126_8));
        assert!(close(value("1 lbf ft/°", Asked::StiffnessNmPerDeg, ANY), 1.355_818));
        assert!(close(value("1 psi", Asked::PressureBar, ANY), 0.068_947_57));
        assert!(close(value("1 mph", Asked::SpeedKmPerH, ANY), 1.609_344));
    }

    #[test]
    fn law_what_a_box_shows_is_a_unit_that_may_be_typed_into_it() {
        for asked in Asked::ALL {
            for language in [Language::English, Language::German] {
                let symbol = Units::Inches.symbol(asked.unit(), language);
                let typed = format!("2 {symbol}");
                let bare = read_typed_in("2", asked, ANY, Units::Inches).unwrap().value;
                let named = read_typed_in(&typed, asked, ANY, Units::Metric).unwrap().value;
                assert!((bare - named).abs() < 1e-8, "{typed}: {named} and {bare}");
            }
        }
    }

    #[test]
    fn law_numbers_are_read_as_people_write_them() {
        let lengths = [
            ("12,5", 12.5),
            ("12.5", 12.5),
            ("-12,5", -12.5),
            ("\u{2212}3", -3.0),
            ("+4", 4.0),
            (".5", 0.5),
            ("1.234,5", 1234.5),
            ("1,234.5", 1234.5),
            ("1 234", 1234.0),
            ("1\u{202f}234", 1234.0),
            ("1'234", 1234.0),
            ("1.234.567", 1_234_567.0),
            ("12.5in", 317.5),
            ("3 1/2 in", 88.9),
            ("1/2\"", 12.7),
            ("43,3 cm", 433.0),
            ("1,2 m", 1200.0),
            ("0,125", 0.125),
        ];
        for (text, expected) in lengths {
            let found = value(text, Asked::LengthMm, range(-1e7, 1e7));
            assert!(found.is_some_and(|found| (found - expected).abs() < 1e-9), "{text}: {found:?}");
        }
        let masses = [("55 lb", 24.947_580_35), ("1,2 t", 1200.0), ("72 KG", 72.0), ("500 g", 0.5)];
        for (text, expected) in masses {
            let found = value(text, Asked::MassKg, ANY);
            assert!(found.is_some_and(|found| (found - expected).abs() < 1e-9), "{text}: {found:?}");
        }
    }

    #[test]
    fn law_a_group_that_may_be_a_decimal_part_is_asked_about_only_where_both_are_possible() {
        assert_eq!(value("1,234", Asked::MassKg, range(100.0, 4000.0)), Some(1234.0));
        assert_eq!(value("1,234", Asked::MassKg, range(0.0, 10.0)), Some(1.234));
        let both = read_typed("1,234", Asked::MassKg, range(0.0, 4000.0)).unwrap_err();
        assert_eq!(
            both,
            TypedFault::TwoReadings {
                found: "1,234".into(),
                one: 1.234,
                other: 1234.0,
                asked: Asked::MassKg
            }
        );
    }

    #[test]
    fn law_what_is_no_number_is_refused() {
        for text in [
            "", "  ", "abc", "12 stone", "1,2,3", "1/0", "--3", "1e5", "3 1/2/2", "12.", "NaN", "inf",
            "1 23", "\u{0661}",
        ] {
            assert!(read_typed(text, Asked::MassKg, ANY).is_err(), "{text}");
        }
    }

    #[test]
    fn law_a_number_out_of_range_may_name_the_unit_that_was_meant() {
        let fault = read_typed("2400", Asked::MassKg, range(200.0, 1500.0)).unwrap_err();
        let TypedFault::OutOfRange { meant, .. } = fault else { panic!("{fault:?}") };
        assert_eq!(meant, Some("lb"));
    }

    #[test]
    fn law_a_bare_number_is_in_the_units_of_its_box_and_a_named_unit_always_is_that_unit() {
        let read = |text: &str, asked| read_typed_in(text, asked, ANY, Units::Inches).unwrap();
        assert_eq!(read("19", Asked::LengthMm), Typed { value: 482.6, converted: true });
        assert_eq!(read("1 1/2", Asked::LengthMm), Typed { value: 38.1, converted: true });
        assert_eq!(read("433 mm", Asked::LengthMm), Typed { value: 433.0, converted: false });
        assert_eq!(read("1,5 Zoll", Asked::LengthMm), Typed { value: 38.1, converted: true });
        assert_eq!(read("100", Asked::MassKg), Typed { value: 45.359_237, converted: true });
        assert_eq!(read("12", Asked::Number), Typed { value: 12.0, converted: false });
        let fault = read_typed_in("433", Asked::LengthMm, range(100.0, 1000.0), Units::Inches).unwrap_err();
        let TypedFault::OutOfRange { meant, .. } = fault else { panic!("{fault:?}") };
        assert_eq!(meant, Some("mm"));
    }

    #[test]
    fn law_only_what_was_typed_otherwise_is_told_back() {
        let converted = |text: &str| read_typed(text, Asked::LengthMm, ANY).unwrap().converted;
        assert_eq!(["433", "433 mm", "433.5"].map(converted), [false; 3]);
        assert_eq!(["43,3 cm", "17 in", "433,5", "1 234"].map(converted), [true; 4]);
    }

    proptest! {
        #[test]
        fn law_any_text_is_read_or_refused(text in "\\PC{0,24}") {
            if let Ok(typed) = read_typed(&text, Asked::LengthMm, ANY) {
                prop_assert!(ANY.contains(typed.value));
            }
        }

        #[test]
        fn law_what_is_shown_is_read_back(tenths in -9_999_999_i32..9_999_999) {
            let shown = f64::from(tenths) / 10.0;
            for text in [format!("{shown:.1}"), format!("{shown:.1}").replace('.', ",")] {
                prop_assert_eq!(value(&text, Asked::LengthMm, ANY), Some(shown));
            }
        }
    }
}
