//! Price and billing: every figure here is worked out by hand beside its check.

use asordered::check::case::Case;
use asordered::check::check;
use asordered::intake;
use asordered::model::answer::Answer;
use asordered::model::problem::Problem;

const ORDER: &str = "order: PO-1\nsupplier: s\ndate: 2026-01-01\nlines:\n";
const RECEIPT: &str = "receipt: R-1\norder: PO-1\ndate: 2026-02-01\nlines:\n";

/// Checks an order and a receipt against invoices, each `lines` and what follows them.
fn try_answer(order: &str, receipt: &str, invoices: &[&str]) -> Result<Answer, Vec<Problem>> {
    let order = intake::order("o", &format!("{ORDER}{order}")).unwrap();
    let receipts = [intake::receipt("r", &format!("{RECEIPT}{receipt}")).unwrap()];
    let invoices: Vec<_> = invoices
        .iter()
        .enumerate()
        .map(|(number, text)| {
            let head = format!(
                "invoice: I-{0}\norder: PO-1\ndate: 2026-02-0{0}\nlines:\n",
                number + 1
            );
            intake::invoice("i", &format!("{head}{text}")).unwrap()
        })
        .collect();
    check(&Case {
        invoices: &invoices,
        ..Case::new(&order, &receipts)
    })
}

fn answer(order: &str, receipt: &str, invoices: &[&str]) -> Answer {
    try_answer(order, receipt, invoices).unwrap()
}

#[track_caller]
fn pays(answer: &Answer, now: &str, withhold: &str) {
    let billing = answer.billing.as_ref().unwrap();
    assert_eq!(
        (billing.pay_now.to_string(), billing.withhold.to_string()),
        (now.to_owned(), withhold.to_owned()),
        "{:#?}",
        billing.arithmetic
    );
}

fn said(answer: &Answer, words: &str) -> bool {
    let billing = answer.billing.as_ref().unwrap();
    billing.arithmetic.iter().any(|line| line.contains(words))
}

fn kinds(answer: &Answer) -> Vec<String> {
    answer
        .lines
        .iter()
        .flat_map(|line| &line.findings)
        .map(|finding| {
            format!(
                "{}/{} {}",
                finding.kind.aspect().name(),
                finding.kind.name(),
                finding.amount.normalize()
            )
        })
        .collect()
}

const TEN: &str = "  - {line: 1, quantity: 10 sheet, unit_price: 94.00}\n";

#[test]
fn what_came_and_was_billed_right_is_paid_whole() {
    let answer = answer(
        TEN,
        "  - {line: 1, quantity: 10 sheet}\n",
        &[
            "  - {line: 1, quantity: 10 sheet, unit_price: 94.00, amount: 940.00}\nfreight: 35.00\ntax: 47.00\ntotal: 1022.00\n",
        ],
    );
    assert!(answer.as_ordered);
    // 940.00 + 35.00 + 47.00.
    pays(&answer, "1022.00", "0.00");
}

#[test]
fn without_an_invoice_nothing_is_said_of_paying() {
    assert!(
        answer(TEN, "  - {line: 1, quantity: 10 sheet}\n", &[])
            .billing
            .is_none()
    );
}

#[test]
fn what_is_short_is_withheld() {
    let answer = answer(
        TEN,
        "  - {line: 1, quantity: 7 sheet}\n",
        &["  - {line: 1, quantity: 10 sheet, unit_price: 94.00, amount: 940.00}\n"],
    );
    assert_eq!(kinds(&answer), ["quantity/short 3"]);
    // 7 x 94.00 = 658.00; 940.00 - 658.00.
    pays(&answer, "658.00", "282.00");
    assert!(said(
        &answer,
        "I-1 line 1: 7 accepted of 10 sheets billed, 7 x 94.00 = 658.00; billed 940.00"
    ));
}

#[test]
fn damaged_and_unrecorded_goods_are_not_accepted_and_not_paid_yet() {
    let answer = answer(
        "  - {line: 1, quantity: 10 sheet, unit_price: 94.00, grade: A, scale: hp1-face}\n",
        "  - {line: 1, quantity: 6 sheet, grade: A, damaged: 1 sheet}\n  - {line: 1, quantity: 4 sheet}\n",
        &["  - {line: 1, quantity: 10 sheet, unit_price: 94.00}\n"],
    );
    // 6 - 1 damaged = 5 x 94.00 = 470.00; four wait until their grade is looked at.
    pays(&answer, "470.00", "470.00");
}

