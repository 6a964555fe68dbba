//! Prices and quotes, exact to the last minor unit.
//!
//! Money is a whole number of minor units of the workshop's currency (cents, pence), in fields that end in `_minor`;
//! there are no floating-point amounts. Percentages are decimals. Three amounts are rounded, each once, by the price
//! list's [`Rounding`]: labour (rate times minutes), tax (on the sum of all lines, never line by line), and deposit.
//!
//! Prices in the list are without tax. Amounts and percentages stand in quotes in the file (`"149.90"`), because a
//! bare TOML number with a point is a binary fraction.

use std::fmt;

use rust_decimal::{Decimal, RoundingStrategy};

use crate::catalogue::Catalogue;
use crate::document::{Fields, Range, range};
use crate::facts::{Language, Words};
use crate::kit::KitFamily;

/// What the workshop asks for what it sells and does.
#[derive(Debug, Clone, PartialEq)]
pub struct PriceList {
    /// Currency of every amount.
    pub currency: Currency,
    /// Where the prices come from and since when they hold.
    pub source: String,
    /// How amounts between two minor units are rounded.
    pub rounding: Rounding,
    /// Price of labour.
    pub labour: LabourPrice,
    /// Cleaner, grease, thread lock, rags and the like, for every job on the ramp.
    pub consumables_per_job_minor: i64,
    /// Tax on the whole.
    pub tax: Tax,
    /// Share of the total that is paid in advance, 0 to 100.
    pub deposit_percent: Decimal,
    /// Carriage by post.
    pub carriage: Vec<CarriageTier>,
    /// Kits and parts.
    pub parts: Vec<PricedPart>,
}

/// A currency.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Currency {
    /// ISO 4217 code, such as `EUR`.
    pub code: String,
    /// Decimals of an amount: 2 where 100 minor units make one unit.
    pub minor_digits: u8,
}

/// How an amount between two minor units is rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest, a half upwards.
    HalfUp,
    /// To the nearest, a half to the even one.
    HalfEven,
}

/// Price of labour.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LabourPrice {
    /// Rate per hour.
    pub rate_per_hour_minor: i64,
    /// Time is charged in whole steps of so many minutes, rounded up.
    pub step_minutes: i64,
}

/// Tax on the sum of all lines.
#[derive(Debug, Clone, PartialEq)]
pub struct Tax {
    /// Name for people.
    pub name: Words,
    /// Rate, 0 to 100.
    pub percent: Decimal,
}

/// What it costs to post a parcel.
#[derive(Debug, Clone, PartialEq)]
pub struct CarriageTier {
    /// Greatest mass of the parcel, kg.
    pub up_to_kg: f64,
    /// Kit families it is for; for those that no tier names where empty.
    pub families: Vec<KitFamily>,
    /// Price.
    pub price_minor: i64,
}

/// A kit or part for sale.
#[derive(Debug, Clone, PartialEq)]
pub struct PricedPart {
    /// Identifier: the kit's own, or that of a part which rules ask for.
    pub id: String,
    /// Name for people.
    pub name: Words,
    /// Price of one.
    pub price_minor: i64,
    /// Mass of one with its packing, kg; needed only to post it.
    pub mass_kg: Option<f64>,
}

/// What a customer asks the price of.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Kits and parts chosen.
    pub parts: Vec<Item>,
    /// Further parts that the job needs.
    pub extras: Vec<Item>,
    /// How it comes to the customer.
    pub work: Work,
    /// Paid so far.
    pub paid_minor: i64,
    /// Last day on which the quote holds, as `yyyy-mm-dd`.
    pub valid_until: String,
}

/// Some of a part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// Identifier in the price list.
    pub part: String,
    /// How many, at least 1.
    pub quantity: i64,
}

/// How the parts come to the customer.
#[derive(Debug, Clone, PartialEq)]
pub enum Work {
    /// Fitted on the ramp, charged by the typical time.
    Fitted {
        /// Typical ramp time, min.
        typical_minutes: f64,
    },
    /// Sent by post.
    Posted {
        /// Families of the kits, which may have tiers of their own; the dearest of them is charged.
        families: Vec<KitFamily>,
    },
    /// Sold over the counter.
    Collected,
}

