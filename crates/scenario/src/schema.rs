//! The format as a JSON schema, for editors that complete and check.

use serde_json::{Map, Value, json};

use crate::keys::{FACES, Key, Kind, Limits, keys, leaf};
use crate::measure::Measure;

/// The format as JSON Schema 2020-12, made from the table of keys.
pub fn schema() -> Value {
    let mut root = object("");
    root["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    root["title"] = json!("scenario of a torch-heated patch on a casting");
    root
}

/// The object of all keys right below a pattern of the table.
fn object(parent: &str) -> Value {
    let below = |key: &&Key| key.path.rsplit_once('.').map_or("", |(above, _)| above) == parent;
    let children: Vec<&Key> = keys().iter().filter(below).collect();
    let mut properties = Map::new();
    let mut any_name = None;
    for key in &children {
        match (leaf(key), parent) {
            ("*", "faces") => properties.extend(FACES.iter().map(|face| ((*face).to_owned(), of(key)))),
            ("*", _) => any_name = Some(of(key)),
            (name, _) => {
                properties.insert(name.to_owned(), of(key));
            }
        }
    }
    let required: Vec<&str> = children.iter().filter(|key| key.required).map(|key| leaf(key)).collect();
    let mut object = json!({ "type": "object", "properties": properties, "additionalProperties": false });
    if !required.is_empty() {
        object["required"] = json!(required);
    }
    if let Some(any_name) = any_name {
        object["patternProperties"] = json!({ "^[A-Za-z0-9_]{1,40}$": any_name });
    }
    object
}

fn of(key: &Key) -> Value {
    let mut value = match key.kind {
        Kind::Table => object(key.path),
        Kind::Tables => json!({ "type": "array", "items": object(&format!("{}.#", key.path)) }),
        Kind::TimeOrTable(_) => json!({ "anyOf": [quantity(Measure::Duration), object(key.path)] }),
        Kind::Quantity(measure, _) => quantity(measure),
        Kind::Quantities(measure, _) => json!({ "type": "array", "items": quantity(measure) }),
        Kind::Coordinates(count, _) => list_of(count, &quantity(Measure::Length)),
        Kind::Spans => json!({ "type": "array", "items": list_of(2, &quantity(Measure::Duration)) }),
        Kind::Range(measure, _) => list_of(2, &quantity(measure)),
        Kind::ShareRange => list_of(2, &json!({ "type": ["number", "string"] })),
        Kind::Number(limits) => number("number", limits),
        Kind::Count(limits) => number("integer", limits),
        Kind::CountOrWords(limits, words) => {
            json!({ "anyOf": [number("integer", limits), { "type": "string", "examples": [words] }] })
        }
        Kind::Text | Kind::Probe => json!({ "type": "string" }),
        Kind::Flag => json!({ "type": "boolean" }),
        // Words are matched without case, spaces and dashes, so they are offered, not imposed.
        Kind::Choice(words) => json!({ "type": "string", "examples": words }),
        Kind::GasRate => json!({ "anyOf": [quantity(Measure::MassFlow), quantity(Measure::VolumeFlow)] }),
    };
    value["description"] = json!(format!("{} Example: {}", key.doc, key.example));
    value
}

fn quantity(measure: Measure) -> Value {
    let kind = measure.kind();
    let units: Vec<&str> = kind.units.iter().map(|unit| unit.spelling).collect();
    let text = json!({
        "type": "string",
        "description": format!("{}, with its unit: {}", kind.with_article(), units.join(", ")),
        "examples": [kind.example],
    });
    if measure == Measure::Fraction {
        return json!({ "anyOf": [text, { "type": "number" }] });
    }
    text
}

fn list_of(count: usize, item: &Value) -> Value {
    json!({ "type": "array", "items": item, "minItems": count, "maxItems": count })
}

fn number(kind: &str, limits: Limits) -> Value {
    json!({ "type": kind, "minimum": limits.low, "maximum": limits.high })
}
