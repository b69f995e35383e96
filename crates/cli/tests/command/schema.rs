//! The schema of the outcome says exactly what an outcome holds.

use serde_json::Value;

use crate::shop::{Shop, code, err, json};

/// Panics where a value is not what its schema says; covers the words that the schema uses.
pub fn hold_against(schema: &Value, value: &Value, at: &str) {
    if let Some(words) = schema.get("enum").and_then(Value::as_array) {
        assert!(words.contains(value), "{at}: {value}");
        return;
    }
    let types = match &schema["type"] {
        Value::Array(types) => types.clone(),
        one => vec![one.clone()],
    };
    assert!(types.iter().any(|one| is(one.as_str().unwrap(), value)), "{at}: {value} is not {types:?}");
    if let Some(fields) = value.as_object() {
        object(schema, fields, at);
    }
    for (number, item) in value.as_array().into_iter().flatten().enumerate() {
        hold_against(&schema["items"], item, &format!("{at}[{number}]"));
    }
}

fn object(schema: &Value, fields: &serde_json::Map<String, Value>, at: &str) {
    let known = schema.get("properties").and_then(Value::as_object);
    let Some(known) = known else {
        // A map by name.
        fields
            .iter()
            .for_each(|(name, field)| hold_against(&schema["additionalProperties"], field, &format!("{at}.{name}")));
        return;
    };
    assert!(known.keys().eq(fields.keys()), "{at}: {:?} against {:?}", known.keys(), fields.keys());
    assert_eq!(schema["required"].as_array().unwrap().len(), known.len(), "{at}");
    fields.iter().for_each(|(name, field)| hold_against(&known[name], field, &format!("{at}.{name}")));
}

fn is(name: &str, value: &Value) -> bool {
    match name {
        "null" => value.is_null(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "integer" => value.is_u64(),
        "number" => value.is_number(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        _ => false,
    }
}

#[test]
fn real_outcomes_keep_to_the_schema() {
    let shop = Shop::with_small();
    let schema = json(&shop.run(&["schema", "outcome"]));
    let more = ["metal.conductivity_range=[\"-10 %\", \"+10 %\"]", "output.times=[\"10 s\", \"60 s\"]"];
    let watch = "watch=[{ probe = \"ring_coldest\", below = \"150 C\" }]";
    for start in ["180 C", "20 C"] {
        let start = format!("casting.start={start}");
        let mut arguments = vec!["check", "small.toml", "--json", "--set", &start, "--set", watch];
        more.iter().for_each(|set| arguments.extend(["--set", set]));
        let output = shop.run(&arguments);
        assert!([0, 1, 3].contains(&code(&output)), "{}", err(&output));
        let outcome = json(&output);
        assert!(
            !outcome["inputs"].as_array().unwrap().is_empty() && !outcome["crossings"].as_array().unwrap().is_empty()
        );
        assert!(!outcome["probes"].as_object().unwrap().is_empty());
        hold_against(&schema, &outcome, "outcome");
    }
}

#[test]
fn answers_about_readings_keep_to_their_schemas() {
    let shop = Shop::with_small();
    shop.write("log.csv", "time,place,reading\n30 s,patch_centre,215 C\n55 s,ring_coldest,melted 100 C\n");
    let reading = ["fit", "small.toml", "--reading", "220 C at 40 s", "--json"];
    let ranged = "torch.flux.range=[\"-30 %\", \"+30 %\"]";
    let jobs: [(&str, &[&str]); 4] = [
        ("fit", &reading),
        ("fit", &["fit", "small.toml", "--log", "log.csv", "--json", "--set", ranged]),
        ("comparison", &["compare", "small.toml", "log.csv", "--json"]),
        ("advice", &["advice", "small.toml", "--break", "5 min", "--lag", "2 s", "--json"]),
    ];
    for (name, arguments) in jobs {
        let output = shop.run(arguments);
        assert!([0, 1].contains(&code(&output)), "{name}: {}", err(&output));
        hold_against(&json(&shop.run(&["schema", name])), &json(&output), name);
    }
}

#[test]
fn the_schema_of_the_scenario_names_its_sections() {
    let schema = json(&Shop::new().run(&["schema", "scenario"]));
    for section in ["casting", "window", "torch", "schedule"] {
        assert!(schema["properties"][section].is_object(), "{section}");
    }
}
