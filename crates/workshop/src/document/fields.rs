//! The fields of one table, as a reader asks for them.

use std::ops::RangeInclusive;

use serde_json::{Value, json};
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use super::fault::{Fault, Source};
use super::range::Range;
use super::rule::{self, Rule};
use super::schema::Shape;

/// A reader of one table, as [`Fields::variant`] takes it.
pub type Reader<'r, T> = &'r dyn Fn(&mut Fields) -> T;

/// Whether the rows of a list of pairs must come in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Order {
    /// Rows in any order.
    Any,
    /// The first column strictly rises.
    Rising,
}

/// The fields of one table of a document, see the [module page](super).
///
/// Every method takes the field's name and a `doc`, one line that says what it is, for the schema. The unit shown in
/// messages comes from the name ([`unit_of`](super::unit_of)). Choices and variants need at least one option.
pub struct Fields<'a> {
    /// The table being read; none while describing.
    table: Option<Table<'a>>,
    /// Dotted path of the table, empty for the document.
    path: String,
    /// Fields asked for so far.
    known: Vec<String>,
    /// Set where the fields allowed cannot be told, because the variant is at fault.
    any_field_goes: bool,
    faults: Vec<Fault>,
    shape: Shape,
}

#[derive(Clone, Copy)]
struct Table<'a> {
    source: &'a Source<'a>,
    entries: &'a DeTable<'a>,
    /// Byte offset of the table in the text.
    start: usize,
}

/// Single values.
impl Fields<'_> {
    /// A finite number within `range`.
    pub fn number(&mut self, name: &str, range: Range, doc: &str) -> f64 {
        self.required(name, doc, &rule::number(name, range))
    }

    /// A finite number within `range`, if given.
    pub fn optional_number(&mut self, name: &str, range: Range, doc: &str) -> Option<f64> {
        self.optional(name, doc, &rule::number(name, range))
    }

    /// A finite number within `range`, `default` if not given.
    pub fn number_or(&mut self, name: &str, range: Range, default: f64, doc: &str) -> f64 {
        self.defaulted(name, doc, rule::number(name, range), default)
    }

    /// A whole number within `range`.
    pub fn integer(&mut self, name: &str, range: RangeInclusive<i64>, doc: &str) -> i64 {
        self.required(name, doc, &rule::integer(name, range))
    }

    /// A whole number within `range`, if given.
    pub fn optional_integer(&mut self, name: &str, range: RangeInclusive<i64>, doc: &str) -> Option<i64> {
        self.optional(name, doc, &rule::integer(name, range))
    }

    /// A whole number within `range`, `default` if not given.
    pub fn integer_or(&mut self, name: &str, range: RangeInclusive<i64>, default: i64, doc: &str) -> i64 {
        self.defaulted(name, doc, rule::integer(name, range), default)
    }

    /// `true` or `false`.
    pub fn flag(&mut self, name: &str, doc: &str) -> bool {
        self.required(name, doc, &rule::flag())
    }

    /// `true` or `false`, if given.
    pub fn optional_flag(&mut self, name: &str, doc: &str) -> Option<bool> {
        self.optional(name, doc, &rule::flag())
    }

    /// `true` or `false`, `default` if not given.
    pub fn flag_or(&mut self, name: &str, default: bool, doc: &str) -> bool {
        self.defaulted(name, doc, rule::flag(), default)
    }

    /// One line of text, not blank, trimmed.
    pub fn text(&mut self, name: &str, doc: &str) -> String {
        self.required(name, doc, &rule::text())
    }

    /// One line of text, not blank, trimmed, if given.
    pub fn optional_text(&mut self, name: &str, doc: &str) -> Option<String> {
        self.optional(name, doc, &rule::text())
    }

    /// An identifier: lower-case letters, digits and hyphens.
    pub fn id(&mut self, name: &str, doc: &str) -> String {
        self.required(name, doc, &rule::id())
    }

    /// An identifier, if given.
    pub fn optional_id(&mut self, name: &str, doc: &str) -> Option<String> {
        self.optional(name, doc, &rule::id())
    }

    /// Identifier of a kit, or of two kits together as `springs+dampers`.
    pub fn kit_id(&mut self, name: &str, doc: &str) -> String {
        self.required(name, doc, &rule::kit_id())
    }

    /// Identifier of a kit, or of two kits together, if given.
    pub fn optional_kit_id(&mut self, name: &str, doc: &str) -> Option<String> {
        self.optional(name, doc, &rule::kit_id())
    }

    /// One of the named `options`.
    pub fn choice<T: Copy>(&mut self, name: &str, options: &[(&str, T)], doc: &str) -> T {
        self.required(name, doc, &rule::choice(options))
    }

    /// One of the named `options`, if given.
    pub fn optional_choice<T: Copy>(&mut self, name: &str, options: &[(&str, T)], doc: &str) -> Option<T> {
        self.optional(name, doc, &rule::choice(options))
    }

    /// A day, given as TOML date or as text, as `yyyy-mm-dd`.
    pub fn date(&mut self, name: &str, doc: &str) -> String {
        self.required(name, doc, &rule::date())
    }

    /// A day, if given.
    pub fn optional_date(&mut self, name: &str, doc: &str) -> Option<String> {
        self.optional(name, doc, &rule::date())
    }

    fn required<T: Clone>(&mut self, name: &str, doc: &str, rule: &Rule<T>) -> T {
        let value = self.single(name, doc, rule, true);
        value.unwrap_or_else(|| rule.harmless.clone())
    }

    fn optional<T>(&mut self, name: &str, doc: &str, rule: &Rule<T>) -> Option<T> {
        self.single(name, doc, rule, false)
    }

    fn defaulted<T: Clone + Into<Value>>(
        &mut self,
        name: &str,
        doc: &str,
        mut rule: Rule<T>,
        default: T,
    ) -> T {
        rule.schema["default"] = default.clone().into();
        self.optional(name, doc, &rule).unwrap_or(default)
    }

    fn single<T>(&mut self, name: &str, doc: &str, rule: &Rule<T>, required: bool) -> Option<T> {
        self.declare(name, doc, || rule.schema.clone(), required);
        let value = self.value(name, required, || rule.allowed.clone())?;
        self.checked(&self.field_path(name), value, rule)
    }
}

