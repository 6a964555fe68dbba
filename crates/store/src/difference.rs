//! What changed between two answers.

use serde::{Deserialize, Serialize};
use serde_json::Value;

/// One place at which two JSON values differ.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Difference {
    /// Where, a JSON pointer (RFC 6901).
    pub at: String,
    /// What was there; none where there was nothing.
    pub before: Option<Value>,
    /// What is there now; none where there is nothing.
    pub after: Option<Value>,
}

/// Every smallest place at which two values differ, in order.
pub fn difference(before: &Value, after: &Value) -> Vec<Difference> {
    let mut found = Vec::new();
    compare("", Some(before), Some(after), &mut found);
    found
}

fn compare(at: &str, before: Option<&Value>, after: Option<&Value>, found: &mut Vec<Difference>) {
    match (before, after) {
        (Some(Value::Object(b)), Some(Value::Object(a))) => {
            let names: std::collections::BTreeSet<&String> = b.keys().chain(a.keys()).collect();
            for name in names {
                let step = name.replace('~', "~0").replace('/', "~1");
                compare(&format!("{at}/{step}"), b.get(name), a.get(name), found);
            }
        }
        (Some(Value::Array(b)), Some(Value::Array(a))) => {
            for n in 0..b.len().max(a.len()) {
                compare(&format!("{at}/{n}"), b.get(n), a.get(n), found);
            }
        }
        (b, a) if b == a => {}
        (b, a) => found.push(Difference { at: at.to_owned(), before: b.cloned(), after: a.cloned() }),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::json;

    use super::*;

    fn value() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            (-3_i64..3).prop_map(Value::from),
            "[ab/~]{0,3}".prop_map(Value::from),
        ];
        leaf.prop_recursive(3, 20, 4, |inner| {
            prop_oneof![
                proptest::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
                proptest::collection::btree_map("[a~/]{0,2}", inner, 0..4)
                    .prop_map(|map| Value::from(serde_json::Map::from_iter(map))),
            ]
        })
    }

    /// RFC 6901, section 5: the pointers `/a~1b` and `/m~0n` of the example document.
    #[test]
    fn val_pointers_are_escaped() {
        let found = difference(&json!({"a/b": 1, "m~n": 8}), &json!({"a/b": 2}));
        let at: Vec<&str> = found.iter().map(|d| d.at.as_str()).collect();
        assert_eq!(at, ["/a~1b", "/m~0n"]);
    }

    proptest! {
        #[test]
        fn law_nothing_differs_exactly_when_equal_and_each_place_tells_both_sides(b in value(), a in value()) {
            let found = difference(&b, &a);
            prop_assert_eq!(found.is_empty(), b == a);
            for place in found {
                prop_assert_eq!(b.pointer(&place.at), place.before.as_ref());
                prop_assert_eq!(a.pointer(&place.at), place.after.as_ref());
                prop_assert_ne!(place.before, place.after);
            }
        }
    }
}
