//! The form of the record, read out of its JSON Schema: tables, fields, choices, kinds of text.
//!
//! In: [`crate::schema`]. Out: [`form`], a tree that reading compares a file with and that writing follows in order.
//! Holds no field by hand. The record's types do not contain themselves, so that the tree is finite.

use crate::text_kinds;
use serde_json::Value;
use std::sync::LazyLock;

/// What may stand in one place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Shape {
    /// A table with these fields and no others.
    Table(Vec<Field>),
    /// A table whose values are alike; its keys are choices, or free.
    Map {
        keys: Option<Vec<Choice>>,
        value: Box<Shape>,
    },
    /// A list of things alike.
    List(Box<Shape>),
    /// One of some texts.
    Choice(Vec<Choice>),
    /// A text with a meaning, such as a length; by its name in the schema.
    Kind {
        name: String,
        description: String,
        example: String,
    },
    /// Any text.
    Text,
    /// A whole number.
    Whole { least: i64, most: i64 },
    /// A number.
    Number,
    /// True or false.
    Switch,
    /// Something this reader does not look into.
    Anything,
}

/// A field of a table.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Field {
    pub(crate) name: String,
    pub(crate) description: String,
    pub(crate) required: bool,
    pub(crate) shape: Shape,
    /// A value that teaches more than that of the shape, as a file writes it.
    pub(crate) example: Option<String>,
}

/// One of the texts that a field may have.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Choice {
    pub(crate) text: String,
}

static FORM: LazyLock<Vec<Field>> = LazyLock::new(|| {
    let schema = crate::schema();
    match (Reader {
        definitions: &schema["$defs"],
    })
    .shape(&schema)
    {
        Shape::Table(fields) => fields,
        _ => Vec::new(),
    }
});

/// The fields of the record.
pub(crate) fn form() -> &'static [Field] {
    &FORM
}

struct Reader<'a> {
    definitions: &'a Value,
}

impl Reader<'_> {
    fn shape(&self, schema: &Value) -> Shape {
        if let Some(name) = schema["$ref"]
            .as_str()
            .and_then(|path| path.strip_prefix("#/$defs/"))
        {
            let definition = &self.definitions[name];
            return match text_kinds::reader(name) {
                Some(_) => kind(name, definition),
                None => self.shape(definition),
            };
        }
        if let Some(ways) = schema["oneOf"].as_array() {
            return Shape::Choice(choices(ways.iter().map(|way| &way["const"])));
        }
        if let Some(texts) = schema["enum"].as_array() {
            return Shape::Choice(choices(texts.iter()));
        }
        match schema["type"].as_str() {
            Some("object") => self.table(schema),
            Some("array") => Shape::List(Box::new(self.shape(&schema["items"]))),
            Some("string") => Shape::Text,
            Some("integer") => Shape::Whole {
                least: schema["minimum"].as_i64().unwrap_or(i64::MIN),
                most: schema["maximum"]
                    .as_i64()
                    .unwrap_or(match schema["format"].as_str() {
                        Some("uint32") => i64::from(u32::MAX),
                        _ => i64::MAX,
                    }),
            },
            Some("number") => Shape::Number,
            Some("boolean") => Shape::Switch,
            _ => Shape::Anything,
        }
    }

    fn table(&self, schema: &Value) -> Shape {
        let Some(properties) = schema["properties"].as_object() else {
            let value = &schema["additionalProperties"];
            if !value.is_object() {
                return Shape::Anything;
            }
            let keys = match self.shape(&schema["propertyNames"]) {
                Shape::Choice(keys) => Some(keys),
                _ => None,
            };
            return Shape::Map {
                keys,
                value: Box::new(self.shape(value)),
            };
        };
        let required = schema["required"]
            .as_array()
            .map(Vec::as_slice)
            .unwrap_or_default();
        let field = |(name, property): (&String, &Value)| Field {
            name: name.clone(),
            description: one_line(&property["description"]),
            required: required.iter().any(|required| required == name),
            shape: self.shape(property),
            example: property["examples"].get(0).map(Value::to_string),
        };
        Shape::Table(properties.iter().map(field).collect())
    }
}

fn kind(name: &str, definition: &Value) -> Shape {
    Shape::Kind {
        name: name.to_owned(),
        description: one_line(&definition["description"]),
        example: one_line(&definition["examples"][0]),
    }
}

fn one_line(text: &Value) -> String {
    text.as_str()
        .unwrap_or_default()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

fn choices<'a>(texts: impl Iterator<Item = &'a Value>) -> Vec<Choice> {
    texts
        .filter_map(Value::as_str)
        .map(|text| Choice {
            text: text.to_owned(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn each(fields: &[Field], see: &mut impl FnMut(&Field, &Shape)) {
        for field in fields {
            let mut shape = &field.shape;
            while let Shape::List(item) | Shape::Map { value: item, .. } = shape {
                shape = item;
            }
            see(field, shape);
            if let Shape::Table(fields) = shape {
                each(fields, see);
            }
        }
    }

    #[test]
    fn everything_in_the_schema_is_understood() {
        let (mut fields, mut kinds) = (0, 0);
        each(form(), &mut |field, shape| {
            fields += 1;
            assert!(!field.description.is_empty(), "{} has no description", field.name);
            assert_ne!(
                *shape,
                Shape::Anything,
                "{} has a shape that is not understood",
                field.name
            );
            if let Shape::Kind { name, example, .. } = shape {
                kinds += 1;
                let reader = text_kinds::reader(name).expect("a kind has a reader");
                assert!(
                    reader(example).is_ok(),
                    "the example of {name} does not read: {example}"
                );
            }
        });
        assert!(fields > 150 && kinds > 50, "{fields} fields, {kinds} kinds");
    }

    #[test]
    fn every_text_with_a_meaning_has_a_reader() {
        let schema = crate::schema();
        let definitions = schema["$defs"].as_object().expect("definitions");
        for (name, definition) in definitions {
            if definition["type"] == "string" && definition["enum"].is_null() {
                assert!(text_kinds::reader(name).is_some(), "no reader for {name}");
            }
        }
    }
}