/// Lists of values.
impl Fields<'_> {
    /// Three numbers `[x, y, z]`, each within `range`.
    pub fn point3(&mut self, name: &str, range: Range, doc: &str) -> [f64; 3] {
        let point = self.several(name, doc, &rule::number(name, range), 3..=3, true);
        point.and_then(|point| point.try_into().ok()).unwrap_or([range.min; 3])
    }

    /// Three numbers `[x, y, z]`, each within `range`, if given.
    pub fn optional_point3(&mut self, name: &str, range: Range, doc: &str) -> Option<[f64; 3]> {
        self.several(name, doc, &rule::number(name, range), 3..=3, false)?.try_into().ok()
    }

    /// Numbers within `range`, as many as `count` allows; may be absent where it allows none.
    pub fn number_list(
        &mut self,
        name: &str,
        range: Range,
        count: RangeInclusive<usize>,
        doc: &str,
    ) -> Vec<f64> {
        self.list_of(name, doc, &rule::number(name, range), count)
    }

    /// Lines of text, as many as `count` allows; may be absent where it allows none.
    pub fn text_list(&mut self, name: &str, count: RangeInclusive<usize>, doc: &str) -> Vec<String> {
        self.list_of(name, doc, &rule::text(), count)
    }

    /// Identifiers, as many as `count` allows; may be absent where it allows none.
    pub fn id_list(&mut self, name: &str, count: RangeInclusive<usize>, doc: &str) -> Vec<String> {
        self.list_of(name, doc, &rule::id(), count)
    }

    /// Some of the named `options`, as many as `count` allows; may be absent where it allows none.
    pub fn choice_list<T: Copy>(
        &mut self,
        name: &str,
        options: &[(&str, T)],
        count: RangeInclusive<usize>,
        doc: &str,
    ) -> Vec<T> {
        self.list_of(name, doc, &rule::choice(options), count)
    }

    /// Rows `[a, b]` of two named columns, at least `at_least` of them. A faulty list gives harmless rows that keep
    /// to the order, too.
    pub fn pairs(
        &mut self,
        name: &str,
        columns: [(&str, Range); 2],
        at_least: usize,
        order: Order,
        doc: &str,
    ) -> Vec<[f64; 2]> {
        self.rows(name, columns, at_least, order, doc, true)
            .unwrap_or_else(|| harmless_rows(columns, at_least))
    }

    /// Rows `[a, b]` of two named columns, if given.
    pub fn optional_pairs(
        &mut self,
        name: &str,
        columns: [(&str, Range); 2],
        at_least: usize,
        order: Order,
        doc: &str,
    ) -> Option<Vec<[f64; 2]>> {
        self.rows(name, columns, at_least, order, doc, false)
    }

    fn list_of<T: Clone>(
        &mut self,
        name: &str,
        doc: &str,
        rule: &Rule<T>,
        count: RangeInclusive<usize>,
    ) -> Vec<T> {
        let least = *count.start();
        let items = self.several(name, doc, rule, count, least > 0);
        items.unwrap_or_else(|| vec![rule.harmless.clone(); least])
    }

    /// The items of a list, or none if it is absent or anything in it is at fault.
    fn several<T>(
        &mut self,
        name: &str,
        doc: &str,
        rule: &Rule<T>,
        count: RangeInclusive<usize>,
        required: bool,
    ) -> Option<Vec<T>> {
        let schema = || {
            let mut schema = json!({ "type": "array", "items": rule.schema, "minItems": count.start() });
            if *count.end() < usize::MAX {
                schema["maxItems"] = (*count.end()).into();
            }
            schema
        };
        self.declare(name, doc, schema, required);
        let how_many = match (*count.start(), *count.end()) {
            (least, most) if least == most => format!("{least}"),
            (least, usize::MAX) => format!("{least} or more"),
            (least, most) => format!("{least} to {most}"),
        };
        let allowed = || format!("a list [...] of {how_many}, each {}", rule.allowed);
        let value = self.value(name, required, allowed)?;
        let path = self.field_path(name);
        let items = self.array(&path, value, |length| count.contains(&length), allowed)?;
        let read: Vec<Option<T>> = items
            .iter()
            .enumerate()
            .map(|(place, item)| self.checked(&format!("{path}[{place}]"), item, rule))
            .collect();
        read.into_iter().collect()
    }

    fn rows(
        &mut self,
        name: &str,
        columns: [(&str, Range); 2],
        at_least: usize,
        order: Order,
        doc: &str,
        required: bool,
    ) -> Option<Vec<[f64; 2]>> {
        let rules = columns.map(|(column, range)| rule::number(column, range));
        let [first, second] = columns.map(|(column, _)| column);
        let schema = || {
            let [a, b] = [0, 1].map(|i| {
                let mut schema = rules[i].schema.clone();
                schema["title"] = columns[i].0.into();
                schema
            });
            let row = json!({ "type": "array", "prefixItems": [a, b], "items": false, "minItems": 2 });
            let order = if order == Order::Rising { "first column strictly rising" } else { "any" };
            json!({ "type": "array", "items": row, "minItems": at_least, "x-order": order })
        };
        self.declare(name, doc, schema, required);
        let allowed = || format!("a list of {at_least} or more pairs [{first}, {second}]");
        let value = self.value(name, required, allowed)?;
        let path = self.field_path(name);
        let items = self.array(&path, value, |length| length >= at_least, allowed)?;
        let read: Vec<Option<[f64; 2]>> = items
            .iter()
            .enumerate()
            .map(|(place, item)| self.row(&format!("{path}[{place}]"), [first, second], item, &rules))
            .collect();
        let rows: Vec<[f64; 2]> = read.into_iter().collect::<Option<_>>()?;
        if order == Order::Rising
            && let Some(place) = rows.windows(2).position(|two| two[1][0] <= two[0][0])
        {
            let [before, [now, _]] = [rows[place], rows[place + 1]];
            let row_path = format!("{path}[{}].{first}", place + 1);
            let allowed = format!("more than the {} of the row before", before[0]);
            self.refuse(items[place + 1].span().start, &row_path, now.to_string(), allowed);
            return None;
        }
        Some(rows)
    }

    fn row(
        &mut self,
        path: &str,
        [first, second]: [&str; 2],
        item: &Spanned<DeValue>,
        rules: &[Rule<f64>; 2],
    ) -> Option<[f64; 2]> {
        let cells: &[Spanned<DeValue>] = item.get_ref().as_array().map_or(&[], |cells| &cells[..]);
        let [a, b] = cells else {
            let allowed = format!("a pair [{first}, {second}]");
            self.refuse(item.span().start, path, rule::found(item.get_ref()), allowed);
            return None;
        };
        let a = self.checked(&format!("{path}.{first}"), a, &rules[0]);
        let b = self.checked(&format!("{path}.{second}"), b, &rules[1]);
        Some([a?, b?])
    }

    /// The items of a value that must be a list of a permitted length.
    fn array<'v>(
        &mut self,
        path: &str,
        value: &'v Spanned<DeValue<'v>>,
        is_permitted: impl Fn(usize) -> bool,
        allowed: impl Fn() -> String,
    ) -> Option<&'v DeArray<'v>> {
        let items = value.get_ref().as_array().filter(|items| is_permitted(items.len()));
        if items.is_none() {
            self.refuse(value.span().start, path, rule::found(value.get_ref()), allowed());
        }
        items
    }
}

