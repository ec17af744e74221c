//! An amount with its unit. Does not convert units; that is `check/measure.rs`.

use crate::model::unit::Unit;
use rust_decimal::Decimal;
use std::fmt::{Display, Formatter, Result};

/// An exact amount of something, never negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quantity {
    /// How many or how much.
    pub amount: Decimal,
    /// Of what.
    pub unit: Unit,
}

impl Quantity {
    /// Makes a quantity.
    pub const fn new(amount: Decimal, unit: Unit) -> Self {
        Quantity { amount, unit }
    }
}

impl Display for Quantity {
    /// Writes `8 sheets`, `1 sheet`, `2.5 bd ft`: the amount without trailing zeros.
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        let word = if self.amount == Decimal::ONE {
            self.unit.singular()
        } else {
            self.unit.plural()
        };
        write!(f, "{} {word}", self.amount.normalize())
    }
}
