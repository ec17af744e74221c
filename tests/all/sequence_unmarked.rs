//! The order of unmarked leaves against simulated flitches whose order is known, and against exact answers of a solver.

use std::collections::BTreeMap;

use asordered::check::sequence::unmarked::{Confidence, Drift, FiguredLeaf, Order, Reason, order};
use asordered::model::length::Length;
use proptest::prelude::{Just, Strategy, prop_assert_eq, proptest};

use crate::sequence_dice::Dice;

fn nm(nm: i64) -> Length {
    Length::from_nm(nm)
}

fn leaf(figure: &[(&str, Option<i64>)]) -> FiguredLeaf {
    let figure = figure
        .iter()
        .map(|(landmark, at)| ((*landmark).to_owned(), at.map(nm)))
        .collect();
    FiguredLeaf {
        number: None,
        figure,
    }
}

/// Leaves that show one landmark at these distances.
fn peaks(distances: &[i64]) -> Vec<FiguredLeaf> {
    distances
        .iter()
        .map(|at| leaf(&[("peak", Some(*at))]))
        .collect()
}

/// A flitch cut from a log: two inclined features run through, and cone-shaped knots are each in one unbroken run. A leaf
/// is 1/42 in = 0.605 mm; a feature inclined at an angle t to the leaf moves 0.605 mm / tan t from leaf to leaf, the edge
/// of a knot by that less the growth of the cone and, past its middle, more. `noise` is the most a reading is off, in
/// parts of a landmark's smallest step.
fn flitch(dice: &mut Dice, count: i64, noise: f64) -> Vec<FiguredLeaf> {
    let mut leaves = vec![FiguredLeaf::default(); usize::try_from(count).unwrap()];
    for landmark in 0..6 {
        let degrees = dice.roll(50, 300) as f64 / 10.0;
        let step = 605_000.0 / degrees.to_radians().tan();
        let sign = if dice.roll(0, 1) == 0 { 1.0 } else { -1.0 };
        let base = dice.roll(300, 2_000) as f64 * 1e6;
        let knot = landmark >= 2;
        let (first, last) = if knot {
            let first = dice.roll(-2, count - 4);
            (first, dice.roll(first + 4, count + 2))
        } else {
            (0, count - 1)
        };
        let cone = if knot {
            dice.roll(10, 40) as f64 / 100.0
        } else {
            0.0
        };
        for (place, leaf) in (0..count).zip(&mut leaves) {
            let middle = (first + last) as f64 / 2.0;
            let radius = step * cone * (middle - first as f64 - (place as f64 - middle).abs());
            let off = dice.roll(-1_000, 1_000) as f64 / 1_000.0 * noise * step * (1.0 - cone);
            let at = (base + sign * step * place as f64 - radius + off).round() as i64;
            let shown = (first..=last).contains(&place);
            leaf.figure
                .insert(format!("landmark {landmark}"), shown.then_some(nm(at)));
        }
    }
    leaves
}

fn shuffled<T>(dice: &mut Dice, mut things: Vec<T>) -> Vec<T> {
    for at in (1..things.len()).rev() {
        things.swap(
            at,
            usize::try_from(dice.roll(0, i64::try_from(at).unwrap())).unwrap(),
        );
    }
    things
}

/// Puts the leaves in order after shuffling them, and tells the order as places in the true one.
fn order_of_shuffled(dice: &mut Dice, leaves: &[FiguredLeaf]) -> (Vec<usize>, Order) {
    let places = shuffled(dice, (0..leaves.len()).collect());
    let mixed: Vec<FiguredLeaf> = places.iter().map(|place| leaves[*place].clone()).collect();
    let found = order(&mixed, Drift::default());
    (
        found.order.iter().map(|leaf| places[*leaf]).collect(),
        found,
    )
}

fn neighbours_recovered(order: &[usize]) -> usize {
    order
        .windows(2)
        .filter(|pair| pair[0].abs_diff(pair[1]) == 1)
        .count()
}

#[test]
fn every_neighbour_is_recovered_where_drift_is_monotone_and_noise_below_a_third_of_it() {
    let mut dice = Dice(23);
    for count in [3, 5, 8, 12, 14, 18, 24, 40] {
        for _ in 0..8 {
            let leaves = flitch(&mut dice, count.max(5), 0.33);
            let (order, _) = order_of_shuffled(&mut dice, &leaves);
            assert_eq!(neighbours_recovered(&order), leaves.len() - 1, "{order:?}");
        }
    }
}

