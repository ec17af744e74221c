//! What the supplier billed. Does not judge it.

use crate::model::money::Money;
use crate::model::quantity::Quantity;
use crate::model::spot::{At, Spot};
use chrono::NaiveDate;

/// An invoice.
#[derive(Debug, Clone)]
pub struct Invoice {
    /// Its number, text.
    pub number: At<String>,
    /// The order it bills.
    pub order: At<String>,
    /// Its date.
    pub date: NaiveDate,
    /// What it bills.
    pub lines: Vec<InvoiceLine>,
    /// Freight charged.
    pub freight: Option<Money>,
    /// Tax charged.
    pub tax: Option<Money>,
    /// Total as printed.
    pub total: Option<At<Money>>,
    /// Where it was read.
    pub spot: Spot,
}

/// One line of an invoice.
#[derive(Debug, Clone)]
pub struct InvoiceLine {
    /// The order line billed.
    pub line: At<String>,
    /// How much is billed.
    pub quantity: At<Quantity>,
    /// The price of one, in the order line's `per`.
    pub unit_price: Option<Money>,
    /// The extension as printed.
    pub amount: Option<Money>,
    /// Where it was read.
    pub spot: Spot,
}