/// A quote. The lines and the tax make the total; deposit and rest make the total.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Quote {
    /// Currency of every amount.
    pub currency: Currency,
    /// Last day on which it holds.
    pub valid_until: String,
    /// Where the prices come from.
    pub prices_source: String,
    /// What is charged.
    pub lines: Vec<Line>,
    /// Sum of the lines.
    pub without_tax_minor: i64,
    /// Name of the tax.
    pub tax_name: Words,
    /// Its rate.
    #[serde(serialize_with = "as_text")]
    pub tax_percent: Decimal,
    /// Tax on the sum of the lines.
    pub tax_minor: i64,
    /// To be paid in all.
    pub total_minor: i64,
    /// Of the total, paid in advance.
    pub deposit_minor: i64,
    /// Of the total, paid when the job is done.
    pub rest_minor: i64,
    /// Paid so far.
    pub paid_minor: i64,
    /// Still to pay; 0 once everything is paid.
    pub still_to_pay_minor: i64,
    /// To be paid back to the customer, who has paid more than the total; else 0.
    pub to_pay_back_minor: i64,
}

/// A line of a quote.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Line {
    /// What is charged.
    pub kind: LineKind,
    /// Name for people.
    pub name: Words,
    /// How much of it.
    pub quantity: Quantity,
    /// Price of one piece, or of one hour.
    pub unit_price_minor: i64,
    /// Price of the line.
    pub amount_minor: i64,
    /// Where price and quantity come from.
    pub source: LineSource,
}

/// What a line charges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum LineKind {
    /// A kit or part that was chosen.
    Part,
    /// A further part that the job needs.
    Extra,
    /// Small materials.
    Consumables,
    /// Time on the ramp.
    Labour,
    /// Carriage by post.
    Carriage,
}

/// How much of something a line charges.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// Pieces, each at the unit price.
    Pieces(i64),
    /// Minutes; the unit price is that of an hour.
    Minutes(i64),
}

/// Where a line's price and quantity come from.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(tag = "from", rename_all = "snake_case")]
pub enum LineSource {
    /// A part of the price list.
    PriceList {
        /// Its identifier.
        part: String,
    },
    /// The price list's amount for every job.
    PerJob,
    /// The labour rate and the typical ramp time.
    LabourRate {
        /// Typical ramp time, min.
        typical_minutes: f64,
        /// Step to which it is rounded up, min.
        step_minutes: i64,
    },
    /// A tier of carriage.
    CarriageTier {
        /// Mass of the parcel, kg.
        mass_kg: f64,
        /// Greatest mass of the tier, kg.
        up_to_kg: f64,
    },
}

/// Why no quote can be given.
#[derive(Debug, Clone, PartialEq)]
pub enum NoQuote {
    /// The price list does not have the part.
    UnknownPart(String),
    /// A part is to be posted whose mass the price list does not state.
    NoMass(String),
    /// No tier of carriage takes a parcel of this mass, kg.
    TooHeavyToPost(f64),
    /// A quantity, time, price or percentage that no sale has (negative, or beyond all bounds); which one.
    OutOfRange(&'static str),
}

impl fmt::Display for NoQuote {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Self::UnknownPart(id) => write!(f, "the price list has no part \"{id}\""),
            Self::NoMass(id) => {
                write!(f, "the price list states no mass for \"{id}\", which is to be posted")
            }
            Self::TooHeavyToPost(kg) => write!(f, "no tier of carriage takes a parcel of {kg:.1} kg"),
            Self::OutOfRange(what) => write!(f, "{what} is negative or beyond all bounds"),
        }
    }
}

impl std::error::Error for NoQuote {}

