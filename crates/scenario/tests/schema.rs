//! The schema says the same as the reader.

use serde_json::Value as Json;
use toml::Value as Toml;

/// Checks the part of a schema that this crate uses; returns the paths that do not suit it.
fn misfits(schema: &Json, value: &Toml, path: &str) -> Vec<String> {
    if let Some(choices) = schema["anyOf"].as_array() {
        let tried: Vec<Vec<String>> = choices.iter().map(|choice| misfits(choice, value, path)).collect();
        return if tried.iter().any(Vec::is_empty) { Vec::new() } else { tried.concat() };
    }
    let types: Vec<&str> = match &schema["type"] {
        Json::Array(types) => types.iter().filter_map(Json::as_str).collect(),
        one => one.as_str().into_iter().collect(),
    };
    let own = match value {
        Toml::String(_) => "string",
        Toml::Integer(_) if types.contains(&"number") => "number",
        Toml::Integer(_) => "integer",
        Toml::Float(_) => "number",
        Toml::Boolean(_) => "boolean",
        Toml::Datetime(_) => "date",
        Toml::Array(_) => "array",
        Toml::Table(_) => "object",
    };
    if !types.contains(&own) {
        return vec![format!("{path}: {own} is not {types:?}")];
    }
    match value {
        Toml::Array(items) => items.iter().flat_map(|item| misfits(&schema["items"], item, path)).collect(),
        Toml::Table(table) => table_misfits(schema, table, path),
        _ => Vec::new(),
    }
}

fn table_misfits(schema: &Json, table: &toml::Table, path: &str) -> Vec<String> {
    let required = schema["required"].as_array().cloned().unwrap_or_default();
    let missing = required.iter().filter_map(Json::as_str).filter(|name| !table.contains_key(*name));
    let mut found: Vec<String> = missing.map(|name| format!("{path}.{name} is missing")).collect();
    for (name, value) in table {
        let path = format!("{path}.{name}");
        let any_name = schema["patternProperties"].as_object().and_then(|patterns| patterns.values().next());
        match schema["properties"].get(name).or(any_name) {
            Some(schema) => found.extend(misfits(schema, value, &path)),
            None => found.push(format!("{path} is unknown")),
        }
    }
    found
}

fn check(text: &str) -> Vec<String> {
    misfits(&scenario::schema(), &Toml::Table(text.parse().unwrap()), "")
}

#[test]
fn every_scenario_file_suits_the_schema() {
    for text in [
        scenario::DEMONSTRATION,
        include_str!("../../../validation/yardsticks/y1.toml"),
        include_str!("../../../validation/yardsticks/y2.toml"),
        include_str!("../../../validation/yardsticks/y3.toml"),
    ] {
        assert_eq!(check(text), Vec::<String>::new());
    }
}

#[test]
fn the_schema_refuses_what_the_reader_refuses() {
    let wrong = scenario::DEMONSTRATION.replace("width = \"75 mm\"", "widht = \"75 mm\"").replace("reheats = 4", "");
    assert_eq!(check(&wrong), [".ring.widht is unknown", ".schedule.cycles.reheats is missing"]);
}

#[test]
fn every_key_is_in_the_schema_and_its_example_suits_it() {
    for key in scenario::keys() {
        let schema = scenario::schema();
        let mut at = &schema;
        for part in key.path.split('.') {
            if let Some(choices) = at["anyOf"].as_array() {
                at = choices.last().unwrap();
            }
            at = match part {
                "#" => &at["items"],
                "*" => at["patternProperties"]
                    .as_object()
                    .map_or(&at["properties"]["back"], |p| p.values().next().unwrap()),
                name => &at["properties"][name],
            };
        }
        let example: toml::Table = format!("value = {}", key.example).parse().unwrap();
        assert_eq!(misfits(at, &example["value"], key.path), Vec::<String>::new());
    }
}