#[test]
fn an_excess_is_not_paid_unless_the_order_allows_it() {
    let receipt = "  - {line: 1, quantity: 12 sheet}\n";
    let bill = "  - {line: 1, quantity: 12 sheet, unit_price: 94.00}\n";
    // 10 x 94.00 = 940.00; 2 x 94.00 = 188.00.
    pays(&answer(TEN, receipt, &[bill]), "940.00", "188.00");
    let tolerant =
        "  - {line: 1, quantity: 10 sheet, unit_price: 94.00, tolerance: {over: 20 %}}\n";
    // 12 x 94.00.
    pays(&answer(tolerant, receipt, &[bill]), "1128.00", "0.00");
}

#[test]
fn a_price_above_the_order_is_a_finding_and_its_difference_is_withheld() {
    let answer = answer(
        TEN,
        "  - {line: 1, quantity: 10 sheet}\n",
        &["  - {line: 1, quantity: 10 sheet, unit_price: 97.50, amount: 975.00}\n"],
    );
    assert_eq!(kinds(&answer), ["price/above 10"]);
    assert_eq!(
        answer.lines[0].findings[0].text,
        "I-1 bills 10 sheets at 97.50 for one sheet, ordered at 94.00: 35.00 too much"
    );
    assert_eq!(answer.lines[0].usable.to_string(), "10");
    pays(&answer, "940.00", "35.00");
}

#[test]
fn a_price_below_the_order_is_logged_and_paid_as_billed() {
    let answer = answer(
        TEN,
        "  - {line: 1, quantity: 10 sheet}\n",
        &["  - {line: 1, quantity: 10 sheet, unit_price: 90.00, amount: 900.00}\n"],
    );
    assert_eq!(kinds(&answer), ["price/below 10"]);
    pays(&answer, "900.00", "0.00");
}

#[test]
fn a_price_of_four_decimals_is_extended_to_cents() {
    let answer = answer(
        "  - {line: 1, quantity: 1000 each, unit_price: 0.0145}\n",
        "  - {line: 1, quantity: 1000 each}\n",
        &["  - {line: 1, quantity: 1000 each, unit_price: 0.0155, amount: 15.50}\n"],
    );
    // 1000 x 0.0145 = 14.50; 1000 x 0.0010 = 1.00.
    pays(&answer, "14.50", "1.00");
    assert!(
        answer.lines[0].findings[0]
            .text
            .contains("at 0.0155 for one each, ordered at 0.0145: 1.00 too much")
    );
}

#[test]
fn a_wrong_extension_is_told_and_no_more_than_the_right_one_is_paid() {
    let answer = answer(
        TEN,
        "  - {line: 1, quantity: 10 sheet}\n",
        &["  - {line: 1, quantity: 10 sheet, unit_price: 94.00, amount: 949.00}\n"],
    );
    assert!(said(
        &answer,
        "I-1 line 1: 10 x 94.00 is 940.00, the invoice says 949.00"
    ));
    pays(&answer, "940.00", "9.00");
}

#[test]
fn an_extension_in_our_favour_is_paid_as_asked() {
    let answer = answer(
        TEN,
        "  - {line: 1, quantity: 10 sheet}\n",
        &["  - {line: 1, quantity: 10 sheet, unit_price: 94.00, amount: 904.00}\n"],
    );
    assert!(said(
        &answer,
        "10 x 94.00 = 940.00, of which no more than 904.00 is asked"
    ));
    pays(&answer, "904.00", "0.00");
}

#[test]
fn a_total_that_does_not_add_up_is_told_and_never_paid_beyond() {
    let receipt = "  - {line: 1, quantity: 10 sheet}\n";
    let bill = |total: &str| {
        format!(
            "  - {{line: 1, quantity: 10 sheet, unit_price: 94.00}}\nfreight: 35.00\ntotal: {total}\n"
        )
    };
    // 940.00 + 35.00 = 975.00.
    let more = answer(TEN, receipt, &[&bill("985.00")]);
    assert!(said(
        &more,
        "I-1 adds up to 975.00, its total says 985.00: ask for a corrected invoice"
    ));
    pays(&more, "975.00", "10.00");
    let less = answer(TEN, receipt, &[&bill("965.00")]);
    pays(&less, "965.00", "0.00");
}