/// Draws up a quote.
///
/// # Errors
/// When something wanted has no price.
pub fn quote(prices: &PriceList, wanted: &Wanted) -> Result<Quote, NoQuote> {
    let mut lines = Vec::new();
    for item in &wanted.parts {
        lines.push(part_line(prices, LineKind::Part, item)?);
    }
    for item in &wanted.extras {
        lines.push(part_line(prices, LineKind::Extra, item)?);
    }
    match &wanted.work {
        Work::Fitted { typical_minutes } => {
            lines.push(consumables_line(prices)?);
            lines.push(labour_line(prices, *typical_minutes)?);
        }
        Work::Posted { families } => {
            let mass_kg = mass_kg(prices, wanted)?;
            lines.push(carriage_line(prices, mass_kg, families)?);
        }
        Work::Collected => {}
    }

    const SUM: NoQuote = NoQuote::OutOfRange("the sum");
    let sum = lines.iter().try_fold(0_i64, |sum, line| sum.checked_add(line.amount_minor));
    let without_tax_minor = sum.ok_or(SUM)?;
    let tax_minor = prices.rounding.percent_of(without_tax_minor, prices.tax.percent)?;
    let total_minor = without_tax_minor.checked_add(tax_minor).ok_or(SUM)?;
    let deposit_minor = prices.rounding.percent_of(total_minor, prices.deposit_percent)?;
    let paid_minor = not_negative(wanted.paid_minor, "the amount paid")?;
    Ok(Quote {
        currency: prices.currency.clone(),
        valid_until: wanted.valid_until.clone(),
        prices_source: prices.source.clone(),
        lines,
        without_tax_minor,
        tax_name: prices.tax.name.clone(),
        tax_percent: prices.tax.percent,
        tax_minor,
        total_minor,
        deposit_minor,
        rest_minor: total_minor - deposit_minor,
        paid_minor,
        still_to_pay_minor: (total_minor - paid_minor).max(0),
        to_pay_back_minor: (paid_minor - total_minor).max(0),
    })
}

fn part_line(prices: &PriceList, kind: LineKind, item: &Item) -> Result<Line, NoQuote> {
    let part = prices.wanted_part(&item.part)?;
    let source = LineSource::PriceList { part: part.id.clone() };
    piece_line(kind, part.name.clone(), item.quantity, part.price_minor, source)
}

fn consumables_line(prices: &PriceList) -> Result<Line, NoQuote> {
    let name = words("Consumables", "Kleinmaterial");
    piece_line(LineKind::Consumables, name, 1, prices.consumables_per_job_minor, LineSource::PerJob)
}

fn carriage_line(prices: &PriceList, mass_kg: f64, families: &[KitFamily]) -> Result<Line, NoQuote> {
    let tiers = families.iter().map(|family| prices.carriage(mass_kg, *family));
    let tiers = tiers.collect::<Option<Vec<&CarriageTier>>>().unwrap_or_default();
    let dearest = tiers.into_iter().max_by_key(|tier| tier.price_minor);
    let tier = dearest.ok_or(NoQuote::TooHeavyToPost(mass_kg))?;
    let source = LineSource::CarriageTier { mass_kg, up_to_kg: tier.up_to_kg };
    piece_line(LineKind::Carriage, words("Carriage", "Versand"), 1, tier.price_minor, source)
}

fn piece_line(
    kind: LineKind,
    name: Words,
    pieces: i64,
    unit_price_minor: i64,
    source: LineSource,
) -> Result<Line, NoQuote> {
    let amount = not_negative(pieces, "a quantity")?.checked_mul(not_negative(unit_price_minor, "a price")?);
    let amount_minor = amount.ok_or(NoQuote::OutOfRange("a price"))?;
    Ok(Line { kind, name, quantity: Quantity::Pieces(pieces), unit_price_minor, amount_minor, source })
}

fn labour_line(prices: &PriceList, typical_minutes: f64) -> Result<Line, NoQuote> {
    const MOST_MINUTES: f64 = 1e6;
    let LabourPrice { rate_per_hour_minor, step_minutes } = prices.labour;
    if !(0.0..=MOST_MINUTES).contains(&typical_minutes) {
        return Err(NoQuote::OutOfRange("the ramp time"));
    }
    if !(1..=MOST_MINUTES as i64).contains(&step_minutes) {
        return Err(NoQuote::OutOfRange("the step of labour"));
    }
    let minutes = (typical_minutes / step_minutes as f64).ceil() as i64 * step_minutes;
    let rate = Decimal::from(not_negative(rate_per_hour_minor, "the labour rate")?);
    let exact = rate.checked_mul(minutes.into()).and_then(|amount| amount.checked_div(60.into()));
    let amount_minor = prices.rounding.round(exact, "the price of labour")?;
    Ok(Line {
        kind: LineKind::Labour,
        name: words("Labour", "Arbeitszeit"),
        quantity: Quantity::Minutes(minutes),
        unit_price_minor: rate_per_hour_minor,
        amount_minor,
        source: LineSource::LabourRate { typical_minutes, step_minutes },
    })
}

