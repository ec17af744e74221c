//! Amounts brought to the unit of the order line.

use asordered::check::lumber::measured;
use asordered::check::measure::{convert, exact, in_unit};
use asordered::check::ratio::Ratio;
use asordered::model::leaf::Leaf;
use asordered::model::length::Length;
use asordered::model::order::{MeasureRule, OrderLine, Tolerance};
use asordered::model::problem::Problem;
use asordered::model::quantity::Quantity;
use asordered::model::receipt::{Board, ReceiptLine, Tally};
use asordered::model::size::{Measure, Size};
use asordered::model::spot::{At, Spot};
use asordered::model::unit::Unit;
use asordered::trade::units::named;
use proptest::prelude::{any, proptest};
use rust_decimal::Decimal;
use serde::Deserialize;
use std::str::FromStr;

fn spot() -> Spot {
    Spot {
        file: "receipts/RG-1.yaml".into(),
        line: 7,
        column: 5,
    }
}

fn decimal(text: &str) -> Decimal {
    Decimal::from_str(text).unwrap()
}

fn amount(text: &str) -> Quantity {
    let (number, unit) = text.split_once(' ').unwrap();
    Quantity::new(decimal(number), named(unit).unwrap())
}

fn inches(text: &str) -> Measure {
    let nm = decimal(text) * Decimal::from(25_400_000);
    Measure {
        length: Length::from_nm(i64::try_from(nm.trunc()).unwrap()),
        text: format!("{text} in"),
    }
}

fn size(across: &str, along: &str, thickness: Option<&str>) -> Size {
    Size {
        across: inches(across),
        along: inches(along),
        thickness: thickness.map(inches),
    }
}

fn ordered(quantity: &str) -> OrderLine {
    let quantity = amount(quantity);
    OrderLine {
        line: "1".to_owned(),
        item: None,
        description: None,
        quantity,
        unit_price: None,
        per: quantity.unit,
        grade: None,
        scale: None,
        size: None,
        size_tolerance: None,
        opening: None,
        finish: Vec::new(),
        sequence: None,
        clear: None,
        tolerance: Tolerance::default(),
        pack: None,
        measure: MeasureRule::default(),
        moisture: None,
        requires: Vec::new(),
        spot: spot(),
    }
}

fn uncounted() -> ReceiptLine {
    ReceiptLine {
        line: None,
        item: None,
        description: None,
        slip: None,
        quantity: None,
        back_order: None,
        pack: None,
        grade: None,
        size: None,
        finish: Vec::new(),
        leaves: Vec::new(),
        damaged: None,
        damage: None,
        found: None,
        moisture: None,
        checked_again: Vec::new(),
        papers: Vec::new(),
        tally: None,
        photos: Vec::new(),
        place: None,
        note: None,
        spot: spot(),
    }
}

fn lot(quantity: &str) -> ReceiptLine {
    ReceiptLine {
        quantity: Some(At {
            value: amount(quantity),
            spot: spot(),
        }),
        ..uncounted()
    }
}

fn leaf(number: u32) -> Leaf {
    Leaf {
        flitch: Some("3318".to_owned()),
        number: Some(number),
        mark: None,
        defects: Vec::new(),
        figure: Vec::new(),
        size: None,
        photo: None,
        spot: spot(),
    }
}

fn boards(quarters: u32, boards: &[(&str, &str, u32)]) -> Tally {
    Tally {
        quarters,
        measured: None,
        boards: boards
            .iter()
            .map(|(width, length, count)| Board {
                width: decimal(width),
                length: decimal(length),
                count: *count,
                grade: None,
            })
            .collect(),
    }
}

fn refused(result: Result<Decimal, Problem>) -> (String, String) {
    let problem = result.unwrap_err();
    assert_eq!(problem.spot, spot());
    (problem.text, problem.hint.unwrap_or_default())
}

#[derive(Deserialize)]
struct Reference {
    plain: Vec<[String; 4]>,
    sized: Vec<[String; 7]>,
}

