//! Pairing without line numbers: the assignment against a reference solver, what an inferred pair says of itself, and
//! where nothing is guessed.

use crate::support::Run;
use asordered::check::case::Case;
use asordered::check::check;
use asordered::check::pairing::assign::{Row, assign, matching};
use asordered::check::pairing::likeness::ENOUGH;
use asordered::intake;
use asordered::model::answer::Answer;
use serde::Deserialize;

#[derive(Deserialize)]
struct Matrix {
    weights: Vec<Vec<i64>>,
    best: i64,
}

/// Best sums by scipy.optimize.linear_sum_assignment: tests/reference/assignment.py.
#[test]
fn the_assignment_reaches_the_best_sum_of_a_reference_solver_on_200_random_matrices() {
    let cases: Vec<Matrix> =
        serde_json::from_str(include_str!("../reference/assignment.json")).unwrap();
    assert_eq!(cases.len(), 200);
    for (number, case) in cases.iter().enumerate() {
        // A weight of nothing is a pair that is not like enough: it is left out.
        let rows: Vec<Row> = case
            .weights
            .iter()
            .map(|row| {
                row.iter()
                    .copied()
                    .enumerate()
                    .filter(|(_, weight)| *weight > 0)
                    .collect()
            })
            .collect();
        let matched = matching(&rows);
        let mut columns: Vec<usize> = matched.iter().flatten().copied().collect();
        let sum: i64 = matched
            .iter()
            .zip(&case.weights)
            .filter_map(|(column, row)| column.map(|column| row[column]))
            .sum();
        assert_eq!(sum, case.best, "matrix {number}");
        columns.sort_unstable();
        let count = columns.len();
        columns.dedup();
        assert_eq!(columns.len(), count, "matrix {number}: a column twice");
        // Sharing that costs more than any weight gives the same pairs, and rows left over take their own best.
        for ((all, one), row) in assign(&rows, 1_000_000)
            .iter()
            .zip(&matched)
            .zip(&case.weights)
        {
            assert_eq!(
                all.map(|column| row[column]),
                one.map(|column| row[column]).or_else(|| row
                    .iter()
                    .copied()
                    .max()
                    .filter(|most| *most > 0)),
                "matrix {number}"
            );
        }
        // Sharing that costs nothing gives every row its own best.
        for (column, row) in assign(&rows, 0).iter().zip(&case.weights) {
            assert_eq!(
                column.map(|column| row[column]),
                row.iter().copied().max().filter(|most| *most > 0),
                "matrix {number}"
            );
        }
    }
}

const ORDER: &str = "order: PO-1\nsupplier: s\ndate: 2026-01-01\nlines:\n";

fn answer(order: &str, receipt: &str) -> Answer {
    let order = intake::order("o", &format!("{ORDER}{order}")).unwrap();
    let head = "receipt: R-1\norder: PO-1\ndate: 2026-02-01\nlines:\n";
    let receipt = intake::receipt("r", &format!("{head}{receipt}")).unwrap();
    check(&Case::new(&order, &[receipt])).unwrap()
}

/// Returns, for each order line, the receipt lines put to it.
fn put(answer: &Answer) -> Vec<Vec<usize>> {
    answer
        .lines
        .iter()
        .map(|line| line.lots.iter().map(|lot| lot.index).collect())
        .collect()
}

fn why(answer: &Answer, line: usize) -> &str {
    answer.lines[line].lots[0].paired_by.as_deref().unwrap()
}

#[test]
fn an_item_code_leads_to_its_line_and_the_answer_says_so() {
    let answer = answer(
        "  - {line: 1, item: HNG-1, quantity: 4 each}\n  - {line: 2, item: SLD-1, quantity: 6 each}\n",
        "  - {item: sld-1, quantity: 6 each}\n  - {item: HNG-1, quantity: 4 each}\n",
    );
    assert!(answer.as_ordered);
    assert_eq!(put(&answer), [[2], [1]]);
    assert_eq!(why(&answer, 1), "item sld-1");
}

#[test]
fn a_suppliers_code_leads_to_our_line() {
    let answer = Run::demo(&["check", "orders/PO-1.yaml", "receipts/R-1.yaml", "--json"])
        .file(
            "orders/PO-1.yaml",
            "order: PO-1\nsupplier: quillfeather\ndate: 2026-01-01\nlines:\n  - {line: 1, item: RWO-48x120, quantity: 4 sheet}\n",
        )
        .file(
            "receipts/R-1.yaml",
            "receipt: R-1\norder: PO-1\ndate: 2026-02-01\nlines:\n  - {item: Q-8841, quantity: 4 sheet}\n",
        )
        .json();
    assert_eq!(answer["as_ordered"], true);
    assert_eq!(answer["lines"][0]["lots"][0]["paired_by"], "item Q-8841");
}

