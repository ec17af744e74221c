//! Makes the editor schema (JSON Schema, draft 2020-12) of a file from the table its reader uses.

use crate::intake::fields::{Shape, Table};
use crate::intake::{invoice, order, receipt, shop, supplier};
use serde_json::{Map, Value, json};

/// The files that have a schema, and their tables.
pub const FILES: [(&str, &Table); 5] = [
    ("order", &order::ORDER),
    ("receipt", &receipt::RECEIPT),
    ("supplier", &supplier::SUPPLIER),
    ("shop", &shop::SHOP),
    ("invoice", &invoice::INVOICE),
];

/// Returns the schema of a file, `None` where there is no file of that name.
pub fn schema(name: &str) -> Option<Value> {
    let (_, table) = FILES.iter().find(|(file, _)| *file == name)?;
    let mut schema = record(table);
    if let Value::Object(map) = &mut schema {
        map.shift_insert(
            0,
            "$schema".into(),
            json!("https://json-schema.org/draft/2020-12/schema"),
        );
        map.shift_insert(1, "title".into(), json!(format!("asordered {name}")));
    }
    Some(schema)
}

fn record(table: &Table) -> Value {
    let mut properties = Map::new();
    for field in table.fields {
        let mut shape = shape(&field.shape);
        if let Value::Object(map) = &mut shape {
            map.insert("description".into(), json!(field.about));
        }
        properties.insert(field.name.into(), shape);
    }
    let required: Vec<&str> = table
        .fields
        .iter()
        .filter(|field| field.required)
        .map(|field| field.name)
        .collect();
    json!({
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn shape(shape: &Shape) -> Value {
    match shape {
        // Numbers and dates are text to us (`0042` stays `0042`), but an editor reads them as YAML does.
        Shape::Text(example) => json!({"type": ["string", "number"], "examples": [example]}),
        Shape::Word(words) => json!({"enum": words}),
        Shape::Date => json!({"type": "string", "format": "date"}),
        Shape::Number => json!({"type": ["number", "string"]}),
        Shape::Bool => json!({"type": "boolean"}),
        Shape::List(items) => json!({"type": "array", "items": self::shape(items)}),
        Shape::Record(table) => record(table),
        Shape::Names => {
            json!({"type": "object", "additionalProperties": {"type": ["string", "number"]}})
        }
        Shape::Either(one, other) => json!({"anyOf": [self::shape(one), self::shape(other)]}),
    }
}
