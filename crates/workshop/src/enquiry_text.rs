//! An enquiry's document as it is written on: one answer is put in or taken out, and everything else stays as it
//! stands, remarks included.

use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

/// The text of an enquiry, to be changed answer by answer.
#[derive(Debug, Clone)]
pub struct EnquiryText(DocumentMut);

/// One line of a load list as it is put into a document.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ItemText {
    /// Item of the workshop's list.
    pub item: Option<String>,
    /// Name, where it is not that of the list.
    pub name: Option<String>,
    /// Numbers by field, such as `mass_kg`.
    pub numbers: Vec<(&'static str, f64)>,
    /// Evidence of the mass.
    pub evidence: Option<String>,
    /// Load states in which it is aboard, by their names in files.
    pub states: Vec<String>,
}

impl EnquiryText {
    /// A new enquiry about a grade of a vehicle sheet.
    pub fn new(id: &str, question: &str, vehicle: &str, grade: &str) -> Self {
        let mut text = Self(DocumentMut::new());
        for (name, value) in [("id", id), ("question", question), ("vehicle", vehicle), ("grade", grade)] {
            text.set(&[name], Some(value.into()));
        }
        text
    }

    /// A document that is there already.
    ///
    /// # Errors
    /// What keeps it from being TOML, in the words of the reader.
    pub fn read(text: &str) -> Result<Self, String> {
        text.parse().map(Self).map_err(|e: toml_edit::TomlError| e.message().to_owned())
    }

    /// Puts a value where the path leads, tables made where they are missing; none takes it out, and tables that
    /// are left empty with it.
    pub fn set(&mut self, path: &[&str], value: Option<Value>) {
        set_in(self.0.as_table_mut(), path, value);
    }

    /// Puts text, or nothing where it is blank.
    pub fn set_text(&mut self, path: &[&str], text: &str) {
        let text = text.trim();
        self.set(path, (!text.is_empty()).then(|| text.into()));
    }

    /// Puts a number, or nothing.
    pub fn set_number(&mut self, path: &[&str], number: Option<f64>) {
        self.set(path, number.map(number_value));
    }

    /// The number where the path leads.
    pub fn number(&self, path: &[&str]) -> Option<f64> {
        let item = self.at(path)?;
        item.as_float().or_else(|| item.as_integer().map(|n| n as f64))
    }

    /// The text where the path leads.
    pub fn text(&self, path: &[&str]) -> Option<&str> {
        self.at(path)?.as_str()
    }

    fn at(&self, path: &[&str]) -> Option<&Item> {
        path.iter().try_fold(self.0.as_item(), |item, name| item.get(name))
    }

    /// What is answered to a fact; none where it is not known.
    pub fn fact(&self, fact: &str) -> Option<&str> {
        let facts = self.0.get("facts")?.as_array_of_tables()?;
        let known = facts.iter().find(|known| is_about(known, fact))?;
        known.get("is")?.as_array()?.get(0)?.as_str()
    }

    /// Answers a fact; none makes it unknown again.
    pub fn set_fact(&mut self, fact: &str, answer: Option<&str>) {
        self.change("facts", |facts| {
            facts.retain(|known| !is_about(known, fact));
            if let Some(answer) = answer {
                let mut table = Table::new();
                table.insert("fact", fact.into());
                table.insert("is", Item::Value(Array::from_iter([answer]).into()));
                facts.push(table);
            }
        });
    }

    /// Number of lines of the load list.
    pub fn item_count(&self) -> usize {
        self.0.get("items").and_then(Item::as_array_of_tables).map_or(0, ArrayOfTables::len)
    }

    /// Puts a line of the load list in the place of another, or behind all.
    pub fn put_item(&mut self, place: Option<usize>, item: &ItemText) {
        self.change("items", |items| match place.and_then(|place| items.get_mut(place)) {
            Some(table) => *table = item.table(),
            None => items.push(item.table()),
        });
    }

