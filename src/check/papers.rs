//! Papers: did the labels and certificates that the order requires come with the goods? Reads none of them.

use crate::check::case::Case;
use crate::check::found::{Found, Touch};
use crate::check::pair::Pair;
use crate::model::finding::Finding;
use crate::model::kind::Kind;
use crate::model::problem::Problem;
use crate::model::quantity::Quantity;
use rust_decimal::Decimal;

/// Finds lots without a paper that the order requires: they are held until it is traced (for composite panels
/// 40 CFR 770.45 asks for the label on every panel or bundle).
///
/// # Errors
/// None; the signature is the aspects'.
pub fn look(_case: &Case<'_>, pair: &Pair<'_>) -> Result<Vec<Found>, Vec<Problem>> {
    let unit = pair.line.quantity.unit;
    let found = pair.line.requires.iter().filter_map(|paper| {
        let touches: Vec<Touch> = pair
            .lots
            .iter()
            .enumerate()
            .filter(|(_, lot)| !lot.amount.is_zero() && !has(&lot.line.papers, paper))
            .map(|(place, lot)| Touch {
                lot: place,
                amount: lot.amount,
            })
            .collect();
        if touches.is_empty() {
            return None;
        }
        let amount: Decimal = touches.iter().map(|touch| touch.amount).sum();
        let mut finding = Finding::new(
            Kind::PaperMissing,
            amount,
            unit,
            format!("{} without {paper}", Quantity::new(amount, unit)),
        )
        .about(paper.clone());
        finding.wanted = Some(paper.clone());
        finding.advice = Some("hold it until the paper is traced".to_owned());
        finding.receipts = pair.receipts_of(&touches);
        Some(Found { finding, touches })
    });
    Ok(found.collect())
}

fn has(papers: &[String], wanted: &str) -> bool {
    papers
        .iter()
        .any(|paper| paper.eq_ignore_ascii_case(wanted))
}
