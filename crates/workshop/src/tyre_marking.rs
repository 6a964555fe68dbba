//! What stands on a tyre's sidewall, such as `215/65 R16 C 109/107 T` or `225/60 R17 103 H XL`.

use std::fmt;
use std::str::FromStr;

/// A tyre's size and, where the marking says them, its service description and kind (ISO 4000-1, UN R30, UN R54).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TyreMarking {
    /// Nominal section width, mm.
    pub width_mm: u16,
    /// Section height per section width, per cent.
    pub aspect_percent: u16,
    /// Nominal rim diameter, inch; whole or half.
    pub rim_diameter_inch: f64,
    /// What it is built for.
    pub kind: TyreKind,
    /// What it carries, and how fast; absent where only the size is given.
    pub service: Option<Service>,
    /// Marked XL: reinforced for a higher load.
    pub extra_load: bool,
    /// Marked M+S.
    pub mud_and_snow: bool,
}

/// What a tyre is built for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TyreKind {
    /// No letter: passenger cars.
    Passenger,
    /// C: commercial vehicles.
    Commercial,
    /// CP: campers (ETRTO, from memory).
    Camper,
}

/// Service description.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Service {
    /// Load index of a single wheel.
    pub single: LoadIndex,
    /// Load index of each of two wheels side by side.
    pub dual: Option<LoadIndex>,
    /// Speed symbol.
    pub speed: SpeedSymbol,
}

/// Load index, 60 to 130.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct LoadIndex(u16);

/// Least load index of the table.
const LEAST_LOAD_INDEX: u16 = 60;

/// Load of each index from 60 on, kg (ISO 4000-1, UN R30 and R54, load-index table): 68 to 123 verified on two public
/// tables, the others from memory.
const LOAD_INDEX_KG: [u16; 71] = [
    250, 257, 265, 272, 280, 290, 300, 307, 315, 325, // 60
    335, 345, 355, 365, 375, 387, 400, 412, 425, 437, // 70
    450, 462, 475, 487, 500, 515, 530, 545, 560, 580, // 80
    600, 615, 630, 650, 670, 690, 710, 730, 750, 775, // 90
    800, 825, 850, 875, 900, 925, 950, 975, 1000, 1030, // 100
    1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360, // 110
    1400, 1450, 1500, 1550, 1600, 1650, 1700, 1750, 1800, 1850, // 120
    1900, // 130
];

impl LoadIndex {
    /// The least index of the table.
    pub const LEAST: Self = Self(LEAST_LOAD_INDEX);

    /// An index of the table.
    pub fn of(index: u16) -> Option<Self> {
        let place = usize::from(index.checked_sub(LEAST_LOAD_INDEX)?);
        (place < LOAD_INDEX_KG.len()).then_some(Self(index))
    }

    /// The index itself.
    pub fn index(self) -> u16 {
        self.0
    }

    /// Load that one tyre carries, kg.
    pub fn load_kg(self) -> f64 {
        let place = usize::from(self.0.saturating_sub(LEAST_LOAD_INDEX));
        LOAD_INDEX_KG.get(place).copied().map_or(0.0, f64::from)
    }

    /// Least index of which one tyre carries a load; `None` beyond the table.
    pub fn least_for(load_kg: f64) -> Option<Self> {
        let place = LOAD_INDEX_KG.iter().position(|kg| f64::from(*kg) >= load_kg)?;
        Self::of(LEAST_LOAD_INDEX + place as u16)
    }
}

/// Speed symbol with its greatest speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SpeedSymbol {
    /// Letter on the sidewall.
    pub letter: char,
    /// Greatest speed, km/h.
    pub top_speed_km_per_h: u16,
}

