//! What is claimed, of whom, worth how much, by when.

use asordered::check::case::Case;
use asordered::check::check;
use asordered::claim;
use asordered::claim::draft::ClaimDraft;
use asordered::claim::remedy::{Against, Remedy};
use asordered::claim::wishes::{Chosen, MarketValue, Wishes};
use asordered::intake;
use asordered::model::answer::{
    Answer, Billing, Completion, FilledSet, LeafRun, LineAnswer, SequenceAnswer,
};
use asordered::model::finding::Finding;
use asordered::model::invoice::Invoice;
use asordered::model::kind::Kind;
use asordered::model::money::Money;
use asordered::model::order::Order;
use asordered::model::receipt::Receipt;
use asordered::model::shop::Shop;
use asordered::model::supplier::Supplier;
use asordered::model::unit::Unit;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// The papers of one case, as text.
pub struct Papers {
    pub order: Order,
    pub receipts: Vec<Receipt>,
    pub invoices: Vec<Invoice>,
    pub supplier: Option<Supplier>,
    pub shop: Option<Shop>,
}

pub const SHOP: &str = "name: Marrow Lane Millwork\naddress: [17 Marrow Lane]\nsigns: {name: Ines Okafor, role: Owner}\nlabour_rate: 85.00\nholidays: [2026-03-20]\n";
pub const SUPPLIER: &str = "supplier: quillfeather\nname: Quillfeather Veneers\ncontact: {name: Claims desk, email: claims@quillfeather.example}\nnotice: {visible: 2 business days, concealed: 5 business days, shortage: 5 business days}\nreply: 10 days\n";

impl Papers {
    pub fn new(order: &str, receipts: &[&str]) -> Self {
        Papers {
            order: intake::order("order.yaml", order).unwrap(),
            receipts: receipts
                .iter()
                .map(|text| intake::receipt("receipt.yaml", text).unwrap())
                .collect(),
            invoices: Vec::new(),
            supplier: Some(intake::supplier("supplier.yaml", SUPPLIER).unwrap()),
            shop: Some(intake::shop("shop.yaml", SHOP).unwrap()),
        }
    }

    pub fn case(&self) -> Case<'_> {
        Case {
            order: &self.order,
            receipts: &self.receipts,
            invoices: &self.invoices,
            supplier: self.supplier.as_ref(),
            shop: self.shop.as_ref(),
            today: None,
        }
    }

    pub fn answer(&self) -> Answer {
        check(&self.case()).unwrap()
    }

    pub fn drafts(&self) -> Vec<ClaimDraft> {
        claim::draft(&self.case(), &self.answer(), day("2026-03-19"))
    }
}

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn money(text: &str) -> Option<Money> {
    Some(Money(text.parse().unwrap()))
}

const ORDER: &str = "order: PO-1\nsupplier: quillfeather\ndate: 2026-03-02\ncurrency: USD\n";
const RECEIPT: &str = "receipt: RG-1\norder: PO-1\ndate: 2026-03-19\npacking_slip: \"881\"\n";

pub fn papers(order: &str, lines: &str) -> Papers {
    Papers::new(&format!("{ORDER}{order}"), &[&format!("{RECEIPT}{lines}")])
}

const EIGHT: &str = "lines: [{line: 1, item: RWO, quantity: 8 sheet, unit_price: 212.50}]\n";

#[test]
fn two_sheets_short_are_worth_two_sheets() {
    let drafts = papers(EIGHT, "lines: [{line: 1, quantity: 6 sheet}]\n").drafts();
    assert_eq!(drafts.len(), 1);
    assert_eq!(drafts[0].value, money("425.00"));
    let part = &drafts[0].items[0].parts[0];
    assert_eq!(part.remedy, Remedy::Send);
    assert_eq!(part.worth.arithmetic, "2 sheets at 212.50 = 425.00");
}

#[test]
fn a_clean_delivery_a_back_order_and_a_wrong_slip_claim_nothing() {
    for lines in [
        "lines: [{line: 1, quantity: 8 sheet}]\n",
        "lines: [{line: 1, quantity: 6 sheet, back_order: 2 sheet}]\n",
        "lines: [{line: 1, slip: 7 sheet, quantity: 8 sheet}]\n",
    ] {
        assert_eq!(papers(EIGHT, lines).drafts().len(), 0, "{lines}");
    }
}

