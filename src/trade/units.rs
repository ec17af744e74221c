//! The table of units: other names, dimension, exact factor, international code. Converts nothing between dimensions;
//! that needs a size, a pack or a tally and is `check/measure.rs`.

use crate::model::unit::{Dimension, Unit};
use crate::trade::nearest;
use rust_decimal::Decimal;
use serde::Deserialize;
use std::collections::HashMap;
use std::sync::LazyLock;

/// One unit of the table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// The unit.
    pub unit: Unit,
    /// What it measures.
    pub dimension: Dimension,
    /// How much of the dimension's base one unit is, exact. `None` for packs and sets, whose content must be stated.
    pub factor: Option<Decimal>,
    /// UN/CEFACT Recommendation 20 code, or Recommendation 21 code with `X` in front.
    pub code: String,
    /// Other names people write, lower case.
    #[serde(default)]
    pub names: Vec<String>,
    /// Where factor and code come from.
    pub source: String,
}

struct Table {
    rows: Vec<Row>,
    by_name: HashMap<String, Unit>,
    /// The place of each unit's row, in the order of [`Unit`].
    by_unit: Vec<usize>,
}

static TABLE: LazyLock<Table> = LazyLock::new(|| {
    let rows: Vec<Row> = serde_yaml::from_str(include_str!("units.yaml"))
        .expect("the embedded table of units is well formed; a test reads every row");
    let by_unit = Unit::ALL
        .iter()
        .map(|unit| {
            rows.iter()
                .position(|row| row.unit == *unit)
                .expect("every unit has a row; a test holds it")
        })
        .collect();
    let by_name = rows
        .iter()
        .flat_map(|row| {
            own_names(row.unit)
                .into_iter()
                .chain(row.names.iter().map(String::as_str))
                .map(|name| (key(name), row.unit))
        })
        .collect();
    Table {
        rows,
        by_name,
        by_unit,
    }
});

fn own_names(unit: Unit) -> [&'static str; 2] {
    [unit.name(), unit.plural()]
}

/// Folds what does not distinguish two units: case, full stops, and how many spaces or hyphens part the words.
fn key(text: &str) -> String {
    text.to_lowercase()
        .replace('.', " ")
        .split(|c: char| c.is_whitespace() || c == '-')
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Returns every row, in the order of the table.
pub fn rows() -> &'static [Row] {
    &TABLE.rows
}

/// Returns the unit that goes by a name, whatever its case, or by one of its plurals and abbreviations.
pub fn named(text: &str) -> Option<Unit> {
    // The names in files are the commonest case, and need no table.
    Unit::ALL
        .into_iter()
        .find(|unit| own_names(*unit).contains(&text))
        .or_else(|| TABLE.by_name.get(text).copied())
        .or_else(|| TABLE.by_name.get(&key(text)).copied())
}

/// Returns the name a misspelt unit most likely stands for.
pub fn near(text: &str) -> Option<&'static str> {
    let names = TABLE.rows.iter().flat_map(|row| {
        own_names(row.unit)
            .into_iter()
            .chain(row.names.iter().map(String::as_str))
    });
    nearest(&key(text), names)
}

/// Returns the row of a unit.
pub fn row(unit: Unit) -> &'static Row {
    &TABLE.rows[TABLE.by_unit[unit as usize]]
}

/// Returns what a unit measures.
pub fn dimension(unit: Unit) -> Dimension {
    row(unit).dimension
}

/// Returns how much of its dimension's base one unit is, exact; `None` for packs and sets, whose content must be stated.
pub fn factor(unit: Unit) -> Option<Decimal> {
    row(unit).factor
}

/// Returns the UN/CEFACT code: Recommendation 20, or Recommendation 21 with `X` in front.
pub fn code(unit: Unit) -> &'static str {
    &row(unit).code
}