    /// What tells a line of the load list from the others: its item or its name, and which it is among those alike.
    pub fn item_key(&self, place: usize) -> Option<String> {
        let items = self.0.get("items")?.as_array_of_tables()?;
        let named = |table: &Table| {
            let named = table.get("item").or_else(|| table.get("name"));
            named.and_then(Item::as_str).unwrap_or_default().to_owned()
        };
        let name = named(items.get(place)?);
        let before = items.iter().take(place).filter(|table| named(table) == name).count();
        Some(format!("{before} {name}"))
    }

    /// Whether a line of the load list is of the workshop's list, so that what it does not state follows from there.
    pub fn item_is_listed(&self, place: usize) -> bool {
        let items = self.0.get("items").and_then(Item::as_array_of_tables);
        items.and_then(|items| items.get(place)).is_some_and(|table| table.contains_key("item"))
    }

    /// Puts one field of a line of the load list, or takes it out.
    pub fn set_in_item(&mut self, place: usize, field: &str, value: Option<Value>) {
        let items = self.0.get_mut("items").and_then(Item::as_array_of_tables_mut);
        if let Some(table) = items.and_then(|items| items.get_mut(place)) {
            set_in(table, &[field], value);
        }
    }

    /// Puts one number of a line of the load list, or takes it out.
    pub fn set_item_number(&mut self, place: usize, field: &str, number: Option<f64>) {
        self.set_in_item(place, field, number.map(number_value));
    }

    /// Load states in which a line of the load list is aboard.
    pub fn set_item_states(&mut self, place: usize, states: &[&str]) {
        self.set_in_item(place, "in", Some(Array::from_iter(states.iter().copied()).into()));
    }

    /// Takes a line out of the load list.
    pub fn remove_item(&mut self, place: usize) {
        self.change("items", |items| {
            if place < items.len() {
                items.remove(place);
            }
        });
    }

    /// Scale readings of a load state, by `axles` or by `corners`, in the place of those of that state.
    pub fn set_weighing(&mut self, state: &str, by: &str, readings_kg: &[(&str, f64)]) {
        self.change("weighed", |weighed| {
            weighed.retain(|known| known.get("state").and_then(Item::as_str) != Some(state));
            if !readings_kg.is_empty() {
                let mut table = Table::new();
                table.insert("state", state.into());
                let readings = readings_kg.iter().map(|(name, kg)| (*name, number_value(*kg)));
                table.insert(by, Item::Value(toml_edit::InlineTable::from_iter(readings).into()));
                weighed.push(table);
            }
        });
    }

    /// Changes the list of tables of a name, made where it is missing; one that is left empty goes.
    fn change(&mut self, name: &str, change: impl FnOnce(&mut ArrayOfTables)) {
        let old = self.0.remove(name).and_then(|item| item.into_array_of_tables().ok());
        let mut tables = old.unwrap_or_default();
        change(&mut tables);
        if !tables.is_empty() {
            self.0.insert(name, Item::ArrayOfTables(tables));
        }
    }
}

