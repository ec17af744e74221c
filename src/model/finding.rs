//! One way in which what arrived differs from the order. A finding is the answer, never an error.

use crate::model::kind::Kind;
use crate::model::money::Money;
use crate::model::unit::Unit;
use rust_decimal::Decimal;

/// A finding on one order line, or on goods that no line asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Which kind; the kind knows its aspect.
    pub kind: Kind,
    /// How much of it.
    pub amount: Decimal,
    /// In what.
    pub unit: Unit,
    /// The money it is about, where it is about a bill: what is asked too much, or too little. Goods are worth what the
    /// order says.
    pub money: Option<Money>,
    /// The sentence, with the numbers.
    pub text: String,
    /// What was ordered, for a table: `A`, `48 in x 120 in`.
    pub wanted: Option<String>,
    /// What was found.
    pub found: Option<String>,
    /// The property, paper or standard it is about, where the kind alone does not say.
    pub about: Option<String>,
    /// The invoice that billed it first, where it is billed a second time.
    pub billed_first: Option<String>,
    /// The receipts it was found on.
    pub receipts: Vec<String>,
    /// The leaves it is about, by flitch and name: `3318/14`.
    pub leaves: Vec<String>,
    /// What to do with the goods until it is settled: for the shop, never for the supplier.
    pub advice: Option<String>,
    /// The lots of its line that it touches, as places in the line's `lots`, and how much of each, in the line's
    /// unit; empty where it is about the delivery as a whole.
    pub touches: Vec<(usize, Decimal)>,
}

impl Finding {
    /// Makes a finding with its sentence and nothing more.
    pub fn new(kind: Kind, amount: Decimal, unit: Unit, text: impl Into<String>) -> Self {
        Finding {
            kind,
            amount,
            unit,
            money: None,
            text: text.into(),
            wanted: None,
            found: None,
            about: None,
            billed_first: None,
            receipts: Vec::new(),
            leaves: Vec::new(),
            advice: None,
            touches: Vec::new(),
        }
    }

    /// Adds what was ordered and what was found.
    pub fn compared(mut self, wanted: impl Into<String>, found: impl Into<String>) -> Self {
        self.wanted = Some(wanted.into());
        self.found = Some(found.into());
        self
    }

    /// Adds the money it is about.
    pub const fn of_money(mut self, money: Option<Money>) -> Self {
        self.money = money;
        self
    }

    /// Adds what it is about.
    pub fn about(mut self, about: impl Into<String>) -> Self {
        self.about = Some(about.into());
        self
    }

    /// Adds what to do with the goods.
    pub fn advised(mut self, advice: impl Into<String>) -> Self {
        self.advice = Some(advice.into());
        self
    }
}
