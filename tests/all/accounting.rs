//! The accounting rules as properties: conservation, the order of lines does not matter, an added conforming unit
//! never makes things worse.

use asordered::check::case::Case;
use asordered::check::check;
use asordered::intake;
use asordered::model::answer::Answer;
use proptest::prelude::{Just, Strategy, any, prop_oneof, proptest};
use proptest::{collection, prop_assert, prop_assert_eq};
use rust_decimal::Decimal;
use std::fmt::Write;

#[derive(Debug, Clone)]
struct Line {
    ordered: u32,
    under: u32,
    over: u32,
    lots: Vec<Lot>,
}

#[derive(Debug, Clone)]
struct Lot {
    amount: u32,
    grade: &'static str,
    damaged: u32,
    back_order: u32,
    second_receipt: bool,
}

fn lots() -> impl Strategy<Value = Vec<Lot>> {
    let grade = prop_oneof![4 => Just("A"), 1 => Just("B"), 1 => Just("AA")];
    let lot = (0u32..20, grade, 0u32..4, 0u32..4, any::<bool>()).prop_map(
        |(amount, grade, damaged, back_order, second_receipt)| Lot {
            amount,
            grade,
            damaged: damaged.min(amount),
            back_order,
            second_receipt,
        },
    );
    collection::vec(lot, 0..4)
}

fn lines() -> impl Strategy<Value = Vec<Line>> {
    let line = (1u32..30, 0u32..3, 0u32..3, lots()).prop_map(|(ordered, under, over, lots)| Line {
        ordered,
        under,
        over,
        lots,
    });
    collection::vec(line, 1..6)
}

/// Writes the files and checks them; `stray` units come that nobody ordered.
fn answer(lines: &[(usize, Line)], stray: u32) -> Answer {
    let mut order = String::from("order: PO-1\nsupplier: s\ndate: 2026-01-01\nlines:\n");
    let mut receipts = [
        String::from(
            "receipt: R-1\norder: PO-1\ndate: 2026-02-01\nlines:\n  - {item: none, quantity: 0 each}\n",
        ),
        String::from(
            "receipt: R-2\norder: PO-1\ndate: 2026-03-01\nlines:\n  - {item: none, quantity: 0 each}\n",
        ),
    ];
    for (name, line) in lines {
        writeln!(
            order,
            "  - {{line: {name}, quantity: {} each, grade: A, scale: hp1-face, tolerance: {{under: {}, over: {}}}}}",
            line.ordered, line.under, line.over
        )
        .unwrap();
        for lot in &line.lots {
            writeln!(
                receipts[usize::from(lot.second_receipt)],
                "  - {{line: {name}, quantity: {} each, grade: {}, damaged: {} each, back_order: {} each}}",
                lot.amount, lot.grade, lot.damaged, lot.back_order
            )
            .unwrap();
        }
    }
    writeln!(receipts[0], "  - {{item: stray, quantity: {stray} each}}").unwrap();
    let order = intake::order("o", &order).unwrap();
    let receipts = receipts.map(|text| intake::receipt("r", &text).unwrap());
    check(&Case::new(&order, &receipts)).unwrap()
}

fn named(lines: &[Line]) -> Vec<(usize, Line)> {
    lines.iter().cloned().enumerate().collect()
}

fn amount(answer: &Answer, line: usize, kind: &str) -> Decimal {
    answer.lines[line]
        .findings
        .iter()
        .filter(|finding| finding.kind.aspect().name() == "quantity" && finding.kind.name() == kind)
        .map(|finding| finding.amount)
        .sum()
}

proptest! {
    #[test]
    fn what_arrived_is_what_conforms_and_what_does_not(lines in lines(), stray in 0u32..9) {
        let answer = answer(&named(&lines), stray);
        let mut total = Decimal::ZERO;
        for (place, (line, given)) in answer.lines.iter().zip(&lines).enumerate() {
            let arrived: u32 = given.lots.iter().map(|lot| lot.amount).sum();
            let conforming: u32 = given.lots.iter().filter(|lot| lot.grade == "A").map(|lot| lot.amount - lot.damaged).sum();
            prop_assert_eq!(line.arrived, Decimal::from(arrived));
            prop_assert_eq!(line.conforming, Decimal::from(conforming));
            prop_assert_eq!(line.arrived, line.conforming + line.rejected());
            let short = given.ordered.saturating_sub(arrived);
            let short = if short > given.under { short } else { 0 };
            let over = arrived.saturating_sub(given.ordered);
            let over = if over > given.over { over } else { 0 };
            prop_assert_eq!(amount(&answer, place, "short") + amount(&answer, place, "back-ordered"), Decimal::from(short));
            prop_assert_eq!(amount(&answer, place, "over"), Decimal::from(over));
            prop_assert!(line.usable <= line.conforming);
            total += line.arrived;
        }
        total += answer.not_ordered.iter().map(|stray| stray.amount).sum::<Decimal>();
        let received: u32 = lines.iter().flat_map(|line| &line.lots).map(|lot| lot.amount).sum::<u32>() + stray;
        prop_assert_eq!(total, Decimal::from(received));
    }

    #[test]
    fn the_order_of_lines_does_not_change_the_answer(lines in lines(), seed in any::<u64>()) {
        let straight = named(&lines);
        let mut turned = straight.clone();
        let by = usize::try_from(seed % turned.len() as u64).unwrap();
        turned.rotate_left(by);
        for (_, line) in &mut turned {
            line.lots.reverse();
        }
        let (one, other) = (answer(&straight, 3), answer(&turned, 3));
        prop_assert_eq!(one.as_ordered, other.as_ordered);
        for line in &one.lines {
            let twin = other.lines.iter().find(|twin| twin.line == line.line).unwrap();
            prop_assert_eq!(line.as_ordered, twin.as_ordered);
            prop_assert_eq!((line.arrived, line.conforming, line.usable, line.open), (twin.arrived, twin.conforming, twin.usable, twin.open));
            let told = |line: &asordered::model::answer::LineAnswer| {
                let mut told: Vec<String> = line.findings.iter().map(|finding| finding.text.clone()).collect();
                told.sort();
                told
            };
            prop_assert_eq!(told(line), told(twin));
        }
        let causes = |answer: &Answer| {
            let mut causes: Vec<String> = answer.causes.iter().map(|cause| cause.text.clone()).collect();
            causes.sort();
            causes
        };
        prop_assert_eq!(causes(&one), causes(&other));
    }

    #[test]
    fn an_added_conforming_unit_never_makes_things_worse(lines in lines()) {
        let before = answer(&named(&lines), 0);
        let arrived: u32 = lines[0].lots.iter().map(|lot| lot.amount).sum();
        // Beyond what was ordered one more is an excess, not a help.
        if arrived < lines[0].ordered {
            let mut more = lines.clone();
            more[0].lots.push(Lot { amount: 1, grade: "A", damaged: 0, back_order: 0, second_receipt: false });
            let after = answer(&named(&more), 0);
            let missing = |answer: &Answer| amount(answer, 0, "short") + amount(answer, 0, "back-ordered");
            prop_assert!(missing(&after) <= missing(&before));
            prop_assert_eq!(after.lines[0].conforming, before.lines[0].conforming + Decimal::ONE);
            prop_assert_eq!(after.lines[0].rejected(), before.lines[0].rejected());
            prop_assert!(after.lines[0].as_ordered || !before.lines[0].as_ordered);
        }
    }
}
