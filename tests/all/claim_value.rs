//! What a claim is worth, against the accounting of the check, over random deliveries.

use crate::claim_draft::{day, papers};
use asordered::claim;
use asordered::claim::remedy::Against;
use asordered::model::money::Money;
use proptest::collection::vec;
use proptest::prelude::{ProptestConfig, any, proptest};
use rust_decimal::Decimal;

#[derive(Debug)]
struct Claimed {
    value: Money,
    ordered: Decimal,
    conforming: Decimal,
}

/// One order line at 10.00, and lots of it: count, whether of the lower grade, how many damaged.
fn claimed(ordered: u32, lots: &[(u32, bool, u32)], origin: bool) -> Claimed {
    let freight = if origin { "origin" } else { "destination" };
    let order = format!(
        "freight: {freight}\nlines: [{{line: 1, item: MPL, quantity: {ordered} sheet, unit_price: 10, grade: A, scale: hp1-face}}]\n"
    );
    let lots: Vec<String> = lots
        .iter()
        .map(|(count, lower, damaged)| {
            let grade = if *lower { "B" } else { "A" };
            let damaged = match (*damaged).min(*count) {
                0 => String::new(),
                some => format!(", damaged: {some} sheet"),
            };
            format!("{{line: 1, quantity: {count} sheet, grade: {grade}{damaged}}}")
        })
        .collect();
    let lines = format!(
        "carrier: {{name: Longhaul}}\nlines: [{}]\n",
        lots.join(", ")
    );
    let papers = papers(&order, &lines);
    let answer = papers.answer();
    let drafts = claim::draft(&papers.case(), &answer, day("2026-03-19"));
    assert!(
        drafts
            .iter()
            .filter(|draft| draft.against == Against::Carrier)
            .count()
            <= 1
    );
    Claimed {
        value: drafts.iter().filter_map(|draft| draft.value).sum(),
        ordered: answer.lines[0].ordered,
        conforming: answer.lines[0].conforming,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// No loss is asked for twice and none is left out: with every grade recorded and nothing to follow, what is
    /// claimed is what was ordered and did not come good, at the order's price.
    #[test]
    fn what_is_claimed_is_what_was_ordered_and_did_not_come_good(
        ordered in 1_u32..20,
        lots in vec((0_u32..12, any::<bool>(), 0_u32..6), 1..4),
        origin in any::<bool>(),
    ) {
        let claimed = claimed(ordered, &lots, origin);
        let lost = (claimed.ordered - claimed.conforming).max(Decimal::ZERO);
        assert_eq!(claimed.value, Money(Decimal::TEN).times(lost), "{lots:?} {claimed:?}");
    }

    /// Who bears the risk in transit changes who is asked, never how much.
    #[test]
    fn the_risk_in_transit_moves_money_and_makes_none(
        ordered in 1_u32..20,
        lots in vec((0_u32..12, any::<bool>(), 0_u32..6), 1..4),
    ) {
        let (one, other) = (claimed(ordered, &lots, true), claimed(ordered, &lots, false));
        assert_eq!(one.value, other.value, "{lots:?} {one:?} {other:?}");
    }
}