/// By pint 0.25.3: `python3 tests/reference/units.py > tests/reference/units.json`.
fn reference() -> Reference {
    serde_json::from_str(include_str!("../reference/units.json")).unwrap()
}

#[test]
fn units_of_one_dimension_convert_as_pint_does() {
    let rows = reference().plain;
    assert!(rows.len() > 900, "{} rows", rows.len());
    for [number, from, to, expected] in rows {
        let line = ordered(&format!("1 {to}"));
        let quantity = Quantity::new(decimal(&number), named(&from).unwrap());
        let found = convert(quantity, line.quantity.unit, &line, None, &spot());
        assert_eq!(found, Ok(decimal(&expected)), "{number} {from} in {to}");
    }
}

#[test]
fn pieces_of_a_size_convert_as_pint_does() {
    let rows = reference().sized;
    assert!(rows.len() > 300, "{} rows", rows.len());
    for [number, from, to, across, along, thickness, expected] in rows {
        let mut line = ordered(&format!("1 {to}"));
        line.size = Some(size(&across, &along, Some(&thickness)));
        let received = lot(&format!("{number} {from}"));
        let found = in_unit(&line, &received);
        assert_eq!(
            found,
            Ok(decimal(&expected)),
            "{number} {from} of {across} x {along} x {thickness} in {to}"
        );
    }
}

#[test]
fn sheets_and_square_feet_are_exact_both_ways() {
    let mut line = ordered("320 sqft");
    line.size = Some(size("48", "96", None));
    assert_eq!(in_unit(&line, &lot("10 sheet")), Ok(decimal("320")));
    let mut line = ordered("10 sheet");
    line.size = Some(size("48", "96", None));
    assert_eq!(in_unit(&line, &lot("320 sqft")), Ok(decimal("10")));
    assert_eq!(in_unit(&line, &lot("29.7289728 m2")), Ok(decimal("10")));
}

#[test]
fn counts_convert_by_their_factor() {
    for (order, received, expected) in [
        ("24 each", "2 dozen", "24"),
        ("2 dozen", "24 each", "2"),
        ("10 pair", "20 each", "10"),
        ("10 each", "5 pair", "10"),
        ("1 gross", "12 dozen", "1"),
        ("1 thousand", "10 hundred", "1"),
        ("6 sheet", "6 each", "6"),
        ("6 panel", "6 leaf", "6"),
        ("3 dozen", "18 pair", "3"),
    ] {
        let found = in_unit(&ordered(order), &lot(received));
        assert_eq!(found, Ok(decimal(expected)), "{received} against {order}");
    }
}

#[test]
fn what_a_box_was_found_to_hold_counts_before_what_was_ordered() {
    let mut line = ordered("100 each");
    line.pack = Some(amount("50 each"));
    let mut two = lot("2 box");
    assert_eq!(in_unit(&line, &two), Ok(decimal("100")));
    two.pack = Some(amount("40 each"));
    assert_eq!(in_unit(&line, &two), Ok(decimal("80")));

    let mut line = ordered("2 box");
    line.pack = Some(amount("50 each"));
    assert_eq!(in_unit(&line, &two), Ok(decimal("1.6")));
    two.pack = Some(amount("25 pair"));
    assert_eq!(in_unit(&line, &two), Ok(decimal("2")));
    assert_eq!(in_unit(&line, &lot("100 each")), Ok(decimal("2")));
    assert_eq!(in_unit(&line, &lot("50 pair")), Ok(decimal("2")));
}

#[test]
fn boxes_are_counted_as_boxes_where_no_content_is_stated_on_one_side() {
    let mut two = lot("2 box");
    assert_eq!(in_unit(&ordered("2 box"), &two), Ok(decimal("2")));
    two.pack = Some(amount("40 each"));
    assert_eq!(in_unit(&ordered("2 box"), &two), Ok(decimal("2")));
    assert_eq!(in_unit(&ordered("2 set"), &lot("2 set")), Ok(decimal("2")));
}