/// Tables within the table.
impl<'a> Fields<'a> {
    /// A table.
    pub fn table<T>(&mut self, name: &str, doc: &str, reader: impl FnOnce(&mut Fields) -> T) -> T {
        let path = self.field_path(name);
        let value = self.value(name, true, || "a table".to_owned());
        match value.and_then(|value| self.inner_table(&path, value)) {
            Some(table) => {
                self.known.push(name.to_owned());
                self.read_inner(path, table, reader)
            }
            None => {
                let (value, shape) = Fields::describe(reader);
                self.declare(name, doc, || shape.into_object().into(), true);
                value
            }
        }
    }

    /// A table, if given.
    pub fn optional_table<T>(
        &mut self,
        name: &str,
        doc: &str,
        reader: impl FnOnce(&mut Fields) -> T,
    ) -> Option<T> {
        if self.is_describing() {
            let (_, shape) = Fields::describe(reader);
            self.declare(name, doc, || shape.into_object().into(), false);
            return None;
        }
        self.known.push(name.to_owned());
        let path = self.field_path(name);
        let value = self.value(name, false, String::new)?;
        let table = self.inner_table(&path, value)?;
        Some(self.read_inner(path, table, reader))
    }

    /// A list of tables (`[[name]]`), empty if absent.
    pub fn list<T>(&mut self, name: &str, doc: &str, reader: impl FnMut(&mut Fields) -> T) -> Vec<T> {
        self.tables(name, doc, 0, reader)
    }

