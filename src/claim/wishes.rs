//! What the owner decides about a claim: remedies other than the default, costs, market values. Decides nothing itself.

use crate::claim::remedy::{Against, Remedy, fitting};
use crate::model::kind::Kind;
use crate::model::money::Money;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// The owner's decisions on one claim. The default is none.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Wishes {
    /// Remedies chosen instead of the default.
    pub remedies: Vec<Chosen>,
    /// Findings that are logged only, to be claimed all the same (late, early).
    pub also: Vec<(String, Kind)>,
    /// What the return of goods costs the shop.
    pub return_freight: Option<Money>,
    /// Hours of shop labour lost.
    pub labour_hours: Option<Decimal>,
    /// Market values of goods that are kept, by order line.
    pub values: Vec<MarketValue>,
    /// The date of the letter, where it is not today.
    pub dated: Option<NaiveDate>,
}

/// A remedy chosen for one finding. `place` is the order line, or `receipt:line` of goods that were not ordered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chosen {
    /// The order line, or `RG-311:3`.
    pub place: String,
    /// The finding's kind.
    pub kind: Kind,
    /// The remedy.
    pub remedy: Remedy,
}

/// What goods that are kept are worth on the market, for the whole amount that does not conform.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarketValue {
    /// The order line.
    pub line: String,
    /// Their value if they conformed.
    pub conforming: Money,
    /// Their value as they are.
    pub delivered: Money,
}

impl Wishes {
    /// Returns the remedy chosen for a finding.
    pub fn remedy(&self, place: &str, kind: Kind) -> Option<Remedy> {
        self.remedies
            .iter()
            .rev()
            .find(|chosen| chosen.place == place && chosen.kind == kind)
            .map(|chosen| chosen.remedy)
    }

    /// Returns whether a logged finding is to be claimed.
    pub fn claims(&self, place: &str, kind: Kind) -> bool {
        self.also
            .iter()
            .any(|(also, of)| also == place && *of == kind)
    }
}

/// Reads `LINE/KIND` as it is written on the command line; the kind is the name in the answer, with or without its
/// aspect: `1/short`, `2/grade/lower`.
pub fn place_and_kind(text: &str) -> Option<(String, Kind)> {
    let (place, name) = text.split_once('/')?;
    let kind = Kind::ALL.into_iter().find(|kind| {
        let claimable = !fitting(*kind, Against::Supplier).is_empty();
        claimable
            && (kind.name() == name
                || name.split_once('/').is_some_and(|(aspect, name)| {
                    kind.aspect().name() == aspect && kind.name() == name
                }))
    })?;
    Some((place.to_owned(), kind))
}

/// Returns every kind that can be claimed with the remedies that make it right, the default first, for a help page.
pub fn kinds() -> String {
    let mut out =
        "KIND and the REMEDY for it, the one that is asked unless you say otherwise first:\n"
            .to_owned();
    for kind in Kind::ALL {
        let mut fits = fitting(kind, Against::Supplier).to_vec();
        for other in fitting(kind, Against::Carrier) {
            if !fits.contains(other) {
                fits.push(*other);
            }
        }
        if fits.is_empty() {
            continue;
        }
        let names: Vec<&str> = fits.iter().map(|remedy| remedy.name()).collect();
        out.push_str(&format!("  {:15} {}\n", kind.name(), names.join(", ")));
    }
    out.push_str("`pay` is for a carrier; `late`, `early` and `below` are claimed with `--also`");
    out
}