/// Mass of everything wanted, kg.
fn mass_kg(prices: &PriceList, wanted: &Wanted) -> Result<f64, NoQuote> {
    let mass_kg = |item: &Item| {
        let part = prices.wanted_part(&item.part)?;
        let each_kg = part.mass_kg.ok_or_else(|| NoQuote::NoMass(part.id.clone()))?;
        Ok(each_kg * item.quantity as f64)
    };
    wanted.parts.iter().chain(&wanted.extras).map(mass_kg).sum()
}

fn not_negative(amount: i64, what: &'static str) -> Result<i64, NoQuote> {
    if amount < 0 { Err(NoQuote::OutOfRange(what)) } else { Ok(amount) }
}

fn words(en: &str, de: &str) -> Words {
    Words { en: en.into(), de: de.into() }
}

fn as_text<S: serde::Serializer>(value: &Decimal, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}

impl Rounding {
    /// A share of an amount.
    fn percent_of(self, amount_minor: i64, percent: Decimal) -> Result<i64, NoQuote> {
        if percent.is_sign_negative() || percent > Decimal::ONE_HUNDRED {
            return Err(NoQuote::OutOfRange("a percentage"));
        }
        let share = percent.checked_div(Decimal::ONE_HUNDRED);
        let exact = share.and_then(|share| share.checked_mul(amount_minor.into()));
        self.round(exact, "a share of the sum")
    }

    fn round(self, exact: Option<Decimal>, what: &'static str) -> Result<i64, NoQuote> {
        let strategy = match self {
            // away from zero is up, as no amount is negative
            Self::HalfUp => RoundingStrategy::MidpointAwayFromZero,
            Self::HalfEven => RoundingStrategy::MidpointNearestEven,
        };
        let rounded = exact.map(|exact| exact.round_dp_with_strategy(0, strategy));
        rounded.and_then(|rounded| i64::try_from(rounded).ok()).ok_or(NoQuote::OutOfRange(what))
    }
}

impl PriceList {
    /// A part by its identifier.
    pub fn part(&self, id: &str) -> Option<&PricedPart> {
        self.parts.iter().find(|part| part.id == id)
    }

    fn wanted_part(&self, id: &str) -> Result<&PricedPart, NoQuote> {
        self.part(id).ok_or_else(|| NoQuote::UnknownPart(id.to_owned()))
    }

    /// The tightest tier that takes a parcel: of those that name the kit's family or, where none names it, of those
    /// for every family.
    fn carriage(&self, mass_kg: f64, family: KitFamily) -> Option<&CarriageTier> {
        let is_named = self.carriage.iter().any(|tier| tier.families.contains(&family));
        let is_for_it = |tier: &&CarriageTier| {
            if is_named { tier.families.contains(&family) } else { tier.families.is_empty() }
        };
        self.carriage
            .iter()
            .filter(is_for_it)
            .filter(|tier| mass_kg <= tier.up_to_kg)
            .min_by(|a, b| a.up_to_kg.total_cmp(&b.up_to_kg).then(a.price_minor.cmp(&b.price_minor)))
    }
}

impl Currency {
    /// Its sign where it has one of its own, or its ISO 4217 code.
    pub fn sign(&self) -> &str {
        match self.code.as_str() {
            "EUR" => "€",
            "GBP" => "£",
            code => code,
        }
    }

    /// An amount for people, with its currency: `€1,234.50` in English, `1.234,50 €` in German, and with a code
    /// `CHF 1,234.50` and `1.234,50 CHF` (Unicode CLDR, currency patterns; the space does not break).
    pub fn text(&self, amount_minor: i64, language: Language) -> String {
        let (minus, sign) = (if amount_minor < 0 { "-" } else { "" }, self.sign());
        let number = self.number(amount_minor.unsigned_abs(), language);
        match language {
            Language::English if sign == self.code => format!("{minus}{sign}\u{a0}{number}"),
            Language::English => format!("{minus}{sign}{number}"),
            Language::German => format!("{minus}{number}\u{a0}{sign}"),
        }
    }