impl std::fmt::Display for EnquiryText {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

impl ItemText {
    /// The line as a table.
    fn table(&self) -> Table {
        let mut table = Table::new();
        let texts = [("item", &self.item), ("name", &self.name), ("evidence", &self.evidence)];
        for (field, text) in texts {
            if let Some(text) = text {
                table.insert(field, text.as_str().into());
            }
        }
        for (field, number) in &self.numbers {
            table.insert(field, Item::Value(number_value(*number)));
        }
        table.insert("in", Item::Value(Array::from_iter(self.states.iter().map(String::as_str)).into()));
        table
    }
}

fn is_about(known: &Table, fact: &str) -> bool {
    known.get("fact").and_then(Item::as_str) == Some(fact)
}

/// A number as short as it can be written: whole ones without decimals.
fn number_value(number: f64) -> Value {
    // whole numbers of this size are exact
    if number.fract() == 0.0 && number.abs() < 1e15 { (number as i64).into() } else { number.into() }
}

fn set_in(table: &mut dyn TableLike, path: &[&str], value: Option<Value>) {
    match path {
        [] => {}
        [name] => match value {
            Some(value) => {
                table.insert(name, Item::Value(value));
            }
            None => {
                table.remove(name);
            }
        },
        [name, rest @ ..] => {
            if value.is_some() && !table.get(name).is_some_and(Item::is_table_like) {
                table.insert(name, Item::Table(Table::new()));
            }
            let Some(inner) = table.get_mut(name).and_then(Item::as_table_like_mut) else { return };
            set_in(inner, rest, value);
            if inner.is_empty() {
                table.remove(name);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WRITTEN: &str = "\
# taken by telephone
id = \"day-van\"
question = \"Lower?\" # about a hand
vehicle = \"sorvel\"
grade = \"light\"

[[items]]
item = \"tow-hitch\"
in = [\"day_to_day\"]

[wish]
by = \"drop\"
drop_against_today_mm = 40

[[facts]]
fact = \"strut-mount\"
is = [\"slip-in-tube\"]
";

    fn written() -> EnquiryText {
        EnquiryText::read(WRITTEN).unwrap()
    }

    #[test]
    fn law_what_is_not_changed_stays_to_the_letter() {
        let mut text = written();
        assert_eq!(text.to_string(), WRITTEN);
        text.set_number(&["wish", "drop_against_today_mm"], Some(35.0));
        assert_eq!(text.to_string(), WRITTEN.replace("= 40", "= 35"));
    }

    #[test]
    fn law_put_in_and_taken_out_leaves_what_was_there() {
        let mut text = written();
        text.set_fact("drop-links", Some("long"));
        assert_eq!(text.fact("drop-links"), Some("long"));
        text.set_number(&["as_found", "front_left_mm"], Some(433.5));
        text.set_weighing("on_the_ramp", "axles", &[("front_kg", 1162.0), ("rear_kg", 1134.0)]);
        text.put_item(
            None,
            &ItemText {
                item: Some("bed-bench".into()),
                states: vec!["day_to_day".into()],
                ..ItemText::default()
            },
        );
        assert_eq!(text.item_count(), 2);
        // read anew, as it is kept
        let mut text = EnquiryText::read(&text.to_string()).unwrap();
        assert_eq!(text.number(&["as_found", "front_left_mm"]), Some(433.5));
        text.set_fact("drop-links", None);
        text.set_number(&["as_found", "front_left_mm"], None);
        text.set_weighing("on_the_ramp", "axles", &[]);
        text.remove_item(1);
        assert_eq!(text.to_string(), WRITTEN);
    }

    #[test]
    fn law_one_field_of_one_line_is_changed_and_no_other() {
        let mut text = written();
        assert_eq!(text.item_key(0).as_deref(), Some("0 tow-hitch"));
        assert!(text.item_is_listed(0) && !text.item_is_listed(1));
        text.set_item_number(0, "mass_kg", Some(31.5));
        text.set_item_states(0, &["day_to_day", "fully_laden"]);
        assert!(text.to_string().contains("mass_kg = 31.5"));
        assert!(text.to_string().contains("\"fully_laden\""));
        text.set_item_number(0, "mass_kg", None);
        text.set_item_states(0, &["day_to_day"]);
        text.set_item_number(7, "mass_kg", Some(1.0));
        assert_eq!(text.to_string(), WRITTEN);
    }

    #[test]
    fn law_an_answer_takes_the_place_of_the_one_before() {
        let mut text = written();
        text.set_fact("strut-mount", Some("bolted-flange"));
        assert_eq!(text.fact("strut-mount"), Some("bolted-flange"));
        assert_eq!(text.to_string().matches("strut-mount").count(), 1);
        text.set_fact("strut-mount", None);
        assert!(!text.to_string().contains("facts"));
    }

    #[test]
    fn law_a_new_enquiry_is_read_as_it_was_meant() {
        let mut text = EnquiryText::new("p-1", "How low\" can it be?", "sorvel", "light");
        text.set_text(&["furnishing"], "camper");
        text.set_text(&["wish", "by"], "level");
        let read = EnquiryText::read(&text.to_string()).unwrap();
        assert_eq!(read.text(&["question"]), Some("How low\" can it be?"));
        assert_eq!((read.text(&["furnishing"]), read.text(&["wish", "by"])), (Some("camper"), Some("level")));
    }
}