#[test]
fn what_was_not_recorded_is_never_claimed() {
    let order = "lines: [{line: 1, quantity: 8 sheet, grade: A, scale: hp1-face}]\n";
    let papers = papers(order, "lines: [{line: 1, quantity: 8 sheet}]\n");
    assert!(!papers.answer().as_ordered);
    assert_eq!(papers.drafts().len(), 0);
}

/// The answer to eight leaves ordered in two sets of four, six of which came: the design's own example.
fn broken_sequence(arrived: i64, findings: Vec<Finding>) -> Answer {
    let line = LineAnswer {
        line: "1".into(),
        item: Some("RWO".into()),
        description: None,
        as_ordered: false,
        ordered: Decimal::from(8),
        arrived: Decimal::from(arrived),
        conforming: Decimal::from(arrived),
        usable: Decimal::from(4),
        open: Decimal::ZERO,
        unit: Unit::Sheet,
        findings,
        sequence: Some(SequenceAnswer {
            wanted: vec![4, 4],
            faces: vec![None, None],
            filled: vec![FilledSet {
                again: false,
                wanted: 0,
                size: 4,
                flitch: "3318".into(),
                leaves: ["14", "15", "16", "17"].map(String::from).to_vec(),
                window: None,
                window_text: None,
            }],
            missing: vec![4],
            would_complete: vec![
                Completion {
                    option: 1,
                    run: LeafRun {
                        flitch: "3318".into(),
                        leaves: vec!["23".into(), "24".into()],
                    },
                    with_sets: Vec::new(),
                },
                Completion {
                    option: 2,
                    run: LeafRun {
                        flitch: "3318".into(),
                        leaves: vec!["19".into(), "20".into()],
                    },
                    with_sets: Vec::new(),
                },
            ],
            ..SequenceAnswer::default()
        }),
        lots: Vec::new(),
    };
    Answer {
        notes: Vec::new(),
        order: "PO-1".into(),
        supplier: "quillfeather".into(),
        receipts: vec!["RG-1".into()],
        as_ordered: false,
        lines: vec![line],
        not_ordered: Vec::new(),
        causes: Vec::new(),
        billing: None,
        left_out: Vec::new(),
    }
}

fn short() -> Finding {
    Finding::new(Kind::Short, Decimal::TWO, Unit::Sheet, "short by 2 sheets")
}

fn sets_missing() -> Finding {
    Finding::new(
        Kind::SetsMissing,
        Decimal::ONE,
        Unit::Set,
        "1 set of 4 cannot be made",
    )
}

#[test]
fn a_shortage_and_the_sets_it_breaks_are_one_loss_with_one_remedy() {
    let papers = papers(EIGHT, "lines: [{line: 1, quantity: 6 sheet}]\n");
    let answer = broken_sequence(6, vec![short(), sets_missing()]);
    let drafts = claim::draft(&papers.case(), &answer, day("2026-03-19"));
    assert_eq!(drafts[0].value, money("425.00"));
    assert_eq!(drafts[0].items.len(), 1);
    let part = &drafts[0].items[0].parts[0];
    assert_eq!(part.findings.len(), 2);
    assert_eq!(part.remedy, Remedy::SendLeaves);
}

#[test]
fn a_right_count_with_a_broken_sequence_is_worth_the_leaves_that_complete_it() {
    let papers = papers(EIGHT, "lines: [{line: 1, quantity: 8 sheet}]\n");
    let answer = broken_sequence(8, vec![sets_missing()]);
    let drafts = claim::draft(&papers.case(), &answer, day("2026-03-19"));
    assert_eq!(drafts[0].value, money("425.00"));
}

#[test]
fn a_line_without_a_price_says_that_its_value_is_not_known() {
    let order = "lines: [{line: 1, item: RWO, quantity: 8 sheet}]\n";
    let drafts = papers(order, "lines: [{line: 1, quantity: 6 sheet}]\n").drafts();
    assert_eq!(drafts[0].value, None);
    assert_eq!(
        drafts[0].unpriced,
        ["2 sheets: value not known, the order has no price for line 1"]
    );
}

#[test]
fn an_excess_is_to_be_collected_and_is_no_money() {
    let drafts = papers(EIGHT, "lines: [{line: 1, quantity: 10 sheet}]\n").drafts();
    assert_eq!(drafts[0].value, money("0.00"));
    let part = &drafts[0].items[0].parts[0];
    assert_eq!(part.remedy, Remedy::Collect);
    assert_eq!(part.alternatives[0].0, Remedy::Buy);
    assert!(part.alternatives[0].1.arithmetic.contains("425.00"));
}