#[test]
fn nine_in_ten_neighbours_are_recovered_where_a_tenth_of_the_distances_was_not_measured() {
    let mut dice = Dice(29);
    let (mut recovered, mut all) = (0, 0);
    for _ in 0..40 {
        let mut leaves = flitch(&mut dice, 12, 0.1);
        for leaf in &mut leaves {
            leaf.figure.retain(|_, _| dice.roll(0, 9) > 0);
        }
        let (order, _) = order_of_shuffled(&mut dice, &leaves);
        recovered += neighbours_recovered(&order);
        all += order.len() - 1;
    }
    assert!(recovered * 100 >= all * 90, "{recovered} of {all}");
}

/// What an order costs by the rule: what landmarks move, and 3/4 of a landmark's range and 1 more where it ends.
fn cost(leaves: &[Vec<Option<i64>>], order: &[usize]) -> i64 {
    let landmarks = leaves[0].len();
    let absent = vec![None; landmarks];
    let row = |leaf: Option<&usize>| leaf.map_or(&absent, |leaf| &leaves[*leaf]);
    let mut total = 0;
    for landmark in 0..landmarks {
        let places: Vec<i64> = leaves.iter().filter_map(|leaf| leaf[landmark]).collect();
        let range = places
            .iter()
            .max()
            .map_or(0, |most| most - places.iter().min().unwrap());
        for at in 0..=order.len() {
            let before = at.checked_sub(1).map(|at| &order[at]);
            total += match (row(before)[landmark], row(order.get(at))[landmark]) {
                (Some(one), Some(other)) => (one - other).abs(),
                (None, None) => 0,
                (Some(_), None) | (None, Some(_)) => range / 4 * 3 + 1,
            };
        }
    }
    total
}

#[derive(serde::Deserialize)]
struct Reference {
    leaves: Vec<Vec<Option<i64>>>,
    least: i64,
    spectral: f64,
}

/// Answers of OR-tools 9.15 CP-SAT (proven shortest) and scipy:
/// `python3 tests/reference/sequence_unmarked.py > tests/reference/sequence_unmarked.json`.
#[test]
fn no_order_is_shorter_and_none_recovers_fewer_neighbours_than_a_spectral_order() {
    let cases: Vec<Reference> =
        serde_json::from_str(include_str!("../reference/sequence_unmarked.json")).unwrap();
    assert_eq!(cases.len(), 40);
    let (mut ours, mut spectral) = (0.0, 0.0);
    for case in &cases {
        let mut dice = Dice(31);
        let leaves: Vec<FiguredLeaf> = case
            .leaves
            .iter()
            .map(|row| {
                let figure = row
                    .iter()
                    .enumerate()
                    .map(|(index, at)| (format!("{index}"), at.map(nm)));
                FiguredLeaf {
                    number: None,
                    figure: figure.collect(),
                }
            })
            .collect();
        let (order, _) = order_of_shuffled(&mut dice, &leaves);
        assert_eq!(
            cost(&case.leaves, &order),
            case.least,
            "{} leaves",
            leaves.len()
        );
        ours += neighbours_recovered(&order) as f64 / (order.len() - 1) as f64;
        spectral += case.spectral;
    }
    assert!(ours >= spectral, "{ours} against {spectral} of 40");
}

#[test]
fn a_leaf_missing_between_two_is_a_break_and_splits_the_runs() {
    let found = order(&peaks(&[0, 7, 14, 21, 35, 42, 49]), Drift::default());
    assert_eq!(found.order, [0, 1, 2, 3, 4, 5, 6]);
    assert_eq!(found.breaks.len(), 1);
    assert_eq!(
        (found.breaks[0].after, found.breaks[0].missing),
        (3, Some(1))
    );
    let moved = found.breaks[0].moved.as_ref().unwrap();
    assert_eq!((moved.step, moved.usual), (nm(14), nm(7)));
    assert_eq!(found.runs(), [vec![0, 1, 2, 3], vec![4, 5, 6]]);
}

#[test]
fn a_step_equal_to_the_tolerance_given_is_no_break() {
    let leaves = peaks(&[0, 7, 14, 28]);
    let within = |tolerance: i64| {
        order(
            &leaves,
            Drift {
                tolerance: Some(nm(tolerance)),
                reading: nm(0),
            },
        )
        .breaks
        .len()
    };
    assert_eq!((within(14), within(13), within(6)), (0, 1, 3));
}

#[test]
fn two_leaves_that_show_nothing_in_common_break_the_order_and_make_it_weak() {
    let leaves = [
        leaf(&[("a", Some(0)), ("b", None)]),
        leaf(&[("a", Some(5)), ("b", None)]),
        leaf(&[("a", None), ("b", Some(90))]),
        leaf(&[("a", None), ("b", Some(95))]),
    ];
    let found = order(&leaves, Drift::default());
    assert_eq!(found.breaks.len(), 1);
    assert_eq!(
        (found.breaks[0].moved.clone(), found.breaks[0].missing),
        (None, None)
    );
    assert_eq!(found.confidence, Confidence::Weak);
}