#[test]
fn lines_of_one_item_are_told_apart_by_grade_then_by_amount() {
    let order = "  - {line: 1, item: MPL, quantity: 20 sheet, grade: A, scale: hp1-face}\n  - {line: 2, item: MPL, quantity: 10 sheet, grade: B, scale: hp1-face}\n";
    let swapped = answer(
        order,
        "  - {item: MPL, quantity: 10 sheet, grade: B}\n  - {item: MPL, quantity: 20 sheet, grade: A}\n",
    );
    assert!(swapped.as_ordered);
    let amounts = answer(
        "  - {line: 1, item: MPL, quantity: 20 sheet}\n  - {line: 2, item: MPL, quantity: 10 sheet}\n",
        "  - {item: MPL, quantity: 9 sheet}\n  - {item: MPL, quantity: 20 sheet}\n",
    );
    assert_eq!(put(&amounts), [[2], [1]]);
    assert!(why(&amounts, 0).starts_with("item MPL, and of its lines the nearest in"));
}

#[test]
fn description_and_size_find_the_line_where_there_is_no_code() {
    let answer = answer(
        "  - {line: 1, description: Maple plywood A-1, quantity: 5 sheet, size: 48 in x 96 in}\n  - {line: 2, description: Walnut veneer flat cut, quantity: 6 sheet, size: 48 in x 120 in}\n",
        "  - {description: \"flat cut walnut vener\", quantity: 6 sheet, size: 48 in x 120 in}\n  - {description: maple plywood A-1, quantity: 5 sheet, size: 48 in x 96 in}\n",
    );
    assert!(answer.as_ordered, "{answer:?}");
    assert_eq!(put(&answer), [[2], [1]]);
    assert_eq!(why(&answer, 0), "description, size (100 % alike)");
}

#[test]
fn the_pairing_is_the_best_of_all_together_and_not_first_come() {
    // One lot is as like one line as the other; the second is more like line 1, whichever stands first.
    let order = "  - {line: 1, description: white oak panel rift cut, quantity: 4 sheet}\n  - {line: 2, description: white oak panel rift sanded, quantity: 4 sheet}\n";
    let both = "  - {description: white oak panel rift, quantity: 4 sheet}\n";
    let one = "  - {description: white oak rift cut, quantity: 4 sheet}\n";
    for lots in [format!("{both}{one}"), format!("{one}{both}")] {
        let answer = answer(order, &lots);
        let first = if lots.starts_with(both) { 1 } else { 2 };
        assert_eq!(put(&answer), [[3 - first], [first]]);
    }
}

#[test]
fn a_poor_likeness_never_drives_a_perfect_one_from_its_line() {
    let answer = answer(
        "  - {line: 1, description: white oak panel rift cut, quantity: 4 sheet}\n  - {line: 2, description: white oak panel quarter cut, quantity: 4 sheet}\n",
        "  - {description: white oak panel rift cut, quantity: 4 sheet}\n  - {description: birch panel rift cut, quantity: 1 sheet}\n",
    );
    assert_eq!(put(&answer)[0][0], 1, "{answer:?}");
    assert_eq!(why(&answer, 0), "description (100 % alike)");
}

#[test]
fn lots_of_one_line_all_find_it() {
    let answer = answer(
        "  - {line: 1, description: Maple plywood, quantity: 8 sheet, grade: A, scale: hp1-face}\n",
        "  - {description: Maple plywood, quantity: 6 sheet, grade: A}\n  - {description: Maple plywood, quantity: 2 sheet, grade: B}\n",
    );
    assert_eq!(put(&answer), [[1, 2]]);
    assert!(answer.not_ordered.is_empty());
}

