//! The JSON Schema of a table, as it is gathered while a reader describes itself.

use serde_json::{Map, Value, json};

/// What has been said about one table so far.
#[derive(Default)]
pub(super) struct Shape {
    properties: Map<String, Value>,
    required: Vec<String>,
    /// Further conditions: variants, and groups of which exactly one field is given.
    all_of: Vec<Value>,
    has_variants: bool,
}

impl Shape {
    /// Adds a field with its schema.
    pub(super) fn field(&mut self, name: &str, doc: &str, mut schema: Value, required: bool) {
        schema["description"] = doc.into();
        self.properties.insert(name.to_owned(), schema);
        if required {
            self.required.push(name.to_owned());
        }
    }

    /// Adds a choice between shapes, made by the text of the field `tag`.
    pub(super) fn variants(&mut self, tag: &str, doc: &str, variants: Vec<(&str, Self)>) {
        let tags: Vec<&str> = variants.iter().map(|(name, _)| *name).collect();
        self.field(tag, doc, json!({ "enum": tags }), true);
        let branches: Vec<Value> = variants
            .into_iter()
            .map(|(name, mut shape)| {
                shape.properties.insert(tag.to_owned(), json!({ "const": name }));
                shape.required.push(tag.to_owned());
                Value::Object(shape.into_conditions())
            })
            .collect();
        self.all_of.push(json!({ "oneOf": branches }));
        self.has_variants = true;
    }

    /// Adds the condition that exactly one of `names` is given.
    pub(super) fn exactly_one_of(&mut self, names: &[&str]) {
        let branches: Vec<Value> = names.iter().map(|name| json!({ "required": [name] })).collect();
        self.all_of.push(json!({ "oneOf": branches }));
    }

    /// The schema of the table: no other fields than those named.
    pub(super) fn into_object(self) -> Map<String, Value> {
        // `additionalProperties` does not see fields named inside `oneOf`, `unevaluatedProperties` does.
        let closed = if self.has_variants { "unevaluatedProperties" } else { "additionalProperties" };
        let mut object = self.into_conditions();
        object.insert("type".into(), "object".into());
        object.insert(closed.into(), false.into());
        object
    }

    fn into_conditions(self) -> Map<String, Value> {
        let mut conditions = Map::new();
        conditions.insert("properties".into(), self.properties.into());
        if !self.required.is_empty() {
            conditions.insert("required".into(), self.required.into());
        }
        if !self.all_of.is_empty() {
            conditions.insert("allOf".into(), self.all_of.into());
        }
        conditions
    }
}
