//! Notice periods of law, of trade rules and of common practice. Counts no days and chooses none; that is `claim`.

use serde::Deserialize;
use std::sync::LazyLock;

/// Who says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Standing {
    /// Statute, regulation or convention.
    Law,
    /// A trade's own rules, where the order or the tariff says that they govern.
    Rules,
    /// Common practice of shops.
    Practice,
}

/// What a notice or an answer is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Of {
    /// Every difference.
    Any,
    /// What can be seen at delivery.
    Visible,
    /// What is found later.
    Concealed,
    /// What is missing.
    Shortage,
    /// A claim in form.
    Claim,
    /// The other side's answer.
    Answer,
    /// Goods that come before the date promised.
    Early,
}

/// What the period counts from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum From {
    /// The day of delivery.
    Delivery,
    /// The end of unloading.
    Unloading,
    /// The day it was found, or should have been.
    Discovery,
    /// The day the claim was filed.
    Filing,
    /// The date promised, backwards.
    Promise,
}

/// What a period counts in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Span {
    /// Calendar days.
    Days,
    /// Days without weekends and holidays.
    #[serde(rename = "business days")]
    BusinessDays,
    /// Calendar months.
    Months,
    /// Calendar years.
    Years,
}

/// A stated period.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// How many.
    pub count: u32,
    /// Of what.
    pub unit: Span,
}

/// One row: by when something must be said.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Notice {
    /// Its name in the program.
    pub id: String,
    /// What it is about.
    pub of: Of,
    /// Where, or for which trade, it holds.
    pub jurisdiction: String,
    /// Who says so.
    pub standing: Standing,
    /// What it counts from.
    pub from: From,
    /// How long; `None` is a reasonable time.
    #[serde(default)]
    pub period: Option<Term>,
    /// The longest it can be, where the period itself is a reasonable time.
    #[serde(default)]
    pub longest: Option<Term>,
    /// Whether the whole shipment is held, not only what differs.
    #[serde(default)]
    pub hold_whole: bool,
    /// The rule in one sentence.
    pub says: String,
    /// Where it stands.
    pub source: String,
}

static TABLE: LazyLock<Vec<Notice>> = LazyLock::new(|| {
    serde_yaml::from_str(include_str!("notices.yaml"))
        .expect("the embedded table of notices is well formed; a test reads every row")
});

/// Returns every row, in the order of the table.
pub fn notices() -> &'static [Notice] {
    &TABLE
}

/// Returns the row of a name, whatever its case: `ucc`, `nhla`, `practice-visible`.
pub fn named(id: &str) -> Option<&'static Notice> {
    TABLE
        .iter()
        .find(|notice| notice.id.eq_ignore_ascii_case(id.trim()))
}