    /// An amount without its currency.
    pub fn number(&self, amount_minor: u64, language: Language) -> String {
        let (thousands, point) = match language {
            Language::English => (',', '.'),
            Language::German => ('.', ','),
        };
        let decimals = usize::from(self.minor_digits);
        let digits = format!("{amount_minor:0width$}", width = decimals + 1);
        let (whole, part) = digits.split_at(digits.len() - decimals);
        let mut number = String::new();
        for (place, digit) in whole.chars().enumerate() {
            if place > 0 && (whole.len() - place).is_multiple_of(3) {
                number.push(thousands);
            }
            number.push(digit);
        }
        if decimals > 0 {
            number.push(point);
            number.push_str(part);
        }
        number
    }
}

impl LineSource {
    /// Words for people.
    pub fn words(&self, language: Language) -> String {
        match (self, language) {
            (Self::PriceList { part }, Language::English) => format!("price list: {part}"),
            (Self::PriceList { part }, Language::German) => format!("Preisliste: {part}"),
            (Self::PerJob, Language::English) => "price list: for every job".into(),
            (Self::PerJob, Language::German) => "Preisliste: je Auftrag".into(),
            (Self::LabourRate { typical_minutes, step_minutes }, Language::English) => {
                format!(
                    "typical ramp time {typical_minutes:.0} min, rounded up to steps of {step_minutes} min"
                )
            }
            (Self::LabourRate { typical_minutes, step_minutes }, Language::German) => {
                format!("übliche Bühnenzeit {typical_minutes:.0} min, aufgerundet auf je {step_minutes} min")
            }
            (Self::CarriageTier { mass_kg, up_to_kg }, Language::English) => {
                format!("price list: parcel of {mass_kg:.1} kg, up to {up_to_kg} kg")
            }
            (Self::CarriageTier { mass_kg, up_to_kg }, Language::German) => {
                format!("Preisliste: Paket mit {mass_kg:.1} kg, bis {up_to_kg} kg").replace('.', ",")
            }
        }
    }
}

const MASS_KG: Range = range(0.01, 500.0);

impl Catalogue {
    /// Families of kits whose heaviest priced kit no tier of carriage takes, with the reason; none where the workshop
    /// posts nothing.
    pub fn families_not_posted(&self) -> Vec<(KitFamily, NoQuote)> {
        let Some(prices) = self.prices.as_ref().filter(|prices| !prices.carriage.is_empty()) else {
            return Vec::new();
        };
        let heaviest_kg = |family: KitFamily| {
            let kits = self.kits.iter().filter(move |kit| kit.family == family);
            kits.filter_map(|kit| prices.part(&kit.id)?.mass_kg).max_by(f64::total_cmp)
        };
        KitFamily::SOLD
            .iter()
            .filter_map(|&(_, family)| {
                let why = carriage_line(prices, heaviest_kg(family)?, &[family]).err()?;
                Some((family, why))
            })
            .collect()
    }
}

