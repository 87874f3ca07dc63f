//! The JSON Schema of the record, published as `docs/schema/job.schema.json`.

use job::{Job, SCHEMA_VERSION};
use schemars::generate::SchemaSettings;
use serde_json::{Value, json};

/// JSON Schema (draft 2020-12) of the record, for editors and other programs.
///
/// It knows names, types, choices and which fields must be there. What a text of a quantity may hold, and everything
/// about the house, is checked by [`crate::read`] alone.
pub fn schema() -> Value {
    let mut value = SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<Job>()
        .to_value();
    without_null(&mut value);
    if let Some(root) = value.as_object_mut() {
        root.insert(
            "$id".into(),
            json!(format!("urn:wattspring:job:{SCHEMA_VERSION}")),
        );
        root.insert("title".into(), json!("Wattspring job record"));
    }
    if let Some(version) = value.pointer_mut("/properties/schema") {
        version["const"] = json!(SCHEMA_VERSION);
    }
    value
}

/// TOML has no null: a field that may be left out is a field that is not required, and nothing more.
fn without_null(value: &mut Value) {
    match value {
        Value::Array(items) => items.iter_mut().for_each(without_null),
        Value::Object(object) => {
            object.values_mut().for_each(without_null);
            if let Some(Value::Array(kinds)) = object.get_mut("type") {
                kinds.retain(|kind| kind != "null");
                if let [only] = kinds.as_slice() {
                    let only = only.clone();
                    object.insert("type".into(), only);
                }
            }
            if let Some(Value::Array(ways)) = object.get_mut("anyOf") {
                ways.retain(|way| way.get("type").is_none_or(|kind| kind != "null"));
                if let [Value::Object(only)] = ways.as_slice() {
                    let only = only.clone();
                    object.remove("anyOf");
                    for (key, part) in only {
                        object.entry(key).or_insert(part);
                    }
                }
            }
        }
        _ => {}
    }
}
