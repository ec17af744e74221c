//! Causes: each pattern, what it must not see, and how one sentence stands for several in the terminal.

use asordered::check::case::Case;
use asordered::check::check;
use asordered::intake;
use asordered::model::answer::Answer;
use asordered::report::ink::Ink;
use asordered::report::json;
use asordered::report::terminal::{self, Beside};
use std::fmt::Write;

fn answer(order: &str, receipts: &[&str]) -> Answer {
    let order = intake::order(
        "o",
        &format!("order: PO-1\nsupplier: s\ndate: 2026-01-01\nlines:\n{order}"),
    )
    .unwrap();
    let receipts: Vec<_> = receipts
        .iter()
        .enumerate()
        .map(|(number, lines)| {
            let head = format!(
                "receipt: R-{0}\norder: PO-1\ndate: 2026-02-0{0}\nlines:\n",
                number + 1
            );
            intake::receipt("r", &format!("{head}{lines}")).unwrap()
        })
        .collect();
    check(&Case::new(&order, &receipts)).unwrap()
}

/// Lines of counted goods: ordered and arrived.
fn counted(lines: &[(u32, u32)]) -> Answer {
    let (mut order, mut receipt) = (String::new(), String::new());
    for (place, (ordered, arrived)) in lines.iter().enumerate() {
        let line = place + 1;
        writeln!(order, "  - {{line: {line}, quantity: {ordered} each}}").unwrap();
        writeln!(receipt, "  - {{line: {line}, quantity: {arrived} each}}").unwrap();
    }
    answer(&order, &[&receipt])
}

fn causes(answer: &Answer) -> Vec<String> {
    answer
        .causes
        .iter()
        .map(|cause| format!("{} {}", cause.kind.name(), cause.lines.join(",")))
        .collect()
}

#[test]
fn two_lines_whose_quantities_are_swapped_are_exchanged() {
    let answer = counted(&[(8, 6), (6, 8), (5, 5)]);
    assert_eq!(causes(&answer), ["exchanged 1,2"]);
    assert_eq!(
        answer.causes[0].text,
        "the quantities of lines 1 and 2 look exchanged (line 1: 6 pieces for 8 pieces; line 2: 8 pieces for 6 pieces)"
    );
}

#[test]
fn three_lines_in_a_ring_are_exchanged() {
    assert_eq!(
        causes(&counted(&[(8, 6), (6, 5), (5, 8)])),
        ["exchanged 1,2,3"]
    );
}

#[test]
fn ten_lines_in_a_ring_are_exchanged_whatever_their_order() {
    // Line n gets what line n + 3 ordered: 3 and 10 have no common divisor, so all ten are one ring.
    let lines: Vec<(u32, u32)> = (0..10).map(|n| (20 + n, 20 + (n + 3) % 10)).collect();
    assert_eq!(causes(&counted(&lines)), ["exchanged 1,2,3,4,5,6,7,8,9,10"]);
}

#[test]
fn two_pairs_are_two_causes_and_not_one_ring() {
    assert_eq!(
        causes(&counted(&[(8, 6), (20, 30), (6, 8), (30, 20)])),
        ["exchanged 1,3", "exchanged 2,4"]
    );
}

#[test]
fn a_pair_is_told_before_a_longer_ring_that_would_use_it_up() {
    // 1 and 4 are a pair; 1, 2 and 3 would be a ring too.
    assert_eq!(
        causes(&counted(&[(8, 6), (6, 5), (5, 8), (6, 8)])),
        ["exchanged 1,4"]
    );
}

#[test]
fn nearly_swapped_quantities_are_not_exchanged() {
    assert_eq!(causes(&counted(&[(8, 6), (6, 7)])), Vec::<String>::new());
    assert_eq!(causes(&counted(&[(8, 6), (6, 6)])), Vec::<String>::new());
}

#[test]
fn quantities_in_different_units_are_not_exchanged() {
    let answer = answer(
        "  - {line: 1, quantity: 8 sheet}\n  - {line: 2, quantity: 6 each}\n",
        &["  - {line: 1, quantity: 6 sheet}\n  - {line: 2, quantity: 8 each}\n"],
    );
    assert_eq!(causes(&answer), Vec::<String>::new());
}

