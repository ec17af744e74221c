//! Figures of hardwood lumber: kiln-dried scant allowances, shrinkage, clear yield of a grade. Tallies no boards; that is
//! `check/lumber.rs`.

use crate::model::length::Length;
use crate::trade::tolerances::{length, some_length};
use rust_decimal::Decimal;
use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    scant: Vec<Scant>,
    shrinkage: Shrinkage,
    yields: Vec<Yield>,
}

/// How scant kiln-dried rough lumber of a range of nominal thicknesses may be.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scant {
    /// The thinnest nominal thickness.
    #[serde(deserialize_with = "length")]
    pub from: Length,
    /// The thickest, or no end.
    #[serde(default, deserialize_with = "some_length")]
    pub to: Option<Length>,
    /// How much thinner than nominal it may be.
    #[serde(deserialize_with = "length")]
    pub by: Length,
    /// Where it comes from.
    pub source: String,
}

/// What kiln drying takes off the tally, where nothing else is known.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shrinkage {
    /// Per cent of the green tally.
    pub per_cent: Decimal,
    /// Where it comes from.
    pub source: String,
}

/// How much of a board of one grade its cuttings must yield.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Yield {
    /// The grade, on the scale `nhla`.
    pub grade: String,
    /// Parts of twelve: `8/12`.
    pub clear: String,
    /// Whether the cuttings need only be sound, not clear.
    #[serde(default)]
    pub sound: bool,
    /// Where it comes from.
    pub source: String,
}

impl Yield {
    /// Returns the share of the board in twelfths: 8 for 8/12.
    pub fn twelfths(&self) -> u32 {
        self.clear
            .strip_suffix("/12")
            .and_then(|parts| parts.parse().ok())
            .expect("yields are written in twelfths; a test reads every row")
    }
}

static TABLE: LazyLock<Table> = LazyLock::new(|| {
    serde_yaml::from_str(include_str!("lumber.yaml"))
        .expect("the embedded table of lumber is well formed; a test reads every row")
});

/// An inch in nanometres.
const INCH: i64 = 25_400_000;

/// Returns the nominal thickness of a number of quarters of an inch: 5 is 1 1/4 in.
pub fn nominal(quarters: u32) -> Length {
    Length::from_nm(i64::from(quarters) * (INCH / 4))
}

/// Returns how much thinner than nominal kiln-dried rough lumber may be; nothing outside the ranges that are stated.
pub fn scant(nominal: Length) -> Length {
    TABLE
        .scant
        .iter()
        .find(|row| nominal >= row.from && row.to.is_none_or(|to| nominal <= to))
        .map_or(Length::ZERO, |row| row.by)
}

/// Returns the scant allowances, in the order of the table.
pub fn scants() -> &'static [Scant] {
    &TABLE.scant
}

/// Returns what kiln drying usually takes off the green tally. An estimate: an order that depends on it states its own.
pub fn shrinkage() -> &'static Shrinkage {
    &TABLE.shrinkage
}

/// Returns the yields, in the order of the table.
pub fn yields() -> &'static [Yield] {
    &TABLE.yields
}