#[test]
fn a_carton_is_not_taken_for_the_orders_box() {
    let mut line = ordered("4 box");
    line.pack = Some(amount("50 each"));
    let (text, hint) = refused(in_unit(&line, &lot("2 carton")));
    assert_eq!(
        text,
        "found `2 cartons`, expected an amount in `box`: what one carton holds is not stated"
    );
    assert_eq!(hint, "state `pack` in pieces, such as `pack: 50 each`");
    let mut cartons = lot("2 carton");
    cartons.pack = Some(amount("100 each"));
    assert_eq!(in_unit(&line, &cartons), Ok(decimal("4")));
}

#[test]
fn packs_of_area_length_and_liquid_convert_through_what_they_hold() {
    let mut line = ordered("500 lf");
    line.pack = Some(amount("250 ft"));
    assert_eq!(in_unit(&line, &lot("2 roll")), Ok(decimal("500")));
    let mut line = ordered("5 gal");
    line.pack = Some(amount("4 qt"));
    assert_eq!(in_unit(&line, &lot("5 carton")), Ok(decimal("5")));
    let mut line = ordered("320 sqft");
    line.pack = Some(amount("5 sheet"));
    line.size = Some(size("48", "96", None));
    assert_eq!(in_unit(&line, &lot("2 pallet")), Ok(decimal("320")));
}

#[test]
fn a_size_as_measured_counts_before_the_size_ordered() {
    let mut line = ordered("320 sqft");
    line.size = Some(size("48", "96", Some("0.75")));
    let mut small = lot("10 sheet");
    small.size = Some(size("47", "96", None));
    assert_eq!(in_unit(&line, &small), Ok(decimal("313.333333333")));
    let mut line = ordered("32 bf");
    line.size = Some(size("48", "96", Some("1.5")));
    let mut no_thickness = lot("1 sheet");
    no_thickness.size = Some(size("48", "48", None));
    assert_eq!(in_unit(&line, &no_thickness), Ok(decimal("24")));
}

#[test]
fn leaves_are_counted_where_no_amount_is_given() {
    let mut received = uncounted();
    received.leaves = (14..=19).map(leaf).collect();
    for unit in ["sheet", "leaf", "each", "panel"] {
        let found = in_unit(&ordered(&format!("8 {unit}")), &received);
        assert_eq!(found, Ok(decimal("6")), "{unit}");
    }
    let mut line = ordered("240 sqft");
    line.size = Some(size("48", "120", None));
    assert_eq!(in_unit(&line, &received), Ok(decimal("240")));
}

#[test]
fn what_was_counted_says_it_before_the_leaves() {
    let mut received = lot("7 sheet");
    received.leaves = (14..=19).map(leaf).collect();
    assert_eq!(in_unit(&ordered("8 sheet"), &received), Ok(decimal("7")));
}

#[test]
fn a_lot_without_any_amount_is_a_problem() {
    let (text, hint) = refused(in_unit(&ordered("8 sheet"), &uncounted()));
    assert_eq!(
        text,
        "found no amount, expected `quantity`, `leaves` or `tally`"
    );
    assert_eq!(hint, "state what was counted, such as `quantity: 6 sheet`");
}

#[test]
fn a_tally_makes_board_feet_boards_surface_and_length() {
    let mut received = uncounted();
    received.tally = Some(boards(
        5,
        &[("6.25", "8", 1), ("8", "12", 2), ("10", "13.5", 1)],
    ));
    // Surface measure 4 + 8 + 8 + 11 = 31, at 1 1/4 in 38.75 (NHLA worked boards, arithmetic).
    for (order, expected) in [
        ("40 bf", "38.75"),
        ("4 board", "4"),
        ("4 each", "4"),
        ("31 sqft", "31"),
        ("45 lf", "45.5"),
    ] {
        assert_eq!(
            in_unit(&ordered(order), &received),
            Ok(decimal(expected)),
            "{order}"
        );
    }
    let cubic = in_unit(&ordered("1 cu m"), &received).unwrap();
    assert_eq!(cubic, decimal("38.75") * decimal("0.002359737216"));
}

