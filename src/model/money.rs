//! Money. Does not convert currencies: an order has one.

use rust_decimal::{Decimal, RoundingStrategy};
use std::fmt::{Display, Formatter, Result};
use std::iter::Sum;
use std::ops::{Add, Sub};

/// An amount of the order's currency, exact until `rounded`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(pub Decimal);

impl Money {
    /// Nothing.
    pub const ZERO: Money = Money(Decimal::ZERO);

    /// Returns the amount rounded to cents, half away from zero, as invoices are.
    pub fn rounded(self) -> Money {
        let mut cents = self
            .0
            .round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
        cents.rescale(2);
        Money(cents)
    }

    /// Returns the extension of a unit price, rounded to cents.
    pub fn times(self, amount: Decimal) -> Money {
        Money(self.0.saturating_mul(amount)).rounded()
    }
}

impl Add for Money {
    type Output = Money;

    fn add(self, other: Money) -> Money {
        Money(self.0.saturating_add(other.0))
    }
}

impl Sub for Money {
    type Output = Money;

    fn sub(self, other: Money) -> Money {
        Money(self.0.saturating_sub(other.0))
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(iter: I) -> Money {
        iter.fold(Money::ZERO, Add::add)
    }
}

impl Display for Money {
    /// Writes two decimals and no currency: `1700.00`.
    fn fmt(&self, f: &mut Formatter<'_>) -> Result {
        write!(f, "{}", self.rounded().0)
    }
}