#[test]
fn many_short_lines_are_looked_through_quickly_and_make_no_cause() {
    // Four thousand lines, each short by one and each amount ordered once: a chain without a ring.
    let lines: Vec<(u32, u32)> = (2..4002).map(|n| (n, n - 1)).collect();
    assert_eq!(causes(&counted(&lines)), Vec::<String>::new());
}

const GRADES: &str = "  - {line: 1, item: MPL, quantity: 20 sheet, grade: A, scale: hp1-face}\n  - {line: 2, item: MPL, quantity: 10 sheet, grade: B, scale: hp1-face}\n";

#[test]
fn short_of_the_better_grade_and_over_of_the_lower_is_graded_down() {
    let answer = answer(
        GRADES,
        &[
            "  - {line: 1, quantity: 14 sheet, grade: A}\n  - {line: 2, quantity: 16 sheet, grade: B}\n",
        ],
    );
    assert_eq!(causes(&answer), ["graded-down 1,2"]);
    assert!(
        answer.causes[0]
            .text
            .contains("6 sheets of grade A short on line 1")
    );
}

#[test]
fn short_of_the_lower_grade_and_over_of_the_better_is_not_graded_down() {
    let answer = answer(
        GRADES,
        &[
            "  - {line: 1, quantity: 26 sheet, grade: A}\n  - {line: 2, quantity: 4 sheet, grade: B}\n",
        ],
    );
    assert_eq!(causes(&answer), Vec::<String>::new());
}

#[test]
fn two_grades_of_one_item_exchanged_are_told_once() {
    let answer = answer(
        GRADES,
        &[
            "  - {line: 1, quantity: 10 sheet, grade: A}\n  - {line: 2, quantity: 20 sheet, grade: B}\n",
        ],
    );
    assert_eq!(causes(&answer), ["exchanged 1,2"]);
}

#[test]
fn boxes_and_pieces_taken_for_each_other_are_a_pack_mix_up() {
    for (ordered, came) in [
        // As many boxes as pieces, and as many pieces as boxes.
        ("50 each, pack: 10 each", "50 box"),
        ("4 box, pack: 50 each", "4 each"),
        // Boxes written down as pieces, and pieces as boxes.
        ("200 each, pack: 50 each", "4 each"),
        ("4 box, pack: 50 each", "200 box"),
    ] {
        let answer = answer(
            &format!("  - {{line: 1, quantity: {ordered}}}\n"),
            &[&format!("  - {{line: 1, quantity: {came}}}\n")],
        );
        assert_eq!(causes(&answer), ["pack-mix-up 1"], "{ordered}: {came}");
        assert!(answer.causes[0].advice.unwrap().contains("count once more"));
    }
}

#[test]
fn a_true_difference_in_boxes_is_no_mix_up() {
    for (ordered, came) in [
        ("200 each, pack: 50 each", "3 box"),
        ("200 each, pack: 50 each", "190 each"),
        ("4 box, pack: 50 each", "3 box"),
        ("200 each, pack: 50 each", "4 box"),
    ] {
        let answer = answer(
            &format!("  - {{line: 1, quantity: {ordered}}}\n"),
            &[&format!("  - {{line: 1, quantity: {came}}}\n")],
        );
        assert_eq!(causes(&answer), Vec::<String>::new(), "{ordered}: {came}");
    }
}

const TWO: &str = "  - {line: 1, quantity: 60 each}\n  - {line: 2, quantity: 24 each}\n";

#[test]
fn a_receipt_that_repeats_another_line_for_line_is_sent_twice() {
    let goods = "  - {line: 1, quantity: 60 each}\n  - {line: 2, quantity: 24 each}\n";
    let answer = answer(TWO, &[goods, goods]);
    assert_eq!(causes(&answer), ["sent-twice 1,2"]);
    assert_eq!(
        answer.causes[0].text,
        "R-2 repeats R-1 line for line: the shipment looks sent twice"
    );
}

#[test]
fn two_equal_halves_of_an_order_are_not_sent_twice() {
    let half = "  - {line: 1, quantity: 30 each}\n  - {line: 2, quantity: 12 each}\n";
    let answer = answer(TWO, &[half, half]);
    assert!(answer.as_ordered);
    assert_eq!(causes(&answer), Vec::<String>::new());
}