/// Reads the workshop's price list.
pub fn read_prices(f: &mut Fields) -> PriceList {
    let currency = f.table("currency", "Currency of every amount", Currency::read);
    let digits = currency.minor_digits;
    let prices = PriceList {
        source: f.text("source", "Where the prices come from and since when they hold"),
        rounding: f.choice(
            "rounding",
            &[("half_up", Rounding::HalfUp), ("half_even", Rounding::HalfEven)],
            "How amounts between two minor units are rounded",
        ),
        labour: f.table("labour", "Price of labour", |f| LabourPrice {
            rate_per_hour_minor: read_amount(f, "rate_per_hour", digits, "Rate per hour"),
            step_minutes: f.integer("step_minutes", 1..=480, "Time is rounded up to whole steps"),
        }),
        consumables_per_job_minor: read_amount(
            f,
            "consumables_per_job",
            digits,
            "Cleaner, grease, thread lock, rags and the like",
        ),
        tax: f.table("tax", "Tax on the whole", |f| Tax {
            name: f.table("name", "Name for people", Words::read),
            percent: read_percent(f, "percent", "Rate"),
        }),
        deposit_percent: read_percent(f, "deposit_percent", "Share of the total that is paid in advance"),
        carriage: f.list("carriage", "Carriage by post", |f| CarriageTier {
            up_to_kg: f.number("up_to_kg", MASS_KG, "Greatest mass of the parcel"),
            families: f.choice_list("families", KitFamily::SOLD, 0..=10, "Kit families it is for"),
            price_minor: read_amount(f, "price", digits, "Price"),
        }),
        parts: f.list("parts", "Kits and parts", |f| PricedPart {
            id: f.id("id", "Identifier of the kit, or of a part that rules ask for"),
            name: f.table("name", "Name for people", Words::read),
            price_minor: read_amount(f, "price", digits, "Price of one"),
            mass_kg: f.optional_number("mass_kg", MASS_KG, "Mass of one with its packing"),
        }),
        currency,
    };
    for (place, part) in prices.parts.iter().enumerate() {
        if f.is_sound() && prices.parts[..place].iter().any(|other| other.id == part.id) {
            let found = format!("\"{}\" a second time", part.id);
            f.fault_at(&format!("parts[{place}].id"), &found, "an identifier of its own");
        }
    }
    prices
}

impl Currency {
    fn read(f: &mut Fields) -> Self {
        let code = f.text("code", "ISO 4217 code");
        if f.is_sound() && !(code.len() == 3 && code.bytes().all(|byte| byte.is_ascii_uppercase())) {
            f.fault_at("code", &format!("text {code:?}"), "three capital letters, such as \"EUR\"");
        }
        let minor_digits = f.integer("minor_digits", 0..=3, "Decimals of an amount");
        Self { code, minor_digits: u8::try_from(minor_digits).unwrap_or(0) }
    }
}

/// Reads an amount written as decimal text, in minor units.
fn read_amount(f: &mut Fields, name: &str, digits: u8, doc: &str) -> i64 {
    const MOST_PLACES: usize = 7;
    let doc = format!("{doc}, without tax; an amount in quotes, such as \"149.90\"");
    let text = f.text(name, &doc);
    let amount = plain_decimal(&text)
        .filter(|(whole, part)| whole.len() <= MOST_PLACES && part.len() <= digits.into())
        .and_then(|(whole, part)| format!("{whole}{part:0<width$}", width = digits.into()).parse().ok());
    amount.unwrap_or_else(|| {
        let allowed = format!("an amount below 10000000 with at most {digits} decimals, as \"149.90\"");
        refuse_text(f, name, &text, &allowed)
    })
}

/// Reads a percentage from 0 to 100 written as decimal text.
fn read_percent(f: &mut Fields, name: &str, doc: &str) -> Decimal {
    const MOST_DECIMALS: usize = 4;
    let text = f.text(name, &format!("{doc}; a percentage in quotes, such as \"19\" or \"8.1\""));
    let percent = plain_decimal(&text)
        .filter(|(_, part)| part.len() <= MOST_DECIMALS)
        .and_then(|_| text.parse::<Decimal>().ok())
        .filter(|percent| *percent <= Decimal::ONE_HUNDRED);
    percent.unwrap_or_else(|| {
        let allowed = format!("a percentage from 0 to 100 with at most {MOST_DECIMALS} decimals, as \"8.1\"");
        refuse_text(f, name, &text, &allowed)
    })
}

/// The digits before and after the point of a number without sign, separators and exponent.
fn plain_decimal(text: &str) -> Option<(&str, &str)> {
    let is_digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    match text.split_once('.') {
        Some((whole, part)) => (is_digits(whole) && is_digits(part)).then_some((whole, part)),
        None => is_digits(text).then_some((text, "")),
    }
}

/// Refuses a text that was read; one that could not be read at all (empty) has its fault already.
fn refuse_text<T: Default>(f: &mut Fields, name: &str, text: &str, allowed: &str) -> T {
    if !text.is_empty() {
        f.fault_at(name, &format!("text {text:?}"), allowed);
    }
    T::default()
}