#[test]
fn an_amount_that_contradicts_its_tally_is_a_problem() {
    let mut received = lot("35 bf");
    received.tally = Some(boards(5, &[("8", "12", 3), ("6", "8", 1)]));
    assert_eq!(in_unit(&ordered("35 bf"), &received), Ok(decimal("35")));
    received.quantity = lot("36 bf").quantity;
    let (text, hint) = refused(in_unit(&ordered("36 bf"), &received));
    assert_eq!(
        text,
        "found `36 bd ft`, expected `35 bd ft` as the tally makes"
    );
    assert_eq!(
        hint,
        "leave `quantity` out, and put what the slip says under `slip`"
    );
    received.quantity = lot("4 board").quantity;
    assert_eq!(in_unit(&ordered("36 bf"), &received), Ok(decimal("35")));
    received.quantity = lot("5 board").quantity;
    refused(in_unit(&ordered("36 bf"), &received));
}

#[test]
fn what_is_missing_is_named() {
    let line = ordered("320 sqft");
    let (text, hint) = refused(in_unit(&line, &lot("10 sheet")));
    assert_eq!(
        text,
        "found `10 sheets`, expected an amount in `sq ft`: the size of one piece is not stated"
    );
    assert!(hint.contains("`size: 48 in x 96 in`"), "{hint}");

    let mut line = ordered("35 bf");
    line.size = Some(size("9", "96", None));
    let (text, _) = refused(in_unit(&line, &lot("5 board")));
    assert_eq!(
        text,
        "found `5 boards`, expected an amount in `bd ft`: the thickness is not stated"
    );

    let (text, _) = refused(in_unit(&ordered("100 each"), &lot("2 box")));
    assert_eq!(
        text,
        "found `2 boxes`, expected an amount in `each`: what one box holds is not stated"
    );
    let (text, _) = refused(in_unit(&ordered("2 set"), &lot("6 each")));
    assert_eq!(
        text,
        "found `6 pieces`, expected an amount in `set`: what one set holds is not stated"
    );

    let (text, hint) = refused(in_unit(&ordered("8 sheet"), &lot("3 gal")));
    assert_eq!(
        text,
        "found `3 gal`, expected an amount in `sheet`: one is a volume of liquid, the other a count"
    );
    assert_eq!(hint, "count it in `sheet`, or correct the unit");
    refused(in_unit(&ordered("5 gal"), &lot("20 lb")));
}

#[test]
fn a_pack_of_packs_is_a_problem() {
    let mut line = ordered("100 each");
    line.pack = Some(amount("10 box"));
    let (text, _) = refused(in_unit(&line, &lot("1 pallet")));
    assert_eq!(
        text,
        "found `1 pallet`, expected an amount in `each`: what one box holds is not stated"
    );
}

#[test]
fn what_a_slip_states_is_read_by_the_orders_pack() {
    let mut line = ordered("100 each");
    line.pack = Some(amount("50 each"));
    let mut received = lot("2 box");
    received.pack = Some(amount("40 each"));
    let slip = amount("2 box");
    let each = Unit::Each;
    assert_eq!(
        convert(slip, each, &line, None, &spot()),
        Ok(decimal("100"))
    );
    assert_eq!(
        convert(slip, each, &line, Some(&received), &spot()),
        Ok(decimal("80"))
    );
}

#[test]
fn lots_that_do_not_end_add_up_to_the_whole() {
    let line = ordered("1 dozen");
    assert_eq!(in_unit(&line, &lot("4 each")), Ok(decimal("0.333333333")));
    let third = exact(&line, &lot("4 each")).unwrap();
    let sum = third.plus(third).and_then(|sum| sum.plus(third)).unwrap();
    assert_eq!(sum, Ratio::ONE);
    assert_eq!(sum.decimal(), Some(Decimal::ONE));
}