#[test]
fn a_later_receipt_of_other_amounts_is_not_sent_twice() {
    let answer = answer(
        TWO,
        &[
            "  - {line: 1, quantity: 60 each}\n  - {line: 2, quantity: 24 each}\n",
            "  - {line: 1, quantity: 60 each}\n  - {line: 2, quantity: 20 each}\n",
        ],
    );
    assert_eq!(causes(&answer), Vec::<String>::new());
}

const LEAVES: &str = "  - {line: 1, quantity: 8 leaf, sequence: {sets: [8]}}\n";

#[test]
fn leaves_of_two_flitches_that_make_no_set_are_mixed() {
    let answer = answer(
        LEAVES,
        &["  - {line: 1, leaves: \"W-77: 3-6; W-81: 10-13\"}\n"],
    );
    assert_eq!(causes(&answer), ["mixed-flitches 1"]);
}

#[test]
fn leaves_of_two_flitches_that_make_their_sets_are_not_mixed() {
    let answer = answer(
        "  - {line: 1, quantity: 8 leaf, sequence: {sets: [4, 4]}}\n",
        &["  - {line: 1, leaves: \"W-77: 3-6; W-81: 10-13\"}\n"],
    );
    assert!(answer.as_ordered);
    assert_eq!(causes(&answer), Vec::<String>::new());
}

const PULLS: &str = "  - {line: 1, description: Bar pull 128 mm, quantity: 10 each, finish: {finish: US10B}}\n  - {line: 2, description: Bar pull 128 mm, quantity: 10 each, finish: {finish: US14}}\n";

#[test]
fn two_finishes_swapped_are_told_once() {
    let answer = answer(
        PULLS,
        &[
            "  - {line: 1, quantity: 10 each, finish: {finish: US14}}\n  - {line: 2, quantity: 10 each, finish: {finish: US10B}}\n",
        ],
    );
    assert_eq!(causes(&answer), ["wrong-finish 1,2"]);
    assert_eq!(
        answer.causes[0].text,
        "lines 1 and 2 look swapped: each came with the finish of the other"
    );
}

#[test]
fn a_finish_that_a_like_line_asks_for_looks_wrongly_picked() {
    let answer = answer(
        PULLS,
        &[
            "  - {line: 1, quantity: 10 each, finish: {finish: US14}}\n  - {line: 2, quantity: 10 each, finish: {finish: US14}}\n",
        ],
    );
    assert_eq!(causes(&answer), ["wrong-finish 1,2"]);
    assert!(
        answer.causes[0]
            .text
            .contains("line 1 came with finish US14, which line 2 asks for")
    );
}

#[test]
fn a_finish_that_only_unlike_goods_ask_for_has_no_cause() {
    let answer = answer(
        "  - {line: 1, description: Bar pull 128 mm, quantity: 10 each, finish: {finish: US10B}}\n  - {line: 2, description: Office lockset, quantity: 2 each, finish: {finish: US14}}\n",
        &[
            "  - {line: 1, quantity: 10 each, finish: {finish: US14}}\n  - {line: 2, quantity: 2 each, finish: {finish: US14}}\n",
        ],
    );
    assert_eq!(causes(&answer), Vec::<String>::new());
}

#[test]
fn the_terminal_tells_a_cause_once_and_keeps_the_numbers_while_the_json_keeps_the_sentences() {
    let answer = counted(&[(8, 6), (6, 8), (5, 4)]);
    let shown = terminal::answer(&answer, &Beside::default(), 200, Ink::Plain);
    assert_eq!(shown.matches("look exchanged").count(), 1);
    assert!(
        shown.find("look exchanged") < shown.find("line 1\n"),
        "before the lines"
    );
    assert!(shown.contains("x  short by 2 pieces (exchanged)\n"));
    assert!(shown.contains("x  over by 2 pieces (exchanged)\n"));
    // The third line has no part in it.
    assert!(shown.contains("x  short by 1 piece: 5 pieces ordered, 4 arrived\n"));
    let json = json::answer(&answer, None);
    assert_eq!(
        json["lines"][0]["findings"][0]["text"],
        "short by 2 pieces: 8 pieces ordered, 6 arrived"
    );
}