#[test]
fn below_the_likeness_it_is_not_ordered_and_the_answer_asks() {
    let answer = answer(
        "  - {line: 1, description: Walnut veneer flat cut, quantity: 6 sheet}\n",
        "  - {description: Walnut edge banding roll, quantity: 6 sheet}\n",
    );
    assert_eq!(answer.lines[0].lots.len(), 0);
    let finding = &answer.not_ordered[0].findings[0];
    assert_eq!(
        finding.text,
        "not ordered: 6 sheets of Walnut edge banding roll"
    );
    // One word of four and four in common: 2 / 8.
    assert_eq!(
        finding.advice.as_deref(),
        Some(format!("most like line 1 (25 % alike, {ENOUGH} is asked): if it is for that line, write `line: 1`").as_str())
    );
}

#[test]
fn goods_with_nothing_to_go_by_are_not_ordered() {
    let answer = answer(
        "  - {line: 1, description: Walnut veneer, quantity: 6 sheet}\n",
        "  - {quantity: 6 sheet}\n",
    );
    assert_eq!(answer.not_ordered.len(), 1);
    assert_eq!(answer.not_ordered[0].findings[0].advice, None);
}

#[test]
fn another_items_code_is_not_talked_away_by_a_like_description() {
    let answer = answer(
        "  - {line: 1, item: WAL-1, description: Walnut veneer, quantity: 6 sheet}\n",
        "  - {item: CHY-1, description: Walnut veneer, quantity: 6 sheet}\n",
    );
    assert_eq!(answer.not_ordered.len(), 1);
    assert_eq!(answer.lines[0].findings[0].kind.name(), "short");
}

#[test]
fn a_tie_is_told() {
    let answer = answer(
        "  - {line: 1, description: Walnut veneer, quantity: 6 sheet}\n  - {line: 2, description: Walnut veneer, quantity: 9 sheet}\n",
        "  - {description: Walnut veneer, quantity: 9 sheet}\n",
    );
    assert_eq!(put(&answer), [vec![], vec![1]]);
    assert_eq!(
        why(&answer, 1),
        "description (100 % alike); line 1 is as like, so write `line` to be sure"
    );
}

#[test]
fn an_inferred_pair_is_shown_with_its_reason() {
    let output = Run::new(&["check", "o.yaml", "r.yaml"])
        .file(
            "o.yaml",
            format!("{ORDER}  - {{line: 1, description: Walnut veneer, quantity: 6 sheet}}\n"),
        )
        .file(
            "r.yaml",
            "receipt: R-1\norder: PO-1\ndate: 2026-02-01\nlines:\n  - {description: walnut veneer, quantity: 6 sheet}\n",
        )
        .output();
    assert_eq!(output.status, 0);
    assert!(
        output
            .stdout
            .contains("i  R-1 line 1 was put here by its description (100 % alike)"),
        "{}",
        output.stdout
    );
}

#[test]
fn more_lines_than_words_can_tell_apart_are_refused_with_what_to_write() {
    let (mut order, mut receipt) = (String::from(ORDER), String::new());
    for number in 1..=1001 {
        order.push_str(&format!(
            "  - {{line: {number}, description: walnut {number}, quantity: 1 each}}\n"
        ));
        receipt.push_str(&format!(
            "  - {{description: walnut {number}, quantity: 1 each}}\n"
        ));
    }
    let output = Run::new(&["check", "o.yaml", "r.yaml"])
        .file("o.yaml", &order)
        .file(
            "r.yaml",
            format!("receipt: R-1\norder: PO-1\ndate: 2026-02-01\nlines:\n{receipt}"),
        )
        .output();
    assert_eq!(output.status, 2);
    assert!(
        output.stderr.contains("leaves 1002001 pairs of lines"),
        "{}",
        output.stderr
    );
    assert!(
        output
            .stderr
            .contains("write `line` or `item` on its lines")
    );
}

// A sheet of 8 ft makes 8 linear feet, so 17 ft make 2 1/8 sheets: somebody measured what is ordered by the piece.
#[test]
fn a_length_that_makes_a_part_of_a_piece_is_to_be_looked_at_again() {
    let order = "  - {line: 1, item: MDF, quantity: 3 sheet, size: 48 in x 96 in}\n";
    let note = |quantity: &str| {
        answer(
            order,
            &format!("  - {{line: 1, item: MDF, quantity: {quantity}, size: 48 in x 96 in}}\n"),
        )
        .notes
    };
    assert_eq!(
        note("17 linear ft"),
        [
            "R-1, line 1: 17 linear ft make 2.125 sheets, and a part of a sheet was not ordered: count them by the sheet"
        ]
    );
    assert_eq!(note("24 linear ft"), [""; 0]);
    assert_eq!(note("2.5 sheet"), [""; 0]);
}
