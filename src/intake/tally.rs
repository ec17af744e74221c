//! Reads a tally of boards. Measures nothing; that is `check/lumber.rs`.

use crate::intake::amount::any_measure;
use crate::intake::fields::{Field, Fields, Problems, Shape, Table, list};
use crate::intake::node::{Node, Value};
use crate::intake::text::{id, number, raw, whole};
use crate::model::problem::Problem;
use crate::model::receipt::{Board, Tally};
use crate::model::words::shortened;
use rust_decimal::Decimal;

/// The keys of a tally.
pub const TALLY: Table = Table {
    what: "a tally",
    fields: &[
        Field::must(
            "thickness",
            Shape::Text("5/4"),
            "thickness in quarters of an inch",
        ),
        Field::may(
            "measured",
            Shape::Text("1 3/16 in"),
            "thickness as measured, where it was",
        ),
        Field::must(
            "boards",
            Shape::Either(
                &Shape::Text("6.25x8, 7x10, 9 1/2x12"),
                &Shape::List(&Shape::Record(&BOARD)),
            ),
            "width in inches x length in feet of each board, in the order tallied",
        ),
    ],
};

const BOARD: Table = Table {
    what: "a board",
    fields: &[
        Field::must("width", Shape::Text("6 1/4"), "width in inches"),
        Field::must("length", Shape::Text("8"), "length in feet"),
        Field::may("count", Shape::Number, "how many alike"),
        Field::may(
            "grade",
            Shape::Text("FAS"),
            "its grade, where boards differ",
        ),
    ],
};

/// Reads a tally.
pub fn read(node: &Node, problems: &mut Problems) -> Option<Tally> {
    let fields = Fields::open(node, &TALLY, problems)?;
    let quarters = fields.get("thickness", quarters, problems);
    let measured = fields
        .get("measured", any_measure, problems)
        .map(|measure| measure.length);
    let boards = fields.node("boards").map(|node| match &node.value {
        Value::Text { .. } => short(node, problems),
        Value::List(_) | Value::Map(_) => list(node, board, problems),
    })?;
    if boards.is_empty() && problems.count() == 0 {
        problems.push(Problem::new(fields.spot(), "a tally without boards"));
    }
    Some(Tally {
        quarters: quarters?,
        measured,
        boards,
    })
}

fn quarters(node: &Node, problems: &mut Problems) -> Option<u32> {
    let expected = "a thickness in quarters as `5/4`";
    let text = raw(node, expected, problems)?;
    let quarters = text
        .strip_suffix("/4")
        .filter(|quarters| quarters.bytes().all(|byte| byte.is_ascii_digit()))
        .and_then(|quarters| quarters.parse::<u32>().ok())
        .filter(|quarters| (1..=64).contains(quarters));
    if quarters.is_none() {
        problems.push(
            Problem::new(
                &node.spot,
                format!("found {}, expected {expected}", node.found()),
            )
            .hint("1 in rough is 4/4, 1 1/4 in is 5/4, 2 in is 8/4"),
        );
    }
    quarters
}

fn short(node: &Node, problems: &mut Problems) -> Vec<Board> {
    let expected = "boards as `6.25x8, 7x10`, width in inches x length in feet";
    let Some(text) = raw(node, expected, problems) else {
        return Vec::new();
    };
    let mut boards = Vec::new();
    for part in text
        .split(',')
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        let board = part
            .split_once(['x', 'X', '×'])
            .and_then(|(width, length)| {
                board_of(number(width).ok()?, number(length).ok()?, 1, None)
            });
        match board {
            Some(board) => boards.push(board),
            None => problems.push(Problem::new(
                &node.spot,
                format!("found `{}`, expected {expected}", shortened(part)),
            )),
        }
    }
    boards
}

/// Makes a board that can exist: up to 60 in wide and 40 ft long.
fn board_of(width: Decimal, length: Decimal, count: u32, grade: Option<String>) -> Option<Board> {
    let real = width > Decimal::ZERO
        && length >= Decimal::ONE
        && width <= Decimal::from(60)
        && length <= Decimal::from(40)
        && count > 0;
    real.then_some(Board {
        width,
        length,
        count,
        grade,
    })
}

fn board(node: &Node, problems: &mut Problems) -> Option<Board> {
    let fields = Fields::open(node, &BOARD, problems)?;
    let width = fields.get("width", inches, problems);
    let length = fields.get("length", feet, problems);
    let count = fields.get("count", whole, problems).unwrap_or(1);
    let grade = fields.get("grade", id, problems);
    let board = board_of(width?, length?, count, grade);
    if board.is_none() {
        problems.push(Problem::new(
            &node.spot,
            "a board that cannot be: expected a width up to 60 in, a length from 1 to 40 ft, a count above zero",
        ));
    }
    board
}

fn inches(node: &Node, problems: &mut Problems) -> Option<Decimal> {
    bare(
        node,
        "a width in inches as `6 1/4`",
        &["in", "\""],
        problems,
    )
}

fn feet(node: &Node, problems: &mut Problems) -> Option<Decimal> {
    bare(node, "a length in feet as `8`", &["ft", "'"], problems)
}

fn bare(
    node: &Node,
    expected: &str,
    suffixes: &[&str],
    problems: &mut Problems,
) -> Option<Decimal> {
    let text = raw(node, expected, problems)?;
    let amount = suffixes
        .iter()
        .find_map(|suffix| text.strip_suffix(suffix))
        .unwrap_or(text);
    match number(amount) {
        Ok(amount) => Some(amount),
        Err(why) => {
            problems.push(crate::intake::text::not_a_number(node, expected, why));
            None
        }
    }
}