#[test]
fn a_duplicate_invoice_is_withheld_whole_with_its_freight() {
    let bill = "  - {line: 1, quantity: 10 sheet, unit_price: 94.00}\nfreight: 35.00\n";
    let answer = answer(TEN, "  - {line: 1, quantity: 10 sheet}\n", &[bill, bill]);
    assert!(said(
        &answer,
        "I-2 bills again what I-1 billed: ask for it to be cancelled"
    ));
    pays(&answer, "975.00", "975.00");
    // 940.00 + 35.00 is asked for once more.
    assert_eq!(kinds(&answer), ["price/above 10"]);
    let finding = &answer.lines[0].findings[0];
    assert_eq!(
        finding.text,
        "I-2 bills again what I-1 billed: 10 sheets for 940.00 and freight for 35.00, 975.00 too much"
    );
    assert_eq!(finding.money.unwrap().to_string(), "975.00");
    assert_eq!(finding.billed_first.as_deref(), Some("I-1"));
}

/// 10 sheets at 97.50 for 94.00: 35.00 too much on the first bill, and all of the second, 975.00, whatever its price.
#[test]
fn a_duplicate_at_a_wrong_price_is_a_duplicate_and_no_price_difference_besides() {
    let bill = "  - {line: 1, quantity: 10 sheet, unit_price: 97.50}\n";
    let answer = answer(TEN, "  - {line: 1, quantity: 10 sheet}\n", &[bill, bill]);
    let told: Vec<&str> = answer.lines[0]
        .findings
        .iter()
        .map(|finding| finding.text.as_str())
        .collect();
    assert_eq!(
        told,
        [
            "I-1 bills 10 sheets at 97.50 for one sheet, ordered at 94.00: 35.00 too much",
            "I-2 bills again what I-1 billed: 10 sheets, 975.00 too much",
        ]
    );
    pays(&answer, "940.00", "1010.00");
}

#[test]
fn freight_and_tax_that_are_billed_twice_are_counted_with_one_line() {
    let bill = "  - {line: 1, quantity: 10 sheet, unit_price: 94.00}\n  \
        - {line: 2, quantity: 2 each, unit_price: 5.00}\nfreight: 35.00\ntax: 47.00\n";
    let answer = answer(
        &format!("{TEN}  - {{line: 2, quantity: 2 each, unit_price: 5.00}}\n"),
        "  - {line: 1, quantity: 10 sheet}\n  - {line: 2, quantity: 2 each}\n",
        &[bill, bill],
    );
    let told: Vec<&str> = answer
        .lines
        .iter()
        .flat_map(|line| &line.findings)
        .map(|finding| finding.text.as_str())
        .collect();
    assert_eq!(
        told,
        [
            "I-2 bills again what I-1 billed: 10 sheets for 940.00, freight for 35.00 and tax for 47.00, 1022.00 too much",
            "I-2 bills again what I-1 billed: 2 pieces, 10.00 too much",
        ]
    );
    // 940.00 + 10.00 + 35.00 + 47.00.
    pays(&answer, "1032.00", "1032.00");
    assert_eq!(answer.billing.unwrap().withheld_of, ["I-2"]);
}

#[test]
fn equal_bills_for_equal_deliveries_are_both_paid() {
    let bill = "  - {line: 1, quantity: 5 sheet, unit_price: 94.00}\nfreight: 35.00\n";
    let answer = answer(TEN, "  - {line: 1, quantity: 10 sheet}\n", &[bill, bill]);
    // 2 x (470.00 + 35.00).
    pays(&answer, "1010.00", "0.00");
    assert!(!said(&answer, "bills again"));
    assert!(answer.as_ordered);
}

#[test]
fn the_same_goods_billed_again_at_another_price_are_billed_twice() {
    let answer = answer(
        TEN,
        "  - {line: 1, quantity: 10 sheet}\n",
        &[
            "  - {line: 1, quantity: 10 sheet, unit_price: 94.00}\n",
            "  - {line: 1, quantity: 10 sheet, unit_price: 96.00}\nfreight: 20.00\n",
        ],
    );
    assert!(said(&answer, "I-2 bills again what I-1 billed"));
    assert_eq!(kinds(&answer), ["price/above 10"]);
    // 10 x 94.00; 10 x 96.00 + 20.00.
    pays(&answer, "940.00", "980.00");
}

