//! Names, factors and codes of units.

use asordered::model::unit::{Dimension, Unit};
use asordered::trade::units::{code, dimension, factor, named, near, rows};
use rust_decimal::Decimal;
use std::collections::HashSet;

#[test]
fn the_table_has_each_unit_once_in_the_order_of_the_type_with_a_source() {
    let order: Vec<Unit> = rows().iter().map(|row| row.unit).collect();
    assert_eq!(order, Unit::ALL);
    for row in rows() {
        assert!(!row.source.trim().is_empty(), "{}", row.unit);
    }
}

#[test]
fn no_name_stands_for_two_units() {
    let mut seen = HashSet::new();
    for row in rows() {
        for name in &row.names {
            assert!(seen.insert(name.to_lowercase()), "{name} twice");
            assert_eq!(named(name), Some(row.unit), "{name}");
        }
        assert_eq!(named(row.unit.name()), Some(row.unit));
        assert_eq!(named(row.unit.plural()), Some(row.unit));
    }
}

#[test]
fn names_of_the_trade_are_known_whatever_their_case() {
    for (text, unit) in [
        ("ea", Unit::Each),
        ("PCS", Unit::Each),
        ("pr", Unit::Pair),
        ("sht", Unit::Sheet),
        ("Sheets", Unit::Sheet),
        ("leaves", Unit::Leaf),
        ("boxes", Unit::Box),
        ("lf", Unit::LinearFoot),
        ("LF", Unit::LinearFoot),
        ("lin. ft.", Unit::LinearFoot),
        ("sf", Unit::SquareFoot),
        ("sq ft", Unit::SquareFoot),
        ("sq. ft.", Unit::SquareFoot),
        ("sqft", Unit::SquareFoot),
        ("ft2", Unit::SquareFoot),
        ("ft²", Unit::SquareFoot),
        ("bf", Unit::BoardFoot),
        ("bd ft", Unit::BoardFoot),
        ("bd. ft.", Unit::BoardFoot),
        ("board feet", Unit::BoardFoot),
        ("board-feet", Unit::BoardFoot),
        ("in", Unit::Inch),
        ("\"", Unit::Inch),
        ("mm", Unit::Millimetre),
        ("gal", Unit::Gallon),
        ("Gallons", Unit::Gallon),
    ] {
        assert_eq!(named(text), Some(unit), "{text}");
    }
    for text in ["", "wagon", "8", "s"] {
        assert_eq!(named(text), None, "{text}");
    }
}

#[test]
fn a_misspelt_unit_is_offered() {
    assert_eq!(near("shet"), Some("sheet"));
    assert_eq!(near("galon"), Some("gallon"));
    assert_eq!(near("dozn"), Some("dozen"));
    assert_eq!(near("wagonload"), None);
    assert_eq!(near("x"), None);
}

#[test]
fn only_packs_and_sets_have_no_factor() {
    for unit in Unit::ALL {
        let opaque = unit == Unit::Set || dimension(unit) == Dimension::Pack;
        assert_eq!(factor(unit).is_none(), opaque, "{unit}");
        assert!(factor(unit).is_none_or(|factor| factor > Decimal::ZERO));
    }
}

/// UN/CEFACT Recommendations 20 and 21, as listed in the project's check values; withdrawn codes must not appear.
#[test]
fn codes_are_those_of_the_recommendations() {
    for (unit, expected) in [
        (Unit::BoardFoot, "BFT"),
        (Unit::SquareFoot, "FTK"),
        (Unit::SquareMetre, "MTK"),
        (Unit::Foot, "FOT"),
        (Unit::Inch, "INH"),
        (Unit::Metre, "MTR"),
        (Unit::CubicMetre, "MTQ"),
        (Unit::LinearFoot, "LF"),
        (Unit::Each, "EA"),
        (Unit::Panel, "C62"),
        (Unit::Dozen, "DZN"),
        (Unit::Gross, "GRO"),
        (Unit::Hundred, "CEN"),
        (Unit::Thousand, "MIL"),
        (Unit::Pair, "PR"),
        (Unit::Set, "SET"),
        (Unit::Leaf, "LEF"),
        (Unit::Sheet, "XST"),
        (Unit::Box, "XBX"),
        (Unit::Pack, "XPK"),
        (Unit::Bundle, "XBE"),
        (Unit::Pallet, "XPX"),
        (Unit::Carton, "XCT"),
    ] {
        assert_eq!(code(unit), expected, "{unit}");
    }
    for unit in Unit::ALL {
        assert!(
            !["ST", "BX", "PK", "PF", "BE"].contains(&code(unit)),
            "{unit}"
        );
        assert_eq!(
            Unit::ALL
                .iter()
                .filter(|other| code(**other) == code(unit))
                .count(),
            1,
            "{unit}"
        );
    }
}
