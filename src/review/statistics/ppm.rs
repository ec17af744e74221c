//! Rejected units in parts per million, each unit of measure for itself. Converts no unit and adds no two.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

/// What was received of one unit of measure, and how much of it was rejected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Amounts {
    /// Received, the rejected included.
    pub received: Decimal,
    /// Rejected.
    pub rejected: Decimal,
}

impl Amounts {
    /// Returns rejected / received x 1,000,000; `None` where nothing was received or the sum leaves a decimal's range.
    pub fn ppm(self) -> Option<Decimal> {
        self.rejected
            .checked_div(self.received)?
            .checked_mul(Decimal::from(1_000_000))
    }
}

/// Adds up amounts unit by unit, in the order of the units.
pub fn by_unit<U: Ord>(lines: impl IntoIterator<Item = (U, Amounts)>) -> BTreeMap<U, Amounts> {
    let mut units = BTreeMap::<U, Amounts>::new();
    for (unit, line) in lines {
        let sum = units.entry(unit).or_default();
        sum.received = sum.received.saturating_add(line.received);
        sum.rejected = sum.rejected.saturating_add(line.rejected);
    }
    units
}