#[test]
fn damage_is_the_suppliers_when_it_bears_the_risk_and_the_carriers_when_the_shop_does() {
    let lines = "carrier: {name: Longhaul, pro: \"77\"}\nlines: [{line: 1, quantity: 8 sheet, damaged: 1 sheet}]\n";
    let destination = papers(&format!("freight: destination\n{EIGHT}"), lines).drafts();
    assert_eq!(destination[0].against, Against::Supplier);
    assert_eq!(destination[0].also_told, Some(Against::Carrier));
    let origin = papers(&format!("freight: origin\n{EIGHT}"), lines).drafts();
    assert_eq!(origin.len(), 1);
    assert_eq!(origin[0].against, Against::Carrier);
    assert_eq!(origin[0].also_told, Some(Against::Supplier));
    assert_eq!(origin[0].value, money("212.50"));
    assert_eq!(origin[0].follow_up.len(), 2);
}

#[test]
fn one_order_gives_two_letters_and_nothing_is_asked_twice() {
    let lines =
        "carrier: {name: Longhaul}\nlines: [{line: 1, quantity: 6 sheet, damaged: 1 sheet}]\n";
    let papers = papers(&format!("freight: origin\n{EIGHT}"), lines);
    let drafts = papers.drafts();
    let of: Vec<_> = drafts.iter().map(|d| (d.against, d.value)).collect();
    assert_eq!(
        of,
        [
            (Against::Supplier, money("425.00")),
            (Against::Carrier, money("212.50"))
        ]
    );
    let summary = claim::summary(&drafts).unwrap();
    assert_eq!(summary.value, money("637.50"));
}

#[test]
fn goods_damaged_beyond_what_was_ordered_are_no_loss() {
    let lines = "lines: [{line: 1, quantity: 10 sheet, damaged: 2 sheet}]\n";
    let drafts = papers(EIGHT, lines).drafts();
    assert_eq!(drafts[0].value, money("0.00"));
}

#[test]
fn the_same_sheets_of_a_lower_grade_and_damaged_are_asked_once() {
    let order = "lines: [{line: 1, item: MPL, quantity: 8 sheet, unit_price: 100, grade: A, scale: hp1-face}]\n";
    let lines = "lines: [{line: 1, quantity: 8 sheet, grade: B, damaged: 2 sheet}]\n";
    let drafts = papers(order, lines).drafts();
    assert_eq!(drafts[0].value, money("800.00"));
    let kinds: Vec<Kind> = drafts[0]
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .flat_map(|part| part.findings.iter().map(|finding| finding.kind))
        .collect();
    assert!(kinds.contains(&Kind::GradeLower) && kinds.contains(&Kind::Damaged));
}

const TWO_GRADES: &str = "lines: [{line: 1, item: MPL, quantity: 8 sheet, unit_price: 94, grade: A, scale: hp1-face}, {line: 2, item: MPL, quantity: 1 sheet, unit_price: 71, grade: B, scale: hp1-face}]\n";
const TWO_CAME: &str =
    "lines: [{line: 1, quantity: 8 sheet, grade: B}, {line: 2, quantity: 1 sheet, grade: B}]\n";

#[test]
fn a_lower_grade_that_is_kept_is_worth_the_difference_of_the_two_prices() {
    let papers = papers(TWO_GRADES, TWO_CAME);
    let wishes = Wishes {
        remedies: vec![Chosen {
            place: "1".into(),
            kind: Kind::GradeLower,
            remedy: Remedy::Reduce,
        }],
        ..Wishes::default()
    };
    let drafts = claim::draft::draft(&papers.case(), &papers.answer(), day("2026-03-19"), &wishes);
    assert_eq!(drafts[0].value, money("184.00"));
    assert_eq!(
        drafts[0].items[0].parts[0].worth.arithmetic,
        "8 sheets at the difference of 94.00 and 71.00, the price of B on line 2 (23.00) = 184.00"
    );
}

