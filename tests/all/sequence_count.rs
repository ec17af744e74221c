//! How many leaves a face needs.

use asordered::model::length::Length;
use asordered::trade::leaf_count::leaves_for_face;
use proptest::prelude::{prop, prop_assert, proptest};

fn inches(inches: i64) -> Length {
    Length::from_nm(inches * 25_400_000)
}

#[test]
fn a_48_inch_face_of_9_inch_leaves_needs_6() {
    assert_eq!(leaves_for_face(inches(48), inches(9), false), Some(6));
    assert_eq!(leaves_for_face(inches(48), inches(9), true), Some(6));
}

#[test]
fn five_leaves_become_six_for_a_centre_match() {
    assert_eq!(leaves_for_face(inches(45), inches(9), false), Some(5));
    assert_eq!(leaves_for_face(inches(45), inches(9), true), Some(6));
}

#[test]
fn one_leaf_as_wide_as_the_face_is_enough_but_a_hair_less_is_not() {
    assert_eq!(leaves_for_face(inches(12), inches(12), false), Some(1));
    assert_eq!(
        leaves_for_face(inches(12), Length::from_nm(inches(12).nm() - 1), false),
        Some(2)
    );
}

#[test]
fn widths_that_are_not_above_zero_have_no_count() {
    assert_eq!(leaves_for_face(inches(0), inches(9), false), None);
    assert_eq!(leaves_for_face(inches(48), inches(0), true), None);
    assert_eq!(leaves_for_face(inches(48), inches(-1), true), None);
}

#[test]
fn a_count_too_large_to_write_has_none() {
    assert_eq!(
        leaves_for_face(Length::from_nm(i64::MAX), Length::from_nm(1), true),
        None
    );
}

proptest! {
    #[test]
    fn the_leaves_cover_the_face_and_one_fewer_would_not(face in 1_i64..1 << 40, usable in 1_i64..1 << 40, centre in prop::bool::ANY) {
        if let Some(count) = leaves_for_face(Length::from_nm(face), Length::from_nm(usable), centre) {
            let count = i128::from(count);
            let fewer = if centre { 2 } else { 1 };
            prop_assert!(count * i128::from(usable) >= i128::from(face));
            prop_assert!((count - fewer) * i128::from(usable) < i128::from(face));
            prop_assert!(!centre || count % 2 == 0);
        }
    }
}