    /// A list of at least one table; never empty, even after a fault.
    pub fn non_empty_list<T>(
        &mut self,
        name: &str,
        doc: &str,
        mut reader: impl FnMut(&mut Fields) -> T,
    ) -> Vec<T> {
        let mut items = self.tables(name, doc, 1, &mut reader);
        if items.is_empty() {
            items.push(Fields::describe(reader).0);
        }
        items
    }

    fn tables<T>(
        &mut self,
        name: &str,
        doc: &str,
        at_least: usize,
        mut reader: impl FnMut(&mut Fields) -> T,
    ) -> Vec<T> {
        if self.is_describing() {
            let (_, shape) = Fields::describe(reader);
            let schema = || json!({ "type": "array", "items": shape.into_object(), "minItems": at_least });
            self.declare(name, doc, schema, at_least > 0);
            return Vec::new();
        }
        self.known.push(name.to_owned());
        let path = self.field_path(name);
        let how_many = if at_least > 0 { format!("{at_least} or more ") } else { String::new() };
        let allowed = || format!("a list of {how_many}tables, each under its own line [[{name}]]");
        let Some(value) = self.value(name, at_least > 0, allowed) else { return Vec::new() };
        let is_permitted = |length| length >= at_least;
        let Some(items) = self.array(&path, value, is_permitted, allowed) else { return Vec::new() };
        let mut read = Vec::with_capacity(items.len());
        for (place, item) in items.iter().enumerate() {
            let item_path = format!("{path}[{place}]");
            if let Some(table) = self.inner_table(&item_path, item) {
                read.push(self.read_inner(item_path, table, &mut reader));
            }
        }
        read
    }