#[test]
fn a_landmark_that_comes_back_is_told_and_makes_the_order_weak() {
    // The peak keeps the leaves apart; the knot cannot be in one run.
    let leaves: Vec<FiguredLeaf> = (0..6)
        .map(|at| {
            leaf(&[
                ("peak", Some(at * 1_000)),
                ("knot", (at != 2 && at != 3).then_some(at)),
                ("swirl", Some(at * 900)),
            ])
        })
        .collect();
    let found = order(&leaves, Drift::default());
    assert!(
        found
            .reasons
            .contains(&Reason::ComesBack("knot".to_owned(), 1)),
        "{:?}",
        found.reasons
    );
    assert_eq!(found.confidence, Confidence::Weak);
}

#[test]
fn leaves_within_a_reading_of_each_other_are_alike() {
    let found = order(
        &peaks(&[0, 7, 8, 15]),
        Drift {
            tolerance: None,
            reading: nm(1),
        },
    );
    assert_eq!(found.alike, [[1, 2]]);
    assert!(found.reasons.contains(&Reason::Alike(2)));
}

#[test]
fn a_leaf_without_a_figure_is_not_placed() {
    let mut leaves = peaks(&[0, 7, 14]);
    leaves.insert(1, FiguredLeaf::default());
    let found = order(&leaves, Drift::default());
    assert_eq!((found.order, found.unplaced), (vec![0, 2, 3], vec![1]));
}

#[test]
fn marks_turn_the_order_the_right_way_round() {
    let mut leaves = peaks(&[0, 7, 14, 21]);
    assert!(!order(&leaves, Drift::default()).direction_known);
    leaves[0].number = Some(9);
    leaves[3].number = Some(6);
    let found = order(&leaves, Drift::default());
    assert_eq!(
        (found.order, found.direction_known, found.contradicted),
        (vec![3, 2, 1, 0], true, vec![])
    );
}

#[test]
fn a_mark_that_the_figure_contradicts_is_told() {
    let mut leaves = peaks(&[0, 7, 14, 21, 28]);
    for (leaf, number) in leaves.iter_mut().zip([1, 2, 9, 4, 5]) {
        leaf.number = Some(number);
    }
    let found = order(&leaves, Drift::default());
    assert_eq!(
        (found.order, found.contradicted),
        (vec![0, 1, 2, 3, 4], vec![2])
    );
    assert!(found.reasons.contains(&Reason::MarksDiffer(1)));
}

#[test]
fn many_landmarks_that_drift_evenly_are_clear() {
    let leaves: Vec<FiguredLeaf> = (0..6)
        .map(|at| {
            leaf(&[
                ("a", Some(at * 7)),
                ("b", Some(900 - at * 5)),
                ("c", Some(300 + at * 6)),
            ])
        })
        .collect();
    let found = order(&leaves, Drift::default());
    assert_eq!(
        (found.confidence, found.reasons),
        (Confidence::Clear, vec![])
    );
}

#[test]
fn no_leaves_and_one_leaf_have_an_order() {
    assert_eq!(order(&[], Drift::default()).order, Vec::<usize>::new());
    assert_eq!(order(&peaks(&[5]), Drift::default()).order, [0]);
}

fn simulated() -> impl Strategy<Value = (Vec<FiguredLeaf>, Vec<FiguredLeaf>)> {
    (1_u64..u64::MAX, 5_i64..11).prop_flat_map(|(seed, count)| {
        let leaves = flitch(&mut Dice(seed), count, 2.0);
        (Just(leaves.clone()), Just(leaves).prop_shuffle())
    })
}

proptest! {
    #[test]
    fn the_order_in_which_leaves_were_recorded_changes_nothing((leaves, mixed) in simulated()) {
        let figures = |leaves: &[FiguredLeaf]| -> Vec<BTreeMap<String, Option<Length>>> {
            order(leaves, Drift::default()).order.iter().map(|leaf| leaves[*leaf].figure.clone()).collect()
        };
        prop_assert_eq!(figures(&leaves), figures(&mixed));
    }

    #[test]
    fn every_leaf_is_in_the_order_once((leaves, _) in simulated()) {
        let mut placed = order(&leaves, Drift::default()).order;
        placed.sort_unstable();
        prop_assert_eq!(placed, (0..leaves.len()).collect::<Vec<usize>>());
    }
}
