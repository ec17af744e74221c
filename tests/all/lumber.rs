//! Lumber by the NHLA rules.

use asordered::check::lumber::{Measured, measured};
use asordered::model::order::MeasureRule;
use asordered::model::receipt::{Board, Tally};
use rust_decimal::Decimal;
use std::str::FromStr;

fn decimal(text: &str) -> Decimal {
    Decimal::from_str(text).unwrap()
}

fn board(width: &str, length: &str) -> Board {
    Board {
        width: decimal(width),
        length: decimal(length),
        count: 1,
        grade: None,
    }
}

fn graded(width: &str, length: &str, grade: &str) -> Board {
    Board {
        grade: Some(grade.to_owned()),
        ..board(width, length)
    }
}

fn measure_by(rule: MeasureRule, quarters: u32, boards: &[Board]) -> Measured {
    let tally = Tally {
        quarters,
        measured: None,
        boards: boards.to_vec(),
    };
    measured(&tally, rule).unwrap()
}

fn measure(quarters: u32, boards: &[Board]) -> Measured {
    measure_by(MeasureRule::default(), quarters, boards)
}

/// Worked by NHLA (check values; the last three also in published guides to the rules).
#[test]
fn worked_boards_have_the_published_surface_measure() {
    for (width, length, surface) in [
        ("6.25", "8", 4),
        ("8", "12", 8),
        ("10", "13", 11),
        ("6.5", "8", 4),
    ] {
        assert_eq!(
            measure(4, &[board(width, length)]).surface,
            surface,
            "{width} x {length}"
        );
    }
    assert_eq!(measure(8, &[board("6.25", "8")]).board_feet, decimal("8"));
}

#[test]
fn a_lot_sums_surface_measure_before_it_multiplies() {
    // 4 + 8 + 11 + 5 = 28, at 5/4 = 35 board feet.
    let lot = measure(
        5,
        &[
            board("6.25", "8"),
            board("8", "12"),
            board("10", "13"),
            board("6", "10"),
        ],
    );
    assert_eq!((lot.surface, lot.board_feet), (28, decimal("35")));
    // Board by board, rounded, it would be 5 + 10 + 14 + 6 = 35 by luck; three boards of 5 show the difference.
    let three = measure(5, &[board("6", "10"), board("6", "10"), board("6", "10")]);
    assert_eq!(three.board_feet, decimal("18.75"));
}

#[test]
fn exact_halves_go_up_and_down_in_turn() {
    // 9 in x 10 ft = 7.5: 8, the next such board 7.
    let surfaces: Vec<u64> = (1..=4)
        .map(|count| measure(4, &vec![board("9", "10"); count]).surface)
        .collect();
    assert_eq!(surfaces, [8, 15, 23, 30]);
    // A board in between that is no half takes no turn.
    let mixed = measure(4, &[board("9", "10"), board("8", "12"), board("9", "10")]);
    assert_eq!(mixed.surface, 8 + 8 + 7);
}

#[test]
fn alike_boards_measure_as_if_listed_one_by_one() {
    for (width, length) in [
        ("9", "10"),
        ("6.5", "9"),
        ("5.5", "6"),
        ("8", "12"),
        ("0.5", "1"),
    ] {
        for count in 0..=7_u32 {
            for whole_inch in [false, true] {
                let rule = MeasureRule {
                    whole_inch,
                    ..MeasureRule::default()
                };
                let alike = Board {
                    count,
                    ..board(width, length)
                };
                let listed = vec![board(width, length); count as usize];
                let (one, other) = (measure_by(rule, 4, &[alike]), measure_by(rule, 4, &listed));
                // In whole inches the wider and the narrower of alike boards are measured together, so only how their
                // halves fall can differ, by one.
                if whole_inch {
                    assert!(
                        one.surface.abs_diff(other.surface) <= 1,
                        "{width} x {length}, {count}"
                    );
                } else {
                    assert_eq!(one.surface, other.surface, "{width} x {length}, {count}");
                }
            }
        }
    }
}

#[test]
fn a_fraction_of_a_foot_is_dropped() {
    assert_eq!(measure(4, &[board("8", "12.9")]).surface, 8);
    assert_eq!(measure(4, &[board("8", "11.99")]).surface, 7);
    assert_eq!(measure(4, &[board("8", "0.75")]).surface, 0);
}

#[test]
fn under_one_inch_counts_as_one_inch() {
    for quarters in [1, 2, 3, 4] {
        let lot = measure(quarters, &[board("8", "12")]);
        assert_eq!((lot.quarters, lot.board_feet), (4, decimal("8")));
    }
    assert_eq!(measure(6, &[board("8", "12")]).board_feet, decimal("12"));
}

#[test]
fn export_widths_count_in_whole_inches() {
    let rule = MeasureRule {
        whole_inch: true,
        ..MeasureRule::default()
    };
    // 9 1/4 counts as 9, 9 3/4 as 10; of two boards of 9 1/2 the first counts as 10, the second as 9 (over 12 ft).
    assert_eq!(measure_by(rule, 4, &[board("9.25", "12")]).surface, 9);
    assert_eq!(measure_by(rule, 4, &[board("9.75", "12")]).surface, 10);
    assert_eq!(
        measure_by(rule, 4, &[board("9.5", "12"), board("9.5", "12")]).surface,
        19
    );
}

#[test]
fn drying_is_allowed_for_only_where_the_order_is_for_green_measure() {
    // 500 board feet green at 8 per cent are 460 net: 460 = 46 boards of 10.
    let net_lot: Vec<Board> = (0..46).map(|_| board("10", "12")).collect();
    let eight = Some(decimal("8"));
    let green = MeasureRule {
        net: false,
        shrinkage: eight,
        whole_inch: false,
    };
    let net = MeasureRule { net: true, ..green };
    let by_green = measure_by(green, 4, &net_lot);
    assert_eq!(
        (by_green.tallied, by_green.board_feet),
        (decimal("460"), decimal("500"))
    );
    assert_eq!(by_green.shrinkage, eight);
    let by_net = measure_by(net, 4, &net_lot);
    assert_eq!(
        (by_net.board_feet, by_net.shrinkage),
        (decimal("460"), None)
    );
    assert_eq!(measure(4, &net_lot).board_feet, decimal("460"));
}

#[test]
fn grades_are_summed_apart_and_add_up() {
    let boards = [
        graded("9", "10", "FAS"),
        graded("9", "10", "1C"),
        graded("8", "12", "FAS"),
        board("10", "13"),
    ];
    let green = MeasureRule {
        net: false,
        shrinkage: Some(decimal("7")),
        whole_inch: false,
    };
    for rule in [MeasureRule::default(), green] {
        let lot = measure_by(rule, 5, &boards);
        let apart: Vec<_> = lot
            .grades
            .iter()
            .map(|sum| (sum.grade.as_deref(), sum.boards, sum.surface))
            .collect();
        assert_eq!(
            apart,
            [(Some("FAS"), 2, 16), (Some("1C"), 1, 7), (None, 1, 11)]
        );
        assert_eq!(
            lot.grades.iter().map(|sum| sum.board_feet).sum::<Decimal>(),
            lot.board_feet
        );
        assert_eq!((lot.boards, lot.surface), (4, 34));
    }
}

#[test]
fn an_empty_tally_measures_nothing() {
    assert_eq!(measure(4, &[]).board_feet, Decimal::ZERO);
}