    /// A table of tables with free names, in the order of the file, empty if absent. The reader is given the name
    /// (empty while describing).
    pub fn map<T>(
        &mut self,
        name: &str,
        doc: &str,
        mut reader: impl FnMut(&str, &mut Fields) -> T,
    ) -> Vec<(String, T)> {
        if self.is_describing() {
            let (_, shape) = Fields::describe(|f| reader("", f));
            let schema = || json!({ "type": "object", "additionalProperties": shape.into_object() });
            self.declare(name, doc, schema, false);
            return Vec::new();
        }
        self.known.push(name.to_owned());
        let Some(value) = self.value(name, false, String::new) else { return Vec::new() };
        let path = self.field_path(name);
        let Some(table) = self.inner_table(&path, value) else { return Vec::new() };
        let mut entries: Vec<_> = table.entries.iter().collect();
        entries.sort_by_key(|(key, _)| key.span().start);
        let mut read = Vec::with_capacity(entries.len());
        for (key, value) in entries {
            let (start, key) = (key.span().start, key.get_ref().as_ref());
            let entry_path = joined(&path, key);
            if !rule::is_line(key) {
                let allowed = "a name of one line that is not blank".to_owned();
                self.refuse(start, &entry_path, format!("the name {:?}", rule::shortened(key)), allowed);
            } else if let Some(table) = self.inner_table(&entry_path, value) {
                read.push((key.to_owned(), self.read_inner(entry_path, table, |f| reader(key, f))));
            }
        }
        read
    }

    /// One of several kinds of table, told apart by the text of the field `tag`, whose fields stand beside the tag.
    pub fn variant<T>(&mut self, tag: &str, doc: &str, variants: &[(&str, Reader<T>)]) -> T {
        let (_, first) = variants[0];
        if self.is_describing() {
            let (mut values, shapes): (Vec<T>, Vec<_>) = variants
                .iter()
                .map(|(name, reader)| {
                    let (value, shape) = Fields::describe(reader);
                    (value, (*name, shape))
                })
                .unzip();
            self.shape.variants(tag, doc, shapes);
            return values.swap_remove(0);
        }
        match self.single(tag, doc, &rule::choice(variants), true) {
            Some(reader) => reader(self),
            None => {
                self.any_field_goes = true;
                Fields::describe(first).0
            }
        }
    }
}

/// Checks across fields.
impl Fields<'_> {
    /// Whether the reader is only asked what it reads, and nothing is given.
    pub fn is_describing(&self) -> bool {
        self.table.is_none()
    }

    /// Whether all that was asked for so far is there and free of fault; only then checks across fields make sense.
    pub fn is_sound(&self) -> bool {
        !self.is_describing() && self.faults.is_empty()
    }

    /// Whether the field is given, whatever its value.
    pub fn has(&self, name: &str) -> bool {
        self.table.is_some_and(|table| table.entries.contains_key(name))
    }

    /// Demands that exactly one of the `names` is given; each is then read as optional.
    pub fn exactly_one_of(&mut self, names: &[&str]) {
        if self.is_describing() {
            self.shape.exactly_one_of(names);
            return;
        }
        let given: Vec<&str> = names.iter().copied().filter(|name| self.has(name)).collect();
        let allowed = format!("exactly one of {}", names.join(", "));
        match given[..] {
            [] => self.fault_at("", "none of them", &allowed),
            [_] => {}
            [_, second, ..] => self.fault_at(second, &given.join(" and "), &allowed),
        }
    }

    /// Adds a fault that the reader found itself. `field` is a path within this table (`front.rate_n_per_mm`,
    /// `items[2]`), empty for the table. Ignored while describing.
    pub fn fault_at(&mut self, field: &str, found: &str, allowed: &str) {
        let path = match (self.path.as_str(), field) {
            (path, "") => path.to_owned(),
            ("", field) => field.to_owned(),
            (path, field) => format!("{path}.{field}"),
        };
        self.refuse(self.start_of(field), &path, found.to_owned(), allowed.to_owned());
    }

    /// Byte offset of the field, or of the innermost table or list on the way to it that exists.
    fn start_of(&self, field: &str) -> usize {
        let Some(table) = self.table else { return 0 };
        let mut steps = field.split(['.', '[']).map(|step| step.trim_end_matches(']'));
        let Some(mut place) = steps.next().and_then(|name| table.entries.get(name)) else {
            return table.start;
        };
        for step in steps {
            let next = match place.get_ref() {
                DeValue::Table(entries) => entries.get(step),
                DeValue::Array(items) => step.parse().ok().and_then(|index: usize| items.get(index)),
                _ => None,
            };
            let Some(next) = next else { break };
            place = next;
        }
        place.span().start
    }
}

/// How tables are gone through.
impl<'a> Fields<'a> {
    fn new(table: Option<Table<'a>>, path: String) -> Self {
        let (known, faults, shape) = (Vec::new(), Vec::new(), Shape::default());
        Self { table, path, known, any_field_goes: false, faults, shape }
    }