#[test]
fn amounts_beyond_any_real_one_are_problems_not_panics() {
    let most = format!("{} thousand", Decimal::MAX);
    let mut line = ordered("1 each");
    line.pack = Some(Quantity::new(Decimal::MAX, Unit::Thousand));
    for received in [
        lot(&most),
        lot(&format!("{} box", Decimal::MAX)),
        lot("79228162514264337593543950335 gross"),
    ] {
        let (text, _) = refused(in_unit(&line, &received));
        assert!(text.contains("larger than any real one"), "{text}");
    }
    let mut received = uncounted();
    received.tally = Some(boards(
        u32::MAX,
        &[(
            "79228162514264337593543950335",
            "79228162514264337593543950335",
            u32::MAX,
        )],
    ));
    refused(in_unit(&ordered("1 bf"), &received));
    refused(in_unit(&ordered("1 lf"), &received));
}

#[test]
fn a_size_of_nothing_is_a_problem() {
    let mut line = ordered("1 sheet");
    line.size = Some(size("0", "96", None));
    let (text, _) = refused(in_unit(&line, &lot("10 sqft")));
    assert_eq!(text, "found a size of nothing, expected one above zero");
}

proptest! {
    #[test]
    fn no_amount_size_or_pack_panics(
        (low, mid, high, scale) in (any::<u32>(), any::<u32>(), any::<u32>(), 0_u32..=28),
        (across, along, thick) in (any::<i64>(), any::<i64>(), any::<i64>()),
        (from, to, pack) in (0_usize..42, 0_usize..42, 0_usize..42),
        (width, feet, count, quarters) in (any::<u64>(), any::<u64>(), any::<u32>(), any::<u32>()),
    ) {
        let number = Decimal::from_parts(low, mid, high, false, scale);
        let measure = |nm| Measure { length: Length::from_nm(nm), text: String::new() };
        let mut line = ordered("1 each");
        line.quantity = Quantity::new(number, Unit::ALL[to]);
        line.pack = Some(Quantity::new(number, Unit::ALL[pack]));
        line.size = Some(Size { across: measure(across), along: measure(along), thickness: Some(measure(thick)) });
        let mut received = uncounted();
        received.quantity = Some(At { value: Quantity::new(number, Unit::ALL[from]), spot: spot() });
        if let Ok(ratio) = exact(&line, &received) {
            let _ = ratio.decimal();
        }
        let tally = Tally {
            quarters,
            measured: None,
            boards: vec![Board { width: width.into(), length: feet.into(), count, grade: None }],
        };
        let _ = measured(&tally, MeasureRule { whole_inch: low % 2 == 0, ..MeasureRule::default() });
    }

    #[test]
    fn there_and_back_is_the_same_amount(
        cents in 1_u32..10_000_000,
        (across, along, thick) in (1_i64..10_000, 1_i64..10_000, 1_i64..200),
        from in 0_usize..42,
        to in 0_usize..42,
    ) {
        let sixty_fourths = |n: i64| Measure { length: Length::from_nm(n * 25_400_000 / 64), text: String::new() };
        let there = Quantity::new(Decimal::new(cents.into(), 2), Unit::ALL[from]);
        let mut line = ordered("1 each");
        line.quantity.unit = Unit::ALL[to];
        line.size = Some(Size { across: sixty_fourths(across), along: sixty_fourths(along), thickness: Some(sixty_fourths(thick)) });
        let mut received = uncounted();
        received.quantity = Some(At { value: there, spot: spot() });
        if let Ok(found) = exact(&line, &received)
            && let Some(decimal) = found.decimal()
            && Ratio::of(decimal) == Some(found)
        {
            let back = convert(Quantity::new(decimal, Unit::ALL[to]), there.unit, &line, None, &spot());
            proptest::prop_assert_eq!(back, Ok(there.amount));
        }
    }
}