/// The same plywood under two codes; only the word for the grade tells the descriptions apart.
#[test]
fn the_price_of_the_lower_grade_is_found_under_another_code() {
    let reduced = |description: &str, size: &str| {
        let order = format!(
            "lines: [{{line: 1, item: MPL-A1, description: \"Maple plywood 3/4 in, A-1\", quantity: 8 sheet, \
             unit_price: 94, grade: A-1, scale: hp1, size: 48 in x 96 in}}, {{line: 2, item: MPL-B2, description: \
             \"{description}\", quantity: 1 sheet, unit_price: 71, grade: B-2, scale: hp1, size: {size}}}]\n"
        );
        let lines = "lines: [{line: 1, quantity: 8 sheet, grade: B-2, size: 48 in x 96 in}]\n";
        let papers = papers(&order, lines);
        let wishes = Wishes {
            remedies: vec![Chosen {
                place: "1".into(),
                kind: Kind::GradeLower,
                remedy: Remedy::Reduce,
            }],
            ..Wishes::default()
        };
        let drafts =
            claim::draft::draft(&papers.case(), &papers.answer(), day("2026-03-19"), &wishes);
        let part = drafts[0].items[0].parts[0].clone();
        // The sheet of line 2 is short, so part of the claim is known whatever the reduction.
        assert!(drafts[0].value.is_some());
        part.worth.value
    };
    assert_eq!(
        reduced("Maple plywood 3/4 in, B-2", "48 in x 96 in"),
        money("184.00")
    );
    assert_eq!(reduced("Birch plywood 3/4 in, B-2", "48 in x 96 in"), None);
    assert_eq!(reduced("Maple plywood 3/4 in, B-2", "48 in x 120 in"), None);
}

#[test]
fn one_remedy_is_asked_for_goods_that_differ_in_two_ways() {
    let papers = papers(
        "lines: [{line: 1, item: D, quantity: 10 each, unit_price: 20, grade: A, scale: hp1-face}]\n",
        "lines: [{line: 1, quantity: 2 each, grade: B, damaged: 1 each}, {line: 1, quantity: 8 each, grade: A}]\n",
    );
    let drafts = papers.drafts();
    let parts: Vec<_> = drafts[0]
        .items
        .iter()
        .flat_map(|item| &item.parts)
        .collect();
    assert_eq!(parts.len(), 1);
    assert_eq!(parts[0].findings.len(), 2);
    assert_eq!(parts[0].amount.to_string(), "2 pieces");
    assert_eq!(drafts[0].value, money("40.00"));
}

/// The supplier is asked for all of it, lower grade as it is; the carrier for what the supplier does not make good.
#[test]
fn damage_in_transit_of_goods_that_were_wrong_besides_is_told_to_the_carrier_and_valued_once() {
    let papers = papers(
        "freight: origin\nlines: [{line: 1, item: M, quantity: 24 sheet, unit_price: 94, grade: A, scale: hp1-face}]\n",
        "carrier: {name: Longhaul}\nlines: [{line: 1, quantity: 24 sheet, grade: B, damaged: 3 sheet}]\n",
    );
    let drafts = papers.drafts();
    assert_eq!(drafts[0].value, money("2256.00"));
    assert_eq!(drafts[1].against, Against::Carrier);
    assert_eq!(drafts[1].carrier.as_deref(), Some("Longhaul"));
    assert_eq!(drafts[1].value, money("0.00"));
    assert!(
        drafts[1].items[0].parts[0]
            .worth
            .arithmetic
            .starts_with("3 sheets at 94.00 = 282.00; the supplier is asked for these goods")
    );
}

/// Values: check-values, law: a price of 7,400, worth 8,000 as it should be and 6,000 as it is.
#[test]
fn goods_that_are_kept_are_valued_by_the_law_of_the_order() {
    for (law, value) in [("ucc", "2000.00"), ("cisg", "1850.00")] {
        let order = format!(
            "law: {law}\nlines: [{{line: 1, item: MPL, quantity: 8 sheet, unit_price: 925, grade: A, scale: hp1-face}}]\n"
        );
        let papers = papers(&order, "lines: [{line: 1, quantity: 8 sheet, grade: B}]\n");
        let wishes = Wishes {
            remedies: vec![Chosen {
                place: "1".into(),
                kind: Kind::GradeLower,
                remedy: Remedy::Reduce,
            }],
            values: vec![MarketValue {
                line: "1".into(),
                conforming: Money(Decimal::from(8000)),
                delivered: Money(Decimal::from(6000)),
            }],
            ..Wishes::default()
        };
        let drafts =
            claim::draft::draft(&papers.case(), &papers.answer(), day("2026-03-19"), &wishes);
        assert_eq!(drafts[0].value, money(value), "{law}");
    }
}

