//! A log for reviewers held to the schema of the standard, which is no schema of ours.

use serde_json::Value;

const SCHEMA: &str = include_str!("../../../tests/reports/sarif-2.1.0.schema.json");
const LOG: &str = include_str!("../../../tests/reports/communal-flat.sarif");

#[test]
fn a_log_fits_the_schema_of_the_standard() {
    let read = |text: &str| -> Value { serde_json::from_str(text).expect("it is JSON") };
    let schema = jsonschema::validator_for(&read(SCHEMA)).expect("it is a schema");
    let mut log = read(LOG);
    let faults: Vec<String> = schema
        .iter_errors(&log)
        .map(|one| one.to_string())
        .collect();
    assert!(faults.is_empty(), "{faults:#?}");
    log["runs"][0]["results"][0]["level"] = "grave".into();
    assert!(!schema.is_valid(&log));
}
