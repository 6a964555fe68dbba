//! Random valid documents of a kind, generated from its schema.

use proptest::collection::{btree_map, vec};
use proptest::prelude::*;
use proptest::sample::select;
use serde_json::{Map, Value, json};

/// TOML texts that the reader whose [`schema`](super::schema) this is should accept (checks across fields apart).
pub(crate) fn documents(schema: &Value) -> BoxedStrategy<String> {
    object(schema).prop_map(|document| toml::to_string(&Value::Object(document)).unwrap()).boxed()
}

fn value(schema: &Value) -> BoxedStrategy<Value> {
    if let Some(options) = schema["enum"].as_array() {
        return select(options.clone()).boxed();
    }
    if let Some(only) = schema.get("const") {
        return Just(only.clone()).boxed();
    }
    match schema["type"].as_str() {
        Some("number") => {
            let (min, max) = (schema["minimum"].as_f64().unwrap(), schema["maximum"].as_f64().unwrap());
            prop_oneof![Just(min), Just(max), min..=max].prop_map(Value::from).boxed()
        }
        Some("integer") => {
            let (min, max) = (schema["minimum"].as_i64().unwrap(), schema["maximum"].as_i64().unwrap());
            (min..=max).prop_map(Value::from).boxed()
        }
        Some("boolean") => any::<bool>().prop_map(Value::from).boxed(),
        Some("string") if schema["format"] == "date" => (1990..2060, 1..=12, 1..=28)
            .prop_map(|(year, month, day)| format!("{year}-{month:02}-{day:02}").into())
            .boxed(),
        Some("string") if schema["pattern"].as_str().unwrap().contains("a-z") => {
            "[a-z0-9][a-z0-9-]{0,20}".prop_map(Value::from).boxed()
        }
        Some("string") => "[ -~äöß°²]{0,20}[!-~]".prop_map(Value::from).boxed(),
        Some("array") => array(schema),
        Some("object") if schema["additionalProperties"].is_object() => {
            let entries =
                btree_map("[a-zA-Z0-9 äß.\"-]{0,8}[a-z]", value(&schema["additionalProperties"]), 0..3);
            entries.prop_map(|entries| Value::Object(entries.into_iter().collect())).boxed()
        }
        Some("object") => object(schema).prop_map(Value::Object).boxed(),
        other => panic!("no generator for type {other:?}"),
    }
}

fn array(schema: &Value) -> BoxedStrategy<Value> {
    if let Some(columns) = schema["prefixItems"].as_array() {
        return columns.iter().map(value).collect::<Vec<_>>().prop_map(Value::from).boxed();
    }
    let least = schema["minItems"].as_u64().unwrap_or(0) as usize;
    let most = schema["maxItems"].as_u64().unwrap_or(u64::MAX).min(least as u64 + 3) as usize;
    let items = vec(value(&schema["items"]), least..=most);
    if schema["x-order"] != "first column strictly rising" {
        return items.prop_map(Value::from).boxed();
    }
    let first = |row: &Value| row[0].as_f64().unwrap();
    items
        .prop_map(move |mut rows| {
            rows.sort_by(|a, b| first(a).total_cmp(&first(b)));
            rows
        })
        .prop_filter("rising", move |rows| rows.windows(2).all(|two| first(&two[0]) < first(&two[1])))
        .prop_map(Value::from)
        .boxed()
}

fn object(schema: &Value) -> BoxedStrategy<Map<String, Value>> {
    let none = json!([]);
    let conditions = schema.get("allOf").unwrap_or(&none).as_array().unwrap();
    let (variants, groups): (Vec<&Value>, Vec<&Value>) = conditions
        .iter()
        .map(|condition| &condition["oneOf"])
        .partition(|one| one[0]["properties"].is_object());
    let groups: Vec<Vec<String>> = groups
        .iter()
        .map(|group| group.as_array().unwrap().iter())
        .map(|branches| branches.map(|branch| branch["required"][0].as_str().unwrap().to_owned()).collect())
        .collect();
    let must = |name: &String| {
        schema["required"].as_array().is_some_and(|required| required.iter().any(|other| other == name))
            || groups.iter().any(|group| group.contains(name))
    };
    let fields: Vec<_> = schema["properties"]
        .as_object()
        .unwrap()
        .iter()
        .map(|(name, schema)| {
            let given = if must(name) { Just(true).boxed() } else { any::<bool>().boxed() };
            let name = name.clone();
            (given, value(schema)).prop_map(move |(given, value)| given.then(|| (name.clone(), value)))
        })
        .collect();
    let picks: Vec<_> = groups.into_iter().map(|group| (select(group.clone()), Just(group))).collect();
    let variants: Vec<_> = variants
        .iter()
        .map(|one| proptest::strategy::Union::new(one.as_array().unwrap().iter().map(object)))
        .collect();
    (fields, picks, variants)
        .prop_map(|(fields, picks, variants)| {
            let mut object: Map<String, Value> = fields.into_iter().flatten().collect();
            for (kept, group) in picks {
                object.retain(|name, _| *name == kept || !group.contains(name));
            }
            object.extend(variants.into_iter().flatten());
            object
        })
        .boxed()
}