#[test]
fn an_equal_bill_for_goods_that_may_be_on_their_way_is_withheld_and_no_duplicate() {
    let bill = "  - {line: 1, quantity: 5 sheet, unit_price: 94.00}\n";
    let half = "  - {line: 1, quantity: 5 sheet, back_order: 5 sheet}\n";
    let two = answer(TEN, half, &[bill, bill]);
    assert!(!said(&two, "bills again"));
    assert_eq!(kinds(&two), ["quantity/back-ordered 5"]);
    pays(&two, "470.00", "470.00");
    // A third is more than was ordered, whatever is on its way.
    let three = answer(TEN, half, &[bill, bill, bill]);
    assert!(said(&three, "I-3 bills again what I-1 billed"));
    assert_eq!(kinds(&three), ["quantity/back-ordered 5", "price/above 5"]);
    pays(&three, "470.00", "940.00");
}

#[test]
fn several_invoices_share_what_was_accepted_in_order_of_date() {
    let answer = answer(
        TEN,
        "  - {line: 1, quantity: 8 sheet}\n",
        &[
            "  - {line: 1, quantity: 6 sheet, unit_price: 94.00}\n",
            "  - {line: 1, quantity: 4 sheet, unit_price: 94.00}\n",
        ],
    );
    // 6 of the first and 2 of the second are there: 8 x 94.00; 2 x 94.00 withheld.
    pays(&answer, "752.00", "188.00");
    assert_eq!(
        answer.billing.unwrap().billed,
        [("1".to_owned(), rust_decimal::Decimal::from(10))]
    );
}

#[test]
fn tax_is_paid_on_what_is_paid() {
    let answer = answer(
        TEN,
        "  - {line: 1, quantity: 7 sheet}\n",
        &["  - {line: 1, quantity: 10 sheet, unit_price: 94.00}\ntax: 47.00\n"],
    );
    // Goods 658.00 of 940.00; tax 47.00 x 658 / 940 = 32.90; together 690.90 of 987.00.
    pays(&answer, "690.90", "296.10");
    assert!(said(
        &answer,
        "I-1 tax: pay 32.90 of 47.00, 658.00 of 940.00 being paid"
    ));
}

#[test]
fn a_bill_in_boxes_is_converted_before_it_is_compared() {
    let answer = answer(
        "  - {line: 1, quantity: 200 each, pack: 50 each, unit_price: 137.50, per: box}\n",
        "  - {line: 1, quantity: 3 box}\n",
        &["  - {line: 1, quantity: 4 box, unit_price: 137.50, amount: 550.00}\n"],
    );
    assert_eq!(kinds(&answer), ["quantity/short 50"]);
    // 150 each are 3 boxes at 137.50 = 412.50; one box withheld.
    pays(&answer, "412.50", "137.50");
}

#[test]
fn a_bill_of_another_order_or_of_a_line_that_does_not_exist_is_refused() {
    let problems = try_answer(
        TEN,
        "  - {line: 1, quantity: 10 sheet}\n",
        &["  - {line: 7, quantity: 10 sheet}\n"],
    )
    .unwrap_err();
    assert!(
        problems[0].text.contains("order PO-1 has no line `7`"),
        "{problems:?}"
    );
}

#[test]
fn a_bill_in_a_unit_that_does_not_convert_is_refused() {
    let problems = try_answer(
        TEN,
        "  - {line: 1, quantity: 10 sheet}\n",
        &["  - {line: 1, quantity: 10 lb}\n"],
    )
    .unwrap_err();
    assert!(!problems.is_empty());
}

#[test]
fn a_bill_without_any_price_pays_nothing_and_says_why() {
    let answer = answer(
        "  - {line: 1, quantity: 10 sheet}\n",
        "  - {line: 1, quantity: 10 sheet}\n",
        &["  - {line: 1, quantity: 10 sheet, amount: 940.00}\n"],
    );
    assert!(said(
        &answer,
        "I-1 line 1: no price on the order or the invoice"
    ));
    pays(&answer, "0.00", "940.00");
}