impl SpeedSymbol {
    /// All symbols by rising speed (UN R30, UN R54): L to Y verified, J and K from memory. H stands above U.
    pub const CHOICES: [(&'static str, Self); 15] = [
        ("J", Self::new('J', 100)),
        ("K", Self::new('K', 110)),
        ("L", Self::new('L', 120)),
        ("M", Self::new('M', 130)),
        ("N", Self::new('N', 140)),
        ("P", Self::new('P', 150)),
        ("Q", Self::new('Q', 160)),
        ("R", Self::new('R', 170)),
        ("S", Self::new('S', 180)),
        ("T", Self::new('T', 190)),
        ("U", Self::new('U', 200)),
        ("H", Self::new('H', 210)),
        ("V", Self::new('V', 240)),
        ("W", Self::new('W', 270)),
        ("Y", Self::new('Y', 300)),
    ];

    const fn new(letter: char, top_speed_km_per_h: u16) -> Self {
        Self { letter, top_speed_km_per_h }
    }
}

/// What is wrong with a marking.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarkingFault {
    /// What was found.
    pub found: String,
    /// What is allowed there.
    pub allowed: &'static str,
}

impl fmt::Display for MarkingFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "found {}, allowed {}", self.found, self.allowed)
    }
}

impl std::error::Error for MarkingFault {}

const WIDTH: &str = "a section width from 105 to 455 mm, as in 215/65 R16 C 109/107 T";
const SLASH: &str = "/ between section width and aspect ratio, as in 215/65 R16";
const ASPECT: &str = "an aspect ratio from 20 to 100, as in 215/65 R16";
const RADIAL: &str = "R for a radial tyre after the aspect ratio, as in 215/65 R16";
const RIM: &str = "a rim diameter from 10 to 24 inch, whole or half, as in 215/65 R16";
const INDEX: &str = "a load index from 60 to 130, as in 109/107 T";
const SYMBOL: &str =
    "a speed symbol out of J K L M N P Q R S T U H V W Y after the load index, as in 109/107 T";
const REST: &str = "a load index and speed symbol, then XL and M+S where they apply";

impl FromStr for TyreMarking {
    type Err = MarkingFault;

    fn from_str(text: &str) -> Result<Self, MarkingFault> {
        let mut left = Left { text: &text.to_ascii_uppercase() };
        let width_mm = left.number(105..=455, WIDTH)?;
        left.demand("/", SLASH)?;
        let aspect_percent = left.number(20..=100, ASPECT)?;
        // ZR is an old way to write R
        let _ = left.take("Z");
        left.demand("R", RADIAL)?;
        let rim_diameter_inch = left.rim_diameter_inch()?;
        let kind = if left.take("CP") {
            TyreKind::Camper
        } else if left.take("C") {
            TyreKind::Commercial
        } else {
            TyreKind::Passenger
        };
        let service = if left.starts_with_digit() { Some(left.service()?) } else { None };
        let (mut extra_load, mut mud_and_snow) = (false, false);
        while !left.is_empty() {
            if left.take("XL") {
                extra_load = true;
            } else if left.take("M+S") {
                mud_and_snow = true;
            } else {
                return Err(left.fault(REST));
            }
        }
        Ok(Self { width_mm, aspect_percent, rim_diameter_inch, kind, service, extra_load, mud_and_snow })
    }
}

impl fmt::Display for TyreMarking {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{} R{}", self.width_mm, self.aspect_percent, self.rim_diameter_inch)?;
        match self.kind {
            TyreKind::Passenger => {}
            TyreKind::Commercial => write!(f, " C")?,
            TyreKind::Camper => write!(f, " CP")?,
        }
        if let Some(service) = self.service {
            write!(f, " {service}")?;
        }
        if self.extra_load {
            write!(f, " XL")?;
        }
        if self.mud_and_snow {
            write!(f, " M+S")?;
        }
        Ok(())
    }
}

impl fmt::Display for Service {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.single.index())?;
        if let Some(dual) = self.dual {
            write!(f, "/{}", dual.index())?;
        }
        write!(f, " {}", self.speed.letter)
    }
}

/// What is left of a marking to be read; white space between its parts means nothing.
struct Left<'t> {
    text: &'t str,
}

