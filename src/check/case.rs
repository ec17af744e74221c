//! What a check is given. Decides nothing.

use crate::model::invoice::Invoice;
use crate::model::order::Order;
use crate::model::receipt::Receipt;
use crate::model::shop::Shop;
use crate::model::supplier::Supplier;
use chrono::NaiveDate;

/// Everything that a check looks at.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// The order.
    pub order: &'a Order,
    /// All its receipts so far, in any order.
    pub receipts: &'a [Receipt],
    /// Its invoices, in any order.
    pub invoices: &'a [Invoice],
    /// The supplier, where its file is known.
    pub supplier: Option<&'a Supplier>,
    /// The shop, where its file is known.
    pub shop: Option<&'a Shop>,
    /// The day it is, where lateness of what has not come is to be told.
    pub today: Option<NaiveDate>,
}

impl<'a> Case<'a> {
    /// A case of files alone.
    pub const fn new(order: &'a Order, receipts: &'a [Receipt]) -> Self {
        Case {
            order,
            receipts,
            invoices: &[],
            supplier: None,
            shop: None,
            today: None,
        }
    }

    /// Returns our item code for a code of either side.
    pub fn our_item<'c>(&self, code: &'c str) -> &'c str
    where
        'a: 'c,
    {
        self.supplier
            .and_then(|supplier| {
                supplier
                    .items
                    .iter()
                    .find(|(theirs, _)| theirs.eq_ignore_ascii_case(code))
            })
            .map_or(code, |(_, ours)| ours.as_str())
    }

    /// Returns our grade for a grade name of either side.
    pub fn our_grade<'c>(&self, grade: &'c str) -> &'c str
    where
        'a: 'c,
    {
        self.supplier
            .and_then(|supplier| {
                supplier
                    .grades
                    .iter()
                    .find(|(theirs, _)| theirs.eq_ignore_ascii_case(grade))
            })
            .map_or(grade, |(_, ours)| ours.as_str())
    }

    /// Returns what cannot be told without the supplier's and the shop's files.
    pub fn left_out(&self) -> Vec<String> {
        let mut out = Vec::new();
        if self.supplier.is_none() {
            out.push(format!(
                "no file for supplier `{}`: its notice periods, grade names and item codes are not known",
                self.order.supplier
            ));
        }
        if self.shop.is_none() {
            out.push("no shop.yaml: the shop's holidays are not known".to_owned());
        }
        out
    }
}
