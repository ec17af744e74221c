//! Size tolerances that standards state. Measures no goods.

use crate::model::length::Length;
use crate::trade::nearest;
use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer, de::Error};
use std::str::FromStr;
use std::sync::LazyLock;

/// How much smaller and larger something may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Allowance {
    /// How much smaller it may be.
    #[serde(deserialize_with = "length")]
    pub under: Length,
    /// How much larger it may be.
    #[serde(deserialize_with = "length")]
    pub over: Length,
}

/// One standard's size tolerance.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Standard {
    /// Its name in files.
    pub name: String,
    /// What it is for, in words.
    pub title: String,
    /// Length and width.
    pub sides: Allowance,
    /// Thickness, where the source states it.
    #[serde(default)]
    pub thickness: Option<Allowance>,
    /// How far the diagonals of a panel may differ, where the source states it.
    #[serde(default, deserialize_with = "some_length")]
    pub square: Option<Length>,
    /// Where the figures come from.
    pub source: String,
}

static TABLE: LazyLock<Vec<Standard>> = LazyLock::new(|| {
    serde_yaml::from_str(include_str!("tolerances.yaml"))
        .expect("the embedded table of tolerances is well formed; a test reads every row")
});

/// Returns every standard, in the order of the table.
pub fn standards() -> &'static [Standard] {
    &TABLE
}

/// Returns the standard of a name, whatever its case, with or without a hyphen (`PS 1`, `HP-1`).
pub fn named(name: &str) -> Option<&'static Standard> {
    let wanted: String = name
        .chars()
        .filter(|c| !matches!(c, '-' | ' '))
        .collect::<String>()
        .to_lowercase();
    TABLE.iter().find(|standard| standard.name == wanted)
}

/// Returns the standard a misspelt name most likely stands for.
pub fn near(name: &str) -> Option<&'static str> {
    nearest(name, TABLE.iter().map(|standard| standard.name.as_str()))
}

pub(crate) fn length<'de, D: Deserializer<'de>>(from: D) -> Result<Length, D::Error> {
    let text = String::deserialize(from)?;
    read(&text).ok_or_else(|| D::Error::custom(format!("`{text}` is no length")))
}

pub(crate) fn some_length<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Length>, D::Error> {
    length(from).map(Some)
}

/// Reads the lengths of the embedded tables: `1/16 in`, `1 3/4 in`, `2 mm`, `0.125 mm`.
fn read(text: &str) -> Option<Length> {
    let (number, unit) = text.rsplit_once(' ')?;
    let mut amount = Decimal::ZERO;
    for part in number.split(' ') {
        amount += match part.split_once('/') {
            Some((above, below)) => {
                Decimal::from_str(above).ok()? / Decimal::from_str(below).ok()?
            }
            None => Decimal::from_str(part).ok()?,
        };
    }
    let nm = match unit {
        "in" => Decimal::from(25_400_000),
        "mm" => Decimal::from(1_000_000),
        _ => return None,
    };
    let nm = amount.checked_mul(nm)?;
    i64::try_from(nm.trunc())
        .ok()
        .filter(|_| nm.fract().is_zero())
        .map(Length::from_nm)
}