    /// Reads the document itself.
    pub(super) fn read_root<T>(
        source: &'a Source<'a>,
        entries: &'a DeTable<'a>,
        reader: impl FnOnce(&mut Fields) -> T,
    ) -> (T, Vec<Fault>) {
        Fields::new(Some(Table { source, entries, start: 0 }), String::new()).run(reader)
    }

    /// Runs `reader` over nothing.
    pub(super) fn describe<T>(reader: impl FnOnce(&mut Fields) -> T) -> (T, Shape) {
        let mut fields = Fields::new(None, String::new());
        (reader(&mut fields), fields.shape)
    }

    fn read_inner<T>(&mut self, path: String, table: Table<'a>, reader: impl FnOnce(&mut Fields) -> T) -> T {
        let (value, faults) = Fields::new(Some(table), path).run(reader);
        self.faults.extend(faults);
        value
    }

    fn run<T>(mut self, reader: impl FnOnce(&mut Fields) -> T) -> (T, Vec<Fault>) {
        let value = reader(&mut self);
        self.refuse_unknown_fields();
        (value, self.faults)
    }

    fn refuse_unknown_fields(&mut self) {
        let Some(table) = self.table.filter(|_| !self.any_field_goes) else { return };
        for key in table.entries.keys() {
            let name = key.get_ref().as_ref();
            if self.known.iter().any(|known| known == name) {
                continue;
            }
            let advice = rule::did_you_mean(name, self.known.iter().map(String::as_str));
            let known = if self.known.is_empty() { "no fields".to_owned() } else { self.known.join(", ") };
            let allowed = format!("{known}{advice}");
            self.refuse(key.span().start, &self.field_path(name), "an unknown field".to_owned(), allowed);
        }
    }

    /// Notes a field as known, and its schema while describing.
    fn declare(&mut self, name: &str, doc: &str, schema: impl FnOnce() -> Value, required: bool) {
        if self.is_describing() {
            let unit = rule::in_brackets(super::unit_of(name));
            self.shape.field(name, &format!("{doc}{unit}"), schema(), required);
        } else {
            self.known.push(name.to_owned());
        }
    }

    /// The field's value; a fault if it is required and missing.
    fn value(
        &mut self,
        name: &str,
        required: bool,
        allowed: impl FnOnce() -> String,
    ) -> Option<&'a Spanned<DeValue<'a>>> {
        let table = self.table?;
        let value = table.entries.get(name);
        if value.is_none() && required {
            self.refuse(table.start, &self.field_path(name), "nothing".to_owned(), allowed());
        }
        value
    }

    fn checked<T>(&mut self, path: &str, value: &Spanned<DeValue>, rule: &Rule<T>) -> Option<T> {
        match rule.check(value.get_ref()) {
            Ok(value) => Some(value),
            Err((found, allowed)) => {
                self.refuse(value.span().start, path, found, allowed);
                None
            }
        }
    }

    /// A value that must be a table.
    fn inner_table(&mut self, path: &str, value: &'a Spanned<DeValue<'a>>) -> Option<Table<'a>> {
        let source = self.table?.source;
        let start = value.span().start;
        let Some(entries) = value.get_ref().as_table() else {
            self.refuse(start, path, rule::found(value.get_ref()), "a table".to_owned());
            return None;
        };
        Some(Table { source, entries, start })
    }

    fn refuse(&mut self, start: usize, path: &str, found: String, allowed: String) {
        if let Some(table) = self.table {
            self.faults.push(table.source.fault(start, path, found, allowed));
        }
    }

    fn field_path(&self, name: &str) -> String {
        joined(&self.path, name)
    }
}

/// Rows within the ranges whose first column rises.
fn harmless_rows([(_, first), (_, second)]: [(&str, Range); 2], count: usize) -> Vec<[f64; 2]> {
    let step = (first.max - first.min) / count as f64;
    (0..count).map(|row| [first.min + step * row as f64, second.min]).collect()
}

/// Path of a field within a table; names that TOML needs to quote are quoted.
fn joined(path: &str, name: &str) -> String {
    let is_bare = |name: &str| {
        !name.is_empty() && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_' || c == '-')
    };
    let name = rule::shortened(name);
    let name = if is_bare(&name) { name } else { format!("{name:?}") };
    if path.is_empty() { name } else { format!("{path}.{name}") }
}
