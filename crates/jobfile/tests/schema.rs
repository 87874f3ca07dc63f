//! The published JSON Schema: equal to the types, and accepted and obeyed by a general validator.

use serde_json::Value;

const PUBLISHED: &str = include_str!("../../../docs/schema/job.schema.json");
const HOUSE: &str = include_str!("samples/version_1.job.toml");

fn json(record: &str) -> Value {
    serde_json::to_value(record.parse::<toml::Table>().expect("TOML")).expect("JSON")
}

#[test]
fn the_published_schema_is_that_of_the_types() {
    let written = serde_json::to_string_pretty(&jobfile::schema()).expect("JSON") + "\n";
    assert!(
        written == PUBLISHED,
        "docs/schema/job.schema.json is stale: write it again with `cargo xtask schema`"
    );
}

#[test]
fn the_schema_is_a_schema_and_names_itself() {
    let schema = jobfile::schema();
    assert!(jsonschema::meta::is_valid(&schema));
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    assert_eq!(schema["$id"], "urn:wattspring:job:1");
    assert_eq!(schema["additionalProperties"], false);
    assert!(!schema.to_string().contains("null"), "TOML has no null");
}

#[test]
fn sound_records_are_valid_and_broken_ones_are_not() {
    let validator = jsonschema::validator_for(&jobfile::schema()).expect("a schema");
    let sound = json(HOUSE);
    let errors: Vec<String> = validator
        .iter_errors(&sound)
        .map(|error| error.to_string())
        .collect();
    assert_eq!(errors, Vec::<String>::new());
    assert!(validator.is_valid(&json("schema = 1")));
    let broken = [
        ("schema = 1\n", ""),
        ("schema = 1\n", "schema = 2\n"),
        ("place = \"Dayton, Ohio\"", "palce = \"Dayton, Ohio\""),
        ("kind = \"shower\"", "kind = \"fountain\""),
        ("kind = \"tub-filler\"\n", ""),
        ("latitude = 39.76", "latitude = \"39.76\""),
        ("elbow90 = 3", "elbow = 3"),
        ("elements = [1]", "elements = 1"),
        ("price = \"2.35\"", "price = 2.35"),
        ("houses = 5", "houses = 70000"),
        ("length = \"30 ft\"", "length = 30"),
    ];
    for (from, to) in broken {
        assert!(HOUSE.contains(from), "{from}");
        let record = json(&HOUSE.replacen(from, to, 1));
        assert!(
            !validator.is_valid(&record),
            "`{from}` -> `{to}` passes the schema"
        );
    }
}