#[test]
fn a_shortage_that_was_not_billed_asks_for_goods_and_no_money() {
    let papers = papers(EIGHT, "lines: [{line: 1, quantity: 6 sheet}]\n");
    let mut answer = papers.answer();
    for (billed, value, words) in [
        (
            6,
            "0.00",
            "2 sheets: not billed, so the goods are asked for and no money",
        ),
        (
            7,
            "212.50",
            "1 sheet at 212.50 = 212.50; 1 sheet not billed",
        ),
        (8, "425.00", "2 sheets at 212.50 = 425.00"),
    ] {
        answer.billing = Some(Billing {
            billed: vec![("1".into(), Decimal::from(billed))],
            ..Billing::default()
        });
        let drafts = claim::draft(&papers.case(), &answer, day("2026-03-19"));
        assert_eq!(drafts[0].value, money(value), "{billed}");
        assert_eq!(drafts[0].items[0].parts[0].worth.arithmetic, words);
    }
}

#[test]
fn costs_entered_by_the_owner_are_added_with_their_arithmetic() {
    let papers = papers(EIGHT, "lines: [{line: 1, quantity: 6 sheet}]\n");
    let wishes = Wishes {
        return_freight: money("120"),
        labour_hours: Some("1.5".parse().unwrap()),
        ..Wishes::default()
    };
    let drafts = claim::draft::draft(&papers.case(), &papers.answer(), day("2026-03-19"), &wishes);
    assert_eq!(drafts[0].value, money("672.50"));
    assert_eq!(
        drafts[0].costs[1].arithmetic,
        "labour lost, 1.5 hours at 85.00 = 127.50"
    );
}

#[test]
fn the_suppliers_terms_come_first_and_count_the_shops_holidays() {
    let drafts = papers(EIGHT, "lines: [{line: 1, quantity: 10 sheet}]\n").drafts();
    // Received Thursday 2026-03-19; Friday is the shop's holiday; 2 business days: Tuesday.
    let by = drafts[0].notify_by.as_ref().unwrap();
    assert_eq!(by.date, day("2026-03-24"));
    assert_eq!(
        by.why,
        "the supplier's terms, 2 business days for what can be seen"
    );
    // A shortage has 5 business days: Friday 27.
    let drafts = papers(EIGHT, "lines: [{line: 1, quantity: 6 sheet}]\n").drafts();
    assert_eq!(
        drafts[0].notify_by.as_ref().unwrap().date,
        day("2026-03-27")
    );
    assert_eq!(drafts[0].answer_by, day("2026-03-29"));
}

#[test]
fn concealed_damage_counts_from_the_day_it_was_found() {
    let lines = "lines: [{line: 1, quantity: 8 sheet, damaged: 1 sheet, damage: concealed, found: 2026-03-23}]\n";
    let by = papers(EIGHT, lines).drafts()[0].notify_by.clone().unwrap();
    assert_eq!(by.date, day("2026-03-30"));
    // A carrier's five days run from delivery all the same (NMFC 300135): 19 March, holiday on the 20th.
    let by = papers(&format!("freight: origin\n{EIGHT}"), lines).drafts()[0]
        .notify_by
        .clone()
        .unwrap();
    assert_eq!(by.date, day("2026-03-27"));
}

#[test]
fn without_the_suppliers_file_and_the_shop_no_day_is_guessed() {
    let mut papers = papers(EIGHT, "lines: [{line: 1, quantity: 6 sheet}]\n");
    papers.supplier = None;
    papers.shop = None;
    let drafts = papers.drafts();
    assert_eq!(drafts[0].notify_by, None);
    let summary = claim::summary(&drafts).unwrap();
    assert_eq!((summary.notify_by, summary.value), (None, money("425.00")));
}

#[test]
fn exchanged_lines_are_one_linked_item() {
    let order = "lines: [{line: 1, quantity: 8 sheet, unit_price: 10}, {line: 2, quantity: 6 sheet, unit_price: 20}]\n";
    let lines = "lines: [{line: 1, quantity: 6 sheet}, {line: 2, quantity: 8 sheet}]\n";
    let drafts = papers(order, lines).drafts();
    assert_eq!(drafts[0].items.len(), 1);
    assert_eq!(drafts[0].items[0].parts.len(), 2);
    assert_eq!(drafts[0].value, money("20.00"));
}
