//! What an aspect returns: findings, and how much of which lot each one touches.

use crate::model::finding::Finding;
use rust_decimal::Decimal;

/// How much of one lot a finding touches, in the order line's unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Touch {
    /// Which lot of the pair.
    pub lot: usize,
    /// How much of it.
    pub amount: Decimal,
}

/// A finding and the lots it touches. A finding about the delivery as a whole touches none.
#[derive(Debug, Clone)]
pub struct Found {
    /// The finding.
    pub finding: Finding,
    /// What it touches.
    pub touches: Vec<Touch>,
}

impl Found {
    /// A finding that touches no lot.
    pub const fn whole(finding: Finding) -> Self {
        Found {
            finding,
            touches: Vec::new(),
        }
    }
}