impl Left<'_> {
    fn is_empty(&self) -> bool {
        self.text.trim_start().is_empty()
    }

    fn starts_with_digit(&self) -> bool {
        self.text.trim_start().starts_with(|c: char| c.is_ascii_digit())
    }

    /// Takes a part if it comes next.
    fn take(&mut self, part: &str) -> bool {
        let rest = self.text.trim_start().strip_prefix(part);
        if let Some(rest) = rest {
            self.text = rest;
        }
        rest.is_some()
    }

    fn demand(&mut self, part: &str, allowed: &'static str) -> Result<(), MarkingFault> {
        if self.take(part) { Ok(()) } else { Err(self.fault(allowed)) }
    }

    /// The next letters of a class.
    fn run(&self, belongs: fn(char) -> bool) -> &str {
        let text = self.text.trim_start();
        text.find(|c| !belongs(c)).map_or(text, |end| &text[..end])
    }

    fn number(
        &mut self,
        range: std::ops::RangeInclusive<u16>,
        allowed: &'static str,
    ) -> Result<u16, MarkingFault> {
        let digits = self.run(|c| c.is_ascii_digit());
        let number = digits.parse().ok().filter(|number| range.contains(number));
        let number = number.ok_or_else(|| self.fault(allowed))?;
        self.text = &self.text.trim_start()[digits.len()..];
        Ok(number)
    }

    fn rim_diameter_inch(&mut self) -> Result<f64, MarkingFault> {
        let digits = self.run(|c| c.is_ascii_digit() || c == '.');
        let is_rim = |inch: &f64| (10.0..=24.0).contains(inch) && (2.0 * inch).fract() == 0.0;
        let inch = digits.parse().ok().filter(is_rim).ok_or_else(|| self.fault(RIM))?;
        self.text = &self.text.trim_start()[digits.len()..];
        Ok(inch)
    }

    fn service(&mut self) -> Result<Service, MarkingFault> {
        let single = self.load_index()?;
        let dual = if self.take("/") { Some(self.load_index()?) } else { None };
        let speed = SpeedSymbol::CHOICES.iter().find(|(letter, _)| self.take(letter));
        let (_, speed) = speed.ok_or_else(|| self.fault(SYMBOL))?;
        Ok(Service { single, dual, speed: *speed })
    }

    fn load_index(&mut self) -> Result<LoadIndex, MarkingFault> {
        let before = self.text;
        let index = self.number(0..=u16::MAX, INDEX)?;
        LoadIndex::of(index).ok_or_else(|| Left { text: before }.fault(INDEX))
    }

    fn fault(&self, allowed: &'static str) -> MarkingFault {
        const LONGEST: usize = 20;
        let next: String = self.text.split_whitespace().next().unwrap_or("").chars().take(LONGEST).collect();
        let found = if next.is_empty() { "nothing".to_owned() } else { format!("{next:?}") };
        MarkingFault { found, allowed }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use proptest::sample::select;

    use super::*;

    fn read(text: &str) -> TyreMarking {
        text.parse().unwrap()
    }

    #[test]
    fn val_load_index_and_speed_tables() {
        // ISO 4000-1, UN R30 and R54 (verified on public tables): single values of both tables.
        let kg = |index| LoadIndex::of(index).unwrap().load_kg().to_string();
        assert_eq!(
            [82, 91, 96, 103, 105, 109, 112].map(kg),
            ["475", "615", "710", "875", "925", "1030", "1120"]
        );
        assert_eq!([116, 118, 121].map(kg), ["1250", "1320", "1450"]);
        let top =
            |letter| SpeedSymbol::CHOICES.iter().find(|(l, _)| *l == letter).unwrap().1.top_speed_km_per_h;
        assert_eq!(["L", "N", "R", "T", "H", "Y"].map(top), [120, 140, 170, 190, 210, 300]);
        assert_eq!((LoadIndex::of(59), LoadIndex::of(131)), (None, None));
    }

    #[test]
    fn law_loads_follow_the_exponential_within_two_per_cent() {
        // a typing check: 45 · 10^(LI/80) never departs from the standard's table by more than 1.8 %
        for index in 60..=130 {
            let law_kg = 45.0 * 10f64.powf(f64::from(index) / 80.0);
            let kg = LoadIndex::of(index).unwrap().load_kg();
            assert!((kg / law_kg - 1.0).abs() < 0.019, "{index}: {kg} is far from {law_kg}");
        }
        for (slower, faster) in SpeedSymbol::CHOICES.iter().zip(&SpeedSymbol::CHOICES[1..]) {
            assert!(slower.1.top_speed_km_per_h < faster.1.top_speed_km_per_h);
        }
    }

    #[test]
    fn law_markings_are_read_however_they_are_spaced() {
        let van = read("215/65 R16 C 109/107 T");
        assert_eq!((van.width_mm, van.aspect_percent, van.rim_diameter_inch), (215, 65, 16.0));
        assert_eq!(van.kind, TyreKind::Commercial);
        let service = van.service.unwrap();
        assert_eq!((service.single.index(), service.dual.map(LoadIndex::index)), (109, Some(107)));
        assert_eq!(service.speed.top_speed_km_per_h, 190);
        assert_eq!(read("215/65r16c109/107t"), van);
        assert_eq!(read("235/65R16C 115/113R").to_string(), "235/65 R16 C 115/113 R");
        assert_eq!(read("225/60 R17 103 H XL").to_string(), "225/60 R17 103 H XL");
        assert!(read("225/75 R16 CP 118 R M+S").mud_and_snow);
        assert_eq!(read("225/60 R 16 C").service, None);
        assert_eq!(read("225/70 R19.5 128/126 N").to_string(), "225/70 R19.5 128/126 N");
        assert_eq!(read("245/45 ZR18 100 W").service.unwrap().speed.letter, 'W');
    }

    #[test]
    fn law_a_fault_says_what_was_found_and_what_is_allowed() {
        let fault = |text: &str| text.parse::<TyreMarking>().unwrap_err();
        for (text, found, allowed) in [
            ("", "nothing", WIDTH),
            ("6.50-16", "\"6.50-16\"", WIDTH),
            ("215-65", "\"-65\"", SLASH),
            ("215/650 R16", "\"650\"", ASPECT),
            ("215/65 D16", "\"D16\"", RADIAL),
            ("215/65 R16.2", "\"16.2\"", RIM),
            ("215/65 R16 C 59 T", "\"59\"", INDEX),
            ("215/65 R16 C 109/107", "nothing", SYMBOL),
            ("215/65 R16 C 109/107 X", "\"X\"", SYMBOL),
            ("215/65 R16 C 109/107 T weiß", "\"WEIß\"", REST),
        ] {
            assert_eq!(fault(text), MarkingFault { found: found.into(), allowed }, "{text}");
        }
    }

    fn markings() -> impl Strategy<Value = TyreMarking> {
        let kinds = select(vec![TyreKind::Passenger, TyreKind::Commercial, TyreKind::Camper]);
        let index = || (60u16..=130).prop_map(|index| LoadIndex::of(index).unwrap());
        let speed = select(SpeedSymbol::CHOICES.to_vec()).prop_map(|(_, speed)| speed);
        let service = (index(), proptest::option::of(index()), speed)
            .prop_map(|(single, dual, speed)| Service { single, dual, speed });
        let size = (105u16..=455, 20u16..=100, 20u16..=48);
        (size, kinds, proptest::option::of(service), any::<bool>(), any::<bool>()).prop_map(
            |((width_mm, aspect_percent, halves), kind, service, extra_load, mud_and_snow)| TyreMarking {
                width_mm,
                aspect_percent,
                rim_diameter_inch: 0.5 * f64::from(halves),
                kind,
                service,
                extra_load,
                mud_and_snow,
            },
        )
    }

    proptest! {
        #[test]
        fn law_a_marking_written_is_read_again(marking in markings()) {
            prop_assert_eq!(marking.to_string().parse(), Ok(marking));
        }

        #[test]
        fn law_any_text_is_read_or_refused(text in any::<String>(), marked in "[0-9/ .RCPXLMTS+ß-]{0,30}") {
            for text in [text, marked] {
                match text.parse::<TyreMarking>() {
                    Ok(marking) => prop_assert_eq!(marking.to_string().parse(), Ok(marking)),
                    Err(fault) => prop_assert!(!fault.found.is_empty() && !fault.allowed.is_empty()),
                }
            }
        }

        #[test]
        fn law_the_least_index_carries_and_none_below_does(load_kg in 1.0..1900.0f64) {
            let least = LoadIndex::least_for(load_kg).unwrap();
            prop_assert!(least.load_kg() >= load_kg);
            if let Some(below) = LoadIndex::of(least.index() - 1) {
                prop_assert!(below.load_kg() < load_kg);
            }
        }
    }
}
