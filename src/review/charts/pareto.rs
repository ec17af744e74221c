//! The Pareto chart of kinds by cost as data. Adds up no money itself; see `statistics::pareto`.

use crate::review::statistics::pareto::Row;
use crate::review::statistics::per_cent;

/// The Pareto chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Pareto {
    /// The heading.
    pub title: String,
    /// The currency the amounts are in.
    pub currency: String,
    /// The kinds by falling amount.
    pub rows: Vec<Row>,
}

impl Pareto {
    /// Makes the chart; `None` where nothing cost anything.
    pub fn new(title: &str, currency: &str, rows: Vec<Row>) -> Option<Pareto> {
        (!rows.is_empty()).then(|| Pareto {
            title: title.to_owned(),
            currency: currency.to_owned(),
            rows,
        })
    }

    /// Returns a row's figures: `2,400.00, 53.3 %, 53.3 % so far`.
    pub fn figures(row: &Row) -> String {
        format!(
            "{}, {}, {} so far",
            amount(row),
            per_cent(row.share),
            per_cent(row.cumulative)
        )
    }

    /// Returns the chart in words.
    pub fn words(&self) -> String {
        let rows: Vec<String> = self
            .rows
            .iter()
            .map(|row| format!("{}: {}", row.kind, Self::figures(row)))
            .collect();
        format!(
            "Cost in {} by kind, the largest first. {}.",
            self.currency,
            rows.join("; ")
        )
    }
}

/// Returns the amount with two decimals at least and commas every three digits.
fn amount(row: &Row) -> String {
    let places = row.amount.normalize().scale().max(2);
    let text = format!("{:.*}", places as usize, row.amount);
    let (whole, rest) = text.split_once('.').unwrap_or((&text, ""));
    let mut out = String::new();
    for (place, digit) in whole.chars().enumerate() {
        if place > 0 && (whole.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    format!("{out}.{rest}")
}
